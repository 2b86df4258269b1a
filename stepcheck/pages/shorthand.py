"""What descriptions of line dance write short, or take back, written out: bars as counts, quick and slow, dittos."""

import re
from collections.abc import Callable

from stepcheck.steps.phrases import RETRACTED
from stepcheck.steps.vocabulary import Vocabulary, pieces
from stepcheck.steps.words import FOOT, NUMBER, ORDINAL, SIDED, SIZE, UNITS, number

_BAR = r"(?:bars?|measures?|meas)\b\.?"
_OF = re.compile(
    rf"(?i)\b(?:bars?|measures?) of {NUMBER}\b|\b{NUMBER} {UNITS} (?:to|in|per) (?:the|a|each) (?:bar|measure)\b"
)
_BOTH = re.compile(rf"(?i)\b{NUMBER} (?:bars?|measures?)\W{{1,3}}(?:so |= ?|or )?{NUMBER} (?!c\b){UNITS}\b")
_SPAN = rf"{NUMBER}(?:\s*(?:-|to|and|&|\+)\s*{NUMBER})?"
_LED = re.compile(rf"(?i)^(\W*){_BAR}\s*{_SPAN}\s*[:.)=-]*\s*")
_NAMED = re.compile(rf"(?i)\b{_BAR}\s*(?=\d){_SPAN}")
_MANY = re.compile(rf"(?i)\b{NUMBER}[ -]{_BAR}(?! of\b|\W{{1,3}}(?:so |= ?|or )?\d+ counts)")
_SET = re.compile(rf"(?i)^(\W*(?:{ORDINAL}|next|last)\s+){NUMBER}\b(?:\s+{_BAR})?")
_INSIDE = re.compile(rf"(?i)\b(?:on|over|for|in)?\s*{UNITS}\s*(\d)\s*(?:-|,|to|and|&)\s*(\d)\b")
"""`over cts 2, 3`: counts of a bar."""


def _beats(text: str) -> int:
    """Return how many counts a bar of a dance has, 0 where nothing says it."""
    said = {number(each[1] or each[2]) for each in _OF.finditer(text)}
    said |= {
        number(each[2]) // number(each[1]) for each in _BOTH.finditer(text) if not number(each[2]) % number(each[1])
    }
    if not said and re.search(r"(?i)\bwaltz", text):
        said = {3}
    return said.pop() if len(said) == 1 else 0


def _barred(texts: list[str], size: int) -> list[str]:
    """Return lines with the counts of their bars, each of `size` counts, in the place of these."""

    def span(found: re.Match[str]) -> str:
        first, last = (number(each) for each in (found.groups()[-2], found.groups()[-1] or found.groups()[-2]))
        return f"{(first - 1) * size + 1}-{last * size}"

    def last(found: re.Match[str]) -> str:
        after = re.search(r"(?i)\b(?:after|to|until|end of)\s+(?:the )?(?:end of )?$", found.string[: found.start()])
        return f"count {number(found[2] or found[1]) * size}" if after else f"counts {span(found)}"

    led = any(map(_LED.match, texts))
    out = []
    for text in texts:
        if led:
            text = _SET.sub(lambda found: f"{found[1]}{number(found[2]) * size} counts", text)
            text = _INSIDE.sub(lambda found: f"for {int(found[2]) - int(found[1]) + 1} counts", text)
        text = _LED.sub(lambda found: f"{found[1]}{span(found)}  ", text)
        out.append(_MANY.sub(lambda found: f"{number(found[1]) * size} counts", _NAMED.sub(last, text)))
    return out


_RESTART = re.compile(r"^(\W*)R/?S(?=\W{1,3}(?:[Oo]n |[Aa]t )?[Ww](?:all)? ?\d)")
"""`RS wall 3`."""
_STILL = re.compile(r"(?i)\b(hold)\s+(\d)((?:,\s*\d)+)(?![\d&-])")
"""`hold 2, 3`: the counts of which nothing else is danced."""


