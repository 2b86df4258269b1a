"""From outcomes to findings in dance words."""

import pytest
from attrs import evolve

from stepcheck.language.parser import parse
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import Foot, Pass, Program, Step, Walls, Weight, Word
from stepcheck.model.findings import CODES, TraceRow
from stepcheck.model.outcome import Outcome, Replay, Row, Trace, Verdict
from stepcheck.model.source import Source, Span
from stepcheck.report import pipeline
from stepcheck.report.pipeline import check_text
from stepcheck.report.sentences import explain, sentence
from stepcheck.report.wording import KINDS, Scene, _walls, scene

SHEET = """\
routine: Copper Ladle
book: clogging
walls: 4

figures:
  Mill Wheel, 4 beats: DS DS RS

part Chorus: 32 beats, front to back, 1/2 turn left, left foot to left foot
  Triple, right foot
  expect facing back
  Basic x2
  counts 9-16, facing 9:00:
    Triple | Basic
  expect left foot

dance:
  verse: Chorus
  expect both feet
"""


def claim(kind: Kind, line: int, text: str = "", **more: object) -> Claim:
    """Return a claim of a kind at a line of the sheet."""
    return Claim(f"c{line}", kind, line, text or kind.value, **more)  # type: ignore[arg-type]


def stage(
    kind: Kind, line: int, test: Test | None, value: int | None, text: str = "", book: str = "clogging", **more: object
) -> Scene:
    """Return the sheet with a program of one claim."""
    said = claim(kind, line, text, **more)
    body = (Pass(17, "Chorus", 0, (Check(line, said, test, value),)),) if test else ()
    walls = Walls(said, value or 0, ()) if kind is Kind.WALLS else None
    words = (Word("stomp", ("takes weight", "no weight"), 0),)
    sheet, _ = parse(Source("kettle.routine", SHEET.replace("clogging", book)))
    return scene(sheet, Program(Foot.LEFT, 0, body, (said,), walls=walls, words=words))


def replay(found: int, expected: int | None = None, line: int = 0, **more: object) -> Replay:
    """Return a replay that found something, by default with two steps before it."""
    steps = (
        Row(96, 48, 9, "Triple", Foot.LEFT, Weight.RIGHT, Weight.LEFT, 4, 4),
        Row(144, 24, 11, "Basic", Foot.RIGHT, Weight.LEFT, Weight.RIGHT, 4, 6, times=2),
    )
    return Replay(**{"rows": steps, "line": line, "test": None, "expected": expected, "found": found, **more})  # type: ignore[arg-type]


def said(view: Scene, *replays: Replay, verdict: Verdict = Verdict.REFUTED) -> str:
    """Return the sentence for the scene's claim."""
    return sentence(view, view.program.claims[0], verdict, replays)


