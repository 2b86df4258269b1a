"""Parts and sections of a description while it is read, their repeats, and the lines that they become."""

import itertools
import re
from collections.abc import Iterable, Iterator

from attrs import evolve

from stepcheck.pages.reader import Reader
from stepcheck.steps.counts import counted
from stepcheck.steps.outline import Block, Expect, Item, Line, Part, Remark, beats_of
from stepcheck.steps.rows import PLACE
from stepcheck.steps.vocabulary import tight

_MORE = "(?:again|once more|(?:one|an) (?:more|extra) time)"
REPEATED = re.compile(
    r"(?i)\W*(?:(\d{1,3})\s*[-&]\s*(\d{1,3})[\s:.)\]]*)?(?:(?:repeat|(?:the same )?as)\s+|"
    rf"(?:(?:do|dance)\s+)?(?=[^,;.]*\b{_MORE}\W*$))"
    r"(?:the\s+)?(?:last\s+(\d{1,3})|(?:counts?\s+|beats?\s+|steps?\s+)?[\[(]?(\d{1,3})\s*(?:[-&+]|and|to|thru|through)\s*"
    rf"(\d{{1,3}})[\])]?)(?:\s*(?:counts?|beats?|cts?|steps))?(?:\s+{_MORE})?(?:\s*\(\d{{1,2}}-\d{{1,2}}\))?"
    r"(?:[\s(\[,]+(?:(?:now|to|facing|ends?) )*(\d{1,2}:\d\d))?\W*"
)
"""`9-16 Repeat last 8`, `Repeat counts 1-8`: the counts that it stands on, how many are repeated, or from which to
which."""


class Section:
    """A section while it is read: its title, the counts in its heading, its lines, and the first and last count written
    on them, `before` those that count from one again; `twice` says that the lines under the heading count from one,
    whatever it holds itself, `often` that it says how often they are danced."""

    def __init__(
        self, title: str = "", stated: tuple[int, int] | None = None, number: int = 0, length: int = 0
    ) -> None:
        self.title, self.stated, self.number, self.length = title, stated, number, length
        self.items: list[Item] = []
        self.first = self.last = self.before = 0
        self.facing = ""
        self.prose = self.twice = self.often = False
        self.sources: list[tuple[int, str]] = []

    @property
    def used(self) -> bool:
        """Whether anything stands in it."""
        return bool(self.items or self.title or self.stated or self.length)

    def led_on(self, count: int) -> bool:
        """Say whether its last row, `8&1`, ends on the first count of the next eight, which goes on with this one."""
        return count == 2 and self.last % 8 == 1 < self.last

    @property
    def counts(self) -> int:
        """The number of counts of its lines."""
        return sum(map(beats_of, self.items))

    @property
    def stated_counts(self) -> int:
        """How many counts its heading or its lines state."""
        return self.stated[1] - self.stated[0] + 1 if self.stated else self.length or self.counts

    @property
    def written(self) -> int:
        """How many counts are written on its lines, 0 if none are."""
        return self.before + self.last - self.first + 1 if self.first and self.last else 0

    @property
    def agrees(self) -> bool:
        """Whether its lines last as long as the counts that stand before them say, where its heading says nothing."""
        return bool(self.stated or self.length or self.prose) or self.written in (0, self.counts)

    @property
    def _rising(self) -> bool:
        """Whether all its lines state their counts, which go up from row to row: then none is told twice."""
        rows = [counted(text) for _, text in self.sources]
        going = all(a and b and a.first < b.first and a.last < b.last for a, b in itertools.pairwise(rows))
        return going and all(isinstance(item, Line) and item.measured for item in self.items if beats_of(item))

    def believed(self, length: int, reader: Reader) -> list[Item]:
        """Return its lines as `length` counts of them, 0 for any, can be believed."""
        return believed(self.items, length, self.sources, reader)

    def _titled(self, length: int, reader: Reader) -> None:
        """Dance either a heading or the lines under it where both say steps: the one that comes to the section's
        counts, the lines if both do."""
        own = [item for item in self.items if source_of(item) == self.number]
        under = [item for item in self.items if source_of(item) != self.number]
        whole = sum(map(beats_of, own)) in (0, length) and all(
            isinstance(i, Line) and (i.measured or i.blank) for i in own
        )
        if not (self.number and own and any(map(beats_of, under)) and length and (whole or self.twice)):
            return
        if sum(map(beats_of, under)) == length:
            self.items = under
            reader.title(self.number)
        elif sum(map(beats_of, own)) == length and not any(isinstance(i, Line) and i.blank for i in own):
            sources = [source for source in self.sources if source[0] != self.number]
            self.items = [*own, *(Remark(" ".join(text.split())) for _, text in sources)]
            for number, text in sources:
                reader.leave_open(number, text)

    def _doubted(self, length: int, reader: Reader) -> None:
        """Leave the section as a blank of the counts that are stated of it: more of them are read, so some twice."""
        remark = "; ".join(tight(text) for _, text in self.sources)
        for number, text in self.sources:
            reader.leave_open(number, f"{length} are stated, {self.counts} are read: {text}", "blank")
        self.items = [Line(counts=length, blank=True, measured=True, remark=remark)]

    def _counted_once(self, reader: Reader) -> None:
        """Leave the heading open that says how often its lines are danced, where they don't come to eights."""
        if self.often and (self.counts % 8 or not self.counts or not self._rising):
            reader.leave_open(self.number, self.title)

    def lines(self, before: int, reader: Reader) -> list[Item]:
        """Return the lines under a heading made of their counts; `before` is the number of counts before the
        section."""
        stated = self.stated
        length = stated[1] - stated[0] + 1 if stated else self.length
        written = self.written
        self._titled(length or written * self.twice, reader)
        self.items = self.believed(length or (0 if self.prose else written), reader)
        if 0 < length < self.counts != written and not self._rising:
            self._doubted(length, reader)
        self._counted_once(reader)
        blank = all(isinstance(item, Line) and item.blank for item in self.items)
        if stated is None and self.items and blank and 0 < self.counts < self.length:
            remark = "; ".join(item.remark for item in self.items if isinstance(item, Line))
            self.items = [Line(counts=self.length, blank=True, measured=True, remark=remark)]
        spoken = self.prose and (self.length or written != self.counts)
        if stated is None and self.first and self.last and not spoken and self.length in (0, written):
            stated = (self.first, self.first + written - 1)
        if stated is None and self.length:
            stated = (before + 1, before + self.length)
        if stated and not self.items:
            self.items = [Line(counts=stated[1] - stated[0] + 1, blank=True, measured=True, remark=self.title)]
            reader.leave_open(self.number, self.title, "blank")
        if stated and stated[1] - stated[0] + 1 != self.counts and self.items:
            said = f"the section has counts {stated[0]} to {stated[1]}, but {self.counts} counts are read in it"
            reader.note(said, self.number)
            stated = stated if self.stated or self.length else None  # counts that the lines don't make are no claim
        if self.title and self.number and not self.items:
            reader.leave_open(self.number, f"nothing stands under it: {self.title}")
        if stated is None or not self.items:
            return [*([Remark(self.title)] if self.title else []), *self.items]
        if stated[0] <= before:
            stated = (before + 1, before + 1 + stated[1] - stated[0])  # one that counts anew runs on in the part
        head = f"counts {stated[0]}-{stated[1]}" if stated[1] > stated[0] else f"count {stated[0]}"
        return [Block(head, tuple(self.items), self.facing, self.title)]


