"""Facts of a header that are said in so many words: counts, walls, level, tempo, wait, the foot that starts."""

import re

from attrs import frozen

from stepcheck.pages.passes import again
from stepcheck.steps.steps import OTHER, SIDE, clock
from stepcheck.steps.vocabulary import plain
from stepcheck.steps.words import BARS, FOOT, METER, NUMBER, SIDED, UNITS, begun_on, meter, number

_ENDS = r"\s*(?:$|   |,|;|\+|/(?!\s?\d))"
_FOOTED = rf"(?:the\s+|your\s+)?({FOOT})\b(?:[ -]?(?:foot\b|ft\b\.?))?"
_LASTING = rf"{NUMBER}\)?\s*-?\s*(?:(?:slow|even|steady|quick)\s+)?(?:{UNITS}(?!\w)|(?P<bars>{BARS}(?!\w))|(?![\w:/%]))"
_PACE = r"(?:[7-9]\d|1\d\d|2[01]\d)"
_MUCH = rf"(?<!\w){_LASTING}"
"""How long a wait is, in counts or in bars."""
_FACTS = (
    (
        "wait",
        r"(?<!\w)(?:int(?=\W{0,2}\d)|intro(?:duction)?s?(?:\s*x\s*\d+|\W*(?:\w+ ){1,2}plays\b)?|"
        r"lead[ -]?in|wait(?:ing)?|leave|wt\.?(?=\s*\d)|pause|listen (?:to|for)|(?-i:IN)(?=\s*:)|"
        r"hear|in on|(?:count-|(?<!\w\s)count )in(?!\W*\d+\W+\d)|count(?=\s+\d+\s+(?:in|from the)\b)|in after|"
        r"(?:start|begin|come in|(?:go|in)(?= on))s?(?: dancing| the dance|\s?:)?"
        r"(?: (?:on|with) (?:the )?[\w\"' ]{1,24}?)?\W*\bafter)\b"
        rf"(?:[\s.:,(=-]|\b(?:is|of|for|4(?= \d)|a|the|first|opening|wait)\b)*{_MUCH}(?:\s+intro\w*)?(?:\W*wait)?"
        r"(?:\s+after the(?: (?!and\b)[a-z']+)+)?",
    ),
    (
        "wait",
        rf"(?:starts?\s+)?(?:after\s+(?:a\s+)?)?{_MUCH}\s*(?:(?:of (?:the )?)?intro(?:duction)?|wait|"
        r"in(?! (?:all|total|the|this)\b)|before (?:we|you) (?:go|start|begin|dance))\b"
        r"(?:\s+wait)?(?!\s*x\s*\d|\s*:?\s*\d)",
    ),
    (
        "wait",
        rf"\b(?:hold(?: off)?(?: for)?|you count|count(?=\s+\d+\s+and\s+(?:off|go|start|begin)\b)|"
        rf"(?:let|allow)(?:\s+the)?(?:\s+first)?|start\w*|begin\w*)[\s:]+{_MUCH}"
        r"(?:\s*\([^()]*\))?[\s,;&]*(?:(?:and|then|to|we|you|off)\s+)*(?:go|start|begin|come in|pass|by|after|from)\b",
    ),
    ("wait", rf"^\W*{_MUCH}[\s,;]*\b(?:and |then |to )+(?:(?:we|you) )?(?:go|start|begin|dance|come in)\b(?! again)"),
    ("wait", rf"(?:^|[.!]\s)\W*hold[\s:]+(?:for\s+|(?:the\s+)?first\s+)?(?=8\b|\d\d){_LASTING}\s*(?:$|[,;/(.])"),
    (
        "wait",
        rf"\b(?:start|begin)s?\W{{0,2}} [a-z ]*(?:vocal|sing|lyric|word)\w*\W*\([a-z. ]*{_LASTING}(?: in| intro)?\s*\)",
    ),
    ("wait", rf"\blet\s[^.;\d]{{1,40}}?\s(?:go(?: by)?|pass)\W+(?:(?:and|then)\s+)*{_MUCH}\s*more\b"),
    ("wait", rf"\b(?:start|begin)s?\s+after\b[^.;\d]{{1,40}}?\bthen\s+{_LASTING}(?:\s*more)?\W*$"),
    ("wait", rf"^\W*w\.?\s?(?=8\b|\d\d){_LASTING}(?=\s*(?:$|,))"),
    (
        "tempo",
        r"((?:about|approx(?:imately)?\.?|around|ca\.?)?\s*(?<![:\d])\d{2,3})\s*"
        r"(?:bpm\b|b\.p\.m\.|beats ?(?:per|an?|to (?:the|an?)|/) ?min(?:ute)?\b)|"
        r"\bbpm(?:\W|\babout\b)*(\d{2,3})\b(?!\s*%)|"
        r"\bspeed\b\W*(?:[a-z]+\W+){0,2}?((?:about )?\d{2,3})\b(?!\s*%)(?:\s*beats (?:per|an?) minute\b)?|"
        r"(?:tempo\s*:?|(?:\bquarter|\bcrotchet|\u2669)\s*=)\s*((?:about|approx\.?)?\s*[a-z, ]*?\d{2,3})\b(?!\s*bars)",
    ),
    (
        "tempo",
        rf"\b((?:about|abt|maybe|around|roughly|ca?)\.? ?{_PACE})(?: beats)?(?={_ENDS}|\)|\.(?:\s|$))|"
        rf"\b({_PACE}) or so\b",
    ),
    ("tempo", r"\b(?:slowed|sped up|speeded|pitched|slow down)\b[^\d;:]{0,24}?(?:to|:)\D{0,24}?(\d{2,3})\b(?!\s*%)"),
    ("walls", rf"\b(?:walls?|wl)(?:\s*[:=]\s*|\s{{2,}}|\s+(?=\d{_ENDS})){NUMBER}"),
    ("walls", rf"\b{NUMBER.replace('(?!-[a-z])', '(?!-(?!walls?))')}[ -]?w(?:alls?)?\b(?:\s+line dance)?"),
    ("counts", rf"(?<!\d )\bcounts?(?:\s*[:=]\s*|\s{{2,}}|\s+(?=\d+{_ENDS})){NUMBER}"),
    ("counts", rf"\b{NUMBER}[ -]?(?:{UNITS}\b(?!\s*(?:in|intro\w*)\b)|steps\b)"),
    ("counts", r"(?:^|-|/|\s{2,})\s*(\d{2})(?=\s*(?:/|[-,|]\s*\u241f)|\s{3,}\u241f)"),
    ("counts", r"(?<=\()\s*(\d{2})(?=\s*,\s*\u241f)|(?<=\u241f)\s*,\s*(\d{2})(?=\s*\))"),
    (
        "lead",
        r"(?:\b(?:start|begin)(?:s|ning|ing)?\W+(?:with\s+)?)?"
        rf"\b(?:weight|wt)s?\s*(?:is\s*)?(?:(?:up)?on\s*)?{_FOOTED}(?:\s*to begin)?(?:,?\s*\w+ is free)?",
    ),
    (
        "lead",
        r"\b(?:begin|start|starts|starting|go off|go|off|leads?|leading|first|free|foot(?=\s*:)|"
        rf"then(?=[^,;]*\b(?:foot|ft)\b))\b(?: foot)?(?: is)?\s*[:=]?\s*"
        rf"(?:with\s+|on\s+)?{_FOOTED}(?!\s*(?:toe|heel|side)|(?<=right)\s+(?:after|when|on|as|at|in|into|away)\b)|"
        rf"\b{_FOOTED}[ -](?:leads?|first|starts?|to (?:begin|start)|(?:is )?free)\b|\b({FOOT})\s+(?:foot|ft\.?)\s*$",
    ),
)
FACTS = tuple((name, re.compile(pattern, re.IGNORECASE)) for name, pattern in _FACTS)
_OTHERS = re.compile(r"(?i)\s*(?:restarts?|tags?|walls?|parts?|sections?|steps?|bars?|times|x\b)")
_SUM = re.compile(r"(?i)\bcount(?:[ -]in)?\s*:?\s*(\d+(?:\s*\+\s*\d+)+)")
_TIMES = re.compile(rf"(?i)(?<![\w/])([2-8])\s*x\s*(4|8|16)(?=\s*(?:{UNITS}\s*)?(?:in\b|intro|wait))")
_EIGHTS = re.compile(rf"(?i)\b{NUMBER} (?:(?:sets?|lots?) of (?:8|eight)s?|(?:8'?s|eights)\b)(?: {UNITS}\b)?")
_TAKEN_BACK = re.compile(
    rf"(?i)(?:[^;.\d]|\d/\d)*\b(?:no,|really|actually|i mean|make (?:it|that)|or rather|scratch that)\W+{NUMBER}"
)
"""What is said once more behind a number is what that is not: `1 wall, so really 4`, `8 bars... no, 4 bars`."""
USED = re.compile(
    r"(?i)\W*(?:steps|figures|moves)(?:\s(?:used|needed|you need(?: to know)?|in this dance))?\s*:(?:[^,]+,){2}"
)
"""A list of what is danced somewhere in the sheet, of which `Basic` is no level and nobody the author."""
_LEARN = re.compile(r"(?i)\s*(?:for|to) (?:practi[cs]|learn|teach|rehears)")
_PRACTICE = re.compile(r"(?i)\b(?:practi[cs]|learn|teach|rehears)\w*[^.;,()]*$")
_GRADE = (
    r"(?:(?:abs(?:olute)?\.?|easy|ez|high|upper|low|phrased|first night|ultra|int|basic)[ -]?/?\s*)*"
    r"(?:beginners?|beg|improvers?|impr?|intermediate|intermed|int(?!\W*\d)|advanced|adv|basic|easy|novice)(?![a-z])"
    r"(?:[ -]plus\b|\.?\s?\+|(?-i:\s+I{1,3}\b(?!'|\s(?:think|guess|suppose|reckon|hope|would)\b)))?"
)
GRADE = (
    rf"(?<!past the )(?<!beyond )\b(?:level\s*[:=-]?\s*)?(?:{_GRADE}(?:(?:-|\s*/\s*|\.?\s+)(?:{_GRADE}|plus\b))*\.?)"
)
LEVEL = re.compile(rf"(?i){GRADE.replace('(?:(?:(?:abs', '((?:(?:abs', 1)}")
"""A level, or several of them, such as `Beginner/Easy Intermediate`."""
GRADED = re.compile(r"(?i)\W*(?:level|lvl)\s*[:=-]\s*((?!for\b)[a-z][\w+'-]*(?:[ /&]+[\w+'-]+){0,3})\.?")
"""Words that stand alone behind `Level:`."""
_MEANS = re.compile(r"=[^.;,]*\u241f|\u241f[^.;,]*=")
"""A word that is explained, or explains: `A basic = 2 beats`."""
_SHORT = {
    "beg": "beginner",
    "beginners": "beginner",
    "improvers": "improver",
    "imp": "improver",
    "int": "intermediate",
    "adv": "advanced",
    "ez": "easy",
}
ORDER = ("routine", "book", "level", "lead", "tempo", "wait", "walls", "song", "artist", "author")
"""The fields of a header, in the order in which a draft writes them."""


