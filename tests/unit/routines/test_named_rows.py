"""Rows of codes of a clogging description that have the name of their figure behind them, or on the line below."""

import pytest

import stepcheck as sc

SHEET = "Tallow Reel\nclogging\nwait 16\n\nPart A{}\n{}\n"


def part(lines: str, beats: str = "") -> tuple[list[str], tuple[str, ...]]:
    """Return the lines of the part that lines come to, without remarks, and what is open."""
    made = sc.draft(SHEET.format(beats, lines))
    lines = made.text[made.text.index("\npart A") : made.text.index("\ndance:")]
    return [line.split("#")[0].strip() for line in lines.splitlines()[2:] if line.strip()], made.open


@pytest.mark.parametrize("name", [" ({})", "\t{}", " = {}", " [{}]", " - {}", "   <- {}"])
@pytest.mark.parametrize("above", ["Triple", "2 Basics", "Rocking Chair"])
def test_a_row_with_its_name_behind_it_is_of_no_line_above(name: str, above: str) -> None:
    """Where two rows have their names so, each is a line, whatever stands above it."""
    rows = [f"DS DS DS RS{name.format('Triple')}", f"DS DS RS RS{name.format('Fancy Double')}"]
    lines, left = part("\n".join(["Fancy Double", rows[1], above, rows[0], "3 Basics"]))

    assert not left
    assert ["Fancy Double", "Fancy Double", above.replace("2 Basics", "Basic x2"), "Triple", "Basic x3"] == lines


def test_one_row_with_the_name_of_the_line_above_may_be_its_footwork() -> None:
    """Alone in its sheet it may be danced as well, or not: it is open."""
    assert part("2 Basics\nTriple\nDS DS DS RS (Triple)")[1]


@pytest.mark.parametrize(("beats", "danced"), [("", 1), (" (14 beats)", 1), (" - 18 beats", 2), (" [14]", 1)])
def test_a_row_over_the_name_of_its_figure_is_danced_once(beats: str, danced: int) -> None:
    """It is that figure, unless the part has just the room for both."""
    lines, left = part("2 Basics\nDS DS RS RS\nFancy Double\nBasic\nTriple", beats)

    assert not left
    assert danced == sum(line.startswith(("DS", "Fancy")) for line in lines)


def test_a_row_with_its_name_beside_it_has_none_below() -> None:
    """The figure on the next line is danced as well."""
    lines, left = part('Basic\nDS DS DS RS  "Triple"\nTriple\nBasic')

    assert not left
    assert ["Basic", "DS DS DS RS", "Triple", "Basic"] == [each.split(" (")[0] for each in lines]


@pytest.mark.parametrize("below", ["Triple", "2 Fancy Doubles", "Fancy Double, turn 1/2 left"])
def test_a_row_over_anything_else_is_danced(below: str) -> None:
    """A figure with other footwork, several of them, or one that turns is danced as well."""
    assert part(f"DS DS RS RS\n{below}\nBasic")[0][0] == "DS DS RS RS"


def test_a_row_that_is_danced_twice_is_no_single_figure_below_it() -> None:
    """Its own times say that it is danced, and the figure under it is another."""
    assert part("2 DS RS\nBasic\nTriple")[0][:2] == ["DS RS DS RS", "Basic"]


@pytest.mark.parametrize(
    "row", ["DS * DR-S * R-S * R-S", "DS  *  DR-S  *  R-S  *  R-S   L, RR, LR, LR", "DS * DR-S * RS * RS"]
)
def test_stars_may_stand_between_the_beats_of_a_row(row: str) -> None:
    """They part its codes and are no times, also where its feet stand behind it."""
    made = sc.draft(
        SHEET.format("", f"4 Goslings\nTriple * 2\nTriple *turn 1/4 L*\n\nPart B\n2 Basics\n\nGosling   {row}")
    )

    assert "Gosling: DS DR S RS RS\n" in made.text
    assert "part A:\n  Gosling x4\n  Triple x2\n  Triple, turn 1/4 left\n\npart B:\n  Basic x2\n" in made.text
    assert not made.open


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("DS DS BA BA BA S   L R L R L R   (&1 &2 & 3 & 4)", "Gosling: DS@1 DS@2 BA@&3 BA@3 BA@&4 S@4"),
        ("DS DS BA BA BA S   [&1 &2 & 3 & 4]", "Gosling: DS@1 DS@2 BA@&3 BA@3 BA@&4 S@4"),
        ("DT-BA-HD DT-BA-HD R-S   L, R, LR   (& a 1 & a 2 & 3)", ""),
    ],
)
def test_beats_in_a_bracket_behind_a_row_are_its_beats(row: str, wanted: str) -> None:
    """They are where its codes stand; with beats that the language lacks the figure is not learnt on others."""
    made = sc.draft(SHEET.format("", f"4 Goslings\n\nPart B\n2 Basics\n\nGosling   {row}"))

    assert wanted in made.text
    assert ("Gosling:" in made.text) == bool(wanted) == (not made.open)


@pytest.mark.parametrize(
    ("row", "called", "wanted"),
    [
        ("DS DS BA-BA BA-S", "8   2  Gosling, L & R", "DS@1 DS@2 BA@&3 BA@3 BA@&4 S@4"),
        ("DS * DS(xif) * BA(os)-BA(xif) * BA(os)-S", "2 Goslings (8)", "DS@1 DS@2 BA@&3 BA@3 BA@&4 S@4 "),
        ("DS DS BA-BA BA-S", "2 Goslings (10)", "DS DS BA BA BA S"),
        ("DS DS BA BA BA S", "2 Goslings (8)", "DS DS BA BA BA S"),
        ("DS DS BA-BA BA-S", "2 Goslings", "DS DS BA BA BA S"),
    ],
)
def test_codes_that_a_hyphen_joins_are_of_one_beat_where_the_stated_beats_say_so(
    row: str, called: str, wanted: str
) -> None:
    """Each group of a row is a beat if its figure lasts as many as it has groups wherever its beats are stated; else
    its codes stand as usual."""
    made = sc.draft(
        SHEET.format("", f"{called}\n8   4  Basic\n8   2  Triple\n\nPart B\n8   4  Basics\n\nGosling   {row}")
    )

    assert f"Gosling: {wanted}" in made.text
