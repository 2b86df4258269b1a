"""The sheet that a draft comes to: its outline as text, in the canonical layout."""

import re

from attrs import evolve

from stepcheck.books import book as books
from stepcheck.books.book import Book
from stepcheck.drafts.outline import Block, Expect, Item, Line, Outline, Part, Remark
from stepcheck.drafts.rows import figure_of, is_silence
from stepcheck.drafts.steps import Turn
from stepcheck.drafts.words import visible
from stepcheck.language.parser import parse
from stepcheck.language.printer import print_sheet
from stepcheck.model.dance import EIGHTHS, TICKS
from stepcheck.model.source import Source

LONGEST = 1_500
"""How many characters of the source stand in one line of the sheet."""
BESIDE = 300
"""How many stand beside a line; more stand above it."""
_FEET = {"L": "left foot", "R": "right foot"}


def shown(text: str) -> str:
    """Return a piece of the source as a comment may hold it: what can't be seen is a space."""
    return " ".join(visible(text).split())


def note(pieces: tuple[str, ...]) -> str:
    """Return a note in its brackets, "" for none."""
    text = re.sub(r"[()#]+", " ", shown(", ".join(piece for piece in pieces if piece)))[:LONGEST]
    return f" ({' '.join(text.split()).replace(' ,', ',')})" if text.strip() else ""


def turn_text(turn: Turn, at: int = 0) -> str:
    """Return a turn as a mark."""
    whole, rest = divmod(turn.eighths, EIGHTHS)
    part = next(f"{rest * n // EIGHTHS}/{n}" for n in (1, 2, 4, 8) if not rest * n % EIGHTHS) if rest else ""
    size = (
        "full" if not part and whole == 1 else " ".join(piece for piece in (str(whole) if whole else "", part) if piece)
    )
    side = f" {turn.side}" if turn.side else ""
    return f"turn {size}{side}" + (f" @{at}" if at else "")


def row_text(line: Line, leads: bool = False) -> str:
    """Return the movements of a row, each with its foot, and with its count where one stands off the next."""
    off = line.syncopated
    return " ".join(
        move.code
        + (f"({move.foot})" if move.foot else "")
        + (f"@{count_text(move.tick, leads)}" if off and move.code != "PV" else "")
        for move in line.moves
    )


