"""The order of the parts."""

import pytest

import stepcheck as sc
from stepcheck.routines.order import order


@pytest.mark.parametrize(
    ("text", "names", "wanted"),
    [
        ("A-B-CH-A", ("A", "B", "Ch"), ["A", "B", "Ch", "A"]),
        ("ABCAB", ("A", "B", "C"), ["A", "B", "C", "A", "B"]),
        ("Part A, Part B, Chorus, Bridge twice", ("A", "B", "Chorus", "Bridge"), ["A", "B", "Chorus", "Bridge x2"]),
        (
            "first part, second part, break",
            ("First part", "Second part", "Break"),
            ["First part", "Second part", "Break"],
        ),
        ("Verse, Chorus, 1/2 Verse", ("Verse", "Chorus"), ["Verse", "Chorus", "Verse half"]),
        ("A, B, A (first sixteen beats only)", ("A", "B"), ["A", "B", "A 16"]),
        ("A  B  C*  B", ("A", "B", "C"), ["A", "B", "?", "B"]),
        ("A - B - A (no turn) - B", ("A", "B"), ["A", "B", "?", "B"]),
        ("AA B, AA B, BB, and A", ("A", "B"), ["A", "A", "B", "A", "A", "B", "B", "B", "A"]),
    ],
)
def test_the_order_names_parts_with_how_often_and_how_much(
    text: str, names: tuple[str, ...], wanted: list[str]
) -> None:
    """Parts are found by all that they are called; one that is changed is open."""
    found, left = order(text, names)
    said = [
        "?"
        if each.changed
        else f"{each.name}{f' x{each.times}' * (each.times > 1)}{' half' * each.half}"
        f"{f' {each.first}' * bool(each.first)}"
        for each in found
    ]

    assert wanted == said
    assert "" == left


def test_heads_in_running_text_begin_parts_and_no_order() -> None:
    """`First part. Do one Triple` is a part told in sentences, which the order calls `First`; `Marshy part.` is one by a
    word of its own."""
    text = sc.draft(
        "Sallow Row (clogging)\nwait 8, left foot lead\n\nFirst part. Begin nicely. Do one Triple and a Basic left.\n\n"
        "Second part. Four Basics.\n\nMarshy part. Two Cowboys.\n\nThat makes: First, Second, Marshy, Second, First.\n"
    ).text

    assert "part First part:\n  Triple\n  Basic, left foot\n" in text
    said = [each.strip() for each in text.split("dance:\n")[1].splitlines()]
    assert said == ["First part", "Second part", "Marshy part", "Second part", "First part"]


def test_pre_alone_on_its_line_is_a_part() -> None:
    """What stands below `Pre` is no dance of the verse."""
    text = sc.draft(
        "Sallow Row (clogging)\nwait 8, left foot lead\n\nV1\n4 basics\n\nPre\ncharleston 2x\n\nCh\n2 cowboys\n\n"
        "V1, Pre, Ch, Ch again but only the first bit\n"
    ).text

    assert "part Pre:\n  Charleston x2\n" in text and "part V1:\n  Basic x4\n\n" in text
    assert "dance:\n  V1\n  Pre\n  Ch\n  # Ch again but only the first bit" in text


def test_letters_of_parts_in_front_of_the_order_are_never_dropped() -> None:
    """`DD` names parts that nobody has: the order is not whole, and none is told."""
    outline = sc.draft(
        "Sallow Row (clogging)\nwait 8, left foot lead\n\nA\n4 basics\n\nB\n2 cowboys\n\nOrder: DD, A, B\n"
    )

    assert any("the order of the parts: DD" in each for each in outline.open)
    assert "dance:" not in outline.text


def test_an_initial_above_part_a_is_that_of_a_person() -> None:
    """The letters of parts begin with A: `D. Overbury` above it is nobody's part."""
    outline = sc.draft(
        "Sallow Row (clogging)\nD. Overbury, 2/09\nwait 8, left foot lead\n\nA\n4 basics\n\nB\n2 cowboys\n\nA B A\n"
    )

    assert "D. Overbury" in outline.text
    assert not any("nothing stands under it" in each for each in outline.open)
    assert "dance:\n  A\n  B\n  A" in outline.text


