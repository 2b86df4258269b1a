"""The passes of a line dance: its restarts and its tags."""

import re
from collections.abc import Sequence

from attrs import evolve, field, frozen

from stepcheck.pages.order import ON_WALLS, going_on, spots_of
from stepcheck.steps.outline import Item
from stepcheck.steps.steps import wall
from stepcheck.steps.vocabulary import hours, plain, tight
from stepcheck.steps.words import NUMBER, ORDINAL, SECTION, UNITS, number, ordinal

_ANEW = r"restart (?:the )?dance\W*(?:$|(?:in (?:a |the )?new|facing|on (?:a |the )?new) )"
"""`RESTART DANCE IN NEW DIRECTION`: it begins again."""
_CHANGE = re.compile(
    rf"(?i)^\W*(?!{_ANEW})(?:\d+\s+)?(?:(?:no|easy|simple|short)\s+)?"
    r"(?:restarts?|tags?|(?:(?:optional|big|the) )?ending|end|bridge)\b|"
    r"^\W*(?:big )?finish(?=\W*$|\s*[:\t-]|\s{2}|\s+(?:facing|at|to) )|"
    r"\b(?:on (?:the )?|^\W*(?:the )?)(?:last|final) wall\b|^\W*repeat\b.*\b(?:no tags?|no restarts?)"
)
_OF_OTHERS = r"(?!\s+(?!(?:counts|cts|beats|eights|restarts|starts|begins|goes|is)\b)[a-z]+s\b)"
"""No number of counts has the name of several things behind it: `to 2 stomps`."""
_AFTER = re.compile(
    rf"(?i)\b(?:after|to|until|till|through|at)\s+(?:and\s+including\s+)?(?:the\s+)?(?:end\s+of\s+)?(?:first\s+)?(?:(?:counts?|cts?\.?)\s+)?(?:{NUMBER}\b(?:\s*counts?)?{_OF_OTHERS}"
    rf"|({ORDINAL})\s+(?:eight|8))\b|\b(?:first|dance|dancing|do)\s+(?:only\s+)?(?:the\s+)?(?:first\s+)?(?:counts?\s+)?(?:1\s*-\s*)?{NUMBER}\b(?:\s+{UNITS})?(?!\s*(?:times|walls?|parts?|sections?|eights?))"
)
_LASTS = re.compile(rf"(?i)\b{NUMBER}[\s-]*{UNITS}\b")
_COUNTS = re.compile(rf"{_LASTS.pattern}|\((\d{{1,2}})\)")
_SECTIONS = re.compile(
    rf"(?i)\b(?:after|to|through|until|dance|only|first|do|end of)\b[^.;:]*?(?:\b{SECTION}\s*|#){NUMBER}\b"
    rf"(?:\s*(?:,|and|&|-|to|\+)\s*(?:{SECTION}\s*)?{NUMBER}\b(?!\s*counts?))?|^\W*{SECTION}\s*{NUMBER} only\b"
)
"""`dance S1 and S2`: the sections after which a wall is cut."""
_EXTRA = re.compile(
    rf"(?i)\b{NUMBER}\s+(?:extra|additional|more)\s+{UNITS}|"
    rf"\b(?:add|adding)\s+(?:(?:the|these|following|another)\s+)*{NUMBER}\s+{UNITS}|"
    rf"\b{NUMBER}\s+{UNITS}\s+(?:extra|more|over|left over)\b|\b(?:extra|additional)\s+{NUMBER}\s+counts?|"
    rf"\b(?:stops|pauses|breaks|waits|holds|drops out) for {NUMBER} {UNITS}\b|"
    r"\b(?:gap|pauses?|hole|break)(?: (?:in|of) (?:the )?(?:song|music|track|tune))?"
    rf"(?: (?:after|at the end of) walls? {NUMBER})?(?: (?:of|for|lasting))?\W{{1,3}}{NUMBER}\s*{UNITS}\W*(?::|$)"
)
"""Counts that the music has more than the dance: `4 more counts`, `a gap in the song, 4 counts:`."""
_DENIED = re.compile(
    r"(?i)(?:^|(?<=[.;,!(]))\W*(?:there (?:is|are) )?no (?:(?:more|other) )?(?:tags?|restarts?)"
    r"(?:\W+(?:and |or |no )*(?:tags?|restarts?))?\b(?=\W*(?:$|[.;]))"
)
"""`No tags.` beside a restart."""
_CLAUSES = re.compile(
    r"(?i)\s*[,;/&]\s*(?:and\s+)?(?=(?:\w+\s+)?(?:restart|tag)s?\b)|\s+and\s+(?=(?:a|one|1)\s+(?:restart|tag)\b)"
)
_NEXT_WALL = re.compile(r"(?i)(\btag\b[^.!]*[.!])\s+wall \d+ (?:starts|begins|is|faces)\b.*")  # not the tag's
_APART = re.compile(r"(?i)(?<=\))(\s*(?:,|&|\+|\band\b|,\s*and\b)\s*)(?=\d{1,2}\s*\()")
"""Before the next of several walls: `walls 2 (3:00) and 5 (12:00)`."""
_LEFT_OUT = re.compile(rf"(?i)\b(?:leave|miss|skip|drop)\w*\b(?: out)?(?: off)? (?:the )?last {NUMBER}\b")
SKIPPED = re.compile(
    r"(?i)\b(?:leav\w*\b(?! off (?:after|at)\b)|skip\w*|miss\w*|drop\w*|omit\w*)\b.*?"
    rf"(?:{SECTION}\s*(\d)\b|$)"
)
"""`leave out section 4`; `leave off after` stops there."""
_OVER = (
    r"\b(?:(?:start|begin)\w*|go(?:es)?)\b.{0,20}\b"
    r"(?:again|over(?! (?:the |your )?(?i:left|right|[lr]f?)\b)|from the top)\b"
)
RESTARTS = rf"(?:\bre-?start|{_OVER}|\bfrom the (?:top|beginning)\b)"
"""Words that ask for a restart, as a pattern."""
_RESTART = re.compile(
    rf"(?i){RESTARTS}|\bonly\b|"
    r"\b(?:start|begin|go)\w* (?:again )?(?:from|at) (?:the )?(?:counts?|section) (?:1|one)\b"
)
_SPEAKS = re.compile(
    r"(?i)\btags?\b|\b(?:after|end of|when|during|only on|except)\b[^.;:]*\b(?:wall|time|pass)\b|"
    rf"{_RESTART.pattern[4:]}"
)
"""Words of a line about one wall that change how it is danced."""
_FACE = re.compile(
    r"(?i)[(\[]?\s*(?:(?:both|each|every)(?: times?)?,?\s+)?(?:you\S*(?: will| are)?(?: be)? )?(?:(?:then|now) )?"
    r"(?:\b(?:fac(?:ing|e)|(?:you )?look(?:ing)? at|at|(?:from|(?:(?<=[br]e )|(?<=then )|(?<=now ))on)"
    r"(?= \d{1,2}:| (?:the )?\S+ wall\b))\s*(?:the\s+)?|(?<=[(\[@])|(?<=both )|(?<=times )|(?<=still )(?=\d)|"
    r"(?<=, )(?:the )?(?=\w+ wall\b|\d{1,2}:\d\d(?:\s+wall)?\W*$))"
    r"(\d{1,2}:\d\d|front|back)(?:\s+wall)?(?:\s+(?:again|(?:both|each|every) times?))?\s*[)\]]?"
)
ENDS = re.compile(
    r"(?i)^\W*(?:optional\s+|big\s+|to\s+|the\s+(?=ending\b))?(?:end(?:ing|s)?(?!\s+of\b)|finish|finale)\b|^\W*(?:the\s+)?(?:last|final)\s+wall\b"
)
_ENDED = re.compile(r"(?i)\b(?:end of|after|finish\w*|complete)\s+(?:the\s+)?$")
_WHOLE = re.compile(
    r"(?i)\b(?:dance|do|finish)\s+(?:(?:it|the|all|of|whole|full|complete|entire)\s+)*(?:wall|dance|thing|all|lot|through)\b|"
    r"\b(?:finishes|ends)\b(?=\W+(?:(?:facing|at|on|the)\s+)*(?:front|back|\d{1,2}:\d\d))"
)
"""Words by which all of the last wall is danced."""
_CLOCK = re.compile(r"\d{1,2}:\d\d")
_FACE_FIRST = re.compile(
    r"(?i)(?:\W|\b(?:and|now|so|then|which|to|wall|counts?|you|will|be|you'll|are|you're|look(?:ing)?|fac(?:ing|e)|at|on|the)\b)*?"
    r"(\d{1,2}:\d\d|front|back)\b(?:\s+wall)?\W*"
)
"""Where dancers face before the last steps."""
POSE = re.compile(r"(?i)\b(?:poses?|posing|smile|bow|strike|freeze|tip your hat)\b")
_WALLS_FACED = re.compile(
    r"(?i)(?<![\w:])(?:\d{1,2}:\d\d|"
    r"(?:(?<=[(\[,])|(?<=, )|(?<=\bthe )|(?<=\bthen )|(?<=\band )|(?<=ing ))(?:front|back(?! at\b)))\b"
)
_STARTS = re.compile(
    r"(?i)\(?\b(?:(?P<bare>start|begin)|(?:start|begin)(?:s|ning|ing)|strts?)\s+"
    rf"(?P<own>(?:it|(?:on\s+)?(?:the\s+)?(?:walls?\s*#?{NUMBER}|{ORDINAL} (?:wall|time)))\s+)?"
    r"(?:(?:at|on|facing|to)\s+)?(?:the\s+)?"
    rf"(?P<face>front|back|\d{{1,2}}:\d\d|(?<=[gnt] )(?:12|3|6|9)\b(?! ?{UNITS}\b))(?:\s+wall)?(?:\s*\([\d:]+\))?\)?"
    r"|\bat (?:the )?(?P<when>front|back|\d{1,2}:\d\d) when (?:it|you|we|the wall|that wall) (?:starts?|begins?)\b"
)
"""Where a wall starts, which is not where a part of it ends."""
_BESIDE = re.compile(r"(?i)[\s,(-]+(?:the )?(front|back|\d{1,2}:\d\d) wall\b")
"""`wall 9 (front wall)`."""
_SQUARED = re.compile(
    r"(?i)\b(?:squar|turn|straighten|fac)\w*(?: (?:up|off|round|around|back))? to (?:the )?(?:12|3|6|9)(?::00)?\b"
    rf"(?! ?{UNITS}\b)"
)
"""`square up to 12`: a wall, and no count."""
_WHEN = re.compile(
    r"(?i)\b(?:(?:at|after)\s+(?:the\s+)?)?(?:(?:end|close)(?:\s+of(?:\s+the\b)?)?)\b|^\W*(?:at|after|of)\b"
)
_AGAIN = re.compile(
    rf"(?i){_OVER}|"
    r"\brepeat\b(?!\s+(?:(?:sections?|sects?|sets?|parts?|last)\b|(?-i:[A-H])\s*(?:-|to|&)\s*(?-i:[A-H])\b))|"
    r"(?:^\W*|\bagain )from the (?:top|beginning|start)\b|\boff we go again|\bover and over|\bdo it all over\b|"
    rf"^\W*no (?:restarts?|tags?)\b|\balways the front wall|^\W*(?:go )?back to the (?:top|beginning|start)\W*$|"
    rf"^\W*dance (?:it )?again\W*$|^\W*{_ANEW}"
)


