"""The second engine: claims decided by z3, which is asked for a dance in which one of them fails.

A sheet without mistakes costs one question: is there a dance, of all that the sheet allows, in which any claim fails?
Only where there is one are the claims looked at singly.
"""

from collections.abc import Callable, Iterable, Sequence
from itertools import product
from math import prod
from typing import TypeAlias

from attrs import frozen

from stepcheck.model.dance import EIGHTHS, Program
from stepcheck.model.outcome import Outcome, Trace, Verdict
from stepcheck.proof.dances import first_values, trace
from stepcheck.proof.encode import encode, home_turns
from stepcheck.proof.question import Encoding, Sides
from stepcheck.proof.settle import Inquiry, assertion, closure, settle
from stepcheck.proof.solver import BUDGET, FINITE, BudgetSpent, Clause, Values, satisfiable, true
from stepcheck.proof.survey import leaning, unrolled

MOST_UNROLLED = 400_000  # items of a program, written out
MOST_ASSIGNMENTS = 256  # of readings, where they have to be gone through one by one

Target: TypeAlias = tuple[int, int, str]


def prove(program: Program, *, budget: int | None = None) -> tuple[Outcome, ...]:
    """Return a verdict on every claim of `program`, in their order.

    `budget` is what one question may cost, in z3's `rlimit` units (`solver.BUDGET` if None; a question about a sheet of
    60 lines costs some fifty thousand, with twelve open words a million or two).  A claim whose question costs more is
    undecided, with the reason "budget".

    Raises:
        KeyboardInterrupt: the user stopped it.
    """
    if not program.claims:
        return ()
    budget = BUDGET if budget is None else budget
    if _too_long(program):
        return tuple(Outcome(claim.id, Verdict.UNDECIDED, reason="budget") for claim in program.claims)
    encoding = encode(program, {}, frozenset(), once=True)
    made = {point.claim for point in encoding.points} | ({program.walls.claim.id} if program.walls else set())
    try:
        if _nothing_fails(program, encoding, budget):
            return tuple(
                Outcome(claim.id, Verdict.PROVED if claim.id in made else Verdict.VACUOUS) for claim in program.claims
            )
        inquiry = settle(program, budget)
        apart = inquiry.hangs_on_readings()
        found = _one_by_one(program, budget) if apart else _Findings(inquiry, program).outcomes()
    except BudgetSpent:
        found = {}
    spent = {claim: Outcome(claim, Verdict.UNDECIDED, reason="budget") for claim in made}
    return tuple(
        found.get(claim.id) or spent.get(claim.id) or Outcome(claim.id, Verdict.VACUOUS) for claim in program.claims
    )


def _too_long(program: Program) -> bool:
    """Say whether a program is more than can be written out."""
    return unrolled(program.dance) + sum(unrolled(spare.body) for spare in program.spares) > MOST_UNROLLED


def script(program: Program, outcomes: Sequence[Outcome]) -> str:
    """Return an SMT-LIB 2 script that is unsatisfiable if every claim proved in `outcomes` follows.

    The claims refuted there are taken as mended.  The logic is QF_BV, the language plain SMT-LIB 2.6.  Where blanks and
    open words meet there is a question for each assignment of readings, with `(reset)` between them.
    """
    if _too_long(program):
        return "; This dance is too long to be written out: the solver has not been asked.\n"
    inquiry = settle(program, BUDGET)
    if not inquiry.hangs_on_readings():
        return _script(program, outcomes, inquiry)
    every = product(*(range(len(word.labels)) for word in program.words))
    return "(reset)\n".join(_script(program, outcomes, settle(program, BUDGET, readings)) for readings in every)


def _script(program: Program, outcomes: Sequence[Outcome], inquiry: Inquiry) -> str:
    """Return the script under what an inquiry has settled."""
    proved = {outcome.claim for outcome in outcomes if outcome.verdict is Verdict.PROVED}
    refuted = frozenset(outcome.claim for outcome in outcomes if outcome.verdict is Verdict.REFUTED)
    encoding = encode(program, inquiry.known, refuted, inquiry.fixed)
    turn = None
    if program.walls is not None and program.walls.claim.id in proved:
        turn = inquiry.home_turn()
    fails = [
        *_failures(encoding, proved, turn),
        *(inquiry.circle_opens(encoding, circle) for circle in encoding.circles),
    ]
    names = [f"; {claim.id}: {' '.join(claim.text.split())}" for claim in program.claims if claim.id in proved]
    return "\n".join(
        [
            "; Is there a dance in which one of these claims fails?  Unsatisfiable: there is none.",
            *names,
            "(set-logic QF_BV)",
            *encoding.sorts,
            *encoding.lines,
            assertion(fails),
            "(check-sat)",
            "",
        ]
    )


