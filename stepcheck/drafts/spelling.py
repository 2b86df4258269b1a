"""Figures that are named with their steps beside them: whether these are the footwork of the book."""

import itertools
from collections.abc import Sequence

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.drafts.counts import Counts
from stepcheck.drafts.outline import WEIGHT, Move
from stepcheck.drafts.steps import OTHER, Event, Mention, Step
from stepcheck.model.dance import TICKS, Figure

_ALIKE = {"R": "RK", "RK": "RK", "CL": "S", "BA": "S", "TAP": "TCH", "PT": "TCH", "TT": "TCH"}


def version(name: str, book: Book) -> tuple[Figure, tuple[Move, ...]] | None:
    """Return the figure of this name with the movements of its usual reading, on their ticks, begun by the left foot.

    Feet are those of the row; a movement without one has "".
    """
    called, _, ending = name.partition(" ending ")
    found = book.find(called)
    if len(found) != 1 or not found[0].versions:
        return None
    usual = next(
        (each for each in found[0].versions if ending and each.label == f"ends {ending}"),
        found[0].versions[found[0].usual],
    )
    return found[0], tuple(Move(_code(action.movement.forms[0]), "", action.tick) for action in usual.actions)


def _code(form: str) -> str:
    return {"R": "RK"}.get(form, form)


def _spelled(steps: Sequence[Step], moves: tuple[Move, ...]) -> bool:
    """Say whether steps are the movements of a figure."""
    codes = [code for step in steps for code in step.codes]
    wanted = [move.code for move in moves]
    return [_ALIKE.get(code, code) for code in codes] == [_ALIKE.get(code, code) for code in wanted]


def folded(events: Sequence[Event], counts: Counts | None, book: Book) -> list[Event]:
    """Return the events, figures having taken in the steps that spell them; a spelling that is another row stands alone."""
    out = list(events)
    names = [event for event in out if isinstance(event, Mention)]
    for named in names:
        figure = version(named.name, book)
        at = out.index(named)
        behind = [event for event in out[at + 1 :] if isinstance(event, Step)]
        if named.ends and figure is not None and behind and (called := _ending(figure[0], figure[1], behind[0])):
            out = [evolve(named, name=called) if event is named else event for event in out if event is not behind[0]]
            continue
        alone = counts is not None and len(names) == 1 and figure is not None and fits(counts, figure[1])
        if figure is None or not behind or named.times > 1 or not (named.spelled or alone):
            continue
        moves = figure[1]
        size = sum(1 for move in moves if move.code != "PV")
        if alone and not named.spelled and len(behind) < size:
            rest = behind
            feet = named.feet + "".join(step.foot for step in rest)
            bare = all(step.codes == ("S",) and not step.note for step in rest) and _alternate(feet)
            last = len(rest) == 1 and _spelled(rest, moves[-1:])
            if bare or last:
                taken = evolve(
                    named,
                    feet=feet if bare else named.feet,
                    note=named.note + tuple(n for step in rest for n in step.note),
                )
                out = [taken if event is named else event for event in out if event not in rest]
            continue
        steps = behind[:size]
        turns = [(index, step.turn) for index, step in enumerate(steps) if step.turn]
        feet = named.feet[:1] or steps[0].foot
        fit = _spelled(steps, moves) and _possible(steps, feet)
        if fit and len(turns) < 2 and not (turns and named.turn and turns[0][1].eighths != named.turn.eighths):
            place = (
                counts_at([move for move in moves if move.code != "PV"], turns[0][0])
                if turns and turns[0][0] < len(moves)
                else 0
            )
            bare = all(step.codes == ("S",) and not step.note for step in steps)
            spin = named.turn if named.turn and (named.turn.side or not turns) else turns[0][1] if turns else None
            note = named.note + tuple(" ".join(step.note) for step in steps if step.note)
            taken = evolve(named, feet=feet, turn=spin, at=0 if bare else place, note=note)
            out = [taken if event is named else event for event in out if not any(event is step for step in steps)]
        elif named.spelled or len(behind) == len(counts.points if counts else ()):
            out.remove(named)
            first = out.index(steps[0])
            out[first] = evolve(steps[0], note=(f"{named.name.casefold()}:", *steps[0].note))
    return out


def _ending(figure: Figure, moves: tuple[Move, ...], last: Step) -> str:
    """Return a figure's name with the reading that ends in this step, "" if the book has none."""
    if _spelled([last], moves[-1:]):
        return figure.name
    wanted = [*(move.code for move in moves[:-1]), last.codes[-1]]
    for each in figure.versions:
        if [_code(action.movement.forms[0]) for action in each.actions] == wanted and each.label.startswith("ends "):
            return f"{figure.name} ending {each.label.removeprefix('ends ')}"
    return ""


def counts_at(moves: Sequence[Move], index: int) -> int:
    """Return the count that a movement belongs to."""
    return max(1, moves[index].tick // TICKS)


def length_of(moves: tuple[Move, ...]) -> int:
    """Return how many counts a row of movements lasts."""
    return max(move.tick // TICKS for move in moves)


def fits(counts: Counts, moves: tuple[Move, ...]) -> bool:
    """Say whether the points of a group are those on which a figure is danced, or its whole counts."""
    ticks = tuple(move.tick for move in moves if move.code != "PV")
    return counts.inside(counts.points) == ticks or (
        counts.whole and counts.length == length_of(moves) and all(not t % TICKS for t in ticks)
    )


def _alternate(feet: str) -> bool:
    return all(one != other for one, other in itertools.pairwise(feet))


def _possible(steps: Sequence[Step], foot: str) -> bool:
    """Say whether every foot that is named is the free one, `foot` being free first."""
    for step in steps:
        if step.foot and foot and step.foot != foot:
            return False
        foot = foot or step.foot
        if step.codes[-1] in WEIGHT and foot:
            foot = OTHER[foot]
    return True
