"""Reads a description line by line: each line is of the first kind that takes it."""

import re
from collections.abc import Callable

from attrs import evolve, frozen

from stepcheck.drafts.changed import wall_by_wall
from stepcheck.drafts.laying import lay, optional, steps, steps_again
from stepcheck.drafts.prose import prose
from stepcheck.drafts.recalled import headed_again, named_again, part_again, sections_again
from stepcheck.drafts.remainder import another, change, claimed, danced_again, steps_beside, stray, whole_part_again
from stepcheck.drafts.retold import counts_again, times_again
from stepcheck.drafts.tables import facing_said, table_row
from stepcheck.pages.columns import columns
from stepcheck.pages.facts import Fact, claim_behind, claims, fresh
from stepcheck.pages.header import header_of
from stepcheck.pages.heads import RETOLD, Heading, is_imprint, is_number, name_of
from stepcheck.pages.layout import plainly
from stepcheck.pages.order import ORDER_WORD, PART_LASTS, REMARK, is_legend, listed_lengths, tokens
from stepcheck.pages.page import NUMBERED, Page, dances, first_step, headed, of_one_time, sectioned, titling
from stepcheck.pages.parts import Section
from stepcheck.pages.passes import again, is_change, of_walls
from stepcheck.steps.counts import counted, cut, lasting, sentences, unbulleted
from stepcheck.steps.outline import Remark
from stepcheck.steps.phrases import INSTEAD
from stepcheck.steps.steps import Aside, Facing, Unread, Weighted, clock
from stepcheck.steps.vocabulary import plain, tight
from stepcheck.steps.words import UNITS


@frozen
class Said:
    """A line of the source: its number, its text, the two lines behind it, whether an empty one stands before it, and
    whether it is set as a heading."""

    number: int
    text: str
    following: tuple[str, ...] = ()
    gap: bool = False
    headed: bool = False


_FIELDS = re.compile(r"//|\s{3,}")
"""What stands between the fields of a header, each of which speaks of a wall of its own."""


def read_page(page: Page) -> None:
    """Read the whole description."""
    numbered = page.reader.numbered()
    at = first_step(page, numbered)
    page.left += [tight(text) for _, text in numbered[:at] if is_legend(text)]
    above = [(number, text) for number, text in numbered[:at] if not is_legend(text)]
    top = [
        (number, lengths(page, text))
        for number, text in above
        if not take_order(page, text, number) or page.order.beside
    ]
    facts, left, told, beside = header_of(["" if of_walls(text) else text for _, text in top], "line")
    page.beside += [(top[index][0], said) for index, said in beside]
    for index, (number, _) in enumerate(top):
        page.reader.mark(number, "fact" if index in told or listed_lengths(dict(numbered)[number]) else "remark")
    page.facts = [*facts, *fresh(page.facts, facts)]
    for number, text in above:
        page.reader.mark(number, page.reader.kinds.get(number, "order"))
        if tight(text) in left and dances(page, text):
            page.reader.leave_open(number, text)
    changing = {text: [*filter(is_change, _FIELDS.split(text))] for _, text in top if is_change(text)}
    for number, text in top:
        for field in changing.get(text, ()):
            change(page, number, field)
    page.tag = None  # its steps stand below, and those of the dance before them
    page.left += [said for said in left if said not in {tight(text) for text in changing if changing[text]}]
    for index, (number, text) in enumerate(numbered[at:], at):
        following = tuple(later for _, later in numbered[index + 1 : index + 3])
        page.at, laid = index, page.reader.laid[index]
        one(page, Said(number, text, following, laid.gap, laid.headed))
        danced = page.reader.kinds.get(number) in ("steps", "blank", "open")
        if page.parts and danced:
            page.sourced(number, text)


def lengths(page: Page, text: str) -> str:
    """Return a line without what it says of the lengths of parts, which are kept: `Part A is 32 counts`."""
    for found in PART_LASTS.finditer(text) if page.parted else ():
        page.beats[name_of(found[1], page.names).casefold()] = int(found[2])
    return re.sub(r"\(\s*\)", " ", PART_LASTS.sub(" ", text)) if page.parted else text


def take_order(page: Page, text: str, number: int) -> bool:
    """Take the sequence, where a line is one; what is danced at its end is a part."""
    label = ORDER_WORD.match(text)
    if not page.parted or (number != page.ordered and not (label and _orders(page, text))):
        return False
    ending = page.order.take(text, page.names)
    if page.order.wait:
        page.facts += fresh([Fact("wait", f"{page.order.wait} counts")], page.facts)
    if ending:
        said = page.group(ending)
        page.begin("Ending", 0).sections[-1].items.extend(page.rows(said))
    return True


