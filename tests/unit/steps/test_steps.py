"""Words to steps."""

import pytest

from stepcheck.drafts.draft import draft
from stepcheck.steps.counts import cut
from stepcheck.steps.phrases import events
from stepcheck.steps.steps import Facing, Mention, Step, Turn, Unread, Weighted
from stepcheck.steps.vocabulary import load

LINE = load("line")


def steps(text: str) -> list[str]:
    """Return the steps of a text as codes with their feet."""
    return [f"{' '.join(event.codes)}({event.foot})" for event in events(text, LINE) if isinstance(event, Step)]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Step right to right side, step left behind right", "S(R) S(L)"),
        ("cross LF over RF, point RF to side", "S(L) PT(R)"),
        ("Side R, behind L; cross R", "S(R) S(L) S(R)"),
        ("L fwd, lock R behind L", "S(L) S(R)"),
        ("Rock back on R, recover onto L", "RK(R) RC(L)"),
        ("walk fwd R, L, R, kick L", "S(R) S(L) S(R) K(L)"),
        ("touch R heel fwd / step R beside L", "HT(R) S(R)"),
        ("R toe fwd, drop R heel", "TT(R) HW(R)"),
        ("Kick L twice", "K(L) K(L)"),
        ("step forward right and touch left", "S(R) TCH(L)"),
        ("big step right on RF, drag LF to RF", "S(R) DRAW(L)"),
        ("bump hips L, L", "BUMP() BUMP()"),
        ("RLR", "S(R) S(L) S(R)"),
        ("step R fwd pivot 1/2 L", "S(R) PV S()"),
        ("point R, 1/2 turn right on ball of L stepping R beside L, point L", "PT(R) S(R) PT(L)"),
        ("point R, 1/2 right on left foot, step R beside L", "PT(R) S(R)"),
    ],
)
def test_feet_go_with_their_movements(text: str, wanted: str) -> None:
    """A foot behind `over`, `behind`, `beside` or `to` is where another foot goes, unless none moves yet."""
    assert wanted == " ".join(steps(text))


@pytest.mark.parametrize(
    ("text", "turn"),
    [
        ("1/4 L stepping fwd L", Turn(2, "left")),
        ("turn ½ right stepping back on L", Turn(4, "right")),
        ("step L turning a quarter left", Turn(2, "left")),
        ("pivot three quarters right", Turn(6, "right")),
        ("step R, turn 1/4 and step L", Turn(2)),
    ],
)
def test_turns_are_those_of_their_step(text: str, turn: Turn) -> None:
    """Sizes are read in figures and words, sides behind or before them."""
    assert [turn] == [event.turn for event in events(text, LINE) if isinstance(event, Step) and event.turn]


@pytest.mark.parametrize(
    ("text", "wall"),
    [
        ("step R (6:00)", "6:00"),
        ("step R [9 o'clock]", "9:00"),
        ("you face the back wall", "back"),
        ("(front again)", "front"),
    ],
)
def test_facings_are_read(text: str, wall: str) -> None:
    """The clock, and the two walls by name."""
    assert [wall] == [event.wall for event in events(text, LINE) if isinstance(event, Facing)]


def test_unknown_words_make_a_step_unread() -> None:
    """`twirl R to the back` is no step of the right foot to the back."""
    found = events("step L, twirl R to the back, step R", LINE)

    assert ["L", "R"] == [event.foot for event in found if isinstance(event, Step)]
    assert 1 == sum(isinstance(event, Unread) for event in found)


def test_a_sway_needs_its_side() -> None:
    """`sway R` takes the weight onto the right foot; `sway` alone says no foot."""
    assert ["S(R)"] == steps("sway R")
    assert [] == steps("sway")


def test_figures_are_named_where_the_book_has_them() -> None:
    """The longest name counts; what is said by steps, as `step touch`, is steps."""
    assert ["Kick Ball Change"] == [
        event.name for event in events("R kick ball change", LINE) if isinstance(event, Mention)
    ]
    assert ["S(R)", "TCH(L)"] == steps("step R touch L")


def test_weight_is_read() -> None:
    """`(weight on L)` says the foot, `(no weight)` none."""
    assert [Weighted("L"), Weighted("")] == [
        event for event in events("(weight on L) (no weight)", LINE) if isinstance(event, Weighted)
    ]


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("1-2 Walk R, L, 3&4 shuffle fwd", [(12, 24), (36, 42, 48)]),
        ("Rock R, recover L (1-2). Coaster R (3&4).", [(12, 24), (36, 42, 48)]),
        ("R to side, touch L          5,6", [(60, 72)]),
        ("step L together &; step R side, touch L 7-8.", [(78, 84, 96)]),
        ("stomp twice on 33-36", []),
        ("LF to side ...... 4 5 6", [(48, 60, 72)]),
    ],
)
def test_counts_stand_before_the_words_or_behind(line: str, wanted: list[tuple[int, ...]]) -> None:
    """A lone `&` leads to the counts behind it; counts that are spoken of (`on 33-36`) count nothing."""
    assert wanted == [piece.counts.points for piece in cut(line) if piece.counts]


