"""The report on a sheet, as a value and as text for people."""

import textwrap
from collections.abc import Iterable, Iterator, Mapping
from typing import Any
from unicodedata import combining, east_asian_width

from attrs import field, frozen

from stepcheck.model import words
from stepcheck.model.choices import Engine, Reading
from stepcheck.model.claims import Claim
from stepcheck.model.findings import Code, Diagnostic, Severity, TraceRow
from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.model.source import Sent, Source
from stepcheck.model.statuses import FAILED, STATUS
from stepcheck.report.finish import Finish
from stepcheck.report.leanings import Hang, Leaning, cure, told

ROWS = 8  # of a table are shown, the last ones, and as many turns before them; every row is in the value
LEAST = 8  # columns for the names of figures, however narrow the terminal
MEANT = "did you mean "
BANDS = {"5": Verdict.REFUTED, "6": Verdict.VACUOUS, "7": Verdict.UNDECIDED}

PAINT = {"proved": "32", "undecided": "33", "vacuous": "35", "note": "36"}
BAD, BOLD, DIM = "31", "1", "2"


def _pairs(value: Mapping[str, object] | Iterable[tuple[str, object]]) -> tuple[tuple[str, object], ...]:
    return tuple(value.items() if isinstance(value, Mapping) else value)


@frozen
class ClaimReport(Sent):
    """The answer to one claim.

    Attributes:
        id: the claim's id, which stays when other lines change.
        kind: what it is about, such as `length` or `free foot`; specs/report.schema.json lists them.
        text: how the sheet has it.
        line: where it stands, from 1.
        verdict: how it stands.
        sentence: what is to be said about it.
        mended: ids of claims taken as true on the way.
        reason: why it is undecided: `blank` or `budget`; else empty.
    """

    id: str
    kind: str
    text: str
    line: int
    verdict: Verdict
    sentence: str
    mended: tuple[str, ...] = ()
    reason: str = ""


class Printed:
    """A value whose text, that of `print`, rich and notebooks show as well."""

    __slots__ = ()

    def __rich_console__(self, console: Any, options: Any) -> Iterator[Any]:
        """The text for rich, which asks for it by this name and would take brackets for marks."""
        yield from console.render(str(self), options.update(markup=False, highlight=False))

    def _repr_html_(self) -> str:
        """The text for notebooks, which ask for it by this name."""
        from html import escape

        return f"<pre>{escape(str(self))}</pre>"


@frozen
class Report(Printed, Sent):
    """The answer about one sheet; printed, it is the text of the command.

    Attributes:
        path: the sheet.
        title: the name of the routine.
        verdict: the worst of the claims, or ill-formed.
        claims: the answers to the claims, in the order of the sheet.
        diagnostics: the findings and notes, in the order of their places.
        engine: who decided.
        effort: pairs of a kind of work and how often it was done.
        versions: pairs of a program and its version: what decided.
        quotes: pairs of a line's number and the line: those that a finding about the writing points into.
        readings: how words that nothing settles were read.
        leaning: what hangs on how they are read.
        finish: how long the dance is and how it ends; None of a sheet that is ill-formed.
    """

    path: str
    title: str
    verdict: Verdict
    claims: tuple[ClaimReport, ...] = ()
    diagnostics: tuple[Diagnostic, ...] = ()
    engine: Engine = "both"
    effort: tuple[tuple[str, int], ...] = field(default=(), converter=_pairs)
    versions: tuple[tuple[str, str], ...] = field(default=(), converter=_pairs)
    quotes: tuple[tuple[int, str], ...] = ()
    readings: Reading = "usual"
    leaning: Leaning = Leaning()
    finish: Finish | None = None

    def __str__(self) -> str:
        """The text that the command prints."""
        return text((self,)).rstrip("\n")

    @property
    def hangs(self) -> tuple[Hang, ...]:
        """The smallest sets of words that change a verdict when they are not read as usual."""
        return self.leaning.hangs

    @property
    def exit_status(self) -> int:
        """0 all proved, 1 refuted, vacuous or ill-formed, 3 something undecided, 2 stepcheck itself failed."""
        own_fault = any(finding.code.id.startswith("SR9") for finding in self.diagnostics)
        return FAILED if own_fault else STATUS[self.verdict]


