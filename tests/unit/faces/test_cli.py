"""The command, from its words to its exit status."""

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from types import ModuleType

import pytest

from stepcheck.catalogue import workers
from stepcheck.faces import check as commands
from stepcheck.faces import cli
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import SourceError, Span
from stepcheck.model.statuses import STATUSES
from stepcheck.report import pipeline
from stepcheck.report.values import Report

FAULT = Diagnostic(CODES["engines-disagree"], "fault.routine", Span(1, 1, 1, 1), "walk says proved, z3 says refuted")


class Stage(ModuleType):
    """A pipeline that answers by the name of the sheet, so that the command is tested alone."""

    asked: list[tuple[str, dict[str, object]]]

    def loads(self, text: bytes, *, path: str, readings: str) -> tuple[bytes, str, str]:
        return text, path, readings

    def examine(
        self, routine: tuple[bytes, str, str], *, algebra: object, **options: object
    ) -> tuple[Report, tuple[()]]:
        text, path, readings = routine
        options |= {"readings": readings} if readings != "usual" else {}
        self.asked.append((path, options if path != "<stdin>" else {"text": text, **options}))
        return self.answer(path), ()

    def answer(self, path: str) -> Report:
        name = os.path.basename(path).removesuffix(".routine")
        match name:
            case "<stdin>":
                return Report(path, "", Verdict.PROVED)
            case "gone":
                raise SourceError(f"{path} cannot be read: permission denied")
            case "broken":
                raise ZeroDivisionError("no such wall")
            case "stop":
                raise KeyboardInterrupt
            case "fault":
                return Report(path, "", Verdict.PROVED, diagnostics=(FAULT,))
        return Report(path, name.title(), Verdict[name.upper().replace("-", "_")])


