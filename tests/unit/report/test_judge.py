"""What a judge is handed is one dance, said so that it can be danced in one way only."""

from itertools import pairwise
from pathlib import Path

import pytest
from attrs import evolve

from stepcheck.model import words
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import (
    Body,
    Choice,
    Foot,
    Gap,
    Item,
    Lap,
    Pass,
    Program,
    Repeat,
    Rest,
    Spare,
    Timed,
    Together,
    Walls,
    Weight,
)
from stepcheck.model.outcome import Decision, End, Fill, Lead, Pick, Replay, Run, Trace, Verdict
from stepcheck.model.work import Work, WorkSpent
from stepcheck.report import certify, pipeline
from stepcheck.report.certify import Rejected, confirm
from stepcheck.walk.walk import walk
from tests.programs import BACK, CHANGE, HOP, LEAP, POINT, SPIN, STEP, STOMP, TOUCH, Maker, figure, part, step, word

SPECS = Path(__file__).parents[3] / "specs"

SHEET = """\
routine: Slow Lock
book: clogging
lead: left
part V: 16 beats
  Triple x2
{blank}
part C: 16 beats
  Cowboy
  Basic x3
dance:
  V
  C
"""


@pytest.mark.parametrize("blank", ["  Basic x?", "  ? times:\n    Basic", "  Triple x2"])
def test_a_blank_number_ends_before_the_next_repeat(blank: str) -> None:
    """How often a blank is danced is told apart from the repeats after it, so that what they refute can be shown."""
    report = pipeline.check_text(SHEET.format(blank=blank), engine="walk")
    (wrong,) = (claim for claim in report.claims if claim.verdict is Verdict.REFUTED)

    assert "16 beats" == wrong.text
    assert all(not one.code.id.startswith("SR9") for one in report.diagnostics)


@pytest.mark.parametrize("readings", ["report", "all"])
def test_nobody_is_told_of_a_dance_in_which_an_open_claim_fails(readings: str) -> None:
    """A dance that shows a failure passes no other claim that may fail in it (an internal error once)."""
    text = (SPECS / "unfinished" / "rain_on_the_tarp.routine").read_text(encoding="utf-8")

    for sheet in (text, SHEET.format(blank="  Basic x?")):
        report = pipeline.check_text(sheet, engine="walk", readings=readings)
        assert report.claims and not any(one.code.id.startswith("SR9") for one in report.diagnostics)


# -- replays of programs built by hand -------------------------------------------------------------------------------


def confirmed(program: Program, claim: Claim) -> int:
    """Return what the judge finds of a claim in the dance that the walk shows."""
    outcomes = walk(program)
    refuted = frozenset(one.claim for one in outcomes if one.verdict is Verdict.REFUTED)
    (outcome,) = (one for one in outcomes if one.claim == claim.id)
    return confirm(program, claim, outcome.traces, refuted)[0].found


def test_checks_that_stand_together_are_judged_before_any_is_taken_as_true() -> None:
    """A wrong turn beside a net facing says nothing of that facing; behind both the facing is the net's."""
    maker = Maker()
    both = Together((maker.check(Test.TURN, 8), maker.check(Test.FACING, 2)))
    after = maker.check(Test.FACING, 4)
    program = maker.program(part(step(SPIN), both, after))

    assert 2 == confirmed(program, both.checks[0].claim) == confirmed(program, after.claim)


def test_a_cut_that_lasts_its_counts_is_replayed_so() -> None:
    """The clock behind a cut is that of its counts, whatever was danced."""
    maker = Maker()
    program = maker.program(Timed((step(BACK),), 12), part(step(BACK), lasts=36), maker.check(Test.CLOCK, 0))

    assert 48 == confirmed(program, program.claims[-1])


def test_a_billion_times_are_replayed_by_whole_rounds() -> None:
    """A run of a billion times in a run of a billion times is danced as often as it takes to come round."""
    maker = Maker()
    inner = Repeat(1, 10**9, (step(CHANGE, 2),))
    program = maker.program(Repeat(1, 10**9, (inner, Rest(1, 12))), maker.check(Test.CLOCK, 0))

    assert 12 * (10**18 + 10**9) == confirmed(program, program.claims[-1])


def test_what_is_left_of_the_rounds_is_danced_too() -> None:
    """A number of times that is no whole number of rounds is danced to its end."""
    maker = Maker()
    program = maker.program(Repeat(1, 1_003, (step(CHANGE, 2),)), maker.check(Test.TURN, 0))

    assert 2_006 == confirmed(program, program.claims[-1])


