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


def test_a_file_of_windows_is_read_in_its_encoding(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Bytes that are no UTF-8 are Windows-1252, which is said with its signs, in the sheet too; nothing is lost."""
    said = SOURCE.replace("1/4", "\u00bc").replace("Weir Lane", "Weir \u2013 It\u2019s")
    path = tmp_path / "weir.txt"
    path.write_bytes(said.encode("cp1252"))

    assert 0 == cli.main(["draft", str(path)])
    out, err = capsys.readouterr()
    first, rest = out.split("\n", 1)
    assert sc.draft(said).text == rest and "turn 1/4 left" in rest
    assert first.startswith("# assumed: the text is Windows-1252")
    assert "assumed: the text is Windows-1252, as it is not UTF-8: its signs are \u2013 \u2019 \u00bc\n" in err


@pytest.mark.parametrize("tail", [b"\x81", "\u00bd".encode() + b"\xbd"])
def test_bytes_of_no_one_encoding_are_refused(tail: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A byte that no sign has, or two encodings in one file, give 2, the line and what to do."""
    path = tmp_path / "weir.txt"
    path.write_bytes(SOURCE.encode() + tail)

    assert 2 == cli.main(["draft", str(path)])
    out, said = capsys.readouterr()
    assert "" == out and f"{path}:7: byte" in said and "save the file as UTF-8" in said


def test_a_finding_says_the_line_of_the_description(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With --check a finding names the description's own line; what mends a draft that no file holds begins with
    writing it."""
    path = tmp_path / "tin.txt"
    path.write_text(
        "Tin\nclogging, left foot lead\n\nA\nChain\nTriple L\nTriple L\n\nB\nMystery (8)\nChain L\n", "utf-8"
    )

    cli.main(["draft", str(path), "--check"])
    said = capsys.readouterr().err
    assert f"({path}, line 6) [SR501]" in said and f"({path}, line 11) [SR701]" in said
    assert "-o SHEET" in said and "'<draft>'" not in said
    cli.main(["draft", str(path), "--check", "-o", str(tmp_path / "tin.routine")])
    said = capsys.readouterr().err
    assert "tin.routine" in said and "-o SHEET" not in said
    path.write_bytes(path.read_text().replace("Tin\n", "Tin\u2019s\n").encode("cp1252"))
    cli.main(["draft", str(path), "--check"])
    said = capsys.readouterr().err
    assert f"({path}, line 6) [SR501]" in said and f"({path}, line 11) [SR701]" in said
