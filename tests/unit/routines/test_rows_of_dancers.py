"""What a sheet says of where rows of dancers go, and the parts in which a team comes and goes."""

import pytest

import stepcheck as sc

FRONT = "Teasel Bank (clogging)\nwait 8, left foot lead\n\n"


@pytest.mark.parametrize(
    "said",
    [
        "- front row goes back, back row comes through to the front",
        "- rows change back",
        "- front line moves to the back",
        "- both rows pass through to the front",
        ", lines cross",
        "; couples change places, then face the front",
    ],
)
def test_where_rows_of_dancers_go_is_no_dance(said: str) -> None:
    """Words on who goes where add no beats and no facing to the steps before them: they are a note of the last one."""
    made = sc.draft(
        f"{FRONT}A, 8 beats\nTriple L, Triple R {said}\n\nB\n2 Chains\n".replace(" ,", ",").replace(" ;", ";")
    )

    steps = f"  Triple, left foot\n  Triple, right foot ({said.strip('-,; ')})\n\n"
    assert f"part A: 8 beats\n{steps}" in made.text


def test_no_step_behind_who_goes_where_is_lost() -> None:
    """Where figures stand behind such words the line is not cut before these."""
    made = sc.draft(f"{FRONT}A\nTriple, lines cross, 2 Chains\n\nB\n2 Basics\n")

    assert "  ? 4 beats  # Triple, lines cross\n  Chain x2\n" in made.text


def test_a_team_comes_in_and_goes_off_in_parts() -> None:
    """An entrance and an exit are parts, the exit the last one where no order names it."""
    made = sc.draft(f"{FRONT}ENTRANCE, 32 beats\n8 Triples\n\nA\n2 Chains\n\nOrder: Entrance A A\n\nEXIT\n4 Basics\n")

    assert "part Entrance: 32 beats\n  Triple x8\n" in made.text
    assert made.text.split("dance:\n")[1].split()[:4] == ["Entrance", "A", "A", "Exit"]
