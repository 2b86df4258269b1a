"""What goes on for ever: how its passes can begin, stated and asked, or as many passes as there are ways to begin."""

from attrs import frozen

from stepcheck.model.dance import EIGHTHS, Forever
from stepcheck.proof.bodies import Bodies, Picks
from stepcheck.proof.guesses import Stand
from stepcheck.proof.names import CLOCK, FEET, Names, literal
from stepcheck.proof.repeats import Looks

FIRST = "the first pass begins as one may begin"
NEXT = "the next pass begins as one may begin"


@frozen
class Field:
    """One part of a stand: its term of a dancer, its bits, and its constant for any dancer who begins a pass."""

    term: str
    width: int
    constant: str


@frozen
class Endless:
    """How a script states what goes on for ever: the terms of what is false in it, and in its passes.

    Of sets: the `fields` of a stand; the constants `came` and `went` show how the first and the next pass begin.
    """

    off: tuple[str, ...]
    passes: str
    fields: tuple[Field, ...] = ()

    def stand(self, value: int) -> Stand:
        """Return the stand that one of the constants shows."""
        out: list[int] = []
        for part in reversed(self.fields):
            out.insert(0, value & (1 << part.width) - 1)
            value >>= part.width
        return tuple(out)


def danced_round(bodies: Bodies, item: Forever) -> Endless:
    """State passes one after the other, as many as there are stands: by then a dancer has been wherever she can come.

    So it is for sheets with blanks, since the stands hang on what fills these.
    """
    names = bodies.names
    lap = bodies.repeats.read_off(bodies.body(f"line {item.line}, for ever", item.body, "front"))
    stands = len(FEET) * (EIGHTHS if lap.looks else 1) + (2 if lap.looks & ~Looks.FACING else 0)
    here, picks = "end", Picks(names, f"picks of a pass, line {item.line}")
    for number in range(1, stands + 1):
        before, here = here, names.fresh(f"after pass {number}")
        names.say(f"(define-fun {here} () Dancer {lap.of(before, picks.take(lap.picks))})", lap.figures)
    return Endless((f"(off {here})",), f"(off {here})")


def among_stands(bodies: Bodies, item: Forever, again: frozenset[Stand]) -> Endless:
    """State one pass from any stand that is guessed, and ask that the first and each next pass begin so."""
    names = bodies.names
    lap = bodies.body(f"line {item.line}, for ever", item.body, "front")
    fields = _fields(names, lap.looks)
    has = {field.term: field.constant for field in fields}
    turn = has.get("(turn d)") or (f"(as-turn (bvsub {fields[1].constant} front))" if lap.looks & Looks.FACING else "")
    parts = (
        has["(weight d)"],
        has.get("(loose d)", "#b0"),
        turn or literal(0, names.turn_width),
        has.get("(beats d)", literal(0, names.beats_width)),
    )
    known = [
        _member(names, stand, fields)
        for stand in sorted({stand[: len(fields)] for stand in again if len(stand) >= len(fields)})
    ]
    text = f"(or {' '.join(known)})" if len(known) > 1 else known[0] if known else "false"
    names.say(
        "; how a pass of what goes on for ever may begin is a guess, which is asked\n"
        f"(define-fun may-go-on ((d Dancer)) Bool {text})"
    )
    names.say(f"(define-fun any () Dancer (dancer {' '.join(parts)} none))")
    picks = Picks(names, f"picks of a pass, line {item.line}")
    names.say(f"(define-fun round () Dancer {lap.of('any', picks.take(lap.picks))})", lap.figures)
    seen = fields[0].term if len(fields) == 1 else f"(concat {' '.join(field.term for field in fields)})"
    width = sum(field.width for field in fields)
    names.say(f"(define-fun stand ((d Dancer)) (_ BitVec {width}) {seen})")
    for name, d in (("came", "end"), ("went", "round")):
        bodies.figures.meant.append(f"(= {names.constant(name, width, 'seen')} (stand {d}))")
    first, following = names.bit(FIRST), names.bit(NEXT)
    off = (
        f"(noted {first} (may-go-on end) end)",
        f"(ite (may-go-on any) (noted {following} (may-go-on round) round) none)",
    )
    return Endless(off, "(ite (may-go-on any) (off round) none)", fields)


def _fields(names: Names, looks: Looks) -> tuple[Field, ...]:
    """Return what matters of a stand: the weight, and what a claim looks at."""
    found = [("(weight d)", 2, "with the weight on")]
    if looks & Looks.TURN:
        found += [("(loose d)", 1, "loosely turned"), ("(turn d)", names.turn_width, "turned")]
    elif looks & Looks.FACING:
        found.append(("(bvadd front (facing d))", 3, "facing"))
    if looks & Looks.CLOCK:
        found.append(("(beats d)", names.beats_width, "after ticks"))
    return tuple(
        Field(term, width, names.constant(f"a pass begins {text}", width, "pick")) for term, width, text in found
    )


def _member(names: Names, stand: Stand, fields: tuple[Field, ...]) -> str:
    """Return that a dancer stands so, with a name that is true and can be struck out."""
    terms, told = [], []
    for value, part in zip(stand, fields, strict=True):
        if part.term == "(weight d)":
            word = shown = FEET[value]
        elif part.width == 3:
            word, shown = names.wall(value), CLOCK[value]
        else:
            word, shown = literal(value, part.width), str(value)
        terms.append(f"(= {part.term} {word})")
        told.append(shown)
    name = names.fresh(f"may go on: {', '.join(told)}")
    names.say(f"(define-fun {name} () Bool true)")
    return f"(and {name} {' '.join(terms)})"
