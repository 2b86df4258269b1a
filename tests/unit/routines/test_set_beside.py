"""What is set beside rows and heads: lone feet, bars, numbers in square brackets, arrows, dots, words in quotes."""

import pytest

import stepcheck as sc

FRONT = "Reed Bank (clogging)\nwait 8, left foot lead\n1 bar = 4 beats\n\n"


def drafted(said: str) -> list[str]:
    """Return the lines of the draft from its figures or its first part on, without remarks."""
    text = sc.draft(FRONT + said).text
    lines = [line.split("  #")[0].strip() for line in text[text.index("1 bar = 4 beats") :].splitlines()[1:]]
    return [line for line in lines if line and line[0] != "#"]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("DS RS RS RS (lf) turn 360 left", "DS(L) RS RS RS, turn full left"),
        ("DS TCH(xif)-H TCH(ots)-H TCH(xif)-H (R)", "DS(R) TCH H TCH H TCH H (xif, ots, xif)"),
        ("DS(L) TCH H TCH(L) H", "DS(L) TCH H TCH(L) H"),
        ("DS(R,xif) RS(LR) DS(L) RS", "DS(R) RS(L) DS(L) RS (xif)"),
        ("DS DT(xif)-H DT(unx)-H RS DR-S DR-S RS", "DS DT H DT H RS DR S DR S RS (xif, unx)"),
    ],
)
def test_a_foot_apart_behind_a_row_begins_it(line: str, wanted: str) -> None:
    """A lone foot behind a row without others is the cue's, never the last step's; a foot and its place may share a
    bracket, and a row is not cut at a place."""
    assert ["part A:", wanted] == drafted(f"A\n{line}\n4 Basics\n")[:2]


def test_bars_that_stand_side_by_side_are_a_range() -> None:
    """`bar 3 + 4` and `bar 5 / 6` are two bars; `= bar 1 - 2` and `as bar 2` dance theirs again."""
    made = drafted(
        "A, 10 bars\nbar 1  DS DS DS RS (lf)\nbar 2  DS RS RS RS\nbar 3 + 4  2 Triples\nbar 5 / 6  4 Basics\n"
        "bar 7 - 8  = bar 1 - 2\nbar 9  as bar 2 with rf\nbar 10  Triple\n"
    )

    assert made[1:6] == ["DS(L) DS DS RS", "DS RS RS RS", "Triple x2", "Basic x4", "DS(L) DS DS RS"]
    assert made[6:9] == ["DS RS RS RS", "DS(R) RS RS RS", "Triple"]


def test_numbers_in_square_brackets_that_rise_count_the_lines() -> None:
    """`[3] [1] again` is the third line and dances the first; `[4]`, `[2]` that do not rise are beats."""
    made = drafted("[A]\n[1] 2 Triples\n[2] 4 Basics\n[3] [1] again\n\n[Pre] 1 bar\n[1] Cowboy\n[2] 2 Basics\n")
    timed = drafted("A\n[4] Triple\n[2] something odd\n[8] 4 Basics\n")

    assert made[:4] == ["part A:", "Triple x2", "Basic x4", "Triple x2"] and "part Pre: 4 beats" in made
    assert timed[:4] == ["part A:", "Triple", "? 2 beats", "Basic x4"]


def test_what_another_line_in_square_brackets_changes_is_open() -> None:
    """`[1], turning` is no line that is danced as the first one."""
    said = f"{FRONT}A\n[1] 2 Triples\n[2] 4 Basics\n[3] [1], turning 1/4 L on each DS\n"

    assert "# [3] [1], turning" in sc.draft(said).text and any("line 8" in each for each in sc.draft(said).open)


