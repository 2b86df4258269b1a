"""An answer as text to be kept, with what it was found from, and the test that what was kept may still be believed.

A refutation carries its dances, which the judge dances again. A proof has no certificate that is cheaper than walking
it, so it is believed by its seal, and one in `SPOT` is walked again.
"""

import json
from collections.abc import Callable, Iterable
from enum import Enum
from fractions import Fraction
from functools import cache
from hashlib import blake2b
from operator import attrgetter
from types import NoneType, UnionType
from typing import Any, TypeAlias, Union, get_args, get_origin, get_type_hints

from attrs import fields, frozen, has

from stepcheck.books.book import SHIPPED, load, within
from stepcheck.language import files, parser
from stepcheck.model.choices import Reading
from stepcheck.model.findings import CODES, Code, Hint, Patch
from stepcheck.model.outcome import Outcome, Trace, Verdict
from stepcheck.model.source import SourceError, StepcheckError, read_bytes
from stepcheck.model.work import WorkSpent
from stepcheck.program import header as facts
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.report.values import Report

SPOT = 64


class Unbelievable(StepcheckError):
    """What was kept is not what the sheet says now."""


@frozen
class Kept:
    """An answer as it is kept.

    `report` is one report as JSON, `books` has the digest of every book and song beside the sheet, by
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


def files_of(path: str, found: facts.Facts) -> tuple[tuple[str, str], ...]:
    """Return the files beside a sheet that it is read with, its books and its song, each with its digest.

    Books that come with stepcheck are none of them.
    """
    shipped = [load(name).shelf for name in SHIPPED]
    shelves = [one.shelf for one in within(found.book)] if found.book is not None else []
    paths = [*dict.fromkeys(one.text.source.path for one in shelves if one is not None and one not in shipped)]
    if found.song is not None:
        from stepcheck.music.song import beside

        paths.append(beside(path, dict(found.header)["music"]))
    return tuple((name, digest(name)) for name in paths)


def files_named(path: str, data: bytes) -> tuple[tuple[str, str], ...]:
    """Return the files of a sheet, as `files_of`, from its bytes."""
    source, _ = files.decode(data, path)
    return files_of(path, facts.read(parser.parse(source)[0])[0])


def keepable(routine: Routine, report: Report) -> bool:
    """Say whether an answer is final: decided, not a fault of stepcheck, and hanging on nothing that may yet appear.

    A sheet that names a book of its own, or a song, and is ill-formed may be so because another file is not there.
    """
    if report.exit_status == 2 or not report.leaning.decided:
        return False
    if any(claim.verdict is Verdict.UNDECIDED for claim in report.claims):
        return False
    header = dict(routine.facts.header)
    named = {name.strip() for name in header.get("book", SHIPPED[0]).split(",")}
    return report.verdict is not Verdict.ILL_FORMED or (named <= set(SHIPPED) and "music" not in header)


def kept(report: Report, outcomes: tuple[Outcome, ...], books: tuple[tuple[str, str], ...]) -> Kept:
    """Return an answer as it is kept."""
    dances = tuple((one.claim, one.traces) for one in outcomes if one.verdict is Verdict.REFUTED)
    return Kept(_text(Report, report), books, _text(_DANCES, dances) if dances else "")


def believed(kept: Kept, path: str, data: bytes, readings: Reading, *, spot: bool = False) -> Report:
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
        report: Report = _value(Report, kept.report)
        dances = dict(_value(_DANCES, kept.dances)) if kept.dances else {}
    except (LookupError, TypeError, ValueError, AttributeError, ArithmeticError, RecursionError) as error:
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
    from stepcheck.report.certify import Rejected, confirm

    for claim in refuted:
        try:
            confirm(program, claims[claim], dances[claim], mended, excused)
        except (Rejected, WorkSpent, LookupError, TypeError, ValueError, AssertionError) as error:
            raise Unbelievable(f"{report.path}: {claims[claim].text!r} was kept as refuted, but {error}") from error
    if spot:
        outcomes, _ = pipeline.decide(program, "walk")
        if any(
            one.verdict is not told.verdict and one.reason != "budget"
            for one, told in zip(outcomes, report.claims, strict=True)
        ):
            raise Unbelievable(f"{report.path} was kept with another verdict than the walk gives")


# -- values as rows --------------------------------------------------------------------------------------------------

Rows: TypeAlias = tuple[Callable[[Any], Any], Callable[[Any], Any]]
"""How values of a kind are written as JSON without the names of their fields, and how they are read again."""


@cache
def rows(kind: Any) -> Rows | None:
    """Return how values of a type are written and read; None for those that JSON has as they are.

    Args:
        kind: a class of attrs, an enum, a tuple of such, a union of classes of attrs, or one with None.
    """
    origin, inner = get_origin(kind), get_args(kind)
    if kind is Any:
        return _plain, _frozen
    if kind is Fraction:
        return Fraction.as_integer_ratio, lambda pair: Fraction(*pair)
    if kind is Code:
        return attrgetter("name"), CODES.__getitem__
    if kind is Hint:
        write, read = rows(Patch) or (_plain, _plain)
        return (
            lambda hint: [hint.text, hint.patch and write(hint.patch), hint.otherwise],
            lambda made: Hint(made[0], made[1] and read(made[1]), made[2]),
        )
    if origin is tuple:
        return _of_all(inner[0]) if inner[-1] is Ellipsis else _of_each(inner, lambda *row: row)
    if origin in (Union, UnionType):
        return _of_any(tuple(one for one in inner if one is not NoneType))
    if isinstance(kind, type) and issubclass(kind, Enum):
        return attrgetter("name"), kind.__members__.__getitem__
    if isinstance(kind, type) and has(kind):
        return _of_fields(kind)
    return None


def _of_all(kind: Any) -> Rows:
    write, read = rows(kind) or (None, None)
    if write is None or read is None:
        return list, tuple
    return (lambda values: list(map(write, values))), (lambda made: tuple(map(read, made)))


def _of_each(kinds: tuple[Any, ...], make: Callable[..., Any]) -> Rows:
    found = [(place, *how) for place, kind in enumerate(kinds) if (how := rows(kind)) is not None]

    def write(values: Iterable[Any]) -> list[Any]:
        made = list(values)
        for place, one, _ in found:
            if place < len(made):
                made[place] = one(made[place])
        return made

    def read(made: list[Any]) -> Any:
        most = len(made)
        for place, _, one in found:
            if place >= most:
                break
            made[place] = one(made[place])
        return make(*made)

    return write, read


def _of_fields(kind: Any) -> Rows:
    """Return how values of a class of attrs are written and read: their fields, up to the last that differs from its
    default."""
    hints, usual = get_type_hints(kind), {field.name: field.default for field in fields(kind)}
    write, read = _of_each(tuple(hints[name] for name in usual), kind)

    def row(value: Any) -> Any:
        made = [(getattr(value, name), default) for name, default in usual.items()]
        while made and made[-1][0] == made[-1][1]:
            made.pop()
        return write(one for one, _ in made)

    return row, read


def _of_any(kinds: tuple[Any, ...]) -> Rows | None:
    """Return how values of one of several classes are written and read, the number of the class first; or of one type
    or None."""
    if len(kinds) > 1:

        def write(value: Any) -> list[Any]:
            number = kinds.index(type(value))
            return [number, *(rows(kinds[number]) or (list, tuple))[0](value)]

        return write, lambda made: (rows(kinds[made[0]]) or (list, tuple))[1](made[1:])
    how = rows(kinds[0])
    if how is None:
        return None
    one, other = how
    return (lambda value: None if value is None else one(value)), (lambda made: None if made is None else other(made))


def _plain(value: Any) -> Any:
    return list(map(_plain, value)) if isinstance(value, tuple) else value


def _frozen(made: Any) -> Any:
    return tuple(map(_frozen, made)) if isinstance(made, list) else made


_DANCES = tuple[tuple[str, tuple[Trace, ...]], ...]


def _text(kind: Any, value: Any) -> str:
    write, _ = rows(kind) or (_plain, _frozen)
    return json.dumps(write(value), separators=(",", ":"), ensure_ascii=False)


def _value(kind: Any, text: str) -> Any:
    _, read = rows(kind) or (_plain, _frozen)
    return read(json.loads(text))