def _held(found: re.Match[str]) -> str:
    told = [int(each) for each in re.findall(r"\d", found[0])]
    return f"{found[1]} {len(told)} counts" if told == [*range(told[0], told[0] + len(told))] else found[0]


_OF_A_LINE = re.compile(
    rf"(\b[QS] ?= ?\w+|(?i:\b(?:each|every) (?:line|row)\b[^.;,]{{0,30}}? \d+)) {UNITS}\b(?! [a-z])"
)
"""`S = 2 beats`, `every line is 6 beats`: no length of the dance."""


def _timed(found: re.Match[str]) -> str:
    """Return how long steps last that are quick, each a count, or slow, each two."""
    said = found[1]
    return "" if {*said} == {"Q"} else f" for {len(said) + said.count('S')} counts"


_DITTO = re.compile(r"(?i)^(\s*(?:\d[\d&\s,-]*[:.)]?\s+)?)(?:(?:[\"\u3003\u201d]+|'')\s+|do\.\s+)+(?=[LR])")
_FEET = re.compile(r"\b[LR](?:[\s,-]*[LR])*\b")
_SPOT = re.compile(
    rf"(?i)(?<=[a-z\d)])[.;]\s+(?:(?:and|then|next|now)\s+)*{UNITS}\s+(\d{{1,2}})\s*(?:to|-|and|&)\s*(\d{{1,2}})\b\W*"
)
_THEN = re.compile(
    r"(?i)(^\W*|[.;,]\s+)(?:(?:and|then|next|now|so)\s+)+(?=(?:counts?\s+)?\d{1,2}(?:\s?[-&]\s?\d{1,2})+\s)"
)
_AGAIN = re.compile(
    r"(?i)^(\s*)(\d{1,2})\s*-\s*(\d{1,2})(\b.*\w\W*?)[.;]\s+(?:then\s+)?"
    r"(?=repeat (?:counts? )?(\d{1,2})\s*-\s*(\d{1,2})\b)"
)
"""`1-8 … Repeat counts 1-4`: the last of the line's counts are those of the repeat."""


_ARROW = re.compile(r"\s+<-+\s*(\w[^()]*)$")
"""`<- keep it small`: a remark."""
_CHANGES = re.compile(r"(?i)\b(?:restart|rst|tag)\b").search
_AS = re.compile(r"(?i)\b(?:the )?(?:same )?as (?:counts )?(\d{1,2})\s*(?:-|to)\s*(\d{1,2})\b(?:\s+again)?")


_STEPPED = re.compile(
    r"(?i)(?<!\baround )\b(?:(?:turn|make|do) an? )?(rolling(?: full)? turn|(?:full|half|\u00bd|[13]/[24]) turn)"
    rf"(?: to)?(?: the)? ({SIDED})\b(?! (?:with|on)\b)([^.;()\d]*?)"
    r"(?:,? in (?:two|three) steps)?,?(?:(?: stepping)?\s+((?-i:[LR])(?:(?:[\s,-]|then|and)*(?-i:[LR])\b){1,7})|"
    r"\s+stepping\s+((?:left|right)(?:(?:[\s,-]|then|and)*\b(?:left|right)\b){1,2}))(?![\w'])"
)
"""`full turn R travelling fwd, stepping L then R`."""


def _stepped(found: re.Match[str]) -> str:
    """Return a turn that is made over steps as these steps, and the turn."""
    if re.search(
        r"[a-z]{3,}",
        re.sub(r"(?i)\b(?:travel\w*|moving|going|forward|fwd|back|to|side|over|the|left|right)\b", "", found[3]),
    ):
        return found[0]
    size = "full" if found[1].casefold().startswith("rolling") else found[1].split()[0]
    way = re.search(r"(?i)\b(?:forward|fwd|back|side)\b", found[3])
    feet = "".join(re.findall(r"[LR]", re.sub(r"(?i)then|and|eft|ight", "", found[4] or found[5]).upper()))
    return f"step {feet}{f' {way[0]}' if way else ''} turning {size} {found[2]}"


