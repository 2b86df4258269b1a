"""Words that are read in several ways: settled by a sheet, a line or a book, or looked at in all ways at once."""

import json
from itertools import combinations, product
from pathlib import Path
from random import Random
from types import SimpleNamespace

import pytest

from stepcheck.books import book as books
from stepcheck.faces import cli
from stepcheck.formats.json import from_json, json_text
from stepcheck.model.outcome import Verdict
from stepcheck.report.pipeline import UnknownOption, check, check_text, loads
from stepcheck.report.readings import View, _Search, clarify, hangs_of, idle, opened_up, settled
from stepcheck.report.text import cure, text, told
from stepcheck.report.values import Leaning, Report

SHEET = """\
routine: Slack Water
book: clogging

part Verse: 5 beats, left foot to left foot
  Triple
  Stomp

dance:
  Verse
"""
LINE_SHEET = """\
routine: Ferry Rope
book: line
lead: right

part Main: 4 counts, right foot to left foot
  Vine

dance:
  Main
"""


def verdict(sheet: str, readings: str = "usual") -> Verdict:
    """Return the verdict of both engines."""
    found = check_text(sheet, readings=readings)
    assert not any(d.code.id.startswith("SR9") for d in found.diagnostics)
    return found.verdict


# -- settling a word -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("stomp: takes weight", Verdict.PROVED),
        ("Stomp: weight", Verdict.PROVED),
        ("stomp: no weight", Verdict.REFUTED),
        ("stomp: without weight", Verdict.REFUTED),
    ],
)
@pytest.mark.parametrize("readings", ["usual", "all"])
def test_a_header_settles_a_movement(line: str, expected: Verdict, readings: str) -> None:
    """A settled word is read so wherever it stands, and stays open in no mode."""
    assert expected is verdict(SHEET.replace("book: clogging", f"book: clogging\n{line}"), readings)


@pytest.mark.parametrize(
    ("label", "expected"),
    [("ends in a touch", Verdict.PROVED), ("ends in a step", Verdict.REFUTED), ("3 counts", Verdict.REFUTED)],
)
def test_a_header_settles_a_figure(label: str, expected: Verdict) -> None:
    """`vine: ends in a step` gives every vine of the sheet that meaning."""
    assert expected is verdict(LINE_SHEET.replace("lead: right", f"lead: right\nvine: {label}"), "all")


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("Vine ending in a touch", Verdict.PROVED),
        ("Vine ending in a step", Verdict.REFUTED),
        ("Vine ends in a kick", Verdict.PROVED),
        ("Grapevine ending in a step", Verdict.REFUTED),
        ("Vine, left foot", Verdict.REFUTED),
    ],
)
@pytest.mark.parametrize("readings", ["usual", "all"])
def test_a_line_settles_a_figure(line: str, expected: Verdict, readings: str) -> None:
    """A line says which vine it means, whatever the mode; without such words the vine stays open in `all`."""
    assert expected is verdict(LINE_SHEET.replace("  Vine", f"  {line}"), readings)


def test_a_line_wins_over_the_header() -> None:
    """What a line says of itself holds there; the header's reading holds elsewhere."""
    sheet = LINE_SHEET.replace("lead: right", "lead: right\nvine: ends in a step")

    assert Verdict.REFUTED is verdict(sheet)
    assert Verdict.PROVED is verdict(sheet.replace("  Vine", "  Vine ending in a touch"))


def test_a_book_is_loaded_with_a_named_set_of_readings() -> None:
    """For a class of tap dancers a stomp takes no weight; the sheet may still say that it does."""
    tap = books.load("clogging", readings="tap")

    assert Verdict.REFUTED is check(loads(SHEET, book=tap)).verdict
    assert (
        Verdict.PROVED
        is check(loads(SHEET.replace("book: clogging", "book: clogging\nstomp: weight"), book=tap)).verdict
    )


