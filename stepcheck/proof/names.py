"""The names of a script: values in the words of the sheet, a bit for each sentence, constants that are free."""

from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache, reduce

from attrs import define, field, frozen

from stepcheck.model.dance import EIGHTHS, TICKS
from stepcheck.proof.prelude import RESERVED, RESERVED_BEGINNINGS

FEET = ("left", "right", "both")
WALLS = ("12:00", "1:30", "3:00", "4:30", "6:00", "7:30", "9:00", "10:30")
MOST_TEXT = 4_000_000  # characters
MOST_FIGURES = 60_000  # with every definition written out where it is used
MOST_BITS = 30_000_000  # of sentences, in all these figures


class TooLarge(Exception):
    """The dance cannot be stated in a text of reasonable size."""


@lru_cache(maxsize=1 << 12)
def quoted(text: str) -> str:
    """Return a text as a symbol."""
    return "|" + " ".join(text.replace("|", " or ").replace("\\", "/").split()) + "|"


def literal(value: int, width: int) -> str:
    """Return a number as a word of bits."""
    return f"(_ bv{value} {width})"


def chosen(condition: Callable[[int], str], terms: Sequence[str]) -> str:
    """Return the first term whose condition holds, the last one if none does."""
    before = [f"(ite {condition(number)} {term} " for number, term in enumerate(terms[:-1])]
    return "".join(before) + terms[-1] + ")" * len(before)


def joined(operator: str, terms: Sequence[str], empty: str = "") -> str:
    """Return terms joined two by two by an operator."""
    return reduce(lambda text, term: f"({operator} {text} {term})", terms) if terms else empty


@frozen
class Function:
    """A function of the script from dancer to dancer, with the number of bits picked in it and of figures danced by it,
    and the properties of the frame that it tests; `key` is of the bodies that dance the same."""

    name: str
    picks: int
    figures: int
    looks: int = 0
    key: object = None

    def of(self, dancer: str, picks: str = "") -> str:
        """Return the function applied."""
        return f"({self.name} {dancer} {picks})" if self.picks else f"({self.name} {dancer})"

    @property
    def title(self) -> str:
        """The name without its bars."""
        return self.name[1:-1]


@frozen
class Constant:
    """A constant that is free: its bits, and what it stands for: "pick", "blank", "row", "reading" or "seen"; a row is
    the blank for the weight after beats that are to be found."""

    name: str
    width: int
    role: str


