"""The sequence of a routine: in which order its parts are danced; and which walls of a line dance a text names."""

import itertools
import re
from collections.abc import Callable, Sequence
from functools import lru_cache, partial

from stepcheck.pages.shorthand import key_of
from stepcheck.steps.vocabulary import plain
from stepcheck.steps.words import CLOSES, NUMBER, ORDINAL, TIMES, UNITS, number, ordinal

ORDER_WORD = re.compile(
    r"(?i)^\W*(?:(?:the\s+)?(?:(?:how )?it goes(?! \w+\W*$)|"
    r"(?:so )?(?:the )?(?:whole |entire )?(?:dance|thing|routine) goes|"
    r"sequence|seq|dance it|dance|phrasing|run through|routine(?=\s{2,}|\s*[:=])|do(?=\s*:)|"
    r"(?:running |dance |routine )?order(?: of (?:the )?(?:dance|parts|routine))?)\b\.?\s*"
    r"(?:[:=\-]|is\b|goes\b)?|we dance\b)\s*"
)
REMARK = re.compile(
    r"(?i)^\W*(?:p\.?\s?s\b\.?|n\.?b\b\.?|(?:\w+'s? )?(?:note|tip|hint)s?|remember|styling|watch(?: out)?|"
    r"(?:be )?careful|(?:please )?practi[cs]e|"
    r"(?:first,? )?(?:a )?(?:quick )?reminder|"
    r"(?:easy |easier )?(?:option|alternative|variation)s?|abbrev\w*\.?|key|legend)\s*[:.\s]"
)
"""`P.S.`, `Note:`, `Abbreviations:`."""
_SHORT_FOR = re.compile(
    r"(?:^|[,;.:(]\s*|\s[/|]\s+|\s{2,}|\b(?:that|where)\s+)\W*[\w./]{1,4}\s*=\s*(?:[a-z]|[A-Z]{4,})"
)

_STANDS_FOR = re.compile(r"(?:^\W*|\s/\s+)(?![LR]F?\b)[A-Z]{2,4} [a-z]{2,}[a-z ]*(?:\([a-z ]+\))?\s*(?=/\s|$)")
"""`DS double toe step / RS rock step`."""


def is_legend(text: str) -> bool:
    """Say whether a line says what several abbreviations stand for: `tog = together, bk = back`."""
    return len(_SHORT_FOR.findall(text)) > 1 or len(_STANDS_FOR.findall(text)) > 2 or bool(key_of(text))


_ENDING = re.compile(r"(?i)(?:,?\s*(?:and\s+)?at the end|[.;]\s+(?:end|finish)\s+with)\s+(.*?)\.?(?:\s+A \w+ is .*)?$")
_JOINED = re.compile(r"(?<![\w'])[A-H]{2,}(?![\w'])")
"""`AABAB`."""


def tokens(text: str, heads: Sequence[str] = ()) -> list[str]:
    """Return the words of a line of names, cut at spaces, commas, strokes and dashes; letters run together, `AABA`, are
    one name each, unless the word itself is one of the `heads`."""
    known = {word.casefold() for word in heads}
    apart = _JOINED.sub(lambda found: found[0] if found[0].casefold() in known else " ".join(found[0]), text)
    return [word for word in re.split(r"[\s,/\->.()|]+", apart.strip()) if word]


_SHORTENED = {word: "(?:break|brk|bk)" for word in ("break", "brk", "bk")} | {
    word: "(?:chorus|chor|cho)" for word in ("chorus", "chor", "cho")
}


def _words(name: str) -> list[str]:
    """Return the words, numbers and signs of a name."""
    return re.findall(r"[^\W\d]+|\d+|[^\w\s]", name)


