"""What random sheets are put together from: figures, marks, claims, and the tastes that say what there is more of."""

from collections.abc import Callable, Sequence
from typing import Any, Literal, TypeAlias

from stepcheck.model.claims import FIXED

Taste: TypeAlias = Literal[
    "blanks",
    "both",
    "choices",
    "contracts",
    "counts",
    "cuts",
    "feet",
    "music",
    "nested",
    "never",
    "plain",
    "readings",
    "swaps",
    "times",
    "turns",
    "until",
    "walls",
    "? beats",
    "? turn",
    "? foot",
    "? times",
    "x?",
    "groups",
    "travel",
]
"""What a sheet has more of: blanks, jumps to both feet, variations, contracts, headings of counts, restarts, claims
about feet, music, blocks in blocks, parts that are not danced, nothing, words that are read in several ways, mirrored
parts, times, turns, what goes on until the music ends, a number of walls; or one kind of
blank in a small sheet; or groups of the floor; or steps that go somewhere."""
Pick: TypeAlias = Callable[[Sequence[Any]], Any]

FIGURES = tuple(
    (name, moves, int(counts))
    for name, moves, counts in (
        row.split(": ")
        for row in """Ford: S: 1; Lock: S S: 2; Weir: S S S: 3; Pier: S TCH: 2; Swing, turn 1/4 left: S: 1;
        Gate, turn 1/2 right @1: S S: 2; Leap: JUMP: 1; Wharf: S JUMP: 2; Slip: HOP S: 2; Eddy, turn 1/4 right: JUMP: 1;
        Buoy, right foot: S(R) S TCH(R): 3; Mole: S(L) S: 2; Barge, 3 counts: S S: 3; Quay: STO: 1;
        Tarn, turn 1/8 left: HOLD: 1; Sill: S@1 S@1& S@2: 2; Keel: JUMP HOP: 2;
        Rill, right foot, turn 1/4 right: S: 1""".replace("\n       ", "").split("; ")
    )
)
"""Figures of a sheet's own: name and facts, movements, counts in line dance."""


def listed(text: str) -> tuple[str, ...]:
    """Return the pieces between the semicolons of a text."""
    return tuple(text.split("; "))


BOOK = {"line": (("Vine", 4), ("Shuffle", 2)), "clogging": (("Triple", 4), ("Basic", 2))}
TURNS = listed("no turn; turn 1/4 left; turn 1/4 right; turn 1/2 left; turn 1/8 right; turn full left; turn 3/8 left")
TOTALS = listed(
    "no turn; 1/4 turn left; 1/4 turn right; 1/2 turn; 1/2 turn left; full turn; 3/4 turn right; 1/2 turn right"
)
FEET = ("left foot", "right foot")
STATES = (*FEET, "both feet", *(words for words, kind in FIXED.items() if kind.test))
WALLS = listed("front; back; left wall; right wall; 1:30")
ENDS = listed(
    "left foot; right foot; both feet; left foot to left foot; right foot to left foot; left foot to both feet; "
    "left foot to right foot; both feet to left foot"
)
ONLY = listed(
    "2nd time only; last time only; 1st time only; every 2nd time only; except last time; except 2nd time; "
    "1st, 3rd time only; 3rd time only"
)
FIRST = listed("1st time only; 1st, 3rd time only; except 2nd time; except last time")
ON = listed("on 2nd; on last; on every 2nd; on every 3rd; on 1st, 3rd; on last; on every 2nd; on 4th")
TASTES = listed(
    "plain; blanks; readings; times; feet; turns; times; cuts; music; until; walls; choices; both; swaps; never; "
    "counts; blanks; readings; contracts; nested"
)
BLANKS = ("? beats", "? turn", "? foot", "? times", "x?")
"""Tastes for one kind of blank each, in small sheets: fillings are gone through one by one."""
FLOORS = (("odd lines", "even lines"), ("odd lines", "even lines"), ("left row", "middle row", "right row"))
WAYS = listed("on the spot; 1 step right; 2 steps right; 1 step left; 2 steps forward; 1 step back; 3 steps forward")
RELATIONS = listed("same wall; same beat; mirror images; same wall, same beat; same beat, mirror images")
APART = listed("never meet; never meet; same wall; same wall, never meet; never meet, mirror images")
HUGE = (10**9, 10**6, 999, 17, 8)
