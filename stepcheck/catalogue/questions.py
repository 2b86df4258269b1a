"""Questions about a whole catalogue: figures, medleys, what is the same, a class's level, what a new book changes."""

import os
from collections.abc import Iterable
from itertools import chain, compress
from typing import TYPE_CHECKING

from attrs import evolve, frozen

from stepcheck.books import book as books
from stepcheck.books.book import Book, too_hard
from stepcheck.breaks.states import SearchError
from stepcheck.catalogue.discovery import sheets
from stepcheck.catalogue.likeness import plain_name
from stepcheck.catalogue.relations import Shelf, alike, likeness_graph
from stepcheck.model.choices import Engine
from stepcheck.model.dance import Body, Figure, Program, Repeat, Step, key
from stepcheck.model.items import inside
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import SourceError
from stepcheck.report import pipeline
from stepcheck.report.text import mistakes
from stepcheck.report.values import Report
from stepcheck.walk.effects import Algebra

if TYPE_CHECKING:
    pass


# -- figures ---------------------------------------------------------------------------------------------------------


@frozen
class Place:
    """How often a routine dances a figure, once through it, and the lines on which it does."""

    path: str
    times: int
    lines: tuple[int, ...]


@frozen
class Use:
    """A figure of a book, or of a sheet itself (then `book` is empty), and the routines that dance it."""

    figure: str
    book: str
    places: tuple[Place, ...]

    @property
    def times(self) -> int:
        """How often it is danced in all."""
        return sum(place.times for place in self.places)


def uses(shelf: Shelf) -> tuple[Use, ...]:
    """Return which figures are danced where and how often, those of most routines first, then the most danced.

    Every alternative of a variation counts; what goes on until the music ends counts once through.
    """
    found: dict[tuple[str, str], list[Place]] = {}
    for routine, program in shelf.programs:
        for figure, (times, lines) in _counted(program).items():
            place = Place(routine.path, times, tuple(sorted(lines)))
            found.setdefault((plain_name(figure), figure.book), []).append(place)
    made = [Use(name, book, tuple(places)) for (name, book), places in found.items()]
    return tuple(sorted(made, key=lambda use: (-len(use.places), -use.times, use.figure, use.book)))


def _counted(program: Program) -> dict[Figure, tuple[int, set[int]]]:
    """Return the figures of a dance, each with how often it is danced and its lines."""
    done: dict[int, dict[Figure, tuple[int, set[int]]]] = {}

    def visit(body: Body) -> dict[Figure, tuple[int, set[int]]]:
        if id(body) in done:
            return done[id(body)]
        out: dict[Figure, tuple[int, set[int]]] = {}
        for item in body:
            factor = (item.times or 1) if isinstance(item, Repeat) else 1
            more = [{item.figure: (1, {item.line})}] if isinstance(item, Step) else map(visit, inside(item))
            for figure, (times, lines) in chain.from_iterable(one.items() for one in more):
                before = out.get(figure, (0, set()))
                out[figure] = before[0] + factor * times, before[1] | lines
        done[id(body)] = out
        return out

    return visit(program.dance)


# -- what is the same ----------------------------------------------------------------------------------


@frozen
class Twins:
    """Routines that are one dance under several titles; `mirrored` are those danced as the mirror image of the
    first."""

    paths: tuple[str, ...]
    titles: tuple[str, ...]
    mirrored: tuple[str, ...] = ()


def twins(shelf: Shelf) -> tuple[Twins, ...]:
    """Return the routines that are the same dance, whatever its title and its parts are called.

    The names of a sheet's own figures do not count either, nor how repeats are written, nor the first wall.
    """
    out = []
    for some in alike(likeness_graph(shelf), "routine"):
        paths, titles, mirrored = zip(*some, strict=True)
        out.append(Twins(paths, titles, tuple(compress(paths, mirrored))))
    return tuple(out)


@frozen
class Recurrence:
    """A part that several routines have, and under which names: pairs of a path and a name."""

    places: tuple[tuple[str, str], ...]
    mirrored: tuple[tuple[str, str], ...] = ()

    @property
    def routines(self) -> int:
        """How many routines have it."""
        return len({path for path, _ in self.places})


def recurring(shelf: Shelf) -> tuple[Recurrence, ...]:
    """Return the parts that recur, in another routine or under another name, those of most routines first."""
    out = []
    for some in alike(likeness_graph(shelf), "part"):
        places = tuple((path, name) for path, name, _ in some)
        out.append(Recurrence(places, tuple(place for place, one in zip(places, some, strict=True) if one[2])))
    return tuple(sorted(out, key=lambda one: (-one.routines, one.places)))


# -- what a class can dance ------------------------------------------------------------------------------------------


@frozen
class Fit:
    """Whether a class of a level can dance a routine.

    `hard` are the figures above the level, or with levels of other schemes only, `unknown` those whose level nobody
    says.
    """

    path: str
    title: str
    hard: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    reason: str = ""

    @property
    def fits(self) -> bool:
        """Whether every figure is known to be of at most the level."""
        return not (self.hard or self.unknown or self.reason)


def danceable(shelf: Shelf, level: str) -> tuple[Fit, ...]:
    """Return for each routine whether a class of `level`, such as `easy` or `basic in convention`, can dance it.

    Figures that a sheet defines itself have no level; where the book of a routine has no such level, that is the
    reason.

    Raises:
        SearchError: no book has the level.
    """
    out = []
    for routine, program in shelf.programs:
        book = routine.facts.book
        assert book is not None
        names = {plain_name(figure): figure for figure in _counted(program)}
        # the figures of the book, before their words were settled
        known = {name: found[0] for name, figure in names.items() if figure.book and (found := book.find(name))}
        try:
            barred = too_hard(book, book.figures(), level)
        except SearchError as error:
            out.append(Fit(routine.path, routine.title, reason=str(error)))
            continue
        above = set(map(id, barred))
        hard = tuple(sorted(name for name, figure in known.items() if id(figure) in above and figure.levels))
        unknown = tuple(sorted(name for name in names if name not in known or not known[name].levels))
        out.append(Fit(routine.path, routine.title, hard, unknown))
    if out and all(fit.reason for fit in out):
        raise SearchError(out[0].reason)
    return tuple(out)


# -- when a book changes --------------------------------------------------------------------------------------------


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

    @property
    def changed(self) -> tuple[Change, ...]:
        """The sheets in which a verdict or a finding about the writing is another one."""
        return tuple(one for one in self.changes if one.shifts or one.before is not one.after)


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
    old, new = (one if isinstance(one, Book) else books.load(one) for one in (old_book, new_book))
    return survey_impact(old, new, paths, engine=engine, budget=budget).changed


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


def _same(book: Book, old: Book) -> bool:
    """Say whether a book is the old one: it has its name, or is read from its file."""
    shelves = [one.shelf for one in (book, old) if one.shelf is not None]
    paths = {os.path.realpath(shelf.text.source.path) for shelf in shelves}
    return key(book.name) == key(old.name) or (len(shelves) == 2 and len(paths) == 1)


def _uses(book: Book, old: Book) -> bool:
    return any(_same(one, old) for one in books.within(book))


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
    gone, came = ({(one.span.line, one.message) for one in mistakes(report)} for report in (before, after))
    out += (Shift("", *one, None, Verdict.ILL_FORMED) for one in sorted(came - gone))
    out += (Shift("", *one, Verdict.ILL_FORMED, None) for one in sorted(gone - came))
    return tuple(out)
