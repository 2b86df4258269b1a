"""What may be meant by words behind a name, and by a name that stands for nothing."""

import pytest

from stepcheck.books import book as books
from stepcheck.language.patch import Rewrite
from stepcheck.language.syntax import Option
from stepcheck.model.findings import Hint, Severity
from stepcheck.program.failures import MOST_NEAR, _other_spaces, _split, each, meant
from stepcheck.report import pipeline

LINE = books.load("line")


def written(words: str, figure: str = "") -> list[str]:
    """Return what may be written for words behind the name of a part, or of a figure of the book."""
    found = LINE.find(figure)[0] if figure else "Weir"
    name = f"{figure or found} {words}"
    hints = meant(found, words, Option(name=name, at=(3, 3 + len(name))))
    assert all(isinstance(hint, Rewrite) and hint.at == (3, 3 + len(name)) for hint in hints)
    return [hint.text for hint in hints if isinstance(hint, Rewrite)]


@pytest.mark.parametrize(
    ("words", "texts"),
    [
        *((f"{word} Vine", ["Weir\nVine"]) for word in ("and", "&", "/", "+", "then")),
        ("or Vine", ["Weir | Vine"]),
        ("* 3", ["Weir x3"]),
        *((word, ["Weir x12"]) for word in ("12", "twelve", "twelve times", "Twelve times")),
        *((word, ["Weir, left foot", "Weir (to the left)"]) for word in ("left", "L", "lf", "on the left")),
        *((word, ["Weir, right foot", "Weir (to the right)"]) for word in ("right", "R", "RF", "with the right")),
        ("to the left", ["Weir (to the left)", "Weir, left foot"]),
        *((word, ["Weir"]) for word in ("to the back", "to back", "to the front")),
        *((word, ["Weir, left foot"]) for word in ("lead left", "leads left", "with left lead")),
        *(
            (word, [])
            for word in ("left right", "left foot", "left right lead", "to the left lead", "up", "twice", "the")
        ),
    ],
)
def test_words_behind_a_name_are_written_as_marks(words: str, texts: list[str]) -> None:
    """Two figures, how often, a foot or a side, the likeliest first; nothing for words with another in between."""
    assert texts == written(words)


def test_the_side_of_a_figure_that_turns_may_be_that_of_its_turn() -> None:
    """By its usual size, whatever its usual side."""
    assert ["Pivot Half, left foot", "Pivot Half, turn 1/2 left"] == written("left", "Pivot Half")
    assert ["Pivot Half, right foot", "Pivot Half, turn 1/2 right"] == written("R", "Pivot Half")
    assert ["Rolling Vine, right foot", "Rolling Vine, turn full right"] == written("right", "Rolling Vine")


def test_a_space_may_stand_one_letter_further() -> None:
    """To either side of where it stands; a letter before a number may be an x, and the name is what stands before
    that."""
    assert {("Jaz zBox", "Jaz zBox"), ("JazzB ox", "JazzB ox")} == {*_other_spaces("Jazz Box")} - {("Jazz Box",) * 2}
    assert {("Triple x2", "Triple"), ("Tripl ey2", "Tripl ey2"), ("Tripley 2", "Tripley 2")} == {
        *_other_spaces("Triple y2")
    }


def test_readings_are_offered_one_by_one() -> None:
    """Each at the place of the words, the first without an or."""
    labels = ("one", "two", "three")

    assert [(label, (3, 7)) for label in labels] == [(hint.text, hint.at) for hint in each(labels, (3, 7))]
    assert ["write {}", "or write {}", "or write {}"] == [hint.said for hint in each(labels, (3, 7))]


@pytest.mark.parametrize(
    ("parts", "line", "offered"),
    [
        (tuple("ABCDE"), "F", ["A", "B", "C"]),
        (("A", "Lock"), "F", ["A"]),
        (("Lock", "Copperas"), "Coperas", ["Copperas"]),
        (("Lock", "Copperas"), "Part Lock", ["Lock"]),
    ],
)
def test_a_part_that_may_be_meant_is_offered(parts: tuple[str, ...], line: str, offered: list[str]) -> None:
    """For one letter every part of one letter, three at most; for a longer name those that are like it."""
    text = "".join(f"part {part}:\n  Vine\n\n" for part in parts)
    found = pipeline.loads(f"routine: Weir\nbook: line\n\n{text}dance:\n  {line}\n").diagnostics
    hints = [hint for one in found if one.code.name == "unknown-name" for hint in one.hints]

    assert [f"did you mean {one}?" for one in offered] == [str(hint) for hint in hints if "mean" in hint]
    assert len(offered) <= MOST_NEAR


@pytest.mark.parametrize(
    ("name", "offered"),
    [("Verse Vine", ["Verse: Vine"]), ("verse  Vine", ["Verse: Vine"]), ("Worse Vine", []), ("Verse Quxqux", [])],
)
def test_a_section_may_stand_before_a_name(name: str, offered: list[str]) -> None:
    """The name of a section of the music, and then what is danced to it; nothing else is cut off."""
    found = _split(Option(name=name, at=(0, len(name))), LINE, frozenset(), ("Chorus", "Verse"))

    assert offered == [hint.text for hint in found if isinstance(hint, Rewrite)]


@pytest.mark.parametrize(
    ("written", "said", "offered"),
    [
        ("Vine, turn 1/4 left @5", "Vine has no count 5, only 4", ["turn 1/4 left"]),
        ("Vine x2, turn 1/4 left @5", "Vine has no count 5, only 4", ["turn 1/4 left @1 on 2nd", "turn 1/4 left"]),
        ("Vine x3, turn 1/4 left @12", "Vine has no count 12, only 4", ["turn 1/4 left @4 on 3rd", "turn 1/4 left"]),
        ("Vine x3, turn 1/4 left @13", "Vine has no count 13, only 4", ["turn 1/4 left"]),
        ("Vine x3, turn ? @5 on 2nd", "Vine has no count 5, only 4", ["turn ? on 2nd"]),
        ("Vine, 3 counts, turn 1/4 left @4", "Vine has no count 4, only 3", ["turn 1/4 left"]),
        ("S@1 S@1&, turn 1/4 left @2", "S@1 S@1& has no count 2, only 1", ["turn 1/4 left"]),
        ("Vine x2, turn 1/4 left @4", "", []),
        ("Gate", "Gate has no count 5, only 2", ["turn 1/4 left"]),
    ],
)
def test_a_turn_is_on_a_count_that_its_figure_has(written: str, said: str, offered: list[str]) -> None:
    """Each time of the figure has its own counts; what may be meant is the count of a later time, or none."""
    own = "figures:\n  Gate, 2 counts, turn 1/4 left @5: S S\n" if written == "Gate" else ""
    made = pipeline.loads(f"book: line\n{own}part A:\n  {written}\ndance:\n  A\n")
    found = [one for one in made.diagnostics if one.code.severity is Severity.ERROR]

    assert [("turn-beyond-the-end", said)] * bool(said) == [(one.code.name, one.message) for one in found]
    words = [f"or write {one}" if number else f"write {one}" for number, one in enumerate(offered)]
    assert words == [hint for one in found for hint in one.hints]
    assert all(isinstance(hint, Hint) for one in found for hint in one.hints)
