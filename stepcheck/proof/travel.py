"""Claims about places, in a script: passes, and what groups dance, written out step by step with the dancer's place."""

from itertools import combinations

from stepcheck.model.claims import Check, Kind
from stepcheck.model.dance import Body, Choice, Foot, Pass, Program, Repeat, Rest, Step, Timed
from stepcheck.model.floor import Meeting, Travel
from stepcheck.proof.bodies import Bodies
from stepcheck.proof.names import FEET, Picks, chosen, joined, literal
from stepcheck.proof.prelude import Widths


def _places(dancer: int, width: int, wide: int) -> str:
    """Return the vocabulary of places, for the bits of a dancer, of a number of steps, and of the square of one."""
    four, more = 4 * width, wide - width
    return f"""\
; A traveller is a dancer with her place, and a bit that says that she has been too far away.  A place is four numbers
; of steps, along 12:00, 1:30, 3:00 and 4:30; the diagonal of a square is no fraction of its side.
(define-sort Steps () (_ BitVec {width}))
(define-sort Wide () (_ BitVec {wide}))
(define-sort Place () (_ BitVec {four}))
(define-sort Traveller () (_ BitVec {dancer + four + 1}))
(define-fun who ((t Traveller)) Dancer ((_ extract {dancer - 1} 0) t))
(define-fun where ((t Traveller)) Place ((_ extract {dancer + four - 1} {dancer}) t))
(define-fun too-far ((t Traveller)) (_ BitVec 1) ((_ extract {dancer + four} {dancer + four}) t))
(define-fun noon ((p Place)) Steps ((_ extract {four - 1} {3 * width}) p))
(define-fun past-one ((p Place)) Steps ((_ extract {3 * width - 1} {2 * width}) p))
(define-fun three ((p Place)) Steps ((_ extract {2 * width - 1} {width}) p))
(define-fun past-four ((p Place)) Steps ((_ extract {width - 1} 0) p))
(define-fun along ((e Eighths) (axis Eighths) (n Steps)) Steps ; n steps of one who goes to e, as seen along an axis
  (ite (= e axis) n (ite (= e (bvadd axis #b100)) (bvneg n) (_ bv0 {width}))))
(define-fun aside ((other Bool) (n Steps)) Steps (ite other (bvneg n) n)) ; to the left, where the other foot leads
(define-fun gone ((p Place) (e Eighths) (n Steps)) Place (concat
  (bvadd (noon p) (along e #b000 n)) (bvadd (past-one p) (along e #b001 n))
  (bvadd (three p) (along e #b010 n)) (bvadd (past-four p) (along e #b011 n))))
(define-fun product ((a Steps) (b Steps)) Wide (bvmul ((_ sign_extend {more}) a) ((_ sign_extend {more}) b)))
(define-fun twice ((a Wide)) Wide (bvadd a a))
; twice the square of the distance, less twice that of the farthest: a whole number, and one of roots of two
(define-fun whole ((p Place) (far Wide)) Wide (let
  ((across (bvadd (past-one p) (past-four p))) (down (bvsub (past-one p) (past-four p)))) (bvsub
  (bvadd (twice (bvadd (product (noon p) (noon p)) (product (three p) (three p))))
    (bvadd (product across across) (product down down)))
  (twice (bvmul far far)))))
(define-fun roots ((p Place)) Wide (twice (bvadd
  (product (three p) (bvadd (past-one p) (past-four p))) (product (noon p) (bvsub (past-one p) (past-four p))))))
(define-fun beyond ((p Place) (far Wide)) Bool (let ((a (whole p far)) (b (roots p))) (let
  ((more (bvsgt (bvmul a a) (twice (bvmul b b)))))
  (ite (bvsge a (_ bv0 {wide})) (or (bvsgt b (_ bv0 {wide})) (ite (= b (_ bv0 {wide})) (not (= a b)) more))
    (and (bvsgt b (_ bv0 {wide})) (not more))))))
(define-fun moved ((t Traveller) (right Steps) (forward Steps) (d Dancer) (e Dancer)) Traveller ; as d faces
  (concat (too-far t) (gone (gone (where t) (facing d) forward) (bvadd (facing d) #b010) right) e))
(define-fun now ((d Dancer) (t Traveller)) Traveller (concat (too-far t) (where t) d)) ; she dances, and stays there
(define-fun come-by ((moment Beats) (t Traveller) (u Traveller)) Traveller ; what she does later leads nowhere
  (ite (bvule (beats (who u)) moment) u (now (who u) t)))
(define-fun meet-at ((moment Beats) (t Traveller) (u Traveller)) Bool (and
  (bvule moment (beats (who t))) (bvule moment (beats (who u))) (= (where t) (where u))))
(define-fun kept-within ((far Wide) (t Traveller)) Traveller
  (ite (beyond (where t) far) (bvor t (concat #b1 (_ bv0 {dancer + four}))) t))"""


