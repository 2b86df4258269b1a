"""The form of certificates: what each piece looks like, and what it refers to.

A shape is a class, a constant, a range, [the shape of each], {key: shape} in order, or (one, or another).
"""

from itertools import takewhile
from typing import Any

EIGHTHS = 8  # of a turn
Json = Any
FOOT = ("left", "right")
WEIGHT = (*FOOT, "both")
SIZE = range(2**63)
TURN = range(-(2**63), 2**63)
MAKERS = ("free foot", "free foot without weight", "supporting foot", "both feet", "both feet without weight", "nobody")
VERDICTS = ("proved", "refuted", "vacuous", "open")
AT = {"claim": SIZE, "line": SIZE}
VALUES = {"weight": WEIGHT, "facing": range(EIGHTHS), "turn": TURN, "clock": TURN}
CHECK = (
    *({about: [value], "then": value, "settles": bool, "opens": bool, **AT} for about, value in VALUES.items()),
    {"lead": "?", **AT},
)
WAY = (None, {"right": TURN, "forward": TURN})
ITEM = (
    {"step": SIZE, "turn": (None, TURN, "?"), "way": WAY, "line": SIZE},
    {"gap": SIZE, "line": SIZE},
    {"rest": SIZE, "line": SIZE},
    {"checks": [CHECK]},
    {"choice": [SIZE], "claim": (None, SIZE), "line": SIZE},
    {"repeat": SIZE, "times": (SIZE, "?"), "line": SIZE},
    {"timed": SIZE, "lasts": (None, SIZE)},
    {"pass": SIZE, "part": str, "begins": bool, "lasts": (None, SIZE), "line": SIZE},
    {"lap": SIZE},
    {"forever": SIZE, "line": SIZE},
    {"last": SIZE},
)
MOVEMENT = {"name": str, "made by": MAKERS, "foot": (None, *FOOT)}
DECISIONS: list[Json] = []
FILLS = {"lead": FOOT}, {"weight": WEIGHT}, {"turn": range(EIGHTHS)}
DECISIONS.append(({"pick": SIZE}, {"end": bool}, {"times": SIZE, "each": DECISIONS}, *FILLS))
DANCE = (
    {"begin": SIZE, "decisions": DECISIONS},
    {"start": WEIGHT, "decisions": DECISIONS, "passes": [DECISIONS]},
    {"meeting": SIZE, "group": SIZE, "decisions": DECISIONS},
    {"travel": SIZE, "start": WEIGHT, "decisions": DECISIONS},
)
APART = "never meet"
RELATION = ("same wall", "same beat", "mirror images", APART)
CHANGE = {"from": SIZE, "out": [str], "in": [str]}
CERTIFICATE = {
    "format": "stepcheck-certificate-4",
    "sheet": str,
    "text": [str],
    "fix": (None, {"cost": SIZE, "lower bound": "not checked here", "before": [str], "changes": [CHANGE]}),
    "figures": [{"name": str, "lead": FOOT, "ticks": SIZE, "turn": TURN, "way": WAY, "movements": [MOVEMENT]}],
    "bodies": [[ITEM]],
    "begins": [{"body": SIZE, "front": range(EIGHTHS), "weight": WEIGHT}],
    "walls": (None, {"claim": SIZE, "count": SIZE, "body": SIZE}),
    "meetings": [{"claim": SIZE, "relation": RELATION, "groups": [SIZE], "line": SIZE}],
    "travels": [{"claim": SIZE, "steps": SIZE, "weights": [WEIGHT], "body": (None, SIZE)}],
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


def misshapen(value: Json, shape: Json) -> str | None:
    """Return where in a value something has not its shape, nothing where that is the value itself; None if all has."""
    if isinstance(shape, list | dict):
        return _inside(value, shape)
    if isinstance(shape, tuple):
        tries = tuple(takewhile(lambda at: at is not None, (misshapen(value, one) for one in shape)))
        return max(filter(None, tries), key=len, default="") if len(tries) == len(shape) else None
    if isinstance(shape, range):
        right = type(value) is int and value in shape
    elif isinstance(shape, type):
        right = type(value) is shape
    else:
        right = type(value) is type(shape) and value == shape
    return None if right else ""


def _inside(value: Json, shape: Json) -> str | None:
    if type(value) is not type(shape) or (isinstance(shape, dict) and list(value) != list(shape)):
        return ""
    if isinstance(shape, dict):
        for key, one in value.items():
            if (at := misshapen(one, shape[key])) is not None:
                return f".{key}{at}"
        return None
    for number, one in enumerate(value):
        if (at := misshapen(one, shape[0])) is not None:
            return f"[{number}]{at}"
    return None


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
    return item[kind] if kind == "choice" else [] if kind in ("step", "gap", "rest", "checks") else [item[kind]]


def blank(item: Json) -> bool:
    """Say whether something of an item is to be found."""
    leads = any("lead" in check for check in item.get("checks", ()))
    return leads or "gap" in item or "?" in (item.get("turn"), item.get("times"))


def referred(one: Json) -> None:
    """Refuse a program that refers to what is not there, has one body twice, or has what nothing refers to."""
    require(one["begins"] and one["begins"][0]["weight"] in FOOT, "no dance begins with a foot")
    places = [(number, item) for number, body in enumerate(one["bodies"]) for item in body]
    whole = [*one["begins"], *([one["walls"]] if one["walls"] else [])]
    met, ways = one["meetings"], one["travels"]
    checks = [check for _, item in places for check in item.get("checks", [item])]
    checks += whole + one["lengths"] + met + ways
    claims = {check.get("claim") for check in checks} - {None}
    require(claims <= set(range(len(one["claims"]))), "something is about a claim that is not there")
    nested = {inner for _, item in places for inner in inside(item)}
    roots = [begin["body"] for begin in whole] + [body for meeting in met for body in meeting["groups"]]
    used = nested.union(roots, (way["body"] for way in ways)) - {None}
    require(used == set(range(len(one["bodies"]))), "a body is used that is not there, or there that is not used")
    figures = {item["step"] for _, item in places if "step" in item}
    require(figures == set(range(len(one["figures"]))), "a figure is danced that is not there, or there and not danced")
    require(len(set(map(repr, one["bodies"]))) == len(one["bodies"]), "a body is there twice")
    for number, item in places:
        earlier = item.get("choice", True) and all(inner < number for inner in inside(item))
        require(earlier, f"body {number} does not stand behind those inside it")
        end = item is one["bodies"][number][-1] and number == roots[0] and roots.count(number) == 1
        require("forever" not in item or (end and number not in nested), "something follows what goes on for ever")
    require(not any(spare["front"] for spare in one["begins"][1:]), "a part that is not danced begins at the front")
    alone = any(len(meet["groups"]) < 2 and (meet["groups"] or meet["relation"] != APART) for meet in met)
    require(not alone, "a group meets nobody")
    feet = all(way["weights"] == [foot for foot in WEIGHT if foot in way["weights"]] != [] for way in ways)
    require(feet, "a pass begins with no foot, or with one twice")
