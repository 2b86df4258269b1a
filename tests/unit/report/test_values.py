"""Reports as values and as text."""

import pickle
from collections.abc import Callable
from fractions import Fraction
from inspect import Parameter, signature

import pytest
from attrs import evolve

from stepcheck.formats.json import from_json, to_json
from stepcheck.model.claims import Claim, Kind
from stepcheck.model.findings import CODES, Diagnostic, TraceRow
from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.model.source import Source, Span
from stepcheck.model.statuses import exit_status
from stepcheck.report.pipeline import check_file, check_text
from stepcheck.report.text import caret, columns, side_by_side, table, text, word
from stepcheck.report.values import Finish, Report, build, summary

SOURCE = Source("copper_ladle.routine", "routine: Copper Ladle\n\npart Chorus:\n  Basc x2\n  expect left foot\n")
CLAIMS = (
    Claim("chorus.foot", Kind.FOOT, 5, "left foot", "Chorus"),
    Claim("chorus.length", Kind.LENGTH, 3, "32 beats", "Chorus"),
)
ROWS = (
    TraceRow("25", 4, "Basic", ("left", "right"), ("back", "back")),
    TraceRow("27", 4, "Basic", ("right", "left"), ("back", "back"), times=3),
    TraceRow("29", 5, "Triple", ("left", "right"), ("back", "front"), marked=True),
)
REFUTED = Diagnostic(
    CODES["wrong-free-foot"],
    SOURCE.path,
    Span(5, 3, 5, 19),
    "Chorus should end with the left foot free, but the right foot is free",
    args=(("expected", "left"), ("found_values", (0,))),
    hints=("change which foot takes the last weight before here", "or write `right foot` here"),
    rows=(ROWS,),
    claim="chorus.foot",
    places=3,
    mended=("chorus.length",),
    related=((Span(3, 1, 3, 13), "the claim: left foot"),),
)
ILL_FORMED = Diagnostic(
    CODES["unknown-name"], SOURCE.path, Span(4, 3, 4, 7), "no figure is called Basc", hints=("Basic",)
)


def refuted(**changes: object) -> Report:
    """Return a report with one refuted claim of two."""
    outcomes = (
        Outcome("chorus.foot", Verdict.REFUTED, places=3, mended=("chorus.length",)),
        Outcome("chorus.length", Verdict.PROVED),
    )
    sentences = (REFUTED.message, "Chorus lasts 32 beats")
    return build(SOURCE, "Copper Ladle", CLAIMS, outcomes, sentences, (REFUTED,), effort={"states": 24}, **changes)


def bare(verdict: Verdict) -> Report:
    """Return a report that holds nothing but a verdict."""
    return Report("x.routine", "", verdict)


def test_a_finding_reads_as_the_design_shows_it() -> None:
    """Place, verdict and the claim first; then the steps with the failing one marked; then what would mend it."""
    expected = """\
1. copper_ladle.routine:5:3: refuted: Chorus should end with the left foot free, but the right foot is free [SR502]
   beat  figure    free foot     facing
   25    Basic     left → right  back
   27    Basic x3  right → left  back
 ▸ 29    Triple    left → right  back → front
   line 3: the claim: left foot
   mend: change which foot takes the last weight before here, or write `right foot` here
   the same claim fails at 2 other places
   taking line 3 as put right
copper_ladle.routine: refuted: 1 proved, 1 refuted of 2 claims
"""
    assert expected == text([refuted()])


def test_a_mistake_in_the_writing_shows_the_line_with_a_caret() -> None:
    """An ill-formed sheet shows the line as it stands, and a caret under every character meant."""
    expected = """\
1. copper_ladle.routine:4:3: ill-formed: no figure is called Basc [SR301]
 |   Basc x2
 |   ^^^^
   mend: Basic
copper_ladle.routine: ill-formed: 1 mistake in the writing
"""
    report = build(SOURCE, diagnostics=(ILL_FORMED,))

    assert Verdict.ILL_FORMED is report.verdict
    assert expected == text([report])


def test_a_proved_sheet_has_one_line_and_its_claims_on_request() -> None:
    """Nothing to mend is said in one line; `verbose` says every proved claim with its line."""
    outcomes = tuple(Outcome(claim.id, Verdict.PROVED) for claim in CLAIMS)
    report = build(SOURCE, "Copper Ladle", CLAIMS, outcomes, ("Chorus ends", "Chorus lasts 32 beats"))

    assert "copper_ladle.routine: proved: 2 claims hold\n" == text([report])
    assert "copper_ladle.routine:3: proved: Chorus lasts 32 beats\n" in text([report], verbose=True)
    assert "x.routine: proved: it claims nothing\n" == text([bare(Verdict.PROVED)])


