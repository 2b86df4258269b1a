"""How a description is told: in which tradition; a letter, which tells it in sentences, is written out in lines."""

import itertools
import re
from collections.abc import Callable, Iterator

from attrs import evolve, frozen

from stepcheck.steps.vocabulary import plain
from stepcheck.steps.words import NUMBER, ORDINAL, UNITS, number, ordinal

LINE = re.compile(r"(?i)\bline danc|(?<!all )\b\d[ -]walls?\b")
_LINED = r"(?i)\b(?:pivots?|recover|coaster|sailor|sways?|struts?|shuffles?|chass\w+|jazz box|weight|cross)\b"
_CLOGGED = (
    r"(?i)\b(?:basic|triple|brush\w*|double|chain|charleston|fanc\w+|slur|clog-?over|chug|push[ -]?off|"
    r"samantha|outhouse|cowboy|donkey)s?\b"
)
"""Figures of one tradition and not of the other."""
_DOUBLE = r"\bDS(?=\b|x)|(?i:\b(?:dbl|double)[- ](?:toe[- ])?steps?\b)"
_CODES, _BEATS, _COUNTS = rf"{_DOUBLE}|\bRS(?=\b|x)", r"(?i)\bbeats?\b", r"(?i)\b(?:counts?|cts?)\b"


def tradition(text: str) -> str:
    """Return the tradition that a description belongs to, "clogging" or "line": cloggers write codes and beats."""
    if re.search(r"(?i)\bclog|\bappalachian\b|\bflat-?footing\b", text):
        return "clogging"
    codes, beats, counts = (len(re.findall(pattern, text)) for pattern in (_CODES, _BEATS, _COUNTS))
    clogged, lined = (re.findall(pattern, text) for pattern in (_CLOGGED, _LINED))
    spans = len(re.findall(r"(?m)^\W*\d{1,2}\s?[-&]\s?\d{1,2}\b", text))
    told = (
        (codes > 3 and re.search(_DOUBLE, text))
        or (beats > counts and (codes or len(clogged) >= len(lined) + (spans > 1)))
        or (len({each.casefold().rstrip("s") for each in clogged}) > 1 and len(clogged) > len(lined))
    )
    return "clogging" if told and (codes > 6 or not LINE.search(text) or len(clogged) > 3 * len(lined) + 3) else "line"


@frozen
class Told:
    """A line as a sheet would have it, with the lines of the source from `first` to `last` that tell it."""

    text: str
    first: int
    last: int


