"""Cues, and the marks of one; the first word that is no mark and could change what is danced is its doubt."""

import re
from itertools import islice

from attrs import define, field, frozen

from stepcheck.cues.footwork import Footwork
from stepcheck.cues.tokens import Tok, movement, number
from stepcheck.steps.steps import OTHER, SIDE, Step, Turn, turn
from stepcheck.steps.vocabulary import Vocabulary, pieces, tight
from stepcheck.steps.words import NTHS, NUMBERS, ORDINALS, SIDED, SPOKEN_FEET, words_of

EACH = frozenset(["each", "ea", "every", "both", "apiece", "per"])
OTHERWISE = frozenset(words_of("otherwise"))
"""Words with which something else is danced than what is named."""
NTH = {"last": "last"} | dict(zip(ORDINALS, NTHS, strict=False)) | dict(zip(NTHS, NTHS, strict=True))
_TOWARD = frozenset(words_of("toward"))
_ARTICLES = frozenset(["the", "your", "our", "own", "a", "to"])
_MANNER = frozenset(words_of("manner"))
_ADDRESSED = frozenset(words_of("addressed"))
_BODY = frozenset(words_of("body"))
_UNITS = frozenset(["beat", "beats", "count", "counts", "ct", "cts", "bt", "bts"])
_BARS = frozenset(["bar", "bars", "meas", "measure", "measures"])
_TIMING = frozenset(["double-time", "half-time"])  # with which a figure lasts otherwise
_SIDES = frozenset(["foot", "feet", "side", "sides", "way", "ways"])
_STAYS = frozenset(["stay", "stays", "staying", "straight", "none"])
_OMITS = frozenset(["skip", "omit", "leave", "drop", "without", "no", "minus"])
"""Words in front of a figure that isn't danced."""


@define
class Cue:
    """One cue while it is read.

    `name` is its figure, `row` its steps, or those that spell the figure, `steps` its steps in words; `number` stands
    in front of it, `times` says how often it is danced; `alike` says that each of its times begins on its foot, `per`
    that its beats are those of each time, `several` that its name is a plural, `on` is the one of its
    times that turns, `place` the movement on which it does; `explained` says that a colon stands behind it, `spelling`
    are steps behind that, which say what it is or are danced as well; `aside` is what its row is called behind it,
    `choice` what may be danced instead; `unknown` says that no book has what it names; `relates` says that it is on the
    "same" or the "other" foot as the last time; `runs_on` says that only a space is between its name and its row;
    `sep` is the sign in front of it; `doubt` is the first word that its reading does not use though it could change it.
    """

    text: str
    name: str = ""
    row: Footwork | None = None
    steps: tuple[Step, ...] = ()
    number: int = 0
    times: int = 0
    feet: str = ""
    turns: list[Turn] = field(factory=list)
    each: bool = False
    alike: bool = False
    per: bool = False
    several: bool = False
    shared: bool = False
    on: str = ""
    place: str = ""
    spelling: list[Step] = field(factory=list)
    explained: bool = False
    facing: str = ""
    beats: int = 0
    aside: str = ""
    choice: str = ""
    notes: list[str] = field(factory=list)
    unknown: bool = False
    relates: str = ""
    runs_on: bool = False
    sep: str = ""
    doubt: str = ""


def compound(held: list[Tok], at: int) -> str:
    """Return the word beside a figure with which it may be another one, "" if there is none: `Canadian Basic`; of
    several of which nothing says how many, `just the Vines`, their name."""
    before = held[at - 1] if at else None
    after = held[at + 1] if at + 1 < len(held) else None
    beside = [each for each in (before, after) if each and each.depth == held[at].depth]
    several = held[at].low.endswith("s") and not held[at].value.endswith("s")
    if several and before and before.low == "the" and not any(tok.kind in (*MARKS, "number") for tok in held):
        return held[at].text
    return next((each.text for each in beside if _names(each, each is before)), "")