def _failures(encoding: Encoding, claims: Iterable[str], turn: int | None) -> list[str]:
    """Return conditions of which one is true if a claim fails; the laps turn by the home turn number `turn`."""
    wanted = set(claims)
    sides = {side.point: side for side in encoding.sides}
    fails = []
    for point in encoding.points:
        if point.claim in wanted:
            side = sides.get(point.number)
            fails.append(point.fails if side is None else side.right if side.side > 0 else side.left)
    if turn is not None:
        fails += [name for one in encoding.rounds for n, name in enumerate((*one.on, one.wrong)) if n != turn]
    return fails


def _nothing_fails(program: Program, encoding: Encoding, budget: int) -> bool:
    """Whether one question shows that no claim fails; if not, nothing is known yet."""
    if encoding.closings or any(point.open for point in encoding.points):
        return False
    turns: list[int | None] = [None]
    if program.walls is not None:
        guess = leaning(program.walls.body) % EIGHTHS
        home = home_turns(program)
        turns = [*sorted(range(len(home)), key=lambda n: (home[n] != guess, home[n] != -guess % EIGHTHS))[:2]]
    closed = [closure(circle) for circle in encoding.circles]
    if len(encoding.rounds) and program.walls is not None:
        last = encoding.strands[-1]
        closed.append(f"(not (= {encoding.rounds[-1].weight} {last.weight}))")
    for turn in turns:
        fails = [*_failures(encoding, (claim.id for claim in program.claims), turn), *closed]
        text = "\n".join([*encoding.sorts, *encoding.lines, assertion(fails)])
        if not satisfiable(text, budget, FINITE):
            return True
    return False


def _one_by_one(program: Program, budget: int) -> dict[str, Outcome]:
    """Return the outcomes of the claims, each assignment of readings for itself; the first that refutes counts.

    Raises:
        BudgetSpent: there are more than `MOST_ASSIGNMENTS`, or a question cost too much.
    """
    counts = [len(word.labels) for word in program.words]
    if prod(counts) > MOST_ASSIGNMENTS:
        raise BudgetSpent("too many assignments of readings to go through")
    usual = [word.usual for word in program.words]

    def unusual(readings: tuple[int, ...]) -> tuple[object, ...]:
        away = [reading != own for reading, own in zip(readings, usual, strict=True)]
        return sum(away), away, readings

    found: dict[str, Outcome] = {}
    for readings in sorted(product(*(range(count) for count in counts)), key=unusual):
        inquiry = settle(program, budget, readings)
        if inquiry.ask([]) is None:
            continue  # nobody can dance some figure under these
        for claim, outcome in _Findings(inquiry, program).outcomes().items():
            if claim not in found or outcome.verdict > found[claim].verdict:
                found[claim] = outcome
    return found


