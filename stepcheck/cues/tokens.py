"""The words and rows of a line of cues, and its pieces: what stands between commas, or says a cue of its own."""

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from operator import methodcaller

from attrs import evolve, frozen

from stepcheck.cues.codes import is_beats
from stepcheck.cues.footwork import Footwork, found_in
from stepcheck.steps.vocabulary import PARTS_OF_A_TURN, Vocabulary, pieces, tight
from stepcheck.steps.words import NUMBER, NUMBERS, SIDED, SIZE
from stepcheck.steps.words import number as said_number

_SEPARATES = frozenset([",", ";", "/", "+", "&", "then", "and", ".", ":", "-", "=", "!", "?", "¦", "--"])
_WALL = re.compile(
    r"(?i)(?<!moving )(?<!travel )(?<!going )(?<!go )(?:\b(?:back )?(?:to (?:face )?|facing |faces? |"
    r"towards? )(?:the )?(front|back|audience)(?: wall)?\b"
    r"(?! \w+ (?:foot|line))(?: again)?|\b(front|back) wall(?: again)?\b)"
)
_WHERE = r"(?:fwd|forwards?|back|backwards?|up|out|in)"
_FEW = r"(?:\d|two|three|four)"
_SPELLED = (
    (r"(?i)\b(?:double|dbl)[ -](?:toe[ -])?steps?\b(?!s)", "DS"),
    (r"(?i)(?<!double )(?<!dbl )\brock[ -]steps?\b", "RS"),
    (r"(?i)\bdbls?\b\.?", "double"),
    (r"^\s*\d(?:-\d){2,}\s{2,}(?=[A-Z])", ""),  # `3-3-2   DS DS RS …`: how its beats are grouped
    (r"(?i)\bx (\d)\b", r"x\1"),
    (r"(?i)(?<=[\w)])[\s,-]+(?:do (?:it )?(\d)|(\d) in a row)(?=\W*$)", r" x\1\2"),
    (r"(?i),? one (?:right )?after (?:the |an)other\b|\b(?:1|one) (?=(?:full|complete|whole) (?:turn|circle)\b)", ""),
    (r"(?i)\b(?:(?:1|one) time|1 ?x|once)(?:,? only)?(?=\W*$|\W+(?-i:[A-Z]))", "once"),
    (r"(?i)\bfrt\b", "front"),
    (r"(?i)\bfc(?:g|ing)?(?=\s+(?:front|bk|back)\b)", "facing"),
    (rf"(?i)(\s[LR]|\([LR]\)|[a-z]{{4}})\s+bk(?: up)?\b(?! {SIDED}\b)", r"\1 back"),
    (rf"(?i)(?<=\d/\d )T([LR])\b|\bT([LR])(?= {SIZE}\b)", r"turn \1\2"),
    (r"(?i)\bi/p\b", "in place"),
    (r"(?i)\b(fwd|forward|up|out)\s*(?:&|and|,|/|then)\s*bk\b", r"\1, back"),
    (r"(?i)\bft?wo?rk\b|\bftwk\b", "footwork"),
    (r"(?i)\b(?:mov|mvg|mvng|trav)\b\.?", "moving"),
    (
        rf"(?i)\b(moving|travel(?:l?ing)?) ({SIDED})\s*,?\s*(?:then|and|&|/)\s*(?:to the )?({SIDED})(?=\W*$)",
        r"\1 \2 to the \3",
    ),
    (
        rf"(?i)(?<=[\w)], )(?:(?:which|that|and|it) )?(?:go|move|travel)(?:e?s)? (?=(?:to the )?{SIDED}(?:\W*$|,))",
        "moving ",
    ),
    (r"(?i)\bfirst,? (?:and )?then\b", ", then"),
    (r"(?<=[\w)]) (?:plus|(?:going |leading )?into)(?: an?| the)? (?=\d|[A-Z])", ", "),
    (rf"(?i)((?:[(\[]|,\s)\s*)({SIDED})\s+({SIZE})(?=\s*(?:$|[)\],]|each\b|on\b))", r"\1\3 \2"),
    (r"(?:^|(?<=\s))[<>]{1,3}\s*(?=[LR](?!\w))", "moving "),
    (r"(?:^|(?<=\s))[<>]{1,3}(?=\s|$)", " "),
    (r"(?i)\blf?t\b\.?", "left"),
    (r"(?i)\brt\b\.?", "right"),
    (r"(?i)\balt\b\.?(?:\s+(?:feet|foot|ft)\b\.?)?", " "),
    (r"(?i)\bft\b\.?", "foot"),
    (r"(?i)\boff (?:the|your) (?=(?:left|right)\b)", "on the "),
    (r"(?i)\b(double|half)[ -](?:time|speed|tempo)\b", r"\1-time"),
    (r"(?i)\bopp\b\.?", "opposite"),
    (r"(?i)\bnow (?:at )?(front|back)(?=\W*$)", r"facing \1"),
    (r"(?i)\b(?:the )?left[ -](?:hand )?(?:side )?wall\b", "9:00"),
    (r"(?i)\b(?:the )?right[ -](?:hand )?(?:side )?wall\b", "3:00"),
    (r"(?i)\bon the (first|second|third|last)(?: (?:one|time|of them))? only\b", r"on the \1"),
    (r"(?i)\bover (?:the (?:two|three|four)|both|all (?:two|three|four))(?: of (?:them|these))?\b", "altogether"),
    (r"(?i)\bea\b\.?|\beach x\b|\bat a time\b", "each"),
    (r"(?i)\b([a-z][a-z-]+(?: [a-z-]+)?)(s?\b[^()]*?)\b(?:on|with) (?:each|every) \1s?\b", r"\1\2on each"),
    (r"(?i)\b(left|right|L|R|turn|around)\s+in (?:all|total)\b", r"\1 altogether"),
    (r"\b(?:ds|Ds)\b", "DS"),
    (r"(?i)\b(DS|RS) (running|walking|marching) steps\b", r"\1 \2"),
    (r"\b(?:rs|Rs)\b", "RS"),
    (r"\bSt(?=\.?[ (][LR]\b)", "Stomp"),
    (
        rf"(?i)\b({_WHERE})\s+{_FEW}(\s*(?:,|&|and|then|/)\s*{_WHERE})\s+(?:(?:it\s+)?up|{_FEW}\b(?!\s*(?:times|x\b|"
        r"[A-Z])))\b",
        r"\1\2",
    ),  # `fwd 3, back 3`: over which of its steps it goes where
    (rf"(?i)\b({_WHERE})\s+(\d)(?=(?:,| then| and)+\s*(?:\d/\d|full|turn)\b)", r"\1 on first \2"),
    (
        r"(?i)[,;]\s*(?:I (?:know|promise|swear)|believe me|trust me|sorry|"
        r"honest(?:ly)?)\b,?(?: but so [a-z ]+)?(?=\W*$)",
        " ",
    ),
    (
        r"(?i)\b(?:(?:and|so|then|now)\s+)*(?:puts you|(?:end|finish)(?:s|es|ing)?(?: up)?|"
        r"(?:you|we)(?:(?:'(?:re|ll)| (?:are|will|should|must|be|end up|finish|come))+|(?= (?:see|face|look) )))"
        r"(?: (?:now|home|back))* "
        r"(?:at|to|on|in|see|face|look at)\s+(?:the\s+)?(front|back)\b(?: wall)?(?! (?:foot|line|row))"
        r"(?: (?:again|now))?",
        r"facing the \1",
    ),
    (
        r"(?i)\b(?:(?:and|so) )*(?:now (?:at|on)|(?=(?:at|on) the \w+ (?:wall )?now\b)\w+) the (front|back)\b(?: wall)?"
        r"(?: now\b)?",
        r"facing the \1",
    ),
    (
        r"(?i)(?:\b(?:which|that) |(?<=, ))(?:bring|get|take|put)s (?:you|us) (?:back )?(?:home|to (?:the )?front)\b",
        "facing the front",
    ),
    (r"(?i)\b(left|right)(?: (?:foot|ft))? lead\b", r"\1 foot"),
    (
        r"((?:[\w)](?:\s{2,}|\t\s*|\s*\()|(?<!feet)(?<!foot)(?<!footwork),\s*|\s-\s+))"
        r"(?i:start|begin|lead)s?(?: on| with)? (?=(?i:left|right|[LR])\b)",
        r"\1",
    ),
    (
        r"(?i)^(?!\W*(?:do|dance|repeat|and|then|all|it|that|same)\b)([\w ]{3,24}?)\bagain,?\s+(?:but|only)"
        r"(?: this time)?\s+(?=turn)",
        r"\1, ",
    ),
    (r"(?i)\b2 (?=(?:the )?(?:face|front)\b)", "to "),
    (rf"(?i)(?<=\d/\d) ({SIDED}(?: each)?,?(?:\s+\d)?)\s+\((?:now )?(front|back)\W*\)", r" \1, facing the \2"),
    (rf"(?i)\b({_WHERE})(?:\s+(?:on|for))?\s+\d\s?-\s?\d(?=[\s,;)])", r"\1"),  # `up on 1-4`: on which of its beats
    (
        r"(?i),?\s*\bso (?:that )?(?:you|we) (?:see|face|visit|hit|dance to) (?:all (?:four|4)|every|each)(?: of the)? "
        r"walls?\b(?:,? and (?:end up|finish|come|are)\b[a-z' ]*)?",
        "",
    ),
    (r"(?i)\bhold(?= (?:(?:it )?(?:till|until)|(?:the|your|that) [a-z]+)\b)", "holding"),
    (r"(?i)\bdito\b", "ditto"),
    (
        rf"(?i)\b(?:(?:turn(?:s|ing)? )?all the way a?round\b|turn(?:s|ing)? (?:once|one time) a?round\b|"
        rf"(?:once|one time) a?round\b(?=,? (?:to (?:the )?)?{SIDED}\b)|full circle\b)",
        "full turn",
    ),
    (r"(?i)(?<=[\w),]) (?:and )?(?:stay(?:s|ing)? (?:there|here|put)|standing still)\b", " in place"),
    (r"(?i),? (?:and )?(?:now )?\b(?:you|we)(?: a|')re (?:back )?home\b(?: again)?", ", facing the front"),
    (r"(?i)\b(half|quarter|1/[24])[ -]?(?:of the )?way (?:a)?round\b", r"\1"),
    (rf"(?i)\ba?round (?:to (?:the )?)?({SIDED})\W{{1,2}}(full|half|1/[24])\b", r"\2 turn \1"),
    (rf"(?i)\b(full|half|1/[24]) a?round ({SIDED})\b", r"\1 turn \2"),
    (rf"(?i)\baround ({SIDED})\b(?!\s+(?:foot|feet))", r"around to the \1"),
    (
        r"(?i)(?:(?<=[\w)][,;] )(?:walk|go|move|march|take)(?:ing)?\s+(?:(?:them|it|these|this|those)\s+)?)?"
        r"(?:\b(?:around|round)\s+)?\bin (?:a |your )?(?:own )?(?:little |big |small )?circle"
        rf" (?:to (?:the |your )?)?({SIDED})\b",
        r"around, to the \1",
    ),
    (
        r"(?i)\b(?:walk|move|march|take)(?:ing)? (?:them|it|these|this|those) (?:around|round)\b"
        r"(?: to (?:the |your )?(?:left|right)\b)?",
        "around",
    ),
    (
        r"(?i),\s*(?:and )?(?:the )?same (?:thing|steps?|way),? (?:but |only |just )?"
        r"(?=(?:(?:with|on|using|starting|leading|beginning)\W+)+(?:the )?(?:left|right)(?: foot| ft)?\W*$)",
        ", ",
    ),  # `Vine to the right, same thing with the right foot`
    (rf"(?i)\bfull(?: turn)?, ({SIDED})\b", r"full turn \1"),
    (
        r"(?i)(?<!from )\b(?:your|our|their|with|the) backs? to (?:the )?(?:audience|front|crowd|judges)\b",
        "facing back",
    ),
    (r"(?i)\b(?:do(?:es)? not|don'?t|doesn'?t|no|without(?: the| a)?) turn(?:s|ing)?\b", " "),
)