def _orders(page: Page, text: str) -> bool:
    """Say whether a line with a word for the sequence names parts."""
    if not re.search(r"[:,\t|]|  | - |\b[A-H]\d?(?: ?[A-H]\d?)+\b", text):
        return False
    if re.match(r"(?i)\W*dance\b(?!\s*(?:order)?\s*:| it\b)", text):
        return False
    known = {name.casefold() for name in (*page.names, *(part.name for part in page.parts))}
    spoken = {word.casefold() for word in tokens(text)}
    return bool(known & spoken) or any(" " in name and name in text.casefold() for name in known)


def one(page: Page, line: Said) -> None:
    """Read one line as the first kind that takes it."""
    if page.parts and optional(page, line.number, line.text):
        return None
    noted = REMARK.match(line.text)
    paper = is_change(line.text) or is_imprint(line.text)
    instead = (INSTEAD.match(line.text) and not paper) or of_one_time(page, line.text)
    if (noted and not is_change(bare := line.text[noted.end() :])) or is_legend(line.text) or instead:
        if instead or re.search(r"(?i)\bwalls? \d|\bwalls? (?:one|two|three|four|five|six)\b", line.text):
            page.reader.leave_open(line.number, line.text)
        return page.ends.append(tight(line.text))
    line = evolve(line, text=bare) if noted else line
    said, behind = claim_behind(line.text)
    if behind and page.steps(said) and counted(behind) is None:
        one(page, evolve(line, text=said))
        if not claimed(page, line.number, behind):
            page.reader.leave_open(line.number, behind)
        return None
    parted = headed(page, line.text) or re.search(r"\b[A-H]\b", line.text) or page.order.repeat(line.text)
    if not parted and claimed(page, line.number, line.text):
        return None
    if _over(page, line):
        page.reader.leave_open(line.number, line.text)
        return page.ends.append(tight(line.text))
    if not any(kind(page, line) for kind in _KINDS):
        stray(page, line.number, line.text)
    return None


def _over(page: Page, line: Said) -> bool:
    """Say whether steps in a line are none of the dance: from an empty line on behind all its counts, or behind the
    words that it begins again, only lines that begin with counts, heads, restarts, tags and the end are."""
    page.over = page.over or bool(line.gap and not (page.parted or page.tag) and (page.closing or page.full))
    heads = is_change(line.text) or sectioned(page, line.text, next(iter(line.following), ""))
    led = heads or page.tag or again(line.text) or re.match(r"\W*[\d&]", line.text)
    return bool(page.over and not led and (page.steps(line.text) or counted(line.text)))


# --- kinds of lines, each of which says whether it takes a line


def _column_heads(page: Page, line: Said) -> bool:
    if kinds := columns(line.text):
        page.table = kinds
        page.reader.mark(line.number, "heading")
    return bool(kinds)


def _table(page: Page, line: Said) -> bool:
    if not page.table or "\t" not in line.text:
        return False
    read = table_row(page, line.number, line.text, next(iter(line.following), ""))
    if not read and is_change(line.text):
        told = "\t".join(filter(str.strip, facing_said(page, line.text)))
        kept, page.table = page.table, ()
        one(page, evolve(line, text=re.sub(r":?\t", ": ", told, count=1).replace("\t", ", ")))
        page.table = kept
    elif not read:
        stray(page, line.number, line.text)
    return True


def _sequence(page: Page, line: Said) -> bool:
    if page.names and ORDER_WORD.fullmatch(line.text.strip(" :*") + ":"):
        page.reader.mark(line.number, "heading")
        return True
    names = [*(part.name for part in page.parts), *page.names]
    found = page.parted and (page.order.whole(line.text, names) or take_order(page, line.text, line.number))
    if found:
        page.reader.mark(line.number, "order")
    return found


def _change(page: Page, line: Said) -> bool:
    counts = re.match(rf"\W*\d{{1,2}}\s*[-&,](?!\s*{UNITS})", line.text)  # and not how many: `4-count tag`
    if counts or not is_change(line.text) or headed(page, line.text):
        return False
    midway = any(page.steps(later) and not is_change(later) for later in line.following)
    change(page, line.number, line.text, midway or "here" in line.text.casefold())
    return True


def _passes(page: Page, line: Said) -> bool:
    agrees = None if page.parted else wall_by_wall(line.text, page.passes)
    if agrees is False:
        page.reader.leave_open(line.number, line.text)
    if agrees is not None:
        page.passes.remarks.append(tight(line.text))
        page.reader.mark(line.number, "order")
    return agrees is not None


