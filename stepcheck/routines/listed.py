"""The list of steps that a cue sheet explains apart from its parts, and the lines that call these: `#5 left, #1 x4`;
parts that the order calls by numbers; lines that are a list of abbreviations with their words."""

import itertools
import re
from collections.abc import Collection, Iterable, Mapping, Sequence

from attrs import evolve, frozen

from stepcheck.cues.codes import is_beats, is_feet
from stepcheck.cues.entries import Entry
from stepcheck.cues.footwork import found_in
from stepcheck.cues.titles import Head, head, plainly, shortens
from stepcheck.routines.order import Danced, order_words, said_of_order
from stepcheck.steps.words import CLOSES, NUMBERS

_SIGN = r"(?:#\s?|\b(?i:steps?|figures?|nos?\.?|numbers?)\s(?:#\s?)?)"
_KEYED = re.compile(rf"(?:(?:{_SIGN}|\()(?P<signed>\d{{1,2}}|[A-Za-z])|(?P<bare>\d{{1,2}}|[a-z](?=[.)])))\)?[.:=-]*\s+")
"""What calls a step, in front of it: `#1 BASIC`, `(2) Triple`, `Step C: Rocking Chair`, `d. Push Off`."""
_TITLE = re.compile(
    r"(?i)\W*(?:(?:the|our|key|list|basic|of|to|all)\s+)*(?:steps?|figures?|moves?|footwork|glossary|breakdowns?)"
    r"(?:\s+(?:and|&|list|key|used|needed|explained|in|for|this|the|dance|routine|glossary|descriptions?|breakdown|footwork|"
    r"(?:that )?(?:you|we)(?:'ll)?(?: will)? (?:need|use)(?: to know)?|to know))*\W*"
)
PARTS = re.compile(r"(?i)\W*(?:the\s+)?(?:parts?|dance|routine|cues?)(?:\s+(?:list|itself))?\W*")
"""What stands over the list, and over the parts behind it."""
_WIDE = 120
"""How far into a line its row begins at most."""
_SEVERAL = re.compile(
    r"(?:#\s?(\d{1,2})\s*(?:-|to|thru|through)\s*#?\s?(\d{1,2})|"
    r"(?i:\b(?:steps|figures|nos\.?|numbers)\s#?)((?:\d{1,2}\s*(?:,|&|and|\+|-|to|thru|through)\s*)+\d{1,2}))(?!\w|/\d)"
)


def is_title(text: str) -> bool:
    """Say whether a line is set over others: `Steps used`, `What they are:`."""
    return text.endswith(":") or _TITLE.fullmatch(text) is not None


def heads(entry: Entry) -> bool:
    """Say whether a line is the head of a part, but for the order and for an end that is all told beside its head."""
    made = head(entry.text, 0) if said_of_order(entry.text, ()) is None else None
    return made is not None and not (made.rest and plainly(made.name) in CLOSES)


@frozen
class Step:
    """A step of the list: the number or letter that calls it, its name, and the line that says it, which is just the
    name and the footwork."""

    key: str
    name: str
    entry: Entry


def numbered(lines: Sequence[Entry]) -> list[Entry]:
    """Return lines of which those that count up from 1 are the heads of parts, if the order calls them by these
    numbers, `Order: 1 2 1`; under one that is `titled` its lines stand."""
    labels = [each.label for each in lines if each.label]
    called = [_numbers(each.text) for each in lines]
    calls = {number for numbers in called for number in numbers}
    again = any(each.label and re.match(r"(?i)(?:repeat|rpt|do|same as)\b.*\d", each.text) for each in lines)
    if labels != [*range(1, len(labels) + 1)] or len(labels) < 2 or not calls or again or not calls <= {*labels}:
        return [*lines]
    out = [*lines]
    for at, each in enumerate(lines):
        under = lines[at + 1] if at + 1 < len(lines) else None
        name = f"Part {each.label}"
        titled = re.match(r"([A-Z][\w' ]{1,24}):\s+(?=\S)", each.text)
        if each.label and under and not (under.label or under.gap or called[at + 1]):
            stated = f", {each.stated} beats" * (each.stated > 0)
            said = f": {each.text}" if each.stated or below(under) else f" ({each.text})"
            out[at] = evolve(each, text=f"{name}{stated}{said}", label=0, stated=0, titled=True)
        elif each.label and titled and not found_in(each.text, {}):
            out[at] = evolve(each, text=f"{name} ({titled[1]}): {each.text[titled.end() :]}", label=0, titled=True)
        elif each.label:
            out[at] = evolve(each, text=f"{name}: {each.text}", label=0)
        elif called[at] and each.stated and re.search(rf",\s*{each.stated}\W*$", each.raw):
            out[at] = evolve(each, text=f"{each.text}, {each.stated}", stated=0)  # the last part, no beats
    return out


