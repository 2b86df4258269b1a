"""z3, kept in one place: text in, a verdict and the values of constants out.

A context belongs to one thread; a fresh solver a question; budgets in z3's own units of work (`rlimit`), which are the
same on every machine for one build of z3.  What a question costs, and which values are found, hangs on what its context
has read and been asked before; so a solver is asked `afresh`, in a context of its own.
"""

import threading
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING, Any
from weakref import WeakSet

from attrs import define, field, frozen

from stepcheck.model.source import StepcheckError

if TYPE_CHECKING:
    import z3

LOGIC = "QF_BV"
FINITE = "QF_FD"  # z3's own name for problems where every constant has few values: the same text, solved otherwise
BUDGET = 50_000_000
MOST_REWRITTEN = 10_000_000  # steps of z3's rewriter, before a solver is asked
MOST_READERS = 16
MOST_SHARED = 4_000  # texts that one reader has read

_HERE = threading.local()
_CONTEXTS: "WeakSet[Any]" = WeakSet()
_LISTING = threading.Lock()
_WATCHED, _STOPPED = threading.Event(), threading.Event()


def stopper() -> Callable[[], None]:
    """Leave Ctrl-C to the caller from now on, and return what stops every question of this process, from any thread.

    Else z3 hears Ctrl-C by itself while it works.  It is for a process that is to end then.
    """
    _WATCHED.set()

    def stop() -> None:
        _STOPPED.set()
        with _LISTING:
            contexts = tuple(_CONTEXTS)
        for context in contexts:
            context.interrupt()

    return stop


class BudgetSpent(StepcheckError):
    """A question was not decided within its budget."""


@cache
def _z3() -> Any:
    """Return z3, which takes a while to load."""
    import z3

    return z3


def version() -> str:
    """Return the version of z3."""
    return str(_z3().get_version_string())


def context() -> "z3.Context":
    """Return this thread's context.

    Raises:
        KeyboardInterrupt: every question of this process was stopped before it was made.
    """
    if not hasattr(_HERE, "context"):
        made = _z3().Context()
        with _LISTING:
            _CONTEXTS.add(made)
        if _STOPPED.is_set():  # looked at once it is listed, so that it is either interrupted or never used
            raise KeyboardInterrupt
        _HERE.readers, _HERE.context = [], made
    return _HERE.context


def afresh() -> None:
    """Have this thread begin with a context that has read nothing; what was read before is of no use from now on.

    The old one goes first: each takes 16 MB.
    """
    vars(_HERE).clear()


@frozen
class Shared:
    """Texts between a vocabulary and what is read after them, each with the symbols that it defines.

    `known` are the symbols of all that is read.
    """

    texts: Mapping[str, tuple[str, ...]]
    known: frozenset[str]

    @property
    def text(self) -> str:
        """The texts, a line each at least."""
        return "".join(f"{text}\n" for text in self.texts)


NOTHING_SHARED = Shared({}, frozenset())


@define(eq=False)
class _Reader:
    """z3's reader, what it has read of texts that are shared, and the text that defines a symbol."""

    vocabulary: str
    parser: Any
    owners: dict[str, str] = field(factory=dict)
    read: set[str] = field(factory=set)

    def takes(self, shared: Shared) -> bool:
        """Say whether no symbol means anything else here."""
        alike = self.owners.keys() & shared.known
        return all(self.owners[name] in shared.texts for name in alike) and len(self.read) < MOST_SHARED

    def take(self, shared: Shared) -> str:
        """Return the texts that have not been read here yet; they are now."""
        new = [text for text in shared.texts if text not in self.read]
        self.read.update(new)
        self.owners.update((name, text) for text in new for name in shared.texts[text])
        return "\n".join(new)


def _assertions(vocabulary: str, text: str, shared: Shared = NOTHING_SHARED) -> "list[z3.BoolRef]":
    """Return the assertions of an SMT-LIB 2 text that begins with a vocabulary and texts that are shared.

    One reader a vocabulary and thread, which has it already, and what was shared before; what a text says is in a scope
    of its own, which is left before the next is read.

    Raises:
        z3.Z3Exception: it is no such text; the reader is then given up.
        KeyboardInterrupt: every question of this process was stopped, which z3's reader calls an error of the text.
    """
    try:
        return _parsed(vocabulary, text, shared)
    except _z3().Z3Exception:
        if _STOPPED.is_set():
            raise KeyboardInterrupt from None
        raise


