"""What is wrong with a book of figures."""

from collections.abc import Iterator, Mapping

from stepcheck.books.book import Book, Shelf, finding
from stepcheck.books.cards import meanings
from stepcheck.books.footwork import Impossible, dance, footing
from stepcheck.books.outline import Fault
from stepcheck.books.placing import counted, last_beat
from stepcheck.model.dance import TICKS, Figure, Version, key
from stepcheck.model.findings import Diagnostic
from stepcheck.model.source import BOOK, require


def lint_book(book: Book) -> tuple[Diagnostic, ...]:
    """Return all that is wrong with a book, and what its readers should know, in the order of its lines.

    Beside what can't be read and movements that cannot be made: counts that don't add up, two figures that are one
    under two names, a figure that hides another, a level that no scheme has.
    """
    require(book, Book, BOOK)
    if book.members or book.shelf is None:
        return tuple(found for member in book.members for found in lint_book(member))
    faults = [*_taken_twice(book.shelf)]
    twins: dict[object, Figure] = {}
    for figure in book.own():
        for below in book.base.find(figure.name) if book.base else ():
            reason = f"{figure.name} hides the one of the book {below.book}"
            faults.append(Fault("figure-shadowed", figure.line, reason))
        for version in figure.versions:
            last = last_beat(version.actions)
            if version.length != last * TICKS:
                reason = f"{figure.name} should last {version.length // TICKS}, but its movements last {last}"
                faults.append(Fault("wrong-figure-length", figure.line, reason))
        for level in figure.levels:
            if book.rank(level) is None:
                reason = f"no scheme named {level.scheme} has the level {level.name}"
                faults.append(Fault("unknown-level", figure.line, reason))
        twin = twins.setdefault(footing(figure), figure)
        if twin is not figure:
            faults.append(Fault("figure-twice", figure.line, f"{figure.name} has the footwork of {twin.name}"))
        faults += _impossible(figure)
    found = (*book.problems, *(finding(book, fault) for fault in faults))
    return tuple(sorted(dict.fromkeys(found), key=lambda one: one.sort_key))


def _taken_twice(shelf: Shelf) -> Iterator[Fault]:
    spoken: dict[str, int] = {}
    for entry in shelf.text.figures:
        for name in entry.names:
            if (line := spoken.setdefault(key(name), entry.start)) != entry.start:
                yield Fault("name-taken-twice", entry.start, f"{name} already stands on line {line}")


def _impossible(figure: Figure) -> Iterator[Fault]:
    """Yield a fault for each version that cannot be danced as usual, or for a reading under which it cannot."""
    failed: set[str] = set()
    for version, senses, _ in sorted(meanings(figure), key=lambda one: sum(_odd(one[0], one[1]).values())):
        end = dance(version, figure.lead, False, senses)
        if not isinstance(end, Impossible) or version.label in failed:
            continue
        failed.add(version.label)
        name = f"{figure.name} ({version.label})" if len(figure.versions) > 1 else figure.name
        where = f"count {counted(end.action.tick)}: {end.action.movement.name}"
        odd = [word for word, is_odd in _odd(version, senses).items() if is_odd]
        if odd:
            movements = {action.movement.name: action.movement for action in version.actions}
            read = " and ".join(f"{word} as {movements[word].senses[senses[word]].label}" for word in odd)
            reason = f"{name} cannot be danced by who reads {read}: {where}, {end.reason}"
            yield Fault("reading-left-out", figure.line, reason)
        else:
            hints = (
                "write the foot that moves in brackets, such as S(R)",
                "or put the step or hop before it that changes the weight",
            )
            yield Fault("impossible-movement", figure.line, f"{name}, {where} cannot be danced, {end.reason}", hints)


def _odd(version: Version, senses: Mapping[str, int]) -> dict[str, bool]:
    """Return for each word of a version whether it is read in another way than usual."""
    usual = {action.movement.name: action.movement.usual for action in version.actions}
    return {word: usual[word] != sense for word, sense in senses.items()}
