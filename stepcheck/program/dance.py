"""The dance of a sheet laid out over its music: passes, sections, walls, and what goes on until the music ends."""

from collections import Counter
from collections.abc import Callable, Sequence
from difflib import get_close_matches
from typing import TypeVar

from attrs import evolve, field, frozen

from stepcheck.language.parser import meant_lines
from stepcheck.language.patch import MEANT, Rewrite
from stepcheck.language.stretches import every_line, groups, until
from stepcheck.language.syntax import (
    NOWHERE,
    At,
    DanceHead,
    FirstMark,
    LabelHead,
    Line,
    MusicRow,
    OnlyHead,
    PartHead,
    Row,
    Sheet,
    SwapMark,
    TimesHead,
    TogetherHead,
    UntilHead,
    UntilMark,
)
from stepcheck.model.claims import Check, Kind, Test
from stepcheck.model.dance import Body, Item, Pass, Program, Repeat, Spare, Timed, Walls, key
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.floor import RELATIONS, Meeting
from stepcheck.model.items import Mapped
from stepcheck.program.claims import LineFails, Registry, Swap, finding, first_weights, sideless
from stepcheck.program.groups import any_of, closing, danced, floor, travels
from stepcheck.program.header import Facts
from stepcheck.program.laps import Laps
from stepcheck.program.layout import Around, Layout
from stepcheck.program.names import Names
from stepcheck.program.repeats import UNNAMED, Pattern, Tally, nearest, pattern

Laid = TypeVar("Laid")


@frozen
class Reached:
    """The parts that a dance reaches, by key, and the ids of the reached claims that a time comes."""

    parts: set[str] = field(factory=set)
    times: set[str] = field(factory=set)

    def without_times(self, body: Body) -> Body:
        """Return a body without the checks that a time comes, which only mark its place; record the parts and times in
        it."""

        def change(item: Item) -> Body:
            if isinstance(item, Pass):
                self.parts.add(key(item.part))
            if isinstance(item, Check) and item.claim.kind is Kind.TIME:
                self.times.add(item.claim.id)
                return ()
            return () if isinstance(item, Repeat) and not item.body else (item,)

        return Mapped(change).body(body)


def _often(lines: tuple[Line, ...], times: int = 1) -> Counter[str]:
    """Return how often lines of the dance dance each part as it is written, from beginning to end, by its key."""
    out = Counter[str]()
    for line in lines:
        match line.node:
            case Row(options=(option,)):
                whole = not any(isinstance(mark, FirstMark | SwapMark) for mark in option.marks)
                out[key(option.name)] += times * (option.times or 1) * whole
            case TimesHead(times=int(more)):
                out += _often(line.body, times * more)
            case LabelHead():
                out += _often(line.body, times)
    return out


