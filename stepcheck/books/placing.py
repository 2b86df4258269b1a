"""Puts the movements of a figure on their counts.

Times are in ticks of 1/12 beat from the figure's start, where beat 1 is at tick 12, so that an upbeat before beat 1 has
a place.  The rule stands in specs/language.md, where rows of movements do; which are upbeats the book says.
"""

from collections.abc import Callable
from typing import TypeAlias

from attrs import evolve, frozen

from stepcheck.language.patch import MEANT, Rewrite
from stepcheck.language.syntax import NOWHERE, At, Form
from stepcheck.model import words
from stepcheck.model.dance import TICKS, Action, Foot, key
from stepcheck.model.movements import Movement

Lookup: TypeAlias = Callable[[str], tuple[Movement, ...]]

COMPOUNDS: dict[str, tuple[str, ...]] = {"ds": ("DT", "S"), "rs": ("R", "S"), "hb": ("HT", "BA"), "tb": ("TT", "BA")}
"""The abbreviations that stand for a row of movements, made by one foot, except RS: one foot, then the other."""

FORMS: tuple[str, ...] = tuple(
    "S ST R RK RC CL BA STO TW HW DT D BR K KK TCH TAP PT HT TT DIG HK STA SW LOOP SLR SR DR G SL E H HL HD HOP HP P "  # noqa: SIM905 - sixty pairs of quotes hide more
    "PV CH CH2 SPL DS RS HB TB T TO SK SKF SCUFF UP BRK BK FLG FL HITCH JUMP HOLD BOUNCE CLAP".split()
)
"""The abbreviations of the trade, in the order in which they are offered instead of one that nobody knows."""

LINE_FORMS: tuple[str, ...] = ("FLICK", "FAN", "BUMP", "SWIVEL", "SWAY", "DRAW", "STU")
"""Those that are written in full and stand in the book of line dance only."""

_TWO_MEANINGS: dict[str, tuple[str, tuple[str, ...]]] = {
    "b": ("a ball and a brush", ("BA for a ball", "BR for a brush")),
    "bo": (
        "a bounce onto both feet and one on the foot that has the weight",
        ("JUMP for a bounce onto both feet", "HOP for one on the foot that has the weight"),
    ),
}

_UNSTATED: dict[str, tuple[str, tuple[str, ...]]] = {
    "lf": ("lift", ("HITCH if the free knee lifts", "UP if the standing heel comes down")),
    "pl": ("pull", ("DR if the foot with the weight is pulled back", "SLR if the free foot is")),
    "rp": ("replace", ("S if it takes weight", "TCH if it does not")),
    "dg": ("dig", ("DIG if it takes no weight", "HW if the heel takes weight")),
    "sp": ("slip", ("SL if the foot with the weight slips", "S if the free foot takes weight")),
    "sn": ("snap", ("HD if the standing heel drops", "TAP if the free foot makes the sound")),
    "hs": ("heel step", ("HW if the heel takes weight", "HT if it does not")),
    "ck": ("click", ("HD if the standing heel drops", "HT if the free heel makes the sound")),
    "sh": ("shuffle", ("DT for a double toe", "DR SL for a drag-slide", "S S S for three steps")),
}
_UNSTATED["f"] = _UNSTATED["sh"]

_STEPS: dict[str, str] = {
    **dict.fromkeys(("cross", "side", "behind", "back", "forward", "walk"), "S"),
    **{"together": "CL", "replace": "RC", "ball change": "BA S", "kick ball change": "K BA S"},
}
"""Words for a step that movements are not called by, with the form to write."""


@frozen
class Problem:
    """Something wrong with one form of a row: the name of its code, the form's place, the reason, what to write."""

    code: str
    at: At
    reason: str
    hints: tuple[str | Rewrite, ...] = ()


