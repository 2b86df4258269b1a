"""How long steps are by what is stated of them, and steps cut short."""

from attrs import evolve

from stepcheck.model.dance import (
    TICKS,
    Body,
    Check,
    Choice,
    Figure,
    Forever,
    Gap,
    Item,
    Lap,
    Last,
    Pass,
    Repeat,
    Rest,
    Step,
    Test,
    Timed,
)  # fmt: skip


class CutFails(Exception):
    """A body cannot be cut there; `line` is where."""

    def __init__(self, name: str, line: int) -> None:
        self.name = name
        self.line = line


def length(body: Body) -> int | None:
    """Return the ticks of a body as stated, None if a blank leaves them open.

    A length that the sheet states counts even where the steps do not fill it, and of alternatives the first counts.
    """
    total = 0
    for item in body:
        more: int | None = 0
        match item:
            case Step():
                more = item.figure.versions[item.figure.usual].length
            case Rest() | Gap():
                more = item.ticks
            case Choice():
                more = length(item.options[0])
            case Repeat():
                once = length(item.body)
                more = None if once is None or item.times is None else once * item.times
            case Timed() | Pass() | Lap():
                more = length(item.body)
            case Check() if item.test is Test.CLOCK and item.value is not None:
                total = item.value
        if more is None:
            return _stated(body)
        total += more
    return total


def _stated(body: Body) -> int | None:
    """Return the length that the last check of a body states, if one does."""
    checks = [item.value for item in body if isinstance(item, Check) and item.test is Test.CLOCK]
    return checks[-1] if checks else None


def cut(body: Body, ticks: int, *, last: bool = False) -> Body:
    """Return the start of a body that lasts `ticks`.

    Args:
        last: nothing follows, so that it does not matter where a cut figure turns.

    Raises:
        CutFails: the cut falls inside a figure that turns at no stated count, or beyond the end of the body.
    """
    out, left = _cut(body, ticks, last)
    if left:
        raise CutFails("cut-beyond-the-end", 0)
    return tuple(out)


def _cut(body: Body, ticks: int, last: bool) -> tuple[list[Item], int]:
    """Return the start of a body, and the ticks that it is too short by."""
    out: list[Item] = []
    for item in body:
        if isinstance(item, Check):
            if ticks == 0 and item.test is Test.LEAD:
                break
            out.append(item)
            continue
        if ticks == 0:
            break
        more = length((item,))
        if more is not None and more <= ticks:
            out.append(item)
            ticks -= more
            continue
        kept, ticks = _shortened(item, ticks, last)
        out += kept
        if ticks == 0:
            break
    return out, ticks


def _shortened(item: Item, ticks: int, last: bool) -> tuple[list[Item], int]:
    """Return the start of one item that is too long, and the ticks that are left."""
    match item:
        case Step():
            return [evolve(item, figure=_figure(item, ticks, last), turn=_turn(item, ticks, last))], 0
        case Rest() | Gap():
            return [evolve(item, ticks=ticks)], 0
        case Choice():
            return [evolve(item, options=tuple(cut(option, ticks, last=last) for option in item.options))], 0
        case Repeat():
            once = length(item.body)
            if not once:
                raise CutFails("cut-beyond-the-end", item.line)
            whole, rest = divmod(ticks, once)
            start: list[Item] = [evolve(item, times=whole)] if whole else []
            return start + list(cut(item.body, rest, last=last)), 0
        case Timed() | Pass():
            kept, left = _cut(item.body, ticks, last)
            short = evolve(item, body=tuple(kept))
            return [evolve(short, lap=False) if isinstance(short, Pass) else short], left
        case Lap():
            return _cut(item.body, ticks, last)
        case Forever() | Last() | Check():
            raise CutFails("cut-beyond-the-end", getattr(item, "line", 0))


def _turns_by(beat: int | None, ticks: int, line: int, last: bool) -> bool:
    """Say whether a turn on `beat` comes before the cut; the turn at no stated count fails unless nothing follows."""
    if beat is not None:
        return beat * TICKS <= ticks
    if last:
        return False
    raise CutFails("cut-splits-a-turn", line)


def _figure(step: Step, ticks: int, last: bool) -> Figure:
    """Return the start of a step's figure: the movements that belong to beats up to the cut."""
    versions = []
    for version in step.figure.versions:
        actions = tuple(action for action in version.actions if action.beat * TICKS <= ticks)
        turn = version.turn
        if turn and step.turn is None and not _turns_by(version.turn_beat, ticks, step.line, last):
            turn = 0
        versions.append(evolve(version, actions=actions, length=ticks, turn=turn))
    return evolve(step.figure, versions=tuple(versions))


def _turn(step: Step, ticks: int, last: bool) -> int | None:
    """Return the turn of the start of a step."""
    if not step.turn:
        return step.turn
    return step.turn if _turns_by(step.turn_beat, ticks, step.line, last) else 0
