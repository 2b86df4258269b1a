"""Sentences and lines behind a cue that are marks of it: how often, how it turns, on which foot, where it goes."""

import pytest

import stepcheck as sc

FRONT = "Quern Lane (clogging)\nwait 8, left foot lead\n\n"


def part(said: str) -> list[str]:
    """Return the lines of the first part of the draft, without remarks."""
    text = sc.draft(FRONT + said).text
    lines = [line.split("  #")[0].strip() for line in text.partition("\npart ")[2].splitlines()[1:]]
    return [line for line in lines[: lines.index("")] if line]


@pytest.mark.parametrize("said", ["Two of these.", "Dance two of them.", "Do 2 of those."])
def test_a_sentence_says_how_often_the_cue_before_it_is_danced(said: str) -> None:
    """`Fancy Double. Two of these.` is danced twice."""
    assert part(f"A\nFancy Double. {said}\n4 Basics\n") == ["Fancy Double x2", "Basic x4"]


def test_a_sentence_says_how_often_and_where_the_row_before_it_goes() -> None:
    """The number and the directions of a sentence are those of the row that stands before it; numbers of which each has
    a direction and which come to that number are where it goes."""
    said = "A\nDouble step, rock step. Dance eight of them: four moving forward, and four moving back.\n"

    assert part(said) == ["DS RS DS RS DS RS DS RS DS RS DS RS DS RS DS RS (4 forward, 4 back)"]


@pytest.mark.parametrize("said", ["(4 fwd, 4 bk)", "(4 FWD 4 BACK)", "- 4 forward and 4 back"])
def test_numbers_with_directions_that_come_to_the_number_of_the_cue_say_where_it_goes(said: str) -> None:
    """`8 Basics (4 fwd, 4 back)` is eight Basics; other sums are in doubt."""
    assert part(f"A\n8 Basics {said}\n2 Triples\n") == ["Basic x8 (4 forward, 4 back)", "Triple x2"]
    assert part(f"A\n8 Basics {said.replace('4', '3')}\n2 Triples\n")[0].startswith("?")


def test_two_in_front_of_a_way_is_a_number() -> None:
    """`(2 fwd, 2 back)` is no `to the back`."""
    assert part("A\n4 Basics (2 fwd, 2 back)\n2 Triples\n") == ["Basic x4 (2 forward, 2 back)", "Triple x2"]


def test_a_turn_in_a_sentence_of_its_own_is_the_turn_of_the_cue_before_it() -> None:
    """`2 Rocking Chairs. Turn a quarter to the left on each one.`"""
    made = part("A\n2 Rocking Chairs. Turn a quarter to the left on each one. (8 beats)\n4 Basics\n")

    assert made == ["Rocking Chair x2, turn 1/4 left", "Basic x4"]


@pytest.mark.parametrize(
    "below, marks",
    [
        ("          move forward", " (forward)"),
        ("          moving to the left", " (to the left)"),
        ("          turn 1/4 left", ", turn 1/4 left"),
        ("          right foot", ", right foot"),
    ],
)
def test_a_line_of_marks_under_a_row_is_of_its_cue(below: str, marks: str) -> None:
    """A foot, a turn or a direction alone on the line below a cue is that of the cue."""
    made = part(f"A\n 1 Triple    DS DS DS RS\n{below}\n 2 Basics    DS RS\n")

    assert made == ["Triple" + marks, "Basic x2"]


def test_what_is_no_mark_stays_apart() -> None:
    """Talk behind a cue is a remark, and a turn behind several cues is open."""
    made = sc.draft(f"{FRONT}A\nTriple. Just stand there and get comfy.\nTriple, 2 Basics. Turn 1/4 left.\n")

    assert "  Triple\n" in made.text
    assert "Just stand there" not in made.text.partition("part A")[2].partition("\n\n")[0]
    assert any("Turn 1/4 left" in each for each in made.open)


@pytest.mark.parametrize("sign", [" - ", " / ", "; "])
def test_a_comma_gives_its_words_to_one_of_cues_that_another_sign_parts(sign: str) -> None:
    """`2 Charlestons - 4 Basics, full turn right`: the Basics turn; between commas it would be open which do."""
    assert part(f"A (16 beats)\n2 Charlestons{sign}4 Basics, full turn right\n") == [
        "Charleston x2",
        "Basic x4, turn 1/4 right",
    ]
    assert part(f"A (8 beats)\nTriple{sign}Triple, turn 1/2 left\n") == ["Triple", "Triple, turn 1/2 left"]
    assert part(f"A (8 beats)\nTriple{sign}Triple, turn 1/2 left on each\n") == ["Triple, turn 1/2 left"] * 2
    assert part("A (8 beats)\nTriple, Triple, turn 1/2 left\n")[0].startswith("?")


