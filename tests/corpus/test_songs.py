"""The page about fitting, and the demo with a song of its own."""

from pathlib import Path

import pytest

import stepcheck as sc
from tests.corpus.expected import SPECS
from tests.corpus.readme import Block, blocks, commands
from tests.corpus.test_readme import run

PAGE = list(blocks((SPECS / "fit.md").read_text(encoding="utf-8")))
DEMO = SPECS / "songs" / "ten_to_nine.routine"


@pytest.mark.parametrize(
    "block", [one for one in PAGE if one.kind == "console"], ids=lambda block: f"line {block.line}"
)
def test_a_command_prints_what_the_page_shows(block: Block, tmp_path: Path) -> None:
    """Each command of `specs/fit.md`, run on its sheets, prints what stands under it, to the letter."""
    for one in PAGE:
        if one.kind == "routine":
            (tmp_path / one.name).write_text(one.text, encoding="utf-8")
    assert commands(block)
    for command, output in commands(block):
        assert output == run(command, tmp_path)


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    """Return a copy of the demo, with its song beside it."""
    pytest.importorskip("music21", reason="songs are read with music21: pip install 'stepcheck[music]'")
    for name in (DEMO.name, "ten_to_nine.abc"):
        (tmp_path / name).write_text((DEMO.parent / name).read_text(encoding="utf-8"), encoding="utf-8")
    return tmp_path / DEMO.name


def test_the_demo_fills_its_song(demo: Path) -> None:
    """The song has a bridge of four beats and a last chorus of twenty-four; the sheet is proved, and laid out as `fit`
    has it."""
    routine = sc.load(demo)
    assert routine.facts.song is not None
    lengths = [f"{one.name} {one.ticks // 12}" for one in routine.facts.song.sections]
    assert "verse 16, verse 16, chorus 16, chorus 16, bridge 4, verse 16, verse 16, chorus 24" == ", ".join(lengths)
    assert "proved" == sc.check(routine).verdict.word
    head, _, _ = routine.sheet.source.text.partition("dance:")
    plain = f"{head}dance:\n  verse: Verse x2\n  chorus: Chorus x2\n  expect facing front\n"
    demo.write_text(plain.replace("music: ten_to_nine.abc\n", ""))
    found = sc.fit(sc.load(demo), music=demo.with_name("ten_to_nine.abc"))
    assert routine.sheet.source.text == found.text
    assert ("unsat", 0, 3) == (found.confirmed, len(found.breaks), found.restarts)


@pytest.mark.parametrize(
    ("old", "new", "code", "said"),
    [
        (
            "  bridge: Chorus, first 4 beats\n",
            "  bridge: Chorus\n",
            "SR509",
            "The section bridge should be danced for 4 beats",
        ),
        ("  Cowboy\n", "  Cowboy\n  Basic\n", "SR505", "Chorus should last 16 beats, but lasts 18 beats"),
        (
            "  verse: Verse\n  verse: Verse\n  chorus",
            "  verse: Verse\n  verse: Verse, first 12 beats\n  chorus",
            "SR509",
            "The section verse",
        ),
    ],
    ids=["the bridge", "the chorus", "a verse"],
)
def test_the_demo_broken_as_teachers_break_it(demo: Path, old: str, new: str, code: str, said: str) -> None:
    """A part where there is music for a part of it, a step too many, a pass cut in the wrong place: each is found, and
    the section is named."""
    text = demo.read_text(encoding="utf-8")
    assert old in text
    demo.write_text(text.replace(old, new, 1))
    report = sc.check(sc.load(demo))
    assert "refuted" == report.verdict.word
    assert any(one.code.id == code and one.message.startswith(said) for one in report.diagnostics), str(report)
