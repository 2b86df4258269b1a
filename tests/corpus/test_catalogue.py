"""The demo catalogue, run through the library and the command, with what must come out."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

import stepcheck
from stepcheck.language.parser import parse
from stepcheck.language.printer import print_sheet
from stepcheck.model.findings import CODES, Severity
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source
from stepcheck.report import pipeline
from tests.corpus.constructs import used, wanted
from tests.corpus.expected import SPECS, expectation, mended, sheets

ROUTINES, UNFINISHED, FAULTY = sheets("routines"), sheets("unfinished"), sheets("faulty")
BLANKS = {"GapRow", "turn ?", "x?", "? foot", "? times:"}

CONSTRUCTS = (
    # the header; `basic`, `stomp` and `vine` are readings
    "routine:",
    "book:",
    "level:",
    "lead:",
    "facing:",
    "tempo:",
    "wait:",
    "walls:",
    "groups:",
    "each section:",
    "song:",
    "artist:",
    "author:",
    "date:",
    "version:",
    "basic:",
    "stomp:",
    "vine:",
    # a line's name, number and marks
    "a variation",
    "x1000000",
    "left foot",
    "right foot",
    "both feet",
    "opposite foot",
    "mirrored",
    "turn left",
    "turn right",
    "turn to either side",
    "turn by quarters",
    "turn by odd eighths",
    "turn of more than once round",
    "no turn",
    "a length that is no whole number",
    *(f"facing {eighths}/8" for eighths in range(8)),
    # blocks and headings
    "N times:",
    "repeats in repeats",
    "N times: in the dance",
    "until the music ends:",
    "only Nth time",
    "only Nth, Mth time",
    "only every Nth time",
    "only last time",
    "only Nth time of the part",
    "except Nth time",
    "except Nth, Mth time",
    "except last time",
    "except Nth time of the part",
    "counts N-M:",
    "count N:",
    "a section as a heading",
    "a line of the dance",
    # what is only kept
    "a note",
    "a note alone",
    "a comment",
    "a comment alone",
)


def constructs(paths: list[Path]) -> set[str]:
    """Return the constructs that some sheets use."""
    return {name for path in paths for name in used(parse(Source(str(path), path.read_text(encoding="utf-8")))[0])}


# -- what is proved --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", ROUTINES, ids=lambda path: path.stem)
def test_a_routine_of_the_club_is_proved(path: Path) -> None:
    """Every claim of every sheet in `specs/routines` is proved by both engines."""
    report = pipeline.check_file(path)

    assert Verdict.PROVED is report.verdict
    assert [] == [found for found in report.diagnostics if found.code.severity is not Severity.NOTE]
    assert {Verdict.PROVED} == {claim.verdict for claim in report.claims}


def test_the_catalogue_uses_the_whole_language() -> None:
    """Each kind of line, piece and mark, and each field of them that may be left out, stands in some proved routine."""
    found = constructs(ROUTINES)

    assert {"GapRow"} == wanted() - found  # a blank can't be proved; the unfinished sheets have it
    assert set() == set(CONSTRUCTS) - found


def test_the_unfinished_sheets_have_every_blank() -> None:
    """Each kind of blank stands in some unfinished sheet, and in no finished one."""
    assert BLANKS == BLANKS & constructs(UNFINISHED)
    assert set() == BLANKS & constructs(ROUTINES + FAULTY)


def test_the_catalogue_has_both_traditions_and_enough_sheets() -> None:
    """At least 14 routines, in clogging and in line dance, one in both, and one from a book of the club's own."""
    named = {pipeline.load(path).facts.header for path in ROUTINES}
    taken = {dict(header).get("book") for header in named}

    assert len(ROUTINES) >= 14
    assert {"clogging", "line", "clogging, line", "millrace.book"} == taken


# -- what waits ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", UNFINISHED, ids=lambda path: path.stem)
def test_an_unfinished_sheet_waits_on_its_blanks(path: Path) -> None:
    """What hangs on a blank is undecided, the rest is proved, and nothing is refuted."""
    report = pipeline.check_file(path)

    assert Verdict.UNDECIDED is report.verdict
    assert {Verdict.PROVED, Verdict.UNDECIDED} == {claim.verdict for claim in report.claims}
    assert {"waits-on-a-blank"} == {f.code.name for f in report.diagnostics if f.code.severity is Severity.WARNING}


