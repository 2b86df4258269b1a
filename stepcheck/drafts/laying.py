"""Lays counted steps, and steps told in sentences, on their counts."""

import itertools
import re
from collections.abc import Callable, Sequence

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.drafts.aims import aimed, turned_onto
from stepcheck.drafts.retold import counts_again
from stepcheck.model.dance import TICKS
from stepcheck.pages.facts import claims
from stepcheck.pages.page import Page
from stepcheck.pages.parts import REPEATED
from stepcheck.steps.counts import AFTER, Counted, Counts, counted, cut, lasting, needs, unbulleted
from stepcheck.steps.feet import with_feet
from stepcheck.steps.folding import lasts, only
from stepcheck.steps.outline import Assumptions, Expect, Item, Line, Remark, beats_of
from stepcheck.steps.phrases import INSTEAD, OPTION
from stepcheck.steps.rows import Group
from stepcheck.steps.steps import Aside, Event, Facing, Mention, Step, Unread, clock
from stepcheck.steps.timing import beside
from stepcheck.steps.vocabulary import plain, tight
from stepcheck.steps.words import NUMBER, SIZE, TIMES, UNITS, often
from stepcheck.steps.words import number as number_of

LENGTH = re.compile(
    r"(?i)(?:that is|that's|that makes|=)\s*(\d{1,3})\b(?!:\d)(?:\s*counts?)?|^\W*(\d{1,3})\s+counts?\b"
)
OFTEN = re.compile(
    r"(?i)\W*(?:and\s+)?(?:do\s+)?(?:exactly\s+)?(?:(?:that|this|it|all|all that|the same)\s+)?"
    rf"(?:{TIMES}|repeat\w*|again|once more|another(?: one)?)(?:\s+(?:each|more))?\W*"
)
"""How often, and nothing else."""
_STOPS = re.compile(r"(?<=[\w)])[.;!]+\s+")
_BEHIND = re.compile(rf"(?i)[\s(]+{TIMES}\W*$")


def steps(page: Page, number: int, text: str) -> None:
    """Read a line of steps with counts; pieces of one count each are a row together, and what some dance instead is
    open."""
    instead = next((e for e in _STOPS.finditer(text) if INSTEAD.match(text, e.end())), None)
    if instead:
        steps(page, number, text[: instead.start()])
        page.target.append(Remark(tight(text[instead.end() :])))
        page.reader.unused(number, text[instead.end() :])
        return
    if halves := _halves(page, text):
        for each in halves:
            if not counts_again(page, number, each):
                _counted(page, number, each)
        return
    pieces = re.split(
        r"(?i);\s+|\s{3,}(?=\d+(?:\s?[-&]\s?\d+)+\s+[a-z])|[\s,.]+(?=\d+(?:\s?[-&]\s?\d+)+\s+repeat )", text.strip()
    )
    if any(REPEATED.fullmatch(plain(piece)) or re.match(r"\s*\d+\s?-\s?\d", piece) for piece in pieces[1:]):
        for piece in pieces:
            if not counts_again(page, number, piece):
                _counted(page, number, piece)
    else:
        _counted(page, number, text)


_SAME = re.compile(r"(?i)(?:[,;]\s+(?:(?:and|then)\s+)*|\s+and\s+then\s+)(?=(?:the\s+)?same\b[^,;]*$)")


def _halves(page: Page, text: str) -> list[str]:
    """Return a line whose steps fill half of its counts, and that says the same of the rest, as two: `1-8 …, then the
    same to the left`; none for any other."""
    behind, span = _SAME.search(text), counted(text)
    pieces = cut(text[: behind.start()]) if behind else ()
    if not behind or len(pieces) != 1 or not span or pieces[0].counts != span or not span.whole:
        return []
    half = span.first + span.length // 2
    if 2 * lasts(page.reader.events(pieces[0].text), page.reader.book) != span.length:
        return []
    return [f"{span.first}-{half - 1} {pieces[0].text}", f"{half}-{span.last} {text[behind.end() :]}"]


def optional(page: Page, number: int, text: str) -> bool:
    """Keep what may be danced instead, in a bracket on a line of its own, as a remark on the steps before it; return
    whether a line is that."""
    last = page.target[-1] if page.target else None
    if not OPTION.fullmatch(text.strip()) or not isinstance(last, Line):
        return False
    page.target[-1] = evolve(last, remark="; ".join(filter(None, (last.remark, tight(text).strip("()[]")))))
    page.reader.mark(number, "steps")
    return True


