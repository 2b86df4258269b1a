"""The lines of the parts of a cue sheet: cues, repeats, claims, rows below a cue, and remarks."""

import re
from collections.abc import Collection

from attrs import evolve

from stepcheck.cues.cells import fronted
from stepcheck.cues.codes import counts_on
from stepcheck.cues.entries import Entry, sentences
from stepcheck.cues.figures import Figures
from stepcheck.cues.footwork import found_in, is_broken
from stepcheck.cues.labels import repeated
from stepcheck.cues.lining import Lines, Open, Told
from stepcheck.cues.marks import Cue
from stepcheck.cues.repeats import Again, after, again, parted
from stepcheck.cues.titles import plainly
from stepcheck.pages.facts import Fact, facts_of, fresh
from stepcheck.pages.reader import Reader
from stepcheck.routines.beside import (
    CLAIM,
    SUM,
    called,
    explains,
    filled,
    goes,
    lasting,
    marked,
    reached,
    related,
    risky,
    says_nothing,
    taken,
    talk,
)
from stepcheck.routines.key import Key
from stepcheck.routines.order import Danced, order
from stepcheck.routines.part import Piece
from stepcheck.routines.sentences import led_by, may_order, measured
from stepcheck.steps.outline import beats_of
from stepcheck.steps.vocabulary import tight
from stepcheck.steps.words import CLOSES, NUMBER, ORDINAL, TIMES, UNITS, number, often

WAIT = re.compile(
    r"(?i)\b(?:wait|hold|start after|pause)[\s()\[-]*(?:(?:for|through|out)\s*)?(\d{1,3}|sixteen|eight|thirty-two|"
    r"twenty-four)(?!\s*(?:x\b|sets?\b|lots\b|8'?s))\s*(beats?|counts?|cts?|measures?|meas|bars?)?\b"
)
_STILL = re.compile(r"(?i)\W*(?:(?:just|all)\s+)?(?:wait|hold|pause|listen|stand still)\b")
_TOTAL = re.compile(
    rf"(?i)^\W*(?:(?:in )?total\W+|in all\W+|(?:that|this|it|which)?\W*(?:makes|is|'?s)\W+|"
    rf"for\W+(?:a\W+)?total\W+of\W+)*"
    rf"\W*(\d{{1,3}})\s*(?:{UNITS})?\s*(?:in (?:all|total)|total|altogether|too|as well)?\W*$"
)
"""How long a part is, on a line of its own below its lines."""
FRONT = re.compile(
    rf"(?i)^\(?(\d{{1,2}})\)?(?:\s*(?P<unit>{UNITS})\s*(?:[:=-]+\s*)?|\s*(?:[:=]|\.{{2,}}|-\s)\s*|\s+)"
    r"(?=(?P<many>\(?\d(?!/\d)|(?:two|three|four)\b)|"
    r"(?P<more>(?:(?:do|dance) (?:it|all|this)|repeat|rpt|same|again|all|both|that)\b)|[A-Z(])"
)
"""Beats in front of a line: they have a unit, or what is danced has a number of its own, or is danced again."""
_ALL_AGAIN = re.compile(
    rf"(?i)(?:[.;]\s*(?:(?:do|dance|repeat)\s+(?:all|this|that|it|these|both)\s+)?|,\s*(?:do|dance)\s+(?:all|this|that|"
    rf"it|these|both)\s+){TIMES}\W*$"
)
"""How often all that stands before it is danced: `Basic, Triple; do this 4 times`."""
_GROUPED = re.compile(
    rf"(?i)(?:(?<![\d/])\b{NUMBER}\s*(?:x|times)\s*)?[(\[]((?:[^()\[\]]|\([^()]*\))*[,+;&/](?:[^()\[\]]|"
    rf"\([^()]*\))*)[)\]]\s*(?:{TIMES}|((?:repeat|rpt)\W*$))?"
)
_BACK = re.compile(
    r"(?i)^\W*(?:(?:oh|oops|er|um|sorry|hang on|hold on)\W+)*(?:wait\W+no|no\W+wait|hang on|scratch that|no)\b\W*$"
)
"""A sentence that takes back what stands before it."""
_OTHERWISE = re.compile(
    r"(?i)\b(?:instead|except|unless|no wait|I mean|(?:the )?(?:others|rest) (?:do|dance)s?|(?:bit|little) on each)\b|"
    r"\.\.\.?\s*no\b|\bno[:!]|^\W*(?:please,? )?(?:don'?t|do not|never)\b(?! turn)|^[\w ]+ (?:do|does) not \w+\W*$"
)
"""Words of a line that takes something back, or tells what only some dance."""
_ABOUT = re.compile(
    r"(?i)\W*(?:(?:please )?practi[cs]e\b|my\b|"
    r"(?:on|in|for|during|at|when|if) (?:the|your|you|we)\b|(?:the )?(?:left|right) foot [a-z]+s\b|"
    rf"(?:the )?(?:{ORDINAL}|last) .*\b(?:home|front|back)\b)"
)
"""A sentence about what stands before it: `On the second Cowboy turn …`, `Left foot stomps`."""
_ASKS = re.compile(r"(?i)\b(?:turn|repeat|again|more|twice|instead|other|opp|opposite|reverse|front|back|you home)\b")
_GRID = re.compile(rf"(?i)^\W*{UNITS}\W+1\W+2\W+3|^[LR]\s.*(?:\s{{2,}}|^)(?:\.|-[a-z]+|[a-z]+-)(?=\s{{2,}}|$)")
"""A line of a grid: the beats, or what one foot does on each."""


