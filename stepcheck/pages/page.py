"""The state of a description while it is read, where its steps begin, and what a line of it may be."""

import itertools
import re
from collections.abc import Callable

from attrs import evolve

from stepcheck.pages.columns import columns
from stepcheck.pages.facts import Fact, facts_of, said_of
from stepcheck.pages.heads import Heading, by_letters, head, heading, over_its_first
from stepcheck.pages.layout import Laid
from stepcheck.pages.order import Order, is_legend, listed_lengths, named_in_order
from stepcheck.pages.parts import OpenPart, Section
from stepcheck.pages.passes import RESTARTS, Passes, Tag, begins_at, is_change, of_walls
from stepcheck.pages.reader import Reader
from stepcheck.pages.song import is_author, is_music
from stepcheck.steps.counts import counted, cut, lasting, sentences, sized
from stepcheck.steps.outline import Item, Line, beats_of
from stepcheck.steps.rows import Group, rows_of
from stepcheck.steps.steps import WEIGHT, Mention, Step, Unread
from stepcheck.steps.vocabulary import tight
from stepcheck.steps.words import NUMBER, ORDINAL, UNITS, number

EACH = re.compile(
    rf"(?im)^\W*(?:each|every|all)(?: of)?(?: the)? (?:lines?|sections?|sets?|blocks?|rows?|numbers?) "
    rf"(?:is|are|has|have|lasts?|takes?) {NUMBER} {UNITS}(?: long)?\W*$"
)
"""`Each line is 8 counts.`"""


