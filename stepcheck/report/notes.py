"""Notes: findings about a sheet that change no verdict."""

from bisect import bisect_right
from collections.abc import Generator
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, islice
from typing import TYPE_CHECKING

from attrs import define, evolve, field

from stepcheck.books.footwork import Impossible, Words, ends, is_still
from stepcheck.books.placing import counted
from stepcheck.language.printer import print_node
from stepcheck.language.stretches import every_line, opposite, rows
from stepcheck.language.syntax import (
    CountsHead,
    ExpectRow,
    FacingMark,
    FigureRow,
    FiguresHead,
    Line,
    NetMark,
    PartHead,
    Row,
    Sheet,
    Times,
    TurnMark,
)
from stepcheck.model import dance
from stepcheck.model import words as said
from stepcheck.model.claims import Check, Test
from stepcheck.model.dance import EIGHTHS, TICKS, Body, Figure, Foot, Program, Weight, key
from stepcheck.model.findings import CODES, Diagnostic
from stepcheck.model.items import checks, inside
from stepcheck.model.outcome import Verdict
from stepcheck.model.source import Source
from stepcheck.program.repeats import Calls
from stepcheck.report.text import MOST_SAID, unless
from stepcheck.report.values import Hang
from stepcheck.walk.stands import asked

if TYPE_CHECKING:
    from stepcheck.music.strains import Song

_EVERY = frozenset(Weight)
Danced = tuple[tuple[int, Figure], ...]


def notes(sheet: Sheet, program: Program, figures: Danced, song: "Song | None") -> tuple[Diagnostic, ...]:
    """Return the notes on the figures of a sheet; `figures` come from `footwork.danced`."""
    found = (*_memory(sheet, figures), *_each_time(sheet), *_unchecked(sheet), *across(sheet, program.dance, song))
    if any(figure.one_lead or not figure.book for _, figure in figures):  # for others it is all the same who leads
        dancers = _Dancers()
        dancers.run(program.dance, frozenset((Weight(program.lead.other),)))
        for spare in program.spares:
            dancers.run(spare.body, frozenset(spare.weights))
        leads = dancers.led  # in the order of the dance
        found += (*_seldom(sheet, leads), *_mirrored(sheet, leads))
    return found


def usual_reading(source: Source, figures: Danced, hangs: tuple[Hang, ...], verdict: Verdict) -> Diagnostic | None:
    """Return the note on the words on which the verdicts of a sheet hang, None if there are none."""
    if not hangs:
        return None
    words = {word for hang in hangs for word in hang.words}
    line = next((line for line, figure in figures if words & open_words(figure)), 1)
    start = "this holds unless " if verdict is Verdict.PROVED else "a verdict changes if "
    lines = [f"`{word}: {_usual(figures, word)}`" for word in dict.fromkeys(w for hang in hangs for w in hang.words)]
    told = said.listed(lines[:MOST_SAID])
    hint = f"settle {'it' if len(lines) == 1 else 'them'} in the header if it is meant so: {told}"
    more = " (see --readings report)" if len(hangs) > MOST_SAID else ""
    args = (("words", tuple(sorted(words))), ("sets", len(hangs)))
    return _note(source, "usual-reading", line, start + unless(hangs) + more, hint, args=args)


def reading_left_out(source: Source, words: Words) -> tuple[Diagnostic, ...]:
    """Return the notes on readings of open words under which a figure cannot be danced."""
    out = []
    for (line, figure, fails), who in words.impossible.items():
        pairs = zip(words.words, words.readings(words.least(who)), strict=True)
        read = " and ".join(f"{word.key} as {word.labels[here]}" for word, here in pairs if here != word.usual)
        why = f"count {counted(fails.action.tick)}, {fails.action.movement.name}, {fails.reason}"
        message = f"{figure} cannot be danced by who reads {read}: {why}; that reading is left out"
        out.append(_note(source, "reading-left-out", line, message))
    return tuple(out)


