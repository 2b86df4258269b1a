"""A description in one plain layout: decorations off, counts written one way, wrapped lines joined."""

import itertools
import re
from collections.abc import Callable, Iterable, Iterator

from attrs import evolve, frozen

from stepcheck.pages.columns import columns, counts_at_rows, row_on, tabbed
from stepcheck.steps.counts import counted
from stepcheck.steps.words import NUMBER, NUMBERS, ORDINAL, SECTION, UNITS, number

_RULE = re.compile(r"[\s|:+*=_~.\u2013\u2014-]*")
_HASHED = re.compile(
    r"\s*(?:\*{2,}\s*(\w.*?)\s*\*{2,}|#{1,6} +(.*?)\s*#*|={1,6}\s*(\w.*?)\s*=+|~+\s*(\w.*?)\s*~+|"
    r"(?:-{2,}|\u2013+)\s*([A-Z](?:[^.,;:-]|-(?!-)){0,40}?)\s*(?:-{2,}|\u2013+)|"
    r"(?:-=+|[<>]+|\u00ab)\s*([A-Za-z][^<>]*?)\s*(?:=+-|[<>]+|\u00bb))\s*"
)
_BULLET = re.compile(
    r"^(\s*)(?:[*\u2022\u00b7+>\u00bb\u2192]|o(?= [A-Z\d])|-{1,3}(?!\S))\s+(?=[\w\[(\"&])|\s+-{2,}\s*$"
)
_BOLD = re.compile(r"(?<![\w*_])([*_]{1,3})(?=[^\s*_])(.*?[^\s*_])\1(?![\w*_])")
_SPAN = re.compile(
    rf"(?i)^\W*(?:on\s+)?(?:({UNITS}|steps?\b)\s+)?{NUMBER}\s*(?:to|-|through|thru|and)\s*{NUMBER}(?!\w|\s*[,&])\s*[:.)-]*\s*"
)
"""`Counts 1 to 4:`, `Counts 17 and 18`, `Nine to sixteen`."""
_SINGLE = re.compile(
    rf"(?i)^\s*{UNITS}\s+(\d{{1,3}}(?:\s?[&,-]\s?\d{{1,3}})*&?)(?![\w&])(?!\s*(?:to|and|thru|through|-)\s+\d)\s*[:.)-]*\s+(?=\w)"
)
_FOR = re.compile(
    rf"(?i)\W+(?:for|on|over|taking|in|during)\s+counts?\s+{NUMBER}\s*(?:to|-|\u2013|through|thru)\s*{NUMBER}\W*$"
)
"""`, for counts 5 to 8` at the end of a line."""
_DOTTED = re.compile(r"(^\s*|; )((?:\d{1,2}|&)(?:\.(?:\d{1,2}|&))+)\.?(?=\s+[A-Za-z\d\u00bc-\u00be])")
_SPACED = re.compile(
    r"^(\s*)(?=[\d\s,]*&)((?:\d{1,2}|&)(?:(?:, ?| )(?:\d{1,2}|&))+)"
    r"(?=\s{2,}\S|\t| (?:(?<=\d & \d & )|(?<=\d \d & ))[A-Za-z])"
)
"""`1 2 &   `, `1, 2 &   `: counts apart, before a gap, or before a word where a half is the last: `5 & 6 & R heel`."""
_DASHED = re.compile(
    r"(^\s*|;\s*)(\d{1,2}(?:(?:\s*[-,&]\s*|\s)\d{1,2})+&?(?=\s*[-\u2013=>])|\d{1,2}(?=\s*[-=]?>))\s*"
    r"(?:[-\u2013=]?>|[-\u2013=])\s+(?=[A-Za-z\d\u00bc-\u00be])"
)
_PARTED = re.compile(r"(?<=[A-Za-z)])\s+\|\s+(?=(?!and\b)[A-Za-z]+ [A-Za-z])")
_ARROW = re.compile(r"(?<=[\w).])\s+(?:[-=]*>+|[*\u2022\u00b7\u00bb\u2192])\s+(?=[(-]?[A-Za-z]|\d [A-Za-z])")
"""Between two steps: `step R -> touch L`."""
_EIGHT = re.compile(
    r"(?i)^\W*(?:(?:and|then|so|now|next)\s+)*(?:the\s+)?"
    rf"((?:{ORDINAL}|last)\s+(?:8|eight))"
    r"(?:\s+counts?)?\s*(?:(?:is|are|goes|[:,-])\s+)+(?=\w)"
)
_ALONE = re.compile(
    rf"(?i)^\W*(?:(?!counts?\b|beats?\b|repeat\b|as\b)([A-Za-z]+(?: \w{{1,6}})?)\W+{UNITS}\s*)?"
    r"(?<![\d/])(\d{1,3})\s*(?:-|to|\u2013)\s*(\d{1,3})\W*$"
)
"""`(1-8)`, `Step 1 - counts 1-8`, and nothing else."""
_FOOT = re.compile(r"(?i)\b([rl])\.\s?f\.(?=\W)")
_FEET = re.compile(r"(?<![\w.-])(?:[rl](?:\.[rl]){2,3}\.?|[rl](?:-?[rl]){2,3}|[RL](?:\.[RL]){2,3}\.?)(?![\w-])")
_STOP = re.compile(
    r"\b((?i:fwd|bk|bwd|diag|tog|rec|rk|bts|opp|approx))\.(?=\s*[,;)]|\s+(?:[a-z]|[LR]\s*(?:[,;)]|$)|(?<=diag\.\s)[LR]\b))"
)
_FIELD = re.compile(r"(?i)\W{0,3}(?:music|song|track|tune)\b\W*\w")
_DEEPER = re.compile(r"\s{4,}[^:]{1,40}")
"""A line further in below one that names the music, which is of it."""
_LENGTH = re.compile(rf"(?i)\W*\(\s*(\d{{1,2}})(?:\s*{UNITS})?\s*\)\W*")
_LEADERS = (
    (re.compile(r"^(\s*\d[\d &,-]*?)(?<=\d)\.{2,}\s*(?=[A-Za-z\u00bc-\u00be])"), r"\1  "),
    (
        re.compile(
            rf"(?i)^(\s*[A-Za-z][\w' -]*?)\s*(?:\.{{2,}}|_{{3,}}|-{{4,}}|\u2026+)[\s.]*(\d{{1,2}}\s*{UNITS})\W*$"
        ),
        r"\1 (\2)",
    ),
    (re.compile(r"^(\s*[A-Za-z][\w' -]{0,24}?)\s*(?:\.{3,}\s*(?=[A-Z]{2}|\")|\.{2}\s*(?=[A-Z]{2}))"), r"\1: "),
    (re.compile(r"^(\s*[A-Za-z]+(?: [a-z]+)?)\s*\.{3,}\s*(?=[A-Za-z]|\d+ (?:[a-z]|\w+,))"), r"\1: "),
)
_CLOCK = re.compile(rf"(?i)\b{NUMBER}\s+o(?:['\u2019]?\s?clock|['\u2019]?c(?:lk|l)?)\b(?:\.(?=[)\]>]))?")
_HOUR = re.compile(r"(?<![\w:/-])(12|[369])\s?[hH](?:00)?(?![\w:])")
"""`(3h)`, `6H00`."""
_AT = re.compile(r"@\s*(?=\d{1,2}(?::\d\d| o'clock))")
_WORDED = re.compile(rf"(?i)^\s*(?=[a-z]){NUMBER}\s*(?:[:.)-]+\s*|\s+)(?=[A-Za-z])")
_GOES_ON = re.compile(r"(?![\w ]{1,12}:|(?:part|sec\w*|set|break|bridge|chorus|verse|tag|end\w*|[a-h]|s?\d+)\b)[a-z]")
_CUT_OFF = re.compile(rf"(?i)\b(?:the|an?|of|to|on|at|by|with|{'|'.join(NUMBERS)})$").search
_AT_WALLS = re.compile(r"(?i)\W*(?:after|(?:at )?(?:the )?end of) walls?\b(?!.*\b(?:tag|restart))")
_RUN = r"[1-9][\d&]*(?:[-,][\d&]+)*"
_NOT_BEFORE = re.sub(r"(\w+) ?", r"(?<!\\b\1)", "to at by on is of facing face wall after count counts wait")
_UNITS_BEHIND = r"(?!\s*(?:bpm|beats?|counts?|c(?:ts?)?|w(?:alls?)?|bars?|times|o)\b)"
_GLUED = re.compile(
    rf"(?:^\W*|(?<=\s[-/]\s)|(?<=[;,]\s)|(?<=\s{{3}}))({_RUN})(?=[:.)]?\s+{_UNITS_BEHIND}[A-Za-z\d\u00bc-\u00be])|"
    rf"(?<=[(\[])({_RUN})(?=[)\]](?!\W*\d))|"
    rf"(?i:(?<=[a-z)!.,;]){_NOT_BEFORE})\s+(?=\d\S)({_RUN})(?![\w/:%\"]|[.'-]\S){_UNITS_BEHIND}"
)
"""`123 L fwd, R tog, L tog - 456 …`, `step R, touch L (12)`, `rec L 12 -> 3:00`."""
_BARRED = re.compile(r"^\s*(\d{1,2})\s*\|\s+(?=[A-Za-z])")
_TWO = re.compile(r"^\s*(\d{1,2})\.\s*(?:&|and|to|-)\s*(\d{1,2})\.\s+(?=\w)")
_HEAD = re.compile(r"(?i)^\s*[\[(]((?:sec|sect|section|part|set)\.?\s*\w{1,3}|(?<=\[)[A-H]\d?(?=\]))[\])]\s*")
_ROWED = re.compile(r"(?i)^\s*(?:counts?|cts?|beats?|\d{1,2}(?:\s*[&,-]\s*\d{0,2})*&?)\s+\|\s")
"""A row of a table that begins with its counts, or the heads of one: `1&2   | R shuffle forward   | 9`."""
_RULED = re.compile(r"^\s*(?:-{2,}|\u2013+)\s*([A-Z][A-Za-z]*(?: [A-Z\d][a-z]*)?)\s*(?:-{2,}|\u2013+)\s*(?=[\w(])")
"""`--- A --- 16 beats`: a name between dashes."""
_LONG = {
    "trn": "turn",
    "bts": "beats",
    "cnt": "counts",
    "cnts": "counts",
    "ea": "each",
    "rpt": "repeat",
    "rept": "repeat",
} | {
    "lt": "L",
    "rt": "R",
    "opp": "opposite",
    "opp ft": "opposite foot",
    "incl": "including",
    "rst": "restart",
    "aft": "after",
    "followed by": "then",
    "after that": "then",
}
_SHORT = re.compile(rf"(?i)\b(?:{'|'.join(sorted(_LONG, key=len, reverse=True))})\b\.?(?!')")
"""Abbreviations that are written out before anything is read."""