def build(
    source: Source,
    title: str = "",
    claims: tuple[Claim, ...] = (),
    outcomes: tuple[Outcome, ...] = (),
    sentences: tuple[str, ...] = (),
    diagnostics: Iterable[Diagnostic] = (),
    **rest: Any,
) -> Report:
    """Return the report on a sheet; `outcomes` and `sentences` are in the order of `claims`, `rest` are its fields."""
    told = tuple(
        ClaimReport(
            claim.id, claim.kind.value, claim.text, claim.line, outcome.verdict, said, outcome.mended, outcome.reason
        )
        for claim, outcome, said in zip(claims, outcomes, sentences, strict=True)
    )
    found = tuple(sorted(diagnostics, key=lambda finding: finding.sort_key))
    verdicts = [claim.verdict for claim in told]
    verdicts += [Verdict.ILL_FORMED for finding in found if word(finding.code) == Verdict.ILL_FORMED.word]
    verdicts += [Verdict.UNDECIDED for finding in found if finding.code.id.startswith("SR9")]
    spans = [finding.span for finding in found if word(finding.code) == Verdict.ILL_FORMED.word]
    quotes = tuple((line, source.line(line)) for line in sorted({span.line for span in spans}))
    worst = max(verdicts, default=Verdict.PROVED)
    return Report(source.path, title, worst, told, found, quotes=quotes, **rest)


def shown(report: Report) -> tuple[Diagnostic, ...]:
    """Return the findings to show by themselves: all but the echoes that another finding names."""
    return tuple(one for one in report.diagnostics if "only_with" not in dict(one.args))


def word(code: Code) -> str:
    """Return the word that a finding of this code is announced with: the verdict that it gives, or `note`."""
    if code.severity is Severity.NOTE:
        return "note"
    if code.id.startswith("SR9"):
        return "internal error"
    return BANDS.get(code.id[2], Verdict.ILL_FORMED).word


def summary(reports: Iterable[Report]) -> str:
    """Return the one line that ends a run: `12 sheets: 11 proved, 1 undecided`."""
    tally = dict.fromkeys(reversed(Verdict), 0)
    for report in reports:
        tally[report.verdict] += 1
    counts = [f"{number:,} {verdict.word}" for verdict, number in reversed(tally.items()) if number]
    return words.count(sum(tally.values()), "sheet") + (f": {', '.join(counts)}" if counts else "")


# -- text ------------------------------------------------------------------------------------------------------------


def text(reports: Iterable[Report], *, colour: bool = False, width: int = 100, verbose: bool = False) -> str:
    """Return `reports` for people: each finding, then one line for each sheet.

    Args:
        reports: in the order in which they are to stand.
        colour: whether to paint with terminal codes.
        width: columns to keep within, where a line can be folded.
        verbose: whether to say the proved claims too.
    """
    return "".join(f"{line}\n" for report in reports for line in _sheet(report, colour, width, verbose))


def _sheet(report: Report, colour: bool, width: int, verbose: bool) -> Iterator[str]:
    alone = report.diagnostics if verbose else shown(report)
    for number, finding in enumerate(report.diagnostics, 1):
        if finding in alone:
            yield from _finding(report, number, finding, colour, width)
    path = words.visible(report.path)
    for claim in report.claims if verbose else ():
        if claim.verdict is Verdict.PROVED:
            yield f"{path}:{claim.line}: {_paint('proved', colour)}: {words.visible(claim.sentence)}"
    lines = {"report": told, "all": cure}[report.readings](report.leaning) if report.readings != "usual" else ()
    for line in lines if report.verdict is not Verdict.ILL_FORMED else ():
        yield f"   {words.visible(line)}"
    if report.finish is not None:
        yield f"   {report.finish}"
    unread = sum(finding.code.name == "note-not-read" for finding in report.diagnostics)
    left = f"; {words.count(unread, 'note')} {'was' if unread == 1 else 'were'} not read" if unread else ""
    yield f"{path}: {_paint(report.verdict.word, colour)}: {_tally(report)}{left}"


def _tally(report: Report) -> str:
    """Return the verdicts on the claims of a sheet, counted in one line."""
    if any(finding.code.id.startswith("SR9") for finding in report.diagnostics):
        return "stepcheck itself failed, which says nothing of the sheet"
    total = words.count(len(report.claims), "claim")
    if report.verdict is Verdict.PROVED:
        return f"{total} hold{'s' if len(report.claims) == 1 else ''}" if report.claims else "it claims nothing"
    bad = sum(1 for finding in report.diagnostics if word(finding.code) == Verdict.ILL_FORMED.word)
    counts = [words.count(bad, "mistake") + " in the writing"] if bad else []
    for verdict in Verdict:
        number = sum(1 for claim in report.claims if claim.verdict is verdict)
        counts += [f"{number} {verdict.word}"] if number else []
    return ", ".join(counts) + (f" of {total}" if report.claims else "")