def test_words_in_columns_are_steps_each() -> None:
    """`step  step  step  clap` is four beats, however wide the spaces are."""
    assert part("Tag: step  step  step  clap\n") == ["S S S CLAP"]


def test_a_row_of_several_is_named_by_its_number() -> None:
    """`DS RS DS RS   two Basics` is two Basics and no other Basic."""
    made = part("A\n[1-4]     DS RS DS RS      two Basics, L then R. Just stand there\n[5-8]     2 Basics\n")

    assert made == ["Basic x2, left foot", "Basic x2"]
    assert "Basic: DS RS\n" in sc.draft(f"{FRONT}A\n[1-4]     DS RS DS RS      two Basics, L then R\n2 Basics\n").text


@pytest.mark.parametrize("behind", ["stomp with the L", "stomp with your left foot"])
def test_a_step_in_words_behind_a_full_row_is_one_of_its_steps(behind: str) -> None:
    """Where the row alone has the stated beats, a word behind it that names its first step says its foot."""
    assert part(f"A\n1-4     STO DS DS RS      {behind}\n5-8     2 Basics\n")[0].startswith("STO(L) DS DS RS")


def test_the_beats_of_a_line_are_those_of_all_its_sentences() -> None:
    """A line that dances what it says again, and isn't read, is a blank of just its beats."""
    said = "A\nRocking Chair: double step left, brush the right heel while you lift, rock left, step right. Do four of these, turning a quarter to the left on each brush. (16 beats)\n"
    made = part(f"{said}4 Basics\n")

    assert made[-1] == "Basic x4"
    assert sum(int(line.split()[1]) for line in made[:-1]) == 16


@pytest.mark.parametrize(
    "said", ["That's a Triple.", "This is the Triple, and takes four beats.", "It is called a Triple.", "(The Triple.)"]
)
def test_a_sentence_says_what_the_row_before_it_is_called(said: str) -> None:
    """`DS DS DS RS. That's a Triple.` is danced once; a name that the row doesn't spell is open."""
    assert part(f"A\n2 Cowboys\nDS DS DS RS. {said}\n2 Basics\n")[1:] in (
        ["Triple (Triple)", "Basic x2"],
        ["Triple", "Basic x2"],
    )
    other = sc.draft(f"{FRONT}A\n2 Cowboys\nDS DS DS RS. {said.replace('Triple', 'Charleston')}\n2 Basics\n")
    assert "\n  Charleston\n" not in other.text or "Charleston: DS DS DS RS" in other.text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1 Cowboy (up on 1-4, back on 5-8)", ["Cowboy (up, back)"]),
        ("2 Triples (1st one full turn L, 2nd one clap)", ["Triple x2, turn full left on 1st (on the 2nd, clap)"]),
        ("[8]    DS RS x 4    four Basics. Stay put if you like", ["Basic x4"]),
        ("1 Stomp   Sto   (hands out. Hold till the banjo quits)", ["Stomp"]),
        ("Stomp Double, else 4 Basics", ["Stomp Double", "? 8 beats"]),
    ],
)
def test_brackets_and_second_names_say_no_other_dance(said: str, wanted: list[str]) -> None:
    """On which of its beats a figure goes where, what its second time is, and talk change nothing; what is danced else
    is a blank."""
    assert [each.split(" (hands")[0] for each in part(f"A\n{said}\n")] == wanted


def test_feet_and_beats_of_each_time_stand_under_a_row() -> None:
    """`L R L RL  (4 ea, L & R)` under the row of two Triples says the feet of both, and their beats."""
    made = part(
        "A (16)\n2 Triples   DS  DS  DS  RS   turn 1/2 L on each\n            L   R   L   RL    (4 ea, L & R)\n4 Basics\n"
    )

    assert made == ["Triple x2, left foot, turn 1/2 left (each)", "Basic x4"]


def test_both_times_of_a_cue_may_begin_on_a_foot() -> None:
    """`Both begin on the left` behind two Fancy Doubles is the foot of each."""
    assert part("A\nTwo Fancy Doubles. Both begin on the left. (8)\n") == ["Fancy Double, left foot"] * 2