_SHARED = re.compile(
    r"(?i),? (?:starting|beginning|commencing)(?: to)?(?: an?| the)? "
    rf"((?:turn )?{SIZE}(?: turn)?)(?: to)?(?: the)? ({SIDED}),\s*"
    r"([^,;]*?),? (?:finishing|completing|ending)(?: (?:the|that|your|this))? turn\b"
)
"""`L forward starting 1/2 left, R finishing the turn`: a turn that is whole on the step that finishes it."""
_MIRROR = re.compile(r"(?i)^(\s*(\d{1,2})\S*\s+)mirror(?:ed)?(?: image)?(?: of)? (?:counts? )?\d[\d&-]*?(\d{1,2})\b")
"""`7&8 mirror of 5&6`."""


_STRAIGHT = re.compile(
    r"(?i)^(\s*\d[\d&, -]*\s)\s*(?:straighten|square|turn)\w*(?: up| off)? to (?:face )?[\[(]?(12|3|6|9)"
    r"(?::00)?[\])]?,?\s+(?=\S)(.*)$"
)
"""`3  straighten to [9], R side`: where the dancers face behind the step."""
_FACED = re.compile(
    r"(?i)(?<=\w)[)\]]?\s*(?:[-=]*>+|\u2192)\s*[(\[]?(1[0-2]|[1-9])(?::00|\s*o'?\s?clock)[)\]]?(?=\W*$)"
)
"""`>6:00` behind steps: where dancers face."""
_SPLIT = re.compile(rf"(?i)\b(?!full)({SIZE})\s+((?!turn|wall)[a-z]{{4,}})\s+turn (?:to the )?(?={SIDED}\b)")
"""`1/2 shuffle turn R`: a shuffle that turns."""
_MAKES = re.compile(r"\s=\s*(\d|1[0-6])[.!\s]*$")
"""`walk fwd R L R kick L, walk back L R L touch R = 8`."""
_STROKES = re.compile(r"\([\d\s&,-]+(?:/[\d\s&,-]+)+\)")
"""`(1 2& 3 4& / 5-6)`: one row of counts."""
_DURING = re.compile(rf"(?i),?\s+w(?:/|ith)\s*(?:an? )?(sweep|ronde|drag|kick|hitch|flick) of (?:the )?(?={SIDED}\b)")
"""`R side w/ sweep of L`."""
_SWUNG = r"(?:in|out|left|right|L|R|cent(?:re|er)|ctr)\b"
_IN_A_ROW = re.compile(rf"(?i)\b((?:heel swivels?|swivel (?:both )?heels?) )({_SWUNG}(?:[ ,/]+{_SWUNG})+)")
"""`heel swivels out in out`."""
_HEEL_HOOK = re.compile(r"(?i)\b(heel) (hook) (heel) (?=(?:together|step|close|flick|touch|home|tog)\b)")
_HALF = re.compile(r"(?i)\bstep (?:1/2|\u00bd)(?=\s*(?:$|[,;/]|\s-))")
"""`step 1/2`, where no counts say otherwise: a step and a pivot."""
_HOUR = re.compile(
    r"^(\s*(?:&\s?\d{1,2}\s|\d{1,2}[:.)]?\s\s|\d(?=[\d\s]*[&,-])[\d\s&,-]*\s).*)([(\[])12([)\]])(?=\W*$)"
)
"""`5   L side [12]`: behind its counts, the last number of a line is a wall."""


