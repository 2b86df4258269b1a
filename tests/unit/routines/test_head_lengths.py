"""A length at the end of a line that begins with the head of a part: of the part, or of this line."""

import pytest

import stepcheck as sc

FRONT = "Osier Row (clogging)\nwait 8, left foot lead\n\n"


def part(said: str) -> list[str]:
    """Return the first part of a sheet, its head first, without remarks."""
    text = sc.draft(FRONT + said).text
    lines = [line.split("  #")[0].strip() for line in text[text.index("part ") :].split("\n\n")[0].splitlines()]
    return [line for line in lines if line]


@pytest.mark.parametrize("head", ["ENDING STEPS   8 COUNTS", "Ending steps (8)"])
def test_the_steps_of_a_part_are_no_step(head: str) -> None:
    """`ENDING STEPS   8 COUNTS` is the head of the end, and no step is danced in it that its lines don't say."""
    made = sc.draft(
        f"OSIER ROW (CLOGGING)\n\nPART A   16 COUNTS\n4 TRIPLES\n\n{head}\n4 BASICS\n\nORDER\nPART A\nENDING STEPS\n"
    )

    assert not made.open
    assert "Ending steps: 8 beats\n  Basic x4\n" in made.text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Chorus: Cowboy fwd (8)\n        Fancy Double (4)\n", ["part Chorus:", "Cowboy (forward)", "Fancy Double"]),
        (
            "A  -  Triple L / Chain R  -  8\n   -  Rocking Chair x 4, 1/4 L each  -  16\n",
            ["part A:", "Triple, left foot", "Chain, right foot", "Rocking Chair x4, turn 1/4 left"],
        ),
        (
            "A: 2 Triples, 4 Basics - 16 beats\n   2 Charlestons - 8 beats\n",
            ["part A:", "Triple x2", "Basic x4", "Charleston x2"],
        ),
        ("A: hazel walk L (8)\n   4 Basics (8)\n", ["part A:", "? 8 beats", "Basic x4"]),
        ("A: hazel walk L (8)\n   4 Basics\n   Triple\n", ["part A:", "? 8 beats", "Basic x4", "Triple"]),
        ("A: 2 Triples (8)\n   Repeat (8)\n", ["part A: 16 beats", "2 times:", "Triple x2"]),
    ],
)
def test_a_length_behind_the_steps_of_a_head_is_theirs(said: str, wanted: list[str]) -> None:
    """What stands beside a head lasts as long as its line says, where the lines below are danced besides."""
    assert part(said) == wanted
    assert not any("are stated" in each for each in sc.draft(FRONT + said).open)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("A: 2 Triples (16)\n   4 Basics\n", ["part A: 16 beats", "Triple x2", "Basic x4"]),
        ("A: 2 Triples and 4 Basics (16)\nB: 2 Basics (4)\n", ["part A: 16 beats", "Triple x2", "Basic x4"]),
        ("A (16): 2 Triples\n   4 Basics\n", ["part A: 16 beats", "Triple x2", "Basic x4"]),
    ],
)
def test_a_length_to_which_all_lines_come_is_that_of_the_part(said: str, wanted: list[str]) -> None:
    """Behind a head with steps below, a length is the part's where all of its lines come to it."""
    assert part(said) == wanted


@pytest.mark.parametrize("length", [16, 18])
def test_the_length_of_a_part_decides_what_a_wrong_one_of_a_line_blanks(length: int) -> None:
    """A line that states other beats than its cues last is danced as cued where the part comes to its own beats with
    that, and is open; else it is a blank of its beats."""
    made = sc.draft(
        f"Osier Row (clogging)\nwait 8, left foot lead\n\nA ({length} beats)\nTriple L (4)\nChain (6)\n"
        "Charleston (4)\nTriple (4)\n\nB\n2 Basics\n"
    )

    assert ["Chain (6)" in each and "6 beats are stated, 4 are read" in each for each in made.open].count(True) == 1
    assert ("? 6 beats" in made.text) == (length == 18)
    assert ("\n  Chain\n" in made.text) == (length == 16)


