"""The sequence of a routine: which parts are danced, in which order, and how often."""

import re

from stepcheck.drafts.words import plain

SEQUENCE = re.compile(
    r"^\W*(?:(?:sequence|seq|order|dance order|routine order|dance)\b\s*[:=\-]?|we dance\b|the order is\b)\s*",
    re.IGNORECASE,
)
_ORDERED = re.compile(r"[A-H]|part|break|chorus|tag|bridge|verse|end(?:ing)?|x\d", re.IGNORECASE)
_UNKNOWN = re.compile(r"[A-Z]|\d|[A-Z]{2,}|Chorus|Break|Bridge|Tag|Ending|Intro|Verse")
_ENDING = re.compile(r",?\s*(?:and\s+)?at the end\s+(.*?)\.?(?:\s+A \w+ is .*)?$")


def tokens(text: str) -> list[str]:
    """Return the words of a line of names, cut at spaces, commas, strokes and dashes."""
    return [word for word in re.split(r"[\s,/\-]+", text.strip()) if word]


def line_of(text: str) -> str:
    """Return the line of a description that holds its sequence, "" if none does."""
    lines = text.split("\n")
    bare = (line for line in lines if len(tokens(line)) > 3 and all(_ORDERED.fullmatch(word) for word in tokens(line)))
    return next((line for line in lines if SEQUENCE.match(line)), next(bare, ""))


class Order:
    """The words of the sequence, and the parts that they name."""

    def __init__(self) -> None:
        self.said = ""
        self.left = ""

    def whole(self, text: str, names: list[str]) -> bool:
        """Take a line that is nothing but names of parts as the sequence; return whether it is."""
        known = {name.casefold() for name in names} | {"break", "end", "ending", "tag", "chorus"}
        words = tokens(text)
        if self.said or len(words) < 4 or not all(word.casefold() in known for word in words):
            return False
        self.said = text
        return True

    def take(self, text: str) -> str:
        """Take the words of the sequence; return the cues that are danced at the end, "" if none are said."""
        self.said = SEQUENCE.sub("", plain(text), count=1)
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
        rest = self.said.strip(" .")
        while rest := rest.lstrip(" ,;/.\t-–()>"):
            name = next((each for each in names if re.match(rf"{re.escape(each)}\b", rest, re.IGNORECASE)), "")
            size = len(name)
            found = re.match(r"(?:part\s+)?([A-Za-z]\w*|\d+)", rest, re.IGNORECASE)
            if not name and not found:
                rest = rest[1:]
                continue
            if not name and found:
                short = found[1].casefold()
                name = next((each for each in names if each.casefold() in (short, f"part {short}")), "")
                size = found.end()
                if not name and not _UNKNOWN.fullmatch(found[1]):
                    self.left = rest
                    break
                name = name or found[1]
            rest = rest[size:]
            if times := re.match(r"\s*[x×]\s*(\d{1,2})\b", rest):
                rest = rest[times.end() :]
            out.append(f"{name} x{int(times[1])}" if times and int(times[1]) else name)
            if dot := re.match(r"\.\s+[A-Z]", rest):
                self.left = rest[dot.start() + 1 :].strip()
                break
        return out
