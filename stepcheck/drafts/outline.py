"""The values of a draft: lines, blocks and parts of the sheet to come, and the parts that are still being read."""

import re

from attrs import evolve, field, frozen

from stepcheck.books.book import Book
from stepcheck.drafts.steps import Turn
from stepcheck.drafts.vocabulary import Vocabulary
from stepcheck.model.dance import TICKS

WEIGHT = frozenset(["S", "CL", "RK", "RC", "BA", "TW", "HW", "STO"])
"""The movements that take the weight onto the foot that makes them."""


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
    of all moves is HOLD), else a blank of `counts`, which are also those that a row lasts.  `stated` says that the
    source states them. `turn` is at count `at`, 0 for the whole line, on the times `on` of several, "" for all;
    `facing` is what is said to hold behind it.
    """

    moves: tuple[Move, ...] = ()
    name: str = ""
    times: int = 1
    foot: str = ""
    counts: int = 0
    blank: bool = False
    stated: bool = False
    turn: Turn | None = None
    at: int = 0
    on: str = ""
    facing: str = ""
    note: tuple[str, ...] = ()
    remark: str = ""

    @property
    def syncopated(self) -> bool:
        """Whether a movement of the row stands off the next count."""
        ticks = [move.tick for move in self.moves if move.code != "PV"]
        return any(ticks) and ticks != [TICKS * (index + 1) for index in range(len(ticks))]


@frozen
class Expect:
    """A claim between lines: a free foot ("left foot"), or a facing ("facing 6:00")."""

    says: str
    remark: str = ""


def weighted(foot: str, remark: str = "") -> Expect:
    """Return the claim that the weight is on a foot, "L" or "R": the other one is free."""
    return Expect(f"{'right' if foot == 'L' else 'left'} foot", remark)


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


class Assumptions:
    """What was taken where the source leaves it open, each once, in order; `unsure` are turns that can't be taken."""

    def __init__(self) -> None:
        self.said: list[str] = []
        self.unsure: list[str] = []

    def add(self, sentence: str) -> None:
        """Take one more, unless it is there."""
        if sentence not in self.said:
            self.said.append(sentence)


class Reader:
    """The lines of a source while they are read: what each was read as, what is assumed, what is open."""

    def __init__(self, texts: list[str], vocabulary: Vocabulary, book: Book) -> None:
        self.texts = texts
        self.vocabulary = vocabulary
        self.book = book
        self.assumed = Assumptions()
        self.open: list[str] = []
        self.kinds: dict[int, str] = {}

    def numbered(self) -> list[tuple[int, str]]:
        """Return the lines that say something, with their numbers."""
        return [(number, text) for number, text in enumerate(self.texts, 1) if text.strip()]

    def mark(self, number: int, kind: str) -> None:
        """Note what a line was read as; blank and open stay."""
        if self.kinds.get(number) not in ("blank", "open"):
            self.kinds[number] = kind

    def leave_open(self, number: int, said: str, kind: str = "open") -> None:
        """Note that a line, or a piece of it, is not understood; its kind is "blank" where it has counts."""
        self.open.append(f"line {number}: {' '.join(said.split())}")
        self.kinds[number] = kind

    def sources(self) -> list[tuple[int, str, str]]:
        """Return the lines that say something, with what they were read as."""
        return [(number, self.kinds.get(number, "remark"), text) for number, text in self.numbered()]


def cells_of(text: str) -> list[str]:
    """Return the cells of a row of a table."""
    return [cell.strip() for cell in text.split("\t")]


class Section:
    """A section while it is read: its title, the counts of its heading, its lines, the counts that they write."""

    def __init__(self, title: str = "", stated: tuple[int, int] | None = None, number: int = 0) -> None:
        self.title, self.stated, self.number = title, stated, number
        self.items: list[Item] = []
        self.first = self.last = self.length = 0
        self.facing = ""
        self.prose = False

    @property
    def counts(self) -> int:
        """How many counts its lines are."""
        return sum(item.counts for item in self.items if isinstance(item, Line))


