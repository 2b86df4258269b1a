"""Fixes, breaks, fillings and new layouts as text for people, with the cautions."""

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

from stepcheck.language.edits import ChangeTurn, InsertLine, ReplaceFigure, ReplacePart
from stepcheck.model import words
from stepcheck.model.outcome import Verdict

if TYPE_CHECKING:  # an answer of one kind needs no class of the others
    from stepcheck.breaks.breaks import Breaks
    from stepcheck.breaks.fill import Filled
    from stepcheck.fixes.repairs import Fix, Repairs
    from stepcheck.floor.fit import Fitted

MOST_NAMED = 4


def answer_text(found: Any) -> str:
    """Return fixes, breaks, fillings, or a dance laid out anew as text."""
    texts: dict[str, Callable[[Any], str]] = {
        "Breaks": breaks_text,
        "Filled": fills_text,
        "Fitted": fitted_text,
        "Repairs": repairs_text,
    }
    return texts[type(found).__name__](found)


def repairs_text(found: "Repairs") -> str:
    """Return fixes as changes to the sheet, each with its cost, with what is known of cheaper ones, and the
    cautions."""
    if not found.needed:
        return "nothing to mend: nothing fails\n"
    if not found.fixes:
        return _none_text(found)
    out = []
    for number, fix in enumerate(found.fixes, 1):
        out.append(f"{number}. {words.visible(fix.name)} (cost {fix.cost}){_waiting(fix)}\n{fix.diff}\n")
    caution = caution_text(turns(found), any(fix.new for fix in found.fixes))
    return f"{''.join(out)}{found.statement}\n{_singles(found)}\n{caution}"


def _singles(found: "Repairs") -> str:
    """Return what mends each finding by itself, a line each."""
    if not found.singles:
        return ""
    out = ["By itself, with `--finding N`:\n"]
    for one in found.singles:
        what = f"{words.visible(one.fix.name)} (cost {one.fix.cost})" if one.fix is not None else "nothing found"
        out.append(f"  {one.number}. line {one.line}: {words.visible(one.finding)}\n     {what}\n")
    return "".join(out)


def _waiting(fix: "Fix") -> str:
    """Return which claims wait on a blank after a fix, as a remark."""
    open_claims = [claim for claim in fix.report.claims if claim.verdict is Verdict.UNDECIDED]
    if not open_claims:
        return ""
    named = ", ".join(f"line {claim.line} `{words.visible(claim.text)}`" for claim in open_claims[:MOST_NAMED])
    more = len(open_claims) - MOST_NAMED
    waits = "waits" if len(open_claims) == 1 else "wait"
    return f" ({waits} on a blank: {named}{f' and {more} more' if more > 0 else ''})"


def _none_text(found: "Repairs") -> str:
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


def breaks_text(found: "Breaks") -> str:
    """Return breaks as they would stand in a sheet, each with where it leads, and the cautions."""
    if not found.breaks:
        return f"none: {words.visible(found.reason)}\n"
    out: list[str] = []
    for number, one in enumerate(found.breaks, 1):
        out.append(f"{number}. {words.length(int(one.beats * 12))}, from {_states(one.starts)} to {_states(one.ends)}")
        out += (f"     {words.visible(line)}" for line in (*found.before, *one.lines))
        if not one.lines:
            out.append("     (nothing: it ends so already)")
    return "\n".join(out) + "\n\n" + caution_text(turns(found))


def _states(states: Iterable[object]) -> str:
    return " or ".join(map(str, dict.fromkeys(map(str, states))))


def fills_text(found: "Filled") -> str:
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
    out.append("\n" + caution_text(turns(found), new))
    return "".join(out)


def _verdict(found: "Filled") -> str:
    """Return whether that is all, in a sentence or two."""
    if not found.complete:
        return "this fits; the budget was spent before everything else had been tried"
    if found.unique:
        return "only this fits"
    if found.unique_effect:
        return "whatever fits does the same; no claim tells these rows apart, so choose"
    settled = f"; this would settle it: {found.settled_by}" if found.settled_by else "; no single claim would settle it"
    return f"several fit{settled}"


def fitted_text(found: "Fitted") -> str:
    """Return the changes to the sheet, where breaks and restarts stand, what is known of better layouts, the whole
    report after the changes, and the cautions."""
    if found.report is None:
        return f"none: {found.reason}\n"
    places = "".join(f"  {place}\n" for place in found.places)
    diff = f"{found.diff}\n" if found.diff else "the sheet is laid out so already\n\n"
    new = bool(found.breaks)
    return f"{diff}{found.statement}\n{places}\n{found.report}\n\n{caution_text(turns(found), new)}"


# -- cautions: said wherever movement is suggested, since dancing can hurt ---------------------------------------------

TITLE = "Before anybody dances it:"
CAUTIONS = (
    "Warm up first, and dance on a floor that gives; never on concrete.",
    "Walk it slowly before it is danced to the music.",
    "Stop at any strain.",
    "A teacher's judgement and medical advice come first.",
)
TURNING = "Leave the turns out if anybody gets dizzy; never turn a foot that sticks to the floor with weight on it."


def cautions(turns: bool = False) -> tuple[str, ...]:
    """Return the sentences to print under movement that is suggested; `turns` says that it turns."""
    return (*CAUTIONS[:3], TURNING, *CAUTIONS[3:]) if turns else CAUTIONS


LINE = f"{TITLE} warm up, walk it slowly, stop at any strain; a teacher's judgement and medical advice come first."


def caution_text(turns: bool = False, new: bool = True) -> str:
    """Return the cautions as text: whole where movement is `new` to the routine, else in a line."""
    if not new:
        return f"{LINE}\n"
    return "".join(f"{line}\n" for line in (TITLE, *(f"  {said}" for said in cautions(turns))))


def turns(found: Any) -> bool:
    """Say whether fixes, fillings, breaks or a new layout put in something that may turn."""
    match type(found).__name__:
        case "Repairs":
            kinds = ChangeTurn | InsertLine | ReplaceFigure | ReplacePart
            return any(isinstance(edit, kinds) for fix in found.fixes for edit in fix.edits)
        case "Filled":
            return any(one.turns for one in found.fills)
        case _:
            return any(one.turning for one in found.breaks)
