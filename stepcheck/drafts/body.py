"""Reads a description line by line: its header, parts and sections, counted steps and cues, restarts, tags, order."""

import re

from attrs import evolve

from stepcheck.drafts.codes import Waiting, definitions, is_beats, is_feet, row
from stepcheck.drafts.counts import counted, cut, lasting, sentences, steps_said
from stepcheck.drafts.cues import lasting_cue, split_foot, times_again, times_of
from stepcheck.drafts.header import ORDER, author, facts_of, fresh, header_of, is_author, is_music
from stepcheck.drafts.heads import columns, head, heading, name_of
from stepcheck.drafts.laying import prose, steps
from stepcheck.drafts.order import ORDER_WORD, Tag, again, denied, is_change, tokens
from stepcheck.drafts.outline import Block, Item, Line, beats_of, mirrored
from stepcheck.drafts.page import Page
from stepcheck.drafts.parts import REPEATED, Section, repeated
from stepcheck.drafts.steps import SAME_OTHER, Aside, Unread, events
from stepcheck.drafts.tables import table_row
from stepcheck.drafts.vocabulary import plain, tight

_CREDIT = re.compile(r"[A-Z][\w']+(?: [A-Z][\w'-]+){1,3} \([^()]+\)")
_AT = re.compile(r"\bat the (back|front)\b")
_TO = re.compile(
    r"\b(?:to|at|face|facing)\s+(?:(?:face|come|back)\s+)*(?:to\s+)?(?:the\s+)?(front|back)\b", re.IGNORECASE
)
_BEATS = re.compile(r"(\d{1,3})\s+beats?\b", re.IGNORECASE)
_ALL_START = re.compile(r"\ball (?:parts )?start (?:on )?(?:the )?(left|right|l|r)\b", re.IGNORECASE)
_NUMBERED = re.compile(r"^\s*\(?\d{1,2}[.)]\s+[A-Za-z]")
_EACH_ONE = re.compile(r"\b(?:every|each) step (?:is|has|gets) one (?:count|beat)", re.IGNORECASE)
_PART_LASTS = re.compile(
    r"\b(part [A-H1-9]|[A-H]|tag|chorus|verse|bridge|break|ending)\b\s*(?:is|has|=|:|-)?\s*"
    r"(\d{1,3})\s*(?:counts?|beats?|cts?)\b[,;]?",
    re.IGNORECASE,
)
_SPOKEN_STEPS = re.compile(r"\b(?:DS|RS|beats?|turn\w*|steps?|stomp\w*|[Rr]epeat|again on|same)\b")


def read_page(page: Page) -> None:
    """Read the whole description."""
    numbered = page.reader.numbered()
    _learn(page, [text for _, text in numbered])
    at = _first_step(page, numbered)
    top = [(number, _lengths(page, text)) for number, text in numbered[:at] if not take_order(page, text)]
    facts, left, told = header_of([text for _, text in top], page.reader.vocabulary.tradition)
    for index, (number, _) in enumerate(top):
        page.reader.mark(number, "fact" if index in told else "remark")
    page.facts = facts
    for number, _ in numbered[:at]:
        page.reader.mark(number, page.reader.kinds.get(number, "order"))
    for number, text in top:
        if page.line and is_change(text):
            change(page, number, text)
    page.left += [said for said in left if not (page.line and is_change(said))]
    previous = 0
    for index, (number, text) in enumerate(numbered[at:], at):
        following = [later for _, later in numbered[index + 1 : index + 3]]
        one(page, number, text, following, number - previous > 1)
        previous = number
    flush(page)
    page.reader.open += page.reader.assumed.unsure


def _lengths(page: Page, text: str) -> str:
    """Return a line without what it says of the lengths of parts, which are kept: `Part A is 32 counts`."""
    for found in _PART_LASTS.finditer(text) if page.parted else ():
        page.beats[name_of(found[1], page.names).casefold()] = int(found[2])
    return _PART_LASTS.sub(" ", text) if page.parted else text


def _first_step(page: Page, numbered: list[tuple[int, str]]) -> int:
    """Return the index of the first line that belongs to the steps."""
    for index, (_, text) in enumerate(numbered):
        following = [later for _, later in numbered[index + 1 : index + 3]]
        if columns(text) or index and (_headed(page, text) or not page.line and (ORDER_WORD.match(text) or row(text))):
            return index
        if page.line and _stepping(page, index, text, following):
            return index
    return len(numbered)