CASES = [
    (
        Kind.LEAD,
        8,
        Test.LEAD,
        0,
        "left foot",
        Weight.LEFT,
        "Chorus begins with the left foot",
        "Chorus should begin with the left foot, but the right foot is free",
    ),
    (
        Kind.LEAD,
        9,
        Test.LEAD,
        1,
        "right foot",
        Weight.RIGHT,
        "Triple begins with the right foot",
        "Triple should begin with the right foot, but the left foot is free",
    ),
    (
        Kind.FOOT,
        14,
        Test.FOOT,
        0,
        "left foot",
        Weight.LEFT,
        "Chorus ends with the left foot free",
        "Chorus should end with the left foot free, but the right foot is free",
    ),
    (
        Kind.BOTH,
        18,
        Test.BOTH,
        None,
        "both feet",
        Weight.RIGHT,
        "The dance ends on both feet",
        "The dance should end on both feet, but the left foot is free",
    ),
    (
        Kind.STAND,
        9,
        Test.BOTH,
        None,
        "both feet",
        Weight.RIGHT,
        "Triple begins on both feet",
        "Triple should begin on both feet, but the left foot is free",
    ),
    (
        Kind.FACING,
        10,
        Test.FACING,
        4,
        "facing back",
        6,
        "Chorus faces back at this point",
        "Chorus should face back at this point, but faces the left wall",
    ),
    (
        Kind.FACING,
        12,
        Test.FACING,
        6,
        "facing 9:00",
        0,
        "The phrase counts 9-16 ends facing the left wall",
        "The phrase counts 9-16 should end facing the left wall, but ends facing front",
    ),
    (
        Kind.LENGTH,
        8,
        Test.CLOCK,
        384,
        "32 beats",
        372,
        "Chorus lasts 32 beats",
        "Chorus should last 32 beats, but lasts 31 beats",
    ),
    (
        Kind.COUNTS,
        12,
        Test.CLOCK,
        96,
        "counts 9-16",
        84,
        "The phrase counts 9-16 holds 8 counts of steps",
        "The phrase counts 9-16 should begin after 8 counts, but begins after 7 counts",
    ),
    (
        Kind.TURN,
        8,
        Test.TURN,
        -4,
        "1/2 turn left",
        4,
        "Chorus makes 1/2 turn left in all",
        "Chorus should make 1/2 turn left in all, but makes 1/2 turn right",
    ),
    (
        Kind.TURN,
        8,
        Test.EITHER,
        4,
        "1/2 turn",
        2,
        "Chorus makes 1/2 turn to one side in all",
        "Chorus should make 1/2 turn to one side in all, but makes 1/4 turn right",
    ),
    (
        Kind.NET,
        8,
        Test.FACING,
        4,
        "front to back",
        2,
        "Chorus turns as from front to back",
        "Chorus should go from front to back, but ends 1/4 turn right of where it began",
    ),
    (
        Kind.SECTION,
        17,
        Test.CLOCK,
        384,
        "verse 32",
        396,
        "The section verse is filled: 32 beats",
        "The section verse should be danced for 32 beats, but is danced for 33 beats",
    ),
    (
        Kind.FIGURE,
        6,
        None,
        None,
        "4 beats",
        36,
        "Mill Wheel lasts 4 beats",
        "Mill Wheel should last 4 beats, but its movements last 3 beats",
    ),
    (
        Kind.WALLS,
        3,
        None,
        4,
        "walls: 4",
        4,
        "The dance has 4 walls",
        "The dance should have 4 walls, but a pass ends 1/2 turn from where it began, which makes 2 walls",
    ),
]


@pytest.mark.parametrize(("kind", "line", "test", "value", "text", "found", "proved", "refuted"), CASES)
def test_every_claim_has_two_sentences(
    kind: Kind, line: int, test: Test | None, value: int | None, text: str, found: int, proved: str, refuted: str
) -> None:
    """A claim that holds and one that fails are said in dance words, the claim first, with what was found."""
    view = stage(kind, line, test, value, text)

    assert proved == said(view, verdict=Verdict.PROVED)
    assert refuted == said(view, replay(found, value))


def test_dances_that_differ_are_both_said() -> None:
    """Where the claim is that all dances agree, the refutation names what two of them come to."""
    alternatives, turns, walls = (
        stage(Kind.ALTERNATIVES, 13, None, None),
        stage(Kind.TURN, 8, Test.EITHER, 2),
        stage(Kind.WALLS, 3, None, 4),
    )

    assert "The alternatives of this line should last equally long, but last 4 beats or 2 beats" == said(
        alternatives, replay(48), replay(24)
    )
    assert said(turns, replay(2), replay(-2)).endswith("but makes 1/4 turn right or 1/4 turn left")
    assert said(walls, replay(2), replay(0)).endswith(
        "but one pass ends 1/4 turn right of where it began and another where it began"
    )


def test_a_heading_of_counts_says_which_end_is_wrong() -> None:
    """Where a heading's own counts are not filled, the sentence is about those, not about the counts before it."""
    view = stage(Kind.COUNTS, 12, Test.CLOCK, 96, "counts 9-16")

    assert "The phrase counts 9-16 should hold 8 counts, but holds 7 counts" == said(view, replay(180, 192))


def test_a_heading_whose_end_is_not_danced_says_so() -> None:
    """The dance may come to a heading of counts and not to its end."""
    (finding,) = explain(stage(Kind.COUNTS, 12, Test.CLOCK, 96, "counts 9-16"), (Outcome("c12", Verdict.VACUOUS),), {})

    assert finding.message.endswith("holds 8 counts of steps is never tested: the dance never comes to its end")


def test_line_dancers_read_the_clock() -> None:
    """In a line-dance sheet walls are clock times, in sentences and in the table."""
    view = stage(Kind.FACING, 10, Test.FACING, 4, book="line")
    (finding,) = explain(view, (Outcome("c10", Verdict.REFUTED),), {"c10": (replay(6, 4),)})

    assert "Chorus should face 6:00 at this point, but faces 9:00" == finding.message
    assert ("6:00", "9:00") == finding.rows[0][-1].facings


def test_a_claim_about_one_time_says_which() -> None:
    """A contract's sentence about the 2nd time has it in its subject."""
    assert "Chorus (2nd time) should last 40 beats, but lasts 32 beats" == said(
        stage(Kind.LENGTH, 8, Test.CLOCK, 480, time=2), replay(384, 480)
    )


