"""Routines built by a program: sheets put together from values, printed as text, and read like written ones.

Each line is read again; one that would be read as something else is refused.
"""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import TypeAlias, TypeVar

from attrs import evolve, field, frozen

from stepcheck.books.book import Book
from stepcheck.language import printer, syntax
from stepcheck.language.grammar import LineError
from stepcheck.language.parser import parse, parse_forms, parse_line
from stepcheck.language.stretches import numbered
from stepcheck.model.choices import Reading
from stepcheck.model.dance import EIGHTHS, TICKS, Foot
from stepcheck.model.source import Source, StepcheckError
from stepcheck.program.header import FACINGS
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline

Number: TypeAlias = int | float | str | Fraction
Known = TypeVar("Known")
FEET = {
    "left": syntax.FootMark(Foot.LEFT),
    "right": syntax.FootMark(Foot.RIGHT),
    "both": syntax.FootMark(None, both=True),
    "?": syntax.FootMark(None),
}
SIZES: dict[str, Number] = {"full": 1, "half": "1/2", "quarter": "1/4"}
SIDES = {"left": -1, "right": 1, "": 0}


class BuildError(StepcheckError, ValueError):
    """Something that no sheet can say."""


@frozen
class Built:
    """A line of a sheet that is being built, with those under it.

    Attributes:
        text: the line as a sheet has it, without what stands under it.
        body: the lines under it.
        node: what it has to be read as; None for a line that was given as text.
    """

    text: str
    body: "tuple[Built, ...]" = ()
    node: syntax.Node | None = field(default=None, repr=False)

    def __str__(self) -> str:
        """The line and those under it, as a sheet has them."""
        return "\n".join(text for text, _ in _laid((self,), 0))


Lines: TypeAlias = str | Built | Iterable[str | Built]


def line(
    name: str,
    *marks: str,
    times: int | None = 1,
    turn: Number | None = None,
    foot: str | None = None,
    facing: str | None = None,
    opposite: bool = False,
    mirrored: bool = False,
    until_the_music_ends: bool = False,
    book: str | None = None,
    note: str = "",
) -> Built:
    """Return a line that dances a figure or a part.

    Args:
        name: of the figure or the part.
        marks: other marks as a sheet has them, such as `turn 1/4 left on last` or `first 16 counts`.
        times: how often; None leaves it blank.
        turn: in whole turns: as text with a side, such as `1/4 left`, or as a number, left negative; `?` leaves it
            blank.
        foot: the foot that is free before it: `left`, `right`, `both`, or `?`.
        facing: the wall that is faced before it, such as `back` or `9:00`.
        opposite: whether the part is danced with the other foot.
        mirrored: whether it is mirrored, turns and all.
        until_the_music_ends: whether it goes on until the music ends.
        book: the book that the figure is from, where several have one of this name.
        note: what is said to the dancers.

    Raises:
        BuildError: no sheet can say that.
    """
    made: list[syntax.Mark] = [
        *([syntax.UntilMark()] if until_the_music_ends else []),
        *([_named(foot, FEET, "foot")] if foot is not None else []),
        *([syntax.FacingMark(_named(facing, FACINGS, "wall"), clock=":" in facing)] if facing is not None else []),
        *([_turn(turn)] if turn is not None else []),
        *([syntax.SwapMark(mirrored)] if opposite or mirrored else []),
    ]
    if times is not None and times < 1:
        raise BuildError(f"{name} is danced at least once, not {times} times")
    node = syntax.Row((syntax.Option(name, times, book, tuple(made)),))
    said = ", ".join([printer.print_node(node), *marks]) + (f" ({note})" if note else "")
    return Built(said, node=None if marks else node)


def block(heading: str, lines: Lines) -> Built:
    """Return lines under a heading of their own, such as `2 times` or `last time only`.

    Args:
        heading: as a sheet has it, with or without its colon.
        lines: what stands under it.
    """
    return Built(f"{heading.rstrip().removesuffix(':')}:", _lines(lines))


def part(name: str, contract: str, lines: Lines) -> Built:
    """Return a part.

    Args:
        name: of the part.
        contract: what its heading claims, as a sheet has it: `32 beats, full turn right, left foot to left foot`; or
            "".
        lines: what is danced in it.
    """
    head = Built(f"part {name}: {contract}".rstrip(), _lines(lines))
    return head if contract else evolve(head, node=syntax.PartHead(name))


def figure(
    name: str,
    steps: str,
    *,
    beats: Number | None = None,
    turn: Number | None = None,
    foot: str | None = None,
    travel: str = "",
) -> Built:
    """Return a figure of the sheet's own.

    Args:
        name: of the figure.
        steps: its movements as a book has them, such as `DS DS RS RS`.
        beats: how long it is.
        turn: how far it turns, as for `line`.
        foot: the foot that it is written for: `left` or `right`.
        travel: how far it goes, as a sheet has it: `2 steps forward`, `on the spot`; empty where that is not known.

    Raises:
        BuildError: no sheet can say that.
    """
    length = None if beats is None else syntax.Length(_ticks(beats))
    mark = None if turn is None else _turn(turn)
    try:
        forms = parse_forms(steps)
    except LineError as error:
        raise BuildError(f"{steps!r} is no row of movements") from error
    try:
        row = parse_line(f"{name}, {travel}: {steps}", "figures") if travel else None
    except LineError as error:
        raise BuildError(f"{travel!r} does not say how far a figure goes") from error
    way = row.travel if isinstance(row, syntax.FigureRow) else None
    node = syntax.FigureRow(name, forms, length, None if foot is None else _named(foot, FEET, "foot"), mark, way)
    return _made(node)


