"""Partial walks, against the plain enumeration of all dances: what comes to a place, how a part ends, what fails."""

from collections.abc import Callable

import pytest
from attrs import evolve
from hypothesis import given

import stepcheck as sc
from stepcheck.model.claims import Test
from stepcheck.model.dance import Body, Choice, Item, Pass, Program, Rest, Spare, Step, Together, Weight
from stepcheck.model.items import every
from stepcheck.model.work import WorkSpent
from stepcheck.walk import arrivals as walking
from stepcheck.walk.arrivals import Arrival, Place, arrivals, fails, measures, onward
from stepcheck.walk.effects import Algebra
from tests.profiles import law
from tests.program_reference import Naive, State
from tests.programs import BACK, CHANGE, SPIN, STOMP, Maker, figure, part, programs, step, word

SHEET = "routine: Sluice Street\nbook: clogging\n\npart A: 8 beats\n  Basic x{times}\n\ndance:\n  A\n"


@pytest.mark.parametrize(("times", "answer"), [(3, (True, False)), (4, (False, False)), (5, (True, True))])
def test_too_long_is_told_from_too_short(times: int, answer: tuple[bool, bool]) -> None:
    """A length that fails is late where more would be too long as well, so that no longer one has to be tried."""
    program = sc.loads(SHEET.format(times=times)).program
    assert program is not None
    assert answer == fails(program)


class Noting(Naive):
    """All dances, with what stands before and after the items of one program."""

    def __init__(self, program: Program) -> None:
        super().__init__(program, {}, {})
        self.before: dict[int, set[tuple[Weight, int]]] = {}
        self.after: dict[int, set[tuple[Weight, int]]] = {}
        self.lasted: set[int] = set()
        self.turned: set[int | None] = set()

    def item(self, item: Item, states: set[State], front: int) -> set[State]:
        after = super().item(item, states, front)
        for seen, some in ((self.before, states), (self.after, after)):
            seen.setdefault(id(item), set()).update((Weight(one.weight), (front + one.turn) % 8) for one in some)
        for weight in {one.weight for one in states} if isinstance(item, Pass) else ():
            for end in self.body(item.body, {State(weight)}, 0):
                self.lasted.add(end.clock if item.lasts is None else item.lasts)
                self.turned.add(None if end.loose else end.turn)
        return after


def noted(program: Program) -> Noting:
    """Dance all dances of a program, and the parts that are never danced."""
    naive = Noting(program)
    naive.decide()
    return naive


@law(15)
@given(programs())
def test_what_comes_to_an_item_is_what_all_dances_bring(program: Program) -> None:
    """Each state before and after a step, with its facing as the part around it counts it, comes in some dance, and no
    other."""
    naive, memory = noted(program), Algebra()
    for item in {id(one): one for one in every(program.dance) if isinstance(one, Step | Rest)}.values():
        for before, come in ((True, naive.before), (False, naive.after)):
            found = arrivals(program, Place(items=(item,), before=before), memory)
            assert come.get(id(item), set()) == {state for one in found for state in one.states}


@law(15)
@given(programs(endless=False))
def test_a_body_leads_onward_as_its_dances_do(program: Program) -> None:
    """From the start of the dance with its facing, or from one weight with none."""
    for weight in (None, *Weight):
        front = program.facing if weight is None else 0
        ends = Naive(program, {}, {}).body(
            program.dance, {State(1 - program.lead if weight is None else weight)}, front
        )
        assert {(one.weight, (front + one.turn) % 8) for one in ends} == set(onward(program, program.dance, weight))


@law(15)
@given(programs())
def test_a_part_is_measured_by_all_its_passes(program: Program) -> None:
    """Its length and turn are told where every pass has the same."""
    naive = noted(program)
    lasted, turned = (next(iter(some)) if len(some) == 1 else None for some in (naive.lasted, naive.turned))
    assert (lasted, turned) == measures(program, "PART")
    assert (None, None) == measures(program, "another")


@law(20)
@given(programs())
def test_a_program_fails_where_some_dance_does(program: Program) -> None:
    """Claims about the steps alone: walls, and how long a figure is said to be, are not looked at."""
    program = evolve(program, walls=None, lengths=())
    failing, late = fails(program, Algebra())
    assert bool(noted(program).failed) is failing
    assert failing or not late


def test_places_are_lines_and_parts() -> None:
    """A line is its items in a row, of which the first has what comes before and the last what goes on; a part begins
    with the first of its passes in a row and ends with each, by its name whatever its letters."""
    turn, line = (step(CHANGE, 2), step(CHANGE, 2)), 7
    row: Body = tuple(evolve(one, line=line) for one in turn)
    program = Maker().program(step(SPIN), *row, part(step(SPIN)), part(step(SPIN)), step(CHANGE))

    def states(place: Place) -> list[tuple[tuple[Weight, int], ...]]:
        return [one.states for one in arrivals(program, place)]

    assert [((Weight.RIGHT, 2),)] == states(Place(line, before=True))
    assert [((Weight.RIGHT, 6),)] == states(Place(line))
    assert [((Weight.RIGHT, 6),)] == states(Place(part="part", before=True))
    assert [((Weight.RIGHT, 0),), ((Weight.RIGHT, 2),)] == states(Place(part="PART"))
    assert [] == states(Place(part="Other")) == states(Place(8)) == states(Place(6))


