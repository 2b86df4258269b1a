"""Inputs that nobody would write: no traceback, nothing slow, no growth; and those that failed once."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from stepcheck.formats.json import FormatError, from_json
from tests import fuzz

LONG = "9" * 5_000
CAUGHT = {
    "a number of a draft that is longer than Python reads": (
        "drafted",
        f"Alder Reel\n\nPart A {LONG} beats\nDS DS RS\n",
    ),
    "lists in lists in a report": ("report", "[" * 100_000),
    "lists in lists that a cache kept": ("entry", "[" * 100_000),
    "lists in lists in a certificate": ("certificate", "[" * 100_000),
    "fifty sections that are not in the music": (
        "check",
        "book: line\nmusic:\n  Verse: 32 counts\n  Chorus: 32 counts\n\npart A: 32 counts\n  Vine x8\n\ndance:\n"
        + "".join(f"  Vers{'e' * (number % 7)}{number}:\n    A\n" for number in range(100)),
    ),
    "groups that meet in a part a million times": (
        "check",
        "book: line\ngroups: odd lines, even lines\nodd lines: start 2 steps back\n\npart A:\n  Vine\n\ndance:\n  1000000 times:\n"
        "    A x1000000\n    expect never meet\n    expect same beat\n",
    ),
    "steps in a line of eleven thousand letters": (
        "drafted",
        "ALDER REEL\n4 wall line dance\n\nSECTION 1\nStep L side, step R behind L 1-2; step L side &"
        + "; cross R over L, step L side 3-4; step L side &" * 240
        + "\n",
    ),
    "a lap behind hundreds of thousands of passes": (
        "check",
        "book: line\nlead: left\nwalls: 8\n\nfigures:\n  Ford: S\n  Swing, turn 1/4 left: S\n  Wharf: S JUMP\n"
        "  Quay: STO\n\npart A: left foot\n  counts 2-4002:\n    4 times:\n      Ford\n"
        "      Ford x999, turn 1/4 left | Swing x4, turn 1/4 right on every 2nd\n    Wharf, turn 1/4 left\n"
        "  counts 4003-4003, left foot:\n    expect facing 1:30\n  counts 1-6, right foot, facing 1:30:\n"
        "    Wharf x3, right foot, turn 1/4 left on last | Vine, right foot, facing left wall\n\ndance:\n"
        "  expect facing back\n  200 times:\n    3 times:\n      A x999, facing back\n    2 times:\n      Vine\n"
        "      Ford x3\n  1000000000 times:\n    1st, 3rd time only:\n"
        "      Swing x2 | A x1000000000, opposite foot\n      hold 2 counts\n  until the music ends:\n"
        "    Vine, no turn, 3 counts\n",
    ),
    "a part whose halves face otherwise a thousand million times": (
        "check",
        "book: line\nlead: right\n\nfigures:\n  Tarn, turn 1/8 left: HOLD\n  Wharf: JUMP HOP\n\n"
        "part A: right foot\n  Vine, turn 1/4 right @1\n  Tarn x8, turn 3/8 left @1 | Vine, facing back\n"
        "  Tarn x2, 2 counts\n\ndance:\n  1000000000 times:\n"
        "    Vine, left foot, facing left wall | A, first 5 counts\n    A, first 6 counts\n"
        "  Vine, turn 1/8 right @1\n  Vine x1000000 | Vine\n  A until the music ends\n",
    ),
    "a word behind a name that says nothing": ("check", "book: line\n\npart A:\n  Rock the\n\ndance:\n  A\n"),
    "mistakes in three hundred lines, whose hints are all tried": (
        "check",
        "book: line\n\npart A: 32 counts\n" + "  counts 9-16:\n    Rocking Ch x2\n" * 150 + "\ndance:\n  A\n",
    ),
}


@pytest.mark.parametrize("name", CAUGHT)
def test_what_failed_once_fails_no_more(name: str) -> None:
    """An input that ended in a traceback, or took seconds, is read or refused at once."""
    target, text = CAUGHT[name]
    assert "" == fuzz.attempt(target, text.encode())[0]


@pytest.mark.parametrize("wrong", ["", "{}", "7"])
def test_what_is_read_as_a_report_can_be_written(wrong: str) -> None:
    """A report without a foot at its end, or with something that is none, is refused."""
    known = [data.decode() for data in fuzz.seeds("report") if b'"free_foot": [' in data]
    assert len(known) > 3
    for report in known:
        text = re.sub(r'"free_foot": \[[^]]*\]', f'"free_foot": [{wrong}]', report)
        with pytest.raises(FormatError):
            from_json(text)


@pytest.mark.parametrize("target", sorted({*fuzz.TARGETS} - {"music"}))
def test_a_number_of_any_length_is_read_or_refused(target: str) -> None:
    """Wherever a number stands, one with more digits than Python reads ends in no traceback."""
    for data in fuzz.seeds(target)[:4]:
        places = [at for at, byte in enumerate(data) if chr(byte).isdigit()]
        for at in places[:: max(1, len(places) // 12)]:
            assert "" == fuzz.attempt(target, data[:at] + LONG.encode() + data[at:])[0], at


@pytest.mark.parametrize(("inputs", "seed"), [(500, 2), pytest.param(4_000, 12, marks=pytest.mark.nightly)])
def test_thousands_of_inputs_end_in_no_traceback(inputs: int, seed: int) -> None:
    """Of every target, from words and from bytes: read, or refused in words of our own, at once, without growth; thousands
    in the nightly run."""
    run = fuzz.fuzz(inputs, seed)
    assert [] == [(one.target, one.seed, one.said) for one in run.failures]
    assert inputs == run.tried.total() and set(run.tried) == set(fuzz.TARGETS)
    assert all(run.refused[name] for name in ("layout", "book", "report", "entry"))
    assert all(grown < fuzz.GROWTH for grown in run.grown.values())


def test_the_runner_sees_what_fails(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A target that raises, is slow or grows is reported with its seed, and its input is saved to be tried again."""
    faults: list[Callable[[bytes], object]] = [
        lambda data: data[10**9],
        lambda data: [number**2 for number in range(10**6) if number < 10**7 and data],
        lambda data: len(bytearray(300 << 20)),
    ]
    monkeypatch.setattr(fuzz, "SECONDS", 0.01)
    monkeypatch.setattr(fuzz, "in_time", lambda took, promised: took <= promised)  # however fast the machine is
    for fault, said in zip(faults, ("IndexError", "it takes 0.", "grows by"), strict=True):
        with monkeypatch.context() as patch:
            patch.setitem(fuzz.TARGETS, "report", fault)
            if "grows" in said:
                patch.setattr(fuzz, "SECONDS", 10)
                before = fuzz.megabytes()
                assert f"the process {said}" in fuzz.attempt("report", b"x")[0] or before > 400
                continue
            assert 1 == fuzz.main(["--inputs", "2", "--targets", "report", "--save", str(tmp_path)])
            assert said in capsys.readouterr().out
            assert 1 == fuzz.main(["--replay", str(tmp_path / "report-0-0")])
    assert {"report-0-0", "report-0-1"} == {path.name for path in tmp_path.iterdir()}


def test_an_input_is_the_same_for_its_seed() -> None:
    """What a seed gives can be had again, and seeds give different inputs."""
    made = [fuzz.drawn(target, f"5-{number}") for target in fuzz.TARGETS for number in range(20)]
    assert made == [fuzz.drawn(target, f"5-{number}") for target in fuzz.TARGETS for number in range(20)]
    assert len(set(made)) > 120