def test_pt_is_a_part() -> None:
    """`REPEAT PT A`, and cells with dots between them as the order."""
    made = drafted(
        "PT A\n2 TRIPLES\nREPEAT PT A\n\nPT B\n2 TRIPLE BRUSH.... DS DS DS BR UP.... L & R\n\n"
        "PT A.... PT B.... PT A\nPT B.... STOMP STOMP\n"
    )

    assert made[:2] == ["figures:", "Triple Brush: DS DS DS BR UP"]
    assert made[2:7] == ["part A:", "2 times:", "Triple x2", "part B:", "Triple Brush x2, left foot"]
    assert made[7:] == ["part Ending:", "STO STO", "dance:", "A", "B", "A", "B", "Ending"]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("DS DS RS RS  >> L", "DS DS RS RS (to the left)"),
        ("DS DS RS RS  << R", "DS DS RS RS (to the right)"),
        ("DS DS DS LOOP-S DS RS RS RS  > >", "DS DS DS LOOP S DS RS RS RS"),
        (
            "STO DS DS RS, 2x  mov L then R",
            "STO DS DS RS STO DS DS RS (to the left, to the right, to the left, to the right)",
        ),
        ("TRIPLE L (TO SIDE)", "Triple, left foot (side)"),
        ("8 BASICS (4 FWD 4 BK)", "Basic x8 (4 forward, 4 back)"),
        ("8 Basics (4 fwd 2 back)", "? 16 beats"),
        ("2 Basics, in diagonal left", "Basic x2 (in, diagonally, to the left)"),
        ("2 Basics, diagonally left foot", "Basic x2, left foot (diagonally)"),
        ("Triple (spot)", "Triple (in place)"),
        ("2 Basics, back on place", "Basic x2 (back, in place)"),
    ],
)
def test_ways_are_no_feet_and_no_figures(line: str, wanted: str) -> None:
    """Arrows, abbreviations of moving and diagonals say where it goes; a share of its times is no other number."""
    assert ["part A:", wanted] == drafted(f"A\n{line}\n4 Basics\n")[:2]


@pytest.mark.parametrize("name", ["> >", "* *", "fwd", "to the left"])
def test_no_figure_is_named_by_signs_or_ways(name: str) -> None:
    """A row beside such words is a row."""
    assert "figures:" not in drafted(f"A\n{name}   DS DS DS LOOP-S DS RS RS RS\n4 Basics\n")


@pytest.mark.parametrize("row", ["S(ots) . S(ots) . S S S clap", "DS . DS . RS"])
def test_stops_between_codes_may_be_rests(row: str) -> None:
    """Such a row is open, and gives no figure; where stops stand between all codes and the beats fit, it is read."""
    made = sc.draft(f"{FRONT}A\n{row}\n2 Triples\n")
    fits = drafted("A\nbar 1  DS . DS . DS . RS .\n2 Triples\n")

    assert f"# {row}" in made.text and any("line 6" in each for each in made.open)
    assert fits[1] == "DS DS DS RS"


def test_words_beside_a_head_are_a_remark() -> None:
    """`C "scurry"` begins C; `Ending after last C: …` says the end."""
    made = drafted(
        'A\n2 Triples\n\nC "scurry"\n4 Basics\n\nOrder: A C A C\nEnding after last C: Stomp left, arms high!\n'
    )

    assert made[2:4] == ["part C:", "Basic x4"] and made[4:6] == ["part Ending:", "Stomp, left foot (arms high)"]
    assert made[-1] == "Ending"


@pytest.mark.parametrize("head", ["** PART A* ** = first 8 beats of A only", "A* = the first 8 counts of A"])
def test_a_part_with_a_star_is_the_beginning_of_another(head: str) -> None:
    """In the order it is that part, cut."""
    made = drafted(f"** PART A **\n2 Triples\n4 Basics\n\n** PART B **\n2 Cowboys\n\n{head}\n\nSEQ: A, B, A*, B\n")

    assert made[-5:] == ["dance:", "A", "B", "A, first 8 beats", "B"]