_LONG = 50  # letters that each line of running text but the last of its paragraph has at least
_OTHER = re.compile(r"^\s*(?:[-*\u2022>|#]|\d{1,2}\s*[-&.):])|\S(?:\t|\s{3,}|\s\|)")
"""What running text has not: bullets, counts, columns."""
_SHORT = re.compile(rf"\s*|(?!.{{{_LONG}}}).*[.,!?]\s*")
_STOP = re.compile(r"(?<![.\s][A-Z])(?<!\b[MD]r)(?<!\bMrs)(?<!\bSt)[.!?][\"')]*\s+(?=[\"(]?[A-Z])|[()]")
_N = NUMBER.replace("(", "(?:", 1)
_KIND = r"(?:chorus|verse|bridge|break|intro(?:duction)?|interlude|ending|tag|coda|finale)"
_EIGHT = rf"(?:(?:four|six|eight|twelve|sixteen|[468])(?:\s+{UNITS})?)(?!\s+(?!is\b|has\b)[a-z]+s\b)"
_NAMES = (
    r"(?:part\s+)?(?-i:[A-H])\d?(?![\w'])(?:\s+(?:part|music|section|tune)\b)?|"
    rf"{ORDINAL}\s+(?:(?-i:[A-H])(?![\w'])|(?:part|one|step|section|verse|chorus|break|{_EIGHT})(?!\w))|"
    rf"{ORDINAL}(?=\s+(?:is|has)\b)|(?:last|final|next)\s+(?:part|section|{_EIGHT})(?!\w)|"
    rf"{_KIND}(?:\s+(?:\d|one|two|three))?(?!\w)|section\s+{_N}(?!\w)|{UNITS}\s+{_N}\s*(?:to|-|through)\s*{_N}(?!\w)"
)
_ARTICLE = r"(?:(?:the|our|your|an?|another)\s+)?"
_PLACE = rf"(?i){_ARTICLE}(?P<place>{_NAMES})"
_LEAD = (
    r"(?i)\W*(?:(?:then|and|next|now|so|finally|lastly|first of all|after (?:that|this|it)|to (?:finish|end))\b,?\s*)*"
    rf"(?:after\s+{_ARTICLE}(?:{_NAMES}),?\s+)?"
)
_WE = r"(?:(?:we|you)\s+)?"
_HEAD = re.compile(
    rf"{_LEAD}(?P<front>(?:for|in|on|during|over)\s+|(?:there(?:'s| is| are)|comes?|it's|(?:we|you) have|"
    rf"(?:which|that) brings us to|(?:we|you) (?:come|go on|move on) to)\s+)?{_PLACE[4:]}"
)
_JOIN = re.compile(
    rf"(?i)(?:\s*[,:;-]+|\s*\(?(?:\b(?:of|is|are|has|lasts|which is)\s+)?(?:also\s+)?\b(?P<length>{_N})\s*{UNITS}"
    r"\b\)?(?:\s+(?:long|as well|too|also|altogether)\b)*(?=\s*[,:;.]|\s+(?:in which|where|and|is|has)\b|$)|"
    r"\s+(?:and|so|also|(?:where|in which)(?: (?:you|we) move(?=:))?|which|made up of|like (?:this|so)|comes? next|"
    r"(?:begin|start|open)s with|consists of|(?:there|it) (?:is|are)|it's|we|you|everyone|everybody|they|all|just|"
    r"simply|do(?:es)?|dances?|takes?|have|has|goes?|is|are)(?![\w'-]))*\s*"
)
"""What joins the name of a part and what is danced in it, and how long it is."""
_NO_HEAD = re.compile(rf"{_PLACE}\W*(?:$|,|and\b|then\b|again\b)|(?:once|twice|again|{_N} times)\b")
_SAME = re.compile(
    r"(?i)(?:is\s+)?(?:just |exactly )?(?:the\s+)?(?:same as|same|like|as)"
    rf"(?: (?:as )?(?:before|above|(?:in )?(?:the|your) (?P<nth>{ORDINAL})(?: time)?(?: (?:through|round))?))?(?!\w)"
)
_WHOLLY = re.compile(r"(?i)\W*\b(?:all of it|exactly|throughout|all through|again|in full)\b")
_ROUND = re.compile(
    rf"{_LEAD}(?:(?:on|for|in)\s+)?(?:the\s+)?(?P<nth>{ORDINAL})\s+time(?:\s+(?:through|round|around|over)\b)?\W*(?P<rest>.*)$"
)
_EACH = re.compile(
    rf"(?i)\W*(?:\band\s+)?(?:\beach(?: (?:one|part))?(?: of (?:them|these))? (?:is|has|lasts)\s+(?P<n>{_N})\s*{UNITS}|"
    rf"\b(?P<m>{_N})\s*{UNITS}\s+(?:(?:to|for|in)\s+)?each)(?: (?:one|part|of (?:them|these)))?(?!\w)"
)
"""How long every part is: `AABB, sixteen beats to each`."""
_AGAIN = rf"{_ARTICLE}(?:{_NAMES}) (?:again|once more)"
_REPEATED = re.compile(
    rf"{_LEAD}{_WE}(?:(?:do|dance|repeat|have)\s+)?({_AGAIN}(?:,?\s+(?:(?:and|then)\s+)*{_AGAIN})*)\W*"
)
_BEGUN = re.compile(rf"(?i)\W*(?:we|you|it|the dance) (?:all )?(?:start|begin|open)s? (?:off )?with (?=(?:an?|{_N})\s)")
_ENDED = re.compile(rf"{_LEAD}{_WE}(?:finish|end)(?:\s+(?:up|off|it))?\s+with\s+")
_CLAUSE = re.compile(
    r"(?i)\s*;\s+|,?\s+and\s+(?=(?:end|finish)(?:\s+(?:up|off))?\s+with\b)|,?\s+(?:and\s+)?then\s+(?=go back to\b)|"
    r",?\s+and\s+(?:then\s+)?(?=(?:you|we)\s+(?:begin|start)\b)|(?:(?<=beats)|(?<=counts)),\s+(?:(?:and|then)\s+)*(?=[a-z])|"
    r",\s+(?:(?:and|then)\s+)*(?=(?:do\s+)?(?:all of it|(?:all (?:of )?)?that|the same)\b[^,]*\b(?:again|foot)\b)|"
    r",?\s+and\s+(?=(?-i:[A-H])\d? (?:is|has)\b)|,\s+(?=(?:left|right)(?: foot)? then (?:left|right)(?: foot)?\W*$)"
)
"""Where what is a sentence of its own begins within one."""
_ASIDE = re.compile(r"(?i),?\s+(?:so (?:as to|that)|in order to|in case|because|as you (?:know|remember))\b[^.;:()]*$")
_ASKED = re.compile(
    rf"{_LEAD}(?:(?:we|you|it|everyone) (?:do(?:es)?|dances?|have|takes?|(?:start|begin)s?(?: off)? with)|comes?|do|"
    rf"there (?:is|are))\s+(?=(?:an?|{_N})\b(?!.*\bwalls?\b))"
)
"""With what a sentence asks for a cue: `After that there are two lock steps`."""
_SPELLED = re.compile(
    r"(?i)(?:^|[,;:]?\s+)(?:and\s+)?(?:by that (?:I|we) mean|that(?:'s| is| means)|which means)\s+(?=\w+-step)"
)
_CLOSING = re.compile(
    r"(?i)\s*(?:(?:with |much |lots of )*love|cheers|(?:all )?(?:best|good) wishes|(?:all the )?best|yours|"
    r"(?:kind |warm )?regards|see you|thanks|ta|happy danc\w+|bye)\b"
)