@frozen
class Fact:
    """A field of the header with what the source says: `value`, and the words around it as a remark."""

    key: str
    value: str
    remark: str = ""


_UPON = re.compile(
    rf"(?i)\bon (?:the )?(?!{SIDED}\b)([\w\"' ]+?)\W*\bafter|\blet ([^.;\d]+?) (?:go|pass)\b.*more|"
    r"\bafter (?=the\b|[^.;]*\bthen\b)([^.;\d]+?)(?:,?\s+then\b|$)"
)
"""What a wait ends in, or begins behind: `start on the words after 16`."""
_IN_ALL = re.compile(rf"(?i)^\s*\(\s*=?\s*\d{{1,3}} ?(?:{UNITS})\s*\)")
"""How long the bars of a wait last in all: `Wait 8 bars (16 counts)`."""


def _refused(key: str, before: str, behind: str) -> bool:
    """Say whether a fact is only asked for, `LF free?`, or one of something else: `after the intro. 2 restarts`, `for
    practice 100 bpm`, or one end of a range, `100-110 bpm`."""
    other = (key == "wait" and _OTHERS.match(behind)) or (
        key == "tempo" and (_PRACTICE.search(before) or _LEARN.match(behind) or re.search(r"\d ?(?:-|to) ?$", before))
    )
    return bool(other or _TAKEN_BACK.match(behind.lstrip(". ")) or re.match(r"\s*\?", behind))


