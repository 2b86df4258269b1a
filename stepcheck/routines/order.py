"""The order in which the parts of a cue sheet are danced."""

import itertools
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache

from attrs import evolve, frozen

from stepcheck.cues.codes import counts_on, is_beats, is_feet
from stepcheck.cues.entries import Entry
from stepcheck.cues.footwork import found_in
from stepcheck.cues.titles import KIND, SHORT, calling, capital_head, head, plainly, shortens, title
from stepcheck.steps.vocabulary import code, tight
from stepcheck.steps.words import CLOSES, NTHS, NUMBER, NUMBERS, ORDINAL, ORDINALS, TIMES, UNITS, number, often

_BEGINS = (
    r"(?:(?:the\s+)?(?:running\s+)?order\b[^:]{0,30}(?=:)|so\s+its|goes|"
    r"(?:(?:so|then|and|how)\s+)?(?:it'?s|it|that|this|(?:the\s+)?(?:tune|song|music|dance|routine|whole\s+(?:thing|dance)))"
    r"\s+(?:goes|runs)|(?:so\s+)?(?:the\s+)?(?:dance\s+)?(?:order|sequence|seq|routine|format|"
    r"structure|pattern|layout)(?:\s+(?:of|for)\s+(?:the\s+)?(?:dance|routine|song|parts))?(?:\s+is)?|"
    r"(?:then\s+)?(?:we|you)\s+(?:do|dance|go)(?:\s+it)?|(?:tune|music)\s+is\s+(?:played\s+)?[A-D]{2,8}(?=:)|"
    r"(?:(?:we|you)\s+)?run(?:\s+it)?|dance\s+it|do|play|(?:the\s+)?parts\s+(?:go|run|are\s+(?:danced|done))|"
    r"(?:the\s+)?whole\s+dance(?:\s+is)?|dance(?=\s*:)|put(?:ting)? it together|all together)\b"
)
_ORDER = re.compile(
    rf"(?i)^\W*(?:(?:here(?:'s| is)|this is) )?(?:(?:our|my) )?{_BEGINS}\s*"
    r"(?:(?:it )?in (?:this|the following) order|like this)?\s*(?:[:=.\-]+|\bis\b)?\s*"
)


def order_words(text: str) -> str | None:
    """Return what stands behind the word for the order of the dance, None if a line has none."""
    found = _ORDER.match(text)
    if not found and (later := re.search(rf"(?i)[.;]\s+(?={_BEGINS})", text)):  # `Intro. Sequence: A B A`
        spoken = text[later.end() :]
        found = _ORDER.match(spoken) if _WORD.match(spoken) or not head(text, 0) else None  # `First part. Do a Triple`
        return text[later.end() + found.end() :] if found else None
    return text[found.end() :] if found else None


@frozen
class Danced:
    """A part in the order of the dance: its name, `times` in a row, whether only `half` or only its `first` beats are
    danced, the `facing` at its end; `changed` is what is said of it that isn't read, `opposite` that it begins on the
    other foot, `stated` the beats that are said of it."""

    name: str
    times: int = 1
    half: bool = False
    first: int = 0
    facing: str = ""
    changed: str = ""
    opposite: bool = False
    stated: int = 0


def order(text: str, names: Sequence[str]) -> tuple[list[Danced], str]:
    """Return the parts that a text names in order, and what it says beside them."""
    danced, beside = _order(re.sub(r"(?<![\w/])1/2(?=[A-Z])", "half ", text), tuple(names))
    return [*danced], beside


