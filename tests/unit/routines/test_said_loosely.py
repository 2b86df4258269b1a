"""How teachers write in haste: what is read of it, and what stays open."""

import pytest

import stepcheck as sc

HEAD = "Sallow Row (clogging)\nwait 8, left foot lead\n\n"


def drafted(said: str) -> sc.Draft:
    """Return the draft of the parts of a sheet."""
    return sc.draft(HEAD + said)


@pytest.mark.parametrize("line", ["STOMP R. DONE.", "2 Stomps. Bow low, grin.", "Stomp L"])
def test_steps_right_below_the_order_are_in_no_part(line: str) -> None:
    """They end the dance, not the part that stands last: however little of them is read, they are open."""
    made = drafted(f"A\n4 basics\n\nB\n2 cowboys\n\nA B A B\n{line}\n")

    assert "part B:\n  Cowboy x2\n\n" in made.text
    assert any(line.rstrip(".") in each for each in made.open)


def test_a_usual_name_may_be_two_words_or_have_one_behind_it() -> None:
    """`pre chorus`, `bridge thing` and `tag bit` head parts, and the order calls these by either."""
    made = drafted(
        "verse\n4 basics\n\npre chorus - only 8\n2 triples\n\nCHORUS\n2 cowboys\n\nbridge thing: 2 fancy doubles\n\n"
        "tag bit\ncharleston x2\n\nverse pre chorus chorus / bridge / chorus / tag bit\n"
    )

    assert "part Pre chorus: 8 beats\n  Triple x2" in made.text
    assert "part Bridge thing:\n  Fancy Double x2" in made.text
    danced = [each.strip() for each in made.text.split("dance:\n")[1].splitlines()]
    assert danced == ["Verse", "Pre chorus", "Chorus", "Bridge thing", "Chorus", "Tag bit"]


def test_feet_with_then_behind_a_row_are_how_often_it_is_danced() -> None:
    """Two feet with `then` between them are none of four codes."""
    made = drafted("A\nstomp ds ds rs   L then R\nDS DS DS RS   R then L\n")

    assert "  STO(L) DS DS RS STO(R) DS DS RS\n  DS(R) DS DS RS DS(L) DS DS RS\n" in made.text


def test_a_row_behind_so_is_no_footwork_of_the_figure_before_it() -> None:
    """`so` tells all that stands before it once more, not its last figure alone."""
    made = drafted("A\nds ds kick (the hop) + a triple... so ds ds k h rs ds ds ds rs. 8 cts\n2 triples\n")

    assert "figures:" not in made.text
    assert "  ? 8 beats" in made.text and "  Triple x2" in made.text


def test_several_of_unsaid_number_are_no_cue() -> None:
    """How often `the Vines` are danced in a part that is cut short, nothing says."""
    made = drafted(
        "VERSE 1\n4 Basics\n2 Vines\n\nVERSE 2, short - just the Basics and the Vines\n\nCHORUS\n2 cowboys\n"
    )

    assert "\npart Verse 2" not in made.text
    assert any("just the Basics and the Vines" in each for each in made.open)
    assert "# VERSE 2, short - just the Basics and the Vines" in made.text


def test_slow_in_front_of_steps_is_no_time_of_theirs() -> None:
    """How slow they are, nothing says."""
    made = drafted("A\n4 basics\nslow!!! step touch L, step touch R\n")

    assert "S TCH" not in made.text
    assert any("slow" in each for each in made.open)


def test_a_figure_goes_forward_so_many_and_backs_up() -> None:
    """The number is that of its own steps."""
    assert "  Cowboy (forward, back)\n" in drafted("A\nCowboy, forward 3 & back it up\n").text


def test_a_part_told_in_a_sentence_lasts_as_its_last_number_says() -> None:
    """What isn't read of it is a blank of these beats, in a part of that name."""
    made = drafted(
        "A\n4 basics\n\nBridge - after second A. Weasel left, weasel right (or what you call it), two of those. 16.\n\n"
        "Order is A, A, Bridge, A\n"
    )

    assert "part Bridge: 16 beats  # after second A\n  ? 16 beats" in made.text


def test_who_says_what_a_figure_is_does_not_name_it() -> None:
    """`Ann says the joeys are …` teaches no figure of that name."""
    made = drafted("A\njoey L, joey R\n\nAnn says the joeys are DS ball ball ball ball ball step.\n\nA\n")

    assert "says the joeys:" not in made.text