def _stepping(page: Page, index: int, text: str, following: list[str]) -> bool:
    if heading(text, following[0] if following else "", lambda said: steps_said(said, page.reader.vocabulary)):
        return True
    said = steps_said(text, page.reader.vocabulary)
    first = next((piece.counts for piece in cut(text)), None)
    begins = first is not None and len(first.points) > 1 and re.match(r"\W*[&\d]", text) is not None
    stated = said and any(piece.counts for piece in cut(text)) and not facts_of(text, "line")[0]
    lasts = said and 0 < lasting(text, page.sized)[0] <= 16
    if page.titled and _NUMBERED.match(text):
        return True
    return bool(index) and bool(begins and said or stated or lasts or said >= 4)


def _headed(page: Page, text: str) -> tuple[str, int, str] | None:
    """Return the name, beats and rest of the head of a part, where the description has parts."""
    return head(text, page.names, page.line) if page.parted else None


def _learn(page: Page, texts: list[str]) -> None:
    """Take the figures that the source spells out, wherever it does, and the beats of parts told in one line."""
    if page.line:
        return
    for text in texts:
        said = plain(text)
        if found := re.match(r"\s*beats\s*:\s*(.*)", said, re.IGNORECASE):
            for name, beats in re.findall(r"([A-Za-z][\w ]*?)\s+(\d{1,3})", found[1]):
                page.beats[name.strip().casefold()] = int(beats)
        for name, spelled in definitions(text, page.names):
            if made := page.cues.footwork(spelled):
                forms, note, facts, rest = made
                more = re.sub(r"\(?\d+ beats\)?", "", rest).strip(" ,")
                page.cues.define(split_foot(name)[0], forms, ", ".join(filter(None, (note, more))), facts)


def one(page: Page, number: int, text: str, following: list[str], gap: bool) -> None:
    """Read one line; `gap` says that an empty one stands before it."""
    reader = page.reader
    if page.waiting is not None and page.waiting.takes(text):
        return reader.mark(number, "steps")
    flush(page)
    if kinds := columns(text):
        page.table = kinds
        return reader.mark(number, "heading")
    if page.table and "\t" in text:
        table, retold = page.table, table_row(page, number, text)
        if not retold:
            return stray(page, number, text) if retold is None else None
        kept, page.table = page.table, ()
        one(page, number, retold, [], False)
        flush(page)
        page.table = kept and table
        return None
    if page.parted and (
        page.order.whole(text, [*(part.name for part in page.parts), *page.names]) or take_order(page, text)
    ):
        return reader.mark(number, "order")
    if not page.line and _stated(page, number, text):
        return None
    if _retold(page, number, text):
        return None
    begun = re.match(r"\W*\d{1,2}\s*[-&,]", text) is not None
    if page.line and is_change(text) and not begun and not (page.parted and _headed(page, text)):
        return change(page, number, text)
    if len(text) < 90 and dance_again(page, number, text):
        return reader.mark(number, "order")
    if found := _headed(page, text):
        name, beats, rest = name_of(found[0], page.names), *found[1:]
        page.tag = None
        page.begin(name, beats or page.beats.get(name.casefold(), 0))
        reader.mark(number, "heading")
        return one(page, number, rest, following, False) if rest else None
    if page.titled and _NUMBERED.match(text):
        page.tag = None
        page.section(Section(tight(text), None, number))
        return reader.mark(number, "heading")
    spoken = lambda said: steps_said(said, reader.vocabulary)  # noqa: E731
    if page.line and (told := heading(text, following[0] if following else "", spoken)):
        page.tag = None
        page.section(Section(told.text, told.counts, number, told.length))
        reader.mark(number, "heading")
        return steps(page, number, told.rest) if told.rest else None
    if not page.line:
        return cue_line(page, number, text, following) if page.parts else stray(page, number, text)
    length = lasting(text, page.sized)[0]
    said = steps_said(text, reader.vocabulary)
    of_steps = counted(text) is not None and not (length and page.sized)
    if again(text) and said < 3 and not of_steps:
        page.close(text)
        return reader.mark(number, "order")
    if not of_steps and said < (3 if not length and not _pure(page, text) else 1):
        return stray(page, number, text)
    if not of_steps and (not length or len(sentences(text)) > 1) or len(text) > 160 and gap:
        return prose(page, number, text, gap)
    if page.here.prose and gap and page.here.items:
        page.section(Section("", None, number))
        page.here.prose = True
    return steps(page, number, text)


def _pure(page: Page, text: str) -> bool:
    """Say whether a line says steps and nothing else."""
    found = events(text, page.reader.vocabulary)
    return page.parted and bool(found) and not any(isinstance(event, Unread | Aside) for event in found)


