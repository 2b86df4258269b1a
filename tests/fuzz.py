"""Inputs that nobody would write, for everything that reads: `python -m tests.fuzz --inputs 2000 --seed 7`.

Half come from our own writers of random sheets and books and from what the project ships, with lines and words taken
out, put in, doubled and swapped; half are the same with bytes changed.  A reader may refuse an input in words of
stepcheck's own.  It may not raise anything else, take two seconds of the processor, or grow by 200 MB.

A failure is saved under its target's name, seed and number; `--replay FILE` tries it again.
"""

import argparse
import json
import resource
import signal
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import cache
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import Any

from attrs import define, frozen

import stepcheck as sc
from stepcheck.books.book import from_text
from stepcheck.catalogue.evidence import Kept, believed, kept
from stepcheck.certify.form import Refused
from stepcheck.certify.verdicts import SEAL, verified
from stepcheck.drafts.draft import draft
from stepcheck.language.parser import parse
from stepcheck.model.source import Source, plain
from stepcheck.music import song
from stepcheck.report import pipeline
from stepcheck.strategies.pieces import BLANKS, TASTES
from stepcheck.strategies.random_sheets import random_sheet
from stepcheck.strategies.sound import random_book
from tests.corpus.expected import ROOT, sheets
from tests.laws.test_language import outline
from tests.machine import in_time

SECONDS, GROWTH = 2.0, 200  # of the processor for an input, as `machine` counts them, and megabytes
PATIENCE = 10.0  # seconds of the processor until an input is given up
BUDGET = 2_000
MUSIC = 400  # one input in so many is a song, which takes a process of its own
SHARES = {"check": 3, "drafted": 1, "music": 0}  # of the other inputs; a draft takes the longest
ODD = [
    "0",
    "1",
    "-1",
    "999999999999",
    "1000000001",
    "1/0",
    "3/8",
    "x?",
    "?",
    "x0",
    "x1000000000",
    "|",
    ",",
    ":",
    "(",
    ")",
    "#",
    "@",
    "&",
    "@1e",
    "?",
    "beats",
    "?",
    "turn",
    "?",
    "foot",
    "until",
    "the",
    "music",
    "ends",
    "both",
    "feet",
    "mirrored",
    "opposite",
    "foot",
    "\ufeff",
    "\u2028",
    "İ",
    "½",
    "\u202e",
    "\x00",
    "\t",
    "2nd",
    "time",
    "only:",
    "4",
    "times:",
    "?",
    "times:",
    "every",
    "2nd",
    "last",
    "first",
    "3",
    "beats",
    "free",
    "left",
    "foot",
    "same",
    "wall",
]


class TooSlow(BaseException):
    """An input took longer than anybody waits."""


# -- what is tried -----------------------------------------------------------------------------------------------------


def check(data: bytes) -> None:
    """Check a sheet with little budget, by the walk, and one in sixteen by both engines."""
    pipeline.check_text(data, engine="both" if len(data) % 16 == 0 else "walk", budget=BUDGET)


def layout(data: bytes) -> None:
    """Lay a sheet out; what is understood loses nothing and is laid out already."""
    text = data.decode("utf-8", "replace")
    after = sc.format_text(text)
    assert after == sc.format_text(after), "the layout is laid out otherwise again"
    before, behind = (sorted(remarks(outline(parse(Source("x", one))[0].lines))) for one in (plain(text), after))
    assert before == behind, "the layout loses a comment or a note"


def remarks(rows: Iterable[tuple[Any, ...]]) -> list[str]:
    """Return the notes and comments of lines, as `outline` has them, those of their blocks included."""
    return [
        said for _, note, comment, _, body in rows for said in (note, (comment or "").strip(), *remarks(body)) if said
    ]


def book(data: bytes) -> None:
    """Read a book, and look for what is odd in it."""
    sc.lint_book(from_text(Source("drawn.book", data.decode("utf-8", "replace").replace("\r", ""))))


def drafted(data: bytes) -> None:
    """Make a sheet of a customary description, and lay it out."""
    sc.format_text(draft(data.decode("utf-8", "replace")).text)


