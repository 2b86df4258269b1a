"""What a whole description is looked through for before it is read: figures, and the lengths of its parts."""

import itertools
import re

from attrs import evolve

from stepcheck.drafts.cue_lines import over_row, spells
from stepcheck.pages.heads import head, name_of
from stepcheck.pages.order import ORDER_WORD, PART_LASTS, REMARK, is_legend
from stepcheck.pages.page import Page
from stepcheck.steps.codes import FEET, Row, Waiting, codes_of, forms_beats, is_beats, is_feet, listed, row, row_text
from stepcheck.steps.marks import bare_cue, lasting_cue, nameable, only_turns, split_foot, times_again, times_of
from stepcheck.steps.outline import Line, Move
from stepcheck.steps.phrases import events
from stepcheck.steps.steps import Mention, Step
from stepcheck.steps.vocabulary import plain, tight


def lengths(page: Page, text: str) -> str:
    """Return a line without what it says of the lengths of parts, which are kept: `Part A is 32 counts`."""
    for found in PART_LASTS.finditer(text) if page.parted else ():
        page.beats[name_of(found[1], page.names).casefold()] = int(found[2])
    return PART_LASTS.sub(" ", text) if page.parted else text


_ENTRY = re.compile(r"\s*([A-Za-z][\w' -]*?)(?:\s+-\s+|\s*[:\t]\s*|\s{2,})(?=\S)(.+)$")


def glossary(page: Page, numbered: list[tuple[int, str]]) -> dict[int, str]:
    """Return the lines of a list of figures as definitions: those under a heading of its own, which is "", and those
    of a paragraph that says nothing else, each figure being named in another line: `Basic - DS RS`."""
    found: dict[int, str] = {}
    for at, (number, text) in enumerate(numbered):
        first = at + text.rstrip().endswith(":")
        if number in found or head(text, page.names) or (first == at and not page.reader.laid[at].gap):
            continue
        entries = list(itertools.takewhile(lambda line: _entry(page, line[1])[0], numbered[first:]))
        spelled = [page.cues.footwork(_entry(page, said)[1]) for _, said in entries]
        if first > at:
            learned = 2 * sum(map(bool, spelled)) > len(spelled)
        else:
            ends = first + len(entries) >= len(numbered) or page.reader.laid[first + len(entries)].gap
            learned = len(entries) > 1 and ends and all(spelled)
            others = (
                " ".join(said for other, said in numbered if other not in dict(entries)).casefold() if learned else ""
            )
            learned = learned and all(_entry(page, said)[0].casefold() in others for _, said in entries)
        if learned:
            found |= {number: ""} if first > at else {}
            found |= {
                each: _SEVERAL.sub(_defines, said) if _SEVERAL.match(said) else " = ".join(_entry(page, said))
                for each, said in entries
            }
    start = _listing(page, numbered)
    for at, (number, text) in enumerate(numbered[start:], start):
        heads = (at == start and not _listed(page, text)) or is_feet(text) or is_beats(text)
        found.setdefault(number, "" if heads else _SEVERAL.sub(_defines, text.replace("\t", "   ")))
    return found


_SEVERAL = re.compile(
    r"(?:^\s*(?:\d+\s+)?([A-Za-z][\w' -]*?)\s*(?:[:=]|\s-\s|\s{2})|"
    r"(?:\s{3,}|\.\s+)([A-Z][\w' -]*?)\s*[:=])\s*(?=[A-Z]{2})"
)
"""The names in a line that spells out several figures."""


def _defines(found: re.Match[str]) -> str:
    name = found[1] or found[2]
    return f"   {name[0].upper()}{name[1:]} = "


def _listed(page: Page, text: str) -> bool:
    """Say whether a line spells out a figure or explains a word: it has a name, and codes or `=` behind that."""
    said = row(text.replace("\t", "   "))
    named = said is not None and re.search(r"[a-z]{2}", said.name) is not None and not page.order.repeat(said.name)
    return named or bool(re.match(r"\W*(?:[A-Z]\w|\w+ \w)[^=\d]*=\s*(?!\d)[A-Za-z]{2}", text))


def _listing(page: Page, numbered: list[tuple[int, str]]) -> int:
    """Return the index from which on a description only explains its figures: behind the head of its last part, from
    an empty line on, at least half of the lines spell out or explain, the first at least, or it is their heading."""
    last = max((at for at, (_, text) in enumerate(numbered) if head(text, page.names)), default=len(numbered))
    for at in range(last + 1, len(numbered)):
        text = numbered[at][1]
        below = [said for _, said in numbered[at + 1 :] if not (is_feet(said) or is_beats(said) or "|" in said)]
        heads = not page.cues.moving(re.sub(r"(?i)\bsteps?\b", " ", text)) or (
            text.rstrip().endswith(":") and not page.order.repeat(text)
        )
        if not page.reader.laid[at].gap or times_again(text) or ORDER_WORD.match(text):
            continue
        if (heads and below and _listed(page, below[0])) or _listed(page, text):
            told = sum(_listed(page, said) for said in (text, *below))
            if 2 * told >= len(below) + (not heads):
                return at
    return len(numbered)


