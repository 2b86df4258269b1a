"""The lines of a description while they are read, and rows of those that tell their counts in running words."""

import itertools
import re
from collections.abc import Callable, Iterable, Iterator
from functools import cache, partial

from attrs import evolve, frozen

from stepcheck.books.book import Book
from stepcheck.pages import shorthand as short
from stepcheck.pages.columns import onto_counts, tabular
from stepcheck.pages.heads import SPEAKS, in_order, over_deeper, spanned, told_below
from stepcheck.pages.layout import Laid, evenly, laid_out, plainly
from stepcheck.pages.order import stacked
from stepcheck.steps.counts import EXPRESSION, Counted, Counts, counted, cut, needs, read, steps_said
from stepcheck.steps.outline import Assumptions
from stepcheck.steps.phrases import events
from stepcheck.steps.steps import Event, Facing, Mention, Step, Stretch
from stepcheck.steps.vocabulary import Vocabulary, tight
from stepcheck.steps.words import FOOT, NUMBER, UNITS, number


@frozen
class Opened:
    """What is open of a line, of none if its number is 0: what it says, or since which line it goes on."""

    number: int
    said: str
    since: int = 0

    def text(self, source: Callable[[int], int]) -> str:
        """Return it with the line of the source that a line is, or of which it is told."""
        said = f"goes on from line {source(self.since)}" if self.since else self.said
        return f"line {source(self.number)}: {said}" if self.number else said


class Reader:
    """The lines of a source while they are read: what each was read as, what is assumed, what is open.

    `events` and `steps` say what a text says and how many steps; it is asked often, and worked out once.
    """

    def __init__(self, texts: list[str], vocabulary: Vocabulary, book: Book) -> None:
        self.texts = texts
        self.assumed = Assumptions()
        self.laid: list[Laid] = []
        self.events = cache(partial(events, vocabulary=vocabulary))
        self.steps = cache(partial(steps_said, events=self.events))

        def steps(text: str) -> int:
            return self.steps(plainly(text)[0])

        if vocabulary.tradition == "line":
            texts = alike([*map(evenly, short.spelled(onto_counts(texts), vocabulary))])
            texts = short.written_out(
                over_deeper(in_order(texts, steps), steps),
                steps,
                lambda text: self.assumed.add(f"what is taken back is not danced: {tight(text)}"),
            )
            whole = filled([*told_on(laid_out(texts, steps), steps)], self.events, book)
            self.laid = told_below(placed([*whole], self.texts))
        rows, said, self.lengths = stacked([line.text for line in self.laid])
        if said:
            numbers = tuple(at for line in self.laid[rows.start : rows.stop] for at in line.numbers)
            self.laid[rows.start : rows.stop] = [evolve(self.laid[rows.start], text=said, numbers=numbers)]
        self.vocabulary = vocabulary
        self.book = book
        self.open: list[Opened] = []
        self.kinds: dict[int, str] = {}
        self._joined = {line.numbers[0]: line.numbers for line in self.laid}

    def numbered(self) -> list[tuple[int, str]]:
        """Return the lines that say something, with their numbers."""
        return [(line.numbers[0], line.text) for line in self.laid]

    def mark(self, number: int, kind: str) -> None:
        """Note what a line was read as; blank and open stay."""
        if self.kinds.get(number) not in ("blank", "open"):
            self.kinds[number] = kind

    def leave_open(self, number: int, said: str, kind: str = "open") -> None:
        """Note that a line, or a piece of it, is not understood; its kind is "blank" where it has counts."""
        self.note(tight(said), number)
        self.kinds[number] = kind
        for at in self._joined.get(number, ())[1:]:
            self.open.append(Opened(at, "", number))

    def note(self, said: str, number: int = 0) -> None:
        """Note what is open of a line as it is read, or of a part or the dance."""
        self.open.append(Opened(number, said))

    def unused(self, number: int, said: str) -> None:
        """Note that the sheet does not use a piece of a line that is read."""
        self.note(f"not used: {tight(said)}", number)

    def title(self, number: int) -> None:
        """Note that a line is a title: nothing that was read of it is danced or open."""
        self.open = [each for each in self.open if each.number != number]
        self.kinds[number] = "heading"

    def sources(self) -> list[tuple[int, str, str]]:
        """Return the lines that say something, with what they were read as."""
        first = {number: numbers[0] for numbers in self._joined.values() for number in numbers}
        return [
            (number, self.kinds.get(first.get(number, number), "remark"), text)
            for number, text in enumerate(self.texts, 1)
            if text.strip()
        ]


