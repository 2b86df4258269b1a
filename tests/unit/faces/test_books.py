"""The command `figures`: lists, searches, shows, checks books, and compares them."""

import json
import re
from pathlib import Path

import pytest

from stepcheck.books import book as books
from stepcheck.books.cards import card, classes, same_as
from stepcheck.books.lint import lint_book
from stepcheck.books.placing import COMPOUNDS
from stepcheck.catalogue.questions import impact
from stepcheck.faces import cli
from stepcheck.model.outcome import Verdict

CLUB = """\
book: Millrace
on top of: clogging

levels:
  hall: first, second

figures:
  Mill Wheel, 4 beats: DS DS RS RS
    level: first in hall
    from: memory
  Weir Step, 3 beats: DS RS RS
    level: second in hall
    from: memory
"""
SHEET = """\
routine: Slack Water
book: millrace.book

part Verse: 4 beats, left foot to left foot
  Mill Wheel

dance:
  Verse
"""


@pytest.fixture
def hall(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a club's book, and nothing else in it, as the current one."""
    (tmp_path / "millrace.book").write_text(CLUB, "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def answer(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    """Return the exit status of `stepcheck figures`, and what it wrote to stdout and stderr."""
    status = cli.main(["figures", *words])
    return status, *capsys.readouterr()


# -- listing and showing ---------------------------------------------------------------------------------------------


def test_all_figures_are_listed_by_book(capsys: pytest.CaptureFixture[str]) -> None:
    """Without words every figure of both shipped books is one line, with its length, its effect and its level."""
    status, out, err = answer(capsys)

    every = [figure for name in books.SHIPPED for figure in books.load(name).figures()]
    assert (0, f"{len(every)} figures\n") == (status, err)
    assert len(every) + 2 == len(out.splitlines())
    assert "   Triple                 4 beats  other foot free            basic in club; 2 readings" in out


def test_a_name_shows_its_figures_in_every_book_and_names_the_others(capsys: pytest.CaptureFixture[str]) -> None:
    """Both vines are shown in full; figures that only have the word in their name are named at the end."""
    status, out, _ = answer(capsys, "vine")

    assert 0 == status
    assert ["Vine (book clogging)", "Vine (book line)"] == [
        line for line in out.splitlines() if line.startswith("Vine")
    ]
    assert out.endswith("also: Clog-over Vine, Slur Vine, Rolling Vine, Figure Eight\n")


def test_a_card_has_counts_feet_effect_and_sources(capsys: pytest.CaptureFixture[str]) -> None:
    """Each movement with its count, foot and weight; what comes of it from either foot; the source of each reading."""
    assert (
        0,
        """\
Basketball Turn (book clogging)
   also: Pivot Turn, Pivot
   level: easy in club
   usual turns: 1/4 turn right, 1/2 turn right (from the left foot)
   2 beats, written for the left lead
      count  movement  foot   weight on
      1      step      left   left
      1      pivot     left   left
      2      step      right  right
      from the left foot: left foot free, 1/2 turn right
      from the right foot: right foot free, 1/2 turn left
      from both feet: as with the foot that is chosen to lead
      from: Bull Run Cloggers step list, bullruncloggers.org/resources.php
      from memory
""",
        "",
    ) == answer(capsys, "basketball", "turn", "--book", "clogging")


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["samantha"], "by custom from the left foot only"),
        (["samantha"], "level: easy intermediate in convention"),
        (["chug", "--book", "clogging"], "hop back: Club note on clogging"),
        (["chug", "--book", "clogging"], "leg pump (usual): Raylin"),
        (["joey"], "      from memory\n"),
        (["jump"], "from the left foot: on both feet"),
        (["jump"], "from both feet: on both feet"),
        (["kick ball change"], "as 1a2, 2 beats"),
        (["mill wheel", "--book", "millrace.book"], "level: first in hall"),
    ],
)
def test_a_card_says_what_a_teacher_asks_for(
    words: list[str], expected: str, hall: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Customs, levels with their scheme, the readings of movements with sources, what is from memory, both feet."""
    assert expected in answer(capsys, *words)[1]


def test_a_word_in_names_is_searched_for(capsys: pytest.CaptureFixture[str]) -> None:
    """No figure is called so: those with it in a name or synonym are listed, in any spelling."""
    _, out, _ = answer(capsys, "rock ing")

    assert ["Rocking Chair", "Rocking Chair Around", "Rocking Step", "Rocking Chair"] == [
        line.split("  ")[1].strip() for line in out.splitlines() if line.startswith("   ")
    ]


@pytest.mark.parametrize(
    ("level", "within", "beyond"),
    [
        ("basic", "Triple", "Rocking Chair"),
        ("easy", "Rocking Chair", "Samantha"),
        ("basic plus in convention", "Charleston", "Samantha"),
        ("basic plus", "Charleston", "Samantha"),
        ("easy, club scheme", "Rocking Chair", "Samantha"),
    ],
)
def test_a_level_leaves_out_what_is_harder(
    level: str, within: str, beyond: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Figures of at most the level, within its scheme; the club's grading if no scheme is named."""
    _, out, _ = answer(capsys, "--book", "clogging", "--level", level)
    names = [line[3:].partition("  ")[0].strip() for line in out.splitlines()]

    assert within in names
    assert beyond not in names


def test_unknown_names_and_levels_are_answered_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    """Status 2 and what may be meant, on stderr."""
    assert (
        2,
        "",
        "stepcheck: there is no figure 'tripel' in the book clogging; did you mean Triple or Triple Loop or Triple Kick?\n",
    ) == (answer(capsys, "tripel", "--book", "clogging"))
    status, out, err = answer(capsys, "--level", "wizard")
    assert (2, "") == (status, out)
    assert "in the books clogging and line; the names most like it are Toe, Hop and Vine" in answer(capsys, "Nope")[2]
    assert "in the book line; `stepcheck figures` lists them all" in answer(capsys, "--book", "line", "Xyz")[2]
    assert "there is no level 'wizard'; the levels of the figures are basic, easy" in err


def test_a_name_without_footwork_is_answered_with_the_lines_to_write(capsys: pytest.CaptureFixture[str]) -> None:
    """Known by name is an answer: where it is named, and the line to write, with its footwork left open."""
    status, out, _ = answer(capsys, "Turkey")

    assert 0 == status
    assert "Turkey is known by name, footwork not published: define it in the sheet" in out
    assert "   figures:\n     Turkey, … beats: …\n   named in: Favourite steps (clogging blog), " in out
    told = json.loads(answer(capsys, "Turkey", "--format", "json")[1])
    assert "     Karate, … beats: …\n   from memory\n" in answer(capsys, "Karate")[1]
    assert answer(capsys, "K-Step")[1].startswith("K-Step is known by name")  # its letters end other names: Rock Step
    assert (["Turkey"], 2, ["figures:", "  Turkey, … beats: …"]) == (
        told["known"],
        len(told["sources"]),
        told["define"],
    )


def test_a_level_of_a_scheme_without_grades_is_refused_with_the_reason(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Not "too hard": nothing in the book has a grade of that scheme."""
    (tmp_path / "own.book").write_text("on top of: clogging\nlevels:\n  ferry: first\n", "utf-8")

    status, out, err = answer(capsys, "--book", str(tmp_path / "own.book"), "--level", "first in ferry")
    assert (2, "") == (status, out)
    assert "no figure of this book is graded in ferry" in err


# -- codes -----------------------------------------------------------------------------------------------------------


def test_all_codes_are_listed_by_book(capsys: pytest.CaptureFixture[str]) -> None:
    """Form, name, foot, weight, place and readings of every movement of each book, the compounds at the end."""
    status, out, _ = answer(capsys, "--movements")

    rows = [re.split(r"\s{2,}", line.strip()) for line in out.splitlines()]
    assert (0, 2) == (status, rows.count(["code", "movement", "made by", "weight", "falls on", "readings"]))
    assert ["STO", "stomp", "free foot", "takes weight", "downbeat", "takes weight (usual); no weight"] in rows
    assert ["DT D", "double toe", "free foot", "no weight", "upbeat"] in rows
    assert ["DT D", "double toe", "free foot", "no weight", "a count"] in rows
    assert ["DR G", "drag", "supporting foot", "keeps weight", "upbeat"] in rows
    assert ["PV", "pivot", "supporting foot", "keeps weight", "no place"] in rows
    assert ["CLAP", "clap", "nobody", "downbeat"] in rows
    assert ["RS", "rock, step", "upbeat, downbeat"] in rows
    every = [code for name in books.SHIPPED for code in (*books.load(name).movements(), *COMPOUNDS)]
    assert len(every) + 4 == len(rows)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["DS"], "DS (book clogging): double toe, step, upbeat, downbeat\n"),
        (["ds"], "DS (book line): double toe, step, a count each\n"),
        (
            ["STO", "--book", "clogging"],
            "STO (book clogging): stomp, downbeat\n   takes weight (usual): free foot, takes weight\n",
        ),
        (["STO", "--book", "clogging"], "   no weight: free foot, no weight\n      from: Tap terms, "),
        (["hop", "--book", "line"], "Hop (book line)\n"),
        (["hop", "--book", "line"], "HOP HP P (book line): hop, a count\n   supporting foot, keeps weight\n"),
        (["double toe", "--movements"], "DT D"),
    ],
)
def test_a_code_is_a_name(words: list[str], expected: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A code shows its movement: who makes it, its weight, where it falls, each reading with its sources."""
    assert expected in answer(capsys, *words)[1]


def test_codes_are_values_too(capsys: pytest.CaptureFixture[str]) -> None:
    """JSON has the forms, the place, the row of a compound, and each reading with its sources."""
    (sto,) = json.loads(answer(capsys, "STO", "--book", "clogging", "--format", "json")[1])["movements"]
    (ds,) = json.loads(answer(capsys, "--movements", "DS", "--book", "line", "--format", "json")[1])["movements"]

    assert (["STO"], "clogging", "stomp", "downbeat", []) == tuple(
        sto[one] for one in ("forms", "book", "name", "place", "row")
    )
    assert [("takes weight", True, "free foot", True), ("no weight", False, "free foot", False)] == [
        (one["label"], one["usual"], one["made_by"], one["takes_weight"]) for one in sto["readings"]
    ]
    assert all(one["sources"] for one in sto["readings"])
    assert (["double toe", "step"], []) == (ds["row"], ds["readings"])


def test_a_code_that_no_book_has_gives_status_2(capsys: pytest.CaptureFixture[str]) -> None:
    """And says where all of them are."""
    status, out, err = answer(capsys, "--movements", "QQ")

    assert (2, "", True) == (status, out, "no movement is written or called 'QQ'" in err)


def test_json_has_the_cards_as_values(capsys: pytest.CaptureFixture[str]) -> None:
    """Counts, feet, ends and sources without reading any sentence."""
    (vine,) = json.loads(answer(capsys, "vine", "--book", "line", "--format", "json")[1])["figures"]

    assert ("Vine", "line", "right", 9) == (vine["name"], vine["book"], vine["lead"], len(vine["meanings"]))
    assert {"count": "4", "movement": "touch", "foot": "left", "weight": "right"} == vine["meanings"][0]["paces"][3]
    assert {"start": "right foot", "free": "left", "turn": 0} == vine["meanings"][0]["ends"][1]


# -- what is interchangeable -----------------------------------------------------------------------------------------


def test_figures_with_one_effect_and_length_are_one_class() -> None:
    """A basic and a boogie basic are; a kick step keeps the foot, a double basic is longer, a turn is another
    effect."""
    found = classes(books.load("clogging"))
    of = {figure.name: number for number, group in enumerate(found) for figure in group.figures}

    assert of["Basic"] == of["Boogie Basic"]
    assert 4 == len({of[name] for name in ("Basic", "Kick Step", "Double Basic", "Basketball Turn")})
    assert sum(len(group.figures) for group in found) == len(books.load("clogging").figures())


def test_what_hangs_on_a_reading_is_interchangeable_as_usually_read_only() -> None:
    """A basic may be read as three beats long, so nothing is always as it is; two triples are, in every reading."""
    book = books.load("clogging")

    assert [False] == [group.always for group in same_as(book, "Basic")]
    sure, unsure = same_as(book, "Triple")
    assert (True, False) == (sure.always, unsure.always)
    assert "Stomp Double" in [figure.name for figure in unsure.figures]
    assert "Triple Brush" in [figure.name for figure in sure.figures]


def test_what_leads_elsewhere_cannot_stand_in(tmp_path: Path) -> None:
    """A claim about places tells it from what stays, and from both feet a turn that neither foot leads from its mirror
    image."""
    rows = (
        "Stay, on the spot: S S",
        "Open: S S",
        "Aside, 2 steps right: S S",
        "Other, left foot, 2 steps left: S S",
        "Wheel, turn 1/4 left: BOUNCE HOLD",
        "Mill, left foot, turn 1/4 right: BOUNCE HOLD",
    )
    text = "on top of: line\nfigures:\n" + "".join(f"  {row}\n    from: memory\n" for row in rows)
    (tmp_path / "own.book").write_text(text, "utf-8")
    own = {row.partition(",")[0].partition(":")[0] for row in rows}
    found = [{one.name for one in group.figures} & own for group in classes(books.load(tmp_path / "own.book"))]

    assert [{"Stay"}, {"Open"}, {"Aside", "Other"}, {"Wheel"}, {"Mill"}] == [names for names in found if names]


def test_same_as_says_what_can_stand_in(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The figure with what it does, then the others, or that there are none; an unknown name gives status 2."""
    rows = "  Buck Turn, 7 beats, turn 1/8 left: S HOLD HOLD HOLD HOLD HOLD HOLD\n"
    (hall / "own.book").write_text(f"on top of: clogging\nfigures:\n{rows}", "utf-8")
    assert (
        "whatever the words in them are read as: Fancy Double, Rocking Chair Around"
        in (answer(capsys, "--same-as", "rocking chair", "--book", "clogging")[1])
    )
    assert "   nothing else does the same\n" in answer(capsys, "--same-as", "Buck Turn", "--book", "own.book")[1]
    assert 2 == answer(capsys, "--same-as", "nonsense")[0]
    document = json.loads(answer(capsys, "--same-as", "basic", "--book", "clogging", "--format", "json")[1])
    assert {"name": "Boogie Basic", "book": "clogging"} in document["same"][0]["figures"]


# -- checking a book -------------------------------------------------------------------------------------------------


def lint(hall: Path, figures: str) -> list[tuple[str, int, str]]:
    """Return code, line and message of what is wrong with a club's book that has these figures from line 5 on."""
    (hall / "own.book").write_text(f"book: Own\non top of: clogging\n\nfigures:\n{figures}", "utf-8")
    return [(d.code.name, d.span.line, d.message) for d in lint_book(books.load(hall / "own.book"))]


def test_movements_that_cannot_be_made_are_found_with_count_and_reason(hall: Path) -> None:
    """In any version, at the count at which it fails."""
    assert [
        (
            "impossible-movement",
            5,
            "Kick Change, count 1&: ball cannot be danced, the right foot already has the weight",
        )
    ] == lint(hall, "  Kick Change, 2 beats: K(L)@1 BA(R)@1& S(L)@2\n    from: memory\n")
    found = lint(
        hall, "  Two, 2 beats\n    one (usual): S S\n      from: memory\n    two: S(L) S(L)\n      from: memory\n"
    )
    assert [
        ("impossible-movement", 5, "Two (two), count 2: step cannot be danced, the left foot already has the weight")
    ] == found


def test_a_reading_that_cannot_be_danced_is_a_note(hall: Path) -> None:
    """The figure is right as usually read; the note says for whom it is not."""
    ((code, line, message),) = lint(hall, "  Toe Change, 2 beats: T(L)@1 S(R)@2\n    from: memory\n")

    assert ("reading-left-out", 5) == (code, line)
    assert message.startswith("Toe Change cannot be danced by who reads toe as no weight: count 2: step")


@pytest.mark.parametrize(
    ("figures", "expected"),
    [
        ("  Long, 5 beats: DS RS\n    from: memory\n", "wrong-figure-length"),
        ("  One, 2 beats: DS RS\n    from: memory\n  Two, 2 beats: DS RS\n    from: memory\n", "figure-twice"),
        ("  Triple, 4 beats: DS DS DS RS\n    from: memory\n", "figure-shadowed"),
        ("  Odd, 2 beats: DS RS\n    level: wizard in club\n    from: memory\n", "unknown-level"),
        ("  Odd, 2 beats: DS QQ\n    from: memory\n", "unknown-form"),
    ],
)
def test_a_book_is_checked_for_what_can_be_wrong(hall: Path, figures: str, expected: str) -> None:
    """Counts, two names for one figure, shadows, levels of no scheme, forms nobody knows."""
    assert expected in [code for code, _, _ in lint(hall, figures)]


def test_figures_said_to_be_the_same_do_the_same() -> None:
    """What the check calls one figure under two names is in one class of interchangeable ones."""
    book = books.load("line")
    of = {figure.name: group.figures for group in classes(book) for figure in group.figures}
    pairs = [d.message.split(" has the footwork of ") for d in lint_book(book) if d.code.name == "figure-twice"]

    assert pairs
    assert all(of[one] == of[other] for one, other in pairs)


def test_the_shipped_books_and_the_clubs_have_no_mistake(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`--check` gives 0 with notes only."""
    status, _, err = answer(capsys, "--check", "clogging", "line", "millrace.book")

    assert (0, "3 books: 0 mistakes, 17 notes\n") == (status, err)


def test_checking_a_book_shows_line_and_code_and_gives_1(hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A mistake in a book is told like one in a sheet."""
    (hall / "own.book").write_text(
        "book: Own\non top of: clogging\nfigures:\n  Long, 5 beats: DS RS\n    from: memory\n", "utf-8"
    )
    status, out, err = answer(capsys, "--check", "own.book")

    assert (1, "1 book: 1 mistake, 0 notes\n") == (status, err)
    assert "own.book:4: mistake: Long should last 5, but its movements last 2 [SR511]" in out
    (finding,) = json.loads(answer(capsys, "--check", "own.book", "--format", "json")[1])["diagnostics"]
    assert ("SR511", 4) == (finding["code"], finding["line"])


# -- a book that changes ---------------------------------------------------------------------------------------------


@pytest.fixture
def changed(hall: Path) -> Path:
    """A new edition in which the mill wheel swaps the foot, and sheets with and without the book."""
    (hall / "new.book").write_text(CLUB.replace("DS DS RS RS", "DS DS DS RS"), "utf-8")
    for name, text in (
        ("wheel", SHEET),
        (
            "weir",
            SHEET.replace("Mill Wheel", "Weir Step").replace(
                "4 beats, left foot to left", "3 beats, left foot to left"
            ),
        ),
        ("plain", SHEET.replace("book: millrace.book", "book: clogging").replace("Mill Wheel", "Fancy Double")),
        ("both", SHEET.replace("book: millrace.book", "book: millrace.book, line")),
    ):
        (hall / f"{name}.routine").write_text(text, "utf-8")
    return hall


def test_the_sheets_that_change_verdict_are_told_with_the_place(changed: Path) -> None:
    """Sheets whose header takes the book, alone or beside another, and no others."""
    found = impact("millrace.book", "new.book", [changed])

    assert ["both.routine", "wheel.routine"] == [Path(change.path).name for change in found]
    for change in found:
        (shift,) = change.shifts
        assert (Verdict.PROVED, Verdict.REFUTED) == (change.before, change.after) == (shift.before, shift.after)
        assert (4, "Verse should end with the left foot free, but the right foot is free") == (
            shift.line,
            shift.sentence,
        )
        assert change.worse


def test_a_change_in_the_book_below_reaches_the_book_on_top(hall: Path) -> None:
    """A club's book on top of another is read anew over the new one: figures, and what its readings settle."""
    (hall / "base.book").write_text(
        "book: Base\non top of: clogging\nfigures:\n  Hop, 1 beat: STO\n    from: memory\n", "utf-8"
    )
    (hall / "next.book").write_text(
        "book: Base\non top of: clogging\nreadings:\n  stomp: no weight\nfigures:\n  Hop, 1 beat: STO\n    from: memory\n",
        "utf-8",
    )
    (hall / "top.book").write_text(
        "book: Top\non top of: base.book\nfigures:\n  Skip, 2 beats: S STO\n    from: memory\n", "utf-8"
    )
    sheet = SHEET.replace("millrace.book", "top.book").replace("Mill Wheel", "Skip").replace("4 beats", "2 beats")
    (hall / "skip.routine").write_text(sheet, "utf-8")
    (change,) = impact("base.book", "next.book", ["skip.routine"])

    assert (Verdict.PROVED, Verdict.REFUTED) == (change.before, change.after)


def test_a_figure_that_is_gone_is_told_as_a_finding(changed: Path) -> None:
    """The sheet becomes ill-formed, and the shift is the finding; the other way round it is gone."""
    (changed / "new.book").write_text(CLUB.replace("Mill Wheel", "Mill Race"), "utf-8")
    (change,) = impact("millrace.book", "new.book", ["wheel.routine"])

    assert (Verdict.PROVED, Verdict.ILL_FORMED) == (change.before, change.after)
    assert [("", 5, None, Verdict.ILL_FORMED)] == [(s.claim, s.line, s.before, s.after) for s in change.shifts]
    (back,) = impact("new.book", "millrace.book", ["wheel.routine"])
    assert (Verdict.PROVED, False) == (back.after, back.worse)


def test_the_command_tells_the_impact(changed: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One line a sheet, one for each claim; 1 if a sheet gets worse, 0 if none does, 2 if none uses the book."""
    assert (
        1,
        """\
wheel.routine: proved → refuted
   line 4: proved → refuted: Verse should end with the left foot free, but the right foot is free
""",
        "2 sheets: 1 changed, 1 sheet without the book\n",
    ) == answer(capsys, "--impact", "millrace.book", "new.book", "wheel.routine", "weir.routine", "plain.routine")
    assert (0, "", "1 sheet: 0 changed\n") == answer(capsys, "--impact", "millrace.book", "new.book", "weir.routine")
    assert 2 == answer(capsys, "--impact", "millrace.book", "new.book", "plain.routine")[0]
    assert 2 == answer(capsys, "--impact", "millrace.book", "new.book", "gone.routine")[0]
    document = json.loads(answer(capsys, "--impact", "millrace.book", "new.book", ".", "--format", "json")[1])
    assert ["both.routine", "wheel.routine"] == [Path(change["path"]).name for change in document["changes"]]
    assert ("proved", "refuted") == tuple(document["changes"][0]["shifts"][0][when] for when in ("before", "after"))


@pytest.mark.parametrize(
    "words",
    [
        ["--check"],
        ["--impact", "a", "b"],
        ["--check", "--impact", "a"],
        ["--book", "gone.book"],
        ["--check", "gone.book"],
    ],
)
def test_wrong_words_give_2(words: list[str], hall: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing on stdout, one sentence on stderr."""
    status, out, err = answer(capsys, *words)

    assert (2, "", 1) == (status, out, err.count("\n"))


def test_every_figure_of_the_shipped_books_has_a_card() -> None:
    """No figure of a shipped book fails to be danced, and each reading says what comes of it."""
    made = [card(figure) for name in books.SHIPPED for figure in books.load(name).figures()]

    assert all(meaning.ends and not meaning.fails for one in made for meaning in one.meanings)