def fill_up(items: list[Item], left: int) -> list[Item]:
    """Return lines with what a section leaves over as the counts of the blank that alone has none; else it is a
    comment."""
    bare = [item for item in items if isinstance(item, Line) and item.blank and not item.counts]
    alone = len(bare) == 1 and left > 0
    return [
        (evolve(item, counts=left) if alone else Remark(item.remark))
        if isinstance(item, Line) and item in bare
        else item
        for item in items
    ]


class OpenPart:
    """A part while it is read: `beats` of one time, `total` of all, `once` where the source says it of one of several.

    `repeat` is the facing after it is danced again, "again" if none is said, "" if it isn't; `halfway` the one between.
    """

    def __init__(self, name: str, beats: int, number: int) -> None:
        self.name, self.beats, self.number = name, beats, number
        self.lines: list[Item] = []
        self.contract: list[str] = []
        self.remark = self.repeat = self.repeat_remark = self.halfway = ""
        self.total = self.once = 0

    def lasts(self, beats: str, halfway: str, remark: str) -> None:
        """Note the beats that are stated of the part, the facing behind them, and the words beside them."""
        self.beats = self.beats or int(beats)
        self.halfway = halfway or self.halfway
        self.remark = self.remark or remark.strip(" ,.")

    def finished(self, twice: bool, reader: Reader) -> Part:
        """Return the part with its contract; danced again in one, its lines stand under `2 times`.

        `twice` says that the sequence has it twice in a row, and so does the repeat itself.
        """
        lines = tuple(fill_up(self.lines, self.beats - sum(beats_of(item) for item in self.lines)))
        once, stated, total = sum(beats_of(item) for item in lines), self.beats, self.beats
        if self.repeat and not twice:
            stated, total = self.once or self.beats, self.total
            inner: tuple[Item, ...] = (Block(f"beats 1-{stated}", lines),) if stated else lines
            if self.halfway:
                inner += (Block("1st time only", (Expect(f"facing {self.halfway}"),)),)
            faced = self.repeat != "again"
            lines = (Block("2 times", inner, "", "" if faced else self.repeat_remark),)
            lines += (Expect(f"facing {self.repeat}", self.repeat_remark),) if faced else ()
            reader.assumed.add(f"{self.name} in the sequence is {self.name} with its repeat")
        if stated and once != stated:
            reader.open.append(f"{self.name}: {stated} beats are stated, {once} are read")
        return Part(self.name, ((f"{total} beats",) if total else ()) + tuple(self.contract), lines, self.remark)


REPEATED = re.compile(
    r"\W*(?:(\d{1,3})\s*-\s*(\d{1,3})[\s:.)\]]*)?repeat\s+(?:the\s+)?(?:last\s+(\d{1,3})|(?:counts?\s+|beats?\s+)?(\d{1,3})\s*-\s*"
    r"(\d{1,3}))(?:\s*(?:counts?|beats?|cts?))?\W*",
    re.IGNORECASE,
)
"""`9-16 Repeat last 8`, `Repeat counts 1-8`: the counts that it stands on, how many are repeated, or from which to
which."""


def repeated(items: list[Item], size: int, first: int, last: int, text: str) -> list[Item]:
    """Return the lines of the `size` last counts, else from `first` to `last`, again; none where they are not just
    these.

    Facings are not said again; `text` stands beside the first.
    """
    out: list[Item] = []
    place, total = 0, sum(map(beats_of, items))
    first, last = (total - size + 1, total) if size else (first, last)
    for item in items:
        if isinstance(item, Block) or isinstance(item, Line) and (item.blank or not item.counts):
            return []
        if not isinstance(item, Line):
            continue
        if first <= place + 1 and place + item.counts <= last:
            out.append(evolve(item, facing="", remark=text if not out else ""))
        place += item.counts
    return out if 0 < first <= last and last - first + 1 == sum(map(beats_of, out)) else []


def beats_of(item: Item) -> int:
    """Return how many beats a line lasts, or the lines of a block."""
    if isinstance(item, Block):
        return sum(beats_of(each) for each in item.lines) * (2 if item.head == "2 times" else 1)
    return item.counts if isinstance(item, Line) else 0
