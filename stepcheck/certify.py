"""Checks certificates: `python -m stepcheck.certify FILE…` accepts each, or says which step of it is wrong.

A certificate states a program, the states of the dancers at each point of it, a verdict on each claim, and a dance for
each that is refuted; `specs/certificates.md` has the format, and says what has to be believed.  What a program means is
decided here anew, from `specs/meaning.md`; nothing but the standard library is imported.
"""

import json
import sys
from collections.abc import Callable, Iterable, Sequence
from hashlib import sha256
from itertools import combinations, pairwise, product
from math import gcd
from typing import Any, NamedTuple

TICKS, EIGHTHS = 12, 8  # of a beat, of a turn
MOST = 2_000_000  # steps that one check may take
OTHER = {"left": "right", "right": "left"}
SEAL = ',\n "seal": '

# -- the format: a shape is a class, a constant, a range, [the shape of each], {key: shape} in order, (one, or another)

Json = Any
FOOT = ("left", "right")
WEIGHT = (*FOOT, "both")
SIZE = range(2**63)
TURN = range(-(2**63), 2**63)
MAKERS = ("free foot", "free foot without weight", "supporting foot", "both feet", "both feet without weight", "nobody")
VERDICTS = ("proved", "refuted", "vacuous")
AT = {"claim": SIZE, "line": SIZE}
VALUES = {"weight": WEIGHT, "facing": range(EIGHTHS), "turn": TURN, "clock": TURN}
CHECK = tuple({about: [value], "then": value, "settles": bool, **AT} for about, value in VALUES.items())
ITEM = (
    {"step": SIZE, "turn": (None, TURN), "line": SIZE},
    {"rest": SIZE, "line": SIZE},
    {"checks": [CHECK]},
    {"choice": [SIZE], "claim": (None, SIZE), "line": SIZE},
    {"repeat": SIZE, "times": SIZE, "line": SIZE},
    {"timed": SIZE, "lasts": (None, SIZE)},
    {"pass": SIZE, "part": str, "begins": bool, "lasts": (None, SIZE), "line": SIZE},
    {"lap": SIZE},
    {"forever": SIZE, "line": SIZE},
    {"last": SIZE},
)
MOVEMENT = {"name": str, "made by": MAKERS, "foot": (None, *FOOT)}
DECISIONS: list[Json] = []
DECISIONS.append(({"pick": SIZE}, {"lead": FOOT}, {"end": bool}, {"times": SIZE, "each": DECISIONS}))
DANCE = (
    {"begin": SIZE, "decisions": DECISIONS},
    {"start": WEIGHT, "decisions": DECISIONS, "passes": [DECISIONS]},
    {"meeting": SIZE, "group": SIZE, "decisions": DECISIONS},
)
RELATION = ("same wall", "same beat", "mirror images")
CHANGE = {"from": SIZE, "out": [str], "in": [str]}
CERTIFICATE = {
    "format": "stepcheck-certificate-2",
    "sheet": str,
    "text": [str],
    "fix": (None, {"cost": SIZE, "lower bound": "not checked here", "before": [str], "changes": [CHANGE]}),
    "figures": [{"name": str, "lead": FOOT, "ticks": SIZE, "turn": TURN, "movements": [MOVEMENT]}],
    "bodies": [[ITEM]],
    "begins": [{"body": SIZE, "front": range(EIGHTHS), "weight": WEIGHT}],
    "walls": (None, {"claim": SIZE, "count": SIZE, "body": SIZE}),
    "meetings": [{"claim": SIZE, "relation": RELATION, "groups": [SIZE], "line": SIZE}],
    "lengths": [{"claim": SIZE, "figure": str, "last beat": SIZE, "ticks": SIZE}],
    "states": [{"body": SIZE, "front": range(EIGHTHS), "from": str, "after": [[str]]}],
    "claims": [{"id": str, "line": SIZE, "text": str, "verdict": VERDICTS, "dances": [DANCE]}],
    "seal": str,
}


class Refused(Exception):
    """The certificate is wrong, and where."""


def require(holds: object, said: str) -> None:
    """Refuse the certificate with a sentence unless something holds."""
    if not holds:
        raise Refused(said)


