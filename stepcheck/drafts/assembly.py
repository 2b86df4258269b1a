"""Puts the parts that were read together as the outline of a sheet: its header, its parts, and how it is danced."""

import itertools
import re

from attrs import evolve

from stepcheck.drafts.summaries import agrees, how_many
from stepcheck.pages.facts import Fact, fields, said_of
from stepcheck.pages.order import ORDER_WORD, called, names_parts
from stepcheck.pages.page import EACH, Page
from stepcheck.pages.parts import OpenPart, believed, source_of
from stepcheck.pages.reader import Reader
from stepcheck.steps.outline import Item, Line, Outline, Part, Remark, solid
from stepcheck.steps.steps import SIDE
from stepcheck.steps.vocabulary import tight
from stepcheck.steps.words import CLOSES


def assembled(page: Page) -> Outline:
    """Return all that was read, as what the sheet will hold."""
    return _danced(page) if page.parted else _passes(page)


def _passes(page: Page) -> Outline:
    """Return a line dance of one part, danced over and over."""
    reader = page.reader
    total = page.total
    main = page.parts[0] if page.parts else OpenPart("Main", 0)
    main.summed(total)
    main.beats, main.exact, main.each = total, False, page.each
    made = main.finished(False, reader)
    _each(page, main)
    contract = (f"{total} counts",) if total else ()
    parts = [evolve(made, contract=contract)] if main.items else []
    unsaid = page.passes.announced()
    for number, text in page.counted:
        if not agrees(how_many(text), page.passes):
            reader.leave_open(number, text)
    for number, text in reader.numbered():
        if tight(text) in unsaid:
            reader.leave_open(number, text)
    parts += [
        Part(
            tag.name,
            (f"{tag.counts} counts",) if tag.counts else (),
            tuple(
                believed(
                    tag.items if solid(tuple(tag.items)) else [*tag.items, Line(blank=True)],
                    tag.counts,
                    [(tag.number, tag.source), *_sources(tag.items, tag.number, reader)],
                    reader,
                )
            ),
        )
        for tag in (*page.passes.changes, *page.passes.tags, *(end for end in [page.passes.end] if end and end.items))
    ]
    for tag in page.passes.tags:
        if not solid(tuple(tag.items)):
            reader.leave_open(tag.number, tag.source, "blank")
        if not tag.walls:
            reader.open.append(f"{tag.name}: on which walls it is danced is not said")
    header = _header(page)
    reader.open += [f"the dance: no steps of {part.name} are read" for part in parts if not solid(part.lines)]
    if not page.closing:
        reader.assumed.add("danced until the music ends")
    dance = tuple(page.passes.dance("Main", page.closing)) if main.items else ()
    return Outline(header, "line", tuple(page.left), (), tuple(parts), dance, tuple(page.ends))


def _each(page: Page, part: OpenPart) -> None:
    """Take the line that says how many counts each section has for a fact, where all have just these."""
    for number, text in page.reader.numbered():
        sizes = {section.length or section.counts for section in part.sections if section.used}
        if EACH.fullmatch(text) and sizes == {page.each}:
            page.reader.mark(number, "fact")


def _sources(items: list[Item], head: int, reader: Reader) -> list[tuple[int, str]]:
    """Return the lines that the lines of a tag were read from, without that of its head."""
    numbers = {*map(source_of, items)} - {head}
    return [(number, text) for number, text in reader.numbered() if number in numbers]


def _header(page: Page) -> tuple[tuple[str, str, str], ...]:
    """Return the fields of the header; a lead that isn't said is that of the first step, else of the tradition."""
    reader = page.reader
    told = [Fact("book", "line")]
    if not re.search(r"line danc", page.all, re.IGNORECASE):
        reader.assumed.add("book line")
    if not said_of("lead", page.facts):
        items = (item for part in page.parts for item in part.items if not isinstance(item, Remark))
        first = item.lead if isinstance(item := next(items, None), Line) else ""
        lead = SIDE[first or "R"]
        told.append(Fact("lead", lead))
        reader.assumed.add(f"lead {lead}" + (": the first step is the left foot's" if first == "L" else ""))
    several = page.parted and len(page.parts) > 1  # a lap is that of one part
    for fact in page.facts if several else ():
        page.left += [f"walls: {fact.value}"] * (fact.key == "walls")
        reader.open += [f"the number of walls, {fact.value}, is said of no single part"] * (fact.key == "walls")
    unsaid = {"counts", "walls"} if several else {"counts"}
    told += [fact for fact in page.facts if fact.key not in unsaid]
    for fact in page.facts:
        if fact.key == "level":
            reader.assumed.add(f"level {fact.remark or fact.value}: in {'the club' if fact.remark else 'no'} scheme")
    return fields(told)


