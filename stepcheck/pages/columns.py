"""Columns of a description: which kinds a row of headings names, cells that stand apart by spaces or strokes, and rows
of counts at the rows that they count."""

import itertools
import re
from collections.abc import Callable, Iterator, Sequence

from attrs import frozen

from stepcheck.steps.counts import counted, read
from stepcheck.steps.vocabulary import visible
from stepcheck.steps.words import SIDED, SIZE, words_of

_COLUMNS = words_of("columns of line")
"""What the words over columns say that these hold."""


def tabbed(texts: list[str]) -> Iterator[str]:
    """Yield lines, those of a table whose cells stand apart by spaces or strokes with tabs between them."""
    starts: list[int] = []
    barred, last = False, ""
    for at, raw in enumerate(map(visible, texts)):
        bars = " | " in raw and (barred or not raw.lstrip().startswith("|"))
        if bars and columns("\t".join(raw.split("|"))):
            barred = True
        elif "\t" not in raw and tabular([raw]):
            starts = [each.start() for each in re.finditer(r"\S+(?: \S+)*", raw)]
        seen = _celled(raw, starts) if starts and "\t" not in raw else raw
        if seen == raw and starts and "\t" in last and raw.strip():
            seen = _alone(raw, starts, last.split("\t"))
        goes_on = "\t" in seen or any(_under(later, starts) for later in texts[at + 1 : at + 3])
        inside = bars or not re.search(r"\w", raw) or any(" | " in later for later in texts[at + 1 : at + 3])
        starts, barred = starts if goes_on else [], barred and inside
        last = "\t".join(cell.strip() for cell in raw.split("|")) if barred and bars else seen
        yield last


def tabular(texts: Sequence[str]) -> bool:
    """Say whether one of the lines is a row of column heads."""
    return any(columns(re.sub(r"(?<=\S) {2,}(?=\S)", "\t", text.strip())) for text in texts)


def _alone(raw: str, starts: list[int], before: list[str]) -> str:
    """Return a cell that stands alone and goes on with the words of the cell over it in its column, any other line as
    it is."""
    begin = len(raw) - len(raw.lstrip())
    at = starts.index(begin) if begin in starts[1:] else 0
    return "\t" * at + raw.strip() if 0 < at < len(before) and _unended(before[at], raw.strip()) else raw


def _under(text: str, starts: list[int]) -> bool:
    """Say whether a row has a cell that stands apart just under a column behind the first."""
    return any(
        each.start() in starts[1:] and text[: each.start()].endswith("  ")
        for each in re.finditer(r"\S+(?: \S+)*", text)
    )


def columns(line: str) -> tuple[str, ...]:
    """Return the kinds of column that a row of column headings names, empty if the line is none."""
    cells = [cell.strip(" .:").casefold() for cell in line.split("\t")]
    kinds = [_COLUMNS.get(cell, "") for cell in cells]
    if (
        len(cells) >= 3
        and kinds.count("") == 1
        and cells[kinds.index("")]
        and not {"steps", "cue", "right", "left"} & {*kinds}
    ):
        kinds[kinds.index("")] = "steps"
    if kinds.count("steps") > 1:
        kinds[kinds.index("steps")] = "cue"  # what the steps are called that the other column spells
    named = [kind for kind in kinds if kind]
    return tuple(kinds) if len(cells) >= 3 and len(named) >= max(2, len(cells) - 1) else ()


_UNENDED = re.compile(r"(?:[,&+/-]|\b(?:and|then|with|to|on|the|a))\s*$")


def _unended(before: str, more: str) -> bool:
    """Say whether the words of a cell go on in the cell under it."""
    return bool(more) and (bool(_UNENDED.search(before)) or more[0].islower() or more[0] in "(&")


