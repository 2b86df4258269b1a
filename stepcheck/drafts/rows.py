"""From steps to rows on counts: what the points of a group are danced with."""

from collections.abc import Iterator, Sequence

from attrs import evolve, frozen

from stepcheck.books.book import Book
from stepcheck.drafts.counts import Counts
from stepcheck.drafts.outline import WEIGHT, Expect, Item, Line, Move, Remark
from stepcheck.drafts.spelling import fits, folded, length_of, version
from stepcheck.drafts.steps import OTHER, Aside, Event, Facing, Mention, Step, Stretch, Turn, Unread, Weighted
from stepcheck.model.dance import TICKS, key

STEPWISE = {"S": "Step", "TCH": "Touch", "PT": "Point", "K": "Kick", "SCUFF": "Scuff", "BR": "Brush", "HITCH": "Hitch",
            "FLICK": "Flick", "STO": "Stomp", "STA": "Stamp", "STU": "Stomp Up", "CLAP": "Clap", "CL": "Close"}  # fmt: skip
"""The figures that are one movement each, by its code."""


@frozen
class Group:
    """A piece of the source that has counts of its own: what it says, its points (none: each step has one), its words."""

    events: tuple[Event, ...]
    counts: Counts | None
    text: str


def lines(group: Group, book: Book, assumed: "Assumptions") -> tuple[tuple[Item, ...], int]:
    """Return the lines that a group is, and how many of its counts they are; what can't be laid is a blank."""
    counts = group.counts
    pieces = folded(_stepwise(group.events), counts, book)
    asides = "; ".join(event.text for event in pieces if isinstance(event, Aside))
    made = _row(pieces, counts, book, assumed)
    if made is None:
        length = counts.length if counts else 0
        return ((Line(counts=length, blank=True, remark=group.text),) if length else (Remark(group.text),)), length
    items = list(made)
    if asides:
        at = max((index for index, item in enumerate(items) if isinstance(item, Line)), default=-1)
        if at >= 0 and isinstance(line := items[at], Line) and not line.remark:
            items[at] = evolve(line, remark=asides)
        else:
            items.append(Remark(asides))
    return tuple(items), sum(item.counts for item in items if isinstance(item, Line))


class Assumptions:
    """What was taken where the source leaves it open, each once, in order; `unsure` are turns that can't be taken."""

    def __init__(self) -> None:
        self.said: list[str] = []
        self.unsure: list[str] = []

    def add(self, sentence: str) -> None:
        """Take one more, unless it is there."""
        if sentence not in self.said:
            self.said.append(sentence)


def _stepwise(events: Sequence[Event]) -> list[Event]:
    """Return the events with `for two` as stillness behind its step; a stomp without weight is one that is said so."""
    out: list[Event] = []
    for event in events:
        if isinstance(event, Stretch):
            out += [Step(("HOLD",), text=f"still {index}") for index in range(1, event.counts)]
        elif isinstance(event, Weighted) and not event.foot:
            out = [
                evolve(each, codes=("STU",)) if isinstance(each, Step) and each.codes == ("STO",) else each
                for each in out
            ]
        else:
            out.append(event)
    return out


