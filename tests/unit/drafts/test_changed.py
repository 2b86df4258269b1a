"""Restarts by a count of a section, and restarts before which other steps are danced than stand there."""

import pytest

import stepcheck as sc
from tests.unit.drafts.test_wordings import body, danced

SHEET = """Osier Row
32 counts, 2 walls, line dance

S1
1-8 Vine right, vine left
S2
1-2 Step R forward, touch L
3-4 Step L back, touch R
5-6 Rock R back, recover L
7-8 Stomp R, stomp L
S3
1-8 Vine right, vine left
S4
1-8 Vine right, vine left

{}
"""


@pytest.mark.parametrize(
    ("said", "counts"),
    [
        ("Restart on wall 3 after count 4 of section 2", 12),
        ("Restart on wall 3 after section 2, count 4", 12),
        ("Wall 3: dance S1 and the first 4 counts of S2, restart", 12),
        ("Restart on wall 3 after the first 2 counts of section 3", 18),
        ("On wall 3 dance up to count 6 in S4 and restart", 30),
        ("Restart on wall 3 after count 6 of Block 2", 14),
        ("On wall 3 dance the first 2 counts of set 3, then restart", 18),
        ("On wall 3 restart after block 3", 24),
        ("On wall 3 dance up to count 12 of section 2 and restart", 0),
        ("On wall 3 dance to the recover in section 2 and restart", 14),
        ("On wall 3 dance to the touch in section 2 and restart", 0),  # which of two?
    ],
)
def test_a_wall_is_cut_at_a_count_of_a_section(said: str, counts: int) -> None:
    """It is that of the dance; one that the section doesn't have is open, and cuts nothing."""
    text = SHEET.format(said)
    cut = ["Main x2", f"Main, first {counts} counts"] if counts else []

    assert [each for each in danced(text) if each] == [*cut, "Main until the music ends"]
    assert bool(sc.draft(text).open) is not bool(counts) and said in sc.draft(text).text


@pytest.mark.parametrize(
    ("said", "counts", "steps"),
    [
        ("dance up to count 6 of Section 2, then stomp R, stomp L on 7-8 and restart", 14, "STO(R) STO(L)"),
        ("dance 14 counts, then stomp R, stomp L (15-16) and restart", 14, "STO(R) STO(L)"),
        ("dance to count 14, add stomp R, stomp L, start again", 14, "STO(R) STO(L)"),
        ("dance up to count 6 of S2, stomp R, stomp L, restart from the top", 14, "STO(R) STO(L)"),
        ("restart after 16 counts, but replace counts 15-16 with stomp R, touch L beside R", 14, "STO(R) TCH(L)"),
        ("after 14 counts, change 15-16 to stomp R, stomp L, then restart", 14, "STO(R) STO(L)"),
        ("dance the first 8 counts, then vine right, and restart", 8, "Vine, right foot"),
        (
            "dance to count 6 of section 2, then stomp R, stomp L instead of the stomps (7-8), restart",
            14,
            "STO(R) STO(L)",
        ),
        ("dance 14 counts, then stomp R and hold instead, and begin again", 14, "STO(R) HOLD"),
        ("dance the first 14 counts, then wobble on 15-16 and restart", 14, "? 2 counts"),
        ("dance the first 14 counts, then stomp R, stomp L, stomp R on 15-16 and restart", 14, "? 2 counts"),
    ],
)
@pytest.mark.parametrize("lead", ["Restart: on wall 4 ", "Wall 4: ", "Restart on wall 4: "])
def test_steps_before_a_restart_are_danced_behind_the_cut(said: str, counts: int, steps: str, lead: str) -> None:
    """They take the place of what the wall has there, and dancers face behind them where the line says."""
    text = SHEET.format(f"{lead}{said} facing 6:00.")
    wanted = ["Main x3", f"Main, first {counts} counts", "Change", "expect facing 6:00", "Main until the music ends"]

    assert [each for each in danced(text) if each] == wanted
    assert body(text, "Change") == [steps]
    assert bool(sc.draft(text).open) is (steps[0] == "?")


@pytest.mark.parametrize(
    "said",
    [
        "Restart wall 3: dance the first 13 counts then stomp R, stomp L on 15-16 and start again",
        "On wall 3 dance 12 counts, then wobble and stomp R, restart",
    ],
)
def test_steps_before_a_restart_that_do_not_fit_cut_nothing(said: str) -> None:
    """Where they don't begin behind the cut, or how long they last isn't known, the line is open."""
    assert [each for each in danced(SHEET.format(said)) if each[:1] not in ("", "#")] == ["Main until the music ends"]
    assert [each for each in sc.draft(SHEET.format(said)).open if said in each]


@pytest.mark.parametrize(
    "said",
    [
        "Restart on wall 3 after the coaster step (16 counts)",
        "On wall 3 after 16 counts (the stomps), restart",
        "Restart on wall 3 after 16 counts",
        "On wall 3 after 16 counts, you will be facing 6:00, restart",
    ],
)
def test_words_that_only_say_where_a_wall_is_cut_are_no_steps(said: str) -> None:
    """A step that is named for its place is not danced again."""
    assert "Main, first 16 counts" in danced(SHEET.format(said)) and "Change" not in danced(SHEET.format(said))
