"""The description of a clogging routine: parts with cues or rows of codes, their repeats, and the sequence."""

import re

from attrs import evolve

from stepcheck.drafts import heads, sections, tables
from stepcheck.drafts.codes import row
from stepcheck.drafts.cues import Cues, split_foot
from stepcheck.drafts.headings import REPEAT, Draft, definitions, head, name_of
from stepcheck.drafts.heads import Fact
from stepcheck.drafts.order import SEQUENCE, Order
from stepcheck.drafts.outline import Block, Item, Line, Outline
from stepcheck.drafts.source import ORDER, Reader
from stepcheck.drafts.waiting import Waiting
from stepcheck.drafts.words import plain

_LEAD_BEATS = re.compile(r"^\s*(?:-\s*)?(?:\((\d{1,2})\)|(\d{1,2}))(?:\s*:\s*|\s{2,})(?=\S)")
_TO = re.compile(r"\b(?:to|at)\s+(?:the\s+)?(front|back)\b", re.IGNORECASE)
_BEATS = re.compile(r"(\d{1,3})\s+beats?\b", re.IGNORECASE)


def cue_sheet(reader: Reader) -> Outline:
    """Return the outline of a clogging routine."""
    sheet = Routine(reader)
    numbered = reader.numbered()
    sheet.learn([text for _, text in numbered])
    at = next((index for index, (_, text) in enumerate(numbered) if index and sheet.begins(text)), len(numbered))
    facts, left, told = heads.header([text for _, text in numbered[:at]], "clogging")
    for index, (number, _) in enumerate(numbered[:at]):
        reader.mark(number, "fact" if index in told else "remark")
    sheet.facts, sheet.left = facts, left
    sheet.read(numbered[at:])
    return sheet.outline()