def test_hints_that_go_on_share_a_line() -> None:
    """A hint that begins with "or" goes on from the one before, unless that asks; others have a line each, and the
    first never begins with "or"."""
    hints = ("add 1 beat", "or write `31 beats`", "did you mean Triple?")
    finding = Diagnostic(CODES["unknown-name"], "x", Span(4, 3, 4, 7), "m", hints=hints)
    lone = Diagnostic(CODES["unknown-name"], "x", Span(4, 3, 4, 7), "m", hints=("or define it",))

    shown = text([build(SOURCE, diagnostics=(finding,))])
    assert "   mend: add 1 beat, or write `31 beats`\n         did you mean Triple?\n" in shown
    assert "   mend: define it\n" in text([build(SOURCE, diagnostics=(lone,))])
    asked = evolve(lone, hints=("did you mean Vine?", "did you mean Side Vine?", "or define it"))
    assert "   mend: did you mean Vine or Side Vine?\n         or define it\n" in text(
        [build(SOURCE, diagnostics=(asked,))]
    )


def test_colour_adds_nothing_but_colour() -> None:
    """Painted text is the same text between terminal codes, and plain text holds none."""
    import re

    painted, plain = text([refuted()], colour=True), text([refuted()])

    assert "\033[" not in plain
    assert plain == re.sub(r"\033\[[0-9;]*m", "", painted) != painted


def test_the_changed_cells_are_the_bold_ones() -> None:
    """In colour a foot or wall that changes stands out from those that don't."""
    lines = list(table(ROWS, colour=True))

    assert "\033[1mleft → right\033[0m" in lines[1]
    assert "\033[1mback\033[0m" not in lines[1]
    assert "\033[1mback → front\033[0m" in lines[3]


def test_a_long_way_shows_its_end() -> None:
    """Of many steps the last ones are shown, with the number of the others, and the marked one always."""
    feet, walls = ("left", "right"), ("front", "front")
    rows = tuple(TraceRow(str(beat), 4, "Basic", feet, walls, marked=beat == 41) for beat in range(1, 42, 2))
    lines = list(table(rows))

    assert "   …     (13 earlier)" == lines[1]
    assert 10 == len(lines) and " ▸ 41" == lines[-1][:5]


def test_the_rows_in_which_the_turn_was_made_are_shown() -> None:
    """In a finding about turns the rows that turn stay, with the number of those left out between them; a full turn is
    seen."""
    feet, walls = ("left", "right"), ("front", "front")
    rows = [TraceRow(str(beat), 4, "Basic", feet, walls, marked=beat == 41) for beat in range(1, 42, 2)]
    rows[2] = TraceRow("5", 5, "Push-off", feet, ("front", "back"))
    rows[4] = TraceRow("9", 5, "Push-off", feet, walls, turn="a full turn left")
    lines = list(table(tuple(rows), turns=True))

    assert ["   …     (2 earlier)", "   5     Push-off  left → right  front → back", "   …     (1 more)"] == lines[1:4]
    assert ["   9     Push-off  left → right  front, a full turn left", "   …     (8 more)"] == lines[4:6]
    assert 14 == len(lines)
    assert "   …     (13 earlier)" == list(table(tuple(rows)))[1]


def test_a_full_turn_stands_in_the_table_of_a_sheet() -> None:
    """A step that turns once round is told from one that doesn't turn, in text and in JSON and back."""
    report = check_text(
        "routine: Weir\nbook: clogging\npart A: 1/2 turn left\n  Triple, full turn left\ndance:\n  A\n", engine="walk"
    )
    (finding,) = [one for one in report.diagnostics if one.claim]

    assert "a full turn left" == finding.rows[0][0].turn
    assert "front, a full turn left" in str(report)
    assert (report,) == from_json(to_json(report))


def test_a_table_keeps_within_the_width() -> None:
    """A figure's long name is cut so that the table fits; wide characters count as two columns."""
    row = TraceRow("1", 4, "The Long Walk Round the Mill Pond and Back Again", ("left", "right"), ("front", "front"))

    cut = {50: "The Long Walk Round the…", 44: "The Long Walk Rou…", 40: "The Long Walk…", 30: "The Lon…"}
    for width, name in cut.items():
        assert [f"   1     {name}  → right  front"] == list(table((row,), width=width))[1:]
    assert "   27    Basic x2  right → left  back" == list(table((evolve(ROWS[1], times=2),)))[1]
    assert (2, 4, 1) == (columns("é̂é"), columns("水車"), columns("a"))


