"""Figures of a clogging routine: those that its source spells out, how long each lasts, rows and steps as lines."""

import itertools
import re
from collections.abc import Iterator, Sequence

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.books.placing import place
from stepcheck.cues.codes import Row, forms_beats, paired, sides
from stepcheck.cues.footwork import found_in
from stepcheck.cues.marks import Cue
from stepcheck.cues.titles import shortens
from stepcheck.language.parser import parse_forms
from stepcheck.model.dance import EIGHTHS, TICKS, key
from stepcheck.model.movements import Actor, Movement
from stepcheck.steps.counts import spins
from stepcheck.steps.lines import SAYS
from stepcheck.steps.outline import (
    Assumptions,
    Block,
    Definition,
    Expect,
    Item,
    Line,
    Move,
    beats_of,
    lines_of,
    mirrored_line,
    row_text,
    turned_by,
)
from stepcheck.steps.steps import OTHER, WALLS, Step, Turn
from stepcheck.steps.vocabulary import Vocabulary, Word, mended, pieces, plain
from stepcheck.steps.words import SIDED

_BALL = re.compile(r"(?i)(?<![\w'])b(?![\w'.])")
"""A letter that stands for a ball in a row."""
_WEIGHTED = frozenset(["rock", "double toe", "step", "stomp", "ball"])


def nearly(one: list[Movement], other: list[Movement]) -> bool:
    """Say whether movements are the same but for one at most, which takes no weight, and for steps that are on the ball
    of the foot in one of them."""
    pairs = ({move.name for move in pair} for pair in zip(one, other, strict=False))
    odd = [names for names in pairs if len(names) > 1 and names != {"step", "ball"}]
    return len(one) == len(other) and len(odd) < 2 and not any(names & _WEIGHTED for names in odd)


