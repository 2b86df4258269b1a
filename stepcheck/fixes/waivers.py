"""Claims that are given up: steps and programs without their checks, as if the sheet did not say so."""

from collections.abc import Iterable, Mapping
from typing import TypeAlias

from attrs import evolve

from stepcheck.model.dance import Body, Check, Choice, Claim, Item, Kind, Program, Test, Timed, Together
from stepcheck.model.items import checks

Standing: TypeAlias = tuple[int, Kind, int]
"""Where a claim stands: its line, its kind, and which of that kind on the line it is."""

NOBODY = Claim("", Kind.ALTERNATIVES, 0, "")
"""The claim of alternatives that nobody claims to be equally long."""


def standings(claims: Iterable[Claim], origins: Mapping[int, int] | None = None) -> dict[str, Standing]:
    """Return where each claim stands, by its id.

    Args:
        claims: the claims of a sheet, in its order.
        origins: for each line of a changed sheet the line that it comes from; those of new lines are left out.
    """
    found: dict[str, Standing] = {}
    met: dict[tuple[int, Kind], int] = {}
    for claim in claims:
        line = claim.line if origins is None else origins.get(claim.line, 0)
        if line:
            number = met[line, claim.kind] = met.get((line, claim.kind), 0) + 1
            found[claim.id] = line, claim.kind, number
    return found


def eased(body: Body, waived: frozenset[str]) -> Body:
    """Return a body without the checks of some claims; the same one if it has none.

    Alternatives whose claim is given up count as long as the first of them.
    """
    if not waived:
        return body
    out: list[Item] = []
    for item in body:
        out += _eased(item, waived)
    same = len(out) == len(body) and all(one is other for one, other in zip(out, body, strict=True))
    return body if same else tuple(out)


def _eased(item: Item, waived: frozenset[str]) -> Body:
    match item:
        case Check():
            return () if item.claim.id in waived else (item,)
        case Together():
            kept = tuple(check for check in item.checks if check.claim.id not in waived)
            return (item if len(kept) == len(item.checks) else Together(kept),) if kept else ()
        case Choice():
            options = tuple(eased(option, waived) for option in item.options)
            claim = NOBODY if item.claim is not None and item.claim.id in waived else item.claim
            same = claim is item.claim and all(one is other for one, other in zip(options, item.options, strict=True))
            return (item if same else evolve(item, claim=claim, options=options),)
    inner = getattr(item, "body", None)
    if inner is None:
        return (item,)
    made = eased(inner, waived)
    clocks = any(check.test is Test.CLOCK for one in made for check in checks(one))
    if isinstance(item, Timed) and item.lasts is None and not clocks:
        return made
    return (item if made is inner else evolve(item, body=made),)  # type: ignore[arg-type]


def without(program: Program, waived: frozenset[str]) -> Program:
    """Return a program that claims some things less."""
    if not waived:
        return program
    walls = program.walls
    if walls is not None:
        walls = None if walls.claim.id in waived else evolve(walls, body=eased(walls.body, waived))
    return evolve(
        _left(program, waived),
        dance=eased(program.dance, waived),
        walls=walls,
        spares=tuple(evolve(spare, body=eased(spare.body, waived)) for spare in program.spares),
    )


def _left(program: Program, waived: frozenset[str]) -> Program:
    """Return a program whose lists hold the claims that are left; its checks stay."""
    return evolve(
        program,
        claims=tuple(claim for claim in program.claims if claim.id not in waived),
        lengths=tuple(length for length in program.lengths if length.claim.id not in waived),
    )


def listed(program: Program, waived: frozenset[str]) -> Program:
    """Return a program whose lists hold the claims that are left; whoever goes through its checks passes the others
    by."""
    if not waived:
        return program
    walls = program.walls if program.walls is None or program.walls.claim.id not in waived else None
    return evolve(_left(program, waived), walls=walls)