@pytest.fixture
def stage(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Stage:
    """A stand-in pipeline, in an empty current folder."""
    made = Stage("stepcheck.report.pipeline")
    made.asked = []
    made.UnknownOption = pipeline.UnknownOption  # type: ignore[attr-defined]
    monkeypatch.setattr(workers, "pipeline", made)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    return made


def sheets(*names: str) -> list[str]:
    """Write sheets with these names and return their paths."""
    for name in names:
        Path(f"{name}.routine").write_text("routine: x\n")
    return [f"{name}.routine" for name in names]


@pytest.mark.parametrize(
    ("names", "status"),
    [
        (["proved"], 0),
        (["proved", "undecided"], 3),
        (["undecided", "vacuous"], 1),
        (["refuted", "proved"], 1),
        (["ill-formed"], 1),
        (["refuted", "gone"], 2),
        (["broken", "undecided"], 2),
        (["fault"], 2),
        (["proved", "stop"], 130),
    ],
)
@pytest.mark.parametrize("form", ["text", "json"])
def test_the_exit_status_is_that_of_the_worst_sheet(stage: Stage, names: list[str], status: int, form: str) -> None:
    """0 proved, 3 undecided, 1 refuted, vacuous or ill-formed, 2 could not run; the same for every format."""
    assert status == cli.main(["check", "--format", form, *sheets(*names)])


@pytest.mark.parametrize(
    ("names", "status"), [(["proved", "undecided"], 0), (["undecided", "refuted"], 1), (["broken", "undecided"], 2)]
)
def test_what_is_open_may_be_allowed(stage: Stage, names: list[str], status: int) -> None:
    """With --allow-undecided a blank is no reason to fail; everything else is."""
    assert status == cli.main(["check", "--allow-undecided", *sheets(*names)])


def test_one_bad_sheet_harms_no_other(stage: Stage, capsys: pytest.CaptureFixture[str]) -> None:
    """A sheet that cannot be read, and one at which stepcheck itself fails, are told on stderr; others are answered."""
    cli.main(["check", *sheets("broken", "gone", "proved", "refuted")])
    out, err = capsys.readouterr()

    assert "proved.routine: proved: it claims nothing" in out
    assert "Traceback" not in out + err
    assert "stepcheck: gone.routine cannot be read: permission denied" in err
    assert "broken.routine: internal error, which is no verdict: ZeroDivisionError: no such wall" in err
    assert err.endswith("2 sheets: 1 proved, 1 refuted; 2 could not be checked\n")


def test_an_internal_error_leaves_a_file_that_shows_it_again(stage: Stage, capsys: pytest.CaptureFixture[str]) -> None:
    """The message names a file that holds the sheet and what happened."""
    assert 2 == cli.main(["check", *sheets("broken")])

    kept = capsys.readouterr().err.split("no such wall; ")[1].split(" shows it again")[0]
    assert "ZeroDivisionError" in Path(kept).read_text() and "routine: x" in Path(kept).read_text()


def test_engines_that_disagree_are_an_internal_error(stage: Stage, capsys: pytest.CaptureFixture[str]) -> None:
    """A disagreement is reported as a fault of stepcheck, with a file, and never as a verdict."""
    assert 2 == cli.main(["check", *sheets("fault")])
    assert "internal error, which is no verdict: walk says proved, z3 says refuted" in capsys.readouterr().err


def test_stdout_is_only_the_chosen_format(stage: Stage, capsys: pytest.CaptureFixture[str]) -> None:
    """All of stdout is one JSON document, whatever goes wrong; what could not be read is in it."""
    cli.main(["check", "--format", "json", *sheets("broken", "gone", "proved"), "nowhere"])
    document = json.loads(capsys.readouterr().out)

    assert ["proved.routine"] == [sheet["path"] for sheet in document["sheets"]]
    assert ["nowhere", "broken.routine", "gone.routine"] == [error["path"] for error in document["errors"]]


def test_stopping_keeps_what_is_done(stage: Stage, capsys: pytest.CaptureFixture[str]) -> None:
    """After Ctrl-C the finished sheets are printed, and how many that were."""
    assert 130 == cli.main(["check", "--format", "json", *sheets("proved", "stop")])
    out, err = capsys.readouterr()

    assert ["proved.routine"] == [sheet["path"] for sheet in json.loads(out)["sheets"]]
    assert "stopped after 1 of 2" in err


def test_options_reach_the_pipeline(stage: Stage) -> None:
    """Engine and budget are handed on as they are."""
    cli.main(["check", "--engine", "walk", "--budget", "500", *sheets("proved")])

    assert [("proved.routine", {"engine": "walk", "budget": 500})] == stage.asked


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["check"], "name at least one sheet or folder (see `stepcheck check --help`)"),
        (["check", "nowhere"], "nowhere: there is no such file or folder"),
        (["check", "."], "no sheet (*.routine) found in ."),
        (["check", ""], "a name of a sheet or folder is empty"),
        (["check", "--fromat", "json", "x"], "there is no option --fromat; did you mean --format?"),
        (["check", "-dash.routine"], "a file whose name begins with a dash is written ./ and its name"),
        (["check", "--engine", "yices", "x"], "invalid value for '--engine'"),
        (["check", "--budget", "0", "x"], "invalid value for '--budget': '0' is no whole number from 1"),
        (["check", "--jobs", "two", "x"], "'two' is no whole number from 1"),
        (["check", "--budget"], "option '--budget' requires an argument (see `stepcheck check --help`)"),
        (["repair"], "name the sheet (see `stepcheck repair --help`)"),
        (["catalogue"], "say what to ask: figures, medleys, twins, level, parts, touched or graph"),
        (["break", "--beats", "4", "--most-turn", "0.3"], "'0.3' is no number of turns, by eighths"),
        (["break", "--beats", "4", "--most-turn", "nan"], "write 0, 1/4, 0.25 or 1"),
        (["chekc", "x"], "there is no command 'chekc'; did you mean check?"),
        (["dance"], "there is no command 'dance'; there are break, call, catalogue, check"),
        (["-dash.routine"], "there is no option -d"),
        (["my sheet.routine"], "to check a sheet: stepcheck check 'my sheet.routine'"),
        (["format", "nowhere"], "nowhere: there is no such file or folder"),
        ([], "Usage: stepcheck"),
    ],
)
def test_what_could_not_run_exits_with_2(
    stage: Stage, words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A wrong option, no such file and nothing matched give 2, a plain message on stderr, and nothing on stdout."""
    if words and "routine" in words[-1]:
        Path(words[-1]).write_text("routine: x\n")
    assert 2 == cli.main(words)
    out, err = capsys.readouterr()
    assert "" == out and said in err


def test_no_exception_leaves_the_command(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """An error anywhere, even before a sheet is read, ends with 2 and one message."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    monkeypatch.setattr("stepcheck.faces.check.sheets", lambda paths, **rest: 1 / 0)

    assert 2 == cli.main(["check", "x"])
    out, err = capsys.readouterr()
    assert "" == out and "internal error" in err and "Traceback" not in err


def test_version_names_the_solver_without_loading_it(capsys: pytest.CaptureFixture[str]) -> None:
    """`--version` says the versions of stepcheck and z3."""
    from importlib.metadata import version

    assert 0 == cli.main(["--version"])
    assert f"(z3 {version('z3-solver')}," in capsys.readouterr().out


def test_the_help_has_the_table_of_exit_statuses(capsys: pytest.CaptureFixture[str]) -> None:
    """Help says every exit status, and the specification has the same table."""
    assert 0 == cli.main(["--help"])
    shown = capsys.readouterr().out
    spec = (Path(__file__).parents[3] / "specs" / "verdicts.md").read_text("utf-8")

    for status, about in STATUSES:
        assert f"{status:<4} {about}" in shown
        assert f"| {status} | {about} |" in spec


def test_colour_is_for_terminals_unless_asked_for(stage: Stage, capsys: pytest.CaptureFixture[str]) -> None:
    """Piped text is plain; `--colour always` paints it, `never` doesn't."""
    for colour, painted in (("auto", False), ("never", False), ("always", True)):
        cli.main(["check", "--colour", colour, *sheets("refuted")])
        assert painted == ("\033[" in capsys.readouterr().out)


def test_a_terminal_gets_colour_unless_it_says_no(monkeypatch: pytest.MonkeyPatch) -> None:
    """On a terminal text is painted and as wide as it is; NO_COLOR and a dumb terminal keep it plain, COLUMNS narrows
    it."""

    class Terminal:
        isatty = staticmethod(lambda: True)
        fileno = staticmethod(lambda: 1)

    monkeypatch.setattr(sys, "stdout", Terminal())
    monkeypatch.setattr(os, "get_terminal_size", lambda handle: os.terminal_size((72, 24)))
    monkeypatch.setattr(sys, "__stdout__", Terminal())
    monkeypatch.setenv("TERM", "xterm")
    for name in ("NO_COLOR", "FORCE_COLOR", "COLUMNS"):
        monkeypatch.delenv(name, raising=False)
    assert {"colour": True, "width": 72} == commands.look("auto")
    monkeypatch.setenv("NO_COLOR", "1")
    assert {"colour": False, "width": 72} == commands.look("auto")
    monkeypatch.delenv("NO_COLOR")
    monkeypatch.setenv("TERM", "dumb")
    assert not commands.look("auto")["colour"] and commands.look("always")["colour"]
    for columns, width in (("50", 50), ("20", commands.NARROWEST), ("0", 72)):
        monkeypatch.setenv("COLUMNS", columns)
        assert width == commands.look("auto")["width"]


def test_colour_may_be_forced_where_there_is_no_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """FORCE_COLOR, as CI sets it, paints what goes to a pipe, at the width that is the same everywhere; NO_COLOR is
    stronger."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("COLUMNS", "50")
    assert {"colour": True, "width": commands.WIDTH} == commands.look("auto")
    assert not commands.look("never")["colour"]
    monkeypatch.setenv("NO_COLOR", "1")
    assert not commands.look("auto")["colour"]


def run(*words: str, **settings: str) -> subprocess.CompletedProcess[bytes]:
    """Run the command in a process of its own."""
    command = [sys.executable, "-W", "error", "-m", "stepcheck.faces.cli", *words]
    return subprocess.run(command, capture_output=True, env={**os.environ, **settings}, timeout=60)


def test_shells_can_complete_its_words() -> None:
    """The shells' completion offers the commands."""
    done = run(_STEPCHECK_COMPLETE="bash_complete", COMP_WORDS="stepcheck ch", COMP_CWORD="1")

    assert b"plain,check" in done.stdout


KETTLE = """\
routine: Copper Ladle
book: clogging

part Chorus: 12 beats, front to back
  Triple | Vine
  Basic, left foot
  2 times:
    Basic, turn 1/4 right
  expect left foot

dance:
  Chorus x3
"""


def test_the_command_loads_only_what_it_needs(tmp_path: Path) -> None:
    """Checking a sheet with both engines doesn't pay for libraries that only other outputs need."""
    (tmp_path / "kettle.routine").write_text(KETTLE)
    code = (
        "import sys; from stepcheck.faces import cli; cli.main(['check', 'kettle.routine']);"
        "print('loaded', sorted({'rich', 'cattrs', 'networkx', 'lark'} & set(sys.modules)), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, cwd=tmp_path)
    assert "1 sheet: 1 refuted\nloaded []" == done.stderr.strip()


@pytest.mark.parametrize("form", ["text", "json"])
def test_the_same_sheet_gives_the_same_bytes(tmp_path: Path, form: str) -> None:
    """Whatever the hash seed, the answer is the same to the byte, with the steps that lead to each finding."""
    sheet = tmp_path / "kettle.routine"
    sheet.write_text(KETTLE)
    one, other = (run("check", "--format", form, str(sheet), PYTHONHASHSEED=seed) for seed in ("1", "4242"))

    assert one.stdout == other.stdout and one.returncode == other.returncode == 1
    assert "▸".encode() in one.stdout or b'"marked": true' in one.stdout


def test_who_starts_the_server_by_hand_is_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """In a terminal the language server would only wait; it says so."""

    class Terminal:
        isatty = staticmethod(lambda: True)

    server = ModuleType("stepcheck.faces.editor")
    server.main = lambda: 0  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "stepcheck.faces.editor", server)
    monkeypatch.setattr(sys, "stdin", Terminal())

    assert 0 == cli.main(["editor"])
    assert "an editor starts this by itself" in capsys.readouterr().err
