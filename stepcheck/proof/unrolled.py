"""A dance unrolled into SMT-LIB 2 text, item by item.

What can be settled only by a question (to which side all dances turn, how many laps there are before no new state
comes) is handed in as `known`.
"""

from collections.abc import Mapping

from attrs import define, evolve, field, frozen

from stepcheck.model.dance import (
    Body,
    Check,
    Choice,
    Figure,
    Forever,
    Gap,
    Item,
    Lap,
    Last,
    Pass,
    Repeat,
    Rest,
    Step,
    Test,
    Timed,
)  # fmt: skip
from stepcheck.proof.footwork import BOTH, Named, Reading, footwork
from stepcheck.proof.ledger import Frame, Known, Ledger
from stepcheck.proof.question import (
    Ask,
    AskEnd,
    AskFill,
    AskLead,
    AskPick,
    AskRounds,
    Asks,
    At,
    Circle,
    Closing,
    Lengths,
    Round,
)  # fmt: skip
from stepcheck.proof.survey import MOST_TIMES, agrees, compares
from stepcheck.proof.terms import State, Text, add, bits, choose, conj, disj, negate


@frozen
class Circuit:
    """How a long repeat goes in circles: of `laps` laps, from number `start` on.

    `steady` laps turn by a number, whatever is danced; in `free` ones something is chosen.
    """

    start: int
    laps: int
    steady: bool
    free: bool


