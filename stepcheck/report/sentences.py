"""The sentences about claims: the engines' outcomes in words that a dancer understands, by the table of `wording`."""

from collections.abc import Mapping
from typing import Any

from stepcheck.model import words
from stepcheck.model.claims import Claim, Kind, Test
from stepcheck.model.dance import EIGHTHS, TICKS, Weight
from stepcheck.model.findings import CODES, Code, Diagnostic, TraceRow
from stepcheck.model.floor import RELATIONS, TOO_LONG, unknown
from stepcheck.model.outcome import Outcome, Place, Replay, Row, Verdict
from stepcheck.model.source import Span
from stepcheck.report.scene import Scene
from stepcheck.report.wording import KINDS, LOOSE_TURN, advice, edge_of, unit, walls_of

_OPEN = {"blank": "waits-on-a-blank", "budget": "budget-spent", "travel": "way-unknown"}
_WAYS = ("forward", "forward right", "right", "back right", "back", "back left", "left", "forward left")


def sentence(
    scene: Scene, claim: Claim, verdict: Verdict, replays: tuple[Replay, ...] = (), causes: tuple[str, ...] = ()
) -> str:
    """Return the sentence about `claim`, the claim first: that of its kind for its verdict.

    `causes` are the ids of refuted claims that are to be looked at first.
    """
    proved, refuted = _pair(scene, claim, replays)
    who, want = scene.who(claim), _want(scene, claim, replays)
    holds = text = proved.format(who=who, want=want)
    match verdict:
        case Verdict.PROVED:
            pass
        case Verdict.REFUTED if claim.kind is Kind.SECTION and replays and not replays[0].found:
            text = f"{who} has no part: nothing is danced to its {want}"
        case Verdict.REFUTED:
            edge, _ = edge_of(scene, claim, replays)
            text = refuted.format(who=who, want=want, got=_got(scene, claim, replays), edge=edge)
            if not replays and claim.kind is not Kind.TIME:
                text = text.partition(", but ")[0] + ", but does not"
        case Verdict.VACUOUS if scene.swapped(claim):
            text = f"that {holds} is never tested: {claim.part} is danced with `opposite foot` only, which keeps turns"
        case Verdict.VACUOUS if claim.kind is Kind.TIME or claim.time:
            named, time = claim.text.removesuffix(f": time {claim.time}"), words.ordinal(claim.time)
            text = f"{'' if named == time else f'{named}: '}the {time} time never comes"
        case Verdict.VACUOUS:
            text = f"that {holds} is never tested: the dance never comes here"
        case _:
            text = f"whether {holds} is open"
    if causes:
        lines = sorted({one.line for one in scene.program.claims if one.id in causes})
        text += f": look at line{'s' if len(lines) > 1 else ''} {words.listed([str(line) for line in lines])} first"
    return text[:1].upper() + text[1:]


def _pair(scene: Scene, claim: Claim, replays: tuple[Replay, ...]) -> tuple[str, str]:
    """Return the two sentences of a claim."""
    if claim.kind is Kind.TURN and len(replays) == 1 and replays[0].found is not None:
        either = scene.wants.get(claim.id, (None, None))[0] is Test.EITHER
        if replays[0].expected in (replays[0].found, -replays[0].found if either else None):
            return LOOSE_TURN  # so far it has turned, but a facing on the way was set as the sheet has it
    here, said = scene.places.get(claim.line), KINDS[claim.kind]
    return said.midway if said.midway and here and not here.end else (said.proved, said.refuted)


def explain(
    scene: Scene, outcomes: tuple[Outcome, ...], replays: Mapping[str, tuple[Replay, ...]]
) -> tuple[Diagnostic, ...]:
    """Return a finding for every claim that is not proved.

    Args:
        scene: the sheet and its program.
        outcomes: one for each claim.
        replays: by claim, one for each trace of its outcome.
    """
    claims = {claim.id: claim for claim in scene.program.claims}
    found = (
        _finding(scene, claims[outcome.claim], outcome, replays.get(outcome.claim, ()))
        for outcome in outcomes
        if outcome.verdict is not Verdict.PROVED and not outcome.causes
    )
    return tuple(sorted(found, key=lambda finding: finding.sort_key))


def _finding(scene: Scene, claim: Claim, outcome: Outcome, replays: tuple[Replay, ...]) -> Diagnostic:
    line = replays[0].line if replays and replays[0].line else claim.line
    groups = dict.fromkeys(replay.group for replay in replays if replay.group)
    by = f" ({' and '.join(groups)})" if groups and claim.kind not in RELATIONS.values() else ""
    return Diagnostic(
        code=_code(scene, claim, outcome),
        path=scene.sheet.source.path,
        span=scene.span(line),
        message=sentence(scene, claim, outcome.verdict, replays) + _why(scene, outcome) + by,
        args=_args(scene, claim, outcome, replays),
        hints=advice(scene, claim, outcome, replays),
        rows=tuple(_rows(scene, replay) for replay in replays),
        claim=claim.id,
        places=outcome.places,
        mended=outcome.mended,
        related=_related(scene, claim, outcome, replays, line),
    )


