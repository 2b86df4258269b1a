"""Programs built by hand, and strategies for random ones.

Nothing here goes through the parser: these are the values that both engines read.
"""

from itertools import count

from attrs import evolve
from hypothesis import strategies as st

from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import (
    TICKS,
    Action,
    Body,
    Choice,
    Figure,
    Foot,
    Forever,
    Gap,
    Item,
    Lap,
    Last,
    Lengths,
    Pass,
    Program,
    Repeat,
    Rest,
    Spare,
    Step,
    Timed,
    Together,
    Version,
    Walls,
    Weight,
    Word,
)
from stepcheck.model.movements import Actor, Movement, Sense

FREE = Sense("free foot, with weight", Actor.FREE, True)
BRUSH = Sense("free foot, without weight", Actor.FREE, False)
HELD = Sense("supporting foot", Actor.SUPPORT, True)
LANDED = Sense("both feet, with weight", Actor.BOTH, True)
BOUNCED = Sense("both feet, without weight", Actor.BOTH, False)
NOBODY = Sense("nobody", Actor.NOBODY, False)

STEP = Movement("step", ("S",), (FREE,))
TOUCH = Movement("touch", ("TCH",), (BRUSH,))
HOP = Movement("hop", ("HOP",), (HELD,))
JUMP = Movement("jump", ("JUMP",), (LANDED,))
BOUNCE = Movement("bounce", ("BO",), (BOUNCED,))
HOLD = Movement("hold", ("HOLD",), (NOBODY,))
STOMP = Movement("stomp", ("STO",), (FREE, BRUSH))
MOVEMENTS = (STEP, TOUCH, HOP, JUMP, BOUNCE, HOLD)

KINDS = {
    Test.LEAD: Kind.LEAD,
    Test.FOOT: Kind.FOOT,
    Test.BOTH: Kind.BOTH,
    Test.FACING: Kind.FACING,
    Test.CLOCK: Kind.LENGTH,
    Test.TURN: Kind.TURN,
    Test.EITHER: Kind.TURN,
}


def row(*moves: Movement | tuple[Movement, Foot]) -> tuple[Action, ...]:
    """Return actions, a beat each; a movement may come with its foot."""
    pairs = [move if isinstance(move, tuple) else (move, None) for move in moves]
    return tuple(Action(move, foot, TICKS * beat, beat) for beat, (move, foot) in enumerate(pairs, 1))


def figure(
    name: str, *moves: Movement | tuple[Movement, Foot], turn: int = 0, lead: Foot = Foot.LEFT, ticks: int | None = None
) -> Figure:
    """Return a figure of one version, a beat a movement."""
    return Figure(name, (Version("", row(*moves), TICKS * len(moves) if ticks is None else ticks, turn),), lead=lead)


CHANGE = figure("Change", STEP)
BACK = figure("Back", STEP, STEP)
POINT = figure("Point", TOUCH)
LEAP = figure("Leap", JUMP)
SPIN = figure("Spin", STEP, STEP, turn=2)
SWING = figure("Swing", STEP, turn=-2)


class Maker:
    """Makes claims with ids of their own, in order, and programs that list them."""

    def __init__(self) -> None:
        self.claims: list[Claim] = []
        self._numbers = count(1)

    def claim(self, kind: Kind, line: int = 0) -> Claim:
        """Return a new claim."""
        number = next(self._numbers)
        made = Claim(f"c{number}", kind, line or number, f"claim {number}")
        self.claims.append(made)
        return made

    def check(self, test: Test, value: int | None = None) -> Check:
        """Return a check of a new claim."""
        claim = self.claim(KINDS[test])
        return Check(claim.line, claim, test, value)

    def choice(self, *options: Body) -> Choice:
        """Return a variation with a claim of its own."""
        claim = self.claim(Kind.ALTERNATIVES)
        return Choice(claim.line, claim, options)

    def program(self, *dance: Item, **more: object) -> Program:
        """Return a program that lists every claim made so far."""
        values = {"lead": Foot.LEFT, "facing": 0} | more
        return Program(dance=dance, claims=tuple(self.claims), **values)


def step(made: Figure, turn: int | None = None, *, blank: bool = False) -> Step:
    """Return one dance of a figure."""
    return Step(
        1, made, turn, blank, place=sum(made.name.encode()) if blank else 0
    )  # no place has blanks of two figures


def part(*body: Item, lap: bool = False, lasts: int | None = None) -> Pass:
    """Return one time through a part."""
    return Pass(1, "Part", 0, body, lap, lasts)


