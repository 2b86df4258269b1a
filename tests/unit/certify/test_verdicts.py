"""The checker of certificates: it accepts what is written, and nothing that was changed."""

import json
import subprocess
import sys
from cmath import exp, pi
from collections.abc import Iterator
from contextlib import suppress
from hashlib import sha256
from itertools import combinations, product
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

import attrs
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

import stepcheck as sc
from stepcheck import strategies
from stepcheck.certify import states
from stepcheck.certify.__main__ import main
from stepcheck.certify.form import MAKERS, VERDICTS, Refused
from stepcheck.certify.verdicts import verified
from stepcheck.faces import cli
from stepcheck.model.claims import Check, Claim, Kind, Test
from stepcheck.model.dance import (
    Action,
    Body,
    Choice,
    Figure,
    Foot,
    Forever,
    Gap,
    Item,
    Lap,
    Last,
    Lengths,
    Pass,
    Program,
    Repeat,
    Rest,
    Spare,
    Step,
    Timed,
    Together,
    Version,
    Walls,
    Weight,
)
from stepcheck.model.floor import RELATIONS, Meeting, Travel
from stepcheck.model.items import inside
from stepcheck.model.movements import Actor, Movement, Sense
from stepcheck.report import certificates, pipeline
from stepcheck.report.certificates import Uncertified
from tests.profiles import law
from tests.program_reference import Stated, verdicts
from tests.programs import CHANGE, Maker, part, programs, step

SPECS = Path(__file__).parents[3] / "specs"
SHEETS = sorted(path for folder in ("routines", "faulty", "unfinished") for path in (SPECS / folder).glob("*.routine"))
CHANGED = (
    *("cold_supper", "easier_way", "four_winds", "lazy_sluice", "side_gate", "wrong_oar"),
    *("loose_barge", "narrow_lock"),
)
"""Sheets of which every leaf is changed: with a variation, a number of walls that is wrong, groups that part, a wrong
turn and foot; with a pass that ends elsewhere, and groups that meet."""
CHECKED = {"millpond_drill": 0, "gap_in_the_fence": 0, "lantern_pier": 0, "old_ferry_ticket": 0, "two_smudges": 0.01}
"""How many of the certificates with a changed leaf that are accepted are danced out, where not one in ten: nobody dances
a million basics out, nor all that can fill a row."""
STATING = ("figures", "bodies", "begins", "walls", "meetings", "travels", "lengths", "claims")
"""Keys of what states the program."""
DISPLAY = ("sheet", "text", "name", "figure", "part", "line", "id")
"""Keys of what is for people only; `specs/certificates.md` lists them.  A claim's text is one of them as well."""
WAYS: dict[str, tuple[Any, ...]] = {"weight": ("left", "right", "both"), "made by": MAKERS, "verdict": VERDICTS}

Json = Any


def written(path: Path) -> Json:
    """Return the certificate of a sheet, as JSON."""
    return json.loads(sc.certificate(sc.load(path), engine="walk"))


def sealed(certificate: Json) -> str:
    """Return the text of a certificate with the seal that fits it."""
    body = json.dumps({key: value for key, value in certificate.items() if key != "seal"}, indent=1).removesuffix("\n}")
    return f'{body},\n "seal": "{sha256(body.encode()).hexdigest()}"\n}}\n'


def leaves(value: Json, path: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Json]]:
    """Yield the leaves of a JSON value, with the keys that lead to each."""
    if isinstance(value, dict | list):
        for key, one in value.items() if isinstance(value, dict) else enumerate(value):
            yield from leaves(one, (*path, key))
    else:
        yield path, value


def others(value: Json, path: tuple[Any, ...]) -> tuple[Json, ...]:
    """Return other values for a leaf, most of which have the shape that it has to have."""
    if path[0] == "states" and isinstance(value, str):
        weight, turn, clock, *at = value.split(" ")
        loose = turn[1:] if turn.startswith("~") else f"~{turn}"
        hangs = clock.removesuffix("?") if clock.endswith("?") else f"{clock}?"
        later = f"{int(clock.removesuffix('?')) + 12}{'?' * clock.endswith('?')}"
        others_ = [(weight, turn, later), ("both", turn, f"{clock}x"), (weight, loose, clock), (weight, turn, hangs)]
        return tuple(" ".join((*one, *at)) for one in others_)
    if path[-1] == "line" and not value:
        return (1,)
    if isinstance(value, int | None):
        return (not value,) if isinstance(value, bool) else (value + 1, value - 1) if value is not None else (0, "left")
    known = next((ways for ways in WAYS.values() if value in ways), ())
    return tuple(one for one in known if one != value) or (f"{value}x",)


def changed(certificate: Json) -> Iterator[tuple[tuple[Any, ...], Json]]:
    """Yield a certificate with each leaf changed to each of its other values, beside the path of the leaf."""
    for path, value in list(leaves(certificate)):
        *outer, last = path
        inside = certificate
        for key in outer:
            inside = inside[key]
        for other in others(value, path):
            inside[last] = other
            yield path, certificate
        inside[last] = value


def is_shown(path: tuple[Any, ...]) -> bool:
    """Say whether a leaf is for people only."""
    words = [key for key in path if isinstance(key, str)]
    return words[-1] in DISPLAY or words == ["claims", "text"] or words == ["bodies", "checks", "line"]