_ENDS_AT = re.compile(r"(?:\(|(?<=\s\s\d)\s{2,}(?=\d+\s*$))(\d{1,2})\)?(\W*)$")
_TURNS = re.compile(rf"(?i){SIZE}|\b(?:turn|pivot|monterey)")
_BACK_ON = re.compile(
    rf"(?i)(\brock\b[^.;]*?,\s*(?:and\s+)?)back (?:on|onto|on to|over to|to) (?:the |your )?(?={SIDED}\b)"
)
"""`rock R out, back on to L`: the weight goes back, no foot does."""
_SHOULDER = re.compile(
    rf"(?i)({SIZE}(?: turn\w*)?)\b(?! (?:to the )?{SIDED}\b)"
    rf"([^,;/()]*?) (?:over|by) (?:the |your )?({SIDED}) shoulder\b"
)
"""`1/2 turn shuffle over R shoulder`: the way of the turn."""


_STEP = re.compile(
    r"(?i)(^\W*|[,;/|.]\s+|\s)(\d{1,2}(?:\s?[&-]\s?\d{1,2})*&?|&)(?:[.:)=-]\s?|\s+)(?=[a-z]|\d/\d|[\u00bc-\u00be])"
    r"(?!(?:counts?|cts?|beats?|bars?|walls?|times|x|more|o'?clock)\b|"
    r"(?!(?:[lr]f?|left|right|heels|toes|knees|hips)\b)(?:[a-z]+ )?(?!a?cross|press)[a-z]+s\b)"
)
"""A count before a step, and no number of things: `2 LF close`, `& R fwd`, but `2 stomps`."""
_OF_FOOT = re.compile(rf"(?i){FOOT}\b").match
_BOTH_FEET = re.compile(
    r"(?i)(^\W*|[,;&/)]\s*|\d[.:)]?\s+)(?:R\s?\+\s?L|L\s?\+\s?R|RF\s?\+\s?LF|LF\s?\+\s?RF|both feet|BF)\s+"
    rf"(?:((?:turn\w*\s+)?{SIZE})|(?=heels?\b|toes?\b|swivel|twist|bounce))"
)
"""`R+L 1/2 turn L`, `BF heels R`: what both feet do."""


_LABELLED = re.compile(r"(?i)(?:[^.;]{0,60}:|\W*(?:section|sect?|set|s|part|tag)?\s?[A-H]?\d{0,2})\W*").fullmatch


def _by_count(text: str, said: Callable[[str], int]) -> str:
    """Return a line in which a count stands before each step, and they go up one by one, with these in brackets."""
    marks: list[re.Match[str]] = []
    last, signed = 0, re.search(r"[,;/|.]\s+\d", text) is not None
    for found in _STEP.finditer(text):
        counts, sign = [int(each) for each in re.findall(r"\d+", found[2])], found[1].strip()
        if not (marks or _LABELLED(text[: found.start(2)])) or (not counts and not sign and signed):
            continue
        if counts and last and counts[0] != last + 1:
            if sign:
                return text  # a number that is no count
            continue
        if counts or sign or _OF_FOOT(text, found.end()):
            last = counts[-1] if counts else last
            marks.append(found)
    single = [each for each in marks[1:] if each[2].isdecimal()]
    behind = re.search(r"[(\[]\s*[\d&][\d\s&,-]*[)\]](?!\W*$)", text)  # counts stand behind the words
    if not single or behind or 2 * said(text) < len(marks):
        return text
    for each in reversed(marks):
        text = f"{text[: each.start(2)]}({each[2]}) {text[each.end() :]}"
    return text


def _walled(texts: list[str]) -> list[str]:
    """Return lines with the hours in which they end, `(6)`, as such, where each line that ends in a number in brackets
    turns, or has its length before it, `4  (9)`, also without brackets, and each is an hour of a wall."""
    ends = [(at, last) for at, text in enumerate(texts) if (last := _ENDS_AT.search(text))]
    lasts = re.compile(r"[A-Za-z)]\s+\d\s*$").search
    told = all(_TURNS.search(texts[at]) or lasts(texts[at][: last.start()]) for at, last in ends)
    if not told or not {last[1] for _, last in ends} <= {"3", "6", "9", "12"}:
        return texts
    out = list(texts)
    for at, last in ends:
        out[at] = f"{texts[at][: last.start()]}  ({last[1]}:00){last[2]}"
    return out


