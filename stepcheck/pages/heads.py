"""The heads of parts, sections and tables, and the lines about the paper that stand above and below them."""

import re
from collections.abc import Callable

from attrs import evolve, frozen

from stepcheck.pages.columns import columns
from stepcheck.pages.layout import Laid, plainly
from stepcheck.pages.order import REPEAT, called, tokens
from stepcheck.steps.counts import Counts, counted
from stepcheck.steps.vocabulary import plain
from stepcheck.steps.words import NUMBER, NUMBERS, ORDINAL, ROMANS, UNITS, number

_WORDS = (
    r"(?:(?!as\b|the\b|to\b|then\b|repeat\b)[a-z]+ )?"
    r"(?:intro|chorus|break|bridge|tag|ending|end|last|finish|verse|coda|interlude)"
    rf"(?:\s+[1-3]\b(?!\s*{UNITS}))?"
)
_PART = re.compile(
    rf"(?i)^[\s~*(]*(?:(part\s+(?:[A-Z]\b|\d{{1,2}}|one|two|three|four|five|six)|section\s+[A-H])|({_WORDS})|([A-H]))\b(?!')[)~]*"
    rf"(?:\s*(?:is\s+the\s+\w+|with\s+(?=a\b)))?"
)
_BEATS = re.compile(
    rf"(?i)^\s*(?:[-\u2013,=.:]{{1,2}}\s*)?(?:[\[(]\s*(?:(?:only|just)\s+)?(?P<in>\d{{1,3}})\s*(?:{UNITS})?(?:\s+only)?[\s!]*(?:[\])]|[,;]\s*(?=[^()]*\)))|(?P<with>\d{{1,3}})\s*{UNITS}"
    rf"|(?P<bare>\d{{1,3}})(?!:\d)(?=\s*(?:$|[:.~,]|-(?!\d)|\s{{2,}})))"
)
"""The length behind the name of a part: `(32 beats)`, `(16, twice)`, `- 8 beats`, `32`."""
_SAME = re.compile(r"(?i)\s*[-\u2013,:(]?\s*(?:the\s+)?(?:same|as)\b")


def head(text: str, names: tuple[str, ...] = ()) -> tuple[str, int, str] | None:
    """Return the name, beats and remaining words of the head of a part, None if a line is none.

    `names` are those that the sequence says; a letter or a word of it is a head where a sign or a gap stands behind.
    """
    said = plain(text.replace("\t", "   "))
    for name in sorted(names, key=len, reverse=True):
        if found := re.match(
            rf"(?i)^[\s~*(=]*((?:(?:part|section)\s+)?{called(name)})(?![\w'])(?:\s+(?:bit|part|section|half))?[~)=]*(?=(?<=[)=])|\s*(?:[:=.,\-(\[]|$)|\s{{2,}}|(?<=[a-z])\s+\d{{1,3}}\W*$)",
            said,
        ):
            beats, rest = _lasting(said[found.end() :])
            words = [word.casefold() for word in re.findall(r"[\w*]+", re.sub(r"(?i)\bx ?\d|\([^()]*\)", " ", rest))]
            known = {word for each in (*names, "end ending") for word in each.casefold().split()}
            ordered = re.match(rf"\s*(?:,(?!\s*{UNITS}\s+\d)|[-\s/>|])", rest) and {*words} <= known and words
            signed = re.match(r"\s*[:.=]", rest) or (beats and re.match(r"\s*[:(]", said[found.end() :]))
            if not ordered and (not REPEAT.search(said) or signed):
                return " ".join(found[1].split()), beats, rest.lstrip(" \t-:=.),").rstrip()
    found = _PART.match(said)
    if not found:
        return None
    behind = said[found.end() :]
    beats, rest = _lasting(behind)
    sign = re.match(r"\s*[-\u2013,]?\s*[:.=]", rest)
    if re.match(r"(?i)\W*(?:again|is\s+eight)\b", rest) or (REPEAT.search(said) and not sign):
        return None
    noted = not found[3] and re.fullmatch(r"\s*\([^()]*\)\W*", rest)
    article = found[3] and re.match(r"\s[a-z]", behind) is not None  # `A chain (8 beats)`
    marked = (not article and (sign or beats)) or noted or "~" in found[0] or not rest.strip(" \t-).")
    wide = re.match(r"\s{2,}|\t", behind) or re.match(r"(?i)\W*(?:finish|end) (?:with|on)", said) or _SAME.match(rest)
    if not marked and (found[3] or not wide) and not (wide and re.match(r"\s+\"", behind)):
        return None
    name = " ".join((found[1] or found[2] or found[3]).split())
    return name, beats, rest.lstrip(" \t-:=.),").rstrip()


