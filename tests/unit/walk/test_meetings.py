"""How the dancers of groups stand to each other, against the plain enumeration of all dances; and whole passes for the
walls."""

from itertools import product

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import Body, Choice, Foot, Forever, Item, Lap, Program, Repeat, Rest, Walls
from stepcheck.model.floor import Meeting
from stepcheck.model.outcome import Verdict
from stepcheck.report.certify import confirm
from stepcheck.report.pipeline import Engine, decide
from stepcheck.walk.walk import survey, walk
from tests.profiles import law
from tests.program_reference import Naive, verdicts
from tests.programs import BACK, CHANGE, LEAP, SPIN, STOMP, SWING, Maker, figure, part, step, word

TURNING = figure("Stomp Turn", STOMP, turn=2)
BEFORE: dict[str, Body] = {
    "nothing": (),
    "a change": (step(CHANGE),),
    "to the right": (step(CHANGE, 2),),
    "to the left": (step(BACK, -2),),
    "a half turn": (step(BACK, 4), Rest(1, 12)),
    "one eighth": (step(CHANGE, 1),),
    "a full turn": (step(CHANGE, 8),),
    "options": (Choice(1, None, ((step(CHANGE, 1),), (step(BACK, -1),))),),
    "a leap": (step(LEAP),),
    "a leap and a turn": (step(LEAP, 6),),
    "a leap and a spin": (step(LEAP), step(SPIN)),
    "a part": (part(step(SPIN), step(CHANGE)),),
    "a word": (step(TURNING),),
}
KINDS = Kind.SAME_WALL, Kind.SAME_BEAT, Kind.MIRROR


def program(kind: Kind, *groups: str, facing: int = 3) -> Program:
    """Return a program in which the groups meet behind what they dance."""
    maker = Maker()
    claim = maker.claim(kind)
    made = maker.program(facing=facing, words=(word(STOMP),), groups=("ones", "twos", "threes")[: len(groups)])
    dances = tuple(BEFORE[name] for name in groups)
    return evolve(made, dance=(Choice(0, None, dances),), meetings=(Meeting(1, claim, dances),))


def seen(made: Program) -> Verdict:
    """Return the verdict on the only claim, once the reference has said the same and the judge confirms the dances."""
    outcomes = walk(made)
    (one,), (claim,) = outcomes, made.claims
    assert verdicts(made) == {one.claim: one.verdict}
    refuted = frozenset(out.claim for out in outcomes if out.verdict is Verdict.REFUTED)
    assert not refuted or confirm(made, claim, one.traces, refuted)
    return one.verdict


@pytest.mark.parametrize("kind", KINDS)
def test_any_two_dancers_of_two_groups_are_compared(kind: Kind) -> None:
    """Their walls, beats, or feet and turns, whatever wall they begin on; both verdicts come."""
    found = {seen(program(kind, one, other)) for one, other in product(BEFORE, repeat=2)}
    assert {Verdict.PROVED, Verdict.REFUTED} == found


@pytest.mark.parametrize(
    ("kind", "groups", "verdict"),
    [
        (Kind.MIRROR, ("to the right", "a leap", "to the right"), Verdict.REFUTED),
        (Kind.MIRROR, ("a leap and a turn", "a leap", "a leap"), Verdict.REFUTED),
        (Kind.MIRROR, ("a leap", "a leap", "a leap"), Verdict.PROVED),
        (Kind.SAME_WALL, ("a change", "nothing", "to the right"), Verdict.REFUTED),
        (Kind.SAME_WALL, ("a change", "a full turn", "nothing"), Verdict.PROVED),
        (Kind.SAME_BEAT, ("a change", "a leap", "nothing"), Verdict.REFUTED),
        (Kind.SAME_BEAT, ("a change", "to the right", "a leap"), Verdict.PROVED),
    ],
)
def test_every_group_is_compared(kind: Kind, groups: tuple[str, ...], verdict: Verdict) -> None:
    """Three groups: each with each, or with the next where they mirror each other."""
    assert verdict is seen(program(kind, *groups))


def test_the_dances_shown_are_those_of_the_claim_that_fails() -> None:
    """Of several claims at several places each has its own two dances."""
    maker = Maker()
    claims = [maker.claim(kind) for kind in (Kind.SAME_BEAT, Kind.SAME_WALL, Kind.MIRROR, Kind.SAME_WALL)]
    dances = BEFORE["to the right"], BEFORE["one eighth"]
    late = tuple((*one, step(CHANGE)) for one in dances)
    made = evolve(
        maker.program(Choice(0, None, late), groups=("ones", "twos")),
        meetings=tuple(Meeting(1, claim, dances if n < 2 else late) for n, claim in enumerate(claims)),
    )
    outcomes = walk(made)

    assert {one.claim: one.verdict for one in outcomes} == verdicts(made)
    assert [(), ((1, 0), (1, 1)), ((2, 0), (2, 1)), ((3, 0), (3, 1))] == [
        tuple(trace.meeting for trace in one.traces) for one in outcomes
    ]


TURNED = figure("Stomp Turn", STOMP, turn=2)


@st.composite
def walled(draw: st.DrawFn, blanks: bool = True) -> Program:
    """Draw a program whose laps turn, order feet, and wait on a blank or on a word."""
    maker = Maker()
    orders: list[Claim] = [maker.claim(Kind.LEAD) for _ in range(2)]

    def lap(checks: bool) -> Body:
        out: list[Item] = []
        for _ in range(draw(st.integers(1, 3))):
            figure_ = draw(st.sampled_from((CHANGE, CHANGE, BACK, SPIN, SWING, LEAP, TURNED)))
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


@pytest.mark.parametrize("engine", ["walk", "z3", "both"])
def test_what_is_wrong_under_another_reading_excuses_no_foot(engine: Engine) -> None:
    """Laps of a stomp with weight come to the wrong foot, though the order of the foot fails first for one without."""
    maker = Maker()
    left = maker.check(Test.LEAD, Foot.LEFT)
    lap = (left, step(CHANGE), step(TURNED), left, step(CHANGE))
    walls = Walls(maker.claim(Kind.WALLS), 4, (part(*lap),))
    program = maker.program(Lap(lap), part(step(CHANGE), lap=True), walls=walls, words=(word(STOMP),))
    outcomes, replays = decide(program, engine)

    assert {one.claim: one.verdict for one in outcomes} == verdicts(program)
    assert [Verdict.REFUTED] * 2 == [one.verdict for one in outcomes]
    assert [(1,), (0,)] == [one.traces[0].words for one in outcomes]
    assert all(replays.values())


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
