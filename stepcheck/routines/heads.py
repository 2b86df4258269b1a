"""The heads of parts while they are read: which part each begins, which it is like, and what stands behind it."""

import re

from attrs import evolve

from stepcheck.cues.entries import Entry, sentences, timed
from stepcheck.cues.lining import Lines, Open, Told
from stepcheck.cues.marks import OTHERWISE
from stepcheck.cues.repeats import Again, again
from stepcheck.cues.titles import Head, head, plainly
from stepcheck.pages.facts import Fact, facts_of, fresh, no_field, said_of
from stepcheck.routines.beside import doubted, risky
from stepcheck.routines.body import WAIT, Body
from stepcheck.routines.listed import stands_behind
from stepcheck.routines.order import Danced, order
from stepcheck.routines.part import Piece
from stepcheck.routines.sentences import BEGINS, CHANGED, FACED, FACING, OVER, TO_BEGIN, one_time, parts_again, spoken
from stepcheck.steps.vocabulary import pieces, tight
from stepcheck.steps.words import CLOSES, UNITS

_SILENT = re.compile(r"(?i)\W*(?:(?:just|only|all)\W+)?(?:wait|hold|pause|listen|stand still)\W*(?:then\W+)?")
_FIRST = re.compile(  # the beginning of a part
    rf"(?i)\W*(?:(?:is|just|only|the)\s+)*(?:first|1st)\s+(half|\d{{1,3}}\s*{UNITS})\s+(?:only )?of\s+"
    r"([^.(;,]+?)(?:\s+only)?(?:\s*[.(;,]\s*(.*))?"
)
_MARKED = frozenset(["foot", "feet", "turned", "twice", "figure", "codes"])
"""What a remark beside a head would change."""