class OpenPart:
    """A part while it is read: `beats` of one time, `total` of all.

    `starts` is where it begins; `repeat` is the facing after it is danced again, "again" if none is said, "" if it
    isn't; `times` how often it is danced then; `each` how many counts all its sections are said to have, 0 if that
    isn't said.
    """

    def __init__(self, name: str, beats: int) -> None:
        self.name, self.beats = name, beats
        self.sections = [Section()]
        self.remark = self.repeat = self.repeat_remark = self.starts = ""
        self.total = 0
        self.exact = True
        self.times = 2
        self.each = 0

    @property
    def items(self) -> list[Item]:
        """The lines of all its sections."""
        return [item for section in self.sections for item in section.items]

    def often(self, times: int, remark: str) -> None:
        """Note how often the part is danced in one, 0 where that isn't said, and the beats of all its times."""
        if times:
            self.repeat, self.times, self.repeat_remark = "again", times, remark
            total = re.search(r"(?:=|\bmakes)\s*(\d+)", remark) or re.search(r"\((\d{1,3})(?: beats)?\)\W*$", remark)
            fits = total and (total[0][0] != "(" or int(total[1]) == times * self.beats)
            self.total = int(total[1]) if total and fits else self.total

    def summed(self, total: int) -> None:
        """Take the lengths that sections state for each's own, where they are sums so far."""
        stated = [section for section in self.sections if section.length]
        lengths = [section.length for section in stated]
        rising = len(lengths) > 1 and all(a < b for a, b in itertools.pairwise(lengths))
        if rising and total in (0, lengths[-1]):
            for section, before in zip(stated, [0, *lengths], strict=False):
                section.length -= before

    def _merged(self, reader: Reader) -> None:
        """Take sections without counts of their own, where they come to more than the part has left for them, or where
        nothing is open in them and they come to less, for what can't be believed together.
        """
        loose = [each for each in self.sections if each.items and not (each.stated or each.length or each.first)]
        if not self.beats or not loose:
            return
        left = self.beats - sum(each.stated_counts for each in self.sections if each not in loose)
        items = [item for each in loose for item in each.items]
        total = sum(map(beats_of, items))
        bare = unknown(self.items)
        if left < 1 or total == left or (total < left and not self.exact and len(bare) != 1):
            return
        sources = [source for each in loose for source in each.sources]
        kept = believed(items, left, sources, reader)
        if kept != items:
            loose[0].items = kept
            for each in loose[1:]:
                each.items = []

    def _evened(self) -> None:
        """Give sections under heads of which only the lengths are not said eight counts each, or as many as are said of
        them all, where these are just the counts of the part."""
        size = self.each or 8
        used = [each for each in self.sections if each.used]
        loose = [each for each in used if not (each.stated or each.length or each.first)]
        headed = all(each.title and each.number for each in loose)
        known = all(each.stated_counts == size for each in used if each not in loose)
        uneven = self.each or any(each.counts != size for each in loose)
        whole = self.beats == size * len(used) > size or (self.each and not self.beats)
        for each in loose if headed and known and uneven and whole else ():
            each.length = size

    def _emptied(self) -> None:
        """Give sections under whose heads nothing stands the counts of the others, where just these lack."""
        empty = [
            each for each in self.sections if each.title and each.number and not (each.items or each.stated_counts)
        ]
        others = {each.stated_counts for each in self.sections if each not in empty}
        left = self.beats - sum(each.stated_counts for each in self.sections)
        for each in empty if len(others) == 1 and left == len(empty) * max(others) else ():
            each.length = max(others)

    def _lacking(self, beats: int, once: int, reader: Reader) -> tuple[Item, ...]:
        """Return the blank of the beats that all times of the part lack, where its stated length is not that of one."""
        if beats < 1 or once in (0, self.beats):
            return ()
        said = f"{self.beats} counts are stated"
        reader.note(f"{self.name}: {said}, {self.times} times {once} are read")
        return (Line(blank=True, counts=beats, measured=True, remark=said),)

    def _again(self, lines: tuple[Item, ...], beats: int, behind: tuple[Item, ...], reader: Reader) -> tuple[Item, ...]:
        """Return the lines of the part under the head of its repeat, each time of `beats`, 0 where that isn't said."""
        inner: tuple[Item, ...] = (Block(f"beats 1-{beats}", lines),) if beats else lines
        faced = self.repeat != "again"
        reader.assumed.add(f"{self.name} in the sequence is {self.name} with its repeat")
        claim = (Expect(f"facing {self.repeat}", self.repeat_remark),) if faced else ()
        return (Block(f"{self.times} times", inner, "", "" if faced else self.repeat_remark), *behind, *claim)

    def finished(self, twice: bool, reader: Reader) -> Part:
        """Return the part with its contract; danced again in one, its lines stand under `2 times`.

        `twice` says that the sequence has it twice in a row, and so does the repeat itself.
        """
        made: list[Item] = []
        so_far = 0
        self._evened()
        self._merged(reader)
        self._emptied()
        for section in self.sections:
            made += section.lines(so_far, reader)
            so_far += section.length or section.counts
        once, stated, total = sum(map(beats_of, made)), self.beats, self.beats
        behind: tuple[Item, ...] = ()
        if again := bool(self.repeat) and not twice:
            total = self.total
            if lacking := self.beats - self.times * once:
                behind = self._lacking(lacking, once, reader)
            if self.beats and (not lacking or behind):
                stated, total = 0, self.total or self.beats
        whole = once == stated
        if stated and (once > stated or (once < stated and self.exact)):
            reader.note(f"{self.name}: {stated} counts are stated, {once} are read")
        lines = self._again(tuple(made), stated * whole, behind, reader) if again else tuple(made)
        begun = (Expect(f"facing {self.starts}"),) if self.starts and lines else ()
        still = re.fullmatch(r"(?i)\W*no (?:change of wall|wall change|change of direction)\W*", self.remark)
        contract = (*[f"{total} counts"] * bool(total), *["no turn"] * bool(still))
        return Part(self.name, contract, (*begun, *lines), self.remark)


