"""Where the steps of a description begin, and what a line among them may be."""

import re

from stepcheck.drafts.codes import row
from stepcheck.drafts.counts import cut, lasting, steps_said
from stepcheck.drafts.facts import facts_of
from stepcheck.drafts.header import is_author, is_music
from stepcheck.drafts.heads import Heading, head, heading
from stepcheck.drafts.layout import columns
from stepcheck.drafts.learning import listed_lengths
from stepcheck.drafts.order import ORDER_WORD, is_legend
from stepcheck.drafts.page import Page
from stepcheck.drafts.passes import is_change
from stepcheck.drafts.phrases import events
from stepcheck.drafts.steps import Mention, Step, Unread

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
    if listed_lengths(text) or is_legend(text):
        return False
    if columns(text) or (headed(page, text) and (index or dances(page, following))):
        return True
    if page.line:
        return _stepping(page, index, text, following)
    ordered = ORDER_WORD.match(text) and not re.match(r"(?i)\W*dance [a-z]{2}", text)
    return bool(index) and not ordered and dances(page, text)


def dances(page: Page, text: str) -> bool:
    """Say whether a line says steps or figures, more of them than anything else, and no facts."""
    found = [event for piece in cut(text) for event in events(piece.text, page.reader.vocabulary)]
    said = sum(isinstance(event, Step | Mention) for event in found)
    unread = sum(isinstance(event, Unread) for event in found)
    if row(text):
        return True
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
    said = steps_said(text, page.reader.vocabulary)
    first = next((piece.counts for piece in cut(text)), None)
    begins = first is not None and len(first.points) > 1 and re.match(r"\W*[&\d]", text) is not None
    begins = begins or (dances(page, text) and dances(page, following))
    stated = said and any(piece.counts for piece in cut(text)) and not facts_of(text, "line")[0]
    length = lasting(text, page.sized)[0]
    lasts = (said and 0 < length <= 16) or (2 < length <= 16 and titling(text) and dances(page, following))
    many = said >= 4 and not any(fact.key == "wait" for fact in facts_of(text, "line")[0])
    return bool(index) and bool((begins and (said or not facts_of(text, "line")[0])) or stated or lasts or many)


def headed(page: Page, text: str) -> tuple[str, int, str] | None:
    """Return the name, beats and rest of the head of a part, where the description has parts."""
    found = head(text, page.names, page.line) if page.parted else None
    waits = found and found[0].casefold() == "intro" and "intro" not in map(str.casefold, page.names)
    return None if waits and (page.line or re.search(r"(?i)\bwait|\bvocals|\bcounts? in\b", text)) else found


def sectioned(page: Page, text: str, following: str) -> Heading | None:
    """Return the head of a section that a line is, if it is one."""
    if not page.line:
        return None
    found = heading(text, following, lambda said: steps_said(said, page.reader.vocabulary))
    bare = page.parts and page.here.last and not (page.here.title or page.here.stated)
    return None if bare and found and found.counts and re.match(r"\s*\d", text) else found