def called(name: str) -> str:
    """Return a name of a part as a pattern: `brk1` is `Brk 1` and `Break 1` as well, and `V1` is `Verse 1`."""
    words = [re.escape(word) for word in _words(name)]
    if len(words) == 2 and words[1].isdecimal() and words[0].casefold() in ("v", "verse"):
        words[0] = "v(?:erse)?"
    return r"\s*".join(_SHORTENED.get(word.casefold(), word) for word in words)


_PART = re.compile(r"(?i)(?:part|section)\s+")
_BEHIND = (
    r"(?![\w'])(?:\s+(?:bit|part|section|half))?[~)=]*"
    r"(?:(?<=[)=])|\s*(?:[:.(\[~=,-]|$)|\s{2,}|\s+(?:same|as)\b|(?<=[a-z])\s+\d{1,3}\W*$)"
)
"""What stands behind a name that heads a part: a sign, or a gap."""
_SIGNED = re.compile(rf"(?i){_BEHIND}").match


@lru_cache(maxsize=1 << 12)
def _head(text: str) -> tuple[str, tuple[int, ...]]:
    """Return a line with plain signs, without what stands behind the count that it begins with, and where the name of a
    part may begin in it."""
    head = re.sub(r"^\W*\d+(?:[-&,]|\s{2}).*", "", plain(text))
    at = len(head) - len(re.sub(r"\W*", "", head, count=1))
    part = _PART.match(head, at)
    return head, (at, part.end()) if part else (at,)


def _stands(words: list[str], text: str, at: int) -> bool:
    """Say whether words stand at a place of a text, apart or not, and a sign or a gap behind them."""
    for word in words:
        at = len(text) - len(text[at:].lstrip())
        if text[at : at + len(word)].casefold() != word.casefold():
            return False
        at += len(word)
    return _SIGNED(text, at) is not None


def _begins(name: str, texts: list[str]) -> bool:
    """Say whether a line begins with a name, a sign or a gap behind it, as the head of a part does."""
    if name.casefold() in ("part", "section"):
        return False
    words, heads = _words(name), [*map(_head, texts)]
    if name[:1].isalnum() and called(name) == r"\s*".join(map(re.escape, words)):
        # without a pattern of its own, which takes longer to make than all lines to look at
        begun = [text for text, spots in heads if any(_stands(words, text, at) for at in spots)]
    else:
        said = re.compile(rf"(?i)\W*(?:(?:part|section)\s+)?{called(name)}{_BEHIND}")
        begun = [text for text, _ in heads if said.match(text)]
    alone = name.casefold()
    return any(len(tokens(text)) > 1 for text in begun) or any(
        text.strip(" ~.:").casefold() == alone for text, _ in heads
    )


_REMARKED = re.compile(r"(?i)(?<=\w)\s+(?:again|once more|(?:w/o|without|with|but|minus|no|then|only|last|first)\b.*)$")
"""What stands behind a name in a sequence: `Chorus again`, `Chorus w/o last line`."""
_CLOSES = re.compile(rf"(?i)(?:{'|'.join(CLOSES)})").fullmatch
_WAITS = re.compile(rf"(?i)(?<![a-z])(?:wait|intro)\s*[(:]?\s*{NUMBER}\b\s*{UNITS}?\)?[\s,|>-]*")
_TIMES = re.compile(rf"(?i)\s*(?<!\d){TIMES}|\([^()]*\)")


def _spoken(text: str, others: list[str]) -> list[str]:
    """Return the names that a line may list: the pieces between its signs where these are of several words, else its
    words."""
    bare = _TIMES.sub(" ", _WAITS.sub(" ", re.sub(r"\b1/2 ?(?=[A-Z])", " ", text)))
    pieces = [each.strip(" .") for each in re.split(r"[,;|>]|\s+[-/]+\s+|\s{3,}", bare)]
    pieces = [_REMARKED.sub("", each) for each in pieces if re.search(r"\w", each)]
    if len(pieces) > 2 and all(_CLOSES(each) or _begins(each, others) for each in pieces):
        return pieces
    return tokens(bare, [found[1] for other in others if (found := re.match(r"\W*(\w+)", other))])


