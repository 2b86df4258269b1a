"""Heads without a sign, lines about one time of a part, and when the dancing begins."""

import pytest

import stepcheck as sc

TOP = "Osier Row (clogging)\nleft foot lead\n\n"
VERSE = "Verse 1\n  4 Basics - 8\n  2 Triples - 8\n\n"


def dance(text: str) -> list[str]:
    """Return the lines of the dance."""
    return [line.strip() for line in text.partition("dance:\n")[2].partition("\n\n")[0].splitlines()]


@pytest.mark.parametrize("name", ["Fiddle", "Banjo solo", "Fiddle again", "Hambone", "FIDDLE", "Steel guitar"])
@pytest.mark.parametrize("indent", ["", "  "])
def test_words_alone_over_steps_head_a_part(name: str, indent: str) -> None:
    """Where other heads stand without a sign, words behind an empty line head the lines below them."""
    made = sc.draft(f"{TOP}{VERSE}{name}\n{indent}2 Chains - 8\n\nVerse 2\nSame as Verse 1\n\nEnding: Stomp L\n")

    assert f"part {name}:\n  Chain x2\n" in made.text
    assert dance(made.text) == ["Verse 1", name, "Verse 1", "Ending"]
    assert not made.open


@pytest.mark.parametrize(
    ("above", "words", "below"),
    [
        (VERSE, "Moonshine", "DS DS RS RS"),  # what a row is called
        (VERSE, "Ladies", "2 Chains"),  # who dances
        (VERSE, "Easier version", "2 Chains"),
        (VERSE, "Once more", "2 Chains"),
        (VERSE, "Face front", "2 Chains"),
        (VERSE, "Terms used", "ds = double step, rs = rock step"),
        ("Verse: 4 Basics - 8\n  2 Triples - 8\n\n", "Fiddle", "2 Chains"),  # other heads have signs
    ],
)
def test_other_words_alone_head_no_part(above: str, words: str, below: str) -> None:
    """Words that may be anything else, or stand in a sheet with heads of another kind, begin no part."""
    made = sc.draft(f"{TOP}{above}{words}\n{below}\n")

    assert f"part {words}" not in made.text


@pytest.mark.parametrize(
    "said",
    [
        "Verse 1 steps one last time, but keep the Triples facing front - 16",
        "Verse 1 one last time, but turn the Triples - 16",
        "Repeat Verse 1 but keep the last Triple facing front - 16",
        "Same as Verse 1 but keep the Triples in place - 16",
    ],
)
@pytest.mark.parametrize("between", ["Bridge\n  2 Chains - 8\n\n", "Bridge: 2 Chains\n\n"])
def test_another_time_of_a_part_is_none_of_the_part_above(said: str, between: str) -> None:
    """A change of it that isn't read is open, at its place of the dance, and nothing is danced for it elsewhere."""
    made = sc.draft(f"{TOP}{VERSE}{between}{said}\nEnding: Stomp L\n")

    assert "part Bridge:\n  Chain x2\n\n" in made.text and "?" not in made.text
    assert dance(made.text) == ["Verse 1", "Bridge", f"# {said}", "Ending"]
    assert any(said in each for each in made.open)


def test_a_part_one_last_time_is_danced_again() -> None:
    """Where no change is said it is that part."""
    made = sc.draft(f"{TOP}{VERSE}Bridge\n  2 Chains - 8\n\nVerse 1 steps one last time\n\nEnding: Stomp L\n")

    assert dance(made.text) == ["Verse 1", "Bridge", "Verse 1", "Ending"]


ORDERED = f"{TOP}Order: A, Chorus, A, Chorus, Chorus\n\nA\n4 Basics\n\nChorus\n2 Triples\n4 Basics\n\n"


@pytest.mark.parametrize(
    "said",
    [
        "Last chorus: after the second Triple, step L and pose on the final chord.",
        "Final A: 2 Basics and a Stomp",
        "2nd time: after the first Triple, stomp L and clap",
        "On the last chorus, stop after the second Triple, step L and pose",
        "Last chorus: 2 Triples, Stomp L",
        "The very last Chorus - 2 Triples, step L",
    ],
)
def test_one_time_of_a_part_of_the_order_is_open_as_a_whole(said: str) -> None:
    """It is no part that is never danced, and no step of the part above it."""
    plain, made = sc.draft(ORDERED), sc.draft(ORDERED + said + "\n")

    assert made.text.partition("part A")[2].startswith(plain.text.partition("part A")[2].rstrip())
    assert [each for each in made.open if each not in plain.open] == [f"line 13: {said}"]


