"""Rows of clogging codes, `DS DS RS RS`, each code with its foot beside or below it, and the beats that they last."""

import itertools
import re
from collections.abc import Iterator
from functools import lru_cache

from attrs import evolve, frozen

from stepcheck.books.book import Book
from stepcheck.books.placing import last_beat, place
from stepcheck.language.grammar import LineError
from stepcheck.language.parser import parse_forms
from stepcheck.model.dance import TICKS
from stepcheck.steps.outline import Line
from stepcheck.steps.vocabulary import PARTS_OF_A_TURN, code
from stepcheck.steps.words import SIDED

_SIDES = r"\(?[LR]+\)?(?:\s*[-/]\s*[LR]+)?"
_FEET_TOKEN = re.compile(_SIDES)


_JOINED = re.compile(r"(?<![\w-])([A-Z][a-z]+)([A-Z][a-z]*)(?![\w-]|\s*=)")


_GLUED = re.compile(r"(?<![\w-])[A-Z]{3,6}(?![\w-]|\s*=)")
_BEFORE = re.compile(r"(?<![\w-])([A-Z]{2,})(?:\([^()]*\))?[ ,/]+$")
_BEHIND = re.compile(r"(?:\([^()]*\))?[ ,/]+([A-Z]{2,})(?![\w-])")


def joined_apart(text: str) -> str:
    """Return a text with two codes that capitals tell apart in one word with a stroke between: `BR/SL` for `BrSl`."""

    def said(found: re.Match[str]) -> str:
        one, other = found[1].upper(), found[2].upper()
        return f"{one}/{other}" if code(one, "clogging") and code(other, "clogging") else found[0]

    return _JOINED.sub(said, text)


def codes_apart(text: str) -> str:
    """Return a text with two codes that are one word apart: `BR SL` for `BRSL` beside another code where no other codes
    make it; a word that it explains stays."""

    def split(found: re.Match[str]) -> str:
        word, beside = found[0], (_BEFORE.search(text, 0, found.start()), _BEHIND.match(text, found.end()))
        cuts = [(word[:at], word[at:]) for at in range(1, len(word))]
        known = [each for each in cuts if all(code(part, "clogging") for part in each)]
        lone = code(word, "clogging") or not any(each and code(each[1], "clogging") for each in beside)
        short = any(len(one) < 2 or (len(other) < 2 and other not in "HS") for one, other in known)
        return " ".join(known[0]) if len(known) == 1 and not lone and not short else word

    return joined_apart(_GLUED.sub(split, text))


_FULL = re.compile(r"(?<![A-Za-z])(?:[A-Z]{4,}|UP|TOE|TAP|HOP)$")
_CELL = re.compile(r"([A-Za-z'-]+(?: [A-Za-z'-]+)*)(\s+)$")
"""A word in full, in capitals, at the end of a text; and the last words of a text with the space behind them."""


def in_name(text: str, again: bool) -> bool:
    """Say whether the name of a figure may go on behind a text, `BRUSH UP ` before `STEP   DS BR UP DS RS`.

    The text ends with a word in full, in capitals. Behind a wide gap, it also holds another word, or a step that the
    row behind it has `again`.
    """
    words = _CELL.search(text)
    return bool(words and _FULL.search(words[1]) and (words[2] == " " or again or len({*words[1].split()}) > 1))


@frozen
class Row:
    """A row of codes as written: each with its note ("" for none), and the feet and the beats beside or below them."""

    codes: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]
    feet: tuple[str, ...] = ()
    beats: tuple[str, ...] = ()

    @property
    def span(self) -> tuple[int, int]:
        """The first and the last beat that are written under it, 0 if none is."""
        said = [int(found[0]) for word in self.beats if (found := re.search(r"\d+", word))]
        return (said[0], said[-1]) if said else (0, 0)

    def placed(self, line: Line, book: Book) -> Line:
        """Return a row on the beats that stand under it, if some of its movements need them."""
        words, (first, last) = paired(self.codes, self.beats), self.span
        words = (
            tuple(
                re.sub(r"^&(?=\d)", "", word) if group == ("RS",) else word
                for word, group in zip(words, self.codes, strict=False)
            )
            if len(words) < len(self.beats)
            else words
        )
        single = all(len(group) == 1 for group in self.codes)
        if not line.moves or len(words) != len(self.codes) or not single or not first:
            return line
        row = " ".join(move.code for move in line.moves)
        if "&" not in words and forms_beats(row, book) == last - first + 1:
            return line
        tick = 0
        moves = []
        for move, word in zip(line.moves, words, strict=True):
            digits = re.sub(r"\D", "", word)
            tick = (int(digits) - first + 1) * TICKS if digits else tick - tick % TICKS + TICKS // 2
            moves.append(evolve(move, tick=tick))
        ticks = [move.tick for move in moves]
        return evolve(line, moves=tuple(moves)) if ticks == sorted(set(ticks)) and ticks[0] > 0 else line