@frozen
class Laid:
    """A line in plain layout: its text, the numbers of the lines of the source that it joins, whether it is set as a
    heading, and whether an empty line stands before it."""

    text: str
    numbers: tuple[int, ...]
    headed: bool = False
    gap: bool = False


def laid_out(texts: list[str], steps: Callable[[str], int]) -> list[Laid]:
    """Return the lines that say something, in plain layout; rules between lines are left out.

    `steps` says how many steps a text says.
    """
    out: list[Laid] = []
    texts = _summed(_apart(texts))
    gap, small, kinds = False, _small(texts), columns("")
    for numbers, raw in _parted(counts_at_rows(_told(tabbed(texts)), steps)):
        if _RULE.fullmatch(raw):
            rule = raw.strip()
            if len(rule) > 2 and rule[0] in "-=~" and out and not gap and len(out[-1].text) < 70:
                out[-1] = evolve(out[-1], headed=True)
            gap = gap or not rule
            continue
        text, headed = plainly(raw)
        text = _TO_END.sub("Ending: ", text)
        text = _CUT_PART.sub(r"\1 (first \2)", text) if _IN_ORDER.match(text) else text
        kinds = columns(text) or kinds
        before = out[-1] if out and not headed else None
        on = row_on(kinds, before.text, text) if before and not gap else ""
        if before and (joined := on or _onto(before, text, gap, small)):
            out[-1] = evolve(before, text=joined, numbers=(*before.numbers, *numbers))
        else:
            out.append(Laid(text, numbers, headed, gap))
        gap = False
    return out


