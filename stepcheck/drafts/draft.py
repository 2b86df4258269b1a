"""Drafts a sheet of a step description: no line is lost, no count is invented, every assumption is listed."""

import re

from attrs import evolve, field, frozen

from stepcheck.books import book as books
from stepcheck.books.book import Book
from stepcheck.drafts.assembly import assembled
from stepcheck.drafts.body import read_page
from stepcheck.drafts.letters import kinds_of, tradition, written_out
from stepcheck.drafts.remainder import FEET
from stepcheck.language.parser import parse
from stepcheck.language.printer import print_sheet
from stepcheck.model.dance import key
from stepcheck.model.source import Source, require
from stepcheck.pages.columns import columns
from stepcheck.pages.facts import said_of
from stepcheck.pages.heads import TEACHES, is_imprint, uncounted
from stepcheck.pages.order import REMARK, is_legend
from stepcheck.pages.page import Page
from stepcheck.pages.reader import Opened, Reader
from stepcheck.pages.song import is_author, is_letterhead
from stepcheck.routines.beside import risky
from stepcheck.routines.routine import routine
from stepcheck.steps.counts import version
from stepcheck.steps.lines import led_apart
from stepcheck.steps.outline import Block, Expect, Item, Line, Outline, Part, Remark, row_text, solid, turn_text
from stepcheck.steps.steps import SIDE
from stepcheck.steps.vocabulary import load, moving, plain, tight, visible
from stepcheck.steps.words import NUMBER, NUMBERS


def figure_of(line: Line, book: Book) -> str:
    """Return the figure of which a row of one movement is the whole, by the movement's name; "" if there is none."""
    found = book.movement(line.moves[0].code) if len(line.moves) == 1 and not line.syncopated else ()
    name = found[0].name.title() if found else ""
    whole = version(key(name), book) if name else None
    return name if whole and [move.code for move in whole[1]] == [line.moves[0].code] else ""


LONGEST = 1_500
"""How many characters of the source stand in one line of the sheet."""
BESIDE = 300
"""How many stand beside a line; more stand above it."""


def shown(text: str) -> str:
    """Return a piece of the source as a comment may hold it: what can't be seen is a space."""
    return " ".join(visible(text).split())


def note(pieces: tuple[str, ...]) -> str:
    """Return a note in its brackets, "" for none."""
    text = re.sub(r"[()#]+", " ", shown(", ".join(piece for piece in pieces if re.search(r"\w", piece))))[:LONGEST]
    return f" ({' '.join(text.split()).replace(' ,', ',')})" if text.strip() else ""


class Writer:
    """Writes the lines of parts; `book` names the figures of one movement, `unit` is count or beat.

    `made` are figures that stand for one movement that the book names no figure of; `blanks` are the lines that stand
    for one that the language doesn't take; `told` are the lines of dance in order, each with its line of the source.
    """

    def __init__(self, book: Book, unit: str) -> None:
        self.book, self.unit = book, unit
        self.leads = book.tradition != "line"
        self.made: dict[str, str] = {}
        self.blanks: dict[str, str] = {}
        self.told: list[tuple[str, int]] = []

    def alone(self, code: str) -> str:
        """Return the name of a figure of the sheet's own that is one movement."""
        name = self.book.movement(code)[0].name.title()
        name = f"One {name}" if self.book.find(key(name)) else name
        self.made[code] = name
        return name

    def part(self, part: Part) -> list[str]:
        """Return the lines of a part with its heading."""
        if not solid(part.lines):
            return [*comments(f"{part.name}: {part.remark}".strip(" :")), *self.items(part.lines, 0)]
        head = f"part {part.name}: {', '.join(dict.fromkeys(part.contract))}".rstrip()
        return [head + _comment(part.remark), *self.items(part.lines, 1)]

    def items(self, items: tuple[Item, ...], depth: int) -> list[str]:
        """Return the lines of a block, each `depth` levels in; a long remark stands above its line."""
        out: list[str] = []
        lead = "  " * depth
        for item in items:
            if not isinstance(item, Remark) and (
                len(item.remark) > BESIDE or (isinstance(item, Block) and not solid(item.lines))
            ):
                out += [lead + text for text in comments(item.remark)]
                item = evolve(item, remark="")
            if isinstance(item, Block) and not solid(item.lines):
                out += self.items(item.lines, depth)
            elif isinstance(item, Block):
                facing = f", facing {item.facing}" if item.facing else ""
                out.append(f"{lead}{item.head}{facing}:{_comment(item.remark)}")
                out += self.items(item.lines, depth + 1)
            elif isinstance(item, Remark):
                out += [lead + text for text in comments(item.text)]
            elif isinstance(item, Expect):
                out.append(f"{lead}expect {item.says}{_comment(item.remark)}")
            else:
                told = [(self.line(each), item.source) for each in led_apart(item, self.book)]
                self.told += told
                out += [lead + said for said, _ in told]
        return out

    def line(self, line: Line) -> str:
        """Return a line of dance."""
        lasts = f"{line.counts} {self.unit}{'' if line.counts == 1 else 's'}"
        behind = note(line.note) + _comment(line.remark)
        if line.blank:
            return f"? {lasts}{behind}"
        if {move.code for move in line.moves} == {"HOLD"} and not line.turn and not line.facing:
            return f"hold {lasts}{behind}"
        name, foot = line.name, line.foot
        if not name and (single := figure_of(line, self.book)):
            name, foot = single, line.moves[0].foot
        if not name and len(line.moves) == 1 and not line.syncopated and self.book.movement(line.moves[0].code):
            name, foot = self.alone(line.moves[0].code), line.moves[0].foot
        marks = [f"{name}{f' x{line.times}' if line.times > 1 else ''}"] if name else [row_text(line, self.leads)]
        marks += [f"{SIDE[foot]} foot"] if foot else []
        marks += [lasts] if line.stated else []
        marks += [turn_text(line.turn, line.at) + (f" on {line.on}" if line.on else "")] if line.turn else []
        marks += [f"facing {line.facing}"] if line.facing else []
        said = ", ".join(marks) + behind
        words = " ".join(filter(None, (", ".join(marks), *line.note, line.remark)))
        self.blanks[said] = f"? {lasts}{_comment(words)}" if line.counts else f"# {words}"
        return said if len(said) < LONGEST else f"? {lasts}  # a row too long for a line"