LAID = "Sedge Mill (clogging)\nWait 16\n\nVerse\n2 Triples\n\nChorus\n4 Basics\nTriple L\n\nVerse\n\nChorus{}\n\nEnding\nStomp L\n"


@pytest.mark.parametrize(
    ("said", "danced"),
    [
        ("\nsame", "Chorus"),
        ("\nas above", "Chorus"),
        ("\ntwice", "Chorus x2"),
        (" - same, opp. foot", "Chorus, opposite foot"),
        (" (opposite foot)", "Chorus, opposite foot"),
        (" (to the back)", "Chorus / expect facing back"),
        ("\nsame but turn 1/2 left on the Triple", "# Chorus same but turn 1/2 left on the Triple"),
        ("\nsame but no turn", "# Chorus same but no turn"),
        (" - same, no turn", "# Chorus - same, no turn"),
        (": same but turn 1/2 left on the Triple", "# Chorus: same but turn 1/2 left on the Triple"),
    ],
)
def test_a_part_that_is_told_is_danced_again_as_its_head_says(said: str, danced: str) -> None:
    """What stands behind or below a head that comes again is of that time of the part, and of no other part; what is
    changed there is open."""
    made = sc.draft(LAID.format(said))
    lines = [line.strip() for line in made.text[made.text.index("dance:") :].splitlines() if line.strip()]

    assert f"Verse / Chorus / Verse / {danced} / Ending" == " / ".join(lines[1:])
    assert ("turn" in said) == bool(made.open)


@pytest.mark.parametrize(
    ("said", "heads"),
    [
        ("A has 16 beats, chorus 8.", ["A: 16 beats", "Chorus: 8 beats"]),
        ("A is 16 beats and the chorus is 8 beats.", ["A: 16 beats", "Chorus: 8 beats"]),
        ("A = 16, Chorus = 8", ["A: 16 beats", "Chorus: 8 beats"]),
        ("Each chorus is 8 beats", ["A:", "Chorus: 8 beats"]),
        ("A 2, Chorus 3", ["A:", "Chorus:"]),
    ],
)
def test_a_line_that_says_how_long_parts_are_is_no_order(said: str, heads: list[str]) -> None:
    """Lengths in a sentence are those of the parts; the order of the dance stays the one that the sheet states."""
    text = f"Sedge Mill (clogging)\n\nA\n2 Triples\n2 Rocking Chairs\n\nChorus\n4 Basics\n\n{said}\n\nOrder: A, Chorus, A\n"
    made = sc.draft(text).text

    assert heads == [line.removeprefix("part ") for line in made.splitlines() if line.startswith("part ")]
    assert made.endswith("dance:\n  A\n  Chorus\n  A\n")


@pytest.mark.parametrize(
    ("said", "lead"),
    [
        ("INTRO -- 16 beats, hold. Start left.", "left"),
        ("INTRO (16) stand still, then right foot", "right"),
        ("Intro: 16 cts.     Seq: A-B-A", "left"),
        ("Introduction: Wait through sixteen beats. Begin with the right foot.", "right"),
    ],
)
def test_an_introduction_that_is_held_is_the_wait(said: str, lead: str) -> None:
    """How long it is held is the wait, and the foot beside that goes first; no part is made of it."""
    made = sc.draft(f"Sedge Mill (clogging)\n{said}\n\nA\n2 Basics\n\nB\n2 Triples\n")

    assert f"lead: {lead}\nwait: 16 beats\n" in made.text
    assert "Intro" not in made.text.split("dance:")[1]
    assert () == made.open


@pytest.mark.parametrize("said", ["The dance goes:", "The routine goes:", "How the dance goes -"])
def test_numbers_of_lines_are_not_those_of_parts(said: str) -> None:
    """`Do 1 and 2 again` in a numbered part dances its lines, and is not the order of the parts 1 and 2."""
    text = (
        "Osier Row (clogging)\nwait 8\n\nPart 1 (12 beats)\n1. Triple\n2. Basic\n3. Do 1 and 2 again.\n\n"
        f"Part 2 (2 beats)\n1. Basic\n\n{said} Part 1, Part 2, Part 1.\n"
    )
    made = sc.draft(text)

    assert made.text.rstrip().endswith("dance:\n  Part 1\n  Part 2\n  Part 1")
    assert not made.open


