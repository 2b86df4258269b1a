"""The line that says how long a dance is and how it ends."""

from fractions import Fraction

import pytest

from stepcheck.formats.json import from_json, to_json
from stepcheck.model.outcome import Verdict
from stepcheck.report.finish import Finish
from stepcheck.report.pipeline import check_text
from stepcheck.report.values import Report


def report(body: str, dance: str, header: str = "book: line\ntempo: 120") -> Report:
    """Return the report on a sheet with one part; semicolons divide lines."""
    rows = "".join(f"  {row}\n" for row in body.split("; "))
    order = "".join(f"  {row}\n" for row in dance.split("; "))
    return check_text(f"routine: Weir\n{header}\npart Main:\n{rows}dance:\n{order}", engine="walk", path="x")


@pytest.mark.parametrize(
    ("body", "dance", "expected"),
    [
        (
            "Shuffle x4, turn 1/4 left on last",
            "Main x3",
            "24 counts in all (0:12 at 120); ends facing 3:00, right foot free",
        ),
        ("Shuffle x3; hold 1 count", "Main", "7 counts in all (0:04 at 120); ends facing 12:00, left foot free"),
        (
            "Shuffle x4, turn 1/2 left on last",
            "Main until the music ends",
            "8 counts each time round until the music ends (0:04 at 120); ends facing 12:00 or 6:00, right foot free",
        ),
        (
            "Shuffle | Shuffle x2",
            "Shuffle x2; Main",
            "6 or 8 counts in all (0:03 or 0:04 at 120); ends facing 12:00, left or right foot free",
        ),
        ("Shuffle x?", "Main", "an open number of counts in all; ends facing 12:00, left or right foot free"),
        ("? 4 counts", "Main", "4 counts in all (0:02 at 120); ends facing any wall, no, left or right foot free"),
    ],
)
def test_the_end_of_a_dance_is_said_in_one_line(body: str, dance: str, expected: str) -> None:
    """Above the verdict stands the length in all, its time at the tempo, the wall and the free foot, `any of` where
    open."""
    assert f"   {expected}" == str(report(body, dance)).splitlines()[-2]


def test_what_is_claimed_changes_nothing_of_it() -> None:
    """Of a refuted sheet the end as it is danced is shown; a sheet that is not understood has none."""
    got = report("Shuffle x4; expect facing 6:00", "Main", "book: line")

    assert Verdict.REFUTED is got.verdict
    assert Finish((Fraction(8),), ("right",), ("12:00",), None, "counts") == got.finish
    assert report("Shufle", "Main").finish is None


def test_it_goes_to_json_and_back() -> None:
    """Thirds of a beat and open ends come back as they were."""
    for body, dance in (("Shuffle x4; hold 1/3 count", "Main"), ("Shuffle x?", "Main until the music ends")):
        one = report(body, dance)
        assert one.finish is not None and (one,) == from_json(to_json(one))


@pytest.mark.parametrize(
    ("beats", "tempo", "time"),
    [(59, 60, "0:59"), (60, 60, "1:00"), (119, 60, "1:59"), (120, 120, "1:00"), (61, 60, "1:01"), (3661, 60, "61:01")],
)
def test_a_length_takes_minutes_and_seconds(beats: int, tempo: int, time: str) -> None:
    """Sixty seconds are a minute."""
    made = Finish((Fraction(beats),), ("left",), ("front",), tempo=Fraction(tempo))

    assert str(made).startswith(f"{beats:,} beats in all ({time} at {tempo}); ends")
