"""Lines of the sheet from the cues of a line: the reading that comes to its beats, a blank where none does."""

import itertools
import re

from attrs import define, evolve, field

from stepcheck.cues.codes import forms_beats
from stepcheck.cues.figures import Figures, alike_pieces, each_time, footed, shared_out, with_still
from stepcheck.cues.footwork import Footwork
from stepcheck.cues.marks import Cue, prose
from stepcheck.cues.repeats import Again
from stepcheck.model.dance import key
from stepcheck.steps.outline import Block, Item, Line, each_line, joined, lines_of, row_text
from stepcheck.steps.steps import Turn
from stepcheck.steps.vocabulary import tight
from stepcheck.steps.words import NTHS, SIDED

_TO_AND_FRO = frozenset(["S", "STO", "STA", "STU", "CL", "TCH", "PT", "K", "HT", "TT", "HITCH", "HOLD"])
"""Movements that have a beat each where they are told in words."""
Open = list[tuple[int, str, str]]
"""What is open: the number of its line, its words, and "blank" or "open"."""


@define
class Told:
    """A line of a part: its cues, `times` in all, or what it says to dance again; the beats that are stated of it,
    and whether these may be those of one time; `leads` says that a number stands in front of it, `led` that its beats
    do; `says` is all that it says, if that is where the dancers face or which foot is free; `total` are the beats that
    it states of all its cues, or of all lines so far, if it has none; `spare` says that it is danced only where its
    part has just that room, and has no `text` if the line below tells it as well."""

    number: int
    text: str
    cues: list[Cue] = field(factory=list)
    times: int = 1
    again: Again | None = None
    stated: int = 0
    loose: bool = False
    span: tuple[int, int] = (0, 0)
    label: int = 0
    inner: list["Told"] = field(factory=list)
    remark: str = ""
    leads: bool = False
    led: bool = False
    says: str = ""
    total: int = 0
    spare: bool = False


