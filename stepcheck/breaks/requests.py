"""A request for a row of figures, and the rows that meet it."""

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache

from attrs import evolve, frozen

from stepcheck.breaks.repertoire import Placed, Readings, Repertoire, lines, repertoire
from stepcheck.breaks.rows import Goal, Search
from stepcheck.breaks.runs import Limits, Row
from stepcheck.breaks.states import State
from stepcheck.model.dance import EIGHTHS, TICKS, Figure, Foot, Weight

_CONDITIONS = ("wanted", "unwanted", "steps", "most_in_a_row", "most_turn", "level", "custom", "facing", "foot")


@frozen
class Break:
    """A row of figures.

    Attributes:
        figures: the figures in the order in which they are danced.
        lines: what a sheet says of them, a line each.
        beats: how long it is, in beats.
        starts: the states that it fits.
        ends: the states that it leads to, one for each of `starts`.
        turning: how far it turns in all, in whole turns, whichever side.
    """

    figures: tuple[Placed, ...]
    lines: tuple[str, ...]
    beats: Fraction
    starts: tuple[State, ...]
    ends: tuple[State, ...]
    turning: Fraction = Fraction(0)

    @property
    def start(self) -> State:
        """The state that it begins in; of several the first."""
        return self.starts[0]

    @property
    def end(self) -> State:
        """The state that it leads to; of several the first."""
        return self.ends[0]


@frozen(eq=False)
class Request:
    """What a row has to be.

    `starts` are alternatives: the row fits one of them, and if that is several states, all of these.  `end` is what it
    leads to; None where it leads back to where it started.  `hard` are the figures above the level, `unwanted` those
    that must not stand in it; `known` are those that the class knows.
    """

    figures: tuple[Figure, ...]
    ticks: int
    starts: tuple[tuple[State, ...], ...]
    end: State | None
    limits: Limits = Limits()
    known: frozenset[Figure] = frozenset()
    hard: tuple[Figure, ...] = ()
    unwanted: tuple[Figure, ...] = ()
    readings: Readings = Readings()
    first: Foot = Foot.LEFT
    any_lead: bool = False

    @property
    def conditions(self) -> tuple[str, ...]:
        """What is asked beside the length, by name, in the order in which it is given up."""
        ends = [self.end] if self.end is not None else [state for starts in self.starts for state in starts]
        asked = {
            "wanted": bool(self.limits.wanted),
            "unwanted": bool(self.unwanted),
            "steps": self.limits.steps is not None,
            "most_in_a_row": self.limits.most_in_a_row is not None,
            "most_turn": self.limits.most_turn is not None,
            "level": bool(self.hard),
            "custom": not self.any_lead and any(figure.one_lead for figure in self.figures),
            "facing": any(end.facing is not None for end in ends),
            "foot": any(end.weight is not None for end in ends),
        }
        return tuple(name for name in _CONDITIONS if asked[name])

    def without(self, condition: str) -> "Request":
        """Return this request without one of its conditions."""
        match condition:
            case "unwanted":
                return evolve(self, unwanted=())
            case "level":
                return evolve(self, hard=())
            case "custom":
                return evolve(self, any_lead=True)
            case "facing" | "foot":
                left = "weight" if condition == "facing" else "facing"
                if self.end is not None:
                    return evolve(self, end=State(**{left: getattr(self.end, left)}))
                kept = {getattr(state, left) for starts in self.starts for state in starts}
                if len(kept) == 1:
                    return evolve(self, end=State(**{left: kept.pop()}))
                return evolve(self, end=State())
            case "wanted":
                return evolve(self, limits=evolve(self.limits, wanted=()))
            case "steps":
                return evolve(self, limits=evolve(self.limits, steps=None))
            case "most_in_a_row":
                return evolve(self, limits=evolve(self.limits, most_in_a_row=None))
            case _:
                return evolve(self, limits=evolve(self.limits, most_turn=None))

    def search(self) -> Search:
        """Return the search among the figures that may be used."""
        barred = {*self.hard, *self.unwanted}
        pool = tuple(figure for figure in self.figures if figure not in barred)
        return Search(made(pool, self.readings, self.first, self.any_lead), self.known)

    def goal(self, start: State) -> Goal:
        """Return what the row has to do from a full state."""
        assert start.weight is not None and start.facing is not None
        end = start if self.end is None else self.end
        weights = Weight if end.weight is None else (end.weight,)
        facings = range(EIGHTHS) if end.facing is None else ((end.facing - start.facing) % EIGHTHS,)
        return Goal(start.weight, frozenset((weight, facing) for weight in weights for facing in facings))

    def found(self, limit: int) -> tuple[Break, ...]:
        """Return the first `limit` rows in the written order."""
        search = self.search()
        rows: list[tuple[int, tuple[int, ...], int, Row]] = []
        done: dict[tuple[Goal, ...], tuple[Row, ...]] = {}
        for number, starts in enumerate(self.starts):
            goals = tuple(map(self.goal, starts))
            if goals not in done:
                done[goals] = tuple(search.rows(self.ticks, goals, self.limits, limit))
            for row in done[goals]:
                cost = sum(search.cost(ways[0]) for ways in row)
                rows.append((cost, tuple(ways[0].rank for ways in row), number, row))
        rows.sort(key=lambda found: found[:3])
        out: dict[tuple[str, ...], Break] = {}
        for _, _, number, row in rows:
            made_break = _break(row, self.starts[number])
            out.setdefault(made_break.lines, made_break)
        return tuple(out.values())[:limit]

    @property
    def possible(self) -> bool:
        """Whether there is a row at all."""
        search = self.search()
        return any(
            next(search.rows(self.ticks, goals, self.limits, 1), None)
            for goals in dict.fromkeys(tuple(map(self.goal, starts)) for starts in self.starts)
        )

    def ends(self) -> Iterator[State]:
        """Yield every full state that a row of this length can lead to, whatever else is asked about the end."""
        for end in State().each(self.first):
            if evolve(self, end=end).possible:
                yield end


@lru_cache(maxsize=64)
def made(figures: tuple[Figure, ...], readings: Readings, first: Foot, any_lead: bool) -> Repertoire:
    """Return the repertoire of these figures; the same question again is answered with the same one."""
    return repertoire(figures, readings, first=first, any_lead=any_lead)


def _break(row: Row, starts: tuple[State, ...]) -> Break:
    """Return a row that was found, with where it leads."""
    figures = tuple(next((way.placed for way in ways if way.placed.named), ways[0].placed) for ways in row)
    ends = []
    for number, start in enumerate(starts):
        assert start.facing is not None
        turn = sum(ways[number].turn for ways in row)
        ends.append(State(row[-1][number].after, (start.facing + turn) % EIGHTHS))
    ticks = sum(ways[0].ticks for ways in row)
    turning = max(sum(abs(ways[number].turn) for ways in row) for number in range(len(starts)))
    return Break(figures, lines(figures), Fraction(ticks, TICKS), starts, tuple(ends), Fraction(turning, EIGHTHS))