def report(data: bytes) -> None:
    """Read a report from JSON, and write it."""
    sc.to_json(sc.from_json(data.decode("utf-8", "replace")))


def entry(data: bytes) -> None:
    """Believe what a cache has kept of a sheet, or not."""
    told, dances = data.decode("utf-8", "replace"), ""
    with suppress(ValueError, TypeError, RecursionError):
        told, dances = map(json.dumps, json.loads(told))
    believed(Kept(told, (), dances), "<text>", _answer(0)[0], "usual", spot=True)


def certificate(data: bytes) -> None:
    """Accept a certificate, or say which step is wrong, as `python -m stepcheck.certify` does."""
    try:
        verified(data.decode("utf-8"))
    except (Refused, RecursionError, UnicodeError) as error:  # as `main` there has them
        raise sc.StepcheckError(str(error)) from error


def music(data: bytes) -> None:
    """Read a song, in a process of its own with limits."""
    notation, _, rest = data.partition(b"\n")
    said = song._read(notation.decode("ascii", "replace").replace("\0", ""), rest)  # no name of a file has a null
    assert not isinstance(said, str) or "Traceback" not in said


TARGETS: dict[str, Callable[[bytes], None]] = {
    one.__name__: one for one in (check, layout, book, drafted, report, entry, certificate, music)
}


# -- what it is made from ----------------------------------------------------------------------------------------------


@cache
def _answer(number: int) -> tuple[bytes, str]:
    """Return a sheet and what a cache keeps of it."""
    path = sheets("faulty")[number]
    routine = pipeline.loads(path.read_bytes())
    made, outcomes = pipeline.examine(routine)
    told = kept(made, outcomes, ())
    return path.read_bytes(), f"[{told.report}, {told.dances or []}]"


@cache
def seeds(target: str) -> tuple[bytes, ...]:
    """Return the inputs that a target's are made from."""
    shipped = [path.read_bytes() for folder in ("routines", "faulty", "unfinished") for path in sheets(folder)]
    match target:
        case "check" | "layout":
            return tuple(shipped)
        case "book":
            return tuple(path.read_bytes()[:4_000] for path in (ROOT / "stepcheck" / "books").glob("*.book"))
        case "drafted":
            return tuple(path.read_bytes() for path in sorted((ROOT / "tests/corpus/customary").glob("*.txt")))
        case "report":
            return tuple(sc.to_json(sc.check_text(one, engine="walk")).encode() for one in shipped[::8])
        case "entry":
            return (_answer(0)[1].encode(),)
        case "certificate":
            return tuple(sc.certificate(sc.load(path)).encode() for path in sheets("routines")[:3])
        case _:
            tune = b"abc\nX:1\nT:Alder\nM:4/4\nL:1/4\nQ:1/4=120\nK:C\nP:A\n|:CDEF|GABc:|\nP:B\n|CDEF|[1GABc:|[2cBAG|]\n"
            header = b"midi\nMThd\0\0\0\6\0\0\0\1\0\x60MTrk\0\0\0\x0c\0\x90\x3c\x40\x60\x80\x3c\x40\0\xff\x2f\0"
            score = b"<score-partwise><part-list><score-part id='P'><part-name>A</part-name></score-part></part-list>"
            bar = b"<part id='P'><measure number='1'><attributes><divisions>1</divisions><time><beats>4</beats>"
            rest = b"<beat-type>4</beat-type></time></attributes><note><rest/><duration>4</duration></note></measure>"
            return tune, header, b"musicxml\n" + score + bar + rest + b"</part></score-partwise>"


@cache
def words() -> tuple[str, ...]:
    """Return every word of the shipped sheets, and odd ones."""
    text = " ".join(one.decode() for one in seeds("check"))
    return (*dict.fromkeys(text.split()), *ODD * 10)


