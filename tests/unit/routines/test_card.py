"""Cards in capitals: short words for where a cue goes, faces and turns, and sums behind the lines of a part."""

import pytest

import stepcheck as sc

CARD = "Sluice Gate Stomp (clogging)\nwait 16, left foot lead\n\nPart A\n4 Basics\n{said}\n"


def lines_of(said: str) -> tuple[list[str], sc.Draft]:
    """Return the lines that are danced behind the first of part A, and the draft."""
    made = sc.draft(CARD.format(said=said))
    return made.text.split("part A:\n")[-1].split("\n\n")[0].split("\n")[1:], made


@pytest.mark.parametrize(
    "said, line",
    [
        ("CHAIN L  BK UP - 4", "  Chain, left foot (back)"),
        ("BASIC R  BK", "  Basic, right foot (back)"),
        ("2 TRIPLES BK", "  Triple x2 (back)"),
        ("TRIPLE (R) I/P", "  Triple, right foot (in place)"),
        ("TRIPLE L 1/4 TL", "  Triple, left foot, turn 1/4 left"),
        ("Triple R, TR 1/2", "  Triple, right foot, turn 1/2 right"),
        ("CHAIN R FC FRT", "  Chain, right foot, facing front"),
        ("Chain (R), fc bk", "  Chain, right foot, facing back"),
    ],
)
def test_short_words_behind_a_cue_are_its_marks(said: str, line: str) -> None:
    """`BK` behind a cue is where it goes and no break, `FC FRT` a facing, `TL` a turn; nothing is open."""
    found, made = lines_of(said)

    assert found == [line]
    assert not made.open


def test_a_sum_behind_the_beats_of_a_line_is_that_of_the_part() -> None:
    """`4   =16`: the line lasts 4 beats, and the part 16."""
    made = sc.draft(CARD.format(said="TRIPLE L .... 4\nTRIPLE R .... 4   =16"))

    assert "part A: 16 beats\n  Basic x4\n  Triple, left foot\n  Triple, right foot\n" in made.text
    assert not made.open


def test_a_row_with_beats_of_its_own_is_no_footwork_of_two_other_figures() -> None:
    """A row of four beats that is no pair of like halves stands for itself below two figures of two beats."""
    found, made = lines_of("2 Triples, L, R - 8\n2 Basics - 4\n    DS DS STO STO  LRLR - 4")

    assert found[-2:] == ["  Basic x2", "  DS(L) DS(R) STO(L) STO(R)"]
    assert not made.open


def test_a_turn_behind_the_second_foot_is_not_shared_out() -> None:
    """`back on the L, then R turning 1/2 right` is open, whichever wall is said behind it; so where the foot is spelled
    out."""
    spelled, _ = lines_of("2 Chains fwd L ft, then R ft turn 1/2 L to back\n1 Joey")
    assert spelled[0].startswith("  ? 8 beats")
    found, made = lines_of("2 Chains, back on the L, then R turning 1/2 right\n1 Joey (facing back)")

    assert found[0].startswith("  ? 8 beats")
    assert len(made.open) == 1


@pytest.mark.parametrize("said", ["End: {part}, stomp L", "End\n{part}, then stomp L", "End: {part} and stomp L"])
@pytest.mark.parametrize("part, danced", [("A", "A"), ("first half of A", "A, first 8 beats"), ("B again", "B")])
def test_a_part_in_front_of_the_steps_of_an_ending_is_danced_before_it(said: str, part: str, danced: str) -> None:
    """`End: first half of A, stomp L` dances that half and then the stomp."""
    order = "" if "\n" in said else "Order: A B A\n"
    sheet = "Sluice Gate Stomp (clogging)\nwait 16, left foot lead\n\n{order}\nA (16)\n4 Basics, 2 Triples\n\nB (8)\n4 Basics\n\n"
    made = sc.draft((sheet + said).format(order=order, part=part) + "\n")

    assert f"\n  {danced}\n  End" in made.text
    assert not made.open


@pytest.mark.parametrize("name", ["Flea flicker", "Crazy legs"])
@pytest.mark.parametrize("beats", ["", " (4)"])
def test_a_figure_in_two_words_that_no_book_has_is_not_lost(name: str, beats: str) -> None:
    """In front of a known figure it is open by itself, a blank of the beats that it states; the known one is danced."""
    found, made = lines_of(f"{name}{beats}, 2 Triples")

    assert found == [f"  ? 4 beats  # {name}" if beats else f"  # {name}", "  Triple x2"]
    assert made.open == (f"line 6: {name}",)


