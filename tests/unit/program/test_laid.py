"""Questions about a body that is laid out, and how far the steps of a part go."""

import pytest

import stepcheck as sc
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import Choice, Pass, Repeat, Rest, Weight
from stepcheck.program import groups
from stepcheck.program.laid import EITHER_FOOT, first_weights, passes
from tests.programs import BACK, Maker, step


def one(name: str, *body: object) -> Pass:
    """Return a pass of a part."""
    return Pass(1, name, 0, body)  # type: ignore[arg-type]


def test_the_passes_of_a_body_are_counted_by_part() -> None:
    """Those in passes and of each time of a repeat, too; of a blank number of times one."""
    inner = one("Inner", Rest(1, 12))
    body = (one("Outer", inner, inner), Repeat(1, 5, (inner, Repeat(1, 3, (inner,)))), Repeat(1, None, (inner,)))

    assert {"outer": 1, "inner": 2 + 5 + 15 + 1} == passes(body, {})
    assert {} == passes((Repeat(1, 2, (Rest(1, 12),)),), {})


def heading(line: int, foot: int, *inner: object) -> tuple[object, ...]:
    """Return what is laid of a heading of counts that names a foot."""
    counts, lead = Claim(f"n{line}", Kind.COUNTS, line, "counts"), Claim(f"f{line}", Kind.LEAD, line, "foot")
    return (
        Check(line, counts, Test.CLOCK, 0),
        Check(line, lead, Test.LEAD, foot),
        *inner,
        Check(line, counts, Test.CLOCK, 12),
    )


def test_the_foot_of_a_heading_is_that_of_its_first_line() -> None:
    """Where nothing is danced under it, the next heading names the foot, and where nothing names one, it may be
    either."""
    left, right = (Weight.RIGHT,), (Weight.LEFT,)
    none = frozenset[int]()

    assert left == first_weights((*heading(5, 0, step(BACK)), *heading(7, 1, step(BACK))), none)
    assert right == first_weights((*heading(5, 0), *heading(7, 1, step(BACK))), none)
    assert right == first_weights((*heading(5, 0, Rest(1, 12)), *heading(7, 1, step(BACK))), none)
    assert left == first_weights((*heading(7, 0, *heading(5, 1)[:1], step(BACK)), *heading(9, 1, step(BACK))), none)
    assert EITHER_FOOT == first_weights((step(BACK), *heading(7, 1, step(BACK))), none)
    assert EITHER_FOOT == first_weights((*heading(5, 0), *heading(7, 1)), none)


def test_the_first_foot_behind_alternatives_is_that_of_all() -> None:
    """An alternative in which nothing is danced leads on to what stands right behind it."""
    maker = Maker()
    lead, other = maker.check(Test.LEAD, 0), maker.check(Test.LEAD, 1)
    none = frozenset[int]()

    assert (Weight.RIGHT,) == first_weights((Choice(1, None, ((), ())), lead, step(BACK)), none)
    assert (Weight.RIGHT,) == first_weights((Choice(1, None, ((), (lead, step(BACK)))), lead, step(BACK)), none)
    assert EITHER_FOOT == first_weights((Choice(1, None, ((), (other, step(BACK)))), lead, step(BACK)), none)
    assert (Weight.RIGHT,) == first_weights((Rest(1, 12), Choice(1, None, ((), ())), lead, step(BACK)), none)
    assert (Weight.RIGHT,) == first_weights((Rest(1, 12), Choice(1, None, ((), ())), lead, other, step(BACK)), none)


HEAD = "book: line\nlead: left\nfigures:\n  Ford, 1 step right: S\n  Tow, turn 1/4 left, 2 steps forward: S S\n  Quay: S\n\n"


def spot(lines: str, claim: str = "left foot, returns") -> sc.ClaimReport:
    """Return what is said of where a part ends."""
    body = "".join(f"  {line}\n" for line in lines.split("; "))
    report = sc.check_text(f"{HEAD}part A: {claim}\n{body}\ndance:\n  A\n")
    (found,) = (one for one in report.claims if one.kind == "spot")
    return found


@pytest.mark.parametrize(
    ("lines", "verdict", "said"),
    [
        ("Ford; Ford", "proved", "A comes back to where it began"),
        ("Ford x3", "refuted", "A should come back to where it began, but comes 1 step right of it"),
        ("Tow, 1 step back", "refuted", "A should come back to where it began, but comes 1 step back of it"),
        (
            "Ford, turn 1/8 left, on the spot; Ford, 3 steps forward",
            "refuted",
            "A should come back to where it began, but comes 3 steps forward left of it",
        ),
        ("Quay; Quay", "undecided", "Whether A comes back to where it began is open"),
        ("Tow, turn 1/2 left", "undecided", "Whether A comes back to where it began is open"),
        ("Tow, turn 1/2 left, on the spot", "proved", "A comes back to where it began"),
        ("Ford, turn ?", "undecided", "Whether A comes back to where it began is open"),
        ("Ford | Ford, on the spot", "refuted", "A should come back to where it began, but comes 1 step right of it"),
        (
            "400 times:;   Ford, on the spot;   Ford, on the spot",
            "undecided",
            "Whether A comes back to where it began is open",
        ),
    ],
)
def test_where_a_part_ends_is_said_in_steps(lines: str, verdict: str, said: str) -> None:
    """What is not said is open, not nothing; a place is told as one sees it who faces as the part began."""
    found = spot(lines)

    assert (found.verdict.word, found.sentence) == (verdict, said)
    assert found.reason == ("travel" if verdict == "undecided" else "")


