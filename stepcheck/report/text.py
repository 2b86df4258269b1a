"""Reports as text for people: findings with their tables, and what hangs on readings, line by line."""

import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING
from unicodedata import combining, east_asian_width

from stepcheck.model import words
from stepcheck.model.findings import Code, Diagnostic, Severity, TraceRow
from stepcheck.model.outcome import Verdict

if TYPE_CHECKING:
    from stepcheck.report.values import Hang, Leaning, Report

ROWS = 8  # of a table are shown, the last ones, and as many turns before them; every row is in the value
LEAST = 8  # columns for the names of figures, however narrow the terminal
MOST_SAID = 3  # sets of words are named in a line; the value has all of them
MEANT = "did you mean "
BANDS = {"5": Verdict.REFUTED, "6": Verdict.VACUOUS, "7": Verdict.UNDECIDED}

PAINT = {"proved": "32", "undecided": "33", "vacuous": "35", "note": "36"}
BAD, BOLD, DIM = "31", "1", "2"


def shown(report: "Report") -> tuple[Diagnostic, ...]:
    """Return the findings to show by themselves: all but the echoes that another finding names."""
    return tuple(one for one in report.diagnostics if "only_with" not in dict(one.args))


def word(code: Code) -> str:
    """Return the word that a finding of this code is announced with: the verdict that it gives, or `note`."""
    if code.severity is Severity.NOTE:
        return "note"
    if code.id.startswith("SR9"):
        return "internal error"
    return BANDS.get(code.id[2], Verdict.ILL_FORMED).word


def mistakes(report: "Report") -> tuple[Diagnostic, ...]:
    """Return the findings about the writing of a sheet."""
    return tuple(one for one in report.diagnostics if word(one.code) == Verdict.ILL_FORMED.word)


def text(reports: "Iterable[Report]", *, colour: bool = False, width: int = 100, verbose: bool = False) -> str:
    """Return `reports` for people: each finding, then one line for each sheet.

    Args:
        reports: in the order in which they are to stand.
        colour: whether to paint with terminal codes.
        width: columns to keep within, where a line can be folded.
        verbose: whether to say the proved claims too.
    """
    return "".join(f"{line}\n" for report in reports for line in _sheet(report, colour, width, verbose))


def _sheet(report: "Report", colour: bool, width: int, verbose: bool) -> Iterator[str]:
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


def _tally(report: "Report") -> str:
    """Return the verdicts on the claims of a sheet, counted in one line."""
    if any(finding.code.id.startswith("SR9") for finding in report.diagnostics):
        return "stepcheck itself failed, which says nothing of the sheet"
    total = words.count(len(report.claims), "claim")
    if report.verdict is Verdict.PROVED:
        return f"{total} hold{'s' if len(report.claims) == 1 else ''}" if report.claims else "it claims nothing"
    bad = len(mistakes(report))
    tally = Counter(claim.verdict for claim in report.claims)
    counts = [words.count(bad, "mistake") + " in the writing"] if bad else []
    counts += [f"{tally[verdict]} {verdict.word}" for verdict in Verdict if tally[verdict]]
    return ", ".join(counts) + (f" of {total}" if report.claims else "")


def _finding(report: "Report", number: int, finding: Diagnostic, colour: bool, width: int) -> Iterator[str]:
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
            yield from _folded("", f"taking {words.lines(taken)} as put right", width)


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
    first = f"   {start}"
    wrapper = textwrap.TextWrapper(
        max(width, 20), first, " " * len(first), break_long_words=False, break_on_hyphens=False
    )
    return wrapper.wrap(words.visible(about))


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
        feet, wall = (
            (len(set(step.feet)) > 1, len(set(step.facings)) > 1 or bool(step.turn)) if step else (False, False)
        )
        padded = map(_padded, line, widths, (False, False, colour and feet, colour and wall))
        yield f" {'▸' if step and step.marked else ' '} {'  '.join(padded)}".rstrip()


