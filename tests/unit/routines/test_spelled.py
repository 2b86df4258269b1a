"""Steps beside the name of a figure: its footwork, that of several figures, or danced as well."""

import pytest

import stepcheck as sc

FRONT = "Teasel Bank (clogging)\nwait 8, left foot lead\n\nA\n"


def read(line: str) -> tuple[list[str], str]:
    """Return the lines of part A that a line becomes, and the figures that are learnt."""
    text = sc.draft(f"{FRONT}{line}\n4 Basics\n").text
    figures, _, rest = text.partition("part A")
    said = [each.split("  #")[0].strip() for each in rest.split("dance:")[0].splitlines()[1:]]
    return [each for each in said if each][:-1], figures.partition("figures:")[2].strip()


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("Basic, Basic   DS RS DS RS   R LR L RL", ["Basic, right foot", "Basic"]),
        ("2 Basics and a Triple (ds rs, ds rs, ds ds ds rs)", ["Basic x2", "Triple"]),
        ("Chain, Fancy Double = DS RS RS RS DS DS RS RS", ["Chain", "Fancy Double"]),
    ],
)
def test_a_row_behind_several_figures_is_the_footwork_of_them_all(line: str, wanted: list[str]) -> None:
    """Steps that are those of several figures one behind the other make no figure of the last one."""
    assert (wanted, "") == read(line)


def test_steps_behind_a_name_without_a_sign_are_danced_as_well() -> None:
    """`Triple stomp stomp` is a Triple and two stomps; no figure of the book gets steps that it has none of."""
    assert (["Triple, left foot", "STO STO"], "") == read("TRIPLE L STOMP STOMP")


@pytest.mark.parametrize("line", ["Triple DS RS DS RS", "Triple DS DS RS DS DS RS", "Triple kick DS DS RS"])
def test_other_footwork_behind_a_name_without_a_sign_is_open(line: str) -> None:
    """Whether such steps are danced as well, or are how the figure is danced here, nothing says."""
    made = sc.draft(f"{FRONT}{line}\n4 Basics\n")

    assert "Triple:" not in made.text and "  Triple\n" not in made.text
    assert any(each.startswith("line 5") for each in made.open)


def test_a_row_with_a_word_that_is_no_code_is_no_footwork() -> None:
    """A figure is not learnt from the codes around a word that isn't read."""
    assert "Samantha:" not in sc.draft(f"{FRONT}2 Basics\nsamantha is ds ds(xif) dr st(ib) rs ds ds rs\n").text


@pytest.mark.parametrize("line", ["INTRO   4 meas. wait", "Intro: 4 bars", "Intro 16 beats"])
def test_a_number_before_its_unit_is_no_number_of_a_part(line: str) -> None:
    """An introduction of four measures is no part `Intro 4`; its measures are as many beats as any line says."""
    made = sc.draft(f"Teasel Bank (clogging)\n1 bar = 4 counts\n{line}\n\nA\n2 Triples\n\nIntro - A - A\n")

    assert "wait: 16 beats" in made.text
    assert made.text.endswith("dance:\n  A\n  A\n")


def test_a_line_that_is_no_turn_of_the_cue_above_gives_it_no_foot() -> None:
    """`turn trpl L, trpl R` below a cue is a line of its own."""
    assert ["Charleston x2", "Triple, right foot"] == [
        each for each in read("charleston 2x\nturn trpl 360 L, trpl R")[0] if "?" not in each
    ]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("Four basics in place. Double step, rock step. Left, right, left, right.", ["Basic x4, left foot (in place)"]),
        ("Two Basics. DS RS.", ["Basic x2"]),
        ("Basic. Double step, rock step.", ["Basic"]),
        ("One triple, starting right. Double step, double step, double step, rock step.", ["Triple, right foot"]),
        (
            "Four rocking chairs. Double step left, brush the right foot, double step right, rock step.\n"
            "   Turn a quarter left on each one so you see all four walls.",
            ["Rocking Chair x4, left foot, turn 1/4 left"],
        ),
        (
            "3. Two rocking chairs.\n   Double step left, brush the right foot, double step right, rock step.",
            ["Rocking Chair x2, left foot"],
        ),
        ("Two Basics\n   Double step, rock step.", ["Basic x2"]),
        (
            "Two fancy doubles. Double step, double step, rock step, rock step.\n   Both start with the left.",
            ["Fancy Double, left foot"] * 2,
        ),
    ],
)
def test_steps_in_a_sentence_behind_a_figure_are_its_footwork(line: str, wanted: list[str]) -> None:
    """Sentences behind a figure, or below it, that spell its steps and its feet dance nothing more."""
    assert wanted == read(line)[0]


@pytest.mark.parametrize(
    "line",
    [
        "Two fancy doubles. Double step, stomp, rock step, rock step.",
        "Two triples. Double step left, kick the right foot, double step right, rock step.",
    ],
)
def test_other_steps_in_a_sentence_behind_a_figure_are_open(line: str) -> None:
    """Steps that last as long as the figure, and are not its own, leave it a blank of its beats."""
    made = read(line)[0]

    assert made == ["? 8 beats"]