_HEADED = re.compile(
    r"(?i)\s*(?:the )?(part [a-h]|verse|chorus|break|bridge|tag|ending|middle|fiddle)(?:,| (?:is|has|lasts|takes)) "
    rf"{NUMBER} (beats|counts)(?: long| as well| too)?([^.;,:\d]{{0,40}})(?:[.;,:]\s+|\W*$)"
)
"""`The verse is thirty-two beats. Begin …`."""


def _parted(texts: Iterable[tuple[tuple[int, ...], str]]) -> Iterator[tuple[tuple[int, ...], str]]:
    """Yield lines with their numbers, a sequence, a restart or a tag behind a sentence as a line of its own."""
    for at, raw in texts:
        if (headed := _HEADED.match(raw)) and not _HEADED.match(raw, headed.end()):  # no list of lengths
            beside = f",{headed[4]}" * bool(headed[4].strip())
            yield at, f"{headed[1].title()} ({number(headed[2])} {headed[3]}{beside})"
            raw = raw[headed.end() :]
            if not raw:
                continue
        yield from ((at, each) for each in _APART.split(raw))


_APART = re.compile(
    r"(?i)(?<=[a-z]{2})[.;]\s+(?=(?:sequence|seq|order)\b\.?\s*:)|"
    r"(?<=\w)[.)]\s+(?=(?:restart|tag)\b[^.]*\bw(?:alls?)?\W*\d)|"
    r"(?<=[\w)\].!])\s*(?:\u2190|\*+|>>|<+[-=]*|[-=]{2,}>+)\s*(?=(?:restart|rst)\b)|"
    r"(?<=[\w)\]])(?:\s*[~/-]\s*|\s{2,}|\s*(?=[(\[]))(?=[(\[]?(?:restart|rst)\b[^.;:()\[\]]*\bw(?:alls?)?\W*\d(?!\d*\W*[a-z])[^a-z]*$)|"
    r"(?<=\d)[.;]\s+(?=(?:[a-z-]+[ /]+){0,4}(?:beginner|improver|intermediate|novice|advanced)s?\W*$)"
)
"""Where a sequence, a restart or a tag that names its wall, or a level begins behind a sentence."""
_IN_ORDER = re.compile(r"(?i)\W*(?:sequence|seq|order|phrasing)\b")
_CUT_PART = re.compile(rf"\b([A-H])(?:\s?\(?(?=\d\d)|\s?\((?=\d\)))(\d{{1,2}})\b\)?(?:\s*{UNITS}(?:\s+only)?\)?)?")
"""`A(16)`, `A16` in a sequence."""
_SUM = re.compile(rf"(?i)\((\d{{1,3}})(?: {UNITS})?\)\W*$")


