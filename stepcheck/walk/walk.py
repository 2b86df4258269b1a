"""The first engine: every claim of a program decided by composing what its steps do.

Plain Python over small integers, exact because a finite state space can be exhausted.
"""

from functools import reduce
from math import gcd
from operator import or_

from attrs import evolve, frozen

from stepcheck.books.footwork import MOST_ASSIGNMENTS, Words
from stepcheck.model.dance import EIGHTHS, Claim, Program, Walls, Weight, Word
from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.walk.branches import Branch, Event
from stepcheck.walk.effects import Algebra
from stepcheck.walk.follow import effort, search
from stepcheck.walk.frontier import BudgetSpent, Fronts

DEFAULT_BUDGET = 5_000_000
MOST_SEARCHED = 1_000_000  # items, in the search for the dance that shows a failure


def walk(program: Program, *, budget: int | None = None, algebra: Algebra | None = None) -> tuple[Outcome, ...]:
    """Decide every claim of `program`.

    Args:
        program: what `elaborate` made of a sheet.
        budget: how many items of the program may be walked over; what is not decided then is undecided.
        algebra: effects already made, to be shared by many walks of one thread.

    Returns:
        An outcome for each claim, in the order of `program.claims`, without `mended`.
    """
    events, words, spent = _events(program, budget, algebra)
    if events is None:
        return tuple(Outcome(claim.id, Verdict.UNDECIDED, reason="budget") for claim in program.claims)
    return _outcomes(program, events, words, spent)


def _outcomes(
    program: Program, events: list[Event], words: Words, spent: bool, among: int = -1
) -> tuple[Outcome, ...]:
    """Return how the claims stand; `among` are the assignments that count, all if it is -1."""
    worst: dict[str, Verdict] = {}
    for claim, verdict, who, _ in events:
        if who & among:
            if verdict > worst.get(claim, -1):
                worst[claim] = verdict
        elif among < 0:  # what fails for nobody is only met
            worst.setdefault(claim, Verdict.PROVED if verdict is Verdict.REFUTED else verdict)
    return tuple(_outcome(program, claim, worst.get(claim.id), events, words, spent) for claim in program.claims)


@frozen
class Survey:
    """How every claim stands under every assignment of readings, as the bits of `words`.

    `refuted` and `waiting` (on a blank) have the assignments by claim, for the claims that have any.
    """

    words: Words
    refuted: dict[str, int]
    waiting: dict[str, int]


def survey(program: Program, *, budget: int | None = None, algebra: Algebra | None = None) -> Survey | None:
    """Decide every claim of `program` for every assignment apart; None if that is more than the budget allows."""
    events, words, spent = _events(program, budget, algebra)
    return None if events is None or spent else _surveyed(events, words)


def walk_and_survey(
    program: Program, words: tuple[Word, ...], *, budget: int | None = None, algebra: Algebra | None = None
) -> tuple[tuple[Outcome, ...], Survey] | None:
    """Return what `walk` says of `program`, and the survey of it with `words` left open, from one walk with them open.

    Assignment 0 gives every word its usual reading, which is what a program without open words means. None if that is
    more than the budget allows; then each may still be had alone.
    """
    events, opened, spent = _events(evolve(program, words=words), budget, algebra)
    if events is None or spent:
        return None
    return _outcomes(program, events, Words(program), spent, among=1), _surveyed(events, opened)


def _surveyed(events: list[Event], words: Words) -> Survey:
    found: dict[Verdict, dict[str, int]] = {verdict: {} for verdict in Verdict}
    for claim, verdict, who, _ in events:
        if verdict is not Verdict.PROVED and who:
            found[verdict][claim] = found[verdict].get(claim, 0) | who
    refuted = found[Verdict.REFUTED]
    waiting = {claim: who & ~refuted.get(claim, 0) for claim, who in found[Verdict.UNDECIDED].items()}
    return Survey(words, refuted, {claim: who for claim, who in waiting.items() if who})


