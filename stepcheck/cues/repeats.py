"""What a line says to dance again: `Repeat A to the back`, `same on R`, `all of that 3 more times (16)`."""

import re
from collections.abc import Sequence

from attrs import evolve, frozen

from stepcheck.cues.tokens import spelled
from stepcheck.model.dance import EIGHTHS
from stepcheck.pages.facts import claims
from stepcheck.steps.outline import Block, Item, Line, lines_of, turned_by
from stepcheck.steps.steps import SIDE
from stepcheck.steps.vocabulary import Vocabulary, pieces, plain
from stepcheck.steps.words import FOOT, ORDINAL, SIDED, SPOKEN_FEET, TIMES, number, often, words_of

_BEGINS = re.compile(
    r"(?i)^\W*(?:(?:ok|okay|and|then|now|so|next|will|we|you|please|just|over)\W+)*(?:(?:do|danced?|take|"
    r"go through)\s+)?(?:(?:all|the|that|this|it|them|these|those|both|of|and|above|whole|everything|nos?\.?|numbers?|"
    r"#|works|thing|lot|thru|through|steps?|part|section|verse|chorus|lines?|[a-h]|"
    r"(?:all|the|those|these) \d{1,2}(?: (?:beats|counts|cts))?|\d{1,2} ?(?:-|to) ?\d{1,2}|\d|two|three|"
    r"four)\b\W*){0,6}(?:(?<=both )[a-z]+s\s+)?"
    r"(?P<verb>(?:(?:on|with|using)\s+(?:the\s+)?)?(?:other|opp\.?|opposite)\s+(?:foot|feet|ft|side|footwork)(?=\W*$)|"
    r"opp(?:osite)?(?=\W*$)|as above|as(?=\s+(?:m(?:eas(?:ures?)?)?\b\.?\s*|bars?\s*)?\d)|=(?=\s*(?:bars?|beats?|"
    r"counts?|lines?|\d))|like(?=\s+(?:bars?|beats?|counts?|lines?)\b)|repeat\w*|mirror(?=\W)|rpt|rep|again|same|ditto|"
    r"once more|over again|over|twice|x\s?\d|\d\s?x|\d times|(?:two|three|four) times|\d more times|(?:two|"
    r"three) more times)\b"
)
_QUIET = frozenset(words_of("repeat"))
_ALL = re.compile(r"(?i)\b(?:all (?:of )?(?:the )?(?:above|this|that|it)|everything|whole (?:thing|lot))\b(?! \d)")


@frozen
class Again:
    """A line that is danced again.

    `last` says that it is the line before alone, `all` that it is at least all lines so far, `first` and `until` are
    the beats, or the numbers of lines, that it names, or measures if `measured`, `names` the parts; `times` how often
    all is danced in all, `feet` is "same", "other", "L" or "R", `facing` front, back or a time of the clock, `walls`
    the facings at the end of each time but the last, or of the first, `tail` the beats and `lines` the lines before it
    that it speaks of, `since` the first of these lines in the source, `total` the beats that it states of all so far;
    `turns` says that these stay as they are, `toward` that it goes elsewhere, `figures` are those that it names,
    `turned` is one that turns this time, and how, `once` says that it is danced just once, `spun` is the side to which
    all turns go this time, `ways` are figures with where they go; `doubt` the first word that is none of this.
    """

    last: bool = False
    all: bool = False
    names: tuple[str, ...] = ()
    first: int = 0
    until: int = 0
    numbered: tuple[int, ...] = ()
    measured: bool = False
    tail: int = 0
    lines: int = 0
    since: int = 0
    total: int = 0
    toward: bool = False
    turned: tuple[str, str] = ("", "")
    once: bool = False
    spun: str = ""
    times: int = 2
    feet: str = "same"
    turns: bool = False
    figures: tuple[str, ...] = ()
    facing: str = ""
    walls: tuple[str, ...] = ()
    ways: tuple[tuple[str, str], ...] = ()
    doubt: str = ""

    @property
    def changed(self) -> bool:
        """Whether it is danced otherwise this time, or a word of it is not read."""
        return bool(self.doubt or self.figures or self.otherwise)

    @property
    def otherwise(self) -> bool:
        """Whether some of it turns or goes elsewhere this time."""
        return bool(self.spun or self.ways or self.turned[0])


def round_by(lines: Sequence[Line]) -> int:
    """Return by how many eighths lines turn, one after another."""
    return sum(turned_by(line, False) or 0 for line in lines)


