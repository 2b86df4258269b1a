"""Running text of a cue sheet: its sentences as the heads, the cues and the lengths that they tell."""

import itertools
import re
from collections.abc import Sequence

from attrs import evolve

from stepcheck.cues.entries import Entry, digits, sentences, timed
from stepcheck.cues.marks import OTHERWISE
from stepcheck.cues.titles import KIND, head, plainly
from stepcheck.pages.reader import Reader
from stepcheck.routines.beside import SUM, risky
from stepcheck.routines.order import Danced, order
from stepcheck.steps.vocabulary import plain
from stepcheck.steps.words import NUMBER, ORDINAL, UNITS

_NEXT = r"(?:(?:and|then|now|next|first|finally)\b,?\s*)*"
_DO = (
    r"(?:(?:we|you)\s+)?(?:do|dance|add|(?:begin|start|open)(?:\s+off)?\s+with|follow(?:\s+(?:that|this|it|them))?\s+with|"
    r"(?:finish|end)(?:\s+(?:up|off))?\s+with)"
)
_ASKED = r"(?!second|times?\b|more|one\b|lot|little|few|couple|turn|bit|thru|through|to\b|and\b)[a-z]{2}"
_POLITE = re.compile(
    rf"(?i)^{_NEXT}{_DO}\s+(?:(?:another|one\s+more|(?-i:an?))\s+(?={_ASKED})|(?={NUMBER}\s+{_ASKED})(?!\d))|"
    rf"^\W*(?:(?:first|next|then|last|lastly|finally),\s+)+(?={NUMBER}\s+{_ASKED})"
)
"""Words with which a sentence asks for what is danced: `Then do a Joey`, `Follow with two Charlestons`, `First, two
Chains`."""
_ON = re.compile(rf"(?i)^(?:on|in|for|during)\s+the\s+(?P<name>{KIND}),?\s+(?={_NEXT}{_DO}\b)")
_CUT = re.compile(
    r"(?i)(?:,\s*|,?\s+and\s+)(?:then\s+)?(?=(?:follow|finish|end)(?:\s+(?:up|off|that|this|it))?\s+with\s+"
    rf"(?:(?:another|an?)\s+|{NUMBER}\s+){_ASKED})|"
    r",\s*so\s+(?=(?:do|dance|repeat)\s+(?:it|that|this|all)\b[a-z ]*\b(?:twice|again|times|more)\b)|"
    r"(?<=\d beats),\s+(?:(?:and|then)\s+)+(?=[a-z][^.]*\d beats)"
)
"""Where another sentence might begin: `…, and finish with one Basic`, `…, so do it twice`."""
_EACH = re.compile(rf"(?i)^each(?:\s+(?:of\s+(?:them|these)|one))?\s+(?:is|takes|lasts)\s+(\d{{1,2}}\s*{UNITS})$")
_MORE = re.compile(r"(?i)\bfor\s+(\d{1,2})\s+more$")
CHANGED = re.compile(
    r"(?i)\b(?:but|no|not|without|turn\w*|except|instead|opposite|other|first|1st|only|short|stop|until|up to)\b"
)  # a part danced again
NTH = rf"\W*(?:(?:on|in|for|during|at) )?(?:the )?(?:very )?((?:last|final|{ORDINAL})"  # which time of a part
BEGINS = re.compile(
    r"(?i)\W*(?:(?:we|you|all|everybody|dancers?|dance|dancing|the|first|steps?|then)\s+)*"
    r"(?:start|begin|come|enter)(?:s|ing)?(?:\s+in|\s+dancing|\s+the dance)?\s+after\b|"
    r"\W*wait\b(?=.*\s(?:to|before)\s(?:(?:we|you)\s)?(?:start|begin|com(?:e|ing) in)(?:ing|ning)?\W*$)"
)
TO_BEGIN = re.compile(r"(?i)\s(?:to|before)\s(?:(?:we|you)\s)?(?:start|begin|com)\w*(?: in)?\W*$")
"""Words in front of how long dancers wait, and behind it."""
FACING = re.compile(
    r"(?i)\W*(?:(?:we|you|all|everyone|this|it)\s+)?(?:start|begin)(?:s|ning|ing)?\s+(?:(?:by|out)\s+)?"
    r"(?:fac(?:e|ing)|at|to|on|toward)\s+(?:to\s+)?(?:the\s+)?(front|back|\d{1,2}:00)(?: wall)?\W*"
)
FACED = re.compile(r"(?i)\bfac(?:e|es|ing)\b|\bwall\b|\b(?:to|at) (?:the )?(?:front|back)\b")
"""Where dancers face when a part begins, and words that say where they face."""
OVER = re.compile(
    r"(?i)\W*(?:(?:then|and|now|so|you|we) )*(?:(?:repeat|rpt|do|dance|go|start)\b(?: (?:it|over|back|again))*|back\b)"
    r"(?: (?:from|to|at) (?:the )?(?:very )?(?:top|beginning|start|(?:part )?(?P<first>[\w ]+?))|"
    r" (?:the )?(?:whole|entire) (?:dance|routine|sequence)|"
    r" the (?:dance|routine|sequence)|(?P<loose> (?:it )?(?:all|everything)| (?:the )?(?:whole|entire) (?:thing|lot)))"
    r"(?: (?:of it|again|over|once more|and do it all))*"
    r"(?:,? (?:to|facing) (?:the )?(?P<facing>front|back)(?: wall)?)?\W*"
)
"""All parts once more, or from one on: `Repeat the whole dance`, `Do it all again to the front`, `Repeat from B`."""
_ONCE_MORE = re.compile(
    r"(?i)\W*(?:(?:then|and|now|so|go back) )*"
    r"(?:repeat|rpt|rep\b|(?:finish|end|close)(?: up)? (?:with|on)|(?:do|dance)(?=.*\b(?:again|once more|time)\W*$))\b"
    r"(?:\W*parts?\b)?\W{0,2}"
)
"""What stands before parts that are danced once more: `Repeat A, B and C`, `Finish with A`."""
_STARTED = re.compile(
    r"(?i)[\s,(-]*(?:\b(?:you|we) )?\b(?:(?:start|begin)(?:s|ning|ing)?\s+(?:(?:at|on|facing)\s+)?|from\s+|"
    r"on\s+(?=[\w ]+ wall)|(?<=\()(?=\w+ wall\)))(?:the\s+)?(front|back|\d{1,2}:\d\d)\b(?:\s+wall\b)?\)?|"
    r"^\W*(?:(?:facing|from|at)\s+)?(?:the\s+)?(front|back)(?:\s+wall)?\s*[:,]\s*"
)
"""Where dancers face when a part begins: `Repeat A (start facing back)`, `Back wall: repeat A`."""
_AS_BEFORE = re.compile(r"(?i)[\s,(-]*\b(?:this time|(?:(?:just|exactly|same) )*(?:like|as) (?:before|above))\W*$")