def in_counts(text: str) -> str:
    """Return a text with its eights in counts: `16 counts` for `two sets of 8`."""
    return _EIGHTS.sub(lambda said: f"{8 * number(said[1])} counts", text)


def facts_of(line: str, tradition: str, bar: int = 0) -> tuple[list[Fact], str]:
    """Return the facts that a line states in so many words, and what is left of the line.

    `bar` is how many counts a bar has, where another line says it.
    """
    found: list[Fact] = []
    rest = _SUM.sub(lambda said: f"wait {sum(map(int, said[1].split('+')))}", plain(line.replace("\t", "   ")))
    rest = begun_on(in_counts(_TIMES.sub(lambda said: str(int(said[1]) * int(said[2])), rest)))
    bar = meter(rest) or bar
    rest = METER.sub(lambda said: "bars" if said[2] else "\u241f", rest)
    for key, pattern in FACTS:
        all_of = (
            each for each in pattern.finditer(rest) if not _refused(key, rest[: each.start()], rest[each.end() :])
        )
        match = next(all_of, None)
        if not match or any(fact.key == key for fact in found):
            continue
        value = next(filter(None, match.groups())).strip()
        if key in ("walls", "counts", "wait"):
            many = number(value) * (bar if any(match.groupdict().values()) else 1)
            if many < 1 or (key == "walls" and many > 8):
                continue
            value = str(many) + ({"line": " counts", "clogging": " beats"}[tradition] if key == "wait" else "")
        if key == "tempo":
            digits = re.sub(r"\D", "", value)
            found.append(Fact(key, digits, value.removesuffix(digits).strip(" ,.")))
        elif key == "lead":
            stands = re.search(r"(?i)\bw(?:eigh)?t", match[0])
            side = OTHER[value[0].upper()] if stands else value[0].upper()
            found.append(Fact(key, SIDE[side]))
        else:
            told = _UPON.search(match[0]) if key == "wait" else None
            found.append(Fact(key, value, (told[1] or f"after {told[2] or told[3]}") if told else ""))
        behind = _IN_ALL.sub("", rest[match.end() :]) if key == "wait" else rest[match.end() :]
        rest = f"{rest[: match.start()]} \u241f {behind}"
    return found, rest