def _summed(texts: list[str]) -> list[str]:
    """Return lines that end in the counts so far, `(8)`, `(16)`, `(24)`, up to those of the dance, with their own."""
    found = [(at, int(last[1]), last) for at, text in enumerate(texts) if (last := _SUM.search(text))]
    found = [] if any(re.search(r"[(\[]\s*&?\d", texts[at][: last.start()]) for at, _, last in found) else found
    sums = [total for _, total, _ in found]
    stated = {int(each) for each in re.findall(rf"(?i)\b(\d{{2,3}})[ -]?{UNITS}\b", " ".join(texts))}
    if len(sums) < 3 or sums[-1] not in stated or sums[0] % 4 or any(b - a < 4 for a, b in itertools.pairwise(sums)):
        return texts
    out = list(texts)
    for (at, total, last), before in zip(found, (0, *sums), strict=False):
        out[at] = f"{texts[at][: last.start()]}({total - before} counts)"
    return out


def _told(texts: Iterable[str]) -> list[str]:
    """Return lines, those that are numbered by words, `One   R to side`, or as steps, `Step 1: R fwd`, by digits; a
    step a line is a count a line."""
    lines = list(texts)
    told = [(at, number(found[1]), found.end()) for at, line in enumerate(lines) if (found := _WORDED.match(line))]
    if len(told) > 2 and [value for _, value, _ in told] == list(range(1, len(told) + 1)):
        for at, value, end in told:
            lines[at] = f"{value}. {lines[at][end:]}"
    return _counting(lines)


