"""What a project settles for `stepcheck check`: the table `[tool.stepcheck]` of its `pyproject.toml`."""

import os
from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from attrs import fields, frozen

from stepcheck.catalogue.discovery import ignoring, relative
from stepcheck.model.choices import ENGINES, FORMATS, READINGS, Engine, Format, Reading
from stepcheck.model.source import StepcheckError

FILE = "pyproject.toml"
TABLE = "stepcheck"


class SettingsError(StepcheckError, ValueError):
    """A setting that there is none of, or a value that it cannot have."""


@frozen
class Settings:
    """What a project settles; what the command line says comes first.

    `exclude` are patterns in the manner of `.gitignore`; `budgets` give sheets that fit a pattern a budget of their
    own, later ones before earlier ones; `cache` is a file, True for the usual one, False for none; whether a file may
    be believed is for `cache.is_own`.  Patterns and the file start from the folder `root`.  `jobs` is the number of
    processes, 0 as many as the machine has processors.
    """

    exclude: tuple[str, ...] = ()
    engine: Engine = "both"
    readings: Reading = "usual"
    format: Format = "text"
    budget: int | None = None
    budgets: tuple[tuple[str, int], ...] = ()
    jobs: int = 0
    cache: str | bool = False
    verbose: bool = False
    root: str = ""

    def patterns(self, more: Iterable[str]) -> tuple[str, ...]:
        """Return what is left out, with patterns of the command line, which start from the current folder."""
        if not self.root:
            return (*self.exclude, *more)
        here = relative(os.curdir, self.root)
        return (*self.exclude, *(_moved(pattern, here) for pattern in more))

    def budgets_of(self, sheets: Iterable[str]) -> dict[str, int]:
        """Return the budgets of the sheets that have one of their own, by path."""
        if not self.budgets:
            return {}
        tests = [(ignoring((pattern,)), budget) for pattern, budget in self.budgets]
        root = os.path.realpath(self.root or os.curdir)
        names = {sheet: relative(os.path.realpath(sheet), root) for sheet in sheets}
        return {sheet: budget for sheet, name in names.items() for test, budget in tests if test(name)}


def _moved(pattern: str, folder: str) -> str:
    """Return a pattern that starts from `folder` as one that starts from the folder above, as `.gitignore` reads
    them."""
    sign, bare = ("!", pattern[1:]) if pattern.startswith("!") else ("", pattern)
    if folder == "." or "/" not in bare.rstrip("/"):
        return pattern
    return f"{sign}/{folder}/{bare.lstrip('/')}"


KEYS = tuple(one.name for one in fields(Settings) if one.name != "root")
CHOICES = {"engine": ENGINES, "readings": READINGS, "format": FORMATS}


def read(folder: str = os.curdir) -> Settings:
    """Return what the nearest `pyproject.toml` in or above `folder` that has the table says; else what is usual.

    Raises:
        SettingsError: the file cannot be read, or says something that is no setting.
    """
    here = Path(folder).resolve()
    for path in (str(above / FILE) for above in (here, *here.parents)):
        if os.path.isfile(path) and (table := _table(path)) is not None:
            return settings(table, path)
    return Settings()


def _table(path: str) -> Any:
    import tomllib  # only where there is such a file

    try:
        with open(path, "rb") as file:
            return tomllib.load(file).get("tool", {}).get(TABLE)
    except (OSError, ValueError, AttributeError) as error:
        raise SettingsError(f"{path} cannot be read: {error}") from error


def settings(table: Any, path: str = FILE) -> Settings:
    """Return the settings in a table; `path` is the file that it stands in.

    Raises:
        SettingsError: it says something that is no setting.
    """
    where = f"{path}, [tool.{TABLE}]"
    if not isinstance(table, dict):
        raise SettingsError(f"{where} is not a table")
    for key in table:
        if key not in KEYS:
            near = get_close_matches(key, KEYS, 1)
            hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(KEYS)}"
            raise SettingsError(f"{where}: there is no setting {key!r}; {hint}")
    made: dict[str, Any] = {"root": os.path.dirname(path)}
    for key, value in table.items():
        want = _fault(key, value)
        if want:
            raise SettingsError(f"{where}: {key} = {value!r}: it should be {want}")
        made[key] = tuple(value.items()) if key == "budgets" else tuple(value) if key == "exclude" else value
    if isinstance(made.get("cache"), str):
        made["cache"] = os.path.join(made["root"], made["cache"])
    return Settings(**made)


def _fault(key: str, value: Any) -> str:
    """Return what a setting should be, if it is something else."""
    if key in CHOICES:
        return "" if value in CHOICES[key] else f"one of {', '.join(CHOICES[key])}"
    match key:
        case "exclude":
            fits = isinstance(value, list) and all(isinstance(one, str) for one in value)
            return "" if fits else "a list of patterns"
        case "budget":
            return "" if _number(value, 1) else "a number from 1"
        case "budgets":
            fits = isinstance(value, dict) and all(_number(one, 1) for one in value.values())
            return "" if fits else "a table of patterns, each with a number from 1"
        case "jobs":
            return "" if _number(value, 0) else "a number of processes, 0 for as many as there are processors"
        case "cache":
            return "" if isinstance(value, bool | str) and value != "" else "true, false or a file"
        case _:
            return "" if isinstance(value, bool) else "true or false"


def _number(value: Any, least: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= least