class Dance:
    """The dance of one sheet being laid over its music; with `lined`, the program keeps the lines."""

    def __init__(self, sheet: Sheet, facts: Facts, registry: Registry, names: Names, lined: bool = False) -> None:
        self.sheet, self.facts, self.registry, self.names = sheet, facts, registry, names
        self.findings: list[Diagnostic] = []
        self.heading = next((line for line in sheet.lines if isinstance(line.node, DanceHead)), None)
        self.music = sheet.music
        self.layout = Layout(facts, names, registry, self._lap() if self.heading else ("", Swap()), lined)
        self.laps = Laps(self.layout)
        self.floor: tuple[tuple[Line, ...], ...] = ()  # what each group dances; `body` is that of one of them
        self.body: tuple[Line, ...] = self.heading.body if self.heading else ()
        self.heads = frozenset(line.number for line in names.parts.values())

    @property
    def head(self) -> Line:
        """The line `dance:`, where there is one."""
        assert self.heading is not None
        return self.heading

    def say(self, code: str, line: Line, at: tuple[int, int], message: str, *hints: str | Rewrite) -> None:
        """Add a finding."""
        self.findings.append(finding(self.sheet, code, line, at, message, *hints))

    def program(self) -> Program | None:
        """Return the program, or None where a finding forbids one."""
        if self.heading is None:
            # Of a sheet that is empty, or has a line that can't be read, that much has been said.
            if any(line.node for line in self.sheet.lines) and not any(line.broken for line in self.sheet.lines):
                source, hint = self.sheet.source, "write the parts in the order of the dance under a line dance:"
                where = CODES["missing-dance"], source.path, source.whole_line(1)
                self.findings.append(Diagnostic(*where, "there is no line dance:", hints=(hint,)))
            return None
        if any(finding.code.name == "part-inside-itself" for finding in self.names.findings):
            return None
        try:
            return self._laid()
        except LineFails as failure:
            self.findings.append(failure.finding(self.sheet))
            return None
        finally:
            self.findings += (failure.finding(self.sheet) for failure in self.layout.failures)

    def _laid(self) -> Program:
        self.findings += (one for head in self.names.parts.values() for one in sideless(self.sheet, head))
        reached = Reached()
        dance, meetings = self._each_group(reached)
        known = reached.parts | self.layout.behind
        spares = tuple(self._spare(part, reached) for part in self.names.parts if part not in known)
        met = reached.times | self.layout.met
        if self.layout.lined:  # groups are no matter of single lines
            apart = (*RELATIONS.values(), Kind.SPOT)
            met, meetings = met | {one.id for one in self.registry.claims if one.kind in apart}, ()
        claims = tuple(claim for claim in self.registry.claims if claim.id not in met)
        walls = self._walls()
        self._never_come()
        if walls is None:
            claims = tuple(claim for claim in claims if claim.kind is not Kind.WALLS)
        came = (dance, *(spare.body for spare in spares))
        lengths, went, own = tuple(self.names.lengths), travels(self.layout, self.heads, came), self.facts
        return Program(own.lead, own.facing, dance, claims, spares, walls, lengths, (), own.groups, meetings, went)

    def _each_group(self, reached: Reached) -> tuple[Body, tuple[Meeting, ...]]:
        """Return the dance, a choice of one for each group where there are groups, and the places where these meet."""
        called = tuple(self.names.called(self.head.body))

        def lay(lines: tuple[Line, ...]) -> Body:
            self.body = lines
            return reached.without_times(self._counted({}, called, self.dance))

        self.floor = floor(self.head, self.facts.groups)
        return danced(self.facts, tuple(map(lay, self.floor)), self.sheet)

    def _counted(self, totals: dict[str, int], parts: tuple[str, ...], lay: Callable[[], Laid]) -> Laid:
        """Return the body from `lay`, laid out again until the number of passes of each of the `parts` in it is known.

        How often a part is danced hangs on the parts that call it, and on which of their times are the last; so each
        round is right for parts one call deeper.
        """
        come = self.layout.come

        def laid(totals: dict[str, int]) -> Laid:
            """Lay the body out; what came in an earlier round need not come in this one."""
            self.layout.tally, self.layout.come = Tally(totals=totals), set(come)
            return lay()

        body = laid(totals)
        if any(self.layout.patterns.of(part).last for part in parts):
            for _ in parts:
                tally = self.layout.tally
                # In a part that is never danced, nothing goes on until the music ends.
                endless = self.laps.endless if not totals else ()
                now = {part: times for part, times in tally.danced.items() if part not in endless} | totals
                if now == tally.totals:
                    break
                body = laid(now)
        return body

    def dance(self) -> Body:
        """Return the dance, over its music; a length of the whole says where the music ends, as one section would."""
        node = self.head.node
        assert isinstance(node, DanceHead)
        end = () if self.music else closing(self.registry, self.head.number)
        if node.length is None:
            return (*self.stretches(None), *end)
        check = Check(self.head.number, self.registry.at(self.head, node.length.at), Test.CLOCK, node.length.ticks)
        whole = Timed((*self.stretches(node.length.ticks), check))
        return (whole, *end)

    # -- sections of the music ---------------------------------------------------------------------------------------

    def stretches(self, ticks: int | None) -> Body:
        """Return the lines of the dance, over the sections of the music if there are any, else over `ticks` if they are
        known."""
        found = groups(self.body, len(self.music) + 1)
        if not self.music:
            for label, lines in found:
                if label is not None:
                    self._unknown(label, lines)
            return self.lines(tuple(line for _, lines in found for line in lines), ticks)
        if all(label is None for label, _ in found):
            return self._filled(tuple(line for _, lines in found for line in lines), 0, len(self.music))
        out: list[Item] = []
        done = 0
        for label, lines in found:
            place = self._section(label, lines, done)
            if place is None:
                continue
            for skipped in range(done, place):
                out += self._filled((), skipped, skipped + 1)
            rest = len(self.music) if until(lines) is not None else place + 1
            out += self._filled(lines, place, rest)
            done = rest
        for skipped in range(done, len(self.music)):
            out += self._filled((), skipped, skipped + 1)
        return tuple(out)

    def _section(self, label: str | None, lines: tuple[Line, ...], done: int) -> int | None:
        """Return the number of the section of the music that a label names, from number `done` on."""
        if label is None:
            return done if done < len(self.music) else None
        for place, (_, section) in enumerate(self.music[done:], done):
            if key(section.name) == key(label):
                return place
        self._unknown(label, lines)
        return None

    def _unknown(self, label: str, lines: tuple[Line, ...]) -> None:
        self.layout.failures.append(_unknown_section(self.head, self.music, label, lines[0]))

    def _filled(self, lines: tuple[Line, ...], start: int, end: int) -> Body:
        rows = self.music[start:end]
        total = sum(section.ticks for _, section in rows)
        body = self.lines(lines, total)
        claims = ((row.number, self.registry.at(row, section.at, section.role)) for row, section in rows)
        checks = (Check(line, claim, Test.CLOCK, total) for line, claim in claims)
        return (Timed((*body, *checks)), *closing(self.registry, lines[-1].number if lines else rows[0][0].number))

    # -- until the music ends ----------------------------------------------------------------------------------------

    def lines(self, lines: tuple[Line, ...], ticks: int | None = None) -> Body:
        """Return lines of the dance; `ticks` is the music that they have, where that is known."""
        place = until(lines)
        if place is None:
            return self.layout.lines(lines, Around())
        before = self.layout.lines(lines[:place], Around())
        for line in [line for line in lines[place + 1 :] if line.node is not None][:1]:
            said = "this comes after what goes on until the music ends"
            hint = "put it before, or say how many times the dance goes round"
            self.say("nothing-may-follow", line, NOWHERE, said, hint)
        if ticks is None:
            return self.laps.any_number(lines[:place], lines[place], before, self._counted)
        return (*before, *self.laps.until(lines[place], before, ticks))

    # -- walls and parts never danced --------------------------------------------------------------------------------

    def _lap(self) -> tuple[str, Swap]:
        """Return the part that the claim about walls speaks of, empty where it is a block or nothing, and its swap."""
        for line in every_line(self.head.body):
            if isinstance(line.node, UntilHead):
                return "", Swap()
            if isinstance(line.node, Row) and any(isinstance(m, UntilMark) for m in line.node.options[0].marks):
                option = line.node.options[0]
                return key(option.name), Swap().with_marks(option.marks)
        often, parts = _often(self.head.body), self.names.parts
        least = max(2, self.facts.walls or 0)
        round_ = [part for part in parts if len(parts) == 1 or often[part] >= least]
        return round_[0] if len(round_) == 1 else "", Swap()

    def _walls(self) -> Walls | None:
        claim = next((claim for claim in self.registry.claims if claim.kind is Kind.WALLS), None)
        if claim is None or self.facts.walls is None:
            return None
        block = next((line for line in every_line(self.head.body) if isinstance(line.node, UntilHead)), None)
        part, swap = self.layout.lap
        bodies: tuple[Body, ...] = ()
        if head := self.names.parts.get(part):
            told = self.layout.patterns.with_inside(part)
            bodies = self.laps.ordinary(Pattern(), told, lambda _: self.layout.one_pass(head, part, swap).body)
        elif block is not None and not any(isinstance(one.node, TogetherHead) for one in every_line(block.body)):
            own, told = pattern(nearest(block.body)), self.layout.told(block.body)
            bodies = self.laps.ordinary(own, told, lambda turn: self.layout.lines(block.body, Around(turn=turn)))
        if bodies:
            return Walls(claim, self.facts.walls, any_of(self.facts.walls_line, bodies))
        line = next(line for line in self.sheet.lines if line.number == self.facts.walls_line)
        said = "it is not said which part the number of walls is about"
        self.say("walls-of-what", line, NOWHERE, said, "dance one part until the music ends, or keep to one part")
        return None

    def _never_come(self) -> None:
        """Find what can't be understood in the times that never come, which nothing else lays out."""
        self.layout.unnamed = True
        parts = tuple((head.body, True) for head in self.names.parts.values())
        for body, in_part in (*parts, *((body, False) for body in self.floor)):
            around = Around(turn=UNNAMED, in_part=in_part)
            for line in every_line(body):
                if line.number in self.layout.come:
                    continue
                if isinstance(line.node, OnlyHead):
                    self.layout.lines(line.body, around)
                elif not in_part and until((line,)) is not None:
                    self.laps.lap(line, UNNAMED)

    def _spare(self, part: str, reached: Reached) -> Spare:
        """Return a part that is never danced, as its first and last time, from the foot that it begins with."""
        head = self.names.parts[part]
        assert isinstance(head.node, PartHead)
        said = f"{head.node.name} is never danced; its lines are checked from its own start"
        self.say("part-never-danced", head, head.node.at, said)
        inner = (part, *self.names.called(head.body))
        laid: Body = self._counted({part: 1}, inner, lambda: (self.layout.one_pass(head, part),))
        body = evolve(reached, parts=set()).without_times(laid)
        return Spare(first_weights(body, self.heads), body)


