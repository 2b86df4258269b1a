"""Tests of stepcheck.proof.decide: verdicts by `specs/meaning.md`, on programs built by hand."""

import threading

import pytest
from attrs import evolve

from stepcheck.model.claims import Kind, Test
from stepcheck.model.dance import (
    TICKS,
    Choice,
    Foot,
    Forever,
    Gap,
    Item,
    Lap,
    Last,
    Pass,
    Program,
    Repeat,
    Rest,
    Spare,
    Step,
    Timed,
    Together,
    Walls,
    Weight,
)
from stepcheck.model.movements import Movement
from stepcheck.model.outcome import Verdict
from stepcheck.proof import decide as deciding
from stepcheck.proof import solving
from stepcheck.proof.decide import Inquiry, decide, script
from stepcheck.proof.passes import Guesses
from stepcheck.walk.walk import walk
from tests.program_reference import verdicts
from tests.programs import (
    BACK,
    BOUNCE,
    BRUSH,
    CHANGE,
    FREE,
    LEAP,
    NOBODY,
    POINT,
    SPIN,
    STEP,
    STOMP,
    SWING,
    Maker,
    figure,
    part,
    step,
    word,
)
from tests.unit.walk.test_follow import DANCES
from tests.unit.walk.test_meetings import KINDS
from tests.unit.walk.test_meetings import program as meeting

PROVED, UNDECIDED, VACUOUS, REFUTED = Verdict.PROVED, Verdict.UNDECIDED, Verdict.VACUOUS, Verdict.REFUTED


def told(program: Program) -> list[Verdict]:
    """Return the verdicts, in order."""
    return [outcome.verdict for outcome in decide(program)]


def same(program: Program) -> list[Verdict]:
    """Return the verdicts, which dancing all dances must give as well."""
    found = told(program)
    assert verdicts(program) == dict(zip((claim.id for claim in program.claims), found, strict=True))
    return found


# -- checks ----------------------------------------------------------------------------------------------------------


def test_checks_together_are_judged_before_any_is_taken_as_true() -> None:
    """A turn that is refuted does not mend the facing beside it; afterwards the facing is the net's, the turn loose."""
    maker = Maker()
    both = Together((maker.check(Test.TURN, 4), maker.check(Test.FACING, 2)))
    after = maker.check(Test.FACING, 2), maker.check(Test.TURN, 10)
    assert same(maker.program(part(step(BACK, 2), both, *after))) == [REFUTED, PROVED, PROVED, PROVED]


def test_checks_one_after_the_other_mend_one_another() -> None:
    """The same two checks, not together: the first sets the facing, so that the second is refuted."""
    maker = Maker()
    one, two = maker.check(Test.TURN, 4), maker.check(Test.FACING, 2)
    assert same(maker.program(part(step(BACK, 2), one, two))) == [REFUTED, REFUTED]


def test_a_turn_to_either_side_is_each_dancers_own() -> None:
    """It holds where one turns left and another right, and both keep their turns; who turned otherwise has turned
    right."""
    maker = Maker()
    options = (step(BACK, 4),), (step(BACK, -4),)
    program = maker.program(
        part(maker.choice(*options), maker.check(Test.EITHER, 4), step(BACK, 4), maker.check(Test.EITHER, 8))
    )
    assert same(program) == [PROVED, PROVED, REFUTED]
    maker = Maker()
    program = maker.program(part(step(BACK, 2), maker.check(Test.EITHER, 4), maker.check(Test.TURN, 4)))
    assert same(program) == [REFUTED, PROVED]


def test_a_loose_turn_to_either_side_is_known_up_to_whole_turns() -> None:
    """After a facing that was wrong, a half turn is a half turn however far round."""
    maker = Maker()
    facing, either = maker.check(Test.FACING, 4), maker.check(Test.EITHER, 12)
    assert same(maker.program(part(step(BACK, 2), facing, either))) == [REFUTED, PROVED]


