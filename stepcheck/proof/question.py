"""What the second engine asks: the points of a dance, and what a dancer may choose on the way to them.

Names stand for constants and terms of the text that `encode` writes; none of these values means anything without it.
"""

from collections.abc import Mapping
from typing import TypeAlias

from attrs import frozen

from stepcheck.model.dance import Weight


@frozen
class AskPick:
    """A variation: constant `name` is the option; `options` hold what each of them asks."""

    name: str
    options: tuple["Asks", ...]


@frozen
class AskLead:
    """The lead is chosen (constant `name`, 0 left) where the Boolean `chosen` is true."""

    name: str
    chosen: str


@frozen
class AskEnd:
    """The dance ends with `body` where constant `name` is 1."""

    name: str
    body: "Asks"


@frozen
class AskFill:
    """A blank is filled: constants `weight` (empty where the blank does not move it) and `turn`."""

    weight: str
    turn: str


@frozen
class AskRounds:
    """A body danced again and again.

    `times` names the constant that holds how often, where that is a blank.  Of a long repeat only the first rounds
    are listed; `skipped` are danced like the last of them, or go round in that one of `circles` (the first lap, and
    how many) of which constant `circle` is the number.
    """

    rounds: tuple["Asks", ...]
    times: str = ""
    skipped: int = 0
    circle: str = ""
    circles: tuple[tuple[int, int], ...] = ()


@frozen
class At:
    """Point number `point` stands here."""

    point: int


Ask: TypeAlias = "AskPick | AskLead | AskFill | AskEnd | AskRounds | At"
Asks: TypeAlias = tuple[Ask, ...]


@frozen
class Point:
    """A claim at one place of the dance.

    `fails` is a Boolean: the dance comes here and the claim does not hold; `holds` its twin.  While states are open
    (`open`) both are asked; where the filling says whether the dance comes here at all, `maybe` is set as well.
    `lap` is the lap of a body without end.
    """

    number: int
    claim: str
    fails: str
    holds: str
    open: bool = False
    maybe: bool = False
    lap: int = 0


@frozen
class Sides:
    """A turn without a side at point number `point`: all dances must turn alike.

    `right` and `left` are Booleans: the dance comes here and has not turned so far to that side.  `modulo` are the
    same Booleans up to whole turns, `loose` is true where the turn is known only up to those, `comes` wherever the
    dance comes here.  `side` is the side on which the text after this point rests.
    """

    key: str
    point: int
    right: str
    left: str
    modulo: tuple[str, str]
    loose: str
    comes: str
    side: int


@frozen
class Lengths:
    """The lengths of a variation's options at point number `point`: `equal` says of each that it is as the first."""

    point: int
    pick: str
    equal: tuple[str, ...]


@frozen
class Closing:
    """The end of a pass with a blank in it, before point number `before`: do the states stop being open?"""

    key: str
    before: int
    guard: str
    start: str
    weight: str
    facing: str


@frozen
class Circle:
    """The laps of a body without end, before point number `before`.

    `states` are weight, facing (the turn modulo 8) and looseness at the start of each lap and after the last;
    `guards` say that the dance comes to each.  `moves` says whether the facing matters to a lap.  At least `least`
    laps are danced: where a lap compares its own turn or time, those after the second are alike.  `whole` says that
    all states which come to a lap matter together, not each for itself.
    """

    key: str
    before: int
    states: tuple[tuple[str, str, str], ...]
    guards: tuple[str, ...]
    moves: bool
    least: int
    whole: bool


@frozen
class Round:
    """The end of a lap that the claim about walls speaks of: its weight and change of facing.

    `point` is negative; `lap` is the lap of a body without end that it stands in.  `wrong` is true where its change of
    facing does not belong to the number of walls, `on` where it is this or that one of those that do; `open` says that
    it waits on a blank.
    """

    point: int
    guard: str
    weight: str
    facing: str
    wrong: str
    on: tuple[str, ...]
    lap: int = 0
    open: bool = False


@frozen
class Strand:
    """One beginning: the dance (`spare` None), a spare, or a whole pass for the walls (`spare` -1).

    `start` is the weight at its beginning, or `weight` names it.
    """

    asks: Asks
    spare: int | None = None
    start: Weight | None = None
    weight: str = ""


@frozen
class Encoding:
    """The text of a program and what stands in it.

    `sorts` and `lines` declare and define; `widths` are the bits of each constant (0 for a Boolean), and `seen` the
    terms that a question may have to read, with theirs.  `asked` are the constants of the choices, in the order of
    the dance; `words` those of the open words, and `unusual` names how many of these have not their usual reading.
    """

    sorts: tuple[str, ...]
    lines: tuple[str, ...]
    widths: Mapping[str, int]
    seen: Mapping[str, int]
    asked: tuple[str, ...]
    words: tuple[str, ...]
    unusual: str
    points: tuple[Point, ...]
    strands: tuple[Strand, ...]
    sides: tuple[Sides, ...]
    lengths: tuple[Lengths, ...]
    closings: tuple[Closing, ...]
    circles: tuple[Circle, ...]
    rounds: tuple[Round, ...]
