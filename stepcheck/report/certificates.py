"""Certificates: a program, the states at each point of it, verdicts and dances, for `python -m stepcheck.certify`.

What is written comes from the engines; who checks it decides anew what each step does.
"""

import json
from collections.abc import Iterable
from difflib import SequenceMatcher
from hashlib import sha256
from itertools import chain
from typing import Any

from stepcheck.certify.form import Refused, blank
from stepcheck.certify.verdicts import Verdicts
from stepcheck.language import files
from stepcheck.model import dance
from stepcheck.model.claims import Check, Kind
from stepcheck.model.dance import Weight
from stepcheck.model.floor import Meeting, Travel
from stepcheck.model.items import checks, spliced
from stepcheck.model.movements import Actor
from stepcheck.model.outcome import HOME, Decision, End, Fill, Lead, Outcome, Pick, Run, Trace, Verdict
from stepcheck.model.source import StepcheckError
from stepcheck.model.work import Work, WorkSpent
from stepcheck.program.routine import Routine
from stepcheck.report.replays import asked
from stepcheck.walk.points import Dancer, Points
from stepcheck.walk.travel import reach

FORMAT = "stepcheck-certificate-4"
UNCHECKED = "not checked here"
MOST = 100_000
"""How many states may be come to for one certificate."""


class Uncertified(StepcheckError, ValueError):
    """No certificate of a sheet can be written, and why."""


def _word(foot: int) -> str:
    return Weight(foot).name.lower()


def _said(dancer: Dancer) -> str:
    at = "" if dancer.place is None else " at " + " ".join(map(str, dancer.place))
    return f"{_word(dancer.weight)} {'~' * dancer.loose}{dancer.turn} {dancer.clock}{'?' * dancer.open}{at}"


def _way(way: tuple[int, int] | None, matters: bool) -> dict[str, int] | None:
    return {"right": way[0], "forward": way[1]} if way and matters else None


class _Written:
    """The figures and bodies of a program as JSON, each once, those inside a body before it; with `ways` if these
    matter."""

    def __init__(self, program: dance.Program, ways: bool) -> None:
        self.ways = ways
        self.claims = {claim.id: number for number, claim in enumerate(program.claims)}
        self.figures: dict[dance.Figure, int] = {}
        self.texts: dict[str, int] = {}
        self.bodies: list[dance.Body] = []
        self._numbers: dict[int, int] = {}

    def number(self, body: dance.Body) -> int:
        """Return the number of a body, which is written if it is new."""
        if id(body) not in self._numbers:
            items = spliced(body)
            text = json.dumps([self._item(item) for item in items])
            number = self._numbers[id(body)] = self.texts.setdefault(text, len(self.texts))
            self.bodies += [items] * (number == len(self.bodies))
        return self._numbers[id(body)]

    def _item(self, item: dance.Item) -> dict[str, Any]:  # noqa: C901 - a case for each kind
        at = {"line": getattr(item, "line", 0)}
        match item:
            case dance.Step():
                number, turn = self.figures.setdefault(item.figure, len(self.figures)), "?" if item.blank else item.turn
                return {"step": number, "turn": turn, "way": _way(item.travel, self.ways), **at}
            case dance.Gap():
                return {"gap": item.ticks, **at}
            case dance.Rest():
                return {"rest": item.ticks, **at}
            case Check() | dance.Together():
                return {"checks": list(map(self._check, checks(item)))}
            case dance.Choice():
                options = list(map(self.number, item.options))
                return {"choice": options, "claim": item.claim and self.claims[item.claim.id], **at}
            case dance.Repeat():
                return {"repeat": self.number(item.body), "times": "?" if item.times is None else item.times, **at}
            case dance.Timed():
                return {"timed": self.number(item.body), "lasts": item.lasts}
            case dance.Pass():
                body = self.number(item.body)
                return {"pass": body, "part": item.part, "begins": item.lap, "lasts": item.lasts, **at}
            case dance.Lap() | dance.Last():
                return {type(item).__name__.lower(): self.number(item.body)}
            case dance.Forever():
                return {"forever": self.number(item.body), **at}
        raise AssertionError(f"a {type(item).__name__}")

    def _check(self, check: Check) -> dict[str, Any]:
        at = {"claim": self.claims[check.claim.id], "line": check.line}
        if check.blank:
            return {"lead": "?", **at}
        about, goal = check.test.about, asked(check)
        *holds, then = (_word(value) if about == "weight" else value for value in (*goal.holds, goal.then))
        return {about: holds, "then": then, "settles": goal.settles, "opens": check.opens, **at}