_LISTED = re.compile(r"^(\s*)\(?(\d{1,3})(?:\s*(?:-|\u2013|to)\s*(\d{1,3}))?[.):]\)?\s+(?=[A-Za-z\u00bc-\u00be])")
_DANCED = re.compile(r"(?i)\b(\d{2,3})[ -]?(?:counts?|cts?|steps|beats?)\b")


def _counting(lines: list[str]) -> list[str]:
    """Return lines that are numbered from 1 to the counts of the dance, `27. Hold`, `29-32. …`, with their numbers as
    their counts."""
    found = [(at, each) for at, line in enumerate(lines) if (each := _LISTED.match(line))]
    spans = [(int(each[2]), int(each[3] or each[2])) for _, each in found]
    runs = all(one[1] + 1 == other[0] for one, other in itertools.pairwise(spans))
    total = next((int(each) for line in lines for each in _DANCED.findall(line)), 0)
    if len(spans) < 8 or not runs or spans[0][0] != 1 or spans[-1][1] != total:
        return lines
    for at, each in found:
        counts = f"{each[2]}-{each[3]}" if each[3] else each[2]
        lines[at] = f"{each[1]}{counts}  {lines[at][each.end() :]}"
    return lines


_TO_END = re.compile(
    r"(?i)^\W*(?:and )?(?:to (?:end|finish)(?: it| off| up)*\s*[,:]?\s+|"
    r"(?:the |after the )?last [a-z]+\s*[:,]\s+(?:end|finish) (?:with|on)\s+)"
)
"""`To end it, …`, `Last chorus: finish with …`."""


def _small(texts: list[str]) -> bool:
    """Say whether sentences begin in small letters: most paragraphs do."""
    begun = [
        text.lstrip()[:1] for before, text in itertools.pairwise(["", *texts]) if text.strip() and not before.strip()
    ]
    letters = [each for each in begun if each.isalpha()]
    return 2 * sum(map(str.islower, letters)) > len(letters)


def _wrapped(before: str, text: str, small: bool) -> bool:
    """Say whether a sentence goes on in a line, or another one of a numbered paragraph stands in it; `small` says that
    sentences begin in small letters."""
    listed = re.match(r"\s*(?:\d{1,2}|[A-Za-z])[.)]\s+(?=[A-Z])", before)
    said, deeper = text.lstrip(), listed and len(text) - len(text.lstrip()) >= len(listed[0])
    last = r"(?<!/)(?<!\bon )(?<!\bfor )\d\W*$"  # no size and no count in running words
    stated = re.search(last if listed else rf"^\W*[\d&]|{last}", before)
    listing = re.search(r"\d,$", before) and re.match(r"\d", said)
    cut = said[:1].isalpha() and _CUT_OFF(before)
    if len(before) <= 62 or "\t" in before + text or (stated and not (listing or cut)):
        return False
    heads = re.match(rf"(?i)\W*{SECTION}\W?\s*\w{{1,2}}\W", before) and not re.search(
        r"(?:[,&+-]|\band|\bthen)$", before
    )
    begins = counted(text) if heads else None
    if (before.isupper() and text != text.upper()) or (heads and begins and begins.first == 1 and begins.length < 5):
        return False  # a title over its rows
    if before.endswith((".", "!", "?", ";", ")")):
        joins = before.endswith(")") and re.match(r"(?:and|then|but|or)\b", said)
        return bool(joins or (deeper and re.match(r"[A-Za-z(]", said)))
    goes_on = listing or (not small and _GOES_ON.match(said)) or cut
    return not before.endswith(":") and bool(goes_on or re.match(r"\(\d[\d &,-]*\)\W+\w", said))


_ENDING = re.compile(r"(?i)\W*(?:optional )?(?:ending|finish|finale)\W*")


