"""What a whole description is looked through for before it is read: figures, and the lengths of its parts."""

import itertools
import re

from stepcheck.drafts.codes import definitions
from stepcheck.drafts.cue_words import split_foot
from stepcheck.drafts.heads import head, name_of
from stepcheck.drafts.order import REMARK, is_legend
from stepcheck.drafts.page import Page
from stepcheck.drafts.vocabulary import plain, tight

_PART_LASTS = re.compile(
    r"(?i)\b(part [A-H1-9]|[A-H]|tag|chorus|verse|bridge|break|ending)\b\s*(?:is|has|=|:|-)?\s*"
    r"(\d{1,3})\s*(?:counts?|beats?|cts?)\b[,;]?"
)


def listed_lengths(text: str) -> bool:
    """Say whether a line tells the lengths of several parts."""
    return len(_PART_LASTS.findall(text)) > 1


def lengths(page: Page, text: str) -> str:
    """Return a line without what it says of the lengths of parts, which are kept: `Part A is 32 counts`."""
    for found in _PART_LASTS.finditer(text) if page.parted else ():
        page.beats[name_of(found[1], page.names).casefold()] = int(found[2])
    return _PART_LASTS.sub(" ", text) if page.parted else text


_ENTRY = re.compile(r"\s*([A-Z][\w' -]*?)\s+-\s+(?=\S)(.+)$")


def glossary(page: Page, numbered: list[tuple[int, str]]) -> dict[int, str]:
    """Return the lines of a list of figures under a heading of its own, `Basic - DS RS`, as definitions; the heading
    as ""."""
    found: dict[int, str] = {}
    for at, (number, text) in enumerate(numbered):
        entries = list(itertools.takewhile(lambda line: _ENTRY.match(plain(line[1])), numbered[at + 1 :]))
        spelled = [page.cues.footwork(entry[2]) for _, said in entries if (entry := _ENTRY.match(plain(said)))]
        if text.rstrip().endswith(":") and not head(text, page.names) and 2 * sum(map(bool, spelled)) > len(spelled):
            found |= {number: "", **{each: _ENTRY.sub(r"\1 = \2", plain(said)) for each, said in entries}}
    return found


def learn(page: Page, numbered: list[tuple[int, str]]) -> None:
    """Take the figures that the source spells out, wherever it does, and the beats of parts told in one line."""
    if page.line:
        return
    page.glossary = glossary(page, numbered)
    for text in (page.glossary.get(number) or said for number, said in numbered):
        said = plain(text)
        if "\t" in text or REMARK.match(text) or is_legend(text):
            continue
        if found := re.match(r"(?i)\s*beats\s*:\s*(.*)", said):
            for name, beats in re.findall(r"([A-Za-z][\w ]*?)\s+(\d{1,3})", found[1]):
                page.beats[name.strip().casefold()] = int(beats)
        for name, spelled in definitions(text, page.names):
            if made := page.cues.footwork(spelled):
                forms, note, facts, rest = made
                more = re.sub(r"\(?\d+ beats\)?", "", rest).strip(" ,")
                page.cues.define(split_foot(name)[0], forms, ", ".join(filter(None, (note, more))), facts)


def glossed(page: Page, number: int, text: str) -> None:
    """Take a line of a list of figures: its heading, one that was learnt before, or one that is not understood."""
    found = definitions(page.glossary[number])
    page.reader.mark(number, "steps" if found else "heading")
    if not all(page.cues.footwork(spelled) for _, spelled in found):
        page.reader.leave_open(number, text)
    if page.reader.kinds[number] != "steps":
        page.ends.append(tight(text))


def spelled_out(page: Page, number: int, text: str) -> bool:
    """Take figures that are spelled out, and the beats of parts, which were learnt before."""
    beats = re.match(r"(?i)\s*beats\s*:", text)
    found = definitions(text, page.names)
    if not beats and (not found or re.match(r"\s*(?:-\s*)?[(]?\d", text)):
        return False
    if beats or all(page.cues.footwork(spelled) for _, spelled in found):
        page.reader.mark(number, "steps")
    else:
        page.left.append(tight(text))
        page.reader.leave_open(number, text)
    return True
