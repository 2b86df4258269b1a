"""In which order parts are danced: restarts and tags of a line dance, the sequence of a clogging routine."""

import itertools
import re
from collections.abc import Sequence

from attrs import evolve, field, frozen

from stepcheck.drafts.numbers import NUMBER, number
from stepcheck.drafts.outline import Item
from stepcheck.drafts.steps import OTHER, WEIGHT, Event, Mention, Step, wall
from stepcheck.drafts.vocabulary import plain, tight

_NTH = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7, "eighth": 8, "ninth": 9}
_CHANGE = re.compile(
    r"^\W*(?:\d+\s+)?(?:no\s+)?(?:restarts?|tags?|ending|end|bridge|optional ending)\b|"
    r"\b(?:on (?:the )?|^\W*(?:the )?)(?:last|final) wall\b|^\W*repeat\b.*\b(?:no tags?|no restarts?)",
    re.IGNORECASE,
)
_ON_WALLS = re.compile(
    rf"\b(?:walls?\s*#?\s*|w(?=\d))({NUMBER}(?:\s*(?:,|and|&)\s*(?:walls?\s*|w(?=\d))?"
    rf"{NUMBER}\b(?!\s*(?:counts?|cts?|beats?)))*)"
    rf"|\b({'|'.join(_NTH)}|\d{{1,2}}(?:st|nd|rd|th))\s+(?:wall|time|pass)\b",
    re.IGNORECASE,
)
_AFTER = re.compile(
    rf"\b(?:after|to|until|till|through|at)\s+(?:the\s+)?(?:end\s+of\s+)?(?:first\s+)?(?:counts?\s+)?(?:{NUMBER}\b(?:\s*counts?)?"
    rf"|({'|'.join(_NTH)})\s+(?:eight|8))\b|\b(?:first|dance|dancing|do)\s+(?:only\s+)?(?:the\s+)?(?:first\s+)?{NUMBER}\b(?:\s+(?:counts?|cts?|beats?))?(?!\s*(?:times|walls?|parts?|sections?|eights?))",
    re.IGNORECASE,
)
_COUNTS = re.compile(r"\b(\d{1,2})\s*(?:counts?|cts?|beats?)\b|\((\d{1,2})\)", re.IGNORECASE)
_SECTIONS = re.compile(
    rf"\b(?:after|to|through|until|dance|only|first|do|end of)\b[^.;:]*?\b(?:sections?|sect?|parts?|set|s)\s*{NUMBER}\b"
    rf"(?:\s*(?:,|and|&|-|to|\+)\s*(?:(?:section|sect?|part|set|s)\s*)?{NUMBER}\b(?!\s*counts?))?",
    re.IGNORECASE,
)
"""`dance S1 and S2`: the sections after which a wall is cut."""
_EXTRA = re.compile(rf"\b{NUMBER}\s+(?:extra|additional|more)\s+(?:counts?|beats?)|\b(?:extra|additional)\s+{NUMBER}\s+counts?", re.IGNORECASE)
_RESTART = re.compile(
    r"\brestart|\b(?:start|begin|go)\b.{0,20}\b(?:again|over)|\bfrom the (?:top|beginning)|\bonly\b", re.IGNORECASE
)
_FACE = re.compile(
    r"[(\[]?\s*(?:you(?:'ll| will)? be\s+|you are\s+)?(?:\b(?:fac(?:ing|e)|(?:you )?look(?:ing)? at|at)\s*(?:the\s+)?|(?<=[(\[]))"
    r"(\d{1,2}:\d\d|front|back)(?:\s+wall)?\s*[)\]]?",
    re.IGNORECASE,
)
_STARTS = re.compile(
    r"\(?\b(?:start|begin)(?:s|ning|ing)?\s+(?:(?:at|on|facing|to)\s+)?(?:the\s+)?(?:front|back|\d{1,2}:\d\d)(?:\s+wall)?\)?",
    re.IGNORECASE,
)
"""Where a wall starts, which is not where a part of it ends."""
_WHEN = re.compile(r"\b(?:(?:at|after)\s+(?:the\s+)?)?(?:end(?:\s+of)?)\b|^\W*(?:at|after|of)\b", re.IGNORECASE)
_AGAIN = re.compile(
    r"\b(?:start|begin|go)\b.{0,20}\b(?:again|over|from the top)|\brepeat\b(?!\s+(?:section|sect?|set|part|last)\b)|"
    r"(?:^\W*|\bagain )from the (?:top|beginning|start)\b|\boff we go again|\bover and over|"
    r"^\W*no (?:restarts?|tags?)\b|\balways the front wall",
    re.IGNORECASE,
)


