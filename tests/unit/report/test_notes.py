"""Notes: what is worth knowing and changes no verdict."""

import random
from itertools import combinations
from types import SimpleNamespace

import pytest

from stepcheck.model.dance import Item, Lap, Repeat, Rest, Step, Weight
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source
from stepcheck.music.strains import Section
from stepcheck.report.notes import _Dancers, across, usual_reading
from stepcheck.report.pipeline import check, loads
from stepcheck.report.values import Hang, Report
from tests.programs import BACK, CHANGE


def report(
    lines: str,
    *,
    contract: str = "",
    header: str = "",
    figures: str = "",
    dance: str = "Verse",
    readings: str = "usual",
) -> Report:
    """Return the report on a sheet with one part, whose lines (from line 4 on, without figures) semicolons divide."""
    own = "figures:\n" + "".join(f"  {row}\n" for row in figures.split("; ")) if figures else ""
    body = "".join(f"  {row}\n" for row in lines.split("; "))
    text = f"routine: Weir\nbook: clogging\n{header}{own}part Verse: {contract}\n{body}dance:\n  {dance}\n"
    return check(loads(text.replace("Verse: \n", "Verse:\n"), readings=readings), engine="walk")


def said(found: Report, name: str) -> list[tuple[int, str]]:
    """Return the line and the message of each note of this name."""
    return [(d.span.line, d.message) for d in found.diagnostics if d.code.name == name]


def test_a_figure_from_memory_is_told_once_a_sheet() -> None:
    """All figures that rest on memory alone stand in one note, in the order of the dance; sourced ones are not
    named."""
    found = report("Triple; Joey; Triple Loop; Joey")

    assert [(5, "the book has the footwork of Joey and Triple Loop from memory, not from a published source")] == said(
        found, "from-memory"
    )


def test_a_figure_with_a_source_beside_memory_is_not_from_memory() -> None:
    """Airplane has a published source as it is usually read; only its other readings are from memory."""
    assert [] == said(report("Airplane"), "from-memory")


@pytest.mark.parametrize(
    ("line", "message", "hint"),
    [
        (
            "Basic x4, full turn left",
            "each of the 4 makes a full turn left: 4 full turns in all",
            "`Basic x4, turn 1/4 left`",
        ),
        (
            "Basic x3, full turn right",
            "each of the 3 makes a full turn right: 3 full turns in all",
            "`Basic x3, turn full right on last`",
        ),
        (
            "Basic x4, 2 turns left",
            "each of the 4 makes 2 turns left: 8 full turns in all",
            "`Basic x4, turn 1/2 left`",
        ),
        (
            "Basic x2, left foot, full turn left",
            "each of the 2 makes a full turn left: 2 full turns in all",
            "`Basic x2, left foot, turn 1/2 left`",
        ),
    ],
)
def test_a_full_turn_behind_a_repeat_is_made_each_time(line: str, message: str, hint: str) -> None:
    """Four Basics with a full turn are four full turns: a note says so, with what one full turn is; the hint has no
    such note."""
    (found,) = [one for one in report(line).diagnostics if one.code.name == "full-turn-each-time"]
    meant = hint.strip("`")

    assert (4, message, f"if all of them together make one, write {hint}") == (
        found.span.line,
        found.message,
        found.hints[0],
    )
    assert (("turns", int(message.split()[-5])),) == found.args
    assert [] == said(report(meant), "full-turn-each-time")


@pytest.mark.parametrize(
    "line", ["Basic, full turn left", "Basic x4, turn 1/4 left", "Basic x4, full turn left on last", "Basic x3, turn ?"]
)
def test_a_full_turn_made_once_gets_no_note(line: str) -> None:
    """One figure, a share each, or the last alone: nothing can be misunderstood."""
    assert [] == said(report(line), "full-turn-each-time")


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ("Charleston", []),
        ("Triple; Charleston", [5]),
        ("Charleston; Triple; Charleston; Charleston", [6]),
        ("Triple | Fancy Double; hold 1 beat; Charleston", [6]),
    ],
)
def test_a_figure_of_one_lead_on_the_other_foot_is_told_where_it_is_so_first(lines: str, expected: list[int]) -> None:
    """By custom from the left: the note stands at the first line at which some dancer leads it with the right."""
    assert expected == [line for line, _ in said(report(lines), "seldom-on-this-foot")]


def test_the_custom_is_said_with_both_feet() -> None:
    """The note names the foot here and the foot by custom."""
    assert [(5, "Charleston is danced from the right foot here, by custom from the left only")] == said(
        report("Triple; Charleston"), "seldom-on-this-foot"
    )


