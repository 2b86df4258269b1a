"""Breaks against brute force: the same rows in the same order, and reasons that are true."""

from collections.abc import Iterator
from itertools import product
from typing import Any

from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from stepcheck import loads
from stepcheck.books import book as books
from stepcheck.books.footwork import is_still
from stepcheck.breaks.breaks import Breaks, find_breaks, request
from stepcheck.breaks.requests import Request, reason
from stepcheck.breaks.states import Readings, State
from stepcheck.model.dance import EIGHTHS, Figure, Step, Weight
from stepcheck.walk.effects import Algebra, step_effect
from stepcheck.walk.walk import walk
from tests.profiles import law

FIGURES = {name: books.load(name).figures() for name in ("clogging", "line")}
FULL = list(State().each())


@st.composite
def small_requests(draw: Any) -> Request:
    """Return a request among a handful of figures, for a few beats."""
    name = draw(st.sampled_from(("clogging", "line")))
    pool = tuple(draw(st.lists(st.sampled_from(FIGURES[name]), min_size=1, max_size=4, unique=True)))
    end = draw(st.sampled_from([None, *FULL, State(Weight.LEFT), State(Weight.RIGHT), State(None, 4), State()]))
    start = draw(st.sampled_from(FULL[:16]))
    asked = request(
        books.load(name),
        pool,
        Readings(),
        beats=draw(st.integers(1, 5)),
        starts=((start,),),
        end=end,
        known=draw(st.lists(st.sampled_from(pool), max_size=2)),
        most_in_a_row=draw(st.sampled_from([None, None, 1, 2])),
        most_turn=draw(st.sampled_from([None, None, 0, 4])),
        any_lead=draw(st.booleans()),
    )
    wanted = draw(st.lists(st.sampled_from(pool), max_size=2, unique=True)) if draw(st.booleans()) else []
    return evolve(asked, limits=evolve(asked.limits, wanted=tuple(wanted)))


def brute(asked: Request) -> list[tuple[str, ...]]:
    """Return every row for a request, by trying all of them, in the order of specs/costs.md."""
    start = asked.starts[0][0]
    end = start if asked.end is None else asked.end
    found = []
    for row, weight, turns in grown(asked, (), start.weight, (), asked.ticks):
        figures = [figure for figure, _, _ in row]
        runs = max(len(list(run)) for run in runs_of(figures))
        limits = asked.limits
        if not end.allows(weight, (start.facing + sum(turns)) % EIGHTHS) or not set(limits.wanted) <= set(figures):
            continue
        if limits.most_in_a_row is not None and runs > limits.most_in_a_row:
            continue
        if limits.most_turn is not None and sum(map(abs, turns)) > limits.most_turn:
            continue
        unknown = sum(figure not in asked.known for figure in figures)
        places = tuple((asked.figures.index(figure), number, int(lead != asked.first)) for figure, number, lead in row)
        found.append(((len(row), unknown, sum(map(abs, turns)), places), row))
    return [row for _, row in sorted(found, key=lambda one: one[0])]


def runs_of(figures: list[Figure]) -> Iterator[list[Figure]]:
    """Yield the stretches of one and the same figure."""
    run: list[Figure] = []
    for figure in figures:
        if run and run[-1] is not figure:
            yield run
            run = []
        run.append(figure)
    yield run


def grown(asked: Request, row: tuple, weight: Weight, turns: tuple[int, ...], left: int) -> Iterator[tuple]:  # type: ignore[type-arg]
    """Yield every row that goes on from `weight` and fills `left`, danced by the first engine."""
    if not left:
        yield row, weight, turns
        return
    algebra = Algebra()
    for figure in asked.figures:
        version = figure.versions[figure.usual]
        if version.length > left:
            continue
        leads = (0, 1) if weight is Weight.BOTH else (1 - weight,)
        for lead in leads:
            if figure.one_lead and lead != figure.lead and not asked.any_lead:
                continue
            side = 1 if lead == figure.lead else -1
            usual = [turn for turn in dict.fromkeys(figure.usual_turns) if turn != version.turn]
            for number, turn in enumerate([None, *(side * turn for turn in usual)]):
                effect = step_effect(algebra, Step(0, figure, turn), version, {})
                rows = effect.rows[1 - lead]
                stays = weight is Weight.BOTH and is_still(version, {})
                if stays and lead != figure.lead:
                    continue
                for after, entry in zip(Weight, rows, strict=True):
                    if entry is not None:
                        step = (figure, number, lead)
                        yield from grown(
                            asked,
                            (*row, step),
                            Weight.BOTH if stays else after,
                            (*turns, entry.turns[0]),
                            left - version.length,
                        )


