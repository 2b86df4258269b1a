"""Numbers, marks and footwork that stand apart from their figure by a sign or a word of their own."""

import pytest

import stepcheck as sc

FRONT = "Osier Row (clogging)\nwait 8, left foot lead\n\n"


def lines(said: str) -> list[str]:
    """Return the lines of the parts, without remarks, of a description of which nothing is open."""
    made = sc.draft(FRONT + said)
    assert made.open == ()
    text = made.text[made.text.index("\npart ") :].split("dance:")[0]
    found = [line.split("  #")[0].strip() for line in text.splitlines()]
    return [line for line in found if line and not line.startswith("part ")]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Triple *turn 1/4 left*", "Triple, turn 1/4 left"),
        ("2 Chains *1/4 R on each", "Chain x2, turn 1/4 right"),
        ("Triple * 4", "Triple x4"),
        ("Chain *move right", "Chain (to the right)"),
        ("| Triple | turn 1/4 left |", "Triple, turn 1/4 left"),
        ("| 2 | Chain | 1/4 left each |", "Chain x2, turn 1/4 left"),
        ("3 | Chain | 12", "Chain x3"),
        ("| Basic | left foot |", "Basic, left foot"),
        ("Triple | DS DS DS RS", "Triple"),
    ],
)
def test_stars_and_strokes_part_a_figure_from_its_marks(said: str, wanted: str) -> None:
    """A star before a mark, and strokes between the cells of one line, part what a comma would; a number behind a star
    is how often the figure is danced."""
    assert lines(f"A\nCharleston\n{said}\n") == ["Charleston", wanted]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Chain - do 4", "Chain x4"),
        ("Chain, 3 in a row", "Chain x3"),
        ("3 Chains one after the other", "Chain x3"),
        ("2 ea. Chain", "Chain x2"),
        ("3 X's Chain", "Chain x3"),
        ("Chain (1 time)", "Chain"),
        ("One time Chain", "Chain"),
        ("Chain 1x only", "Chain"),
        ("Chain, once only", "Chain"),
    ],
)
def test_how_often_a_figure_is_danced_in_other_words(said: str, wanted: str) -> None:
    """How often is said in many ways, and `only` behind `once` takes nothing away."""
    assert lines(f"A\nCharleston\n{said}\n") == ["Charleston", wanted]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Triple (left 1/4)", "Triple, turn 1/4 left"),
        ("Chain (qtr turn right)", "Chain, turn 1/4 right"),
        ("2 Chains (complete turn left)", "Chain x2, turn 1/2 left"),
        ("4 Chains, 1 full turn R", "Chain x4, turn 1/4 right"),
        ("2 Chains, turning once around to the right", "Chain x2, turn 1/2 right"),
        ("4 Triples, once around to the left", "Triple x4, turn 1/4 left"),
        ("Chain (2x) turn 360 to the left", "Chain x2, turn 1/2 left"),
        ("4 Triples with a quarter turn left on every Triple", "Triple x4, turn 1/4 left"),
        ("Chain (3x) 1/4 right per Chain", "Chain x3, turn 1/4 right"),
        ("3 Chains, 1/4 left at a time", "Chain x3, turn 1/4 left"),
    ],
)
def test_turns_in_other_words(said: str, wanted: str) -> None:
    """A turn may stand behind its side, be called complete or once around, and be said of each figure by its name."""
    assert lines(f"A\nCharleston\n{said}\n") == ["Charleston", wanted]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Triple plus Basic", ["Triple", "Basic"]),
        ("Triple into 2 Chains", ["Triple", "Chain x2"]),
        ("Triple first, then the Chain", ["Triple", "Chain"]),
        ("Chain, which moves to the left", ["Chain (to the left)"]),
        ("Chain, travels right", ["Chain (to the right)"]),
        ("Chain START left FOOT", ["Chain, left foot (START)"]),
        ("Chain - starts right", ["Chain, right foot"]),
        ("left ft. Chain", ["Chain, left foot"]),
    ],
)
def test_what_follows_and_where_it_begins_and_goes(said: str, wanted: list[str]) -> None:
    """Words that join two figures, and verbs before a way or a foot."""
    assert lines(f"A\nCharleston\n{said}\n") == ["Charleston", *wanted]


@pytest.mark.parametrize(
    "said",
    [
        "Triple (steps: DS DS DS RS)",
        "Triple, that is DS DS DS RS",
        "Triple: the steps are DS DS DS RS and the feet are L R L RL",
        "Triple - footwork DS DS DS RS",
    ],
)
def test_words_in_front_of_the_codes_of_a_figure_are_no_name(said: str) -> None:
    """What codes and feet are called in front of them makes no figure of its own."""
    assert [each.split(",")[0] for each in lines(f"A\n2 Chains\n{said}\n")] == ["Chain x2", "Triple"]


