"""What is danced again with a change, what is taken back, and where dancers face behind it."""

import re

import pytest

import stepcheck as sc

FRONT = "Quern Lane (clogging)\nwait 8, left foot lead\n\n"


def lines(said: str, mark: str = "part ") -> list[str]:
    """Return the lines of the draft from the first that begins with a mark, without remarks."""
    text = sc.draft(FRONT + said).text
    made = [line.split("  #")[0].strip() for line in text[text.index("\n" + mark) :].splitlines()]
    return [line for line in made if line and not line.startswith("#")]


@pytest.mark.parametrize(
    "again",
    [
        "Repeat all of the above, but turn 1/2 left on each Triple.",
        "Do all of that again, but turn half to the left on every triple",
        "Repeat, only this time 1/2 L on each Triple",
        "9-16   Do 1-8 again      but turn half to the left on every Triple",
    ],
)
def test_a_repeat_may_turn_one_of_its_figures(again: str) -> None:
    """The lines above are danced once more, the figure that is named with its turn; one that isn't among them is
    open."""
    made = lines(f"A\n2 Basics\nTriple\n{again}\n\nB\nTriple\n")

    assert made[:5] == ["part A:", "Basic x2", "Triple", "Basic x2", "Triple, turn 1/2 left"]
    assert "part B:" in made
    other = sc.draft(f"{FRONT}A\n2 Basics\nFancy Double\n{again}\n")
    assert any(again[-14:] in each for each in other.open)


def test_a_sentence_says_where_the_dancers_face_behind_a_repeat() -> None:
    """`You'll end up facing the back` is a claim, wherever in its line it stands."""
    made = lines(
        "B\n1-4     2 Basics\n5-8     Triple, turn 1/2 left\n9-16    4 Basics. You'll end up facing the back. Good!\n"
    )

    assert made[1:5] == ["Basic x2", "Triple, turn 1/2 left", "Basic x4", "expect facing back"]


@pytest.mark.parametrize(
    ("said", "faced"),
    [
        ("you should see the back again", "back"),
        ("ends at the back", "back"),
        ("so you will be on the front wall now", "front"),
        ("finishing in front", "front"),
        ("and you must look at the front", "front"),
    ],
)
def test_what_dancers_see_behind_a_figure_is_where_they_face(said: str, faced: str) -> None:
    """It is a claim, however it is told, and no place to which they go."""
    made = lines(f"A\n2 Basics\n2 Triples, L then R, turn 1/4 left on each, {said}\n")

    assert made[1:3] == ["Basic x2", f"Triple x2, left foot, turn 1/4 left, facing {faced}"]


def test_the_foot_at_the_back_is_no_wall() -> None:
    """`end on the back foot` says nothing of where dancers face."""
    assert "facing" not in " ".join(lines("A\n2 Basics\n2 Triples, end on the back foot\n"))


@pytest.mark.parametrize(
    ("said", "first", "last"),
    [
        ("RPT FROM BACK WALL", "back", ""),
        ("Repeat all from the back wall, ends at front", "back", "front"),
        ("Repeat from 6:00", "6:00", ""),
        ("Do all of that again from the back to the front", "back", "front"),
        ("Repeat from the front", "", ""),
    ],
)
def test_where_a_repeat_begins_is_where_the_first_time_ends(said: str, first: str, last: str) -> None:
    """It is claimed there, and where the last time ends behind it."""
    made = lines(f"A\n2 Basics\n2 Triples, turn 1/4 left on each\n{said}\n")

    begun = ["1st time only:", f"expect facing {first}"] if first else []
    wanted = ["2 times:", "Basic x2", "Triple x2, turn 1/4 left", *begun, *[f"expect facing {last}"] * bool(last)]
    assert made[1:-2] == wanted


@pytest.mark.parametrize(
    ("row", "again", "wanted"),
    [
        ("2 Triples, turn 1/4 left on each", "Repeat to the back", ["1st time only:", "expect facing back"]),
        ("2 Triples, turn 1/8 left on each", "Repeat to the back", ["expect facing back"]),
        ("2 Wobble Gates (8)", "Repeat to the back", []),
        ("2 Wobble Gates (8)", "Repeat to the front", ["expect facing front"]),
    ],
)
def test_to_the_back_is_where_a_repeat_begins_or_ends(row: str, again: str, wanted: list[str]) -> None:
    """Lines that turn half round are danced again facing the back; where not all of them are read nothing is claimed,
    and the line is open."""
    made = sc.draft(f"{FRONT}A\n4 Basics (8)\n{row}\n{again}\n")

    said = [line.strip() for line in made.text.partition("part A")[2].partition("dance:")[0].splitlines()]
    assert [line.partition("  #")[0] for line in said if "expect" in line or "time only" in line] == wanted
    assert any(again in each for each in made.open) == (not wanted)