def test_a_pass_that_was_danced_before_turns_again() -> None:
    """Each time through a part adds its turn and its beats to those before."""
    for test, each in ((Test.TURN, 2), (Test.CLOCK, 24), (Test.FACING, 2)):
        maker = Maker()
        program = maker.program(step(SPIN), *[part(step(SPIN))] * 2, maker.check(test, 1))

        assert 3 * each == confirmed(program, program.claims[-1])


@pytest.mark.parametrize("foot", Foot)
def test_from_both_feet_either_foot_leads(foot: Foot) -> None:
    """The foot that the dance says leads after a jump, and has the weight behind its step."""
    maker = Maker()
    program = maker.program(step(LEAP), step(CHANGE), maker.check(Test.FOOT, foot))

    assert foot == confirmed(program, program.claims[-1])


# -- chains of passes ------------------------------------------------------------------------------------------------


def walled() -> tuple[Program, Claim, tuple[Trace, ...], frozenset[str]]:
    """Return a dance whose second pass comes to an ordered foot that is not free, with the chain to it."""
    maker = Maker()
    order = maker.check(Test.LEAD, Foot.LEFT)
    walls = Walls(maker.claim(Kind.WALLS), 4, (part(order, step(CHANGE, 2)),))
    variation = maker.choice((step(BACK),), (step(BACK, 0),))
    program = maker.program(variation, part(order, step(CHANGE, 2), lap=True), walls=walls)
    (outcome,) = (one for one in walk(program) if one.claim == walls.claim.id)
    return program, walls.claim, outcome.traces, frozenset({walls.claim.id})


def test_a_chain_of_passes_ends_at_the_foot_that_is_not_free() -> None:
    """The dance up to a lap, one pass, and the second one, which stops at the order."""
    program, claim, traces, refuted = walled()
    (replay,) = confirm(program, claim, traces, refuted)

    assert (Test.LEAD, 1, Weight.LEFT, Weight.LEFT) == (replay.test, replay.line, replay.found, replay.begins)
    assert (Trace((Pick(0),), start=Weight.RIGHT, passes=((), ())),) == traces


@pytest.mark.parametrize(
    "wrong",
    [
        {"start": Weight.LEFT},
        {"start": None},
        {"decisions": ()},
        {"decisions": (Pick(0), Pick(0))},
        {"passes": ()},
        {"passes": ((),)},
        {"passes": ((), (Pick(0),))},
        {"passes": ((), (), ())},
        {"passes": ((Run(1, ()),), ())},
    ],
    ids=str,
)
def test_a_chain_that_is_not_of_this_dance_is_refused(wrong: dict[str, object]) -> None:
    """Its first weight is that of a lap of the dance, each pass is danced whole, and no decision is left over."""
    program, claim, (trace,), refuted = walled()

    with pytest.raises(Rejected):
        confirm(program, claim, (evolve(trace, **wrong),), refuted)


def test_a_foot_that_is_excused_is_no_finding_of_a_pass() -> None:
    """Whoever asks says under which readings it is: with open words or without, a pass that turns as it should goes on."""
    program, claim, (trace,), refuted = walled()
    assert program.walls is not None
    ((order, change),) = (one.body for one in program.walls.body if isinstance(one, Pass))
    assert isinstance(order, Check)
    worded, read = evolve(program, words=(word(STOMP),)), evolve(trace, words=(0,))
    for made, told in ((program, trace), (worded, read)):
        assert Test.LEAD is confirm(made, claim, (told,), refuted)[0].test
        with pytest.raises(Rejected, match="every pass turns"):
            confirm(made, claim, (told,), refuted | {order.claim.id})

    blank = evolve(worded, walls=evolve(program.walls, body=(part(evolve(order, value=None), change),)))
    with pytest.raises(Rejected, match="every pass turns"):
        confirm(blank, claim, (evolve(read, passes=((Lead(Foot.LEFT),),) * 2),), refuted)


def test_a_foot_that_is_to_be_found_is_judged_as_found() -> None:
    """In the dance a blank foot is an order like any other."""
    maker = Maker()
    program = maker.program(maker.check(Test.LEAD))
    replay = judged(program, Lead(Foot.RIGHT))
    assert (Foot.RIGHT, Weight.RIGHT) == (replay.expected, replay.found)
    with pytest.raises(Rejected, match="does not fail"):
        judged(program, Lead(Foot.LEFT))