def _decided(decisions: Iterable[Decision]) -> list[dict[str, Any]]:
    out: list[dict[str, Any]] = []
    for decision in decisions:
        match decision:
            case Pick():
                out.append({"pick": decision.option})
            case Lead():
                out.append({"lead": _word(decision.foot)})
            case Fill(weight):
                out += [*([] if weight is None else [{"weight": _word(weight)}]), {"turn": decision.turn}]
            case End():
                out.append({"end": decision.here})
            case Run():
                out.append({"times": decision.times, "each": _decided(decision.decisions)})
    return out


def _dance(program: dance.Program, trace: Trace) -> dict[str, Any]:
    decisions = _decided(trace.decisions)
    if trace.meeting is not None:
        return {"meeting": trace.meeting[0], "group": trace.meeting[1], "decisions": decisions}
    if trace.travel is not None and trace.start is not None:
        return {"travel": trace.travel, "start": _word(trace.start), "decisions": decisions}
    if trace.passes and trace.start is not None:
        passes = list(map(_decided, trace.passes))
        return {"start": _word(trace.start), "decisions": decisions, "passes": passes}
    spares: list[tuple[int | None, Weight | None]] = [
        (number, weight) for number, spare in enumerate(program.spares) for weight in spare.weights
    ]
    begin = 0 if trace.spare is None else 1 + spares.index((trace.spare, trace.start))
    return {"begin": begin, "decisions": decisions}


def certificate(routine: Routine, outcomes: tuple[Outcome, ...], fix: tuple[int, str] | None = None) -> str:
    """Return the certificate of a sheet, as the text of a file.

    Args:
        routine: the sheet.
        outcomes: what was decided of its claims, with the dances that refute.
        fix: if it was mended, what that cost, and the text before.

    Raises:
        Uncertified: the sheet has something that certificates do not cover.
    """
    program = routine.program
    if program is None:
        raise Uncertified("the sheet is not understood")
    if program.words:
        raise Uncertified("words are left open")
    places: tuple[Travel | Meeting, ...] = (
        *program.travels,
        *(one for one in program.meetings if one.claim.kind is Kind.APART),
    )
    made = _Written(program, bool(places))
    first = Weight(program.lead.other)
    starts = [(made.number(program.dance), program.facing, Dancer(first))]
    starts += [(made.number(spare.body), 0, Dancer(weight)) for spare in program.spares for weight in spare.weights]
    begins = [{"body": body, "front": front, "weight": _word(one.weight)} for body, front, one in starts]
    walls = None if program.walls is None else made.number(program.walls.body)
    meetings = [[] if one.unknown else list(map(made.number, one.before)) for one in program.meetings]
    for meeting, groups in zip(program.meetings, meetings, strict=True):
        dancer = Dancer(first, place=HOME if meeting in places else None)
        starts += [(number, program.facing, dancer) for number in groups]
    travels = [None if one.unknown else made.number(one.body) for one in program.travels]
    ways = [(way, one) for way, one in zip(travels, program.travels, strict=True) if way is not None]
    ways = [(way, one) for way, one in ways if reach(one.body) > one.steps]
    starts += [(way, 0, Dancer(weight, place=HOME)) for way, one in ways for weight in one.weights]
    text = routine.sheet.source.text
    body: dict[str, Any] = {
        "format": FORMAT,
        "sheet": routine.path,
        "text": text.splitlines(),
        "fix": None if fix is None else _fix(*fix, text),
        "figures": [_figure(figure, made.ways) for figure in made.figures],
        "bodies": list(map(json.loads, made.texts)),
        "begins": begins,
        "walls": program.walls
        and {"claim": made.claims[program.walls.claim.id], "count": program.walls.count, "body": walls},
        "meetings": [
            {"claim": made.claims[one.claim.id], "relation": one.claim.kind.value, "groups": groups, "line": one.line}
            for one, groups in zip(program.meetings, meetings, strict=True)
        ],
        "travels": [
            {
                "claim": made.claims[one.claim.id],
                "steps": one.steps,
                "weights": list(map(_word, sorted(one.weights))),
                "body": way,
            }
            for one, way in zip(program.travels, travels, strict=True)
        ],
        "lengths": [
            {
                "claim": made.claims[one.claim.id],
                "figure": one.figure.name,
                "last beat": max((action.beat for action in one.figure.versions[one.figure.usual].actions), default=0),
                "ticks": one.ticks,
            }
            for one in program.lengths
        ],
        "states": _states(made, starts, walls),
        "claims": [
            {
                "id": claim.id,
                "line": claim.line,
                "text": claim.text,
                "verdict": outcome.verdict.word,
                "dances": [] if claim.kind is Kind.FIGURE else [_dance(program, trace) for trace in outcome.traces],
            }
            for claim, outcome in zip(program.claims, outcomes, strict=True)
        ],
    }
    if any(map(blank, chain(*body["bodies"]))) or any(place.unknown for place in places):
        _leave_open(body)
    if any(claim["verdict"] == Verdict.UNDECIDED.word for claim in body["claims"]):
        raise Uncertified("a claim is undecided")
    text = json.dumps(body, indent=1).removesuffix("\n}")
    return f'{text},\n "seal": "{sha256(text.encode()).hexdigest()}"\n}}\n'