@frozen(eq=False)
class Tag:
    """A tag: its name, the counts that are said of it, the walls at whose end it is danced and where dancers face then,
    its words, its lines."""

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
    """A pass that is cut: the wall on which, after how many counts, where dancers face, the lead foot that is said, and
    the part that is danced behind the cut."""

    wall: int
    counts: int
    facing: str = ""
    foot: str = ""
    text: str = ""
    behind: str = ""


_DONE = re.compile(r"(?i)^\W*end of (?:the )?dance\W+(?=(?:start|begin|repeat|dance)\b\D*$)")
DONE = re.compile(r"(?i)(?:(?!:)\W)*(?:the )?end of (?:the )?dance(?:(?!:)\W)*")


def is_change(text: str) -> bool:
    """Say whether a line is about restarts, tags or the end."""
    said = going_on(_DONE.sub("", plain(text)))
    return bool(_CHANGE.search(said) or re.search(r"(?i)\b(?:after|at the end of|on) walls?\W*\w", said)) or (
        bool(ON_WALLS.search(said)) and bool(_SPEAKS.search(said) or _EXTRA.search(said) or _LEFT_OUT.search(said))
    )


_OF_WALLS = re.compile(rf"(?i)\W*(?:\w+\W+)?(?:tags?|restarts?)\b(?!.*(?:\d[ -]walls?\b|\bwalls?\s*[:=]\s*{NUMBER}))")


