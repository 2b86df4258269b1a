"""What a sheet means, claim by claim, from its syntax and nothing else.

Every dance is danced: a set of dancers is carried through the sheet line by line, each repeat time by time, each
filling of a blank and each reading in a world of its own.  Slow, and shares no code with what lays a sheet out or
decides it. Lengths are in ticks (1/12 of a beat), turns and facings in eighths, clockwise.
"""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from decimal import Decimal, localcontext
from itertools import product
from typing import Any, NamedTuple

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.books.placing import last_beat
from stepcheck.language.parser import parse
from stepcheck.language.syntax import (
    NOWHERE,
    At,
    CountsHead,
    DanceHead,
    ExpectRow,
    FacingMark,
    FeetMark,
    FirstMark,
    FootMark,
    GapRow,
    HeaderField,
    HoldRow,
    LabelHead,
    Length,
    Line,
    MusicRow,
    NetMark,
    OnlyHead,
    Option,
    PartHead,
    Piece,
    Row,
    Sheet,
    SpotMark,
    StateMark,
    SwapMark,
    Times,
    TimesHead,
    TogetherHead,
    TravelMark,
    TurnMark,
    UntilHead,
    UntilMark,
)
from stepcheck.model.dance import EIGHTHS, TICKS, Figure, Foot, Version, Weight, key
from stepcheck.model.findings import Severity
from stepcheck.model.movements import Actor
from stepcheck.model.source import Source
from tests.reference_layout import MOST_STEPS, IllFormed, Routine, Skipped, comes, effective

__all__ = ["IllFormed", "Skipped", "verdicts", "verdicts_of"]

Slot = tuple[int, At, str]
Dancers = set["Dancer"]

MOST_WORLDS = 1_500
MOST_TIMES = 1100
BLANK_TIMES = range(1, 27)


Spot = tuple[int, int, int, int]
HERE: Spot = (0, 0, 0, 0)
"""Steps to the right and halves of roots of two of them, and the same towards the front."""
AHEAD = (
    (0, 0, 1, 0),
    (0, 1, 0, 1),
    (1, 0, 0, 0),
    (0, 1, 0, -1),
    (0, 0, -1, 0),
    (0, -1, 0, -1),
    (-1, 0, 0, 0),
    (0, -1, 0, 1),
)
"""A step ahead by the wall that is faced, in eighths."""


def away(spot: Spot) -> Decimal:
    """Return how far it is to a place, to fifty digits."""
    with localcontext(prec=50):
        half = Decimal(2).sqrt() / 2
        right, ahead = spot[0] + spot[1] * half, spot[2] + spot[3] * half
        return (right * right + ahead * ahead).sqrt()


class Impossible(Exception):
    """A movement can't be made under this reading."""


class Ask(Exception):
    """A blank is met that nothing fills yet: its name, and what may fill it."""

    def __init__(self, blank: tuple[Any, ...], options: Iterable[Any]) -> None:
        self.blank, self.options = blank, tuple(options)


class Dancer(NamedTuple):
    """One dancer at one point.

    `spot` is how far she has gone since the start of a pass for its steps alone, and `wall` the facing in it with which
    the pass began that she is in; `now` is the time since the start of the dance, whatever was claimed of it.

    `facing`, `turn` and `clock` are since the start of the pass (in the dance: the facing is that of the room); a
    `loose` turn is known up to whole turns only.  `counts` are the counts danced, whatever was claimed of them; `left`
    are those before the cut, if there is one; a dancer who has met the cut is `stopped`.  Headings number from `base`,
    and `numbered` says that there has been one.  `seen` counts the passes of each timed part, `section` that of the
    music, `visits` the places passed at which something is said of the groups; the dance is `over` behind the last pass
    of the music.  `waits` says that a number is to be found of what she
    has danced since the start of the pass, and that nothing has stated how long that is.  `first` is the foot that was named first, in a tuple,
    while that is looked for.
    """

    weight: Weight
    facing: int
    turn: int = 0
    loose: bool = False
    clock: int = 0
    counts: int = 0
    left: int | None = None
    stopped: bool = False
    base: int = 0
    numbered: bool = False
    ended: int = 0
    seen: tuple[int, ...] = ()
    section: int = -1
    visits: int = 0
    spot: Spot = HERE
    wall: int = 0
    now: int = 0
    over: bool = False
    waits: bool = False
    first: tuple[Any] | None = None


class Where(NamedTuple):
    """Where a line stands: in which swaps, in which time of the part (None: one that nothing names) and of the
    block."""

    feet: bool = False
    turns: bool = False
    time: tuple[int, bool] | None = None
    block: tuple[int, bool] | None = None
    nameless: bool = False

    @property
    def unseen(self) -> bool:
        """Opposite, not mirrored: facings and the contract's turn aren't checked."""
        return self.feet != self.turns

    def foot(self, foot: Foot) -> Foot:
        """Return a named foot as it is meant here."""
        return foot.other if self.feet else foot

    def weight(self, weight: Weight) -> Weight:
        """Return a weight as it is meant here."""
        return Weight(1 - weight) if self.feet and weight is not Weight.BOTH else weight