def believed(items: list[Item], stated: int, sources: list[tuple[int, str]], reader: Reader) -> list[Item]:
    """Return lines that come to the counts that are stated of them, 0 for none; else what the source does not vouch for
    is a blank.

    A figure and the steps that may spell it are one or the other: the one whose counts fit.  Lines that state their own
    counts stand.  Too few counts are no contradiction where some of the words are open, but just these are one where
    words that say steps are left over.
    """
    unread = unknown(items)
    bare = len(unread) == 1 or any(isinstance(item, Line) and not item.blank and not item.counts for item in items)
    unsure = any(reader.steps(item.remark) for item in unread)
    for other in (items, *either(items), quickened(items)):
        spoken = unsure and any(isinstance(i, Line) and i.counts and not i.measured for i in other)
        if not stated or (sum(map(beats_of, other)) == stated and not spoken):
            if other != items and any(isinstance(item, Line) and item.quick for item in items):
                reader.assumed.add("an & is a half, and three steps a triple, where their section has no more counts")
            return fill_up(other, 0)
    left = stated - sum(map(beats_of, items))
    loose = [at for at, i in enumerate(items) if not (i.measured if isinstance(i, Line) else not beats_of(i))]
    placed = left > 1 and len(unread) == 1 and PLACE.fullmatch(unread[0].remark)
    if left > 0 and (bare or not loose) and not placed:
        return fill_up(items, left)
    size = left + sum(beats_of(items[at]) for at in loose)
    if not loose or size < 0:
        return fill_up(items, 0)  # rows on their own counts are right: what is stated of them all is not
    numbers = {source_of(items[at]) for at in loose}
    if 0 not in numbers:
        sources = [source for source in sources if source[0] in numbers]
    for number, text in sources:
        told = f"{stated - left} are read" if left else "more is said"
        reader.leave_open(number, f"{stated} are stated, {told}: {text}", "blank")
    remark = "; ".join(" ".join(text.split()) for _, text in sources)
    if not size:
        return [Remark(remark), *fill_up([item for at, item in enumerate(items) if at not in loose], 0)]
    first, last = loose[0], loose[-1]
    size = left + sum(map(beats_of, items[first : last + 1]))
    faced = [item.facing for item in items[first : last + 1] if isinstance(item, Line) and item.facing]
    blank = Line(counts=size, blank=True, measured=True, remark=remark)
    return [*items[:first], blank, *(Expect(f"facing {wall}") for wall in faced[-1:]), *items[last + 1 :]]


