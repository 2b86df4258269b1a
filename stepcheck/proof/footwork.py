"""The meaning of one figure as SMT-LIB 2 text: functions of the weight and of the lead chosen from both feet.

Weight is a bit-vector of two bits (left 00, right 01, both 10), a foot one bit (left 0).
"""

import re
from collections.abc import Mapping
from functools import lru_cache

from attrs import frozen

from stepcheck.model.dance import TICKS, Action, Actor, Figure, Foot, Movement, Sense, Version, Word
from stepcheck.proof.terms import bits, disj

BOTH = "#b10"
FREE = "(bvnot ((_ extract 0 0) w))"
CARRYING = "((_ extract 0 0) w)"
OTHER = "(bvxor w #b01)"  # the weight on the other foot, where it is on one

_WEIGHT = re.compile(r"\bw\b")


@frozen
class Reading:
    """An open word: the constant that holds its reading, its bits, and how many readings there are."""

    name: str
    width: int
    count: int

    def is_(self, index: int) -> str:
        """Return the condition that reading number `index` holds."""
        return f"(= {self.name} {bits(index, self.width)})"


@frozen
class Footwork:
    """A figure as terms of the weight `w` before it and the lead `l` chosen from both feet.

    `weight` is the weight after it; where that before it is on one foot only, the lead does not come in.  `turn` is the
    figure's own turn, empty if it has none; `length` a number of ticks, or a term that hangs on a word.  `chooses` is the
    condition that the lead is a choice from both feet.  `both` says that it may end on both.  `able` is the condition on
    the open words that the figure can be danced.
    """

    weight: str
    turn: str
    length: int | str
    chooses: str
    both: bool
    able: str = "true"


@frozen
class Named:
    """A figure with the names of its functions, to weight and to its own turn (empty if it has none).

    `leads` says that they take a lead beside the weight.
    """

    footwork: Footwork
    weight: str
    turn: str
    leads: bool

    def of(self, function: str, weight: str, lead: str) -> str:
        """Return one of its functions, of a weight and a lead."""
        return f"({function} {weight} {lead})" if self.leads else f"({function} {weight})"


def readings(words: tuple[Word, ...]) -> dict[str, Reading]:
    """Return the open words by their key."""
    return {
        word.key: Reading(f"word{number}", max(1, (len(word.labels) - 1).bit_length()), len(word.labels))
        for number, word in enumerate(words)
    }


def _of_movement(movement: Movement, words: Mapping[str, Reading]) -> Reading | None:
    return words.get(movement.name) if len(movement.senses) > 1 else None


def _of_figure(figure: Figure, words: Mapping[str, Reading]) -> Reading | None:
    return words.get(figure.name) if len(figure.versions) > 1 else None


def _by_reading(reading: Reading | None, usual: int, terms: list[str]) -> str:
    """Return the term that holds: the usual one, or the one that the open word picks."""
    if reading is None or len(set(terms)) == 1:
        return terms[usual]
    text = terms[-1]
    for index in range(len(terms) - 2, -1, -1):
        text = f"(ite {reading.is_(index)} {terms[index]} {text})"
    return text


def _senses(movement: Movement, words: Mapping[str, Reading]) -> tuple[Sense, ...]:
    return movement.senses if _of_movement(movement, words) else (movement.senses[movement.usual],)


def _acts(movement: Movement, words: Mapping[str, Reading]) -> str:
    """Return the condition that a free or a supporting foot makes the movement."""
    terms = ["true" if sense.actor in (Actor.FREE, Actor.SUPPORT) else "false" for sense in movement.senses]
    reading = _of_movement(movement, words)
    if reading is None or len(set(terms)) == 1:
        return terms[movement.usual]
    return disj(*[reading.is_(index) for index, term in enumerate(terms) if term == "true"])


def _chooses(version: Version, words: Mapping[str, Reading]) -> str:
    return disj(*(_acts(action.movement, words) for action in version.actions))


def _after(sense: Sense, action: Action, lead: Foot, both: bool) -> str:
    """Return the weight after one action from weight `w`; `both` says that `w` may be both feet."""
    if sense.actor is Actor.NOBODY or (sense.actor is Actor.BOTH and not sense.lands):
        return "w"
    if sense.actor is Actor.BOTH:
        return BOTH
    if action.foot is not None:
        foot = "lead" if action.foot is lead else "(bvnot lead)"
    elif sense.actor is Actor.FREE and sense.lands and not both:
        return OTHER
    else:
        one = FREE if sense.actor is Actor.FREE else CARRYING
        foot = f"(ite (= w {BOTH}) lead {one})" if both else one
    if sense.actor is Actor.FREE and not sense.lands:
        return f"(ite (= w {BOTH}) (concat #b0 (bvnot {foot})) w)" if both else "w"
    return "w" if foot == CARRYING else f"(concat #b0 {foot})"