def test_alternatives_in_which_a_cut_falls_are_not_compared() -> None:
    """Without a claim each option keeps its own length; with one all have that of the first."""
    maker = Maker()
    cut = Choice(1, None, ((step(CHANGE),), (step(BACK),)))
    assert same(maker.program(part(cut, maker.check(Test.CLOCK, TICKS)))) == [REFUTED]
    maker = Maker()
    assert same(maker.program(part(maker.choice((step(CHANGE),), (step(BACK),)), maker.check(Test.CLOCK, TICKS)))) == [
        REFUTED,
        PROVED,
    ]


def test_a_cut_pass_lasts_as_long_as_its_counts() -> None:
    """Whatever was claimed inside, the clock outside grows by the counts that were danced."""
    maker = Maker()
    cut = Pass(1, "Part", 0, (step(BACK), maker.check(Test.CLOCK, 5 * TICKS)), lasts=2 * TICKS)
    timed = Timed((step(BACK), maker.check(Test.CLOCK, 7 * TICKS)), lasts=2 * TICKS)
    assert same(maker.program(cut, timed, maker.check(Test.CLOCK, 4 * TICKS))) == [REFUTED, REFUTED, PROVED]


def test_a_claim_that_no_check_reaches_is_vacuous() -> None:
    """It is neither proved nor refuted; so is one that is checked no time at all."""
    maker = Maker()
    maker.claim(Kind.TIME)
    assert same(maker.program(Repeat(1, 0, (maker.check(Test.LEAD, 1),)), maker.check(Test.LEAD, 0))) == [
        VACUOUS,
        VACUOUS,
        PROVED,
    ]


def test_spares_are_danced_from_each_of_their_weights() -> None:
    """A claim of a part that is never danced fails if it fails from one of them."""
    maker = Maker()
    spare = Spare((Weight.LEFT, Weight.RIGHT), (maker.check(Test.FACING, 0), step(CHANGE), maker.check(Test.FOOT, 0)))
    assert same(maker.program(step(CHANGE), facing=2, spares=(spare,))) == [PROVED, REFUTED]


def test_both_feet_leave_the_lead_open_where_a_foot_moves() -> None:
    """From both feet either foot may lead; a bounce of both chooses nothing."""
    maker = Maker()
    bounce = figure("Bounce", BOUNCE)
    checks = maker.check(Test.BOTH), maker.check(Test.FOOT, 0), maker.check(Test.FOOT, 0)
    program = maker.program(
        step(LEAP), step(bounce), checks[0], step(CHANGE), checks[1], step(CHANGE), step(CHANGE), checks[2]
    )
    assert same(program) == [PROVED, REFUTED, PROVED]


# -- walls -----------------------------------------------------------------------------------------------------------


def whole(maker: Maker, count: int, *body: Item) -> Walls:
    """Return a claim about walls."""
    return Walls(maker.claim(Kind.WALLS), count, body)


def test_walls_that_hold_from_one_foot_only_are_refuted() -> None:
    """A pass from the other foot turns the other way: the claims inside do not mend it."""
    gate = figure("Gate", STEP, STEP, STEP, turn=-2)
    maker = Maker()
    program = maker.program(part(step(gate), maker.check(Test.TURN, -2), lap=True), walls=whole(maker, 4, step(gate)))
    assert same(program) == [PROVED, REFUTED]


def test_walls_come_home_after_as_many_as_there_are() -> None:
    """A quarter turn comes home after four, and neither after two nor after eight."""
    for count, verdict in ((4, PROVED), (2, REFUTED), (8, REFUTED)):
        maker = Maker()
        body = (step(BACK, 2),)
        assert same(maker.program(Forever(1, (part(*body, lap=True),)), walls=whole(maker, count, *body))) == [verdict]


def test_a_pass_that_cannot_be_danced_over_and_over_refutes_the_walls() -> None:
    """The foot that it orders isn't free the second time; where that is refuted in the dance already, the walls are
    not."""
    maker = Maker()
    lead = maker.check(Test.LEAD, 0)
    body = (lead, step(CHANGE, 2))
    once = maker.program(part(*body, lap=True), walls=whole(maker, 4, *body))
    assert same(once) == [PROVED, REFUTED]
    maker = Maker()
    lead = maker.check(Test.LEAD, 0)
    body = (lead, step(CHANGE, 2))
    twice = maker.program(Repeat(1, 2, (part(*body, lap=True),)), walls=whole(maker, 4, *body))
    assert same(twice) == [REFUTED, PROVED]


