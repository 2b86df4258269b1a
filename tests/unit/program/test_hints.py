"""What is said about a sheet as a teacher writes it: every hint has been put in its place and read."""

import pytest
from attrs import evolve

from stepcheck.books import book as books
from stepcheck.books.placing import place
from stepcheck.language.parser import parse_forms
from stepcheck.language.printer import print_sheet
from stepcheck.model.findings import CODES, Diagnostic, Hint, Patch, Severity
from stepcheck.model.source import Source, Span
from stepcheck.program.routine import tried
from stepcheck.report import pipeline
from stepcheck.report.text import text as printed


def sheet(line: str, book: str = "clogging") -> str:
    """Return a sheet with this line in its part."""
    return f"routine: Reed Organ\nbook: {book}\n\npart C:\n  {line}\n\ndance:\n  C\n"


def finding(line: str, book: str = "clogging") -> Diagnostic:
    """Return the one thing that is found in the sheet with this line."""
    (found,) = pipeline.loads(sheet(line, book)).diagnostics
    return found


def offered(line: str, book: str = "clogging") -> list[str]:
    """Return what the part holds after each change that is offered for a line."""
    text = sheet(line, book)
    sheets = (hint.patch.applied(Source("x", text)) for hint in finding(line, book).hints if hint.patch)
    return [made.split("part C:\n")[1].split("\n\ndance")[0].strip() for made in sheets]


@pytest.mark.parametrize(
    ("line", "book", "meant"),
    [
        ("Pivot 1/2 L", "line", "Pivot, turn 1/2 left"),
        ("Pivot 1/2 turn L", "line", "Pivot, turn 1/2 left"),
        ("Basic, L foot", "clogging", "Basic, left foot"),
        ("Hold 2", "line", "hold 2 beats"),
        ("9-16:\n    Vine x2", "line", "counts 9-16:\n    Vine x2"),
        ("Triple 2x", "clogging", "Triple x2"),
        ("Triple, quarter turn L", "clogging", "Triple, turn 1/4 left"),
        ("repeat 4 times:\n    Triple", "clogging", "4 times:\n    Triple"),
        ("2 Triples | 2 Basics x1", "clogging", "Triple x2 | Basic x2"),
    ],
)
def test_what_can_mean_one_thing_is_read_as_that(line: str, book: str, meant: str) -> None:
    """The line is no finding, and is printed the canonical way."""
    routine = pipeline.loads(sheet(line, book))
    assert not [one for one in routine.diagnostics if one.code.severity is Severity.ERROR and one.code.id < "SR3"]
    assert f"  {meant}\n" in print_sheet(routine.sheet)