class Body:
    """The parts of a description while their lines are read.

    `names` are the names of its parts, `pieces` those that are read by now, `danced` the order in which their heads
    stand; `facts` are those of the header, `left` and `ends` the remarks before and behind the first step, `pending` is
    the cue to which the line below may belong; `unordered` says that a line may be the order and is not read; the lines
    `apart` only explain steps.
    """

    def __init__(self, reader: Reader, lines: list[Entry], apart: Collection[int]) -> None:
        self.reader = reader
        self.cues = Figures(reader.vocabulary, reader.book, reader.assumed, reader.texts)
        self.key = Key(repeated(lines, self.cues), self.cues, apart)
        self.names: list[str] = []
        self.pieces, self.danced = list[Piece](), list[Danced]()
        self.asked: Open = []  # other parts that are danced again, where they stand
        self.doubled, self.mixed = set[str](), set[str]()
        self.facings: dict[str, str] = {}
        self.facts: list[Fact] = []
        self.left, self.ends = list[str](), list[str]()
        self.pending: Cue | None = None
        self.unordered = False

    def line(self, entry: Entry, quiet: bool = False) -> bool:
        """Read a line of a part; return whether it says any dance."""
        piece = self.pieces[-1]
        ordering = may_order(entry.text, self.names)
        self.unordered |= ordering
        if ordering or any(_GRID.search(said) or counts_on(said) for said in (entry.text, entry.raw)):
            self.leave(entry)
            return True
        if self._total(entry, piece) or self._waits(entry, piece) or self._claim(entry, piece):
            return True
        if any(_BACK.match(each) for each in sentences(entry.text)[1:]):
            stated, span = self._scaled(entry)
            piece.told.append(Told(entry.number, entry.raw, stated=stated, span=span, label=entry.label))
            return True
        if re.fullmatch(r"\([^()]*\)\W*", entry.text) and not found_in(entry.text, self.key.legend) and not quiet:
            self._aside(entry, piece)
            return True
        return self._told(entry, piece, quiet)

    def _total(self, entry: Entry, piece: Piece) -> bool:
        """Take a line that says how long its part is; return whether it does."""
        total = _TOTAL.match(entry.raw)
        bare = re.fullmatch(r"\W*", entry.text)
        if not bare and not (total and (piece.told or re.fullmatch(r"\W*\d+\W*", entry.raw))):
            return False
        size = entry.stated or int(total[1] if total else 0)
        if piece.told and size > 3 and (piece.beats in (0, size) or SUM.fullmatch(entry.raw)):  # so far, or in all
            piece.told.append(Told(entry.number, entry.raw, total=size))
            self.reader.mark(entry.number, "fact")
            return True
        piece.beats = piece.beats or size * (size > 3)
        if piece.beats != size > 3:
            self.reader.leave_open(entry.number, entry.raw)
        elif size:
            self.reader.mark(entry.number, "fact")
        return True

    def _waits(self, entry: Entry, piece: Piece) -> bool:
        """Take a wait in front of all steps; return whether a line is one."""
        wait = WAIT.match(entry.text.lstrip("( ")) if plainly(piece.name) == "introduction" else None
        still = _STILL if plainly(piece.name) == "introduction" else re.compile("(?i)wait$")
        if piece.told or not (wait or (entry.stated and still.match(entry.text))):
            return False
        stated, text = facts_of(entry.text, "clogging")  # the foot beside it
        if not wait and self._steps(text):
            return False
        self.facts += fresh([each for each in stated if each.key == "lead"], self.facts)
        if wait:
            piece.beats = max(0, piece.beats - self.wait(wait))
        else:
            self.facts += fresh([Fact("wait", f"{entry.stated} beats")], self.facts)
            piece.beats = 0
        self.reader.mark(entry.number, "fact")
        return True

    def _steps(self, text: str) -> bool:
        """Say whether cues of a text are more than stillness."""
        cues = self.cued(text)
        return cues is not None and any(
            cue.name or cue.row or any(code != "HOLD" for step in cue.steps for code in step.codes) for cue in cues[0]
        )

    def _claim(self, entry: Entry, piece: Piece) -> bool:
        """Take a line that says where dancers face by now; return whether it does."""
        found = CLAIM.match(entry.text)
        faced = found and (found[1] or found[2]).casefold()
        if found and not piece.told and entry.number == piece.number:
            self.stray(entry, entry.text)  # beside its head: where it begins, or ends
        elif faced:
            piece.begins = piece.begins or faced * (not piece.told)
            piece.told += [Told(entry.number, entry.raw, says=f"facing {faced}")] * bool(piece.told)
            self.reader.mark(entry.number, "steps")
        return found is not None

    def _told(self, entry: Entry, piece: Piece, quiet: bool) -> bool:
        """Read the sentences of a line; return whether they say any dance."""
        if entry.section[0]:
            piece.sections[entry.number] = entry.section
        if not piece.told and plainly(piece.name) in CLOSES:
            entry, piece.before = led_by(entry, [each for each in self.names if each != piece.name])
        stated, span = self._scaled(entry)
        said = [part for each in sentences(entry.text) for part in parted(each, self.reader.vocabulary)]
        said, inside, stated = measured(entry, said, stated, span)
        told, beside = list[Told](), list[str]()
        for at, (each, inner) in enumerate(zip(said, inside, strict=True)):
            where = span if len(said) == 1 else (0, 0)
            made = self._sentence(evolve(inner, span=where), piece, told, at > 0, quiet and not told)
            made = taken(told, made, self.key, piece.told)
            told += [made] if isinstance(made, Told) else []
            beside += [entry.raw if len(said) == 1 and not quiet else each] if made is None else []
        if quiet and not told:
            return False
        spoken, claims = told, [each for each in told if each.says and not each.total]
        told, beside = filled([each for each in told if each not in claims], beside, stated, self.cues)
        if not told and beside and (blank := lasting(entry, stated, span, piece.told[-1:], self.key)):
            told.append(blank)
        else:
            for each in beside:
                self.stray(entry, each)
        stated = stated or (span[1] - span[0] + 1 if span[0] else 0)
        if told and told[-1].again and len(said) > 1:
            told[-1].stated = told[-1].stated or stated
        whole = [Told(entry.number, entry.raw, stated=stated, span=span, label=entry.label, inner=told)]
        piece.told += whole if len(said) > 1 and told and stated and not told[-1].again else told
        at = len(piece.told) - bool(told and told[-1].again and spoken[-1:] == told[-1:])  # before a repeat behind them
        piece.told[at:at] = claims
        piece.told += [Told(entry.number, entry.raw, total=entry.total)] * bool(entry.total)
        if told:
            self.reader.mark(entry.number, "steps")
            self.pending = next((cue for each in reversed(told) for cue in reversed(each.cues)), None)
        return True

    def again_here(self, entry: Entry, repeated: Again) -> bool:
        """Take a line that only says to dance the part above it again: as its repeat, or as said in the order."""
        if repeated.doubt:
            return False
        piece = self.pieces[-1]
        if self.in_order(piece, repeated, entry.number, entry.raw, entry.stated):
            self.reader.mark(entry.number, "order")
        else:
            piece.told.append(Told(entry.number, entry.raw, again=repeated, stated=entry.stated))
            self.reader.mark(entry.number, "steps")
        return True

    def in_order(self, piece: Piece, repeated: Again, number: int, text: str, stated: int = 0) -> bool:
        """Say whether it is the order that dances a part again; then where the dancers face is said there. Beats that
        are `stated` of it are of lines of the part."""
        size = sum(map(beats_of, piece.read(Lines(self.cues, False))[0]))
        if repeated.changed or (size and piece.beats == 2 * size):
            return False
        if piece.name in self.mixed and not stated:  # now once, now several times: which it is, nothing says
            self.asked.append((number, text, "open"))
            return True
        if piece.name not in self.doubled or repeated.times != 2 or repeated.feet != "same":
            return False
        self.facings[piece.name] = repeated.facing or self.facings.get(piece.name, "")
        return True

    def _scaled(self, entry: Entry) -> tuple[int, tuple[int, int]]:
        """Return the beats that are stated of a line and those that it stands on, measures as so many beats."""
        size = self.key.measure if entry.measured else 1
        first, last = entry.span
        span = ((first - 1) * size + 1, last * size) if first and size else (0, 0)
        return entry.stated * size or (span[1] - span[0] + 1 if span[0] else 0), span

    def _sentence(self, entry: Entry, piece: Piece, told: list[Told], later: bool, quiet: bool) -> Told | bool | None:
        """Return what a sentence of a line says behind those that are `told`; True where it is taken otherwise, None
        where it says nothing."""
        text, later = fronted(entry.text.strip(" ."), self.cues.vocabulary), later or bool(told)
        if told and (beside := marked(told[-1], text, self.key) or called(told[-1], text, self.key)):
            told[-1] = beside
            return True
        base = Told(entry.number, entry.raw, stated=entry.stated, loose=entry.loose, span=entry.span, label=entry.label)
        if not text:
            return True
        if (later or piece.told) and (result := reached(text, base)):
            return result
        if re.search(r"\d beats,\s*no turns?\b", text):
            piece.says = ("no turn",)
        if (front := FRONT.match(text)) and (front["unit"] or front["many"] or (front["more"] and int(front[1]) > 3)):
            base.stated, base.led = base.stated or int(front[1]), True  # `(4) 2 Basics`
            text = text[front.end() :]
        if piece.told or later:
            repeated = again(text, self.reader.vocabulary, tuple(self.names))
            repeated = evolve(repeated, since=entry.since) if repeated else None
            if repeated and entry.measured:  # `m. 9-16  same as 1-8`
                repeated = evolve(repeated, measured=True, doubt=repeated.doubt if self.key.measure else text)
            if repeated and self._repeats(repeated, base, piece, text):
                return base if base.again else True
            if repeated and repeated.names:
                return None  # of a part, and more
            text = after(text) if repeated else text
        base.led |= entry.led
        return self._cues(base, text, piece, later, quiet) if (known := explains(text, self.key)) is False else known

    def _cues(self, base: Told, text: str, piece: Piece, later: bool, quiet: bool) -> Told | bool | None:
        """Return a sentence with the cues that it says, None if it says none; `later` says that dance stands before it,
        `quiet` that it stands behind a head."""
        if found_in(text, self.key.legend):
            text = re.sub(r'"[^"]*"', " ", text)
        if _OTHERWISE.search(text) or (later and _ABOUT.match(text)):
            return None
        if is_broken(text, self.key.legend, base.stated > 0):
            return evolve(base, cues=[Cue(text, unknown=True, doubt=text)])
        if inner := self._grouped(text):
            return evolve(base, inner=inner)
        cues, times = self.cued(text) or ([], 1)
        odd = quiet or (later and not any(cue.row for cue in cues))
        if not cues or talk(text, cues, self.reader) or (odd and all(cue.unknown for cue in cues)):
            return None
        if later and re.fullmatch(r"(?i)(?:very |really |nice )?(?:small|little|big|tiny|light|quick) steps!*", text):
            self.reader.mark(base.number, "steps")
            return True  # how, not what
        if later and all(cue.steps and not cue.feet and not cue.number for cue in cues) and goes(text, self.reader):
            return True  # `Walk forward with them.`
        asks = r"(?i)\b(?:repeat|rpt|same foot again|same(?! (?:foot|feet|lead))|(?:box|circle|square) again)\b"
        repeats = re.search(asks, base.text) is not None
        for cue in cues:
            related(cue, [each for before in piece.told for each in before.cues], repeats)
        base.cues, base.times = cues, times
        base.leads = not base.led and bool(re.match(r"\(?\d", text)) and cues[0].number > 0
        return base

    def _repeats(self, repeated: Again, base: Told, piece: Piece, text: str) -> bool:
        """Take lines of this part that are danced again, or parts that are; return whether it does."""
        own = all(plainly(each) == plainly(piece.name) for each in repeated.names)
        if says_nothing(repeated, base, piece, text, self.cues):
            self.reader.mark(base.number, "steps")
            return True
        other = {*repeated.figures[1:]} - {cue.name for each in piece.told for cue in each.cues}
        if own and not ((repeated.doubt or other) and self.cued(after(text))):
            size = self.key.measure if repeated.measured else 1
            first = (repeated.first - 1) * size + 1 if repeated.first else 0
            asked = repeated.names and not repeated.doubt
            if asked and self.in_order(piece, repeated, base.number, base.text, base.stated):
                self.reader.mark(base.number, "order")
                return True
            base.again = evolve(repeated, first=first, until=repeated.until * size)
            return True
        others = bool(repeated.names) and not own and not repeated.changed and repeated.feet == "same"
        if others:
            *before, last = repeated.names
            many = None if before or "repeat" in text.casefold() else re.search(rf"(?i)\W{TIMES}\W*$", text)
            times = often(*many.groups()) if many else 1  # `Chorus twice`
            self.danced += [*map(Danced, before), Danced(last, times, facing=repeated.facing)]
            self.asked.append((base.number, base.text, "open"))
        return others

    def cued(self, text: str) -> tuple[list[Cue], int] | None:
        """Return the cues of a text and how often they are danced in a row, None if it says none."""
        times, bare = 1, text
        if found := _ALL_AGAIN.search(text):
            times, bare = often(*found.groups()), text[: found.start()]
        cues = self.key.cues_of(bare)
        return (cues, times) if cues else None

    def _grouped(self, text: str) -> list[Told]:
        """Return the pieces of a line of which some stand in brackets and are danced several times: `(A, B) x2 + C`."""
        out: list[Told] = []
        at = 0
        for found in _GROUPED.finditer(text):
            words = [*filter(None, (found[1], *found.groups()[2:]))]
            inner = self.cued(found[2]) if len(words) == 1 else None
            if inner is None:  # a bracket that is no repeat
                continue
            before = text[at : found.start()].strip(" ,+;&")
            if re.search(r"[A-Za-z]", before) and (made := self.cued(before)):
                out.append(Told(0, before, made[0]))
            out.append(Told(0, found[2], inner[0], often(*words)))
            at = found.end()
        if at and re.search(r"[A-Za-z]", text[at:]) and (made := self.cued(text[at:].strip(" ,+;&"))):
            out.append(Told(0, text[at:], made[0]))
        return out if at else []

    def _aside(self, entry: Entry, piece: Piece) -> None:
        """Read a line that is one bracket: a repeat of the line before it, or a remark."""
        repeated = again(entry.text.strip("(). "), self.reader.vocabulary, tuple(self.names)) if piece.told else None
        if repeated and not repeated.doubt:
            piece.told.append(Told(entry.number, entry.raw, again=evolve(repeated, last=True), stated=entry.stated))
            return self.reader.mark(entry.number, "steps")
        return self.stray(entry, entry.text)

    def stray(self, entry: Entry, text: str) -> None:
        """Keep what says no dance as a comment, and as open where it holds what could change one; what names several
        parts may be their order, which is then not that in which they stand."""
        parts, _ = order(text, self.names)
        if len(parts) > 2:
            self.reader.leave_open(entry.number, text)
            self.unordered = True
        if self.pieces and self.pieces[-1].told and again(text, self.reader.vocabulary, tuple(self.names)):
            return self.pieces[-1].told.append(Told(entry.number, text))  # dance of unknown length, which is open
        (self.ends if self.pieces and self.pieces[-1].told else self.left).append(tight(text))
        skipped = parts and re.search(r"(?i)\b(?:skip|omit|leave out|drop|no|time)\b", text)  # `third time no B`
        if skipped or risky(text, self.reader) or _ASKS.search(text):
            self.reader.leave_open(entry.number, text)
        else:
            self.reader.mark(entry.number, "remark")

    def leave(self, entry: Entry) -> None:
        """Keep a line behind all steps, and as open."""
        self.ends.append(entry.raw)
        self.reader.leave_open(entry.number, entry.raw)

    def wait(self, found: re.Match[str]) -> int:
        """Keep a wait in front of the dance, and return its beats; one in measures of unknown length has none."""
        size = number(found[1]) * (self.key.measure if re.match(r"(?i)m|bar", found[2] or "") else 1)
        self.facts += fresh([Fact("wait", f"{size} beats")] * (size > 0), self.facts)
        return size
