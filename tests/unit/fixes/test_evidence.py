"""The question whether anything cheaper mends a sheet: what its text says, and what it leaves unsaid."""

import re
from pathlib import Path

import pytest

from stepcheck.books import book as books
from stepcheck.books.book import Book
from stepcheck.breaks.material import material
from stepcheck.fixes.cheapest import Cheapest
from stepcheck.fixes.evidence import Question, Stretch, TooLong, stretches
from stepcheck.fixes.search import Search
from stepcheck.proof.solving import FINITE, satisfiable
from stepcheck.report import pipeline

PRICES = {"figure": 2, "times": 2, "turn": 2, "claim": 4}
BOOK = books.load(Path(__file__).parents[2] / "small.book")
VERSE = "part Verse: 8 beats, left foot to left foot\n  Triple\n  Triple x3\n"
SHEET = "routine: X\nbook: clogging\n{parts}dance:\n{dance}"


def levels_of(parts: str, dance: str, book: Book | None = None) -> Search:
    """Return the search among the rows of a sheet."""
    text = SHEET.format(parts=parts, dance=dance)
    routine = pipeline.loads(text if book is None else text.replace("book: clogging\n", ""), book=book)
    found = Cheapest(routine, material(routine, "any"), PRICES, frozenset(), 100_000).base.levels
    assert found is not None
    return found


def whole(levels: Search, bound: int) -> tuple[Stretch, ...]:
    """Return the whole dance as one stretch."""
    program = levels.sketch.program
    return (Stretch(levels.sketch.dance, bound, program.facing, int(program.lead.other)),)


def words(text: str) -> list[int]:
    """Return how many constants each word of a text can be."""
    return [line.count("(= x") for line in text.splitlines() if line.startswith("(assert (or false (= x")]


def test_every_name_is_made_once_before_it_is_used() -> None:
    """Any solver can read the text from top to bottom, and nothing in it is there for nothing."""
    levels = levels_of(VERSE, "  Verse\n  Verse\n  expect facing front\n")
    text = Question(levels, whole(levels, 6)).text
    known: set[str] = set()
    for line in text.splitlines():
        made = re.match(r"\((?:declare-const|define-fun) (\w+)", line)
        used = set(re.findall(r"(?<!#)\b[a-z]\d\w*", line)) - ({made[1]} if made else set())
        assert used <= known
        known |= {made[1]} if made and made[1] not in known else set()

    assert known == {name for name in known if len(re.findall(rf"\b{name}\b", text)) > 1}
    assert text.startswith("(set-logic QF_BV)\n") and text.endswith("\n(check-sat)\n")


def test_figures_that_do_the_same_are_one_class() -> None:
    """A line is chosen among what its changes do, and among that only as far as it is asked."""
    levels = levels_of(VERSE, "  Verse\n")
    lines = [levels.offers.variants(key) for key in levels.offers.slots if not key[1]]
    figures = [sum(len(one.offers) for one in variants) for variants in lines]
    turning = levels_of(VERSE.replace("8 beats", "8 beats, no turn"), "  Verse\n")

    asked = words(Question(levels, whole(levels, 4)).text)
    assert all(4 * few < many for few, many in zip(asked, figures, strict=True))
    assert sum(asked) < sum(words(Question(turning, whole(turning, 4)).text))


def test_a_part_that_is_danced_again_is_not_said_again() -> None:
    """Passes that begin alike share all that is said of the lines; only how dancers come to it is said each time."""
    once, often = (levels_of(VERSE, "  Verse\n" * times) for times in (1, 5))

    lines = [Question(levels, whole(levels, 4)).text.count("\n") for levels in (once, often)]
    assert 15 < lines[0] <= lines[1] <= lines[0] + 4


def test_what_is_as_it_was_is_said_in_numbers() -> None:
    """Where nothing can be changed for so little, the text still says what is danced and what is claimed."""
    levels = levels_of(VERSE.replace("Triple x3", "Triple x2"), "  Verse\n")
    text = Question(levels, whole(levels, 2)).text

    assert "x0" not in text and re.search(r"\(= #b0*11 #b0*10\)", text)
    assert not satisfiable(text, logic=FINITE)


def test_each_stretch_has_a_bound_of_its_own() -> None:
    """Parts that share no line are asked about apart; the question holds if one of them is mended for less."""
    other = VERSE.replace("Verse", "Chorus").replace("Triple\n", "Basic\n", 1)
    levels = levels_of(VERSE + other, "  Verse\n  Chorus\n")
    chosen = stretches(levels, 4)
    dearer = tuple(Stretch(one.nodes, one.bound + 1, one.front, one.start) for one in chosen)

    assert [2, 2] == [one.bound for one in chosen]
    assert not satisfiable(Question(levels, chosen).text, logic=FINITE)
    assert satisfiable(Question(levels, (chosen[0], dearer[1])).text, logic=FINITE)
    assert satisfiable(Question(levels, (dearer[0], chosen[1])).text, logic=FINITE)


@pytest.mark.parametrize("figure,turn", [("Triple, turn 1/4 left", 2), ("Triple, turn 1/4 right", 2), ("Triple", 0)])
def test_what_no_claim_asks_is_not_mended(figure: str, turn: int) -> None:
    """A facing at the end is asked of the turns before it, and of nothing else."""
    levels = levels_of(f"part A: left foot\n  {figure}\n  Triple\n", "  A\n  expect facing front\n")

    assert (not turn) is satisfiable(Question(levels, whole(levels, 1)).text, logic=FINITE)
    assert satisfiable(Question(levels, whole(levels, 3)).text, logic=FINITE)


def test_dancers_who_lead_with_either_foot_must_both_get_through() -> None:
    """From both feet the first and the last way are followed, each with the same changes."""
    levels = levels_of("part A:\n  Leap\npart B: 2 counts\n  Change x2\n", "  A\n  B\n  expect left foot\n", BOOK)

    assert not levels.found(0) and levels.found(2)
    assert not satisfiable(Question(levels, whole(levels, 1)).text, logic=FINITE)
    assert satisfiable(Question(levels, whole(levels, 3)).text, logic=FINITE)


def test_what_is_too_long_is_not_asked() -> None:
    """A dance of very many lines is not written out."""
    levels = levels_of("part A:\n  60 times:\n" + "    Triple\n" * 60, "  A\n")

    with pytest.raises(TooLong):
        Question(levels, whole(levels, 3))
