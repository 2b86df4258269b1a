"""Puts the parts that were read together as the outline of a sheet: its header, its parts, and how it is danced."""

import itertools
import re
from collections.abc import Iterable

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.drafts.aims import sided
from stepcheck.drafts.changed import agrees, how_many
from stepcheck.pages.facts import Fact, fields, said_of
from stepcheck.pages.order import ORDER_WORD, called, names_parts, tokens
from stepcheck.pages.page import EACH, Page
from stepcheck.pages.parts import OpenPart, believed, source_of
from stepcheck.pages.passes import Restart, Tag
from stepcheck.pages.reader import Opened, Reader
from stepcheck.routines.listed import by_name
from stepcheck.routines.order import Danced, order
from stepcheck.steps.outline import Item, Line, Outline, Part, Remark, each_line, solid
from stepcheck.steps.steps import SIDE
from stepcheck.steps.vocabulary import tight
from stepcheck.steps.words import CLOSES


def assembled(page: Page) -> Outline:
    """Return all that was read, as what the sheet will hold."""
    return _settled(sided(_danced(page) if page.parted else _passes(page), page.reader), page.reader.book)


def _settled(outline: Outline, book: Book) -> Outline:
    """Return an outline of which the header settles how a figure ends, `Vine: ends in a touch`, where each line that
    dances it in its usual way says so; these lines have its plain name."""
    told: dict[str, str] = {}
    bare = {figure.name for line in outline.lines if line.name for figure in book.find(line.name)}

    def plainly(line: Line) -> Line:
        name, _, ending = line.name.partition(" ending ")
        found = book.find(name) if ending else ()
        if not found or found[0].versions[found[0].usual].label != f"ends {ending}":
            return line
        told[found[0].name] = f"ends {ending}"
        return evolve(line, name=name)

    parts = tuple(evolve(p, lines=tuple(each_line(item, plainly) for item in p.lines)) for p in outline.parts)
    settled = [(name, ending, "") for name, ending in told.items() if name not in bare]
    return evolve(outline, parts=parts, header=(*outline.header, *settled))


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
    parts += _tags(page)
    for tag in page.passes.tags:
        if not solid(tuple(tag.items)):
            reader.leave_open(tag.number, tag.source, "blank")
        if not tag.walls:
            reader.note(f"{tag.name}: on which walls it is danced is not said")
    header = _header(page)
    reader.open += [
        Opened(0, f"the dance: no steps of {part.name} are read") for part in parts if not solid(part.lines)
    ]
    if not page.closing:
        reader.assumed.add("danced until the music ends")
    dance = tuple(_danced_over(page)) if main.items else ()
    return Outline(header, "line", tuple(page.left), (), tuple(parts), dance, tuple(page.ends))


def _tags(page: Page) -> list[Part]:
    """Return tags, and the end of the dance, as parts."""
    end = page.passes.end
    return [
        Part(
            tag.name,
            (f"{tag.counts} counts",) if tag.counts else (),
            tuple(
                believed(
                    tag.items if solid(tuple(tag.items)) else [*tag.items, Line(blank=True)],
                    tag.counts,
                    [(tag.number, tag.source), *_sources(tag.items, tag.number, page.reader)],
                    page.reader,
                )
            ),
        )
        for tag in (*page.passes.changes, *page.passes.tags, *([end] if end and end.items else []))
    ]


def _danced_over(page: Page) -> list[tuple[str, str]]:
    """Return the lines of the dance, each with its comment: passes, cut ones, tags, until the music ends."""
    told, part = page.passes, "Main"
    out: list[tuple[str, str]] = []
    done = 0

    def passes(upto: int, begun: int = 0) -> None:
        """Dance the passes up to one, and say where each starts of which that is said, and the one that is `begun`."""
        nonlocal done
        for stop in sorted({upto, *(at - 1 for at in told.starts if done < at <= upto)}):
            if stop > done:
                out.append((f"{part} x{stop - done}" if stop - done > 1 else part, ""))
                done = stop
            face = told.starts.get(stop + 1) if stop < upto or begun else ""
            out.extend([(f"expect facing {face}", "")] if face else [])

    changes: list[tuple[int, int, Restart | Tag]] = [(each.wall, 0, each) for each in told.restarts]
    changes += [(each, 1, tag) for tag in told.tags for each in tag.walls]
    for at, _, change in sorted(changes, key=lambda each: each[:2]):
        if isinstance(change, Restart):
            if at <= done or not change.counts:
                continue
            passes(at - 1, at)
            out.append((f"{part}, first {change.counts} counts", change.text or "restart"))
            done = at
            out += [(change.behind, "")] * bool(change.behind)
            said = ", ".join(filter(None, (change.facing and f"facing {change.facing}", change.foot)))
            out += [(f"expect {said}", "")] if said else []
        else:
            passes(at)
            if face := change.facings[change.walls.index(at)]:
                out.append((f"expect facing {face}", ""))
            out.append((change.name, change.source if not any(name == change.name for name, _ in out) else ""))
    out += [("", said) for said in told.remarks]
    if told.end and told.end.walls and told.end.walls[0] > done:
        passes(told.end.walls[0] - 1, told.end.walls[0])
        last = f"{part}, first {told.cut} counts" if told.cut != told.total else part
        out.append((last, told.end.source * (not told.end.items)))  # a pose
        out += [(f"expect facing {told.end.facings[0]}", "")] if told.end.facings[0] else []
        return [*out, *[("Ending", told.end.source)] * bool(told.end.items)]
    out.append((f"{part} until the music ends", page.closing))
    return out


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
        if fact.key == "walls":
            reader.note(f"the number of walls, {fact.value}, is said of no single part")
    unsaid = {"counts", "walls"} if several else {"counts"}
    told += [fact for fact in page.facts if fact.key not in unsaid]
    for fact in page.facts:
        if fact.key == "level":
            reader.assumed.add(f"level {fact.remark or fact.value}: in {'the club' if fact.remark else 'no'} scheme")
    return fields(told)


