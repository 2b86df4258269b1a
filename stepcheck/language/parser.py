"""From the text of a sheet to its syntax: lines one by one, then the blocks that their indentation makes.

A line is read once for each text: equal lines share their nodes, within a sheet and between sheets.
"""

import re
from difflib import get_close_matches
from functools import cache, lru_cache
from typing import Any

from attrs import evolve, frozen

from stepcheck.language import mistakes, syntax
from stepcheck.language.files import REFUSED, read, take
from stepcheck.language.grammar import LineError, Machine, Stuck
from stepcheck.language.grammar import load as load_grammar
from stepcheck.language.patch import Rewrite, hints
from stepcheck.language.phrases import Phrases
from stepcheck.language.printer import print_node
from stepcheck.language.slips import misspelt, moved_or_lost, parsed, respelled, unread
from stepcheck.language.stretches import goes_on, relates
from stepcheck.language.syntax import Form, Line, Node, Sheet
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.source import MAX_COLUMNS, Source, Span

__all__ = ["LineError", "parse", "parse_forms", "parse_line", "read", "take"]

_LENGTH = re.compile(r"\d+ (beats?|counts?)\b")
DEEPEST = 100
MOST_EXPLAINED = 300
"""Findings on the writing of one sheet beyond which nobody looks for what a broken line may be meant to say."""
TAB = 4
_ANY = 1 << 30
_START = {name: name for name in ("sheet", "music", "figures")} | dict.fromkeys(
    ("part", "dance", "section", "together", "group"), "steps"
)
_OPENS: dict[type, str] = {
    syntax.MusicHead: "music",
    syntax.FiguresHead: "figures",
    syntax.PartHead: "part",
    syntax.DanceHead: "dance",
    syntax.LabelHead: "section",
    syntax.TogetherHead: "together",
    **dict.fromkeys((syntax.CountsHead, syntax.TimesHead, syntax.OnlyHead, syntax.UntilHead), ""),
}


@frozen
class _Reading:
    """What one line says: its node, note and comment, or its fault; the context that it opens ("" for its own)."""

    node: Node | None = None
    note: str | None = None
    comment: str | None = None
    error: LineError | None = None
    opens: str | None = None
    unread: tuple[LineError, ...] = ()


def parse_line(text: str, context: str) -> Node:
    """Return the meaning of one line; its note and comment are left out.

    `context` is the place where it would stand: "sheet", "music", "figures", "part", "dance", or "section" for the
    lines under a section of the music in the dance.

    Raises:
        LineError: it can't be understood, or says nothing.
    """
    read = _reading(context, text.strip())
    if read.error:
        raise read.error
    if read.node is None:
        raise LineError((0, len(text.strip())), "the line says nothing")
    return read.node


def meant_lines(text: str, context: str) -> tuple[Rewrite, ...]:
    """Return the headings and lines of the language that a label or a name in a place may be with one word mended."""
    lines = (*misspelt(text), *moved_or_lost(text, 0))
    return respelled(text, _START[context], _machine().parse, lines, strict=True)


def parse_forms(text: str) -> tuple[Form, ...]:
    """Return the movements of a row such as `DS BR DS RS` or `S(L)@1 S(R)@1& S(L)@2`.

    Raises:
        LineError: it can't be understood.
    """
    if not text.strip():
        raise LineError((0, len(text)), "no movement stands here", ("movements are written in a row: DS BR DS RS",))
    forms: tuple[Form, ...] = _understood(text, "forms")
    return forms


@cache
def _machine() -> Machine:
    return load_grammar(Phrases())


def _understood(text: str, start: str, note: str | None = None, brief: bool = False) -> Any:
    machine = _machine()
    try:
        node = machine.parse(text, start)
    except Stuck as stuck:
        if brief:
            raise mistakes.briefly(stuck, text, start) from None
        raise mistakes.explained(stuck, text, start, machine.parse, note) from None
    wrong = None if brief else mistakes.suspected(node, text, start, machine.parse)
    if wrong:
        raise wrong
    return node


