"""Books of figures: the two that are shipped, a club's own on top of another, and several taken together.

A book gives figures and movements by name.  Each is read when it is first asked for, and made once: figures are
compared by identity.  Names match without regard to case, hyphens and spaces.
"""

import os
from collections.abc import Iterable, Iterator
from functools import cache, lru_cache

from attrs import evolve, field, frozen

from stepcheck.books import entries
from stepcheck.books.entries import label_matches, reading
from stepcheck.books.outline import Entry, Fault, Listing, Outline, outline
from stepcheck.model.dance import Figure, Foot, Level, key
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.movements import Movement
from stepcheck.model.source import MAX_BYTES, SearchError, Source, SourceError, plain, read_bytes
from stepcheck.model.words import visible

__all__ = ["SHIPPED", "Book", "combine", "finding", "label_matches", "load", "load_book", "reading"]

SHIPPED = ("clogging", "line")
TRADITIONS = ("clogging", "line")
MAX_DEPTH = 20
_LEADS = {"left": Foot.LEFT, "right": Foot.RIGHT}


@frozen(eq=False)
class Shelf:
    """What a single book adds to the one that it stands on: its outline, indexed by name, and what was read of it."""

    text: Outline
    figures: dict[str, Entry]
    movements: dict[str, Entry]
    known: dict[str, tuple[Listing, ...]]
    made: dict[int, tuple[Figure | Movement | None, tuple[Fault, ...]]] = field(factory=dict, repr=False)


@frozen(eq=False)
class Book:
    """A book of figures.

    Attributes:
        name: its name.
        tradition: `clogging` or `line`, which says whether there are beats or counts, and how walls are named.
        lead: the foot that its figures are written for.
        shelf: what the book itself holds; None for a book of several.
        base: the book that it stands on top of, if any.
        members: the books that it is made of, if it is one of several.
        settled: pairs of a word and a label: readings that the book settles, which hold unless a sheet settles them
            differently.
    """

    name: str
    tradition: str
    lead: Foot
    shelf: Shelf | None = field(default=None, repr=False)
    base: "Book | None" = None
    members: "tuple[Book, ...]" = ()
    settled: tuple[tuple[str, str], ...] = ()

    def find(self, name: str, book: str | None = None) -> tuple[Figure, ...]:
        """Return the figures with this name or synonym: none, one, or one from each of the combined books that has it.

        Args:
            name: the name in any spelling.
            book: look only in the member of this name.
        """
        if self.members:
            chosen = [member for member in self.members if book is None or key(member.name) == key(book)]
            return tuple(dict.fromkeys(figure for member in chosen for figure in member.find(name)))
        if book is not None and key(book) != key(self.name):
            return self.base.find(name, book) if self.base else ()
        entry = self.shelf.figures.get(key(name)) if self.shelf else None
        made = self._figure(entry) if entry else None
        return (made,) if made else self.base.find(name) if self.base else ()

    def movement(self, form: str) -> tuple[Movement, ...]:
        """Return the movement that is written `form`, from the first book that has it; none if it is unknown."""
        for shelf in self._shelves():
            entry = shelf.movements.get(key(form))
            if entry and (made := _movement(shelf, entry)):
                return (made,)
        return ()

    def movements(self) -> tuple[Movement, ...]:
        """Return every movement that one of its forms leads to, in the order of the book, its own before those
        below."""
        entries = ((shelf, entry) for shelf in self._shelves() for entry in shelf.text.movements)
        found = dict.fromkeys(made for shelf, entry in entries if (made := _movement(shelf, entry)))
        return tuple(made for made in found if any((made,) == self.movement(form) for form in made.forms))

    def figures(self) -> tuple[Figure, ...]:
        """Return every figure, in the order of the book; of a book on top of another, its own first."""
        if self.members:
            return tuple(dict.fromkeys(figure for member in self.members for figure in member.figures()))
        own = self.own()
        taken = self.shelf.figures if self.shelf else {}
        below = self.base.figures() if self.base else ()
        return own + tuple(figure for figure in below if key(figure.name) not in taken)

    def names(self) -> tuple[str, ...]:
        """Return every name and synonym of a figure, in the order of the book, without reading the figures."""
        return _unique(name for shelf in self._shelves() for entry in shelf.text.figures for name in entry.names)

    def known(self, name: str) -> bool:
        """Say whether the figure is known by name only: no footwork of it is published."""
        return next(self._namings(name), None) is not None and not self.find(name)

    def named_by(self, name: str) -> tuple[str, ...]:
        """Return the sources that name a figure without its footwork, each in full."""
        return tuple(source for shelf, listing in self._namings(name) for source in shelf.text.cited(listing.sources))

    @lru_cache(maxsize=1 << 10)  # noqa: B019 - each hint that is tried asks again for the same misspelt names
    def nearest(self, name: str, limit: int = 3, likeness: float = 0.6) -> tuple[str, ...]:
        """Return the names most like `name`, the best first; `likeness` goes from 0, anything, to 1, the same."""
        from difflib import get_close_matches  # only a faulty sheet needs it

        names = {key(other): other for other in self.names()}
        return tuple(names[near] for near in get_close_matches(key(name), names, n=limit, cutoff=likeness))

    def example(self, name: str) -> str:
        """Return how a sheet would define a figure of this name, in counts and steps of the book's tradition."""
        return f"{name}, 4 counts: S HOLD TCH S" if self.tradition == "line" else f"{name}, 4 beats: DS BR DS S"

    def readings(self, name: str) -> tuple[Movement | Figure, ...]:
        """Return the movements and figures of this name that have more than one reading, from every book taken."""
        movements = (
            made
            for shelf in self._shelves()
            for entry in shelf.text.movements
            if entry.several and key(entry.names[0]) == key(name) and (made := _movement(shelf, entry))
        )
        return (*movements, *(figure for figure in self.find(name) if len(figure.versions) > 1))

    def words(self) -> tuple[str, ...]:
        """Return the names of the movements and figures that have more than one reading, in the order of the book."""
        texts = [shelf.text for shelf in self._shelves()]
        return _unique(e.names[0] for text in texts for e in (*text.movements, *text.figures) if e.several)

    def rank(self, level: Level) -> int | None:
        """Return the place of a level in its scheme, the easiest 0; None if no scheme of the book has it."""
        for shelf in self._shelves():
            for scheme in shelf.text.levels:
                if key(scheme.title) == key(level.scheme) and level.name in scheme.names:
                    return scheme.names.index(level.name)
        return None

    @property
    def problems(self) -> tuple[Diagnostic, ...]:
        """What can't be read in the book itself; reads all of it."""
        if self.members:
            return tuple(finding for member in self.members for finding in member.problems)
        if self.shelf is None:
            return ()
        faults = [*self.shelf.text.faults, *_unfit(self)]
        for entry in self.shelf.text.movements:
            _movement(self.shelf, entry)
        self.own()
        faults += [fault for _, found in self.shelf.made.values() for fault in found]
        return tuple(sorted((finding(self, fault) for fault in faults), key=lambda found: found.sort_key))

    def own(self) -> tuple[Figure, ...]:
        """Return the figures of this book alone."""
        return tuple(figure for figure in map(self._figure, self.shelf.text.figures if self.shelf else ()) if figure)

    def _shelves(self) -> tuple[Shelf, ...]:
        """Return the shelves in the order in which they are looked through."""
        return tuple(dict.fromkeys(one.shelf for one in within(self) if one.shelf))

    def _namings(self, name: str) -> Iterator[tuple[Shelf, Listing]]:
        for shelf in self._shelves():
            for listing in shelf.known.get(key(name), ()):
                yield shelf, listing

    def _figure(self, entry: Entry) -> Figure | None:
        """Return the figure of an entry of this book, read when it is asked for the first time."""
        shelf = self.shelf
        assert shelf is not None
        if entry.start not in shelf.made:
            shelf.made.setdefault(entry.start, entries.figure(shelf.text, entry, self))
        made = shelf.made[entry.start][0]
        return made if isinstance(made, Figure) else None


