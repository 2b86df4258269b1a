"""What a line says to dance again, and in which order parts are danced."""

import re
from collections.abc import Sequence

from attrs import evolve

from stepcheck.model.dance import EIGHTHS, TICKS, key
from stepcheck.pages.facts import claims, is_talk
from stepcheck.pages.page import Page, doubled
from stepcheck.pages.parts import REPEATED, Section, repeated, source_of
from stepcheck.pages.passes import Tag, again
from stepcheck.steps.counts import cut, lasting, unbulleted, version
from stepcheck.steps.outline import Expect, Item, Line, beats_of, cells_of, mirrored, once_more, turned_by
from stepcheck.steps.steps import Mention, Step, clock, wall
from stepcheck.steps.vocabulary import hours, pieces, plain, tight
from stepcheck.steps.words import FOOT, NUMBER, SECTION, number
from stepcheck.steps.words import number as number_of

TO = re.compile(r"(?i)\b(?:to|at|face|facing)\s+(?:(?:face|come|back)\s+)*(?:to\s+)?(?:the\s+)?(front|back)\b")
_LISTED = re.compile(r"(?i)^\W*(\d{1,2})(?:[ ,]+\d{1,2})*[ ,]+(\d{1,2})\s+(?=repeat)")
"""`5 6 7 8  Repeat`."""


_ON_FOOT = re.compile(
    r"(?i)[\s,;(-]+(?:(?:but|now) )*(?:(?:(?:on|with|using) )?(?:the |your )?(?:(?:opposite|other) "
    r"(?:foot|feet|footwork|side|lead)|mirror(?:ed| image)?)|(?:(?:start|lead|beginn)(?:ing)? (?:on |with )?|on |with )"
    r"(?:the |your )?(?:left|right|[lr])(?: foot)?|(?P<lead>left|right|[lr]) (?:foot )?lead)\W*$"
)
"""The foot on which counts are danced again: `Repeat 1-4, left lead`."""


def counts_again(page: Page, number: int, text: str) -> bool:
    """Dance counts of before again, or the lines before on the other side; return whether a line says so."""
    if not page.parts:
        return False
    if (named := OF_SECTION.fullmatch(plain(text))) and number_of(named[3]) <= len(page.sections):
        spans = (int(named[1]), int(named[2]), 0, int(named[4]), int(named[5]))
        return _retake(page, number, text, spans, "", page.sections[number_of(named[3]) - 1], named[6] or "")
    whole = cut(text)
    alone = len(whole) == 1 and re.fullmatch(r"(?i)\W*repeat\W*", whole[0].text)
    span = whole[0].counts if alone else None
    if span and not span.points[0] % TICKS and sum(map(beats_of, page.here.items)) == span.length:
        return _retake(page, number, text, (span.first, span.last, span.length, 0, 0), "")
    said = re.sub(r"(?i)\brepeat\s+(?:the\s+)?first\s+(\d+)", r"repeat 1-\1", _LISTED.sub(r"\1-\2  ", hours(text)))
    bare, *talk = re.split(r"[.!]\s+(?=[A-Z])", said, maxsplit=1)
    said = bare if all(is_talk(re.sub(r"(?i)\bagain\b", " ", each)) for each in talk) else said
    on = _ON_FOOT.search(said)
    if found := REPEATED.fullmatch(said[: on.start()] if on else said):
        counts, foot = tuple(map(int, found.groups("0")[:5])), on and (f"on {on['lead']}" if on["lead"] else on[0])
        return _retake(page, number, text, counts, wall(found[6] or ""), None, foot or "")
    return _told_again(page, number, text)