def of_walls(text: str) -> bool:
    """Say whether a line is of a tag or a restart only: the wall that it names is not how many there are."""
    return bool(_OF_WALLS.match(text) and ON_WALLS.search(plain(text)))


def denied(text: str) -> bool:
    """Say whether a line says that there is no restart and no tag."""
    return bool(re.search(r"(?i)\bno\b|\bnone\b", text)) and not ON_WALLS.search(text)


def again(text: str) -> bool:
    """Say whether a line says that the dance begins again."""
    return bool(_AGAIN.search(text))


def _facing(text: str) -> str:
    """Return where dancers are said to face, "" if it isn't said."""
    found = _FACE.search(_STARTS.sub(" ", text))
    return (wall(found[1]) or found[1].casefold()) if found else ""


def _begun(text: str) -> str:
    """Return where a wall is said to start, "" if it isn't said; `and start facing the back` is where it is cut."""
    found = next((each for each in _STARTS.finditer(text) if each["own"] or not each["bare"]), None)
    said = (found["face"] or found["when"]).casefold() if found else ""
    return wall(f"{said}:00" if said.isdecimal() else said) or said


def begins_at(text: str) -> str:
    """Return where dancers face when a part begins, by what stands beside its head, "" if that isn't said."""
    said = hours(text)
    beside, ends = _BESIDE.match(f" {said}"), re.search(r"(?i)\b(?:end|finish)", said)
    return "" if ends else _begun(said) or (beside[1].casefold() if beside else _facing(said))