def test_a_narrow_table_leaves_out_what_changed() -> None:
    """In forty columns a foot or a wall that changes is shown as what it changes to, no line is folded, none is cut."""
    rows = tuple(
        TraceRow(str(beat), 4, "Push-off", ("left", "right"), ("back", "left wall"), marked=beat == 93)
        for beat in range(61, 97, 4)
    )
    lines = list(table(rows, width=40))

    assert "   …     (1 earlier)" == lines[1]
    assert " ▸ 93    Push-off  → right  → left wall" == lines[-1]
    assert all(columns(line) <= 40 for line in lines)
    assert "   61    Push-off  left → right  back → left wall" == list(table(rows[:1], width=80))[1]


def test_what_two_groups_dance_stands_side_by_side() -> None:
    """Beat by beat in the order of dancers' counts, the last eight; where there is no room, names are cut alike."""
    leads = (
        TraceRow("3", 4, "Basic", ("right", "left"), ("back", "back"), times=2),
        TraceRow("11", 4, "The Walk Round the Mill Pond", ("right", "left"), ("back", "back")),
    )
    follows = (
        TraceRow("2&", 4, "Push-off", ("left", "right"), ("front", "left wall")),
        TraceRow("2a", 4, "The Walk Round the Weir", ("right", "left"), ("left wall", "front")),
        TraceRow("2e", 4, "Basic", ("right", "left"), ("left wall", "front")),
    )

    assert [
        "   beat  leads                         free foot  facing  follows                  free foot  facing",
        "   2e                                                     Basic                    left       front",
        "   2&                                                     Push-off                 right      left wall",
        "   2a                                                     The Walk Round the Weir  left       front",
        "   3     Basic x2                      left       back",
        "   11    The Walk Round the Mill Pond  left       back",
    ] == list(side_by_side(("leads", "follows"), (leads, follows), 105))
    assert [
        "   beat  leads             free foot  facing  follows      free foot  facing",
        "   2e                                         Basic        left       front",
        "   2&                                         Push-off     right      left wall",
        "   2a                                         The Walk R…  left       front",
        "   3     Basic x2          left       back",
        "   11    The Walk Round …  left       back",
    ] == list(side_by_side(("leads", "follows"), (leads, follows), 82))
    many = tuple(TraceRow(str(beat), 4, "Basic", ("left",) * 2, ("back",) * 2) for beat in range(1, 21))
    shown = list(side_by_side(("leads", "follows"), (many[:15], many), 100))
    assert [str(beat) for beat in range(13, 21)] == [line.split()[0] for line in shown[1:]]


def test_the_caret_stands_under_the_place_meant() -> None:
    """Tabs, wide characters and the far end of a long line don't shift the caret off its word."""
    finding = Diagnostic(CODES["unknown-name"], "x", Span(1, 5, 1, 7), "m")
    shown, under = caret(finding, "\t水車 Ab")
    assert columns(shown[: shown.index("Ab")]) == under.index("^")
    far = Diagnostic(CODES["unknown-name"], "x", Span(1, 301, 1, 303), "m")
    shown, under = caret(far, "x" * 300 + "QQ" + "x" * 300, width=80)
    assert "QQ" == shown[under.index("^") : under.index("^") + 2] and len(shown) <= 80
    assert under.count("^") == 2


@pytest.mark.parametrize(
    ("quote", "start", "end", "before", "carets"),
    [
        ("0123456789" * 4, 1, 31, 0, 20),  # of 26 columns six are kept free
        ("0123456789" * 4, 11, 31, 10, 10),
        ("0123456789" * 4, 7, 9, 6, 2),
        ("0123456789" * 4, 8, 10, 7, 2),  # the farthest from which the line isn't cut at its beginning, 13 before it
        ("0123456789" * 4, 40, 41, 13, 1),
        ("ab\x1b水cd", 4, 5, 6, 2),
        ("a\tb水cd", 2, 6, 1, 5),
    ],
)
def test_there_are_as_many_carets_as_columns(quote: str, start: int, end: int, before: int, carets: int) -> None:
    """Under each column meant that is shown stands a caret: two under a wide character, one under a tab."""
    finding = Diagnostic(CODES["unknown-name"], "x", Span(1, start, 1, end), "m")

    assert f" | {' ' * before}{'^' * carets}" == list(caret(finding, quote, width=26))[1]
    over_lines = evolve(finding, span=Span(1, 3, 2, 1))
    assert " |   ^^^^" == list(caret(over_lines, "  Weir"))[1]


