"""Variations whose alternatives end on different feet or walls, and the claims that fail because of them."""

from collections.abc import Callable, Iterator, Mapping
from itertools import product

from attrs import evolve, frozen

from stepcheck.language.printer import print_node
from stepcheck.language.syntax import Line, Row
from stepcheck.model import words
from stepcheck.model.claims import Claim
from stepcheck.model.dance import Body, Choice, Item, Program
from stepcheck.model.findings import Diagnostic
from stepcheck.model.floor import RELATIONS
from stepcheck.model.items import mapped, once
from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.report.scene import Scene
from stepcheck.report.wording import KINDS
from stepcheck.walk.branches import Passes
from stepcheck.walk.effects import Algebra
from stepcheck.walk.ends import relation
from stepcheck.walk.walk import verdicts

MOST_ASKED = 32  # ways to choose; of more, none is named

_ABOUT = {kind: said.unit for kind, said in KINDS.items() if kind not in RELATIONS.values()}
_FEET = frozenset(kind for kind, unit in _ABOUT.items() if unit == "foot")
_WALLS = frozenset(kind for kind, unit in _ABOUT.items() if unit == "eighths")
_Picks = dict[int, int]  # by line, the alternative that is always chosen


@frozen
class Split:
    """A claim that holds with some alternatives of `lines` and fails with others, which end on different feet or
    walls."""

    lines: tuple[int, ...]
    about: str
    good: tuple[int, ...]
    bad: tuple[int, ...]


def splits(
    program: Program, outcomes: tuple[Outcome, ...], *, budget: int | None = None, algebra: Algebra | None = None
) -> dict[str, Split]:
    """Return by its id each refuted claim about feet or walls that a choice among alternatives decides.

    First each line alone is asked, then all of them together; every answer is the walk's, of the program with that
    choice made.
    """
    kinds = {claim.id: claim.kind for claim in program.claims if claim.kind in _FEET | _WALLS}
    left = [one.claim for one in outcomes if one.verdict is Verdict.REFUTED and one.claim in kinds and not one.causes]
    different = {line: (options, ends) for line, options in _choices(program).items() if (ends := _differ(options))}
    if not left or not different:
        return {}
    found: dict[str, Split] = {}
    algebra = algebra or Algebra()  # the walks of one program have most effects, and most passes, in common
    passes: Passes = {}
    kept: list[Program] = []
    every = tuple(different)
    for lines in dict.fromkeys([*((line,) for line in every), every]):
        picks = [
            dict(zip(lines, each, strict=True)) for each in product(*(range(len(different[one][0])) for one in lines))
        ]
        asked = [claim for claim in left if claim not in found]
        if not asked or len(picks) > MOST_ASKED:
            continue
        made = [_chosen(program, pick) for pick in picks]
        kept += made
        stand = [verdicts(one, budget=budget, algebra=algebra, passes=passes) for one in made]
        for claim in asked:
            good = [pick for pick, got in zip(picks, stand, strict=True) if got.get(claim) is Verdict.PROVED]
            bad = [pick for pick, got in zip(picks, stand, strict=True) if got.get(claim) is Verdict.REFUTED]
            abouts = {end for line in lines for end in different[line][1]}
            about = "feet" if "feet" in abouts and (kinds[claim] in _FEET or "walls" not in abouts) else "walls"
            if good and bad and (about == "walls") <= (kinds[claim] in _WALLS):
                found[claim] = Split(lines, about, tuple(good[0].values()), tuple(bad[0].values()))
    return found


def told(
    scene: Scene, findings: tuple[Diagnostic, ...], found: Mapping[str, Split], holds: Callable[[Claim], str]
) -> tuple[Diagnostic, ...]:
    """Return the findings, those of claims that are `found` naming the alternatives.

    `holds` is the sentence of a claim that holds.
    """
    claims = {claim.id: claim for claim in scene.program.claims}
    rows = dict(_rows(scene.sheet.lines))
    return tuple(
        _naming(scene, one, found[one.claim], claims[one.claim], rows, holds(claims[one.claim]))
        if one.claim in found and "only_with" not in dict(one.args)
        else one
        for one in findings
    )


def _naming(
    scene: Scene, finding: Diagnostic, split: Split, claim: Claim, rows: Mapping[int, Row], holds: str
) -> Diagnostic:
    def chosen(picks: tuple[int, ...]) -> str:
        options = (rows[line].options[pick] for line, pick in zip(split.lines, picks, strict=True))
        return words.listed([f"`{print_node(Row((option,)))}`" for option in options])

    line = split.lines[0]
    where = f"line{'s' if len(split.lines) > 1 else ''} {words.listed([str(one) for one in split.lines])}"
    said = holds[:1].lower() + holds[1:] if holds.startswith("The ") else holds
    message = (
        f"The alternatives of {where} end on different {split.about}: with {chosen(split.good)} {said}, "
        f"with {chosen(split.bad)} not"
    )
    same = "with the same foot free" if split.about == "feet" else "facing the same wall"
    hints = (f"let them end {same}", f"or write only {chosen(split.good)}")
    related = tuple(pair for pair in finding.related if not pair[1].startswith("the claim: "))
    if claim.line != line:
        related = ((scene.span(claim.line), f"the claim: {claim.text}"), *related)
    return evolve(finding, span=scene.span(line), message=message, hints=hints, related=related)


def _rows(lines: tuple[Line, ...]) -> Iterator[tuple[int, Row]]:
    for line in lines:
        if isinstance(line.node, Row):
            yield line.number, line.node
        yield from _rows(line.body)


def _choices(program: Program) -> dict[int, tuple[Body, ...]]:
    """Return the options of each line that has several, at its first time."""
    found: dict[int, tuple[Body, ...]] = {}
    for item in once(program.dance, *(spare.body for spare in program.spares)):
        if isinstance(item, Choice) and item.line:  # a dancer does not choose her group
            found.setdefault(item.line, item.options)
    return dict(sorted(found.items()))


def _differ(options: tuple[Body, ...]) -> tuple[str, ...]:
    """Return in what the ends of options differ, from the same start: feet, walls, or nothing."""
    moves = [relation(option) for option in options]
    feet = {tuple(frozenset(way.weight for way in ways if not way.over) for ways in one[:2]) for one in moves}
    walls = {tuple(frozenset(way.turn for way in ways if not way.over) for ways in one[:2]) for one in moves}
    return (*(("feet",) if len(feet) > 1 else ()), *(("walls",) if len(walls) > 1 else ()))


def _chosen(program: Program, picks: _Picks) -> Program:
    """Return a program in which the lines of `picks` leave no choice, without what is claimed of places and groups; a
    body without a choice stays the same object."""

    def picked(item: Item) -> Body:
        if isinstance(item, Choice) and item.line in picks and len(item.options) > picks[item.line]:
            return (evolve(item, options=(item.options[picks[item.line]],)),)
        return (item,)

    return mapped(evolve(program, travels=(), meetings=()), picked)
