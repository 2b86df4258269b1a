"""Counts as teachers write them, `1-2`, `3&4`, `&7-8`: where they stand in a line, and what takes how many of them."""

import itertools
import re
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache

from attrs import evolve, frozen

from stepcheck.books.book import Book
from stepcheck.model.dance import TICKS, Figure
from stepcheck.steps.outline import Move
from stepcheck.steps.steps import Event, Mention, Step
from stepcheck.steps.vocabulary import plain
from stepcheck.steps.words import NUMBER, UNITS, number

_UNIT = r"&?\s?\d{1,3}"
_TAIL = r"(?:(?:(?<=\d)a(?=\d)|\s*(?:-|,|&|to\b|\s)\s*)&?\s?\d{1,3})*(?:&(?!\w)|\s&(?!\s*[a-z]))?"
EXPRESSION = re.compile(
    rf"(?i)(?<![\w/:.,&-]){_UNIT}{_TAIL}(?![\w/%]|:\d)(?!\s*(?:bpm|o'clock))|(?<=\w )&(?=\s*(?:;|\.|$))|(?<=\()&(?=\))"
)
"""Anything that may be a row of counts; what stands around it decides."""
JOINED = re.compile(r"\da\d|\d\s*(?:&|-|,)\s*\d|\d\s?&|&\s?\d|\d\s+\d")


