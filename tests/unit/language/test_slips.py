"""One word spelt, put in or moved, and the line is one of the language."""

import pytest

from stepcheck.language.parser import LineError, meant_lines, parse_line
from stepcheck.language.patch import Rewrite
from stepcheck.language.slips import MOST, misspelt, moved_or_lost


def mended(text: str, context: str) -> list[str]:
    """Return the lines that are offered for one that is not understood, each as a whole."""
    with pytest.raises(LineError) as caught:
        parse_line(text, context)
    hints = [hint for hint in caught.value.hints if isinstance(hint, Rewrite)]
    at = caught.value.at
    return [text[: (hint.at or at)[0]] + hint.text + text[(hint.at or at)[1] :] for hint in hints]


@pytest.mark.parametrize(
    ("text", "context", "meant"),
    [
        ("Vine, turn 1/4 lfet", "part", "Vine, turn 1/4 left"),
        ("part A: 8 beats, left foot to right fooot", "sheet", "part A: 8 beats, left foot to right foot"),
        ("part A: 8 beats, left to right foot", "sheet", "part A: 8 beats, left foot to right foot"),
        ("part A: 8 beats no turn", "sheet", "part A: 8 beats, no turn"),
        ("part A 8 beats", "sheet", "part A: 8 beats"),
        ("counts 1-8, foot:", "part", "counts 1-8, left foot:"),
        ("except 3rr time:", "part", "except 3rd time:"),
        ("2nd, 4th ttime only:", "part", "2nd, 4th time only:"),
    ],
)
def test_the_line_before_the_slip_is_offered(text: str, context: str, meant: str) -> None:
    """What was meant is among what is offered, and at most so many are tried."""
    lines = mended(text, context)

    assert meant in lines
    assert len(lines) <= MOST + 1


def test_a_label_may_be_a_heading_misspelt() -> None:
    """What names no section of the music is compared with the headings of the language."""
    assert "time" in [one.text for one in meant_lines("last tiem only:", "dance")]
    assert () == meant_lines("Chorus:", "dance")


def test_the_nearest_word_comes_first() -> None:
    """Words are ordered by how much they are alike."""
    assert "Vine, left foot" == misspelt("Vine, lefft foot")[0][0]


def test_a_letter_moves_over_a_space_or_a_mark() -> None:
    """A space, comma or colon typed one letter too early or too late is put right."""
    lines = [line for line, _ in moved_or_lost("part Middl:e 16 beats", 0)]
    assert "part Middle: 16 beats" in lines
    assert "Step x3" in [line for line, _ in moved_or_lost("Ste px3", 0)]
