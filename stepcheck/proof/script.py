"""The whole script of a program: the vocabulary, the names, the dance, and the one question."""

from itertools import pairwise

from attrs import frozen

from stepcheck.model.claims import Kind
from stepcheck.model.dance import TICKS, Forever, Lengths, Program, Spare
from stepcheck.model.floor import Meeting
from stepcheck.proof.bodies import BEGINS, Bodies
from stepcheck.proof.figures import Figures
from stepcheck.proof.names import FEET, Names, Picks, TooLarge, chosen, joined, literal, quoted
from stepcheck.proof.passes import Guesses, Kept, danced_round, for_ever, walls
from stepcheck.proof.prelude import Census, Widths, prelude
from stepcheck.proof.repeats import Repeats
from stepcheck.proof.solving import Shared
from stepcheck.proof.travel import named, travels
from stepcheck.proof.ways import Probe

RELATIONS = {
    Kind.SAME_WALL: "(= (facing {one}) (facing {other}))",
    Kind.SAME_BEAT: "(= (beats {one}) (beats {other}))",
    Kind.MIRROR: "(and (= (facing {one}) (bvneg (facing {other})))"
    " (= (weight {one}) (ite (= (weight {other}) both) both (other (weight {other})))))",
}
"""What holds between two dancers whose frames began on the same wall."""
DANCED = "false in the dance itself"
WIDEST = 1024
QUESTION = "(assert (not (= sentences none))) ; some sentence is false\n"


@frozen
class Script:
    """A script and what its bits mean.

    `vocabulary`, the texts `shared` and `text` follow each other in it. `names` has its bits, of which those without an
    owner are guesses; `claimed` are the claims that a check asks, `reached` those of which one reaches the end; `alike`
    the bodies of the guesses that dancers end alike; `ever` and `walls` show how passes begin, where that can be seen;
    `endless` says whether something goes on for ever, `tables` whether dancers part in a long repeat, `blanks` whether
    something is to be found.
    """

    vocabulary: str
    shared: Shared
    text: str
    names: Names
    claimed: frozenset[str]
    reached: frozenset[str]
    alike: dict[str, object]
    ever: Kept | None
    walls: Kept | None
    endless: bool
    tables: bool
    blanks: bool

    @property
    def whole(self) -> str:
        """The text that is asked."""
        return f"{self.vocabulary}{self.shared.text}{self.text}(check-sat)\n"


def write(program: Program, guesses: Guesses, probe: Probe) -> Script:
    """Return the script of a program under what is guessed; `probe` says what may come of a body in which dancers part.

    Raises:
        TooLarge: the dance cannot be stated in a text of reasonable size.
    """
    census = Census.of(program)
    measure = Widths.holding(census.turn, census.ticks, 1)
    if max(measure.turn, measure.beats) > WIDEST:
        raise TooLarge
    names = Names(measure.turn, measure.beats)
    feet = len(FEET) if census.both else 2
    figures = Figures(names, feet, {word.key: word for word in program.words})
    repeats = Repeats(names, feet, guesses.apart, probe, census.blanks)
    bodies = Bodies(names, figures, repeats, census, program.walls is not None)
    marks = [names.bit(text) for text in BEGINS] if program.walls else []
    names.say(f"(define-fun start () Dancer (fresh (other {FEET[program.lead]})))")
    ever = _dance(bodies, program)
    off, passes, seen, begun = ["(off end)"], "(off end)", None, None
    if ever is not None:
        if census.blanks:
            passes = danced_round(bodies, ever)
            off.append(passes)
        else:
            false, passes, seen = for_ever(bodies, ever, guesses.again)
            off.append(false)
            passes = f"(bvor (off end) {passes})"
    danced = list(off)
    off += [term for number, spare in enumerate(program.spares, 1) for term in _spare(bodies, spare, number)]
    off += [_length(bodies, length) for length in program.lengths]
    met = [one for one in program.meetings if one.claim.kind is not Kind.APART]
    off += [_meeting(bodies, program.groups, meeting, number) for number, meeting in enumerate(met, 1)]
    ends = named(bodies, program)
    if program.walls is not None:
        false, begun = walls(bodies, program.walls, passes, guesses)
        off.append(false)
        if program.spares:  # what is false in a part that is never danced excuses no ordered foot
            noted = joined("bvor", [*danced, *repeats.asked], "none")
            figures.meant.append(f"(= {names.constant(DANCED, widths_of(names).off, 'seen')} {noted})")
        bodies.claimed[program.walls.claim.id] = True
    off += travels(bodies, program, ends)
    total = joined("bvor", [*off, *repeats.asked], "none")
    total = f"(bvand (bvnot {joined('bvor', marks)}) {total})" if marks else total
    widths = widths_of(names)
    tail = [
        *(f"(assert {condition})" for condition in figures.meant),
        f"(define-fun sentences () Off {total}) ; those that are false on the way of some dancer",
        QUESTION,
    ]
    return Script(
        prelude(widths),
        Shared(names.shared, names.known),
        "\n".join([*opening(program, names, guesses, widths), *tail]),
        names,
        frozenset(bodies.claimed),
        frozenset(claim for claim, reached in bodies.claimed.items() if reached),
        repeats.alike,
        seen,
        begun,
        ever is not None,
        bool(repeats.asked),
        census.blanks,
    )


