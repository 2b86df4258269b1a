"""Reads lines of cues and rows of codes into the part that is open."""

import itertools
import re
from collections.abc import Sequence

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.books.placing import place
from stepcheck.language.parser import parse_forms
from stepcheck.model.dance import key
from stepcheck.model.movements import Movement
from stepcheck.pages.facts import Fact, claims
from stepcheck.pages.header import fresh
from stepcheck.pages.order import ORDER_WORD, tokens
from stepcheck.pages.page import Page
from stepcheck.pages.parts import either, source_of
from stepcheck.steps.codes import Row, Waiting, codes_of, forms_beats, is_beats, is_feet, row, row_text
from stepcheck.steps.marks import AGAIN, feet_said, footed_once, lasting_cue, times_of, unaccounted
from stepcheck.steps.outline import Block, Item, Line, Move, beats_of, lines_of
from stepcheck.steps.vocabulary import plain, tight


def sentences_of(text: str) -> list[str]:
    """Return the sentences of a line of cues; a short one without a full stop inside is one."""
    several = len(text) > 90 or re.search(r"[a-z]\.\s+[A-Z\d]", text)
    return re.split(r"(?<=[a-zA-Z)\]])\.\s+(?=[A-Z(\d])|(?<=once)\.\s+", text) if several else [text]


def coded_line(page: Page, number: int, text: str) -> bool:
    """Take a row of codes, which waits for its feet and beats; return whether a line is one."""
    beats, bare = page.cues.led(text)
    coded = row(bare)
    if coded is None:
        return _spelled_in_words(page, number, text)
    behind = re.match(r"-\s+(.+)", coded.rest)
    if behind and not coded.name and page.cues.moving(behind[1]) and cue_line(page, number, behind[1], 0):
        page.here.items[:] = [
            evolve(i, source=i.source or number) if isinstance(i, Line) else i for i in page.here.items
        ]
        coded = evolve(coded, rest="")  # `DS DS DS RS - triple`
    apart = re.search(r"\s{2,}" + re.escape(coded.rest[:12]), plain(bare))
    goes_on = re.search(r",|\s/\s|^/|\bthen\b", coded.rest) and not apart and page.cues.moving(coded.rest)
    if goes_on or row(coded.rest) or len(sentences_of(text)) > 1 or len(text) > 90 or re.search(r"[,:]", coded.name):
        return False
    times, name = (int(coded.name), "") if coded.name.isdecimal() else times_of(coded.name)
    often = AGAIN.search(coded.rest)
    if len(coded.feet) == (int(often[1] or often[2] or 2) if often else times) != len(coded.codes):  # one for each time
        coded = evolve(coded, feet=(), rest=f"{' '.join(coded.feet)} {coded.rest}")
    page.waiting = Waiting(evolve(coded, name=name), beats, times, text, number)
    page.reader.mark(number, "steps")
    return True


def over_row(page: Page, text: str, following: Sequence[str]) -> Row | None:
    """Return the row of codes that stands under a line that names it: the line states its beats, once or more often, or
    it stands further in, or with its feet or beats below."""
    under = row(following[0]) if following and not row(text) else None
    if not under or under.name or under.broken or under.rest:
        return None
    below, stated = following[1] if len(following) > 1 else "", lasting_cue(text)[0] or page.cues.led(text)[0]
    lasts = forms_beats(codes_of(under), page.reader.book)
    indent, inner = (len(each) - len(each.lstrip()) for each in (text, following[0]))
    fits = lasts and stated and not stated % lasts
    return under if fits or (not stated and (indent < inner or is_feet(below) or is_beats(below))) else None


