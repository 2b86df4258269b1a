"""Helpers stand beside the tests, where any of them can import them.

The examples of the laws are the same on every run, so that a red run is red for whoever looks at it; the nightly run
(`pytest -m nightly --hypothesis-profile=nightly`) runs every law on new ones, and what else is marked nightly.
"""

import os
import sys

import pytest
from hypothesis import settings

from tests.profiles import NIGHTLY, is_nightly

settings.load_profile("same")
# Else each of the hundreds of processes that the tests start compiles the whole package again.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """Let two processes share the whole suite; what is less, or measures speed, has one."""
    whole = config.args_source is pytest.Config.ArgsSource.TESTPATHS and "not bench" in config.option.markexpr
    return 2 if whole else 0


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every law as nightly in the nightly run."""
    for item in items if is_nightly() else ():
        if getattr(getattr(item, "obj", None), "is_hypothesis_test", False):
            item.add_marker(NIGHTLY)