def _apart(text: str) -> str:
    """Return a line in which counts in the middle begin a row of their own."""
    text = re.sub(rf"(?i)^(\W*{UNITS} \w+ to \w+) you (?:do )?(?:an? )?(?=[a-z])", r"\1 ", text)
    text = _ARROW.sub(lambda found: f" \u2190 {found[1]}" if _CHANGES(found[1]) else f" ({found[1]})", text)
    text = re.sub(r"(?i)\s*\([^()]*\d[^()]*\b(?:and so on|etc\.?)\W*\)", "", text)  # how the counts are said
    text = re.sub(
        r"(?i)\b(?:(?:fcg|facing|face)|((?:you(?:'re| are|'ll be| will be)|ur)(?: now)? )(?:at|on)) "
        r"(12|3|6|9)(?:\.00)?\b(?![:\d/])(?! ?(?:o\b|o'|counts?|cts?|times))",
        lambda found: f"{found[1] + 'at' if found[1] else 'facing'} {found[2]}:00",
        text,
    )
    text = re.sub(r"\b8([A-H])\b", r"\1", re.sub(r"^(\s*)8([A-H])[.):]?\s+(?=\S)", r"\1\2) ", text))  # `8A`: an eight
    text = _SPLIT.sub(r"\2 \1 turn ", _FACED.sub(r" (\1:00)", text))
    if (makes := _MAKES.search(text)) and len(re.findall(r"[A-Za-z]+", text[: makes.start()])) > 4:
        text = f"{text[: makes.start()]} ({makes[1]} counts)"
    text = _STROKES.sub(lambda found: found[0].replace("/", " "), text)
    text = _STRAIGHT.sub(r"\1\3 [\2:00]", text)
    text = _BACK_ON.sub(r"\1recover onto ", text)
    text = _SHOULDER.sub(r"\1 \3\2", _DURING.sub(r", \1 ", text))
    text = _IN_A_ROW.sub(lambda found: found[1] + ", ".join(re.findall(r"\w+", found[2])), text)
    text = _HEEL_HOOK.sub(r"\1, \2, \3, ", text)
    text = text if _COUNTED.match(text) else _HALF.sub("step, pivot 1/2", text)
    text = _HOUR.sub(r"\1\g<2>12:00\3", text)
    text = re.sub(r"(?i)\bback to back\b", "backs to backs", text)  # no wall
    text = re.sub(r"(?i)\b((?:repeat|again) from) \(?1\)?(?=\W*$)", r"\1 the beginning", text)  # the first section
    text = re.sub(rf"(?i)\bfan (?:the|your|both) (?=(?:{SIDED} )?toes?\b)", "fan ", text)
    text = _STEPPED.sub(_stepped, _SHARED.sub(r", \3 turning \1 \2", text))
    text = re.sub(
        r"(?i)\bsame (?:again )?(?:with|on) (?:the|your) (left|right)(?: foot)?\s*[:-]\s*", r"\1 foot: ", text
    )
    text = re.sub(rf"(?i)\bturn (1/8|1/4|1/2)(?: to the)? ({SIDED}),? (?=weight\b)", r"pivot \1 \2, ", text)
    if (found := _MIRROR.match(text)) and int(found[3]) + 1 == int(found[2]):
        text = f"{found[1]}same, opposite foot{text[found.end() :]}"
    text = _AS.sub(r"repeat \1-\2", text)
    text = _THEN.sub(lambda found: found[1] and "; " if found[1].strip() else found[1], _SPOT.sub(r"; \1-\2 ", text))
    if (found := _AGAIN.match(text)) and found[5] == found[2]:
        middle, end = int(found[6]), int(found[3])
        if end - middle == middle - int(found[2]) + 1:
            return f"{found[1]}{found[2]}-{middle}{found[4]}; {middle + 1}-{end} {text[found.end() :]}"
    return text


