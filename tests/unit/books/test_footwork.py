"""What figures do to the weight."""

import pytest
from attrs import evolve

from stepcheck.books.footwork import Impossible, Words, dance, deeds, ends, first_impossible, footing, is_still
from stepcheck.model.dance import Figure, Foot, Step, Version, Weight
from stepcheck.walk.effects import Algebra, step_effect
from tests.programs import (
    BACK,
    BOUNCE,
    CHANGE,
    HOLD,
    HOP,
    JUMP,
    LEAP,
    SPIN,
    STEP,
    STOMP,
    TOUCH,
    Maker,
    figure,
    row,
    step,
    word,
)


def version(*moves: object) -> Version:
    """Return a version, a beat a movement."""
    return Version("", row(*moves), 12 * len(moves))


@pytest.mark.parametrize(
    ("moves", "after"),
    [
        ((STEP,), Weight.LEFT),
        ((STEP, STEP), Weight.RIGHT),
        ((TOUCH,), Weight.RIGHT),
        ((HOP,), Weight.RIGHT),
        ((HOLD,), Weight.RIGHT),
        ((JUMP,), Weight.BOTH),
        ((BOUNCE,), Weight.RIGHT),
        ((JUMP, STEP), Weight.LEFT),
        ((JUMP, HOP), Weight.LEFT),
        ((JUMP, TOUCH), Weight.RIGHT),
        ((STEP, (STEP, Foot.RIGHT)), Weight.RIGHT),
    ],
)
def test_movements_move_the_weight(moves: tuple[object, ...], after: Weight) -> None:
    """A left lead: steps land, touches do not, a jump lands on both, from both the lead acts (design, section 3)."""
    assert after == dance(version(*moves), Foot.LEFT, False, {})


def test_the_other_lead_is_the_mirror_image() -> None:
    """A right lead swaps the written feet."""
    assert Weight.LEFT == dance(version(STEP, (STEP, Foot.RIGHT)), Foot.RIGHT, True, {})


@pytest.mark.parametrize(
    ("moves", "left", "right", "both"),
    [
        ((STEP,), ["left L -2"], ["right R 2"], ["right R 2", "left L -2"]),
        ((TOUCH,), ["left R -2"], ["right L 2"], ["right L 2", "left R -2"]),
        ((JUMP,), ["left B -2"], ["right B 2"], ["right B 2"]),
        ((HOLD,), ["left R -2"], ["right L 2"], ["right B 2"]),
        (((STEP, Foot.LEFT),), ["left ! -2"], ["right ! 2"], ["right ! 2", "left ! -2"]),
    ],
)
def test_a_figure_ends_as_its_lead_says(
    moves: tuple[object, ...], left: list[str], right: list[str], both: list[str]
) -> None:
    """From one foot the other leads; from both either, the figure's own first, or none where nobody has to choose."""
    made = Version("", row(*moves), 12 * len(moves), 2)
    turning = Figure("Weir", (made,), lead=Foot.RIGHT)

    def told(weight: Weight) -> list[str]:
        return [
            f"{one.lead.name.lower()} {'!' if isinstance(one.weight, Impossible) else one.weight.name[0]} {one.turn}"
            for one in ends(turning, weight)
        ]

    assert (left, right, both) == (told(Weight.RIGHT), told(Weight.LEFT), told(Weight.BOTH))


@pytest.mark.parametrize(
    ("moves", "count", "reason"),
    [
        ((STEP, (STEP, Foot.LEFT)), 2, "the left foot already has the weight"),
        ((STEP, (TOUCH, Foot.LEFT)), 2, "the left foot already has the weight"),
        (((HOP, Foot.LEFT),), 1, "the left foot has no weight on it"),
    ],
)
def test_an_impossible_movement_is_named_with_its_reason(moves: tuple[object, ...], count: int, reason: str) -> None:
    """A foot with the weight cannot step or touch, one without it cannot hop; the first such movement is found."""
    found = dance(version(*moves), Foot.LEFT, False, {})

    assert isinstance(found, Impossible)
    assert (count, reason) == (found.action.beat, found.reason)
    assert found == first_impossible(figure("Odd", *moves))