def refused(text: str) -> str:
    """Return why a text is refused."""
    with pytest.raises(Refused) as caught:
        verified(text)
    return str(caught.value)


# -- what a certificate states, as a program -----------------------------------------------------------------------------


def stated(certificate: Json) -> Program:
    """Return the program that a certificate states."""
    walls, begins = certificate["walls"], certificate["begins"]
    about = {walls["claim"]: Kind.WALLS} if walls else {}
    about |= {one["claim"]: Kind.FIGURE for one in certificate["lengths"]}
    about |= {one["claim"]: RELATIONS[one["relation"]] for one in certificate["meetings"]}
    about |= {one["claim"]: Kind.SPOT for one in certificate["travels"]}
    kinds = enumerate(certificate["claims"])
    claims = tuple(Claim(one["id"], about.get(n, Kind.LENGTH), one["line"], one["text"]) for n, one in kinds)
    figures = tuple(map(_figure, certificate["figures"]))
    bodies: list[Body] = []
    for body in certificate["bodies"]:
        bodies.append(tuple(_item(item, bodies, figures, claims) for item in body))
    lengths = tuple(
        Lengths(
            claims[one["claim"]],
            Figure(one["figure"], (Version("", (Action(_movement("x", "nobody"), None, 0, one["last beat"]),), 0),)),
            one["ticks"],
        )
        for one in certificate["lengths"]
    )
    home = walls and Walls(claims[walls["claim"]], walls["count"], bodies[walls["body"]])
    spares = tuple(Spare((_weight(one["weight"]),), bodies[one["body"]]) for one in begins[1:])
    lead, dance = Foot(_weight(begins[0]["weight"])).other, bodies[begins[0]["body"]]
    meetings = tuple(
        Meeting(
            one["line"],
            claims[one["claim"]],
            tuple(bodies[body] for body in one["groups"]),
            () if one["groups"] else ("",),
        )
        for one in certificate["meetings"]
    )
    travels = tuple(
        Travel(claims[one["claim"]], one["steps"], tuple(map(_weight, one["weights"])), *_followed(one["body"], bodies))
        for one in certificate["travels"]
    )
    return Program(lead, begins[0]["front"], dance, claims, spares, home, lengths, meetings=meetings, travels=travels)


def _followed(body: int | None, bodies: list[Body]) -> tuple[Body, tuple[str, ...]]:
    return ((), ("",)) if body is None else (bodies[body], ())


def _way(way: Json) -> tuple[int, int] | None:
    return way and (way["right"], way["forward"])


def _weight(word: str) -> Weight:
    return Weight[word.upper()]


def _movement(name: str, maker: str) -> Movement:
    who = maker.removesuffix(" without weight")
    return Movement(name, (), (Sense("", Actor(who), who == maker and who != "nobody"),))


def _figure(figure: Json) -> Figure:
    actions = tuple(
        Action(
            _movement(one["name"], one["made by"]), None if one["foot"] is None else Foot(_weight(one["foot"])), 0, 1
        )
        for one in figure["movements"]
    )
    return Figure(
        figure["name"],
        (Version("", actions, figure["ticks"], figure["turn"], travel=_way(figure["way"])),),
        lead=Foot(_weight(figure["lead"])),
    )


def _item(item: Json, bodies: list[Body], figures: tuple[Figure, ...], claims: tuple[Claim, ...]) -> Item:
    line = item.get("line", 0)
    match item:
        case {"step": number, "turn": "?", "way": way}:
            return Step(line, figures[number], None, blank=True, travel=_way(way))
        case {"step": number, "turn": turn, "way": way}:
            return Step(line, figures[number], turn, travel=_way(way))
        case {"gap": ticks}:
            return Gap(line, ticks)
        case {"rest": ticks}:
            return Rest(line, ticks)
        case {"checks": checks}:
            return Together(tuple(_check(one, claims) for one in checks))
        case {"choice": options, "claim": claim}:
            return Choice(line, None if claim is None else claims[claim], tuple(bodies[one] for one in options))
        case {"repeat": body, "times": times}:
            return Repeat(line, None if times == "?" else times, bodies[body])
        case {"timed": body, "lasts": lasts}:
            return Timed(bodies[body], lasts)
        case {"pass": body, "begins": begins, "lasts": lasts}:
            return Pass(line, item["part"], 0, bodies[body], begins, lasts)
        case {"lap": body}:
            return Lap(bodies[body])
        case {"forever": body}:
            return Forever(line, bodies[body])
    return Last(bodies[item["last"]])


def _check(check: Json, claims: tuple[Claim, ...]) -> Check:
    if "lead" in check:
        return Check(check["line"], claims[check["claim"]], Test.LEAD, None)
    about = next(iter(check))
    *holds, then = (_weight(one) if about == "weight" else one for one in (*check[about], check["then"]))
    stated_: Any = Stated(about, tuple(holds), then, check["settles"])
    return Check(check["line"], claims[check["claim"]], stated_, None, opens=check["opens"])


def told(certificate: Json) -> dict[str, str]:
    """Return the verdicts of a certificate."""
    return {claim["id"]: claim["verdict"] for claim in certificate["claims"]}


