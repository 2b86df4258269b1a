"""The meaning of a program as SMT-LIB 2 text (QF_BV): every dance of it at once.

Every figure becomes functions (`footwork`); a dance becomes their application, in order, and what a dancer may choose
becomes constants.  Nothing here decides which foot moves: the text says what each movement does, and the solver draws
the conclusion.  What can be settled only by a question (to which side all dances turn, how many laps there are before
no new state comes) is handed in as `known`.
"""

from collections.abc import Mapping

from attrs import define, evolve, field

from stepcheck.footwork import BOTH, Footwork, Reading, footwork, last_beat, readings
from stepcheck.model import (
    EIGHTHS, Body, Check, Choice, Figure, Forever, Gap, Item, Lap, Last, Pass, Program, Repeat, Rest, Step, Test, Timed,
    Weight,
)  # fmt: skip
from stepcheck.ledger import Frame, Known, Ledger
from stepcheck.question import (
    AskEnd, AskFill, AskLead, AskPick, AskRounds, Asks, At, Circle, Closing, Encoding, Lengths, Round, Strand,
)  # fmt: skip
from stepcheck.terms import State, Text, add, bits, choose, conj, disj, negate

MOST_TIMES = 64  # a repeat without a number is danced from 1 to this many times

def extent(body: Body) -> tuple[int, int]:
    """Return the largest turn to either side and the longest time that a body can reach or name."""
    turn = ticks = 0
    for item in body:
        match item:
            case Step(figure=figure, turn=written):
                more = max([abs(version.turn) for version in figure.versions] + [abs(written or 0)])
                sizes = (more + EIGHTHS, max(version.length for version in figure.versions))
            case Rest() | Gap():
                sizes = (EIGHTHS, item.ticks)
            case Check(value=value):
                sizes = (abs(value or 0), abs(value or 0))
            case Choice(options=options):
                found = [extent(option) for option in options]
                sizes = (sum(one[0] for one in found), sum(one[1] for one in found))
            case _:
                most = MOST_TIMES if isinstance(item, Forever) else 1
                times = (item.times or MOST_TIMES) if isinstance(item, Repeat) else most
                once = extent(item.body)
                sizes = (once[0] * times, once[1] * times)
        turn, ticks = turn + sizes[0], ticks + sizes[1]
    return turn, ticks


def compares(body: Body, *tests: Test) -> bool:
    """Whether a body makes one of `tests` in its own frame and by its own clock."""
    for item in body:
        match item:
            case Check(test=test):
                found = test in tests
            case Choice(options=options):
                found = any(compares(option, *tests) for option in options)
            case Timed():
                found = compares(item.body, *(test for test in tests if test is not Test.CLOCK))
            case Repeat() | Lap() | Forever() | Last():
                found = compares(item.body, *tests)
            case _:
                found = False
        if found:
            return True
    return False


def agrees(body: Body) -> bool:
    """Whether what comes to a point together matters in a body: a turn without a side, or a blank."""
    for item in body:
        match item:
            case Check(test=test, value=value):
                found = test is Test.EITHER or (test is Test.LEAD and value is None)
            case Step(blank=blank):
                found = blank
            case Choice(options=options):
                found = any(agrees(option) for option in options)
            case Rest():
                found = False
            case Gap() | Repeat(times=None):
                found = True
            case _:
                found = agrees(item.body)
        if found:
            return True
    return False


