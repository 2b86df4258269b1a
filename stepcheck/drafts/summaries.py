"""What a line sums up of the restarts and tags that others tell: the walls one after another, or how many there are."""

import re

from stepcheck.pages.order import ORDER_WORD
from stepcheck.pages.passes import Passes
from stepcheck.steps.vocabulary import plain
from stepcheck.steps.words import NUMBER, number

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
