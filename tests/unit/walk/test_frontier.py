"""What comes to each check: mended dancer by dancer, in blocks and parts without dancing all of them."""

from collections.abc import Callable

import pytest
from attrs import evolve

from stepcheck.books.footwork import Words
from stepcheck.model.claims import Check, Kind, Test
from stepcheck.model.dance import Body, Choice, Foot, Forever, Gap, Item, Program, Repeat, Rest, Timed, Together, Walls
from stepcheck.model.outcome import Verdict
from stepcheck.model.work import WorkSpent
from stepcheck.report import pipeline
from stepcheck.walk.branches import shifted
from stepcheck.walk.effects import WEIGHTS, Algebra, Entry
from stepcheck.walk.frontier import Fronts
from stepcheck.walk.walk import walk
from tests.program_reference import verdicts
from tests.programs import BACK, CHANGE, LEAP, SPIN, STOMP, SWING, Maker, figure, part, step, word


def nested(depth: int, times: int, claim: str) -> str:
    """Return a sheet of `depth` blocks, one in the other, around a figure."""
    blocks = [f"{'  ' * level}{times} times:" for level in range(1, depth + 1)]
    lines = ["routine: Deep Water", "book: line", f"part Main: {claim}", *blocks, f"{'  ' * (depth + 1)}Vine"]
    return "\n".join([*lines, "dance:", "  Main", ""])


def twice(depth: int, last: str) -> str:
    """Return a sheet of parts that each dance the one before twice."""
    parts = [f"part P{number}:\n  P{number - 1}\n  P{number - 1}" for number in range(1, depth)]
    lines = ["routine: Deep Water", "book: line", "part P0:", "  Vine", f"  expect {last}", *parts]
    return "\n".join([*lines, "dance:", f"  P{depth - 1}", ""])


@pytest.mark.parametrize(("depth", "times"), [(12, 2), (40, 2), (98, 2), (3, 8), (5, 10**9), (2, 7)])
def test_blocks_in_blocks_are_powers_of_powers(depth: int, times: int) -> None:
    """The walk proves what holds in them, whatever their depth and number."""
    (claim,) = pipeline.check_text(nested(depth, times, "no turn"), engine="walk").claims

    assert Verdict.PROVED is claim.verdict


@pytest.mark.parametrize("claim", ["4 counts", "1/4 turn left", "left foot to left foot"])
@pytest.mark.parametrize(("depth", "times"), [(1, 10**9), (5, 10**9)])
def test_a_failure_after_a_billion_times_is_shown(depth: int, times: int, claim: str) -> None:
    """A dance of a billion times is one run, which the judge goes through by whole rounds."""
    for told in pipeline.check_text(nested(depth, times, claim), engine="walk").claims:
        assert told.verdict in (Verdict.REFUTED, Verdict.PROVED)


def test_what_is_too_much_to_be_danced_out_is_undecided() -> None:
    """Where no dance that shows a failure is found for the work that is allowed, the claim is left open."""
    (claim,) = pipeline.check_text(nested(20, 2, "4 counts"), engine="walk").claims

    assert Verdict.UNDECIDED is claim.verdict and "budget" == claim.reason


def test_parts_in_parts_are_walked_once() -> None:
    """A claim in the innermost of many parts is decided at the first, and its places are not counted one by one."""
    (claim,) = pipeline.check_text(twice(40, "front"), engine="walk").claims

    assert Verdict.PROVED is claim.verdict


# -- programs built by hand ------------------------------------------------------------------------------------------


def told(program: Program) -> list[Verdict]:
    """Return the verdicts in the order of the claims, once the reference has said the same, or decides what waits on a
    blank."""
    found = {outcome.claim: outcome.verdict for outcome in walk(program)}
    plain = verdicts(program)
    assert plain is not None
    assert all(verdict in (plain[claim], Verdict.UNDECIDED) for claim, verdict in found.items())
    return list(found.values())


def test_checks_that_stand_together_are_judged_on_the_dancers_as_they_come() -> None:
    """A wrong turn mends the facing, but not before the net facing beside it is judged; the facing is then the
    net's."""
    maker = Maker()
    turn, net = maker.check(Test.TURN, 4), maker.check(Test.FACING, 2)
    after = maker.check(Test.FACING, 2)

    assert [Verdict.REFUTED, Verdict.PROVED, Verdict.PROVED] == told(
        maker.program(part(step(SPIN), Together((turn, net)), after))
    )
    assert Verdict.REFUTED is told(maker.program(part(step(SPIN), turn, net, after)))[1]


def test_a_cut_lasts_its_counts() -> None:
    """What is claimed inside a pass or a stretch that is cut changes nothing of how long it lasts."""
    for make in (lambda *body: part(*body, lasts=24), lambda *body: Timed(body, 24)):
        maker = Maker()
        inside, outside = maker.check(Test.CLOCK, 12), maker.check(Test.CLOCK, 24)

        assert [Verdict.REFUTED, Verdict.PROVED] == told(maker.program(make(step(BACK), inside), outside))