def _cut_after(text: str, sections: Sequence[int]) -> int:
    """Return after how many counts a wall is said to be cut, 0 if it isn't; `sections` are the counts of each."""
    said = re.sub(r"\d{1,2}:\d\d", " ", ON_WALLS.sub(" ", _STARTS.sub(" ", text)))
    if part := _SECTIONS.search(said):
        at = number(part[2] or part[1] or part[3])
        stated = _COUNTS.search(said)
        upto = sum(sections[:at]) if at <= len(sections) else 0
        return number(stated[1] or stated[2]) if stated else upto if upto % 4 == 0 or upto % 6 == 0 else 0
    if left := SKIPPED.search(said):
        return sum(sections[:-1]) if left[1] and int(left[1]) == len(sections) else 0
    if (part := re.search(r"\bafter (?:section |part )?\(?([A-H])\b", said)) and (at := ord(part[1]) - 64) <= len(
        sections
    ):
        return sum(sections[:at])
    found = sorted(_AFTER.finditer(said), key=lambda each: "count" not in each[0])
    after = next(iter(found), None)  # `after the two twinkles: after twelve counts`
    if after is None:
        stated = _COUNTS.search(said) if re.search(r"(?i)\brestart|\bonly\b", text) else None
        return number(stated[1] or stated[2]) if stated else 0
    return 8 * ordinal(after[2]) if after[2] else number(after[1] or after[3])