@frozen(eq=False)
class Tag:
    """A tag: its name, the counts that are said of it, the walls at whose end it is danced, where dancers face then, its
    words, its lines."""

    name: str
    counts: int
    walls: tuple[int, ...]
    facings: tuple[str, ...]
    text: str
    items: list[Item] = field(factory=list)
    source: str = ""
    number: int = 0


@frozen
class Restart:
    """A pass that is cut: the wall on which, after how many counts, where dancers face, the lead foot that is said."""

    wall: int
    counts: int
    facing: str = ""
    foot: str = ""
    text: str = ""


def is_change(text: str) -> bool:
    """Say whether a line is about restarts, tags or the end."""
    said = plain(text)
    return (
        bool(_CHANGE.search(said))
        or bool(re.search(r"\btags?\b", said, re.IGNORECASE) and _ON_WALLS.search(said))
        or (bool(_RESTART.search(said) or _EXTRA.search(said)) and bool(_ON_WALLS.search(said)))
    )


def denied(text: str) -> bool:
    """Say whether a line says that there is no restart and no tag."""
    return (bool(re.search(r"\bno\b|\bnone\b", text, re.IGNORECASE)) and not _ON_WALLS.search(text)) or bool(
        re.match(r"\W*\d+ (?:restart|tag)s?\b[^:]*$", text, re.IGNORECASE)
    )


def again(text: str) -> bool:
    """Say whether a line says that the dance begins again."""
    return bool(_AGAIN.search(text))


def _walls(found: re.Match[str]) -> tuple[int, ...]:
    if found[1]:
        return tuple(
            number(word)
            for word in re.findall(rf"(?<![a-z]){NUMBER}|(?<=w){NUMBER}", found[1], re.IGNORECASE)
            for word in word
            if word
        )
    word = found.groups()[-1].casefold()
    return (_NTH.get(word) or int(re.sub(r"\D", "", word)),)


def _spots(text: str) -> list[tuple[tuple[int, ...], str]]:
    """Return the walls that a text names, each with the words that speak of it."""
    found = [*_ON_WALLS.finditer(text)]
    ends = [0]
    for one, other in itertools.pairwise(found):
        signs = [*re.finditer(r"[;,]|\band\b|&", text[one.end() : other.start()])]
        ends.append(one.end() + signs[-1].start() if signs else other.start())
    ends.append(len(text))
    return [(_walls(each), text[begin:end]) for each, begin, end in zip(found, ends, ends[1:], strict=False)]


def _facing(text: str) -> str:
    """Return where dancers are said to face, "" if it isn't said."""
    found = _FACE.search(_STARTS.sub(" ", text))
    return (wall(found[1]) or found[1].casefold()) if found else ""


def _cut_after(text: str, sections: Sequence[int]) -> int:
    """Return after how many counts a wall is said to be cut, 0 where it isn't said; `sections` are the counts of each."""
    said = re.sub(r"\d{1,2}:\d\d", " ", _ON_WALLS.sub(" ", text))
    if part := _SECTIONS.search(said):
        at = number(part[2] or part[1])
        stated = _COUNTS.search(said)
        return number(stated[1] or stated[2]) if stated else sum(sections[:at]) if at <= len(sections) else 0
    if after := _AFTER.search(said):
        return 8 * _NTH[after[2].casefold()] if after[2] else number(after[1] or after[3])
    bracket = re.search(r"\(\s*(?:after\s+)?(?:counts?\s+)?(\d{1,2})(?:\s*(?:counts?|cts?|beats?))?\s*\)", said, re.IGNORECASE)
    return int(bracket[1]) if bracket else 0