def backed(made: Again, lines: Sequence[Line]) -> Again:
    """Return a repeat of lines `to the back` as one that begins there, if these turn half round; it says neither where
    it begins nor where it ends if not all of them are read."""
    if made.facing != "back" or made.times != 2 or made.walls:
        return made
    half = round_by(lines) % EIGHTHS == EIGHTHS // 2
    unread = any(line.blank for line in lines)
    return evolve(made, walls=("back",) * (half and not unread), facing="" if half or unread else "back")


_RANGE = re.compile(
    r"(?i)\b(?:(?P<unit>beats?|counts?|cts?\b\.?|measures?|meas\b\.?|m\b\.?|bars?|steps?|lines?|nos?\b\.?|numbers?|"
    r"#)\s*)?(?P<a>\d{1,3})\s*(?:-|to|through|thru)\s*(?P<b>\d{1,3})\b"
)
_BAR = re.compile(r"(?i)\b(?:measures?|meas\b\.?|m\b\.?|bars?)\s*(\d{1,2})\b(?:\s*(?:[+/&]|and)\s*(\d{1,2})\b)?")
_LAST = re.compile(
    r"(?i)\b(?:last|previous)\s+(\d{1,2})(?:\s*(?:beats|counts|cts)\b|(?<!\D[123])(?!\s*(?:steps|lines|figures|things|"
    r"times)\b)\b)"
)
_FIRST = re.compile(_LAST.pattern.replace("last|previous", "first"))
_WHOLE = re.compile(
    r"(?i)\b(?:all|the|those|these) (\d{1,2})(?:\s*(?:beats|counts|cts)\b|(?<=[1-9]\d)(?=\W*$|\s+(?:over|again)))"
)
_LISTED = re.compile(
    r"(?i)\b(?:nos?\.?|numbers?|lines?|steps?|#)\s*((?:\d{1,2}\s*(?:,|&|and)\s*)*\d{1,2})\b|^\W*(?:repeat|rpt|"
    r"do)\s+((?:\d{1,2}\s*(?:,|&|and)\s*)*\d{1,2})(?:\s+again)?(?=\W*$|,|\s+to\s+(?:the|face)\b)|"
    r"^\W*(?:same )?as\s+(\d)(?=[\s,]|$)(?!\s*-)"
)
_FEW = re.compile(
    r"(?i)\b(\d|two|three|four)\s+(?:steps|lines|figures|things)\b|"
    r"\b(?:those|these|last) (two|three)(?=\s+(?:over|again|once)\b|\W*$)"
)
_FACING = re.compile(
    r"(?i)\b(?:back )?(?:to (?:get )?(?:back to )?(?:face )?|facing |faces? |at |toward )(?:the )?(front|back|"
    r"frt)\b(?: wall)?(?: again)?"
    r"|\b(?:end|finish|come|get)\w* (?:up )?(?:at |in |on )?(?:the )?(front)\b|"
    r"\b(?:back )?(home)\b(?: (?:at|by) the end\b)?|\b(\d{1,2}:00)\b"
)
_FROM = re.compile(
    r"(?i)\bfrom (?:the )?(?:front|back|\d{1,2}:00)(?: wall)?\b|"
    r"\b(?:to |for |on )?all (?:4|four)(?: of the)? walls\b|\b(?:once )?(?:to|on) (?:each|every) wall\b"
)
_MORE = re.compile(
    r"(?i)\b(\d|one|once|twice|two|three|four|five)\s*(?:x|times)?\s*more(?: times?)?\b|\b(\d)\s?x\s+more\b"
)
_INALL = re.compile(r"(?i)\b(\d|two|three|four|five)\s+(?:times )?in all\b")
_TIMES = re.compile(rf"(?i)\b{TIMES}")
_OTHER = re.compile(
    r"(?i)\b(?:other|opposite|opp|mirror)\b\.?(?:\s+(?:footwork|foot|feet|ft|side|way|lead|direction)\b)?"
)
_TURNS = re.compile(
    rf"(?i)\bturns? still(?:\s+\d/\d(?:\s+{SIDED}\b)?)?|\bsame turns?\b|\bturn(?:s|ing)? (?:is |"
    r"are )?(?:still )?(?:in )?the same(?: way| direction)?\b"
)
_SPUN = re.compile(
    r"(?i)(?:[,;(]\s*|\s-+\s*|\b(?:but|and|only)\s+)*\b(?:turn|circl|spin|rotat)(?:e|s|es|ing|ning)?\s+(?:to\s+the\s+)?"
    rf"({SIDED})\b(?:\s+(?:this|the\s+(?:second|2nd|other))\s+time|\s+instead)?(?=\W*$)"
)
"""The side to which it turns this time."""
_FOOT = re.compile(
    r"(?i)\b(?:(?:with|on|using|leading|starting|start|starts|beginning|begin)\s+)*(?:(?:with|on)\s+)?(?:the\s+|"
    rf"your\s+)?\(?\b({FOOT})\b\)?(?:\s+(?:foot|ft|side|lead))*"
)


