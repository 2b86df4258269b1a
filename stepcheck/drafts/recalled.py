"""Dances sections of before again that a line, a head or a tag names by their numbers, letters, titles or counts; and
parts by their names."""

import itertools
import re
from collections.abc import Sequence

from attrs import evolve

from stepcheck.drafts.retold import OF_SECTION, TELLS, TO, WORDS, remade, taken
from stepcheck.pages.facts import claims
from stepcheck.pages.heads import name_of
from stepcheck.pages.page import Page, doubled
from stepcheck.pages.parts import REPEATED, Section, repeated, source_of
from stepcheck.pages.passes import Tag
from stepcheck.steps.counts import cut
from stepcheck.steps.outline import Expect, Item, Line, Remark, beats_of, once_more
from stepcheck.steps.steps import clock, wall
from stepcheck.steps.vocabulary import hours, plain, tight
from stepcheck.steps.words import NUMBER, ORDINAL, SECTION, TIMES, number, often, ordinal

_AS = r"(?:repeat|(?:the )?same as|as|=|again|do|dance)"
_LIST = r"\d(?:\W*(?:and\W*)?\d)+"
_LISTED = re.compile(rf"(?i)\W*(?:sections|sects|sets|blocks|parts)\s*{_LIST}\W*{_AS}\s+(?:[a-z]+s)?\s*({_LIST})(?!\d)")
"""`Sections 3 + 4: repeat 1 & 2`."""
_NUMBERED = re.compile(
    rf"(?i)(?:\b(?:repeat|(?:same )?as|again)|=)\s+(?:(?:{SECTION}|nos?|number)\.?\s*|#\s*|"
    rf"(?=[A-H]?\d\b(?!\s*[-&]| (?:counts?|beats?|cts?|times))))[A-H]?{NUMBER}(?!\w)"
    r"(?:\s*again)?\W*(?:\(?\d+-\d+\)?\W*)?(?:(?:turn\w*|fac\w*|to|now|ends?|at)\W+)*(\d{1,2}:\d\d)?\W*$"
)
"""`Repeat section 1, turning to 12:00`, `same as A1`."""
_NUMBERED_ON = re.compile(
    r"(?i)\W*(?:(\d{1,3})\s*(?:-|to)\s*(\d{1,3})\W+)?(?:(?:is|the|do)\s+)*"
    rf"(?:(?:repeat|(?:same )?as|like)\s+|=\s*)(?:{SECTION}\.?\s*|#\s*)(?P<at>[1-9])\b(?P<rest>.*)"
)
"""`1-8 as S1, but mirrored`."""
_SUCH_AS = re.compile(r"\([^()\d]*(?:\.{2,}|\u2026|\betc\.?)\s*\)")
"""Some of the steps of what is danced on the other foot: `(LF to left, RF behind ...)`."""


_SPAN = r"(\d{1,3})\s*(?:-|to|thru|through)\s*(\d{1,3})"
_BY_COUNTS = re.compile(
    rf"(?i)\W*(?:(?:counts?\s+)?{_SPAN}\W+)?"
    rf"(?:{_AS}\W+(?:the\s+)?(?:(?:counts?|beats?)\W+)?{_SPAN}"
    rf"|(?:{_AS}\W+)?(?:the\s+)?(?:(?:above|previous|last)|({ORDINAL}))\s+(\d{{1,3}})\b"
    r"|(?=(?:the\s+)?same\b|repeat(?:ed)?\b|again\b|as (?:above|before)\b))"
    r"(?:\W*(?:counts?|beats?|cts?)\b)?"
)
"""`[17-32] Repeat [1-16]`, `17-24 As the first 8`, `[17-32] Same again`: its own counts; from which to which, or which
eight, or how many of the last ones are danced again."""