def level(text: str, tradition: str) -> Fact | None:
    """Return the level that a piece of text states, that of a book with its scheme and the words as its remark, any
    other as it stands; None where it states none."""
    graded = [at for at in LEVEL.finditer(text) if not _MEANS.search(f"{text[: at.start()]}\u241f{text[at.end() :]}")]
    meant = (each for each in graded if re.search(r"(?i)\bfor\b[\w\s]*$", text[: each.start()]))
    match = GRADED.fullmatch(text) or next(meant, next(iter(graded), None))
    if match is None:
        return None
    said = match[1].rstrip(" .")
    words = re.sub(r"intermed\b", "int", said.casefold().rstrip(".").replace("-", " ")).split(" ")
    word = " ".join(_SHORT.get(each, each) for each in words)
    club = (*(("improver",) if tradition == "line" else ("basic", "easy")), "beginner", "intermediate", "advanced")
    if word in club:
        return Fact("level", f"{word}, club scheme", said)
    if tradition == "clogging" and word in ("easy intermediate", "basic plus", "intermediate plus", "challenge"):
        return Fact("level", f"{word}, convention scheme", said)
    return Fact("level", said)


_NO_FIELD = re.compile(
    r"(?i)\b(?:(?:time|length|lasts|runs?(?: for)?)\b\W{0,3})?"
    r"(?:\d{1,2}[:.'\u2019]\d\d\b(?![:.]\d)(?:\"|'')?|\d+ ?min\w*\b\.?(?: [0-5]\d\b)?)(?: ?(?:min|\d* ?sec)\w*\.?)?"
    r"|(?:about|appr\w*\.?|around|ca\.?)?\s*\b\d+ ?sec\w*\b\.?(?:\s+in\b)?"
    r"|\b(?:[2346]/[48](?: time)?(?!\w)|(?:tempo|speed|club)\s*:|(?:radio|single) edit\b|page \d+ of \d+)"
    r"|\b(?:style|rhythm|genre|date|phone|tel|rev(?:ision|ised)?)\b(?:\s*[:.]|(?= \d))[^|;]*"
    r"|\(c\) \d{4}|\u00a9|\bfac(?:ing|e) (?:12:00|(?:the )?front)|(?:\b(?:it|maybe|may|can|be|please)\s+)*"
    r"\bslow(?:ed)? (?:it|down|by)\b(?: (?:by )?(?:\S+ ?(?:%|per ?cent)|a \w+))?"
    r"|\b(?:speed\W*)?[+-]?\d{1,2} ?%|\b(?:for|while|to|when) (?:the kids|(?:practi|learn|teach)\w*)\W*\d*"
    r"|\b(?:(?:nice and|very|quite|rather|tempo|speed) )?(?:slow|fast|medium|moderate|quick|normal|as is)\b"
    r"(?: (?:tempo|speed)\b)?|(?:\b(?:and|then) )?(?:\b(?:dance )?(?:starts?|begins?|go(?: in)?|comes? in) (?:right )?"
    r")?\b(?:on|with|as|when|at|after) "
    r"(?:(?:the|(?:s?he|they) (?:sings?|says?)) )*(?:(?:vocals?|singing|lyrics|words?)\b\s*(?:\"[^\"]*\")?|\"[^\"]*\")"
    r"|\b(?:tap|clap|snap|stamp|sway|nod|bounce)(?:p?ing)?(?: along| (?:your|the) \w+)(?: (?:to|with|in) the \w+)?"
    r"|\bs?he says \"[^\"]*\"|\bthe \"[^\"]*\"|\b(?:starts? |begins? |go )?"
    r"(?:when|as|once|after) [a-z' ]{1,28}? (?:starts?|begins?|comes? in|sings?)\b(?: singing| to sing)?"
    r"|^\W*(?:prepared )?for (?:the|my|our) (?!chorus|verse|part|break|bridge|intro|tag|end)(?-i:[A-Z])[^\"\d]*$"
    r"|(?:\bfrom (?:the |his |her |their )?)?\b(?:cd|album)\b\W*(?:\"[^\"]*\"|[^,;|()]*)"
    r"|\b(?:unless|except)\b[^|;.]*?\b(?:marked|noted|says?|said|tell|told|otherwise)\b|(?:^|[(,;])\s*yes\b[^()|;]*"
    r"|\b(?:re)?typed\b.*|\b(?:card|sheet) (?:no\.? ?)?\d+|\bweeks? \d+|\b(?:revised|copied)\b[^|;()]*"
    r"|\b(?:(?:secretary|sec|sec'y|club|class|my|[A-Z]\w+)(?:'s)? )?(?:copy|hand-?out)\b(?: (?:from|for) the [\w ]*)?"
    r"|^\W*(?:hi|hello|hey|dear)\b[\w ]{0,24},?\W*$"
)
"""What no field of a sheet holds: how long the music is, what it is like, on which word it starts, who typed."""
CLUB = re.compile(r"(?i)\b(?:(?:clogg|hoof|stepp|stomp|stamp|tapp|danc|kick|shuffl|flatfoot)ers|club|ldc|team|boots)\b")