def referenced(program: Program) -> dict[str, str]:
    """Return the verdicts of the reference, which dances every dance and knows nothing of places."""
    plain = attrs.evolve(program, meetings=tuple(one for one in program.meetings if one.claim.kind is not Kind.APART))
    return {claim: verdict.word for claim, verdict in (verdicts(plain) or {}).items()}


def true_of(certificate: Json) -> dict[str, str]:
    """Return the verdicts on what a certificate states, those on places by dancing each dance on a plane."""
    return referenced(stated(certificate)) | spots_of(certificate)


def spots_of(certificate: Json) -> dict[str, str]:
    """Return the verdicts on the claims about places that can be followed."""
    found: dict[str, str] = {}
    ids = [claim["id"] for claim in certificate["claims"]]
    lead = certificate["begins"][0]["weight"]
    for one in certificate["travels"]:
        ends = [end for weight in one["weights"] for end in tracks(certificate, one["body"], Track(weight))]
        spots_ = [place for end in ends for place, *_ in (end.stays if one["steps"] else end.stays[-1:])]
        found[ids[one["claim"]]] = "refuted" if any(abs(spot) > one["steps"] + 1e-9 for spot in spots_) else "proved"
    for one in certificate["meetings"]:
        if one["relation"] == "never meet" and found.get(ids[one["claim"]]) != "refuted":
            each = [tracks(certificate, body, Track(lead)) for body in one["groups"]]
            met = any(two[0].meets(two[1]) for some in combinations(each, 2) for two in product(*some))
            found[ids[one["claim"]]] = "refuted" if met else "proved"
    return found


class Track(NamedTuple):
    """One dance for its steps alone: `stays` are the places in the order of the dance, each from when to when."""

    weight: str
    turn: int = 0
    clock: int = 0
    place: complex = 0
    stays: tuple[tuple[complex, int, int], ...] = ()

    def till(self, clock: int) -> "Track":
        """Return the dancer after she has stood where she is till then."""
        return self._replace(clock=clock, stays=(*self.stays, (self.place, self.clock, clock)))

    def meets(self, other: "Track") -> bool:
        """Say whether two dancers stand on one place at a moment."""
        return any(
            abs(a - b) < 1e-9 and max(since, from_) < min(till, to)
            for a, since, till in self.stays
            for b, from_, to in other.stays
        )


class ManyDances(Exception):
    """There are more dances, or more steps of them, than are danced one by one."""


def tracks(certificate: Json, number: int, begun: Track) -> list[Track]:
    """Return all dances of a body, its last moment included."""
    return [one.till(one.clock + 1) for one in _tracks(certificate, number, [begun])]


def _tracks(certificate: Json, number: int, here: list[Track]) -> list[Track]:
    for item in certificate["bodies"][number]:
        here = [end for one in here for end in _after(certificate, item, one)]
        if len(here) > 200:
            raise ManyDances
    return here


def _after(certificate: Json, item: Json, one: Track) -> list[Track]:
    match item:
        case {"step": step_, "turn": turn, "way": way}:
            figure = certificate["figures"][step_]
            still = one.weight == "both" and not any(move["made by"][0] in "fs" for move in figure["movements"])
            leads = (None,) if still else [foot for foot in ("left", "right") if foot != one.weight]
            out = []
            for lead in leads:
                mirrored = lead not in (None, figure["lead"])
                end = states.danced(figure, turn, None, lead, states.Dancer(one.weight))
                gone = way or figure["way"] or {"right": 0, "forward": 0}
                right = -gone["right"] if mirrored and way is None else gone["right"]
                ahead = exp(-1j * pi / 4 * one.turn)  # to the front is 1, to the right -i
                after = one.till(one.clock + figure["ticks"])
                place = one.place + ahead * (gone["forward"] - 1j * right)
                out.append(after._replace(weight=end.weight, turn=one.turn + end.turn, place=place))
            return out
        case {"rest": ticks}:
            return [one.till(one.clock + ticks)]
        case {"checks": checks}:
            for check in checks:
                free = one.weight in check["weight"] and not check["settles"]
                one = one if free else one._replace(weight=check["then"])
            return [one]
        case {"choice": options}:
            return [end for option in options for end in _tracks(certificate, option, [one])]
        case {"repeat": body, "times": times}:
            here = [one]
            if times > 40:
                raise ManyDances
            for _ in range(times):
                here = _tracks(certificate, body, here)
            return here
        case {"timed": body, "lasts": lasts} | {"pass": body, "lasts": lasts}:
            ends = _tracks(certificate, body, [one])
            return ends if lasts is None else [end.till(one.clock + lasts) for end in ends]
    raise AssertionError(item)


def spots(program: Program) -> set[str]:
    """Return the ids of the claims about places on the floor."""
    return {claim.id for claim in program.claims if claim.kind in (Kind.SPOT, Kind.APART)}


def places(routine: sc.Routine) -> set[str]:
    """Return the ids of a routine's claims about places on the floor."""
    assert routine.program is not None
    return spots(routine.program)


def has_blank(routine: sc.Routine) -> bool:
    """Say whether something of a sheet is to be found."""
    return any("?" in line.partition("#")[0] for line in routine.sheet.source.text.splitlines())


def less(said: dict[str, str], true: dict[str, str]) -> bool:
    """Say whether verdicts of a certificate are those that are true, but for some that are called open."""
    return said.keys() == true.keys() and all(
        word == true[claim] or (word == "open" and true[claim] != "vacuous") for claim, word in said.items()
    )


