"""Books of figures: names, layers, readings, and what is wrong with one."""

import re
from pathlib import Path

import pytest

from stepcheck.books import book as books
from stepcheck.books.lint import lint_book
from stepcheck.model.dance import Foot, Level
from stepcheck.model.source import Source, SourceError
from stepcheck.report.pipeline import check_text

SPEC = Path(__file__).parents[3] / "specs" / "books.md"
CLUB = re.findall(r"```book\n(.*?)```", SPEC.read_text("utf-8"), re.DOTALL)[0]


def written(folder: Path, text: str, name: str = "club.book") -> books.Book:
    """Return the book of a text."""
    (folder / name).write_text(text, "utf-8")
    return books.load(folder / name)


def codes(book: books.Book) -> list[tuple[str, int]]:
    """Return the names and lines of the findings about a book."""
    return [(found.code.name, found.span.line) for found in lint_book(book)]


@pytest.mark.parametrize("name", books.SHIPPED)
def test_nothing_in_a_shipped_book_is_wrong(name: str) -> None:
    """A shipped book reads without a problem; the only notes on it are figures of equal footwork."""
    book = books.load(name)

    assert () == book.problems
    assert {"figure-twice"} >= {found.code.name for found in lint_book(book)}


@pytest.mark.parametrize(("name", "count"), [("clogging", 50), ("line", 75)])
def test_the_shipped_books_are_complete(name: str, count: int) -> None:
    """Each has its figures with level and source, and says which are from memory."""
    figures = books.load(name).figures()

    assert count <= len(figures)
    assert all(figure.levels for figure in figures)
    assert all(version.sources or version.memory for figure in figures for version in figure.versions)


@pytest.mark.parametrize("name", books.SHIPPED)
def test_every_level_stands_in_a_scheme(name: str) -> None:
    """A level that no scheme has would compare with nothing."""
    book = books.load(name)

    assert all(book.rank(level) is not None for figure in book.figures() for level in figure.levels)


def test_a_shipped_book_is_read_once() -> None:
    """Figures are compared by identity, so the same one comes every time."""
    assert books.load("clogging") is books.load("Clogging")
    assert books.load("clogging").find("Triple")[0] is books.load("clogging").find("TRIPLE BASIC")[0]


@pytest.mark.parametrize("name", ["rocking chair", "Rocking-Chair", "ROCKINGCHAIR"])
def test_names_match_in_any_spelling(name: str) -> None:
    """Case, hyphens and spaces don't count."""
    assert ["Rocking Chair"] == [figure.name for figure in books.load("clogging").find(name)]


def test_a_name_in_two_books_gives_both() -> None:
    """`book: clogging, line` finds a triple in each; `from line` picks one; a movement is the first book's."""
    both = books.combine((books.load("clogging"), books.load("line")))

    assert ["clogging", "line"] == [figure.book for figure in both.find("Triple")]
    assert ["line"] == [figure.book for figure in both.find("Triple", "line")]
    assert books.load("clogging").movement("S") == both.movement("s")
    assert books.load("line").movement("FLICK") == both.movement("flick")
    assert ("clogging", Foot.LEFT) == (both.tradition, both.lead)


def test_movements_come_once_each_from_the_first_book_that_has_their_form() -> None:
    """The list has every movement that a form leads to, and no other."""
    both = books.combine((books.load("clogging"), books.load("line")))

    found = both.movements()
    assert len(set(found)) == len(found)
    assert [] == [one.name for one in found if not any((one,) == both.movement(form) for form in one.forms)]
    assert {"flick", "double toe"} < {one.name for one in found}
    assert set(books.load("clogging").movements()) <= set(found)


def test_one_book_alone_is_itself() -> None:
    """Combining a single book adds nothing."""
    assert books.load("line") is books.combine((books.load("line"),))