@frozen
class Tok:
    """A word or phrase of a line: its kind, what it stands for, its text, how deep in brackets, and its row."""

    kind: str
    value: str
    text: str
    depth: int = 0
    row: Footwork | None = None

    @property
    def low(self) -> str:
        """Its text in small letters."""
        return self.text.casefold()


_COMPILED = tuple((re.compile(pattern), methodcaller("expand", said)) for pattern, said in _SPELLED)
_OF_THEM = re.compile(rf"(?i)(?:\b(?:dance|do)\s+)?\b{NUMBER} of (?:'?em|them|these|those)\b")
_OFTEN = re.compile(r"(?i)\b(DS|RS|BA)[ ,]+x(\d)\b(?=[ ,]+(?:DS|RS|S|BA|ST|STO)\b)")
"""A code that a row has several times in a row: `DS x7 RS`."""


@lru_cache(maxsize=1 << 10)
def spelled(text: str) -> str:
    """Return a text with the abbreviations of cues written out, and degrees as parts of a turn."""
    text = re.sub(r"[(\[]([^()\[\]]*)[)\]]", lambda found: " " if is_beats(found[1]) else found[0], text)
    told = _OFTEN.sub(lambda found: " ".join([found[1]] * int(found[2])), text)
    if told != text:  # the last of them as well: `DS x4, RS x2`
        text = re.sub(r"\b(DS|RS|BA|S|STO)[ ,]+x(\d)\b", lambda found: " ".join([found[1]] * int(found[2])), told)
    for pattern, said in _COMPILED:
        text = pattern.sub(said, text)
    text = _OF_THEM.sub(lambda found: f" x{of}" if (of := said_number(found[1])) > 1 else found[0], text)
    return re.sub(
        r"(?i)\b(45|90|180|270|360)\b(?:\s*(?:degrees?|deg\b\.?|°))?(?=\s*(?:\(?[LR]\b|to the |left|right|turn|$|"
        r"[,.)]))",
        lambda found: PARTS_OF_A_TURN[found[1]],
        text,
    )