def named(bodies: Bodies, program: Program) -> list[tuple[Travel | Meeting, str]]:
    """Name a bit for each claim about places of which all ways are known; the width of a dancer counts all bits."""
    apart = (meeting for meeting in program.meetings if meeting.claim.kind is Kind.APART)
    places: tuple[Travel | Meeting, ...] = (*program.travels, *apart)
    bodies.claimed.update((one.claim.id, True) for one in places)
    known = ((one, one.claim) for one in places if not one.unknown)
    return [(one, bodies.names.bit(f"{claim.line}: {claim.text}", claim.id)) for one, claim in known]


def travels(bodies: Bodies, program: Program, places: list[tuple[Travel | Meeting, str]]) -> list[str]:
    """Return the terms of the claims that some pass ends elsewhere than its part says, or that groups meet; all other
    bits have names."""
    names, steps, reach, out = bodies.names, 0, 0, list[str]()
    near = {id(one): one for one, _ in places if isinstance(one, Travel) and _reach(one.body) <= one.steps}
    for kept in near.values():
        names.say(f"; line {kept.claim.line}, {kept.claim.text}: all steps of a pass together are no more\n")
    places = [place for place in places if id(place[0]) not in near]
    if not places:
        return []
    for one, _ in places:
        steps = max(steps, one.steps) if isinstance(one, Travel) else steps
        reach += sum(map(_reach, (one.body,) if isinstance(one, Travel) else one.before))
    off = Widths.holding(0, 0, len(names.owners)).off
    width = (steps + reach).bit_length() + 2
    wide = 4 * width + 12
    names.say(_places(2 + names.beats_width + names.turn_width + 1 + off, width, wide) + "\n")
    for one, bit in places:
        if isinstance(one, Travel):
            out += _passes(bodies, one, width, wide, bit)
        else:
            out.append(_meeting(bodies, program, one, bit, width))
    return out


def _reach(body: Body) -> int:
    """Return how many steps away a body leads at most."""
    total = 0
    for item in body:
        match item:
            case Step():
                ways = [item.travel or version.travel or (0, 0) for version in item.figure.versions]
                total += max(abs(right) + abs(forward) for right, forward in ways)
            case Choice():
                total += max(map(_reach, item.options))
            case Repeat(times=int(times)):
                total += times * _reach(item.body)
            case Pass() | Timed():
                total += _reach(item.body)
            case _:
                assert isinstance(item, Check | Rest), item  # what is left out here would be proved near
    return total


def _passes(bodies: Bodies, travel: Travel, width: int, wide: int, bit: str) -> list[str]:
    out = list[str]()
    for weight in travel.weights:
        title = f"a pass of line {travel.claim.line} from {FEET[weight]}"
        kept = f"(kept-within {literal(travel.steps, wide)} {{}})" if travel.steps else "{}"
        picks = Picks(bodies.names, f"picks of {travel.claim.text}, {title}")
        here = _Way(bodies, kept, width).state(title, f"(fresh {FEET[weight]})", travel.body, picks)
        holds = f"(= (too-far {here}) #b0)" if travel.steps else f"(= (where {here}) (_ bv0 {4 * width}))"
        out.append(f"(unless {holds} {bit})")
    return out