def _lasting(behind: str) -> tuple[int, str]:
    """Return the beats that stand behind the name of a part, there or at the end of its line, and the rest."""
    found = _BEATS.match(behind)
    signed = found and re.match(r"\s*[:=.]", behind) and not re.search(r"[a-z]", found[0], re.I)
    if found and not (signed and re.match(r"\s?[A-Za-z]", behind[found.end() :])):
        rest = behind[found.end() :]
        return int(found["in"] or found["with"] or found["bare"]), f"({rest}" if found[0].rstrip()[
            -1:
        ] in ",;" else rest
    if found := re.search(r"\(\s*(\d+) (?:beats|counts)\s*\)?\s*$", behind):
        return int(found[1]), behind[: found.start()]
    return 0, behind


def name_of(said: str, names: tuple[str, ...] = ()) -> str:
    """Return a part's name as the sheet writes it; `names` are those that the sequence says."""
    low = said.casefold()
    low = low.replace("section ", "part ")
    if re.fullmatch(r"part [a-z]\d?", low):
        return low[5:].upper()
    if re.fullmatch(r"[a-h]", low):
        return low.upper()
    if low in ("finish", "end") and all(name.casefold() != "end" for name in names):
        return "Ending"
    return said if " " in said and not low.startswith("part") else said.capitalize()


_CALLED = re.compile(
    r"(?i)^\W*(?P<words>(?:pre-?)?(?:verse|chorus)|tag|bridge|break|intro|interlude|ending|coda)\s*(?:-\s*)?(?:part\s+)?"
    rf"[\"'(\[]?(?P<letter>(?-i:[A-KM-QS-Z]))(?!\w)[\"')\]]?(?=\s*(?:[:(\[,=-]|\d{{1,2}}\s*{UNITS}|$))"
)
"""`Verse (A)`, `TAG "T"`, `Chorus - Part B`: what a part is, before its letter."""
_LETTERS = re.compile(r"(?<![\w'])[A-Z](?![\w'.])")


def by_letters(texts: list[str]) -> list[str]:
    """Return lines in which a head that says what a part is before its letter is that of the letter, `Part A (verse)`,
    where a row of letters, an order, names it."""
    rows = [_LETTERS.findall(" ".join(tokens(text))) for text in texts]
    ordered = {letter for row in rows if len(row) > 2 for letter in row}
    out = list(texts)
    for at, each in enumerate(map(_CALLED.match, texts)):
        if each and each["letter"] in ordered:
            word, rest = each["words"].casefold(), re.sub(r"^(?=\s*\d)", " -", texts[at][each.end() :])
            inside = re.sub(r"^(\s*[(\[][^()\[\],]*)", rf"\1, {word}", rest)
            out[at] = f"Part {each['letter']}{inside if inside != rest else f'{rest} ({word})'}"
    return out


