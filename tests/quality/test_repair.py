"""Fixes of whole sheets: what they cost, that a teacher would choose one of them, and that nothing in them is idle.

What each sheet of specs/faulty should cost, and what a teacher would change, was written beside it by hand.
"""

from functools import cache
from itertools import combinations
from pathlib import Path
from random import Random

import pytest

from stepcheck.fixes.fix import repair
from stepcheck.fixes.repairs import COSTS, Fix, Repairs
from stepcheck.language import parser
from stepcheck.language.alterations import EditError, applied
from stepcheck.language.edits import ChangeTimes, ChangeTurn, Edit, FixName, ReplaceFigure
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import Node, PartHead, Row
from stepcheck.model.dance import key
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from tests.corpus.expected import SPECS, expectation, mended, sheets

FAULTY = [path for path in sheets("faulty") if expectation(path)["repair"]["by"] == "engine"]
BY_HAND = [path for path in sheets("faulty") if expectation(path)["repair"]["by"] == "hand"]
ROUTINES = [path for path in sheets("routines") if path.stem not in ("swan_reach", "swing_bridge", "two_bridges")]
"""Those that fixes are looked for in: no passes as the music has room for, no part as an alternative, no places of
groups."""
PAIRS = [path for path in ROUTINES if path.stem in ("barge_lane", "ferry_lights")]
LONG_PAIRS = [path for path in ROUTINES if path.stem in ("slipway", "tollgate_waltz", "wheel_and_weir")]


@cache
def fixes(path: Path) -> Repairs:
    """Return the first three fixes of a sheet."""
    return repair(pipeline.load(str(path)))


def said(text: str) -> tuple[Node, ...]:
    """Return what the lines of a sheet say; their comments and layout are nothing to go by."""
    lines = every_line(parser.parse(Source("x", text))[0].lines)
    return tuple(line.node for line in lines if line.node is not None)


def proved(text: str) -> bool:
    """Say whether both engines prove all of a sheet."""
    return pipeline.check_text(text).verdict is Verdict.PROVED


def idle(routine: Routine, fix: Fix) -> list[tuple[Edit, ...]]:
    """Return the changes of a fix that mend the sheet without some of the others."""
    parts = [some for number in range(len(fix.edits)) for some in combinations(fix.edits, number)]
    return [some for some in parts if proved(applied(routine.sheet, some))]


# -- the faulty sheets -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", FAULTY, ids=lambda path: path.stem)
def test_a_faulty_sheet_is_mended_at_the_cost_that_is_written_down(path: Path) -> None:
    """The cheapest fix costs what the table of costs makes it, and nothing cheaper is left to look for."""
    found = fixes(path)

    assert found.needed
    assert expectation(path)["repair"]["cost"] == found[0].cost
    assert found[0].evidence.complete and found[0].evidence.solver in ("", "unsat")


@pytest.mark.parametrize("path", FAULTY, ids=lambda path: path.stem)
def test_a_teacher_would_choose_one_of_the_first_three(path: Path) -> None:
    """What was written down beforehand comes early, not only somewhere."""
    text = path.read_text(encoding="utf-8")
    choices = [said(mended(text, choice["edits"])) for choice in expectation(path)["repair"]["choices"]]

    assert set(choices) & {said(fix.text) for fix in fixes(path)}


@pytest.mark.parametrize("path", FAULTY, ids=lambda path: path.stem)
def test_every_fix_is_proved_and_its_edits_make_its_text(path: Path) -> None:
    """The report of a fix is that of its text, and shows every claim proved; what is said to change is what changes."""
    routine = pipeline.load(str(path))
    for fix in fixes(path):
        assert Verdict.PROVED is fix.report.verdict
        assert pipeline.check_text(fix.text, path=str(path)).claims == fix.report.claims
        assert applied(routine.sheet, fix.edits) == fix.text
        assert sum(COSTS[edit.kind] for edit in fix.edits) == fix.cost


@pytest.mark.parametrize("path", FAULTY, ids=lambda path: path.stem)
def test_no_fix_holds_another_and_nothing_in_one_is_idle(path: Path) -> None:
    """Each change of a fix is needed, so each fix is a way of its own; they come in the order of their costs."""
    found = fixes(path)

    assert not [(one.edits, other.edits) for one, other in combinations(found, 2) if set(one.edits) <= set(other.edits)]
    assert [] == [some for fix in found for some in idle(pipeline.load(str(path)), fix)]
    assert sorted(fix.cost for fix in found) == [fix.cost for fix in found]
    assert len({fix.text for fix in found}) == len(found)


@pytest.mark.parametrize("path", FAULTY, ids=lambda path: path.stem)
def test_a_mended_sheet_needs_no_fix(path: Path) -> None:
    """Asking again about the sheet after each fix finds nothing to mend."""
    for fix in fixes(path):
        assert not repair(pipeline.loads(fix.text)).needed


