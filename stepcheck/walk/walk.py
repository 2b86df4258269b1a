"""The first engine: decides every claim by composing the effects of steps, and finds the dances in which one fails.

Plain Python over small integers, exact because a finite state space can be exhausted.
"""

from collections.abc import Callable, Iterable
from functools import partial, reduce
from itertools import product
from math import gcd
from operator import or_

from attrs import evolve, frozen

from stepcheck.books.footwork import MOST_ASSIGNMENTS, Words
from stepcheck.model.claims import Claim, Kind, Test, looking_at
from stepcheck.model.dance import EIGHTHS, TICKS, Choice, Program, Walls, Weight
from stepcheck.model.floor import unknown
from stepcheck.model.items import checks, once
from stepcheck.model.outcome import Outcome, Trace, Verdict
from stepcheck.model.work import Work, WorkSpent
from stepcheck.walk.branches import Event, Looks, Passes
from stepcheck.walk.effects import Algebra
from stepcheck.walk.follow import Found, Quest, Trail
from stepcheck.walk.frontier import Fronts
from stepcheck.walk.meetings import meetings, parted, walls
from stepcheck.walk.stands import Past, State
from stepcheck.walk.travel import lost, met, travels

DEFAULT_BUDGET = 500_000
MOST_SEARCHED = 300_000  # places of dancers, in the searches for the dances that show failures
_FREE_TIMES = (48, 8, 1)
"""How many times at either end of a long repeat are decided afresh: first many, then, if that costs too much, few."""

_WALLS = looking_at("facing", "turn")  # each of these sets both


def walk(
    program: Program, *, budget: int | None = None, algebra: Algebra | None = None, known: "Survey | None" = None
) -> tuple[Outcome, ...]:
    """Decide every claim of `program`.

    Args:
        program: what `elaborate` made of a sheet.
        budget: how many items of the program may be walked over; what is not decided then is undecided.
        algebra: effects already made, to be shared by many walks of one thread.
        known: the survey of the same dance with its words left open, in which it has been walked.

    Returns:
        An outcome for each claim, in the order of `program.claims`, without `mended`.
    """
    if known is None:
        events, words, spent = _events(program, budget, algebra)
    elif program.words:
        events, words, spent = known.events, known.words, False
    else:
        events = [event._replace(who=1) for event in known.events if event.who & 1]
        words, spent = Words(program), False
    if events is None:
        return tuple(Outcome(claim.id, Verdict.UNDECIDED, reason="budget") for claim in program.claims)
    return _outcomes(program, events, words, spent)


def verdicts(
    program: Program, *, budget: int | None = None, algebra: Algebra | None = None, passes: Passes | None = None
) -> dict[str, Verdict]:
    """Return the verdict on every claim that the dance reaches, without counterexamples; nothing where the budget is
    spent.

    Args:
        program: as for `walk`.
        budget: as for `walk`.
        algebra: as for `walk`.
        passes: what passes do, to be shared by walks of programs that have bodies in common, with the same `algebra`,
            as long as all those programs are kept.
    """
    events, _, spent = _events(program, budget, algebra, passes)
    return {} if events is None or spent else _worst(events)


def failing(program: Program, algebra: Algebra | None = None) -> tuple[str, ...]:
    """Return the ids of the claims of a program that fail, in their order; how they fail is not looked for."""
    worst = verdicts(program, algebra=algebra)
    return tuple(one.id for one in program.claims if worst.get(one.id, Verdict.VACUOUS) > Verdict.UNDECIDED)


def _worst(events: list[Event]) -> dict[str, Verdict]:
    """Return the worst verdict on each claim that is met."""
    worst: dict[str, Verdict] = {}
    for claim, verdict, who, _ in events:
        if who:
            if verdict > worst.get(claim, -1):
                worst[claim] = verdict
        else:  # what fails for nobody is only met
            worst.setdefault(claim, Verdict.PROVED if verdict is Verdict.REFUTED else verdict)
    return worst


