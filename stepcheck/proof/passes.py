"""Passes that are danced over and over: what goes on for ever, and the whole passes that a number of walls is about.

On which feet such a whole pass may begin is a set, which is guessed and stated; it is asked that the first pass begins
so, and that a pass that begins so ends as one may begin.
"""

from attrs import frozen

from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import EIGHTHS, Body, Forever, Walls
from stepcheck.proof.bodies import BEGINS, Bodies
from stepcheck.proof.census import every
from stepcheck.proof.names import FEET, Picks, joined, quoted
from stepcheck.proof.repeats import FACING

NO_FOOT = 3
BEGUN_ON = "pass one begins with the weight on", "pass two begins with the weight on"
CAME, WENT = "begins", "ends"  # the weight with which a pass begins, and that with which one ends


@frozen
class Guesses:
    """The guesses of one script.

    `apart` are the bodies after which dancers may differ by what they picked.  `begun` are the weights with which whole
    passes can begin, `refuted` the claims that are refuted in the dance.  `readings` are those of all open words, where
    these are gone through one by one.
    """

    apart: frozenset[object] = frozenset()
    begun: frozenset[int] = frozenset()
    refuted: frozenset[str] = frozenset()
    readings: tuple[int, ...] | None = None


def danced_round(bodies: Bodies, item: Forever) -> str:
    """State passes one after the other, and return what is false in the dance and in them.

    They are as many as there are ways to begin: by then a dancer has been wherever she can come.
    """
    names = bodies.names
    lap = bodies.repeats.read_off(bodies.body(f"line {item.line}, for ever", item.body, "front"))
    many = len(FEET) * (EIGHTHS if lap.looks else 1) + (2 if lap.looks & ~FACING else 0)
    here, picks = "end", Picks(names, f"picks of a pass, line {item.line}")
    for number in range(1, many + 1):
        before, here = here, names.fresh(f"after pass {number}")
        names.say(f"(define-fun {here} () Dancer {lap.of(before, picks.take(lap.picks))})", lap.figures)
    return f"(off {here})"


def ordered(body: Body) -> list[Check]:
    """Return the feet that a pass orders."""
    return [item for item in every(body) if isinstance(item, Check) and item.test is Test.LEAD]


def walls(bodies: Bodies, claimed: Walls, passes: str, guesses: Guesses) -> tuple[str, bool]:
    """State two whole passes, their steps alone: they change the facing alike, and as many as there are walls come
    home, no fewer.

    Args:
        bodies: the script.
        claimed: what is claimed.
        passes: the term of what was noted in the dance.
        guesses: the weights with which passes begin, and what is refuted in the dance.

    Returns:
        what is false, as a term; whether `CAME` and `WENT` show how passes begin.
    """
    names = bodies.names
    bit = names.bit(f"{claimed.claim.line}: {claimed.claim.text}", claimed.claim.id)
    begun, ended = (names.bit(f"a pass {what} as one may begin") for what in ("of the dance begins", "ends"))
    bodies.counting, counting = False, bodies.counting
    members = []
    for foot in sorted(guesses.begun):
        members.append(names.fresh(f"may begin on: {FEET[foot]}"))  # true, and can be struck out
        names.say(f"(define-fun {members[-1]} () Bool true)")
    known = [
        f"(and {name} (= (weight d) {FEET[foot]}))" for foot, name in zip(sorted(guesses.begun), members, strict=True)
    ]
    names.say(
        "; how a pass may begin is a guess, which is asked below\n"
        f"(define-fun may-begin ((d Dancer)) Bool (or false {' '.join(known)}))"
    )
    settled = len(members) == 1 and not bodies.census.blanks
    one, two = (FEET[min(guesses.begun)],) * 2 if settled else (names.constant(name, 2, "pick") for name in BEGUN_ON)
    title = "a whole pass for its steps alone"
    if one == two and bodies.in_place(claimed.body):
        said = bodies.inside(title, claimed.body, "#b000", Picks(names, "one"), f"(fresh {one})")
        names.say(f"(define-fun one () Dancer {said.term})\n(define-fun two () Dancer one)", said.figures)
    else:
        once = bodies.repeats.read_off(bodies.body(title, claimed.body, "#b000"))
        for who, weight in (("one", one), ("two", two)):
            picked = Picks(names, f"picks of pass {who}").take(once.picks)
            names.say(f"(define-fun {who} () Dancer {once.of(f'(fresh {weight})', picked)})", once.figures)
    bodies.counting = counting
    names.say(f"(define-fun noted-in-passes () Off {passes})")
    home = ["#b000"]
    for _ in range(claimed.count):
        home.append(f"(bvadd {home[-1]} (facing one))")
    comes = [f"(= {home[-1]} #b000)", *(f"(not (= {fewer} #b000))" for fewer in home[1:-1])]
    feet = {
        check.claim.id: names.bit(f"{check.claim.line}: {check.claim.text}", check.claim.id)
        for check in ordered(claimed.body)
    }
    excused = [name for claim, name in feet.items() if claim in guesses.refuted]
    if excused:
        names.say(f"; refuted in the dance, so not asked of a whole pass: {' '.join(excused)}")
    orders = joined("bvor", [name for claim, name in feet.items() if claim not in guesses.refuted], "none")
    # Nothing in such a pass counts as checked, but what was guessed of it is asked.
    alike = joined("bvor", list(bodies.repeats.alike), "none")
    names.say(
        f"(define-fun feet-ordered () Off {orders})\n"
        "(define-fun led-as-ordered ((d Dancer)) Bool (= none (bvand feet-ordered (off d))))\n"
        f"(define-fun come-home () Bool (and (= (facing one) (facing two))\n  {' '.join(comes)}\n"
        "  (led-as-ordered one) (led-as-ordered two)))\n"
        f"(define-fun guessed-of-passes () Off (bvand {alike} (bvor (off one) (off two))))"
    )
    marked = [f"(not (= none (bvand {quoted(name)} noted-in-passes)))" for name in BEGINS]
    within = " ".join(f"(=> {mark} (may-begin (fresh {foot})))" for mark, foot in zip(marked, FEET, strict=True))
    first = f"(and {within})" if bodies.laps else "(may-begin start)"
    off = (
        f"(bvor (unless {first} {begun}) (ite (and (may-begin (fresh {one})) (may-begin (fresh {two})))\n"
        f"  (bvor guessed-of-passes (bvor (unless come-home {bit}) (unless (may-begin one) {ended}))) none))"
    )
    if settled:
        return off, False
    came = "(weight start)"
    if bodies.laps:
        came = names.constant("a pass that has begun", 2, "pick")
        told = " ".join(f"(and (= {came} {foot}) {mark})" for mark, foot in zip(marked, FEET, strict=True))
        came = f"(ite (or {told}) {came} #b11)"
    shown = (CAME, came), (WENT, "(weight one)")
    bodies.figures.meant += [f"(= {names.constant(name, 2, 'seen')} {weight})" for name, weight in shown]
    return off, True
