"""Every answer as JSON, and reports back from it.

One rule writes all values: a value is an object of its fields, a row a list, a fraction a number, a verdict or another
choice its word.  `SHOWN` and `OTHERWISE` are what departs from that.  The layout of reports is published as a schema
beside the specifications; `SCHEMA` names its version and changes with it.
"""

import json
from collections.abc import Callable, Iterable
from enum import Enum
from fractions import Fraction
from functools import cache, partial
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from attrs import fields, has

from stepcheck.formats.answers import cautions, turns
from stepcheck.language.edits import ChangeTurn, Edit
from stepcheck.model.dance import EIGHTHS, TICKS
from stepcheck.model.findings import CODES, Diagnostic, Hint, Patch, TraceRow
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Span, StepcheckError, require
from stepcheck.report.text import word
from stepcheck.report.values import Report

SCHEMA = "stepcheck-report-1"
ANSWERS = "stepcheck-answers-2"
FIGURES = "stepcheck-figures-2"
FITTED = "stepcheck-fit-1"
FIXES = "stepcheck-fixes-2"
TOOL = "stepcheck"
# Of an answer, by its class: its schema, and what suggests movement if it is there.
DOCUMENTS = {
    "Breaks": (ANSWERS, "breaks"),
    "Filled": (ANSWERS, "fills"),
    "Fitted": (FITTED, "report"),
    "Repairs": (FIXES, "fixes"),
}
FINEST = 12_000  # fractions of a beat that a number is read as: twelfths, and thousandths for a tempo


class FormatError(StepcheckError, ValueError):
    """A text that is not a report in the layout that this version reads."""


def document(schema: str, **members: Any) -> str:
    """Return an answer as a JSON document that names its schema and ends in a line end."""
    return json.dumps({"schema": schema, **plain(members)}, ensure_ascii=False, indent=2) + "\n"


def json_text(reports: Iterable[Report], **more: Any) -> str:
    """Return `reports` as one JSON document.

    Args:
        reports: in the order in which they are to stand.
        more: further members of the document, such as `errors`, the files that could not be read.
    """
    done = tuple(reports)
    versions = dict(pair for report in done for pair in report.versions)
    return document(SCHEMA, tool=TOOL, versions=versions, sheets=done, **more)


def to_json(reports: Report | Iterable[Report]) -> str:
    """Return a report, or several, as one JSON document that `from_json` reads and `schema("json")` describes."""
    done = (reports,) if isinstance(reports, Report) else tuple(reports)
    for report in done:
        require(report, Report, "reports, as `check` gives them")
    return json_text(done)


def from_json(text: str) -> tuple[Report, ...]:
    """Return the reports in `text`, equal to those that it was written from.

    Raises:
        FormatError: `text` is no such document, or one of another version.
    """
    try:
        found = json.loads(text)
        if found["schema"] != SCHEMA:
            raise FormatError(f"this report has the layout {found['schema']}, and {SCHEMA} is read here")
        made = tuple(map(_reader(Report), found["sheets"]))
        json.dumps(plain(made))  # what can't be written was never written; without `indent`, which is slow
        return made
    except (LookupError, TypeError, AttributeError, ValueError, ArithmeticError, RecursionError) as error:
        if isinstance(error, FormatError):
            raise
        raise FormatError(f"this is not a report of stepcheck: {error}") from error


def answer_json(found: Any, path: str = "") -> str:
    """Return fixes, breaks, fillings, or a dance laid out anew as one JSON document, with the cautions.

    Args:
        found: the answer.
        path: the sheet that it is about, if it is about one.
    """
    kind = type(found).__name__
    schema, suggested = DOCUMENTS[kind]
    about = {} if kind == "Breaks" and not path else {"path": path}
    said = cautions(turns(found)) if getattr(found, suggested) else ()
    return document(schema, tool=TOOL, **about, **plain(found), cautions=said)


def cards_json(found: Iterable[Any], **more: Any) -> str:
    """Return figures written out as one JSON document, with further members of it; one that is empty is left out."""
    return document(FIGURES, figures=tuple(found), **{name: some for name, some in more.items() if some})


# -- values as plain data --------------------------------------------------------------------------------------------


_BARE = frozenset((str, int, bool, float, NoneType))  # what most fields hold


