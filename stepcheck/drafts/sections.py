"""What kind of line a line of the source is, and where its counts stand."""

import re
from collections.abc import Iterator

from attrs import frozen

from stepcheck.drafts.counts import EXPRESSION, JOINED, LONE, Counts, read
from stepcheck.drafts.steps import Mention, Step, events
from stepcheck.drafts.vocabulary import Vocabulary
from stepcheck.drafts.words import plain
from stepcheck.model.dance import TICKS

_ORDINAL = r"(?:\d{1,2}|one|two|three|four|five|six|seven|eight|nine|ten|[ivx]+)"
_SECTION = re.compile(
    rf"^\s*(?:(?:section|sec|set|part)\s*\.?\s*{_ORDINAL}\b|s\s?\d{{1,2}}\b)\s*[.:)\-]*\s*", re.IGNORECASE
)
_RANGE = re.compile(r"^\s*[\[(]?\s*(?:counts?\s*)?(\d{1,3})\s*(?:-|to)\s*(\d{1,3})\s*[\])]?\s*[:.]?\s*", re.IGNORECASE)
_LETTER = re.compile(r"^\s*([A-Z])\)\s*")
_BULLET = re.compile(r"^\s*(?:[*•·o]\s+|-\s+|\(?\d{1,2}[.)]\s+|[a-z][.)]\s+)")
_COLUMNS = {
    "counts": ("count", "counts", "ct", "cts", "beat", "beats"),
    "feet": ("foot", "feet", "ft", "lead", "weight", "left/right", "l/r", "leg"),
    "steps": (
        "step",
        "steps",
        "description",
        "what you do",
        "do this",
        "what",
        "movement",
        "movements",
        "action",
        "do",
    ),
    "facing": ("facing", "wall", "face", "facing after", "direction"),
    "section": ("sec", "section", "set", "part"),
    "cue": ("cue", "cues", "name", "figure"),
    "notes": ("notes", "note", "remarks", "comment", "where"),
}
_WALL_BEHIND = re.compile(
    r"^\s*-?\s*[\[(]?\s*(?:facing\s+)?(\d{1,2}:\d\d|\d{1,2}\s*o'?\s*clock)\s*[\])]?(?=\W|$)", re.IGNORECASE
)


@frozen
class Heading:
    """The head of a section: its words, its counts if it has any, and what stands behind them on the line."""

    text: str
    counts: tuple[int, int] | None = None
    rest: str = ""


@frozen
class Piece:
    """A piece of a line with its own counts, or with none; `parts` are the rows that the counts fall into, if several."""

    text: str
    counts: Counts | None
    feet: str = ""
    facing: str = ""
    parts: tuple[Counts, ...] = ()


def columns(line: str) -> tuple[str, ...]:
    """Return the kinds of column that a row of column headings names, empty if the line is none."""
    cells = [cell.strip().casefold() for cell in line.split("\t")]
    kinds = [next((kind for kind, words in _COLUMNS.items() if cell in words), "") for cell in cells]
    for index, cell in enumerate(cells):
        if span := re.match(r"beats? (\d+)\s*-\s*(\d+)$", plain(cell)):
            kinds[index] = f"beats {int(span[2]) - int(span[1]) + 1}" if int(span[2]) >= int(span[1]) else ""
    named = [kind for kind in kinds if kind]
    return tuple(kinds) if len(cells) >= 3 and len(named) >= max(2, len(cells) - 1) else ()


def counted(text: str) -> Counts | None:
    """Return the first counts that a line writes, if it writes any."""
    return next((piece.counts for piece in pieces(text) if piece.counts), None)


def heading(line: str, following: str) -> Heading | None:
    """Return the head of a section that a line is, if it is one; `following` is the next line that isn't blank."""
    text = plain(line)
    if found := _SECTION.match(text):
        rest = text[found.end() :]
        return Heading(line.strip(), None, "" if counted(rest) is None else rest)
    if (found := _LETTER.match(text)) and counted(text[found.end() :]):
        return Heading(found[0].strip(), None, text[found.end() :])
    if found := _RANGE.match(text):
        first, last = int(found[1]), int(found[2])
        inner = counted(following) if following else None
        if last <= first or last - first > 63 or not first:
            return None
        nested = inner is not None and inner.length < last - first + 1 and inner.first in (1, first)
        bracketed = "[" in found[0] and "]" in found[0]
        if nested or (bracketed and inner is None):
            return Heading(text[found.end() :].strip() or line.strip(), (first, last))
    return None


def unbulleted(text: str) -> str:
    """Return a line without its bullet or number."""
    found = _BULLET.match(text)
    return text[found.end() :] if found else text