def test_a_half_inside_a_line_is_open() -> None:
    """`1/2 A` is the first half only where a line ends there."""
    even = drafted("A\n4 Basics\n2 Triples\n\nB\n2 Cowboys\n\nOrder: A, B, 1/2 A, B\n")
    odd = sc.draft(f"{FRONT}A\nTriple\n1 Cowboy\n\nB\n2 Cowboys\n\nOrder: A, B, 1/2 A, B\n")

    assert "A, first 8 beats" in even
    assert "A, first" not in odd.text and any("half of A" in each for each in odd.open)


def test_a_line_below_the_order_with_a_changed_part_is_never_lost() -> None:
    """What it says of one time of a part is open."""
    made = sc.draft(f"{FRONT}A\n2 Triples\n\nB\n4 Basics\n\nOrder: A B A B\n\nB (half: only two)\n")

    assert any("half: only two" in each for each in made.open)


def test_a_repeat_that_the_length_of_its_part_needs_is_inside_it() -> None:
    """Where the order has a part once and twice in a row, its stated length says whether the repeat is its own."""
    made = drafted("A 16 beats\n2 Triples\nRepeat A\n\nB\n4 Basics\n\nOrder: A B A A B\n")

    assert made[:3] == ["part A: 16 beats", "2 times:", "Triple x2"]


def test_w_alone_is_with() -> None:
    """`end w stomp L stomp R` behind the order is the ending."""
    made = drafted("A\n2 Triples\n\nB\n4 Basics\n\nOrder: A B A B\nend w stomp L stomp R\n")

    assert ["part Ending:", "STO(L) STO(R)"] == made[4:6]


@pytest.mark.parametrize(
    ("below", "wanted"),
    [
        ("1    &2   &3   &4      L R L RL  quarter turn right", "STO(L) DS(R) DS(L) RS(R), turn 1/4 right"),
        ("L R L RL   turn 1/4 right", "STO(L) DS(R) DS(L) RS(R), turn 1/4 right"),
        ("1    &2   &3   &4      2x, forward", "STO DS DS RS STO DS DS RS (forward, forward)"),
        ("1    &2   &3   &4      L R L RL   alternate feet, quarter left with no. 2", "# STO  DS   DS   RS"),
    ],
)
def test_marks_behind_the_feet_or_beats_under_a_row_are_its_own(below: str, wanted: str) -> None:
    """Feet, turns and how often stand under their row; what isn't understood there leaves the row open, never bare."""
    text = sc.draft(f"{FRONT}A\nSTO  DS   DS   RS\n{below}\n4 Basics\n").text

    assert wanted in text or ("? 4 beats" in text and wanted[0] == "#")


@pytest.mark.parametrize("words", ["& reverse feet", "repeat on opp ft", "(R foot rpt)"])
def test_the_second_of_two_times_is_on_the_other_foot(words: str) -> None:
    """Feet under a figure that is danced twice are those of its first time."""
    assert "Triple x2, left foot" in drafted(f"A\n2 Triples   DS DS DS RS\n L R L RL {words}\n4 Basics\n")


@pytest.mark.parametrize("line", ["hazel walk left (8 ct one, ds ds x ds ds etc)", "hazel walk is ds ds(xif) ds .."])
def test_a_row_that_goes_on_unsaid_is_no_figure(line: str) -> None:
    """`etc` and dots at its end leave out steps."""
    assert not any("hazel walk" in each and "DS" in each for each in drafted(f"A\n{line}\n4 Basics\nhazel walk\n"))


def test_a_sign_behind_a_head_changes_nothing() -> None:
    """`loose bit \u2605` over its lines begins a part."""
    assert "part loose bit:" in drafted("A\n2 Triples\n\nloose bit \u2605\n4 Basics\n\nOrder: A, loose, A\n")


def test_beats_under_a_row_are_no_order() -> None:
    """The parts are danced as the order says, and no line of beats is one."""
    row = "DS  DS  RS  RS\n&1  &2  &3  &4              2x, forward\n"
    made = drafted(f"Part 1\n{row}\nPart 2\n4 Basics\n\nPart 3\nCowboy\n\nOrder: 1 2 3 1\n")

    assert made[-5:] == ["dance:", "Part 1", "Part 2", "Part 3", "Part 1"]


