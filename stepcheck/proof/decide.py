"""The questions to the solver: is any sentence false, which one, and does what was guessed hold?"""

from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from functools import cached_property
from typing import Any

from attrs import define, evolve, field

from stepcheck.model.claims import Kind
from stepcheck.model.dance import Program
from stepcheck.model.floor import unknown
from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.proof.fillings import Filling, Fillings
from stepcheck.proof.names import Names, TooLarge, quoted
from stepcheck.proof.passes import Guesses, Kept, Stand, ordered
from stepcheck.proof.script import DANCED, Script, opening, widths_of, write
from stepcheck.proof.solving import BudgetSpent, Session, Shared, afresh
from stepcheck.proof.ways import End, Repeated, Start, ends

BUDGET = 20_000_000  # of z3's units of work: a sheet of 60 lines costs some fifty thousand
BUDGET_OF_BLANKS = 1_000_000  # the same where blanks are to be filled: z3's units are longer there
BUDGET_PER_FIGURE = 500
MOST_ASSIGNMENTS = 256  # of readings, where they have to be gone through one by one
MOST_STANDS = 64
MOST_SAMPLES = 48  # fillings for each of which the walls are looked at
RESULT = "sentences"
WEIGHTS = tuple(quoted(f"pass {who} begins with the weight on") for who in ("one", "two"))


def decide(program: Program, budget: int | None = None, guess: Iterable[Stand] | None = None) -> tuple[Outcome, ...]:
    """Return the verdict on every claim of `program`, in their order, without traces.

    Args:
        program: what is to be decided.
        budget: what z3 may spend on it, in its units of `rlimit`; as much as goes with the size of its script if None.
        guess: stands (weight; facing in the room, where one is claimed) with which what goes on for ever may begin, if
            they are known; else they are found.  A wrong guess is found out.

    Raises:
        KeyboardInterrupt: the user stopped it.
    """
    if not program.claims:
        return ()
    found = _asked(program, budget, guess)
    return tuple(found.outcome(claim.id) for claim in program.claims)


def script(program: Program, guess: Iterable[Stand] | None = None) -> str:
    """Return the text that z3 is asked: unsatisfiable if every sentence holds, but for those that no check reaches."""
    found = _asked(program, None, guess).script
    return found.whole if found else "; This dance is too large to be stated: the solver has not been asked.\n"


class _Asks(Exception):
    """An inquiry that is to be settled by the rewriter alone has a question to the solver."""