def _numbers(text: str) -> list[int]:
    """Return the numbers that the order calls, if a line is one: two at least, behind which no more than a name or how
    often stands."""
    said = re.sub(r"\([^()]*\)", " ", order_words(text) or "")
    said = re.sub(r"(?i)\bx\s?\d\b|\b\d\s?x\b", " ", said)
    numbers = re.fullmatch(r"(?:[\s,;/|>-]*(?:\d{1,2}|and|then|[A-Z][a-z]+)(?![\w/]))+\W*", said)
    found = [*map(int, re.findall(r"\d+", said))] if numbers else []
    return found if len(found) > 1 else []


def listed(lines: Sequence[Entry]) -> tuple[list[Entry], set[int]]:
    """Return lines with the names of the steps that they call, and the numbers of those that only explain these steps:
    a list of names with their rows that stands above the first head of a part, or below a title of its own.

    Without a title the parts must call two of them by number; with one, half of them by number or name. Titles are no
    lines.
    """
    heads = [at for at, each in enumerate(lines) if head(each.text, 0) and _step(lines, at) is None]
    for begin in range(1, len(lines)) if heads else ():
        titled = _TITLE.fullmatch(lines[begin - 1].raw) is not None
        keys = ("1", "a", "") if titled else ("1", "a")
        steps, end = _steps(lines, begin, titled, keys)
        if len(steps) < 2 or (not titled and heads[0] < begin):
            continue
        parts = range(end, len(lines)) if begin < heads[-1] else range(heads[0], begin - titled)
        texts = [_signed(lines[at]) for at in parts]
        called = sum(any(_call(each.key).search(text) for text in texts) for each in steps if each.key)
        named = sum(any(each.name.casefold() in text.casefold() for text in texts) for each in steps)
        if called < 2 and not (titled and 2 * max(called, named) >= len(steps)):
            continue
        out = [*lines]
        for at in parts:
            out[at] = evolve(lines[at], text=_told(_signed(lines[at]), steps))
        made = {each.entry.number: each.entry for each in steps}
        joined = {number for each in made.values() for number in each.also}
        apart = {each.number for each in lines[begin:end]}
        titles = {lines[begin - 1].number} if titled else set[int]()
        titles |= {each.number for each in lines[end : end + 1] if PARTS.fullmatch(each.raw)}
        return [made.get(each.number, each) for each in out if each.number not in titles | joined], apart
    return [*lines], set()


def _steps(lines: Sequence[Entry], begin: int, titled: bool, first: Collection[str]) -> tuple[list[Step], int]:
    """Return the steps of a list that begins at a line, `first` what may call its first one, and where it ends: below a
    title with its paragraph."""
    out: list[Step] = []
    at = begin
    while at < len(lines):
        step = _step(lines, at) or (_in_words(lines[at]) if titled else None)
        said = titled and not lines[at].gap and not head(lines[at].text, 0) and not PARTS.fullmatch(lines[at].raw)
        if step and step.key in ((_next(out[-1].key),) if out else first):
            out.append(step)
        elif not out or not (said or below(lines[at])):
            break
        at += 1
    return out, at


def _next(key: str) -> str:
    """Return what calls the next step of a list."""
    return str(int(key) + 1) if key.isdecimal() else key and chr(ord(key) + 1)


def below(entry: Entry) -> bool:
    """Say whether a line is what stands below a name: a row, feet, or beats."""
    rows = found_in(entry.text[:_WIDE], {})
    return is_feet(entry.raw) or is_beats(entry.raw) or bool(rows and not rows[0].start)


def _step(lines: Sequence[Entry], at: int) -> Step | None:
    """Return the step that a line says with the row behind it, or below it; None if it says none."""
    entry, text, key = lines[at], lines[at].text, ""
    if found := _KEYED.match(text):
        text, key = text[found.end() :], (found["signed"] or found["bare"]).casefold()
    elif entry.label:
        key = str(entry.label)
    elif head(text, 0):
        return None
    also: tuple[int, ...] = ()
    for each in lines[at + 1 : at + 2]:
        if not found_in(text[:_WIDE], {}) and found_in(each.text[:_WIDE], {}) and below(each) and not each.gap:
            text, also = f"{text.strip(' :=-')}   {each.text}", (each.number,)
            entry = evolve(entry, raw=f"{entry.raw} {each.raw}")
    rows = found_in(text[:_WIDE], {})
    name = text[: rows[0].start].strip(" :=-(\t") if rows else ""
    if not re.fullmatch(r"[A-Za-z][A-Za-z'/-]*(?: [A-Za-z'/-]+){0,3}", name):
        return None
    return Step(key, name, evolve(entry, text=f"{name}   {text[rows[0].start :]}", label=0, also=also))