_LETTERS = re.compile(r"(?<![\w(])[A-H]\*?(?:(?:\s*[,/>-]\s*|\s+)[A-H]\*?(?:\s?x\s?\d)?(?![\w'])){3,}")
"""`play A B A C B`: letters of parts in a row."""
_NEXT = re.compile(r"(?:\s*[,/>|-]+\s*|\s+)(\w+(?: \d\b)?)(?:\s?x\s?\d)?(?![\w'])")


def _row_of_names(text: str, named: Callable[[str], bool]) -> str:
    """Return the letters of parts that stand in a row in a line, with the names of parts behind them; "" for none."""
    begun = _LETTERS.search(text)
    end = begun.end() if begun else 0
    while begun and (more := _NEXT.match(text, end)) and (named(more[1]) or _CLOSES(more[1])):
        end = more.end()
    return text[begun.start() : end] if begun else ""


def names_parts(text: str, names: Sequence[str]) -> bool:
    """Say whether one of the pieces of a text begins or ends with the name of a part, or says it alone."""
    known = "|".join(map(called, names)) or "(?!)"
    pieces = re.split(r"[,;|>/()]|\s-+\s", _TIMES.sub(" ", text))
    return any(re.search(rf"(?i)^\W*(?:{known})\W*$|\w\s+(?-i:{known})\W*$", each) for each in pieces)


def named_in_order(texts: list[str]) -> tuple[tuple[str, ...], int]:
    """Return the names that the sequence of a description says, and the index of its line; (), -1 if it has none.

    The sequence is the line that begins with a word for it, else one of names only, of which each begins another line.
    """
    for labelled in (True, False):
        for index, text in enumerate(texts):
            said = plain(text)
            label = ORDER_WORD.match(said)
            if labelled != bool(label):
                continue
            others = texts[:index] + texts[index + 1 :]
            bare = said[label.end() :] if label else re.sub(r"^\W*[A-Za-z]+(?: [a-z]+)?\s*[:=]\s*", "", said)
            run = "" if label else _row_of_names(said, partial(_begins, texts=others))
            words = _spoken(bare, others)
            words = tokens(run) if run and not all(_begins(word, others) for word in words) else words
            begun = {word for word in words if _begins(word, others)}
            if len(words) < 3 or (label and len(begun) < 2):
                continue
            begun |= {word for word in words if begun and _CLOSES(word)}
            listed = label or not re.match(r"\W*\d+ [A-Za-z]{2}", bare)  # else how many there are: `1 restart, 1 tag`
            if label or (listed and begun == {*words} and (len(begun) > 1 or len(words) > 3)):
                return tuple(dict.fromkeys(word for word in words if word in begun)), index
    return (), -1


_ROW = re.compile(
    r"(?i)^\W*(?P<name>[a-z][\w']*(?: [\w']{1,8})?)(?P<often>\s*[x\u00d7]\s?\d|\s+twice)?"
    r"(?:\s*(?:[:.=]+|\s{2}|\t|\s-+\s|\()[\s.]*"
    r"(?:(?P<length>\d{1,3})\s*(?P<unit>bars?|beats?|counts?|cts?|b)?\b[).]*|(?P<right>[\w,& ]{1,24}?)))?[.\s]*$"
)
"""A row of a sequence down the page: `A   8 bars`, `Verse 1 ..... A`, `Chorus x2`."""


