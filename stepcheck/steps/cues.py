"""One cue of a clogging routine as lines of dance: `2 Triples`, `Push Off L`, `Stomp L, hold 3`."""

import re
from collections.abc import Callable

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.model.dance import TICKS, key
from stepcheck.steps.codes import Row, as_written, feet_of, forms_beats, is_feet, listed, paired, row, row_text, sides
from stepcheck.steps.folding import only
from stepcheck.steps.marks import (
    EACH_WALL,
    TIMES,
    bare_cue,
    feet_said,
    footed,
    lasting_cue,
    marked,
    nameable,
    names_figure,
    only_turns,
    split_foot,
    times_again,
    times_of,
    turn_text,
    turned,
)
from stepcheck.steps.outline import Assumptions, Block, Definition, Expect, Item, Line, Move, Remark, joined, mirrored
from stepcheck.steps.phrases import events
from stepcheck.steps.rows import SAYS
from stepcheck.steps.steps import Facing, Mention, Step, Turn, Unread
from stepcheck.steps.vocabulary import Vocabulary, Word, mended, pieces, plain, tight

_LEAD_BEATS = re.compile(
    r"^\s*(?:-\s*)?(?:\((\d{1,2})\)|(\d{1,2}))(?:\s*(?:beats?|counts?|bts?|b)\b\.?)?(?:\s*:\s*|\s*\.{2,}\s*|\s{2,})(?=\S)"
)
IN_FRONT = re.compile(
    r"^\s*(?:-\s*)?(\d{1,2})(?:\s*(?:beats?|counts?|bts?|b)\b\.?)?(?:\s*[:.=|]+\s*|\s+-\s+|\s+)(?=[A-Za-z\d(])"
)
"""A number in front of a line, which may be its beats or how often it is danced."""
IN_BRACKETS = re.compile(r"^\s*(?:-\s*)?\((\d{1,2})\)\s*(?=[A-Za-z\d])")
_ON_EACH = re.compile(r"(?i)\bon (?:the|every|each|all|last)\b(?!\s*(?:spot|left|right))")
_HOLD = re.compile(r"(?i)^\W*\(?(?:hold|pause|rest|freeze)\)?\s*(\d+|two|three|four)?(?: *(?:beats?|counts?))?\W*$")
_MANY = rf"(\d|{'|'.join(TIMES)})"
_GROUP = re.compile(
    rf"(?i)^\W*?(?:{_MANY}\s*(?:x|times)?\s*)?\(([^()]*[,;&+][^()]*)\)\s*(?:x\s?{_MANY}|{_MANY}\s*(?:x|times)|(twice))?\W*$"
)
_OTHER_FOOT = re.compile(
    r"(?i)^\W*(?:repeat|same|the same|all that)?\s*(?:again\s+)?(?:(?:on|with)\s+)?(?:the\s+)?"
    r"(?:other|opposite)\s+(?:foot|side)\W*$"
)