def parts_again(text: str, names: Sequence[str]) -> tuple[list[Danced], str]:
    """Return the parts that a line dances once more, or cut, and where dancers face when they begin, "" if it doesn't
    say; none where it says more than that."""
    text = re.sub(r"(?i)\bfcg\b", "facing", re.sub(r"(?i)\brear\b(?=\W*(?:wall\W*)?(?:$|[:,]))", "back", text))
    text = re.sub(r"(?i)^(\W*(?:part )?\w+)\W+(?:repeat(?:ed)?|rpt)(?=[\s,.(]*(?:$|[,(]))", r"repeat \1", text)
    text = re.sub(r"^\W*\*(.+)\*\W*$", r"\1", text)
    started = _STARTED.search(text)
    if started:
        text = f"{text[: started.start()]} {text[started.end() :]}"
    bare = re.sub(r"(?i)\bover(?: again)?$", "again", _AS_BEFORE.sub("", text).rstrip(" .!"))
    asked = _ONCE_MORE.match(bare)
    danced, left = order(bare[asked.end() :] if asked else bare, names)
    cut = all(each.first or each.half for each in danced)
    whole = asked or cut or started or re.search(r"(?i)\b(?:again|once more)$", bare)
    if (left and not (cut and re.fullmatch("(?i)short|partial|do", left))) or not whole:
        return [], ""
    read = not any(each.changed or each.name not in names for each in danced)
    return danced if read else [], next(filter(None, started.groups())).casefold() if started else ""


def spoken(text: str, reader: Reader) -> tuple[str, list[str]]:
    """Return the first sentence of a text and the others, if these say nothing of a dance; else the text."""
    first, *more = re.split(r"(?<=[\w)])[.!]+\s+(?=[A-Z])", text)
    said = any(risky(each, reader) or OTHERWISE & {*each.casefold().split()} or FACED.search(each) for each in more)
    return (text, []) if said else (first, more)


