"""The floor: what a sheet may say of its groups, what is told of them, and how far the steps of a part go."""

import pytest

import stepcheck as sc
from stepcheck.books.footwork import danced
from stepcheck.formats.floorplan import plan
from stepcheck.formats.markup import strip
from stepcheck.program import groups

GROUPS = "groups: odd lines, even lines\n"
PART = "\npart A: 4 beats\n  Triple\n\ndance:\n"
APART = "  together:\n    odd lines: A\n    even lines: wait 4 beats, A\n"


def refused(text: str) -> list[tuple[str, int, str, tuple[str, ...]]]:
    """Return code, line, message and hints of what makes a sheet ill-formed."""
    found = sc.loads(text).diagnostics
    return [(one.code.name, one.span.line, one.message, one.hints) for one in found if one.code.severity == 2]


def together(*lines: str, header: str = GROUPS) -> str:
    """Return a sheet with one block of groups."""
    return header + PART + "  together:\n" + "".join(f"    {line}\n" for line in lines)


@pytest.mark.parametrize(
    ("text", "code", "line", "message"),
    [
        (together("odd lines: A", "even line: A"), "wrong-groups", 9, "there is no group even line"),
        (together("odd lines: A"), "wrong-groups", 7, "even lines has no line here"),
        (together("odd lines: A", "even lines: A", "Odd Lines: A"), "wrong-groups", 10, "Odd Lines has a line here"),
        (together("odd lines: A", header=""), "wrong-groups", 6, "the floor is not split into groups"),
        ("groups: all" + PART + "  A\n", "header-value", 1, "two groups or more"),
        ("groups: all, verse\nmusic:\n  verse 4\n" + PART + "  A\n", "header-value", 1, "'verse' is no name for"),
        ("groups: a, tempo" + PART + "  A\n", "header-value", 1, "'tempo' is no name for a group"),
        ("each section: same wall" + PART + "  A\n", "header-value", 1, "there are none"),
        (f"{GROUPS}each section: same hat{PART}  A\n", "header-value", 2, "'same hat' is nothing that holds"),
        (f"{GROUPS}odd lines: lead on{PART}  A\n", "header-value", 2, "'lead on' is nothing that a group begins with"),
        (PART + "  A\n  expect same wall\n", "wrong-groups", 7, "there are none"),
        (
            f"{GROUPS}{PART}  2 times:\n    A\n  until the music ends:\n    A\n    expect same wall\n",
            "mark-not-possible-here",
            11,
            "how often the groups meet here is open",
        ),
        (
            GROUPS
            + PART.replace("A:", "A:\n  except last time:\n    Vine")
            + "  A\n  expect same wall\n  A\n  until the music ends:\n    except last time:\n      A\n",
            "mark-not-possible-here",
            10,
            "how often the groups meet here is open",
        ),
        (
            f"{GROUPS}each section: same wall\n{PART}  A until the music ends\n",
            "mark-not-possible-here",
            7,
            "how often the groups meet here is open",
        ),
        (
            f"{GROUPS}{PART}  until the music ends:\n  {APART.replace(chr(10), chr(10) + '  ').rstrip()}\n",
            "mark-not-possible-here",
            7,
            "do not dance alike until the music ends",
        ),
        (
            f"{GROUPS}walls: 4\n{PART}  until the music ends:\n  {APART.replace(chr(10), chr(10) + '  ').rstrip()}\n".replace(
                "dance:", "dance: 32 beats"
            ),
            "walls-of-what",
            2,
            "which part the number of walls is about",
        ),
        (
            f"{GROUPS}{PART}  300 times:\n    A\n    expect same wall\n",
            "too-many-steps",
            9,
            "the groups meet more than 256 times",
        ),
    ],
)
def test_what_groups_cannot_be_is_refused_where_it_stands(text: str, code: str, line: int, message: str) -> None:
    """Each mistake about groups is one finding, with advice."""
    ((found, at, said, hints),) = refused(text)

    assert (found, at) == (code, line)
    assert message in said
    assert hints