def _parsed(vocabulary: str, text: str, shared: Shared) -> "list[z3.BoolRef]":
    here = context()
    if not vocabulary and "(set-logic" in text:  # that is set once only
        return list(_z3().parse_smt2_string(text, ctx=here))
    readers: list[_Reader] = _HERE.readers
    reader = next((one for one in readers if one.vocabulary == vocabulary and one.takes(shared)), None)
    if reader is None:
        reader = _Reader(vocabulary, _z3().ParserContext(here))
        reader.parser.from_string(f"{vocabulary}\n(push 1)")
    else:
        readers.remove(reader)
    read = list(reader.parser.from_string(f"(pop 1)\n{reader.take(shared)}\n(push 1)\n{text}"))
    readers.insert(0, reader)
    del readers[MOST_READERS:]
    return read


def _all(read: "Sequence[z3.BoolRef]") -> "z3.BoolRef":
    """Return one assertion for all: one is added much faster than many."""
    return _z3().And(list(read)) if read else _z3().BoolVal(True, context())


def _rewritten(term: Any, most: int = MOST_REWRITTEN) -> Any:
    """Return a term as z3's rewriter leaves it after so many steps: a number, if it is the same whatever is chosen."""
    try:
        return _z3().simplify(term, max_steps=most)
    except _z3().Z3Exception:
        return term  # there are more steps to it


def _solver(budget: int, logic: str = LOGIC) -> "z3.Solver":
    # z3.SolverFor would make the context that all threads share, just to name the logic.
    here = context()
    handle = _z3().Z3_mk_solver_for_logic(here.ref(), _z3().to_symbol(logic, here))
    solver = _z3().Solver(handle, here)
    solver.set("rlimit", budget)
    if _WATCHED.is_set():
        solver.set("ctrl_c", False)
    return solver


def _satisfiable(solver: "z3.Solver") -> bool:
    """Decide, or raise: `unknown` is never an answer.

    Raises:
        KeyboardInterrupt: the user stopped z3, which only says so in its reason.
        BudgetSpent: z3 gave up.
    """
    verdict = str(solver.check())
    if verdict == "unknown":
        reason = solver.reason_unknown()
        if _STOPPED.is_set() or "interrupted from keyboard" in reason:
            raise KeyboardInterrupt
        raise BudgetSpent(f"not decided within the budget ({reason})")
    return verdict == "sat"


def satisfiable(text: str, budget: int = BUDGET, logic: str = LOGIC) -> bool:
    """Whether the assertions of an SMT-LIB 2 text can all be true.

    What z3 rewrites to false needs no solver, which takes ten times as long to begin as the rewriting.

    Raises:
        BudgetSpent: not decided within the budget.
        KeyboardInterrupt: stopped by the user.
    """
    afresh()
    assertion = _rewritten(_all(_assertions("", text)), min(budget, MOST_REWRITTEN))
    if _z3().is_false(assertion):
        return False
    solver = _solver(budget, logic)
    solver.add(assertion)
    return _satisfiable(solver)


class _Constants(dict[str, Any]):
    """Constants by symbol, made when they are asked for; `widths` are their bits."""

    def __init__(self, widths: Mapping[str, int]) -> None:
        super().__init__()
        self.widths = widths

    def __missing__(self, name: str) -> Any:
        made = self[name] = _z3().BitVec(name.strip("|"), self.widths[name], context())
        return made


@frozen
class Values:
    """The values of constants in one model."""

    model: Any
    constants: Mapping[str, Any]

    def __getitem__(self, name: str) -> int:
        """Return the value of a constant."""
        value: int = self.model.eval(self.constants[name], model_completion=True).as_long()
        return value