def _tagged(text: str) -> bool:
    """Say whether a text is about a tag."""
    begins = re.match(r"\W*restarts?\b", text, re.IGNORECASE)
    return bool(re.search(r"\btag\b", text, re.IGNORECASE) or _EXTRA.search(text)) and not begins


class Passes:
    """The passes of a line dance while its restarts and tags are read."""

    def __init__(self) -> None:
        self.restarts: list[Restart] = []
        self.tags: list[Tag] = []
        self.remarks: list[str] = []

    def read(self, line: str, counts_so_far: int = 0, sections: Sequence[int] = ()) -> Restart | Tag | None:
        """Return the last restart, or the tag, that a line says, None if it can't be read.

        A restart that names no counts comes after those that were read before it; `sections` are the counts of each.
        """
        text = re.sub(r"\btags\b", "tag", plain(line), flags=re.IGNORECASE)
        spots = _spots(text)
        if not spots or re.search(r"\?|\bno\b|\bnot\b|\bnever\b|\bmaybe\b", text, re.IGNORECASE):
            return None
        if _tagged(text):
            return self._tag(text, spots, line)
        here = counts_so_far if re.search(r"^\W*(?:\d+\W+)?restart|\brestart here\b", text, re.IGNORECASE) else 0
        counts = [_cut_after(said, sections) or _cut_after(text, sections) or here for _, said in spots]
        if not _RESTART.search(text) or not all(counts):
            return None
        foot = re.search(r"\bwith the (left|right)(?: foot)?\b", text, re.IGNORECASE)
        lead = f"{foot[1].casefold()} foot" if foot else ""
        known = {other.wall for other in self.restarts}
        for (walls, said), length in zip(spots, counts, strict=True):
            face = _facing(said if len(spots) > 1 else text)
            self.restarts += [Restart(each, length, face, lead, tight(line)) for each in walls if each not in known]
        return self.restarts[-1] if self.restarts else None

    def _tag(self, text: str, spots: list[tuple[tuple[int, ...], str]], line: str) -> Tag:
        """Keep the tag that a line says at the end of these walls."""
        faces = {each: _facing(said if len(spots) > 1 else text) for walls, said in spots for each in walls}
        named = re.search(r"\btag\b(?:\s*\d+\b(?!\s*(?:counts?|cts?|beats?)\b))?\W*", text, re.IGNORECASE)
        rest = text[named.end() :] if named else text
        length = _COUNTS.search(_ON_WALLS.sub(" ", rest)) or _EXTRA.search(text)
        if not named:
            rest = rest.partition(":")[2]
        rest = _FACE.sub(" ", _ON_WALLS.sub(" ", rest))
        rest = _COUNTS.sub(" ", rest, count=1) if length else rest
        rest = re.sub(r"\b(?:then\s+|before\s+)?(?:start|begin)(?:n?ing)?\b.*$", "", _WHEN.sub(" ", rest), flags=re.IGNORECASE)
        rest = re.sub(r"^\W*(?:and|&)\W*|^\W+|[\s.,:;()\[\]-]+$", "", rest)
        name = f"Tag {len(self.tags) + 1}" if self.tags else "Tag"
        counts = number(next(filter(None, length.groups()))) if length else 0
        self.tags.append(Tag(name, counts, tuple(faces), tuple(faces.values()), rest, [], tight(line)))
        return self.tags[-1]

    def dance(self, part: str, closing: str) -> list[tuple[str, str]]:
        """Return the lines of the dance, each with its comment: passes, cut ones, tags, until the music ends."""
        out: list[tuple[str, str]] = []
        done = 0

        def passes(upto: int) -> None:
            nonlocal done
            if upto > done:
                out.append((f"{part} x{upto - done}" if upto - done > 1 else part, ""))
                done = upto

        changes: list[tuple[int, int, Restart | Tag]] = [(each.wall, 0, each) for each in self.restarts]
        changes += [(each, 1, tag) for tag in self.tags for each in tag.walls]
        for at, _, change in sorted(changes, key=lambda each: each[:2]):
            if isinstance(change, Restart):
                if at <= done:
                    continue
                passes(at - 1)
                out.append((f"{part}, first {change.counts} counts", change.text or "restart"))
                done = at
                said = ", ".join(filter(None, (change.facing and f"facing {change.facing}", change.foot)))
                out += [(f"expect {said}", "")] if said else []
            else:
                passes(at)
                if face := change.facings[change.walls.index(at)]:
                    out.append((f"expect facing {face}", ""))
                out.append((change.name, change.source if not any(name == change.name for name, _ in out) else ""))
        out += [("", said) for said in self.remarks]
        out.append((f"{part} until the music ends", closing))
        return out