_SIGN = r"\*{1,3}|#{1,2}|[\u2020\u2021\u00a7^]"
_SIGNED = re.compile(rf"(?<=[\w)\].!])\s*[(\[]?(?P<sign>{_SIGN})[)\]]?(?=\s*(?:[(\[]\d{{1,2}}(?::\d\d)?[)\]]\s*)?$)")
"""The mark at the end of a row, or before the wall there."""
_REFERS = re.compile(
    r"(?:(?i:\b(?:at|from|after|where you see)\s+(?:the\s+)?))?"
    rf"[(\[]?(?<![\w*#])(?P<sign>{_SIGN})(?![\w*#])[)\]]?\s*[=:-]*|^\s*(?P<first>{_SIGN})(?=\w)|(?<=\w)(?P<last>{_SIGN})(?!\w)"
)
_LENGTH = re.compile(rf"(?i)\b(?:after|for|first|danced?)\s+(?:{UNITS}\s+)?{NUMBER}\b|\b{NUMBER}\s*{UNITS}")


def placed(laid: list[Laid], texts: list[str]) -> list[Laid]:
    """Return lines without the marks that refer from one to another; a note of a restart that says no counts of its own
    stands right behind the row that has its mark: `* Restart on wall 3` behind `7-8  touch L beside *`.

    `texts` are the lines of the source. A mark that two rows have stays where it is.
    """
    signs: dict[str, list[int]] = {}
    notes: dict[int, re.Match[str]] = {}
    for at, line in enumerate(laid):
        raw = texts[line.numbers[0] - 1]
        if SPEAKS.search(raw):
            if found := _REFERS.search(raw):
                notes[at] = found
        elif (row := _SIGNED.search(line.text)) and len(line.numbers) == 1:
            signs.setdefault(row["sign"], []).append(at)
    out, moved = [*laid], dict[int, Laid]()
    for at, found in notes.items():
        rows = signs.get(found["sign"] or found["first"] or found["last"], [])
        if len(rows) == 1:
            out[rows[0]] = evolve(laid[rows[0]], text=_SIGNED.sub("", laid[rows[0]].text))
            said = tight(_REFERS.sub(" ", texts[laid[at].numbers[0] - 1], count=1))
            out[at] = evolve(laid[at], text=said)
            if re.search(r"(?i)\bre-?start", said) and not _LENGTH.search(said):
                said = said if re.match(r"(?i)\W*re-?start", said) else f"Restart here: {said}"
                moved[rows[0]] = evolve(out[at], text=said, gap=False, headed=False)
                out[at] = evolve(out[at], text="")
    return [each for at, line in enumerate(out) for each in (line, *filter(None, [moved.get(at)])) if each.text]


_COUNTS = rf"{NUMBER}&?(?:(?:\s*(?:,|-|&|\b(?:and|to|thru|through)\b)\s*)+{NUMBER}&?)*"
_ON = re.compile(
    rf"(?i)(?<!\bwall )\b(?:on|for|over)\s+(?:{UNITS}\s+)?{_COUNTS}(?![\w/:])"
    rf"(?!\s*(?:{UNITS}|walls?|times|more|foot|feet|leg|side|knee|heel|toe)\b)|[(\[]{_COUNTS}[)\]]"
)
"""`On 2& close left`, `touch right on 4`, `for counts 1 and 2`, `(3, 4)`."""
_CLAUSE = re.compile(r"(?i)(?:^|[.;:,]|\band|\bthen)\s*$")
_VERB = re.compile(r"\s+(?!and\b|then\b)[a-z]")
_JOINT = re.compile(r"(?i)^(?:(?:and|then)\b\s*)+|\s(?:and|then)$")
_FIRST = re.compile(r"(?i)\W*on (?:counts? )?(?:1|one)\b")
_LED = re.compile(r"(?i)\W*[\d&]|.*\b(?:restart|tag)s?\b")
_FOOT = re.compile(rf"(?i)\b{FOOT}\b")
_NEXT = re.compile(r"(?<=[a-z\d)\]])\.\s+(?=[A-Z])")


def _spoken(sentence: str) -> tuple[bool, list[tuple[Counts, str]], str] | None:
    """Return whether a sentence tells counts in running words before what is danced on them, the counts with their
    words, and the words that have none; None where some stand before their words and others behind them."""
    found = [*_ON.finditer(sentence)]
    cuts = [0, *(at for each in found for at in each.span()), len(sentence)]
    words = [sentence[a:b] for a, b in zip(cuts[::2], cuts[1::2], strict=True)]
    counts = [read(_digits(each[0].casefold())) for each in found]
    led = {bool(_CLAUSE.search(a) and _VERB.match(b)) for a, b in itertools.pairwise(words)}
    if len(led) > 1 or None in counts:
        return None
    first = True in led
    bare = [_JOINT.sub("", each.strip(" ,;.:")).strip(" ,") for each in words]
    rows = [*zip(filter(None, counts), bare[first:], strict=False)]
    return first, rows, bare[0 if first or not found else -1]