class Routine:
    """A clogging routine while it is read."""

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self.cues = Cues(reader.vocabulary, reader.book, reader.assumed)
        self.parts: list[Draft] = []
        self.facts: list[Fact] = []
        self.left: list[str] = []
        self.order = Order()
        self.ends: list[str] = []
        self.table: tuple[str, ...] = ()
        self.beats: dict[str, int] = {}
        self.waiting: Waiting | None = None
        self.all = ""

    # -- before the steps --------------------------------------------------------------------------------------------

    def begins(self, text: str) -> bool:
        """Say whether a line is no line of the header any more."""
        return bool(
            head(text) or sections.columns(text) or SEQUENCE.match(text) and re.search(r"[:\t]|  ", text) or row(text)
            or re.match(r"\W*part\b", text, re.IGNORECASE) or "Part A" in text
        )  # fmt: skip

    def learn(self, texts: list[str]) -> None:
        """Take the figures that the source spells out, wherever it does, and the beats of parts told in one line."""
        self.all = "\n".join(texts)
        for text in texts:
            said = plain(text)
            if found := re.match(r"\s*beats\s*:\s*(.*)", said, re.IGNORECASE):
                for name, beats in re.findall(r"([A-Za-z][\w ]*?)\s+(\d{1,3})", found[1]):
                    self.beats[name.strip().casefold()] = int(beats)
        for text in texts:
            for name, spelled in definitions(text):
                if made := self.cues.footwork(spelled):
                    forms, note, facts, rest = made
                    more = re.sub(r"\(?\d+ beats\)?", "", rest).strip(" ,")
                    self.cues.define(
                        split_foot(name)[0], forms, ", ".join(each for each in (note, more) if each), facts
                    )

    # -- parts -------------------------------------------------------------------------------------------------------

    def read(self, numbered: list[tuple[int, str]]) -> None:
        """Read the lines from the first part on."""
        for number, text in numbered:
            self.line(number, text)
        self.flush()
        for said in self.reader.assumed.unsure:
            self.reader.open.append(said)

    def line(self, number: int, text: str) -> None:
        """Read one line."""
        if self.waiting is not None and self.waiting.takes(text):
            return self.reader.mark(number, "steps")
        self.flush()
        if kinds := sections.columns(text):
            self.table = kinds
            self.reader.mark(number, "heading")
            return
        if self.table and "\t" in text:
            self.row(number, text)
            return
        if self.order.whole(text, [part.name for part in self.parts]):
            return self.reader.mark(number, "order")
        if SEQUENCE.match(text) and not re.match(r"\W*dance\b(?!\s*(?:order)?\s*:)", text, re.IGNORECASE):
            self.take_order(text)
            return self.reader.mark(number, "order")
        if re.match(r"\W*intro\b", text, re.IGNORECASE):
            stated, rest = heads.facts(text, "clogging")
            self.facts += [fact for fact in stated if fact.key not in {other.key for other in self.facts}]
            if not stated or re.search(r"(?!intro\b|wait\b|beats?\b)\b[a-z]{3,}", rest, re.IGNORECASE):
                self.left.append(" ".join(text.split()))
            return self.reader.mark(number, "fact" if stated else "remark")
        if re.match(r"\s*beats\s*:", text, re.IGNORECASE):
            return self.reader.mark(number, "steps")
        if (found := definitions(text)) and not re.match(r"\s*(?:-\s*)?[(]?\d", text):
            if all(self.cues.footwork(spelled) for _, spelled in found):
                return self.reader.mark(number, "steps")
            self.left.append(" ".join(text.split()))
            return self.reader.leave_open(number, text)
        repeated = REPEAT.search(text) if len(text) < 90 else None
        if repeated and self.again(number, text, next(word for word in repeated.groups() if word)):
            return self.reader.mark(number, "order")
        if found_head := head(text):
            name = name_of(found_head[0], self.all)
            self.parts.append(Draft(name, found_head[1] or self.beats.get(name.casefold(), 0), number))
            self.reader.mark(number, "heading")
            if found_head[2]:
                said = found_head[2]
                if length := re.search(r"\(\s*(\d+) beats\s*\)\s*$", said):
                    self.parts[-1].beats = self.parts[-1].beats or int(length[1])
                    said = said[: length.start()]
                self.body(number, said)
            return
        if self.parts:
            self.body(number, text)
        else:
            self.stray(number, text)

    def body(self, number: int, text: str) -> None:
        """Read cues, a row of codes, or sentences of the part that is open."""
        beats = 0
        if found := _LEAD_BEATS.match(text):
            stated = int(found[1] or found[2])
            rest = text[found.end() :]
            if 0 < stated <= 16:
                beats, text = stated, rest
        coded = row(text)
        if coded and not re.search(r"[,:]", coded.name) and not coded.rest.startswith(",") and not self._sentence(text):
            self.waiting = Waiting(coded, beats)
            self.reader.mark(number, "steps")
            return
        for sentence in (
            re.split(r"(?<=[a-zA-Z)\]])\.\s+(?=[A-Z(\d])|(?<=once)\.\s+", text) if self._sentence(text) else [text]
        ):
            self.sentence(number, sentence, beats)

    def _sentence(self, text: str) -> bool:
        return len(text) > 90 or bool(re.search(r"[a-z]\.\s+[A-Z\d]", text))

    def sentence(self, number: int, text: str, beats: int) -> None:
        """Read one sentence, or one line of cues."""
        part = self.parts[-1]
        said = text
        if heads.is_author(said) or re.search(r"\ball (?:parts )?start\b", said):
            return self.stray(number, text)
        if SEQUENCE.match(said) and re.search(r"[:,]|  ", said):
            self.take_order(said)
            return self.reader.mark(number, "order")
        if definitions(said) and re.search(r"\bis [A-Z]{2}|=", said):
            return self.reader.mark(number, "steps")
        if (repeated := REPEAT.search(said)) and self.again(
            number, said, next(word for word in repeated.groups() if word)
        ):
            if length := _BEATS.search(said):
                part.once = int(length[1])
            if (total := re.search(r"\((\d+) beats in all\)", said)) is not None:
                part.total = int(total[1])
            if facing := re.search(r"\bat the (back|front)\b", said):
                part.halfway = facing[1]
            return self.reader.mark(number, "order")
        if length := re.match(r"\W*(?:that makes |that is |and )?(\d{1,3}) beats\b", said, re.IGNORECASE):
            part.beats = part.beats or int(length[1])
            if facing := re.search(r"\bat the (back|front)\b", said):
                part.halfway = facing[1]
            if re.search(r"\bno turn\b", said, re.IGNORECASE):
                part.contract.append("no turn")
            behind = said[length.end() :].strip(" ,.")
            if behind and not re.fullmatch(r"(?:no turn|and you are at the \w+)", behind, re.IGNORECASE):
                part.remark = part.remark or behind
            return self.reader.mark(number, "steps")
        if length := re.search(r",\s*(\d{1,3}) beats\b(.*)$", said):
            part.beats = part.beats or int(length[1])
            if facing := re.search(r"\bat the (back|front)\b", length[2]):
                part.halfway = facing[1]
            elif length[2].strip(" .,"):
                part.remark = part.remark or length[2].strip(" .,")
            said = said[: length.start()]
        made = list(self.cues.cues(said))
        lines = [
            item
            for each in made
            for item in (each.lines if isinstance(each, Block) else (each,))
            if isinstance(item, Line)
        ]
        if not lines:
            self.stray(number, text)
            return
        if beats:
            known = [self.cues.beats(line) for line in lines]
            if len(lines) == 1:
                made = [evolve(item, counts=beats, stated=True) if isinstance(item, Line) else item for item in made]
            elif sum(known) != beats:
                self.reader.open.append(
                    f"line {number}: {beats} beats are stated, {sum(known)} are read: {' '.join(text.split())}"
                )
        part.lines += [each for item in made for each in self.counted(item)]
        self.reader.mark(number, "steps")
        for line in lines:
            if line.blank:
                self.reader.leave_open(number, line.remark)
                self.reader.kinds[number] = "blank"

    def counted(self, item: Item) -> list[Item]:
        """Return a line with the beats that it lasts; a row that is danced several times as so many lines."""
        if isinstance(item, Block):
            return [evolve(item, lines=tuple(each for line in item.lines for each in self.counted(line)))]
        if not isinstance(item, Line):
            return [item]
        times, item = (item.times, evolve(item, times=1)) if item.moves else (1, item)
        return [item if item.counts else evolve(item, counts=self.cues.beats(item))] * times

    def stray(self, number: int, text: str) -> None:
        """Keep a line that says no steps: a remark, or open where it may say some."""
        said = " ".join(text.split())
        if found_all := re.search(r"\ball (?:parts )?start (?:on )?(?:the )?(left|right|l|r)\b", said, re.IGNORECASE):
            for part in self.parts:
                part.contract.append({"l": "left foot", "r": "right foot"}[found_all[1][0].casefold()])
        if (
            re.search(r"\b(?:DS|RS|beats?|turn\w*|steps?|stomp\w*|[Rr]epeat)\b", said)
            and self.parts
            and not re.search(r"=", said)
        ):
            self.reader.leave_open(number, said)
        if (named := re.search(r"\bPart ([A-Z])\b", said)) and (length := _BEATS.search(said)):
            self.parts.append(Draft(named[1], int(length[1]), number))
            self.parts[-1].lines.append(Line(blank=True, counts=int(length[1]), remark=said))
            self.reader.leave_open(number, said)
            self.reader.kinds[number] = "blank"
            return
        found, _ = heads.facts(text, "clogging")
        self.facts += [
            fact for fact in found if fact.key == "lead" and fact.key not in {other.key for other in self.facts}
        ]
        if any(fact.key == "lead" for fact in found):
            self.reader.mark(number, "fact")
        if not any(fact.key == "author" for fact in self.facts) and heads.is_author(said):
            people, _, more = re.sub(r"^cues\s+", "", said).partition(" who ")
            self.facts.append(heads.author(people))
            self.ends += [f"who {more}"] if more else []
            self.reader.mark(number, "fact")
        elif self.parts and self.parts[-1].lines:
            self.ends.append(said)
        else:
            self.left.append(said)
        self.reader.mark(number, self.reader.kinds.get(number, "remark"))

    def flush(self) -> None:
        """Put the row that waits for its feet into its part."""
        if self.waiting is None:
            return
        items = self.counted(self.waiting.line(self.cues))
        held, last = self.parts[-1].lines, self.waiting.last
        if last and held and isinstance(before := held[-1], Block) and self.waiting.first > 1:
            items = [evolve(before, head=f"beats 1-{last}", lines=(*before.lines, *items))]
            held.pop()
        elif last:
            items = [Block(f"beats {self.waiting.first}-{last}", tuple(items))]
        held += items
        self.waiting = None

    # -- tables ------------------------------------------------------------------------------------------------------

    def row(self, number: int, text: str) -> None:
        """Read a row of a table."""
        cells = [cell.strip() for cell in text.split("\t")]
        said = dict(zip(self.table, cells, strict=False))
        if self.table[0] == "section" and any(kind.startswith("beats ") for kind in self.table):
            self._set(number, cells)
            return
        if (
            not cells[0]
            and len(cells) > 1
            and not (said.get("steps") and row(said["steps"]) and not head(cells[1] + ":"))
        ):
            self.table, kept = (), self.table
            word = next(cell for cell in (*cells, " ") if cell)
            rest = ", ".join(cell for cell in cells[cells.index(word) + 1 :] if cell) if word in cells else ""
            self.line(number, f"{word}:  {rest}" if rest and not REPEAT.search(word) else word)
            self.flush()
            self.table = kept
            return
        if SEQUENCE.match(cells[0]) or head(cells[0] + ":") and not re.match(r"^[A-Z]\d", cells[0]):
            self.table = ()
            self.line(number, f"{cells[0]}:  {'  '.join(cells[1:])}")
            self.flush()
            return
        if not self.parts:
            return self.stray(number, text)
        lines = tables.row_lines(cells, said, self.table, self.cues)
        if not lines:
            return self.stray(number, text)
        self.parts[-1].lines += lines
        self.reader.mark(number, "steps")

    def _set(self, number: int, cells: list[str]) -> None:
        """Read a row of a table with a set and its beats: `A1`, cues for beats 1 to 4 and 5 to 8, the facing after."""
        if not (named := re.match(r"([A-Z])\d+$", cells[0])):
            self.table = ()
            self.line(number, "  ".join([f"{cells[0]}:", *cells[1:]]))
            self.flush()
            return
        if not self.parts or self.parts[-1].name != named[1]:
            self.parts.append(Draft(named[1], 0, number))
        self.parts[-1].lines.append(tables.set_block(cells, self.table, self.cues))
        self.reader.mark(number, "steps")

    # -- the sequence ------------------------------------------------------------------------------------------------

    def again(self, number: int, text: str, name: str) -> bool:
        """Take a part that is danced again: `Repeat A to the front`; return whether there is such a part."""
        called = name_of(
            f"part {name}" if re.search(r"part", text, re.IGNORECASE) or len(name) == 1 else name, self.all
        )
        part = next((each for each in self.parts if each.name.casefold() == called.casefold()), None)
        if part is None:
            return False
        if re.search(rf"\b{re.escape(name)}\s*(?:&|,|and)\s*(?:part\s+)?[A-Z]\b", text):
            self.reader.leave_open(number, text)
            self.ends.append(" ".join(text.split()))
            return True
        facing = _TO.findall(text)
        part.repeat = facing[-1].casefold() if facing else "again"
        part.repeat_remark = " ".join(text.split()).strip("()")
        if total := re.search(r"=\s*(\d+)|(\d+) beats in all", text):
            part.total = int(total[1] or total[2])
        if (more := re.search(r"(\d+) more", text)) and part.beats:
            part.total = part.beats + int(more[1])
        return True

    def take_order(self, text: str) -> None:
        """Take the sequence; what is danced at its end is a part."""
        if ending := self.order.take(text):
            self.parts.append(Draft("Ending", 0, 0))
            self.parts[-1].lines += [each for item in self.cues.cues(ending) for each in self.counted(item)]

    # -- all of it ---------------------------------------------------------------------------------------------------

    def outline(self) -> Outline:
        """Return all that was read."""
        names = self.order.danced([part.name for part in self.parts])
        if self.order.left:
            self.ends.append(self.order.left)
            if not re.search(r"\bis\b|^[A-Z][a-z]+ ", self.order.left):
                self.reader.open.append(f"the order of the parts: {self.order.left}")
        drafts = {part.name: part for part in self.parts}
        out: list[tuple[str, str]] = []
        twice: set[str] = set()
        for index, name in enumerate(names):
            out.append((name, ""))
            part = drafts.get(name)
            if part and part.repeat and index and names[index - 1] == name:
                if name not in twice and part.repeat != "again":
                    out.append((f"expect facing {part.repeat}", part.repeat_remark))
                twice.add(name)
        for part in self.parts:
            named = {re.sub(r" x\d+$", "", name) for name in names}
            if part.name not in named and re.match(r"end|last|finish", part.name, re.IGNORECASE):
                out.append((part.name, ""))
        if not out:
            out = [(part.name, "") for part in self.parts]
            if out:
                self.reader.assumed.add("the parts are danced in the order in which they stand")
        fields = [Fact("book", "clogging")]
        if not any(fact.key == "lead" for fact in self.facts):
            fields.append(Fact("lead", "left"))
            self.reader.assumed.add("lead left")
        fields += [fact for fact in self.facts if fact.key not in ("counts", "walls")]
        parts = tuple(part.finished(part.name in twice, self.reader) for part in self.parts if part.lines)
        header = tuple(
            (fact.key, fact.value, fact.remark if fact.key in ("tempo", "wait") else "")
            for each in ORDER
            for fact in fields
            if fact.key == each
        )
        figures = tuple(self.cues.defined.values())
        return Outline(header, "clogging", tuple(self.left), figures, parts, tuple(out), tuple(self.ends))