def plain(value: Any) -> Any:
    """Return a value as JSON has it: lengths in beats, turns in whole turns, left negative."""
    kind = type(value)
    if kind in _BARE:
        return value
    if kind is tuple or kind is list:
        return list(map(plain, value))
    if kind is dict:
        return {name: plain(one) for name, one in value.items()}
    if kind is Fraction:
        return float(value)
    if isinstance(value, Enum):
        return value.word if isinstance(value, Verdict) else value.name.lower()
    if kind.__name__ in OTHERWISE:
        return OTHERWISE[kind.__name__](value)
    if not has(kind):
        return value
    return _edit(value) if isinstance(value, Edit) else members(value)


@cache
def _shown(kind: Any) -> tuple[str, ...]:
    named = SHOWN.get(kind.__name__)
    return tuple(named.split() if named else (field.name for field in fields(kind) if field.repr))


def members(value: Any, names: str = "", **called: str) -> dict[str, Any]:
    """Return attributes of a value by name: those in `names`, else those that `SHOWN` has for its class, else its
    fields; `called` has other names for them."""
    made = {}
    for name in names.split() or _shown(value.__class__):
        one = getattr(value, name)
        made[called.get(name, name)] = rows(one, *PAIRS[name]) if name in PAIRS else plain(one)
    return made


def rows(values: Iterable[Iterable[Any]], *names: str) -> list[dict[str, Any]]:
    """Return rows of values as objects with these names."""
    return [dict(zip(names, map(plain, row), strict=True)) for row in values]


def _edit(edit: Edit) -> dict[str, Any]:
    """Return an edit of a sheet: its kind, and its pieces."""
    made = {"kind": edit.kind, **members(edit)}
    if isinstance(edit, ChangeTurn) and edit.turn is not None:
        made["turn"] = edit.turn / EIGHTHS
    return {"beats" if name == "ticks" else name: _beats(one) if name == "ticks" else one for name, one in made.items()}


def _beats(ticks: int | None) -> float | None:
    return None if ticks is None else ticks / TICKS


def _report(report: Report) -> dict[str, Any]:
    made = members(report)
    numbered = [{"number": number, **one} for number, one in enumerate(made["diagnostics"], 1)]
    tables = {"effort": dict(report.effort), "versions": dict(report.versions)}
    return made | {"diagnostics": numbered, **tables}


def _finding(finding: Diagnostic) -> dict[str, Any]:
    patches = [_patch(hint) for hint in finding.hints]
    return {
        **members(finding.span),
        "code": finding.code.id,
        "name": finding.code.name,
        "severity": plain(finding.code.severity),
        "word": word(finding.code),
        "message": finding.message,
        "args": plain(dict(finding.args)),
        "hints": [hint.text for hint in finding.hints],
        **({"patches": patches} if any(patches) else {}),
        "trace": plain(finding.rows),
        **members(finding, "claim places mended"),
        "related": [{**members(span), "message": about} for span, about in finding.related],
        "path": finding.path,
    }


def _patch(hint: Hint) -> list[dict[str, Any]]:
    """Return the stretches of text that a hint replaces, each with its new text; none where it writes nothing."""
    return [{**members(span), "text": text} for span, text in (hint.patch.replacements if hint.patch else ())]


def _form(code: Any) -> dict[str, Any]:
    """Return a code of movements; a compound has the movements of its row and no readings."""
    senses = () if code.movement is None else code.movement.senses
    readings = [
        {
            "label": sense.label,
            "usual": number == code.movement.usual,
            "made_by": sense.actor.value,
            "takes_weight": sense.lands,
            "sources": list(sense.sources),
        }
        for number, sense in enumerate(senses)
    ]
    return members(code, "forms book name place") | {"row": [one.name for one in code.row], "readings": readings}


def _filling(filling: Any) -> dict[str, Any]:
    blank = members(filling.blank, "line kind text", text="blank")
    value = plain(filling.turn if filling.blank.kind == "turn" else filling.value)
    return {**blank, "value": value, "lines": plain(filling.lines)}