def test_repeats_and_endless_dances_are_followed() -> None:
    """The right foot leads in the second pass only, and the note is given all the same."""
    assert [5] == [
        n for n, _ in said(report("hold 4 beats; Charleston; Triple", dance="Verse x2"), "seldom-on-this-foot")
    ]
    assert [5] == [
        n
        for n, _ in said(
            report("hold 4 beats; Charleston; Triple", dance="Verse until the music ends"), "seldom-on-this-foot"
        )
    ]
    assert [] == said(report("Charleston; Fancy Double", dance="Verse until the music ends"), "seldom-on-this-foot")


def test_the_weights_after_a_repeat_are_those_of_its_times_one_by_one() -> None:
    """Whatever a body does with the feet that may carry the weight, a short cut through its times changes nothing."""
    chance, body = random.Random(3), (Rest(1, 12),)
    every = [frozenset(some) for size in range(4) for some in combinations(Weight, size)]
    for _ in range(30):
        once = {weights: chance.choice(every) for weights in every}
        dancers = _Dancers(done={(id(body), weights): after for weights, after in once.items()})
        for weights in every:
            after = weights
            for times in range(1, 20):
                after = once[after]
                assert after == dancers.times(body, times, weights)


def test_a_turn_first_danced_from_the_right_is_shown_both_ways() -> None:
    """A figure of the sheet with a turn and no foot is mirrored from the right; the note shows both turns."""
    found = report("Triple; Gate Turn", figures="Gate Turn, 2 beats, turn 1/2 left: S S")

    ((line, message),) = said(found, "turn-mirrored")
    assert 7 == line
    assert "Gate Turn is first danced from the right foot, so it makes 1/2 turn right here" in message
    assert "from the left it makes 1/2 turn left" in message


@pytest.mark.parametrize(
    ("lines", "figure"),
    [
        ("Gate Turn; Triple; Gate Turn", "Gate Turn, 2 beats, turn 1/2 left: S S"),
        ("Triple; Gate Turn", "Gate Turn, 2 beats, right foot, turn 1/2 left: S S"),
        ("Triple; Gate Turn", "Gate Turn, 2 beats, left foot, turn 1/2 left: S S"),
        ("Triple; Gate Turn", "Gate Turn, 2 beats: S S"),
        ("Triple; Gate Turn, turn 1/2 left", "Gate Turn, 2 beats, turn 1/2 left: S S"),
        ("Triple; Turning Push-off", "Gate Turn, 2 beats, turn 1/2 left: S S"),
    ],
)
def test_a_turn_that_is_not_in_doubt_gets_no_note(lines: str, figure: str) -> None:
    """First from the left, with a foot or without a turn of its own, with a turn on the line, or out of the book."""
    assert [] == said(report(lines, figures=figure), "turn-mirrored")


def test_the_words_on_which_a_proof_hangs_are_said_in_one_note() -> None:
    """`holds unless …`, at the first line with such a word, with the header lines that settle them."""
    found = report("Basic; Stomp", contract="3 beats, left foot to left foot")
    (note,) = (d for d in found.diagnostics if d.code.name == "usual-reading")

    assert Verdict.PROVED is found.verdict
    assert "this holds unless Basic is read as kick and three steps, or stomp is read as no weight" == note.message
    hint = "settle them in the header if it is meant so: `Basic: with double toe` and `stomp: takes weight`"
    assert (4, (hint,)) == (note.span.line, note.hints)


def test_a_settled_word_and_one_that_changes_nothing_are_not_named() -> None:
    """Settled in the header, or the same whatever it is read as: no note."""
    settled = report(
        "Basic; Stomp",
        contract="3 beats, left foot to left foot",
        header="stomp: takes weight\nBasic: without double toe\n",
    )

    assert [] == said(settled, "usual-reading")
    assert [] == said(report("Triple", contract="4 beats"), "usual-reading")


def test_a_sheet_with_a_mistake_does_not_hold() -> None:
    """Where a claim is refuted the note says that a verdict changes, not that all holds."""
    ((_, message),) = said(report("Stomp", contract="1 beat, left foot to left foot"), "usual-reading")

    assert "a verdict changes if stomp is read as no weight" == message


def test_notes_change_neither_verdict_nor_exit_status() -> None:
    """Every note there is together leaves a sheet proved."""
    found = report(
        "Triple; Charleston; Gate Turn; Joey; Basic",
        contract="16 beats",
        figures="Gate Turn, 2 beats, turn 1/2 left: S S",
    )

    assert {"turn-mirrored", "usual-reading", "from-memory", "seldom-on-this-foot"} == {
        d.code.name for d in found.diagnostics
    }
    assert (Verdict.PROVED, 0) == (found.verdict, found.exit_status)