def _retold(page: Page, line: Said) -> bool:
    if re.match(r"(?i)\W*(?:tag|bridge|ending)\b", line.text) and is_change(line.text):
        return False  # it is danced there, and not in the dance
    over, inner = counted(line.text), counted(next(iter(line.following), ""))
    begins = over and inner and over.first > 1 and inner.first in (1, over.first)
    heads = begins and sectioned(page, line.text, line.following[0])
    between = not over and inner and page.parts and inner.first == page.here.last + 1 > 1  # it has no counts left
    return not (heads or between) and any(
        again_by(page, line.number, line.text) for again_by in (named_again, sections_again, counts_again)
    )


def _part_again(page: Page, line: Said) -> bool:
    found = len(line.text) < 90 and (danced_again(page, line.text) or part_again(page, line.number, line.text))
    if found:
        page.reader.mark(line.number, "order")
    return found


def _part_head(page: Page, line: Said) -> bool:
    if not (found := headed(page, line.text)):
        return False
    name, beats, rest = name_of(found[0], page.names), *found[1:]
    page.tag, beside = None, headed(page, rest)
    if beside and not beside[2] and len(name) == 1 and beside[0] not in page.names:  # `PART B (16) chorus`
        beats, rest = beats or beside[1], f"({beside[0]})"
    if another(page, line.number, line.text, (name, beats, rest)):
        return True
    known = page.danced[-1:] != [(name, "")] and name.casefold() in [p.name.casefold() for p in page.parts if p.items]
    if known and not rest and not page.names and not dances(page, next(iter(line.following), "")):
        page.danced.append((name, ""))
        page.reader.mark(line.number, "order")
        return True
    cut = beats and re.search(rf"(?<!\w){re.escape(name)} ?\((?:first )?{beats}\)", page.order.said)
    if known and (cut or re.fullmatch(r"(?:\W|\d|x\d)*\d(?:\W|\d)*", rest)):
        page.reader.leave_open(line.number, line.text)  # in an order that isn't read, or one that cuts it so
        return True
    if not page.parts or page.parts[-1].name != name:
        page.begin(name, beats or page.beats.get(name.casefold(), 0))
    rest = plainly(rest)[0] if "(" in rest else plainly(rest)[0].rstrip(")")
    said = re.sub(r"(?i)^\W*(?:and|then)\s+(?=repeat\b|twice\b)|\s*\(\d+\)\W*$", "", rest)
    if rest and (_is_remark(page, rest) or (beats and times_again(said))):
        bare = rest.strip("() ") if rest[0] + rest[-1] == "()" else rest
        page.remarked(line.number, bare)
        times = max(map(times_again, re.split(r"[,;(]|-{1,2}(?!\w)", said)))
        if times and not page.names:
            page.danced[-1] = (f"{name} x{times}", "")
        else:
            page.parts[-1].often(times, rest)
        rest = ""
    page.reader.mark(line.number, "heading")
    if rest:
        one(page, Said(line.number, rest, line.following))
    return True


def _is_remark(page: Page, text: str) -> bool:
    """Say whether the words behind the head of a part stand in a bracket and say nothing that is danced in it."""
    stepped = dances(page, text) and re.search(r"[,;]|\b[LR]F?\b|\b(?:left|right)\b", text)
    return re.fullmatch(r"\([^()]*\)", text) is not None and not stepped


_BRACKETED = re.compile(r"\((?:=\s*)?(\d{1,2})(?:\s*(?:beats?|counts?|b\b\.?))?\)\s*\.?$")
"""`(8)` at the end of a title."""


def _section_head(page: Page, line: Said) -> bool:
    following = next(iter(line.following), "")
    found = sectioned(page, line.text, following)
    if page.titled and NUMBERED.match(line.text) and not (found and (found.rest or found.counts)):
        length = _BRACKETED.search(line.text)
        found = Heading(tight(line.text), length=int(length[1]) if length else 0)
    elif not found and _titles(page, line, following):
        found = Heading(tight(line.text), length=lasting(line.text)[0])
    if not found:
        return False
    page.reader.mark(line.number, "heading")
    if page.tag and page.full and not (page.tag.items or page.tag.text or found.rest):
        page.tag.items.append(Remark(found.text))
        return True
    page.tag = None
    empty = page.parts and (page.here.stated or is_number(page.here.title)) and not page.here.items
    if empty and not (found.counts or is_number(found.text)):
        page.here.title += f" {found.text}"
        return True
    over = is_change(following) or sectioned(page, *(*line.following, "", "")[:2])
    bare = not found.counts and not found.rest and (over or not (page.steps(following) or counted(following)))
    if bare and headed_again(page, line.number, found.text):
        return True
    lettered = page.lettered and re.match(r"Section [A-H]\b", found.text) is not None
    before = page.last if page.parts else 0
    page.section(Section(found.text, _begun(page, found.counts), line.number, 8 if lettered else found.length))
    page.here.twice = lettered
    page.here.facing = clock(found.text) if not found.rest else ""
    page.here.often = not found.counts and any(map(times_again, re.split(r"[,;(]|\s-+\s", plain(found.text))[1:]))
    single = counted(found.rest) if len(cut(found.rest)) == 1 else None
    if found.length and single and len(single.points) == 1:
        lay(page, line.number, page.group(found.rest, found.length))
    elif found.rest:
        steps(page, line.number, found.rest)
    if found.rest and not over and (inner := counted(following)) and inner.first in (1, before + 1):
        page.here.twice, page.here.first, page.here.last = True, 0, 0
    return True


