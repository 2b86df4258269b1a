"""Reads a line dance: sections of counted steps, restarts, tags, and a dance over and over."""

import itertools
import re

from attrs import evolve

from stepcheck.drafts.counts import Counted, columns, counted, cut, heading, read, sentences, steps_said
from stepcheck.drafts.header import ORDER, Fact, author, facts_of, fields, fresh, header_of, is_music
from stepcheck.drafts.order import Passes, Tag, again, denied, is_change, with_feet
from stepcheck.drafts.outline import (
    REPEATED,
    Block,
    Item,
    Line,
    Outline,
    Part,
    Reader,
    Remark,
    Section,
    beats_of,
    cells_of,
    fill_up,
    repeated,
    weighted,
)
from stepcheck.drafts.rows import Group, divided, led_up, rows_of
from stepcheck.drafts.steps import Aside, Facing, Mention, Step, Unread, Weighted, events, wall
from stepcheck.drafts.vocabulary import plain, tight
from stepcheck.model.dance import TICKS

_LENGTH = re.compile(
    r"(?:that is|that's|that makes|=)\s*(\d{1,3})\b(?:\s*counts?)?|^\W*(\d{1,3})\s+counts?\b", re.IGNORECASE
)
_CREDIT = re.compile(r"[A-Z][\w']+(?: [A-Z][\w'-]+){1,3} \([^()]+\)")
_CLOCK = re.compile(r"(\d{1,2}:\d\d)|(\d{1,2})\s*o'?\s*clock", re.IGNORECASE)


def first_step(reader: Reader) -> int:
    """Return the index, among the lines that say something, of the first that belongs to the steps."""
    numbered = reader.numbered()
    for index, (_, text) in enumerate(numbered):
        following = numbered[index + 1][1] if index + 1 < len(numbered) else ""
        if columns(text) or heading(text, following):
            return index
        found = cut(text)
        said = steps_said(text, reader.vocabulary)
        first = next((piece.counts for piece in found), None)
        begins = first is not None and len(first.points) > 1 and re.match(r"\W*[&\d]", text) is not None
        counted = begins or (said and any(piece.counts for piece in found))
        if index and (begins and said or counted and not facts_of(text, "line")[0] or said >= 4):
            return index
    return len(numbered)


def step_sheet(reader: Reader) -> Outline:
    """Return the outline of a line dance."""
    numbered = reader.numbered()
    at = first_step(reader)
    top = numbered[:at]
    facts, left, told = header_of([text for _, text in top], "line")
    for index, (number, _) in enumerate(top):
        reader.mark(number, "fact" if index in told else "remark")
    order = Passes()
    body = Body(reader, facts, order)
    for number, text in top:
        if is_change(text):
            body.change(number, text)
    left = [said for said in left if not is_change(said)]
    body.read(numbered[at:])
    return body.outline(facts, left)


def _first_foot(item: Item) -> str:
    return (item.foot or next((move.foot for move in item.moves if move.foot), "")) if isinstance(item, Line) else ""