def _events(program: Program, budget: int | None, algebra: Algebra | None) -> tuple[list[Event] | None, Words, bool]:
    """Return every check met with how it stands, and whether the budget was spent; None if there are too many readings."""
    words = Words(program)
    if words.total > MOST_ASSIGNMENTS:
        return None, words, True
    fronts = Fronts(program, algebra or Algebra(), DEFAULT_BUDGET if budget is None else budget, words)
    try:
        fronts.run(program.dance, fronts.begin((Weight(program.lead.other),), program.facing), program.facing)
        for spare in program.spares:
            for weight in spare.weights:
                fronts.run(spare.body, fronts.begin((weight,)), 0)
        events = fronts.events + _figures(program, words)
        if program.walls is not None:
            events += _walls(program.walls, program, fronts)
    except BudgetSpent:
        return fronts.events + _figures(program, words), words, True
    return events, words, False


def _outcome(
    program: Program, claim: Claim, worst: Verdict | None, events: list[Event], words: Words, spent: bool
) -> Outcome:
    """Return how one claim stands, the worst of whose checks is known."""
    if worst is Verdict.REFUTED and effort(program) <= MOST_SEARCHED:
        failing = [event.who for event in events if event.claim == claim.id and event.verdict is Verdict.REFUTED]
        number = words.least(reduce(or_, failing)) if words.words else 0
        places = sum(who >> number & 1 for who in failing)
        return Outcome(claim.id, Verdict.REFUTED, search(program, claim.id, words.readings(number)), places)
    if spent or worst is Verdict.REFUTED:  # nothing is refuted that no dance shows
        return Outcome(claim.id, Verdict.UNDECIDED, reason="budget")
    if worst is Verdict.UNDECIDED:
        return Outcome(claim.id, Verdict.UNDECIDED, reason="blank")
    return Outcome(claim.id, Verdict.VACUOUS if worst is None else worst)


def _figures(program: Program, words: Words) -> list[Event]:
    """Return the checks of the figures' stated lengths."""
    out = []
    for length in program.lengths:
        version = length.figure.versions[length.figure.usual]
        last = max((action.beat for action in version.actions), default=0)
        verdict = Verdict.PROVED if last * 12 == length.ticks else Verdict.REFUTED
        out.append(Event(length.claim.id, verdict, words.every, id(length)))
    return out


def _walls(walls: Walls, program: Program, fronts: Fronts) -> list[Event]:
    """Return the check that all laps turn alike and come home after as many as the sheet has walls."""
    laps = [(branch, who) for branch, who in fronts.laps]
    pending = [(weight, who) for effect, who in laps for weight in effect.ends()]
    if not laps:
        pending = [(Weight(program.lead.other), fronts.words.every)]
    known = {weight: 0 for weight in Weight}
    while pending:
        weight, who = pending.pop()
        who &= ~known[weight]
        if who:
            known[weight] |= who
            inner, _ = fronts.passed(walls.body, (weight,), False)
            ends = [Branch(branch.effect, branch.who & who) for branch in inner if branch.who & who]
            laps += ends
            pending += ((after, branch.who) for branch in ends for after in branch.effect.ends())
    turns = {fronts.words.every: 0}
    is_open = False
    for effect, who in laps:
        is_open |= effect.open
        facings = 0
        for _, _, entry in effect.entries():
            facings |= entry.facings
        split: dict[int, int] = {}
        for part, bits in turns.items():
            for piece, added in ((part & who, facings), (part & ~who, 0)):
                if piece:
                    split[piece] = bits | added
        turns = split
    out = []
    for who, facings in turns.items():
        fitting = sum(1 << turn for turn in range(EIGHTHS) if EIGHTHS // gcd(turn, EIGHTHS) == walls.count)
        if facings.bit_count() == 1 and facings & fitting:
            verdict = Verdict.PROVED
        else:
            verdict = Verdict.UNDECIDED if is_open and facings & fitting else Verdict.REFUTED
        out.append(Event(walls.claim.id, verdict, who, id(walls)))
    return out
