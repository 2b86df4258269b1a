"""One word spelt, put in or moved, and the line is one of the language."""

import re
from collections.abc import Callable
from typing import NoReturn

import pytest

from stepcheck.language.parser import LineError, meant_lines, parse_line
from stepcheck.language.patch import Rewrite, told
from stepcheck.language.slips import MOST, MOST_READ, habits, misspelt, moved_or_lost, respelled, spoken


def mended(text: str, context: str) -> list[str]:
    """Return the lines that are offered for one that is not understood, each as a whole."""
    with pytest.raises(LineError) as caught:
        parse_line(text, context)
    hints = [hint for hint in caught.value.hints if isinstance(hint, Rewrite)]
    at = caught.value.at
    return [text[: (hint.at or at)[0]] + hint.text + text[(hint.at or at)[1] :] for hint in hints]


@pytest.mark.parametrize(
    ("text", "context", "meant"),
    [
        ("Vine, turn 1/4 lfet", "part", "Vine, turn 1/4 left"),
        ("part A: 8 beats, left foot to right fooot", "sheet", "part A: 8 beats, left foot to right foot"),
        ("part A: 8 beats, left to right foot", "sheet", "part A: 8 beats, left foot to right foot"),
        ("part A: 8 beats no turn", "sheet", "part A: 8 beats, no turn"),
        ("part A 8 beats", "sheet", "part A: 8 beats"),
        ("part A: 8", "sheet", "part A: 8 beats"),
        ("Main, restart on wall 3 after 8", "dance", "Main, first 8 counts"),
        ("counts 1-8, foot:", "part", "counts 1-8, left foot:"),
        ("except 3rr time:", "part", "except 3rd time:"),
        ("2nd, 4th ttime only:", "part", "2nd, 4th time only:"),
    ],
)
def test_the_line_before_the_slip_is_offered(text: str, context: str, meant: str) -> None:
    """What was meant is among what is offered, and at most so many are tried."""
    lines = mended(text, context)

    assert meant in lines
    assert len(lines) <= MOST + 1


def test_a_label_may_be_a_heading_misspelt() -> None:
    """What names no section of the music is compared with the headings of the language."""
    assert "time" in [one.text for one in meant_lines("last tiem only:", "dance")]
    assert () == meant_lines("Chorus:", "dance")


def test_the_nearest_word_comes_first() -> None:
    """Words are ordered by how much they are alike."""
    assert "Vine, left foot" == misspelt("Vine, lefft foot")[0][0]


def test_a_letter_moves_over_a_space_or_a_mark() -> None:
    """A space, comma or colon typed one letter too early or too late is put right."""
    lines = [line for line, _ in moved_or_lost("part Middl:e 16 beats", 0)]
    assert "part Middle: 16 beats" in lines
    assert "Step x3" in [line for line, _ in moved_or_lost("Ste px3", 0)]


LINES = (
    ("steps", "4:", "4 times:"),
    ("steps", "x4", None),
    ("steps", "Main * 3", "Main x3"),
    ("steps", "restart after 16 counts", None),
    ("steps", "Main, restart after 8 counts", "Main, first 8 counts"),
    ("steps", "Main x2, restart after wall 3", None),
    ("steps", "length: 64 counts", None),
    ("steps", "Main, until the end of it", "Main until the music ends"),
    ("steps", "Main, only the second time", "2nd time only:\n  Main"),
    ("steps", "2nd time: Triple", "2nd time only:\n  Triple"),
    ("steps", "expect weight on left", "expect right foot"),
    ("steps", "Vine, start on the right, turn 1/4 left", "Vine, right foot, turn 1/4 left"),
    ("steps", "Vine, R", "Vine, right foot"),
    ("steps", "Vine, to the left", "Vine (to the left)"),
    ("steps", "Triple, to the back", "Triple, facing back"),
    ("steps", "Vine, ending on right foot", None),
    ("steps", "Chain x2, moving forward", "Chain x2 (moving forward)"),
    ("steps", "Pause 4", "hold 4 beats"),
    ("steps", "hold, 4 beats", "hold 4 beats"),
    ("steps", "Main up to count 16", "Main, first 16 counts"),
    ("steps", "Triple turning left", None),
    ("steps", "Vine x4, 1/4 left on each", "Vine x4, turn 1/4 left"),
    ("sheet", "restart: wall 3 after 8 counts", None),
    ("sheet", "length 64 counts", None),
    ("sheet", "part Verse: 32, full turn", "part Verse: 32 beats, full turn"),
    ("sheet", "part Verse: 8 beats and full turn right", "part Verse: 8 beats, full turn right"),
    ("sheet", "part Verse, 32 beats, full turn", "part Verse: 32 beats, full turn"),
    ("sheet", "part Verse (32 beats, no turn):", "part Verse: 32 beats, no turn"),
    ("sheet", "Chorus: 32 beats", "part Chorus: 32 beats"),
    ("sheet", "Chorus:", "part Chorus:"),
    ("figures", "Mill Wheel: 4 beats, DS DS RS RS", "Mill Wheel, 4 beats: DS DS RS RS"),
    ("figures", "Mill Wheel: DS DS, RS RS", "Mill Wheel: DS DS RS RS"),
)