class Page:
    """A description while it is read.

    `parts` are those that have begun, the last of which is open; `tag` is the tag that lines go to until it is full;
    `beside` are the words that stand beside what was read of a line, with its number; `capital` says that most lines
    are in capitals, which then set no title apart; `counted` are the lines that count restarts and tags; `changed` is
    what the sequence says of parts that it changes; `cut` is the number of the line that told the last restart, where
    no steps stand behind it; `over` says that all is danced; `lettered` says that sections of eight counts have
    letters; `each` is how many counts all sections are said to have, 0 if that isn't said; `at` is the index of the
    line that is being read.
    """

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self.alias: dict[str, str] = {}
        self.parts: list[OpenPart] = []
        self.facts: list[Fact] = []
        self.left: list[str] = []
        self.ends: list[str] = []
        self.beside: list[tuple[int, str]] = []
        self.order, self.passes = Order(), Passes()
        self.changed: list[str] = []
        self.table: tuple[str, ...] = ()
        self.beats = {**reader.lengths}
        self.danced: list[tuple[str, str]] = []
        self.several: list[tuple[int, str]] = []
        self.tag: Tag | None = None
        self.closing = ""
        self.counted: list[tuple[int, str]] = []
        self.cut = self.at = 0
        self.over = False
        texts = by_letters([text for _, text in reader.numbered()])
        reader.laid[:] = [evolve(line, text=text) for line, text in zip(reader.laid, texts, strict=True)]
        self.all = "\n".join(texts)
        self.capital = 2 * sum(map(str.isupper, texts)) > len(texts)
        self.names, at = named_in_order(texts)
        heads = [each[1].title() for each in map(_WORD_HEAD.match, texts) if each]
        self.names = self.names or (tuple(dict.fromkeys(heads)) if len({*heads}) > 1 else ())
        self.ordered = reader.numbered()[at][0] if at >= 0 else 0
        numbered = [re.match(r"\s*\(?\d{1,2}[.)]\s+[A-Za-z]", text) is not None for text in texts]
        alone = 3 * sum(one and other for one, other in itertools.pairwise([*numbered, True])) <= sum(numbered) - 2
        self.titled = sum(numbered) > 2 and alone
        self.parted = bool(self.names) or len(re.findall(r"^\W*part [a-h]\b", self.all, re.I | re.M)) > 1
        self.lettered = False
        if not self.parted:
            reader.laid[:] = _headed_by_length(reader.laid)
            apart = _lettered(reader.laid, reader.steps)
            self.lettered, reader.laid[:] = apart is not reader.laid, apart
        self.each = number(said[1]) if (said := EACH.search(self.all)) else 0
        self.sized = sized([text for _, text in reader.numbered()])
        if self.sized:
            reader.laid[:] = _sections_apart(reader.laid)

    def steps(self, text: str) -> int:
        """Return how many steps and figures a text says."""
        return self.reader.steps(text)

    def group(self, text: str, length: int = 0) -> Group:
        """Return what a text without counts says."""
        return Group(self.reader.events(text), None, text, length=length)

    def rows(self, group: Group) -> list[Item]:
        """Return the lines that a group is."""
        return rows_of(group, self.reader.book, self.reader.assumed)

    @property
    def total(self) -> int:
        """How many counts the dance is said to have, 0 if that isn't said."""
        return int(said_of("counts", self.facts) or 0)

    @property
    def here(self) -> Section:
        """The section that is being read."""
        return self.opened().sections[-1]

    @property
    def following(self) -> str:
        """The line behind the one that is being read, "" for none."""
        return "".join(line.text for line in self.reader.laid[self.at + 1 : self.at + 2])

    def rows_below(self) -> int:
        """Return the last count of the rows that stand under the line that is being read and run on from one, 0 for
        none."""
        last = 0
        for line in self.reader.laid[self.at + 1 :] if self.parts else ():
            row = counted(line.text) if re.search(r"^\W*\d|\d\s*[)\]]\W*$", line.text) else None
            if row is None or row.first != last + 1 or (line.gap and (last or not self.full)):
                break
            last = row.last
        return last

    def opened(self) -> OpenPart:
        """Return the part that is open; the first steps open one where no head does."""
        return self.parts[-1] if self.parts else self.begin("Main", 0)

    def begin(self, name: str, beats: int) -> OpenPart:
        """Open a part."""
        self.parts.append(OpenPart(name, beats))
        self.danced.append((name, ""))
        return self.parts[-1]

    def section(self, section: Section) -> None:
        """Open a section of the part that is open."""
        if self.parts and not self.parts[-1].sections[-1].used:
            self.parts[-1].sections.pop()
        elif not self.parts:
            self.begin("Main", 0)
            self.parts[-1].sections.pop()
        self.parts[-1].sections.append(section)

    @property
    def sections(self) -> list[Section]:
        """The sections of the part that is open."""
        return self.parts[-1].sections if self.parts else []

    @property
    def last(self) -> int:
        """The last count that is written in the section, or behind its head in the one before, 0 if none is."""
        return self.here.last or (self.sections[-2].last if len(self.sections) > 1 else 0)

    def goes_on(self, count: int) -> bool:
        """Say whether a count comes next: behind those of the tag or the section, or behind those above its head; of an
        ending also behind those of the last wall."""
        if self.tag:
            cut = self.passes.cut if self.tag is self.passes.end else 0
            return count - sum(map(beats_of, self.tag.items)) in (1, cut + 1)
        begins = self.here.stated[0] if self.here.stated and not self.here.items else 0
        return count in (self.here.last + 1, self.last + 1, begins)

    @property
    def full(self) -> bool:
        """Whether all counts of the dance are read."""
        return 0 < self.total == sum(section.counts for section in self.sections)

    def anew(self, count: int, number: int) -> None:
        """Open a section without a head for counts from one again, or behind those that the head over them states."""
        here = self.here
        beyond = here.items and here.stated and count > here.stated[1]
        if not self.tag and (beyond or here.led_on(count) or (not here.title and count <= here.last)):
            self.section(Section("", None, number))

    def remarked(self, number: int, text: str) -> None:
        """Keep what stands beside the head of the part, and where dancers face when it begins."""
        part = self.parts[-1]
        part.remark, part.starts = part.remark or text.strip(" ,."), begins_at(text)
        if not part.starts and re.search(r"(?i)\d:\d\d|\b(?:front|back) wall\b", text):
            self.reader.unused(number, text)

    def close(self, text: str) -> None:
        """Keep the words that say that the dance begins again."""
        if self.closing:
            self.ends.append(tight(text))
        else:
            self.closing = tight(text)

    @property
    def target(self) -> list[Item]:
        """The lines that are being read: those of a tag, else of the section."""
        return self.tag.items if self.tag else self.here.items

    def sourced(self, number: int, text: str) -> None:
        """Note the line that the new lines of the section, or of the tag, were read from."""
        self.target[:] = [evolve(i, source=i.source or number) if isinstance(i, Line) else i for i in self.target]
        if not self.tag:
            self.here.sources.append((number, text))

    def stands(self) -> str:
        """Return the foot that the last line of movements leaves the weight on, "" if that isn't known."""
        last = next((item for item in reversed(self.here.items) if isinstance(item, Line)), None)
        moves = last.moves if last else ()
        return next((move.foot for move in reversed(moves) if move.code in WEIGHT), "")

    def passed(self, first: int, last: int) -> None:
        """Note the counts that the section has come to."""
        if self.tag:
            return
        if first == 1 == self.here.first and not (
            self.here.last % 6 and self.here.last % 8
        ):  # bars of three, or eights
            self.here.before, self.here.last = self.here.before + self.here.last, 0
        self.here.first = self.here.first or first
        self.here.last = max(self.here.last, last)