class _Rest:
    """The words of a line that nothing has taken yet."""

    def __init__(self, text: str) -> None:
        self.text = text

    def take(self, pattern: str | re.Pattern[str]) -> re.Match[str] | None:
        """Take what a pattern finds first, wherever it stands."""
        if found := re.search(pattern, self.text):
            self.text = self.text.replace(found[0], " ")
        return found


def again(text: str, vocabulary: Vocabulary, names: tuple[str, ...] = ()) -> Again | None:
    """Return what a line says to dance again, None if it does not begin with that."""
    said = re.sub(r"(?:\[\d{1,2}\]\s*)+", " ", spelled(plain(text)))
    said = re.sub(r"(?i)\b(?:an?|one) (?:more|second) time\b", "once more", said)
    said = re.sub(r"(?i)^\s*=\s*(?=(?:bars?|beats?|counts?|lines?)?\s*\d)", "repeat ", said)
    called = "|".join(re.escape(each) for each in names if len(each) > 2)
    begun = _BEGINS.match(re.sub(rf"(?i)\b(?:{called})\b", "part", said) if called else said)
    if not begun or re.fullmatch(r"(?i)\W*over\W*", said):  # of the page
        return None
    whole = re.search(r"(?i)\ball\b|\babove\b|\bthings?\b.*\bagain\b|\bwhole\b|\bpart\b", said)
    unturned = re.search(r"(?i)\b(?:no|without(?: the| a| any)?|do not|don'?t|doesn'?t) turn", text)
    half = re.search(r"(?i)\b(?:first|second|1st|2nd|last) half\b|\bhalf of\b", text)
    doubted = unturned or half
    last = bool(
        re.match(r"same|ditto|(?:(?:on|with|using) (?:the )?)?(?:other|opp)|as above", begun["verb"].casefold())
    )
    last &= not whole
    once = not re.search(r"(?i)\b(?:each|every|both)\b", said)
    said, ways = _going(said, vocabulary)
    said, turned = _changed(said, vocabulary)
    spun = _SPUN.search(said)
    said = said[: spun.start()] if spun else said
    made = Again(
        last=last,
        all=_ALL.search(said) is not None,
        ways=ways,
        turned=turned,
        once=once and bool(turned[0]),
        doubt=doubted[0] if doubted else "",
    )
    made = evolve(made, spun=SIDE[SPOKEN_FEET[spun[1].casefold()]] if spun else "")
    rest = _Rest(said)
    for part in (_meant, _often, _walls, _summed, _footed):
        made = part(made, rest)
    rest.take(r"(?i)\bover again\b")
    return _worded(_named(made, rest, names), rest, vocabulary)


def _going(text: str, vocabulary: Vocabulary) -> tuple[str, tuple[tuple[str, str], ...]]:
    """Return a text without where figures go this time, `, Triples moving back`, and these figures with that."""
    first, *more = re.split(r"(?:,|\bbut\b)\s*(?=[A-Za-z])", text)
    ways: list[tuple[str, str]] = []
    for said in more:
        match sorted(piece[:2] for piece in pieces(said, vocabulary) if piece[0] not in ("noise", "sep")):
            case [("dir", way), ("figure", figure)]:
                ways.append((figure, way))
            case _:
                first = f"{first}, {said}"
    return first if ways else text, tuple(ways)


def _changed(text: str, vocabulary: Vocabulary) -> tuple[str, tuple[str, str]]:
    """Return a text without the turn that each of a figure has this time, `but turn 1/4 L on each Triple`, the figure
    and its turn; the text as it is where it says any other change."""
    found = re.search(r"(?i)\W*\b(?:but|only)(?: this time)?\b(?P<change>.*)$", text)
    said = pieces(re.sub(r"(?i)\bon (?:the|each|every)\b", ", ", found["change"]), vocabulary) if found else []
    named = [(kind, value) for kind, value, _, _ in said if kind in ("figure", "turned")]
    others = [word.casefold() for kind, _, _, word in said if kind not in ("figure", "turned", "noise", "sep", "turn")]
    turned, figure = dict(named).get("turned", ""), dict(named).get("figure", "")
    if (
        not found
        or len(named) != 2
        or not (turned and figure)
        or not {*others} <= {"each", "every", "on", "both", "make"}
    ):
        return text, ("", "")
    return text[: found.start()], (figure, turned)