def _missing(page: Page, names: Iterable[str]) -> None:
    """Put a blank into each part of which only the counts are read; name those of the sequence that no part has."""
    for part in page.parts:
        if not part.items and part.beats:
            said = "; ".join(each.title for each in part.sections if each.title)
            part.sections[-1].items.append(Line(blank=True, counts=part.beats, measured=True, remark=said))
            page.reader.note(f"{part.name}: none of its {part.beats} counts are read")
    read = {
        part.name
        for part in page.parts
        if any(not isinstance(i, Line) or i.moves or i.name or i.counts or i.blank for i in part.items)
    }
    for name in (name for name in names if name not in read):
        page.reader.note(f"the order of the parts: no part {name} is read")


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
        several = 2 * len(said) >= len(tokens(text)) > 2 or (len(said) > 3 and len({*said}) > 1)
        if several and page.reader.kinds.get(number) not in ("steps", "order"):
            page.reader.leave_open(number, text)
            unread = True
    if unread:
        return []
    page.reader.assumed.add("the parts are danced in the order in which they stand")
    empty = {part.name for part in page.parts if not part.items}
    return [each for each in danced if each[0] not in empty]


def _in_a_row(page: Page) -> str:
    """Return the line that is nothing but parts in a row, `V C V C B`, where none has a word for the order; "" for
    none."""
    names = {part.name for part in page.parts}
    for _, text in page.reader.numbered():
        danced, left = order(text, [*names])
        if len(danced) > 2 and not left and names & {each.name for each in danced}:
            return text
    return ""


def _starred(page: Page) -> None:
    """Name a sequence as open in which a star says of a part what is not read."""
    for number, text in page.reader.numbered():
        stars = ORDER_WORD.match(text) and re.search(r"\w\*(?!\w|\*)", text)
        if stars and not any("*" in part.name for part in page.parts):
            page.reader.leave_open(number, text)


def _partly(page: Page, left: str) -> bool:
    """Say whether a sequence is read in part only, which is open: a number or a letter is `left` of it, or parts are
    named there or beside it."""
    known = [*(part.name for part in page.parts), *page.names]
    partly = bool(re.search(r"\d|\b[A-H]\b", left)) or any(names_parts(e, known) for e in (left, page.order.beside))
    said = tight(page.order.said) if partly else left
    page.ends += [said] * bool(said)
    if partly or (left and not re.search(r"\bis\b|^[A-Z][a-z]+ ", left)):
        page.reader.note(f"the order of the parts: {said}")
    return partly


def _call(page: Page, danced: Danced) -> tuple[str, str]:
    """Return how the dance calls a part of the sequence, its half by its counts, and what of it isn't known."""
    name, first, changed = danced.name, danced.first, danced.changed
    if danced.half:
        first = next((part.beats // 2 for part in page.parts if part.name == name), 0)
        page.reader.assumed.add(f"half of {name} is its first half")
        changed = changed or f"half of {name}" * (not first)
    said = f"{name} x{danced.times}" if danced.times > 1 else name
    return ("" if changed else f"{said}, first {first} counts" if first else said), tight(changed)


def _danced(page: Page) -> Outline:
    """Return a dance of parts in the order of its sequence."""
    reader = page.reader
    page.ends += [page.closing] * bool(page.closing)
    _starred(page)
    page.order.said = page.order.said or _in_a_row(page)
    danced, left = order(page.order.said, [*(part.name for part in page.parts), *page.alias])
    danced = by_name(danced, page.alias)
    calls = [_call(page, each) for each in danced]
    page.changed = [changed for _, changed in calls if changed]
    reader.open += [Opened(0, f"the order of the parts: {said}") for said in page.changed]
    danced, calls = ([], []) if (partly := _partly(page, left)) else (danced, calls)
    named = dict.fromkeys(each.name.removesuffix(", opposite foot") for each in danced)
    _missing(page, named)
    drafts = {part.name: part for part in page.parts}
    out: list[tuple[str, str]] = []
    twice: set[str] = set()
    runs = [(name, len(list(group))) for name, group in itertools.groupby(said for said, _ in calls)]
    alone = {name for name, size in runs if size % 2}  # a part that stands alone somewhere has its repeat in it
    for each, before, (name, changed) in zip(danced, [("", ""), *calls], calls, strict=False):
        out += [(name, changed), *[(f"expect facing {each.facing}", "")] * bool(each.facing)]
        part = drafts.get(name)
        if part and part.repeat and before[0] == name and name not in alone:
            if name not in twice and part.repeat != "again":
                out.append((f"expect facing {part.repeat}", part.repeat_remark))
            twice.add(name)
    out += [
        (part.name, "") for part in page.parts if out and part.items and part.name not in named and _LAST(part.name)
    ]
    told = {re.sub(r" x\d+$|, opposite foot$", "", name) for name, _ in page.danced if "expect" not in name}
    unsure = out or not told <= set(drafts)
    for number, said in page.several if unsure else ():
        reader.leave_open(number, said)
        page.ends.append(tight(said))
    if not out and page.parts and not partly:
        out = _as_they_stand(page, [(part.name, "") for part in page.parts] if unsure else page.danced)
    header = _header(page)
    parts = [part.finished(part.name in twice, reader) for part in page.parts if part.items]
    return Outline(header, "line", tuple(page.left), (), (*parts, *_tags(page)), tuple(out), tuple(page.ends))
