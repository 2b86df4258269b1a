"""Words of a row: a foot that another one goes to, a toe that its heel follows, titles of several figures."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import LINE, body


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("1-4 R heel fwd, hook over L, R heel fwd, touch tog", "HT(R) HK HT(R) TCH"),
        ("1-4 R heel fwd, hook across left, R heel fwd, R together", "HT(R) HK HT(R) S(R)"),
        ("1-2 R side, touch beside R", "S(R) TCH"),
        ("1-2 R side, touch next to the right", "S(R) TCH"),
        ("1-2 L heel fwd, hook L over R", "HT(L) HK(L)"),
        ("1-4 R toe fwd, heel down, L toe tog, heel down", "TT(R) HW(R) TT(L) HW(L)"),
        ("1-4 R toe fwd, drop heel, L toe together, drop heel", "TT(R) HW(R) TT(L) HW(L)"),
        ("1-2 L heel tog", "HT(L) S"),
        ("1-4 Step to right, L behind, step to right, touch L", "S S(L) S(R) TCH(L)"),
        ("1-2 L step to right, R step to right", "S(L) S(R)"),
        ("1-2 Step to right, step to left", "S S"),
        (
            "1-8 Toe strut jazz box: R toe across, heel down, L toe back, heel down, R toe side, heel down, "
            "L toe tog, heel down",
            "TT(R) HW(R) TT(L) HW(L) TT(R) HW(R) TT(L) HW(L)",
        ),
    ],
)
def test_a_row_is_what_its_steps_say(row: str, wanted: str) -> None:
    """A foot behind `over` or `beside` is no foot that moves; a toe and its heel are a strut; figures before a colon are
    the title of the steps that come to the counts."""
    text = LINE.format(8, row)

    assert [wanted] == body(text, "Main")
    assert not [each for each in sc.draft(text).open if "stated" not in each]
