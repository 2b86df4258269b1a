"""The lines of a cue sheet without what counts them, the beats on which they stand, numbers, letters, Roman numbers,
without brackets around several of them, and with how often figures are danced where brackets say it."""

import itertools
import re
from collections.abc import Iterator, Sequence

from attrs import evolve

from stepcheck.cues.cue import Reading
from stepcheck.cues.entries import Entry
from stepcheck.cues.figures import Figures
from stepcheck.cues.titles import KIND, head
from stepcheck.steps.outline import Line
from stepcheck.steps.words import NUMBER, ROMANS, UNITS


def labelled(lines: list[Entry]) -> list[Entry]:
    """Return lines with their place in a list as their label, and the heads that Roman numbers count as their names."""
    lines = _unnumbered([*map(_part, map(_footed, _enclosed(_kinds(lines))))])
    for read in (
        _lined,
        _starred,
        _signed,
        _margined,
        _outdented,
        _standing,
        _bracketed,
        _squared,
        _outlined,
        _lettered,
        _counted,
    ):
        lines = read(lines)
    return _run_on(lines)


_KIND_FIRST = re.compile(
    rf"(?i)^\W*(?P<kind>{KIND}\b)\s*(?:\((?:part\s+)?(?-i:(?=[A-H]\)))|[-:/]+\s*part\s+(?-i:(?=[A-H])))(\w)\)?(?![\w'])"
)
"""What a part is, before its letter: `Verse (A)`, `Chorus - Part B - 16 beats`."""


def _kinds(lines: list[Entry]) -> list[Entry]:
    """Return lines with what parts are behind their letters, `Part A (Verse)`, where no other line calls them so."""
    found = [_KIND_FIRST.match(each.text) for each in lines]
    kinds = "|".join(re.escape(each["kind"]) for each in found if each)
    called = re.compile(rf"(?i)\b(?:{kinds})\b")
    if not kinds or any(called.search(each.text) for each, mark in zip(lines, found, strict=True) if not mark):
        return lines
    return [evolve(each, text=_KIND_FIRST.sub(r"Part \2 (\1)", each.text)) for each in lines]


_FEET = re.compile(
    r"^\W*(?:(?:[LR]{1,3}[\s,.:/-]+){2,}(?=(?:DS|DT|RS|STO|S|BR|HD|T-?H|R-?S)\b)|[LR]{3,}[\s:]+(?=(?:DS|STO)\b))"
)
"""Feet in front of their codes: `L R L RL   DS DS DS RS`."""


def _footed(line: Entry) -> Entry:
    """Return a line with the feet in front of its codes behind them."""
    found = _FEET.match(line.text)
    return evolve(line, text=f"{line.text[found.end() :]}   {found[0].strip(' :')}") if found else line


def _unnumbered(lines: list[Entry]) -> list[Entry]:
    """Return lines with their numbers in front of what they say where most of these count nothing up: `3) Triples`,
    `2) Basics`, `4) Triples`; the names of parts are counted by themselves."""
    counted = [bool(each.label) and head(each.text, 0) is None for each in lines]
    labels = [each.label for each, counts in zip(lines, counted, strict=True) if counts]
    rising = sum(label in (1, before + 1) for before, label in itertools.pairwise([0, *labels]))
    if len(labels) < 2 or 2 * rising >= len(labels):
        return lines
    return [
        evolve(each, text=f"({each.label}) {each.text}", label=0) if counts else each
        for each, counts in zip(lines, counted, strict=True)
    ]


_INNER = r"(?:[^()\[\]{}]|\([^()]*\))*"
_OPENS = re.compile(rf"\W*[(\[{{]{_INNER}")
_CLOSES = re.compile(rf"(?i){_INNER}[)\]}}]\s*(?P<often>(?:x ?\d|\d ?x|[\w-]+ times|twice|repeat|rpt)\W*)")
"""The lines in which a bracket begins and ends, and how often it is danced."""