def _paragraphs(texts: list[str]) -> Iterator[tuple[int, list[str]]]:
    """Yield the paragraphs of a text, which short lines with a stop end too, each with the number of its first line."""
    start = 0
    for at in range(1, len(texts) + 1):
        if at == len(texts) or not texts[at].strip() or _SHORT.fullmatch(texts[at - 1]):
            yield start + 1, texts[start:at]
            start = at


def _running(lines: list[str]) -> bool:
    """Say whether a paragraph is running text: hard-wrapped, or a line of several words that ends."""
    if any(map(_OTHER.search, lines)) or any(len(line) < _LONG for line in lines[:-1]):
        return False
    return len(" ".join(lines).split()) > 4 and (lines[-1].rstrip()[-1:] in ".!?" or len(lines) > 1)


def _sentences(lines: list[str], start: int) -> list[Told]:
    """Return the sentences of a paragraph of running text, which begins on the line `start`."""
    text, cuts, depth = "\n".join(plain(line).strip() for line in lines), [0], 0
    for found in _STOP.finditer(text):
        depth = max(0, depth + {"(": 1, ")": -1}.get(found[0], 0))
        cuts += [found.end()] if len(found[0]) > 1 and not depth else []
    return [
        Told(" ".join(text[a:b].split()), start + text.count("\n", 0, a), start + text[:b].rstrip().count("\n"))
        for a, b in itertools.pairwise([*cuts, len(text)])
    ]


def _name(place: str) -> str:
    """Return how a part is called at its head: `A1` for `first A`, `Section 5` for `fifth section`."""
    said = re.sub(
        r"(?i: (?:music|tune)$|^part (?=(?-i:[A-H])))|(?<=\b[A-H]) (?:part|section)$", "", " ".join(place.split())
    )
    if nth := re.fullmatch(rf"(?i)({ORDINAL}) ([A-H]|section|step)", said):
        return f"{nth[2].capitalize()}{' ' * (len(nth[2]) > 1)}{ordinal(nth[1])}"
    said = re.sub(rf"(?i)^({ORDINAL})(?: one)?$", r"\1 part", re.sub(r"(?<!to) 8\b.*$", " eight", said))
    return said[:1].upper() + said[1:]


