"""The face of the library under two type checkers: mypy in its strict mode, and pyright."""

import importlib.util
import subprocess
import sys
from pathlib import Path

import pytest

import stepcheck as sc

CONSUMER = '''\
"""Uses every function of the face as its signature says."""

import sys
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction

from hypothesis import given, settings

import stepcheck as sc
from stepcheck import strategies


def built() -> sc.Routine:
    step: sc.Built = sc.line("Push-off", turn=Fraction(1, 4), note="look round")
    lines = sc.block("4 times", [sc.line("Triple", foot="left"), step])
    own: sc.Built = sc.figure("Weir Step", "DS RS", beats=2)
    part: sc.Built = sc.part("A", "32 beats, full turn right", lines)
    return sc.sheet("Barge Lane", parts=[part], figures=[own], dance=["A x2"], music={"verse": 64}, header={"lead": "left", "tempo": "120"})


def drafted(text: str) -> sc.Routine:
    draft: sc.Draft = sc.draft(text)
    print(draft.assumed, draft.open, [line.text for line in draft.lines])
    return sc.loads(draft.text)


def checked(path: str, engine: sc.Engine = "both") -> tuple[sc.Report, ...]:
    book: sc.Book = sc.load_book("clogging")
    routine: sc.Routine = sc.load(path, readings="usual", book=book)
    reports = [sc.check(routine, engine=engine), sc.check_file(path), sc.check_text(sc.format_text("dance:\\n  Triple\\n"))]
    reports.append(sc.check(sc.loads("dance:\\n  Triple\\n")))
    for report in reports:
        for claim in report.claims:
            verdict: sc.Verdict = claim.verdict
            print(claim.line, verdict.word, claim.sentence)
        for finding in report.diagnostics:
            span: sc.Span = finding.span
            print(span.line, finding.code.severity is sc.Severity.ERROR, [row.figure for rows in finding.rows for row in rows])
    text: str = sc.render(reports, "sarif") + sc.to_json(reports) + sc.script(routine) + sc.certificate(routine)
    print(len(text), sc.schema("json"), sc.explain("SR501").sections[0][0])
    return sc.from_json(sc.to_json(reports))


def taught(routine: sc.Routine) -> None:
    made: sc.Calls = sc.calls(routine, rounds=2)
    practice: sc.Practice = sc.practise(routine)
    fitted: sc.Fitted = sc.fit(routine, music="verse 32, chorus 32")
    sections: list[str] = [one.name for one in fitted.sections]
    print(sections, fitted.diff, fitted.statement, routine.facts.song and routine.facts.song.sections[0].ticks)
    paper: sc.Handout = sc.handout(routine)
    print([call.words for call in made.calls], made.webvtt, len(made.midi), [one.source for one in sc.care(routine)])
    print([join.points for join in practice.joins], [one.home for one in practice.loops], practice.order, practice.drills)
    print(sc.handout_html(paper) + sc.handout_svg(paper))


def mended(routine: sc.Routine) -> None:
    found: sc.Repairs = sc.repair(routine, limit=2, keep=["A"], without=["figure"], costs={"turn": 3})
    for fix in found:
        evidence: sc.Evidence = fix.evidence
        print(fix.cost, fix.diff, evidence.statement, [edit.kind for edit in fix.edits])
    filled: sc.Filled = sc.fill(routine, limit=2, level="any")
    print([one.value for fill in filled.fills for one in fill.fillings], filled.unique)
    rows: sc.Breaks = sc.find_breaks("clogging", beats="15/2", most_turn=Fraction(1, 2), wanted=["Triple"])
    turned: list[Fraction] = [row.turning for row in rows.breaks]
    print(turned, sc.break_after(routine, "A", beats=4).reason, sc.find_endings(routine, passes=1, counts=8).before)


def looked_up(paths: list[str]) -> int:
    book = sc.load_book("clogging")
    for figure in book.find("Triple"):
        card: sc.Card = sc.card(figure)
        print(card.beats, [alike.always for alike in sc.same_as(book, card.name)], sc.lint_book(book))
    states = sc.state_graph(book)
    print(sc.dot(states), sc.graphml(sc.flow_graph(built())), sc.walls_within(states, "left foot, front", 4))
    print(sc.svg(sc.use_graph(paths)), len(sc.medley_graph(paths[0])), len(sc.likeness_graph(paths)))
    for change in sc.impact("clogging", "line", paths):
        print(change.path, change.worse)
    with ThreadPoolExecutor() as pool:
        whole: sc.Catalogue = sc.check_catalogue(paths, executor=pool, cache=False, exclude=["drafts/"])
    return whole.exit_status


@given(strategies.routines(sound=True), strategies.books(), strategies.sheets(huge=True, taste="times"), strategies.book_texts())
@settings(max_examples=3, database=None, deadline=None)
def drawn(routine: sc.Routine, book: sc.Book, text: str, pages: str) -> None:
    assert sc.check(routine).verdict is sc.Verdict.PROVED and book.name and text and pages


if __name__ == "__main__":
    try:
        print(built().title, checked(sys.argv[1]), looked_up(sys.argv[1:]), sc.__version__)
    except (sc.SourceError, sc.SearchError, sc.CostError, sc.NothingFound) as error:
        raise SystemExit(str(error)) from error
'''
MISSPELT = """\
import stepcheck as sc

routine = sc.laods("x")
report = sc.chekc(sc.loads("x"))
sc.check(sc.loads("x"), engine="wlak")
sc.load("x", readings="al")
sc.render(sc.check_file("x"), "sarfi")
print(sc.check_file("x").verdct)
print(sc.repair(sc.loads("x"), limits=3))
print(sc.Verdict.REFUTD)
print(sc.find_breaks(beats=8).breaks[0].begats)
error = sc.SearchEror
"""


