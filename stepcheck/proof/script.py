"""The whole script of a program: the vocabulary, the names, the dance, and the one question."""

from collections.abc import Iterable

from attrs import frozen

from stepcheck.model.dance import (
    EIGHTHS,
    TICKS,
    Body,
    Check,
    Choice,
    Forever,
    Gap,
    Lengths,
    Program,
    Repeat,
    Rest,
    Step,
    Test,
    Together,
)
from stepcheck.proof.bodies import BEGINS, Bodies, Picks, bodies_of, lands_on_both, places_of
from stepcheck.proof.endless import Endless, among_stands, danced_round
from stepcheck.proof.figures import Figures
from stepcheck.proof.guesses import Guesses
from stepcheck.proof.names import FEET, Constant, Names, TooLarge, chosen, joined, literal, quoted
from stepcheck.proof.prelude import Widths, prelude
from stepcheck.proof.repeats import Repeats
from stepcheck.proof.solving import Shared
from stepcheck.proof.walls import walls
from stepcheck.proof.ways import Probe

DANCED = "false in the dance itself"
MOST_TIMES = 64  # of a repeat without a number
WIDEST = 1024
QUESTION = "(assert (not (= sentences none))) ; some sentence is false\n(check-sat)\n"


@frozen
class Script:
    """A script and what its bits mean.

    `vocabulary`, the texts `shared`, `text` and `QUESTION` follow each other in it.  `owners` are the claims of the
    bits, empty where a bit is a guess; `claimed` the claims that a check reaches; `alike` the bodies of the guesses
    that dancers end alike; `laps` says whether the dance reaches a whole pass that the walls are about, `tables`
    whether dancers part in a long repeat, `blanks` whether something is to be found, `figures` how many it dances with
    every definition written out.
    """

    vocabulary: str
    shared: Shared
    text: str
    widths: Widths
    bits: dict[str, int]
    owners: tuple[str, ...]
    constants: tuple[Constant, ...]
    claimed: frozenset[str]
    alike: dict[str, object]
    endless: Endless | None
    walls: str
    laps: bool
    tables: bool
    blanks: bool
    figures: int

    @property
    def whole(self) -> str:
        """The text that is asked."""
        return f"{self.vocabulary}{self.shared.text}{self.text}{QUESTION}"


def write(program: Program, guesses: Guesses, probe: Probe) -> Script:
    """Return the script of a program under what is guessed; `probe` says what may come of a body in which dancers part.

    Raises:
        TooLarge: the dance cannot be stated in a text of reasonable size.
    """
    eighths, ticks = _reach(program)
    measure = Widths.holding(eighths, ticks, 1)
    if max(measure.turn, measure.beats) > WIDEST:
        raise TooLarge
    names = Names(measure.turn, measure.beats, sharing=not program.words)
    both, blanks = lands_on_both(program), has_blanks(program)
    feet = len(FEET) if both else 2
    figures = Figures(names, feet, {word.key: word for word in program.words})
    repeats = Repeats(names, feet, guesses.apart, probe, blanks)
    bodies = Bodies(names, figures, repeats, both, program.walls is not None, places=places_of(program))
    marks = [names.bit(text) for text in BEGINS] if program.walls else []
    names.say(f"(define-fun start () Dancer (fresh (other {FEET[program.lead]})))")
    off, endless = _dance(bodies, program, guesses, blanks)
    danced = list(off)
    for number, spare in enumerate(program.spares, 1):
        off += _spare(bodies, spare.body, (FEET[weight] for weight in spare.weights), number)
    off += [_length(bodies, length) for length in program.lengths]
    claim = ""
    if program.walls is not None:
        stated = walls(bodies, program, program.walls, endless.passes if endless else "(off end)", guesses)
        off.append(stated.off)
        if program.spares:  # what is false in a part that is never danced excuses no ordered foot
            noted = joined("bvor", [*danced, *repeats.asked], "none")
            figures.meant.append(f"(= {names.constant(DANCED, widths_of(names).off, 'seen')} {noted})")
        bodies.claimed[program.walls.claim.id] = None
        claim = stated.bit
    total = joined("bvor", [*off, *repeats.asked], "none")
    total = f"(bvand (bvnot {joined('bvor', marks)}) {total})" if marks else total
    return _assembled(program, bodies, total, endless, claim, guesses)


def _assembled(
    program: Program, bodies: Bodies, total: str, endless: Endless | None, claim: str, guesses: Guesses
) -> Script:
    names = bodies.names
    widths = widths_of(names)
    tail = [
        "(declare-const sentences Off) ; those that are false on the way of some dancer",
        f"(assert (= sentences {total}))",
    ]
    tail += [f"(assert {condition})" for condition in bodies.figures.meant]
    text = "\n".join([*opening(program, names, guesses, widths), *tail, ""])
    return Script(
        prelude(widths),
        Shared(names.shared, names.known),
        text,
        widths,
        names.bits,
        tuple(names.owners),
        tuple(names.constants.values()),
        frozenset(bodies.claimed),
        bodies.repeats.alike,
        endless,
        claim,
        bodies.laps,
        bool(bodies.repeats.asked),
        bodies.repeats.blanks,
        names.figures,
    )