@pytest.mark.parametrize(
    ("like", "again", "danced"),
    [
        ("same as verse 1", "Verse 2 (opposite foot)", "Verse 1, opposite foot"),
        ("same as verse 1, opposite foot", "Verse 2 (opposite foot)", "Verse 1"),
        ("same as verse 1, opposite foot", "Verse 2", "Verse 1, opposite foot"),
    ],
)
def test_the_other_foot_of_a_part_that_is_another_one_is_not_lost(like: str, again: str, danced: str) -> None:
    """A part told as another one, on the other foot or not, is danced on the foot that its later head says."""
    made = sc.draft(f"Sedge Mill (clogging)\n\nVerse 1\nTriple\n\nVerse 2\n{like}\n\n{again}\n")

    assert made.text.endswith(f"\n  {danced}\n")
    assert () == made.open


def danced(said: str) -> list[str]:
    """Return the lines of the dance, without remarks."""
    text = sc.draft(f"Quern Lane (clogging)\nwait 8, left foot lead\n\n{said}").text
    return [line.split("  #")[0].strip() for line in text[text.index("\ndance:\n") + 8 :].splitlines() if line.strip()]


def test_the_order_may_stand_beside_the_sections_of_the_song() -> None:
    """Behind each section are the parts that are danced to it; what is behind the last of them is danced at the end."""
    parts = "A  2 Triples\nB  4 Basics\nC  2 Charlestons\nD  2 Basics\n\n"
    rows = "1st verse   A\nchorus      B C\n2nd verse   A\nbanjo       D D\nchorus      B C C\n"

    assert ["A", "B", "C", "A", "D", "D", "B", "C", "C"] == danced(parts + rows)
    assert ["A", "B", "C", "A", "D", "D", "B", "C", "C", "D", "Ending"] == danced(
        f"{parts}{rows}tag    D, then Stomp L\n"
    )


@pytest.mark.parametrize("cut", ["first half of the Chorus again", "the first half of Chorus", "half of the Chorus"])
def test_the_first_half_of_a_part_is_danced(cut: str) -> None:
    """Where its lines end on that beat, it is cut there."""
    made = danced(f"A\n2 Triples\n\nChorus\n2 Triples\n2 Triples\n\nOrder: A, Chorus, A, {cut}\n")

    assert ["A", "Chorus", "A", "Chorus, first 8 beats"] == made


def test_how_the_tune_is_played_is_no_order() -> None:
    """`Tune is played AABB:` stands before the order, and is none of it."""
    made = danced("A\n2 Triples\n\nB\n4 Basics\n\nTune is played AABB:  A  B  B  A\n")

    assert ["A", "B", "B", "A"] == made


@pytest.mark.parametrize("intro", ["Intro 16", "Intro (16)", "INTRO-16", "16 beat intro", "Intro 16 cts", "wait 16"])
def test_the_order_may_begin_with_the_wait(intro: str) -> None:
    """An introduction with a length and without steps is the wait of the sheet, and no part."""
    made = sc.draft(f"Quern Lane\n\nA\n2 Triples\n\nB\n4 Basics\n\nOrder: {intro}, A, B, A\n")

    assert "wait: 16 beats" in made.text and not made.open
    assert made.text.split("dance:\n")[1].split() == ["A", "B", "A"]


@pytest.mark.parametrize(
    "said", ["A (16), B (8), A(16)", "A 16 B 8 A 16", "A - 16 beats, B - 8 beats, A", "A 16, B, A"]
)
def test_the_lengths_of_parts_may_stand_in_the_order(said: str) -> None:
    """A length that a part has is no change of it; any other is named open."""
    front = "Quern Lane\n\nA\n4 Triples\n\nB\n4 Basics\n\nOrder: "
    made = sc.draft(front + said)

    assert made.text.split("dance:\n")[1].split() == ["A", "B", "A"] and not made.open
    assert sc.draft(front + "A (8), B (8)").open == ("the order of the parts: A (8): 8 beats are stated, 16 are read",)