def _finding(report: Report, number: int, finding: Diagnostic, colour: bool, width: int) -> Iterator[str]:
    place = f"{number}. {words.visible(finding.path)}:{finding.span.line}:{finding.span.column}"
    said = _shade(words.visible(finding.message), BOLD, colour)
    yield f"{place}: {_paint(word(finding.code), colour)}: {said} {_shade(f'[{finding.code.id}]', DIM, colour)}"
    beside = dict(finding.args).get("groups", ())
    if len(beside) == len(finding.rows) == 2:
        yield from side_by_side(beside, finding.rows, width)
    for at, rows in enumerate(finding.rows if len(beside) < 2 else ()):
        if rows:
            yield from ["   or"] if at else []
            turns = dict(finding.args).get("unit") == "eighths"
            yield from table(rows, colour, width, turns=turns)
    quote = dict(report.quotes).get(finding.span.line)
    if quote and quote.strip() and word(finding.code) == Verdict.ILL_FORMED.word:
        yield from caret(finding, quote, colour, width)
    for span, about in finding.related:
        yield from _folded(f"line {span.line}: ", about, width)
    for at, hint in enumerate(_choices(finding.hints)):
        yield from _folded(" " * 6 if at else "mend: ", hint, width)
    if finding.places > 1:
        yield from _folded("", f"the same claim fails at {words.count(finding.places - 1, 'other place')}", width)
    if finding.mended:
        lines = {claim.id: claim.line for claim in report.claims}
        taken = sorted({lines[name] for name in finding.mended if name in lines})
        if taken:
            put = words.listed([str(line) for line in taken])
            yield from _folded("", f"taking line{'s' if len(taken) > 1 else ''} {put} as put right", width)


def _choices(hints: tuple[str, ...]) -> list[str]:
    """Return hints by line: one that begins with "or" goes on from the one before it, and names to choose from are a
    row."""
    lines: list[str] = []
    for hint in hints:
        asks = bool(lines) and lines[-1].endswith("?")
        if asks and hint.startswith(MEANT) and lines[-1].startswith(MEANT):
            lines[-1] = f"{lines[-1].removesuffix('?')} or {hint.removeprefix(MEANT)}"
        elif lines and hint.startswith("or ") and not asks:
            lines[-1] += f", {hint}"
        else:
            lines.append(hint if lines else hint.removeprefix("or "))
    return lines


def _folded(start: str, about: str, width: int) -> list[str]:
    indent = " " * 3
    return textwrap.wrap(
        words.visible(about),
        max(width, 20),
        initial_indent=indent + start,
        subsequent_indent=indent + " " * len(start),
        break_long_words=False,
        break_on_hyphens=False,
    )


def table(rows: tuple[TraceRow, ...], colour: bool = False, width: int = 100, *, turns: bool = False) -> Iterator[str]:
    """Yield the table of the steps that lead to a finding, its last rows, with the changed cells and the marked row.

    With `turns` the rows before them in which a turn was made are shown too, the last ones of these.

    Where `width` has no room for what a foot and a wall change from, only what they change to is shown.
    """
    folded = max(0, len(rows) - ROWS)
    turned = [
        number for number in range(folded if turns else 0) if rows[number].turn or len(set(rows[number].facings)) > 1
    ]
    kept = [*turned[-ROWS:], *range(folded, len(rows))]
    shown = tuple(rows[number] for number in kept)
    cells = _cells(shown)
    widths = _widths(cells)
    if sum(widths) + 9 > width:
        cells = _cells(shown, brief=True)
        widths = _widths(cells)
    room = width - 9 - widths[0] - widths[2] - widths[3]
    widths[1] = max(LEAST, min(widths[1], room))
    for number, line in enumerate(cells):
        step = shown[number - 1] if number else None
        left_out = kept[number - 1] - (kept[number - 2] + 1 if number > 1 else 0) if number else 0
        if left_out:
            yield f"   {'…':{widths[0]}}  ({left_out} {'more' if number > 1 else 'earlier'})"
        changed = (
            (False, False, len(set(step.feet)) > 1, len(set(step.facings)) > 1 or bool(step.turn))
            if step
            else (False,) * 4
        )
        padded = [
            _shade(_cut(cell, room), BOLD, colour and bold) + " " * (room - columns(_cut(cell, room)))
            for cell, room, bold in zip(line, widths, changed, strict=True)
        ]
        yield f" {'▸' if step and step.marked else ' '} {'  '.join(padded)}".rstrip()