def test_the_steps_of_a_part_are_its_head() -> None:
    """`Intro steps:` and `Ending steps:` begin the introduction and the end, as `Intro:` does."""
    made = sc.draft(
        "Osier Row (clogging)\n\nIntro steps: 4 Basics (8)\n\nPart A (16 beats)\n4 Triples\n\nOrder: Intro, A, A\n"
    )

    assert "part Intro steps: 8 beats\n  Basic x4\n" in made.text
    assert "dance:\n  Intro steps\n  A\n" in made.text
    assert not made.open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (
            "A\n2 Triples, left and right. 8\n4 Basics, L R L R. 8   (16)\n",
            ["part A: 16 beats", "Triple x2, left foot"],
        ),
        ("A\n2 Triples - 8\n2 Fancy Doubles - 8 (16)\n", ["part A: 16 beats", "Triple x2", "Fancy Double x2"]),
        ("A\n2 Triples  8  (8)\nDS DS RS RS. 4 [12]\n", ["part A: 12 beats", "Triple x2", "DS DS RS RS"]),
        (
            "A\n2 Triples. 8\nHazel walk, one beat each, then sink. 8 (16)\n",
            ["part A: 16 beats", "Triple x2", "? 8 beats"],
        ),
    ],
)
def test_a_total_in_brackets_behind_the_length_of_a_line_is_of_all_lines(said: str, wanted: list[str]) -> None:
    """`8   (16)` are eight beats, after which the part has sixteen; neither is the length of a blank of sixteen."""
    assert part(said)[: len(wanted)] == wanted


def test_a_total_that_the_lines_do_not_come_to_is_open() -> None:
    """It is no length of its line either."""
    said = "A\n2 Triples - 8\n4 Basics - 8 (24)\n"

    assert part(said) == ["part A:", "Triple x2", "Basic x4"]
    assert any("4 Basics - 8 (24)" in each for each in sc.draft(FRONT + said).open)


@pytest.mark.parametrize("sign", [" ({})", ", {}", "   {}", " - {} beats", " ...... {}"])
def test_totals_that_run_on_from_line_to_line_are_no_lengths(sign: str) -> None:
    """Where what stands behind lines rises by just what those that are read last, each line has what it rises by."""
    first, last = (["2 Triples", "4 Basics", "hazel walk", "Cowboy"], ["2 Rocking Chairs", "2 Charlestons"])
    a, b = ("\n".join(said + sign.format(8 * at) for at, said in enumerate(each, 1)) for each in (first, last))

    made = sc.draft(f"{FRONT}A\n{a}\n\nB\n{b}\n").text

    assert part(f"A\n{a}\n\nB\n{b}\n") == ["part A: 32 beats", "Triple x2", "Basic x4", "? 8 beats", "Cowboy"]
    assert "part B: 16 beats\n  Rocking Chair x2\n  Charleston x2\n" in made


def test_lengths_that_rise_by_chance_stay_lengths() -> None:
    """One line that lasts what is stated says that all of them are of their lines."""
    assert part("A\nTriple (4)\n2 Triples (8)\n8 Basics (16)\n") == ["part A:", "Triple", "Triple x2", "Basic x8"]


@pytest.mark.parametrize(
    "said",
    [
        "A and B are 16 beats, C is 8.",
        "A, B have 16 beats each; C has 8",
        "A & B are 16 each, C is 8",
        "A, B are 16 each",
    ],
)
def test_parts_that_share_a_length_have_it_and_are_no_order(said: str) -> None:
    """`A and B are 16 beats` says how long both are, and calls no part to be danced."""
    parts = "A\n2 Triples\n4 Basics\n\nB\n2 Charlestons\n2 Fancy Doubles\n\nC\nTriple\n2 Basics\n\nOrder: A C B A\n\n"
    made = sc.draft(f"{FRONT}{parts}{said}\n")

    assert not made.open and "part A: 16 beats" in made.text and "part B: 16 beats" in made.text
    assert ("part C: 8 beats" in made.text) == ("C" in said)
    assert ["A", "C", "B", "A"] == made.text.split("dance:\n")[1].split()


