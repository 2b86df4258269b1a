"""What refuted claims hang on: earlier failures, causes, echoes, and alternatives that end on different feet or walls.
An echo is a claim that the steps bear out, and that fails only because another failed claim is taken as put right."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from itertools import product

from attrs import evolve, frozen

from stepcheck.language.printer import print_node
from stepcheck.language.stretches import rows
from stepcheck.language.syntax import Row
from stepcheck.model import words
from stepcheck.model.claims import Claim, Kind
from stepcheck.model.dance import Body, Choice, Item, Lap, Pass, Program
from stepcheck.model.findings import Diagnostic
from stepcheck.model.floor import RELATIONS
from stepcheck.model.items import checks, mapped, once, unchecked
from stepcheck.model.outcome import Outcome, Verdict
from stepcheck.report.sentences import sentence
from stepcheck.report.wording import KINDS, Scene
from stepcheck.walk.branches import Passes
from stepcheck.walk.effects import Algebra
from stepcheck.walk.ends import relation
from stepcheck.walk.walk import verdicts


def mended(
    program: Program, claim: Claim, refuted: frozenset[str], order: Mapping[str, tuple[int, int]]
) -> tuple[str, ...]:
    """Return the refuted claims that are checked before the last check of `claim`, or before its meetings."""
    refuted -= {meeting.claim.id for meeting in program.meetings}  # nothing goes on from these as if they had held
    if claim.kind in RELATIONS.values():
        before = (body for meeting in program.meetings if meeting.claim.id == claim.id for body in meeting.before)
        return tuple(sorted(refuted.intersection(_claims(once(*before)))))
    last = order.get(claim.id, (0, 0))[1]
    return tuple(sorted(other for other in refuted if other != claim.id and order.get(other, (0, 0))[0] < last))


def causes(program: Program, claim: Claim, refuted: frozenset[str], shown: Sequence[Outcome]) -> tuple[str, ...]:
    """Return the refuted claims because of which a refuted claim is no finding of its own.

    About walls: those inside the passes that it is about.  About groups: that these are apart earlier in the dance.
    """
    if claim.id not in refuted:
        return ()
    if claim.kind is Kind.WALLS:
        laps = (i.body for i in once(program.dance) if isinstance(i, Lap) or (isinstance(i, Pass) and i.lap))
        return tuple(sorted(refuted.intersection(_claims(once(*laps)))))
    alike = {one.id for one in program.claims if one.kind is claim.kind and one.kind in RELATIONS.values()} & refuted
    first = min(
        ((one.traces[0].meeting or (0, 0), one.claim) for one in shown if one.claim in alike), default=((), claim.id)
    )[1]
    return () if first == claim.id else (first,)


def order(program: Program) -> dict[str, tuple[int, int]]:
    """Return for each claim where it is first and last checked, by a count of the items of the program."""
    order: dict[str, tuple[int, int]] = {}
    claims = [length.claim.id for length in program.lengths]
    claims += _claims(once(program.dance, *(spare.body for spare in program.spares)))
    claims += (program.walls.claim.id,) if program.walls else ()
    for number, claim in enumerate(claims):
        order[claim] = (order.get(claim, (number, number))[0], number)
    return order


def _claims(items: Iterable[Item]) -> Iterator[str]:
    """Yield the claims that items check."""
    for item in items:
        if isinstance(item, Choice) and item.claim is not None:
            yield item.claim.id
        yield from (check.claim.id for check in checks(item))


MOST_REFUTED = 8  # refuted claims of a sheet; with more there is more to be mended than to be told apart


def echoes(
    program: Program, outcomes: tuple[Outcome, ...], *, budget: int | None = None, algebra: Algebra | None = None
) -> tuple[str, ...]:
    """Return the ids of the refuted claims that hold where no other refuted claim is taken as put right, nor any that
    holds by one of these alone.

    In such a pair the other claim is the wrong one: the steps and this claim agree.
    """
    refuted = frozenset(outcome.claim for outcome in outcomes if outcome.verdict is Verdict.REFUTED)
    if len(refuted) > MOST_REFUTED:
        return ()
    found = []
    for claim in (outcome.claim for outcome in outcomes if outcome.claim in refuted and outcome.mended):
        met = tuple(one for one in program.meetings if one.claim.id == claim)
        bare = evolve(program, travels=(), meetings=met)  # no claim on where a pass ends waits on another
        got, wrong, more = dict[str, Verdict](), set[str](), set(refuted - {claim})
        while more:
            wrong |= more
            got = verdicts(mapped(bare, partial(unchecked, claims=wrong)), budget=budget, algebra=algebra)
            more = {one for one, verdict in got.items() if verdict is Verdict.REFUTED} - wrong - {claim}
        if got.get(claim) is Verdict.PROVED:
            found.append(claim)
    return tuple(found)


def echoed(
    findings: tuple[Diagnostic, ...], found: tuple[str, ...], claims: tuple[Claim, ...]
) -> tuple[Diagnostic, ...]:
    """Return the findings: each echo names its cause, and the first cause of an echo names the echo.

    Their `args` have `only_with`, the ids of the claims that they hang on, so that a page need not show them by
    themselves.
    """
    lines = {claim.id: claim.line for claim in claims}
    first = {one.claim for one in findings} - {*found}
    echoes = [one for one in findings if one.claim in found and first & {*one.mended}]
    folded: dict[str, list[Diagnostic]] = {}
    for echo in echoes:
        cause = next(one.claim for one in findings if one.claim in echo.mended and one.claim in first)
        folded.setdefault(cause, []).append(echo)
    return tuple(
        _pointing(one, lines, found) if one in echoes else _naming(one, folded.get(one.claim, []), lines)
        for one in findings
    )


def _naming(finding: Diagnostic, echoes: list[Diagnostic], lines: dict[str, int]) -> Diagnostic:
    """Return a finding that names its echoes: those there only because its claim is taken as put right."""
    more = []
    for echo in echoes:
        should = echo.message.partition(", but ")[0]
        where = "" if echo.span.line == lines[echo.claim] else f" (line {lines[echo.claim]})"
        more.append((echo.span, f"{should}{where}; as danced it does, and fails only with this taken as put right"))
    return evolve(finding, related=(*finding.related, *more))


def _pointing(finding: Diagnostic, lines: dict[str, int], found: tuple[str, ...]) -> Diagnostic:
    causes = tuple(claim for claim in finding.mended if claim not in found)
    where = words.lines(sorted({lines[claim] for claim in causes}))
    should = finding.message.partition(", but ")[0]
    message = f"{should}, and as the steps are danced it is so; it fails only with {where} taken as put right"
    hint = f"look at {where} first: what is written there may be wrong, not the steps"
    return evolve(finding, message=message, hints=(hint,), rows=(), args=(*finding.args, ("only_with", causes)))


# -- variations ------------------------------------------------------------------------------------------------------

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
    algebra = algebra or Algebra()  # passes are shared, and need effects of one algebra
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
        alone = evolve(program, travels=(), meetings=())  # the claims asked about are of feet and walls
        made = [mapped(alone, partial(_chosen, picks=pick)) for pick in picks]
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


def parted(scene: Scene, findings: tuple[Diagnostic, ...], found: Mapping[str, Split]) -> tuple[Diagnostic, ...]:
    """Return the findings, those of claims that are `found` naming the alternatives."""
    claims = {claim.id: claim for claim in scene.program.claims}
    on_lines = dict(rows(scene.sheet.lines))
    return tuple(
        _parted(scene, one, found[one.claim], claims[one.claim], on_lines)
        if one.claim in found and "only_with" not in dict(one.args)
        else one
        for one in findings
    )


def _parted(scene: Scene, finding: Diagnostic, split: Split, claim: Claim, rows: Mapping[int, Row]) -> Diagnostic:
    def chosen(picks: tuple[int, ...]) -> str:
        options = (rows[line].options[pick] for line, pick in zip(split.lines, picks, strict=True))
        return words.listed([f"`{print_node(Row((option,)))}`" for option in options])

    line = split.lines[0]
    holds = sentence(scene, claim, Verdict.PROVED)
    said = holds[:1].lower() + holds[1:] if holds.startswith("The ") else holds
    message = (
        f"The alternatives of {words.lines(split.lines)} end on different {split.about}: "
        f"with {chosen(split.good)} {said}, with {chosen(split.bad)} not"
    )
    same = "with the same foot free" if split.about == "feet" else "facing the same wall"
    hints = (f"let them end {same}", f"or write only {chosen(split.good)}")
    related = tuple(pair for pair in finding.related if not pair[1].startswith("the claim: "))
    if claim.line != line:
        related = ((scene.span(claim.line), f"the claim: {claim.text}"), *related)
    return evolve(finding, span=scene.span(line), message=message, hints=hints, related=related)


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


def _chosen(item: Item, picks: _Picks) -> Body:
    """Return an item without the choice on a line of `picks`; a body without one stays the same object."""
    if isinstance(item, Choice) and item.line in picks and len(item.options) > picks[item.line]:
        return (evolve(item, options=(item.options[picks[item.line]],)),)
    return (item,)