def misshapen(value: Json, shape: Json, at: str) -> str:
    """Return where a value has not its shape; nothing if it has."""
    if isinstance(shape, tuple):
        tries = [misshapen(value, one, at) for one in shape]
        return max(tries, key=len) if all(tries) else ""
    if isinstance(shape, range):
        return "" if type(value) is int and value in shape else at
    if isinstance(shape, type):
        return "" if type(value) is shape else at
    if type(value) is not type(shape):
        return at
    if isinstance(shape, list):
        return next(filter(None, (misshapen(one, shape[0], f"{at}[{n}]") for n, one in enumerate(value))), "")
    if isinstance(shape, dict):
        inner = (misshapen(value[key], one, f"{at}.{key}") for key, one in shape.items())
        return at if list(value) != list(shape) else next(filter(None, inner), "")
    return "" if value == shape else at


def mended(fix: Json) -> list[str]:
    """Return the text of a sheet after the changes of a fix."""
    lines: list[str] = fix["before"][:]
    for change in reversed(fix["changes"]):
        at, end = change["from"], change["from"] + len(change["out"])
        require(lines[at:end] == change["out"] != change["in"], f"the change of the fix behind line {at} does not fit")
        lines[at:end] = change["in"]
    return lines


def inside(item: Json) -> list[int]:
    """Return the numbers of the bodies in an item."""
    kind = next(iter(item))
    return item[kind] if kind == "choice" else [] if kind in ("step", "rest", "checks") else [item[kind]]


def referred(one: Json) -> None:
    """Refuse a program that refers to what is not there, has one body twice, or has what nothing refers to."""
    require(one["begins"] and one["begins"][0]["weight"] in FOOT, "no dance begins with a foot")
    places = [(number, item) for number, body in enumerate(one["bodies"]) for item in body]
    whole = [*one["begins"], *([one["walls"]] if one["walls"] else [])]
    met = one["meetings"]
    checks = [check for _, item in places for check in item.get("checks", [item])] + whole + one["lengths"] + met
    claims = {check.get("claim") for check in checks} - {None}
    require(claims <= set(range(len(one["claims"]))), "something is about a claim that is not there")
    nested = {inner for _, item in places for inner in inside(item)}
    roots = [begin["body"] for begin in whole] + [body for meeting in met for body in meeting["groups"]]
    require(
        nested.union(roots) == set(range(len(one["bodies"]))),
        "a body is used that is not there, or there that is not used",
    )
    figures = {item["step"] for _, item in places if "step" in item}
    require(figures == set(range(len(one["figures"]))), "a figure is danced that is not there, or there and not danced")
    require(len(set(map(json.dumps, one["bodies"]))) == len(one["bodies"]), "a body is there twice")
    for number, item in places:
        earlier = item.get("choice", True) and all(inner < number for inner in inside(item))
        require(earlier, f"body {number} does not stand behind those inside it")
        end = item is one["bodies"][number][-1] and number == roots[0] and roots.count(number) == 1
        require("forever" not in item or (end and number not in nested), "something follows what goes on for ever")
    require(not any(spare["front"] for spare in one["begins"][1:]), "a part that is not danced begins at the front")
    require(all(len(meeting["groups"]) > 1 for meeting in met), "a group meets nobody")


# -- the meaning of a program ------------------------------------------------------------------------------------------


class Dancer(NamedTuple):
    """One dancer: `turn` in eighths since the frame began (0 to 7 if `loose`), `clock` in ticks since it began."""

    weight: str
    turn: int = 0
    loose: bool = False
    clock: int = 0

    def __str__(self) -> str:
        return f"{self.weight} {'~' * self.loose}{self.turn} {self.clock}"

    def after(self, turn: int, loose: bool, clock: int) -> "Dancer":
        """Return her with as much turn and clock before."""
        turn, loose = self.turn + turn, self.loose or loose
        return Dancer(self.weight, turn % EIGHTHS if loose else turn, loose, self.clock + clock)


Key = tuple[int, int, Dancer]
Fact = tuple[str, Json]
Once = Callable[[set[Dancer]], set[Dancer]]


def fits(check: Json, front: int, dancer: Dancer) -> bool:
    """Say whether a dancer has a value that a check accepts, in a frame that began with the facing `front`."""
    about, values = next(iter(check.items()))
    if about in ("weight", "clock"):
        return getattr(dancer, about) in values
    if about == "facing" or dancer.loose:
        faced = dancer.turn + (front if about == "facing" else 0)
        return any((faced - value) % EIGHTHS == 0 for value in values)
    return dancer.turn in values


