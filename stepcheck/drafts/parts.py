"""Reads a clogging routine: parts with cues or rows of codes, their repeats, tables, and the sequence."""

import re

from attrs import evolve

from stepcheck.drafts.codes import Waiting, definitions, feet_of, row
from stepcheck.drafts.counts import columns
from stepcheck.drafts.cues import Cues, split_foot
from stepcheck.drafts.header import REPEAT, Fact, author, facts_of, fields, fresh, head, header_of, is_author, name_of
from stepcheck.drafts.order import SEQUENCE, Order
from stepcheck.drafts.outline import REPEATED, Block, Item, Line, OpenPart, Outline, Reader, Remark, repeated
from stepcheck.drafts.vocabulary import plain, tight


def row_lines(cells: list[str], said: dict[str, str], kinds: tuple[str, ...], cues: Cues) -> list[Item]:
    """Return the lines of a row with a cue, its codes, feet and notes; none where it says no steps.

    Args:
        cells: the cells as they stand; one in a column without a known heading is a remark.
        said: the cells by the kind of their column.
        kinds: the kinds of the columns.
        cues: reads cues and codes.
    """
    name, foot = split_foot(said.get("cue", ""))
    beats = int(said["counts"]) if said.get("counts", "").isdecimal() else 0
    kinds = (*kinds, *[""] * (len(cells) - len(kinds)))
    rest = [cell for kind, cell in zip(kinds, cells, strict=False) if cell and not kind]
    notes = re.sub(r"^(left|right)$", r"to the \1", said.get("notes", ""))
    if coded := row(said.get("steps", "")):
        line = cues.behind(cues.coded(evolve(coded, name=name), feet_of(said.get("feet", ""))), notes)
        line = evolve(line, foot=line.foot or foot) if line.name else line
        made: list[Item] = [line]
    else:
        made = list(cues.cues(said.get("steps") or said.get("cue", "")))
        if not made or not isinstance(last := made[-1], Line):
            return []
        made[-1] = cues.behind(last, notes)
    if len(made) > 1 or not isinstance(only := made[0], Line):
        return made
    counts = beats or cues.beats(only)
    return [evolve(only, counts=counts, stated=bool(beats), remark="; ".join(rest))]


def set_block(cells: list[str], kinds: tuple[str, ...], cues: Cues) -> Block:
    """Return the lines of a set, each column of beats a cue; `(cont.)` carries on the cue before."""
    items: list[Item] = []
    facing, total = "", 0
    for kind, cell in zip(kinds, cells, strict=False):
        if kind == "facing":
            facing = cell.casefold()
        if not kind.startswith("beats"):
            continue
        beats = int(kind.split()[1])
        total += beats
        if re.match(r"\(?cont", cell, re.IGNORECASE) and items and isinstance(last := items[-1], Line):
            items[-1] = evolve(last, counts=last.counts + beats, stated=True)
            continue
        made = cues.cues(cell) or (Remark(cell),)
        if len(made) == 1 and isinstance(only := made[0], Line):
            made = (evolve(only, counts=beats, stated=True),)
        items += made
    return Block(f"beats 1-{total}", tuple(items), facing if facing in ("front", "back") else "", cells[0])


_LEAD_BEATS = re.compile(r"^\s*(?:-\s*)?(?:\((\d{1,2})\)|(\d{1,2}))(?:\s*:\s*|\s{2,})(?=\S)")
_TO = re.compile(r"\b(?:to|at)\s+(?:the\s+)?(front|back)\b", re.IGNORECASE)
_BEATS = re.compile(r"(\d{1,3})\s+beats?\b", re.IGNORECASE)