@lru_cache(maxsize=1 << 10)
def forms_beats(row: str, book: Book) -> int:
    """Return how many beats a row of movements lasts, 0 where it isn't understood."""
    try:
        actions, problems = place(parse_forms(row), book.movement, book.tradition)
    except LineError:
        return 0
    return 0 if problems else last_beat(actions)


_CHAINED = re.compile(
    r"(?<![\w-])(?<!\w\()(?:\(?[LR]{1,2}\)?[LR]?(?:-\(?[LR]{1,2}\)?[LR]?){2,}|[LR]-[LR]{2}|[LR]{2}-[LR]{1,2}|[LR]{3,})(?![\w-])"
)


_HUNG = re.compile(r"(?<![\w-])(?![LR]+-)([A-Z][A-Za-z]{0,5})-(LR|RL|L|R)(?:(\([a-z]{1,4}\))|(?![\w-]))")
_BARRED = re.compile(r"\s+(?:\||//)\s+(?=[A-Z]{1,5}(?:\(|\s|$))")


def feet_apart(text: str) -> str:
    """Return a text with the feet of a whole row apart that dashes join, or nothing: `L-R-L-RL`, `RLRLRL`; two alone,
    `L-R`, are of movements that are one word. Feet that hang on their codes, two of them at least, are in brackets,
    without bars between these: `DS-L | S-R(xib) | RS-LR`."""
    if len(_HUNG.findall(text)) > 1:
        text = _BARRED.sub(" ", _HUNG.sub(lambda found: f"{found[1]}{found[3] or ''}({found[2]})", text))
    return _CHAINED.sub(lambda found: found[0].replace("-", " ") if "-" in found[0] else " ".join(found[0]), text)


def feet_of(text: str) -> tuple[str, ...]:
    """Return the feet of a row, a piece for each code: `L R L-R RL`."""
    return tuple(re.sub(r"[^LR-]", "", found.replace("/", "-")) for found in _FEET_TOKEN.findall(text))


def paired(codes: tuple[tuple[str, ...], ...], cells: tuple[str, ...]) -> tuple[str, ...]:
    """Return the cells under a row, one for each code.

    Each code has one, or each movement of those that stand together, `TCH-H`; each RS has one, or two, its rock and its
    step; a clap has one or none, and so has a heel behind its toe. Cells that fit in none of these ways, or in several,
    are returned as they are.
    """
    found = {
        made
        for rock, whole, still, heel in itertools.product((1, 2), (True, False), (1, 0), (1, 0))
        if (made := _dealt([*_sizes(codes, rock, whole, still, heel)], cells))
    }
    return found.pop() if len(found) == 1 else cells


def _sizes(codes: tuple[tuple[str, ...], ...], rock: int, whole: bool, still: int, heel: int) -> Iterator[int]:
    """Yield how many cells each code has: an RS `rock`, codes that are one word one if `whole`, a clap `still`, and a
    heel behind its toe `heel`."""
    for before, group in itertools.pairwise([(), *codes]):
        if group in (("CLAP",), ("HOLD",)):
            yield still
        elif (before, group) == (("T",), ("H",)):
            yield heel
        else:
            yield rock if group == ("RS",) else 1 if whole or group == ("TW", "HD") else len(group)


def _dealt(sizes: list[int], cells: tuple[str, ...]) -> tuple[str, ...]:
    """Return cells put together to so many each, nothing where they are more or fewer, or one of them has two feet."""
    ends = [0, *itertools.accumulate(sizes)]
    made = [cells[a:b] for a, b in itertools.pairwise(ends)] if ends[-1] == len(cells) else []
    both = any(len(each) > 1 and len(cell) > 1 and cell.isalpha() for each in made for cell in each)
    return () if both else tuple(map("".join, made))


def sides(group: tuple[str, ...], said: str) -> list[str]:
    """Return the feet of the codes that a piece such as `BR-SL` has, from `L-R` or `LR`."""
    return list(said) if len(group) > 1 and "-" not in said else said.split("-")


def beats_of_row(text: str) -> tuple[str, ...]:
    """Return the beats of a row, `e& a 1 & 2`, a word for each movement."""
    return tuple(re.findall(r"[&ea]*\d+|[&ea]+", text.replace("&a", "&")))


def beats_under(text: str) -> tuple[str, ...]:
    """Return the beats that a line is, `Counts: &1 &2 & 3`, none if it is no such line."""
    bare = re.sub(r"(?i)^\W*(?:counts?|beats?|timing)(?: is)?\s*:?\s+", "", text).strip(" []()")
    return beats_of_row(bare) if is_beats(bare) and "&" in bare else ()


