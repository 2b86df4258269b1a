"""Parts that are told by letters, by Roman numbers, or once more in full."""

import pytest

import stepcheck as sc

FRONT = "Osier Row (clogging)\nwait 8, left foot lead\nEach measure has two beats.\n\n"


def parts(said: str) -> list[str]:
    """Return the lines of the draft from its first part on, without remarks."""
    text = sc.draft(FRONT + said).text
    lines = [line.split("  #")[0].strip() for line in text[text.index("part ") :].splitlines()]
    return [line for line in lines if line]


@pytest.mark.parametrize("again", ["do a thru c two times", "repeat a-c"])
def test_small_letters_count_the_lines_of_a_part(again: str) -> None:
    """A line that names the letters of lines dances these again."""
    made = parts(f"A\n a. Triple\n b. Basic\n c. Fancy Double\n {again}\n")

    assert made == ["part A:", *["Triple", "Basic", "Fancy Double"] * 2, "dance:", "A"]


def test_roman_numbers_count_the_parts() -> None:
    """`II. SECOND FIGURE -- 8 beats` is the head of a part, by whose name the order calls it."""
    made = parts(
        "I. ON THE BANK -- 8 beats\n 2 Triples\nII. CHORUS -- 8 beats\n 4 Basics\n\nOrder:\nOn the Bank\nChorus\n"
    )

    assert made == [
        "part On The Bank: 8 beats",
        "Triple x2",
        "part Chorus: 8 beats",
        "Basic x4",
        "dance:",
        "On The Bank",
        "Chorus",
    ]


def test_steps_written_out_once_more_are_those_of_their_part() -> None:
    """A second telling of a part is that part if its steps are the same, else another one; never more of the part
    before it."""
    same = parts("A\n2 Triples\n\nB\n4 Basics\n\nA\n2 Triples\n")
    other = parts("A\n2 Triples\n\nB\n4 Basics\n\nA\nFancy Double\n")

    assert same == ["part A:", "Triple x2", "part B:", "Basic x4", "dance:", "A", "B", "A"]
    assert other[-6:] == ["part A again:", "Fancy Double", "dance:", "A", "B", "A again"]


@pytest.mark.parametrize("said", ["same as", "as", "= bars"])
def test_measures_are_danced_again_by_their_numbers(said: str) -> None:
    """`m. 5-8  same as 1-4` dances the lines of these measures, not of these beats."""
    made = parts(f"A\n m. 1-2 Triple\n m. 3-4 2 Basics\n m. 5-8 {said} 1-4\n")

    assert made[:5] == ["part A:", "Triple", "Basic x2", "Triple", "Basic x2"]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("DS x4, RS x2", ["DS DS DS DS RS RS"]),
        ("[HEEL-S HEEL-S] L R", ["H(L) S H S"]),
        ("Vine left: ds ds-x ds rs", ["Vine, left foot"]),
        ("Triple, DS DS DS RS", ["Triple"]),
        ("Triple, DS RS DS RS", []),
        ("Basic, Toe heel toe heel", []),
        ("Basic, heel", ["? 2 beats"]),
    ],
)
def test_no_step_behind_another_is_dropped(line: str, wanted: list[str]) -> None:
    """Steps behind a figure spell it if they are its own; others are danced or open, never lost."""
    made = sc.draft(f"{FRONT}A\n{line}\n4 Basics\n")

    assert parts(f"A\n{line}\n4 Basics\n")[1:-3] == wanted
    assert any(each.startswith("line 6") for each in made.open) == (not wanted or "?" in wanted[0])


def test_a_part_of_the_order_that_no_line_tells_is_named_open() -> None:
    """`Bridge, twice` of which nothing is told stays in the dance, and is open."""
    made = sc.draft(f"{FRONT}A\n2 Triples\n\nB\n4 Basics\n\nOrder:\nA\nB\nBridge, twice\n")

    assert "Bridge x2" in made.text
    assert any("Bridge" in each for each in made.open)


def test_an_order_calls_a_part_by_its_first_word() -> None:
    """`Porch` is the part `Porch Step`, if no other begins so."""
    made = parts("** PORCH STEP **\n2 Triples\n\n** SWING **\n4 Basics\n\nOrder: Porch, Swing, Porch\n")

    assert made[-4:] == ["dance:", "PORCH STEP", "SWING", "PORCH STEP"]


def test_a_turn_in_all_is_shared_among_all_times() -> None:
    """`4 Basics, turn 1/2 L in all` turns an eighth on each."""
    assert parts("A\n4 Basics, turn 1/2 L in all (8)\n")[1] == "Basic x4, turn 1/8 left"


def test_double_steps_in_words_are_those_of_cloggers() -> None:
    """`dbl-step` says the tradition as the code for it does."""
    said = "part a\ndbl-step dbl-step dbl-step rock-step\ndbl-step rock-step\ndbl-step rock-step\n"

    assert "book: clogging\n" in sc.draft(f"reed row\nleft foot\n\n{said}").text