@define
class Encoder:
    """A program on its way into text.

    `known` holds what earlier questions settled; `turns` are the changes of facing that belong to its number of walls.
    """

    text: Text
    ledger: Ledger
    words: Mapping[str, Reading]
    known: Known
    turns: tuple[int, ...] = ()
    figures: dict[int, Footwork] = field(factory=dict)
    lengths: list[Lengths] = field(factory=list)
    closings: list[Closing] = field(factory=list)
    circles: list[Circle] = field(factory=list)
    rounds: list[Round] = field(factory=list)

    def body(self, body: Body, state: State, frame: Frame) -> tuple[State, Asks]:
        """Dance a body from a state; return the state after it and what it asks."""
        asks: Asks = ()
        for item in body:
            state, more = self.item(item, state, frame)
            asks += more
        return state, asks

    def item(self, item: Item, state: State, frame: Frame) -> tuple[State, Asks]:
        """Dance one item."""
        match item:
            case Step():
                return self.step(item, state)
            case Check():
                return self.ledger.check(item, state, frame)
            case Rest(ticks=ticks):
                return evolve(state, clock=add(state.clock, (ticks, ()))), ()
            case Gap():
                return self.gap(item, state)
            case Choice():
                return self.choice(item, state, frame)
            case Repeat(times=None):
                return self.blank_repeat(item, state, frame)
            case Repeat(times=times):
                rounds = []
                for _ in range(times or 0):
                    state, asks = self.body(item.body, state, frame)
                    rounds.append(asks)
                return state, (AskRounds(tuple(rounds)),)
            case Timed():
                after, asks = self.body(item.body, evolve(state, clock=(0, ())), frame)
                return evolve(after, clock=add(state.clock, after.clock)), asks
            case Pass():
                return self.one_pass(item, state)
            case Lap():
                after, asks = self.body(item.body, state, frame)
                before, since = self.text.facing(state), self.text.facing(after)
                return after, asks + self.lap(after, f"(bvsub {since} {before})")
            case Forever():
                return self.forever(item, state, frame)
            case Last():
                name = self.text.ask("e", 1)
                here = conj(state.guard, f"(= {name} #b1)")
                _, asks = self.body(item.body, evolve(state, guard=here), frame)
                return evolve(state, guard=conj(state.guard, f"(= {name} #b0)")), (AskEnd(name, asks),)

    # -- steps and blanks --------------------------------------------------------------------------------------------

    def step(self, step: Step, state: State) -> tuple[State, Asks]:
        """Dance a figure once, with the foot that is free."""
        text, figure = self.text, self.footwork(step.figure)
        asks: Asks = ()
        lead = "#b0"
        own = step.turn is None and not step.blank and bool(figure.turn)
        weight = text.define("W", state.weight) if own else state.weight
        if state.both and figure.chooses != "false":
            weight = text.define("W", weight)
            lead = self.text.ask("l", 1)
            chosen = conj(state.guard, f"(= {weight} {BOTH})", figure.chooses)
            asks = (AskLead(lead, text.see(0, chosen)),)
        after = evolve(
            state,
            weight=text.brief("W", f"({figure.name} {weight} {lead})"),
            both=figure.both or (state.both and figure.chooses != "true"),
            clock=add(state.clock, (figure.length, ()) if isinstance(figure.length, int) else (0, ((figure.length, 1),))),
        )
        if step.blank:
            after, more = self.blank_turn(after)
            return after, asks + more
        if step.turn is not None:
            return evolve(after, more=after.more + step.turn), asks
        if own:
            turn = f"({figure.turn} {weight} {lead})"
            turn = text.define("T", f"(bvadd {state.turn} {turn})" if state.turn else turn)
            return evolve(after, turn=turn), asks
        return after, asks

    def footwork(self, figure: Figure) -> Footwork:
        """Return the functions of a figure, written once."""
        found = self.figures.get(id(figure))
        if found is None:
            name = f"figure{len(self.figures)}"
            found = footwork(name, figure, self.words, self.text.turn_width, self.text.clock_width)
            self.text.lines.extend(found.lines)
            if found.able != "true":
                self.text.lines.append(f"(assert {found.able})")
            self.figures[id(figure)] = found
        return found

    def blank_turn(self, state: State) -> tuple[State, Asks]:
        """Turn by any number of eighths, known up to whole turns."""
        text = self.text
        name = self.text.ask("x", 3)
        wide = f"((_ zero_extend {text.turn_width - 3}) {name})"
        turn = text.define("T", f"(bvadd {state.turn} {wide})" if state.turn else wide)
        return evolve(state, turn=turn, loose="true", open=True), (AskFill("", name),)

    def gap(self, gap: Gap, state: State) -> tuple[State, Asks]:
        """Dance what is to be found: any weight, any facing."""
        weight = self.text.ask("w", 2, 2)
        state, asks = self.blank_turn(state)
        after = evolve(state, weight=weight, both=True, clock=add(state.clock, (gap.ticks, ())))
        return after, (evolve(asks[0], weight=weight),)

    def blank_repeat(self, repeat: Repeat, state: State, frame: Frame) -> tuple[State, Asks]:
        """Dance a body from 1 to `MOST_TIMES` times."""
        text = self.text
        times = self.text.ask("n", 6)
        states, rounds = [], []
        here = state
        for number in range(MOST_TIMES):
            if number:
                guard = text.define("Bool", conj(here.guard, f"(bvuge {times} {bits(number, 6)})"))
                here = evolve(here, guard=guard, open=True, maybe=True)
            here, asks = self.body(repeat.body, here, frame)
            states.append(here)
            rounds.append(asks)
        after = states[-1]
        for number in range(MOST_TIMES - 2, -1, -1):
            after = self.merge(f"(= {times} {bits(number, 6)})", states[number], after)
        after = evolve(after, open=True, maybe=state.maybe)
        return after, (AskRounds(tuple(rounds), times),)

    def merge(self, condition: str, one: State, two: State) -> State:
        """Return the state that is `one` where `condition` holds, else `two`."""
        text = self.text
        clock = one.clock
        if clock != two.clock:
            term = text.define("C", choose(condition, text.clock(one.clock), text.clock(two.clock)))
            clock = (0, ((term, 1),))
        turn, more = one.turn, one.more
        if (one.turn, one.more) != (two.turn, two.more):
            turn, more = text.define("T", choose(condition, text.turn(one), text.turn(two))), 0
        return State(
            weight=text.define("W", choose(condition, one.weight, two.weight)),
            both=one.both or two.both,
            turn=turn,
            more=more,
            loose=text.define("Bool", choose(condition, one.loose, two.loose)),
            clock=clock,
            guard=text.define("Bool", choose(condition, one.guard, two.guard)),
            open=one.open or two.open,
            maybe=one.maybe or two.maybe,
        )

    # -- choices, passes, laps ---------------------------------------------------------------------------------------

    def choice(self, choice: Choice, state: State, frame: Frame) -> tuple[State, Asks]:
        """Dance one of the options; they should last equally long, and go on as if they lasted like the first."""
        text, last = self.text, len(choice.options) - 1
        width = max(1, last.bit_length())
        pick = self.text.ask("p", width, last)
        state = evolve(state, weight=text.define("W", state.weight))
        states, found = [], []
        for number, option in enumerate(choice.options):
            guard = conj(state.guard, f"(= {pick} {bits(number, width)})")
            after, asks = self.body(option, evolve(state, guard=guard), frame)
            states.append(after)
            found.append(asks)
        first = text.clock(states[0].clock)
        equal = [f"(= {text.clock(after.clock)} {first})" for after in states[1:]]
        merged = states[-1]
        for number in range(last - 1, -1, -1):
            merged = self.merge(
                f"(= {pick} {bits(number, width)})", states[number], evolve(merged, clock=states[number].clock)
            )
        if all(after.guard == conj(state.guard, f"(= {pick} {bits(n, width)})") for n, after in enumerate(states)):
            merged = evolve(merged, guard=state.guard)
        merged = evolve(merged, clock=states[0].clock)
        after, here = self.ledger.point(choice.claim.id, merged, conj(*equal))
        if here:
            same = ("true", *equal)
            self.lengths.append(Lengths(len(self.ledger.points) - 1, pick, tuple(text.see(0, one) for one in same)))
        return after, (AskPick(pick, tuple(found)), *here)

    def one_pass(self, item: Pass, state: State) -> tuple[State, Asks]:
        """Dance once through a part, in a frame of its own."""
        text = self.text
        state = evolve(state, weight=text.define("W", state.weight))
        began = State(state.weight, state.both, guard=state.guard, open=state.open, maybe=state.maybe)
        inner, asks = self.body(item.body, began, Frame(0, item.body))
        if item.lap:
            asks += self.lap(inner, text.facing(inner))
        turns = [turn for turn in (state.turn, inner.turn) if turn]
        after = evolve(
            inner,
            turn=text.define("T", f"(bvadd {turns[0]} {turns[1]})") if len(turns) == 2 else "".join(turns),
            more=state.more + inner.more,
            loose=text.define("Bool", disj(state.loose, inner.loose)),
            clock=add(state.clock, inner.clock),
        )
        if inner.open and not state.open and not self.ledger.quiet:
            key = f"closed {len(self.closings)}"
            terms = (text.see(0, inner.guard), text.see(2, state.weight), text.see(2, inner.weight))
            self.closings.append(Closing(key, len(self.ledger.points), *terms, text.see(3, text.facing(inner))))
            after = evolve(after, open=not self.known.get(key, 1))
        return after, asks

    def lap(self, after: State, facing: str) -> Asks:
        """Mark the end of a lap that the claim about walls speaks of."""
        return () if self.ledger.quiet else self.mark(after, facing)

    def mark(self, after: State, facing: str) -> Asks:
        """Mark the end of a lap in the state `after`, having changed the facing."""
        text, number = self.text, -1 - len(self.rounds)
        change = text.define("E", facing)
        turned = [f"(= {change} {bits(turn, 3)})" for turn in self.turns]
        wrong = conj(after.guard, negate(disj(*turned)))
        terms = (text.see(0, after.guard), text.see(2, after.weight), text.see(3, change), text.see(0, wrong))
        on = tuple(text.see(0, conj(after.guard, one)) for one in turned)
        self.rounds.append(Round(number, *terms, on, self.ledger.lap))
        return (At(number),)

    def forever(self, forever: Forever, state: State, frame: Frame) -> tuple[State, Asks]:
        """Dance as many laps as bring new states; `known` says how many that are, else it is taken to be few."""
        text, key = self.text, f"laps {len(self.circles)}"
        moves = compares(forever.body, Test.FACING, Test.TURN, Test.EITHER)
        least = 3 if compares(forever.body, Test.TURN, Test.EITHER, Test.CLOCK) else 1
        whole = state.open or agrees(forever.body)
        states, rounds = [state], []
        for number in range(max(least, self.known.get(key, 1))):
            self.ledger.lap = number
            state, asks = self.body(forever.body, state, frame)
            states.append(state)
            rounds.append(asks)
        self.ledger.lap = 0
        seen = tuple((text.see(2, s.weight), text.see(3, text.facing(s)), text.see(0, s.loose)) for s in states)
        guards = tuple(text.see(0, s.guard) for s in states)
        self.circles.append(Circle(key, len(self.ledger.points), seen, guards, moves, least, whole))
        return evolve(state, guard="false"), (AskRounds(tuple(rounds)),)

    # -- beginnings --------------------------------------------------------------------------------------------------

    def strand(self, body: Body, weight: Weight, facing: int, spare: int | None = None) -> Strand:
        """Dance a body from its beginning."""
        state = State(bits(weight, 2), weight is Weight.BOTH)
        _, asks = self.body(body, state, Frame(facing, body))
        return Strand(asks, spare, None if spare is None else weight)

    def whole_laps(self, body: Body, begin: Weight) -> list[Strand]:
        """Dance whole laps, one after the other, from any weight with which a lap of the dance ends.

        There are three weights, so three laps come to all of them; `known` says whether one is enough.
        """
        text, state = self.text, State(bits(begin, 2), begin is Weight.BOTH)
        if self.rounds:
            last = len(self.rounds) - 1
            which = text.ask("q", max(1, last.bit_length()), last)
            ends = [(f"(= {which} {bits(n, text.widths[which])})", one) for n, one in enumerate(self.rounds)]
            weight, guard = ends[-1][1].weight, ends[-1][1].guard
            for here, one in ends[-2::-1]:
                weight, guard = choose(here, one.weight, weight), choose(here, one.guard, guard)
            state = State(weight, True, guard=guard)
        strands: list[Strand] = []
        for _ in range(self.known.get("whole laps", 1)):
            start = text.see(2, state.weight)
            state = State(start, state.both, guard=text.define("Bool", state.guard))
            state, asks = self.body(body, state, Frame(0, body))
            asks += self.mark(state, text.facing(state))
            strands.append(Strand(asks, -1, None, start))
        return strands


