"""HTML elements as text, every word of a sheet escaped, and what is drawn: verdicts, shoes, walls, the strip."""

import re
from collections.abc import Iterable
from html import escape
from importlib.resources import files
from math import cos, pi, sin
from typing import TypeAlias

from attrs import frozen

from stepcheck.formats.floorplan import Plan
from stepcheck.model import words
from stepcheck.model.dance import EIGHTHS, TICKS, Weight
from stepcheck.model.words import visible
from stepcheck.walk.stands import Moment
from stepcheck.walk.tracks import MOST

POLICY = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'"
_EMPTY = ("meta", "input", "br", "path", "circle", "rect", "use", "line")
_QUOTED = re.compile(r"`([^`]*)`")

# Drawn in a square of 16: a closed ring, half a ring, an empty one with a gap, a wedge that stumbles, a torn sheet.
SHAPES = {
    "proved": "M8 1.5a6.5 6.5 0 1 0 .01 0zM8 5a3 3 0 1 1-.01 0z",
    "undecided": "M8 1.5a6.5 6.5 0 0 0 0 13zM8 5v6a3 3 0 0 0 0-6z",
    "vacuous": "M2 7h3v2H2zM6.5 7h3v2h-3zM11 7h3v2h-3z",
    "refuted": "M1.5 14 8 1.5 14.5 14 8 10z",
    "ill-formed": "M2 2h12v4l-2 2 2 2v4H2v-4l2-2-2-2z",
    "note": "M2 7h12v2H2z",
}

# The sole of a left shoe in the left half of a square of 24, seen from above with the toe towards the front.
SOLE = (
    "M7 2c2.6 0 3.8 2.3 3.6 5.1-.2 2.3-1 3.6-1 5.5 0 1.7.6 2.8.6 4.8 0 2.7-1.3 4.6-3.2"
    " 4.6s-3.2-1.9-3.2-4.6c0-2 .6-3 .4-4.7C4 10.6 2.8 9.4 2.8 7 2.8 4 4.7 2 7 2z"
)
FREE = {"left": Weight.RIGHT, "right": Weight.LEFT, "none": Weight.BOTH}
"""The weight, by the foot that is free."""
MIRRORED = "matrix(-1 0 0 1 24 0)"


@frozen
class Markup:
    """A piece of HTML that is safe to stand in a page as it is."""

    text: str


Child: TypeAlias = Markup | str | None


def tag(name: str, /, *children: Child, **attributes: str | int | None) -> Markup:
    """Return an element.

    Args:
        name: of the element.
        children: what stands in it; plain text is escaped, None left out.
        attributes: by name, `class_` for `class` and `_` for `-`; one whose value is None is left out.
    """
    told = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(visible(str(value)))}"'
        for key, value in attributes.items()
        if value is not None
    )
    if name in _EMPTY:
        return Markup(f"<{name}{told}>" if name in ("meta", "input", "br") else f"<{name}{told}/>")
    return Markup(f"<{name}{told}>{joined(*children).text}</{name}>")


def joined(*children: Child) -> Markup:
    """Return pieces one after another."""
    some = (child for child in children if child is not None)
    return Markup("".join(one.text if isinstance(one, Markup) else escape(visible(one), quote=False) for one in some))


def asset(name: str) -> str:
    """Return the text of a file of this room."""
    return files("stepcheck.formats").joinpath(name).read_text("utf-8")


def document(title: str, body: Markup, *styles: str) -> str:
    """Return a page that needs nothing else, with `styles`, files of this room."""
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", http_equiv="Content-Security-Policy", content=POLICY),
        tag("title", title),
        tag("style", Markup("".join(map(asset, styles)))),
    )
    return f"<!doctype html>\n{tag('html', head, body, lang='en').text}\n"


def prose(said: str) -> Markup:
    """Return a sentence of ours; what stands in it between backticks is text of a sheet."""
    pieces = _QUOTED.split(said)
    return joined(*(tag("code", piece) if number % 2 else piece for number, piece in enumerate(pieces)))