def test_numbers_before_how_often_count_the_lines() -> None:
    """`2 4 Basics` is the second line, which `repeat 1-2` dances again."""
    made = parts("A\n1 2 Triples\n2 4 Basics\n3 1 Cowboy\nrepeat 1-2\n")

    assert made[:6] == ["part A:", "Triple x2", "Basic x4", "Cowboy", "Triple x2", "Basic x4"]


def test_the_other_foot_is_one_that_is_free() -> None:
    """`opp` behind two Triples, after which the foot is free that began them, is open; behind one it is the other."""
    assert (
        "Triple x2" == parts("A\n2 Triples\nopp\n4 Basics\n")[1] and "Triple x2" not in parts("A\n2 Triples\nopp\n")[2:]
    )
    assert ["Triple", "Triple"] == parts("A\nTriple\nopp\n")[1:3]
    assert ["DS RS", "DS RS"] == parts("A\nDS RS\nopp\n")[1:3]
    assert sc.draft(f"{FRONT}A\nDS RS DS RS\nopp\n").open


@pytest.mark.parametrize(
    ("line", "wanted"),
    [("Basic (move left, then right)", "Basic (to the left, to the right)"), ("step-together x2", "S S S S")],
)
def test_a_way_is_no_foot_and_a_hyphen_joins_two_steps(line: str, wanted: str) -> None:
    """What dancers move toward is said beside the figure, and `step-together` is two steps."""
    assert wanted == parts(f"A\n{line}\n")[1]


def test_ordinals_with_a_length_are_heads() -> None:
    """`1ST 32 COUNTS` begins the first part, `2ND 32 COUNTS` the second."""
    made = parts("1ST 32 COUNTS\n8 Triples\n\n2ND 32 COUNTS\n16 Basics\n")

    assert ["part Part 1: 32 beats", "Triple x8", "part Part 2: 32 beats", "Basic x16"] == made[:4]


@pytest.mark.parametrize(
    ("first", "second", "names"),
    [
        ("The First Part (the verse), 8 beats", "The Second Part, 8 beats", ("First Part", "Second Part")),
        ("The Verse, 8 beats", "The Refrain, 8 beats", ("Verse", "Refrain")),
        ("1. Part (Verse): 8 counts", "2. Part (Chorus): 8 counts", ("Part 1", "Part 2")),
        ("1st A", "2nd A", ("1st A", "2nd A")),
        ("Meadow, 8 beats", "Hill Top, 8 beats", ("Meadow", "Hill Top")),
    ],
)
def test_heads_by_ordinals_articles_and_names_of_their_own(first: str, second: str, names: tuple[str, str]) -> None:
    """What stands alone above lines, with an ordinal or its length, begins a part, and is no blank of that length."""
    made = parts(f"{first}\n2 Triples\n\n{second}\n4 Basics\n\nOrder: {names[0]}, {names[1]}, {names[0]}\n")

    heads = [line.removeprefix("part ").split(":")[0] for line in made if line.startswith("part ")]
    assert [*names] == heads and ["dance:", names[0], names[1], names[0]] == made[-4:]
    assert not any(line.startswith("?") for line in made)


@pytest.mark.parametrize("line", ["{DS DS DS RS} twice + {DS RS} four times", "2x Triple -> nice and light"])
def test_signs_around_and_behind_steps_change_nothing(line: str) -> None:
    """Braces around a row and an arrow before a remark are no words."""
    assert not any(line.startswith("?") for line in parts(f"A\n{line}\n"))


def test_ditto_may_be_misspelt() -> None:
    """`dito on R` is the line above once more."""
    assert ["Triple, left foot", "Triple, right foot"] == parts("A\nTriple L\ndito on R\n")[1:3]


def test_the_song_is_the_one_that_is_called_as_the_dance() -> None:
    """Of `music: X - Y` the one that the title repeats is the song."""
    said = sc.draft(
        "Osier Row\nmusic: Fern Ridge Boys - Osier Row (120 bpm)\nwait 8\n\nA\n2 Triples\n4 Basics DS RS\n"
    ).text

    assert "song: Osier Row" in said and "artist: Fern Ridge Boys" in said


def test_a_call_in_quotes_is_no_song() -> None:
    """`wait for "hey!"` names no music."""
    assert "song:" not in sc.draft('Osier Row (clogging)\nwait for "hey!"\n\nA\n2 Triples\n').text


@pytest.mark.parametrize(
    "head",
    ['"Round and round..."', '"Down by the weir..."', "Banjo bit, 16 counts:", "Slow part (she sings):", "[B] 8 bars"],
)
def test_heads_in_quotes_brackets_and_words(head: str) -> None:
    """A line of the song, a name with its length or `part`, or a letter in brackets begins a part."""
    made = parts(f"Intro: wait 8\n\nA\n2 Triples\n\n{head}\n4 Basics\n")

    assert ["part A:", "Triple x2"] == made[:2] and made[2].startswith("part ") and made[2] != "part A:"
    assert made[3].startswith("Basic x4")


def test_what_the_band_plays_first_is_the_wait() -> None:
    """`Intro: fiddle plays 16 counts` is how long the dancers wait."""
    said = sc.draft("Osier Row (clogging)\n\nIntro: fiddle plays 16 counts\n\nA\n2 Triples\n").text

    assert "wait: 16 beats" in said and "part Intro" not in said