@pytest.mark.parametrize(
    ("line", "book", "meant"),
    [
        ("Full turn L", "line", ["Full turn, left foot", "Full turn, turn full left"]),
        ("Pivot L", "line", ["Pivot, left foot", "Pivot, turn 1/2 left"]),
        ("Basic, only the second time", "clogging", ["2nd time only:\n    Basic"]),
        ("Chain x2, moving forward", "clogging", ["Chain x2 (moving forward)"]),
        ("Triple, to the back", "clogging", ["Triple, facing back", "Triple (to the back)"]),
        ("Rock R, recover L", "clogging", []),
        ("Walk R, L", "line", []),
        ("Break 8 beats", "clogging", ["? 8 beats"]),
        ("Triple turning left", "clogging", []),
        ("Triple, Basic", "clogging", ["Triple\n  Basic", "Triple (Basic)"]),
        ("Triple and Basic", "clogging", ["Triple\n  Basic"]),
        ("Vine R", "line", ["Vine, right foot", "Vine (to the right)"]),
        ("3 Stomps", "clogging", ["Stomp x3", "Three Stomps from clogging"]),
        ("Shuffles", "clogging, line", ["Shuffles from clogging", "Shuffle"]),
        ("2 Triples x2", "clogging", ["Triple x2", "Triple x4"]),
        ("DS Brush DS RS", "clogging", ["DS BR DS RS"]),
        ("DS DT(xif) RS(L)", "clogging", ["DS DT RS(L) (xif)"]),
        ("Triple (xif), left foot", "clogging", ["Triple, left foot (xif)"]),
        ("Turkey, 4 beats", "clogging", ["? 4 beats"]),
        ("Turkey", "clogging", []),
        ("repeat Triple", "clogging", ["Triple"]),
        ("Repeat the Triple twice", "clogging", ["Triple twice"]),
        ("Repeat from the top", "clogging", []),
        ("Vine, with a touch", "line", ["Vine ends in a touch", "Vine (with a touch)"]),
        ("Vine,", "line", []),
        ("Fancy Double turn left", "clogging", []),
        ("Fancy Dble turns to the left", "clogging", []),
        ("Triple turn left", "clogging", []),
        ("Tag", "clogging", []),
        ("Tag Vine", "line", []),
        ("Break Vine", "line", []),
        ("Repeat Vin", "line", []),
        (
            "Vine, right foot, touch",
            "line",
            ["Vine ends in a touch, right foot", "Vine, right foot\n  touch", "Vine, right foot (touch)"],
        ),
    ],
)
def test_a_hint_means_what_was_written(line: str, book: str, meant: list[str]) -> None:
    """The changes that are offered are those that the words can mean; where there is none, words are said."""
    assert meant == offered(line, book)
    assert finding(line, book).hints


def test_steps_in_a_sentence_are_told_of_rows() -> None:
    """`Walk R, L` is neither a foot that leads nor a way to go: single steps stand in a row."""
    for line, book in (("Rock R, recover L", "clogging"), ("Walk R, L", "line")):
        assert any("row of movements" in hint for hint in finding(line, book).hints)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("Turkey", "as in ? 4 beats"),
        ("Repeat from the top", "as in Main x2"),
        ("Fancy Double turn left", "Fancy Double, turn 1/4 left"),
        ("Fancy Dble turns to the left", "Fancy Dble, turn 1/4 left"),
        ("Triple turn L", "Triple, turn 1/4 left"),
        ("Tag", "part Tag:"),
        ("tag after wall 2", "part tag:"),
        ("restart wall 3", "Main, first 16 counts"),
    ],
)
def test_words_say_what_to_write_where_no_line_can_be_offered(line: str, said: str) -> None:
    """A blank has its form, what is danced again its name, a turn its size, a tag its heading: none is a new figure."""
    hints = finding(line).hints

    assert any(said in hint for hint in hints)
    assert not any("like this" in hint for hint in hints)


def danced(line: str, part: str = "part Main: 16 counts", header: str = "") -> str:
    """Return a sheet of one part with a line of its dance, a heading of the part and a line of the header."""
    return f"routine: X\nbook: line\n{header}\n{part}\n  Vine x4\n\ndance:\n  {line}\n"


@pytest.mark.parametrize(
    ("given", "meant"),
    [
        ({"line": "Main", "part": "part Main (16 beats)"}, "part Main: 16 beats"),
        ({"line": "repeat Main x2"}, "  Main x2"),
        ({"line": "Main, restart after 8 counts"}, "  Main, first 8 counts"),
        ({"line": "Main, first 61 counts"}, "  Main, first 16 counts"),
        ({"line": "Tag: Sway x4"}, "  Sway x4  # Tag"),
        ({"line": "Tag: Sway x4 (big)  # slow"}, "  Sway x4 (big)  # Tag  # slow"),
        ({"line": "Main", "header": "music: Song by X\n"}, "song: Song\nartist: X"),
        ({"line": "Main", "header": "music: Song\n"}, "song: Song"),
    ],
)
def test_what_is_offered_first_for_a_sheet_stands(given: dict[str, str], meant: str) -> None:
    """The first change that is offered makes the line that was meant, and the sheet is read with it."""
    text = danced(**given)
    found = next(one for one in pipeline.loads(text).diagnostics if one.code.severity is Severity.ERROR)
    made = found.hints[0].patch.applied(Source("x", text))

    assert f"\n{meant}\n" in made
    assert pipeline.loads(made).well_formed