def test_a_part_alone_begins_at_the_front_with_nothing_turned() -> None:
    """Behind a blank its turn is told by the facing alone."""
    maker = Maker()
    body = Gap(1, 12), maker.check(Test.TURN, 2)
    program = maker.program(spares=(Spare((Weight.LEFT,), body),))
    assert 4 == judged(program, Fill(None, 4), spare=0, start=Weight.LEFT).found
    with pytest.raises(Rejected, match="does not fail"):
        judged(program, Fill(None, 2), spare=0, start=Weight.LEFT)
    with pytest.raises(Rejected, match="says where the weight is"):
        judged(program, Fill(None, 4), spare=0)


def test_another_claim_that_fails_on_the_way_is_mended_or_the_dance_is_refused() -> None:
    """What fails before the claim in question has to be known; claims are told apart by their ids alone."""
    maker = Maker()
    first, second = maker.check(Test.TURN, 1), maker.check(Test.TURN, 2)
    program = maker.program(first, second)
    with pytest.raises(Rejected, match="'claim 1' fails on the way, and nothing says so"):
        confirm(program, second.claim, (Trace(),), frozenset())
    same = evolve(second.claim, id="".join(("c", "2")))
    assert 2 == confirm(program, same, (Trace(),), frozenset({first.claim.id}))[0].expected


def test_where_the_dance_holds_no_lap_a_chain_begins_as_the_dance_does() -> None:
    """Nothing comes before its passes then, and its first weight is that of the start."""
    maker = Maker()
    walls = Walls(maker.claim(Kind.WALLS), 4, (part(step(CHANGE, 4)),))
    program = maker.program(step(LEAP), walls=walls)
    (outcome,) = walk(program)

    assert 4 == confirm(program, walls.claim, outcome.traces, frozenset())[0].found
    for wrong in ({"start": Weight.BOTH}, {"decisions": (Pick(0),)}):
        with pytest.raises(Rejected):
            confirm(program, walls.claim, (evolve(outcome.traces[0], **wrong),), frozenset())


def test_the_last_of_passes_that_are_decided_alike_is_danced_to_the_lap_in_it() -> None:
    """On the way to a lap no pass deep inside others is danced twice, but for the one in which the lap begins."""
    maker = Maker()
    walls = Walls(maker.claim(Kind.WALLS), 4, (part(step(CHANGE, 4)),))
    once = part(Repeat(1, 1, (step(CHANGE),)), part(step(CHANGE, 4), lap=True))
    program = maker.program(part(part(part(part(once, once, once)))), walls=walls, lead=Foot.LEFT)
    for times in (1, 2, 3):
        trace = Trace((Run(1, ()),) * times, start=Weight.LEFT, passes=((),))
        assert 4 == confirm(program, walls.claim, (trace,), frozenset({walls.claim.id}))[0].found
    with pytest.raises(Rejected, match="no lap of the dance begins so"):
        confirm(program, walls.claim, (evolve(trace, start=Weight.RIGHT),), frozenset({walls.claim.id}))


# -- one promise each ------------------------------------------------------------------------------------------------


def judged(program: Program, *decisions: Decision, claim: int = -1, **more: object) -> Replay:
    """Return what the judge makes of a dance: where the claim with this number fails."""
    about = program.claims[claim]
    others = frozenset(one.id for one in program.claims) - {about.id}
    return confirm(program, about, (Trace(decisions, **more),), others)[0]


def test_a_trace_without_readings_is_danced_by_the_usual_ones() -> None:
    """An open word for which a trace says nothing has its usual reading."""
    maker = Maker()
    stomp = figure("Stomp it", STOMP)
    program = maker.program(step(stomp), maker.check(Test.FOOT, Foot.LEFT), words=(word(STOMP),))
    assert Weight.LEFT == judged(evolve(program, dance=(program.dance[0], evolve(program.dance[1], value=0)))).found
    with pytest.raises(Rejected):
        judged(program, words=(1,))


def test_an_ordered_foot_stands_in_its_own_line_unless_its_part_begins_with_it() -> None:
    """At the beginning of a part it is the call that is wrong, later in it the order itself."""
    for before, line in (((), 7), ((step(CHANGE),), 3)):
        maker = Maker()
        order = evolve(maker.check(Test.LEAD, Foot.RIGHT), line=3)
        wrong = evolve(order, value=Foot.LEFT)
        called = evolve(part(*before, wrong if before else order), line=7)
        assert line == judged(maker.program(called)).line