class Figures:
    """The figures of a routine: the book's, and by key those that its source spells out, `defined`; `balls` says that a
    row of its `texts` has a B."""

    def __init__(self, vocabulary: Vocabulary, book: Book, assumed: Assumptions, texts: Sequence[str] = ()) -> None:
        self.vocabulary, self.book, self.assumed = vocabulary, book, assumed
        self.defined: dict[str, Definition] = {}
        rows = ((text, row) for text in texts for row in found_in(text, {}))
        self.balls = any(_BALL.search(text, row.start, row.end) for text, row in rows)

    def learn(self, name: str) -> str:
        """Return how a figure is called: as the book spells it, else as the source does, which is learnt."""
        words = tuple(mended(word, self.vocabulary) for word in name.casefold().replace("-", " ").split())
        for at in (words, tuple(word.removesuffix("s") for word in words)):
            found = self.vocabulary.phrases.get(at)
            if found and found.kind == "figure":
                named = {at: evolve(found, note="")}  # whatever else its words say
                phrases = {tuple(name.casefold().split()): found, **self.vocabulary.phrases, **named}  # `Double-down`
                self.vocabulary = evolve(self.vocabulary, phrases=phrases)
                return found.value
        called = " ".join(name.split())
        phrases = dict(self.vocabulary.phrases)
        spelled = tuple(name.casefold().split())
        for form in {
            each for one in (words, spelled) for each in (one, *((*one[:-1], one[-1] + end) for end in ("s", "es")))
        }:
            phrases[form] = Word("figure", called)
        self.vocabulary = evolve(self.vocabulary, phrases=phrases, longest=max(self.vocabulary.longest, len(words)))
        return called

    def shortened(self, short: str) -> str:
        """Return the one figure of whose name a word that says nothing else is the beginning, or has the first letter
        of each word, or else in capitals letters in their order; "" if there are none or several."""
        low = short.casefold()
        known = self.vocabulary.phrases.get((low,))
        way = known is not None and known.kind == "dir" and short.isupper()  # `FD` may be forward, or a Fancy Double
        if known and not way:
            return ""
        figures = {
            " ".join(said): each.value for said, each in self.vocabulary.phrases.items() if each.kind == "figure"
        }
        first = {
            name
            for said, name in figures.items()
            if (" " not in said and said.startswith(low)) or low == "".join(each[0] for each in re.split("[ -]", said))
        }
        found = first or {name for said, name in figures.items() if short.isupper() and shortens(low, said)}
        return found.pop() if len(found) == 1 else ""

    def several(self, cue: Cue, stated: int) -> Cue:
        """Return a cue, `stated` beats of which are its own, with how often its figure is danced where that is a plural
        without a number: on its feet, `Basics L R L R`, or as often as fills its beats; else that is in doubt. So is
        whether a foot and the `other foot` are both, and a box whose turns are not said."""
        once, feet = self.beats(Line(name=cue.name)) if cue.name else 0, len(cue.feet)
        many = (cue.beats or stated) // once if once else 0
        if "other foot" in cue.notes and (many == 1 or (many, feet) == (2, 1)):
            return evolve(cue, feet=cue.feet + OTHER[cue.feet[-1]] * (many - 1), notes=cue.notes[:-1])
        if "other foot" in cue.notes or (_BOX.search(" ".join(cue.notes)) and not cue.turns):
            return evolve(cue, doubt=cue.doubt or cue.notes[-1])
        if not cue.several or cue.number or cue.times or cue.row or cue.steps or feet == 2:
            return cue
        many = feet if feet > 1 else many
        return evolve(cue, number=many) if many > 1 else evolve(cue, doubt=cue.doubt or cue.text, unknown=True)

    def define(self, name: str, row_: str, note: str = "", facts: str = "") -> str:
        """Keep the footwork that the source gives for a figure, the first time that it does; return its name."""
        if not names_figure(name, self.vocabulary):
            return ""
        called = self.learn(name)
        if key(called) not in self.defined and forms_beats(row_, self.book):
            self.defined[key(called)] = Definition(called, row_, note, facts)
        return called

    def beats(self, line: Line) -> int:
        """Return how many beats a line lasts, 0 where the figure is unknown."""
        if line.blank or not (line.name or line.moves):
            return line.counts
        if line.moves:
            return forms_beats(row_text(line, leads=True), self.book)
        if own := self.defined.get(key(line.name)):
            return forms_beats(own.row, self.book) * line.times
        found = self.book.find(line.name)
        return found[0].length // TICKS * line.times if found else 0

    def spells(self, name: str, codes: list[str]) -> bool:
        """Say whether codes are the footwork that a figure has in the sheet or in the book, if it has any."""
        if own := self.defined.get(key(name)):
            return own.row.split() == codes
        known = self.known(name)
        return not known or self.moves(codes) in known

    def alike(self, name: str, row: Row) -> bool:
        """Say whether a row is the footwork that the book has of a figure but for one movement that takes no weight, or
        for steps that are on the ball of the foot in one of them."""
        moves, known = self.moves([each for group in row.codes for each in group]), self.known(name)
        if key(name) in self.defined or moves in known:
            return False
        return any(nearly(one, moves) for one in known)

    def moves(self, codes: list[str]) -> list[Movement]:
        """Return the movements of codes."""
        placed = place(parse_forms(" ".join(codes)), self.book.movement, self.book.tradition)[0]
        return [each.movement for each in placed]

    def known(self, name: str) -> list[list[Movement]]:
        """Return the movements that the book has of a figure, in each of its versions."""
        return [[each.movement for each in one.actions] for kind in self.book.find(name) for one in kind.versions]

    def changes(self, line: Line) -> int | None:
        """Return how often the weight comes to another foot in a line, None where that is not known."""
        own = self.defined.get(key(line.name)) if line.name else None
        codes = own.row.split() if own else [move.code for move in line.moves]
        placed = place(parse_forms(" ".join(codes)), self.book.movement, self.book.tradition)[0] if codes else ()
        found = self.book.find(line.name) if not codes else ()
        actions = placed or (found[0].versions[found[0].usual].actions if found and found[0].versions else ())
        if line.blank or not actions:
            return None
        senses = [each.movement.senses[each.movement.usual] for each in actions]
        return line.times * sum(sense.lands and sense.actor is Actor.FREE for sense in senses)

    def begun_on(self, items: Sequence[Item]) -> str:
        """Return the foot that lines begin on: that which the first says, or as the first foot that is said behind it
        has it; "" if none tells."""
        changes = 0
        for line in (line for item in items for line in lines_of(item)):
            if foot := foot_of((line,)):
                return OTHER[foot] if changes % 2 else foot
            if (more := self.changes(line)) is None:
                return ""
            changes += more
        return ""

    def turning(self, line: Line) -> int | None:
        """Return how far a line turns, in eighths to the right, None where that is not known."""
        own = self.defined.get(key(line.name))
        return turned_by(line, "turn" in own.facts if own else spins(line.name, self.book))

    def faces(self, items: Sequence[Item], at: int) -> bool:
        """Say whether dancers who face `at`, in eighths to the right, come from elsewhere to each facing that lines
        state, one at least."""
        stated, seen = 0, {at}
        for item in _danced(items):
            said = item.says.removeprefix("facing ") if isinstance(item, Expect) else item.facing
            turned = self.turning(item) if isinstance(item, Line) else 0
            if turned is None:
                return False
            at = (at + turned) % EIGHTHS
            if said in WALLS:
                stated += 1
                if at != WALLS[said] or seen <= {at}:
                    return False
                seen = set()
            seen.add(at)
        return stated > 0

    def coded(self, found: Row) -> Line:
        """Return a row of codes with the feet beside or below it as a line, a blank where there are more or fewer."""
        forms = [each for group in found.codes for each in group]
        given = paired(found.codes, found.feet)
        if len(given) not in (0, 1, len(found.codes)):
            return Line(blank=True, remark=" ".join(forms))
        for each, means in (
            ("BA" * self.balls, "B is a ball"),
            ("TT", "a toe with a place is a touch of the toe without weight"),
        ):
            if each in forms:
                self.assumed.add(means)
        moves: list[Move] = []
        for index, group in enumerate(found.codes):
            said = sides(group, given[index]) if index < len(given) else []
            for at, each in enumerate(group):
                side = said[at][:1] if at < len(said) else ""
                moves.append(Move(each, "" if each == "HOLD" else side, 0))
        return Line(moves=self._assumed(moves), note=tuple(filter(None, found.notes)))

    def _assumed(self, moves: list[Move]) -> tuple[Move, ...]:
        """Return movements; what is assumed of them is noted."""
        for move in (move for move in moves if move.code in SAYS):
            self.assumed.add(SAYS[move.code])
        return tuple(moves)

    def lasts(self, item: Item) -> int:
        """Return how many beats a line lasts, or the lines of a block."""
        if isinstance(item, Block):
            return item.times * sum(map(self.lasts, item.lines))
        return self.beats(item) if isinstance(item, Line) else 0

    def stepped(self, steps: list[Step], slow: bool = False, facing: str = "") -> Line:
        """Return single steps as a row, each on a beat of its own; slow ones have a beat of stillness each."""
        steps = [each for step in steps for each in ((step, Step(("HOLD",))) if slow else (step,))]
        own = all(len(step.codes) == 1 for step in steps)
        moves = [
            Move(each, step.foot if each != "HOLD" else "", at * TICKS * own)
            for at, step in enumerate(steps, 1)
            for each in step.codes
        ]
        note = tuple(each for step in steps for each in step.note)
        spin = next((step.turn for step in steps if step.turn), None)
        return Line(self._assumed(moves), note=note, turn=spin, facing=facing)


