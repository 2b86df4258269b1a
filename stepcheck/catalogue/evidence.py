"""An answer as text to be kept, with what it was found from, and the test that what was kept may still be believed.

A refutation carries its dances, which the judge dances again. A proof has no certificate that is cheaper than walking
it, so it is believed by its seal, and one in `SPOT` is walked again.
"""

import json
from hashlib import blake2b
from typing import Any

from attrs import frozen

from stepcheck.books.book import SHIPPED, Book, load
from stepcheck.language import parser, reader
from stepcheck.model.dance import Foot, Weight
from stepcheck.model.outcome import Decision, End, Fill, Lead, Outcome, Pick, Run, Trace, Verdict
from stepcheck.model.source import SourceError, StepcheckError, read_bytes
from stepcheck.program import header as facts
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.certify import Rejected, Spent, confirm
from stepcheck.report.json import SCHEMA, FormatError, from_json, sheet_value
from stepcheck.report.values import Report

SPOT = 64


class Unbelievable(StepcheckError):
    """What was kept is not what the sheet says now."""


@frozen
class Kept:
    """An answer as it is kept.

    `report` is the JSON document of one report, `books` has the digest of every book that lies beside the sheet, by
    path, `dances` the traces of the claims refuted, by id.
    """

    report: str
    books: tuple[tuple[str, str], ...] = ()
    dances: str = ""


def digest(path: str) -> str:
    """Return the digest of a file, or "" if it cannot be read."""
    try:
        return blake2b(read_bytes(path), digest_size=16).hexdigest()
    except SourceError:
        return ""


def books_of(book: Book | None) -> tuple[str, ...]:
    """Return the paths of the files that a book comes from, except those that come with stepcheck."""
    shipped = [load(name).shelf for name in SHIPPED]
    found: dict[str, None] = {}

    def visit(book: Book | None) -> None:
        if book is not None:
            if book.shelf is not None and book.shelf not in shipped:
                found.setdefault(book.shelf.text.source.path)
            for inner in (book.base, *book.members):
                visit(inner)

    visit(book)
    return tuple(found)


def books_named(path: str, data: bytes) -> tuple[tuple[str, str], ...]:
    """Return the books beside a sheet that it is read with, each with its digest."""
    source, _ = reader.decode(data, path)
    found, _ = facts.read(parser.parse(source)[0])
    return tuple((name, digest(name)) for name in books_of(found.book))


def keepable(routine: Routine, report: Report) -> bool:
    """Say whether an answer is final: decided, not a fault of stepcheck, and hanging on nothing that may yet appear.

    A sheet that names a book of its own and is ill-formed may be so because another file is not there.
    """
    if report.exit_status == 2 or not report.leaning.decided:
        return False
    if any(claim.verdict is Verdict.UNDECIDED for claim in report.claims):
        return False
    named = {name.strip() for field, value in routine.facts.header if field == "book" for name in value.split(",")}
    return report.verdict is not Verdict.ILL_FORMED or named <= set(SHIPPED)


def kept(report: Report, outcomes: tuple[Outcome, ...], books: tuple[tuple[str, str], ...]) -> Kept:
    """Return an answer as it is kept."""
    dances = {one.claim: list(map(_written, one.traces)) for one in outcomes if one.verdict is Verdict.REFUTED}
    told = json.dumps({"schema": SCHEMA, "sheets": [sheet_value(report)]}, separators=(",", ":"))
    return Kept(told, books, json.dumps(dances) if dances else "")


def believed(kept: Kept, path: str, data: bytes, readings: str, *, spot: bool = False) -> Report:
    """Return the report that was kept of a sheet, after its refutations were danced again.

    Args:
        kept: as `kept` made it.
        path: what the sheet is called by.
        data: the sheet.
        readings: as for `pipeline.load`.
        spot: whether to walk the proofs again, too.

    Raises:
        Unbelievable: something of it does not hold.
    """
    try:
        (report,) = from_json(kept.report)
        told = json.loads(kept.dances) if kept.dances else {}
        dances = {claim: tuple(map(_read, traces)) for claim, traces in told.items()}
    except (FormatError, KeyError, TypeError, ValueError, IndexError, AttributeError) as error:
        raise Unbelievable(f"what was kept of {path} cannot be read: {error}") from error
    if report.path != path or report.readings != readings:
        raise Unbelievable(f"what was kept of {path} is about another sheet")
    refuted = frozenset(claim.id for claim in report.claims if claim.verdict is Verdict.REFUTED)
    if refuted != dances.keys() or any(made != digest(name) for name, made in kept.books):
        raise Unbelievable(f"what was kept of {path} does not fit together")
    if refuted or spot:
        _danced(pipeline.loads(data, path=path, readings=readings), report, dances, refuted, spot)
    return report


def _danced(
    routine: Routine, report: Report, dances: dict[str, tuple[Trace, ...]], refuted: frozenset[str], spot: bool
) -> None:
    program = routine.program
    if program is None:
        if report.verdict is not Verdict.ILL_FORMED:
            raise Unbelievable(f"{report.path} is ill-formed, but was kept as {report.verdict.word}")
        return
    claims = {claim.id: claim for claim in program.claims}
    if [claim.id for claim in report.claims] != list(claims):
        raise Unbelievable(f"what was kept of {report.path} is about other claims")
    mended = refuted | {claim.id for claim in report.claims if claim.verdict is Verdict.UNDECIDED}
    excused = frozenset(claim for claim, traces in dances.items() if traces and traces[0].spare is None)
    for claim in refuted:
        try:
            confirm(program, claims[claim], dances[claim], mended, excused)
        except (Rejected, Spent, LookupError, TypeError, ValueError, AssertionError) as error:
            raise Unbelievable(f"{report.path}: {claims[claim].text!r} was kept as refuted, but {error}") from error
    if spot:
        outcomes, _ = pipeline.decide(program, "walk")
        if any(
            one.verdict is not told.verdict and one.reason != "budget"
            for one, told in zip(outcomes, report.claims, strict=True)
        ):
            raise Unbelievable(f"{report.path} was kept with another verdict than the walk gives")


def _written(trace: Trace) -> list[Any]:
    decisions = list(map(_decision, trace.decisions))
    passes = [list(map(_decision, one)) for one in trace.passes]
    return [decisions, trace.spare, None if trace.start is None else int(trace.start), list(trace.words), passes]


def _decision(one: Decision) -> list[Any]:
    match one:
        case Pick():
            return ["pick", one.option]
        case Lead():
            return ["lead", int(one.foot)]
        case Fill():
            return ["fill", None if one.weight is None else int(one.weight), one.turn]
        case End():
            return ["end", one.here]
        case Run():
            return ["run", one.times, list(map(_decision, one.decisions))]


def _read(made: list[Any]) -> Trace:
    decisions, spare, start, words, passes = made
    return Trace(
        tuple(map(_decided, decisions)),
        spare,
        None if start is None else Weight(start),
        tuple(words),
        tuple(tuple(map(_decided, one)) for one in passes),
    )


def _decided(made: list[Any]) -> Decision:
    match made:
        case ["pick", option]:
            return Pick(option)
        case ["lead", foot]:
            return Lead(Foot(foot))
        case ["fill", weight, turn]:
            return Fill(None if weight is None else Weight(weight), turn)
        case ["end", here]:
            return End(here)
        case ["run", times, decisions]:
            return Run(times, tuple(map(_decided, decisions)))
        case _:
            raise ValueError(f"{made} is no decision")