def by_lines(text: str, pick: Random, other: str) -> str:
    """Return a text with a few lines and words out of their place."""
    lines, others = text.split("\n"), other.split("\n")
    for _ in range(pick.choice((0, 1, 1, 2, 3, 8))):
        at = pick.randrange(len(lines))
        match pick.randrange(7):
            case 0 if len(lines) > 1:
                del lines[at]
            case 1:
                lines.insert(at, pick.choice(lines))
            case 2:
                lines.insert(at, pick.choice(others))
            case 3:
                lines[at] = " " * pick.randrange(9) + lines[at].strip()
            case 4:
                lines[at : at + 2] = lines[at : at + 2][::-1]
            case _:
                row = lines[at].split(" ")
                row[pick.randrange(len(row))] = pick.choice(words())
                lines[at] = " ".join(row)
    return "\n".join(lines)


def by_bytes(data: bytes, pick: Random) -> bytes:
    """Return bytes with a few of them changed, put in, left out or repeated."""
    made = bytearray(data)
    for _ in range(pick.choice((1, 1, 2, 4, 16))):
        at = pick.randrange(len(made) + 1)
        match pick.randrange(5):
            case 0:
                made[at : at + 1] = bytes((pick.randrange(256),))
            case 1:
                del made[at : at + pick.choice((1, 2, 9, 99))]
            case 2:
                made[at:at] = pick.choice(
                    (b"[" * 5_000, b"  " * 50, b"{}", b"9" * 5_000, b"null", b"\xff\xfe", b"\r\n")
                )
            case 3:
                made[at:at] = made[at : at + 40] * pick.choice((1, 2, 50))
            case _:
                made[at:at] = pick.randbytes(pick.choice((1, 3, 8)))
    return bytes(made)


def by_leaves(text: str, pick: Random) -> str:
    """Return JSON with a few of its values changed, left out or doubled; a certificate is sealed anew."""
    value = json.loads(text)
    for _ in range(pick.choice((1, 1, 2, 4))):
        here = value
        while (inner := [one for one in _inside(here) if one[1]]) and pick.random() < 0.9:
            here = pick.choice(inner)[1]
        keys = [key for key, _ in _inside(here, leaves=True)]
        if not keys:
            continue
        key = pick.choice(keys)
        match pick.randrange(5):
            case 0:
                del here[key]
            case 1:
                here[key] = here[pick.choice(keys)]
            case _:
                here[key] = pick.choice((None, True, -1, 0, 1, 7, 10**30, 1.5, "", "left", [], [0], {}, {"line": 1}))
    made = json.dumps(value, indent=1) + "\n"
    if SEAL in made:
        head, seal, _ = made.rpartition(SEAL)
        made = f'{head}{seal}"{sha256(head.encode()).hexdigest()}"\n}}\n'
    return made


def _inside(value: Any, leaves: bool = False) -> list[tuple[Any, Any]]:
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [(key, one) for key, one in pairs if leaves or isinstance(one, dict | list)]


def drawn(target: str, seed: str) -> bytes:
    """Return the input of a target for a seed."""
    pick = Random(f"{target} {seed}")
    given = seeds(target)
    data = pick.choice(given)
    if pick.random() < 0.5 and target in ("check", "layout", "book"):
        tastes = (*dict.fromkeys(TASTES), *BLANKS, "groups", "travel")
        number = pick.randrange(10**9)
        sheet = (
            random_book(pick.choice)
            if target == "book"
            else random_sheet(number, pick.random() < 0.2, pick.choice(tastes))
        )
        data = sheet.encode()
    if target in ("report", "entry", "certificate") and pick.random() < 0.7:
        return by_leaves(data.decode(), pick).encode()
    if pick.random() < 0.5:
        data = by_lines(data.decode("utf-8", "replace"), pick, pick.choice(given).decode("utf-8", "replace")).encode(
            "utf-8", "surrogatepass"
        )
    return by_bytes(data, pick) if pick.random() < 0.5 else data


# -- the run -----------------------------------------------------------------------------------------------------------


@frozen
class Failure:
    """An input at which a target fails: its target, its seed, what happened, and the input."""

    target: str
    seed: str
    said: str
    data: bytes


@define
class Run:
    """What was tried so far: inputs by target, refusals, the slowest input, growth in megabytes, failures."""

    tried: Counter[str]
    refused: Counter[str]
    slowest: dict[str, tuple[float, str]]
    failures: list[Failure]
    grown: dict[str, int]