def _names(tok: Tok, before: bool) -> bool:
    """Say whether a word beside a figure makes another figure of it."""
    if before and tok.value == "slowly":
        return True  # `2 slow Basics`: on other beats
    if tok.low in EACH | OTHERWISE | _MANNER or tok.low in NTH:
        return False
    if before:
        return tok.kind in ("word", "verb", "part", "codes", "turn") and not number(tok) and tok.low not in _ADDRESSED
    named = tok.kind == "word" and not tok.text.islower() and tok.text not in "↑↓"  # `Fancy Double stay there`: how
    return (named or tok.kind in ("verb", "part", "codes")) and not tok.low.endswith("ing")


MARKS = ("foot", "feet", "twice", "turned", "clock")
GOES = frozenset(["walk", "move", "travel", "come", "go", "march"])
"""Words that say how a figure travels, where no number or foot stands beside them."""
TALK = frozenset(words_of("talk"))


def unknown_name(held: list[Tok]) -> str:
    """Return the words of a piece that look like the name of a figure that no book has: `Mountain Goat`, `2 turkeys
    L`."""
    plain = [tok for tok in held if not tok.depth]
    words = [
        tok
        for tok in plain
        if tok.kind in ("word", "verb", "part", "dir", "noise", "turn", "codes") and not number(tok)
    ]
    named = [tok for tok in words if tok.kind in ("word", "part", "verb") and tok.low not in EACH | OTHERWISE | _MANNER]
    named = [tok for tok in named if tok.low not in NTH and tok.text not in "↑↓"]
    if (
        not re.search(r"[^\W\d_]", " ".join(tok.text for tok in named))
        or len(words) > 4
        or {tok.low for tok in words} & (TALK | _UNITS | _BARS)
    ):
        return ""
    counted = bool(plain) and number(plain[0]) and plain[0].low not in ("a", "an")
    marked = any(tok.kind in ("foot", "feet", "twice") for tok in plain[1:])
    titled = all(tok.text[:1].isupper() or tok.kind in ("noise", "dir") for tok in words)
    if not (counted or marked or titled) or any(tok.kind == "turned" for tok in plain[:1]):
        return ""
    return tight(" ".join(tok.text for tok in words if tok in named or tok.kind in ("verb", "dir", "turn", "codes")))


def quiet(tok: Tok) -> bool:
    """Say whether a word in front of a cue says nothing of it."""
    known = tok.low in TALK | _MANNER | _ADDRESSED | EACH | _UNITS or tok.low in NTH
    return bool(number(tok)) or known or tok.text in "↑↓¦"


def risk(held: list[Tok]) -> str:
    """Return the first word of a piece that could change a dance."""
    kinds = ("foot", "feet", "turned", "twice", "number", "figure", "verb", "codes", "size")
    return next((tok.text for tok in held if tok.kind in kinds or tok.low in OTHERWISE), "")


AIMED = re.compile(rf"(?i)\b(?:to|toward|towards) (?:(?:the|your) )?{SIDED}\b")
_CHANGES = ("feet", "turned", "twice", "number", "figure", "size", "nth", "clock")


def prose(text: str, vocabulary: Vocabulary) -> bool:
    """Say whether words tell no dance: there is one among them that no cue is made of, and none that changes one."""
    words = AIMED.sub(" ", text)
    words = re.sub(rf"(?i)\b{SIDED} (?:{'|'.join(_BODY)})\b", " ", words)
    found = [(kind, word.casefold()) for kind, _, _, word in pieces(words, vocabulary)]
    changes = any(kind in (*_CHANGES, "foot") or word in OTHERWISE or NUMBERS.get(word) for kind, word in found)
    return not changes and any(kind == "word" and len(word) > 3 for kind, word in found)


@frozen
class _Spot:
    """A word among those beside a cue: these, where it stands, the cues before, and whether they stand in front."""

    held: list[Tok]
    at: int
    before: list[Cue]
    front: bool

    @property
    def tok(self) -> Tok:
        """The word itself."""
        return self.held[self.at]

    @property
    def past(self) -> list[str]:
        """The three words before it, without commas."""
        before = (self.held[at] for at in range(self.at - 1, -1, -1))
        return [*islice((each.low for each in before if each.text != ","), 3)][::-1]

    @property
    def follows(self) -> str:
        """The word behind it, "" if there is none."""
        return self.held[self.at + 1].low.partition(" ")[0] if self.at + 1 < len(self.held) else ""

    @property
    def behind(self) -> str:
        """The words behind it."""
        return " ".join(each.low for each in self.held[self.at + 1 :])

    @property
    def alone(self) -> bool:
        """Whether the word is a number that is all that brackets hold: `(4)`."""
        beside = self.held[max(0, self.at - 1) : self.at + 2]
        return self.tok.kind == "number" and self.tok.depth > 0 and sum(each.depth > 0 for each in beside) == 1

    @property
    def turned(self) -> bool:
        """Whether one of the words is a turn."""
        return any(each.kind == "turned" for each in self.held)


