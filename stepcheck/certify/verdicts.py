"""The verdicts that follow from the states, and a certificate checked as a whole."""

import json
from collections.abc import Iterable
from hashlib import sha256
from itertools import combinations, pairwise, product
from math import gcd

from stepcheck.certify.dances import Dance
from stepcheck.certify.form import CERTIFICATE, EIGHTHS, Json, Refused, mended, misshapen, referred, require
from stepcheck.certify.states import OTHER, Dancer, States

TICKS = 12  # of a beat
SEAL = ',\n "seal": '


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
