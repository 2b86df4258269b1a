"""What a sheet is made of, for the page: its facts, its parts with their first start and end, its walls."""

from stepcheck.formats.page import PartPlan, Plan
from stepcheck.language.syntax import HeaderField, Line, PartHead
from stepcheck.model import words
from stepcheck.model.dance import key
from stepcheck.model.source import SourceError
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.walk.tracks import Stand, Tracks, tracks

TOLD = ("book", "level", "lead", "facing", "tempo", "wait", "walls", "song", "artist", "author", "date", "version")


def read(path: str) -> Plan | None:
    """Return the plan of the sheet in a file; None if it can't be read, or comes from elsewhere."""
    try:
        return plan(pipeline.load(path))
    except SourceError:
        return None


def plan(routine: Routine) -> Plan:
    """Return the plan of a routine; where parts start and end is left out of one that is ill-formed."""
    lines = routine.sheet.lines
    fields = [line.node for line in lines if isinstance(line.node, HeaderField)]
    facts = tuple((key(one.key), one.value.strip()) for one in fields if key(one.key) in TOLD)
    found = tracks(routine.program) if routine.program is not None else Tracks({}, {})
    parts = tuple(_part(line, line.node, found) for line in lines if isinstance(line.node, PartHead))
    return Plan(facts, parts, routine.facts.walls, [value for name, value in facts if name == "book"] == ["line"])


def _part(line: Line, head: PartHead, found: Tracks) -> PartPlan:
    contract = line.text.partition("#")[0].partition(":")[2].strip()
    way = found.parts.get(key(head.name))
    if way is None:
        return PartPlan(head.name, line.number, contract)
    feet = _free(way[0]), _free(way[1])
    return PartPlan(head.name, line.number, contract, feet, (way[0].facing, way[1].facing))


def _free(stand: Stand) -> str:
    return "not known" if stand.weight is None else words.free(stand.weight)
