"""Routines as slots: the search for fixes follows the very dance that the engines decide."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from stepcheck.model.claims import Kind
from stepcheck.model.dance import Body, Item, Lined, Uncut
from stepcheck.model.floor import RELATIONS
from stepcheck.model.items import checks, inside, mapped
from stepcheck.report import pipeline
from stepcheck.search.slots import Sketch, Slot, Unfit, sketched
from tests.corpus.expected import sheets

SHEETS = [*sheets("routines"), *sheets("faulty")]


def outlined(path: Path) -> Sketch | None:
    """Return a sheet of the corpus as slots; None if it is not looked at so."""
    routine = pipeline.load(str(path))
    try:
        return sketched(routine) if routine.program is not None else None
    except Unfit:
        return None


def items(body: Body) -> Iterator[Item]:
    """Yield the items of a body, inner ones included."""
    for item in body:
        yield item
        for inner in inside(item):
            yield from items(inner)


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_without_its_lines_the_program_is_the_one_that_is_decided(path: Path) -> None:
    """Only what is cut stays whole; claims that a time comes leave no mark in either, and those about groups and about
    the place on the floor are no matter of single lines."""
    sketch, routine = outlined(path), pipeline.load(str(path))
    if sketch is None or routine.program is None:
        return
    plain = mapped(sketch.program, lambda item: item.body if isinstance(item, Lined) else (item,))
    if not any(isinstance(item, Uncut) for item in items(plain.dance)):
        assert repr(routine.program.dance) == repr(plain.dance)  # figures of the sheet are made anew
    apart = {*RELATIONS.values(), Kind.SPOT}
    assert tuple(claim for claim in routine.program.claims if claim.kind not in apart) == plain.claims
    assert [spare.weights for spare in routine.program.spares] == [spare.weights for spare in plain.spares]


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_no_step_stands_outside_a_slot_of_its_line(path: Path) -> None:
    """What can be changed is found: every slot with steps has its line, but in alternatives that call parts, and but
    for the turn of a group to the wall on which it begins."""
    sketch = outlined(path)
    if sketch is None:
        return
    slots = [slot for slot in sketch.slots(sketch.dance) if not slot.point]
    begins = {line for line, *_ in sketch.routine.facts.starts}
    bare = [slot for slot in slots if not slot.line.number]
    assert (
        all(getattr(item, "line", 0) in begins for slot in bare for item in slot.core)
        or " | " in sketch.routine.sheet.source.text
    )
    lengths = {claim.id for claim in sketch.program.claims if claim.kind is Kind.LENGTH}
    inside_steps = [check.claim.id for slot in slots for item in items(slot.core) for check in checks(item)]
    assert lengths.isdisjoint(inside_steps) or " | " in sketch.routine.sheet.source.text


def test_a_line_knows_in_which_pass_it_is_laid() -> None:
    """A part danced mirrored has its lines in another context than as it is written."""
    text = "lead: left\npart A:\n  Triple\n  Basic\ndance:\n  A\n  A, mirrored\n"
    sketch = sketched(pipeline.loads(text))
    slots = [slot for slot in sketch.slots(sketch.dance) if isinstance(slot, Slot) and slot.core]
    assert [(3, False), (4, False), (3, True), (4, True)] == [
        (slot.line.number, slot.around.swap.mirrored) for slot in slots
    ]
