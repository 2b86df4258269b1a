"""Passes that are danced over and over: what goes on for ever, and the whole passes that a number of walls is about.

How such a pass may begin is a set, which is guessed and stated; it is asked that the first pass begins so, and that a
pass that begins so ends as one may begin.
"""

from collections.abc import Iterable

from attrs import evolve, frozen

from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import EIGHTHS, Body, Forever, Walls
from stepcheck.model.items import every
from stepcheck.proof.bodies import BEGINS, Bodies, Picks
from stepcheck.proof.names import FEET, WALLS, Names, joined, literal, quoted
from stepcheck.proof.repeats import CLOCK, FACING, TURN

NO_FOOT = 3
Stand = tuple[int, ...]
"""How a dancer stands where a pass of what goes on for ever begins: her weight, and her facing in the room, where one
is claimed (where a turn or a time of the dance is, these as well)."""


@frozen
class Guesses:
    """The guesses of one script.

    `apart` are the bodies after which dancers may differ by what they picked.  `again` are the stands with which what
    goes on for ever begins, `begun` the weights with which whole passes can begin, `refuted` the claims that are
    refuted in the dance.  `readings` are those of all open words, where these are gone through one by one.
    """

    apart: frozenset[object] = frozenset()
    again: frozenset[Stand] = frozenset()
    begun: frozenset[int] = frozenset()
    refuted: frozenset[str] = frozenset()
    readings: tuple[int, ...] | None = None


@frozen
class Field:
    """One part of how a pass begins: its term of a dancer, its bits, and its constant for any who begins one."""

    term: str
    width: int
    constant: str


@frozen
class Kept:
    """A set of ways to begin a pass; the constants `came` and `went` show how the first and the next one begin.

    `came` has none of `unseen`, which stand for no pass.
    """

    fields: tuple[Field, ...]
    came: str
    went: str
    unseen: tuple[int, ...] = ()

    def stand(self, value: int) -> Stand:
        """Return the way that one of the constants shows."""
        out: list[int] = []
        for part in reversed(self.fields):
            out.insert(0, value & (1 << part.width) - 1)
            value >>= part.width
        return tuple(out)


def _fields(names: Names, looks: int, title: str) -> tuple[Field, ...]:
    """Return what matters of how a pass begins: the weight, and what a claim looks at."""
    found = [("(weight d)", 2, "with the weight on")]
    if looks & TURN:
        found += [("(loose d)", 1, "loosely turned"), ("(turn d)", names.turn_width, "turned")]
    elif looks & FACING:
        found.append(("(bvadd front (facing d))", 3, "facing"))
    if looks & CLOCK:
        found.append(("(beats d)", names.beats_width, "after ticks"))
    return tuple(Field(term, width, quoted(f"{title} begins {text}")) for term, width, text in found)


def _words(names: Names, stand: Stand, fields: Iterable[Field]) -> tuple[tuple[str, str], ...]:
    """Return a way to begin, part by part: its term, and how it is called."""
    out = []
    for value, part in zip(stand, fields, strict=True):
        if part.term == "(weight d)":
            out.append((FEET[value], FEET[value]))
        elif part.width == 3:
            out.append((names.wall(value), WALLS[value]))
        else:
            out.append((literal(value, part.width), str(value)))
    return tuple(out)


def _stated(names: Names, name: str, what: str, fields: tuple[Field, ...], ways: Iterable[Stand]) -> list[str]:
    """State the set as a condition on dancers, and return how one of it begins: as written, if there is one only."""
    known, told = [], [_words(names, way, fields) for way in ways]
    for words in told:
        member = names.fresh(f"{what}: {', '.join(shown for _, shown in words)}")  # true, and can be struck out
        names.say(f"(define-fun {member} () Bool true)")
        terms = [f"(= {part.term} {word})" for part, (word, _) in zip(fields, words, strict=True)]
        known.append(f"(and {member} {' '.join(terms)})")
    text = f"(or {' '.join(known)})" if len(known) > 1 else known[0] if known else "false"
    names.say(f"; how a pass may begin is a guess, which is asked below\n(define-fun {name} ((d Dancer)) Bool {text})")
    if len(told) == 1:
        return [word for word, _ in told[0]]
    return [names.constant(part.constant[1:-1], part.width, "pick") for part in fields]


def _shown(bodies: Bodies, fields: tuple[Field, ...], came: tuple[str, str], went: tuple[str, str]) -> Kept:
    """State what shows how the first and the next pass begin."""
    names, width = bodies.names, sum(field.width for field in fields)
    first, following = (names.constant(name, width, "seen") for name, _ in (came, went))
    bodies.figures.meant += [f"(= {first} {came[1]})", f"(= {following} {went[1]})"]
    return Kept(fields, first, following)


# -- for ever ----------------------------------------------------------------------------------------------------------


