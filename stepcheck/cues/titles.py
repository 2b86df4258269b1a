"""The heads of parts, as a cue sheet says them: `PART A (32 beats)`, `Chorus - 16 cts`, `A:`."""

import re
from collections.abc import Sequence
from functools import lru_cache

from attrs import frozen

from stepcheck.steps.vocabulary import tight
from stepcheck.steps.words import NTHS, NUMBERS, ORDINAL, ORDINALS, ROMANS, UNITS, words_of

_ORDINAL = rf"(?:{ORDINAL}|last|main)"
KIND = (
    r"(?:chorus|chor|ch|verse|vs|vrs|v|bridge|brdg|brg|break|brk|br|intro(?:duction)?|interlude|instrumental|inst|solo|"
    r"tag|refrain|entrance|exit|"
    r"ending|end|outro|finish|finale|fin(?=\s*:)|coda|last(?=\s*:)|vamp|turnaround|pre[- ]?chorus|pre(?=\W*$)|hook)"
)
_MANY = (
    rf"(?:(?<=\s\s\d)\s*\(?[A-Za-z]|\s+(?:(?!same\b)(?:(?-i:[A-Z])[\w-]+|[a-z]+(?:ing|y))\s+)?"
    rf"(?!{KIND}\b|(?:\w*times|starts|begins|is|as|has|goes|does|faces|turns|steps|moves|stays|was|parts|sections|lines)\b)"
    r"[a-z-]+[^\Ws]s\b)"
)
"""What makes the number behind a name how often a figure is danced: `Bridge   4 Basics`, `Break 2 Rocking Chairs`."""
_NAME = (
    rf"(?:(?:part|pt|section|sect?|figure|step|phrase|strain)\b\.?\s*(?:[A-H]\d?|\d{{1,2}}|one|two|three|four|five|six|"
    rf"I{{1,3}}|IV)\b['*]?|(?:{ORDINAL}(?=\W*$))|"
    rf"(?:{_ORDINAL}\s+(?:part|bit|section|figure|half|verse|chorus|(?-i:[A-H])(?![\w'])))|"
    rf"(?:(?:half|1/2)\s+)?(?:{KIND}(?=\d)|{KIND}\b\.?)(?:(?:\s*[1-5](?!\d|\s*(?:{UNITS}|bars?\b|meas)|{_MANY})|"
    rf"\s*(?:[A-D]|one|two|three))\b|\s+(?:(?:thing|bit|part)\b(?!\s*[\dA-H]\b)|steps(?=\s*(?::|$|\s\s|[(\[]\d))))?['*]?|"
    rf"tune\s+[A-H](?:,?\s*(?:{_ORDINAL})\s+time)?|"
    r"(?-i:I{1,3}|IV)(?=\W*$)|"
    rf"[A-H]\d?['*]?(?:\s+part)?(?![\w'&]))"
)
_HEAD = re.compile(rf"(?i)^\W*(?:the\s+)?(?P<name>(?:round \d+ )?{_NAME})\W{{0,3}}?(?=$|\W)(?P<rest>.*)$")
SHORT = words_of("short names")


@frozen
class Head:
    """The head of a part: its name, its stated beats (0 if none are), words beside it, and what it says behind."""

    name: str
    beats: int = 0
    remark: str = ""
    rest: str = ""


def title(name: str) -> str:
    """Return how a part is called in the sheet: `A` for `Part A`, `Chorus` for `CHORUS:`."""
    bare = re.sub(
        r"(?i)^(?:half|1/2) (\w)", lambda found: f"Half {found[1].upper()}", tight(re.sub(r"[.:,]", " ", name))
    )
    if lettered := re.fullmatch(
        r"(?i)(?:part|pt|section|sect?|step|phrase|strain)?\s*([A-H]\d?['*]?)(?:\s+part)?", bare
    ):
        return lettered[1].upper()
    if found := re.fullmatch(r"(?i)(?:part|pt|section|sect?)\s+(\w+)", bare):
        return f"Part {found[1].title() if not found[1].isdecimal() else found[1]}"
    return bare[:1].upper() + (bare[1:].lower() if bare.isupper() and bare not in ROMANS else bare[1:])


_NUMBERED = {word: str(at) for words in (ORDINALS, NTHS) for at, word in enumerate(words, 1)}