def test_undecided_and_vacuous_have_words_of_their_own() -> None:
    """What is not decided is neither failure nor proof, and what is never reached says so."""
    view = stage(Kind.FOOT, 14, Test.FOOT, 0)
    finding = {
        reason: explain(view, (Outcome("c14", Verdict.UNDECIDED, reason=reason),), {})[0]
        for reason in ("blank", "budget")
    }
    (vacuous,) = explain(view, (Outcome("c14", Verdict.VACUOUS),), {})

    assert "Whether Chorus ends with the left foot free is open: it waits on a blank" == finding["blank"].message
    assert "neither a failure nor a proof" in finding["budget"].message
    assert ("SR701", "SR702", "SR601") == (finding["blank"].code.id, finding["budget"].code.id, vacuous.code.id)
    assert "That Chorus ends with the left foot free is never tested: the dance never comes here" == vacuous.message
    assert ("let the dance come that far, or take `free foot` out",) == vacuous.hints
    assert ("fill the blank: stepcheck fill kettle.routine",) == finding["blank"].hints
    timed = stage(Kind.LENGTH, 8, Test.CLOCK, 480, "3rd time 40 beats", time=3)
    assert CODES["time-never-comes"] is explain(timed, (Outcome("c8", Verdict.VACUOUS),), {})[0].code


def test_a_turn_that_only_opposite_passes_dance_says_why_it_is_not_tested() -> None:
    """Written turns stay with `opposite foot`, so a part that is danced with it only says that, and what to write."""
    text = "book: clogging\npart A: 8 beats, {}\n  Triple, turn 1/2 left\n  Triple\ndance:\n  A, opposite foot\n  {}\n"
    for claims in ("front to back", "1st time 1/2 turn left"):
        (finding,) = check_text(text.format(claims, "Triple")).diagnostics
        assert "SR601" == finding.code.id and "A is danced with `opposite foot` only" in finding.message
        assert "write `mirrored`" in finding.hints[0].text
    assert ["SR813"] == [one.code.id for one in check_text(text.format("front to back", "A")).diagnostics]


def test_a_group_is_no_section() -> None:
    """A line of a group is the group's, and a label of the music is a section."""
    text = "book: clogging\ngroups: odd lines, even lines\nmusic:\n  verse 4\ndance:\n  verse:\n    together:\n      odd lines: Triple, right foot\n      even lines:\n        Triple\n"
    (finding,) = check_text(text).diagnostics
    assert finding.message.startswith("Odd lines should begin with the right foot")


def test_a_claim_of_one_time_names_the_time_once() -> None:
    """The time stands with the part, and not with the walls as well."""
    text = "book: clogging\npart A: 4 beats, 2nd time front to back\n  Triple\ndance:\n  A x2\n"
    (finding,) = check_text(text).diagnostics
    assert finding.message.startswith("A (2nd time) should go from front to back")


def test_the_table_counts_and_faces_as_the_part_does() -> None:
    """Beats and walls of the table are those of the pass in which the claim fails, and the last step is marked."""
    view = stage(Kind.FOOT, 14, Test.FOOT, 0)
    inside = replay(Weight.LEFT, 0, parts=(("Chorus", 17, 2),), starts=((96, 4),))
    (finding,) = explain(view, (Outcome("c14", Verdict.REFUTED, places=1),), {"c14": (inside,)})

    expected = (
        TraceRow("1", 9, "Triple", ("left", "right"), ("front", "front")),
        TraceRow("5", 11, "Basic", ("right", "left"), ("front", "right wall"), 2, True),
    )
    assert (expected,) == finding.rows


def test_a_part_begun_wrongly_shows_the_steps_before_it() -> None:
    """A finding at the start of a pass shows what led there, counted from the start of the dance."""
    view = stage(Kind.LEAD, 8, Test.LEAD, 0, "left foot")
    begun = replay(Weight.LEFT, 0, line=17, parts=(("Chorus", 17, 2),), starts=((192, 0),))
    (finding,) = explain(view, (Outcome("c8", Verdict.REFUTED),), {"c8": (begun,)})

    assert ["9", "13"] == [row.beat for row in finding.rows[0]]
    assert 17 == finding.span.line
    expected = (
        (Span(8, 1, 8, 76), "the claim: left foot"),
        (Span(17, 3, 17, 16), "in Chorus, the 2nd time that it is danced"),
    )
    assert expected == finding.related