def _note(
    source: Source, name: str, line: int, message: str, *hints: str, args: tuple[tuple[str, object], ...] = ()
) -> Diagnostic:
    span = source.whole_line(max(line, 1))
    return Diagnostic(CODES[name], source.path, span, message, hints=hints, args=args)


@lru_cache(maxsize=1 << 12)
def open_words(figure: Figure) -> frozenset[str]:
    """Return the words of a figure that can be read in several ways."""
    own = frozenset((figure.name,) if len(figure.versions) > 1 else ())
    return own | {a.movement.name for v in figure.versions for a in v.actions if len(a.movement.senses) > 1}


def _usual(figures: Danced, word: str) -> str:
    for _, figure in figures:
        if figure.name == word and len(figure.versions) > 1:
            return figure.versions[figure.usual].label
        for version in figure.versions:
            for movement in (action.movement for action in version.actions):
                if movement.name == word and len(movement.senses) > 1:
                    return movement.senses[movement.usual].label
    return "?"


def _memory(sheet: Sheet, figures: Danced) -> tuple[Diagnostic, ...]:
    """Return one note on all the figures whose footwork no published source confirms."""
    found: dict[str, int] = {}
    for line, figure in figures:
        version = figure.versions[figure.usual]
        if version.memory and not version.sources:
            found.setdefault(figure.name, line)
    if not found:
        return ()
    message = f"the book has the footwork of {said.listed(list(found))} from memory, not from a published source"
    return (_note(sheet.source, "from-memory", next(iter(found.values())), message, args=(("figures", tuple(found)),)),)


def _each_time(sheet: Sheet) -> tuple[Diagnostic, ...]:
    """Return the notes on lines that repeat a figure and make a full turn each time."""
    out = []
    for line, option in ((number, option) for number, row in rows(sheet.lines) for option in row.options):
        times = option.times or 1
        for mark in option.marks if times > 1 else ():
            if not isinstance(mark, TurnMark) or not mark.eighths or mark.eighths % EIGHTHS or mark.times or mark.beat:
                continue
            turn, turns = said.turn(mark.eighths * mark.side), times * mark.eighths // EIGHTHS
            message = f"each of the {times} makes {turn}: {said.count(turns, 'full turn')} in all"
            share = mark.eighths // times if not mark.eighths % times else 0
            mended = evolve(mark, eighths=share) if share else evolve(mark, times=Times(last=True))
            one = evolve(option, marks=tuple(mended if each is mark else each for each in option.marks))
            hint = f"if all of them together make one, write `{print_node(one)}`"
            out.append(_note(sheet.source, "full-turn-each-time", line, message, hint, args=(("turns", turns),)))
    return tuple(out)


def _unchecked(sheet: Sheet) -> tuple[Diagnostic, ...]:
    """Return the notes on parts danced as written and with the opposite foot in which a turn or a facing is stated: it
    is checked where they are danced as written only."""
    heads = {key(line.node.name): line for line in sheet.lines if isinstance(line.node, PartHead)}
    danced = [(line, option, key(option.name)) for line, row in rows(sheet.lines) for option in row.options]
    straight = {part for _, option, part in danced if not opposite(option)}
    calls, out = Calls(heads), []
    for line, option, part in danced:
        if not opposite(option) or part not in straight or part not in heads:
            continue
        if any(map(_faces, every_line(tuple(heads[name] for name in (part, *calls.all(heads[part].body)))))):
            message = f"the turns and facings that {option.name} states are not checked here"
            why = "with the opposite foot a figure's own turn goes the other way, and a turn that is written does not"
            hint = (
                "if all of them go the other way, write `mirrored`; else say below it how it ends, as in `expect back`"
            )
            out.append(_note(sheet.source, "turns-not-checked", line, f"{message}: {why}", hint))
    return tuple(out)


def _faces(line: Line) -> bool:
    """Say whether a line of a part claims a turn in all or a facing."""
    match line.node:
        case PartHead(pieces=pieces):
            return any(isinstance(piece, TurnMark | NetMark) for piece in pieces)
        case CountsHead(facing=facing):
            return facing is not None
        case ExpectRow(states=states):
            return any(isinstance(state, FacingMark) for state in states)
        case Row(options=options):
            return any(isinstance(mark, FacingMark) for option in options for mark in option.marks)
    return False