def table(name: str, heads: Iterable[Child], rows: Iterable[Markup], **attributes: str | int | None) -> Markup:
    """Return a table of class `name` with a row of heads."""
    head = tag("tr", *(one if isinstance(one, Markup) else tag("th", one, scope="col") for one in heads))
    return tag("table", tag("thead", head), tag("tbody", *rows), class_=name, **attributes)


def badge(verdict: str) -> Markup:
    """Return the shape and the word of a verdict."""
    return tag("span", shape(verdict), tag("span", verdict), class_=f"badge {verdict.replace(' ', '-')}")


def shape(verdict: str) -> Markup:
    """Return the shape of a verdict."""
    path = SHAPES.get(verdict, SHAPES["ill-formed"])
    return tag("svg", tag("path", d=path), viewBox="0 0 16 16", class_="shape", aria_hidden="true")


def symbols() -> Markup:
    """Return the pairs of shoes that `shoes` shows: the one with the weight is filled, the free one is an outline."""
    pairs = []
    for name, left, right in (("left", "on", "off"), ("right", "off", "on"), ("both", "on", "on"), ("open", "", "")):
        soles = (tag("path", d=SOLE, class_=left), tag("path", d=SOLE, class_=right, transform=MIRRORED))
        pairs.append(tag("symbol", *soles, id=f"shoes-{name}", viewBox="0 0 24 24"))
    return tag("svg", *pairs, class_="symbols", aria_hidden="true", width=0, height=0)


def shoes(weight: Weight | None, facing: int) -> Markup:
    """Return the shoes of a dancer seen from above, toes towards the wall at `facing` eighths; -1 is not known."""
    name = "open" if weight is None or facing < 0 else weight.name.lower()
    use = tag("use", href=f"#shoes-{name}", transform=f"rotate({45 * max(facing, 0)} 12 12)", width=24, height=24)
    return tag("svg", use, viewBox="0 0 24 24", class_="shoes", aria_hidden="true")


def diff(text: str) -> Markup:
    """Return a unified diff of one sheet, without the names of its files: what goes out, and what comes in."""
    rows = []
    for line in text.splitlines()[2:]:
        kind = {"-": "del", "+": "ins"}.get(line[:1])
        if line.startswith("@@"):
            rows.append(tag("span", f"line {line.split()[1][1:].partition(',')[0]} on", class_="hunk"))
        else:
            rows.append(tag(kind or "span", line))
    return verbatim(rows, "diff")


def verbatim(lines: Iterable[Child], kind: str = "sheet") -> Markup:
    """Return lines as they stand, of class `kind`; the keyboard reaches them, for they may be wider than the
    screen."""
    return tag("pre", *(joined(line, Markup("\n")) for line in lines), class_=kind, tabindex=0)


def to(number: int, line: int) -> Markup:
    """Return a link to a line of sheet `number` of the page."""
    return tag("a", f"line {line}", href=f"#s{number}l{line}")


# -- walls -----------------------------------------------------------------------------------------------------------


def walls(plan: Plan) -> Markup | None:
    """Return the floor with the walls on which the rounds begin, and what the header claims where that is refuted.

    As many as are claimed are not drawn where the claim is refuted: other ways to dance it come to other walls.
    """
    if not plan.walls:
        return None
    number = words.count(len(plan.walls), "wall")
    said = f"danced on {number}: " + words.listed([words.facing(wall, plan.clock) for wall in plan.walls])
    wrong = plan.claimed != len(plan.walls)
    if plan.refuted:
        said = f"{said}; the header claims {plan.claimed}" if wrong else f"not every dance comes round on {number}"
    kind = "walls wrong" if plan.refuted else "walls"
    drawn = None if plan.refuted and not wrong else _dial(plan.walls, plan.clock)
    return tag("div", tag("h4", "Walls"), drawn, tag("p", f"{said}."), class_=kind)