_COUNTED = re.compile(r"^\W*\d[\d&a\s,-]*(?=[\s:.)])[\s:.)]*")


def _corrected(texts: list[str], said: Callable[[str], int], taken: Callable[[str], None]) -> list[str]:
    """Return lines without what they take back: the words before where those behind say as many steps, or all where the
    next line stands on the same counts; `said` is how many steps words say, `taken` is told of each."""
    out = list(texts)
    for at, text in enumerate(texts):
        found = RETRACTED.search(text)
        led = _COUNTED.match(text)
        start = led.end() if led else 0
        if not found or found.start() < start:
            continue
        before, behind = text[start : found.start()], text[found.end() :]
        inner = before.rfind("(") if before.count("(") > before.count(")") else -1
        following = next((_COUNTED.match(each) for each in texts[at + 1 :] if each.strip()), None)
        same = led and following and re.findall(r"\d+", led[0])[:1] == re.findall(r"\d+", following[0])[:1]
        if not led and inner < 0:
            continue
        if inner >= 0 and not said(before[inner:]):
            out[at] = f"{text[: start + inner]}({behind}"
        elif said(behind) >= max(1, said(before)):
            out[at] = text[:start] + behind
            taken(before)
        elif same and not re.search(r"\w", behind):
            out[at] = ""
            taken(before)
    return out


_MARK = re.compile(r"\s*([^\w\s]+[A-Z]{1,2}[^\w\s]+|[A-Z]{1,2}[*#+^]+)\s*(?:[=:-]+\s*)?(?=(?i:restart|rst|tag)\b)")
"""`*R* = Restart`."""


def _marked(texts: list[str]) -> list[str]:
    """Return lines with marks of letters that a line explains, at its beginning, as a star: they are no foot."""
    out = list(texts)
    for found in filter(None, map(_MARK.match, texts)):
        mark = re.compile(rf"(?<=[\])\d\s.:*]) ?{re.escape(found[1])}\s*$|^\s*{re.escape(found[1])}(?=\W)")
        out = [mark.sub(" (*)", text) for text in out]
    return out


_UNSIZED = re.compile(
    rf"(?i)\b(?:(?:with|and) (?:a |the )?turn|turn(?! ?,))(ing)?\b(?! ?(?:{SIZE}|{SIDED}|to|over|your|the)\b)"
)


def _sized(text: str) -> str:
    """Return a line of which one step turns, it isn't said how far, with the turn of the title before it: `Jazz box 1/4
    R: cross R, L back, R side with turn, L fwd`."""
    title = re.match(rf"(?i)^[^:;]*?\b({SIZE})(?: [a-z]+)?(?: to the)? ({SIDED})\b[^:;]*:\s(?=\D*,)", text)
    rest = text[title.end() :] if title else ""
    if not title or len(_UNSIZED.findall(rest)) != 1 or re.search(rf"(?i)\b{SIZE}\b", rest):
        return text
    turns = rf"turn\g<1> {title[1]} {title[2]}"
    return text[: title.end()] + _UNSIZED.sub(turns, rest)


_KEY = re.compile(r"(?i)^\W*(?:key|legend|abbrev\w*|short(?:hand| forms?))\b\W*(?:used\b\W*)?")
_STANDS = re.compile(r"\W*([A-Za-z]{1,6})\.?\s*(?:([=:-])\s*|\s)([A-Za-z][a-z' -]*)\W*")


def key_of(text: str, goes_on: bool = False) -> dict[str, str]:
    """Return what the abbreviations of a line that tells several stand for, `KEY  zk kick   zs side`, `zk = kick, zs =
    side`; {} for any other line. Without a label, or a key over them that `goes_on`, signs stand between all."""
    label = _KEY.match(text)
    cells = [each for each in re.split(r"\s{2,}|[,;|/.\t]\s*", text[label.end() if label else 0 :]) if each.strip()]
    found = [each for each in map(_STANDS.fullmatch, cells) if each and (label or goes_on or each[2] == "=")]
    said = [(each[1].casefold(), each[3].strip()) for each in found]
    told = {short: words for short, words in said if re.match(".*?".join(short), words.casefold())}  # its letters
    return told if len(told) + goes_on > 1 and 2 * len(told) > len(cells) else {}


