"""The values of a draft: lines, blocks and parts of the sheet to come, and the parts that are still being read."""

import re
from collections.abc import Callable, Iterator, Sequence

from attrs import evolve, field, frozen

from stepcheck.model.dance import EIGHTHS, TICKS
from stepcheck.steps.steps import OTHER, SIDE, Turn, turned


@frozen
class Move:
    """A movement of a row: its code, its foot ("L", "R" or "") and its tick, 12 at count 1, 0 where it is placed in
    order."""

    code: str
    foot: str
    tick: int


@frozen
class Line:
    """A line of dance.

    It is a row of `moves`, else a figure, `name`, danced `times` times with `foot` ("L", "R", ""), else silence (`code`
    of all moves is HOLD), else a blank of `counts`, which are also those that a row lasts. `stated` says that the
    source states them, `measured` that it states those of its line, and that they are just these; `spells` that it may
    be the steps of the figure before it; `source` is the number of its line in the source, 0 if unknown. `turn` is at
    count `at`, 0 for the whole line, on the times `on` of several, "" for all; `facing` is what is said to hold behind
    it. `quick` is the same row where it is danced on fewer counts, which the source doesn't say.
    """

    moves: tuple[Move, ...] = ()
    name: str = ""
    times: int = 1
    foot: str = ""
    counts: int = 0
    blank: bool = False
    stated: bool = False
    measured: bool = False
    spells: bool = False
    turn: Turn | None = None
    at: int = 0
    on: str = ""
    facing: str = ""
    note: tuple[str, ...] = ()
    remark: str = ""
    source: int = field(default=0, eq=False)
    quick: "Line | None" = field(default=None, eq=False)

    @property
    def syncopated(self) -> bool:
        """Whether a movement of the row stands off the next count."""
        ticks = [move.tick for move in self.moves if move.code != "PV"]
        return any(ticks) and ticks != [TICKS * (index + 1) for index in range(len(ticks))]

    @property
    def unknown(self) -> bool:
        """Whether it is a blank of which nothing says how long it lasts."""
        return self.blank and not self.counts

    @property
    def lead(self) -> str:
        """The first foot that is said of it, "" if none is."""
        return self.foot[:1] or next((move.foot for move in self.moves if move.foot), "")


@frozen
class Expect:
    """A claim between lines: a free foot ("left foot"), or a facing ("facing 6:00")."""

    says: str
    remark: str = ""


def weighted(foot: str) -> Expect:
    """Return the claim that the weight is on a foot, "L" or "R": the other one is free."""
    return Expect(f"{SIDE[OTHER[foot]]} foot")


@frozen
class Remark:
    """A comment of its own."""

    text: str


@frozen
class Block:
    """Lines under a heading such as `counts 1-8` or `2 times`."""

    head: str
    lines: tuple["Item", ...] = ()
    facing: str = ""
    remark: str = ""

    @property
    def times(self) -> int:
        """How often the lines are danced."""
        return int(self.head.split()[0]) if self.head.endswith(" times") else 1


Item = Line | Expect | Remark | Block


@frozen
class Part:
    """A part: its name, what its contract says, and its lines."""

    name: str
    contract: tuple[str, ...] = ()
    lines: tuple[Item, ...] = ()
    remark: str = ""


@frozen
class Definition:
    """A figure of the sheet's own: name, row as text, note, and its built-in turn as text."""

    name: str
    row: str
    note: str = ""
    facts: str = ""


@frozen
class Outline:
    """All that a draft holds: header fields (key, value, comment), remarks at the top, figures, parts, the dance."""

    header: tuple[tuple[str, str, str], ...]
    tradition: str
    remarks: tuple[str, ...] = ()
    figures: tuple[Definition, ...] = ()
    parts: tuple[Part, ...] = ()
    dance: tuple[tuple[str, str], ...] = field(default=())
    endings: tuple[str, ...] = ()

    @property
    def lines(self) -> list["Line"]:
        """All lines of dance in its parts, in order."""
        return [line for part in self.parts for item in part.lines for line in lines_of(item)]


class Assumptions:
    """What was taken where the source leaves it open, each once, in order."""

    def __init__(self) -> None:
        self.said: list[str] = []

    def add(self, sentence: str) -> None:
        """Take one more, unless it is there."""
        if sentence not in self.said:
            self.said.append(sentence)


def cells_of(text: str) -> list[str]:
    """Return the cells of a row of a table."""
    return [cell.strip() for cell in text.split("\t")]


def beats_of(item: Item) -> int:
    """Return how many beats a line lasts, or the lines of a block."""
    if isinstance(item, Block):
        return sum(map(beats_of, item.lines)) * item.times
    return item.counts if isinstance(item, Line) else 0


