"""Published figures through sheets: each under the reading of its source, contradicting ones too; slips found in print.

The source of each row stands beside it in figures.tsv.
"""

from pathlib import Path

import pytest

from stepcheck.books import book as books
from stepcheck.model.outcome import Verdict
from stepcheck.report.pipeline import check_text
from stepcheck.report.values import Report

LINES = (Path(__file__).parent / "figures.tsv").read_text("utf-8").splitlines()
ROWS = [line.split("\t") for line in LINES if not line.startswith("#")][1:]


def sheet(book: str, contract: str, line: str, *, header: str = "", own: str = "") -> str:
    """Return a sheet that dances one line once."""
    figures = f"figures:\n  {own}\n" if own else ""
    return f"routine: Weir Street\nbook: {book}\n{header}{figures}part Main: {contract}\n  {line}\ndance:\n  Main\n"


def contract(row: list[str], beats: str) -> str:
    """Return what a source says of its figure as a contract: beats, the foot that leads and the one that is free then,
    turn."""
    lead = books.load(row[0]).lead
    free = {"same": f"{lead.name.lower()} foot", "other": f"{lead.other.name.lower()} foot", "both": "both feet"}[
        row[6]
    ]
    eighths = int(row[7])
    turn = f"{abs(eighths)}/8 turn {'left' if eighths < 0 else 'right'}" if eighths else "no turn"
    return f"{beats} beats, {lead.name.lower()} foot to {free}, {turn}"


def proved(report: Report) -> bool:
    """Say whether both engines prove every claim, of which there are some."""
    return Verdict.PROVED is report.verdict and len(report.claims) >= 4


def header(row: list[str]) -> str:
    """Return the header line that settles the reading of a row, empty where there is nothing to settle."""
    word, colon, label = row[2].partition(": ")
    return f"{word}: {label}\n" if colon else f"{row[1]}: {row[2]}\n" if row[2] else ""


def length(row: list[str]) -> str:
    """Return the beats of the book's version of a row, one of those that the source allows."""
    (figure,) = books.load(row[0]).find(row[1])
    index = books.reading(tuple(version.label for version in figure.versions), row[2])
    version = figure.versions[figure.usual if index is None else index]
    return str(version.length // 12)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]} {row[1]} {row[2]}".strip())
def test_a_sheet_that_settles_the_reading_of_a_source_has_what_it_publishes(row: list[str]) -> None:
    """With one header line, or none, every published row holds: beats, next foot and turn, by both engines."""
    text = sheet(row[0], contract(row, length(row)), row[1], header=header(row))

    assert proved(check_text(text)), row[8]
    assert proved(check_text(text, readings="all")) or not row[2], row[8]


def chosen(row: list[str]) -> str:
    """Return a line that names its reading; one that is called by a length is chosen by stating it."""
    return f"{row[1]}, {row[2]}" if row[2][0].isdigit() else f"{row[1]} {row[2]}"


@pytest.mark.parametrize(
    "row", [row for row in ROWS if row[2] and ": " not in row[2]], ids=lambda row: f"{row[0]} {row[1]} {row[2]}"
)
def test_a_line_that_says_its_reading_has_what_its_source_publishes(row: list[str]) -> None:
    """`Vine ending in a step` on the line alone, and with every other word open."""
    assert proved(check_text(sheet(row[0], contract(row, length(row)), chosen(row)), readings="all")), row[8]


def contradictions() -> list[tuple[list[str], list[str]]]:
    """Return pairs of rows of one figure that publish another foot, length or turn."""
    pairs = []
    for number, row in enumerate(ROWS):
        (figure,) = books.load(row[0]).find(row[1])
        for other in ROWS[:number]:
            same = other[0] == row[0] and books.load(row[0]).find(other[1]) == (figure,)
            if same and (length(other), *other[6:8]) != (length(row), *row[6:8]):
                pairs.append((other, row))
    return pairs


def test_sources_that_contradict_each_other_are_there() -> None:
    """Basic, vine, scissor step and others: the next test is about something."""
    assert len(contradictions()) > 20
    assert {"Basic", "Vine", "Scissor Step"} <= {row[1] for pair in contradictions() for row in pair}


@pytest.mark.parametrize("pair", contradictions(), ids=lambda pair: f"{pair[0][1]}: {pair[0][2]} - {pair[1][2]}")
def test_rows_that_contradict_each_other_hold_under_readings_of_their_own(pair: tuple[list[str], list[str]]) -> None:
    """Each is proved with its own reading and refuted with the other's, so neither is bent to fit the other."""
    for row, other in (pair, pair[::-1]):
        said = contract(row, length(row))

        assert proved(check_text(sheet(row[0], said, row[1], header=header(row)))), row[8]
        assert Verdict.REFUTED is check_text(sheet(row[0], said, row[1], header=header(other))).verdict, other[8]


# -- defined from footwork alone -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "row",
    [row for row in ROWS if row[7] == "0" and ": " not in row[2]],
    ids=lambda row: f"{row[0]} {row[1]} {row[2]}".strip(),
)
def test_a_published_figure_defined_in_a_sheet_comes_out_right(row: list[str]) -> None:
    """Held back from the book: the row of its source, copied into a sheet under another name, has the beats and the
    foot that the source publishes.  Both engines prove it."""
    lead = books.load(row[0]).lead.name.lower()
    beats = row[5].split()

    assert any(
        proved(check_text(sheet(row[0], contract(row, number), "Held Back", own=f"Held Back, {lead} foot: {row[3]}")))
        for number in beats
    ), row[8]