def mark(cue: Cue, held: list[Tok], before: list[Cue], front: bool = False) -> None:
    """Give a cue its marks; the first word that is none and could change it is its doubt."""
    for at in range(len(held)):
        spot = _Spot(held, at, before, front)
        if not _placed(cue, spot) and not _within(cue, spot) and not _counted(cue, spot):
            _worded(cue, spot)


def _placed(cue: Cue, spot: _Spot) -> bool:
    """Take a foot, a turn, the movement on which it turns, or a facing; return whether a word is one."""
    tok = spot.tok
    if tok.kind in ("foot", "feet"):
        _footed(cue, tok, spot.past, spot.follows)
    elif tok.kind == "turned" and _part_of_it(spot):
        cue.doubt, cue.unknown = cue.doubt or tok.text, True
    elif tok.kind == "turned":
        cue.turns.append(turn(tok.value))
    elif tok.low in _TIMING or tok.low == "etc":
        cue.doubt, cue.unknown = cue.doubt or tok.text, True
    elif tok.kind == "nth" and spot.turned:
        cue.place = tok.value
    elif tok.depth and cue.row is not None and any(tok.value in group for group in cue.row.codes):
        cue.notes.append(tok.text)  # `DS SLR S DS RS (Slur)`
    elif tok.kind == "clock":
        cue.facing = tok.value
    elif tok.text in "↑↓":
        cue.facing = "front" if tok.text == "↑" else "back"
    else:
        return False
    return True


def _within(cue: Cue, spot: _Spot) -> bool:
    """Take the beats of a figure on which it turns or goes, `1/2 L on last 4`; return whether a word is of them."""
    ahead = spot.held[spot.at + 1 : spot.at + 2]
    noted, many = bool(cue.turns or cue.notes), max(cue.number, cue.times, 1)
    if noted and spot.tok.low in PART and ahead and number(ahead[0]) > many:
        cue.notes.append(f"on the {spot.tok.low} {ahead[0].text}")
        return True
    return noted and [each for each in spot.past[-1:] if each in PART] != [] and number(spot.tok) > many


def _counted(cue: Cue, spot: _Spot) -> bool:
    """Take how often a cue is danced, its beats, and for which of its times a mark is; return whether a word says
    that."""
    tok = spot.tok
    if tok.kind == "twice":
        _often(cue, spot)
    elif tok.kind != "noise" and number(tok):
        _numbered(cue, spot)
    elif tok.low == "every" and re.fullmatch(r"\d+(?:th|rd|nd)|other|eighth|fourth", spot.follows):
        cue.doubt = cue.doubt or f"every {spot.follows}"
    elif tok.low in EACH and not (tok.depth and cue.per) and not (tok.low == "both" and spot.front):
        _each(cue, spot)
    elif tok.low == "altogether" or (tok.low in ("over", "total") and spot.follows not in ("", "the")):
        cue.shared = True
    elif tok.low in NTH and [each.kind for each in spot.held[spot.at + 1 :][:1]] == ["foot"]:  # `first L, then R`
        cue.feet = cue.feet or (cue.row.feet[0][:1] if cue.row and cue.row.feet else "")
        cue.doubt = cue.doubt or tok.text * (NTH[tok.low] != NTHS[min(len(cue.feet), 3)])
    elif tok.low in NTH and not cue.turns and not spot.turned and any(each.kind == "dir" for each in spot.held):
        cue.notes.append(f"on the {tok.low}")  # `forward on the first`
    elif tok.low in NTH and cue.on and not any(each.kind == "turned" for each in spot.held[spot.at + 1 :]):
        stays = _STAYS & {each.low for each in spot.held}  # `1/4 L on the first, stay on the second`
        more = [each for each in spot.held[spot.at + 1 :] if each.kind in (*MARKS, "figure")]
        more += [each for each in spot.held if each.low in ("again", "also", "too")]
        cue.doubt = cue.doubt or tok.text * bool(more and not stays)
        cue.notes.append(f"on the {tok.low}")
    elif tok.low in NTH:
        cue.on = NTH[tok.low]
    else:
        return False
    return True


