"""Marks that stand apart from their cue, in a sentence behind it or on the line below it."""

from attrs import evolve

from stepcheck.cues.lining import Told
from stepcheck.cues.marks import EACH, GOES, NTH, Cue
from stepcheck.cues.tokens import Tok, number, placed, spelled, toks
from stepcheck.routines.key import Key
from stepcheck.steps.steps import OTHER

_MARKS = ("foot", "feet", "turned", "twice", "dir", "clock")
"""What a mark says: a foot, a turn, how often, or where it goes."""
_BESIDE = ("noise", "sep", "talk")


def marked(told: Told, text: str, key: Key) -> Told | None:
    """Return a line of cues with the marks that a text says of its last cue.

    `key` has the words of the sheet. None where the text says anything but marks, or where one of them is said
    already, or may be of several cues.
    """
    held = toks(placed(spelled(text), []), key.cues.vocabulary, key.legend)
    if not told.cues or told.again or told.inner or not _only_marks(held):
        return None
    last = told.cues[-1]
    made = evolve(last, turns=[*last.turns], notes=[*last.notes])
    key.reading.marks(made, text)
    turned, footed, often = (made.turns != last.turns, made.feet != last.feet, made.times != last.times)
    twice = (turned and last.turns) or (footed and last.feet) or (often and (last.times or last.number > 1))
    several = (turned or often) and len(told.cues) > 1
    if made.doubt != last.doubt or twice or several:
        return None
    return evolve(told, cues=[*told.cues[:-1], made])


def _only_marks(held: list[Tok]) -> bool:
    """Say whether words are marks and nothing else that changes a dance, at least one of them."""
    said = [tok for tok in held if tok.kind in _MARKS or tok.text.startswith("@")]
    others = [tok for tok in held if tok not in said]
    quiet = (
        tok.kind in _BESIDE
        or tok.low in EACH | GOES
        or tok.low in NTH
        or tok.low.endswith("ing")
        or tok.kind == "turn"
        or number(tok) == 1
        for tok in others
    )
    return bool(said) and all(quiet)


def related(cue: Cue, before: list[Cue]) -> None:
    """Give a cue the foot of its last time, or the other one, where it says so."""
    feet = next((each.feet for each in reversed(before) if each.name == cue.name and each.feet), "")
    foot = feet if cue.relates == "same" else OTHER.get(feet, "")
    if (
        cue.relates
        and len(foot) == 1
        and cue.feet in ("", foot)
        and cue.doubt.casefold() in ("same", "other", "opposite")
    ):
        cue.feet, cue.doubt = foot, ""