# -- found in print --------------------------------------------------------------------------------------------------


def test_a_ball_on_the_foot_that_has_the_weight_is_refused_with_count_and_reason() -> None:
    """Dancer's dictionary K (thedancestoreonline.com) puts the ball of a kick ball change on the foot opposite to the
    kick:
    that foot has the weight already."""
    own = "Kick Ball Change Again, 2 counts, right foot: K(R)@1 BA(L)@1& S(R)@2"
    (finding,) = check_text(sheet("line", "2 counts", "Kick Ball Change Again", own=own)).diagnostics

    assert ("SR401", 4) == (finding.code.id, finding.span.line)
    assert (
        "Kick Ball Change Again, count 1&: ball cannot be danced, the left foot already has the weight"
        == finding.message
    )
    assert own.index("BA(L)") + 3 == finding.span.column


def test_a_figure_counted_1_and_3_is_refused_as_two_counts() -> None:
    """The Rays Line Dance Club glossary prints the counts of a kick ball change as 1 & 3: three counts, not two."""
    own = "Kick Ball Change Again, 2 counts, right foot: K@1 BA@1& S@3"
    found = check_text(sheet("line", "2 counts, right foot to right foot", "Kick Ball Change Again", own=own))
    (finding,) = (d for d in found.diagnostics if d.code.id[2] == "5")

    assert ("SR511", 4) == (finding.code.id, finding.span.line)
    assert "Kick Ball Change Again should last 2 counts, but its movements last 3 counts" == finding.message


def test_the_same_two_slips_in_a_book_are_found_by_its_check(tmp_path: Path) -> None:
    """A club that copies them into its book is told so, with the same counts."""
    from stepcheck.books.lint import lint_book

    (tmp_path / "own.book").write_text(
        "book: Own\non top of: line\nfigures:\n"
        "  Kick Change, 2 counts: K(R)@1 BA(L)@1& S(R)@2\n    from: memory\n"
        "  Kick Three, 2 counts: K@1 BA@1& S@3\n    from: memory\n",
        "utf-8",
    )
    assert [
        ("SR401", "Kick Change, count 1&: ball cannot be danced, the left foot already has the weight"),
        ("SR511", "Kick Three should last 2, but its movements last 3"),
    ] == [(d.code.id, d.message) for d in lint_book(books.load(tmp_path / "own.book"))]


# -- one word, two regions -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("word", "form", "clogging", "tap"), [("stomp", "STO", "right", "left"), ("stamp", "STA", "left", "right")]
)
def test_tap_dancers_read_stomp_and_stamp_the_other_way_round(word: str, form: str, clogging: str, tap: str) -> None:
    """Kam Clogger codes (kamclogger.org) give a stomp weight and a stamp none; tap glossaries
    (geocities.ws/james+robey/ tapterms.htm, dance-videos.justforkix.com) the opposite."""
    for book, free in (("clogging", clogging), ("clogging with tap readings", tap)):
        text = sheet(book, f"1 beat, left foot to {free} foot, no turn", f"One {word}", own=f"One {word}: {form}")

        assert proved(check_text(text))
        assert (
            Verdict.REFUTED
            is check_text(text.replace(f"to {free}", f"to {'left' if free == 'right' else 'right'}")).verdict
        )