def _seldom(sheet: Sheet, leads: "dict[Figure, _Led]") -> tuple[Diagnostic, ...]:
    """Return the notes on figures danced from the foot from which they seldom are."""
    found: dict[str, Diagnostic] = {}
    for figure, led in leads.items():
        line = led.lines.get(figure.lead.other)
        if figure.one_lead and line is not None:
            foot, other = said.foot(figure.lead.other), said.foot(figure.lead)
            message = f"{figure.name} is danced from the {foot} foot here, by custom from the {other} only"
            found.setdefault(figure.name, _note(sheet.source, "seldom-on-this-foot", line, message))
    return tuple(found.values())


def _mirrored(sheet: Sheet, leads: "dict[Figure, _Led]") -> tuple[Diagnostic, ...]:
    """Return the notes on figures of the sheet that turn, say no foot, and are first danced from the right."""
    rows = [line.node for top in sheet.lines if isinstance(top.node, FiguresHead) for line in top.body]
    silent = {key(row.name) for row in rows if isinstance(row, FigureRow) and row.foot is None}
    out = []
    for figure, led in leads.items():
        turn = figure.versions[figure.usual].turn
        if turn and not figure.book and key(figure.name) in silent and led.turns and led.first == {Foot.RIGHT}:
            message = (
                f"{figure.name} is first danced from the right foot, so it makes {said.turn(-turn)} here; "
                f"from the left it makes {said.turn(turn)}, as it is written"
            )
            hint = f"write its foot if it is meant from the right: {figure.name}, right foot, turn …"
            out.append(_note(sheet.source, "turn-mirrored", led.line, message, hint))
    return tuple(out)


# -- which foot leads ------------------------------------------------------------------------------------------------


@define
class _Led:
    """How a figure is led: the line and the feet of its first time, the first line for each foot, and whether its own
    turn was used the first time."""

    line: int
    first: frozenset[Foot]
    turns: bool
    lines: dict[Foot, int] = field(factory=dict)


@define
class _Dancers:
    """The possible weights of all dancers through a program, under the usual readings."""

    led: dict[Figure, _Led] = field(factory=dict)
    done: dict[tuple[int, frozenset[Weight]], frozenset[Weight]] = field(factory=dict)

    def run(self, body: Body, weights: frozenset[Weight]) -> frozenset[Weight]:
        """Return the possible weights after a body; the same body is followed once from the same weights."""
        where = id(body), weights
        if where not in self.done:
            for item in body:
                weights = self.item(item, weights)
            self.done[where] = weights
        return self.done[where]

    def item(self, item: dance.Item, weights: frozenset[Weight]) -> frozenset[Weight]:  # noqa: C901 - a case for each kind
        if isinstance(item, dance.Step):
            return self.step(item, weights)
        match item:
            case dance.Gap():
                return _EVERY
            case Check(blank=True):
                return frozenset((Weight.LEFT, Weight.RIGHT))
            case Check() if item.test.about == "weight":
                goal = asked(item)
                return frozenset(Weight(goal.after(one)) for one in weights or (goal.then,))
            case dance.Together():
                for check in item.checks:
                    weights = self.item(check, weights)
            case dance.Choice():
                return frozenset[Weight]().union(*(self.run(option, weights) for option in item.options))
            case dance.Repeat(times=int(times)):
                return self.times(item.body, times, weights)
            case dance.Repeat() | dance.Forever():
                return self.some(item.body, weights)
            case dance.Last():
                self.run(item.body, weights)
                return weights
            case _ if hasattr(item, "body"):
                return self.run(item.body, weights)
        return weights

    def times(self, body: Body, times: int, weights: frozenset[Weight]) -> frozenset[Weight]:
        """Return the weights after a body danced so often; they come round after a few times."""
        seen = [weights]
        for _ in range(times):
            weights = self.run(body, weights)
            if weights in seen:
                start = seen.index(weights)
                return seen[start + (times - start) % (len(seen) - start)]
            seen.append(weights)
        return weights

    def some(self, body: Body, weights: frozenset[Weight]) -> frozenset[Weight]:
        """Return the weights after a body danced any number of times."""
        while (grown := weights | self.run(body, weights)) != weights:
            weights = grown
        return weights

    def step(self, step: dance.Step, weights: frozenset[Weight]) -> frozenset[Weight]:
        ends = _ends(step.figure)
        both = tuple(Foot) if ends is not None and Weight.BOTH in weights else ()
        leads = frozenset((*both, *(Foot(1 - weight) for weight in weights - {Weight.BOTH})))
        led = self.led.setdefault(step.figure, _Led(step.line, leads, step.turn is None and not step.blank))
        for lead in leads:
            led.lines.setdefault(lead, step.line)
        return weights if ends is None else frozenset(ends[lead] for lead in leads)


