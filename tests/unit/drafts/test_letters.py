"""A routine that a letter tells in sentences: its parts, its times through, its sections, and what stands around them."""

import re

import pytest

import stepcheck as sc
from stepcheck.drafts.letters import written_out

CLOG = "Dear Ann,\n\nThis is our clogging routine, done to any slow reel that somebody plays for us.\n\n"
LINE = "Dear Ann,\n\nThis is our line dance for the fair, 32 counts and 2 walls, for anybody who can walk.\n\n"


def made(text: str, top: str = CLOG) -> sc.Draft:
    """Return the draft of a letter whose routine is told as `text`."""
    return sc.draft(f"{top}{text}\n\nLove to all,\nHettie\n")


def part(draft: sc.Draft, name: str) -> list[str]:
    """Return the lines of a part of a drafted sheet, its head first."""
    return draft.text.partition(f"\npart {name}:")[2].partition("\n\n")[0].split("\n")


def dance(draft: sc.Draft) -> list[str]:
    """Return the lines of the order of a drafted sheet."""
    return draft.text.partition("\ndance:\n")[2].partition("\n\n")[0].replace("  ", "").strip().split("\n")


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("B is two Cowboys", "B"),
        ("Part B is just two Cowboys", "B"),
        ("B, two Cowboys", "B"),
        ("For B do two Cowboys", "B"),
        ("In B take two Cowboys", "B"),
        ("In the B music everyone does two Cowboys", "B"),
        ("Then comes the bridge: two Cowboys", "Bridge"),
        ("After that the bridge, which is two Cowboys", "Bridge"),
        ("After A there is a bridge in which we do two Cowboys", "Bridge"),
        ("The bridge comes next: two Cowboys", "Bridge"),
        ("The second part is two Cowboys", "Second part"),
        ("In the second one we do two Cowboys", "Second part"),
        ("The second is made up of two Cowboys", "Second part"),
        ("The second step is two Cowboys", "Step 2"),
    ],
)
def test_a_sentence_whose_subject_is_a_part_heads_it(said: str, name: str) -> None:
    """However a sentence in the middle of a paragraph names its part, what it tells is danced there and nowhere else."""
    draft = made(f"A is four Triples on the spot. {said}. The chorus has four Chains.")
    assert part(draft, "A")[1:] == ["  Triple x4 (in place)"]
    assert part(draft, name)[1:] == ["  Cowboy x2"]
    assert part(draft, "Chorus")[1:] == ["  Chain x4"]
    assert dance(draft) == ["A", name, "Chorus"]


def test_a_wrapped_sentence_is_one_and_is_called_by_its_lines() -> None:
    """A sentence goes on over its lines; what is open names the one on which it begins, and each line of the source has
    a kind."""
    draft = made(
        "A is four Triples on the spot, and straight after them come two\n"
        "Basics. B is a wibble-wobble of sixteen beats, which Jean knows\n"
        "by heart. C is two Cowboys."
    )
    assert part(draft, "C")[1:] == ["  Cowboy x2"]
    assert any(said.startswith("line 6: ") and "wibble" in said for said in draft.open)
    kinds = {line.line: line.kind for line in draft.lines}
    assert [kinds[at] for at in (5, 6, 7, 9, 10)] == ["steps", "blank", "blank", "remark", "remark"]


def test_what_is_not_understood_is_a_blank_in_its_part() -> None:
    """Words that nobody knows are a blank of the stated length in the part that says them, and the parts beside it are
    read."""
    draft = made(
        "A is two Triples and two Basics. For B do the wibble-wobble, sixteen beats, Jean knows. C is two Chains."
    )
    assert part(draft, "B") == ["", "  ? 16 beats  # The wibble-wobble, sixteen beats."]
    assert any("wibble-wobble" in said for said in draft.open)
    assert (part(draft, "A")[1:], part(draft, "C")[1:]) == (["  Triple x2", "  Basic x2"], ["  Chain x2"])


@pytest.mark.parametrize("said", ["AABB, sixteen beats to each", "four parts, and each of them is sixteen beats"])
def test_a_length_that_is_said_of_every_part_is_that_of_each(said: str) -> None:
    """The length that a letter says of all its parts stands at each of them, and is what an unread one lasts."""
    draft = made(f"We have {said}.\n\nA is four Triples. The break is wibbles all the way. C (8 beats) is two Chains.")
    assert part(draft, "A") == [" 16 beats", "  Triple x4"]
    assert part(draft, "Break") == [" 16 beats  # wibbles all the way", "  ? 16 beats"]
    assert part(draft, "C") == [" 8 beats", "  Chain x2"]


