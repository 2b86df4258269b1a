"""Compare the engines with the naive reference on random sheets: `python -m tests.compare --sheets 1000 --seed 7`.

A first signal to end prints the summary of what was compared so far.  With `--huge` repeats go up to 10**9, and the engines are compared with each other alone.
"""

import argparse
import gc
import signal
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import stepcheck as sc
from stepcheck.language.parser import parse
from stepcheck.language.syntax import (
    KEYS,
    CountsHead,
    DanceHead,
    ExpectRow,
    FacingMark,
    FeetMark,
    FirstMark,
    FootMark,
    GapRow,
    HeaderField,
    HoldRow,
    LabelHead,
    Length,
    Line,
    MusicHead,
    NetMark,
    OnlyHead,
    PartHead,
    Row,
    SpotMark,
    StateMark,
    SwapMark,
    TimesHead,
    TogetherHead,
    TravelMark,
    TurnMark,
    UntilHead,
    UntilMark,
)
from stepcheck.model.claims import Kind
from stepcheck.model.floor import TOO_LONG, unknown
from stepcheck.model.source import Source
from stepcheck.program.claims import register
from stepcheck.proof.decide import decide
from stepcheck.report import pipeline
from stepcheck.strategies.pieces import BLANKS, TASTES
from stepcheck.strategies.random_sheets import random_sheet
from tests.reference import IllFormed, Skipped, verdicts_of
from tests.reference_layout import nodes

Answer = dict[str, str] | str
"""The verdict on each claim, or one word for the sheet: ill-formed, skipped or error, and why."""


def by_reference(text: str, readings: str = "usual") -> Answer:
    """Return what the reference says."""
    try:
        return verdicts_of(text, readings)
    except IllFormed as reason:
        return f"ill-formed: {reason}"
    except Skipped as reason:
        return f"skipped: {reason}"


WAITING = ("waits on a blank", "is to be found", "hangs on how words are read")
"""What the layout says of a sheet that it refuses because of a blank, or of readings of several lengths."""

LEFT_OPEN = "left open"

PATIENCE = 20
"""Seconds of the processor that an engine may take for a sheet."""


class TooSlow(Exception):
    """An engine has taken longer than anybody waits."""


def _too_slow(*_: object) -> None:
    raise TooSlow


def by_engine(text: str, engine: str, readings: str = "usual") -> Answer:
    """Return what one engine says of a sheet; what the walk refutes is danced by the judge as well."""
    return by_engines(text, (engine,), readings)[0]


def by_engines(text: str, engines: Sequence[str], readings: str = "usual") -> tuple[Answer, ...]:
    """Return what each engine says of a sheet, which is laid out once."""
    laid = [_guarded(lambda: sc.loads(text, readings=readings))]
    return tuple(_guarded(lambda engine=engine: _decided(laid[0], engine)) for engine in engines)


def _guarded(answer: Callable[[], Any]) -> Any:
    """Return an answer; a crash, or more time than anybody waits, is an answer too, and differs."""
    signal.signal(signal.SIGPROF, _too_slow)
    signal.setitimer(signal.ITIMER_PROF, PATIENCE, 1)  # again and again: one that falls into a clean-up is lost
    try:
        return answer()
    except Exception as error:
        return f"error: {type(error).__name__}: {error}"
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)


def _decided(routine: Any, engine: str) -> Answer:
    if isinstance(routine, str):
        return routine
    if routine.program is None:
        return "ill-formed: " + next((d.message for d in routine.diagnostics if d.code.severity == 2), "")
    outcomes = decide(routine.program) if engine == "z3" else pipeline.decide(routine.program, engine)[0]
    said = {outcome.claim: outcome.verdict.word for outcome in outcomes}
    # The walk may leave open what waits on a blank; whoever stops for want of budget says nothing.
    return said | {
        outcome.claim: LEFT_OPEN
        for outcome in outcomes
        if outcome.reason == "budget"
        or (engine == "walk" and outcome.reason == "blank")
        or unknown(routine.program, outcome.claim) == TOO_LONG
    }


def kinds_of(text: str) -> dict[str, str]:
    """Return the kind of each claim of a sheet."""
    return {claim.id: claim.kind.value for claim in register(parse(Source("<text>", text))[0]).claims}


