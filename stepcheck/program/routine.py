"""From a sheet to its program, step by step: header, names, claims, the dance over its music, hints; and the formatter.

What a hint writes is put in its place, and the whole sheet is read again, before anybody sees the hint.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterable

from attrs import evolve, field, frozen

from stepcheck.books.book import Book
from stepcheck.language import parser, printer
from stepcheck.language.files import REFUSED
from stepcheck.language.patch import Rewrite, difference
from stepcheck.language.syntax import NOWHERE, FiguresHead, HeaderField, Line, MusicRow, Sheet
from stepcheck.model import words
from stepcheck.model.choices import Reading
from stepcheck.model.claims import Kind, Test
from stepcheck.model.dance import Body, Item, Program, Word, key
from stepcheck.model.findings import Diagnostic, Hint, Patch, Severity
from stepcheck.model.items import checks, mapped
from stepcheck.model.source import Source, StepcheckError, require
from stepcheck.program.claims import register
from stepcheck.program.dance import Dance
from stepcheck.program.formatter import settled
from stepcheck.program.header import Facts, read
from stepcheck.program.names import Names

MOST_LINES = 10_000
"""How many lines are read again for one sheet; hints beyond that are not given."""
FINDING = 10
"""How many lines take as long as one finding."""

MOST_OFFERED = 3
"""How many changes are offered for one finding."""

Read = Callable[[Source], Iterable[Diagnostic]]


def tried(source: Source, findings: tuple[Diagnostic, ...], read: Read) -> tuple[Diagnostic, ...]:
    """Return findings with those hints only that stand: they write nothing, or with it the finding goes and none comes.

    Args:
        source: the sheet that the findings are about.
        findings: all that is wrong with its writing.
        read: gives the findings of another text of the sheet.
    """
    if not any(hint.patch for finding in findings for hint in finding.hints):
        return findings
    before = Counter(map(_mark, findings))
    wrong = {_mark(finding) for finding in findings if finding.code.severity is Severity.ERROR}
    left = MOST_LINES

    def stands(finding: Diagnostic, patch: Patch) -> bool:
        nonlocal left
        if left < 0:
            return False
        left -= len(source.lines) + FINDING * len(findings)
        found = tuple(read(Source(source.path, patch.applied(source))))
        after = Counter(map(_mark, found))
        errors = {_mark(one) for one in found if one.code.severity is Severity.ERROR}
        if errors & wrong:  # while other lines aren't read, a cut falls elsewhere
            errors = {mark for mark in errors if mark[0] != "cut-splits-a-turn"}
        return (
            after[_mark(finding)] < before[_mark(finding)]
            and errors <= wrong
            and all(after[m] <= before[m] for m in errors)
        )

    def kept(finding: Diagnostic) -> Diagnostic:
        hints: list[Hint] = []
        for hint in finding.hints:
            offered = sum(one.patch is not None for one in hints)
            if hint.patch is None or (offered < MOST_OFFERED and stands(finding, hint.patch)):
                hints.append(hint)
        if not hints:
            said = (hint.otherwise for hint in finding.hints if hint.otherwise)
            hints = [Hint(next(said, f"read what it is about: stepcheck explain {finding.code.id}"))]
        if hints and hints[0] != finding.hints[0] and hints[0].startswith("or "):
            hints[0] = Hint(hints[0].removeprefix("or "), hints[0].patch)
        return evolve(finding, hints=tuple(hints))

    return tuple(kept(finding) if any(hint.patch for hint in finding.hints) else finding for finding in findings)


def _mark(finding: Diagnostic) -> tuple[str, str]:
    """Return the part of a finding that is equal for the same mistake on another line."""
    return finding.code.name, finding.message


NAMELESS = ("unknown-name", "footwork-not-published")
LENGTHS = (Kind.LENGTH, Kind.COUNTS, Kind.SECTION, Kind.ALTERNATIVES, Kind.FIGURE)


@frozen
class Routine:
    """A sheet with its program, or with the findings that forbid one.

    Attributes:
        sheet: the lines of the sheet as written, and its text in `sheet.source`.
        facts: what its header says.
        program: the dance that is decided, for engines; None where the sheet is ill-formed.
        diagnostics: why it is ill-formed, and notes.
        words: the words with several readings that nothing in the sheet settles; `program.words` has them if they are
            to stay open.
        readings: how they are to be read.
        lengths: of an ill-formed sheet the program with its lengths alone, where all that is wrong is that a cut splits
            a
            turn: a wrong length before the cut may be why it falls there.
    """

    sheet: Sheet = field(repr=False)
    facts: Facts
    program: Program | None = field(repr=False)
    diagnostics: tuple[Diagnostic, ...]
    words: tuple[Word, ...] = ()
    readings: Reading = "usual"
    lengths: Program | None = field(default=None, repr=False)

    @property
    def path(self) -> str:
        """Where the sheet comes from."""
        return self.sheet.source.path

    @property
    def title(self) -> str:
        """The name of the routine."""
        return self.facts.title

    @property
    def well_formed(self) -> bool:
        """Whether there is a program to decide."""
        return self.program is not None


def elaborate(
    sheet: Sheet, found: tuple[Diagnostic, ...] = (), *, readings: Reading = "usual", book: Book | None = None
) -> Routine:
    """Return the routine that a sheet describes.

    Args:
        sheet: the sheet as written.
        found: what the parser found in it.
        readings: "usual" lets the book's usual reading of a word hold where nothing settles it; "all" leaves it open.
        book: a book to use instead of the one that the header names.
    """
    made = _read(sheet, found, readings, book)
    source = sheet.source

    def again(other: Source) -> tuple[Diagnostic, ...]:
        parsed, wrong = parser.parse(other)
        return _read(parsed, kept + wrong, readings, book).diagnostics

    kept = tuple(one for one in found if one.code.id.startswith("SR1"))
    return evolve(made, diagnostics=tried(source, made.diagnostics, again))


def reread(like: Routine, text: str) -> Routine:
    """Return the routine that another text describes, read as one that is known: its path, book and readings."""
    sheet, found = parser.parse(Source(like.path, text))
    return elaborate(sheet, found, readings=like.readings, book=like.facts.book)


def _read(sheet: Sheet, found: tuple[Diagnostic, ...], readings: Reading, book: Book | None) -> Routine:
    """Return the routine that a sheet describes, with hints that nobody has tried."""
    facts, wrong = read(sheet, book=book)
    sheet, doubtful = settled(sheet, facts)
    sheet = evolve(sheet, song=_strains(sheet, facts))
    registry = register(sheet)
    names = Names(sheet, facts, registry)
    dance = Dance(sheet, facts, registry, names)
    program = dance.program() if sheet.source.text != REFUSED else None
    told = (_read_so(one, sheet.source.line(one.span.line), facts.book) for one in found)
    diagnostics = [*told, *wrong, *doubtful, *names.findings, *dance.findings]
    if readings == "all":
        diagnostics += [one.finding(sheet) for one in dance.layout.hanging]
    if found:
        lost = _lost(sheet.lines)
        diagnostics = [one for one in diagnostics if one.code.name not in NAMELESS or _meant(sheet, one) not in lost]
    if facts.song is None and "music" in dict(facts.header):  # a finding of its own, and the sections are not known
        diagnostics = [one for one in diagnostics if one.code.name != "unknown-section"]
    lengths = None
    errors = {one.code.name for one in diagnostics if one.code.severity is Severity.ERROR}
    if errors:
        lengths = _lengths(program) if program is not None and errors == {"cut-splits-a-turn"} else None
        program = None
        # The line that dances the part may be one that is not understood.
        diagnostics = [one for one in diagnostics if one.code.name != "part-never-danced"]
    open_ = tuple(names.words.values())
    if program is not None and readings == "all":
        program = evolve(program, words=open_)
    unique = dict.fromkeys(sorted(diagnostics, key=lambda one: one.sort_key))
    return Routine(sheet, facts, program, tuple(unique), open_, readings, lengths)


def _read_so(found: Diagnostic, text: str, book: Book) -> Diagnostic:
    """Return a finding about a line of this text, with the readings of its figure that are said behind a comma
    offered first: `Vine, touch`."""
    body = text.partition("#")[0].strip()
    name, *said = (piece.strip() for piece in body.split(","))
    labels = [version.label for figure in book.find(name) for version in figure.versions] if said else []
    hints = [
        Rewrite(", ".join((f"{name} {label}", *(one for one in said if one is not piece))), (0, len(body)))
        for piece in said
        for label in labels
        if set() < set(piece.casefold().split()) - {"with", "a"} <= set(label.casefold().split())
    ]
    margin = text[: len(text) - len(text.lstrip())]
    offered = (hint.hint(found.span.line, margin, NOWHERE) for hint in hints)
    return evolve(found, hints=(*offered, *found.hints)) if hints else found


def _strains(sheet: Sheet, facts: Facts) -> tuple[Line, ...]:
    """Return the sections of a song as lines of a sheet, all in the place of the line that names the song."""
    if facts.song is None:
        return ()
    line = next(line for line in sheet.lines if isinstance(line.node, HeaderField) and key(line.node.key) == "music")
    assert isinstance(line.node, HeaderField)
    at, sections = line.node.value_at, enumerate(facts.song.sections, 1)
    rows = (MusicRow(section.name, section.ticks, at, f"section {number}") for number, section in sections)
    return tuple(evolve(line, node=row, text=f"{row.name}: {words.length(row.ticks)}") for row in rows)


def _lengths(program: Program) -> Program:
    """Return a program of which nothing but lengths is checked, which no foot and no facing can change."""

    def change(item: Item) -> Body:
        found = checks(item)
        return tuple(check for check in found if check.test is Test.CLOCK) if found else (item,)

    claims = tuple(claim for claim in program.claims if claim.kind in LENGTHS)
    return mapped(evolve(program, walls=None, claims=claims, meetings=()), change)


def _lost(lines: tuple[Line, ...]) -> set[str]:
    """Return the keys of the names that headings of parts and lines of figures define, and that can't be understood.

    Such a line is a finding of its own; that its name stands for nothing would be one more for the same mistake.
    """
    broken = [line.text for line in lines if line.broken]
    heads = [head for text in broken for head in (text, text.partition(" ")[2])]
    heads += [one.text for line in lines if isinstance(line.node, FiguresHead) for one in line.body if one.broken]
    names = [re.split("[,:]", head)[0].split() for head in heads]
    return {key(" ".join(name[:end])) for name in names for end in range(1, len(name) + 1)}


def _meant(sheet: Sheet, finding: Diagnostic) -> str:
    """Return the key of the name that a finding points at."""
    span = finding.span
    return key(sheet.source.line(span.line)[span.column - 1 : span.end_column - 1])


# -- the formatter -----------------------------------------------------------------------------------------------------


@frozen
class Layout:
    """A sheet and how the formatter writes it; `after` is None where it is not understood, `findings` say why."""

    source: Source
    after: str | None
    findings: tuple[Diagnostic, ...] = ()

    @property
    def path(self) -> str:
        """The name of the sheet."""
        return self.source.path

    @property
    def changed(self) -> bool:
        """Whether the formatter writes it differently."""
        return self.after is not None and self.after != self.source.text

    def diff(self) -> str:
        """Return what changes, as a unified diff."""
        return difference(self.source, self.after or "", "laid out")


def lay_out(path: str, data: bytes | None = None) -> Layout:
    """Return the sheet at `path`, or the text in `data` under that name, as the formatter writes it.

    Args:
        path: the file, or what to call the text.
        data: the text.

    Raises:
        SourceError: the file can't be read.
    """
    source, findings = parser.read(path) if data is None else parser.take(data.decode("utf-8", "replace"), path)
    sheet, more = parser.parse(source)
    wrong = {(one.code, one.span) for one in (*findings, *more) if one.code.severity is Severity.ERROR}
    if wrong:
        told = elaborate(sheet, (*findings, *more)).diagnostics
        return Layout(source, None, tuple(one for one in told if (one.code, one.span) in wrong))
    return Layout(source, printer.print_sheet(settled(sheet, read(sheet)[0], guess=False)[0]))


class NotUnderstood(StepcheckError, ValueError):
    """A text that cannot be laid out, since it is not understood; `diagnostics` say why."""

    def __init__(self, diagnostics: tuple[Diagnostic, ...]) -> None:
        first = diagnostics[0]
        super().__init__(f"{first.path}:{first.span.line}: {first.message}")
        self.diagnostics = diagnostics


def format_text(text: str, *, path: str = "<text>") -> str:
    """Return the text of a sheet laid out the one canonical way, comments and notes kept.

    Args:
        text: of the sheet.
        path: the name to call it by.

    Raises:
        NotUnderstood: a line of it is not understood.
    """
    require(text, str, "the text of a sheet")
    laid = lay_out(path, text.encode("utf-8", "surrogatepass"))
    if laid.after is None:
        raise NotUnderstood(laid.findings)
    return laid.after
