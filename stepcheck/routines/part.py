"""A part of a cue sheet: which readings of its lines come to its beats, and the lines of the sheet that they are."""

import itertools
import re
from collections.abc import Iterator

from attrs import evolve

from stepcheck.cues.figures import foot_of, led, sliced
from stepcheck.cues.lining import Lines, Open, Told
from stepcheck.cues.repeats import BOX, Again, backed, quartered, round_by
from stepcheck.model.dance import EIGHTHS
from stepcheck.routines.order import Danced
from stepcheck.steps.outline import (
    Block,
    Expect,
    Item,
    Line,
    Part,
    Remark,
    beats_of,
    each_line,
    lines_of,
    mirrored,
    named_run,
)
from stepcheck.steps.steps import OTHER, turn
from stepcheck.steps.words import NTHS


class Piece:
    """A part while it is read: its name, the beats that are stated of it, words beside its head, its lines; `repeat` is
    what its head says to dance again, `model` the part that it is but for something that isn't read."""

    def __init__(self, name: str, number: int, beats: int = 0, remark: str = "") -> None:
        self.name, self.number, self.beats, self.remark = name, number, beats, remark
        self.told: list[Told] = []
        self.sections: dict[int, tuple[str, str]] = {}  # the sets of a table by their lines, each with its facing
        self.first = 0  # the beats behind what stands beside its head
        self.says: tuple[str, ...] = ()  # what else is stated of it
        self.repeat: Told | None = None
        self.begins = ""  # where dancers face at its beginning
        self.way = ""  # whether its turns behind several figures are of "each" or of "all" of them
        self.spares = True  # whether what needs room is danced
        self.model: Piece | None = None
        self.before = list[Danced]()  # what is danced in front of its steps
        self.again: Piece | None = None  # the part whose steps are written out once more

    def may_last(self, beats: int, lines: Lines) -> bool:
        """Say whether the part comes to beats in one reading, or not all of it is read."""
        stated, self.beats = self.beats, beats
        items, opened = self.read(lines)
        self.beats = stated
        return bool(opened) or sum(map(beats_of, items)) == beats

    def full(self, lines: Lines) -> bool:
        """Say whether the part has all of its stated beats."""
        return 0 < self.beats == sum(map(beats_of, self.read(lines)[0]))

    def read(self, lines: Lines) -> tuple[list[Item], Open]:
        """Return the lines of the part; stated facings, or a box, say if a turn behind several figures is of each or of
        all."""
        lines.asked = False
        plain = self._roomy(lines)
        ways = ("all", "each") if lines.asked else ()
        made = [(way, *self._roomy(Lines(lines.cues, lines.beats, way))) for way in ways]
        box = any(each.again and each.again.times == 4 and BOX.search(each.text) for each in self._all)
        fit = quartered if box else lines.cues.faces
        fits = [[each for each in made if fit(each[1], begin)] for begin in (0, 4)]
        way, items, opened = next((each[0] for each in fits if each), ("", *plain))
        self.way = way * (len(fits[0]) < 2)
        return (items, opened) if self.way else plain

    def _roomy(self, lines: Lines) -> tuple[list[Item], Open]:
        """Return the lines in the reading that comes to the beats of the part, the first if none does; what is danced
        only where there is room for it is open else."""
        spare = [each for each in self.told if each.spare]
        self.spares = bool(spare)
        items, opened = self._read(lines)
        if spare and (not self.beats or sum(map(beats_of, items)) != self.beats):
            self.spares = False
            items, opened = self._read(lines)
            titles = sum(map(beats_of, items)) == self.beats > 0 and spare == self.told[: len(spare)]
            opened = [*opened, *((each.number, each.text, "open") for each in spare if each.text and not titles)]
        return items, opened

    def _read(self, lines: Lines) -> tuple[list[Item], Open]:
        if self.model and not self.told:
            items = self.model.read(lines)[0]
            unknown = any(line.unknown for item in items for line in lines_of(item))
            size = self.model.beats or sum(map(beats_of, items)) * (not unknown)
            blank = Line(blank=True, counts=size, measured=size > 0, remark=self.remark, source=self.number)
            return [blank], [(self.number, self.remark, "blank" if size else "open")]
        first: tuple[list[Item], Open] | None = None
        own: list[tuple[list[Item], Open]] = []  # what each line says by itself, whichever lines are meant by a repeat
        for told in self._all:
            quiet: Open = []
            own.append((self._own(lines, told, quiet), quiet))
        wanted = (self.beats, self.beats * self.times)
        for choice in itertools.islice(self._choices(), 64):
            opened: Open = []
            items = self._lines(lines, own, choice, opened)
            if first is None:
                first = items, opened
            if not self.beats or sum(map(beats_of, items)) in wanted:
                return items, opened
        return first or ([], [])

    def _own(self, lines: Lines, told: Told, opened: Open) -> list[Item]:
        if told.says:
            return [Expect(told.says, told.text)]
        silent = told.again or (told.total and not told.cues and not told.inner)
        return [] if silent else lines.of(told, opened)

    @property
    def times(self) -> int:
        """How often the part is danced in all, by its head."""
        return self.repeat.again.times if self.repeat and self.repeat.again else 1

    @property
    def _all(self) -> list[Told]:
        told = self.told if self.spares else [each for each in self.told if not each.spare]
        return [*told, self.repeat] if self.repeat and told else told

    def _choices(self) -> Iterator[tuple[int, ...]]:
        """Yield, for each repeat, which lines before it may be meant: all, those since the repeat before, the last, or
        none by a bare foot."""
        repeats = [each.again for each in self._all if each.again]
        yield from itertools.product(*(range(3 + (each.last and each.feet != "same")) for each in repeats))

    def _lines(
        self, lines: Lines, own: list[tuple[list[Item], Open]], choice: tuple[int, ...], opened: Open
    ) -> list[Item]:
        out: list[Item] = []
        begun: dict[int, tuple[int, int]] = {}  # of each told line, where its items begin and end
        since = 0
        chosen = iter(choice)
        for index, told in enumerate(self._all):
            start = len(out)
            if told.total and not told.cues:  # of all so far, or of the line before
                starts = (0, *(begun[index - 1][:1] if index else ()))
                if told.total not in {sum(map(beats_of, out[at:])) for at in starts}:
                    opened.append((told.number, told.text, "open"))
            if told.again is None:
                out += own[index][0]
                opened += own[index][1]
            else:
                made, replaced = self._again(
                    lines, told, out, begun, since, next(chosen), index == len(self._all) - 1, opened
                )
                out[replaced:] = made
                start = replaced
                since = len(out)
            begun[index] = (start, len(out))
        return out

    def _meant(
        self, again: Again, told: Told, out: list[Item], begun: dict[int, tuple[int, int]], since: int, which: int
    ) -> int | list[Item]:
        """Return where the lines begin that are danced again, which all that follow are as well, or these lines."""
        lines = self._all
        spans = {at: (lines[at], *where) for at, where in begun.items()}
        if again.since:
            return next((a for each, a, _ in spans.values() if each.number >= again.since), [])
        if again.numbered:
            numbered = [(each.label, a, b) for each, a, b in spans.values() if each.label in again.numbered]
            whole = {label for label, *_ in numbered} == {*again.numbered}
            return [item for _, a, b in numbered for item in out[a:b]] if whole else []
        if again.total:  # of all lines so far
            more, every = again.total - sum(map(beats_of, out)), range(len(out))
            return next((at for at in every if sum(map(beats_of, out[at:])) * (again.times - 1) == more), [])
        labels = {each.label for each, *_ in spans.values()}
        if again.first and {*range(again.first, again.until + 1)} <= labels and not again.measured:  # `Rpt 1-2`
            flat = [
                item for each, a, b in spans.values() if again.first <= each.label <= again.until for item in out[a:b]
            ]
            if told.stated in (0, sum(map(beats_of, flat))):
                return flat
        if again.first:
            inner = [(each, a, b) for each, a, b in spans.values() if each.span[0]]
            found = [out[a:b] for each, a, b in inner if again.first <= each.span[0] and each.span[1] <= again.until]
            return [item for each in found for item in each] if inner else sliced(out, again.first, again.until)
        if again.lines:
            at = sorted(spans)[-again.lines :]
            return spans[at[0]][1] if len(at) == again.lines else []
        it = re.search(r"(?i)\bso (?:do|dance) (?:it|this|that)\b", told.text)  # `That is 16 beats, so do it twice`
        so_far = lines[max(spans)].total if spans and it else 0
        size = again.tail or told.stated // max(1, again.times - 1) or so_far
        if size and told.stated == again.times * sum(map(beats_of, out)):
            return 0  # the length of all times
        if size:
            begins = (since, 0) if again.all else range(len(out) - 1, -1, -1)
            return next((at for at in begins if sum(map(beats_of, out[at:])) == size), [])
        starts = [0, since, *[spans[max(spans)][1]] * (not again.all)] if spans else [0]
        starts = starts[::-1] if again.last else starts
        meant: list[int | list[Item]] = [*starts, *starts[-1:] * (3 - len(starts)), []]  # none: of the lines below it
        return meant[which]

    def _again(
        self,
        lines: Lines,
        told: Told,
        out: list[Item],
        begun: dict[int, tuple[int, int]],
        since: int,
        which: int,
        last: bool,
        opened: Open,
    ) -> tuple[list[Item], int]:
        """Return the lines that stand for a repeat, and from where on they replace those before."""
        again = told.again or Again()
        each = told.stated // max(1, again.times - 1)
        run = named_run(out, again.figures, each) if again.figures[1:] else None
        meant = self._meant(again, told, out, begun, since, which) if run is None else run
        base = out[meant:] if isinstance(meant, int) else meant
        again = _led_alike(told, again, base) if told is self.repeat else again
        held = [line for item in base for line in lines_of(item)]
        named, unknown = {line.name for line in held}, any(line.unknown for line in held)
        doubt = again.doubt or (again.figures and named != {*again.figures}) or {*dict(again.ways)} - named
        so_far = sum(map(beats_of, out))
        if told.stated > so_far and re.search(rf"=\s*{told.stated}\b", told.text):
            told.stated -= so_far  # that is how long all so far lasts
        blank = told.stated or sum(map(beats_of, base)) * (again.times - 1) * (not doubt and not unknown)
        turns, turned = any(line.turn for line in held), round_by(held)
        feet = again.feet
        mirror = feet == "other" or (feet in OTHER and lines.cues.begun_on(base) == OTHER[feet])
        footless = feet in OTHER and bool(base) and any(line.blank for line in lines_of(base[0])[:1])
        changes = [lines.cues.changes(line) for line in held]
        even = None not in changes and not sum(each or 0 for each in changes) % 2
        taken = feet == "other" and not foot_of(base) and even  # the foot is free that began
        spun = [line for line in held if line.name == again.turned[0]]
        several = again.once and sum(line.times for line in spun) != 1
        unturned = bool(again.turned[0]) and (not spun or several or any(line.turn for line in spun))
        sides = {line.turn.side for line in held if line.turn}
        unturned |= bool(again.spun) and (again.times > 2 or mirror or sides not in ({"left"}, {"right"}))
        unsure = unturned or taken or footless or (mirror and turns and not again.turns) or (mirror and again.times > 2)
        mine = sum(sum(map(beats_of, out[a:b])) for at, (a, b) in begun.items() if self._all[at].number == told.number)
        if mine < blank == told.stated:
            blank -= mine  # the beats of a line are those of all its sentences
        if not base or doubt or unsure or any(isinstance(i, Line) and i.unknown for i in base):
            opened.append((told.number, told.text, "blank" if blank else "open"))
            return [Line(blank=True, counts=blank, measured=blank > 0, remark=told.text, source=told.number)], len(out)
        wall, again = again.facing, backed(again, held)
        opened += [(told.number, told.text, "open")] * (wall != "" and not (again.facing or again.walls))
        claim = [Expect(f"facing {again.facing}", told.text)] if again.facing else []
        if mirror or feet in OTHER or again.otherwise or not isinstance(meant, int):
            copies = [_other(item, again.turns) if mirror else item for item in base]
            copies = [each_line(item, lambda line: _spun(line, again)) for item in copies]
            if feet in OTHER and not foot_of(copies):
                copies = led(copies, feet)
            if mirror and not foot_of(copies):
                lines.cues.assumed.add("the other foot is the free one")
            copies = [_plain(item, again, mirror or feet in OTHER) for item in copies] * (again.times - 1)
            if copies and isinstance(first := copies[0], Line):
                copies[0] = evolve(first, remark=told.text)
            ahead = [Expect(f"facing {wall}") for wall in again.walls if again.times == 2]
            return [*ahead, *copies, *claim], len(out)
        if not meant and last and not again.since:
            lines.cues.assumed.add(f"{self.name} in the sequence is {self.name} with its repeat")
        inner = tuple(_first_faced(base, turned % EIGHTHS > 0))
        for nth, wall in zip(NTHS, again.walls, strict=False):
            inner = (*inner, Block(f"{nth} time only", (Expect(f"facing {wall}"),)))
        return [Block(f"{again.times} times", inner, "", "" if claim else told.text), *claim], meant

    def finished(self, lines: Lines, opened: Open) -> Part:
        """Return the part with its contract; beats that lack are a blank at its end, or that of its one line of unknown
        length."""
        if len(self.told) == 1:
            self.beats = self.beats or self.first
        items, told = self.read(lines)
        opened += told
        if self.way:
            lines.cues.assumed.add(f"a turn behind several figures of {self.name} is of {self.way} of them")
        items = self._timed(self._counted(items))
        read = sum(map(beats_of, items))
        if not self.beats and self._all and self._all[-1].total == read:
            self.beats = read
        unknown = [line for item in items for line in lines_of(item) if line.unknown]
        left = self.beats - read
        if self.beats and left < 0 and len(self._all) == 1 and not self.told[0].stated:
            opened[:] = [each for each in opened if each not in told]
            opened.append((self.told[0].number, f"{self.beats} beats are stated, {read} are read", "blank"))
            items = [Line(blank=True, counts=self.beats, measured=True, remark=self.told[0].text)]
        elif self.beats and left > 0 and len(unknown) == 1:
            items = [
                each_line(item, lambda line: evolve(line, counts=left) if line == unknown[0] else line)
                for item in items
            ]
        elif self.beats and left > 0 and items:
            opened.append((0, f"{self.name}: {self.beats} beats are stated, {read} are read", "open"))
            at = max((at + 1 for at, item in enumerate(items) if not isinstance(item, Expect)), default=0)
            items.insert(at, Line(blank=True, counts=left, measured=True, remark=f"{self.beats} beats are stated"))
        elif self.beats and left < 0:
            opened.append((0, f"{self.name}: {self.beats} beats are stated, {read} are read", "open"))
        elif self.beats and not items:
            opened.append((0, f"{self.name}: none of its {self.beats} beats are read", "open"))
            items = [Line(blank=True, counts=self.beats, measured=True)]
        items = [
            each_line(item, lambda line: Remark(line.remark) if line.unknown else line) for item in items
        ]  # a comment
        items = [*[Expect(f"facing {self.begins}")] * bool(self.begins), *items]
        contract = (*[f"{self.beats} beats"] * (self.beats > 0), *self.says * (self.beats == read))
        return Part(self.name, contract, tuple(items), "" if self.model and not self.told else self.remark)

    def _counted(self, items: list[Item]) -> list[Item]:
        """Return lines with those that stand on the beats written under them, from the first on, under a heading, if
        they are several."""
        spans = {
            each.number: each.cues[0].row.row.span
            for each in self._all
            if len(each.cues) == 1 and each.cues[0].row is not None and each.cues[0].row.beats
        }
        out: list[Item] = []
        end = set_ = 0
        for item in items:
            if isinstance(item, Block):
                item, end = evolve(item, lines=tuple(self._counted([*item.lines]))), 0
            number = item.source if isinstance(item, Line) and item.source in self.sections else 0
            if number and number == set_ and isinstance(block := out[-1], Block):
                lines = (*block.lines, item)
                out[-1] = evolve(block, head=f"beats 1-{sum(map(beats_of, lines))}", lines=lines)
                continue
            set_ = number
            if number:
                name, facing = self.sections[number]
                out.append(Block(f"beats 1-{beats_of(item)}", (item,), facing, name))
                continue
            first, last = spans.get(item.source, (0, 0)) if isinstance(item, Line) else (0, 0)
            if first and beats_of(item) != last - first + 1:
                first = 0  # danced several times
            if first > 1 and first == end + 1:
                before = out.pop()
                lines = (*(before.lines if isinstance(before, Block) else (before,)), item)
                out.append(Block(f"beats 1-{last}", lines))
            else:
                last *= first == 1
                out.append(item)
            end = last
        return out

    def _timed(self, items: list[Item]) -> list[Item]:
        """Return the lines of a part; where all of it is danced again, what is stated of one time stands on its lines,
        and of the part what is stated of all its times."""
        block, *behind = items or [Remark("")]
        if not isinstance(block, Block) or not all(isinstance(each, Expect) for each in behind) or block.facing:
            return items
        repeats = [each for each in self._all if each.again]
        size = beats_of(block)
        once = sum(map(beats_of, block.lines))
        if not once or size == once:
            return items
        said = any(each.stated in (size, size - once) or (each.again and each.again.total == size) for each in repeats)
        if once in (self.beats, *(each.total for each in self._all)):
            lines = [each for each in block.lines if not isinstance(each, Block) or beats_of(each)]
            rest = [each for each in block.lines if each not in lines]
            items = [evolve(block, lines=(Block(f"beats 1-{once}", tuple(lines)), *rest)), *behind]
        if self.beats in (0, once):
            self.beats = size if said else 0
        return items