def test_the_name_of_a_group_that_is_left_is_offered() -> None:
    """A misspelt group is put right with the one that has no line yet."""
    ((_, _, _, hints),) = refused(together("odd lines: A", "even line: A"))

    assert hints[0] == "did you mean even lines?"
    assert hints[0].patch is not None  # type: ignore[attr-defined]


def test_a_claim_that_fails_in_one_group_names_it() -> None:
    """The finding says which group dances so; the others are none of it."""
    text = (
        GROUPS
        + "\npart A: left foot\n  Triple\n\ndance:\n"
        + together("odd lines: A", "even lines: A x2").split("dance:\n")[1]
    )
    report = sc.check_text(text)
    (finding,) = report.diagnostics

    assert finding.message == "A should begin with the left foot, but the right foot is free (even lines)"


def test_two_dances_that_part_stand_side_by_side() -> None:
    """The table has both groups at the beats at which they dance, and what to do."""
    text = GROUPS + PART + APART + "  expect same beat\n"

    assert str(sc.check_text(text, path="canon.routine")).splitlines()[:6] == [
        "1. canon.routine:10:3: refuted: The groups should have danced equally long at this point, "
        "but odd lines have danced 4 beats and even lines have danced 8 beats [SR513]",
        "   beat  odd lines  free foot  facing  even lines  free foot  facing",
        "   1     Triple     right      front   hold        left       front",
        "   5                                   Triple      right      front",
        "   mend: let odd lines wait: `hold 4 beats` in their lines, or take away 4 beats of even lines",
        "   4 or 8 beats in all; ends facing front, right foot free",
    ]


def test_groups_that_stay_apart_are_one_finding() -> None:
    """Once apart, the same relation later in the dance is no finding of its own, and names the first as its cause."""
    text = GROUPS + PART + APART + "  expect same beat\n  A\n  expect same beat, same wall\n"
    report = sc.check_text(text)

    assert [finding.span.line for finding in report.diagnostics] == [10]
    assert [claim.verdict.word for claim in report.claims] == ["proved", "refuted", "refuted", "proved"]
    assert report.claims[2].sentence.endswith("look at line 10 first")


def test_each_time_of_a_repeat_is_a_meeting() -> None:
    """A block that is danced over and over is looked at each time; a fault of the second time is found."""
    turn = "  2 times:\n    together:\n      odd lines: A\n      even lines:\n        2nd time only:\n          A\n        1st time only:\n          Basic x2\n    expect {}\n"
    text = GROUPS + "book: clogging\n" + PART + turn
    made = sc.loads(text.format("same beat"))
    assert made.program is not None

    assert len(made.program.meetings) == 2
    assert sc.check(made).verdict.word == "proved"


def test_groups_begin_on_their_own_feet_and_walls() -> None:
    """A line of the header with a group's name is its start; the others begin as the header says for all."""
    text = (
        f"{GROUPS}even lines: lead right, facing back\nfacing: right wall\n{PART}"
        "  together:\n    odd lines:\n      A, left foot\n      expect facing right wall\n"
        "    even lines:\n      A, right foot\n      expect facing back\n"
    )

    assert sc.check_text(text).verdict.word == "proved"
    assert sc.check_text(text.replace("A, right foot", "A, left foot")).verdict.word == "refuted"


