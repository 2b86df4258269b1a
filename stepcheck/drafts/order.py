"""The sequence of a routine: in which order its parts are danced."""

import re
from collections.abc import Sequence

from stepcheck.drafts.numbers import NUMBER, number
from stepcheck.drafts.vocabulary import plain

ORDER_WORD = re.compile(
    r"(?i)^\W*(?:(?:the\s+)?(?:sequence|seq|dance it|dance|phrasing|run through|routine(?=\s{2,}|\s*[:=])|do(?=\s*:)|"
    r"(?:running |dance |routine )?order(?: of (?:the )?(?:dance|parts|routine))?)\b\s*"
    r"(?:[:=\-]|is\b|goes\b)?|we dance\b)\s*"
)
REMARK = re.compile(
    r"(?i)^\W*(?:p\.?\s?s\b\.?|n\.?b\b\.?|note|tip|hint|remember|styling|"
    r"(?:easy |easier )?(?:option|alternative|variation)s?|abbrev\w*\.?|key|legend)\s*[:.\s]"
)
"""`P.S.`, `Note:`, `Abbreviations:`."""
_SHORT_FOR = re.compile(r"(?:^|[,;.:(]\s*|\b(?:that|where)\s+)\W*[\w./]{1,4}\s*=\s*[a-z]")


def is_legend(text: str) -> bool:
    """Say whether a line says what several abbreviations stand for: `tog = together, bk = back`."""
    return len(_SHORT_FOR.findall(text)) > 1


_UNKNOWN = re.compile(r"[A-Z]|\d|[A-Z]{2,}|Chorus|Break|Bridge|Tag|Ending|Intro|Verse")
_ENDING = re.compile(r"(?i)(?:,?\s*(?:and\s+)?at the end|[.;]\s+(?:end|finish)\s+with)\s+(.*?)\.?(?:\s+A \w+ is .*)?$")


_JOINED = re.compile(r"(?<![\w'])[A-H]{2,}(?![\w'])")
"""`AABAB`."""


def tokens(text: str, heads: Sequence[str] = ()) -> list[str]:
    """Return the words of a line of names, cut at spaces, commas, strokes and dashes; letters run together, `AABA`, are
    one name each, unless the word itself is one of the `heads`."""
    known = {word.casefold() for word in heads}
    apart = _JOINED.sub(lambda found: found[0] if found[0].casefold() in known else " ".join(found[0]), text)
    return [word for word in re.split(r"[\s,/\->.()]+", apart.strip()) if word]


def _begins(word: str, texts: list[str]) -> bool:
    """Say whether a line begins with a word, a sign or a gap behind it, as the head of a part does."""
    said = re.compile(
        rf"(?i)^\W*(?:(?:part|section)\s+)?{re.escape(word)}(?![\w'])(?:\s+(?:bit|part|section|half))?[~)]*(?:(?<=\))|\s*(?:[:.(\[~=,-]|$)|\s{{2,}}|(?<=[a-z])\s+\d{{1,3}}\W*$)"
    )
    if word.casefold() in ("part", "section"):
        return False
    return any(
        (said.match(text) and len(tokens(text)) > 1) or text.strip(" ~.:").casefold() == word.casefold()
        for text in texts
    )


def _heads(name: str, text: str) -> bool:
    """Say whether a line is nothing but a name, and its length perhaps."""
    said = re.fullmatch(rf"(?i)\W*{re.escape(name)}\W*(?:\d{{1,3}}\s*(?:beats?|counts?)?)?\W*", text)
    return bool(name) and said is not None


def named_in_order(texts: list[str]) -> tuple[str, ...]:
    """Return the names that the sequence of a description says, () if it has none.

    The sequence is the line that begins with a word for it, else one of names only, of which each begins another line.
    """
    for index, text in enumerate(texts):
        listed = re.sub(r"^\W*[A-Za-z]+(?: [a-z]+)?\s*[:=]\s*", "", plain(text)).split(",")
        names = [re.sub(rf"(?i)\s+(?:x\s?\d|{NUMBER} times|twice)\W*$", "", each) for each in listed]
        names = [name.strip(" .") for name in names]
        others = texts[:index] + texts[index + 1 :]
        several = len(names) > 2 and any(" " in name and not name.casefold().startswith("part ") for name in names)
        if several and all(any(_heads(name, other) for other in others) for name in names):
            return tuple(dict.fromkeys(names))
    for labelled in (True, False):
        for index, text in enumerate(texts):
            label = ORDER_WORD.match(plain(text))
            others = texts[:index] + texts[index + 1 :]
            bare = plain(text)[label.end() if label else 0 :]
            begun_by = [found[1] for other in others if (found := re.match(r"\W*(\w+)", other))]
            words = tokens(re.sub(r"\([^()]*\)|\bx\d|^\W*[A-Za-z]+(?: [a-z]+)?\s*:", " ", bare), begun_by)
            if labelled == bool(label) and len(words) >= 3:
                begun = {word for word in words if _begins(word, others)}
                if (label and len(begun) >= 2) or (
                    not label and begun == set(words) and (len(begun) > 1 or len(words) > 3)
                ):
                    return tuple(dict.fromkeys(word for word in words if word in begun))
    return ()


