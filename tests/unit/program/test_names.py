"""The names of a sheet: its figures and parts, and what each stands for."""

from pathlib import Path

import pytest

from stepcheck.books import book as books
from stepcheck.language.syntax import Length, Option
from stepcheck.model.dance import TICKS, Figure, Version
from stepcheck.model.findings import Severity
from stepcheck.model.source import Source
from stepcheck.program.names import Names, _by_length
from stepcheck.report import pipeline

SLIDE = Figure("Slide", tuple(Version(f"{many} counts", (), many * TICKS) for many in (2, 1, 3)))


@pytest.mark.parametrize(
    ("beats", "times", "reading"),
    [(2, 1, 0), (3, 1, 2), (6, 2, 2), (4, 2, 0), (12, 4, 2), (2, 2, 1), (4, 1, None), (5, 2, None), (3, None, None)],
)
def test_a_length_on_the_line_settles_a_reading_called_by_it(
    beats: int, times: int | None, reading: int | None
) -> None:
    """The length is that of all the times together; one that no reading has settles nothing."""
    assert reading == _by_length(SLIDE, Option(name="Slide", times=times, marks=(Length(beats * TICKS),)))


def test_without_a_length_nothing_is_settled_by_one() -> None:
    """And a figure of one reading needs none."""
    assert _by_length(SLIDE, Option(name="Slide", times=1)) is None
    one = Figure("Slide", SLIDE.versions[:1])
    assert _by_length(one, Option(name="Slide", times=1, marks=(Length(2 * TICKS),))) is None


def test_a_word_of_two_books_is_one_word_where_both_mean_the_same() -> None:
    """The first keeps the name; one with other readings, or another usual one, is told apart by its book."""
    names = Names.__new__(Names)
    names.words = {}
    said = [
        names._open("stomp", labels, usual, book)
        for labels, usual, book in (
            (("b", "c"), 0, "clogging"),
            (("b", "c"), 0, "line"),
            (("b", "c"), 1, "one"),
            (("a", "c"), 0, "two"),
            (("c", "d"), 0, "three"),
        )
    ]

    assert ["stomp", "stomp", "stomp from one", "stomp from two", "stomp from three"] == said
    assert ["stomp", "stomp from one", "stomp from two", "stomp from three"] == list(names.words)


@pytest.mark.parametrize(
    ("one", "two", "alike"),
    [
        (": S S", ": S S", True),
        (", 2 steps right: S S", ", 2 steps left: S S", False),
        (", 2 steps right: S S", ", 2 steps right: S S", True),
        (", right foot, 2 steps right: S S", ", 2 steps right: S S", False),
        (", right foot, on the spot: S S", ", on the spot: S S", True),
        (", on the spot: S S", ": S S", False),
        (", turn 1/4 left: S S", ", turn 1/4 left: S S", True),
        (", turn 1/4 left @1: S S", ", turn 1/4 left @2: S S", False),
        (": S@1 S@2", ": S@1 S@&2 HOLD", False),
        (": S@1 S@2&", ": S@1 S@&3 HOLD", False),
        (": S@1 S@1& HOLD@2", ": S@1 S@&2 HOLD@2", False),
    ],
)
def test_a_name_in_two_books_is_danced_alike_where_nothing_tells_them_apart(
    tmp_path: Path, one: str, two: str, alike: bool
) -> None:
    """Not a claim, and not a cut: where the figures lead, and to which beat a movement belongs, counts as well."""
    for name, figure in (("one", one), ("two", two)):
        text = f"book: {name}\ntradition: line\nlead: left\n\nmovements:\n  step: S\n    free foot, takes weight\n"
        text += f"  hold: HOLD\n    nobody, no weight\n\nfigures:\n  Slide{figure}\n    from: memory\n"
        (tmp_path / f"{name}.book").write_text(text)
    sheet = "book: {}\n\npart A:\n  Slide, left foot\ndance:\n  A\n"
    both = [
        pipeline.loads(sheet.format(books), path=str(tmp_path / "x.routine"))
        for books in ("one.book, two.book", "two.book, one.book")
    ]

    found = [[d.code.name for d in made.diagnostics if d.code.severity is Severity.ERROR] for made in both]
    assert [[] if alike else ["name-in-two-books"]] * 2 == found


