"""The meaning of a program as SMT-LIB 2 text (QF_BV): every dance of it at once.

Every figure becomes functions (`footwork`); a dance becomes their application, in order (`unrolled`), and what a dancer
may choose becomes constants.  Nothing here decides which foot moves: the text says what each movement does, and the
solver draws the conclusion.
"""

from collections.abc import Mapping

from stepcheck.model.dance import EIGHTHS, Body, Program, Weight
from stepcheck.proof.footwork import Reading, last_beat, readings
from stepcheck.proof.ledger import Frame, Known, Ledger
from stepcheck.proof.question import Encoding, Strand
from stepcheck.proof.survey import extent
from stepcheck.proof.terms import State, Text, bits, choose, total
from stepcheck.proof.unrolled import Unrolled


def encode(
    program: Program, known: Known, mending: frozenset[str] | None = None, fixed: tuple[int, ...] = (), *, once: bool = False
) -> Encoding:
    """Return the text of a program under what is `known`.

    `mending` are the claims taken as mended (None: all); `fixed` are readings of all open words, if they are given.  With
    `once` the text is for one question whether anything fails, and shorter: it has no names for the values of a dance, and
    a pass that begins as an earlier one did is in it once, so that not every point of the dance is.
    """
    text = Text(*_widths(program), once=once)
    words = readings(program.words)
    for reading in words.values():
        text.widths[reading.name] = reading.width
        text.lines.append(f"(declare-const {reading.name} (_ BitVec {reading.width}))")
        text.lines.append(f"(assert (bvule {reading.name} {bits(reading.count - 1, reading.width)}))")
    for reading, index in zip(words.values(), fixed, strict=False):
        text.lines.append(f"(assert {reading.is_(index)})")
    dance = Unrolled(text, Ledger(text, known, mending), words, known, home_turns(program))
    begin = Weight(program.lead.other)
    strands = [_strand(dance, program.dance, begin, program.facing)]
    for number, spare in enumerate(program.spares):
        strands += [_strand(dance, spare.body, weight, 0, number) for weight in spare.weights]
    for lengths in program.lengths:
        stated, found = (text.clock((ticks, ())) for ticks in (lengths.ticks, last_beat(lengths.figure)))
        _, asks = dance.ledger.point(lengths.claim.id, State(bits(begin, 2)), f"(= {stated} {found})")
        strands.append(Strand(asks))
    if program.walls is not None:
        dance.ledger.quiet = True
        strands += _whole_laps(dance, program.walls.body, begin)
    ledger, unusual = dance.ledger, _unusual(text, program, words) if words else ""
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
        lengths=tuple(dance.lengths),
        closings=tuple(dance.closings),
        circles=tuple(dance.circles),
        rounds=tuple(dance.rounds),
    )


def _strand(dance: Unrolled, body: Body, weight: Weight, facing: int, spare: int | None = None) -> Strand:
    """Dance a body from its beginning."""
    state = State(bits(weight, 2), weight is Weight.BOTH)
    _, asks = dance.body(body, state, Frame(facing, body))
    return Strand(asks, spare, None if spare is None else weight)


def _whole_laps(dance: Unrolled, body: Body, begin: Weight) -> list[Strand]:
    """Dance whole laps, one after the other, from any weight with which a lap of the dance ends.

    There are three weights, so three laps come to all of them; `known` says whether one is enough.
    """
    text, state = dance.text, State(bits(begin, 2), begin is Weight.BOTH)
    if dance.rounds:
        last = len(dance.rounds) - 1
        which = text.ask("q", max(1, last.bit_length()), last)
        ends = [(f"(= {which} {bits(n, text.widths[which])})", one) for n, one in enumerate(dance.rounds)]
        weight, guard = ends[-1][1].weight, ends[-1][1].guard
        for here, one in ends[-2::-1]:
            weight, guard = choose(here, one.weight, weight), choose(here, one.guard, guard)
        state = State(weight, True, guard=guard)
    strands: list[Strand] = []
    for _ in range(dance.known.get("whole laps", 1)):
        start = text.see(2, state.weight)
        state = State(start, state.both, guard=text.define("Bool", state.guard))
        state, asks = dance.body(body, state, Frame(0, body))
        asks += dance.mark(state, text.facing(state))
        strands.append(Strand(asks, -1, None, start))
    return strands


def home_turns(program: Program) -> tuple[int, ...]:
    """Return the changes of facing of which as many as there are walls, no fewer, come home."""
    count = program.walls.count if program.walls else 0
    orders = {turn: next(n for n in range(1, EIGHTHS + 1) if n * turn % EIGHTHS == 0) for turn in range(EIGHTHS)}
    return tuple(turn for turn, order in orders.items() if order == count)


def _unusual(text: Text, program: Program, words: Mapping[str, Reading]) -> str:
    """Return the name of the number of words that have not their usual reading."""
    width = (len(words) + 1).bit_length()
    usual = [reading.is_(word.usual) for word, reading in zip(program.words, words.values(), strict=True)]
    return text.see(width, total([choose(one, bits(0, width), bits(1, width)) for one in usual]))


def _widths(program: Program) -> tuple[int, int]:
    """Return the bits of a turn and of a time that no sum of the program overflows."""
    bodies = [program.dance, *(spare.body for spare in program.spares)]
    if program.walls is not None:
        bodies.append(program.walls.body)
    known: dict[int, tuple[int, int]] = {}
    sizes = [extent(body, known) for body in bodies]
    turn = max(size[0] for size in sizes)
    stated = [max(one.ticks, last_beat(one.figure)) for one in program.lengths]
    ticks = max([size[1] for size in sizes] + stated)
    return max(5, turn.bit_length() + 1), max(1, ticks.bit_length())