TELLS = re.compile(
    r"(?i)(?<!left )(?<!right )(?<!turn )\bagain\b|\b(?:repeat|same|mirror\w*|reverse|once more|a second time)\b|"
    r"\b(?:opp|opposite|other)\s+(?:foot|feet|footwork|side|way|direction|lead)\b|^\W*both\b"
)
WORDS = re.compile(
    r"(?i)(?:\W|\d+|\b(?:repeat(?:ed)?|mirror(?:ed)?|reverse|do|dance|same|things?|steps?|again|once|more|a|second|time|all|"
    r"both|of|that|those|these|this|it|them|the|everything|whole|lot|above|so|far|two|three|four|lines?|opp|opposite|other|"
    r"over|exactly|foot|feet|footwork|side|way|direction|lead|on|with|to|using|but|start(?:ing)?|leading|begin(?:ning)?|like|left|right|[lr]f?|"
    r"going|travell?ing|moving|from|top|now|then|and|is|are|last|counts?|beats?|ends?|at|up|you|be|will|facing|face|finish(?:ing)?|"
    r"walls?|should|as|before)\b)*"
)
OTHER_FOOT = re.compile(r"(?i)\b(?:opp|opposite|other|mirror\w*|reverse)\b")
_TOWARD = re.compile(
    r"(?i)(?:\b(?:(?P<lead>on|start\w*|lead\w*|begin\w*|with)|to|going|travell?ing|moving)\s+(?:on\s+)?(?:the\s+)?|,\s*)"
    rf"({FOOT})\b"
)
_LED = re.compile(rf"(?i)\b(?:start|lead|begin)\w*\s+(?:(?:with|on)\s+)?(?:the\s+)?({FOOT})\b")
_COUNTS_OF = re.compile(r"(?i)\b(?:repeat|as)\s+(?:counts?\s+)?\d{1,2}\s?-\s?\d")
_STAYS = re.compile(r"(?i)\bturn\w*\b.*\b(?:still|same|again|stay)|\b(?:same|still)\b.*\bturn|\bstill\b")


def _told_again(page: Page, at_line: int, text: str) -> bool:
    """Dance lines of before once more, on the other foot where that is said; return whether a line says so.

    They are the lines of just the counts that are stated, else as many as are said, else those of the line before; what
    is said besides must be where they end, or their last movement, else they are a blank of their counts.
    """
    beats, said = _stated(page, text)
    told, *rest = [each for each in re.split(r"[,;()]|\s-+\s|\bbut\b", said) if re.search(r"\w", each)] or [""]
    closing = again(text) and (beats > 16 or re.search(r"\b\d+ counts", said))
    closing = closing or (not beats and len(page.sections) > 1 and doubled(page, text))
    words = " ".join(word[3] for word in pieces(plain(told), page.reader.vocabulary) if word[0] != "figure")
    bare, other = TO.sub(" ", words), OTHER_FOOT.search(said)
    parts = [part.name.casefold() for part in page.parts]
    stepped = beats == 1 and re.match(r"(?i)step\b", told) and page.steps(told) == 1  # `step right again`, by itself
    closing = closing or stepped or re.fullmatch(r"(?i)\W*repeat\W*", said) is not None
    if not TELLS.search(told) or closing or not WORDS.fullmatch(bare):
        return False
    whole = re.search(r"(?i)\b(?:all|everything|whole|above|so far)\b", bare)
    many = re.search(NUMBER, bare, re.IGNORECASE)
    both = "both" in bare.split()
    alone = not (beats or many or other)
    if alone and ((whole and _over_again(page, at_line, text)) or (not both and _same_again(page, at_line, text))):
        return True
    bare_again = not (beats or many or whole or both or other or _TOWARD.search(said))
    if bare_again or page.order.repeat(said).casefold() in parts or _COUNTS_OF.search(text):
        return False  # all of the part again
    target = page.target
    before = page.sections[-2].items if not target and len(page.sections) > 1 else target
    told_of = taken(before, beats, number(many[1]) if many else 2 * both, bool(whole))
    named = {key(e.name) for e in page.reader.events(told) if isinstance(e, Mention)}
    walls = [each.casefold() for each in TO.findall(said)] or [hour for hour in [clock(told)] if hour]
    before_it = "back" if walls[-1:] == ["back"] and _turned(told_of) % EIGHTHS == EIGHTHS // 2 else ""
    if walls[-1:] == ["back"] and 2 * _turned(told_of) % EIGHTHS != EIGHTHS // 2:
        walls = []  # it begins there, or which end is meant isn't known
    rest = [] if _told_out(page, told_of, text, rest) else rest
    made = _ended(page, remade(told_of, said, named), rest, walls)
    if not made and not beats:
        return False
    if not made:
        made = [Line(blank=True, counts=beats)]
        page.reader.leave_open(at_line, text, "blank")
    made[0] = evolve(made[0], remark=tight(text))
    counts = next((piece.counts for piece in cut(text) if piece.counts), None)
    counts = counts if counts and counts.length == beats and not lasting(text, page.sized)[0] else None
    if counts:
        page.anew(counts.first, at_line)
        target = page.target
    elif beats and not page.tag and page.here.last and not page.here.title:
        page.section(Section("", None, at_line))
        target = page.target
    target += [Expect(f"facing {before_it}")] if before_it and not made[0].blank else []
    target += [evolve(line, measured=True) for line in made]
    if counts:
        page.passed(counts.first, counts.last)
    page.reader.mark(at_line, "steps")
    return True


