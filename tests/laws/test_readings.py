"""What is said of all readings at once is what trying them one by one says."""

from itertools import combinations, product

from attrs import evolve
from hypothesis import example, given
from hypothesis import strategies as st

from stepcheck.model.outcome import Verdict
from stepcheck.program.routine import Routine
from stepcheck.proof.decide import decide
from stepcheck.report.pipeline import check, loads
from stepcheck.report.readings import clarify, hangs_of, idle, opened_up, settled
from stepcheck.walk.walk import survey, walk
from tests.profiles import law

SLOW = law(20)

FIGURES = """
  Toe Change, 2 beats: T(L)@1 S(R)@2
  Toe End, 2 beats: S T
  Heel End, 2 beats: S H
  Chug End, 2 beats: S CH
  Bounce End, 2 beats: S BOUNCE
  Gate, 2 beats, turn 1/4 left: S STO
"""
NAMES = ["Basic", "Triple", "Airplane", "Stomp", "Toe Change", "Toe End", "Heel End", "Chug End", "Bounce End", "Gate"]
EXPECTS = ["expect left foot", "expect right foot", "expect facing front", "expect facing back", "expect both feet"]
lines = st.lists(
    st.one_of(
        st.sampled_from(NAMES),
        st.sampled_from([f"{name}, left foot" for name in NAMES]),
        st.sampled_from(EXPECTS),
        st.sampled_from(["Toe End x3", "Stomp | Toe End", "Stomp | Heel End", "Basic x12"]),
    ),
    min_size=1,
    max_size=7,
)


@st.composite
def sheets(draw: st.DrawFn) -> str:
    """Draw a sheet with words that nothing settles."""
    body = "\n  ".join(draw(lines))
    length = draw(st.sampled_from(["", ": 8 beats", ": left foot to left foot", ": 1/4 turn left"]))
    dance = draw(st.sampled_from(["Verse", "Verse x2", "Verse until the music ends"]))
    walls = draw(st.sampled_from(["", "walls: 4\n"]))
    own = "\n".join(row for row in FIGURES.splitlines() if row.strip().split(",")[0] in body and row)
    figures = f"figures:\n{own}\n" if own else ""
    return f"routine: Weir\nbook: clogging\n{walls}{figures}part Verse{length}\n  {body}\ndance:\n  {dance}\n"


def one_by_one(routine: Routine) -> dict[tuple[str, ...], dict[str, Verdict]]:
    """Return the verdicts under each assignment of labels, found by settling all words in the header."""
    found = {}
    for labels in product(*(word.labels for word in routine.words)):
        pairs = zip((word.key for word in routine.words), labels, strict=True)
        settled_sheet = loads(settled(routine.sheet, tuple(pairs)))
        if settled_sheet.program is None:
            assert {"impossible-movement"} == {d.code.name for d in settled_sheet.diagnostics if d.code.id[2] != "8"}
            continue
        found[labels] = {outcome.claim: outcome.verdict for outcome in walk(settled_sheet.program)}
    return found


def drawn(text: str) -> tuple[Routine, dict[tuple[str, ...], dict[str, Verdict]]] | None:
    """Return a sheet with its words open and the verdicts one by one; None if it has too many to try."""
    routine = loads(text, readings="all")
    many = 1
    for word in routine.words:
        many *= len(word.labels)
    if routine.program is None or many > 72:
        return None
    return routine, one_by_one(routine)


@SLOW
@given(sheets())
def test_a_claim_holds_in_all_readings_if_it_holds_in_each(text: str) -> None:
    """Both engines refute a claim exactly if some assignment of readings refutes it, and those nobody can dance
    aside."""
    made = drawn(text)
    if made is None:
        return
    routine, found = made
    worst = {claim: max(v[claim] for v in found.values()) for claim in next(iter(found.values()))}

    assert worst == {outcome.claim: outcome.verdict for outcome in walk(routine.program)}
    assert worst == {outcome.claim: outcome.verdict for outcome in decide(routine.program)}