@pytest.mark.parametrize("start", [61, 62, 100, 301])
def test_the_beginning_of_a_long_line_is_left_out_where_it_must(start: int) -> None:
    """A place further than twenty columns from the edge is shown from the beginning of its line, any other in the
    middle."""
    finding = Diagnostic(CODES["unknown-name"], "x", Span(1, start, 1, start + 2), "m")
    quote = "".join(chr(0x100 + at) for at in range(400))
    shown, under = caret(finding, quote, width=80)

    first = 0 if start <= 61 else start - 1 - 40
    assert f" | {quote[first : first + 74]}" == shown
    assert f" | {' ' * (start - 1 - first)}^^" == under


@pytest.mark.parametrize("span", [Span(1, 1, 1, 1), Span(1, 9, 1, 9), Span(1, 3, 4, 1)])
def test_every_place_has_a_caret(span: Span) -> None:
    """An empty place, the end of a line and a place over several lines get a caret of at least one column."""
    assert "^" in list(caret(Diagnostic(CODES["empty-block"], "x", span, "m"), "  2 times:"))[1]


def test_text_of_a_sheet_cannot_steer_the_terminal() -> None:
    """Escapes in paths, names and lines come out as visible text."""
    source = Source("a\x1b[2J.routine", "part \x1b]0;x\x07:")
    finding = Diagnostic(CODES["stray-character"], source.path, Span(1, 6, 1, 7), "a \x1b", hints=("\x1b[1m",))

    assert "\x1b" not in text([build(source, diagnostics=(finding,))])


def test_the_worst_claim_is_the_verdict() -> None:
    """A sheet is as good as its worst claim, and a mistake in the writing is worse than any."""
    assert Verdict.REFUTED is refuted().verdict
    assert Verdict.PROVED is build(SOURCE).verdict
    outcomes = tuple(Outcome(claim.id, Verdict.PROVED) for claim in CLAIMS)
    assert Verdict.ILL_FORMED is build(SOURCE, "", CLAIMS, outcomes, ("", ""), (ILL_FORMED,)).verdict


def test_notes_change_no_verdict() -> None:
    """What is only worth knowing leaves a proved sheet proved, and is announced as a note."""
    note = Diagnostic(CODES["usual-reading"], SOURCE.path, Span(4, 3, 4, 7), "stomp is read as taking weight")
    report = build(SOURCE, diagnostics=(note,))

    assert (Verdict.PROVED, 0) == (report.verdict, report.exit_status)
    assert text([report]).startswith("1. copper_ladle.routine:4:3: note: stomp")


def test_every_verdict_has_its_exit_status() -> None:
    """0 proved, 3 undecided, 1 vacuous, refuted and ill-formed; a fault of stepcheck itself is 2."""
    assert [0, 3, 1, 1, 1] == [bare(verdict).exit_status for verdict in Verdict]
    fault = Diagnostic(CODES["engines-disagree"], "x", Span(1, 1, 1, 1), "walk and z3 disagree")
    assert 2 == Report("x", "", Verdict.PROVED, diagnostics=(fault,)).exit_status
    assert "internal error" == word(fault.code)


@pytest.mark.parametrize(("statuses", "worst"), [([], 0), ([0, 3], 3), ([3, 1, 0], 1), ([1, 2, 3], 2)])
def test_the_worst_exit_status_wins(statuses: list[int], worst: int) -> None:
    """Of several sheets 2 beats 1, 1 beats 3 and 3 beats 0."""
    assert worst == exit_status(statuses)


def test_the_summary_counts_sheets_by_verdict() -> None:
    """One line ends a run; verdicts that no sheet has are left out."""
    reports = [bare(Verdict.PROVED)] * 11 + [bare(Verdict.UNDECIDED)]

    assert "12 sheets: 11 proved, 1 undecided" == summary(reports)
    assert "1 sheet: 1 refuted" == summary([bare(Verdict.REFUTED)])
    assert "0 sheets" == summary([])


def test_findings_come_in_one_order() -> None:
    """However they were found, findings stand by place."""
    assert build(SOURCE, diagnostics=(REFUTED, ILL_FORMED)) == build(SOURCE, diagnostics=(ILL_FORMED, REFUTED))


def test_reports_are_values() -> None:
    """Reports are equal when their contents are, can be hashed, and survive pickling."""
    assert refuted() == refuted() and hash(refuted()) == hash(refuted())
    assert refuted() == pickle.loads(pickle.dumps(refuted()))
    assert (("states", 24),) == refuted().effort


