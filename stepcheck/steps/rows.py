"""From steps to rows: which step is danced on which count, and what is a figure that the book names."""

import itertools
import re
from collections.abc import Iterator, Sequence

from attrs import evolve, frozen

from stepcheck.books.book import Book
from stepcheck.model.dance import TICKS
from stepcheck.steps.counts import Counts, counts_of_figure, needs
from stepcheck.steps.feet import pivoted, pivots
from stepcheck.steps.folding import dropping, folded, lasts, on_its_toe, only, paddled, spun, strutting
from stepcheck.steps.lines import in_lines
from stepcheck.steps.outline import Assumptions, Expect, Item, Line, Remark, weighted
from stepcheck.steps.steps import FREE, OTHER, WEIGHT, Aside, Event, Facing, Mention, Step, Stretch, Unread, Weighted
from stepcheck.steps.timing import clapping, each_foot, finer, fitted, quick, stepping_off, switching
from stepcheck.steps.words import FOOT


@frozen
class Group:
    """A piece of the source that has counts of its own: what it says, its points (none: each step has one), its words.

    `stands` is the foot that has the weight before it, "" if unknown; `length` how many counts it is said to last
    where it has no points.
    """

    events: tuple[Event, ...]
    counts: Counts | None
    text: str
    stands: str = ""
    length: int = 0


def rows_of(group: Group, book: Book, assumed: Assumptions) -> list[Item]:
    """Return the lines that a group is; what can't be laid is a blank of its counts, or a comment where it has none."""
    group = evolve(group, events=tuple(strutting(group.events)))
    if not (group.counts or group.length):
        group = evolve(group, events=_uncounted(group, assumed))
    closed = isinstance(last := group.events[-1] if group.events else None, Step) and last.text == "&"
    if re.search(r"\w\s*&\s*(?:[,;.]|$)", group.text) and not (closed or (group.counts and not group.counts.whole)):
        group = evolve(group, events=(Unread(group.text),))  # `step &`: which step is on the half?
    group = _titled(group, book)
    pieces = folded(_stepwise(group.events, group.stands, assumed), group.counts, book, group.length, assumed)
    pieces = _completed(_shifted(pieces, group.counts, book), group.counts, book)
    counts = finer(pieces, group.counts, book, assumed, group.events)
    if switching(pieces) and (counts is None or counts.whole or group.length not in (0, counts.length)):
        pieces, counts = [Unread(group.text)], group.counts  # the step between is on no whole count
    if counts is None and group.length and (only(pieces, Unread) or lasts(pieces, book) != group.length):
        counts = Counts(tuple(TICKS * (index + 1) for index in range(group.length)))
    tried = (
        _row(each, None if _filled(each, counts, book) else counts, book, assumed)
        for each in _readings(pieces, counts, book, assumed)
    )
    items = next((made for made in tried if made is not None), None)
    items = _quickened(items, pieces, book, assumed) if items and counts is None else items
    if items is None:
        length = counts.length if counts else 0
        return [Line(counts=length, blank=True, remark=group.text) if length else Remark(group.text)]
    if counts is None and (explained := [event.name for event in only(pieces, Mention) if event.explained]):
        named = max(at for at, item in enumerate(items) if isinstance(item, Line) and item.name == explained[-1])
        items[named + 1 :] = [
            evolve(item, spells=bool(item.moves)) if isinstance(item, Line) else item for item in items[named + 1 :]
        ]
    if asides := "; ".join(event.text for event in only(pieces, Aside)):
        at = max((index for index, item in enumerate(items) if isinstance(item, Line)), default=-1)
        if at >= 0 and isinstance(line := items[at], Line) and not line.remark:
            items[at] = evolve(line, remark=asides)
        else:
            items.append(Remark(asides))
    return items


def _filled(events: list[Event], counts: Counts | None, book: Book) -> bool:
    """Say whether events fill whole counts with more steps than these are, as a shuffle does."""
    whole = counts is not None and counts.whole and not only(events, Unread)
    return bool(counts and whole and needs(events, book) > len(counts.points) and lasts(events, book) == counts.length)