def taken(check: Json, front: int, dancer: Dancer) -> Dancer:
    """Return a dancer after a check, as if it had held."""
    about, then = next(iter(check)), check["then"]
    if fits(check, front, dancer) and not check["settles"]:
        return dancer
    if about in ("weight", "clock"):
        return dancer._replace(**{about: then})
    facing = about == "facing"
    return dancer._replace(turn=(then - front) % EIGHTHS if facing else then, loose=facing)


def danced(figure: Json, turn: int | None, lead: str | None, dancer: Dancer) -> Dancer:
    """Return a dancer after a figure that `lead` leads, with the written turn if there is one."""
    weight = dancer.weight if lead is None else OTHER[lead]
    mirrored, lead = lead not in (None, figure["lead"]), lead or figure["lead"]
    for movement in figure["movements"]:
        who, _, bare = movement["made by"].partition(" f")
        foot = OTHER.get(movement["foot"]) if mirrored else movement["foot"]
        if who == "both" and not bare.endswith("weight"):
            weight = "both"
        elif who in ("free", "supporting"):
            stands = who == "supporting"
            foot = foot or (lead if weight == "both" else weight if stands else OTHER[weight])
            possible = weight == "both" or (foot == weight) == stands
            require(possible, f"{figure['name']}: no {movement['made by']} can make the {movement['name']}")
            weight = OTHER[foot] if bare.endswith("weight") else foot
    own = -figure["turn"] if mirrored else figure["turn"]
    return dancer._replace(weight=weight).after(own if turn is None else turn, False, figure["ticks"])


def observed(bodies: Json) -> list[set[str]]:
    """Return which of `facing`, `turn` and `clock` the checks of each body compare, measured from before it."""
    found: list[set[str]] = []
    for body in bodies:
        seen: set[str] = set()
        for item in body:
            seen |= {next(iter(one)) for one in item.get("checks", ())} - {"weight"}
            inner = set().union(*(found[number] for number in inside(item)))
            seen |= set() if "pass" in item else inner - {"clock"} if "timed" in item else inner
        found.append(seen)
    return found


def repeated(once: Once, times: int, here: set[Dancer], seen: set[str]) -> set[Dancer]:
    """Return the dancers after `times` times, by whole rounds once they come round but for what is not in `seen`."""
    met: dict[frozenset[Dancer], tuple[int, int, int]] = {}
    done = 0
    while done < times:
        turn, clock = min(one.turn for one in here), min(one.clock for one in here)
        turn, clock = 0 if "turn" in seen else turn - turn % EIGHTHS, 0 if "clock" in seen else clock
        form = frozenset(one.after(-turn, False, -clock) for one in here)
        at, turned, lasted = met.get(form, (done, 0, 0))
        met[form] = done, turn, clock
        rounds = (times - done) // (done - at) if done > at else 0
        if rounds:
            more = rounds * (turn - turned), False, rounds * (clock - lasted)
            here, done, met = {one.after(*more) for one in here}, done + rounds * (done - at), {}
        else:
            here, done = once(here), done + 1
    return here