@lru_cache(maxsize=1 << 16)
def _reading(context: str, text: str, brief: bool = False) -> _Reading:
    """Return what a stripped line says; `brief` says not to look for what it may be meant to say."""
    if len(text) > MAX_COLUMNS:
        reason = f"the line is longer than {MAX_COLUMNS} characters"
        return _Reading(error=LineError((MAX_COLUMNS, len(text)), reason, (), "too-large"))
    whole, mark, comment = text.partition("#")
    body, note = _noted(whole.rstrip(), context)
    node = error = None
    if body:
        try:
            node = _understood(body, _START[context], note, brief)
            if wrong := _misplaced(node, body, context, brief):
                error = LineError((0, len(body)), wrong[0], wrong[1:], "misplaced-line")
        except LineError as fault:
            error = fault.with_traceback(None)  # it is kept for long, without the frames that it came through
            error.__context__ = None
        if error:
            return _Reading(error=error, opens=_guessed(body, context, error, brief))
    found: tuple[LineError, ...] = ()
    if note and not (context == "sheet" and node is None):
        found = tuple(unread(node, body, note, len(whole.rstrip()), _machine().parse, _START[context]))
    opens = "group" if context == "together" and isinstance(node, syntax.LabelHead) else _OPENS.get(type(node))
    return _Reading(node, note, comment.strip() if mark else None, None, opens, found)


def _noted(body: str, context: str) -> tuple[str, str | None]:
    """Return the line without the note in round brackets at its end, and the note."""
    if not body.endswith(")"):
        return body, None
    depth = 0
    for start in range(len(body) - 1, -1, -1):
        depth += (body[start] == ")") - (body[start] == "(")
        if not depth:
            break
    note = body[start + 1 : -1].strip()
    free = not start or body[start - 1].isspace() or body[start - 1] == ":"
    if depth or not free or (context == "figures" and note.casefold() in ("l", "r", "left", "right")):
        return body, None
    return body[:start].rstrip(), note


def _guessed(body: str, context: str, error: LineError, brief: bool) -> str | None:
    """Return the context that a broken line would open, to go on reading under it."""
    lines = [one.text for one in error.hints if isinstance(one, Rewrite) and one.at and not one.at[0]]
    for line in () if brief else (*lines, body.rstrip(" :") + ":"):
        meant = parsed(line.strip(), _START[context], _machine().parse)
        if type(meant) in _OPENS and not isinstance(meant, syntax.LabelHead):
            return _OPENS[type(meant)]
    if context != "sheet":
        return "" if body.endswith(":") else None
    near = get_close_matches(body.split(":")[0].strip().casefold(), ("music", "figures", "dance"), n=1, cutoff=0.75)
    return near[0] if near else "part" if ":" in body else None


def _misplaced(node: Any, body: str, context: str, brief: bool) -> tuple[Any, ...]:  # noqa: C901 - a rule each
    """Return why a line can't stand in its context, and behind that what would mend it; nothing if it can."""
    row = node if isinstance(node, syntax.Row) else None
    named = isinstance(node, syntax.LabelHead) or (row is not None and row.section is not None)
    together = isinstance(node, syntax.TogetherHead)
    if together and context in ("dance", "section"):
        return ()
    if together or context in ("together", "group"):
        if context == "together" and not named:
            hint = "write the name of a group and a colon before it, as in: odd lines: Chorus"
            return "under together: stands a line for each group", hint
        if together or goes_on(node) or (context == "group" and named) or relates(node):
            hint = "write it under dance:, outside together:"
            return "this is said of the whole floor, not of a part or a group", hint
    elif row and row.wait is not None:
        return "only a group waits before it begins", f"write hold {print_node(row.wait)} on a line before it"
    elif context == "part" and named:
        if not row and body.rstrip(": ").casefold() in ("dance", "music", "figures"):
            return f"{body} stands at the margin", "take away the spaces before it"
        meant = () if brief else meant_lines(body, context)
        hint = "sections of the music are named under dance: only"
        return "a section of the music can't be named inside a part", *meant, hint
    elif context == "part" and isinstance(node, syntax.UntilHead):
        return "only the dance goes on until the music ends", "write it under dance:"
    elif context == "section" and named:
        return "a section of the music can't stand inside another", "move it out, beside the section above"
    if context == "part":
        about = "this is said of the whole floor, not of a part", "write it under dance:, behind together:"
        return about if relates(node) else ()
    forms = (form for option in row.options for form in option.forms) if row else ()
    if any(form.foot is not None or form.tick is not None for form in forms):
        return "a row of movements stands in a part", "put it into a part"
    if isinstance(node, syntax.CountsHead):
        return "counts are those of a part, not of the dance", "write it inside a part"
    return ()