def load(name_or_path: str | os.PathLike[str], readings: str | None = None) -> Book:
    """Return a book by the name of a shipped one, or by the path of a `.book` file.

    Args:
        name_or_path: `clogging`, `line`, or a path.
        readings: the named set of readings of the book that settles its words, such as `tap`.

    Raises:
        SourceError: the file can't be read, is no text, or names a base or a set of readings that there is none of.
    """
    name = os.fspath(name_or_path)
    if key(name) not in SHIPPED and not name.endswith(".book") and not os.path.exists(name):
        from difflib import get_close_matches  # only a wrong name needs it

        near = get_close_matches(key(name), SHIPPED, 1)
        known = "there are clogging, line, and a club's own by its file, as in club.book"
        raise SourceError(f"there is no book {name!r}; {f'did you mean {near[0]}?' if near else known}")
    book = _shipped(key(name)) if key(name) in SHIPPED else _opened(name, ())
    if readings is None:
        return book
    sets = [found for shelf in book._shelves() for found in shelf.text.readings]
    for title, pairs in sets:
        if key(title) == key(readings):
            return evolve(book, settled=book.settled + pairs)
    raise SourceError(f"the book {book.name} has no readings named {readings}")


def within(book: Book) -> Iterator[Book]:
    """Yield a book, those that it is made of, and those that they stand on."""
    yield book
    for other in (*book.members, *((book.base,) if book.base else ())):
        yield from within(other)


def combine(books: tuple[Book, ...]) -> Book:
    """Return the books taken together; a movement is the first one's, a figure may stand in several."""
    if len(books) == 1:
        return books[0]
    first = books[0]
    settled = tuple(pair for book in books for pair in book.settled)
    return Book(", ".join(book.name for book in books), first.tradition, first.lead, members=books, settled=settled)


def finding(book: Book, fault: Fault) -> Diagnostic:
    """Return what is wrong with a line of a book's own text as a diagnostic."""
    assert book.shelf is not None
    source = book.shelf.text.source
    return Diagnostic(CODES[fault.code], source.path, source.whole_line(fault.line), fault.reason, hints=fault.hints)


