"""The verdicts that follow from the states, and a certificate checked as a whole."""

import json
from collections.abc import Iterable
from hashlib import sha256
from itertools import combinations, pairwise, product
from math import gcd, inf

from stepcheck.certify.dances import Dance
from stepcheck.certify.form import APART, CERTIFICATE, EIGHTHS, Json, Refused, mended, misshapen, referred, require
from stepcheck.certify.states import HOME, OTHER, Dancer, Fact, Place, States

TICKS = 12  # of a beat
SEAL = ',\n "seal": '
Stay = tuple[Place, int, int]


def pairs(meeting: Json) -> Iterable[tuple[int, int]]:
    """Return the groups that are compared with one another: all, or those beside each other as mirror images."""
    groups = range(len(meeting["groups"]))
    return pairwise(groups) if meeting["relation"] == "mirror images" else combinations(groups, 2)


def stays(ends: Iterable[Dancer], facts: Iterable[Fact]) -> list[Stay]:
    """Return where dancers stand, from when to when: each figure leads on at its end, and the last moment counts."""
    found = [about for fact, about in facts if fact == "stands"]
    return found + [(end.place or HOME, end.clock, end.clock + 1) for end in ends]


def astray(steps: int, ends: Iterable[Dancer], facts: Iterable[Fact]) -> bool:
    """Say whether a pass leaves the circle of so many steps in which it should stay; of none, the place it began on."""
    if not steps:
        return any(end.place != HOME for end in ends)
    return any(beyond(place, steps) for place, _, _ in stays(ends, facts))


def beyond(place: Place, steps: int) -> bool:
    """Say whether a place is more than so many steps away, which is whether `whole + roots * sqrt(2) > 0`."""
    ahead, right, across, down = place[0], place[2], place[1] + place[3], place[1] - place[3]
    whole = 2 * (ahead * ahead + right * right - steps * steps) + across * across + down * down
    roots = 2 * (right * across + ahead * down)
    if (whole > 0) == (roots > 0):
        return whole > 0
    return (whole * whole > 2 * roots * roots) == (whole > 0)


def apart(one: Iterable[Stay], other: Iterable[Stay]) -> bool:
    """Say whether nobody of the one stands on the place of one of the other at any moment."""
    at: dict[Place, list[Stay]] = {}
    for stay in other:
        at.setdefault(stay[0], []).append(stay)
    return all(max(stay[1], they[1]) >= min(stay[2], they[2]) for stay in one for they in at.get(stay[0], ()))


def agree(relation: str, one: Dancer, other: Dancer) -> bool:
    """Say whether two dancers of two groups, who began with one facing, stand to each other as a claim says."""
    if relation == "same beat":
        return one.clock == other.clock
    if relation == "same wall":
        return (one.turn - other.turn) % EIGHTHS == 0
    return one.weight == OTHER.get(other.weight, "both") and (one.turn + other.turn) % EIGHTHS == 0