def _meant(made: Again, rest: _Rest) -> Again:
    """Read which lines or beats are meant."""
    if found := rest.take(_LAST):
        made = evolve(made, tail=int(found[1]))
    if found := rest.take(_WHOLE):
        made = evolve(made, tail=int(found[1]))
    if found := rest.take(_FIRST):
        return evolve(made, first=1, until=int(found[1]))
    if found := rest.take(_RANGE):
        first, until, unit = int(found["a"]), int(found["b"]), found["unit"] or ""
        numbered = range(first, until + 1) if re.match(r"(?i)steps?|lines?|no|numbers?|#", unit) else ()
        measured = bool(re.match(r"(?i)m|bar", unit))
        return evolve(made, first=first, until=until, measured=measured, numbered=tuple(numbered))
    if found := rest.take(_BAR):
        return evolve(made, first=int(found[1]), until=int(found[2] or found[1]), measured=True)
    if found := rest.take(_LISTED):
        return evolve(made, numbered=tuple(map(int, re.findall(r"\d+", next(filter(None, found.groups()))))))
    return made


def _often(made: Again, rest: _Rest) -> Again:
    """Read how often all is danced in all."""
    if found := rest.take(_MORE):
        times = 1 + ({"once": 1, "twice": 2}.get((found[1] or "").casefold()) or number(found[1] or found[2]))
        total = rest.take(_INALL)
        return evolve(made, times=times, doubt=total[0] if total and number(total[1]) != times else made.doubt)
    found = rest.take(_TIMES)
    return evolve(made, times=often(*found.groups())) if found else made


def _walls(made: Again, rest: _Rest) -> Again:
    """Read whether turns stay, and where all that ends."""
    made = evolve(made, turns=rest.take(_TURNS) is not None)
    if (led := rest.take(_FROM)) and (begun := re.search(r"(?i)\bback\b|\bfront(?= wall)|\d{1,2}:00", led[0])):
        made = evolve(made, walls=(begun[0].casefold(),))
    if (many := rest.take(r"(?i)\b(\d|two|four) walls(?: in all)?\b")) and number(many[1]) != made.times:
        made = evolve(made, doubt=made.doubt or many[0])
    walls = [*_FACING.finditer(rest.text)]
    rest.text = _FACING.sub(" ", rest.text)
    said = [next(filter(None, each.groups())).casefold() for each in walls]
    faced = ["front" if wall in ("front", "frt", "home") else wall for wall in said]
    if len(faced) == made.times - 1 > 1:  # `3 more times, to 9:00, 6:00, 3:00`
        return evolve(made, walls=tuple(faced))
    return evolve(made, facing=faced[-1] if faced else "", doubt=made.doubt or " ".join(said) * (len(said) > 2))


def _summed(made: Again, rest: _Rest) -> Again:
    """Read how many beats it is in all, or of how many lines it is."""
    if total := rest.take(r"(?i)(?:=|\bmakes)\s*(\d{1,3})\b"):
        made = evolve(made, total=int(total[1]))
    if few := rest.take(_FEW):
        made = evolve(made, lines=number(few[1] or few[2]))
    return made


def _footed(made: Again, rest: _Rest) -> Again:
    """Read on which foot it is danced again."""
    if rest.take(_OTHER):
        rest.take(rf"(?i)\b(?:to the|going|moving) {SIDED}\b")
        led = rest.take(rf"(?i)\b(?:start|lead|begin)\w* (?:on |with )?(?:the )?({SIDED})\b")
        led = led or rest.take(rf"(?i)\b({SIDED})\b\W*(?:lead|foot|ft)\b")
        return evolve(made, feet=SPOKEN_FEET[led[1].casefold()] if led else "other")
    if rest.take(r"(?i)\bsame (?:foot|feet|lead|footwork)\b"):
        return made
    rest.take(rf"(?i)\b(?:to the|going|moving) {SIDED}\b(?=.*\b{SIDED}\b)")
    found = rest.take(_FOOT)
    return evolve(made, feet=SPOKEN_FEET[found[1].casefold()]) if found else made