def sheet(
    title: str,
    *,
    book: str | None = "clogging",
    parts: Iterable[Built] = (),
    dance: Lines = (),
    figures: Iterable[str | Built] = (),
    music: Mapping[str, Number] | Iterable[tuple[str, Number]] = (),
    lasts: str = "",
    header: Mapping[str, str] | None = None,
    path: str = "<built>",
    readings: Reading = "usual",
    opened: Book | None = None,
) -> Routine:
    """Return the routine built from parts; its `diagnostics` say what is wrong with it, as with `load`.

    Args:
        title: the name of the routine.
        book: the book or books as the header names them; None to name none.
        parts: parts, as `part` makes them.
        dance: the lines of the dance, as text such as `A x2` or as `line` and `block` make them.
        figures: figures of its own, as `figure` makes them.
        music: the sections of the music in their order, each with its length in beats; as pairs where a name comes
            again.
        lasts: how long the whole dance is, if that is claimed: `64 beats`.
        header: further lines of the header, such as `{"lead": "left"}`.
        path: the name to call the sheet by.
        readings: how words with several readings are read; as for `load`.
        opened: a book to use instead of the one that the header names; as for `load`.

    Raises:
        BuildError: a line would be read as something else than was asked for.
    """
    fields = {"routine": title, **({"book": book} if book is not None else {}), **(header or {})}
    rows = [_made(syntax.HeaderField(name, value)) for name, value in fields.items()]
    pairs = music.items() if isinstance(music, Mapping) else music
    if sections := tuple(syntax.MusicRow(name, _ticks(length)) for name, length in pairs):
        rows.append(Built("music:", tuple(map(_made, sections))))
    if own := _lines(figures):
        rows.append(Built("figures:", own))
    rows += parts
    if danced := _lines(dance):
        rows.append(Built(f"dance: {lasts}".rstrip(), danced, None if lasts else syntax.DanceHead()))
    return pipeline.loads(_text(tuple(rows), path), path=path, readings=readings, book=opened)


def _text(rows: tuple[Built, ...], path: str) -> str:
    """Return the text of a sheet, in its layout, after every line was found to be read as it was meant."""
    laid = tuple(_laid(rows, 0))
    for text, _ in laid:
        if "\n" in text or "\r" in text:
            raise BuildError(f"{text!r} is no line of its own")
    source = Source(path, "".join(f"{text}\n" for text, _ in laid))
    read, _ = parse(source)
    found = numbered(read)
    for number, (text, meant) in enumerate(laid, 1):
        if meant.node is not None and (number not in found or found[number].node != meant.node):
            raise BuildError(f"{text.strip()!r} would be read as something else than was asked for")
        if meant.body and (number not in found or len(found[number].body) != len(meant.body)):
            raise BuildError(f"{text.strip()!r} would not be read as a heading")
    return printer.print_sheet(read)


def _laid(rows: tuple[Built, ...], depth: int) -> Iterator[tuple[str, Built]]:
    for row in rows:
        yield printer.INDENT * depth + row.text, row
        yield from _laid(row.body, depth + 1)


def _lines(given: Lines) -> tuple[Built, ...]:
    rows = (given,) if isinstance(given, str | Built) else tuple(given)
    return tuple(Built(row) if isinstance(row, str) else row for row in rows)


def _made(node: syntax.Node) -> Built:
    return Built(printer.print_node(node), node=node)


def _named(said: str, known: Mapping[str, Known], what: str) -> Known:
    if said not in known:
        raise BuildError(f"there is no {what} {said!r}; write {', '.join(known)}")
    return known[said]


def _turn(said: Number) -> syntax.TurnMark:
    if said == "?":
        return syntax.TurnMark(None)
    size, _, side = said.partition(" ") if isinstance(said, str) else (said, "", "")
    if side not in SIDES:
        raise BuildError(f"{said!r} is no turn; write it like 1/4 left, or as a number of turns, left negative")
    eighths = _parts("turns", SIZES.get(str(size), size), EIGHTHS)
    named = isinstance(said, str)
    return syntax.TurnMark(abs(eighths), SIDES[side] if named else (eighths > 0) - (eighths < 0))


def _ticks(beats: Number) -> int:
    ticks = _parts("beats", beats, TICKS)
    if ticks < 1:
        raise BuildError(f"{beats!r} is no length in beats")
    return ticks


def _parts(unit: str, said: Number, size: int) -> int:
    """Return a number in parts of its unit, of which one has `size`."""
    try:
        parts = Fraction(said) * size
    except (ValueError, TypeError, OverflowError, ZeroDivisionError) as error:
        raise BuildError(f"{said!r} is no number of {unit}") from error
    if parts.denominator != 1:
        raise BuildError(f"{said} {unit} are finer than 1/{size}")
    return int(parts)