def _sections_apart(laid: list[Laid]) -> list[Laid]:
    """Return lines of stated lengths with the numbers of sections before them, 1, 2, 3, as heads of their own."""
    found = [re.match(r"\s*(\d{1,2})\s{2,}(?=[A-Za-z])", line.text) for line in laid]
    if [int(each[1]) for each in found if each] != [*range(1, 1 + len(list(filter(None, found))))]:
        return laid
    return _apart(laid, found)


def _apart(laid: list[Laid], found: list[re.Match[str] | None]) -> list[Laid]:
    """Return lines with the label that is found at the start of some as the head of a section above it."""
    out: list[Laid] = []
    for line, label in zip(laid, found, strict=True):
        if label:
            out += [evolve(line, text=f"Section {label[1]}"), evolve(line, text=line.text[label.end() :], gap=False)]
        else:
            out.append(line)
    return out


def _lettered(laid: list[Laid], steps: Callable[[str], int]) -> list[Laid]:
    """Return lines of which some begin with letters in their order, `A)`, `(B)`, with these as heads, where as many
    sections of eight counts are the dance; a title that says no steps stays with its letter."""
    found = [re.match(r"\s*\(?([A-H])[.)]\s+(?=\S)", line.text) for line in laid]
    letters = "".join(each[1] for each in found if each)
    stated = {fact.value for line in laid for fact in facts_of(line.text, "line")[0] if fact.key == "counts"}
    if len(letters) < 2 or letters != "ABCDEFGH"[: len(letters)] or str(8 * len(letters)) not in stated:
        return laid
    counted = [re.search(r"\(\s*\d|^\W*\d", line.text) for line in laid]
    over = [not label and count is not None for label, count in zip(found, counted, strict=True)]
    titled = [
        label and (not steps(line.text[label.end() :]) or (follows and not count))
        for line, label, count, follows in zip(laid, found, counted, [*over[1:], False], strict=True)
    ]
    laid = [
        evolve(line, text=f"Section {label[1]}: {line.text[label.end() :]}") if label and title else line
        for line, label, title in zip(laid, found, titled, strict=True)
    ]
    return _apart(laid, [None if title else label for label, title in zip(found, titled, strict=True)])


_LASTS = re.compile(rf"(?i)(?<![:.])\s*\(?\b(?<![:.])([1-9]\d?)(?: ?{UNITS})?\)?\W*$")