def counts_on(text: str) -> bool:
    """Say whether a line begins with a range of beats, `5 - 8`, with beats that rise by one, `5 6 7 8 each time`, or is
    the beats of a row, `&1 &2`."""
    digits = re.match(r"\W*((?:&?\s*\d\s+){2,}&?\s*\d)(?!\w)", text)
    numbers = [int(each) for each in re.findall(r"\d", digits[1])] if digits else []
    rises = bool(numbers) and numbers == [*range(numbers[0], numbers[0] + len(numbers))]
    under = beats_under(re.sub(r"(?i)^\W*[a-z]+ (?=timing\b)", "", text))
    return rises or bool(under) or re.fullmatch(r"\W*&?\d\s*-\s*&?\d\W*", text) is not None


def is_feet(text: str) -> bool:
    """Say whether a text is feet alone, as the row under a row of codes is: `L RL then R`."""
    words = re.sub(r"\s*[-/]\s*", "-", re.sub(r"\b(?:then|and)\b|[,()|]", " ", text)).split()
    return bool(words) and all(re.fullmatch(r"[LR]{1,2}(?:-[LR]{1,2})?|-", word) for word in words)


def is_beats(text: str) -> bool:
    """Say whether a text is beats alone: `&1 &2 & 3`."""
    words = re.sub(r"[\[\]()|]|\.{2,}", " ", text).split()
    return (
        len(words) > 1
        and any(any(map(str.isdecimal, word)) for word in words)
        and all(re.fullmatch(r"[&ea]*\d{0,2}[&ea]*", word) for word in words)
    )


CELL = re.compile(r"(?i)^(\s*)(?:counts?|moves?|steps?|foot|feet|timing|beats?|weight)\s*(?::|\s{2,})\s*")
"""What a row of codes, feet or beats is called in front of it."""


_AHEAD = r"\s*(?:(?:are|is)\b|[:=])?\s+(?=(?-i:DS|STO|RS)\b)"
_CALLED = re.compile(
    rf"(?i)(?<=\w)(?:\s*[,:=-])?\s+(?:(?:which|that) is|that'?s|i\.e\.){_AHEAD}|"
    rf"(?:(?<=\()|(?<=\w)\s*[,:=-]\s*)(?:the\s+)?(?:steps|footwork){_AHEAD}"
)
_FEET = re.compile(r"(?i)(?<=[A-Z)]),?\s+(?:and\s+)?(?:the\s+)?feet\s*(?:are\b|[:=])?\s+(?=(?-i:[LR])\s)")
"""What the codes of a figure are called in front of them, and their feet: `Basic, that is DS RS, feet L RL`."""
_DOTTED = re.compile(
    r"(?i)(?<![\w.])[a-z]{1,5}(?:-[a-z]+)?(?:\.[a-z]{1,5}(?:-[a-z]+)?)+(?:\.(?=\W*$|[)\]\s])(?!\.))?(?!\w)"
)
_HALVED = re.compile(r"(?i)(?<![\w-])(d(?:bl)?|r(?:k|ck)?)-st?(?![\w-])|(?<=[a-z]{3})-St(?![\w-])")
"""A double step and a rock step of two words, `D-S`, `Rk-St`, and a step behind another movement: `Drag-St`."""
_DASHED = re.compile(r"\([LR]{1,2}(?:-[LR]{1,2})+\)")
_STRONG = re.compile(r"(?i)(?<![\w-])(?:ds|rs)(?![\w])")
"""Codes that single dots join, `ds.k-x.sl.rs.`, and those without which they are none."""

_COUNTS = re.compile(r"(?<![^\s,;])&?(\d) (?=[A-Za-z])")
"""A beat in front of its step: `&1 DS L, 2 touch R`."""