def _stated(page: Page, number: int, text: str) -> bool:
    """Take the waiting time, the beats of parts, or figures that are spelled out; return whether a line says
    these."""
    if re.match(r"\W*intro\b", text, re.IGNORECASE):
        stated, rest = facts_of(text, "clogging")
        page.facts += fresh(stated, page.facts)
        if not stated or re.search(r"(?!intro\b|wait\b|beats?\b)\b[a-z]{3,}", rest, re.IGNORECASE):
            page.left.append(tight(text))
        page.reader.mark(number, "fact" if stated else "remark")
        return True
    if re.match(r"\s*beats\s*:", text, re.IGNORECASE):
        page.reader.mark(number, "steps")
        return True
    found = definitions(text, page.names)
    if not found or re.match(r"\s*(?:-\s*)?[(]?\d", text):
        return False
    if all(page.cues.footwork(spelled) for _, spelled in found):
        page.reader.mark(number, "steps")
    else:
        page.left.append(tight(text))
        page.reader.leave_open(number, text)
    return True


def _retold(page: Page, number: int, text: str) -> bool:
    """Dance counts of before again, or the lines before on the other foot; return whether a line says so."""
    if not page.parts:
        return False
    if found := REPEATED.fullmatch(plain(text)):
        return _retake(page, number, text, *map(int, found.groups("0")))
    piece = next(iter(cut(text)), None)
    if (
        not page.line
        or len(cut(text)) != 1
        or piece is None
        or not SAME_OTHER.match(lasting(piece.text, page.sized)[1])
    ):
        return False
    size = piece.counts.length if piece.counts else lasting(text, page.sized)[0]
    target = page.tag.items if page.tag else page.here.items
    before = page.sections[-2].items if not target and len(page.sections) > 1 else target
    whole = sum(map(beats_of, before))
    made = [mirrored(item) for item in repeated(before, size or whole, 0, 0, tight(text))]
    if not made or any(isinstance(item, Line) and (item.turn or item.facing) for item in made):
        return False
    target += made
    if piece.counts:
        page.passed(piece.counts.first, piece.counts.last)
    page.reader.mark(number, "steps")
    return True


def _retake(page: Page, number: int, text: str, begin: int, end: int, size: int, first: int, last: int) -> bool:
    """Dance counts again: the `size` last ones, else those of the section from `first` to `last`.

    `begin` and `end` are the counts that the line stands on, 0 where it has none.
    """
    here = page.here
    items = here.items if first else [item for section in page.sections for item in section.items]
    before = max(0, here.first - 1)
    made = repeated(items, size, first - before, last - before, tight(text))
    length = sum(map(beats_of, made))
    if not made or page.tag or begin and (length != end - begin + 1 or begin <= here.last):
        return False
    here.items += made
    here.first, here.last = here.first or begin, end or here.last and here.last + length
    page.reader.mark(number, "steps")
    return True


def cue_line(page: Page, number: int, text: str, following: list[str]) -> None:
    """Read cues, a row of codes, or sentences of the part that is open."""
    several = len(text) > 90 or re.search(r"[a-z]\.\s+[A-Z\d]", text)
    beats, bare = page.cues.led(text)
    coded = row(bare)
    close = coded is not None and not re.search(r"\s{2,}" + re.escape(coded.rest[:12]), plain(bare))
    more = coded is not None and close and re.search(r",|\bthen\b", coded.rest) and page.cues.moving(coded.rest)
    if coded and not several and not re.search(r"[,:]", coded.name) and not more:
        name, page.title = coded.name or page.title, ""
        times = times_of(name)
        page.waiting = Waiting(evolve(coded, name=times[1]), beats, times[0], text)
        return page.reader.mark(number, "steps")
    if not coded and len(following) > 1 and (is_feet(following[1]) or is_beats(following[1])):
        under = row(following[0])
        if under and not under.name and re.fullmatch(r"[A-Z][\w' -]{2,40}:?", text.strip()):
            page.title = text.strip(" :")
            return page.reader.mark(number, "steps")
    cut_at = r"(?<=[a-zA-Z)\]])\.\s+(?=[A-Z(\d])|(?<=once)\.\s+"
    for said in re.split(cut_at, bare) if several else [bare]:
        cue_sentence(page, number, said, beats)
    return None