def _missing(page: Page, names: list[str]) -> None:
    """Put a blank into each part of which only the counts are read; name those of the sequence that no part has."""
    for part in page.parts:
        if not part.items and part.beats:
            said = "; ".join(each.title for each in part.sections if each.title)
            part.sections[-1].items.append(Line(blank=True, counts=part.beats, measured=True, remark=said))
            page.reader.open.append(f"{part.name}: none of its {part.beats} counts are read")
    called = dict.fromkeys(re.sub(r" x\d+$|, (?:first|opposite) .*", "", name) for name in names)
    read = {
        part.name
        for part in page.parts
        if any(not isinstance(i, Line) or i.moves or i.name or i.counts or i.blank for i in part.items)
    }
    for name in (name for name in called if name not in read):
        page.reader.open.append(f"the order of the parts: no part {name} is read")


_LAST = re.compile(rf"(?i)(?:the |tail )?(?:{'|'.join(CLOSES)})").match


def _as_they_stand(page: Page, danced: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Return the parts as they are told, where no order is said; nothing where a line names parts in a row, and was not
    read as their order: that is open."""
    names = "|".join(called(part.name) for part in page.parts if len(part.name) > 1)
    unread = any(ORDER_WORD.fullmatch(f"{text.strip(' :*')}:") for _, text in page.reader.numbered())
    for number, text in page.reader.numbered() if names else ():
        if re.search(r"(?i)\b(?:restart|after wall|of wall|walls? \d)", text):
            unread = True  # how it is danced depends on the walls
        said = [each[0].casefold() for each in re.finditer(rf"(?i)(?<!\w)(?:{names})(?!\w)", text)]
        unread = unread or bool(ORDER_WORD.match(text) and not said and len(re.findall(r"\w+", text)) > 3)
        if len(said) > 3 and len({*said}) > 1 and page.reader.kinds.get(number) not in ("steps", "order"):
            page.reader.leave_open(number, text)
            unread = True
    if unread:
        return []
    page.reader.assumed.add("the parts are danced in the order in which they stand")
    empty = {part.name for part in page.parts if not part.items}
    return [each for each in danced if each[0] not in empty]


def _starred(page: Page) -> None:
    """Name a sequence as open in which a star says of a part what is not read."""
    for number, text in page.reader.numbered():
        stars = ORDER_WORD.match(text) and re.search(r"\w\*(?!\w|\*)", text)
        if stars and not any("*" in part.name for part in page.parts):
            page.reader.leave_open(number, text)


def _partly(page: Page) -> bool:
    """Say whether a sequence is read in part only, which is open: parts are named beside it, or behind what is read."""
    order, known = page.order, [*(part.name for part in page.parts), *page.names]
    partly = any(names_parts(said, known) for said in (order.left, order.beside))
    page.ends += [order.left] * bool(order.left)
    doubted = order.left and not re.search(r"\bis\b|^[A-Z][a-z]+ ", order.left)
    said = [order.left] * bool(doubted) + [tight(order.said)] * partly
    page.reader.open += [f"the order of the parts: {each}" for each in said]
    return partly


def _danced(page: Page) -> Outline:
    """Return a dance of parts in the order of its sequence."""
    reader, order = page.reader, page.order
    page.ends += [page.closing] * bool(page.closing)
    _starred(page)
    names = [page.alias.get(name, name) for name in order.danced([*(part.name for part in page.parts), *page.alias])]
    lasting = {part.name: part.beats for part in page.parts}
    for at, name in enumerate(names):
        if (whole := name.removesuffix(", first half")) != name:
            size = lasting.get(whole, 0) // 2
            names[at] = f"{whole}, first {size} counts" if size else whole
            reader.assumed.add(f"half of {whole} is its first half")
            order.changed |= {} if size else {at: f"half of {whole}"}
    reader.open += [f"the order of the parts: {tight(said)}" for said in order.changed.values()]
    names = [] if (partly := _partly(page)) else names
    _missing(page, names)
    drafts = {part.name: part for part in page.parts}
    named = {re.sub(r" x\d+$|, (?:first|opposite) .*", "", name) for name in names}
    out: list[tuple[str, str]] = []
    twice: set[str] = set()
    runs = [(name, len(list(group))) for name, group in itertools.groupby(names)]
    alone = {name for name, size in runs if size % 2}  # a part that stands alone somewhere has its repeat in it
    for index, name in enumerate(names):
        changed = order.changed.get(index, "")  # what is danced then, and how long, isn't known
        out.append((name * (not changed), tight(changed)))
        part = drafts.get(name)
        if part and part.repeat and index and names[index - 1] == name and name not in alone:
            if name not in twice and part.repeat != "again":
                out.append((f"expect facing {part.repeat}", part.repeat_remark))
            twice.add(name)
    out += [(part.name, "") for part in page.parts if out and part.items and {part.name} - named and _LAST(part.name)]
    danced = {re.sub(r" x\d+$", "", name) for name, _ in page.danced if "expect" not in name}
    unsure = out or not danced <= set(drafts)
    for number, said in page.several if unsure else ():
        reader.leave_open(number, said)
        page.ends.append(tight(said))
    if not out and page.parts and not partly:
        out = _as_they_stand(page, [(part.name, "") for part in page.parts] if unsure else page.danced)
    header = _header(page)
    parts = tuple(part.finished(part.name in twice, reader) for part in page.parts if part.items)
    return Outline(header, "line", tuple(page.left), (), parts, tuple(out), tuple(page.ends))