def test_words_in_front_of_a_cue_are_named_where_they_leave_it_open() -> None:
    """What may say something of the figure behind it stands in the open line."""
    assert lines_of("Hill billy stomps, 2 Triples")[1].open == ("line 6: Hill billy stomps, 2 Triples",)


@pytest.mark.parametrize(
    "said, lines",
    [
        ("Charleston, 4, then 2 Basics, 4", ["  Charleston", "  Basic x2"]),
        ("Outhouse L, 4. Triple R, 4.", ["  Outhouse, left foot", "  Triple, right foot"]),
        ("Stomp Dbl L - 4, Fancy Dbl R - 4", ["  Stomp Double, left foot", "  Fancy Double, right foot"]),
        ("2 Stomp Doubles, 4 + 4", ["  Stomp Double x2"]),
        ("2 Rocking Chairs, 1/2 left on the second brush", ["  Rocking Chair x2, turn 1/2 left on 2nd (on the brush)"]),
        ("8 DS running steps, full circle left", ["  DS DS DS DS DS DS DS DS, turn full left"]),
        ("2 Basics, clap (4 beats)", ["  Basic x2 (clap)"]),
        ("Stomp L, clap, stomp R, clap (4 beats)", ["  STO(L) CLAP STO(R) CLAP"]),
    ],
)
def test_beats_claps_and_turns_are_of_the_cue_that_they_stand_behind(said: str, lines: list[str]) -> None:
    """Each cue has its beats; a turn on the second of two is not made by both; a clap has a beat where one is left."""
    found, made = lines_of(said)

    assert found == lines
    assert not made.open


@pytest.mark.parametrize(
    "said",
    [
        "Joey, 8, Chain R, 4",
        "2 Rocking Chairs, 1/4 left on the last brush",
        "Step Touch L, R, L, R - clap on each touch",
        "My Charleston goes DS, touch, toe heel, RS",
    ],
)
def test_what_says_two_things_of_cues_is_open(said: str) -> None:
    """Beats that a figure has not, the last of how many, a clap on each: nothing of it is invented."""
    found, made = lines_of(said)

    assert made.open
    assert not any("Clap" in each or "turn" in each.split("#")[0] for each in found)


@pytest.mark.parametrize("said", ["Don't hurry the Joey, ever!", "Triples do not end early."])
def test_what_is_not_to_be_done_is_no_dance(said: str) -> None:
    """It names a figure, and has no beats: it is open or a remark, and the part stays as long as it was."""
    found, made = lines_of(f"2 Triples\n\n{said}")

    assert [each for each in found if not each.startswith("  #")] == ["  Triple x2"]
    assert said.rstrip(".!")[-12:] in made.text


def test_a_wall_in_a_bracket_behind_a_turn_is_where_dancers_face() -> None:
    """`1/2 right each    8   (back!)` is no step to the back."""
    found, made = lines_of("2 Charlestons, 1/2 right each    8   (back!)")

    assert found == ["  Charleston x2, turn 1/2 right, facing back"]
    assert not made.open


def test_the_foot_of_the_second_time_may_stand_behind_the_feet_of_the_first() -> None:
    """`L RL RL RL   going back, then right foot going forward` begins on the left foot."""
    found, made = lines_of(
        "2 Push Offs        DS  RS  RS  RS\n                   L   RL  RL  RL   going back, then right foot going forward   8"
    )

    assert found == ["  Push-off x2, left foot (back, forward)"]
    assert not made.open


def test_a_number_behind_the_kind_of_a_part_that_no_part_has_is_its_length() -> None:
    """`TAG 8` alone and `END 6` before a gap are eight and six beats long, and the order calls them by their kind."""
    made = sc.draft(
        "CARD 7      Orla Finch, caller\nHALF PENNY SLUICE   (clogging)   wait 16\n\nVERSE 16\n8 Basics\n\n"
        "TAG 8\n2 Triples\n\nORDER: Verse, Tag, Verse, End\n\nEND 6    2 Basics, stomp L, stomp R\n"
    )

    assert "\nroutine: HALF PENNY SLUICE\n" in made.text
    assert "part Tag: 8 beats\n  Triple x2\n" in made.text
    assert "part End: 6 beats\n  Basic x2\n  STO(L) STO(R)\n" in made.text
    assert "dance:\n  Verse\n  Tag\n  Verse\n  End\n" in made.text