ROUNDS = (
    "First time. A1 is four Triples. A2 is four Fancy Doubles. B1, two Cowboys.\n\n"
    "Second time. A1 is the same as before. A2 is four Chains. B1, four Rocking Chairs."
)


def test_a_dance_told_time_by_time_is_its_parts_in_their_order() -> None:
    """Each time through is parts of its own, called by the time where the first has others; what is the same is danced
    again; a quarter of nothing is lost."""
    draft = made(ROUNDS)
    assert part(draft, "Round 2 A2")[1:] == ["  Chain x4"] and part(draft, "A2")[1:] == ["  Fancy Double x4"]
    assert dance(draft) == ["A1", "A2", "B1", "A1", "Round 2 A2", "Round 2 B1"]
    assert draft.open == ()
    unnamed = made(ROUNDS.removeprefix("First time. "))
    assert dance(unnamed) == dance(draft), "the first time need not be called so"


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Third time is the same as the first, all of it", ["A1", "A2", "B1"]),
        ("Third time is the same as the first but in the very last Cowboy stamp left", ["A1", "A2", "Round 3 B1"]),
        ("Third time is the same as the first, but with no turn in A2", ["A1", "Round 3 A2", "B1"]),
        ("Third time is the same as the first, but clap", ["Round 3 A1", "Round 3 A2", "Round 3 B1"]),
    ],
)
def test_a_time_like_another_is_that_and_what_is_changed_is_a_blank(said: str, wanted: list[str]) -> None:
    """A time through that is another one dances its parts; a change makes a blank of the part that it names, of the last
    for what is last, else of all: none is danced as if it were not changed."""
    draft = made(f"{ROUNDS}\n\n{said}.")
    assert dance(draft)[6:] == wanted
    for name in wanted:
        if name.startswith("Round"):
            assert "  ? " in "\n".join(part(draft, name)) and any(
                said.split("first")[1][2:9] in each for each in draft.open
            )


def test_a_time_of_one_part_is_no_time_through_the_dance() -> None:
    """`The second time, turn left on each` says something of a part, and begins no round."""
    draft = made("A is four Triples. The second time, turn left on each of them. B is two Cowboys.")
    assert "Round 2" not in draft.text and dance(draft) == ["A", "B"]
    assert any("second time" in said for said in draft.open)


def test_parts_again_and_the_end_stand_where_they_are_told() -> None:
    """`Then we do the verse again, and the chorus again` dances both there; what a letter starts and ends with are parts."""
    draft = made(
        "We start with eight Basics. Then comes the verse: four Triples. After that the chorus, which is two Cowboys. "
        "Then we do the verse again, and the chorus again and end with a Chain."
    )
    assert dance(draft) == ["Opening part", "Verse", "Chorus", "Verse", "Chorus", "Ending"]
    assert part(draft, "Ending")[1:] == ["  Chain"] and part(draft, "Opening part")[1:] == ["  Basic x8"]
    inside = made("The verse is four Triples. Finish with two Basics. The chorus is two Cowboys. Finish with a Chain.")
    assert dance(inside) == ["Verse", "Chorus"], "within a part it is the part that is finished so"
    apart = made(
        "The verse is four Triples. The chorus is two Cowboys.\n\nWe do verse, chorus, verse.\n\nEnd with a Chain."
    )
    assert dance(apart) == ["Verse", "Chorus", "Verse", "Ending"]
    named = made("The verse is four Triples. The chorus is two Cowboys. The verse again. Finish with the chorus twice.")
    assert dance(named) == ["Verse", "Chorus", "Verse", "Chorus x2"]


def test_a_letter_begins_with_a_foot_and_no_part() -> None:
    """`We start with the left foot` is no dance."""
    draft = made("We start with the left foot. A is four Triples. B is two Cowboys.")
    assert "Opening" not in draft.text and "lead: left" in draft.text and dance(draft) == ["A", "B"]