def _over_again(page: Page, at_line: int, text: str) -> bool:
    """Take a line that asks for all again where all counts of the dance are read: it begins again; return whether they
    are."""
    over = page.full and not (page.parted or page.tag)
    if over:
        page.close(text)
        page.reader.mark(at_line, "order")
        if TO.search(text) or clock(text):
            page.reader.unused(at_line, text)
    return over


def _turned(items: Sequence[Item]) -> int:
    """Return how many eighths lines turn in all, 0 where that isn't known of one: by a half, told again `to the back`
    they begin there; by a quarter they end there."""
    ways = [turned_by(item, False) for item in items if isinstance(item, Line)]
    return 0 if None in ways else sum(way or 0 for way in ways)


def _ended(page: Page, lines: list[Line], said: list[str], walls: list[str]) -> list[Line]:
    """Return lines with the facing that a text claims for their end; [] if it states more than that and their feet."""
    made = list(lines)
    for piece in said if lines else ():
        claim, way = claims(piece), WORDS.fullmatch(TO.sub(" ", piece))
        if TO.search(piece) and way:
            continue
        if (claim and claim.pure and claim.facing) or re.fullmatch(
            r"(?i)\s*(?:(?:end|finish)\w* )?(?:front|back)\s*", piece
        ):
            walls = [claim.facing if claim else piece.split()[-1]]
        elif not (way or _STAYS.search(piece) or _spelled(page, lines, piece) or _ends_so(page, lines[-1], piece)):
            return []
    if made and walls:
        made[-1] = evolve(made[-1], facing=walls[-1].casefold())
    return made


def _spelled(page: Page, lines: list[Line], said: str) -> bool:
    """Say whether words are nothing but figures of lines, `basic R`, each on its foot."""
    found = page.reader.events(said)
    danced = {(key(line.name), foot) for line in lines for foot in ("", line.foot)}
    return bool(found) and all(isinstance(e, Mention) and (key(e.name), e.feet[:1]) in danced for e in found)


def taken(items: list[Item], beats: int, many: int, whole: bool) -> list[Line]:
    """Return the last lines of just these beats, of so many, all, or those of the last line of the source; [] if they
    are not plain lines."""
    if beats:
        made = repeated(items, beats, 0, 0, "")
        made = made if not many or many in (len(made), beats) else []
    else:
        source = items[-1].source if items and isinstance(items[-1], Line) else 0
        last = [each for each in items if isinstance(each, Line) and each.source == source]
        every = items[-many:] if many and many <= len(items) else items
        made = [*every] if whole or (many and many <= len(items)) else [*last] if not many else []
    lines = [evolve(each, facing="", source=0, remark="") for each in made if isinstance(each, Line) and not each.blank]
    return lines if len(lines) == len(made) else []


def remade(lines: list[Line], said: str, named: set[str]) -> list[Line]:
    """Return lines again, on the other side where that is said; [] where it isn't known what they are then."""
    toward, other = _TOWARD.search(said), OTHER_FOOT.search(said)
    side = toward[2][0].upper() if toward else ""
    if not lines or (named and named != {key(line.name) for line in lines if line.name}):
        return []
    if not other and side in ("", lines[0].lead):
        return lines
    led, turned = _LED.search(said), any(line.turn for line in lines)
    if (led and led[1][0].upper() == lines[0].lead) or (turned and not re.search(r"(?i)\bmirror", said)):
        return []
    return [made for line in lines if isinstance(made := mirrored(line), Line)]