def test_passes_of_parts_never_danced_begin_no_walls() -> None:
    """The weights are those of the dance; where it has no whole pass, that of its start."""
    maker = Maker()
    body = (step(SPIN),)
    spare = Spare((Weight.LEFT,), (part(*body, lap=True),))
    assert same(maker.program(step(POINT), spares=(spare,), walls=whole(maker, 4, *body))) == [PROVED]


# -- for ever --------------------------------------------------------------------------------------------------------


def endless(maker: Maker, *before: Item) -> Program:
    """Return a dance of quarter turns without end, which never shows the wall at 10:30."""
    return maker.program(*before, Forever(1, (part(step(BACK, 2)), Repeat(1, 1, (maker.check(Test.FACING, 2),)))))


def test_what_goes_on_for_ever_is_checked_in_every_pass() -> None:
    """A claim that holds in the first pass only is refuted; the dance may also end before it."""
    maker = Maker()
    assert same(endless(maker)) == [REFUTED]
    maker = Maker()
    ends = Last((part(step(BACK)), maker.check(Test.FOOT, 1)))
    assert same(maker.program(Forever(1, (ends, part(step(BACK)), maker.check(Test.FOOT, 0))))) == [REFUTED, PROVED]


def test_a_lap_that_compares_its_turn_and_time_with_the_dance_is_followed() -> None:
    """After the first pass the turn is what the claim has set it to."""
    maker = Maker()
    checks = maker.check(Test.TURN, 2), maker.check(Test.CLOCK, 2 * TICKS)
    assert same(maker.program(step(CHANGE), Forever(1, (Lap((step(BACK, 2), *checks)),)))) == [REFUTED, REFUTED]


def all_walls(maker: Maker) -> Program:
    """Return a dance that goes on from four walls, and claims that it never faces any but these."""
    return maker.program(
        Forever(
            1,
            (
                part(step(BACK, 2), step(BACK)),
                maker.check(Test.LEAD, 0),
                Step(1, BACK, 8),
                maker.check(Test.FACING, 2),
                Step(1, BACK, -2),
            ),
        )
    )


def test_a_set_that_is_guessed_wrongly_is_refused() -> None:
    """z3 is asked whether a set holds at the start and is kept: what is missing from a guess is found out, not
    believed."""
    maker = Maker()
    program = endless(maker)
    for guess in ([], [(1, 0)], [(1, 2), (1, 4)], [(0, 0)]):
        inquiry = Inquiry(program, None, Guesses(again=frozenset(guess)))
        inquiry.state(inquiry.guesses)
        assert inquiry.anything(), guess
        assert [outcome.verdict for outcome in decide(program, guess=guess)] == [REFUTED]


def test_a_set_that_is_guessed_rightly_needs_one_question(monkeypatch: pytest.MonkeyPatch) -> None:
    """With the stands given, one script is read, and z3 is asked nothing beside what that asserts."""
    maker = Maker()
    program = all_walls(maker)
    assert same(program) == [PROVED, PROVED]
    asked, read = [], []
    ask, reading = solving.Session.ask, solving.Session.reading.__func__
    monkeypatch.setattr(solving.Session, "ask", lambda self, *given: (asked.append(given), ask(self, *given))[1])
    monkeypatch.setattr(
        solving.Session, "reading", classmethod(lambda cls, *given: (read.append(given), reading(cls, *given))[1])
    )
    assert [outcome.verdict for outcome in decide(program, guess=[(Weight.RIGHT, 0)])] == [PROVED, PROVED]
    assert len(read) == 1
    assert len(asked) <= 1


def test_a_set_with_an_element_left_out_is_refused_in_the_text() -> None:
    """The script of a proof without one element of its set is satisfiable."""
    maker = Maker()
    text = script(all_walls(maker))
    members = [line for line in text.splitlines() if "|may go on:" in line and line.endswith("() Bool true)")]
    assert members
    assert not solving.satisfiable(text)
    for line in members:
        wrong = text.replace(line, line.replace("true", "false"))
        assert solving.satisfiable(wrong)