class Letter:
    """A letter while it is written out: `says` tells whether a text says anything of a dance, `lined` whether it is a
    line dance; `out` are its lines, `told` its heads, `rounds` the parts of each time through, `size` is how long each
    is, `ends` what stands below it; `dense` says that a paragraph tells several parts."""

    def __init__(self, texts: list[str], says: Callable[[str], bool], lined: bool) -> None:
        self.says, self.lined = says, lined
        self.out: list[Told] = []
        self.told: list[str] = []
        self.rounds: list[list[str]] = []
        self.ends: list[str] = []
        whole = plain(" ".join(texts))
        self.names = {_name(found["place"]) for found in re.finditer(_PLACE, whole)}
        self.size = self.above = 0
        self.dense = lined
        for start, lines in _paragraphs(texts):
            self._read(start, lines)
        if len(self.rounds) > 1:
            order = ", ".join(itertools.chain(*self.rounds))
            self.out[:0] = [Told(f"Sequence: {order}", 1, 1), Told("", 1, 1)]

    def _read(self, start: int, lines: list[str]) -> None:
        """Write out a paragraph."""
        self.above = len(self.told)
        closes = self.told and (self.ends or _CLOSING.match(lines[0]))
        self.ends += filter(str.strip, lines) if closes else ()
        raw = [Told("" if closes else text, at, at) for at, text in enumerate(lines, start)]
        if closes or not _running(lines):
            self.out += raw
            return
        said = _sentences(lines, start)
        heads = sum(self._headed(each.text) is not None for each in said)
        if self.lined and heads < 2:
            head = self._headed(" ".join(each.text for each in said))
            text = f"{head[0]}: {head[2]}" if head and not head[1] else ""
            self.told += [head[0]] if head else []
            self.out += [Told(text, start, start + len(lines) - 1)] if text else raw
            return
        for told in said:
            text = re.sub(rf"(?i)(?<=section ){_N}", lambda at: str(number(at[0])), told.text.rstrip(" ."))
            aside = _ASIDE.search(text)
            beside = aside[0] if aside and not self.says(aside[0]) else ""
            for each in _CLAUSE.split(text.removesuffix(beside)):
                self._clause(evolve(told, text=each))
            self._put(told, f"({beside.strip(' ,')})")

    def _clause(self, told: Told) -> None:
        """Write out a sentence, or a clause that could be one."""
        text, nth = told.text, _ROUND.match(told.text)
        closes = self.above == len(self.told) or self.out[-1].text.endswith(" again.")  # no part is being told
        if nth and self._round(told, ordinal(nth["nth"]), nth["rest"]):
            return
        if found := _REPEATED.fullmatch(text):
            for each in re.finditer(_PLACE, found[1]):
                self._put(told, f"{_name(each['place'])} again.")
                self.rounds[-1:] = [[*names, _name(each["place"])] for names in self.rounds[-1:]]
        elif head := self._headed(text):
            self._head(told, *head)
        elif not self.told and (found := _BEGUN.match(text)):
            self._head(told, "Opening part", 0, text[found.end() :])
        elif self.told and closes and (found := _ENDED.match(text)):
            part = re.match(_PLACE, rest := text[found.end() :])
            self._put(told, f"{_name(part['place'])}{rest[part.end() :]}" if part else f"To end, {rest}")
        elif found := _EACH.search(text):
            self.size = number(found["n"] or found["m"])
            self._put(told, f"{text[: found.start()]}{text[found.end() :]}")
        else:
            self._cues(told, text)

    def _put(self, told: Told, text: str) -> None:
        """Write a line."""
        self.out += [evolve(told, text=text)] * bool(re.search(r"\w", text))

    def _headed(self, text: str) -> tuple[str, int, str] | None:
        """Return the part that a sentence tells, its length, 0 if it says none, and what is danced in it."""
        found = _HEAD.match(text)
        joined = _JOIN.match(text, found.end()) if found else None
        if not found or not joined or not (found["front"] or joined[0].strip()) or joined[0].startswith(" and "):
            return None
        if re.search(rf"(?i)\bwalls? {_N}\b", text):
            return None  # where a tag is
        rest, name = text[joined.end() :], _name(found["place"])
        unread = self.told and (self.size or len(name) < 3)  # beside parts that are read
        if _NO_HEAD.match(rest) or not (joined["length"] or self.says(rest) or unread):
            return None
        return f"{name}1" if f"{name}2" in self.names else name, number(joined["length"] or "0"), rest

    def _head(self, told: Told, name: str, length: int, rest: str) -> None:
        """Write the head of a part, and what is danced in it."""
        same = _SAME.match(rest)
        if len(self.rounds) > 1 and name in self.rounds[0]:
            if same and not re.search(r"\w", rest[same.end() :]):
                self.rounds[-1].append(name)
                return self._put(told, f"({name} {rest})")
            name = f"Round {len(self.rounds)} {name}"
        self.dense |= len(self.told) > self.above
        self.told.append(name)
        self.rounds[-1:] = [[*names, name] for names in self.rounds[-1:]]
        lasts = f" ({length or self.size})" * bool(length or self.size)
        self.out.append(Told("", told.first, told.first))
        if not self.says(rest):
            return self._put(told, f"{name}{lasts}: {rest}")
        beside = self.lined or (lasts and not re.search(rf"(?i)\b{UNITS}\b", rest))  # else they would be the part's
        self._put(told, f"{name}{lasts}:" * (not beside))
        return self._cues(told, f"{name}{lasts}: {rest}" if beside else rest)

    def _round(self, told: Told, nth: int, rest: str) -> bool:
        """Begin the `nth` time through a dance that is told time by time, or dance an earlier one again."""
        same, head = _SAME.match(rest), self._headed(rest)
        rounds = self.rounds or [[*self.told]] * (nth == 2)
        again = same and same["nth"] and ordinal(same["nth"]) < nth
        if nth != len(rounds) + 1 or (rest and not (again or head)):
            return False
        self.rounds = [*rounds, []]
        if same and again:
            names, more = rounds[ordinal(same["nth"]) - 1], _WHOLLY.sub("", rest[same.end() :]).strip(" ,")
            changed = [each for each in names if re.search(rf"\b{each}\b", more)] or names * bool(more)
            changed = changed[-1:] if re.search(r"(?i)\blast\b", more) else changed
            lasts = f" ({self.size})" * bool(self.size)
            for each in changed:
                self._put(told, f"Round {nth} {each}{lasts}: same as {each}, {more}.")
            self.rounds[-1] = [f"Round {nth} {each}" if each in changed else each for each in names]
        elif rest:
            self._clause(evolve(told, text=rest))
        return True

    def _cues(self, told: Told, text: str) -> None:
        """Write what a sentence tells; footwork behind the cue that it explains is a line of its own."""
        asked = _ASKED.match(text)
        text = text[asked.end() :] if asked else text
        for each in _SPELLED.sub("\nThat is ", text).split("\n"):
            self._put(told, f"{each[:1].upper()}{each[1:].rstrip(' .,')}.")


