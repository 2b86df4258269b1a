"""Whether a program fails, and whether it does since what is danced lasts too long."""

import pytest

import stepcheck as sc
from stepcheck.walk.arrivals import fails

SHEET = "routine: Sluice Street\nbook: clogging\n\npart A: 8 beats\n  Basic x{times}\n\ndance:\n  A\n"


@pytest.mark.parametrize(("times", "answer"), [(3, (True, False)), (4, (False, False)), (5, (True, True))])
def test_too_long_is_told_from_too_short(times: int, answer: tuple[bool, bool]) -> None:
    """A length that fails is late where more would be too long as well, so that no longer one has to be tried."""
    program = sc.loads(SHEET.format(times=times)).program
    assert program is not None
    assert answer == fails(program)