def _apart(sentence: str) -> list[str]:
    """Return the clauses of a sentence that are cut before counts that lead to what is danced on them, where those
    before stand behind it: `Touch right on 1 and on 2 step right`."""
    found, cuts = [*_ON.finditer(sentence)], [0]
    for one, other in itertools.pairwise(found):
        between = _CLAUSE.fullmatch(sentence[one.end() : other.start()].strip() or " ")
        if between and not _VERB.match(sentence, one.end()) and _VERB.match(sentence, other.end()):
            cuts.append(other.start())
    return [sentence[begin:end].strip() for begin, end in itertools.pairwise([*cuts, len(sentence)])]


def _digits(said: str) -> str:
    """Return counts in words as digits: `counts five and six` as `5,6`."""
    said = re.sub(NUMBER, lambda each: str(number(each[0])), said)
    return re.sub(r"[^\d&,-]", "", re.sub(r"\band\b", ",", re.sub(r"\b(?:to|thru|through)\b", "-", said)))


def told_on(laid: Iterable[Laid], steps: Callable[[str], int]) -> Iterator[Laid]:
    """Yield lines; one whose sentences tell counts in running words, `On 1 step right; on 2 touch left`, as a row for
    each of its counts.

    A line stays as it is where its counts don't run on from one or from the line before, or where some of its steps
    have no counts. Steps in front of the first count that is told have the counts before it, if they are as many.
    `steps` says how many steps a text holds.
    """
    lines, last, begun = [*laid], 0, False
    for line, later in itertools.zip_longest(lines, lines[1:]):
        last = last if begun or not line.gap else 0
        rows, upto = _rows(line.text, steps, last)
        if rows and upto < 4 and (later is None or _rows(later.text, steps, upto)[1] <= upto):
            rows = []
        over = spanned(line.text) if later and later.gap else None
        last = over[0] - 1 if over else upto if rows or _LED.match(line.text) else last
        begun = bool(rows or over)
        yield from (evolve(line, text=row, gap=line.gap and not at) for at, row in enumerate(rows or [line.text]))


_BETWEEN = r"(?:\s?(?:[-\u2013,./+&]|'?n'?(?=[\d\s])|to|thru|through|and))+\s?"
_MARK = r"(?P<mark>(?:(?:count|ct|beat)s?\.?\s*|[c#])?)"
_COUNT_ROW = re.compile(
    rf"(?i)(?P<lead>^[^\w#]*(?:on\s+)?|;\s+|[(\[]){_MARK}(?P<row>\d{{1,2}}(?:{_BETWEEN}\d{{1,2}})+)"
    r"(?=\s*[)\]]|(?:\s*[:.>=)|,/\u2013-])*\s+(?!(?:bpm|[ap]m|counts?|beats?|walls?|times)\b)(?:[^\W\d]|[1-7\xbc-\xbe])|&?\W*$)"
)
_BEHIND = re.compile(
    r"(?i)(?:(?<=[a-z)\]])|(?<=:\d\d))(?:\s*[-\u2013:,]+\s*|\s*\.{2,}\s*|(?<!\d)\s|(?P<cell>\s*\|+\s*|\s+))"
    rf"{_MARK}(?P<row>\d{{1,2}}(?:{_BETWEEN}\d{{1,2}})+)\s*\.?$"
)
"""Counts at the end of a line, `step R forward: 3 to 4`."""
_LEADS = re.compile(r"(?i)\W*(?:steps?\s+)?\d(?!/[248]\b[^/])(?!\d*\s?(?:counts?|cts?|beats?)\b)")
_CELLS = re.compile(r"\S(?:\t|\s\|\s| {3})")
_STOP = re.compile(r"^(\s*[(\[][\d\s&,-]+)\.(?=[)\]])")
_STROKE = re.compile(r"^(\s*\d[\d&,-]*)(?:\s*[,/]|\s*\|(?=[^|]*$))\s+(?=[A-Za-z])")
_PARTED = re.compile(r"\d+/(?:&/\d|\d+/\d)|5/6|9/10|1[135]/1[246]|17/18|19/20|2[1379]/2[248]|25/26|29/30|31/32")
"""Counts between strokes that are no turn."""
_THROUGH = re.compile(r"(?i)[-\u2013]|to|thru|through|\.\.")