def _entry(page: Page, text: str) -> tuple[str, str]:
    """Return the name and the steps of a line of a list of figures, "" for another line."""
    found = _ENTRY.match(plain(text.replace("\t", "   ")))
    return (found[1], found[2]) if found and not head(text, page.names) else ("", "")


def definitions(text: str, names: tuple[str, ...] = ()) -> list[tuple[str, str]]:
    """Return the figures that a line spells out, `Triple = DS DS DS RS` or `Outhouse: DS, touch …`: names and steps."""
    said = plain(text)
    found = re.findall(
        r"(?:^|\s{2,}|,\s+)(?:a |an )?([A-Za-z][\w'. -]*?)\s*(?:\([^()=]*\)\s*)?"
        r"=\s*(.+?)(?=\s{2,}[A-Za-z][\w'. -]*\s*=|$)",
        said,
    )
    if not found:
        found = re.findall(r"\b[Aa]n? ([a-z][a-z' -]*?) is ((?:[A-Z]{2,3}\b[ ,]*)+)", said)
    if (
        not found
        and (one := re.match(r"\s*(?:[-(]?\s*\d+\)?:?\s+)?([A-Z][\w' -]+?)\s*:\s*(?=\S)(.+)$", said))
        and not head(text, names)
    ):
        found = [(one[1], one[2])]
    return [
        (name, spelled)
        for name, spelled in found
        if not re.fullmatch(FEET, spelled)
        and re.search(r"[A-Za-z]{2}", spelled)
        and name.strip().casefold() not in map(str.casefold, names)
        and not (len(name.strip()) == 1 and row(spelled) is None)
        and name.casefold() not in ("music", "tune", "song", "tempo", "cues", "beats")
    ]


_BRACKET = re.compile(r"\s*\(((?:[^()]|\([^()]*\))*)\)")


def _unbracketed(page: Page, text: str) -> str:
    """Return a line without the rows in brackets that spell its figures, `2 Basics, 1/2 R (DS RS) - 4`, which are
    learnt."""
    for found in reversed([*_BRACKET.finditer(text)]):
        spelled, before = row(found[1]), page.cues.led(re.sub(r"^\s*\d{1,2}[.)]\s+", "", text[: found.start()]))[1]
        if spelled is None or spelled.name or spelled.rest or spelled.broken:
            continue
        said = events(re.sub(r"\([^()]*\)", " ", before), page.reader.vocabulary)
        if said and all(isinstance(each, Step) for each in said):
            continue  # `Run 4 (DS DS DS DS)`
        named = [each.name for each in said if isinstance(each, Mention)]
        times, words = times_of(bare_cue(listed(before)[0])) if listed(before) else (1, "")
        words = words.removesuffix("s") if times > 1 else words
        name, codes = (
            named[-1] if named else split_foot(words)[0],
            " ".join(each for group in spelled.codes for each in group),
        )
        book, beats = page.cues.beats(Line(name=name)) if named else 0, forms_beats(codes, page.reader.book)
        stated = lasting_cue(text)[0] or page.cues.led(text)[0]
        if (
            beats
            and nameable(name)
            and not head(f"{name}:", page.names)
            and not (beats != book > 0 and stated == times * book)
        ):
            page.cues.define(name, codes, ", ".join(filter(None, spelled.notes)))
        if beats and name and page.cues.beats(Line(name=page.cues.learn(name))) in (book, beats):
            text = text[: found.start()] + text[found.end() :]
    return text


def learn(page: Page) -> list[tuple[int, str]]:
    """Take the figures that the source spells out, wherever it does, and the beats of parts told in one line; return
    the lines."""
    if page.line:
        return page.reader.numbered()
    page.reader.laid = [
        each if definitions(each.text, page.names) else evolve(each, text=_unbracketed(page, each.text))
        for each in page.reader.laid
    ]
    numbered = page.reader.numbered()
    page.glossary = glossary(page, numbered)
    texts = [page.glossary.get(number) or said for number, said in numbered]
    for at, text in enumerate(texts):
        said = plain(text)
        if "\t" in text or REMARK.match(text) or is_legend(text):
            continue
        if found := re.match(r"(?i)\s*beats\s*:\s*(.*)", said):
            for name, beats in re.findall(r"([A-Za-z][\w ]*?)\s+(\d{1,3})", found[1]):
                page.beats[name.strip().casefold()] = int(beats)
        if under := over_row(page, text, texts[at + 1 : at + 3]):
            _named_over(page, text, under, texts[at + 2 : at + 4])
        for name, spelled in definitions(text, page.names):
            others = " ".join(each for each in texts if each != text).casefold()
            spelling = row(spelled) or split_foot(name)[0].casefold() in others
            if spelling and (made := _footwork(page, spelled)):
                forms, note, facts, rest = made
                more = re.sub(r"\(?\d+ beats\)?", "", rest).strip(" ,")
                page.cues.define(
                    _in_full(page, split_foot(name)[0]), forms, ", ".join(filter(None, (note, more))), facts
                )
    return numbered


