"""The states at each point of a dance, against the plain enumeration of all dances."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepcheck.model.claims import Test
from stepcheck.model.dance import Body, Choice, Forever, Lap, Program, Repeat, Rest, Timed, Weight
from stepcheck.model.items import inside
from stepcheck.model.work import Work
from stepcheck.walk.points import Dancer, Points
from tests.profiles import law
from tests.program_reference import Naive, State
from tests.programs import BACK, CHANGE, LEAP, SPIN, SWING, Maker, part, programs, step


class Bodies:
    """Numbers for bodies, those inside each first."""

    def __init__(self) -> None:
        self.made: list[Body] = []

    def number(self, body: Body) -> int:
        """Return the number of a body."""
        for item in body:
            for inner in inside(item):
                self.number(inner)
        if not any(body is one for one in self.made):
            self.made.append(body)
        return next(number for number, one in enumerate(self.made) if one is body)


def come(body: Body, front: int, begun: Dancer) -> tuple[set[Dancer], Points]:
    """Return the states after a body, and the points."""
    bodies = Bodies()
    points = Points(bodies.number, bodies.made, Work(10**6))
    return set(points.body(bodies.number(body), front, begun)), points


def plainly(body: Body, front: int, begun: Dancer) -> tuple[set[Dancer], Naive]:
    """Return the states after a body by dancing all its dances."""
    naive = Naive(Maker().program(), {}, {})
    ends = naive.body(body, {State(int(begun.weight), *begun[1:4])}, front)
    return {Dancer(Weight(end.weight), *end[1:]) for end in ends}, naive


DANCERS = [
    Dancer(Weight.LEFT),
    Dancer(Weight.RIGHT, 5, False, 7),
    Dancer(Weight.BOTH, -11, False, 30),
    Dancer(Weight.RIGHT, 3, True, 12),
]


@law(40)
@given(programs(endless=False), st.sampled_from(DANCERS), st.sampled_from((0, 3)))
def test_the_states_after_a_body_are_those_of_its_dances(program: Program, begun: Dancer, front: int) -> None:
    """Whatever was turned and danced before, and left out while the body is looked at, stands in them again."""
    found, points = come(program.dance, front, begun)
    plain, naive = plainly(program.dance, front, begun)

    assert plain == found
    assert points.begins == naive.laps


def long_bodies() -> dict[str, tuple[Body, Body]]:
    """Return by name a body to be danced many times and what follows."""
    maker = Maker()
    turn, facing, clock, either = (
        maker.check(test, value)
        for test, value in ((Test.TURN, 2), (Test.FACING, 2), (Test.CLOCK, 24), (Test.EITHER, 4))
    )
    both = Choice(1, None, ((step(SPIN),), (step(CHANGE, -1), Rest(1, 12))))
    return {
        "steps": ((step(SPIN),), ()),
        "another foot": ((step(SWING),), ()),
        "one eighth": ((step(CHANGE, 1),), ()),
        "eight eighths": ((step(CHANGE, 8),), ()),
        "a facing": ((step(SPIN), facing), (step(SPIN),)),
        "a facing of some": ((Choice(1, None, ((step(SPIN),), (step(BACK, 8),))), facing), ()),
        "a turn": ((step(CHANGE, 4), turn), ()),
        "a length": ((step(BACK), clock), (step(BACK),)),
        "a turn to either side": ((step(SWING, 4), either), ()),
        "a loose turn inside": ((part(step(SPIN), maker.check(Test.FACING, 0)),), (step(CHANGE, 1),)),
        "options": ((both,), ()),
        "options and a length": ((Timed((both,), 36),), ()),
        "compared options": ((maker.choice((step(BACK),), (step(CHANGE, 4),)),), ()),
        "a landing": ((step(LEAP), step(SWING)), ()),
        "a repeat": ((Repeat(1, 5, (step(CHANGE, 1), maker.check(Test.TURN, 3))), step(SWING)), ()),
        "a clock of its own": ((Timed((step(BACK), clock), None), step(CHANGE, 8)), ()),
    }


@pytest.mark.parametrize("name", long_bodies())
def test_many_times_come_to_the_states_of_one_by_one(name: str) -> None:
    """Whole rounds at once leave the turn and time that the times between them take."""
    body, onward = long_bodies()[name]
    for times in (1, 2, 9, 17, 40) if "option" not in name else (3, 8):
        dance = (Repeat(1, times, body), *onward)
        for begun in DANCERS:
            assert plainly(dance, 3, begun)[0] == come(dance, 3, begun)[0], (times, begun)


def test_a_billion_times_are_a_few_rounds() -> None:
    """The states after them are worked out."""
    dance: Body = (Repeat(1, 10**9 + 1, (step(CHANGE, 3),)),)
    assert {Dancer(Weight.RIGHT, 3 * 10**9 + 3, False, 12 * 10**9 + 12)} == come(dance, 0, Dancer(Weight.LEFT))[0]


def test_every_lap_of_a_dance_without_end_begins_with_its_weights() -> None:
    """A round without end is danced until no new state comes; the states before each time are its points."""
    round_ = (part(step(CHANGE, 2), lap=True),)
    found, points = come((Forever(1, round_),), 0, Dancer(Weight.LEFT, 5, False, 7))

    assert {Weight.LEFT, Weight.RIGHT} == points.begins
    assert {Weight.LEFT, Weight.RIGHT} == {one.weight for one in found}
    assert {Weight.RIGHT} == come((Lap((step(CHANGE),)),), 0, Dancer(Weight.RIGHT))[1].begins


@pytest.mark.parametrize(
    ("body", "work"),
    [
        ((step(CHANGE),), 1),
        ((part(step(CHANGE)),), 2 + 1 + 1),
        ((Choice(1, None, ((step(CHANGE),), (step(BACK),))),), 4 + 2 + 2),
        ((Choice(1, None, ((step(CHANGE),), (step(BACK),))), Timed((step(BACK),), None)), 6 + 6 + 2),
        ((Repeat(1, 2, (Choice(1, None, ((step(CHANGE),), (step(BACK),))),)),), 10 + 13 + 3),
    ],
)
def test_work_is_bodies_and_their_dancers(body: Body, work: int) -> None:
    """Each body that dancers come to costs one, and each of them one before it and one after it; from a state that is
    known nothing more."""
    spent = Work(10**4)
    bodies = Bodies()
    points = Points(bodies.number, bodies.made, spent)
    points.body(bodies.number(body), 0, DANCERS[0])

    assert work == spent.spent