def encode(program: Program, known: Known, mending: frozenset[str] | None = None) -> Encoding:
    """Return the text of a program under what is `known`; `mending` are the claims taken as mended (None: all)."""
    text = Text(*_widths(program))
    words = readings(program.words)
    for reading in words.values():
        text.widths[reading.name] = reading.width
        text.lines.append(f"(declare-const {reading.name} (_ BitVec {reading.width}))")
        text.lines.append(f"(assert (bvule {reading.name} {bits(reading.count - 1, reading.width)}))")
    encoder = Encoder(text, Ledger(text, known, mending), words, known, home_turns(program))
    begin = Weight(program.lead.other)
    strands = [encoder.strand(program.dance, begin, program.facing)]
    for number, spare in enumerate(program.spares):
        strands += [encoder.strand(spare.body, weight, 0, number) for weight in spare.weights]
    for lengths in program.lengths:
        stated, found = (text.clock((ticks, ())) for ticks in (lengths.ticks, last_beat(lengths.figure)))
        _, asks = encoder.ledger.point(lengths.claim.id, State(bits(begin, 2)), f"(= {stated} {found})")
        strands.append(Strand(asks))
    if program.walls is not None:
        encoder.ledger.quiet = True
        strands += encoder.whole_laps(program.walls.body, begin)
    ledger, unusual = encoder.ledger, _unusual(text, program, words) if words else ""
    return Encoding(
        lines=tuple(text.lines),
        sorts=tuple(
            f"(define-sort {sort} () (_ BitVec {width}))"
            for sort, width in (("W", 2), ("F", 1), ("T", text.turn_width), ("E", 3), ("C", text.clock_width))
        ),
        widths=text.widths,
        seen=text.seen,
        asked=tuple(text.asked),
        words=tuple(reading.name for reading in words.values()),
        unusual=unusual,
        points=tuple(ledger.points),
        strands=tuple(strands),
        sides=tuple(ledger.sides),
        lengths=tuple(encoder.lengths),
        closings=tuple(encoder.closings),
        circles=tuple(encoder.circles),
        rounds=tuple(encoder.rounds),
    )