@lru_cache(maxsize=1 << 12)
def _ends(figure: Figure) -> tuple[Weight, Weight] | None:
    """Return the weight after a figure with a left and a right lead; None if it changes nothing of the weight."""
    starts = [Weight(lead.other) for lead in Foot]
    led = [ends(figure, start)[0].weight for start in starts]
    if is_still(figure.versions[figure.usual], {}) and led == starts:
        return None
    left, right = (Weight.BOTH if isinstance(end, Impossible) else end for end in led)
    return left, right


# -- phrases of a song -----------------------------------------------------------------------------------------------

MOST = 100_000
"""Figures of a dance that are looked at."""


def across(sheet: Sheet, body: Body, song: "Song | None") -> tuple[Diagnostic, ...]:
    """Return a note for each line with a figure that begins in one phrase of a song and ends in another.

    The first option of each variation is looked at; sections are taken as filled.
    """
    ends: list[int] = []
    names: list[str] = []
    sections = song.sections if song else ()
    for section, end in zip(sections, accumulate(section.ticks for section in sections), strict=True):
        start = end - section.ticks
        found = (*range(start + section.phrase * TICKS, end, section.phrase * TICKS), end)
        ends += found
        names += [f"beat {said.number(Fraction(one - start, TICKS))} of {section.name}" for one in found]
    told: dict[int, tuple[str, list[str]]] = {}
    for line, figure, start, end in islice(_figures(body, 0), MOST) if ends else ():
        place = bisect_right(ends, start)
        if place < len(ends) and ends[place] < end:
            told.setdefault(line, (figure, []))[1].append(names[place])
    out = []
    for line, (figure, places) in told.items():
        more = f", and {said.count(len(places) - 1, 'time')} more" if len(places) > 1 else ""
        message = f"{figure} is danced across the end of a phrase, {places[0]}{more}"
        args = (("figure", figure), ("places", tuple(places)))
        out.append(_note(sheet.source, "across-a-phrase", line, message, args=args))
    return tuple(out)


def _figures(body: Body, clock: int) -> Generator[tuple[int, str, int, int], None, int]:
    """Yield the figures of a body that begins at `clock`: line, name, start and end in ticks; return when it ends."""
    for item in body:
        match item:
            case dance.Step():
                end = clock + item.figure.length
                yield item.line, item.figure.name, clock, end
                clock = end
            case dance.Rest() | dance.Gap():
                clock += item.ticks
            case dance.Repeat():
                for _ in range(item.times or 1):
                    clock = yield from _figures(item.body, clock)
            case dance.Forever():
                return clock
            case dance.Choice():
                clock = yield from _figures(item.options[0], clock)
            case dance.Timed() | dance.Pass():
                end = yield from _figures(item.body, clock)
                filled = [check.number for inner in item.body for check in checks(inner) if check.test is Test.CLOCK]
                lasts = filled[-1] if filled and isinstance(item, dance.Timed) else item.lasts
                clock = end if lasts is None else clock + lasts
            case _:
                for inner in inside(item):
                    clock = yield from _figures(inner, clock)

    return clock