def _row(events: Sequence[Event], counts: Counts | None, book: Book, assumed: Assumptions) -> list[Item] | None:
    """Return a row of single steps on the points of its group, cut at facings and second turns.

    Figures stand between rows, each for its own points.  None if the points are not those of the steps.
    """
    done: list[tuple[Event, tuple[int, ...]]] = []
    points = list(counts.points) if counts else []
    steps = [event for event in events if isinstance(event, Step)]
    names = [event for event in events if isinstance(event, Mention)]
    unread = [event for event in events if isinstance(event, Unread)]
    need = len(steps) + sum(_points(event, book) for event in names)
    if counts is not None:
        if len(unread) == 1 and need < len(points):
            return _with_blank(events, counts, book, assumed)
        if unread:
            return None
        if need > len(points) and any(step.inside for step in steps):
            said = "; ".join(step.text for step in steps if step.inside)
            events = [event for event in events if not (isinstance(event, Step) and event.inside)] + [Aside(said)]
            steps = [event for event in events if isinstance(event, Step)]
            need = len(steps) + sum(_points(event, book) for event in names)
        if need > len(points):
            events = [event for event in events if not (isinstance(event, Step) and event.codes == ("CLAP",))]
            steps = [event for event in events if isinstance(event, Step)]
            need = len(steps) + sum(_points(event, book) for event in names)
        if 0 < len(points) - need == sum(step.turned for step in steps):
            events = list(_pivoted(events, assumed))
            need = len(points)
        if need < len(points) and counts.whole:
            stretched = _stretched(events, len(points) - need, assumed)
            if stretched is None:
                return None
            events = stretched
        elif need != len(points):
            return None
    elif unread:
        return _around(events, book, assumed)
    tick = 0
    for event in events:
        if isinstance(event, Step | Mention):
            size = 1 if isinstance(event, Step) else _points(event, book)
            if isinstance(event, Mention) and not size:
                return None
            if counts is None:
                taken = tuple(tick + TICKS * (index + 1) for index in range(size))
                if isinstance(event, Mention):
                    taken = (tick + TICKS, tick + TICKS * _counts(event, book))
                tick += TICKS * (size if isinstance(event, Step) else _counts(event, book))
            else:
                taken, points = tuple(points[:size]), points[size:]
            done.append((event, taken))
        else:
            done.append((event, ()))
    return list(_cut(done, book, assumed))


def _pivoted(events: Sequence[Event], assumed: Assumptions) -> Iterator[Event]:
    """Yield the events, a turn that is said apart from its step as a pivot on a count of its own."""
    for event in events:
        if isinstance(event, Step) and event.turned:
            assumed.add("a turn with a count of its own is a pivot")
            yield evolve(event, turn=None, turned=False)
            yield Step(("PV", "S"), "", (), event.turn, event.text)
        else:
            yield event


def _points(event: Mention, book: Book) -> int:
    found = version(event.name, book)
    return len({move.tick for move in found[1]}) * event.times if found else 0


def _counts(event: Mention, book: Book) -> int:
    found = version(event.name, book)
    return length_of(found[1]) * event.times if found else 0


def _stretched(events: Sequence[Event], missing: int, assumed: Assumptions) -> list[Event] | None:
    """Return events with a hold behind the only step, where one step is written for several whole counts."""
    steps = [event for event in events if isinstance(event, Step)]
    names = [event for event in events if isinstance(event, Mention)]
    if names or not steps:
        return None
    if any(step.turn for step in steps):
        return None
    if len(steps) == 1:
        if steps[0].codes[0] in ("HOLD", "CLAP", "BUMP", "BOUNCE"):
            extra = [steps[0]] * missing
        elif "slowly" in steps[0].note or steps[0].codes == ("DRAW",):
            extra = [Step(("HOLD",))] * missing
        else:
            assumed.add(f"one step for {missing + 1} counts: {steps[0].text}: the foot is set on the first, then still")
            extra = [Step(("HOLD",))] * missing
        at = events.index(steps[0])
        return [*events[: at + 1], *extra, *events[at + 1 :]]
    if steps[-1].codes in (("HOLD",), ("DRAW",)) and len(steps) > 1:
        at = len(events) - 1 - list(reversed(events)).index(steps[-1])
        assumed.add(f"the last of several steps lasts {missing + 1} counts: {steps[-1].text}")
        return [*events[: at + 1], *[Step(("HOLD",))] * missing, *events[at + 1 :]]
    return None


