"""What a sheet explains beside its dance: figures in words, above all parts or behind them, and how long its parts are."""

import pytest

import stepcheck as sc

TOP = "Osier Row (clogging)\nwait 8, left foot lead\n\n"
PARTS = "A: 4 Basics\n   2 Triples\nB: 4 Chains\n\nOrder: A B A\nEnd: 2 Stomps\n"
BASICS = ("double step, rock step", "Double Step, Rock Step (2 beats)", "one double step and one rock step", "DS RS")
TRIPLES = (
    "double step, double step, double step, rock step",
    "Double Step, Double Step, Double Step, Rock Step (4 beats)",
    "three double steps and a rock step",
    "DS DS DS RS",
)
LISTS = [
    f"{title}\nBasic {sign} {basic}\nTriple {sign} {triple}\n"
    for title in ("Steps", "Steps you need", "Steps used:", "Glossary")
    for sign in ("=", "-", ":")
    for basic, triple in zip(BASICS, TRIPLES, strict=True)
]


@pytest.mark.parametrize("said", LISTS)
def test_figures_explained_behind_the_parts_are_not_danced(said: str) -> None:
    """A list of figures and what they are, under a title behind the last part, is no part of that."""
    plain = sc.draft(TOP + PARTS)
    made = sc.draft(f"{TOP}{PARTS}\n{said}")

    assert made.text[made.text.index("part A") :] == plain.text[plain.text.index("part A") :]
    assert made.open == plain.open


@pytest.mark.parametrize("said", LISTS)
def test_figures_explained_above_the_parts_are_not_danced(said: str) -> None:
    """Such a list above all parts is no part either."""
    plain = sc.draft(TOP + PARTS)
    made = sc.draft(f"{TOP}{said}\n{PARTS}")

    assert made.text[made.text.index("part A") :] == plain.text[plain.text.index("part A") :]


@pytest.mark.parametrize("said", ["Every part is 16 beats.", "All parts are 16 beats long", "Each part has 16 counts"])
@pytest.mark.parametrize("where", ["above", "below"])
def test_the_length_of_every_part_is_no_dance(said: str, where: str) -> None:
    """Each part that comes to it states it; the end has its own length."""
    text = f"{TOP}{said}\n\n{PARTS}" if where == "above" else f"{TOP}{PARTS}\n{said}\n"
    made = sc.draft(text)

    assert "part A: 16 beats\n" in made.text and "part B: 16 beats\n" in made.text
    assert "part Ending:\n  STO STO\n\n" in made.text and "?" not in made.text
    assert not made.open


def test_the_length_of_every_part_makes_none_longer() -> None:
    """A part all of whose lines are read, and which lasts otherwise, keeps its length; it is open."""
    made = sc.draft(f"{TOP}{PARTS}\nEvery part is 32 beats.\n")

    assert "?" not in made.text and "32 beats" not in made.text.split("part A")[1]
    assert sum("32 beats" in each for each in made.open) == 2
