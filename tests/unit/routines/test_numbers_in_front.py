"""Numbers in front of the figures of a whole sheet: beats, or how often these are danced."""

import re

import pytest

import stepcheck as sc

FRONT = "Osier Row (clogging)\nwait 8, left foot lead\n\n"


def lines(said: str) -> list[str]:
    """Return the lines of the parts, without remarks and blanks."""
    text = sc.draft(FRONT + said).text
    made = [line.split("  #")[0].strip() for line in text[text.index("part ") :].split("dance:")[0].splitlines()]
    return [line for line in made if line and not line.startswith("part ")]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (  # how often one of them is danced stands behind its number
            "A\n(4) Triple L   DS DS DS RS\n(8) Clogover Vine R\n(4) Chain L, turn 1/2 left   DS RS RS RS\n"
            "(8) 2 Rocking Chairs\n",
            ["Triple, left foot", "Clog-over Vine, right foot", "Chain, left foot, turn 1/2 left", "Rocking Chair x2"],
        ),
        (  # each is what its figure lasts, and none of these is several
            "A\n(4) Triple L\n(4) Triple R\nB\n(4) Fancy Double\n(4) Charleston\n",
            ["Triple, left foot", "Triple, right foot", "Fancy Double", "Charleston"],
        ),
        (  # one has room for several
            "A\n(4) Triple L\n(4) Triple R\nB\n(8) Clogover Vine\n(8) Charleston\n",
            ["Triple, left foot", "Triple, right foot", "Clog-over Vine", "Charleston x2"],
        ),
        (
            "A\n4  Triple L\n4  Triple R\n8  2 Charlestons\n",
            ["Triple, left foot", "Triple, right foot", "Charleston x2"],
        ),
    ],
)
def test_numbers_that_figures_last_are_beats(said: str, wanted: list[str]) -> None:
    """Where each number in front of a figure is just what this lasts, all of them are beats."""
    assert [re.sub(r", \d beats", "", line) for line in lines(said)] == wanted


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("A\n(4) Triples\n(4) Chains\n(4) Charlestons\n", ["Triple x4", "Chain x4", "Charleston x4"]),
        ("A\n(2) Triple\n(4) Charleston\n(4) Chain\n", ["Triple x2", "Charleston x4", "Chain x4"]),
        ("A (32 beats)\n(4) Triple\n(4) Chain\nB (16 beats)\n(4) Triple\n", ["Triple x4", "Chain x4", "Triple x4"]),
    ],
)
def test_numbers_that_figures_do_not_last_are_times(said: str, wanted: list[str]) -> None:
    """Where a figure is several, one lasts otherwise, or the parts come to their beats, numbers are times."""
    assert lines(said) == wanted


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (  # one line says how long all its times last
            "A\nTriple\n4 Basic (8 beats)\n4 Fancy Double\n2 Basic\n",
            ["Triple", "Basic x4", "Fancy Double x4", "Basic x2"],
        ),
        ("A\n(4) Chain (16)\n(4) Triple\n(2) Basic\n", ["Chain x4", "Triple x4", "Basic x2"]),
        ("A\n4 Fancy Double\n2 Basic\nB\n4 Basic\n", ["Fancy Double x4", "Basic x2", "Basic x4"]),
        (  # one of them lasts otherwise, and they stand in no column
            "A\nTriple\n4 Fancy Double\n2 Basic\nB\n4 Basic\nChain\n",
            ["Triple", "Fancy Double x4", "Basic x2", "Basic x4", "Chain"],
        ),
    ],
)
def test_one_line_settles_what_the_numbers_in_front_are(said: str, wanted: list[str]) -> None:
    """A line whose times come to the beats that it states, or a bare number that its figure does not last, says that
    numbers are how often figures are danced."""
    assert wanted == lines(said)


def test_numbers_that_may_be_either_are_open() -> None:
    """Two numbers that may be beats or times, of which nothing says what they are, leave their lines open."""
    made = sc.draft(f"{FRONT}A\nTriple\n(4) Charleston\n(4) Chain\n")

    assert "Charleston x4" not in made.text and "\n  Charleston" not in made.text
    assert ["Charleston" in each for each in made.open].count(True) == 1


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("A\n4   Ranger   DS DT UP DS RS\n4   Mule   DS HW S RS\n", ["Ranger, 4 beats", "Mule, 4 beats"]),
        ("A\nCharleston\nChain\n4   Triple   DS DS DS RS\n", ["Charleston", "Chain", "Triple, 4 beats"]),
        ("A\n4   TURKEY TROT   DS DT UP DS RS\nB\n4   Triple\n", ["TURKEY TROT, 4 beats", "Triple, 4 beats"]),
        (  # most of them
            "A\n4   Triple   DS DS DS RS\n4   Mule   DS HW S RS\n4   Joey   DS DS DS DS RS\n",
            ["Triple, 4 beats", "Mule, 4 beats", "? 4 beats"],
        ),
        (  # one has room for two
            "A\n4   Triple   DS DS DS RS\n4   Mule   DS HW S RS\n8   Ranger   DS DT UP DS RS\n",
            ["Triple, 4 beats", "Mule, 4 beats", "Ranger x2, 8 beats"],
        ),
        ("A\n4   Triples   DS DS DS RS\n2   Basics   DS RS\n", ["Triple x4", "Basic x2"]),
        ("A\n2   Triple   DS DS DS RS\n4   Basic   DS RS\n", ["Triple x2", "Basic x4"]),
        ("A: 16 beats\n4   Triple   DS DS DS RS\n", ["Triple x4"]),
    ],
)
def test_numbers_that_rows_last_are_beats(said: str, wanted: list[str]) -> None:
    """A column of numbers is that of the beats if most rows of footwork behind it last just so long; a row that lasts
    otherwise is then open. Plurals, rows of other lengths and the stated length of a part say that they are times."""
    assert wanted == lines(said)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("A\nCharleston\n4 Triple\n", ["Charleston", "Triple x4"]),
        ("A\nCharleston\n2 Basic DS RS\n", ["Charleston", "Basic x2"]),
        ("A\n4 Triple\n4 Fancy Double\nB\nChain\n2 Basic\n", ["Triple x4", "Fancy Double x4", "Chain", "Basic x2"]),
    ],
)
def test_bare_numbers_among_figures_without_one_are_times(said: str, wanted: list[str]) -> None:
    """A bare number that its figure lasts is how often this is danced where other figures have none, as a column of
    beats would have one on every line; it is assumed, and said."""
    made = sc.draft(f"{FRONT}{said}")

    assert wanted == lines(said)
    assert made.open == ()
    assert "the numbers in front of cues are how often these are danced" in made.assumed


@pytest.mark.parametrize("said", ["4 Triple", "2 Basic"])
def test_a_number_that_a_lone_figure_lasts_is_open(said: str) -> None:
    """Where each line has one, nothing says whether it is beats or times, and that is not assumed in silence."""
    made = sc.draft(f"{FRONT}A\n{said}\n")

    assert any(said in each for each in made.open)
