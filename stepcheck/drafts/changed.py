"""Restarts that are told by a count of a section or by lines, and those before which the last counts are others; the
steps of the end; and what a line sums up of restarts and tags, wall by wall or how many."""

import re
from collections.abc import Sequence

from attrs import evolve, frozen

from stepcheck.pages.facts import claims
from stepcheck.pages.order import ON_WALLS, ORDER_WORD
from stepcheck.pages.page import Page, dances
from stepcheck.pages.parts import source_of
from stepcheck.pages.passes import ENDS, POSE, RESTARTS, Passes, Restart, Tag
from stepcheck.steps.counts import counted
from stepcheck.steps.outline import Expect, Line, beats_of
from stepcheck.steps.rows import Group
from stepcheck.steps.steps import Aside, Mention, Step, Unread
from stepcheck.steps.vocabulary import plain, tight
from stepcheck.steps.words import NUMBER, ORDINAL, SECTION, UNITS, number, ordinal

_LINES = re.compile(r"(?i)\blines? (?:1\s*(?:-|to)\s*)?(\d)\b")
_SECTION = rf"{SECTION}\.?\s*#?{NUMBER}\b"
_OF_SECTION = (
    re.compile(
        rf"(?i)(?:\bcounts?\s+|\b(?<=to )|\b(?<=after ))(?:1\s*(?:-|to)\s*(?=\d+\s+\w+\s+\w+\s+(?:1|one)\b))?"
        rf"{NUMBER}&?\s+(?:of|in)\s+(?:the\s+)?(?:{_SECTION}|({ORDINAL}) {SECTION}(?![a-z]))"
    ),
    re.compile(
        rf"(?i)(?:\b{_SECTION.replace(NUMBER, '(?:[1-9])')}\s+(?:and|plus|\+|&)\s+)?(?:the\s+)?first\s+{NUMBER}\s+"
        rf"{UNITS}\s+(?:of|in)\s+(?:the\s+)?{_SECTION}"
    ),
    re.compile(rf"(?i)\b{_SECTION}\W+(?:(?:up\s+)?(?:to|after|through)\s+)?counts?\s+{NUMBER}\b(?!\s*[-&])"),
)
"""`count 6 of section 2`, `counts 1-6 of section 1`, `S1 and the first 6 counts of S2`, `section 2, count 6`."""


def read_walls(
    page: Page, number: int, text: str, before: int, lengths: Sequence[int]
) -> tuple[Restart | Tag | None, bool]:
    """Read a line about walls; return the restart, the tag or the end that it is, None if it can't be read, and whether
    other steps are danced before its restart.

    Args:
        page: what is read so far.
        number: the number of the line.
        text: the line.
        before: how many counts stand above it, 0 where it does not stand among the steps.
        lengths: how many counts each section has, as far as that is known.
    """
    if ON_WALLS.search(text) and (each := _EACH_TIME.search(text)):
        page.reader.unused(number, each[0].strip(" ,;.("))
        text = text.replace(each[0], " ")
    told, begun = _in_counts(page, text, lengths), len(page.passes.restarts)
    if ENDS.match(told) and (swap := _REPLACED.search(told)):  # the last wall is danced to the count before them
        told = f"{told[: swap.start()]} after {int(swap['a']) - 1} counts, {swap['steps']}{told[swap.end() :]}"
    change = _changed(page, told)
    found = page.passes.read(change.rest if change else told, before, lengths, text)
    if change and not (isinstance(found, Restart) and _add(page, number, text, change, begun)):
        page.passes.restarts[begun:], found = [], None
    added = _ADDED.search(plain(told)) if found and not change else None
    if added and any(
        isinstance(e, Mention) or (isinstance(e, Step) and not e.bare) for e in page.reader.events(added[1])
    ):
        page.reader.unused(number, added[1])  # on the last counts, or behind them?
    return found, change is not None


def _in_counts(page: Page, text: str, lengths: Sequence[int]) -> str:
    """Return a line about a wall with a count of a section, or the first lines of the steps, as counts of the dance."""
    for at, pattern in enumerate(_OF_SECTION if lengths else ()):

        def told(found: re.Match[str], last: bool = at == 2) -> str:
            nth = ordinal(found[3]) if len(found.groups()) > 2 and found[3] else 0
            section, count = (nth or number(found[1 if last else 2])), number(found[2 if last else 1])
            known = section <= len(lengths) and 0 < count <= lengths[section - 1]
            return f"count {sum(lengths[: section - 1]) + count} " if known else "count ? "

        text = pattern.sub(told, text)
    if lengths and (step := _TO_STEP.search(text)):
        where = _end_of(page, step[1], number(step[2]), lengths) or "?"
        text = f"{text[: step.start()]}after count {where}{text[step.end() :]}"
    line = _AFTER_LINE.search(text)
    labelled = line and any(re.match(rf"\W*{line[1]}[.)]\s", each) for each in page.reader.texts)
    if line and labelled and int(line[1]) <= len(lengths):
        text = f"{text[: line.start(1)]}{sum(lengths[: int(line[1])])} counts{text[line.end() :]}"
    items = [item for part in page.parts[:1] for item in part.items if beats_of(item)]
    first = [*dict.fromkeys(map(source_of, items))][: int(found[1])] if (found := _LINES.search(text)) else []
    total = sum(beats_of(item) for item in items if source_of(item) in first)
    return f"{text[: found.end()]} ({total} counts){text[found.end() :]}" if found and total else text