@pytest.mark.parametrize("path", BY_HAND, ids=lambda path: path.stem)
def test_what_cannot_be_danced_at_all_is_left_to_its_hints(path: Path) -> None:
    """A sheet that is ill-formed in more than its names gets no guess; the reason leads to a finding with advice."""
    found = fixes(path)
    (finding,) = pipeline.check_file(str(path)).diagnostics

    assert found.needed and () == found.fixes
    assert "`stepcheck check`" in found.reason
    assert finding.hints


# -- names -----------------------------------------------------------------------------------------------------------


NAMES = [
    ("routines/sedge_corner", {"Rocking Chair": "Rockin Chair"}, 1),
    ("routines/barge_lane", {"  Basic x4": "  Bazic x4", "    Triple": "    Tripel"}, 2),
    ("routines/ferry_lights", {"lead:": "laed:"}, 1),
    ("faulty/copper_ladle", {"  Cowboy": "  Cowboi"}, 3),
    ("faulty/full_barrel", {"Cowboy x2": "Cowboi x2", "tempo:": "tempos:"}, 4),
    ("faulty/eight_bells", {"chorus: Chorus": "choruss: Chorus"}, 5),
]
"""A sheet, what is written wrong in it, and what all of it costs: one for each name beside what it costs without."""


@pytest.mark.parametrize(("stem", "wrong", "cost"), NAMES)
def test_names_are_put_right_before_the_rest(stem: str, wrong: dict[str, str], cost: int) -> None:
    """A sheet that is ill-formed in names only gets those fixes too, and with them what else it needs."""
    text = right = (SPECS / f"{stem}.routine").read_text(encoding="utf-8")
    for name, other in wrong.items():
        text = text.replace(name, other)
    pairs = zip(right.split("\n"), text.split("\n"), strict=True)
    changed = [number for number, (here, there) in enumerate(pairs, 1) if here != there]
    routine = pipeline.loads(text)
    found = repair(routine)

    assert Verdict.ILL_FORMED is pipeline.check(routine).verdict
    assert cost == found[0].cost
    assert all(Verdict.PROVED is fix.report.verdict for fix in found)
    assert cost > len(changed) or right in [fix.text for fix in found]
    assert all(changed == [edit.line for edit in fix.edits if isinstance(edit, FixName)] for fix in found)


def test_a_name_that_is_like_no_other_is_not_guessed() -> None:
    """Where no name is near there is no fix, and the reason says where to look."""
    found = repair(pipeline.loads("book: clogging\npart A: 4 beats\n  Qwertz\ndance:\n  A\n"))

    assert found.needed and () == found.fixes and "not understood" in found.reason


# -- sheets that were right ------------------------------------------------------------------------------------------


def spoilt(path: Path, mistakes: int) -> Routine:
    """Return a routine of the catalogue with mistakes: other figures, times or turns on so many lines, the same each
    time."""
    routine = pipeline.load(str(path))
    lines = list(every_line(routine.sheet.lines))
    parts = {key(line.node.name) for line in lines if isinstance(line.node, PartHead)}
    rows = [
        line
        for line in lines
        if isinstance(line.node, Row) and len(line.node.options) == 1 and key(line.node.options[0].name) not in parts
    ]
    assert routine.facts.book is not None
    figures = [figure.name for figure in routine.facts.book.figures()]
    random = Random(path.stem)
    while True:
        edits: list[Edit] = [
            random.choice(
                (
                    ReplaceFigure(line.number, random.choice(figures)),
                    ChangeTimes(line.number, random.randint(1, 4)),
                    ChangeTurn(line.number, random.choice((-4, -2, 2, 4))),
                )
            )
            for line in random.sample(rows, mistakes)
        ]
        try:
            wrong = pipeline.loads(applied(routine.sheet, edits), path=str(path))
        except EditError:
            continue
        if wrong.program is not None and pipeline.check(wrong).verdict > Verdict.UNDECIDED:
            return wrong


@pytest.mark.parametrize(
    ("path", "mistakes"),
    [
        *((path, 1) for path in ROUTINES),
        *((path, 2) for path in PAIRS),
        *(pytest.param(path, 2, marks=pytest.mark.nightly) for path in LONG_PAIRS),
    ],
    ids=lambda one: one.stem if isinstance(one, Path) else str(one),
)
def test_mending_is_never_dearer_than_undoing(path: Path, mistakes: int) -> None:
    """A routine that was right before so many of its lines were changed is mended for what changing them back costs."""
    wrong = spoilt(path, mistakes)
    found = repair(wrong, limit=2)

    assert found[0].cost <= 2 * mistakes
    assert all(Verdict.PROVED is fix.report.verdict for fix in found)
    assert [] == [some for fix in found for some in idle(wrong, fix)]
