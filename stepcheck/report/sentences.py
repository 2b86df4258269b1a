"""Outcomes as findings: sentences that a dancer understands, the dances that show them, and what would mend them."""

from collections.abc import Mapping
from fractions import Fraction
from shlex import quote
from typing import Any

from stepcheck.language.grammar import LARGEST, WALLS
from stepcheck.language.stretches import block_times, parts, rows
from stepcheck.model import words
from stepcheck.model.claims import Claim, Kind, Test
from stepcheck.model.dance import EIGHTHS, TICKS, Pass, Weight, key
from stepcheck.model.findings import CODES, Code, Diagnostic, Hint, Patch, TraceRow
from stepcheck.model.floor import RELATIONS, TOO_LONG, unknown
from stepcheck.model.items import every
from stepcheck.model.outcome import Outcome, Replay, Row, Verdict
from stepcheck.model.source import Span
from stepcheck.program.repeats import passes
from stepcheck.report.wording import KINDS, LOOSE_TURN, Scene, edge_of, got_of, unit, walls_of, want_of

DRAFTED = "<draft>"
"""The path of a draft that is checked before any file holds it."""
_OPEN = {"blank": "waits-on-a-blank", "budget": "budget-spent", "travel": "way-unknown"}


def sentence(
    scene: Scene, claim: Claim, verdict: Verdict, replays: tuple[Replay, ...] = (), causes: tuple[str, ...] = ()
) -> str:
    """Return the sentence about `claim`, the claim first: that of its kind for its verdict.

    `causes` are the ids of refuted claims that are to be looked at first.
    """
    proved, refuted = _pair(scene, claim, replays)
    who, want = scene.who(claim), want_of(scene, claim, replays)
    holds = text = proved.format(who=who, want=want)
    match verdict:
        case Verdict.PROVED:
            pass
        case Verdict.REFUTED if claim.kind is Kind.SECTION and replays and not replays[0].found:
            text = f"{who} has no part: nothing is danced to its {want}"
        case Verdict.REFUTED:
            edge, _ = edge_of(scene, claim, replays)
            text = refuted.format(who=who, want=want, got=got_of(scene, claim, replays), edge=edge)
            if not replays and claim.kind is not Kind.TIME:
                text = text.partition(", but ")[0] + ", but does not"
        case Verdict.VACUOUS if scene.swapped(claim):
            text = f"that {holds} is never tested: {claim.part} is danced with `opposite foot` only, which keeps turns"
        case Verdict.VACUOUS if claim.kind is Kind.TIME or claim.time:
            named, time = claim.text.removesuffix(f": time {claim.time}"), words.ordinal(claim.time)
            told = "is cut before it comes so far" if _cut(scene, claim) else "never comes"
            text = f"{'' if named == time else f'{named}: '}the {time} time {told}"
        case Verdict.VACUOUS:
            there = "to its end" if claim.kind is Kind.COUNTS else "here"
            text = f"that {holds} is never tested: the dance never comes {there}"
        case _:
            text = f"whether {holds} is open"
    if causes:
        lines = sorted({one.line for one in scene.program.claims if one.id in causes})
        text += f": look at {words.lines(lines)} first"
    return text[:1].upper() + text[1:]


def _reached(scene: Scene, claim: Claim) -> str:
    """Return what lets the dance come to a claim."""
    if scene.swapped(claim):
        return "write `mirrored`, which swaps turns too and is tested, or claim it where the part is danced"
    if claim.kind is not Kind.TIME:
        return f"let the dance come that far, or take `{claim.text}` out"
    often = "cut it later" if _cut(scene, claim) else f"let it be danced {claim.time} times or more"
    return f"{often}, or take the line out"


def _cut(scene: Scene, claim: Claim) -> bool:
    """Say whether what a claim speaks of is danced as often as it says, so that only a cut leaves it out."""
    program, name = scene.program, key(claim.part)
    times = block_times(scene.sheet).get(claim.line, passes(program.dance, {})[name]) or 0
    started = (one for one in every(program.dance) if isinstance(one, Pass) and key(one.part) == name)
    return times >= claim.time > 0 and any(one.lasts is not None for one in started)


def _pair(scene: Scene, claim: Claim, replays: tuple[Replay, ...]) -> tuple[str, str]:
    if claim.kind is Kind.TURN and len(replays) == 1 and replays[0].found is not None:
        either = scene.wants.get(claim.id, (None, None))[0] is Test.EITHER
        if replays[0].expected in (replays[0].found, -replays[0].found if either else None):
            return LOOSE_TURN  # so far it has turned, but a facing on the way was set as the sheet has it
    here, said = scene.subjects.get(claim.line), KINDS[claim.kind]
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
    args |= {"expected": want_of(scene, claim, replays), "expected_value": None if value is None else int(value)}
    if replays:
        args["found"] = got_of(scene, claim, replays)
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
    """Return the claim, if the finding stands elsewhere, and the passes and readings that it takes."""
    told = [(claim.line, f"the claim: {claim.text}")] if line != claim.line else []
    for name, call, time in replays[0].parts if replays else ():
        told += [(call, f"in {name}, the {words.ordinal(time)} time that it is danced")] if time > 1 else []
    taken = outcome.traces[0].words if outcome.traces else ()
    for word, index in zip(scene.program.words, taken, strict=False):
        told += [(claim.line, f"when {word.key} is read as: {word.labels[index]}")] if index != word.usual else []
    return tuple((scene.span(number), about) for number, about in told)


