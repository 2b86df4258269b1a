"""Checks certificates: `python -m stepcheck.certify FILE…` accepts each, or says which step of it is wrong.

A certificate states a program, the states of the dancers at each point of it, a verdict on each claim, and a dance for
each that is refuted; `specs/certificates.md` has the format, and says what has to be believed.  The meaning of a
program is decided here anew, from `specs/meaning.md`; nothing but the standard library is imported.
"""

import json
import sys
from collections.abc import Callable, Iterable, Sequence
from hashlib import sha256
from math import gcd
from typing import Any, NamedTuple

TICKS, EIGHTHS = 12, 8  # of a beat, of a turn
MOST = 2_000_000  # steps that the check of one certificate may take
WIDTH = 110  # of a line of the file, where a value is short enough
OTHER = {"left": "right", "right": "left"}
OBSERVED = {"facing": "facing", "turn": "turn", "either": "turn", "clock": "clock"}
BLOCKS = ("repeat", "timed", "pass", "lap", "forever", "last")

# -- the format: a shape is a class, a constant, a range, [the shape of each], {key: shape} in order, (one, or another)

Json = Any
FOOT = ("left", "right")
WEIGHT = (*FOOT, "both")
SIZE = range(2**63)
TURN = range(-(2**63), 2**63)
LASTS = (None, SIZE)
AT = {"claim": SIZE, "line": SIZE}
MAKERS = ("free foot", "free foot without weight", "supporting foot", "both feet", "both feet without weight", "nobody")
CHECK = (
    {"test": ("lead", "foot"), "value": FOOT, **AT},
    {"test": "both", "value": None, **AT},
    {"test": "facing", "value": range(EIGHTHS), **AT},
    {"test": ("clock", "turn", "either"), "value": TURN, **AT},
)
ITEM = (
    {"step": SIZE, "turn": (None, TURN), "line": SIZE},
    {"rest": SIZE, "line": SIZE},
    {"checks": [CHECK]},
    {"choice": [SIZE], "claim": (None, SIZE), "line": SIZE},
    {"repeat": SIZE, "times": SIZE, "line": SIZE},
    {"timed": SIZE, "lasts": LASTS},
    {"pass": SIZE, "part": str, "begins": bool, "lasts": LASTS, "line": SIZE},
    {"lap": SIZE},
    {"forever": SIZE, "line": SIZE},
    {"last": SIZE},
)
MOVEMENT = {"name": str, "made by": MAKERS, "foot": (None, *FOOT)}
PROGRAM = {
    "lead": FOOT,
    "facing": range(EIGHTHS),
    "figures": [{"name": str, "lead": FOOT, "ticks": SIZE, "turn": TURN, "movements": [MOVEMENT]}],
    "bodies": [[ITEM]],
    "dance": SIZE,
    "spares": [{"weights": [WEIGHT], "body": SIZE}],
    "walls": (None, {"claim": SIZE, "count": SIZE, "body": SIZE}),
    "lengths": [{"claim": SIZE, "figure": str, "last beat": SIZE, "ticks": SIZE}],
}
DECISIONS: list[Json] = []
DECISIONS.append(({"pick": SIZE}, {"lead": FOOT}, {"end": bool}, {"times": SIZE, "each": DECISIONS}))
DANCE = (
    {"decisions": DECISIONS},
    {"spare": SIZE, "start": WEIGHT, "decisions": DECISIONS},
    {"start": WEIGHT, "decisions": DECISIONS, "passes": [DECISIONS]},
)
VERDICTS = ("proved", "refuted", "vacuous")
FIX = {
    "cost": SIZE,
    "lower bound": "not checked here",
    "before": [str],
    "changes": [{"from": SIZE, "out": [str], "in": [str]}],
}
CERTIFICATE = {
    "format": "stepcheck-certificate-1",
    "sheet": str,
    "text": [str],
    "fix": (None, FIX),
    "program": PROGRAM,
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


def render(value: Json, margin: str = "") -> str:
    """Return the one text of a value: on one line if it is short enough, else each member on a line of its own."""
    line = json.dumps(value)
    if len(line) + len(margin) <= WIDTH or not isinstance(value, dict | list):
        return line
    more = margin + " "
    members = value.items() if isinstance(value, dict) else (("", one) for one in value)
    rows = (more + (f"{json.dumps(key)}: " if key else "") + render(one, more) for key, one in members)
    return f"{line[0]}\n" + ",\n".join(rows) + f"\n{margin}{line[-1]}"


def mended(fix: Json) -> list[str]:
    """Return the text of a sheet after the changes of a fix."""
    out, done = [], 0
    for change in fix["changes"]:
        at, end = change["from"], change["from"] + len(change["out"])
        fitting = done <= at and fix["before"][at:end] == change["out"] != change["in"]
        require(fitting, f"the change of the fix behind line {at} does not fit the text")
        out += [*fix["before"][done:at], *change["in"]]
        done = end
    return [*out, *fix["before"][done:]]


def inside(item: Json) -> list[int]:
    """Return the numbers of the bodies in an item."""
    return item.get("choice") or [item[key] for key in BLOCKS if key in item]


def referred(program: Json, claims: int) -> None:
    """Refuse a program that refers to what is not there, has one body twice, or has what nothing refers to."""
    bodies, walls, spares = program["bodies"], program["walls"], program["spares"]
    texts, used, figures = set(), {program["dance"], *(one["body"] for one in (*spares, walls) if one)}, set()
    about = [one["claim"] for one in (*program["lengths"], walls) if one]
    for number, body in enumerate(bodies):
        texts.add(json.dumps(body))
        require(len(texts) == number + 1, f"body {number} is there twice")
        for place, item in enumerate(body, 1):
            end = number == program["dance"] and place == len(body)
            require(
                "forever" not in item or end, f"body {number}, item {place}: something follows what goes on for ever"
            )
            earlier = item.get("choice") != [] and all(one < number for one in inside(item))
            require(earlier, f"body {number}, item {place} does not stand behind the bodies in it")
            about += [one["claim"] for one in item.get("checks", [item]) if one.get("claim") is not None]
            used.update(inside(item))
            figures |= {item["step"]} if "step" in item else set()
    require(used == set(range(len(bodies))), "not every body is used, or one is used that is not there")
    require(figures == set(range(len(program["figures"]))), "not every figure is danced, or one that is not there")
    require(not about or max(about) < claims, "something is about a claim that is not there")


# -- the meaning of a program ------------------------------------------------------------------------------------------


class Dancer(NamedTuple):
    """One dancer: `turn` in eighths since the frame began (0 to 7 if `loose`), `clock` in ticks since it began."""

    weight: str
    turn: int = 0
    loose: bool = False
    clock: int = 0

    def __str__(self) -> str:
        return f"{self.weight} {'~' * self.loose}{self.turn} {self.clock}"


Key = tuple[int, int, Dancer]
Fact = tuple[str, Json]
Once = Callable[[set[Dancer]], set[Dancer]]


def read(text: str) -> Dancer:
    """Return the dancer in a text: `left 2 48`, or `left ~2 48` where whole turns are not known."""
    try:
        weight, turn, clock = text.split(" ")
        dancer = Dancer(weight, int(turn.lstrip("~")), turn.startswith("~"), int(clock))
    except ValueError:
        raise Refused(f"{text!r} is no state") from None
    require(str(dancer) == text and weight in WEIGHT, f"{text!r} is no state")
    return dancer


def moved(inner: Dancer, outer: Dancer) -> Dancer:
    """Return the dancer who was `outer` before what by itself ends with `inner`."""
    turn, loose = inner.turn + outer.turn, inner.loose or outer.loose
    return Dancer(inner.weight, turn % EIGHTHS if loose else turn, loose, inner.clock + outer.clock)


def fits(check: Json, front: int, dancer: Dancer) -> bool:
    """Say whether a check holds for a dancer in a frame that began with the facing `front`."""
    value: Json = check["value"]
    match check["test"]:
        case "lead":
            return bool(dancer.weight != value)
        case "foot" | "both":
            return dancer.weight == OTHER.get(value, "both")
        case "facing":
            return bool((front + dancer.turn - value) % EIGHTHS == 0)
        case "clock":
            return bool(dancer.clock == value)
        case "either" if value % 4:
            return False
    if dancer.loose:
        return bool((dancer.turn - value) % EIGHTHS == 0)
    return dancer.turn in ((value, -value) if check["test"] == "either" else (value,))


def taken(check: Json, front: int, dancer: Dancer) -> Dancer:
    """Return a dancer after a check, as if it had held."""
    value: Json = check["value"]
    match check["test"]:
        case "lead" | "foot" | "both":
            return dancer._replace(weight=OTHER.get(value, "both"))
        case "clock":
            return dancer._replace(clock=value)
        case "facing" | "either" if fits(check, front, dancer):
            return dancer
        case "facing":
            return dancer._replace(turn=(value - front) % EIGHTHS, loose=True)
    return dancer._replace(turn=value, loose=False)


def chosen(figure: Json) -> bool:
    """Say whether from both feet one has to lead a figure."""
    return any(movement["made by"].startswith(("free", "supporting")) for movement in figure["movements"])


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
    return moved(Dancer(weight, own if turn is None else turn, False, figure["ticks"]), dancer)


def observed(bodies: Json) -> list[set[str]]:
    """Return which of `facing`, `turn` and `clock` the checks of each body compare, measured from before it."""
    found: list[set[str]] = []
    for body in bodies:
        seen: set[str] = set()
        for item in body:
            seen |= {OBSERVED[one["test"]] for one in item.get("checks", ()) if one["test"] in OBSERVED}
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
        form = frozenset(moved(one, Dancer("", -turn, False, -clock)) for one in here)
        at, turned, lasted = met.get(form, (done, 0, 0))
        met[form] = done, turn, clock
        rounds = (times - done) // (done - at) if done > at else 0
        if rounds:
            more = Dancer("", rounds * (turn - turned), False, rounds * (clock - lasted))
            here, done, met = {moved(one, more) for one in here}, done + rounds * (done - at), {}
        else:
            here, done = once(here), done + 1
    return here


class States:
    """The states of all dancers: in each body once for each state in which it begins, as far as checks there compare
    that. What they do not compare, turn or time, is added afterwards."""

    def __init__(self, program: Json, rows: Json) -> None:
        self.program, self.left, self.seen = program, MOST, observed(program["bodies"])
        self.known: dict[Key, tuple[set[Dancer], set[Fact]]] = {}
        self.facts: set[Fact] = set()
        self.where: dict[int, str] = {}
        keys = [(row["body"], row["front"], row["from"]) for row in rows]
        require(keys == sorted(set(keys)), "the states are not in the order of their bodies")
        for row in rows:
            self._check(row, read(row["from"]))

    def _check(self, row: Json, entry: Dancer) -> None:
        """Check the states in a body; those in the bodies inside it are checked already."""
        number, front, at = row["body"], row["front"], f"body {row['body']} from {entry}"
        begins = number < len(self.seen) and self.entry(number, front, entry) == (front, entry)
        require(begins, f"{at}: nothing begins so")
        self.facts, here, items = set(), {entry}, self.program["bodies"][number]
        require(len(items) == len(row["after"]), f"{at}: there are not as many states as items")
        for place, (item, states) in enumerate(zip(items, row["after"], strict=True), 1):
            try:
                here = {end for one in here for end in self.item(item, front, one)}
            except Refused as error:
                raise Refused(f"{at}, item {place}: {error}") from None
            found = sorted(map(str, here))
            require(found == states, f"{at}, item {place}: the states after it are {found}, not {states}")
        self.known[number, front, entry] = here, self.facts

    def of(self, *begins: tuple[int, int, Dancer]) -> tuple[set[Dancer], set[Fact]]:
        """Return the dancers after bodies, and what is found in them."""
        self.facts = set()
        return {end for begin in begins for end in States.body(self, *begin)}, self.facts

    def entry(self, number: int, front: int, dancer: Dancer) -> tuple[int, Dancer]:
        """Return the facing of the frame and the dancer, as far as the checks in a body compare them."""
        seen = self.seen[number]
        turn = dancer.turn if "turn" in seen else dancer.turn % EIGHTHS if "facing" in seen else 0
        loose, clock = dancer.loose and "turn" in seen, dancer.clock if "clock" in seen else 0
        return front if "facing" in seen else 0, Dancer(dancer.weight, turn, loose, clock)

    def body(self, number: int, front: int, dancer: Dancer) -> list[Dancer]:
        """Return the dancers after a body."""
        front, entry = self.entry(number, front, dancer)
        key = number, front, entry
        require(key in self.known, f"the states in body {number} from {entry} are missing")
        ends, facts = self.known[key]
        self.facts |= facts | {("comes to", key)}
        loose = dancer.loose and not entry.loose
        before = Dancer("", dancer.turn - entry.turn, loose, dancer.clock - entry.clock)
        return [moved(end, before) for end in ends]

    def item(self, item: Json, front: int, dancer: Dancer) -> Iterable[Dancer]:  # noqa: C901 - a case for each kind
        """Return the dancers after an item."""
        self.left -= 1
        require(self.left >= 0, "it takes too long to check")
        match item:
            case {"step": number, "turn": turn}:
                figure = self.program["figures"][number]
                choose = dancer.weight == "both" and chosen(figure)
                leads = self.take("lead", FOOT) if choose else (OTHER.get(dancer.weight),)
                return [danced(figure, turn, lead, dancer) for lead in leads]
            case {"rest": ticks}:
                return [dancer._replace(clock=dancer.clock + ticks)]
            case {"checks": checks}:
                for one in checks:
                    self.judge(one["claim"], one["test"], fits(one, front, dancer), str(dancer), one["line"])
                for one in checks:
                    dancer = taken(one, front, dancer)
                return [dancer]
            case {"choice": options, "claim": claim, "line": line}:
                picks = self.take("pick", range(len(options)))
                every = [end for pick in picks for end in self.body(options[pick], front, dancer)]
                first = {end.clock for end in States.body(self, options[0], front, dancer)}
                if claim is None:
                    return every
                lengths = sorted({end.clock for end in every})
                self.judge(claim, "length", len(first.union(lengths)) == 1, lengths, line)
                return [end._replace(clock=clock) for end in every for clock in self.take("", sorted(first))]
            case {"repeat": body, "times": times}:
                return self.again(body, times, front, dancer)
            case {"timed": body, "lasts": lasts}:
                ends = self.body(body, front, dancer._replace(clock=0))
                return [one._replace(clock=dancer.clock + (one.clock if lasts is None else lasts)) for one in ends]
            case {"pass": body, "begins": begins, "lasts": lasts}:
                self.lap(dancer if begins else None)
                ends = self.body(body, 0, Dancer(dancer.weight))
                return [moved(one if lasts is None else one._replace(clock=lasts), dancer) for one in ends]
            case {"lap": body}:
                self.lap(dancer)
                return self.body(body, front, dancer)
            case {"forever": body}:
                return self.again(body, None, front, dancer)
            case {"last": body}:
                for _ in filter(None, self.take("end", (True, False))):
                    self.body(body, front, dancer)
                    self.over()
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
        self.facts |= {
            ("reached", claim),
            *(() if holds else (("fails", claim), ("not free" * (test == "lead"), claim))),
        }
        if not holds:
            self.where.setdefault(claim, f" on line {line}: {test}, {found}")

    def lap(self, dancer: Dancer | None) -> None:
        """Take note of a pass that the claim about walls is about, if one begins."""
        self.facts |= {("begins", dancer.weight)} if dancer else set()

    def over(self) -> None:
        """The dance may be over."""


class Ended(Exception):
    """A dance is over, or ends where a claim fails, with what was found."""

    def __init__(self, found: Json = None) -> None:
        self.found = found


class Dance(States):
    """One dancer by her decisions, until `claim` fails or a pass begins with the weight `start`; with `free` a pass for
    its steps alone, until she comes to a foot that is not free, of which none of these claims speaks."""

    def __init__(
        self, states: States, decisions: Json, claim: int = -1, start: str = "", free: set[int] | None = None
    ) -> None:
        self.program, self.left, self.seen, self.known = states.program, MOST, states.seen, states.known
        self.facts, self.claim, self.start, self.free = set(), claim, start, free
        self.decisions, self.rest = decisions[::-1], 0

    def end(self, *begin: Json) -> Json:
        """Return the dancer at the end of a body, or what was found where she stopped."""
        try:
            found: Json = self.body(*begin)[0]
        except Ended as end:
            found = end.found
        require(self.told, "decisions are left over")
        return found

    @property
    def told(self) -> bool:
        """Whether every decision is taken, and every repeat at its last time."""
        return not self.decisions and not self.rest

    def body(self, number: int, front: int, dancer: Dancer) -> list[Dancer]:
        for item in self.program["bodies"][number]:
            (dancer,) = self.item(item, front, dancer)
        return [dancer]

    def take(self, kind: str, ways: Sequence[Json]) -> Sequence[Json]:
        if not kind:
            return ways[:1]
        decision = self.decisions.pop() if self.decisions else {}
        require(decision.get(kind) in ways, f"{decision or 'nothing'} is no decision about a {kind}")
        return (decision[kind],)

    def again(self, body: int, times: int | None, front: int, dancer: Dancer) -> Iterable[Dancer]:
        done, outer, each, here = 0, self.decisions, None, {dancer}
        while (done < times) if times is not None else (outer and "times" in outer[-1]):
            run = outer.pop() if outer else {}
            done += run.get("times", 0)
            require(
                run.get("times") and done <= (times or done), f"{run or 'nothing'} is no number of times of a repeat"
            )
            alike, each, more = run["each"] == each, run["each"], bool(outer) or run["times"] > 1

            def once(here: set[Dancer], each: Json = each, more: bool = more) -> set[Dancer]:
                self.decisions, self.rest = each[::-1], self.rest + more
                after = {end for one in here for end in self.body(body, front, one)}
                require(not self.decisions, "decisions are left over")
                self.rest -= more
                return after

            here = repeated(once, run["times"], here, self.seen[body])
            require(not alike, "times that are decided alike stand apart")
        self.decisions = outer
        return here

    def judge(self, claim: int, test: str, holds: bool, found: Json, line: int) -> None:
        if self.free is not None:
            stop = test == "lead" and not holds and claim not in self.free
        else:
            stop = claim == self.claim and (self.told if test == "length" else not holds)
        if stop:
            raise Ended(found)

    def lap(self, dancer: Dancer | None) -> None:
        if dancer and self.free is None and self.told and dancer.weight == self.start:
            raise Ended

    def over(self) -> None:
        raise Refused("the dance is over before that")


# -- certificates ------------------------------------------------------------------------------------------------------


class Verdicts:
    """The verdicts that follow from the states, and whether dances refute a claim."""

    def __init__(self, program: Json, rows: Json, claims: int) -> None:
        self.program, self.walls, self.states = program, program["walls"], States(program, rows)
        self.begin = program["dance"], program["facing"], Dancer(OTHER[program["lead"]])
        spares = [(one["body"], 0, Dancer(weight)) for one in program["spares"] for weight in one["weights"]]
        facts, come = self.states.of(self.begin)[1], self.states.of(self.begin, *spares)[1]
        self.found = ["vacuous"] * claims
        for said, verdict in (("reached", "proved"), ("fails", "refuted")):
            for claim in (claim for fact, claim in come if fact == said):
                self.found[claim] = verdict
        self.lengths = {one["claim"] for one in program["lengths"]}
        for one in program["lengths"]:
            self.found[one["claim"]] = "proved" if one["last beat"] * TICKS == one["ticks"] else "refuted"
        self.begins = {weight for fact, weight in facts if fact == "begins"}
        self.free = {claim for fact, claim in facts if fact == "fails"}
        if self.walls is not None:
            left: set[str] = self.begins or {self.begin[2].weight}
            passes: set[str] = set()
            while left - passes:
                passes |= left
                begins = ((self.walls["body"], 0, Dancer(weight)) for weight in sorted(passes))
                ends, met = self.states.of(*begins)
                left = {end.weight for end in ends}
            come |= met
            held = any(fact == "not free" and claim not in self.free for fact, claim in met)
            home = not held and len({end.turn % EIGHTHS for end in ends}) == 1 and self._home(min(ends))
            self.found[self.walls["claim"]] = "proved" if home else "refuted"
        unused = set(self.states.known) - {key for fact, key in come if fact == "comes to"}
        require(not unused, f"nothing comes to the states {sorted(unused)[:1]}")

    def _home(self, dancer: Dancer) -> bool:
        """Say whether as many passes that end like this one come home as are claimed, no fewer."""
        return bool(EIGHTHS // gcd(dancer.turn, EIGHTHS) == self.walls["count"])

    def refute(self, claim: int, dances: Json) -> None:
        """Refuse dances that do not refute a claim."""
        if claim in self.lengths:
            require(not dances, "the length of a figure is refuted by no dance")
        elif self.walls is not None and claim == self.walls["claim"]:
            passes = [self._passes(dance) for dance in dances]
            turns = [one.turn % EIGHTHS for one in passes if isinstance(one, Dancer)]
            one = len(passes) == 1 and not (turns and self._home(passes[0]))
            require(one or len(passes) == len(set(turns)) == 2, "the passes come home as they should")
            require(not turns or len(dances[0]["passes"]) == 1, "passes are left over")
        else:
            found = [self._end(claim, dance) for dance in dances]
            lengths = [one for one in found if type(one) is list]
            one = len(found) == 1 and type(found[0]) is str
            require(
                one or (len(found) == len(lengths) == 2 and lengths[0] != lengths[1]), "it does not fail in its dances"
            )

    def _end(self, claim: int, dance: Json) -> Json:
        require("passes" not in dance, "only a number of walls is refuted by passes")
        begin = self.begin
        if "spare" in dance:
            spares = self.program["spares"][dance["spare"] :]
            require(spares and dance["start"] in spares[0]["weights"], "no part that is not danced begins so")
            begin = spares[0]["body"], 0, Dancer(dance["start"])
        return Dance(self.states, dance["decisions"], claim).end(*begin)

    def _passes(self, dance: Json) -> Dancer | Json:
        require(dance.get("passes"), "a number of walls is refuted by passes")
        weight, start = dance["start"], self.begin[2].weight
        if self.begins:
            found = Dance(self.states, dance["decisions"], start=weight).end(*self.begin)
            require(found is None, "no pass begins where the decisions end")
        else:
            require((weight, dance["decisions"]) == (start, []), "the first pass does not begin as the dance does")
        begun: set[str] = set()
        for number, decisions in enumerate(dance["passes"], 1):
            require(weight not in begun, "two passes begin with one weight")
            begun.add(weight)
            found = Dance(self.states, decisions, free=self.free).end(self.walls["body"], 0, Dancer(weight))
            require(isinstance(found, Dancer) or number == len(dance["passes"]), "passes are left over")
            weight = found.weight if isinstance(found, Dancer) else weight
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
    require(text == render(certificate) + "\n", "it is not laid out in the one way")
    unsealed = {key: one for key, one in certificate.items() if key != "seal"}
    require(certificate["seal"] == sha256(render(unsealed).encode()).hexdigest(), "it does not fit its seal")
    claims, fix = certificate["claims"], certificate["fix"]
    require(fix is None or mended(fix) == certificate["text"], "the text is not what the fix makes of it")
    require(len({claim["id"] for claim in claims}) == len(claims), "two claims have one id")
    referred(certificate["program"], len(claims))
    verdicts = Verdicts(certificate["program"], certificate["states"], len(claims))
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