def megabytes() -> int:
    """Return the most memory that this process has had."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // (1 << 20 if sys.platform == "darwin" else 1 << 10)


def attempt(target: str, data: bytes) -> tuple[str, bool, float]:
    """Try one input; return what is wrong, if anything, whether it was refused, and the seconds of the processor."""

    def slow(*_: object) -> None:
        raise TooSlow

    said, refused = "", False
    before, began = megabytes(), time.process_time()
    previous = signal.signal(signal.SIGPROF, slow)
    signal.setitimer(signal.ITIMER_PROF, PATIENCE, 1)
    try:
        TARGETS[target](data)
    except sc.StepcheckError:
        refused = True
    except TooSlow:
        said = f"it takes more than {PATIENCE} seconds"
    except Exception as error:
        last = traceback.extract_tb(error.__traceback__)[-1]
        said = f"{type(error).__name__}: {str(error)[:200]} ({Path(last.filename).name}, line {last.lineno})"
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, previous)
    took, grown = time.process_time() - began, megabytes() - before  # measuring the machine takes memory
    if not said and not in_time(took, SECONDS):
        said = f"it takes {took:.1f} seconds"
    if not said and grown > GROWTH:
        said = f"the process grows by {grown} MB"
    return said, refused, took


def fuzz(inputs: int, seed: int, seconds: float = float("inf"), targets: Iterable[str] = TARGETS) -> Run:
    """Try so many inputs, target by target in turn, or as many as there is time for."""
    run = Run(Counter(), Counter(), {}, [], {})
    turn = [name for name in targets for _ in range(SHARES.get(name, 2))]
    known, end = tuple(targets), time.monotonic() + seconds
    for name in known:
        attempt(name, seeds(name)[0])  # what is loaded once is no growth
    for number in range(inputs):
        if time.monotonic() > end:
            break
        target = "music" if "music" in known and (number % MUSIC == MUSIC - 1 or not turn) else turn[number % len(turn)]
        own = f"{seed}-{number}"
        data, before = drawn(target, own), megabytes()
        said, refused, took = attempt(target, data)
        run.tried[target] += 1
        run.refused[target] += refused
        run.slowest[target] = max(run.slowest.get(target, (0.0, "")), (took, own))
        run.grown[target] = run.grown.get(target, 0) + megabytes() - before
        if said:
            run.failures.append(Failure(target, own, said, data))
    return run


def main(arguments: list[str] | None = None) -> int:
    """Try inputs, print what was tried, and save those that fail; return 1 if any does."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--inputs", type=int, default=2_000)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--seconds", type=float, default=float("inf"), help="stop after so long, with what there is")
    parser.add_argument("--targets", default=",".join(TARGETS))
    parser.add_argument("--save", type=Path, help="a folder for the inputs that fail")
    parser.add_argument("--replay", type=Path, help="a file saved so, to be tried again")
    chosen = parser.parse_args(arguments)
    if chosen.replay:
        said, refused, took = attempt(chosen.replay.name.split("-")[0], chosen.replay.read_bytes())
        print(f"{said or ('refused' if refused else 'read')}, {took:.2f} s")
        return bool(said)
    began = time.monotonic()
    run = fuzz(chosen.inputs, chosen.seed, chosen.seconds, chosen.targets.split(","))
    for name, times in run.tried.items():
        took, own = run.slowest[name]
        print(
            f"{name}: {times} inputs, {run.refused[name]} refused, slowest {took:.2f} s ({own}), "
            f"grown by {run.grown[name]} MB"
        )
    for one in run.failures:
        print(f"{one.target} {one.seed}: {one.said}")
        if chosen.save:
            chosen.save.mkdir(parents=True, exist_ok=True)
            (chosen.save / f"{one.target}-{one.seed}").write_bytes(one.data)
    known = {one.said for one in run.failures}
    print(
        json.dumps(
            {
                "inputs": run.tried.total(),
                "seconds": round(time.monotonic() - began),
                "failures": len(run.failures),
                "kinds": len(known),
            }
        )
    )
    return bool(run.failures)


if __name__ == "__main__":
    sys.exit(main())