def told(answer: Answer, claim: str, kind: str) -> str:
    """Return what an answer says of a claim; a time that comes need not be told."""
    if isinstance(answer, str):
        return answer.split(":")[0] if not answer.startswith("error") else ":".join(answer.split(":")[:2])
    return answer.get(claim, "proved" if kind in (Kind.TIME.value, "every time") else "missing")


def differences(answers: tuple[Answer, ...], kinds: dict[str, str]) -> Iterator[tuple[str, tuple[str, ...], str]]:
    """Yield the claims on which answers differ: kind, what each says, the claim."""
    if all(isinstance(answer, str) for answer in answers):
        words = tuple(told(answer, "", "") for answer in answers)
        if len(set(words)) > 1:
            yield "sheet", words, "; ".join(map(str, answers))
        return
    refused = [answer for answer in answers if isinstance(answer, str)]
    if refused and all(any(reason in answer for reason in WAITING) for answer in refused):
        return  # what the layout refuses because of a blank, the reference goes through filling by filling
    if any(isinstance(answer, str) for answer in answers):
        words = tuple("verdicts" if isinstance(answer, dict) else told(answer, "", "") for answer in answers)
        yield "sheet", words, "; ".join(answer for answer in answers if isinstance(answer, str))
        return
    for claim in dict.fromkeys(claim for answer in answers for claim in answer):
        kind = kinds.get(claim, "every time")
        words = tuple(told(answer, claim, kind) for answer in answers)
        if len({*words} - {LEFT_OPEN}) > 1:
            yield kind, words, claim


# -- constructs --------------------------------------------------------------------------------------------------------


def constructs(text: str) -> set[str]:
    """Return the constructs that a sheet holds."""
    sheet = parse(Source("<text>", text))[0]
    found: set[str] = set()
    called: set[str] = set()
    parts: set[str] = set()
    for section in sheet.lines:
        for line in nodes((section,)):
            found |= set(_in_line(line, isinstance(section.node, PartHead)))
            if isinstance(line.node, Row):
                called |= {option.name for option in line.node.options}
        if isinstance(section.node, PartHead):
            parts.add(section.node.name)
            inside = {o.name for li in nodes(section.body) if isinstance(li.node, Row) for o in li.node.options}
            found |= {"part in a part"} if inside & parts else set()
    return found | ({"part never named in another line"} if parts - called else set())


def _in_line(line: Line, in_part: bool) -> Iterator[str]:
    node = line.node
    plain = {
        MusicHead: "music",
        OnlyHead: "times only",
        TimesHead: "repeat",
        UntilHead: "until block",
        HoldRow: "hold",
        GapRow: "blank beats",
        LabelHead: "section",
        ExpectRow: "expect",
        CountsHead: "heading of counts",
        TogetherHead: "groups apart",
    }
    if type(node) in plain:
        yield plain[type(node)]
    match node:
        case HeaderField():
            yield f"header {node.key.casefold()}" if node.key in KEYS else "header of a group or word"
        case ExpectRow():
            yield from (mark.said for mark in node.states if isinstance(mark, StateMark))
        case Row(wait=Length()):
            yield "group that waits"
        case DanceHead() if node.length is not None:
            yield "length of the dance"
        case CountsHead():
            yield from (f"heading with {m}" for m, there in (("foot", node.foot), ("facing", node.facing)) if there)
        case TimesHead() if node.times is None:
            yield "blank times"
        case TimesHead():
            yield from ("nested repeat" for inner in nodes(line.body) if isinstance(inner.node, TimesHead))
        case OnlyHead():
            yield "times only in a part" if in_part else "times only in the dance"
            yield from ("except" for _ in range(node.exclude))
        case PartHead():
            for piece in node.pieces:
                kind = {
                    Length: "length",
                    TurnMark: "turn",
                    NetMark: "net facing",
                    FeetMark: "feet",
                    FootMark: "foot",
                    SpotMark: "spot",
                }
                yield f"contract: {kind[type(piece)]}"
                if getattr(piece, "time", None):
                    yield "contract: timed piece"
                if isinstance(piece, TurnMark) and piece.eighths and not piece.side:
                    yield "contract: turn without a side"
        case Row():
            yield from ("choice" for _ in range(len(node.options) > 1))
            for option in node.options:
                yield from ("blank count" for _ in range(option.times is None))
                for mark in option.marks:
                    yield from _mark(mark)