def test_time_that_was_put_right_starts_the_table_afresh() -> None:
    """Where a wrong length was taken as put right, steps from before are not mixed with those after it."""
    view = stage(Kind.FOOT, 14, Test.FOOT, 0)
    late = Row(120, 48, 9, "Triple", Foot.LEFT, Weight.RIGHT, Weight.LEFT, 0, 0)
    again = replay(Weight.LEFT, 0, parts=(("Chorus", 17, 1),), starts=((96, 0),))
    mixed = Replay((late, *again.rows), 14, None, 0, 0, again.parts, 168, again.starts)
    (finding,) = explain(view, (Outcome("c14", Verdict.REFUTED),), {"c14": (mixed,)})

    assert ["1", "5"] == [row.beat for row in finding.rows[0]]


def test_a_finding_says_which_readings_it_takes() -> None:
    """Where a claim fails only under another reading of a word, the word and the reading are named."""
    view = stage(Kind.FOOT, 14, Test.FOOT, 0)
    outcome = Outcome("c14", Verdict.REFUTED, (Trace(words=(1,)),))
    (finding,) = explain(view, (outcome,), {"c14": (replay(Weight.LEFT, 0),)})

    assert "when stomp is read as: no weight" in [about for _, about in finding.related]


def test_programs_get_values_not_only_words() -> None:
    """Arguments hold what was expected and found, in words and as numbers with their unit."""
    view = stage(Kind.LENGTH, 8, Test.CLOCK, 384, "32 beats")
    (finding,) = explain(view, (Outcome("c8", Verdict.REFUTED),), {"c8": (replay(372, 384),)})

    expected = {
        "subject": "Chorus",
        "kind": "length",
        "expected": "32 beats",
        "expected_value": 384,
        "found": "31 beats",
        "found_values": (372,),
        "unit": "ticks",
    }
    assert expected == dict(finding.args)


@pytest.mark.parametrize(
    ("kind", "line", "test", "value", "found", "hints"),
    [
        (Kind.LENGTH, 8, Test.CLOCK, 384, 372, ("add 1 beat", "or write `31 beats`")),
        (Kind.COUNTS, 12, Test.CLOCK, 96, 108, ("take away 1 count",)),
        (Kind.LENGTH, 8, Test.CLOCK, 384, 0, ("add 32 beats", "or take the claim out")),
        (
            Kind.TURN,
            8,
            Test.TURN,
            -4,
            -4,
            ("put the facing right that fails before here; it may be all that is wrong",),
        ),
        (Kind.FACING, 14, Test.FACING, 4, 6, ("turn 1/4 left more before here", "or write `facing left wall`")),
        (
            Kind.TURN,
            8,
            Test.TURN,
            -4,
            4,
            ("turn once left more", "or write `1/2 turn right`", "or write `front to back`, where both ways lead"),
        ),
        (Kind.TURN, 8, Test.EITHER, 8, -6, ("turn 1/4 left more", "or write `3/4 turn left`")),
        (
            Kind.FOOT,
            14,
            Test.FOOT,
            0,
            2,
            ("change which foot takes the last weight before here", "or write `both feet` here"),
        ),
        (
            Kind.STAND,
            9,
            Test.BOTH,
            None,
            0,
            (
                "come onto both feet before here",
                "or write `right foot` here",
                "how it ends is a line of its own below it: `expect both feet`",
            ),
        ),
        (Kind.BOTH, 18, Test.BOTH, None, 0, ("end on a movement that takes both feet", "or write `right foot` here")),
        (Kind.ALTERNATIVES, 13, None, None, 48, ("make all of them last equally long",)),
        (Kind.WALLS, 3, None, 4, 4, ("let every pass end 1/4 turn from where it began", "or write `walls: 2`")),
        (Kind.WALLS, 3, None, 1, -2, ("let every pass end where it began", "or write `walls: 4`")),
        (Kind.WALLS, 3, None, 3, 6, ("write `walls: 4`",)),
        (Kind.SECTION, 17, Test.CLOCK, 384, 0, ("add 32 beats", "or take the section out of the music")),
        (Kind.LENGTH, 8, Test.CLOCK, 384, 12 * 10**9, ("take away 999999968 beats", "or write `1000000000 beats`")),
        (Kind.LENGTH, 8, Test.CLOCK, 384, 12 * 10**9 + 12, ()),
        (Kind.TURN, 8, Test.TURN, 8, -8 * 10**9 - 8, ()),
    ],
)
def test_hints_mend_either_the_steps_or_the_sentence(
    kind: Kind, line: int, test: Test | None, value: int | None, found: int, hints: tuple[str, ...]
) -> None:
    """Both sides are offered, since the sheet's sentence may be the wrong one; nothing that no sheet can say is."""
    view = stage(kind, line, test, value)
    (finding,) = explain(view, (Outcome(f"c{line}", Verdict.REFUTED),), {f"c{line}": (replay(found, value),)})

    assert hints == finding.hints