@lru_cache(maxsize=1 << 10)
def plainly(name: str) -> str:
    """Return a name as names are compared: `CH` and `Chorus`, `part a` and `A` are one."""
    said = re.sub(r"(?<![a-z])([i-z]|[a-z]{2,})(\d)", r"\1 \2", name.casefold())  # `V1`
    words = re.sub(r"[.:]", " ", said).replace("1/2 ", "half ").split()
    words = [SHORT.get(word, word) for word in words]
    words = [str(NUMBERS.get(word, word)) for word in words]
    if len(words) == 2 and words[0] in ("part", "pt", "section", "sect", "sec", "figure", "step", "phrase", "strain"):
        words = words[1:]
    elif len(words) == 2 and (
        words[1] in ("part", "thing", "steps") or (words[1] in ("bit", "section") and words[0] in _NUMBERED)
    ):
        words = words[:1]
    words = [_NUMBERED.get(word, word) for word in words]
    return " ".join(words)


def shortens(short: str, name: str) -> bool:
    """Say whether the letters of a short name stand in a name in their order, the first as its first."""
    letters = iter(name)
    return short[0] == name[:1] and all(letter in letters for letter in short)


_LENGTH = re.compile(rf"(?i)^[\s.,:(\[\]=_-]*(?:(?:only|just)\s+)?(\d{{1,3}})\s*-?\s*(?:{UNITS})?\s*[)\].]*(?=\W|$)")
_BESIDE = re.compile(
    rf"(?i)^\s*(?:\(([^()]*?)\b(\d{{1,3}})\s*{UNITS}([^()]*)\)|"
    rf"[(:,-]*\s*({KIND}|(?<=\()[^()\d]+(?=,))[\s,:-]+([89]|\d\d)\s*(?:\)|\W*$))"
)
"""A length behind words beside the name: `(16 beats, fiddle)`, `(verse, 32)`, `- chorus 16`."""
_MEASURED = re.compile(
    r"(?i)^[\s.,:()\[\]=_-]*(?:bars?|meas(?:ures)?\.?|m)\s*1\s*-\s*(\d{1,2})[)\].]*|"
    r"^[\s.,:()\[\]=_-]*(\d{1,2})\s*-?\s*(?:bars?|meas(?:ures?)?\.?)(?: only| of \d)?[)\].]*"
)


_LASTS = re.compile(
    rf"(?i)\W*(?:and\s+)?(?:(?:the|each|every|all(?: the)?)\s+)?(?P<name>{_NAME}|\w[\w ]*?)(?:\s+part)?\W*"
    rf"(?:\s(?:has|have|is|are|lasts?|runs?|takes?)\s)?\W*(?P<beats>\d{{1,3}})(?:\s*{UNITS})?(?:\s+(?:long|each))?\W*"
)


def lengths(text: str) -> dict[str, int]:
    """Return the beats of the parts that a line says, `beats: A 32, B 16`, `A has 32 beats, the chorus 16`, `A and B
    are 32 each`, `Each verse is 32 beats`, by their names as these are compared."""
    labelled = re.match(rf"(?i)^\W*(?:lengths?|{UNITS})\s*[:=-]\s*(.+?)\W*$", text)
    pieces = re.split(r"[,;/&]|\band\b|(?<=\d)\s+(?=\w+\s*=)", labelled[1] if labelled else text.rstrip(" ."))
    said, size = list[re.Match[str]](), ""
    for piece in reversed(pieces):
        shared = size if re.fullmatch(rf"(?i)\W*{_NAME}\W*", piece) else ""
        said += [found] if (found := _LASTS.fullmatch(f"{piece} {shared}".rstrip())) else []
        size = shared or (found["beats"] if found and re.search(r"(?i)=|\b(?:has|have|is|are|lasts?)\b", piece) else "")
    spoken = re.search(rf"(?i)=|\d\s*(?:{UNITS}|each\b)", text) and all(
        re.fullmatch(f"(?i){_NAME}|parts?|sections?", each["name"]) for each in said
    )
    named = labelled or (spoken and (len(said) > 1 or re.match(r"(?i)\W*(?:each|every|all)\b", text)))
    sizes = {plainly(each["name"]): int(each["beats"]) for each in said}
    return sizes if named and len(sizes) == len(pieces) and (labelled or min(sizes.values()) >= 8) else {}