def test_a_repeat_on_the_other_foot_is_claimed_where_it_begins() -> None:
    """Where its lines are told once more, the claim stands before them."""
    made = lines(
        "A\n1 Triple L, turn 1/2 left\n1 Basic\n1 Fancy Double\nRepeat from the back wall, opposite foot, same turns\n"
    )

    assert made[4:-2] == ["expect facing back", "Triple, right foot, turn 1/2 left", "Basic", "Fancy Double"]


@pytest.mark.parametrize("said", ["----- to front", "to the front", "back to the front"])
def test_a_line_may_be_no_more_than_where_the_dancers_face(said: str) -> None:
    """`to the front` alone on its line is a claim."""
    assert lines(f"V:\n2 Triples\n{said}\n")[:3] == ["part V:", "Triple x2", "expect facing front"]


@pytest.mark.parametrize("back", ["Wait, no.", "No, wait.", "Scratch that.", "Hang on, no."])
def test_what_is_taken_back_is_not_danced(back: str) -> None:
    """A line that corrects itself is open as a whole."""
    made = sc.draft(f"{FRONT}C\n2 Basics, Push Off. {back} It's 2 Basics and a Triple.\n4 Basics\n")

    assert "  Push-off" not in made.text
    assert "  Basic x2\n" not in made.text and "  Basic x4\n" in made.text
    assert any("Push Off" in each for each in made.open)


def test_same_behind_a_figure_is_the_figure_on_the_foot_that_is_said() -> None:
    """`Vine same, moving right, right foot lead` is the Vine of the line above on the right foot; with no foot it is
    in doubt."""
    made = lines("A\n1 Vine   DS DS(xib) DS RS   L R L RL\n1 Vine same, moving right, right foot lead\n")

    assert made[-4:] == ["Vine, left foot", "Vine, right foot (to the right)", "dance:", "A"]
    assert any("Vine same" in each for each in sc.draft(f"{FRONT}A\nVine, left foot\nVine same\n").open)


@pytest.mark.parametrize(
    "said", ["which brings us home", "that gets you to the front", "which brings you back to the front"]
)
def test_words_behind_a_turn_say_where_it_leads(said: str) -> None:
    """`turn 1/4 left on each, which brings us home` claims the front."""
    made = lines(f"A\n2 Rocking Chairs, turn 1/4 left on each, {said}\n")

    assert made[1] == "Rocking Chair x2, turn 1/4 left, facing front"


def test_feet_and_marks_stand_in_one_line_under_a_row() -> None:
    """Feet under a row are its feet, what stands behind them are its marks."""
    made = lines("A\nSTO  DS   DS   RS\n1    &2   &3   &4            L R L RL  quarter turn right\n2 Basics\n")

    assert made[1] == "STO(L) DS(R) DS(L) RS(R), turn 1/4 right"


def test_an_order_that_goes_on_stands_behind_the_parts() -> None:
    """`Then B, A` is danced behind all parts as they stand, if it doesn't name all of them."""
    said = "A\n4 Basics\n\nB\n2 Triples\n\nC\n2 Fancy Doubles\n\nThen B, A, B\n"

    assert lines(said, "dance:")[1:] == ["A", "B", "C", "B", "A", "B"]


def test_numbers_that_are_no_parts_are_no_order() -> None:
    """`Front line = 1 2 3 4` and `Break 1` name no Figure 1."""
    said = "Figure 1\n4 Basics\n\nFigure 2\n2 Triples\n\nOrder: Figure 1, Break 1, 2\n"
    made = sc.draft(f"{FRONT}Front line = 1 2 1 2 (from audience left)\n\n{said}")

    assert "dance:" not in made.text
    assert [each for each in made.open if "Break 1" in each] == [
        "line 12: the order of the parts: Figure 1, Break 1, 2"
    ]


