"""How far figures and edits are from one another, and how evenly something falls on the times of a repeat."""

from collections.abc import Iterator

from attrs import evolve

from stepcheck.language.edits import Edit
from stepcheck.language.syntax import Times
from stepcheck.model.dance import TICKS, Figure

PLAIN, UNEVEN = 1, 2
"""The unevenness of a set of times of a repeat: all of its times (0), as before (1), or some of them (2)."""


def falls(times: Times | None, most: int) -> tuple[int, ...]:
    """Return the numbers of the times of a repeat of `most` times that `times` names; all if it is None."""
    if times is None:
        return tuple(range(1, most + 1))
    return tuple(
        number
        for number in range(1, most + 1)
        if number in times.named or (times.every and number % times.every == 0) or (times.last and number == most)
    )


def even(times: int) -> int:
    """Return 0 for a number of times usual in music (1, 2, 4, 8, 16), else `UNEVEN`."""
    return 0 if times & (times - 1) == 0 else UNEVEN


def moves(figure: Figure | None) -> tuple[str, ...]:
    if figure is None:
        return ()
    return tuple(action.movement.name for action in figure.versions[figure.usual].actions)


def beats(figure: Figure | None) -> list[tuple[tuple[str, int], ...]]:
    """Return the movements on each beat of a figure."""
    if figure is None:
        return []
    version = figure.versions[figure.usual]
    return [
        tuple((action.movement.name, action.tick - beat * TICKS) for action in version.actions if action.beat == beat)
        for beat in range(1, version.length // TICKS + 1)
    ]


def differing(one: Figure | None, other: Figure | None) -> int:
    """Return on how many beats two figures do not dance the same."""
    here, there = beats(one), beats(other)
    return sum(a != b for a, b in zip(here, there, strict=False)) + abs(len(here) - len(there))


def apart(one: tuple[str, ...], other: tuple[str, ...]) -> int:
    """Return the edit distance of two rows of movements (insertions, deletions, replacements)."""
    before = list(range(len(other) + 1))
    for number, move in enumerate(one, 1):
        row = [number]
        for place, there in enumerate(other, 1):
            row.append(min(before[place] + 1, row[-1] + 1, before[place - 1] + (move != there)))
        before = row
    return before[-1]


def content(edit: Edit) -> object:
    """Return an edit apart from its line."""
    return (type(edit), evolve(edit, line=0))


def common(groups: list[list[Edit]]) -> Iterator[list[Edit]]:
    """Yield the changes that stand in every group, for other lines, as one for each group."""
    inside = [{content(edit): edit for edit in group} for group in groups]
    for said in inside[0]:
        if all(said in one for one in inside):
            yield [one[said] for one in inside]
