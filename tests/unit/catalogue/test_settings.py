"""What a project settles."""

from pathlib import Path

import pytest

from stepcheck.catalogue import settings
from stepcheck.catalogue.discovery import sheets
from stepcheck.catalogue.settings import Settings, SettingsError, read
from stepcheck.faces import cli
from stepcheck.model.choices import FORMATS
from stepcheck.report.pipeline import ENGINES, READINGS


def test_without_a_file_everything_is_usual(tmp_path: Path) -> None:
    """No pyproject.toml, or one of others only, settles nothing."""
    (tmp_path / "pyproject.toml").write_text("[tool.other]\nx = 1\n")
    assert Settings() == read(str(tmp_path))


def test_the_nearest_file_with_the_table_counts(tmp_path: Path) -> None:
    """It is looked for in the folder and above; its folder is where patterns and the cache's file start."""
    deep = tmp_path / "deep" / "er"
    deep.mkdir(parents=True)
    (deep / "pyproject.toml").write_text("[project]\nname = 'x'\n")
    (tmp_path / "pyproject.toml").write_text(
        '[tool.stepcheck]\nexclude = ["old/"]\nbudget = 7\njobs = 2\ncache = "c.sqlite"\nreadings = "report"\n'
        '[tool.stepcheck.budgets]\n"big*" = 9\n"bigger.routine" = 10\n'
    )
    found = read(str(deep))
    root = str(tmp_path.resolve())

    assert (("old/",), 7, 2, "report", root) == (found.exclude, found.budget, found.jobs, found.readings, found.root)
    assert f"{root}/c.sqlite" == found.cache
    names = [str(tmp_path / name) for name in ("big.routine", "bigger.routine", "small.routine")]
    assert {names[0]: 9, names[1]: 10} == found.budgets_of(names)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("enigne = 'walk'", "there is no setting 'enigne'; did you mean engine?"),
        ("zzz = 1", "there is no setting 'zzz'; there are exclude,"),
        ("engine = 'yices'", "engine = 'yices': it should be one of walk, z3, both"),
        ("budget = 0", "it should be a number from 1"),
        ("budget = true", "it should be a number from 1"),
        ("jobs = -1", "it should be a number of processes"),
        ("exclude = 'x'", "it should be a list of patterns"),
        ("cache = 3", "it should be true, false or a file"),
        ("verbose = 1", "it should be true or false"),
        ("budgets = {a = 'x'}", "it should be a table of patterns"),
        ("x = ", "cannot be read"),
    ],
)
def test_what_is_no_setting_is_said(text: str, said: str, tmp_path: Path) -> None:
    """An unknown key names the nearest legal one, a wrong value what it should be; the file is named."""
    (tmp_path / "pyproject.toml").write_text(f"[tool.stepcheck]\n{text}\n")
    with pytest.raises(SettingsError) as caught:
        read(str(tmp_path))

    assert said in str(caught.value)
    assert "pyproject.toml" in str(caught.value)


def test_the_command_refuses_a_wrong_setting(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """It exits with 2 and says why, rather than go on as if it were not there."""
    (tmp_path / "pyproject.toml").write_text("[tool.stepcheck]\nformt = 'json'\n")
    (tmp_path / "a.routine").write_text("routine: A\n")
    monkeypatch.chdir(tmp_path)

    assert 2 == cli.main(["check", "a.routine"])
    assert "did you mean format?" in capsys.readouterr().err


def test_the_words_that_a_setting_may_have_are_those_of_the_options() -> None:
    """The tables of engines, readings and formats agree."""
    assert (ENGINES, READINGS, FORMATS) == tuple(settings.CHOICES[key] for key in ("engine", "readings", "format"))


def test_what_is_excluded_is_left_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Patterns count from the root; a file below an ignored folder is out, one that is brought back is in."""
    for name in ("a.routine", "old/b.routine", "old/kept.routine", "x/old/c.routine"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("routine: A\n")
    (tmp_path / "x" / ".stepcheckignore").write_text("old/*\n")
    monkeypatch.chdir(tmp_path / "x")

    assert ("../a.routine",) == sheets([".."], exclude=["/old/"], root="..").sheets
    assert ("../a.routine", "../old/kept.routine") == sheets(
        [".."], exclude=["/old/*", "!kept.routine"], root=".."
    ).sheets
    assert ("../old/b.routine",) == sheets(["../old/b.routine"], exclude=["/old/"], root="..").excluded
    assert ("../a.routine",) == sheets(["../*/*.routine", "../*.routine"], exclude=["/old"], root="..").sheets


@pytest.mark.parametrize(
    ("pattern", "out"),
    [
        ("old/", ["../old/d.routine", "../x/old/c.routine"]),
        ("/old/", ["../x/old/c.routine"]),
        ("c.routine", ["../c.routine", "../x/old/c.routine"]),
    ],
)
def test_a_pattern_of_the_command_counts_from_here(
    pattern: str, out: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In `--exclude` a name holds everywhere, and a path from the current folder, wherever the settings stand."""
    for name in ("c.routine", "old/d.routine", "x/old/c.routine"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("routine: A\n")
    monkeypatch.chdir(tmp_path / "x")
    usual = settings.settings({}, str(tmp_path / "pyproject.toml"))
    found = sheets([".."], exclude=usual.patterns([pattern]), root=usual.root).sheets

    assert out == [name for name in sheets([".."]).sheets if name not in found]


def test_a_pattern_that_fits_nothing_is_said(tmp_path: Path) -> None:
    """It is not passed over in silence."""
    assert (("*.none", "nothing fits this pattern"),) == sheets(["*.none"]).missing


def test_the_page_has_every_setting() -> None:
    """The table of settings in `specs/catalogue.md` has the keys that there are, in their order."""
    page = (Path(__file__).parents[3] / "specs" / "catalogue.md").read_text("utf-8")
    rows = [
        line.split("`")[1]
        for line in page.partition("## Settings")[2].partition("## ")[0].splitlines()
        if "| `" in line
    ]

    assert settings.KEYS == tuple(rows)
