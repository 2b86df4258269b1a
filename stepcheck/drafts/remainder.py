"""What no kind of line takes: restarts and tags, facts among the steps, remarks, and lines that stay open."""

import itertools
import re

from attrs import evolve

from stepcheck.drafts.changed import ending_below, ends, how_many, read_walls
from stepcheck.drafts.laying import lay, steps
from stepcheck.drafts.recalled import told_again
from stepcheck.drafts.retold import TO
from stepcheck.pages.facts import ORDER, Claims, Fact, claims, facts_of, fresh, is_talk, said_of
from stepcheck.pages.header import header_of
from stepcheck.pages.order import called
from stepcheck.pages.page import Page
from stepcheck.pages.parts import Section, unknown
from stepcheck.pages.passes import DONE, SKIPPED, Restart, Tag, again, denied, is_change, of_walls
from stepcheck.pages.song import QUOTED, author, is_music
from stepcheck.steps.counts import counted, lasting, unbulleted
from stepcheck.steps.outline import Expect, Line, Remark, beats_of, once_more
from stepcheck.steps.vocabulary import moving, pieces, plain, tight
from stepcheck.steps.words import TIMES, UNITS, often

_QUOTED = re.compile(r"\W*(\"[^\"]+\")\s*(?:\(([^()]*)\))?\W*(.*)")


def stray(page: Page, number: int, text: str) -> None:
    """Keep a line that says no steps: a fact, a remark, or open where it may say some."""
    said = tight(text)
    begins = re.match(r"(?i)\W*(?:intro|wait|start|begin)", said)
    begun = any(part.items for part in page.parts)  # then the foot is that of the middle of a dance
    keys: tuple[str, ...] = (("wait",) if begins else ()) + (() if begun else ("lead",))
    if not page.facts or "Music:" in text or is_music(text.strip()):
        titled = not page.facts and any(fact.key in ("counts", "walls") for fact in facts_of(said, "line")[0])
        keys = (*ORDER, "counts") if titled else tuple(key for key in ORDER if key not in ("routine", "author"))
    if not is_change(text) and re.search(r"(?i)\b(?:\d|one|two|four)[ -]walls?\b|\bwalls?\s*:", text):
        keys = (*keys, "counts", "walls")
    new = _titled(page, number, text) or _stated(page, number, text, keys)
    if new or re.search(r"(?i)\b(?:every|each) step (?:is|has|gets) one (?:count|beat)", text):
        page.reader.mark(number, "fact")
    if not said_of("author", page.facts) and re.fullmatch(r"[A-Z][\w']+(?: [A-Z][\w'-]+){1,3} \([^()]+\)", said):
        people, _, more = said.partition(" who ")
        page.facts.append(author(people))
        page.ends += [f"who {more}"] if more else []
        return page.reader.mark(number, "fact")
    told = not new and page.parts and _may_say_steps(page, said)
    blank = _blank_of(page, text, bool(told)) if not new and page.parts and not (page.tag or page.over) else None
    if told or blank:
        page.reader.leave_open(number, said, "blank" if blank and blank.counts else "open")
    if blank:
        return page.here.items.append(blank)
    used = bool(page.parts) and page.here.used and page.tag is None
    (page.ends if used else page.left).append(said)
    return page.reader.mark(number, page.reader.kinds.get(number, "remark"))


def _titled(page: Page, number: int, text: str) -> list[Fact]:
    """Take the name in quotes that the last line begins with as the title, and what that says of the dance behind it,
    where no title stands above; return the facts. A name alone that a bracket calls the music may be who plays it."""
    found = _QUOTED.fullmatch(plain(text))
    if not found or number < page.reader.numbered()[-1][0] or said_of("routine", page.facts):
        return []
    title, beside, rest = (each or "" for each in found.groups())
    whole = not is_music(beside) or QUOTED.search(beside) or " by " in beside
    apart = "" if rest[:3] == "by " else "\n"  # whoever performs a song is named so as well
    lines = f"{title} {apart}{beside if whole else ''}   {rest}".split("\n")
    stated, _, _, left = header_of(lines, "line")
    if not any(fact.key in ("level", "walls", "counts") for fact in stated) and "choreo" not in rest.casefold():
        return []
    page.beside += [(number, each) for each in (*(said for _, said in left), *[beside] * (not whole))]
    page.facts += (new := fresh(stated, page.facts))
    return new


def _stated(page: Page, number: int, text: str, keys: tuple[str, ...]) -> list[Fact]:
    """Take the facts of these keys that a line states; return those that are new."""
    if len(keys) > 2:
        title = said_of("routine", page.facts)
        stated, _, _, beside = header_of([text] if "counts" in keys else [title, text], "line")
    else:
        stated, beside = facts_of(text, "line")[0], ()
    new = fresh(stated, page.facts, keys)
    page.facts += new
    page.beside += [(number, each) for _, each in beside if new and tight(each) != tight(text)]
    return new