@pytest.mark.parametrize(
    ("header", "line", "hint"),
    [
        ("", "A", "begin the dance on it: `lead: left` in the header"),
        ("lead: left\n", "A, opposite foot", "begin the dance on it: `lead: right` in the header"),
        ("groups: odds, evens\nodds: lead left\n", "A", "begin the dance on it: `evens: lead left` in the header"),
    ],
)
def test_a_foot_at_the_start_of_the_dance_is_that_of_the_header(header: str, line: str, hint: str) -> None:
    """Where nothing is danced before, no weight can be changed there: the header says which foot leads."""
    text = f"routine: X\nbook: line\n{header}\npart A:\n  Vine, left foot\n\ndance:\n  {line}\n"
    report = check_text(text, engine="walk")
    (found,) = (one for one in report.diagnostics if one.code.name == "foot-not-free")

    assert hint == found.hints[0]
    key, _, value = hint.split("`")[1].partition(": ")
    other = text.replace("lead: left\n", "") if not header.startswith("groups") else text
    mended = check_text(other.replace("\n\npart", f"\n{key}: {value}\n\npart", 1), engine="walk")
    assert "foot-not-free" not in [one.code.name for one in mended.diagnostics]
    other = (
        f"routine: X\nbook: line\n{header}\npart A: left foot\n  Vine, right foot\n\npart B:\n  Vine\n\ndance:\n  B\n"
    )
    spare = check_text(other, engine="walk")
    (found,) = (one for one in spare.diagnostics if one.code.name == "foot-not-free")
    assert "change which foot takes the last weight before here" == found.hints[0]  # where the header does not reach


@pytest.mark.parametrize(
    ("line", "offered"), [("A, 4 counts", True), ("A x2, 4 counts", False), ("A, 9 counts", False)]
)
def test_a_part_that_should_last_less_may_be_cut_short(line: str, offered: bool) -> None:
    """`A, 4 counts` claims that A lasts 4 counts; what may be meant is that so much of it is danced."""
    text = f"routine: X\nbook: line\n\npart A:\n  Vine x2\n\ndance:\n  {line}\n"
    report = check_text(text, engine="walk")
    hints = [hint for one in report.diagnostics if one.code.name == "wrong-length" for hint in one.hints]
    cuts = [hint for hint in hints if hint == "or write `first 4 counts`, which cuts it short"]

    assert hints and offered == bool(cuts)
    for hint in cuts:
        assert check_text(hint.patch.applied(Source("x", text)), engine="walk").exit_status == 0


def test_the_tables_cover_every_kind_of_claim() -> None:
    """Every kind has sentences, a code of its own and a unit; refuted sentences say that something should be so."""
    codes = {said.code for said in KINDS.values()}
    assert set(Kind) == set(KINDS)
    # both feet have one code, at the start as at the end, and what holds between groups has one
    assert len(Kind) - 4 == len(codes)
    assert codes <= set(CODES)
    pairs = [pair for said in KINDS.values() for pair in ((said.proved, said.refuted), said.midway) if pair]
    for proved, refuted in pairs:
        assert " should " in refuted and " should " not in proved


def test_proved_claims_have_no_finding_and_findings_come_in_order() -> None:
    """Only what is not proved is a finding; each stands at its line, in the order of the sheet."""
    one, two = claim(Kind.LENGTH, 14), claim(Kind.FOOT, 9)
    sheet, _ = parse(Source("kettle.routine", SHEET))
    view = scene(sheet, Program(Foot.LEFT, 0, (), (one, two)))

    assert () == explain(view, (Outcome("c14", Verdict.PROVED),), {})
    found = explain(view, (Outcome("c14", Verdict.REFUTED), Outcome("c9", Verdict.REFUTED)), {})
    assert [9, 14] == [finding.span.line for finding in found]