def one_time(text: str, names: Sequence[str]) -> re.Match[str] | None:
    """Return what a line says of one time of a part, by its names, or of the dance: `2nd Chorus: stop early`."""
    known = "|".join(re.escape(each) if len(each) > 1 else f"(?-i:{each})" for each in (*names, "time through", "time"))
    return re.match(rf"(?i){NTH} (?P<part>{known})(?!\w))(?: only)?(?P<sign>\W+)(?P<rest>\w.*)", text)


_LED = re.compile(
    r"(?i)\W*(?:(?:do|dance|repeat)\s+)?(?P<part>[^,;+&]+?)(?:\s+(?:again|once more))?"
    r"\s*(?:[,;+&]|\b(?:and|then)\b)(?:\s*\b(?:and|then)\b)*\s*(?=\S)"
)


def led_by(entry: Entry, names: Sequence[str]) -> tuple[Entry, list[Danced]]:
    """Return a line without the part, or its beginning, that is danced before its steps, `first half of A, then stomp`,
    and that; none where it does not begin with one."""
    found = _LED.match(entry.text)
    danced, left = order(found["part"], names) if found else ([], "")
    if not found or left or len(danced) != 1 or danced[0].changed or danced[0].name not in names:
        return entry, []
    return evolve(entry, text=entry.text[found.end() :]), danced


def told_plainly(lines: Sequence[Entry]) -> list[Entry]:
    """Return lines of which those in sentences say what their cues would: `Verse: two Triples. One Basic` for `On the
    verse, do two Triples, and finish with one Basic`; behind them how long these are in all."""
    heads = {plainly(made.name) for each in lines if (made := head(each.text, 0))}
    return [made for each in lines for made in _told(each, heads)]


def _told(entry: Entry, heads: set[str]) -> list[Entry]:
    given = sentences(plain(digits(entry.raw)))
    cut = [_CUT.sub("\n", each).split("\n") for each in given]
    made = [_plain(each, at, heads) for at, each in enumerate(itertools.chain.from_iterable(cut))]
    if made == given:
        return [entry]
    total = made.pop() if len(made) > 1 and SUM.fullmatch(made[-1]) else ""
    text = ". ".join(each.rstrip(" .") for each in made)
    if (named := head(f"{made[0]}:", 0)) and not named.rest:  # else `Verse. Two Triples` is the second verse
        text = text.replace(". ", ": ", 1)
    out = [timed(evolve(entry, text=text, stated=0, loose=False, led=False))]
    return [*out, *[timed(Entry(entry.number, total, total))] * bool(total)]


def _plain(said: str, at: int, heads: set[str]) -> str:
    """Return a sentence, `at` which place it stands, as the cues that it asks for."""
    on = _ON.match(said)
    front = f"{on['name'].capitalize()}: " if on and plainly(on["name"]) not in heads else ""
    bare = said[on.end() :] if on and front else said
    if at or front or not re.match(r"(?i)\W*(?:finish|end)\b", bare):  # else it may be how the dance ends
        bare = _POLITE.sub("", bare)
    bare = _MORE.sub(r"for \1 beats", _EACH.sub(r"\1 each", bare))
    return front + bare[:1].upper() + bare[1:] if at or bare != said else said


def measured(entry: Entry, said: list[str], stated: int, span: tuple[int, int]) -> tuple[list[str], list[Entry], int]:
    """Return the sentences of a line, each with the beats that it states, and those that the line states of them all.

    The last length is the last sentence's where others state theirs, but a bare number that is more than these is what
    the lines so far come to.
    """
    if len(said) < 2:
        return said, [evolve(entry, stated=stated, span=span)], stated
    apart = [evolve(entry, text=each, stated=0, span=(0, 0)) for each in said]
    inside = [each if SUM.fullmatch(each.text) else timed(each) for each in apart]
    if not any(each.stated for each in inside):
        return said, inside, stated
    inside[-1] = evolve(inside[-1], stated=inside[-1].stated or stated)
    if re.search(r"\.\s+\d+\W*$", said[-1]) and inside[-1].stated > sum(each.stated for each in inside[:-1]):
        said = [*said, f"That is {inside[-1].stated} beats"]
        inside[-1:] = [evolve(inside[-1], stated=0), evolve(apart[-1], text=said[-1])]
    return said, inside, 0


def may_order(text: str, names: Sequence[str]) -> bool:
    """Say whether a line may be the order though it is not read: a row of pieces, several of them names of parts, the
    others names that no part has."""
    parts, _ = order(text, names)
    return len(re.findall(r"\s-+\s|,", text)) > 3 and len(parts) > 1 and all(len(each.name) > 1 for each in parts)