def _mark(mark: object) -> Iterator[str]:
    match mark:
        case FootMark():
            yield "both feet on a line" if mark.both else "foot on a line" if mark.foot is not None else "blank foot"
        case TurnMark():
            yield "blank turn" if mark.eighths is None else "turn on a line"
            if mark.times is not None:
                yield "turn on every Nth" if mark.times.every else "turn on last" if mark.times.last else "turn on Nth"
        case FacingMark():
            yield "facing on a line"
        case Length():
            yield "length on a line"
        case FirstMark():
            yield "cut"
        case SwapMark():
            yield "mirrored" if mark.mirrored else "opposite foot"
        case UntilMark():
            yield "until line"
        case TravelMark():
            yield "way of a figure"
        case NetMark() | FeetMark():
            yield "net"


# -- the run -----------------------------------------------------------------------------------------------------------


def without(text: str, number: int) -> str:
    """Return a text without a line and those under it."""
    lines = text.split("\n")
    deep = len(lines[number]) - len(lines[number].lstrip())
    end = number + 1
    while end < len(lines) and lines[end].strip() and len(lines[end]) - len(lines[end].lstrip()) > deep:
        end += 1
    return "\n".join(lines[:number] + lines[end:])


def smaller(text: str) -> Iterator[str]:
    """Yield smaller sheets: without a line, without a mark, with one option."""
    lines = text.split("\n")
    for number, line in enumerate(lines):
        if line.strip():
            yield without(text, number)
            body, colon = (line[:-1], ":") if line.endswith(":") else (line, "")
            if line.endswith(":") and not line.startswith(("part", "dance", "figures", "music")):
                deep = len(line) - len(line.lstrip())
                yield "\n".join(
                    [
                        *lines[:number],
                        *(li[2:] if len(li) - len(li.lstrip()) > deep else li for li in lines[number + 1 :]),
                    ]
                )
            pieces = body.split(", ")
            for at in range(1, len(pieces)):
                yield "\n".join(
                    [*lines[:number], ", ".join(pieces[:at] + pieces[at + 1 :]) + colon, *lines[number + 1 :]]
                )
            if line.startswith("part ") and ": " in line:
                head, _, rest = line.partition(": ")
                kept = rest.split(", ")[1:]
                yield "\n".join(
                    [*lines[:number], f"{head}:" + " " * bool(kept) + ", ".join(kept), *lines[number + 1 :]]
                )
            options = body.split(" | ")
            if len(options) > 1:
                for at in range(len(options)):
                    kept_options = " | ".join(options[:at] + options[at + 1 :]).strip()
                    yield "\n".join(
                        [*lines[:number], " " * (len(line) - len(line.lstrip())) + kept_options, *lines[number + 1 :]]
                    )


def minimised(text: str, same: Callable[[str], bool]) -> str:
    """Return the sheet made smaller as long as `same` says that it still shows the difference."""
    found = True
    while found:
        found = False
        for other in smaller(text):
            if same(other):
                text, found = other, True
                break
    return text