def _quickened(items: list[Item], events: Sequence[Event], book: Book, assumed: Assumptions) -> list[Item]:
    """Return the only row that steps without counts are, with what it is if it is danced on fewer."""
    points, slow = quick(events), items[0]
    made = _row(events, points, book, assumed) if points and len(items) == 1 else None
    fast = made[0] if made else None
    return [evolve(slow, quick=fast)] if isinstance(slow, Line) and isinstance(fast, Line) else items


def _uncounted(group: Group, assumed: Assumptions) -> tuple[Event, ...]:
    """Return the events of a group without counts: a turn between two steps of one foot took the weight from it; any
    other that is said apart may have a count, or none."""
    made = clapping(group.events)
    steps = only(made, Step)
    if any(a.turned and a.foot == b.foot != "" and b.codes == ("S",) for a, b in itertools.pairwise(steps)):
        return tuple(pivoted(made, assumed))
    return (Unread(group.text),) if any(step.turned for step in steps) else tuple(made)


_TURNS = re.compile(r"(?i)\bturn|\bspin|\d/\d|[\u00bc-\u00be]")


def _titled(group: Group, book: Book) -> Group:
    """Return a group whose title before a colon, words that aren't understood or several figures, is a note of the
    steps behind it where these are its counts."""
    title = [*itertools.takewhile(lambda event: isinstance(event, Unread | Mention), group.events)]
    behind, last = group.events[len(title) :], title[-1] if title else None
    size = len(group.counts.points) if group.counts else group.length
    told = isinstance(last, Unread | Mention) and last.spelled and bool(behind) and not only(behind, Unread)
    said = ", ".join(each.text for each in title if isinstance(each, Unread | Mention))
    alone = len(title) == 1 and isinstance(last, Mention)  # which may be what its steps are called
    if not told or alone or needs(behind, book) != size or _TURNS.search(said):
        return group
    first = next((event for event in behind if isinstance(event, Step | Mention)), None)
    lead = _LEADS.match(said)  # of the steps that name no foot themselves
    bare = isinstance(first, Step) and not first.foot and not (lead and any(e.foot for e in only(behind, Step)))
    if bare and not lead and re.search(rf"(?i)\b{FOOT}\b", said):
        return group
    if first is None or not size:
        return group
    noted = evolve(first, note=(f"{said}:", *first.note))
    noted = evolve(noted, foot=lead[1][0].upper()) if bare and lead and isinstance(noted, Step) else noted
    return evolve(group, events=tuple(noted if event is first else event for event in behind))


_LEADS = re.compile(rf"(?i)({FOOT})(?: foot)?\b(?!.*\b{FOOT}\b)")
"""The foot that words begin with, and the only one in them."""


def _either(events: Sequence[Event]) -> Iterator[list[Event]]:
    """Yield events without the steps that explain a figure, and without that figure."""
    named = [at for at, event in enumerate(events) if isinstance(event, Mention) and (event.explained or event.spelled)]
    if len(named) == 1 and len(only(events, Mention)) == 1:
        at = named[0]
        yield [event for index, event in enumerate(events) if index <= at or not isinstance(event, Step)]
        yield [event for index, event in enumerate(events) if index != at]


def _readings(events: list[Event], counts: Counts | None, book: Book, assumed: Assumptions) -> Iterator[list[Event]]:
    """Yield the ways to take events: as they stand, without what brackets hold, a figure or its steps alone, a figure
    on other feet, a turn as a pivot.

    Where some of the words are not understood, the readings without them come first that take just the counts.
    """
    if counts and only(events, Unread):
        bare = [event for event in events if not getattr(event, "inside", False)]
        inner = [event for event in events if getattr(event, "inside", False)]
        for each in (bare, *_either(bare), inner):
            if each and not only(each, Unread) and needs(each, book) == len(counts.points) and only(bare, Mention):
                yield each
    yield events
    if counts:
        yield from _either(events)
        yield _on_other_feet(events)
        yield [each_foot(event) for event in events]
        yield stepping_off(events, counts, book, assumed)
        if lasts(events, book) + pivots(events) == counts.length:
            yield [*pivoted(events, assumed)]


