"""The command `new`."""

from pathlib import Path

import pytest

import stepcheck as sc
from stepcheck.faces import cli

SHEET = """\
routine: Slow Ferry
book: line
# tempo: 120
walls: 4

# In the place of each ? comes a row of figures, one a line: `stepcheck figures` lists them.
part Main: 20 counts
  counts 1-8:
    ? 8 counts
  counts 9-16:
    ? 8 counts
  counts 17-20:
    ? 4 counts

dance:
  Main until the music ends
"""


def test_a_sheet_to_fill_in_goes_to_stdout(capsys: pytest.CaptureFixture[str]) -> None:
    """It has a header, a part of so many counts with a blank for every eight, and the dance."""
    assert 0 == cli.main(["new", "Slow Ferry", "--book", "line", "--counts", "20", "--walls", "4"])
    assert SHEET == capsys.readouterr().out


@pytest.mark.parametrize("book", ["line", "clogging"])
@pytest.mark.parametrize("counts", [1, 8, 9, 32, 33, 64])
@pytest.mark.parametrize("walls", [[], ["--walls", "2"]])
def test_it_is_canonical_well_formed_and_waits_on_its_blanks(
    book: str, counts: int, walls: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """Every such sheet is laid out the one way, has the length it says, and is undecided, never wrong."""
    assert 0 == cli.main(["new", "Weir", "--book", book, "--counts", str(counts), *walls])
    text = capsys.readouterr().out
    report = sc.check_text(text, engine="walk")

    assert text == sc.format_text(text)
    assert {sc.Verdict.PROVED, sc.Verdict.UNDECIDED} >= {claim.verdict for claim in report.claims}
    length = next(claim for claim in report.claims if claim.kind == "length")
    assert (sc.Verdict.PROVED, counts) == (length.verdict, int(length.text.split()[0]))


def test_it_is_filled_in_to_a_proved_dance(capsys: pytest.CaptureFixture[str]) -> None:
    """Figures in the places of the blanks make a sheet that is proved."""
    cli.main(["new", "Weir", "--counts", "16", "--walls", "4"])
    text = capsys.readouterr().out.replace("    ? 8 counts\n", "    Shuffle x4\n", 1)
    text = text.replace("    ? 8 counts\n", "    Vine, right foot\n    Vine, left foot, turn 1/4 left\n")

    assert sc.Verdict.PROVED is sc.check_text(text).verdict


def test_a_file_that_is_there_stays(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """-o writes the sheet to a file; one that is there is written over with --force only."""
    path = tmp_path / "weir.routine"
    assert 0 == cli.main(["new", "Weir", "-o", str(path)])
    assert 2 == cli.main(["new", "Dam", "-o", str(path)]) and "routine: Weir" in path.read_text("utf-8")
    assert 0 == cli.main(["new", "Dam", "-o", str(path), "--force"]) and "routine: Dam" in path.read_text("utf-8")
    capsys.readouterr()


@pytest.mark.parametrize(
    "arguments", [["Weir # 2"], ["Weir\nbook: clogging"], ["  "], ["Weir", "--book", "no such"], []]
)
def test_what_no_sheet_can_say_is_2(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """A title that would be read otherwise, a book that is not there, and no title at all are refused in a sentence."""
    assert 2 == cli.main(["new", *arguments])
    out, said = capsys.readouterr()
    assert "" == out and said.startswith("stepcheck: ") and "Traceback" not in said
