"""The lines of a description while they are read."""

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.pages import shorthand as short
from stepcheck.pages.heads import in_order, over_deeper
from stepcheck.pages.layout import laid_out, plainly
from stepcheck.pages.order import stacked
from stepcheck.steps.counts import steps_said
from stepcheck.steps.outline import Assumptions
from stepcheck.steps.vocabulary import Vocabulary, tight


class Reader:
    """The lines of a source while they are read: what each was read as, what is assumed, what is open."""

    def __init__(self, texts: list[str], vocabulary: Vocabulary, book: Book) -> None:
        self.texts = texts
        self.assumed = Assumptions()

        def steps(text: str) -> int:
            return steps_said(plainly(text)[0], vocabulary)

        if vocabulary.tradition == "line":
            texts = short.written_out(
                over_deeper(in_order(texts, steps), steps),
                steps,
                lambda text: self.assumed.add(f"what is taken back is not danced: {tight(text)}"),
            )
        self.laid = laid_out(texts, steps) if vocabulary.tradition == "line" else []
        rows, said, self.lengths = stacked([line.text for line in self.laid])
        if said:
            numbers = tuple(at for line in self.laid[rows.start : rows.stop] for at in line.numbers)
            self.laid[rows.start : rows.stop] = [evolve(self.laid[rows.start], text=said, numbers=numbers)]
        self.vocabulary = vocabulary
        self.book = book
        self.open: list[str] = []
        self.kinds: dict[int, str] = {}
        self._joined = {line.numbers[0]: line.numbers for line in self.laid}

    def numbered(self) -> list[tuple[int, str]]:
        """Return the lines that say something, with their numbers."""
        return [(line.numbers[0], line.text) for line in self.laid]

    def mark(self, number: int, kind: str) -> None:
        """Note what a line was read as; blank and open stay."""
        if self.kinds.get(number) not in ("blank", "open"):
            self.kinds[number] = kind

    def leave_open(self, number: int, said: str, kind: str = "open") -> None:
        """Note that a line, or a piece of it, is not understood; its kind is "blank" where it has counts."""
        self.open.append(f"line {number}: {tight(said)}")
        self.kinds[number] = kind
        for at in self._joined.get(number, ())[1:]:
            self.open.append(f"line {at}: goes on from line {number}")

    def unused(self, number: int, said: str) -> None:
        """Note that the sheet does not use a piece of a line that is read."""
        self.open.append(f"line {number}: not used: {tight(said)}")

    def title(self, number: int) -> None:
        """Note that a line is a title: nothing that was read of it is danced or open."""
        self.open = [said for said in self.open if not said.startswith(f"line {number}: ")]
        self.kinds[number] = "heading"

    def sources(self) -> list[tuple[int, str, str]]:
        """Return the lines that say something, with what they were read as."""
        first = {number: numbers[0] for numbers in self._joined.values() for number in numbers}
        return [
            (number, self.kinds.get(first.get(number, number), "remark"), text)
            for number, text in enumerate(self.texts, 1)
            if text.strip()
        ]