def test_how_the_song_goes_is_the_order() -> None:
    """So is a row of the names of parts, whatever is said behind it."""
    parts = "A\n2 Triples\n\nB\n4 Basics\n\n"

    assert drafted(f"{parts}How the song goes: A, B, B, A\n")[-4:] == ["A", "B", "B", "A"]
    assert drafted(f"{parts}(A)(B)(B)(A) and when the engine coughs we bow\n")[-4:] == ["A", "B", "B", "A"]


@pytest.mark.parametrize("words", ["Wait, no.", "No, wait!", "Scratch that.", "Oops, no."])
def test_what_a_sentence_takes_back_is_not_danced(words: str) -> None:
    """Which of the words around it are danced, nothing says: the line is open as a whole."""
    said = f"{FRONT}A\n2 Triples, 2 Basics. {words} It's 2 Triples, FOUR Basics.\nCowboy\n"

    assert "Triple x2" not in sc.draft(said).text and any(
        "line 6: 2 Triples, 2 Basics" in one for one in sc.draft(said).open
    )


def test_steps_below_the_order_are_in_no_part() -> None:
    """A line without a head behind the order is open, never the last part's."""
    made = sc.draft(f"{FRONT}A\n2 Triples\n\nB\n4 Basics\n\nOrder: A B A B\n\nSTO DS DS RS\n")

    assert "  STO" not in made.text and any("STO DS DS RS" in each for each in made.open)


@pytest.mark.parametrize("line", ["stomp......stomp....stomp..stomp.stomp", "S(ots) . S . S S"])
def test_dots_of_several_lengths_say_when(line: str) -> None:
    """Steps between them are open."""
    made = sc.draft(f"{FRONT}A\n{line}\n4 Basics\n")

    assert "STO" not in made.text and any("line 6" in each for each in made.open)


def test_tips_in_a_list_are_no_dance() -> None:
    """Lines under `Tips:` are remarks, and open where they hold steps."""
    made = sc.draft(f"{FRONT}A\n2 Triples\n\nTips:\n * Don't rush.\n * 4 Basics at the end.\n\nB\nCowboy\n")

    assert "Basic x4" not in made.text and any("4 Basics at the end" in each for each in made.open)
    assert "part B:\n  Cowboy" in made.text


@pytest.mark.parametrize("said", ["hazel walk (4)", "hazel walk L / hazel walk R"])
def test_a_figure_behind_a_head_is_a_line_of_its_part(said: str) -> None:
    """One that no book has is open there; its number is the length of no part, and it no remark."""
    made = sc.draft(f"{FRONT}A: {said}\n4 Basics\n")

    assert f"# {said.split(' (')[0]}\n  Basic x4" in made.text and "part A:\n" in made.text


def test_a_part_that_changes_one_of_unknown_length_has_none() -> None:
    """A part like one that is not read through is no blank of its read beats."""
    made = drafted("A\n2 Triples\nhazel walk on toes L\n\nB - as A, but leave out the last one\n\nC\n4 Basics\n")

    assert not any(each.startswith("? 8") for each in made)


def test_a_figure_of_other_beats_than_the_book_s_is_read_nowhere() -> None:
    """`Vine left 8 cts` is another Vine than the book's, and so is `Vine right`; where one line fits, both are its."""
    other = drafted("A\nVine left 8 cts\n2 Triples\nVine right\n4 Basics\n")
    fits = drafted("A\nVine left 8 cts\n2 Triples\nVine right 4 cts\nVine left\n")

    assert other[:4] == ["part A:", "? 8 beats", "Triple x2", "Basic x4"]
    assert fits[:5] == ["part A:", "? 8 beats", "Triple x2", "Vine, right foot", "Vine, left foot"]