def stacked(texts: list[str]) -> tuple[range, str, dict[str, int]]:
    """Return the lines of a sequence down the page, it as one line, and the lengths that it says of parts."""
    for at, text in enumerate(texts):
        if not (label := ORDER_WORD.match(text)) or re.search(r"\w", text[label.end() :]):
            continue
        if listed := _numbered(texts, at + 1):
            return range(at, at + 1 + len(listed)), f"Order: {', '.join(listed)}", {}
        below = list(itertools.takewhile(lambda line: _names_only(line, texts), texts[at + 1 :]))
        below = [re.sub(rf"(?i),\s*(?=twice\b|x\s?\d|{NUMBER} times)", " ", line) for line in below]
        if below and sum(len(tokens(line)) for line in below) > 2:
            return range(at, at + 1 + len(below)), f"Order: {', '.join(below)}".replace("\t", " "), {}
    rows = [None if ORDER_WORD.match(text) else _ROW.match(plain(text)) for text in texts]
    bar = next((int(found[1]) for text in texts if (found := re.search(r"(?i)\bbar\s*=\s*(\d)\b", text))), 4)
    at = 0
    while at < len(texts):
        end = next((index for index in range(at, len(texts)) if not rows[index]), len(texts))
        for stop in range(end, at + 2, -1):
            said, lengths = _listed([row for row in rows[at:stop] if row], texts[:at] + texts[stop:], bar)
            if said:
                return range(at, stop), f"Order: {said}", lengths
        at = end + 1
    return range(0), "", {}


_NTH = re.compile(r"\W*(\d{1,2})[.):]\s*(?=[A-Za-z])")


def _numbered(texts: list[str], at: int) -> list[str]:
    """Return the parts of a numbered list that begins at a line, `1) A`, `2) B`, each of which begins with a name that
    begins another line; [] where it is no such list."""
    rows = [*itertools.takewhile(_NTH.match, texts[at:])]
    told = [(int(found[1]), row[found.end() :].strip(" .")) for row in rows if (found := _NTH.match(row))]
    others = texts[:at] + texts[at + len(rows) :]
    names = [_TIMES.sub("", re.split(r"[,(:;]|\s-\s", said)[0]).strip() for _, said in told]
    counted = [nth for nth, _ in told] == [*range(1, len(told) + 1)]
    named = all(_begins(name, others) or _CLOSES(name) for name in names)
    return [said for _, said in told] if len(told) > 2 and counted and named else []


def _listed(rows: list[re.Match[str]], others: list[str], bar: int) -> tuple[str, dict[str, int]]:
    """Return the names of rows that are a sequence, and the lengths of its parts; "" where they are none."""
    names: list[str] = []
    lengths: dict[str, int] = {}
    wait = ""
    for row in rows:
        size = int(row["length"] or 0) * (bar if (row["unit"] or "").casefold().startswith("bar") else 1)
        if row["name"].casefold() in ("wait", "intro") and size and not _begins(row["name"], others):
            wait = f"wait {size}, "
        elif row["right"]:
            names += re.split(r"\s*(?:,|&|\band\b)\s*", row["right"])
        else:
            names.append(row["name"])
            lengths |= {row["name"].casefold(): size} if size else {}
            names[-1] += row["often"] or ""
    bare = [_TIMES.sub("", name).strip() for name in names]
    plainly = len(names) > 2 and all(_begins(name, others) for name in bare)
    recurs = len({*map(str.casefold, bare)}) < len(bare)
    return (wait + ", ".join(names), lengths) if plainly and recurs else ("", {})


def _names_only(text: str, texts: list[str]) -> bool:
    """Say whether a line is nothing but names, each of which begins another line."""
    others = [other for other in texts if other != text]
    words = _spoken(plain(text), others)
    return bool(words) and all(_begins(word, others) for word in words)


REPEAT = re.compile(
    r"(?i)\brepeat\s+(?!from\b)(?:(?:all|the whole) of )?(?:part\s+)?(\w{1,8})\b|"
    r"^[\s~(]*(?:part\s+)?(\w{1,2})~?\s+again\b|\bwhole of (?:part )?(\w+) again"
)
"""The name of a part that is danced again."""

