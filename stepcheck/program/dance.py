"""The dance of a sheet laid out over its music: passes, sections, walls, and what goes on until the music ends."""

from attrs import evolve

from stepcheck.language.stretches import every_line, groups, repeated, until
from stepcheck.language.syntax import (
    DanceHead,
    FeetMark,
    FootMark,
    Line,
    MusicHead,
    MusicRow,
    PartHead,
    Row,
    Sheet,
    UntilHead,
    UntilMark,
)  # fmt: skip
from stepcheck.model.dance import (
    Body,
    Check,
    Claim,
    Forever,
    Item,
    Kind,
    Lap,
    Last,
    Pass,
    Program,
    Repeat,
    Spare,
    Test,
    Timed,
    Walls,
    Weight,
    key,
)  # fmt: skip
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.program.claims import LineFails, Registry, finding
from stepcheck.program.cutting import CutFails, cut, length
from stepcheck.program.header import Facts
from stepcheck.program.layout import Around, Layout
from stepcheck.program.names import Names
from stepcheck.program.repeats import Turn, nearest, pattern


class Dance:
    """The dance of one sheet being laid over its music.

    `layouts` makes what lays out the lines; who wants to see the lines as they are laid puts another class there.
    """

    layouts: type[Layout] = Layout

    def __init__(self, sheet: Sheet, facts: Facts, registry: Registry, names: Names) -> None:
        self.sheet, self.facts, self.registry, self.names = sheet, facts, registry, names
        self.findings: list[Diagnostic] = []
        self.head = next((line for line in sheet.lines if isinstance(line.node, DanceHead)), None)
        self.music = [
            inner for line in sheet.lines if isinstance(line.node, MusicHead)
            for inner in line.body if isinstance(inner.node, MusicRow)
        ]  # fmt: skip
        self.layout = self.layouts(facts, names, registry)
        self.endless: set[str] = set()

    def say(self, code: str, line: Line, at: tuple[int, int], message: str, *hints: str) -> None:
        """Add a finding."""
        self.findings.append(finding(self.sheet, code, line, at, message, *hints))

    def program(self) -> Program | None:
        """Return the program, or None where something in the sheet stands in its way."""
        if self.head is None:
            # Of a sheet that is empty, or has a line that can't be read, that much has been said.
            if any(line.node for line in self.sheet.lines) and not any(line.broken for line in self.sheet.lines):
                span = self.sheet.source.whole_line(1)
                hint = "write the parts in the order of the dance under a line dance:"
                found = Diagnostic(CODES["missing-dance"], self.sheet.source.path, span, "there is no line dance:", hints=(hint,))
                self.findings.append(found)
            return None
        if any(finding.code.name == "part-inside-itself" for finding in self.names.findings):
            return None
        try:
            return self._laid()
        except LineFails as failure:
            self.say(failure.code, failure.line, failure.at, failure.message, *failure.hints)
            return None
        finally:
            for failure in self.layout.failures:
                self.say(failure.code, failure.line, failure.at, failure.message, *failure.hints)

    def _laid(self) -> Program:
        assert self.head is not None
        self.layout.lap_part = self._lap_part()
        parts = self.names.called(self.head.body)
        dance = self.stretches()
        if any(self.layout.pattern(part).last for part in parts):
            dance = self._knowing_the_last(dance, len(parts))
        node = self.head.node
        assert isinstance(node, DanceHead)
        if node.length is not None:
            check = Check(self.head.number, self.registry.at(self.head, node.length.at), Test.CLOCK, node.length.ticks)
            dance = (Timed((*dance, check)),)
        spares = tuple(self._spare(part) for part in self.names.parts if part not in parts)
        claims = tuple(c for c in self.registry.claims if c.kind is not Kind.TIME or self._unmet(c, parts))
        walls = self._walls()
        if walls is None:
            claims = tuple(claim for claim in claims if claim.kind is not Kind.WALLS)
        lengths = tuple(self.names.lengths)
        return Program(self.facts.lead, self.facts.facing, dance, claims, spares, walls, lengths)

    def _knowing_the_last(self, dance: Body, depth: int) -> Body:
        """Return the dance laid out again until it is known how often each part is danced.

        How often a part is danced hangs on the parts that call it, and on which of their times are the last; so each round
        is right for parts one call deeper.
        """
        for _ in range(depth):
            counted = self.layout
            totals = {part: times for part, times in counted.danced.items() if part not in self.endless}
            if totals == counted.totals:
                break
            self.layout = self.layouts(self.facts, self.names, self.registry)
            self.layout.lap_part, self.layout.totals = counted.lap_part, dict(totals)
            dance = self.stretches()
        return dance

    def _unmet(self, claim: Claim, parts: dict[str, None]) -> bool:
        """Say whether a claim that a named time comes is to be reported: it never does.

        How often a part comes that is never danced is no mistake more; how often a block in it does, may be.
        """
        if claim.id in self.layout.met:
            return False
        return not claim.part or key(claim.part) in parts or claim.line in repeated(self.sheet.lines)

    # -- sections of the music ---------------------------------------------------------------------------------------

    def stretches(self) -> Body:
        """Return the lines of the dance, over the sections of the music if there are any."""
        assert self.head is not None
        found = groups(self.head.body, len(self.music) + 1)
        if not self.music:
            for label, lines in found:
                if label is not None:
                    self.say(
                        "unknown-section",
                        lines[0],
                        (0, 0),
                        f"there is no section {label} of the music",
                        "list the sections under a line music:",
                    )
            return self.lines(tuple(line for _, lines in found for line in lines))
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
        """Return which section of the music, from number `done` on, a label names."""
        if label is None:
            return done if done < len(self.music) else None
        names = [key(str(row.node.name)) for row in self.music]  # type: ignore[union-attr]
        if key(label) in names[done:]:
            return names.index(key(label), done)
        if key(label) in names:
            message, hint = (
                f"the music has no more {label} here",
                "bring the dance into the order of the music, or add the section under music:",
            )
        else:
            known = ", ".join(dict.fromkeys(str(row.node.name) for row in self.music))  # type: ignore[union-attr]
            message, hint = f"the music has no section {label}", f"the sections are {known}"
        at = lines[0].node.section_at if isinstance(lines[0].node, Row) else (0, 0)
        self.say("unknown-section", lines[0], at, message, hint)
        return None

    def _filled(self, lines: tuple[Line, ...], start: int, end: int) -> Body:
        """Return lines with the check that they fill the sections from `start` to `end`."""
        rows = self.music[start:end]
        total = sum(row.node.ticks for row in rows if isinstance(row.node, MusicRow))
        body = self.lines(lines, total)
        checks = tuple(
            Check(row.number, self.registry.at(row, row.node.at), Test.CLOCK, total)
            for row in rows if isinstance(row.node, MusicRow)
        )  # fmt: skip
        return (Timed((*body, *checks)),)

    # -- until the music ends ----------------------------------------------------------------------------------------

    def lines(self, lines: tuple[Line, ...], ticks: int | None = None) -> Body:
        """Return lines of the dance; `ticks` is the music that they have, where that is known."""
        place = until(lines)
        if place is None:
            return self.layout.lines(lines, Around())
        before = self.layout.lines(lines[:place], Around())
        for line in lines[place + 1 :]:
            if line.node is not None:
                self.say(
                    "nothing-may-follow", line, (0, 0), "this comes after what goes on until the music ends",
                    "put it before, or say how many times the dance goes round",
                )  # fmt: skip
                break
        line = lines[place]
        if ticks is None:
            return (*before, *self._forever(line))
        return (*before, *self._as_long(line, ticks - (length(before) or 0)))

    def _lap(self, line: Line, *, last: bool = False) -> Body:
        """Return one time through what goes on until the music ends."""
        if isinstance(line.node, UntilHead):
            number = self.layout.danced[""] = self.layout.danced.get("", 0) + 1
            return (Lap(self.layout.lines(line.body, Around(turn=Turn(number, None, last)))),)
        assert isinstance(line.node, Row)
        option = line.node.options[0]
        marks = tuple(mark for mark in option.marks if not isinstance(mark, UntilMark))
        row = evolve(line.node, options=(evolve(option, marks=marks),))
        return self.layout.line(evolve(line, node=row), Around(turn=Turn(1, None)))

    def _inner(self, line: Line) -> tuple[Line, ...]:
        """Return the lines that go on until the music ends."""
        return line.body if isinstance(line.node, UntilHead) else (line,)

    def _forever(self, line: Line) -> Body:
        """Return a dance of any number of laps: those that differ one by one, then all the others."""
        lines = self._inner(line)
        self.endless |= set(self.names.called(lines))
        told = self.layout.told(lines)
        own = pattern(nearest(line.body)) if isinstance(line.node, UntilHead) else pattern(())
        ends = own.last or any(self.layout.pattern(part).last for part in told)
        out: list[Item] = []
        lap = 0
        while not self.layout._settled(told, own, lap, lines):
            lap += 1
            out += self._one_lap(line, told, ends)
        period = self.layout._period(told, own, lines)
        body = tuple(item for _ in range(period) for item in self._one_lap(line, told, ends))
        return (*out, Forever(line.number, body))

    def _one_lap(self, line: Line, told: frozenset[str], ends: bool) -> Body:
        """Return a lap, before it the same lap as the last one where that differs."""
        out: list[Item] = []
        if ends:
            before = dict(self.layout.danced)
            self._lap(line)
            self.layout.ending = {part: count for part, count in self.layout.danced.items() if part in told}
            self.layout.danced = dict(before)
            out.append(Last(self._lap(line, last=True)))
            self.layout.danced, self.layout.ending = dict(before), {}
        return (*out, *self._lap(line))

    def _as_long(self, line: Line, ticks: int) -> Body:
        """Return as many laps as the music has room for, the last one perhaps cut."""
        out: list[Item] = []
        plain = not self.layout.told(self._inner(line)) and pattern(nearest(line.body)).plain
        while ticks > 0:
            lap = self._lap(line)
            once = length(lap)
            if not once:
                self.say(
                    "mark-not-possible-here", line, (0, 0), "how long this is waits on a blank, so the music does not say how often it fits",
                    "state the length of the part, or fill the blank",
                )  # fmt: skip
                break
            if ticks < once:
                try:
                    out += cut(lap, ticks, last=True)
                except CutFails as failure:
                    self.say(
                        failure.name,
                        line,
                        (0, 0),
                        "the last pass cannot be cut where the music ends",
                        "end it with a part of its own",
                    )
                break
            whole = ticks // once if plain else 1
            out.append(Repeat(line.number, whole, lap)) if whole > 1 else out.extend(lap)
            ticks -= whole * once
        return tuple(out)

    # -- walls and parts never danced --------------------------------------------------------------------------------

    def _lap_part(self) -> str:
        """Return the part that the claim about walls speaks of, empty where it is a block or nothing."""
        assert self.head is not None
        for line in every_line(self.head.body):
            if isinstance(line.node, UntilHead):
                return ""
            if isinstance(line.node, Row) and any(isinstance(m, UntilMark) for m in line.node.options[0].marks):
                return key(line.node.options[0].name)
        return next(iter(self.names.parts)) if len(self.names.parts) == 1 else ""

    def _walls(self) -> Walls | None:
        """Return the claim about walls with a whole pass of what it speaks of."""
        claim = next((claim for claim in self.registry.claims if claim.kind is Kind.WALLS), None)
        if claim is None or self.facts.walls is None:
            return None
        assert self.head is not None
        block = next((line for line in every_line(self.head.body) if isinstance(line.node, UntilHead)), None)
        part = self.layout.lap_part
        if part and part in self.names.parts:
            return Walls(claim, self.facts.walls, self._generic(part).body)
        if block is not None:
            return Walls(claim, self.facts.walls, self.layout.lines(block.body, Around(turn=Turn(10**9, None))))
        line = next(line for line in self.sheet.lines if line.number == self.facts.walls_line)
        self.say(
            "walls-of-what", line, (0, 0), "it is not said which part the number of walls is about",
            "dance one part until the music ends, or keep to one part",
        )  # fmt: skip
        return None

    def _generic(self, part: str) -> Pass:
        """Return a pass of a part that is none of the named times."""
        kept, self.layout.danced[part] = self.layout.danced.get(part, 0), self.layout.pattern(part).named
        made = self.layout.one_pass(self.names.parts[part], part)
        self.layout.danced[part] = kept
        return made

    def _spare(self, part: str) -> Spare:
        """Return a part that is never danced, from the foot that it begins with."""
        head = self.names.parts[part]
        assert isinstance(head.node, PartHead)
        self.say(
            "part-never-danced",
            head,
            head.node.at,
            f"{head.node.name} is never danced; its lines are checked from its own start",
        )
        foot = _first_foot(head)
        weights = (Weight.LEFT, Weight.RIGHT) if foot is None or foot.foot is None else (Weight(foot.foot.other),)
        return Spare(weights, (self._generic(part),))


def _first_foot(head: Line) -> FootMark | None:
    """Return the foot that a part begins with: by its contract, else by its first line."""
    assert isinstance(head.node, PartHead)
    for piece in head.node.pieces:
        if isinstance(piece, FeetMark) and piece.time is None:
            return piece.start
        if isinstance(piece, FootMark) and getattr(piece, "time", None) is None:
            return piece
    first = next((line.node for line in head.body if line.node is not None), None)
    if isinstance(first, Row):
        return next((mark for mark in first.options[0].marks if isinstance(mark, FootMark)), None)
    return None