@define
class Session:
    """A text about which questions are asked, each with a solver of its own; `left` is the budget for all of them.

    `widths` are the bits of its constants, by symbol, `result` the word of bits that most questions are about.
    """

    left: int
    widths: Mapping[str, int]
    result: Any
    constants: _Constants
    _given: Any

    @classmethod
    def reading(
        cls,
        vocabulary: str,
        text: str,
        widths: Mapping[str, int],
        result: str,
        budget: int,
        shared: Shared = NOTHING_SHARED,
    ) -> "Session":
        """Read a text.

        Args:
            vocabulary: what it begins with, which many texts have alike.
            text: the rest of it.
            widths: the bits of its constants, by their symbols.
            result: a constant; else the name of what the last assertion says not to be zero, which is then a question.
            budget: what z3 may spend on all questions.
            shared: what comes between the two.
        """
        read, constants = _assertions(vocabulary, text, shared), _Constants(widths)
        if result not in widths:
            constants[result] = _rewritten(read.pop().arg(0).arg(0), min(budget, MOST_REWRITTEN))
        return cls(budget, widths, constants[result], constants, _all(read))

    @property
    def is_zero(self) -> bool:
        """Whether z3's rewriter says that no bit of the result is set, whatever the constants are."""
        return bool(_z3().is_bv_value(self.result)) and self.result.as_long() == 0

    def bits(self, numbers: Iterable[int], name: str = "") -> "z3.BoolRef":
        """Return that one of the bits of the result, or of a constant, is set."""
        return self.unlike([self.clear(self.constants[name] if name else self.result, numbers)])

    def equal(self, name: str, value: int) -> "z3.BoolRef":
        """Return that a constant has a value."""
        return self.constants[name] == value

    def part(self, name: str, high: int, low: int) -> Any:
        """Return some bits of a constant."""
        return _z3().Extract(high, low, self.constants[name])

    def within(self, word: Any, least: int, greatest: int) -> "z3.BoolRef":
        """Return that a word of bits lies between two numbers; it is signed where the first of them is below zero."""
        low, high = (_z3().BitVecVal(value, word.size(), context()) for value in (least, greatest))
        if least == greatest:
            return word == low
        bounds = (low <= word, word <= high) if least < 0 else (_z3().UGE(word, low), _z3().ULE(word, high))
        return _z3().And(*bounds)

    all_of = staticmethod(_all)

    def unlike(self, conditions: "Sequence[z3.BoolRef]") -> "z3.BoolRef":
        """Return that not all of the conditions hold."""
        return _z3().Not(_all(conditions))

    def one_of(self, conditions: "Sequence[z3.BoolRef]") -> "z3.BoolRef":
        """Return that one of the conditions holds."""
        return _z3().Or(list(conditions)) if conditions else _z3().BoolVal(False, context())

    def danced(self, picks: Mapping[str, int]) -> Any:
        """Return the result with constants put in."""
        found = ((self.constants[name], value) for name, value in picks.items())
        pairs = [(one, _z3().BitVecVal(value, one.size(), context())) for one, value in found]
        return _z3().substitute(self.result, *pairs) if pairs else self.result

    def clear(self, word: Any, numbers: Iterable[int]) -> "z3.BoolRef":
        """Return that none of the bits of a word is set."""
        mask = sum(1 << number for number in numbers)
        return (word & _z3().BitVecVal(mask, word.size(), context())) == _z3().BitVecVal(0, word.size(), context())

    def ask(self, *conditions: "z3.BoolRef") -> Values | None:
        """Return values under which the text and every condition hold, or None if there are none.

        Raises:
            BudgetSpent: not decided within what is left of the budget.
            KeyboardInterrupt: stopped by the user.
        """
        if self.left <= 0:
            raise BudgetSpent("nothing is left of the budget")
        solver = _solver(self.left, FINITE)
        solver.add(self._given, *conditions)
        before = _work(solver)
        found = _satisfiable(solver)
        self.left -= _work(solver) - before
        return Values(solver.model(), self.constants) if found else None


def _work(solver: "z3.Solver") -> int:
    """Return the work of a solver's context so far, in units of `rlimit`, all earlier questions included."""
    return next((int(value) for key, value in solver.statistics() if key == "rlimit count"), 0)
