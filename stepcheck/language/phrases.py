"""Builds the nodes of the syntax: one method for each rule of the grammar, each node with its place in the line."""

import re
from collections.abc import Callable
from typing import Any, NoReturn

from attrs import evolve

from stepcheck.language import syntax
from stepcheck.language.grammar import (
    TYPESET,
    Amount,
    LineError,
    Often,
    Token,
    eighths,
    number,
    often,
    place,
    side_of,
    sided,
    ticks,
    times_of,
    unit_of,
    wall_of,
    words,
)
from stepcheck.language.syntax import At
from stepcheck.model.dance import TICKS, Foot

_KINDS = {
    syntax.Length: "a length",
    syntax.FootMark: "a foot",
    syntax.FacingMark: "a facing",
    syntax.TurnMark: "a turn",
    syntax.NetMark: "a facing",
    syntax.FeetMark: "a foot",
    syntax.FirstMark: "a cut",
    syntax.SwapMark: "a mirror image",
    syntax.UntilMark: "until the music ends",
    syntax.StateMark: "this claim",
    syntax.TravelMark: "how far it goes",
    syntax.SpotMark: "where it ends",
}
_FORM = re.compile(
    r"(?P<form>[^\s@(),:|#?;]+)(?:\s*\((?P<foot>[^()]*)\))?(?P<at>@(?P<lead>&)?(?P<beat>[0-9]+)(?P<part>[e&a])?)?", re.I
)
_PARTS = {"e": TICKS // 4, "&": TICKS // 2, "a": TICKS * 3 // 4}


def _twice(at: At, what: str) -> NoReturn:
    raise LineError(at, f"{what} stands here twice", ("keep one of the two",))


def _once(marks: tuple[Any, ...]) -> None:
    """Refuse a second mark of one kind that speaks of the same times."""
    seen = set()
    for mark in marks:
        about = (type(mark), *(getattr(mark, what, None) for what in ("time", "times", "said", "steps")))
        if about in seen:
            _twice(mark.at, _KINDS[type(mark)])
        seen.add(about)


def _always(kind: type, *values: Any) -> Callable[[Any, list[Any]], Any]:
    """Return the method of a rule that always means the same."""
    return lambda self, found: kind(*values)


def _placed(kind: type, *values: Any) -> Callable[[Any, list[Any]], Any]:
    """Return the method of a rule that always means the same, but for its place."""
    return lambda self, found: kind(*values, at=place(*found))


class Phrases:
    """One method for each rule of `language.lark`, called with the meanings of the rule's pieces."""

    music_head = _always(syntax.MusicHead)
    figures_head = _always(syntax.FiguresHead)
    together_head = _always(syntax.TogetherHead)
    until_head = _placed(syntax.UntilHead)
    until = _placed(syntax.UntilMark)
    opposite = _placed(syntax.SwapMark, False)
    mirrored = _placed(syntax.SwapMark, True)
    spot = _placed(syntax.TravelMark, 0, 0)
    returns = _placed(syntax.SpotMark, 0)

    # -- pieces ------------------------------------------------------------------------------------------------------

    def whole(self, found: list[Any]) -> Amount:
        return Amount(number(found[0], place(found[0])), 1, place(found[0]))

    def amount(self, found: list[Any]) -> Amount:
        at = place(*found)
        last = TYPESET.get(found[-1], found[-1])
        whole = number(found[0], at, 0) if found[0].isdecimal() else 0
        if "/" not in last:
            return Amount(whole, 1, at)
        top, bottom = (number(text, at, 0) for text in last.split("/"))
        if not bottom:
            raise LineError(at, f"{found[-1]} divides by zero", (), "number-out-of-range")
        return Amount(whole * bottom + top, bottom, at)

    def length(self, found: list[Any]) -> syntax.Length:
        amount, unit = found
        return syntax.Length(ticks(amount), unit_of(unit), at=place(*found))

    def travel(self, found: list[Any]) -> syntax.TravelMark:
        steps, _, way = found
        size, word = number(str(steps.top), steps.at), words(way).split()[-1][0]
        right, forward = {"r": (size, 0), "l": (-size, 0), "f": (0, size), "b": (0, -size)}[word]
        return syntax.TravelMark(right, forward, place(*found))

    def within(self, found: list[Any]) -> syntax.SpotMark:
        return syntax.SpotMark(number(str(found[1].top), found[1].at), place(*found))

    def first(self, found: list[Any]) -> syntax.FirstMark:
        return syntax.FirstMark(ticks(found[1]), unit_of(found[2]), place(*found))

    def foot(self, found: list[Any]) -> syntax.FootMark:
        word = words(found[0])
        foot = {"l": Foot.LEFT, "r": Foot.RIGHT}.get(word[0])
        return syntax.FootMark(foot, word[0] == "b", place(*found))

    def facing(self, found: list[Any]) -> syntax.FacingMark:
        return syntax.FacingMark(wall_of(found[-1]), place(*found), found[-1][0].isdecimal())

    def wall(self, found: list[Any]) -> syntax.FacingMark:
        return self.facing([sided(found[0])])

    def turn(self, found: list[Any]) -> syntax.TurnMark:
        _, size, side, beat, times = found
        return syntax.TurnMark(eighths(size), side_of(side), beat and beat.top, times and times[0], at=_until(found))

    def turn_sided(self, found: list[Any]) -> syntax.TurnMark:
        word, side, size, *rest = found
        return self.turn([word, size, side, *rest])

    def turn_blank(self, found: list[Any]) -> syntax.TurnMark:
        _, _, beat, times = found
        return syntax.TurnMark(None, 0, beat and beat.top, times and times[0], at=_until(found))

    def total(self, found: list[Any]) -> syntax.TurnMark:
        size, _, side, times = found
        return syntax.TurnMark(eighths(size), side_of(side), times=times and times[0], at=_until(found))

    def total_sided(self, found: list[Any]) -> syntax.TurnMark:
        size, side, word, times = found
        return self.total([size, word, side, times])

    def no_turn(self, found: list[Any]) -> syntax.TurnMark:
        return syntax.TurnMark(0, times=found[1] and found[1][0], at=_until(found))

    def every(self, found: list[Any]) -> tuple[syntax.Times, At]:
        at = place(found[0])
        return syntax.Times(every=number(found[0][:-2], at, 2, 8)), at

    def listed(self, found: list[Any]) -> tuple[syntax.Times, At]:
        return times_of(found[0])

    def net(self, found: list[Any]) -> syntax.NetMark:
        clocks = (found[0][0].isdecimal(), found[1][0].isdecimal())
        return syntax.NetMark(wall_of(sided(found[0])), wall_of(sided(found[1])), at=place(*found), clocks=clocks)

    def feet(self, found: list[Any]) -> syntax.FeetMark:
        return syntax.FeetMark(_known(found[0]), _known(found[1]), at=place(*found))

    def piece(self, found: list[Any]) -> syntax.Piece:
        named: Token | None = found[0]
        claim: syntax.Piece = _known(found[1])
        if isinstance(claim, syntax.TurnMark) and claim.times:
            raise LineError(claim.at, "a contract's turn is that of the whole part, not of some times of a repeat")
        if named is None:
            return claim
        if isinstance(claim, syntax.SpotMark):
            raise LineError(claim.at, "where a part ends holds for every time", ("leave the time out",))
        times, at = times_of(named)
        if len(times.named) != 1 or times.last:
            raise LineError(at, "a contract speaks of one time in each piece", ("as in: 2nd time 40 beats",))
        if isinstance(claim, syntax.FootMark):
            hint = "as in: 2nd time left foot to right foot"
            raise LineError(claim.at, "a single foot holds for every time", (hint,))
        return evolve(claim, time=times.named[0], at=place(named, claim))

    # -- between the sections ----------------------------------------------------------------------------------------

    def header(self, found: list[Any]) -> syntax.HeaderField:
        key, value = found
        return syntax.HeaderField(words(key), str(value), place(key), place(value))

    def dance_head(self, found: list[Any]) -> syntax.DanceHead:
        return syntax.DanceHead(found[1])

    def part_head(self, found: list[Any]) -> syntax.PartHead:
        _, name, *pieces = found
        kept = tuple(piece for piece in pieces if piece is not None)
        _once(kept)
        return syntax.PartHead(_name(name), kept, place(name))

    # -- under music: and figures: -----------------------------------------------------------------------------------

    def music_row(self, found: list[Any]) -> syntax.MusicRow:
        name, amount, _ = found
        return syntax.MusicRow(_name(name), ticks(amount), place(name))

    def figure_row(self, found: list[Any]) -> syntax.FigureRow:
        name, *facts, forms = found
        kept: dict[str, Any] = {}
        for fact in facts:
            kind = type(fact).__name__.removesuffix("Mark").lower()
            if kind in kept:
                _twice(fact.at, f"a {kind}")
            if kind == "foot" and fact.foot is None:
                raise LineError(fact.at, "a figure is written for one lead", ("write left foot or right foot",))
            if kind == "turn" and (fact.eighths is None or fact.times):
                raise LineError(fact.at, "a figure's own turn is one turn, written out", ("as in: turn 1/4 left",))
            kept[kind] = fact
        return syntax.FigureRow(_name(name), forms, at=place(name), **kept)

    def forms(self, found: list[Any]) -> tuple[syntax.Form, ...]:
        return tuple(_form(token) for token in found)

    # -- under a part and dance: -------------------------------------------------------------------------------------

    def counts_head(self, found: list[Any]) -> syntax.CountsHead:
        word, first, last, *states = found
        end = last or first
        if end.top < first.top:
            reason = f"the counts run backwards, from {first.top} to {end.top}"
            raise LineError(place(first, end), reason, (), "number-out-of-range")
        kept: dict[str, Any] = {}
        for state in states:
            kind = "foot" if isinstance(state, syntax.FootMark) else "facing"
            if kind in kept:
                _twice(state.at, f"a {kind}")
            kept[kind] = _known(state)
        return syntax.CountsHead(first.top, end.top, unit_of(word), at=place(word, end), **kept)

    def counts_range(self, found: list[Any]) -> syntax.CountsHead:
        text, *states = found
        first, last = (Amount(number(one[0], place(text)), 1, place(text)) for one in re.finditer("[0-9]+", text))
        return self.counts_head([text, first, last, *states])

    def times_head(self, found: list[Any]) -> syntax.TimesHead:
        return syntax.TimesHead(often(found[0]), place(found[0]))

    def only_head(self, found: list[Any]) -> syntax.OnlyHead:
        text, at = found[0], place(found[0])
        if text[:5].casefold() == "every":
            return syntax.OnlyHead(syntax.Times(every=number(text.split()[1][:-2], at, 2, 8)), at=at)
        return syntax.OnlyHead(times_of(text)[0], at=at)

    def except_head(self, found: list[Any]) -> syntax.OnlyHead:
        times, at = found[1]
        return syntax.OnlyHead(times, True, at)

    def stated(self, found: list[Any]) -> syntax.StateMark:
        said = words(found[0])
        return syntax.StateMark("mirror images" if said[0] == "m" else said, place(found[0]))

    def label_head(self, found: list[Any]) -> syntax.LabelHead:
        return syntax.LabelHead(_name(found[0]), place(found[0]))

    def expect(self, found: list[Any]) -> syntax.ExpectRow:
        states = tuple(found[1:])
        _once(states)
        return syntax.ExpectRow(tuple(map(_known, states)))

    def hold(self, found: list[Any]) -> syntax.HoldRow:
        said = found[1]
        return syntax.HoldRow(syntax.Length(ticks(said), at=said.at) if isinstance(said, Amount) else said)

    def gap(self, found: list[Any]) -> syntax.GapRow:
        return syntax.GapRow(found[1])

    def often(self, found: list[Any]) -> Often:
        return Often(often(found[0]), place(found[0]))

    def option(self, found: list[Any]) -> syntax.Option:
        before, name, book, *marks = found
        at = place(book) if book is not None else syntax.NOWHERE
        return _option(before, name, marks, book=book and str(book), book_at=at)

    def movements(self, found: list[Any]) -> syntax.Option:
        before, row, *marks = found
        start = place(row)[0]
        forms = tuple(_form(_moved(one[0], start + one.start())) for one in re.finditer(r"\S+", row))
        return _option(before, row, marks, forms=forms)

    def bracket(self, found: list[Any]) -> Any:
        return found[0]

    def row(self, found: list[Any]) -> syntax.Row:
        return syntax.Row(tuple(found))

    def labelled_row(self, found: list[Any]) -> syntax.Row:
        return syntax.Row(tuple(found[1:]), _name(found[0]), place(found[0]))

    def waiting_row(self, found: list[Any]) -> syntax.Row:
        name, _, length, *options = found
        return evolve(self.labelled_row([name, *options]), wait=length)


def _option(before: Any, name: Any, marks: list[Any], **rest: Any) -> syntax.Option:
    counts = [Often(often(before), place(before))] if before is not None else []
    counts += [mark for mark in marks if isinstance(mark, Often)]
    kept = tuple(mark for mark in marks if mark is not None and not isinstance(mark, Often))
    if len(counts) > 1:
        _twice(counts[1].at, "how often")
    _once(kept)
    times, at = (counts[0].times, counts[0].at) if counts else (1, syntax.NOWHERE)
    return syntax.Option(_name(name), times, marks=kept, at=place(name), times_at=at, **rest)


def _moved(text: str, start: int) -> Token:
    token = Token(text)
    token.at = start, start + len(text)
    return token


def _name(token: Any) -> str:
    return " ".join(token.split())


def _until(found: list[Any]) -> At:
    """Return the place of a mark of which the last piece may be times with their place."""
    places = [piece[1] if isinstance(piece, tuple) else piece.at for piece in found if piece is not None]
    return min(start for start, _ in places), max(end for _, end in places)


def _known(mark: Any) -> Any:
    if isinstance(mark, syntax.FootMark) and mark.foot is None and not mark.both:
        hint = "write left foot, right foot or both feet"
        raise LineError(mark.at, "a blank foot stands on a line of the dance only", (hint,))
    return mark


def _form(token: Any) -> syntax.Form:
    """Return the movement that `token` writes, as in DS, S(R), S(L)@1&."""
    start, end = place(token)
    found = _FORM.fullmatch(token)
    if not found:
        mark = token.find("@") if "@" in token else 0
        hint = ("a count is written @3, @3e, @3&, @3a or @&3", "a foot is written S(L) or S(R)")
        raise LineError((start + mark, end), f"{token[mark:]} is not a movement's count", hint)
    foot = None
    if found["foot"] is not None:
        letter = found["foot"].strip().casefold()
        foot = {"l": Foot.LEFT, "left": Foot.LEFT, "r": Foot.RIGHT, "right": Foot.RIGHT}.get(letter)
        if foot is None:
            hint = "a foot is written (L) or (R)", "where it goes is a note at the end, as in DS DT RS (xif)"
            reason = "a bracket right behind a code is its foot, and this is no foot"
            raise LineError((start + found.start("foot"), start + found.end("foot")), reason, hint)
    if found["at"] is None:
        return syntax.Form(found["form"], foot, at=(start, end))
    at = (start + found.start("at"), start + found.end("at"))
    if found["lead"] and found["part"]:
        raise LineError(at, "a count is before the beat or after it, not both", ("write @&3 or @3&",))
    beat = number(found["beat"], at)
    tick = beat * TICKS - (TICKS // 2 if found["lead"] else 0) + _PARTS.get((found["part"] or "").casefold(), 0)
    return syntax.Form(found["form"], foot, tick, beat, (start, end))
