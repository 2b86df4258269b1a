"""What a cue sheet comes to: its parts at their lengths, and the order in which they are danced."""

import re
from collections.abc import Mapping, Sequence

from attrs import evolve

from stepcheck.cues.lining import Lines, Open, Told, unsummed
from stepcheck.cues.titles import plainly
from stepcheck.pages.facts import Fact, fields, fresh, said_of
from stepcheck.pages.reader import Reader
from stepcheck.routines.beside import codes_of, misstated, risky
from stepcheck.routines.body import WAIT, Body
from stepcheck.routines.listed import by_name
from stepcheck.routines.order import Danced, order
from stepcheck.routines.part import Piece
from stepcheck.steps.outline import Assumptions, Block, Item, Line, Outline, Part, Remark, beats_of, ends_of, solid
from stepcheck.steps.vocabulary import tight
from stepcheck.steps.words import CLOSES

_CLOSES = re.compile(
    r"(?i)\W*(?:(?:and|then|once|one|more|again|time)\W+)*(?:to (?:close|finish|end)|"
    r"(?:you|we|it|that|this)(?:'s|'re| is| are) (?:all|it|over|done|finished|through|the end))\W*"
)
"""Words behind the last part of an order that say just that it is."""
_CLOSING = re.compile(r"(?i)^\W*(?:(?:then|and|at the (?:very )?end|(?:end|finish)(?:ing)? with|an?)\b\s*)+")
_AGAIN = re.compile(
    r"(?i)\W*(?:(?:and|then|now|do|dance)\W+)*(?:the )?(?:whole (?:dance|thing|lot)|all of (?:that|it)|everything)"
    r" (?:over )?again(?: from the (?:top|beginning|start))?\W*"
)
"""All that the order says, danced once more."""