def _danced(items: Sequence[Item], first: bool = True) -> Iterator[Line | Expect]:
    """Yield lines and claims as they are danced, each time of those that are danced several times."""
    for item in items:
        if isinstance(item, Block):
            for time in range(item.times if first or item.head != "1st time only" else 0):
                yield from _danced(item.lines, time == 0)
        elif isinstance(item, Line | Expect):
            yield item


def split_foot(name: str) -> tuple[str, str]:
    """Return a figure's name without the foot behind it, and the foot, or both of `Vine L & R`, `Push Off (left)`."""
    both = re.search(rf"(?i)[\s(]+({SIDED})\s*(?:&|and|\+|,)\s*({SIDED})\)?\s*$", name)
    feet = "".join(each[0].upper() for each in both.groups()) if both else ""
    if both and feet in ("LR", "RL"):
        return name[: both.start()].strip(" ("), feet
    found = re.search(rf"(?i)[\s(]+(?:(?:to|on) (?:the )?)?({SIDED})\)?\s*$", name)
    return (name[: found.start()].strip(" ("), found[1][0].upper()) if found else (name.strip(), "")


def names_figure(text: str, vocabulary: Vocabulary) -> bool:
    """Say whether words may name a figure: one that is known, or words that do not all say where, or how far."""
    kinds = {kind for kind, *_ in pieces(plain(text), vocabulary)}
    return (
        "figure" in kinds
        or bool(text[:1].isupper() and kinds & {"word", "verb", "part"})
        or bool("codes" in kinds and re.match(r"[A-Z][a-z]", text))
    )


_BOX = re.compile(r"\b(?:box|square)\b")


def footed_once(line: Line, foot: str) -> Line:
    """Return a figure, or a row, that a foot begins."""
    if line.name:
        return evolve(line, foot=foot)
    return evolve(line, moves=(*(evolve(move, foot=foot) for move in line.moves[:1]), *line.moves[1:]))


def foot_of(items: Sequence[Item]) -> str:
    """Return the foot that lines say they begin with, "" if none is said."""
    first = next((line for item in items for line in lines_of(item)), None)
    return (first.foot[:1] or next((move.foot for move in first.moves[:1]), "")) if first else ""


def led(items: list[Item], foot: str) -> list[Item]:
    """Return lines the first of which is danced on a foot."""
    first = items[0]
    return [footed_once(first, foot), *items[1:]] if isinstance(first, Line) and not first.blank else items


