"""What a line says to dance again, and in which order parts are danced."""

import re

from attrs import evolve

from stepcheck.drafts.counts import cut, lasting
from stepcheck.drafts.cue_lines import with_beats
from stepcheck.drafts.cue_words import times_again
from stepcheck.drafts.heads import name_of
from stepcheck.drafts.order import ORDER_WORD, tokens
from stepcheck.drafts.outline import Line, beats_of, mirrored
from stepcheck.drafts.page import Page
from stepcheck.drafts.parts import REPEATED, OpenPart, Section, repeated
from stepcheck.drafts.phrases import SAME_OTHER
from stepcheck.drafts.vocabulary import plain, tight

_TO = re.compile(
    r"\b(?:to|at|face|facing)\s+(?:(?:face|come|back)\s+)*(?:to\s+)?(?:the\s+)?(front|back)\b", re.IGNORECASE
)


def take_order(page: Page, text: str) -> bool:
    """Take the sequence, where a line is one; what is danced at its end is a part."""
    if (
        not ORDER_WORD.match(text)
        or not page.parted
        or not re.search(r"[:,\t]|  | - |\b[A-H]\d?(?: ?[A-H]\d?)+\b", text)
    ):
        return False
    if re.match(r"\W*dance\b(?!\s*(?:order)?\s*:| it\b)", text, re.IGNORECASE):
        return False
    known = {name.casefold() for name in (*page.names, *(part.name for part in page.parts))}
    if not known & {word.casefold() for word in tokens(text)}:
        return False
    if ending := page.order.take(text):
        items = [each for item in page.cues.cues(ending) for each in with_beats(page, item)]
        page.begin("Ending", 0).sections[-1].items.extend(items)
    return True


def counts_again(page: Page, number: int, text: str) -> bool:
    """Dance counts of before again, or the lines before on the other side; return whether a line says so."""
    if not page.parts:
        return False
    if page.line and (named := _SECTION_AGAIN.search(plain(text))):
        return _section_again(page, number, text, int(named[1]))
    if found := REPEATED.fullmatch(plain(text)):
        return _retake(page, number, text, *map(int, found.groups("0")))
    pieces = cut(text)
    if not page.line or len(pieces) != 1 or not SAME_OTHER.match(lasting(pieces[0].text, page.sized)[1]):
        return False
    counts, target = pieces[0].counts, page.target
    before = page.sections[-2].items if not target and len(page.sections) > 1 else target
    size = counts.length if counts else lasting(text, page.sized)[0] or sum(map(beats_of, before))
    made = [mirrored(item) for item in repeated(before, size, 0, 0, tight(text))]
    if not made or any(isinstance(item, Line) and (item.turn or item.facing) for item in made):
        return False
    target += made
    if counts:
        page.passed(counts.first, counts.last)
    page.reader.mark(number, "steps")
    return True


_SECTION_AGAIN = re.compile(r"\brepeat\s+(?:section|sect?|set|s)\s*(\d)\s*\W*$", re.IGNORECASE)


def _section_again(page: Page, number: int, text: str, at: int) -> bool:
    """Dance a section again, without its facings, as a section of its own; one that isn't there stays open."""
    known = [section for section in page.sections if section.items]
    if at > len(known) or page.tag:
        page.reader.leave_open(number, text)
        return True
    before = known[at - 1]
    page.section(Section(tight(text), before.stated, number, before.length))
    page.here.items += [evolve(item, facing="") if isinstance(item, Line) else item for item in before.items]
    page.here.first, page.here.last = before.first, before.last
    page.reader.mark(number, "steps")
    return True


def _retake(page: Page, number: int, text: str, begin: int, end: int, size: int, first: int, last: int) -> bool:
    """Dance counts again: the `size` last ones, else those of the section from `first` to `last`.

    `begin` and `end` are the counts that the line stands on, 0 where it has none.
    """
    here = page.here
    items = here.items if first else [item for section in page.sections for item in section.items]
    before = max(0, here.first - 1)
    made = repeated(items, size, first - before, last - before, tight(text))
    length = sum(map(beats_of, made))
    if not made or page.tag or (begin and (length != end - begin + 1 or begin <= here.last)):
        return False
    here.items += made
    here.first, here.last = here.first or begin, end or (here.last and here.last + length)
    page.reader.mark(number, "steps")
    return True


def part_again(page: Page, number: int, text: str) -> bool:
    """Take a part that is danced again: `Repeat A to the front`, `Do it all again`; return whether it is one."""
    said, found = tight(text), page.order.repeat(text)
    facing = [wall.casefold() for wall in _TO.findall(text)]
    lettered = len(found) == 1 or re.search(r"part", text, re.IGNORECASE)
    called = name_of(f"part {found}" if lettered else found, page.names).casefold()
    part = next((each for each in page.parts if found and each.name.casefold() == called), None)
    several = part and re.search(rf"\b{re.escape(found)}(?:\s*(?:&|,|and)\s*(?:part\s+)?[A-Z]\b)+", text)
    if several:
        page.several.append((number, text))
        page.danced += [(each, "") for each in re.findall(r"\b[A-Z]\b", several[0])]
        page.danced += [(f"expect facing {facing[-1]}", said)] if facing else []
        return True
    if part is None:
        part, times = page.parts[-1] if page.parts else None, times_again(text)
        if not times or part is None or not part.items or page.line:
            return False
        part.times = times
    part.repeat, part.repeat_remark = facing[-1] if facing else "again", said.strip("()")
    _total(part, text)
    return True


def _total(part: OpenPart, text: str) -> None:
    """Note how many beats a part is said to last with its repeat."""
    if total := re.search(r"=\s*(\d+)|(\d+) beats in all", text):
        part.total = int(total[1] or total[2])
    if (more := re.search(r"(\d+) more\b(?! times)", text)) and part.beats:
        part.total = part.beats + int(more[1])