def test_an_unknown_name_has_no_figure_but_neighbours() -> None:
    """A slip of the pen finds nothing, and the nearest names come in the book's spelling."""
    book = books.load("line")

    assert () == book.find("Jaz Boks")
    assert "Jazz Box" == book.nearest("Jaz Boks")[0]
    assert () == book.nearest("xyzzy")
    assert not book.known("Jaz Boks")


@pytest.mark.parametrize("name", books.SHIPPED)
def test_the_example_of_a_figure_can_be_danced(name: str) -> None:
    """What is offered for a name that stands for nothing is a line that the sheet can have, in either tradition."""
    example = books.load(name).example("Weir Step")
    text = f"book: {name}\nfigures:\n  {example}\npart A: 4 counts\n  Weir Step\ndance:\n  A\n"

    assert 0 == check_text(text, engine="walk").exit_status


def test_names_come_once_and_in_order() -> None:
    """The list of names follows the book and holds each spelling once."""
    names = books.load("clogging").names()

    assert ("Double Toe Step", "Double Step", "Double Down") == names[:3]
    assert len(set(names)) == len(names)


def test_words_are_what_has_readings() -> None:
    """Every word that a header may settle has at least two readings, each with a label of its own."""
    for name in books.SHIPPED:
        book = books.load(name)
        for word in book.words():
            for found in book.readings(word):
                labels = [m.label for m in getattr(found, "senses", ()) or getattr(found, "versions", ())]
                assert 2 <= len(labels) == len(set(labels)), word
                assert all(labels)


def test_no_word_is_both_a_movement_and_a_figure_with_readings() -> None:
    """A header settles one thing: a word never has two lists of labels."""
    for name in books.SHIPPED:
        assert all(1 == len(books.load(name).readings(word)) for word in books.load(name).words())


@pytest.mark.parametrize(
    ("label", "words", "same"),
    [
        ("ends in a step", "ending in a step", True),
        ("ends in a touch", "ending with a touch", True),
        ("takes weight", "with weight", True),
        ("no weight", "without weight", True),
        ("no weight", "takes no weight", True),
        ("3 counts", "3 counts", True),
        ("takes weight", "without weight", False),
        ("ends in a step", "ends in a touch", False),
        ("touch", "", False),
    ],
)
def test_a_label_may_be_written_as_people_speak(label: str, words: str, same: bool) -> None:
    """Small words and endings don't count, but a no does."""
    assert same is books.label_matches(label, words)


def test_a_reading_is_found_among_its_labels() -> None:
    """The index of the label that the words stand for, or None."""
    assert 1 == books.reading(("ends in a touch", "ends in a step"), "ending in a step")
    assert books.reading(("ends in a touch", "ends in a step"), "ending in a hop") is None


def test_the_book_in_the_specification_reads(tmp_path: Path) -> None:
    """What specs/books.md shows is a book without a fault, and means what the page says."""
    club = written(tmp_path, CLUB)
    (wheel,) = club.find("water wheel")
    (weir,) = club.find("Weir Step")
    (gate,) = club.find("Sluice Gate")

    assert [] == codes(club)
    assert ("Millrace", "clogging", Foot.LEFT) == (club.name, club.tradition, club.lead)
    assert ((Level("club", "easy"),), (-2, 2, -4), True) == (wheel.levels, wheel.usual_turns, wheel.one_lead)
    assert ["with a clunk", "with a turn", "2 beats"] == [version.label for version in weir.versions]
    assert [(48, 0, None), (48, 2, 3), (24, 0, None)] == [(v.length, v.turn, v.turn_beat) for v in weir.versions]
    assert (-4, True) == (gate.versions[0].turn, gate.versions[0].memory)
    assert "Alder Ferry" in wheel.versions[0].sources[0]
    assert (("stomp", "no weight"),) == club.settled
    assert club.known("otter slide")
    assert ["Alder Ferry" in source for source in club.named_by("Otter Slide")] == [True]


