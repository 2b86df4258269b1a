"""From steps on their counts to lines: rows that are cut at facings and second turns, and figures between them."""

import itertools

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.model.dance import TICKS
from stepcheck.model.movements import Actor
from stepcheck.steps.counts import Counts, counts_at, counts_of_figure, fits, version
from stepcheck.steps.outline import Assumptions, Expect, Item, Line, Move, weighted
from stepcheck.steps.steps import OTHER, SIDE, WEIGHT, Aside, Event, Facing, Mention, Step, Turn, Weighted


def in_lines(done: list[tuple[Event, tuple[int, ...]]], book: Book, assumed: Assumptions) -> list[Item] | None:
    """Return rows and figures; a facing ends a row, a second turn begins one; None where that is on no whole count."""
    done, out = _behind_halves(done), list[Item]()
    row: list[tuple[Step, int]] = []

    def close(facing: str = "") -> None:
        if row:
            out.append(laid(row, facing, assumed))
            row.clear()

    for index, (event, points) in enumerate(done):
        later, then = _behind(done[index + 1 :])
        if isinstance(event, Step):
            if (at := _second_turn(row, event, points[0])) is None:
                return None
            kept = row[at:]
            del row[at:]
            close()
            row += [*kept, (event, points[0])]
        elif isinstance(event, Mention):
            close()
            facing = later.wall if isinstance(later, Facing) else ""
            slow = _alone(event, done) or (isinstance(later, Step) and later.codes == ("HOLD",))
            if (made := _figure(event, points, facing, slow, book, assumed)) is None:
                return None
            out.append(made)
        elif isinstance(event, Facing) and row and not (then and then[0] % TICKS):
            close(event.wall)
        elif claim := _claim(event, row, not (row or out)):
            close()
            out.append(claim)
    close()
    return out


def _behind_halves(done: list[tuple[Event, tuple[int, ...]]]) -> list[tuple[Event, tuple[int, ...]]]:
    """Return events in which a facing stands behind a step on the half of its count, and behind a step that only halves
    lead to, if these do not turn: `behind with 1/4 L (3:00), side, forward`."""
    out: list[tuple[Event, tuple[int, ...]]] = []
    for event, points in done:
        plainly = isinstance(event, Step) and not event.turn and len(points) == 1
        faced = plainly and len(out) > 1 and isinstance(out[-1][0], Facing)
        halves = faced and all(at[0] % TICKS for each, at in out[:-1] if isinstance(each, Step))
        behind = faced and (points[0] % TICKS or halves)
        out[-1 if behind else len(out) :] = [(event, points), *out[-1:]] if behind else [(event, points)]
    return out


def _behind(done: list[tuple[Event, tuple[int, ...]]]) -> tuple[Event | None, tuple[int, ...]]:
    return next((each for each in done if not isinstance(each[0], Aside)), (None, ()))


def _alone(event: Event, done: list[tuple[Event, tuple[int, ...]]]) -> bool:
    return not any(isinstance(each, Step | Mention) for each, _ in done if each is not event)


def _claim(event: Event, row: list[tuple[Step, int]], first: bool) -> Expect | None:
    """Return what is claimed by a facing that stands before all steps, or by a weight that is no pivot's."""
    if isinstance(event, Facing) and first:
        return Expect(f"facing {event.wall}")
    if isinstance(event, Weighted) and event.foot and not _pivoting(row, event.foot):
        return weighted(event.foot)
    return None


def _pivoting(row: list[tuple[Step, int]], foot: str) -> bool:
    """Give the foot that has the weight to the pivot that ends a row, or a note to the hip bump; return if one does."""
    last, at = row[-1] if row else (Step(("",)), 0)
    if both := last.codes[0] in ("BUMP", "BOUNCE"):
        row[-1] = evolve(last, note=(*last.note, f"weight on the {SIDE[foot]}")), at
    elif pivots := "PV" in last.codes:
        row[-1] = evolve(last, foot=foot), at
    return both or pivots