@pytest.mark.parametrize(
    ("one", "other", "said"),
    [
        ("Part A (Verse)", "Part B (Chorus)", "Sequence: Verse, Chorus, Verse"),
        ("A - the Plow", "B - the Mule", "Order: Plow, Mule, Plow"),
        ("First part (we call it the Plow)", "Second part (the Mule)", "How it goes\nPlow, Mule, Plow."),
        ("PART A (Old Barn)", "PART B (New Barn)", "Order: Old Barn - New Barn - Old Barn"),
    ],
)
def test_the_order_may_call_parts_by_what_stands_beside_their_heads(one: str, other: str, said: str) -> None:
    """A name of a part's own is that part in the order."""
    made = sc.draft(f"Quern Lane\nclogging\n\n{one}\n2 Triples\n\n{other}\n4 Basics\n\n{said}\n")
    first, second, third = made.text.split("dance:\n")[1].splitlines()

    assert first == third != second and not made.open


def test_what_else_stands_beside_a_head_is_no_part_of_an_order() -> None:
    """Where the order names parts by their heads no word beside these is one."""
    made = sc.draft("Quern Lane\nclogging\n\nA (slow)\n2 Triples\n\nB\n4 Basics\n\nOrder: A, B, A, slow\n")

    assert [each.strip() for each in made.text.split("dance:\n")[1].splitlines()][:3] == ["A", "B", "A"]
    assert made.text.split("dance:\n")[1].count("A") == 2


def test_a_line_of_names_with_one_part_is_its_head() -> None:
    """`A - Chain, Basic` begins part A; it is no order of parts that nobody tells."""
    made = sc.draft("Quern Lane\nclogging\n\nA - Chain, Basic\nB - 2 Triples\n\nA B A B\n")

    assert made.text.split("dance:\n")[1].split() == ["A", "B", "A", "B"] and not made.open


def test_a_star_behind_the_head_of_a_part_calls_a_note() -> None:
    """`C*` is part C where no other is; what the note changes is open, and so is `C*` in the order."""
    parts = "A\n2 Triples\n\nC*\n4 Basics\n* last time: 2 Basics, stomp\n\n"
    made = sc.draft(f"Quern Lane\nclogging\n\n{parts}Order: A C A C*\n")

    assert "part C:\n  Basic x4\n\n" in made.text
    assert [each.strip() for each in made.text.split("dance:\n")[1].splitlines()[:4]] == ["A", "C", "A", "# C*"]
    assert len(made.open) == 2


@pytest.mark.parametrize("length", ["(16 + 16)", "(8+8+16 beats)", "[16+16]", "- 32 beats"])
def test_the_length_of_a_part_may_be_a_sum(length: str) -> None:
    """Lengths with a plus between them are added."""
    made = sc.draft(f"Quern Lane\nclogging\n\nA {length}\n4 Triples\nRepeat, right foot\n")

    assert "part A: 32 beats" in made.text and not made.open


def test_a_number_of_figures_in_words_is_no_part() -> None:
    """`one triple on the left and one chain` names no first part."""
    said = "First part (16 beats)\nDo one triple on the left and one triple on the right.\nDo four basics.\n\n"
    made = sc.draft(f"Quern Lane\nclogging\n\n{said}Second part\n2 Chains\n\nOrder: one, two, one\n")

    assert not made.open and "Ending" not in made.text
    assert made.text.split("dance:\n")[1].split("\n")[:3] == ["  First part", "  Second part", "  First part"]


def test_a_line_of_one_time_is_open_in_a_sheet_without_an_order_too() -> None:
    """`Last time: 2 Basics` is danced in no other time, whether or not an order says how many there are."""
    made = sc.draft("Quern Lane\nclogging\n\nA\n4 Basics\nLast time: 2 Triples\n\nB\n2 Chains\n")

    assert "Triple" not in made.text.split("part A:\n")[1].split("part B")[0]
    assert any("Last time" in each for each in made.open)