# -- blocks ----------------------------------------------------------------------------------------------------------


class _Block:
    """Lines under one heading, while they are being read: `head` is the heading's width of indentation, `width` theirs.

    `line` is the heading's own line, still without those under it; `excused` is a wrong indentation that was reported.
    """

    def __init__(self, context: str, head: int, line: Line) -> None:
        self.context = context
        self.head = head
        self.line = line
        self.width = self.excused = -1
        self.lines: list[Line] = []
        self.filled = False


class _Builder:
    """A sheet that is being read: the open blocks, innermost last, the findings, and the kinds of section begun."""

    def __init__(self, source: Source, top: _Block) -> None:
        self.source = source
        self.stack = [top]
        self.findings: list[Diagnostic] = []
        self.begun: set[type] = set()

    def find(self, number: int, indent: int, error: LineError) -> None:
        """Report `error` at its place in line `number`."""
        span = Span(number, indent + error.at[0] + 1, number, indent + error.at[1] + 1)
        given = hints(error.hints, number, self.source.line(number)[:indent], error.at)
        self.findings.append(Diagnostic(CODES[error.code], self.source.path, span, error.reason, (), given))

    def close(self) -> _Block:
        """Close the innermost block and return the one around it."""
        block = self.stack.pop()
        line = evolve(block.line, body=tuple(block.lines))
        if not block.filled and not line.broken:
            hint = "the lines that belong to it stand under it, two spaces further in"
            empty = LineError((0, len(line.text)), "nothing stands under this heading", (hint,), "empty-block")
            self.find(line.number, line.indent, empty)
        around = self.stack[-1]
        around.lines.append(line)
        return around

    def settle(self, waiting: list[tuple[int, Line]], width: int) -> _Block:
        """Put the comments that stand deeper than `width` where they belong, and close the blocks deeper than that.

        The rest of `waiting`, and blank lines, come before the next line.
        """
        block, done = self.stack[-1], 0
        for index, (deep, _) in enumerate(waiting):
            if deep >= 0:
                if deep <= width:
                    break
                while deep <= block.head:
                    block = self.close()
                block.lines += [line for _, line in waiting[done : index + 1]]
                done = index + 1
        while width <= block.head:
            block = self.close()
        block.lines += [line for _, line in waiting[done:]]
        waiting.clear()
        return block

    def indented(self, block: _Block, number: int, indent: int, width: int) -> None:
        """Report an indentation that is neither that of the lines around nor that of a block under a heading."""
        if block.width < 0:
            block.width = width
        elif width not in (block.excused, block.width) and block.excused < _ANY:
            deeper = "the line stands deeper than the one above, which is no heading"
            reason = deeper if width > block.width else "the line stands in no block"
            hint = f"lines of one block stand equally deep: here {block.width} spaces"
            self.find(number, 0, LineError((0, indent), reason, (hint,), "uneven-indentation"))
            block.excused = width

    def end(self) -> None:
        """Close every block, and report a sheet in which nothing stands."""
        while len(self.stack) > 1:
            self.close()
        if not self.stack[0].filled and self.source.text != REFUSED:
            hint = ("a sheet begins with its name, as in: routine: Lantern Pier",)
            self.find(1, 0, LineError((0, 0), "the sheet is empty", hint, "empty-sheet"))