def written(raw: str) -> str:
    """Return a line with degrees as parts of a turn, `w/o` and `PT A` in full, and without an arrow and its remark."""
    raw = re.sub(rf"(?i)\b({SIDED}) (foot|ft) first\b", r"\1 \2", raw)
    raw = re.sub(r"(?i)\brock \(?([LR])\)?( xi[fb])?,? step \(?([LR])\)?(?!\w)", r"RS(\1\3)\2", raw)
    raw = re.sub(r"(?i)(?<=\w, )rock[ -]step(?=, (?-i:DS)\b)|\br/s\b", "RS", raw)  # among codes
    counts = [int(each) for each in _COUNTS.findall(raw) if "&" in raw]
    raw = _COUNTS.sub("", raw) if len(counts) > 2 and counts == [*range(counts[0], counts[-1] + 1)] else raw
    raw = re.sub(rf"^(\W*(?i:{SIDED})) (?i:ft)\.(?=\s+[A-Z][a-z])", r"\1 foot", raw)
    raw = _HALVED.sub(lambda at: at[1][0].upper() + "S" if at[1] else "-S", _CALLED.sub(": ", _FEET.sub(", ", raw)))
    if raw.count("|") > 2 and "||" not in raw and (cells := raw.strip())[0] == cells[-1] == "|":
        raw = cells[1:-1].strip()
    raw = re.sub(r"(?i)^(\W*\d{1,2}) ?(?:ea|x's)\b\.? (?=(?-i:[A-Z])[^,;&]*$)", r"\1 ", raw)  # `2 ea. Triple`
    raw = re.sub(r"^([^*]*[\w)])\s*\*\s?(\d{1,2})\W*$", r"\1 x\2", raw)  # `Triple * 4`
    raw = re.sub(r"^([^*]*\S)\s+\*\s?(?=[^\s*])([^*]+?)\*?\s*$", r"\1, \2", raw)  # `Triple *turn 1/4 left*`
    raw = re.sub(r"^(\W*)1 ?[xX] (?=[A-Za-z]+\W*$)", r"\1 1 ", raw)  # `1x Stomp`
    raw = re.sub(r"^(\d{1,2})-([A-Z][a-z][^,\d]*, )(\d{1,2})-(?=[A-Z][a-z])", r"\1 \2\3 ", raw)  # `2-Basic, 3-Triple`
    raw = _DASHED.sub(lambda found: found[0].replace("-", " "), raw) if re.search(r"[A-Z)]-[A-Z]", raw) else raw
    raw = re.sub(r"(?<=[A-Z])\s+<-+\s+(?=(?:[A-Z][a-z]+ ?){1,3}$)", " - ", raw)  # `DS RS <- Basic`
    bare = codes_apart(re.sub(r"[{}]|(?<=\w) (?=[½¼¾⅛])", "", feet_apart(raw)))
    text = re.sub(r"\s+-+>\s+", " - ", re.sub(r"\s+<-+\s.*$", "", bare))
    text = re.sub(r"(?i)\bpt\b\.?(?=\s+(?-i:[A-H])\d?(?![\w'&]))", "part", re.sub(r"(?i)\bw/o\b", "without", text))
    if re.search(r"\b(?:DS|STO?|S|BA|BR|[Ss]tomp|[Bb]rush|[Ss]tep|ds) ?\(?[LR]\b", text):  # the foot of each
        text = re.sub(r"(?i)(?<=\bds [LR], )([LR]) (?:toe[ -])?(touch|tap|kick|brush|stomp)\b", r"\2 \1", text)
        last = r"(?:\s*\((?-i:([LR])[ ,/]+([LR]))\)|(?-i: ([LR])[ /]([LR]))(?=\W*$|\s*[(]))"
        text = re.sub(rf"(?i)(?<![\w-])(rs|bc){last}", r"\1(\2\3\4\5)", text)
    named = r"\1" if re.search(r"\bDS\b.*\b(?i:vines?) [48]\b", text) else r"\1 (\2 beats)"  # behind its row
    text = re.sub(r"(?i)\b(vines?) ([48])\b(?! ?(?:x|times))", named, text)  # a Vine 4 or 8, by common practice
    text = re.sub(
        r"(?<![-\d&])\b(45|90|180|270|360)\b\s*(?:degrees?|deg\b\.?|°)", lambda found: PARTS_OF_A_TURN[found[1]], text
    )
    text = re.sub(r"(?i)\b360\b(?=\W*(?:(?:to (?:the )?)?(?:[LR]\b|left|right)|$))", "full", text)
    text = re.sub(r"(?<=\d/\d )([lr])(?=\W|$)", lambda found: found[1].upper(), text)
    text = _DOTTED.sub(
        lambda found: found[0].rstrip(".").replace(".", " ") if _STRONG.search(found[0]) else found[0], text
    )
    text = re.sub(r"(?i)(?<![\w-])(ds|st|s|k|tch|t|h|br|dt)-(x|xif|xib|xf|xb|f|b|os|side)(?![\w-])", r"\1(\2)", text)
    bare = CELL.sub(r"\1", text)
    return bare if is_beats(bare) or is_feet(bare) or re.match(r"\s*(?:DS|ds|STO|[A-Z]{2})\b", bare) else text


_EACH_FOOT = re.compile(
    rf"(?i)\b(?:first|1st)(?: one)?(?: on)?(?: the)? ({SIDED})\b(?: (?:foot|ft))?,? (?:(?:and|then|the) )*"
    rf"(?:other|second|2nd)(?: one)?(?: on)?(?: the)? ({SIDED})\b(?=(?: (?:foot|ft))?\W*$)"
)


def each_foot(text: str) -> str:
    """Return a text with the feet of two times written one way: `first L, second R` for `first one L, other one R`."""
    return _EACH_FOOT.sub(r"first \1, second \2", text)
