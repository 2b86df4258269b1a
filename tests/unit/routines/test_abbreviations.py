"""The abbreviations that a cue sheet explains above its parts."""

import pytest

import stepcheck as sc

TOLD = "Millrace Reel (clogging)\nwait 8, left foot lead\n\n{said}\n\nPart A\nTriple\nDS RS\n\nPart B\n4 Basics\n\nOrder: A B A\n"


@pytest.mark.parametrize(
    "said",
    [
        "DS - Double Step\nSTO - Stomp\nS - Step",
        "DS: Double Step\nRS: Rock Step\nS: Step",
        "DS = Double-Toe Step\nS = Step",
        "DS=Double Step RS=Rock Step S=Step",
        "Double Step = DS\nRock Step = RS",
        "Abbreviations:\nS Step\nDS Double Step\nRS Rock Step",
        "DS (double step), RS (rock step), S (step)",
        "DS stands for Double Step, RS for Rock Step and S for Step",
        "Note: DS is a double step, RS is a rock step, S is a step.",
        "[DS] Double Step [RS] Rock Step [S] Step",
        "DS -> double step\nRS -> rock step\nS -> step",
        "Legend: DS=doublestep, RS=rockstep, S=step",
        "DS..........Double Step\nSTO.........Stomp",
        "DS | Double Step\nRS | Rock Step\nS | Step",
    ],
)
def test_what_abbreviations_stand_for_is_no_dance(said: str) -> None:
    """However they are set it is a remark: nothing of it is danced, no part begins with it, and nothing is open."""
    made = sc.draft(TOLD.format(said=said))

    assert not made.open
    assert "part A:\n  Triple\n  DS RS\n\npart B:\n  Basic x4\n\n" in made.text
    assert made.text.count("part ") == 2


@pytest.mark.parametrize("said", ["A - Stomp, B - Stamp", "S S, DS RS", "Basic (L), Triple (R)"])
def test_steps_in_brackets_or_behind_a_dash_are_no_abbreviations(said: str) -> None:
    """What may be danced is danced, or open."""
    made = sc.draft(TOLD.format(said=said))

    assert made.open or made.text.count("part ") == 3