@pytest.mark.parametrize(
    ("text", "line", "want", "found", "hint"),
    [
        ("left foot", 0, 0, Weight.LEFT, "or write `right foot` here"),
        ("left foot", 14, 0, Weight.LEFT, "or write `right foot` on line 8"),
        ("left foot", 14, 0, Weight.BOTH, "or write `both feet` on line 8"),
        ("left foot", 14, 1, Weight.RIGHT, "or write `right foot` on line 8"),
    ],
)
def test_a_foot_is_put_right_where_it_is_written(text: str, line: int, want: int, found: Weight, hint: str) -> None:
    """A contract's foot is on the part's line, whatever the occurrence; danced with the opposite foot, it is the other
    one."""
    view = stage(Kind.LEAD, 8, Test.LEAD, want, text)
    (finding,) = explain(view, (Outcome("c8", Verdict.REFUTED),), {"c8": (replay(found, want, line),)})

    assert hint == finding.hints[1]
    assert (want == 1) is any("every foot of line 8 is the other one" in one for one in finding.hints)


@pytest.mark.parametrize(
    ("path", "word"),
    [("kettle.routine", "kettle.routine"), ("my kettle.routine", "'my kettle.routine'"), ("<stdin>", "-")],
)
def test_a_command_that_is_advised_can_be_typed(path: str, word: str) -> None:
    """A path with a space is quoted for the shell, and a sheet from stdin is called as the command calls it."""
    body = (Pass(17, "Chorus", 0, (Check(14, claim(Kind.FOOT, 14), Test.FOOT, 0),)),)
    sheet, _ = parse(Source(path, SHEET))
    view = scene(sheet, Program(Foot.LEFT, 0, body, (claim(Kind.FOOT, 14),)))
    (finding,) = explain(view, (Outcome("c14", Verdict.UNDECIDED, reason="blank"),), {})

    assert (f"fill the blank: stepcheck fill {word}",) == finding.hints


def test_passes_that_differ_have_no_number_of_walls() -> None:
    """Where one pass ends elsewhere than another, no number is offered."""
    view = stage(Kind.WALLS, 3, None, 4)
    (finding,) = explain(view, (Outcome("c3", Verdict.REFUTED),), {"c3": (replay(2, 4), replay(4, 4))})

    assert ("let every pass end 1/4 turn from where it began",) == finding.hints


@pytest.mark.parametrize(
    ("text", "want", "found", "hints"),
    [
        ("front to back", 4, 2, ("turn 1/4 right more", "or write `front to right wall`")),
        ("9:00 to 3:00", 4, 6, ("turn 1/4 left more", "or write `9:00 to 6:00`")),
        ("right wall to front", -2, 0, ("turn 1/4 left more", "or write `right wall to right wall`")),
    ],
)
def test_a_change_of_facing_is_mended_on_either_side(text: str, want: int, found: int, hints: tuple[str, ...]) -> None:
    """The turn that is missing, or the walls that it goes between, in the words that the sheet has for walls."""
    view = stage(Kind.NET, 8, Test.FACING, want, text)
    (finding,) = explain(view, (Outcome("c8", Verdict.REFUTED),), {"c8": (replay(found, want),)})

    assert hints == finding.hints


def test_a_time_that_never_comes_is_said_plainly() -> None:
    """The number is said once, and how often it would have to be danced."""
    view = stage(Kind.TIME, 9, None, None, "5th: time 5", time=5)
    (finding,) = explain(view, (Outcome("c9", Verdict.VACUOUS),), {})

    assert "The 5th time never comes" == finding.message
    assert ("let it be danced 5 times or more, or take the line out",) == finding.hints


@pytest.mark.parametrize(
    ("body", "calls", "cut"),
    [
        ("  Triple x2\n  2nd time only:\n    Triple\n", "  A\n  A, first 4 beats\n", True),
        ("  Triple x2\n  2nd time only:\n    Triple\n", "  A\n", False),
        ("  Triple x2\n  3rd time only:\n    Triple\n", "  A\n  A, first 4 beats\n", False),
        ("  2 times:\n    Triple\n    2nd time only:\n      Triple\n", "  A, first 4 beats\n", True),
        ("  2 times:\n    Triple\n    3rd time only:\n      Triple\n", "  A, first 4 beats\n", False),
    ],
)
def test_a_time_that_is_cut_is_said_to_be(body: str, calls: str, cut: bool) -> None:
    """What is danced often enough is not told to be danced more often, but to be cut later."""
    report = pipeline.check_text(f"book: clogging\npart A:\n{body}dance:\n{calls}", engine="walk")
    (finding,) = (one for one in report.diagnostics if one.code.name == "time-never-comes")

    assert cut is finding.message.endswith("time is cut before it comes so far")
    assert cut is (("cut it later, or take the line out",) == finding.hints)