class Whole:
    """All that is read of a sheet: `orders` are what its lines say of the order, `lengths` of the lengths of parts, by
    number; `alike` are parts that are another one, `also` the names of their own by which the order calls parts,
    `contract` is what is said of every part."""

    def __init__(
        self,
        reader: Reader,
        body: Body,
        orders: dict[int, str],
        lengths: dict[int, dict[str, int]],
        alike: dict[str, Danced],
        also: dict[str, str],
        contract: tuple[str, ...],
    ) -> None:
        self.reader, self.body, self.orders, self.lengths = reader, body, orders, lengths
        self.alike, self.also, self.contract = alike, also, contract

    def _sequence(self, opened: Open) -> tuple[list[Danced], bool]:
        """Return the parts in the order that the sheet says, and whether all of it is read; what is danced at its end
        is a part."""
        out: list[Danced] = []
        whole = True
        names = [*(piece.name for piece in self.body.pieces), *self.alike]
        names += [each for each in self.body.names if plainly(each) not in [plainly(name) for name in names]]
        names += [each for each in self.also if plainly(each) not in [plainly(name) for name in names]]
        names += ["Intro"] * all(plainly(each) != "introduction" for each in names)
        for number, said in self.orders.items():
            found, left = order(said, names)
            found = by_name(found, self.also)
            told = {each.name for each in self.body.danced}
            if not out and re.match(r"(?i)\W*then\b", said) and found and told - {each.name for each in found}:
                self.reader.assumed.add("the parts are danced in the order in which they stand")
                out += self.body.danced  # `Then B, A`: behind all that stands above
            out += found
            for beside in filter(None, left.split("; ")):
                last = said.rstrip(" .!").endswith(beside.rstrip(" .!"))
                whole &= self._beside(number, beside, last, said.lstrip(" (").startswith(beside), out, opened)
        if out and not whole:  # then nothing of it is danced
            opened[:] = [(number, said.strip(" ."), "open") for number, said in self.orders.items() if said.strip()]
        self.body.ends += [tight(said) for _, said, _ in opened]
        opened[:] = [(number, f"the order of the parts: {tight(said)}", "open") for number, said, _ in opened]
        _facing_behind(out, self.body.facings, self.body.pieces)
        starts = [each for each in out[:1] if plainly(each.name) == "introduction" and each.stated]
        if starts and all(plainly(piece.name) != "introduction" for piece in self.body.pieces):
            self.body.facts += fresh([Fact("wait", f"{starts[0].stated} beats")], self.body.facts)
        return out, whole

    def _beside(self, number: int, said: str, last: bool, first: bool, out: list[Danced], opened: Open) -> bool:
        """Read what the order says beside the names of parts, `last` or `first` of all; return whether the order is
        whole without it."""
        if (first and WAIT.match(said)) or (last and _CLOSES.fullmatch(said)):
            return True
        if out and last and _AGAIN.fullmatch(said):
            out += out
            return True
        cues = self.body.cued(_CLOSING.sub("", said)) if last else None
        if cues and not any(cue.unknown or cue.doubt for cue in cues[0]):
            ending, own = Piece("Ending", number), [each for each in self.body.pieces if plainly(each.name) in CLOSES]
            ending.told.append(Told(number, _CLOSING.sub("", said), cues[0]))
            if not own or codes_of(own[-1], self.body.cues) == codes_of(ending, self.body.cues):
                self.body.pieces += [ending] * (not own)
                out.append(Danced((own or [ending])[-1].name))
                return True
        letters = re.search(r"\b[A-H]{2,}\b", said)  # parts that are not read
        remark = (last or first or said.startswith("(")) and not letters and not risky(said, self.reader)
        bare = re.escape(said.strip(" .,;"))
        item = re.search(rf"^\W*{bare}\s*[,/>|]|[,/>|]\s*{bare}\W*$", self.orders[number])  # of the list: a part?
        if remark and len(said.split()) < 3 and len(said.strip()) > 1 and not (item and bare[:1].isupper()):
            return True
        opened.append((number, said, "open"))
        return (last and not letters) or remark

    def outline(self) -> Outline:
        """Return the outline of the sheet."""
        for piece in self.body.pieces:
            _settle(piece, Lines(self.body.cues, False))
        self._summed()
        summed = [[each for each in piece.told if not (each.says or each.total)] for piece in self.body.pieces]
        if unsummed(summed, Lines(self.body.cues, False)):
            for piece in self.body.pieces:
                piece.beats = piece.beats or sum(each.stated for each in piece.told)
        for number, stated in self.lengths.items():
            self._lengths(number, stated)
        opened: Open = []
        said, whole = self._sequence(opened)
        lines, parts = self._fitting(), list[Part]()
        opened += [said for piece in self.body.pieces for said in misstated(piece, lines)]
        self._otherwise(lines)
        self._silence(said)
        self._written_out(lines)
        for piece in self.body.pieces:
            made = piece.finished(lines, opened)
            if made.lines or piece.beats:
                parts.append(made)
            elif plainly(piece.name) != "introduction":
                words = tight(self.reader.texts[piece.number - 1])
                named = any(each.name == piece.name for each in said or self.body.danced)
                opened += [(piece.number, f"nothing stands under it: {words}", "open")] * (not named)
                self.body.ends += [words] * bool(piece.remark or not named)
        lasting = {
            part.name: piece.beats or sum(map(beats_of, part.lines)) * (not any(map(_is_remark, part.lines)))
            for part in parts
            for piece in self.body.pieces
            if piece.name == part.name and solid(part.lines)
        }
        opened += self.body.asked if said else []
        ends = [each for each in lasting if plainly(each) in CLOSES and all(each != part.name for part in said)]
        before = {piece.name: piece.before for piece in self.body.pieces}
        asked = [*said, *map(Danced, ends)] if said else self.body.danced
        every = [self._meant(part) for each in asked for part in (*before.get(each.name, ()), each)]
        halves = {part.name: frozenset(ends_of(part.lines)) for part in parts}
        danced = _dance(every, lasting, halves, self.reader.assumed, opened)
        danced = danced if whole and (said or not self.body.unordered) else []
        if danced and not said:
            self.reader.assumed.add("the parts are danced in the order in which they stand")
        unnamed = {*lasting} - {each.name for each in every} if said and danced else set[str]()
        told = [each for each in self.body.pieces if each.name in unnamed and plainly(each.name) != "introduction"]
        opened += [(each.number, f"the order of the parts: {each.name} is not in it", "open") for each in told]
        parts = [evolve(part, contract=(*part.contract, *self.contract)) for part in parts]
        self._say(opened)
        return Outline(
            self._fields(),
            "clogging",
            tuple(self.body.left),
            tuple(self.body.cues.defined.values()),
            tuple(parts),
            tuple(danced),
            tuple(self.body.ends),
        )

    def _summed(self) -> None:
        """Give a part the beats behind its last line, if no other line of any part states beats, and those of one part
        are just what all of its lines last."""
        pieces = [piece for piece in self.body.pieces if len(piece.told) > 1 and not piece.beats]
        behind = [piece for piece in pieces if piece.told[-1].stated and not piece.told[-1].again]
        if any(each.stated for piece in pieces for each in piece.told[:-1]) or not behind:
            return
        sizes = [piece.told[-1].stated for piece in behind]
        for piece in behind:
            piece.told[-1].stated = 0
        read = [sum(map(beats_of, piece.read(Lines(self.body.cues, False))[0])) for piece in behind]
        fits = any(size == lasts for size, lasts in zip(sizes, read, strict=True))
        for piece, size in zip(behind, sizes, strict=True):
            piece.beats, piece.told[-1].stated = (size, 0) if fits else (0, size)

    def _otherwise(self, lines: Lines) -> None:
        """Leave a figure unread, wherever no beats are stated of it, whose stated beats are never those of the book."""
        fits, odd = set[str](), set[str]()
        told = [each for piece in self.body.pieces for each in piece.told]
        for each in told:
            if len(each.cues) == 1 and each.stated and each.cues[0].row is None and not each.cues[0].doubt:
                size = lines.lasts(lines.of(evolve(each, stated=0), []))
                (fits if size == each.stated else odd).add(each.cues[0].name)
        for cue in (cue for each in told if not each.stated for cue in each.cues):
            cue.unknown |= bool(cue.name) and cue.name in odd - fits and not cue.beats and cue.row is None

    def _written_out(self, lines: Lines) -> None:
        """Take a part whose steps are those of another one, written out once more, as that one."""
        for piece in [each for each in self.body.pieces if each.again]:
            if piece.again and piece.read(lines)[0] == piece.again.read(lines)[0]:
                self.body.pieces.remove(piece)
                self.body.danced = [
                    evolve(each, name=piece.again.name) if each.name == piece.name else each
                    for each in self.body.danced
                ]

    def _lengths(self, number: int, stated: dict[str, int]) -> None:
        """Give parts the lengths that a line states of them; what it states of every part is that of those that come to
        it, or are not all read, else open."""
        for name, size in stated.items():
            if re.fullmatch("(?:part|section)s?", name):
                others = {*stated, *CLOSES, "introduction", "tag"}
                pieces = [each for each in self.body.pieces if not each.beats and plainly(each.name) not in others]
                odd = [each for each in pieces if not each.may_last(size, Lines(self.body.cues, False))]
                self._say([(number, f"{each.name}: {size} beats", "open") for each in odd])
                pieces = [each for each in pieces if each not in odd]
            else:
                named = re.compile(rf"{re.escape(name)}(?: \d)?")
                pieces = [piece for piece in self.body.pieces if named.fullmatch(plainly(piece.name))]
                bad = not pieces or pieces[-1].beats not in (0, size)
                self._say([(number, f"{name}: {size} beats", "open")] * bad)
            for piece in pieces:
                piece.beats = piece.beats or size

    def _meant(self, danced: Danced) -> Danced:
        """Return what is danced where a part stands that is another one; a cut of one that is itself a cut is not
        read."""
        same = self.alike.get(danced.name)
        if same is None:
            return danced
        cut, twice = danced.half or danced.first, same.half or same.first
        return evolve(
            danced if cut else same,
            name=same.name,
            times=danced.times,
            facing=danced.facing or same.facing,
            opposite=same.opposite != danced.opposite,
            changed=danced.changed or (f"a cut of {danced.name}" if cut and twice else ""),
        )

    def _silence(self, said: list[Danced]) -> None:
        """Take an introduction under which nothing stands as the wait, and an end that no order names as the ending."""
        for piece in self.body.pieces:
            if piece.name == "End" and all(each.name != "End" for each in said):
                piece.name = "Ending"
                self.body.danced = [evolve(one, name=re.sub("^End$", "Ending", one.name)) for one in self.body.danced]
            silent = plainly(piece.name) == "introduction" and piece.beats and not piece.told
            if silent and (new := fresh([Fact("wait", f"{piece.beats} beats")], self.body.facts)):
                self.body.facts += new
                piece.beats = 0

    def _fitting(self) -> Lines:
        """Return the reader of lines for which the numbers in front of cues are what fits most parts, or what each of
        their figures lasts: times, else beats. Where both may be meant their lines are open."""
        times, beats = Lines(self.body.cues, False), Lines(self.body.cues, True)
        told = [each for piece in self.body.pieces for each in piece.told]
        leading = [each for each in told if each.leads and each.cues]
        numbered = [each for each in leading if not each.stated]
        if not numbered:
            return times
        plural = any(each.cues[0].several or each.cues[0].number == 1 for each in numbered)
        marks = [self._mark(each) for each in (times, beats)]
        if marks[1][0] > marks[0][0] or (len(numbered) > 2 and not plural and marks[1] > marks[0]):
            return beats
        once = (evolve(each, cues=[evolve(each.cues[0], number=0), *each.cues[1:]]) for each in numbered)
        sizes = [times.lasts(times.of(each, [])) for each in once]
        lasts = [(each.cues[0].number, size) for each, size in zip(numbered, sizes, strict=True)]
        fits = [number for number, size in lasts if number == size]
        bare = all(re.match(r"\s*\d+ \S", self.reader.texts[each.number - 1]) for each in numbered)
        sums = [(each, times.lasts(times.of(evolve(each, stated=0), []))) for each in leading]  # `4 Basics (8 beats)`
        counted = any(each.stated == size not in (0, each.cues[0].number) for each, size in sums)
        if plural or counted or not fits or marks[0][0] > marks[1][0] or (bare and len(fits) < len(lasts)):
            return times
        if bare and any(each.cues and each not in leading and times.lasts(times.of(each, [])) for each in told):
            self.reader.assumed.add("the numbers in front of cues are how often these are danced")
            return times
        rows = [pair for pair, each in zip(lasts, numbered, strict=True) if each.cues[0].row is not None and pair[1]]
        spelled = 2 * sum(number == size for number, size in rows) > len(rows)
        column = all(re.match(r"\s*\(?\d+\)?(?:\s{2}|\t)", self.reader.texts[each.number - 1]) for each in numbered)
        if not spelled and any(size and number % size for number, size in lasts):
            return times
        if len(fits) > 2 or len({*fits}) > 1 or (spelled and (column or len(fits) > 1)):
            self.reader.assumed.add("the numbers in front of cues are their beats")  # each is that of its figure
            return beats
        for cue in (each.cues[0] for each in numbered):
            cue.unknown |= not cue.steps and len(cue.feet) != cue.number  # `4 Stomps L R L R` are so many
        return times

    def _mark(self, lines: Lines) -> tuple[int, int]:
        """Return how many parts come to their beats, and the fewer lines are open the more."""
        fits = blanks = 0
        for piece in self.body.pieces:
            items, told = piece.read(lines)
            fits += bool(piece.beats) and sum(map(beats_of, items)) in (piece.beats, piece.beats * piece.times)
            blanks += len(told)
        return fits, -blanks

    def _say(self, opened: Open) -> None:
        for number, said, kind in opened:
            if number:
                self.reader.leave_open(number, said, kind)
            else:
                self.reader.note(said)

    def _fields(self) -> tuple[tuple[str, str, str], ...]:
        told = [Fact("book", "clogging")]
        if not said_of("lead", self.body.facts):
            told.append(Fact("lead", "left"))
            self.reader.assumed.add("lead left")
        told += [fact for fact in self.body.facts if fact.key != "walls"]
        for fact in self.body.facts:
            if fact.key == "level" and not fact.remark:
                self.reader.assumed.add(f"level {fact.value}: in no scheme")
        return fields(told)