def test_small_letters_and_a_length_in_brackets_head_a_part() -> None:
    """What stands so alone behind an empty line lasts longer than a step of that name; the order may be a numbered list
    of such names, which ends where a line says more."""
    made = drafted(
        "verse [16b]\n- 4 basics\n- 2 triples\n\nskip [8b]\n- cowboy\n\nbarn end [8b]\n- 4 basics\n\nhow it runs:\n"
        "1. verse, skip, verse\n2. barn end (2x)\n3. last 8 = cowboy, no turn\n\n* the 2nd verse is to the back wall\n"
    )

    assert "part Verse: 16 beats\n  Basic x4\n  Triple x2\n\npart skip: 8 beats\n  Cowboy\n" in made.text
    danced = [each.strip() for each in made.text.split("dance:\n")[1].split("\n\n")[0].splitlines()]
    assert danced == ["Verse", "skip", "Verse", "barn end x2"]
    assert any("last 8 = cowboy" in each for each in made.open) and any("2nd verse" in each for each in made.open)


def test_a_figure_and_its_length_head_no_part() -> None:
    """A figure may be as long as it says."""
    assert "part A:\n  Basic x4\n  Samantha\n" in drafted("A\n4 basics\n\nsamantha [8b]\n\nA\n").text


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("Mud Turn   DS-DS-DS-RS   R-L-R-LR", "Mud Turn, right foot"),
        ("ds.ds-x.rs.rs", "DS DS RS RS (x)"),
        ("- ds.k-x.sl.ds.rs.", "DS K SL DS RS (x)"),
        ("pump swing (ds.k-side.sl.k-x.sl.rs) L + R  8", "pump swing, left foot\n  pump swing, right foot"),
    ],
)
def test_codes_joined_by_dots_are_a_row(line: str, wanted: str) -> None:
    """Single dots between codes are as good as spaces, and hyphens between codes or feet as well."""
    assert f"part A:\n  {wanted}" in drafted(f"A\n{line}\n").text


def test_lengths_on_one_foot_and_the_other_are_those_of_both() -> None:
    """`- 4 ; R - 4` is eight beats in all, and `(4) left then right` as well where a row has four."""
    made = drafted(
        "A\n2 basics\nheel.toe.heel.toe on L, ds.rs -> 4 ; R -> 4\nTriple L - 4; R - 4\nDS DS RS RS (4) left then right\n"
    )

    assert "  ? 8 beats  # heel.toe" in made.text
    assert "  Triple, left foot, 4 beats\n  Triple, right foot, 4 beats\n" in made.text or (
        "  Triple, left foot\n  Triple, right foot\n" in made.text
    )
    assert "  DS(L) DS RS RS DS(R) DS RS RS\n" in made.text


def test_words_behind_a_row_on_its_beats_add_none() -> None:
    """Which of its steps they speak of, nothing says."""
    made = drafted("A\nSTA STA DS RS (4) both feet... R stamp, L stamp no weight on the second one\n")

    assert "part A:\n  STA STA DS RS\n\n" in made.text
    assert any("no weight on the second one" in each for each in made.open)


BUCK = """[A] 32
 1. Trot-down          DS(L) K(R) H(L) RS(RL)
 2. Tin Switch         DS(R) SK(L) H(R) S(L xif) DR(L) S(R ib) RS(LR)
                       &1    &     2    &        3     & ... 4  or near it
    do 1 & 2 again, R ft
 3. Wild Pony          ZZ(R) DS(L) RS(RL) QQ(R)
 4. 2 Mud Triples      DBL-BA-H  DBL-BA-H  RS

[B] 16
 1. Canadian           DS(L) DT(R)xif H(L) DT(R)os H(L) RS(RL)
    2x alt ft
 2. Trot-down
    x2 (L, R)

A | B
"""


def test_numbered_lines_are_danced_in_their_part() -> None:
    """A line with its number and a row that isn't read is a blank there, and nothing of it is cut off and danced."""
    made = drafted(BUCK)
    part = made.text.split("part A: 32 beats\n")[1].split("\n\n")[0]

    assert "Wild Pony" in part and "Mud Triples" in part
    assert "\n  RS" not in part
    assert "Trot-down: DS K H RS\n" in made.text and "  Tin:" not in made.text


