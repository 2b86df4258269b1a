"""The question whether anything cheaper mends a sheet: what its text says, and what it leaves unsaid."""

import re
from pathlib import Path

import pytest

from stepcheck.books import book as books
from stepcheck.books.book import Book
from stepcheck.breaks.material import material
from stepcheck.fixes import mend
from stepcheck.fixes.evidence import Question, Stretch, stretches
from stepcheck.fixes.fix import repair
from stepcheck.proof.names import TooLarge
from stepcheck.proof.solving import FINITE, satisfiable
from stepcheck.report import pipeline
from stepcheck.search.cheapest import Cheapest
from stepcheck.search.search import Search

PRICES = {"figure": 2, "other length": 2, "times": 2, "turn": 2, "claim": 4}
BOOK = books.load(Path(__file__).parents[2] / "small.book")
VERSE = "part Verse: 8 beats, left foot to left foot\n  Triple\n  Triple x3\n"
SHEET = "routine: X\nbook: clogging\n{parts}dance:\n{dance}"


def search_of(parts: str, dance: str, book: Book | None = None) -> Search:
    """Return the search among the rows of a sheet."""
    text = SHEET.format(parts=parts, dance=dance)
    routine = pipeline.loads(text if book is None else text.replace("book: clogging\n", ""), book=book)
    found = Cheapest(routine, material(routine, "any"), PRICES, frozenset(), 100_000).base.search
    assert found is not None
    return found


def whole(search: Search, bound: int) -> tuple[Stretch, ...]:
    """Return the whole dance as one stretch."""
    return (Stretch(search.sketch.dance, bound, int(search.sketch.program.lead.other)),)


def test_every_name_is_made_once_before_it_is_used() -> None:
    """Any solver can read the text from top to bottom."""
    search = search_of(VERSE, "  Verse\n  Verse\n  expect facing front\n")
    text = Question(search, whole(search, 6)).text
    known: set[str] = set()
    for line in text.splitlines():
        made = re.match(r"\((?:declare-const|define-fun) (\|[^|]+\|)", line)
        assert {name for name in re.findall(r"\|[^|]+\|", line) if not made or name != made[1]} <= known
        assert not made or made[1] not in known
        known |= {made[1]} if made else set()

    assert len(known) > 100 and text.endswith("\n(check-sat)\n")


def test_every_figure_is_stated_movement_by_movement() -> None:
    """What can stand on a line is the same text as in a proof: every figure of the book, and a constant for the line."""
    search = search_of(VERSE, "  Verse\n")
    text = Question(search, whole(search, 4)).text

    assert text.startswith("; Can choices that cost less") and "(define-fun free-foot-lands" in text
    assert all(f"; figure {one.figure.name}, written for the" in text for one in search.offers.pool)
    assert "(declare-const |choice of 4| (_ BitVec" in text and "(declare-const |choice of 5| (_ BitVec" in text


def test_figures_that_are_taken_for_the_same_are_asked_about(monkeypatch: pytest.MonkeyPatch) -> None:
    """If the first engine took figures for the same which are not, the question would say so."""
    search = search_of(VERSE.replace("Triple x3", "Triple x2"), "  Verse\n")
    assert not satisfiable(Question(search, whole(search, 3)).text.replace("(_ bv3 16)", "(_ bv1 16)"), logic=FINITE)

    monkeypatch.setattr(search.transitions, "step", lambda figure, turn=None: ())
    text = Question(search, whole(search, 3)).text
    assert satisfiable(text.replace("(_ bv3 16)", "(_ bv1 16)"), logic=FINITE)


def test_a_changed_cost_is_noticed() -> None:
    """The question is about what the changes cost, not only about whether there are any."""
    search = search_of(VERSE + VERSE.replace("Verse", "Chorus"), "  Verse\n  Chorus\n")
    text = Question(search, whole(search, 4)).text

    assert not satisfiable(text, logic=FINITE)
    assert satisfiable(text.replace("(_ bv2 16)", "(_ bv1 16)"), logic=FINITE)


def test_a_part_that_is_danced_again_is_not_said_again() -> None:
    """Passes that begin alike share all that is said of the lines; only how dancers come to it is said each time."""
    once, often = (search_of(VERSE, "  Verse\n" * times) for times in (1, 5))

    lines = [Question(search, whole(search, 4)).text.count("\n") for search in (once, often)]
    assert 15 < lines[0] <= lines[1] <= lines[0] + 4


def test_what_may_not_change_is_stated_as_it_is() -> None:
    """Where nothing can be changed for so little, the text is that of a proof, with nothing to choose in it."""
    search = search_of(VERSE.replace("Triple x3", "Triple x2"), "  Verse\n")
    text = Question(search, whole(search, 2)).text

    assert "declare-const" not in text
    assert not satisfiable(text, logic=FINITE)