def test_a_clause_that_is_a_sentence_stands_alone() -> None:
    """What is danced again, a purpose, and footwork that is explained, within a sentence, take nothing of its cues."""
    draft = made(
        "A is two Triples and two Basics, and do all of that again so as to warm up. B is four Triples; that's "
        "double-step three times and a rock-step. C is two Push Offs, and by that I mean double-step and three rock-steps."
    )
    assert part(draft, "A")[1:] == ["  2 times:  # Do all of that again.", "    Triple x2", "    Basic x2"]
    assert "(so as to warm up)" in draft.text
    assert part(draft, "B")[1:] == ["  Triple x4"] and part(draft, "C")[1:] == ["  Push-off x2"]
    assert "figures:" not in draft.text and draft.open == ()
    kept = made("A is two Triples, so that you turn a quarter left. B is two Cowboys.")
    assert "(so that" not in kept.text
    assert "turn" in "\n".join(kept.open) or "turn 1/4 left" in kept.text, "a purpose that says a turn is none"


def test_who_writes_is_no_dance() -> None:
    """What closes a letter, and who signs it, is below the dance; nothing of it is a cue, or open."""
    draft = made("A is two Triples. B is two Cowboys.")
    assert draft.text.endswith("# Love to all,\n# Hettie\n") and draft.open == ()
    assert part(draft, "B")[1:] == ["  Cowboy x2"]


@pytest.mark.parametrize(
    "text",
    [
        "A is four Triples on the spot and then two Basics.\n\nB is two Cowboys.",
        "A: 4 Triples\nB: 2 Cowboys. Chorus: 2 Chains\n- A, B, A",
    ],
)
def test_other_descriptions_stand_as_they_are(text: str) -> None:
    """A sheet whose parts have lines, or paragraphs, of their own is read line by line: each line is as it stands."""
    draft = sc.draft(f"Weir Reel (clogging)\n\n{text}\n")
    assert "Triple x4" in draft.text and "Cowboy x2" in draft.text
    assert [line.text for line in draft.lines] == [
        line for line in f"Weir Reel (clogging)\n\n{text}".split("\n") if line
    ]


def test_sections_of_a_line_dance_are_told_in_sentences() -> None:
    """The eights of a line dance that a paragraph tells have their counts, and their steps; the song on two lines is
    one."""
    draft = made(
        "The music is Slow Water by the Reed Sisters.\n\n"
        "The first eight is a vine right with a touch and a vine left with a touch. In the second eight walk forward "
        "right, left, right, kick left, and walk back left, right, left, touch right. The third eight is two rocking "
        "chairs on the right foot. For the last eight do a jazz box with a quarter turn right, and then a jazz box.",
        LINE,
    )
    assert "song: Slow Water\nartist: the Reed Sisters" in draft.text
    lines = [line.strip() for line in draft.text.split("\n")]
    assert "S(R) S(L) S(R) K(L) S(L) S(R) S(L) TCH(R) (forward, back)" in lines
    assert [line for line in lines if line.startswith("Jazz")] == ["Jazz Box, turn 1/4 right", "Jazz Box"]
    assert "Rocking Chair x2, right foot" in lines


def test_a_paragraph_that_is_one_section_is_headed_by_its_eight() -> None:
    """A paragraph of one section stays whole, with its head; a tag at the end of a wall is none."""
    draft = made(
        "The first eight is a vine right with a touch and a vine left with a touch.\n\n"
        "For the second eight do a jazz box with a quarter turn right, and then a jazz box on the spot.\n\n"
        "There is a tag at the end of wall 2, four counts, sway right, sway left, sway right, sway left.",
        LINE,
    )
    assert "counts 9-16:" in draft.text and "Jazz Box, turn 1/4 right" in draft.text
    assert part(draft, "Tag")[1:] == ["  S(R) S(L) S(R) S(L) (sway, sway, sway, sway)"]


def test_the_check_finds_the_line_of_the_letter() -> None:
    """A line of the sheet comes from the line of the letter on which its sentence begins."""
    draft = made(
        "A is four Triples on the spot and nothing else at all. B is two\n"
        "Cowboys. The chorus has four Chains, as many as you like of\n"
        "them. The bridge is two Basics."
    )
    lines = draft.text.split("\n")
    assert draft.origins[lines.index("  Cowboy x2")] == 5
    assert draft.origins[lines.index("  Basic x2")] == 7