def _blank_of(page: Page, text: str, told: bool) -> Line | None:
    """Return the blank that words are among the steps: of counts that they state or that run on, or where they may say
    steps."""
    said, size = tight(text), lasting(text, True)[0] if page.sized else 0
    if 0 < size <= 32:
        return Line(blank=True, counts=size, measured=True, remark=said)
    led, here = counted(text) if re.match(r"\W*\d{1,3}\s*[-&,]\s*\d", text) else None, page.here
    if led and led.whole and led.first == here.last + 1 and told:
        page.passed(led.first, led.last)
        return Line(blank=True, counts=led.length, measured=True, remark=said)
    stepped = page.steps(said) or unbulleted(said) != said or _names_figure(page, said)
    said_so = stepped or re.search(r"(?i)\b(?:same|repeat)\b", said)
    bare = told and page.here.used and said_so and not is_change(said)
    return Line(blank=True, remark=said) if bare else None


def _may_say_steps(page: Page, said: str) -> bool:
    """Say whether words that aren't understood may speak of steps, counts, walls or repeats."""
    return (
        (page.steps(said) > 0 and not again(said))
        or (page.here.used and (unbulleted(said) != said or _names_figure(page, said)))
        or is_change(said)
        or bool(re.search(r"(?i)\b(?:restarts?|tags?|same)\b|\bwall \d", said) and not denied(said))
    )


def _names_figure(page: Page, said: str) -> bool:
    return any(kind == "figure" for kind, *_ in pieces(said, page.reader.vocabulary))


_TAG_HEAD = re.compile(
    rf"(?i)\W*tag\b(?:\s*(?P<which>\d)\b(?!\s?[-&,\d]|\s*{UNITS}\b))?"
    rf"(?:\W*?(?P<counts>\d{{1,2}})\s*{UNITS}\b|(?=\s*[:\d-]|\W*$))\W*"
)
"""`Tag (4 counts)`, `Tag 2: …`."""


def announced(page: Page, text: str, new: bool = False) -> Tag | None:
    """Return the tag whose steps a line heads that names no wall: the one of its number, or the only one, that was
    announced and of which no steps are told so far; a `new` one is of walls that may still be said."""
    head = _TAG_HEAD.match(text)
    if not head or of_walls(text) or denied(text) or page.tag or not page.parts:
        return None
    tags = page.passes.tags
    at = int(head["which"] or len(tags) or 1) - 1
    rest, counts = text[head.end() :], int(head["counts"] or 0)
    if at < len(tags) and not tags[at].items and (head["which"] or len(tags) == 1):
        tags[at] = evolve(tags[at], text=rest, counts=counts or tags[at].counts)
        return tags[at]
    if not new or (head["which"] and at != len(tags)):
        return None
    tags.append(Tag(f"Tag {len(tags) + 1}" if tags else "Tag", counts, (), (), rest, [], tight(text)))
    return tags[-1]


def change(page: Page, number: int, text: str, midway: bool = False) -> None:
    """Read a line about a restart, a tag or the last wall; `midway` says that steps stand behind it."""
    page.tag = None
    sections = page.sections
    lengths = [
        each.stated_counts for each in itertools.takewhile(lambda e: e.agrees and not unknown(e.items), sections)
    ]
    if len(lengths) < len(sections):  # how long the others are isn't known
        midway, lengths = False, [] if SKIPPED.search(text) else lengths
    page.passes.total = page.total
    if tag := announced(page, text, True):
        page.reader.mark(number, "order")
        return _tagged(page, number, tag)
    found, changed = read_walls(page, number, text, sum(lengths) * midway, lengths)
    if found is not None and found is page.passes.end:
        if ends(page, number, found):
            return page.reader.mark(number, "order")
        found = page.passes.end = None
    if found is None:
        return _unread(page, number, text, midway)
    page.reader.mark(number, "order")
    if page.parted:  # which of its parts a wall is isn't known
        page.ends.append(tight(text))
        page.reader.leave_open(number, text)
    page.cut = number if isinstance(found, Restart) and not midway else 0
    if isinstance(found, Tag):
        return _tagged(page, number, found)
    return None if changed else _beside(page, number, text)


def _unread(page: Page, number: int, text: str, midway: bool) -> None:
    """Keep a line that tells no walls: that there are no restarts, or how many; else it is open, and what stands under
    it where it speaks of the end is of the ending."""
    if denied(text) or (DONE.fullmatch(text) and not midway):
        page.ends.append(tight(text))
        return page.reader.mark(number, "order")
    if ending_below(page, text):
        page.tag = page.passes.end = Tag("Ending", 0, (), (), "", [], tight(text), number)
        return page.reader.leave_open(number, text)
    page.passes.remarks.append(tight(text))
    if not page.parted and how_many(text):
        page.counted.append((number, text))
        return page.reader.mark(number, "order")
    return page.reader.leave_open(number, text)


