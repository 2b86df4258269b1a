"""The vocabulary in which a dance is stated: what a dancer is, what movements and claims do to one.

It is the same for every sheet, but for the widths, which hang on the census of the program.
"""

import re
from functools import lru_cache

from attrs import define, field, frozen

from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import (
    EIGHTHS,
    MOST_TIMES,
    TICKS,
    Body,
    Choice,
    Figure,
    Gap,
    Item,
    Program,
    Repeat,
    Rest,
    Step,
    Together,
    Weight,
)
from stepcheck.model.movements import Actor

SENTENCES = {
    Test.LEAD: "claim-lead",
    Test.FOOT: "claim-foot",
    Test.BOTH: "claim-both",
    Test.FACING: "claim-facing",
    Test.CLOCK: "claim-beats",
    Test.TURN: "claim-turn",
    Test.EITHER: "claim-turn-either-way",
}
"""The meaning that the second engine gives to each test, as a function of the vocabulary: from the bit of a claim, the
value if there is one, and the dancer who comes, to the dancer after it."""


@frozen
class Widths:
    """The bits of a turn, of a time and of the sentences.

    None of the sums of a script may overflow; they are rounded up, so that few vocabularies serve all sheets.
    """

    turn: int
    beats: int
    off: int

    @classmethod
    def holding(cls, eighths: int, ticks: int, sentences: int) -> "Widths":
        """Return widths for turns of so many eighths to either side, so many ticks, and so many sentences."""
        turn, beats = eighths.bit_length() + 1, max(1, ticks.bit_length())
        return cls(
            *(-(-need // step) * step for need, step in ((max(4, turn), 4), (beats, 4), (max(1, sentences), 16)))
        )

    @property
    def dancer(self) -> int:
        """The bits of a dancer."""
        return 3 + self.turn + self.beats + self.off


@lru_cache(maxsize=64)
def prelude(widths: Widths) -> str:
    """Return the vocabulary in SMT-LIB 2."""
    turn, beats, off, dancer = widths.turn, widths.beats, widths.off, widths.dancer
    turn_low, loose = 2 + beats, 2 + beats + turn
    return f"""\
; Does every sentence of this sheet hold in every dance that it allows?  unsat: yes.
;
; A dancer is one word of bits: where her weight is, how far she has turned and how long she has danced since her frame
; began (a part, each time it is danced; else the dance), and which sentences of the sheet have been false on her way.
; What she dances is a function from dancer to dancer.  Names in bars are words of the sheet; a number before is a line.
(set-logic QF_BV)
(define-sort Weight () (_ BitVec 2))
(define-sort Eighths () (_ BitVec 3)) ; a facing, clockwise from the front
(define-sort Turn () (_ BitVec {turn})) ; signed eighths, left negative
(define-sort Beats () (_ BitVec {beats})) ; ticks, 12 a beat
(define-sort Off () (_ BitVec {off})) ; sentences, a bit each
(define-sort Dancer () (_ BitVec {dancer}))
(define-fun left () Weight #b00)
(define-fun right () Weight #b01)
(define-fun both () Weight #b10)
(define-fun none () Off (_ bv0 {off}))
(define-fun sentence ((number Off)) Off (bvshl (_ bv1 {off}) number))
(define-fun off ((d Dancer)) Off ((_ extract {dancer - 1} {loose + 1}) d))
(define-fun loose ((d Dancer)) (_ BitVec 1) ((_ extract {loose} {loose}) d)) ; her turn is known up to whole turns only
(define-fun turn ((d Dancer)) Turn ((_ extract {loose - 1} {turn_low}) d))
(define-fun beats ((d Dancer)) Beats ((_ extract {turn_low - 1} 2) d))
(define-fun weight ((d Dancer)) Weight ((_ extract 1 0) d))
(define-fun dancer ((w Weight) (l (_ BitVec 1)) (t Turn) (b Beats) (o Off)) Dancer (concat o l t b w))
; what of her stays when one thing changes
(define-fun but-off ((d Dancer)) (_ BitVec {loose + 1}) ((_ extract {loose} 0) d))
(define-fun but-weight ((d Dancer)) (_ BitVec {dancer - 2}) ((_ extract {dancer - 1} 2) d))
(define-fun before-turn ((d Dancer)) (_ BitVec {off + 1}) ((_ extract {dancer - 1} {loose}) d))
(define-fun after-turn ((d Dancer)) (_ BitVec {turn_low}) ((_ extract {turn_low - 1} 0) d))
(define-fun before-beats ((d Dancer)) (_ BitVec {off + 1 + turn}) ((_ extract {dancer - 1} {turn_low}) d))
(define-fun of-turn ((t Turn)) Eighths ((_ extract 2 0) t))
(define-fun facing ((d Dancer)) Eighths ((_ extract {turn_low + 2} {turn_low}) d)) ; since her frame began
(define-fun as-turn ((e Eighths)) Turn ((_ zero_extend {turn - 3}) e))
(define-fun other ((foot Weight)) Weight (bvxor foot #b01))
; -- what a movement does to the weight w; lead is the foot that leads the figure
(define-fun free-foot-lands ((lead Weight) (w Weight)) Weight (ite (= w both) lead (other w)))
(define-fun free-foot-plays ((lead Weight) (w Weight)) Weight (ite (= w both) (other lead) w))
(define-fun supporting-foot ((lead Weight) (w Weight)) Weight (ite (= w both) lead w))
(define-fun this-foot-lands ((foot Weight) (w Weight)) Weight foot)
(define-fun this-foot-plays ((foot Weight) (w Weight)) Weight (ite (= w both) (other foot) w))
(define-fun both-feet-land ((lead Weight) (w Weight)) Weight both)
(define-fun weight-stays ((lead Weight) (w Weight)) Weight w)
(define-fun as-led ((lead Weight) (own Weight) (foot Weight)) Weight ; a foot that is written, or its mirror image
  (ite (= lead own) foot (other foot)))
; -- what a figure adds
(define-fun on ((w Weight) (d Dancer)) Dancer (concat (but-weight d) w))
(define-fun at ((b Beats) (d Dancer)) Dancer (concat (before-beats d) b (weight d)))
(define-fun lasts ((b Beats) (d Dancer)) Dancer (at (bvadd (beats d) b) d))
(define-fun danced-to ((w Weight) (b Beats) (d Dancer)) Dancer (concat (before-beats d) (bvadd (beats d) b) w))
(define-fun exactly ((t Turn) (d Dancer)) Dancer (concat (off d) #b0 t (after-turn d)))
(define-fun loosely ((e Eighths) (d Dancer)) Dancer (concat (off d) #b1 (as-turn e) (after-turn d)))
(define-fun turns ((t Turn) (d Dancer)) Dancer (concat (before-turn d) (bvadd (turn d) t) (after-turn d)))
(define-fun own-turn ((own Weight) (t Turn) (before Dancer) (d Dancer)) Dancer
  (turns (ite (= (weight before) own) (bvneg t) t) d)) ; with the weight on its own lead, the other foot leads
(define-fun leads ((left? (_ BitVec 1)) (d Dancer)) Dancer ; from both feet a dancer picks the foot that leads
  (ite (= (weight d) both) (on (ite (= left? #b1) right left) d) d))
(define-fun faces-anew ((e Eighths) (d Dancer)) Dancer (loosely (bvadd (facing d) e) d))
(define-fun row ((w Weight) (e Eighths) (w? Weight) (e? Eighths) (d Dancer)) Dancer
  (ite (= w #b11) ; a row in which dancers pick what they do
    (on (ite (= w? #b11) both w?) (faces-anew e? d))
    (on w (faces-anew e d))))
; -- frames
(define-fun standing ((w Weight) (e Eighths)) Dancer (dancer w #b0 (as-turn e) (_ bv0 {beats}) none))
(define-fun fresh ((w Weight)) Dancer (concat (_ bv0 {dancer - 2}) w))
(define-fun enter ((d Dancer)) Dancer (fresh (weight d)))
(define-fun then ((d Dancer) (e Dancer)) Dancer ; e, who began afresh where d stood
  (concat (bvor (before-turn d) (before-turn e)) (bvadd (turn d) (turn e)) (bvadd (beats d) (beats e)) (weight e)))
(define-fun since ((e Eighths) (d Dancer)) Dancer (turns (bvneg (as-turn e)) d))
(define-fun from-zero ((d Dancer)) Dancer (at (_ bv0 {beats}) d))
(define-fun timed ((d Dancer) (e Dancer)) Dancer (lasts (beats d) e)) ; e, whose clock began at zero where d stood
(define-fun also ((d Dancer) (e Dancer)) Dancer ; d, with what is false on e's way
  (concat (bvor (off d) (off e)) (but-off d)))
(define-fun telling ((o Off) (d Dancer)) Dancer (concat o (but-off d)))
; -- sentences: what is false is noted, and then taken as true
(define-fun noted ((claim Off) (d Dancer)) Dancer (bvor (concat claim (_ bv0 {loose + 1})) d))
(define-fun unless ((holds Bool) (claim Off)) Off (ite holds none claim))
(define-fun claim-lead ((claim Off) (foot Weight) (d Dancer)) Dancer
  (on (other foot) (ite (= (weight d) foot) (noted claim d) d)))
(define-fun claim-foot ((claim Off) (foot Weight) (d Dancer)) Dancer
  (ite (= (weight d) (other foot)) d (on (other foot) (noted claim d))))
(define-fun claim-both ((claim Off) (d Dancer)) Dancer (ite (= (weight d) both) d (on both (noted claim d))))
(define-fun faces ((front Eighths) (e Eighths) (d Dancer)) Bool (= (bvadd front (facing d)) e))
(define-fun claim-facing ((claim Off) (front Eighths) (e Eighths) (d Dancer)) Dancer
  (ite (faces front e d) d (loosely (bvsub e front) (noted claim d))))
(define-fun claim-beats ((claim Off) (b Beats) (d Dancer)) Dancer (ite (= (beats d) b) d (at b (noted claim d))))
(define-fun turned ((t Turn) (d Dancer)) Bool (ite (= (loose d) #b1) (= (facing d) (of-turn t)) (= (turn d) t)))
(define-fun claim-turn ((claim Off) (t Turn) (d Dancer)) Dancer (exactly t (ite (turned t d) d (noted claim d))))
(define-fun either-way ((t Turn) (d Dancer)) Bool (or (turned t d) (turned (bvneg t) d)))
(define-fun claim-turn-either-way ((claim Off) (t Turn) (d Dancer)) Dancer
  (ite (either-way t d) d (exactly t (noted claim d))))
(define-fun as-long ((claim Off) (first Dancer) (d Dancer)) Dancer ; alternatives last as long as the first
  (claim-beats claim (beats first) d))
(define-fun alike ((claim Off) (d Dancer) (e Dancer)) Dancer ; both end alike; then what is false on either's way
  (also d (ite (= (but-off d) (but-off e)) e (noted claim e))))
(define-fun lasting ((shortest Beats) (longest Beats) (d Dancer)) Bool
  (and (bvule shortest (beats d)) (bvule (beats d) longest)))
(define-fun comes ((w Weight) (least Turn) (greatest Turn) (shortest Beats) (longest Beats) (d Dancer)) Bool
  (and (= (weight d) w) (= (loose d) #b0) (= (facing d) (of-turn least))
    (bvsle least (turn d)) (bvsle (turn d) greatest) (lasting shortest longest d)))
(define-fun comes-loosely ((w Weight) (e Eighths) (shortest Beats) (longest Beats) (d Dancer)) Bool
  (and (= (weight d) w) (= (loose d) #b1) (= (facing d) e) (lasting shortest longest d)))
(define-fun later ((a Beats) (b Beats)) Beats (ite (bvult a b) b a))
"""


# What no name of a sheet may be: the vocabulary, the names that every script has, and the logic's own.
_OTHER = """
    start end any round stand came went one two ends begins front begins-pass may-go-on may-begin noted-in-passes
    feet-ordered led-as-ordered come-home guessed-of-passes sentences danced seen picked begun-on begun-facing p k f
    who where too-far noon past-one three past-four along gone product twice whole roots beyond moved kept-within t
    now come-by meet-at b
    foot true false let as par exists forall match check-sat assert and or not ite concat extract
"""
RESERVED = frozenset((*re.findall(r"\((?:define-\w+ )?([\w?-]+) ", prelude(Widths(4, 4, 16))), *_OTHER.split()))
_BEGINNINGS = "reading of", "may begin on", "pass one", "pass two", "a moment before"
_PASSES = "a pass begins", "a pass of", "a pass ends", "a pass that"
RESERVED_BEGINNINGS = ("bv", *(f"{text} " for text in (*_BEGINNINGS, *_PASSES)))


@define
class Census:
    """One traversal of a program, each body once.

    `turn` and `ticks` are more eighths to either side, and more time, than any sum of a script comes to; `both` says
    whether the weight can be on both feet, `blanks` whether something is to be found.  By their `id`, `uses` counts in
    how many places a body stands, and `varied` are the bodies with variations in them.
    """

    turn: int = EIGHTHS
    ticks: int = TICKS
    both: bool = False
    blanks: bool = False
    uses: dict[int, int] = field(factory=dict)
    varied: set[int] = field(factory=set)
    _choices: int = 0
    _reach: dict[int, tuple[int, int]] = field(factory=dict)

    @classmethod
    def of(cls, program: Program) -> "Census":
        """Return the census of a program."""
        made = cls()
        walls = (program.walls.body,) if program.walls else ()
        before = (body for meeting in program.meetings for body in meeting.before)
        ways = (travel.body for travel in program.travels)
        for body in (program.dance, *(spare.body for spare in program.spares), *walls, *before, *ways):
            turn, ticks = made._body(body)
            made.turn, made.ticks = max(made.turn, turn + EIGHTHS), max(made.ticks, ticks)
        for length in program.lengths:
            version = length.figure.versions[length.figure.usual]
            made.ticks = max(made.ticks, length.ticks, *(action.beat * TICKS for action in version.actions))
        begun = (*(one.weights for one in program.spares), *(one.weights for one in program.travels))
        made.both = made.both or any(Weight.BOTH in weights for weights in begun)
        return made

    def _body(self, body: Body) -> tuple[int, int]:
        self.uses[id(body)] = self.uses.get(id(body), 0) + 1
        self._choices += id(body) in self.varied
        if id(body) not in self._reach:
            turn, ticks, before = 0, 0, self._choices
            for item in body:
                more = self._item(item)
                turn, ticks = turn + more[0], ticks + more[1]
            if self._choices > before:
                self.varied.add(id(body))
            self._reach[id(body)] = turn, ticks
        return self._reach[id(body)]

    def _item(self, item: Item) -> tuple[int, int]:
        match item:
            case Step():
                turn, ticks, both = _figure(item.figure)
                self.both, self.blanks = self.both or both, self.blanks or item.blank
                return max(turn, abs(item.turn or 0)), ticks
            case Check():
                self.both = self.both or item.test is Test.BOTH
                self.blanks = self.blanks or item.blank
                value = abs(item.value or 0)
                return (0, value) if item.test.about == "clock" else (max(EIGHTHS, value), 0)
            case Together():
                sizes = [self._item(check) for check in item.checks]
            case Rest():
                return 0, item.ticks
            case Gap():
                self.both = self.blanks = True
                return EIGHTHS, item.ticks
            case Choice():
                self._choices += 1
                sizes = [self._body(option) for option in item.options]
            case Repeat():
                self.blanks = self.blanks or item.times is None
                turn, ticks = self._body(item.body)
                times = MOST_TIMES if item.times is None else item.times
                return turn * times, ticks * times
            case _:
                turn, ticks = self._body(item.body)
                return turn + EIGHTHS, max(ticks, getattr(item, "lasts", None) or 0)
        return sum(size[0] for size in sizes), sum(size[1] for size in sizes)


@lru_cache(maxsize=1 << 12)
def _figure(figure: Figure) -> tuple[int, int, bool]:
    """Return how far a figure turns at most, how long it lasts, and whether it can land on both feet."""
    senses = (s for v in figure.versions for action in v.actions for s in action.movement.senses)
    both = any(sense.actor is Actor.BOTH and sense.lands for sense in senses)
    turn = max(EIGHTHS, *(abs(version.turn) for version in figure.versions))
    return turn, max(version.length for version in figure.versions), both
