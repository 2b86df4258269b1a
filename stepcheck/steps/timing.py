"""On which counts steps stand: halves that are not written, steps beside others, the last one that lasts."""

from collections.abc import Iterator, Sequence

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.model.dance import TICKS
from stepcheck.steps.counts import Counts, length_of, needs, version
from stepcheck.steps.feet import pivoted, pivots
from stepcheck.steps.folding import lasts, only
from stepcheck.steps.outline import Assumptions
from stepcheck.steps.steps import OTHER, WEIGHT, Aside, Event, Facing, Mention, Step, Unread


def quick(events: Sequence[Event]) -> Counts | None:
    """Return the counts of steps without counts that an `&` joins, each of these on a half, or of three steps that may
    be a triple; None for any others."""
    steps = only(events, Step)
    triple = len(steps) == 3 and all(step.codes[-1] in WEIGHT and len(step.codes) == 1 for step in steps)
    if len(steps) < sum(not isinstance(event, Facing) for event in events):
        return None
    if any(step.half for step in steps):
        points = [0]
        for step in steps:
            points.append(points[-1] // TICKS * TICKS + (TICKS // 2 if step.half else TICKS))
        return Counts(tuple(points[1:]))
    return Counts((TICKS, TICKS + TICKS // 2, 2 * TICKS)) if triple else None


def finer(
    events: Sequence[Event], counts: Counts | None, book: Book, assumed: Assumptions, told: Sequence[Event]
) -> Counts | None:
    """Return counts with the halves on which an `&` puts steps, or on which steps stand that are danced as triples,
    where there are just these more than whole counts, and those of steps without counts between which one is added.

    No triple is told if a figure that is `told` is gone from the events, for steps that may be others.
    """
    fine = quick(events) if any(step.half for step in only(events, Step)) else None
    if counts is None:
        return fine if switching(events) else None
    bare = [event for event in events if not getattr(event, "inside", False)]  # a bracket may say a step again
    halves = _triples(bare) if not fine and counts.whole and not only(bare, Unread) else []
    halves *= len(only(bare, Mention)) == len(only(told, Mention))
    if halves and lasts(bare, book) - len(halves) == counts.length:
        assumed.add(
            "kick, ball and a step, and behind, side, cross, are on two counts where these are short by just that"
        )
        return Counts(tuple(point + counts.points[0] - TICKS for point in _halved(bare, halves, book)))
    if not (fine and counts.whole and fine.length == counts.length < needs(bare, book)):
        return counts
    return Counts(tuple(point + counts.points[0] - TICKS for point in fine.points))


def _triples(events: Sequence[Event]) -> list[Step]:
    """Return the middle steps of what is danced on two counts: a kick, a ball and a step; behind, side, cross."""
    return [
        b
        for a, b, c in zip(events, events[1:], events[2:], strict=False)
        if isinstance(a, Step) and isinstance(b, Step) and isinstance(c, Step) and not (a.turn or b.turn)
        if (a.codes == ("K",) and b.codes == ("BA",))
        or ("behind" in a.note and b.note == ("side",) and "cross" in c.note and a.codes == b.codes == c.codes)
    ]


def _halved(events: Sequence[Event], halves: list[Step], book: Book) -> Iterator[int]:
    """Yield the ticks of steps and figures in a row from count 1 on, the steps `halves` being on a half."""
    tick = 0
    for event in events:
        figure = version(event.name, book) if isinstance(event, Mention) else None
        if figure and isinstance(event, Mention):
            for _ in range(event.times):
                yield from sorted({tick + move.tick for move in figure[1]})
                tick += TICKS * length_of(figure[1])
        elif isinstance(event, Step):
            half = any(event is each for each in halves)
            tick += TICKS * (not half)
            yield tick + TICKS // 2 * half


def switching(events: Sequence[Event]) -> bool:
    """Say whether an `&` between events is a step of its own."""
    return any(step.text == "&" for step in only(events, Step))


def stepping_off(events: list[Event], counts: Counts, book: Book, assumed: Assumptions) -> list[Event]:
    """Return events in which a pivot behind no step, `recover L, pivot 1/2 L`, has one of its own, where whole counts
    have room for just these."""
    moved = [event for event in events if isinstance(event, Step | Mention)]
    after = zip([None, *moved], moved, strict=False)
    lone = [
        b
        for a, b in after
        if isinstance(b, Step) and b.codes == ("PV", "S") and b.turn
        if not (isinstance(a, Step) and a.codes == ("S",))
    ]
    if not lone or not counts.whole or lasts(events, book) + len(lone) != counts.length or only(events, Unread):
        return events
    assumed.add("a pivot behind no step has a step of its own before it")
    return [
        Mention("Pivot Turn", "", each.note, each.turn, text=each.text)
        if isinstance(each, Step) and any(each is one for one in lone)
        else each
        for each in events
    ]


def each_foot(event: Event) -> Event:
    """Return a figure with one foot and the other, `toe strut back R L`, as danced on each of them."""
    twice = isinstance(event, Mention) and event.times == 1 and event.feet in ("RL", "LR")
    return evolve(event, feet=event.feet[0], times=2) if isinstance(event, Mention) and twice else event


def clapping(events: Sequence[Event]) -> list[Event]:
    """Return events without counts in which `touch L and clap` is one count."""
    out: list[Event] = []
    for event in events:
        if isinstance(event, Step) and event.beside and out and isinstance(last := out[-1], Step):
            out[-1] = evolve(last, note=(*last.note, "clap"))
        else:
            out.append(event)
    return out


def fitted(events: Sequence[Event], counts: Counts, book: Book, assumed: Assumptions) -> list[Event]:
    """Return events that take just the points of their counts, [] if they don't.

    Steps in brackets, claps, and what the other foot does during a step may be said beside others; a turn that is said
    apart may be a pivot; the last step may last.
    """
    wanted, out = len(counts.points), list(events)
    if needs(out, book) > wanted:
        out = clapping(out)
    inside = [step for step in only(out, Step) if step.inside]
    if needs(out, book) > wanted and inside:
        out = [event for event in out if not any(event is step for step in inside)]
        out.append(Aside("; ".join(step.text for step in inside)))
    if needs(out, book) > wanted:
        out = beside(out)
    missing = wanted - needs(out, book)
    if 0 < missing == pivots(out):
        return list(pivoted(out, assumed))
    if missing > 0 and counts.whole:
        return _stretched(out, missing, assumed)
    return [] if missing else out


def _stretched(events: Sequence[Event], missing: int, assumed: Assumptions) -> list[Event]:
    """Return events with a hold behind the last step, where one step is written for several whole counts; else none."""
    steps = only(events, Step)
    still_turning = any(step.turn and "unwind" not in step.note for step in steps)
    if only(events, Mention) or not steps or still_turning or any(not aside.inside for aside in only(events, Aside)):
        return []
    last, still = steps[-1], Step(("HOLD",))
    if len(steps) > 1 and last.codes not in (("HOLD",), ("DRAW",)) and "slowly" not in last.note:
        return []
    if len(steps) > 1:
        assumed.add(f"the last of several steps lasts {missing + 1} counts: {last.text}")
    elif last.codes == ("RK",) and missing == 1:
        assumed.add("a rock of two counts is a rock and its recover")
        still = Step(("RC",), OTHER.get(last.foot, ""))
    elif last.codes[0] in ("HOLD", "CLAP", "BUMP", "BOUNCE") and (missing < 4 or last.codes[0] == "HOLD"):
        still = last
    elif missing > 3:
        return []
    elif not {"slowly", "unwind"} & set(last.note) and last.codes != ("DRAW",):
        assumed.add(f"one step for {missing + 1} counts: {last.text}: the foot is set on the first, then still")
    at = max(index for index, event in enumerate(events) if event is last)
    return [*events[: at + 1], *[still] * missing, *events[at + 1 :]]


def beside(events: Sequence[Event]) -> list[Event]:
    """Return events without the claps, sweeps and drags behind other steps, which are notes of these, and without a
    rock that says neither foot nor place beside a step, which is that rock: `rock/step R fwd`, `cross R and rock`."""
    out: list[Event] = []
    for event in events:
        before = out[-1] if out else None
        said = _BESIDE.get(event.codes[-1]) if isinstance(event, Step) and not event.turn else None
        if isinstance(event, Step) and isinstance(before, Step) and _rocks(before, event):
            out[-1] = evolve(event if before.codes == ("RK",) else before, codes=("RK",))
        elif said and isinstance(event, Step) and isinstance(before, Step):
            out[-1] = evolve(before, note=(*before.note, said, *(word for word in event.note if word not in said)))
        elif not (isinstance(event, Step) and event.codes == ("CLAP",)):
            out.append(event)
    return out


def _rocks(one: Step, other: Step) -> bool:
    """Say whether one of two steps is a bare rock, and the other a step of one foot that may be it."""
    step, rock = (other, one) if one.codes == ("RK",) else (one, other)
    bare = rock.codes == ("RK",) and not (rock.foot or rock.note or rock.turn)
    return bare and step.codes == ("S",) and bool(step.foot)


_BESIDE = {"CLAP": "clap", "SW": "sweep", "DRAW": "drag"}