def _onto(before: Laid, text: str, gap: bool, small: bool) -> str:
    """Return the line before with one that belongs to it: its length, `(8)`, a half behind its count.

    `small` says that a small letter at its beginning doesn't tell that a sentence goes on.
    """
    said = before.text.rstrip()
    if _AT_WALLS.match(text) and (named := re.match(r"(?i)\W*(?:tag|restart)\b", said)):
        return f"{named[0]} {text.strip()},{said[named.end() :]}"
    if _ENDING.fullmatch(said) and re.match(r"(?i)(?!\W*[\d&]).*\bwall\b", text):
        return f"{said.rstrip(' :')}: {text.strip()}"
    if not gap and _wrapped(said, text, small):
        return f"{said} {text.lstrip()}"
    if not gap and _FIELD.match(said) and _DEEPER.fullmatch(text):
        return f"{said}   {text.strip()}"
    if (length := _LENGTH.fullmatch(text)) and not before.headed and int(length[1]) < 16:  # more: of its part
        return f"{said} ({length[1]} counts)"
    if not gap and re.match(r"\s*&\s+[A-Za-z]", text) and re.match(r"\s*\d[\d&-]*(?<=\d)[\s:.)]+\w", said):
        first = re.sub(r"^(\W*\d[\d&-]*)\W*", r"\1&  ", said).replace("\t", " ")
        return f"{first}, {' '.join(text.split()).strip(' &')}"
    return ""


_SPOKEN = re.compile(r"(?:^|(?<=\s\s)|(?<=[(\[]))\s*([1-9]{4,8}(?: [1-9]{4})?)(?=\W*$|[)\]])")
"""`1234 5678` alone or at an end: each figure a count."""


def _spoken(found: re.Match[str]) -> str:
    """Return figures that go up one by one as their counts."""
    said = found[1].replace(" ", "")
    alone = not re.search(r"\w", found.string[: found.start()])
    counts = ",".join(said) if alone else f"[{said[0]}-{said[-1]}]"
    return counts if said in "123456789" else found[0]


def _apart(texts: list[str]) -> list[str]:
    """Return lines with counts that are written together, `123`, `rec L 12`, apart; a 12 behind an 11 is one count.

    Behind words without a bracket they run on from the counts before, or to those behind.
    """
    texts = [_SPOKEN.sub(_spoken, text) for text in texts]
    found = [
        (at, each, next(filter(None, each.groups()))) for at, text in enumerate(texts) for each in _GLUED.finditer(text)
    ]
    glued = [(at, each, run) for at, each, said in found if (run := re.sub("[&,-]", "", said)) and run in "123456789"]
    out, runs = list(texts), ["", *(run for *_, run in glued), ""]
    goes_on = [bool(a and b) and int(a[-1]) + 1 == int(b[0]) for a, b in itertools.pairwise(runs)]
    told = any(len(run) > 2 for run in runs) or any(
        on and len(a + b) > 2 for on, (a, b) in zip(goes_on, itertools.pairwise(runs), strict=True)
    )
    for place in reversed(range(len(glued)) if told else ()):
        at, each, run = glued[place]
        same = place > 0 and glued[place - 1][0] == at and glued[place - 1][2] != "8"  # counts of a line go up
        begun = goes_on[place] or (run[0] == "1" and not same and (goes_on[place + 1] or len(run) > 3))
        numbers = re.findall(r"\d+", texts[at - 1][:12] * (at > 0) + " " + texts[at][: each.start()])
        after = [str(int(run) - 1)]  # `23 24` behind `21 22`
        if (each[3] and not begun) or len(run) < 2 or numbers[-1:] in (after, ["10"] if run == "12" else after):
            continue
        out[at] = out[at][: each.start()] + re.sub(r"(?<=\d)(?=\d)", ",", each[0]) + out[at][each.end() :]
    return out


def _in_full(found: re.Match[str]) -> str:
    """Return an abbreviation written out, in capitals where it is."""
    said = _LONG[found[0].casefold().rstrip(".")]
    return said.upper() if found[0].isupper() else said


