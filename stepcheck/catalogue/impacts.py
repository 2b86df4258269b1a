"""When a book changes: which routines of a catalogue change verdict, and where."""

import os
from collections.abc import Iterable

from attrs import evolve, frozen

from stepcheck.books import book as books
from stepcheck.books.book import Book
from stepcheck.catalogue.discovery import sheets
from stepcheck.model.choices import Engine
from stepcheck.model.dance import key
from stepcheck.model.findings import Severity
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import SourceError
from stepcheck.report import pipeline
from stepcheck.report.values import Report
from stepcheck.walk.effects import Algebra


@frozen
class Shift:
    """A claim, or a finding about the writing, that is another one with the new book.

    Attributes:
        claim: the id of the claim, empty for a finding.
        line: where it stands, from 1.
        sentence: what is to be said about it now.
        before: how it stood; None where there was no such claim or finding.
        after: how it stands with the new book; None where it is gone.
    """

    claim: str
    line: int
    sentence: str
    before: Verdict | None
    after: Verdict | None


@frozen
class Change:
    """What a new book changes in a sheet that uses the old one.

    Attributes:
        path: the sheet.
        title: the name of the routine.
        before: the verdict with the old book.
        after: the verdict with the new one.
        shifts: the claims and findings that change; empty where none does.
    """

    path: str
    title: str
    before: Verdict
    after: Verdict
    shifts: tuple[Shift, ...]

    @property
    def worse(self) -> bool:
        """Whether the sheet, or a claim of it, stands worse than before."""
        return self.after > self.before or any(
            shift.after is not None and (shift.before is None or shift.after > shift.before) for shift in self.shifts
        )


@frozen
class Impact:
    """The sheets that use a book, each with what changes; `unconcerned` are those that do not use it, `missing` what
    could not be read, with the reason."""

    changes: tuple[Change, ...]
    unconcerned: tuple[str, ...] = ()
    missing: tuple[tuple[str, str], ...] = ()


def impact(
    old_book: str | os.PathLike[str] | Book,
    new_book: str | os.PathLike[str] | Book,
    paths: Iterable[str | os.PathLike[str]],
    *,
    engine: Engine = "both",
    budget: int | None = None,
) -> tuple[Change, ...]:
    """Return what changes in the sheets at `paths` when `new_book` takes the place of `old_book`.

    Args:
        old_book: a book, or the name or path of one.  A sheet uses it if its header names it, or a book on top of it.
        new_book: the same for the book that comes instead.
        paths: sheets, and folders of sheets.
        engine: as for `check`.
        budget: as for `check`.

    Returns:
        One for each sheet in which a verdict changes, in the order of the paths.

    Raises:
        SourceError: a book cannot be read.
    """
    found = survey_impact(_opened(old_book), _opened(new_book), paths, engine=engine, budget=budget)
    return tuple(change for change in found.changes if change.shifts or change.before is not change.after)


def survey_impact(
    old: Book, new: Book, paths: Iterable[str | os.PathLike[str]], *, engine: Engine = "both", budget: int | None = None
) -> Impact:
    """Return for every sheet at `paths` what `new` in the place of `old` changes in it; arguments as for `impact`."""
    found = sheets(tuple(os.fspath(path) for path in paths))
    algebra = Algebra()
    changes, unconcerned, missing = [], [], list(found.missing)
    for path in found.sheets:
        try:
            own = pipeline.load(path).facts.book
        except SourceError as error:
            missing.append((path, str(error)))
            continue
        if own is None or not _uses(own, old):
            unconcerned.append(path)
            continue
        before, after = (
            pipeline.check_file(path, engine=engine, budget=budget, book=_with(own, old, book), algebra=algebra)
            for book in (old, new)
        )
        changes.append(Change(path, after.title, before.verdict, after.verdict, _shifts(before, after)))
    return Impact(tuple(changes), tuple(unconcerned), tuple(missing))


def _opened(book: str | os.PathLike[str] | Book) -> Book:
    return book if isinstance(book, Book) else books.load(book)


def _same(book: Book, old: Book) -> bool:
    """Say whether a book is the old one: it has its name, or is read from its file."""
    if key(book.name) == key(old.name):
        return True
    if book.shelf is None or old.shelf is None:
        return False
    paths = (book.shelf.text.source.path, old.shelf.text.source.path)
    return os.path.realpath(paths[0]) == os.path.realpath(paths[1])


def _uses(book: Book, old: Book) -> bool:
    below = (*book.members, *([book.base] if book.base else []))
    return _same(book, old) or any(_uses(other, old) for other in below)


def _with(book: Book, old: Book, new: Book) -> Book:
    """Return a book with `new` in the place of `old`, however deep it stands."""
    if _same(book, old):
        return new
    if book.members:
        return books.combine(tuple(_with(member, old, new) for member in book.members))
    if book.base is None or not _uses(book.base, old):
        return book
    below = _with(book.base, old, new)
    own = book.settled[len(book.base.settled) :]
    shelf = evolve(book.shelf, made={}) if book.shelf else None  # its figures are made of movements of the book below
    return evolve(book, base=below, shelf=shelf, settled=below.settled + own)


def _shifts(before: Report, after: Report) -> tuple[Shift, ...]:
    """Return the claims whose verdict is another one, then the findings about the writing that are new or gone."""
    old, new = ({claim.id: claim for claim in report.claims} for report in (before, after))
    out = []
    if before.verdict is not Verdict.ILL_FORMED and after.verdict is not Verdict.ILL_FORMED:
        for claim, told in new.items():
            verdict = old[claim].verdict if claim in old else None
            if verdict is not told.verdict:
                out.append(Shift(claim, told.line, told.sentence, verdict, told.verdict))
    bad = [
        {(d.span.line, d.message) for d in r.diagnostics if _wrong(d.code.id, d.code.severity)} for r in (before, after)
    ]
    for line, message in sorted(bad[1] - bad[0]):
        out.append(Shift("", line, message, None, Verdict.ILL_FORMED))
    for line, message in sorted(bad[0] - bad[1]):
        out.append(Shift("", line, message, Verdict.ILL_FORMED, None))
    return tuple(out)


def _wrong(code: str, severity: Severity) -> bool:
    """Say whether a finding is about the writing of a sheet."""
    return severity is not Severity.NOTE and code[2] in "1234"