@define
class Unrolled:
    """A program on its way into text.

    `known` holds what earlier questions settled; `turns` are the changes of facing that belong to its number of walls.
    """

    text: Text
    ledger: Ledger
    words: Mapping[str, Reading]
    known: Known
    turns: tuple[int, ...] = ()
    figures: dict[tuple[int, bool], Named] = field(factory=dict)
    passes: dict[tuple[int, State], State] = field(factory=dict)
    lengths: list[Lengths] = field(factory=list)
    closings: list[Closing] = field(factory=list)
    circles: list[Circle] = field(factory=list)
    rounds: list[Round] = field(factory=list)

    def body(self, body: Body, state: State, frame: Frame) -> tuple[State, Asks]:
        """Dance a body from a state; return the state after it and what it asks."""
        asks: list[Ask] = []
        for item in body:
            state, more = self.item(item, state, frame)
            asks += more
        return state, tuple(asks)

    def item(self, item: Item, state: State, frame: Frame) -> tuple[State, Asks]:
        """Dance one item."""
        match item:
            case Step():
                return self.step(item, state)
            case Check():
                return self.ledger.check(item, state, frame)
            case Rest(ticks=ticks):
                return state._replace(clock=add(state.clock, (ticks, ()))), ()
            case Gap():
                return self.gap(item, state)
            case Choice():
                return self.choice(item, state, frame)
            case Repeat(times=None):
                return self.blank_repeat(item, state, frame)
            case Repeat():
                return self.repeat(item, state, frame)
            case Timed():
                after, asks = self.body(item.body, state._replace(clock=(0, ())), frame)
                return after._replace(clock=add(state.clock, after.clock)), asks
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
                _, asks = self.body(item.body, state._replace(guard=here), frame)
                return state._replace(guard=conj(state.guard, f"(= {name} #b0)")), (AskEnd(name, asks),)

    # -- steps and blanks --------------------------------------------------------------------------------------------

    def step(self, step: Step, state: State) -> tuple[State, Asks]:
        """Dance a figure once, with the foot that is free."""
        text, named = self.text, self.footwork(step.figure, state.both)
        figure = named.footwork
        asks: Asks = ()
        lead = "#b0"
        own = step.turn is None and not step.blank and bool(named.turn)
        weight = text.define("W", state.weight) if own else state.weight
        if state.both and figure.chooses != "false":
            weight = text.define("W", weight)
            lead = self.text.ask("l", 1)
            chosen = conj(state.guard, f"(= {weight} {BOTH})", figure.chooses)
            asks = (AskLead(lead, text.see(0, chosen)),)
        turn = state.turn
        if own:
            turn = named.of(named.turn, weight, lead)
            turn = text.define("T", f"(bvadd {state.turn} {turn})" if state.turn else turn)
        length = figure.length
        # Of all items the most are steps, so the state is made directly; _replace takes three times as long.
        after = State(
            text.brief("W", named.of(named.weight, weight, lead)),
            figure.both or (state.both and figure.chooses != "true"),
            turn,
            state.more + (step.turn or 0),
            state.loose,
            add(state.clock, (length, ()) if isinstance(length, int) else (0, ((length, 1),))),
            state.guard,
            state.open,
            state.maybe,
        )
        if step.blank:
            after, more = self.blank_turn(after)
            return after, asks + more
        return after, asks

    def footwork(self, figure: Figure, both: bool) -> Named:
        """Return a figure with its functions, for any weight or for those on one foot; those of equal ones are the same."""
        found = self.figures.get((id(figure), both))
        if found is None:
            text = self.text
            made = footwork(figure, self.words, text.turn_width, text.clock_width, both=both)
            takes = "((w W) (l F))" if both else "((w W))"
            turn = text.function(f"{takes} T", made.turn) if made.turn else ""
            found = self.figures[id(figure), both] = Named(made, text.function(f"{takes} W", made.weight), turn, both)
            if made.able != "true":
                text.lines.append(f"(assert {made.able})")
        return found

    def blank_turn(self, state: State) -> tuple[State, Asks]:
        """Turn by any number of eighths, known up to whole turns."""
        text = self.text
        name = self.text.ask("x", 3)
        wide = f"((_ zero_extend {text.turn_width - 3}) {name})"
        turn = text.define("T", f"(bvadd {state.turn} {wide})" if state.turn else wide)
        return state._replace(turn=turn, loose="true", open=True), (AskFill("", name),)

    def gap(self, gap: Gap, state: State) -> tuple[State, Asks]:
        """Dance what is to be found: any weight, any facing."""
        weight = self.text.ask("w", 2, 2)
        state, asks = self.blank_turn(state)
        after = state._replace(weight=weight, both=True, clock=add(state.clock, (gap.ticks, ())))
        return after, (evolve(asks[0], weight=weight),)

    def repeat(self, repeat: Repeat, state: State, frame: Frame) -> tuple[State, Asks]:
        """Dance a body so many times; a long repeat only until it goes in circles.

        Laps relate three weights, so from the fifth on their powers come again after 1, 2, 3 or 6 laps (with eight
        facings, after a divisor of 24); the laps between make whole circles, each of which turns alike.
        """
        text, times = self.text, repeat.times or 0
        start, circle = (24, 24) if compares(repeat.body, Test.FACING) else (5, 6)
        states, rounds, asked = [state], [], []
        while len(rounds) < times:
            state, asks = self.body(repeat.body, state, frame)
            states.append(state)
            rounds.append(asks)
            asked.append(len(text.asked))
            if len(rounds) == 2 and times > start + circle:
                free = asked[1] > asked[0]
                steady = states[1].turn == states[2].turn
                return self.long_repeat(repeat, states, rounds, frame, Circuit(start, circle, steady, free))
        return state, (AskRounds(tuple(rounds)),)

    def long_repeat(
        self, repeat: Repeat, states: list[State], rounds: list[Asks], frame: Frame, plan: Circuit
    ) -> tuple[State, Asks]:
        """Go on with a long repeat that has been danced twice."""
        text, times = self.text, repeat.times or 0
        last = plan.start + (times - plan.start) % plan.laps
        for _ in range(len(rounds), last if plan.steady or plan.free else plan.start + plan.laps):
            state, asks = self.body(repeat.body, states[-1], frame)
            states.append(state)
            rounds.append(asks)
        left, end = times - last, states[last]
        lap = add(states[2].clock, states[1].clock, -1)
        after = end._replace(clock=add(end.clock, lap, left), guard=states[-1].guard, loose=states[-1].loose)
        asked = AskRounds(tuple(rounds), skipped=times - len(rounds))
        if plan.steady:
            after = after._replace(more=end.more + left * (states[2].more - states[1].more))
        if plan.free:
            return self.circuit(after, states, asked, plan.steady)
        if not plan.steady:
            turn = self.circled(states, plan.start, plan.laps, left)
            after = after._replace(turn=text.define("T", f"(bvadd {text.turn(end)} {turn})"), more=0)
        return after, (asked,)

    def circled(self, states: list[State], at: int, laps: int, left: int) -> str:
        """Return the turn of the `left` laps that go on with the `laps` laps from number `at`."""
        one_round = f"(bvsub {self.text.turn(states[at + laps])} {self.text.turn(states[at])})"
        return f"(bvmul {bits(left // laps, self.text.turn_width)} {one_round})"

    def circuit(self, after: State, states: list[State], asked: AskRounds, steady: bool) -> tuple[State, Asks]:
        """Let the laps that are left go round in one circle of those that are danced, wherever it lies."""
        text, most = self.text, len(states) - 1
        states = [one._replace(weight=text.define("W", one.weight)) for one in states]
        circles = [(at, size) for size in (1, 2, 3) for at in range(min(most - size, 5), -1, -1)]
        width = len(circles).bit_length()
        name = text.ask("q", width, len(circles) - 1)
        chosen = [f"(= {name} {bits(number, width)})" for number in range(len(circles))]
        closed = [f"(= {states[at].weight} {states[at + size].weight})" for at, size in circles]
        guard = disj(*(conj(here, back) for here, back in zip(chosen, closed, strict=True)))
        after = after._replace(guard=text.define("Bool", conj(after.guard, guard)))
        if not steady:
            turn = bits(0, text.turn_width)
            for here, (at, size) in zip(chosen, circles, strict=True):
                turn = choose(here, self.circled(states, at, size, asked.skipped), turn)
            after = after._replace(turn=text.define("T", f"(bvadd {text.turn(after)} {turn})"), more=0)
        return after, (evolve(asked, circle=name, circles=tuple(circles)),)

    def blank_repeat(self, repeat: Repeat, state: State, frame: Frame) -> tuple[State, Asks]:
        """Dance a body from 1 to `MOST_TIMES` times."""
        text = self.text
        times = self.text.ask("n", 6)
        states, rounds = [], []
        here = state
        for number in range(MOST_TIMES):
            if number:
                guard = text.define("Bool", conj(here.guard, f"(bvuge {times} {bits(number, 6)})"))
                here = here._replace(guard=guard, open=True, maybe=True)
            here, asks = self.body(repeat.body, here, frame)
            states.append(here)
            rounds.append(asks)
        after = states[-1]
        for number in range(MOST_TIMES - 2, -1, -1):
            after = self.merge(f"(= {times} {bits(number, 6)})", states[number], after)
        after = after._replace(open=True, maybe=state.maybe)
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
        state = state._replace(weight=text.define("W", state.weight))
        states, found = [], []
        for number, option in enumerate(choice.options):
            guard = conj(state.guard, f"(= {pick} {bits(number, width)})")
            after, asks = self.body(option, state._replace(guard=guard), frame)
            states.append(after)
            found.append(asks)
        first = text.clock(states[0].clock)
        equal = [f"(= {text.clock(after.clock)} {first})" for after in states[1:]]
        merged = states[-1]
        for number in range(last - 1, -1, -1):
            merged = self.merge(
                f"(= {pick} {bits(number, width)})", states[number], merged._replace(clock=states[number].clock)
            )
        if all(after.guard == conj(state.guard, f"(= {pick} {bits(n, width)})") for n, after in enumerate(states)):
            merged = merged._replace(guard=state.guard)
        merged = merged._replace(clock=states[0].clock)
        after, here = self.ledger.point(choice.claim.id, merged, conj(*equal))
        if here:
            same = ("true", *equal)
            self.lengths.append(Lengths(len(self.ledger.points) - 1, pick, tuple(text.see(0, one) for one in same)))
        return after, (AskPick(pick, tuple(found)), *here)

    def one_pass(self, item: Pass, state: State) -> tuple[State, Asks]:
        """Dance once through a part, in a frame of its own."""
        text = self.text
        state = state._replace(weight=text.define("W", state.weight))
        began = State(state.weight, state.both, guard=state.guard, open=state.open, maybe=state.maybe)
        inner, asks = self.inside(item.body, began)
        turns = [turn for turn in (state.turn, inner.turn) if turn]
        after = inner._replace(
            turn=text.define("T", f"(bvadd {turns[0]} {turns[1]})") if len(turns) == 2 else "".join(turns),
            more=state.more + inner.more,
            loose=text.define("Bool", disj(state.loose, inner.loose)),
            clock=add(state.clock, inner.clock),
        )
        if inner.open and not state.open and not self.ledger.quiet:
            key = f"closed {len(self.closings)}"
            terms = (text.see(0, inner.guard), text.see(2, state.weight), text.see(2, inner.weight))
            self.closings.append(Closing(key, len(self.ledger.points), *terms, text.see(3, text.facing(inner))))
            after = after._replace(open=not self.known.get(key, 1))
        if item.lap:
            asks += self.lap(inner._replace(open=after.open), text.facing(inner))
        return after, asks

    def inside(self, body: Body, state: State) -> tuple[State, Asks]:
        """Dance what is inside a pass.

        In a text that is asked once, what comes after the claims at its start is not written again where it begins alike
        and nothing is chosen in it: it would be the same terms.
        """
        frame, text = Frame(0, body), self.text
        if not text.once:
            return self.body(body, state, frame)
        first = next((n for n, item in enumerate(body) if not isinstance(item, Check)), len(body))
        state, asks = self.body(body[:first], state, frame)
        where = id(body), state
        after = self.passes.get(where)
        if after is None:
            chosen = len(text.asked)
            after, more = self.body(body[first:], state, frame)
            if len(text.asked) == chosen:
                self.passes[where] = after
            return after, asks + more
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
        terms = (text.condition(after.guard), text.see(2, after.weight), text.see(3, change), text.condition(wrong))
        on = tuple(text.condition(conj(after.guard, one)) for one in turned)
        self.rounds.append(Round(number, *terms, on, self.ledger.lap, after.open))
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
        return state._replace(guard="false"), (AskRounds(tuple(rounds)),)