def toks(text: str, vocabulary: Vocabulary, legend: Mapping[str, tuple[str, ...]]) -> list[Tok]:
    """Return the words and rows of a line."""
    out: list[Tok] = []
    depth = at = 0
    rows = found_in(text, legend)
    for row in (*rows, None):
        chunk = text[at : row.start if row else len(text)]
        chunk = _WALL.sub(lambda found: f" {'↓' if (found[1] or found[2]).casefold() == 'back' else '↑'} ", chunk)
        for kind, value, _, said in pieces(re.sub(r"\s{2,}|\t|\.{2,}|\|", " ¦ ", chunk), vocabulary):
            if said in ("(", "["):
                depth += 1
            elif said in (")", "]"):
                depth = max(0, depth - 1)
            else:
                kind, value = _way(kind, value, said, out, vocabulary)
                sep = said.casefold() in _SEPARATES
                out.append(Tok("sep" if sep else kind, value, said, depth))
        if row:
            out.append(Tok("row", "", text[row.start : row.end], depth, row))
            at = row.end
    return out


def _way(kind: str, value: str, said: str, before: list[Tok], vocabulary: Vocabulary) -> tuple[str, str]:
    """Return the kind and the value of a word; a code alone that is a small word or a direction too, `(TO SIDE)`,
    `4 BASICS BK`, is that behind no step."""
    word = vocabulary.phrases.get((said.casefold(),)) if kind == "codes" else None
    stepped = bool(before) and before[-1].kind in ("codes", "verb", "part", "row", "sep")
    return (
        (word.kind, word.value) if word and word.kind in ("noise", "dir") and before and not stepped else (kind, value)
    )


