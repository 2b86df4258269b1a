"""Answers that are kept."""

import json
import os
import sqlite3
from pathlib import Path

import pytest

from stepcheck.catalogue import cache as caches
from stepcheck.catalogue import evidence, workers
from stepcheck.catalogue.cache import Cache, NotACache
from stepcheck.catalogue.run import check_catalogue
from stepcheck.faces import cli
from stepcheck.model.outcome import Verdict
from tests.halls import BOOK, ILL, OWN, fill


@pytest.fixture
def hall(tmp_path: Path) -> Path:
    """A folder with six sheets, one of them undecided."""
    fill(tmp_path / "hall")
    return tmp_path / "hall"


def checks(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Return a list that grows by the path of each sheet that is checked."""
    asked: list[str] = []
    real = workers.pipeline.examine

    def examine(routine: object, **options: object) -> object:
        asked.append(os.path.basename(routine.path))  # type: ignore[attr-defined]
        return real(routine, **options)  # type: ignore[arg-type]

    monkeypatch.setattr(workers.pipeline, "examine", examine)
    return asked


def test_what_is_kept_is_not_checked_again(hall: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second time the reports are the same, and only the undecided sheet, which is not kept, is checked."""
    asked = checks(monkeypatch)
    file = tmp_path / "kept" / "answers.sqlite"
    first = check_catalogue(hall, cache=file)
    del asked[:]
    second = check_catalogue(hall, cache=file)

    assert (first, 0, 5) == (second, first.remembered, second.remembered)
    assert ["open.routine"] == asked


@pytest.mark.parametrize(
    ("options", "again"),
    [({"engine": "walk"}, 6), ({"readings": "all"}, 6), ({"budget": 10_000_000}, 6), ({"budgets": {"x": 1}}, 1)],
)
def test_another_question_has_another_answer(
    options: dict[str, object], again: int, hall: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Engine, readings and budget are part of what is looked up."""
    check_catalogue(hall, cache=tmp_path / "a.sqlite")
    asked = checks(monkeypatch)
    check_catalogue(hall, cache=tmp_path / "a.sqlite", **options)  # type: ignore[arg-type]

    assert again == len(asked)


def test_a_changed_sheet_is_checked_again(hall: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One byte is enough, were it in a comment; so is another path."""
    check_catalogue(hall, cache=tmp_path / "a.sqlite")
    (hall / "a1.routine").write_text((hall / "a1.routine").read_text() + "#\n")
    (hall / "a2.routine").rename(hall / "a3.routine")
    asked = checks(monkeypatch)
    check_catalogue(hall, cache=tmp_path / "a.sqlite")

    assert ["a1.routine", "a3.routine", "open.routine"] == asked


def test_another_program_has_another_answer(hall: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What other versions of stepcheck, z3 or Python have found is not believed."""
    check_catalogue(hall, cache=tmp_path / "a.sqlite")
    asked = checks(monkeypatch)
    monkeypatch.setattr(caches, "program_digest", lambda: b"another")
    check_catalogue(hall, cache=tmp_path / "a.sqlite")

    assert 6 == len(asked)


def test_a_changed_book_beside_the_sheet_counts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A verdict depends on the club's own books, so it is found again when one of them changes, and not otherwise."""
    (tmp_path / "own.routine").write_text(OWN)
    (tmp_path / "weir.book").write_text(BOOK)
    file = tmp_path / "a.sqlite"

    assert [Verdict.PROVED] == [one.verdict for one in check_catalogue(tmp_path, cache=file).reports]
    asked = checks(monkeypatch)
    assert 1 == check_catalogue(tmp_path, cache=file).remembered
    (tmp_path / "weir.book").write_text(BOOK.replace("4 beats: DS DS RS RS", "3 beats: DS DS RS"))
    assert [Verdict.REFUTED] == [one.verdict for one in check_catalogue(tmp_path, cache=file).reports]
    assert ["own.routine"] == asked


def test_a_book_that_comes_later_is_seen(tmp_path: Path) -> None:
    """A sheet that is ill-formed because its book is not there is not kept so."""
    (tmp_path / "own.routine").write_text(OWN)
    file = tmp_path / "a.sqlite"
    assert [Verdict.ILL_FORMED] == [one.verdict for one in check_catalogue(tmp_path, cache=file).reports]
    (tmp_path / "weir.book").write_text(BOOK)

    assert [Verdict.PROVED] == [one.verdict for one in check_catalogue(tmp_path, cache=file).reports]


@pytest.mark.parametrize("size", [0, 10, 100, 4096])
@pytest.mark.parametrize("noise", [b"\xff", b"\x00", b"no data base"])
def test_a_damaged_file_is_set_aside(
    size: int, noise: bytes, hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever is written over it, the answers are right, a warning is given, and the next run has a new file."""
    file = tmp_path / "a.sqlite"
    words = ["check", "--cache-file", str(file), "--format", "json", str(hall)]
    cli.main(words)
    right = capsys.readouterr().out
    whole = file.read_bytes()
    file.write_bytes(whole[:size] + noise * (max(0, len(whole) - size) // len(noise)))
    cli.main(words)
    out, err = capsys.readouterr()

    assert right == out
    assert "set aside" in err and (tmp_path / "a.sqlite.damaged").exists()
    cli.main(words)
    assert (right, True) == ((again := capsys.readouterr()).out, "set aside" not in again.err)


def change(file: Path, old: str, new: str) -> int:
    """Change `old` to `new` in the reports that are kept, and return in how many."""
    with sqlite3.connect(file) as base:
        sql = "update answers set report = replace(report, ?, ?) where instr(report, ?)"
        changed = base.execute(sql, (old, new, old)).rowcount
    base.close()
    return changed


def test_an_answer_that_was_changed_is_not_believed(hall: Path, tmp_path: Path) -> None:
    """The seal of each answer shows a change, and the sheet is checked again."""
    right = check_catalogue(hall, cache=tmp_path / "a.sqlite")
    assert 4 == change(tmp_path / "a.sqlite", '"verdict":"proved"', '"verdict":"vacuous"')
    told: list[str] = []
    with Cache(tmp_path / "a.sqlite", say=told.append) as cache:
        again = check_catalogue(hall, cache=cache)

    assert (right, 1) == (again, again.remembered)
    assert 4 == len(told) and "damaged" in told[0]


def forge(file: Path, old: str, new: str, dances: str) -> None:
    """Change the one answer that is kept, with a seal that fits."""
    with sqlite3.connect(file) as base:
        ((report, books, key),) = base.execute("select report, books, key from answers").fetchall()
        lie = report.replace(old, new)
        assert lie != report
        seal = caches._seal(key, lie, books, dances)
        base.execute("update answers set report = ?, dances = ?, seal = ?", (lie, dances, seal))
    base.close()


@pytest.mark.parametrize("dance", ["[[], null, null, []]", "[[], 7, 0, []]", '[[["lead", 0]], null, null, []]', "[[]]", "3"])
def test_a_refutation_is_danced_again(dance: str, hall: Path, tmp_path: Path) -> None:
    """A refutation that was put in place of a proof, seal and all, is found out; nothing that was kept is believed."""
    right = check_catalogue(hall / "a0.routine", cache=tmp_path / "a.sqlite")
    ids = [claim.id for claim in right.reports[0].claims]
    dances = json.dumps({one: "dance" for one in ids}).replace('"dance"', f"[{dance}]")
    forge(tmp_path / "a.sqlite", '"verdict":"proved"', '"verdict":"refuted"', dances)
    told: list[str] = []
    with Cache(tmp_path / "a.sqlite", say=told.append) as cache:
        assert right == check_catalogue(hall / "a0.routine", cache=cache)

    assert ["nothing that was kept is believed any more"] == [said.split("; ")[-1] for said in told]
    assert (tmp_path / "a.sqlite.damaged").exists()


def test_proofs_are_walked_again_on_the_spot(hall: Path, tmp_path: Path) -> None:
    """With `spot=1` every proof is walked again, and a wrong one, seal and all, is found out."""
    path = hall / "wrong.routine"
    right = check_catalogue(path, cache=tmp_path / "a.sqlite")
    forge(tmp_path / "a.sqlite", '"verdict":"refuted"', '"verdict":"proved"', "")
    told: list[str] = []
    with Cache(tmp_path / "a.sqlite", say=told.append, spot=1) as cache:
        assert right == check_catalogue(path, cache=cache)

    assert "was kept with another verdict than the walk gives" in told[0]


def test_every_kind_of_decision_comes_back() -> None:
    """The dances that refute are kept with all that they decide."""
    from stepcheck.model.dance import Foot, Weight
    from stepcheck.model.outcome import End, Fill, Lead, Pick, Run, Trace

    inner = (Pick(2), Lead(Foot.RIGHT), Fill(None, 3), Fill(Weight.BOTH, 0), End(True), End(False))
    trace = Trace((Run(10**9, inner), *inner), -1, Weight.LEFT, (0, 3))

    assert trace == evidence._read(json.loads(json.dumps(evidence._written(trace))))


def test_a_file_that_is_something_else_is_not_touched(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A sheet or a strange data base named by mistake is refused, and stays as it is."""
    sheet = tmp_path / "a.routine"
    sheet.write_text(ILL)
    with sqlite3.connect(tmp_path / "other.db") as base:
        base.execute("pragma application_id = 5")
        base.execute("create table answers (x)")
    base.close()

    for name in ("a.routine", "other.db"):
        before = (tmp_path / name).read_bytes()
        assert 2 == cli.main(["check", "--cache-file", str(tmp_path / name), str(sheet)])
        assert "is not a file of answers" in capsys.readouterr().err
        assert before == (tmp_path / name).read_bytes()
    with pytest.raises(NotACache):
        Cache(tmp_path)


def test_a_place_where_nothing_can_be_kept_changes_no_answer(
    hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file whose folder cannot be made is said, and the sheets are checked all the same."""
    (tmp_path / "file").write_text("")
    assert 1 == cli.main(["check", "--cache-file", str(tmp_path / "file" / "in" / "a.sqlite"), str(hall)])
    assert "answers cannot be kept" in capsys.readouterr().err


def test_an_older_layout_is_begun_anew(hall: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file of another schema is emptied, without a word."""
    told: list[str] = []
    check_catalogue(hall, cache=tmp_path / "a.sqlite")
    monkeypatch.setattr(caches, "SCHEMA", 99)
    with Cache(tmp_path / "a.sqlite", say=told.append) as cache:
        assert 0 == check_catalogue(hall, cache=cache).remembered
    with Cache(tmp_path / "a.sqlite", say=told.append) as cache:
        assert 5 == check_catalogue(hall, cache=cache).remembered

    assert [] == told


def test_more_than_enough_is_dropped(hall: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file does not grow for ever."""
    monkeypatch.setattr(caches, "MOST", 2)
    check_catalogue(hall, cache=tmp_path / "a.sqlite")

    with sqlite3.connect(tmp_path / "a.sqlite") as base:
        assert (3,) == base.execute("select count(*) from answers").fetchone()
    base.close()


def test_two_at_once_share_what_they_find(hall: Path, tmp_path: Path) -> None:
    """While one has the file open, another writes to it and reads from it."""
    with Cache(tmp_path / "a.sqlite") as one, Cache(tmp_path / "a.sqlite") as other:
        assert 0 == check_catalogue(hall, cache=one).remembered
        assert 5 == check_catalogue(hall, cache=other).remembered


def test_the_usual_file_lies_where_caches_lie(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """`--cache` and `cache=True` use one file for all projects of a user, not one in the project."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    monkeypatch.setattr("sys.platform", "linux")
    assert str(tmp_path / "stepcheck" / "answers.sqlite") == caches.default_file()

    sheet = fill(tmp_path / "hall", sound=1)[0]
    assert 0 == cli.main(["check", "--cache", sheet])
    assert 1 == check_catalogue(sheet, cache=True).remembered
    (tmp_path / "stepcheck" / "answers.sqlite").unlink()
    assert 0 == cli.main(["check", "--no-cache", sheet])
    assert not (tmp_path / "stepcheck" / "answers.sqlite").exists()