@pytest.mark.parametrize(
    "said", ["then 1st 2nd 1st 3rd 2nd 2nd", "Order of the dance\n  One, Two; One, Three; Two; Two."]
)
def test_parts_are_called_by_their_ordinals_and_numbers(said: str) -> None:
    """`1st bit` is `1st` in the order, `Figure One` is `One`."""
    names = ("1st bit", "2nd bit", "3rd bit") if "1st" in said else ("Figure One", "Figure Two", "Figure Three")
    steps = ("4 Basics", "2 Triples", "2 Fancy Doubles")
    text = "\n\n".join(f"{name}\n{step}" for name, step in zip(names, steps, strict=True))

    assert lines(f"{text}\n\n{said}\n", "dance:")[1:] == [names[at] for at in (0, 1, 0, 2, 1, 1)]


@pytest.mark.parametrize("begins", ["How the song goes:", "So the whole thing goes"])
def test_a_sentence_may_say_the_order(begins: str) -> None:
    """What stands behind the parts in it is open."""
    said = (
        f"Verse\n4 Basics\n\nChorus\n2 Triples\n\n{begins} Verse, Chorus, Verse, Chorus, and then three big stomps.\n"
    )

    assert lines(said, "dance:")[1:] == ["Verse", "Chorus", "Verse", "Chorus"]
    assert any("three big stomps" in each for each in sc.draft(FRONT + said).open)


def test_beats_in_front_of_a_repeat_are_no_order() -> None:
    """`&1 &2 &3 &4   2x, forward` stands under a row and names no parts."""
    made = sc.draft(
        f"{FRONT}Part 1\nDS  DS  RS  RS\n&1  &2  &3  &4     2x, forward\n\nPart 2\n4 Basics\n\nOrder: 1 2 1 2\n"
    )

    assert made.text.split("dance:\n")[1].split() == ["Part", "1", "Part", "2"] * 2
    assert "  DS DS RS RS DS DS RS RS (forward, forward)\n" in made.text


def test_the_beats_of_the_first_line_of_a_part_are_not_its_length() -> None:
    """`CH: Pothole (4)` says how long that figure is, while lines follow."""
    made = sc.draft(f"{FRONT}V:\n2 Triples\n\nCH: turkey basic (4)\n    2 Triples\n\nV CH V CH\n")

    assert "part Ch:\n  ? 4 beats  # turkey basic" in made.text


@pytest.mark.parametrize(
    "again",
    [
        "same thing again 2 face front",
        "Do those two over again (should be at front)",
        "Repeat the two lines to the front",
        "Do all 12 beats over again to face the front",
        "Do it one more time, end up facing the front",
        "Now do all of Part A a second time to face front",
    ],
)
def test_a_repeat_may_be_said_in_many_words(again: str) -> None:
    """The lines that are meant are danced again, and the front is a claim."""
    made = lines(f"A\n2 Basics\n2 Triples, turn 1/4 L each\n{again}\n")

    assert made[:5] == ["part A:", "2 times:", "Basic x2", "Triple x2, turn 1/4 left", "expect facing front"]


def test_times_in_all_are_no_beats() -> None:
    """`repeat D 3 more times (4 in all)` dances it four times."""
    assert lines("D\n2 Basics\nrepeat D 3 more times (4 in all)\n")[:3] == ["part D:", "4 times:", "Basic x2"]


def test_a_figure_again_may_turn() -> None:
    """`Triple again but turning 1/2` is one more Triple, with its turn."""
    assert lines("A\nTriple, left foot\nTriple again but turning 1/2 L\n")[1:3] == [
        "Triple, left foot",
        "Triple, turn 1/2 left",
    ]


def test_one_of_its_figures_turns_where_it_is_danced_once() -> None:
    """`on the Triple` means one Triple; of several, nothing says which."""
    said = "Repeat everything above, but this time make a half turn to the left on the Triple"

    assert lines(f"A\n2 Basics\nTriple\n{said}\n")[3:5] == ["Basic x2", "Triple, turn 1/2 left"]
    assert any("half turn" in each for each in sc.draft(f"{FRONT}A\n2 Basics\n2 Triples\n{said}\n").open)


def test_all_of_an_order_may_be_danced_once_more() -> None:
    """`and then the whole dance again from the top` dances all parts that stand before it in the order."""
    said = "A\n2 Triples\n\nB\n4 Basics\n\nWe dance A, B, A, and then the whole dance again from the top.\n"

    assert lines(said, "dance:")[1:] == ["A", "B", "A", "A", "B", "A"]