def _place(beat: str) -> tuple[int, str, int]:
    """Return the sort key of a beat."""
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
            line += (repeated(row), row.feet[1], row.facings[1]) if row else ("", "", "")
        cells.append(line)
    widths = _widths(cells)
    over = max(0, sum(widths) + 3 + 2 * len(widths) - width)
    for name in (1, 4):
        widths[name] = max(LEAST, widths[name] - (over + 1) // 2)
    for line in cells:
        yield f"   {'  '.join(map(_padded, line, widths))}".rstrip()


def _widths(cells: Sequence[tuple[str, ...]]) -> list[int]:
    return [max(map(columns, column)) for column in zip(*cells, strict=True)]


def _cells(rows: tuple[TraceRow, ...], brief: bool = False) -> list[tuple[str, str, str, str]]:
    """Return the cells of a table under its heads; `brief` leaves out what a foot or a wall changes from."""

    def change(pair: tuple[str, ...]) -> str:
        return f"→ {pair[-1]}" if brief and len(set(pair)) > 1 else arrow(pair)

    cells = [("beat", "figure", "free" if brief else "free foot", "facing")]
    for row in rows:
        walls = change(row.facings) + (f", {row.turn}" if row.turn else "")
        cells.append((row.beat, words.visible(repeated(row)), change(row.feet), walls))
    return cells


def repeated(row: TraceRow) -> str:
    """Return the figure of a step that leads to a finding, with how often it is danced in a row: `Triple x3`."""
    return row.figure + (f" x{row.times}" if row.times > 1 else "")


def arrow(states: Iterable[str]) -> str:
    """Return what comes after what, `left → right`; what stays the same is said once."""
    return " → ".join(dict.fromkeys(states))


def caret(finding: Diagnostic, quote: str, colour: bool = False, width: int = 100) -> Iterator[str]:
    """Yield the line that a finding points into, and under it a caret for every column meant, cut to `width`."""
    span = finding.span
    start = span.column - 1
    end = span.end_column - 1 if span.end_line == span.line else len(quote)
    first = max(0, start - width // 2) if start > width - 20 else 0
    piece, before, under = (
        "".join(words.visible(char) if char != "\t" else " " for char in quote[some])
        for some in (slice(first, first + width - 6), slice(first, start), slice(start, end))
    )
    room = max(1, min(columns(under), columns(piece) - columns(before)))
    yield f" {_shade('|', DIM, colour)} {piece}".rstrip()
    yield f" {_shade('|', DIM, colour)} {' ' * columns(before)}{_paint('^' * room, colour, BAD)}"


def columns(said: str) -> int:
    """Return how many columns of a terminal `said` takes."""
    if said.isascii():
        return len(said)
    return sum(0 if combining(char) else 2 if east_asian_width(char) in "WF" else 1 for char in said)


def _padded(said: str, room: int, bold: bool = False) -> str:
    """Return a cell that is as wide as its column, cut if it is too long."""
    if columns(said) > room:
        while columns(said) > room - 1:
            said = said[:-1]
        said += "…"
    return _shade(said, BOLD, bold) + " " * (room - columns(said))


def _shade(said: str, code: str, colour: bool) -> str:
    return f"\033[{code}m{said}\033[0m" if colour and said else said


def _paint(said: str, colour: bool, code: str = "") -> str:
    return _shade(said, f"{BOLD};{code or PAINT.get(said, BAD)}", colour)


# -- readings ---------------------------------------------------------------------------------------------------------


def unless(hangs: "tuple[Hang, ...]") -> str:
    """Return the sets of words in one sentence piece: `stomp is read as no weight, or Vine as 3 counts`."""
    said = [_read(hang) for hang in hangs[:MOST_SAID]]
    more = len(hangs) - MOST_SAID
    said += [f"{words.count(more, 'more set')} of words otherwise"] if more > 0 else []
    return ", or ".join(said)


def _read(hang: "Hang") -> str:
    if len(hang.words) == 1:
        return f"{hang.words[0]} is read as {words.listed([labels[0] for labels in hang.readings], 'or')}"
    read = " and ".join(f"{word} as {label}" for word, label in zip(hang.words, hang.readings[0], strict=True))
    return read.replace(" as ", " is read as ", 1)


def told(leaning: "Leaning") -> Iterator[str]:
    """Yield the report on readings, line by line."""
    if not leaning.decided:
        yield "too many words are read in several ways to look at every combination: settle some in the header"
        return
    if leaning.visits:
        cells = [("word", "read as", "off at", "then wrong")]
        for one in leaning.visits:
            where = f"line {one.line}, beat {one.beat}", f"line {one.claim_line}: {one.sentence}"
            cells.append((" + ".join(one.words), " + ".join(one.readings), *where))
        from stepcheck.books.cards import columns as lined_up  # few reports have any

        yield from lined_up(cells)
    if not leaning.matter:
        yield "no word changes anything here, however it is read"
    seen = {visit.words for visit in leaning.visits}
    for hang in leaning.hangs:
        if hang.words not in seen:
            yield f"a verdict changes for the better if {_read(hang)}"
    hanging = {word for hang in leaning.hangs for word in hang.words}
    more = [word for word in leaning.matter if word not in hanging]
    if more:
        yield f"these matter only where a word above is read otherwise: {', '.join(more)}"
    if leaning.idle:
        yield f"read in several ways, but all the same here: {', '.join(leaning.idle)}"
    yield from cure(leaning)


def cure(leaning: "Leaning") -> Iterator[str]:
    """Yield the shortest clarification as a line, if one is needed."""
    lines = ", ".join(f"`{word}: {label}`" for word, label in leaning.settle)
    if lines and leaning.shortest:
        yield f"safe for everybody with {lines} in the header; nothing shorter does"
    elif lines:
        yield f"safe for everybody with {lines} in the header; perhaps something shorter does"
    elif not leaning.helps:
        yield "no reading of the words makes all of it right"