def ends_of(items: Sequence[Item]) -> Iterator[int]:
    """Yield the beats on which lines end, each time of one that is danced several times; in a blank it may be any."""
    at = 0
    for item in items:
        size = beats_of(item)
        if isinstance(item, Block):
            once = sum(map(beats_of, item.lines))
            yield from (at + begun + end for begun in range(0, size, once or 1) for end in ends_of(item.lines))
        elif isinstance(item, Line):
            once = 1 if item.blank else max(1, size // item.times)
            yield from range(at + once, at + size + 1, once)
        at += size


def once_more(item: Item) -> Item:
    """Return a line as it is danced again: without its facing, and told by no line of the source."""
    return evolve(item, facing="", source=0) if isinstance(item, Line) else item


def lines_of(item: Item) -> list[Line]:
    """Return the lines of dance in an item."""
    if isinstance(item, Block):
        return [line for inner in item.lines for line in lines_of(inner)]
    return [item] if isinstance(item, Line) else []


def turned_by(line: Line, spins: bool) -> int | None:
    """Return by how many eighths to the right a line turns, None where that isn't known; `spins` says that its figure
    turns by itself where no turn is said."""
    if line.blank or (spins and not line.turn):
        return None
    return turned(line.turn, 1 if line.on else line.times) if line.turn else 0


def each_line(item: Item, change: Callable[[Line], Item]) -> Item:
    """Return an item of which each line of dance is changed."""
    if isinstance(item, Block):
        return evolve(item, lines=tuple(each_line(inner, change) for inner in item.lines))
    return change(item) if isinstance(item, Line) else item


def solid(items: tuple[Item, ...]) -> bool:
    """Say whether lines hold more than comments, as a heading needs."""
    return any(solid(item.lines) if isinstance(item, Block) else not isinstance(item, Remark) for item in items)


_OTHER_SIDE = {"left": "right", "right": "left"}


def mirrored(item: Item) -> Item:
    """Return a line with its feet and turns on the other side."""
    return each_line(item, mirrored_line)


def mirrored_line(line: Line) -> Line:
    """Return one line with its feet and its turn on the other side."""
    moves = tuple(evolve(move, foot=OTHER.get(move.foot, "")) for move in line.moves)
    spin = line.turn and evolve(line.turn, side=_OTHER_SIDE.get(line.turn.side, ""))
    note = tuple(re.sub(r"\b(?:left|right)\b", lambda found: _OTHER_SIDE[found[0]], each) for each in line.note)
    return evolve(line, moves=moves, foot=OTHER.get(line.foot, ""), turn=spin, note=note)


def joined(items: list[Item]) -> Iterator[Item]:
    """Yield lines, single steps that follow each other as one row, if both or neither of them stand on counts."""
    held: Line | None = None
    for item in items:
        single = isinstance(item, Line) and item.moves and not item.stated and not item.turn
        if held is not None and single and isinstance(item, Line) and _timed(held) is _timed(item):
            last = -(-max(move.tick for move in held.moves) // TICKS) * TICKS
            more = tuple(evolve(move, tick=move.tick + last) for move in item.moves)
            held = evolve(held, moves=held.moves + more, counts=0, note=held.note + item.note, facing=item.facing)
            continue
        if held is not None:
            yield held
            held = None
        if single and isinstance(item, Line) and not item.facing:
            held = item
        else:
            yield item
    if held is not None:
        yield held


def _timed(line: Line) -> bool:
    """Say whether the movements of a row stand on counts."""
    return any(move.tick for move in line.moves)


def row_text(line: Line, leads: bool = False) -> str:
    """Return the movements of a row, each with its foot, and with its count where one stands off the next."""
    off = line.syncopated or (leads and any(move.tick for move in line.moves))
    return " ".join(
        move.code
        + (f"({move.foot})" if move.foot else "")
        + (f"@{count_text(move.tick, leads)}" if off and move.code != "PV" else "")
        for move in line.moves
    )


def count_text(tick: int, leads: bool = False) -> str:
    """Return a tick as a movement's count: 1, 1&, and &1 for the half before count 1; where halves lead, &2 for 1&."""
    beat, rest = divmod(tick, TICKS)
    return (
        f"&{beat + 1}"
        if not beat or (leads and rest == TICKS // 2)
        else f"{beat}{ {0: '', 3: 'e', 6: '&', 9: 'a'}[rest] }"
    )


def turn_text(turn: Turn, at: int = 0) -> str:
    """Return a turn as a mark."""
    whole, rest = divmod(turn.eighths, EIGHTHS)
    part = next(f"{rest * n // EIGHTHS}/{n}" for n in (1, 2, 4, 8) if not rest * n % EIGHTHS) if rest else ""
    size = "full" if not part and whole == 1 else " ".join(filter(None, (str(whole or ""), part)))
    side = f" {turn.side}" if turn.side else ""
    return f"turn {size}{side}" + (f" @{at}" if at else "")


def named_run(items: Sequence[Item], figures: Sequence[str], size: int) -> int | list[Item]:
    """Return where the last lines begin that dance just these figures one after another, in `size` beats if that is not
    0, these lines themselves where others stand behind them, none where no lines do."""
    wanted = [*reversed(figures)]
    for end in range(len(items), 0, -1):
        named: list[str] = []
        longest, beats, plain = end, 0, True
        for start in range(end - 1, -1, -1):
            for line in reversed(lines_of(items[start])):
                named += [line.name] * (named[-1:] != [line.name])
            beats, plain = beats + beats_of(items[start]), plain and not isinstance(items[start], Block)
            if named != wanted[: len(named)]:
                break
            if named == wanted and (beats == size if size else plain):
                longest = start
        if longest < end:
            return longest if end == len(items) else [*items[longest:end]]
    return []