def test_a_book_stands_on_another(tmp_path: Path) -> None:
    """What a club's book lacks is found below it, and its own figures hide those of the same name."""
    own = "book: Weir\non top of: clogging\nfigures:\n  Triple, 3 beats: DS DS DS\n    from: memory\n"
    club = written(tmp_path, own)

    assert ["Weir"] == [figure.book for figure in club.find("Triple")]
    assert [books.load("clogging").find("Basic")[0]] == list(club.find("Basic"))
    assert 1 == sum(figure.name == "Triple" for figure in club.figures())
    assert books.load("clogging").movement("DT") == club.movement("DT")
    assert [("figure-shadowed", 4)] == codes(club)


def test_a_book_may_stand_on_a_clubs_book(tmp_path: Path) -> None:
    """The path after `on top of` is taken from the folder of the book."""
    written(tmp_path, CLUB, "millrace.book")
    club = written(tmp_path, "on top of: millrace.book\nfigures:\n  Tail Race: DS RS\n")

    assert ("club", (("stomp", "no weight"),)) == (club.name, club.settled)
    assert 1 == len(club.find("Mill Wheel"))


def test_a_set_of_readings_is_taken_by_name(tmp_path: Path) -> None:
    """A named set comes after what always holds; an unknown one is refused."""
    written(tmp_path, CLUB)

    expected = (("stomp", "no weight"), ("stomp", "takes weight"))
    assert expected == books.load(tmp_path / "club.book", readings="Visitors").settled
    with pytest.raises(SourceError, match="no readings named"):
        books.load("clogging", readings="moon")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("colour: red\n", ("unknown-header", 1)),
        ("  adrift: 1\n", ("misplaced-line", 1)),
        ("lead: middle\n", ("header-value", 1)),
        ("tradition: tap\n", ("header-value", 1)),
        ("on top of: line\nfigures:\n  Odd: S XYZ\n", ("unknown-form", 3)),
        ("on top of: line\nfigures:\n  Odd: S(M)\n", ("unknown-form", 3)),
        ("on top of: clogging\nfigures:\n  Odd: S B\n", ("form-with-two-meanings", 3)),
        ("on top of: clogging\nfigures:\n  Odd: S SH\n", ("form-without-stated-weight", 3)),
        ("on top of: line\nfigures:\n  Odd: S@2 S@1\n", ("count-out-of-order", 3)),
        ("on top of: line\nfigures:\n  Odd:\n", ("figure-without-beats", 3)),
        ("on top of: line\nfigures:\n  Odd: PV\n", ("figure-without-beats", 3)),
        ("on top of: line\nfigures:\n  Odd, 3 beats: S S\n", ("wrong-figure-length", 3)),
        ("on top of: line\nfigures:\n  Odd, three beats: S S S\n", ("line-not-understood", 3)),
        ("on top of: line\nfigures:\n  Odd, turn 1/3 left: S S\n", ("line-not-understood", 3)),
        ("on top of: line\nfigures:\n  Odd, turn 1/4 left @3: S S\n", ("turn-beyond-the-end", 3)),
        (
            "on top of: line\nfigures:\n  Odd\n    one (usual): S S\n    two, turn 1/4 left @3: S S\n",
            ("turn-beyond-the-end", 5),
        ),
        ("on top of: line\nfigures:\n  Odd: S S\n    level: silly in club\n", ("unknown-level", 3)),
        ("on top of: line\nfigures:\n  Odd: S S\n    level: silly\n", ("line-not-understood", 4)),
        ("on top of: line\nfigures:\n  Odd: S S\n    usual turns: 1/0 left\n", ("impossible-turn", 4)),
        ("on top of: line\nfigures:\n  Odd: S S\n    from: nowhere\n", ("unknown-name", 4)),
        ("on top of: line\nlevels:\n  ferry: first\n    from: nowhere\n", ("unknown-name", 3)),
        ("on top of: line\nknown by name:\n  Odd, Even\n    from: nowhere\n", ("unknown-name", 3)),
        ("on top of: line\nfigures:\n  Odd: S S\n    danced slowly\n", ("line-not-understood", 4)),
        ("on top of: line\nfigures:\n  Odd: S STU\n  Odd: S S STU\n", ("name-taken-twice", 4)),
        ("on top of: line\nfigures:\n  Odd: S STU\n  Even: S STU\n", ("figure-twice", 4)),
        ("on top of: line\nfigures:\n  Odd\n    one: S S\n    two: S K\n", ("line-not-understood", 3)),
        ("on top of: line\nfigures:\n  Odd\n    one (usual): S S\n    one: S K\n", ("line-not-understood", 3)),
        ("movements:\n  odd: ODD\n", ("line-not-understood", 2)),
        ("movements:\n  odd, sideways: ODD\n    free foot\n", ("line-not-understood", 2)),
        ("movements:\n  odd: ODD\n    third foot, takes weight\n", ("line-not-understood", 3)),
    ],
)
def test_a_faulty_line_is_found_with_its_place(tmp_path: Path, text: str, expected: tuple[str, int]) -> None:
    """Whatever can't be read, doesn't add up or stands twice is found, on its line, and with words on it."""
    book = written(tmp_path, text)

    assert expected in codes(book)
    assert all(found.message and found.path for found in lint_book(book))


