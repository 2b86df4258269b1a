"""Questions about a whole catalogue: its figures, what can follow what, what is the same, what a class can dance."""

import os
from collections.abc import Iterable, Iterator

from attrs import field, frozen

from stepcheck.books.book import too_hard
from stepcheck.books.footwork import Words
from stepcheck.breaks.states import SearchError
from stepcheck.catalogue import likeness
from stepcheck.catalogue.discovery import sheets
from stepcheck.model.dance import Body, Choice, Figure, Program, Repeat, Step, Weight
from stepcheck.model.source import SourceError
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.walk.effects import Algebra
from stepcheck.walk.frontier import BudgetSpent, Fronts
from stepcheck.walk.walk import DEFAULT_BUDGET


@frozen
class Shelf:
    """The routines that questions are asked about, and the sheets that none can be asked about, with the reason."""

    routines: tuple[Routine, ...] = field(repr=False)
    left_out: tuple[tuple[str, str], ...] = ()


def shelf(paths: str | os.PathLike[str] | Iterable[str | os.PathLike[str]], *, exclude: Iterable[str] = ()) -> Shelf:
    """Return the routines that `paths` mean, as for `check_catalogue`; those that are ill-formed are left out."""
    paths = (paths,) if isinstance(paths, str | os.PathLike) else paths
    found = sheets([os.fspath(path) for path in paths], exclude=exclude)
    routines, left_out = [], list(found.missing)
    for path in found.sheets:
        try:
            routine = pipeline.load(path)
        except SourceError as error:
            left_out.append((path, str(error)))
            continue
        if routine.program is None:
            left_out.append((path, "it is ill-formed"))
        else:
            routines.append(routine)
    return Shelf(tuple(routines), tuple(left_out))


def _programs(shelf: Shelf) -> Iterator[tuple[Routine, Program]]:
    for routine in shelf.routines:
        if routine.program is not None:
            yield routine, routine.program


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
    for routine, program in _programs(shelf):
        for figure, (times, lines) in _counted(program).items():
            place = Place(routine.path, times, tuple(sorted(lines)))
            found.setdefault((figure.name.partition(" from ")[0], figure.book), []).append(place)
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
            if isinstance(item, Step):
                more = {item.figure: (1, {item.line})}
                factor = 1
            else:
                bodies = item.options if isinstance(item, Choice) else (getattr(item, "body", ()),)
                factor = (item.times or 1) if isinstance(item, Repeat) else 1
                more = _together(map(visit, bodies))
            for figure, (times, lines) in more.items():
                before = out.get(figure, (0, set()))
                out[figure] = before[0] + factor * times, before[1] | lines
        done[id(body)] = out
        return out

    return visit(program.dance)


def _together(found: Iterable[dict[Figure, tuple[int, set[int]]]]) -> dict[Figure, tuple[int, set[int]]]:
    out: dict[Figure, tuple[int, set[int]]] = {}
    for one in found:
        for figure, (times, lines) in one.items():
            before = out.get(figure, (0, set()))
            out[figure] = before[0] + times, before[1] | lines
    return out


# -- medleys ---------------------------------------------------------------------------------------------------------


@frozen
class Ends:
    """How a routine begins and ends: the foot that goes first and the wall, and every (weight, wall) that it can end
    with."""

    path: str
    lead: Weight
    facing: int
    ends: frozenset[tuple[Weight, int]]


@frozen
class Follow:
    """`after` can follow `before` without a step between; `always` says: however `before` is danced."""

    before: str
    after: str
    always: bool = True


def follows(shelf: Shelf) -> tuple[Follow, ...]:
    """Return which routines can follow which in a medley without a step between, in the order of the catalogue.

    The free foot and the wall at the end must be those at the start of the other; after both feet either foot may go
    first.  A routine may follow itself.
    """
    every = [made for routine, program in _programs(shelf) if (made := ends(routine, program)) is not None]
    out = []
    for one in every:
        for other in every:
            fits = [wall == other.facing and weight in (other.lead, Weight.BOTH) for weight, wall in one.ends]
            if any(fits):
                out.append(Follow(one.path, other.path, all(fits)))
    return tuple(out)


def ends(routine: Routine, program: Program) -> Ends | None:
    """Return how a routine begins and ends as its words are usually read, None if that is more than the budget
    allows."""
    fronts = Fronts(program, Algebra(), DEFAULT_BUDGET, Words(program))
    lead = Weight(program.lead.other)
    try:
        branches = fronts.run(program.dance, fronts.begin((lead,)), program.facing)
    except BudgetSpent:
        return None
    found = frozenset(
        (weight, wall)
        for branch in branches
        for _, weight, entry in branch.effect.entries()
        for wall in entry.walls(program.facing)
    )
    return Ends(routine.path, lead, program.facing, found)


# -- what is the same ------------------------------------------------------------------------------------------------


@frozen
class Twins:
    """Routines that are one dance under several titles; `mirrored` are those danced as the mirror image of the
    first."""

    paths: tuple[str, ...]
    titles: tuple[str, ...]
    mirrored: tuple[str, ...] = ()


def twins(shelf: Shelf) -> tuple[Twins, ...]:
    """Return the routines that are the same dance, whatever its title and its parts are called.

    Neither do the names of figures count that a sheet defines itself, nor how repeats are written, nor the first wall.
    """
    groups: dict[object, list[tuple[Routine, likeness.Danced]]] = {}
    for routine, program in _programs(shelf):
        made = likeness.danced(program)
        if made is not None and made.steps:
            groups.setdefault(made.either, []).append((routine, made))
    out = []
    for group in groups.values():
        if len(group) > 1:
            first = group[0][1]
            mirrored = tuple(routine.path for routine, made in group if made.steps != first.steps)
            paths, titles = zip(*((routine.path, routine.title) for routine, _ in group), strict=True)
            out.append(Twins(paths, titles, mirrored))
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
    groups: dict[object, list[tuple[tuple[str, str], likeness.Danced]]] = {}
    for routine, program in _programs(shelf):
        for name, made in likeness.parts(program).items():
            if made.steps:
                groups.setdefault(made.either, []).append(((routine.path, name), made))
    out = []
    for group in groups.values():
        if len(group) > 1:
            mirrored = tuple(place for place, made in group if made.steps != group[0][1].steps)
            out.append(Recurrence(tuple(place for place, _ in group), mirrored))
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
    for routine, program in _programs(shelf):
        book = routine.facts.book
        assert book is not None
        names = {figure.name.partition(" from ")[0]: figure for figure in _counted(program)}
        known = {name: home for name, figure in names.items() if figure.book and (home := _home(book.find(name)))}
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


def _home(figures: tuple[Figure, ...]) -> Figure | None:
    """Return the figure of the book that a name stands for, before its words were settled."""
    return figures[0] if figures else None