@lru_cache(maxsize=1 << 10)  # a line is asked for the parts that it names again and again
def _order(text: str, names: Sequence[str]) -> tuple[tuple[Danced, ...], str]:
    text = _FIRST_OF.sub(
        lambda found: f"{found[3]} (first {found[1] or found[2]})", _spaced(calling(text, names), names)
    )
    text, times = _whole(text)
    known = _known(text, names)
    called = _spellings(known)
    out, left, spots = list[Danced](), list[str](), _spots(text, called)
    for found, follows in itertools.zip_longest(spots, spots[1:]):
        behind = text[found.end() : follows.start() if follows else len(text)]
        if not out and (before := _BEFORE.sub(" ", text[: found.start()]).strip()):
            left.append(before)
        own = known.get(f"half {plainly(found['name'])}", "") if found[1] else ""
        made, beside = _modified(own or called[found["name"].casefold()], behind, bool(found[1] and not own))
        more, beside = _unread(beside, known)
        out += [made, *more]
        left += [beside] * bool(beside)
    if times > 1 and out:
        out = out * times if len(out) > 1 else [evolve(out[0], times=times)]
    return tuple(out), "; ".join(left)


_FIRST_OF = re.compile(
    rf"(?i)\b(?:(?:just|only|the) )*(?:(?:first|1st|opening) (\d{{1,3}})(?:\s*{UNITS})?|{UNITS}\s+1\s?-\s?(\d{{1,3}})) "
    r"(?:only )?of (?:the )?((?:part )?\w+)(?: only\b)?"
)
"""The beginning of a part: `first 16 beats of A`."""
_WORDS = re.compile(r"[A-Za-z]{2,}")
_BEFORE = re.compile(r"(?i)\b(?:then|and|now|to|we|go|do|dance|back|the|again|with|so)\b|[\W_]")
"""Words in front of the first part that say nothing."""
_TIMES = re.compile(rf"(?i)(?<=\w)\s*,\s*{TIMES}\W*$")
"""How often all of an order is danced: `A1 A2 B, 2 times`."""


def _spaced(text: str, names: Sequence[str]) -> str:
    """Return a text with parts that are written as one word apart: `ABCAB`, `AA`; a code, `BA`, among letters alone."""
    numbers = {each.split()[-1] for each in names if plainly(each).isdecimal()}
    text = re.sub(r"(?<![\d-])(\d{1,2})\s?-\s?(\d{1,2})(?![\d-])", lambda found: _from_to(found, numbers), text)
    bare = re.fullmatch(r"[A-H\d\s,;/|>.-]+", text)
    return re.sub(
        r"(?<![\w'])([A-H]{2,})(?![\w'])",
        lambda found: (
            " ".join(found[1]) if {*found[1]} <= {*names} and (bare or not code(found[1], "clogging")) else found[0]
        ),
        text,
    )


def _from_to(found: re.Match[str], numbers: set[str]) -> str:
    """Return the numbers of parts from one to another, `1-5`; as they stand where a part lacks."""
    said = [str(each) for each in range(int(found[1]), int(found[2]) + 1)]
    return " ".join(said) if said and numbers >= {*said} else found[0]


_THROUGH = re.compile(
    rf"(?i)[\s,;(-]*\b{TIMES}\s*(?:through|thru|in all)\b\W*$|"
    r"(?:\s*(?:[,;:-]|\bthen\b|\band\b))+\s*(?:repeat|rpt)(?:\s+(?:it\s+)?(?:all|(?:the\s+)?(?:whole\s+)?(?:dance|routine|thing)|"
    r"from\s+(?:the\s+)?(?:top|beginning|start)))?\W*$"
)
"""How often all of an order is danced, whatever stands in it: `A, B, C twice through`, `A B C - repeat`."""


def _whole(text: str) -> tuple[str, int]:
    """Return a text without how often all of it is danced, and how often that is."""
    if through := _THROUGH.search(text):
        return text[: through.start()], often(*through.groups()) if any(through.groups()) else 2
    found = _TIMES.search(text)
    if not found or "," in text[: found.start()]:
        return text, 1
    return text[: found.start()], often(*found.groups())


def _known(text: str, names: Sequence[str]) -> dict[str, str]:
    """Return the parts by what a text may call them: their names, the first of several words, first letters."""
    known = {plainly(each): each for each in names}
    closing = next((each for each in names if plainly(each) in CLOSES), "")
    known |= {each: closing for each in CLOSES if closing and each != "last"}
    for size in (1, 2):  # `Porch` for `Porch Step`, `little bit` for `little bit after chorus`
        begins = [(plainly(" ".join(each.split()[:size])), each) for each in names if len(each.split()) > size]
        often = [begin for begin, _ in begins]
        usual = (*known, "part", "section", "first", "second", "third", "half", "last")
        known |= {
            begin: each for begin, each in begins if len(begin) > 3 and often.count(begin) == 1 and begin not in usual
        }
    return known | (_initials(text, names) or {each.casefold(): each for each in _letters(text, names)})


