"""What a cue sheet's figures and the rows beside them are: which row is whose footwork."""

import itertools
import re
from collections.abc import Sequence

from attrs import evolve

from stepcheck.cues.codes import is_feet, sides
from stepcheck.cues.cue import Reading
from stepcheck.cues.entries import Entry
from stepcheck.cues.figures import Figures, nearly
from stepcheck.cues.footwork import Footwork, found_in
from stepcheck.cues.marks import Cue
from stepcheck.cues.tokens import spelled
from stepcheck.model.dance import key
from stepcheck.model.movements import Movement
from stepcheck.steps.outline import Line
from stepcheck.steps.words import NTHS

SHORT = re.compile(r"(?:(?<=^)|(?<=\d )|(?<=[,;/+&] ))[A-Z][A-Za-z]{1,3}(?![\w-])")
"""A word that may be short for a figure, where one is called."""

ENDS = re.compile(r"\W*(?:[.!]|$)")
"""The end of what a line says of a row."""


class Spelling:
    """Reads cues with the figures that are known by now, `cues`, and the codes of the sheet, `legend`."""

    cues: Figures
    legend: dict[str, tuple[str, ...]]
    entries: list[Entry]

    @property
    def reading(self) -> Reading:
        """What reads cues with the words that are known by now."""
        return Reading(self.cues.vocabulary, self.legend)

    def grouped(self, name: str, row: Footwork) -> Footwork:
        """Return a row with each of its groups on a beat, `DS DS BA-BA BA-S`, if that is how long all lines last that
        call its figure and state their beats, and its codes one by one last otherwise."""
        size, pairs = len(row.codes), [len(group) for group in row.codes if len(group) > 1]
        if row.beats or not pairs or max(pairs) > 2 or row.lasts(self.cues.book) == size:
            return row
        called = re.compile(rf"(?i)\W*(?:(\d)\s+(?:x\s*)?)?{re.escape(name.strip())}s?\b")
        told = [(each.stated, found) for each in self.entries if each.stated and (found := called.match(each.text))]
        if not told or any(stated != size * int(found[1] or 1) for stated, found in told):
            return row
        beats = (
            f"& {at}" if len(group) > 1 or group == ("RS",) else f"{'&' * (group == ('DS',))}{at}"
            for at, group in enumerate(row.codes, 1)
        )
        cells = row.feet if len(row.feet) == size else ("",) * size
        feet = [sides(group, cell) if len(group) > 1 else [cell] for group, cell in zip(row.codes, cells, strict=True)]
        feet = [
            cell if len(cell) == len(group) else [""] * len(group) for cell, group in zip(feet, row.codes, strict=True)
        ]
        notes = [[note, ""][: len(group)] for group, note in zip(row.codes, row.notes, strict=True)]
        return evolve(
            row,
            codes=tuple((each,) for group in row.codes for each in group),
            notes=tuple(itertools.chain(*notes)),
            feet=tuple(itertools.chain(*feet)) if any(map(any, feet)) else (),
            beats=tuple(" ".join(beats).split()),
        )

    def cues_of(self, text: str) -> list[Cue]:
        """Return the cues of a text, of which none has a row that is no footwork of it.

        A row that has the steps of several cues beside it is no one's; steps behind a name with nothing but a space
        between are danced as well where the figure has none of them, and are in doubt where it has others.
        """
        text = self._joined(text)
        out: list[Cue] = []
        for cue in self.reading.cues(text):
            if cue.row and out and self._footwork(out[-1], cue, text):
                continue
            out.append(cue)
            own, row = self._size(cue), cue.row
            many = row.lasts(self.cues.book) // own if row and own and cue.aside and not cue.number else 0
            if row and many > 1 and row.once(many) != row:  # `DS RS RS RS   DS RS RS RS   Chain`
                cue.number, cue.row = many, row.once(many)
            if row is None or not own or cue.aside:
                continue
            together = next((at for at in range(len(out) - 2, -1, -1) if self.shares(out[at:], row)), -1)
            if together >= 0:
                cue.row, first = None, out[together]
                first.feet = first.feet or "".join(row.feet[:1])[:1]
            elif cue.runs_on and row.lasts(self.cues.book) not in (own, own // max(1, cue.number)):
                cue.row = None
                if self._apart(cue.name, row):
                    out.append(Cue(text[row.start : row.end], row=row))
                else:
                    cue.doubt, cue.unknown = cue.doubt or text[row.start : row.end], True
            elif cue.runs_on and not (self.spells(cue, row.once(cue.number)) or self.cues.alike(cue.name, row.row)):
                cue.doubt = cue.doubt or text[row.start : row.end]
        named = out[0] if len(out) > 1 and out[0].aside else None
        if named and named.row and self.shares([evolve(named, row=None), *out[1:]], named.row):
            named.feet, named.aside, named.row = named.feet or "".join(named.row.feet[:1])[:1], "", None
        return out

    def _joined(self, text: str) -> str:
        """Return a text with a dash for the comma between a figure and its footwork, where the figure has a number or
        marks stand behind: `2 Basics, DS RS, L R`."""
        for row in reversed(found_in(text, self.legend)):
            if not (comma := re.search(r"(?<=[\w)]),\s*$", text[: row.start])):
                continue
            bare = f"{text[: comma.start()]} - {text[row.start :]}"
            for cue in self.reading.cues(bare):
                own = cue.row and cue.row.codes == row.codes and cue.name and not (cue.unknown or cue.doubt)
                if own and (self.spells(cue, row.once(cue.number)) or self.cues.alike(cue.name, row.row)):
                    marked = cue.number > 1 or cue.turns or (cue.feet and re.search(r"\w", text[row.end :]))
                    text = bare if marked else text
        return text

    def _footwork(self, named: Cue, cue: Cue, text: str) -> bool:
        """Take the row of a sentence behind a figure as its footwork: `2 Basics. Double step, rock step.`"""
        row, bare = cue.row, named.name and not (named.row or named.steps or named.doubt)
        stops = row is not None and re.search(r"[a-z)][.!]+\s*$", spelled(text)[: row.start])
        if not row or not bare or not stops or cue.name or cue.number or cue.times or cue.turns or cue.doubt:
            return False
        feet = cue.feet or "".join(row.feet[:1])[:1]
        if (feet and named.feet and feet[0] != named.feet[0]) or not (named.number if named.unknown else True):
            return False
        if not (self.spells(named, row.once(named.number)) or self.cues.alike(named.name, row.row)):
            same = row.lasts(self.cues.book) * max(1, named.number, named.times) == self._size(named)
            named.doubt = cue.text * (same and len(row.codes) > 2 and not found_in(text, self.legend))
            return bool(named.doubt)
        named.row, named.feet = evolve(row, feet=()), named.feet or feet
        named.notes += [each for each in cue.notes if each != "times"]
        return True

    def _size(self, cue: Cue) -> int:
        """Return how many beats a cue lasts as its figure is known, 0 if it is not."""
        return 0 if cue.unknown else self.cues.beats(Line(name=cue.name, times=max(1, cue.number, cue.times)))

    def shares(self, cues: Sequence[Cue], row: Footwork) -> bool:
        """Say whether a row is the footwork of several cues, one behind the other."""
        steps = [[*cue.steps] * max(1, cue.number, cue.times) if not cue.name else [] for cue in cues]
        sizes = [
            self.cues.beats(self.cues.stepped(walked)) if walked else self._size(cue) * (not cue.steps)
            for cue, walked in zip(cues, steps, strict=True)
        ]
        if not all(sizes) or any(cue.row for cue in cues[:-1]) or sum(sizes) != row.lasts(self.cues.book):
            return False
        versions = [
            [self.cues.moves([code for step in walked for code in step.codes])]
            if walked
            else [each * max(1, cue.number, cue.times) for each in self._known(cue.name)]
            for cue, walked in zip(cues, steps, strict=True)
        ]
        moves = self._moves(row)
        return any(nearly([*itertools.chain(*each)], moves) for each in itertools.product(*versions))

    def next_time(self, cue: Cue, entry: Entry, nth: int) -> bool:
        """Say whether a line is the row of a cue for the time of it behind the `nth`; the turn behind it, if the cue
        has none, is that time's."""
        found, many = found_in(entry.text, self.legend), max(cue.number, cue.times)
        if cue.row is None or len(found) != 1 or found[0].start or nth >= min(many, len(NTHS)) or found[0].feet:
            return False
        size, said = found[0].lasts(self.cues.book), Cue("")
        self.reading.marks(said, entry.text[found[0].end :])
        turns = said.turns if said == Cue("", turns=said.turns) else [None]
        own = (cue.turns, cue.on) in ([], (turns, NTHS[nth]), (turns, "last" * (nth + 1 == many)))
        alike = found[0].row.codes == cue.row.row.codes and entry.stated in (0, size, size * many)
        if not alike or (turns and cue.turns and not own) or None in turns:
            return False
        if turns and not cue.turns:
            cue.turns, cue.on = [*said.turns], NTHS[nth]
        return True

    def _moves(self, row: Footwork) -> list[Movement]:
        return self.cues.moves([each for group in row.codes for each in group])

    def _known(self, name: str) -> list[list[Movement]]:
        """Return the movements of a figure in the sheet, or those of the book."""
        own = self.cues.defined.get(key(name))
        return [self.cues.moves(own.row.split())] if own else self.cues.known(name)

    def _apart(self, name: str, row: Footwork) -> bool:
        """Say whether a figure has none of the movements of a row."""
        return not any(move in one for move in self._moves(row) for one in self._known(name))

    def spells(self, cue: Cue, row: Footwork) -> bool:
        """Say whether a row is the footwork that a cue has in the sheet or in the book, if it has any."""
        said = [each for group in row.codes for each in group]
        if cue.unknown and key(cue.name) not in self.cues.defined:
            return True
        return self.cues.spells(cue.name, said)

    def guessed(self, lines: list[Entry]) -> list[Entry]:
        """Return the lines with the figures for words that the sheet does not explain and that shorten just one, where
        each line with stated beats that has them then lasts just these, which is assumed."""
        stated = [entry for entry in lines if entry.stated]
        found = {short for entry in stated for short in SHORT.findall(entry.text)}
        said = {short: name for short in sorted(found) if (name := self.cues.shortened(short))}

        def told(entry: Entry) -> str:
            return SHORT.sub(lambda at: said.get(at[0], at[0]), entry.text)

        for entry in stated:
            if told(entry) != entry.text and sum(map(self._size, self.cues_of(told(entry)))) != entry.stated:
                for short in SHORT.findall(entry.text):
                    said.pop(short, "")
        for short, name in said.items():
            self.cues.assumed.add(f"{short} is {name}")
        return [evolve(entry, text=told(entry)) for entry in lines]


def feet_first(text: str) -> tuple[str, str]:
    """Return the feet with which a text begins, three of them at least, or two before a gap, "" if it begins with none,
    and what stands behind these."""
    if is_feet(text):
        return text, ""
    found = re.match(r"((?:[LR]{1,2}\s+){2,}[LR]{1,2}|[LR]{1,2}\s+[LR]{1,2}(?=\s{2}))\s+(?=\S)", text)
    return (found[1], text[found.end() :]) if found else ("", "")