KEPT = Path(__file__).parents[2] / ".mypy_cache" / "consumers"  # what mypy has found of the libraries, from run to run
MYPY = ["mypy", "--strict", "--follow-imports=silent", f"--cache-dir={KEPT}"]
PYRIGHT = ["pyright", "--pythonpath", sys.executable]


@pytest.fixture(scope="module", params=["mypy", "pyright"])
def errors(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """The errors that a type checker finds in both programs, a line each."""
    checker = {"mypy": MYPY, "pyright": PYRIGHT}[request.param]
    if importlib.util.find_spec(checker[0]) is None:
        pytest.skip(f"{checker[0]} is not installed")
    folder = tmp_path_factory.mktemp("consumers")
    (folder / "consumer.py").write_text(CONSUMER)
    (folder / "misspelt.py").write_text(MISSPELT)
    done = subprocess.run(
        [sys.executable, "-m", *checker, "consumer.py", "misspelt.py"],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    return [line for line in done.stdout.splitlines() if "error:" in line or "- error" in line]


def test_a_program_that_uses_the_whole_face_is_typed(errors: list[str]) -> None:
    """Every function is called in it, and neither checker finds anything."""
    functions = {name for name in sc.__all__ if name[0].islower()}
    assert set() == {name for name in functions if f"sc.{name}(" not in CONSUMER}
    assert [] == [line for line in errors if "misspelt.py:" not in line]


def test_ten_names_that_are_misspelt_are_ten_errors(errors: list[str]) -> None:
    """Functions, types, fields, arguments, engines and formats: a checker finds each that there is none of."""
    found = [line for line in errors if "misspelt.py:" in line]

    assert list(range(3, 13)) == sorted(int(line.split("misspelt.py:")[1].split(":")[0]) for line in found)


def test_the_program_that_is_typed_runs(tmp_path: Path) -> None:
    """What the checkers have passed does what it says."""
    (tmp_path / "consumer.py").write_text(CONSUMER)
    sheet = str(Path(__file__).parents[2] / "specs" / "routines" / "barge_lane.routine")
    code = "import consumer, sys; consumer.mended(consumer.built()); consumer.taught(consumer.built()); consumer.drawn(); consumer.checked(sys.argv[1]); consumer.looked_up(sys.argv[1:]); "
    code += "consumer.drafted('Weir Lane\\n16 counts, line dance\\n\\n1-4  Vine right\\n')"
    done = subprocess.run(
        [sys.executable, "-c", code, sheet], cwd=tmp_path, capture_output=True, text=True, timeout=300, check=False
    )

    assert (0, "") == (done.returncode, done.stderr)
