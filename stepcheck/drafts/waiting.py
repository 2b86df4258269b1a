"""A row of codes while the rows of its feet and of its beats are awaited, which stand under it."""

import re

from attrs import evolve

from stepcheck.drafts.codes import Row, feet_of, is_beats, is_feet
from stepcheck.drafts.cues import Cues
from stepcheck.drafts.outline import Line
from stepcheck.model.dance import TICKS


class Waiting:
    """A row with the feet and the beats that have been read under it; `stated` are the beats that stand before it, or 0."""

    def __init__(self, row: Row, stated: int) -> None:
        self.row, self.stated = row, stated
        self.feet: tuple[str, ...] = ()
        self.beats: tuple[str, ...] = ()

    @property
    def first(self) -> int:
        """The first beat that is written under it, 0 if none is."""
        return next((int(word.strip("&")) for word in self.beats if word.strip("&")), 0)

    @property
    def last(self) -> int:
        """The last beat that is written under it, 0 if none is."""
        return next((int(word.strip("&")) for word in reversed(self.beats) if word.strip("&")), 0)

    def takes(self, text: str) -> bool:
        """Take a line that holds nothing but feet, or nothing but beats; return whether it does."""
        if is_feet(text):
            self.feet = feet_of(text)
        elif is_beats(text):
            self.beats = tuple(re.findall(r"&?\d+|&", text))
        else:
            return False
        return True

    def line(self, cues: Cues) -> Line:
        """Return the row as a line, with what stands behind it."""
        line = cues.coded(self.row, self.feet)
        behind = re.sub(r"\(\d+ beats?\)", "", self.row.rest.replace('"', ""))
        line = cues.behind(line, re.sub(r"\bfwd\b", "forward", behind))
        if self.stated:
            line = evolve(line, counts=self.stated, stated=True)
        return self._placed(line)

    def _placed(self, line: Line) -> Line:
        """Return a row on the beats that stand under it, if some of its movements need them."""
        words = self.beats
        single = all(len(group) == 1 for group in self.row.codes)
        if not line.moves or len(words) != len(self.row.codes) or "&" not in words or not single or not self.first:
            return line
        tick = 0
        moves = []
        for move, word in zip(line.moves, words, strict=True):
            digits = re.sub(r"\D", "", word)
            tick = (int(digits) - self.first + 1) * TICKS if digits else tick - tick % TICKS + TICKS // 2
            moves.append(evolve(move, tick=tick))
        ticks = [move.tick for move in moves]
        return evolve(line, moves=tuple(moves)) if ticks == sorted(set(ticks)) and ticks[0] > 0 else line