def _with_blank(events: Sequence[Event], counts: Counts, book: Book, assumed: Assumptions) -> list[Item] | None:
    """Return the rows before and behind words that aren't understood, and a blank of the counts that are left for them."""
    at = next(index for index, event in enumerate(events) if isinstance(event, Unread))
    before, after = list(events[:at]), list(events[at + 1 :])
    sizes = [
        sum(
            1 if isinstance(event, Step) else _points(event, book)
            for event in side
            if isinstance(event, Step | Mention)
        )
        for side in (before, after)
    ]
    points = counts.points
    end = len(points) - sizes[1]
    middle = points[sizes[0] : end]
    if not middle or any(point % TICKS for point in middle) or (end < len(points) and points[end] % TICKS):
        return None
    out: list[Item] = []
    if sizes[0]:
        first = _row(before, Counts(points[: sizes[0]]), book, assumed)
        if first is None:
            return None
        out += first
    unread = events[at]
    assert isinstance(unread, Unread)
    out.append(Line(counts=len(middle), blank=True, remark=unread.text))
    if sizes[1]:
        last = _row(after, Counts(points[end:]), book, assumed)
        if last is None:
            return None
        out += last
    return out


def needs(events: Sequence[Event], book: Book) -> int:
    """Return how many points steps and figures take."""
    return sum(
        1 if isinstance(event, Step) else _points(event, book) for event in events if isinstance(event, Step | Mention)
    )


def divided(group: Group, parts: tuple[Counts, ...], book: Book) -> tuple[Group, ...]:
    """Return a group of several rows of counts as a group for each; as it is where the steps don't fall into them."""
    out: list[Group] = []
    left = list(group.events)
    for counts in parts:
        taken: list[Event] = []
        while left and needs(taken, book) < len(counts.points):
            taken.append(left.pop(0))
        if needs(taken, book) != len(counts.points):
            return (group,)
        out.append(Group(tuple(taken), counts, group.text))
    if needs(left, book):
        return (group,)
    out[-1] = evolve(out[-1], events=(*out[-1].events, *left))
    return tuple(out)


def led_up(group: Group, last: int, book: Book, assumed: Assumptions) -> Group:
    """Return a group whose counts are those of its last steps with the counts before them, if those are all that lack."""
    if group.counts is None or needs(group.events, book) <= len(group.counts.points):
        return group
    for at in range(1, len(group.events)):
        head, tail = group.events[:at], group.events[at:]
        size = needs(head, book)
        if needs(tail, book) == len(group.counts.points) and group.counts.first - size == last + 1:
            assumed.add(f"the steps before count {group.counts.first} have a count each")
            points = tuple(TICKS * (last + 1 + index) for index in range(size))
            return Group(group.events, Counts(points + group.counts.points), group.text)
    return group


def _around(events: Sequence[Event], book: Book, assumed: Assumptions) -> list[Item] | None:
    """Return the rows around words that aren't understood; these are a blank whose counts what is around will say."""
    out: list[Item] = []
    run: list[Event] = []
    for event in [*events, None]:
        if event is not None and not isinstance(event, Unread):
            run.append(event)
            continue
        if run:
            made = _row(run, None, book, assumed)
            if made is None:
                return None
            out += made
            run = []
        if isinstance(event, Unread):
            out.append(Line(blank=True, remark=event.text))
    return out


def _cut(done: list[tuple[Event, tuple[int, ...]]], book: Book, assumed: Assumptions) -> Iterator[Item]:
    """Yield rows and figures; a facing ends a row, a second turn begins one."""
    row: list[tuple[Step, int]] = []
    for index, (event, points) in enumerate(done):
        if isinstance(event, Step):
            if event.turn and any(step.turn for step, _ in row) and not points[0] % TICKS:
                kept = (
                    row[-1:]
                    if "PV" in event.codes and len(row) > 1 and not row[-1][0].turn and not row[-1][1] % TICKS
                    else []
                )
                yield line_of(row[: len(row) - len(kept)], "", assumed)
                row = kept
            row.append((event, points[0]))
        elif isinstance(event, Mention):
            if row:
                yield line_of(row, "", assumed)
                row = []
            length = _counts(event, book)
            found = version(event.name, book)
            whole = event.times > 1 and Counts(points).whole and len(points) == length
            if found is None or len(points) > 2 and not whole and not fits(Counts(points), found[1]):
                yield Line(counts=Counts(points).length, blank=True, remark=event.text)
                continue
            yield Line(
                name=event.name,
                foot=event.feet[:1],
                counts=length,
                turn=event.turn,
                at=event.at,
                note=event.note,
                times=event.times,
                facing=_next_facing(done, index),
            )
        elif isinstance(event, Facing) and row:
            later = done[index + 1 :]
            if not any(points and points[0] % TICKS for _, points in later[:1]):
                yield line_of(row, event.wall, assumed)
                row = []
        elif isinstance(event, Weighted) and event.foot and not row:
            yield Expect(f"{'right' if event.foot == 'L' else 'left'} foot")
        elif isinstance(event, Weighted) and event.foot:
            step, point = row[-1]
            if "PV" in step.codes:
                row[-1] = (evolve(step, foot=event.foot), point)
            elif step.codes[0] not in ("BUMP", "BOUNCE"):
                yield line_of(row, "", assumed)
                row = []
                yield Expect(f"{'right' if event.foot == 'L' else 'left'} foot")
    if row:
        yield line_of(row, "", assumed)


