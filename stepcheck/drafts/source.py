"""The lines of a description while they are read, and the sections that they fall into."""

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.drafts.outline import Item, Line, Remark
from stepcheck.drafts.rows import Assumptions
from stepcheck.drafts.vocabulary import Vocabulary

ORDER = ("routine", "book", "level", "# level", "lead", "tempo", "wait", "walls", "song", "artist", "author")
"""The fields of a header, in the order in which a draft writes them."""


class Reader:
    """The lines of a source while they are read: what each was read as, what is assumed, what is open."""

    def __init__(self, texts: list[str], vocabulary: Vocabulary, book: Book) -> None:
        self.texts = texts
        self.vocabulary = vocabulary
        self.book = book
        self.assumed = Assumptions()
        self.open: list[str] = []
        self.kinds: dict[int, str] = {}

    def numbered(self) -> list[tuple[int, str]]:
        """Return the lines that say something, with their numbers."""
        return [(number, text) for number, text in enumerate(self.texts, 1) if text.strip()]

    def mark(self, number: int, kind: str) -> None:
        """Note what a line was read as; blank and open stay."""
        if self.kinds.get(number) not in ("blank", "open"):
            self.kinds[number] = kind

    def leave_open(self, number: int, said: str) -> None:
        """Note that a line, or a piece of it, is not understood."""
        self.open.append(f"line {number}: {' '.join(said.split())}")
        self.kinds[number] = "open"

    def sources(self) -> list[tuple[int, str, str]]:
        """Return the lines that say something, with what they were read as."""
        return [(number, self.kinds.get(number, "remark"), text) for number, text in self.numbered()]


def cells_of(text: str) -> list[str]:
    """Return the cells of a row of a table."""
    return [cell.strip() for cell in text.split("\t")]


class Section:
    """A section while it is read: its title, the counts of its heading, its lines, the counts that they write."""

    def __init__(self, title: str = "", stated: tuple[int, int] | None = None, number: int = 0) -> None:
        self.title, self.stated, self.number = title, stated, number
        self.items: list[Item] = []
        self.first = self.last = self.length = 0
        self.facing = ""
        self.prose = False

    @property
    def counts(self) -> int:
        """How many counts its lines are."""
        return sum(item.counts for item in self.items if isinstance(item, Line))


def fill_up(items: list[Item], left: int) -> list[Item]:
    """Return lines with what a section leaves over as the counts of the blank that alone has none; else it is a comment."""
    bare = [item for item in items if isinstance(item, Line) and item.blank and not item.counts]
    alone = len(bare) == 1 and left > 0
    return [
        (evolve(item, counts=left) if alone else Remark(item.remark))
        if isinstance(item, Line) and item in bare
        else item
        for item in items
    ]
