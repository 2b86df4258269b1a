"""What a tag takes from the dance: a section by its number or its title, counts by theirs, an earlier tag; and sections
that are danced again by their titles; and what a line sums up of restarts and tags, wall by wall or how many."""

import re

from stepcheck.drafts.retold import section_again
from stepcheck.pages.facts import claims
from stepcheck.pages.order import ORDER_WORD
from stepcheck.pages.page import Page
from stepcheck.pages.parts import REPEATED, Section, repeated, source_of
from stepcheck.pages.passes import Passes, Tag
from stepcheck.steps.counts import cut
from stepcheck.steps.outline import Expect, Item, Line, Remark, beats_of
from stepcheck.steps.vocabulary import plain
from stepcheck.steps.words import NUMBER, SECTION, TIMES, number, often

_VERB = r"(?:(?:repeat|dance|do|just|same|as)\s+)"
_AGAIN = r"(?:\s+(?:again|once more|one more time|only))?"
_OF_SECTION = re.compile(rf"(?i)\W*{_VERB}*{SECTION}\s*#?(\d){_AGAIN}\W*")
_OF_TITLE = re.compile(rf"(?i)\W*{_VERB}+(?:the\s+)?(?P<title>[a-z][\w ,/&'-]*?)(?:\s+(?:section|bit|set))?{_AGAIN}\W*")
_LABEL = re.compile(
    rf"(?i)^\W*(?:(?:{SECTION}|#)\.?\s*[a-z\d]{{1,4}}\b\W*|\d{{1,2}}\W+|[a-h][.):]\s+)?(?:[\[(]?\d+\s*-\s*\d+[\])]?\W*)?"
    r"|\s*[\[(][\d\s,-]*[\])]\W*$"
)
"""What stands around the title of a section: its number, its counts."""


def told_again(page: Page, tag: Tag) -> list[Item]:
    """Return the lines of the dance that a tag is said to be; [] where it says steps of its own, or none are known.

    Args:
        page: what is read so far.
        tag: the tag, with its words.
    """
    of = _OF_SECTION.fullmatch(tag.text)
    if of:
        return page.sections[int(of[1]) - 1].items if 0 < int(of[1]) <= len(page.sections) else []
    every = [_lines(section) for section in page.sections if section.used]
    items = [item for lines in every for item in lines]
    if all(every) and (counts := REPEATED.fullmatch(plain(tag.text))) and not counts[1]:
        size, first, last = (int(each or 0) for each in counts.group(3, 4, 5))
        return repeated(items, size, first, last, "")
    if said := _OF_TITLE.fullmatch(tag.text):
        named = [section for section in page.sections if _bare(section.title) == _bare(said["title"]) != ""]
        if len(named) == 1 and (lines := _lines(named[0])):
            return lines
    return _of_tag(page, tag)


def _bare(title: str) -> str:
    """Return the words of a title of a section, without its number and its counts."""
    return " ".join(re.findall(r"[^\W\d_]+", _LABEL.sub("", plain(title)).casefold()))


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


_LETTER = re.compile(r"(?i)\W*(?:the )?(?:same )?(?:as|repeat)\s+(?-i:([A-H]))\W*")
_TITLED = re.compile(r"(?i)\W*(?:repeat (?:the )?)?(?P<title>[a-z].*?)\s+(?:again|once more|one more time|repeated)\W*")


def named_again(page: Page, number_: int, text: str) -> bool:
    """Dance a section again that a line names by its letter or its title, `Half turn basic, same as B`, `Half turn
    basic once more; you face the back`; return whether one does, and says nothing but that and where it ends."""
    whole = cut(text)
    said = re.split(r"[;,.]\s+|\s-+\s", whole[0].text) if len(whole) == 1 and whole[0].counts else []
    known = [section for section in page.sections if section.used]
    found: list[Section] = []
    face, rest = "", {""}
    for piece in said if not page.tag else ():
        letter, again, claim = _LETTER.fullmatch(piece), _TITLED.fullmatch(piece), claims(piece)
        if letter:
            found += [each for each in known if re.match(rf"\W*{letter[1]}[.):]", each.title)]
        elif again and any(_bare(each.title) == _bare(again["title"]) for each in known):
            found += [each for each in known if _bare(each.title) == _bare(again["title"])]
        elif claim and claim.pure and claim.facing:
            face = claim.facing
        else:
            rest.add(_bare(piece))
    size = whole[0].counts.length if said and whole[0].counts else 0
    alone = len(found) == 1 and rest <= {"", _bare(found[0].title)} and found[0].stated_counts == size
    return alone and section_again(page, number_, text, known.index(found[0]) + 1, face)


_KIND = r"(restart|tag|ending)s?\b"
_MANY = rf"(?:{NUMBER}\s*{_KIND}|{_KIND}\s*[:=]\s*{NUMBER})"
_HOW_MANY = re.compile(
    rf"(?i)\W*(?:{_KIND}\s*/\s*{_KIND}\W*)?(?:there (?:is|are)\s+)?"
    rf"{_MANY}(?:\s*(?:,|/|;|and|&|\s)\s*{_MANY})*\W*(?:\([^()\d]*\)\W*)?"
)


def how_many(text: str) -> dict[str, int]:
    """Return how many restarts, tags or endings a line counts that says no more, `Restarts: 2`; none of any other."""
    said = plain(text)
    found = re.finditer(rf"(?i){_MANY}", said) if _HOW_MANY.fullmatch(said) else ()
    return {(each[2] or each[3]).casefold(): number(each[1] or each[4]) for each in found}


def agrees(many: dict[str, int], passes: Passes) -> bool:
    """Say whether there are as many restarts and tags, or as many times of them, as are counted."""
    tagged = {len(passes.tags), sum(len(tag.walls) for tag in passes.tags)}
    return (
        many.get("restart", len(passes.restarts)) == len(passes.restarts)
        and many.get("tag", len(passes.tags)) in tagged
    )


_WALL_BY_WALL = re.compile(
    r"(?i)(?:walls?\b|\bw(?=\d)|\d{1,2}\b|\([^()]*\)|\b(?:tag|end|ending|full|whole|restart|and|then|to)\b|[\s,;:.=>/+-])*"
)


def wall_by_wall(text: str, passes: Passes) -> bool | None:
    """Say whether a line that goes through the walls, `Order: 1, 2, tag, 3 (16), 4`, agrees with the restarts and tags
    that were read; numbers that don't rise are no walls; None for any other line."""
    label = ORDER_WORD.match(plain(text))
    rest = re.sub(r"(?i)^\W*order\W*", "", plain(text)[label.end() :]) if label else ""
    if len(re.findall(r"\d+", rest)) < 3 or not _WALL_BY_WALL.fullmatch(rest):
        return None
    cuts: dict[int, int] = {}
    tags: set[int] = set()
    last, rising = 0, True
    for found in re.finditer(r"(?i)(?:\bw)?(\d{1,2})\b(?:\s*\(\D*(\d{1,2})[^()]*\))?|\b(tag)\b", rest):
        tags |= {last} if found[3] else set()
        rising = rising and (not found[1] or int(found[1]) > last)
        last = int(found[1] or last)
        cuts |= {last: int(found[2])} if found[2] else {}
    return rising and (cuts, tags) == (
        {each.wall: each.counts for each in passes.restarts},
        {at for tag in passes.tags for at in tag.walls},
    )