@pytest.mark.parametrize(("line", "has"), [("Main, first 40 counts", 16), ("Main x2, first 90 counts", 16)])
def test_a_cut_beyond_the_end_is_told_how_much_there_is(line: str, has: int) -> None:
    """No smaller number is guessed from what is neither swapped nor doubled; how much is danced is said."""
    (found,) = pipeline.loads(danced(line)).diagnostics

    assert [f"what is danced here has {has} counts: write fewer"] == list(found.hints)


def test_a_label_with_a_length_alone_heads_a_part() -> None:
    """`Tag: 4 counts` in the dance is the heading of a part, which stands at the margin."""
    (found,) = pipeline.loads(danced("Tag: 4 counts")).diagnostics

    assert "part Tag: 4 counts" in found.hints[0]


def test_a_part_without_steps_at_the_margin_is_told_of_both() -> None:
    """`Tag: 4 counts` behind the dance wants its word and its steps, which no change of the line can write."""
    (found,) = pipeline.loads(danced("Main") + "Tag: 4 counts\n").diagnostics

    assert ["write part Tag: 4 counts, and its steps under it, two spaces in"] == list(found.hints)


def test_a_figure_whose_definition_is_broken_is_not_called_unknown_as_well() -> None:
    """K-Step is known by name only; where the sheet defines it in a broken line, that line is the finding."""
    text = (
        danced("Main").replace("part Main", "figures:\n  K-Step: S TCH, S TCH\n\npart Main").replace("Vine", "K-Step")
    )

    assert ["line-not-understood"] == [one.code.name for one in pipeline.loads(text).diagnostics]


@pytest.mark.parametrize("row", ["S TCH x4", "S TCH, Step Touch", "S TCH QQQ"])
def test_a_definition_is_told_to_be_a_row_of_codes(row: str) -> None:
    """Repeats, commas and words that no code is near get an example, not every code that there is."""
    text = danced("Main").replace("part Main", f"figures:\n  Mill, 8 counts: {row}\n\npart Main")
    hints = [hint for one in pipeline.loads(text).diagnostics for hint in one.hints]

    assert any("S TCH S TCH" in hint for hint in hints)
    assert all(len(hint) < 150 for hint in hints)


def test_a_name_with_its_length_at_the_margin_is_a_part() -> None:
    """`Chorus (32 beats)` at the margin is a heading, and what stands under it is read as its lines."""
    text = "routine: X\nbook: clogging\n\nChorus (32 beats)\n  Triple x8\n\ndance:\n  Chorus\n"
    (found,) = pipeline.loads(text).diagnostics
    (hint,) = found.hints

    assert "write part Chorus: 32 beats" == hint
    assert pipeline.loads(hint.patch.applied(Source("x", text))).well_formed


def test_a_figure_for_the_other_lead_is_offered_as_one() -> None:
    """A row that can't be danced from the left foot but from the right one has its lead written."""
    text = (
        "routine: X\nbook: line\n\nfigures:\n  Unwind It, 2 counts: S(R) HOLD\n\npart A:\n  Unwind It\n\ndance:\n  A\n"
    )
    (found,) = pipeline.loads(text).diagnostics
    (hint,) = found.hints

    assert "Unwind It, 2 counts, right foot: S(R) HOLD" in hint.patch.applied(Source("x", text))


def test_one_unknown_form_seven_times_is_one_finding() -> None:
    """What is misspelt alike on one line is mended at once."""
    row = " ".join(["DSS"] * 7)
    text = f"routine: X\nbook: clogging\n\nfigures:\n  Weir: {row}\n\npart A:\n  Weir\n\ndance:\n  A\n"
    (found,) = pipeline.loads(text).diagnostics

    assert "here 7 times" in found.message
    assert text.replace("DSS", "DS") in [hint.patch.applied(Source("x", text)) for hint in found.hints if hint.patch]