def word(name: Movement | Figure) -> Word:
    """Return an open word for all readings of a movement or figure."""
    options = name.senses if isinstance(name, Movement) else name.versions
    return Word(name.name, tuple(option.label for option in options), name.usual)


# -- random programs -------------------------------------------------------------------------------------------------

_feet = st.sampled_from(Foot)
_lengths = st.sampled_from((None, None, None, 2 * TICKS, 4 * TICKS))


@st.composite
def movement_rows(draw: st.DrawFn, movements: tuple[Movement, ...] = MOVEMENTS, largest: int = 4) -> tuple[Action, ...]:
    """Draw the actions of a figure; some may be impossible for a dancer, which is for others to refuse."""
    moves = draw(st.lists(st.tuples(st.sampled_from(movements), st.none() | _feet), min_size=1, max_size=largest))
    return tuple(Action(move, foot, TICKS * beat, beat) for beat, (move, foot) in enumerate(moves, 1))


def possible(actions: tuple[Action, ...]) -> bool:
    """Whether a dancer can make these movements from either foot and from both, in every reading of them."""
    for weight in Weight:
        for lead in Foot if weight is Weight.BOTH else (Foot(1 - weight),):
            here = {Weight(lead.other), weight}
            for action in actions:
                after = set()
                for now in here:
                    for sense in action.movement.senses:
                        foot = action.foot
                        if foot is not None and lead is Foot.RIGHT:
                            foot = foot.other
                        if sense.actor is Actor.FREE and foot is not None and now == Weight(foot):
                            return False
                        if sense.actor is Actor.SUPPORT and foot is not None and now == Weight(foot.other):
                            return False
                        after.add(_landing(now, sense, foot, lead))
                here = after
    return True


def _landing(now: Weight, sense: Sense, foot: Foot | None, lead: Foot) -> Weight:
    if sense.actor is Actor.BOTH:
        return Weight.BOTH if sense.lands else now
    if sense.actor is Actor.NOBODY:
        return now
    if sense.actor is Actor.SUPPORT:
        return Weight(foot if foot is not None else lead) if now is Weight.BOTH else now
    acting = foot if foot is not None else lead if now is Weight.BOTH else Foot(1 - now)
    return Weight(acting) if sense.lands else Weight(acting.other)


@st.composite
def figures(draw: st.DrawFn, movements: tuple[Movement, ...] = MOVEMENTS, versions: int = 1) -> Figure:
    """Draw a figure that a dancer can dance."""
    lead = draw(_feet)
    made = tuple(
        Version(
            str(number),
            actions if lead is Foot.LEFT else mirrored(actions),
            TICKS * draw(st.sampled_from((len(actions), len(actions), 2))),
            draw(st.sampled_from((0, 0, 0, 1, 2, -2, 4))),
        )
        for number, actions in enumerate(
            draw(st.lists(movement_rows(movements).filter(possible), min_size=1, max_size=versions))
        )
    )
    return Figure("Figure", made, lead=lead)


def mirrored(actions: tuple[Action, ...]) -> tuple[Action, ...]:
    """Return the actions with their written feet swapped."""
    return tuple(Action(a.movement, None if a.foot is None else a.foot.other, a.tick, a.beat) for a in actions)


@st.composite
def bodies(draw: st.DrawFn, maker: Maker, pool: tuple[Figure, ...], depth: int, blanks: bool) -> Body:
    """Draw a body of a few items."""
    return tuple(draw(items(maker, pool, depth, blanks)) for _ in range(draw(st.integers(0 if depth < 2 else 1, 3))))


@st.composite
def checks(draw: st.DrawFn, maker: Maker, blanks: bool, test: Test | None = None) -> Check:
    """Draw a check, of values that have a chance to hold."""
    test = draw(st.sampled_from(Test)) if test is None else test
    values = {
        Test.LEAD: st.sampled_from((*Foot, *((None,) if blanks else ()))),
        Test.FOOT: _feet,
        Test.BOTH: st.none(),
        Test.FACING: st.sampled_from((0, 0, 2, 4, 6, 1)),
        Test.CLOCK: st.sampled_from((TICKS, 2 * TICKS, 3 * TICKS, 4 * TICKS)),
        Test.TURN: st.sampled_from((0, 2, -2, 4, 8)),
        Test.EITHER: st.sampled_from((0, 4, 4, 8)),
    }
    value = draw(values[test])
    made = maker.check(test, value)
    return evolve(made, opens=draw(st.integers(0, 3)) == 0) if test is Test.CLOCK else made