# -- advice ----------------------------------------------------------------------------------------------------------


def advice(scene: Scene, claim: Claim, outcome: Outcome, replays: tuple[Replay, ...]) -> tuple[str, ...]:
    """Return the advice on a claim that is not proved, one sentence each; one that begins with "or" continues the one
    before."""
    if outcome.verdict is Verdict.UNDECIDED:
        path = scene.sheet.source.path
        fill = f"fill the blank: stepcheck fill {'-' if path == '<stdin>' else quote(path)}"
        if path == DRAFTED:
            fill = "write the sheet with -o SHEET, and fill its blank: stepcheck fill SHEET"
        if outcome.reason == "travel":
            far = "say it on its line, as in `2 steps forward` or `on the spot`, or where the figure is written"
            long = unknown(scene.program, claim.id) == TOO_LONG
            return ("claim it of a shorter part, or earlier in the dance" if long else far,)
        return (fill,) if outcome.reason == "blank" else ("ask again with more `--budget`",)
    if outcome.verdict is Verdict.VACUOUS:
        return (_reached(scene, claim),)
    taken = outcome.traces[0].words if outcome.traces else ()
    odd = [word for word, reading in zip(scene.program.words, taken, strict=False) if reading != word.usual]
    if odd:
        return tuple(f"say in the header what is meant: `{word.key}: {word.labels[word.usual]}`" for word in odd)
    if claim.kind in (*RELATIONS.values(), Kind.SPOT):
        return _groups(claim, replays)
    test, value = scene.wants.get(claim.id, (None, None))
    want = replays[0].expected if replays and replays[0].expected is not None else value
    if claim.kind in (Kind.LEAD, Kind.FOOT) and want is not None and replays and replays[0].found is not None:
        return _feet(scene, claim, replays[0], want)
    if claim.kind is Kind.WALLS and replays and replays[0].test is Test.LEAD:
        line, free = replays[0].line, words.free(Weight(replays[0].found))
        return ("let every pass end as it begins", f"or let line {line} begin with the {free} foot")
    if claim.kind is Kind.WALLS and replays:
        return _walls(scene, claim, want, {replay.found % EIGHTHS for replay in replays if replay.found is not None})
    heading = _heading(scene, claim, replays)
    return _mend(scene, claim, test, want, replays[0].found if replays else None, heading)


def _feet(scene: Scene, claim: Claim, replay: Replay, want: int) -> tuple[str, ...]:
    """Return the advice on a claim about one foot: change the weight before it, or the foot on its line."""
    assert replay.found is not None
    swapped = f"{words.foot(1 - want)} foot" in claim.text.casefold()
    foot = words.foot(replay.found if swapped else 1 - replay.found) if replay.found != Weight.BOTH else ""
    where = "here" if replay.line in (0, claim.line) else f"on line {claim.line}"
    first = "change which foot takes the last weight before here"
    spare = {item.line for one in scene.program.spares for item in one.body if isinstance(item, Pass)}
    if not replay.rows and not (replay.parts and replay.parts[0][1] in spare):  # the header's lead does not reach it
        lead = f"{replay.group}: lead {words.foot(want)}" if replay.group else f"lead: {words.foot(want)}"
        first = f"begin the dance on it: `{lead}` in the header"
    hints = (first, _write(scene, claim, f"{foot} foot" if foot else "both feet", f" {where}"))
    if not swapped:
        return hints
    return (*hints, f"or dance it as it is written: here every foot of line {claim.line} is the other one")


def _groups(claim: Claim, replays: tuple[Replay, ...]) -> tuple[str, ...]:
    """Return the advice on a pass that ends elsewhere, or groups that do not stand to each other as a claim says."""
    if len(replays) < 2:
        return ("let its steps lead back as far as they lead away", "or take the claim out")
    one, other = replays[:2]
    match claim.kind:
        case Kind.SAME_BEAT:
            less, more = sorted((one, other), key=lambda replay: replay.found)
            lags = words.length(more.found - less.found)
            return (f"let {less.group} wait: `hold {lags}` in their lines", f"or take away {lags} of {more.group}")
        case Kind.SAME_WALL:
            return (f"let {other.group} {_more(words.shortest(one.found - other.found))} before here",)
        case Kind.APART:
            start = f"`{other.group}: start 1 step right`"
            return (f"let one of them go another way before that, or start elsewhere, as in {start} in the header",)
        case _ if one.test is Test.FOOT:
            lead = f"the header says which, as in `{other.group}: lead right`"
            return (f"let {other.group} begin on the other foot than {one.group}: {lead}",)
        case _:
            return (f"let {other.group} turn as far as {one.group}, to the other side: `mirrored` behind a part",)