class World:
    """All dances under one reading of the words and one filling of the blanks."""

    def __init__(self, routine: Routine, readings: dict[str, int], fillings: dict[tuple[Any, ...], Any]) -> None:
        self.routine, self.readings, self.fillings = routine, readings, fillings
        # What is seen on the way: claims that hold or don't, parts danced, weights with which whole passes begin, and
        # feet that aren't free in a pass danced for its steps alone.
        self.noted: set[tuple[str, Any, bool]] = set()
        self.totals: dict[str, int] = {}
        self.only_steps = self.soft = self.looking = self.comes_again = self.hangs = False
        self.laps = self.group = 0
        self.spots: set[Spot] = set()
        self.strange = self.standing = False
        self.pass_part, self.pass_block = self.whole_pass()
        self.pass_swap = self.swap_of_passes()

    # -- all -----------------------------------------------------------------------------------------------------------

    def decide(self) -> dict[Slot, bool]:
        """Return for each claim that is reached whether it held every time."""
        routine = self.routine
        endless = routine.until is not None and self.music_ends() is None
        # Any whole number of passes from 1: each danced by itself if a last one is named, until none can bring more.
        self.laps = 1 if endless and routine.last else MOST_TIMES
        for self.group in range(max(1, len(routine.facts.groups))):
            self.counted(self.dance)
            while endless and routine.last and not self.comes_again:
                self.laps += 1
                self.counted(self.dance)
        self.compared()
        self.apart()
        danced = self.named_in("danced")
        self.walls()
        for name in routine.parts:
            if name not in danced:
                self.never_danced(name)
        for name in routine.parts:
            self.strides(routine.parts[name], name)
        routine.come |= self.named_in("come")
        with self.aside():  # what stands in a time that never comes has to be understood as well
            for line in routine.everything:
                if isinstance(line.node, OnlyHead) and line.number not in routine.come:
                    start = Dancer(Weight.LEFT, 0, seen=(0,) * len(routine.timed))
                    self.lines(line.body, {start}, Where(nameless=True))
        for length in routine.names.lengths:
            slot = next(s for s, claim in routine.registry.slots.items() if claim is length.claim)
            self.claim(slot, self.length_of(length.figure)[1] == length.ticks)
        found: dict[Slot, bool] = {}
        for kind, slot, holds in self.noted:
            if kind == "claim":
                found[slot] = holds and found.get(slot, True)
        return found

    def named_in(self, kind: str) -> set[Any]:
        """Return what has been noted of a kind."""
        return {what for noted, what, _ in self.noted if noted == kind}

    def counted(self, dance: Callable[[], Dancers]) -> None:
        """Dance, knowing for each timed part how many times it comes in all: danced without judging until that is
        so."""
        self.totals = {}
        for _ in range(len(self.routine.timed) + 2 if self.routine.last else 0):
            with self.aside():
                seen = {d.seen for d in dance()}
            if len(seen) != 1:
                raise Skipped("dancers who part in how often a part comes")
            totals = dict(zip(self.routine.timed, seen.pop(), strict=True))
            if totals == self.totals:
                break
            self.totals = totals
        else:
            if self.routine.last and self.routine.timed:
                raise Skipped("last time that changes how often a part comes")
        dance()

    def dance(self) -> Dancers:
        """Dance the whole of it from the foot that goes first."""
        facts = self.routine.facts
        lead, facing, place = facts.starts[self.group][1:] if facts.groups else (facts.lead, facts.facing, None)
        first = Dancer(Weight(lead.other), facing, seen=(0,) * len(self.routine.timed))
        first = first._replace(spot=self.went(first, facts.facing, place or (0, 0), mirror=False))
        out = self.lines(self.routine.head.body, {first}, Where())
        for d in out:
            self.ended(d)
        return out

    def met(self, slot: Slot, d: Dancer) -> Dancer:
        """Note where a dancer of this group stands at a place at which something is said of the groups."""
        stand = self.group, slot, d.visits, d.weight, d.facing, d.clock
        if not self.only_steps and not self.never(slot):
            self.noted.add(("stands", stand, True))
        if self.standing and self.never(slot):
            self.noted.add(("stood", (self.group, d.visits, d.spot, d.now, d.now + 1), True))
            self.noted.add(("came", (slot, d.visits), True))
        return d._replace(visits=d.visits + 1)

    def closed(self, d: Dancer) -> Dancer:
        """Come to the end of a section, of which the header may say something for the groups."""
        for slot in self.routine.closing:
            d = self.met(slot, d)
        return d

    def compared(self) -> None:
        """Compare each two dancers of different groups at the same visit of a place."""
        places: dict[tuple[Slot, int], list[tuple[Any, ...]]] = {}
        for group, slot, visit, *stand in self.named_in("stands"):
            places.setdefault((slot, visit), []).append((group, *stand))
        for (slot, _), stands in places.items():
            relation = self.routine.registry.slots[slot].kind.value
            holds = True
            for (a, weight, facing, clock), (b, other, back, late) in product(stands, stands):
                if relation == "same wall" and a != b:
                    holds &= facing == back
                if relation == "same beat" and a != b:
                    holds &= clock == late
                if relation == "mirror images" and b == a + 1:
                    feet = other is Weight.BOTH if weight is Weight.BOTH else other == 1 - weight
                    front = self.routine.facts.facing
                    holds &= feet and (facing - front) % EIGHTHS == (front - back) % EIGHTHS
            self.claim(slot, holds)

    def never(self, slot: Slot) -> bool:
        """Say whether a claim is that groups never meet."""
        return bool(self.routine.registry.slots[slot].kind.value == "never meet")

    def apart(self) -> None:
        """Dance for the steps alone what each group dances, and look for two on one place at one time."""
        if not any(map(self.never, self.routine.registry.slots)):
            return
        self.only_steps = self.standing = True
        with self.aside():
            for number, _ in enumerate(self.routine.facts.groups):
                self.group = number
                self.counted(self.dance)
            stood, came, vague = (self.named_in(kind) for kind in ("stood", "came", "vague"))
        self.only_steps = self.standing = False
        met: dict[Slot, bool] = {}
        unsure: set[Slot] = set()
        for slot, last in came:
            if any(visits <= last for visits in vague):
                unsure.add(slot)
                continue
            here = [one for one in stood if one[1] <= last]
            met[slot] = met.get(slot, False) or any(
                a != b and spot == other and begin < to and since < end
                for (a, _, spot, begin, end), (b, _, other, since, to) in product(here, here)
            )
        for slot in {slot for slot, _ in came}:
            self.claim(slot, not met.get(slot, False))
            if slot in unsure and not met.get(slot, False):
                self.routine.strange.add(slot)

    def stays(self, d: Dancer, until: int) -> Dancer:
        """Note that a dancer is where she is until then."""
        if not self.standing:
            return d
        self.noted.add(("stood", (self.group, d.visits, d.spot, d.now, until), True))
        return d._replace(now=until)

    @contextmanager
    def aside(self) -> Iterator[None]:
        """Dance to see what comes of it, and judge nothing."""
        before, self.noted = self.noted, set()
        yield
        self.noted = before

    def claim(self, slot: Slot, holds: bool) -> None:
        """Note whether a claim holds for a dancer."""
        if not self.only_steps:
            self.noted.add(("claim", slot, holds))

    def fill(self, blank: tuple[Any, ...], options: Iterable[Any]) -> Any:
        """A blank is one unknown for all its occurrences."""
        if blank not in self.fillings:
            raise Ask(blank, options)
        self.hangs = self.strange = True
        return self.fillings[blank]

    def stepped(self, steps: int) -> None:
        """Count the work."""
        self.routine.steps += steps
        if self.routine.steps > self.routine.budget:
            named = (
                "blanks"
                if self.fillings
                else "last time of what goes on"
                if self.laps not in (0, MOST_TIMES)
                else "repeats"
            )
            raise Skipped(f"too many steps: {named}")

    # -- figures -------------------------------------------------------------------------------------------------------

    def version(self, figure: Figure) -> Version:
        """Return the meaning of a figure under this reading: else the usual one."""
        several = len(figure.versions) > 1
        return figure.versions[self.readings.get(figure.name, figure.usual) if several else figure.usual]

    def sense(self, movement: Any) -> Any:
        """Return the meaning of a movement under this reading: else the usual one."""
        several = len(movement.senses) > 1
        return movement.senses[self.readings.get(movement.name, movement.usual) if several else movement.usual]

    def length_of(self, figure: Figure) -> tuple[int, int]:
        """Return the stated length, and that of the movements: to the end of the last beat."""
        version = self.version(figure)
        return version.length, last_beat(version.actions) * TICKS

    def moved(self, weight: Weight, figure: Figure, lead: Foot | None, ticks: int) -> tuple[Weight, bool]:
        """Return the weight after the movements that are made in the first `ticks`, and whether it was the mirror
        image; it is worked out once."""
        where = (figure, weight, lead, ticks, *self.readings.values())
        if where not in self.routine.moved:
            self.routine.moved[where] = self.made(weight, figure, lead, ticks)
        return self.routine.moved[where]

    def made(self, weight: Weight, figure: Figure, lead: Foot | None, ticks: int) -> tuple[Weight, bool]:
        """Make the movements of a figure one by one; an upbeat that leads to a beat behind the cut is not made."""
        leading = figure.lead if lead is None else lead
        if lead is not None:
            weight = Weight(lead.other)
        mirror = leading is not figure.lead
        for action in self.version(figure).actions:
            if max(action.tick, action.beat * TICKS) >= ticks + TICKS:
                continue
            sense, foot = self.sense(action.movement), action.foot
            if foot is not None and mirror:
                foot = foot.other
            if sense.actor is Actor.BOTH:
                weight = Weight.BOTH if sense.lands else weight
            elif sense.actor is Actor.FREE:
                # From both, the free foot first puts the weight on the other; unnamed, it is the figure's lead.
                free = leading if weight is Weight.BOTH else Foot(1 - weight)
                foot = free if foot is None else foot
                if weight == foot:
                    raise Impossible(action.movement.name)
                weight = Weight(foot) if sense.lands else Weight(foot.other)
            elif sense.actor is Actor.SUPPORT:
                stands = leading if weight is Weight.BOTH else Foot(weight)
                foot = stands if foot is None else foot
                if weight == foot.other:
                    raise Impossible(action.movement.name)
                weight = Weight(foot)
        return weight, mirror

    def stride(self, line: Line, option: Option, figure: Figure, turn: TurnMark | None, where: Where) -> Any:
        """Return how far a figure leads to the right and forward: as its line says, or the figure; None if nobody says,
        or says where it turns on a way that is its own."""
        mark = next((mark for mark in option.marks if isinstance(mark, TravelMark)), None)
        if mark is not None:
            return (-mark.right if where.turns else mark.right, mark.forward), True
        ways = {version.travel for version in figure.versions}
        if None in ways or (turn is not None and ways != {(0, 0)}):
            self.strange = True
            return (0, 0), True
        return self.version(figure).travel, False

    def went(self, d: Dancer, facing: int, way: tuple[int, int], mirror: bool) -> Spot:
        """Return where a step leads one who faces a wall."""
        right, forward = -way[0] if mirror else way[0], way[1]
        side, ahead = AHEAD[(facing + 2) % EIGHTHS], AHEAD[facing % EIGHTHS]
        spot = tuple(s + right * a + forward * b for s, a, b in zip(d.spot, side, ahead, strict=True))
        self.spots.add(spot)  # type: ignore[arg-type]
        return spot  # type: ignore[return-value]

    def figure(
        self, line: Line, option: Option, figure: Figure, mark: TurnMark | None, d: Dancer, where: Where
    ) -> Dancers:
        """It leads with the free foot; from both, a line without a foot is a choice of lead, but for feet that act
        alike."""
        self.stepped(1)
        d, version = self.named(None, d), self.version(figure)
        alike = not any(self.sense(a.movement).actor in (Actor.FREE, Actor.SUPPORT) for a in version.actions)
        leads: tuple[Foot | None, ...] = (Foot.LEFT, Foot.RIGHT)
        if d.weight is not Weight.BOTH:
            leads = (Foot(1 - d.weight),)
        elif alike:
            leads = (None,)
        stated, counts = self.length_of(figure)
        usual = figure.versions[figure.usual]
        turned = usual.turn_beat if mark is None else mark.beat
        if turned is not None and turned * TICKS > max(usual.length, last_beat(usual.actions) * TICKS):
            raise IllFormed("a turn on a count that its figure does not have")
        cut = d.left is not None and d.left < counts
        ticks = d.left if cut and d.left is not None else counts
        out, is_blank = set(), mark is not None and mark.eighths is None
        for lead in leads:
            weight, mirror = self.moved(d.weight, figure, lead, ticks)
            if mark is None:
                # A built-in turn follows the lead; where both feet act alike only a mirror reverses it.
                turn = -version.turn if mirror or (lead is None and where.turns) else version.turn
                beat = version.turn_beat
            else:
                # A written turn is absolute: left stays left whichever foot leads.
                blank = ("turn", line.number, mark.at)
                turn = self.fill(blank, range(EIGHTHS)) if is_blank else mark.eighths * (mark.side or 1)
                turn = -turn if where.turns else turn
                beat = mark.beat
            if not cut:
                after = self.spent(d, stated, counts)._replace(weight=weight, **self.turned(d, turn, blank=is_blank))
                if self.only_steps:
                    way, absolute = self.stride(line, option, figure, mark, where)
                    after = after._replace(
                        spot=self.went(
                            d, d.facing + d.wall, way, not absolute and (mirror or (lead is None and where.turns))
                        )
                    )
                    self.strange |= is_blank
                out.add(after)
                continue
            self.strange = True
            if turn and beat is None:
                if not self.soft:
                    raise IllFormed("a cut inside a figure that turns")
                turn = 0
            comes = beat is not None and beat * TICKS < ticks + TICKS
            turn = turn if comes else 0
            assert d.left is not None
            after = self.spent(d, d.left, d.left)
            out.add(after._replace(weight=weight, stopped=True, **self.turned(d, turn, blank=is_blank and comes)))
        return out

    def spent(self, d: Dancer, ticks: int, counts: int) -> Dancer:
        """Return a dancer after so much time, and so many counts danced."""
        left = None if d.left is None else d.left - counts
        return self.stays(d, d.now + ticks)._replace(clock=d.clock + ticks, counts=d.counts + counts, left=left)

    @staticmethod
    def turned(d: Dancer, turn: int, *, blank: bool = False) -> dict[str, int]:
        """Turn; what fills a blank is known up to whole turns only."""
        return {"turn": d.turn + turn, "facing": (d.facing + turn) % EIGHTHS, "loose": d.loose or blank}

    # -- claims about a dancer -----------------------------------------------------------------------------------------

    def led(self, slot: Slot, foot: Foot, d: Dancer, where: Where) -> Dancer:
        """A foot both orders and claims: it must be free, or the weight on both; she goes on from it."""
        foot = where.foot(foot)
        if self.only_steps and d.weight == foot:
            self.noted.add(("unled", slot, False))
        self.claim(slot, d.weight != foot)
        return d._replace(weight=Weight(foot.other))

    def stood(self, slot: Slot, d: Dancer) -> Dancer:
        """`both feet` is a claim and orders none."""
        self.claim(slot, d.weight is Weight.BOTH)
        return d if self.only_steps else d._replace(weight=Weight.BOTH)

    def begun(self, slot: Slot, mark: FootMark, d: Dancer, where: Where, line: Line) -> Dancer:
        """Judge a foot with which something begins."""
        contract = isinstance(line.node, PartHead)
        if mark.both:
            return self.stood(slot, self.named(Weight.BOTH, d) if contract else d)
        if mark.foot is None:
            return self.led(slot, self.fill(("foot", line.number, mark.at), Foot), self.named(Weight.BOTH, d), where)
        return self.led(slot, mark.foot, self.named(where.foot(mark.foot), d), where)

    def freed(self, slot: Slot, mark: FootMark, d: Dancer, where: Where) -> Dancer:
        """Judge which foot is free; none is from both."""
        if self.only_steps:
            return d
        weight = Weight.BOTH if mark.foot is None else Weight(where.foot(mark.foot).other)
        self.claim(slot, d.weight is weight)
        return d._replace(weight=weight)

    def faced(self, slot: Slot, facing: int, d: Dancer, where: Where) -> Dancer:
        """Judge a facing; after a wrong one turns are known up to whole turns only, for those who were wrong."""
        if where.unseen or self.only_steps:
            return d
        facing = -facing % EIGHTHS if where.turns else facing
        self.claim(slot, d.facing == facing)
        return d if d.facing == facing else d._replace(facing=facing, turn=facing, loose=True)

    def lasted(self, slot: Slot, ticks: int, since: int, d: Dancer) -> Dancer:
        """Judge the time since `since`, and go on as if it had been right."""
        if self.only_steps:
            return d
        self.claim(slot, d.clock == since + ticks)
        return d._replace(clock=since + ticks)

    # -- lines ---------------------------------------------------------------------------------------------------------

    def lines(self, lines: tuple[Line, ...], dancers: Dancers, where: Where) -> Dancers:
        """Dance lines one after the other."""
        for line in lines:
            if line.node is None:
                continue
            self.stepped(len(dancers))
            dancers = {e for d in dancers for e in ({d} if d.stopped else self.line(line, d, where))}
            if where.time is None:  # no claim about the dance itself, or about steps alone, is about its turn
                dancers = {e._replace(turn=0, loose=False) for e in dancers}
        return dancers

    def line(self, line: Line, d: Dancer, where: Where) -> Dancers:
        """Dance a line; what comes of it, and what is noted on the way, is worked out once if it hangs on no blank."""
        if line is self.routine.until:
            return self.one_line(line, d, where)
        flags = (
            self.group,
            self.only_steps,
            self.standing,
            self.soft,
            self.looking,
            *self.totals.values(),
            *self.readings.values(),
        )
        now = (line.number, d, where, flags)
        known = self.routine.known.get(now)
        if known is None:
            outer, hangs, strange = self.noted, self.hangs, self.strange
            self.noted, self.hangs, self.strange = set(), False, False
            known = self.one_line(line, d, where), self.noted
            if self.strange:
                self.noted.add(("vague", min(e.visits for e in known[0]), True))
            self.strange |= strange
            if not self.hangs:
                self.routine.known[now] = known
            self.noted, self.hangs = outer, hangs or self.hangs
        self.noted |= known[1]
        return known[0]

    def one_line(self, line: Line, d: Dancer, where: Where) -> Dancers:
        """Dance a line with those under it."""
        node = line.node
        match node:
            case ExpectRow():  # also at a cut
                for mark in node.states:
                    slot = (line.number, mark.at, "")
                    if isinstance(mark, StateMark):
                        d = self.met(slot, d)
                    elif isinstance(mark, FacingMark):
                        d = self.faced(slot, mark.facing, d, where)
                    else:
                        d = self.freed(slot, mark, d, where)
                return {d}
            case TogetherHead():
                return self.ours(line, d, where)
            case OnlyHead():
                return self.only(line, node, d, where)
            case TimesHead() if d.left != 0:
                strange = self.strange
                times = self.fill(("times", line.number, node.at), BLANK_TIMES) if node.times is None else node.times
                self.strange = strange
                out = self.repeated(line.body, times, d, where)
                self.strange |= node.times is None and any(e.counts > d.counts for e in out)
                return {e._replace(waits=e.waits or (node.times is None and e.counts > d.counts)) for e in out}
            case LabelHead():
                return self.lines(line.body, {self.labelled(node.name, d)}, where)
            case UntilHead():
                return self.goes_on(self.block_lap(line, where), d)
            case Row(section=str() as section):
                d = self.labelled(section, d)
        if d.left == 0:  # at a cut: nothing more is danced, and a heading that begins here is not reached
            return {d._replace(stopped=True)}
        match node:
            case HoldRow():
                ticks = node.length.ticks if d.left is None else min(d.left, node.length.ticks)
                return {self.spent(d, ticks, ticks)._replace(stopped=ticks < node.length.ticks)}
            case GapRow():
                return self.gap(line, node, d, where)
            case CountsHead():
                return self.heading(line, node, d, where)
            case Row():
                return self.row(line, node, d, where)
        raise Skipped(type(node).__name__)

    def ours(self, head: Line, d: Dancer, where: Where) -> Dancers:
        """Dance what a block has for this group."""
        for line in head.body:
            node = line.node
            name = node.name if isinstance(node, LabelHead) else node.section if isinstance(node, Row) else None
            if name is None or key(name) != key(self.routine.facts.groups[self.group]):
                continue
            if isinstance(node, LabelHead):
                return self.lines(line.body, {d}, where)
            assert isinstance(node, Row)
            ticks = node.wait.ticks if node.wait is not None else 0
            return self.lines(
                (evolve(line, node=evolve(node, section=None, wait=None)),), {self.spent(d, ticks, ticks)}, where
            )
        raise AssertionError("each group has a line")

    def only(self, line: Line, head: OnlyHead, d: Dancer, where: Where) -> Dancers:
        """`2nd time only:` counts the nearest enclosing repeat, else the times of the part; at a cut it does not come."""
        now = where.block or where.time
        if now is None:
            inside = head.exclude  # a time that nothing names
        else:
            inside = comes(head.times, *now) is not head.exclude
            if d.left != 0:
                self.time_came(line, head.at, head.times, now)
        if inside and d.left == 0:
            return {d._replace(stopped=True)}
        if inside:
            self.noted.add(("come", line.number, True))
        return self.lines(line.body, {d}, where) if inside else {d}

    def time_came(self, line: Line, at: At, times: Times, now: tuple[int, bool]) -> None:
        """A named time that comes makes the claim that it does."""
        for time in times.named:
            if time == now[0]:
                self.claim((line.number, at, f"time {time}"), True)
        if times.every and now[0] % times.every == 0:
            self.claim((line.number, at, f"time {times.every}"), True)

    def repeated(self, body: tuple[Line, ...], times: int, d: Dancer, where: Where) -> Dancers:
        """Dance a block time by time; headings in it count from the start of each time."""
        dancers, time = {d}, 0
        while time < times:
            if (time := time + 1) > MOST_TIMES and time != times:
                raise Skipped("long repeat")
            fresh = {e if e.stopped else e._replace(base=e.clock, numbered=False) for e in dancers}
            dancers = self.lines(body, fresh, where._replace(block=(time, time == times)))
            if dancers == fresh and self.routine.largest < time < times - 1 and self.routine.every == 1:
                time = times - 1  # nothing changes any more but that it is the last time
        return {e._replace(base=d.base, numbered=d.numbered, ended=d.ended) for e in dancers}

    def heading(self, line: Line, head: CountsHead, d: Dancer, where: Where) -> Dancers:
        """The counts under a heading begin and end where it says; one that begins at 1 again numbers anew."""
        slot = (line.number, head.at, "")
        if head.first == 1 and d.numbered:
            d = d._replace(base=d.ended)  # where the counts of the headings before end
        d = d._replace(numbered=True)
        base, first = d.base, d.first
        start = base + (head.first - 1) * TICKS
        if d.clock != start:  # where it should begin says that it is wrong, and only its end that it is right
            d = self.lasted(slot, start, 0, d)
        d = d._replace(ended=start)
        if head.foot is not None:
            d = self.begun((line.number, head.foot.at, ""), head.foot, d, where, line)
        heading = d.first
        out = set()
        for e in self.lines(line.body, {d._replace(first=first)}, where):
            # The foot of a heading is that of the first line under it: it names nothing where none is danced.
            e = e._replace(first=heading) if e.first is not None and first is None and heading else e
            if not e.stopped:
                e = self.lasted(slot, head.last * TICKS, base, e)
                if head.facing is not None:
                    e = self.faced((line.number, head.facing.at, ""), head.facing.facing, e, where)
                e = e._replace(base=base, numbered=True, ended=base + head.last * TICKS)
            out.add(e)
        return out

    def gap(self, line: Line, node: GapRow, d: Dancer, where: Where) -> Dancers:
        """What fills beats is one row: from each foot and from both it does one thing, or whatever dancers pick in
        it."""
        if d.left is not None and d.left < node.length.ticks:
            raise Skipped("cut inside blank beats")
        d = self.named(None, d)
        begun, *swapped = (where.weight(weight) for weight in (d.weight, *Weight))
        ends = tuple(product(Weight, range(EIGHTHS)))
        after = self.spent(d, node.length.ticks, node.length.ticks)
        return {
            after._replace(weight=swapped[weight], **self.turned(d, -turn if where.turns else turn, blank=True))
            for weight, turn in self.fill(("gap", line.number, begun), (*((end,) for end in ends), ends))
        }

    def row(self, line: Line, row: Row, d: Dancer, where: Where) -> Dancers:
        """Each dancer picks one of the options, afresh each time; of unequal ones the first's length is taken."""
        if len(row.options) == 1:
            return self.option(line, row.options[0], d, where)
        if d.left is not None and self.reaches(line, row.options[0], d, where):
            # Alternatives in which a cut falls are not compared; one that is shorter is danced as it is.
            out = set().union(*(self.option(line, option, d, where) for option in row.options))
            return {e._replace(left=0, stopped=True) for e in out}
        found = [self.option(line, option, d._replace(left=None), where) for option in row.options]
        out = set().union(*found)
        first = min(found[0], key=lambda e: (e.clock, e.counts))
        left = None if d.left is None else d.left - (first.counts - d.counts)
        at = (row.options[0].at[0], row.options[-1].at[1])
        for e in out:
            self.claim((line.number, at, "alternatives"), e.clock == first.clock)
        return {e._replace(clock=first.clock, counts=first.counts, left=left) for e in out}

    def reaches(self, line: Line, option: Option, d: Dancer, where: Where) -> bool:
        """Say whether an option lasts beyond the cut that lies before its dancer."""
        with self.aside():
            counts = {e.counts - d.counts for e in self.option(line, option, d._replace(left=None), where)}
        if len(counts) != 1:
            raise Skipped("cut in alternatives of several lengths")
        assert d.left is not None
        return counts.pop() > d.left

    def option(self, line: Line, option: Option, d: Dancer, where: Where) -> Dancers:
        """Dance one option: its foot at its start, so many times, its length and facing at its end."""
        since, marks, end = d.clock, option.marks, self.music_ends()
        on = any(isinstance(mark, UntilMark) for mark in marks)
        if on and end is not None and d.clock >= end:
            return {d}  # no pass is danced, so that its foot is not reached
        if not self.footed(option):
            d = self.stepped_off(line, option, d, where)
        if on:
            return self.goes_on(self.option_lap(line, option, where), d)
        blank = ("count", line.number, option.at)
        times = self.fill(blank, BLANK_TIMES) if option.times is None else option.times
        # Where the number is to be found, the row lasts as it says: a cut behind that falls behind the row.
        stated = next((mark.ticks for mark in marks if isinstance(mark, Length)), None)
        stands = option.times is None and stated is not None and (d.left is None or stated <= d.left)
        dancers = self.times(line, option, times, {d._replace(left=None) if stands else d}, where)
        if stands and stated is not None:
            left = None if d.left is None else d.left - stated
            dancers = {e._replace(counts=d.counts + stated, left=left) for e in dancers}
        elif option.times is None:
            dancers = {e._replace(waits=e.waits or e.counts > d.counts) for e in dancers}
        for mark in marks:
            slot = (line.number, mark.at, "")
            if isinstance(mark, Length):
                dancers = {e if e.stopped else self.lasted(slot, mark.ticks, since, e) for e in dancers}
            if isinstance(mark, FacingMark):
                dancers = {e if e.stopped else self.faced(slot, mark.facing, e, where) for e in dancers}
        return dancers

    def stepped_off(self, line: Line, option: Option, d: Dancer, where: Where) -> Dancer:
        """Begin an option on the foot that it says."""
        feet = [mark for mark in option.marks if isinstance(mark, FootMark)]
        for mark in sorted(feet, key=lambda mark: not mark.both):
            d = self.begun((line.number, mark.at, ""), mark, d, where, line)
        return d

    @staticmethod
    def footed(option: Option) -> bool:
        """Say whether each of several times of a row has the feet that are written in it."""
        return option.times != 1 and any(form.foot is not None for form in option.forms)

    def times(self, line: Line, option: Option, times: int, dancers: Dancers, where: Where) -> Dancers:
        """`x4` is short for a block of four."""
        if times > MOST_TIMES:
            raise Skipped("long repeat")
        own = option.times != 1 or option.times_at != NOWHERE
        for time in range(1, times + 1):
            now = (time, time == times) if own else where.block
            if self.footed(option):
                dancers = {d if d.stopped else self.stepped_off(line, option, d, where) for d in dancers}
            dancers = {e for d in dancers for e in ({d} if d.stopped else self.once(line, option, now, d, where))}
        return dancers

    def once(self, line: Line, option: Option, now: tuple[int, bool] | None, d: Dancer, where: Where) -> Dancers:
        """Dance an option once, perhaps only its first counts."""
        if d.left == 0:
            return {d._replace(stopped=True)}
        cut = next((mark.ticks for mark in option.marks if isinstance(mark, FirstMark)), None)
        if cut is not None:
            self.long_enough(line, option, cut, now, d, where)
        return self.begin(line, option, cut, now, d, where)

    def long_enough(
        self, line: Line, option: Option, cut: int, now: tuple[int, bool] | None, d: Dancer, where: Where
    ) -> None:
        """Dance all of what is then cut short: there must be so many counts, and nothing in them that can't be said."""
        with self.aside():
            whole = self.begin(line, option, None, now, d._replace(left=None), where)
        if any(e.counts - d.counts < cut for e in whole):
            if any(e.waits for e in whole):
                raise Skipped("cut behind a blank")
            raise IllFormed("a cut beyond the end")

    def begin(
        self, line: Line, option: Option, cut: int | None, now: tuple[int, bool] | None, d: Dancer, where: Where
    ) -> Dancers:
        """Dance an option once, or its first counts up to `cut`."""
        part = key(option.name) if option.book is None else ""
        if part in self.routine.parts:
            swap = next((mark for mark in option.marks if isinstance(mark, SwapMark)), None)
            inner = Where(
                where.feet != (swap is not None),
                where.turns != (swap is not None and swap.mirrored),
                nameless=where.nameless,
            )
            return self.one_pass(line, part, cut, d, inner)
        figure, mark = self.routine.names.figure(line, option), self.turn_mark(line, option, now)
        if cut is None:
            return self.figure(line, option, figure, mark, d, where)
        own = cut if d.left is None or cut <= d.left else None
        begun = d._replace(left=d.left if own is None else own)
        return {
            self.cut_off(own, d, e, e.counts - d.counts) for e in self.figure(line, option, figure, mark, begun, where)
        }

    def turn_mark(self, line: Line, option: Option, now: tuple[int, bool] | None) -> TurnMark | None:
        """Return the turn that this time has; on the others the figure's own stays."""
        turns = [mark for mark in option.marks if isinstance(mark, TurnMark)]
        chosen = next((mark for mark in turns if mark.times is None), None)
        for mark in reversed(turns):
            if mark.times is not None and now is not None:
                self.time_came(line, mark.at, mark.times, now)
                chosen = mark if comes(mark.times, *now) else chosen
        return chosen

    def cut_off(self, cut: int | None, before: Dancer, e: Dancer, counts: int) -> Dancer:
        """Return a dancer behind what was danced for its first counts only; None: an outer cut came first."""
        if cut is None:
            return e
        left = None if before.left is None else before.left - cut
        counts = before.counts + cut
        e = self.stays(e, before.now + cut)
        return e._replace(clock=before.clock + cut, counts=counts, left=left, stopped=False, waits=before.waits)

    # -- parts ---------------------------------------------------------------------------------------------------------

    def one_pass(self, line: Line, name: str, cut: int | None, d: Dancer, where: Where) -> Dancers:
        """Dance once through a part, whose front is the wall on which the pass begins."""
        head = self.routine.parts[name]
        time, seen = None, d.seen
        if not where.nameless:
            index = self.routine.timed.index(name) if name in self.routine.timed else None
            if index is not None:  # cut passes and `x2` included
                seen = (*seen[:index], seen[index] + 1, *seen[index + 1 :])
                time = seen[index]
            time = time or 1
            where = where._replace(time=(time, time == self.totals.get(name)))
        self.noted.add(("danced", name, True))
        begun = d.seen
        pieces = effective(head.node.pieces, time)  # type: ignore[union-attr]
        own = cut if cut is not None and (d.left is None or cut <= d.left) else None
        left = d.left if own is None else own
        # Where a number is to be found, a part lasts as its contract says: a cut behind that falls behind the part.
        stated = next((p.ticks for p in pieces if isinstance(p, Length)), None)
        inner = Dancer(d.weight, 0, left=left, seen=seen, first=d.first)
        inner = inner._replace(spot=d.spot, wall=(d.wall + d.facing) % EIGHTHS)
        inner = inner._replace(now=d.now, visits=d.visits) if self.standing else inner
        inner = self.entered(head, pieces, inner, where)
        if left is not None and stated is not None and stated <= left:
            with self.aside():
                waits = any(e.waits for e in self.lines(head.body, {inner._replace(left=None)}, where))
            inner = inner._replace(left=None if waits else left)
        out = set()
        for e in self.lines(head.body, {inner}, where):
            if e.waits and stated is not None and not e.stopped:
                e = e._replace(counts=stated, left=None if left is None else left - stated, waits=False)
            if cut is None and not e.stopped:
                e = self.kept(head, pieces, e, where)
                self.whole(name, begun, where)
                if name == self.pass_part and (where.feet, where.turns) == self.pass_swap:
                    self.lap_begun(d.weight, begun)
            after = d._replace(
                weight=e.weight,
                facing=(d.facing + e.facing) % EIGHTHS,
                turn=d.turn + e.turn,
                loose=d.loose or e.loose,
                clock=d.clock + e.clock,
                counts=d.counts + e.counts,
                left=e.left,
                stopped=e.stopped,
                seen=e.seen,
                waits=d.waits or e.waits,
                first=e.first,
                spot=e.spot,
                now=e.now,
            )
            out.add(self.cut_off(own, d, after, e.counts))
        return out

    def entered(self, head: Line, pieces: list[Piece], d: Dancer, where: Where) -> Dancer:
        """The foot that a contract begins with orders and claims, at every occurrence; all are judged as she comes."""
        after = d
        for piece in pieces:
            if isinstance(piece, FootMark):
                after = self.begun((head.number, piece.at, ""), piece, d, where, head)
            elif isinstance(piece, FeetMark):
                after = self.begun((head.number, piece.at, "start"), piece.start, d, where, head)
        return after

    def kept(self, head: Line, pieces: list[Piece], d: Dancer, where: Where) -> Dancer:
        """Judge the contract's end on the dancer as she comes there, then take all of it as true."""
        if self.only_steps:
            return d
        after = d
        for piece in pieces:
            slot = (head.number, piece.at, "")
            if isinstance(piece, Length):
                self.claim(slot, d.clock == piece.ticks)
                after = after._replace(clock=piece.ticks)
            elif isinstance(piece, FeetMark):
                end = self.freed((head.number, piece.at, "end"), piece.end, d, where)
                after = after._replace(weight=end.weight)
            elif isinstance(piece, TurnMark) and not where.unseen:
                after = self.total_turn(slot, piece, d, after, where)
        for piece in pieces:  # the facing of a net facing outweighs that of a turn
            if isinstance(piece, NetMark) and not where.unseen:
                net = (piece.end - piece.start) * (-1 if where.turns else 1) % EIGHTHS
                self.claim((head.number, piece.at, ""), d.facing == net)
                if d.facing != net and not any(isinstance(other, TurnMark) for other in pieces):
                    after = after._replace(turn=net, loose=True)
                # A turn that contradicts it is then known up to whole turns only, by that facing.
                if (after.turn - net) % EIGHTHS:
                    after = after._replace(turn=net, loose=True)
                after = after._replace(facing=net)
        return after

    def total_turn(self, slot: Slot, piece: TurnMark, d: Dancer, after: Dancer, where: Where) -> Dancer:
        """The signed total; without a side it may go either way, and a wrong one is taken as one to the right."""
        size = piece.eighths or 0
        wanted = [size, -size] if size and not piece.side else [size * (piece.side or 1)]
        if where.turns:
            wanted = [-turn for turn in wanted]
        good = [t for t in wanted if d.turn == t or (d.loose and (d.turn - t) % EIGHTHS == 0)]
        self.claim(slot, bool(good))
        if not good:
            return after._replace(turn=wanted[0], facing=wanted[0] % EIGHTHS, loose=False)
        return after._replace(turn=good[0], loose=False) if len(wanted) == 1 else after

    # -- never danced --------------------------------------------------------------------------------------------------

    def never_danced(self, name: str) -> None:
        """Check a part once, as its first and last time, from the feet of its contract, each by itself."""
        head = self.routine.parts[name]
        for weight in self.first_weights(head, name):
            start = Dancer(weight, 0, seen=(0,) * len(self.routine.timed))
            self.counted(lambda start=start: self.one_pass(head, name, None, start, Where()))

    def whole(self, name: str, seen: tuple[int, ...], where: Where) -> None:
        """Note that a part is danced from beginning to end, at which of its times and of those of the parts in it."""
        if not (self.only_steps or self.looking or where.nameless):
            seen = seen if self.routine.last else tuple(map(self.routine.folded, seen))
            self.noted.add(("whole", (name, seen, where.feet, where.turns, tuple(self.totals.items())), True))

    def strides(self, head: Line, name: str) -> None:
        """Judge where each whole pass of a part that is danced ends, danced for its steps alone from each weight with
        which one begins."""
        passes = [(seen, Where(*swap), totals) for part, seen, *swap, totals in self.named_in("whole") if part == name]
        for piece in head.node.pieces:  # type: ignore[union-attr]
            if not isinstance(piece, SpotMark) or not passes:
                continue
            self.strange, ends, self.spots = False, set(), set()
            weights = {
                weight
                for seen, where, totals in passes
                for weight in self.pass_weights(head, name, seen, where, totals)
            }
            self.only_steps, self.spots, self.strange = True, set(), False
            for weight, (seen, where, totals) in product(weights, passes):
                self.totals = dict(totals)
                self.routine.known.clear()  # what was danced before was not asked where it led
                start = Dancer(weight, 0, seen=seen)
                ends |= {d.spot for d in self.one_pass(head, name, None, start, where)}
            self.only_steps = False
            slot = (head.number, piece.at, "")
            if self.strange:
                self.routine.strange.add(slot)
            near = all(away(spot) - piece.steps < Decimal("1e-20") for spot in self.spots)
            self.claim(slot, near if piece.steps else ends == {HERE})

    def first_weights(self, head: Line, name: str) -> tuple[Weight, ...]:
        """From the foot that the contract names, else from that of the first line that is danced, else from either."""
        none = (0,) * len(self.routine.timed)

        def look() -> Dancers:
            return self.one_pass(head, name, None, Dancer(Weight.LEFT, 0, seen=none), Where())

        self.looking = True
        with self.aside():
            self.counted(look)
        self.looking = False
        return self.pass_weights(head, name, none, Where(), tuple(self.totals.items()))

    def pass_weights(
        self, head: Line, name: str, seen: tuple[int, ...], where: Where, totals: tuple[tuple[str, int], ...]
    ) -> tuple[Weight, ...]:
        """Return the weights before one pass; it is danced to see which foot is named first, from whatever foot."""
        self.looking, self.totals = True, dict(totals)
        with self.aside():
            feet = {d.first for d in self.one_pass(head, name, None, Dancer(Weight.LEFT, 0, seen=seen), where)}
        self.looking = False
        foot = feet.pop() if len(feet) == 1 else None
        if not foot or foot[0] is None:
            return (Weight.LEFT, Weight.RIGHT)
        return (Weight.BOTH if foot[0] is Weight.BOTH else Weight(foot[0].other),)

    def named(self, foot: Any, d: Dancer) -> Dancer:
        """Note the foot that is named first, None where what is danced names none."""
        return d._replace(first=(foot,)) if self.looking and d.first is None else d

    # -- the music -----------------------------------------------------------------------------------------------------

    def music_ends(self) -> int | None:
        """Return when the music ends, if anything says so."""
        node = self.routine.head.node
        if self.routine.ends:
            return self.routine.ends[-1]
        return node.length.ticks if isinstance(node, DanceHead) and node.length is not None else None

    def labelled(self, name: str, d: Dancer) -> Dancer:
        """Go on to the next section of this name; those that are passed over are left over."""
        first = d.section + 1 if d.section >= 0 or d.clock == 0 else 1
        rows = self.routine.music
        for index in range(first, len(rows)):
            if key(rows[index].node.name) == key(name):  # type: ignore[union-attr]
                for passed in range(max(first - 1, 0), index):
                    d = self.filled(passed, d)
                return d._replace(section=index)
        raise IllFormed(f"the music has no section {name} here")

    def filled(self, index: int, d: Dancer) -> Dancer:
        """Judge whether a section is filled, and go on at its end."""
        row = self.routine.music[index]
        assert isinstance(row.node, MusicRow)
        self.claim((row.number, row.node.at, ""), d.clock == self.routine.ends[index])
        return self.closed(d._replace(clock=self.routine.ends[index]))

    def ended(self, d: Dancer) -> None:
        """Judge what is said of the end of the dance."""
        rows, ends = self.routine.music, self.routine.ends
        first = max(d.section, 0)
        if rows and (d.section < 0 or self.routine.until is not None):
            # Lines that nothing divides lie over all the sections from theirs on: only the whole can be wrong.
            d = self.filled(first, d._replace(clock=d.clock - ends[-1] + ends[first]))
            first += 1
        for index in range(first, len(rows)):
            if d.section < 0 or self.routine.until is not None:
                d = d._replace(clock=ends[index])
            d = self.filled(index, d)
        node = self.routine.head.node
        if isinstance(node, DanceHead) and node.length is not None:
            d = self.lasted((self.routine.head.number, node.length.at, ""), node.length.ticks, 0, d)
        if not rows:
            self.closed(d)

    def goes_on(self, lap: Callable[[Dancer, int, bool], Dancers], d: Dancer) -> Dancers:
        """Dance passes until the music ends: so many as this world has, or as the beats fix, the last one perhaps
        cut."""
        end, dancers = self.music_ends(), {d}
        if end is None:
            known: dict[object, int] = {}
            enough = None  # laps: those near the end may hang on it, a round of laps for each part with a last time
            for number in range(1, self.laps + 1):  # nothing follows, so that nobody asks how long it has been
                fresh = {d._replace(clock=0, counts=0) for d in dancers}
                # Behind the largest time named, the same weights and facings bring nothing new.
                fold = self.routine.folded
                here = frozenset((d.weight, d.facing, *map(fold, d.seen)) for d in dancers), fold(number)
                if enough is None and here in known:
                    enough = number + (number - known[here]) * (1 + len(self.routine.timed))
                self.comes_again = enough is not None and self.laps >= enough
                if enough is not None and self.laps == MOST_TIMES:
                    break
                known.setdefault(here, number)
                dancers = {e for d in fresh for e in lap(d, number, number == self.laps)}
            return dancers
        out: Dancers = set()
        number, met = 0, set[object]()
        while dancers:
            number += 1
            fold = self.routine.folded
            here = {(d.clock, fold(number), *map(fold, d.seen)) for d in dancers if d.clock < end and not d.over}
            if here & met:
                raise IllFormed("passes that don't fill the music")
            met |= here
            out |= {d._replace(over=False) for d in dancers if d.over or d.clock >= end}
            dancers = {e for d in dancers if not d.over and d.clock < end for e in self.one_lap(lap, d, number, end)}
        return out

    def one_lap(self, lap: Callable[[Dancer, int, bool], Dancers], d: Dancer, number: int, end: int) -> Dancers:
        """Dance a pass that begins before the music ends; one that doesn't fit is cut, and its turns with it."""
        with self.aside():
            whole = lap(d, number, False)
        ends = {e.clock for e in whole}
        if len(ends) != 1:
            raise Skipped("dancers who part in how long a pass is")
        (after,) = ends
        if number > MOST_TIMES:
            raise Skipped("long repeat")
        if after < end:
            return lap(d, number, False)
        # The pass in which the music ends is the last one, which may be shorter or longer than the others.
        with self.aside():
            whole = lap(d, number, True)
        left = end - d.clock
        if all(e.clock <= end for e in whole) or all(e.counts - d.counts <= left for e in whole):
            return {e._replace(over=True) for e in lap(d, number, True)}
        if len({(e.clock, e.counts) for e in whole}) != 1:
            raise Skipped("dancers who part in how long a pass is")
        self.soft = True
        out = lap(d._replace(left=left), number, True)
        self.soft = False
        out = {self.stays(e, d.now + left) for e in out}
        return {e._replace(clock=end, left=None, stopped=False, over=True) for e in out}

    def option_lap(self, line: Line, option: Option, where: Where) -> Callable[[Dancer, int, bool], Dancers]:
        """Return one pass of what a line dances until the music ends."""

        def lap(d: Dancer, number: int, last: bool) -> Dancers:
            now = where._replace(block=(number, last)) if where.block is None else where
            return self.times(line, option, option.times or 1, {d}, now)

        if option.times is None or any(not isinstance(m, UntilMark | FootMark | SwapMark) for m in option.marks):
            raise Skipped("marks on a line until the music ends")
        return lap

    def block_lap(self, line: Line, where: Where) -> Callable[[Dancer, int, bool], Dancers]:
        """Return one pass of a block that goes on until the music ends."""

        def lap(d: Dancer, number: int, last: bool) -> Dancers:
            out = self.lines(line.body, {d}, where._replace(block=(number, last)))
            if any(not e.stopped for e in out) and not self.soft:
                self.lap_begun(d.weight, d.seen, number - 1)
            return out

        return lap

    # -- walls ---------------------------------------------------------------------------------------------------------

    def whole_pass(self) -> tuple[str | None, Line | None]:
        """A pass is the part or block danced until the music ends, else the only part."""
        routine, line = self.routine, self.routine.until
        if routine.facts.walls is None:
            return None, None
        if line is not None and isinstance(line.node, UntilHead):
            return None, line
        if line is not None and isinstance(line.node, Row):
            name = key(line.node.options[0].name)
            if name not in routine.parts:
                raise IllFormed("a figure is no pass")
            return name, None
        if len(routine.parts) == 1:
            return next(iter(routine.parts)), None
        often = [
            name for name in routine.parts if self.as_written(routine.head.body, name) >= max(2, routine.facts.walls)
        ]
        if len(often) != 1:
            raise IllFormed("nothing says what a pass is")
        return often[0], None

    def as_written(self, lines: tuple[Line, ...], name: str) -> int:
        """Return how many times lines of the dance call a part, whole and unswapped."""
        count = 0
        for line in lines:
            if isinstance(line.node, Row) and len(line.node.options) == 1:
                (option,) = line.node.options
                other = [mark for mark in option.marks if isinstance(mark, FirstMark | SwapMark)]
                count += (option.times or 1) if key(option.name) == name and not other else 0
            elif isinstance(line.node, TimesHead | LabelHead):
                count += (getattr(line.node, "times", 1) or 0) * self.as_written(line.body, name)
        return count

    def swap_of_passes(self) -> tuple[bool, bool]:
        """Return whether passes that go on until the music ends have other feet, and other turns, than are written."""
        marks = self.routine.marks(self.routine.until) if self.routine.until is not None else []
        swap = next((mark for mark in marks if isinstance(mark, SwapMark)), None)
        return swap is not None, swap is not None and swap.mirrored

    def lap_begun(self, weight: Weight, seen: tuple[int, ...], block: int = 0) -> None:
        """Note with which weight a whole pass begins in the dance, and at which place of each round of times."""
        if not self.only_steps:
            every = self.routine.every
            self.noted.add(("begun", weight, True))
            self.noted.add(("place", (block % every, *(count % every for count in seen)), True))

    def walls(self) -> None:
        """Dance passes for their steps alone, from every weight with which one can begin, and compare how far they
        turn."""
        facts = self.routine.facts
        if facts.walls is None:
            return
        self.only_steps, self.totals = True, {}
        weights = self.named_in("begun") or {Weight(facts.lead.other)}
        places = self.named_in("place") or {(0,) * (1 + len(self.routine.timed))}
        known, turns = set[Any](), set()
        while waiting := set(product(weights, places)) - known:
            weight, place = waiting.pop()
            known.add((weight, place))
            for end in self.steps_alone(weight, place):
                turns.add(end.facing)
                weights.add(end.weight)
                places.add(tuple(count % self.routine.every for count in (place[0] + 1, *end.seen)))
        self.only_steps = False
        closed = all(("claim", slot, False) in self.noted for slot in self.named_in("unled"))
        home = {turn: next(n for n in range(1, 9) if n * turn % EIGHTHS == 0) for turn in turns}
        node = next(line for line in self.routine.everything if line.number == facts.walls_line)
        assert isinstance(node.node, HeaderField)
        self.claim((node.number, node.node.at, ""), closed and len(turns) == 1 and set(home.values()) == {facts.walls})

    def steps_alone(self, weight: Weight, place: tuple[int, ...]) -> Dancers:
        """Dance one whole pass, at a place of the rounds of times behind all that are named."""
        behind = self.routine.every * self.routine.largest
        block, *seen = (behind + count for count in place)
        start = Dancer(weight, 0, seen=tuple(seen))
        if self.pass_part is not None:
            return self.one_pass(self.routine.head, self.pass_part, None, start, Where(*self.pass_swap))
        assert self.pass_block is not None
        return self.lines(self.pass_block.body, {start}, Where(block=(block + 1, False)))