def danced_round(bodies: Bodies, item: Forever) -> str:
    """State passes one after the other, and return what is false in them.

    They are as many as there are ways to begin: by then a dancer has been wherever she can come.  So it is for sheets
    with blanks, since the ways hang on what fills these.
    """
    names = bodies.names
    lap = bodies.repeats.read_off(bodies.body(f"line {item.line}, for ever", item.body, "front"))
    many = len(FEET) * (EIGHTHS if lap.looks else 1) + (2 if lap.looks & ~FACING else 0)
    here, picks = "end", Picks(names, f"picks of a pass, line {item.line}")
    for number in range(1, many + 1):
        before, here = here, names.fresh(f"after pass {number}")
        names.say(f"(define-fun {here} () Dancer {lap.of(before, picks.take(lap.picks))})", lap.figures)
    return f"(off {here})"


def for_ever(bodies: Bodies, item: Forever, again: frozenset[Stand]) -> tuple[str, str, Kept | None]:
    """State one pass from any way to begin that is guessed.

    Returns:
        what is false in it, or of the guess; what is false in the pass; how passes begin, if that can be seen.
    """
    names = bodies.names
    lap = bodies.body(f"line {item.line}, for ever", item.body, "front")
    fields = _fields(names, lap.looks, "a pass")
    ways = sorted({way[: len(fields)] for way in again if len(way) >= len(fields)})
    words = iter(_stated(names, "may-go-on", "may go on", fields, ways))
    begin = f"(fresh {next(words)})"
    if lap.looks & TURN:
        loose, turn = next(words), next(words)
        begin = f"(dancer (weight {begin}) {loose} {turn} {literal(0, names.beats_width)} none)"
    elif lap.looks & FACING:
        begin = f"(since front (turns (as-turn {next(words)}) {begin}))"
    if lap.looks & CLOCK:
        begin = f"(at {next(words)} {begin})"
    names.say(f"(define-fun any () Dancer {begin})")
    picks = Picks(names, f"picks of a pass, line {item.line}")
    names.say(f"(define-fun round () Dancer {lap.of('any', picks.take(lap.picks))})", lap.figures)
    first = names.bit("the first pass begins as one may begin")
    following = names.bit("the next pass begins as one may begin")
    off = (
        f"(bvor (unless (may-go-on end) {first})"
        f" (ite (may-go-on any) (bvor (off round) (unless (may-go-on round) {following})) none))"
    )
    kept = None
    if len(ways) != 1:
        seen = fields[0].term if len(fields) == 1 else f"(concat {' '.join(field.term for field in fields)})"
        names.say(f"(define-fun stand ((d Dancer)) (_ BitVec {sum(field.width for field in fields)}) {seen})")
        kept = _shown(bodies, fields, ("came", "(stand end)"), ("went", "(stand round)"))
    return off, "(ite (may-go-on any) (off round) none)", kept


# -- walls -------------------------------------------------------------------------------------------------------------


def ordered(body: Body) -> list[Check]:
    """Return the feet that a pass orders."""
    return [item for item in every(body) if isinstance(item, Check) and item.test is Test.LEAD]


def walls(bodies: Bodies, claimed: Walls, passes: str, guesses: Guesses) -> tuple[str, Kept | None]:
    """State two whole passes, their steps alone: they change the facing alike, and as many as there are walls come
    home, no fewer.

    Args:
        bodies: the script.
        claimed: what is claimed.
        passes: the term of what was noted in the dance.
        guesses: the weights with which passes begin, and what is refuted in the dance.

    Returns:
        what is false, as a term; how passes begin, if that can be seen.
    """
    names = bodies.names
    bit = names.bit(f"{claimed.claim.line}: {claimed.claim.text}", claimed.claim.id)
    begun, ended = (names.bit(f"a pass {what} as one may begin") for what in ("of the dance begins", "ends"))
    bodies.counting, counting = False, bodies.counting
    fields = _fields(names, 0, "pass one"), _fields(names, 0, "pass two")
    ways = [] if bodies.census.blanks else sorted((foot,) for foot in guesses.begun)
    (one,) = _stated(names, "may-begin", "may begin on", fields[0], ways or [(foot,) for foot in guesses.begun])
    two = one if len(ways) == 1 else names.constant(fields[1][0].constant[1:-1], 2, "pick")
    if len(ways) != 1:
        one = names.constant(fields[0][0].constant[1:-1], 2, "pick")
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
    if len(ways) == 1:
        return off, None
    came = "(weight start)"
    if bodies.laps:
        came = names.constant("a pass that has begun", 2, "pick")
        told = " ".join(f"(and (= {came} {foot}) {mark})" for mark, foot in zip(marked, FEET, strict=True))
        came = f"(ite (or {told}) {came} #b11)"
    kept = _shown(bodies, fields[0], ("begins", came), ("ends", "(weight one)"))
    return off, evolve(kept, unseen=(NO_FOOT,))