def sections_again(page: Page, number_: int, text: str) -> bool:
    """Dance sections of before again, each as a section of its own; return whether a line says so and no more than on
    which foot, and where they end.

    They are named by their numbers, or by counts that they fill.  What isn't known on the other foot is a blank of its
    counts; a section that isn't there stays open.
    """
    here = re.escape(page.parts[-1].name) if page.parts else "(?!)"
    said, known = re.sub(rf"(?i)\s+(?:of|from|in)\s+(?:part\s+)?{here}(?!\w)", " ", hours(text)), _known(page)
    if not known or page.tag or OF_SECTION.fullmatch(said):
        return False
    if not page.parted and (listed := _LISTED.match(said)):
        spans = re.sub(_SPAN, lambda run: " ".join(map(str, range(int(run[1]), int(run[2]) + 1))), listed[1])
        return _numbered(page, number_, text, [int(each) for each in re.findall(r"\d", spans)])
    if (one := _NUMBERED.search(said)) and not page.steps(said[: one.start()]):
        return _numbered(page, number_, text, [number(one[1])], wall(one[2] or ""))
    if (on := _NUMBERED_ON.fullmatch(said)) and not page.parted and int(on["at"]) <= len(known):
        of, rest = known[int(on["at"]) - 1], re.sub(r"\d{1,2}:\d\d", " ", _SUCH_AS.sub(" ", on["rest"]))
        whole = not on[1] or int(on[2]) - int(on[1]) + 1 == of.stated_counts
        if whole and WORDS.fullmatch(rest) and not re.search(rf"(?i){NUMBER}|\blast\b", rest):
            return _danced(page, number_, text, [of], clock(on["rest"]), rest)
    found = _BY_COUNTS.match(said)
    face, rest = clock(said), re.sub(r"\d{1,2}:\d\d", " ", said[found.end() :]) if found else ""
    if not found or re.search(r"\b[A-H]\b", rest) or TO.search(rest) or not WORDS.fullmatch(rest):
        return False
    sections = _filling(page, known, found)
    return bool(sections) and _danced(page, number_, text, sections, face, rest)


def _known(page: Page) -> list[Section]:
    """Return the sections that have been read, without a head of which nothing has been read yet."""
    return [each for each in page.sections if each.used and (each.items or each is not page.here)]


def _numbered(page: Page, number_: int, text: str, numbers: Sequence[int], face: str = "") -> bool:
    known = _known(page)
    if max(numbers) > len(known):
        page.reader.leave_open(number_, text)
        return True
    return _danced(page, number_, text, [known[at - 1] for at in numbers], face)


def _filling(page: Page, known: list[Section], found: re.Match[str]) -> list[Section]:
    """Return the sections whose counts are just those that a line dances again: under a head that has none yet, or on
    the counts behind them all; [] for none."""
    begin, end, first, last, size = (int(each or 0) for each in found.group(1, 2, 3, 4, 6))
    over = [*itertools.accumulate((each.stated_counts for each in known), initial=0)]
    length = end - begin + 1 if end else 0
    nth = found[5] and ordinal(found[5])
    if nth:
        first, last = (nth - 1) * size + 1, nth * size
    elif not first:
        size = size or length
        first, last = over[-1] - size + 1, over[-1]
    whole = last - first + 1
    headed = page.here not in known and page.here.used
    filled = 0 < page.total == over[-1] + whole
    stands = begin in (0, 1, over[-1] + 1) if headed else begin == over[-1] + 1 or (filled and not begin)
    bars = headed or (0 in (whole % 6, whole % 8) and (len(known) > 1 or known[0].title))
    if not (stands and bars) or length not in (0, whole) or first - 1 not in over or last not in over:
        return []
    return known[over.index(first - 1) : over.index(last)]


def _danced(page: Page, number_: int, text: str, sections: Sequence[Section], face: str = "", said: str = "") -> bool:
    """Dance sections again, under the head that stands over nothing yet, if there is one; `face` is claimed of their
    end."""
    head = page.here if page.here not in _known(page) and page.here.used else None
    face = face or (head.facing if head is not None else "")
    whole = sum(each.stated_counts for each in sections)
    if head is not None and head.stated_counts not in (0, whole):
        page.reader.leave_open(number_, text)
        return True
    title = tight(head.title if head is not None and head.title else text)
    if head is not None:
        page.parts[-1].sections.remove(head)
    for section in sections:
        stated = section.stated if head is None and not said else None
        page.section(Section(title, stated, number_, section.length or section.stated_counts))
        page.here.items += _again(page, number_, text, section, said)
        page.here.first, page.here.last = section.first, section.last
    items = page.here.items
    if face and isinstance(last := items[-1], Line):
        items[-1] = evolve(last, facing=face)
    elif face:
        items.append(Expect(f"facing {face}"))
    page.reader.mark(number_, "steps")
    return True