# -- verdicts ----------------------------------------------------------------------------------------------------------

WORST = ("proved", "undecided", "vacuous", "refuted")


def verdicts(
    sheet: Sheet, book: Book | None = None, readings: str = "usual", steps: int = MOST_STEPS
) -> dict[str, str]:
    """Return the verdict on every claim of a sheet, by id; a claim that nobody has registered stands under its place.

    Args:
        sheet: as the parser returns it.
        book: instead of the one that the header names.
        readings: "usual", or "all": each reading of a word that nothing settles, for the whole dance.
        steps: how many figures and lines may be danced, all dancers together.

    Raises:
        IllFormed: the sheet can't be understood.
        Skipped: there are too many dances to dance; the name of the construct.
    """
    routine = Routine(sheet, book)
    routine.budget = steps
    words = tuple(routine.names.words.values()) if readings == "all" else ()
    assignments = [
        dict(zip((w.key for w in words), chosen, strict=True))
        for chosen in product(*(range(len(w.labels)) for w in words))
    ]
    if len(assignments) > MOST_WORLDS:
        raise Skipped("readings")
    slots = {slot: claim.id for slot, claim in routine.registry.slots.items()}
    slots |= {slot: f"line {slot[0]} {slot[2]}" for slot in _unregistered(routine)}
    worlds = list(_worlds(routine, assignments))
    out = {}
    for slot, claim in slots.items():
        here = {found.get(slot) for found in worlds}
        if len(here) > 1 or slot in routine.strange:
            out[claim] = "undecided"
        else:
            out[claim] = {True: "proved", False: "refuted", None: "vacuous"}[here.pop()]
    return out