@st.composite
def items(draw: st.DrawFn, maker: Maker, pool: tuple[Figure, ...], depth: int, blanks: bool) -> Item:
    """Draw an item; `depth` is how many bodies it may nest."""
    names = ["step", "step", "step", "check", "check", "together"]
    if depth:
        names += ["rest", "choice", "repeat", "timed", "pass", "pass", "lap"]
    if blanks:
        names += ["gap", "blank turn"] + ["blank repeat"] * bool(depth)
    name = draw(st.sampled_from(names))
    if name == "step":
        return step(draw(st.sampled_from(pool)), draw(st.sampled_from((None, None, None, 0, 2, -2, 4))))
    if name == "check":
        return draw(checks(maker, blanks))
    if name == "together":
        tests = (
            Test.CLOCK,
            draw(st.sampled_from((Test.TURN, Test.EITHER))),
            Test.FACING,
            draw(st.sampled_from((Test.FOOT, Test.BOTH))),
        )
        chosen = draw(st.lists(st.booleans(), min_size=4, max_size=4))
        return Together(
            tuple(draw(checks(maker, False, test)) for test, is_in in zip(tests, chosen, strict=True) if is_in)
        )
    if name == "rest":
        return Rest(1, TICKS)
    if name == "gap":
        return Gap(1, 2 * TICKS)
    if name == "blank turn":
        return step(draw(st.sampled_from(pool)), blank=True)
    if name == "choice":
        options = tuple(draw(bodies(maker, pool, depth - 1, blanks)) for _ in range(draw(st.integers(2, 3))))
        made = maker.choice(*options)
        if blanks or draw(st.integers(0, 4)):  # with blanks too many lengths come together for a plain enumeration
            return made
        maker.claims.remove(made.claim)
        return Timed((Choice(made.line, None, options),), draw(_lengths))
    inside = draw(bodies(maker, pool, depth - 1, blanks))
    if name == "repeat":
        return Repeat(1, draw(st.integers(1, 3)), inside)
    if name == "blank repeat":
        return Repeat(1, None, inside)
    if name == "timed":
        return Timed(inside, draw(_lengths))
    if name == "lap":
        return Lap(inside)
    return part(*inside, lap=draw(st.booleans()), lasts=draw(_lengths))


@st.composite
def _ordered(draw: st.DrawFn, maker: Maker) -> Claim:
    """Draw a claim about a foot: one of the dance, or one that the dance never comes to."""
    feet = [claim for claim in maker.claims if claim.kind is Kind.LEAD]
    return draw(st.sampled_from(feet)) if feet and draw(st.booleans()) else maker.claim(Kind.LEAD)


@st.composite
def programs(
    draw: st.DrawFn, *, blanks: bool = False, words: bool = False, endless: bool = True, depth: int = 2
) -> Program:
    """Draw a small program."""
    maker = Maker()
    movements = (*MOVEMENTS, STOMP) if words else MOVEMENTS
    pool = tuple(draw(st.lists(figures(movements), min_size=1, max_size=3)))
    pool = (*pool, CHANGE, LEAP, SPIN)
    dance = draw(bodies(maker, pool, depth, blanks))
    if endless and draw(st.booleans()):
        lap: Body = (part(*draw(bodies(maker, pool, 1, blanks)), lap=draw(st.booleans())),)
        if draw(st.booleans()):
            lap = (*lap, maker.check(Test.FACING, draw(st.sampled_from((0, 2, 4)))))
        if draw(st.booleans()):
            lap = (Lap(lap),)
        if draw(st.booleans()):
            lap = (Last((part(*draw(bodies(maker, pool, 1, blanks))),)), *lap)
        dance = (*dance, Forever(1, lap))
    spares = ()
    if draw(st.booleans()):
        weights = tuple(draw(st.lists(st.sampled_from(Weight), min_size=1, max_size=2, unique=True)))
        spares = (Spare(weights, draw(bodies(maker, pool, 1, blanks))),)
    walls = None
    if draw(st.booleans()):
        body = tuple(
            step(draw(st.sampled_from(pool)))
            if draw(st.integers(0, 3))
            else Check(1, draw(_ordered(maker)), Test.LEAD, draw(_feet))
            for _ in range(draw(st.integers(1, 4)))
        )
        walls = Walls(maker.claim(Kind.WALLS), draw(st.sampled_from((1, 2, 4, 4, 3))), (part(*body),))
    lengths = ()
    if draw(st.booleans()):
        made = draw(st.sampled_from(pool))
        lengths = (Lengths(maker.claim(Kind.FIGURE), made, TICKS * draw(st.integers(1, 3))),)
    return maker.program(
        *dance,
        lead=draw(_feet),
        facing=draw(st.sampled_from((0, 2, 3))),
        spares=spares,
        walls=walls,
        lengths=lengths,
        words=(word(STOMP),) if words else (),
    )