def _headed_by_length(laid: list[Laid]) -> list[Laid]:
    """Return lines in which the first of each paragraph that alone in it ends in a length states its counts, as heads
    do, where these lengths come to counts that the description states."""
    starts = [at for at, line in enumerate(laid) if line.gap]
    heads: list[tuple[int, re.Match[str]]] = []
    for at, end in itertools.pairwise([*starts, len(laid)]):
        lasts = [_LASTS.search(line.text) for line in laid[at:end]]
        other = re.match(rf"(?i)\W*[\d&]|.*{RESTARTS}", laid[at].text)
        if end - at > 1 and (found := lasts[0]) and not other and not any(lasts[1:]):
            heads.append((at, found))
    sums = [*itertools.accumulate(int(found[1]) for _, found in heads)]
    stated = re.findall(rf"(?i)\b(\d{{2,3}})[ -]?{UNITS}\b", " ".join(line.text for line in laid))
    out = list(laid)
    if len(heads) > 1 and str(sums[-1]) in stated:
        for (at, found), last in zip(heads, sums, strict=True):
            text = f"[{last - int(found[1]) + 1}-{last}] {laid[at].text[: found.start()]}"
            out[at] = evolve(laid[at], text=text)
    return out


_WORD_HEAD = re.compile(r"(?i)^\W*((?:verse|chorus|bridge|break)(?: \d)?)\W*(?:$|\([^()]*\)\W*$)")
NUMBERED = re.compile(r"^\s*\(?\d{1,2}[.)]\s+[A-Za-z]")


def first_step(page: Page, numbered: list[tuple[int, str]]) -> int:
    """Return the index of the first line that belongs to the steps, the heading over it being one of them."""
    laid, texts = page.reader.laid, [text for _, text in numbered]
    at = next((index for index in range(len(texts)) if _opens(page, index, texts)), len(texts))
    over = at - 1
    if 0 < at < len(texts) and not laid[at].gap and (laid[over].headed or (over and laid[over].gap)):
        return over if titling(texts[over]) and not (page.parted and head(texts[at], page.names)) else at
    return at


def _opens(page: Page, index: int, texts: list[str]) -> bool:
    """Say whether a line is one of steps, or heads them: the first may be the title, or the head of a part."""
    text, following = texts[index], next(iter(texts[index + 1 : index + 2]), "")
    parted = any(line.gap for line in page.reader.laid[index + 1 : index + 2])
    if listed_lengths(text) or is_legend(text) or (parted and _LENGTH.match(text) and not _LENGTH.match(following)):
        return False
    if columns(text) or (headed(page, text) and (index or dances(page, following))):
        return True
    return _stepping(page, index, text, following)


_LENGTH = re.compile(rf"(?i)\W*{NUMBER}[ -]?{UNITS}\W*$")
"""A length and nothing else: apart over the steps it is that of the dance."""


def dances(page: Page, text: str) -> bool:
    """Say whether a line says steps or figures, more of them than anything else, and no facts."""
    found = [event for piece in cut(text) for event in page.reader.events(piece.text)]
    said = sum(isinstance(event, Step | Mention) for event in found)
    unread = sum(isinstance(event, Unread) for event in found)
    told = _states(text) or re.search(r"(?i)\b(?:beginners?|improver|intermediate|advanced|novice)\b", text)
    return said > unread and not told and not is_music(text) and not is_author(text)


def titling(text: str) -> bool:
    """Say whether a line may be the title of steps: it is short, and states no facts."""
    other = re.search(r"(?i)\b(?:after|intro|wait)\b|\.\s*$", text) or is_music(text.strip()) or is_author(text)
    return len(text) < 90 and not other and not _states(text) and not is_change(text)


def _states(text: str) -> bool:
    """Say whether a line states facts of a header, more than the counts of a section."""
    return any(fact.key != "counts" or int(fact.value) > 16 for fact in facts_of(text, "line")[0])


