"""z3, kept in one place: text in, a verdict and the values of names out.

One context a thread, made on demand and never shared; a fresh solver a question; budgets in z3's own units of work
(`rlimit`), which are the same on every machine for one build of z3.
"""

import threading
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any, TypeAlias
from weakref import WeakSet

from attrs import frozen

from stepcheck.model.source import StepcheckError

if TYPE_CHECKING:
    import z3

LOGIC = "QF_BV"
FINITE = "QF_FD"  # z3's own name for problems where every constant has few values: the same text, another way to solve it
BUDGET = 50_000_000
MOST_REWRITTEN = 100_000  # steps of z3's rewriter, before a solver is asked

Literal: TypeAlias = tuple[str, int, bool]
Clause: TypeAlias = tuple[Literal, ...]

_HERE = threading.local()
_CONTEXTS: "WeakSet[Any]" = WeakSet()
_WATCHED, _STOPPED = threading.Event(), threading.Event()


def stopper() -> Callable[[], None]:
    """Leave Ctrl-C to the caller from now on, and return what stops every question of this process, from any thread.

    Else z3 hears Ctrl-C by itself while it works.  It is for a process that is to end then.
    """
    _WATCHED.set()

    def stop() -> None:
        _STOPPED.set()
        for context in tuple(_CONTEXTS):
            context.interrupt()

    return stop


def true(names: Iterable[str]) -> Clause:
    """Return the clause that one of the Booleans is true."""
    return tuple((name, 1, True) for name in names)


class BudgetSpent(StepcheckError):
    """A question was not decided within its budget."""


def version() -> str:
    """Return the version of z3."""
    import z3

    return str(z3.get_version_string())


def _context() -> "z3.Context":
    """Return this thread's context."""
    import z3

    if not hasattr(_HERE, "context"):
        _HERE.context = z3.Context()
        _CONTEXTS.add(_HERE.context)
    return _HERE.context


def _assertions(text: str) -> "list[z3.BoolRef]":
    """Return the assertions of an SMT-LIB 2 text.

    One parser a thread, since making one takes longer than reading a short text; what a text declares is in a scope of its
    own, which is left before the next is read.  A script that sets its logic has a parser to itself: that is set only once.

    Raises:
        z3.Z3Exception: it is no such text; the parser is then given up.
    """
    import z3

    if "(set-logic" in text:
        return list(z3.parse_smt2_string(text, ctx=_context()))
    parser = getattr(_HERE, "parser", None)
    if parser is None:
        parser = _HERE.parser = z3.ParserContext(_context())
        parser.from_string("(push 1)")
    try:
        return list(parser.from_string(f"(pop 1)\n(push 1)\n{text}"))
    except BaseException:
        del _HERE.parser
        raise


def _all(read: "list[z3.BoolRef]") -> "z3.BoolRef":
    """Return one assertion for all: one is added much faster than many."""
    import z3

    return z3.And(read) if read else z3.BoolVal(True, _context())


def _solver(budget: int, logic: str = LOGIC) -> "z3.Solver":
    import z3

    # z3.SolverFor would make the context that all threads share, just to name the logic.
    context = _context()
    handle = z3.Z3_mk_solver_for_logic(context.ref(), z3.to_symbol(logic, context))
    solver = z3.Solver(handle, context)
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
    """Whether the assertions of an SMT-LIB 2 text can all be true.  Raises as `Session.ask` does.

    What z3 rewrites to false needs no solver, which takes ten times as long to begin as the rewriting.
    """
    assertion = _all(_assertions(text))
    if _rewrites_to_false(assertion, min(budget, MOST_REWRITTEN)):
        return False
    solver = _solver(budget, logic)
    solver.add(assertion)
    return _satisfiable(solver)


def _rewrites_to_false(assertion: "z3.BoolRef", steps: int) -> bool:
    """Say whether z3 rewrites an assertion to false in so many steps."""
    import z3

    try:
        return bool(z3.is_false(z3.simplify(assertion, max_steps=steps)))
    except z3.Z3Exception:
        return False  # there are more steps to it


class _Constants(dict[str, Any]):
    """Constants by name, made when they are asked for; `widths` are their bits, 0 for a Boolean."""

    def __init__(self, widths: Mapping[str, int], context: "z3.Context") -> None:
        super().__init__()
        self._widths = widths
        self._context = context

    def __missing__(self, name: str) -> Any:
        import z3

        width = self._widths[name]
        made = z3.BitVec(name, width, self._context) if width else z3.Bool(name, self._context)
        self[name] = made
        return made


@frozen
class Values:
    """The values of names in one model."""

    model: Any
    constants: Mapping[str, Any]

    def __getitem__(self, name: str) -> int:
        """Return the value of a name; a Boolean is 0 or 1."""
        import z3

        value = self.model.eval(self.constants[name], model_completion=True)
        return value.as_long() if z3.is_bv_value(value) else int(z3.is_true(value))


class Session:
    """A text about which many questions are asked, each with a solver of its own."""

    def __init__(self, text: str, widths: Mapping[str, int], budget: int = BUDGET) -> None:
        """Read `text`; `widths` are the bits of the constants that questions may name, 0 for a Boolean.

        `budget` is what each question may cost, in units of `rlimit`.
        """
        self._context = _context()
        self._assertion = _all(_assertions(text))
        self._budget = budget
        self._constants = _Constants(widths, self._context)

    def _literal(self, literal: Literal) -> Any:
        import z3

        name, value, positive = literal
        constant = self._constants[name]
        if z3.is_bool(constant):
            return constant if bool(value) == positive else z3.Not(constant)
        equal = constant == z3.BitVecVal(value, constant.size(), self._context)
        return equal if positive else z3.Not(equal)

    def _clause(self, clause: Clause) -> Any:
        """Return one of the literals or another; z3.Or looks at the sort of each first, which takes longer than all the rest."""
        import z3

        literals = [self._literal(literal) for literal in clause]  # to be kept until they are in what is made of them
        pieces = (z3.Ast * len(literals))(*(literal.as_ast() for literal in literals))
        return z3.BoolRef(z3.Z3_mk_or(self._context.ref(), len(literals), pieces), self._context)

    def ask(self, clauses: Iterable[Clause]) -> Values | None:
        """Return values under which the text and every clause hold, or None if there are none.

        A clause holds if one of its literals does: (name, value, whether they are equal).

        Raises:
            BudgetSpent: not decided within the budget.
            KeyboardInterrupt: stopped by the user.
        """
        solver = _solver(self._budget)
        solver.add(self._assertion)
        for clause in clauses:
            solver.add(self._clause(clause))
        return Values(solver.model(), self._constants) if _satisfiable(solver) else None
