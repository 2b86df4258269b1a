"""Answers as the command prints them, asked for by a program."""

import json
from pathlib import Path

import pytest

import stepcheck as sc
from stepcheck.faces import cli
from stepcheck.model.choices import FORMATS

FAULTY = Path(__file__).parents[3] / "specs" / "faulty"
SHEET = str(FAULTY / "wrong_oar.routine")


@pytest.mark.parametrize("form", FORMATS)
def test_a_report_is_what_the_command_prints(form: sc.Format, capfd: pytest.CaptureFixture[str]) -> None:
    """In every format, byte for byte; of one report, of several, and of a catalogue."""
    cli.main(["check", SHEET, "--format", form])
    out, _ = capfd.readouterr()
    report = sc.check_file(SHEET)

    assert out == sc.render(report, form) == sc.render([report], form) == sc.render(sc.check_catalogue(SHEET), form)


def test_other_answers_are_what_the_command_prints(capfd: pytest.CaptureFixture[str]) -> None:
    """Fixes, breaks and figures as text and as JSON."""
    for form in ("text", "json"):
        cli.main(["repair", SHEET, "--limit", "1", "--format", form])
        assert capfd.readouterr().out == sc.render(sc.repair(sc.load(SHEET), limit=1), form)
        cli.main(["break", "--beats", "8", "--end", "back", "--most-turn", "1/2", "--limit", "2", "--format", form])
        assert capfd.readouterr().out == sc.render(
            sc.find_breaks(beats="8", end="back", most_turn="1/2", limit=2), form
        )
        cli.main(["figures", "Triple", "--book", "clogging", "--format", form])
        (triple,) = sc.load_book("clogging").find("Triple")
        assert capfd.readouterr().out.split("\nalso: ")[0].strip() == sc.render(sc.card(triple), form).strip()


def test_what_cannot_be_printed_is_refused() -> None:
    """A format that there is none of, and a value that is no answer, are refused in words."""
    with pytest.raises(sc.UnknownOption, match="there is no format 'pdf'"):
        sc.render(sc.check_file(SHEET), "pdf")  # type: ignore[arg-type]
    with pytest.raises(sc.UnknownOption, match="Breaks is printed as text or json, not as sarif"):
        sc.render(sc.find_breaks(beats=4), "sarif")
    with pytest.raises(sc.WrongValue, match="an answer of stepcheck"):
        sc.render([3])  # type: ignore[list-item]


def test_reports_go_to_json_and_back() -> None:
    """What `to_json` writes is what the command prints, and `from_json` reads it."""
    report = sc.check_file(SHEET)

    assert (report,) == sc.from_json(sc.to_json(report)) == sc.from_json(sc.to_json([report]))
    assert json.loads(sc.to_json(report))["sheets"] == json.loads(sc.render(report, "json"))["sheets"]