def test_what_is_danced_for_the_first_time_is_free() -> None:
    """Each item is counted when it is danced again, and as many as are allowed are danced."""
    maker = Maker()
    once = part(step(CHANGE), step(CHANGE))
    program = maker.program(once, once, once, maker.check(Test.CLOCK, 1))
    for left, enough in ((3, False), (4, True)):
        about = program.claims[0]
        if enough:
            assert 72 == confirm(program, about, (Trace(),), frozenset(), effort=Work(left))[0].found
        else:
            with pytest.raises(WorkSpent):
                confirm(program, about, (Trace(),), frozenset(), effort=Work(left))


def test_a_figure_of_one_meaning_is_not_read_by_a_word_of_its_name() -> None:
    """A movement whose reading is open may share its name with a figure that means one thing."""
    maker = Maker()
    program = maker.program(step(figure("stomp", STOMP)), maker.check(Test.FOOT, Foot.LEFT), words=(word(STOMP),))
    with pytest.raises(Rejected, match="does not fail"):
        judged(program, words=(1,))


CLOCK = Check(1, Claim("clock", Kind.LENGTH, 1, "20 ticks"), Test.CLOCK, 20)
FACING = Check(1, Claim("facing", Kind.FACING, 1, "the front"), Test.FACING, 0)
SHUFFLE, DRAW = Repeat(1, 2, (step(CHANGE),)), Repeat(1, None, (step(CHANGE),))
PIVOT = figure("Pivot", (HOP, Foot.RIGHT))
VARIATION = Choice(1, None, ((step(CHANGE),), (step(BACK),)))


@pytest.mark.parametrize(
    ("items", "decisions", "reason"),
    [
        (
            (step(figure("Wrong", (STEP, Foot.LEFT), (STEP, Foot.LEFT))),),
            (),
            "Wrong: step on the foot that has the weight",
        ),
        ((step(figure("Wrong", (TOUCH, Foot.LEFT), (HOP, Foot.LEFT))),), (), "Wrong: hop on a foot without weight"),
        (
            (step(CHANGE), step(figure("Wrong", (HOP, Foot.RIGHT), lead=Foot.RIGHT))),
            (),
            "Wrong: hop on a foot without weight",
        ),
        ((step(LEAP), step(PIVOT)), (Lead(Foot.LEFT), Pick(0)), "the claim does not fail"),
        ((step(LEAP), step(CHANGE)), (Pick(0),), r"a Lead is needed, but Pick\(option=0\) comes"),
        ((step(LEAP), step(CHANGE)), (), "a Lead is needed, but nothing comes"),
        ((VARIATION,), (Pick(2),), "there is no option 2"),
        ((VARIATION,), (Pick(3),), "there is no option 3"),
        ((VARIATION,), (Pick(-1),), "there is no option -1"),
        ((SHUFFLE,), (), "a repeat ends too early"),
        ((SHUFFLE,), (Run(1, ()), Pick(0)), "a repeat ends too early"),
        ((SHUFFLE,), (Run(1, ()), Run(2, ())), "a repeat of 2 times was danced 3 times"),
        ((SHUFFLE,), (Run(0, ()), Run(2, ())), "a run of no times"),
        ((SHUFFLE,), (Run(2, (Pick(0),)),), "decisions are left over at the end of a repeat"),
        ((DRAW,), (Run(2, ()),), "a End is needed, but nothing comes"),
        ((DRAW,), (Run(-1, ()), End(True)), "a run of no times"),
    ],
    ids=str,
)
def test_what_is_no_dance_of_the_program_is_refused_with_its_reason(
    items: Body, decisions: tuple[Decision, ...], reason: str
) -> None:
    """A trace whose feet, options or times are not those of the program."""
    maker = Maker()
    program = maker.program(*items, maker.check(Test.FACING, 0))
    with pytest.raises(Rejected, match=f"^{reason}"):
        judged(program, *decisions)