def segments(found: list[Tok]) -> Iterator[tuple[str, list[Tok]]]:
    """Yield the pieces of a line between commas and the like, with what stands before each; one that names two figures,
    each with its own marks, is two."""
    sep, held = "", list[Tok]()
    fronted = [tok.depth for tok in found[:1] if number(tok)] == [1]  # `(4) Chain (2) Triple`
    for at, tok in enumerate(found):
        headed = any(each.kind in ("figure", "row") and not each.depth for each in held)
        follows = found[at + 1] if at + 1 < len(found) else None
        if held and held[-1].kind == "foot" and _lists_feet(found[at : at + 3]) and leading(held) > 1:
            tok = evolve(tok, kind="noise")
        if tok.kind == "sep" and not tok.depth:
            yield sep, held
            sep, held = tok.low, []
            continue
        marked = bool(held) and (held[-1].kind in ("foot", "feet", "dir", "turned", "twice") or held[-1].depth > 0)
        counts = fronted and tok.depth and number(tok) and headed and follows and not follows.depth
        opens = (counts and follows and follows.kind == "figure") or (
            not tok.depth
            and (
                (tok.kind == "figure" and headed and marked)
                or (number(tok) and headed and follows and follows.kind in ("figure", "verb", "codes", "part"))
                or (
                    tok.kind == "verb"
                    and headed
                    and marked
                    and tok.value in ("STO", "CLAP")
                    and not tok.low.endswith("ing")
                )
            )
        )
        if opens:
            yield sep, held
            sep, held = "", []
        held.append(tok)
    yield sep, held