def no_field(text: str) -> bool:
    """Say whether all pieces of a text are the name of a club, or say what no field of a sheet holds."""
    pieces = re.split(r"\s{2,}|\s[|/-]+\s", _NO_FIELD.sub("   ", plain(text)))
    bare = re.compile(
        r"(?i)(?:\W|\b(?:the|an?|and|then|notes|class|line dance|all (?:the )?steps|no steps|which|runs|at)\b)*"
    )
    return all(bare.fullmatch(each) or (CLUB.search(each) and NAME.fullmatch(tidy(each))) for each in pieces)


def tidy(text: str) -> str:
    """Return a piece without the signs around it, and without brackets that have no other half."""
    text = " ".join(text.replace("\u241f", " ").split()).strip(" .,;:-/|*")
    if text.startswith("(") and text.endswith(")") and text.count("(") == 1:
        text = text[1:-1]
    if text.count("(") != text.count(")"):
        text = text.replace("(", " ").replace(")", " ")
    return " ".join(text.split()).strip(" .,;:-/|*")


_SMALL = (
    r"(?:an?|the|of|in|on|and|&|to|at|for|from|f(?:ea)?t\.?|\+|n|o|"
    r"de|van|von|la|los|las|del|der|el|le|her|his|their|with)"
)
NAME = re.compile(
    rf"(?:{_SMALL} )*[A-Z\d][\w'&.-]*(?:(?:, (?=(?:{_SMALL} )*[A-Z])| )(?:{_SMALL} )*"
    r"(?:[A-Z\d][\w'&.-]*|band|trio|duo|quartet|orchestra|group|singers)\b\.?)*"
)
"""A name at the start of a text: words in capitals, and small ones between them."""
_NO_TITLE = re.compile(
    r"(?i)\b(?:we|you|will|any|wait|counts?|cts?|beats?|walls?|bpm|intro|tempo|level|choreo\w*|line dance)\b|"
    r"[=;]|(?-i:\w{3}\.\s+[a-z])"
)
_LABELS_BESIDE = re.compile(
    rf"(?i)(?:the|by|from|music|song|track|tune|to|is|chor\w*|choreo\w*|line|clog\w*|dance|routine|a|for|in|of|on|use|band|artist|"
    rf"singer|title|name|teacher|written|notes|steps|4|cues?|called|author|with|wait|intro|start\w*|record|mus|{GRADE})\b\.?"
)


