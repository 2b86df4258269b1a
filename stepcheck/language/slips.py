"""Slips of the pen, lines written as they are spoken, and marks in brackets, each with what may be meant."""

import re
from collections.abc import Callable, Iterable, Iterator
from difflib import SequenceMatcher, get_close_matches
from functools import cache
from itertools import islice, pairwise
from os.path import dirname, join
from typing import Any

from stepcheck.language import syntax
from stepcheck.language.grammar import LineError, Stuck
from stepcheck.language.patch import MEANT, Rewrite
from stepcheck.language.printer import print_node, print_times
from stepcheck.model import words

_SPELT = """left right foot feet both facing front back wall turn turns full half quarter no to on every last time times
only except expect hold until the music ends first opposite mirrored beats counts beat count part dance figures from"""
WORDS = tuple(_SPELT.split())
_MISSED = "foot left right turn time times to beats counts facing only feet both no"
_LOST = tuple(_MISSED.split())
_WORD = re.compile(r"[^\s,:|()@#]+")
LOOSE = (syntax.Row, syntax.LabelHead, syntax.HeaderField)
MOST = 8
"""How many of the lines that may be meant are named."""
MOST_READ = 400_000
"""How many characters of such lines are read: thousands of lines of a sheet, hundreds of one that fills a page."""

Parse = Callable[[str, str], Any]
Slips = Callable[[str, int], Iterable[tuple[str, Rewrite]]]


def parsed(text: str, start: str, parse: Parse) -> Any:
    """Return what a text means; None if it is not of the language."""
    try:
        return parse(text, start)
    except (Stuck, LineError):
        return None