def cue_sentence(page: Page, number: int, text: str, beats: int) -> None:
    """Read one sentence, or one line of cues."""
    part = page.parts[-1]
    said = text
    if is_author(said) or _ALL_START.search(said):
        return stray(page, number, text)
    if take_order(page, said):
        return page.reader.mark(number, "order")
    if definitions(said, page.names) and re.search(r"\bis [A-Z]{2}|=", said):
        return page.reader.mark(number, "steps")
    if dance_again(page, number, said):
        part.once = int(length[1]) if (length := _BEATS.search(said)) else part.once
        part.total = int(total[1]) if (total := re.search(r"\((\d+) beats in all\)", said)) else part.total
        part.halfway = at[1] if (at := _AT.search(said)) else part.halfway
        return page.reader.mark(number, "order")
    if length := re.match(r"\W*(?:that makes |that is |and )?(\d{1,3}) beats\b(.*)", said, re.IGNORECASE):
        part.contract += ["no turn"] if re.search(r"\bno turn\b", said, re.IGNORECASE) else []
        talk = re.fullmatch(r"(?:no turn|and you are at the \w+)", length[2].strip(" ,."), re.IGNORECASE)
        part.lasts(length[1], _at(said), "" if talk else length[2])
        return page.reader.mark(number, "steps")
    if length := re.search(r",\s*(\d{1,3}) beats\b(.*)$", said):
        part.lasts(length[1], _at(length[2]), "" if _at(length[2]) else length[2])
        said = said[: length.start()]
    made = list(page.cues.cues(said))
    inner = [item for each in made for item in (each.lines if isinstance(each, Block) else (each,))]
    lines = [item for item in inner if isinstance(item, Line)]
    if not lines:
        return stray(page, number, text)
    if beats and len(lines) == 1:
        made = [evolve(item, counts=beats, stated=True) if isinstance(item, Line) else item for item in made]
    elif beats and beats != (known := sum(page.cues.beats(line) for line in lines)):
        page.reader.open.append(f"line {number}: {beats} beats are stated, {known} are read: {tight(text)}")
    page.here.items += [each for item in made for each in with_beats(page, item)]
    page.reader.mark(number, "steps")
    for line in lines:
        if line.blank:
            page.reader.leave_open(number, line.remark, "blank")
    return None


def with_beats(page: Page, item: Item) -> list[Item]:
    """Return a line with the beats that it lasts; a row that is danced several times as so many lines."""
    if isinstance(item, Block):
        return [evolve(item, lines=tuple(each for line in item.lines for each in with_beats(page, line)))]
    if not isinstance(item, Line):
        return [item]
    times = item.times if item.moves else 1
    line = evolve(item, times=1) if item.moves else item
    return [evolve(line, counts=line.counts or page.cues.beats(line))] * times


def flush(page: Page) -> None:
    """Put the row that waits for its feet into its part."""
    if (waiting := page.waiting) is None:
        return
    line = page.cues.coded(waiting.row, waiting.feet)
    behind = re.sub(r"\(\d+ beats?\)", "", waiting.row.rest.replace('"', ""))
    total = lasting_cue(waiting.text)[0]
    behind = re.sub(rf"\(?=?\s*{total}\b[^()]*\)?\s*$", "", behind) if total else behind
    line = page.cues.behind(evolve(line, times=waiting.times), re.sub(r"\bfwd\b", "forward", behind))
    if waiting.stated:
        line = evolve(line, counts=waiting.stated, stated=True)
    items = with_beats(page, waiting.placed(line))
    if total and not waiting.stated and total != sum(map(beats_of, items)):
        items = [Line(blank=True, counts=total, remark=tight(waiting.text))]
        page.reader.open.append(
            f"{total} beats are stated, {sum(map(beats_of, items))} are read: {tight(waiting.text)}"
        )
    held, (first, last) = page.here.items, waiting.span
    if last and held and isinstance(before := held[-1], Block) and first > 1:
        items = [evolve(before, head=f"beats 1-{last}", lines=(*before.lines, *items))]
        held.pop()
    elif last:
        items = [Block(f"beats {first}-{last}", tuple(items))]
    held += items
    page.waiting = None