def _beside(page: Page, number: int, text: str) -> None:
    """Leave open what a line about a restart says of other steps than it cuts."""
    if _OTHERWISE.search(text):
        page.reader.leave_open(number, text)
    for each in re.split(r"[.;!]\s+", text)[1:]:
        if _FINISHED.match(each) or (FEET.search(each) and not (is_change(each) or claims(each))):
            page.reader.unused(number, each)


_OTHERWISE = re.compile(r"(?i)\b(?:chang|instead|replac|swap|make (?:the|it|that)|with(?:out| no)|(?:not?|don't) turn)")
_FINISHED = re.compile(r"(?i)\W*(?:finish|end(?:ing)?)\s*:")


def _tagged(page: Page, number: int, found: Tag) -> None:
    """Open a tag with the steps that stand on its line; words before a colon, or without counts, over rows that count
    from one and are its counts are their title."""
    at = page.passes.tags.index(found)
    page.tag = page.passes.tags[at] = tag = evolve(found, number=number)
    whole, titled = told_again(page, tag), tag.source.endswith(":")
    own = counted(tag.text) is None and (page.full or not page.total)
    if whole and tag.counts in (0, sum(map(beats_of, whole))):
        tag.items.extend(map(once_more, whole))
        page.tag = None
    elif tag.text and (upto := page.rows_below()) and (titled or (own and tag.counts in (0, upto))):
        tag.items.append(Remark(tag.text))
    elif tag.text and not is_talk(tag.text):
        if re.match(r"\d+ [A-Za-z]", tag.text):  # how many, not at which count
            lay(page, number, page.group(tag.text))
        else:
            steps(page, number, tag.text)
        if 0 < sum(map(beats_of, tag.items)) >= tag.counts:
            page.tag = None


_REPEATING = re.compile(r"(?i)\b(?:repeat|start|begin|go|dance|step|bring|run|return|turn|face|facing|pattern)\w*")
FEET = re.compile(r"\b(?:[Ll]eft|[Rr]ight|LEFT|RIGHT|[LR]F?)\b")


def steps_beside(page: Page, number: int, text: str) -> None:
    """Leave open the steps that stand beside the words that the dance begins again."""
    for each in re.split(r"[,;.!]\s+", tight(text)) if page.parts else ():
        stepped = moving(_REPEATING.sub(" ", each), page.reader.vocabulary)
        if again(each) or claims(each) or not FEET.search(each):
            if stepped and again(each):
                page.reader.unused(number, each)
        elif stepped:
            page.here.items.append(Line(blank=True, remark=each))
            page.reader.leave_open(number, each)
        elif len(each.split()) > 3:
            page.reader.unused(number, each)


def danced_again(page: Page, text: str) -> bool:
    """Take a part that is danced again behind another one, where no sequence says so: `Verse again`, `Chorus twice`,
    `Repeat Verse`."""
    names = "|".join(re.escape(part.name) for part in page.parts if part.items)
    if page.names or not names:
        return False
    found = re.fullmatch(
        rf"(?i)\W*(?:(?:then|and|now)\s+)*(?P<verb>(?:repeat|dance|do|back to)\s+)?(?:the\s+)?(?:part\s+)?"
        rf"(?P<name>{names})\s*(?P<how>again|once more|as before|{TIMES})?"
        r"(?:\s+to (?:finish|end)\b)?(?P<to>\W*(?:back\s+)?(?:to|facing|at)\b[^&+]*)?\W*",
        text.strip(),
    )
    if not found or not (found["verb"] or found["how"] or TO.search(found["to"] or "")):
        return False
    part = next(part for part in page.parts if part.name.casefold() == found["name"].casefold())
    facing = [wall.casefold() for wall in TO.findall(found["to"] or "")]
    if page.danced[-1][0].startswith(part.name) or (re.search(r"\w", found["to"] or "") and not facing):
        return False
    times = often(*found.groups()[3:6])
    page.danced.append((f"{part.name} x{times}" if times > 1 else part.name, ""))
    page.danced += [(f"expect facing {facing[-1]}", tight(text))] if facing else []
    return True


_SAME = re.compile(
    r"(?i)\W*(?:the\s+)?(?:same|again|repeat)?(?:\s*as\s+(?:part\s+)?([\w ]+?))?\s*"
    r"(?:,?\s*(?:on|with|but)?\s*(?:the\s+)?(other|opposite)\s+(?:foot|feet))?\W*"
)