def _keys(texts: list[str]) -> list[dict[str, str]]:
    """Return the key that each line is; under a label they go on, deeper, or at the margin where it stands alone."""
    out, label, alone = list[dict[str, str]](), False, False
    for text in texts:
        out.append(key_of(text, alone or (label and text[:1].isspace())))
        head = _KEY.match(text)
        alone = bool(head and head.end() == len(text)) or (alone and bool(out[-1]))
        label = bool(out[-1]) and (label or head is not None)
    return out


def spelled(texts: list[str], vocabulary: Vocabulary) -> list[str]:
    """Return lines in which the abbreviations that a key explains are written out, but for titles in capitals: those
    that are no foot and are read otherwise than their words, which are all known. Each line of a key has its label."""
    keys = _keys(texts)
    short = {each: words for key in keys for each, words in key.items() if len(each) > 1}
    for each, words in list(short.items()):
        own, meant = ([(*piece[:2], piece[2]) for piece in pieces(said, vocabulary)] for said in (each, words))
        if own == meant or "word" in {kind for kind, *_ in meant} or {kind for kind, *_ in own} & {"foot", "feet"}:
            del short[each]
    said = re.compile(rf"(?i)(?<![\w'/-])({'|'.join(sorted(short, key=len, reverse=True)) or '(?!)'})\b\.?(?!['/-]\w)")
    out = [text if text.isupper() else said.sub(lambda found: short[found[1].casefold()], text) for text in texts]
    labelled = [text if _KEY.match(text) or text.count("=") > 1 else f"Key:  {text.strip()}" for text in texts]
    return [line if key else text for text, line, key in zip(out, labelled, keys, strict=True)]


def written_out(texts: list[str], said: Callable[[str], int], taken: Callable[[str], None]) -> list[str]:
    """Return the lines of a description with what it writes short written out, each in its place.

    Args:
        texts: the lines.
        said: how many steps words say.
        taken: told of the words that are taken back.
    """
    whole = "\n".join(texts)
    out = [_RESTART.sub(r"\1Restart", _STILL.sub(_held, text)) for text in _walled(_marked(texts))]
    out = _corrected(out, said, taken)
    if size := _beats(whole):
        out = _barred(out, size)
        out = [re.sub(r"(?i)\b(forward|fwd|back|bk) basic\b", r"waltz basic \1", text) for text in out]
        out = [re.sub(r"(?i)(?<!waltz )\b(?=basic (?:forward|fwd|back|bk))", "waltz ", text) for text in out]
    if re.search(r"(?i)\bquick\b.*\bslow\b|\bQ ?= ?(?:1|one)\b", whole):
        out = [_OF_A_LINE.sub(r"\1", text) for text in out]
        out = [re.sub(r"\s*[(\[]([QS]+)[)\]]", _timed, text) for text in out]
    for at, text in enumerate(out):
        above = next((each for each in reversed(out[:at]) if each.strip()), "")
        led, feet = _COUNTED.match(above), [*_FEET.finditer(above)]
        if (found := _DITTO.match(text)) and feet:
            words = above[led.end() if led else 0 : feet[-1].start()]
            own = _FEET.match(text, found.end())
            rest = text[own.end() :] if own else ""
            out[at] = f"{found[1]}{words}{own[0] if own else ''}{rest}"
    out = [_BOTH_FEET.sub(lambda found: found[1] + (f"pivot {found[2]}" if found[2] else ""), text) for text in out]
    return [_by_count(_apart(_sized(text)), said) for text in out]