def test_a_header_names_a_set_of_readings() -> None:
    """`book: clogging with tap readings` is the book loaded so; a set that there is none of is a finding."""
    assert Verdict.REFUTED is verdict(SHEET.replace("book: clogging", "book: clogging with tap readings"))
    wrong = check_text(SHEET.replace("book: clogging", "book: clogging with salsa readings"))
    assert ["header-value"] == [d.code.name for d in wrong.diagnostics if d.code.id < "SR5"]
    assert "no readings named salsa" in wrong.diagnostics[0].message


def test_one_word_of_two_books_is_settled_by_its_label_in_each() -> None:
    """Both books have a chug; a label that one of them does not have leaves that one's as usual, and nothing breaks."""
    sheet = """\
routine: Two Books
book: clogging, line
chug: hop back

figures:
  Landing, 2 beats: S CH

part Verse: 3 beats
  Landing
  Chug

dance:
  Verse
"""
    assert Verdict.PROVED is verdict(sheet)
    assert Verdict.PROVED is verdict(sheet.replace("chug: hop back\n", ""), "all")


def test_readings_that_lead_to_another_place_are_no_one_reading(tmp_path: Path) -> None:
    """Where a part comes to hangs on the reading: both engines look at both, and say which one it is."""
    way = "{}, 2 steps {}: S S S S\n      from: memory\n"
    figures = "    " + way.format("to the right (usual)", "right") + "    " + way.format("to the left", "left")
    (tmp_path / "drift.book").write_text(f"book: drift\non top of: line\n\nfigures:\n  Drift, 4 counts:\n{figures}")
    lines = "  Drift, right foot\n  Jazz Box, 2 steps left\n"
    sheet = f"book: drift.book\nlead: right\n\npart A: returns\n{lines}dance:\n  A\n"
    path = str(tmp_path / "drift.routine")
    usual, every = check_text(sheet, path=path), check_text(sheet, path=path, readings="all")

    assert (Verdict.PROVED, Verdict.REFUTED) == (usual.verdict, every.verdict)
    assert [(("Drift",), (("to the left",),))] == [(hang.words, hang.readings) for hang in usual.hangs]
    assert ["off-its-spot"] == [one.code.name for one in every.diagnostics if one.code.severity.name == "ERROR"]


def test_readings_must_be_one_of_three() -> None:
    """Another word is refused, with those there are."""
    with pytest.raises(UnknownOption, match="usual, all, report"):
        loads(SHEET, readings="some")


# -- what hangs on a word --------------------------------------------------------------------------------------------


def test_the_report_lists_what_the_proof_hangs_on() -> None:
    """In the normal mode, too, the value has the words, how they break the proof, and which claims."""
    (hang,) = check_text(SHEET).hangs

    assert (("stomp",), (("no weight",),), ("verse: to left foot",)) == (hang.words, hang.readings, hang.claims)


def test_all_readings_of_a_figure_that_break_it_are_named() -> None:
    """Readings that do the same are looked at once and named each, in the order of the book."""
    (hang,) = check_text(LINE_SHEET).hangs

    assert (("ends in a step",), ("3 counts",), ("endless",)) == hang.readings


def test_two_words_that_only_together_change_a_verdict_are_one_set() -> None:
    """A bounce onto both feet hides what the stomp was read as; only who reads both otherwise has the wrong foot."""
    sheet = """\
routine: Two Words
book: clogging

figures:
  Landing, 2 beats: S BOUNCE

part Verse:
  Stomp
  Landing
  Triple, left foot

dance:
  Verse
"""
    routine = loads(sheet, readings="all")
    view = opened_up(routine.program, routine.words)
    (hang,) = hangs_of(view)

    assert (("bounce", "stomp"), (("on the same foot", "no weight"),)) == (hang.words, hang.readings)
    assert ("Triple",) == idle(view)
    assert (1, True) == (len(clarify(view).settle), clarify(view).shortest)
    (note,) = (d for d in check_text(sheet).diagnostics if d.code.name == "usual-reading")
    assert "this holds unless bounce is read as on the same foot and stomp as no weight" == note.message


