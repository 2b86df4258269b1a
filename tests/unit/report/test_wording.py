"""A sheet and its program looked up side by side."""

from stepcheck.language.parser import parse
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import Choice, Figure, Foot, Lengths, Pass, Program, Repeat, Spare, Walls, Weight
from stepcheck.model.source import Source, Span
from stepcheck.report.wording import Subject, scene

SHEET = parse(
    Source(
        "weir.routine",
        """\
routine: Weir
book: line

music:
  verse 8

figures:
  Lock Gate, 2 counts: S S

part Main: 8 counts
  expect facing front
  counts 1-4, facing back:
    Vine x1
    expect left foot
  2 times:
    Vine
  expect facing 12:00

  # the end of the part

dance:
  verse: Main
  Rock Step
  expect both feet
""",
    )
)[0]


def program(*dance: object, **more: object) -> Program:
    """Return a program with this dance."""
    return Program(Foot.LEFT, 0, dance, (), **more)  # type: ignore[arg-type]


def check(name: str, value: int) -> Check:
    """Return a check of a claim of this name."""
    return Check(1, Claim(name, Kind.FACING, 1, name), Test.FACING, value)


def test_every_line_knows_what_it_speaks_about() -> None:
    """Parts, headings, sections, figures and expectations have the subject that a sentence about them needs."""
    places = scene(SHEET, program()).subjects

    assert Subject("the dance") == places[1]
    assert Subject("the section verse") == places[5] == places[22]
    assert Subject("Lock Gate") == places[8]
    assert Subject("Main") == places[10]
    assert Subject("the phrase counts 1-4", counts=4, first=1) == places[12]
    assert Subject("Vine") == places[13]
    assert Subject("Rock Step") == places[23]


def test_only_the_last_expectation_speaks_of_the_end() -> None:
    """An `expect` in the middle, or inside a block, is about that point; comments don't count as lines."""
    places = scene(SHEET, program()).subjects

    assert [False, False, True, True] == [places[line].end for line in (11, 14, 17, 24)]


def test_walls_go_by_the_clock_in_line_dance_only() -> None:
    """The book decides how walls are named; a sheet of both books has names."""
    for book, clock in (("line", True), ("clogging", False), ("clogging, line", False)):
        sheet, _ = parse(Source("x", f"book: {book}\n"))
        assert clock == scene(sheet, program()).clock


def test_what_a_claim_wants_is_found_wherever_it_is_checked() -> None:
    """Checks in passes, repeats and choices, of spares, walls and figures are found; the first one counts."""
    options = (check("in", 1),), (check("in", 2), check("other", 3))
    choice = Choice(1, Claim("choice", Kind.ALTERNATIVES, 1, ""), options)
    figure = Lengths(Claim("length", Kind.FIGURE, 8, "2 counts"), Figure("Lock Gate", ()), 24)
    walls = Walls(Claim("walls", Kind.WALLS, 1, "walls: 4"), 4, (check("lap", 6),))
    body = (Pass(1, "Main", 0, (Repeat(1, 10**9, (choice, check("in", 7))),)), check("last", 4))
    spare = Spare((Weight.LEFT,), (check("spare", 5),))
    wants = scene(SHEET, program(*body, spares=(spare,), walls=walls, lengths=(figure,))).wants

    expected = {"in": 1, "other": 3, "last": 4, "spare": 5, "lap": 6, "length": 24, "walls": 4}
    assert expected == {name: value for name, (_, value) in wants.items()}


def test_a_line_that_is_not_known_is_the_top_of_the_sheet() -> None:
    """A finding without a line of its own stands at the top, one with a line at the text of that line."""
    view = scene(SHEET, program())

    assert (Span(1, 1, 1, 1), Span(11, 3, 11, 22)) == (view.span(0), view.span(11))