def _lead(figure: Figure, chooses: str, both: bool) -> str:
    """Return the lead: the free foot, else the chosen one; where none is chosen the figure is danced as written."""
    if not both:
        return FREE
    own = bits(figure.lead, 1)
    chosen = {"true": "l", "false": own}.get(chooses, f"(ite {chooses} l {own})")
    return f"(ite (= w {BOTH}) {chosen} {FREE})"


def _weight(figure: Figure, version: Version, words: Mapping[str, Reading], both: bool) -> str:
    """Return the weight after one version of a figure, danced from weight `w`; `both` says that it may be both feet."""
    chooses = _chooses(version, words)
    lead, steps = _lead(figure, chooses, both), []
    if both:
        on_other = "(concat #b0 (bvnot lead))"
        steps.append({"true": on_other, "false": "w"}.get(chooses, f"(ite {chooses} {on_other} w)"))
        both = chooses != "true"
    for action in version.actions:
        movement = action.movement
        reading = _of_movement(movement, words)
        terms = [_after(sense, action, figure.lead, both) for sense in movement.senses]
        steps.append(_by_reading(reading, movement.usual, terms))
        both = both or any(_lands_on_both(sense) for sense in _senses(movement, words))
    return _one_after_another(steps, lead)


def _one_after_another(steps: list[str], lead: str) -> str:
    """Return the last of some terms of the weight `w` before each, with a name only for what is needed twice."""
    text, lets = "w", [f"(let ((lead {lead})) "] if any("lead" in step for step in steps) else []
    for step in steps:
        times = len(_WEIGHT.findall(step))
        if times > 1 and text != "w":
            lets.append(f"(let ((w {text})) ")
            text = "w"
        text = _WEIGHT.sub(text, step)
    return f"{''.join(lets)}{text}{')' * len(lets)}"


def _able(figure: Figure, version: Version, words: Mapping[str, Reading]) -> str:
    """Return the condition that no foot makes a movement that it cannot make; only a written foot could.

    It is the same for either lead, so it is said for the figure's own.
    """
    if not words or all(action.foot is None for action in version.actions):
        return "true"
    text, closing = f"(let ((lead {bits(figure.lead, 1)})) (let ((w {bits(figure.lead.other, 2)})) ", "))"
    for action in version.actions:
        movement = action.movement
        reading = _of_movement(movement, words)
        may = _by_reading(reading, movement.usual, [_may(sense, action.foot) for sense in movement.senses])
        after = _by_reading(reading, movement.usual, [_after(s, action, figure.lead, True) for s in movement.senses])
        text, closing = f"{text}(and {may} (let ((w {after})) ", f")){closing}"
    return f"{text}true{closing}"


def _may(sense: Sense, foot: Foot | None) -> str:
    """Return the condition that a written foot can make a movement from weight `w`."""
    if foot is None or sense.actor not in (Actor.FREE, Actor.SUPPORT):
        return "true"
    wrong = foot if sense.actor is Actor.FREE else foot.other
    return f"(not (= w {bits(wrong, 2)}))"


def _lands_on_both(sense: Sense) -> bool:
    return sense.actor is Actor.BOTH and sense.lands


def footwork(figure: Figure, words: Mapping[str, Reading], width: int, ticks: int, *, both: bool = True) -> Footwork:
    """Return `figure` as terms.

    `width` and `ticks` are the bits of a turn and a time; `both` says that the weight may be on both feet before it.
    """
    return _terms(figure, words, width, ticks, both) if words else _closed(figure, width, ticks, both)


@lru_cache(maxsize=1 << 12)
def _closed(figure: Figure, width: int, ticks: int, both: bool) -> Footwork:
    """Return the terms of a figure where no word is open: sheet after sheet dances the figures of one book."""
    return _terms(figure, {}, width, ticks, both)


def _terms(figure: Figure, words: Mapping[str, Reading], width: int, ticks: int, both: bool) -> Footwork:
    reading = _of_figure(figure, words)
    versions, usual = figure.versions, figure.usual
    weight = _by_reading(reading, usual, [_weight(figure, version, words, both) for version in versions])
    danced = versions if reading else (versions[usual],)
    turn: str = ""
    length: int | str = versions[usual].length
    if any(version.turn for version in danced):
        terms = [
            f"(ite (= {_lead(figure, _chooses(version, words), both)} {bits(figure.lead, 1)})"
            f" {bits(version.turn, width)} {bits(-version.turn, width)})"
            for version in versions
        ]
        turn = _by_reading(reading, usual, terms)
    if reading is not None:
        lengths = [bits(version.length, ticks) for version in versions]
        length = versions[usual].length if len(set(lengths)) == 1 else _by_reading(reading, usual, lengths)
    chooses = _by_reading(reading, usual, [_chooses(version, words) for version in versions])
    ends = any(_lands_on_both(sense) for v in danced for a in v.actions for sense in _senses(a.movement, words))
    able = _by_reading(reading, usual, [_able(figure, version, words) for version in versions])
    return Footwork(weight, turn, length, chooses, ends, able)


def last_beat(figure: Figure) -> int:
    """Return the end of the last beat of the usual version's actions, in ticks."""
    return TICKS * max((action.beat for action in figure.versions[figure.usual].actions), default=0)