def test_a_sentence_spells_a_figure_that_no_book_has() -> None:
    """The steps of such a sentence are the figure's; those that take a movement for another one are danced so."""
    assert read("Two Turkeys. Double step, double step, rock step, rock step.") == (
        ["Turkeys x2"],
        "Turkeys: DS DS RS RS",
    )
    assert read("Two rocking chairs. Double step, kick, double step, rock step.") == (
        ["Rocking Chair x2"],
        "Rocking Chair: DS K DS RS",
    )
    assert read("Vine to the left: double step left, double step right crossing behind, double step left, rock step")[
        0
    ] == ["Vine, left foot (to the left, crossing, behind)"]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("Vine to the right, same thing with the right foot.", ["Vine, right foot (to the right)"]),
        ("4 Basics, walk them around in your own little circle to the left.", ["Basic x4 (around, to the left)"]),
        ("2 Basics. Walk around in a circle to the left.", ["Basic x2"]),
        ("1. Basic. Double step, rock step.\n2. Triple\n3. Do 1 and 2 again.", ["Basic", "Triple"] * 2),
        ("Triple. Practice this at home.", ["Triple"]),
        ("Triple\nPractice the rocking chair at home slow!!", ["Triple"]),
        ("Triple\nWork on your basics at home.", ["Triple"]),
        ("Triple\nDon't forget the rocking chair.", ["Triple"]),
    ],
)
def test_sentences_for_beginners(line: str, wanted: list[str]) -> None:
    """What is said of a figure is its mark; what dancers are told to practise is not danced."""
    assert wanted == read(line)[0]


@pytest.mark.parametrize("feet", ["(L, then R)", "L and R", "left, right", "forward (L and R)", "L & R"])
@pytest.mark.parametrize(
    "rows",
    [
        "   DS  BA(xib)  BA(os)  BA(xib)  BA(os)  BA(xib)  S\n   L   R        L       R        L       R        L\n"
        "   &1  &        2       &        3       &        4",
        "   DS BA(xib) BA(os) BA(xib) BA(os) BA(xib) S\n   L R L R L R L",
    ],
)
def test_a_row_below_a_figure_of_both_feet_is_that_of_one_of_them(feet: str, rows: str) -> None:
    """Steps, feet and counts under `Joey (L, then R)` spell the Joey, which is danced once on each foot."""
    lines, figures = read(f"Joey {feet}\n{rows}\n")

    assert ["Joey, left foot", "Joey, right foot"] == [line.split(" (")[0] for line in lines]
    assert figures in ("", "Joey: DS@1 BA@&2 BA@2 BA@&3 BA@3 BA@&4 S@4 (xib, os, xib, os, xib)")


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("Two triples forward, DS DS DS RS, left then right - 8", "Triple x2, left foot (forward)"),
        ("Four basics backing up, DS RS, L R L R - 8", "Basic x4, left foot (back)"),
        ("2 Fancy Doubles, DS DS RS RS, turning 1/4 left on each (8)", "Fancy Double x2, turn 1/4 left"),
        ("2 Rocking Chairs, DS BR SL DS RS, in place (8 beats)", "Rocking Chair x2 (in place)"),
        ("Triple, DS DS DS RS, turn 1/2 left", "Triple, turn 1/2 left"),
    ],
)
def test_footwork_between_commas_is_the_figures_and_so_are_the_marks_behind_it(line: str, wanted: str) -> None:
    """`NAME, ROW, marks` is one cue where the row is the figure's."""
    assert [wanted] == read(line)[0]


def test_other_footwork_of_just_the_stated_beats_is_how_the_figure_is_danced() -> None:
    """Where both together would be too long the row behind a comma is learnt as the figure's."""
    said, figures = read("Charleston left, DS Tch(fwd) H Tch(back) H RS - 4")

    assert (said, figures) == (["Charleston, left foot"], "Charleston: DS TCH H TCH H RS (fwd, back)")
    assert sc.draft(f"{FRONT}Triple, DS DS RS RS (8)\n").text.count("Triple") == 1


@pytest.mark.parametrize("said", ["same, right foot", "same footwork, right foot", "same footwork, opposite feet"])
def test_a_foot_may_be_said_twice(said: str) -> None:
    """`Vine right, same, right foot` begins on the right foot, once."""
    made = lines_of(f"Clogover vine left (8)\nClogover vine right, {said} (8)")

    assert [each.split(" (")[0] for each in made] == ["Clog-over Vine, left foot", "Clog-over Vine, right foot"]


def lines_of(said: str) -> list[str]:
    """Return the lines of part A."""
    return read(said)[0]


LEGEND = "ds = double step     rs = rock step     st = step\ndr = drag            br = brush         h = heel\n\n"