def test_alternatives_that_are_not_compared_keep_their_lengths() -> None:
    """A cut falls in them: nothing is claimed, and dancers part company until the cut's own length."""
    maker = Maker()
    claim = maker.check(Test.CLOCK, 24)
    options: Item = Choice(1, None, ((step(BACK),), (step(CHANGE),)))

    assert [Verdict.REFUTED] == told(maker.program(options, claim))
    assert [Verdict.PROVED] == told(maker.program(Timed((options,), 24), claim))


@pytest.mark.parametrize(("value", "verdict"), [(4, Verdict.PROVED), (8, Verdict.REFUTED), (2, Verdict.REFUTED)])
def test_a_turn_without_a_side_is_each_dancers_own(value: int, verdict: Verdict) -> None:
    """One may turn left where another turns right, and each time another way; less than a half turn has to say its
    side."""
    maker = Maker()
    turns: Body = (maker.choice((step(BACK, 4),), (step(BACK, -4),)), maker.check(Test.EITHER, value))

    assert [Verdict.PROVED, verdict] == told(maker.program(Forever(1, (part(*turns),))))


def test_a_wrong_turn_without_a_side_is_mended_for_those_only_who_are_wrong() -> None:
    """Who turned to the left keeps that; who did not turn is taken to have turned to the right."""
    maker = Maker()
    turns = maker.choice((step(BACK, -8),), (step(BACK, 0),))
    inside, outside = maker.check(Test.EITHER, 8), maker.check(Test.EITHER, 8)

    assert [Verdict.PROVED, Verdict.REFUTED, Verdict.PROVED] == told(maker.program(part(turns, inside), outside))


def long(name: str, times: int) -> Program:
    """Return a program in which a body is danced many times, with checks in it or behind it."""
    maker = Maker()
    stomp = figure("Stomp Turn", STOMP, turn=2)
    bodies: dict[str, Callable[[], tuple[Body, Body]]] = {
        "a facing inside": lambda: ((step(SPIN), maker.check(Test.FACING, 2)), (maker.check(Test.FACING, 2),)),
        "a facing of some": lambda: (
            (maker.choice((step(SPIN),), (step(BACK, 8),)), maker.check(Test.FACING, 2)),
            (maker.check(Test.EITHER, 8), maker.check(Test.FOOT, Foot.RIGHT)),
        ),
        "an order inside": lambda: (
            (step(CHANGE, 2), maker.check(Test.LEAD, Foot.RIGHT)),
            (maker.check(Test.LEAD, Foot.RIGHT), maker.check(Test.TURN, 2 * times)),
        ),
        "a turn that holds once": lambda: (
            (step(CHANGE, 1), maker.check(Test.TURN, 1)),
            (maker.check(Test.TURN, 1), maker.check(Test.CLOCK, 12 * times)),
        ),
        "a length that holds once": lambda: (
            (step(BACK), Timed((step(CHANGE), maker.check(Test.CLOCK, 12)), None), maker.check(Test.CLOCK, 36)),
            (maker.check(Test.CLOCK, 36), maker.check(Test.TURN, 0)),
        ),
        "a half turn of the last time": lambda: (
            (maker.choice((step(CHANGE, 4),), (step(CHANGE, -4),)), maker.check(Test.EITHER, 4)),
            (maker.check(Test.EITHER, 4), maker.check(Test.FACING, 4)),
        ),
        "a part with a claim": lambda: (
            (part(step(SPIN), maker.check(Test.TURN, 2)), step(CHANGE)),
            (maker.check(Test.TURN, 2), maker.check(Test.CLOCK, 36 * times)),
        ),
        "both feet": lambda: (
            (step(LEAP), maker.check(Test.BOTH), step(SPIN)),
            (maker.check(Test.TURN, 2 * times), maker.check(Test.TURN, 0), maker.check(Test.FOOT, Foot.LEFT)),
        ),
        "a word": lambda: (
            (step(stomp), maker.check(Test.FACING, 2), step(CHANGE)),
            (maker.check(Test.FOOT, Foot.RIGHT), maker.check(Test.TURN, 2 * times)),
        ),
        "options of a word": lambda: (
            (maker.choice((step(stomp),), (step(CHANGE),)), maker.check(Test.LEAD, Foot.LEFT)),
            (maker.check(Test.LEAD, Foot.LEFT), maker.check(Test.FACING, 0)),
        ),
        "options of two lengths": lambda: (
            (maker.choice((step(BACK),), (step(CHANGE),)), step(CHANGE, 2)),
            (maker.check(Test.CLOCK, 36 * times), maker.check(Test.CLOCK, 24 * times)),
        ),
        "a repeat inside": lambda: (
            (Repeat(1, 4, (step(CHANGE, 1), maker.check(Test.FACING, 2))), step(CHANGE)),
            (maker.check(Test.FACING, 2), maker.check(Test.CLOCK, 60 * times)),
        ),
    }
    body, behind = bodies[name]()
    return maker.program(step(CHANGE, 1), part(Repeat(1, times, body), *behind), words=(word(STOMP),))