_ORDINAL = r"(?:[A-H]|\d{1,2}|one|two|three|four|five|six|seven|eight|nine|ten|[ivx]+)"
_LENGTH = rf"(\d{{1,2}}|{'|'.join(NUMBERS)})\s*-?\s*{UNITS}?"
_EIGHT = re.compile(
    rf"(?i)^\W*(?:the\s+)?(?:(?:{ORDINAL}|next|last|final)\s+)+{_LENGTH}\s*[:.\-]*\s*|^\W*{_LENGTH}\s*[:.]?\s*$"
)
_SECTION = re.compile(
    rf"(?i)^\s*(?:(?:section|sect?|set|part|block|(?:8|eight)(?:\s{UNITS})?\s(?:no|nr|number)\b)\s*\.?\s*{_ORDINAL}\b|(?:s\s?|#\s?)\d{{1,2}}\b(?!\s*{UNITS}\b)|[A-H]\d\b(?=\s*[:.\[(=]|\s{{2,}}|\t|\s-))\s*[.:)\-]*\s*"
)
_LISTED = re.compile(r"^\s*\d{1,2}[.)]\s+(?=[A-Za-z])")
_TAGGED = re.compile(r"(?i)\W*(?:tag|bridge|restart|(?:to )?(?:end|finish|ending))\b")
_RANGE = re.compile(r"(?i)^\s*[\[(]?\s*(?:counts?\s*)?(\d{1,3})\s*(?:-|to)\s*(\d{1,3})\s*[\])]?\s*[:.]?\s*")
_ENDS = re.compile(r"(?i)[\[(]\s*(?:counts?\s*)?(\d{1,3})\s*(?:-|to)\s*(\d{1,3})\s*&?\s*[\])]\W*$")
_BARE = re.compile(r"\W*(?:[IVX]{1,4}|[A-H]|\d{1,2})(?:[.):]|(?<=[\[(]\w)[\])])\W*")
"""`II.` alone on its line."""
_LETTER = re.compile(r"^\s*([A-Z])(?:[.)]\s*(?=\S\S)(?![A-Z]\.)|(?:\s*[:-])?\s+(?=\d{1,2}\s*[-&]\s*\d))")


_SPANNED = re.compile(
    rf"(?i)^(\s*(?:[*\u2022+>-]\s+)?)(?:{UNITS}\.?\s+)?(\d{{1,3}})\s*(?:-|\u2013|to)\s*(\d{{1,3}})\b"
    r"(?:\s*[,:.)-]+\s*|\s+)(?=[^\W\d]|\d/)(.*[^,\s])\s*$"
)
RETOLD = re.compile(r"(?i)\W*(?:the )?(?:same|repeat|again|as (?:above|before|\d))\b")
"""`same as 13-18`, `same again`: no counts of its own."""
_AGAIN = re.compile(
    r"(?i)\W*\d{1,2}\s*(?:-|to)\s*\d{1,2}\W+(?:the )?(?:same|repeat|again|mirror|as (?:above|before|\d))\b"
)
"""A row that dances all its counts again: under a head with counts it is the section."""


_ROMAN = re.compile(r"^(\s*)\(?([IVX]{1,4})(?:[.):]+\s+|\s{2,}|\t|\s(?=1\s?[-&]\s?\d))(?=\S)")
_DIGIT = re.compile(r"^(\s*)(\d{1,2})(?:\s{2,}|\t)(?=[A-Za-z])")
_OVER_COUNTS = re.compile(r"^(\s*)(\d{1,2})(?:\s*[:-])?\s+(?=(?:1|9|17|25|33|41|49|57)\s?[-&]\s?\d)")


def in_order(texts: list[str], steps: Callable[[str], int]) -> list[str]:
    """Return lines that begin with Roman numbers in their order, with bare ones over deeper lines that say more steps,
    or with these before counts from one on, as heads, `Section II: …`."""
    bare = tuple(map(str, range(1, 13)))
    table = any(columns(re.sub(r"\s{2,}|\s*\|\s*", "\t", text.strip())) for text in texts)
    for label, wanted in ((_ROMAN, ROMANS), (_DIGIT, bare), *[(_OVER_COUNTS, bare)] * (not table)):
        found = [(at, each) for at, text in enumerate(texts) if (each := label.match(text))]
        under = [_below(texts, at) for at, _ in found]
        spelled = label is not _DIGIT or all(
            sum(map(steps, below)) > steps(head.string)
            and not any(re.match(r"\W*\d{1,2}(?!/|\d)", each) for each in below)
            for (_, head), below in zip(found, under, strict=True)
        )
        if len(found) > 1 and tuple(each[2] for _, each in found) == wanted[: len(found)] and spelled:
            heads = {at: f"{each[1]}Section {each[2]}: {texts[at][each.end() :]}" for at, each in found}
            texts = [heads.get(at, text) for at, text in enumerate(texts)]
    return texts