def _cue_over(page: Page, number: int) -> list[Item]:
    """Return the lines of the cue of figures over a line of the source; [] if none, or one with a row, stands there."""
    items, texts = page.here.items, dict(page.reader.numbered())
    source = source_of(items[-1]) if items else 0
    cue = [item for item in items if source_of(item) == source]
    apart = any(page.reader.kinds.get(each) in ("heading", "order") for each in texts if source < each < number)
    if not source or apart or (row(texts.get(source, "")) and source != number) or items[-len(cue) :] != cue:
        return []
    named = all(line.name or line.blank for item in cue for line in lines_of(item))
    return cue if named and any(map(beats_of, cue)) else []


def _names(items: Sequence[Item]) -> list[str]:
    """Return the figures of lines, each as often as it is danced."""
    out: list[str] = []
    for item in items:
        if isinstance(item, Block):
            out += _names(item.lines) * (beats_of(item) // (sum(map(beats_of, item.lines)) or 1))
        elif isinstance(item, Line):
            out += [item.name] * item.times
    return out


def _spelling(page: Page, number: int, codes: str, beats: int, sized: bool = False) -> str:
    """Say how steps without a name stand to the cue over them, whose beats are theirs, once or so often as it is
    danced: "same" where they are the footwork of its figures, "other" where these are others, "open" where they are not
    known; else "".  `sized` says that the steps state their own beats.
    """
    cue = _cue_over(page, number)
    spelled, before, so_far = page.spelled
    goes_on = bool(cue) and spelled == source_of(cue[0])
    codes, beats = (f"{before} {codes}", so_far + beats) if goes_on else (codes, beats)
    lasts, names = sum(map(beats_of, cue)), _names(cue)
    if not beats or beats > lasts or 2 * beats * len(names) < lasts or (lasts % beats and not goes_on):
        return ""
    same = "" not in names and spells(page, names, codes)
    if not same and (sized or ("" not in names and not goes_on and beats not in (lasts, lasts // len(names)))):
        return ""
    page.spelled = (source_of(cue[0]), codes, beats)
    return "same" if same else "open" if "" in names else "other"


def _spelled_in_words(page: Page, number: int, text: str) -> bool:
    """Take steps in words, `(step, touch, step, touch)`, that spell the cue over them; others in a bracket are open."""
    bare = text.strip()
    made = page.cues.footwork(bare.strip("()."))
    if made is None:
        return False
    kind = _spelling(page, number, made[0], forms_beats(made[0], page.reader.book))
    if kind == "same":
        page.reader.mark(number, "steps")
        _spelled_under(page, number, ", ".join(filter(None, (made[2], made[3]))))
    elif kind and re.fullmatch(r"\(.*\)\W*", bare):
        page.reader.leave_open(number, text)
    else:
        return False
    return True


def _spelled_under(page: Page, number: int, said: str, feet: str = "") -> None:
    """Take the foot and the marks beside the footwork of a cue, `turn 1/4 L on the 2nd`, for it; else they are open."""
    cue, items, said = (
        _cue_over(page, number),
        page.here.items,
        re.sub(r"(?i)\b(?:each|both)\b", " ", said).strip(" ,.;()"),
    )
    if isinstance(line := cue[0], Line):
        items[-len(cue)] = line = evolve(line, foot=line.foot or feet)
        feet = "" if line.foot[:1] == feet else feet
        made = page.cues.behind(line, said)
        if len(cue) == 1 and not made.blank and not unaccounted(said, [made], page.cues, True):
            items[-1], said = made, ""
    if re.search(r"\w", said) or (feet and not isinstance(line, Block)):
        page.reader.leave_open(number, said or f"the feet begin with {feet}")


def _under(page: Page, waiting: Waiting) -> bool:
    """Take a row that spells the cue over it; return whether it does, or is left open."""
    book, text, row_ = page.reader.book, waiting.text, waiting.row
    over = page.here.items[-1] if page.here.items else None
    told = (
        isinstance(over, Line)
        and over.blank
        and not over.counts
        and re.match(r"(?i)\W*(?:the\s+)?(?:same|repeat)\b", over.remark)
    )
    if row_.name or row_.broken or waiting.times > 1 or told:
        return False
    bare = waiting.placed(Line(moves=tuple(Move(each, "", 0) for each in codes_of(row_).split())), book)
    beats, sized = forms_beats(row_text(bare, leads=True), book), bool(waiting.stated or lasting_cue(text)[0])
    kind = _spelling(page, waiting.number, codes_of(row_), beats, sized)
    cue = page.here.items[-1] if page.here.items else None
    if page.parts[-1].beats and isinstance(cue, Line) and cue.blank and not cue.counts:  # what the part has left
        page.parts[-1].doubted[waiting.number] = (text, True)
    if kind == "same":
        feet = "".join(waiting.feet or row_.feet)[:1]
        _spelled_under(page, waiting.number, row_.rest, feet)
    elif kind == "open" and isinstance(cue, Line) and cue.blank and cue.counts == beats:
        line = waiting.placed(page.cues.coded(row_, waiting.feet), book)
        page.here.items[-1] = evolve(cue, moves=line.moves, note=line.note, blank=False)
    elif kind == "open" or (not kind and row_.bracketed and _cue_over(page, waiting.number)):
        page.reader.leave_open(waiting.number, text)
        return True
    elif kind == "other":
        set_so = waiting.feet or waiting.beats or row_.bracketed or (isinstance(cue, Line) and cue.measured)
        page.parts[-1].doubted[waiting.number] = (text, bool(set_so))
    return kind in ("same", "open")


def spells(page: Page, names: Sequence[str], codes: str) -> bool:
    """Say whether a row is the footwork of figures, or of the first of them."""
    book, rows = page.reader.book, {}
    for name in names:
        own, found = page.cues.defined.get(key(name)), book.find(name)
        rows[name] = [_movements(own.row, book)] if own else []
        rows[name] += (
            [[a.movement for a in found[0].versions[found[0].usual].actions]] if found and found[0].versions else []
        )
    said = _movements(codes, book)
    chosen = (dict(zip(rows, each, strict=True)) for each in itertools.product(*rows.values()))
    return any(said == [move for name in names for move in each[name]][: len(said) or None] for each in chosen)


def _movements(codes: str, book: Book) -> list[Movement]:
    return [each.movement for each in place(parse_forms(codes), book.movement, book.tradition)[0]]


_MARKS = re.compile(r"(?i)\beach\b|\bturn|\bon \d|^\W*\d+\W*$|\b\d{2,3}\b|\d/\d|\bbeats?\b")
"""Words that aren't understood, and say something of the cues beside them rather than one of their own."""


def cue_line(page: Page, number: int, text: str, beats: int) -> bool:
    """Read a list of cues that is said to last `beats`, 0 for none; return whether it says any."""
    made = list(page.cues.cues(text))
    inner = [item for each in made for item in (each.lines if isinstance(each, Block) else (each,))]
    lines = [item for item in inner if isinstance(item, Line)]
    if not lines:
        return False
    marks = [line for line in lines if line.blank and not line.counts and _MARKS.search(plain(line.remark))]
    if marks != lines and (marks or (not any(i.blank for i in lines) and unaccounted(text, made, page.cues))):
        lines = [
            Line(blank=True, counts=beats or sum(map(page.cues.lasts, made)), measured=beats > 0, remark=tight(text))
        ]
        made = [*lines]
    if beats:
        made = _lasting(page, made, beats, text)
    lines = [item for item in made if isinstance(item, Line)] if beats else lines
    page.here.items += [each for item in made for each in with_beats(page, item)]
    page.reader.mark(number, "steps")
    for said in dict.fromkeys(line.remark if line.counts or len(lines) < 2 else text for line in lines if line.blank):
        page.reader.leave_open(number, said, "blank")
    return True


def _lasting(page: Page, made: list[Item], beats: int, text: str) -> list[Item]:
    """Return lines that come to the beats that are stated of them; else a blank of these."""
    lines = [item for item in made if isinstance(item, Line)]
    known = sum(map(page.cues.lasts, made))
    if len(lines) == len(made) == 1 and known in (0, beats):
        return [evolve(lines[0], counts=beats, stated=True, measured=True)]
    fit = next((each for each in (made, *either(made)) if sum(map(page.cues.lasts, each)) == beats), None)
    fit = fit or [Line(blank=True, counts=beats, remark=tight(text))]
    return [evolve(item, measured=True) if isinstance(item, Line) else item for item in fit]


def with_beats(page: Page, item: Item) -> list[Item]:
    """Return a line with the beats that it lasts; a row that is danced several times, and a figure on both feet, as so
    many lines."""
    if isinstance(item, Block):
        return [evolve(item, lines=tuple(each for line in item.lines for each in with_beats(page, line)))]
    if not isinstance(item, Line):
        return [item]
    if item.name and len(item.foot) > 1:
        return [each for foot in item.foot for each in with_beats(page, evolve(item, foot=foot))]
    times = item.times if item.moves else 1
    line = evolve(item, times=1) if item.moves else item
    return [evolve(line, counts=line.counts or page.cues.beats(line))] * times


_LINES = re.compile(
    r"(?i)\W*(?:\d{1,2}[.)]\s+)?(?P<verb>(?:repeat|again|do|same as)\s+)?(?:nos?\b\.?|numbers?|lines?|steps?|#)?\s*"
    r"(?P<which>\d{1,2}(?:\s*(?:&|\+|,|and|to|-|through)\s*\d{1,2})*)(?P<again>\s+again|\s+once more)?(?P<rest>\W.*)?"
)
"""`Repeat 1 & 2`, `nos. 1 and 2 again`, behind lines that have numbers."""


def lines_again(page: Page, number: int, text: str) -> bool:
    """Dance lines again by their numbers; a blank of the beats that are stated where more is said of them."""
    beats, bare = lasting_cue(plain(text))
    said = _LINES.fullmatch(bare)
    if not said or not (said["verb"] or said["again"]) or not page.labels:
        return False
    which = [int(each) for each in re.findall(r"\d+", said["which"])]
    if re.search(r"(?i)\d\s*(?:to|-|through)\s*\d", said["which"]):
        which = [*range(which[0], which[-1] + 1)]
    lines = [item for part in page.parts for item in part.items if isinstance(item, Line) and item.source]
    made = [evolve(line, source=0) for at in which for line in lines if line.source == page.labels.get(at)]
    known = all(at in page.labels and any(line.source == page.labels[at] for line in lines) for at in which)
    claim = claims(said["rest"] or "")
    fits = known and (not re.search(r"\w", said["rest"] or "") or bool(claim and claim.pure and claim.facing))
    fits = fits and not any(line.blank for line in made)
    if not (beats or fits):
        return False
    if not fits or (beats and beats != sum(map(beats_of, made))):
        made = [Line(blank=True, counts=beats, measured=True, remark=tight(text))]
        page.reader.leave_open(number, text, "blank")
    elif claim:
        made[-1] = evolve(made[-1], facing=claim.facing)
    page.here.items += made
    page.reader.mark(number, "steps")
    return True


_FEET_LISTED = re.compile(
    r"(?i)[\s,(]*(?:x\s?(?P<times>\d)\b[\s,(]*)?(?P<feet>(?:left|right|[LR])(?:(?:\s*[,&+]\s*|\s+(?:then|and)\s+|\s+)(?:left|right|[LR]))+)"
    r"(?![\w/])\s*\)?(?:\s*x\s?\d\b)?"
)
"""On which feet a row is danced, once on each: `L & R`, `x4 (L R L R)`."""


def flush(page: Page) -> None:
    """Put the row that waits for its feet into its part."""
    waiting, page.waiting = page.waiting, None
    if waiting is None or _under(page, waiting):
        return
    text, book = waiting.text, page.reader.book
    line = page.cues.coded(waiting.row, waiting.feet, lambda each: waiting.placed(each, book))
    behind = re.sub(r"\(\d+ beats?\)", "", waiting.row.rest.replace('"', ""))
    total = lasting_cue(text)[0]
    behind = re.sub(rf"\(?=?\s*{total}\b[^()]*\)?\s*$", "", behind) if total else behind
    listed = _FEET_LISTED.match(behind) if line.moves else None
    feet = feet_said(listed["feet"]) if listed else ""
    each = len(feet) * page.cues.beats(line) == (waiting.stated or total) and listed  # the row once on each
    each = each if each and int(each["times"] or len(feet)) == len(feet) else None
    times, marks = (len(feet), behind[each.end() :]) if each else (waiting.times, behind)
    line = page.cues.behind(evolve(line, times=times), re.sub(r"\bfwd\b", "forward", marks))
    placed = waiting.placed(line, book)
    made: list[Item] = [footed_once(evolve(placed, times=1), foot) for foot in feet] if feet and each else [placed]
    items = [each for item in made for each in with_beats(page, item)]
    stated, known = waiting.stated or total, sum(map(beats_of, items))
    beside = " ".join(each for each in re.split(r"\s{2,}|\s/", f"{waiting.row.name}  {behind}") if not is_beats(each))
    doubted = line.moves and line.turn and line.times == 1 and re.search(r"(?i)\beach\b", behind)  # each of what?
    if (
        doubted
        or (stated and known != stated and (known or len(items) > 1))
        or unaccounted(beside, items, page.cues, coded=True)
        or any(each.blank for item in items for each in lines_of(item))
    ):
        items = [Line(blank=True, counts=stated or known, measured=stated > 0, remark=tight(text))]
        said = f"{stated} beats are stated, {known} are read: {text}" if total and known not in (0, total) else text
        page.reader.leave_open(waiting.number, said, "blank")
    elif waiting.stated and len(items) == 1:
        items = [evolve(each, counts=stated, stated=True) for each in items if isinstance(each, Line)]
    if stated:
        items = [evolve(each, measured=True) if isinstance(each, Line) else each for each in items]
    items = [evolve(item, source=waiting.number) if isinstance(item, Line) else item for item in items]
    held, (first, last) = page.here.items, waiting.span
    last = 0 if waiting.number in page.parts[-1].doubted else last
    if last and held and isinstance(before := held[-1], Block) and first > 1:
        items = [evolve(before, head=f"beats 1-{last}", lines=(*before.lines, *items))]
        held.pop()
    elif last and sum(map(beats_of, items)) == last - first + 1:
        items = [Block(f"beats {first}-{last}", tuple(items))]
    held += items


def take_order(page: Page, text: str, number: int) -> bool:
    """Take the sequence, where a line is one; what is danced at its end is a part."""
    label = ORDER_WORD.match(text)
    if not page.parted or (number != page.ordered and not (label and _orders(page, text))):
        return False
    ending = page.order.take(text, page.names)
    if page.order.wait:
        page.facts += fresh([Fact("wait", f"{page.order.wait} {page.order.unit}")], page.facts)
    if ending:
        items = [each for item in page.cues.cues(ending) for each in with_beats(page, item)]
        page.begin("Ending", 0).sections[-1].items.extend(items)
    return True


def _orders(page: Page, text: str) -> bool:
    """Say whether a line with a word for the sequence names parts."""
    if not re.search(r"[:,\t|]|  | - |\b[A-H]\d?(?: ?[A-H]\d?)+\b", text):
        return False
    if re.match(r"(?i)\W*dance\b(?!\s*(?:order)?\s*:| it\b)", text):
        return False
    known = {name.casefold() for name in (*page.names, *(part.name for part in page.parts))}
    spoken = {word.casefold() for word in tokens(text)}
    return bool(known & spoken) or any(" " in name and name in text.casefold() for name in known)