class States:
    """The states of all dancers: in each body once for each state in which it begins, as far as checks there compare
    that.  What they do not compare, turn or time, is added afterwards."""

    alone = False

    def __init__(self, certificate: Json) -> None:
        self.bodies, self.figures, self.left = certificate["bodies"], certificate["figures"], MOST
        self.seen = observed(self.bodies)
        self.rows = {(row["body"], row["front"], row["from"]): row["after"] for row in certificate["states"]}
        self.known: dict[Key, tuple[set[Dancer], set[Fact]]] = {}
        self.facts: set[Fact] = set()
        self.where: dict[int, str] = {}
        in_order = len(self.rows) == len(certificate["states"]) and list(self.rows) == sorted(self.rows)
        require(in_order, "the states are not in the order of their bodies")

    def of(self, *begins: Key) -> tuple[set[Dancer], set[Fact]]:
        """Return the dancers after bodies, and what is found in them."""
        self.facts = set()
        return {end for begin in begins for end in self.body(*begin)}, self.facts

    def entry(self, number: int, front: int, dancer: Dancer) -> tuple[int, Dancer]:
        """Return the facing of the frame and the dancer, as far as the checks in a body compare them."""
        seen = self.seen[number]
        turn = dancer.turn if "turn" in seen else dancer.turn % EIGHTHS if "facing" in seen else 0
        loose, clock = dancer.loose and "turn" in seen, dancer.clock if "clock" in seen else 0
        return front if "facing" in seen else 0, Dancer(dancer.weight, turn, loose, clock)

    def body(self, number: int, front: int, dancer: Dancer) -> list[Dancer]:
        """Return the dancers after a body."""
        front, entry = self.entry(number, front, dancer)
        if (number, front, entry) not in self.known:
            outer, self.facts = self.facts, set()
            self.known[number, front, entry] = self._checked(number, front, entry), self.facts
            self.facts = outer
        ends, facts = self.known[number, front, entry]
        self.facts |= facts
        before = dancer.turn - entry.turn, dancer.loose and not entry.loose, dancer.clock - entry.clock
        return [end.after(*before) for end in ends]

    def _checked(self, number: int, front: int, entry: Dancer) -> set[Dancer]:
        """Return the dancers after a body, having checked the states that are said to be in it."""
        at, items, here = f"body {number} from {entry}", self.bodies[number], {entry}
        after = self.rows.pop((number, front, str(entry)), None)
        require(after is not None and len(after) == len(items), f"{at}: states are missing, or left over")
        for place, (item, states) in enumerate(zip(items, after or (), strict=True), 1):
            here = {end for one in here for end in self.item(item, front, one)}
            found = sorted(map(str, here))
            line = f" (line {item['line']})" if "line" in item else ""
            require(found == states, f"{at}, item {place}{line}: the states after it are {found}, not {states}")
        return here

    def item(self, item: Json, front: int, dancer: Dancer) -> Iterable[Dancer]:  # noqa: C901 - a case for each kind
        """Return the dancers after an item."""
        self.left -= 1
        require(self.left >= 0, "it takes too long to check")
        match item:
            case {"step": number, "turn": turn}:
                figure = self.figures[number]
                leads: Sequence[str | None] = (OTHER.get(dancer.weight),)
                if leads == (None,) and any(one["made by"][0] in "fs" for one in figure["movements"]):
                    leads = self.take("lead", FOOT)  # a free or a supporting foot has to be chosen
                return [danced(figure, turn, lead, dancer) for lead in leads]
            case {"rest": ticks}:
                return [dancer.after(0, False, ticks)]
            case {"checks": checks}:
                for one in checks:
                    self.judge(one["claim"], next(iter(one)), fits(one, front, dancer), str(dancer), one["line"])
                for one in checks:
                    dancer = taken(one, front, dancer)
                return [dancer]
            case {"choice": options, "claim": claim, "line": line}:
                picks = self.take("pick", range(len(options)))
                every = [end for pick in picks for end in self.body(options[pick], front, dancer)]
                if claim is None:
                    return every
                first = sorted({end.clock for end in States.body(self, options[0], front, dancer)})
                lengths = sorted({end.clock - dancer.clock for end in every})
                alike = {*first, *(end.clock for end in every)}
                self.judge(claim, "length", len(alike) == 1, [str(dancer), *lengths], line)
                return [end._replace(clock=clock) for end in every for clock in self.take("", first)]
            case {"repeat": body, "times": times}:
                return self.again(body, times, front, dancer)
            case {"timed": body, "lasts": lasts}:
                ends = self.body(body, front, dancer._replace(clock=0))
                return [one._replace(clock=dancer.clock + (one.clock if lasts is None else lasts)) for one in ends]
            case {"pass": body, "begins": begins, "lasts": lasts}:
                if begins:
                    self.lap(dancer)
                ends = self.body(body, 0, Dancer(dancer.weight))
                return [one._replace(clock=one.clock if lasts is None else lasts).after(*dancer[1:]) for one in ends]
            case {"lap": body}:
                self.lap(dancer)
                return self.body(body, front, dancer)
            case {"forever": body}:
                return self.again(body, None, front, dancer)
            case {"last": body} if any(self.take("end", (True, False))):
                self.body(body, front, dancer)
                require(not self.alone, "the dance is over before that")
        return [dancer]

    def take(self, kind: str, ways: Sequence[Json]) -> Sequence[Json]:
        """Return those of several ways that are danced: all."""
        return ways

    def again(self, body: int, times: int | None, front: int, dancer: Dancer) -> Iterable[Dancer]:
        """Return the dancers after a body danced so many times, or any number of times."""

        def once(here: set[Dancer]) -> set[Dancer]:
            self.left -= len(here)
            require(self.left >= 0, "it takes too long to check")
            return {end for one in here for end in self.body(body, front, one)}

        if times is not None:
            return repeated(once, times, {dancer}, self.seen[body])
        here = new = {self.entry(body, front, dancer)[1]}
        while new:
            new = {self.entry(body, front, end)[1] for end in once(new)} - here
            here = here | new
        return here

    def judge(self, claim: int, test: str, holds: bool, found: Json, line: int) -> None:
        """Take note of a claim that is tested."""
        self.facts.add(("reached", claim))
        if not holds:
            self.facts |= {("fails", claim), ("fails" if test == "length" else "not free", claim)}
            self.where.setdefault(claim, f" on line {line}: {test}, {found}")

    def lap(self, dancer: Dancer) -> None:
        """Take note of a pass that the claim about walls is about."""
        self.facts.add(("begins", dancer.weight))


