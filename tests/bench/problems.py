"""Random sheets with mistakes, and the problem of mending them as plain tables that any solver can be given.

The problem is that of specs/costs.md, held to what all solvers are asked: the figure (one that leads from either foot
to one foot), the turn or the times of rows of one figure, and claims.  A sheet has parts with contracts, each danced
twice or more, and up to three mistakes.
"""

from collections.abc import Mapping
from pathlib import Path
from random import Random
from typing import NamedTuple

from attrs import evolve, frozen

from stepcheck.books import book as books
from stepcheck.books.book import Book
from stepcheck.books.footwork import dance
from stepcheck.breaks.material import material
from stepcheck.fixes.repairs import COSTS
from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import TICKS, Figure, Foot, Pass
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline
from stepcheck.search.cheapest import Cheapest
from stepcheck.search.search import Search
from stepcheck.search.slots import Nodes, Slot

KINDS = ("figure", "turn", "times", "claim")
PRICES = {kind: COSTS[kind] for kind in KINDS}
WITHOUT = tuple(kind for kind in COSTS if kind not in (*KINDS, "music"))
TURNS = (-4, -2, 2, 4)
SIZES = {1: "1/8", 2: "1/4", 3: "3/8", 4: "1/2", 5: "5/8", 6: "3/4", 7: "7/8"}
BUDGET = 50_000_000

TOY = """\
book: toy
tradition: line
lead: left
movements:
  step: S
    free foot, takes weight
    from: memory
  touch: TCH
    free foot, no weight
    from: memory
figures:
"""
FULL = "book: full\non top of: clogging\nfigures:\n"


class Sized(NamedTuple):
    """How large a sheet is: its parts, the rows of each, the figures that it knows, and its mistakes."""

    parts: int
    rows: int
    known: int
    mistakes: int


def toy_book(random: Random, folder: Path) -> Book:
    """Return a book of five invented figures of one to four counts, some of which turn."""
    text = "".join(_entry(random, f"F{number}", random.randint(1, 4), ("S", "TCH"), "count") for number in range(5))
    return _loaded(folder / "toy.book", TOY + text)


def full_book(random: Random, folder: Path, figures: int) -> Book:
    """Return the clogging book with invented figures of two, four and eight beats on top, so that there are so many."""
    more = figures - len(books.load("clogging").figures())
    lengths = (random.choice((2, 4, 4, 8)) for _ in range(more))
    text = "".join(
        _entry(random, f"Invented {number}", length, ("DS", "RS", "S", "TCH"), "beat")
        for number, length in enumerate(lengths)
    )
    return _loaded(folder / "full.book", FULL + text)


def _entry(random: Random, name: str, length: int, forms: tuple[str, ...], unit: str) -> str:
    turn = random.choice((0, 0, 0, *TURNS))
    said = f", turn {_size(abs(turn))} {'left' if turn < 0 else 'right'}" if turn else ""
    row = " ".join(random.choice(forms) for _ in range(length))
    return f"  {name}, {length} {unit}{'s' if length > 1 else ''}{said}: {row}\n    from: memory\n"


def _loaded(path: Path, text: str) -> Book:
    path.write_text(text, encoding="utf-8")
    return books.load(path)