class Verdicts:
    """The verdicts that follow from the states, and whether dances refute a claim."""

    def __init__(self, certificate: Json) -> None:
        self.walls, self.states, self.meetings = certificate["walls"], States(certificate), certificate["meetings"]
        self.travels, self.reaches = certificate["travels"], dict[int, float]()
        self.starts = [(one["body"], one["front"], Dancer(one["weight"])) for one in certificate["begins"]]
        facts, come = self.states.of(self.starts[0])[1], self.states.of(*self.starts)[1]
        self.lengths = {one["claim"] for one in certificate["lengths"]}
        self.begins = {weight for fact, weight in facts if fact == "begins"}
        self.free = {claim for fact, claim in facts if fact == "fails"}
        self.wrong = "may fail" if self.states.blanks else "fails"
        held = [(one["claim"], one["last beat"] * TICKS == one["ticks"] or "fails") for one in certificate["lengths"]]
        held += [(self.walls["claim"], self._come_home() or self.wrong)] if self.walls else []
        held += [(one["claim"], holds) for one in self.meetings for holds in self._meet(one)]
        held += [(one["claim"], self._stay(one)) for one in self.travels]
        come |= {(fact, claim) for claim, holds in held for fact in ("reached", holds)}
        self.found = ["vacuous"] * len(certificate["claims"])
        for said, verdict in (("reached", "proved"), ("may fail", "open"), ("fails", "refuted")):
            for claim in (claim for fact, claim in come if fact == said):
                self.found[claim] = verdict
        require(not self.states.rows, f"nothing comes to the states {next(iter(self.states.rows), '')}")

    def _stay(self, travel: Json) -> bool | str:
        """Return whether a pass ends or stays where it should, as a fact if it does not."""
        if travel["body"] is None:
            return "may fail"
        if self._reach(travel["body"]) <= travel["steps"]:
            return True
        begins = [(travel["body"], 0, Dancer(weight, place=HOME)) for weight in travel["weights"]]
        return not astray(travel["steps"], *self.states.of(*begins)) or "fails"

    def _reach(self, number: int) -> float:
        """Return how many steps all figures of a body lead together at most; no end of them where nobody says it."""
        if number not in self.reaches:
            self.reaches[number] = sum(map(self._leads, self.states.bodies[number]))
        return self.reaches[number]

    def _leads(self, item: Json) -> float:
        match item:
            case {"step": number, "turn": turn, "way": way}:
                gone = way or self.states.figures[number]["way"]
                return abs(gone["right"]) + abs(gone["forward"]) if gone and turn != "?" else inf
            case {"choice": options}:
                return max(map(self._reach, options), default=0)
            case {"repeat": body, "times": int(times)}:
                return times * self._reach(body)
            case {"timed": body} | {"pass": body}:
                return self._reach(body)
        return 0 if "rest" in item or "checks" in item else inf

    def _meet(self, meeting: Json) -> list[bool | str]:
        """Return whether the groups stand to each other as they should where they meet, as a fact if they do not;
        nothing if one never gets there."""
        relation, at_home = meeting["relation"], self.starts[0][2]._replace(place=HOME)
        if relation == APART:
            stood = [stays(*self.states.of((body, 0, at_home))) for body in meeting["groups"]]
            met = not all(apart(stood[a], stood[b]) for a, b in pairs(meeting))
            return ["fails" if met else bool(stood) or "may fail"]
        ends = [self.states.of((body, *self.starts[0][1:]))[0] for body in meeting["groups"]]
        each = [(ends[a], ends[b]) for a, b in pairs(meeting)]
        right = all(agree(relation, *two) for one in each for two in product(*one))
        return [right or self.wrong] if all(ends) else []

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
        way = any(claim == one["claim"] for one in self.travels)
        kind = "passes" if walls else "meeting" if meet else "travel" if way else "begin"
        like = all(kind in dance for dance in dances) and bool(dances) == (claim not in self.lengths)
        require(like, "it is not refuted by dances like these")
        if meet:
            return self._part(claim, dances)
        if way:
            return self._leave(claim, dances)
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

    def _leave(self, claim: int, dances: Json) -> None:
        """Refuse the dance of a pass that ends or stays where it should."""
        dance = dances[0]
        require(len(dances) == 1 and dance["travel"] < len(self.travels), "one dance shows one pass")
        travel = self.travels[dance["travel"]]
        follows = travel["claim"] == claim and travel["body"] is not None and dance["start"] in travel["weights"]
        require(follows, "it is not a pass that is followed")
        danced = Dance(self.states, dance["decisions"])
        end = danced.end(travel["body"], 0, Dancer(dance["start"], place=HOME))
        require(astray(travel["steps"], [end], danced.facts), "the pass ends and stays where it should")

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
        (front, begun), never = self.starts[0][1:], meeting["relation"] == APART
        begun = begun._replace(place=HOME if never else None)
        two = [Dance(self.states, dance["decisions"]) for dance in dances]
        ends = [one.end(meeting["groups"][group], front, begun) for one, group in zip(two, groups, strict=True)]
        stood = [stays([end], one.facts) for one, end in zip(two, ends, strict=True)]
        right = apart(*stood) if never else agree(meeting["relation"], *ends)
        require(not right, "the two stand to each other as they should")

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
    at = misshapen(certificate, CERTIFICATE)
    require(at is None, f"it{at} is not as the format has it")
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
