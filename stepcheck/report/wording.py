"""The words for each kind of claim: its two sentences, its code, what is wanted and found; and a sheet by its lines.

A new kind has one row here.  In a sentence `{who}` is the subject, `{want}` what is claimed, `{got}` what was found.
"""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from attrs import frozen

from stepcheck.language import syntax
from stepcheck.language.stretches import every_line, opposite
from stepcheck.model import words
from stepcheck.model.claims import Claim, Kind, Test
from stepcheck.model.dance import EIGHTHS, TICKS, Program, Weight, key
from stepcheck.model.floor import RELATIONS
from stepcheck.model.items import checks, once
from stepcheck.model.outcome import Replay, Spot
from stepcheck.model.source import Span


class Subject(NamedTuple):
    """The subject of a line: its name in sentences (`who`), whether the line is about its end, and for a heading of
    counts their number and the first."""

    who: str
    end: bool = True
    counts: int = 0
    first: int = 0


@frozen
class Scene:
    """A sheet and its program, looked up by line and by claim."""

    sheet: syntax.Sheet
    program: Program
    subjects: Mapping[int, Subject]
    wants: Mapping[str, tuple[Test | None, int | None]]
    clock: bool

    def span(self, line: int) -> Span:
        """Return the place of a line, or the top of the sheet where the line is unknown (0)."""
        return self.sheet.source.whole_line(line) if line else Span(1, 1, 1, 1)

    def who(self, claim: Claim) -> str:
        """Return the subject of a claim; the sections of a song all have the line that names its file."""
        name = self.subjects.get(claim.line, Subject(claim.part or "the dance")).who
        if claim.kind is Kind.SECTION and name == "the dance":
            name = f"the section {claim.text.rpartition(':')[0]}"
        time = self._sections(claim)[1] or claim.time
        return f"{name} ({words.ordinal(time)} time)" if time else name

    def _sections(self, claim: Claim) -> tuple[str, int]:
        """Return the name of the section that a claim is about, and which of its name it is; 0 if only one is."""
        if claim.kind is not Kind.SECTION:
            return "", 0
        claims = [one.id for one in self.program.claims if one.kind is Kind.SECTION]
        if claim.id not in claims or len(claims) != len(self.sheet.music):
            return "", 0
        rows = [node.name for _, node in self.sheet.music]
        here = claims.index(claim.id)
        alike = [at for at, name in enumerate(rows) if key(name) == key(rows[here])]
        return rows[here], alike.index(here) + 1 if len(alike) > 1 else 0

    def swapped(self, claim: Claim) -> bool:
        """Say whether a claim is about a turn or a facing in a part that is danced with `opposite foot` only, which
        leaves the written turns as they are, so that nothing of the kind is tested there."""
        options = [one for line in every_line(self.sheet.lines) for one in getattr(line.node, "options", ())]
        here = [one for one in options if claim.part and key(one.name) == key(claim.part)]
        return claim.kind in (Kind.TURN, Kind.NET, Kind.FACING) and bool(here) and all(map(opposite, here))

    def undanced(self, claim: Claim) -> str:
        """Return the line that could fill a section in which nothing is danced: what is danced to it another time, or
        the first part."""
        name = self._sections(claim)[0]
        lines = [line.node for line in every_line(self.sheet.lines)]
        named = [
            node for node in lines if isinstance(node, syntax.Row) and node.section and key(node.section) == key(name)
        ]
        parts = [node.options[0].name for node in named] + [
            node.name for node in lines if isinstance(node, syntax.PartHead)
        ]
        return f"{name}: {parts[0]}" if name and parts else ""


def by_clock(sheet: syntax.Sheet) -> bool:
    """Say whether walls are named by the clock, and beats called counts: where the book is the line dancers'."""
    header = (line.node for line in sheet.lines if isinstance(line.node, syntax.HeaderField))
    return [key(field.value) for field in header if key(field.key) == "book"] == ["line"]


def scene(sheet: syntax.Sheet, program: Program) -> Scene:
    """Return `sheet` and `program` looked up."""
    subjects = dict(_subjects(sheet.lines, "the dance", False, frozenset(map(key, program.groups))))
    return Scene(sheet, program, subjects, _wants(program), by_clock(sheet))


def _subjects(
    lines: tuple[syntax.Line, ...], owner: str, closing: bool, groups: frozenset[str]
) -> Iterator[tuple[int, Subject]]:
    """Yield the subjects of `lines` by their numbers; `closing` says that the last of them ends their `owner`."""
    last = next((line.number for line in reversed(lines) if line.node is not None), 0) if closing else 0

    def labelled(name: str) -> Subject:
        return Subject(name if key(name) in groups else f"the section {name}")

    for line in lines:
        inner, place = owner, Subject(owner)
        match line.node:
            case None:
                continue
            case syntax.Row(section=None) as row:
                place = Subject(row.options[0].name)
            case syntax.Row(section=str(name)) | syntax.LabelHead(name=name) | syntax.MusicRow(name=name):
                place = labelled(name)
            case syntax.PartHead() | syntax.DanceHead():
                inner = getattr(line.node, "name", "the dance")
                place = Subject(inner)
            case syntax.ExpectRow():
                place = Subject(owner, line.number == last)
            case syntax.CountsHead(first=first, last=end):
                place = Subject(f"the phrase counts {first}-{end}", True, end - first + 1, first)
            case syntax.FigureRow(name=name):
                place = Subject(name)
        yield line.number, place
        yield from _subjects(line.body, inner, isinstance(line.node, syntax.PartHead | syntax.DanceHead), groups)


def _wants(program: Program) -> dict[str, tuple[Test | None, int | None]]:
    """Return the test and the wanted value of each claim, from its first check."""
    wants: dict[str, tuple[Test | None, int | None]] = {}
    walls = (program.walls.body,) if program.walls else ()
    for item in once(program.dance, *(spare.body for spare in program.spares), *walls):
        for check in checks(item):
            wants.setdefault(check.claim.id, (check.test, check.value))
    for stated in program.lengths:
        wants[stated.claim.id] = (Test.CLOCK, stated.ticks)
    if program.walls:
        wants[program.walls.claim.id] = (None, program.walls.count)
    return wants


# -- kinds of claims ------------------------------------------------------------------------------------------------


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
        "{who} turns as from {want}", "{who} should go from {want}, but ends {got}", "wrong-net-facing", "eighths"
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


# -- what is wanted and what is found --------------------------------------------------------------------------------

_WAYS = ("forward", "forward right", "right", "back right", "back", "back left", "left", "forward left")


def want_of(scene: Scene, claim: Claim, replays: tuple[Replay, ...]) -> str:
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
            here = scene.subjects.get(claim.line)
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


def got_of(scene: Scene, claim: Claim, replays: tuple[Replay, ...]) -> str:
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


def _place(place: Spot) -> str:
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
    """Return where passes with these turns (eighths) end, and how many walls that makes."""
    nets = list(dict.fromkeys(value % 8 for value in values))
    ends = " and another ".join(words.away(net) for net in nets)
    if len(nets) > 1:
        return f"one pass ends {ends}"
    return (
        f"a pass ends {ends}, which makes {words.count(walls_of(*nets), 'wall')}" if nets else "no pass bears that out"
    )


def walls_of(net: int) -> int:
    """Return the number of walls of a dance whose laps turn by `net` eighths."""
    return next(times for times in (1, 2, 4, 8) if times * net % EIGHTHS == 0)
