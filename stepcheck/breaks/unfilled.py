"""Why nothing fits the blanks of a sheet, in dance words."""

from stepcheck.breaks.blanks import Blank, Filling
from stepcheck.breaks.gaps import PLAIN, Gap, stand_in, with_items
from stepcheck.breaks.puzzle import Puzzle
from stepcheck.breaks.requests import Request
from stepcheck.breaks.states import State
from stepcheck.breaks.trials import Spent
from stepcheck.breaks.why import reason as why
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, Step, Weight

_WHAT = {"beats": "no row of figures", "turn": "no turn", "times": "no number of times", "foot": "neither foot"}


def reason(puzzle: Puzzle) -> str:
    """Return why nothing fits: the blank that stays empty, and of a row what the sheet wants of it."""
    try:
        done = _furthest(puzzle)
    except Spent:
        return "nothing fits"
    if len(done) == len(puzzle.blanks):
        return "each blank can be filled, but not all of them together so that every claim is reached and holds"
    blank = puzzle.blanks[len(done)]
    before = "".join(f", with {one.text} on line {one.blank.line}" for one in done[-1:])
    said = f"{_WHAT[blank.kind]} fits {blank.text} on line {blank.line}{before}"
    wanted = _wanted(puzzle, blank, done) if blank.kind == "beats" else ""
    return f"{said}: {wanted}" if wanted else f"{said} so that nothing else of the sheet fails"


def _furthest(puzzle: Puzzle) -> tuple[Filling, ...]:
    """Return fillings, one after the other, as far as they go."""
    done: tuple[Filling, ...] = ()
    keys: tuple[object, ...] = ()
    best = done
    stack = [(done, keys)]
    tried = 0
    while stack and tried < 64:
        done, keys = stack.pop()
        tried += 1
        best = max(best, done, key=len)
        if len(done) < len(puzzle.blanks):
            found = list(puzzle.candidates(done, keys))[:8]
            stack += [((*done, one.filling), (*keys, one.key)) for one in reversed(found)]
    return best


def _wanted(puzzle: Puzzle, blank: Blank, done: tuple[Filling, ...]) -> str:
    """Return what the sheet wants of a row, and why there is none such."""
    gap = Gap(puzzle.trials, puzzle.searches, blank, done, puzzle.line(blank, done))
    if not gap.one_foot:
        return ""
    ((_, weight),) = gap.dancers
    start = State(weight, 0)
    ends = [
        (after, turn)
        for after in Weight
        for turn in range(-EIGHTHS, EIGHTHS + 1)
        if puzzle.trials.fits(gap.base, with_items(gap.line, {PLAIN: _step(gap, weight, after, turn)}))
    ]
    material = puzzle.material
    asked = Request(
        material.figures,
        blank.ticks,
        ((start,),),
        State(),
        known=material.known,
        hard=material.hard,
        readings=material.readings,
        first=material.book.lead,
    )
    if not asked.possible:
        return why(asked, material.level)
    feet, turns = {after for after, _ in ends}, {turn for _, turn in ends}
    pieces = []
    if len(feet) == 1:
        pieces.append(f"after it {words.freely(feet.pop())}")
    if len(turns) == 1:
        pieces.append(f"it makes {words.turn(turns.pop())}")
    return (
        f"the sheet holds only if {' and '.join(pieces)}, and no row of {words.length(blank.ticks)} does that"
        if pieces
        else ""
    )


def _step(gap: Gap, before: Weight, after: Weight, turn: int) -> Step:
    """Return one step, with a turn, that leads from one foot to another in the place of a gap."""
    return Step(gap.line, stand_in(gap.blank.ticks, before, after), turn)
