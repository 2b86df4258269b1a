"""Laps that go on until the music ends, laid out so that each of them may be the last."""

import random
from collections.abc import Iterator

import pytest

from stepcheck.model.dance import Body, Forever, Item, Last, Repeat, Rest, Step
from stepcheck.model.items import every
from stepcheck.program.laps import _any_end
from stepcheck.report.pipeline import check_text, loads

DANCE = """routine: Weir
book: clogging

figures:
  Leap, 1 beat: JUMP

part A:
  B

part B:
  except last time:
    C
  last time only:
    Triple, left foot

part C:
  Leap
  Triple, left foot
  last time only:
    Leap

dance:
  A {}
"""


def danced(start: int, period: int, reach: int, chance: random.Random) -> list[list[Body]]:
    """Return dances of 0, 1, 2 … laps: from `start` on, rounds of `period` laps, but for those that hang on the end.

    A lap hangs on the end where fewer than `reach` follow it, of each place in a round some.
    """
    hangs = {(place, left): chance.random() < 0.4 for place in range(period) for left in range(reach)}

    def lap(number: int, many: int) -> Body:
        kind = number if number < start else start + (number - start) % period
        left = many - 1 - number
        late = left if left < reach and number >= start and hangs[(number - start) % period, left] else -1
        return (Rest(late + 2, kind + 1),)

    return [[(Rest(0, 99),), *(lap(number, many) for number in range(many))] for many in range(60)]


IDLE = "book: clogging\npart A:\n  {}\ndance: 16 beats\n  A until the music ends\n"


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("2nd time only:\n    Triple", "nothing is danced here from the 3rd time on, so the music never ends"),
        ("every 2nd time only:\n    expect left foot", "nothing is danced here from the 1st time on"),
        ("last time only:\n    Triple", "nothing is danced here from the 1st time on"),
        ("expect left foot", "nothing is danced here from the 1st time on"),
        ("? times:\n    Triple", "how long this is waits on a blank"),
    ],
)
def test_times_that_bring_nothing_are_no_blank(rows: str, said: str) -> None:
    """A time round in which nothing is danced is none whose length is open: where no more comes, that is said."""
    (found,) = loads(IDLE.format(rows)).diagnostics

    assert found.message.startswith(said)


@pytest.mark.parametrize(
    "dance", ["A until the music ends", "A\n  A until the music ends", "until the music ends:\n    A"]
)
def test_a_line_that_fails_is_the_only_mistake_of_a_dance_that_it_leaves_empty(dance: str) -> None:
    """Nothing comes where it stands, and that is no mistake of its own."""
    text = f"book: clogging\npart A:\n  Triple x?, no turn on last\ndance: 16 beats\n  {dance}\n"
    (found,) = loads(text).diagnostics

    assert found.message == "how often this is danced is to be found, so no time of it can be named"


@pytest.mark.parametrize(
    "rows",
    [
        "except 2nd time:\n    Triple",
        "except 1st time:\n    Triple x2",
        "every 2nd time only:\n    Triple",
        "2nd time only:\n    Triple\n  3rd time only:\n    Triple x3",
        "30th time only:\n    Triple x4",
    ],
)
def test_a_time_that_brings_nothing_lasts_nothing(rows: str) -> None:
    """Where other times bring something, the music is filled by these."""
    report = check_text(IDLE.format(rows))

    assert report.claims and {"proved"} == {claim.verdict.word for claim in report.claims}


@pytest.mark.parametrize(
    ("marks", "said"),
    [
        (", 4 counts until the music ends", "proved"),
        (" until the music ends, 4 counts", "proved"),
        (", 14 counts until the music ends", "refuted"),
        ("{}, 16 counts", "proved"),
        (", facing front until the music ends", "refuted"),
        (", facing left wall until the music ends", "refuted"),
        (", left foot until the music ends", "proved"),
        (", right foot until the music ends", "refuted"),
    ],
)
def test_what_a_line_says_that_goes_on_is_of_each_time_but_its_foot(marks: str, said: str) -> None:
    """A length and a facing are those of each time round, the foot is that of the first: the second begins with the
    other."""
    text = "book: line\nlead: left\nfigures:\n  Pier, 4 counts, turn 1/4 left @1: S S S HOLD\npart A:\n  Pier\n"
    text += f"dance: 16 counts\n  A{marks.format(' x4')}\n"
    claims = check_text(text).claims

    assert said == max(one.verdict for one in claims if one.kind in ("length", "facing", "lead foot")).word
    assert "proved" == next(one.verdict.word for one in claims if one.text == "16 counts")