@pytest.mark.parametrize("said", ["opp ftwk", "opposite ftwork", "opp. ftwk, please"])
def test_footwork_may_be_shortened(said: str) -> None:
    """`opp ftwk` below the lines of a part dances them on the other foot, or is open; it is never lost."""
    made = sc.draft(f"{FRONT}B\nCowboy, left foot\n2 Basics\n{said}\n")

    assert "Cowboy, right foot" in made.text or any("ft" in each for each in made.open)


def test_what_closes_an_order_is_no_step() -> None:
    """`and One once more to close` ends with that part."""
    said = "Part One\n4 Basics\n\nPart Two\n2 Triples\n\nThe order is One, Two, One, Two, and One once more to close. Bring water.\n"

    assert lines(said, "dance:")[1:] == ["Part One", "Part Two", "Part One", "Part Two", "Part One"]


def test_a_remark_behind_the_order_names_no_part() -> None:
    """`2nd time thru A starts at the back` behind the order is said of a part, and open."""
    made = sc.draft(
        f"{FRONT}A\n4 Basics\n\nC\n2 Triples\n\nSeq. A, C, A, C, C.  2nd time thru A starts at the BACK so dont panic\n"
    )

    assert made.text.split("dance:\n")[1].split("\n\n")[0].split() == ["A", "C", "A", "C", "C"]
    assert any("2nd time" in each for each in made.open)


def test_a_turn_behind_a_repeat_leaves_it_open() -> None:
    """`Do Part A a second time. Turn right, a quarter on each Triple, so …` is not danced without its turn."""
    said = "A (24)\n2 Basics\n2 Triples\nDo all of Part A a second time. Turn to the right, a quarter on each, so as to see the hall. (12)\n"
    made = sc.draft(FRONT + said)

    assert "2 times:" not in made.text and "  ? 12 beats" in made.text


@pytest.mark.parametrize(
    ("alike", "cut", "wanted"),
    [
        ("same as A1", "A2 (first 16)", "A1, first 16 beats"),
        ("same as A1", "half of A2", "A1, first 32 beats"),
        ("same as A1", "A2 x2", "A1 x2"),
        ("first 16 beats of A1 only", "A2", "A1, first 16 beats"),
    ],
)
def test_the_order_may_cut_a_part_that_is_another_one(alike: str, cut: str, wanted: str) -> None:
    """What the order says of `A2`, which is A1 once more, holds of A1 there."""
    said = f"A1\n8 Basics\n8 Basics\n8 Triples\n\nA2: {alike}\n\nB\n4 Triples\n\nOrder: A1, {cut}, B\n"

    assert lines(said, "dance:")[1:] == ["A1", wanted, "B"]


@pytest.mark.parametrize("cut", ["A2 (first 8)", "half of A2", "A2 (without the Basics)"])
def test_what_the_order_changes_of_a_part_that_is_the_beginning_of_another_is_open(cut: str) -> None:
    """A cut of a cut, or any other change of it, is never danced as the part that it changes."""
    said = (
        f"A1\n8 Basics\n8 Basics\n8 Triples\n\nA2: first 16 beats of A1 only\n\nB\n4 Triples\n\nOrder: A1, {cut}, B\n"
    )
    made = sc.draft(FRONT + said)

    assert any("A2" in each for each in made.open)
    assert not {"A1, first 16 beats", "A1"} & {*lines(said, "dance:")[2:3]}


@pytest.mark.parametrize("sign", ["/", "-", ";"])
def test_a_line_may_end_in_its_repeat(sign: str) -> None:
    """All that stands before it is danced again, and ends where it says."""
    made = lines(f"A   2 Triples {sign} Cowboy turn 1/2 L {sign} repeat to front\n\nB\nTriple\n")

    assert ["part A:", "2 times:", "Triple x2", "Cowboy, turn 1/2 left", "expect facing front"] == made[:5]


@pytest.mark.parametrize(
    "again",
    [
        "Do it all again, turn right the second time.",
        "Repeat A, circle right",
        "Repeat, turning to the right this time",
    ],
)
def test_a_repeat_may_turn_to_the_other_side(again: str) -> None:
    """The turns of the lines above are to the side that is said, once more as long."""
    made = lines(f"A\n2 Triples\n4 Basics, full turn left\n{again}\n\nB\nTriple\n")

    assert made[1:5] == ["Triple x2", "Basic x4, turn 1/4 left", "Triple x2", "Basic x4, turn 1/4 right"]