def _outcomes(program: Program, events: list[Event], words: Words, spent: bool) -> tuple[Outcome, ...]:
    worst = _worst(events)
    failing: dict[str, list[int]] = {claim.id: [] for claim in program.claims if worst.get(claim.id) is Verdict.REFUTED}
    for claim, verdict, who, _ in events:
        if verdict is Verdict.REFUTED and claim in failing:
            failing[claim].append(who)
    work = Work(MOST_SEARCHED)
    shown: dict[str, Outcome | None] = {"": None}
    while None in shown.values():
        shown = {}
        for one in sorted(program.claims, key=lambda claim: claim.kind is Kind.WALLS):
            if one.id in failing:
                shown[one.id] = _shown(program, one, failing, shown.values(), words, work)
        for claim, outcome in shown.items():
            if outcome is None:  # nothing is refuted that no dance shows, and nobody goes on as if it were
                del failing[claim]
    return tuple(
        shown.get(claim.id) or _outcome(program, claim, worst.get(claim.id), spent) for claim in program.claims
    )


@frozen
class Survey:
    """The verdicts on every claim under every assignment of readings, as the bits of `words`.

    `refuted` and `waiting` (on a blank) have the assignments by claim, for the claims that have any.  `events` are the
    verdicts of its checks.
    """

    words: Words
    events: list[Event]
    refuted: dict[str, int]
    waiting: dict[str, int]


def survey(program: Program, *, budget: int | None = None, algebra: Algebra | None = None) -> Survey | None:
    """Decide every claim of `program` for every assignment apart; None if that is more than the budget allows."""
    events, words, spent = _events(program, budget, algebra)
    if events is None or spent:
        return None
    found: dict[Verdict, dict[str, int]] = {verdict: {} for verdict in Verdict}
    for claim, verdict, who, _ in events:
        if verdict is not Verdict.PROVED and who:
            found[verdict][claim] = found[verdict].get(claim, 0) | who
    refuted = found[Verdict.REFUTED]
    waiting = {claim: who & ~refuted.get(claim, 0) for claim, who in found[Verdict.UNDECIDED].items()}
    return Survey(words, events, refuted, {claim: who for claim, who in waiting.items() if who})


def trace(
    program: Program,
    claim: str,
    refuted: frozenset[str],
    excused: frozenset[str] = frozenset(),
    *,
    readings: tuple[int, ...] | None = None,
    budget: int | None = None,
) -> tuple[Trace, ...]:
    """Return counterexamples to a claim that another engine has refuted; none if the budget ends before.

    Args:
        program: what `elaborate` made of a sheet.
        claim: the id of the claim.
        refuted: the ids of all claims that are refuted, which the dances go on from as if they had held.
        excused: the ids of those that are refuted in the dance itself (`danced_wrongly`), if the claim is about walls.
        readings: the reading of each open word; the usual ones if they are not given.
        budget: how many places of dancers may be come to.
    """
    usual = tuple(word.usual for word in program.words)
    work = Work(MOST_SEARCHED if budget is None else budget)
    return _search(program, claim, usual if readings is None else readings, refuted, excused, work, any_filling=True)


def danced_wrongly(program: Program, outcomes: Iterable[Outcome | None], readings: tuple[int, ...]) -> frozenset[str]:
    """Return the claims that are refuted in the dance itself, not only in a part that is never danced.

    Args:
        program: the dance.
        outcomes: those of its claims, as far as they are known.
        readings: the reading of each open word under which they are refuted there.
    """
    kinds = {claim.id: claim.kind for claim in program.claims}
    shown = {one.claim: one.traces[0] for one in outcomes if one is not None and one.traces}
    danced = {claim: one for claim, one in shown.items() if one.spare is None and kinds.get(claim) is not Kind.WALLS}

    def fails(claim: str, one: Trace) -> bool:
        """Say whether a claim that one dance refutes fails under these readings too."""
        other = () if one.words == readings else trace(program, claim, frozenset(danced), readings=readings)
        return one.words == readings or any(each.spare is None for each in other)

    return frozenset(claim for claim, one in danced.items() if fails(claim, one))


