"""Why no row of figures is what is asked for, in dance words: the least set of conditions that cannot hold together."""

from attrs import evolve

from stepcheck.breaks.requests import Request
from stepcheck.breaks.states import State
from stepcheck.model import words
from stepcheck.model.dance import TICKS, Figure, Weight

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
            return f" that may begin {feet[0]}, facing {_either(walls)}"
        return f" that may begin {_either(list(map(said, states)))}"
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
    out = []
    if "wanted" in kept:
        out.append(f"holds {_names(request.limits.wanted)}")
    if "unwanted" in kept:
        out.append(f"does without {_names(request.unwanted)}")
    if "level" in kept:
        out.append(f"keeps to the level {level}" if level else "keeps to the level")
    if "steps" in kept and request.limits.steps is not None:
        least, most = request.limits.steps
        out.append(f"has {words.count(most, 'figure') if least == most else f'{least} to {most} figures'}")
    if "most_in_a_row" in kept:
        out.append(f"has no figure more than {words.count(request.limits.most_in_a_row or 0, 'time')} in a row")
    if "most_turn" in kept:
        most = request.limits.most_turn or 0
        out.append(f"turns no further than {words.size(most)} in all" if most else "has no turn")
    if "custom" in kept:
        out.append("keeps figures to the foot that custom leads them with")
    if "foot" in kept or "facing" in kept:
        out.append("ends as it began" if request.end is None else f"ends {said(request.end)}")
    return out


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
        return f"after exactly {shown} {_either([words.freely(weight) for weight in feet if weight is not None])}"
    reached = f"after {shown} one can only face {_either([words.towards(wall) for wall in walls])}"
    if "foot" not in kept:
        return reached
    wanted = request.end
    if wanted is not None and wanted.facing in walls:
        there = dict.fromkeys(
            state.weight for state in ends if state.facing == wanted.facing and state.weight is not None
        )
        return f"facing {words.towards(wanted.facing)} {_either([words.freely(weight) for weight in there])}"
    return reached


def _conditions(request: Request, kept: list[str]) -> str:
    """Return what one condition costs, where the end is not in question."""
    if kept == ["wanted"]:
        shortest = [(figure.name, figure.versions[figure.usual].length) for figure in request.limits.wanted]
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
    """Return how long figures are."""
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


def _either(pieces: list[str]) -> str:
    return " or ".join(pieces) if len(pieces) < 3 else f"{', '.join(pieces[:-1])} or {pieces[-1]}"