def _each(cue: Cue, spot: _Spot) -> None:
    """Take what is of each time; without a turn one on each foot, `Triple on each foot`, is danced twice."""
    if cue.per and not spot.turned and spot.follows not in _SIDES:
        return  # its beats
    cue.each, cue.alike, many = True, not spot.turned, max(cue.number, cue.times)
    if cue.name and spot.follows in _SIDES and not (cue.unknown or cue.feet or cue.row):
        cue.doubt = cue.doubt or spot.tok.text * (many > 1 + (spot.turned or bool(cue.turns)))
        cue.times, cue.alike = cue.times or 2 * (many < 2), False


def _often(cue: Cue, spot: _Spot) -> None:
    """Read how often a cue is danced; behind steps in a bracket it is one of these that is, `(rock and step, 3 times)`,
    and the cue in doubt."""
    tok = spot.tok
    if tok.depth and not cue.row and any(each.kind == "verb" for each in spot.held if each.depth):
        cue.doubt, cue.unknown = cue.doubt or tok.text, True
        return
    cue.doubt = cue.doubt or tok.text * (cue.times > 0)
    cue.times = int(tok.value)
    cue.each = cue.each or bool(cue.turns)  # `turn 1/4 left, four times`


PART = frozenset(["first", "last"])  # of a figure, in front of a number: `turn 1/2 L on last 4`


def _numbered(cue: Cue, spot: _Spot) -> None:
    """Read a number as beats where it has their unit, and as the number in front; any other is in doubt."""
    tok, size = spot.tok, number(spot.tok)
    each = spot.follows in EACH and (tok.depth or cue.number > 1)  # `2 Chains, 4 each`
    if each or spot.follows in _UNITS or (spot.alone and not spot.front):
        cue.beats = size
        cue.per = cue.per or any(each.low in EACH for each in spot.held[spot.at :][:3])
    elif not (spot.front and size == cue.number) and tok.low != "one":
        cue.doubt = cue.doubt or tok.text


def _worded(cue: Cue, spot: _Spot) -> None:
    """Read any other word: the name of a row, another foot, a doubt, or a note."""
    tok = spot.tok
    again = any(each is cue for each in spot.before[-1:]) and [each.low for each in spot.held] == ["again"]
    moves = tok.kind in ("verb", "codes", "size", "figure") and not tok.low.endswith("ing") and tok.value != "CLAP"
    moves &= not (cue.row and tok.low in GOES and any(each.kind == "dir" for each in spot.held[spot.at + 1 :][:1]))
    if tok.kind == "figure" and cue.row is not None and not cue.name:
        cue.name = tok.value  # `DS DS DS RS (that's your Triple)`
    elif again or (spot.front and tok.low in _OMITS) or (tok.low == "more" and spot.follows in ("time", "times")):
        cue.doubt, cue.unknown = cue.doubt or tok.text, True
    elif tok.low == "same" and re.match("as above|thing" if cue.feet else "as above", spot.behind):
        pass  # its steps
    elif tok.low in OTHERWISE:
        _other(cue, tok, spot.follows, spot.before)
    elif moves or tok.low == "st" or (tok.kind == "turn" and tok.low not in GOES and not spot.turned):
        cue.doubt = cue.doubt or tok.text
    elif tok.kind in ("dir", "word", "verb", "nth") and tok.text != "¦" and tok.low not in {*_UNITS, "footwork"}:
        before = spot.held[spot.at - 1].kind if spot.at else ""
        beside = before in ("word", "noise", "talk") and tok.kind == "word" and cue.notes
        said = tok.value if tok.kind == "dir" else tok.text
        cue.notes[-1:] = [f"{cue.notes[-1]} {said}"] if beside else [*cue.notes[-1:], said]


