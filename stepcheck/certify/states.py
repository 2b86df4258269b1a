"""The states of the dancers at each point of a program, from what `specs/meaning.md` says of each piece of it."""

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from stepcheck.certify.form import EIGHTHS, FOOT, WEIGHT, Json, blank, inside, require

MOST = 2_000_000  # states that one check may look at
NUMBERS = range(1, 65)  # of times, where these are to be found
OTHER = {"left": "right", "right": "left"}
Place = tuple[int, ...]
HOME: Place = (0, 0, 0, 0)  # steps along 12:00, 1:30, 3:00 and 4:30; those the other way count down


class Dancer(NamedTuple):
    """One dancer: `turn` in eighths since the frame began (0 to 7 if `loose`), `clock` in ticks since it began.

    `open` says that it hangs on what fills a blank whether she comes there. Where places are followed, `place` is hers,
    nothing begins a frame, and all of this is measured from where she began.
    """

    weight: str
    turn: int = 0
    loose: bool = False
    clock: int = 0
    open: bool = False
    place: Place | None = None

    def __str__(self) -> str:
        at = "" if self.place is None else " at " + " ".join(map(str, self.place))
        return f"{self.weight} {'~' * self.loose}{self.turn} {self.clock}{'?' * self.open}{at}"

    def after(self, turn: int, loose: bool, clock: int, open_: bool = False) -> "Dancer":
        """Return her with as much turn and clock before."""
        turn, loose = self.turn + turn, self.loose or loose
        turned = turn % EIGHTHS if loose else turn
        return Dancer(self.weight, turned, loose, self.clock + clock, self.open or open_, self.place)


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


def danced(figure: Json, turn: int | None, way: Json, lead: str | None, dancer: Dancer) -> Dancer:
    """Return a dancer after a figure that `lead` leads, with the written turn and way if there are any."""
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
    if dancer.place is not None:
        gone = way or figure["way"]
        require(gone, f"nobody says how far {figure['name']} goes")
        right = -gone["right"] if mirrored and way is None else gone["right"]
        dancer = dancer._replace(place=led(dancer.place, dancer.turn, right, gone["forward"]))
    return dancer._replace(weight=weight).after(own if turn is None else turn, False, figure["ticks"])


def led(place: Place, turn: int, right: int, forward: int) -> Place:
    """Return a place so many steps on, as one sees it who is turned so far."""
    at = list(place)
    for steps, eighths in ((forward, turn % EIGHTHS), (right, (turn + 2) % EIGHTHS)):
        at[eighths % 4] += steps if eighths < 4 else -steps
    return tuple(at)


def filled(check: Json, foot: str) -> Json:
    """Return a check with a foot in the place of one that is to be found."""
    free = {"weight": [OTHER[foot], "both"], "then": OTHER[foot], "settles": True, "opens": False}
    return free | {"claim": check["claim"], "line": check["line"]} if "lead" in check else check


def observed(bodies: Json) -> list[set[str]]:
    """Return which of `facing`, `turn` and `clock` the checks of each body compare, measured from before it."""
    found: list[set[str]] = []
    for body in bodies:
        seen: set[str] = set()
        for item in body:
            seen |= {next(iter(one)) for one in item.get("checks", ())} - {"weight", "lead"}
            inner = set().union(*(found[number] for number in inside(item)))
            seen |= set() if "pass" in item else inner - {"clock"} if "timed" in item else inner
        found.append(seen)
    return found