@pytest.mark.parametrize(
    "said",
    [
        "Order is A, B, then a bit where the osiers sway left, A and B",
        "Sequence: A, (tallow bit alone), two stomps left and right, B, A, B, B",
        "How it goes: A, B, A, then only the Basics out of it with a wave left, B",
    ],
)
def test_an_order_that_is_not_whole_is_open_with_all_that_it_says(said: str) -> None:
    """Nothing of it is danced, so that no part of it is left out of what is named as open."""
    made = sc.draft(f"Sallow Row (clogging)\nwait 8, left foot lead\n\nA\n4 basics\n\nB\n2 cowboys\n\n{said}\n")

    words = said.partition(" is " if " is " in said else ": ")[2]
    assert "dance:" not in made.text and f"line 10: the order of the parts: {words}" in made.open
    assert f"# {words}" in made.text.split("part B")[1]


@pytest.mark.parametrize(
    "end", ["and you are finished", "and it's over", "and that is it!", "and then we are done", "to close"]
)
def test_words_that_only_end_the_order_leave_it_whole(end: str) -> None:
    """They say nothing danced."""
    made = sc.draft(
        f"Sallow Row (clogging)\nwait 8, left foot lead\n\nA\n4 basics\n\nB\n2 cowboys\n\nOrder: A, B, A {end}\n"
    )

    assert ["A", "B", "A"] == [each.strip() for each in made.text.split("dance:\n")[1].split("\n\n")[0].splitlines()]
    assert not made.open


@pytest.mark.parametrize("front", ["wait 24.  L ft.   ", "Wait 24 beats. Left lead. ", "wait 24; left foot. "])
@pytest.mark.parametrize("order", ["I-A-B-A", "I A B A", "I, A, B, A"])
def test_an_order_behind_the_wait_and_the_foot_has_the_part_i(front: str, order: str) -> None:
    """The letter alone on its line heads a part, with or without its length; what stands in front is a fact."""
    made = sc.draft(f"Osier Lane (clogging)\n{front}{order}\n\nI    16\n4 Triples\n\nA    8\n4 Basics\n\nB\n2 Chains\n")

    assert "dance:\n  I\n  A\n  B\n  A\n" in made.text and "part I: 16 beats\n  Triple x4\n" in made.text
    assert "wait: 24 beats" in made.text and "lead: left" in made.text
    assert not made.open and "lead left" not in made.assumed


def test_roman_numbers_alone_on_their_lines_head_parts() -> None:
    """They are called as they are written."""
    made = sc.draft(
        "Osier Lane (clogging)\nwait 8\n\nI\n4 Basics\n\nII\n2 Chains\n\nIII\n2 Triples\n\nOrder: I II III I\n"
    )

    assert "dance:\n  I\n  II\n  III\n  I\n" in made.text and not made.open


ROW = (
    "Sallow Row (clogging)\nwait 8, left foot lead\n\nPart A (8 beats)\n2 Triples\n\nPart B (8 beats)\n4 Basics\n\n"
    "Part C (8 beats)\n2 Chains\n\n"
)


def _danced(said: str) -> list[str]:
    """Return the parts in the order in which three parts and a line below them are danced."""
    text = sc.draft(ROW + said + "\n").text
    return [each.strip() for each in text.split("dance:\n")[1].split("\n\n")[0].splitlines()]


@pytest.mark.parametrize(
    "said",
    [
        "Order: A, B, C twice through",
        "A, B, C - repeat",
        "Sequence: A B C, then repeat the whole thing",
        "Do A B C twice",
        "Repeat the whole dance",
        "Repeat from the top",
        "Start over from the beginning",
        "Now do the whole thing again",
        "Repeat from part A",
        "Then back to the top",
        "Back to A and do it all again",
        "Repeat A, B and C",
        "Repeat parts A, B & C",
    ],
)
def test_all_parts_are_danced_once_more(said: str) -> None:
    """Whether the order ends with it or a line below the parts says it, it is of all parts and not of the last one."""
    assert _danced(said) == ["A", "B", "C"] * 2
    assert not sc.draft(ROW + said + "\n").open