PART_LASTS = re.compile(
    r"(?i)\b(part [A-H1-9]|(?-i:[A-H])|[b-h]|tag|chorus|verse|bridge|break|ending)\b\s*"
    rf"(?:=\s*(?=\d{{1,3}}\s*(?:[,;.)]|$))|(?:is|has|[=:(-])?\s*(?=\d{{1,3}}\s*{UNITS}\b))(\d{{1,3}})"
    rf"(?:\s*{UNITS}\b)?[,;)]?"
)


def listed_lengths(text: str) -> bool:
    """Say whether a line tells the lengths of several parts."""
    return len(PART_LASTS.findall(text)) > 1


ON_WALLS = re.compile(
    rf"(?i)\b(?:walls?\s*#?\s*|w ?(?=\d+\b(?!/)))({NUMBER}(?:\s*(?:,|and|&|\+|\bn\b)\s*(?:walls?\s*|w(?=\d))?"
    rf"{NUMBER}\b(?!\s*(?:counts?|cts?|beats?|-\s*\d)))*)"
    rf"|\b({ORDINAL}(?:[\s,]*(?:,|and|&|\+|\bn\b)\s*(?:the\s+)?{ORDINAL})*)\s+(?:walls?|times?|pass(?:es)?|rounds?|rotations?)\b"
)


def walls_of(found: re.Match[str]) -> tuple[int, ...]:
    """Return the numbers of the walls that a match of `ON_WALLS` names: 3 and 5 of `walls 3 and 5`."""
    if found[1]:
        pairs = re.findall(rf"(?i)(?<![a-z]){NUMBER}|(?<=w){NUMBER}", found[1])
        return tuple(number(one or other) for one, other in pairs)
    return tuple(map(ordinal, re.findall(ORDINAL, found.groups()[-1].casefold())))


_OF_TIMES = re.compile(r"(?i)times?$")


def spots_of(text: str) -> list[tuple[tuple[int, ...], str]]:
    """Return the walls that a text names, each with the words that speak of it; those that a bracket names beside them
    are others: `wall 3 (walls 4 and 5 are sideways)`."""
    found = [*ON_WALLS.finditer(text)]
    found = [each for each in found if not _bracketed(text, each)] or found
    found = [each for each in found if each[1] or not _OF_TIMES.search(each[0])] or found  # times of numbered walls
    ends = [0]
    for one, other in itertools.pairwise(found):
        signs = [*re.finditer(r"[;,]|\band\b|&", text[one.end() : other.start()])]
        ends.append(one.end() + signs[-1].start() if signs else other.start())
    ends.append(len(text))
    return [(walls_of(each), text[begin:end]) for each, begin, end in zip(found, ends, ends[1:], strict=False)]


_GOES_ON = re.compile(
    r"(?i)(?:[\s,;.(]|\b(?:and|then|you|we|now|right|straight|before|go(?:ing)?|carry(?:ing)?|continu\w+|resum\w+|start\w*|"
    r"begin\w*|into|on|with|to|from|at|again|the)\b)*$"
)
_BEGUN = re.compile(r"(?i)\s*(?:starts?|begins?)\b")
_OWN_COUNTS = re.compile(
    rf"(?i)[\s,]*(?:(?:re)?(?:start|begin)s?\s+)?(?:(?:again|over|anew)\s+)?(?:after|at)\s+(?:count\s+)?{NUMBER}\b(?!:)"
)
"""Counts of a wall behind one that has its own: it is cut as well."""


_BEFORE = re.compile(
    rf"(?i)\bbefore\s+(?:(?:you|we)\s+)?(?:(?:start|begin)\w*\s+)?(?:the\s+)?"
    rf"(?:wall\s*#?\s*{NUMBER}|({ORDINAL})\s+(?:wall|time))\b"
)


