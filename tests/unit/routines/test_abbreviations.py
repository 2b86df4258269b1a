"""The abbreviations that a cue sheet explains above its parts."""

import re

import pytest

import stepcheck as sc

TOLD = "Millrace Reel (clogging)\nwait 8, left foot lead\n\n{said}\n\nPart A\nTriple\nDS RS\n\nPart B\n4 Basics\n\nOrder: A B A\n"


@pytest.mark.parametrize(
    "said",
    [
        "DS - Double Step\nSTO - Stomp\nS - Step",
        "DS: Double Step\nRS: Rock Step\nS: Step",
        "DS = Double-Toe Step\nS = Step",
        "DS=Double Step RS=Rock Step S=Step",
        "Double Step = DS\nRock Step = RS",
        "Abbreviations:\nS Step\nDS Double Step\nRS Rock Step",
        "DS (double step), RS (rock step), S (step)",
        "DS stands for Double Step, RS for Rock Step and S for Step",
        "Note: DS is a double step, RS is a rock step, S is a step.",
        "[DS] Double Step [RS] Rock Step [S] Step",
        "DS -> double step\nRS -> rock step\nS -> step",
        "Legend: DS=doublestep, RS=rockstep, S=step",
        "DS..........Double Step\nSTO.........Stomp",
        "DS | Double Step\nRS | Rock Step\nS | Step",
    ],
)
def test_what_abbreviations_stand_for_is_no_dance(said: str) -> None:
    """However they are set it is a remark: nothing of it is danced, no part begins with it, and nothing is open."""
    made = sc.draft(TOLD.format(said=said))

    assert not made.open
    assert "part A:\n  Triple\n  DS RS\n\npart B:\n  Basic x4\n\n" in made.text
    assert made.text.count("part ") == 2


@pytest.mark.parametrize("said", ["A - Stomp, B - Stamp", "S S, DS RS", "Basic (L), Triple (R)"])
def test_steps_in_brackets_or_behind_a_dash_are_no_abbreviations(said: str) -> None:
    """What may be danced is danced, or open."""
    made = sc.draft(TOLD.format(said=said))

    assert made.open or made.text.count("part ") == 3


WATER = "WATER GATE\nClogging, easy. Wait 16, left foot\n\nA: 16 beats\n{rows}\n\nB: 8 beats\n2 Basics, Triple\n\nOrder: A B A\n{key}"


@pytest.mark.parametrize(
    "key",
    [
        "\nT triple. B basic. Jo joey. RC rkg chair (DS br-sl DS RS)",
        "\nRC rocking chair, Jo joey, T triple, B basic",
        "Abbrev:  T triple   B basic   Jo joey   RC rocking chair   xif/os in front / out to the side",
    ],
)
def test_a_list_without_signs_explains_all_rows_wherever_it_stands(key: str) -> None:
    """A list of nothing but short words, each beside a name that has its letters in their order, is never danced, also
    under the order, and what it shortens is read in all rows; a row in brackets is the figure's."""
    made = sc.draft(WATER.format(rows="T\nRC\n2 B\nT", key=key))

    assert not made.open
    assert "  Triple\n  Rocking Chair\n  Basic x2\n  Triple\n" in made.text
    assert ("Rocking Chair: DS BR SL DS RS" in made.text) == ("(DS" in key)