def _comment(text: str) -> str:
    said = shown(text)[:LONGEST]
    return f"  # {said}" if said else ""


def comments(*texts: str) -> list[str]:
    """Return texts as comment lines, none longer than a sheet may have."""
    return [f"# {said[at : at + LONGEST]}" for said in map(shown, texts) for at in range(0, len(said), LONGEST)]


def written(outline: Outline, assumed: tuple[str, ...], opened: tuple[str, ...]) -> tuple[str, list[tuple[str, int]]]:
    """Return the sheet of an outline, in the canonical layout, and the lines of dance as they were written, each with
    its line of the source."""
    unit = "count" if outline.tradition == "line" else "beat"
    writer = Writer(books.load(outline.tradition), unit)
    parts = [text for part in outline.parts for text in ("", *writer.part(part))]
    listed = [*(f"assumed: {said}" for said in assumed), *(f"open: {said}" for said in opened)]
    fields = []
    for name, value, remark in outline.header:
        said = shown(value.replace("#", " "))
        fields += [
            f"{name}: {said}{_comment(remark)}" if re.search(r"\S", said) and len(said) < BESIDE else text
            for text in comments(f"{name}: {value}")[:1]
        ]
        fields += comments(f"{name}: {value}")[1:]
    figures = [
        f"  {', '.join(piece for piece in (made.name, made.facts) if piece)}: {made.row}{note((made.note,))}"
        for made in outline.figures
    ]
    figures += [f"  {name}, 1 {unit}: {each}" for each, name in writer.made.items()]
    dance: list[str] = []
    for said, remark in outline.dance:
        beside = len(remark) <= BESIDE and said
        dance += [] if beside else comments(remark)
        dance += [f"{said}{_comment(remark) if beside else ''}"] if said else []
    text = [*comments(*listed), *fields, *comments(*outline.remarks)]
    text += ["", "figures:", *figures] if figures else []
    text += parts
    danced = any(said for said, _ in outline.dance)
    text += ["", "dance:", *(f"  {said}" for said in dance)] if danced else ["", *dance] if outline.dance else []
    text += ["", *comments(*outline.endings)] if outline.endings else []
    return settled("\n".join(text) + "\n", writer.blanks), writer.told


def _origins(sheet: str, told: list[tuple[str, int]]) -> tuple[int, ...]:
    """Return for each line of a sheet the line of the source of the next line of dance that reads so, 0 for none."""
    out, begun = [], 0
    for said in map(str.strip, sheet.split("\n")):
        at = next((at for at in range(begun, len(told)) if told[at][0] == said), None)
        out.append(0 if at is None else told[at][1])
        begun = begun if at is None else at + 1
    return tuple(out)