# -- long repeats ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("times", [17, 23, 40])
def test_long_repeats_mean_what_short_ones_mean(times: int) -> None:
    """Squared, read off by facing, or parted by tables: dancing them one by one says the same."""
    maker = Maker()
    turn = maker.choice((step(BACK, 2),), (step(BACK, -2),), (step(BACK),))
    body = (turn, maker.check(Test.LEAD, 0), step(BACK), step(BACK), step(BACK))
    same(
        maker.program(
            part(Repeat(1, times, body), maker.check(Test.EITHER, 4), maker.check(Test.FOOT, 0)),
            maker.check(Test.TURN, 0),
        )
    )
    maker = Maker()
    body = (
        step(BACK, 2),
        maker.check(Test.FACING, 2),
        step(CHANGE),
        Repeat(1, times, (step(SWING), maker.check(Test.FACING, 0))),
    )
    same(maker.program(part(Repeat(1, times, body), maker.check(Test.TURN, 0)), maker.check(Test.FACING, 0), facing=2))
    maker = Maker()
    feet = maker.choice((step(CHANGE),), (step(LEAP),))
    same(
        maker.program(
            Repeat(1, times, (feet, step(BACK, 4), maker.check(Test.FACING, 4))),
            maker.check(Test.CLOCK, 3 * times * TICKS),
            maker.check(Test.FOOT, 0),
        )
    )


def test_nested_repeats_to_a_milliard() -> None:
    """Claims of feet, facings and lengths inside and after them are decided."""
    maker = Maker()
    inner = Repeat(
        1,
        10**9,
        (step(BACK, 2), step(BACK, -2), maker.check(Test.FACING, 0), Timed((step(BACK), maker.check(Test.CLOCK, 24)))),
    )
    outer = Repeat(1, 10**9, (inner, step(BACK, 8), maker.check(Test.LEAD, 0)))
    ends = (
        maker.check(Test.TURN, 8 * 10**9),
        maker.check(Test.CLOCK, (6 * 10**9 + 2) * TICKS * 10**9),
        maker.check(Test.LEAD, 1),
    )
    assert told(maker.program(part(outer, *ends))) == [PROVED, PROVED, PROVED, PROVED, PROVED, REFUTED]


def test_dancers_who_part_a_milliard_times() -> None:
    """How far they turn lies between bounds; the claim that they turn alike is refuted, that they last alike is
    proved."""
    maker = Maker()
    turn = maker.choice((step(BACK, 2),), (step(BACK, -2),))
    ends = maker.check(Test.CLOCK, 2 * 10**9 * TICKS), maker.check(Test.TURN, 0), maker.check(Test.FOOT, 0)
    assert told(maker.program(part(Repeat(1, 10**9, (turn,)), *ends))) == [PROVED, PROVED, REFUTED, PROVED]


def test_a_turn_between_two_is_not_lost_in_a_long_repeat() -> None:
    """Dancers who all turned 800 one way or the other differ from those among whom somebody came out even."""
    maker = Maker()
    some = Repeat(1, 100, (maker.choice((step(BACK, 8),), (step(BACK, -8),)), *(step(BACK),) * 4))
    assert told(maker.program(part(some, maker.check(Test.EITHER, 800)))) == [PROVED, REFUTED]


# -- readings and blanks ---------------------------------------------------------------------------------------------


def test_a_reading_that_refutes_a_claim_refutes_it() -> None:
    """A stomp that takes weight frees the other foot; one that does not leaves it."""
    maker = Maker()
    stomp = figure("Stomp", STOMP)
    program = maker.program(step(stomp), maker.check(Test.FOOT, 1), words=(word(STOMP),))
    assert same(program) == [REFUTED]
    assert same(Program(program.lead, 0, program.dance, program.claims)) == [PROVED]


def test_readings_that_nobody_can_mean_refute_nothing() -> None:
    """Where a figure cannot be danced under a reading, what would fail under it is proved."""
    maker = Maker()
    twice = figure("Twice", (STOMP, Foot.LEFT), (STEP, Foot.RIGHT))
    program = maker.program(step(twice), maker.check(Test.FOOT, 0), words=(word(STOMP),))
    same(program)
    maker = Maker()
    same(
        maker.program(
            step(figure("Never", (STOMP, Foot.LEFT), (STEP, Foot.LEFT))),
            maker.check(Test.FOOT, 0),
            words=(word(STOMP),),
        )
    )


