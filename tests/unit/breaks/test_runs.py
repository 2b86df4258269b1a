"""What comes of a search is made once, when it is asked for."""

from collections.abc import Iterator

from stepcheck.breaks.runs import Replay


def test_what_was_made_is_kept() -> None:
    """Whoever asks again gets the same from the start, and nothing is made that nobody asked for."""
    made: list[int] = []

    def source() -> Iterator[int]:
        for number in range(4):
            made.append(number)
            yield number

    replay = Replay(source())
    one, other = iter(replay), iter(replay)

    assert [0, 1] == [next(one), next(one)] and [0, 1] == made
    assert [0, 1, 2] == [next(other) for _ in range(3)] and [0, 1, 2] == made
    assert [2, 3] == list(one) and [3] == list(other)
    assert [0, 1, 2, 3] == list(replay) == made