def evenly(text: str) -> str:
    """Return a text with its dots, its times of the clock and the signs between its counts written one way."""
    text = re.sub(r"(?<=\d)\s*[~\u2014]\s*(?=\d)", "-", text.replace("\u2026", "..."))
    text = re.sub(r"(?i)\b(starts?|strts?) @ ?(12|[369])\b(?![:\d])", r"\1 facing \2:00", _HOUR.sub(r"\1:00", text))
    return _AT.sub("facing ", _CLOCK.sub(lambda found: f"{number(found[1])} o'clock", text))


def plainly(text: str) -> tuple[str, bool]:
    """Return a line without its decorations, its counts written one way, and whether it is set as a heading."""
    cells = text.strip().split("|")
    if len(cells) > 3 and not cells[0] and not cells[-1]:
        return "\t".join(_SHORT.sub(_in_full, _ARROW.sub(", ", cell.strip())) for cell in cells[1:-1]), False
    if len(cells) == 3 and _ROWED.match(text):
        return "\t".join(cell.strip() for cell in cells), False
    text = _BARRED.sub(r"Section \1: ", text.replace("\u2014", "-"))
    text = _PARTED.sub(", ", text) if counted(text) else text
    text = re.sub(r"\s+\|\s+", "   ", re.sub(r"\s+~\s+(?=\S)", " - ", _BOLD.sub(r"\2", text)))
    text = re.sub(r"(?i)^\s*PT\.?\s+(?=[A-H]\b\W)", "Part ", text)
    text = re.sub(
        r"\b(twenty|thirty|forty|fifty|sixty) (?=(?:one|two|three|four|five|six|seven|eight|nine)\b)", r"\1-", text
    )
    text = _TWO.sub(r"\1-\2  ", re.sub(r"(?<=\w)\s*[-_=]{4,}\s*(?=\w)", "   ... ", text))
    text = re.sub(r"^\s*[\u266a\u266b]+\s*", "Music: ", text)
    text = re.sub(r"[<{]\s*([\d\s&,to-]*\d&?|\d{1,2}(?::\d\d| o'clock))\s*[>}]", r"[\1]", text)
    text = _RULED.sub(r"\1: ", _HEAD.sub(r"\1  ", text))
    for leader, said in _LEADERS:
        text = leader.sub(said, text)
    text = re.sub(
        r"^\s*\*{2,}\s*((?:part|section|tag|break)\b[^*]*?)\s*\*{2,}\s+(\([^()]*\))$", r"** \1 \2 **", text, flags=re.I
    )
    headed = _HASHED.fullmatch(text)
    text = next(filter(None, headed.groups()), "") if headed else _BULLET.sub(r"\1", text)
    text = _ALONE.sub(r"[\2-\3] \1", text).rstrip()
    text = _FEET.sub(lambda found: re.sub(r"\W", "", found[0]).upper(), _FOOT.sub(r"\1f", _STOP.sub(r"\1", text)))
    text = re.sub(r"(?<=[a-z:] )(\d)\. wall\b", r"wall \1", text)  # `after the 5. wall`
    text = _DOTTED.sub(lambda found: found[1] + found[2].replace(".&.", "&").replace(".", ","), text)
    text = _SPACED.sub(lambda found: found[1] + re.sub(r", ?| ", ",", re.sub(r",? ?& ?", "&", found[2])), text)
    text = _DASHED.sub(r"\1\2  ", text)
    if (behind := _FOR.search(text)) and re.search(r"[a-z]{3} ", text[: behind.start()]):
        text = f"{text[: behind.start()]} ({number(behind[1])}-{number(behind[2])})"
    text = _SHORT.sub(_in_full, text)
    text = re.sub(r"(?<=[\[( @])(1?\d)[.](00|30)\b", r"\1:\2", text)
    text = _EIGHT.sub(r"\1: ", _SINGLE.sub(r"\1  ", text))
    text = _ARROW.sub(", ", text) if _ARROW.search(text) and counted(text) else text
    if (span := _SPAN.match(text)) and (span[1] or not span[2].isdecimal()):
        first, last = number(span[2]), number(span[3])
        rest = text[span.end() :]
        text = f"[{first}-{last}]" if not re.search(r"\w", rest) else f"{first}-{last}  {rest}"
    return text, headed is not None