def home_turns(program: Program) -> tuple[int, ...]:
    """Return the changes of facing of which as many as there are walls, no fewer, come home."""
    count = program.walls.count if program.walls else 0
    orders = {turn: next(n for n in range(1, EIGHTHS + 1) if n * turn % EIGHTHS == 0) for turn in range(EIGHTHS)}
    return tuple(turn for turn, order in orders.items() if order == count)


def _unusual(text: Text, program: Program, words: Mapping[str, Reading]) -> str:
    """Return the name of the number of words that have not their usual reading."""
    width = (len(words) + 1).bit_length()
    usual = [reading.is_(word.usual) for word, reading in zip(program.words, words.values(), strict=True)]
    return text.see(width, f"(bvadd {' '.join(choose(one, bits(0, width), bits(1, width)) for one in (*usual, 'true'))})")


def _widths(program: Program) -> tuple[int, int]:
    """Return the bits of a turn and of a time that no sum of the program overflows."""
    bodies = [program.dance, *(spare.body for spare in program.spares)]
    if program.walls is not None:
        bodies.append(program.walls.body)
    sizes = [extent(body) for body in bodies]
    turn = max(size[0] for size in sizes)
    stated = [max(one.ticks, last_beat(one.figure)) for one in program.lengths]
    ticks = max([size[1] for size in sizes] + stated)
    return max(5, turn.bit_length() + 1), max(1, ticks.bit_length())