class Heads:
    """Reads heads into the parts of a description; `alike` are parts that are another one, `listing` is the line that
    says that a part is danced again, `told` that part, `ordered` whether the sheet has an order, `named` are the parts
    that this has, `aside` says that the lines are of a change of another part."""

    def __init__(self, body: Body) -> None:
        self.body, self.reader = body, body.reader
        self.alike: dict[str, Danced] = {}
        self.listing, self.ordered, self.aside = 0, False, False
        self.named = tuple[str, ...]()
        self.told: Piece | None = None

    def take(self, entry: Entry, made: Head) -> None:
        """Read the head of a part, and what stands behind it."""
        same = [piece for piece in self.body.pieces if plainly(piece.name) == plainly(made.name)]
        said = made.rest or made.remark
        if same and same[-1].told:
            return self.once_more(entry, said, same)
        called = next((each for each in self.alike if plainly(each) == plainly(made.name)), "")
        model = [piece for piece in self.body.pieces if called and piece.name == self.alike[called].name]
        if model and not same:  # a part that is another one, with what is said of it this time
            before = len(self.body.danced)
            self.once_more(entry, said, model)
            self.body.danced[before:] = [evolve(each, name=called) for each in self.body.danced[before:]]
            return None
        self.reader.mark(entry.number, "heading")
        piece = self._piece(entry, made, same)
        self.listing, self.told = 0, None
        rest = made.rest
        said = rest or made.remark
        inside = re.search(r"(?i)\([^()]*\b(?:repeat|rpt)\W*\)", entry.raw)  # `B (8 beats, repeat)`: its own lines
        alike = self._cut(entry, said, piece) or (not inside and self.like(entry, said, piece))
        if alike and rest and FACED.search(made.remark):
            self.reader.leave_open(entry.number, made.remark)  # of this time
        if alike or self._repeated(entry, made, piece):
            return
        marked = _MARKED - {"figure"} if entry.titled else _MARKED  # over its lines it is a title
        begun = None if rest and made.remark else FACING.fullmatch(said)
        if begun:
            piece.begins, piece.remark = begun[1].casefold(), ""
            return
        held = {each[0] for each in pieces(made.remark, self.reader.vocabulary)}
        if made.remark and (FACED.search(made.remark) or marked & held):
            self.reader.leave_open(entry.number, made.remark)
        if plainly(made.name) == "introduction":
            rest = self._waits(made, rest, piece)
        if rest and entry.titled and not made.remark:
            self._titled(entry, rest, piece)
        elif rest:
            self._told_behind(entry, rest, piece)

    def _titled(self, entry: Entry, rest: str, piece: Piece) -> None:
        """Read what stands beside the number of a part, over its lines: figures that they may spell, or its title."""
        cues, _ = self.body.cued(rest) or ([], 1)
        read = cues and not any(cue.unknown or cue.doubt for cue in cues)
        if read and (piece.beats or len(cues) == 1) and self.body.line(evolve(entry, text=rest), quiet=True):
            for told in piece.told if piece.beats else ():
                told.spare = True  # it is danced if the lines below don't fill the part
            return
        piece.remark = tight(f"{piece.remark} {rest}")
        if _MARKED & {each[0] for each in pieces(rest, self.reader.vocabulary)}:
            self.reader.leave_open(entry.number, rest)

    def once_more(self, entry: Entry, said: str, same: list[Piece]) -> None:
        """Read a head of a part that is told above, with what is `said` behind it: it is danced again."""
        self.listing, self.told = entry.number, same[-1]
        bare = not (said and (risky(said, self.reader) or CHANGED.search(entry.raw)))
        turn_again = again(said, self.reader.vocabulary, (same[0].name,)) if said else None
        here = same[-1] is self.body.pieces[-1] and self.ordered
        if turn_again and here and self.body.again_here(entry, turn_again):
            return
        self.reader.mark(entry.number, "order")
        name = same[0].name
        made, left = order(f"{name} {said}", self.body.names)
        if more := self._again(entry):
            self.body.danced += more
        elif turn_again and not turn_again.changed and turn_again.feet in ("same", "other"):
            inside = same[0].repeat and same[0].repeat.again and same[0].repeat.again.times == turn_again.times
            once = inside or not re.search(r"(?i)\btwice\b|\btimes\b|\bx ?\d|\d ?x\b", said)
            times, other = 1 if once else turn_again.times, turn_again.feet == "other"
            self.body.danced.append(Danced(name, times, facing=turn_again.facing, opposite=other))
        elif len(made) == 1 and not (left or turn_again or made[0].changed):
            self.body.danced += made
        elif (bare and not (turn_again and turn_again.feet != "same")) or re.fullmatch(r"\d+", said):
            self.body.danced.append(Danced(name))
        else:
            self.body.danced.append(Danced(name, changed=entry.raw if entry.raw != said else f"{name} {said}"))
            if self.ordered:
                self.reader.leave_open(entry.number, entry.raw)

    def _again(self, entry: Entry) -> list[Danced]:
        """Return the parts that a line dances once more; where they begin is said of the end of those before."""
        more, begins = parts_again(entry.raw, self.body.names)
        if more and begins:
            self.body.danced[-1:] = [evolve(each, facing=each.facing or begins) for each in self.body.danced[-1:]]
        return more

    def below(self, entry: Entry) -> bool:
        """Begin a part for a line below the head of a part that is told above: the same steps written out once more, or
        behind an empty line the end of the dance; return whether nothing says which it is."""
        told, self.told = self.told, None
        if told is None:
            return False
        danced = self.body.danced[-1] if self.body.danced else Danced("")
        names = {piece.name for piece in self.body.pieces}
        name = "Ending" if entry.gap else f"{told.name} again"
        if self.ordered or name in names or (not entry.gap and danced != Danced(told.name)):
            return True
        made = Piece(name, entry.number)
        if not entry.gap:
            made.again = told
            self.body.danced.pop()
        self.body.pieces.append(made)
        self.body.danced.append(Danced(name))
        return False

    def listed(self, entry: Entry, above: int) -> bool:
        """Take a line below one that has a part again: how often that is, `same`, `twice`, or another one
        with how often it is danced, `Chorus twice`; `above` is the line before it."""
        below = 0 < above == self.listing
        told = self.told if below and not entry.gap else None
        cut, _ = parts_again(f"{told.name} {entry.raw}", self.body.names) if told else ([], "")
        if len(cut) == 1 and self.body.danced[-1:] == [Danced(cut[0].name)]:  # `first 16 only` below it
            self.body.danced[-1:] = cut
            self.reader.mark(entry.number, "order")
            return True
        found = again(entry.text, self.reader.vocabulary, tuple(self.body.names)) if told else None
        if told and found and {*found.names} <= {told.name}:
            if self.body.danced[-1] == Danced(told.name):
                self.body.danced.pop()
                self.once_more(entry, entry.text, [told])
                return True
            if not found.changed and found.feet == "same" and re.match(r"(?i)\W*(?:same|as|repeat)\b", entry.text):
                self.reader.mark(entry.number, "order")
                return True
        if not below or not re.search(r"(?i)\b(?:twice|x ?\d|\d ?x|times|again)\W*$", entry.text):
            return False
        named, left = order(entry.text, self.body.names)
        if len(named) == 1 and not left:
            self.body.danced += named
            self.reader.mark(entry.number, "order")
            self.listing = entry.number
        return len(named) == 1 and not left

    def over(self, entry: Entry) -> bool:
        """Take a line that dances parts above it once more; return whether it does.  `Repeat all` is of its part where
        that has room for it; where the sheet has an order such a line is open."""
        body, found = self.body, OVER.fullmatch(entry.text)
        names = [plainly(each.name) for each in body.danced]
        first = plainly(found["first"] or "") if found else ""
        fits = found and (not found["loose"] or body.pieces[-1].full(Lines(body.cues, False)))
        if found and fits and len(names) > 1 and (len(first) < 2 or first in names):
            alone = first and re.search(rf"(?i)\bback to (?:part )?{first}\W*$", entry.text)  # it, or all from it on
            between = alone and {*body.names} - {each.name for each in body.danced}
            known = not self.ordered and not between and first in ("", *names)
            more = body.danced[names.index(first) if first else 0 :] if known else []
            more[-1:] = [evolve(each, facing=found["facing"] or each.facing) for each in more[-1:]]
        else:
            asked = re.match(r"(?i)\W*(?:repeat|rpt|rep)\b", entry.raw) or not head(entry.text, 0, body.names)
            more = self._again(entry) if asked and entry.gap and body.pieces and not self.ordered else []
            if not more:
                return False
        body.danced += more
        self.reader.mark(entry.number, "order") if more else body.stray(entry, entry.raw)
        return True

    def once(self, entry: Entry) -> bool:
        """Leave open a line that says what is danced one time of a part, `2nd Chorus: stop early`, and its paragraph if
        that is another part than the one above; but not a part of its own: all read, and none or named in the order."""
        told = [piece.name for piece in self.body.pieces if piece.told]
        self.aside &= not (entry.gap or head(entry.text, 0, self.body.names))
        found = one_time(entry.text, told) if told and not self.aside else None
        made = self.body.cued(found["rest"]) if found else None
        time = found is not None and found["part"].casefold().startswith("time")
        if not self.aside and (not found or (time and not made and not re.search("[:,-]|  ", found["sign"]))):
            return False
        own = found and not time and not (self.ordered and plainly(found[1]) not in self.named)
        if found and made and own and not re.match("(?i)finish|end", found["rest"]):
            opened: Open = []
            Lines(self.body.cues, False).of(Told(0, found["rest"], *made), opened)
            if not opened:
                return False
        self.body.leave(entry)
        doubted(self.body.pieces[-1].told if time else [], entry.text)
        elsewhere = found and not time and plainly(found["part"]) != plainly(self.body.pieces[-1].name)
        self.aside |= bool(entry.gap and elsewhere)
        return True

    def other(self, entry: Entry) -> bool:
        """Take a line behind an empty line that dances another part once more, with a change that isn't read."""
        found = again(entry.text, self.reader.vocabulary, tuple(self.body.names)) if entry.gap else None
        named = [piece.name for piece in self.body.pieces[:-1] if piece.told and found and piece.name in found.names]
        if not found or len(named) != 1 or named != [*found.names] or not found.changed:
            return False
        self.body.danced.append(Danced(named[0], changed=entry.raw))
        self.reader.mark(entry.number, "order")
        if self.ordered:
            self.reader.leave_open(entry.number, entry.raw)
        return True

    def begins(self, entry: Entry) -> bool:
        """Take a line that says when the dancing begins, wherever it stands: the wait, if no other is known."""
        if not BEGINS.match(entry.text):
            return False
        bare = BEGINS.sub(
            lambda found: found[0] if "wait" in found[0].casefold() else "start after", entry.raw, count=1
        )
        stated, left = facts_of(TO_BEGIN.sub("", bare), "clogging", self.body.key.measure)
        new = fresh([*stated], self.body.facts)
        known = all(fact in [*new, *self.body.facts] for fact in stated)
        if stated and known and {fact.key for fact in stated} <= {"wait", "lead"} and no_field(left):
            self.body.facts += new
            self.reader.mark(entry.number, "fact")
        else:
            self.body.leave(entry)
        return True

    def dances(self, text: str) -> bool:
        """Say whether a text is cues that are read."""
        made = self.body.cued(text)
        return made is not None and not any(cue.unknown or cue.doubt for cue in made[0])

    def _piece(self, entry: Entry, made: Head, same: list[Piece]) -> Piece:
        """Return the part that a head begins, a new one or one that is named above and told here."""
        body = self.body
        if same and same[-1] is not body.pieces[-1]:
            body.pieces = [*(each for each in body.pieces if each is not same[-1]), same[-1]]
            body.danced.append(Danced(same[-1].name))
        if same:
            return same[-1]
        several = len(sentences(made.rest)) > 1 or re.search(r"\(\d+\)", made.rest)  # the last may have the length
        stated = entry.stated * (not several)
        short = bool(made.rest) and stated < 8  # if lines follow, of what stands behind the head
        piece = Piece(made.name, entry.number, made.beats or stated * (not short), made.remark)
        behind = made.rest and re.search(rf"(?<!\d){made.beats or stated}\W*(?:{UNITS})?\W*$", entry.raw)
        piece.first = (made.beats or stated) * bool(behind)
        body.pieces.append(piece)
        if body.pieces[:-1] and not body.danced:  # lines without a head stand above
            body.danced.append(Danced(body.pieces[0].name))
        body.danced.append(Danced(made.name))
        return piece

    def _waits(self, made: Head, rest: str, piece: Piece) -> str:
        """Take the wait that an introduction is, or that stands behind its head, from what does; return the rest."""
        stated, left = facts_of(f"intro {piece.beats or ''} {rest}", "clogging", self.body.key.measure)
        first, _, others = left.removeprefix("intro").partition(". ")
        waits = rest and said_of("wait", stated)
        if waits and no_field(first) and not risky(others, self.reader):
            self.body.facts += fresh([each for each in stated if each.key in ("wait", "lead")], self.body.facts)
            self.body.ends += [rest] * bool(re.search(r"\w\w", others))
            piece.beats = 0
            return ""
        wait = WAIT.search(f"{made.rest} {made.remark}")
        plays = re.match(r"(?i)\W*(?:[a-z]+\s+){1,3}(?:plays?|vamps?|starts?|by (?:itself|themselves)|alone)\b", rest)
        silent, *more = re.split(r"[.;,]\s+", rest)
        if piece.beats and (_SILENT.fullmatch(silent) or plays):
            self.body.facts += fresh([Fact("wait", f"{piece.beats} beats")], self.body.facts)
            piece.beats, rest = 0, self._lead(". ".join(more)) if not plays else ""
        if wait:
            piece.beats = max(0, piece.beats - self.body.wait(wait))
            rest = self._lead(rest)
            rest = re.sub(rf"(?i)^\W*{UNITS}?\W*(?:then|and)?\W*$", "", rest.replace(wait[0], ""))
            rest = re.sub(r"^[\W]+|(?i:^\W*(?:\+|then|and)\s+)", "", rest)
        return rest

    def _lead(self, text: str) -> str:
        """Take the foot that starts, beside a wait, from a text; return the rest."""
        stated, left = facts_of(text, "clogging")
        leads = {fact.value for fact in stated if fact.key == "lead"}
        said = {fact.value for fact in self.body.facts if fact.key == "lead"}
        if len(leads) != 1 or any(fact.key not in ("lead", "wait", "counts") for fact in stated) or said - leads:
            return text
        self.body.facts += fresh([fact for fact in stated if fact.key == "lead"], self.body.facts)
        return re.sub(r"(?i)\W*(?:(?:then|and|on|with|the|go)\s+)*\u241f", " ", left)

    def like(self, entry: Entry, said: str, piece: Piece) -> bool:
        """Take a part that is said to be another one, `same as A`, or the one before on the other foot; one that is not
        quite that is a blank of as many beats."""
        said, talked = spoken(said, self.reader)
        words = re.sub(r"(?i)^\W*(?:(?:exactly|just|is|the)\s+)*(?:same as|as|like|=|repeat)\b", "same as", said)
        found = again(words, self.reader.vocabulary, tuple(self.body.names)) if re.match(r"\W*same\b", words) else None
        if found is None or piece.told:
            return False
        named = [each for each in found.names if plainly(each) != plainly(piece.name)]
        before = [each for each in self.body.pieces if each is not piece and each.told]
        models = [each for each in before if plainly(each.name) in map(plainly, named)] if named else before[-1:]
        more = re.search(r"(?i)\b(?:add|plus|then|extra|first|only)\b", said)
        if len(models) != 1 or len(named) > 1 or found.times > 2 or more:
            return False
        other = OTHERWISE & {*said.casefold().split()} - {"same", "other", "opposite"}
        turned = any(cue.turns for told in models[0].told for cue in told.cues)
        self.reader.mark(entry.number, "heading")
        if found.doubt or other or found.feet not in ("same", "other") or (turned and found.feet == "other"):
            piece.model, piece.remark, piece.number = models[0], tight(said), entry.number
            piece.beats = piece.beats or entry.stated
            return True
        self.body.ends += talked
        self.body.pieces.remove(piece)
        self.alike[piece.name] = Danced(models[0].name, facing=found.facing, opposite=found.feet == "other")
        return True

    def _cut(self, entry: Entry, said: str, piece: Piece) -> bool:
        """Take a part that is said to be the beginning of another one: `A* = first 16 beats of A only`."""
        found = _FIRST.fullmatch(said)
        cut = order(f"{found[2]}, first {found[1]}", self.body.names) if found else ([], "")
        if len(cut[0]) != 1 or cut[1] or not (cut[0][0].first or cut[0][0].half) or cut[0][0].name == piece.name:
            return False
        if found and found[3] and plainly(piece.name) in CLOSES and self.dances(found[3]):
            return False  # steps behind it
        self.body.pieces.remove(piece)
        self.alike[piece.name] = cut[0][0]
        if found and found[3]:
            self.reader.leave_open(entry.number, found[3])
            self.body.ends.append(found[3])
        return True

    def _repeated(self, entry: Entry, made: Head, piece: Piece) -> bool:
        """Take a head that says nothing of its part but how long it is and that it is danced again."""
        said = ", ".join(filter(None, (made.rest, made.remark)))
        if whole := re.search(rf"(?i)\s*\((\d{{1,3}})\s*(?:{UNITS})?\)\W*$", said):
            said = said[: whole.start()]
        once = re.match(rf"(?i)\W*(\d{{1,3}})\s*{UNITS}(?!\w)", said)
        behind = said[once.end() :] if once else said
        whole_said = again(behind.strip(" .(),;:-"), self.reader.vocabulary)  # `twice, left lead both times`
        found: Again | None = whole_said if whole_said and not (whole_said.changed or whole_said.names) else None
        for each in () if found else re.split(r"[,;(]|\s-+\s|\bthen\b", behind):
            repeated = again(each.strip(" .()"), self.reader.vocabulary) if re.search(r"\w", each) else None
            if repeated and not repeated.doubt and not found:
                found = repeated
            elif repeated or risky(re.sub(r"(?i)\bone\b", "", each), self.reader):
                return False
        if found is None:
            return False
        often = self.body.mixed | self.body.doubled
        inside = piece.name in self.body.mixed and any(
            each.repeat for each in self.body.pieces if each.name not in often
        )
        if inside or not self.body.in_order(piece, evolve(found, feet="same"), entry.number, entry.raw):
            piece.repeat = Told(entry.number, tight(said), again=found)
        piece.beats = piece.beats or int(whole[1] if whole else once[1] if once else 0)
        piece.remark = ""
        return True

    def _told_behind(self, entry: Entry, rest: str, piece: Piece) -> None:
        """Read what stands behind the head of a part; what tells it by another part and a change is open."""
        first = sentences(rest)[0] if re.search(r"\w", rest) else rest
        others = [each for each in order(first, self.body.names)[0] if plainly(each.name) != plainly(piece.name)]
        if others and OTHERWISE & {*re.findall(r"[\w']+", first.casefold())}:
            piece.remark = tight(f"{piece.remark} {rest}")
            return None if stands_behind(rest, piece.name, self.named) else self.reader.leave_open(entry.number, rest)
        if named := re.match(r"(?i)\s*is\s+((?:the|our|a)\s[a-z ]{2,20}):\s*(?=\w)", rest):  # `is the chorus: 2 Basics`
            piece.remark, rest = tight(f"{piece.remark} {named[1]}"), rest[named.end() :]
        if re.fullmatch(r"(?i)\W*(?:the|our)\s+[a-z' -]+\W*", rest) and piece.beats:  # `PART B - the Vine (32 beats)`
            piece.remark = tight(f"{piece.remark} {rest}")
            return
        bare = re.sub(r"(?i)^\s*is\s+(?:just\s+|only\s+)?", "", rest)
        several = len(sentences(bare)) > 1 or entry.stated < 8
        made = timed(evolve(entry, text=bare, stated=entry.stated * several, span=(0, 0)))
        made = evolve(made, stated=entry.stated, span=(0, 0)) if made.span[0] > 1 else made  # of its last steps
        whole = piece.beats in (0, made.stated) or made.stated == 0
        if self.body.line(made if whole else evolve(made, text=bare), quiet=True):
            return
        unread = [cue for cue in (self.body.cued(rest) or ([], 1))[0] if cue.unknown and cue.name and cue.feet]
        few = 0 < made.stated < 8 and not piece.beats
        if few or (unread and plainly(piece.name) != "introduction"):  # dance that is not read: `Chorus: hazel walk L`
            return piece.told.append(Told(entry.number, tight(rest), stated=made.stated * few))
        piece.remark = tight(f"{piece.remark} {rest}")
        piece.beats = piece.beats or made.stated
        if risky(rest, self.reader) or FACED.search(rest):
            self.reader.leave_open(entry.number, rest)