def _named(made: Again, rest: _Rest, names: tuple[str, ...]) -> Again:
    """Read which parts are named; a letter alone is one in capitals, or behind `part`."""
    named = [
        each
        for each in names
        if re.search(rf"(?<![\w'])(?i:{re.escape(each)})(?![\w'])", rest.text)
        and (len(each) > 1 or re.search(rf"(?<![\w'])(?:(?i:part|section) {each}|{each.upper()})(?![\w'])", rest.text))
    ]
    for each in sorted(named, key=len, reverse=True):
        rest.text = re.sub(rf"(?i)(?<![\w'])(?:part |section )?{re.escape(each)}(?![\w'])", " ", rest.text)
    return evolve(made, names=tuple(named))


def _worded(made: Again, rest: _Rest, vocabulary: Vocabulary) -> Again:
    """Read the figures among the words that are left, several or both; the first word that could change what is danced
    is in doubt."""
    figures: list[str] = []
    said = pieces(rest.text, vocabulary)
    several = re.search(r"(?i)\bboth\b", rest.text) or len({value for kind, value, *_ in said if kind == "figure"}) > 1
    for kind, value, _, word in said:
        if kind in ("sep", "noise", "talk") or not re.search(r"\w", word) or word.casefold() in _QUIET:
            continue
        if kind == "figure" and several:
            figures.append(value)
            continue
        home = kind == "dir" and value in ("back", "in front", "home", "in place")
        made = evolve(made, toward=made.toward or kind == "dir", doubt=made.doubt or word * (not home))
    return evolve(made, figures=tuple(figures))


BOX = re.compile(r"(?i)\b(?:box|square)\b|\b(?:each|every|all (?:4|four))(?: of the)? walls?\b")
"""What a dance goes round, once to each wall."""


def quartered(items: Sequence[Item], _begin: int) -> bool:
    """Say whether lines that are danced four times turn a quarter each time, wherever they begin."""
    blocks = [item for item in items if isinstance(item, Block) and item.times == 4]
    return bool(blocks) and all(abs(round_by(lines_of(block))) == EIGHTHS // 4 for block in blocks)


_ENDED = re.compile(
    rf"(?i)[,;]\s*(?:(?:and|so|then|but|on)\s+)*(?=(?:the )?(?:{ORDINAL}|last)\s+(?!one\b)"
    r"(?:[\w']+\s+){1,2}?(?:brings?|gets?|takes?|puts?|ends?|finish\w*|leaves?|faces?)\b[^;,\d()]*$)"
)
"""What stands before where a time ends: `second B brings you home`."""


def freed(text: str) -> str:
    """Return the foot, "left" or "right", of which a text says just that it is free, "" if it says anything else."""
    text = re.sub(r"(?i)\bagain\b", " ", text)
    said = claims(text) if re.search(r"(?i)\bfree\b|\bw(?:eigh)?t\b", text) else None
    return said.foot if said and said.pure and not (said.facing or said.counts) else ""


def parted(text: str, vocabulary: Vocabulary) -> list[str]:
    """Return a sentence cut before its last words, if these only say to dance again, `…, and the same once more`, where
    one time of a part ends, or which foot is free."""
    for found in re.finditer(r"[,;(]\s*|\s-+\s+", text):
        if freed(tail := text[found.end() :].strip(" ().")):
            return [*parted(text[: found.start()], vocabulary), tail]
    if ended := _ENDED.search(text):
        return [*parted(text[: ended.start()], vocabulary), text[ended.end() :]]
    for found in re.finditer(
        r"(?:[,;]|\s(?:-+|/)\s|(?<=\))\s)\s*(?:(?:and|so|then|but)\s+)*"
        r"(?=(?:do|dance|(?i:repeat|rpt|rep)|the same|same(?! (?:foot|feet|ft|lead|footwork)\b)|all|that|both|"
        r"again)\b)",
        text,
    ):
        repeated = again(text[found.end() :], vocabulary, ())
        bracket = re.fullmatch(r"\W*\([^()]*\)", text[: found.start()])  # is itself what is danced again
        alike = (
            not bracket
            and repeated
            and (repeated.feet == "same" or (repeated.feet == "other" and "same" in text[found.end() :]))
        )
        if repeated and alike and not repeated.doubt and not repeated.turns:
            return [text[: found.start()], text[found.end() :]]
    return [text]


def after(text: str) -> str:
    """Return a cue behind the word that asks for it again: `Repeat Cowboy`, `then do the Charleston again`."""
    return re.sub(r"(?i)^\W*(?:(?:and|then|now|do|dance|repeat|the)\s+)+", "", text)