@pytest.mark.parametrize("turns", ["", ", full turn left\n2 Basics, full turn right"])
def test_a_side_of_no_turn_is_open(turns: str) -> None:
    """Where no line turns, or lines turn to both sides, a repeat to one side is a blank, as long as they are."""
    made = sc.draft(f"{FRONT}A\n4 Basics{turns}\nRepeat, turning right\n\nB\nTriple\n")

    assert f"? {12 if turns else 8} beats  # Repeat, turning right" in made.text
    assert any("Repeat, turning right" in each for each in made.open)


def test_numbers_that_run_on_call_lines_of_every_part() -> None:
    """In a list that calls its lines by numbers the name of a part is a word beside its line."""
    said = "1. Triple L, R (8 beats)\n2. Two fancy doubles (8)\n3. Repeat 1 and 2 to face the front (16 beats)\n"
    made = lines(f"{said}4. Break: stomp double L, R (8 beats)\n5. Repeat 1 through 4 (40)\n6. Ending: stomp\n")
    once = ["Triple, left foot", "Triple, right foot", "Fancy Double x2"]
    stomps = [f"Stomp Double, {side} foot (break)" for side in ("left", "right")]

    assert made[1:19] == [*once, *once, "expect facing front", *stomps] * 2


@pytest.mark.parametrize(
    ("said", "danced"),
    [
        (
            "Triple, turn 1/2 left\nRepeat Triple to the front",
            ["Triple, turn 1/2 left", "Triple, turn 1/2 left, facing front"],
        ),
        ("Triple, turn 1/2 left\nRepeat Triple, turn 1/4 right", ["Triple, turn 1/2 left", "Triple, turn 1/4 right"]),
        (
            "Chain L and R, 1/4 left on each\nRepeat Chains",
            ["Chain, left foot, turn 1/4 left", "Chain, right foot, turn 1/4 left"] * 2,
        ),
        ("Triple L, turn 1/2 left\nRepeat Triple", ["Triple, left foot, turn 1/2 left", "Triple, turn 1/2 left"]),
    ],
)
def test_a_figure_that_is_repeated_turns_as_it_did(said: str, danced: list[str]) -> None:
    """Its turn, and both its feet, are in it also where only the wall behind it is said."""
    assert danced == lines(f"A\n{said}\n\nB\nTriple\n")[1 : 1 + len(danced)]


@pytest.mark.parametrize(
    "said",
    [
        "(2 Triples\n1 Basic, turn 1/4 left) x2",
        "[ 2 Triples\n  Basic (turn 1/4 left) ] 2X",
        "{ 2 Triples\n  Basic (turn 1/4 left) } 2 times",
        "- (2 Triples (8 beats)\n- Basic turn 1/4 left) twice",
        "(2 Triples\nBasic, turn 1/4 left) repeat",
    ],
)
def test_a_bracket_around_lines_is_danced_as_often_as_stands_behind_it(said: str) -> None:
    """What stands in the bracket is danced again, and no other line of the part."""
    made = lines(f"A\nCharleston\n{said}\nFancy Double\n\nB\nTriple\n")

    assert made[:6] == ["part A:", "Charleston", "2 times:", "Triple x2", "Basic, turn 1/4 left", "Fancy Double"]


@pytest.mark.parametrize("said", ["(2 Triples\n\n1 Basic) x2", "(2 Triples\nBasic\n2 Chains, left foot"])
def test_a_bracket_that_is_no_repeat_is_none(said: str) -> None:
    """Over an empty line, or without an end, a bracket has no lines danced again."""
    assert "times:" not in sc.draft(f"{FRONT}A\n{said}\nFancy Double\n").text


@pytest.mark.parametrize("said", ["(2 Triples, 1 Basic) repeat", "[2 Triples / 1 Basic] x2"])
def test_a_bracket_in_a_line_is_danced_again(said: str) -> None:
    """A stroke parts its cues as a comma does, and `repeat` behind it is once more."""
    assert lines(f"A\n{said}\n")[1:4] == ["2 times:", "Triple x2", "Basic"]


