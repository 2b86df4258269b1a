"""The words for each kind of claim: its two sentences, the code where it is refuted, the unit of its values, and
the advice where it is not proved: a change of the steps, or a change of the claim.

A new kind has one row here.  In a sentence `{who}` is the subject, `{want}` what is claimed, `{got}` what was found.
"""

from fractions import Fraction
from shlex import quote

from attrs import frozen

from stepcheck.language.grammar import LARGEST, WALLS
from stepcheck.model import words
from stepcheck.model.claims import Claim, Kind, Test
from stepcheck.model.dance import EIGHTHS, TICKS, Weight
from stepcheck.model.findings import Hint, Patch
from stepcheck.model.floor import RELATIONS, TOO_LONG, unknown
from stepcheck.model.outcome import Outcome, Replay, Verdict
from stepcheck.model.source import Span
from stepcheck.report.scene import Scene


@frozen
class Said:
    """What is said of a kind of claim.

    Attributes:
        proved: the sentence where it holds.
        refuted: the sentence where it does not.
        code: the name of the code of a refutation.
        unit: what its values are numbers of.
        midway: the two sentences at a place in the middle of a dance or part, where the usual ones speak of its end.
        mend: how to change the steps, where the values of the claim do not tell.
    """

    proved: str
    refuted: str
    code: str
    unit: str
    midway: tuple[str, str] | None = None
    mend: str = ""


KINDS: dict[Kind, Said] = {
    Kind.LEAD: Said(
        "{who} begins with the {want} foot",
        "{who} should begin with the {want} foot, but {got}",
        "foot-not-free",
        "foot",
    ),
    Kind.FOOT: Said(
        "{who} ends with the {want} foot free",
        "{who} should end with the {want} foot free, but {got}",
        "wrong-free-foot",
        "foot",
        (
            "{who} has the {want} foot free at this point",
            "{who} should have the {want} foot free at this point, but {got}",
        ),
    ),
    Kind.BOTH: Said(
        "{who} ends on both feet",
        "{who} should end on both feet, but {got}",
        "not-both-feet",
        "foot",
        ("{who} is on both feet at this point", "{who} should be on both feet at this point, but {got}"),
        "end on a movement that takes both feet",
    ),
    Kind.STAND: Said(
        "{who} begins on both feet",
        "{who} should begin on both feet, but {got}",
        "not-both-feet",
        "foot",
        mend="come onto both feet before here",
    ),
    Kind.FACING: Said(
        "{who} ends facing {want}",
        "{who} should end facing {want}, but ends facing {got}",
        "wrong-facing",
        "eighths",
        ("{who} faces {want} at this point", "{who} should face {want} at this point, but faces {got}"),
    ),
    Kind.LENGTH: Said("{who} lasts {want}", "{who} should last {want}, but lasts {got}", "wrong-length", "ticks"),
    Kind.COUNTS: Said(
        "{who} holds {want} of steps", "{who} should {edge} {want}, but {edge}s {got}", "wrong-counts", "ticks"
    ),
    Kind.TURN: Said(
        "{who} makes {want} in all", "{who} should make {want} in all, but makes {got}", "wrong-turn", "eighths"
    ),
    Kind.NET: Said(
        "{who} goes from {want}", "{who} should go from {want}, but ends {got}", "wrong-net-facing", "eighths"
    ),
    Kind.SECTION: Said(
        "{who} is filled: {want}",
        "{who} should be danced for {want}, but is danced for {got}",
        "music-not-filled",
        "ticks",
    ),
    Kind.ALTERNATIVES: Said(
        "the alternatives of this line last equally long",
        "the alternatives of this line should last equally long, but last {got}",
        "unequal-alternatives",
        "ticks",
        mend="make all of them last equally long",
    ),
    Kind.FIGURE: Said(
        "{who} lasts {want}", "{who} should last {want}, but its movements last {got}", "wrong-figure-length", "ticks"
    ),
    Kind.WALLS: Said("{who} has {want}", "{who} should have {want}, but {got}", "wrong-walls", "eighths"),
    Kind.TIME: Said(
        "{who} is danced often enough", "{who} should be danced often enough, but is not", "time-never-comes", "times"
    ),
    Kind.SAME_WALL: Said(
        "the groups face the same wall {want}",
        "the groups should face the same wall {want}, but {got}",
        "groups-differ",
        "eighths",
    ),
    Kind.SAME_BEAT: Said(
        "the groups have danced equally long {want}",
        "the groups should have danced equally long {want}, but {got}",
        "groups-differ",
        "ticks",
    ),
    Kind.SPOT: Said("{who} {want}", "{who} should {want}, but {got}", "off-its-spot", "steps"),
    Kind.APART: Said(
        "the groups never meet {want}", "the groups should never meet {want}, but {got}", "groups-differ", "ticks"
    ),
    Kind.MIRROR: Said(
        "the groups are mirror images {want}",
        "the groups should be mirror images {want}, but {got}",
        "groups-differ",
        "foot",
    ),
}