def _enclosed(lines: list[Entry]) -> list[Entry]:
    """Return lines without a bracket around several of them, behind which how often they are danced is a line of its
    own: `(2 Triples` over `1 Basic) x2`."""
    out: list[Entry] = []
    begun = 0  # where the bracket begins
    for entry in lines:
        closed = _CLOSES.fullmatch(entry.raw)
        inside = out[begun:] if out and not entry.gap and _OPENS.fullmatch(out[begun].raw) else []
        if not inside or not (closed or re.fullmatch(_INNER, entry.raw)):
            begun, inside = len(out), []
        out.append(entry)
        if closed and inside:
            often = closed["often"]
            out[begun] = evolve(out[begun], text=re.sub(r"^\W*[(\[{]\s*", "", out[begun].text))
            out[-1] = evolve(out[-1], text=re.sub(r"\s*[)\]]?$", "", out[-1].text.removesuffix(often)))
            out.append(Entry(entry.number, f"repeat {often}", often, since=out[begun].number))
    return out


def _starred(lines: list[Entry]) -> list[Entry]:
    """Return lines of which a head with a star, `C*`, is without it if there is no such part without: the star calls a
    note."""
    named = [made.name if (made := head(each.text, 0)) else "" for each in lines]
    lone = [name.endswith("*") and name[:-1] not in named for name in named]
    return [
        evolve(each, text=each.text.replace("*", "", 1)) if star else each
        for each, star in zip(lines, lone, strict=True)
    ]


def _signed(lines: list[Entry]) -> list[Entry]:
    """Return lines without the stop behind the initial of a person above part A: the letters of parts begin with it."""
    plain = (at for at, each in enumerate(lines) if re.match(r"(?:(?i:part) )?A(?!\w)(?!\. ?[A-Z][a-z])", each.text))
    dotted = next((at for at, each in enumerate(lines) if re.match(r"A\. ?[A-Z][a-z]", each.text)), len(lines))
    lettered = any(re.match(r"B\. ?[A-Z][a-z]", each.text) for each in lines[dotted:])  # `A. Verse`, `B. Chorus`
    first = min(next(plain, dotted if lettered else 0), dotted if lettered else len(lines))
    initial = re.compile(r"^([B-H])\.(?=\s+[A-Z][a-z])")
    return [*(evolve(each, text=initial.sub(r"\1", each.text)) for each in lines[:first]), *lines[first:]]


def _part(line: Entry) -> Entry:
    """Return a line with the number that stands before the word for a part behind that: `1. Part (Verse)`."""
    text = re.sub(r"(?i)^part\b(?=\s*[(:,-]|\s*$)", f"Part {line.label}", line.text) if line.label else line.text
    return evolve(line, text=text, label=0) if text != line.text else line


_LINE = re.compile(
    r"(?i)line (?P<n>\d)(?:\s*(?P<sign>[+&-])\s*(?P<last>\d))?(?:\s*[:.)=]\s*|\s+-+\s+|\s{2,}|\s+(?=lines?\b))(?=\S)"
)
_LONG = re.compile(
    rf"(?i)\W*(?:(?:each|every|one|a|1) )?lines?\s*(?:=|is|are|has|have)\s*(\d{{1,2}})\s*{UNITS}(?: each)?\W*"
)
"""The name of a line of a part, `Line 1:`, `line 3+4   lines 1 and 2 again`, and how long each is."""


def _lined(lines: list[Entry]) -> list[Entry]:
    """Return lines that are called lines and counted anew in each part, three at least in one, with these numbers as
    their labels, and the beats that the sheet states of each line as theirs."""
    items = [(at, found) for at, each in enumerate(lines) if (found := _LINE.match(each.text))]
    counts = [(int(found["n"]), int(found["last"] or found["n"])) for _, found in items]
    runs = all(first in (1, end + 1) for (_, end), (first, _) in itertools.pairwise([(0, 0), *counts]))
    if not runs or max((last for _, last in counts), default=0) < 3:
        return lines
    out = [*lines]
    size = next((int(found[1]) for each in lines if (found := _LONG.fullmatch(each.raw))), 0)
    for (at, found), (first, last) in zip(items, counts, strict=True):
        text, stated = lines[at].text[found.end() :], lines[at].stated or size * (last - first + 1)
        out[at] = evolve(lines[at], text=text, label=first, stated=stated)
    return out


_MARGIN = re.compile(rf"(?i)^(\d{{1,3}})(?:\s{{2,}}|\t|\s+-\s+)(?=({NUMBER}\s+)?[A-Za-z(])")
_BEATS = re.compile(rf"(?i)\W*{UNITS}\W*")


