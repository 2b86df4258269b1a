"""Many sheets at once."""

import gc
import json
import os
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from stepcheck.catalogue import run as catalogue
from stepcheck.catalogue import workers
from stepcheck.catalogue.discovery import NothingFound
from stepcheck.catalogue.run import Failure, check_catalogue
from stepcheck.faces import cli
from stepcheck.model.outcome import Verdict
from stepcheck.program.routine import Routine
from stepcheck.report.pipeline import UnknownOption, check_file
from stepcheck.report.values import Report
from stepcheck.walk.effects import Algebra
from tests.halls import SOUND, fill


def test_every_sheet_is_answered_as_it_is_alone(tmp_path: Path) -> None:
    """The reports are those of the sheets one by one, in the order of their paths; the summary counts them."""
    paths = fill(tmp_path)
    whole = check_catalogue(tmp_path)

    assert tuple(map(check_file, paths)) == whole.reports
    assert "6 sheets: 3 proved, 1 undecided, 1 refuted, 1 ill-formed" == whole.summary
    assert 1 == whole.exit_status


@pytest.mark.parametrize("folder", ["routines", "faulty", "unfinished"])
def test_a_sheet_leaves_nothing_to_the_collector(folder: str) -> None:
    """What is made for a sheet is free as soon as its report is, so that many sheets need no collection."""
    sheets = sorted((Path(__file__).parents[3] / "specs" / folder).glob("*.routine"))
    algebra = Algebra()
    for path in sheets:
        check_file(path, engine="walk", algebra=algebra)  # what is made once and kept
    gc.collect()
    gc.disable()
    try:
        for path in sheets:
            check_file(path, engine="walk", algebra=algebra)
        assert 0 == gc.collect()
    finally:
        gc.enable()


@pytest.mark.parametrize("paths", ["*.routine", ["./a0.routine", "wrong.routine"], [Path("a0.routine")]])
def test_paths_are_files_folders_and_patterns(paths: object, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One or several, as text or as paths."""
    fill(tmp_path, sound=1)
    monkeypatch.chdir(tmp_path)

    assert {"a0.routine"} <= {os.path.basename(report.path) for report in check_catalogue(paths).reports}  # type: ignore[arg-type]


def test_paths_that_mean_nothing_are_an_error_only_if_all_do(tmp_path: Path) -> None:
    """An empty folder is an error; beside a sheet, what is not there is a failure of its own."""
    with pytest.raises(NothingFound):
        check_catalogue(tmp_path)
    (sheet,) = fill(tmp_path, sound=1)[:1]
    whole = check_catalogue([sheet, "nowhere.routine"])

    assert (Failure("nowhere.routine", "there is no such file or folder"),) == whole.failures
    assert (1, 2) == (len(whole.reports), whole.exit_status)


def test_a_sheet_at_which_stepcheck_fails_harms_no_other(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is a failure with its reason, and all others have their reports."""
    fill(tmp_path)
    real = workers.pipeline.examine

    def examine(routine: Routine, **options: Any) -> object:
        if routine.path.endswith("a1.routine"):
            raise ZeroDivisionError("no such wall")
        return real(routine, **options)

    monkeypatch.setattr(workers.pipeline, "examine", examine)
    whole = check_catalogue(tmp_path)

    assert [Failure(str(tmp_path / "a1.routine"), "ZeroDivisionError: no such wall")] == list(whole.failures)
    assert 5 == len(whole.reports)


def test_reports_come_in_order_as_soon_as_they_are_due(tmp_path: Path) -> None:
    """`on_report` is told each report, in the order of the result."""
    fill(tmp_path)
    told: list[Report] = []
    whole = check_catalogue(tmp_path, on_report=told.append)

    assert list(whole.reports) == told


def test_a_sheet_may_have_a_budget_of_its_own(tmp_path: Path) -> None:
    """The sheet that is named may cost less than the others, and is undecided."""
    first, *_ = fill(tmp_path, sound=2)
    whole = check_catalogue(tmp_path, engine="walk", budgets={first: 1})

    assert [Verdict.UNDECIDED, Verdict.PROVED] == [report.verdict for report in whole.reports[:2]]


@pytest.mark.parametrize("options", [{"engine": "yices"}, {"readings": "some"}, {"jobs": 0}])
def test_options_that_mean_nothing_are_refused(options: dict[str, object], tmp_path: Path) -> None:
    """Before any sheet is checked, whoever would have checked it."""
    fill(tmp_path)
    with pytest.raises(UnknownOption), ThreadPoolExecutor(1) as executor:
        check_catalogue(tmp_path, executor=executor, **options)  # type: ignore[arg-type]


def test_stopping_hands_over_what_has_come(tmp_path: Path) -> None:
    """Of a run that is stopped, the answers that were not yet due can still be had, in order."""
    paths = fill(tmp_path)
    options = workers.Options("walk")
    crew = Backwards(options)
    run = catalogue.Run(catalogue.Found(tuple(paths)), options, crew)
    with pytest.raises(KeyboardInterrupt):
        list(run)

    assert paths[3:] == [answer.path for answer in run.stop()]


class Backwards(workers.Alone):
    """A crew that answers the last three of six sheets first, and is then interrupted."""

    def __init__(self, options: workers.Options) -> None:
        super().__init__(options)
        self.jobs: list[workers.Job] = []

    def has_room(self) -> bool:
        return True

    def take(self, jobs: workers.Jobs) -> None:
        self.jobs += jobs

    def answers(self, *, patient: bool) -> list[workers.Answer]:
        if not patient:
            return []
        if len(self.jobs) == 3:
            raise KeyboardInterrupt
        return [workers.answer(self.jobs.pop(), workers.Options("walk"))]


def test_the_command_leaves_out_what_the_project_does(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Settings, an ignore file and a pattern on the command line together."""
    fill(tmp_path)
    (tmp_path / "deep").mkdir()
    (tmp_path / "deep" / "b.routine").write_text(SOUND)
    (tmp_path / ".stepcheckignore").write_text("# not yet\nwrong.routine\ndeep/\n")
    (tmp_path / "pyproject.toml").write_text('[tool.stepcheck]\nexclude = ["i*.routine"]\nengine = "walk"\n')
    monkeypatch.chdir(tmp_path)

    assert 3 == cli.main(["check", "--format", "json", "*.routine", "deep"])
    document = json.loads(capsys.readouterr().out)
    assert ["a0.routine", "a1.routine", "a2.routine", "open.routine"] == [one["path"] for one in document["sheets"]]
    assert {"walk"} == {one["engine"] for one in document["sheets"]}
    assert 1 == cli.main(["check", "wrong.routine"])