def _walls(scene: Scene, claim: Claim, want: int | None, nets: set[int]) -> tuple[str, ...]:
    """Return the advice on a claim about walls where laps turn by `nets` eighths."""
    step = {1: "where it began", 2: "1/2 turn from where it began", 4: "1/4 turn from where it began"}.get(want or 0)
    hints = [f"let every pass end {step}"] if step else []
    if len(nets) == 1:
        hints.append(_write(scene, claim, f"walls: {walls_of(*nets)}", start="or " if hints else ""))
    return tuple(hints)


def _write(scene: Scene, claim: Claim, text: str, where: str = "", start: str = "or ") -> Hint:
    """Return the hint to write `text` in the place of a claim; the end of `left foot to left foot` keeps its `to`."""
    sentence = f"{start}write `{text}`{where}"
    column = scene.sheet.source.line(claim.line).find(claim.text) + 1
    if not column:
        return Hint(sentence)
    said = f"to {text}" if claim.text.startswith("to ") else text
    span = Span(claim.line, column, claim.line, column + len(claim.text))
    return Hint(sentence, Patch(f"write {said} in the place of {claim.text}", ((span, said),)))


def _heading(scene: Scene, claim: Claim, replays: tuple[Replay, ...]) -> str:
    """Return the heading of counts that would hold the steps under it, if there is one."""
    edge, start = edge_of(scene, claim, replays)
    here = scene.subjects.get(claim.line)
    if edge != "hold" or here is None or replays[0].found is None:
        return ""
    counts, rest = divmod(replays[0].found - start, TICKS)
    return f"counts {here.first}-{here.first + counts - 1}" if counts > 1 and not rest else ""


def _mend(  # noqa: C901 - a case for each kind
    scene: Scene, claim: Claim, test: Test | None, wanted: int | None, found: int | None, heading: str
) -> tuple[str, ...]:
    """Return the advice on a refuted claim, as far as its two values tell: change the steps, or the claim."""
    mend, want = KINDS[claim.kind].mend, wanted or 0
    if claim.kind is Kind.ALTERNATIVES:
        return (mend,)
    if found is None or (wanted is None and not mend):
        return ()
    if abs(found) > LARGEST * (EIGHTHS if claim.kind is Kind.TURN else TICKS):
        return ()  # no sheet can say it
    match claim.kind:
        case Kind.BOTH | Kind.STAND:
            after = "how it ends is a line of its own below it: `expect both feet`"
            foot = _write(scene, claim, f"{words.free(found)} foot", " here")
            return (mend, foot, after) if claim.kind is Kind.STAND else (mend, foot)
        case Kind.FACING:
            more = _more(words.shortest(want - found))
            return (f"{more} before here", _write(scene, claim, f"facing {words.facing(found, scene.clock)}"))
        case Kind.NET:
            more = _more(words.shortest(want - found))
            start = claim.text.partition(" to ")[0]
            end = words.facing((WALLS.get(start.casefold(), 0) + found) % EIGHTHS, ":" in start)
            return (more, _write(scene, claim, f"{start} to {end}"))
        case Kind.TURN:
            goal = -want if test is Test.EITHER and found < 0 else want
            if goal == found:
                return ("put the facing right that fails before here; it may be all that is wrong",)
            mended = _more(goal - found), _write(scene, claim, words.turn(found).removeprefix("a "))
            if (goal - found) % EIGHTHS:
                return mended
            walls = f"{words.facing(0, scene.clock)} to {words.facing(found, scene.clock)}"
            return (*mended, _write(scene, claim, walls, ", where both ways lead"))
        case Kind.LENGTH | Kind.COUNTS | Kind.SECTION | Kind.FIGURE:
            short = want - found
            change = f"{'add' if short > 0 else 'take away'} {words.length(abs(short), unit(claim))}"
            if claim.kind is Kind.COUNTS:
                return (change, _write(scene, claim, heading)) if heading else (change,)
            if claim.kind is Kind.SECTION and not found and (line := scene.undanced(claim)):
                change = f"write what is danced to it behind the section before it, as in `{line}`"
            if claim.kind is Kind.SECTION and scene.sheet.song:
                return (change,)
            out = "take the section out of the music" if claim.kind is Kind.SECTION else "take the claim out"
            said = _write(scene, claim, words.length(found, unit(claim))) if found else f"or {out}"
            if claim.kind is Kind.LENGTH and short < 0 and _calls(scene, claim):
                return (change, said, _write(scene, claim, f"first {claim.text}", ", which cuts it short"))
            return (change, said)
        case _:
            return (mend,) if mend else ()


def _calls(scene: Scene, claim: Claim) -> bool:
    """Say whether a claim stands on a line that dances a part once."""
    known = parts(scene.sheet)
    options = (one for line, row in rows(scene.sheet.lines) if line == claim.line for one in row.options)
    return any(key(one.name) in known and one.times == 1 for one in options)


def _more(eighths: int) -> str:
    """Return the missing turn in words: `turn 1/4 left more`, `turn once right more`, `turn 1 1/2 times left more`."""
    share = Fraction(abs(eighths), EIGHTHS)
    size = "once" if share == 1 else words.number(share) + (" times" if share > 1 else "")
    return f"turn {size} {'right' if eighths > 0 else 'left'} more"