CALLED = {"feet": "free_foot", "facings": "facing"}
PAIRS = {"levels": ("level", "scheme"), "quotes": ("line", "text"), "settle": ("word", "reading")}
# By the name of the class, so that no room is loaded which an answer does not come from: the attributes that are
# written where they are not the fields, and what is written otherwise.
SHOWN = {
    "Break": "figures lines beats starts ends turning",
    "Breaks": "breaks before reason",
    "Draft": "text assumed open lines",
    "Evidence": "cost complete single shapes solver script left searched statement",
    "Fill": "fillings diff text report",
    "Filled": "fills unique unique_effect settled_by complete reason",
    "Fit": "path title fits hard unknown reason",
    "Fitted": "sections lines breaks restarts moved places diff text report reason statement confirmed",
    "Fix": "name edits cost diff text report evidence",
    "Page": "code name",
    "Placed": "name turn lead",
    "Repairs": "needed fixes reason conflict statement singles",
    "Report": "path title verdict exit_status engine claims diagnostics effort versions quotes readings leaning finish",
    "TraceRow": "beat line figure feet facings times marked",
    "Use": "figure book times places",
}
OTHERWISE: dict[str, Callable[[Any], Any]] = {
    "Card": lambda one: (
        members(one)
        | {
            "words": [
                {"word": name, "readings": rows(senses, "label", "usual", "sources")} for name, senses in one.words
            ]
        }
    ),
    "Code": _form,
    "Diagnostic": _finding,
    "Filling": _filling,
    "Finish": lambda one: members(one, **CALLED) | {"sentence": str(one)},
    "Fitted": lambda one: members(one) | {"breaks": [members(row, "lines beats") for row in one.breaks]},
    "Page": lambda one: members(one) | {"sections": dict(one.sections)},
    "Placed": lambda one: members(one, name="figure"),
    "Recurrence": lambda one: {
        "routines": one.routines,
        "places": [{"path": path, "part": part, "mirrored": (path, part) in one.mirrored} for path, part in one.places],
    },
    "Report": _report,
    "Section": lambda one: {"name": one.name, "beats": _beats(one.ticks), "phrase": one.phrase},
    "State": str,
    "TraceRow": lambda one: members(one, **CALLED) | ({"turn": one.turn} if one.turn else {}),
}


# -- and back --------------------------------------------------------------------------------------------------------


@cache
def _reader(kind: Any) -> Callable[[Any], Any]:
    """Return the function that reads a value of a type from plain data: of a class of attrs, a tuple, a verdict, or one
    of these or None."""
    origin, inner = get_origin(kind), get_args(kind)
    if kind is Diagnostic:
        return _read_finding
    if kind is Fraction:
        return lambda number: Fraction(number).limit_denominator(FINEST)
    if kind is Verdict:
        return {verdict.word: verdict for verdict in Verdict}.__getitem__
    if origin in (Union, UnionType):
        (one,) = (_reader(one) for one in inner if one is not NoneType)
        return lambda made: None if made is None else one(made)
    if origin is tuple and inner[-1] is Ellipsis:
        each = _reader(inner[0])
        return lambda made: made if isinstance(made, dict) else tuple(map(each, made))  # `effort` is a table
    if origin is tuple:
        return tuple
    if kind in _BARE:
        return partial(_bare, kind)
    if not has(kind):
        return lambda made: made
    hints = get_type_hints(kind)
    named = [
        (one.name, CALLED.get(one.name, one.name), _paired(one.name) or _reader(hints[one.name]))
        for one in fields(kind)
    ]
    return lambda made: kind(**{name: read(made[said]) for name, said, read in named if said in made})


def _bare(kind: type, made: Any) -> Any:
    if not isinstance(made, (int, float) if kind is float else kind):
        raise TypeError(f"{made!r} stands where {kind.__name__} is expected")
    return made


def _paired(name: str) -> Callable[[Any], Any] | None:
    """Return what reads the rows of a field that are written as objects."""
    names = PAIRS.get(name)
    return names and (lambda made: tuple(tuple(row[one] for one in names) for row in made))


def _read_finding(made: dict[str, Any]) -> Diagnostic:
    patches = made.get("patches") or [[]] * len(made["hints"])
    return Diagnostic(
        code=CODES[made["name"]],
        path=made["path"],
        span=_span(made),
        message=made["message"],
        args=tuple((name, tuple(one) if isinstance(one, list) else one) for name, one in made["args"].items()),
        hints=tuple(map(_read_hint, made["hints"], patches)),
        related=tuple((_span(other), other["message"]) for other in made["related"]),
        rows=tuple(tuple(map(_step, rows)) for rows in made["trace"]),
        claim=made["claim"],
        places=made["places"],
        mended=tuple(made["mended"]),
    )


def _read_hint(text: str, stretches: list[dict[str, Any]]) -> Hint:
    if not stretches:
        return Hint(text)
    about = f"write {' / '.join(stretches[0]['text'].split(chr(10)))}"
    return Hint(text, Patch(about, tuple((_span(one), one["text"]) for one in stretches)))


_span, _step = _reader(Span), _reader(TraceRow)