def over_deeper(texts: list[str], steps: Callable[[str], int]) -> list[str]:
    """Return lines with counts over deeper ones that spell them, without counts, as heads, `[1-6] …`, where there are
    several: what stands deeper says more steps, or that some are danced again."""
    found: list[tuple[int, re.Match[str]]] = []
    for at, text in enumerate(texts):
        head = _SPANNED.match(text)
        below = _below(texts, at) if head else []
        bare = below and not any(re.match(r"\W*\d{1,2}(?!/|\d)", line) for line in below)
        if head and bare and (RETOLD.match(below[0]) or sum(map(steps, below)) > steps(head[4])):
            found.append((at, head))
    out = list(texts)
    for at, head in found if len(found) > 1 else ():
        out[at] = f"{head[1]}[{head[2]}-{head[3]}] {head[4]}"
    return out


def _below(texts: list[str], at: int) -> list[str]:
    """Return the lines under one that stand deeper than it, up to an empty one."""
    depth = [len(line) - len(line.lstrip()) if line.strip() else -1 for line in texts]
    end = next((index for index in range(at + 1, len(texts)) if depth[index] <= depth[at]), len(texts))
    return texts[at + 1 : end]


SPEAKS = re.compile(r"(?i)\b(?:re-?starts?|tags?|bridge)\b")
_SHORT = 70  # letters of a line with a few fields
_FIELD = re.compile(
    rf"(?i)\W*(?:(?P<word>after|facing|when|where)|(?P<counts>counts?)|(?P<steps>steps?)|walls? {NUMBER})\s*:"
)


def told_below(laid: list[Laid]) -> list[Laid]:
    """Return lines, in which a restart or a tag that tells its fields on lines of their own, `After: 16 counts`, is one
    line."""
    out: list[Laid] = []
    for line in laid:
        above, field = out[-1] if out and not line.gap else None, _FIELD.match(line.text)
        if above and field and SPEAKS.match(above.text.strip(" *-")) and len(above.text) < _SHORT:
            said = line.text[field.end() :].strip()
            said = f"{said} counts" if field["counts"] else f"{field['word']} {said}" if field["word"] else said
            said = f": {said}" if field["steps"] else f", {said if field.lastgroup else line.text}"
            out[-1] = evolve(above, text=above.text.rstrip(" :") + said, numbers=above.numbers + line.numbers)
        else:
            out.append(line)
    return out


@frozen
class Heading:
    """The head of a section: its words, its counts or its length if it has any, what stands behind them on the line."""

    text: str
    counts: tuple[int, int] | None = None
    rest: str = ""
    length: int = 0


def is_number(text: str) -> bool:
    """Say whether a text is no more than the number of a section."""
    return _SECTION.fullmatch(text) is not None


def spanned(text: str) -> tuple[int, int] | None:
    """Return the counts, a phrase or more of them, that a line ends in: `Forward and back (9 to 16)`."""
    span = _ENDS.search(text)
    first, last = map(int, span.groups()) if span else (0, 0)
    return (first, last) if last - first > 4 else None


def _ended(text: str, inner: Counts | None) -> tuple[int, int] | None:
    """Return the counts that a title ends in, `WALKS AND KICKS (counts 1-8)`, over lines that count them."""
    span = _ENDS.search(text)
    if not span or not inner:
        return None
    first, last = map(int, span.groups())
    spoken = (
        text.isupper()
        or "count" in span[0].casefold()
        or (first % 8 == 1 and not re.match(r"\W*\d(?!\d?[.)]\s)", text))
    )
    return (first, last) if spoken and inner.first in (1, first) and inner.length < last - first + 1 else None