@pytest.mark.parametrize("word", ["We call it", "The name of it is", "You asked me how"])
def test_the_title_stands_in_a_sentence(word: str) -> None:
    """What a letter calls the dance is its title."""
    goes = " goes" if word.startswith("You") else ""
    draft = sc.draft(f"Dear Ann,\n\nA clogging one at last. {word} Eel Trap{goes}.\n\nA: 4 Triples\nB: 2 Cowboys\n")
    assert "routine: Eel Trap" in draft.text


def test_dancers_past_a_level_have_no_level() -> None:
    """`anyone past the beginner stage` is no dance for beginners."""
    draft = sc.draft("Eel Trap (clogging)\nFor anyone past the beginner stage\n\nA: 4 Triples\nB: 2 Cowboys\n")
    assert "level" not in draft.text.partition("\n\n")[0].replace("not used", "").replace("beginner stage", "")


@pytest.mark.parametrize(
    ("cue", "wanted"),
    [
        ("four Triples, two going forward and two coming back", "Triple x4 (2 forward, 2 back)"),
        ("four Rocking Chairs, all off the left foot", "Rocking Chair x4, left foot"),
        ("eight plain Basics", "Basic x8"),
    ],
)
def test_cues_in_a_sentence_say_the_way_and_the_foot(cue: str, wanted: str) -> None:
    """Words that a teacher has for a way and a foot in a sentence are those of a sheet."""
    assert f"\n  {wanted}" in sc.draft(f"Eel Trap (clogging)\n\nA: {cue}\nB: 2 Cowboys\n").text


def test_a_part_danced_twice_more_is_danced_twice() -> None:
    """`Chorus twice` below the cues of another part dances it twice, not once."""
    draft = sc.draft(
        "Eel Trap (clogging)\n\nVerse:\n4 Triples\n\nChorus:\n4 Basics\n\nBridge:\n2 Chains\nChorus twice\n"
    )
    assert dance(draft) == ["Verse", "Chorus", "Bridge", "Chorus x2"]


def test_the_last_beats_of_a_change_are_no_length_of_its_part() -> None:
    """`same as A, but stamp on the last two beats` is as long as A."""
    draft = sc.draft(
        "Eel Trap (clogging)\n\nA: 4 Triples\nB: same as A, but stamp on the last two beats\nC: 2 Chains\n"
    )
    assert part(draft, "B")[1:] == ["  ? 16 beats  # same as A, but stamp on the last 2 beats"]


UNREAD = "apple|quiet|wibbles|favourite"
DANCED = "A is four Triples on the spot. B is two Cowboys."


def lines_of(*texts: str, lined: bool = False) -> list[str]:
    """Return the lines that a text is written out as, where all but `apple`, `quiet` and `wibbles` is of a dance."""
    return [told.text for told in written_out([*texts], lambda said: not re.search(UNREAD, said), lined)[0]]


@pytest.mark.parametrize(
    "texts",
    [
        [
            "- A is four Triples on the spot and then it is two Basics. B is",
            "  two Cowboys, and that is all of it that there is.",
        ],
        ["A is 4 Triples. B is", "2 Cowboys. C is 2", "Chains on the spot"],
        [
            "A is 4 Triples.  B is 2 Cowboys.",
            "",
            "C    2 Chains   left   and then clap with both hands    2",
            "D    2 Chains   left",
        ],
        ["A is four Triples on the spot. B is two Cowboys and a Chain"],
        ["A is four Triples. The break was fun for two of us, I think."],
        ["A is four Triples. A2 and B2 are for two of us, I think."],
        ["A is four Triples. B, A, B again is how it goes."],
        ["A is for apple. B is four Triples, says my aunt."],
        [
            "A is four Triples on the spot and then two Basics and that is it.",
            "",
            "B is two Cowboys and nothing else, I think.",
        ],
        ["The break is the bit that everybody gets wrong. We all know that."],
        [DANCED, "", *["2 Triples and a clap, 2 Basics"] * 9],
    ],
)
def test_what_is_no_letter_stands_as_it_is(texts: list[str]) -> None:
    """Lists, short lines, columns, paragraphs of one part each, and a text of which most is a sheet, are read as before."""
    assert lines_of(*texts) == texts