@pytest.mark.parametrize("said", ["same, opposite feet", "same, other foot", "same"])
def test_the_other_foot_of_the_line_above_is_danced_once(said: str) -> None:
    """`Joey (R)   same, opposite feet` below a Joey on the left foot is one Joey."""
    assert lines(f"A\nJoey (L)\nJoey (R)   {said}\nBasic\n")[1:4] == ["Joey, left foot", "Joey, right foot", "Basic"]


@pytest.mark.parametrize("again", ["8   REPEAT ALL ABOVE", "Repeat all of that (8)", "Repeat everything (8)"])
def test_all_that_is_danced_again_lasts_all_its_beats(again: str) -> None:
    """Where all of it is danced again, beats that are not those of all are open: they are not the last lines alone."""
    said = f"V\n4   Triple\n4   Fancy Double\n8   2 Triples\n{again}\n\nCHORUS\n8   2 Rocking Chairs\n"
    made = sc.draft(FRONT + said)

    assert any(" ".join(again.split()) in each for each in made.open)
    assert "times:" not in made.text
    assert "2 times:" in sc.draft(FRONT + said.replace(again, again.replace("8", "16"))).text
    assert "2 times:" in sc.draft(FRONT + said.replace(again, "Repeat above (8)")).text


@pytest.mark.parametrize(
    ("told", "lines"),
    [
        ("Triple, Basic, Triple L, Basic R\nsame on R", "R - R L"),  # they began on the left
        ("Triple, Triple R, Basic\nsame on R", "R L -"),
        ("Triple, Basic, Triple L, Basic\nsame on L", "L - L -"),
        ("Charleston L, Basic\nsame on R", "R -"),
    ],
)
def test_a_repeat_on_a_foot_has_all_its_feet_on_the_side_of_that(told: str, lines: str) -> None:
    """Lines whose first figure says no foot began on that which the first foot behind it tells."""
    made = sc.draft(f"Low Water\nclogging\nLeft foot lead.\n\nPart A\n{told}\n\nPart B\n4 Basics\n\nOrder: A B\n").text
    rows = made.partition("part A")[2].partition("\n\n")[0].splitlines()[1:]
    again = rows[len(rows) // 2 :]
    assert " ".join("R" if "right foot" in row else "L" if "left foot" in row else "-" for row in again) == lines


@pytest.mark.parametrize(
    "told", ["Charleston L R\nrepeat on R", "Charleston on L and R\nother foot", "Charleston (L, R)\nsame on the right"]
)
def test_a_foot_that_the_line_above_has_already_is_not_danced_again(told: str) -> None:
    """A line on both feet holds what the next one says of its last, and that this was taken so is said."""
    made = sc.draft(f"Low Water\nclogging\nLeft foot lead.\n\nPart A\n{told}\n\nPart B\n4 Basics\n\nOrder: A B\n")
    assert made.text.count("  Charleston, ") == 2
    assert f"{told.splitlines()[1]} is told above it" in made.assumed


@pytest.mark.parametrize(
    "again", ["16      Repeat, opp. footwork", "Same on the other foot (16)", "Repeat with opposite foot - 16"]
)
def test_a_repeat_that_states_its_beats_is_danced(again: str) -> None:
    """On the other foot it is of the lines of just these beats, also below one on both feet."""
    made = sc.draft(
        f"Low Water\nclogging\n\nPart A (32)\n8   2  Triple, R & L\n8   2  Chain, R & L\n{again}\n\nPart B\n8   4  Basics\n"
    )

    told = re.sub("  #.*", "", made.text)
    assert told.count("  Triple x2, right foot, 8 beats\n") == told.count("  Triple x2, left foot, 8 beats\n") == 1
    assert not made.open and not any("told above" in each for each in made.assumed)


@pytest.mark.parametrize("label", ["*other foot*", "~Other foot~", "Opposite foot:"])
def test_a_foot_over_lines_that_are_told_out_is_no_part_and_repeats_nothing(label: str) -> None:
    """The length of the part says whether a bare foot dances the lines above once more, or stands over the lines below:
    then it is open, and the lines are danced as they stand."""
    steps = "2 Fancy Doubles\nTriple\n"

    below = sc.draft(f"{FRONT}A (24)\n{steps}{label}\n{steps}\nB (16)\n4 Triples\n\nOrder: A B A\n")
    again = sc.draft(f"{FRONT}A (24)\n{steps}{label}\n\nB (16)\n4 Triples\n\nOrder: A B A\n")

    for made in (below, again):
        assert made.text.count("part ") == 2 and made.text.count("  Fancy Double x2") == 2
        assert made.text.count("\n  Triple\n") == 2 and "? " not in made.text
    assert below.open == (f"line 7: {label}",) and again.open == ()


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Repeat all of that on the other foot", "  Fancy Double  # Repeat all of that on the other foot\n"),
        ("same", "  2 times:  # same\n    Triple\n"),
    ],
)
def test_only_a_foot_may_stand_for_nothing_that_is_danced(said: str, wanted: str) -> None:
    """A line that asks for lines again is none over others, though the lines above it fill the part."""
    made = sc.draft(f"{FRONT}A (16)\nFancy Double\nCowboy\nTriple\n{said}\n")

    assert wanted in made.text and made.open