_WALL_BY_WALL = re.compile(
    r"(?:walls?\b|\bw(?=\d)|\d{1,2}\b|\([^()]*\)|\b(?:tag|end|ending|full|whole|restart|and|then|to)\b|[\s,;:.=>/+-])*", re.IGNORECASE
)


def wall_by_wall(text: str, passes: Passes) -> bool | None:
    """Say whether a line that goes through the walls, `Order: 1, 2, tag, 3 (16), 4`, agrees with the restarts and tags
    that were read; None for any other line."""
    label = ORDER_WORD.match(plain(text))
    rest = plain(text)[label.end() :] if label else ""
    if len(re.findall(r"\d+", rest)) < 3 or not _WALL_BY_WALL.fullmatch(rest):
        return None
    cuts: dict[int, int] = {}
    tags: set[int] = set()
    last = 0
    for found in re.finditer(r"(?:\bw)?(\d{1,2})\b(?:\s*\(\D*(\d{1,2})[^()]*\))?|\b(tag)\b", rest, re.IGNORECASE):
        tags |= {last} if found[3] else set()
        last = int(found[1] or last)
        cuts |= {last: int(found[2])} if found[2] else {}
    return (cuts, tags) == ({each.wall: each.counts for each in passes.restarts}, {at for tag in passes.tags for at in tag.walls})


def with_feet(events: Sequence[Event], column: str) -> list[Event]:
    """Return events with the feet of their column; a foot in brackets takes no weight and is that of its step as
    well."""
    feet = re.findall(r"[LR]", plain(column).upper())
    out: list[Event] = []
    steps = [event for event in events if isinstance(event, Step) and event.codes[-1] not in ("HOLD", "CLAP", "BUMP")]
    names = [event for event in events if isinstance(event, Mention)]
    first = next((event for event in events if isinstance(event, Step | Mention)), None)
    if len(steps) == 1 < len(feet) and not names and steps[0].codes == ("S",) and not steps[0].foot:
        at = next(index for index, event in enumerate(events) if event is steps[0])
        return [
            *events[:at],
            *(evolve(steps[0], foot=foot, turn=None if n else steps[0].turn) for n, foot in enumerate(feet)),
            *events[at + 1 :],
        ]
    if len(names) == 1 and feet and (len(steps) != len(feet) or (len(feet) == 1 and isinstance(first, Mention))):
        joined, named = "".join(feet), names[0]
        led = evolve(named, feet=named.feet or joined[0] if steps else joined)
        return [led if event is named else event for event in events]
    if len(feet) == 1:  # the foot of a row is that of its first step; then it is the one that is free
        for step in steps[:-1]:
            turning = "PV" in step.codes
            feet.append("" if turning or not feet[-1] else OTHER[feet[-1]] if step.codes[-1] in WEIGHT else feet[-1])
    given = iter(feet if len(feet) == len(steps) else [])
    for event in events:
        if any(event is step for step in steps):
            foot = next(given, "")
            event = evolve(event, foot=foot or event.foot) if isinstance(event, Step) else event
        out.append(event)
    return out


ORDER_WORD = re.compile(
    r"^\W*(?:(?:the\s+)?(?:sequence|seq|dance it|dance|phrasing|run through|routine(?=\s{2,}|\s*[:=])|do(?=\s*:)|"
    r"(?:running |dance |routine )?order(?: of (?:the )?(?:dance|parts|routine))?)\b\s*"
    r"(?:[:=\-]|is\b|goes\b)?|we dance\b)\s*",
    re.IGNORECASE,
)
REMARK = re.compile(
    r"^\W*(?:p\.?\s?s\b\.?|n\.?b\b\.?|note|tip|hint|remember|abbrev\w*\.?|key|legend)\s*[:.\s]", re.IGNORECASE
)
"""`P.S.`, `Note:`, `Abbreviations:`."""
_SHORT_FOR = re.compile(r"(?:^|[,;.:(]\s*|\b(?:that|where)\s+)\W*[\w./]{1,4}\s*=\s*[a-z]")


