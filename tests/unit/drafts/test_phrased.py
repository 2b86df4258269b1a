"""Line dances of several parts: in which order they are danced, and what is said of one by another."""

import re

import pytest

import stepcheck as sc

TITLE = "Osier Row\nphrased line dance\n"
PARTS = "\nPART A (8 counts)\n1-4 Vine right\n5-8 Vine left\n\nPART B (4 counts)\n1-4 Jazz box R\n\n"


def danced(text: str) -> list[str]:
    """Return the lines of the dance of a draft."""
    return [
        line.partition("#")[0].strip()
        for line in sc.draft(text).text.partition("\ndance:\n")[2].partition("\n\n")[0].splitlines()
    ]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Sequence: A, B", ["A", "B"]),
        ("A B A B A", ["A", "B", "A", "B", "A"]),
        ("PART C\nSame as part A", ["A", "B", "A"]),
        ("PART C: same as part A", ["A", "B", "A"]),
        ("PART C: same as part A, other foot", ["A", "B", "A, opposite foot"]),
        ("Part A again to the back\nPart B twice", ["A", "B", "A", "expect facing back", "B x2"]),
        ("Repeat A & B to the front", ["A", "B", "A", "B", "expect facing front"]),
        ("Part A\nPart B", ["A", "B", "A", "B"]),
        ("ENDING\n1 Stomp R", ["A", "B", "Ending"]),
        ("TAG (4 counts)\n1-4 Jazz box R\n\nEnding: stomp R", ["A", "B", "Tag", "Ending"]),
    ],
)
def test_what_stands_below_the_parts_is_their_order_or_a_part(said: str, wanted: list[str]) -> None:
    """Nothing that says what is danced behind the last part is dropped, or danced in that part."""
    made = sc.draft(f"{TITLE}{PARTS}{said}\n")
    assert (danced(f"{TITLE}{PARTS}{said}\n"), made.open) == (wanted, ())


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Order: A, B, A, 1/2 B", ["A", "B", "A", "B, first 2 counts"]),
        ("Order: A B A and at the end stomp R, hold", ["A", "B", "A", "Ending"]),
        ("Order:\nA\nB, twice\nA", ["A", "B x2", "A"]),
        ("Order: intro 16, A, B, A", ["A", "B", "A"]),
    ],
)
def test_an_order_above_the_parts(said: str, wanted: list[str]) -> None:
    """Halves, times and the end are read in an order, on one line or down the page; its intro is the wait."""
    made = sc.draft(f"{TITLE}{said}\n{PARTS}")
    assert (danced(f"{TITLE}{said}\n{PARTS}"), made.open) == (wanted, ())
    assert ("wait: 16 counts" in made.text) == ("16" in said)


@pytest.mark.parametrize(
    ("first", "second", "third"),
    [
        ("Verse (A), 8 counts", "Chorus (B), 4 counts", "Tag (T), 2 counts"),
        ("Verse - Part A (8 counts)", "Chorus - Part B (4 counts)", "Tag - Part T (2 counts)"),
        ('VERSE "A"  (8 counts)', 'CHORUS "B"  (4 counts, at the front)', 'TAG "T"  (2 counts, danced just once)'),
        ("Verse A: 8 counts", "Chorus B: 4 counts", "Tag T: 2 counts"),
        ("PART A (8 counts) verse", "PART B (4 counts) chorus", "PART T (2 counts) tag"),
        ("PART A - verse (8 counts)", "PART B - chorus (4 counts)", "T (Tag) 2 counts"),
    ],
)
def test_what_a_part_is_stands_beside_its_letter(first: str, second: str, third: str) -> None:
    """A part that the order calls by a letter is one part, whatever it is called beside that, and has its own lines."""
    parts = f"{first}\n1-4 Vine right\n5-8 Vine left\n\n{second}\n1-4 Jazz box R\n\n{third}\n1-2 Walk R, walk L\n"
    made = sc.draft(f"{TITLE}Sequence: A B T - A B\n\n{parts}")

    heads = [line.partition("  #")[0] for line in made.text.splitlines() if line.startswith("part ")]
    assert heads == ["part A: 8 counts", "part B: 4 counts", "part T: 2 counts"]
    assert (danced(f"{TITLE}Sequence: A B T - A B\n\n{parts}"), made.open) == (["A", "B", "T", "A", "B"], ())


def test_a_star_in_an_order_is_open() -> None:
    """A part with a star is danced otherwise; how is not read."""
    assert "line 3: Order: A* B A" in sc.draft(f"{TITLE}Order: A* B A\n{PARTS}").open


@pytest.mark.parametrize(
    ("said", "counts"),
    [
        ("PART C (8 counts): same as part A but turn 1/4 L at the end", 8),
        ("PART C (8 counts)\nSame as part A but turn 1/4 L at the end", 8),
        ("PART C (4 counts): same as part A, first 4 counts", 4),
        ("PART C (4 counts): same as part A", 4),
        ("PART C: as part A without the last vine", 8),
    ],
)
def test_a_part_that_is_another_one_but_for_something_is_a_blank(said: str, counts: int) -> None:
    """It is never danced as that part, nor in the part above it."""
    text = f"{TITLE}{PARTS}{said}\n"
    assert (danced(text), re.findall(r"\? (\d+) counts", sc.draft(text).text)) == (["A", "B", "C"], [f"{counts}"])
    assert len(sc.draft(text).open) == 1


@pytest.mark.parametrize(
    "said",
    [
        "On walls 2 and 4 restart after part A",
        "TAG: after wall 2\n1-4 Jazz box R",
        "Tag after wall 2 (4 counts):\n1-4 Jazz box R",
    ],
)
def test_a_wall_of_a_phrased_dance_is_open(said: str) -> None:
    """Which of its parts a wall is isn't known: the line is named, and the steps of a tag are a part of their own."""
    made = sc.draft(f"{TITLE}Order: A B A\n{PARTS}{said}\n")
    assert [line for line in made.open if said.partition("\n")[0] in line]
    assert made.text.count("Jazz Box, right foot") == 1 + said.count("Jazz")


def test_a_wait_is_no_count_of_the_parts() -> None:
    """A verse and a chorus with an order are parts, though their lengths come to that of the intro."""
    parts = PARTS.replace("PART A", "VERSE 1").replace("PART B", "CHORUS")
    text = f"{TITLE}Intro: 12 counts\nOrder: verse 1, chorus, verse 1, chorus\n{parts}"
    assert danced(text) == ["VERSE 1", "Chorus", "VERSE 1", "Chorus"]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("It goes verse chorus verse chorus chorus", ["Verse", "Chorus", "Verse", "Chorus", "Chorus"]),
        ("V C V C C", ["Verse", "Chorus", "Verse", "Chorus", "Chorus"]),
        ("Verse Q Verse Q", []),
        ("C V", ["Verse", "Chorus"]),
        ("Verse is hard, chorus is hard, and verse before chorus is worse", []),
    ],
)
def test_a_row_of_parts_is_their_order(said: str, wanted: list[str]) -> None:
    """A line of names, or of what only one of them can be, is never a remark under which the parts stand in a row."""
    text = f"{TITLE}{PARTS.replace('PART A', 'VERSE').replace('PART B', 'CHORUS')}{said}\n"
    assert danced(text) == wanted
    assert bool(sc.draft(text).open) == (not wanted)
