"""The description of a line dance: sections of counted steps, restarts, tags, and a dance over and over."""

import itertools
import re

from attrs import evolve

from stepcheck.drafts import heads, sections, sequence
from stepcheck.drafts.counts import read as counts_of
from stepcheck.drafts.heads import Fact
from stepcheck.drafts.outline import Block, Expect, Item, Line, Outline, Part, Remark
from stepcheck.drafts.rows import Group, divided, led_up
from stepcheck.drafts.rows import lines as rows_of
from stepcheck.drafts.sections import Piece
from stepcheck.drafts.source import ORDER, Reader, Section, cells_of, fill_up
from stepcheck.drafts.steps import Aside, Facing, Mention, Step, Unread, Weighted, events, wall
from stepcheck.drafts.words import plain
from stepcheck.model.dance import TICKS

_LENGTH = re.compile(
    r"(?:that is|that's|that makes|=)\s*(\d{1,3})\b(?:\s*counts?)?|^\W*(\d{1,3})\s+counts?\b", re.IGNORECASE
)
_BY = re.compile(r"[A-Z][\w']+(?: [A-Z][\w'-]+){1,3} \([^()]+\)")
_CLOCK = re.compile(r"(\d{1,2}:\d\d)|(\d{1,2})\s*o'?\s*clock", re.IGNORECASE)


def first_step(reader: Reader) -> int:
    """Return the index, among the lines that say something, of the first that belongs to the steps."""
    numbered = reader.numbered()
    for index, (_, text) in enumerate(numbered):
        following = numbered[index + 1][1] if index + 1 < len(numbered) else ""
        if sections.columns(text) or sections.heading(text, following):
            return index
        found = sections.pieces(text)
        said = sections.steps_said(text, reader.vocabulary)
        first = next((piece.counts for piece in found), None)
        begins = first is not None and len(first.points) > 1 and re.match(r"\W*[&\d]", text) is not None
        counted = begins or (said and any(piece.counts for piece in found))
        if index and (begins and said or counted and not heads.facts(text, "line")[0] or said >= 4):
            return index
    return len(numbered)


def step_sheet(reader: Reader) -> Outline:
    """Return the outline of a line dance."""
    numbered = reader.numbered()
    at = first_step(reader)
    top = numbered[:at]
    facts, left, told = heads.header([text for _, text in top], "line")
    for index, (number, _) in enumerate(top):
        reader.mark(number, "fact" if index in told else "remark")
    order = sequence.Passes()
    body = Body(reader, facts, order)
    for number, text in top:
        if sequence.is_change(text):
            body.change(number, text)
    left = [said for said in left if not sequence.is_change(said)]
    body.read(numbered[at:])
    return body.outline(facts, left)


def _first_foot(item: Item) -> str:
    return (item.foot or next((move.foot for move in item.moves if move.foot), "")) if isinstance(item, Line) else ""


