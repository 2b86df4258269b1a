"""Figures that take in the steps behind them: those that spell them, and those that they end in."""

import itertools
from collections.abc import Sequence
from typing import TypeVar

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.model.dance import Figure
from stepcheck.steps.counts import Counts, code_of, counts_at, counts_of_figure, fits, length_of, needs, spins, version
from stepcheck.steps.feet import alternate, makes
from stepcheck.steps.outline import Assumptions, Move
from stepcheck.steps.steps import OTHER, SIDE, WEIGHT, Aside, Event, Mention, Step, Unread

Kind = TypeVar("Kind")


def only(events: Sequence[Event], kind: type[Kind]) -> list[Kind]:
    """Return the events of one kind."""
    return [event for event in events if isinstance(event, kind)]


def lasts(events: Sequence[Event], book: Book) -> int:
    """Return how many counts events last, where each step has one."""
    return sum(
        counts_of_figure(event, book) if isinstance(event, Mention) else isinstance(event, Step) for event in events
    )


_ALIKE = {"R": "RK", "RK": "RK", "CL": "S", "BA": "S", "TAP": "TCH", "PT": "TCH", "TT": "TCH", "TW": "TCH", "HW": "HT"}


def _spelled(steps: Sequence[Step], moves: Sequence[Move]) -> bool:
    """Say whether steps are the movements of a figure."""
    codes = [_ALIKE.get(code, code) for step in steps for code in step.codes]
    return codes == [_ALIKE.get(move.code, move.code) for move in moves]


def folded(
    events: Sequence[Event], counts: Counts | None, book: Book, length: int, assumed: Assumptions
) -> list[Event]:
    """Return the events, figures having taken in the steps that spell them; a spelling that is another row stands
    alone."""
    out = list(events)
    names = only(out, Mention)
    for named in names:
        figure = version(named.name, book)
        out = _explained(named, out, sum(move.code != "PV" for move in figure[1])) if figure else out
        behind = only(out[out.index(named) + 1 :], Step)
        if named.bracketed and behind and behind[0].inside:
            named = _put(out, named, evolve(named, spelled=True))
        if figure is None or not behind:
            continue
        moves = figure[1]
        if named.ends and (called := _ending(figure[0], moves, behind[0])):
            out = _taken(out, named, evolve(named, name=called, note=named.note + behind[0].note), behind[:1])
            continue
        size = sum(move.code != "PV" for move in moves)
        told = fits(counts, moves) if counts else length == length_of(moves) and len(behind) >= size
        alone = len(names) == 1 and told
        if named.times > 1 or not (named.spelled or named.explained or alone):
            continue
        if alone and not named.spelled and len(behind) < size:
            feet = named.feet + "".join(step.foot for step in behind)
            bare = _bare(behind) and len(feet) == size and (alternate(feet) or makes(feet, moves))
            if bare or (len(behind) == 1 and not _bare(behind) and _spelled(behind, moves[-1:])):
                note = named.note + tuple(word for step in behind for word in step.note)
                named = _put(out, named, evolve(named, turn=next((s.turn for s in behind if s.turn), named.turn)))
                name, feet = (named.name, feet) if bare else (_closed(named, figure, behind[0]), named.feet)
                out = _taken(out, named, evolve(named, name=name, feet=feet, note=note), behind)
            continue
        steps = behind[:size]
        turns = [(index, step.turn) for index, step in enumerate(steps) if step.turn]
        feet = named.feet[:1] or steps[0].foot
        made = _bare(steps) and makes("".join(step.foot for step in steps), moves)
        fit = made or (_spelled(steps, moves) and _possible(steps, feet))
        fit = fit and (counts is None or len(names) > 1 or _on(counts, out, named, moves, book, steps))
        if fit and len(turns) < 2 and not (turns and named.turn and turns[0][1].eighths != named.turn.eighths):
            placed = bool(turns) and turns[0][0] < len(moves) and not _bare(steps)
            place = counts_at([move for move in moves if move.code != "PV"], turns[0][0]) if placed else 0
            spin = named.turn if named.turn and (named.turn.side or not turns) else turns[0][1] if turns else None
            note = named.note + tuple(" ".join(step.note) for step in steps if step.note)
            name = named.name if made else _closed(named, figure, steps[-1])
            out = _taken(out, named, evolve(named, name=name, feet=feet, turn=spin, at=place, note=note), steps)
        elif named.spelled or len(behind) == len(counts.points if counts else ()):
            out = _instead(out, named, steps)
    return _ended(out, counts.length if counts else length, book, assumed)


