"""The command `draft`."""

import io
import json
import sys
from pathlib import Path

import jsonschema
import pytest

import stepcheck as sc
from stepcheck.faces import cli

SOURCE = (
    "Weir Lane\n16 counts, 4 walls, line dance\n\n1-4  Vine right\n5-8  Vine left 1/4 L (9:00)\n1-8  Waggle about\n"
)
SCHEMA = json.loads((Path(__file__).parents[3] / "specs" / "report.schema.json").read_text("utf-8"))


@pytest.fixture
def source(tmp_path: Path) -> str:
    """Return the path of a description."""
    path = tmp_path / "weir.txt"
    path.write_text(SOURCE, "utf-8")
    return str(path)


def test_the_sheet_goes_to_stdout_and_what_was_taken_to_stderr(source: str, capsys: pytest.CaptureFixture[str]) -> None:
    """stdout holds the sheet alone; each assumption and each open line is a line of stderr; a draft gives 0."""
    assert 0 == cli.main(["draft", source])
    out, said = capsys.readouterr()

    draft = sc.draft(SOURCE)
    assert draft.text == out
    for each in draft.assumed:
        assert f"assumed: {each}\n" in said
    assert draft.open
    for each in draft.open:
        assert f"open: {each}\n" in said


def test_a_draft_is_never_written_over_the_description(
    source: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """-o writes the sheet; the description is refused, another file without --force as well."""
    sheet = tmp_path / "weir.routine"
    assert 0 == cli.main(["draft", source, "-o", str(sheet)])
    assert sc.draft(SOURCE).text == sheet.read_text("utf-8")
    assert 2 == cli.main(["draft", source, "-o", str(sheet)])
    assert 0 == cli.main(["draft", source, "-o", str(sheet), "--force"])
    assert 2 == cli.main(["draft", source, "-o", source, "--force"])
    assert SOURCE == Path(source).read_text("utf-8")
    assert "--force" in capsys.readouterr().err


def test_checking_gives_the_status_of_the_check(source: str, capsys: pytest.CaptureFixture[str]) -> None:
    """With --check the answer stands on stderr, and decides the exit status: here a blank is waited for."""
    assert 3 == cli.main(["draft", source, "--check"])
    assert "undecided" in capsys.readouterr().err


def test_json_has_everything_and_keeps_to_the_schema(source: str, capsys: pytest.CaptureFixture[str]) -> None:
    """`--format json` holds the sheet, what was assumed, what is open, each line, and the report."""
    cli.main(["draft", source, "--check", "--format", "json"])
    value = json.loads(capsys.readouterr().out)

    jsonschema.validate(value, {"$ref": "#/$defs/draft", "$defs": SCHEMA["$defs"]})
    draft = sc.draft(SOURCE)
    assert (draft.text, list(draft.assumed), list(draft.open)) == (value["text"], value["assumed"], value["open"])
    assert "undecided" == value["report"]["verdict"]


@pytest.mark.parametrize("text", ["", "Dear all, the hall is shut on Monday.\n"])
def test_nothing_understood_is_two(
    text: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A text without steps gives 2, with the line and the reason, and nothing on stdout."""
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))

    assert 2 == cli.main(["draft", "-"])
    out, said = capsys.readouterr()
    assert "" == out
    assert "no line is understood as steps" in said
    assert not text or "<stdin>:1:" in said


def test_what_is_no_text_is_two(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file that holds no text gives 2 and the reason, as a sheet would, and nothing on stdout."""
    path = tmp_path / "weir.txt"
    path.write_bytes(SOURCE.encode("utf-16"))

    assert 2 == cli.main(["draft", str(path)])
    out, said = capsys.readouterr()
    assert "" == out
    assert f"{path}:1:" in said