def _place(beat: str) -> tuple[int, str, int]:
    """Return the sort key of a beat of a table."""
    whole = beat.rstrip("e&a")
    return len(whole.split()[0]), whole, "e&a".find(beat[-1])


def side_by_side(groups: tuple[str, ...], dances: tuple[tuple[TraceRow, ...], ...], width: int = 100) -> Iterator[str]:
    """Yield the table of what two groups dance, beat by beat, the last rows: figure, free foot and wall after it."""
    beats = sorted({row.beat for rows in dances for row in rows}, key=_place)
    cells: list[tuple[str, ...]] = [("beat", *(head for group in groups for head in (group, "free foot", "facing")))]
    for beat in beats[-ROWS:]:
        line: tuple[str, ...] = (beat,)
        for rows in dances:
            row = next((row for row in rows if row.beat == beat), None)
            times = f" x{row.times}" if row and row.times > 1 else ""
            line += (row.figure + times, row.feet[1], row.facings[1]) if row else ("", "", "")
        cells.append(line)
    widths = [max(columns(line[at]) for line in cells) for at in range(len(cells[0]))]
    over = max(0, sum(widths) + 3 + 2 * len(widths) - width)
    for name in (1, 4):
        widths[name] = max(LEAST, widths[name] - (over + 1) // 2)
    for line in cells:
        padded = (
            _cut(cell, room) + " " * (room - columns(_cut(cell, room))) for cell, room in zip(line, widths, strict=True)
        )
        yield f"   {'  '.join(padded)}".rstrip()


def _widths(cells: list[tuple[str, str, str, str]]) -> list[int]:
    return [max(columns(line[column]) for line in cells) for column in range(4)]


def _cells(rows: tuple[TraceRow, ...], brief: bool = False) -> list[tuple[str, str, str, str]]:
    """Return the cells of a table under its heads; `brief` leaves out what a foot or a wall changes from."""

    def change(pair: tuple[str, ...]) -> str:
        steps = list(dict.fromkeys(pair))
        return f"→ {steps[-1]}" if brief and len(steps) > 1 else " → ".join(steps)

    cells = [("beat", "figure", "free" if brief else "free foot", "facing")]
    for row in rows:
        figure = words.visible(row.figure) + (f" x{row.times}" if row.times > 1 else "")
        walls = change(row.facings) + (f", {row.turn}" if row.turn else "")
        cells.append((row.beat, figure, change(row.feet), walls))
    return cells


def caret(finding: Diagnostic, quote: str, colour: bool = False, width: int = 100) -> Iterator[str]:
    """Yield the line that a finding points into, and under it a caret for every column meant, cut to `width`."""
    span = finding.span
    start = span.column - 1
    end = span.end_column - 1 if span.end_line == span.line else len(quote)
    first = max(0, start - width // 2) if start > width - 20 else 0
    piece = "".join(words.visible(char) if char != "\t" else " " for char in quote[first : first + width - 6])
    before = "".join(words.visible(char) if char != "\t" else " " for char in quote[first:start])
    under = "".join(words.visible(char) if char != "\t" else " " for char in quote[start:end])
    room = max(1, min(columns(under), columns(piece) - columns(before)))
    yield f" {_shade('|', DIM, colour)} {piece}".rstrip()
    yield f" {_shade('|', DIM, colour)} {' ' * columns(before)}{_paint('^' * room, colour, BAD)}"


def columns(said: str) -> int:
    """Return how many columns of a terminal `said` takes."""
    if said.isascii():
        return len(said)
    return sum(0 if combining(char) else 2 if east_asian_width(char) in "WF" else 1 for char in said)


def _cut(said: str, room: int) -> str:
    if columns(said) <= room:
        return said
    while columns(said) > room - 1:
        said = said[:-1]
    return f"{said}…"


def _shade(said: str, code: str, colour: bool) -> str:
    return f"\033[{code}m{said}\033[0m" if colour and said else said


def _paint(said: str, colour: bool, code: str = "") -> str:
    return _shade(said, f"{BOLD};{code or PAINT.get(said, BAD)}", colour)
