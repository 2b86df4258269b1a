"""Checks before anybody dances it whether a step-dance routine works: feet, walls and beats.

`load` a sheet, `check` it, read the report; specs/library.md has every name.  The table of names is
`__init__.pyi`, which type checkers read too; nothing heavy is imported before it is needed.
"""

import re

with open(f"{__file__}i", encoding="utf-8") as _table:
    _HOMES = {name: home for home, name in re.findall(r"^from (\S+) import (\w+)", _table.read(), re.MULTILINE)}
__all__ = sorted(_HOMES)


def __getattr__(name):
    """Return a public name from the module that holds it, imported on first use."""
    from importlib import import_module

    if name == "__version__":
        return import_module("stepcheck.report.values").VERSION
    if name not in _HOMES:
        raise AttributeError(f"module 'stepcheck' has no attribute {name!r}")
    value = globals()[name] = getattr(import_module(_HOMES[name]), name)
    return value


def __dir__():
    return sorted([*__all__, "__version__"])
