"""From a model to a dance: the first dance of those that a question leaves, as the decisions that single it out."""

from collections.abc import Sequence

from stepcheck.model.dance import Foot, Weight
from stepcheck.model.outcome import Decision, End, Fill, Lead, Pick, Run, Trace
from stepcheck.proof.question import AskEnd, AskFill, AskLead, AskPick, AskRounds, Asks, At, Encoding, Strand
from stepcheck.proof.solver import BudgetSpent, Clause, Session, Values

LONGEST_TRACE = 100_000  # laps that are written out one by one


def first_values(session: Session, encoding: Encoding, clauses: Sequence[Clause], values: Values) -> Values:
    """Return the first values, in the order of decisions, that satisfy `clauses`, as `values` do."""
    fixed = list(clauses)
    for name in encoding.asked:
        for value in range(values[name]):
            found = session.ask([*fixed, ((name, value, True),)])
            if found is not None:
                values = found
                break
        fixed.append(((name, values[name], True),))
    return values


def _rounds(asked: AskRounds, values: Values, target: int) -> tuple[list[Decision], bool]:
    """Return the runs of a repeat, equal neighbours as one, and whether the target stands in them."""
    times = len(asked.rounds) if not asked.times else values[asked.times] + 1
    laps: list[Run] = []
    for asks in asked.rounds[:times]:
        decisions, reached = _read(asks, values, target)
        laps.append(Run(1, tuple(decisions)))
        if reached:
            return _folded(laps), True
    if asked.skipped and not asked.circle:
        laps.append(Run(asked.skipped, laps[-1].decisions))
    elif asked.skipped:
        at, size = asked.circles[values[asked.circle]]
        circle = _folded(laps[at : at + size])
        if len(circle) == 1:
            laps[at:at] = [Run(asked.skipped, circle[0].decisions)]
        elif asked.skipped <= LONGEST_TRACE:
            laps[at:at] = circle * (asked.skipped // size)
        else:
            raise BudgetSpent("a dance that cannot be written down shortly")
    ends: list[Decision] = [End(True)] if asked.times else []
    return [*_folded(laps), *ends], False


def _folded(laps: Sequence[Run]) -> list[Decision]:
    """Return runs with equal neighbours as one."""
    runs: list[Run] = []
    for lap in laps:
        if runs and runs[-1].decisions == lap.decisions:
            runs[-1] = Run(runs[-1].times + lap.times, lap.decisions)
        else:
            runs.append(lap)
    return list(runs)


def _read(asks: Asks, values: Values, target: int) -> tuple[list[Decision], bool]:
    """Return what is decided on the way to point `target`, and whether it is reached."""
    decisions: list[Decision] = []
    for asked in asks:
        reached, more = False, list[Decision]()
        match asked:
            case At(point=point):
                reached = point == target
            case AskPick(name=name, options=options):
                decisions.append(Pick(values[name]))
                more, reached = _read(options[values[name]], values, target)
            case AskLead(name=name, chosen=chosen):
                more = [Lead(Foot(values[name]))] if values[chosen] else []
            case AskFill(weight=weight, turn=turn):
                more = [Fill(Weight(values[weight]) if weight else None, values[turn])]
            case AskEnd(name=name, body=body):
                decisions.append(End(bool(values[name])))
                if values[name]:
                    more, reached = _read(body, values, target)
            case AskRounds():
                more, reached = _rounds(asked, values, target)
        decisions += more
        if reached:
            return decisions, True
    return decisions, False


def stands_in(asks: Asks, target: int) -> bool:
    """Whether point `target` stands among what is asked."""
    for asked in asks:
        match asked:
            case At(point=point):
                found = point == target
            case AskPick(options=options):
                found = any(stands_in(option, target) for option in options)
            case AskEnd(body=body):
                found = stands_in(body, target)
            case AskRounds(rounds=rounds):
                found = any(stands_in(one, target) for one in rounds)
            case _:
                found = False
        if found:
            return True
    return False


def trace(encoding: Encoding, values: Values, target: int) -> Trace:
    """Return the dance that `values` stand for, up to point `target`."""
    strand: Strand = next(strand for strand in encoding.strands if stands_in(strand.asks, target))
    decisions, _ = _read(strand.asks, values, target)
    start = Weight(values[strand.weight]) if strand.weight else strand.start
    words = tuple(values[name] for name in encoding.words)
    return Trace(tuple(decisions), strand.spare, start, words)