def test_a_blank_is_one_unknown_for_all_its_occurrences() -> None:
    """Two claims about it: each holds under its own filling, and is judged over all of them."""
    maker = Maker()
    body = (
        part(Step(3, BACK, None, True), maker.check(Test.FACING, 2)),
        part(Step(3, BACK, None, True), maker.check(Test.FACING, 4)),
    )
    assert same(maker.program(*body)) == [UNDECIDED, UNDECIDED]


def test_a_long_repeat_of_a_row_that_is_found_ends_in_a_verdict() -> None:
    """The ends of a row in a table are weights, whatever fills it."""
    maker = Maker()
    body = part(step(SWING), Gap(2, 2 * TICKS))
    assert told(maker.program(Repeat(3, 1_000_000, (body,)), maker.check(Test.FOOT, 0))) == [UNDECIDED]


def test_a_row_that_is_found_may_do_different_things_from_either_foot() -> None:
    """A gap is a row for each weight: what is asked of it from one foot says nothing of the other."""
    maker = Maker()
    gap = Gap(2, 2 * TICKS)
    program = maker.program(
        gap,
        maker.check(Test.FOOT, 0),
        maker.check(Test.FACING, 2),
        step(CHANGE),
        gap,
        maker.check(Test.CLOCK, 5 * TICKS),
    )
    assert told(program) == [UNDECIDED, UNDECIDED, PROVED]


def test_a_number_that_is_found_is_the_same_each_time() -> None:
    """Times to be found fill what they must, or cannot."""
    for ticks, verdict in ((10 * TICKS, UNDECIDED), (9 * TICKS, REFUTED)):
        maker = Maker()
        assert same(
            maker.program(Timed((Repeat(1, None, (step(BACK),)), maker.check(Test.CLOCK, ticks))), Rest(2, 12))
        ) == [verdict]


# -- budgets and threads ---------------------------------------------------------------------------------------------


def test_a_budget_that_is_spent_leaves_claims_undecided() -> None:
    """Nothing is refuted or proved that was not asked."""
    maker = Maker()
    program = maker.program(maker.choice((step(CHANGE),), (step(BACK),)), maker.check(Test.FOOT, 0))
    assert {(one.verdict, one.reason) for one in decide(program, budget=1)} == {(UNDECIDED, "budget")}


def test_what_fails_under_one_filling_is_not_refuted_where_the_budget_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    """A claim that some filling lets hold is undecided, and never refuted, at whichever question the work stops."""
    maker = Maker()
    times = Repeat(1, None, (step(BACK),))
    program = maker.program(
        Timed((times, maker.check(Test.CLOCK, 10 * TICKS))), step(CHANGE), maker.check(Test.FOOT, 0)
    )
    asked, whole = Inquiry.ask, told(program)
    assert whole[0] is UNDECIDED
    for most in range(6):
        left = [most]

        def ask(self: Inquiry, *conditions: object, left: list[int] = left) -> object:
            left[0] -= 1
            if left[0] < 0:
                raise solving.BudgetSpent("as the test will have it")
            return asked(self, *conditions)

        monkeypatch.setattr(Inquiry, "ask", ask)
        assert all(one.verdict in (UNDECIDED, full) for one, full in zip(decide(program), whole, strict=True)), most


def test_ctrl_c_is_not_swallowed(monkeypatch: pytest.MonkeyPatch) -> None:
    """z3 only says that it was interrupted; the user gets KeyboardInterrupt."""
    import z3

    monkeypatch.setattr(z3.Solver, "check", lambda self, *given: z3.unknown)
    monkeypatch.setattr(z3.Solver, "reason_unknown", lambda self: "interrupted from keyboard")
    maker = Maker()
    with pytest.raises(KeyboardInterrupt):
        decide(maker.program(maker.choice((step(CHANGE),), (step(POINT),)), maker.check(Test.LEAD, 0)))