def footed(line: Line, feet: Sequence[str]) -> list[Line]:
    """Return a figure on the feet that are said, one for each time or the first; a blank where they are others."""
    feet = [each[:1] for each in feet]
    if len(feet) == line.times > 1 and len({*feet}) == 1:
        return [evolve(line, foot=feet[0], times=1)] * line.times
    alternate = all(one != other for one, other in itertools.pairwise(feet))
    if len(feet) == 2 and alternate and line.times == 1:
        return [evolve(line, foot=side) for side in feet]
    fits = alternate and len(feet) in (1, line.times)
    return [evolve(line, foot=feet[0]) if fits else Line(blank=True, remark=f"{line.name} {' '.join(feet)}")]


_STANDS = frozenset(["S", "DS", "STO", "BA", "T", "H", "HD", "SL", "DR"])
"""Movements with weight on their foot at their end."""
_FREE = frozenset(["BR", "TCH", "K", "UP", "CLAP", "HOLD"])


def _ends_otherwise(line: Line) -> bool:
    """Say whether behind a row with feet the other foot is free than the one that begins it: it is danced again on
    that."""
    last = next((move for move in reversed(line.moves) if move.code not in _FREE), line.moves[-1])
    free = {"RS": last.foot}.get(last.code, OTHER.get(last.foot, "") if last.code in _STANDS else "")
    return bool(line.moves[0].foot and free and free != line.moves[0].foot)


def alike_pieces(line: Line, feet: str) -> bool:
    """Say whether feet in turn are those of the like pieces of one row: `H S H S  L R`."""
    codes, many = [move.code for move in line.moves], len(feet)
    size = len(codes) // max(many, 1)
    alike = many > 1 and size * many == len(codes) and codes == codes[:size] * many
    return alike and all(a != b for a, b in itertools.pairwise(feet))


def each_time(line: Line, feet: str, times: int, alike: bool) -> list[Line]:
    """Return a row for each time that it is danced, on the feet that are said, or on those that are free; `alike` says
    that each time begins on the one foot that is."""
    own = any(move.foot for move in line.moves)
    if len(feet) > 1:
        begun = {line.moves[0].foot or feet[0]: line}
        return [footed_once(begun.get(foot) or mirrored_line(line), foot) for foot in feet]
    first = line if own or not feet else footed_once(line, feet)
    rows = [first, *[first if own or alike else line] * (times - 1)]
    other = mirrored_line(rows[0])
    if _ends_otherwise(line):
        return [evolve(other, turn=row.turn) if at % 2 else row for at, row in enumerate(rows)]
    return rows


def shared_out(lines: list[Line], spin: Turn, times: int) -> list[Line]:
    """Return lines that turn so far together: each its share, the last one all that can't be shared."""
    if not spin.eighths % times:
        return [evolve(line, turn=Turn(spin.eighths // times, spin.side)) for line in lines]
    return [*lines[:-1], evolve(lines[-1], turn=spin, on="last" if lines[-1].times > 1 else "")]


def sliced(items: list[Item], first: int, last: int) -> list[Item]:
    """Return the lines that stand on just these beats of a part."""
    at, out = 0, list[Item]()
    for item in items:
        if first <= at + 1 and at + beats_of(item) <= last:
            out.append(item)
        at += beats_of(item)
    return out if sum(map(beats_of, out)) == last - first + 1 else []


def unnamed(cue: Cue) -> tuple[Step, ...]:
    """Return the steps of a cue that names no figure."""
    if cue.row is not None and not cue.name:
        return tuple(Step(codes) for codes in cue.row.codes)
    return cue.steps


def told_once(cues: list[Cue]) -> list[Cue]:
    """Return cues without those that say in words just the row before them: `STO STO (hold)   2 stomps, hold 1`."""
    row, *words = cues or [Cue("")]
    said = [code for cue in words for step in cue.steps for code in step.codes]
    plainly = all(cue.steps and not (cue.times or cue.feet or cue.turns or cue.facing or cue.doubt) for cue in words)
    own = [each for codes in row.row.codes for each in codes] if row.row and not row.name else []
    if words and plainly and said == own:
        row.aside, cues = ", ".join(cue.text for cue in words), [row]
    return cues


def alike(words: Cue, cue: Cue) -> bool:
    """Say whether a cue in the next column is just the steps that the one before says in words."""
    one, other = ([code for step in unnamed(each) for code in step.codes] for each in (words, cue))
    marked = words.times or words.turns or words.doubt or words.facing or cue.doubt or cue.times
    return bool(words.steps and one == other and not marked and words.text.casefold() != cue.text.casefold())


def with_still(last: Cue, rest: list[Cue]) -> Cue | None:
    """Return a cue with the claps and snaps behind it as its notes, None where more stands behind it."""
    codes = {code for cue in rest for step in cue.steps or [None] for code in (step.codes if step else ("",))}
    return evolve(last, notes=[*last.notes, *(cue.text for cue in rest)]) if codes <= {"CLAP", "HOLD"} else None
