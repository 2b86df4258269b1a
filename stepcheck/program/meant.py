"""Hints for an unknown name: the names that may be meant, each with the text to write."""

import re
from collections.abc import Iterator
from difflib import get_close_matches

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.books.placing import COMPOUNDS, place
from stepcheck.language.grammar import COUNTED
from stepcheck.language.patch import MEANT, Rewrite
from stepcheck.language.printer import print_node
from stepcheck.language.syntax import At, FigureRow, FootMark, Length, Line, Option, TurnMark
from stepcheck.model.dance import Figure, Foot, key
from stepcheck.model.words import swaps
from stepcheck.program.claims import LineFails

MOST_NEAR = 3  # names that are offered for one


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
        return LineFails(
            "footwork-not-published",
            line,
            option.at,
            f"{name} is known by name, but its footwork is not published",
            f"define {name} in the sheet, under figures:, with the movements as your class dances them",
            "or leave its beats open with a blank (?)",
        )
    problems = place(option.forms, book.movement, book.tradition)[1] if option.forms else ()
    if problems and len(problems) < len(option.forms):
        return LineFails(problems[0].code, line, problems[0].at, problems[0].reason, *problems[0].hints)
    other = f" in the book {option.book}" if option.book else ""
    said = f"there is no figure or part {_short(name)!r}{other}"
    return LineFails("unknown-name", line, option.at, said, *_instead(option, book, ours, sections, compared))


def _instead(
    option: Option, book: Book, ours: dict[str, tuple[str, Line, At]], sections: tuple[str, ...], compared: bool
) -> tuple[str | Rewrite, ...]:
    """Return the text to write instead of an unknown name; a definition where no name is near."""
    name, own = option.name, {one: said for one, (said, _, _) in ours.items()}
    near = [one for one in book.nearest(name) if book.find(one, option.book)] if option.book and compared else []
    if near:
        return tuple(Rewrite(one, option.at, MEANT) for one in near)
    if option.book is not None:
        return tuple(
            Rewrite(f"{name} from {one.book}", (option.at[0], option.book_at[1])) for one in book.find(name)
        ) or (f"the books of the sheet are {book.name}",)
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
    bare = [own[one] for one in (key(name.partition(" ")[2]),) if one in own and key(name.split()[0]) == "part"]
    near = bare or [own[one] for one in get_close_matches(key(name), own, 2)] + list(book.nearest(name))
    if near:
        offered: list[str | Rewrite] = []
        offered += [Rewrite(one, option.at, MEANT, (), define) for one in dict.fromkeys(near)][:MOST_NEAR]
        for said, line, at in (ours[key(one)] for one in near if key(one) in ours):
            instead = Rewrite(name, at, f"or call {said} on line {line.number} {{}}")
            offered.append(instead.hint(line.number, " " * line.indent, at))
        return tuple(offered)
    lengths = [mark for mark in option.marks if isinstance(mark, Length)]
    if lengths:
        whole = (option.at[0], max(mark.at[1] for mark in option.marks))
        return (Rewrite(f"? {print_node(lengths[0])}", whole, "write {} for figures that are still to be found"),)
    return (define,)


def _row(name: str, book: Book) -> str:
    """Return the row of movements that a name is, in which some are written as words: `DS Brush DS RS`; else ""."""
    named = {key(movement.name): movement.forms[0] for movement in book.movements()}
    words = name.split()
    codes = [word if word.isupper() and (key(word) in COMPOUNDS or book.movement(word)) else "" for word in words]
    row = [code or named.get(key(word), "") for code, word in zip(codes, words, strict=True)]
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
    if split:
        return split
    for head in filter(stands, _heads(name)):
        figures = book.find(head)
        hints = meant(figures[0] if figures else head, name[len(head) + 1 :], option)
        if hints:
            return hints
    return ()


def _other_spaces(name: str) -> Iterator[tuple[str, str]]:
    """Yield a name with a space one letter further left or right, or another letter before a number, and without
    `xN`."""
    moved = (one for at, one in enumerate(swaps(name)) if " " in name[at : at + 2])
    for line in (*moved, re.sub(r"\s\w([0-9]+)$", r" x\1", name)):
        yield line, re.sub(r"\sx[0-9]+$", "", line)


def _short(name: str) -> str:
    """Return a name, cut if it is too long for a sentence."""
    return name if len(name) <= 60 else f"{name[:59]}…"


def _heads(name: str) -> tuple[str, ...]:
    """Return what a name of several words begins with, the longest first."""
    pieces = name.split(" ")
    return tuple(" ".join(pieces[:end]) for end in range(len(pieces) - 1, 0, -1))


def each(labels: tuple[str, ...], at: At) -> tuple[Rewrite, ...]:
    """Return a hint for each reading that may stand at a place."""
    return tuple(Rewrite(label, at, "or write {}" if number else "write {}") for number, label in enumerate(labels))


_SIDES = {"rf": "right", "lf": "left", "r": "right", "right": "right", "l": "left", "left": "left"}


def meant(figure: Figure | str, words: str, option: Option) -> tuple[str | Rewrite, ...]:
    """Return the written form of words that are spoken behind a name: a foot, a side, how often, or another figure.

    Args:
        figure: the figure that the name stands for, or the name of a part.
        words: what stands behind the name.
        option: the alternative as written.
    """
    name = option.name[: len(option.name) - len(words)].strip()
    joined = re.match(r"(?:([/+&]|and|then)|or)\s+(?=\S)", words, re.IGNORECASE)
    if joined:
        other = words[joined.end() :]
        if not joined[1]:
            return (Rewrite(f"{name} | {other}", option.at, "write {} if each dancer chooses"),)
        return (Rewrite(f"{name}\n{other}", option.at, f"write one figure a line: {other} on the next one"),)
    said = re.sub(r"\b(?:the|on|with)\b", " ", words.casefold()).split()
    number = re.fullmatch(rf"\*?(?:(\d+)|({'|'.join(COUNTED)}))(?:times)?", "".join(said))
    if number:
        return (Rewrite(f"{name} x{number[1] or COUNTED.index(number[2]) + 1}", option.at),)
    if said[0] == "to" and said[1:] in (["front"], ["back"]):
        return (Rewrite(name, option.at, f"write {{}}, and `expect facing {said[1]}` where it begins or ends so"),)
    foot = next((_SIDES[one] for one in said if one in _SIDES), None)
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
        return (
            "write the foot that moves in brackets, such as S(R)",
            "or put the step or hop before it that changes the weight",
        )
    foot = FootMark(lead)
    head = print_node(evolve(row, foot=foot)).partition(":")[0]
    end = max(fact.at[1] for fact in (row, row.length, row.foot, row.turn) if fact is not None)
    return (Rewrite(head, (row.at[0], end), f"write it for a {print_node(foot)} lead: {{}}"),)