def test_the_figures_that_a_claim_waits_on_are_named() -> None:
    """Each figure of which nobody says how far it goes is named once, with what to write."""
    text = f"{HEAD}part A: within 2 steps\n  Quay x2\n  Vine\n\ndance:\n  A\n"
    (finding,) = (one for one in sc.check_text(text).diagnostics if one.code.name == "way-unknown")

    assert finding.message.endswith(": nobody says how far Quay and Vine go")
    assert "`on the spot`" in finding.hints[0]


def test_a_circle_is_left_in_the_middle_of_a_part() -> None:
    """The dance is shown up to the figure that leads too far away, whatever comes after."""
    text = (
        f"{HEAD}part A: left foot, within 2 steps\n  Tow\n  Ford, 1 step right\n  Ford, 9 steps left\n\ndance:\n  A\n"
    )
    (finding,) = (one for one in sc.check_text(text).diagnostics if one.code.name == "off-its-spot")

    assert finding.message == ("A should keep within 2 steps of where it began, but comes 3 steps forward of it")
    assert [row.figure for row in finding.rows[0]] == ["Tow", "Ford"]


def test_how_far_a_part_goes_is_said_by_its_lines() -> None:
    """A way written on a line that dances a part is refused there."""
    found = sc.loads(f"{HEAD}part A:\n  Ford\n\ndance:\n  A, 2 steps right\n").diagnostics

    assert [(one.code.name, one.span.line) for one in found] == [("mark-not-possible-here", 12)]


def test_a_part_inside_and_its_mirror_image_lead_on_from_where_they_stand() -> None:
    """A part danced from a part goes on in its place and facing; mirrored, its ways and turns go to the other side."""
    text = (
        f"{HEAD}part A: left foot\n  Ford, 2 steps right\n  Quay, 1 step forward, turn 1/4 right\n\n"
        "part B: left foot, returns\n  A\n  {}\n  Quay, {}\n\ndance:\n  B\n"
    )

    def ends(again: str, last: str) -> list[str]:
        return [one.verdict.word for one in sc.check_text(text.format(again, last)).claims if one.kind == "spot"]

    # to the right 2, forward 1; then, facing right: aside 2 towards the back or the front, and 1 further to the right
    assert ends("A", "1 step forward") == ["refuted"]
    assert ends("A\n  Quay, 3 steps right", "1 step back") == ["proved"]
    assert ends("A, mirrored\n  Quay, 3 steps back", "3 steps right") == ["refuted"]
    assert ends("A, mirrored\n  Quay, 3 steps left", "3 steps back") == ["proved"]


FLOOR = """book: line
lead: left
groups: odd lines, even lines
{start}

figures:
  Ford, 1 step right: S
  Quay: S

part A: left foot
  Ford

dance:
  together:
    odd lines: {odd}
    even lines: {even}
  expect never meet
"""


@pytest.mark.parametrize(
    ("start", "odd", "even", "said"),
    [
        ("even lines: start 1 step left", "A", "Quay, on the spot", "proved: The groups never meet up to this point"),
        (
            "even lines: start 1 step right",
            "A",
            "Quay, on the spot",
            "refuted: The groups should never meet up to this point, but odd lines and even lines both stand 1 step right"
            " of the middle after 1 beat",
        ),
        (
            "even lines: start 1 step right, start 1 step to the left",
            "A",
            "A",
            "refuted: The groups should never meet up to this point, but odd lines and even lines both stand in the middle"
            " after 0 beats",
        ),
        (
            "even lines: start 2 steps back",
            "Quay",
            "A",
            "undecided: Whether the groups never meet up to this point is open: nobody says how far Quay goes",
        ),
        (
            "even lines: start 2 steps back",
            "Ford x601",
            "A",
            "undecided: Whether the groups never meet up to this point is open: there are more steps than are followed",
        ),
    ],
)
def test_whether_groups_meet_is_said_with_place_and_time(start: str, odd: str, even: str, said: str) -> None:
    """Where two stand on one place, and when, is told as all see it who face the front; what is not known is open."""
    report = sc.check_text(FLOOR.format(start=start, odd=odd, even=even))
    (claim,) = (one for one in report.claims if one.kind == "never meet")
    finding = next((one.message for one in report.diagnostics if one.claim == claim.id), claim.sentence)

    assert f"{claim.verdict.word}: {finding}" == said


def test_a_place_that_nobody_knows_is_asked_for() -> None:
    """One group may leave its place out, since places are counted from it; of two nobody knows whether they are apart."""
    for start in ("odd lines: lead right", "even lines: start somewhere"):
        found = sc.check_text(FLOOR.format(start=start, odd="A", even="A")).diagnostics
        asked = next(one for one in found if "say" in one.message or "nothing that a group" in one.message)
        assert "start 2 steps forward" in str(asked.hints[-1])


@pytest.mark.parametrize(
    ("line", "times", "open_"), [("Ford", 1000, [False, True]), ("Ford", 250, [False]), ("Quay", 1000, [True])]
)
def test_of_many_meetings_the_last_that_can_be_followed_is_found_among_few(
    monkeypatch: pytest.MonkeyPatch, line: str, times: int, open_: list[bool]
) -> None:
    """Of a thousand places at which groups should never meet, the steps before a dozen are looked at: behind one that
    can't be followed none can be."""
    asked: list[object] = []
    steps = groups.steps_alone
    monkeypatch.setattr(groups, "steps_alone", lambda body, **rest: asked.append(body) or steps(body, **rest))
    sheet = FLOOR.format(start="even lines: start 9 steps back", odd="A", even=line)
    block = sheet[sheet.index("  together:") :]
    many = sheet.replace(block, f"  {times} times:\n" + "".join(f"  {one}\n" for one in block.splitlines()))
    program = sc.loads(many).program
    assert program is not None and len(asked) <= 2 * 10 + 2 * 2
    assert open_ == [bool(one.unknown) for one in program.meetings]