def test_parts_that_are_never_danced_are_asked_about() -> None:
    """A part that fails by itself needs its changes, too."""
    search = search_of(VERSE + "part Chorus: 4 beats\n  Triple\n", "  Chorus\n")

    assert not search.found(0) and search.found(2)
    assert not satisfiable(Question(search, whole(search, 2)).text, logic=FINITE)
    assert satisfiable(Question(search, whole(search, 3)).text, logic=FINITE)


def test_each_stretch_has_a_bound_of_its_own() -> None:
    """Parts that share no line are asked about apart; the question holds if one of them is mended for less."""
    other = VERSE.replace("Verse", "Chorus").replace("Triple\n", "Basic\n", 1)
    search = search_of(VERSE + other, "  Verse\n  Chorus\n")
    chosen = stretches(search, 4)
    dearer = tuple(Stretch(one.nodes, one.bound + 1, one.start) for one in chosen)

    assert [2, 2] == [one.bound for one in chosen]
    assert not satisfiable(Question(search, chosen).text, logic=FINITE)
    assert satisfiable(Question(search, (chosen[0], dearer[1])).text, logic=FINITE)
    assert satisfiable(Question(search, (dearer[0], chosen[1])).text, logic=FINITE)


@pytest.mark.parametrize("figure,turn", [("Triple, turn 1/4 left", 2), ("Triple, turn 1/4 right", 2), ("Triple", 0)])
def test_what_no_claim_asks_is_not_mended(figure: str, turn: int) -> None:
    """A facing at the end is asked of the turns before it, and of nothing else."""
    search = search_of(f"part A: left foot\n  {figure}\n  Triple\n", "  A\n  expect facing front\n")

    assert (not turn) is satisfiable(Question(search, whole(search, 1)).text, logic=FINITE)
    assert satisfiable(Question(search, whole(search, 3)).text, logic=FINITE)


def test_dancers_who_lead_with_either_foot_must_both_get_through() -> None:
    """From both feet the first and the last way are followed, each with the same changes."""
    search = search_of("part A:\n  Leap\npart B: 2 counts\n  Change x2\n", "  A\n  B\n  expect left foot\n", BOOK)

    assert not search.found(0) and search.found(2)
    assert not satisfiable(Question(search, whole(search, 1)).text, logic=FINITE)
    assert satisfiable(Question(search, whole(search, 3)).text, logic=FINITE)


def test_what_is_too_long_is_not_asked() -> None:
    """A dance of very many lines, on which dancers pick their feet, is not written out."""
    search = search_of("part A:\n  60 times:\n" + "    Leap\n" * 60, "  A x60\n", BOOK)

    with pytest.raises(TooLarge):
        Question(search, whole(search, 3))


def test_the_second_engine_is_asked_for_so_long_and_no_longer(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is not settled within `ASKED` is said to be open; the fix is the same."""
    routine = pipeline.load(Path(__file__).parents[3] / "specs" / "faulty" / "eight_bells.routine")
    (settled,) = repair(routine, limit=1).fixes
    monkeypatch.setattr(mend, "ASKED", 1)
    (left,) = repair(routine, limit=1).fixes

    assert ("unsat", "open") == (settled.evidence.solver, left.evidence.solver)
    assert settled.text == left.text


@pytest.mark.parametrize(
    ("parts", "dance", "least", "small"),
    [
        ("part A: 8 beats\n  Triple | Basic\n", "  A\n", None, False),  # both would have to be danced more often
        ("part A: 8 beats\n  Triple x2 | Basic\n", "  A\n", 2, False),
        ("part A: 8 beats\n  Triple | Basic x4\n", "  A\n", 2, False),
        ("part A: 3 counts\n  Two | Point\n", "  A\n  A\n", 4, True),  # comes to A the second time on either foot
        ("walls: 4\npart A:\n  Triple x2, turn 1/2 left on last\n", "  A until the music ends\n", 2, False),
        ("part A: left foot to both feet\n  Change\n", "  A\n", 2, True),  # which no figure of the sheet ends on
        ("part A: 6 counts\n  Two x2, turn 1/4 left on 1st\n", "  A\n", 2, True),
    ],
)
def test_the_question_has_the_cost_that_is_found(parts: str, dance: str, least: int | None, small: bool) -> None:
    """For one less there is nothing, and for that there is; a line is changed once."""
    search = search_of(parts, dance, BOOK if small else None)
    bound = least or 4
    assert [False, least is not None] == [bool(search.found(cost)) for cost in (0, bound)]
    answers = [satisfiable(Question(search, whole(search, most)).text, logic=FINITE) for most in (bound, bound + 1)]
    assert [False, least is not None] == answers