@frozen
class _Findings:
    """What follows from questions once everything else is settled."""

    inquiry: Inquiry
    program: Program

    def outcomes(self) -> dict[str, Outcome]:
        """Return the outcomes of the claims that could be decided, by claim."""
        encoding, known = self.inquiry.encoding, self.inquiry.known
        sides = {side.point: side for side in encoding.sides}
        targets: dict[str, list[Target]] = {}
        uncertain = set()
        plain: list[Target] = []
        owners = {}
        for point in encoding.points:
            targets.setdefault(point.claim, [])
            target = (point.lap, point.number, point.fails)
            if point.open and not known.get(f"fails {point.number}"):
                if point.number in self.inquiry.uncertain:
                    uncertain.add(point.claim)
            elif point.open:
                targets[point.claim].append(target)
            elif point.number not in sides:
                plain.append(target)
                owners[point.fails] = point.claim
        broken = {
            claim: [s for s in encoding.sides if known.get(s.key) == 0 and encoding.points[s.point].claim == claim]
            for claim in targets
        }
        for target in self._failing(plain, owners):
            targets[owners[target[2]]].append(target)
        found = {}
        for claim, here in targets.items():
            if here or broken[claim]:
                found[claim] = Outcome(claim, Verdict.REFUTED, self._traces(sorted(here), broken[claim]))
            else:
                open_ = claim in uncertain
                found[claim] = (
                    Outcome(claim, Verdict.UNDECIDED, reason="blank") if open_ else Outcome(claim, Verdict.PROVED)
                )
        if self.program.walls is not None:
            claim = self.program.walls.claim.id
            traces = self._walls()
            found[claim] = Outcome(claim, Verdict.REFUTED, traces) if traces else Outcome(claim, Verdict.PROVED)
            if traces and any(one.open for one in encoding.rounds) and self._may_come_home():
                found[claim] = Outcome(claim, Verdict.UNDECIDED, reason="blank")
        return found

    def _may_come_home(self) -> bool:
        """Say whether some lap, however the blanks are filled, turns as the number of walls wants it."""
        fitting = [name for one in self.inquiry.encoding.rounds for name in one.on]
        return bool(fitting) and self.inquiry.ask([true(fitting)]) is not None

    def _failing(self, plain: list[Target], owners: dict[str, str]) -> list[Target]:
        """Return the points of those claims that fail for some dance."""
        refuted: set[str] = set()
        while True:
            left = [target for target in plain if owners[target[2]] not in refuted]
            values = self.inquiry.ask([true(name for _, _, name in left)]) if left else None
            if values is None:
                return [target for target in plain if owners[target[2]] in refuted]
            refuted |= {owners[name] for _, _, name in left if values[name]}

    # -- traces ------------------------------------------------------------------------------------------------------

    def _traces(self, targets: list[Target], broken: list[Sides]) -> tuple[Trace, ...]:
        """Return the first dance in which a claim fails, or two that show that not all dances agree."""
        encoding = self.inquiry.encoding
        if broken and not (targets and targets[0][1] < broken[0].point):
            side = broken[0]
            neither = encoding.points[side.point].fails
            if self.inquiry.ask([true([neither])]) is None:
                words = self.inquiry.words_apart([side.right], [side.left]) or []
                comes = (0, side.point, side.comes)
                return self._two(
                    [comes], words, lambda v: [(0, side.point, side.left if v[side.right] else side.right)]
                )
            targets = [(0, side.point, neither)]
        values, point, words = self._first(targets)
        lengths = next((one for one in encoding.lengths if one.point == point), None)
        if lengths is None:
            return (trace(encoding, values, point),)
        fails: list[Clause] = [*words, true([encoding.points[point].fails])]
        which = next(n for n, equal in enumerate(lengths.equal) if not values[equal])
        traces = []
        for option in (0, which):
            clauses = [*fails, ((lengths.pick, option, True),)]
            first = self.inquiry.ask(clauses)
            if first is not None:
                first = first_values(self.inquiry.session, encoding, clauses, first)
                traces.append(trace(encoding, first, point))
        return tuple(traces)

    def _first(self, targets: Sequence[Target], given: Sequence[Clause] = ()) -> tuple[Values, int, list[Clause]]:
        """Return the first dance that comes to one of the targets, its point, and its readings as clauses.

        First means: fewest laps of a body without end; the usual reading of most words; then the first point of the
        dance, then the first decisions.
        """
        inquiry, values, here = self.inquiry, None, list(targets)
        for lap in sorted({target[0] for target in targets}):
            here = [target for target in targets if target[0] == lap]
            values = inquiry.ask([*given, true(name for _, _, name in here)])
            if values is not None:
                break
        assert values is not None, "one of the targets is reached"
        words, values = inquiry.usual_words([*given, true(name for _, _, name in here)], values)
        while True:
            at = next(number for number, target in enumerate(here) if values[target[2]])
            earlier = inquiry.ask([*given, *words, true(name for _, _, name in here[:at])]) if at else None
            if earlier is None:
                break
            values = earlier
        clauses = [*given, *words, true([here[at][2]])]
        return first_values(inquiry.session, inquiry.encoding, clauses, values), here[at][1], words

    def _two(
        self, targets: Sequence[Target], words: Sequence[Clause], others: Callable[[Values], Sequence[Target]]
    ) -> tuple[Trace, ...]:
        """Return the first dance that comes to a target, and the first that comes to one of its `others`."""
        encoding = self.inquiry.encoding
        values, point, _ = self._first(targets, words)
        differs, at, _ = self._first(others(values), words)
        laps = targets[0][2] in {one.guard for one in encoding.rounds}
        sign = -1 if laps else 1
        return (trace(encoding, values, sign * point), trace(encoding, differs, sign * at))

    def _walls(self) -> tuple[Trace, ...]:
        """Return one lap that turns by the wrong amount, or two that differ, or nothing if all agree."""
        rounds, home = self.inquiry.encoding.rounds, home_turns(self.program)
        wrong = [(one.lap, -one.point, one.wrong) for one in rounds]
        if self.inquiry.ask([true(name for _, _, name in wrong)]) is not None:
            values, point, _ = self._first(wrong)
            return (trace(self.inquiry.encoding, values, -point),)
        for turn in range(len(home)):
            there = [(one.lap, -one.point, one.on[turn]) for one in rounds]
            apart = [(one.lap, -one.point, name) for one in rounds for n, name in enumerate(one.on) if n != turn]
            words = self.inquiry.words_apart([t[2] for t in there], [t[2] for t in apart])
            if words is not None:
                return self._agreeing(words)
        return ()

    def _agreeing(self, words: Sequence[Clause]) -> tuple[Trace, ...]:
        """Return the first lap, and the first that does not turn like it."""
        rounds = self.inquiry.encoding.rounds

        def others(values: Values) -> Sequence[Target]:
            first = next(one for one in rounds if values[one.guard])
            return [(o.lap, -o.point, name) for o in rounds for name, mine in zip(o.on, first.on) if not values[mine]]

        traces = self._two([(one.lap, -one.point, one.guard) for one in rounds], words, others)
        return traces
