"""A plugin for pytest: every `*.routine` file is a test, which passes if the sheet is proved.

It collects nothing until it is asked to, by `--stepcheck` or by `stepcheck = true` among pytest's settings.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from stepcheck.model.choices import ENGINES

SUFFIX = ".routine"


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the options and settings."""
    group = parser.getgroup("stepcheck", "step sheets")
    group.addoption("--stepcheck", action="store_true", default=False, help="Check *.routine files as tests.")
    group.addoption(
        "--stepcheck-engine", choices=ENGINES, default=None, help="Who decides; the setting stepcheck_engine, or both."
    )
    parser.addini("stepcheck", "Check *.routine files as tests.", type="bool", default=False)
    parser.addini("stepcheck_engine", "Who decides: walk, z3 or both.", default="both")


def pytest_configure(config: pytest.Config) -> None:
    """Refuse an engine that there is none of before anything is collected.

    Raises:
        UsageError: the setting names no engine.
    """
    engine = config.getini("stepcheck_engine")
    if engine not in ENGINES:
        raise pytest.UsageError(f"stepcheck_engine = {engine}: it should be one of {', '.join(ENGINES)}")


def pytest_collect_file(file_path: Path, parent: pytest.Collector) -> "SheetFile | None":
    """Collect a sheet, if sheets are asked for."""
    config = parent.config
    if file_path.suffix != SUFFIX or not (config.getoption("stepcheck") or config.getini("stepcheck")):
        return None
    return SheetFile.from_parent(parent, path=file_path)


class SheetFailure(Exception):
    """A sheet is not proved; the message is the text of its report."""


class SheetFile(pytest.File):
    """A file that holds one sheet."""

    def collect(self) -> Iterator["SheetItem"]:
        """Yield its one test."""
        yield SheetItem.from_parent(self, name="sheet")


class SheetItem(pytest.Item):
    """The test that every claim of a sheet is proved; it is skipped where nothing but a blank stands in the way."""

    def runtest(self) -> None:
        """Check the sheet.

        Raises:
            SheetFailure: it is not proved.
        """
        from stepcheck.model.outcome import Verdict
        from stepcheck.report.pipeline import check_file
        from stepcheck.report.text import text

        config = self.config
        engine = config.getoption("stepcheck_engine") or config.getini("stepcheck_engine")
        report = check_file(self._named(), engine=engine)
        if report.verdict is Verdict.UNDECIDED and all(claim.reason in ("", "blank") for claim in report.claims):
            pytest.skip("undecided: it waits on a blank")
        if report.exit_status:
            worst = min(report.diagnostics, key=lambda one: (-one.code.severity, one.sort_key), default=None)
            raise SheetFailure("\n".join([*([worst.message] if worst else []), text((report,))]))

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException], style: Any = None) -> Any:
        """Return the text of the report, or what any other failure looks like."""
        if isinstance(excinfo.value, SheetFailure):
            return str(excinfo.value).rstrip()
        return super().repr_failure(excinfo, style)

    def reportinfo(self) -> tuple[Path, int, str]:
        """Return where the test stands and what it is called."""
        return self.path, 0, f"sheet {self._named()}"

    def _named(self) -> str:
        """Return the path as somebody would write it, from the folder that pytest was started in."""
        invoked = self.config.invocation_params.dir
        return str(self.path.relative_to(invoked) if self.path.is_relative_to(invoked) else self.path)