@define
class Inquiry:
    """A program, its script under what is guessed, and the verdicts so far; `left` is what is left of the budget,
    None where it is to be measured by the script.

    `script` is None where the program is too large to be stated; `session` is it as z3 has read it. Only one that
    `asks` may put questions to the solver.
    """

    program: Program
    left: int | None
    guesses: Guesses
    asks: bool = True
    script: Script | None = None
    verdicts: dict[str, Verdict] = field(factory=dict)
    reasons: dict[str, str] = field(factory=dict)
    session: Session = field(init=False)
    _probed: dict[object, Mapping[Start, set[End]]] = field(factory=dict)

    def outcome(self, claim: str) -> Outcome:
        """Return the outcome of a claim; what was not decided is undecided."""
        if unknown(self.program, claim) and self.verdicts.get(claim) is not Verdict.REFUTED:
            return Outcome(claim, Verdict.UNDECIDED, reason="travel")
        if claim in self.verdicts:
            return Outcome(claim, self.verdicts[claim], reason=self.reasons.get(claim, ""))
        if self.script is not None and claim not in self.script.claimed:
            return Outcome(claim, Verdict.VACUOUS)
        return Outcome(claim, Verdict.UNDECIDED, reason="budget")

    # -- writing and asking ------------------------------------------------------------------------------------------

    def state(self, guesses: Guesses) -> None:
        """Write the script under what is guessed, and have it read."""
        if self.script is not None and guesses == self.guesses:
            return
        self.guesses = guesses
        self.script = made = write(self.program, guesses, lambda names, body: self._ends(guesses, names, body))
        if self.left is None:
            whole = BUDGET_OF_BLANKS * (3 if self.program.words else 1) if made.blanks else BUDGET
            self.left = whole + BUDGET_PER_FIGURE * made.names.figures
        widths = {one.name: one.width for one in made.names.constants.values()}
        if guesses.readings is not None:
            widths = {name: width for name, width in widths.items() if not name.startswith("|reading of ")}
        self.session = Session.reading(made.vocabulary, made.text, widths, RESULT, self.left, made.shared)

    def _ends(self, guesses: Guesses, names: Names, body: Repeated) -> Mapping[Start, set[End]]:
        """Return what may come of a body in which dancers part, by where it begins."""
        if not self.asks:
            raise _Asks
        where = body.key, guesses.apart
        if where not in self._probed:
            widths = widths_of(names)
            text = "\n".join(opening(self.program, names, guesses, widths))
            left = BUDGET if self.left is None else self.left
            shared = Shared(names.shared, names.known)
            self._probed[where], self.left = ends(shared, text, widths, body, left)
        return self._probed[where]

    @property
    def stated(self) -> Script:
        """The script."""
        assert self.script is not None
        return self.script

    def ask(self, *conditions: Any) -> Any:
        """Ask; what it costs is taken from the budget."""
        if not self.asks:
            raise _Asks
        try:
            return self.session.ask(*conditions)
        finally:
            self.left = self.session.left

    def bits(self, claims: Iterable[str]) -> list[int]:
        """Return the bits of claims."""
        wanted = set(claims)
        return [bit for bit, owner in enumerate(self.stated.names.owners) if owner and owner in wanted]

    def anything(self) -> bool:
        """Ask the one question: is any sentence false, but for those about places, or what was guessed?"""
        every = [bit for bit, owner in enumerate(self.stated.names.owners) if owner not in self.far]
        return not self.session.is_zero and self.ask(self.session.bits(every)) is not None

    def places(self) -> None:
        """Ask about the claims about places: they hang on nothing else, and may take more than there is."""
        pending = [owner for owner in dict.fromkeys(self.stated.names.owners) if owner in self.far]
        if self.session.is_zero:
            self.verdicts |= dict.fromkeys(pending, Verdict.PROVED)
        elif pending:
            with suppress(BudgetSpent):
                self._asked(pending)

    @cached_property
    def far(self) -> frozenset[str]:
        """The claims about where passes end, and that groups never meet."""
        apart = (one.claim.id for one in self.program.meetings if one.claim.kind is Kind.APART)
        return frozenset((*apart, *(one.claim.id for one in self.program.travels)))

    # -- what is guessed ---------------------------------------------------------------------------------------------

    def settle(self) -> None:
        """Let z3 show what was guessed wrongly, sets from the least on, until it refuses nothing that is guessed."""
        apart, closed = self._refused()
        least = len(self.guesses.again) == 1  # what begins must be in it
        while apart or not (closed and least):
            least = True
            self.state(evolve(self.guesses, again=frozenset(), begun=frozenset(), apart=self.guesses.apart | apart))
            if self.stated.ever is not None:
                self.state(evolve(self.guesses, again=self._begin(self.stated.ever)))
            if self.stated.walls is not None:
                self.state(evolve(self.guesses, begun=self.begun()))
            apart, closed = self._refused()
            assert apart or closed, "z3 refuses a set that it has shown itself"

    def _refused(self) -> tuple[frozenset[object], bool]:
        """Return the bodies after which dancers differ, against what was guessed, and whether all sets hold."""
        alike = {self.stated.names.bits[name]: key for name, key in self.stated.alike.items()}
        guessed = {bit for bit, owner in enumerate(self.stated.names.owners) if not owner}
        found: set[object] = set()
        closed = True
        while guessed:
            values = self.ask(self.session.bits(guessed))
            if values is None:
                break
            off = {bit for bit in guessed if values[RESULT] >> bit & 1}
            found |= {alike[bit] for bit in off if bit in alike}
            closed = closed and off <= set(alike)
            guessed -= off
        return frozenset(found), closed

    def _begin(self, kept: Kept, *given: Any) -> frozenset[Stand]:
        """Return the ways in which passes can begin, grown from none."""
        session = self.session
        found: dict[int, Any] = {}
        while len(found) <= MOST_STANDS:
            shows = kept.came
            values = self.ask(
                *given, *(session.unlike([session.equal(shows, value)]) for value in (*kept.unseen, *found))
            )
            if values is None and found:
                shows = kept.went
                others = (session.unlike([session.equal(shows, value)]) for value in found)
                values = self.ask(*given, session.one_of(list(found.values())), *others)
            if values is None:
                return frozenset(map(kept.stand, found))
            value = values[shows]
            parts = zip(kept.fields, kept.stand(value), strict=True)
            found[value] = session.all_of([session.equal(part.constant, of) for part, of in parts])
        raise BudgetSpent("too many ways to begin a pass")

    def begun(self, *given: Any) -> frozenset[int]:
        """Return the weights with which whole passes can begin."""
        kept = self.stated.walls
        return self.guesses.begun if kept is None else frozenset(way[0] for way in self._begin(kept, *given))

    # -- verdicts ----------------------------------------------------------------------------------------------------

    def judge(self) -> None:
        """Ask about the claims one by one, those about walls last; none about places."""
        walls = {self.program.walls.claim.id} if self.program.walls else set()
        asked = self.stated.claimed - walls - self.far
        self._asked([owner for owner in dict.fromkeys(self.stated.names.owners) if owner in asked])
        if self.program.walls is None:
            return
        if self.stated.blanks:
            self._walls_filled(self.fillings())
        else:
            (claim,) = walls
            refuted = (one for one in self._ordering() if self.verdicts.get(one) is Verdict.REFUTED)
            self.verdicts[claim] = Verdict.REFUTED if self._walls_fail(refuted) else Verdict.PROVED

    def _asked(self, pending: Sequence[str]) -> None:
        """Judge claims one by one."""
        if self.stated.blanks:
            self._filled(self.fillings(), pending)
        else:
            self._plainly(pending)

    def _ordering(self) -> tuple[str, ...]:
        """Return the claims about feet that a pass for its steps alone orders, in its order."""
        assert self.program.walls is not None
        return tuple(dict.fromkeys(check.claim.id for check in ordered(self.program.walls.body)))

    def _plainly(self, pending: Sequence[str]) -> None:
        """Judge claims of a program without blanks."""
        owners = self.stated.names.owners
        while left := self.bits(claim for claim in pending if claim not in self.verdicts):
            values = self.ask(self.session.bits(left))
            if values is None:
                break
            self.verdicts |= {owners[bit]: Verdict.REFUTED for bit in left if values[RESULT] >> bit & 1}
        self.verdicts |= {claim: Verdict.PROVED for claim in pending if claim not in self.verdicts}

    def fillings(self) -> Fillings:
        """Return the fillings of the blanks; dancers pick their readings, too, where these are open."""
        constants, widths = self.stated.names.constants.values(), self.session.widths
        names = [(one.name, one.role) for one in constants if one.name in widths]
        blanks, picks, rows = (
            [name for name, role in names if role in roles]
            for roles in ({"blank", "row"}, {"pick", "reading"}, {"row"})
        )
        return Fillings(self.session, blanks, picks, rows, self.stated.names.figures)

    def _filled(self, fillings: Fillings, pending: Sequence[str]) -> None:
        """Judge claims of a program with blanks: what fails in no dance is proved, what some filling lets hold is
        undecided."""
        try:
            self._plainly(pending)
        finally:  # also where the budget ends: it is not known yet whether some filling lets them hold
            failing = [claim for claim in pending if self.verdicts.get(claim) is Verdict.REFUTED]
            for claim in failing:
                del self.verdicts[claim]
        self.fitted(fillings, failing)

    def fitted(self, fillings: Fillings, failing: Iterable[str]) -> None:
        """Judge claims that fail in some dance: those that fail in one whatever fills the blanks are refuted."""
        for claim in failing:
            if fillings.find(self.bits([claim])) is None:
                self.verdicts[claim] = Verdict.REFUTED
            else:
                self.verdicts[claim], self.reasons[claim] = Verdict.UNDECIDED, "blank"

    def _walls_filled(self, fillings: Fillings) -> None:
        """Judge the claim about walls, filling by filling, since the weights with which passes begin hang on these."""
        assert self.program.walls is not None
        claim = self.program.walls.claim.id
        if fillings.find((), self.bits([claim])) is None:
            self.verdicts[claim] = Verdict.PROVED
            return
        seen: dict[Filling, bool] = {}
        while len(seen) < MOST_SAMPLES and len(set(seen.values())) < 2:
            filling = fillings.find((), but=seen)
            if filling is None:
                self.verdicts[claim] = Verdict.REFUTED if True in seen.values() else Verdict.PROVED
                return
            seen[filling] = self._walls_fail(self._ordering(), filling)
        if len(set(seen.values())) == 2:
            self.verdicts[claim], self.reasons[claim] = Verdict.UNDECIDED, "blank"

    def _walls_fail(self, suspects: Iterable[str], filling: Filling = ()) -> bool:
        """Ask whether the claim about walls is false, under one filling of the blanks.

        Those of the `suspects` that are false in the dance itself, not only in a part that is never danced, excuse the
        feet that they order.
        """
        assert self.program.walls is not None
        noted, fits = quoted(DANCED) if self.program.spares else "", self.fillings().fits(filling)
        excused = [one for one in suspects if self.ask(*fits, self.session.bits(self.bits([one]), noted)) is not None]
        self.state(evolve(self.guesses, refuted=frozenset(excused)))
        fits = self.fillings().fits(filling)
        if filling:
            begun = self.begun(*fits)
            fits += [self.session.one_of([self.session.equal(name, foot) for foot in begun]) for name in WEIGHTS]
        return self.ask(*fits, self.session.bits(self.bits([self.program.walls.claim.id]))) is not None