def same_as(page: Page, text: str) -> str | None:
    """Return the part that another one is said to be, `A2: same, other foot`, as the dance calls it."""
    said = _SAME.fullmatch(text) if re.search(r"(?i)\b(?:same|as)\b", text) else None
    other = next(
        (
            p.name
            for p in reversed(page.parts)
            if p.items and said and re.fullmatch(rf"(?i){called(p.name)}", said[1] or p.name)
        ),
        None,
    )
    return other and f"{other}, opposite foot" if said and said[2] else other


def whole_part_again(page: Page, number: int, text: str) -> bool:
    """Take the only line of a part as the name of the part that it is, `as verse 1`."""
    if not page.parts or page.parts[-1].items:
        return False
    if _CHANGED.search(text) and same_as(page, _CHANGED.split(text)[0]):
        part = page.parts[-1]
        length = part.beats or lasting(text, page.sized)[0]
        part.sections[-1].items.append(Line(blank=True, counts=length, measured=length > 0, remark=tight(text)))
        page.reader.leave_open(number, text, "blank")
        return True
    if (named := same_as(page, text)) is None:
        return False
    page.alias[page.parts.pop().name] = named
    page.danced[-1] = (named, "")
    page.reader.mark(number, "order")
    return True


_CHANGED = re.compile(r"(?i)\W*\b(?:but|without|except)\b|,")


def another(page: Page, number: int, text: str, head: tuple[str, int, str]) -> bool:
    """Take a part that is another one, `A2: same`; one that is that but for something is a blank of its counts.

    `head` is its name, the beats that stand behind it, and the rest of the line.
    """
    name, beats, rest = head
    whole = same_as(page, rest)
    named = whole or same_as(page, _CHANGED.split(rest, maxsplit=1)[0])
    if named is None:
        return False
    length = sum(beats_of(i) for part in page.parts if named.startswith(part.name) for i in part.items)
    if not whole or beats not in (0, length):
        beats = beats or length
        page.begin(name, beats).sections[-1].items.append(Line(blank=True, counts=beats, remark=tight(text)))
        page.reader.leave_open(number, text, "blank")
        return True
    page.alias[name] = whole
    page.danced.append((whole, ""))
    page.reader.mark(number, "order")
    return True


def claimed(page: Page, number_: int, text: str) -> bool:
    """Take a line that claims something of what is danced before it, and says no more than that it begins again."""
    if not page.parts or not page.parts[-1].items:
        return False
    pieces = re.split(r"[;,!]\s+|(?<=[a-z\d)])\.\s+|\s+-{1,2}\s+|\s*>{1,}\s*|=>", plain(text))
    said = [(each, claims(each)) for each in pieces if re.search(r"\w", each)]
    found = [each for _, each in said if each]
    if not found or not all(each.pure if each else again(piece) or is_talk(piece) for piece, each in said):
        return False
    counts = next((each.counts for each in found if each.counts), 0)
    if page.cut == number_ - 1 > 0 and found == [Claims(said[0][1].facing if said[0][1] else "")]:
        page.passes.faced(found[0].facing)
        page.reader.mark(number_, "order")
        return True
    if counts and not _lasts(page, counts, text):
        if re.fullmatch(r"\W*\d+[.):]?\W*", text):
            return False  # a number alone may be that of a section
        page.reader.leave_open(number_, text)
    for each in found:
        claim(page, each, text)
    if any(again(piece) for piece, _ in said):
        page.close(text)
    page.reader.mark(number_, "steps")
    return True


def claim(page: Page, said: Claims, text: str) -> None:
    """Put a facing and a free foot behind the lines that are read so far."""
    target = page.target
    if said.facing:
        last = target[-1] if target else None
        if isinstance(last, Line) and last.facing in ("", said.facing):
            target[-1] = evolve(last, facing=said.facing)
        else:
            target.append(Expect(f"facing {said.facing}", tight(text)))
    if said.foot:
        target.append(Expect(f"{said.foot} foot", tight(text)))


def _lasts(page: Page, counts: int, text: str) -> bool:
    """Take counts that are said of the section, or of all so far; return whether the lines can come to them."""
    part, here = page.parts[-1], page.here
    before = sum(section.counts for section in part.sections[:-1])
    if counts == here.counts + before and (here.length or here.stated or counts == page.total):
        return True
    line = [item for item in here.items if isinstance(item, Line) and not item.source]
    bare = unknown(line)
    if left := counts - sum(map(beats_of, line)):
        if len(bare) == 1 and left > 0 and here.length != counts:
            here.items[:] = [evolve(item, counts=left) if item is bare[0] else item for item in here.items]
            return True
    elif line:
        return True  # those of the line itself
    if here.stated or here.length:
        return False
    unread = unknown(here.items)
    fits = [size for size in (counts, counts - before) if size == here.counts or (unread and size > here.counts)]
    if fits:
        here.length, here.title = fits[0], here.title or tight(text).strip(" ,;.-")
        page.section(Section())
    return bool(fits)
