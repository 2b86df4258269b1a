"""The codes of a book: the forms in which movements are written, who makes each, its weight, its place, its
readings."""

from attrs import frozen

from stepcheck.books.book import Book
from stepcheck.books.outline import FROM_MEMORY
from stepcheck.books.placing import COMPOUNDS
from stepcheck.model.dance import key
from stepcheck.model.movements import Actor, Movement

HEADS = ("code", "movement", "made by", "weight", "falls on", "readings")


@frozen
class Code:
    """A movement of a book with its forms; a compound has none of its own, but the row of those that it stands for."""

    forms: tuple[str, ...]
    book: str
    tradition: str
    movement: Movement | None = None
    row: tuple[Movement, ...] = ()

    @property
    def name(self) -> str:
        """The movement's name, of a compound those of its row."""
        return self.movement.name if self.movement is not None else ", ".join(movement.name for movement in self.row)

    @property
    def place(self) -> str:
        """Where it falls when it is placed in order."""
        parts = self.row if self.movement is None else (self.movement,)
        if not any(one.placed for one in parts):
            return "no place"
        if self.tradition == "line":
            return "a count" if len(parts) == 1 else "a count each"
        return ", ".join("upbeat" if one.upbeat else "downbeat" for one in parts)


def codes(book: Book) -> tuple[Code, ...]:
    """Return every code of a book, in its order, then the compounds that its movements make up."""
    made = [
        Code(tuple(form for form in one.forms if book.movement(form) == (one,)), book.name, book.tradition, one)
        for one in book.movements()
    ]
    for compound, parts in COMPOUNDS.items():
        row = tuple(movement for part in parts for movement in book.movement(part)[:1])
        if len(row) == len(parts):
            made.append(Code((compound.upper(),), book.name, book.tradition, row=row))
    return tuple(made)


def coded(book: Book, name: str) -> tuple[Code, ...]:
    """Return the codes that are written `name`, or whose movement is called so."""
    return tuple(code for code in codes(book) if key(name) in map(key, (*code.forms, code.name)))


def line(code: Code) -> tuple[str, ...]:
    """Return a code as a row of a list, under `HEADS`; of several readings the usual one first."""
    if code.movement is None:
        return " ".join(code.forms), code.name, "", "", code.place, ""
    usual = code.movement.senses[code.movement.usual]
    others = [sense.label for sense in code.movement.senses if sense is not usual]
    readings = "; ".join([f"{usual.label} (usual)", *others]) if others else ""
    return " ".join(code.forms), code.name, usual.actor.value, _weight(usual.actor, usual.lands), code.place, readings


def told(code: Code) -> list[str]:
    """Return a code line by line: who makes it, its weight, its place, its readings, and the sources of each."""
    lines = [f"{' '.join(code.forms)} (book {code.book}): {code.name}, {code.place}"]
    for number, sense in enumerate(code.movement.senses if code.movement is not None else ()):
        usual = code.movement is not None and len(code.movement.senses) > 1 and number == code.movement.usual
        label = f"{sense.label}{' (usual)' if usual else ''}: " if sense.label else ""
        weight = _weight(sense.actor, sense.lands)
        lines.append(f"   {label}{sense.actor.value}{f', {weight}' if weight else ''}")
        lines += [f"      from: {source}" if source != FROM_MEMORY else f"      {source}" for source in sense.sources]
    return lines


def _weight(actor: Actor, lands: bool) -> str:
    """Return where the weight goes; a foot that has it keeps it."""
    if actor is Actor.NOBODY:
        return ""
    return "no weight" if not lands else "keeps weight" if actor is Actor.SUPPORT else "takes weight"
