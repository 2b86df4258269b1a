"""The number of walls: two whole passes change the facing alike, and as many as there are walls come home, no fewer."""

from attrs import frozen

from stepcheck.model.dance import Body, Check, Program, Test, Walls
from stepcheck.model.items import every
from stepcheck.proof.bodies import BEGINS, Bodies, Picks
from stepcheck.proof.guesses import Guesses
from stepcheck.proof.names import FEET, joined, quoted

BEGUN = "a pass of the dance begins as one may begin"
ENDED = "a pass ends as one may begin"


@frozen
class Stated:
    """What is false about the walls, as a term, and the bit of the claim."""

    off: str
    bit: str


def ordered(body: Body) -> list[Check]:
    """Return the feet that a pass orders."""
    return [item for item in every(body) if isinstance(item, Check) and item.test is Test.LEAD]


def walls(bodies: Bodies, program: Program, stated: Walls, passes: str, guesses: Guesses) -> Stated:
    """State two whole passes, their steps alone, and what is claimed; `passes` is what was noted in the dance."""
    names, line = bodies.names, stated.claim.line
    bit = names.bit(f"{line}: {stated.claim.text}", stated.claim.id)
    begun, ended = names.bit(BEGUN), names.bit(ENDED)
    bodies.counting, counting = False, bodies.counting
    once = bodies.repeats.read_off(bodies.body("a whole pass for its steps alone", stated.body, "#b000"))
    feet = list(
        dict.fromkeys(
            (names.bit(f"{c.claim.line}: {c.claim.text}", c.claim.id), c.claim.id) for c in ordered(stated.body)
        )
    )
    bodies.counting = counting
    names.say("; the weights with which a whole pass may begin: a guess, which is asked below")
    on = []
    for foot, name in enumerate(FEET):
        if foot in guesses.begun:
            names.say(f"(define-fun |may begin on {name}| () Bool true)")
            on.append(f"(and |may begin on {name}| (= w {name}))")
    text = f"(or {' '.join(on)})" if len(on) > 1 else on[0] if on else "false"
    names.say(f"(define-fun may-begin ((w Weight)) Bool {text})")
    for who in ("one", "two"):
        weight = names.constant(begins_with(who), 2, "pick")
        picks = Picks(names, f"picks of pass {who}")
        names.say(f"(define-fun {who} () Dancer {once.of(f'(fresh {weight})', picks.take(once.picks))})", once.figures)
    names.say(f"(define-fun noted-in-passes () Off {passes})")
    for name, width, term in (
        ("ends", 2, "(weight one)"),
        ("begins", 3, f"(concat {' '.join(map(_began, (2, 1, 0)))})"),
    ):
        bodies.figures.meant.append(f"(= {names.constant(name, width, 'seen')} {term})")
    home = ["#b000"]
    for _ in range(stated.count):
        home.append(f"(bvadd {home[-1]} (facing one))")
    comes = [f"(= {home[-1]} #b000)", *(f"(not (= {fewer} #b000))" for fewer in home[1:-1])]
    left_out = [name for name, claim in feet if claim in guesses.refuted]
    if left_out:
        names.say(f"; refuted in the dance, so not asked of a whole pass: {' '.join(left_out)}")
    orders = joined("bvor", [name for name, claim in feet if claim not in guesses.refuted], "none")
    names.say(f"(define-fun feet-ordered () Off {orders})")
    names.say("(define-fun led-as-ordered ((d Dancer)) Bool (= none (bvand feet-ordered (off d))))")
    names.say(
        f"(define-fun come-home () Bool (and (= (facing one) (facing two))\n"
        f"  {' '.join(comes)}\n  (led-as-ordered one) (led-as-ordered two)))"
    )
    outside = [f"(and (not (may-begin {foot})) (= {_began(number)} #b1))" for number, foot in enumerate(FEET)]
    first = f"(not (or {' '.join(outside)}))" if bodies.laps else f"(may-begin (other {FEET[program.lead]}))"
    both = " ".join(f"(may-begin {quoted(begins_with(who))})" for who in ("one", "two"))
    # Nothing in such a pass counts as checked, but what was guessed of it is asked.
    alike = joined("bvor", list(bodies.repeats.alike), "none")
    names.say(f"(define-fun guessed-of-passes () Off (bvand {alike} (bvor (off one) (off two))))")
    off = (
        f"(bvor (ite {first} none {begun}) (ite (and {both})\n"
        f"  (bvor guessed-of-passes (bvor (ite come-home none {bit}) "
        f"(ite (may-begin (weight one)) none {ended}))) none))"
    )
    return Stated(off, bit)


def begins_with(who: str) -> str:
    """Return what the weight is called with which one of the two passes begins."""
    return f"pass {who} begins with the weight on"


def _began(foot: int) -> str:
    return f"(bvcomp {quoted(BEGINS[foot])} (bvand {quoted(BEGINS[foot])} noted-in-passes))"