def _worlds(routine: Routine, assignments: list[dict[str, int]]) -> Iterator[dict[Slot, bool]]:
    """Yield what holds under every filling of the blanks that are met, one choice after the other."""
    waiting: list[dict[tuple[Any, ...], Any]] = [{}]
    count = 0
    while waiting:
        fillings = waiting.pop()
        count += 1
        if count + len(waiting) > MOST_WORLDS:
            raise Skipped("blanks")
        try:
            yield _world(routine, assignments, fillings)
        except Ask as ask:
            waiting += [fillings | {ask.blank: option} for option in ask.options]


def _world(routine: Routine, assignments: list[dict[str, int]], fillings: dict[Any, Any]) -> dict[Slot, bool]:
    """Return what holds under every reading; one under which a figure can't be danced is left out."""
    found: dict[Slot, bool] = {}
    for readings in assignments:
        try:
            here = World(routine, readings, fillings).decide()
        except Impossible as impossible:
            if len(assignments) == 1:
                raise IllFormed(f"{impossible} can't be danced") from impossible
            continue
        for slot, holds in here.items():
            found[slot] = holds and found.get(slot, True)
    return found


def _unregistered(routine: Routine) -> list[Slot]:
    """Return the claims that every so many times come, where the registry has none."""
    wanted = []
    for line in routine.everything:
        for mark in [line.node] if isinstance(line.node, OnlyHead) else routine.marks(line):
            times = getattr(mark, "times", None)
            if isinstance(mark, OnlyHead | TurnMark) and times is not None and times.every:
                wanted.append((line.number, mark.at, f"time {times.every}"))
    return [slot for slot in wanted if slot not in routine.registry.slots]


def verdicts_of(text: str, readings: str = "usual", steps: int = MOST_STEPS) -> dict[str, str]:
    """Return the verdicts on a sheet by its text.

    Raises:
        IllFormed, Skipped: as `verdicts`.
    """
    sheet, wrong = parse(Source("<text>", text))
    if any(found.code.severity is Severity.ERROR for found in wrong):
        raise IllFormed(wrong[0].message)
    return verdicts(sheet, readings=readings, steps=steps)