def row(line: str) -> str:
    """Return the line that a line of counted steps comes to."""
    text = draft(f"Weir Lane\n32 counts\n\n{line}\n").text
    return next(said.strip() for said in text.splitlines() if said.startswith("    "))


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("1-2 Step R fwd turn 1/2 L", "S(R) PV S, turn 1/2 left @2 (forward)"),
        ("1-2 Rock R out to side, return weight to L", "RK(R) RC(L) (out side)"),
        ("3-4 Heel grind 1/4 R", "Heel Grind, turn 1/4 right"),
        ("1-4 2 toe struts forward", "Toe Strut x2 (forward)"),
        ("1-4 Grapevine right with scuff", "Vine ending in a scuff, right foot"),
        ("1-2 Side-R, together-L", "S(R) S(L) (side, together)"),
        ("7-8 In R, in L", "S(R) S(L) (in, in)"),
        ("5-6 Twirl R to the back", "? 2 counts  # Twirl R to the back"),
        ("5-6 Sweep R to the back", "SW(R) HOLD (sweep back)"),
        ("3-4 Unwind 1/2 L, weight on L", "PV S(L) HOLD, turn 1/2 left @1 (unwind)"),
        ("5-6 Unwind 1/2 L", "? 2 counts  # Unwind 1/2 L"),
        ("1-8 4 Step Touches (R, L, R, L)", "Step Touch x4, right foot"),
        ("1-8 Step Touch x4", "Step Touch x4"),
        ("1-4 2 walks fwd (R, L), touch R, hold", "S(R) S(L) TCH(R) HOLD (forward, forward)"),
        ("1-4 Walk forward 4 steps starting right", "S(R) S(L) S(R) S(L) (forward, forward, forward, forward)"),
        ("1-4 March in place turning 1/4 L, R-L-R-L", "S(R) S(L) S(R) S(L), turn 1/4 left (in place)"),
        ("1-4 Fan R toe out, in, out, in", "FAN(R) FAN(R) FAN(R) FAN(R) (out, in, out, in)"),
        ("1-4 Swivel heels right, left, right, centre", "SWIVEL SWIVEL SWIVEL SWIVEL (right, left, right, center)"),
        ("1-8 Vine R, touch; vine L, touch", "Vine, right foot"),
        ("1-4 Touch R fwd, side, back, together", "Touch, right foot (forward)"),
        ("1&2 Shuffle R & L", "? 2 counts  # Shuffle R & L"),
        ("1-8 Vine R, vine L, repeat", "? 8 counts  # Vine R, vine L, repeat"),
        ("1-4 Grapevine L 1/4 L, scuff R", "Vine ending in a scuff, left foot, turn 1/4 left"),
        ("1-4 Step R side bumping hips R L R L", "S(R) BUMP BUMP BUMP (side bump, side bump, side bump, side bump)"),
        ("1-4 R fwd L fwd R fwd L touch", "S(R) S(L) S(R) TCH(L) (forward, forward, forward)"),
        ("1-4 Travelling pivots R", "? 4 counts  # Travelling pivots R"),
        ("1-4 Vine R 3, touch", "? 4 counts  # Vine R 3, touch"),
        ("1-4 Left foot: side, close, side, touch", "S(L) CL(R) S(L) TCH (side, side)"),
        ("1-2 Stomp R twice", "STU(R) STO(R) (no weight)"),
        ("1-2 Step R and swirl", "? 2 counts  # Step R and swirl"),
        ("1-2 Turn 1/4 L stepping L", "? 2 counts  # Turn 1/4 L stepping L"),
    ],
)
def test_a_line_of_counted_steps(line: str, wanted: str) -> None:
    """A turn with a count of its own is a pivot; no turn is taken for a hold; what isn't understood is a blank."""
    assert wanted == row(line)


@pytest.mark.parametrize(
    "again", ["9-16 Repeat last 8", "Repeat the last 8 counts", "9-16: Repeat counts 1-8", "9-16 Repeat 1-8"]
)
def test_counts_that_are_repeated_are_danced_again(again: str) -> None:
    """The lines on just these counts stand once more, without their facings; where none fall on them, that stays
    open."""
    source = "Weir Lane\n32 counts\n\n1-4 Vine right\n5-8 Vine left 1/4 L (9:00)\n{}\n"

    made = draft(source.format(again))
    lines = [line.split("  #")[0].strip() for line in made.text.splitlines() if line.startswith("    ")]

    assert lines == [
        "Vine, right foot",
        "Vine, left foot, turn 1/4 left, facing 9:00",
        "Vine, right foot",
        "Vine, left foot, turn 1/4 left",
    ]
    assert () == made.open
    assert draft(source.format("9-14 Repeat last 6")).open
    assert draft(source.format("9-20 Repeat last 12")).open


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("Cross shuffle to the left stepping right, left, right", ("to the left",)),
        ("Cross shuffle left stepping R L R", ("to the left",)),
        ("Shuffle right stepping right, left, right", ()),
        ("Shuffle 1/2 turn left stepping R L R", ()),
    ],
)
def test_a_side_before_the_feet_of_a_figure_is_where_it_goes(text: str, note: tuple[str, ...]) -> None:
    """Or the side of its turn, or the first foot once more; the feet behind it lead."""
    first = events(text, LINE)[0]

    assert isinstance(first, Mention) and ("R", note) == (first.feet[:1], first.note)