def _in_words(entry: Entry) -> Step | None:
    """Return the step that a line below a title says in words behind a sign: `Triple - three double steps, …`."""
    found = re.match(
        r"([A-Za-z][A-Za-z'/-]*(?: [A-Za-z'/-]+){0,3})\s*(?:\(\d+(?: [a-z]+)?\)\s*)?(?:[=:]|\s-+\s)\s*(?=[A-Za-z])",
        entry.text,
    )
    listed = found and not (entry.label or PARTS.fullmatch(found[1]) or head(entry.text, 0) or order_words(entry.text))
    return Step("", found[1], entry) if found and listed else None


def _signed(entry: Entry) -> str:
    """Return what a line says with a sign before its number, which is no bullet here: `# 1 twice`."""
    return f"#{entry.text}" if re.match(r"#\s\d", entry.raw) else entry.text


def _call(key: str) -> re.Pattern[str]:
    """Return what calls a step: its number behind a sign, or in brackets of its own between two cues."""
    return re.compile(
        rf"{_SIGN}(?i:{key})(?![a-z\d]|/\d)|(?:^|(?<=[,;+&:)]\s)|(?<=\s\s)|(?<=\dx\s)|(?<=\d\s))\((?i:{key})\)"
    )


def _told(text: str, steps: Sequence[Step]) -> str:
    """Return a line with the names of the steps that it calls; several of them in brackets."""
    names = {each.key: each.name for each in steps if each.key}
    text = _SEVERAL.sub(lambda found: _several(found, names), text)
    for key, name in names.items():
        text = _call(key).sub(f" {name} ", text)
    return text.strip()


def _several(found: re.Match[str], names: Mapping[str, str]) -> str:
    """Return the steps that numbers call together, `#1-#3`, `steps 1, 2 and 4`, as they stand if one is unknown."""
    said = f"{found[1]}-{found[2]}" if found[1] else re.sub(r"\s*(?:to|thru|through|-)\s*", "-", found[3])
    keys: list[str] = []
    for each in re.split(r"\s*(?:,|&|and|\+)\s*", said):
        ends = [*map(int, each.split("-"))]
        keys += map(str, range(ends[0], ends[-1] + 1))
    return f"({', '.join(names[key] for key in keys)})" if names.keys() >= {*keys} else found[0]


_TERM = re.compile(
    r"(?:and |&)?\(?([A-Za-z]{1,5}(?:[/-]\w+)?)\.?\)?(?:\s*(?:[=:|]|-+>|\.{2,})\s*|\s+-+\s+|\s+)"
    r"(?:(?:is|means|stands for|for) )?(?:an? )?([A-Za-z][a-z][A-Za-z'/-]*(?: [A-Za-z][a-z'/-]*){0,4})"
    r"(?: \([^()]*\))?\W*"
)
TERMS = re.compile(
    r"(?i)^\W*(?:(?:key|legend|abbrev\w*|terms|codes|abbr)\b(?: (?:used|(?:to|for) [\w ]+(?=\W*$)))?\W*)?"
)
"""An abbreviation and its words, `STO stomp`, and what stands before a list of such."""


_NOTED = re.compile(r"(?i)^\W*(?:(?:for|to)\b[^:,]*|notes?|steps(?: used)?|basic steps)\s*:\s*")
"""Words before a list of abbreviations that say what it is: `Note:`, `For the new folks:`."""
_STOP = re.compile(r"\.\s+(?=[A-Za-z]{1,5}\.? [a-z])")
"""A full stop behind which an abbreviation may stand, `T triple. B basic`."""
_LISTED = re.compile(
    r"\s*[,;]\s*|\s+[/|]\s+|\s{2,}|\t|(?<=\))\s+(?=[A-Z]{1,4} \()|"
    rf"\s+and\s+(?=[A-Z]{{1,4}}\b)|\s+(?=[A-Z]{{1,4}}\s?=\s?[A-Za-z])|{_STOP.pattern}"
)
"""What parts the abbreviations of a list."""
_SPELLED = re.compile(r"\s=(?:[ -][A-Z]{1,3}){2,}\.?$")
"""The row of a figure behind its name in such a list: `Ch chain = DS RS RS RS`."""


def _turned(text: str) -> str:
    """Put words in front of their abbreviation, `Double Step = DS`, or in brackets, `DS (double step)`, behind it."""
    text = re.sub(r"^([A-Za-z]{1,5}) \(([^()]*)\)(\W*)$", r"\1 \2\3", text.strip())
    found = re.fullmatch(r"([A-Za-z][a-z]+(?: [A-Za-z]+)*)\s*(?:[=:]\s*([A-Z]{1,4})|\(([A-Z]{1,4})\))", text)
    return f"{found[2] or found[3]} = {found[1]}" if found else text