def test_of_many_words_three_are_named() -> None:
    """A note names three sets of words, says how many more there are, and then where to find them."""
    hangs = tuple(Hang((f"word {number}",), (("so",),), ("a",)) for number in range(1, 6))
    notes = [usual_reading(Source("weir.routine", "x"), (), hangs[:many], Verdict.PROVED) for many in range(6)]
    three = "this holds unless word 1 is read as so, or word 2 is read as so, or word 3 is read as so"

    assert [
        None,
        "this holds unless word 1 is read as so",
        "this holds unless word 1 is read as so, or word 2 is read as so",
        three,
        f"{three}, or 1 more set of words otherwise (see --readings report)",
        f"{three}, or 2 more sets of words otherwise (see --readings report)",
    ] == [note and note.message for note in notes]


def test_a_figure_across_phrases_is_told_once_a_line_with_the_first_place() -> None:
    """Phrases end so many beats from the beginning of their section, and with it; places are counted from its
    beginning."""
    song = SimpleNamespace(sections=(Section("A", 144, 5), Section("B", 96, 4)))
    sheet = SimpleNamespace(source=Source("weir.routine", "\n".join("abc")))

    def told(*items: Item) -> list[tuple[int, str]]:
        return [(one.span.line, one.message) for one in across(sheet, items, song)]  # type: ignore[arg-type]

    start = "Back is danced across the end of a phrase, "
    assert [] == told(*[Step(1, BACK)] * 2, Rest(1, 12), *[Step(1, BACK)] * 2, Rest(1, 12))
    assert [(2, f"{start}beat 5 of A")] == told(Rest(1, 48), Step(2, BACK))
    assert [(2, f"{start}beat 10 of A")] == told(Rest(1, 108), Step(2, BACK), Step(1, CHANGE), Step(2, BACK))
    assert [(2, f"{start}beat 12 of A"), (3, f"{start}beat 4 of B, and 1 time more")] == told(
        Rest(1, 132), Step(2, BACK), Rest(1, 24), Step(3, BACK), Rest(1, 24), Step(3, BACK), Step(1, BACK)
    )
    assert [(2, f"{start}beat 5 of A, and 4 times more")] == told(Rest(1, 54), Repeat(2, 8, (Step(2, BACK),)))
    assert [(2, f"{start}beat 5 of A")] == told(Lap((Rest(1, 24), Lap((Rest(1, 24), Step(2, BACK))))))
    (note,) = across(sheet, (Rest(1, 48), Step(2, BACK)), song)  # type: ignore[arg-type]
    assert (("figure", "Back"), ("places", ("beat 5 of A",))) == note.args


def test_no_more_figures_are_looked_at_than_may_be(monkeypatch: pytest.MonkeyPatch) -> None:
    """A dance of more figures gets the notes on the first ones."""
    monkeypatch.setattr("stepcheck.report.notes.MOST", 10)
    for before, notes in ((9, 1), (10, 0)):
        song = SimpleNamespace(sections=(Section("A", 12 * before + 12, before + 1), Section("B", 24, 2)))
        sheet = SimpleNamespace(source=Source("weir.routine", "a"))
        dance = (Repeat(1, before, (Step(1, CHANGE),)), Step(1, BACK))
        assert notes == len(across(sheet, dance, song))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("head", "line", "dance", "told"),
    [
        ("part A: 1/4 turn left", "Vine, turn 1/4 left", "A, opposite foot", True),
        ("part A: front to left wall", "Vine, turn 1/4 left", "A, opposite foot", True),
        ("part A:", "Vine, facing front", "A, opposite foot x2", True),
        ("part A:", "B", "A, opposite foot", True),
        ("part A:", "counts 1-4, facing front:\n    Vine", "A, opposite foot", True),
        ("part A:", "Vine\n  expect front", "A, opposite foot", True),
        ("part A:", "Vine\n  expect left foot", "A, opposite foot", False),
        ("part A: 1/4 turn left", "Vine, turn 1/4 left", "A, mirrored", False),
        ("part A: 4 counts, left foot", "Vine", "A, opposite foot", False),
        ("part A: 1/4 turn left", "Vine, turn 1/4 left", "A", False),
        ("part A: 4 counts", "Vine", "B, opposite foot", False),  # vacuous there, and told so
    ],
)
def test_claims_that_the_opposite_foot_leaves_unchecked_are_told(head: str, line: str, dance: str, told: bool) -> None:
    """Where a part is danced with the opposite foot, a note says that its turns and facings are not checked there."""
    lines = (
        "routine: T",
        "book: line",
        "part B:",
        "  Vine",
        "  expect front",
        head,
        f"  {line}",
        "dance:",
        "  A",
        f"  {dance}",
    )
    text = "".join(f"{one}\n" for one in lines)
    found = check(loads(text), engine="walk").diagnostics

    at = [one.span.line for one in found if one.code.name == "turns-not-checked"]
    assert at == [text.count("\n")] * told
