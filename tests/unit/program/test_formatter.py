"""Sheets laid out anew, in memory and on disk."""

import io
import os
import stat
import sys
from pathlib import Path

import pytest

from stepcheck.faces import cli
from stepcheck.language import files
from stepcheck.model.source import Source, SourceError
from stepcheck.program.formatter import replace
from stepcheck.program.routine import NotUnderstood, format_text, lay_out
from stepcheck.report import pipeline

UNEVEN = (
    "routine:   Weir\r\nbook: clogging\npart Verse:   4 beats   # keep me\n    Triple   (moving left)\ndance:\n  Verse"
)
TIDY = lay_out("weir.routine", UNEVEN.encode()).after or ""


@pytest.fixture
def weir(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An uneven sheet in an otherwise empty current folder."""
    monkeypatch.chdir(tmp_path)
    sheet = tmp_path / "weir.routine"
    sheet.write_bytes(UNEVEN.encode())
    return sheet


def test_a_sheet_is_laid_out_once_and_keeps_what_it_says(weir: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The formatter writes the file anew with its comments and notes; the second time there is nothing to do."""
    assert 0 == cli.main(["format", "."])
    assert "1 sheet: 1 laid out anew\n" == capsys.readouterr().err
    assert TIDY.encode() == weir.read_bytes()
    assert "# keep me" in TIDY and "(moving left)" in TIDY and "\r" not in TIDY
    assert 0 == cli.main(["format", "."])
    assert "1 sheet: 0 laid out anew\n" == capsys.readouterr().err
    assert TIDY == lay_out("x", TIDY.encode()).after


@pytest.mark.parametrize(
    ("written", "laid"),
    [
        ("Leap mirrored turn ? @1, facing back", "Leap, mirrored, turn ? @1, facing back"),
        ("Leap mirrored twice turn 1/4 left", "Leap x2, mirrored, turn 1/4 left"),
        ("Rock 4 beats facing back", "Rock, 4 beats, facing back"),
        ("Vine from line 2 steps left", "Vine from line, 2 steps left"),
        ("Vine s, 1/2 turn left", "Vine s, turn 1/2 left"),
        ("Vine mirrored lake", "Vine mirrored lake"),
    ],
)
def test_a_name_ends_alike_with_and_without_a_comma(written: str, laid: str) -> None:
    """What follows a name is a mark before a comma and before another mark, so that a second layout changes nothing."""
    sheet = "book: line\n\npart Verse:\n  {}\n"
    after = lay_out("x", sheet.format(written).encode()).after
    assert sheet.format(laid) == after == lay_out("x", sheet.format(laid).encode()).after


def test_check_changes_nothing_and_exits_with_1(weir: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Before a commit: 1 if a sheet would change, which is named, 0 once it is laid out, and the file stays as it
    is."""
    assert 1 == cli.main(["format", "--check", "weir.routine"])
    assert ("weir.routine: would be laid out anew\n", "1 sheet: 1 would be laid out anew\n") == capsys.readouterr()
    assert UNEVEN.encode() == weir.read_bytes()
    weir.write_text(TIDY)
    assert 0 == cli.main(["format", "--check", "--diff", "weir.routine"])


def test_diff_shows_what_would_change(weir: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A unified diff goes to stdout, the file stays, and the exit status is that of --check."""
    assert 1 == cli.main(["format", "--diff", "weir.routine"])
    out = capsys.readouterr().out
    assert out.startswith("--- weir.routine\n+++ weir.routine (laid out)\n") and "+  Triple (moving left)\n" in out
    assert UNEVEN.encode() == weir.read_bytes()


def test_a_sheet_that_is_not_understood_is_left_alone(weir: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Its mistakes are said on stderr, the exit status is 1, and the others are laid out all the same."""
    Path("bad.routine").write_bytes(b"part Verse:\n  Triple, and clap\n")
    Path("latin.routine").write_bytes(b"routine: Caf\xe9\n")
    assert 1 == cli.main(["format", "."])
    out, err = capsys.readouterr()

    assert "" == out and "bad.routine:2:" in err and "latin.routine:1:13: ill-formed" in err
    assert b"part Verse:\n  Triple, and clap\n" == Path("bad.routine").read_bytes()
    assert TIDY.encode() == weir.read_bytes()


def test_stdin_goes_to_stdout(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """An editor pipes a sheet through; one that is not understood comes back as it was."""
    for given, status, expected in ((UNEVEN, 0, TIDY), ("part Verse:\n  Triple, and clap\n", 1, None)):
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(given.encode())))
        assert status == cli.main(["format", "-"])
        assert (given if expected is None else expected) == capsys.readouterr().out


def test_writing_keeps_permissions_and_links(weir: Path) -> None:
    """The file behind a link is replaced, with the permissions that it had, and nothing else is left in the folder."""
    weir.chmod(0o640)
    os.symlink("weir.routine", "link.routine")
    replace(Source("link.routine", UNEVEN), "routine: New\n")

    assert os.path.islink("link.routine") and "routine: New\n" == weir.read_text()
    assert 0o640 == weir.stat().st_mode & 0o777
    assert ["link.routine", "weir.routine"] == sorted(os.listdir())


def test_what_cannot_be_written_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A failure to write is an error with the path, and leaves the old file and no other."""
    sheet = tmp_path / "weir.routine"
    sheet.write_text("old")

    def refuse(source: str, target: str) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(SourceError, match=r"weir\.routine cannot be written: operation not permitted"):
        replace(Source(str(sheet), "old"), "new")
    assert ["weir.routine"] == os.listdir(tmp_path) and "old" == sheet.read_text()


# -- a sheet that is written anew: nothing of the file is lost but what changes ----------------------------------------


BEFORE, AFTER = "routine: X\nbook: clogging\n", "routine: Y\nbook: clogging\n"


@pytest.mark.parametrize(("end", "mark"), [("\n", ""), ("\r\n", ""), ("\r\n", "\ufeff"), ("\r", "")])
def test_line_ends_mark_and_mode_stay(end: str, mark: str, tmp_path: Path) -> None:
    """An editor that wrote a file its own way finds it so again."""
    path = tmp_path / "x.routine"
    path.write_bytes((mark + BEFORE.replace("\n", end)).encode())
    path.chmod(0o640)
    replace(files.read(path)[0], AFTER)
    assert (mark + AFTER.replace("\n", end)).encode() == path.read_bytes()
    assert 0o640 == stat.S_IMODE(path.stat().st_mode)


def test_a_colleagues_edit_is_not_lost(tmp_path: Path) -> None:
    """A file that says something else by now stays as it is, if only a line end or a space changed."""
    path = tmp_path / "x.routine"
    path.write_text(BEFORE)
    source, _ = files.read(path)
    path.write_bytes(BEFORE.replace("\n", "\r\n").encode())
    with pytest.raises(SourceError, match="was changed meanwhile, and is left as it is"):
        replace(source, AFTER)
    assert BEFORE.replace("\n", "\r\n").encode() == path.read_bytes()


def test_a_file_with_several_names_is_written_into_only_if_asked(tmp_path: Path) -> None:
    """To replace it would part its names; written into, all of them have the new text."""
    path, other = tmp_path / "x.routine", tmp_path / "y.routine"
    path.write_text(BEFORE + "# a longer sheet than the other\n")
    os.link(path, other)
    source, _ = files.read(path)
    with pytest.raises(SourceError, match=r"has 2 names .*--in-place"):
        replace(source, AFTER)
    replace(source, AFTER, in_place=True)
    assert AFTER == path.read_text() == other.read_text()
    assert path.samefile(other)


def test_a_read_only_file_stays_as_it_is(tmp_path: Path) -> None:
    """Somebody took the right to write away on purpose; even one who could write all the same is told so."""
    path = tmp_path / "x.routine"
    path.write_text(BEFORE)
    path.chmod(0o444)
    with pytest.raises(SourceError, match="is read-only, and is left as it is"):
        replace(files.read(path)[0], AFTER)
    assert BEFORE == path.read_text()


def test_what_is_not_understood_gets_the_hints_that_a_check_gives() -> None:
    """Only what was tried: no change is offered that the language does not know."""
    text = "book: line\npart A:\n  Vine, left fot\n  2 times:\n    Vine\n    2nd time: Vine\n  Vine, lefft\ndance:\n  A\n  last tiem: A\n"
    laid, checked = lay_out("x", text.encode()), pipeline.loads(text, path="x")
    assert len(laid.findings) >= 3
    assert set(laid.findings) <= set(checked.diagnostics)
    with pytest.raises(NotUnderstood) as caught:
        format_text(text, path="x")
    assert laid.findings == caught.value.diagnostics


@pytest.mark.parametrize("row", ["BUMP BUMP S(L)", "JUMP S(L)"])
def test_a_foot_that_is_written_is_never_the_other_one(row: str) -> None:
    """Behind both feet either foot could lead a row: it is refused, not danced in its mirror image and proved."""
    sheet = "routine: Osier Row\nbook: line\nlead: right\n\npart M:\n  S(R) S(L)\n  {}\n  {}\n\ndance:\n  M\n"

    def verdict(row: str, behind: str) -> str:
        return pipeline.check_text(sheet.format(row, behind)).verdict.word

    (found,) = pipeline.check_text(sheet.format(row, "S(L) S(R)")).diagnostics
    assert found.code.name == "two-readings"
    assert f"{row}, left foot or {row}, right foot" in found.message
    said = f"{row}, right foot"
    assert (verdict(said, "S(L) S(R)"), verdict(said, "S(R) S(L)")) == ("refuted", "proved")
    assert verdict(f"{row}, left foot", "S(R) S(L)") == "refuted"  # the right foot is free


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("S S S(R) x2", "refuted"),
        ("S(R) S(L) S(R) TCH x2", "refuted"),
        ("S(R)@1 S(L)@1& S(R)@2 x4", "refuted"),
        ("JUMP S(L) S x2, right foot", "refuted"),
        ("S(R) S(L) x3", "proved"),
        ("S(R) S(L) x2, turn 1/2 left on 2nd", "proved"),
        ("S S S x2, right foot", "proved"),
    ],
)
def test_written_feet_are_those_of_each_time(row: str, wanted: str) -> None:
    """A row with feet is no figure that alternates: a time that begins on the other foot fails, as on a line of its own."""
    sheet = "routine: Osier Row\nbook: line\nlead: right\n\npart M:\n  {}\n\ndance:\n  M\n"
    assert pipeline.check_text(sheet.format(row)).verdict.word == wanted
    bare, _, times = row.partition(" x")
    if "," not in row and "(" in row:
        lines = f"\n  {bare}".join([""] * (int(times) + 1)).strip()
        assert pipeline.check_text(sheet.format(lines)).verdict.word == wanted
    for engine in ("walk", "z3"):
        assert pipeline.check_text(sheet.format(row), engine=engine).verdict.word == wanted


def test_both_feet_stand_before_a_foot_of_the_row_leads() -> None:
    """`both feet` beside written feet is asked of what stands before the row, not of the foot that it then chooses."""
    sheet = "routine: Osier Row\nbook: line\nlead: right\n\npart M:\n  {}\n  S(L) S(R), both feet\n\ndance:\n  M\n"
    for before, wanted in (("JUMP JUMP", "proved"), ("S(R) S(L) S(R)", "refuted")):
        assert pipeline.check_text(sheet.format(before)).verdict.word == wanted


@pytest.mark.parametrize(
    ("head", "row", "wanted"),
    [
        ("book: line\nstomp: no weight\nlead: left", "S STO S(R)", "proved"),
        ("book: line\nstomp: no weight\nlead: right", "S STO S(R)", "refuted"),
        ("book: line\nstomp: takes weight\nlead: right", "S STO S(R)", "proved"),
        ("book: clogging\nchug: both feet\nlead: right", "CH CH S(L), right foot", "proved"),
        ("book: clogging\nchug: both feet\nlead: right", "CH CH S(L)", "ill-formed"),  # from both feet either leads
    ],
)
def test_which_foot_leads_a_row_hangs_on_the_readings_that_the_header_settles(head: str, row: str, wanted: str) -> None:
    """A row with feet is led by the foot that can dance it as its words are settled, not as they are usually read."""
    sheet = f"routine: Osier Row\n{head}\n\npart M:\n  {row}\n\ndance:\n  M\n"
    assert pipeline.check_text(sheet, engine="walk").verdict.word == wanted