def stands(fact: Fact, line: str) -> bool:
    """Say whether a name stands in its line just as it is: the words of a name, with a mark, a label or an end of the
    line on both sides."""
    whole = re.sub(r"\t| {2,}|(?:\s*\.){3,}\s*", " | ", plain(line).strip())
    people, _, club = fact.value.partition(" (") if fact.key == "author" else (fact.value, "", "")
    at = whole.find(people)
    if at < 0:
        return fact.key == "routine" and re.sub(r"\W", "", people) in re.sub(r"\W", "", whole)
    before, behind = whole[:at].rstrip(), whole[at + len(people) :].lstrip()
    if before[-1:] in ('"', "'", "*", "~") or (fact.key == "routine" and not before and not behind):
        return bool(people)
    strange = {*re.findall(r"\w+", club)} - {*re.findall(r"\w+", whole)}
    if strange or _NO_TITLE.search(people) or not re.search(r"\w\w", people):
        return False
    spoken = re.sub(r" and (?:her|his|their) .*", "", people) if fact.key == "author" else people
    if not NAME.fullmatch(spoken) and not whole.islower():
        return fact.key in ("routine", "song") and not re.match(r"\w", behind) and not re.search(r"\w$", before)
    last = re.search(r"[\w'.]+$", before)
    ends = last is None or last[0][:1].islower() or _LABELS_BESIDE.fullmatch(last[0]) is not None
    return ends and (not re.match(r"[A-Z]", behind) or _LABELS_BESIDE.match(behind) is not None)


_FOOT = rf"(?:the |your )?({FOOT})\b(?: foot)?"
_FREE = re.compile(
    rf"(?i)\b(?P<on>(?:weight(?:ed)?|wt)\W*(?:(?:is|ends?|ending|now|stays|should be|all)\s+)*(?:on(?:to)?\s+)?){_FOOT}"
    rf"|\b{_FOOT}\s+(?:(?:is|now|will be|foot)\s+)*(?:free|next|leads)\b"
    rf"|\b(?:starts?|begins?)\b[\w ,]{{0,30}}\b(?:again|over)\b[\w ,]{{0,12}}?\b(?:with|on)\s+{_FOOT}(?! wall)"
    rf"|\b(?:free foot|ready|next foot)\W*(?:(?:is|to|start|begin|go|lead|with|on|for)\s+)*{_FOOT}"
)
_CLOCK = re.compile(r"(?i)[(\[]?\s*(?:\d{1,2}:\d\d|\d{1,2}\s*o'?\s?clock)\s*[)\]]?")
_LANDMARK = re.compile(r"(?i)\b(?:look\w*|fac\w+) (?:at |to )?(?:the|our|your) (?!left|right|front|back)[a-z]+\b")
_HAND = re.compile(
    r"(?i)\b(left|right)(?:[ -]hand)?(?:[ -]side)?[ -]wall\b|"
    r"\bwall\b(?: that (?:was|is))? (?:on|to|at) (?:the|your) (left|right)\b(?: hand| side)*"
)
"""A wall by the hand that it is on when the dance starts."""
_WALL = re.compile(r"(?i)\b(?!(?<=at the )\w+ of\b)(front|back)(?P<wall> wall)?\b(?! to (?:the )?[bfst\d])")
_FACES = re.compile(r"(?i)\b(?:fac|look|see|wall\b|at\b|to\b|toward|now\b|home\b|end)")
_SO_MANY = re.compile(
    rf"(?i)(?:\b(?:makes|making|total|that'?s|is|are)\W*|^\W*){NUMBER}\W*$|\b{NUMBER}\s*(?P<unit>counts?|beats?|cts?|eights?)\b"
)
_TALK = re.compile(
    r"(?i)(?:\W|\b(?:a|all|already|also|altogether|an|and|another|are|arrive|at|back|be|began|started|been|both|by|come|counts|danced|do|done|each|end|"
    r"ended|ending|ends|face|faces|facing|far|finish|finished|foot|for|free|from|front|half|halfway|have|hence|here|home|if|in|is|it|it's|brings|leaves|"
    r"its|just|look|looking|made|make|makes|making|must|new|next|now|o'clock|of|off|ok|on|once|only|our|point|puts|ready|section|should|side|so|"
    r"stand|standing|still|that|that'?s|the|then|there|this|through|to|total|toward|towards|turned|up|wall|walls|was|way|we|where|weight|will|"
    r"with|yes|y(?:ou|e)(?:'ll|'re|'ve)?|your)\b)*"
)