def test_a_repair_mends_what_one_group_dances_wrong() -> None:
    """A fix of one group's line keeps what holds between the groups, and a wait too long is taken out."""
    text = (
        f"{GROUPS}\npart A: 4 beats, left foot to right foot\n  Triple\n\ndance:\n"
        "  together:\n    odd lines: A\n    even lines:\n      Rocking Chair, left foot\n  expect right foot, same beat\n"
    )
    found = sc.repair(sc.loads(text), limit=1)
    assert len(found) == 1 and found[0].report.verdict.word == "proved"

    apart = GROUPS + PART + APART + "  expect same beat\n"
    waits = [fix.name for fix in sc.repair(sc.loads(apart))]
    assert ["line 8: wait 4 beats put in", "line 9: wait 4 beats taken out"] == waits[:2]

    left = sc.repair(sc.loads(apart), without=("wait", "times", "insert", "delete", "figure", "part"))
    assert not left.fixes and "line 10 is about several groups" in left.reason


def test_what_is_told_of_one_dance_is_that_of_the_first_group() -> None:
    """A page draws one group's dance and says whose; the step of no length with which a group begins is no figure."""
    text = f"{GROUPS}even lines: lead right\ntempo: 118\n{PART}{APART}"
    made = sc.loads(text)
    drawn = plan(made)

    assert drawn.group == "odd lines"
    assert "One dance of odd lines" in str(strip(1, drawn))
    assert [figure.name for _, figure in danced(made.program)] == ["Triple"]  # type: ignore[arg-type]


def test_claims_among_lines_that_are_out_of_place_end_in_no_error_of_ours() -> None:
    """Where the indentation puts a section's claims into one group's dance alone, the sheet is ill-formed."""
    text = (
        "groups: odd lines, even lines\neach section: same wall, same beat\nmusic:\n  verse 40\n  chorus 32\n"
        "dance:\n  verse:\n together:\n      odd lines:\n        Gate\n  chorus:\n"
    )

    assert sc.Verdict.ILL_FORMED is sc.check_text(text).verdict


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


def test_each_pass_that_is_danced_comes_back() -> None:
    """Times that are named, and those that a part inside comes to, are judged where they come; a cut pass is none."""
    text = (
        f"{HEAD}part Half: left foot\n  Ford, 3 steps right\n  Ford, 3 steps left\n  {{}} time only:\n"
        "    Ford, 3 steps right\n    Ford, on the spot\n\npart A: returns\n  {}\n\ndance:\n  {}\n"
    )

    def ends(time: str, lines: str, dance: str) -> list[str]:
        report = sc.check_text(text.format(time, lines, dance))
        return [one.sentence for one in report.claims if one.kind == "spot"]

    back, off = (
        ["A comes back to where it began"],
        ["A should come back to where it began, but comes 3 steps right of it"],
    )
    for time, dance in (
        ("2nd", "A x2"),
        ("every 2nd", "A until the music ends"),
        ("last", "A\n  A"),
        ("2nd", "Half\n  A"),
    ):
        assert off == ends(time, "Half", dance)
    assert off == ends("every 2nd", "Half x2", "A")
    for time, dance in (("2nd", "A"), ("3rd", "A x2"), ("2nd", "A\n  A, first 1 count"), ("2nd", "Half x2\n  A")):
        assert back == ends(time, "Half", dance)
    assert back == ends("2nd", "Half", "Half")  # a part that is never danced is in its first time


def test_the_end_of_the_music_parts_no_turn_where_the_groups_are_compared() -> None:
    """A last pass may be cut inside a turn, since nothing follows; the claims about the groups do."""
    text = (
        "book: line\ngroups: odd, even\n{}\nfigures:\n  Spin, 4 counts, turn 1/4 right{}: S S S S\n\npart A:\n  Spin x2\n\n"
        "dance: 15 counts\n  together:\n    odd:\n      hold 1 count\n    even:\n      hold 5 counts\n  A until the music ends\n"
    )

    def found(closing: str, beat: str = "") -> list[str]:
        report = sc.check_text(text.format(closing, beat))
        return [one.code.name for one in report.diagnostics if one.code.severity is sc.Severity.ERROR]

    assert ["cut-splits-a-turn"] == found("each section: same wall\n")
    assert [] == found("")
    assert ["groups-differ"] == found("each section: same wall\n", " @4")


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