def respelled(
    text: str, start: str, parse: Parse, lines: Iterable[tuple[str, Rewrite]], *, strict: bool = False
) -> tuple[Rewrite, ...]:
    """Return the changes of one word, nearest first, with which a line is one of the language.

    Args:
        text: the line.
        start: where it stands, as for the grammar.
        parse: the grammar.
        lines: what the line may be meant to be, each with the change that makes it so.
        strict: whether a line of dance, a label or a field will not do, since that is what `text` is already.
    """
    tried = islice(lines, MOST_READ // max(1, len(text)))
    read = ((rewrite, parsed(line, start, parse)) for line, rewrite in tried)
    kept = (rewrite for rewrite, node in read if node is not None and not (strict and isinstance(node, LOOSE)))
    return tuple(islice(dict.fromkeys(kept), MOST))


def moved_or_lost(text: str, near: int) -> Iterator[tuple[str, Rewrite]]:
    """Yield a line with a space or mark moved by a letter, or with one more word in it, first of all at the place
    `near`."""
    for (one, other), line in zip(pairwise(text), words.swaps(text), strict=True):
        if one.isalnum() != other.isalnum() and line == line.strip():
            yield line, Rewrite(line, (0, len(text)), MEANT)
    places = [*(word.start() for word in _WORD.finditer(text)), len(text.rstrip(":"))]
    for at in sorted(places, key=lambda place: abs(place - near)):
        if text[:at].rstrip(" ,:|"):
            line = f"{text[:at].rstrip()}, {text[at:]}"
            yield line, Rewrite(line, (0, len(text)))
        for word in _LOST:
            line = f"{text[:at].rstrip()} {word} {text[at:]}".strip().replace(" ,", ",").replace(" :", ":")
            yield line, Rewrite(line, (0, len(text)), MEANT)


def misspelt(text: str, place: int = 0) -> list[tuple[str, Rewrite]]:
    """Return a line with each word that is near one of the language spelt as that one, the nearest first; `place` is
    any."""
    found = []
    for word in _WORD.finditer(text):
        said = word[0].casefold()
        near = [one for one in get_close_matches(said, WORDS, n=2, cutoff=0.6) if one != said]
        if number := re.fullmatch(r"([0-9]{1,3})[a-z]{1,3}", said):
            near.append(words.ordinal(int(number[1])))
        if times := re.fullmatch(r"[a-z]([0-9]{1,3})", said):
            near.append(f"x{times[1]}")
        for one in near:
            line = text[: word.start()] + one + text[word.end() :]
            found.append((-SequenceMatcher(None, said, one).ratio(), line, Rewrite(one, word.span(), MEANT)))
    return [(line, rewrite) for _, line, rewrite in sorted(found, key=lambda one: one[0])]


# -- brackets --------------------------------------------------------------------------------------------------------

_RESTART = re.compile(r"\brestart\b", re.IGNORECASE)
_AFTER = re.compile(
    r"restart\s+(?:here\s+)?(?:after\s+)?(?:count\s+)?(?P<n>[0-9]+)(?:\s+(?:counts?|beats?))?", re.IGNORECASE
)
_UNREAD = (syntax.HeaderField, syntax.MusicHead, syntax.FiguresHead, syntax.MusicRow, syntax.TogetherHead)


def unread(node: Any, body: str, note: str, end: int, parse: Any, start: str) -> Iterator[LineError]:
    """Yield for each piece of a note that would mean something outside its bracket that it is not read.

    Args:
        node: what the line means without the note; None for a note alone.
        body: the text of the line without the note.
        note: what stands in the brackets.
        end: where the bracket closes, from the start of the line.
        parse: the grammar's machine, from a text and a start.
        start: where the line stands, as for the grammar.
    """
    if isinstance(node, _UNREAD):
        return
    one = not isinstance(_meaning(note, parse), str | None)
    pieces = [note] if one else [piece.strip() for piece in note.split(",")]
    for piece in pieces:
        meaning = _meaning(piece, parse)
        ends = isinstance(meaning, syntax.NetMark | syntax.FeetMark)
        if meaning is None or (ends and not isinstance(node, syntax.PartHead)):
            continue
        at = end - 1 - len(note) + note.find(piece)
        rest = [other for other in pieces if other is not piece]
        said = f"{piece!r} stands in brackets, where nothing is read"
        behind = f" ({', '.join(rest)})" if rest else ""
        hints = tuple(_outside(node, body, piece, meaning, behind, end, parse, start))
        yield LineError((at, at + len(piece)), said, hints, "note-not-read")


def _meaning(piece: str, parse: Any) -> Any:
    """Return what a piece of a note would mean outside its bracket, None for nothing, its text for a restart."""
    found = parsed(piece, "bracket", parse)
    return piece if found is None and _RESTART.search(piece) else found


def _outside(
    node: Any, body: str, piece: str, meaning: Any, behind: str, end: int, parse: Any, start: str
) -> Iterator[str | Rewrite]:
    """Yield how to write a piece of a note so that it is read; `behind` is what stays in brackets."""
    times = meaning[0] if isinstance(meaning, tuple) else None
    if isinstance(meaning, str):
        cut = _AFTER.fullmatch(piece)
        if cut and isinstance(node, syntax.Row) and node.options[-1].times == 1:
            piece = f"first {cut['n']} counts"
        else:
            yield "a restart is a part that is cut short, as in: Main, first 16 counts"
            return
    if times is not None:
        head = f"{print_times(times)} time only:"
        if isinstance(node, syntax.Row):
            otherwise = f"a time is a heading inside a part, or inside a block that is danced several times: {head}"
            yield Rewrite(f"{head}\n  {body}{behind}", (0, end), otherwise=otherwise)
        elif isinstance(node, syntax.PartHead):
            yield f"write the lines of that time under {head}"
        else:
            yield f"write it as a heading of its own: {head}"
        return
    if isinstance(node, syntax.PartHead | syntax.DanceHead):
        text = f"{body}{'' if body.endswith(':') else ','} {piece}"
    elif isinstance(node, syntax.CountsHead):
        text = f"{body.rstrip(': ')}, {piece}:"
    elif isinstance(node, syntax.FigureRow):
        head, _, forms = body.partition(":")
        text = f"{head}, {piece}:{forms}"
    else:
        text = f"{body}, {piece}"
    ends = isinstance(meaning, syntax.NetMark | syntax.FeetMark)
    example = piece if ends else print_node(parse(f"Vine, {piece}", "steps"))
    otherwise = f"outside brackets it is written, where it can stand: {example}"
    try:
        yield Rewrite(print_node(parse(text, start)) + behind, (0, end), otherwise=otherwise)
    except (Stuck, LineError, TypeError):
        yield otherwise


# -- habits of speech -----------------------------------------------------------------------------------------------

_NTH = "first second third fourth fifth sixth seventh eighth"
_NAMED = {name: words.ordinal(number) for number, name in enumerate(_NTH.split(), 1)}


@cache
def habits() -> list[dict[str, Any]]:
    """Return the habits of `habits.toml`, which says what is in them."""
    import tomllib  # most sheets have none

    with open(join(dirname(__file__), "habits.toml"), "rb") as file:
        found: list[dict[str, Any]] = tomllib.load(file)["habit"]
        return found


# What a line with a habit has that the grammar takes, by where it stands: most lines have none of it, and are let
# through at once.
_ODD = {
    "sheet": r"restart|beats|counts|total|length|expect",
    "steps": r"re|pause|wait|hold\s*,|beats|counts|total|length|expect|x?\s*[0-9]|twice"
    r"|.*(?:\*|\b(?:count|beat)\s+[0-9]|\btime\b|\bturning\b"
    r"|\buntil\b(?! the music ends$)|(?<!until the music )\bends?$)",
    "figures": r"[^:]*:\s*[0-9]",
}


def spoken(text: str, start: str, stuck: bool) -> LineError | None:
    """Return what is wrong with a line that is written as it is spoken, and how to write it.

    Args:
        text: the line.
        start: where it stands, as for the grammar.
        stuck: whether the grammar refuses it.
    """
    if not stuck and start in _ODD and not re.match(_ODD[start], text, re.IGNORECASE):
        return None
    for habit in habits():
        if habit["start"] == start and (stuck or not habit.get("stuck")):
            found = re.fullmatch(habit["pattern"], text, re.IGNORECASE)  # compiled when it is first wanted, and kept
            if found:
                return _error(habit, text, {name: said or "" for name, said in found.groupdict().items()})
    return None


def _error(habit: dict[str, Any], text: str, groups: dict[str, str]) -> LineError:
    """Return the finding about a line with a habit, `groups` being what its pattern has found in it."""
    if "side" in groups:
        groups["side"] = {"l": "left", "r": "right"}.get(groups["side"].casefold(), groups["side"].casefold())
        groups["other"] = "right" if groups["side"] == "left" else "left"
    if "n" in groups:
        groups["n"] = _NAMED.get(groups["n"].casefold(), groups["n"])
    if habit["start"] == "figures" and "head" in groups:
        groups["rest"] = groups["rest"].replace(",", " ")
    whole = (0, len(text))
    given: list[str | Rewrite] = [
        Rewrite(line.format(**groups), whole, f"{'or ' if number else ''}write {{}}", (), habit.get("otherwise", ""))
        for number, line in enumerate(habit.get("meant", ()))
    ]
    if "advice" in habit:
        given.append(habit["advice"].format(**groups))
    return LineError(whole, habit["reason"].format(**groups), tuple(given))