def _asked(program: Program, budget: int | None, guess: Iterable[Stand] | None) -> Inquiry:
    """Return the inquiry into a program, as far as its budget goes.

    Where z3's rewriter finds nothing false, that is so whatever it has read before, and what sheets share is read once.
    All else begins afresh.
    """
    start = int(program.lead.other)
    again = {(start,)} if guess is None else {tuple(map(int, stand)) for stand in guess}
    guesses = Guesses(again=frozenset(again), begun=frozenset({start}))
    with suppress(_Asks):
        return _led(Inquiry(program, budget, guesses, asks=False))
    afresh()
    return _led(Inquiry(program, budget, guesses))


def _led(inquiry: Inquiry) -> Inquiry:
    """Return an inquiry with what it comes to."""
    try:
        _inquire(inquiry)
        if inquiry.program.words and inquiry.verdicts == {}:
            _by_readings(inquiry)
    except (TooLarge, BudgetSpent):
        pass
    if inquiry.script is not None:
        held = (claim for claim, verdict in inquiry.verdicts.items() if verdict is Verdict.PROVED)
        inquiry.verdicts |= {claim: Verdict.VACUOUS for claim in held if claim not in inquiry.script.reached}
    return inquiry


def _inquire(inquiry: Inquiry) -> None:
    """Decide what can be; nothing where it has to be gone through the readings one by one."""
    program = inquiry.program
    inquiry.state(inquiry.guesses)
    if not inquiry.anything():
        inquiry.verdicts = dict.fromkeys(inquiry.stated.claimed - inquiry.far, Verdict.PROVED)
        inquiry.places()
        return
    inquiry.settle()
    if inquiry.stated.tables and inquiry.stated.blanks:
        raise BudgetSpent("what dancers may come to in a long repeat hangs on what fills the blanks")
    hangs = inquiry.stated.tables or inquiry.stated.endless or program.walls or inquiry.stated.blanks
    if not (program.words and hangs and inquiry.guesses.readings is None):
        inquiry.judge()
        inquiry.places()