def terms(text: str, goes_on: bool = False) -> list[tuple[str, str]]:
    """Return the abbreviations with their words that a text is a list of, `DS double step, STO - stomp`; none if it
    holds anything else; one letter, `S - Step`, is one only where such a list `goes_on`."""
    text = _NOTED.sub("", re.sub(r'[\[\]"*]', " ", text)).strip()
    whole = _TERM.fullmatch(_turned(text))
    cells = re.split(r"\s{2,}|\t", text.strip())
    if len(cells) % 2 == 0 and all(re.fullmatch(r"[A-Za-z]{1,5}\.?", each) for each in cells[::2]):  # in columns
        cells = [" ".join(pair) for pair in zip(cells[::2], cells[1::2], strict=True)]
        text = "  ".join(cells)
    label = TERMS.match(text)
    said = [text] if whole else _LISTED.split(TERMS.sub("", text))
    found = [_TERM.fullmatch(_turned(_SPELLED.sub("", each))) for each in said if each]
    pairs = [(each[1], each[2]) for each in found if each]
    labelled = bool(label and label[0].strip())
    stand = sum(_stands_for(*each, 1 if goes_on or labelled else 2) for each in pairs)
    told = len(pairs) == len(found) or (labelled and 2 * len(pairs) > len(found))
    if _STOP.search(text):  # sentences seem a list as well: `Two Chains. Both go left.`
        told = told and all(_stands_for(*each, 2) for each in pairs if len(each[0]) > 1)
    return pairs if told and 2 * stand >= len(pairs) else []


def _stands_for(short: str, words: str, least: int) -> bool:
    """Say whether the letters of an abbreviation, at `least` so many, stand in its words in their order, the first as
    their first; one alone is none of a part."""
    if len(short) == 1:
        return least == 1 and short not in "ABCDEFGH" and words.casefold().startswith(short.casefold())
    short, words = re.sub(r"\W", "", short.casefold()), words.casefold()
    return (
        short not in {words.split()[0], *NUMBERS}
        and words.count(" ") <= len(short)
        and shortens(short.replace("x", "c"), words)
    )


_CALLED = re.compile(
    r"(?i)\W*(?:(?:we call (?:it|this|that)|called|aka|a\.k\.a\.)\s+)?(?:the\s+)?"
    r"(?P<name>[a-z][\w']*(?: [\w']+){0,2})\W*"
)
"""What a part is called beside its head: `Part A (Verse)`, `First part (we call it the Plow)`."""


def also_called(heads: Sequence[Head]) -> dict[str, str]:
    """Return the parts by the names of their own that stand beside their heads, each of one part only."""
    said = [(found["name"], each.name) for each in heads if (found := _CALLED.fullmatch(each.remark or each.rest))]
    often = [plainly(alias) for alias, _ in said]
    known = {plainly(each.name) for each in heads}
    return {alias: name for alias, name in said if often.count(plainly(alias)) == 1 and plainly(alias) not in known}


def by_name(danced: Iterable[Danced], also: Mapping[str, str]) -> list[Danced]:
    """Return the parts of the order under the names of their heads."""
    return [evolve(each, name=also.get(each.name, each.name)) for each in danced]


def doubled(danced: Sequence[Danced]) -> tuple[set[str], set[str]]:
    """Return the parts that the order has twice in a row wherever it has them, and those that it has so at times."""
    rows = [[*group] for _, group in itertools.groupby(danced, lambda each: each.name)]
    often = [(row[0].name, sum(each.times for each in row)) for row in rows]
    twice, others = ({name for name, times in often if (times == 2) is wanted} for wanted in (True, False))
    return twice - others, twice & others


_AFTER = re.compile(
    r"(?i)\W*(?:(?:only|just|right|comes?|goes|danced?|done|it|is|it's|this|once)\W+)*after\W+(?:the\W+)?"
    r"(?P<part>\w[\w ]*?)(?:\W+only)?\W*"
)


def stands_behind(text: str, name: str, dance: Sequence[str]) -> bool:
    """Say whether a text says just behind which part one stands, `only after the second chorus`, and the order of the
    dance, by plain names, has it there and nowhere else."""
    found = _AFTER.fullmatch(text)
    said = plainly(found["part"]) if found else ""
    nth, _, part = said.partition(" ") if said not in dance else ("", "", said)
    before = [dance[:at] for at, each in enumerate(dance) if each == plainly(name)]
    times = dance.count(part) if nth in ("last", "final") else int(nth) if nth.isdecimal() else 0
    once = not nth or (len(before) == 1 and times == before[0].count(part) > 0)
    return bool(found and before) and once and all(each[-1:] == (part,) for each in map(tuple, before))
