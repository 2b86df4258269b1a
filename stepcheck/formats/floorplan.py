"""The plan of a sheet for the page: its text and parts, the timeline of its dance, and the changes that were tried."""

from collections.abc import Iterable

from attrs import field, frozen

from stepcheck.formats import fixes
from stepcheck.language.patch import difference
from stepcheck.language.syntax import Line, PartHead
from stepcheck.model.claims import Kind
from stepcheck.model.dance import key
from stepcheck.model.findings import Diagnostic, Patch
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import SourceError
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.values import Report
from stepcheck.report.wording import by_clock
from stepcheck.walk.stands import Timeline
from stepcheck.walk.tracks import Extent, Tracks, timeline, tracks, walls_of

MOST_DRAWN = 200  # sheets of a page have their text and their dance on it; with more a browser gets slow
MOST_SEARCHES = 24  # refuted sheets of a page; a search takes up to a second
REPAIRS = 3  # least changes are shown of a sheet
WORST = (Verdict.REFUTED, Verdict.ILL_FORMED, Verdict.VACUOUS, Verdict.UNDECIDED, Verdict.PROVED)


@frozen
class PartPlan:
    """A part: its contract as written, and how its first pass begins and ends."""

    name: str
    line: int
    contract: str
    way: Extent | None = None


@frozen
class Plan:
    """The data of a sheet on the page, beside its report.

    Attributes:
        lines: its text.
        parts: its parts, in order.
        dance: its timeline, what goes on until the music ends once through.
        walls: the facings (eighths) with which its rounds begin, in the order in which they come, from the steps alone;
            empty where nothing comes round.
        claimed: the number of walls that the header claims.
        refuted: whether that claim is refuted.
        clock: whether walls are named by the clock, and beats called counts.
        mending: by the sentence and line of a finding the changes that were tried and mend it, as unified diffs.
        repairs: the least changes that put the sheet right, each with its name and a unified diff.
        group: the group of the floor whose dance it is; empty where there are none.
    """

    lines: tuple[str, ...] = ()
    parts: tuple[PartPlan, ...] = ()
    dance: Timeline = field(factory=Timeline)
    walls: tuple[int, ...] = ()
    claimed: int | None = None
    refuted: bool = False
    clock: bool = False
    mending: tuple[tuple[Diagnostic, tuple[str, ...]], ...] = ()
    repairs: tuple[tuple[str, str], ...] = field(default=())
    group: str = ""


def plan(routine: Routine, report: Report | None = None, *, repairs: int = 0) -> Plan:
    """Return the plan of a routine.

    Args:
        routine: as it was checked; of one that is ill-formed there is nothing that is danced.
        report: the answer about it, for the changes that mend its findings.
        repairs: how many least changes to look for, if something in it is refuted.
    """
    source, lines, program = routine.sheet.source, routine.sheet.lines, routine.program
    claims = () if report is None else report.claims

    def diff(patch: Patch) -> str:
        return difference(source, patch.applied(source))

    searched = repairs if report is not None and report.verdict is Verdict.REFUTED else 0
    ways, danced = (Tracks({}, {}), Timeline()) if program is None else (tracks(program), timeline(program))
    return Plan(
        source.lines,
        tuple(
            PartPlan(head.name, line.number, _contract(line), ways.parts.get(key(head.name)))
            for line in lines
            if isinstance(head := line.node, PartHead)
        ),
        danced,
        () if program is None else walls_of(program, danced.endless),
        routine.facts.walls,
        any(one.kind == Kind.WALLS.value and one.verdict is Verdict.REFUTED for one in claims),
        by_clock(routine.sheet),
        tuple(
            (finding, tuple(dict.fromkeys(map(diff, good))))
            for finding, good in (fixes.mending(source, report) if report is not None else ())
        ),
        tuple((patch.about, diff(patch)) for patch in (fixes.repairs(routine, searched) if searched else ())),
        program.groups[0] if program is not None and program.groups else "",
    )


def worst_first(reports: Iterable[Report]) -> list[Report]:
    """Return reports in the order of the page: the refuted first, those of one verdict as they came."""
    return sorted(reports, key=lambda report: WORST.index(report.verdict))


def plans(reports: Iterable[Report]) -> dict[str, Plan]:
    """Return the plans of the sheets that reports are about, by their paths, the worst first and no more than
    `MOST_DRAWN`; a sheet that can't be read, or comes from elsewhere, has none.

    Least changes are looked for in the first refuted ones only, since each takes a search.
    """
    found: dict[str, Plan] = {}
    searches = MOST_SEARCHES
    for report in worst_first(reports)[:MOST_DRAWN]:
        try:
            routine = pipeline.load(report.path)
        except SourceError:
            continue
        searches -= report.verdict is Verdict.REFUTED
        found[report.path] = plan(routine, report, repairs=REPAIRS if searches >= 0 else 0)
    return found


def _contract(line: Line) -> str:
    return line.text.partition("#")[0].partition(":")[2].strip()