_INSIDE = re.compile(r"(?i)^[^:;.]{3,60}?,?\s(?:so|then|and|now)\s+(?P<name>part [A-H])(?P<rest>\s+is\b.*)$")
"""A head inside a sentence: `Everybody knows the Basic, so Part A is eight of them`."""
_OFTEN = re.compile(r"\s*:\s*[(\[]?[1-8][)\]]?\s+(?=[A-Za-z])")
"""How often the first figure behind a head is danced: `Bridge: (4) Basics`."""


def capital_head(text: str) -> str:
    """Return the name in a line that is one in capitals and its length, `ENTRANCE (32)`, or words and `part`, "" if it
    is neither."""
    found = re.match(rf"([A-Z][A-Z'& ]+(?: \d)?)\s*[(\[]\s*\d{{1,3}}\+?\s*(?:{UNITS})?\s*[)\]]", text)
    found = found or re.match(r"([A-Z][a-z]+ part)(?=\s*[:.(])", text)
    return tight(found[1]) if found else ""


_SET = re.compile(
    r"([A-Za-z][a-z']+(?: [a-z']+){1,4})\s*(?: -|:)|\"([A-Za-z][A-Za-z', ]{2,40})[.!?]*\"|"
    r"(?:[Tt]he )?([A-Za-z]+(?:-[a-z]+)? (?:[Bb]it|[Pp]art|[Bb]reak|[Ss]olo|[Bb]ridge))(?:\s*\([^()]*\))?\W*|"
    r"([A-Z][a-z']+(?: [A-Za-z][a-z']+){0,3}|[A-Z][A-Z']+(?: [A-Z']+){0,3})"
    rf"\s*[,:(\[-]+\s*(?:[89]|\d\d)\s*{UNITS}\W*|"
    rf"([a-z][a-z']+(?: [a-z']+){{0,2}})\s*[(\[]\s*(?:[89]|\d\d)\s*{UNITS}\s*[)\]]\W*|"
    rf"\[([A-Za-z][\w' ]{{1,20}})\](?:\W*\d{{1,3}}\s*(?:{UNITS}|measures?|bars?))?\W*"
)
"""What stands on a line of its own: a name with a sign behind it, a line of the song, a name and its length or in
brackets."""


def set_apart(text: str) -> str:
    """Return the words that a line sets apart, `little bit after chorus -`, `Hill Top, 16 beats`, "" if it does not."""
    found = _SET.fullmatch(text)
    return next(filter(None, found.groups())).replace(",", "") if found else ""


_BEFORE = re.compile(
    r"\s*(?:-+\s+(?=(?:right )?after\b))?\"?((?<=\")[^\"]+\"(?=\W*$)|(?:after|at|on|for|in)\b[\w\s']{2,30}(?=:)|"
    r"(?:right )?after\b[\w\s']{2,30}(?=\.\s))"
)
"""What stands beside the name of a head and says no dance: words in quotes, or when it is danced."""


_CALLED = rf"(?P<name>(?:part\s+)?(?-i:[A-H])(?!\w)(?:\s+part)?|{KIND}(?:\s+part)?\b)"
_SAID = re.compile(
    rf"(?i)\W*(?P<next>(?:then|next|now|after\s+(?:that|this))\s+(?:is\s+|comes\s+|for\s+)?)?(?:the\s+)?"
    rf"(?:(?:[\w' ]{{3,24}},?\s+(?:which\s+)?we\s+call\s+(?:it|that|this)|(?:{ORDINAL}|next|last)\s+part,)\s+)?"
    rf"{_CALLED},?\s+(?:(?P<is>is|has|takes|lasts|runs)\b(?P<remark>[^.:;\d]{{0,30}}?)|\(?(?=\d))"
    rf"\b(?P<beats>\d{{1,3}})\s*{UNITS}\)?(?:\s+(?:long|as\s+well|too|again|in\s+all))*"
    rf"(?:\s*[.:;,-]+\s*(?P<so>is\s+|has\s+)?)(?P<rest>\w.*)"
)
"""A head in a sentence: `B is 32 beats as well. 2 Triples`, `The first part, we call it A, is 16 beats: 4 Triples`."""
_FOR = re.compile(
    rf"(?i)\W*(?:(?:then|next|now|and)\s+)*"
    rf"(?:(?:for|in|on)\s+(?:the\s+)?{_CALLED},?\s+(?:(?:we|you)\s+)?(?:do|dance|have|take)\s+|"
    rf"(?:the\s+)?{_CALLED.replace('<name>', '<has>')}\s+(?:has|is(?=\s+(?:[2-9]|two|four|eight)\s+[a-z]))\s+"
    rf"(?!\d+\s*{UNITS})|"
    rf"(?:the\s+)?{_CALLED.replace('<name>', '<goes>')}\s+goes"
    rf"(?:\s+like\s+(?:this|so)\s*[:,-]*|\s*:|(?=\s+\d))\s*|"
    rf"there(?:'s| is)\s+an?\s+{_CALLED.replace('<name>', '<there>')}(?P<remark>[^.:;\d]*)[.:;]+\s+)(?P<rest>\w.*)"
)
"""The name of a part, and behind it its steps: `For B we do 2 Triples`, `There's a tag at the end. 2 Triples`."""