def test_the_finding_in_all_readings_names_the_word_and_its_reading() -> None:
    """The smallest set of words that breaks a claim stands beside the finding, with the steps and the line."""
    (finding,) = (d for d in check_text(SHEET, readings="all").diagnostics if d.code.id[2] == "5")

    assert ["when stomp is read as: no weight"] == [about for _, about in finding.related]
    assert ("5", "Stomp") == (finding.rows[0][-1].beat, finding.rows[0][-1].figure)


def test_the_shortest_clarification_stands_under_the_findings() -> None:
    """`--readings all` says which header lines make the sheet safe, in text and in the value."""
    found = check_text(SHEET, readings="all")

    assert (("stomp", "takes weight"),) == found.leaning.settle
    assert "safe for everybody with `stomp: takes weight` in the header; nothing shorter does" in text((found,))
    assert (
        Verdict.PROVED
        is check_text(SHEET.replace("book: clogging", "book: clogging\nstomp: takes weight"), readings="all").verdict
    )


def test_a_sheet_that_no_reading_mends_is_not_blamed_on_words() -> None:
    """A claim that fails in every reading is left aside; the others are still made safe."""
    sheet = SHEET.replace("5 beats", "6 beats")
    found = check_text(sheet, readings="all")

    assert (("stomp", "takes weight"),) == found.leaning.settle
    assert not check_text(sheet.replace("to left foot", "to both feet"), readings="all").leaning.settle


def test_header_lines_go_behind_the_header() -> None:
    """The text with a clarification is the sheet with the lines after its last header line, or at its top."""
    routine = loads(SHEET)

    assert SHEET.replace("clogging\n", "clogging\nstomp: takes weight\n", 1) == settled(
        routine.sheet, (("stomp", "takes weight"),)
    )
    bare = loads("part Verse:\n  Stomp\ndance:\n  Verse\n")
    assert settled(bare.sheet, (("stomp", "no weight"),)).startswith("stomp: no weight\npart Verse:")


def test_a_reading_that_nobody_can_dance_is_left_out_and_named() -> None:
    """It refutes nothing and proves nothing; a note says which figure, count, reason and reading."""
    sheet = SHEET.replace("part", "figures:\n  Toe Change, 2 beats: T(L)@1 S(R)@2\n\npart", 1).replace(
        "  Stomp", "  Toe Change, left foot"
    )
    sheet = sheet.replace("5 beats, left foot to left foot", "6 beats").replace("  Triple\n", "  Rocking Chair\n")

    assert Verdict.PROVED is verdict(sheet, "all")
    (note,) = (d for d in check_text(sheet, readings="all").diagnostics if d.code.id == "SR806")
    assert note.message.startswith(
        "Toe Change cannot be danced by who reads toe as no weight: count 2, step, the right foot"
    )
    assert note.message.endswith("already has the weight; that reading is left out")


# -- dancers from elsewhere ------------------------------------------------------------------------------------------


def test_a_visitor_parts_from_the_others_where_the_word_stands() -> None:
    """The report names the word, how it is read, the line and beat, and the claim that fails first."""
    (visit,) = check_text(SHEET, readings="report").leaning.visits

    assert (("stomp",), ("no weight",), 6, "5", "Stomp") == (
        visit.words,
        visit.readings,
        visit.line,
        visit.beat,
        visit.figure,
    )
    assert (4, "Verse should end with the left foot free, but the right foot is free") == (
        visit.claim_line,
        visit.sentence,
    )


def test_the_report_on_readings_is_a_table_with_what_does_not_matter() -> None:
    """A row for each way to go wrong; words that change nothing are named, and so is the cure."""
    assert [
        "word   read as    off at          then wrong",
        "stomp  no weight  line 6, beat 5  line 4: Verse should end with the left foot free, but the right foot is free",
        "read in several ways, but all the same here: Triple",
        "safe for everybody with `stomp: takes weight` in the header; nothing shorter does",
    ] == list(told(check_text(SHEET, readings="report").leaning))