# -- groups that meet --------------------------------------------------------------------------------------------------


def pairs(meeting: Json) -> Iterable[tuple[int, int]]:
    """Return the groups that are compared with one another: all, or those beside each other as mirror images."""
    groups = range(len(meeting["groups"]))
    return pairwise(groups) if meeting["relation"] == "mirror images" else combinations(groups, 2)


def agree(relation: str, one: Dancer, other: Dancer) -> bool:
    """Say whether two dancers of two groups, who began with one facing, stand to each other as a claim says."""
    if relation == "same beat":
        return one.clock == other.clock
    if relation == "same wall":
        return (one.turn - other.turn) % EIGHTHS == 0
    return one.weight == OTHER.get(other.weight, "both") and (one.turn + other.turn) % EIGHTHS == 0


# -- a dance that refutes a claim --------------------------------------------------------------------------------------


class Ended(Exception):
    """A dance ends where a claim fails, with what was found, or where the pass looked for begins."""

    def __init__(self, found: Json = None) -> None:
        self.found = found


class Dance(States):
    """One dancer by her decisions, until `claim` fails or a pass begins with the weight `start`; with `free` a pass for
    its steps alone, until she comes to a foot that is not free, of which none of these claims speaks."""

    alone = True

    def __init__(
        self, states: States, decisions: Json, claim: int = -1, start: str = "", free: set[int] | None = None
    ) -> None:
        vars(self).update(vars(states), left=MOST)
        self.claim, self.start, self.free = claim, start, free
        self.decisions, self.rest = decisions[::-1], 0

    @property
    def told(self) -> bool:
        """Whether every decision is taken, and every repeat at its last time."""
        return not self.decisions and not self.rest

    def end(self, *begin: Json) -> Json:
        """Return the dancer at the end of a body, or what was found where she stopped."""
        try:
            found: Json = self.body(*begin)[0]
        except Ended as end:
            found = end.found
        require(self.told, "decisions are left over")
        return found

    def body(self, number: int, front: int, dancer: Dancer) -> list[Dancer]:
        for item in self.bodies[number]:
            (dancer,) = self.item(item, front, dancer)
        return [dancer]

    def take(self, kind: str, ways: Sequence[Json]) -> Sequence[Json]:
        if not kind:
            return ways[:1]
        decision = self.decisions.pop() if self.decisions else {}
        require(decision.get(kind) in ways, f"{decision or 'nothing'} comes where a {kind} is to be decided")
        return (decision[kind],)

    def again(self, body: int, times: int | None, front: int, dancer: Dancer) -> Iterable[Dancer]:
        done, outer, each, here = 0, self.decisions, None, {dancer}
        while (done < times) if times is not None else (outer and "times" in outer[-1]):
            run = outer.pop() if outer else {}
            done += run.get("times", 0)
            require(
                run.get("times") and done <= (times or done),
                f"{run or 'nothing'} comes where times of a repeat are to be told",
            )
            alike, each, more = run["each"] == each, run["each"], bool(outer) or run["times"] > 1

            def once(here: set[Dancer], each: Json = each, more: bool = more) -> set[Dancer]:
                self.decisions, self.rest = each[::-1], self.rest + more
                ends = {end for one in here for end in self.body(body, front, one)}
                require(not self.decisions, "decisions are left over")
                self.rest -= more
                return ends

            here = repeated(once, run["times"], here, self.seen[body])
            require(not alike, "times in a row that are decided alike are not told as one")
        self.decisions = outer
        return here

    def judge(self, claim: int, test: str, holds: bool, found: Json, line: int) -> None:
        if self.free is not None:
            stop = test != "length" and not holds and claim not in self.free
        else:
            stop = claim == self.claim and (self.told if test == "length" else not holds)
        if stop:
            raise Ended(found)

    def lap(self, dancer: Dancer) -> None:
        if self.free is None and self.told and dancer.weight == self.start:
            raise Ended