def row_on(kinds: tuple[str, ...], before: str, text: str) -> str:
    """Return a row of a table with the one under it that has no counts of its own and goes on with its words, or says
    where it faces, or that has the counts of both; "" for any other lines."""
    cells, more = before.split("\t"), text.split("\t")
    if (
        len(cells) < 2 < len(kinds)
        and kinds[0] == "cue"
        and _UNENDED.search(before)
        and len(more) > 1
        and more[0].strip()
    ):
        return f"{before} {text}"  # the name alone is on two lines
    if not {"counts", "steps"} <= {*kinds} or len(more) < 2 or max(len(cells), len(more)) > len(kinds):
        return ""
    cells += [""] * (len(kinds) - len(cells))
    more += [""] * (len(kinds) - len(more))
    pairs = {kind: (one.strip(), other.strip()) for kind, one, other in zip(kinds, cells, more, strict=True)}
    led, own = pairs["counts"]
    apart = [kind for kind, (one, other) in pairs.items() if one and other and kind != "steps"]
    filled = any(other for kind, (_, other) in pairs.items() if kind != "steps")
    if apart or pairs.get("section", ("", ""))[1]:
        return ""
    if not led:
        named = pairs.get("cue", ("", ""))
        goes_on = all(pairs["steps"]) and ((named[0] and not named[1]) or _UNENDED.search(pairs["steps"][0]))
    else:
        goes_on = not own and re.match(r"\W*\d", led) and (filled or _unended(*pairs["steps"]))
    if not goes_on:
        return ""
    return "\t".join(" ".join(filter(None, map(str.strip, both))) for both in zip(cells, more, strict=True))


def _celled(text: str, starts: list[int]) -> str:
    """Return a row whose cells stand apart by spaces with tabs between them, each in the column it stands under."""
    found = [(each.start(), each[0]) for each in re.finditer(r"\S+(?: \S+)*", text)]
    over = starts[1] - found[0][0] if len(starts) > 1 and found else 0
    if found and 0 < over < len(found[0][1]) and found[0][1][over - 1] == " ":
        found[:1] = [(found[0][0], found[0][1][:over].rstrip()), (starts[1], found[0][1][over:])]
    cells = [""] * len(starts)
    for start, cell in found:
        at = max(index for index, begin in enumerate(starts) if begin <= max(start, starts[0]) + 1)
        cells[at] = f"{cells[at]} {cell}".strip()
    return "\t".join(cells) if len(found) > 1 and any(cells[1:]) else text


_BARE = re.compile(
    r"(?i)^\W*(?:(?:counts?|cts?|beats?)\b\W*)?((?:\d{1,2}|[\s&,;|/()\[\]\u2013-]|\b(?:to|and|thru|through)\b)+?)\W*$"
)
_CELLS = r"\s*[;|\t]\s*|\s+/\s+|\s{2,}|(?<=[)\]])\s*,?\s*(?=[(\[])"
_PIECES = (_CELLS, r"(?<=[\w)])\.\s+", r",\s*")
_ALONE = re.compile(
    r"(?i)\s*(?:(?:counts?|cts?|beats?)\W+|[(\[])?\d{1,2}\s*(?:[\u2013-]|to|thru|through)\s*\d{1,2}[)\]]?\s*"
)
_NO_STEPS = re.compile(
    r"(?i)\W*(?:on|after|at|during|in|the|walls?|restarts?|tags?|bridge|begin|start|repeat|do|end\w*|finish|notes?|music|options?)\b"
)
_GOES_ON = re.compile(r"[,;&+/-]\s*$|\b(?:and|then)\s*$")


def _counts(text: str) -> list[str]:
    """Return the cells of a row of nothing but counts that run on, [] for any other line."""
    found = _BARE.match(visible(text))
    said = re.sub(r"(?i)thru|through|\u2013", "-", found[1].strip(" ,;|/")) if found else ""
    said = re.sub(r"(?i)\band\b", "&", said)
    told, whole = (read(re.sub(rf"[^\w,{half}-]", " ", said)) for half in ("&", ""))
    if told is None or whole is None or len(told.points) < 2 or not whole.whole:
        return []
    cells = [cell.strip(" ,()[]") for cell in re.split(_CELLS, said) if cell.strip(" ,()[]")]
    apart = (
        [each.strip(",") for each in cells[0].split()]
        if len(cells) == 1 and re.search(r"\d[&-]\d", cells[0])
        else cells
    )
    return apart if all(re.search(r"\d", cell) for cell in apart) else cells