def test_the_beats_of_a_cue_may_stand_behind_a_remark_on_the_next_line() -> None:
    """A line further in that says nothing of the dance, with just the beats of the cue above it, has no beats of its
    own; on other beats it is a blank."""
    said = "A (24)\n  Four Push-Offs: Double Step, Rock Step, Rock Step, Rock Step.\n     Turn a quarter to the left with every one until you see me. (16)\n"
    look = "  Two Triples.\n     Look at the clock on the wall for these. (8)\n"

    assert part(said + look) == ["Push-off x4, turn 1/4 left", "Triple x2"]
    assert part(look.replace("(8)", "(4)")) == ["Triple x2", "? 4 beats"]


@pytest.mark.parametrize("note", ["Note 1   ", "NOTE: ", "Note 2: "])
def test_notes_may_be_numbered(note: str) -> None:
    """A numbered note is a remark, whatever figures it names."""
    made = sc.draft(
        f"{FRONT}A\n2 Triples\n\nB\n4 Basics\n\n{note}The Triple was 8 in the first printing. Six Basics are right.\n"
    )

    assert "Basic x6" not in made.text and "  Basic x4\n\n" in made.text


@pytest.mark.parametrize("said", ["I count in 4-beat measures.", "4-count bars throughout"])
def test_measures_may_be_counted_in_an_adjective(said: str) -> None:
    """`4-beat measures` are measures of four beats."""
    assert part(f"{said}\n\nA - 4 meas\nm1    Triple L\nm2-4  Cowboy\n")[-1].startswith("? 12 beats")


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("4 single basics in a circle to the left   ds rs x4", ["Single Basic x4 (around, to the left)"]),
        ("B.......4 ROCKIN CHAIRS....TURN 1/4 L EA.", ["Rocking Chair x4, turn 1/4 left"]),
        ("........2 CHAINS....FWD AND BK", ["Chain x2 (forward, back)"]),
        ("(2) Triples (8) + Turkey (4)", ["Triple x2", "? 4 beats"]),
        ("(4) ds fwd, chain", ["DS DS DS DS (forward, forward, forward, forward)", "Chain"]),
        ("Slur Brush L, R, L, R", []),
        ("KICK L ACROSS KICK L OUT DS RS....SAME ON RT", []),
    ],
)
def test_numbers_ways_and_names_beside_a_figure_are_what_they_are(said: str, wanted: list[str]) -> None:
    """A number behind dots is of the figure behind it, `BK` behind a way is one, beats in brackets are the figure's
    before them; a figure without footwork, and a row behind two movements, are no steps of a part."""
    assert part(f"{said if said.startswith('B.') else f'B{chr(10)}{said}'}\n\nC\n2 Basics\n")[: len(wanted)] == wanted
    made = sc.draft(f"{FRONT}B\n{said}\n2 Basics\n").text
    assert "SLR" not in made and "KICK ACROSS" not in made


def test_a_row_with_a_word_that_may_be_a_figure_stays_whole() -> None:
    """`DS  Dbl-Up  DS  RS` under a name is open as a whole; no piece of it is danced."""
    made = sc.draft(f'{FRONT}A\n[8]  "Mill Walk"\n     DS  Dbl-Up  DS  RS   DS  H-Ba  H-Ba  S\n[4]  DS DS RS RS\n').text

    assert "Double-Up\n" not in made and "  ? 8 beats" in made and "  DS DS RS RS\n" in made


@pytest.mark.parametrize(
    ("said", "author", "opened"),
    [
        ("Vi Sedge, Reed Fork Cloggers", "Vi Sedge (Reed Fork Cloggers)", ()),
        ("Choreo: Vi Sedge", "Vi Sedge", ()),
        ("Vi Sedge", "", ("line 9: Vi Sedge",)),
        ("Stomp Double, Triple", "", ()),
    ],
)
def test_a_person_in_the_last_line_made_the_dance_or_is_open(said: str, author: str, opened: tuple[str, ...]) -> None:
    """Who has a club, or is said to have made it, is the author; a name alone may be whose copy it is."""
    made = sc.draft(f"Sedge Mill (clogging)\n\nA\n2 Basics\n\nB\n2 Triples\n\n{said}\n")

    assert (f"author: {author}\n" in made.text) == bool(author)
    assert opened == made.open
