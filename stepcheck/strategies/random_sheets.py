"""Random sheets as text, with every construct of the language, for hypothesis and for a plain seed.

The writer only ever picks one of a few options, so a sheet is as small as the picks are early.  Lengths are kept track
of, so that most claims about beats have a chance to hold.
"""

from random import Random

from stepcheck.strategies import pieces as stock
from stepcheck.strategies.pieces import BLANKS, FEET, FIGURES, WALLS, WAYS, Pick


class Writer:
    """Writes one sheet; `tastes` are what it has more of."""

    def __init__(self, pick: Pick, huge: bool = False, taste: str = "") -> None:
        self.pick, self.huge = pick, huge
        self.tastes: set[str] = {pick(stock.TASTES), pick(stock.TASTES)} | ({taste} if taste else set())
        self.kind = taste if taste in BLANKS else ""
        if self.kind:
            self.tastes -= {"until", "nested", "never", "counts", "blanks"}
        self.blanks = pick((1, 1, 2)) if self.kind or "blanks" in self.tastes else 0
        self.sizes = (1, 1, 1, 2) if self.blanks else (1, 2, 2, 3)
        self.parts: list[tuple[str, int]] = []
        self.groups: tuple[str, ...] = (
            pick(stock.FLOORS) if taste == "groups" or (taste == "travel" and self.chance(3)) else ()
        )
        self.mirror = bool(self.groups) and self.chance(2)
        self.travels = taste == "travel" or (bool(self.groups) and self.chance(2))

    def chance(self, odds: int, taste: str = "") -> bool:
        """Say yes once in `odds` times, three times as often to one's taste."""
        return not self.pick(range(max(odds // 3, 2) if taste in self.tastes else odds))

    def sheet(self) -> str:
        """Return the text of a sheet."""
        pick = self.pick
        book = pick(("line", "line", "clogging"))
        own = sorted({pick(range(len(FIGURES))) for _ in range(pick((2, 3, 4)))})
        if "both" in self.tastes:
            own = sorted({*own, 6, 7})
        if "readings" in self.tastes:
            own = sorted({*own, 13})
        rows = [FIGURES[n] for n in own]
        if book == "clogging":  # upbeats and beats are placed otherwise
            rows = [row for row in rows if not {"TCH", "HOP"} & set(row[1].split())] or [FIGURES[0]]
        self.figures = [(row[0].split(",")[0], row[2]) for row in rows]
        self.figures += [] if self.travels and not self.chance(9) else [pick(stock.BOOK[book])]
        parts: list[str] = []
        few = self.tastes & {"walls", "blanks", *BLANKS}  # fillings are gone through, so that such a sheet is small
        for name in "ABC"[: pick((1, 1, 1, 2) if few else (1, 1, 2, 2, 3))]:
            parts += self.part(name)
        dance = self.dance()
        head = self.header(book)
        ways = [f", {pick(WAYS)}" if self.travels and not self.chance(9) else "" for _ in rows]
        own_rows = [f"  {name}{way}: {moves}" for (name, moves, _), way in zip(rows, ways, strict=True)]
        text = [*head, "", "figures:", *own_rows, "", *parts, *dance]
        return "\n".join(text) + "\n"

    def header(self, book: str) -> list[str]:
        """Write the header."""
        pick = self.pick
        head = [f"book: {book}"]
        if self.chance(3):
            head.append(f"lead: {pick(('left', 'right'))}")
        if self.chance(5):
            head.append(f"facing: {pick(WALLS)}")
        if self.chance(10):
            head.append("wait: 8 beats")
        if self.chance(9, "readings"):
            head.append(f"stomp: {pick(('takes weight', 'no weight'))}")
        head = self.floor(head) if self.groups else head
        if (self.endless or len(self.parts) == 1) and ("walls" in self.tastes or self.chance(3)):
            head.append(f"walls: {pick((1, 2, 4, 4, 1, 8, 3))}")
        return head

    def floor(self, head: list[str]) -> list[str]:
        """Return a header with the groups of the floor, how they begin and what holds between them."""
        pick = self.pick
        head.append(f"groups: {', '.join(self.groups)}")
        starts = ("lead right", "lead left", f"facing {pick(WALLS)}", f"lead right, facing {pick(WALLS)}")
        begins: dict[str, list[str]] = {group: [] for group in self.groups}
        if self.mirror:
            head = [line for line in head if not line.startswith("lead")] + ["lead: left"]
            for group in self.groups[1::2]:
                begins[group].append("lead right")
        else:
            for group in self.groups:
                begins[group] += [pick(starts)] if self.chance(4) else []
        for group in self.groups[not self.chance(4) :] if self.travels else ():
            begins[group] += [f"start {pick(WAYS[1:])}" for _ in range(pick((1, 1, 2)))]
        head += [f"{group}: {', '.join(said)}" for group, said in begins.items() if said]
        head += [f"each section: {self.relation()}"] if self.chance(2) else []
        return head

    def relation(self) -> str:
        """Return what holds between the groups."""
        return str(self.pick(stock.APART if self.travels else stock.RELATIONS))

    # -- parts ---------------------------------------------------------------------------------------------------------

    def part(self, name: str) -> list[str]:
        """Write a part with its contract."""
        body: list[str] = []
        beats = self.lines(body, "  ", "part", 2)
        pieces = []
        if self.chance(2, "contracts"):
            pieces.append(f"{self.near(beats)} counts")
        if self.chance(3, "contracts") or ("turns" in self.tastes and self.chance(2)):
            pieces.append(self.pick(stock.TOTALS))
        if self.chance(6, "contracts"):
            pieces.append(f"{self.pick(WALLS)} to {self.pick(WALLS)}")
        if self.chance(3, "feet"):
            pieces.append(self.pick(stock.ENDS))
        if self.chance(12, "times") and pieces:
            kinds = (f"{beats + 1} counts", f"{beats or 1} counts", self.pick(stock.TOTALS))
            kind = self.pick((*kinds, "right foot to left foot", "left foot to left foot", "front to back"))
            pieces.append(f"{self.pick(('2nd', '2nd', '1st', '3rd'))} time {kind}")
        if self.travels:
            pieces.append(self.pick(("returns", "returns", "within 2 steps", "within 3 steps, returns")))
        if self.chance(2):
            pieces.reverse()
        self.parts.append((name, beats))
        return [f"part {name}:" + " " * bool(pieces) + ", ".join(pieces), *body, ""]

    def near(self, beats: int) -> int:
        """Return a number of beats that is mostly right."""
        return max(1, beats + int(self.pick((0, 0, 0, 0, 0, 0, 1, -1))))

    def lines(self, out: list[str], deep: str, place: str, depth: int) -> int:
        """Write a few lines, and return how many beats they last the first time."""
        if place == "part" and depth and self.chance(8, "counts"):
            return self.headings(out, deep, depth)
        return sum(self.line(out, deep, place, depth) for _ in range(self.pick(self.sizes if depth > 1 else (1, 1, 2))))

    def headings(self, out: list[str], deep: str, depth: int) -> int:
        """Write headings of counts, mostly right, that may number anew."""
        total, at = 0, 0
        for number in range(self.pick((1, 2, 2, 3))):
            body: list[str] = []
            beats = self.lines(body, deep + "  ", "part", depth - 1)
            if number and self.chance(4):
                at = 0
            first, last = at + 1 + self.pick((0,) * 9 + (1,)), at + beats + self.pick((0,) * 9 + (1,))
            marks = f", {self.pick((*FEET, 'both feet'))}" if self.chance(4, "feet") else ""
            marks += f", facing {self.pick(WALLS)}" if self.chance(5) else ""
            out += [f"{deep}counts {first}-{max(first, last)}{marks}:", *body]
            at += beats
            total += beats
        return total

    def line(self, out: list[str], deep: str, place: str, depth: int) -> int:
        """Write one line with what stands under it."""
        body: list[str] = []
        if self.groups and place.startswith(("dance", "until")) and self.chance(3):
            return self.together(out, deep)
        if depth and self.chance(2 if self.kind == "? times" and self.blanks else 7, "nested"):
            times = self.many()
            beats = self.lines(body, deep + "  ", place + " times", depth - 1)
            blank = self.blank(4, "? times")
            out += [f"{deep}{'?' if blank else times} times:", *body]
            return beats * times
        if depth and ("times" in place or place == "part") and self.chance(9, "times"):
            only = self.pick(stock.ONLY)
            beats = self.lines(body, deep + "  ", place, depth - 1)
            out += [f"{deep}{only}:", *body]
            return beats if only in stock.FIRST else 0
        if self.chance(8):
            states = [self.pick(stock.STATES), f"facing {self.pick(WALLS)}"]
            out.append(f"{deep}expect {', '.join(states[: self.pick((1, 2))] if self.chance(2) else states[1:])}")
            return 0
        if self.chance(16):
            out.append(f"{deep}hold {self.pick((1, 2))} counts")
            return int(out[-1].split()[1])
        if self.blank(12, "? beats"):
            out.append(f"{deep}? 2 counts")
            return 2
        several = self.chance(9, "choices")
        options = [self.option(place, 9 if several else 1) for _ in range(2 if several else 1)]
        out.append(deep + " | ".join(text for text, _ in options))
        return options[0][1]

    def together(self, out: list[str], deep: str) -> int:
        """Write what each group dances, often alike or one after the other, and what holds between them then."""
        first: list[str] = []
        out.append(f"{deep}together:")
        if self.mirror and self.parts and not self.chance(4):
            name, beats = self.pick(self.parts)
            out += [f"{deep}  {group}: {name}" + ", mirrored" * (at % 2) for at, group in enumerate(self.groups)]
            out += [f"{deep}expect {self.pick(stock.RELATIONS[2:])}"] if self.chance(2) else []
            return int(beats)
        beats = self.lines(first, deep + "    ", "group", 1)
        for group in self.groups:
            body, wait = list(first), self.pick((0, 0, 0, 2))
            if group != self.groups[0] and self.chance(2):
                body = []
                self.lines(body, deep + "    ", "group", 1)
            if wait and len(body) == 1 and not body[0].lstrip().startswith(("hold", "expect", "?")):
                out.append(f"{deep}  {group}: wait {wait} counts, {body[0].lstrip()}")
            else:
                rest = [f"{deep}    hold {wait} counts"] if wait else []
                out += [f"{deep}  {group}:", *(rest + body if self.chance(2) else body + rest)]
        if self.chance(2):
            out.append(f"{deep}expect {self.relation()}")
        return beats

    def blank(self, odds: int, kind: str) -> bool:
        """Say whether to write a blank of a kind here; there are at most two."""
        if self.blanks and self.kind in ("", kind) and self.chance(2 if self.kind else odds, "blanks"):
            self.blanks -= 1
            return True
        return False

    def many(self) -> int:
        """Return how many times something is danced."""
        return int(self.pick(stock.HUGE if self.huge and self.chance(2) else (2, 3, 2, 4)))

    def option(self, place: str, seldom: int) -> tuple[str, int]:
        """Write a figure or a part, this `seldom`, with its marks; return the beats too."""
        if self.parts and self.chance((6 if place.startswith("part") else 2) + seldom - 1):
            name, beats = self.pick(self.parts)
            return self.danced(name, beats)
        name, beats = self.pick(self.figures)
        times, count = 1, ""
        if self.chance(4, "times"):
            times = self.many()
            count = f" x{times}"
        elif self.blank(6, "x?"):
            count, times = " x?", 2
        marks = []
        if self.chance(2 if self.kind == "? foot" and self.blanks else 7, "feet"):
            marks.append("? foot" if self.blank(2, "? foot") else self.pick((*FEET, *FEET, "both feet")))
        if self.chance(2 if self.kind == "? turn" and self.blanks else 4, "turns"):
            turn = "turn ?" if self.blank(3, "? turn") else self.pick(stock.TURNS)
            turn += " @1" if turn != "no turn" and self.chance(8, "cuts") else ""
            if ("times" in place or times > 1) and self.chance(2):
                turn += f" {self.pick(stock.ON)}"
            marks.append(turn)
        if self.chance(10):
            marks.append(f"facing {self.pick(WALLS)}")
        if self.chance(12):
            marks.append(f"{self.near(beats * times)} counts")
        if self.travels and (any("turn " in mark for mark in marks) or self.chance(2)) and not self.chance(9):
            marks.append(self.pick(WAYS))
        return ", ".join((name + count, *marks)), beats * times

    def danced(self, name: str, beats: int) -> tuple[str, int]:
        """Write a line that dances a part."""
        times = self.pick((1, 1, 1, 2, 3)) if self.chance(2) else 1
        if self.huge and self.chance(3):
            times = self.pick(stock.HUGE)
        marks = []
        if self.chance(7, "feet"):
            marks.append(self.pick((*FEET, "both feet")))
        if self.chance(8, "cuts") and beats > 1:
            beats = self.pick(range(1, beats + 1)) if beats < 50 else self.pick((1, 2, 4, 16))
            half = beats % 5 == 3  # some cuts fall between beats
            marks.append(f"first {beats - half}{' 1/2' * half} counts")
        if self.chance(9, "swaps") or ("swaps" in self.tastes and self.chance(2)):
            marks.append(self.pick(("opposite foot", "mirrored")))
        if self.chance(12):
            marks.append(f"facing {self.pick(WALLS)}")
        return ", ".join((name + (f" x{times}" if times > 1 else ""), *marks)), beats * times

    # -- the dance -----------------------------------------------------------------------------------------------------

    def dance(self) -> list[str]:
        """Write the dance, with the music before it if there is any."""
        self.endless = bool(self.tastes & {"until", "walls"}) or (not self.blanks and self.chance(3))
        self.endless &= not (self.groups and self.chance(2))
        if "never" not in self.tastes or self.chance(3):
            self.parts = self.parts or [("A", 1)]
        else:
            self.parts = self.parts[1:] or self.parts
        music = "music" in self.tastes or self.chance(8)
        rows: list[str] = []
        sections: list[tuple[str, int]] = []
        total = 0
        for _ in range(self.pick((1, 2, 3)) if music else 1):
            body: list[str] = []
            beats = self.lines(body, "    " if music else "  ", "dance", 1 if music else 2)
            name = self.pick(("verse", "chorus"))
            sections.append((name, self.near(beats)))
            rows += [f"  {name}:", *body] if music else body
            total += beats
        if self.endless:
            tail, lap = self.tail()
            rows += tail
            if music:
                beats = sections[-1][1] + self.pick((1, 2, lap, lap + 1, 2 * lap, 3 * lap + 1))
                sections[-1] = (sections[-1][0], beats)
                if self.chance(3):
                    sections.append(("tail", self.pick((1, 2, 4))))
        length = ""
        if self.chance(10, "music"):
            length = f" {self.near(total + (self.pick((1, 4, 7)) if self.endless and not music else 0))} counts"
        out = [f"dance:{length}", *rows]
        if not self.endless and self.chance(3):
            out.append(f"  expect {self.pick(FEET)}, facing {self.pick(WALLS)}")
        if self.groups and not self.endless and self.chance(2):
            out.append(f"  expect {self.relation()}")
        if music:
            out = ["music:", *(f"  {name} {beats}" for name, beats in sections if beats), "", *out]
        return out

    def tail(self) -> tuple[list[str], int]:
        """Write what goes on until the music ends; return the beats of a pass too."""
        name, beats = self.pick(self.parts)
        if self.chance(2):
            foot = f", {self.pick(FEET)}" if self.chance(8) else ""
            return [f"  {name} until the music ends{foot}"], max(beats, 1)
        body: list[str] = []
        beats = self.lines(body, "    ", "until times", 1)
        return ["  until the music ends:", *body], max(beats, 1)


def random_sheet(seed: int, huge: bool = False, taste: str = "") -> str:
    """Return the sheet of a seed, without hypothesis choosing.

    Args:
        seed: any number; the same one gives the same sheet in one version of stepcheck.
        huge: whether repeats go up to 10**9.
        taste: what it has more of; empty for what the seed says.
    """
    pick = Random(seed).choice
    while True:
        text = Writer(pick, huge, taste).sheet()
        if taste not in BLANKS or "?" in text:
            return text