@pytest.mark.parametrize("said", ["both again, gets you home", "both again, that gets you home"])
def test_where_a_repeat_brings_dancers_is_claimed(said: str) -> None:
    """Home is the front wall, behind lines that are danced again."""
    assert "  expect facing front" in sc.draft(f"{FRONT}A (16)\nTriple, 1/2 R\nChain\n{said}\n").text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Repeat the Joey and Triples to the back, end front (12)", "  2 times:\n    Joey\n    Triple x2\n  expect"),
        ("Joey + Triples 2 more times, once on each wall (24)", "  3 times:  # Joey + Triples 2 more times"),
        ("repeat Joey & Triples", "  2 times:  # repeat Joey & Triples\n    Joey\n    Triple x2\n"),
        ("Repeat Cowboy and Joey (12)", "Triple x2\n  Cowboy, turn 1/2 left  # Repeat Cowboy and Joey (12)\n"),
    ],
)
def test_figures_that_a_repeat_names_are_the_lines_that_dance_them(said: str, wanted: str) -> None:
    """They are danced as they stand, with their turns and times, in the order that is named."""
    made = sc.draft(
        f"Sallow Row (clogging)\nWait 8, left foot lead\n\nPart A\n1 Cowboy, turn 1/2 L (8)\n1 Joey (4)\n2 Triples (8)\n{said}\n\nPart B\n8 Basics (16)\n"
    )

    assert wanted in made.text
    assert not made.open


@pytest.mark.parametrize("said", ["Repeat Triples and Joey (12)", "Repeat the Joey and Triples (24)"])
def test_figures_of_a_repeat_that_no_lines_dance_so_are_a_blank(said: str) -> None:
    """Another order or another length than that of the lines above leaves the repeat open, on its beats."""
    made = sc.draft(
        f"Sallow Row (clogging)\nWait 8, left foot lead\n\nPart A\n1 Cowboy, turn 1/2 L (8)\n1 Joey (4)\n2 Triples (8)\n{said}\n\nPart B\n8 Basics (16)\n"
    )

    assert f" beats  # {said}\n" in made.text
    assert made.open


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Do this 4 times in all, make a box (24 more)", "Basic x2, turn 1/8 left"),
        ("3 more times, once to each wall (24)", "Basic x2, turn 1/8 left"),
        ("Do this 4 times in all (24 more)", "? 4 beats  # 2 Basics, turn 1/4 left (4)"),
    ],
)
def test_a_box_of_four_times_turns_a_quarter_each_time(said: str, wanted: str) -> None:
    """So that a turn behind several figures is of all of them; without a box nothing says that."""
    made = sc.draft(
        f"Sallow Row (clogging)\nleft foot lead\n\nPart A (32)\n1 Joey (4)\n2 Basics, turn 1/4 left (4)\n{said}\n"
    )

    assert f"  4 times:  # {said}\n    Joey\n    {wanted}\n" in made.text


def test_a_box_that_no_reading_makes_leaves_its_turn_open() -> None:
    """Neither a half for each of two figures nor one for both is a quarter each time."""
    made = sc.draft(
        "Sallow Row (clogging)\nleft foot lead\n\nPart A (32)\n2 Joeys, turn 1/2 left (8)\nRepeat 3 more times to make a box (24)\n"
    )

    assert "    ? 8 beats  # 2 Joeys, turn 1/2 left (8)\n" in made.text