def test_walls_that_an_ordered_foot_refutes_say_so_in_dance_words() -> None:
    """Which pass comes to which line with which foot free; the number of walls is still the sheet's."""
    text = (
        "routine: Turning Tide\nbook: clogging\nwalls: 4\npart Main: 1/4 turn left\n"
        "  Basic, left foot\n  Triple, turn 1/4 left\n  Basic\ndance:\n  Main\n"
    )
    (finding,) = pipeline.check_text(text, engine="walk").diagnostics

    assert "wrong-walls" == finding.code.name
    assert finding.message == (
        "The dance should have 4 walls, but a pass that begins on the right foot comes to line 5 with the right foot free, "
        "so it cannot be danced over and over"
    )


def test_walls_that_hang_on_a_refuted_claim_are_no_finding_of_their_own() -> None:
    """A pass of a quarter turn too much: its own claim is the finding, and the walls point to it."""
    text = (
        "routine: Turning Tide\nbook: clogging\nwalls: 4\npart Main: 1/4 turn left\n"
        "  Triple, turn 1/2 left\n  Triple\ndance:\n  Main\n"
    )
    routine = pipeline.loads(text)
    assert routine.program is not None and routine.program.walls is not None
    alone = evolve(
        routine.program.walls, body=tuple(one for one in routine.program.walls.body if isinstance(one, Step))
    )
    report = pipeline.check(evolve(routine, program=evolve(routine.program, walls=alone)), engine="walk")
    walls, turn = sorted(report.claims, key=lambda claim: claim.line)

    assert [Verdict.REFUTED] * 2 == [walls.verdict, turn.verdict]
    assert [turn.id] == [finding.claim for finding in report.diagnostics]
    assert walls.sentence.endswith(": look at line 4 first")


@pytest.mark.parametrize(("book", "walls"), [("line", "12:00 to 3:00"), ("clogging", "front to right wall")])
def test_where_both_ways_lead_to_one_wall_the_walls_are_named(book: str, walls: str) -> None:
    """A quarter to the right is no three quarters to the left, but ends there: what each hint writes is proved in its
    place."""
    figure = {"line": "Shuffle x4", "clogging": "Triple x4"}[book]
    text = f"routine: Weir\nbook: {book}\n\npart A: 3/4 turn left\n  {figure}, turn 1/4 right on last\n\ndance:\n  A\n"
    report = check_text(text, engine="walk")
    (finding,) = [one for one in report.diagnostics if one.claim]

    assert (
        "turn once left more",
        "or write `1/4 turn right`",
        f"or write `{walls}`, where both ways lead",
    ) == finding.hints
    for hint in finding.hints[1:]:
        assert hint.patch is not None
        assert Verdict.PROVED is check_text(hint.patch.applied(Source("x", text)), engine="walk").verdict


def test_a_section_of_which_nothing_is_danced_is_named_by_its_time() -> None:
    """Of several sections of one name it is said which has no part, and what could be written for it."""
    text = "book: clogging\nmusic:\n  verse 8\n  verse 8\n\npart Weir: 8 beats\n  Triple x2\n\ndance:\n  verse: Weir\n"
    (finding,) = (one for one in pipeline.check_text(text).diagnostics if one.code.name == "music-not-filled")

    assert finding.message == "The section verse (2nd time) has no part: nothing is danced to its 8 beats"
    assert finding.hints[0] == "write what is danced to it behind the section before it, as in `verse: Weir`"
    assert pipeline.check_text(f"{text}  verse: Weir\n").verdict.word == "proved"


@pytest.mark.parametrize(
    ("nets", "phrase"),
    [
        ([], "no pass bears that out"),
        ([2], "a pass ends 1/4 turn right of where it began, which makes 4 walls"),
        ([2, 10, -6], "a pass ends 1/4 turn right of where it began, which makes 4 walls"),
        ([8, 0], "a pass ends where it began, which makes 1 wall"),
        ([4, 12], "a pass ends 1/2 turn from where it began, which makes 2 walls"),
        ([-1], "a pass ends 1/8 turn left of where it began, which makes 8 walls"),
        ([2, 4], "one pass ends 1/4 turn right of where it began and another 1/2 turn from where it began"),
    ],
)
def test_passes_that_face_the_same_wall_are_said_once(nets: list[int], phrase: str) -> None:
    """Whole turns more or less make no other wall."""
    assert phrase == _walls(nets)


