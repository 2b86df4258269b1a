"""Programs with their items changed, and bodies looked at without the lines that lay them."""

from typing import get_args

import pytest

from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import Body, Foot, Item, Lined, Pass, Program, Repeat, Rest, Together, Uncut
from stepcheck.model.items import Mapped, inside, mapped, methods, once, spliced, unchecked
from tests.programs import Maker

ROW = (Rest(3, 12),)
LAID: Body = (Lined(2, "around", (Repeat(2, 2, (Lined(3, "around", ROW),)),)), Rest(4, 24))


def silent(item: Item) -> Body:
    """Leave silence out."""
    return () if isinstance(item, Rest) else (item,)


def test_what_lines_lay_takes_their_place() -> None:
    """The lines of a body itself are looked through, however deep they stand in one another; blocks stay."""
    assert (LAID[0].body[0], LAID[1]) == spliced(LAID)  # type: ignore[union-attr]
    assert ROW == spliced((Lined(1, None, (Lined(2, None, ROW),)),))
    assert spliced(ROW) is ROW


def test_a_line_is_the_same_whatever_is_around_it() -> None:
    """Times that lay the same are one repeat, so the context is no part of what is compared."""
    assert Lined(2, "first time", ROW) == Lined(2, "second time", ROW)


def test_a_change_is_made_from_the_inside_out() -> None:
    """Every item is offered to the change after what is in it; blocks that are emptied by it are still offered."""
    assert (Lined(2, "around", (Repeat(2, 2, (Lined(3, "around", ()),)),)),) == Mapped(silent).body(LAID)


def test_what_does_not_change_stays_the_same_object() -> None:
    """Equal bodies stay one, changed or not, since much is remembered of bodies by identity."""
    made = Mapped(silent)
    kept: Body = (Pass(1, "A", 0, ()),)
    assert made.body(kept) is kept
    twice = made.body((Pass(5, "A", 0, LAID), Pass(6, "A", 0, LAID)))
    assert inside(twice[0])[0] is inside(twice[1])[0]


def test_a_program_is_changed_in_all_its_parts() -> None:
    """The dance, parts that are never danced and the lap of a number of walls are changed alike."""
    program = Program(Foot.LEFT, 0, LAID, ())
    assert (Rest(3, 12),) == mapped(program, lambda item: (Rest(3, 12),) if item == LAID[1] else ()).dance


def test_a_body_that_stands_in_several_places_is_gone_through_once() -> None:
    """Items come in the order of the dance, each before those inside it."""
    first, again = Pass(1, "A", 0, ROW), Pass(2, "A", 0, ROW)
    body: Body = (first, again, Rest(3, 24))

    assert [first, ROW[0], again, Rest(3, 24)] == once(body) == once(body, body) == once(body, ROW)


def test_checks_of_some_claims_are_left_out() -> None:
    """Of checks that are judged together the others stay; where nothing is left out the item stays the same object."""
    maker = Maker()
    one, other = maker.check(Test.BOTH), maker.check(Test.CLOCK, 12)
    both = Together((one, other))

    assert unchecked(both, {one.claim.id}) == (Together((other,)),)
    assert unchecked(both, {one.claim.id, other.claim.id}) == unchecked(one, {one.claim.id}) == ()
    assert unchecked(both, {"another"})[0] is both
    assert unchecked(ROW[0], {one.claim.id}) == ROW


def test_a_class_has_a_method_for_each_kind_of_item() -> None:
    """A kind without a method is missed when the class is made, not when a dance comes to it."""
    with pytest.raises(AttributeError, match="_"):
        methods(Rest)


def test_the_methods_of_a_class_are_found_by_the_kinds_that_engines_meet() -> None:
    """Each kind has the method that is called as it, a lone check that of checks that are judged together; what a line
    lays is looked through, so it has none."""
    kinds = [kind for kind in get_args(Item) if kind not in (Lined, Uncut, Check)]
    owner = type("Owner", (), {f"_{kind.__name__.lower()}": number for number, kind in enumerate(kinds)})

    assert {kind: number for number, kind in enumerate(kinds)} | {Check: kinds.index(Together)} == methods(owner)