def _on_other_feet(events: Sequence[Event]) -> list[Event]:
    """Return events in which feet alone behind a figure, each the other one of that before, dance it again: `Toe strut
    R, L, R, L`, `Shuffle R-L-R, L-R-L`."""
    out: list[Event] = []
    for _, group in itertools.groupby(events, lambda event: event.text if isinstance(event, Step) else event):
        said, last = [*group], out[-1] if out else None
        steps = [step for step in only(said, Step) if step.bare and step.codes == ("S",)]
        feet = "".join(step.foot for step in steps)
        other = isinstance(last, Mention) and len(feet) == len(last.feet) and feet[:1] == OTHER.get(last.feet[:1])
        if isinstance(last, Mention) and other:
            out.append(Mention(last.name, feet, steps[0].note, steps[0].turn, text=steps[0].text))
        else:
            out += said
    return out


def _stepwise(events: Sequence[Event], stands: str, assumed: Assumptions) -> list[Event]:
    """Return the events as movements that a row can hold, `stands` being the foot that has the weight before them.

    `for two` is stillness behind its step.  A stomp without weight is one that is said so, and a step without it a
    touch.  What is unwound ends with the weight where it is said to be.
    """
    out: list[Event] = []
    for event in events:
        event = paddled(out[-1] if out else None, event)
        if isinstance(event, Stretch):
            holds: list[Event] = [Step(("HOLD",), text=f"still {index}") for index in range(1, event.counts)]
            whole = [each for step in out for each in (step, *holds * isinstance(step, Step))]
            out = whole if event.each else out + holds
        elif isinstance(event, Weighted) and not event.foot:
            _unweighted(out)
        elif isinstance(event, Weighted) and _kept(out, event.foot):
            continue
        elif isinstance(event, Weighted) and (at := _unwinding(out)) >= 0:
            still = _stood(out[:at], stands) == event.foot
            step = only(out[at : at + 1], Step)[0]
            out[at] = evolve(
                step, codes=("PV", "HOLD" if still else "S"), foot="" if still else event.foot, turned=False
            )
        else:
            before = out[-1] if out else None
            rocks = isinstance(event, Step) and event.codes == ("RC",) and isinstance(before, Step)
            if rocks and isinstance(before, Step) and before.codes == ("S",) and before.bare and not before.turn:
                out[-1] = evolve(before, codes=("RK",))  # `R fwd, recover L`
            if isinstance(event, Step) and event.text == "&":
                assumed.add("an & between touches of two feet is a step of the first on the half")
            if isinstance(event, Step) and FREE in event.note:
                assumed.add("a stomp before another one of the same foot takes no weight")
            out.append(on_its_toe(out, event) if isinstance(event, Step) else event)
    return [
        Unread(each.text)
        if isinstance(each, Step)
        and (each.codes == ("UNWIND",) or ("PV" in each.codes and not each.turn) or spun(each))
        else each
        for each in _swivelling(dropping(out))
    ]


def _completed(events: Sequence[Event], counts: Counts | None, book: Book) -> list[Event]:
    """Return events in which a rock recovers, `side rock R, cross R`, and toes and heels come back, `toe fan x2`, if
    the events are too short for their whole counts by just these steps."""
    steps = [event for event in events if not isinstance(event, Facing)]
    after = itertools.pairwise([*steps, None])
    lone = [a for a, b in after if (_coded(a, "RK") and not _coded(b, "RC")) or _opens(a)]
    if not lone or only(events, Unread) or counts is None or not counts.whole:
        return [*events]
    alike = len(steps) == len(lone) and not all(map(_opens, lone))
    if alike or lasts(events, book) + len(lone) != counts.length:
        return [*events]
    out: list[Event] = []
    for event in events:
        out.append(event)
        if isinstance(event, Step) and any(event is each for each in lone):
            recovers = Step(("RC",), OTHER.get(event.foot, ""))
            out.append(recovers if event.codes == ("RK",) else evolve(event, turn=None))
    return out