def names_steps(cue: Cue, row: Footwork) -> bool:
    """Say whether steps in words are among those of the row that they stand behind, and so only say what it is."""
    codes = {code for step in cue.steps for code in step.codes}
    marked = cue.feet or any(step.foot for step in cue.steps) or cue.number or cue.times or cue.turns
    alike = bool(codes) and codes <= {code for group in row.codes for code in group}
    return alike and not (marked or cue.text.isupper())


def _part_of_it(spot: _Spot) -> bool:
    """Say whether a half is one of the figure and no turn: `half a Cowboy`, `Triple and a half`."""
    beside = spot.front or spot.past[-1:] == ["a"]
    return beside and not turn(spot.tok.value).side and not any(re.search("turn|circle", tok.low) for tok in spot.held)


def _footed(cue: Cue, tok: Tok, past: list[str], follows: str) -> None:
    """Give a cue its foot, or where it goes, `to the left`, or another part of the body, `left hand`."""
    if tok.kind == "foot" and follows in _BODY:
        cue.notes.append(tok.text)
        return
    if past[-1:] and past[-1] in ("then", "and", "&", "/") and past[-2:-1] and past[-2] in SPOKEN_FEET:
        past = past[:-2]  # `move L then R`
    toward = [each for each in past if each not in _ARTICLES or each == "to"]
    said = cue.feet == tok.value and max(cue.number, cue.times) < 2  # `(L) DS DS DS RS   Triple, left`
    if said and tok.kind == "foot" and follows in ("foot", "ft"):
        return  # `Vine right, same, right foot`
    if (said or (toward and toward[-1] in _TOWARD)) and tok.kind == "foot" and follows not in ("foot", "ft", "lead"):
        cue.notes.append(f"to the {SIDE[SPOKEN_FEET.get(tok.low, tok.value)]}")
    else:
        both = tok.kind == "feet" and cue.feet and cue.steps  # `R kicks, R, LR`: of a row
        cue.feet, cue.doubt = cue.feet + tok.value, cue.doubt or tok.value * bool(both)


def _other(cue: Cue, tok: Tok, follows: str, before: list[Cue]) -> None:
    """Read `other foot` as the other foot of the cue before, and `same foot` as its own."""
    on = follows in ("foot", "feet", "footwork", "side", "way")
    feet = next((each.feet for each in reversed(before) if each is not cue), "")
    if tok.low in ("other", "opposite") and cue.feet and (on or not follows):  # said twice, or danced on that as well
        cue.notes += ["other foot"] * (on and follows != "way" and feet[-1:] != OTHER[cue.feet[-1]])
        return
    if tok.low == "same" and follows in ("footwork", "steps") and cue.name:
        return  # which are the figure's
    if tok.low in ("other", "opposite") and on and feet:
        cue.feet = OTHER[feet[-1]]
    elif tok.low == "same" and on and len(feet) == 1:
        cue.feet = feet
    else:
        if (on and not feet) or (tok.low == "same" and not follows):
            cue.relates = "as named" if not on else "same" if tok.low == "same" else "other"
        cue.doubt = cue.doubt or tok.text


def replaced(cue: Cue, places: list[str]) -> None:
    """Put the words back for which signs stand in a cue: movements that something is done on, walls, and numbers with
    directions, which are in doubt if they don't come to the number of the cue."""
    cue.text = re.sub(r"@(\d+)", lambda at: places[int(at[1]) - 1], cue.text)
    cue.text = cue.text.replace("↑", "to the front").replace("↓", "to the back")
    if cue.place.isdecimal():
        told = places[int(cue.place) - 1]
        cue.place = movement(told)
        cue.notes += [told] * (not cue.place)
        nth, many = re.search(r"(?i)\b(first|second|last|final)\b", told), max(cue.number, cue.times, len(cue.feet))
        if nth and many == 2 and nth[1].casefold() == "second":
            cue.on = "2nd"  # `2 Rocking Chairs, 1/2 left on the second brush`
        elif nth and many > 1:
            cue.doubt = cue.doubt or told  # the last of each, or of all?
    cue.notes = [re.sub(r"^@(\d+)", lambda at: places[int(at[1]) - 1], each) for each in cue.notes]
    for note in cue.notes:
        ways = [int(each) for each in re.findall(r"\d+", note)] if note in places else []
        cue.doubt = cue.doubt or note * (bool(ways) and sum(ways) != (cue.times or cue.number or 1))