@pytest.mark.parametrize(
    ("name", "lines"),
    [
        ("old_ferry_ticket", ("    Vine, left foot", "    2 times:", "    Pivot Quarter, turn 1/4 right")),
        ("rain_on_the_tarp", ("  Push-off, turn 1/2 left", "  Basic x4", "  Rocking Chair, turn 1/2 left")),
        ("two_smudges", ("    Triple, turn 1/2 left on 2nd, 4th", "  Basic x8")),
    ],
)
def test_what_was_smudged_can_only_have_been_one_thing(name: str, lines: tuple[str, ...]) -> None:
    """Where the claims leave one way to fill the blanks, that way is found, and said to be the only one."""
    path = SPECS / "unfinished" / f"{name}.routine"
    filled = stepcheck.fill(stepcheck.load(path))
    before = path.read_text(encoding="utf-8").splitlines()

    assert filled.unique
    [fill] = filled.fills
    assert Verdict.PROVED is fill.report.verdict
    assert lines == tuple(new for old, new in zip(before, fill.text.splitlines(), strict=True) if old != new)


@pytest.mark.parametrize("name", ["gap_in_the_fence", "lantern_pier"])
def test_a_gap_of_whole_beats_is_filled_in_several_ways(name: str) -> None:
    """Of the rows that fit a gap the first are handed over, each of which makes the sheet proved."""
    filled = stepcheck.fill(stepcheck.load(SPECS / "unfinished" / f"{name}.routine"), limit=2)

    assert not filled.unique
    assert [Verdict.PROVED] * 2 == [fill.report.verdict for fill in filled.fills]


# -- what is wrong ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", FAULTY, ids=lambda path: path.stem)
def test_a_mistake_gives_the_one_finding_that_it_should(path: Path) -> None:
    """One mistake gives one finding: its code, line and column, and a sentence that says what is wrong."""
    wanted = expectation(path)
    report = pipeline.check_file(path)
    found = [one for one in report.diagnostics if one.code.severity is not Severity.NOTE]

    assert wanted["verdict"] == report.verdict.word
    assert [(wanted["finding"]["code"], wanted["finding"]["line"], wanted["finding"]["column"])] == [
        (one.code.id, one.span.line, one.span.column) for one in found
    ]
    assert wanted["finding"]["says"] in found[0].message
    assert CODES[wanted["finding"]["name"]] is found[0].code


@pytest.mark.parametrize("path", FAULTY, ids=lambda path: path.stem)
def test_what_a_teacher_would_change_mends_the_sheet(path: Path) -> None:
    """Each fix written down beforehand makes the sheet proved; so the sheet has the one mistake and no other."""
    choices = expectation(path)["repair"]["choices"]

    assert choices
    for choice in choices:
        text = mended(path.read_text(encoding="utf-8"), choice["edits"])
        assert Verdict.PROVED is pipeline.check_text(text, path=str(path)).verdict


def test_the_mistakes_are_many_and_different() -> None:
    """At least 18 faulty sheets, each with its expectation, no two with the same mistake."""
    mistakes = [expectation(path)["mistake"] for path in FAULTY]

    assert len(FAULTY) >= 18
    assert {path.stem for path in FAULTY} == {
        path.name.removesuffix(".expect.toml") for path in (SPECS / "faulty").glob("*.toml")
    }
    assert len(mistakes) == len(set(mistakes))


# -- the command -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("folder", "status"), [("routines", 0), ("unfinished", 3), ("faulty", 1)])
def test_the_command_says_the_same_as_the_library(folder: str, status: int) -> None:
    """`stepcheck check` over a folder gives the exit status and, for each sheet, the verdict of its expectation."""
    made = subprocess.run(
        [sys.executable, "-m", "stepcheck.faces.cli", "check", "--format", "json", str(SPECS / folder)],
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        check=False,
    )
    verdicts = {Path(sheet["path"]).stem: sheet["verdict"] for sheet in json.loads(made.stdout)["sheets"]}
    word = {"routines": "proved", "unfinished": "undecided"}

    assert status == made.returncode
    assert verdicts == {path.stem: word.get(folder) or expectation(path)["verdict"] for path in sheets(folder)}


# -- the layout ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", ROUTINES + UNFINISHED + FAULTY, ids=lambda path: path.stem)
def test_a_sheet_is_laid_out_as_the_formatter_has_it(path: Path) -> None:
    """Every sheet of `specs` is a fixed point of `stepcheck format`."""
    text = path.read_text(encoding="utf-8")

    assert text == print_sheet(parse(Source(str(path), text))[0])
