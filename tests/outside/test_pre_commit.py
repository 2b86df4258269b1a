"""The hooks for pre-commit, as its page "Creating new hooks" describes the file."""

import re
import shlex
import subprocess
import sysconfig
from pathlib import Path

import pytest
import yaml

HOOKS = {
    hook["id"]: hook for hook in yaml.safe_load((Path(__file__).parents[2] / ".pre-commit-hooks.yaml").read_text())
}
GOOD = "routine: Alder Reel\nbook: clogging\n\npart Verse: 4 beats\n  Triple\n\ndance:\n  Verse\n"
REFUTED = GOOD.replace("4 beats", "8 beats")
UNTIDY = GOOD.replace("  Triple", "    Triple")


def run(hook: str, text: str, folder: Path) -> tuple[int, str]:
    """Run a hook's entry on a sheet, as pre-commit does: the words of the entry, then the files."""
    (folder / "x.routine").write_text(text)
    command, *words = shlex.split(HOOKS[hook]["entry"])
    path = str(Path(sysconfig.get_path("scripts")) / command)
    done = subprocess.run([path, *words, "x.routine"], cwd=folder, capture_output=True, text=True, timeout=120)
    return done.returncode, done.stdout


def test_hooks_have_what_pre_commit_needs() -> None:
    """Every hook has the keys that must be there, is installed as Python, and takes sheets and nothing else."""
    assert ["stepcheck", "stepcheck-format"] == list(HOOKS)
    for hook in HOOKS.values():
        assert {"id", "name", "entry", "language", "files"} <= set(hook)
        assert "python" == hook["language"]
        assert re.search(hook["files"], "specs/x.routine") and not re.search(hook["files"], "x.routine.bak")


@pytest.mark.parametrize(
    ("hook", "text", "status"),
    [("stepcheck", GOOD, 0), ("stepcheck", REFUTED, 1), ("stepcheck-format", GOOD, 0), ("stepcheck-format", UNTIDY, 1)],
)
def test_a_hook_stops_a_commit_exactly_if_something_is_wrong(hook: str, text: str, status: int, tmp_path: Path) -> None:
    """A sound sheet passes, a refuted one and an untidy one don't; no hook changes a sheet."""
    found, _ = run(hook, text, tmp_path)

    assert (status, text) == (found, (tmp_path / "x.routine").read_text())


def test_a_hook_says_where(tmp_path: Path) -> None:
    """What stops a commit is said in a line with its place."""
    assert run("stepcheck", REFUTED, tmp_path)[1].startswith("x.routine:4:1: SR505 refuted: Verse should last 8 beats")