LOOSE_TURN = (
    "{who} makes {want} in all",
    "{who} should make {want} in all, but ends elsewhere once the facing before it is taken as put right",
)


# -- advice ----------------------------------------------------------------------------------------------------------


def advice(scene: Scene, claim: Claim, outcome: Outcome, replays: tuple[Replay, ...]) -> tuple[str, ...]:
    """Return the advice on a claim that is not proved, one sentence each; one that begins with "or" continues the one
    before."""
    if outcome.verdict is Verdict.UNDECIDED:
        path = scene.sheet.source.path
        fill = f"fill the blank: stepcheck fill {'-' if path == '<stdin>' else quote(path)}"
        if outcome.reason == "travel":
            far = "say it on its line, as in `2 steps forward` or `on the spot`, or where the figure is written"
            long = unknown(scene.program, claim.id) == TOO_LONG
            return ("claim it of a shorter part, or earlier in the dance" if long else far,)
        return (fill,) if outcome.reason == "blank" else ("ask again with more `--budget`",)
    if outcome.verdict is Verdict.VACUOUS:
        far = f"let the dance come that far, or take `{claim.text}` out"
        far = f"let it be danced {claim.time} times or more, or take the line out" if claim.kind is Kind.TIME else far
        swap = "write `mirrored`, which swaps turns too and is tested, or claim it where the part is danced"
        return (swap if scene.swapped(claim) else far,)
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


def walls_of(net: int) -> int:
    """Return the number of walls of a dance whose laps turn by `net` eighths."""
    return next(times for times in (1, 2, 4, 8) if times * net % EIGHTHS == 0)


def _heading(scene: Scene, claim: Claim, replays: tuple[Replay, ...]) -> str:
    """Return the heading of counts that would hold the steps under it, if there is one."""
    edge, start = edge_of(scene, claim, replays)
    here = scene.places.get(claim.line)
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
            return (change, _write(scene, claim, words.length(found, unit(claim))) if found else f"or {out}")
        case _:
            return (mend,) if mend else ()


def _more(eighths: int) -> str:
    """Return the missing turn in words: `turn 1/4 left more`, `turn once right more`, `turn 1 1/2 times left more`."""
    share = Fraction(abs(eighths), EIGHTHS)
    size = "once" if share == 1 else words.number(share) + (" times" if share > 1 else "")
    return f"turn {size} {'right' if eighths > 0 else 'left'} more"


def edge_of(scene: Scene, claim: Claim, replays: tuple[Replay, ...]) -> tuple[str, int]:
    """Return the failed one of the two checks of a heading of counts, and the tick that it is measured from.

    The first check of a heading is that the counts before it are filled, the second that its own are.
    """
    _, start = scene.wants.get(claim.id, (None, None))
    if claim.kind is not Kind.COUNTS or not replays or start is None:
        return "", 0
    return ("begin", 0) if replays[0].expected == start else ("hold", start)


def unit(claim: Claim) -> str:
    """Return the unit of the length in a claim: beats or counts."""
    return "counts" if claim.kind is Kind.COUNTS or "count" in claim.text.casefold() else "beats"
