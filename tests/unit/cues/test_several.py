"""How often a cue is danced that is a plural without a number, or on each foot, and what two steps with one number are."""

import pytest

import stepcheck as sc


def danced(said: str) -> list[str]:
    """Return the lines of a part of a clogging routine, without their comments."""
    text = sc.draft(f"Osier Row\nclogging, easy\n\nPart A\n{said}\nBasic L\n").text
    inside = text.partition("\npart A:")[2].partition("\ndance:")[0]
    return [line.partition("#")[0].strip() for line in inside.splitlines() if line.startswith("  ")][:-1]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Triples   8\nBasic R   2", ["Triple x2", "Basic, right foot"]),
        ("Triples (8 beats)", ["Triple x2"]),
        ("Triples up & back (8)", ["Triple x2 (up, back)"]),
        ("Basics L R L R", ["Basic x4, left foot"]),
        ("Basics: L, R, L, R", ["Basic x4, left foot"]),
        ("Triple each foot", ["Triple x2"]),
        ("Triples on each foot", ["Triple x2"]),
        ("Triple on both feet", ["Triple x2"]),
        ("Triple L, other foot (8)", ["Triple, left foot", "Triple, right foot"]),
        ("Triple R, other foot (4)", ["Triple, right foot"]),
        ("Triple L, Triple R, other foot", ["Triple, left foot", "Triple, right foot"]),
        ("Triple R going the other way", ["Triple, right foot (way)"]),
        ("Triple, 1/4 L each side", ["Triple x2, turn 1/4 left (side)"]),
        ("2 Basics, 1/4 L on each foot", ["Basic x2, turn 1/4 left"]),
        ("4 Basics in a box, 1/4 L each", ["Basic x4, turn 1/4 left (in box)"]),
        ("2 Triples again", ["Triple x2"]),
        ("4 step touches", ["S@1 TCH@2 S@3 TCH@4 S@5 TCH@6 S@7 TCH@8"]),
        ("2 stomp kicks", ["STO@1 K@2 STO@3 K@4"]),
        ("4 steps touch", ["S S S S TCH"]),
        ("Step L, together, step L, touch R", ["S(L) S S(L) TCH(R) (together)"]),
        ("Step, behind, step, stomp", ["S S S STO (behind)"]),
    ],
)
def test_beats_feet_and_plurals_say_how_often_a_cue_is_danced(said: str, wanted: list[str]) -> None:
    """A plural fills its beats or has its feet; one on each foot is two; a number before two steps is of both."""
    assert danced(said) == wanted


@pytest.mark.parametrize(
    "said",
    [
        "Triples",
        "Rocking Chairs turning 1/4 L",
        "Triples (10 beats)",
        "2 Triples each foot",
        "Basic L R L R",
        "Triple L, other foot",
        "Triple L, other foot (6)",
        "Puddle Hop both feet",
        "Triple L and again",
        "4 Basics to make a box",
    ],
)
def test_what_does_not_say_how_often_or_how_is_open(said: str) -> None:
    """Nothing of it is danced once in silence."""
    made = sc.draft(f"Osier Row\nclogging, easy\n\nPart A\n{said}\nBasic L\n")
    assert [each for each in made.open if "line 5" in each]
    assert danced(said)[0][:1] in ("", "?")


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Triple 1/4 L, face the left wall", "Triple, turn 1/4 left, facing 9:00"),
        ("Chain R, 1/2 turn right, now front", "Chain, right foot, turn 1/2 right, facing front"),
        ("4 Basics, end facing right side wall", "Basic x4, facing 3:00"),
    ],
)
def test_walls_at_the_sides_are_hours(said: str, wanted: str) -> None:
    """The left wall is that at 9:00, the front being 12:00 (common practice)."""
    assert danced(said) == [wanted]


@pytest.mark.parametrize("said", ["Triples", "Rocking Chairs turning 1/4 L"])
def test_how_long_a_plural_lasts_is_not_guessed(said: str) -> None:
    """Of how many nothing says, the length isn't that of one."""
    assert danced(said) == [""]


@pytest.mark.parametrize(
    "said", ["Triples (8), Rocking Chair, 12 beats", "Basics L R L R, then a Rocking Chair. 12 beats, no turn."]
)
def test_the_length_of_the_part_stays_beside_a_plural(said: str) -> None:
    """What a line states of the whole part is kept, also where how often one of its figures is danced is weighed."""
    assert "part A: 12 beats" in sc.draft(f"Osier Row\nclogging, easy\n\nPart A\n{said}\n\nPart B\nBasic L\n").text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("2 Triples, 2nd Triple turns 1/4 R", ["Triple x2, turn 1/4 right on 2nd"]),
        ("Two Rocking Chairs (8)   the second Rocking Chair turning 1/2 L", ["Rocking Chair x2, turn 1/2 left on 2nd"]),
        ("4 Basics, last Basic turns 1/2 left", ["Basic x4, turn 1/2 left on last"]),
        ("3 Joeys, turn 1/4 L on the last one", ["Joey x3, turn 1/4 left on last"]),
        ("2 Triples, 1st Triple 1/2 L", ["Triple x2, turn 1/2 left on 1st"]),
        ("Triple L, Triple R, 2nd Triple turns 1/2 left", ["? 4 beats", "? 4 beats"]),
        ("Triple, second Triple turns 1/2 R", ["Triple", "Triple, turn 1/2 right"]),
    ],
)
def test_a_figure_named_once_more_with_its_place_is_one_of_those_before_it(said: str, wanted: list[str]) -> None:
    """`2nd Triple turns` behind two of them says which of both turns, and is no third; `last` is one of these places."""
    assert danced(said) == wanted


@pytest.mark.parametrize("said", ["Joey, 3 of 'em", "Joey - three of em", "Joey, 3 of them"])
def test_so_many_of_them_is_how_often_a_figure_is_danced(said: str) -> None:
    """However short `them` is written, it is the figure before it and no figure of its own."""
    assert danced(said) == ["Joey x3"]


@pytest.mark.parametrize(
    "said",
    [
        "2 Joeys, first one R, other one L",
        "2 Joeys (8)  first one right, the second one left",
        "2 Joeys, 1st on R foot, then 2nd on L foot",
    ],
)
def test_the_first_one_and_the_other_one_have_each_a_foot(said: str) -> None:
    """However the two times are called, the first begins on the foot behind it."""
    assert danced(said) == ["Joey x2, right foot"]