def quickened(items: list[Item]) -> list[Item]:
    """Return lines of which those that may be danced on fewer counts are."""
    return [
        evolve(item.quick, facing=item.facing, remark=item.remark, source=item.source)
        if isinstance(item, Line) and item.quick
        else item
        for item in items
    ]


def source_of(item: Item) -> int:
    """Return the number of the line of the source that a line was read from, 0 if unknown."""
    return item.source if isinstance(item, Line) else 0


def either(items: list[Item]) -> Iterator[list[Item]]:
    """Yield the two readings of a figure that is named and then spelled out: its name alone, and its steps alone.

    The turn, the facing and the notes of what is left out pass to what stays.
    """
    spelling = [at for at, item in enumerate(items) if isinstance(item, Line) and item.spells]
    named: list[Item] = list(items)
    steps: list[Item] = list(items)
    once = False  # it turns on one of its times, and the name would turn on each
    for at in spelling:
        before = max((i for i in range(at) if isinstance(it := items[i], Line) and it.name), default=-1)
        line, figure = items[at], items[before] if before >= 0 else None
        if not isinstance(line, Line) or not isinstance(figure, Line):
            return
        once |= bool(figure.times > 1 and line.turn)
        named[before] = evolve(
            figure, turn=figure.turn or line.turn, facing=line.facing or figure.facing, note=figure.note + line.note
        )
        steps[at] = evolve(line, note=(f"{figure.name.casefold()}:", *figure.note, *line.note))
        named[at] = steps[before] = Remark("")
    for made in (*[named] * (not once), steps) if spelling else ():
        yield [item for item in made if item != Remark("")]


def unknown(items: Iterable[Item]) -> list[Line]:
    """Return the blanks among lines of which nothing says how long they last."""
    return [item for item in items if isinstance(item, Line) and item.unknown]


def fill_up(items: list[Item], left: int) -> list[Item]:
    """Return lines in which the only blank without counts takes the counts that are left; other such blanks become
    comments."""
    bare = unknown(items)
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
        if not isinstance(item, Line):
            continue
        if not item.counts:
            return []
        if item.blank and first <= place + item.counts and place < last:
            return []
        if first <= place + 1 and place + item.counts <= last:
            out.append(evolve(item, facing="", source=0, remark=text if not out else ""))
        place += item.counts
    return out if 0 < first <= last and last - first + 1 == sum(map(beats_of, out)) else []
