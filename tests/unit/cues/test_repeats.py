"""What a line says to dance again."""

import pytest

from stepcheck.cues.cells import fronted
from stepcheck.cues.repeats import Again, again
from stepcheck.steps.vocabulary import load

NAMES = ("A", "B", "Verse", "part 1")


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Repeat all of the above with opposite footwork.", Again(all=True, feet="other")),
        ("Rpt Part B starting R foot to face front", Again(names=("B",), feet="R", facing="front")),
        ("do all that again to get back to front", Again(all=True, facing="front")),
        ("same to the right", Again(last=True, feet="R")),
        ("Repeat 1-16", Again(first=1, until=16)),
        ("1-16 on the opposite foot", Again(last=True, first=1, until=16, feet="other")),
        ("All with the other foot", Again(feet="other")),
        ("On the opposite foot", Again(last=True, feet="other")),
        ("repeat B 3 more times (4 in all)", Again(names=("B",), times=4)),
        ("rep 3 more times to make the box", Again(times=4)),
        ("Do it 2 times", Again()),
        ("Repeat Verse facing back", Again(names=("Verse",), facing="back")),
    ],
)
def test_a_repeat_says_which_lines_how_often_on_which_foot_and_where_it_ends(text: str, wanted: Again) -> None:
    """Each of these has its place, and nothing is in doubt."""
    assert wanted == again(text, load("clogging"), NAMES)


@pytest.mark.parametrize(
    ("text", "doubt"),
    [
        ("do all that again but turn 1/4 on the last triple", "turn 1/4"),
        ("Repeat, vine to the right", "vine"),
        ("repeat A, no turn", "no turn"),
        ("same, the second half only", "second half"),
    ],
)
def test_a_repeat_with_a_change_is_in_doubt(text: str, doubt: str) -> None:
    """A word that could change what is danced again is named."""
    made = again(text, load("clogging"), NAMES)

    assert made is not None and doubt == made.doubt


@pytest.mark.parametrize("text", ["Triple again", "2 basics", "Cowboy, same foot", "part 1 is short"])
def test_a_cue_is_no_repeat(text: str) -> None:
    """A line that does not begin with words of repeating dances what it names."""
    assert again(text, load("clogging"), NAMES) is None


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("All on the other foot   Chain R, 2 Basics L, R", "Chain R, 2 Basics L, R"),
        ("Repeat with opposite footwork   Chain R, Triple L", "Chain R, Triple L"),
        ("All on the other foot   Chain moving right", "All on the other foot   Chain moving right"),
        ("All on the other foot   Chain R, turn 1/2 R, Triple L", ""),
        ("Repeat all   Chain R, Triple L", ""),
    ],
)
def test_figures_that_tell_a_repeat_on_the_other_foot_are_danced_as_they_stand(text: str, wanted: str) -> None:
    """Where figures and their feet stand behind such words these are what is danced; anything else is a change."""
    assert fronted(text, load("clogging")) == (wanted or text)