def _shifted(events: Sequence[Event], counts: Counts | None, book: Book) -> list[Event]:
    """Return events in which the weight that is said to be on the other foot behind a step goes back there, a rock and
    its recover, if they are too short for their whole counts by just these."""
    pairs = list(itertools.pairwise(events))
    back = [(a, b) for a, b in pairs if _coded(a, "S") and isinstance(b, Weighted) and b.foot == OTHER.get(_foot(a))]
    missing = counts.length - lasts(events, book) if counts and counts.whole else 0
    if not back or missing != len(back) or only(events, Unread):
        return [*events]
    recovers = {id(b): Step(("RC",), b.foot) for _, b in back}
    rocks = {id(a): evolve(a, codes=("RK",)) for a, _ in back if isinstance(a, Step)}
    return [rocks.get(id(each)) or recovers.get(id(each)) or each for each in events]


def _foot(event: Event) -> str:
    return event.foot if isinstance(event, Step) and not event.turn else ""


def _opens(event: Event | None) -> bool:
    """Say whether toes fan, or heels split, and no more is said of where to."""
    return (_coded(event, "FAN") or _coded(event, "SPL")) and isinstance(event, Step) and not event.note


def _coded(event: Event | None, code: str) -> bool:
    return isinstance(event, Step) and event.codes == (code,)


def _swivelling(events: Sequence[Event]) -> list[Event]:
    """Return events in which bare heels and toes before a swivel of them, `heel, toe, heel swivels R`, swivel too."""
    out = list(events)
    last = next((at for at, event in enumerate(events) if isinstance(event, Step) and event.codes == ("SWIVEL",)), 0)
    if last and re.match("(?i)(?:heel|toe)s? ", getattr(events[last], "text", "")):
        alone = re.compile("(?i)(?:heel|toe)s?").fullmatch
        run = [*itertools.takewhile(lambda at: alone(getattr(events[at], "text", "")), range(last - 1, -1, -1))]
        out = [evolve(e, codes=("SWIVEL",)) if at in run and isinstance(e, Step) else e for at, e in enumerate(out)]
    return out


def _unweighted(events: list[Event]) -> None:
    """Take the weight from the last of events: from the stomps of its foot, or from a step, which then touches."""
    last = events[-1] if events else None
    for index, each in enumerate(events):
        if isinstance(last, Step) and isinstance(each, Step) and each.foot == last.foot:
            if each.codes == last.codes == ("STO",):
                events[index] = evolve(each, codes=("STU",))
            elif each is last and each.codes in (("S",), ("CL",)):
                events[index] = evolve(each, codes=("TCH",))


def _kept(events: list[Event], foot: str) -> bool:
    """Let a foot that has the weight keep it through the other one's stomp, or a turn behind its touch; return whether
    these are the last of events."""
    last = events[-1] if events else None
    if not isinstance(last, Step) or last.foot != OTHER[foot]:
        return False
    if last.codes == ("STO",):
        events[-1] = evolve(last, codes=("STU",))
        return True
    if last.turned and last.codes[-1] not in WEIGHT:
        events[-1:] = [evolve(last, turn=None, turned=False), Step(("PV", "HOLD"), "", (), last.turn, last.text)]
        return True
    return False


def _stood(events: Sequence[Event], stands: str) -> str:
    """Return the foot that has the weight behind events, `stands` before them, "" where that isn't known."""
    last = next((step for step in reversed(only(events, Step)) if step.foot), None)
    return stands if last is None else last.foot if last.codes[-1] in WEIGHT else OTHER[last.foot]


