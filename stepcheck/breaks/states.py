"""The state of a dancer read from words, and the repertoire: the figures of a book from each weight."""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from functools import lru_cache
from itertools import product

from attrs import evolve, field, frozen

from stepcheck.books.footwork import Impossible, dance, is_still
from stepcheck.language.printer import print_node
from stepcheck.language.syntax import FootMark, Option, Row, TurnMark
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, Figure, Foot, Version, Weight, key
from stepcheck.model.movements import Movement
from stepcheck.model.source import SearchError as SearchError
from stepcheck.model.source import require
from stepcheck.program.header import settled_as

_FEET = {"left foot": Weight(Foot.LEFT.other), "right foot": Weight(Foot.RIGHT.other), "both feet": Weight.BOTH}
_ANY_FOOT = ("any foot", "either foot")
_ANY_WALL = ("any wall", "every wall")


@frozen
class State:
    """The state of a dancer.

    In words the foot is the free one: `left foot, front` has the weight on the right foot.

    Attributes:
        weight: where the weight is; None where that is left open.
        facing: the wall in eighths of a turn clockwise from the front, 0 to 7; None where that is left open.
    """

    weight: Weight | None = None
    facing: int | None = None

    def __str__(self) -> str:
        """The state as it is written: `left foot, front`."""
        said = [name for name, weight in _FEET.items() if weight is self.weight]
        said += [] if self.facing is None else [words.facing(self.facing)]
        return ", ".join(said) or "any"

    def each(self, lead: Foot = Foot.LEFT) -> Iterator["State"]:
        """Yield every full state that this one allows: `lead` free first, the front first and then clockwise."""
        weights = (Weight(lead.other), Weight(lead), Weight.BOTH) if self.weight is None else (self.weight,)
        facings = range(EIGHTHS) if self.facing is None else (self.facing,)
        for weight in weights:
            for facing in facings:
                yield State(weight, facing)

    def allows(self, weight: Weight, facing: int) -> bool:
        """Say whether a full state is one of these."""
        return self.weight in (None, weight) and self.facing in (None, facing)


def read(said: "str | State") -> State:
    """Return the state that words such as `left foot, front`, `both feet`, `9:00` or `any` describe.

    Raises:
        SearchError: they describe none.
    """
    if isinstance(said, State):
        return said
    require(said, str, "a state, such as `left foot, front`")
    weight: Weight | None = None
    facing: int | None = None
    for piece in said.split(","):
        name = " ".join(piece.split()).casefold().removeprefix("facing ").removeprefix("the ")
        if name in _FEET and weight is None:
            weight = _FEET[name]
        elif name in words.FACINGS and facing is None:
            facing = words.FACINGS[name]
        elif name not in (*_ANY_FOOT, *_ANY_WALL, "any"):
            raise SearchError(
                f"{piece.strip()!r} is no foot and no wall; write it like this: left foot, front"
                " (or both feet; or only a wall, such as back or 9:00; or any)"
            )
    return State(weight, facing)


@frozen
class Placed:
    """A figure as it stands in a row.

    Attributes:
        figure: the figure, of the book.
        eighths: the turn that is written on it and replaces its own, in eighths of a turn, left negative; None leaves
            its own.
        lead: the foot that it goes off with; None if nobody has to choose one.
        named: whether the foot has to be written, since the weight is on both.
        book: the book that is written behind a name that stands in several; None where none is.
    """

    figure: Figure
    eighths: int | None = None
    lead: Foot | None = None
    named: bool = False
    book: str | None = None

    @property
    def name(self) -> str:
        """The figure's name."""
        return self.figure.name

    @property
    def turn(self) -> Fraction | None:
        """The turn that is written on it, in whole turns, left negative; None where none is."""
        return None if self.eighths is None else Fraction(self.eighths, EIGHTHS)


@frozen(eq=False)
class Danceable:
    """One thing that can be danced from some weight.

    `rank` is its place in the order of the book; `ticks` how long it takes; `after` the weight and `turn` the signed
    eighths that come of it.
    """

    placed: Placed
    rank: int
    ticks: int
    after: Weight
    turn: int

    @property
    def written(self) -> tuple[Figure, int | None, Foot | None]:
        """The text that writes it, as values: figure, turn, named foot."""
        return self.placed.figure, self.placed.eighths, self.placed.lead if self.placed.named else None


@frozen
class Readings:
    """The readings that hold instead of the usual ones.

    Attributes:
        figures: pairs of the name of a figure and the label of its reading.
        movements: the same for movements.
        open: whether every word that is not settled here stands for all its meanings.
    """

    figures: tuple[tuple[str, str], ...] = ()
    movements: tuple[tuple[str, str], ...] = ()
    open: bool = False