def _closed(named: Mention, figure: tuple[Figure, tuple[Move, ...]], last: Step) -> str:
    """Return the name of a figure that this step ends, with the reading that says so if there are others."""
    return named.name + _ending(*figure, last).removeprefix(figure[0].name)


def _instead(events: list[Event], named: Mention, steps: Sequence[Step]) -> list[Event]:
    """Return events in which the steps behind a figure stand for it; feet that no steps have leave it unread, since
    they don't say where one kicks or touches."""
    if _bare(steps) and not alternate([step.foot for step in steps]):
        return [Unread(named.text) if event is named else event for event in events]
    first = evolve(steps[0], note=(f"{named.name.casefold()}:", *named.note, *steps[0].note))
    return [first if event is steps[0] else event for event in events if event is not named]


def _on(
    counts: Counts, events: list[Event], named: Mention, moves: tuple[Move, ...], book: Book, steps: Sequence[Step]
) -> bool:
    """Say whether the counts that a figure has among events are those on which it is danced, or all events fill whole
    counts without the `steps` that spell it."""
    if counts.whole and lasts([each for each in events if each not in steps], book) == counts.length:
        return True
    at = needs(events[: events.index(named)], book)
    taken = counts.points[at : at + needs([named], book)]
    return bool(taken) and fits(Counts(taken), moves)


def _explained(named: Mention, events: list[Event], size: int) -> list[Event]:
    """Return events in which a bracket behind a figure of so many movements that says fewer, or what isn't understood,
    spells none, and is a remark."""
    at = events.index(named) + 1
    inside = [*itertools.takewhile(lambda event: getattr(event, "inside", False), events[at:])]
    if not named.bracketed or not (only(inside, Unread) or 0 < len(only(inside, Step)) < size):
        return events
    said = ", ".join(getattr(event, "text", "") for event in inside)
    return [*events[:at], Aside(said, inside=True), *events[at + len(inside) :]]


def _put(events: list[Event], named: Mention, figure: Mention) -> Mention:
    """Put a figure in the place of one; return it."""
    events[events.index(named)] = figure
    return figure


def _ended(events: list[Event], length: int, book: Book, assumed: Assumptions) -> list[Event]:
    """Return events whose figures have taken in the touch behind them that is their last movement.

    So it is where all such touches are what is too much for the counts, or where no counts are said.
    """
    ends: list[tuple[Mention, Step]] = []
    for named, step in itertools.pairwise(e for e in events if not (isinstance(e, Aside) and e.inside)):
        if not isinstance(named, Mention) or not isinstance(step, Step) or named.times > 1 or named.ends or step.turn:
            continue
        found = version(named.name, book)
        closes = bool(length) and (step.codes == ("CL",) or (step.codes == ("S",) and "together" in step.note))
        light = found is not None and len(found[1]) > 2 and found[1][-1].code not in WEIGHT
        free = light and (closes or step.codes[-1] not in WEIGHT)
        if found and free and (_ending(found[0], found[1], step) or _replaced(named, found[1], step, book)):
            ends.append((named, step))
    if not ends or (length and lasts(events, book) - len(ends) != length):
        return events
    if not length:
        assumed.add("a touch behind a figure that ends in one is that one")
    out = events
    for named, step in ends:
        found = version(named.name, book)
        called = _ending(found[0], found[1], step) if found else named.name
        row = [] if called or not found else _replaced(named, found[1], step, book)
        if row:
            out = [new for event in out if event is not step for new in (row if event is named else [event])]
        else:
            out = _taken(out, named, evolve(named, name=called, ends=True), [step])
    return out


def _replaced(named: Mention, moves: tuple[Move, ...], last: Step, book: Book) -> list[Step]:
    """Return the steps of a figure that ends in a touch, the touch being another movement, `rolling vine L + brush R`;
    [] where it has others, or it isn't known how they turn."""
    foot, spin = named.feet[:1], named.turn
    if spin and spins(named.name, book):
        spin = evolve(spin, side=spin.side or SIDE.get(foot, ""))
    if [move.code for move in moves] != [*["S"] * (len(moves) - 1), "TCH"] or not foot:
        return []
    if spin is None and spins(named.name, book):
        return []
    row = [
        Step(("S",), OTHER[foot] if at % 2 else foot, named.note, None if at else spin, named.text)
        for at in range(len(moves) - 1)
    ]
    row[0] = evolve(row[0], note=(f"{named.name.casefold()}:", *row[0].note))
    return [*row, last] if last.foot in ("", OTHER[row[-1].foot]) else []


def _taken(events: list[Event], named: Mention, figure: Mention, steps: Sequence[Step]) -> list[Event]:
    """Return events without the steps that a figure has taken in, the figure in its place."""
    left = [event for event in events if not any(event is step for step in steps)]
    return [figure if event is named else event for event in left]


