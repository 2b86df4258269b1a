"""What is said to stand in the way of a fix does, and each piece of it is needed: held to trying every set of
changes."""

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from stepcheck.books import book as books
from stepcheck.fixes.conflict import Conflict
from stepcheck.fixes.fix import repair
from stepcheck.fixes.protected import dances, kept_lines
from stepcheck.fixes.repairs import COSTS
from stepcheck.language import parser
from stepcheck.language.alterations import EditError, traced
from stepcheck.language.edits import Edit, InsertLine
from stepcheck.language.stretches import parents
from stepcheck.model.claims import Check, Claim, Kind
from stepcheck.model.dance import Choice, Program, Together, Walls
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source
from stepcheck.program.routine import Routine, elaborate
from stepcheck.report import pipeline
from stepcheck.walk.walk import walk
from tests.edit_sets import singles
from tests.laws.test_repair import sheets
from tests.profiles import law

BOOK = books.load(Path(__file__).parents[1] / "small.book")
KINDS = ("figure", "alternative", "times", "turn", "insert", "delete", "block", "swap")
SLOW = law(40)


def stripped(body: tuple, wanted: set[str]) -> tuple:
    """Return a body that checks these claims alone."""
    out = []
    for item in body:
        match item:
            case Check():
                out += [item] if item.claim.id in wanted else []
            case Together(checks=checks):
                kept = tuple(check for check in checks if check.claim.id in wanted)
                out += [Together(kept)] if kept else []
            case Choice(line=line, claim=claim, options=options):
                out.append(Choice(line, claim, tuple(stripped(option, wanted) for option in options)))
            case _ if hasattr(item, "body"):
                fields = {name: getattr(item, name) for name in item.__slots__ if name not in ("body", "__weakref__")}
                out.append(type(item)(**fields, body=stripped(item.body, wanted)))
            case _:
                out.append(item)
    return tuple(out)


def holds(program: Program, wanted: set[str]) -> bool:
    """Say whether these claims of a program are proved, if nothing else is claimed."""
    asked = program.walls if program.walls is not None and program.walls.claim.id in wanted else None
    walls = asked and Walls(asked.claim, asked.count, stripped(asked.body, wanted))
    fields = {name: getattr(program, name) for name in program.__slots__ if name != "__weakref__"}
    spares = tuple(type(spare)(spare.weights, stripped(spare.body, wanted)) for spare in program.spares)
    less = Program(**fields | {"dance": stripped(program.dance, wanted), "walls": walls, "spares": spares})
    return all(one.verdict is Verdict.PROVED for one in walk(less) if one.claim in wanted)


def mendable(routine: Routine, conflict: Conflict, kept: frozenset[int], most: int, left_out: int | None) -> bool:
    """Say whether one change, or none, has the pieces of a conflict but one hold together."""
    pieces = [piece for number, piece in enumerate(conflict.holds) if number != left_out]
    still = {piece.line for piece in pieces if piece.kind == "line"}
    assert routine.program is not None
    names = {
        _told(claim, claim.line)
        for piece in pieces
        if piece.kind == "claim"
        for claim in routine.program.claims
        if (claim.line, claim.text) == (piece.line, piece.text)
    }
    over = parents(routine.sheet)
    for edits in [(), *((edit,) for edit in singles(routine, BOOK, KINDS) if COSTS[edit.kind] <= most)]:
        if any(_touched(edit, over) in still for edit in edits):
            continue
        try:
            text, origins = traced(routine.sheet, edits)
        except EditError:
            continue
        sheet, found = parser.parse(Source("", text))
        program = elaborate(sheet, found, book=BOOK).program
        if program is not None:
            lines = dict(enumerate(origins, 1))
            there = {claim.id: _told(claim, lines[claim.line]) for claim in program.claims}
            wanted = {name for name, said in there.items() if said in names}
            gone = {said for _, said in names - {*there.values()} if said}  # a line without alternatives claims none
            if not gone and (dances(program) or not dances(routine.program)) and holds(program, wanted):
                return True
    return False


def _told(claim: Claim, line: int) -> tuple[int, str]:
    """Return a claim as a change of another line leaves it: that alternatives end alike has their line as its text."""
    return line, "" if claim.kind is Kind.ALTERNATIVES else claim.text


def _touched(edit: Edit, over: dict[int, int]) -> int:
    return over.get(edit.line, 0) if isinstance(edit, InsertLine) else edit.line


@SLOW
@given(sheets(), st.sampled_from(((), ("A",), ("dance",), ("A", "dance"))), st.sampled_from((1, 2, 3)))
def test_a_conflict_is_one_and_each_piece_is_needed(text: str, keep: tuple[str, ...], most: int) -> None:
    """No change has the pieces hold together, and with any one of them given up some change does, where that is said."""
    routine = pipeline.loads(text, book=BOOK)
    if routine.program is None:
        return
    without = tuple(kind for kind in COSTS if kind not in KINDS and kind != "music")
    found = repair(routine, keep=keep, without=without, most_cost=most, level="any")
    assert found.conflict is None or not found.fixes
    if found.conflict is None:
        return  # found, or not found out
    kept = kept_lines(routine.sheet, keep)
    bound = found.conflict.bound
    assert 0 < bound <= most
    assert not mendable(routine, found.conflict, kept, bound, None)
    for number, piece in enumerate(found.conflict.holds if found.conflict.least else ()):
        assert mendable(routine, found.conflict, kept, bound, number), piece