def count_text(tick: int, leads: bool = False) -> str:
    """Return a tick as a movement's count: 1, 1&, and &1 for the half before count 1; where halves lead, &2 for 1&."""
    beat, rest = divmod(tick, TICKS)
    return (
        f"&{beat + 1}"
        if not beat or (leads and rest == TICKS // 2)
        else f"{beat}{ {0: '', 3: 'e', 6: '&', 9: 'a'}[rest] }"
    )


class Writer:
    """Writes the lines of parts; `book` names the figures of one movement, `unit` is count or beat."""

    def __init__(self, book: Book, unit: str) -> None:
        self.book, self.unit = book, unit
        self.leads = book.tradition != "line"

    def part(self, part: Part) -> list[str]:
        """Return the lines of a part with its heading."""
        if not solid(part.lines):
            return [*comments(f"{part.name}: {part.remark}".strip(" :")), *self.items(part.lines, 0)]
        head = f"part {part.name}: {', '.join(dict.fromkeys(part.contract))}".rstrip()
        return [head + _comment(part.remark), *self.items(part.lines, 1)]

    def items(self, items: tuple[Item, ...], depth: int) -> list[str]:
        """Return the lines of a block, each `depth` levels in."""
        out: list[str] = []
        for item in items:
            lead = "  " * depth
            if not isinstance(item, Remark | Expect) and len(item.remark) > BESIDE:
                out += [lead + text for text in comments(item.remark)]
                item = evolve(item, remark="")
            if isinstance(item, Block) and not solid(item.lines):
                out += [lead + text for text in comments(item.remark)] + self.items(item.lines, depth)
            elif isinstance(item, Block):
                facing = f", facing {item.facing}" if item.facing else ""
                out.append(f"{lead}{item.head}{facing}:{_comment(item.remark)}")
                out += self.items(item.lines, depth + 1)
            elif isinstance(item, Remark):
                out += [lead + text for text in comments(item.text)]
            elif isinstance(item, Expect):
                if len(item.remark) > BESIDE:
                    out += [lead + text for text in comments(item.remark)]
                    item = evolve(item, remark="")
                out.append(f"{lead}expect {item.says}{_comment(item.remark)}")
            else:
                out.append(lead + self.line(item))
        return out

    def line(self, line: Line) -> str:
        """Return a line of dance."""
        lasts = f"{line.counts} {self.unit}{'' if line.counts == 1 else 's'}"
        behind = note(line.note) + _comment(line.remark)
        if line.blank:
            return f"? {lasts}{behind}"
        if is_silence(line) and not line.turn and not line.facing:
            return f"hold {lasts}{behind}"
        name, foot = line.name, line.foot
        if not name and (single := figure_of(line, self.book)):
            name, foot = single, line.moves[0].foot
        marks = [f"{name}{f' x{line.times}' if line.times > 1 else ''}"] if name else [row_text(line, self.leads)]
        marks += [_FEET[foot]] if foot else []
        marks += [lasts] if line.stated else []
        marks += [turn_text(line.turn, line.at) + (f" on {line.on}" if line.on else "")] if line.turn else []
        marks += [f"facing {line.facing}"] if line.facing else []
        said = ", ".join(marks) + behind
        return said if len(said) < LONGEST else f"? {lasts}  # a row too long for a line"


def solid(items: tuple[Item, ...]) -> bool:
    """Say whether lines hold more than comments, as a heading needs."""
    return any(solid(item.lines) if isinstance(item, Block) else not isinstance(item, Remark) for item in items)


def _comment(text: str) -> str:
    said = shown(text)[:LONGEST]
    return f"  # {said}" if said else ""


def comments(text: str) -> list[str]:
    """Return a text as comment lines, none longer than a sheet may have."""
    said = shown(text)
    return [f"# {said[at : at + LONGEST]}" for at in range(0, len(said), LONGEST)]


def written(outline: Outline, assumed: tuple[str, ...], opened: tuple[str, ...]) -> str:
    """Return the sheet of an outline, in the canonical layout."""
    unit = "count" if outline.tradition == "line" else "beat"
    writer = Writer(books.load(outline.tradition), unit)
    parts = [text for part in outline.parts for text in ("", *writer.part(part))]
    top = [text for said in assumed for text in comments(f"assumed: {said}")]
    top += [text for said in opened for text in comments(f"open: {said}")]
    fields = []
    for name, value, remark in outline.header:
        said = shown(value.replace("#", " "))
        fields += [
            f"{name}: {said}{_comment(remark)}" if re.search(r"\S", said) and len(said) < BESIDE else text
            for text in comments(f"{name}: {value}")[:1]
        ]
        fields += comments(f"{name}: {value}")[1:]
    remarks = [text for said in outline.remarks for text in comments(said)]
    figures = [
        f"  {', '.join(piece for piece in (made.name, made.facts) if piece)}: {made.row}{note((made.note,))}"
        for made in outline.figures
    ]
    dance: list[str] = []
    for said, remark in outline.dance:
        beside = len(remark) <= BESIDE and said
        dance += [] if beside else [f"  {text}" for text in comments(remark)]
        dance += [f"  {said}{_comment(remark) if beside else ''}"] if said else []
    text = [*top, *fields, *remarks]
    text += ["", "figures:", *figures] if figures else []
    text += parts
    danced = any(said for said, _ in outline.dance)
    text += (
        ["", *(["dance:"] if danced else []), *(dance if danced else [said.strip() for said in dance])] if dance else []
    )
    text += ["", *(each for said in outline.endings for each in comments(said))] if outline.endings else []
    return print_sheet(parse(Source("<draft>", "\n".join(text) + "\n"))[0])