@pytest.mark.parametrize(
    ("lines", "hint"),
    [
        ("counts 1-4:; Triple; counts 5-8:; Triple; Basic", "or write `counts 5-10`"),
        ("counts 1-4:; Basic; counts 5-8:; Triple", "or write `counts 1-2`"),
        ("counts 1-4:; hold 1 beat", ""),
        ("counts 1-4:; hold 2 1/2 beats", ""),
        ("counts 1-4:; Triple; counts 7-8:; Basic", ""),
    ],
)
def test_the_heading_that_would_hold_is_offered(lines: str, hint: str) -> None:
    """From its first count to as many as are danced under it, if these are two whole ones or more; where the counts
    before it are wrong, none."""
    rows = "".join(f"  {'' if row.endswith(':') else '  '}{row}\n" for row in lines.split("; "))
    found = check_text(f"routine: Weir\nbook: clogging\npart A:\n{rows}dance:\n  A\n", engine="walk").diagnostics

    first = next(one for one in found if one.code.name == "wrong-counts")
    assert [hint] * bool(hint) == [str(one) for one in first.hints if "write `counts" in one]


def test_a_section_with_nothing_danced_to_it_gets_what_it_had_before() -> None:
    """What is danced to a section of that name another time, or the first part of the sheet."""
    text = (
        "routine: Weir\nbook: clogging\nmusic:\n  Verse: 4 beats\n  Chorus: 4 beats\n  Alone: 4 beats\n  Verse: 4 beats\n"
        "part C:\n  Triple\npart V:\n  Triple\ndance:\n  Verse: V\n  Chorus: C\n"
    )
    found = [one for one in check_text(text, engine="walk").diagnostics if one.code.name == "music-not-filled"]

    assert ["`Alone: C`", "`Verse: V`"] == [str(one.hints[0]).rpartition(" in ")[2] for one in found]


def test_the_walls_of_a_table_are_those_of_the_part() -> None:
    """A part begins facing its front, whichever wall that is in the dance."""
    text = (
        "routine: Weir\nbook: clogging\npart A: left foot\n  Triple, turn 1/4 left\n  expect left foot\ndance:\n  A\n"
    )
    turned = text.replace("dance:\n", "dance:\n  Triple x2, turn 3/8 right\n")
    walls = [
        [row.facings for row in one.rows[0]]
        for one in (*check_text(text, engine="walk").diagnostics, *check_text(turned, engine="walk").diagnostics)
        if one.code.name == "wrong-free-foot"
    ]

    assert [[("front", "left wall")]] * 2 == walls


@pytest.mark.parametrize(
    ("turn", "shown"),
    [
        ("1/2 left", ""),
        ("full left", "a full turn left"),
        ("2 left", "2 turns left"),
        ("1 1/4 right", "1 1/4 turns right"),
    ],
)
def test_whole_turns_stand_in_the_table(turn: str, shown: str) -> None:
    """Less than one is seen by its walls."""
    text = f"routine: Weir\nbook: clogging\npart A: 3/8 turn left\n  Triple, turn {turn}\ndance:\n  A\n"
    (finding,) = (one for one in check_text(text, engine="walk").diagnostics if one.code.name == "wrong-turn")

    assert shown == finding.rows[0][0].turn


@pytest.mark.parametrize(
    ("odd", "even", "more"),
    [
        ("1/4 left", "1/2 left", "1/4 right more"),
        ("3/8 right", "1/8 right", "1/4 right more"),
        ("1/8 right", "1/4 left", "3/8 right more"),
        ("1/4 left", "1/4 right", "1/2 right more"),
        ("1/8 left", "1/8 right", "1/4 left more"),
    ],
)
def test_a_group_on_another_wall_is_told_how_far_to_turn(odd: str, even: str, more: str) -> None:
    """The short way from its wall to that of the first group."""
    text = (
        "routine: Weir\nbook: line\nlead: left\ngroups: odd, even\nfigures:\n  Ford: S\ndance:\n  together:\n"
        f"    odd: Ford, turn {odd}\n    even: Ford, turn {even}\n  expect same wall\n"
    )
    (finding,) = check_text(text, engine="walk").diagnostics

    assert (f"let even turn {more} before here",) == finding.hints


def test_a_group_on_both_feet_has_no_foot_free() -> None:
    """Which foot each group has free is said where these are no mirror image."""
    text = (
        "routine: Weir\nbook: line\nlead: left\ngroups: odd, even\nfigures:\n  Ford: S\n  Leap: JUMP\ndance:\n  together:\n"
        "    odd: Leap\n    even: Ford\n  expect mirror images\n"
    )
    (finding,) = check_text(text, engine="walk").diagnostics

    assert finding.message.endswith("but odd have no foot free and even have the right foot free")
