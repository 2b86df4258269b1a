"""Completion of words in a shell, asked for as click's script for bash does."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

SHEET = (
    "book: clogging\npart Verse: 4 beats\n  Triple\npart Last Verse: 4 beats\n  Triple\ndance:\n  Verse\n  Last Verse\n"
)


def offered(folder: Path, *words: str, shell: str = "bash") -> list[str]:
    """Return what is offered for the last word."""
    asked = {
        "_STEPCHECK_COMPLETE": f"{shell}_complete",
        "COMP_WORDS": " ".join(["stepcheck", *words]),
        "COMP_CWORD": str(len(words)),
    }
    command = [sys.executable, "-c", "import sys; from stepcheck.faces.cli import main; sys.exit(main())"]
    done = subprocess.run(command, env={**os.environ, **asked}, cwd=folder, capture_output=True, text=True, check=False)
    assert "" == done.stderr
    return [line.partition(",")[2] for line in done.stdout.splitlines() if "," in line]


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["figures", "Fancy"], [r"Fancy\ Double"]),
        (["break", "--wanted", "push"], ["Push-off"]),
        (["break", "--book", ""], ["clogging", "line", "club.book"]),
        (["break", "--book", "club.book", "--unwanted", "Weir"], [r"Weir\ Step"]),
        (["figures", "--book", "club.book", "--level", "w"], [r"wet\ in\ weir"]),
        (["repair", "a.routine", "--keep", ""], ["Verse", r"Last\ Verse"]),
        (["break", "a.routine", "--after", "L"], [r"Last\ Verse"]),
        (["break", "gone.routine", "--after", ""], []),
        (["explain", "SR60"], ["SR601", "SR602"]),
        (["explain", "foot-"], ["foot-not-free"]),
    ],
)
def test_names_are_offered(words: list[str], expected: list[str], tmp_path: Path) -> None:
    """Figures, books, levels, parts and codes are completed, in a way that bash takes as one word."""
    (tmp_path / "a.routine").write_text(SHEET)
    (tmp_path / "club.book").write_text(
        "book: Club\non top of: clogging\n\nlevels:\n  weir: wet\n\nfigures:\n  Weir Step, 1 beat: DS\n    level: wet in weir\n"
    )

    assert expected == offered(tmp_path, *words)
