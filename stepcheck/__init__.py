"""Checks before anybody dances it whether a step-dance routine works: feet, walls and beats.

`load` a sheet, `check` it, read the report.  Nothing heavy is imported before it is needed.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from stepcheck.alike import lint_book, same_as
    from stepcheck.breaks import Break, Breaks, find_breaks
    from stepcheck.endings import break_after, find_endings
    from stepcheck.cards import Card, card
    from stepcheck.catalogue import Catalogue, check_catalogue
    from stepcheck.elaborate import Routine
    from stepcheck.fills import Fill, Filled, fill
    from stepcheck.impacts import Change, impact
    from stepcheck.leanings import Hang, Leaning, Visit
    from stepcheck.model import Foot, Weight
    from stepcheck.outcome import Outcome, Trace, Verdict
    from stepcheck.pipeline import check, check_file, check_text, load, loads, script
    from stepcheck.repairs import Fix, Repairs, repair
    from stepcheck.report import ClaimReport, Report
    from stepcheck.source import SourceError, StepcheckError
    from stepcheck.states import State

_HOMES = {
    "Break": "breaks",
    "Breaks": "breaks",
    "Card": "cards",
    "Catalogue": "catalogue",
    "Change": "impacts",
    "ClaimReport": "report",
    "Fill": "fills",
    "Filled": "fills",
    "Fix": "repairs",
    "Foot": "model",
    "Hang": "leanings",
    "Leaning": "leanings",
    "Outcome": "outcome",
    "Repairs": "repairs",
    "Report": "report",
    "Routine": "elaborate",
    "SourceError": "source",
    "State": "states",
    "StepcheckError": "source",
    "Trace": "outcome",
    "Verdict": "outcome",
    "Visit": "leanings",
    "Weight": "model",
    "card": "cards",
    "break_after": "endings",
    "check": "pipeline",
    "check_catalogue": "catalogue",
    "check_file": "pipeline",
    "check_text": "pipeline",
    "fill": "fills",
    "find_breaks": "breaks",
    "find_endings": "endings",
    "impact": "impacts",
    "lint_book": "alike",
    "load": "pipeline",
    "loads": "pipeline",
    "repair": "repairs",
    "same_as": "alike",
    "script": "pipeline",
}

__all__ = [
    "Break",
    "Breaks",
    "Card",
    "Catalogue",
    "Change",
    "ClaimReport",
    "Fill",
    "Filled",
    "Fix",
    "Foot",
    "Hang",
    "Leaning",
    "Outcome",
    "Repairs",
    "Report",
    "Routine",
    "SourceError",
    "State",
    "StepcheckError",
    "Trace",
    "Verdict",
    "Visit",
    "Weight",
    "card",
    "break_after",
    "check",
    "check_catalogue",
    "check_file",
    "check_text",
    "fill",
    "find_breaks",
    "find_endings",
    "impact",
    "lint_book",
    "load",
    "loads",
    "repair",
    "same_as",
    "script",
]


def __getattr__(name: str) -> Any:
    """Return a public name from the module that holds it, imported on first use."""
    if name == "__version__":
        from stepcheck.release import VERSION

        return VERSION
    if name not in _HOMES:
        raise AttributeError(f"module 'stepcheck' has no attribute {name!r}")
    value = globals()[name] = getattr(import_module(f"stepcheck.{_HOMES[name]}"), name)
    return value


def __dir__() -> list[str]:
    return sorted([*__all__, "__version__"])
