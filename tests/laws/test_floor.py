"""Whatever can be danced can be called, practised, and handed out."""

import xml.etree.ElementTree as ElementTree
from itertools import groupby

from hypothesis import given

import stepcheck as sc
from stepcheck.model.dance import TICKS
from stepcheck.strategies import sheets
from stepcheck.walk.tracks import timeline
from tests.laws.test_page import Read
from tests.profiles import law


@law(60)
@given(sheets())
def test_any_sheet_that_is_understood_has_all_of_it(text: str) -> None:
    """Calls never go back in time and none is left out; the page is whole, the picture is XML, every pass stands in the
    order; what is taught contains every part and figure once; every note has its line."""
    routine = sc.loads(text if "\ntempo:" in text else f"tempo: 120\n{text}")
    if routine.program is None:
        return
    danced = [one for one in timeline(routine.program).moments if one.ticks and not one.put_right]
    made = sc.handout(routine)
    read = Read()
    read.feed(sc.handout_html(made))
    assert [] == read.open
    ElementTree.fromstring(sc.handout_svg(made))
    if timeline(routine.program).whole:
        found = sc.calls(routine, rounds=1)
        times = [call.at for call in found.calls]
        assert len(danced) == len(times) and times == sorted(times)
        assert found.beats >= found.lead_in + sum(one.ticks for one in danced) // TICKS
        assert [call.line for call in found.calls] == [one.line for one in danced]
        assert len(made.order) == len([*groupby(danced, lambda one: (one.part, one.time))])
    practice = sc.practise(routine)
    names = [(one.kind, one.name) for one in practice.order]
    assert len(names) == len(set(names))
    assert all(0 < one.line <= len(text.splitlines()) + 1 for one in practice.care)
    assert all(one.points > 0 and one.reasons for one in practice.joins)