@pytest.mark.parametrize("book", books.SHIPPED)
def test_a_definition_is_offered_where_no_name_is_near_and_is_of_nothing_else(book: str) -> None:
    """`Define it like this` never has the footwork of a figure that is there already."""
    (hint,) = finding("Quxquxqux", book).hints
    example = hint.partition("like this: ")[2]
    text = sheet("Quxquxqux", book).replace("part C", f"figures:\n  {example}\n\npart C")
    made = pipeline.loads(text)

    assert made.well_formed and [] == [one for one in made.diagnostics if one.code.severity is Severity.ERROR]
    taken = books.load(book)
    actions, _ = place(parse_forms(example.partition(": ")[2]), taken.movement, taken.tradition)
    assert actions and actions not in {version.actions for figure in taken.figures() for version in figure.versions}
    assert not [hint for hint in finding("Tripel").hints if "define" in hint]


def test_a_row_with_feet_orders_the_foot_that_leads_it() -> None:
    """`S(R)` is that foot and no other: the row is claimed to begin on the left."""
    text = sheet("S S(R) S TCH x2", "line").replace("book: line", "book: line\nlead: right")
    report = pipeline.check_text(text, engine="walk")

    assert ["foot-not-free"] == [one.code.name for one in report.diagnostics]
    assert pipeline.check_text(text.replace("lead: right", "lead: left"), engine="walk").claims


def test_a_row_of_movements_is_the_figure_of_its_placing() -> None:
    """DS DS DS RS is what the book calls a Triple: the same beats, the same foot after it."""
    for line in ("Triple", "DS DS DS RS"):
        text = sheet(f"{line}, 4 beats").replace("part C:", "part C: left foot to right foot")
        assert 0 == pipeline.check_text(text, engine="walk").exit_status


def test_a_row_stands_in_parts_only() -> None:
    """Under `dance:` capitals are a name, and a foot in brackets is refused."""
    text = sheet("Basic").replace("dance:\n  C", "dance:\n  DS DS RS RS")
    assert ["unknown-name"] == [
        one.code.name for one in pipeline.loads(text).diagnostics if one.code.severity is Severity.ERROR
    ]


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("Cowboy (turn 1/2 L)", "Cowboy, turn 1/2 left"),
        ("Basic (2nd time only)", "2nd time only:\n    Basic"),
        ("Triple (2x)", "Triple x2"),
        ("Triple x2 (out, left foot)", "Triple x2, left foot (out)"),
        ("Triple (first 2 beats)", "Triple, first 2 beats"),
    ],
)
def test_a_bracket_that_would_be_a_mark_gets_the_mark_to_write(line: str, meant: str) -> None:
    """The note makes nothing wrong, and what it would write has been read."""
    assert ("note-not-read", [meant]) == (finding(line).code.name, offered(line))


@pytest.mark.parametrize("note", ["moving right", "turn head left", "big, on the balls of the feet", "out, and back"])
def test_what_no_mark_says_gets_no_note(note: str) -> None:
    """What is for the dancers alone stays in brackets."""
    assert () == pipeline.loads(sheet(f"Triple ({note})")).diagnostics


def test_the_last_line_counts_the_notes_that_were_not_read() -> None:
    """A proved sheet says how much of it was not read."""
    said = printed([pipeline.check_text(sheet("Triple (2x)\n  Basic (restart here, left foot)"), engine="walk")])

    assert said.endswith("proved: it claims nothing; 3 notes were not read\n")
    assert "not read" not in printed([pipeline.check_text(sheet("Triple (out)"), engine="walk")]).splitlines()[-1]