# -- what is accepted ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_every_sheet_of_the_catalogue_that_is_understood_has_a_certificate(path: Path) -> None:
    """Certificates cover all that the catalogue dances, refuted claims included; they say what the report says, and what
    that leaves undecided is open."""
    routine = sc.load(path)
    if routine.program is None:
        with pytest.raises(Uncertified, match="not understood"):
            sc.certificate(routine)
        return
    report, outcomes = pipeline.examine(routine)
    certificate = verified(certificates.certificate(routine, outcomes))

    said = {claim.id: claim.verdict.word for claim in report.claims}
    assert {claim: "open" if word == "undecided" else word for claim, word in said.items()} == told(certificate)
    lengths = {one["claim"] for one in certificate["lengths"]}
    for number, claim in enumerate(certificate["claims"]):
        assert bool(claim["dances"]) == (claim["verdict"] == "refuted" and number not in lengths)


@law(60)
@given(programs())
def test_programs_have_certificates_that_the_reference_confirms(program: Program) -> None:
    """What is written of a random program without blanks is accepted, and the reference gives the same verdicts, of the
    program itself and of the one that the certificate states."""
    certificate = verified(_of_program(program))

    assert told(certificate) == referenced(program) == referenced(stated(certificate))


def _of_program(program: Program) -> str:
    """Return the certificate of a program that no sheet has."""
    routine = attrs.evolve(sc.loads("book: line\ndance:\n  Vine\n"), program=program)
    return certificates.certificate(routine, pipeline.decide(program, "walk")[0])


@law(60)
@given(programs(blanks=True, depth=1))
def test_programs_with_blanks_have_certificates_that_no_filling_contradicts(program: Program) -> None:
    """What is said to hold of a random program holds whatever fills its blanks, and what is refuted fails so, by the
    reference, which tries each filling; the rest is open, and all that hangs on the filling is."""
    found = verdicts(program, 300)
    assume(found is not None)
    try:
        said = told(verified(_of_program(program)))
    except Uncertified as error:
        assert str(error) == "a claim is undecided"
        return
    assert less(said, {claim: verdict.word for claim, verdict in (found or {}).items()})


@law(60)
@given(strategies.routines())
def test_random_sheets_have_certificates(routine: sc.Routine) -> None:
    """What is written of a random sheet is accepted, with the verdicts of its report or, where there is a blank, fewer;
    there is none only of a sheet of which the states decide what the walk alone does not, or that has too many."""
    report = sc.check(routine, engine="walk")
    try:
        said = told(verified(sc.certificate(routine, engine="walk")))
    except Uncertified as error:
        assert has_blank(routine) and str(error) in (
            "a claim is undecided",
            "too many states would have to be written",
            "it takes too long to check",
        )
        return
    assert less(said, {claim.id: claim.verdict.word for claim in report.claims})
    assert "open" not in said.values() or has_blank(routine) or places(routine)


@law(40)
@given(strategies.routines(taste="groups"))
def test_random_groups_have_certificates_that_the_reference_confirms(routine: sc.Routine) -> None:
    """What groups claim of one another is accepted with the verdicts of the report, and of the reference where it
    dances the program out."""
    report = sc.check(routine, engine="walk")
    try:
        certificate = verified(sc.certificate(routine, engine="walk"))
    except Uncertified as error:
        assert str(error) == "a claim is undecided"
        return
    assert less(told(certificate), {claim.id: claim.verdict.word for claim in report.claims})
    assert routine.program is not None
    if (
        not places(routine)
        and not has_blank(routine)
        and certificate["meetings"]
        and max((one.times or 0 for one in repeats(routine.program.dance)), default=0) < 5
    ):
        assert told(certificate) == referenced(stated(certificate))


@law(40)
@given(strategies.routines(taste="travel"))
def test_random_ways_have_certificates_that_dancing_them_confirms(routine: sc.Routine) -> None:
    """Where passes end, and whether groups meet, is what each dance on a plane comes to; what nobody can follow is
    open."""
    try:
        certificate = verified(sc.certificate(routine, engine="walk"))
    except Uncertified as error:
        assert str(error) == "a claim is undecided"
        return
    report = sc.check(routine, engine="walk")
    said = told(certificate)
    assert less(said, {claim.id: claim.verdict.word for claim in report.claims})
    followed = [one for one in certificate["travels"] if one["body"] is not None]
    meetings = [one for one in certificate["meetings"] if one["groups"]]
    with suppress(ManyDances):
        seen = spots_of(certificate | {"travels": followed, "meetings": meetings})
        assert all(said[claim] in (word, "open") for claim, word in seen.items())


FACES = "book: clogging\ngroups: odd lines, even lines\nlead: left\neven lines: lead {lead}\n"
FACES += "dance:\n  together:\n    odd lines: Triple\n    even lines: Triple{turn}\n  expect {relation}\n"