def parse(source: Source) -> tuple[Sheet, tuple[Diagnostic, ...]]:
    """Return the sheet that `source` holds and all that is wrong with its language.  Never raises."""
    block = top = _Block("sheet", -1, Line(0, 0, None))
    builder = _Builder(source, top)
    waiting: list[tuple[int, Line]] = []
    for number, raw in enumerate(source.lines, 1):
        text = raw.strip()
        if not text:
            waiting.append((-1, Line(number, 0, None)))
            continue
        indent = len(raw) - len(raw.lstrip())
        width = indent if "\t" not in raw else len(raw[:indent].expandtabs(TAB))
        if text[0] == "#":
            waiting.append((width, Line(number, indent, None, None, text[1:].strip(), (), text)))
            continue
        if waiting or width <= block.head:
            block = builder.settle(waiting, width)
        if width != block.width:
            builder.indented(block, number, indent, width)
        block.filled = True
        read = _reading(block.context, text, len(builder.findings) > MOST_EXPLAINED)
        node, note, comment, opens = read.node, read.note, read.comment, read.opens
        error = read.error or (_at_margin(builder, node, text) if block is top else None)
        opens = _reading("sheet", f"part {text}", True).opens if error and _heads(node) else opens
        for wrong in (error,) if error else read.unread:
            builder.find(number, indent, wrong)
        if error is not None:
            node = note = comment = None
        line = Line(number, indent, node, note, comment, (), text, error is not None)
        if opens is None:
            block.lines.append(line)
        elif len(builder.stack) <= DEEPEST:
            block = _Block(opens or block.context, width, line)
            builder.stack.append(block)
        else:
            _too_deep(builder, block, line)
    builder.settle(waiting, 0)
    builder.end()
    return Sheet(source, tuple(top.lines)), tuple(sorted(builder.findings, key=lambda finding: finding.sort_key))


def _heads(node: Node | None) -> bool:
    """Return whether a field is the heading of a part whose word is missing: `break: 4 beats`."""
    return isinstance(node, syntax.HeaderField) and bool(_LENGTH.match(node.value))


def _at_margin(builder: _Builder, node: Node | None, text: str) -> LineError | None:
    """Return why this line can't stand at the margin after those before it, if it can't."""
    kind, hint = type(node), "put its lines under the first"
    if node is None or (kind is syntax.HeaderField and not builder.begun):
        return None
    if kind is syntax.HeaderField:
        reason = "a field of the header can't stand after a section"
        if _heads(node):
            said, head = "a part is headed by its word: write {}", f"part {text[0].upper()}{text[1:]}"
            part = Rewrite(head, (0, len(text)), said, (), f"write {head}, and its steps under it, two spaces in")
            return LineError((0, len(text)), reason, (part,), "misplaced-line")
        hint = "fields of the header stand above the first section; a line of dance stands two spaces in"
    elif kind in builder.begun and kind is not syntax.PartHead:
        reason = f"{text.partition(':')[0]}: stands here a second time"
    else:
        builder.begun.add(kind)
        return None
    return LineError((0, len(text)), reason, (hint,), "misplaced-line")


def _too_deep(builder: _Builder, block: _Block, line: Line) -> None:
    """Keep a heading that stands too deep as a broken line, and say so once in its block."""
    block.lines.append(evolve(line, node=None, note=None, comment=None, broken=True))
    if block.excused < _ANY:
        reason = f"blocks stand inside each other more than {DEEPEST} deep"
        builder.find(line.number, line.indent, LineError((0, len(line.text)), reason, (), "too-deep"))
        block.excused = _ANY
