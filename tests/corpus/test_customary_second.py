"""Ten more customary descriptions of invented dances, in layouts that the reader of descriptions was not written after.

They measure how far it reads what it has not seen, so it is never tuned to them.
"""

from pathlib import Path

import pytest

import stepcheck as sc

SOURCES = sorted(Path(__file__).with_name("customary_second").glob("*.txt"))


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.stem)
def test_a_layout_that_was_never_seen_loses_nothing(path: Path) -> None:
    """Each line of the source is accounted for, in its order, as what it was read as."""
    text = path.read_text(encoding="utf-8")
    drafted = sc.draft(text)

    assert [line.split() for line in text.splitlines() if line.strip()] == [
        one.text.split() for one in drafted.lines if one.text.strip()
    ]