@pytest.mark.parametrize("times", [9, 10, 16])
@pytest.mark.parametrize(
    "name",
    [
        "a facing inside",
        "a facing of some",
        "an order inside",
        "a turn that holds once",
        "a length that holds once",
        "a half turn of the last time",
        "a part with a claim",
        "both feet",
        "a word",
        "options of a word",
        "options of two lengths",
        "a repeat inside",
    ],
)
def test_many_times_are_judged_as_they_are_danced(name: str, times: int) -> None:
    """Powers and whole rounds leave each claim in and behind a repeat as all dances do."""
    program = long(name, times)
    assert verdicts(program) == {outcome.claim: outcome.verdict for outcome in walk(program)}


@pytest.mark.parametrize(
    ("inside", "verdict"),
    [
        ((step(CHANGE, blank=True),), Verdict.UNDECIDED),
        ((step(CHANGE, blank=True), Maker().check(Test.FACING, 2)), Verdict.REFUTED),
        ((Gap(1, 24), Maker().check(Test.FACING, 2)), Verdict.UNDECIDED),
        ((Gap(1, 24), Maker().check(Test.FACING, 2), Maker().check(Test.FOOT, Foot.LEFT)), Verdict.REFUTED),
    ],
)
def test_a_blank_that_is_settled_in_its_part_leaves_nothing_open(inside: Body, verdict: Verdict) -> None:
    """Behind a pass that ends on one foot and wall whatever fills it, dancers who part are known to."""
    maker = Maker()
    claims = tuple(evolve(one, claim=maker.claim(Kind.FACING)) if isinstance(one, Check) else one for one in inside)
    options = Choice(1, None, ((step(BACK),), (step(BACK, 2),)))
    found = walk(maker.program(part(*claims), options, maker.check(Test.FACING, 4)))

    assert verdict is found[-1].verdict


def test_what_comes_to_the_last_time_only_is_judged() -> None:
    """Of a block that is danced twice, as a power since much is repeated in it."""
    maker = Maker()
    body: Body = (maker.check(Test.LEAD, Foot.LEFT), Repeat(1, 5, (step(CHANGE),)))
    assert [Verdict.REFUTED] == told(maker.program(Repeat(1, 2, body)))


@pytest.mark.parametrize(("times", "verdict"), [(1, Verdict.UNDECIDED), (64, Verdict.UNDECIDED), (65, Verdict.REFUTED)])
def test_a_number_to_be_found_is_sixty_four_at_most(times: int, verdict: Verdict) -> None:
    """A length that more would have is none."""
    maker = Maker()
    found = walk(maker.program(Repeat(1, None, (step(CHANGE),)), maker.check(Test.CLOCK, 12 * times)))
    assert [verdict] == [outcome.verdict for outcome in found]


def test_work_is_counted_to_the_last() -> None:
    """As much as the budget is can be spent, and no more; each item walked over costs one, and a power the bits of its
    number."""
    for dance, cost in (
        ((step(CHANGE), step(BACK), Rest(1, 12)), 3),
        ((part(step(CHANGE)), part(step(BACK))), 4),
        ((Repeat(1, 16, (step(CHANGE),)),), 1 + 1 + 4 + 1 + 5),
        ((Repeat(1, 8, (step(CHANGE),)),), 1 + 8),
    ):
        program = Maker().program(*dance)
        Fronts(Algebra(), cost, Words(program)).run(program.dance, ((Algebra().start(WEIGHTS), 1),), 0)
        with pytest.raises(WorkSpent):
            fronts = Fronts(Algebra(), cost - 1, Words(program))
            fronts.run(program.dance, fronts.begin(WEIGHTS), 0)


def test_fronts_that_differ_by_time_and_whole_turns_have_one_shape() -> None:
    """What is taken off is the least length, and the least turn without what it leaves of a facing."""
    algebra = Algebra()
    effect = algebra.effect([[None, Entry((3, 12), 1, 24, 36), Entry((), 2, 30, 30)], [None] * 3, [None] * 3])
    shape, least = shifted(algebra, ((effect, 1),), clocks=True, turns=True)
    later = algebra.turned(algebra.shifted(effect, 60, 60), 16)

    assert ((24, 0),) == least
    assert (shape, ((84, 16),)) == shifted(algebra, ((later, 1),), clocks=True, turns=True)
    assert [(Entry((3, 12), 1, 0, 12), Entry((), 2, 6, 6))] == [
        tuple(entry for _, _, entry in one.entries) for one, _ in shape
    ]
    assert ((0, 16),) == shifted(algebra, ((later, 1),), clocks=False, turns=True)[1]
    assert ((84, 0),) == shifted(algebra, ((later, 1),), clocks=True, turns=False)[1]
    assert ((0, -8),) == shifted(algebra, ((algebra.turned(effect, -11), 1),), clocks=False, turns=True)[1]


