"""The page, as text."""

import re
from pathlib import Path

from attrs import evolve

from stepcheck.formats.floorplan import MOST_DRAWN, plan, plans
from stepcheck.formats.markup import SHAPES
from stepcheck.formats.page import page
from stepcheck.model.findings import CODES
from stepcheck.model.outcome import Verdict
from stepcheck.report import pipeline
from stepcheck.report.text import word
from stepcheck.report.values import Report
from tests.unit.formats.test_floorplan import CHORUS, SHEET
from tests.unit.report.test_values import bare, refuted


def shown(text: str, path: str = "a.routine") -> str:
    """Return the page of one sheet."""
    routine = pipeline.loads(text, path=path)
    report = pipeline.check(routine, engine="walk")
    return page([report], {path: plan(routine, report)})


def test_every_verdict_has_a_shape_of_its_own() -> None:
    """Nothing is told by colour alone: each word that a finding or claim is announced with has its shape."""
    said = {verdict.word for verdict in Verdict} | {word(code) for code in CODES.values()}

    assert said - {"internal error"} == set(SHAPES)
    assert len(SHAPES) == len(set(SHAPES.values()))


def test_the_page_needs_nothing_else_and_is_the_same_each_time() -> None:
    """No address is named in it, so nothing can be fetched; equal reports give equal bytes, and none at all a page."""
    made = page([refuted()])

    assert "http" not in made.replace("http-equiv", "")
    assert made == page([refuted()])
    assert "<!doctype html>" == page([]).splitlines()[0]


def test_the_page_shows_the_cautions() -> None:
    """Where changes are suggested, dancers are told to be careful."""
    assert "medical advice" in page([refuted()])


def test_one_sheet_stands_open_and_refuted_ones_come_first() -> None:
    """A single sheet is unfolded, with no table of one row; of several the refuted come first, whatever their order."""
    several = page([evolve(bare(verdict), path=verdict.word) for verdict in Verdict])

    assert '<details id="s1" data-sheet="1" open="">' in page([refuted()])
    assert 'id="filters"' not in page([refuted()])
    assert " open=" not in several
    assert ["refuted", "ill-formed", "vacuous", "undecided", "proved"] == re.findall(
        r"<h3>([^<]*)</h3><span class=\"badge", several
    )


def test_findings_stand_at_their_lines_with_fixes_as_diffs() -> None:
    """The text of the sheet is there line by line; a finding follows its line, with the change that mends it."""
    made = shown(CHORUS.replace("Chorus x2", "Chorus"))
    line = made.index('<div class="line hit" id="s1l5"><span class="no">5</span><code>  expect right foot</code></div>')
    after = made.index('id="s1l6"')

    assert line < made.index("the left foot is free", line) < after
    assert line < made.index("<del>-  expect right foot</del>") < after
    assert line < made.index("<ins>+  expect left foot</ins>") < after


def test_what_is_put_right_is_drawn_so() -> None:
    """A claim that failed is a stretch of the strip of its own kind, with a link to its line."""
    made = shown(CHORUS)
    stretch = re.search(r'<li class="put-right">.*?</li>', made)

    assert stretch is not None and 'href="#s1l5"' in stretch[0] and "the right foot is free" in stretch[0]
    assert '<li class="put-right">' not in shown(
        CHORUS.replace("expect right", "expect left").replace("Chorus x2", "Chorus")
    )


def test_the_dial_has_the_walls_that_are_danced() -> None:
    """A sheet refuted on four walls is not drawn with four: two bars, and the page says what the header claims."""
    made = shown(SHEET.replace("walls: 2", "walls: 4"))

    assert 2 == made.count('class="wall"')
    assert "danced on 2 walls: 12:00 and 6:00; the header claims 4." in made
    assert "the header claims" not in shown(SHEET)


def test_no_dial_where_some_dance_comes_to_other_walls() -> None:
    """A sheet on four walls by its first way only is refuted on four, and is not drawn with four."""
    made = shown(
        SHEET.replace("walls: 2", "walls: 4").replace(", 1/2 turn right ", " ").replace("1/2 right", "1/4 right | Vine")
    )

    assert "not every dance comes round on 4 walls." in made
    assert 'class="wall"' not in made


def test_of_very_many_sheets_the_worst_are_drawn(tmp_path: Path) -> None:
    """A page of more sheets than a browser shows quickly has the text of the first, and says so at the others."""
    paths = [tmp_path / f"{number:03}.routine" for number in range(MOST_DRAWN + 2)]
    for path in paths:
        path.write_text(SHEET)
    paths[-1].write_text(SHEET.replace("walls: 2", "walls: 4"))
    reports = [pipeline.check_file(str(path), engine="walk") for path in paths]
    made = page(reports, plans(reports))

    assert MOST_DRAWN == made.count('<div class="text">')
    assert str(paths[-1]) in plans(reports) and 2 == made.count("sheets are drawn; ")


def test_every_link_leads_to_something_on_the_page() -> None:
    """No address is dead: codes lead to their pages, which the page has, with sheets as they are written."""
    made = shown(CHORUS) + shown(SHEET.replace("Vine,", "Vien,"))
    targets = re.findall(r'href="#([^"]*)"', made)

    assert {"SR502", "SR301", "s1l5"} <= set(targets) | {"shoes-left"}
    assert all(f'id="{target}"' in made for target in targets)
    assert 'id="SR502"' in made and "What the class would notice" in made


def test_backticks_are_type_and_not_signs() -> None:
    """What a sentence sets off as text of a sheet is set in type, on the page of every demo sheet and every code."""
    specs = Path(__file__).parents[3] / "specs"
    reports = [
        pipeline.check_file(str(path), engine="walk")
        for folder in ("faulty", "unfinished", "routines")
        for path in sorted((specs / folder).glob("*.routine"))
    ]
    reports.append(Report("every code", "", Verdict.REFUTED, diagnostics=tuple(_of_every_code())))
    made = page(reports)

    assert "<code>right foot</code>" in made
    assert "`" not in made.partition("<body>")[2].partition("<script>")[0]


def _of_every_code() -> list[object]:
    return [evolve(refuted().diagnostics[0], code=code) for code in CODES.values()]


def test_a_long_sheet_is_shown_around_its_findings() -> None:
    """Of a sheet of a thousand lines those near a finding are shown, and how many are left out."""
    made = shown(CHORUS.replace("  Triple\n", "  Triple\n" + "# a remark\n" * 1000))

    assert 'id="s1l5"' in made and 'id="s1l500"' not in made
    assert "without a finding" in made