def test_a_part_that_the_order_does_not_name_is_open() -> None:
    """A part with its own lines that is danced nowhere is named."""
    made = sc.draft(f"{ORDERED}Last chorus\n2 Triples\nStomp L, Stomp R\n")

    assert any("Last chorus is not in it" in each for each in made.open)
    assert not sc.draft(f"{ORDERED.replace('Chorus, Chorus', 'Last chorus')}Last chorus\n2 Triples\n").open


@pytest.mark.parametrize(
    "said",
    [
        "Start after 32 beats.",
        "Begin after 32 counts",
        "Come in after 32 beats",
        "Dancers start after 32 beats, left foot",
        "The first step comes after 32 beats",
        "Wait 32 beats to start.",
        "Wait 32 beats before coming in",
    ],
)
@pytest.mark.parametrize("order", ["", "\nA, Chorus, A, Chorus"])
def test_when_dancing_begins_is_the_wait_wherever_it_stands(said: str, order: str) -> None:
    """Below all parts as above them, and never a blank of so many beats; open where another wait is known."""
    parts = "A\n4 Basics\n\nChorus\n2 Triples\n\n"
    made = sc.draft(f"{TOP}{parts}{said}{order}\n")
    other = sc.draft(f"{TOP}Wait 16 beats\n\n{parts}{said}{order}\n")

    assert "wait: 32 beats\n" in made.text and "?" not in made.text and not made.open
    assert "wait: 16 beats\n" in other.text and "?" not in other.text
    assert [each.partition(": ")[2] for each in other.open] == [said]


@pytest.mark.parametrize("said", ["Start after the second verse - 8", "Begin after 8 bars"])
def test_when_dancing_begins_is_open_where_no_beats_say_it(said: str) -> None:
    """It is no dance either."""
    made = sc.draft(f"{TOP}A\n4 Basics\n\nChorus\n2 Triples\n\n{said}\n")

    assert "?" not in made.text and any(said in each for each in made.open)


BLOCKS = f"{TOP}A, B, A, B, B\n\nA   (8 beats, do it twice)\n    Cowboy{{}}\nB   (8 beats, {{}})\n    Cowboy, up and back\n{{}}"
ROWS = "      DS  DS  DS  BR SL  DS  R S  R S  R S\n      L   R   L   R  L   R   L R  L R  L R\n"


@pytest.mark.parametrize(
    "said",
    ["do it twice, left lead both times", "twice, left foot lead each time", "x2, both times on the left", "repeat"],
)
def test_a_repeat_beside_a_head_may_say_the_foot_of_the_part(said: str) -> None:
    """It is that repeat, where the lines begin on this foot; and beside the order, as another part's is."""
    made = sc.draft(BLOCKS.format("", said, ROWS))

    assert "part B:\n  2 times:" in made.text and made.text.count("2 times:") == 2
    assert not made.open


@pytest.mark.parametrize("said", ["do it twice, right lead both times", "twice, R lead"])
def test_a_repeat_on_a_foot_that_the_part_has_not_is_open(said: str) -> None:
    """Its lines are then danced once."""
    made = sc.draft(BLOCKS.format("", said, ROWS))

    assert "2 times:" not in made.text.partition("part B")[2]
    assert any(said in each for each in made.open)


@pytest.mark.parametrize(
    "clause",
    [
        "second B brings you home",
        "2nd time gets you to the front",
        "and the second time ends facing back",
        "the last B leaves you at the front",
    ],
)
@pytest.mark.parametrize("sign", ["; ", ", "])
def test_where_one_time_of_a_part_ends_is_no_dance(clause: str, sign: str) -> None:
    """The words behind a cue are open, and the cue is read."""
    said = f"Rocking Chair x 2, 1/4 right each{sign}{clause}"
    made = sc.draft(f"{TOP}A: 4 Basics\nB\n{said}\n2 Triples\n\nOrder: A B A B\n")

    assert "part B:\n  Rocking Chair x2, turn 1/4 right\n  Triple x2\n" in made.text
    assert [each.partition(": ")[2] for each in made.open] == [clause.removeprefix("and ")]