def _margined(lines: list[Entry]) -> list[Entry]:
    """Return lines with the beats that stand in a margin in front of them: it has its head, or how often a figure is
    danced stands behind some of its numbers, `8   2 Triples`."""
    found = [_MARGIN.match(each.text) for each in lines]
    numbers = [int(each[1]) for each in found if each]
    heads = [each for each in lines if _BEATS.fullmatch(each.text)]
    sure = heads or any(each[2] for each in found if each)
    if len(numbers) < 3 or not sure or numbers == [*range(1, len(numbers) + 1)]:
        return lines
    return [
        evolve(each, text=each.text[mark.end() :], stated=int(mark[1]), led=True) if mark else each
        for each, mark in zip(lines, found, strict=True)
        if each not in heads
    ]


_NAME = re.compile(
    r"(?i)(?!(?:notes?|steps?|key|order|sequence|seq|abbrev\w*|legend|explan\w*|break ?downs?|remember|tips?)\b)"
    r"(?P<name>[a-z][a-z'-]{2,}(?: [a-z'-]+){0,2})\s*(?P<rest>\([^()]*\))?"
)


def _outdented(lines: list[Entry]) -> list[Entry]:
    """Return lines with words at the margin as heads, over lines with beats that stand further in, where all heads of
    parts stand so: `FIDDLE` between `CHORUS` and `VERSE 2`."""
    over = [each.indent < below.indent and below.stated > 0 for each, below in itertools.pairwise(lines)] + [False]
    heads = [at for at, each in enumerate(lines) if head(each.text, 0) and not each.indent]
    if len(heads) < 3 or 2 * sum(over[at] for at in heads) < len(heads):
        return lines
    out = lines[: heads[0]]
    for at, each in enumerate(lines[heads[0] :], heads[0]):
        found = (
            _NAME.fullmatch(each.text) if over[at] and at not in heads and not (each.indent or each.stated) else None
        )
        out.append(evolve(each, text=f"{found['name']}: {found['rest'] or ''}", named=found["name"]) if found else each)
    return out


_STANDS = re.compile(r"^(\d{1,3})\s?-\s?(\d{1,3})\s+(?=\S)")


def _standing(lines: list[Entry]) -> list[Entry]:
    """Return lines with the beats on which they stand, where these run on from line to line: `1-4 Triple`, `5-8 2
    Basics`."""
    out = [*lines]
    run: list[tuple[int, re.Match[str]]] = []
    for at, found in enumerate([*(_STANDS.match(each.text) for each in lines), None]):
        begins = int(run[-1][1][2]) + 1 if run else 1
        if found and int(found[1]) == begins <= int(found[2]):
            run.append((at, found))
            continue
        for each, mark in run if len(run) > 1 else ():
            out[each] = evolve(lines[each], text=mark.string[mark.end() :], span=(int(mark[1]), int(mark[2])))
        run = [(at, found)] if found and int(found[1]) == 1 <= int(found[2]) else []
    return out


_COUNTED = re.compile(r"^(\d{1,2})\s+(?=(\(?\d+\)?\s)?\S)")


_ITEM = re.compile(r"(?:\(?(?=\d+\))|#\s?)(\d{1,2})[).:]*\s+(?=\S)")
_SQUARE = re.compile(r"\s*\[(\d{1,2})\]\s+(?=\S)")


def _bracketed(lines: list[Entry]) -> list[Entry]:
    """Return lines whose numbers in brackets or behind a sign count them, through all parts, with these as their
    labels."""
    items = [(at, each.label, None if each.label else _ITEM.match(each.text)) for at, each in enumerate(lines)]
    counts = [(at, int(found[1]) if found else label, found) for at, label, found in items if found or label]
    numbers = [number for _, number, _ in counts]
    out = [*lines]
    half = all(found[0][0] != "(" for _, _, found in counts if found)  # `1) `, which is never how often
    many = len(counts) > (1 if half else 3) and max(numbers) > (1 if half else 2)
    if many and all(b in (1, a + 1) for a, b in itertools.pairwise([0, *numbers])):
        for at, number, found in counts:
            text = lines[at].text
            out[at] = evolve(lines[at], text=text[found.end() :] if found else text, label=number)
    return out