def _events(
    program: Program, budget: int | None, algebra: Algebra | None, passes: Passes | None = None
) -> tuple[list[Event] | None, Words, bool]:
    """Return the events of a walk, and whether the budget was spent; None if there are too many readings."""
    words = Words(program)
    if words.total > MOST_ASSIGNMENTS:
        return None, words, True
    fronts = Fronts(algebra or Algebra(), DEFAULT_BUDGET if budget is None else budget, words, passes)
    fronts.events += _figures(program, words)
    try:
        fronts.run(program.dance, fronts.begin((Weight(program.lead.other),)), program.facing)
        # What is refuted of a part that is never danced excuses no ordered foot, so the walls come before such parts.
        found = walls(program.walls, Weight(program.lead.other), tuple(fronts.laps), fronts) if program.walls else []
        found += meetings(program, fronts)
        most = MOST_SEARCHED if budget is None else min(budget, MOST_SEARCHED)
        apart = [one for one in program.meetings if one.claim.kind is Kind.APART]
        found += [one for places in (program.travels, apart) for one in travels(program, places, words, Work(most))]
        for spare in program.spares:
            for weight in spare.weights:
                fronts.run(spare.body, fronts.begin((weight,)), 0)
    except WorkSpent:
        return fronts.events, words, True
    return fronts.events + found, words, False


def _shown(
    program: Program,
    claim: Claim,
    failing: dict[str, list[int]],
    known: Iterable[Outcome | None],
    words: Words,
    work: Work,
) -> Outcome | None:
    """Return that a claim is refuted, with the dances that show it; None if none is found.

    `failing` has for each claim that is refuted the assignments under which each of its checks is; `known` are the
    outcomes of the claims before it.
    """
    checks = failing[claim.id]
    if claim.kind is Kind.FIGURE:
        return Outcome(claim.id, Verdict.REFUTED, (), len(checks))
    number = words.least(reduce(or_, checks)) if words.words else 0
    refuted = frozenset(other for other, whos in failing.items() if any(who >> number & 1 for who in whos))
    readings, about_walls = words.readings(number), claim.kind is Kind.WALLS
    excused = danced_wrongly(program, known, readings) if about_walls else frozenset[str]()
    traces = _search(program, claim.id, readings, refuted, excused, work)
    if not traces:
        return None
    return Outcome(claim.id, Verdict.REFUTED, traces, sum(who >> number & 1 for who in checks))


def _outcome(program: Program, claim: Claim, worst: Verdict | None, spent: bool) -> Outcome:
    """Return how one claim stands that is not shown to be refuted, the worst of whose checks is known."""
    if spent or worst is Verdict.REFUTED:
        return Outcome(claim.id, Verdict.UNDECIDED, reason="budget")
    if worst is Verdict.UNDECIDED:
        about_places = claim.kind in (Kind.SPOT, Kind.APART)
        reason = "blank" if not about_places else "travel" if unknown(program, claim.id) else "budget"
        return Outcome(claim.id, Verdict.UNDECIDED, reason=reason)
    return Outcome(claim.id, Verdict.VACUOUS if worst is None else worst)


def _figures(program: Program, words: Words) -> list[Event]:
    out = []
    for length in program.lengths:
        version = length.figure.versions[length.figure.usual]
        last = max((action.beat for action in version.actions), default=0)
        verdict = Verdict.PROVED if last * TICKS == length.ticks else Verdict.REFUTED
        out.append(Event(length.claim.id, verdict, words.every, id(length)))
    return out


# -- counterexamples ---------------------------------------------------------------------------------------------------


def _search(
    program: Program,
    claim: str,
    readings: tuple[int, ...],
    refuted: frozenset[str],
    excused: frozenset[str],
    work: Work,
    any_filling: bool = False,
) -> tuple[Trace, ...]:
    """Return the trace to the first failure of `claim`, or two traces that differ; nothing if none is found.

    Args:
        program: the dance.
        claim: the id of a claim of it.
        readings: the reading of each open word.
        refuted: the ids of the claims that are refuted: dancers go on from them as if they had held.
        excused: the ids of those that are refuted in the dance itself, not only in a part that is never danced.
        work: what the search may cost; each try takes half of what is left.
        any_filling: whether the claim is known to fail with each filling of the blanks, so that any dance will do.
    """
    kind = next((one.claim.kind for one in program.meetings if one.claim.id == claim), None)
    if kind is Kind.APART or any(one.claim.id == claim for one in program.travels):
        follow = met if kind is Kind.APART else lost
        return _sharing(work, lambda share: follow(program, claim, readings, share)) or ()
    about_walls = program.walls is not None and program.walls.claim.id == claim
    tests, blank = _seen(program, claim)
    if kind is not None:
        tests = frozenset((Test.CLOCK,)) if kind is Kind.SAME_BEAT else _WALLS
        if blank:
            return ()
    read = {word.key: reading for word, reading in zip(program.words, readings, strict=True)}
    quest = Quest(claim, read, refuted, excused, frozenset(Test) if blank else tests, about_walls)
    # Behind a blank a dance is shown, if there is one, in which what waits on the blank holds.
    kinds = [(True, False), (False, False), (False, True)][: 2 + any_filling] if blank else [(False, False)]
    for (strict, any_filling), free in product(kinds, _FREE_TIMES):
        asked = evolve(quest, strict=strict, any_filling=any_filling)
        found = _sharing(work, partial(_tried, program, asked, free=free, readings=readings))
        if found or (found is not None and (strict, any_filling) == kinds[-1]):
            return found
    return ()


