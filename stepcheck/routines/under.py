"""The lines under a cue: feet, beats, how it turns, or the codes that spell it."""

import itertools
import re

from attrs import evolve

from stepcheck.cues.codes import CELL, beats_under, feet_of, is_feet, paired, written
from stepcheck.cues.entries import Entry, sentences
from stepcheck.cues.footwork import Footwork, found_in, joined_rows
from stepcheck.cues.lining import Lines, Told
from stepcheck.cues.marks import Cue
from stepcheck.cues.repeats import again
from stepcheck.cues.tokens import spelled
from stepcheck.model.dance import key
from stepcheck.routines.beside import IS, learned, marked, noted, risky, second_foot, spelled_out
from stepcheck.routines.body import Body
from stepcheck.routines.spelling import feet_first
from stepcheck.steps.outline import lines_of
from stepcheck.steps.steps import OTHER
from stepcheck.steps.words import SIDED, SPOKEN_FEET, TIMES, UNITS, often

_OTHER_FOOT = re.compile(
    r"(?i)\W*(?:(?:&|and|then|on|with|the|[LR]|foot|ft)\W+)*\b(?:rpt|repeat|again|reverse|opp|opposite|other)\b"
    r"(?:\W*\b(?:on|with|the|opp|opposite|other|foot|feet|ft|footwork)\b)*\W*"
)

_ONCE_MORE = re.compile(
    r"(?i)\W*(?:\b(?:and|then|now|back|go(?:ing)?|do|it|again|repeat|rpt|same|thing|other|opposite|opp|way|side|foot|feet|"
    rf"footwork|to|on|with|the|your|{SIDED})\b\W*)+"
)
"""Words between the feet of a row and those on which it is danced once more: `and back to the right`."""
_SAME_FEET = re.compile(r"(?i)\W*(?:(?:the )?same(?: again)?|both times|each time|twice|x ?2)\W*")
"""The second time of a row behind which the foot is free that began it."""
_SECOND = re.compile(
    r"(?i)\W*(?:(?:the|other|second|2nd|next|one|time|is|goes|starts?|begins?|then|and|on|with)\W+)*"
    r"(?:(?:opp(?:osite)?|reversed?)\b(?:\W*\b(?:foot|ft|feet|footwork)\b)*|\bother (?:foot|ft)\b|"
    rf"(?<=then )(?:on )?(?:the )?(?P<foot>{SIDED})(?:\W*(?:foot|ft)\b)?)\W*"
)
"""The second of two times on the other foot: `(other one opp. feet)`, `then R ft.`."""
_DONE = re.compile(rf"(?i)\W*(?:(?:do|dance)\s+)?(?:(?:it|this|all|both)\s+)*{TIMES}\W*")
"""How often all of a row is danced."""
_LASTING = re.compile(rf"(?i)\(?(?P<n>\d{{1,3}}) {UNITS}(?P<each> (?:each|ea)\b\.?)?\)?\s{{2,}}(?=[LR])")
_DEEP, _NEAR = 8, 3
"""A row with notes below it stands more than `_DEEP` letters into its line; these begin fewer than `_NEAR` off."""