@frozen(eq=False)
class Repertoire:
    """The ways from each weight, in the order of `figures`."""

    figures: tuple[Figure, ...] = field(repr=False)
    ways: Mapping[Weight, tuple[Danceable, ...]] = field(repr=False)


@lru_cache(maxsize=64)
def repertoire(
    figures: tuple[Figure, ...], readings: Readings = Readings(), *, first: Foot = Foot.LEFT, any_lead: bool = False
) -> Repertoire:
    """Return the ways from each weight with `figures`.

    A figure is danced with its own turn or with one that is usual for it; from both feet the foot is chosen, `first`
    first.

    Args:
        figures: in the order that decides between rows that are equally good.
        readings: which meanings hold.
        first: the foot that goes first in this kind of dance.
        any_lead: whether figures that custom leads with one foot only are led with the other one as well.
    """
    ways: dict[Weight, list[Danceable]] = {weight: [] for weight in Weight}
    homes: dict[str, set[str]] = {}
    for figure in figures:
        for name in (figure.name, *figure.names):
            homes.setdefault(key(name), set()).add(figure.book)
    for place, figure in enumerate(figures):
        # where all of it is still, nobody has to choose a lead for it from both feet
        still = all(is_still(version, senses) for version, senses in _meanings(figure, readings))
        book = figure.book if len(homes[key(figure.name)]) > 1 else None
        for lead in (first, first.other):
            if figure.one_lead and lead is not figure.lead and not any_lead:
                continue
            for way in _ways(figure, lead, readings, book, (place << 8) + int(lead is not first)):
                ways[Weight(lead.other)].append(way)
                if not still:
                    ways[Weight.BOTH].append(evolve(way, placed=evolve(way.placed, named=True)))
                elif lead is figure.lead:
                    ways[Weight.BOTH].append(evolve(way, placed=evolve(way.placed, lead=None), after=Weight.BOTH))
    return Repertoire(
        figures, {weight: tuple(sorted(found, key=lambda way: way.rank)) for weight, found in ways.items()}
    )


def lines(row: Iterable[Placed]) -> tuple[str, ...]:
    """Return a row as the lines of a sheet, equal neighbours on one line."""
    out: list[tuple[Option, Placed]] = []
    for placed in row:
        if out and not placed.named and (out[-1][1].figure, out[-1][1].eighths) == (placed.figure, placed.eighths):
            option, before = out[-1]
            out[-1] = Option(option.name, (option.times or 1) + 1, option.book, option.marks), before
        else:
            out.append((_option(placed), placed))
    return tuple(print_node(Row((option,))) for option, _ in out)


def _option(placed: Placed) -> Option:
    marks: list[FootMark | TurnMark] = []
    if placed.named and placed.lead is not None:
        marks.append(FootMark(placed.lead))
    if placed.eighths is not None:
        marks.append(TurnMark.of(placed.eighths))
    return Option(placed.figure.name, book=placed.book, marks=tuple(marks))


def _ways(figure: Figure, lead: Foot, readings: Readings, book: str | None, rank: int) -> list[Danceable]:
    """Return the ways of a figure that `lead` leads; none if what comes of it hangs on an open word."""
    swap = lead is not figure.lead
    sign = -1 if swap else 1
    outcomes = set()
    for version, senses in _meanings(figure, readings):
        end = dance(version, lead, swap, senses)
        if isinstance(end, Impossible) or version.length <= 0:
            return []
        outcomes.add((end, version.length, version.turn))
    if len(outcomes) != 1:
        return []
    end, ticks, own = outcomes.pop()
    turns = [None, *(turn for turn in dict.fromkeys(figure.usual_turns) if turn != own)]
    return [
        Danceable(
            Placed(figure, None if turn is None else sign * turn, lead, False, book),
            rank + 2 * number,
            ticks,
            end,
            sign * (own if turn is None else turn),
        )
        for number, turn in enumerate(turns)
    ]


def _meanings(figure: Figure, readings: Readings) -> Iterator[tuple[Version, dict[str, int]]]:
    """Yield each version of a figure that may be meant, with senses for the movements in it."""
    labels = tuple(version.label for version in figure.versions)
    own = settled_as(readings.figures, figure.name, labels)
    every = range(len(figure.versions)) if readings.open else (figure.usual,)
    for number in every if own is None else (own,):
        version = figure.versions[number]
        several = {
            action.movement.name: action.movement for action in version.actions if len(action.movement.senses) > 1
        }
        choices = [tuple(_senses(movement, readings)) for movement in several.values()]
        for chosen in product(*choices):
            yield version, dict(zip(several, chosen, strict=True))


def _senses(movement: Movement, readings: Readings) -> Iterable[int]:
    """Return the senses of a movement that may be meant."""
    chosen = settled_as(readings.movements, movement.name, tuple(sense.label for sense in movement.senses))
    if chosen is not None:
        return (chosen,)
    return range(len(movement.senses)) if readings.open else (movement.usual,)
