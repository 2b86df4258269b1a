"""Which constructs of the language a sheet uses."""

from collections.abc import Iterator
from typing import Any

import attrs

from stepcheck.language import syntax
from stepcheck.language.syntax import (
    CountsHead,
    FacingMark,
    FootMark,
    HeaderField,
    LabelHead,
    Length,
    Line,
    OnlyHead,
    Option,
    Row,
    Sheet,
    SwapMark,
    TimesHead,
    TurnMark,
    UntilHead,
)

PLACES = {"at", "times_at", "value_at", "section_at", "role"}


def wanted() -> set[str]:
    """Return every kind of line, piece and mark that the language has, and each field of them that may be left out."""
    kinds = [kind for kind in vars(syntax).values() if _own(kind) and kind not in (Line, Sheet)]
    fields = {
        f"{kind.__name__}.{field.name}"
        for kind in kinds
        for field in attrs.fields(kind)
        if field.default is not attrs.NOTHING and field.name not in PLACES
    }
    return {kind.__name__ for kind in kinds} | fields


def used(sheet: Sheet) -> set[str]:
    """Return the kinds and fields that a sheet uses, and its other constructs by a name of ours."""
    return {name for line in sheet.lines for name in _line(line, ())}


def _own(kind: object) -> bool:
    """Say whether something is a kind of line or piece that `syntax` defines."""
    return isinstance(kind, type) and attrs.has(kind) and kind.__module__ == syntax.__name__


def _line(line: Line, above: tuple[object, ...]) -> Iterator[str]:
    if line.note is not None:
        yield "a note" if line.node else "a note alone"
    if line.comment is not None:
        yield "a comment" if line.node else "a comment alone"
    if line.node is not None:
        yield from _fields(line.node)
        yield from _named(line.node, above)
    for inner in line.body:
        yield from _line(inner, (*above, line.node))


def _fields(value: Any) -> Iterator[str]:
    """Yield a piece of a line, those in it, and the fields that it doesn't leave out."""
    if isinstance(value, tuple):
        for one in value:
            yield from _fields(one)
    elif _own(type(value)):
        yield type(value).__name__
        for field in attrs.fields(type(value)):
            inner = getattr(value, field.name)
            if field.default is not attrs.NOTHING and field.name not in PLACES and inner != field.default:
                yield f"{type(value).__name__}.{field.name}"
            yield from _fields(inner)
            yield from _values(inner)


def _values(value: Any) -> Iterator[str]:
    """Yield what is told by a value, not by a field."""
    for one in value if isinstance(value, tuple) else (value,):
        match one:
            case TurnMark(eighths=None):
                yield "turn ?"
            case TurnMark(eighths=0):
                yield "no turn"
            case TurnMark(eighths=int(eighths), side=side):
                yield {-1: "turn left", 0: "turn to either side", 1: "turn right"}[side]
                yield "turn by odd eighths" if eighths % 2 else "turn by quarters"
                if eighths > 8:
                    yield "turn of more than once round"
            case FootMark(foot=None, both=False):
                yield "? foot"
            case FootMark(both=True):
                yield "both feet"
            case FootMark(foot=foot) if foot is not None:
                yield f"{foot.name.lower()} foot"
            case FacingMark(facing=facing):
                yield f"facing {facing}/8"
            case SwapMark(mirrored=mirrored):
                yield "mirrored" if mirrored else "opposite foot"
            case Length(ticks=ticks) if ticks % 12:
                yield "a length that is no whole number"
            case Option(times=None):
                yield "x?"
            case Option(times=int(times)) if times >= 1_000_000:
                yield "x1000000"


def _named(node: object, above: tuple[object, ...]) -> Iterator[str]:
    """Yield what is told by a line's kind and by what stands around it."""
    match node:
        case HeaderField(key=key):
            yield f"{key}:"
        case CountsHead(first=first, last=last):
            yield "count N:" if first == last else "counts N-M:"
        case TimesHead(times=times):
            yield "? times:" if times is None else "N times:"
            if any(isinstance(one, TimesHead) for one in above):
                yield "repeats in repeats"
            if any(isinstance(one, syntax.DanceHead) for one in above):
                yield "N times: in the dance"
        case OnlyHead(times=times, exclude=exclude):
            verb = "except" if exclude else "only"
            if len(times.named) == 1:
                yield f"{verb} Nth time"
            if len(times.named) > 1:
                yield f"{verb} Nth, Mth time"
            if times.every:
                yield f"{verb} every Nth time"
            if times.last:
                yield f"{verb} last time"
            if not any(isinstance(one, TimesHead) for one in above):
                yield f"{verb} Nth time of the part"
        case UntilHead():
            yield "until the music ends:"
        case LabelHead():
            yield "a section as a heading"
        case Row(options=options):
            if len(options) > 1:
                yield "a variation"
            if any(isinstance(one, syntax.DanceHead) for one in above):
                yield "a line of the dance"