def _code(scene: Scene, claim: Claim, outcome: Outcome) -> Code:
    match outcome.verdict:
        case Verdict.UNDECIDED:
            return CODES[_OPEN[outcome.reason]]
        case Verdict.VACUOUS:
            late = claim.kind is Kind.TIME or (claim.time and not scene.swapped(claim))
            return CODES["time-never-comes" if late else "never-reached"]
    return CODES[KINDS[claim.kind].code]


def _why(scene: Scene, outcome: Outcome) -> str:
    if outcome.verdict is not Verdict.UNDECIDED:
        return ""
    if outcome.reason == "blank":
        return ": it waits on a blank"
    if outcome.reason == "travel":
        figures = unknown(scene.program, outcome.claim)
        if figures == TOO_LONG:
            return ": there are more steps than are followed"
        return f": nobody says how far {words.listed(figures)} go{'es' if len(figures) == 1 else ''}"
    return ": the budget is spent, which is neither a failure nor a proof"


# -- what is wanted and what is found --------------------------------------------------------------------------------


def _want(scene: Scene, claim: Claim, replays: tuple[Replay, ...]) -> str:
    test, value = scene.wants.get(claim.id, (None, None))
    compared = [replay.expected for replay in replays if replay.expected is not None]
    value = compared[0] if compared and claim.kind is not Kind.WALLS else value
    match claim.kind:
        case Kind.SAME_WALL | Kind.SAME_BEAT | Kind.MIRROR | Kind.APART | Kind.SPOT:
            return _apart(claim, replays)
        case Kind.COUNTS if replays:
            edge, start = edge_of(scene, claim, replays)
            return ("after " if edge == "begin" else "") + words.length((value or 0) - start, "counts")
        case Kind.COUNTS:
            here = scene.places.get(claim.line)
            return words.length(here.counts * TICKS, "counts") if here else claim.text
        case Kind.LEAD if value is None and test is Test.LEAD:
            return "left or right"
        case Kind.NET:
            return claim.text.removeprefix(f"{words.ordinal(claim.time)} time ") if claim.time else claim.text
        case _ if value is None:
            return claim.text.removesuffix(" foot").removeprefix("facing ").removeprefix("to ")
        case Kind.LEAD | Kind.FOOT:
            return words.foot(value)
        case Kind.WALLS:
            return words.count(value, "wall")
        case Kind.TURN if test is Test.EITHER:
            return words.size(value) + (" to one side" if value else "")
        case _:
            return _said(scene, claim, value)


def _said(scene: Scene, claim: Claim, value: int) -> str:
    """Return a value of the claim's kind in words."""
    match KINDS[claim.kind].unit:
        case "foot":
            return words.freely(value)
        case "ticks":
            return words.length(value, unit(claim))
        case _ if claim.kind is Kind.FACING:
            return words.towards(value, scene.clock)
        case _ if claim.kind is Kind.NET:
            return words.away(value)
        case _:
            return words.turn(value)


def _got(scene: Scene, claim: Claim, replays: tuple[Replay, ...]) -> str:
    values = [replay.found for replay in replays if replay.found is not None]
    if claim.kind is Kind.SPOT and replays and replays[0].place is not None:
        return f"comes {_place(replays[0].place)} of it"
    if claim.kind is Kind.APART and replays and replays[0].place is not None:
        where = f"{_place(replays[0].place)} of the middle" if any(replays[0].place) else "in the middle"
        return f"{words.listed([r.group for r in replays])} both stand {where} after {words.length(replays[0].tick)}"
    if claim.kind in RELATIONS.values():
        return " and ".join(_stands(scene, replay) for replay in replays)
    if claim.kind is Kind.WALLS:
        blocked = replays and replays[0].test is Test.LEAD
        return _blocked(replays[0]) if blocked else _walls(values)
    edge, start = edge_of(scene, claim, replays)
    said = list(dict.fromkeys(_said(scene, claim, value - start) for value in values))
    said = [f"after {length}" for length in said] if edge == "begin" else said
    return " or ".join(said) if said else "nothing"


def _apart(claim: Claim, replays: tuple[Replay, ...]) -> str:
    """Return where the groups should meet, or where a part should end."""
    if claim.kind is not Kind.SPOT:
        here, each = ("up to", "in any") if claim.kind is Kind.APART else ("at", "at the end of each")
        return f"{each} section" if claim.text.startswith("each section") else f"{here} this point"
    verb, rest = ("keep", f"{claim.text} of") if claim.text.startswith("within") else ("come", "back to")
    return f"{verb}{'' if replays else 's'} {rest} where it began"