_TO_STEP = re.compile(
    rf"(?i)\b(?:to|after|through|until)\s+(?:the\s+)?(?:end\s+of\s+the\s+)?(?!(?:the|end|first|last|counts?|\d+)\b)"
    rf"(\w[^.;,:()]*?)\s+(?:in|of)\s+(?:the\s+)?{_SECTION}"
)
"""`dance to the pivot in section 2`."""


def _end_of(page: Page, words: str, section: int, lengths: Sequence[int]) -> int:
    """Return the count of the dance on which the one row of a section ends that ends in a step, 0 if there is none."""
    first, at = sum(lengths[: section - 1]), 0
    ends = dict[int, int]()
    for item in page.parts[0].items if page.parts else ():
        at += beats_of(item)
        if first < at <= first + sum(lengths[section - 1 : section]):
            ends[source_of(item)] = at
    said = re.compile(rf"(?i)\b{re.escape(words)}\b(?![^(\[]*(?:[,;&]|\b(?:and|then)\b))")
    found = [at for line, at in ends.items() if said.search(plain(page.reader.texts[line - 1]))]
    return found[0] if len(found) == 1 else 0


_SPAN = r"(?P<a>\d{1,2})\s*(?:[-&,]|to|and)\s*(?P<b>\d{1,2})\b"
_BEHIND = re.compile(
    rf"(?i)\b(?:counts?\s+\d{{1,2}}|\d{{1,2}}\s+{UNITS})\b(?![^.]{{0,3}}\d?\s*[-&]\s*\d)"
    rf"(?P<steps>(?:(?!{RESTARTS}|\bwalls?\b|\binstead\b).)+)(?={RESTARTS}|\binstead\b)"
)
"""What stands between the count of a cut and the word for the restart, or what it is danced instead of."""
_INSTEAD = re.compile(r"(?i)\binstead(?: of [^.;()]*)?(\([^()]*\)|)")
"""`instead of the pivot (7-8)`: the counts are those of the steps in front."""
_REPLACED = re.compile(
    rf"(?i)\W*\b(?:but\s+)?(?:replac\w*|chang\w*|swap\w*|substitut\w*)\s+(?:the\s+)?(?:(?:counts?|steps?)\s+)?{_SPAN}\s*"
    rf"(?:with|to|by|for|into)\s+(?P<steps>[^.;]+?)(?=\W*(?:(?:and|then|before|you)\W+)*(?:{RESTARTS}|\bfacing\b|[.;]|$))"
)
"""`but replace counts 15-16 with …`."""
_ON = re.compile(rf"(?i)\W*(?:\b(?:on|for|as|in)\s+|\()(?:counts?\s*)?{_SPAN}\)?\W*$")
_LEADS = re.compile(r"(?i)\W*(?:(?:and|then|but|just|add(?:ing)?|do|with|an?|you|please)\b\W*)*")
_PLACE = re.compile(r"(?i)\s*(?:[(\[]|(?:the|of|which|where|that|at|i\.e)\b)")
"""The beginning of words that say where a cut is: `16 counts (the coaster)`."""
_ENDS = re.compile(r"(?i)(?:\W*\b(?:and|then|before|you|to)\b)*\W*$")


_AFTER_LINE = re.compile(r"(?i)\bafter\s+(?:line\s+|no\.?\s*|#)?(\d)\b\.?(?=\W*(?:$|,|but\b|then\b|and\b))")
"""The number of a line of eights: `after 2.`."""
_EACH_TIME = re.compile(r"(?i)[,;.(]*\s*\b(?:first|1st) time\b[^.;]*\b(?:second|2nd|next) time\b[^.;)]*[.)]?")
"""What is said of each of several walls by its turn: `first time facing front, second time back`."""
_ADDED = re.compile(
    r"(?i)\b(?:(?:with|adding|plus)|but (?:on|at) (?:counts? )?\d{1,2}(?:\s*[-&]\s*\d{1,2})?)\s+"
    r"([^.;()]+)(?:\([^()]*\))?\W*$"
)


@frozen
class _Change:
    """What is danced before a restart instead of what stands there: its words, the first and the last count that they
    are said to be on, 0 if none, and the line without them."""

    steps: str
    first: int
    last: int
    rest: str

    @property
    def size(self) -> int:
        """How many counts it is said to be on, 0 if that isn't said."""
        return self.last - self.first + 1 if self.first else 0