def _lists_feet(found: list[Tok]) -> bool:
    """Say whether a comma stands before the next of several feet, behind the last of which a piece ends."""
    comma, foot, behind = [*found, *[Tok("sep", "", "")] * 3][:3]
    return (comma.text, foot.kind, comma.depth) == (",", "foot", foot.depth) and behind.kind in ("sep", "foot")


_ON_MOVEMENT = re.compile(
    r"(?i)\bon (?:(?:the|its|each|every|all) )?(?:(?:first|last|final|second) )?(?:(?:three|four|[34]) )?"
    r"((?:\b(?:DS|RS|BR|brush(?:es)?|rocks?|kicks?|stomps?|slides?|drags?|"
    r"steps?|doubles?|pulls?|touch(?:es)?|heels?|chain|vine)(?:'s)?\b[ -]*)+)(?:at the end\b)?"
)
"""On which of its movements a figure turns, or does anything else."""

_WAY = (
    rf"{NUMBER}\s+(?:(?:moving|going|coming|to the|in)\s+)*"
    r"(f(?:or)?w(?:ar)?d|b(?:ac)?k(?:ward)?|up|place)s?\b"
)
_WAYS = re.compile(rf"(?i)\b{_WAY}(?:\s*(?:,|;|and|&|then)\s*|\s+)+{_WAY}")
"""Two numbers, each with a direction: `four forward, four back`."""

_WHO = r"(?:(?:the|front|back|both|all|first|second|other)\s+)*(?:rows?|lines?|couples?|partners|columns?|circles?)"
_GO = r"(?:go|come|move|pass|walk|change|switch|trade|swap|cross|form|split|spread|meet)(?:e?s)?"  # and what may follow
_PATH = re.compile(
    rf"(?i)(?:(?<=[-,;] )|(?<=\()){_WHO}\s+{_GO}\b(?:[ ,]+(?:the|then|{_WHO}|{_GO}|through|to|and|while|up|forward|"
    r"fwd|places?|each|both|all|front|back|behind|stage|audience|again|face|facing)\b)*(?=\W*$)"
)
"""Where some of the dancers go: `front row goes back, back row comes through to the front`."""


def placed(text: str, places: list[str]) -> str:
    """Return a text in which signs stand for the movements that something is done on, and numbers with a direction."""

    def sign(found: re.Match[str]) -> str:
        places.append(found[0].strip())
        return f"@{len(places)} "

    def ways(found: re.Match[str]) -> str:
        said = ((found[1], found[2].casefold()), (found[3], found[4].casefold()))
        long = {"f": "forward", "b": "back"}
        places.append(", ".join(f"{said_number(many)} {long.get(way[0], way)}" for many, way in said))
        return f"@{len(places)} "

    return _ON_MOVEMENT.sub(sign, _WAYS.sub(ways, _PATH.sub(sign, text.replace("@", " at "))))


def movement(place: str) -> str:
    """Return the movement that a place says, `rs` for `on the last RS`."""
    found = _ON_MOVEMENT.match(place)
    return found[1].strip().casefold() if found else ""


def number(tok: Tok) -> int:
    """Return the number that a word says, 0 if it says none."""
    if tok.kind == "number":
        return int(tok.value) if len(tok.value) < 3 else 0
    if tok.kind == "word" or tok.low in ("a", "an", "one"):
        return NUMBERS.get(tok.low, 0) or int(tok.low in ("a", "an", "one"))
    return 0


