"""The commands `break` and `fill`: options, formats, exit statuses."""

import json
import shutil
from pathlib import Path

import pytest

from stepcheck.faces.cli import main

SPECS = Path(__file__).parents[3] / "specs"
PIER = str(SPECS / "unfinished" / "lantern_pier.routine")
LIGHTS = str(SPECS / "routines" / "ferry_lights.routine")


def run(capfd: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Return the exit status of a command and what it printed."""
    status = main(arguments)
    out, err = capfd.readouterr()
    return status, out, err


def test_a_break_out_of_a_book(capfd: pytest.CaptureFixture[str]) -> None:
    """The rows stand as a sheet would have them, with the cautions under them."""
    status, out, err = run(
        capfd,
        "break",
        "--book",
        "clogging",
        "--beats",
        "8",
        "--start",
        "left foot, front",
        "--end",
        "left foot, back",
        "--limit",
        "2",
        "--level",
        "easy",
    )
    assert (0, "") == (status, err)
    assert "1. 8 beats, from left foot, front to left foot, back\n     Triple\n     Push-off, turn 1/2 right\n" in out
    assert "Walk it slowly before it is danced to the music." in out
    assert "Leave the turns out if anybody gets dizzy" in out


def test_no_break_is_an_answer(capfd: pytest.CaptureFixture[str]) -> None:
    """Where there is none the reason is printed and the exit status is 1."""
    status, out, _ = run(capfd, "break", "--beats", "1", "--end", "both feet")
    assert 1 == status
    assert out.startswith("none: no row of 1 beat")
    assert "Warm up" not in out


def test_breaks_as_json(capfd: pytest.CaptureFixture[str]) -> None:
    """JSON has the figures, the lines and the reason."""
    status, out, _ = run(capfd, "break", "--beats", "7.5", "--format", "json")
    assert (1, [], True) == (
        status,
        json.loads(out)["breaks"],
        "every figure takes whole beats" in json.loads(out)["reason"],
    )
    _, out, _ = run(
        capfd, "break", "--beats", "4", "--wanted", "Push-off", "--limit", "1", "--end", "back", "--format", "json"
    )
    first = json.loads(out)["breaks"][0]
    assert ["Push-off, turn 1/2 left"] == first["lines"]
    assert [{"figure": "Push-off", "turn": -0.5, "lead": "left"}] == first["figures"]


def test_a_break_for_a_sheet(capfd: pytest.CaptureFixture[str]) -> None:
    """With a file the states are those that come after the part, or after the line."""
    status, out, _ = run(capfd, "break", PIER, "--after", "Chorus", "--beats", "8", "--limit", "1", "--steps", "1")
    assert (0, True) == (status, "     Cowboy\n" in out)
    status, out, _ = run(
        capfd, "break", LIGHTS, "--after", "21", "--beats", "4", "--limit", "1", "--unwanted", "Jazz Box"
    )
    assert (0, False) == (status, "Jazz Box" in out)


def test_an_ending(capfd: pytest.CaptureFixture[str]) -> None:
    """The ending comes with the line of the pass that is cut for it."""
    arguments = ("--ending", "--passes", "9", "--counts", "16", "--facing", "9:00", "--both-feet", "--limit", "1")
    status, out, _ = run(capfd, "break", LIGHTS, *arguments)
    assert 0 == status
    assert "     Main, first 13 counts\n     Shuffle, turn 1/4 right\n" in out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--beats", "x"), "is no number of beats"),
        ((), "say how long it is: --beats N"),
        (("--beats", "200"), "a row lasts from 1/12 to 128 beats"),
        (("--beats", "8", "--start", "third foot"), "is no foot and no wall"),
        (("--beats", "8", "--after", "A"), "name the sheet"),
        ((PIER, "--beats", "8"), "say where the break goes"),
        ((PIER, "--after", "Verse", "--ending", "--beats", "8"), "say where the break goes"),
        ((PIER, "--after", "Verse", "--book", "line", "--beats", "8"), "--book is that of the sheet"),
        ((PIER, "--after", "Verse", "--counts", "8", "--beats", "8"), "say that it is for an ending"),
        ((LIGHTS, "--ending", "--counts", "8"), "an ending needs --passes"),
        ((LIGHTS, "--ending", "--passes", "1", "--counts", "8", "--wanted", "Vine"), "an ending is at the front"),
        ((LIGHTS, "--ending", "--passes", "1", "--counts", "8", "--beats", "1.5"), "an ending takes whole beats"),
        (("nowhere.routine", "--after", "A", "--beats", "8"), "cannot be read"),
        (("--beats", "8", "--level", "wizard"), "there is no level"),
    ],
)
def test_what_cannot_be_asked(capfd: pytest.CaptureFixture[str], arguments: tuple[str, ...], said: str) -> None:
    """A wrong option gives the exit status 2 and one sentence on stderr."""
    status, out, err = run(capfd, "break", *arguments)
    assert (2, "") == (status, out)
    assert said in err


def test_blanks_are_filled(capfd: pytest.CaptureFixture[str]) -> None:
    """The answers say whether that is all, and show what changes."""
    status, out, _ = run(capfd, "fill", str(SPECS / "unfinished" / "rain_on_the_tarp.routine"))
    assert 0 == status
    assert out.startswith("only this fits\n1. line 12: turn 1/2 left; line 14: x4; line 16: turn 1/2 left\n---")
    assert "A teacher's judgement and medical advice come first." in out
    status, out, _ = run(capfd, "fill", PIER, "--limit", "1")
    assert out.startswith("several fit; this would settle it: full turn right in the heading of Verse, line 18\n")


def test_fillings_as_json(capfd: pytest.CaptureFixture[str]) -> None:
    """JSON has every filling with its diff and the report after it, and says whether it is the only one."""
    status, out, _ = run(capfd, "fill", str(SPECS / "unfinished" / "two_smudges.routine"), "--format", "json")
    document = json.loads(out)
    assert (0, True, True, 1) == (status, document["unique"], document["unique_effect"], len(document["fills"]))
    assert "proved" == document["fills"][0]["report"]["verdict"]
    assert [-0.5, 8] == [one["value"] for one in document["fills"][0]["fillings"]]


def test_an_answer_is_written_into_the_file(capfd: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """--apply writes the file; a second time there is nothing left to fill, and nothing changes."""
    path = tmp_path / "sheet.routine"
    shutil.copy(PIER, path)
    status, _, err = run(capfd, "fill", str(path), "--apply", "2")
    written = path.read_text(encoding="utf-8")
    assert (0, True) == (status, "answer 2 is written into it" in err)
    assert "    Samantha                      # a blank: find a break that fits\n" in written
    status, out, _ = run(capfd, "fill", str(path), "--apply", "1")
    assert (0, "nothing to fill: the sheet has no blank\n", written) == (status, out, path.read_text(encoding="utf-8"))


def test_a_sheet_that_is_not_understood_is_not_said_to_have_no_blank(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    """An empty file, or what is no sheet at all, has nothing to fill for another reason, with the exit status 1."""
    path = tmp_path / "weir.routine"
    for text in ("", "\x7fpicture\n"):
        path.write_text(text, encoding="utf-8")

        status = main(["fill", str(path)])
        assert (1, "nothing to fill: the sheet is not understood: see what `stepcheck check` says\n") == (
            status,
            capfd.readouterr().out,
        )


def test_nothing_fits(capfd: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Where nothing fits the reason is printed, the exit status is 1, and no answer can be written."""
    path = tmp_path / "sheet.routine"
    path.write_text("book: clogging\npart A: 9 beats\n  Basic x?\ndance:\n  A\n", encoding="utf-8")
    status, out, _ = run(capfd, "fill", str(path))
    assert (1, True) == (status, out.startswith("none: no number of times fits x? on line 3"))
    status, out, err = run(capfd, "fill", str(path), "--apply", "1")
    assert (2, "", True) == (status, out, "there is no answer 1" in err)
    path.write_text("book: clogging\npart A: 8 beats\n  Basic x?\ndance:\n  A\n", encoding="utf-8")
    assert (2, "", "stepcheck: there is no answer 2: there is only one\n") == run(
        capfd, "fill", str(path), "--apply", "2"
    )


def test_a_sheet_from_stdin(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """A sheet may come on stdin, but nothing can be written there."""
    import io
    import sys

    text = b"book: clogging\npart A: 8 beats\n  Basic x?\ndance:\n  A\n"
    for arguments, status in (((), 0), (("--apply", "1"), 2)):
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text)))
        assert status == run(capfd, "fill", "-", *arguments)[0]