def settled(text: str, blanks: dict[str, str]) -> str:
    """Return a sheet of which the language takes every line, in the canonical layout.

    A line that it doesn't take is the blank that `blanks` has for it, else a comment; a note that may be read as a mark
    is a comment.
    """
    for _ in range(text.count("\n") + 2):  # each round but the last two takes a line
        sheet, findings = parse(Source("<draft>", text))
        lines = text.split("\n")
        for at in {finding.span.line - 1 for finding in findings}:
            said = lines[at].strip()
            noted = re.fullmatch(r"(\s*\S.*?) \(([^()]*)\)(?:  # (.*))?", lines[at])
            if noted and all(each.code.name == "note-not-read" for each in findings if each.span.line - 1 == at):
                lines[at] = f"{noted[1]}  # {'; '.join(filter(None, noted.groups()[1:]))}"
            else:
                lines[at] = lines[at][: len(lines[at]) - len(lines[at].lstrip())] + blanks.get(said, f"# {said}")
        printed = print_sheet(sheet) if not findings else "\n".join(lines)
        if printed == text:
            break
        text = printed
    return text


ENDLESS = re.compile(r"\d{100,}")  # digits that are no count of anything, and more than Python takes for a number


@frozen
class Drafted:
    """A line of the source, and what it was read as.

    Attributes:
        line: its number, from 1.
        kind: fact (of the header), heading, steps, order (of the dance), remark, blank or open.
        text: the line as it stands.
    """

    line: int
    kind: str
    text: str


@frozen
class Draft:
    """A sheet that was drafted.

    Attributes:
        text: the sheet in the canonical layout.
        assumed: what was taken where the source leaves it open, a sentence each.
        open: what is not understood, each with its line.
        lines: the lines of the source, with what each was read as.
        understood: whether steps, or the counts of any, were read.
        origins: for each line of the sheet the line of the source that it comes from, 0 where none is known.
    """

    text: str
    assumed: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    lines: tuple[Drafted, ...] = field(default=(), repr=False)
    understood: bool = field(default=False, repr=False)
    origins: tuple[int, ...] = field(default=(), repr=False)


_WIDE = re.compile(r"([^\w\n])\1{80,}")
"""A gap, or a row of dots or the like, that is wider than a line: it says no more than one of that width."""


def draft(text: str, vocabulary: str = "") -> Draft:
    """Return the sheet that a customary step description comes to.

    Args:
        text: the description, as plain text.
        vocabulary: words of a club, written as `specs/drafts.md` says, added to the shipped ones.

    Raises:
        SourceError: `vocabulary` is not written as one is.  No text of a description raises anything.
        WrongValue: an argument is no text.
    """
    require(text, str, "the text of a description")
    require(vocabulary, str, "the text of a vocabulary")
    kind = tradition(text)
    texts = _WIDE.sub(lambda row: row[1] * 80, visible(ENDLESS.sub("…", text))).split("\n")
    vocab, book = load(kind, vocabulary), books.load(kind)
    reader = Reader(texts, vocab, book)
    letter, ends = written_out(texts, lambda said: risky(said, reader), kind == "line")
    if (told := [each.text for each in letter]) != texts:
        reader = Reader(told, vocab, book)
    if kind == "clogging":
        outline = routine(reader)
    else:
        page = Page(reader)
        read_page(page)
        outline = assembled(page)
        _unused(page, written(outline, (), ())[0])
    understood = any(map(_understood, (item for part in outline.parts for item in part.lines)))
    assumed, opened = (
        tuple(reader.assumed.said),
        tuple(dict.fromkeys(each.text(lambda at: letter[at - 1].first) for each in reader.open)),
    )
    kinds = kinds_of(reader.sources(), letter)
    read = tuple(Drafted(at, kinds.get(at, "remark"), shown(said)) for at, said in enumerate(texts, 1) if said.strip())
    sheet, lines = written(evolve(outline, endings=(*outline.endings, *ends)), assumed, opened)
    danced = [(said, number and letter[number - 1].first) for said, number in lines]
    return Draft(sheet, assumed, opened, read, understood, _origins(sheet, danced))


def _understood(item: Item) -> bool:
    """Say whether a line, or one of a block, is steps, or a blank of counts."""
    if isinstance(item, Block):
        return any(map(_understood, item.lines))
    return isinstance(item, Line) and (not item.blank or item.counts > 0)


