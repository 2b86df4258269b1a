"""A dance laid out anew as it is printed: text for people, and values for programs."""

from fractions import Fraction
from typing import Any

from stepcheck.floor.fit import Fitted
from stepcheck.formats.cautions import caution_text, cautions
from stepcheck.model.dance import TICKS
from stepcheck.report.json import TOOL, sheet_value

SCHEMA = "stepcheck-fit-1"


def fitted_text(found: Fitted) -> str:
    """Return the changes to the sheet, where breaks and restarts stand, what is known of better layouts, the whole
    report after the changes, and the cautions."""
    if found.report is None:
        return f"none: {found.reason}\n"
    places = "".join(f"  {place}\n" for place in found.places)
    diff = f"{found.diff}\n" if found.diff else "the sheet is laid out so already\n\n"
    new = bool(found.breaks)
    return f"{diff}{found.statement}\n{places}\n{found.report}\n\n{caution_text(_turns(found), new)}"


def fitted_value(found: Fitted, path: str) -> dict[str, Any]:
    """Return the same as plain values; lengths in beats."""
    return {
        "tool": TOOL,
        "path": path,
        "sections": [
            {"name": one.name, "beats": float(Fraction(one.ticks, TICKS)), "phrase": one.phrase}
            for one in found.sections
        ],
        "lines": list(found.lines),
        "breaks": [{"lines": list(one.lines), "beats": float(one.beats)} for one in found.breaks],
        "restarts": found.restarts,
        "moved": found.moved,
        "places": list(found.places),
        "diff": found.diff,
        "text": found.text,
        "report": None if found.report is None else sheet_value(found.report),
        "reason": found.reason,
        "statement": found.statement,
        "confirmed": found.confirmed,
        "cautions": list(cautions(_turns(found))) if found.report is not None else [],
    }


def _turns(found: Fitted) -> bool:
    return any(row.turning for row in found.breaks)