def _unfit(book: Book) -> Iterator[Fault]:
    """Yield a fault for each fact at the margin of a book that has no meaning."""
    assert book.shelf is not None
    facts = book.shelf.text.facts
    for fact, legal in (("lead", tuple(_LEADS)), ("tradition", TRADITIONS)):
        if facts.get(fact, legal[0]) not in legal:
            line = next(n for n, text in enumerate(book.shelf.text.source.lines, 1) if text.startswith(fact))
            yield Fault("header-value", line, f"{facts[fact]} is no {fact}", (f"write {' or '.join(legal)}",))


def _unique(names: Iterable[str]) -> tuple[str, ...]:
    found: dict[str, str] = {}
    for name in names:
        found.setdefault(key(name), name)
    return tuple(found.values())


@cache
def _shipped(name: str) -> Book:
    with open(os.path.join(os.path.dirname(__file__), f"{name}.book"), encoding="utf-8") as file:
        return from_text(Source(f"{name}.book", plain(file.read())))


def _opened(path: str, above: tuple[str, ...]) -> Book:
    """Return the book in a file, with the one that it stands on; `above` are the files that stand on this one."""
    if "\0" in path:
        raise SourceError(f"{visible(path)} is no name of a file")
    real = os.path.realpath(path)
    if real in above:
        raise SourceError(f"{path} stands on top of itself")
    if len(above) > MAX_DEPTH:
        raise SourceError(f"{path} has more than {MAX_DEPTH} books on top of it")
    data = read_bytes(path)
    if len(data) > MAX_BYTES:
        raise SourceError(f"{path} is larger than {MAX_BYTES:,} bytes")
    try:
        text = plain(data.decode("utf-8"))
    except UnicodeDecodeError as error:
        raise SourceError(f"{path} is not UTF-8 text") from error
    return from_text(Source(path, text), (*above, real))


def from_text(source: Source, above: tuple[str, ...] = ()) -> Book:
    """Return the book of a text; `above` are the files that stand on top of it."""
    text = outline(source)
    facts = text.facts
    below = facts.get("on top of")
    if below is None:
        base = None
    elif key(below) in SHIPPED:
        base = _shipped(key(below))
    else:
        base = _opened(os.path.join(os.path.dirname(source.path), below), above)
    figures = {key(name): entry for entry in reversed(text.figures) for name in entry.names}
    movements = {key(form): entry for entry in reversed(text.movements) for form in entry.forms}
    known: dict[str, tuple[Listing, ...]] = {}
    for listing in text.known:
        for one in dict.fromkeys(map(key, listing.names)):
            known[one] = (*known.get(one, ()), listing)
    tradition = facts.get("tradition", base.tradition if base else "clogging")
    lead = _LEADS.get(facts.get("lead", ""), base.lead if base else Foot.RIGHT if tradition == "line" else Foot.LEFT)
    name = facts.get("book", os.path.splitext(os.path.basename(source.path))[0])
    settled = tuple(pair for title, pairs in text.readings if not title for pair in pairs)
    settled = (base.settled if base else ()) + settled
    return Book(name, tradition, lead, Shelf(text, figures, movements, known), base, settled=settled)


def _movement(shelf: Shelf, entry: Entry) -> Movement | None:
    """Return the movement of an entry, read when it is asked for the first time."""
    if entry.start not in shelf.made:
        shelf.made.setdefault(entry.start, entries.movement(shelf.text, entry))
    made = shelf.made[entry.start][0]
    return made if isinstance(made, Movement) else None


def too_hard(book: Book, figures: tuple[Figure, ...], said: str) -> tuple[Figure, ...]:
    """Return the figures above a level, or without one of its scheme.

    Args:
        book: the book whose schemes say which level is the harder one.
        figures: the figures.
        said: the level in words: `easy`, `basic plus in convention`, `intermediate, club scheme`.

    Raises:
        SearchError: there is no such level, or none of the figures has a level of its scheme.
    """
    most = level_of(book, figures, said)
    top = book.rank(most)
    assert top is not None

    def fits(level: Level) -> bool:
        rank = book.rank(level)
        return key(level.scheme) == key(most.scheme) and rank is not None and rank <= top

    return tuple(figure for figure in figures if not any(map(fits, figure.levels)))


def level_of(book: Book, figures: tuple[Figure, ...], said: str) -> Level:
    """Return the level that is meant; without a scheme, that of the first one that has it; arguments and errors as for
    `too_hard`."""
    graded = {level.scheme: None for figure in figures for level in figure.levels}
    for apart in (" in ", ","):
        name, found, scheme = said.partition(apart)
        if found:
            level = Level(scheme.strip().removesuffix("scheme").strip(), name.strip())
            if key(level.scheme) not in map(key, graded):
                raise SearchError(f"no figure of this book is graded in {level.scheme}")
            if book.rank(level) is not None:
                return level
    for scheme in graded:
        if book.rank(Level(scheme, said.strip())) is not None:
            return Level(scheme, said.strip())
    names = dict.fromkeys(level.name for figure in figures for level in figure.levels)
    raise SearchError(f"there is no level {said!r}; the levels of the figures are {', '.join(names)}")


load_book = load
