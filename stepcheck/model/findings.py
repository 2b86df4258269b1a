"""Findings: one value for whatever stepcheck has to say about a sheet."""

from collections.abc import Iterable
from enum import IntEnum
from typing import Any

from attrs import field, frozen

from stepcheck.model.source import Source, Span


class Severity(IntEnum):
    """How much a finding weighs, worst last."""

    NOTE = 0
    WARNING = 1
    ERROR = 2


@frozen
class Code:
    """A kind of finding: a number in the band of its phase, and a name.

    Bands: 1 reading the file, 2 the language, 3 names and units, 4 figures and books, 5 claims refuted, 6 claims never
    reached, 7 claims undecided, 8 notes, 9 stepcheck itself.

    Attributes:
        id: its number, such as `SR501`.
        name: its name, such as `foot-not-free`.
        severity: how much it weighs.
    """

    id: str
    name: str
    severity: Severity


@frozen
class TraceRow:
    """One row of the table of steps that lead to a finding.

    Attributes:
        beat: when it begins, counted from 1 since the start of the dance, as text: `13`, `13&`.
        line: the line that dances it, from 1; 0 for none.
        figure: what is danced.
        feet: the free foot before and after it: `left`, `right` or `none`.
        facings: the walls faced before and after it, in words.
        times: how many equal rows it stands for.
        marked: whether it is the row at which the claim fails.
        turn: a turn that the two walls don't tell, in words: `a full turn left`; else empty.
    """

    beat: str
    line: int
    figure: str
    feet: tuple[str, str]
    facings: tuple[str, str]
    times: int = 1
    marked: bool = False
    turn: str = ""


@frozen
class Patch:
    """A change to one sheet.

    **Invariant:** the stretches of text do not overlap.

    Attributes:
        about: what the change does, in a few words.
        replacements: the stretches of text that give way, each with what takes its place.
    """

    about: str
    replacements: tuple[tuple[Span, str], ...]

    def applied(self, source: Source) -> str:
        """Return the text of `source` after the change."""
        text, end = source.text, len(source.text)
        starts = [0]
        for line in source.lines:
            starts.append(starts[-1] + len(line) + 1)
        out: list[str] = []
        for span, said in sorted(self.replacements, reverse=True):
            first, last = starts[span.line - 1] + span.column - 1, starts[span.end_line - 1] + span.end_column - 1
            out += [text[last:end], said]
            end = first
        return "".join([text[:end], *reversed(out)])


class Hint(str):
    """A sentence that says what would mend a finding, and the change that it spells out to the letter, if it does.

    It equals its sentence, so that what only prints hints need not know of changes.  `otherwise` is the sentence to say
    where the change does not mend the sheet.
    """

    __slots__ = ("otherwise", "patch")
    patch: Patch | None
    otherwise: str

    def __new__(cls, text: str, patch: Patch | None = None, otherwise: str = "") -> "Hint":
        """Return the hint that says `text`."""
        made = super().__new__(cls, text)
        made.patch = patch
        made.otherwise = otherwise
        return made

    @property
    def text(self) -> str:
        """The sentence."""
        return str.__str__(self)

    def __reduce__(self) -> tuple[type, tuple[object, ...]]:
        return Hint, (self.text, self.patch, self.otherwise)


def _hints(given: Iterable[str]) -> tuple[Hint, ...]:
    return tuple(one if isinstance(one, Hint) else Hint(one) for one in given)