def _states(made: _Written, starts: list[tuple[int, int, Dancer]], walls: int | None) -> list[dict[str, Any]]:
    """Return the states in all bodies that are come to from these, the dance first, and in passes for their steps."""
    points = Points(made.number, made.bodies, Work(MOST))
    try:
        points.body(*starts[0])
        left, done = set(points.begins) or {starts[0][2].weight}, set[Weight]()
        for start in starts[1:]:
            points.body(*start)
        while walls is not None and left:
            done |= left
            left = {end.weight for weight in left for end in points.body(walls, 0, Dancer(weight))} - done
    except WorkSpent:
        raise Uncertified("too many states would have to be written") from None
    rows = [
        {"body": number, "front": front, "from": _said(entry), "after": [sorted(map(_said, one)) for one in after]}
        for (number, front, entry), after in points.rows.items()
    ]
    return sorted(rows, key=lambda row: (row["body"], row["front"], row["from"]))


def _leave_open(body: dict[str, Any]) -> None:
    """Call a claim open, whatever an engine says, which the states do not decide."""
    try:
        found = Verdicts(body).found
    except Refused as error:
        raise Uncertified(str(error)) from None
    for claim, verdict in zip(body["claims"], found, strict=True):
        claim |= {"verdict": "open", "dances": []} if verdict == "open" else {}


def write(
    routine: Routine,
    outcomes: tuple[Outcome, ...],
    path: str,
    fix: tuple[int, str] | None = None,
    *,
    force: bool = False,
) -> str:
    """Write the certificate of a sheet to a file; return why there is none, if so.

    Raises:
        SourceError: it cannot be written, or is there already and `force` does not say to replace it.
    """
    try:
        text = certificate(routine, outcomes, fix)
    except Uncertified as error:
        return str(error)
    files.write(path, text.encode(), force=force)
    return ""


def _figure(figure: dance.Figure, ways: bool) -> dict[str, Any]:
    version, moves = figure.versions[figure.usual], []
    for action in version.actions:
        sense = action.movement.senses[action.movement.usual]
        bare = not sense.lands and sense.actor in (Actor.FREE, Actor.BOTH)
        made, foot = sense.actor.value + " without weight" * bare, None if action.foot is None else _word(action.foot)
        moves.append({"name": action.movement.name, "made by": made, "foot": foot})
    about = {
        "name": figure.name,
        "lead": _word(figure.lead),
        "ticks": version.length,
        "turn": version.turn,
        "way": _way(version.travel, ways),
    }
    return {**about, "movements": moves}


def _fix(cost: int, before: str, after: str) -> dict[str, Any]:
    """Return a fix as a certificate has it: its cost, and the lines that it takes out and puts in."""
    old, new = before.splitlines(), after.splitlines()
    pieces = SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
    changes = [{"from": a, "out": old[a:b], "in": new[c:d]} for kind, a, b, c, d in pieces if kind != "equal"]
    return {"cost": cost, "lower bound": UNCHECKED, "before": old, "changes": changes}
