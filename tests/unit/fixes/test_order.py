"""The order of fixes: each rule of specs/costs.md has an example there, whose fix comes first."""

import re
from pathlib import Path

import pytest

from stepcheck.fixes.fix import repair
from stepcheck.report import pipeline

PAGE = (Path(__file__).parents[3] / "specs" / "costs.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```diff\n(.*?)```", PAGE, re.DOTALL)
HEAD = "routine: Example\nbook: clogging\nlead: left\n"


def side(example: str, sign: str) -> str:
    """Return an example before (`-`) or after (`+`) its fix, as a sheet."""
    lines = [line[1:] for line in example.splitlines() if line[0] in (" ", sign)]
    dance = next(number for number, line in enumerate(lines) if line.startswith("dance:"))
    end = next((number for number, line in enumerate(lines[dance:], dance) if line.startswith("part ")), len(lines))
    return HEAD + "\n".join([*lines[:dance], *lines[end:], *lines[dance:end], ""])


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda one: re.search(r"^[-+] *(.*)", one, re.MULTILINE)[1])
def test_the_fix_of_each_example_comes_first(example: str) -> None:
    """The page shows what the rules come to, and the program does it."""
    assert side(example, "+") == repair(pipeline.loads(side(example, "-")))[0].text


def test_every_rule_has_an_example() -> None:
    """The page has examples at all."""
    assert len(EXAMPLES) > 8


def test_two_fixes_never_say_the_same_in_two_ways() -> None:
    """Times of a repeat that are named and counted alike, and a turn that another figure has by itself, are one fix."""
    wheel = HEAD + "part A: 16 beats, full turn right\n  4 times:\n    Push-off, turn 1/2 right on 2nd\ndance:\n  A\n"
    texts = [fix.text for fix in repair(pipeline.loads(wheel), limit=12)]
    assert 1 == sum("on 2nd, 4th" in text or "on every 2nd" in text for text in texts)

    line = "routine: X\nbook: line\nwalls: 4\npart A: 8 counts\n  Pivot Half\n  Rock Step\n  Jazz Box\ndance:\n  A until the music ends\n"
    texts = [fix.text for fix in repair(pipeline.loads(line), limit=12)]
    assert any("Pivot Quarter" in text for text in texts)
    assert not any("Pivot Half, turn 1/4 left" in text for text in texts)


def test_no_fix_names_a_time_that_never_comes() -> None:
    """What falls on the 5th of four times, or on every 5th, is no fix."""
    sheet = (
        HEAD
        + "part A: 16 beats\n  4 times:\n    Triple, turn 1/4 left on 2nd, 4th\ndance:\n  A\n  expect facing front\n"
    )
    named = [
        int(one)
        for fix in repair(pipeline.loads(sheet), limit=20)
        for one in re.findall(r"(\d)(?:st|nd|rd|th)", fix.text)
    ]
    assert named and max(named) <= 4


def test_a_section_that_is_danced_twice_is_taken_out() -> None:
    """A line of the dance that is written twice leaves no section for the others, and is still one mistake."""
    song = (
        HEAD
        + "music:\n  verse 8\n  chorus 8\npart Verse: 8 beats\n  Cowboy\npart Chorus: 8 beats\n  Basic x4\ndance:\n"
    )
    found = repair(pipeline.loads(song + "  verse: Verse\n  verse: Verse\n  chorus: Chorus\n"))
    assert [song + "  verse: Verse\n  chorus: Chorus\n"] == [fix.text for fix in found]


def test_both_feet_at_the_end_are_meant() -> None:
    """What is expected of both feet is no slip for one foot: the last figure is changed first."""
    sheet = "routine: X\nbook: line\nlead: right\ndance:\n  Vine\n  Stomp\n  expect both feet\n"
    assert "  Jump\n" in repair(pipeline.loads(sheet))[0].text