def _second_turn(row: list[tuple[Step, int]], step: Step, point: int) -> int | None:
    """Return the place in a row at which a step that turns begins a row of its own, 0 where it stays in the row, None
    where it can do neither.

    A pivot takes the step before it along, and a half those of its count.  Turns to one side within a count are one.
    """
    if not step.turn or not any(other.turn for other, _ in row):
        return 0
    last, at = row[-1]
    begins = next((index for index, each in enumerate(row) if each[1] // TICKS == point // TICKS), len(row))
    begins -= "PV" in step.codes and begins == len(row) > 1 and not last.turn and not at % TICKS
    if any(not at % TICKS for _, at in row[:begins]) and not any(other.turn for other, _ in row[begins:]):
        return begins
    sides = {other.turn.side for other, _ in row if other.turn}
    return 0 if sides == {step.turn.side} != {""} else None


def _figure(
    event: Mention, points: tuple[int, ...], facing: str, slow: bool, book: Book, assumed: Assumptions
) -> Line | None:
    """Return a figure on its points as a line, a blank where it is danced on others, its movements if it is `slow`;
    None where halves of it would be on whole counts and it is not."""
    counts, length, found = Counts(points), counts_of_figure(event, book), version(event.name, book)
    size = len(points) // event.times
    each = [Counts(points[at : at + size]) for at in range(0, size * event.times, size)] if size else [counts]
    whole = event.times > 1 and (
        (counts.whole and len(points) == length) or all(fits(one, found[1]) for one in each if found)
    )
    if found is None or (len(points) > 2 and not whole and not fits(counts, found[1])):
        if found and slow and (row := _apart(event, counts, found[1], facing, assumed)):
            return row
        if found and counts.whole and not slow:
            return None
        return Line(counts=counts.length, blank=True, remark=event.text)
    moves = [move for move in found[1] if move.code != "PV"]
    nth = event.nth - 1 if event.nth > 0 else event.nth
    at = counts_at(moves, nth) if event.nth and -1 <= nth < len(moves) else event.at
    line = Line((), event.name, event.times, event.feet[:1], length, turn=event.turn, at=at)
    return evolve(line, note=event.note, facing=facing)


def _apart(event: Mention, counts: Counts, moves: tuple[Move, ...], facing: str, assumed: Assumptions) -> Line | None:
    """Return a figure as its movements on points that are not the book's, None where it has not just as many, or where
    feet that are heard are not those of all its movements."""
    heard = event.heard or event.feet
    if event.times > 1 or len(moves) != len(counts.points) or len(heard) not in (0, 1, len(moves)):
        return None
    feet = heard.ljust(len(moves))
    steps = [Step((move.code,), foot.strip(), text=move.code) for move, foot in zip(moves, feet, strict=False)]
    row = laid(list(zip(steps, counts.points, strict=True)), facing, assumed)
    return evolve(row, turn=event.turn, at=event.at, note=(" ".join((event.name.casefold(), *event.note)),))


SAYS = {
    "CL": "close takes weight",
    "STO": "stomp takes weight",
    "BUMP": "a hip bump is on both feet",
    "SWIVEL": "a swivel is on both feet",
    "SW": "a sweep takes no weight",
    "BOUNCE": "a bounce is onto both feet",
}


def _over_both(one: Step, other: Step) -> bool:
    """Say whether two steps are of one phrase that turns, so that neither of them alone does."""
    turns = one.turn or other.turn
    return bool(turns) and one.text == other.text and one.foot != other.foot and "PV" not in (*one.codes, *other.codes)


def laid(row: list[tuple[Step, int]], facing: str, assumed: Assumptions) -> Line:
    """Return a row as a line, its first whole count being 1."""
    counts = Counts(tuple(point for _, point in row))
    ticks = counts.inside(counts.points)
    moves: list[Move] = []
    spin: Turn | None = None
    at, previous = 0, ""
    for (step, _), tick in zip(row, ticks, strict=True):
        code, foot, pivot = step.codes[-1], step.foot, "PV" in step.codes
        if not foot and step.codes[0] in WEIGHT:
            foot = OTHER.get(previous, "")
        moves += [Move(each, "", tick) for each in step.codes[:-1]]
        still = pivot and foot and foot == previous  # who has the weight keeps it: the foot turns, and nobody steps
        moves.append(Move("HOLD" if still else code, "" if still else foot, tick))
        if step.turn:
            at = max(1, tick // TICKS)
            spin = evolve(step.turn, eighths=step.turn.eighths + (spin.eighths if spin else 0))
        if code in SAYS:
            assumed.add(SAYS[code])
        if "sway" in step.note:
            assumed.add("a sway takes the weight onto its side")
        if code in WEIGHT:
            previous = foot or OTHER.get(previous, "")
    whole = len(row) == 1 or (
        len({step.text for step, _ in row}) == 1 and all("PV" not in step.codes for step, _ in row)
    )
    whole = whole or any(_over_both(one, other) for (one, _), (other, _) in itertools.pairwise(row))
    halved = any(step.turn and point % TICKS for step, point in row)  # for which the language has no place
    said = [["turning"] * (halved and bool(step.turn) and "PV" not in step.codes) + [*step.note] for step, _ in row]
    note = tuple(" ".join(words) for words in said if words)
    length = counts.length if not ticks[0] % TICKS else max(1, counts.last - counts.first + 1)
    return Line(tuple(moves), counts=length, turn=spin, at=0 if whole or halved else at, facing=facing, note=note)


def led_apart(line: Line, book: Book) -> tuple[Line, ...]:
    """Return a row as two where both feet land in it before the first foot that is written, `BUMP BUMP S(L)`: either
    foot could lead it, and the mirror image of what is written would be danced from one of them."""
    first = next((at for at, move in enumerate(line.moves) if move.foot), 0)
    first -= line.moves[first - 1 : first] != () and line.moves[first - 1].code == "PV"
    before, behind = line.moves[:first], line.moves[first:]
    senses = [found[0].senses[found[0].usual] for move in before if (found := book.movement(move.code))]
    tick = behind[0].tick if before else 0
    if line.blank or tick % TICKS or not any(one.actor is Actor.BOTH and one.lands for one in senses):
        return (line,)
    counts = tick // TICKS - 1 if tick else len(before)
    moves = tuple(evolve(move, tick=max(0, move.tick - counts * TICKS)) for move in behind)
    early = 0 < line.at <= counts
    begun = evolve(line, moves=before, stated=False, facing="", remark="", turn=line.turn if early else None)
    rest = evolve(line, moves=moves, stated=False, note=(), turn=None if early else line.turn)
    return evolve(begun, at=line.at * early), evolve(rest, at=0 if early else max(0, line.at - counts))