def sheet(random: Random, book: Book, size: Sized) -> str:
    """Return a sheet, parts of which end on the foot that they begin with, before the mistakes are made."""
    usable = [one for one in book.figures() if _usable(one) and len(book.find(one.name)) == 1]
    known = random.sample(usable, size.known)
    parts, heads = [], []
    while len(parts) < size.parts:
        rows = [_row(random, known) for _ in range(size.rows)]
        head = _contract(random, rows)
        if head.endswith("to left foot"):
            parts.append(rows)
            heads.append(head)
    for _ in range(size.mistakes):
        rows = random.choice(parts)
        rows[random.randrange(len(rows))] = _row(random, known)
    text = ["routine: Bench", f"book: {book.name}", "lead: left"]
    for number, (head, rows) in enumerate(zip(heads, parts, strict=True)):
        text += [f"part P{number}: {head}", *(f"  {_written(row)}" for row in rows)]
    order = [*range(size.parts), *range(size.parts), *random.choices(range(size.parts), k=size.parts // 2)]
    return "\n".join([*text, "dance:", *(f"  P{number}" for number in order), ""])


Written = tuple[Figure, int, int | None]
"""A row: its figure, how many times, and the turn written on it."""


def _usable(figure: Figure) -> bool:
    """Say whether a figure is danced one way only, in whole beats, from a foot to a foot."""
    return len(figure.versions) == 1 and figure.versions[0].length % TICKS == 0 and _goes_on(figure)


def _goes_on(figure: Figure) -> bool:
    """Say whether a figure has feet to choose from, and leaves the weight on one."""
    return all(dance(figure.versions[0], lead, lead is not figure.lead, {}) in (0, 1) for lead in Foot)


def _row(random: Random, known: list[Figure]) -> Written:
    turn = random.choice((None, None, None, *TURNS))
    return random.choice(known), random.choice((1, 1, 1, 2, 2, 4)), turn


def _written(row: Written) -> str:
    figure, times, turn = row
    said = figure.name + (f" x{times}" if times > 1 else "")
    return said if turn is None else f"{said}, turn {_size(abs(turn))} {'left' if turn < 0 else 'right'}"


def _contract(random: Random, rows: list[Written]) -> str:
    """Return what rows do from the left foot, as a contract: always the feet, often the length and the turn."""
    weight, ticks, turned = int(Foot.RIGHT), 0, 0
    for figure, times, turn in rows:
        for _ in range(times):
            version = figure.versions[0]
            lead = Foot(1 - weight)
            swap = lead is not figure.lead
            weight = int(dance(version, lead, swap, {}))
            ticks += version.length
            turned += turn if turn is not None else -version.turn if swap else version.turn
    said = [f"{ticks // TICKS} {'beat' if ticks == TICKS else 'beats'}"] if random.random() < 0.9 else []
    if turned and random.random() < 0.7:
        said.append(
            f"{_size(abs(turned))} {'turns' if abs(turned) > 8 else 'turn'} {'left' if turned < 0 else 'right'}"
        )
    return ", ".join([*said, f"left foot to {Foot(1 - weight).name.lower()} foot"])


def _size(eighths: int) -> str:
    whole, rest = divmod(eighths, 8)
    if not rest:
        return str(whole) if whole > 1 else "full"
    return f"{whole} {SIZES[rest]}" if whole else SIZES[rest]


# -- the problem as tables -------------------------------------------------------------------------------------------


@frozen
class Claimed:
    """A check: the claim, what it compares, with which value, and what it costs to change the claim (None: it
    stays)."""

    claim: str
    test: Test
    value: int
    cost: int | None


Way = tuple[int, int, int]
"""The weight after, the turn in eighths, and the ticks."""
Choice = tuple[int, tuple[Way | None, ...]]
"""What a change costs, and the way from each weight (left, right, both), or None."""


@frozen
class Problem:
    """What is to be mended.

    `options` has for each line what can stand there, what is there already first.  `dance` has the passes in order,
    each a row of lines (their keys) and claims; turns and clocks start with the pass, feet go on.  `weight` is the
    first weight.
    """

    options: dict[tuple[int, int], tuple[Choice, ...]]
    dance: tuple[tuple[tuple[int, int] | Claimed, ...], ...]
    weight: int


def problem(levels: Search) -> Problem:
    """Return the problem of a search as tables."""
    options = {}
    for key, slots in levels.offers.slots.items():
        if key[1] or not slots[0].core:
            continue
        rows = [
            (0, levels.offers.own[slots[0]]),
            *((one.cost, one.transitions[0]) for one in levels.offers.variants(key)),
        ]
        options[key] = tuple((cost, tuple(map(_way, transition))) for cost, transition in rows)
    passes = tuple(
        _pass(levels, levels.sketch.nodes(node.body)) for node in levels.sketch.dance if isinstance(node, Pass)
    )
    return Problem(options, passes, int(levels.sketch.program.lead.other))


def _way(ways: tuple | None) -> Way | None:
    if ways is None or len(ways) > 1:
        return None  # from both feet, where these sheets never come to
    return ways[0].weight, ways[0].turn, ways[0].ticks


def _pass(levels: Search, nodes: Nodes) -> tuple[tuple[int, int] | Claimed, ...]:
    out = []
    for node in nodes:
        if isinstance(node, Check):
            kind = levels.restating.kinds.get(node.claim.id)
            value = 2 if node.value is None else node.value
            out.append(Claimed(node.claim.id, node.test, value, levels.prices[kind] if kind else None))
        elif isinstance(node, Slot) and not node.point:
            out.append(node.key)
    return tuple(out)


def search(routine: Routine, prices: Mapping[str, int] = PRICES) -> Cheapest:
    """Return the search of stepcheck for a sheet."""
    stuff = material(routine, "any")
    stuff = evolve(stuff, hard=tuple(one for one in stuff.figures if len(one.versions) > 1 or not _goes_on(one)))
    found = Cheapest(routine, stuff, prices, frozenset(), BUDGET)
    found.singles = ()
    return found


def least(found: Cheapest, most: int = 60) -> int | None:
    """Return the least cost that a search comes to, None if it is more than `most`."""
    return next((cost for cost in found.sums(most) if next(found.level(cost), None) is not None), None)


def load(text: str, book: Book) -> Routine:
    """Return the routine of a sheet."""
    return pipeline.loads(text, book=book)