def test_every_habit_has_an_example() -> None:
    """The examples here show each habit once, in its order."""
    shown = [
        next(
            habit
            for habit in habits()
            if habit["start"] == start and re.fullmatch(habit["pattern"], text, re.IGNORECASE)
        )
        for start, text, _ in LINES
    ]

    assert habits() == shown


WHOLE = ("length 64 counts", "length: 64 beats", "beats: 64", "counts: 64", "total: 64", "expect 64 counts")


@pytest.mark.parametrize(("start", "text", "meant"), LINES)
def test_what_is_offered_can_be_written(start: str, text: str, meant: str | None) -> None:
    """The line that is offered in the place of a spoken one is a line of the language; where none is, words are
    said."""
    error = spoken(text, start, True)
    assert error is not None and (0, len(text)) == error.at
    offered = [hint.text for hint in error.hints if isinstance(hint, Rewrite)]
    assert ([meant] == offered[:1]) if meant else not offered
    assert all(told(error.hints))
    for written in offered:
        for line in written.split("\n") if start == "steps" else [written]:
            assert parse_line(line, {"steps": "dance"}.get(start, start))


@pytest.mark.parametrize(
    ("text", "context", "told_of"),
    [
        *((text, context, "dance: 64 counts") for context in ("sheet", "dance") for text in WHOLE),
        ("restart: wall 3 after 8 counts", "sheet", "Main, first 8 counts"),
        ("Restart: wall 3 after 8 counts", "dance", "Main, first 8 counts"),
        ("restart wall 3 after 8 counts", "dance", "Main, first 8 counts"),
        ("restart after 8 counts", "sheet", "Main, first 8 counts"),
    ],
)
def test_what_has_a_place_of_its_own_is_sent_there(text: str, context: str, told_of: str) -> None:
    """How long the whole is stands on the heading of the dance, a restart in its lines; neither is a field or a name."""
    with pytest.raises(LineError) as caught:
        parse_line(text, context)

    assert not [hint for hint in caught.value.hints if isinstance(hint, Rewrite)]
    assert told_of in caught.value.hints[0]


@pytest.mark.parametrize("text", ["Main x2, restart after 8 counts", "Main twice, restart after 8 counts"])
def test_a_restart_of_several_passes_offers_no_line(text: str) -> None:
    """Which of the passes is cut, nothing says."""
    error = spoken(text, "steps", True)

    assert error is not None and not [hint for hint in error.hints if isinstance(hint, Rewrite)]


def test_what_may_mean_two_things_is_offered_in_both() -> None:
    """A lone side is a foot or a way to go; a wall is faced, or gone to."""
    both = {
        text: [one.text for one in spoken(text, "steps", True).hints if isinstance(one, Rewrite)]
        for text in ("Vine, R", "Triple, to the back")
    }

    assert ["Vine, right foot", "Vine (to the right)"] == both["Vine, R"]
    assert ["Triple, facing back", "Triple (to the back)"] == both["Triple, to the back"]


@pytest.mark.parametrize(
    "text",
    [
        "Restart",
        "Restart: Main, first 8 counts",
        "Total Turn",
        "Rest",
        "Rebound x2",
        "4 times:",
        "Reverse Vine",
        "Quarter Left Turn",
        "Full Turn Forward",
        "Vine, turn 1/4 left",
        "First Time Around",
    ],
)
def test_lines_that_are_right_are_left_alone(text: str) -> None:
    """What the language has is not taken for a habit, and neither is a name."""
    assert parse_line(text, "dance")


@pytest.mark.parametrize(("times", "tries"), [(1, None), (500, MOST_READ // 12_498)])
def test_a_line_that_fills_a_page_is_read_less_often(times: int, tries: int | None) -> None:
    """What a line may be meant to be is tried to the end on a line of a sheet, and a few times on one of 12,498 letters."""
    text, read = " | ".join(["Vine, turn 1/4 left ^^"] * times), []
    assert () == respelled(text, "steps", lambda line, start: read.append(line), (), strict=True)
    slips = list(moved_or_lost(text, 0))
    respelled(text, "steps", _refused(read), slips)
    assert len(read) == (tries or len(slips)) <= len(slips)


def _refused(read: list[str]) -> Callable[[str, str], NoReturn]:
    """Return a grammar that takes no line and notes each."""

    def parse(line: str, start: str) -> NoReturn:
        read.append(line)
        raise LineError((0, 0), "no")

    return parse


@pytest.mark.parametrize(
    ("text", "start"), [("expect: 8 beats", "sheet"), ("expect: 8 counts", "steps"), ("hold , 4 counts", "steps")]
)
def test_a_habit_is_found_in_a_line_that_the_grammar_takes(text: str, start: str) -> None:
    """What lets most lines through at once lets none through that has a habit."""
    taken, refused = spoken(text, start, stuck=False), spoken(text, start, stuck=True)

    assert taken is not None and refused is not None
    assert (refused.reason, refused.hints) == (taken.reason, taken.hints)