def _again(page: Page, number_: int, text: str, section: Section, said: str) -> list[Item]:
    """Return the lines of a section again, on the foot that is said; a blank of its counts where they aren't known."""
    items = [once_more(item) for item in section.items if not isinstance(item, Expect)]
    lines = taken(section.items, 0, 0, True)
    made = remade(lines, said, set()) if lines and re.search(r"\w", said) else items
    if not made:
        page.reader.leave_open(number_, text, "blank")
        return [Line(counts=section.stated_counts, blank=True, measured=True, remark=tight(text))]
    return [*made]


def headed_again(page: Page, number: int, head: str) -> bool:
    """Dance a section again under a head that says so, `S2: all of that again on the other foot`, `8. Do no. 7 once
    more`; what more is said of it makes it a blank of its counts."""
    known = _known(page)
    said = re.sub(rf"(?i)^\W*(?:{SECTION}\W*)?[A-H]?\d{{1,2}}\W+", "", plain(head))
    named = re.search(
        rf"(?i)(?:(?:\b(?:as|like|no\.?|number|section|sect?|part|repeat|do)\s+|=\s*)(?:s|(?-i:[A-H]))?|#|^S|"
        rf"^{re.escape(page.parts[-1].name if page.parts else ' ')})(\d)\b(?!\s*(?:times|x|/))",
        said,
    )
    if not known or page.tag or not TELLS.search(said) or (named and int(named[1]) > len(known)):
        return False
    before = known[int(named[1]) - 1] if named else known[-1]
    face = clock(said)
    bare = said.replace(named[0], " ", 1) if named else said
    bare = re.sub(r"\d{1,2}:\d\d|^[A-H]\d\b|(?i:\bno\.|\b(?:section|sect?|part|as|number|bring\w*|you)\b)", " ", bare)
    made = remade(taken(before.items, 0, 0, True), said, set()) if WORDS.fullmatch(bare) else []
    page.section(Section(tight(head), None, number, before.stated_counts))
    page.reader.mark(number, "heading")
    if made and sum(map(beats_of, made)) == before.stated_counts:
        made[-1] = evolve(made[-1], facing=face)
        page.here.items += [evolve(each, measured=True) for each in made]
        page.reader.mark(number, "steps")
    return True


_LABEL = re.compile(
    rf"(?i)^\W*(?:(?:{SECTION}(?![a-z])|#)\.?\s*[a-z\d]{{1,4}}\b\W*|\d{{1,2}}\W+|[a-h][.):]\s+)?(?:[\[(]?\d+\s*-\s*\d+[\])]?\W*)?"
    r"|\s*[\[(][\d\s,-]*[\])]\W*$"
)
"""What stands around the title of a section: its number, its counts."""


def bare(title: str) -> str:
    """Return the words of a title of a section, without its number and its counts."""
    return " ".join(re.findall(r"[^\W\d_]+", _LABEL.sub("", plain(title)).casefold()))


_LETTER = re.compile(r"(?i)\W*(?:the )?(?:same )?(?:as|repeat)\s+(?-i:([A-H]))\W*")
_TITLED = re.compile(r"(?i)\W*(?:repeat (?:the )?)?(?P<title>[a-z].*?)\s+(?:again|once more|one more time|repeated)\W*")


def named_again(page: Page, number_: int, text: str) -> bool:
    """Dance a section again that a line names by its letter or its title, `Half turn basic, same as B`, `Half turn
    basic once more; you face the back`; return whether one does, and says nothing but that and where it ends."""
    whole = cut(text)
    said = re.split(r"[;,.]\s+|\s-+\s", whole[0].text) if len(whole) == 1 and whole[0].counts else []
    known = _known(page)
    found: list[Section] = []
    face, rest = "", {""}
    for piece in said if not page.tag else ():
        letter, again, claim = _LETTER.fullmatch(piece), _TITLED.fullmatch(piece), claims(piece)
        if letter:
            found += [each for each in known if re.match(rf"\W*{letter[1]}[.):]", each.title)]
        elif again and any(bare(each.title) == bare(again["title"]) != "" for each in known):
            found += [each for each in known if bare(each.title) == bare(again["title"])]
        elif claim and claim.pure and claim.facing:
            face = claim.facing
        else:
            rest.add(bare(piece))
    size = whole[0].counts.length if said and whole[0].counts else 0
    alone = len(found) == 1 and rest <= {"", bare(found[0].title)} and found[0].stated_counts == size
    return alone and _danced(page, number_, text, found, face)


# --- parts