class Body:
    """The steps of a line dance while they are read."""

    def __init__(self, reader: Reader, facts: list[Fact], order: "sequence.Passes") -> None:
        self.reader, self.facts, self.order = reader, facts, order
        self.sections: list[Section] = []
        self.remarks: list[str] = []
        self.ends: list[str] = []
        self.tag: sequence.Tag | None = None
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
            if kinds := sections.columns(text):
                self.table = kinds
                self.reader.mark(number, "heading")
            elif self.table and "\t" in text:
                self.row(number, text)
            elif sequence.is_change(text):
                self.change(number, text)
            elif found := sections.heading(text, following):
                self.tag = None
                self.sections.append(Section(found.text, found.counts, number))
                self.reader.mark(number, "heading")
                if found.rest:
                    self.steps(number, found.rest)
            elif (
                sequence.again(text)
                and sections.steps_said(text, self.reader.vocabulary) < 3
                and sections.counted(text) is None
            ):
                self.close(text)
                self.reader.mark(number, "order")
            elif sections.counted(text) is None and sections.steps_said(text, self.reader.vocabulary) < 3:
                self.aside(number, text)
            elif sections.counted(text) is None or (len(text) > 160 and number - previous > 1):
                self.prose(number, text, gap=number - previous > 1)
            else:
                if self.here.prose and number - previous > 1 and self.here.items:
                    self.sections.append(Section("", None, number))
                    self.here.prose = True
                self.steps(number, text)
            previous = number

    def aside(self, number: int, text: str) -> None:
        """Read a line without steps: a fact of the header, the length of what was before, or a remark."""
        stated, _, _ = heads.header(["", text], "line")
        new = [
            fact
            for fact in stated
            if fact.key not in {other.key for other in self.facts} and fact.key not in ("routine", "counts", "author")
        ]
        if not self.facts or heads.is_music(text.strip().split("Music:")[-1]) or "Music:" in text:
            self.facts += new
            if new:
                self.reader.mark(number, "fact")
        self.remark(number, text)

    def close(self, text: str) -> None:
        """Keep the words that say that the dance begins again."""
        said = " ".join(text.split())
        if self.closing:
            self.ends.append(said)
        else:
            self.closing = said

    def remark(self, number: int, text: str) -> None:
        """Keep a line as a comment."""
        said = " ".join(text.split())
        fact = re.search(r"\b(?:every|each) step (?:is|has|gets) one (?:count|beat)", text, re.IGNORECASE)
        self.reader.mark(number, "fact" if fact else self.reader.kinds.get(number, "remark"))
        if not any(each.key == "author" for each in self.facts) and (by := _BY.fullmatch(text.strip())):
            self.facts.append(heads.author(by[0]))
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
            if sequence.denied(text):
                self.ends.append(" ".join(text.split()))
                self.reader.mark(number, "order")
                return
            self.order.remarks.append(" ".join(text.split()))
            self.reader.leave_open(number, text)
            return
        self.reader.mark(number, "order")
        if isinstance(found, sequence.Tag):
            self.tag = found
            if found.text:
                self.steps(number, found.text)
                if sum(item.counts for item in found.items if isinstance(item, Line)) >= found.counts:
                    self.tag = None

    def steps(self, number: int, text: str) -> None:
        """Read a line of steps with counts."""
        singles: list[Piece] = []
        for piece in sections.pieces(text):
            alone = piece.counts is not None and len(piece.counts.points) == 1
            if alone:
                singles.append(piece)
                if piece.facing:
                    self.group(number, singles, text)
                    singles = []
                continue
            if piece.counts is None and piece.text and singles:
                self.group(number, singles, text)
                singles = []
            if singles and piece.counts is not None and singles[-1].counts is not None:
                if singles[-1].counts.points[0] % TICKS:
                    joined = Piece(
                        f"{singles[-1].text}, {piece.text}", singles[-1].counts.joined(piece.counts), "", piece.facing
                    )
                    piece, singles = joined, singles[:-1]
                if singles:
                    self.group(number, singles, text)
                singles = []
            self.group(number, [piece], text)
        if singles:
            self.group(number, singles, text)

    def group(self, number: int, group: list[Piece], text: str) -> None:
        """Read pieces that are one row."""
        counts = group[0].counts
        for other in group[1:]:
            if counts is not None and other.counts is not None and other.counts.points[0] > counts.points[-1]:
                counts = counts.joined(other.counts)
        said = ", ".join(piece.text for piece in group)
        found = list(events(said, self.reader.vocabulary))
        for piece in group:
            if piece.facing and (face := self._wall(piece.facing)):
                found.append(Facing(face))
        if group[0].feet:
            found = sequence.with_feet(found, group[0].feet)
        whole = led_up(Group(tuple(found), counts, said), self.here.last, self.reader.book, self.reader.assumed)
        for each in divided(whole, group[0].parts, self.reader.book) if group[0].parts else (whole,):
            self.lay(number, each)

    def _wall(self, text: str) -> str:
        match = _CLOCK.search(text)
        return wall(match[1] or f"{match[2]}:00") if match else ""

    def lay(self, number: int, group: Group) -> None:
        """Lay a group on its counts, and keep its lines."""
        if group.counts and not self.tag and not self.here.title and group.counts.first <= self.here.last:
            self.sections.append(
                Section("", None, number)
            )  # a section that counts from one again has no head of its own
        here = self.here
        target = self.tag.items if self.tag else here.items
        has_steps = any(isinstance(event, Step | Mention | Unread) for event in group.events)
        if not has_steps:
            facing = next((event.wall for event in group.events if isinstance(event, Facing)), "")
            weighted = next((event.foot for event in group.events if isinstance(event, Weighted)), "")
            if length := _LENGTH.search(group.text):
                here.length = int(length[1] or length[2])
                if sequence.again(group.text):
                    self.close(group.text)
                here.title = here.title or group.text
                return
            if weighted:
                target.append(Expect(f"{'right' if weighted == 'L' else 'left'} foot", group.text))
                return
            if group.counts is not None:
                target.append(Line(counts=group.counts.length, blank=True, remark=group.text))
                self.reader.leave_open(number, group.text or "nothing stands at these counts")
                self.reader.kinds[number] = "blank"
                return self._passed(group)
            if facing and target and isinstance(target[-1], Line) and not target[-1].facing:
                target[-1] = evolve(target[-1], facing=facing)
            elif group.text.strip() and target and isinstance(target[-1], Line) and not target[-1].remark:
                target[-1] = evolve(target[-1], remark=group.text.strip())
            elif group.text.strip():
                target.append(Remark(group.text))
            return
        events_said = list(group.events)
        while events_said and isinstance(events_said[0], Facing):
            face = events_said.pop(0)
            if target and isinstance(target[-1], Line) and isinstance(face, Facing):
                target[-1] = evolve(target[-1], facing=face.wall)
        group = evolve(group, events=tuple(events_said))
        said = "; ".join(event.text for event in group.events if isinstance(event, Aside))
        items, _ = rows_of(group, self.reader.book, self.reader.assumed)
        for item in items:
            if isinstance(item, Line) and item.blank:
                before = target[-1] if target else None
                if not item.counts and isinstance(before, Line) and before.blank and not before.counts:
                    target[-1] = evolve(before, remark=f"{before.remark}; {item.remark}")
                    continue
                self.reader.leave_open(number, item.remark)
                self.reader.kinds[number] = "blank"
            elif isinstance(item, Remark) and item.text == group.text and group.counts is None:
                self.reader.leave_open(number, item.text)
            target.append(item)
        if re.search(r"\brestart\b", said, re.IGNORECASE):
            self.order.read(f"restart here {said}", sum(section.counts for section in self.sections))
        self.reader.mark(number, "order" if self.tag and self.reader.kinds.get(number) == "order" else "steps")
        self._passed(group)

    def _passed(self, group: Group) -> None:
        """Note the counts that the section has come to."""
        if group.counts and not self.tag:
            self.here.first = self.here.first or group.counts.first
            self.here.last = max(self.here.last, group.counts.last)

    def row(self, number: int, text: str) -> None:
        """Read a row of a table."""
        cells = dict(zip(self.table, cells_of(text), strict=False))
        if cells.get("section"):
            self.sections.append(Section(cells["section"], None, number))
        counts = counts_of(plain(cells.get("counts", "")))
        if counts is None or not cells.get("steps"):
            self.aside(number, text)
            return
        self.group(number, [Piece(cells["steps"], counts, cells.get("feet", ""), "")], text)
        facing = cells.get("facing", "")
        face = wall(facing if ":" in facing else f"{facing}:00") if facing else ""
        items = self.here.items
        if face and items and isinstance(items[-1], Line):
            items[-1] = evolve(items[-1], facing=face)
        known = {"counts", "feet", "steps", "section"} | ({"facing"} if face else set())
        rest = [cell for kind, cell in zip(self.table, cells_of(text), strict=False) if cell and kind not in known]
        rest += [cell for cell in cells_of(text)[len(self.table) :] if cell]
        if rest and items and isinstance(items[-1], Line):
            items[-1] = evolve(items[-1], remark="; ".join(each for each in (items[-1].remark, *rest) if each))

    def prose(self, number: int, text: str, gap: bool) -> None:
        """Read sentences: each is a row, `then` divides; counts behind words cut as well."""
        if gap and (not self.sections or self.sections[-1].items) and not self.tag:
            self.sections.append(Section("", None, number))
        here = self.here
        here.prose = True
        if sections.counted(text) is not None:
            self.steps(number, text)
            return
        for sentence in sections.sentences(text):
            length = _LENGTH.search(sentence)
            if length:
                here.length = int(length[1] or length[2])
                if face := self._wall(sentence):
                    here.facing = face
                if sequence.again(sentence):
                    self.close(sentence)
                here.title = here.title or sentence.strip(" .")
                continue
            if sequence.again(sentence):
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
        fields = [Fact("book", "line")]
        if not re.search(r"line danc", "\n".join(reader.texts), re.IGNORECASE):
            reader.assumed.add("book line")
        if "lead" not in stated:
            foot = next(
                (side for section in self.sections for item in section.items if (side := _first_foot(item))), "R"
            )
            fields.append(Fact("lead", "left" if foot == "L" else "right"))
            reader.assumed.add("lead right" if foot != "L" else "lead left: the first step is the left foot's")
        fields += [fact for fact in facts if fact.key != "counts"]
        if stated.get("level") and stated["level"].key == "level":
            reader.assumed.add(f"level {stated['level'].remark}: in the club scheme")
        if not self.closing:
            reader.assumed.add("danced until the music ends")
        dance = tuple(self.order.dance("Main", self.closing)) if parts else ()
        header = tuple(
            (fact.key, fact.value, fact.remark if fact.key in ("tempo", "wait") else "")
            for key in ORDER
            for fact in fields
            if fact.key == key
        )
        return Outline(header, "line", (*left, *self.remarks), (), tuple(parts), dance, tuple(self.ends))

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