def opening(program: Program, names: Names, guesses: Guesses, widths: Widths) -> list[str]:
    """Return the constants, the names and all that has been stated so far, but for what is shared."""
    front = names.wall(program.facing)
    settled = dict(
        zip((quoted(f"reading of {word.key}") for word in program.words), guesses.readings or (), strict=False)
    )
    head = [
        f"(define-fun {one.name} () (_ BitVec {one.width}) {literal(settled[one.name], one.width)})"
        if one.name in settled
        else f"(declare-const {one.name} (_ BitVec {one.width}))"
        for one in names.constants.values()
    ]
    head += [f"(define-fun {name} () Off (sentence {literal(bit, widths.off)}))" for name, bit in names.bits.items()]
    head += [] if names.sharing else names.values.values()
    head.append(f"(define-fun front () Eighths {front})")
    if program.walls is not None:
        foot = chosen(lambda number: f"(= (weight before) {FEET[number]})", [quoted(text) for text in BEGINS])
        noted = f"(concat (but-off d) (noted {foot} false d))"
        head.append(f"(define-fun begins-pass ((before Dancer) (d Dancer)) Dancer {noted})")
    return head + names.lines


def widths_of(names: Names) -> Widths:
    """Return the widths for what has been stated so far."""
    return Widths(names.turn_width, names.beats_width, Widths.holding(0, 0, len(names.owners)).off)


def _dance(bodies: Bodies, program: Program, guesses: Guesses, blanks: bool) -> tuple[list[str], Endless | None]:
    """State the dance point by point, and what goes on for ever after it."""
    dance, names, here = program.dance, bodies.names, "start"
    ever = dance[-1] if dance and isinstance(dance[-1], Forever) else None
    for number, item in enumerate(dance[:-1] if ever else dance, 1):
        line = getattr(item, "line", None)
        place = f"picks of {line}" if line else f"picks of point {number}"
        said = bodies.item(item, "the dance", "front", Picks(names, place))
        before, here = here, names.fresh(f"after {said.note}" if said.note else f"point {number}")
        names.say(f"(define-fun {here} () Dancer (let ((d {before})) {said.term}))", said.figures)
    names.say(f"(define-fun end () Dancer {here})")
    if ever is None:
        return ["(off end)"], None
    endless = danced_round(bodies, ever) if blanks else among_stands(bodies, ever, guesses.again)
    return ["(off end)", *endless.off], Endless(endless.off, f"(bvor (off end) {endless.passes})", endless.fields)


def _spare(bodies: Bodies, body: Body, weights: Iterable[str], number: int) -> list[str]:
    """State a part that is never danced, from each of its weights."""
    title = f"a part by itself, {number}"
    bodies.walls, walls = False, bodies.walls
    made = bodies.body(title, body, "#b000")
    bodies.walls = walls
    picks = Picks(bodies.names, f"picks of {title}")
    return [f"(off {made.of(f'(fresh {foot})', picks.take(made.picks))})" for foot in weights]


def _length(bodies: Bodies, length: Lengths) -> str:
    """Return what is false where the last beat of a figure's movements is not its stated length."""
    names, claim = bodies.names, length.claim
    bodies.claimed[claim.id] = None
    version = length.figure.versions[length.figure.usual]
    ends = [names.beats(action.beat * TICKS) for action in version.actions]
    text = names.beats(0)
    for end in ends:
        text = f"(later {text} {end})"
    return f"(ite (= {text} {names.beats(length.ticks)}) none {names.bit(f'{claim.line}: {claim.text}', claim.id)})"


# -- widths ------------------------------------------------------------------------------------------------------------


def _reach(program: Program) -> tuple[int, int]:
    """Return more eighths to either side, and more ticks, than any sum of the script comes to."""
    known: dict[int, tuple[int, int]] = {}
    sizes = [_extent(body, known) for body in bodies_of(program)]
    ends = [
        max([length.ticks, *(a.beat * TICKS for a in v.actions)])
        for length in program.lengths
        for v in (length.figure.versions[length.figure.usual],)
    ]
    return max(turn for turn, _ in sizes) + EIGHTHS, max([TICKS, *(ticks for _, ticks in sizes), *ends])


def _extent(body: Body, known: dict[int, tuple[int, int]]) -> tuple[int, int]:
    if id(body) in known:
        return known[id(body)]
    turn = ticks = 0
    for item in body:
        more = _item_extent(item, known)
        turn, ticks = turn + more[0], ticks + more[1]
    known[id(body)] = turn, ticks
    return turn, ticks


def _item_extent(item: object, known: dict[int, tuple[int, int]]) -> tuple[int, int]:
    match item:
        case Step():
            versions = item.figure.versions
            turn = max(EIGHTHS, abs(item.turn or 0), *(abs(version.turn) for version in versions))
            return turn, max(version.length for version in versions)
        case Rest() | Gap():
            return EIGHTHS, item.ticks
        case Check():
            value = abs(item.value or 0)
            return (0, value) if item.test is Test.CLOCK else (max(EIGHTHS, value), 0)
        case Together():
            sizes = [_item_extent(check, known) for check in item.checks]
        case Choice():
            sizes = [_extent(option, known) for option in item.options]
        case Repeat():
            turn, ticks = _extent(item.body, known)
            times = MOST_TIMES if item.times is None else item.times
            return turn * times, ticks * times
        case _:
            turn, ticks = _extent(item.body, known)  # type: ignore[attr-defined]
            return turn + EIGHTHS, max(ticks, getattr(item, "lasts", None) or 0)
    return sum(size[0] for size in sizes), sum(size[1] for size in sizes)


def has_blanks(program: Program) -> bool:
    """Whether something in a program is to be found."""
    seen: set[int] = set()
    return any(_has_blanks(body, seen) for body in bodies_of(program))


def _has_blanks(body: Body, seen: set[int]) -> bool:
    if id(body) in seen:
        return False
    seen.add(id(body))
    for item in body:
        match item:
            case Gap() | Step(blank=True) | Check(test=Test.LEAD, value=None) | Repeat(times=None):
                return True
            case Together():
                if _has_blanks(item.checks, seen):
                    return True
            case Choice():
                if any(_has_blanks(option, seen) for option in item.options):
                    return True
            case _ if _has_blanks(getattr(item, "body", ()), seen):
                return True
    return False
