"""Movements and figures, each stated once: what it does to the weight, movement by movement."""

from collections.abc import Callable, Sequence
from functools import lru_cache

from attrs import define, field, frozen

from stepcheck.model.dance import Action, Figure, Version, Word
from stepcheck.model.movements import Actor, Movement, Sense
from stepcheck.proof.names import FEET, Names, chosen, literal

_FREELY = {  # by whether it lands
    Actor.FREE: ("free-foot-plays", "free-foot-lands"),
    Actor.SUPPORT: ("supporting-foot", "supporting-foot"),
    Actor.BOTH: ("weight-stays", "both-feet-land"),
    Actor.NOBODY: ("weight-stays", "weight-stays"),
}
_WRITTEN = _FREELY | {
    Actor.FREE: ("this-foot-plays", "this-foot-lands"),
    Actor.SUPPORT: ("this-foot-lands", "this-foot-lands"),
}
_ACTING = (Actor.FREE, Actor.SUPPORT)
_NEEDS = {Actor.FREE: "(not (= w {foot}))", Actor.SUPPORT: "(not (= w (other {foot})))"}

FEW = 2  # movements that are no more than the name of what they come to

Read = Callable[[int], str] | None


def conditions(terms: Sequence[str]) -> str:
    """Return that all terms hold."""
    terms = [term for term in terms if term != "true"]
    return "true" if not terms else terms[0] if len(terms) == 1 else f"(and {' '.join(terms)})"


