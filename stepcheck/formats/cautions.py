"""What is said wherever movement is suggested: dancing can hurt."""

from typing import Any

from stepcheck.language.edits import ChangeTurn, InsertLine, ReplaceFigure, ReplacePart

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
