"""The plugin for pytest, in a run of pytest of its own."""

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

pytest_plugins = ["pytester"]
GOOD = "routine: Alder Reel\nbook: clogging\npart Verse: 4 beats\n  Triple\ndance:\n  Verse\n"
BAD = GOOD.replace("4 beats", "8 beats")
Run = Callable[..., tuple[int, str]]


@pytest.fixture
def folder(pytester: pytest.Pytester) -> Path:
    """A folder with a sheet that is proved, one that is refuted, and settings for pytest that say nothing."""
    (pytester.path / "good.routine").write_text(GOOD)
    (pytester.path / "bad.routine").write_text(BAD)
    (pytester.path / "pytest.ini").write_text("[pytest]\n")
    return pytester.path


@pytest.fixture
def run(folder: Path, pytester: pytest.Pytester) -> Run:
    """Run pytest in the folder, in this process, and return the exit status and the output."""

    def said(*words: str) -> tuple[int, str]:
        done = pytester.runpytest_inprocess("-p", "no:cacheprovider", *words)
        return done.ret, done.stdout.str() + done.stderr.str()

    return said


def test_sheets_are_tests_when_asked_for(run: Run) -> None:
    """With --stepcheck each sheet is one test; one that is not proved fails with its report and no traceback."""
    status, said = run("--stepcheck", "--stepcheck-engine", "walk", "-v")

    assert 1 == status and "1 failed, 1 passed" in said
    assert "good.routine::sheet PASSED" in said
    assert "bad.routine:3:1: refuted: Verse should last 8 beats, but lasts 4" in said
    assert "Traceback" not in said and "pipeline.py" not in said


def test_the_summary_names_what_is_wrong(run: Run) -> None:
    """The line that pytest sums a failure up with has the worst finding, whatever notes stand above it."""
    assert "::sheet - Verse should last 8 beats" in run("--stepcheck", "-rf")[1]


def test_a_blank_is_skipped(folder: Path, run: Run) -> None:
    """A sheet that waits on a blank neither fails nor passes; one that has a mistake as well fails."""
    (folder / "open.routine").write_text(GOOD.replace("  Triple", "  ? 2 beats\n  Basic\n  expect left foot"))
    (folder / "both.routine").write_text(BAD.replace("  Triple", "  ? 2 beats\n  Basic\n  expect left foot"))

    assert "2 failed, 1 passed, 1 skipped" in run("--stepcheck")[1]


def test_a_setting_asks_as_well(folder: Path, run: Run) -> None:
    """`stepcheck = true` among the settings collects sheets in every run; `stepcheck_engine` chooses who decides."""
    (folder / "pytest.ini").write_text("[pytest]\nstepcheck = true\nstepcheck_engine = walk\n")

    assert "1 failed, 1 passed" in run()[1]


def test_nothing_is_collected_unasked(run: Run) -> None:
    """A project that happens to have sheets keeps its run as it was."""
    status, said = run()

    assert (5, True) == (status, "no tests ran" in said)


def test_being_installed_costs_nothing(folder: Path) -> None:
    """A run of pytest, in a process of its own, with the plugin loads neither the solver nor anything else of
    stepcheck."""
    (folder / "test_x.py").write_text(
        "import sys\ndef test_x():\n    assert not {'z3', 'lark', 'stepcheck.report.pipeline'} & set(sys.modules)\n"
    )
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "--stepcheck", "test_x.py"]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=120)

    assert 0 == done.returncode and "1 passed" in done.stdout, done.stdout + done.stderr


def test_a_wrong_engine_is_refused(run: Run) -> None:
    """An engine that there is not ends the run with a message of usage."""
    status, said = run("--stepcheck-engine", "yices")

    assert 4 == status and "yices" in said


def test_a_setting_that_names_no_engine_is_refused_at_once(folder: Path, run: Run) -> None:
    """A wrong setting stops the run with a sentence, not each test with a traceback."""
    (folder / "pytest.ini").write_text("[pytest]\nstepcheck = true\nstepcheck_engine = warp\n")
    status, said = run()

    assert pytest.ExitCode.USAGE_ERROR == status
    assert "ERROR: stepcheck_engine = warp: it should be one of walk, z3, both\n" in said