def test_nobody_has_to_choose_a_lead_for_what_moves_no_single_foot() -> None:
    """A jump, a bounce, a silence: from both feet nothing is chosen, and the weight stays on both."""
    assert is_still(LEAP.versions[0], {})
    assert not is_still(CHANGE.versions[0], {})
    still = figure("Still", HOLD)
    effect = step_effect(Algebra(), step(still), still.versions[0], {})
    assert (Weight.BOTH,) == tuple(after for before, after, _ in effect.entries if before is Weight.BOTH)


def test_from_both_feet_either_foot_may_lead() -> None:
    """The effect from both feet is that of either lead, with a built-in turn either way."""
    effect = step_effect(Algebra(), step(SPIN), SPIN.versions[0], {})
    ways = [(after, entry.turns) for before, after, entry in effect.entries if before is Weight.BOTH]

    assert [(Weight.LEFT, (-2,)), (Weight.RIGHT, (2,))] == ways


def test_a_written_turn_is_absolute() -> None:
    """Left stays left, whichever foot leads."""
    effect = step_effect(Algebra(), Step(1, BACK, -2), BACK.versions[0], {})

    assert {(-2,)} == {entry.turns for _, _, entry in effect.entries}


def test_assignments_are_the_bits_of_a_number() -> None:
    """Each reading of a word has its share of the assignments; a step has a part for each meaning; number 0 is
    usual."""
    made = figure("Stomp", STOMP)
    words = Words(Maker().program(step(made), words=(word(STOMP),)))

    assert (2, 0b11) == (words.total, words.every)
    assert [(0,), (1,)] == [words.readings(number) for number in range(2)]
    assert 1 == words.least(0b10)
    assert [({"stomp": 0}, 1), ({"stomp": 1}, 2)] == [(senses, who) for _, senses, who in words.partition(made)]


def test_a_word_that_is_not_danced_does_not_split_the_assignments() -> None:
    """Readings that make no difference to the dance are one."""
    words = Words(Maker().program(step(CHANGE), words=(word(STOMP),)))

    assert 1 == words.total


@pytest.mark.parametrize(
    "other", [{"travel": (-2, 0)}, {"travel": (0, 0)}, {"travel": None}, {"turn": 2}, {"length": 24}]
)
def test_versions_that_a_claim_can_tell_apart_do_other_deeds(other: dict[str, object]) -> None:
    """Where a version leads belongs to what it does, as its turn and its length do; nobody saying it is no zero."""
    one = evolve(version(STEP), travel=(2, 0))
    two = evolve(one, **other)
    maker = Maker()
    drift = Figure("drift", (evolve(one, label="a"), evolve(two, label="b")))

    assert deeds(one) != deeds(two)
    assert deeds(evolve(one, travel=(0, 0))) != deeds(evolve(one, travel=None))
    assert footing(Figure("one", (one,))) != footing(Figure("two", (two,)))
    assert ((0,), (1,)) == Words(maker.program(step(drift), words=(word(drift),))).classes[0]


def test_what_a_version_is_called_and_where_it_stands_are_no_deeds() -> None:
    """Readings that do the same are one class, and figures that do the same have one footing."""
    one = evolve(version(STEP), travel=(2, 0))
    two = evolve(one, label="b", sources=("hall",), memory=True)
    maker = Maker()
    drift = Figure("drift", (evolve(one, label="a"), two))

    assert deeds(one) == deeds(two)
    assert footing(Figure("one", (one,))) == footing(Figure("two", (two,)))
    assert ((0, 1),) == Words(maker.program(step(drift), words=(word(drift),))).classes[0]
