"""Lays steps that are told in sentences: each is a row, and a paragraph that states its length comes to it."""

import re

from attrs import evolve

from stepcheck.drafts.laying import LENGTH, OFTEN, lay, steps
from stepcheck.drafts.retold import TELLS, counts_again
from stepcheck.pages.page import Page
from stepcheck.pages.parts import Section, believed
from stepcheck.pages.passes import again
from stepcheck.steps.counts import counted, lasting, sentences, unbulleted
from stepcheck.steps.outline import Assumptions, Line, Remark, beats_of
from stepcheck.steps.phrases import INSTEAD
from stepcheck.steps.rows import rows_of
from stepcheck.steps.steps import Facing, Mention, Step, clock
from stepcheck.steps.words import FOOT, NUMBER, often


def prose(page: Page, number: int, text: str, gap: bool) -> None:
    """Read sentences: each is a row, `then` divides; counts behind words cut as well."""
    led = gap or re.match(r"\W*\d{1,2}\s+counts?\s*[:.-]", text)
    if led and page.here.items and not page.tag:
        page.section(Section("", None, number))
    here = page.here
    here.prose = True
    if counted(text) is not None:
        return steps(page, number, text)
    size, bare = lasting(text, page.sized)
    told = LENGTH.match(last := sentences(text)[-1])
    if size and len(sentences(bare)) > 1 and not (told and re.search(r"\w", last[told.end() :])):
        return _lasting(page, number, text, size, last.strip(" .()") if told else "")
    for sentence in sentences(unbulleted(text)):
        if INSTEAD.match(sentence):
            page.reader.unused(number, sentence)
        if length := LENGTH.search(sentence):
            here.length = int(length[1] or length[2])
            here.facing = clock(sentence) or here.facing
            here.title = here.title or sentence.strip(" .")
            if led := re.match(r"\W*\d{1,2}\s+counts?\s*[:.-]\s*(?=\w)", sentence):
                here.title, length, sentence = led[0].strip(" :.-"), None, sentence[led.end() :]
        if again(sentence) and page.steps(sentence) < 3:
            page.close(sentence)
        elif not length:
            _in_rows(page, number, sentence)
    return page.reader.mark(number, "steps")


def _in_rows(page: Page, number: int, sentence: str) -> None:
    """Lay the rows of a sentence that stand apart by strokes, where each says steps."""
    rows = re.split(r"\s+/\s+", sentence)
    apart = all(page.steps(each) > 1 for each in rows)
    for each in rows if apart else [sentence]:
        lay(page, number, page.group(each))


def _lasting(page: Page, number: int, text: str, size: int, told: str) -> None:
    """Read sentences that come to `size` counts, or are a blank of these; a length within is that of its sentence.

    `told` are the words that state them where they are a sentence of their own, which makes a section.
    """
    target, reader, here = page.target, page.reader, page.here
    head, said = _titled(page, sentences(unbulleted(lasting(text, page.sized)[1])), size)
    if told and not here.items:
        here.length, here.title = size, here.title or head or told
    elif head:
        target.append(Remark(head))
    start = len(target)
    for sentence in said:
        sentence = re.sub(r"\(\s*\)", " ", LENGTH.sub(" ", sentence))
        made = target[start:]
        times, filled = _often(sentence), sum(map(beats_of, made)) == size
        if times and sum(map(beats_of, made)) * times == size:
            target += made * (times - 1)
        elif filled and _is_manner(page, sentence):
            target.append(Remark(sentence))
            reader.unused(number, sentence)
        elif times or not counts_again(page, number, sentence):
            lay(page, number, page.group(sentence))
    lines = believed(target[start:], size, [(number, text)], reader)
    target[start:] = [evolve(item, measured=True) if isinstance(item, Line) else item for item in lines]
    reader.mark(number, "steps")


def _often(text: str) -> int:
    """Return how often a sentence that says only that dances what stands before it in all, 0 for any other."""
    found = OFTEN.fullmatch(text)
    return often(*found.groups(), "twice") if found else 0


_TITLE = re.compile(r"\W*([A-Za-z][^,;:()\d]{1,30}?)\W*(?:\s-\s+|:\s+|[.!]?\s*$)")
_SIDED = re.compile(rf"(?i)\b(?:{FOOT}|{NUMBER}|twice|each)\b")


def _titled(page: Page, said: list[str], size: int) -> tuple[str, list[str]]:
    """Return the title before the steps of a paragraph of `size` counts, "" if it has none, and its other sentences.

    Words before a colon, a dash or a full stop that name no foot and no number are one where the steps behind them come
    to these counts, or where they are a figure with which these are too many.
    """
    found = _TITLE.match(said[0])
    rest = [each for each in (said[0][found.end() :], *said[1:]) if re.search(r"\w", each)] if found else []
    if not found or not rest or _SIDED.search(found[1]) or len(found[1].split()) > 4:
        return "", said
    if said[0].endswith(rest[0]) and _lasts(page, said[0]) == _counts(page, rest[:1]):
        return "", said  # a figure and its steps
    alone, whole = _counts(page, rest), _counts(page, [found[1], *rest])
    return (found[1], rest) if alone == size or whole > size > alone else ("", said)


def _lasts(page: Page, text: str) -> int:
    """Return how many counts the rows of a sentence last."""
    return sum(map(beats_of, rows_of(page.group(text), page.reader.book, Assumptions())))


def _counts(page: Page, said: list[str]) -> int:
    """Return how many counts sentences last, those that dance what is before them again included."""
    total = 0
    for sentence in said:
        length = _lasts(page, sentence)
        again_of = _often(sentence) or 2 * bool(TELLS.search(sentence) and not length)
        total = total * again_of if again_of else total + length
    return total


def _is_manner(page: Page, text: str) -> bool:
    """Say whether a sentence behind all the counts of its steps says how these are danced: it has no foot, turn, figure
    or facing."""
    said = page.reader.events(text)
    moved = any(isinstance(event, Step) and (event.foot or event.turn) for event in said)
    return not (moved or any(isinstance(event, Mention | Facing) for event in said) or _MOVING.search(text))


_MOVING = re.compile(rf"(?i)\b(?:{NUMBER}|left|right|turn\w*|repeat|same|again|more)\b")