def test_steps_for_balls_are_the_footwork_of_a_figure() -> None:
    """A row under a figure that has a step where the book has the ball of the foot is how the sheet dances it."""
    rows = (
        "    DS   S(xib) S(os) S(os) S(xib) S(os) S\n"
        "    R    L      R     L     R      L     R\n"
        "    &1   &      2     &     3      &     4\n"
    )
    made = sc.draft(f"{TOP}A (8 beats)\n  Joey\n{rows}  2 Basics\n\nB: 4 Triples\n")

    assert "  Joey: DS@1 S@&2 S@2 S@&3 S@3 S@&4 S@4 (xib, os, os, xib, os)\n" in made.text
    assert "part A: 8 beats\n  Joey, right foot\n  Basic x2\n" in made.text and not made.open


def test_feet_under_a_blank_are_open() -> None:
    """What is not danced has them in no place of the sheet but as a comment."""
    rows = "    DS  BR SL  DS  R S\n    L   R  L   R   L R\n    &1  &  2   &3  &4\n"
    made = sc.draft(f"{TOP}A\n  4 Basics\n  Rocking Chair, wobbling over 3 hats\n{rows}\nB: 4 Triples\n")

    assert any("Rocking Chair, wobbling" in each for each in made.open)
    assert any("L R L R L R" in each for each in made.open)


FACED = f"{TOP}A (16)\n4 Basics\n2 Triples, turn 1/4 L on each\n\n{{}}\n2 Triples\n4 Basics\n\nC (8 beats)\n2 Triples\n"


@pytest.mark.parametrize(
    "head",
    [
        "B (start facing the back)",
        "B (16 beats, start facing back)",
        "B - start facing the back",
        "B (16 beats) starts at the back wall",
        "B, start facing the back",
        "B\nFacing the back",
    ],
)
def test_where_a_part_begins_is_a_claim(head: str) -> None:
    """Beside its head or below it, it is said before the first step."""
    made = sc.draft(FACED.format(head))
    part = made.text.partition("part B")[2].partition("\n")[2]

    assert part.startswith("  expect facing back\n  Triple x2\n  Basic x4\n\n") and not made.open


@pytest.mark.parametrize(
    ("head", "said"),
    [
        ("B (facing back)", "facing back"),
        ("B, facing the back:", "facing the back"),
        ("CHORUS (16 cts) face front", "face front"),
        ("B (to the back)", "to the back"),
    ],
)
def test_a_facing_beside_a_head_that_may_be_of_its_end_is_open(head: str, said: str) -> None:
    """Of the part's beginning or of its end: nothing says which."""
    made = sc.draft(FACED.format(head))

    assert "expect" not in made.text and [each.partition(": ")[2] for each in made.open] == [said]


def test_a_facing_beside_a_head_is_not_lost_with_the_part_it_repeats() -> None:
    """A part that is another one has no place for it: it is open."""
    made = sc.draft(f"{TOP}A\n4 Basics\n\nB\n2 Triples\n\nA2 (start facing the back): same as A\n")

    assert any("start facing the back" in each for each in made.open)


@pytest.mark.parametrize(
    "below", ["4 Basics - 8", "and put in\n8   4 Basics", "4 Basics, turn 1/4 L each", "DS RS DS RS"]
)
def test_the_steps_of_a_changed_time_are_none_of_the_part_above(below: str) -> None:
    """What stands under a line on one time of another part is of that: it is open, and danced nowhere else."""
    change = f"2nd Verse 1 is different at the end: leave out the Triples\n{below}\n\n"
    made = sc.draft(f"{TOP}{VERSE}Bridge\n  2 Chains - 8\n\n{change}Ending: Stomp L\n")

    assert "part Bridge:\n  Chain x2\n\n" in made.text
    assert "Basic x4" not in made.text.partition("Bridge")[2].partition("dance:")[0]
    assert any(below.split("\n")[-1].split()[-1] in each for each in made.open)


@pytest.mark.parametrize("sign", ["   ", ": ", " - "])
def test_a_turn_of_one_time_puts_the_repeat_in_doubt(sign: str) -> None:
    """Where a line below a repeat says that one of its times turns, nothing is danced for it as if none did."""
    told = f"{TOP}A - 16\nTriple\n2 Basics\nDo this 2 times\n"
    turned = f"1st time{sign}turn 1/2 left on the Basics\n2nd time{sign}no turn\n"
    made = sc.draft(f"{told}{turned}\nB - 8\n4 Basics\n")

    assert "part A: 16 beats\n  2 times:" in sc.draft(f"{told}\nB - 8\n4 Basics\n").text
    assert "part A: 16 beats\n  Triple\n  ? 4 beats  # 2 Basics\n  ? 8 beats  # Do this 2 times\n" in made.text
    assert any("1st time" in each for each in made.open)