def _whole_again(page: Page, text: str) -> bool:
    """Dance all that is read once more, where the dance is said to be just twice as long; return whether a line says
    so."""
    if not doubled(page, text):
        return False
    said = claims(re.sub(r"\d+ (?:to|-) \d+", " ", text))
    page.parts[-1].repeat = (said.facing if said else "") or "again"
    page.parts[-1].repeat_remark = tight(text)
    return True


def part_again(page: Page, number: int, text: str) -> bool:
    """Take a part that is danced again: `Repeat A to the front`, `Do it all again`; return whether it is one."""
    if _whole_again(page, text):
        return True
    said, found = tight(text), page.order.repeat(text)
    facing = [wall.casefold() for wall in TO.findall(text)]
    lettered = len(found) == 1 or re.search(r"(?i)part", text)
    called = name_of(f"part {found}" if lettered else found, page.names).casefold() if found else ""
    part = next((each for each in page.parts if each.name.casefold() == called), None)
    several = part and re.search(rf"\b{re.escape(found)}(?:\s*(?:&|,|and)\s*(?:part\s+)?[A-Z]\b)+", text)
    if several:
        page.several.append((number, text))
        page.danced += [(each, "") for each in re.findall(r"\b[A-Z]\b", several[0])]
        page.danced += [(f"expect facing {facing[-1]}", said)] if facing else []
        return True
    if part is None:
        return False
    part.repeat, part.repeat_remark = facing[-1] if facing else "again", said.strip("()")
    if total := re.search(r"(?:=|\bmakes)\s*(\d+)|(\d+) beats in all", text):
        part.total = int(total[1] or total[2])
    if (more := re.search(r"(\d+) more\b(?! times)", text)) and part.beats:
        part.total = part.beats + int(more[1])
    return True


# --- what a tag takes from the dance

_VERB = r"(?:(?:repeat|dance|do|just|same|as)\s+)"
_AGAIN = r"(?:\s+(?:again|once more|one more time|only))?"
_OF_TAG_SECTION = re.compile(rf"(?i)\W*{_VERB}*{SECTION}\s*#?(\d){_AGAIN}\W*")
_OF_TITLE = re.compile(rf"(?i)\W*{_VERB}+(?:the\s+)?(?P<title>[a-z][\w ,/&'-]*?)(?:\s+(?:section|bit|set))?{_AGAIN}\W*")


def told_again(page: Page, tag: Tag) -> list[Item]:
    """Return the lines of the dance that a tag is said to be; [] where it says steps of its own, or none are known.

    Args:
        page: what is read so far.
        tag: the tag, with its words.
    """
    of = _OF_TAG_SECTION.fullmatch(tag.text)
    if of:
        return page.sections[int(of[1]) - 1].items if 0 < int(of[1]) <= len(page.sections) else []
    every = [_lines(section) for section in page.sections if section.used]
    items = [item for lines in every for item in lines]
    if all(every) and (counts := REPEATED.fullmatch(plain(tag.text))) and not counts[1]:
        size, first, last = (int(each or 0) for each in counts.group(3, 4, 5))
        return repeated(items, size, first, last, "")
    if said := _OF_TITLE.fullmatch(tag.text):
        named = [section for section in page.sections if bare(section.title) == bare(said["title"]) != ""]
        if len(named) == 1 and (lines := _lines(named[0])):
            return lines
    return _of_tag(page, tag)


def _lines(section: Section) -> list[Item]:
    """Return the lines of a section, without those of its head where these are told once more under it; [] where they
    are not all read, or don't come to its counts."""
    under = [item for item in section.items if source_of(item) != section.number]
    size = section.stated_counts if section.stated or not section.last else section.last - section.first + 1
    for lines in (under, section.items):
        read = all(isinstance(item, Line) and not item.blank for item in lines if not isinstance(item, Expect | Remark))
        if read and sum(map(beats_of, lines)) == size:
            return lines
    return []


def _of_tag(page: Page, tag: Tag) -> list[Item]:
    """Return the lines of an earlier tag as often as a tag is said to be that one, `do Tag 1 twice`; [] for none."""
    said = re.fullmatch(rf"(?i)\W*{_VERB}+(?:the\s+)?tag(?:\s*#?(\d))?(?:\s+again)?(?:\s*{TIMES})?[\s=.]*", tag.text)
    before = [each for each in page.passes.tags if each.items and each is not tag]
    at = int(said[1] or len(before)) - 1 if said else -1
    times = often(*said.groups()[1:]) if said else 1
    alone = said is not None and (said[1] or len(before) == 1) and at < len(before)
    return before[at].items * times if alone and at >= 0 else []