def _spots(text: str, called: Iterable[str]) -> list[re.Match[str]]:
    """Return where a text names parts, by what they are called."""
    single = "|".join(sorted(map(re.escape, called), key=len, reverse=True))
    if not single:
        return []
    spot = re.compile(
        rf"(?i)(?:\b(?:(?:first|1st)\s+)?(half|1/2)\s+(?:of\s+)?(?:(?:the|a)\s+)?)?(?<![\w'])(?:one\s+more\s+|the\s+|(?:part|step|section)\s+(?=\w\b))?"
        rf"(?P<name>{single})(?![\w']|\s+(?:(?:more\s+)?times?|is|are|has|happens|comes)\b|\s*(?:{UNITS}))"
        r"(?!(?:(?<=\bone)|(?<=\btwo)|(?<=\bthree)|(?<=\bfour))\s+(?!(?:then|and|again|twice|once|more|with)\b)[a-z]{3})"
    )
    capitals = re.search(r"[A-H]", text)
    prose = [found.span() for found in re.finditer(r"\([^()]*\)", text) if len(_WORDS.findall(found[0])) > 2]
    return [
        each
        for each in spot.finditer(text)
        if not any(first < each.start() < last for first, last in prose)
        and (
            not (_COUNTS.match(text, each.end()) or ("," in text and _NAMED.search(text[: each.start()])))
            if each["name"].isdecimal() or each["name"].casefold() == "four"
            else len(each["name"]) > 1 or each["name"].isupper() or not capitals
        )
    ]


def _initials(text: str, names: Sequence[str]) -> dict[str, str]:
    """Return the parts by their first letters, where a text is no more than such letters: `V C V C`."""
    first = [each[:1].upper() for each in names]
    plainly = len({*first}) == len(first) and re.fullmatch(r"\W*(?:[A-Z]\W+)*[A-Z]\W*", text)
    said = {*re.findall("[A-Z]", text)} if plainly else set()
    return {each[:1].casefold(): each for each in names} if said and said <= {*first} else {}


def _letters(text: str, names: Sequence[str]) -> list[str]:
    """Return the letters among names of parts that no part has, as D in `A B D A`."""
    words = re.findall(r"[\w']+", text)
    letters = {each for each in names if len(each) == 1}
    return [
        word
        for before, word, behind in zip(["A", *words], words, [*words[1:], "A"], strict=False)
        if letters and re.fullmatch("[B-H]", word) and before in letters and (behind in letters or len(behind) > 2)
    ]


def _unread(beside: str, known: Mapping[str, str]) -> tuple[list[Danced], str]:
    """Return the parts that words between the names of others may be, by a short name or one that no part has, and the
    words that are none."""
    out, left = list[Danced](), list[str]()
    kinds = all(re.fullmatch(rf"(?i){KIND}", word) for word in beside.split())  # `Chorus Ending`
    for said in beside.split() if kinds else re.split(r"\s*[,/|;>]\s*|\s+-+\s+", beside):
        word = said.casefold()
        short = [name for plain, name in known.items() if len(word) > 1 and shortens(word, plain)]
        if re.fullmatch(rf"(?i){KIND}", said) or re.fullmatch(r"[A-Z][a-z]+|[A-H]", said):
            out.append(Danced(short[0] if len(short) == 1 else title(said)))
        elif said:
            left.append(said)
    return out, ", ".join(left)