def _told_out(page: Page, lines: list[Line], text: str, rest: list[str]) -> bool:
    """Say whether what stands behind the words, `same again, step R fwd, pivot 1/2 L`, is just the lines once more."""
    whole = cut(text)
    if not rest or len(whole) != 1 or not whole[0].counts:
        return False
    made = page.rows(evolve(page.group(", ".join(rest)), counts=whole[0].counts))

    told = [item for item in made if isinstance(item, Line)]
    return len(told) == len(made) == len(lines) and all(map(_alike, told, lines))


def _alike(told: Line, line: Line) -> bool:
    """Say whether a line tells another one, whose feet it need not say."""
    moves = [(a.code, a.tick) for a in told.moves] == [(b.code, b.tick) for b in line.moves]
    feet = all(a.foot in ("", b.foot) for a, b in zip(told.moves, line.moves, strict=False))
    same = (told.name, told.times, told.turn, told.at) == (line.name, line.times, line.turn, line.at)
    return moves and feet and same and told.foot in ("", line.foot) and not told.blank


def _ends_so(page: Page, last: Item, said: str) -> bool:
    """Say whether words are the last movement of a line, `touching with the right`."""
    found = page.reader.events(said)
    if not isinstance(last, Line) or len(found) != 1 or not isinstance(step := found[0], Step):
        return False
    whole = version(last.name, page.reader.book) if last.name else None
    code = whole[1][-1].code if whole else last.moves[-1].code if last.moves else ""
    return step.codes[-1] == code and not step.turn


_AGAIN = re.compile(
    r"(?i)\W*(?:(?:and|then|now|do|repeat)\s+)*(?:the\s+)?(?:same(?: thing| steps)?|all that|that|those|this|it|these)?"
    r"\s*(?:again|once more|a second time|repeat(?:ed)?|as (?:above|before))\W*"
)


def _same_again(page: Page, number: int, text: str) -> bool:
    """Dance the line before again, all of its section, or under a head the section before, where the length of the
    section has room for just that."""
    here, before = page.here, page.sections[-2:-1]
    size = here.length or (here.stated and here.stated_counts)
    if not (size and _AGAIN.fullmatch(re.sub(r"\W*\d{1,2}:\d\d\W*$", "", plain(text)))):
        return False
    items = here.items or [item for section in before for item in section.items]
    source = items[-1].source if items and isinstance(items[-1], Line) else not here.items
    last = [item for item in here.items if isinstance(item, Line) and item.source == source]
    made = next((each for each in (last, items) if sum(map(beats_of, each)) == size - here.counts), [])
    if not source or not made or any(isinstance(item, Line) and item.blank for item in made):
        return False
    here.items += map(once_more, made)
    here.items += [Expect(f"facing {face}")] if (face := clock(text)) else []
    page.reader.mark(number, "steps")
    return True


def _stated(page: Page, text: str) -> tuple[int, str]:
    """Return the beats that a line states before or behind what it says, and the rest."""
    cells = [cell for cell in cells_of(text) if cell]
    if len(cells) > 1 and cells[-1].isdecimal():
        return int(cells[-1]), " ".join(cells[:-1])
    found = cut(text)
    counts = found[0].counts if len(found) == 1 else None
    length, rest = lasting(text, page.sized)
    if counts and len(counts.points) == 1 < counts.last and not page.goes_on(counts.first):
        return counts.last, found[0].text
    if counts and not length:
        return counts.length, f"{found[0].text}, {found[0].facing}".strip(", ")
    return length, unbulleted(rest)


OF_SECTION = re.compile(
    rf"(?i)\W*(\d{{1,2}})\s*[-&]\s*(\d{{1,2}})\W+(?:(?:same )?as|repeat)\s+{SECTION}\.?\s*{NUMBER}\W+"
    r"(?:counts? )?(\d{1,2})\s*[-&]\s*(\d{1,2})(?:\W+(?:(?:but|on|with|using|the) )*(opposite|other) "
    r"(?:foot|feet|side))?\W*"
)
"""`1-4 As S1 1-4 on opposite foot`."""