class Lines:
    """Turns cues to lines; `beats` says that a number in front of a cue is its beats, `turns` whether a turn behind
    several is of "each" of them or of "all" together, "" where nothing says; then `asked` says that there is one."""

    def __init__(self, cues: Figures, beats: bool, turns: str = "") -> None:
        self.cues, self.beats, self.turns = cues, beats, turns
        self.asked = False

    def lasts(self, items: list[Item]) -> int:
        """Return how many beats lines last, 0 if that is not known of one of them."""
        known = [self.cues.lasts(item) for item in items if isinstance(item, Line | Block)]
        return sum(known) if all(known) else 0

    def of(self, told: Told, opened: Open) -> list[Item]:
        """Return the lines of a told line, in the reading that comes to its beats; a blank where none does."""
        front = told.cues[0].number if self.beats and told.leads and told.cues and not told.stated else 0
        front = 0 if front and (front == 1 or told.cues[0].several) else front
        stated = front or told.stated
        if not told.cues and not told.inner and not stated:
            opened.append((told.number, told.text, "open"))
            return [Line(blank=True, remark=told.text, source=told.number)]
        quiet: Open = []
        source, many = told, [self.cues.several(cue, stated) for cue in told.cues]
        told = self._full(evolve(told, cues=many) if many != told.cues else told, stated, front)
        cues = self._cues(told, quiet, front)
        source.total = told.total  # of the part
        items = [*joined(self._apart(cues))]
        if stated and self.lasts(items) not in _wanted(told, stated):
            items = [*joined(self._apart(cues, keep=False))]
        if (spelled := self._explained(items)) and (self.lasts(items) != stated or not stated):
            if not self._same(items):  # danced as well, or how it is danced here?
                opened.append((told.number, told.text, "blank"))
                return [Line(blank=True, counts=stated, measured=stated > 0, remark=told.text, source=told.number)]
            items = spelled
        items = self._often(items, front)
        if told.times > 1 and items:
            items = [Block(f"{told.times} times", tuple(items))]
        size = self.lasts(items)
        blanks = [line for item in items for line in lines_of(item) if line.blank]
        alone = len(told.cues) == 1 and len(items) == 1 and not told.inner
        if stated and alone and blanks and isinstance(items[0], Line):
            items = [evolve(items[0], counts=stated, measured=True, remark=told.text)]
        elif stated and (size not in _wanted(told, stated) or any(not line.counts for line in blanks)):
            said = f"{stated} beats are stated, {size} are read: {told.text}" if size and not blanks else told.text
            opened.append((told.number, said, "blank"))
            return [Line(blank=True, counts=stated, measured=True, remark=told.text, source=told.number)]
        opened += [(told.number, said, kind) for _, said, kind in quiet]
        items = [each_line(item, lambda line: self._sized(line, told, stated)) for item in items]
        if (front or told.led) and len(items) == 1 and isinstance(items[0], Line) and not items[0].blank:
            items = [evolve(items[0], stated=True)]
        return items

    def _full(self, told: Told, stated: int, front: int) -> Told:
        """Return a told line without the cues behind those that fill its stated beats, if they are prose, `[4] Triple,
        toes pointed to the corner`, or what a row is called: `DS BR SL DS RS   Brush, then rock  (4)`."""
        if not stated or len(told.cues) < 2 or self._size(told, front) in _wanted(told, stated):
            return told
        for many in range(1, len(told.cues)):
            last, rest = told.cues[many - 1], told.cues[many:]
            said = (_said_of(last, rest[0]) if len(rest) == 1 else None) or with_still(last, rest)
            said = said or (_called(last, rest) if many == 1 else None)
            if said or all(prose(cue.text, self.cues.vocabulary) for cue in rest):
                bare = evolve(told, cues=[*told.cues[: many - 1], said or last])
                return bare if self._size(bare, front) in _wanted(told, stated) else told
        return told

    def _size(self, told: Told, front: int) -> int:
        """Return how many beats the cues of a told line last, 0 if that is not known of one of them."""
        return self.lasts([*joined(self._apart(self._cues(evolve(told), [], front)))])

    def _cues(self, told: Told, opened: Open, front: int) -> list[Item]:
        """Return the lines of the cues of a told line; beats behind several are those of all since the last ones."""
        items = [item for each in told.inner for item in self.of(each, opened)]
        since = len(items)
        for at, cue in enumerate(told.cues):
            number = 0 if front and not at else cue.number
            before: Open = []
            made = self.cue(evolve(cue, beats=0), before, told, number) if at and cue.beats else []
            starts = (since, 0) if made else ()
            sums = [self.lasts([*joined(self._apart([*items[start:], *made]))]) for start in starts]
            if made and not before and cue.beats in sums:
                since = 0 if cue.beats == sums[1] else since
                told.total = cue.beats if not since else 0  # `Rocking Chair, Basic, Basic, 8 beats`
            else:
                made = self.cue(cue, opened, told, number)
            items += made
            since = len(items) if cue.beats else since
        return items

    def _apart(self, items: list[Item], keep: bool = True) -> list[Item]:
        """Return lines without the beats of steps in words, but, if `keep` says so, where these are steps to and fro,
        which a row of codes has on halves: `step, touch, step, kick`."""
        out: list[Item] = []
        for counted, group in itertools.groupby(items, _on_beats):
            lines = [*group]
            codes = [move.code for item in lines if isinstance(item, Line) for move in item.moves]
            plain = not {*codes} <= _TO_AND_FRO or forms_beats(" ".join(codes), self.cues.book) == len(codes)
            out += (each_line(item, self._untimed) for item in lines) if counted and (plain or not keep) else lines
        return out

    def _untimed(self, line: Line) -> Line:
        """Return a line without the counts of its movements."""
        made = evolve(line, moves=tuple(evolve(move, tick=0) for move in line.moves))
        return evolve(made, counts=forms_beats(row_text(made), self.cues.book))

    def _explained(self, items: list[Item]) -> list[Item]:
        """Return lines without the steps that spell the figure before them: three or more, on just its beats; of a
        figure that is danced several times, and in a line of two steps, only its own footwork."""
        out = list[Item]()
        for before, item in zip([None, *items], items, strict=False):
            if not (isinstance(item, Line) and isinstance(before, Line) and before.name):
                out.append(item)
                continue
            codes, several = [move.code for move in item.moves], before.times > 1
            fits = len(codes) > (1 if several or len(items) == 2 else 2)
            fits = fits and self.cues.beats(item) * before.times == self.cues.beats(before)
            if not (fits and ((not several and len(codes) > 2) or self.cues.spells(before.name, codes))):
                out.append(item)
            elif several and isinstance(last := out[-1], Line):
                out[-1] = evolve(last, note=(*last.note, *item.note))  # where it goes the second time
        return out if len(out) < len(items) else []

    def _often(self, items: list[Item], front: int) -> list[Item]:
        """Return the one figure of a line as often as the beats in front of it have room for it: `(8) Triple`."""
        match items:
            case [Line(turn=None, foot="", times=1) as line] if line.name and (size := self.lasts(items)):
                return items if front % size else [evolve(line, times=max(1, front // size))]
        return items

    def _same(self, items: list[Item]) -> bool:
        """Say whether the rows behind figures are their own footwork."""
        return all(
            self.cues.spells(before.name, [move.code for move in item.moves])
            for before, item in itertools.pairwise(items)
            if isinstance(before, Line) and isinstance(item, Line) and before.name and len(item.moves) > 2
        )

    def _sized(self, line: Line, told: Told, stated: int) -> Line:
        counts = line.counts or self.cues.beats(line)
        return evolve(line, counts=counts, measured=stated > 0, source=told.number)

    def cue(self, cue: Cue, opened: Open, told: Told, number: int) -> list[Item]:
        """Return the lines of a cue, `number` times; a blank of its beats where a word of it is not accounted for."""
        times = cue.times or number or 1
        made = self._line(cue, times)
        still = evolve(cue, turns=[], on="")
        bare = made or self._line(still, times) or self._line(evolve(still, feet=""), times)
        twice = cue.row is not None and number == cue.times  # `4 Basics   DS RS x4`
        often = number > 1 and cue.times > 1 and not cue.steps and not twice
        mixed = cue.number > 1 and len({step.codes for step in cue.steps}) > 1  # `4 step touch`
        many = often or (cue.doubt and (mixed or len(cue.feet) > max(2, times)))  # how often, nothing says
        known = self.lasts([*bare]) if bare and not many and not cue.unknown else 0
        if not made or cue.doubt or often or cue.unknown or any(isinstance(i, Line) and i.blank for i in made):
            counts = cue.beats * (times if cue.per else 1) or known
            opened.append((told.number, cue.text, "blank" if counts or told.stated else "open"))
            return [Line(blank=True, counts=counts, measured=counts > 0, remark=tight(cue.text))]
        if cue.beats and known not in (
            cue.beats * (not cue.per),
            cue.beats * times,
            cue.beats * len(cue.feet),  # `(4) L, then R`: of each of them
            cue.beats * len(cue.steps) * cue.per,
        ):
            opened.append((told.number, f"{cue.beats} beats are stated, {known} are read: {cue.text}", "blank"))
            unsaid = cue.per and times == 1 < len(cue.steps)  # beats of each, of how many
            counts = 0 if unsaid else cue.beats * (times if cue.per else 1)
            return [Line(blank=True, counts=counts, measured=counts > 0, remark=tight(cue.text))]
        last = made[-1]
        return [*made[:-1], evolve(last, remark=last.remark or cue.choice)] if isinstance(last, Line) else made

    def _line(self, cue: Cue, times: int) -> list[Item]:
        """Return a cue as lines, without its doubt."""
        if cue.steps:
            return self._steps(cue, times if cue.times else 1)
        if cue.row is not None and (not cue.name or (cue.aside and cue.row.feet)):
            return self._row(cue, cue.row, times)
        return self._figure(cue, times)

    def _row(self, cue: Cue, row: Footwork, times: int) -> list[Item]:
        """Return a row of codes as lines, one for each time."""
        book = self.cues.book
        line = self.cues.coded(row.row)
        line = row.row.placed(line, book) if line.moves and not line.blank else evolve(line, moves=())
        spin = row.spin(book)
        if not line.moves or not forms_beats(row_text(line), book) or (row.spins and (not spin or cue.turns)):
            return []
        if cue.aside and times > 1:
            once, size = self.cues.beats(Line(name=cue.name)), forms_beats(row_text(line), book)
            if size not in (once, once * times):
                return []
            times = 1 if size == once * times else times  # `DS RS DS RS   2 Basics`
        whole = [note for note in cue.notes if note[:1].isdecimal()]  # `4 forward, 4 back`: of all times
        base = evolve(line, note=(*line.note, *(note for note in cue.notes if note not in whole)))
        base = evolve(base, turn=spin[0], at=spin[1]) if spin else base
        own = sum(2 if move.code == "RS" else 1 for move in base.moves)  # a rock step has two feet
        alternate = all(one != other for one, other in itertools.pairwise(cue.feet))
        once = times == 1 and ((alternate and len(cue.feet) == own > 2) or alike_pieces(base, cue.feet))
        feet = cue.feet[:1] if once else cue.feet
        if len(feet) > 1 and (times not in (1, len(feet)) or not (alternate or times > 1)):
            return []
        first, *rows = each_time(base, feet, times, cue.alike)
        notes = (*[cue.aside] * bool(cue.aside), *first.note[len(line.note) :], *whole)
        first = evolve(first, note=(*first.note[: len(line.note)], *notes))
        return self._turned([first, *rows], cue, max(times, len(feet)))

    def _figure(self, cue: Cue, times: int) -> list[Item]:
        """Return a figure as lines."""
        own = self.cues.defined.get(key(cue.name))
        placed = [note for note in cue.row.notes if note] if cue.row and not own else []  # `Joey   DS BA(xib) ...`
        base = Line(name=cue.name, times=times, note=(*placed, *cue.notes))
        if cue.row and cue.row.spins and "turn" not in (own.facts if own else ""):
            spin = cue.row.spin(self.cues.book)
            if not spin or cue.turns:
                return []
            base, cue = evolve(base, at=spin[1]), evolve(cue, turns=[spin[0]])
        feet = cue.feet * (times if cue.alike and len(cue.feet) == 1 else 1)
        spoken = cue.row.feet if cue.row and not cue.row.own else ()
        feet = feet or (spoken[0][:1] if spoken and spoken[0] else "")
        if not self.cues.beats(evolve(base, times=1)):
            return []
        if times == 1 and len(feet) in self._feet(cue.name) and all(a != b for a, b in itertools.pairwise(feet)):
            feet = feet[0]  # of each of its steps
        return self._turned(footed(base, feet) if feet else [base], cue, times)

    def _feet(self, name: str) -> set[int]:
        """Return how many feet the footwork of a figure has as it is usually danced, a double step one; more than
        two."""
        own = self.cues.defined.get(key(name))
        if own:
            sizes = {sum(2 if code == "RS" else 1 for code in own.row.split())}
        else:
            versions = [found.versions[found.usual] for found in self.cues.book.find(name)]
            sizes = {sum(each.movement.name != "double toe" for each in one.actions) for one in versions}
        return {size for size in sizes if size > 2}

    def _steps(self, cue: Cue, times: int) -> list[Item]:
        """Return single steps as a row, on the feet that are said behind them."""
        foot = cue.steps[0].foot if len(cue.steps) == times == 1 else ""
        if foot and cue.feet not in ("", foot):  # `step L, R, L`
            cue = evolve(cue, feet=foot + cue.feet, steps=(evolve(cue.steps[0], foot=""),))
        steps = [*cue.steps] * (len(cue.feet) if foot and cue.feet else times)
        line = self.cues.stepped(steps, cue.per and cue.beats == 2 and not cue.times, cue.facing)
        feet = cue.feet
        if feet and len(feet) == sum(move.code != "HOLD" for move in line.moves):
            sides = iter(feet)
            moves = tuple(evolve(each, foot=next(sides)) if each.code != "HOLD" else each for each in line.moves)
            line = evolve(line, moves=moves)
        elif feet and (len(feet) > 1 or line.moves[0].foot not in ("", feet)):
            return []
        elif feet:
            line = evolve(line, moves=(evolve(line.moves[0], foot=feet), *line.moves[1:]))
        held = all(move.code == "HOLD" for move in line.moves)
        counts = len(line.moves) if held else forms_beats(row_text(line, leads=True), self.cues.book)
        ways = (note for note in cue.notes if note not in line.note and (note[:6] != "to the" or note in cue.text))
        line = evolve(line, counts=counts, stated=held and counts > 1, note=(*line.note, *ways))
        return self._turned([line], cue, 1) if counts else []

    def _turned(self, lines: list[Line], cue: Cue, times: int) -> list[Item]:
        """Return lines with the turn of their cue: each time's, the one time's that it names, or what is shared;
        nothing where it may be any of these."""
        turns = sorted(cue.turns, key=lambda each: -each.eighths) if cue.each else cue.turns
        each = cue.each
        if len(turns) == 2 and turns[0].eighths == 8 == turns[1].eighths * times:  # `full circle L (1/4 each)`
            turns, each = [Turn(turns[1].eighths, turns[0].side or turns[1].side)], True
        if len(turns) == times > 1 and len(lines) == 1 and not each:
            line = evolve(lines[0], times=1)
            out = [evolve(line, turn=spin, foot="" if at else line.foot) for at, spin in enumerate(turns)]
        elif len(turns) > 1 or (cue.on and not turns):
            return []
        else:
            out = self._spun(lines, cue, times, turns[0], each) if turns else lines
        return [*out[:-1], evolve(out[-1], facing=cue.facing)] if cue.facing and out else [*out]

    def _spun(self, lines: list[Line], cue: Cue, times: int, spin: Turn, each: bool) -> list[Line]:
        """Return lines with one turn, nothing where it is not said of which of them it is."""
        spots = [self._at(line, cue.place) for line in lines]
        where = ("on the " + cue.place.removesuffix("'s"),) if cue.place and not any(spots) else ()
        lines = [evolve(line, at=at, note=(*line.note, *where)) for line, at in zip(lines, spots, strict=True)]
        single = len(lines) == 1 and lines[0].times == 1
        if not spin.side and spin.eighths not in (4, 8):
            return []
        if cue.on and not single and len(lines) == times:
            at = len(lines) - 1 if cue.on == "last" else NTHS.index(cue.on)
            return [evolve(line, turn=spin) if n == at else line for n, line in enumerate(lines)] if at < times else []
        if cue.on and not single:
            return [evolve(lines[0], turn=spin, on=cue.on)] if len(lines) == 1 else []
        if single or each or cue.place:
            return [evolve(line, turn=spin) for line in lines]
        if times == 2 and not cue.each and re.search(rf"(?i),\s*(?:then )?{SIDED}(?: foot)? turn", cue.text):
            return []  # `back on the L, R turning 1/2 right`
        full = spin.eighths == 8 and times in (2, 4, 8)
        if full and not cue.shared:
            self.cues.assumed.add(f"a full turn over {times} {cue.name or 'row'}s is shared among them")
        if full or cue.shared or self.turns == "all":
            return shared_out(lines, spin, times)
        self.asked |= not self.turns
        return [evolve(line, turn=spin) for line in lines] if self.turns else []

    def _at(self, line: Line, place: str) -> int:
        """Return the beat on which a row turns, where it says on which movement, and has just one of that; else 0."""
        wanted = {"brush": "BR", "kick": "K", "stomp": "STO", "br": "BR"}.get(place, "")
        forms = [move.code for move in line.moves]
        if not wanted or forms.count(wanted) != 1:
            return line.at
        return forms_beats(" ".join(forms[: forms.index(wanted) + 1]), self.cues.book)


def unsummed(parts: list[list[Told]], lines: Lines) -> bool:
    """Give lines their own beats, if those that they state rise through each part, and at least two of those that are
    read last just what they rise by, and none what it states: `Triple (4)`, `4 Basics (12)`, `Cowboy (20)`; say
    whether they do."""
    risen = [(told, told.stated - (part[at - 1].stated if at else 0)) for part in parts for at, told in enumerate(part)]
    if any(by <= 0 for _, by in risen):
        return False
    later = [(lines.lasts(lines.of(evolve(told, stated=0), [])), by) for told, by in risen if by < told.stated]
    rises = sum(size == by for size, by in later) > 1 and all(size in (0, by) for size, by in later)
    for told, by in risen if rises else ():
        told.stated = by
    return rises


def _on_beats(item: Item) -> bool:
    """Say whether a line is a row with each movement on a beat of its own."""
    ticks = [move.tick for move in item.moves] if isinstance(item, Line) else []
    return any(ticks) and isinstance(item, Line) and not item.syncopated


def _said_of(row: Cue, words: Cue) -> Cue | None:
    """Return a row of which words behind it name the first step once more, on the foot that these say, None if they say
    anything else: `STO DS DS RS   stomp with the left`."""
    said = [code for step in words.steps for code in step.codes]
    feet = {*words.feet, *(step.foot for step in words.steps if step.foot)}
    more = words.number or words.times or words.turns or words.doubt or row.feet or len(feet) != 1
    if row.row is None or row.name or more or said != [*row.row.codes[0]]:
        return None
    return evolve(row, feet=feet.pop())


def _called(row: Cue, words: list[Cue]) -> Cue | None:
    """Return a row of four codes or more with cues behind it as what it is called, None if they say more."""
    plain = not any(cue.row or cue.feet or cue.turns or cue.times or cue.facing or cue.number for cue in words)
    if not plain or row.row is None or len(row.row.codes) < 4 or (row.name and not row.aside):
        return None
    return evolve(row, name="", aside=", ".join([*[row.aside] * bool(row.aside), *(cue.text for cue in words)]))


def _wanted(told: Told, stated: int) -> set[int]:
    """Return how many beats a line may last: those that are stated, or so many times these, where they may be of
    one."""
    often = {told.times, *(cue.times for cue in told.cues[:1] if cue.times)} if told.loose else ()
    return {stated, *(told.stated * times for times in often)}