_LETTERED = re.compile(
    r"(?i)^\W*(?:part\b[\s:-]*[\"'(]([A-H])[\"')]|\"([A-H])\"(?:\s+part\b)?|part[\s-]*-[\s-]*([A-H])(?![\w']))"
)
"""A part whose letter stands between signs: `Part "A"`, `Part-A`."""
_ENDING = re.compile(
    r"(?i)^\W*(?:(?:part\s*:|(?:finish|end|outro|finale)\s*[/,-])\s*ending\b|"
    r"end(?:ing)? of (?:the )?(?:dance|song|routine)(?=\s*:))"
)


def head(text: str, measure: int, extra: Sequence[str] = ()) -> Head | None:
    """Return the head of a part that a line is or begins with; `measure` is how many beats a measure has, 0 if unknown,
    `extra` are names that the order of the dance has."""
    text = _ENDING.sub("Ending", _LETTERED.sub(lambda found: f"Part {found[1] or found[2] or found[3]}", text))
    said = _SAID.match(text)
    if said and (said["is"] or said["so"] or said["next"]):
        return Head(title(said["name"]), int(said["beats"]), (said["remark"] or "").strip(" ,"), said["rest"])
    if done := _FOR.match(text):
        remark = f" ({tight(done['remark'])})" if done["remark"] else ""
        text = f"{done['name'] or done['has'] or done['goes'] or done['there']}{remark}: {done['rest']}"
    found = _HEAD.match(text) or _INSIDE.match(text)
    known = ""
    for each in sorted(extra, key=len, reverse=True) if not found else ():
        if not found and (found := re.match(rf"(?i)^\W*(?:the )?(?P<name>{re.escape(each)})(?P<rest>\W.*|)$", text)):
            known = each
    if not found or re.match(r"(?i)\((?:first|second|1st|2nd) half\)", text):  # of a figure
        return None
    name, rest = found["name"], found["rest"] if re.search(r"[\w.:=|-]", found["rest"]) else ""
    if re.fullmatch(f"(?i){ORDINAL}", name):  # the length behind it is that of its line
        return Head(f"Part {plainly(name)}")
    name, rest = (name[:-1], f".{rest}") if name.endswith(".") else (name, rest)
    if not _stands(name, rest):
        return None
    rest = _OVER.sub(" again", rest, count=1) if _OVER.match(rest) else rest
    told = _BEFORE.match(rest)  # `C "scurry"`, `Ending after last B: Stomp`
    beats, remark, rest = (0, told[1].strip('"'), rest[told.end() :]) if told else _length(rest, measure)
    behind = re.match(
        rf"(?i)^(.*?)(?<!\blast)[\s,.(-]+(\d{{1,3}})\s*{UNITS}(?:\s+(?:in all|in total|total|long))?\s*\)?\W*$", rest
    )
    if behind and not beats and not re.search(rf"(?i)\d\s*{UNITS}(?!\w)", behind[1]):  # else the last sentence's
        beats, rest = int(behind[2]), behind[1]
    if inside := re.match(r"^\s*\(([^()]*)\)\s*(?=$|[:.-])", rest):
        remark, rest = tight(f"{remark} {inside[1]}"), rest[inside.end() :]
    return Head(known or title(name), beats, remark.strip(" ,;"), _trimmed(rest))