class Body:
    """The steps of a line dance while they are read."""

    def __init__(self, reader: Reader, facts: list[Fact], order: Passes) -> None:
        self.reader, self.facts, self.order = reader, facts, order
        self.sections: list[Section] = []
        self.remarks: list[str] = []
        self.ends: list[str] = []
        self.tag: Tag | None = None
        self.table: tuple[str, ...] = ()
        self.closing = ""

    @property
    def here(self) -> Section:
        """The section that is being read."""
        if not self.sections:
            self.sections.append(Section())
        return self.sections[-1]

    def read(self, numbered: list[tuple[int, str]]) -> None:
        """Read the lines from the first step on."""
        previous = 0
        for index, (number, text) in enumerate(numbered):
            following = numbered[index + 1][1] if index + 1 < len(numbered) else ""
            if kinds := columns(text):
                self.table = kinds
                self.reader.mark(number, "heading")
            elif self.table and "\t" in text:
                self.row(number, text)
            elif (said := REPEATED.fullmatch(plain(text))) and self.retake(number, text, *map(int, said.groups("0"))):
                pass
            elif is_change(text):
                self.change(number, text)
            elif found := heading(text, following):
                self.tag = None
                self.sections.append(Section(found.text, found.counts, number))
                self.reader.mark(number, "heading")
                if found.rest:
                    self.steps(number, found.rest)
            elif again(text) and steps_said(text, self.reader.vocabulary) < 3 and counted(text) is None:
                self.close(text)
                self.reader.mark(number, "order")
            elif counted(text) is None and steps_said(text, self.reader.vocabulary) < 3:
                self.aside(number, text)
            elif counted(text) is None or (len(text) > 160 and number - previous > 1):
                self.prose(number, text, gap=number - previous > 1)
            else:
                if self.here.prose and number - previous > 1 and self.here.items:
                    self.sections.append(Section("", None, number))
                    self.here.prose = True
                self.steps(number, text)
            previous = number

    def retake(self, number: int, text: str, begin: int, end: int, size: int, first: int, last: int) -> bool:
        """Dance counts again: the `size` last ones, else those of the section from `first` to `last`; return whether it
        can be.

        `begin` and `end` are the counts that the line stands on, 0 where it has none.
        """
        here = self.here
        items = here.items if first else [item for section in self.sections for item in section.items]
        before = max(0, here.first - 1)
        made = repeated(items, size, first - before, last - before, tight(text))
        length = sum(map(beats_of, made))
        if not made or self.tag or begin and (length != end - begin + 1 or begin <= here.last):
            return False
        here.items += made
        here.first, here.last = here.first or begin, end or here.last and here.last + length
        self.reader.mark(number, "steps")
        return True

    def aside(self, number: int, text: str) -> None:
        """Read a line without steps: a fact of the header, the length of what was before, or a remark."""
        if not self.facts or "Music:" in text or is_music(text.strip()):
            keys = tuple(key for key in ORDER if key not in ("routine", "author"))
            new = fresh(header_of(["", text], "line")[0], self.facts, keys)
            self.facts += new
            if new:
                self.reader.mark(number, "fact")
        self.remark(number, text)

    def close(self, text: str) -> None:
        """Keep the words that say that the dance begins again."""
        said = tight(text)
        if self.closing:
            self.ends.append(said)
        else:
            self.closing = said

    def remark(self, number: int, text: str) -> None:
        """Keep a line as a comment."""
        said = tight(text)
        fact = re.search(r"\b(?:every|each) step (?:is|has|gets) one (?:count|beat)", text, re.IGNORECASE)
        self.reader.mark(number, "fact" if fact else self.reader.kinds.get(number, "remark"))
        if not any(each.key == "author" for each in self.facts) and (by := _CREDIT.fullmatch(text.strip())):
            self.facts.append(author(by[0]))
            self.reader.mark(number, "fact")
            return
        if self.sections and self.sections[-1].items and self.tag is None:
            self.ends.append(said)
        else:
            self.remarks.append(said)

    def change(self, number: int, text: str) -> None:
        """Read a line about a restart, a tag or the last wall."""
        found = self.order.read(text, sum(section.counts for section in self.sections))
        if found is None:
            if denied(text):
                self.ends.append(tight(text))
                self.reader.mark(number, "order")
                return
            self.order.remarks.append(tight(text))
            self.reader.leave_open(number, text)
            return
        self.reader.mark(number, "order")
        if isinstance(found, Tag):
            self.tag = found
            if found.text:
                self.steps(number, found.text)
                if sum(item.counts for item in found.items if isinstance(item, Line)) >= found.counts:
                    self.tag = None

    def steps(self, number: int, text: str) -> None:
        """Read a line of steps with counts; pieces of one count each are a row together."""
        singles: list[Counted] = []

        def close() -> None:
            if singles:
                self.group(number, singles, text)
                singles.clear()

        for piece in cut(text):
            counts = piece.counts
            if counts is not None and len(counts.points) == 1:
                singles.append(piece)
                if piece.facing:
                    close()
                continue
            half = singles[-1].counts if singles else None
            if counts is not None and half is not None and half.points[0] % TICKS:
                said = f"{singles.pop().text}, {piece.text}"
                piece = Counted(said, half.joined(counts), "", piece.facing)
            close()
            self.group(number, [piece], text)
        close()

    def group(self, number: int, group: list[Counted], text: str) -> None:
        """Read pieces that are one row."""
        counts = group[0].counts
        for other in group[1:]:
            if counts is not None and other.counts is not None and other.counts.points[0] > counts.points[-1]:
                counts = counts.joined(other.counts)
        said = ", ".join(piece.text for piece in group)
        found = list(events(said, self.reader.vocabulary))
        found += [Facing(face) for piece in group if (face := self._wall(piece.facing))]
        if group[0].feet:
            found = with_feet(found, group[0].feet)
        whole = led_up(Group(tuple(found), counts, said), self.here.last, self.reader.book, self.reader.assumed)
        for each in divided(whole, group[0].parts, self.reader.book) if group[0].parts else (whole,):
            self.lay(number, each)

    def _wall(self, text: str) -> str:
        match = _CLOCK.search(text)
        return wall(match[1] or f"{match[2]}:00") if match else ""

    def lay(self, number: int, group: Group) -> None:
        """Lay a group on its counts, and keep its lines."""
        counts, said = group.counts, group.text.strip()
        if counts and not self.tag and not self.here.title and counts.first <= self.here.last:
            self.sections.append(Section("", None, number))  # one that counts from one again has no head of its own
        target = self.tag.items if self.tag else self.here.items
        if not any(isinstance(event, Step | Mention | Unread) for event in group.events):
            return self._talk(number, group, target)
        while isinstance(face := group.events[0], Facing):
            if target and isinstance(target[-1], Line):
                target[-1] = evolve(target[-1], facing=face.wall)
            group = evolve(group, events=group.events[1:])
        for item in rows_of(group, self.reader.book, self.reader.assumed):
            if isinstance(item, Line) and item.blank:
                before = target[-1] if target else None
                if not item.counts and isinstance(before, Line) and before.blank and not before.counts:
                    target[-1] = evolve(before, remark=f"{before.remark}; {item.remark}")
                    continue
                self.reader.leave_open(number, item.remark, "blank")
            elif isinstance(item, Remark) and item.text == group.text and counts is None:
                self.reader.leave_open(number, item.text)
            target.append(item)
        said = "; ".join(event.text for event in group.events if isinstance(event, Aside))
        if re.search(r"\brestart\b", said, re.IGNORECASE):
            self.order.read(f"restart here {said}", sum(section.counts for section in self.sections))
        self.reader.mark(number, "order" if self.tag and self.reader.kinds.get(number) == "order" else "steps")
        self._passed(group)

    def _talk(self, number: int, group: Group, target: list[Item]) -> None:
        """Keep words without a step: a length, a facing, the foot that has the weight, a remark; with counts, a
        blank."""
        said = group.text.strip()
        facing = next((event.wall for event in group.events if isinstance(event, Facing)), "")
        foot = next((event.foot for event in group.events if isinstance(event, Weighted)), "")
        last = target[-1] if target else None
        if length := _LENGTH.search(group.text):
            self.here.length = int(length[1] or length[2])
            if again(group.text):
                self.close(group.text)
            self.here.title = self.here.title or group.text
        elif foot:
            target.append(weighted(foot, group.text))
        elif group.counts is not None:
            target.append(Line(counts=group.counts.length, blank=True, remark=group.text))
            self.reader.leave_open(number, group.text or "nothing stands at these counts", "blank")
            self._passed(group)
        elif facing and isinstance(last, Line) and not last.facing:
            target[-1] = evolve(last, facing=facing)
        elif said and isinstance(last, Line) and not last.remark:
            target[-1] = evolve(last, remark=said)
        elif said:
            target.append(Remark(group.text))

    def _passed(self, group: Group) -> None:
        """Note the counts that the section has come to."""
        if group.counts and not self.tag:
            self.here.first = self.here.first or group.counts.first
            self.here.last = max(self.here.last, group.counts.last)

    def row(self, number: int, text: str) -> None:
        """Read a row of a table."""
        row = cells_of(text)
        cells = dict(zip(self.table, row, strict=False))
        if cells.get("section"):
            self.sections.append(Section(cells["section"], None, number))
        counts = read(plain(cells.get("counts", "")))
        if counts is None or not cells.get("steps"):
            return self.aside(number, text)
        self.group(number, [Counted(cells["steps"], counts, cells.get("feet", ""), "")], text)
        facing = cells.get("facing", "")
        face = wall(facing if ":" in facing else f"{facing}:00")
        known = {"counts", "feet", "steps", "section"} | ({"facing"} if face else set())
        kinds = (*self.table, *[""] * (len(row) - len(self.table)))
        rest = [cell for kind, cell in zip(kinds, row, strict=False) if cell and kind not in known]
        items = self.here.items
        if items and isinstance(line := items[-1], Line):
            items[-1] = evolve(line, facing=face or line.facing, remark="; ".join(filter(None, (line.remark, *rest))))

    def prose(self, number: int, text: str, gap: bool) -> None:
        """Read sentences: each is a row, `then` divides; counts behind words cut as well."""
        if gap and (not self.sections or self.sections[-1].items) and not self.tag:
            self.sections.append(Section("", None, number))
        here = self.here
        here.prose = True
        if counted(text) is not None:
            self.steps(number, text)
            return
        for sentence in sentences(text):
            length = _LENGTH.search(sentence)
            if length:
                here.length = int(length[1] or length[2])
                if face := self._wall(sentence):
                    here.facing = face
                if again(sentence):
                    self.close(sentence)
                here.title = here.title or sentence.strip(" .")
                continue
            if again(sentence):
                self.close(sentence)
                continue
            found = events(sentence, self.reader.vocabulary)
            self.lay(number, Group(found, None, sentence))
        self.reader.mark(number, "steps")

    def outline(self, facts: list[Fact], left: list[str]) -> Outline:
        """Return all that was read."""
        reader = self.reader
        stated = {fact.key: fact for fact in facts}
        total = stated.get("counts")
        lines: list[Item] = []
        so_far = 0
        stated_lengths = [section.length for section in self.sections if section.length]
        rising = len(stated_lengths) > 1 and all(a < b for a, b in itertools.pairwise(stated_lengths))
        if rising and (total is None or int(total.value) == stated_lengths[-1]):  # what is stated is the sum so far
            for section, before in zip([s for s in self.sections if s.length], [0, *stated_lengths], strict=False):
                section.length -= before
        for section in self.sections:
            lines += self._section(section, so_far)
            so_far += section.length or section.counts
        contract = (f"{total.value} counts",) if total and int(total.value) else ()
        parts = [Part("Main", contract, tuple(lines), "")] if so_far else []
        parts += [
            Part(tag.name, (f"{tag.counts} counts",) if tag.counts else (), tuple(tag.items)) for tag in self.order.tags
        ]
        told = [Fact("book", "line")]
        if not re.search(r"line danc", "\n".join(reader.texts), re.IGNORECASE):
            reader.assumed.add("book line")
        if "lead" not in stated:
            items = (item for section in self.sections for item in section.items)
            foot = next((side for item in items if (side := _first_foot(item))), "R")
            told.append(Fact("lead", "left" if foot == "L" else "right"))
            reader.assumed.add("lead right" if foot != "L" else "lead left: the first step is the left foot's")
        told += [fact for fact in facts if fact.key != "counts"]
        if stated.get("level") and stated["level"].key == "level":
            reader.assumed.add(f"level {stated['level'].remark}: in the club scheme")
        if not self.closing:
            reader.assumed.add("danced until the music ends")
        dance = tuple(self.order.dance("Main", self.closing)) if parts else ()
        return Outline(fields(told), "line", (*left, *self.remarks), (), tuple(parts), dance, tuple(self.ends))

    def _section(self, section: Section, before: int) -> list[Item]:
        """Return the lines of a section under the heading that its counts give it."""
        left = (section.stated[1] - section.stated[0] + 1 if section.stated else section.length) - section.counts
        section.items = fill_up(section.items, left)
        title = section.title
        counts = section.counts
        stated = section.stated
        if stated is None and section.first and section.last and not (section.prose and section.length):
            stated = (section.first, section.last)
        if stated is None and section.length:
            stated = (before + 1, before + section.length)
        if stated and stated[1] - stated[0] + 1 != counts and section.items:
            where = f"line {section.number}: " if section.number else ""
            said = f"the section has counts {stated[0]} to {stated[1]}, but {counts} counts are read in it"
            self.reader.open.append(where + said)
        if stated is None or not section.items:
            return [*([Remark(title)] if title else []), *section.items]
        face = section.facing or self._wall(title)
        head = f"counts {stated[0]}-{stated[1]}" if stated[1] > stated[0] else f"count {stated[0]}"
        return [Block(head, tuple(section.items), face, title)]