def without_choice(held: list[Tok]) -> tuple[list[Tok], str]:
    """Return a piece without what may be danced instead, or if one likes, and that: `or just walk`, `if you like`."""
    for at, tok in enumerate(held):
        likes = not at and tok.low == "if" and len(held) > 2 and held[1].low in ("the", "you", "your", "they")
        may = tok.low in ("or", "optional", "optionally")
        if likes or (may and not any(each.kind in ("figure", "row") for each in held[at:])):
            return held[:at], tight(" ".join(each.text for each in held[at:]))
    return held, ""


def row_of_figures(held: list[Tok]) -> bool:
    """Say whether a piece is nothing but figures, so many or so alike that they are no name: `basic basic triple`."""
    names = [tok.value for tok in held if tok.kind == "figure" and not tok.depth]
    return len(names) == len(held) and (len(names) > 2 or len({*names}) == 1)


def mirrors(sep: str, held: list[Tok]) -> bool:
    """Say whether a piece asks for the cue before it on the other foot, and for nothing else."""
    words = {tok.low for tok in held}
    more = sep in ("then", "and", "&") or words & {"same", "again", "repeat"}
    return bool(more and words & {"other", "opposite"}) and words <= {
        *("on", "with", "the", "other", "opposite", "foot", "feet", "footwork", "side", "same", "again", "repeat")
    }


def another(held: list[Tok], name: str, many: int) -> list[Tok]:
    """Return a piece that has the figure before it once more, one of that name of which `many` are danced, with its
    name, `one to the right`, `another turning 1/4 L`; else nothing."""
    said = [tok for tok in held if tok.low not in ("one", "another")]
    kinds = {tok.kind for tok in said if tok.kind != "noise" and tok.low not in "↑↓"}
    turning = held[0].low == "another" and all(tok.low[:7] == "turning" for tok in said if tok.kind == "turned")
    more = {"foot", "feet", "dir"} | ({"turned"} if turning else set())  # `another 1/4 turn L` may be of the same
    alike = len(said) < len(held) and held[0].low in ("one", "another") and many < 2 and kinds <= more
    turns = [tok.low for tok in said if tok.kind == "turned"]
    marked = alike and (kinds or held[0].low == "another") and not any(tok.depth for tok in held)
    marked = marked and all(each.startswith("turn") for each in turns)  # `another 1/4 turn L`
    return [Tok("figure", name, name), *said] if marked else []


def unbroken(held: list[Tok]) -> list[Tok]:
    """Return a piece in which a row with a word that is no code, `DS TCH PLOP HEEL RS`, is a word as a whole."""
    rows = [at for at, tok in enumerate(held) if tok.row]
    inside = held[rows[0] : rows[-1]] if rows else []
    if not any(tok.kind == "word" and tok.text.isupper() and len(tok.text) > 1 for tok in inside):
        return held
    words = " ".join(tok.text for tok in held[rows[0] : rows[-1] + 1])
    return [*held[: rows[0]], Tok("word", words, words, 1), *held[rows[-1] + 1 :]]


def leading(held: list[Tok]) -> int:
    """Return the first number of a piece, 0 if it has none."""
    return next((size for tok in held if (size := number(tok))), 0)


def called(held: list[Tok]) -> str:
    """Return the words of a name in front of its row."""
    kinds = ("word", "verb", "part", "dir", "codes", "figure", "noise", "turn")
    words = [tok for tok in held if not tok.depth and tok.kind in kinds]
    while words and (words[-1].kind == "noise" or words[0].kind == "noise" or number(words[0])):
        words = words[1:] if words[0].kind == "noise" or number(words[0]) else words[:-1]
    return tight(" ".join(tok.text for tok in words))


def once_named(held: list[Tok]) -> list[Tok]:
    """Return an unbroken piece without its figure where that is named once more: `2 Basics, 1/4 L per Basic`."""
    held = unbroken(held)
    first = next((tok for tok in held if tok.kind == "figure" and not tok.depth), None)
    each = [None, *(tok.low in ("each", "every", "per") for tok in held)]
    return [
        tok
        for behind, tok in zip(each, held, strict=False)
        if tok is first or not (behind and first and (tok.kind, tok.value) == ("figure", first.value))
    ]
