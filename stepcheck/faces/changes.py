"""Changes of a sheet that an editor offers beside those that mend a finding: another name, a word settled in the
header, everything at once that has a single way out."""

from collections.abc import Iterator
from itertools import pairwise

from attrs import evolve

from stepcheck.faces.document import Desk, Name, defined, every_name, figure_of, meant, name_at
from stepcheck.language.syntax import FigureRow, HeaderField, Line, PartHead, Row
from stepcheck.model.dance import key
from stepcheck.model.findings import Patch, Severity
from stepcheck.model.source import Span
from stepcheck.report import pipeline
from stepcheck.report.notes import open_words

MOST_TRIED = 20
"""How many changes are tried one by one where they do not go together."""


class NotRenamed(ValueError):
    """A name that cannot be another; the message is a sentence that says why."""


def renamable(desk: Desk, line: int, column: int) -> Name:
    """Return the name at a place, from 1, if it is that of a part or of a figure of the sheet's own.

    Raises:
        NotRenamed: it is another's, or none.
    """
    name = name_at(desk, line, column)
    if name is None or meant(desk, name) is None:
        raise NotRenamed("only the name of a part, or of a figure of the sheet's own, can be another")
    if defined(desk, name) is None:
        raise NotRenamed(f"{name.name} is of the book, and keeps its name")
    return name


def renamed(desk: Desk, line: int, column: int, name: str) -> Patch:
    """Return the change that calls the part or own figure at a place, from 1, `name` everywhere in the sheet.

    The sheet is read again with it: nothing but that name may be read otherwise.

    Raises:
        NotRenamed: there is nothing to rename, the name is taken, or the sheet would be read otherwise.
    """
    old, new = renamable(desk, line, column), " ".join(name.split())
    if key(new) != key(old.name):
        _free(desk, new)
    about = meant(desk, old)
    places = (one for one in every_name(desk) if meant(desk, one) == about)
    patch = Patch(f"call it {new}", tuple((one.span, _written(desk, one, new)) for one in places))
    after = pipeline.loads(patch.applied(desk.source), path=desk.source.path)
    before = _called(desk.routine.sheet.lines, key(old.name), new)
    if before != _called(after.sheet.lines, key(new), new):
        raise NotRenamed(f"a sheet with {new!r} in the place of {old.name} would be read otherwise")
    return patch


def _free(desk: Desk, name: str) -> None:
    """Raise if a part, a figure or a movement has this name."""
    taken = desk.heads.get(key(name))
    if taken is not None:
        raise NotRenamed(f"{name} is already the name of what stands on line {taken.line.number}")
    for kind, found in (("figure", desk.book.find(name)), ("movement", desk.book.movement(name))):
        if found:
            raise NotRenamed(f"{name} is already the name of a {kind} of the book {desk.book.name}")


def _written(desk: Desk, name: Name, new: str) -> str:
    """Return what to write in the place of a name; a number that was read as part of it is kept behind."""
    there = desk.source.line(name.span.line)[name.span.column - 1 : name.span.end_column - 1]
    many = name.option is not None and name.option.times not in (None, 1) and there[:1].isdigit()
    return f"{new} x{name.option.times}" if many and name.option else new


def _called(found: tuple[Line, ...], old: str, new: str) -> tuple[Line, ...]:
    """Return lines with the part or own figure `old` called `new`."""

    def one(line: Line) -> Line:
        node = line.node
        if isinstance(node, PartHead | FigureRow) and key(node.name) == old:
            node = evolve(node, name=new)
        elif isinstance(node, Row):
            options = tuple(
                evolve(option, name=new) if key(option.name) == old and option.book is None else option
                for option in node.options
            )
            node = evolve(node, options=options)
        return evolve(line, node=node, body=_called(line.body, old, new))

    return tuple(map(one, found))


def unsettled(desk: Desk, first: int, last: int) -> Iterator[Patch]:
    """Yield the changes that settle in the header a word that is danced on one of some lines and read in several ways.

    The reading that is usual comes first; the verdicts may be others with the other one.
    """
    danced = {
        word
        for one in every_name(desk)
        if first <= one.line.number <= last and one.option and (figure := figure_of(desk, one))
        for word in open_words(figure)
    }
    heads = [line.number for line in desk.routine.sheet.lines if isinstance(line.node, HeaderField)]
    place = max(heads, default=0) + 1
    for word in desk.routine.words:
        if word.key in danced:
            for label in dict.fromkeys((word.labels[word.usual], *word.labels)):
                said = f"{word.key}: {label}"
                yield Patch(f"settle it in the header: {said}", ((Span(place, 1, place, 1), f"{said}\n"),))


def put_right(desk: Desk) -> Patch | None:
    """Return one change that mends every finding with a single way out, None if there is no such finding.

    A refuted claim is none of them: the sentence may be wrong, or the steps.  Where two changes do not go together, the
    later one is left out.
    """
    ill = [one for one in desk.routine.diagnostics if one.code.severity is not Severity.NOTE]
    ways = [(one.hints[0].patch, sum(hint.patch is not None for hint in one.hints)) for one in ill if one.hints]
    single = list(dict.fromkeys(first for first, number in ways if first is not None and number == 1))
    if not single or _mends(desk, single, len(ill)):
        return _together(single) if single else None
    kept: list[Patch] = []
    for patch in single[:MOST_TRIED]:
        kept += [patch] if _mends(desk, [*kept, patch], len(ill)) else []
    return _together(kept) if kept else None


def _together(patches: list[Patch]) -> Patch:
    return Patch(
        "put right what has a single way out", tuple(dict.fromkeys(r for one in patches for r in one.replacements))
    )


def _mends(desk: Desk, patches: list[Patch], ill: int) -> bool:
    """Say whether changes overlap nowhere, and take away a finding each of the `ill` that there are."""
    spans = sorted(span for span, _ in _together(patches).replacements)
    if any((one.end_line, one.end_column) > (other.line, other.column) for one, other in pairwise(spans)):
        return False
    after = pipeline.loads(_together(patches).applied(desk.source), path=desk.source.path)
    return sum(one.code.severity is not Severity.NOTE for one in after.diagnostics) <= ill - len(patches)