def test_a_bracket_of_prose_names_no_part_of_the_order() -> None:
    """`A B C (last bar of C: stop)` dances C once, and what the bracket says of it is open."""
    said = sc.draft(
        f"{FRONT}A\n2 Triples\n\nB\n4 Basics\n\nC\nCharleston\n\nForm: A B / A C / A B (last bar of B: STO and stop)\n"
    )

    assert said.text.count("\n  A\n") == 3 and said.text.count("\n  B\n") == 1 and said.text.count("\n  C\n") == 1
    assert any("last bar" in one for one in said.open)


def test_feet_in_turn_are_those_of_figures_that_turn_in_turn() -> None:
    """`2 Triples (R then L, first turns 1/4 R, 2nd turns 1/2 L)` never begins twice on one foot."""
    made = parts("A\n2 Triples (R then L, first turns 1/4 R, 2nd turns 1/2 L)\n")

    assert ["Triple, right foot, turn 1/4 right", "Triple, turn 1/2 left"] == made[1:3]


WRAPPED = """Quern Lane
clogging

First part (the Plow)
Do four basics, left, right, left, right. Then do two chains, turning a
quarter left on each.
"""


def test_running_text_goes_on_in_the_next_line() -> None:
    """A full line without an end is one with the line below that begins in small letters."""
    made = sc.draft(WRAPPED)
    apart = sc.draft(WRAPPED.replace("\nquarter", "\n\nquarter"))

    assert "  Basic x4, left foot\n  Chain x2, turn 1/4 left\n" in made.text
    assert "Chain x2, turn 1/4 left" not in apart.text and apart.open


@pytest.mark.parametrize(
    ("said", "opened"),
    [
        ("A basic is a double step and a rock step.", 0),
        ("The Basic has a double step and a rock step", 0),
        ("A push-off is a double step and a stomp.", 1),
        ("A gallop is a double step and three rock steps, going sideways.", 1),
    ],
)
def test_a_sentence_that_explains_a_figure_is_no_dance(said: str, opened: int) -> None:
    """`A Basic is a double step and a rock step` adds nothing to a part; other footwork than the figure's is open."""
    made = sc.draft(f"Quern Lane\nclogging\n\nA\n4 Basics. {said}\nTriple\n")

    assert [each.strip() for each in made.text.split("part A:\n")[1].splitlines()[:2]] == ["Basic x4", "Triple"]
    assert len(made.open) == opened


@pytest.mark.parametrize(
    ("said", "danced"),
    [
        ("2 Triples (8), chain left and chain right (8).", ["Triple x2", "Chain, left foot", "Chain, right foot"]),
        ("Basic (2), 2 Chains, Fancy Double (12)", ["Basic", "Chain x2", "Fancy Double"]),
    ],
)
def test_beats_behind_several_cues_are_those_since_the_last_beats(said: str, danced: list[str]) -> None:
    """`X (8), Y and Z (8)` are 16 beats, whichever cue stands first."""
    made = sc.draft(f"Quern Lane\nclogging\n\nA\n{said}\n")

    assert [each.strip() for each in made.text.split("part A:\n")[1].splitlines()[: len(danced)]] == danced
    assert not made.open


def test_the_length_of_the_last_sentence_is_not_that_of_its_part() -> None:
    """`Verse. … (8 beats). … (8 beats)` states no length of the verse."""
    made = sc.draft("Quern Lane\nclogging\n\nVerse. Dance two triples (8 beats). Then four basics (8 beats).\n")

    assert "part Verse:\n" in made.text and not made.open


def test_a_line_that_is_danced_again_and_not_read_is_a_blank_of_its_beats() -> None:
    """Where a cue of such a line is not understood all of it is the blank."""
    made = sc.draft("Quern Lane\nclogging\n\nA\n4 Basics\nWobble L, step L, then do that again (8)\n")

    assert "  Basic x4\n  ? 8 beats  # Wobble L, step L, then do that again (8)\n" in made.text


def test_a_row_of_codes_is_no_order_though_a_code_is_called_like_a_part() -> None:
    """`DS B(xib) B(ots)` is footwork also in a sheet with a part B."""
    row = "Two Joeys (8)\n  DS  B(xib)  B(ots)  B(xib)  B(ots)  B(xib)  S\n"
    made = sc.draft(f"Quern Lane\nclogging\n\nA\n{row}\nB\n4 Basics\n\nOrder: A B A\n")

    assert made.text.split("dance:\n")[1].split() == ["A", "B", "A"]


def test_beats_behind_steps_in_words_are_of_all_that_come_to_them() -> None:
    """A slur and the step on it are one beat, so that four beats behind a slur vine in words are those of the whole."""
    slur = "Double step L, slur the R behind and step on it, double step L, rock step, 4 beats, moving left."
    made = sc.draft(f"Quern Lane\nclogging\n\nA: 2 Triples\n{slur}\n")

    assert made.open == ()
    assert "  DS(L) SLR(R) S DS(L) RS (behind, to the left)\n" in made.text