@pytest.mark.parametrize("said", ["BREAK - 8 BEATS, ONLY ONCE", "Break - 8 beats, only once", "BREAK - 8 COUNTS"])
def test_a_length_in_capitals_is_one(said: str) -> None:
    """The unit of a length may be in capitals; what stands behind it is no dance."""
    assert part(f"{said}\n2 Rocking Chairs\n") == ["part Break: 8 beats", "Rocking Chair x2"]


@pytest.mark.parametrize(
    "said",
    [
        "B is 16 beats as well. 2 Triples, then 4 Basics.",
        "B is the long one, 16 beats: two Triples and four Basics",
        "Part B is 16 beats too. Two triples then four basics.",
        "The second part, B, is 16 beats. 2 Triples, 4 Basics.",
        "The next bit, we call it B, is 16 beats. 2 Triples, 4 Basics.",
        "Next is B, 16 beats: 2 Triples, 4 Basics",
        "For B we do 2 Triples and 4 Basics (16 beats)",
        "In part B you do 2 Triples and 4 Basics",
        "The B part goes like this: 2 Triples, 4 Basics, 16 beats",
    ],
)
def test_a_head_may_stand_in_a_sentence(said: str) -> None:
    """What names a part and says how long it is, or what is done in it, begins it."""
    made = sc.draft(f"{FRONT}Part A (8 beats)\n2 Chains\n\n{said}\n")
    head, *lines = made.text.split("\npart B")[1].split("\n\n")[0].split("\n")

    assert [line.strip() for line in lines] == ["Triple x2", "Basic x4"]
    assert head.startswith(": 16 beats") or "16" not in said
    assert not made.open


@pytest.mark.parametrize("total", ["=8", "Total 8", "8", "(8)", "8 beats"])
def test_beats_alone_in_a_row_of_a_table_are_the_length_of_the_part(total: str) -> None:
    """What stands under the head of the beats, beside no step, is what the part lasts; any other sum is open."""
    rows = f"A\t4\tL\tTriple\tforward\n\t4\tR\tTriple\tback\n\t{total}\t\t\t\nB\t4\tL\tCharleston\t\n"
    table = f"Tallow Row (clogging)\nwait 8, left foot lead\n\nPart\tBeats\tFoot\tStep\tNotes\n{rows}\nOrder: A B A\n"
    made, odd = sc.draft(table), sc.draft(table.replace("8", "12"))

    assert "part A: 8 beats\n  Triple, left foot, 4 beats (forward)\n" in made.text and not made.open
    assert "12" in " ".join(odd.open)


@pytest.mark.parametrize(
    "head", ["A  (verse, 16)", "A (fiddle, 16)", "A - verse 16", "A: chorus, 16", "PART A (chorus 16)", "PART A – 16 –"]
)
def test_a_number_behind_words_beside_a_head_is_the_length_of_the_part(head: str) -> None:
    """Without its unit it is one behind the word for a part, or where a comma stands before it in the bracket."""
    assert part(f"{head}\n   2 Triples\n   4 Basics\n") == ["part A: 16 beats", "Triple x2", "Basic x4"]


@pytest.mark.parametrize("head", ["A - Triple, Chain 8", "A (Triple, Chain 8)"])
def test_a_number_behind_steps_beside_a_head_is_no_length_of_the_part(head: str) -> None:
    """It is that of these steps."""
    assert part(f"{head}\n   4 Basics\n")[0] == "part A:"


def test_a_bare_number_behind_sentences_with_their_own_lengths_is_of_them_all() -> None:
    """It is no length of the last sentence, which would last longer than the part."""
    said = (
        "Part A. Two Triples forward, 8 beats. Push Off left, Push Off right, 8 beats. "
        "Then a Stomp Double on the left and another on the right. 24.\n"
    )
    assert part(said) == [
        *("part A: 24 beats", "Triple x2 (forward)", "Push-off, left foot", "Push-off, right foot"),
        *("Stomp Double, left foot", "Stomp Double, right foot"),
    ]
    assert () == sc.draft(FRONT + said).open