def _spellings(known: dict[str, str]) -> dict[str, str]:
    """Return how the parts may be called in the order, in small letters, with their names."""
    out: dict[str, str] = {}
    for plain, name in known.items():
        said = {plain, name.casefold(), f"part {plain}"}
        for short, word in SHORT.items():
            if plain.split()[:1] == [word]:
                said |= {" ".join([short, *plain.split()[1:]]), "".join([short, *plain.split()[1:]])}
        for at, (word, size, nth) in enumerate(zip(ORDINALS, NUMBERS, NTHS, strict=False), 1):
            if plain == str(at):
                said |= {f"{word} part", f"part {size}"}
                said |= {size, word, nth} if len(known) > 1 else set()
        out |= {each: out.get(each, name) for each in said}
    return out


_COUNTS = re.compile(r"\s+(?!(?:times|parts|sections|steps)\b)[A-Za-z]+s\b|/\d")
"""What stands behind a number that is no part, `2 Basics`: figures, or the rest of a turn."""
_NAMED = re.compile(r"(?i)\b(?!(?:then|and|now|do|dance|part|plus)\b)[a-z]{2,}[.]? $")
"""A word in front of a number that is its name: `Break 2`."""
_QUIET = re.compile(
    r"(?i)\b(?:then|and|now|to|we|go|do|dance|the|again|with|so|a|once|more|time|to close|to finish|is|at|by|it|that's|"
    r"an|thats|after|finally|follow\w*|of|wait)\b|[\W_]|\bpart\b|\bsection\b"
)
_MANY = re.compile(rf"(?i)^\W{{0,3}}{TIMES}\)?")
_CUT = re.compile(
    r"(?i)^\W{0,3}(?:(?:but|just|only|the|do|dance|short)\b[\s,:(-]*)*"
    rf"(?:(?:first|1st|opening)\s+(?:(half)|{NUMBER}(?:\s*{UNITS})?)|"
    rf"(?:up to|until|till|stop(?: after| at)?)\s+(?:the end of\s+)?(?:{UNITS}\s+)?(\d{{1,3}})(?![\d:])(?:\s*{UNITS})?|"
    rf"(?<=just |only )(\d{{1,3}})(?:\s*{UNITS})?(?=\W)|(\d{{1,3}})\s*{UNITS}\s+only\b|"
    rf"(?:(?<=\()|{UNITS}\s+)1\s*-\s*(\d{{1,3}})|(1/2|half)(?: of it)?(?:,?\s*\d+\s*{UNITS})?)"
    r"(?:\s+only\b)?[)\]]?(?:[\s,;/-]+(?:leave out|skip|omit|drop|not) the rest\b)?"
)
"""Where a part is cut: `(first 16 beats)`, `up to beat 16`, `beats 1-16 only`, `half`."""


def _modified(name: str, behind: str, half: bool) -> tuple[Danced, str]:
    """Return a part with what stands behind its name, and what of that says nothing of it."""
    times, first, facing, stated = 1, 0, "", 0
    while True:
        if found := _MANY.match(behind):
            times = often(*found.groups())
        elif found := re.match(r"(?i)^[\s,]{0,3}once\b(?=\W*(?:[,;/|]|and\b|then\b|$))", behind):
            pass
        elif found := _CUT.match(behind):
            half, first = bool(found[1] or found[7]), number(next(filter(None, found.groups()[1:6]), "0"))
        elif found := re.match(
            r"(?i)^\W{0,3}(?:ends? )?(?:to|fac\w+|at) (?:the )?(front|back|\d{1,2}:\d\d)(?: wall)?\)?", behind
        ):
            facing = found[1].casefold()
        elif found := _LASTS.match(behind):
            stated = int(found[1] or found[2])
        else:
            break
        behind = behind[found.end() :]
    changing = re.match(
        r"(?i)^[-'](?=[\s,;)])|^\s?\*|^\W{0,3}(?:again,? )?(?:w/o|without|but|minus|no|with|only|short\w*|until|"
        r"up to|stop\w*|except|instead|leave|leaving)\b[^,;/|>]*",
        behind,
    )
    if changing:
        return Danced(name, changed=f"{name}{re.sub(r'[ ,;]+[-/|> ]*$', '', behind)}"), ""
    if (inside := re.match(r"\s*(\([^()]*\))", behind)) and _QUIET.sub("", inside[1]):
        return Danced(name, changed=f"{'half ' * half}{name} {inside[1]}"), behind[inside.end() :].strip(" ,.;-")
    said = tight(_QUIET.sub(" ", behind))
    return Danced(name, times, half, first, facing, stated=stated), behind.strip(" ,.;-") if said else ""