@pytest.mark.parametrize("times", [9, 12, 25])
def test_what_fails_inside_a_long_repeat_is_mended_time_by_time(times: int) -> None:
    """A facing claimed every time is put right every time, for each dancer by herself, and the turn is loose only for
    some."""
    maker = Maker()
    body: Body = (
        maker.choice((step(SPIN, 2),), (step(CHANGE, 0), Rest(1, 12))),
        maker.check(Test.FACING, 0),
        maker.check(Test.FOOT, Foot.LEFT),
    )

    assert 4 == len(told(maker.program(part(Repeat(1, times, body), maker.check(Test.TURN, 0)))))


def test_a_long_repeat_with_a_failing_facing_is_a_power_as_well() -> None:
    """What comes to a claim after a billion times is worked out by squaring, facing by facing."""
    maker = Maker()
    body: Body = (maker.choice((step(SPIN),), (step(SPIN, 0),)), maker.check(Test.FACING, 0))
    after, wrong = maker.check(Test.FACING, 0), maker.check(Test.CLOCK, 24)
    found = walk(maker.program(Repeat(1, 10**9, body), after, wrong))

    assert [Verdict.PROVED, Verdict.REFUTED, Verdict.PROVED, Verdict.REFUTED] == [one.verdict for one in found]


def test_a_pattern_of_the_first_times_is_not_taken_for_all() -> None:
    """The longer way of two at first is the shorter one later: a length claimed much later is held against all of
    them."""
    maker = Maker()
    begun = Choice(1, None, ((Rest(1, 1200), step(CHANGE)), (step(BACK),)))
    lefts = maker.check(Test.LEAD, Foot.LEFT), maker.check(Test.CLOCK, 12 * 400)
    claims = Repeat(1, 200, (begun, *lefts[:1])), lefts[1]

    assert 2 == len([one for one in walk(maker.program(*claims)) if one.verdict is Verdict.REFUTED])


def test_work_is_counted_where_no_pattern_shows() -> None:
    """A repeat that has to be danced time by time ends with its budget, not with its times."""
    maker = Maker()
    growing = maker.choice((step(BACK, 2),), (step(BACK, 0),))
    alternatives, length = walk(maker.program(Repeat(1, 10**9, (growing, maker.check(Test.CLOCK, 24)))), budget=5_000)

    assert (Verdict.UNDECIDED, "budget") == (alternatives.verdict, alternatives.reason)
    assert Verdict.REFUTED is length.verdict


# -- walls -----------------------------------------------------------------------------------------------------------


def test_passes_for_walls_are_danced_for_their_steps_alone() -> None:
    """A pass from the other foot turns the other way, whatever the part claims of its turn (a false proof once)."""
    maker = Maker()
    turning = evolve(SWING, versions=(evolve(SWING.versions[0], turn=-2),))
    walls = Walls(maker.claim(Kind.WALLS), 4, (part(step(turning)),))
    turn = maker.check(Test.TURN, -2)

    assert [Verdict.REFUTED, Verdict.PROVED] == told(maker.program(part(step(turning), turn, lap=True), walls=walls))


def test_an_ordered_foot_that_is_not_free_refutes_walls() -> None:
    """The second pass begins on the other foot; where that is a finding of the dance already, the walls have none."""
    maker = Maker()
    order = maker.check(Test.LEAD, Foot.LEFT)
    walls = Walls(maker.claim(Kind.WALLS), 4, (part(order, step(CHANGE, 2)),))
    lap = part(order, step(CHANGE, 2), lap=True)

    assert [Verdict.PROVED, Verdict.REFUTED] == told(maker.program(lap, walls=walls))
    assert [Verdict.REFUTED, Verdict.PROVED] == told(maker.program(lap, lap, walls=walls))


def test_walls_wait_on_the_weight_that_a_blank_leaves_open() -> None:
    """A pass that may begin on a foot from which it turns otherwise leaves the walls undecided."""
    maker = Maker()
    walls = Walls(maker.claim(Kind.WALLS), 4, (part(step(SPIN)),))
    times = Repeat(1, None, (step(CHANGE),))

    assert Verdict.UNDECIDED in told(maker.program(times, part(step(SPIN), lap=True), walls=walls))
