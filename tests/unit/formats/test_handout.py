"""The sheet for the class, as a page and as a picture."""

import json
import xml.etree.ElementTree as ElementTree
from fractions import Fraction
from pathlib import Path

import pytest

import stepcheck as sc
from stepcheck.faces import cli
from stepcheck.model import words
from tests.laws.test_page import Read

SHEET = """\
routine: Lock & <Gates>
book: clogging
level: basic, club scheme
song: Slow "Water"
tempo: 126
part Verse: 8 beats, 2nd time 12 beats
  Triple
  Push-off, turn 1/2 right
  2nd time only:
    Fancy Double
dance:
  Verse x2
  Stomp x2
  until the music ends:
    Verse, first 8 beats
"""


def made(text: str = SHEET) -> sc.Handout:
    """Return the sheet for the class of a text."""
    return sc.handout(sc.loads(text))


def test_a_part_stands_once_for_each_way_to_dance_it() -> None:
    """The second verse has a figure more, so it stands by itself; the third is danced like the first and does not."""
    found = made()

    assert [("Verse", 1), ("Verse", 2), ("", 0)] == [(one.name, one.time) for one in found.pieces]
    assert ["1", "5", "9"] == [step.count for step in found.pieces[1].steps]
    assert [("Verse", 0, 4), ("Verse", 4, 4), ("Stomp x2", 0, 0), ("Verse", 0, 4)] == [
        (one.name, one.way.facing, one.way.turn) for one in found.order
    ]
    assert "23" == found.again


def test_other_names_and_care_stand_on_it() -> None:
    """Where regions have another name the book's stand beside it; what asks for care is named."""
    found = made()

    assert dict(found.names)["Push-off"] == ("Chain",)
    assert ["level"] == [one.kind for one in found.care]


def test_every_word_of_the_sheet_is_escaped() -> None:
    """The page is whole, its words are the sheet's; the picture is XML that another parser reads."""
    read = Read()
    read.feed(sc.handout_html(made()))
    picture = ElementTree.fromstring(sc.handout_svg(made()))

    assert [] == read.open
    said = " ".join(read.words)
    assert "Lock & <Gates>" in said and "Push-off is also called Chain." in said and "physiotherapist" in said
    assert "Lock & <Gates>" in [one.text for one in picture.iter("{http://www.w3.org/2000/svg}text")]


@pytest.mark.parametrize("turn", ["1/8 left", "1/4 right", "1/2 left", "3/4 right", "1 left", "2 right"])
def test_a_room_shows_the_wall_and_the_way_turned(turn: str) -> None:
    """The picture of a part says in words what it shows, and has an arc where it turns, clockwise to the right."""
    page = sc.handout_html(made(SHEET.replace("1/2 right", turn)))
    arc = page.partition('class="turned"')[0].rpartition('d="')[2].partition('"')[0]
    _, _, _, large, sweep, *_ = arc.partition("A")[2].split()
    size = Fraction(turn.split()[0])

    assert f'aria-label="facing front, then {words.turn(int(size * 8) * (1 if "right" in turn else -1))}"' in page
    assert (int("right" in turn), int(size > Fraction(1, 2))) == (int(sweep), int(large))


def test_a_part_without_a_turn_has_no_arc() -> None:
    """Nothing is drawn where nobody turns."""
    assert 'class="turned"' not in sc.handout_html(made(SHEET.replace(", turn 1/2 right", "")))


def test_what_is_refuted_is_said() -> None:
    """A sheet on which something does not hold is shown as if it did, and says so; one that holds does not."""
    wrong = SHEET.replace("Push-off, turn 1/2 right\n", "Push-off, turn 1/2 right\n  expect right foot\n")

    assert "does not hold" in sc.handout_html(made(wrong)) and "does not hold" in sc.handout_svg(made(wrong))
    assert "does not hold" not in sc.handout_html(made())


def test_the_command_has_each_format(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Page, picture, text with names and care below it, and JSON; an ill-formed sheet has its mistakes and status 1."""
    sheet = tmp_path / "a.routine"
    sheet.write_text(SHEET)
    said = {}
    for form in ("html", "svg", "text", "json"):
        assert 0 == cli.main(["sheet", str(sheet), "--format", form])
        said[form] = capsys.readouterr().out

    assert said["html"].startswith("<!doctype html>") and said["svg"].startswith("<svg xmlns=")
    assert "Push-off is also called Chain.\n" in said["text"] and "Take care at line 10: Fancy Double" in said["text"]
    assert "Verse" == json.loads(said["json"])["handout"]["pieces"][0]["name"]
    sheet.write_text(SHEET.replace("Triple", "Tripel"))
    assert 1 == cli.main(["sheet", str(sheet), "--format", "html"])
    assert "" == capsys.readouterr().out