def cue_sheet(reader: Reader) -> Outline:
    """Return the outline of a clogging routine."""
    sheet = Routine(reader)
    numbered = reader.numbered()
    sheet.learn([text for _, text in numbered])
    at = next((index for index, (_, text) in enumerate(numbered) if index and sheet.begins(text)), len(numbered))
    facts, left, told = header_of([text for _, text in numbered[:at]], "clogging")
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
        self.parts: list[OpenPart] = []
        self.facts: list[Fact] = []
        self.left: list[str] = []
        self.order = Order()
        self.ends: list[str] = []
        self.table: tuple[str, ...] = ()
        self.beats: dict[str, int] = {}
        self.waiting: Waiting | None = None
        self.danced: list[
            tuple[str, str]
        ] = []  # the order in which parts stand, those that are repeated together again
        self.several: list[tuple[int, str]] = []
        self.all = ""

    def begins(self, text: str) -> bool:
        """Say whether a line is no line of the header any more."""
        return bool(
            head(text)
            or columns(text)
            or SEQUENCE.match(text)
            and re.search(r"[:\t]|  ", text)
            or row(text)
            or re.match(r"\W*part\b", text, re.IGNORECASE)
            or "Part A" in text
        )

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
                    self.cues.define(split_foot(name)[0], forms, ", ".join(filter(None, (note, more))), facts)

    def read(self, numbered: list[tuple[int, str]]) -> None:
        """Read the lines from the first part on."""
        for number, text in numbered:
            self.line(number, text)
        self.flush()
        self.reader.open += self.reader.assumed.unsure

    def line(self, number: int, text: str) -> None:
        """Read one line."""
        if self.waiting is not None and self.waiting.takes(text):
            return self.reader.mark(number, "steps")
        self.flush()
        if kinds := columns(text):
            self.table = kinds
            return self.reader.mark(number, "heading")
        if self.table and "\t" in text:
            return self.row(number, text)
        if self.order.whole(text, [part.name for part in self.parts]):
            return self.reader.mark(number, "order")
        if SEQUENCE.match(text) and not re.match(r"\W*dance\b(?!\s*(?:order)?\s*:)", text, re.IGNORECASE):
            self.take_order(text)
            return self.reader.mark(number, "order")
        if re.match(r"\W*intro\b", text, re.IGNORECASE):
            stated, rest = facts_of(text, "clogging")
            self.facts += fresh(stated, self.facts)
            if not stated or re.search(r"(?!intro\b|wait\b|beats?\b)\b[a-z]{3,}", rest, re.IGNORECASE):
                self.left.append(tight(text))
            return self.reader.mark(number, "fact" if stated else "remark")
        if re.match(r"\s*beats\s*:", text, re.IGNORECASE):
            return self.reader.mark(number, "steps")
        if (found := definitions(text)) and not re.match(r"\s*(?:-\s*)?[(]?\d", text):
            if all(self.cues.footwork(spelled) for _, spelled in found):
                return self.reader.mark(number, "steps")
            self.left.append(tight(text))
            return self.reader.leave_open(number, text)
        if len(text) < 90 and self.again(number, text):
            return self.reader.mark(number, "order")
        if found_head := head(text):
            name, beats, said = name_of(found_head[0], self.all), *found_head[1:]
            if length := re.search(r"\(\s*(\d+) beats\s*\)\s*$", said):
                beats, said = beats or int(length[1]), said[: length.start()]
            self.begin(name, beats or self.beats.get(name.casefold(), 0), number)
            self.reader.mark(number, "heading")
            return self.body(number, said) if said else None
        return self.body(number, text) if self.parts else self.stray(number, text)

    def begin(self, name: str, beats: int, number: int) -> list[Item]:
        """Open a part; return its lines, which are still to come."""
        self.parts.append(OpenPart(name, beats, number))
        self.danced.append((name, ""))
        return self.parts[-1].lines

    def body(self, number: int, text: str) -> None:
        """Read cues, a row of codes, or sentences of the part that is open."""
        beats = 0
        if (found := _LEAD_BEATS.match(text)) and 0 < (stated := int(found[1] or found[2])) <= 16:
            beats, text = stated, text[found.end() :]
        several = len(text) > 90 or re.search(r"[a-z]\.\s+[A-Z\d]", text)
        coded = row(text)
        if coded and not several and not re.search(r"[,:]", coded.name) and not coded.rest.startswith(","):
            self.waiting = Waiting(coded, beats)
            return self.reader.mark(number, "steps")
        cut = r"(?<=[a-zA-Z)\]])\.\s+(?=[A-Z(\d])|(?<=once)\.\s+"
        for sentence in re.split(cut, text) if several else [text]:
            self.sentence(number, sentence, beats)

    def sentence(self, number: int, text: str, beats: int) -> None:
        """Read one sentence, or one line of cues."""
        part = self.parts[-1]
        said = text
        size, first, last = map(int, found.groups("0")[2:]) if (found := REPEATED.fullmatch(plain(said))) else (0, 0, 0)
        if last_lines := repeated(part.lines, size, first, last, tight(said)):
            part.lines += last_lines
            return self.reader.mark(number, "steps")
        if is_author(said) or re.search(r"\ball (?:parts )?start\b", said):
            return self.stray(number, text)
        if SEQUENCE.match(said) and re.search(r"[:,]|  ", said):
            self.take_order(said)
            return self.reader.mark(number, "order")
        if definitions(said) and re.search(r"\bis [A-Z]{2}|=", said):
            return self.reader.mark(number, "steps")
        if self.again(number, said):
            if length := _BEATS.search(said):
                part.once = int(length[1])
            if (total := re.search(r"\((\d+) beats in all\)", said)) is not None:
                part.total = int(total[1])
            part.halfway = _at(said) or part.halfway
            return self.reader.mark(number, "order")
        if length := re.match(r"\W*(?:that makes |that is |and )?(\d{1,3}) beats\b(.*)", said, re.IGNORECASE):
            part.contract += ["no turn"] if re.search(r"\bno turn\b", said, re.IGNORECASE) else []
            talk = re.fullmatch(r"(?:no turn|and you are at the \w+)", length[2].strip(" ,."), re.IGNORECASE)
            part.lasts(length[1], _at(said), "" if talk else length[2])
            return self.reader.mark(number, "steps")
        if length := re.search(r",\s*(\d{1,3}) beats\b(.*)$", said):
            part.lasts(length[1], _at(length[2]), "" if _at(length[2]) else length[2])
            said = said[: length.start()]
        made = list(self.cues.cues(said))
        inner = [item for each in made for item in (each.lines if isinstance(each, Block) else (each,))]
        lines = [item for item in inner if isinstance(item, Line)]
        if not lines:
            return self.stray(number, text)
        if beats and len(lines) == 1:
            made = [evolve(item, counts=beats, stated=True) if isinstance(item, Line) else item for item in made]
        elif beats and beats != (known := sum(self.cues.beats(line) for line in lines)):
            self.reader.open.append(f"line {number}: {beats} beats are stated, {known} are read: {tight(text)}")
        part.lines += [each for item in made for each in self.counted(item)]
        self.reader.mark(number, "steps")
        for line in lines:
            if line.blank:
                self.reader.leave_open(number, line.remark, "blank")

    def counted(self, item: Item) -> list[Item]:
        """Return a line with the beats that it lasts; a row that is danced several times as so many lines."""
        if isinstance(item, Block):
            return [evolve(item, lines=tuple(each for line in item.lines for each in self.counted(line)))]
        if not isinstance(item, Line):
            return [item]
        times = item.times if item.moves else 1
        line = evolve(item, times=1) if item.moves else item
        return [evolve(line, counts=line.counts or self.cues.beats(line))] * times

    def stray(self, number: int, text: str) -> None:
        """Keep a line that says no steps: a remark, or open where it may say some."""
        said = tight(text)
        if found_all := re.search(r"\ball (?:parts )?start (?:on )?(?:the )?(left|right|l|r)\b", said, re.IGNORECASE):
            for part in self.parts:
                part.contract.append({"l": "left foot", "r": "right foot"}[found_all[1][0].casefold()])
        stepping = re.search(r"\b(?:DS|RS|beats?|turn\w*|steps?|stomp\w*|[Rr]epeat)\b", said)
        if self.parts and stepping and "=" not in said:
            self.reader.leave_open(number, said)
        if (named := re.search(r"\bPart ([A-Z])\b", said)) and (length := _BEATS.search(said)):
            beats = int(length[1])
            self.begin(named[1], beats, number).append(Line(blank=True, counts=beats, remark=said))
            return self.reader.leave_open(number, said, "blank")
        found, _ = facts_of(text, "clogging")
        self.facts += fresh(found, self.facts, ("lead",))
        if any(fact.key == "lead" for fact in found):
            self.reader.mark(number, "fact")
        if not any(fact.key == "author" for fact in self.facts) and is_author(said):
            people, _, more = re.sub(r"^cues\s+", "", said).partition(" who ")
            self.facts.append(author(people))
            self.ends += [f"who {more}"] if more else []
            self.reader.mark(number, "fact")
        elif self.parts and self.parts[-1].lines:
            self.ends.append(said)
        else:
            self.left.append(said)
        self.reader.mark(number, self.reader.kinds.get(number, "remark"))

    def flush(self) -> None:
        """Put the row that waits for its feet into its part."""
        if (waiting := self.waiting) is None:
            return
        line = self.cues.coded(waiting.row, waiting.feet)
        behind = re.sub(r"\(\d+ beats?\)", "", waiting.row.rest.replace('"', ""))
        line = self.cues.behind(line, re.sub(r"\bfwd\b", "forward", behind))
        if waiting.stated:
            line = evolve(line, counts=waiting.stated, stated=True)
        items = self.counted(waiting.placed(line))
        held, (first, last) = self.parts[-1].lines, waiting.span
        if last and held and isinstance(before := held[-1], Block) and first > 1:
            items = [evolve(before, head=f"beats 1-{last}", lines=(*before.lines, *items))]
            held.pop()
        elif last:
            items = [Block(f"beats {first}-{last}", tuple(items))]
        held += items
        self.waiting = None

    def row(self, number: int, text: str) -> None:
        """Read a row of a table."""
        cells = [cell.strip() for cell in text.split("\t")]
        said = dict(zip(self.table, cells, strict=False))
        if self.table[0] == "section" and any(kind.startswith("beats ") for kind in self.table):
            return self._set(number, cells)
        coded = said.get("steps") and row(said["steps"])
        if not cells[0] and len(cells) > 1 and not (coded and not head(cells[1] + ":")):
            kept = self.table
            word = next((cell for cell in cells if cell), " ")
            rest = ", ".join(cell for cell in cells[cells.index(word) + 1 :] if cell) if word in cells else ""
            self._retold(number, f"{word}:  {rest}" if rest and not REPEAT.search(word) else word)
            self.table = kept
        elif SEQUENCE.match(cells[0]) or head(cells[0] + ":") and not re.match(r"^[A-Z]\d", cells[0]):
            self._retold(number, f"{cells[0]}:  {'  '.join(cells[1:])}")
        elif self.parts and (lines := row_lines(cells, said, self.table, self.cues)):
            self.parts[-1].lines += lines
            self.reader.mark(number, "steps")
        else:
            self.stray(number, text)

    def _retold(self, number: int, text: str) -> None:
        """Read a row that ends the table as a line."""
        self.table = ()
        self.line(number, text)
        self.flush()

    def _set(self, number: int, cells: list[str]) -> None:
        """Read a row of a table with a set and its beats: `A1`, cues for beats 1 to 4 and 5 to 8, the facing after."""
        if not (named := re.match(r"([A-Z])\d+$", cells[0])):
            return self._retold(number, "  ".join([f"{cells[0]}:", *cells[1:]]))
        if not self.parts or self.parts[-1].name != named[1]:
            self.begin(named[1], 0, number)
        self.parts[-1].lines.append(set_block(cells, self.table, self.cues))
        self.reader.mark(number, "steps")

    def again(self, number: int, text: str) -> bool:
        """Take a part that is danced again: `Repeat A to the front`; return whether there is such a part."""
        if not (found := REPEAT.search(text)):
            return False
        name = next(word for word in found.groups() if word)
        lettered = len(name) == 1 or re.search(r"part", text, re.IGNORECASE)
        called = name_of(f"part {name}" if lettered else name, self.all)
        part = next((each for each in self.parts if each.name.casefold() == called.casefold()), None)
        if part is None:
            return False
        facing = _TO.findall(text)
        if several := re.search(rf"\b{re.escape(name)}(?:\s*(?:&|,|and)\s*(?:part\s+)?[A-Z]\b)+", text):
            self.several.append((number, text))
            self.danced += [(each, "") for each in re.findall(r"\b[A-Z]\b", several[0])]
            self.danced += [(f"expect facing {wall.casefold()}", tight(text)) for wall in facing[-1:]]
            return True
        part.repeat = facing[-1].casefold() if facing else "again"
        part.repeat_remark = tight(text).strip("()")
        if total := re.search(r"=\s*(\d+)|(\d+) beats in all", text):
            part.total = int(total[1] or total[2])
        if (more := re.search(r"(\d+) more", text)) and part.beats:
            part.total = part.beats + int(more[1])
        return True

    def take_order(self, text: str) -> None:
        """Take the sequence; what is danced at its end is a part."""
        if ending := self.order.take(text):
            self.begin("Ending", 0, 0).extend(each for item in self.cues.cues(ending) for each in self.counted(item))

    def outline(self) -> Outline:
        """Return all that was read."""
        names = self.order.danced([part.name for part in self.parts])
        if self.order.left:
            self.ends.append(self.order.left)
            if not re.search(r"\bis\b|^[A-Z][a-z]+ ", self.order.left):
                self.reader.open.append(f"the order of the parts: {self.order.left}")
        drafts, named = {part.name: part for part in self.parts}, {re.sub(r" x\d+$", "", name) for name in names}
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
            if part.name not in named and re.match(r"end|last|finish", part.name, re.IGNORECASE):
                out.append((part.name, ""))
        unsure = out or not {name for name, _ in self.danced if "expect" not in name} <= set(drafts)
        for number, said in self.several if unsure else ():
            self.reader.leave_open(number, said)
            self.ends.append(tight(said))
        if not out and self.parts:
            out = [(part.name, "") for part in self.parts] if unsure else self.danced
            self.reader.assumed.add("the parts are danced in the order in which they stand")
        told = [Fact("book", "clogging"), *fresh([Fact("lead", "left")], self.facts)]
        if len(told) > 1:
            self.reader.assumed.add("lead left")
        told += [fact for fact in self.facts if fact.key not in ("counts", "walls")]
        parts = tuple(part.finished(part.name in twice, self.reader) for part in self.parts if part.lines)
        figures = tuple(self.cues.defined.values())
        return Outline(fields(told), "clogging", tuple(self.left), figures, parts, tuple(out), tuple(self.ends))


def _at(text: str) -> str:
    """Return the wall that dancers are said to be at, back or front, "" if none is said."""
    found = re.search(r"\bat the (back|front)\b", text)
    return found[1] if found else ""