def written_out(texts: list[str], says: Callable[[str], bool], lined: bool) -> tuple[list[Told], list[str]]:
    """Return the lines of a letter as a sheet would have them, and what closes it; other texts as they stand.

    A text is a letter where half of it is running text, and a paragraph of it tells several parts, or all of it
    tells several sections of a line dance.
    """
    sizes = [(len("".join(lines)), _running(lines)) for _, lines in _paragraphs(texts)]
    half = 2 * sum(size for size, running in sizes if running) >= sum(size for size, _ in sizes) > 0
    letter = Letter(texts, says, lined) if half else None
    if letter and letter.dense and len(letter.told) > 1:
        return letter.out, letter.ends
    return [Told(text, at, at) for at, text in enumerate(texts, 1)], []


_KINDS = ("open", "blank", "steps", "order", "heading", "fact", "remark")
"""What a line is read as, the first of these that anything on it is."""


def kinds_of(read: list[tuple[int, str, str]], lines: list[Told]) -> dict[int, str]:
    """Return what the lines of the source are read as, by their numbers."""
    out: dict[int, str] = {}
    for spot, kind, _ in read:
        for at in range(lines[spot - 1].first, lines[spot - 1].last + 1):
            out[at] = min(kind, out.get(at, kind), key=_KINDS.index)
    return out
