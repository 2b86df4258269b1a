"""The times of a repeat, laid out."""

from stepcheck.language.syntax import Times
from stepcheck.model.dance import Repeat, Rest
from stepcheck.program.repeats import Pattern, Turn, covers, pattern, spread


def lay(turn: Turn) -> tuple[Rest, ...]:
    """Return a rest as long as the number of the time, so that it can be told apart."""
    return (Rest(1, turn.time),)


def test_times_cover_named_every_and_last() -> None:
    """Something written for the 2nd and every 3rd and the last of 7 happens on 2, 3, 6 and 7."""
    times = Times((2,), 3, True)

    assert [2, 3, 6, 7] == [time for time in range(1, 8) if covers(times, Turn(time, 7))]


def test_the_last_time_may_end_without_a_number() -> None:
    """Where nobody knows how many there are, a time may be said to be the last."""
    assert covers(Times(last=True), Turn(5, None, ends=True))
    assert not covers(Times(last=True), Turn(5, None))


def test_a_pattern_says_which_times_may_differ() -> None:
    """The largest named time, the least common multiple of the rounds, and whether the last differs."""
    assert Pattern(4, 6, True) == pattern((Times((1, 4)), Times(every=2), Times(every=3), Times(last=True)))
    assert pattern(()).plain


def test_times_that_are_alike_stay_a_repeat() -> None:
    """Nothing is unrolled where no time differs, so that a billion costs nothing."""
    assert (Repeat(1, 10**9, (Rest(1, 1),)),) == spread(1, 10**9, Pattern(), lay)


def test_named_times_come_first_and_the_rest_is_a_repeat() -> None:
    """The 2nd of a billion: two times laid out, the rest in one."""
    laid = spread(1, 10**9, Pattern(named=2), lay)

    assert (Rest(1, 1), Rest(1, 2), Repeat(1, 10**9 - 2, (Rest(1, 3),))) == laid


def test_rounds_and_the_last_time() -> None:
    """Every 2nd and the last of 9: rounds of two, one left, and the last apart."""
    laid = spread(1, 9, Pattern(period=2, last=True), lay)

    assert (Repeat(1, 4, (Rest(1, 1), Rest(1, 2))), Rest(1, 9)) == laid


def test_fewer_times_than_are_named() -> None:
    """A repeat of one with a second time named is danced once."""
    assert (Rest(1, 1),) == spread(1, 1, Pattern(named=2), lay)