def test_names_are_compared_until_that_takes_too_long(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each unknown name is compared with all those of the book and the sheet, and the budget is spent by so many."""
    text = "book: line\npart A:\n  Shufle\n  Shufle\n  Shufle\ndance:\n  A\n"

    def offered(most: int) -> list[bool]:
        monkeypatch.setattr("stepcheck.program.names.MOST_COMPARED", most)
        text_of = text.replace("  Shufle", "  Shufle{}", 3).format("", "e", "l")
        found = [one for one in pipeline.loads(text_of).diagnostics if one.code.name == "unknown-name"]
        return [any("mean" in hint for hint in one.hints) for one in found]

    assert [False, False, False] == offered(0)
    assert [True, False, False] == offered(1)
    assert [True, True, True] == offered(30_000)
    once = 1 + len(books.load("line").names())  # the part, and the figures of the book
    assert [[True, False, False], [True, True, False]] == [offered(once), offered(once + 1)]


def test_a_part_inside_itself_is_told_where_the_inner_call_is() -> None:
    """The finding points at the name of the part that calls itself through others."""
    text = "book: line\npart Longer:\n  B\npart B:\n  Longer\ndance:\n  B\n"
    (found,) = pipeline.loads(text).diagnostics

    assert "B contains itself: Longer → B → Longer" == found.message
    assert "B" == Source("x", text).line(found.span.line)[found.span.column - 1 : found.span.end_column - 1]


def test_a_mistake_in_a_figure_hides_none_in_the_dance() -> None:
    """Only parts inside one another keep the dance from being laid out."""
    text = "book: line\nfigures:\n  Gate, turn 1/4: S S\npart A:\n  Gate\n  Quxqux\ndance:\n  A\n"
    found = [one.code.name for one in pipeline.loads(text).diagnostics if one.code.severity is Severity.ERROR]

    assert ["turn-needs-a-side", "unknown-name"] == found


@pytest.mark.parametrize("own", ["part 2 Vines:\n  Stomp", "figures:\n  2 Vines: S"])
def test_a_name_that_the_sheet_gives_itself_is_never_read_otherwise(own: str) -> None:
    """What a sheet calls so is danced, though the words would else be two of the book's."""
    report = pipeline.check_text(f"book: line\n{own}\ndance: 1 count\n  2 Vines\n")

    assert "proved" == report.verdict.word and report.claims


def test_a_number_before_a_name_may_belong_to_it() -> None:
    """Two Stomps is a figure of the sheet, and two times a Stomp is another reading of the same words."""
    text = "book: clogging\nfigures:\n  Two Stomps: STO(L) STO(R)\npart A:\n  2 Stomps\ndance:\n  A\n"
    (found,) = pipeline.loads(text).diagnostics

    assert "2 Stomps can mean two things: Stomp x2 or Two Stomps" == found.message


@pytest.mark.parametrize("line", ["Vine zzz", "Vine x2"])
def test_a_reading_is_written_in_the_place_of_words_that_are_none(line: str) -> None:
    """The name before them stays as it is."""
    text = f"book: line\n\npart A:\n  {line}\n\ndance:\n  A\n"
    hints = [hint for one in pipeline.loads(text).diagnostics for hint in one.hints if hint.patch]
    made = [hint.patch.applied(Source("x", text)).splitlines()[3] for hint in hints if hint.patch]

    assert made == (["  Vine ends in a touch", "  Vine ends in a step", "  Vine ends in a kick"] if "z" in line else [])


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("S(R) TCH(L) S(R) K(R)", "count 3: step cannot be danced, the right foot"),
        ("S(L) TCH(R) S(L) K(L)", "count 3: step cannot be danced, the left foot"),
        ("K(R) K(L)", "count 2: kick cannot be danced, the left foot"),
        ("S(R) S(R), left foot", "count 1: step cannot be danced, the right foot"),
    ],
)
def test_a_row_that_no_foot_can_lead_is_found_where_the_dancer_is_stuck(row: str, said: str) -> None:
    """Whichever foot would lead it, the movement named is the one that the better of them can't make; a foot that the
    line names is the only one that leads."""
    text = f"routine: Weir Lane\nbook: line\n\npart A:\n  {row}\n\ndance:\n  A\n"

    (found,) = pipeline.loads(text).diagnostics

    assert found.code.name == "impossible-movement" and said in found.message
