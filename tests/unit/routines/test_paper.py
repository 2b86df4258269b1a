"""Lines below the steps of a clogging description that speak of the paper and the class."""

import pytest

import stepcheck as sc

SHEET = "Tallow Reel\nclogging\nwait 16\n\nPart A\n2 Triples\n4 Basics\n\nSequence: A A\n\n{}\n"


@pytest.mark.parametrize(
    "foot",
    [
        "Page 2 of 3",
        "Sheet 4 of 4",
        "Rev. 5/11",
        "Revision 3, 7/2019",
        "ver. 2.1",
        "Typed up by Osier W., 3/14/09",
        "Cue notes typed by Nell R.",
        "(c) 2011 L. Osier",
        "Questions? Ring Nell at 555-0199",
        "Any queries: text Nell on 01234 567890",
        "E-mail: nell@alderferry.example",
        "Taught at the Millrace Fling 2013",
        "Last updated May 2017",
        r"File: dances\tallow.doc   Last printed 4/2/98",
        "Hand-out no. 9",
        "Happy Clogging!",
    ],
)
@pytest.mark.parametrize("sheet", [SHEET, SHEET.replace("\nSequence: A A\n", "")])
def test_a_foot_that_speaks_of_the_paper_is_a_remark(foot: str, sheet: str) -> None:
    """Its dates, pages and telephone numbers are no beats, its initials no feet, and nobody there made the dance."""
    made = sc.draft(sheet.format(foot))

    assert not made.open
    assert "author" not in made.text
    assert f"# {foot.strip()[:6]}" in made.text


@pytest.mark.parametrize(
    "foot",
    [
        "Revised: 3 Triples in A",
        "Page 2 of 3: now turn 1/4 left",
        "Questions? The last Basic is on the R foot",
        "Printed with 4 Basics",
        "Rev. the last 2 Basics",
        "Nell Osier",
    ],
)
def test_a_foot_that_may_speak_of_the_dance_is_open(foot: str) -> None:
    """A figure, a foot or a number of times beside the paper may change what is danced; a name alone may be anybody."""
    assert sc.draft(SHEET.format(foot)).open
