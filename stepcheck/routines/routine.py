"""A clogging description, line by line: its header, its parts, and the order in which they are danced."""

import functools
import re

from attrs import evolve

from stepcheck.cues.entries import Entry, entries, sentences, timed
from stepcheck.cues.footwork import found_in
from stepcheck.cues.labels import labelled
from stepcheck.cues.repeats import again
from stepcheck.cues.titles import Head, capital_head, head, lengths, plainly, set_apart
from stepcheck.pages.facts import CLUB, LEVEL, Fact, facts_of, fresh, said_of
from stepcheck.pages.header import header_of
from stepcheck.pages.heads import TEACHES, uncounted
from stepcheck.pages.order import REMARK
from stepcheck.pages.reader import Opened, Reader
from stepcheck.pages.song import PERSON, as_fields, author
from stepcheck.routines.beside import among, of_paper, risky
from stepcheck.routines.body import FRONT, WAIT, Body
from stepcheck.routines.heads import Heads
from stepcheck.routines.key import LEGEND
from stepcheck.routines.listed import PARTS, also_called, below, by_name, doubled, is_title, listed, numbered
from stepcheck.routines.order import Danced, order, orders, parted, said_of_order
from stepcheck.routines.part import Piece
from stepcheck.routines.sentences import told_plainly
from stepcheck.routines.under import Under
from stepcheck.routines.whole import Whole
from stepcheck.steps.outline import Outline
from stepcheck.steps.steps import SIDE
from stepcheck.steps.vocabulary import pieces, tight
from stepcheck.steps.words import UNITS

_TIP = re.compile(r"(?i)^\W*(?:(?:and|but|please)\s+)*(?:work on|(?:don'?t|do not) forget|(?:make|be) sure)\b")
"""What is said to the dancers and is no dance, but may say something of one."""
_FINISH = re.compile(
    r"(?i)^\W*(?:(?:and |then )*to (?:end|finish)\b(?: it| the dance| off| up)*|"
    r"(?:then |and )*(?:finish|end)(?: it| up| off)? with|(?:and )?at the (?:very )?end)\b\W*(?P<rest>.*)$"
)
_MAKER = re.compile(
    r"\W*(?i:(?:choreo\w*|ch(?:or)?)\b\.?(?:\s*by\b)?)\s*[:-]\s*((?:[A-Z][\w'-]*\.? (?:(?:&|and) )?)+[A-Z].*)"
)
"""An abbreviation of Chorus, or of Choreographer, before a name."""
_STARTS = re.compile(rf"(?i)\b(?:starts?|begins?|wait|after)\b[^.;]*\b\d{{1,3}}\s*{UNITS}")
"""Counts beside a word of waiting."""
_NAMED = re.compile(r"\b[A-Z][a-z]+ (?:(?:&|and|the) )?[A-Z][a-z]+|\"|\bby [A-Z]|^\W*(?i:from) [A-Z]|\d:\d\d")
"""Somebody, a title, or a length of the music."""
_LEAD = re.compile(
    r"(?i)^\W*(?:all|every|each)\b(?: of)?(?: the)?(?: parts?| sections?| steps?)? "
    r"(?:start|begin|lead)s?(?: on| with)?(?: the| your)? (?P<foot>L|R|left|right)(?: foot)?(?:[.,;!]\s*(?P<rest>.*))?$"
)
_MEANS = re.compile(r"^\W*(?:an?\s+|the\s+)?(?P<name>[\w½/' .-]{1,24}?)\s*=\s*(?P<rest>[A-Za-z].*)$")
_WORDY = re.compile(
    r"(?i)\b(?:wait|hold|pause|steps?|dance|key|words?|notes?|glossary|abbrev\w*|figures?|moves?|explained|by|for|is|are|"
    r"together)\b"
)
_BARE = re.compile(
    r"(?i)(?!.*\b(?:var\w+|eas\w+|hard\w*|opt\w*|alt\w*|styl\w*|arms?|hands?|heads?|footwork|breakdowns?|warm\w*|lad(?:y|ies)|"
    r"m[ae]n|women|gents|girls|boys|guys|leaders?|followers?|kids|beginners?|every\w*|all|any\w*|group|team|caller|enjoy|"
    r"repeat|again,|once|twice|times?|more|same)\b)[a-z][a-z'-]{2,}(?: [a-z'-]+){0,2}"
)
"""Up to three words on a line that name no dancers, no manner and no number of times."""
_APART = re.compile(r"^(?P<name>[A-Za-z]?[a-z]+(?: [a-z]+){0,3})\s*:\s+(?P<rest>\S.*)$")
"""What a word means, and what a label sets apart from the part above."""


