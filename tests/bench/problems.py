"""Random sheets with mistakes, and the problem of mending them as plain tables that any solver can be given.

The problem is that of specs/costs.md, held to what all three solvers are asked: the figure (one that leads from either foot
to one foot), the turn or the times of rows of one figure, and claims.  A sheet has parts with contracts, each danced twice or more, and up to three mistakes.
"""

from random import Random

from attrs import evolve, frozen

from stepcheck import pipeline
from stepcheck.books import Book
from stepcheck.cheapest import Cheapest
from stepcheck.costs import COSTS
from stepcheck.elaborate import Routine
from stepcheck.levels import Levels
from stepcheck.material import material
from stepcheck.model import TICKS, Check, Foot, Test
from stepcheck.moves import dance
from stepcheck.slots import Nodes, Part, Slot

KINDS = ("figure", "turn", "times", "claim")
PRICES = {kind: COSTS[kind] for kind in KINDS}
WITHOUT = tuple(kind for kind in COSTS if kind not in (*KINDS, "music"))
TURNS = (-4, -2, 2, 4)


def sheet(random: Random, book: Book, lines: int, mistakes: int) -> str:
    """Return a sheet of about so many lines of parts, with so many mistakes."""
    usable = [one for one in book.figures() if len(one.versions) == 1 and one.versions[0].length % TICKS == 0]
    usable = [one for one in usable if len(book.find(one.name)) == 1 and _goes_on(one)]
    known = random.sample(usable, 14)
    counts = max(3, lines // 8)
    parts, heads = [], []
    while len(parts) < counts:
        rows = [_row(random, known) for _ in range(lines // counts)]
        head = _contract(random, rows)
        if head.endswith("to left foot"):
            parts.append(rows)
            heads.append(head)
    for _ in range(mistakes):
        rows = random.choice(parts)
        rows[random.randrange(len(rows))] = _row(random, known)
    text = ["routine: Bench", f"book: {book.name}", "lead: left"]
    for number, (head, rows) in enumerate(zip(heads, parts, strict=True)):
        text += [f"part P{number}: {head}", *(f"  {_written(row)}" for row in rows)]
    order = [*range(counts), *range(counts), *random.choices(range(counts), k=counts // 2)]
    return "\n".join([*text, "dance:", *(f"  P{number}" for number in order), ""])


def _goes_on(figure) -> bool:
    """Say whether a figure has feet to choose from, and leaves the weight on one."""
    return all(dance(figure.versions[0], lead, lead is not figure.lead, {}) in (0, 1) for lead in Foot)


def _row(random, known):
    turn = random.choice((None, None, None, *TURNS))
    return random.choice(known), random.choice((1, 1, 1, 2, 2, 4)), turn


def _written(row) -> str:
    figure, times, turn = row
    said = figure.name + (f" x{times}" if times > 1 else "")
    if turn is None:
        return said
    size = "1/2" if abs(turn) == 4 else "1/4"
    return f"{said}, turn {size} {'left' if turn < 0 else 'right'}"


def _contract(random, rows) -> str:
    """Return what rows do from the left foot, as a contract: always the feet, often the length and the turn."""
    weight, ticks, turned = int(Foot.RIGHT), 0, 0
    for figure, times, turn in rows:
        for _ in range(times):
            version = figure.versions[0]
            lead = Foot(1 - weight) if weight < 2 else Foot.LEFT
            swap = lead is not figure.lead
            weight = int(dance(version, lead, swap, {}))
            ticks += version.length
            turned += turn if turn is not None else -version.turn if swap else version.turn
    foot = "both feet" if weight == 2 else f"{Foot(1 - weight).name.lower()} foot"
    said = [f"{ticks // TICKS} {'beat' if ticks == TICKS else 'beats'}"] if random.random() < 0.9 else []
    if turned and random.random() < 0.7:
        whole, rest = divmod(abs(turned), 8)
        size = {0: "", 2: "1/4", 4: "1/2", 6: "3/4"}[rest]
        size = f"{whole} {size}".strip() if whole and (whole > 1 or rest) else "full" if whole else size
        said.append(f"{size} {'turns' if abs(turned) > 8 else 'turn'} {'left' if turned < 0 else 'right'}")
    return ", ".join([*said, f"left foot to {foot}"])


# -- the problem as tables -------------------------------------------------------------------------------------------


@frozen
class Claimed:
    """A check: the claim, what it compares, with which value, and what it costs to change the claim (None: it stays)."""

    claim: str
    test: Test
    value: int
    cost: int | None


@frozen
class Problem:
    """What is to be mended.

    `options` has for each line what can stand there, what is there already first: the cost, and for each weight before (left,
    right, both) the weight after, the turn in eighths and the ticks, or None.  `dance` has the passes in order, each a row of
    lines (their keys) and claims; turns and clocks start with the pass, feet go on.  `weight` is the first weight.
    """

    options: dict[tuple[int, int], tuple[tuple[int, tuple[tuple[int, int, int] | None, ...]], ...]]
    dance: tuple[tuple[tuple[int, int] | Claimed, ...], ...]
    weight: int


def problem(levels: Levels) -> Problem:
    """Return the problem of a search as tables."""
    options = {}
    for key, slots in levels.offers.slots.items():
        if key[1] or not slots[0].core:
            continue
        rows = [(0, levels.offers.own[slots[0]]), *((one.cost, one.deeds[0]) for one in levels.offers.variants(key))]
        options[key] = tuple((cost, tuple(map(_way, deed))) for cost, deed in rows)
    passes = tuple(_pass(levels, node.nodes) for node in levels.sketch.dance if isinstance(node, Part))
    return Problem(options, passes, int(levels.sketch.program.lead.other))


def _way(ways):
    if ways is None or len(ways) > 1:
        return None  # from both feet, where these sheets never come to
    return ways[0].weight, ways[0].turn, ways[0].ticks


def _pass(levels: Levels, nodes: Nodes):
    out = []
    for node in nodes:
        if isinstance(node, Check):
            kind = levels.restating.kinds.get(node.claim.id)
            value = 2 if node.value is None else node.value
            out.append(Claimed(node.claim.id, node.test, value, levels.prices[kind] if kind else None))
        elif isinstance(node, Slot) and not node.point:
            out.append(node.key)
    return tuple(out)


def search(routine: Routine) -> Cheapest:
    """Return the search of stepcheck for a sheet."""
    stuff = material(routine, "any")
    stuff = evolve(stuff, hard=tuple(one for one in stuff.figures if len(one.versions) > 1 or not _goes_on(one)))
    found = Cheapest(routine, stuff, PRICES, frozenset(), 50_000_000)
    found.singles = ()
    return found


def load(text: str, book: Book) -> Routine:
    """Return the routine of a sheet."""
    return pipeline.loads(text, book=book)