def _counted(words: str, cells: list[str], row: str) -> str:
    """Return a row of steps with the counts of its pieces behind each, those under it in columns, or with all behind
    it."""
    told = [*re.finditer(r"\S+(?: \S+)*", words)]
    under = [
        [each[0] for each in re.finditer(r"\S+", row) if _over(told, each.start()) == at] for at in range(len(told))
    ]
    pairs = [(piece[0], " ".join(below)) for piece, below in zip(told, under, strict=True)]
    for sign in _PIECES if len(cells) > 1 else ():
        pieces = [each.strip(" ,") for each in re.split(sign, words) if re.search(r"\w", each)]
        if len(pieces) == len(cells):
            pairs = [*zip(pieces, cells, strict=True)]
            break
    if len(pairs) > 1 and all(read(below) for _, below in pairs):
        return "; ".join(f"{piece.strip(' ,;')} ({below})" for piece, below in pairs)
    return f"{re.sub(r'(?<=[^ ,;]) {2,}(?=[^ ])', ', ', words.strip())}   [{' '.join(cells)}]"


def _over(cells: list[re.Match[str]], at: int) -> int:
    """Return which cell of a row stands over a place, the first for a place before all."""
    return max((index for index, cell in enumerate(cells) if cell.start() <= at + 1), default=0)


def _paragraphs(texts: list[str]) -> list[range]:
    """Return where lines stand that no empty one divides."""
    ends = [-1, *(at for at, text in enumerate(texts) if not text.strip()), len(texts)]
    return [range(one + 1, other) for one, other in itertools.pairwise(ends) if one + 1 < other]


_BEFORE = re.compile(r"(?i)(?<=\S)\s+(?:and\s+)?on(?:\s+counts?)?\s*$")


def onto_counts(texts: list[str]) -> list[str]:
    """Return lines in which the words that lead to a count stand before it, `… the left foot on` over `13, the right
    foot …`: the end of a line of running text tells no row of counts."""
    out = list(texts)
    for at, later in enumerate(texts[1:]):
        led = _BEFORE.search(out[at]) if len(texts[at]) > 50 and re.match(r"\s*(?:counts? )?\d", later) else None
        if led:
            out[at : at + 2] = [out[at][: led.start()], f"{led[0].strip()} {later.lstrip()}"]
    return out


@frozen
class _Rows:
    """Lines of which some are rows of nothing but counts, by their cells; `words` are where others stand that state no
    counts, `plain` those of them that say steps."""

    texts: list[str]
    cells: dict[int, list[str]]
    words: set[int]
    plain: set[int]

    def titled(self, lines: range, later: range) -> dict[int, int]:
        """Return the title that the only row of counts in a paragraph stands under, with its lines behind it."""
        inside = [at for at in lines if at in self.cells]
        under = bool({*later[:1]} & self.plain) and not {*later} & {*self.cells}
        if len(inside) != 1 or inside[0] - 1 != lines[0] or lines[0] not in self.plain:
            return {}
        under = under or bool({*range(inside[0], lines.stop)} & self.plain)
        return {inside[0]: lines[0]} if under and _ALONE.fullmatch(self.texts[inside[0]]) else {}

    def owners(self, lines: range) -> dict[int, int]:
        """Return the words that each row of counts in a paragraph is of."""
        inside = [at for at in lines if at in self.cells]
        behind = {*range(inside[-1], lines.stop)} & self.plain if inside else set()
        if not behind and all(at > lines[0] and at - 1 in self.words for at in inside):
            return {at: at - 1 for at in inside}
        alone = any(at + 1 not in self.plain or _ALONE.fullmatch(self.texts[at]) for at in inside)
        heads = alone and not (len(inside) > 1 and self.each_one(inside, lines.stop))
        return {} if heads else {at: at + 1 for at in inside}

    def each_one(self, inside: list[int], stop: int) -> bool:
        """Say whether each of these rows of counts, too few for a section, stands over one line, and goes on from the
        one before."""
        spans = [read(self.cells[at][0]) for at in inside]
        runs = all(
            a and b and a.last + 1 == b.first and max(a.length, b.length) < 6 for a, b in itertools.pairwise(spans)
        )
        return runs and all(b - a == 2 and a + 1 in self.words for a, b in itertools.pairwise([*inside, stop]))

    def wraps(self, at: int) -> bool:
        """Say whether a line goes on in the next one."""
        both = {at, at + 1} <= self.plain and not self.cells.keys() & {at, at + 1}
        return both and bool(_GOES_ON.search(self.texts[at]) or re.match(r"\s*(?:&|[a-z])", self.texts[at + 1]))