class Routine:
    """A description while it is read."""

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        lines, apart = listed(numbered(told_plainly(entries(reader.texts))))
        self.body = Body(reader, labelled(lines), apart)
        self.heads, self.under = Heads(self.body), Under(self.body)
        self.entries = self._credited([each for each in self.body.key.entries if each.number not in apart])
        self.orders: dict[int, str] = {}
        self.lengths = {entry.number: said for entry in self.entries if (said := lengths(entry.raw))}
        read = {number for entry in lines for number in (entry.number, *entry.also)}
        for number, text in enumerate(reader.texts, 1):
            if text.strip() and number not in read:
                reader.mark(number, "heading")  # of a table
        self.closing = False  # the order stands in the line before
        self.behind = False  # the order stands behind the last part
        self.noting = False  # the lines are those of a list of notes
        self.contract: tuple[str, ...] = ()
        self.also: dict[str, str] = {}  # parts by the names of their own
        self._apart(apart)

    def _apart(self, numbers: set[int]) -> None:
        """Mark the lines of a list of steps apart from the parts; a step that is not understood is open."""
        known = False
        for entry in self.body.key.entries:
            known = known if below(entry) else entry.number in self.body.key.explained
            for number in (entry.number, *entry.also) if entry.number in numbers and known else ():
                self.reader.mark(number, "steps")
            if entry.number in numbers and not known:
                self.body.leave(entry)

    # --- what the whole sheet is looked through for

    def _credited(self, lines: list[Entry]) -> list[Entry]:
        """Return lines of which those above all parts that name a person behind `Chor:` are no heads."""
        out = [*lines]
        for at, entry in enumerate(lines):
            found = _MAKER.match(entry.text)
            if found and not any(map(self.heads.dances, re.split(r",|\s{2,}", found[1]))):
                out[at] = evolve(entry, text=f"Choreo: {found[1]}")
            elif head(entry.text, self.body.key.measure):
                break
        return out

    def _heads(self) -> None:
        """Find the names of the parts."""
        found, made_of = [], list[Head]()
        for at, entry in enumerate(self.entries):
            if self.body.key.means(entry):
                continue
            if said_of_order(entry.text, ()) is None and (made := head(entry.text, self.body.key.measure)):
                found.append(made.name)
                made_of.append(made)
            elif entry is self.entries[0]:
                continue  # between signs or not, what is no usual name of a part is the title
            elif name := self._named(at, bool(found)):
                found.append(name)
        self.body.names = [*dict.fromkeys(found)]
        others = [entry for entry in self.entries if entry.number not in self.lengths]
        danced, self.also, self.orders = list[Danced](), dict[str, str](), dict[int, str]()
        for also in ({}, also_called(made_of)):  # the names by which more of the order is read
            names = [*self.body.names, *also]
            told = orders(others, names, self.body.key.measure)
            said = by_name([each for text in told.values() for each in order(text, names)[0]], also)
            letters = all(re.fullmatch(r"[A-Z]\d?", each) for each in also) and len(said) > len(danced)
            if not danced or (also and letters):
                self.also, self.orders, danced = also, told, said
        self.heads.ordered = bool(self.orders)
        self.heads.named = tuple(plainly(each.name) for each in danced for _ in range(each.times))
        begun = {each.text.split(" (")[0].rstrip(" :.") for each in others if each.number not in self.orders}
        self.body.names = [*dict.fromkeys([*self.body.names, *(one.name for one in danced if one.name in begun)])]
        self.body.doubled, self.body.mixed = doubled(danced)

    def _unsaid(self, entry: Entry, name: str) -> bool:
        """Say whether words may name a part: they are nothing else that a sheet says, and hold no step."""
        if not entry.gap or REMARK.match(entry.raw) or entry.number in self.body.key.glossary:
            return False
        cues, _ = self.body.cued(name) or ([], 1)
        brief = re.search(r"\d\s*\w+\s*[)\]]\W*$", entry.raw) and not any(cue.name for cue in cues)
        if cues and not brief and not any(cue.unknown or cue.doubt for cue in cues):
            return False
        kind = entry.stated > 7 and re.search(r"(?i) (?:bit|part|break|solo|bridge)$", name)  # `Clap Break (8 beats)`
        return entry.raw.startswith('"') or bool(brief or kind) or not (risky(name, self.reader) or _WORDY.search(name))

    def _named(self, at: int, later: bool) -> str:
        """Return the name that a line alone says of a part, behind another's if `later`, "" if it says none."""
        entry = self.entries[at]
        said = entry.title or capital_head(entry.raw)
        other = LEVEL.fullmatch(said) or PARTS.fullmatch(said) or again(said, self.reader.vocabulary)
        if said and not (other or self.heads.dances(said)):
            return said * (at + 1 < len(self.entries) or said.count(" ") < 2)  # a slogan below all
        if entry.quoted or self._bare(at):
            return entry.raw * (not entry.quoted)
        name, sure = set_apart(entry.raw), later or entry.raw[-1] != ":" or entry.stated > 7
        return name if name and self._unsaid(entry, name) and sure else ""

    def _bare(self, at: int) -> bool:
        """Say whether a line is no more than words behind an empty line and over steps, in a sheet with such heads:
        `Fiddle`, `Fiddle again`; over a bare row it would be what that is called."""
        entry, under = self.entries[at], self.entries[at + 1 : at + 2]
        bare = entry.gap and _BARE.fullmatch(entry.raw) and self._unsaid(entry, entry.raw)
        if not bare or not under or under[0].gap or self.body.key.means(under[0]) or below(under[0]):
            return False
        kinds = {kind for kind, *_ in pieces(entry.raw, self.reader.vocabulary)}
        heads = (head(each.text, 0) for each in self.entries if each.gap and each is not entry and ":" not in each.raw)
        alike = any(made and not made.rest for made in heads)
        return (
            alike and "word" in kinds <= {"word", "noise"} and bool(under[0].stated or self.heads.dances(under[0].text))
        )

    # --- the whole description

    def read(self) -> Outline:
        """Read all lines."""
        self._heads()
        begin = self._begin()
        self._header(self.entries[:begin])
        for index in range(begin, len(self.entries)):
            self._line(self.entries[index], index)
        for entry in self.entries:
            for number in entry.also:
                self.reader.mark(number, self.reader.kinds.get(entry.number, "remark"))
        whole = Whole(self.reader, self.body, self.orders, self.lengths, self.heads.alike, self.also, self.contract)
        return whole.outline()

    def _begin(self) -> int:
        """Return where the parts begin."""
        heads = (
            index
            for index, entry in enumerate(self.entries)
            if entry.number not in self.orders
            and not self.body.key.means(entry)
            and head(entry.text, self.body.key.measure, self.body.names)
        )
        first = next(heads, len(self.entries))
        headless = first == len(self.entries)
        cued = [at for at, entry in enumerate(self.entries[1:first], 1) if self._cued(entry)]
        numbered = sum(bool(re.match(r"\W*\d", self.entries[at].text)) for at in cued) > 1
        several = numbered or any(at + 1 in cued and not self.entries[at + 1].gap for at in cued)
        return next((at for at in cued if headless or several or self.entries[at].span[0]), first)

    def _cued(self, entry: Entry) -> bool:
        """Say whether a line is cues, each of them understood, and no wait."""
        if WAIT.match(entry.text):
            return False
        made = self.body.cued(FRONT.sub("", entry.text))
        return bool(
            made
            and all(not cue.doubt and not cue.unknown for cue in made[0])
            and any(cue.name or cue.row for cue in made[0])
        )

    def _header(self, above: list[Entry]) -> None:
        top: list[Entry] = []
        for entry in above:
            if entry.number in self.orders:
                self._order(entry)
            elif entry.number in self.body.key.glossary:
                self._explains(entry)
            elif entry.stated and re.fullmatch(r"(?i)\W*wait\W*", entry.text):
                self.reader.mark(entry.number, "fact")
                self.body.facts.append(Fact("wait", f"{entry.stated} beats"))
            elif self.body.key.means(entry):
                self.reader.mark(entry.number, "remark")
                self.body.left.append(entry.raw)
            else:
                top.append(entry)
        facts, left, told, beside = header_of(
            [entry.raw if entry.also else self.reader.texts[entry.number - 1].strip() for entry in top],
            "clogging",
            self.body.key.measure,
        )
        self.body.facts += fresh([*facts], self.body.facts)
        self.body.left += [tight(said) for said in left]
        for index, entry in enumerate(top):
            self.reader.mark(entry.number, "fact" if index in told else "remark")
            claims = index and not TEACHES.fullmatch(entry.raw)
            says = WAIT.search(entry.text) or (claims and (_NAMED.search(entry.raw) or risky(entry.text, self.reader)))
            stated, _ = facts_of(as_fields(entry.raw, False), "clogging")
            starts = _STARTS.search(entry.raw) and not said_of("wait", stated)
            if starts or (index not in told and (says or re.search(r"(?i)\b(?:front|back)\b", entry.text))):
                self.reader.leave_open(entry.number, entry.raw)
        for index, said in beside:
            known = Opened(top[index].number, tight(said)) in self.reader.open
            if not known and (risky(uncounted(said), self.reader) or _NAMED.search(said)):
                self.reader.unused(top[index].number, said)

    def _line(self, entry: Entry, index: int) -> None:
        """Read one line as the first kind that takes it."""
        entry = self._item(entry)
        text = entry.text
        closing, self.closing = self.closing, False
        if self.heads.over(entry) or (self.body.pending is not None and self.under.takes(entry)):
            return
        self.body.pending = None
        if entry.number in self.orders:
            return self._order(entry)
        if entry.number in self.lengths:
            return self.reader.mark(entry.number, "fact")
        above = self.entries[index - 1].number if index else 0
        if self._remark(entry) or self._signed(entry) or self._explains(entry, above) or self._halved(entry):
            return
        if self.heads.once(entry) or self.heads.listed(entry, above):
            return
        if made := head(text, self.body.key.measure, self.body.names) or self._finish(text, closing):
            self.behind = False
            return self.heads.take(entry, made)
        if not self.body.pieces:
            name = "Beginning" if "A" in self.body.names else "A"
            self.body.pieces.append(Piece(name, entry.number))
            self.body.danced.append(Danced(name))
        elif self.heads.begins(entry) or self.heads.other(entry) or self.heads.like(entry, text, self.body.pieces[-1]):
            return
        elif (self.behind and self.body.cued(text)) or (self.heads.dances(text) and self.heads.below(entry)):
            # of which part, nothing says
            return self.body.stray(entry, text)
        self.body.line(entry)

    def _signed(self, entry: Entry) -> bool:
        """Read a last line that names a person: of a club, or who is said to have made the dance, is the author, if no
        other is known; any other is open."""
        part = head(entry.text, 0)
        danced = self.heads.dances(entry.text) or (part and len(part.name) > 1)
        named = (PERSON.match(entry.raw) and not (danced or entry.raw.endswith("!"))) or _MAKER.match(entry.raw)
        if not entry.gap or entry.number != self.entries[-1].number or not named:
            return False
        made = CLUB.search(entry.raw) or _MAKER.match(entry.raw)
        if made and (new := fresh([author(entry.raw)], self.body.facts)):
            self.body.facts += new
            self.reader.mark(entry.number, "fact")
        else:
            self.body.leave(entry)
        return True

    def _finish(self, text: str, closing: bool) -> Head | None:
        """Return the end of the dance as its last part, where a line says one: `To end, stomp`; `closing` says that the
        order stands above it."""
        found = _FINISH.match(text)
        if not found or not (closing or re.match(r"(?i)\W*(?:(?:and|then) )*to", text)):
            return None
        return Head("Ending", rest=found["rest"]) if self.heads.dances(found["rest"]) else None

    def _item(self, entry: Entry) -> Entry:
        """Return a line with the letter of its part and its number, `A1) Triple`, as the line of that number."""
        found = re.match(r"([A-H])(\d{1,2})\)\s+", entry.text)
        if not found or not self.body.pieces or self.body.pieces[-1].name != found[1]:
            return entry
        return evolve(entry, text=entry.text[found.end() :], label=int(found[2]))

    def _explains(self, entry: Entry, above: int = 0) -> bool:
        """Say whether a line is of those that explain what a word means, or tells something apart; what is not read of
        it is open."""
        glossary = self.body.key.glossary
        if entry.number in glossary:
            if entry.number in self.body.key.explained:
                among(self.body.pieces[-1:], entry, above, self.body.cued(entry.text))
                self.reader.mark(entry.number, "steps")
            elif glossary[entry.number] and (is_title(entry.raw) or not risky(entry.text, self.reader)):
                self.reader.mark(entry.number, "heading")
            else:
                self.body.leave(entry)
            return True
        found = _MEANS.match(entry.raw) or (_APART.match(entry.raw) if entry.gap and self.body.pieces else None)
        if not found or head(entry.text, 0, self.body.names) or self.heads.dances(found["name"]):
            return False
        rows = found_in(found["rest"], self.body.key.legend)
        if found.re is _APART and ((rows and not rows[0].start) or _FINISH.match(entry.text)):
            return False  # a figure and its row, or the end
        if found.re is _MEANS and (entry.span[0] or self.heads.dances(found["rest"])):
            return False
        self.body.leave(entry)
        self.body.unordered |= len(order(entry.raw, self.body.names)[0]) > 2
        return True

    def _halved(self, entry: Entry) -> bool:
        """Read a line in the middle of which the head of a part stands: `That's 8. Then BREAK (8 cts):`."""
        said = sentences(re.sub(r"^\W*\d+[.)]\s+", "", entry.raw) if entry.label else entry.raw)
        for at, each in enumerate(said[1:], 1):
            bare = re.sub(r"(?i)^\W*(?:(?:then|next|now)\b\s*)+", "", each)
            made = head(bare, self.body.key.measure, self.body.names)
            if made and (made.beats or bare.endswith(":")):
                self._line(timed(evolve(entry, text=". ".join(said[:at]), raw=". ".join(said[:at]), stated=0)), 0)
                self.heads.take(evolve(entry, text=bare, stated=0), made)
                return True
        return False

    def _remark(self, entry: Entry) -> bool:
        if (found := _LEAD.match(entry.text)) and self.body.pieces:
            self.contract = (f"{SIDE[found['foot'][0].upper()]} foot",)
            self.body.ends += [found["rest"]] * bool(found["rest"])
            self.reader.mark(entry.number, "fact")
            return True
        note = REMARK.match(entry.text)
        self.noting = bool(note and entry.raw.endswith(":")) or (self.noting and not entry.gap)
        told, key = _TIP.match(entry.text) or (self.noting and not note), self.body.key
        bare = LEGEND.sub(lambda pair: pair[0] * pair[2].isupper(), entry.text)  # no word is in codes
        means = entry.number in key.terms or (entry.number in key.pairs and not found_in(bare, key.legend))
        if not (told or note or means or of_paper(entry.raw, self.reader)):
            return False
        self.body.ends.append(entry.raw)
        if told and risky(entry.text, self.reader):
            self.reader.leave_open(entry.number, entry.raw)
        else:
            self.reader.mark(entry.number, "remark")
        return True

    # --- the order

    def _order(self, entry: Entry) -> None:
        """Read a line of the order: the wait in it, and words in front of it."""
        self.body.pending = None
        self.reader.mark(entry.number, "order")
        said = self.orders[entry.number]
        front = re.match(r"(.*\w.*)[.;]\s+", entry.text.removesuffix(said))
        if wait := WAIT.match(said.strip()) or (front and WAIT.search(front[1])):
            self.body.wait(wait)
            self.orders[entry.number] = said.replace(wait[0], " ")
        stated = [each for each in facts_of(front[1], "clogging")[0] if each.key in ("wait", "lead")] if front else []
        self.body.facts += fresh(stated, self.body.facts)
        if front and not (wait or stated or head(front[1], 0)):
            self.body.left.append(front[1])
        self.closing, self.behind = True, bool(self.body.pieces)
        rows = functools.partial(found_in, legend=self.body.key.legend)
        told = self.orders[entry.number]
        self.orders[entry.number], behind = parted(told, self.body.names, lambda text: bool(rows(text)))
        for each in (said for said in behind if not rows(said)):
            self.body.stray(entry, each)
        self.reader.mark(entry.number, "order")


def routine(reader: Reader) -> Outline:
    """Return what a clogging description comes to."""
    return Routine(reader).read()