@law(150)
@given(small_requests())
def test_the_rows_are_those_of_brute_force_in_the_same_order(asked: Request) -> None:
    """Trying every row and sorting by the written order gives the very same list."""
    search = asked.search()
    start = asked.starts[0][0]
    expected = [[figure.name for figure, _, _ in row] for row in brute(asked)][:60]
    actual = [
        [ways[0].placed.name for ways in row]
        for row in search.rows(asked.ticks, (asked.goal(start),), asked.limits, 60)
    ]
    assert expected == actual


@law(60)
@given(small_requests())
def test_a_reason_is_given_exactly_where_brute_force_finds_nothing(asked: Request) -> None:
    """No row at all by brute force means a reason, and every condition that it keeps is needed."""
    if brute(asked):
        assert asked.possible
        return
    assert not asked.possible
    assert reason(asked)


def test_what_a_reason_says_of_the_feet_is_true() -> None:
    """Where the answer is parity, every row of that length by brute force ends as the reason says."""
    book = books.load("clogging")
    pool = tuple(figure for figure in book.figures() if figure.name in ("Basic", "Triple", "Vine"))
    for beats, foot in product((2, 4, 6), ("left", "right")):
        asked = request(book, pool, Readings(), beats=beats, starts=((FULL[0],),), end=State(Weight(foot == "left")))
        ends = {weight for _, weight, _ in grown(asked, (), Weight.RIGHT, (), asked.ticks)}
        if Weight(foot == "left") not in ends:
            said = reason(asked)
            assert 1 == len(ends)
            assert f"the {'right' if foot == 'left' else 'left'} foot is free" in said


@law(40)
@given(
    st.sampled_from(("clogging", "line")),
    st.integers(1, 16),
    st.sampled_from(FULL[:16]),
    st.sampled_from(FULL),
    st.integers(0, 6),
)
def test_the_lines_of_a_break_are_proved_as_a_sheet(book: str, beats: int, start: State, end: State, skip: int) -> None:
    """Written down as a sheet that claims its length and its end, every row is proved by the first engine."""
    found: Breaks = find_breaks(book, beats=beats, start=start, end=end, limit=skip + 1)
    if not found.breaks:
        assert found.reason
        return
    one = found.breaks[-1]
    foot, wall = str(start).split(", ")
    text = f"book: {book}\nlead: {foot.split()[0]}\nfacing: {wall}\ndance: {beats} beats\n"
    text += "".join(f"  {line}\n" for line in one.lines) + f"  expect {one.end}\n"
    routine = loads(text.replace("expect both feet, ", "expect both feet, facing "))
    assert routine.program is not None, (text, routine.diagnostics)
    assert {"PROVED"} == {outcome.verdict.name for outcome in walk(routine.program)}, text


@law(60)
@given(small_requests(), st.sampled_from(FULL[:16]), st.sampled_from(FULL[:16]))
def test_a_row_for_several_states_fits_each_of_them(asked: Request, one: State, other: State) -> None:
    """The rows that fit two states at once are those that fit the one and, word for word, the other."""
    free = evolve(asked, end=None, limits=evolve(asked.limits, most_turn=None))

    def written(*starts: State) -> list[tuple[str, ...]]:
        return [row.lines for row in evolve(free, starts=(starts,)).found(10**6)]

    second = set(written(other))
    assert [row for row in written(one) if row in second] == written(one, other)