def pieces(line: str) -> tuple[Piece, ...]:
    """Return a line cut at its counts, which stand before the words that they count or behind them.

    A lone `&` is a half that leads to the counts behind it, and is joined to them.
    """
    out: list[Piece] = []
    for piece in reversed(_pieces(line)):
        if piece.counts is LONE:
            if out and (behind := out[-1].counts) is not None:
                later = out.pop()
                joined = Counts((behind.points[0] - TICKS // 2, *behind.points))
                piece = Piece(f"{piece.text}, {later.text}", joined, later.feet, later.facing)
            else:
                piece = Piece(piece.text, None)
        out.append(piece)
    return tuple(reversed(out))


def _pieces(line: str) -> tuple[Piece, ...]:
    text = unbulleted(plain(line).replace("\t", "   "))
    found = list(_expressions(text))
    if not found:
        return (Piece(text.strip(), None),) if text.strip() else ()
    out: list[Piece] = []
    if not text[: found[0][0]].strip(" .:-"):
        for index, (_, end, counts) in enumerate(found):
            stop = found[index + 1][0] if index + 1 < len(found) else len(text)
            parts = _parts(text[found[index][0] : end])
            out.append(Piece(text[end:stop].strip(" ,;.:"), counts, "", "", parts))
        return tuple(out)
    start = 0
    for index, (begin, end, counts) in enumerate(found):
        words = text[start:begin].strip().lstrip(".,;:- ")
        start = end
        if wall := _WALL_BEHIND.match(text[end:].lstrip(" .;,")):
            start = end + (len(text[end:]) - len(text[end:].lstrip(" .;,"))) + wall.end()
        words = re.sub(r"^\d+\s+-\s+", "", words)  # how long the line is
        out.append(Piece(words.strip(" .,;"), counts, "", wall[1] if wall else "", _parts(text[begin:end])))
    rest = text[start:].strip(" .,;")
    if rest:
        out.append(Piece(rest, None))
    return tuple(out)


def _expressions(text: str) -> Iterator[tuple[int, int, Counts]]:
    """Yield the counts of a line with where they begin and end, brackets and dotted lines around them included."""
    taken: list[int] = []
    for found in EXPRESSION.finditer(text):
        begin, end = found.span()
        while end > begin and text[end - 1].isspace():
            end -= 1
        said = text[begin:end]
        before, after = text[:begin].rstrip(), text[end:].lstrip()
        bracketed = bool(before) and before[-1] in "([" and bool(after) and after[0] in ")]"
        if bracketed:
            begin, end = len(before) - 1, len(text) - len(after) + 1
        first = not before.strip(" .:")
        apart = re.search(r"(?:\s{2,}|\.{2,}\s*)$", text[:begin]) is not None
        if said != "&" and not (
            bracketed
            or JOINED.search(said)
            or (first and re.match(r"[ :]", text[end:] or "x"))
            or (apart and not after)
        ):
            continue
        if not bracketed and re.match(r"\s*(?:counts?|beats?|walls?|times|bpm|x\b)", text[end:], re.IGNORECASE):
            continue
        if first and re.match(r"\s+-\s", text[end:]):
            continue
        while (counts := read(said)) is None and (shorter := re.match(r"(.*\S)\s+\d+$", said)):
            said, end = (
                shorter[1],
                begin + len(shorter[1]),
            )  # the last number is that of what is counted: `1-4 2 toe struts`
        if counts is None:
            continue
        clock = bracketed and len(counts.points) == 1 and counts.last in (3, 6, 9, 12)
        if clock and taken and taken[-1] != counts.last - 1:
            continue  # a wall by the hour alone: `(6)`
        taken.append(counts.last)
        if not bracketed and re.search(r"\b(?:on|at|from|after|counts?|beats?)$", before, re.IGNORECASE):
            continue
        dots = re.search(r"\s*\.{3,}\s*$", text[:begin])
        if dots:
            begin = dots.start()
        yield begin, end, counts
    return


def _parts(said: str) -> tuple[Counts, ...]:
    """Return the rows of a list of counts such as `1&2 3&4 5 6`: each with halves is one, and whole counts in a row are."""
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


def steps_said(text: str, vocabulary: Vocabulary) -> int:
    """Return how many steps and figures a text says."""
    return sum(isinstance(event, Step | Mention) for piece in pieces(text) for event in events(piece.text, vocabulary))


def sentences(text: str) -> list[str]:
    """Return the sentences of a text, cut at full stops and before `then`."""
    cut = re.split(r"(?<=[a-z)\]])\.\s+(?=[A-Z(\d])|(?:,\s*|;\s*|\s+and\s+)then\s+", plain(text))
    return [sentence.strip() for sentence in cut if sentence.strip(" .")]