def opening(program: Program, names: Names, guesses: Guesses, widths: Widths) -> list[str]:
    """Return the constants, the names and all that has been stated so far, but for what is shared."""
    readings = (quoted(f"reading of {word.key}") for word in program.words)
    settled = dict(zip(readings, guesses.readings or (), strict=False))
    head = [
        f"(define-fun {one.name} () (_ BitVec {one.width}) {literal(settled[one.name], one.width)})"
        if one.name in settled
        else f"(declare-const {one.name} (_ BitVec {one.width}))"
        for one in names.constants.values()
    ]
    head += [f"(define-fun {name} () Off (sentence (_ bv{bit} {widths.off})))" for name, bit in names.bits.items()]
    head.append(f"(define-fun front () Eighths {names.wall(program.facing)})")
    if program.walls is not None:
        foot = chosen(lambda number: f"(= (weight before) {FEET[number]})", [quoted(text) for text in BEGINS])
        head.append(f"(define-fun begins-pass ((before Dancer) (d Dancer)) Dancer (noted {foot} d))")
    return head + names.lines


def widths_of(names: Names) -> Widths:
    """Return the widths for what has been stated so far."""
    return Widths(names.turn_width, names.beats_width, Widths.holding(0, 0, len(names.owners)).off)


def _dance(bodies: Bodies, program: Program) -> Forever | None:
    """State the dance point by point, and return what goes on for ever after it."""
    names, here, items = bodies.names, "start", list(program.dance)
    ever = items.pop() if items and isinstance(items[-1], Forever) else None
    for number, item in enumerate(items, 1):
        line = getattr(item, "line", None)
        place = f"picks of {line}" if line else f"picks of point {number}"
        said = bodies.item(item, "the dance", "front", Picks(names, place))
        before, here = here, names.fresh(f"after {said.note}" if said.note else f"point {number}")
        names.say(f"(define-fun {here} () Dancer (let ((d {before})) {said.term}))", said.figures)
    names.say(f"(define-fun end () Dancer {here})")
    assert ever is None or isinstance(ever, Forever)
    return ever


def _spare(bodies: Bodies, spare: Spare, number: int) -> list[str]:
    """State a part that is never danced, from each of its weights; no pass begins there."""
    title = f"a part by itself, {number}"
    bodies.walls, walls = False, bodies.walls
    made = bodies.body(title, spare.body, "#b000")
    bodies.walls = walls
    picks = Picks(bodies.names, f"picks of {title}")
    return [f"(off {made.of(f'(fresh {FEET[weight]})', picks.take(made.picks))})" for weight in spare.weights]


def _length(bodies: Bodies, length: Lengths) -> str:
    """Return what is false where the last beat of a figure's movements is not its stated length."""
    names, claim = bodies.names, length.claim
    bodies.claimed[claim.id] = True
    version = length.figure.versions[length.figure.usual]
    text = names.beats(0)
    for action in version.actions:
        text = f"(later {text} {names.beats(action.beat * TICKS)})"
    return f"(unless (= {text} {names.beats(length.ticks)}) {names.bit(f'{claim.line}: {claim.text}', claim.id)})"


def _meeting(bodies: Bodies, groups: tuple[str, ...], meeting: Meeting, number: int) -> str:
    """Return what is false where a dancer of a group and one of the next, each with her own picks, do not stand to each
    other as a claim says."""
    names, claim, ends = bodies.names, meeting.claim, list[str]()
    bodies.claimed[claim.id] = True
    for group, before in zip(groups, meeting.before, strict=True):
        title = f"{group} before meeting {number}"
        made = bodies.body(title, before, "front")
        picks = Picks(names, f"picks of {title}").take(made.picks)
        ends.append(names.fresh(f"{group} at meeting {number}"))
        names.say(f"(define-fun {ends[-1]} () Dancer {made.of('start', picks)})", made.figures)
    holds = [RELATIONS[claim.kind].format(one=one, other=other) for one, other in pairwise(ends)]
    return f"(unless {joined('and', holds)} {names.bit(f'{claim.line}: {claim.text}', claim.id)})"
