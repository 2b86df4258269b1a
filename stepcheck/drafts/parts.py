"""Parts and sections of a description while it is read, their repeats, and the lines that they become."""

import itertools
import re

from attrs import evolve

from stepcheck.drafts.outline import Block, Expect, Item, Line, Part, Reader, Remark, beats_of
from stepcheck.drafts.steps import clock

REPEATED = re.compile(
    r"\W*(?:(\d{1,3})\s*-\s*(\d{1,3})[\s:.)\]]*)?repeat\s+(?:the\s+)?(?:last\s+(\d{1,3})|(?:counts?\s+|beats?\s+)?(\d{1,3})\s*-\s*"
    r"(\d{1,3}))(?:\s*(?:counts?|beats?|cts?))?(?:\s*\(\d{1,2}-\d{1,2}\))?\W*",
    re.IGNORECASE,
)
"""`9-16 Repeat last 8`, `Repeat counts 1-8`: the counts that it stands on, how many are repeated, or from which to
which."""


class Section:
    """A section while it is read: its title, the counts in its heading, its lines, and the first and last count written
    on them."""

    def __init__(
        self, title: str = "", stated: tuple[int, int] | None = None, number: int = 0, length: int = 0
    ) -> None:
        self.title, self.stated, self.number, self.length = title, stated, number, length
        self.items: list[Item] = []
        self.first = self.last = 0
        self.facing = ""
        self.prose = False

    @property
    def used(self) -> bool:
        """Whether anything stands in it."""
        return bool(self.items or self.title or self.stated or self.length)

    @property
    def counts(self) -> int:
        """The number of counts of its lines."""
        return sum(map(beats_of, self.items))

    def lines(self, before: int, reader: Reader) -> list[Item]:
        """Return the lines under a heading made of their counts; `before` is the number of counts before the
        section."""
        stated = self.stated
        length = stated[1] - stated[0] + 1 if stated else self.length
        self.items = fill_up(self.items, length - self.counts)
        if stated is None and self.first and self.last and not (self.prose and self.length):
            stated = (self.first, self.last)
        if stated is None and self.length:
            stated = (before + 1, before + self.length)
        if stated and stated[1] - stated[0] + 1 != self.counts and self.items:
            where = f"line {self.number}: " if self.number else ""
            said = f"the section has counts {stated[0]} to {stated[1]}, but {self.counts} counts are read in it"
            reader.open.append(where + said)
        if stated is None or not self.items:
            return [*([Remark(self.title)] if self.title else []), *self.items]
        head = f"counts {stated[0]}-{stated[1]}" if stated[1] > stated[0] else f"count {stated[0]}"
        return [Block(head, tuple(self.items), self.facing or clock(self.title), self.title)]


class OpenPart:
    """A part while it is read: `beats` of one time, `total` of all, `once` where the source says it of one of several.

    `repeat` is the facing after it is danced again, "again" if none is said, "" if it isn't; `halfway` the one between;
    `times` how often it is danced then.
    """

    def __init__(self, name: str, beats: int) -> None:
        self.name, self.beats = name, beats
        self.sections = [Section()]
        self.contract: list[str] = []
        self.remark = self.repeat = self.repeat_remark = self.halfway = ""
        self.total = self.once = 0
        self.times = 2

    @property
    def items(self) -> list[Item]:
        """The lines of all its sections."""
        return [item for section in self.sections for item in section.items]

    def lasts(self, beats: str, halfway: str, remark: str) -> None:
        """Note the beats that are stated of the part, the facing behind them, and the words beside them."""
        self.beats = self.beats or int(beats)
        self.halfway = halfway or self.halfway
        self.remark = self.remark or remark.strip(" ,.")

    def summed(self, total: int) -> None:
        """Take the lengths that sections state for each's own, where they are sums so far."""
        stated = [section for section in self.sections if section.length]
        lengths = [section.length for section in stated]
        rising = len(lengths) > 1 and all(a < b for a, b in itertools.pairwise(lengths))
        if rising and total in (0, lengths[-1]):
            for section, before in zip(stated, [0, *lengths], strict=False):
                section.length -= before

    def finished(self, twice: bool, reader: Reader, unit: str) -> Part:
        """Return the part with its contract; danced again in one, its lines stand under `2 times`.

        `twice` says that the sequence has it twice in a row, and so does the repeat itself.
        """
        made: list[Item] = []
        so_far = 0
        for section in self.sections:
            if unit == "beats":
                section.items = fill_up(section.items, self.beats - section.counts)
            made += section.lines(so_far, reader)
            so_far += section.length or section.counts
        lines = tuple(made)
        once, stated, total = sum(map(beats_of, lines)), self.beats, self.beats
        if self.repeat and not twice:
            if self.beats and once * self.times == self.beats != once:
                stated, total = 0, self.total or self.beats
                once = 0
            else:
                stated, total = self.once or self.beats, self.total
            inner: tuple[Item, ...] = (Block(f"beats 1-{stated}", lines),) if stated else lines
            if self.halfway:
                inner += (Block("1st time only", (Expect(f"facing {self.halfway}"),)),)
            faced = self.repeat != "again"
            lines = (Block(f"{self.times} times", inner, "", "" if faced else self.repeat_remark),)
            lines += (Expect(f"facing {self.repeat}", self.repeat_remark),) if faced else ()
            reader.assumed.add(f"{self.name} in the sequence is {self.name} with its repeat")
        if stated and once != stated:
            reader.open.append(f"{self.name}: {stated} {unit} are stated, {once} are read")
        return Part(self.name, ((f"{total} {unit}",) if total else ()) + tuple(self.contract), lines, self.remark)


def fill_up(items: list[Item], left: int) -> list[Item]:
    """Return lines in which the only blank without counts takes the counts that are left; other such blanks become
    comments."""
    bare = [item for item in items if isinstance(item, Line) and item.blank and not item.counts]
    alone = len(bare) == 1 and left > 0
    return [
        (evolve(item, counts=left) if alone else Remark(item.remark))
        if isinstance(item, Line) and item in bare
        else item
        for item in items
    ]


def repeated(items: list[Item], size: int, first: int, last: int, text: str) -> list[Item]:
    """Return the lines of the `size` last counts, else from `first` to `last`, again; none where they are not just
    these.

    Facings are not said again; `text` stands beside the first.
    """
    out: list[Item] = []
    place, total = 0, sum(map(beats_of, items))
    first, last = (total - size + 1, total) if size else (first, last)
    for item in items:
        if isinstance(item, Block) or (isinstance(item, Line) and (item.blank or not item.counts)):
            return []
        if not isinstance(item, Line):
            continue
        if first <= place + 1 and place + item.counts <= last:
            out.append(evolve(item, facing="", remark=text if not out else ""))
        place += item.counts
    return out if 0 < first <= last and last - first + 1 == sum(map(beats_of, out)) else []
