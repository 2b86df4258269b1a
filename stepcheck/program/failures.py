"""Why a line cannot be laid out, and what may be meant: wrong marks, cuts, times and names, and a dance too large."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from difflib import get_close_matches
from itertools import pairwise

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.books.placing import COMPOUNDS, last_count, place
from stepcheck.language.grammar import COUNTED
from stepcheck.language.patch import MEANT, Rewrite
from stepcheck.language.printer import print_node
from stepcheck.language.syntax import (
    NOWHERE,
    At,
    FigureRow,
    FirstMark,
    FootMark,
    Length,
    Line,
    Option,
    SwapMark,
    TurnMark,
    UntilMark,
)
from stepcheck.model import words
from stepcheck.model.dance import TICKS, Figure, Foot, Version, key
from stepcheck.program.claims import LineFails
from stepcheck.program.cutting import CutFails, usual


def impossible(line: Line, at: At, message: str, *hints: str) -> LineFails:
    """Return the failure of a mark that is not possible where it stands."""
    return LineFails("mark-not-possible-here", line, at, message, *hints)


def outside_repeat(line: Line, at: At, hint: str) -> LineFails:
    """Return the failure of a named time where nothing is repeated."""
    return LineFails("time-outside-repeat", line, at, "nothing around this line is danced several times", hint)


def refuse_marks_of_figure(line: Line, option: Option, figure: Figure) -> None:
    """Raise the failure of a figure with a mark that is said of a part, with two turns at once, or with one on a count
    that it does not have."""
    for mark in option.marks:
        if isinstance(mark, SwapMark | UntilMark):
            swap = "mirrored" if isinstance(mark, SwapMark) and mark.mirrored else "opposite foot"
            what = "until the music ends" if isinstance(mark, UntilMark) else swap
            said = f"{what} is said of a part, not of a figure"
            raise impossible(line, mark.at, said, f"put {option.name} into a part of its own")
    turns = [mark for mark in option.marks if isinstance(mark, TurnMark)]
    if turns[1:] and not all(mark.times for mark in turns):
        raise impossible(line, turns[1].at, "one line has two turns", "keep one of them")
    for mark in turns:
        if late := beyond(figure.name, usual(figure), mark, option.times or 1):
            raise LineFails("turn-beyond-the-end", line, mark.at, late[0], *late[1])


def beyond(name: str, version: Version, mark: TurnMark, times: int = 1) -> tuple[str, tuple[Rewrite, ...]] | None:
    """Return that a turn stands on a count that a figure called `name` does not have, and what may be meant; None if it
    has it.  On a later one of the `times` of its line it would be on another count."""
    counts = last_count(version.actions, version.length)
    if mark.beat is None or mark.beat <= counts:
        return None
    time, rest = divmod(mark.beat - 1, counts)
    offered: tuple[str, ...] = (print_node(evolve(mark, beat=None)),)
    if time < times and mark.times is None:
        offered = f"{print_node(evolve(mark, beat=rest + 1))} on {words.ordinal(time + 1)}", *offered
    said = f"{name} has no count {mark.beat}, only {counts}"
    return said, each(offered, mark.at)


def refuse_marks_of_part(line: Line, option: Option, in_part: bool) -> None:
    """Raise the failure of a part with a turn, or that goes on until the music ends inside a part."""
    for mark in option.marks:
        if isinstance(mark, TurnMark):
            said = "a turn is written on a figure, not on a part"
            raise impossible(line, mark.at, said, f"write it in part {option.name}")
        if isinstance(mark, UntilMark) and in_part:
            raise impossible(line, mark.at, "only the dance goes on until the music ends", "write it under dance:")


def cut_failure(line: Line, mark: FirstMark, failure: CutFails, lasts: int | None) -> LineFails:
    """Return why a line that lasts so many ticks cannot be cut where it says."""
    unit = f"{mark.unit.removesuffix('s')}s"
    after = words.length(mark.ticks, unit)
    if failure.name == "cut-splits-a-turn":
        said = f"the cut after {after} falls inside a figure that turns (line {failure.line})"
        hints = "cut where a figure ends", "or say on which count it turns: turn 1/2 left @2"
        return LineFails(failure.name, line, mark.at, said, *hints)
    if failure.name == "cut-behind-a-blank":
        said = "where the cut falls waits on a blank"
        return impossible(line, mark.at, said, "state the length of the part, or fill the blank")
    said = f"there are no {after} to dance here"
    counts, rest = divmod(mark.ticks, TICKS)
    slips = () if rest else _slipped(counts)
    less = (Rewrite(f"first {words.length(other * TICKS, unit)}", mark.at) for other in slips if 0 < other < counts)
    there = "write fewer" if lasts is None else f"what is danced here has {words.length(lasts, unit)}: write fewer"
    return LineFails(failure.name, line, mark.at, said, *less, there)


def _slipped(number: int) -> tuple[int, ...]:
    """Return the numbers that two digits swapped, or one written twice, may have made of another."""
    text = str(number)
    shorter = (text[:at] + text[at + 1 :] for at, (one, other) in enumerate(pairwise(text)) if one == other)
    return tuple(dict.fromkeys(int(one) for one in (*words.swaps(text), *shorter) if not one.startswith("0")))


MOST_LINES = 40_000  # laid out again, beyond twice each
MOST_ITEMS = 150_000
MOST_LEVELS = 400  # what a pass or a block counts for is about half of the calls that laying it out takes


class TooMuch(LineFails):
    """A dance is too large to be laid out: the line at which that shows, and what to do."""

    def __init__(self, line: Line, message: str, hint: str) -> None:
        super().__init__("too-many-steps", line, NOWHERE, message, hint)


class Extent:
    """The lines, items and levels that may still be laid out for a sheet of `lines` lines."""

    def __init__(self, lines: int) -> None:
        self._lines = MOST_LINES + 2 * lines
        self._items = MOST_ITEMS
        self._levels = MOST_LEVELS

    def spend(self, line: Line, lines: int, items: int = 0) -> None:
        """Count lines that are laid out, and the items laid.

        Raises:
            TooMuch: there are none left.
        """
        self._lines -= lines
        self._items -= items
        if self._lines < 0 or self._items < 0:
            what, hint = "the dance has too many different steps to lay out", "name fewer times, or split the sheet"
            raise TooMuch(line, what, hint)

    @contextmanager
    def deeper(self, line: Line, levels: int) -> Iterator[None]:
        """Lay out a body `levels` deeper in passes and blocks than the body around it.

        Raises:
            TooMuch: that is too deep.
        """
        self._levels -= levels
        if self._levels < 0:
            what = "the parts and blocks of the dance go too deep into one another"
            raise TooMuch(line, what, "call fewer parts from parts")
        try:
            yield
        finally:
            self._levels += levels


# -- names -------------------------------------------------------------------------------------------------------------


MOST_NEAR = 3  # names that are offered for one
_PART = "head it as a part at the margin, part {}:, and write its steps under that"
# What is said of a name that begins with a word of the trade for a stretch of the dance, not for a figure.
_ADVICE = {
    "repeat": "what is danced again is named again, or has its times behind it, as in Main x2",
    "restart": "a restart is a part that is cut short, as in Main, first 16 counts",
    **dict.fromkeys(("tag", "bridge", "chorus", "verse", "intro", "ending", "break"), _PART),
}


def sided(mark: TurnMark) -> tuple[Rewrite, Rewrite]:
    """Return the hints to write a turn with its side, left or right."""
    left, right = (print_node(evolve(mark, side=side)) for side in (-1, 1))
    return Rewrite(left, mark.at, "write {}"), Rewrite(right, mark.at, "or write {}")


def unknown(
    line: Line,
    option: Option,
    book: Book,
    ours: dict[str, tuple[str, Line, At]],
    sections: tuple[str, ...],
    *,
    compared: bool = True,
) -> LineFails:
    """Return the failure of an unknown name.

    Args:
        line: the line that it stands on.
        option: the alternative as written.
        book: the book of the sheet.
        ours: the sheet's own parts and figures by key: the name, and where it is defined.
        sections: the names of the sections of the music.
        compared: whether names that are near are looked for, which costs time.
    """
    name = option.name
    if book.known(name):
        said = f"{name} is known by name, but its footwork is not published"
        define = f"define {name} in the sheet, under figures:, with the movements as your class dances them"
        blank = _blank(option, "or write {} for its beats") or ("or leave its beats open, as in ? 4 beats",)
        return LineFails("footwork-not-published", line, option.at, said, define, *blank)
    problems = place(option.forms, book.movement, book.tradition)[1] if option.forms else ()
    if problems and len(problems) < len(option.forms):
        return LineFails(problems[0].code, line, problems[0].at, problems[0].reason, *problems[0].hints)
    other = f" in the book {option.book}" if option.book else ""
    said = f"there is no figure or part {_short(name)!r}{other}"
    instead = _silence(option, book) or _instead(option, book, ours, sections, compared)
    return LineFails("unknown-name", line, option.at, said, *instead)


def _silence(option: Option, book: Book) -> tuple[Rewrite, ...]:
    """Return the hint to write silence, for what would be a figure of that name danced several times; else none."""
    if key(option.name) != "hold" or (option.times or 1) == 1:
        return ()
    silence = words.length((option.times or 1) * TICKS, "counts" if book.tradition == "line" else "beats")
    return (Rewrite(f"hold {silence}", (option.at[0], max(option.at[1], option.times_at[1]))),)


def _instead(
    option: Option, book: Book, ours: dict[str, tuple[str, Line, At]], sections: tuple[str, ...], compared: bool
) -> tuple[str | Rewrite, ...]:
    """Return the text to write instead of an unknown name; a definition where no name is near."""
    name, own = option.name, {one: said for one, (said, _, _) in ours.items()}
    near = [one for one in book.nearest(name) if book.find(one, option.book)] if option.book and compared else []
    if near:
        return tuple(Rewrite(one, option.at, MEANT) for one in near)
    if option.book is not None:
        at = option.at[0], option.book_at[1]
        homes = tuple(Rewrite(f"{name} from {one.book}", at) for one in book.find(name))
        return homes or (f"the books of the sheet are {book.name}",)
    define = f"define it under figures:, like this: {book.example(_short(name))}"
    if not compared:
        return (define,)
    split = _split(option, book, frozenset(own), sections)
    if split:
        return split
    if row := _row(name, book):
        return (Rewrite(row, option.at),)
    if len(key(name)) == 1:
        return tuple(Rewrite(one, option.at, MEANT) for one in own.values() if len(one) == 1)[:MOST_NEAR]
    advice, again = _advised(option, own, book)
    if again:
        return again
    near = [own[one] for one in get_close_matches(key(name), own, 2)] + list(book.nearest(name)) * (not advice)
    if near:
        offered: list[str | Rewrite] = []
        offered += [Rewrite(one, option.at, MEANT, (), define) for one in dict.fromkeys(near)][:MOST_NEAR]
        for said, line, at in (ours[key(one)] for one in near if key(one) in ours):
            instead = Rewrite(name, at, f"or call {said} on line {line.number} {{}}")
            offered.append(instead.hint(line.number, " " * line.indent, at))
        return tuple(offered)
    blank = _blank(option, "write {} for figures that are still to be found")
    return (*blank, advice) if advice else blank or (define,)


def _advised(option: Option, own: dict[str, str], book: Book) -> tuple[str, tuple[str | Rewrite, ...]]:
    """Return the advice for an unknown name by its first word, "" for none, and the hints that its words give."""
    name, (first, _, rest) = option.name, option.name.partition(" ")
    if turned := re.fullmatch(r"(.*\w)\s+turn(?:s|ing)?\s+(?:to\s+(?:the\s+)?)?(left|right|l|r)", name, re.IGNORECASE):
        return "", (_how_far(turned[1], _SIDES[turned[2].casefold()]),)
    advice = _ADVICE.get(key(first), "").replace("{}", name if rest.isdigit() else first)
    bare = re.sub(r"(?i)^the\s+", "", rest)
    if key(first) in ("part", "repeat") and (key(bare) in own or book.find(bare)):
        said = f"write {{}}: {advice}" if advice else MEANT
        return advice, (Rewrite(own.get(key(bare), bare), option.at, said),)
    return advice, ()


def _blank(option: Option, said: str) -> tuple[Rewrite, ...]:
    """Return the hint to leave the beats of a figure open, if its line states them."""
    lengths = [mark for mark in option.marks if isinstance(mark, Length)]
    end = max((mark.at[1] for mark in option.marks), default=0)
    return tuple(Rewrite(f"? {print_node(one)}", (option.at[0], end), said) for one in lengths)


def _how_far(name: str, side: str) -> str:
    return f"how far it turns is missing: write it behind a comma, as in {name}, turn 1/4 {side}"


def _row(name: str, book: Book) -> str:
    """Return the row of movements that a name is, in which some are written as words: `DS Brush DS RS`; else ""."""
    named = {key(movement.name): movement.forms[0] for movement in book.movements()}
    codes = [one if one.isupper() and (key(one) in COMPOUNDS or book.movement(one)) else "" for one in name.split()]
    row = [code or named.get(key(one), "") for code, one in zip(codes, name.split(), strict=True)]
    return " ".join(row) if any(codes) and all(row) and len(row) > 1 else ""


def _split(option: Option, book: Book, own: frozenset[str], sections: tuple[str, ...]) -> tuple[str | Rewrite, ...]:
    """Return a name cut elsewhere: behind a section, at another space, or behind its first words."""
    name = option.name

    def stands(one: str) -> bool:
        return key(one) in own or bool(book.find(one))

    for section in sections:
        rest = name[len(section) :].strip()
        if key(name[: len(section)]) == key(section) and stands(rest):
            return (Rewrite(f"{section}: {rest}", option.at),)
    split = tuple(Rewrite(line, option.at, MEANT) for line, named in _other_spaces(name) if stands(named))
    pieces = name.split(" ")
    heads = (" ".join(pieces[:end]) for end in range(len(pieces) - 1, 0, -1) if not split)
    found = ((next(iter(book.find(head)), head), name[len(head) + 1 :]) for head in heads if stands(head))
    return split or next(filter(None, (meant(figure, behind, option) for figure, behind in found)), ())


def _other_spaces(name: str) -> Iterator[tuple[str, str]]:
    """Yield a name with a space one letter further left or right, or another letter before a number, and without
    `xN`."""
    moved = (one for at, one in enumerate(words.swaps(name)) if " " in name[at : at + 2])
    for line in (*moved, re.sub(r"\s\w([0-9]+)$", r" x\1", name)):
        yield line, re.sub(r"\sx[0-9]+$", "", line)


def _short(name: str) -> str:
    return name if len(name) <= 60 else f"{name[:59]}…"


def each(labels: tuple[str, ...], at: At) -> tuple[Rewrite, ...]:
    """Return a hint for each reading that may stand at a place."""
    return tuple(Rewrite(label, at, "or write {}" if number else "write {}") for number, label in enumerate(labels))


_SIDES = {"rf": "right", "lf": "left", "r": "right", "right": "right", "l": "left", "left": "left"}


def meant(figure: Figure | str, behind: str, option: Option) -> tuple[str | Rewrite, ...]:
    """Return the written form of what is spoken behind a name: a foot, a side, how often, or another figure.

    Args:
        figure: the figure that the name stands for, or the name of a part.
        behind: what stands behind the name.
        option: the alternative as written.
    """
    name = option.name[: len(option.name) - len(behind)].strip()
    joined = re.match(r"(?:([/+&]|and|then)|or)\s+(?=\S)", behind, re.IGNORECASE)
    if joined:
        other = behind[joined.end() :]
        if not joined[1]:
            return (Rewrite(f"{name} | {other}", option.at, "write {} if each dancer chooses"),)
        return (Rewrite(f"{name}\n{other}", option.at, f"write one figure a line: {other} on the next one"),)
    said = re.sub(r"\b(?:the|on|with)\b", " ", behind.casefold()).split()
    number = re.fullmatch(rf"\*?(?:(\d+)|({'|'.join(COUNTED)}))(?:times)?", "".join(said))
    if number:
        return (Rewrite(f"{name} x{number[1] or COUNTED.index(number[2]) + 1}", option.at),)
    if said[:1] == ["to"] and said[1:] in (["front"], ["back"]):
        return (Rewrite(name, option.at, f"write {{}}, and `expect facing {said[1]}` where it begins or ends so"),)
    foot = next((_SIDES[one] for one in said if one in _SIDES), None)
    if foot and said[0] in ("turn", "turns"):
        return (_how_far(name, foot),)
    if foot is None or len(said) > 2:
        return ()
    lead = Rewrite(f"{name}, {foot} foot", option.at, "write {} if that foot leads it")
    if said[0] == "to":
        return (Rewrite(f"{name} (to the {foot})", option.at), evolve(lead, said="or write {} if that foot leads it"))
    if len(said) == 2:
        return (lead,) if {"lead", "leads"} & set(said) else ()
    turn = figure.versions[figure.usual].turn if isinstance(figure, Figure) else 0
    if turn:
        mark = print_node(TurnMark(abs(turn), -1 if foot == "left" else 1))
        return lead, Rewrite(f"{name}, {mark}", option.at, "or write {} if it turns that way")
    return lead, Rewrite(f"{name} (to the {foot})", option.at, "or write {} if it goes that way")


def other_lead(row: FigureRow, lead: Foot, *, danced: bool) -> tuple[str | Rewrite, ...]:
    """Return the patches for a figure of the sheet's own that can't be danced from its lead.

    Args:
        row: the line that defines it.
        lead: the other foot.
        danced: whether it can be danced from that one.
    """
    if not danced:
        hint = "write the foot that moves in brackets, such as S(R)"
        return hint, "or put the step or hop before it that changes the weight"
    foot = FootMark(lead)
    head = print_node(evolve(row, foot=foot)).partition(":")[0]
    end = max(fact.at[1] for fact in (row, row.length, row.foot, row.turn) if fact is not None)
    return (Rewrite(head, (row.at[0], end), f"write it for a {print_node(foot)} lead: {{}}"),)