def _next_facing(done: list[tuple[Event, tuple[int, ...]]], index: int) -> str:
    behind = done[index + 1][0] if index + 1 < len(done) else None
    return behind.wall if isinstance(behind, Facing) else ""


SAYS = {
    "CL": "close takes weight", "STO": "stomp takes weight", "BUMP": "a hip bump is on both feet",
    "BOUNCE": "a bounce is onto both feet",
}  # fmt: skip


def line_of(row: list[tuple[Step, int]], facing: str, assumed: Assumptions) -> Line:
    """Return a row as a line, its first whole count being 1."""
    counts = Counts(tuple(point for _, point in row))
    ticks = counts.inside(counts.points)
    moves: list[Move] = []
    spin: Turn | None = None
    at = 0
    previous = ""
    note: list[str] = []
    for (step, _), tick in zip(row, ticks, strict=True):
        if not step.foot and previous and step.codes[0] in WEIGHT:
            step = evolve(step, foot=OTHER[previous])
        for code in step.codes[:-1]:
            moves.append(Move(code, "", tick))
        moves.append(
            Move(step.codes[-1], step.foot if step.codes != ("PV", "S") or step.foot != previous else "", tick)
        )
        if step.turn:
            spin, at = step.turn, max(1, tick // TICKS)
            if "PV" in step.codes and not spin.side and previous:
                spin = evolve(spin, side="left" if previous == "R" else "right")
                assumed.add("a pivot without a side turns away from the foot that stepped")
            if not spin.side and "PV" not in step.codes and spin.eighths != 4 and step.foot:
                side = "right" if step.foot == "R" else "left"
                assumed.add("a turn without a side goes to the side of the foot that steps")
                spin = evolve(spin, side=side)
        if step.codes[-1] in SAYS:
            assumed.add(SAYS[step.codes[-1]])
        if "sway" in step.note:
            assumed.add("a sway takes the weight onto its side")
        if step.codes[-1] in WEIGHT:
            previous = step.foot or OTHER.get(previous, "")
        note += [each for each in [" ".join(step.note)] if each]
    whole = len(row) == 1 or (
        len({step.text for step, _ in row}) == 1 and all("PV" not in step.codes for step, _ in row)
    )
    return Line(
        moves=tuple(moves),
        counts=counts.length if not ticks[0] % TICKS else max(1, counts.last - counts.first + 1),
        turn=spin,
        at=0 if whole else at,
        facing=facing,
        note=tuple(note),
    )


def is_silence(line: Line) -> bool:
    """Say whether a line is nothing but holds."""
    return bool(line.moves) and all(move.code == "HOLD" for move in line.moves)


def figure_of(line: Line, book: Book) -> str:
    """Return the figure of which a row of one movement is the whole, "" if there is none."""
    if len(line.moves) == 1 and not line.syncopated:
        name = STEPWISE.get(line.moves[0].code, "")
        if name and book.find(key(name)):
            return name
    return ""