def test_a_failure_of_stepcheck_is_no_verdict() -> None:
    """Where the engines disagree the sheet is neither proved nor refuted, and the exit status is 2."""
    span = Span(1, 1, 1, 2)
    finding = Diagnostic(CODES["engines-disagree"], "a.routine", span, "one says so, the other not")
    report = build(Source("a.routine", "x"), diagnostics=(finding,))

    assert (Verdict.UNDECIDED, 2) == (report.verdict, report.exit_status)
    assert (
        text((report,)).splitlines()[-1].endswith("undecided: stepcheck itself failed, which says nothing of the sheet")
    )


@pytest.mark.parametrize("function", [text, check_text, check_file])
def test_options_are_given_by_name(function: Callable[..., object]) -> None:
    """Only what is checked or shown has a place; options may be added between others."""
    first, *others = signature(function).parameters.values()

    assert first.kind is Parameter.POSITIONAL_OR_KEYWORD
    assert {Parameter.KEYWORD_ONLY} == {one.kind for one in others}


def report_on(body: str, dance: str, header: str = "book: line\ntempo: 120") -> Report:
    """Return the report_on on a sheet with one part; semicolons divide lines."""
    rows = "".join(f"  {row}\n" for row in body.split("; "))
    order = "".join(f"  {row}\n" for row in dance.split("; "))
    return check_text(f"routine: Weir\n{header}\npart Main:\n{rows}dance:\n{order}", engine="walk", path="x")


@pytest.mark.parametrize(
    ("body", "dance", "expected"),
    [
        (
            "Shuffle x4, turn 1/4 left on last",
            "Main x3",
            "24 counts in all (0:12 at 120); ends facing 3:00, right foot free",
        ),
        ("Shuffle x3; hold 1 count", "Main", "7 counts in all (0:04 at 120); ends facing 12:00, left foot free"),
        (
            "Shuffle x4, turn 1/2 left on last",
            "Main until the music ends",
            "8 counts each time round until the music ends (0:04 at 120); ends facing 12:00 or 6:00, right foot free",
        ),
        (
            "Shuffle x4, turn 1/2 left on last; every 2nd time only:;   hold 4 counts",
            "Main until the music ends",
            "8 or 12 counts each time round until the music ends (0:04 or 0:06 at 120); "
            "ends facing 12:00 or 6:00, right foot free",
        ),
        (
            "Shuffle | Shuffle x2",
            "Shuffle x2; Main",
            "6 or 8 counts in all (0:03 or 0:04 at 120); ends facing 12:00, left or right foot free",
        ),
        (
            "Shuffle x?",
            "Main",
            "an open number of counts in all; ends facing 12:00, left or right foot free; 1 line to fill",
        ),
        (
            "Vine, turn ?; Vine, ? foot",
            "Main",
            "8 counts in all (0:04 at 120); ends facing any wall, left or right foot free; 2 lines to fill",
        ),
        ("S S JUMP", "Main", "3 counts in all (0:02 at 120); ends facing 12:00, no foot free"),
        (
            "? 4 counts",
            "Main",
            "4 counts in all (0:02 at 120); ends facing any wall, left or right foot free, or none; 1 line to fill",
        ),
    ],
)
def test_the_end_of_a_dance_is_said_in_one_line(body: str, dance: str, expected: str) -> None:
    """Above the verdict stands the length in all, its time at the tempo, the wall and the free foot, `any of` where
    open."""
    assert f"   {expected}" == str(report_on(body, dance)).splitlines()[-2]


def test_what_is_claimed_changes_nothing_of_it() -> None:
    """Of a refuted sheet the end as it is danced is shown; a sheet that is not understood has none."""
    got = report_on("Shuffle x4; expect facing 6:00", "Main", "book: line")

    assert Verdict.REFUTED is got.verdict
    assert Finish((Fraction(8),), ("right",), ("12:00",), None, "counts") == got.finish
    assert report_on("Shufle", "Main").finish is None


def test_it_goes_to_json_and_back() -> None:
    """Thirds of a beat and open ends come back as they were."""
    for body, dance in (("Shuffle x4; hold 1/3 count", "Main"), ("Shuffle x?", "Main until the music ends")):
        one = report_on(body, dance)
        assert one.finish is not None and (one,) == from_json(to_json(one))


@pytest.mark.parametrize(
    ("beats", "tempo", "time"),
    [(59, 60, "0:59"), (60, 60, "1:00"), (119, 60, "1:59"), (120, 120, "1:00"), (61, 60, "1:01"), (3661, 60, "61:01")],
)
def test_a_length_takes_minutes_and_seconds(beats: int, tempo: int, time: str) -> None:
    """Sixty seconds are a minute."""
    made = Finish((Fraction(beats),), ("left",), ("front",), tempo=Fraction(tempo))

    assert str(made).startswith(f"{beats:,} beats in all ({time} at {tempo}); ends")
