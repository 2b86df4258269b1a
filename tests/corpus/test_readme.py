"""The README does what it says."""

import doctest
import re
import shlex
import subprocess
import sys
from pathlib import Path

import click
import pytest

import stepcheck
from stepcheck.faces import cli
from stepcheck.model.findings import CODES
from stepcheck.model.outcome import Verdict
from stepcheck.model.statuses import STATUS
from tests.corpus.readme import README, Block, commands, of_kind, write_sheets
from tests.unit.test_architecture import ROOMS

TEXT = README.read_text(encoding="utf-8")


def run(command: str, folder: Path) -> str:
    """Return what a command of the README prints, the answers before what is said about the run."""
    program, *words = shlex.split(command)
    assert "stepcheck" == program
    made = subprocess.run(
        [sys.executable, "-m", "stepcheck.faces.cli", *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=folder,
        stdin=subprocess.DEVNULL,
        check=False,
    )
    return made.stdout + made.stderr


@pytest.mark.parametrize("block", of_kind("console"), ids=lambda block: f"line {block.line}")
def test_a_command_prints_what_the_readme_shows(block: Block, tmp_path: Path) -> None:
    """Each command of the README, run on its sheets, prints what stands under it, to the letter."""
    write_sheets(tmp_path)

    assert commands(block)
    for command, output in commands(block):
        assert output == run(command, tmp_path)


def test_the_python_examples_give_what_the_readme_shows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The Python examples, tried in order as one session beside the README's sheets, give what stands under them."""
    write_sheets(tmp_path)
    monkeypatch.chdir(tmp_path)
    text = "\n".join(block.text for block in of_kind("pycon"))
    example = doctest.DocTestParser().get_doctest(text, {}, "README", str(README), 0)
    failures: list[str] = []

    result = doctest.DocTestRunner().run(example, out=failures.append)

    assert result.attempted > 5
    assert [] == failures


def test_the_first_sheet_is_proved_and_short() -> None:
    """The first sheet has at most ten lines that say something."""
    first = of_kind("routine")[0]

    assert len([line for line in first.text.splitlines() if line]) <= 10
    assert Verdict.PROVED is stepcheck.check_text(first.text).verdict


def test_the_two_commands_are_those_that_are_promised() -> None:
    """The first block of shell is the two commands that install, prove the catalogue and run the tests."""
    assert "pip install . && stepcheck check specs/routines\npip install '.[test]' && pytest\n" == of_kind("sh")[0].text


def test_the_table_of_verdicts_is_the_program_s() -> None:
    """Each verdict stands in the README's table with the exit status that the program gives."""
    rows = [line.split("|") for line in TEXT.splitlines() if line.startswith("| ")]
    table = {row[1].strip(): row[3].strip() for row in rows if len(row) == 5}

    assert {verdict.word: str(STATUS[verdict]) for verdict in Verdict} == {
        word: status for word, status in table.items() if word != "verdict"
    }


def test_every_public_function_is_spoken_of() -> None:
    """The functions with which people begin are in the README, and the page that it points to has all."""
    first = (
        "load",
        "check",
        "check_catalogue",
        "repair",
        "fill",
        "find_breaks",
        "break_after",
        "find_endings",
        "script",
    )

    assert [] == [name for name in first if f"sc.{name}(" not in TEXT]
    assert "`specs/library.md`" in TEXT


def test_what_the_readme_points_to_is_there() -> None:
    """Each file and folder that the README names exists."""
    named = [word for word in TEXT.split("`")[1::2] if word.startswith("specs/") or word.endswith(".md")]

    assert named
    assert [] == [name for name in named if not (README.parent / name).exists()]


def test_the_page_for_developers_has_the_rooms_as_they_are() -> None:
    """The table of `DEVELOPERS.md` has the rooms of the package in order, and lets each import what the architecture's
    table does."""
    text = (README.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    said: dict[str, tuple[str, ...]] = {}
    for row in text.split("| room |")[1].split("\n\n")[0].splitlines()[2:]:
        room, *_, may = (cell.strip() for cell in row.strip("|").split("|"))
        allowed = {*re.findall("[a-z]+", may)} & {*ROOMS}
        if may.startswith("all above"):
            allowed = {*said} - allowed
        said[room.strip("`")] = tuple(name for name in ROOMS if name in allowed)

    assert list(ROOMS.items()) == list(said.items())


def test_what_the_page_for_developers_points_to_is_there() -> None:
    """Each file that `DEVELOPERS.md` names exists."""
    text = (README.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = {
        word
        for part in text.split("`")[1::2]
        for word in part.split()
        if word.startswith(("specs/", "tests/", ".ci/")) and "*" not in word
    }

    assert len(named) > 10
    assert [] == sorted(name for name in named if not (README.parent / name).exists())


def test_every_command_option_and_code_that_is_spoken_of_exists() -> None:
    """What the README and the pages of specs tell to type is there to be typed, and every code that they name is
    one."""
    context = click.Context(cli.stepcheck)
    options = {
        name: {
            word
            for option in cli.stepcheck.get_command(context, name).params
            for word in option.opts + option.secondary_opts
        }
        for name in cli.COMMANDS
    }
    known = set().union(*options.values(), {"--help", "--version", "--stepcheck", "--stepcheck-engine"})
    ids = {code.id for code in CODES.values()}
    for page in (README, README.with_name("DEVELOPERS.md"), *sorted((README.parent / "specs").rglob("*.md"))):
        text = page.read_text(encoding="utf-8")
        for command, words in re.findall(r"(?:`|\$ )stepcheck ([a-z]+)([^`\n]*)", text):
            assert command in cli.COMMANDS, (page.name, command)
            assert set(re.findall(r"(?<!\S)--[a-z0-9-]+", words)) <= options[command], (page.name, command, words)
        assert set(re.findall(r"`(--[a-z0-9-]+)", text)) <= known, page.name
        assert set(re.findall(r"\bSR\d{3}\b", text)) <= ids, page.name