_CLAIMED = re.compile(
    rf"(?i)\b{NUMBER}[ -]?(?:counts?|beats?|cts?|walls?|times|min|sec)\b|\bwalls? {NUMBER}|\d:\d\d|\bo'?clock"
)
_STARTS = re.compile(r"(?i)\b(?:starts?|begins?|starting) (?:on|with|when|at)\b")
"""When a dance begins, where no wait is said."""
_CUED = re.compile(
    r"(?i)\b(?:starts?|begins?|comes? in)\b[^.;:|()\d]{0,24}?\b(?:on|with|when|at|as)\b[^.;:|()\d]{0,24}?"
    r"\b(?:vocals?|sing(?:s|ing)|lyrics?|words?|voice|drums?)\b"
)
"""What of the music the dance begins with: `start on the vocals`."""
_NAMED = re.compile(r"\b[A-Z][a-z]+ (?:(?:&|and|the) )?[A-Z][a-z]+|\"")
_RUN = re.compile(r"\w(?: x ?\d)?(?:\s+[-/|>]\s+\w+(?: x ?\d)?){3}")
"""Names in a row, as in a sequence."""
_WALLS = re.compile(r"(?i)\b(?:front|back)\b")
_HOUR = re.compile(r"(?<![\d:])1?\d:[03]0\b")
_PEOPLE = re.compile(r"^\W*[A-Z][a-z]+ [A-Z][a-z]+(?: for | \(|\W*$)")


_MAIL = re.compile(r"(?i)\s*(?:to|cc|date|sent|subj(?:ect)?)\s*:")
"""Under who a mail is from."""


def holds(page: Page, text: str) -> bool:
    """Say whether a text holds what a dance is made of: a number, a foot, a facing, a step, a part."""
    said = plain(text)
    numbers = re.search(r"\b[wx]?\d+x?\b", said) or any(
        word in NUMBERS and word != "one" for word in said.casefold().split()
    )
    names = ({part.name for part in page.parts} | {*page.names}) - {"Main"}
    parts = any(len(name) > 1 and re.search(rf"(?i)\b{re.escape(name)}\b", said) for name in names)
    bare = re.sub(r"(?i)(?<![-\w])(?:steps?|bring|run)\b", " ", said)
    stepped = moving(bare.replace("-", " "), page.reader.vocabulary)
    return bool(numbers or parts or FEET.search(said) or _WALLS.search(said) or stepped)


def _beside(page: Page) -> list[tuple[int, str]]:
    """Return the words beside what was read of a line, with its number, that claim something or name somebody."""
    return [
        (number, said)
        for number, said in page.beside
        if _CLAIMED.search(plain(said))
        or _NAMED.search(said)
        or _RUN.search(plain(said))
        or (not said_of("wait", page.facts) and _STARTS.search(said))
    ]


def _unused(page: Page, sheet: str) -> None:
    """Name as open what the sheet does not use: a heading of which a word is missing, a remark that holds what a dance
    is made of, and claims in a comment beside steps.
    """
    reader, sources = page.reader, page.reader.sources()
    words = set(re.findall(r"\w+", sheet.casefold()))
    words |= {"section", "part", "finish", "counts", "beats"}
    plain_texts = {number: line.text for line in reader.laid for number in line.numbers}
    signed = "|".join(re.escape(each) for each in page.changed if re.fullmatch(r"\w+[-*]", each))
    mailed = any(re.match(r"(?i)\s*from\s*:", text) for _, _, text in sources[:3])
    for number, kind, text in sources[1:]:
        text = plain_texts.get(number, text)
        said = set(re.findall(r"[^\W\d_]{4,}", shown(text).casefold()))
        if kind not in ("heading", "remark") or columns(text) or is_legend(text) or (mailed and _MAIL.match(text)):
            continue
        paper = is_imprint(text)
        says = bool(
            holds(page, uncounted(text))
            or (not (paper or is_letterhead(text)) and (_PEOPLE.search(text) or is_author(text)))
            or (number == sources[-1][0] and not paper and _NAMED.search(text))
            or re.match(r"\s*[A-Za-z]{1,12}\s?:\s*[A-Z]", text)
        )
        if REMARK.match(text) or TEACHES.fullmatch(uncounted(text)):
            says = bool(_CLAIMED.search(plain(uncounted(text)))) or reader.steps(text) > 2
        short = signed and re.search(rf"(?<!\w)(?:{signed})(?!\w)", text)  # `A- = …`, `A- stops here`
        if short or not said <= words or (kind == "remark" and says):
            reader.leave_open(number, f"not used: {text}")
    if not said_of("wait", page.facts):
        cues = [
            (number, found[0]) for number, kind, text in sources if kind != "steps" and (found := _CUED.search(text))
        ]
        told = {each.number for each in reader.open}
        reader.open += [Opened(number, f"not used: {said}") for number, said in cues if number not in told]
    hours = [(number, each) for number, kind, said in sources if kind == "steps" for each in _HOUR.findall(said)]
    for number, hour in hours:
        if sheet.count(f"facing {hour}") < sum(hour == other for _, other in hours):
            reader.note(f"{hour} is not used each time that it is said", number)
    for number, text in _beside(page):
        if Opened(number, tight(text)) not in reader.open:
            reader.unused(number, text)