def _retake(
    page: Page, at: int, text: str, spans: tuple[int, ...], face: str, of: Section | None = None, foot: str = ""
) -> bool:
    """Dance counts again, facing `face` behind them: so many last ones, else those of the section, or `of` another one,
    from one to another; `foot` says on which foot, "" where that is not said.

    `spans` are the first and the last count that the line stands on, 0 where it has none, how many are danced again,
    and from which to which.  What can't be danced again on its counts is a blank of them.
    """
    if page.tag:
        if danced := of is None and _retake_in(page.tag, spans, face, tight(text), foot):
            page.reader.mark(at, "steps")
        return danced
    begin, end, size, first, last = spans
    here = page.here
    own = (here.first or begin) == 1  # its counts begin anew, else those before its head are of the sections before
    away = of is None and here.stated is not None and last < here.stated[0] and not own
    whole = not first or away
    told = page.sections if whole else [of or here]
    items = [i for each in told for i in each.items if not each.twice or source_of(i) != each.number]
    before = 0 if whole else max(0, (of or here).first - 1)
    made = _on_foot(repeated(items, size, first - before, last - before, tight(text)), foot)
    length = sum(map(beats_of, made))
    if not made or (begin and (length != end - begin + 1 or begin <= here.last)):
        if not begin or begin <= here.last or end < begin:
            return False
        made, length = [Line(counts=end - begin + 1, blank=True, measured=True, remark=tight(text))], end - begin + 1
        page.reader.leave_open(at, text, "blank")
    elif face and isinstance(line := made[-1], Line):
        made[-1] = evolve(line, facing=face)
    here.items += made
    here.first, here.last = here.first or begin, end or (here.last and here.last + length)
    page.reader.mark(at, "steps")
    return True


def _on_foot(made: list[Item], said: str) -> list[Item]:
    """Return lines on the foot that is said, [] where it isn't known what they are then."""
    return [*remade([item for item in made if isinstance(item, Line)], said, set())] if said else made


def _retake_in(tag: Tag, spans: tuple[int, ...], face: str, text: str, foot: str) -> bool:
    """Dance counts of a tag again in it, `5-8 repeat 1-4`, where they fill just those that come next."""
    begin, end, size, first, last = spans
    made = _on_foot(repeated(tag.items, size, first, last, text), foot)
    if not made or begin != sum(map(beats_of, tag.items)) + 1 or sum(map(beats_of, made)) != end - begin + 1:
        return False
    ends = [evolve(made[-1], facing=face)] if face and isinstance(made[-1], Line) else made[-1:]
    tag.items.extend((*made[:-1], *ends))
    return True


_OFTEN = re.compile(
    rf"(?i)^\W*(?:(?:now|then|and|all)\s+)*(?:(?:repeat|do|dance)\b(?:\s+(?:it|this|that|these|all|of|the|above|everything|whole|"
    rf"lot|thing|part|two|three|four|steps?|same))*\s*)?(?:(?P<times>{NUMBER})\s+(?P<more>more\s+)?times(?P<also>\s+more)?"
    rf"|(?P<twice>twice)|(?P<again>again|over|once more))?\b"
)
_ALL_SAME = re.compile(
    r"(?i)^\W*(?:(?:and|then|the)\s+)*(?:same\b.*\b(?:again|once more)|repeat (?:all (?:of )?)?(?:that|this|it))\b"
)
_LOT = r"(?:all|above|everything|(?:do )?(?:all|that|it)|the (?:whole )?(?:lot|thing))"


def times_again(text: str) -> int:
    """Return how often what was before is danced in all: `Do this 4 times`, `Repeat all to the front`; else 0."""
    said = re.sub(r"^\W*\(\d{1,2}\)", "", plain(text))
    found = _OFTEN.match(said)
    bare = re.match(r"(?i)\W*repeat\b(?!\s+(?:[A-Z]\b|part|last|first|counts?|beats?|\d))", said)
    if re.search(r"(?i)\b(?:other|opposite|left|right|[lr]f?)\b", said):
        return 0
    if _ALL_SAME.search(said):
        return 2
    if all_of := re.fullmatch(rf"(?i)\W*(?:{_LOT}\s*)?x\s?(\d)(?:\s+{_LOT})?\W*", said):
        return int(all_of[1])
    if few := re.fullmatch(rf"(?i)\W*{NUMBER} of (?:them|these|those)\W*", said):
        return number(few[1])
    if not found or not (
        bare or found["times"] or found["twice"] or (found["again"] and re.search(r"(?i)\b(?:do|dance)\b", found[0]))
    ):
        return 0
    return number(found["times"]) + bool(found["more"] or found["also"]) if found["times"] else 2