def _unwinding(events: Sequence[Event]) -> int:
    """Return the place of the unwinding that the last of the events are, -1 if they are none."""
    for index in range(len(events) - 1, -1, -1):
        if isinstance(step := events[index], Step) and step.codes[-1] != "HOLD":
            return index if step.codes == ("UNWIND",) and step.turn else -1
    return -1


def _row(events: Sequence[Event], counts: Counts | None, book: Book, assumed: Assumptions) -> list[Item] | None:
    """Return a row of single steps on the points of its group, cut at facings and second turns.

    Figures stand between rows, each for its own points.  None if the points are not those of the steps.
    """
    unread = only(events, Unread)
    if counts is None and unread:
        return _around(events, book, assumed)
    if len(unread) == 1 and counts and needs(events, book) < len(counts.points):
        return _with_blank(events, counts, book, assumed)
    laid_on = [] if unread else fitted(events, counts, book, assumed) if counts else list(events)
    points, tick = list(counts.points) if counts else [], 0
    done: list[tuple[Event, tuple[int, ...]]] = []
    for event in laid_on:
        size = needs([event], book)
        if isinstance(event, Mention) and not size:
            return None
        if counts is not None:
            taken, points = tuple(points[:size]), points[size:]
        else:
            length = counts_of_figure(event, book) if isinstance(event, Mention) else size
            ends = (1, length) if isinstance(event, Mention) else range(1, size + 1)
            taken = tuple(tick + TICKS * at for at in ends)
            tick += TICKS * length
        done.append((event, taken))
    return in_lines(done, book, assumed) if laid_on else None


PLACE = re.compile(r"(?i)(?:forward|fwd|back|bk|side|together|tog|behind|over|across|beside|in|out)")
"""Where one foot goes, which lasts no several counts."""
_FOOT = re.compile(f"(?i){FOOT}")


def _with_blank(events: Sequence[Event], counts: Counts, book: Book, assumed: Assumptions) -> list[Item] | None:
    """Return the rows before and behind words that aren't understood, and a blank of the counts that are left for
    them; where a figure has halves, each lasts as long as the book says."""
    if counts.whole and any(needs([each], book) > lasts([each], book) for each in only(events, Mention)):
        left, items = counts.length - lasts(events, book), _around(events, book, assumed)
        return items and [evolve(i, counts=left) if isinstance(i, Line) and i.unknown else i for i in items]
    at, unread = next((index, event) for index, event in enumerate(events) if isinstance(event, Unread))
    before, after, points = events[:at], events[at + 1 :], counts.points
    start, end = needs(before, book), len(points) - needs(after, book)
    middle = points[start:end]
    if len(middle) > 1 and PLACE.fullmatch(unread.text):
        return None
    if not middle or any(point % TICKS for point in (*middle, *points[end : end + 1])):
        return None
    if any(isinstance(event, Step) and _FOOT.fullmatch(event.text) for event in before[-1:]):
        return None  # a foot alone before them is that of the words
    first = _row(before, Counts(points[:start]), book, assumed) if start else []
    last = _row(after, Counts(points[end:]), book, assumed) if first is not None and end < len(points) else []
    if first is None or last is None:
        return None
    claims = [Expect(f"facing {each.wall}") for each in only(after, Facing) if end == len(points)]
    claims += [weighted(each.foot) for each in only(after, Weighted) if each.foot and end == len(points)]
    return [*first, Line(counts=len(middle), blank=True, remark=unread.text), *last, *claims]


def _around(events: Sequence[Event], book: Book, assumed: Assumptions) -> list[Item] | None:
    """Return the rows around words that aren't understood; these are a blank whose counts what is around will say."""
    out: list[Item] = []
    start = 0
    for index, event in enumerate([*events, None]):
        if event is not None and not isinstance(event, Unread):
            continue
        made = _row(events[start:index], None, book, assumed) if index > start else []
        if made is None:
            return None
        out += [*made, Line(blank=True, remark=event.text)] if event else made
        start = index + 1
    return out
