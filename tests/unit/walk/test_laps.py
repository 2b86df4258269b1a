"""The claim about walls, against the plain enumeration of all dances, under every reading and filling."""

from hypothesis import given
from hypothesis import strategies as st

from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import Body, Choice, Foot, Forever, Item, Lap, Program, Repeat, Walls
from stepcheck.model.outcome import Verdict
from stepcheck.walk.walk import survey, walk
from tests.profiles import law
from tests.program_reference import Naive, verdicts
from tests.programs import BACK, CHANGE, LEAP, SPIN, STOMP, SWING, Maker, figure, part, step, word

TURNING = figure("Stomp Turn", STOMP, turn=2)


@st.composite
def walled(draw: st.DrawFn, blanks: bool = True) -> Program:
    """Draw a program whose laps turn, order feet, and wait on a blank or on a word."""
    maker = Maker()
    orders: list[Claim] = [maker.claim(Kind.LEAD) for _ in range(2)]

    def lap(checks: bool) -> Body:
        out: list[Item] = []
        for _ in range(draw(st.integers(1, 3))):
            figure_ = draw(st.sampled_from((CHANGE, CHANGE, BACK, SPIN, SWING, LEAP, TURNING)))
            if checks and draw(st.booleans()):
                out.append(Check(1, draw(st.sampled_from(orders)), Test.LEAD, draw(st.sampled_from(Foot))))
            made: Item = step(figure_, draw(st.sampled_from((None, None, 2, 4, 0))))
            if draw(st.integers(0, 5)) == 0:
                made = Choice(1, None, ((made,), (step(CHANGE, draw(st.sampled_from((0, 2)))),)))
            out.append(made)
        return tuple(out)

    body = lap(True)
    blank: Item = draw(
        st.sampled_from((step(CHANGE), step(CHANGE), step(BACK, blank=True), Repeat(1, None, (step(CHANGE),))))
    )
    dance: list[Item] = [blank] if blanks and draw(st.booleans()) else []
    kind = draw(st.integers(0, 3))
    if kind == 0:
        dance.append(part(*body, lap=True))
    elif kind == 1:
        dance.append(Forever(1, (part(*body, lap=True),)))
    elif kind == 2:
        dance += [Lap(body), part(*lap(True), lap=True)]
    else:
        dance += body
    walls = Walls(maker.claim(Kind.WALLS), draw(st.sampled_from((1, 2, 4, 8))), (part(*(body if kind else lap(True))),))
    return maker.program(*dance, walls=walls, words=(word(STOMP),))


@law(80)
@given(walled())
def test_walls_are_judged_as_the_laps_are_danced(program: Program) -> None:
    """From every weight that can begin a lap, for each reading of a word and filling of a blank."""
    found = {outcome.claim: outcome.verdict for outcome in walk(program)}
    plain = verdicts(program)
    assert plain is not None
    blank = any(getattr(item, "blank", False) or getattr(item, "times", 1) is None for item in program.dance)
    for claim, verdict in found.items():
        assert verdict is plain[claim] or (blank and verdict is Verdict.UNDECIDED), claim


@law(60)
@given(walled(blanks=False))
def test_each_reading_has_a_verdict_of_its_own(program: Program) -> None:
    """A survey says for each reading of a word which claims fail under it."""
    seen = survey(program)
    assert seen is not None and not seen.waiting
    for number in range(seen.words.total):
        (reading,) = seen.words.readings(number)
        run = Naive(program, {STOMP.name: reading}, {})
        run.decide()
        assert program.walls
        run.failed |= {program.walls.claim.id} if run.walls() else set()
        assert run.failed == {claim for claim, who in seen.refuted.items() if who >> number & 1}