def _bare(steps: Sequence[Step]) -> bool:
    """Say whether nothing but feet is said of steps."""
    return all(step.codes == ("S",) and not step.note for step in steps)


def _ending(figure: Figure, moves: tuple[Move, ...], last: Step) -> str:
    """Return a figure's name with the reading that ends in this step, "" if the book has none."""
    if _spelled([last], moves[-1:]):
        usual = figure.versions[figure.usual].label if moves[-1].code not in WEIGHT else ""
        return f"{figure.name} ending {usual.removeprefix('ends ')}" if usual.startswith("ends ") else figure.name
    wanted = [*(move.code for move in moves[:-1]), last.codes[-1]]
    for each in figure.versions:
        if [code_of(action.movement.forms[0]) for action in each.actions] == wanted and each.label.startswith("ends "):
            return f"{figure.name} ending {each.label.removeprefix('ends ')}"
    return ""


def _possible(steps: Sequence[Step], foot: str) -> bool:
    """Say whether every foot that is named is the free one, `foot` being free first."""
    for step in steps:
        if step.foot and foot and step.foot != foot:
            return False
        foot = foot or step.foot
        if step.codes[-1] in WEIGHT and foot:
            foot = OTHER[foot]
    return True


def on_its_toe(before: list[Event], step: Step) -> Step:
    """Return a step behind others; a heel that drops behind the toe of its foot makes that a touch, and a foot that
    moves again behind its slide had no weight."""
    toe = before[-1] if before else None
    if isinstance(toe, Step) and "slide" in toe.note and toe.codes == ("S",) and toe.foot == step.foot != "":
        before[-1] = evolve(toe, codes=("DRAW",), note=tuple(each for each in toe.note if each != "slide"))
    if not isinstance(toe, Step) or toe.codes[-1] not in ("TT", "TW"):
        return step
    if step.codes == ("HW",) and step.foot in ("", toe.foot):
        before[-1] = evolve(toe, codes=("TT",))
        return evolve(step, foot=toe.foot)
    return step


def strutting(events: Sequence[Event]) -> list[Event]:
    """Return events in which a foot whose heel drops next came together on its toe: `L toe tog, heel down`."""
    out: list[Event] = []
    for event in events:
        toe, back, heel = (*out[-2:], event) if len(out) > 1 else (event, event, event)
        if isinstance(toe, Step) and isinstance(back, Step) and isinstance(heel, Step) and _strut(toe, back, heel):
            out[-2:] = [evolve(toe, note=(*toe.note, *back.note))]
        out.append(event)
    return out


def _strut(toe: Step, back: Step, heel: Step) -> bool:
    """Say whether three steps are a toe, that it comes together, and its heel."""
    bare = not (back.foot or back.turn or heel.turn) and back.note == ("together",)
    return bare and bool(toe.foot) and (toe.codes, back.codes, heel.codes) == (("TT",), ("S",), ("HW",))


def dropping(events: Sequence[Event]) -> list[Event]:
    """Return events in which a bare heel behind a toe, `R toe, heel, L toe`, drops where the other foot moves next, or
    the two are called a strut: it has the weight then."""
    out = list(events)
    for at, (toe, heel) in enumerate(itertools.pairwise(events)):
        later = events[at + 2] if at + 2 < len(events) else None
        if not isinstance(toe, Step) or not isinstance(heel, Step) or (toe.codes, heel.codes) != (("TT",), ("HT",)):
            continue
        moves_on = isinstance(later, Step) and later.foot == OTHER.get(toe.foot)
        if heel.text.casefold() == "heel" and (moves_on or any("strut" in each.casefold() for each in toe.note)):
            out[at + 1] = evolve(heel, codes=("HW",), foot=toe.foot)
    return out


def spun(step: Step) -> bool:
    """Say whether a swivel turns, so that it may be a pivot: no heel is said to swivel."""
    return step.codes == ("SWIVEL",) and step.turn is not None and "heel" not in step.text.casefold()


def paddled(before: Event | None, event: Event) -> Event:
    """Return a paddle turn behind a step forward as what it is then: a pivot off it (common practice)."""
    ahead = isinstance(before, Step) and before.codes == ("S",) and "forward" in before.note
    if not ahead or not isinstance(event, Mention) or not event.name.startswith("Paddle") or not event.turn:
        return event
    side = event.turn.side or SIDE.get(event.feet, "")
    return Step(("PV", "S"), "", event.note, evolve(event.turn, side=side), event.text) if event.times == 1 else event