def _counted(page: Page, number: int, text: str) -> None:
    length, bare = lasting(text, page.sized)
    cuts, only = cut(bare), counted(bare)
    sizes = [each.counts.last for each in cuts if each.text and each.counts and len(each.counts.points) == 1]
    if len(cuts) == len(sizes) > 1 and min(sizes) > 1 and not any(a < b for a, b in itertools.pairwise(sizes)):
        for each, size in zip(cuts, sizes, strict=True):  # `Vine right (4). Vine left (4).`
            group(page, number, [Counted(each.text, None)], size)
        return None
    said = re.search(r"[,;]\s", re.sub(r"\([^()]*\)", " ", bare)) and re.match(r"\s*\d{1,2}\s+[A-Za-z]", plain(bare))
    single = said and len(cuts) == 1 and only and len(only.points) == 1
    running = only and 0 < page.last == only.first - 1  # from counts that were taken for such
    if single and not running and not _single(page, cuts[0].text):  # a count has no two steps: a label
        bare = text = re.sub(r"^\s*\d{1,2}\s+", "", plain(bare))
        cuts, only = cut(bare), None
    if not length and len(cuts) == 1 and only and len(only.points) == 1 < only.last and not page.goes_on(only.first):
        length, bare, only = only.last, cuts[0].text, None  # `(4)`: how long
    if length and (page.sized or only is None):
        return group(page, number, [Counted(unbulleted(bare), None)], length)
    return _rows(page, number, text)


def _single(page: Page, text: str) -> bool:
    """Say whether words are one step, with or without a clap, a sweep or a drag beside it."""
    made = beside(page.reader.events(text))
    return len(made) == 1 and isinstance(made[0], Step)


_AGAIN = re.compile(r"(?i)\W*(?:and\s+)?(?:repeat|again|same(?: again)?|once more|ditto)\W*")


def _once_more(page: Page, piece: Counted, close: Callable[[], None]) -> bool:
    """Dance the last line, which `close` ends, once more on counts of its length, `R kick ball change 1&2, again 3&4`;
    return whether a piece says so."""
    if not piece.counts or not _AGAIN.fullmatch(piece.text):
        return False
    close()
    last = page.target[-1] if page.target else None
    if not isinstance(last, Line) or last.blank or beats_of(last) != piece.counts.length:
        return False
    page.target.append(evolve(last, facing="", remark=""))
    page.passed(piece.counts.first, piece.counts.last)
    return True


_NEW = re.compile(r"[\d&]\s*[)\]]\s*[.!]\s*$")
"""The end of a sentence behind its counts."""