_OVER = re.compile(
    r"(?i)(?:'s)?(?:\s+(?:steps?|figures|moves))?\s+(?:again|once (?:more|again)|as before|"
    r"(?:(?:for|one|an?|the) ){0,2}(?:last|final|more|second|third|fourth|\d\w\w) time)\b"
)
"""What is said of a part that is danced once more: `steps one last time`."""


def _stands(name: str, rest: str) -> bool:
    """Say whether a name stands as a head does: with a sign, a length or the word for a part; one of a letter or two is
    not the first word of a sentence."""
    word = re.sub(r"\W", "", name)
    if _BEFORE.match(rest):
        return True
    if len(word) < 3 and word.islower() and rest.strip() and not re.match(r"\s*[:(\[-]", rest):
        return False
    if re.match(r"(?i),\s*(?:start|begin|fac)\w*\s[^,;]*$", rest):  # `B, facing the back:`
        return True
    if re.match(r"\s*(?:[:.()\[\]=|]|-{1,3}(?=\s|\d\d?\W*$|$)|\s{2,}|$|\.{2,}|(?:x\s?\d|\d\s?x)(?!\w))", rest):
        return True
    if len(word) < 3:
        part = re.match(r"(?i)^(?:part|section)\b|.*\bpart$", name)
        return bool(part or re.match(rf"(?i)^\s+\d+\s*(?:{UNITS}|bars?\b|meas|$)", rest))
    capitals = word.isupper() and len(rest) < 40
    part = re.match(r"(?i)^(?:part|pt|section)", name)
    return bool(capitals or part or _OVER.match(rest) or re.match(r"(?i)^\s*(?:[,!]|is\b|\d|again|after|-)", rest))


def _length(rest: str, measure: int) -> tuple[int, str, str]:
    """Return the beats of a part that stand behind its name, 0 if none do, words beside them, and what is left."""
    if bars := _MEASURED.match(rest):
        return int(bars[1] or bars[2]) * measure, "", rest[bars.end() :]
    length = _LENGTH.match(rest)
    if length and int(length[1]) > 2 and not _OFTEN.match(rest):
        behind = rest[length.end() :]
        unit = re.search(r"(?i)[(\[=]|beat|count|ct|bt", length[0])
        dotted = "." in length[0] and not re.match(r"\s*[A-Za-z]", behind)  # no `B....4 Basics`
        wide = int(length[1]) > 5 and length[0][-2:].isspace() and not re.match(r"\w*s\b", behind)  # `END 6   Basic x2`
        if unit or dotted or wide or not behind.strip():
            return int(length[1]), "", behind
    if inside := _BESIDE.match(rest):
        said, size = inside[1] or inside[4] or "", inside[2] or inside[5]
        return int(size), tight(f"{said} {inside[3] or ''}").strip(" ,;-"), rest[inside.end() :]
    return 0, "", rest


def _trimmed(text: str) -> str:
    """Return a text without signs around it, with the brackets that belong together."""
    bare = text.lstrip(" :.,-=)\t").rstrip(" :.,-=\t")
    return bare.removesuffix(")") if bare.count(")") > bare.count("(") else bare


_VERBS = r"((?:[,;/|>]|\s-+|\band|\bthen)\s+)(?:repeat|rpt|(?:finish|end|close)(?: up)? (?:with|on)|last of all)\s+"
"""What says of a part only that it is the next one: `A, B, repeat A, and finish with B`."""
_LEADS = rf"(^\W*|[,;/|>]|\b(?:then|and|the|an?)\b)\s*(\d{{1,3}})[\s-]*{UNITS}\s+"
"""How long a part is, in front of its name."""


def calling(text: str, names: Sequence[str]) -> str:
    """Return a text that calls parts by these names without words and signs that say nothing of them, the length in
    front of a part behind it."""
    called = "|".join(re.escape(each) if len(each) > 1 else f"(?-i:{each})" for each in names) or "(?!)"
    text = re.sub(r"(?<![\w*])\*(\w[\w ]*)\*(?![\w*])", r"\1", text)
    text = re.sub(rf"(?i){_VERBS}(?=(?:the |part )*(?:{called})(?![\w'-]))", r"\1", text)
    return re.sub(rf"(?i){_LEADS}({called}|{KIND})(?![\w'])", r"\1 \3 (\2)", text)