class Run:
    """One run: what was compared, what was left out and why, and what differs."""

    def __init__(self, chosen: argparse.Namespace) -> None:
        self.chosen, self.engines = chosen, tuple(chosen.engines.split(","))
        self.tastes = (*dict.fromkeys(TASTES), *BLANKS, *BLANKS) if chosen.taste == "all" else chosen.taste.split(",")
        self.started, self.stopped, self.bad = time.monotonic(), False, 0
        self.counted: Counter[str] = Counter()
        self.built: Counter[str] = Counter()
        self.skipped: dict[str, Counter[str]] = {}
        self.seen: Counter[tuple[str, tuple[str, ...]]] = Counter()

    def stop(self, *_: object) -> None:
        """Stop after the sheet that is compared now."""
        self.stopped = True

    def answers(self, text: str) -> tuple[Answer, ...]:
        """Return what the reference and each engine say; of a sheet that the reference skips, what it says alone."""
        if self.chosen.huge:
            return by_engines(text, self.engines, self.chosen.readings)
        plain = by_reference(text, self.chosen.readings)
        if isinstance(plain, str) and plain.startswith("skipped"):
            return (plain,)
        return (plain, *by_engines(text, self.engines, self.chosen.readings))

    def sheets(self) -> None:
        """Compare sheet by sheet until there are enough, or there is no more time."""
        first = self.chosen.seed
        for seed in range(first, first + self.chosen.sheets):
            if self.stopped or time.monotonic() - self.started > self.chosen.seconds:
                return
            self.sheet(seed, random_sheet(seed, self.chosen.huge, self.tastes[seed % len(self.tastes)]))
            if not seed % 200:
                gc.collect()

    def sheet(self, seed: int, text: str) -> None:
        """Compare one sheet."""
        here = self.answers(text)
        if len(here) == 1:
            reason = str(here[0]).removeprefix("skipped: ")
            for name in ("all", *constructs(text)):
                self.skipped.setdefault(name, Counter())[reason] += 1
            return
        self.counted["sheets"] += 1
        if any(isinstance(answer, dict) for answer in here):
            self.built.update(constructs(text))
        self.counted["ill-formed"] += all(isinstance(answer, str) and answer.startswith("ill") for answer in here)
        if isinstance(here[0], dict):
            self.counted.update(here[0].values())
            self.counted["claims"] += len(here[0])
        if all(answer == here[0] for answer in here[1:]):
            return
        found = dict.fromkeys((kind, words) for kind, words, _ in differences(here, kinds_of(text)))
        self.bad += bool(found)
        for kind, words in found:
            self.seen[kind, words] += 1
            if self.seen[kind, words] <= self.chosen.each and len(self.seen) <= self.chosen.limit:
                self.show(seed, text, kind, words)

    def show(self, seed: int, text: str, kind: str, words: tuple[str, ...]) -> None:
        """Print a difference with the smallest sheet that shows it."""

        def claims(other: str) -> list[str]:
            if self.stopped:
                return []
            return [d[2] for d in differences(self.answers(other), kinds_of(other)) if d[:2] == (kind, words)]

        small = minimised(text, lambda other: bool(claims(other)))
        names = ", ".join(self.engines if self.chosen.huge else ("reference", *self.engines))
        said = "; ".join(claims(small)[:1])
        print(f"== seed {seed}: {kind}: {names} say {', '.join(words)}: {said}\n{small}", flush=True)

    def summary(self) -> None:
        """Print what was compared."""
        seconds = time.monotonic() - self.started
        counted = dict(self.counted)
        print(f"{self.counted['sheets']} sheets compared in {seconds:.0f} s, {self.bad} differ; {counted}")
        print("tastes:", ", ".join(dict.fromkeys(self.tastes)))
        print("constructs, in sheets compared, and in sheets that the reference skipped, and why:")
        for name in sorted({*self.built, *self.skipped}):
            reasons = self.skipped.get(name, Counter())
            number = "" if name == "all" else f"{self.built[name]} "
            why = ", ".join(f"{reason} {times}" for reason, times in reasons.most_common())
            print(f"  {name}: {number}compared, {reasons.total()} skipped" + f" ({why})" * bool(why))
        for (kind, words), number in self.seen.most_common():
            print(f"  {number:5} {kind}: {' / '.join(words)}")
        sys.stdout.flush()


def main(arguments: list[str] | None = None) -> int:
    """Compare so many sheets from a seed on; print each kind of difference once, with its smallest sheet."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sheets", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--seconds", type=float, default=float("inf"), help="stop after so long, with what there is")
    parser.add_argument("--engines", default="walk,z3")
    parser.add_argument("--readings", default="usual")
    parser.add_argument(
        "--taste", default="", help="what every sheet has more of; several, between commas, or all, are taken in turn"
    )
    parser.add_argument("--huge", action="store_true")
    parser.add_argument("--limit", type=int, default=40, help="how many kinds of difference are shown with a sheet")
    parser.add_argument("--each", type=int, default=1, help="how many sheets of each kind are shown")
    run = Run(parser.parse_args(arguments))
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, run.stop)
    gc.disable()  # a third of the time would go into looking for circles
    try:
        run.sheets()
    finally:
        run.summary()
    return bool(run.bad)


if __name__ == "__main__":
    sys.exit(main())