def test_a_reading_that_mends_a_sheet_is_told() -> None:
    """Where the usual reading is what is wrong, nobody from elsewhere goes wrong; the report says who is right."""
    leaning = check_text(SHEET.replace("to left foot", "to right foot"), readings="report").leaning

    assert () == leaning.visits
    assert "a verdict changes for the better if stomp is read as no weight" in told(leaning)


def test_a_report_on_readings_has_the_verdict_of_the_usual_ones() -> None:
    """What visitors do wrong is told, and the sheet stays proved."""
    found = check_text(SHEET, readings="report")

    assert (Verdict.PROVED, 0) == (found.verdict, found.exit_status)


def test_where_no_word_matters_the_report_says_so() -> None:
    """An answer, not silence."""
    leaning = check_text(SHEET.replace("  Stomp", "  Step"), readings="report").leaning

    assert "no word changes anything here, however it is read" == next(told(leaning))


# -- limits ----------------------------------------------------------------------------------------------------------


def many_words(folder: Path, count: int) -> str:
    """Write a book with `count` two-way figures and return a sheet that dances each once."""
    rows = "".join(
        f"  Word {chr(65 + number)}\n    one (usual), 2 beats: DS RS\n      from: memory\n    two, 2 beats: S S\n      from: memory\n"
        for number in range(count)
    )
    (folder / "mill.book").write_text(f"book: Mill\non top of: clogging\nfigures:\n{rows}", "utf-8")
    lines = "".join(f"  Word {chr(65 + number)}\n" for number in range(count))
    return f"routine: Many\nbook: mill.book\npart Verse: {2 * count} beats, left foot\n{lines}dance:\n  Verse x2\n"


def test_sixteen_open_words_are_decided(tmp_path: Path) -> None:
    """65,536 combinations are gone through by partition, and the clarification is still the shortest."""
    routine = loads(many_words(tmp_path, 16), path=str(tmp_path / "x.routine"), readings="all")
    found = check(routine, engine="walk")

    assert Verdict.REFUTED is found.verdict
    assert 16 == len(found.hangs) == len(found.leaning.settle)
    assert found.leaning.shortest


def test_more_are_undecided_and_say_so(tmp_path: Path) -> None:
    """Beyond 16 two-way words the walk gives up: undecided for want of budget, never proved."""
    routine = loads(many_words(tmp_path, 17), path=str(tmp_path / "x.routine"), readings="all")
    found = check(routine, engine="walk")

    assert Verdict.UNDECIDED is found.verdict
    assert {"budget"} == {claim.reason for claim in found.claims}
    assert not found.leaning.decided
    assert ["too many words are read in several ways to look at every combination: settle some in the header"] == list(
        told(found.leaning)
    )


def test_words_that_read_the_same_do_not_count(tmp_path: Path) -> None:
    """Readings with one effect are one: a jazz box has four, and they are one assignment."""
    sheet = LINE_SHEET.replace("  Vine", "  Jazz Box").replace("to left foot", "to right foot")
    routine = loads(sheet, readings="all")
    view = opened_up(routine.program, routine.words)

    assert (1, ("Jazz Box",)) == (view.words.total, idle(view))
    assert () == clarify(view).settle


# -- faces -----------------------------------------------------------------------------------------------------------