class Under:
    """Reads lines under a cue; `above` are the beats that stand over its row."""

    def __init__(self, body: Body) -> None:
        self.body = body
        self.above: tuple[str, ...] = ()
        self.counted = 0  # the line of the last beats
        self.taken: set[int] = set()  # lines that go on with the row above them
        self.between = ""  # what stands between the feet of a row and those of its next time
        self.shared: Footwork | None = None  # the row of all cues of a line
        self.times: dict[int, int] = {}  # how often a row stands above a line

    def takes(self, entry: Entry) -> bool:
        """Take a line of feet, beats or codes that belongs to the cue above."""
        if entry.number in self.taken:
            self.body.reader.mark(entry.number, "steps")
            return True
        cue = self.body.pending
        text = _bare(entry) if is_feet(_bare(entry)) else entry.text
        if cue is None or entry.label or not self.body.pieces[-1].told:
            return False
        told = self.body.pieces[-1].told[-1]
        entry, text = self._lasting(entry, text, told)
        if beside := self._beside_feet(entry, told):
            if not self._marks_under(cue, evolve(entry, text=beside[0]), True):
                self.body.stray(entry, beside[0])
            cue = told.cues[-1]
            entry, text = evolve(entry, text=beside[1], raw=beside[1]), beside[1]
        if self._called(cue, told, entry):
            self.body.reader.mark(entry.number, "steps")
            return True
        if (entry.span[0] and told.span[0]) or (entry.stated and told.stated not in (0, entry.stated)):
            return False  # beats of its own: a line of its own
        if (
            self._once_more(cue, told, entry, text)
            or self._next_time(cue, told, entry)
            or self._under_row(cue, told, entry, text)
            or (cue.row is None and (self._spells(cue, entry) or self._spelled_out(cue, entry)))
        ):
            self.body.reader.mark(entry.number, "steps")
            return True
        if apart := self._at_row(entry, told):
            self.body.stray(entry, entry.raw)
        return apart

    def _called(self, cue: Cue, told: Told, entry: Entry) -> bool:
        """Take the bare name of the figure whose footwork the row above it is; where its part states how long it is,
        that decides whether both are danced."""
        cue = told.cues[0] if told.spare and told.cues else cue
        made, row = self.body.key.cues_of(entry.text), cue.row
        bare = len(made) == 1 and made[0].name and made[0] == Cue(made[0].text, name=made[0].name)
        if not row or cue.name or cue.aside or told.cues != [cue] or entry.gap or entry.span[0] or not bare:
            return False
        behind = told.text[found[0].end :] if (found := found_in(told.text, self.body.key.legend)) else ""
        named = re.search(r"\w", behind) and not is_feet(behind)  # `DS RS  "Basic"`
        if named or max(cue.number, cue.times) > 1 or not self.body.key.spells(made[0], row):
            return False
        cue.aside = made[0].text
        self.body.reader.assumed.add("a row over the name of the figure that it spells is that figure")
        if told.spare or (self.body.pieces[-1].beats and not row.feet):
            told.spare, told.text = True, ""
        else:
            cue.name = made[0].name
        return not told.spare

    def _under_row(self, cue: Cue, told: Told, entry: Entry, text: str) -> bool:
        """Take feet, beats or marks below a cue; return whether a line is these."""
        if cue.row is not None and self._feet_under(cue, entry, text):
            if (cue.doubt or cue.unknown) and is_feet(text):  # of a blank
                self.body.stray(entry, entry.raw)
        elif (cue.row is None and self._feet_of_all(told, text)) or _alternates(cue, text):
            pass
        elif cue.steps and is_feet(text) and len(text.split()) > 2:
            _doubt(told, text)  # which of the steps each foot dances
        elif under := beats_under(_bare(entry)):
            self.above, self.counted = under if cue.row is None else (), entry.number
            book, row = self.body.reader.book, self.shared
            if row is None or evolve(row, beats=under).lasts(book) != row.lasts(book):
                _doubt(told, entry.text)  # steps on other beats than these words have
            cue.row = cue.row and evolve(cue.row, beats=under)
        else:
            as_above = cue.name and cue.row is None and re.match(r"(?i)\W*(?:same )?as above\b", entry.text)
            return bool(as_above) or self._marks_under(cue, entry)
        return True

    def _once_more(self, cue: Cue, told: Told, entry: Entry, text: str) -> bool:
        """Take feet below a row that has its feet, and the words between: those of its next time, or of the row danced
        once more; others leave it in doubt."""
        between, self.between = self.between, ""
        row, (feet, marks) = cue.row, feet_first(text)
        cells, many = feet_of(feet), max(cue.number, cue.times)
        if row is None or len(cells) == 1 or not row.feet or all(cue is not each for each in told.cues[-1:]):
            return False
        if not feet:
            behind = (each for each in self.body.key.entries if each.number > entry.number)
            below = any(is_feet(_bare(each)) and not (each.gap or entry.gap) for each in itertools.islice(behind, 1))
            self.between = text if below and _ONCE_MORE.fullmatch(text) else ""
            return bool(self.between)
        firsts = f"{cue.feet or row.feet[0][:1]}{cells[0][:1]}"
        if len(cells) != len(row.feet) or len(firsts) > max(many, 2) or (cue.turns and many < 2):  # is it of both?
            cue.doubt, cue.unknown = cue.doubt or text, True
        elif many > 1:
            cue.feet = firsts
        else:
            side = re.search(rf"(?i)\b({SIDED})\b(?! (?:foot|ft))", between)
            made = evolve(cue, text=f"{between} {text}".strip(), row=evolve(row, feet=cells), feet="", notes=[])
            self.body.key.reading.marks(made, f"to the {side[1]}" if side else marks)
            self._behind(told, Told(entry.number, made.text, [made], stated=row.lasts(self.body.reader.book)))
            self.body.pending = made
        return True

    def _next_time(self, cue: Cue, told: Told, entry: Entry) -> bool:
        """Take the row of a cue that stands below it once more, for its next time."""
        many = self.times.pop(entry.number, 1)
        more = told.cues == [cue] and not entry.gap and self.body.key.next_time(cue, entry, many)
        self.times[entry.number + 1] = many + more
        return more

    def _behind(self, told: Told, more: Told) -> None:
        """Add a row that is danced once more behind the line that says it: to that line, where both make its beats."""
        if told.stated in (0, more.stated, 2 * more.stated) and len(told.cues) == 1:
            told.stated = more.stated = more.stated * (told.stated > 0)
            self.body.pieces[-1].told.append(more)
        else:
            told.cues += more.cues

    def _rows(self, told: Told) -> list[Footwork]:
        """Return the rows of a line, as they stand in it."""
        return found_in(written(self.body.reader.texts[told.number - 1]), self.body.key.legend)

    def _feet_of_all(self, told: Told, text: str) -> bool:
        """Take feet below a row that is the footwork of several cues; return whether these are those of its codes."""
        under, marks = feet_first(text)
        times = _DONE.fullmatch(marks) if told.times == 1 and len(told.cues) > 1 else None
        row = (self.shared or joined_rows(self._rows(told))) if under and (times or not marks) else None
        feet = feet_of(under)
        if not row or len(paired(row.codes, feet)) != len(row.codes):
            return False
        first, told.times = told.cues[0], often(*times.groups()) if times else told.times
        if first.row and (first.aside or not first.name):  # behind which words say what it is called
            first.row, self.body.pending = evolve(first.row, feet=feet), first
        first.feet = first.feet or feet[0][:1]
        return True

    def _at_row(self, entry: Entry, told: Told) -> bool:
        """Say whether a line without a row begins below the row of the line above, and so is a note on that."""
        if entry.gap:
            return False
        rows, raw = self._rows(told), self.body.reader.texts[entry.number - 1]
        deep = bool(rows) and rows[0].start > _DEEP and abs(rows[0].start - len(raw) + len(raw.lstrip())) < _NEAR
        return deep and not (
            found_in(entry.text, self.body.key.legend) or again(entry.text, self.body.reader.vocabulary)
        )

    def _beside_feet(self, entry: Entry, told: Told) -> tuple[str, str] | None:
        """Return what stands in the column of the name before feet or beats below the row, and these."""
        rows, raw = self._rows(told), self.body.reader.texts[entry.number - 1]
        whole = entry.raw.split() == raw.split() and not entry.gap
        start = rows[0].start if rows and whole else 0
        for at in (start, start + 1, start - 1) if start > _DEEP else ():
            words, under = raw[:at].strip(), raw[at:].rstrip()
            begins = re.search(r"\s$", raw[:at]) and re.match(r"\S", under) and re.search(r"[A-Za-z]{2}", words)
            figure = begins and any(cue.name for cue in (self.body.cued(words) or ([], 1))[0])  # a cue of its own
            if begins and not figure and (feet_first(under)[0] or beats_under(under)):
                return words, under
        return None

    def _lasting(self, entry: Entry, text: str, told: Told) -> tuple[Entry, str]:
        """Return a line of feet without the beats in front of it, and what it says then; these are those of the line
        above, or of each of its times: `4 beats each   L R LR LR`."""
        found = _LASTING.match(entry.text)
        if not found or not feet_first(entry.text[found.end() :])[0] or not told.cues:
            return entry, text
        bare, size = entry.text[found.end() :], int(found["n"])
        if found["each"]:
            told.cues[-1].beats, told.cues[-1].per = size, True
        else:
            told.stated = told.stated or size
        return evolve(entry, text=bare, raw=bare, stated=0 if found["each"] else size), bare

    def _feet_under(self, cue: Cue, entry: Entry, text: str) -> bool:
        """Take the feet of a row, and marks behind them; return whether a line is that."""
        feet, marks = feet_first(text)
        if not feet and not (entry.number == self.counted and re.search(r"\w", text)):
            return False
        marks, before = second_foot(cue, marks, feet) if feet else text, cue.row
        if _OTHER_FOOT.fullmatch(marks) and max(cue.number, cue.times) == 2:
            marks = ""  # the second time
        if feet and _SAME_FEET.fullmatch(marks) and feet[-1] != feet[0] and max(cue.number, cue.times) == 2:
            marks = ""
        if feet:
            claps = "-" in feet.split()  # a clap has no foot
            under = [each.strip("-") for each in feet.split()] if claps else feet_of(re.sub(r"\bthen\b.*", "", feet))
            size, many = len(cue.row.codes) if cue.row else 0, max(cue.number, cue.times)
            if many > 1 and len(under) == size * many:  # those of each time
                cue.feet, under = cue.feet or "".join(each[:1] for each in under[::size]), under[:size]
            cue.row = cue.row and evolve(cue.row, feet=tuple(under))
        marks *= not (_alternates(cue, marks) or not spelled(marks).strip())  # `no turn`
        if marks and not self._marks_under(cue, evolve(entry, text=marks), True):
            words = re.fullmatch(r"\([^()\d]*\)", marks)
            if words or not risky(marks, self.body.reader) or _OTHER_FOOT.search(marks):
                cue.row = before
                return False
            self.body.key.reading.marks(cue, marks)
            cue.doubt, cue.text = cue.doubt or marks, f"{cue.text}, {marks}"
        return True

    def _marks_under(self, cue: Cue, entry: Entry, behind: bool = False) -> bool:
        """Take a line that says no more than how the cue above it turns, on which foot it is or where it goes; return
        whether it does. `behind` says that it stands behind feet."""
        told, key = self.body.pieces[-1].told[-1], self.body.key
        whole = told.cues == [cue] and not entry.gap
        made = marked(told, entry.text, key) if whole else None
        if made is None and (behind or self._at_row(entry, told)):
            made = noted(told, entry.text, key)
        if made is None:
            return False
        last = made.cues[-1]
        feet = re.search(r"(?i)\balt\b", entry.text) or 1 < len(last.feet) == last.times
        if last.times != cue.times and entry.number != self.counted and not (feet or behind):
            return False  # of it, or of all above
        told.cues, self.body.pending = made.cues, last
        return True

    def _spelled_out(self, cue: Cue, entry: Entry) -> bool:
        """Say whether a line is nothing but steps in words that are the footwork of the cue above it."""
        told, bare = self.body.pieces[-1].told[-1], cue.name and not entry.gap
        made = self.body.cued(entry.text) if bare and told.cues == [cue] else None
        steps = made and all(each.steps or each.row for each in made[0])
        found = spelled_out(told, Told(entry.number, entry.raw, *made), self.body.key) if made and steps else None
        if found is None or found.cues[-1].doubt:
            return False
        told.cues, self.body.pending = found.cues, found.cues[-1]
        return True

    def _spells(self, cue: Cue, entry: Entry) -> bool:
        """Say whether a row of codes spells the cue above it; then it is its footwork."""
        told, rows = self.body.pieces[-1].told[-1], found_in(entry.text, self.body.key.legend)
        named, self.shared = len(rows) != 1 or re.search(r"[A-Za-z]{3}", entry.text[: rows[0].start]), None
        if named or self._shares(told, entry, rows[0]) or self._other(cue, entry):
            return self.shared is not None
        rows[0] = evolve(rows[0], beats=rows[0].beats or self.above or self.body.key.under(entry))
        self.above = ()
        size, lines = rows[0].lasts(self.body.reader.book), Lines(self.body.cues, False)
        alone = lines.of(evolve(told, cues=[cue], inner=[], stated=0), [])
        whole, own = lines.lasts(lines.of(told, [])), lines.lasts(alone)
        footed = entry.text[rows[0].end :].strip() == "" and (
            self._deeper(entry, told) or self.body.key.spells(cue, rows[0])
        )
        feet = sum(each.times for item in alone for each in lines_of(item)) if footed else 1  # one of `Joey (L, R)`
        times = max(feet, cue.times, cue.number)
        if own and 0 < size < own and (row := self._going_on(entry, rows[0], own)):
            rows, size = [row], own
        apart = entry.stated and rows[0].once(times) == rows[0]  # several times of a figure are as many like rows
        own_steps = self.body.key.spells(cue, rows[0].once(times))
        if own and size == whole != own:  # all cues of the line in one row
            return True
        if size * times == told.stated != own:
            self.body.key.define(cue.name, rows[0])  # other footwork than the book's
        elif own and not cue.unknown and size not in (own, own // times) and not own_steps:
            return bool(re.fullmatch(r"\(.*\)", entry.text)) and self._beside(entry)
        elif own and self.body.cues.alike(cue.name, rows[0].row):
            self.body.key.define(cue.name, rows[0])  # as this sheet dances it
        elif own and not own_steps:
            return len(told.cues) == 1 and not (apart and times > 1) and self._beside(entry)
        cue.row = rows[0]
        rest = entry.text[rows[0].end :]
        if re.search(r"\w", rest):
            self.body.key.reading.marks(cue, rest)
        if cue.unknown or not own:
            learned(told.cues, cue, rows[0], self.body.key)
        return True

    def _deeper(self, entry: Entry, told: Told) -> bool:
        return entry.indent > next((each.indent for each in self.body.key.entries if each.number == told.number), 0)

    def _shares(self, told: Told, entry: Entry, row: Footwork) -> bool:
        """Say whether a line is the row of all cues of the line above it."""
        whole = not (entry.gap or re.search(r"\w", entry.text[row.end :])) and len(told.cues) > 1 and told.times == 1
        self.shared = row if whole and self.body.key.shares(told.cues, row) else None
        return self.shared is not None

    def _other(self, cue: Cue, entry: Entry) -> bool:
        """Say whether a row names a figure of its own, or the cue above it none; that figure may be the one above it
        where rows of the sheet have their names behind them."""
        if any(IS.fullmatch(each) for each in sentences(entry.text)[1:]):
            return True  # `DS DS DS RS. That's a Triple.`
        named = self._named(entry)
        return (
            not cue.name
            or bool(found_in(cue.name, self.body.key.legend))
            or bool(named and (key(named) != key(cue.name) or self._apart(entry)))
        )

    def _named(self, entry: Entry) -> str:
        said = self.body.cued(entry.text.replace('"', " "))
        return next((cue.name for cue in said[0] if cue.name), "") if said else ""

    def _apart(self, entry: Entry) -> bool:
        """Say whether another line than this one begins with a row and has its name behind it as well."""
        rows = ((each, found_in(each.text, self.body.key.legend)) for each in self.body.key.entries)
        behind = (each for each, found in rows if each is not entry and found and not found[0].start)
        return any(map(self._named, behind))

    def _going_on(self, entry: Entry, row: Footwork, own: int) -> Footwork | None:
        """Return a row with those on the lines below it, if they come to the beats of the cue above just together."""
        rows, taken = [row], set[int]()
        for each in (each for each in self.body.key.entries if each.number > entry.number):
            found = found_in(each.text, self.body.key.legend)
            if each.gap or len(found) != 1 or found[0].start or each.text[found[0].end :].strip():
                break
            rows.append(found[0])
            taken.add(each.number)
            if sum(one.lasts(self.body.reader.book) for one in rows) == own:
                self.taken |= taken
                return joined_rows(rows)
        return None

    def _beside(self, entry: Entry) -> bool:
        """Keep a row under a cue that has other footwork: it is danced if its part has just that room."""
        made = self.body.cued(entry.text.strip("()"))
        if made:
            self.body.pieces[-1].told.append(Told(entry.number, entry.raw, made[0], made[1], spare=True))
        return made is not None


def _alternates(cue: Cue, words: str) -> bool:
    """Give a cue of two times whose first foot is known the other one for the second, if words say just that; return
    whether they do."""
    first, said = cue.feet[:1] or (cue.row.feet[0][:1] if cue.row and cue.row.feet else ""), _SECOND.fullmatch(words)
    if not said or max(cue.number, cue.times) != 2 or cue.feet not in ("", first, first + OTHER.get(first, "")):
        return False
    if not first or (said["foot"] and SPOKEN_FEET[said["foot"].casefold()] != OTHER[first]):
        return False
    cue.feet = first + OTHER[first]
    return True


def _doubt(told: Told, words: str) -> None:
    """Leave the steps of a line in doubt, for feet or beats below them that they don't take."""
    for cue in told.cues:
        if cue.steps:
            cue.doubt, cue.unknown = cue.doubt or words, True


def _bare(entry: Entry) -> str:
    """Return a line without what a row is called in front of it."""
    return CELL.sub("", entry.raw)