def _rows(page: Page, number: int, text: str) -> None:
    """Read the pieces of a line that state counts; those of one count each are a row together, and a sentence behind
    the last counts is a remark."""
    singles: list[Counted] = []

    def close() -> None:
        if singles:
            group(page, number, singles)
            singles.clear()

    cuts = cut(text)
    behind = len(cuts) > 1 and all(piece.counts for piece in cuts[:-1]) and not re.match(r"\W*[\d&]", text)
    spans = [piece.counts for piece in cuts if piece.counts and piece.counts is not AFTER]
    if len(spans) > 1 and spans[0].whole and any(b.points[0] <= spans[0].points[0] for b in spans[1:]):
        return lay(page, number, Group((Unread(text),), spans[0], text))  # counts that go back are others' counts
    for piece in cuts:
        counts = piece.counts
        alone = counts is None and behind and page.steps(piece.text)
        if alone and _NEW.search(text[: text.rfind(piece.text)]):
            close()
            page.target.append(Remark(piece.text))
            page.reader.unused(number, piece.text)
            continue
        if counts is AFTER:
            before = singles[-1].counts if singles else None
            half = before and Counts((before.points[-1] + TICKS // 2,))
            singles.append(evolve(piece, counts=half))
            continue
        if piece is not cuts[0] and _once_more(page, piece, close):
            continue
        led = counts is not None and len(counts.points) == 2 and counts.points[0] % TICKS and singles
        if counts is not None and (len(counts.points) == 1 or led):
            singles.append(piece)
            if piece.facing:
                close()
            continue
        close()
        group(page, number, [piece])
    close()
    return None


def group(page: Page, number: int, group: list[Counted], length: int = 0) -> None:
    """Read pieces that are one row; `length` is how many counts they are said to last, if no counts are."""
    counts = group[0].counts
    for other in group[1:]:
        if counts is not None and other.counts is not None and other.counts.points[0] > counts.points[-1]:
            counts = counts.joined(other.counts)
    said = ", ".join(piece.text for piece in group)
    counts = counts and _led(counts, page.here.last, said)
    told = ", ".join(_RETURNED.sub(r"\1recover", each.text) if _alone(each) else each.text for each in group)
    found = list(page.reader.events(_on_step(told, counts)))
    found += [Facing(face) for piece in group if (face := clock(piece.facing))]
    over = counts and counts.whole and 1 < counts.first == page.here.last < counts.last - 1
    if counts and over and lasts(found, page.reader.book) == counts.length - 1:  # `20-24` behind `19-20`
        page.reader.assumed.add(f"counts {counts.first}-{counts.last} begin behind count {counts.first}")
        counts = Counts(counts.points[1:])
    if group[0].feet:
        found = with_feet(found, group[0].feet)
    whole = Group(tuple(found), counts, said, page.stands(), length)
    whole = led_up(whole, page.here.last, page.reader.book, page.reader.assumed)
    for each in divided(whole, group[0].parts, page.reader.book) if group[0].parts else (whole,):
        lay(page, number, each)


def _on_step(said: str, counts: Counts | None) -> str:
    """Return words in which a turn on a count of a row, `vine L with 1/4 L on 23`, is on the step that has it."""
    if counts is None or not counts.whole:
        return said
    return re.sub(
        rf"(?i)({SIZE}[^,;.]*?) on (?:count )?(\d{{1,2}})\b(?! (?:walls?|feet|times))",
        lambda found: (
            f"{found[1]} on the {int(found[2]) - counts.first + 1}th step"
            if counts.first <= int(found[2]) <= counts.last
            else found[0]
        ),
        said,
    )


_RETURNED = re.compile(
    r"(?i)^\W*((?:[lr]f?|left|right)\s+|)(?:(?:put|bring|shift|take|transfer)\s+)?(?:(?:the|your)\s+)?(?:weight|wt)\s+back(?=(?:\s+(?:on)?(?:to)?\s*"
    r"(?:(?:the|your)\s+)?(?:left|right|[lr]f?)\b(?:\s+foot)?)?\W*$)"
)
"""`weight back on R`, which is a step where it has a count of its own."""


def _alone(piece: Counted) -> bool:
    return piece.counts is not None and len(piece.counts.points) == 1


_OVER = re.compile(rf"(?i)\b(?:over|for|in)\s+(?:the first\s+)?{NUMBER}\s*{UNITS}\b")


def _led(counts: Counts, last: int, said: str) -> Counts:
    """Return the counts behind words with those before them, where the words say how many these are: `hips over 4
    counts, then knees R L R L (5-8)`."""
    over, before = _OVER.search(said), counts.first - last - 1
    if over is None or number_of(over[1]) != before:
        return counts
    return Counts((*(TICKS * (last + 1 + index) for index in range(before)), *counts.points))


def lay(page: Page, number: int, group: Group) -> None:
    """Lay a group on its counts, and keep its lines."""
    counts = group.counts
    turns = turned_onto(page, group.events) if counts and len(counts.points) == 1 else group.events
    group = evolve(group, events=aimed(page, turns, group.text))
    untold = [each for each in group.events if isinstance(each, Unread | Aside)]
    if any(OFTEN.fullmatch(each.text) or (isinstance(each, Unread) and _BEHIND.search(each.text)) for each in untold):
        group = _often(page, group)
    if counts:
        page.anew(counts.first, number)
    target = page.target
    if not any(isinstance(event, Step | Mention | Unread) for event in group.events):
        return _talk(page, number, group)
    while isinstance(face := group.events[0], Facing):
        target[-1:] = [evolve(i, facing=face.wall) if isinstance(i, Line) else i for i in target[-1:]]
        group = evolve(group, events=group.events[1:])
    for item in _made(page, group):
        if isinstance(item, Line) and (counts or group.length):
            item = evolve(item, measured=True)
        if not _joined(target, item):
            target.append(item)
            _open(page, number, item, group)
    page.beside += [(number, event.text) for event in group.events if isinstance(event, Aside)]
    said = "; ".join(event.text for event in group.events if isinstance(event, Aside))
    if re.search(r"(?i)\brestart\b", said):
        page.passes.read(f"restart here {said}", sum(section.counts for section in page.sections))
    page.reader.mark(number, "order" if page.tag and page.reader.kinds.get(number) == "order" else "steps")
    if counts:
        page.passed(counts.first, counts.last)
    return None


def _often(page: Page, group: Group) -> Group:
    """Return a group that says how often its steps are danced with them as often as its counts say; else unread."""
    length = group.counts.length if group.counts and group.counts.whole else group.length
    length = length or (0 if page.tag else (page.here.length or page.each) - page.here.counts)
    faced = only(group.events, Facing)
    *before, last = [event for event in group.events if not isinstance(event, Facing)]
    said: Sequence[Event] = before
    told = OFTEN.fullmatch(last.text) if isinstance(last, Unread | Aside) else None
    if behind := None if told else _BEHIND.search(group.text):
        said, told = page.reader.events(group.text[: behind.start()]), OFTEN.fullmatch(behind[0])
    title = said[0] if len(said) > 1 else None
    if isinstance(title, Mention) and title.spelled and isinstance(first := said[1], Step):  # `Charleston: …, x2`
        said = [evolve(first, note=(f"{title.text.casefold()}:", *first.note)), *said[2:]]
    times = often(*told.groups(), "twice") if told else 0
    if any(isinstance(e, Unread | Aside) for e in said) or times < 2 or times * lasts(said, page.reader.book) != length:
        ends = faced[-1:] * isinstance(group.events[-1], Facing)
        return evolve(group, events=(Unread(group.text), *ends))  # how often what is danced?
    return evolve(group, events=(*[*said] * times, *faced))


def _made(page: Page, group: Group) -> list[Item]:
    """Return the lines of a group; those that lose the only turn that it says are a blank."""
    made = page.rows(group)
    moved = [event for event in group.events if isinstance(event, Step | Mention)]
    turned = any(event.turn or (isinstance(event, Mention) and "/" in event.name) for event in moved)
    if turned and not any(isinstance(i, Line) and (i.turn or i.blank or "/" in i.name) for i in made):
        return page.rows(evolve(group, events=(Unread(group.text),)))
    return made


def _open(page: Page, number: int, item: Item, group: Group) -> None:
    """Name a line as open where it is a blank, or a comment of all that a group without counts says."""
    if isinstance(item, Line) and item.blank:
        page.reader.leave_open(number, item.remark, "blank")
    elif isinstance(item, Remark) and item.text == group.text and group.counts is None:
        page.reader.leave_open(number, item.text)


def _joined(target: list[Item], item: Item) -> bool:
    """Join a blank without counts to one before it; return whether it is joined."""
    before = target[-1] if target else None
    if isinstance(item, Line) and isinstance(before, Line) and item.unknown and before.unknown:
        target[-1] = evolve(before, remark=f"{before.remark}; {item.remark}")
        return True
    return False


def _talk(page: Page, number: int, group: Group) -> None:
    """Keep words without a step: a length, a facing, the foot that has the weight, a remark; with counts, a
    blank."""
    said, target = group.text.strip(), page.target
    facing = next((event.wall for event in group.events if isinstance(event, Facing)), "")
    last = target[-1] if target else None
    if length := LENGTH.search(group.text):
        page.here.length = int(length[1] or length[2])
        page.here.facing = page.here.facing or facing
        page.here.title = page.here.title or group.text
    elif group.counts is not None or 0 < group.length <= 16:  # more are those of all the dance
        size = group.counts.length if group.counts else group.length
        target.append(Line(counts=size, blank=True, measured=True, remark=group.text))
        page.reader.leave_open(number, group.text or "nothing stands at these counts", "blank")
        if group.counts:
            page.passed(group.counts.first, group.counts.last)
    elif last and (claim := claims(said)) and claim.pure and claim.foot and not facing:
        target.append(Expect(f"{claim.foot} foot", said.strip("()")))
    elif facing and isinstance(last, Line) and not last.facing:
        target[-1] = evolve(last, facing=facing)
    elif said:
        page.beside.append((number, said))
        target.append(Remark(group.text))


def steps_again(page: Page, number: int, text: str) -> bool:
    """Leave open a line that repeats steps by their name, and so does not end the dance."""
    repeats = re.match(r"(?i)\W*repeat\s+(?:the\s+)?(?=\w)", text)
    if not repeats or not page.steps(text[repeats.end() :]):
        return False
    page.reader.leave_open(number, text)
    page.ends.append(tight(text))
    return True


def divided(group: Group, parts: tuple[Counts, ...], book: Book) -> tuple[Group, ...]:
    """Return a group of several rows of counts as a group for each; as it is where the steps don't fall into them."""
    out: list[Group] = []
    left = list(group.events)
    for counts in parts:
        taken: list[Event] = []
        while left and needs(taken, book) < len(counts.points):
            taken.append(left.pop(0))
        if needs(taken, book) != len(counts.points):
            return (group,)
        out.append(Group(tuple(taken), counts, group.text))
    if needs(left, book):
        return (group,)
    out[-1] = evolve(out[-1], events=(*out[-1].events, *left))
    return tuple(out)


def led_up(group: Group, last: int, book: Book, assumed: Assumptions) -> Group:
    """Return a group whose counts are those of its last steps with the counts before them, if those are all that
    lack."""
    if group.counts is None or needs(group.events, book) <= len(group.counts.points):
        return group
    for at in range(1, len(group.events)):
        size = needs(group.events[:at], book)
        fit = needs(group.events[at:], book) == len(group.counts.points)
        if fit and group.counts.first - size == last + 1:
            assumed.add(f"the steps before count {group.counts.first} have a count each")
            points = tuple(TICKS * (last + 1 + index) for index in range(size))
            return Group(group.events, Counts(points + group.counts.points), group.text)
    return group