def test_a_time_round_that_the_music_cuts_says_nothing_of_its_end() -> None:
    """What is said of each time round is not asked of one that is not danced to its end."""
    text = (
        "book: line\npart A:\n  Vine, turn 1/4 left @4\ndance: {} counts\n  A, facing left wall until the music ends\n"
    )
    cut, whole = ([one.verdict.word for one in check_text(text.format(counts)).claims] for counts in (6, 8))

    assert ["proved", "proved"] == cut
    assert ["proved", "refuted"] == whole


@pytest.mark.parametrize("seed", range(60))
def test_each_lap_may_be_the_last(seed: int) -> None:
    """A dance of so many laps is the beginning of the endless one, and then an end that stands there, perhaps of
    nothing more; and each end is that of a dance."""
    chance = random.Random(seed)
    start, period, reach = chance.randint(0, 3), chance.randint(1, 3), chance.randint(1, 4)
    dances = danced(start, period, reach, chance)
    made = _any_end(7, start, period, reach, lambda number: dances[number])
    assert isinstance(made[-1], Forever) and made[-1].line == 7
    endless = (*made[:-1], *made[-1].body * 40)
    plain = [item for item in endless if not isinstance(item, Last)]
    ends: dict[int, set[Body]] = {}
    for at, item in enumerate(endless):
        if isinstance(item, Last):
            ends.setdefault(sum(not isinstance(one, Last) for one in endless[:at]), set()).add(item.body)
    found: dict[int, set[Body]] = {}
    for laps in dances[1:30]:
        dance = [item for lap in laps for item in lap]
        differs = next((at for at, item in enumerate(dance) if item != plain[at]), len(dance))
        assert tuple(dance[differs:]) in ends[differs]
        found.setdefault(differs, set()).add(tuple(dance[differs:]))

    assert all(some <= found[at] for at, some in ends.items() if at < 20)


def steps(body: Body) -> list[str]:
    """Return the figures of a body without ends and loops, one by one."""
    return [one.figure.name for one in every(body) if isinstance(one, Step)]


LAPS = (
    "last time only:; Basic",
    "2nd time only:; Basic; last time only:; Stomp",
    "3rd time only:; Basic; except last time:; Triple; Stomp",
    "every 2nd time:; Basic; last time only:; Stomp",
    "every 3rd time:; Basic; 2nd time only:; Triple; last time only:; Stomp",
)


@pytest.mark.parametrize("rows", LAPS)
@pytest.mark.parametrize("inner", LAPS)
def test_laps_without_a_number_end_as_those_of_some_number(rows: str, inner: str) -> None:
    """Each number of laps is the beginning of the endless dance and an end that stands there, and no end is another
    dance; parts in parts have last times of their own."""
    bodies = [
        "".join(f"  {'  ' if at and one[at - 1].endswith(':') else ''}{row}\n" for at, row in enumerate(one))
        for one in (rows.split("; "), inner.split("; "))
    ]
    head = f"book: clogging\n\npart A:\n  Triple\n{bodies[0]}  B\n\npart B:\n  Basic\n{bodies[1]}\ndance:\n  A "
    program = loads(f"{head}until the music ends\n").program
    assert program is not None
    *first, forever = program.dance
    assert isinstance(forever, Forever)
    plain: list[str] = []
    ended: set[tuple[str, ...]] = set()
    for item in (*first, *forever.body * 24):
        if isinstance(item, Last):
            ended.add((*plain, *steps(item.body)))
        else:
            plain += steps((item,))
    dances = []
    for many in range(1, 7):
        made = loads(f"{head}x{many}\n").program
        assert made is not None
        dances.append(tuple(name for item in unrolled(made.dance) for name in steps((item,))))

    assert set(dances) <= ended
    many_laps = loads(f"{head}x48\n").program
    assert many_laps is not None
    long = [name for item in unrolled(many_laps.dance) for name in steps((item,))]
    half = min(len(long), len(plain)) // 2
    assert long[:half] == plain[:half]
    longest = min(map(len, dances[4:]))
    assert {dance for dance in ended if len(dance) < longest} <= set(dances)


def unrolled(body: Body) -> Iterator[Item]:
    """Yield the items of a body, those of a repeat as often as they are danced."""
    for item in body:
        if isinstance(item, Repeat):
            for _ in range(item.times or 0):
                yield from unrolled(item.body)
        else:
            yield item


@pytest.mark.parametrize("engine", ["walk", "z3"])
def test_a_short_dance_that_ends_otherwise_is_no_end_of_a_longer_one(engine: str) -> None:
    """Danced once, A has no C in it; danced more often, C has its last time before the last A: in every number of laps
    the left foot is free for the last Triple, and so it is in any."""
    times = ("x1", "x2", "x3", "x4", "until the music ends")

    assert {"proved"} == {check_text(DANCE.format(one), engine=engine).verdict.word for one in times}