def over_its_first(line: str, following: str, steps: Callable[[str], int]) -> Heading | None:
    """Return the number of a section that its first line stands behind, which the next goes on from: `2. Walk R, L
    (1-2)` over `Shuffle R (3&4)`."""
    text = plain(line)
    label = _SECTION.match(text) or _LISTED.match(text)
    said = text[label.end() :] if label else ""
    first, after = counted(said), counted(following)
    begins = first and after and first.first == 1 and after.first == first.last + 1
    return Heading(label[0].strip(), None, said) if label and begins and steps(said) else None


def heading(line: str, following: str, steps: Callable[[str], int]) -> Heading | None:
    """Return the head of a section that a line is, if it is one.

    `following` is the next line that isn't blank, `steps` says how many steps a text says.
    """
    text, told = plain(line), RETOLD.match(following) is not None
    if found := _SECTION.match(text):
        return _numbered(line, found[0], plainly(text[found.end() :])[0], following, steps)
    apart = (
        _TAGGED.match(following)
        or _SECTION.match(plain(following))
        or ((own := _LETTER.match(following)) and counted(following[own.end() :]))
    )
    following = "" if apart else following  # its steps stand under a head of their own
    inner = counted(following) if following and not told else None
    if ended := _ended(text, inner):
        return Heading(line.strip(), ended)
    if (found := _EIGHT.match(text)) and 3 <= (size := number(found[1] or found[2])) <= 16:
        titled = inner is not None and inner.first == 1
        return Heading(line.strip(), None, "" if titled else text[found.end() :], size)
    found = _LETTER.match(text)
    if found and counted(rest := text[found.end() :]):
        return Heading(found[0].strip(), None, rest)
    counts = inner and len(inner.points) > 1 and re.match(r"\W*\d", following)
    if (found and counts) or (_BARE.fullmatch(text) and (inner or steps(following))):
        return Heading(line.strip())
    if found := _RANGE.match(text):
        first, last = int(found[1]), int(found[2])
        if last <= first or last - first > 63 or not first:
            return None
        size = last - first + 1
        bracketed = "[" in found[0] and "]" in found[0]
        again = first > 1 and bracketed and _AGAIN.match(following)
        nested = (
            inner is not None
            and not _SECTION.match(plain(following))  # which is the head of its own lines
            and inner.first in (1, first)
            and inner.length < size + bool(again or (inner.first < first and not steps(text)))
        )
        behind = counted(rest := text[found.end() :])
        if (
            bracketed
            and behind
            and not re.match(r"\W*[\d&]", rest)
            and behind.first in (1, first)
            and behind.last <= last
        ):
            return Heading(line.strip(), (first, last), rest)
        spoken = "count" in found[0].casefold() and not text[found.end() :].strip() and inner is None
        if nested or spoken or (bracketed and inner is None and (told or steps(following) or not steps(text))):
            return Heading(text[found.end() :].strip() or line.strip(), (first, last))
    return None


def _numbered(line: str, head: str, rest: str, following: str, steps: Callable[[str], int]) -> Heading:
    """Return the head of a section that has a number, `rest` being what stands behind it."""
    inner, behind = counted(following) if following else None, counted(rest)
    for span in (_RANGE.match(rest), _ENDS.search(rest)):
        first, last = map(int, span.groups()) if span else (0, 0)
        over = inner and last - first + 1 > inner.length and inner.first in (1, first)
        if span and span.start():
            if over:
                return Heading(line.strip(), (first, last))
        elif span:
            said = counted(behind_span := rest[span.end() :])
            if said is None and (over or not behind_span.strip()) and not _SECTION.match(plain(following)):
                return Heading(line.strip(), (first, last))
            later = None if _SECTION.match(plain(following)) else inner
            goes_on = any(each and each.first == last + 1 for each in (said, later))
            begins = said is not None and said.first in (1, first) and len(said.points) > 1
            if said is None or not goes_on:
                counts = None if goes_on else (first, last)
                return Heading(line.strip(), counts, behind_span if begins else f"{first}-{last}  {behind_span}")
    led = inner and inner.first == 1 and len(inner.points) > 1  # which are those of the first line under it
    apart = _SECTION.match(plain(following)) or _TAGGED.match(following)
    if steps(rest) > 1 and (apart or not (steps(following) or led)) and behind is None:
        return Heading(head.strip(), None, rest)
    return Heading(line.strip(), None, "" if behind is None else rest)


