"""A request for a row of figures, the rows that meet it, and why none does: a least set of conditions that cannot hold
together.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from attrs import evolve, frozen

from stepcheck.breaks.rows import Goal, Search
from stepcheck.breaks.runs import Limits, Row
from stepcheck.breaks.states import Placed, Readings, State, lines, repertoire
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, TICKS, Figure, Foot, Weight


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
    """The conditions on a row.

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
    def _asked_ends(self) -> list[State]:
        """The end that is asked for, or else the starts, to which the row leads back."""
        return [self.end] if self.end is not None else [state for starts in self.starts for state in starts]

    @property
    def conditions(self) -> tuple[str, ...]:
        """The conditions beside the length, by name, in the order in which they are given up."""
        ends = self._asked_ends
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
        return tuple(name for name, wanted in asked.items() if wanted)

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
                kept = {getattr(state, left) for state in self._asked_ends}
                return evolve(self, end=State(**{left: kept.pop()}) if len(kept) == 1 else State())
            case _:
                none: dict[str, Any] = {condition: () if condition == "wanted" else None}
                return evolve(self, limits=evolve(self.limits, **none))

    def search(self) -> Search:
        """Return the search among the figures that may be used."""
        barred = {*self.hard, *self.unwanted}
        pool = tuple(figure for figure in self.figures if figure not in barred)
        return Search(repertoire(pool, self.readings, first=self.first, any_lead=self.any_lead), self.known)

    def goal(self, start: State) -> Goal:
        """Return the goal of the row from a full state."""
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
                rows.append((*search.order(row), number, row))
        rows.sort(key=lambda found: found[:3])
        out: dict[tuple[str, ...], Break] = {}
        for _, _, number, row in rows:
            made = _break(row, self.starts[number])
            out.setdefault(made.lines, made)
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


def written(row: Row) -> tuple[Placed, ...]:
    """Return the figures of a row as the sheet has them."""
    return tuple(next((way.placed for way in ways if way.placed.named), ways[0].placed) for ways in row)


def _break(row: Row, starts: tuple[State, ...]) -> Break:
    figures, ends = written(row), []
    for number, start in enumerate(starts):
        assert start.facing is not None
        turn = sum(ways[number].turn for ways in row)
        ends.append(State(row[-1][number].after, (start.facing + turn) % EIGHTHS))
    ticks = sum(ways[0].ticks for ways in row)
    turning = max(sum(abs(ways[number].turn) for ways in row) for number in range(len(starts)))
    return Break(figures, lines(figures), Fraction(ticks, TICKS), starts, tuple(ends), Fraction(turning, EIGHTHS))


MOST_BEATS = 128
_NEAR = 8  # beats within which other lengths are tried


def reason(request: Request, level: str = "") -> str:
    """Return why there is no row for `request`.

    Each condition that is named is needed: without it, and with all the others named, there would be a row.

    Args:
        request: a request for which there is no row.
        level: how the caller names the level.
    """
    kept, least = [], request
    for condition in request.conditions:
        without = least.without(condition)
        if without.possible:
            kept.append(condition)
        else:
            least = without
    shown = words.length(request.ticks)
    if not kept:
        return f"no row of figures lasts exactly {shown}: {_lengths(least)}"
    asked = _asked(least, kept, level)
    begins = _begins(request)
    return f"no row of {shown}{begins} {' and '.join(asked)}: {_since(least, kept, shown)}{_nearest(least)}"


def _begins(request: Request) -> str:
    """Return how the row begins, as far as that is asked."""
    states = [state for starts in request.starts for state in starts]
    if any(len(starts) > 1 for starts in request.starts):
        feet = list(dict.fromkeys(said(State(state.weight)) for state in states))
        if len(feet) == 1:
            walls = [words.towards(state.facing) for state in states if state.facing is not None]
            return f" that may begin {feet[0]}, facing {words.listed(walls, 'or')}"
        return f" that may begin {words.listed(list(map(said, states)), 'or')}"
    common = State(
        states[0].weight if len({state.weight for state in states}) == 1 else None,
        states[0].facing if len({state.facing for state in states}) == 1 else None,
    )
    return f" that begins {said(common)}" if common != State() else ""


def said(state: State) -> str:
    """Return a state in words: `with the left foot free, facing front`."""
    pieces = []
    if state.weight is not None:
        both = state.weight is Weight.BOTH
        pieces.append("with the weight on both feet" if both else f"with the {words.free(state.weight)} foot free")
    if state.facing is not None:
        pieces.append(f"facing {words.towards(state.facing)}")
    return ", ".join(pieces) or "anywhere"