def _first_faced(items: list[Item], turns: bool) -> Iterator[Item]:
    """Yield the lines of a repeat. A claim of where the dancers face holds the first time only; so does the facing of a
    line, if `turns` says that they turn on."""
    for item in items:
        if turns and isinstance(item, Line) and item.facing:
            yield evolve(item, facing="")
            yield Block("1st time only", (Expect(f"facing {item.facing}"),))
        else:
            yield Block("1st time only", (item,)) if isinstance(item, Expect) else item


def _other(item: Item, turns: bool) -> Item:
    """Return a line on the other foot, its turn as it is if `turns` says so."""
    made = mirrored(item)
    return evolve(made, turn=item.turn) if turns and isinstance(made, Line) and isinstance(item, Line) else made


def _spun(line: Line, again: Again) -> Line:
    """Return a line with the turn that a figure has this time, or with its own turn to the side that is said."""
    if again.spun and line.turn:
        return evolve(line, turn=evolve(line.turn, side=again.spun))
    return evolve(line, turn=turn(again.turned[1])) if line.name == again.turned[0] != "" else line


def _led_alike(told: Told, again: Again, base: list[Item]) -> Again:
    """Return a repeat that is said on a foot each time, `left lead both times`, in doubt if its lines have another."""
    each = re.search(r"(?i)\b(?:both|each|every|twice|times|x ?\d|\d ?x)\b", told.text)
    if again.feet not in OTHER or not each:
        return again
    return evolve(again, feet="same", doubt=again.doubt or again.feet * (foot_of(base) != again.feet))


def _plain(item: Item, again: Again, other: bool) -> Item:
    """Return a line without what was said of its first time, and where it went if it goes elsewhere now."""
    if not isinstance(item, Line):
        return item
    ways = tuple(way for figure, way in again.ways if figure == item.name)
    return evolve(item, facing="", remark="", note=ways or (() if other or again.toward else item.note))