def _is_remark(item: Item) -> bool:
    return isinstance(item, Remark) or (isinstance(item, Block) and any(map(_is_remark, item.lines)))


def _facing_behind(danced: list[Danced], facings: Mapping[str, str], pieces: Sequence[Piece]) -> None:
    """Say behind the first two times in a row of a part where the dancers face; what its last line says of that is of
    the first time."""
    for piece in [each for each in pieces if each.name in facings]:
        last = next((each for each in piece.told[-1:] if each.says.startswith("facing")), None)
        if last:
            piece.told[-1] = evolve(last, says="")
            danced[:] = [evolve(one, times=1) for one in danced for _ in range(one.times)]
        spots = [at for at, each in enumerate(danced) for _ in range(each.times) if each.name == piece.name]
        for at, wall in zip(spots, (last.says[7:] if last else "", facings[piece.name]), strict=False):
            danced[at] = evolve(danced[at], facing=danced[at].facing or wall)


def _dance(
    danced: Sequence[Danced],
    lasting: Mapping[str, int],
    ends: Mapping[str, frozenset[int]],
    assumed: Assumptions,
    opened: list[tuple[int, str, str]],
) -> list[tuple[str, str]]:
    """Return the lines of the dance; `lasting` are the beats of the parts that are read, `ends` those on which their
    lines end."""
    out: list[tuple[str, str]] = []
    for each in danced:
        size = lasting.get(each.name, each.stated)
        odd = each.stated not in (0, size, size * each.times, size // 2 * each.half)
        changed = each.changed or f"{each.name} ({each.stated})" * odd
        if changed:
            out.append(("", tight(changed)))
            lengths = f": {each.stated} beats are stated, {size} are read" * (odd and not each.changed)
            opened.append((0, f"the order of the parts: {tight(changed)}{lengths}", "open"))
        elif each.name not in lasting:
            if plainly(each.name) != "introduction":  # an introduction without steps is the wait
                opened.append((0, f"the order of the parts: no part {each.name} is read", "open"))
                out.append((each.name + f" x{each.times}" * (each.times > 1), ""))
        else:
            half = size // 2
            first = each.first or half * (each.half and half in ends[each.name])
            if each.half and first and not each.first:
                assumed.add(f"half of {each.name} is its first half")
            if each.half and not first:
                opened.append((0, f"the order of the parts: half of {each.name}", "open"))
                out.append(("", f"half of {each.name}"))
                continue
            name = f"{each.name}, first {first} beats" if 0 < first < size else each.name
            name += f" x{each.times}" * (each.times > 1) + ", opposite foot" * each.opposite
            out.append((name, ""))
            out += [(f"expect facing {each.facing}", "")] * bool(each.facing)
    return out


def _settle(piece: Piece, lines: Lines) -> None:
    """Give the beats behind what stands beside the head of a part to that line, with others below, if it lasts just so
    long, or these do without it, or state beats as well: unless all of them come to the beats. What is not read there
    is the title of the lines below; steps that last as long as the one figure there, which fills the part, tell it."""
    own = [each for each in piece.told if each.number == piece.number]
    below = [each for each in piece.told if each.number != piece.number]
    if not below or len(own) != 1 or own[0].again or own[0].spare:
        return
    words = own[0].cues if len(own[0].cues) < 3 else []  # `Stamp and Stroll`
    named = any(cue.unknown for cue in words) and not any(cue.feet or cue.number for cue in words)
    blank = named and any(isinstance(each, Line) and each.blank for each in lines.of(evolve(own[0], stated=0), []))
    timed = any(each.stated for each in below)
    if own[0].stated and blank and not piece.beats and not timed:
        piece.beats, piece.first, own[0].stated = own[0].stated, own[0].stated, 0
    if own[0].stated or piece.first != piece.beats:
        return
    sizes = [sum(map(beats_of, lines.of(each, []))) if each.again is None else 0 for each in (own[0], *below)]
    size, rest = sizes[0], sum(sizes[1:])
    whole = sum(map(beats_of, piece.read(lines)[0])) == piece.first
    if size != piece.first and rest < piece.first and (whole or not timed):
        return
    cue = own[0].cues[0] if len(own[0].cues) == 1 and size == piece.first else None
    once = size // max(cue.number, cue.times, 1) if cue else 0
    tells = once and all(_tells(each) and size == once for each, size in zip(below, sizes[1:], strict=True))
    spare = own if blank and rest else below if tells else []
    for each in spare:
        each.spare = True
    if not spare:
        own[0].stated, piece.beats = piece.first, 0


def _tells(told: Told) -> bool:
    """Say whether a line is steps in words on one foot and the other, of no figure that is known."""
    walked = len(re.findall(r"(?i)\b(?:left|right)\b", told.text)) > 1 and any(cue.steps for cue in told.cues)
    return walked and not (told.again or told.inner or any(cue.name and not cue.unknown for cue in told.cues))