def _changed(page: Page, text: str) -> _Change | None:
    """Return the steps that a line about a restart says of its last counts, None where it says none."""
    said = _INSTEAD.sub(r" \1 instead", plain(text))
    if re.search(r"(?i)\btags?\b|^\W*(?:end|finish|last wall|final wall)", said) or not re.search(
        f"(?i){RESTARTS}", said
    ):
        return None
    found = _REPLACED.search(said) or _BEHIND.search(said)
    if not found or (found.re is _BEHIND and _PLACE.match(found["steps"])):
        return None
    words = _ENDS.sub("", found["steps"])
    span = found if found.re is _REPLACED else _ON.search(words)
    words = words[: span.start()] if span and span is not found else words
    words = words[led.end() :] if (led := _LEADS.match(words)) else words
    if not (span or page.steps(words)):
        return None
    first, last = (int(span["a"]), int(span["b"])) if span else (0, 0)
    return _Change(
        words,
        first,
        last,
        f"{said[: found.start('steps') if found.re is _BEHIND else found.start()]}, {said[found.end() :]}",
    )


def _add(page: Page, number: int, text: str, change: _Change, begun: int) -> bool:
    """Dance the changed steps behind the cuts that a line told, those of the passes from `begun` on; return whether
    each of these is just where they begin."""
    passes = page.passes
    said = page.group(change.steps, change.size)
    items = page.rows(said)
    length, told = sum(map(beats_of, items)), passes.restarts[begun:]
    blank = any(isinstance(item, Line) and item.blank for item in items)
    unsure = blank or any(isinstance(event, Aside) for event in said.events)
    cut, lasts = _cut(change, told), length == change.size if change.size else length > 0 and not unsure
    if not (cut and lasts):
        return False
    name, walls = f"Change {len(passes.changes) + 1}" if passes.changes else "Change", tuple(each.wall for each in told)
    passes.changes.append(Tag(name, length, walls, (), change.steps, items, tight(text), number))
    passes.restarts[begun:] = [evolve(each, counts=cut, behind=name) for each in told]
    if blank:
        page.reader.leave_open(number, change.steps)
    return True


def _cut(change: _Change, told: Sequence[Restart]) -> int:
    """Return after how many counts all passes are cut, so that the changed steps stand on their counts behind it, 0
    where they stand elsewhere; they end with the cut that is told, or begin behind it."""
    size = change.size
    ends = size and any(not (each.counts - change.last) % 8 for each in told)
    cuts = {each.counts - size * bool(ends) for each in told}
    fits = len(cuts) == 1 and all(not size or not (cut + 1 - change.first) % 8 for cut in cuts)
    return max(0, *cuts) if fits else 0


def ending_below(page: Page, text: str, cut: int = 0) -> bool:
    """Say whether the lines under one that speaks of the end are the steps of the ending: they count from one, or on
    from the `cut` of the last wall, where the dance is over or its sections have heads; or they say steps there."""
    below, led = page.reader.laid[page.at + 1 : page.at + 2], counted(page.following)
    over = page.full or bool(page.closing)
    if page.parted or not page.parts or not below or not ENDS.match(plain(text)):
        return False
    if led:
        return (over or bool(page.here.title)) and led.first in (1, cut + 1)
    return over and not below[0].gap and dances(page, below[0].text)


def ends(page: Page, number: int, end: Tag) -> bool:
    """Take the steps that a dance ends with, or go on with those below, before which the line may claim where dancers
    face and which foot is free; return whether all of them are read."""
    below, said = ending_below(page, end.source, page.passes.cut), claims(end.text)
    if not re.search(r"\w", end.text) or (below and said and said.pure):
        page.passes.end = evolve(end, number=number)
        page.tag = page.passes.end if below else None
        told = (said.facing and f"facing {said.facing}", said.foot and f"{said.foot} foot") if said else ()
        for each in filter(None, told):
            end.items.append(Expect(each, tight(end.text)))
        return True
    if POSE.search(end.text) and not (page.steps(end.text) or re.search(r"(?i)\bturn|\bspin", end.text)):
        return True
    made = page.reader.events(end.text)
    unsure = any(isinstance(each, Unread | Mention) for each in made)
    end.items[:] = [] if unsure else page.rows(Group(made, None, end.text))
    return bool(end.items) and all(isinstance(item, Line) and not item.blank for item in end.items)


# --- what a line sums up of restarts and tags

_KIND = r"(restart|tag|ending)s?\b"
_MANY = rf"(?:{NUMBER}\s*(?:(?:very |really )?(?:easy|simple|short|little|quick) )?{_KIND}|{_KIND}\s*[:=]\s*{NUMBER})"
_HOW_MANY = re.compile(
    rf"(?i)\W*(?:{_KIND}\s*/\s*{_KIND}\W*)?(?:there (?:is|are)\s+)?"
    rf"{_MANY}(?:\s*(?:,|/|;|and|&|\s)\s*{_MANY})*\W*(?:\([^()\d]*\)\W*)?"
    r"(?:(?:don'?t (?:panic|worry)|no (?:worries|panic)|(?:i )?promise)\W*)?"
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