def _kind(mark: str) -> str:
    """Return what stands before counts in the singular: `ct` for `Cts. `."""
    return mark.casefold().strip(" .").removesuffix("s")


def alike(texts: list[str]) -> list[str]:
    """Return lines with their rows of counts written one way: `3+4`, `3-&-4`, `3 and 4`, `3n4` as `3&4`.

    In a sheet that writes halves as `&` other signs join whole counts.  Fractions are counts where `5/6`, which is no
    turn, is one of them, and what stands before each row, `C1-2`, `cts 3&4`, is no name of a section.
    """
    found = [(each["row"], _kind(each["mark"])) for text in texts for each in _COUNT_ROW.finditer(text)]
    ends = [(at, row) for at, text in enumerate(texts) if (row := _BEHIND.search(text)) and not _LEADS.match(text)]
    cells = re.compile("") if tabular(texts) else _CELLS  # then a gap is that of a column
    behind = [each for each in ends if not (each[1]["cell"] and cells.search(each[1].string[: each[1].start()]))]
    found += [(row["row"], _kind(row["mark"])) for _, row in behind]
    halved, parted = any("&" in row for row, _ in found), any(map(_PARTED.match, (row for row, _ in found)))
    marked = next((mark for _, mark in found if mark and sum(mark == other for _, other in found) > 2), "")
    own = rf"(?i:{marked}s?\.?\s*)" if marked else " "
    on = rf"(?i:on) (?=(?:{own})?\d{{1,2}}(?:(?:\s?[&,-]\s?|\s)\d{{1,2}})*\s*:)"
    label = rf"^([^\w#]*)(?:{on})?(?:{own}(?=\d)(?!\d+\W*$))?"

    def one(said: re.Match[str]) -> str:
        first, *later = re.findall(r"(\D*)(\d+)", said["row"])
        out, before = first[1], int(first[1])
        for sign, digits in later:
            spoken = said["mark"][1:] and sign.strip() == "and"  # `Counts 7 and 8`
            half = "&" in sign or not (halved or spoken or not re.search(r"(?i)[&+n]|and", sign))
            span, count = not half and _THROUGH.search(sign), int(digits)
            whole = sign.strip() != "/" or parted or len(later) > 1
            if not (whole and (count == before + 1 or (half and count == 1) or (span and count > before))):
                return said[0]
            out, before = f"{out}{'&' if half else '-' if span else ','}{digits}", count
        known = EXPRESSION.fullmatch(said["row"]) and read(said["row"]) == read(out)
        same = known and ("to" not in said["row"] or said["lead"] in ("(", "["))
        mark = said["mark"] if _kind(said["mark"]) != marked else ""
        return f"{said['lead']}{mark}{said['row'] if same else out}"

    spans = [[int(each) for each in re.findall(r"\d+", row["row"])] for _, row in behind]
    runs = sum(b[0] in (a[-1] + 1, 1) for a, b in itertools.pairwise(spans))
    out = list(texts)
    for (at, row), span in zip(behind, spans, strict=True) if len(behind) > 2 and 2 * runs > len(behind) else ():
        if span[0] < span[-1] or span[-1] == 1:  # no date
            out[at] = f"{texts[at][: row.start()]} ({row['mark']}{row['row']})"
    return [_STROKE.sub(r"\1  ", _STOP.sub(r"\1", re.sub(label, r"\1", _COUNT_ROW.sub(one, text)))) for text in out]


Said = Callable[[str], tuple[Event, ...]]
"""What says the events of a text."""


def filled(laid: list[Laid], events: Said, book: Book) -> Iterator[Laid]:
    """Yield lines; one without counts whose steps are just those that the counts of a row lack is of that row:
    `touch L` under `1-2 step R forward`, `cross R over` above `kick L [1,2]`."""
    rows, held = [*laid, None], None
    for line, later in itertools.pairwise(rows):
        whole = ""
        if held and line and not (line.gap or line.headed):
            whole = _whole(held.text, line.text, later, events, book) or _told_above(held.text, line.text, events, book)
        if held and line and whole:
            held = evolve(held, text=whole, numbers=(*held.numbers, *line.numbers))
            continue
        yield from filter(None, [held])
        held = line
    yield from filter(None, [held])


def _counts_of(text: str, led: bool) -> Counted | None:
    """Return the words of a row with its counts, if these are its only ones and stand in front of them, else behind
    them; None for any other line."""
    pieces = cut(text) if bool(_LEADS.match(text)) is led else ()
    return pieces[0] if len(pieces) == 1 and pieces[0].counts else None


