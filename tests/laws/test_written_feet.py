"""Rows with written feet, danced foot by foot without a lead or a mirror image."""

import itertools

import stepcheck as sc

MOVES = ("S", "S(L)", "S(R)", "JUMP", "CLAP")
SHEET = "routine: Osier Row\nbook: line\nlead: {}\n\npart M:\n  {}\n\ndance:\n  M\n"


def can_be_danced(row: tuple[str, ...], times: int, free: str) -> bool | None:
    """Say whether each written foot is free when it steps, `free` being the foot that goes first; None where a step from
    both feet says no foot."""
    for move in row * times:
        if move == "JUMP":
            free = "both"
        elif move == "S" and free == "both":
            return None
        elif move[:2] == "S(" and free not in ("both", move[2]):
            return False
        elif move[0] == "S":
            free = {"L": "R", "R": "L"}[move[2:3] or free]
    return True


def test_what_is_proved_can_be_danced_on_the_feet_that_are_written() -> None:
    """Every row of up to three movements, once and several times, from either foot: none is proved in a mirror image,
    and none refuted that can be danced."""
    seen = {"proved": 0, "refuted": 0}
    for size, times, free in itertools.product((2, 3), (1, 2, 3), "LR"):
        for row in itertools.product(MOVES, repeat=size):
            if not any("(" in move for move in row) or (wanted := can_be_danced(row, times, free)) is None:
                continue
            said = " ".join(row) + (f" x{times}" if times > 1 else "")
            report = sc.check_text(SHEET.format({"L": "left", "R": "right"}[free], said), engine="walk")
            if report.verdict.word == "ill-formed":  # either foot may lead it, or neither can
                assert {each.code.name for each in report.diagnostics} <= {"two-readings", "impossible-movement"}, said
                continue
            assert report.verdict.word == ("proved" if wanted else "refuted"), (said, free)
            seen[report.verdict.word] += 1
    assert min(seen.values()) > 100