def _asked(request: Request, kept: list[str], level: str) -> list[str]:
    """Return the conditions that cannot hold together, as what the row would do."""
    limits = request.limits
    least, most = limits.steps or (0, 0)
    end = "ends as it began" if request.end is None else f"ends {said(request.end)}"
    does = {
        "wanted": f"holds {_names(limits.wanted)}",
        "unwanted": f"does without {_names(request.unwanted)}",
        "level": f"keeps to the level {level}".rstrip(),
        "steps": f"has {words.count(most, 'figure') if least == most else f'{least} to {most} figures'}",
        "most_in_a_row": f"has no figure more than {words.count(limits.most_in_a_row or 0, 'time')} in a row",
        "most_turn": f"turns no further than {words.size(limits.most_turn)} in all"
        if limits.most_turn
        else "has no turn",
        "custom": "keeps figures to the foot that custom leads them with",
        "foot": end,
        "facing": end,
    }
    return list(dict.fromkeys(clause for name, clause in does.items() if name in kept))


def _names(figures: tuple[Figure, ...]) -> str:
    return " and ".join(figure.name for figure in figures)


def _since(request: Request, kept: list[str], shown: str) -> str:
    """Return what is true instead, of the end if it is in question, else of the conditions."""
    ends = list(request.ends()) if "foot" in kept or "facing" in kept else []
    if not ends:
        return _conditions(request, kept)
    feet = dict.fromkeys(state.weight for state in ends)
    walls = sorted({state.facing for state in ends if state.facing is not None})
    if "facing" not in kept:
        free = [words.freely(weight) for weight in feet if weight is not None]
        return f"after exactly {shown} {words.listed(free, 'or')}"
    reached = f"after {shown} one can only face {words.listed([words.towards(wall) for wall in walls], 'or')}"
    if "foot" not in kept:
        return reached
    wanted = request.end
    if wanted is not None and wanted.facing in walls:
        there = dict.fromkeys(
            state.weight for state in ends if state.facing == wanted.facing and state.weight is not None
        )
        return f"facing {words.towards(wanted.facing)} {words.listed([words.freely(weight) for weight in there], 'or')}"
    return reached


def _conditions(request: Request, kept: list[str]) -> str:
    """Return the sentence about one condition, where the end is not in question."""
    if kept == ["wanted"]:
        shortest = [(figure.name, figure.length) for figure in request.limits.wanted]
        total = sum(ticks for _, ticks in shortest)
        if total > request.ticks:
            return (
                f"{_names(request.limits.wanted)} alone take{'s' if len(shortest) == 1 else ''} {words.length(total)}"
            )
        return "what is left beside it cannot be filled"
    if "facing" in kept or "foot" in kept:
        return "no one row leads there from all of these"
    other = {
        "unwanted": "every row of that length has to have one of them",
        "level": "every row has a harder figure in it",
        "steps": "every row has more or fewer",
        "most_in_a_row": "every row has one more often",
        "most_turn": "every row turns further",
        "custom": "every row leads a figure with the other foot",
    }
    return other[kept[0]] if len(kept) == 1 else "each of these can be had alone, but not all together"


def _lengths(request: Request) -> str:
    """Return why no figures last so long together."""
    ways = [way for found in request.search().repertoire.ways.values() for way in found]
    if not ways:
        return "there are no figures"
    shortest = min(way.ticks for way in ways)
    if shortest > request.ticks:
        return f"the shortest figure takes {words.length(shortest)}"
    if all(way.ticks % TICKS == 0 for way in ways) and request.ticks % TICKS:
        return "every figure takes whole beats"
    return "the figures' lengths do not add up to it" + _nearest(request)


def _nearest(request: Request) -> str:
    """Return the nearest lengths, in whole beats, at which it can be done."""
    found = []
    for step in (-1, 1):
        beats = request.ticks // TICKS + (step > 0) if request.ticks % TICKS else request.ticks // TICKS + step
        for length in range(beats, beats + step * _NEAR, step):
            if 0 < length <= MOST_BEATS and evolve(request, ticks=length * TICKS).possible:
                found.append(length)
                break
    if not found:
        return ""
    return f"; it can be done in {' or '.join(map(str, found))} beat{'' if found == [1] else 's'}"