def test_a_part_that_is_never_danced_is_reached_from_its_own_start() -> None:
    """From each weight that it may begin with, on the front wall; in the order of the dance."""
    spin = step(SPIN)
    program = Maker().program(step(CHANGE), facing=3, spares=(Spare((Weight.LEFT, Weight.BOTH), (spin,)),))

    assert (Arrival(((Weight.LEFT, 0),), False), Arrival(((Weight.BOTH, 0),), False)) == arrivals(
        program, Place(items=(spin,), before=True)
    )
    assert [((Weight.LEFT, 6),), ((Weight.LEFT, 6), (Weight.RIGHT, 2))] == [
        one.states for one in arrivals(program, Place(items=(spin,)))
    ]


def test_what_waits_on_a_blank_comes_openly() -> None:
    """Behind a turn to be found every facing may be had."""
    after = step(CHANGE)
    (found,) = arrivals(Maker().program(step(CHANGE, blank=True), after), Place(items=(after,), before=True))

    assert found.open and [(Weight.LEFT, turn) for turn in range(8)] == [*found.states]


@pytest.mark.parametrize(
    ("body", "number", "answer"),
    [
        ((step(BACK),), 12, (True, True)),
        ((step(BACK),), 36, (True, False)),
        ((step(BACK),), 24, (False, False)),
        ((Choice(1, None, ((step(CHANGE),), (step(BACK),))),), 12, (True, False)),
        ((Choice(1, None, ((step(BACK),), (Rest(1, 36),))),), 12, (True, True)),
    ],
)
def test_late_is_what_lasts_too_long_in_every_dance(body: Body, number: int, answer: tuple[bool, bool]) -> None:
    """Where some dance is not too long, more may be right."""
    maker = Maker()
    assert answer == fails(maker.program(*body, maker.check(Test.CLOCK, number)))


def test_alternatives_that_differ_are_never_late() -> None:
    """A length that is too long before them, and taken as put right, is no reason of theirs."""
    maker = Maker()
    choice = maker.choice((step(BACK),), (step(CHANGE),))
    assert (True, False) == fails(maker.program(choice))

    waiting = Maker()
    length = waiting.check(Test.CLOCK, 12)
    late = waiting.program(step(BACK, blank=True), length, waiting.choice((step(BACK),), (step(CHANGE),)))
    assert (True, True) == fails(late)


def test_what_has_no_line_is_at_none() -> None:
    """Checks that stand together are of several lines."""
    maker = Maker()
    both = Together((maker.check(Test.FOOT, 0), maker.check(Test.TURN, 0)))
    assert () == arrivals(maker.program(evolve(step(CHANGE), line=7), both), Place(1))


def answers(program: Program, place: Place, part: str) -> list[object]:
    """Return what each question is answered, None where it is too much to look at."""
    asked: tuple[Callable[[], object], ...] = (
        lambda: len(arrivals(program, place)),
        lambda: measures(program, part),
        lambda: fails(program),
        lambda: len(onward(program, program.dance)),
    )
    found: list[object] = []
    for ask in asked:
        try:
            found.append(ask())
        except WorkSpent:
            found.append(None)
    return found


def test_of_too_many_readings_nothing_is_known(monkeypatch: pytest.MonkeyPatch) -> None:
    """With more assignments than may be no question is answered; as many as may be are walked."""
    maker = Maker()
    stomp = step(figure("Stomp", STOMP))
    program = maker.program(part(stomp), maker.check(Test.CLOCK, 5), words=(word(STOMP),))
    for most, known in ((1, [None] * 4), (2, [2, (12, 0), (True, True), 2])):
        monkeypatch.setattr(walking, "MOST_ASSIGNMENTS", most)
        assert known == answers(program, Place(items=(stomp,)), "Part")


def test_a_spent_budget_is_no_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    """However far a walk came, what it has met so far is not what comes: the whole answer is given, or none."""
    turned = part(step(CHANGE, 2), step(CHANGE))
    maker = Maker()
    program = maker.program(part(step(CHANGE)), *(step(CHANGE) for _ in range(6)), turned, maker.check(Test.FOOT, 0))
    whole = answers(program, Place(part="Part"), "Part")
    met = set[int]()
    for budget in range(40):
        monkeypatch.setattr(walking, "BUDGET", budget)
        found = answers(program, Place(part="Part"), "Part")
        assert all(one is None or one == wanted for one, wanted in zip(found, whole, strict=True))
        met |= {number for number, one in enumerate(found) if one is None}

    assert [2, (None, None), (True, False), 1] == whole == found
    assert {0, 1, 2, 3} == met