def test_a_letter_keeps_its_greeting_and_its_brackets() -> None:
    """A line of a few words is no sentence; a full stop in a bracket ends none; what opens a letter doesn't close it."""
    told = lines_of(
        "Dear Ann,", "", "See you on Saturday I hope, or on Sunday.", "", f"{DANCED[:-1]} (as Jo. Ours is slower)."
    )
    assert told[0] == "Dear Ann," and told[2] == "See you on Saturday I hope, or on Sunday."
    assert told[-1] == "Two Cowboys (as Jo. Ours is slower)."


def test_a_paragraph_of_a_line_dance_that_tells_one_section_stays_whole() -> None:
    """Its lines are one with their head, or stay where they state the length of a part, or tell none."""
    first = "The first eight is two vines. The second eight is two jazz boxes. We start with a vine, mind."
    tag = "The tag is at the end of wall 2, sway right, sway left. Two counts, and then begin again."
    part_b = "Part B is 16 counts and always happens at the front. Sway right, left, right, left."
    third = ["For the third eight do two rocking chairs, one on the", "right foot. One on the left."]
    told = lines_of(first, "", tag, "", part_b, "", "And nothing else. Have a go at it.", "", *third, lined=True)
    assert [each for each in told if each] == [
        "First eight: two vines.",
        "Second eight: two jazz boxes.",
        "A vine, mind.",
        tag,
        part_b,
        "And nothing else. Have a go at it.",
        "Third eight: two rocking chairs, one on the right foot. One on the left.",
    ]


def test_a_part_that_is_not_read_is_one_beside_those_that_are() -> None:
    """A letter's part that nobody can read has its head; what is said of a break without its length is none."""
    told = lines_of("A is four Triples. The break is my favourite. B is wibbles. The tag is eight beats and all quiet.")
    assert [each for each in told if each] == [
        "A:",
        "Four Triples.",
        "The break is my favourite.",
        "B: wibbles",
        "Tag (8): quiet",
    ]


def test_the_first_of_two_as_is_a1() -> None:
    """`The A music` is A1 where the second A is told; beats of each figure are no length of each part."""
    told = lines_of("The A music is two Triples, 4 beats each. The second A is two Chains. The break is wibbles.")
    assert [each for each in told if each] == [
        "A1:",
        "Two Triples, 4 beats each.",
        "A2:",
        "Two Chains.",
        "The break is wibbles.",
    ]


FIRST = "A is four Triples. B is two Cowboys."


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (
            "Second time, A is four Chains and B is the same as before. The ending is a Stomp.",
            ["A", "B", "Round 2 A", "B"],
        ),
        ("Third time is the same as the first.", ["A", "B"]),  # no second is told
        ("Second time is the same as the third.", ["A", "B"]),
        ("Second time, A is the same but turning left. B is four Chains.", ["A", "B", "Round 2 A", "Round 2 B"]),
    ],
)
def test_only_a_time_that_follows_is_one_and_only_a_part_without_a_change_is_danced_again(
    said: str, wanted: list[str]
) -> None:
    """The order has the times that are told, each part of a later one by its own name if it is told anew."""
    assert dance(made(f"{FIRST} {said}"))[: len(wanted)] == wanted


def test_an_ending_told_behind_the_times_is_the_ending() -> None:
    """Only parts of the first time have a second one."""
    draft = made(f"{FIRST} Second time, A is four Chains. B is the same as before. The ending is a Stomp.")
    assert "\npart Ending" in draft.text and "Round 2 Ending" not in draft.text


def test_the_order_stands_below_the_title() -> None:
    """The first line of a letter that is told time by time is still its title."""
    draft = made(
        f"{FIRST} Second time, A is four Chains. B is the same as before.", "BARGE POLE\n\nFor clogging shoes\n\n"
    )
    assert "routine: BARGE POLE" in draft.text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("B is a Vine to the left, eight beats, and one to the right, eight beats", "? 8 beats,? 8 beats"),
        ("B is four Rocking Wibbles and a Wobble", "? 16 beats"),
    ],
)
def test_beats_in_a_part_whose_length_is_known_are_those_of_their_cues(said: str, wanted: str) -> None:
    """Each of them is a blank of its beats, and what states none one of the part's."""
    draft = made(f"We do it AB, sixteen beats to each. A is four Triples. {said}.")
    lines = part(draft, "B")
    assert lines[0].startswith(" 16 beats")
    assert ",".join(line.split("  #")[0].strip() for line in lines[1:]) == wanted