@pytest.mark.parametrize(
    ("lead", "turn", "relation", "verdict"),
    [
        ("right", "", "mirror images", "proved"),
        ("right", ", turn 1/4 left", "mirror images", "refuted"),
        ("left", "", "mirror images", "refuted"),
        ("left", "", "same wall, same beat", "proved"),
        ("left", ", turn 1/4 left", "same wall, same beat", "refuted"),
        ("left", " x2", "same wall, same beat", "refuted"),
    ],
)
def test_groups_are_compared_by_feet_walls_and_beats(lead: str, turn: str, relation: str, verdict: str) -> None:
    """Mirror images stand on opposite feet and are turned as far to opposite sides; each relation can fail."""
    certificate = verified(sc.certificate(sc.loads(FACES.format(lead=lead, turn=turn, relation=relation))))
    said = {certificate["claims"][one["claim"]]["verdict"] for one in certificate["meetings"]}

    assert verdict in said and (verdict == "refuted" or said == {"proved"})


def repeats(body: Body) -> Iterator[Repeat]:
    """Yield the repeats in a body."""
    for item in body:
        yield from (item,) if isinstance(item, Repeat) else ()
        for inside_ in inside(item):
            yield from repeats(inside_)


BLANKS = "book: clogging\npart A: 5 beats, left foot to left foot\n  Triple, ? foot\n  Basic, right foot, turn ?\n"
BLANKS += "  Basic, left foot\n  expect left foot\ndance:\n  A\n  Triple, right foot\n"
OPEN = "book: line\npart A: 2 counts\n  Stomp x2\ndance:\n  A\n"