class Cues:
    """Reads the cues of a routine; `defined` are the figures that its source spells out, by key, `numbered` says that
    the numbers before cues are how often each is danced."""

    def __init__(self, vocabulary: Vocabulary, book: Book, assumed: Assumptions) -> None:
        self.vocabulary, self.book, self.assumed = vocabulary, book, assumed
        self.defined: dict[str, Definition] = {}
        self.numbered, self.votes, self.spans = False, 0, 0

    def in_front(self, text: str, sign: re.Pattern[str] = IN_FRONT) -> tuple[int, int, int]:
        """Return the number in front of a line, 0 for none, how many beats the words behind it last, and 1 where they
        say by themselves that it is of beats, -1 that it is of times, else 0.
        """
        found = sign.match(plain(text))
        if not found or not re.search(r"[A-Za-z]", text):
            return 0, 0, 0
        rest, other, size = plain(text)[found.end() :], Cues(self.vocabulary, self.book, Assumptions()), int(found[1])
        once, lasts = row(rest), sum(map(other.lasts, other.cues(rest)))
        named = events(re.split(r"[,(]", once.name if once and once.name else rest)[0], self.vocabulary)
        counted = rest[0].isdecimal()
        several = bool(named) and isinstance(named[0], Mention) and named[0].several and not counted
        often = several or (lasts not in (0, size) and len(named) == 1 and not once and not counted)
        return size, lasts, -1 if often else int(lasts == size)

    def led(self, text: str) -> tuple[int, str]:
        """Return the beats before a line, `4  Karate Turn`, and the rest; 0 where the number is of times."""
        if self.numbered:
            return 0, text
        if self.votes > 0 and (found := IN_FRONT.match(plain(text))) and 0 < int(found[1]) <= 64:
            return int(found[1]), plain(text)[found.end() :]
        if beats := self._spanned(text):
            return beats
        if self.spans > 0 and (found := IN_BRACKETS.match(plain(text))) and 0 < int(found[1]) <= 64:
            return int(found[1]), plain(text)[found.end() :]
        if not (found := _LEAD_BEATS.match(text)) or not 0 < (stated := int(found[1] or found[2])) <= 16:
            return 0, text
        rest = text[found.end() :]
        once = row(rest)
        named = only(events(once.name if once else rest, self.vocabulary), Mention)
        often = self.votes < 0 and len(named) == 1 and ".." not in found[0]
        return (0, f"{stated} {rest}") if often else (stated, rest)

    def _spanned(self, text: str) -> tuple[int, str] | None:
        """Return the beats in brackets before cues that last just these, `(16) Triple, Triple, Cowboy`, and the rest;
        the beats are 0 where the cues alone say them, and no row beside the cues does."""
        found = re.match(r"\s*\((\d{1,2})\)\s(?=\S)", text)
        rest = text[found.end() :] if found else ""
        named = only(events(rest.split(",")[0], self.vocabulary), Mention)
        if not found or (named and named[0].several):
            return None
        other, stated = Cues(self.vocabulary, self.book, Assumptions()), int(found[1])
        whole, cell = (sum(map(self.lasts, other.cues(said))) for said in (rest, re.split(r"\s{2,}", rest)[0]))
        return (0, rest) if whole == stated else (stated, rest) if cell == stated else None

    def learn(self, name: str) -> str:
        """Return how a figure is called: as the book spells it, else as the source does, which is learnt."""
        words = tuple(mended(word, self.vocabulary) for word in name.casefold().replace("-", " ").split())
        for at in (words, tuple(word.removesuffix("s") for word in words)):
            found = self.vocabulary.phrases.get(at)
            if found and found.kind == "figure":
                return found.value
        called = " ".join(name.split())
        phrases = dict(self.vocabulary.phrases)
        spelled = tuple(name.casefold().split())
        for form in {each for one in (words, spelled) for each in (one, (*one[:-1], one[-1] + "s"))}:
            phrases[form] = Word("figure", called)
        self.vocabulary = evolve(self.vocabulary, phrases=phrases, longest=max(self.vocabulary.longest, len(words)))
        return called

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
            return forms_beats(row_text(line), self.book)
        own = self.defined.get(key(line.name))
        if own:
            return forms_beats(own.row, self.book) * line.times
        found = self.book.find(line.name)
        if not found:
            return 0
        return found[0].length // TICKS * line.times

    def coded(self, found: Row, feet: tuple[str, ...], placed: Callable[[Line], Line] = lambda line: line) -> Line:
        """Return a row of codes with the feet beside or below it as a line: a figure where it is named, else the
        row."""
        called, foot = split_foot(found.name)
        forms = [each for group in found.codes for each in group]
        given = paired(found.codes, feet or found.feet)
        if found.broken or len(given) not in (
            0,
            1,
            len(found.codes),
        ):  # not the whole row: what it is called says what it is, if anything does
            known, text = only(events(called, self.vocabulary), Mention), " ".join((found.name, *forms, found.rest))
            return Line(name=known[0].name, foot=foot) if len(known) == 1 else Line(blank=True, remark=tight(text))
        for each, means in (("BA", "B is a ball"), ("TT", "a toe with a place is a touch of the toe without weight")):
            if each in forms:
                self.assumed.add(means)
        named = events(called, self.vocabulary)
        where: tuple[str, ...] = ()
        if len(named) == 1 and isinstance(figure := named[0], Mention) and figure.note:
            called, where = figure.name, figure.note
        if named and (steps := only(named, Step)) == list(named):
            steps = [] if found.bracketed else steps  # `Run 4 (DS DS DS DS)` is danced once
            codes = tuple((each,) for step in steps for each in step.codes)
            feet = tuple(step.foot for step in steps) + given if given else ()
            return self.coded(Row((*codes, *found.codes), (*[""] * len(codes), *found.notes), feet), ())
        timed = row_text(placed(Line(moves=tuple(Move(each, "", 0) for each in forms))), leads=True)
        name = called and self.define(called, timed, ", ".join(filter(None, found.notes)))
        if name and (not given or as_written(found.codes, given, self.book)):
            return Line(name=name, foot=given[0][:1] if given else foot, note=where)
        moves: list[Move] = []
        for index, group in enumerate(found.codes):
            said = sides(group, given[index]) if index < len(given) else []
            for at, each in enumerate(group):
                side = said[at][:1] if at < len(said) else ""
                moves.append(Move(each, "" if each == "HOLD" else side, 0))
        for move in [move for move in moves if move.code in SAYS]:
            self.assumed.add(SAYS[move.code])
        return Line(moves=tuple(moves), note=tuple(filter(None, found.notes)))

    def cues(self, text: str) -> tuple[Item, ...]:
        """Return what a list of cues says, in order: `2 Triples, Push Off L, turn 1/4 L on each`."""
        out: list[Item] = []
        spelled = re.match(r"^\W*([A-Z][\w' -]+?)(?:\s+\(?(left|right|L|R)\)?)?\s*:\s*(?=\S)", text)
        if spelled and (line := self._spelled(spelled[1], spelled[2] or "", text[spelled.end() :])):
            return (line,)
        if line := self._turning(text):
            return (line,)
        since = 0  # where the cues begin that the next length speaks of
        for piece in listed(text):
            length, bare = lasting_cue(bare_cue(piece))
            grouped = _GROUP.match(bare)
            many = grouped and (grouped[1] or grouped[3] or grouped[4] or (grouped[5] and "2"))
            if out and EACH_WALL.fullmatch(bare):
                out.append(Remark(bare))
            elif grouped and many:
                times = TIMES.get(many.casefold()) or int(many)
                out.append(Block(f"{times} times", self.cues(grouped[2])))
            elif _OTHER_FOOT.search(bare) and out:
                self.assumed.add("the other foot is the free one")
                out += [mirrored(item) for item in joined(out)]
            elif (times := times_again(bare)) > 1 and out:
                length = 0 if length == sum(map(self.lasts, out)) else length
                faced = only(events(bare, self.vocabulary), Facing)[-1:]
                since, again = 0, Block(f"{times} times", tuple(joined(out)))
                out[:] = [again, *(Expect(f"facing {face.wall}", bare) for face in faced)]
            elif re.search(r"\w", bare):
                self._cue(bare, out)
            if length:
                out[since:] = self._fitted(out[since:], length, piece)
                since = len(out)
        return tuple(joined(out))

    def _turning(self, text: str) -> Line | None:
        """Return a row of single steps one of which turns."""
        length, bare = lasting_cue(text)
        steps = only(said := events(bare, self.vocabulary), Step)
        if len(said) < 3 or steps != list(said) or row(bare) or re.search(r"[(]|\btwo\b|^\W*slow", bare):
            return None
        fits = len([step for step in steps if step.turn]) == 1 and length in (0, len(steps))
        return self._stepped(steps, 1, None, "", "") if fits else None

    def _fitted(self, items: list[Item], length: int, said: str) -> list[Item]:
        """Return lines if the last of them, or all, last as many beats as is said; else a blank of these."""
        for at in range(len(items)):
            if sum(map(self.lasts, items[at:])) == length:
                return [*items[:at], *(evolve(i, measured=True) if isinstance(i, Line) else i for i in items[at:])]
        words = "; ".join([*(i.remark for i in items if isinstance(i, Line) and i.remark not in said), said])
        return [Line(blank=True, counts=length, measured=True, remark=words)]

    def lasts(self, item: Item) -> int:
        """Return how many beats a line lasts, or the lines of a block."""
        if isinstance(item, Block):
            times = int(item.head.split()[0]) if item.head.endswith(" times") else 1
            return times * sum(self.lasts(each) for each in item.lines)
        return self.beats(item) if isinstance(item, Line) else 0

    def _cue(self, text: str, out: list[Item]) -> None:
        """Add what one cue says to the lines before it."""
        bare = text.strip(" .!\t")
        if line := self._short(bare, out):
            out.append(line)
            return
        last = out[-1] if out else None
        if isinstance(last, Line) and (more := self._more(last, bare)):
            out[-1:] = more
            return
        times, bare = times_of(bare)
        outside, inside = re.sub(r"\([^()]*\)", " ", bare), " ".join(re.findall(r"\(([^()]*)\)", bare))
        said = events(outside, self.vocabulary)
        names, steps, unread = only(said, Mention), only(said, Step), only(said, Unread)
        facing = next((event.wall for event in only(said, Facing)), "")
        onto = _ON_EACH.search(outside)
        if len(names) == 1 and not steps:
            named = names[0]
            note = named.note + tuple(event.text for event in unread)
            line = Line((), named.name, max(times, named.times), named.feet[:1], note=note, facing=facing)
            if named.turn:
                line = turned(line, named.turn, text, self.assumed)
                line = evolve(line, note=(*line.note, "full turn")) if line.turn not in (None, named.turn) else line
            out.extend([line] if line.blank else self._bracketed(line, inside))
        elif steps and not names and not unread and not (onto and out):
            out.append(self._stepped(steps, times, re.search(r"(?i)\btwo beats each\b|^slow\b", bare), inside, facing))
        elif not (steps or names or unread) and (bracketed := only(events(inside, self.vocabulary), Step)):
            moves = tuple(Move(each, step.foot, 0) for step in bracketed for each in step.codes)
            out.append(Line(moves, note=(tight(outside),)))
        elif (steps + names + unread and not onto and self.moving(outside)) or self._figure_like(text.strip(), bare):
            out.append(Line(blank=True, remark=text.strip()))
        elif lines := [(index, item) for index, item in enumerate(out) if isinstance(item, Line)]:
            each = "each" in bare.casefold().split() and all(line.times == 1 for _, line in lines)
            for index, line in lines if each else lines[-1:]:
                out[index] = self.behind(line, bare)
        else:
            turning = any(kind == "turned" for kind, *_ in pieces(plain(text), self.vocabulary))
            out.append(Line(blank=True, remark=text.strip()) if turning else Remark(text.strip()))

    def _more(self, last: Line, bare: str) -> list[Line]:
        """Return a line with the turn, or the feet, that are all that a cue behind it says."""
        if only_turns(bare) and not _ON_EACH.search(bare):
            return [self.behind(last, bare)]
        feet = feet_said(bare, last.times) if last.name else ""
        return footed(last, last.foot + feet if last.foot not in ("", feet[0]) else feet) if feet else []

    def _short(self, bare: str, out: list[Item]) -> Line | None:
        """Return a hold, a row of codes, or the figure of before on the other foot; None for any other cue."""
        last = out[-1] if out else None
        if held := _HOLD.match(bare):
            count = TIMES.get((held[1] or "1").casefold(), 0) or int(held[1] or 1)
            return Line((Move("HOLD", "", 0),) * count, counts=count, stated=held[1] is not None)
        if isinstance(last, Line) and last.name and last.times == 1 and len(feet := feet_said(bare)) == 1:
            return evolve(last, foot=feet) if last.foot and last.foot != feet else None
        found = row(bare)
        if found and (not found.name or (nameable(found.name) and names_figure(found.name, self.vocabulary))):
            return self.behind(self.coded(found, ()), found.rest)
        if found and not self.moving(found.name) and not _ON_EACH.search(bare):
            line = self.behind(self.coded(evolve(found, name=""), ()), f"{found.name} {found.rest}")
            return evolve(line, spells=True)
        return None

    def _stepped(self, steps: list[Step], times: int, slow: object, inside: str, facing: str) -> Line:
        """Return single steps as a row; slow ones have a beat of stillness each."""
        steps = [each for step in steps for each in ((step, Step(("HOLD",))) if slow else (step,))] * times
        moves = [Move(each, step.foot if each != "HOLD" else "", 0) for step in steps for each in step.codes]
        for move in [move for move in moves if move.code in SAYS]:
            self.assumed.add(SAYS[move.code])
        feet = feet_of(inside) if is_feet(inside) else ()
        if len(feet) in (1, len(moves)):
            moves = [evolve(move, foot=foot) for move, foot in zip(moves, feet, strict=False)] + moves[len(feet) :]
            inside = ""
        note = (*(each for step in steps for each in step.note), *((inside,) if inside else ()))
        spin = next((step.turn for step in steps if step.turn), None)
        return Line(tuple(moves), note=note, turn=spin, facing=facing)

    def _figure_like(self, text: str, bare: str) -> bool:
        """Say whether words that aren't understood look like a figure that no book has: `Donkey L`, `2 donkeys`."""
        turning = {"turned", "turn", "size"} & {kind for kind, *_ in pieces(plain(text), self.vocabulary)}
        called = re.match(r"[A-Z][a-z]", text) and len(text.split()) < 4
        return not turning and bool(
            called or re.match(r"\(?\d", text) or re.search(r"(?<!the )\b(?:L|R|left|right)$|\bx\d$", bare)
        )

    def moving(self, text: str) -> bool:
        """Say whether a text has the word of a movement, a figure or a code."""
        return any(kind in ("verb", "figure", "codes", "part") for kind, *_ in pieces(plain(text), self.vocabulary))

    def _spelled(self, name: str, side: str, text: str) -> Line | None:
        """Return a figure whose steps stand behind its name; they become its footwork."""
        found = self.footwork(text)
        if found is None:
            return None
        forms, note, facts, rest = found
        called, foot = split_foot(f"{name} {side}".strip())
        line = Line(name=self.define(called, forms, note, facts), foot=foot)
        return self.behind(line, rest)

    def footwork(self, text: str) -> tuple[str, str, str, str] | None:
        """Return the row that words and codes spell, its note, its built-in turn, and what stands behind it."""
        forms: list[str] = []
        notes: list[str] = []
        rest: list[str] = []
        spin: Turn | None = None
        at = 0
        for piece in listed(text):
            coded = row(piece)
            said = "" if coded else re.sub(r"\((?=[LR]\))", " ", piece).replace(")", " ")
            found = events(said, self.vocabulary)
            steps = [event for event in found if isinstance(event, Step)]
            if coded and not coded.name and not rest:
                forms += [each for group in coded.codes for each in group]
                notes += [each for each in coded.notes if each]
                word = self.vocabulary.phrases.get(tuple(coded.rest.casefold().split()))
                if coded.rest and word and word.kind == "dir":
                    notes.append(word.value)
                elif coded.rest:
                    rest.append(coded.rest)
                continue
            if not steps or rest or any(isinstance(event, Mention | Unread) for event in found):
                rest.append(piece.strip())
                continue
            for step in steps:
                foot = f"({step.foot})" if (step.foot and "(" in text) or (step.foot and "SL" not in step.codes) else ""
                forms += [f"{each}{foot if not index else ''}" for index, each in enumerate(step.codes)]
                notes += step.note
                if step.turn:
                    spin, at = step.turn, max(1, forms_beats(" ".join(forms), self.book))
        if len(forms) < 2:
            return None
        facts = turn_text(spin, at) if spin and spin.side else ""
        if length := re.search(r"\(?(\d+) beats\)?", " ".join(rest)):
            facts = ", ".join(each for each in (f"{length[1]} beats", facts) if each)
        return " ".join(forms), ", ".join(notes), facts, ", ".join(rest)

    def behind(self, line: Line, text: str) -> Line:
        """Return a line with what stands behind it."""
        return marked(line, text, self.vocabulary, self.book, self.assumed)

    def _bracketed(self, line: Line, inside: str) -> list[Line]:
        """Return a named figure with what its bracket says: feet of its times, a turn, directions."""
        if not inside.strip():
            return [line]
        turned = re.search(r"(?i)\d|\b(?:full|half|quarter|turn\w*)\b", inside)
        bare = re.sub(r"(?i)\b(?:fwd|forwards?|back|side)\b", " ", inside)
        feet = "" if turned else feet_said(bare, line.times)
        if feet and not line.foot and bare == inside:
            return footed(line, feet)
        line = evolve(line, foot=line.foot or feet[:1])
        if (size := re.fullmatch(r"\s*1/([248]) each\s*", plain(inside))) and line.turn:
            return [evolve(line, turn=Turn(8 // int(size[1]), line.turn.side), note=(*line.note, "full circle"))]
        if said := only(events(f"({inside})", self.vocabulary), Facing):
            return [evolve(line, facing=said[0].wall)]
        if re.search(r"1/[248]|\bfull\b|\bhalf\b|\bquarter\b|\bturn", plain(inside)):
            if line.turn is None:
                return [self.behind(line, f"({inside})")]
            return [evolve(line, note=(*line.note, plain(inside).replace(" each", "")))]
        return [evolve(line, note=(*line.note, tight(re.sub(r"\b(?:L|R|then|and)\b", " ", inside))))]