@define
class Figures:
    """The figures of one script.

    `feet` are those on which the weight can be; `meant` are conditions on the readings: figures that can be danced.
    """

    names: Names
    feet: int
    words: dict[str, Word]
    meant: list[str] = field(factory=list)
    _made: dict[object, str] = field(factory=dict)

    def _read(self, key: str, labels: Sequence[str]) -> Read:
        """Return the condition of each reading of a word, or None where it is not open."""
        if len(labels) < 2 or key not in self.words:
            return None
        width = (len(labels) - 1).bit_length()
        constant = self.names.constant(f"reading of {key}", width, "reading")
        if ("limit", key) not in self._made:
            self._made["limit", key] = constant
            if len(labels) < 1 << width:
                self.meant.append(f"(bvult {constant} {literal(len(labels), width)})")

        def condition(number: int) -> str:
            value = self.names.value(
                f"{key}: {labels[number]} ({number + 1})", f"(_ BitVec {width})", literal(number, width)
            )
            return f"(= {constant} {value})"

        return condition

    def reading(self, figure: Figure) -> Read:
        """Return the condition of each version of a figure, or None where its name is not open."""
        return self._read(figure.name, [version.label for version in figure.versions])

    def _senses(self, movement: Movement) -> tuple[tuple[Sense, ...], Read]:
        read = self._read(movement.name, [sense.label for sense in movement.senses])
        return (movement.senses if read else (movement.senses[movement.usual],)), read

    def _movement(self, movement: Movement, written: bool) -> str:
        """Return the function of a movement: the lead (or the foot that is written) and the weight to the weight."""
        if (movement.name, written) not in self._made:
            senses, read = self._senses(movement)
            foot, kinds = ("foot", _WRITTEN) if written else ("lead", _FREELY)
            terms = [f"({kinds[sense.actor][sense.lands]} {foot} w)" for sense in senses]
            text, head = movement.name + " of a foot" * written, f"(({foot} Weight) (w Weight)) Weight"
            term = chosen(read, terms) if read else terms[0]
            self._made[movement.name, written] = self.names.stated("movement", text, head, term, bool(self.words))
        return self._made[movement.name, written]

    def _action(self, action: Action, own: str) -> str:
        name = self._movement(action.movement, action.foot is not None)
        lead = "lead" if action.foot is None else f"(as-led lead {own} {FEET[action.foot]})"
        return f"({name} {lead} w)"

    def _version(self, figure: Figure, version: Version) -> str:
        """Return the function of one version of a figure, without its turn.

        Its movements are stated once, from weight to weight; many have a name for what they come to from each foot.
        """
        if id(version) not in self._made:
            own = FEET[figure.lead]
            rows = [(self._action(action, own), action.movement) for action in version.actions]
            name = self._made[id(version)] = self.names.fresh(figure.name)
            feet = self.names.fresh(f"{figure.name}, the feet")
            text = [
                f"; figure {' '.join(figure.name.split())}, written for the {own} foot",
                f"(define-fun {feet} ((w Weight)) Weight (let ((lead (other w)))",
                *(f"  (let ((w {term})) ; {(movement.forms or (movement.name,))[0]}" for term, movement in rows),
                f"  w{')' * (len(rows) + 2)}",
            ]
            end, ends = f"({feet} (weight d))", list[str]()
            if len(rows) > FEW:
                ends = [self.names.fresh(f"{figure.name}, from {FEET[foot]}") for foot in range(self.feet)]
                text += [f"(define-fun {one} () Weight ({feet} {FEET[foot]}))" for foot, one in enumerate(ends)]
                end = chosen(lambda foot: f"(= (weight d) {FEET[foot]})", ends)
            length = self.names.beats(version.length)
            text.append(f"(define-fun {name} ((d Dancer)) Dancer (danced-to {end} {length} d))")
            self.names.state("\n".join(text), (name, feet, *ends), 1, bool(self.words))
        return self._made[id(version)]

    def figure(self, figure: Figure, turning: bool) -> str:
        """Return the function of a figure; `turning` with its own turn."""
        key = (id(figure), turning)
        if key not in self._made:
            widths = self.names.turn_width, self.names.beats_width
            alone = None if self.words else _alone(figure, turning, self.feet, *widths)
            adopted = alone is not None and self.names.adopt(alone.texts, alone.figures)
            self._made[key] = alone.name if alone and adopted else self._figure(figure, turning)
        return self._made[key]

    def _figure(self, figure: Figure, turning: bool) -> str:
        read = self.reading(figure)
        versions = figure.versions if read else (figure.versions[figure.usual],)
        own, ends = FEET[figure.lead], []
        for number, version in enumerate(versions):
            bare = self._version(figure, version)
            ends.append(f"({bare} d)")
            if turning and version.turn:
                ends[-1] = f"(own-turn {own} {self.names.turn(version.turn)} d ({bare} d))"
            self._possible(figure, version, read(number) if read else "")
        name = self._version(figure, versions[0])
        if ends != [f"({name} d)"]:
            name = self.names.fresh(f"{figure.name} with its turn" if turning else f"{figure.name} as it is read")
            term = chosen(read, ends) if read else ends[0]
            self.names.state(f"(define-fun {name} ((d Dancer)) Dancer {term})", (name,), 1, bool(self.words))
        return name

    def _possible(self, figure: Figure, version: Version, read: str) -> None:
        """Leave out the readings under which a figure cannot be danced: nobody can mean them."""
        opened = read or any(self._senses(action.movement)[1] for action in version.actions)
        if not opened or ("possible", id(version)) in self._made:
            return
        own, depth = FEET[figure.lead], 1
        name = self._made["possible", id(version)] = self.names.fresh(f"{figure.name} can be danced")
        text = [f"(define-fun {name} () Bool (let ((lead {own}) (w (other {own})))"]
        for action in version.actions:
            if action.foot is not None:
                senses, by = self._senses(action.movement)
                needs = [_NEEDS.get(sense.actor, "true").format(foot=FEET[action.foot]) for sense in senses]
                text.append(f"  (and {chosen(by, needs) if by else needs[0]}")
                depth += 1
            text.append(f"  (let ((w {self._action(action, own)}))")
            depth += 1
        self.names.say("\n".join([*text, f"  true{')' * (depth + 1)}"]))
        self.meant.append(f"(=> {read} {name})" if read else name)

    def chooses(self, figure: Figure) -> str:
        """Return the condition on which a dancer on both feet picks a lead: a free or supporting foot moves."""
        read = self.reading(figure)
        versions = figure.versions if read else (figure.versions[figure.usual],)
        found = []
        for number, version in enumerate(versions):
            moves = self._moves(version)
            if moves != "false":
                found.append(conditions([read(number) if read else "true", moves]))
        if len(versions) == sum(self._moves(version) == "true" for version in versions):
            return "true"
        return f"(or {' '.join(found)})" if len(found) > 1 else found[0] if found else "false"

    def _moves(self, version: Version) -> str:
        found: dict[str, None] = {}
        for action in version.actions:
            senses, read = self._senses(action.movement)
            acting = [sense.actor in _ACTING for sense in senses]
            if all(acting):
                return "true"
            found |= dict.fromkeys(read(number) for number, acts in enumerate(acting) if acts and read)
        terms = list(found)
        return f"(or {' '.join(terms)})" if len(terms) > 1 else terms[0] if terms else "false"


@frozen
class _Alone:
    """A figure stated for no script in particular: its function, the texts with the names that they define."""

    name: str
    texts: dict[str, tuple[str, ...]]
    figures: int


@lru_cache(maxsize=1 << 12)
def _alone(figure: Figure, turning: bool, feet: int, turn_width: int, beats_width: int) -> _Alone:
    names = Names(turn_width, beats_width)
    name = Figures(names, feet, {})._figure(figure, turning)
    return _Alone(name, names.shared, names.figures)