@pytest.mark.parametrize(
    ("text", "readings", "most", "reason"),
    [
        (OPEN, "all", 50, "words are left open"),
        (OPEN, "usual", 50, ""),
        (OPEN, "usual", 2, "too many states would have to be written"),
        ("book: line\ndance:\n  Nothing known\n", "usual", 50, "the sheet is not understood"),
    ],
)
def test_what_certificates_do_not_cover_has_none(
    text: str, readings: Any, most: int, reason: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No certificate says less than it should: where something is open, or there is too much, the reason is given."""
    monkeypatch.setattr(certificates, "MOST", most)
    routine = sc.loads(text, readings=readings)
    if not reason:
        verified(sc.certificate(routine))
        return
    with pytest.raises(Uncertified, match=reason):
        sc.certificate(routine)


def test_a_later_pass_is_excused_by_a_refuted_foot_only() -> None:
    """A foot that is free in the dance, and not in the pass after it, refutes the number of walls."""
    maker = Maker()
    check = maker.check(Test.LEAD, Foot.LEFT)
    lap = part(check, step(CHANGE), lap=True)
    program = maker.program(lap, walls=Walls(maker.claim(Kind.WALLS), 1, (lap,)))

    verdicts_ = told(verified(_of_program(program)))
    assert ["proved", "refuted"] == list(verdicts_.values())
    assert verdicts_ == referenced(program)


CONTRADICTED = {
    Test.LEAD: Foot.RIGHT,
    Test.FOOT: Foot.RIGHT,
    Test.BOTH: None,
    Test.FACING: 2,
    Test.CLOCK: 1,
    Test.TURN: 2,
    Test.EITHER: 4,
}


@pytest.mark.parametrize("test", Test, ids=lambda test: test.name)
def test_the_engine_and_the_judge_have_to_mean_the_same(test: Test, monkeypatch: pytest.MonkeyPatch) -> None:
    """A certificate has the verdicts and states of the engine, and of each check what the judge says that it asks: where
    one of them meant something else, in what holds or in what comes after it, it would be refused."""
    maker = Maker()
    program = maker.program(maker.check(test, CONTRADICTED[test]), step(CHANGE))
    assert {"refuted"} == set(told(verified(_of_program(program))).values())

    said = certificates.asked
    every = {"weight": tuple(Weight), "facing": (0,), "turn": (0,), "clock": (0,)}[test.about]
    other = {"weight": 2 if test is not Test.BOTH else 0, "facing": 4, "turn": -4, "clock": 5}[test.about]
    for change in ({"holds": every}, {"then": other}):
        monkeypatch.setattr(certificates, "asked", lambda check, change=change: attrs.evolve(said(check), **change))
        why = refused(_of_program(program))
        assert "the states after it are" in why or ("holds" in change and "is proved, not refuted" in why)


def test_a_check_that_takes_too_long_accepts_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """A certificate on which the work of a check is spent is refused."""
    text = sc.certificate(sc.load(SPECS / "routines" / "slipway.routine"), engine="walk")
    monkeypatch.setattr(states, "MOST", 20)

    assert "too long" in refused(text)


def test_every_piece_of_a_program_is_written_or_refused() -> None:
    """What a program may hold stands in its certificate, or keeps it from having one: add a field there, and here."""
    written_ = {"lead", "facing", "dance", "claims", "spares", "walls", "lengths", "meetings", "travels"}
    refused_ = {"words"}
    shown = {"groups"}  # the dance is a choice of one for each

    assert written_ | refused_ | shown == {field.name for field in attrs.fields(Program)}


def test_a_million_times_are_a_few_rows() -> None:
    """A long repeat is danced by whole rounds, when it is written and when it is checked; the time is that of all."""
    text = "book: clogging\npart A: 2000000 beats, left foot to left foot\n"
    text += "  Basic x1000000, turn 1/4 right\ndance:\n  A\n"
    certificate = verified(sc.certificate(sc.loads(text)))

    assert {"proved"} == set(told(certificate).values())
    assert len(certificate["states"]) <= 5


# -- what is refused -----------------------------------------------------------------------------------------------------


def test_no_leaf_can_be_changed() -> None:
    """The seal tells every change of a leaf that is not sealed anew."""
    certificate = written(SPECS / "faulty" / "side_gate.routine")
    count = 0
    for path, other in changed(certificate):
        assert path and refused(json.dumps(other, indent=1) + "\n")
        count += 1

    assert count > 200


def tampered(name: str, certificate: Json, checked: float) -> None:
    """Change each leaf of a sheet's certificate and seal it anew; ask the reference about so many of those accepted."""
    pick = Random(name)
    shown = true = false = 0
    for leaf, other in changed(certificate):
        if leaf[0] in ("seal", "format"):
            continue
        try:
            verified(sealed(other))
        except Refused as error:
            assert str(error) and not (is_shown(leaf) and leaf[0] != "text")
            false += 1
            continue
        if is_shown(leaf):
            shown += 1
            continue
        true += 1
        assert leaf[0] in STATING, leaf  # no state is as good
        assert leaf[-1] != "verdict"
        if pick.random() < checked:
            assert less(told(other), true_of(other)), leaf

    assert shown and false > 2 * true


@pytest.mark.parametrize("name", CHANGED)
def test_no_leaf_can_be_changed_and_sealed_anew_to_say_what_is_false(name: str) -> None:
    """A changed leaf, sealed anew, is refused; else it is for people only, or the program then stated has just these
    verdicts, by the reference, which is no part of stepcheck."""
    tampered(name, written(SPECS / "faulty" / f"{name}.routine"), 0.1)


def test_no_leaf_of_a_sheet_with_blanks_can_be_changed_to_say_what_is_false() -> None:
    """The same of a sheet with a foot and a turn to be found, whatever fills them."""
    certificate = json.loads(sc.certificate(sc.loads(BLANKS), engine="walk"))
    assert {"proved", "refuted", "open"} == set(told(certificate).values())
    assert [(claim["id"], claim["verdict"]) for claim in certificate["claims"] if claim["dances"]]
    tampered("blanks", certificate, 0.1)


@pytest.mark.nightly
@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_no_leaf_of_any_sheet_can_be_changed_to_say_what_is_false(path: Path) -> None:
    """The same for every sheet of the catalogue that is understood."""
    if sc.load(path).well_formed:
        tampered(path.stem, written(path), CHECKED.get(path.stem, 0.1))


@law(60)
@given(programs(), st.randoms(use_true_random=False))
def test_what_is_accepted_of_a_random_program_is_true(program: Program, random: Random) -> None:
    """Of a random program, a changed leaf, sealed anew, is refused, or the reference gives the verdicts that it has."""
    certificate = json.loads(_of_program(program))
    every = [path for path, _ in leaves(certificate) if path[0] not in ("seal", "format") and not is_shown(path)]
    chosen = random.sample(every, min(6, len(every)))
    for path, other in changed(certificate):
        if path in chosen:
            try:
                verified(sealed(other))
            except Refused:
                continue
            assert path[0] != "states"
            assert told(other) == referenced(stated(other)), path


def test_no_verdict_can_be_flipped() -> None:
    """Proved is not refuted, refuted not proved, and what is reached not vacuous; the message says where it fails."""
    certificate = written(SPECS / "faulty" / "wrong_oar.routine")
    for claim in certificate["claims"]:
        said = claim["verdict"]
        for other in set(VERDICTS) - {said}:
            claim["verdict"] = other
            assert f"is {said}, not {other}" in refused(sealed(certificate))
        claim["verdict"] = said


def test_a_claim_that_fails_is_not_proved_by_a_rule_of_another_kind() -> None:
    """A claim that is refuted at a step stays so where it is called the length of a figure, or a number of walls."""
    certificate = written(SPECS / "faulty" / "wrong_oar.routine")
    (number,) = [number for number, claim in enumerate(certificate["claims"]) if claim["verdict"] == "refuted"]
    certificate["claims"][number].update(verdict="proved", dances=[])
    certificate["lengths"].append({"claim": number, "figure": "x", "last beat": 1, "ticks": 12})

    assert "is refuted, not proved" in refused(sealed(certificate))


def _dance(certificate: Json) -> Json:
    return next(claim["dances"][0] for claim in certificate["claims"] if claim["dances"])


def test_steps_that_are_few_enough_are_counted_and_not_followed() -> None:
    """The checker counts them itself: no state is written of such a pass, and one step less is not believed."""
    sheet = "figures:\n  Quay, 2 beats, 1 step left: S S\npart A: within {} steps\n  3 times:\n    Quay | Quay, 2 steps back\n"
    near, far = (
        json.loads(sc.certificate(sc.loads(f"book: clogging\n{sheet.format(steps)}dance:\n  A\n"))) for steps in (6, 5)
    )
    assert not [row for row in near["states"] if " at " in row["from"]]
    assert [row for row in far["states"] if " at " in row["from"]]
    assert {"proved"} == {claim["verdict"] for claim in verified(sealed(near))["claims"]}
    near["travels"][0]["steps"] = 5
    assert "states are missing" in refused(sealed(near))


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (lambda one: _dance(one)["decisions"].append({"pick": 0}), "decisions are left over"),
        (lambda one: _dance(one)["decisions"].append({"times": 1, "each": []}), "decisions are left over"),
        (lambda one: _dance(one)["decisions"].pop(), "is to be decided|are to be told|does not fail"),
        (lambda one: _dance(one)["decisions"].insert(0, {"lead": "left"}), "is to be decided|are to be told"),
        (lambda one: _dance(one).update(start="left"), "not as the format has it"),
        (lambda one: one.update(more=1), "it is not as the format has it"),
        (lambda one: one["figures"][0].update(more=1), "it.figures.0. is not as the format has it"),
        (lambda one: one.update(sheet=one.pop("sheet")), "it is not as the format has it"),
        (lambda one: one["states"].pop(), "are missing"),
        (lambda one: one["states"].append(one["states"][0]), "not in the order"),
        (lambda one: one["states"][-1]["after"][0].append("right 0 0"), "the states after it are"),
        (lambda one: one["states"][-1]["after"].pop(), "are missing, or left over"),
        (lambda one: one["bodies"].insert(0, []), "bod|order|states"),
        (lambda one: one["figures"].append(one["figures"][0]), "there and not danced"),
        (lambda one: one["claims"].append(one["claims"][0]), "two claims have one id"),
        (lambda one: one["claims"].pop(), "about a claim that is not there"),
        (lambda one: one["bodies"][-2].append({"forever": 0, "line": 1}), "follows what goes on for ever"),
        (lambda one: one["begins"].append({"body": 0, "front": 2, "weight": "left"}), "begins at the front"),
        (lambda one: one["begins"][0].update(weight="both"), "no dance begins with a foot"),
        (lambda one: one["begins"].clear(), "no dance begins with a foot"),
        (lambda one: one["bodies"][-1].append({"choice": [], "claim": None, "line": 1}), "behind those inside it"),
        (lambda one: one["bodies"][0].append({"last": len(one["bodies"]) - 1}), "behind those inside it"),
    ],
)
def test_a_certificate_is_canonical(change: Any, why: str) -> None:
    """Nothing can be left over, be missing, stand twice or elsewhere, though it is sealed anew."""
    certificate = written(SPECS / "faulty" / "copper_ladle.routine")
    change(certificate)
    with pytest.raises(Refused, match=why):
        verified(sealed(certificate))


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (lambda one, dances: dances.pop(), "two dances lead to one meeting"),
        (lambda one, dances: dances[1].update(meeting=dances[0]["meeting"] + 1), "two dances lead to one meeting"),
        (lambda one, dances: [dance.update(meeting=9) for dance in dances], "two dances lead to one meeting"),
        (lambda one, dances: dances.reverse(), "groups that are compared"),
        (lambda one, dances: dances[0].update(group=1), "groups that are compared"),
        (lambda one, dances: dances[0]["decisions"].append({"pick": 0}), "decisions are left over"),
        (lambda one, dances: dances.append({"begin": 0, "decisions": []}), "by dances like these"),
        (lambda one, dances: one["meetings"][0]["groups"].pop(), "a group meets nobody|it is not as|states|bod"),
        (lambda one, dances: one["meetings"].pop(), "states|bod|claim"),
    ],
)
def test_groups_that_part_are_two_dances_to_one_meeting(change: Any, why: str) -> None:
    """A claim about groups is refuted by a dance of each of two that are compared, up to one meeting."""
    certificate = written(SPECS / "faulty" / "lazy_sluice.routine")
    change(certificate, next(claim["dances"] for claim in certificate["claims"] if claim["dances"]))
    with pytest.raises(Refused, match=why):
        verified(sealed(certificate))


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (lambda one, dance: dance.update(travel=1), "one dance shows one pass"),
        (lambda one, dance: dance.update(start="right"), "not a pass that is followed"),
        (lambda one, dance: dance["decisions"].append({"pick": 0}), "decisions are left over"),
        (lambda one, dance: one["travels"][0]["weights"].append("left"), "with no foot, or with one twice"),
        (lambda one, dance: one["travels"][0]["weights"].clear(), "with no foot, or with one twice"),
        (lambda one, dance: one["travels"][0].update(body=None), "bod"),
        (lambda one, dance: one["figures"][0].update(way=None), "nobody says how far"),
        (
            lambda one, dance: one["bodies"].__setitem__(0, [*one["bodies"][0], {"gap": 12, "line": 1}]),
            "nobody says|states are missing",
        ),
    ],
)
def test_a_pass_that_ends_elsewhere_is_one_dance_of_it(change: Any, why: str) -> None:
    """Where a pass ends is refuted by one dance of it, from a foot with which it begins, all ways being known."""
    certificate = written(SPECS / "faulty" / "loose_barge.routine")
    change(certificate, _dance(certificate))
    with pytest.raises(Refused, match=why):
        verified(sealed(certificate))


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (lambda dance: dance.update(start="both"), "are to be told"),
        (lambda dance: dance["passes"].append(dance["passes"][-1]), "two passes begin with one weight"),
        (lambda dance: dance["decisions"].append({"times": 1, "each": []}), "are to be told"),
    ],
)
def test_a_start_of_passes_means_something(change: Any, why: str) -> None:
    """The dances that refute a number of walls begin with a weight with which a pass really begins."""
    certificate = written(SPECS / "faulty" / "four_winds.routine")
    change(_dance(certificate))
    with pytest.raises(Refused, match=why):
        verified(sealed(certificate))