def _squared(lines: list[Entry]) -> list[Entry]:
    """Return lines that numbers in square brackets count, in each part anew, with these as their labels and no beats:
    `[1] Triple`, `[2] Basic`, `[3] [1] again`."""
    items = [(at, int(found[1])) for at, each in enumerate(lines) if (found := _SQUARE.match(each.raw))]
    numbers = [number for _, number in items]
    out = [*lines]
    if len(items) > 2 and max(numbers) > 2 and all(b in (1, a + 1) for a, b in itertools.pairwise([0, *numbers])):
        for at, number in items:
            named = lines[at].text.startswith("[")
            text = "repeat lines " + re.sub(r"[\[\]]", "", lines[at].text) if named else lines[at].text
            stated = lines[at].stated if lines[at].stated != number else 0
            out[at] = evolve(lines[at], text=text, label=number, stated=stated)
    return out


_LETTER = re.compile(r"^\(?([a-h])[.)]\s*(?:-\s*([a-h])[.)]\s*)?(?<=\s)(?=\S)")
_LETTERS = re.compile(r"(?<![\w'])(?:[b-h]|a(?!\s+(?!thru|through|and\b|to\b)[A-Za-z]{3}))(?![\w'.])")


def _lettered(lines: list[Entry]) -> list[Entry]:
    """Return lines whose small letters count them, `a. Triple`, with these as their labels, and lines that name
    these to dance them again, `do a thru d two times`, with the labels for them."""
    items = [(at, found) for at, each in enumerate(lines) if (found := _LETTER.match(each.text))]
    counts = [ord(found[1]) - ord("a") + 1 for _, found in items]
    ends = [ord(found[2] or found[1]) - ord("a") + 1 for _, found in items]
    out = [*lines]
    if max(counts, default=0) > 1 and all(one in (1, last + 1) for last, one in zip([0, *ends], counts, strict=False)):
        for (at, found), label in zip(items, counts, strict=True):
            out[at] = evolve(lines[at], text=lines[at].text[found.end() :], label=label)
        for at, each in enumerate(out):
            if re.match(r"(?i)(?:do|repeat|rpt|same)\b", each.text):
                text = _LETTERS.sub(lambda found: str(ord(found[0]) - ord("a") + 1), each.text)
                out[at] = evolve(each, text=text)
    return out


_ROMAN = re.compile(rf"^({'|'.join(ROMANS)})[.)]\s+(?=\S)")


def _outlined(lines: list[Entry]) -> list[Entry]:
    """Return lines that Roman numbers count as the heads of parts: `II. SECOND FIGURE -- 32 beats`."""
    items = [(at, found) for at, each in enumerate(lines) if (found := _ROMAN.match(each.text))]
    out = [*lines]
    if len(items) > 1 and [found[1] for _, found in items] == [*ROMANS[: len(items)]]:
        for number, (at, found) in enumerate(items, 1):
            said = lines[at].text[found.end() :].strip(" -:.")
            words = re.fullmatch(r"[A-Za-z][A-Za-z' ]{1,30}", said)
            name, rest = (said.title(), "") if words else (f"Part {number}", said)
            out[at] = evolve(lines[at], text=f"{name}: {rest}".strip(), named=name)
    return out


def _counted(lines: list[Entry]) -> list[Entry]:
    """Return lines without the numbers in front of them that count the lines up from one, where how often one is danced
    stands behind its number: `1 2 Triples`, `2 4 Basics`."""
    out = [*lines]
    run: list[tuple[int, re.Match[str]]] = []
    for at, found in enumerate([*(_COUNTED.match(each.text) for each in lines), None]):
        if found and int(found[1]) == len(run) + 1:
            run.append((at, found))
            continue
        for label, (each, mark) in enumerate(run, 1) if len(run) > 2 and any(mark[2] for _, mark in run) else ():
            out[each] = evolve(lines[each], text=lines[each].text[mark.end() :], label=label)
        run = [(at, found)] if found and int(found[1]) == 1 else []
    return out


_CALLS = re.compile(
    r"(?i)(?:repeat|rpt|do|same as)\s+(?:(?:lines?|nos?\.?|numbers?|steps?|#)\s*)?\d{1,2}\b(?!\s*(?:x|times))"
)