def test_how_often_the_figure_above_is_danced_stands_below_it() -> None:
    """`2x alt ft` and `x2 (L, R)` say it of one figure, and lines are danced again by their numbers."""
    made = drafted(BUCK)

    assert (
        "part B: 16 beats\n  Canadian x2, left foot\n  Trot-down, left foot\n  Trot-down, right foot\n"
        in made.text.replace("Trot-down x2, left foot", "Trot-down, left foot\n  Trot-down, right foot")
    )
    part = made.text.split("part A: 32 beats\n")[1].split("\n\n")[0].splitlines()
    assert part[0].startswith("  Trot-down, left foot") and part[1].startswith("  Tin Switch, right foot")


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("A\nBasic x 4   DS-RS (L-RL)", "Basic x4, left foot"),
        ("A\n8 Basics in place, L foot first (16)", "Basic x8, left foot (in place)"),
        ("A\nL  DS/DR/S/DR/S/RS  alt ft 2X [8]", "DS(L) DR S DR S RS DS DR S DR S RS"),
        ("A (8)\nStomp Doubles one more time", "? 8 beats"),
        ("Link (after the chorus)\n2 Basics\n\nA\n2 Triples\n\nA / Link / A", "Basic x2"),
    ],
)
def test_what_is_said_loosely_is_read_or_open(said: str, wanted: str) -> None:
    """Feet in a row with dashes, which foot is first, feet that alternate, a part that only the order and its head name;
    several of which nothing says how many are a blank."""
    made = sc.draft(f"Sedge Mill (clogging)\n\n{said}\n").text
    lines = [each.split("  # ")[0].strip() for each in made[made.index("part ") :].splitlines()]

    assert wanted == lines[1]


@pytest.mark.parametrize(
    "said", ["Wait 2 sets of 8.", "Wait (two 8's), left foot lead", "Intro: two sets of eight counts"]
)
def test_a_wait_in_eights_is_as_long_as_they_are(said: str) -> None:
    """No number of eights is one of beats."""
    for tradition, unit, steps in (
        ("clogging", "beats", "A\n2 Basics"),
        ("line dance", "counts", "1-4 Vine right, touch"),
    ):
        assert f"wait: 16 {unit}\n" in sc.draft(f"Sedge Mill\n{tradition}\n{said}\n\n{steps}\n").text


def test_beats_and_a_dash_in_front_are_a_margin_and_a_break_has_its_head() -> None:
    """`8 - Clogover Vine` lasts eight beats, however many it is; a break with a name of its own is a part, and one that
    is said to be another, and isn't quite, is as long as is stated."""
    made = sc.draft(
        "Sedge Mill (clogging)\n\nVerse\n8 - Two Triples up\n8 - Clogover Vine left\n\nFiddle break\n8 - Four Basics\n\n"
        "Verse 2\n16 - same as Vers, no turn\n"
    )

    assert "part Verse:\n  Triple x2, 8 beats (up)\n  Clog-over Vine, left foot, 8 beats\n" in made.text
    assert "part Fiddle break:\n  Basic x4, 8 beats\n" in made.text
    assert "part Verse 2: 16 beats\n" in made.text


@pytest.mark.parametrize(
    "said", ["tap your toes", "and clap along", "tapping your heel", "sway to the music", "clap with the band"]
)
def test_what_hands_and_toes_do_while_all_wait_is_no_dance(said: str) -> None:
    """`wait 16, tap your toes` is a wait, and no part."""
    made = sc.draft(
        f"Tallow Reel\nclogging\nlead left\n\nINTRO   wait 16, {said}\n\nPart A\n2 Triples\n\nSequence: A A\n"
    ).text

    assert "wait: 16 beats" in made and "Intro" not in made and "Toe" not in made and "Clap" not in made


@pytest.mark.parametrize("said", ["you are home", "and you're back home", "you are home again"])
def test_who_is_home_faces_the_front(said: str) -> None:
    """It is a claim, and no place of a foot."""
    made = sc.draft(
        f"Tallow Reel\nclogging\nlead left\n\nPart A\n4 Basics, turn 1/4 L on each, {said}\n\nSequence: A A\n"
    ).text

    assert "Basic x4, turn 1/4 left, facing front\n" in made