def test_a_text_is_laid_out_in_one_way() -> None:
    """Another layout, a key that stands twice, a number that is written otherwise, and what is no JSON are refused."""
    text = sc.certificate(sc.load(SPECS / "routines" / "slipway.routine"), engine="walk")
    for other in (text + "\n", text[:-1], text.replace('"front": 0', '"front": 0.0', 1), text.replace(": ", ":", 1)):
        assert refused(other)
    assert "laid out" in refused(text.replace('"lead": ', '"lead": "left", "lead": ', 1))
    assert "JSON" in refused("{")


# -- fixes, files and the command ----------------------------------------------------------------------------------------


def test_a_fix_has_a_certificate(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """`repair --certificate` writes the change and what holds after it; a change that makes another text is refused."""
    monkeypatch.chdir(tmp_path)
    Path("a.routine").write_bytes((SPECS / "faulty" / "copper_ladle.routine").read_bytes())
    assert 0 == cli.main(["repair", "a.routine", "--certificate", "c", "-o", "answer"])
    certificate = verified(Path("c/a.repair.certificate.json").read_text())

    assert {"proved"} == set(told(certificate).values())
    assert ("not checked here", 1) == (certificate["fix"]["lower bound"], len(certificate["fix"]["changes"]))
    certificate["fix"]["lower bound"] = "proved"
    assert "it.fix" in refused(sealed(certificate))
    certificate["fix"]["lower bound"] = "not checked here"
    for place in ("out", "in"):
        (line,) = certificate["fix"]["changes"][0][place]
        certificate["fix"]["changes"][0][place] = [f"{line} x2"]
        assert "fix" in refused(sealed(certificate))
        certificate["fix"]["changes"][0][place] = [line]


def test_the_command_writes_one_certificate_a_sheet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Sheets of one name get a file each, whatever a cache has; of a sheet that can have none a note says why."""
    monkeypatch.chdir(tmp_path)
    for folder, body in (("d1", "Triple x2"), ("d2", "Triple\n  ? 4 beats"), ("d3", "Triply")):
        Path(folder).mkdir()
        Path(folder, "x.routine").write_text(f"book: clogging\npart A: 8 beats\n  {body}\ndance:\n  A\n")
    for number in "12":
        words = ["check", ".", "--certificate", f"c{number}", "--cache-file", "a.sqlite", "-o", f"o{number}"]
        assert cli.main(words) in (0, 1, 3)
    capsys_text = capsys.readouterr().err

    names = ["d1-x.certificate.json", "d2-x.certificate.json"]
    assert names == sorted(path.name for path in Path("c1").iterdir())
    assert "d3/x.routine: there is no certificate: the sheet is not understood" in capsys_text
    assert [Path("c1", name).read_bytes() for name in names] == [Path("c2", name).read_bytes() for name in names]
    assert 0 == main([f"c1/{name}" for name in names])


def test_the_library_writes_a_certificate_into_a_folder(tmp_path: Path) -> None:
    """`check_file` writes what `certificate` returns, and not over another file."""
    path = SPECS / "routines" / "slipway.routine"
    sc.check_file(path, certificate=str(tmp_path / "c"))

    assert (tmp_path / "c" / "slipway.certificate.json").read_text() == sc.certificate(sc.load(path))
    with pytest.raises(sc.SourceError, match="is there already"):
        sc.check_file(path, certificate=str(tmp_path / "c"))


def test_the_checker_says_one_sentence_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """0 where all are accepted, 1 where one is refused, with the reason, 2 where a file cannot be read."""
    text = sc.certificate(sc.load(SPECS / "routines" / "slipway.routine"), engine="walk")
    (tmp_path / "good").write_text(text)
    (tmp_path / "bad").write_text(text.replace('"verdict": "proved"', '"verdict": "vacuous"', 1))
    good, bad = str(tmp_path / "good"), str(tmp_path / "bad")

    assert (0, 1, 2, 2) == tuple(main(words) for words in ([good], [good, bad], [bad, str(tmp_path / "none")], []))
    said = capsys.readouterr().out.splitlines()
    assert f"{bad}: refused: it does not fit its seal" in said
    assert any(line.startswith(f"{good}: accepted: ") for line in said)


def test_the_checker_imports_nothing_of_stepcheck(tmp_path: Path) -> None:
    """No engine, no z3, networkx, lark or attrs is loaded: what is to be believed is one module."""
    (tmp_path / "one").write_text(sc.certificate(sc.load(SPECS / "routines" / "slipway.routine"), engine="walk"))
    code = (
        "import runpy, sys\nsys.argv = ['certify', 'one']\n"
        "try:\n    runpy.run_module('stepcheck.certify', run_name='__main__')\n"
        "except SystemExit as end:\n    assert not end.code\n"
        "print(*sorted(name for name in sys.modules if name.partition('.')[0] not in sys.stdlib_module_names))"
    )
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=tmp_path)

    ours = {name for name in found.stdout.splitlines()[-1].split() if not name.startswith(("__editable__", "_"))}
    rooms = {name.split(".")[1] for name in ours if name.startswith("stepcheck.")}
    assert {"certify"} == rooms
    assert not {"z3", "networkx", "lark", "attr", "attrs", "click"} & ours