_FEET = re.compile(r"[LR]+(?: [LR]+)*|-")
_COUNT = re.compile(r"\d{1,2}(?:&\d{0,2})*")
_TURNING = re.compile(rf"(?i){SIZE}(?: turn)?,? {SIDED}\b")
_OWN = re.compile(r"(?i)\b(?:[LR]|left|right)\b|(?:pivot|hold|clap|pause|snap)\b")


def _grid(texts: Sequence[str]) -> tuple[str, int]:
    """Return the row that the first lines of a text are, counts with the feet under them and what these do under both,
    and how many lines; "" and 1 if they are none."""
    counts, feet = ([*re.finditer(r"\S+(?: \S+)*", text)] for text in (*texts[:2], "", "")[:2])
    starts = [each.start() for each in counts]
    aligned = [each.start() for each in feet] == starts and len(counts) > 2
    if (
        not aligned
        or not all(_COUNT.fullmatch(each[0]) for each in counts)
        or not all(_FEET.fullmatch(each[0]) for each in feet)
    ):
        return "", 1
    below = [*itertools.takewhile(str.strip, texts[2:])]
    if not below or any(text[at - 1 : at].strip() for text in below for at in starts if at):
        return "", 1
    said = []
    for count, foot, (begin, end) in zip(counts, feet, itertools.pairwise([*starts, None]), strict=True):
        words = " ".join(" ".join(text[begin:end].split()) for text in below).strip()
        lead = "" if foot[0] == "-" or _OWN.search(_TURNING.sub("", words)) else f"{foot[0][0]} "
        said.append(f"{lead}{words or 'step'} ({count[0]})")
    return ", ".join(said), 2 + len(below)


def _gridded(texts: list[str]) -> tuple[list[str], list[tuple[int, ...]]]:
    """Return lines with each grid as one, and the numbers of the lines that each comes from, from 1."""
    out, numbers, at = list[str](), list[tuple[int, ...]](), 0
    while at < len(texts):
        row, many = _grid(texts[at:])
        out.append(row or texts[at])
        numbers.append(tuple(range(at + 1, at + many + 1)))
        at += many
    return out, numbers


def counts_at_rows(texts: list[str], steps: Callable[[str], int]) -> Iterator[tuple[tuple[int, ...], str]]:
    """Yield lines with their numbers, from 1, each row of nothing but counts with the words that it is of.

    These are the row over it where a paragraph ends with counts, `1-4; 5-8`, else the one under it where counts begin
    it; a single span over lines is their head, with the title over it.  `steps` says how many steps a text says.
    """
    texts, numbers = _gridded(texts)
    cells = {at: found for at, text in enumerate(texts) if (found := _counts(text))}
    words = {at for at, text in enumerate(texts) if re.search(r"[A-Za-z]{2}", text) and counted(text) is None} - {
        *cells
    }
    said = {at for at in words if steps(texts[at]) and not _NO_STEPS.match(texts[at])}
    rows, of, heads = _Rows(texts, cells, words, said), dict[int, int](), dict[int, int]()
    for lines, later in itertools.pairwise([*_paragraphs(texts), range(0)]):
        heads |= (over := rows.titled(lines, later))
        of |= over or rows.owners(lines)
    of = of if 2 * sum(at in said for at in of.values()) >= len(of) else {}
    held: list[int] = []
    for at in (at for at in range(len(texts)) if at not in of):
        held.append(at)
        own = [row for row in (at - 1, at + 1) if of.get(row) == at]
        if at + 1 in of.values() and rows.wraps(at):
            continue
        text = " ".join([texts[held[0]].rstrip(), *(texts[each].strip() for each in held[1:])])
        if own:
            row = own[0]
            text = (
                f"[{cells[row][0]}] {text}"
                if row in heads
                else _counted(text, cells[row], texts[row] * (len(held) == 1))
            )
        yield (
            tuple(number for each in sorted([*held, *own]) for number in numbers[each]),
            text if own or len(held) > 1 else texts[at],
        )
        held = []