def _completes(own: tuple[Event, ...], whole: tuple[Event, ...], counts: Counts, book: Book, midway: bool) -> bool:
    """Say whether a row says fewer steps than its counts hold, and just as many with those of another line; fewer will
    do if it stops `midway` in a sentence. All of them are read."""
    many = counts.length if counts.whole else len(counts.points)
    told = (whole, [each for each in whole if not getattr(each, "inside", False)])  # a bracket may say a step again
    takes = [needs(each, book) for each in told]
    plainly = all(isinstance(each, Step | Mention | Facing) or each == Stretch(1) for each in told[1])
    return plainly and 0 < needs(own, book) < many and (many in takes or (midway and takes[0] < many))


def _told_above(text: str, row: str, events: Said, book: Book) -> str:
    """Return a line with the row below it, which ends in its counts, if these hold the steps of both; "" if not."""
    said = None if counted(text) or text.rstrip().endswith((".", ":")) else _counts_of(row, False)
    if said is None or said.counts is None:
        return ""
    above = text.rstrip(" ,;") + (" " if row.lstrip()[:1].islower() and text.rstrip()[-1:].isalnum() else ", ")
    fits = _completes(events(said.text), events(above + said.text), said.counts, book, False)
    return above + row.strip() if fits else ""


_MIDWAY = re.compile(r"(?i)(?:[,&+]|\b(?:and|then|to|the|on|with))$")
"""The end of a line in the middle of a sentence."""


def _whole(row: str, text: str, later: Laid | None, events: Said, book: Book) -> str:
    """Return a row that begins with its counts with the line below it, if these hold the steps of both and the next
    line goes on from them; "" if not."""
    found = None if counted(text) else _counts_of(row, True)
    if found is None or found.counts is None:
        return ""
    said, begun = text.strip(), re.split(r":\s", found.text)[-1].rstrip()  # behind its title
    midway = _MIDWAY.search(row.rstrip()) is not None
    gap = " " if midway or ("," in row and text[:1] == " " and said[:1].islower()) else ", "
    fits = _completes(events(begun), events(begun + gap + said), found.counts, book, midway)
    after = counted(later.text) if later and not later.gap else None
    goes_on = later is None or later.gap or (after and after.first == found.counts.last + 1)
    titled = after and not found.counts.last % 8 and not (gap == " " or text.islower())
    return row.rstrip() + gap + said if fits and goes_on and not titled else ""


def _rows(text: str, steps: Callable[[str], int], last: int) -> tuple[list[str], int]:
    """Return the rows of a line that tells its counts in running words, none for any other line, and its last count.

    `last` is the last count of the line before.
    """
    if _LED.match(text):
        return [], stated.last if (stated := counted(text)) else last
    told = [_spoken(clause) for sentence in _NEXT.split(text) for clause in _apart(sentence)]
    many = sum(len(each[1]) for each in told if each)
    worded = any(each[0][0].isalpha() for each in _ON.finditer(text))
    if None in told or not worded or many < 2 - bool(last or _FIRST.match(text)):
        return [], 0
    out, said = list[str](), ""
    ends = max(at for at, each in enumerate(told) if each and each[1])
    for at, (led, rows, bare) in enumerate(filter(None, told)):
        many, upto = steps(bare), rows[0][0].first - 1 if rows else 0
        if led and many and last + many == upto:
            out.append(f"{last + 1}-{upto}  {bare}" if many > 1 else f"{upto}  {bare}")
            last = upto
        elif bare and not (many and (rows or (out and (at < ends or last % 8)))):
            out.append(bare if rows or not out else f"{bare}.")
        elif bare:
            return [], 0
        for counts, words in rows:
            alone = not led and len(counts.points) == 1 and steps(words) > 1
            first = (last + 1 if counts.first > last else 1) if alone else counts.first
            side = re.fullmatch(rf"(?i)(?:(?:the|your) )?({FOOT})(?: foot)?", words)
            said = _FOOT.sub(side[1], said, count=1) if side else words
            if first not in (last + 1, 1) or not said or (said != words and len(_FOOT.findall(said)) != 1):
                return [], 0
            out.append(f"{_label(counts, first, steps(said))}  {said}")
            last = counts.last
    return out, last


def _label(counts: Counts, first: int, many: int) -> str:
    """Return counts from the first on as they stand before so many steps: three on `3 and 4` are a shuffle's."""
    if counts.whole and first < counts.last:
        return f"{first}{'&' if many > 2 == len(counts.points) else '-'}{counts.last}"
    return "".join(str(each.last) if each.whole else "&" for each in (Counts((point,)) for point in counts.points))
