"""Answers that are kept."""

import json
import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
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


@pytest.mark.parametrize("size", [100, 4096])
@pytest.mark.parametrize("noise", [b"\xff", b"\x00", b"no data base"])
def test_a_damaged_file_is_set_aside(
    size: int, noise: bytes, hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The answers are right, a warning is given, the next run has a new file, and what is set aside stays as it was
    found."""
    file = tmp_path / "a.sqlite"
    words = ["check", "--cache-file", str(file), "--format", "json", str(hall)]
    cli.main(words)
    right = capsys.readouterr().out
    found = []
    for number in ("", "-2", "-3"):
        whole = file.read_bytes()
        found.append(whole[:size] + noise * (max(0, len(whole) - size) // len(noise)) + number.encode())
        file.write_bytes(found[-1])
        cli.main(words)
        out, err = capsys.readouterr()

        assert right == out
        assert "set aside" in err and (tmp_path / f"a.sqlite.damaged{number}").exists()
        cli.main(words)
        assert (right, True) == ((again := capsys.readouterr()).out, "set aside" not in again.err)
    assert found == [(tmp_path / f"a.sqlite.damaged{number}").read_bytes() for number in ("", "-2", "-3")]


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
    assert 4 == change(tmp_path / "a.sqlite", '"PROVED"', '"VACUOUS"')
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


@pytest.mark.parametrize(
    "dance", ["[[], null, null, []]", "[[], 7, 0, []]", '[[[1, "LEFT"]], null, null, []]', "[[]]", "3"]
)
def test_a_refutation_is_danced_again(dance: str, hall: Path, tmp_path: Path) -> None:
    """A refutation that was put in place of a proof, seal and all, is found out; nothing that was kept is believed."""
    right = check_catalogue(hall / "a0.routine", cache=tmp_path / "a.sqlite")
    ids = [claim.id for claim in right.reports[0].claims]
    dances = json.dumps([[one, "dance"] for one in ids]).replace('"dance"', f"[{dance}]")
    forge(tmp_path / "a.sqlite", '"PROVED"', '"REFUTED"', dances)
    told: list[str] = []
    with Cache(tmp_path / "a.sqlite", say=told.append) as cache:
        assert right == check_catalogue(hall / "a0.routine", cache=cache)

    assert ["nothing that was kept is believed any more"] == [said.split("; ")[-1] for said in told]
    assert (tmp_path / "a.sqlite.damaged").exists()


def test_proofs_are_walked_again_on_the_spot(hall: Path, tmp_path: Path) -> None:
    """With `spot=1` every proof is walked again, and a wrong one, seal and all, is found out."""
    path = hall / "wrong.routine"
    right = check_catalogue(path, cache=tmp_path / "a.sqlite")
    forge(tmp_path / "a.sqlite", '"REFUTED"', '"PROVED"', "")
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

    assert trace == evidence._value(Trace, evidence._text(Trace, trace))


def test_a_field_is_kept_unless_it_and_all_behind_it_are_as_usual() -> None:
    """What is not written comes back as the default, what stands before another value as itself."""
    from stepcheck.model.outcome import Trace

    for trace, text in ((Trace(), "[]"), (Trace(words=(1,)), "[[],null,null,[1]]")):
        assert text == evidence._text(Trace, trace) and trace == evidence._value(Trace, text)


def strange(folder: Path) -> dict[str, Path]:
    """Make files that are no cache of ours, each of which somebody may have named by mistake."""
    made = {name: folder / name for name in ("a.routine", "notes.sqlite", "short.sqlite", "torn.sqlite")}
    made["a.routine"].write_text(ILL)
    made["notes.sqlite"].write_text("not a data base\n" * 1000)
    Cache(folder / "torn.sqlite").close()
    whole = made["torn.sqlite"].read_bytes()
    made["torn.sqlite"].write_bytes(b"torn" + whole[4:])
    made["short.sqlite"].write_bytes(whole[:90])
    for name, sql in {
        "other.sqlite": "pragma application_id = 5; create table answers (x)",
        "unmarked.sqlite": "create table answers (key, report); insert into answers values (1, 2)",
        "marked.sqlite": "pragma application_id = 5",
        "begun.sqlite": f"pragma user_version = {caches.SCHEMA}",
        "logged.sqlite": "pragma journal_mode = wal",
        "older.sqlite": f"pragma application_id = {caches.MARK}; pragma user_version = 99; create table answers (x)",
    }.items():
        made[name] = folder / name
        with closing(sqlite3.connect(made[name])) as base:
            base.executescript(f"{sql}; ")
    (folder / "logged.sqlite-wal").write_bytes(b"what another program has not put away yet")
    return made


def test_a_file_that_is_something_else_is_not_touched(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A sheet, a data base of another program or of another layout: refused, and it stays as it is, byte for byte."""
    made = strange(tmp_path)
    sheet = str(made["a.routine"])
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}

    for path in made.values():
        assert 2 == cli.main(["check", "--cache-file", str(path), sheet])
        said = capsys.readouterr().err
        assert path.name in said and "is left alone; name another file" in said
    assert before == {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    with pytest.raises(NotACache, match="is not a plain file"):
        Cache(tmp_path)


@pytest.mark.skipif(os.name != "posix", reason="pipes of POSIX")
def test_a_pipe_is_no_cache(tmp_path: Path) -> None:
    """Nothing waits for somebody to write into it."""
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(NotACache, match="is not a plain file"):
        Cache(tmp_path / "pipe")


@pytest.mark.parametrize("sql", [None, "", "vacuum", "create table x (y); drop table x", "pragma journal_mode = wal"])
def test_an_empty_file_is_a_new_one(sql: str | None, hall: Path, tmp_path: Path) -> None:
    """A file without a byte, and a data base in which there is nothing, become a cache."""
    file = tmp_path / "a.sqlite"
    file.touch()
    if sql is not None:
        with closing(sqlite3.connect(file)) as base:
            base.executescript(sql)
    assert 0 == check_catalogue(hall, cache=file).remembered
    assert 5 == check_catalogue(hall, cache=file).remembered


def test_what_comes_into_being_meanwhile_is_not_touched(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A data base that another program fills between the look and the opening is seen, and nothing in it is changed."""
    strange(tmp_path)
    monkeypatch.setattr(caches, "_stranger", lambda path: "")
    with pytest.raises(NotACache, match="has become something else"):
        Cache(tmp_path / "unmarked.sqlite")
    with closing(sqlite3.connect(tmp_path / "unmarked.sqlite")) as base:
        assert [(1, 2)] == base.execute("select * from answers").fetchall()


def test_in_the_own_folder_what_is_strange_is_set_aside(
    hall: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """There nobody else has a file; so one of an older layout, or one that was torn, does not stop a run for ever."""
    monkeypatch.setattr(caches, "default_file", lambda: str(tmp_path / "own" / "answers.sqlite"))
    made = strange(tmp_path)
    (tmp_path / "own").mkdir()
    for number, name in enumerate(("older.sqlite", "torn.sqlite", "notes.sqlite"), 1):
        whole = made[name].read_bytes()
        (tmp_path / "own" / "answers.sqlite").write_bytes(whole)
        assert 1 == cli.main(["check", "--cache", str(hall)])
        assert "set aside, and a new one is begun" in capsys.readouterr().err
        aside = tmp_path / "own" / f"answers.sqlite.damaged{f'-{number}' if number > 1 else ''}"
        assert whole == aside.read_bytes()
        assert 5 == check_catalogue(hall, cache=True).remembered


# -- whose cache is believed -----------------------------------------------------------------------------------------


@pytest.fixture
def shipped(hall: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository that ships a cache in which a wrong sheet is proved, seal and all, and settings that name it."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "mine"))
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.delenv("STEPCHECK_CACHE_FILE", raising=False)
    monkeypatch.chdir(hall)
    (hall / "pyproject.toml").write_text('[tool.stepcheck]\ncache = "answers.sqlite"\n')
    assert 1 == cli.main(["check", "wrong.routine", "--cache-file", "answers.sqlite"])
    forge(hall / "answers.sqlite", '"REFUTED"', '"PROVED"', "")
    monkeypatch.setattr(Cache, "__init__", trusting(Cache.__init__))
    return hall / "answers.sqlite"


def trusting(real: Callable[..., None]) -> Callable[..., None]:
    """Return a beginning of a cache that walks no proof again, so that a test does not hang on which one it would
    be."""
    return lambda self, path, **more: real(self, path, **{**more, "spot": 1 << 60})


def test_a_cache_that_a_repository_ships_is_not_believed(shipped: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Settings that name a cache outside the user's own folder are not followed, and what to write is said."""
    before = shipped.read_bytes()
    capsys.readouterr()
    assert 1 == cli.main(["check", "wrong.routine"])
    said = capsys.readouterr().err

    assert "is not used" in said and f"--cache-file {shipped}" in said and "STEPCHECK_CACHE_FILE" in said
    assert before == shipped.read_bytes()
    assert 1 == cli.main(["check", "wrong.routine", "--cache"])
    assert (shipped.parents[1] / "mine" / "stepcheck" / "answers.sqlite").exists()


def test_a_cache_is_believed_where_its_user_asks_for_it(
    shipped: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The command line or the environment names it; `--no-cache` has the last word."""
    assert 0 == cli.main(["check", "wrong.routine", "--cache-file", "answers.sqlite"])
    monkeypatch.setenv("STEPCHECK_CACHE_FILE", str(shipped))
    assert 0 == cli.main(["check", "wrong.routine"])
    capsys.readouterr()
    assert 1 == cli.main(["check", "wrong.routine", "--no-cache"])
    assert "is not used" not in capsys.readouterr().err


def test_settings_may_name_a_cache_in_the_own_folder(shipped: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A name there is followed, links counting as what they lead to; one beside the folder is not."""
    own = shipped.parents[1] / "mine" / "stepcheck"
    own.mkdir(parents=True)
    (own / "link.sqlite").symlink_to(shipped)
    for name, used in (("club.sqlite", True), ("../beside.sqlite", False), ("link.sqlite", False)):
        (shipped.parent / "pyproject.toml").write_text(f'[tool.stepcheck]\ncache = "{own / name}"\n')
        capsys.readouterr()
        assert 1 == cli.main(["check", "wrong.routine"])
        assert used is ("is not used" not in capsys.readouterr().err)
    assert {"club.sqlite", "link.sqlite"} == set(os.listdir(own))


def test_a_cache_home_that_is_not_absolute_is_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    """A repository is not to hold the user's cache folder (XDG Base Directory Specification: such paths are
    invalid)."""
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", "here")

    assert os.path.join(os.path.expanduser("~"), ".cache", "stepcheck", "answers.sqlite") == caches.default_file()


def test_a_place_where_nothing_can_be_kept_changes_no_answer(
    hall: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file whose folder cannot be made is said, and the sheets are checked all the same."""
    (tmp_path / "file").write_text("")
    assert 1 == cli.main(["check", "--cache-file", str(tmp_path / "file" / "in" / "a.sqlite"), str(hall)])
    assert "answers cannot be kept" in capsys.readouterr().err


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