_LASTS = re.compile(
    rf"(?i)^\s*[-:,]?\s*(?:[(\[]\s*([89]|\d\d\d?)(?:\s*{UNITS})?\s*[)\]]|([89]|\d\d\d?)(?:\s*{UNITS}(?!\w)|(?=\W*$|\s*[,;/|>])))"
)
"""How long a part is."""
_ONE_TIME = re.compile(rf"(?i)\W*(?:on )?(?:the )?(?:{ORDINAL}|last) time\b")
"""What is said of one time of a part."""


def parted(text: str, names: Sequence[str], explains: Callable[[str], bool]) -> tuple[str, list[str]]:
    """Return the sentences of a text that name parts, and the others; `explains` says whether one explains a figure."""
    found = re.split(r"(?<=[\w)])[.!]\s+(?=(?:[A-Z][a-z]*|\d(?:st|nd|rd|th))\s+[a-z])", text)
    behind = [each for each in found[1:] if explains(each) or _ONE_TIME.match(each) or not order(each, names)[0]]
    return ". ".join(each for each in found if each not in behind), behind


def said_of_order(text: str, names: Sequence[str]) -> str | None:
    """Return what a line says of the order of the parts, None if it says nothing of it."""
    names = names or [*dict.fromkeys(re.findall(r"(?<![\w'])[A-H](?![\w'])", text))]
    words = order_words(text)
    again = rf"(?i)\W*(?:do|dance)\b(?:.*\bagain\W*$|(?: all)?(?: of)? (?:this|that|it|these) {TIMES})"
    if words is not None and not re.match(again, text):
        all_of_it = re.match(r"(?i)\W*(?:do|dance)\b", text) and re.search(rf"(?i)\w\s+{TIMES}\W*$", words)
        words += " through" * bool(all_of_it and len(order(words, names)[0]) > 1)  # `Do A B C twice`
        found = order(words, names)[0]
        if found and (len(found) > 1 or _WORD.search(text[: len(text) - len(words)])):
            return words
        return "" if not words.strip() and _ALONE.match(text) else None
    found, beside = order(tail := re.split(r"[.;]\s+", text)[-1], names)
    if tail != text and sum(each.name in names for each in found) > 2 and not re.search(r"\w", beside):  # `Wait. A-B-A`
        return tail
    found, beside = order(text, names)
    if names and re.match(rf"\W*(?:(?:{'|'.join(map(re.escape, names))})(?![\w'])[^\w*]*){{4,}}", text):
        return text
    whole = (
        len(found) > 2
        and sum(each.name in names for each in found) > 1
        and len(re.findall(r"[A-Za-z]+", beside)) < len(found)
        and len(re.findall(r"\w+", text)) <= 3 * len(found)
    )
    return text if whole and not (beside and "=" in text) and not re.match(r"(?i)^\W*(?:repeat|rpt)", text) else None


def _spells(text: str, names: Sequence[str]) -> bool:
    """Say whether a line is a row of codes that are not all names of parts, behind none: `Joey   DS B(xib) B(ots)`."""
    rows = found_in(text, {})
    codes = {each for row in rows[:1] for group in row.codes for each in group}
    return not codes <= {*names} and not order(text[: rows[0].start], names)[0]