@frozen
class Counts:
    """A row of counts: its points in ticks, 12 at count 1, in order."""

    points: tuple[int, ...]

    @property
    def first(self) -> int:
        """The count that the first point belongs to; a half belongs to the count that it leads to."""
        return -(-self.points[0] // TICKS)

    @property
    def last(self) -> int:
        """The count that the last point belongs to."""
        return self.points[-1] // TICKS

    @property
    def length(self) -> int:
        """How many counts there are."""
        return self.last - self.first + 1

    @property
    def whole(self) -> bool:
        """Whether every point is a whole count, one after the other."""
        return self.points == tuple(range(self.points[0], self.points[-1] + 1, TICKS)) and not self.points[0] % TICKS

    def inside(self, points: tuple[int, ...]) -> tuple[int, ...]:
        """Return some of the points, counted from the first whole count among them as 1."""
        first = Counts(points).first
        return tuple(point - (first - 1) * TICKS for point in points)

    def joined(self, later: "Counts") -> "Counts":
        """Return these counts and later ones as one row."""
        return Counts(self.points + later.points)


def read(text: str) -> Counts | None:
    """Return the counts that a text writes, or None: `1&2` is 1, the half after it, 2; `1-4` has the counts between."""
    if text.strip() == "&":
        return LONE
    listed = re.sub(r"(\d{1,3})\s*(?:-|to)\s*(?=(\d{1,3}))", _between, text.casefold())
    points: list[int] = []
    half = ""
    for piece in re.findall(r"\d{1,3}|[&a]", re.sub(r"[b-z]", "", listed)):
        if not piece.isdecimal() and half:
            return None
        if piece == "1" and points and half:
            piece = str(points[-1] // TICKS + 1)  # `8&1` ends on the first count of the next eight
        if piece.isdecimal():
            points += [int(piece) * TICKS - TICKS // (2 if half == "&" else 4)] * bool(half) + [int(piece) * TICKS]
        half = "" if piece.isdecimal() else piece
    if half and points:
        points.append(points[-1] + TICKS // 2)
    rising = all(a < b for a, b in itertools.pairwise(points))
    if (
        not points
        or not rising
        or len(points) > 200
        or points[-1] > 256 * TICKS
        or points[0] < TICKS // 2
        or (half and len(points) < 2)
    ):
        return None
    return Counts(tuple(points))


def _between(found: re.Match[str]) -> str:
    """Return the first of two counts and those between them, each behind a space."""
    return " ".join(map(str, range(int(found[1]), max(int(found[1]) + 1, int(found[2]))))) + " "


LONE = Counts((0,))
"""A half whose count isn't written: it leads to the counts behind it."""
AFTER = Counts((TICKS // 2,))
"""A half without a count behind it: it follows the count before it."""


def version(name: str, book: Book) -> tuple[Figure, tuple[Move, ...]] | None:
    """Return the figure of this name with the movements of its usual reading, on their ticks, begun by the left foot.

    Feet are those of the row; a movement without one has "".
    """
    called, _, ending = name.partition(" ending ")
    found = book.find(called)
    if len(found) != 1 or not found[0].versions:
        return None
    usual = next(
        (each for each in found[0].versions if ending and each.label == f"ends {ending}"),
        found[0].versions[found[0].usual],
    )
    return found[0], tuple(Move(code_of(action.movement.forms[0]), "", action.tick) for action in usual.actions)


def spins(name: str, book: Book) -> bool:
    """Say whether a figure of the book turns by itself."""
    return any(each.turn for found in book.find(name) for each in found.versions)


def code_of(form: str) -> str:
    return {"R": "RK"}.get(form, form)


def counts_at(moves: Sequence[Move], index: int) -> int:
    """Return the count that a movement belongs to."""
    return max(1, moves[index].tick // TICKS)


def length_of(moves: tuple[Move, ...]) -> int:
    """Return how many counts a row of movements lasts."""
    return max(move.tick // TICKS for move in moves)


def fits(counts: Counts, moves: tuple[Move, ...]) -> bool:
    """Say whether the points of a group are those on which a figure is danced, or its whole counts."""
    ticks = tuple(move.tick for move in moves if move.code != "PV")
    return counts.inside(counts.points) == ticks or (
        counts.whole and counts.length == length_of(moves) and all(not t % TICKS for t in ticks)
    )


def counts_of_figure(event: Mention, book: Book) -> int:
    found = version(event.name, book)
    return length_of(found[1]) * event.times if found else 0


def needs(events: Sequence[Event], book: Book) -> int:
    """Return how many points steps and figures take."""
    known = [(version(e.name, book), e.times) for e in events if isinstance(e, Mention)]
    points = sum(len({move.tick for move in found[1]}) * times for found, times in known if found)
    return points + sum(isinstance(event, Step) for event in events)


_BULLET = re.compile(r"^\s*(?:[*•·o]\s+|-\s+|(?!\(\d{1,2}\).*\(\d)\(?\d{1,2}[.)]\s+|(?:[a-z]|[ivx]+|[A-Z])[.)]\s+)")
_WALL_BEHIND = re.compile(r"(?i)^\s*-?\s*[\[(]?\s*(?:facing\s+)?(\d{1,2}:\d\d|\d{1,2}\s*o'?\s*clock)\s*[\])]?(?=\W|$)")


@frozen
class Counted:
    """A piece of a line with its own counts, or with none; `parts` are the rows that the counts fall into, if
    several."""

    text: str
    counts: Counts | None
    feet: str = ""
    facing: str = ""
    parts: tuple[Counts, ...] = ()


def counted(text: str) -> Counts | None:
    """Return the first counts that a line writes, if it writes any."""
    return next((piece.counts for piece in cut(text) if piece.counts), None)


def unbulleted(text: str) -> str:
    """Return a line without its bullet or number."""
    found = _BULLET.match(text)
    return text[found.end() :] if found else text


@lru_cache(maxsize=1 << 10)
def cut(line: str) -> tuple[Counted, ...]:
    """Return a line cut at its counts, which stand before the words that they count or behind them.

    A lone `&` is a half that leads to the counts behind it, and is joined to them.
    """
    out: list[Counted] = []
    for piece in reversed(_cut_at_counts(line)):
        if piece.counts is LONE:
            if out and (behind := out[-1].counts) is not None:
                later = out.pop()
                joined = Counts((behind.points[0] - TICKS // 2, *behind.points))
                piece = Counted(f"{piece.text}, {later.text}", joined, later.feet, later.facing)
            else:
                piece = evolve(piece, counts=AFTER)
        out.append(piece)
    return tuple(reversed(out))


def _cut_at_counts(line: str) -> tuple[Counted, ...]:
    line = re.sub(rf"(?i)\(\s*{UNITS}\s+(?=\d)", "(", line)
    text = unbulleted(plain(line).replace("\t", "   "))
    found = list(_expressions(text))
    led = found and (len(found) == 1 or not text[: found[0][0]].strip(" .:-"))
    if led and found[-1][2] is LONE and not text[found[-1][1] :].strip(" .,;:"):
        found.pop()  # a step on the half, of counts in front: `1&2& R heel & L heel &`
    if behind := _labelled(text, found):
        text, found = " " * found[0][1] + text[found[0][1] :], behind
    if not found:
        return (Counted(text.strip(), None),) if text.strip() else ()
    out: list[Counted] = []
    if not text[: found[0][0]].strip(" .:-"):
        for index, (begin, end, counts) in enumerate(found):
            stop = found[index + 1][0] if index + 1 < len(found) else len(text)
            before = out[-1].counts if out else None
            finer = _finer(before, counts) if before and not text[end:stop].strip(" ).,;:") else None
            if finer:
                out[-1] = evolve(out[-1], counts=finer[0], parts=finer[1])
                continue
            parts = _parts(text[begin:end])
            out.append(Counted(text[end:stop].lstrip(") ").strip(" ,;.:"), counts, "", "", parts))
        return tuple(out)
    start = 0
    for begin, end, counts in found:
        words = text[start:begin].strip().lstrip(".,;:)- ")
        start = end
        if wall := _WALL_BEHIND.match(text[end:].lstrip(" .;,")):
            start = end + (len(text[end:]) - len(text[end:].lstrip(" .;,"))) + wall.end()
        words = re.sub(r"^\d+\s+-\s+", "", words)  # how long the line is
        out.append(Counted(words.strip(" .,;:-"), counts, "", wall[1] if wall else "", _parts(text[begin:end])))
    rest = text[start:].strip(" .,;")
    if rest:
        out.append(Counted(rest, None))
    return tuple(out)


def _labelled(text: str, found: list[tuple[int, int, Counts]]) -> list[tuple[int, int, Counts]]:
    """Return the counts behind words that the first ones of a line only head, none where these are counts as well: the
    number of a section, or a span that the others fill, its own or from 1 on: `9-16 walk R L 1-2, shuffle 3&4, …`."""
    if len(found) < 2 or text[: found[0][0]].strip():
        return []
    (_, _, head), *inner = found
    worded = [re.search(r"\w", text[one[1] : other[0]]) for one, other in itertools.pairwise(found)]
    if len(head.points) == 1:
        back = inner[0][2] is not LONE and inner[0][2].first <= head.last and text[found[0][1] : found[1][0]].strip()
        return inner if back else []
    points = [point for *_, each in inner if each is not LONE for point in each.points]
    rise = head.whole and points and all(worded) and all(a < b for a, b in itertools.pairwise(points))
    by = 0 if not rise or points[0] // TICKS >= head.first - 1 else head.first - 1
    rest = tuple(range(points[-1] // TICKS + 1, head.last - by + 1)) if rise else ()
    behind = re.search(r"[A-Za-z]{2}", text[inner[-1][1] :]) is not None
    if not rise or points[-1] // TICKS + by > head.last or bool(rest) != behind or len(inner) + behind < 2:
        return []
    inner += [(len(text), len(text), Counts(tuple(TICKS * at for at in rest)))] * behind
    out, last = list[tuple[int, int, Counts]](), head.first - 1
    for begin, end, each in inner:
        if each is not LONE:  # counts that are not written are of the words before it as well
            missing = (TICKS * at for at in range(last + 1, each.first + by))
            last = (each := Counts((*missing, *(point + by * TICKS for point in each.points)))).last
        out.append((begin, end, each))
    return out


def _finer(before: Counts, counts: Counts) -> tuple[Counts, tuple[Counts, ...]] | None:
    """Return the counts of words with those behind them that say how they are counted, and the rows that these are:
    `5-8 volta (5&6&7&8)`, `1-4 walk R, L, shuffle fwd (3&4)`; None where they say something else."""
    if before.last != counts.last or not before.whole or counts.first < before.first:
        return (counts, ()) if (before.first, before.last) == (counts.first, counts.last) else None
    if before.first == counts.first:
        return counts, ()
    first = Counts(tuple(point for point in before.points if point < counts.points[0]))
    return first.joined(counts), (first, counts)


_BEHIND, _NEXT, _NOWHERE = (re.compile(each) for each in (r"\s*(?:[,;]|$)", r"\s+[A-Za-z]", r"(?!)"))
"""What stands behind the next count in a row: `step R 5, pivot 1/4 L 6`, `R fwd. 5 L fwd`."""
_NEAR = 200  # letters before counts that say what they are; looking at all makes long lines slow


def _expressions(text: str) -> Iterator[tuple[int, int, Counts]]:
    """Yield the counts of a line with where they begin and end, brackets and dotted lines around them included."""
    last, led, ended = 0, False, 0
    for found in EXPRESSION.finditer(text):
        begin, end = found.start(), found.start() + len(found[0].rstrip())
        if (
            (row := re.match(r"(.*\d)\s+\d+$", text[begin:end]))
            and _COUNTED.match(text[end:])
            and JOINED.search(row[1])
        ):
            end = begin + len(row[1])  # `5-8 4 count weave`
        before, after, near = text[:begin].rstrip(), text[end:].lstrip(), max(0, begin - _NEAR)
        bracketed = before[-1:] in ("(", "[") and after[:1] in (")", "]")
        said = text[begin:end]
        behind = _BEHIND if last and before[-1:].isalpha() else _NEXT if before[-1:] in (".", ";") else _NOWHERE
        goes_on = said == str(last + 1) and behind.match(text, end)
        if not (said == "&" or bracketed or goes_on or _stands(said, text[:begin], text[end:])):
            continue
        while (counts := read(said)) is None and (shorter := re.match(r"(.*\S)\s+\d+$", said)):
            said = shorter[1]  # the last number is that of what is counted: `1-4 2 toe struts`
        ends = bracketed or (last and not after)
        walled = bracketed and EXPRESSION.fullmatch(after[1:].strip(" .,:()[]-"))  # `pivot 1/2 L [6] (1-2)`
        clock = counts is not None and len(counts.points) == 1 and counts.last in (3, 6, 9, 12) and (walled or ends)
        told = ended and re.search(r"[A-Za-z]{2}", text[ended:begin])
        run = counts is not None and told and last == counts.last - 1  # `R side (2&), hold (3)`
        if counts is None or (clock and not run and (walled or (last and (led or last != counts.last - 1)))):
            continue  # a wall by the hour alone: `(6)`
        led = led or (not text[:begin].strip() and len(counts.points) > 1)
        last, ended = counts.last or last, end * bracketed
        if bracketed:
            yield len(before) - 1, len(text) - len(after) + 1, counts
        elif not re.search(r"(?i)\b(?:on|at|from|after|counts?|beats?|bars?)$", before[near:]):
            dots = re.search(r"\s*\.{3,}\s*$", text[near:begin])
            yield near + dots.start() if dots else begin, begin + len(said), counts


_COUNTED = re.compile(
    r"(?i)\s*(?:counts?|beats?|walls?|times|bpm|x(?=\s*(?:[\d,;.)]|$)|\s(?!(?:[lr]f?|left|right)\b)[a-z -]+s\W*$))"
)
"""Behind a number that is no count, but says how many of something."""


def _stands(said: str, before: str, after: str) -> bool:
    """Say whether numbers without brackets stand where counts do: several, or one at an end of the line."""
    first = not before.strip(" .:")
    apart = re.search(r"(?:\s{2,}|\.{2,}\s*)$", before[-_NEAR:]) is not None
    if _COUNTED.match(after) or (first and re.match(r"\s+-\s", after)):
        return False
    alone = (first and re.match(r"[ :]", after or "x")) or (apart and not after.strip())
    return bool(JOINED.search(said) or alone)


def _parts(said: str) -> tuple[Counts, ...]:
    """Return the rows of a list of counts such as `1&2 3&4 5 6`: each with halves is one, and whole counts in a row
    are."""
    words = said.strip("()[] .").split()
    if len(words) < 2 or not any("&" in word for word in words) or any(len(word.strip("&-,")) == 0 for word in words):
        return ()
    out: list[Counts] = []
    for word in words:
        found = read(word)
        if found is None:
            return ()
        alone = len(found.points) == 1
        if alone and out and out[-1].whole and out[-1].points[-1] + TICKS == found.points[0]:
            found = out.pop().joined(found)
        out.append(found)
    return tuple(out)


def steps_said(text: str, events: Callable[[str], tuple[Event, ...]]) -> int:
    """Return how many steps and figures a text says, by what says the events of a text."""
    return sum(isinstance(event, Step | Mention) for piece in cut(text) for event in events(piece.text))


def sentences(text: str) -> list[str]:
    """Return the sentences of a text, cut at full stops and before `then`."""
    cut = re.split(r"(?<=[a-z)\]])\.\s+(?=[A-Z(\d])|(?:,\s*|;\s*|\s+and\s+)then\s+", plain(text))
    return [each.strip() for each in cut if each.strip(" .")]


_LASTING = (
    re.compile(rf"(?i)^\W*{NUMBER}\s{{0,3}}{UNITS}(?: (?:of|for|to|forward|back)\b[\w ]{{0,30}})?\s?[:.\-]\s?(?=\w)"),
    re.compile(
        rf"(?i)(?:[,;:(\[=-]\s{{0,9}}(?:(?:for|in|and|so)\s{{1,9}}){{0,2}}){{0,4}}"
        rf"(?:(?:=|that's|that is|which (?:is|makes|takes)|taking)\s{{1,9}}){{0,3}}"
        rf"(?<!\bfor )(?<!\bover )(?<!\bthe )(?<!\bnext )(?<!\blast )(?<!\bfirst )\b{NUMBER}\s*{UNITS}\b"
        rf"(?:\s+(?:total|each|in all|altogether))?[)\].!\s]*$"
    ),
    re.compile(rf"(?i)[,(]\s*{NUMBER}\s*{UNITS}\)?(?=\s*[,;])"),
)
_ALONE = re.compile(
    r"(?:(?<!\.)\.{2,}\s?|(?<!\s)\s{2,}|\t|\s-+\s|,\s|\s(?=\())\(?(\d{1,2})\)?(?=\s{0,9}$|\s{1,9}[(\[]?\d{1,2}:\d\d[)\]]?\s*$)"
)


def sized(texts: Sequence[str]) -> bool:
    """Say whether the number at the end of each line is how many counts it lasts: lengths repeat, counts go up."""
    bare = [plain(text).rstrip() for text in texts if not re.match(r"\W*\d+\s*[-&,]", text)]
    found = [(text, _ALONE.search(text)) for text in bare]
    alone = [int(last[1]) for text, last in found if last and not re.search(r"[(\[]\s*[\d&]", text[: last.start()])]
    if set(alone) <= {3, 6, 9, 12}:
        return False  # walls by the hour
    pairs = list(itertools.pairwise(alone))
    return len(alone) > 2 and sum(a == b for a, b in pairs) > sum(a + 1 == b for a, b in pairs)


def lasting(text: str, alone: bool = False) -> tuple[int, str]:
    """Return how many counts a line says that it lasts, `(4 counts)`, and the line without these words; else 0.

    `alone` says that a lone number at the end is a length.
    """
    said = plain(text)
    for pattern in (*_LASTING, *((_ALONE,) if alone else ())):
        if found := pattern.search(said):
            return number(found[1]), (said[: found.start()] + said[found.end() :]).strip()
    return 0, text