@frozen
class Claims:
    """What a text claims: a facing, the free foot ("left" or "right"), the counts so far; "" or 0 for none.

    `pure` says that the text says nothing else.
    """

    facing: str = ""
    foot: str = ""
    counts: int = 0
    pure: bool = True


def claims(text: str) -> Claims | None:
    """Return what a text claims, None if it claims nothing."""
    rest, facing, foot, counts = re.sub(r"(?i)(?<=[ek] )home\b", "at the front", plain(text)), "", "", 0
    if found := _FREE.search(rest):
        side = next(filter(None, (each for each in found.groups()[1:] if each)))[0].upper()
        foot = SIDE[OTHER[side] if found["on"] else side]
        rest = rest.replace(found[0], " ")
    if found := _HAND.search(rest):
        facing = {"l": "9:00", "r": "3:00"}[next(filter(None, found.groups()))[0].casefold()]
        rest = rest.replace(found[0], " wall ")
    if found := _CLOCK.search(rest):
        facing, rest = clock(found[0]) or facing, _LANDMARK.sub(" ", rest.replace(found[0], " "))
    elif _FACES.search(rest) and (walls := [*_WALL.finditer(rest)]):
        facing = facing or next((each for each in walls if each["wall"]), walls[-1])[1].casefold()
    if found := _SO_MANY.search(rest):
        counts = number(found[1] or found[2]) * (8 if (found["unit"] or "").casefold().startswith("eight") else 1)
        rest = rest.replace(found[0], " ")
    if not (facing or foot or counts):
        return None
    rest = re.sub(r"(?i)\b(?:start|begin|repeat|dance|go)\w*|\b(?:again|over)\b", " ", rest) if again(text) else rest
    return Claims(facing, foot, counts, is_talk(rest))


def is_talk(text: str) -> bool:
    """Say whether a text has no words but those that stand around claims."""
    return _TALK.fullmatch(text) is not None


_BEHIND = re.compile(
    r"(?i)[.!;]\s+(?=[A-Z\d])|\s+-{1,2}\s+|\s*(?:[-=]*>|\u2192)\s*|"
    r"[,(]\s*(?=(?:(?:and|so|now)\s+)*(?:that|thats|you|we|making|which|(?<=and )(?:the )?weight)\b)"
)


def claim_behind(text: str) -> tuple[str, str]:
    """Return steps without what is claimed behind them, `, and that makes sixteen counts`, and that, "" for none."""
    for found in reversed([*_BEHIND.finditer(text, max(0, len(text) - 400))]):  # longer ones are no claim
        tail = text[found.end() :]
        said = claims(tail) if re.search(r"[A-Za-z]{2}", tail) and not (again(tail) or "each" in tail.split()) else None
        if said and said.pure and not (said.counts and text[found.start()] in ".!;"):
            return text[: found.start()].rstrip(), tail
    return text, ""


def fresh(stated: list[Fact], known: list[Fact], keys: tuple[str, ...] = ORDER) -> list[Fact]:
    """Return the facts of these keys of which none is known."""
    return [fact for fact in stated if fact.key in keys and all(fact.key != other.key for other in known)]


def said_of(key: str, facts: list[Fact]) -> str:
    """Return what facts say of a field, "" where they don't."""
    return next((fact.value for fact in facts if fact.key == key), "")


def fields(facts: list[Fact]) -> tuple[tuple[str, str, str], ...]:
    """Return facts as the fields of a sheet, in the order of a header, each with its remark."""
    return tuple(
        (f.key, f.value, f.remark if f.key in ("tempo", "wait") else "") for key in ORDER for f in facts if f.key == key
    )