def test_a_turn_that_begins_a_sentence_is_that_of_the_step_behind_it() -> None:
    """`L back. 1/4 R, R to side.`: the step to the side turns."""
    said = events("Cross R over L. L back. 1/4 R, R to side. L forward.", LINE)

    assert [None, None, Turn(2, "right"), None] == [event.turn for event in said if isinstance(event, Step)]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("back L R L touch R", "S(L) S(R) S(L) TCH(R)"),
        ("fwd R L R kick L, bk L R L tch R", "S(R) S(L) S(R) K(L) S(L) S(R) S(L) TCH(R)"),
        ("side L R L scuff R", "S(L) S(R) S(L) SCUFF(R)"),
        ("R L R hitch L", "S(R) S(L) S(R) HITCH(L)"),
        ("back R touch L", "S(R) TCH(L)"),
    ],
)
def test_feet_behind_a_way_are_steps_before_the_next_movement(text: str, wanted: str) -> None:
    """A movement with a foot of its own behind several feet is none of theirs."""
    assert wanted == " ".join(steps(text))


@pytest.mark.parametrize(
    ("text", "times"), [("Toe struts R L R L", 4), ("heel struts fwd R, L", 2), ("Shuffles RLR", 1), ("Toe strut R", 1)]
)
def test_feet_behind_a_plural_are_of_each_time(text: str, times: int) -> None:
    """As many feet as `Toe struts` has behind it, so many are danced; feet in one word are of one."""
    made = [event for event in events(text, LINE) if isinstance(event, Mention)]

    assert [(each.times, each.feet[:1]) for each in made] == [(times, "R")]


@pytest.mark.parametrize(
    ("text", "turns"),
    [
        ("walk R, L turning 1/4 L on each", "LL"),
        ("walk R, walk L, 1/4 L each", "LL"),
        ("walk R, L (1/4 L on each)", "LL"),
        ("walk R L with a 1/4 L on both", "LL"),
        ("walk R, L, R (both turn 1/4 left)", "LLL"),
        ("walk R, L, R making 1/4 turn left with every step", "LLL"),
        ("shuffle R, shuffle L, 1/4 L on each", "LL"),
        ("rock R, recover L, walk R L 1/4 L on each", "--LL"),  # what is named together
        ("walk R, L turning 1/4 L", "-L"),
        ("2 shuffles turning 1/4 L on each", "L"),
        ("shuffles turning 1/4 L on each", "L"),
    ],
)
def test_a_turn_on_each_is_of_every_step_of_its_kind(text: str, turns: str) -> None:
    """`on each`, `each`, `on both` behind like steps turns all of them, whether it stands with them or behind them; a
    figure that is danced several times has its turn on each time."""
    made = [event for event in events(text, LINE) if not isinstance(event, Facing)]
    found = [event.turn for event in made if isinstance(event, Step | Mention)]
    assert len(found) == len(made)
    assert "".join("-" if one is None else one.side[0].upper() for one in found) == turns


@pytest.mark.parametrize(
    "text",
    [
        "rock R, recover L, walk R 1/4 L on each",
        "step R 1/2 L, step L 1/4 L on each",
        "walk R 1/4 L on each",
        "walk R L (1/4 L on 2nd)",
        "walk R, L (a half turn in the other direction)",
    ],
)
def test_a_turn_is_not_passed_over(text: str) -> None:
    """A turn on each of what are no like steps, or one in a bracket that is not read, is open and no remark."""
    assert any(isinstance(event, Unread) for event in events(text, LINE))


@pytest.mark.parametrize(
    ("text", "unread"), [("left, left", True), ("right, left", False), ("heel R, R", False), ("R, R back", False)]
)
def test_a_foot_alone_is_no_second_step_of_the_same_foot(text: str, unread: bool) -> None:
    """Nobody steps twice on one foot: what `left, left` is of, a bump or a tap, stands elsewhere."""
    assert any(isinstance(event, Unread) for event in events(text, LINE)) is unread


def test_every_step_without_a_turn_is_a_remark() -> None:
    """`every` asks for something only beside a turn."""
    assert draft("Osier Row\n4 counts\n\n1-4 Vine R, touch\nevery step is one count in this one\n").open == ()