def _named_over(page: Page, text: str, under: Row, below: list[str]) -> None:
    """Take the footwork under a line that names one figure that is not known, on one foot or on both."""
    said = lasting_cue(page.cues.led(re.sub(r"^\s*\d{1,2}[.)]\s+", "", text))[1])[1].strip(" :")
    names = [split_foot(times_of(each)[1])[0] for each in listed(said) if not times_again(each)]
    names = [each for each in names if not (re.fullmatch(rf"(?i){FEET}|left|right|[lr]", each) or only_turns(each))]
    known = [each.name for each in events(said, page.reader.vocabulary) if isinstance(each, Mention)]
    names = known * len(names) if len({*names}) == len(known) == 1 else names
    if len({*map(str.casefold, names)}) != 1 or not nameable(names[0]) or head(text, page.names):
        return
    codes, lasts = codes_of(under).split(), sum(map(page.cues.lasts, page.cues.cues(names[0])))
    half = len(codes) // 2
    both = len(names) == 2 and codes[:half] == codes[half:]
    spelled = " ".join(codes[:half]) if both else _timed(page, under, below)
    if not lasts or (
        lasts == forms_beats(spelled, page.reader.book)
        and not (spells(page, names[:1], codes_of(under)) and forms_beats(codes_of(under), page.reader.book) == lasts)
    ):
        page.cues.define(names[0][:1].upper() + names[0][1:], spelled, ", ".join(filter(None, under.notes)))


_COUNTS = re.compile(r"\s+(&?a?\d(?:\s+(?:&?a?\d+|[&ea])){2,})\s*$")


def _footwork(page: Page, words: str) -> tuple[str, str, str, str] | None:
    """Return the footwork that words spell, on the counts behind it, None where some of them are steps that are not
    read."""
    counts, coded = _COUNTS.search(words), row(words)
    made = page.cues.footwork(words[: counts.start()] if counts else words)
    if made and counts and coded and codes_of(coded) == made[0]:
        made = (_timed(page, coded, [counts[1]]), *made[1:])
    return None if made and any(map(page.cues.moving, listed(made[3]))) else made


def _timed(page: Page, coded: Row, below: list[str]) -> str:
    """Return the codes of a row on the counts that stand under it."""
    line, timed = Line(moves=tuple(Move(each, "", 0) for each in codes_of(coded).split())), Waiting(coded, 0, 1, "")
    return row_text(timed.placed(line, page.reader.book) if [*map(timed.takes, below)] else line, leads=True)


def _in_full(page: Page, name: str) -> str:
    """Return the only known figure of which a name with a full stop is short, `Rocking Ch.`; else the name."""
    short = [word.strip(".") for word in name.casefold().split()]
    found = {
        word.value
        for words, word in page.cues.vocabulary.phrases.items()
        if word.kind == "figure" and len(words) == len(short) and all(map(str.startswith, words, short))
    }
    return found.pop() if "." in name and len(found) == 1 else name


def glossed(page: Page, number: int, text: str) -> None:
    """Take a line of a list of figures: its heading, one that was learnt before, or one that is not understood."""
    found = definitions(page.glossary[number])
    page.reader.mark(number, "steps" if found else "heading")
    told = re.search(r"[\d=]", text) is not None or page.cues.moving(text)
    if (not found and page.glossary[number] and told) or not all(
        _footwork(page, spelled) and sum(map(page.cues.lasts, page.cues.cues(_in_full(page, name))))
        for name, spelled in found
    ):
        page.reader.leave_open(number, text)
    if page.reader.kinds[number] != "steps":
        page.ends.append(tight(text))


def spelled_out(page: Page, number: int, text: str) -> bool:
    """Take figures that are spelled out, and the beats of parts, which were learnt before."""
    beats = re.match(r"(?i)\s*beats\s*:", text)
    found = definitions(text, page.names)
    led = page.parts and lasting_cue(text)[0] and all(split_foot(name)[1] for name, _ in found)
    if not beats and (not found or led or re.match(r"\s*(?:-\s*)?[(]?\d", text)):
        return False
    others = [each for _, each in page.reader.numbered() if each != text]
    used = all(row(spelled) or any(name.casefold() in each.casefold() for each in others) for name, spelled in found)
    if beats or (used and all(_footwork(page, spelled) for _, spelled in found)):
        page.reader.mark(number, "steps")
    else:
        page.left.append(tight(text))
        page.reader.leave_open(number, text)
    return True


_LABEL = re.compile(r"\s*((?:1/2 ?)?[A-Za-z][\w' -]{0,30}?)\s*([:=])\s*(?!\d)(?=.*[A-Za-z]{2})")


def labelled(page: Page, text: str, gap: bool) -> bool:
    """Say whether a line says what a word means, or stands apart under a label that is no cue: no steps of its part."""
    label = _LABEL.match(plain(text)) if page.names else None
    return bool(label and not page.cues.moving(label[1]) and (label[2] == "=" or gap))
