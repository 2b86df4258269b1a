"""What a line without steps claims: where dancers face, which foot is free, how many counts have been danced."""

import re

from attrs import evolve, frozen

from stepcheck.drafts.numbers import NUMBER, number
from stepcheck.drafts.outline import Expect, Line, beats_of
from stepcheck.drafts.page import Page
from stepcheck.drafts.parts import Section
from stepcheck.drafts.passes import again
from stepcheck.drafts.steps import OTHER, clock
from stepcheck.drafts.vocabulary import plain, tight

_SIDE = r"(?:the |your )?(left|right|lf|rf|l|r)\b(?: foot)?"
_FREE = re.compile(
    rf"(?i)\b(?P<on>(?:weight(?:ed)?|wt)\W*(?:(?:is|ends?|ending|now|stays|should be|all)\s+)*(?:on(?:to)?\s+)?){_SIDE}"
    rf"|\b{_SIDE}\s+(?:(?:is|now|will be|foot)\s+)*(?:free|next|leads)\b"
    rf"|\b(?:starts?|begins?)\b[\w ,]{{0,30}}\b(?:again|over)\b[\w ,]{{0,12}}?\b(?:with|on)\s+{_SIDE}"
    rf"|\b(?:free foot|ready|next foot)\W*(?:(?:is|to|start|begin|go|lead|with|on|for)\s+)*{_SIDE}"
)
_CLOCK = re.compile(r"(?i)[(\[]?\s*(?:\d{1,2}:\d\d|\d{1,2}\s*o'?\s?clock)\s*[)\]]?")
_HAND = re.compile(
    r"(?i)\b(left|right)(?:[ -]hand)?(?:[ -]side)?[ -]wall\b|"
    r"\bwall\b(?: that (?:was|is))? (?:on|to|at) (?:the|your) (left|right)\b(?: hand| side)*"
)
"""A wall by the hand that it is on when the dance starts."""
_WALL = re.compile(r"(?i)\b(front|back)(?P<wall> wall)?\b(?! to (?:the )?(?:front|back|start|\d))")
_FACES = re.compile(r"(?i)\b(?:fac|look|see|wall\b|at\b|to\b|toward|now\b|home\b|end)")
_COUNT = re.compile(
    rf"(?i)(?:\b(?:makes|making|total|that'?s|is|are)\W*|^\W*){NUMBER}\W*$|\b{NUMBER}\s*(?P<unit>counts?|beats?|cts?|eights?)\b"
)
_TALK = re.compile(
    r"(?i)(?:\W|\b(?:a|all|already|also|altogether|an|and|another|are|arrive|at|back|be|began|started|been|both|by|come|counts|danced|do|done|each|end|"
    r"ended|ending|ends|face|faces|facing|far|finish|finished|foot|for|free|from|front|half|halfway|have|hence|here|home|if|in|is|it|it's|"
    r"its|just|look|looking|made|make|makes|making|must|next|now|o'clock|of|off|ok|on|once|only|our|point|puts|ready|section|should|side|so|"
    r"stand|standing|still|that|that'?s|the|then|there|this|through|to|total|toward|towards|turned|up|wall|walls|was|way|we|where|weight|will|"
    r"with|yes|you|you'll|you're|you've|your)\b)*"
)


@frozen
class Claims:
    """What a text claims: a facing, the free foot ("left" or "right"), the counts so far; "" or 0 for none.

    `pure` says that the text says nothing else.
    """

    facing: str = ""
    foot: str = ""
    counts: int = 0
    pure: bool = True


def claims(text: str) -> Claims | None:
    """Return what a text claims, None if it claims nothing."""
    rest, facing, foot, counts = plain(text), "", "", 0
    if found := _FREE.search(rest):
        side = next(filter(None, (each for each in found.groups()[1:] if each)))[0].upper()
        foot = {"L": "left", "R": "right"}[OTHER[side] if found["on"] else side]
        rest = rest.replace(found[0], " ")
    if found := _HAND.search(rest):
        facing = {"l": "9:00", "r": "3:00"}[next(filter(None, found.groups()))[0].casefold()]
        rest = rest.replace(found[0], " wall ")
    if found := _CLOCK.search(rest):
        facing, rest = clock(found[0]) or facing, rest.replace(found[0], " ")
    elif _FACES.search(rest) and (walls := [*_WALL.finditer(rest)]):
        facing = facing or next((each for each in walls if each["wall"]), walls[-1])[1].casefold()
    if found := _COUNT.search(rest):
        counts = number(found[1] or found[2]) * (8 if (found["unit"] or "").casefold().startswith("eight") else 1)
        rest = rest.replace(found[0], " ")
    if not (facing or foot or counts):
        return None
    rest = re.sub(r"(?i)\b(?:start|begin|repeat|dance|go)\w*|\b(?:again|over)\b", " ", rest) if again(text) else rest
    return Claims(facing, foot, counts, is_talk(rest))


def is_talk(text: str) -> bool:
    """Say whether a text has no words but those that stand around claims."""
    return _TALK.fullmatch(text) is not None


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


_BEHIND = re.compile(
    r"(?i)[.!;]\s+(?=[A-Z\d])|\s+-{1,2}\s+|[,(]\s*(?=(?:(?:and|so|now)\s+)*(?:that|thats|you|we|making|which)\b)"
)


def claim_behind(text: str) -> tuple[str, str]:
    """Return steps without what is claimed behind them, `, and that makes sixteen counts`, and that, "" for none."""
    for found in reversed([*_BEHIND.finditer(text)]):
        tail = text[found.end() :]
        said = claims(tail) if re.search(r"[A-Za-z]{2}", tail) and not again(tail) else None
        if said and said.pure and not (said.counts and text[found.start()] in ".!;"):
            return text[: found.start()].rstrip(), tail
    return text, ""


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
    if not page.line:
        part.beats = part.beats or counts
        return part.beats == counts
    total = next((int(fact.value) for fact in page.facts if fact.key == "counts"), 0)
    if counts == here.counts + before and (here.length or here.stated or counts == total):
        return True
    line = [item for item in here.items if isinstance(item, Line) and not item.source]
    bare = [item for item in line if item.blank and not item.counts]
    if left := counts - sum(map(beats_of, line)):
        if len(bare) == 1 and left > 0 and here.length != counts:
            here.items[:] = [evolve(item, counts=left) if item is bare[0] else item for item in here.items]
            return True
    elif line:
        return True  # those of the line itself
    if here.stated or here.length:
        return False
    unread = any(isinstance(item, Line) and item.blank and not item.counts for item in here.items)
    fits = [size for size in (counts, counts - before) if size == here.counts or (unread and size > here.counts)]
    if fits:
        here.length, here.title = fits[0], here.title or tight(text).strip(" ,;.-")
        page.section(Section())
    return bool(fits)
