"""The cues of a line: every word has its place in one, or is its doubt."""

import pytest

from stepcheck.cues.cue import Reading
from stepcheck.cues.marks import Cue
from stepcheck.steps.vocabulary import load, plain


def cues(text: str) -> list[Cue]:
    """Return the cues of a line, with the shipped words."""
    return Reading(load("clogging"), {}).cues(plain(text))


def said(cue: Cue) -> str:
    """Return what a cue says, in short: number, name, times, feet, turns."""
    turns = " ".join(f"{turn.eighths}{turn.side[:1]}" for turn in cue.turns)
    name = cue.name or " ".join(code for step in cue.steps for code in step.codes)
    row = " ".join(code for group in cue.row.codes for code in group) if cue.row else ""
    return " / ".join(
        filter(
            None,
            (str(cue.number or "") * (not cue.steps), name, row, f"x{cue.times}" * bool(cue.times), cue.feet, turns),
        )
    )


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("2 Triples (DS DS DS RS), turn 1/4 L on each; Push Off L", ["2 / Triple / DS DS DS RS / 2l", "Push-off / L"]),
        ("push off left 4 beats, 2 basics 1 fancy double", ["Push-off / L", "2 / Basic", "1 / Fancy Double"]),
        ("Triple L Triple R", ["Triple / L", "Triple / R"]),
        ("Triple turning a quarter to the left, 4 times", ["Triple / x4 / 2l"]),
        ("4 Basics in place (LRLR)", ["4 / Basic / LRLR"]),
        ("2 Basic, turn 1/4 L with every Basic", ["2 / Basic / 2l"]),
        ("2 Fancy Doubles (1/4 L on each Fancy Double)", ["2 / Fancy Double / 2l"]),
        ("CHAIN full turn L, CHAIN R", ["Chain / 8l", "Chain / R"]),
        ("DS DS DS RS turning all the way around to the left, DS DS RS RS", ["DS DS DS RS / 8l", "DS DS RS RS"]),
        ("STEP R, SLIDE L", ["S SL"]),
        ("4 x DS-RS, full circle left", ["DS RS / x4 / 8l"]),
        ("Four chugs, 2 stomps", ["4 / Chug", "STO STO"]),
        ("pause 4 beats", ["HOLD HOLD HOLD HOLD"]),
        ("STO STO (hold)   2 stomps, hold 1", ["STO STO HOLD"]),
    ],
)
def test_each_word_of_a_cue_has_its_place(text: str, wanted: list[str]) -> None:
    """Numbers, names, rows, feet and turns are read wherever they stand, and no word is in doubt."""
    made = cues(text)

    assert wanted == [said(cue) for cue in made]
    assert not any(cue.doubt or cue.unknown for cue in made)


@pytest.mark.parametrize(
    "text",
    [
        "Canadian Basic L",
        "2 slow Basics",
        "2 Triples, but the second one slow",
        "Triple, other foot",
        "Triple turning",
        "Basic 3",
        "2 basics, chain, turn 1/2 L",
        "Ladies triple",
        "Mountain Goat",
        "2 turkeys L",
    ],
)
def test_a_word_without_a_place_leaves_its_cue_in_doubt(text: str) -> None:
    """What could make another figure, foot, turn or number of it, and is not read, is named, or the figure is unknown."""
    made = cues(text)

    assert made and all(cue.doubt or cue.unknown for cue in made)


@pytest.mark.parametrize("text", ["smile at the judges", "nice and big", "to the tune of the old one"])
def test_a_remark_is_no_cue(text: str) -> None:
    """Words that name no figure, number, foot or turn say no dance."""
    assert [] == cues(text)


def test_left_and_right_may_be_where_dancers_go_or_another_part_of_the_body() -> None:
    """`to the left` and `left hand` are notes, no foot."""
    assert ["", "", ""] == [cue.feet for cue in cues("Triple moving left, Chain mv left, Basic with the left hand up")]


@pytest.mark.parametrize("manner", ["hands up", "real big", "no arms", "remember the corner"])
def test_small_words_behind_a_figure_say_how_it_is_danced(manner: str) -> None:
    """Words that the vocabulary does not know, not set as a name, are a note; as a name they make another figure, and
    so does a step."""
    (plainly,) = cues(f"2 Fancy Doubles {manner}")
    (named,) = cues(f"2 Fancy Doubles {manner.title()}")
    (stepped,) = cues("2 Fancy Doubles kick")

    assert (plainly.name, plainly.number, plainly.unknown, plainly.doubt) == ("Fancy Double", 2, False, "")
    assert plainly.notes
    assert named.unknown and stepped.unknown


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("a Push Off to the left and one to the right", ["1 / Push-off", "Push-off"]),
        ("Triple on the left foot, then another on the right", ["Triple / L", "Triple / R"]),
        (
            "one Rocking Chair turning 1/4 left, and another turning 1/4 right",
            ["1 / Rocking Chair / 2l", "Rocking Chair / 2r"],
        ),
        ("Chain L, another one", ["Chain / L", "Chain"]),
        ("2 Triples, one forward and one back", ["2 / Triple"]),
        ("2 Push Offs, one to the left and one to the right", ["2 / Push-off"]),
    ],
)
def test_one_more_is_the_figure_before_it(text: str, wanted: list[str]) -> None:
    """It is danced once more, with marks of its own; one of several that are said is just one of these."""
    made = cues(text)

    assert wanted == [said(cue) for cue in made]
    assert not any(cue.doubt or cue.unknown for cue in made)


@pytest.mark.parametrize(
    ("text", "turns"),
    [
        ("Triple, Charleston, Basic 1/4 L on each", [1, 1, 1]),
        ("Triple, Basic (1/4 L on each)", [1, 1]),
        ("Triple; Basic, 1/4 L on each", [1, 1]),
        ("Push Off L; Triple, Basic 1/4 L on each", [0, 1, 1]),  # the list is what commas part
        ("Push Off L; Basic 1/4 L on each", [1, 1]),  # else each says nothing
        ("Charleston, 2 Basics, turn 1/4 L on each", [0, 1]),  # of each time
        ("Charleston, Basic L R 1/4 L on each", [0, 1]),
        ("2 Basics turning 1/4 L on each, Triple", [1, 0]),
        ("Triple, Basic 1/4 L", [0, 1]),
    ],
)
def test_a_turn_on_each_is_of_each_cue_of_the_list_where_the_last_is_danced_once(text: str, turns: list[int]) -> None:
    """Behind one that is danced several times it is of each of its times."""
    found = cues(text)
    assert [len(cue.turns) for cue in found] == turns and not any(cue.doubt for cue in found)


@pytest.mark.parametrize(
    "text",
    [
        "2 Triples, Basic, 1/4 R on each",
        "Basic L R, Triple 1/4 L each",
        "Triple 1/2 L, Basic 1/4 L on each",
        "stomp L, stomp R 1/4 L on each",
    ],
)
def test_a_turn_on_each_of_what_is_danced_several_times_is_in_doubt(text: str) -> None:
    """Each cue, or each time of one?  And a cue that turns otherwise is not one of each."""
    assert cues(text)[-1].doubt