# -- certificates ------------------------------------------------------------------------------------------------------


class Verdicts:
    """The verdicts that follow from the states, and whether dances refute a claim."""

    def __init__(self, certificate: Json) -> None:
        self.walls, self.states, self.meetings = certificate["walls"], States(certificate), certificate["meetings"]
        self.starts = [(one["body"], one["front"], Dancer(one["weight"])) for one in certificate["begins"]]
        facts, come = self.states.of(self.starts[0])[1], self.states.of(*self.starts)[1]
        self.lengths = {one["claim"] for one in certificate["lengths"]}
        self.begins = {weight for fact, weight in facts if fact == "begins"}
        self.free = {claim for fact, claim in facts if fact == "fails"}
        held = [(one["claim"], one["last beat"] * TICKS == one["ticks"]) for one in certificate["lengths"]]
        held += [(self.walls["claim"], self._come_home())] if self.walls else []
        held += [(one["claim"], holds) for one in self.meetings for holds in self._meet(one)]
        come |= {(fact, claim) for claim, holds in held for fact in ("reached", *([] if holds else ["fails"]))}
        self.found = ["vacuous"] * len(certificate["claims"])
        for said, verdict in (("reached", "proved"), ("fails", "refuted")):
            for claim in (claim for fact, claim in come if fact == said):
                self.found[claim] = verdict
        require(not self.states.rows, f"nothing comes to the states {next(iter(self.states.rows), '')}")

    def _meet(self, meeting: Json) -> list[bool]:
        """Return whether the groups stand to each other as they should where they meet; nothing if one never gets
        there."""
        ends = [self.states.of((body, *self.starts[0][1:]))[0] for body in meeting["groups"]]
        relation, met = meeting["relation"], [(ends[a], ends[b]) for a, b in pairs(meeting)]
        return [all(agree(relation, *two) for each in met for two in product(*each))] if all(ends) else []

    def _come_home(self) -> bool:
        """Say whether passes for their steps alone turn alike, come home in time, and come to free feet."""
        begins, count = self.begins or {self.starts[0][2].weight}, 0
        while len(begins) > count:
            count = len(begins)
            ends, facts = self.states.of(*((self.walls["body"], 0, Dancer(weight)) for weight in sorted(begins)))
            begins = begins | {end.weight for end in ends}
        free = all(claim in self.free for fact, claim in facts if fact == "not free")
        return free and len({end.turn % EIGHTHS for end in ends}) == 1 and self._home(min(ends))

    def _home(self, end: Dancer) -> bool:
        return bool(EIGHTHS // gcd(end.turn, EIGHTHS) == self.walls["count"])

    def refute(self, claim: int, dances: Json) -> None:
        """Refuse dances that do not refute a claim."""
        walls = self.walls is not None and claim == self.walls["claim"]
        meet = any(claim == one["claim"] for one in self.meetings)
        kind = "passes" if walls else "meeting" if meet else "begin"
        like = all(kind in dance for dance in dances) and bool(dances) == (claim not in self.lengths)
        require(like, "it is not refuted by dances like these")
        if meet:
            return self._part(claim, dances)
        found = [self._passes(one) if walls else self._end(claim, one) for one in dances]
        pair = len(found) == 2 and found[0] != found[1]  # from one state, where it is about lengths
        if walls:
            turns = [end.turn % EIGHTHS for end in found if isinstance(end, Dancer)]
            require(not turns or len(dances[0]["passes"]) == 1, "passes are left over")
            alone = len(found) == 1 and not (turns and self._home(found[0]))
            require(alone or (pair and len({*turns}) == 2), "the passes come home as they should")
        elif dances:
            kinds = {type(one) for one in found}
            pair = pair and kinds == {list} and found[0][0] == found[1][0]
            require(pair or (kinds == {str} and len(found) == 1), "it does not fail in these dances")

    def _part(self, claim: int, dances: Json) -> None:
        """Refuse the dances of two groups that do not meet, or stand to each other as they should where they do."""
        numbers = {dance["meeting"] for dance in dances}
        known = len(dances) == 2 and len(numbers) == 1 and max(numbers) < len(self.meetings)
        require(known, "two dances lead to one meeting")
        meeting = self.meetings[min(numbers)]
        groups = tuple(dance["group"] for dance in dances)
        require(
            meeting["claim"] == claim and groups in pairs(meeting), "they are not of groups that are compared there"
        )
        begins = [(meeting["groups"][group], *self.starts[0][1:]) for group in groups]
        ends = [Dance(self.states, dance["decisions"]).end(*begin) for dance, begin in zip(dances, begins, strict=True)]
        require(not agree(meeting["relation"], *ends), "the two stand to each other as they should")

    def _end(self, claim: int, dance: Json) -> Json:
        require(dance["begin"] < len(self.starts), "nothing begins so")
        return Dance(self.states, dance["decisions"], claim).end(*self.starts[dance["begin"]])

    def _passes(self, dance: Json) -> Json:
        weight, found, before = dance["start"], None, set[str]()
        if self.begins:
            found = Dance(self.states, dance["decisions"], start=weight).end(*self.starts[0])
        start = (weight, dance["decisions"]) == (self.starts[0][2].weight, []) or self.begins
        require(start and found is None and dance["passes"], "no pass begins where the decisions end")
        for decisions in dance["passes"]:
            require(weight not in before, "two passes begin with one weight")
            before.add(weight)
            found = Dance(self.states, decisions, free=self.free).end(self.walls["body"], 0, Dancer(weight))
            weight = getattr(found, "weight", weight)
        return found


def verified(text: str) -> Json:
    """Return the certificate in a text, each step of it checked.

    Raises:
        Refused: a step is wrong.
    """
    try:
        certificate = json.loads(text)
    except ValueError as error:
        raise Refused(f"it is not JSON: {error}") from None
    at = misshapen(certificate, CERTIFICATE, "it")
    require(not at, f"{at} is not as the format has it")
    require(text == json.dumps(certificate, indent=1) + "\n", "it is not laid out in the one way")
    seal = sha256(text.rpartition(SEAL)[0].encode()).hexdigest()
    require(certificate["seal"] == seal, "it does not fit its seal")
    claims, fix = certificate["claims"], certificate["fix"]
    require(fix is None or mended(fix) == certificate["text"], "the text is not what the fix makes of it")
    require(len({claim["id"] for claim in claims}) == len(claims), "two claims have one id")
    referred(certificate)
    verdicts = Verdicts(certificate)
    for number, claim in enumerate(claims):
        said, found, name = claim["verdict"], verdicts.found[number], f"claim {claim['id']} ({claim['text']})"
        require(said == found, f"{name} is {found}, not {said}{verdicts.states.where.get(number, '')}")
        require(said == "refuted" or not claim["dances"], f"{name} is {said}, so no dance refutes it")
        try:
            if said == "refuted":
                verdicts.refute(number, claim["dances"])
        except Refused as error:
            raise Refused(f"{name}: {error}") from None
    return certificate


def main(paths: list[str]) -> int:
    """Check files, one sentence each; return 0 if all are accepted, 1 if one is refused, 2 if one can't be read."""
    statuses = [0] if paths else [2]
    for path in paths:
        try:
            with open(path, encoding="utf-8", newline="") as file:
                claims = verified(file.read())["claims"]
            said = [claim["verdict"] for claim in claims]
            counts = ", ".join(f"{said.count(one)} {one}" for one in VERDICTS if one in said)
            print(f"{path}: accepted: {counts or 'no claim'}")
        except (Refused, RecursionError) as error:
            statuses.append(1)
            print(f"{path}: refused: {error}")
        except (OSError, UnicodeError) as error:
            statuses.append(2)
            print(f"{path}: cannot be read: {error}", file=sys.stderr)
    return max(statuses)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