def is_legend(text: str) -> bool:
    """Say whether a line says what several abbreviations stand for: `tog = together, bk = back`."""
    return len(_SHORT_FOR.findall(text)) > 1


_UNKNOWN = re.compile(r"[A-Z]|\d|[A-Z]{2,}|Chorus|Break|Bridge|Tag|Ending|Intro|Verse")
_ENDING = re.compile(
    r"(?:,?\s*(?:and\s+)?at the end|[.;]\s+(?:end|finish)\s+with)\s+(.*?)\.?(?:\s+A \w+ is .*)?$", re.IGNORECASE
)


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
        rf"^\W*(?:(?:part|section)\s+)?{re.escape(word)}(?![\w'])(?:\s+(?:bit|part|section|half))?[~)]*(?:(?<=\))|\s*(?:[:.(\[~=,-]|$)|\s{{2,}}|(?<=[a-z])\s+\d{{1,3}}\W*$)",
        re.IGNORECASE,
    )
    if word.casefold() in ("part", "section"):
        return False
    return any(
        (said.match(text) and len(tokens(text)) > 1) or text.strip(" ~.:").casefold() == word.casefold()
        for text in texts
    )


def _heads(name: str, text: str) -> bool:
    """Say whether a line is nothing but a name, and its length perhaps."""
    said = re.fullmatch(rf"\W*{re.escape(name)}\W*(?:\d{{1,3}}\s*(?:beats?|counts?)?)?\W*", text, re.IGNORECASE)
    return bool(name) and said is not None


def named_in_order(texts: list[str]) -> tuple[str, ...]:
    """Return the names that the sequence of a description says, () if it has none.

    The sequence is the line that begins with a word for it, else one of names only, of which each begins another line.
    """
    for index, text in enumerate(texts):
        listed = re.sub(r"^\W*[A-Za-z]+(?: [a-z]+)?\s*[:=]\s*", "", plain(text)).split(",")
        names = [re.sub(rf"\s+(?:x\s?\d|{NUMBER} times|twice)\W*$", "", each, flags=re.IGNORECASE) for each in listed]
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
    r"\brepeat\s+(?:part\s+)?(\w{1,8})\b|^[\s~(]*(?:part\s+)?(\w{1,2})~?\s+again\b|\bwhole of (?:part )?(\w+) again",
    re.IGNORECASE,
)
"""The name of a part that is danced again."""


_FIRST = re.compile(
    r"\s*[(,]?\s*(?:(?:(?:first|only|just)\s+)+|(?<=\()(?:counts?\s+|beats?\s+)?1\s*-\s*)(\d{1,3})"
    r"(?:\s+(?:beats?|counts?))?(?:\s+only)?\s*\)?",
    re.IGNORECASE,
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
            name = next((each for each in names if re.match(rf"{re.escape(each)}\b", rest, re.IGNORECASE)), "")
            size = len(name)
            found = re.match(r"(?:part\s+)?([A-Za-z]\w*|\d+)", rest, re.IGNORECASE)
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
            if often := re.match(rf"\s*(?:[x×]\s*(\d{{1,2}})\b|{NUMBER} times\b|(twice)\b)", rest, re.IGNORECASE):
                rest = rest[often.end() :]
            times = 2 if often and often[3] else number(often[1] or often[2]) if often else 1
            out.append(f"{name} x{times}" if times > 1 else name)
            if cut := _FIRST.match(rest):
                out[-1] += f", first {cut[1]} {self.unit}"
                rest = rest[cut.end() :]
            if often := re.match(rf"\W*{NUMBER}\s+times(?:\s+(?:through|over|in all))?\W*", rest, re.IGNORECASE):
                out *= min(number(often[1]), 12)
                rest = rest[often.end() :]
            if dot := re.match(r"\.\s+[A-Z]", rest):
                self.left = rest[dot.start() + 1 :].strip()
                break
        return out