@frozen
class Diagnostic:
    """One finding.

    Attributes:
        code: what kind it is.
        path: the sheet, or the book.
        span: where it points to.
        message: the sentence.
        args: pairs of a name and a value: what the sentence speaks of, for programs.
        hints: what would mend it.
        rows: the dances that lead to it: one, or two that differ; each a table of steps.
        claim: the id of the claim that it is about; empty for none.
        places: at how many points of the dance that claim fails.
        mended: ids of the claims taken as true on the way.
        related: pairs of another place and a word on it.
    """

    code: Code
    path: str
    span: Span
    message: str
    args: tuple[tuple[str, Any], ...] = ()
    hints: tuple[Hint, ...] = field(default=(), converter=_hints)
    rows: tuple[tuple[TraceRow, ...], ...] = ()
    claim: str = ""
    places: int = 1
    mended: tuple[str, ...] = ()
    related: tuple[tuple[Span, str], ...] = field(default=())

    @property
    def sort_key(self) -> tuple[Any, ...]:
        """File, then place, then the worst first, then the code, then the words: a total order, the same on every
        run."""
        span = self.span  # its numbers, which compare a quarter as slowly as spans do
        place = (span.line, span.column, span.end_line, span.end_column)
        return (self.path, place, -self.code.severity, self.code.id, self.message)


_E, _W, _N = Severity.ERROR, Severity.WARNING, Severity.NOTE

_ROWS = (
    ("101", "not-text", _E),
    ("102", "too-large", _E),
    ("103", "stray-character", _E),
    ("104", "empty-sheet", _E),
    ("201", "line-not-understood", _E),
    ("202", "misplaced-line", _E),
    ("203", "uneven-indentation", _E),
    ("204", "too-deep", _E),
    ("205", "number-out-of-range", _E),
    ("206", "impossible-turn", _E),
    ("207", "empty-block", _E),
    ("301", "unknown-name", _E),
    ("302", "name-taken-twice", _E),
    ("303", "unknown-header", _E),
    ("304", "header-value", _E),
    ("305", "part-inside-itself", _E),
    ("306", "name-in-two-books", _E),
    ("307", "time-outside-repeat", _E),
    ("308", "unknown-section", _E),
    ("309", "cut-splits-a-turn", _E),
    ("310", "nothing-may-follow", _E),
    ("311", "mark-not-possible-here", _E),
    ("312", "turn-needs-a-side", _E),
    ("313", "walls-of-what", _E),
    ("314", "missing-dance", _E),
    ("315", "cut-beyond-the-end", _E),
    ("316", "footwork-not-published", _E),
    ("317", "unknown-reading", _E),
    ("318", "too-many-steps", _E),
    ("319", "two-readings", _E),
    ("320", "wrong-groups", _E),
    ("401", "impossible-movement", _E),
    ("402", "unknown-form", _E),
    ("403", "form-with-two-meanings", _E),
    ("404", "form-without-stated-weight", _E),
    ("405", "count-out-of-order", _E),
    ("406", "figure-without-beats", _E),
    ("407", "unknown-level", _W),
    ("408", "figure-shadowed", _N),
    ("409", "figure-twice", _N),
    ("410", "turn-beyond-the-end", _E),
    ("501", "foot-not-free", _E),
    ("502", "wrong-free-foot", _E),
    ("503", "not-both-feet", _E),
    ("504", "wrong-facing", _E),
    ("505", "wrong-length", _E),
    ("506", "wrong-counts", _E),
    ("507", "wrong-turn", _E),
    ("508", "wrong-net-facing", _E),
    ("509", "music-not-filled", _E),
    ("510", "unequal-alternatives", _E),
    ("511", "wrong-figure-length", _E),
    ("512", "wrong-walls", _E),
    ("513", "groups-differ", _E),
    ("514", "off-its-spot", _E),
    ("601", "never-reached", _E),
    ("602", "time-never-comes", _E),
    ("701", "waits-on-a-blank", _W),
    ("702", "budget-spent", _W),
    ("703", "way-unknown", _W),
    ("801", "part-never-danced", _N),
    ("802", "turn-mirrored", _N),
    ("803", "usual-reading", _N),
    ("804", "from-memory", _N),
    ("805", "seldom-on-this-foot", _N),
    ("806", "reading-left-out", _N),
    ("807", "note-not-read", _N),
    ("808", "full-turn-each-time", _N),
    ("811", "about-the-song", _N),
    ("812", "across-a-phrase", _N),
    ("813", "turns-not-checked", _N),
    ("901", "engines-disagree", _E),
)

CODES = {name: Code(f"SR{number}", name, severity) for number, name, severity in _ROWS}
"""The codes by name."""