def test_an_abbreviation_in_a_line_of_several_is_known_whatever_stands_below() -> None:
    """Two lines of several abbreviations each explain all of these, and feet among them stay feet."""
    legend = LEGEND.replace("h = heel", "LF/RF = which foot begins")
    text = sc.draft(f"Teasel Bank\nclogging\n\n{legend}A\nKettle Drag: ds-dr-st-dr-st-rs, LF (4)\nBasic, RF\n").text

    assert "Kettle Drag: DS DR S DR S RS" in text and "Kettle Drag, left foot" in text and "Basic, right foot" in text


def test_a_row_with_hyphens_is_not_cut_at_a_word_that_is_no_code() -> None:
    """A joined row with a word that may be a step or a stomp is open as a whole."""
    made = sc.draft(f"{FRONT}Kettle Drag: ds-dr-st-dr-st-rs (4)\n")

    assert "DS DR\n" not in made.text and any("ds-dr-st" in each for each in made.open)


def test_a_number_in_brackets_before_do_it_all_again_is_its_beats() -> None:
    """`(8) Do it all again, but turn to the right` is the lines above to the other side."""
    assert lines_of("(8) 2 Triples, turn 1/2 left each\n(8) Do it all again, LF, but turn to the right") == [
        "Triple x2, 8 beats, turn 1/2 left",
        "Triple x2, left foot, 8 beats, turn 1/2 right",
    ]


def test_a_row_of_two_figures_may_differ_from_the_books_in_a_movement_without_weight() -> None:
    """Two figures over one row are both danced, and neither gets the other's steps."""
    said, figures = read("Rocking Chair & Push Off (DS BR SL DS RS / DS RS RS RS)")

    assert (said, figures) == (["Rocking Chair", "Push-off"], "")


@pytest.mark.parametrize("place", ["RS", "RS's", "rock step", "brush"])
def test_where_in_a_figure_it_turns_is_noted(place: str) -> None:
    """The movement on which a figure turns is not lost, though the sheet does not say on which beat that is."""
    assert read(f"Cowboy, turn 1/4 L on the {place}")[0][0].startswith("Cowboy, turn 1/4 left (on the ")


def test_steps_that_a_list_of_commas_cuts_are_no_footwork() -> None:
    """A row with directions between its codes defines nothing of which only the beginning is read."""
    said, figures = read("Clogover vine L: DS, DS across in front, DS, DS behind, DS, DS across in front, DS, RS (8)")

    assert figures == "" and [each.split(" (")[0] for each in said] == ["Clog-over Vine, left foot"]


def test_how_often_a_step_in_a_bracket_is_danced_is_not_the_figures() -> None:
    """`Push-off (rock and step, 3 times)` is no three Push-offs."""
    made = sc.draft(f"{FRONT}Push-off L, push-off R (DS, then rock out to the side & step, 3 times)\n4 Basics\n")

    assert "12 beats" not in made.text and "Push-off, right foot x3" not in made.text
    assert any("3 times" in each for each in made.open)


def test_a_turn_again_on_another_time_is_not_dropped() -> None:
    """`1/2 R on the first, and again on the second` is two turns, or open."""
    made = sc.draft(f"{FRONT}Triple x2, 1/2 turn R on the first one, and again on the second\n")

    assert any("again on the second" in each for each in made.open)


@pytest.mark.parametrize(
    ("row", "ball"), [("DS BA(xib) BA(ots) BA BA BA S", False), ("DS B(xib) B(ots) B B B S", True)]
)
def test_a_ball_is_assumed_of_the_letter_alone_and_no_place_is_lost(row: str, ball: bool) -> None:
    """BA says itself what it is. A row whose movements the book has on other beats is the book's figure, with the
    places that the row gives."""
    made = sc.draft(f"Osier Row (clogging)\nwait 8, left foot lead\n\nA\nTriple\nChain\nJoey   {row}   (4)\n")

    assert ball == ("B is a ball" in made.assumed)
    assert "  Joey" in made.text and "xib" in made.text and "ots" in made.text


@pytest.mark.parametrize(
    "line", ["Slur Step   DS SLUR-S DS RS", "Slur Step (DS SLR S DS RS)", "Slur Step - DS SLR-S DS RS"]
)
def test_a_name_that_the_sheet_spells_is_no_step(line: str) -> None:
    """It is the figure, though its words would else say movements."""
    made = sc.draft(
        f"Osier Row (clogging)\nwait 8, left lead\n\nA: 8 beats\n{line}\nSlur Step R\nB:\n2 Basics\n\nOrder: A B A\n"
    )

    assert "figures:\n  Slur Step: DS SLR S DS RS\n" in made.text and not made.open
    assert "\n  Slur Step, right foot\n" in made.text


@pytest.mark.parametrize("name", ["RKG CHAIR", "ROCK CHAIR", "rocking chr"])
def test_a_name_in_short_is_the_figure_that_the_list_explains(name: str) -> None:
    """The list may call it otherwise than the part does; it is one figure."""
    text = sc.draft(
        f"Quern Lane (clogging)\nwait 8\n\nA\nROCKING CHAIR X2\n\nORDER: A A A\n\n{name} = DS BR-UP DS RS\n"
    ).text

    assert "figures:\n  Rocking Chair: DS BR UP DS RS\n" in text and "  Rocking Chair x2\n" in text