@define
class Names:
    """What a script defines and declares, in the order in which it is first named.

    `bits` are the sentences and what is guessed, `owners` the claim of each bit, empty where it is a guess.  `shared`
    are the texts of figures and values, each with the names that it defines, which many sheets have alike.
    """

    turn_width: int
    beats_width: int
    lines: list[str] = field(factory=list)
    shared: dict[str, tuple[str, ...]] = field(factory=dict)
    constants: dict[str, Constant] = field(factory=dict)
    bits: dict[str, int] = field(factory=dict)
    owners: list[str] = field(factory=list)
    figures: int = 0
    once: dict[object, str] = field(factory=dict)
    _taken: dict[str, str] = field(factory=dict)
    _numbers: dict[str, int] = field(factory=dict)
    _length: int = 0

    def say(self, text: str, figures: int = 0) -> None:
        """Add lines, which stand for so many figures.

        Raises:
            TooLarge: it becomes too much.
        """
        self.lines.append(text)
        self._length += len(text)
        self.figures += figures
        if self._length > MOST_TEXT or self.figures > MOST_FIGURES or self.figures * len(self.owners) > MOST_BITS:
            raise TooLarge

    def share(self, text: str, names: tuple[str, ...], figures: int = 0) -> None:
        """Add what other sheets may say alike; it may use nothing but what is shared already, and the vocabulary."""
        self.shared[text] = names
        self._taken.update(dict.fromkeys(names, text))
        self._length += len(text)
        self.figures += figures

    def adopt(self, texts: Mapping[str, tuple[str, ...]], figures: int) -> bool:
        """Add texts that were written for any script, if none of their names means anything else here."""
        taken = self._taken
        if any(taken.get(name, text) != text for text, names in texts.items() for name in names):
            return False
        for text, names in texts.items():
            if text not in self.shared:
                self.share(text, names)
        self.figures += figures
        return True

    @property
    def known(self) -> frozenset[str]:
        """The symbols that the script defines or declares."""
        return frozenset(self._taken).union(self.constants)

    def fresh(self, text: str) -> str:
        """Return a symbol that nothing else has."""
        symbol = _free(text)
        while symbol in self._taken or symbol in self.constants:
            number = self._numbers[text] = self._numbers.get(text, 1) + 1
            symbol = _free(f"{text} #{number}")
        self._taken[symbol] = ""
        return symbol

    def named(self, kind: str, text: str) -> str:
        """Return the symbol of what has one name wherever it stands."""
        if (kind, text) not in self.once:
            self.once[kind, text] = self.fresh(text)
        return self.once[kind, text]

    def bit(self, text: str, claim: str = "") -> str:
        """Return the name of the bit that says that a sentence, or what is guessed, is false."""
        name = self.named(claim, text) if claim else quoted(text)
        if name not in self.bits:
            self._taken[name] = ""
            self.bits[name] = len(self.owners)
            self.owners.append(claim)
        return name

    def blank(self, text: str, width: int, place: object, role: str = "blank") -> str:
        """Return the name of a constant that fills a blank, one for each place of what `text` tells."""
        return self._constant(self.named(f"blank {place}", text), width, role)

    def constant(self, text: str, width: int, role: str) -> str:
        """Return the name of a free constant."""
        return self._constant(quoted(text), width, role)

    def pick(self, text: str, width: int) -> str:
        """Return the name of a constant that a dancer picks, one for this place only."""
        return self._constant(self.fresh(text), width, "pick")

    def _constant(self, name: str, width: int, role: str) -> str:
        self.constants.setdefault(name, Constant(name, width, role))
        return name

    def stated(self, kind: str, text: str, head: str, term: str, say: bool = False) -> str:
        """Return the name of what is stated once, wherever it stands: `head` is what comes between name and term.

        It is shared with other sheets, unless it is to be said in this script only.
        """
        name = self.once.get((kind, text, term))
        if name is None:
            name = _free(text)
            if self._taken.get(name, "") != f"(define-fun {name} {head} {term})" and name in self._taken:
                name = self.fresh(text)
            self.once[kind, text, term] = name
            self.state(f"(define-fun {name} {head} {term})", (name,), 0, say)
        return name

    def state(self, text: str, names: tuple[str, ...], figures: int = 0, say: bool = False) -> None:
        """Add a text, which others share, or which is to be said in this script only."""
        if say:
            self.say(text, figures)
            self._taken.update(dict.fromkeys(names, text))
        elif text not in self.shared:
            self.share(text, names, figures)

    def value(self, text: str, sort: str, term: str) -> str:
        """Return the name of a value."""
        return self.stated("value", text, f"() {sort}", term)

    def beats(self, ticks: int) -> str:
        """Return the name of a time."""
        whole, rest = divmod(ticks, TICKS)
        text = f"{whole} beats {rest}/{TICKS}" if rest else f"{whole} beats"
        return self.value(text, "Beats", literal(ticks, self.beats_width))

    def turn(self, eighths: int) -> str:
        """Return the name of a turn."""
        if not eighths:
            return self.value("no turn", "Turn", literal(0, self.turn_width))
        side, size = ("right", eighths) if eighths > 0 else ("left", -eighths)
        term = literal(size, self.turn_width)
        text = f"{size}/8 {side}" if size % 2 else f"{size // 2}/4 {side}"
        return self.value(text, "Turn", term if eighths > 0 else f"(bvneg {term})")

    def wall(self, facing: int) -> str:
        """Return the name of a facing."""
        return self.value(WALLS[facing % EIGHTHS], "Eighths", f"#b{facing % EIGHTHS:03b}")


class Picks:
    """The choices of a dancer in a body, as slices of its argument; at a `place` of the dance, as constants."""

    def __init__(self, names: Names, place: str = "") -> None:
        self.width = 0
        self.place = place
        self._names = names

    @property
    def taken(self) -> str:
        """The argument of a function in which so much is picked."""
        return f" (p (_ BitVec {self.width}))" if self.width else ""

    def take(self, width: int) -> str:
        """Return the next so many bits, the empty text for none."""
        if not width:
            return ""
        if self.place:
            return self._names.pick(self.place, width)
        self.width += width
        return f"((_ extract {self.width - 1} {self.width - width}) p)"


@lru_cache(maxsize=1 << 12)
def _free(text: str) -> str:
    """Return a text as a symbol that the vocabulary does not have."""
    symbol = quoted(text)
    word = symbol[1:-1]
    return f"|{word} #1|" if word in RESERVED or word.startswith(RESERVED_BEGINNINGS) else symbol
