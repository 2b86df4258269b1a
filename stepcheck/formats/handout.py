"""A sheet for the class as a page, for a phone and for paper, and as one picture."""

from collections.abc import Iterator
from textwrap import wrap

from attrs import frozen

from stepcheck.floor.care import WHO
from stepcheck.floor.handout import Handout, Piece, Turn, Way
from stepcheck.formats.answers import TITLE, cautions
from stepcheck.formats.markup import FREE, Markup, document, joined, on_circle, shoes, symbols, tag
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS

_ROOM = 64  # the side of the picture of a room
_ARC = 17  # how far from the middle a turn is drawn
_WIDE, _HIGH = 210, 297  # a sheet of paper (A4) in millimetres
_MARGIN, _COLUMN = 10, 96  # of the picture: around it, and a column with its gap
_LETTERS, _SMALL = 28, 50  # letters of a line in a column
_INDENT = 16  # of what stands beside a count or a room


def handout_html(made: Handout) -> str:
    """Return a sheet for the class as one page that needs nothing else; every word of the sheet is escaped.

    Args:
        made: as `handout` gives it.
    """
    body = tag(
        "body",
        symbols(),
        tag("header", tag("h1", made.title), *(tag("p", line, class_="story") for line in _story(made))),
        tag(
            "main",
            tag(
                "section",
                tag("h2", "The dance"),
                tag("ol", *(_turn(one, made) for one in made.order), class_="order"),
                class_="whole",
            ),
            *(_piece(one, made) for one in made.pieces),
        ),
        tag("footer", *(tag("p", line) for line in notes(made))),
        class_="class",
    )
    return document(made.title, body, "page.css", "handout.css")


_FACTS = {
    "song": "to “{}”",
    "artist": "by {}",
    "author": "steps by {}",
    "level": "{}",
    "tempo": "{} beats a minute",
    "wait": "wait {}",
    "walls": "walls: {}",
}


def _story(made: Handout) -> Iterator[str]:
    """Yield what the header says, and that something on the sheet does not hold, as sentences."""
    told = [_FACTS[name].format(value) for name, value in made.facts]
    if told:
        yield f"{told[0][:1].upper()}{told[0][1:]}{''.join(f'; {one}' for one in told[1:])}."
    if made.refuted:
        yield "Something on this sheet does not hold; it is shown as if it did."


def notes(made: Handout) -> Iterator[str]:
    """Yield what stands under a sheet for the class: names, care and cautions."""
    if made.again:
        yield f"From {made.unit.removesuffix('s')} {made.again} it is danced over and over until the music ends."
    if not made.whole:
        yield "The dance is longer than what is shown."
    for name, others in made.names:
        yield f"{name} is also called {words.listed(others)}."
    for one in made.care:
        yield f"Take care at line {one.line}: {one.message} ({one.source})."
    yield " ".join((TITLE, *cautions(turns=any(one.way.turn for one in made.pieces)), WHO))


def _turn(one: Turn, made: Handout) -> Markup:
    said = joined(tag("b", one.name), _again(one.time), tag("small", f"from {made.unit.removesuffix('s')} {one.beat}"))
    return tag("li", room(one.way, made.clock), tag("span", said))


def _piece(one: Piece, made: Handout) -> Markup:
    """Return a part with its steps: the count, what is danced, the free foot."""
    rows = (
        tag(
            "li",
            tag("span", step.count, class_="count"),
            tag("span", step.words, class_="what"),
            tag("span", shoes(FREE.get(step.free), 0), _foot(step.free), class_="foot"),
        )
        for step in one.steps
    )
    head = tag(
        "div", room(one.way, made.clock), tag("div", tag("h2", _named(one)), tag("p", _about(one, made))), class_="head"
    )
    return tag("section", head, tag("ol", *rows, class_="steps"), class_="piece")


def _named(one: Piece) -> str:
    return f"{one.name}{_again(one.time)}" if one.name else "In the dance itself"


def _again(time: int) -> str:
    return f", {words.ordinal(time)} time" if time > 1 else ""


def _foot(free: str) -> str:
    return {"none": "both", "?": "open"}.get(free, free)


def _about(one: Piece, made: Handout) -> str:
    """Return how long a part is, and how the class goes through it."""
    length = f"{words.number(one.beats)} {made.unit}"
    turn = f"; {words.turn(one.way.turn)}" if one.way.turn else ""
    return f"{length}, facing {words.towards(one.way.facing, made.clock)}{turn}"