@pytest.mark.parametrize(
    ("rows", "assumed", "lines"),
    [
        ("2 Tr (8)\nFD (4)\nOH (4)", "Tr Triple, FD Fancy Double, OH Outhouse", "Triple x2, Fancy Double, Outhouse"),
        ("Sam (8)\n2 Tr (8)", "Sam Samantha, Tr Triple", "Samantha, Triple x2"),
        ("Tr (6)\n2 Tr (8)", "", ""),
        ("2 Ch (8)\n2 Triples (8)", "", "? 8 beats, Triple x2"),
        ("2 Qz (8)\n2 Triples (8)", "", "? 8 beats, Triple x2"),
        ("TR (4)\nTL (4)\n2 FD (8)", "TR Triple, TL Triple Loop, FD Fancy Double", "Triple, Triple Loop"),
        ("2 Jy (8)\n2 Triples (8)", "", "? 8 beats, Triple x2"),
        ("RC (8)\n2 Triples (8)", "", "? 8 beats, Triple x2"),
        ("8 Br (8)\n2 Triples (8)", "", "? 8 beats, Triple x2"),
        ("4 Br (8)\n2 Triples (8)", "", "? 8 beats, Triple x2"),
    ],
)
def test_a_word_is_the_one_figure_that_it_shortens_where_all_its_rows_last_so_long(
    rows: str, assumed: str, lines: str
) -> None:
    """Without a list the beginning or the letters of just one figure are that figure, which is assumed; two figures,
    or one row whose beats it does not have, leave it open."""
    made = sc.draft(WATER.format(rows=rows, key=""))
    wanted = {" is ".join(each.split(" ", 1)) for each in assumed.split(", ") if each}

    assert {each for each in made.assumed if re.match(r"[A-Z]\w{1,3} is ", each)} == wanted
    assert bool(made.open) == (not wanted)
    said = re.sub(r"  # .*", "", made.text)
    assert "\n  ".join(["", *filter(None, lines.split(", "))]) in said


def test_a_list_changes_no_codes_and_its_last_row_is_a_figure() -> None:
    """What is a code already stays one, and a row behind a name with a sign is its footwork, never danced below."""
    key = "\nDS double-toe step. FD fancy dbl. Ch chain = DS RS RS RS. Sto stomp"

    made = sc.draft(
        WATER.format(rows="* Low Kick fwd:  DS DS DS K   (L R L, kick R)   4\n2 Chains (8)\nFD (4)", key=key)
    )

    assert not made.open and "Low Kick fwd: DS DS DS K" in made.text and "Chain: DS RS RS RS" in made.text
    assert (
        "  Low Kick fwd, left foot (kick)\n  Chain x2\n  Fancy Double\n" in made.text and made.text.count("part ") == 2
    )


def test_a_word_that_the_sheet_explains_is_no_other_figure() -> None:
    """What is short for a step in the sheet is that step, though a figure of the book begins alike."""
    made = sc.draft(WATER.format(rows="2 Joe (4)\nTriple (4)\n2 FD (8)", key="\nJoe = stomp\nTch = touch"))

    assert "Joey" not in made.text and "FD is Fancy Double" in made.assumed


def test_a_list_under_its_title_may_hold_a_few_other_words() -> None:
    """`Abbrev:` before it says what the line is: it is no figure, though one of its pieces is no abbreviation."""
    key = "\nAbbrev: DS double step, RS rock step, H heel, BR brush, xif/os/ib in front / out to the side / in back"

    made = sc.draft(WATER.format(rows="2 Triples (8)\n2 Triples (8)", key=key))

    assert "figures:" not in made.text and not made.open


def test_a_key_behind_the_ending_is_not_danced() -> None:
    """Words that abbreviations stand for make no row with what stands beside them, below the last part either; a row
    there is no key."""
    sheet = "Millrace Reel (clogging)\nwait 8\n\nVerse (8)\n2 Triples\n\nEND: step L\n\n"

    made = sc.draft(sheet + "ds = double step, r/s = rock step, xif/xib = crossed in front / behind")
    assert "part Ending:\n  Step, left foot\n\n" in made.text
    assert not any("line 9" in each for each in made.open)
    assert "DS DS RS" in sc.draft(sheet + "ds = double step, s = step, then ds ds rs").text
    assert sc.draft(sheet + "Up = DS UP DS RS      Mud = same thing but at home").open


def test_a_stroke_in_an_abbreviation_parts_no_other_from_it() -> None:
    """`r/s = rock step` says nothing of `s`, so that `r/s` stays one code wherever it stands."""
    sheet = "Millrace Reel (clogging)\nwait 8\n\nVerse (8)\nstomp L, ds R, ds L, r/s R L (4)\nds R, ds L, ds R, r/s L R (4)\n\n"
    made = sc.draft(sheet + "ds = double step, r/s = rock step, xib = behind")

    assert made.open == () and "  STO(L) DS(R) DS(L) RS(R)\n  DS(R) DS(L) DS(R) RS(L)\n" in made.text