def _sharing(work: Work, tried: Callable[[Work], tuple[Trace, ...]]) -> tuple[Trace, ...] | None:
    """Return what is found with half of the work that is left, None where that is spent."""
    share = Work(work.left // 2)
    try:
        return tried(share)
    except WorkSpent:
        return None
    finally:
        work.left -= min(share.spent, share.budget)


def _tried(program: Program, quest: Quest, work: Work, free: int, readings: tuple[int, ...]) -> tuple[Trace, ...]:
    trail = Trail(quest, work, free)
    if any(one.claim.id == quest.target for one in program.meetings):
        return parted(program, quest, trail, readings)
    try:
        trail.run(program.dance, {State(Weight(program.lead.other), program.facing): Past()}, program.facing)
    except Found as found:
        return tuple(Trace(past.decisions(), words=readings) for past in found.pasts)
    if quest.laps:
        assert program.walls is not None
        if quest.strict and not trail.laps:
            return ()  # no dance in which nothing else fails comes to a lap
        laps = trail.laps or {Weight(program.lead.other): Past()}
        return _chains(program.walls, laps, quest, work, free, readings)
    for number, spare in enumerate(program.spares):
        for weight in spare.weights:
            try:
                Trail(quest, work, free).run(spare.body, {State(weight, 0): Past()}, 0)
            except Found as found:
                return tuple(Trace(past.decisions(), number, weight, readings) for past in found.pasts)
    return ()


def _chains(
    walls: Walls, laps: dict[Weight, Past], quest: Quest, work: Work, free: int, readings: tuple[int, ...]
) -> tuple[Trace, ...]:
    """Return a chain of passes to one that turns wrongly or comes to a foot that is not free, or two to passes that
    differ."""
    known = {weight: Trace(past.decisions(), None, weight, readings) for weight, past in laps.items()}
    pending, ends = list(known), []
    while pending:
        begun = pending.pop(0)
        chain = known[begun]
        try:
            dances = Trail(quest, work, free).alone(walls, begun)
        except Found as found:
            return (_longer(chain, found.pasts[0]),)
        for end, past in dances.items():
            ends.append((end.facing, _longer(chain, past)))
            if end.weight not in known:
                known[end.weight] = ends[-1][1]
                pending.append(end.weight)
    first = ends[0]
    other = next((end for end in ends if end[0] != first[0]), None)
    if other is not None:
        return first[1], other[1]
    return (first[1],) if EIGHTHS // gcd(first[0], EIGHTHS) != walls.count else ()


def _longer(chain: Trace, past: Past) -> Trace:
    return Trace(chain.decisions, None, chain.start, chain.words, (*chain.passes, past.decisions()))


def _seen(program: Program, claim: str) -> tuple[frozenset[Test], bool]:
    """Return the tests of the checks of a claim, and whether blanks stand anywhere."""
    bodies, looks = (program.dance, *(spare.body for spare in program.spares)), Looks()
    items = once(*bodies)
    tests = {check.test for item in items for check in checks(item) if check.claim.id == claim}
    tests |= {Test.CLOCK for item in items if isinstance(item, Choice) and item.claim and item.claim.id == claim}
    return frozenset(tests | _WALLS if tests & _WALLS else tests), any(looks.of(body).blank for body in bodies)