REPEAT = re.compile(
    r"(?i)\brepeat\s+(?:part\s+)?(\w{1,8})\b|^[\s~(]*(?:part\s+)?(\w{1,2})~?\s+again\b|\bwhole of (?:part )?(\w+) again"
)
"""The name of a part that is danced again."""


_FIRST = re.compile(
    r"(?i)\s*[(,]?\s*(?:(?:(?:first|only|just)\s+)+|(?<=\()(?:counts?\s+|beats?\s+)?1\s*-\s*)(\d{1,3})"
    r"(?:\s+(?:beats?|counts?))?(?:\s+only)?\s*\)?"
)


class Order:
    """The words of the sequence, and the parts that they name; `unit` is count or beat."""

    def __init__(self, unit: str = "beats") -> None:
        self.said = ""
        self.unit = unit
        self.left = ""

    def repeat(self, text: str) -> str:
        """Return the name of the part that a line says to dance again, "" if it names none."""
        found = REPEAT.search(text)
        return next(word for word in found.groups() if word) if found else ""

    def whole(self, text: str, names: list[str]) -> bool:
        """Take a line that is nothing but names of parts as the sequence; return whether it is."""
        known = {name.casefold() for name in names} | {"break", "end", "ending", "tag", "chorus"}
        text = re.sub(r"^\W*[A-Za-z]+(?: [a-z]+)?\s*:\s*", "", text)
        words = tokens(re.sub(r"\([^()]*\)|\bx\d", " ", text))
        initials = {name[0].casefold(): name for name in names}
        if len(initials) == len({*names}) > 1 and all(word.casefold() in initials for word in words):
            text = " ".join(words := [initials[word.casefold()] for word in words])  # `I V C V C`
        if self.said or len(words) < 4 or not all(word.casefold() in known for word in words):
            return False
        self.said = text
        return True

    def take(self, text: str) -> str:
        """Take the words of the sequence; return the cues that are danced at the end, "" if none are said."""
        self.said = ORDER_WORD.sub("", plain(text), count=1)
        if ending := _ENDING.search(self.said):
            self.said = self.said[: ending.start()]
            return ending[1]
        return ""

    def danced(self, parts: list[str]) -> list[str]:
        """Return the parts in order, each with its times; `left` is then what is behind the first that can't be read.

        A name that no part has stays where it looks like one: the check will say that there is no such part.
        """
        names = sorted(parts, key=len, reverse=True)
        out: list[str] = []
        known = {name.casefold() for name in names}
        rest = _JOINED.sub(
            lambda found: found[0] if found[0].casefold() in known else " ".join(found[0]), self.said
        ).strip(" .")
        while rest := rest.lstrip(" ,;/.\t-–()>"):
            name = next((each for each in names if re.match(rf"(?i){re.escape(each)}\b", rest)), "")
            size = len(name)
            found = re.match(r"(?i)(?:part\s+)?([A-Za-z]\w*|\d+)", rest)
            if not name and not found:
                rest = rest[1:]
                continue
            if not name and found:
                short = found[1].casefold()
                called = (short, f"part {short}", *(["ending"] if short in ("end", "finish", "finale") else []))
                name = next((each for each in names if each.casefold() in called), "")
                size = found.end()
                if not name and not _UNKNOWN.fullmatch(found[1]):
                    self.left = rest
                    break
                name = name or found[1]
            rest = rest[size:]
            if often := re.match(rf"(?i)\s*(?:[x×]\s*(\d{{1,2}})\b|{NUMBER} times\b|(twice)\b)", rest):
                rest = rest[often.end() :]
            times = 2 if often and often[3] else number(often[1] or often[2]) if often else 1
            out.append(f"{name} x{times}" if times > 1 else name)
            if cut := _FIRST.match(rest):
                out[-1] += f", first {cut[1]} {self.unit}"
                rest = rest[cut.end() :]
            if often := re.match(rf"(?i)\W*{NUMBER}\s+times(?:\s+(?:through|over|in all))?\W*", rest):
                out *= min(number(often[1]), 12)
                rest = rest[often.end() :]
            if dot := re.match(r"\.\s+[A-Z]", rest):
                self.left = rest[dot.start() + 1 :].strip()
                break
        return out
