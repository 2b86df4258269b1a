"""Which figures are interchangeable, and what is wrong with a book when its figures are danced."""

from collections.abc import Iterator, Mapping
from itertools import product
from typing import TypeAlias

from attrs import frozen

from stepcheck.books import book as books
from stepcheck.books.book import Book
from stepcheck.books.footwork import Impossible, dance, ends, is_still
from stepcheck.books.outline import Fault
from stepcheck.books.placing import counted
from stepcheck.model.dance import Figure, Version, Weight
from stepcheck.model.findings import Diagnostic
from stepcheck.model.source import BOOK, require

Deed: TypeAlias = tuple[int, tuple[tuple[Weight | str, int], ...], bool]
"""The length in ticks; for a left and a right lead the weight afterwards and the signed turn; whether nobody has to
choose a lead.  Nothing else of a figure matters to any claim."""


@frozen
class Alike:
    """Figures that can stand for one another: any claim that holds with one holds with the others.

    Attributes:
        figures: the figures, the one that was asked about first.
        always: whether they can under every reading of every word in them, else only as they are usually read.
    """

    figures: tuple[Figure, ...]
    always: bool


def meanings(figure: Figure) -> Iterator[tuple[Version, dict[str, int], bool]]:
    """Yield each version of a figure with each choice of senses for its movements, and whether that is the usual
    one."""
    for number, version in enumerate(figure.versions):
        several = {a.movement.name: a.movement for a in version.actions if len(a.movement.senses) > 1}
        for senses in product(*(range(len(movement.senses)) for movement in several.values())):
            chosen = dict(zip(several, senses, strict=True))
            usual = all(several[name].usual == sense for name, sense in chosen.items())
            yield version, chosen, usual and number == figure.usual


def deed(figure: Figure, version: Version, senses: Mapping[str, int]) -> Deed:
    """Return what a figure does under one meaning."""
    made = (ends(figure, weight, version, senses)[0] for weight in (Weight.RIGHT, Weight.LEFT))
    seen = tuple(("cannot be danced" if isinstance(one.weight, Impossible) else one.weight, one.turn) for one in made)
    return version.length, seen, is_still(version, senses)


def classes(book: Book) -> tuple[Alike, ...]:
    """Return the figures of a book in groups that are interchangeable, in the order of the book; single ones too."""
    groups: dict[Deed, list[Figure]] = {}
    every: dict[Figure, frozenset[Deed]] = {}
    for figure in book.figures():
        deeds = [(deed(figure, version, senses), usual) for version, senses, usual in meanings(figure)]
        every[figure] = frozenset(made for made, _ in deeds)
        groups.setdefault(next(made for made, usual in deeds if usual), []).append(figure)
    return tuple(
        Alike(tuple(figures), all(len(every[figure]) == 1 for figure in figures)) for figures in groups.values()
    )


def same_as(book: Book, name: str) -> tuple[Alike, ...]:
    """Return for each figure called `name` the figures that are interchangeable with it, itself first.

    `always` is said of each pair: the group is split into those that are so under every reading and those that are as
    usual only.

    Args:
        book: a book, as `load_book` gives it.
        name: the name of the figure in any spelling.
    """
    require(book, Book, BOOK)
    out = []
    for figure in book.find(name):
        group = next(found.figures for found in classes(book) if figure in found.figures)
        fixed = {other: len({deed(other, v, s) for v, s, _ in meanings(other)}) == 1 for other in group}
        others = [other for other in group if other is not figure]
        sure = [other for other in others if fixed[figure] and fixed[other]]
        unsure = [other for other in others if other not in sure]
        out += [Alike((figure, *found), always) for found, always in ((sure, True), (unsure, False)) if found]
        out += [] if others else [Alike((figure,), fixed[figure])]
    return tuple(out)


def lint_book(book: Book) -> tuple[Diagnostic, ...]:
    """Return all that is wrong with a book, in the order of its lines: its text, and movements that cannot be made."""
    require(book, Book, BOOK)
    if book.members or book.shelf is None:
        return tuple(found for member in book.members for found in lint_book(member))
    mine = {entry.start for entry in book.shelf.text.figures}
    faults = [
        fault
        for figure in book.figures()
        if figure.book == book.name and figure.line in mine
        for fault in _impossible(figure)
    ]
    found = (*books.lint(book), *(books.finding(book, fault) for fault in faults))
    return tuple(sorted(dict.fromkeys(found), key=lambda one: one.sort_key))


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
            yield Fault(
                "reading-left-out", figure.line, f"{name} cannot be danced by who reads {read}: {where}, {end.reason}"
            )
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