_DANCED = re.compile(
    r"(?i)\b(?:when|once|after)\s+(?:(?:(?:you|we)(?:\s+have|'ve)?\s+)?(?:done|danced|did|finished|completed|had)\s+)?"
    rf"(?:the\s+first\s+)?{NUMBER}\s+(?:complete\s+|full\s+|whole\s+)?(?:walls|rounds|times\s+through)\b"
)
"""`when you have done three walls`."""
_NTH_TIME = re.compile(
    rf"(?i)(?:\b(?:ur|you're|you are|we're|facing|back|at|on|the|to)\s+)*(?:front|back|\d{{1,2}}:\d\d)(?: wall)? "
    rf"(?:for )?the {ORDINAL} time\b"
)
"""`at the front for the 2nd time`: how often a wall was there before, where the one that is spoken of begins."""


def going_on(text: str) -> str:
    """Return a text without the wall behind the one that it speaks of, where that is only where the dance goes on:
    `and go on with wall 3`, `wall 3 begins at the back`; before a wall is behind the one before it, and so many walls
    that are danced end with the last of them."""
    text = _NTH_TIME.sub(" ", text)
    for one, other in reversed([*itertools.pairwise(ON_WALLS.finditer(text))]):
        between, begun = text[one.end() : other.start()], _BEGUN.match(text, other.end())
        led = _GOES_ON.search(between)
        verbs = re.search(r"(?i)\b(?:before|into|(?:go|carr|contin|resum|start|begin)\w*)\b", led[0]) if led else None
        own = re.search(r"\d", text[: one.start()] + between) and _OWN_COUNTS.match(text, other.end())
        if walls_of(other) == (max(walls_of(one)) + 1,) and led and (verbs or begun) and not own:
            text = f"{text[: one.end() + led.start()]} {text[begun.end() if begun else other.end() :]}"
    text = _BEFORE.sub(lambda found: f"after wall {(number(found[1]) if found[1] else ordinal(found[2])) - 1}", text)
    cut = re.search(r"(?i)\bre-?start", text)  # of this wall, or of the next
    return text if cut else _DANCED.sub(lambda found: f"after wall {number(found[1])}", text)


def _bracketed(text: str, found: re.Match[str]) -> bool:
    return len(re.findall(r"[(\[]", text[: found.start()])) > len(re.findall(r"[)\]]", text[: found.start()]))


class Order:
    """The words of the sequence."""

    def __init__(self) -> None:
        self.said = ""
        self.wait = 0
        self.beside = ""

    def repeat(self, text: str) -> str:
        """Return the name of the part that a line says to dance again, "" if it names none."""
        found = REPEAT.search(text)
        return next(word for word in found.groups() if word) if found else ""

    def whole(self, text: str, names: list[str]) -> bool:
        """Take a line that is nothing but names of parts as the sequence; return whether it is."""
        known = {name.casefold() for name in names} | {"break", "end", "ending", "tag", "chorus"}
        text = re.sub(r"^\W*[A-Za-z]+(?: [a-z]+)?\s*:\s*", "", text)
        words = tokens(re.sub(r"\([^()]*\)|\bx\d", " ", text))
        if self.said or len(words) < 4 or not all(word.casefold() in known for word in words):
            return False
        self.said = text
        return True

    def take(self, text: str, names: Sequence[str] = ()) -> str:
        """Take the words of the sequence; return the cues that are danced at the end, "" if none are said."""
        said = ORDER_WORD.sub("", plain(text), count=1)
        named = {word.casefold() for word in tokens(said)} <= {name.casefold() for name in names}
        known = {name.casefold() for name in names}
        labelled = named or ORDER_WORD.match(plain(text))
        run = "" if labelled else _row_of_names(said, lambda word: word.casefold() in known)
        self.beside, said = (said.replace(run, ", "), run) if run else ("", said)
        waits = _WAITS.match(said)
        self.wait, self.said = number(waits[1]) if waits else 0, _WAITS.sub("", said, count=1) if waits else said
        if ending := _ENDING.search(self.said):
            self.said = self.said[: ending.start()]
            return ending[1]
        return ""