def test_threads_have_contexts_of_their_own() -> None:
    """Eight threads decide at once, each for itself."""
    maker = Maker()
    program = maker.program(part(step(BACK, 2), maker.check(Test.TURN, 2)), maker.check(Test.FOOT, 1))
    found: list[list[Verdict]] = []
    threads = [threading.Thread(target=lambda: found.extend(told(program) for _ in range(5))) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert found == [[PROVED, REFUTED]] * 40


def test_nothing_is_asked_where_nothing_is_claimed() -> None:
    """A program without claims has no outcomes."""
    assert decide(Maker().program(step(BACK))) == ()
    assert deciding.BUDGET > 0


# -- the same programs as the first engine ---------------------------------------------------------------------------


@pytest.mark.parametrize("name", [name for name in DANCES if "end" not in name])
def test_what_was_worked_out_by_hand_is_decided_alike(name: str) -> None:
    """Both engines say of the first engine's programs which claims fail in some dance."""
    maker = Maker()
    program = maker.program(*DANCES[name][0](maker))
    assert told(program) == [outcome.verdict for outcome in walk(program)]


@pytest.mark.parametrize("kind", KINDS)
def test_groups_that_meet_are_compared_alike(kind: Kind) -> None:
    """Both engines compare the dancers of two groups."""
    for one in ("a change", "to the right", "options", "a leap and a spin", "a word"):
        program = meeting(kind, "to the left" if one == "to the right" else "a change", one)
        assert told(program) == [outcome.verdict for outcome in walk(program)]


def test_a_word_may_settle_whether_there_is_a_lead() -> None:
    """Read as a step it has one from both feet, read as a sway none; a word of three readings has no fourth."""
    sway = Movement("sway", ("SWAY",), (NOBODY, FREE, BRUSH))
    for claim in ((Test.BOTH, None), (Test.FOOT, Foot.LEFT), (Test.TURN, 2), (Test.CLOCK, 24)):
        maker = Maker()
        swayed = step(figure("Sway", sway, turn=2))
        program = maker.program(step(LEAP), swayed, maker.check(*claim), words=(word(sway),))
        assert same(program) == [PROVED if claim[0] is Test.CLOCK else REFUTED]
    # Where another figure can be danced only if nobody sways on a foot, the weight stays on both.
    maker, sway = Maker(), evolve(sway, senses=(NOBODY, FREE))
    bound = figure("Bound Sway", sway, (STEP, Foot.LEFT))
    program = maker.program(
        step(bound), step(LEAP), step(figure("Sway", sway, turn=2)), maker.check(Test.BOTH), words=(word(sway),)
    )
    assert same(program) == [PROVED]


def test_a_script_calls_things_by_their_names() -> None:
    """A part has the time that it is danced, where it has one; readings are numbered from one."""
    maker = Maker()
    verse, chorus = (step(CHANGE), step(SPIN)) * 4, (step(BACK), step(SPIN)) * 4
    passes = [Pass(1, name, time, body) for name, time, body in (("Verse", 2, verse), ("Chorus", 0, chorus)) * 2]
    stomp = step(figure("Stomp It", STOMP))
    text = script(maker.program(*passes, stomp, maker.check(Test.LEAD, 0), words=(word(STOMP),)))

    assert "Verse, time 2" in text and "Chorus" in text and "Chorus, time" not in text
    assert f"|stomp: {STOMP.senses[0].label} (1)|" in text

    sway = Movement("sway", ("SWAY",), (NOBODY, FREE, BRUSH))
    text = script(maker.program(step(figure("Sway", sway)), maker.check(Test.LEAD, 0), words=(word(sway),)))
    assert all(f"|sway: {sense.label} ({number})|" in text for number, sense in enumerate((NOBODY, FREE), 1))


@pytest.mark.parametrize(
    ("times", "verdict"), [(1, UNDECIDED), (37, UNDECIDED), (64, UNDECIDED), (65, REFUTED), (0, REFUTED)]
)
def test_a_number_of_times_is_any_up_to_sixty_four(times: int, verdict: Verdict) -> None:
    """Each can be found, and no other."""
    maker = Maker()
    program = maker.program(Repeat(1, None, (step(CHANGE),)), maker.check(Test.CLOCK, TICKS * times))
    assert told(program) == [verdict]
