"""Breaks and fillings as they are printed: text for people, and values for programs."""

import json
from collections.abc import Iterable
from typing import Any

from stepcheck.books import cards
from stepcheck.books.cards import Card
from stepcheck.breaks.blanks import Filling
from stepcheck.breaks.breaks import Breaks
from stepcheck.breaks.fill import Fill, Filled
from stepcheck.breaks.requests import Break
from stepcheck.breaks.states import Placed
from stepcheck.formats.cautions import caution_text, cautions
from stepcheck.model import words
from stepcheck.model.dance import Foot
from stepcheck.report.json import TOOL, sheet_value

SCHEMA = "stepcheck-answers-2"
FIGURES = "stepcheck-figures-2"


def breaks_text(found: Breaks) -> str:
    """Return breaks as they would stand in a sheet, each with where it leads, and the cautions."""
    if not found.breaks:
        return f"none: {words.visible(found.reason)}\n"
    out: list[str] = []
    for number, one in enumerate(found.breaks, 1):
        out.append(f"{number}. {words.length(int(one.beats * 12))}, from {_states(one.starts)} to {_states(one.ends)}")
        out += (f"     {words.visible(line)}" for line in (*found.before, *one.lines))
        if not one.lines:
            out.append("     (nothing: it ends so already)")
    return "\n".join(out) + "\n\n" + caution_text(any(one.turning for one in found.breaks))


def cards_json(found: Iterable[Card], **more: Any) -> str:
    """Return figures written out as one JSON document, with further members of it; one that is empty is left out."""
    document = {
        "schema": FIGURES,
        "figures": list(map(cards.value, found)),
        **{name: some for name, some in more.items() if some},
    }
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def breaks_json(found: Breaks, path: str = "") -> str:
    """Return breaks as one JSON document."""
    turning = any(one.turning for one in found.breaks)
    document = {
        "schema": SCHEMA,
        "tool": TOOL,
        **({"path": path} if path else {}),
        "breaks": [break_value(one) for one in found.breaks],
        "before": list(found.before),
        "reason": found.reason,
        "cautions": list(cautions(turning)) if found.breaks else [],
    }
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def break_value(one: Break) -> dict[str, Any]:
    """Return a break as plain values; beats and whole turns as numbers."""
    return {
        "figures": [placed_value(placed) for placed in one.figures],
        "lines": list(one.lines),
        "beats": float(one.beats),
        "starts": [str(state) for state in one.starts],
        "ends": [str(state) for state in one.ends],
        "turning": float(one.turning),
    }


def placed_value(placed: Placed) -> dict[str, Any]:
    """Return a figure of a row as plain values, its turn in whole turns, left negative."""
    lead = None if placed.lead is None else words.foot(placed.lead)
    return {"figure": placed.name, "turn": None if placed.turn is None else float(placed.turn), "lead": lead}


def fills_text(found: Filled) -> str:
    """Return fillings as changes to the sheet, with what can be said of the others, and the cautions."""
    if not found.blanks:
        return f"nothing to fill: {found.reason}\n"
    if not found.fills:
        return f"none: {words.visible(found.reason)}\n"
    out = [_verdict(found) + "\n"]
    for number, one in enumerate(found.fills, 1):
        out.append(f"{number}. " + "; ".join(f"line {f.blank.line}: {f.text}" for f in one.fillings) + "\n")
        out.append(one.diff)
    new = any(filling.blank.kind in ("beats", "turn") for one in found.fills for filling in one.fillings)
    out.append("\n" + caution_text(any(one.turns for one in found.fills), new))
    return "\n".join(out[:1]) + "".join(out[1:])


def _verdict(found: Filled) -> str:
    """Return whether that is all, in a sentence or two."""
    if not found.complete:
        return "this fits; the budget was spent before everything else had been tried"
    if found.unique:
        return "only this fits"
    if found.unique_effect:
        return "whatever fits does the same; no claim tells these rows apart, so choose"
    settled = f"; this would settle it: {found.settled_by}" if found.settled_by else "; no single claim would settle it"
    return f"several fit{settled}"


def fills_json(found: Filled, path: str) -> str:
    """Return fillings as one JSON document."""
    document = {
        "schema": SCHEMA,
        "tool": TOOL,
        "path": path,
        "fills": [fill_value(one) for one in found.fills],
        "unique": found.unique,
        "unique_effect": found.unique_effect,
        "settled_by": found.settled_by,
        "complete": found.complete,
        "reason": found.reason,
        "cautions": list(cautions(any(one.turns for one in found.fills))) if found.fills else [],
    }
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def fill_value(one: Fill) -> dict[str, Any]:
    """Return a way to fill the blanks as plain values."""
    return {
        "fillings": [filling_value(filling) for filling in one.fillings],
        "diff": one.diff,
        "text": one.text,
        "report": sheet_value(one.report),
    }


def filling_value(filling: Filling) -> dict[str, Any]:
    """Return what stands in a blank as plain values; a turn in whole turns, left negative."""
    value: Any = filling.value
    if isinstance(value, tuple):
        value = [placed_value(placed) for placed in value]
    elif isinstance(value, Foot):
        value = words.foot(value)
    elif filling.blank.kind == "turn":
        value = float(filling.turn)
    blank = filling.blank
    return {"line": blank.line, "kind": blank.kind, "blank": blank.text, "value": value, "lines": list(filling.lines)}


def _states(states: Iterable[object]) -> str:
    return " or ".join(map(str, dict.fromkeys(map(str, states))))