def _place(place: Place) -> str:
    """Return a place in steps, as one sees them who faces as the pass began."""
    return words.listed([f"{words.count(abs(n), 'step')} {_WAYS[at + 4 * (n < 0)]}" for at, n in enumerate(place) if n])


def _stands(scene: Scene, replay: Replay) -> str:
    """Return how a group stands where the groups should meet."""
    match replay.test:
        case Test.FACING:
            return f"{replay.group} face {words.towards(replay.found, scene.clock)}"
        case Test.CLOCK:
            return f"{replay.group} have danced {words.length(replay.found)}"
        case _:
            free = "no" if replay.found == Weight.BOTH else f"the {words.free(replay.found)}"
            return f"{replay.group} have {free} foot free"


def _blocked(replay: Replay) -> str:
    """Return why a pass cannot be danced over and over: it comes to an ordered foot that is not free."""
    assert replay.begins is not None
    begins = "on both feet" if replay.begins is Weight.BOTH else f"on the {words.free(replay.begins)} foot"
    comes = f"comes to line {replay.line} with the {words.free(Weight(replay.found))} foot free"
    return f"a pass that begins {begins} {comes}, so it cannot be danced over and over"


def _walls(values: list[int]) -> str:
    """Return the finding about walls as a phrase: where passes with these turns (eighths) end, and the number of
    walls."""
    nets = list(dict.fromkeys(value % 8 for value in values))
    ends = " and another ".join(words.away(net) for net in nets)
    if len(nets) > 1:
        return f"one pass ends {ends}"
    return (
        f"a pass ends {ends}, which makes {words.count(walls_of(*nets), 'wall')}" if nets else "no pass bears that out"
    )


# -- the parts of a finding ------------------------------------------------------------------------------------------


def _rows(scene: Scene, replay: Replay) -> tuple[TraceRow, ...]:
    """Return the steps of the innermost pass that has any before the place; counts and walls are those of that pass."""
    start, front, steps = next(
        (start, front, steps)
        for start, front in (*reversed(replay.starts), (0, 0))
        if (steps := _since(replay.rows, start)) or not start
    )
    return tuple(_row(scene, row, start, front, number == len(steps)) for number, row in enumerate(steps, 1))


def _since(rows: tuple[Row, ...], start: int) -> tuple[Row, ...]:
    """Return the last rows from tick `start` on; where a length was taken as put right, time goes back and rows end."""
    first = len(rows)
    while first and rows[first - 1].tick >= start and (first == len(rows) or rows[first - 1].tick < rows[first].tick):
        first -= 1
    return rows[first:]


def _row(scene: Scene, row: Row, start: int, front: int, last: bool) -> TraceRow:
    before, after = (words.facing((w - front) % EIGHTHS, scene.clock) for w in (row.facing_before, row.facing_after))
    feet = words.free(row.before), words.free(row.after)
    turn = "" if abs(row.turn) < EIGHTHS else words.turn(row.turn)
    return TraceRow(words.beat(row.tick - start), row.line, row.label, feet, (before, after), row.times, last, turn)


def _args(scene: Scene, claim: Claim, outcome: Outcome, replays: tuple[Replay, ...]) -> tuple[tuple[str, Any], ...]:
    _, value = scene.wants.get(claim.id, (None, None))
    args: dict[str, Any] = {"subject": scene.who(claim), "kind": claim.kind.value}
    args |= {"expected": _want(scene, claim, replays), "expected_value": None if value is None else int(value)}
    if replays:
        args["found"] = _got(scene, claim, replays)
        args["found_values"] = tuple(None if replay.found is None else int(replay.found) for replay in replays)
        if replays[0].group:
            args["groups"] = tuple(replay.group for replay in replays)
    walls = claim.kind is Kind.MIRROR and replays and replays[0].test is Test.FACING
    args["unit"] = "eighths" if walls else KINDS[claim.kind].unit
    if outcome.reason:
        args["reason"] = outcome.reason
    return tuple(args.items())


def _related(
    scene: Scene, claim: Claim, outcome: Outcome, replays: tuple[Replay, ...], line: int
) -> tuple[tuple[Span, str], ...]:
    """Return the related places: the claim, if the finding stands elsewhere, and the pass and readings that it
    takes."""
    told = [(claim.line, f"the claim: {claim.text}")] if line != claim.line else []
    for name, call, time in replays[0].parts if replays else ():
        told += [(call, f"in {name}, the {words.ordinal(time)} time that it is danced")] if time > 1 else []
    taken = outcome.traces[0].words if outcome.traces else ()
    for word, index in zip(scene.program.words, taken, strict=False):
        told += [(claim.line, f"when {word.key} is read as: {word.labels[index]}")] if index != word.usual else []
    return tuple((scene.span(number), about) for number, about in told)