class Passes:
    """The passes of a line dance while its restarts and tags are read; `total` is its counts, 0 if not stated."""

    def __init__(self) -> None:
        self.total = 0
        self.end: Tag | None = None
        self.cut = 0
        self.restarts: list[Restart] = []
        self.tags: list[Tag] = []
        self.changes: list[Tag] = []
        self.starts: dict[int, str] = {}
        self.remarks: list[str] = []

    def read(
        self, line: str, counts_so_far: int = 0, sections: Sequence[int] = (), source: str = ""
    ) -> Restart | Tag | None:
        """Return the last restart, the tag, or the end that a line says, None if it can't be read.

        A restart that names no counts comes after those that were read before it; `sections` are the counts of each,
        `source` is the line as it stands, where that is another one.
        """
        said, line = _SQUARED.sub(" ", hours(line)), source or line
        text = re.sub(
            r"(?i)\b(?:tags|tag(?=\s*[/(]\s*bridge)|add-?ons?|extras|extra bit|bridge)\b(?:\s*[/(]\s*bridge\b\)?)?",
            "tag",
            said,
        )
        text = _APART.sub(r"\1wall ", going_on(_DENIED.sub(" ", text)))
        several = [each for each in _CLAUSES.split(text) if ON_WALLS.search(each)]
        if len(several) > 1 and ":" not in text:
            found = [self.read(each, counts_so_far, sections) for each in several]
            return found[-1] if all(found) else None
        spots = spots_of(text)
        starts = {walls[0]: _begun(said) for walls, said in spots if len(walls) == 1}
        self.starts |= {at: face for at, face in starts.items() if face}
        spots = spots_of(text := _NEXT_WALL.sub(r"\1", text))
        if ENDS.match(text):
            return self._end(text, spots, line, sections)
        whole = [text] if re.search(r"(?i)\btag\b", text) else re.split(r"[.!;]\s+", text)
        spoken = (each for each in whole if ON_WALLS.search(each))
        if not spots or any(re.search(r"(?i)\?|\bno\b|\bnot\b|\bnever\b|\bmaybe\b", each) for each in spoken):
            return None
        if (re.search(r"(?i)\btag\b", text) or _EXTRA.search(text)) and not re.match(r"(?i)\W*restarts?\b", text):
            both = re.search(r"(?i)\brestart", text) and any(_cut_after(said, sections) for _, said in spots)
            return None if both else self._tag(text, spots, line)  # a tag in the middle of a wall
        here = (
            counts_so_far
            if counts_so_far != self.total and re.search(r"(?i)^\W*(?:\d+\W+)?restart|\brestart here\b", text)
            else 0
        )
        counts = [_cut_after(said, sections) or _cut_after(text, sections) or here for _, said in spots]
        if (left := _LEFT_OUT.search(text)) and self.total:
            counts = [max(0, self.total - number(left[1]))] * len(spots)
        if not (_RESTART.search(text) or left):
            return None
        foot = re.search(r"(?i)\bwith the (left|right)(?: foot)?\b", text)
        lead = f"{foot[1].casefold()} foot" if foot else ""
        known = {other.wall: other for other in self.restarts if other.counts}
        told = [
            Restart(each, length, _facing(said if len(spots) > 1 else text), lead, tight(line))
            for (walls, said), length in zip(spots, counts, strict=True)
            for each in walls
        ]
        if any(each.counts not in (0, known.get(each.wall, each).counts) for each in told):
            return None
        self.restarts += [each for each in told if each.wall not in known]
        for at, other in enumerate(self.restarts):
            again = next((each for each in told if each.wall == other.wall and other in known.values()), other)
            self.restarts[at] = evolve(other, facing=other.facing or again.facing, foot=other.foot or again.foot)
        if known and all(each.wall in known for each in told):
            self.remarks.append(tight(line))  # which tells it again
        return self.restarts[-1] if self.restarts else None

    def _end(
        self, text: str, spots: list[tuple[tuple[int, ...], str]], line: str, sections: Sequence[int]
    ) -> Tag | None:
        """Keep the end that a line says of a wall with its number, and of the counts that are danced of it."""
        walls = {wall for walls, _ in spots for wall in walls}
        last = max(ON_WALLS.finditer(text), key=re.Match.end, default=None)
        if last and (beside := _BESIDE.match(text, last.end())):
            self.starts |= dict.fromkeys(walls, wall(beside[1]) or beside[1].casefold())
        said = _STARTS.sub(" ", text[last.end() if last else 0 :])
        clockless = _CLOCK.sub(lambda found: "_" * len(found[0]), said)
        over = _CLOCK.sub(" ", text[: last.start()]) if last else ""
        cuts = [each for pattern in (_AFTER, _SECTIONS) for each in pattern.finditer(clockless)]
        places = [(each[0], each.end()) for each in cuts] or [(over, 0)] * bool(_AFTER.search(over))  # `14 of wall 9`
        ended = re.match("", said) if _ENDED.search(over) else None
        if whole := None if places else _WHOLE.search(said) or ended:
            places = [(whole[0], whole.end())]
        after = self.total if whole else _cut_after(said if cuts else over, sections)
        told = {_cut_after(words, sections) for words, _ in places}  # `16 counts (to 8 in section 2)`
        if len(walls) != 1 or len(told) != 1 or not (after or whole):
            return None
        rest = said[max(end for _, end in places) :]
        faced = _FACE_FIRST.match(rest)
        rest = re.sub(r"(?i)^\W*(?:(?:and|then|you|add|just)\b\W*)*", "", rest[faced.end() :] if faced else rest)
        face = _facing(f"at {faced[1]}") if faced else ""
        self.cut, self.end = after, Tag("Ending", 0, tuple(walls), (face,), rest.strip(" ."), [], tight(line))
        return self.end

    def _tag(self, text: str, spots: list[tuple[tuple[int, ...], str]], line: str) -> Tag:
        """Keep the tag that a line says at the end of these walls."""
        apart = len(spots) > 1 and not re.search(r"(?i)\bboth\b", text)
        faces = {each: _facing(said if apart else text) for walls, said in spots for each in walls}
        faced = _WALLS_FACED.findall(_STARTS.sub(" ", text))
        if len(faced) == len(faces) > 1:  # `after walls 2 and 4 (6:00, then 12:00)`
            faces = dict(zip(faces, (wall(each) or each.casefold() for each in faced), strict=True))
            text = _WALLS_FACED.sub(" ", text)
        elif len(faced) > 1 and len(spots) == 1:
            faces = dict.fromkeys(faces, "")
        named = re.search(rf"(?i)\btag\b(?:\s*\d+\b(?!\s*{UNITS}\b)|[\s:=]+\d(?=\s*(?:[(\[;.]|$)))?\W*", text)
        rest = text[named.end() :] if named else text
        gap = _EXTRA.search(text)
        on_counts = re.search(r"\(1\)", rest) is not None  # `(1) step R, (2) touch L`, which are no lengths
        length = (_LASTS if on_counts else _COUNTS).search(ON_WALLS.sub(" ", rest)) or gap
        length = length or (named and _LASTS.search(text[: named.start()]))  # `a 4 count tag`
        if named:
            rest = rest.replace(gap[0], " ") if gap else rest
        else:
            rest = re.sub(r"^.*?:(?!\d)", "", rest) if re.search(r":(?!\d)", rest) else text[gap.end() :] if gap else ""
        rest = _FACE.sub(" ", ON_WALLS.sub(" ", rest))
        own = named or _COUNTS.match(rest.lstrip())  # else of a step: `a gap, 4 counts: hold 4 counts`
        rest = length.re.sub(" ", rest, count=1) if length and own else rest
        rest = re.sub(
            r"(?i)\b(?:then\s+|before\s+)?(?:(?:start|begin)(?:n?ing)?|carry(?:ing)? on)\b[^:]*",
            "",
            _WHEN.sub(" ", rest),
        )
        closed = rest.rstrip(" .,:;-").endswith(")")
        rest = re.sub(
            rf"(?i)^\W*(?:(?:and|&|only|just|so|add|the|through|round|there|are|x ?{len(faces)})\W+)*|^\W+|"
            r"(?:\b(?:do|dance))?[\s.,:;()\[\]-]*$",
            "",
            rest,
        )
        rest += ")" * (closed and rest.count("(") > rest.count(")"))
        counts = number(next(filter(None, length.groups()))) if length else 0
        unplaced = next((at for at, tag in enumerate(self.tags) if not tag.walls), -1)
        if unplaced >= 0 and not rest and counts in (0, self.tags[unplaced].counts):  # whose steps stood before
            self.tags[unplaced] = evolve(
                self.tags[unplaced], walls=tuple(faces), facings=tuple(faces.values()), text="", source=tight(line)
            )
            return self.tags[unplaced]
        for tag in self.tags[-1:]:
            if tag.walls == tuple(faces) and not (tag.items or tag.text):  # which announced this one
                self.tags.pop()
                counts = counts or tag.counts
        name = f"Tag {len(self.tags) + 1}" if self.tags else "Tag"
        self.tags.append(Tag(name, counts, tuple(faces), tuple(faces.values()), rest, [], tight(line)))
        return self.tags[-1]

    def faced(self, facing: str) -> None:
        """Keep where dancers are said to face at the last restart, if that isn't known."""
        last = self.restarts[-1]
        self.restarts[-1] = evolve(last, facing=last.facing or facing)

    def announced(self) -> list[str]:
        """Return the lines that announce a restart of which no other one says more; drop tags that are announced."""
        cut = {each.wall for each in self.restarts if each.counts}
        told = [tag for tag in self.tags if tag.items or tag.counts or tag.text]
        tagged = {wall for tag in told for wall in tag.walls}
        if len(told) < len(self.tags) and all(tagged >= {*tag.walls} for tag in self.tags):
            self.tags = [evolve(tag, name=f"Tag {at}" if at > 1 else "Tag") for at, tag in enumerate(told, 1)]
        unplaced = dict.fromkeys(each.text for each in self.restarts if not each.counts)
        self.remarks += [text for text in unplaced if text not in self.remarks]
        return [each.text for each in self.restarts if not each.counts and each.wall not in cut]