def place(forms: tuple[Form, ...], movements: Lookup, tradition: str) -> tuple[tuple[Action, ...], tuple[Problem, ...]]:
    """Return the movements of a row on their counts, and what is wrong with the row.

    Args:
        forms: the row as written.
        movements: gives the movements that a form stands for in the book; none if it knows no such form.
        tradition: in "line" every movement takes a count; elsewhere one that is an upbeat takes the next half beat.

    A form that can't be understood is left out.  A movement without a place (a pivot) has the count of the one before
    it, or, at the start of a row, of the one after it.
    """
    actions: list[Action] = []
    problems: list[Problem] = []
    last = waiting = 0
    for form in forms:
        parts = _parts(form, movements)
        if isinstance(parts, Problem):
            problems.append(parts)
            continue
        if form.tick is not None and (form.tick < last or form.tick < TICKS // 2):
            early = "before the half beat that leads to count 1", "count from &1 or from 1"
            late = f"{counted(form.tick)}, but {counted(last)} is already danced"
            reason, hint = early if form.tick < TICKS // 2 else (late, "write the movements in the order of the dance")
            problems.append(Problem("count-out-of-order", form.at, f"{form.form} is counted {reason}", (hint,)))
            last = min(last, form.tick)
        for index, (movement, foot) in enumerate(parts):
            upbeat = movement.upbeat and tradition != "line"
            if form.tick is None and not movement.placed:
                beat = actions[-1].beat if actions else 1
                waiting += waiting == len(actions)
                actions.append(Action(movement, foot, last, beat))
                continue
            if form.tick is None:
                half = TICKS // 2 if upbeat else 0  # the next beat, or for an upbeat the next half before a beat
                last += TICKS - (last - half) % TICKS
                beat = -(-last // TICKS)
            elif index == len(parts) - 1:
                last, beat = form.tick, form.beat or -(-form.tick // TICKS)
            else:
                # Half a beat or a beat before the count of a compound, else halfway to it.
                wanted = form.tick - (TICKS // 2 if upbeat else TICKS)
                last = wanted if wanted > last else (last + form.tick) // 2
                beat = -(-last // TICKS)
            actions.append(Action(movement, foot, last, beat))
    if waiting < len(actions):
        first = actions[waiting]
        actions[:waiting] = [evolve(action, tick=first.tick, beat=first.beat) for action in actions[:waiting]]
    if not problems and waiting == len(actions):
        hints = ("write HOLD for a silent beat",)
        problems.append(Problem("figure-without-beats", NOWHERE, "nothing in it takes a beat", hints))
    return tuple(actions), tuple(problems)


def last_beat(actions: tuple[Action, ...]) -> int:
    """Return the last beat that a movement belongs to, 0 if there is none.  A figure lasts to the end of that beat."""
    return max((action.beat for action in actions), default=0)


def last_count(actions: tuple[Action, ...], ticks: int) -> int:
    """Return the last count that a row of so many ticks has: that of its last movement, or of its length."""
    return max(last_beat(actions), ticks // TICKS)


def _parts(form: Form, movements: Lookup) -> tuple[tuple[Movement, Foot | None], ...] | Problem:
    names = COMPOUNDS.get(key(form.form), (form.form,))
    found = [movements(name) for name in names]
    if not all(found):
        return _not_known(form, movements)
    second = form.foot.other if form.foot is not None and key(form.form) == "rs" else form.foot
    return tuple((choices[0], second if index else form.foot) for index, choices in enumerate(found))


def _not_known(form: Form, movements: Lookup) -> Problem:
    """Return why a form that the book doesn't have can't be used, and what to write instead."""
    name = key(form.form)
    if name in _TWO_MEANINGS:
        meanings, hints = _TWO_MEANINGS[name]
        reason = f"{form.form} is written for {meanings}"
        return Problem("form-with-two-meanings", form.at, reason, _instead(form, hints))
    if name in _UNSTATED:
        word, hints = _UNSTATED[name]
        reason = f"no source says which foot has the weight in a {word} ({form.form})"
        return Problem("form-without-stated-weight", form.at, reason, _instead(form, hints))
    reason = f"no movement is written {form.form}"
    if meant := _meant(name, movements):
        wordings = tuple(f"{code}: for a {word}" for word, code in meant[:3])
        return Problem("unknown-form", form.at, reason, _instead(form, wordings))
    from difflib import get_close_matches  # only a faulty row needs it

    legal = [other for other in (*FORMS, *LINE_FORMS) if key(other) in COMPOUNDS or movements(other)]
    near = get_close_matches(form.form.upper(), legal, n=3, cutoff=0.5)
    if not near:
        hint = "a row has its codes as often as they are danced, as in S TCH S TCH"
        hint += "; `stepcheck figures --movements` lists them"
        return Problem("unknown-form", form.at, reason, (hint,))
    at = form.at[0], form.at[0] + len(form.form)
    return Problem("unknown-form", form.at, reason, tuple(Rewrite(one, at, MEANT) for one in near))


def _meant(code: str, movements: Lookup) -> list[tuple[str, str]]:
    """Return the words that a code of two letters or more shortens, each with the form to write: `CR` is a cross.

    A code shortens a word if it begins as the word does and its letters stand in it in their order.  Initials come
    first, then beginnings of a word, then the shortest.
    """
    named = {found[0].name: found[0].forms[0] for form in (*FORMS, *LINE_FORMS) if (found := movements(form))}
    steps = {word: row for word, row in _STEPS.items() if all(map(movements, row.split()))}

    def shortens(word: str) -> bool:
        letters = iter(key(word))
        return code[0] == word[0] and all(letter in letters for letter in code)

    def order(word: str) -> tuple[bool, bool, int]:
        return code != "".join(piece[0] for piece in word.split()), not key(word).startswith(code), len(word)

    words = {**named, **steps}
    return [(word, words[word]) for word in sorted(filter(shortens, words), key=order)] if len(code) > 1 else []


def _instead(form: Form, wordings: tuple[str, ...]) -> tuple[Rewrite, ...]:
    """Return hints to write what begins each of the `wordings` in the place of a form, its foot and count kept."""
    at = form.at[0], form.at[0] + len(form.form)
    pieces = (wording.partition(":" if ":" in wording else " ") for wording in wordings)
    return tuple(Rewrite(word, at, f"write {{}} {rest.strip()}") for word, _, rest in pieces)


def counted(tick: int) -> str:
    """Return a tick of a figure as it is counted: `1` for tick 12, `&1` for the half before it."""
    return "&1" if tick == TICKS // 2 else words.beat(tick - TICKS)