def test_two_codes_that_are_a_figures_own_are_not_danced_again() -> None:
    """Behind a comma the whole footwork of a short figure tells this one, but other steps are danced."""
    assert lines("A\n2 Triples\nBasic, DS RS\n") == ["Triple x2", "Basic"]
    assert lines("A\n2 Triples\nBasic, DS DS\n") == ["Triple x2", "Basic", "DS DS"]


def test_numbers_with_brackets_that_count_nothing_up_are_how_often() -> None:
    """Numbers that do not rise from line to line are no numbers of a list."""
    assert lines("A\n3) Triples\n2) Basics\n4) Chains\n") == ["Triple x3", "Basic x2", "Chain x4"]
    assert lines("A\n1) 4 Triples\n2) Basic\n3) Chain\n") == ["Triple x4", "Basic", "Chain"]
    assert lines("A\n1) Triple\n2) Basic\n3) Chain\n") == ["Triple", "Basic", "Chain"]


def test_a_figure_explained_among_other_cues_is_danced_or_open() -> None:
    """What a figure is, told on a line among cues of which the one above is another one, is danced where its part has
    just that room, and open where nothing says; under its own cue it only explains that."""
    among = "Chain\nTriple = DS DS DS RS\n2 Basics\n"

    assert lines(f"A (12 beats)\n{among}") == ["Chain", "Triple", "Basic x2"]
    assert any("Triple = DS DS DS RS" in each for each in sc.draft(f"{FRONT}A\n{among}").open)
    assert lines("A\n4 Triples\nTriple = DS DS DS RS\n2 Basics\n") == ["Triple x4", "Basic x2"]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("(4) Fancy Double (3) Chain", ["Fancy Double x4", "Chain x3"]),
        ("(2) Basic (4) Triple", ["Basic x2", "Triple x4"]),
        ("(1) Triple (1) Chain", ["Triple", "Chain"]),
    ],
)
def test_a_number_in_brackets_between_figures_is_of_the_one_it_begins(said: str, wanted: list[str]) -> None:
    """Where the first figure of a line has its number in front, in brackets, so has the next one."""
    assert lines(f"A\n(2) Basics (4 beats)\n{said}\n") == ["Basic x2", *wanted]


@pytest.mark.parametrize(
    ("said", "wanted", "opened"),
    [
        ("4 Basics   DS   RS   2 ea.", "Basic x4", False),
        ("2 Triples fwd, 4 each", "Triple x2 (forward)", False),
        ("2 Triples, 4 each, turn 1/4 left on each", "Triple x2, turn 1/4 left", False),
        ("2 Basics, 4 each", "? 8 beats", True),  # a Basic has two
        ("Push Offs L & R, 4 each", "? 8 beats", True),  # how often, or how long?
        ("2 Triples, 4 on each foot", "? 8 beats", True),
        ("Triple, 4 beats each foot", "Triple x2", False),
        ("2 Triples L, 4 each", "Triple x2, left foot", False),  # no foot of each
    ],
)
def test_a_number_of_each_is_its_beats_where_a_figure_has_so_many(said: str, wanted: str, opened: bool) -> None:
    """`4 each` behind several of a figure is how long each lasts, if it does; else the line is a blank."""
    made = sc.draft(f"Weir Reel (clogging)\nwait 8, left foot\n\nA (8)\n{said}\n")

    assert (f"\n  {wanted}" in made.text, bool(made.open)) == (True, opened)


@pytest.mark.parametrize(
    ("under", "wanted"),
    [
        ("L    RL       full turn left, 1/4 on each", "Basic x4, left foot, turn 1/4 left\n"),
        ("L    RL       fwd", "Basic x4, left foot (forward)\n"),
        ("L RL full turn left", "Basic x4\n"),  # no gap: is the foot of the turn?
    ],
)
def test_marks_stand_behind_a_gap_under_a_row_of_two_codes(under: str, wanted: str) -> None:
    """Two feet before a gap are those of the row above, and what stands behind them is said of the whole cue."""
    made = sc.draft(f"Weir Reel (clogging)\nwait 8\n\nA (8)\n4 Basics   DS   RS   8\n           {under}\n")

    assert f"\n  {wanted}" in made.text


@pytest.mark.parametrize(
    ("under", "wanted"),
    [
        ("L   R  L  RL    then R ft.", "Stomp Double x2, left foot\n"),
        ("L   R  L  RL    then on the left foot", "? 8 beats"),  # which began the first one, and isn't free
        ("L   R  L  RL    no turn", "Stomp Double x2, left foot\n"),
    ],
)
def test_a_foot_behind_then_is_that_of_the_second_time(under: str, wanted: str) -> None:
    """`then R ft.` behind the feet of one time says on which foot the other one is, if that is the other foot; that
    nothing turns says no more than the row."""
    row = "2 Stomp Doubles   STO DS DS RS     8"
    made = sc.draft(f"Weir Reel (clogging)\nwait 8\n\nA (16)\n{row}\n                  {under}\n2 Triples\n")

    assert f"\n  {wanted}" in made.text and bool(made.open) == wanted.startswith("?")