def _begun(page: Page, counts: tuple[int, int] | None) -> tuple[int, int] | None:
    """Return the counts of a head, behind the last one of the section before where they begin on it: `8-16`."""
    before = page.here.stated if page.parts else None
    return (counts[0] + 1, counts[1]) if counts and before and before[1] == counts[0] > 1 else counts


def _titles(page: Page, line: Said, following: str) -> bool:
    """Say whether a line without counts is a title: it is set as one, or the counts run on without it."""
    alone, later, last = counted(line.text), counted(following), page.last if page.parts else 0
    single = alone and len(alone.points) == 1 and later and later.first in (1, last + 1)
    numbered = single and alone and (alone.first != last + 1 or not last)
    length, bare = lasting(line.text)
    if length > 2 and not alone and titling(line.text) and not line.text.endswith("."):
        capitals = bare.isupper() and not (following.isupper() or page.capital)
        under = lasting(following)[0]  # of a row beside it
        return (capitals or not page.steps(bare)) and dances(page, following) and not 0 < length <= under
    if (alone and not numbered) or lasting(line.text, page.sized)[0]:
        return False
    if not titling(line.text) or again(line.text):
        return False
    talk = any(isinstance(event, Facing | Weighted) for event in page.reader.events(line.text))
    begins = later and (later.first in (1, last + 1) or (page.parts and page.here.led_on(later.first)))
    if later and begins and not talk and not line.text.lstrip().startswith("("):
        return bool(page.steps(following) or RETOLD.match(following))
    capitals = line.gap and line.text.isupper() and not (following.isupper() or page.capital)
    return (line.headed or capitals) and bool(page.steps(following))


def _closing(page: Page, line: Said) -> bool:
    first, *later = sentences(line.text)
    if later and counted(line.text) and again(first) and not (counted(first) or page.steps(first)):
        page.reader.leave_open(line.number, behind := " ".join(later))  # the counts are those that it speaks of
        page.ends.append(behind)
        return _closing(page, evolve(line, text=first))
    if not again(line.text) or counted(line.text) or page.steps(line.text) > 2:
        return False
    if steps_again(page, line.number, line.text):
        return True
    steps_beside(page, line.number, line.text)
    page.close(line.text)
    if (said := claims(line.text)) and (said.facing or said.foot):
        page.reader.unused(line.number, line.text)
    page.facts += fresh(
        header_of([line.text], "line")[0], page.facts, ("routine", "counts", "walls") if not page.facts else ()
    )
    page.reader.mark(line.number, "remark" if page.parted else "order")
    return True


def _steps(page: Page, line: Said) -> bool:
    text = line.text
    length, said = lasting(text, page.sized)[0], page.steps(text)
    of_steps = None if length and page.sized else counted(text)
    if of_steps and not said and len(of_steps.points) == 1 and not page.goes_on(of_steps.first):
        return False
    told = [e for e in page.reader.events(unbulleted(text)) if not (isinstance(e, Aside) and e.inside)]
    alone = not any(isinstance(e, Unread | Aside) for e in told)
    numbered = 0 < length <= 16 and NUMBERED.match(text)
    if not (of_steps or numbered) and said < (1 if length or alone else 3):
        return False
    if (not of_steps and (not length or len(sentences(lasting(text, page.sized)[1])) > 1)) or (
        len(text) > 160 and line.gap
    ):
        prose(page, line.number, text, line.gap)
        return True
    if page.here.prose and line.gap and page.here.items:
        page.section(Section("", None, line.number))
        page.here.prose = True
    steps(page, line.number, text)
    return True


Kind = Callable[[Page, Said], bool]


_KINDS: tuple[Kind, ...] = (
    _column_heads,
    _table,
    _sequence,
    lambda page, line: whole_part_again(page, line.number, line.text),
    _passes,
    _retold,
    _change,
    _part_again,
    _part_head,
    _section_head,
    _closing,
    _steps,
)