def orders(entries: Sequence[Entry], names: Sequence[str], measure: int) -> dict[int, str]:
    """Return what lines say of the order, by number: behind a word for it, below that, or a line for each part."""
    out: dict[int, str] = {}
    stack, before = False, 0
    for entry in entries:
        goes_on, before = before in out, entry.number
        lines = re.match(r"(?i)\W*(?:do|repeat|rpt)\s+\d(?:\W|\d|and\b|to\b|thru\b)*(again)?", entry.text)
        if (
            (lines and (lines[1] or entry.label))
            or re.match(r"(?i)\W*(?:\w+\*\s*=|(?:do|repeat|rpt)\s+(?:numbers?|nos?\b|lines?|steps?|#))", entry.text)
            or any(under(entry.raw) for under in (is_beats, counts_on, is_feet))
            or _spells(entry.text, names)
            or capital_head(entry.raw).endswith(" part")
            or re.match(r"Part \d+[^:]*:\s", entry.text)
        ):
            continue  # what a changed part is, lines again, or what stands under a row
        found, left = order(entry.text, names)
        dotted = goes_on and ".." in entry.text and ".." in next(reversed(out.values()))
        below = next((each for each in entries if each.number > entry.number), None)
        mid = bool(below and not below.gap and order(below.text, names)[0])
        ends = not below or below.gap or mid
        wraps = goes_on and not entry.gap and len(found) > (0 if dotted or ends else 1)
        if wraps and (dotted or (not left and re.fullmatch(r"(?:\W*\w+(?: \d)?){1,9}\W*", entry.text))):
            out[entry.number] = entry.text  # a wrapped order
            continue
        alone = goes_on and not entry.gap and len(found) == 1 == len(order(next(reversed(out.values())), names)[0])
        alone |= goes_on and mid
        beside = alone and not (re.search(r"\d", left) or re.match(r"[^,(]*:", entry.text))
        headed = entry.gap and len(found) == 1 and not ends
        if stack and found and (not left or len(found) > 3 or beside) and not headed:  # `ENDING` over its steps
            out[entry.number] = entry.text
            continue
        stack = False
        if (said := said_of_order(entry.text, names)) is not None:
            out[entry.number] = said
            stack = not said.strip()
    return dict(sorted((out | _listed(entries, out, measure)).items()))


_BESIDE = re.compile(r"\W*[\w' ]*?[a-z]{2}[\s:.-]+(?P<rest>[A-H]\b.*)")
"""Parts behind the section of the song that they are danced to: `banjo    D D`."""


def _listed(entries: Sequence[Entry], known: Mapping[int, str], measure: int) -> dict[int, str]:
    """Return the lines of a list of at least three parts without any steps, each of which has its head elsewhere; the
    sections of the song may stand before them.  `known` are the lines that say of the order already."""
    heads = {entry.number: made for entry in entries if (made := head(entry.text, measure))}
    names = [*dict.fromkeys(each.name for each in heads.values())]
    out, run = dict[int, str](), dict[int, str]()
    for entry in [*entries, None]:
        found = heads.get(entry.number) if entry else None
        column = _BESIDE.fullmatch(entry.text) if entry else None
        rest = column["rest"] if column else found.rest if found and plainly(found.rest) in map(plainly, names) else ""
        danced, left = order(rest, names)
        said = rest if danced and (not left or (len(run) > 2 and rest.startswith(danced[0].name))) else ""
        letters = re.fullmatch(r"\W*[A-H](?:\W+[A-H])+\W*", entry.text) if entry else None  # `A B` over `A C` over `B`
        said = entry.text if entry and letters and {*re.findall(r"\w", entry.text)} <= {*names} else said
        if not said and found and not re.sub(r"(?i)\W|once|again|more|another|time", "", found.rest + found.remark):
            said = found.name
        if entry and not found and re.match(r"(?i)wait\s+\d+\b[\w ]{0,7}$", entry.text):
            said = entry.text
        if entry and (said if entry.number not in known else column):
            run[entry.number] = said or known[entry.number]
            continue
        listed = [each for said in run.values() for each in order(said, names)[0]]
        elsewhere = {plainly(each.name) for number, each in heads.items() if number not in run}
        if len(run) > 2 and {plainly(each.name) for each in listed} <= elsewhere:
            out |= run
        run = {}
    return out


_WORD = re.compile(r"(?i)\b(?:sequence|seq|order|routine)\b")
_ALONE = re.compile(r"(?i)\W*(?:so\s+)?(?:how|(?:the|what|dance|running) order|order|sequence|seq|routine)")
