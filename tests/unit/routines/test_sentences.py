"""A clogging description told in running text: what its sentences ask for, and how long that is."""

import pytest

import stepcheck as sc
from stepcheck.cues.entries import entries
from stepcheck.routines.sentences import told_plainly


def part(told: str, more: str = "") -> str:
    """Return the part A of a draft in which that is told under its head, as one text; `more` stands in the header."""
    text = f"Low Water\nclogging\n{more}Left foot lead.\n\nPart A\n{told}\n\nPart B\n4 Basics\n\nOrder: A B\n"
    return sc.draft(text).text.partition("part A")[2].partition("\n\n")[0]


@pytest.mark.parametrize(
    ("told", "lines"),
    [
        ("Do two Triples and follow with one Basic.", ["Triple x2", "Basic"]),
        ("Begin with a Triple on the left foot. Then add two Basics.", ["Triple, left foot", "Basic x2"]),
        ("Two Basics. Do another Triple, and finish with a Charleston.", ["Basic x2", "Triple", "Charleston"]),
        ("Four Basics. That is 8 beats, so do it twice.", ["2 times:", "beats 1-8:", "Basic x4"]),
        ("Two Triples, 8 beats, and then two Basics, 4 beats.", ["Triple x2", "Basic x2"]),
        ("Do 2 Triples.\nThat is 8 beats too.", ["Triple x2"]),
    ],
)
def test_what_a_sentence_asks_for_is_danced(told: str, lines: list[str]) -> None:
    """Its verb is no step and no note; a length behind it, and how often it is danced, are its own."""
    danced = [each.split("  #")[0].strip() for each in part(told).splitlines()[1:]]
    assert danced == lines


@pytest.mark.parametrize(
    "told",
    ["Two Basics. End up with your back to the wall", "Do a thru c two times", "Two Basics, and end with your arms up"],
)
def test_a_sentence_is_cut_only_before_something_that_is_danced(told: str) -> None:
    """`End up with your back to …` asks for nothing, and a letter is no article."""
    lines = entries([told])
    assert told_plainly(lines) == lines


def test_the_name_of_a_part_begins_its_sentence() -> None:
    """`On the verse, do …` heads the part; where a line heads it, such a sentence is of that."""
    text = "Low Water\nclogging\n\nOn the verse, do two Triples.\n\nIn the chorus, we do four Basics.\n\nOrder: verse, chorus\n"
    made = sc.draft(text).text
    assert "part Verse:\n  Triple x2\n" in made and "part Chorus:\n  Basic x4\n" in made
    again = sc.draft(text.replace("In the", "CHORUS\nTwo Triples\nOn the")).text
    assert again.count("part Chorus") == 1


def test_a_turn_on_the_last_steps_of_a_figure_is_its_own() -> None:
    """`On the three rock steps at the end` is where it turns, and dances no rock step more."""
    said = "One Cowboy, turning {} to the left on the three rock steps at the end"
    for size in ("half way around", "1/2"):
        assert part(said.format(size)).splitlines()[1:] == ["  Cowboy, turn 1/2 left (on the rs)"]


def test_where_dancers_face_stands_before_the_repeat_behind_it() -> None:
    """The first time ends at the back, and the last one at the front."""
    said = "One Cowboy, 1/2 left. Now you face the back wall. Do the whole thing again and you come home to the front."
    first, _, last = part(said).partition("expect facing front")
    assert "1st time only:" in first and "expect facing back" in first and "expect" not in last


def test_a_length_in_a_sentence_is_of_all_so_far_or_of_the_line_before() -> None:
    """One that is neither is open."""
    told = "Two Triples. Two Basics. That is {} beats. Two Basics."
    opened = [sc.draft(f"Low Water\nclogging\n\nPart A\n{told.format(size)}\n").open for size in (12, 4, 10)]
    assert [bool(each) for each in opened] == [False, False, True]


def test_one_more_of_a_part_is_that_part_once_more() -> None:
    """`… and then one more chorus`, under a word for the order."""
    text = "Low Water\nclogging\n\nVerse\n2 Triples\n\nChorus\n4 Basics\n\nWe dance it like this: verse, chorus, {}.\n"
    assert sc.draft(text.format("verse, chorus and then one more chorus")).text.endswith(
        "dance:\n  Verse\n  Chorus\n  Verse\n  Chorus\n  Chorus\n"
    )


@pytest.mark.parametrize(
    ("beside", "below", "lines"),
    [
        (
            "Four Basics (8 beats)",
            "Double step on the left, rock on the right, step on the left.",
            ["Basic x4, left foot"],
        ),
        (
            "Two Rocking Chairs (8 beats)",
            "Double step left, brush the right and lift the left heel, double step right, rock on the left, step on the "
            "right. 4 beats.",
            ["Rocking Chair x2"],
        ),
        (
            "Two Basics (8 beats)",
            "Stamp left, stamp right, stamp left, stamp right.",
            ["Basic x2", "STA(L) STA(R) STA(L) STA(R)"],
        ),
        (
            "Stamp and Roam (8 beats)",
            "Stamp left, clap, stamp right, clap. Two Basics.",
            ["STA(L) CLAP STA(R) CLAP", "Basic x2"],
        ),
    ],
)
def test_steps_under_the_figure_that_fills_its_part_tell_that_figure(beside: str, below: str, lines: list[str]) -> None:
    """They last as long as one of it, and are open, not danced; under a title they are the dance."""
    text = f"Low Water\nclogging\nLeft foot lead.\n\nPart One. {beside}\n{below}\n\nPart Two\n4 Basics\n\nOrder: One, Two\n"
    told = sc.draft(text).text.partition("part Part One: 8 beats\n")[2].partition("\n\n")[0]
    assert [each.split("  #")[0].strip() for each in told.splitlines()] == lines