def repeated(once: Once, times: int, here: set[Dancer], seen: set[str]) -> set[Dancer]:
    """Return the dancers after `times` times, by whole rounds once they come round but for what is not in `seen`."""
    met: dict[frozenset[Dancer], tuple[int, int, int]] = {}
    done, seen = 0, {"turn", "clock"} if any(one.place for one in here) else seen
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
        self.bodies, self.figures = certificate["bodies"], certificate["figures"]
        self.left = self.most = MOST
        self.seen, self.blanks = observed(self.bodies), any(blank(item) for body in self.bodies for item in body)
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

    def spend(self, states: int) -> None:
        """Refuse to look at more states than anybody waits for."""
        self.left -= states
        require(self.left >= 0, "it takes too long to check")

    def entry(self, number: int, front: int, dancer: Dancer) -> tuple[int, Dancer]:
        """Return the facing of the frame and the dancer, as far as the checks in a body compare them."""
        if dancer.place is not None:
            return 0, dancer._replace(turn=dancer.turn % EIGHTHS)
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
        self.spend(1 + len(ends))
        self.facts |= {("may fail" if dancer.open and fact == "fails" else fact, about) for fact, about in facts}
        turn, clock = dancer.turn - entry.turn, dancer.clock - entry.clock
        return [end.after(turn, dancer.loose and not entry.loose, clock, dancer.open) for end in ends]

    def _checked(self, number: int, front: int, entry: Dancer) -> set[Dancer]:
        """Return the dancers after a body, having checked the states that are said to be in it."""
        at, items, here = f"body {number} from {entry}", self.bodies[number], {entry}
        after = self.rows.pop((number, front, str(entry)), None)
        require(after is not None and len(after) == len(items), f"{at}: states are missing, or left over")
        for place, (item, states) in enumerate(zip(items, after or (), strict=True), 1):
            for one in item.get("checks", ()):
                if "lead" not in one and not any(fits(one, front, dancer) for dancer in here):
                    self.facts.add(("fails", one["claim"]))  # whatever fills the blanks
            here = {end for one in here for end in self.item(item, front, one)}
            alone = {one._replace(open=False) for one in here}  # where it is one, each filling leads there
            here = alone if len(alone) == 1 else here
            found = sorted(map(str, here))
            line = f" (line {item['line']})" if "line" in item else ""
            require(found == states, f"{at}, item {place}{line}: the states after it are {found}, not {states}")
        return here

    def item(self, item: Json, front: int, dancer: Dancer) -> Iterable[Dancer]:  # noqa: C901 - a case for each kind
        """Return the dancers after an item."""
        self.spend(1)
        require(dancer.place is None or not blank(item), "nobody says how far what is to be found goes")
        match item:
            case {"step": number, "turn": turn, "way": way}:
                figure = self.figures[number]
                self.stand(dancer, figure["ticks"])
                leads: Sequence[str | None] = (OTHER.get(dancer.weight),)
                if leads == (None,) and any(one["made by"][0] in "fs" for one in figure["movements"]):
                    leads = self.take("lead", FOOT)  # a free or a supporting foot has to be chosen
                turns = self.take("turn", range(EIGHTHS)) if turn == "?" else (turn,)
                ends = [danced(figure, one, way, lead, dancer) for lead in leads for one in turns]
                return [end.after(0, True, 0, True) for end in ends] if turn == "?" else ends
            case {"gap": ticks}:
                ends = [dancer._replace(weight=weight) for weight in self.take("weight", WEIGHT)]
                turns = self.take("turn", range(EIGHTHS))
                return [end.after(turn, True, ticks, True) for end in ends for turn in turns]
            case {"rest": ticks}:
                return [self.stand(dancer, ticks)]
            case {"checks": checks} if any("lead" in one for one in checks):
                feet, dancer = self.take("lead", FOOT), dancer._replace(open=True)
                fillings = [{"checks": [filled(one, foot) for one in checks]} for foot in feet]
                return [end for one in fillings for end in self.item(one, front, dancer)]
            case {"checks": checks}:
                for one in checks:
                    holds = fits(one, front, dancer)
                    if not (holds and one["opens"]):
                        self.judge(one["claim"], next(iter(one)), holds, dancer.open, str(dancer), one["line"])
                for one in checks:
                    dancer = taken(one, front, dancer)
                return [dancer]
            case {"choice": options, "claim": claim, "line": line}:
                picks = self.take("pick", range(len(options)))
                every = [end for pick in picks for end in self.body(options[pick], front, dancer)]
                if claim is None:
                    return every
                usual = States.body(self, options[0], front, dancer)
                first, open_ = sorted({end.clock for end in usual}), any(end.open for end in usual)
                lengths = sorted({end.clock - dancer.clock for end in every})
                alike = len({*first, *(end.clock for end in every)}) == 1
                self.judge(claim, "length", alike, any(end.open for end in every), [str(dancer), *lengths], line)
                ends = [end.after(0, False, 0, open_) for end in every]
                return [end._replace(clock=clock) for end in ends for clock in self.take("", first)]
            case {"repeat": body, "times": "?"}:
                return [end.after(0, False, 0, True) for end in self.some(body, front, dancer)]
            case {"repeat": body, "times": times}:
                return self.again(body, times, front, dancer)
            case {"timed": body, "lasts": lasts} | {"pass": body, "lasts": lasts} if dancer.place is not None:
                ends = self.body(body, front, dancer)
                return ends if lasts is None else [self.stand(one, dancer.clock + lasts - one.clock) for one in ends]
            case {"timed": body, "lasts": lasts}:
                ends = self.body(body, front, dancer._replace(clock=0))
                return [one._replace(clock=dancer.clock + (one.clock if lasts is None else lasts)) for one in ends]
            case {"pass": body, "begins": begins, "lasts": lasts}:
                if begins:
                    self.lap(dancer)
                ends = self.body(body, 0, Dancer(dancer.weight))
                return [one._replace(clock=one.clock if lasts is None else lasts).after(*dancer[1:5]) for one in ends]
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
            return {end for one in here for end in self.body(body, front, one)}

        def kept(some: set[Dancer]) -> set[Dancer]:
            return {self.entry(body, front, one)[1]._replace(open=one.open) for one in some}

        if times is not None:
            return repeated(once, times, {dancer}, self.seen[body])
        here = new = kept({dancer})
        while new:
            new = kept(once(new)) - here
            here = here | new
        return here

    def some(self, body: int, front: int, dancer: Dancer) -> Iterable[Dancer]:
        """Return the dancers after a body danced a number of times that is to be found."""
        here, found = {dancer}, set[Dancer]()
        for _ in NUMBERS:
            here = {end.after(0, False, 0, True) for one in here for end in self.body(body, front, one)}
            found |= here
        return found

    def judge(self, claim: int, test: str, holds: bool, open_: bool, found: Json, line: int) -> None:
        """Take note of a claim that is tested; `open_` says that it hangs on a blank whether anybody comes there so."""
        self.facts.add(("reached", claim))
        if not holds:
            fails = "may fail" if open_ else "fails"
            self.facts |= {(fails, claim), (fails if test == "length" else "not free", claim)}
            self.where.setdefault(claim, f" on line {line}: {test}, {found}")

    def stand(self, dancer: Dancer, ticks: int) -> Dancer:
        """Return a dancer who stands where she is for so long; take note of that if her place is followed."""
        if dancer.place is not None:
            self.facts.add(("stands", (dancer.place, dancer.clock, dancer.clock + ticks)))
        return dancer.after(0, False, ticks)

    def lap(self, dancer: Dancer) -> None:
        """Take note of a pass that the claim about walls is about."""
        self.facts.add(("begins", dancer.weight))