def test_a_hint_that_does_not_stand_is_not_shown() -> None:
    """A change that leaves its finding, or brings another, gives way to what is said otherwise."""
    found = pipeline.loads(sheet("Tripel")).diagnostics[0]
    span = Span(5, 3, 5, 9)
    hints = (
        Hint("write Basik", Patch("", ((span, "Basik"),)), "look again"),
        Hint("write Triple", Patch("", ((span, "Triple"),))),
    )

    def read(source: Source) -> tuple[Diagnostic, ...]:
        return pipeline.loads(source.text).diagnostics

    def shown(*given: Hint) -> tuple[Hint, ...]:
        (one,) = tried(
            Source("x", sheet("Tripel")), (Diagnostic(found.code, "x", span, found.message, hints=given),), read
        )
        return one.hints

    assert ("write Triple",) == shown(*hints)
    assert ("look again",) == shown(hints[0])


@pytest.mark.parametrize(
    ("line", "found", "said"),
    [
        ("B (2nd time only)", "note-not-read", "a time is a heading inside a part"),
        ("A (first 8 beats)", "note-not-read", "write A, first 8 beats"),
        ("B (restart here)", "note-not-read", "a restart is a part that is cut short"),
        ("C, only the second time", "line-not-understood", "write the lines of that time under 2nd time only:"),
        ("B (moving right)", "", ""),
        ("B (turn head left)", "", ""),
    ],
)
def test_what_a_teacher_writes_behind_a_part_of_the_dance_is_told(line: str, found: str, said: str) -> None:
    """A time, a cut or a restart in a bracket gets a note that says what to write, behind a comma a finding; a note to
    the dancers gets none."""
    parts = "".join(f"part {name}: 16 beats\n  Triple x4\n\n" for name in "ABC")
    text = f"routine: Reed Organ\nbook: clogging\n\n{parts}dance:\n  A\n  B\n  {line}\n  C\n"
    told = [(one.code.name, str(one.hints[0])) for one in pipeline.loads(text).diagnostics]

    assert [found] * bool(found) == [name for name, _ in told]
    assert all(hint.startswith(said) for _, hint in told)


@pytest.mark.parametrize(
    ("line", "book", "told"),
    [
        ("Unwind 1/2 L", "line", "footwork-not-published"),
        ("Unwind: S(R) HOLD", "line", "misplaced-line"),
        ("Triple turning left", "clogging", "line-not-understood"),
    ],
)
def test_no_hint_says_less_than_was_written(line: str, book: str, told: str) -> None:
    """Words that nothing can be written for get none of their pieces as a line: no foot, no size, no single step."""
    found = finding(line, book)

    assert told == found.code.name
    assert () == tuple(hint for hint in found.hints if hint.patch is not None)


def test_a_cut_that_falls_elsewhere_for_an_unread_line_refuses_no_hint() -> None:
    """While another line isn't read, the counts behind it are open: what is offered for a line stands all the same."""
    text = """routine: Reed Organ
book: line

part C: 32 counts
  Step x8
  Step Touch x2
  Vine right
  Vine left, turn 1/4 left
  Step x8

dance:
  C, first 18 counts
"""
    one, other = pipeline.loads(text).diagnostics

    assert str(one.hints[0]).startswith("write Vine, right foot")
    assert str(other.hints[0]).startswith("write Vine, left foot")


WRONG = Diagnostic(CODES["unknown-name"], "x", Span(1, 1, 1, 2), "wrong")
OTHER = Diagnostic(CODES["unknown-name"], "x", Span(1, 1, 1, 2), "other")
CUT = Diagnostic(CODES["cut-splits-a-turn"], "x", Span(1, 1, 1, 2), "cut")
NOTE = Diagnostic(CODES["note-not-read"], "x", Span(1, 1, 1, 2), "note")
CHANGE = Hint("write b", Patch("", ((Span(1, 1, 1, 2), "b"),)), "in words")