@SLOW
@given(sheets())
def test_the_words_on_which_a_sheet_hangs_are_the_smallest_that_change_a_verdict(text: str) -> None:
    """Each set changes a verdict with the readings given, no part of it does, and no other set is missing."""
    made = drawn(text)
    if made is None:
        return
    routine, found = made
    words = routine.words
    usual = tuple(word.labels[word.usual] for word in words)
    smallest: dict[tuple[int, ...], set[tuple[str, ...]]] = {}
    for size in range(1, len(words) + 1):
        for chosen in combinations(range(len(words)), size):
            if any(set(smaller) <= set(chosen) for smaller in smallest):
                continue
            odd = {
                tuple(labels[n] for n in chosen)
                for labels, verdicts in found.items()
                if verdicts != found[usual]
                and chosen == tuple(n for n, label in enumerate(labels) if label != usual[n])
            }
            if odd:
                smallest[chosen] = odd
    hangs = hangs_of(opened_up(routine.program, words))

    assert {tuple(words[n].key for n in chosen) for chosen in smallest} == {hang.words for hang in hangs}
    for chosen, hang in zip(smallest, hangs, strict=True):
        assert hang.words == tuple(words[n].key for n in chosen)
        assert set(hang.readings) <= smallest[chosen]
        assert len(chosen) > 1 or set(hang.readings) == smallest[chosen]
        assert set(hang.claims) == {
            claim
            for labels, verdicts in found.items()
            for claim in verdicts
            if verdicts[claim] != found[usual][claim]
            and chosen == tuple(n for n, label in enumerate(labels) if label != usual[n])
        }


@SLOW
@given(sheets())
def test_an_idle_word_changes_nothing(text: str) -> None:
    """Whatever the other words are read as, another reading of an idle word leaves every verdict as it is."""
    made = drawn(text)
    if made is None:
        return
    routine, found = made
    unmoved = idle(opened_up(routine.program, routine.words))
    for number, word in enumerate(routine.words):
        rest: dict[tuple[str, ...], list[dict[str, Verdict]]] = {}
        for labels, verdicts in found.items():
            rest.setdefault(labels[:number] + labels[number + 1 :], []).append(verdicts)
        assert (word.key in unmoved) is all(one == same[0] for same in rest.values() for one in same)


@SLOW
@given(sheets())
def test_the_clarification_is_the_shortest_and_does_what_it_says(text: str) -> None:
    """With its header lines every claim that can hold holds in all readings left, and no fewer lines do that."""
    made = drawn(text)
    if made is None:
        return
    routine, found = made
    words = routine.words
    never = {c for c in next(iter(found.values())) if not any(v[c] is Verdict.PROVED for v in found.values())}

    def safe(lines: dict[int, str]) -> bool:
        left = [v for labels, v in found.items() if all(labels[n] == label for n, label in lines.items())]
        return bool(left) and all(v[c] is Verdict.PROVED for v in left for c in v if c not in never)

    clear = clarify(opened_up(routine.program, words))
    index = {word.key: number for number, word in enumerate(words)}
    shortest = next(
        (
            size
            for size in range(len(words) + 1)
            if any(
                safe(dict(zip(chosen, labels, strict=True)))
                for chosen in combinations(range(len(words)), size)
                for labels in product(*(words[n].labels for n in chosen))
            )
        ),
        None,
    )
    assert clear.shortest
    assert (shortest is not None) is clear.helps
    if clear.helps:
        assert safe({index[word]: label for word, label in clear.settle})
        assert shortest == len(clear.settle)


GATES = "routine: Weir\nbook: clogging\nwalls: 4\nfigures:\n  Gate, 2 beats, turn 1/4 left: S STO\npart Verse: 8 beats\n{}dance:\n  Verse\n"


@SLOW
@given(sheets())
@example(GATES.format("  Basic\n  Basic\n  Gate\n  Basic, left foot\n"))  # a foot is wrong under one reading only
@example(GATES.format("  Gate\n  expect right foot\n  Basic, left foot\n"))  # under all, and passes turn both ways
def test_every_mode_answers_and_none_disagrees(text: str) -> None:
    """The report has the verdicts of the usual readings; all three ways of asking end without an internal error."""
    usual, every, report = (check(loads(text, readings=mode)) for mode in ("usual", "all", "report"))

    assert not any(d.code.id.startswith("SR9") for one in (usual, every, report) for d in one.diagnostics)
    assert usual.claims == report.claims
    assert usual.hangs == report.hangs == every.hangs
    assert usual.verdict <= every.verdict


@SLOW
@given(sheets())
def test_a_survey_of_the_usual_readings_says_what_a_walk_says(text: str) -> None:
    """Assignment 0 of the survey, with the words left open, refutes and leaves open what a walk of these does; a walk to
    which the survey is known says the same of every claim, the dances that show a failure included."""
    routine = loads(text)
    if routine.program is None:
        return
    opened = evolve(routine.program, words=routine.words)
    seen = survey(opened)

    for program in (routine.program, opened):
        assert walk(program) == walk(program, known=seen)
    for bits, verdict in ((seen.refuted, Verdict.REFUTED), (seen.waiting, Verdict.UNDECIDED)):
        found = {claim for claim, who in bits.items() if who & 1}
        assert found == {one.claim for one in walk(routine.program) if one.verdict is verdict}
