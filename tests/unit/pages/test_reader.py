"""Lines of a description before they are read: marks that refer from one to another, and running text."""

import pytest

import stepcheck as sc

SHEET = """Weir Lane
16 counts, 1 wall

S1: LOCKS
1-4  Step R forward, lock L, step R forward, brush L
5-8  Step L forward, lock R, step L forward, brush R{}
S2: VINES
1-4  Vine R, touch L{}
5-8  Vine L, touch R

{}
"""


@pytest.mark.parametrize(
    ("first", "second", "said", "wanted"),
    [
        (" *", "", "* Restart here on wall 3", ["Main x2", "Main, first 8 counts"]),
        (" (*)", "", "Restart at (*) on wall 3", ["Main x2", "Main, first 8 counts"]),
        ("", "**", "** Restart: wall 2 (12:00)", ["Main", "Main, first 12 counts", "expect facing 12:00"]),
        ("", " *", "*on wall 2 restart from here", ["Main", "Main, first 12 counts"]),
        (" #", " \u2020", "# restart, wall 2\n\u2020 restart, wall 4", ["Main", "Main, first 8 counts", "Main"]),
        ("**", "", "Wall 4: dance up to ** and restart", ["Main x3", "Main, first 8 counts"]),
        (" *", "", "RESTART W6 after 8c *", ["Main x5", "Main, first 8 counts"]),
        (" * (12:00)", "", "*Restart* during wall 2", ["Main", "Main, first 8 counts"]),
    ],
)
def test_a_mark_says_where_a_restart_is(first: str, second: str, said: str, wanted: list[str]) -> None:
    """A mark at the end of a row is where the note with the same mark restarts, wherever the note stands; the row is read
    without it."""
    made = sc.draft(SHEET.format(first, second, said))
    dance = [line.split("  #")[0].strip() for line in made.text[made.text.index("dance:") :].split("\n")[1:]]

    assert made.open == ()
    assert dance[: len(wanted)] == wanted
    assert "S(L) BR(R)" in made.text and made.text.count("\n    Vine, ") == 2


def test_a_tag_may_have_a_mark() -> None:
    """A mark that a tag has as well comes off, and the tag is danced where it says."""
    made = sc.draft(SHEET.format(" *", "", "* Tag at the end of wall 2: sway R, L, R, L"))

    assert made.open == ()
    assert "  Main x2\n  Tag" in made.text


def test_a_mark_of_two_rows_is_open() -> None:
    """A mark that two rows have says nothing of where a restart is, so that its rows and the restart are open."""
    made = sc.draft(SHEET.format(" *", " *", "* Restart here on wall 3"))

    assert {each.partition(": ")[0] for each in made.open} == {"line 6", "line 8", "line 11"}
    assert "first" not in made.text.split("dance:")[1]


def test_the_two_spaces_behind_a_sentence_are_no_columns() -> None:
    """Running text of a clogging description goes on in the next line though two spaces follow its full stops."""
    said = "CHORUS - 24 beats.  Chain left (4), Chain right (4), then we come to 2 Charlestons"
    made = sc.draft(f"Weir Reel (clogging)\nwait 8\n\n{said}\non the left foot (8), Fancy Double (4), Triple (4).\n")

    assert made.open == ()
    assert "Charleston x2, left foot\n  Fancy Double\n  Triple\n" in made.text


FIRST = "Everybody. Two Charlestons, both of them on the left foot, 8 beats, then"


@pytest.mark.parametrize(
    ("cut", "more"),
    [
        (f"{FIRST} a Weir Step (DS DS RS\n", "DS), turning 1/4 left, 4 beats."),  # the bracket goes on
        (f"{FIRST} two Weir Steps\n", "(DS DS RS DS), half turn left on each one, 8 beats. Then four Basics, LRLR, 8."),
    ],
)
def test_a_bracket_goes_on_with_the_running_text(cut: str, more: str) -> None:
    """Steps in a bracket that the end of a full line of running text cuts are all learnt, and those that begin the next
    line spell the figure above, which is danced once."""
    wanted = sc.draft(f"Weir Reel (clogging)\nwait 8\n\nA: 2 Triples\n{cut.replace(chr(10), ' ')}{more}\n")
    made = sc.draft(f"Weir Reel (clogging)\nwait 8\n\nA: 2 Triples\n{cut}{more}\n")

    assert made.open == () and made.text == wanted.text
    assert ": DS DS RS DS\n" in made.text and made.text.count("\n  Weir Step") == 2