def _stepping(page: Page, index: int, text: str, following: str) -> bool:
    if (index and sectioned(page, text, following)) or (page.titled and NUMBERED.match(text)):
        return True
    said = page.steps(text)
    first = next((piece.counts for piece in cut(text)), None)
    begins = first is not None and len(first.points) > 1 and re.match(r"\W*[&\d]", text) is not None
    begins = begins or (dances(page, text) and dances(page, following))
    begins = begins or any(page.steps(each) > 2 and dances(page, each) for each in sentences(text)[1:])
    stated = said and any(piece.counts for piece in cut(text)) and not facts_of(text, "line")[0]
    length = 0 if said_of("wait", facts_of(text, "line")[0]) else lasting(text, page.sized)[0]
    lasts = ((said or NUMBERED.match(text)) and 0 < length <= 16) or (
        2 < length <= 16 and titling(text) and dances(page, following)
    )
    many = said >= 4 and not said_of("wait", facts_of(text, "line")[0])
    return bool(index) and bool((begins and (said or not facts_of(text, "line")[0])) or stated or lasts or many)


def headed(page: Page, text: str) -> tuple[str, int, str] | None:
    """Return the name, beats and rest of the head of a part, where the description has parts."""
    found = head(text, page.names) if page.parted and not of_walls(text) else None
    waits = found and found[0].casefold() == "intro" and "intro" not in map(str.casefold, page.names)
    return None if waits else found


_WHOLE = re.compile(
    r"(?i)\b(?:repeat|dance|do|again|same)\b"
    r"(?=.*\b(?:whole|all|these|those|this|same|everything|once more|to make|counts? \d+)\b)"
)


def doubled(page: Page, text: str) -> bool:
    """Say whether a line says all of a dance again that is stated twice as long."""
    once = sum(map(beats_of, page.parts[-1].items)) if page.parts else 0
    return not page.parted and bool(once and page.total == 2 * once and _WHOLE.search(text))


_ONE_TIME = rf"(?:short\w*|last|final|{ORDINAL})"


def of_one_time(page: Page, text: str) -> bool:
    """Say whether a line speaks of one of the times that a part of before is danced: `Last B: …`, `Short A (…): …`."""
    names = "|".join(re.escape(part.name) for part in page.parts if part.items and part.name != "Main")
    said = names and re.match(rf"(?i)\W*(?:the )?{_ONE_TIME} (?:part )?(?:{names})\b\W", text)
    return bool(said)


def sectioned(page: Page, text: str, following: str) -> Heading | None:
    """Return the head of a section that a line is, if it is one."""
    many = page.reader.steps
    following = "" if is_change(following) else following  # the counts of a tag are none of the section
    found = over_its_first(text, following, many) or heading(text, following, many)
    bare = page.parts and page.here.last and not (page.here.title or page.here.stated)
    row = found and found.counts and re.match(r"\s*\d", text)
    return None if (row and (bare or _first_of(page, text))) or (found and _last_row(page, text, found)) else found


def _last_row(page: Page, text: str, head: Heading) -> bool:
    """Say whether a line ends a paragraph whose counts run on through it, so that what stands below is not under it."""
    here, below = [*page.reader.laid[page.at : page.at + 2], None, None][:2]
    ends = here and below and below.gap and not here.gap and here.text == text
    goes_on = page.parts and head.counts and head.counts[0] == page.here.last + 1 > 1
    return bool(ends and goes_on and page.reader.steps(text))


def _first_of(page: Page, text: str) -> bool:
    """Say whether a line with counts is the first of a part that has just its counts and those of the lines below it,
    and so is over none of these."""
    if not page.parts or page.parts[-1].items or not page.parts[-1].beats:
        return False
    below = [line.text for line in page.reader.laid[page.at + 1 :]]
    rows = [text, *itertools.takewhile(lambda each: re.match(r"\s*[&\d]", each) and not headed(page, each), below)]
    return page.parts[-1].beats == sum(found.length for found in map(counted, rows) if found)
