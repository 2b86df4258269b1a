"""Checks before anybody dances it whether a step-dance routine works: feet, walls and beats.

`load` a sheet, `check` it, read the report.  Nothing heavy is imported before it is needed.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from stepcheck.books.alike import lint_book, same_as
    from stepcheck.books.cards import Card, card
    from stepcheck.breaks.breaks import Break, Breaks, find_breaks
    from stepcheck.breaks.endings import break_after, find_endings
    from stepcheck.breaks.fill import Fill, Filled, fill
    from stepcheck.breaks.states import State
    from stepcheck.catalogue.impacts import Change, impact
    from stepcheck.catalogue.run import Catalogue, check_catalogue
    from stepcheck.drafts.draft import Draft, Drafted, draft
    from stepcheck.fixes.fix import Fix, Repairs, repair
    from stepcheck.model.dance import Foot, Weight
    from stepcheck.model.outcome import Outcome, Trace, Verdict
    from stepcheck.model.source import SourceError, StepcheckError
    from stepcheck.program.routine import Routine
    from stepcheck.report.leanings import Hang, Leaning, Visit
    from stepcheck.report.pipeline import check, check_file, check_text, load, loads, script
    from stepcheck.report.values import ClaimReport, Report

_HOMES = {
    "Break": "breaks.breaks",
    "Breaks": "breaks.breaks",
    "Card": "books.cards",
    "Catalogue": "catalogue.run",
    "Change": "catalogue.impacts",
    "ClaimReport": "report.values",
    "Draft": "drafts.draft",
    "Drafted": "drafts.draft",
    "Fill": "breaks.fill",
    "Filled": "breaks.fill",
    "Fix": "fixes.fix",
    "Foot": "model.dance",
    "Hang": "report.leanings",
    "Leaning": "report.leanings",
    "Outcome": "model.outcome",
    "Repairs": "fixes.fix",
    "Report": "report.values",
    "Routine": "program.routine",
    "SourceError": "model.source",
    "State": "breaks.states",
    "StepcheckError": "model.source",
    "Trace": "model.outcome",
    "Verdict": "model.outcome",
    "Visit": "report.leanings",
    "Weight": "model.dance",
    "card": "books.cards",
    "break_after": "breaks.endings",
    "check": "report.pipeline",
    "check_catalogue": "catalogue.run",
    "check_file": "report.pipeline",
    "check_text": "report.pipeline",
    "draft": "drafts.draft",
    "fill": "breaks.fill",
    "find_breaks": "breaks.breaks",
    "find_endings": "breaks.endings",
    "impact": "catalogue.impacts",
    "lint_book": "books.alike",
    "load": "report.pipeline",
    "loads": "report.pipeline",
    "repair": "fixes.fix",
    "same_as": "books.alike",
    "script": "report.pipeline",
}

__all__ = [
    "Break",
    "Breaks",
    "Card",
    "Catalogue",
    "Change",
    "ClaimReport",
    "Draft",
    "Drafted",
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
    "draft",
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
        from stepcheck.report.release import VERSION

        return VERSION
    if name not in _HOMES:
        raise AttributeError(f"module 'stepcheck' has no attribute {name!r}")
    value = globals()[name] = getattr(import_module(f"stepcheck.{_HOMES[name]}"), name)
    return value


def __dir__() -> list[str]:
    return sorted([*__all__, "__version__"])