def _dial(danced: tuple[int, ...], clock: bool) -> Markup:
    """Return the floor seen from above with the walls that rounds begin on, numbered in the order in which they
    come."""
    pieces = [tag("circle", cx=60, cy=60, r=50, class_="floor")]
    for eighth in range(EIGHTHS):
        x, y = (round(place, 1) for place in on_circle(60, 36, eighth))
        turned = f"rotate({45 * eighth} 60 60)"
        if eighth in danced:
            number = str(danced.index(eighth) + 1)
            pieces.append(tag("rect", x=46, y=6, width=28, height=7, transform=turned, class_="wall"))
            pieces.append(tag("text", number, x=str(x), y=str(y + 4), text_anchor="middle"))
        elif eighth % 2 == 0:
            pieces.append(tag("rect", x=58, y=6, width=4, height=4, transform=turned, class_="gap"))
    said = ", ".join(words.facing(wall, clock) for wall in danced)
    return tag("svg", *pieces, viewBox="0 0 120 120", class_="dial", role="img", aria_label=f"rounds begin on {said}")


def on_circle(middle: float, radius: float, eighths: float) -> tuple[float, float]:
    """Return the place on a circle in a square picture, so many eighths of a turn clockwise from its top."""
    angle = eighths * pi / 4
    return middle + radius * sin(angle), middle - radius * cos(angle)


# -- the strip -------------------------------------------------------------------------------------------------------


def strip(number: int, plan: Plan) -> Markup:
    """Return the whole dance as a strip over its beats, a row for each pass of a part."""
    unit = "count" if plan.clock else "beat"
    rows = [_pass(number, row, plan) for row in plan.dance.passes]
    last = plan.dance.moments[-1]
    then = _state(last.feet[1], last.facings[1], plan.clock)
    if not plan.dance.whole:
        ending = f"It goes on; the first {MOST} stretches are drawn."
    elif plan.dance.endless:
        ending = f"After it {then}; then again until the music ends."
    else:
        ending = f"After it {then}."
    legend = (
        f"One dance{plan.group and f' of {plan.group}'} from its first {unit}. The filled shoe has the weight, the "
        "outlined one is free; toes point to the wall, the front is up. A dashed stretch is taken as put right."
    )
    return joined(tag("h4", "The dance"), tag("p", legend, class_="place"), *rows, tag("p", ending, class_="ending"))


def _pass(number: int, row: tuple[Moment, ...], plan: Plan) -> Markup:
    first = row[0]
    named = tag("b", first.part or "between parts")
    time = f" {words.ordinal(first.time)} time" if first.time > 1 else ""
    starts = f"{time}, from {'count' if plan.clock else 'beat'} {words.beat(first.tick)}"
    cells = []
    for place, moment in enumerate(row):
        turned = place == 0 or moment.facings[0] != row[place - 1].facings[0]
        cells.append(_cell(number, moment, turned, plan.clock))
    return tag("div", tag("p", named, starts, class_="place"), tag("ol", *cells, class_="strip"), class_="pass")


def _cell(number: int, moment: Moment, turned: bool, clock: bool) -> Markup:
    """Return a stretch of the strip: shoes, free foot, the wall where it is another than before, what is danced."""
    if moment.put_right:
        now = _state(moment.feet[1], moment.facings[1], clock)
        right = (tag("b", "put right: "), prose(moment.label), ", ", to(number, moment.line), f"; now {now}")
        return tag("li", tag("span", *right), class_="put-right")
    feet = "foot open" if moment.feet[0] is None else _free(moment.feet[0])
    wall = f", {words.facing(moment.facings[0], clock)}" if turned else ""
    times = f" ×{moment.times}" if moment.times > 1 else ""
    turn = f", {words.turn(moment.turn)}" if moment.turn else ""
    ways = f" (1st of {len(moment.others) + 1} ways)" if moment.others else ""
    return tag(
        "li",
        shoes(moment.feet[0], moment.facings[0]),
        tag(
            "span",
            tag("small", f"{words.beat(moment.tick)} · {feet}{wall}"),
            tag("b", moment.label, times),
            f"{turn}{ways}",
        ),
        style=f"--b:{max(1, round(moment.ticks / TICKS))}",
    )


def _free(weight: Weight) -> str:
    return "both feet" if weight is Weight.BOTH else f"{words.free(weight)} free"


def _state(weight: Weight | None, facing: int, clock: bool) -> str:
    feet = "it is open which foot is free" if weight is None else words.freely(weight)
    return f"{feet}, facing {words.towards(facing, clock)}"