def _meeting(bodies: Bodies, program: Program, meeting: Meeting, bit: str, width: int) -> str:
    """Return what is false where at some moment dancers of two groups, each with her own picks, stand on one place."""
    names, line, ends = bodies.names, meeting.line, list[str]()
    moment = names.pick(f"a moment before line {line}", names.beats_width)
    for group, before in zip(program.groups, meeting.before, strict=True):
        picks = Picks(names, f"picks of {group} before line {line}")
        way = _Way(bodies, f"(come-by {moment} t {{}})", width)
        ends.append(way.state(f"{group} at that moment before line {line}", "start", before, picks))
    meet = [f"(meet-at {moment} {one} {other})" for one, other in combinations(ends, 2)]
    return f"(unless (not {joined('or', meet)}) {bit})"


class _Way:
    """A pass being written out; `goes` is what comes of a step, in the place of its braces."""

    def __init__(self, bodies: Bodies, goes: str, width: int) -> None:
        self.bodies, self.goes, self.width = bodies, goes, width

    def state(self, title: str, begun: str, body: Body, picks: Picks) -> str:
        """State who comes of a dancer that has danced a body, and return her name."""
        here, traveller = self.bodies.names.fresh(title), f"(concat (_ bv0 {4 * self.width + 1}) {begun})"
        self.bodies.names.say(f"(define-fun {here} () Traveller (let ((t {traveller})) {self.body(body, picks)}))")
        return here

    def body(self, body: Body, picks: Picks) -> str:
        """Return a body as a term of the traveller `t`."""
        terms = [term for item in body for term in self.item(item, picks)]
        return "".join(f"\n  (let ((t {term}))" for term in terms) + " t" + ")" * len(terms)

    def item(self, item: object, picks: Picks) -> list[str]:
        """Return the terms of an item, one after the other."""
        match item:
            case Step():
                return [self._step(item, picks)]
            case Check(value=int(foot)):
                end = f"(on {FEET[Foot(foot).other]} (who t))"
                return [f"(moved t (_ bv0 {self.width}) (_ bv0 {self.width}) (who t) {end})"]
            case Choice():
                width = (len(item.options) - 1).bit_length()
                pick = picks.take(width)
                ends = [self.body(option, picks) for option in item.options]
                return [chosen(lambda number: f"(= {pick} {literal(number, width)})", ends)] if pick else ends
            case Repeat(times=int(times)):
                return [self.body(item.body, picks) for _ in range(times)]
            case Rest():
                return [f"(now (lasts {self.bodies.names.beats(item.ticks)} (who t)) t)"]
            case Pass(lasts=int(lasts)) | Timed(lasts=int(lasts)):
                end = f"(at (bvadd b {self.bodies.names.beats(lasts)}) (who t))"
                return [f"(let ((b (beats (who t)))) (let ((t {self.body(item.body, picks)})) (now {end} t)))"]
            case Pass() | Timed():
                return [self.body(item.body, picks)]
        return []

    def _step(self, step: Step, picks: Picks) -> str:
        """Return a step: from both feet a dancer picks who leads; then she goes, as she faces, and dances."""
        figures, figure = self.bodies.figures, step.figure
        chooses = figures.chooses(figure) if self.bodies.census.both else "false"
        led = f"(leads {picks.take(1)} (who t))" if chooses != "false" else "(who t)"
        led = led if chooses in ("true", "false") else f"(ite {chooses} {led} (who t))"
        end = f"({figures.figure(figure, step.turn is None)} d)"
        end = f"(turns {self.bodies.names.turn(step.turn)} {end})" if step.turn else end
        right, forward = self._far(step, 0), self._far(step, 1)
        if step.travel is None:  # with the weight on its own lead, the other foot leads
            right = f"(aside (= (weight d) {FEET[figure.lead]}) {right})"
        term = self.goes.format(f"(moved t {right} {forward} d {end})")
        return f"(let ((d {led})) {term})"

    def _far(self, step: Step, way: int) -> str:
        figure = step.figure
        if step.travel is not None:
            return literal(step.travel[way] % (1 << self.width), self.width)
        read = self.bodies.figures.reading(figure)
        versions = figure.versions if read else (figure.versions[figure.usual],)
        sizes = [literal((one.travel or (0, 0))[way] % (1 << self.width), self.width) for one in versions]
        return chosen(read, sizes) if read else sizes[0]