def test_json_carries_what_hangs_on_readings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The published layout has the mode and the leaning, and reads back equal."""
    (tmp_path / "slack.routine").write_text(SHEET, "utf-8")
    assert 1 == cli.main(["check", "--readings", "all", "--format", "json", str(tmp_path)])
    (sheet,) = json.loads(capsys.readouterr().out)["sheets"]

    assert "all" == sheet["readings"]
    assert [{"word": "stomp", "reading": "takes weight"}] == sheet["leaning"]["settle"]
    for mode in ("usual", "all", "report"):
        found = check_text(SHEET, readings=mode)
        assert (found,) == from_json(json_text((found,)))


def test_a_leaning_turns_into_plain_values_and_back() -> None:
    """Every field, the empty ones too."""
    full = check_text(SHEET, readings="report").leaning

    for leaning in (full, Leaning()):
        report = Report("a.routine", "A", Verdict.PROVED, leaning=leaning)
        assert (report,) == from_json(json_text((report,)))
    assert [] == list(cure(Leaning()))


@pytest.mark.parametrize(("mode", "status"), [("usual", 0), ("report", 0), ("all", 1)])
def test_the_command_takes_the_mode(mode: str, status: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`check --readings` asks in this way, and the exit status is that of its verdict."""
    (tmp_path / "slack.routine").write_text(SHEET, "utf-8")

    assert status == cli.main(["check", "--readings", mode, str(tmp_path)])
    assert {"usual": "holds unless stomp is read as no weight", "report": "off at", "all": "nothing shorter does"}[
        mode
    ] in (capsys.readouterr().out)


def test_a_claim_that_waits_where_it_isn_t_refuted_holds_under_no_reading() -> None:
    """Whatever part of the readings each of the two has, together they are all."""
    seen = SimpleNamespace(
        refuted={"both": 0b0101, "refuted": 0b1111, "some": 0b0101},
        waiting={"both": 0b1010, "waiting": 0b1111, "some": 0b1000},
        words=SimpleNamespace(every=0b1111),
    )
    view = View(None, seen, {}, ())  # type: ignore[arg-type]

    assert ["both", "refuted", "waiting"] == [
        claim for claim in ("both", "refuted", "waiting", "some", "none") if view.never(claim)
    ]


def opened(text: str) -> View:
    """Return a sheet with its words open."""
    routine = loads(text)
    assert routine.program is not None
    view = opened_up(routine.program, routine.words)
    assert view is not None
    return view


FOUR = opened(SHEET.replace("  Stomp\n", "  Stomp\n  Basic\n  Airplane\n"))


def safe(fixed: dict[int, int], bad: int) -> bool:
    """Say whether none of the assignments `bad` is left where some words are settled."""
    for word, kind in fixed.items():
        bad &= FOUR.words.where(word, kind)
    return not bad


@pytest.mark.parametrize("seed", range(40))
def test_the_fewest_words_are_settled_that_leave_nothing_bad(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """As trying all of them says, whatever is bad; in little time more are, but none for nothing, and what is left is
    possible."""
    sizes = [len(kinds) for kinds in FOUR.words.classes]
    assert [2, 2, 3, 3] == sizes
    every, chance = FOUR.words.every, Random(seed)
    bad = sum(1 << number for number in range(FOUR.words.total) if chance.random() < chance.choice((0.1, 0.5))) & every
    if bad in (0, every):
        bad = every & ~4 or 1
    ways = [
        dict(zip(chosen, kinds, strict=True))
        for size in range(len(sizes) + 1)
        for chosen in combinations(range(len(sizes)), size)
        for kinds in product(*(range(sizes[word]) for word in chosen))
    ]
    least = min(len(way) for way in ways if safe(way, bad) and not safe(way, every))

    found = _Search(FOUR, bad).shortest()
    assert found is not None and found[1]
    assert len(found[0]) == least and safe(found[0], bad) and not safe(found[0], every)
    monkeypatch.setattr("stepcheck.report.readings.MOST_TRIED", 0)
    quick = _Search(FOUR, bad).shortest()
    assert quick is not None
    fixed, shortest = quick
    assert safe(fixed, bad) and not safe(fixed, every) and (not shortest or len(fixed) == least)
    assert not any(safe({word: fixed[word] for word in fixed if word != without}, bad) for without in fixed)


def test_a_clarification_that_is_not_safe_is_not_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    """The sheet with its lines is checked once more; where that goes wrong none is said to help."""
    monkeypatch.setattr("stepcheck.report.pipeline._is_safe", lambda *given: False)
    leaning = check_text(SHEET, readings="all", engine="walk").leaning

    assert ((), False) == (leaning.settle, leaning.helps)