def stray(page: Page, number: int, text: str) -> None:
    """Keep a line that says no steps: a fact, a remark, or open where it may say some."""
    said = tight(text)
    tradition = page.reader.vocabulary.tradition
    if found := _ALL_START.search(said):
        for part in page.parts:
            part.contract.append({"l": "left foot", "r": "right foot"}[found[1][0].casefold()])
    if not page.line and (named := re.search(r"\bPart ([A-Z])\b", said)) and (length := _BEATS.search(said)):
        page.begin(named[1], int(length[1])).sections[-1].items.append(
            Line(blank=True, counts=int(length[1]), remark=said)
        )
        return page.reader.leave_open(number, said, "blank")
    keys: tuple[str, ...] = ("lead",)
    if page.line and (not page.facts or "Music:" in text or is_music(text.strip())):
        keys = tuple(key for key in ORDER if key not in ("routine", "author"))
    stated = header_of(["", text], "line")[0] if page.line and len(keys) > 1 else facts_of(text, tradition)[0]
    new = fresh(stated, page.facts, keys)
    page.facts += new
    if new or _EACH_ONE.search(text):
        page.reader.mark(number, "fact")
    if all(fact.key != "author" for fact in page.facts) and (by := _credited(page, said)):
        people, _, more = by.partition(" who ")
        page.facts.append(author(people))
        page.ends += [f"who {more}"] if more else []
        return page.reader.mark(number, "fact")
    if not new and page.parts and _may_say_steps(page, said):
        page.reader.leave_open(number, said)
    used = bool(page.parts) and page.here.used and page.tag is None
    (page.ends if used else page.left).append(said)
    return page.reader.mark(number, page.reader.kinds.get(number, "remark"))


def _credited(page: Page, said: str) -> str:
    if _CREDIT.fullmatch(said):
        return said
    return re.sub(r"^cues\s+", "", said) if not page.line and is_author(said) else ""


def _may_say_steps(page: Page, said: str) -> bool:
    """Say whether words that aren't understood may speak of steps, counts, walls or repeats."""
    if page.line:
        return (
            steps_said(said, page.reader.vocabulary) > 0
            and not again(said)
            or is_change(said)
            or bool(re.search(r"\b(?:restarts?|tags?)\b|\bwall \d", said, re.IGNORECASE) and not denied(said))
        )
    return bool(_SPOKEN_STEPS.search(said)) and "=" not in said


def change(page: Page, number: int, text: str) -> None:
    """Read a line about a restart, a tag or the last wall."""
    lengths = [section.counts for section in page.sections]
    found = page.passes.read(text, sum(lengths), lengths)
    if found is None:
        if denied(text):
            page.ends.append(tight(text))
            return page.reader.mark(number, "order")
        page.passes.remarks.append(tight(text))
        return page.reader.leave_open(number, text)
    page.reader.mark(number, "order")
    if isinstance(found, Tag):
        page.tag = found
        if found.text:
            steps(page, number, found.text)
            if sum(map(beats_of, found.items)) >= found.counts:
                page.tag = None
    return None


def dance_again(page: Page, number: int, text: str) -> bool:
    """Take a part that is danced again: `Repeat A to the front`, `Do it all again`; return whether it is one."""
    said = tight(text)
    found = page.order.repeat(text)
    facing = [wall_.casefold() for wall_ in _TO.findall(text)]
    called = name_of(
        f"part {found}" if len(found) == 1 or re.search(r"part", text, re.IGNORECASE) else found, page.names
    )
    part = next((each for each in page.parts if each.name.casefold() == called.casefold()), None) if found else None
    if part is None:
        times = times_again(text)
        part = page.parts[-1] if page.parts else None
        if not times or part is None or not part.items or page.line:
            return False
        part.times = times
    else:
        if several := re.search(rf"\b{re.escape(found)}(?:\s*(?:&|,|and)\s*(?:part\s+)?[A-Z]\b)+", text):
            page.several.append((number, text))
            page.danced += [(each, "") for each in re.findall(r"\b[A-Z]\b", several[0])]
            page.danced += [(f"expect facing {facing[-1]}", said)] if facing else []
            return True
    part.repeat, part.repeat_remark = facing[-1] if facing else "again", said.strip("()")
    if total := re.search(r"=\s*(\d+)|(\d+) beats in all", text):
        part.total = int(total[1] or total[2])
    if (more := re.search(r"(\d+) more\b(?! times)", text)) and part.beats:
        part.total = part.beats + int(more[1])
    return True


def take_order(page: Page, text: str) -> bool:
    """Take the sequence, where a line is one; what is danced at its end is a part."""
    if not ORDER_WORD.match(text) or not page.parted or not re.search(r"[:,\t]|  | - |\b[A-H][ A-H]*[A-H]\b", text):
        return False
    if re.match(r"\W*dance\b(?!\s*(?:order)?\s*:)", text, re.IGNORECASE):
        return False
    known = {name.casefold() for name in (*page.names, *(part.name for part in page.parts))}
    if not known & {word.casefold() for word in tokens(text)}:
        return False
    if ending := page.order.take(text):
        items = [each for item in page.cues.cues(ending) for each in with_beats(page, item)]
        page.begin("Ending", 0).sections[-1].items.extend(items)
    return True


def _at(text: str) -> str:
    """Return the wall that dancers are said to be at, back or front, "" if none is said."""
    found = _AT.search(text)
    return found[1] if found else ""