def _by_readings(inquiry: Inquiry) -> None:
    """Decide under single assignments of readings; the worst verdict counts.

    What is guessed under the usual ones is asked of all others: where it is so, and nothing is false, that is enough.
    """
    words = inquiry.program.words
    names = [quoted(f"reading of {word.key}") for word in words]
    open_, found, tried = set(inquiry.stated.claimed), dict[str, Outcome](), list[Any]()
    waiting, again = set[str](), set[str]()  # on a blank under one assignment; under several, perhaps on different ones
    readings: tuple[int, ...] | None = tuple(word.usual for word in words)
    while readings is not None:
        if len(tried) >= MOST_ASSIGNMENTS:
            raise BudgetSpent("too many assignments of readings to go through")
        one = Inquiry(inquiry.program, inquiry.left, evolve(inquiry.guesses, readings=readings), inquiry.asks)
        with suppress(BudgetSpent):
            _inquire(one)
        for claim in inquiry.stated.claimed:
            outcome = one.outcome(claim)
            if claim not in found or outcome.verdict > found[claim].verdict:
                found[claim] = outcome
            if outcome.verdict is Verdict.REFUTED or (outcome.reason == "budget" and claim in inquiry.far):
                open_.discard(claim)
            if outcome.reason == "blank":
                (again if claim in waiting else waiting).add(claim)
        if not tried:
            inquiry.state(evolve(one.guesses, readings=None, refuted=frozenset()))
        session = inquiry.session
        inquiry.left = session.left = one.left or 0
        known = [(name, value) for name, value in zip(names, readings, strict=True) if name in session.widths]
        tried.append(session.unlike([session.equal(name, value) for name, value in known]))
        guessed = [bit for bit, owner in enumerate(inquiry.stated.names.owners) if not owner]
        values = inquiry.ask(session.bits([*inquiry.bits(open_), *guessed]), *tried) if open_ else None
        readings = values and tuple(values[name] if name in session.widths else 0 for name in names)
    again &= open_
    for claim in inquiry.stated.claimed - again:
        inquiry.verdicts[claim], inquiry.reasons[claim] = found[claim].verdict, found[claim].reason
    if again:  # what fits under one reading need not fit under another
        inquiry.settle()
        walls = inquiry.program.walls
        inquiry.fitted(inquiry.fillings(), sorted(again - {walls.claim.id if walls else ""}))