def test_how_long_each_lasts_is_no_figure() -> None:
    """`4 counts each (that's DS RS RS RS)` says a row of the figure before it."""
    made = sc.draft(
        "Low Water\nclogging\n\nPart A\nPush-off left, 4 counts each (that's DS RS RS RS, really travel!).\n"
    )
    assert "figures:" not in made.text


def test_an_order_down_the_page_goes_on_with_a_line_that_says_more() -> None:
    """Its part is danced in its place, what is not read of it open; parts may be called by number words."""
    head = "Low Water\nclogging\n\nVerse\n8 Triples\n\nChorus\n4 Basics\n\nSo the order is\n"
    made = sc.draft(
        f"{head}   verse\n   chorus\n   (fiddle) verse, but only the first 16\n   chorus, second one with a turn\n   verse\n"
    )
    assert made.text.partition("dance:\n")[2].split("\n\n")[0].replace("  ", "").splitlines() == [
        "Verse", "Chorus", "Verse, first 16 beats", "Chorus", "Verse",
    ]  # fmt: skip
    assert any("second one with a turn" in each for each in made.open)
    last = sc.draft(f"{head}verse, chorus, verse, chorus.\nAt the end of the last verse stomp left and stop.\n")
    assert last.text.partition("dance:\n")[2].split("\n\n")[0].split() == ["Verse", "Chorus"] * 2
    parts = "".join(f"Part {each}\n4 Basics\n\n" for each in ("One", "Two", "Three", "Four"))
    numbered = sc.draft(f"Low Water\nclogging\n\n{parts}How it goes together: One, Two, Three, Four, One.\n").text
    assert numbered.endswith("  Part Three\n  Part Four\n  Part One\n")


def test_a_line_that_says_how_long_it_is_does_not_go_on_in_one_that_says_so_too() -> None:
    """However full the line is, its beats are its own; with those of the line below alone it goes on there."""
    full = "Triple, Triple, Triple, Stomp L, clap. Basic, Basic, Stomp L, clap"
    apart = [
        each.split("  #")[0].strip() for each in part(f"{full} - 2 beats\nstep R, hold (2 beats)").splitlines()[1:]
    ]
    assert apart == ["? 2 beats", "S(R) HOLD"]
    assert part(f"{full},\nstep R, hold (22 beats)").endswith(" S(R) HOLD")


def test_a_repeat_below_a_full_line_is_no_part_of_its_last_figure() -> None:
    """`same on R` dances the line above on the other foot, though that ends without a sign."""
    full = "Triple L, Triple R moving forward, Triple L, Basic R, Charleston and a Basic"
    assert part(f"{full}\nsame on R").count("Charleston") == 2


def test_a_break_with_a_name_and_a_length_is_a_part_and_a_list_of_names_no_dance() -> None:
    """`The Heel Break (8 beats):` heads the lines under it; a row of names, of which the sheet has not all, may be the
    order, so that none is made up."""
    made = sc.draft(
        "Sallow Row (clogging)\nleft foot lead\n\nWhat we do (16 beats):\n\n* First, four Basics, standing still. 8 beats\n"
        "* Next, two Triples. 8 beats\n\nThe Heel Break (8 beats):\n\n* Two Chains. 8 beats\n\n"
        "How it all fits together:\n   main - main - HEEL BREAK - main - HEEL BREAK - main - stomp!\n"
    )

    assert "part What we do: 16 beats\n  Basic x4 (in place)\n  Triple x2\n" in made.text
    assert "part Heel Break: 8 beats\n  Chain x2\n" in made.text
    assert "\ndance:" not in made.text
    assert any("HEEL BREAK - main" in each for each in made.open)


def test_a_turn_that_is_made_a_little_on_each_is_open() -> None:
    """How far each of them turns it does not say: they are no quarter each."""
    made = sc.draft(
        "Sallow Row (clogging)\n\nPart A\nFour Basics, turn a quarter to the left, a little on each one. 8 beats\n"
    )

    assert "  ? 8 beats  # Four Basics" in made.text


def test_what_stands_among_the_figures_explained_is_no_dance() -> None:
    """`STOMP: the whole foot …` behind two figures with their rows tells what it is, and is danced nowhere."""
    made = sc.draft(
        "Sallow Row (clogging)\n\nPart A\n8 Basics   16\n\nBASIC = DS RS. Rock on the ball.\n\n"
        "CHAIN = DS RS RS RS. Keep it small.\n\nSTOMP: put the whole foot down flat.\n"
    )

    assert "part A:\n  Basic x8\n\ndance:" in made.text
    assert any("STOMP" in each for each in made.open)