def _unknown_section(head: Line, music: Sequence[tuple[Line, MusicRow]], label: str, first: Line) -> LineFails:
    """Return the failure of a section's name in the dance.

    Args:
        head: the line `dance:`.
        music: the sections of the music.
        label: the name.
        first: the first line of the dance that belongs to it.
    """
    line, at = _label(head, label, first)
    rows = {key(section.name): (row, section) for row, section in music}
    hints: list[str | Rewrite] = []
    if not rows:
        message = f"there is no section {label} of the music"
        last = f"list the sections under a line music:, or head a part of its own: part {label}:"
        if isinstance(line.node, Row):
            body = line.text.partition("#")[0].rstrip()
            hints.append(Rewrite(f"{body.partition(':')[2].strip()}  # {label}", (0, len(body))))
    else:
        if key(label) in rows:
            message = f"the music has no more {label} here"
            last = "bring the dance into the order of the music, or add the section under music:"
        else:
            message = f"the music has no section {label}"
            last = f"the sections are {', '.join(node.name for _, node in rows.values())}"
        near = get_close_matches(key(label), [one for one in rows if one != key(label)])
        hints += [Rewrite(rows[one][1].name, at, MEANT) for one in near]
        for row, node in (rows[one] for one in near if not rows[one][1].role):
            instead = Rewrite(label, node.at, f"or call the section on line {row.number} {{}}")
            hints.append(instead.hint(row.number, row.text[:0].ljust(row.indent), node.at))
    if isinstance(line.node, LabelHead):  # it may be a heading of the language with one word mended
        hints += meant_lines(line.text.partition("#")[0].strip(), "dance")
    return LineFails("unknown-section", line, at, message, *hints, last)


def _label(head: Line, label: str, first: Line) -> tuple[Line, At]:
    """Return the line on which a section is named, above or on the `first` line under it, and the place."""
    if isinstance(first.node, Row) and first.node.section is not None:
        return first, first.node.section_at
    for line in every_line(head.body):
        if isinstance(line.node, LabelHead) and line.node.name == label and first in line.body:
            return line, line.node.at
    return first, NOWHERE