TEACHES = re.compile(
    r"(?i)\W*(?:as )?(?:taught|teacher|instructor|coach)\b(?!.*\b(?:choreo|devised|arranged|music|song))[^\d\"\u201c]*"
)
"""A line that says no more than that, which is a remark: no field holds it."""
_MONTH = r"(?:jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec)[a-z]*\.?"
_NO_COUNT = re.compile(
    rf"(?i)\b(?:\d{{1,2}}(?:st|nd|rd|th)? )?{_MONTH},? (?:\d{{1,2}}(?:st|nd|rd|th)?,? )?(?:19|20)\d\d\b"
    r"|\b(?:\d{1,4}[/.-]){2}\d{2,4}\b|\b(?:19|20)\d\d\b|\+?\b\d{3,}(?:[ -]\d{3,})+\b|\b\d{5,}\b"
    r"|[\xa3$\u20ac] ?\d+(?:\.\d\d)?"
    rf"|\b\d{{1,2}}(?:st|nd|rd|th)? (?=(?-i:[A-Z])){_MONTH}(?=\W*$)|\bv ?\d+\.\d+\b"
    r"|\b1?\d(?:[:.][0-5]\d)? ?[ap]\.?m\b|\b(?:page|sheet) \d+(?: (?:of|/) \d+)?|\b\d\d?/(?:19|20)\d\d\b"
    r"|\b(?:no\.?|number|issue|vol\.?|edition) ?\d+\b|\b(?:rev(?:ision|ised)?|ver(?:sion)?)\b\W{0,2}\d[\d./-]*"
)
_IMPRINT = re.compile(
    r"(?i)\W*(?:\(c\)(?=\s*\S)|\xa9|copyright\b|all rights\b|"
    r"(?:last )?(?:updated|revised|(?:re)?printed|(?:re)?typed|copied)\b|"
    r"(?:(?:step|cue|dance)[ -]?)?(?:sheets?|notes) (?:updated|revised|printed|typed|written|prepared|made)\b|"
    r"(?:dance|step|cue|class)[ -]?(?:notes|sheets?)\W*$|"
    r"if you (?:need|want|would like|lose) [^.;]*\b(?:print|cop(?:y|ies)|sheets?)\b|"
    r"hand-?out\b|tel(?:ephone)?\b|phone\b|e-?mail\b|thank(?:s| you)\b|apologies\b|file(?:name)?\s*:|"
    r"(?:any )?(?:questions|queries|problems)\b|(?:call|ring|text|contact) [A-Z]\w+ (?:at|on|if)\b|"
    r"(?!.*(?: by | - |\")).*\b(?:at|on|every|next|see) .*\b(?:\w+day|hall|cent(?:er|re)|class|club|church|school)s?"
    r"\W*$)"
)


def uncounted(text: str) -> str:
    """Return a text without numbers that are no count, wall or beat: dates, telephone numbers, prices, hours, pages."""
    return _NO_COUNT.sub(" ", text)


def is_imprint(text: str) -> bool:
    """Say whether a line is about the paper, or where a class meets: nobody that it names made the dance."""
    said, letters = uncounted(text), re.compile(r"[^\W\d_]")
    dated = letters.search(text) and not letters.search(said)
    return bool(dated or _IMPRINT.match(text) or TEACHES.fullmatch(said))