def room(way: Way, clock: bool, **at: str) -> Markup:
    """Return the room from above, its front at the top: the wall that is faced, the dancer, and the way turned; `at` is
    where it stands in another picture."""
    half = _ROOM // 2
    parts = [
        tag("rect", x=4, y=4, width=56, height=56, class_="walls"),
        tag("rect", x=26, y=0, width=12, height=3, class_="front"),
    ]
    said = f"facing {words.towards(way.facing, clock)}, then {words.turn(way.turn)}"
    if way.facing >= 0:
        wall, turned = (f"rotate({angle} {half} {half})" for angle in (90 * (way.facing // 2), 45 * way.facing))
        parts.append(tag("path", d="M36 5H59V28" if way.facing % 2 else "M8 5H56", transform=wall, class_="faced"))
        parts.append(tag("path", d="M32 20 39 41H25Z", transform=turned, class_="dancer"))
        parts += _arc(way)
    return tag("svg", *parts, viewBox=f"0 0 {_ROOM} {_ROOM}", class_="room", role="img", aria_label=said, **at)


def _arc(way: Way) -> Iterator[Markup]:
    """Yield the arc of a turn with its tip; of a full turn and more all but a gap of the circle."""
    if not way.turn:
        return
    side = 1 if way.turn > 0 else -1
    far = min(abs(way.turn), EIGHTHS - 0.8) * side
    large = int(abs(far) > EIGHTHS / 2)
    (x, y), (z, w) = (on_circle(_ROOM / 2, _ARC + 5, way.facing + share) for share in (0.0, far))
    yield tag(
        "path", d=f"M{x:.1f} {y:.1f}A{_ARC + 5} {_ARC + 5} 0 {large} {int(side > 0)} {z:.1f} {w:.1f}", class_="turned"
    )
    angle = 45 * (way.facing + far) + (0 if side > 0 else 180)
    yield tag("path", d="M-5 -5 5 0-5 5Z", transform=f"translate({z:.1f} {w:.1f}) rotate({angle:.1f})", class_="tip")


# -- one picture -----------------------------------------------------------------------------------------------------


@frozen
class _Line:
    """A line of the picture: a text of class `kind`, further in by `indent`, with a count and a foot or with a room
    beside it; `high` is what it takes of the column."""

    text: str
    kind: str = "t"
    count: str = ""
    foot: str = ""
    way: Way | None = None
    high: float = 5.6
    indent: int = 0


def handout_svg(made: Handout) -> str:
    """Return a sheet for the class as one picture of the shape of an A4 page, smaller where there is more on it.

    Args:
        made: as `handout` gives it.
    """
    blocks, columns = list(_blocks(made)), 2
    while not (filled := _filled(blocks, columns)):
        columns += 1
    width = columns * _COLUMN + 2 * _MARGIN
    high = _HIGH * width // _WIDE
    drawn = [tag("text", made.title, x=_MARGIN, y=_MARGIN + 6, class_="h")]
    for number, column in enumerate(filled):
        y = _MARGIN + 14.0
        for one in column:
            drawn += _drawn(one, _MARGIN + number * _COLUMN, round(y, 1), made.clock)
            y += one.high
    size = f'viewBox="0 0 {width} {high}" width="{_WIDE}mm" height="{_HIGH}mm"'
    shapes = "\n".join(one.text for one in drawn)
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>\n<style>{_STYLE}</style>\n{shapes}\n</svg>\n'


_STYLE = (
    "svg{background:#fbf7ef}text{font:4px Georgia,serif;fill:#22302f}.h{font-size:7px}"
    ".p{font-size:5px;font-weight:bold}.s{fill:#566562;font-size:3.2px}.c{font-size:5px}.e{text-anchor:end}.walls{fill:none;stroke:#566562}"
    ".faced{fill:none;stroke:#22302f;stroke-width:6}.front{fill:#566562}.dancer{fill:#22302f}"
    ".turned{fill:none;stroke:#8c3a1f;stroke-width:3}.tip{fill:#8c3a1f}"
)


def _blocks(made: Handout) -> Iterator[list[_Line]]:
    """Yield the pieces of the picture, each as lines that stay in one column."""
    order = "; ".join(
        f"{one.name}{_again(one.time)}, facing {words.towards(one.way.facing, made.clock)}" for one in made.order
    )
    for told in (*_story(made), f"The dance: {order}."):
        yield [*_small(told), _Line("", high=3)]
    for piece in made.pieces:
        rows = [_Line(_named(piece), "p", way=piece.way, high=5, indent=_INDENT)]
        rows.append(_Line(_about(piece, made), "s", high=7.5, indent=_INDENT))
        for step in piece.steps:
            first, *more = wrap(step.words, _LETTERS, break_on_hyphens=False)
            high = 4 if more else 5.6
            rows.append(_Line(first, count=step.count, foot=_foot(step.free), high=high, indent=_INDENT))
            rows += [_Line(line, indent=_INDENT) for line in more]
        yield [*rows, _Line("", high=3)]
    for told in notes(made):
        yield [*_small(told), _Line("", high=1.5)]


def _small(told: str) -> list[_Line]:
    return [_Line(line, "s", high=4.2) for line in wrap(told, _SMALL, break_on_hyphens=False)]


def _filled(blocks: list[list[_Line]], columns: int) -> list[list[_Line]]:
    """Return the lines in columns of about one height; empty if they need more columns than these on a page."""
    most = (columns * _COLUMN + 2 * _MARGIN) * _HIGH // _WIDE - 14 - 2 * _MARGIN
    whole = sum(one.high for block in blocks for one in block)
    for high in range(int(whole / columns), most + 1, 4):
        made: list[list[_Line]] = [[]]
        for block in blocks:
            if made[-1] and sum(one.high for one in (*made[-1], *block)) > high:
                made.append([])
            made[-1] += block
        if len(made) <= columns and all(sum(one.high for one in column) <= high for column in made):
            return made
    return []


def _drawn(one: _Line, x: float, y: float, clock: bool) -> Iterator[Markup]:
    """Yield a line of the picture at a place."""
    if one.way is not None:
        yield room(one.way, clock, x=f"{x}", y=f"{y - 5}", width="11", height="11")
    if one.count:
        yield tag("text", one.count, x=f"{x}", y=f"{y}", class_="c")
    if one.foot:
        yield tag("text", one.foot, x=f"{x + _COLUMN - 8}", y=f"{y}", class_="s e")
    if one.text:
        yield tag("text", one.text, x=f"{x + one.indent}", y=f"{y}", class_=one.kind)
