"""Fixes as they are printed: text for people, and values for programs."""

import json
from enum import Enum
from typing import Any

from attrs import fields

from stepcheck.fixes.conflict import Conflict, Held
from stepcheck.fixes.repairs import Evidence, Fix, Repairs
from stepcheck.formats.cautions import caution_text, cautions
from stepcheck.language.edits import ChangeTurn, Edit, InsertLine, ReplaceFigure, ReplacePart
from stepcheck.language.syntax import Times
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, TICKS
from stepcheck.model.outcome import Verdict
from stepcheck.report.json import TOOL, sheet_value

MOST_NAMED = 4
SCHEMA = "stepcheck-fixes-2"


def repairs_text(found: Repairs) -> str:
    """Return fixes as changes to the sheet, each with its cost, with what is known of cheaper ones, and the
    cautions."""
    if not found.needed:
        return "nothing to mend: nothing fails\n"
    if not found.fixes:
        return none_text(found)
    out = []
    for number, fix in enumerate(found.fixes, 1):
        out.append(f"{number}. {words.visible(fix.name)} (cost {fix.cost}){_waiting(fix)}\n{fix.diff}\n")
    return (
        "".join(out)
        + f"{found.statement}\n"
        + _singles(found)
        + "\n"
        + caution_text(any(map(_turns, found.fixes)), any(fix.new for fix in found.fixes))
    )


def _singles(found: Repairs) -> str:
    """Return what mends each finding by itself, a line each."""
    if not found.singles:
        return ""
    out = ["By itself, with `--finding N`:\n"]
    for one in found.singles:
        what = f"{words.visible(one.fix.name)} (cost {one.fix.cost})" if one.fix is not None else "nothing found"
        out.append(f"  {one.number}. line {one.line}: {words.visible(one.finding)}\n     {what}\n")
    return "".join(out)


def _waiting(fix: Fix) -> str:
    """Return which claims wait on a blank after a fix, as a remark."""
    open_claims = [claim for claim in fix.report.claims if claim.verdict is Verdict.UNDECIDED]
    if not open_claims:
        return ""
    named = ", ".join(f"line {claim.line} `{words.visible(claim.text)}`" for claim in open_claims[:MOST_NAMED])
    more = len(open_claims) - MOST_NAMED
    waits = "waits" if len(open_claims) == 1 else "wait"
    return f" ({waits} on a blank: {named}{f' and {more} more' if more > 0 else ''})"


def none_text(found: Repairs) -> str:
    """Return why there is no fix: what can't hold together, a line for each piece, and what giving one up would do."""
    why = found.conflict
    if why is None:
        return f"none: {words.visible(found.reason)}\n{_singles(found)}"
    said = found.reason[: found.reason.index(why.claim)]
    out = [f"none: {said[0].lower()}{said[1:]}{why.claim}:"]
    for one in why.holds:
        then = f"cost {one.without}" if one.without else "nothing need change"
        out.append(f"  {one.sentence}" + (f" (given up: {then})" if one.without is not None else ""))
    if not why.least:
        out.append("Whether each of them is needed could not be decided within the budget.")
    elif len(why.holds) > 1:
        out.append("Each of them is needed: whichever is given up, the others can be had.")
    return "\n".join(out) + "\n"


def repairs_json(found: Repairs, path: str) -> str:
    """Return fixes as one JSON document."""
    document = {
        "schema": SCHEMA,
        "tool": TOOL,
        "path": path,
        "needed": found.needed,
        "fixes": [fix_value(fix) for fix in found.fixes],
        "reason": found.reason,
        "conflict": conflict_value(found.conflict),
        "statement": found.statement,
        "singles": [
            {
                "number": one.number,
                "line": one.line,
                "finding": one.finding,
                "fix": None if one.fix is None else fix_value(one.fix),
            }
            for one in found.singles
        ],
        "cautions": list(cautions(any(map(_turns, found.fixes)))) if found.fixes else [],
    }
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def conflict_value(conflict: Conflict | None) -> dict[str, Any] | None:
    """Return what can't hold together as plain values."""
    if conflict is None:
        return None
    holds = [{field.name: getattr(one, field.name) for field in fields(Held)} for one in conflict.holds]
    return {"bound": conflict.bound, "least": conflict.least, "holds": holds}


def fix_value(fix: Fix) -> dict[str, Any]:
    """Return a fix as plain values."""
    return {
        "name": fix.name,
        "edits": [edit_value(edit) for edit in fix.edits],
        "cost": fix.cost,
        "diff": fix.diff,
        "text": fix.text,
        "report": sheet_value(fix.report),
        "evidence": evidence_value(fix.evidence),
    }


def edit_value(edit: Edit) -> dict[str, Any]:
    """Return a change as plain values: its kind, and its pieces by name; lengths in beats, turns in whole turns, left
    negative."""
    made: dict[str, Any] = {"kind": edit.kind}
    for field in fields(type(edit)):
        value = getattr(edit, field.name)
        if field.name == "ticks":
            made["beats"] = None if value is None else value / TICKS
        elif isinstance(edit, ChangeTurn) and field.name == "turn":
            made["turn"] = None if value is None else value / EIGHTHS
        else:
            made[field.name] = _plain(value)
    return made


def evidence_value(evidence: Evidence) -> dict[str, Any]:
    """Return why nothing cheaper exists as plain values."""
    return {field.name: _plain(getattr(evidence, field.name)) for field in fields(Evidence)} | {
        "statement": evidence.statement
    }


def _plain(value: Any) -> Any:
    if isinstance(value, Times):
        return {"named": list(value.named), "every": value.every, "last": value.last}
    if isinstance(value, Enum):
        return value.name.lower()
    return list(value) if isinstance(value, tuple) else value


def _turns(fix: Fix) -> bool:
    """Say whether a fix puts in something that may turn."""
    return any(isinstance(edit, ChangeTurn | InsertLine | ReplaceFigure | ReplacePart) for edit in fix.edits)