@pytest.mark.parametrize(
    ("before", "after", "stands"),
    [
        ((WRONG,), (), True),
        ((WRONG,), (WRONG,), False),
        ((WRONG, WRONG), (WRONG,), True),
        ((WRONG,), (OTHER,), False),
        ((WRONG, OTHER), (OTHER,), True),
        ((WRONG, OTHER), (OTHER, OTHER), False),
        ((WRONG,), (NOTE,), True),
        ((WRONG, NOTE), (NOTE, NOTE), True),
        ((WRONG,), (CUT,), False),
        ((WRONG, CUT), (CUT,), True),
        ((WRONG, OTHER), (OTHER, CUT), True),
        ((WRONG, OTHER), (CUT,), False),
    ],
)
def test_a_change_stands_where_its_finding_goes_and_no_other_comes(
    before: tuple[Diagnostic, ...], after: tuple[Diagnostic, ...], stands: bool
) -> None:
    """Notes may come; a cut that splits a turn may where another line is still not read, and nowhere else."""
    found = tuple(evolve(one, hints=(CHANGE,)) if one is WRONG else one for one in before)
    (first, *_) = tried(Source("x", "a"), found, lambda source: after)

    assert (CHANGE if stands else Hint("in words"),) == first.hints


def test_a_sheet_is_read_again_so_often_and_no_oftener(monkeypatch: pytest.MonkeyPatch) -> None:
    """One line and one finding cost eleven lines; a try begins unless more lines than there were have been read."""
    texts = []

    def read(source: Source) -> tuple[Diagnostic, ...]:
        texts.append(source.text)
        return (WRONG,)

    hints = tuple(Hint(f"write {at}", Patch("", ((Span(1, 1, 1, 2), str(at)),))) for at in range(9))
    for most, tries in ((0, 1), (10, 1), (11, 2), (21, 2), (22, 3), (23, 3)):
        texts.clear()
        monkeypatch.setattr("stepcheck.program.routine.MOST_LINES", most)
        tried(Source("x", "a"), (evolve(WRONG, hints=hints),), read)
        assert [str(at) for at in range(tries)] == texts


def test_three_changes_are_offered_and_what_is_said_in_words_beside_them() -> None:
    """Of the changes that stand the first three; a hint that writes nothing stays."""
    hints = tuple(Hint(f"or write {at}", Patch("", ((Span(1, 1, 1, 2), str(at)),))) for at in range(6))
    (one,) = tried(Source("x", "a"), (evolve(WRONG, hints=(*hints, Hint("think"))),), lambda source: ())
    (other,) = tried(
        Source("x", "a"), (evolve(WRONG, hints=hints),), lambda source: () if source.text in "35" else (WRONG,)
    )

    assert ("or write 0", "or write 1", "or write 2", "think") == one.hints
    assert ("write 3", "or write 5") == other.hints


@pytest.mark.parametrize(
    ("line", "book", "written"),
    [
        ("Hold x4", "clogging", "hold 4 beats"),
        ("hold, 4 counts", "clogging", "hold 4 counts"),
        ("expect weight on the right foot", "line", "expect left foot"),
        ("2 times:\n    Vine\n    2nd time: Weave", "line", "2 times:\n    Vine\n    2nd time only:\n      Weave"),
    ],
)
def test_what_is_said_in_other_words_is_offered_in_those_of_the_language(line: str, book: str, written: str) -> None:
    """Silence, a time, the foot that is free: what is offered has been put in its place and read."""
    assert [written] == offered(line, book)


@pytest.mark.parametrize("head", ["part C (8 beats):", "part C, 8 beats:"])
def test_what_a_part_claims_is_offered_behind_its_colon(head: str) -> None:
    """However it is written on the heading."""
    text = sheet("Triple x2").replace("part C:", head)
    (found,) = pipeline.loads(text).diagnostics
    assert [text.replace(head, "part C: 8 beats")] == [
        hint.patch.applied(Source("x", text)) for hint in found.hints if hint.patch
    ]


def test_a_heading_without_its_colon_and_without_lines_under_it_is_told_of_both() -> None:
    """The colon alone would leave an empty heading."""
    found = finding("Triple\n  last time only\n  Triple")
    assert ("write last time only: and the lines that belong to it under it, two spaces further in",) == found.hints