@pytest.mark.parametrize(
    ("first", "ticks"),
    [
        ((step(CHANGE), Rest(1, 6), Gap(1, 12)), 30),
        ((Repeat(1, 3, (step(CHANGE), Rest(1, 1))),), 39),
        ((Repeat(1, None, (step(BACK),)), step(CHANGE)), 36),
        ((step(CHANGE), Choice(1, None, ((step(BACK),), (step(CHANGE),)))), 36),
        ((step(CHANGE), Timed((step(BACK),)), Timed((step(BACK),), 7)), 43),
        ((step(CHANGE), part(step(BACK)), part(step(BACK), lasts=7), Lap((step(CHANGE),))), 55),
        ((step(CHANGE), CLOCK, step(CHANGE)), 32),
        ((step(CHANGE), Together((FACING, CLOCK)), step(CHANGE), Together((FACING,))), 32),
    ],
    ids=str,
)
def test_where_alternatives_are_to_last_alike_the_dance_goes_on_as_if_they_lasted_like_the_first(
    first: Body, ticks: int
) -> None:
    """The first option's length is worked out by what is stated, whichever option is danced."""
    maker = Maker()
    variation = maker.choice(first, (step(BACK),))
    program = maker.program(Rest(1, 100), variation, maker.check(Test.CLOCK, 0))
    program = evolve(program, claims=(*program.claims, CLOCK.claim, FACING.claim))
    about, others = program.claims[1], frozenset(one.id for one in program.claims)
    (replay,) = confirm(program, about, (Trace((Pick(1),)),), others - {about.id})
    assert 100 + ticks == replay.found
    left_out = evolve(program, dance=(Rest(1, 100), Choice(1, None, variation.options), program.dance[-1]))
    assert 124 == confirm(left_out, about, (Trace((Pick(1),)),), others - {about.id})[0].found


# -- rows ------------------------------------------------------------------------------------------------------------