@pytest.mark.parametrize("section", ["figures", "movements"])
@pytest.mark.parametrize("line", [", 4 beats: DS", ": ZZ", ",", ":"])
def test_an_entry_without_a_name_is_a_mistake(tmp_path: Path, section: str, line: str) -> None:
    """It is said with its line, whatever else stands there, and the entries around it are read as they are."""
    own = written(tmp_path, f"on top of: clogging\n{section}:\n  {line}\nfigures:\n  Weir, 1 beat: DS\n")

    assert [(3, "this entry has no name")] == [
        (one.span.line, one.message) for one in lint_book(own) if one.code.id == "SR201"
    ]
    assert ["Weir"] == [figure.name for figure in own.find("Weir")] and not own.find("") and not own.find("4 beats")


def test_a_faulty_entry_leaves_the_others_alone(tmp_path: Path) -> None:
    """The figures around one that can't be read are there."""
    club = written(tmp_path, "on top of: line\nfigures:\n  Odd:\n  Good, 2 counts: S K\n")

    assert () == club.find("Odd")
    assert 24 == club.find("Good")[0].versions[0].length


@pytest.mark.parametrize("data", [b"\xff\xfe", b"figures:\n  X: \x80\n"])
def test_a_book_that_is_no_text_is_refused(tmp_path: Path, data: bytes) -> None:
    """Bytes that are not UTF-8 raise, with the name of the file."""
    (tmp_path / "club.book").write_bytes(data)

    with pytest.raises(SourceError, match=r"club\.book is not UTF-8"):
        books.load(tmp_path / "club.book")


def test_a_book_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """A path that leads nowhere raises, and so does a base that does."""
    with pytest.raises(SourceError, match="cannot be read"):
        books.load(tmp_path / "none.book")
    with pytest.raises(SourceError, match="cannot be read"):
        written(tmp_path, "on top of: none.book\n")
    with pytest.raises(SourceError, match=r"there is no book 'cloging'; did you mean clogging\?"):
        books.load("cloging")
    with pytest.raises(SourceError, match="there is no book 'waltz'; there are clogging, line, and a club's own"):
        books.load("waltz")


def test_a_book_on_top_of_itself_is_refused(tmp_path: Path) -> None:
    """Two books that stand on each other never end; they are refused at once."""
    (tmp_path / "b.book").write_text("on top of: a.book\n")

    with pytest.raises(SourceError, match="on top of itself"):
        written(tmp_path, "on top of: b.book\n", "a.book")


def test_a_book_stands_on_a_file_that_has_a_name() -> None:
    """A name with a character that no file can have is refused like one of a file that isn't there."""
    text = "book: Spire\non top of: wa\0ter\n"

    with pytest.raises(SourceError, match="no name of a file"):
        books.from_text(Source("spire.book", text))