def _run_on(lines: list[Entry]) -> list[Entry]:
    """Return lines that numbers count through all parts, and call to dance them again: a part that one of them begins
    above the last call is a word beside it, if no other line has its name: `11. Break: 2 Stomp Doubles`."""
    labels = [each.label for each in lines if each.label]
    calls = [at for at, each in enumerate(lines) if each.label and _CALLS.match(each.text)]
    if not calls or labels != [*range(1, len(labels) + 1)]:
        return lines
    out = [*lines]
    for at, each in enumerate(lines[: calls[-1]]):
        made = head(each.text, 0) if each.label else None
        named = made and re.compile(rf"(?i)\b{re.escape(made.name)}\b")
        if made and made.rest and named and not any(named.search(one.raw) for one in lines if one is not each):
            out[at] = evolve(each, text=f"{made.rest} ({made.name.casefold()})", stated=each.stated or made.beats)
    return out


_BEHIND = re.compile(
    r"(?P<said>[A-Za-z][A-Za-z' -]*?)\s*(?:\((?P<often>\d{1,2})\)|\s-\s(?P<bare>\d)$)(?P<next>\s*)(?=(?P<then>\w)?)"
)


def repeated(lines: Sequence[Entry], cues: Figures) -> list[Entry]:
    """Return lines with the numbers behind their figures, or in square brackets before them, as how often these are
    danced, if two of them are less than the beats that their figures last, or one is and none is so many, and none is
    how long several last, `4 Basics (8)`, or one of more than four beats."""
    figures = [each for entry in lines for each in _figures(entry, cues)]
    fewer = sum(number < size for _, number, many, size in figures if not many)
    beats = any(number == size * (many or 1) for _, number, many, size in figures if many or size > 4)
    known = fewer > 1 or (fewer and all(number % size for _, number, _, size in figures))
    return [_often(entry, cues) for entry in lines] if known and not beats else [*lines]


def _figures(entry: Entry, cues: Figures) -> Iterator[tuple[int, int, int, int]]:
    """Yield where the numbers behind the figures of a line stand, with these, how many the figures are, and how many
    beats one of them lasts."""
    reading, led = Reading(cues.vocabulary, {}), _SQUARE.match(entry.raw)
    if led and entry.stated == int(led[1]) and not entry.span[0]:
        name = next((each.name for each in reading.cues(entry.text) if not each.unknown), "")
        yield from [(-1, entry.stated, 0, size)] if (size := cues.beats(Line(name=name)) if name else 0) else []
        return
    fronted = re.match(r"\W*\(\d{1,2}\)\s*[A-Za-z]", entry.raw)  # `(4) Chain (2) Triple`
    for found in _BEHIND.finditer(entry.raw) if not fronted else ():
        front = re.search(r"(\d{1,2})\s*x?\s*$", entry.raw[: found.start()])
        made = reading.cues(found["said"])
        plain = len(made) == 1 and made[0].name and not (made[0].unknown or made[0].doubt or made[0].row)
        size = cues.beats(Line(name=made[0].name)) if plain else 0
        if size:
            yield found.start(), int(found["often"] or found["bare"]), int(front[1]) if front else 0, size


def _often(entry: Entry, cues: Figures) -> Entry:
    """Return a line with the numbers behind its figures as times."""
    spots = {found[0] for found in _figures(entry, cues)}
    if -1 in spots:
        return evolve(entry, text=re.sub(r"[\[\]]", "", f"{entry.stated} {entry.text}"), stated=0)
    said = {at["said"] for at in _BEHIND.finditer(entry.raw) if at.start() in spots}
    last = re.search(rf"(?:\({entry.stated}\)\W*|\s-\s{entry.stated})$", entry.raw) if entry.stated else None
    text = f"{entry.text} ({entry.stated})" if last else entry.text
    made = _BEHIND.sub(
        lambda at: (
            f"{at['said']} x{at['often'] or at['bare']}{',' * bool(at['then'])}{at['next']}"
            if at["said"] in said
            else at[0]
        ),
        text,
    )
    return evolve(entry, text=made, stated=0, loose=False) if made != text else entry
