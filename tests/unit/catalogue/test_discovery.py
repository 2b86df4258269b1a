"""Which sheets a row of paths means."""

import os
from pathlib import Path

import pytest

from stepcheck.catalogue.discovery import Found, sheets


@pytest.fixture
def hall(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with sheets, other files and a hidden folder, as the current one."""
    for name in ("b.routine", "a.routine", "notes.txt", "deep/er/c.routine", ".git/d.routine", "a-z/e.routine"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("routine: Weir\n")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_folder_is_every_sheet_below_it(hall: Path) -> None:
    """Sheets of all depths come, sorted by folder; other files and hidden folders don't."""
    assert ("./a-z/e.routine", "./a.routine", "./b.routine", "./deep/er/c.routine") == sheets(["."]).sheets


def test_the_order_and_number_of_the_words_do_not_matter(hall: Path) -> None:
    """The same sheets come in the same order however often and in whatever order they are named."""
    assert sheets(["a.routine", "deep", "b.routine"]) == sheets(["b.routine", "deep", "a.routine", "deep", "a.routine"])


def test_a_file_is_itself_whatever_its_name(hall: Path) -> None:
    """A file that is named is checked, though its name ends in something else; so is stdin."""
    assert ("-", "notes.txt") == sheets(["notes.txt", "-"]).sheets


def test_what_is_not_there_is_named_and_harms_nothing(hall: Path) -> None:
    """A path that leads nowhere is told with its reason; the others are found."""
    found = sheets(["nowhere", "a.routine"])

    assert ("a.routine",) == found.sheets
    assert (("nowhere", "there is no such file or folder"),) == found.missing


def test_links_that_go_round_are_looked_into_once(hall: Path) -> None:
    """Links to a folder are followed; a loop of links ends, and gives no sheet twice."""
    os.symlink(hall, hall / "deep" / "round")
    os.symlink("self", hall / "self")
    (hall / "elsewhere").mkdir()
    os.symlink(hall / "deep", hall / "elsewhere" / "linked")

    found = sheets(["."])

    assert 4 == len(found.sheets) == len(set(map(os.path.realpath, found.sheets)))
    assert () == found.missing


def test_an_empty_folder_has_no_sheets(tmp_path: Path) -> None:
    """A folder without sheets is found to have none, and that is no failure of its own."""
    assert Found(()) == sheets([str(tmp_path)])


def test_what_is_excluded_stays_out_though_it_is_named(hall: Path) -> None:
    """Patterns that are given hold for files that are named, as pre-commit names them; an ignore file does not."""
    (hall / ".stepcheckignore").write_text("b.routine\n")
    found = sheets(["a.routine", "b.routine", "deep/er/c.routine"], exclude=["a.routine", "deep/"])

    assert (("b.routine",), ("a.routine", "deep/er/c.routine"), ()) == (found.sheets, found.excluded, found.missing)
    assert Found((), excluded=("a.routine",)) == sheets(["a.routine"], exclude=["*.routine"])


def test_a_book_is_named_as_what_it_is(hall: Path) -> None:
    """Whoever has a book checked as if it were a sheet is told how books are looked over."""
    (hall / "my club.book").write_text("book: Club\n")
    said = "it is a book of figures, not a sheet; to look it over: stepcheck figures --check 'my club.book'"

    assert (("my club.book", said),) == sheets(["my club.book"]).missing