def shown(program: Program, *decisions: Decision) -> list[tuple[str, int, int, int]]:
    """Return the rows of a dance in which the last claim fails: label, start and length in beats, times."""
    rows = judged(program, *decisions).rows
    assert all(one.tick + one.ticks == other.tick for one, other in pairwise(rows))
    return [(row.label, row.tick // 12, row.ticks // 12, row.times) for row in rows]


def test_a_row_stands_for_whole_rounds_between_times_that_are_shown() -> None:
    """Of a hundred times that come round after two, 25 are danced, one row is for 74, and one more is danced."""
    maker = Maker()
    program = maker.program(Repeat(1, 100, (step(SPIN, 4), step(CHANGE))), maker.check(Test.CLOCK, 1))
    rows = shown(program, Run(100, ()))
    assert 53 == len(rows)
    assert [("Change", 74, 1, 1), ("Change", 75, 222, 74), ("Spin", 297, 2, 1), ("Change", 299, 1, 1)] == rows[49:]


def test_inside_another_repeat_rounds_begin_with_the_third_time_alike() -> None:
    """Only the outermost repeat is danced one by one."""
    maker = Maker()
    inner = Repeat(1, 9, (step(BACK), step(SPIN, 0), step(POINT)))
    program = maker.program(Repeat(1, 1, (inner,)), maker.check(Test.CLOCK, 1))
    rows = shown(program, Run(1, (Run(9, ()),)))
    assert [("Spin", 12, 2, 1), ("Point", 14, 1, 1), ("Point", 15, 30, 6)] == rows[7:]


def test_deep_inside_one_row_stands_for_a_pass_that_was_danced_before() -> None:
    """It lasts as long as the pass, and is like the row before it."""
    maker = Maker()
    inner = part(step(SPIN), step(CHANGE), step(CHANGE, 2))
    once = part(step(CHANGE), part(part(part(inner, step(BACK), inner))))
    program = maker.program(once, maker.check(Test.CLOCK, 1))
    rows = shown(program)
    assert [("Back", 5, 2, 1), ("Back", 7, 4, 1)] == rows[4:]
    at_once = evolve(program, dance=(part(part(part(part(inner, inner)))), program.dance[-1]))
    assert [("Change", 3, 1, 1), ("Change", 4, 4, 1)] == shown(at_once)[2:]
    plain = part(step(CHANGE), part(part(inner, step(BACK), inner)))
    assert 8 == len(shown(maker.program(plain, maker.check(Test.CLOCK, 1))))


@pytest.mark.parametrize("depth", [1, 2])
def test_repeats_count_as_parts_do(depth: int) -> None:
    """Four blocks around a pass are deep, and so are five; decisions are compared as values."""
    maker = Maker()
    inner = part(Choice(1, None, ((step(SPIN), step(CHANGE, 2), step(CHANGE)), ())))
    body: Item = part(inner, step(BACK), inner)
    for _ in range(depth):
        body = part(body)
    program = maker.program(Repeat(1, 1, (part(body),)), maker.check(Test.CLOCK, 1))
    assert [("Back", 4, 2, 1), ("Back", 6, 4, 1)] == shown(program, Run(1, (Pick(0), Pick(0))))[3:]
    assert 4 == len(shown(program, Run(1, (Pick(0), Pick(1)))))


def test_a_pass_that_was_danced_before_leaves_her_as_loose_as_then() -> None:
    """Behind a blank that is danced again only the facing counts, though a turn was settled in between."""
    maker = Maker()
    blank, settled, about = part(Gap(1, 12)), maker.check(Test.TURN, 0), maker.check(Test.TURN, 10)
    program = maker.program(part(part(part(part(blank, settled, blank, about)))))
    with pytest.raises(Rejected, match="does not fail"):
        judged(program, Fill(None, 2), Fill(None, 2))


def test_alternatives_that_may_last_unlike_are_danced_as_they_are_unless_their_claim_is_mended() -> None:
    """Only a variation whose own claim is in question, or mended, goes on as if the first option had been danced."""
    maker = Maker()
    variation = maker.choice((step(CHANGE),), (step(BACK),))
    program = maker.program(variation, maker.check(Test.CLOCK, 0))
    about = program.claims[1]
    for mended, ticks in ((frozenset(), 24), (frozenset({variation.claim.id}), 12)):
        assert ticks == confirm(program, about, (Trace((Pick(1),)),), mended)[0].found
    for name in (f"{variation.claim.id}z", "a"):
        named = evolve(about, id=name)
        program = maker.program(variation, Check(1, named, Test.CLOCK, 0))
        assert 24 == confirm(program, named, (Trace((Pick(1),)),), frozenset())[0].found
    same = evolve(variation.claim, id="".join(("c", "1")))
    traces = tuple(Trace((Pick(option),)) for option in (0, 1))
    assert [12, 24] == [one.found for one in confirm(program, same, traces, frozenset())]


def test_deep_inside_the_last_variation_of_a_dance_of_two_is_danced() -> None:
    """Two dances that differ in length end at the same variation, also where it was danced like this before."""
    maker = Maker()
    variation = maker.choice((step(CHANGE),), (step(BACK),))
    inner = part(variation)
    program = maker.program(part(part(part(part(inner, inner)))))
    about = program.claims[0]
    traces = tuple(Trace((Pick(option), Pick(option))) for option in (0, 1))
    assert [12, 24] == [one.found for one in confirm(program, about, traces, frozenset())]
    with pytest.raises(Rejected, match="do not differ"):
        confirm(program, about, (traces[0], traces[0]), frozenset())


def test_the_last_400_rows_are_kept() -> None:
    """Of a longer dance its end is shown."""
    maker = Maker()
    program = maker.program(*[step(CHANGE)] * 401, maker.check(Test.CLOCK, 1))
    rows = shown(program)
    assert (400, ("Change", 1, 1, 1)) == (len(rows), rows[0])


# -- effort ----------------------------------------------------------------------------------------------------------


def test_a_dance_that_takes_too_long_to_replay_is_no_refutation(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the judge dances again is counted: beyond its effort nothing is shown, and the claim is undecided."""
    maker = Maker()
    wrong = maker.check(Test.TURN, 0)
    program = maker.program(part(Repeat(1, 9, (step(BACK, 2),)), wrong))
    (outcome,) = walk(program)
    with pytest.raises(WorkSpent):
        confirm(program, wrong.claim, outcome.traces, frozenset({wrong.claim.id}), effort=Work(3))
    assert [Verdict.REFUTED] == [one.verdict for one in pipeline.decide(program, "walk")[0]]
    monkeypatch.setattr(certify, "EFFORT", 3)
    outcomes, replays = pipeline.decide(program, "walk")
    assert [(Verdict.UNDECIDED, "budget")] == [(one.verdict, one.reason) for one in outcomes]
    assert not replays


@pytest.mark.parametrize("times", [2, 60, 1_000_000])
def test_times_that_are_not_danced_again_are_counted(times: int) -> None:
    """Which time of a part a claim fails in is told with those of whole rounds, and of passes like one before."""
    order = f"  2 times:\n    {times} times:\n      3 times:\n        B\n  Triple\n  A\n"
    sheet = "book: clogging\nlead: left\n\npart A: 8 beats\n  Triple, left foot\n  Triple\n\npart B:\n  A\n\ndance:\n"
    (finding,) = (one for one in pipeline.check_text(sheet + order, engine="walk").diagnostics if one.claim)
    assert f"in A, the {words.ordinal(6 * times + 1)} time that it is danced" in [said for _, said in finding.related]