def test_parts_from_one_on_are_danced_once_more_to_a_wall() -> None:
    """The claim stands behind the last of them."""
    assert _danced("Repeat from B to the front") == ["A", "B", "C", "B", "C", "expect facing front"]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Do A and B again", ["A", "B", "C", "A", "B"]),
        ("Finish with A", ["A", "B", "C", "A"]),
        ("Do A over again", ["A", "B", "C", "A"]),
        ("Do part B over.", ["A", "B", "C", "B"]),
        ("A B C A 1/2B C", ["A", "B", "C", "A", "B, first 4 beats", "C"]),
        ("End on B", ["A", "B", "C", "B"]),
        ("Order: A, B, first 4 of A, C", ["A", "B", "A, first 4 beats", "C"]),
        ("Order: A, B, A (4 beats only), C", ["A", "B", "A, first 4 beats", "C"]),
        ("Dance goes: A twice, B once, C", ["A x2", "B", "C"]),
    ],
)
def test_parts_are_danced_once_more_or_in_part(said: str, wanted: list[str]) -> None:
    """`first 4 of A` is said of the part behind it, and `once` is no change."""
    assert _danced(said) == wanted


@pytest.mark.parametrize("said", ["Third time through skip B", "The last time there is no C", "Repeat from D"])
def test_what_changes_the_order_and_is_not_read_is_open(said: str) -> None:
    """A remark that names a part and leaves it out changes what is danced."""
    assert _danced(said) == ["A", "B", "C"]
    assert any(said in each for each in sc.draft(ROW + said + "\n").open)


def test_all_of_a_part_with_room_for_it_is_danced_again_in_it() -> None:
    """`Repeat all` is of the part whose stated beats its lines fill half."""
    text = sc.draft(ROW.replace("C (8", "C (16") + "Repeat all\n").text

    assert "2 times:" in text.split("part C: 16 beats")[1]


@pytest.mark.parametrize(
    "said",
    [
        "A B A\nB\nTag\nA\nB B\nend - DS DS, stomp L",
        "A B A\nB, Tag\nA\nB\nB\nend - DS DS, stomp L",
        "A, B, A\nB\nTag\nA\nB B\n\nEnding: DS DS, stomp L",
        "Order:\nA B A B\nTag\nA\nB\nB\nEnding: DS DS, stomp L",
    ],
)
def test_an_order_goes_on_with_a_line_for_one_part(said: str) -> None:
    """In the block of lines below one that names several parts a name alone is danced, and heads nothing."""
    made = danced(f"A\n  2 Triples\n\nB\n  4 Basics\n\nTag\n  2 Chains\n\n{said}\n")

    assert ["A", "B", "A", "B", "Tag", "A", "B", "B", "Ending"] == made


@pytest.mark.parametrize("half", ["half a Chorus (just the Chains)", "half the Chorus (the Chains)"])
def test_a_changed_part_on_a_line_of_its_own_ends_no_order(half: str) -> None:
    """It is open at its place, and the parts below it are danced."""
    front = "A\n  2 Triples\n\nChorus\n  4 Chains\n\nHow it goes:\nA, Chorus\nA\n"
    made = sc.draft(f"Quern Lane (clogging)\nwait 8\n\n{front}{half}\nA\nEND: step L, stomp R\n")

    assert made.text.split("\ndance:\n")[1].split("\n")[3] == f"  # half Chorus ({half.split('(')[1]}"
    assert [each.strip() for each in made.text.split("\ndance:\n")[1].split("\n")[4:6]] == ["A", "Ending"]
    assert any("half Chorus" in each for each in made.open)


def test_a_line_that_dances_this_several_times_is_no_order() -> None:
    """`Do this 4 times in all, …, finish at the front` says a repeat of its part, though `a` and `finish` may be called
    so, and the order stands elsewhere."""
    made = sc.draft(
        "Sallow Row (clogging)\nwait 8, left foot lead\n\nPart A (16)\n  1 Rocking Chair, turn 1/4 left (4)\n"
        "  Do this 4 times in all, make a box, finish at the front (12 more)\n\nEnding (4)\n  2 Basics (4)\n\n"
        "Order: A - A - Ending\n"
    )

    assert "dance:\n  A\n  A\n  Ending\n" in made.text
    assert "  4 times:\n    Rocking Chair, turn 1/4 left\n" in made.text
    assert not made.open
