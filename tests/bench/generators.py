"""Sheets for measuring: distinct, realistic, the same for the same seed."""

from math import gcd
from pathlib import Path
from random import Random

LEADS = ("left", "right")
NAMES = ("Lane", "Weir", "Lock", "Gate", "Quay", "Wharf", "Bridge", "Mill")
FIRSTS = ("Copper", "Quiet", "Long", "Early", "Lower", "Silver", "Old", "Windy", "Third", "Salt")
SECONDS = ("Kettle", "Lantern", "Ferry", "Barge", "Heron", "Slipway", "Sluice", "Bell", "Rope", "Tide")
AUTHORS = ("Wenna Pike", "Tam Orrell", "Ida Stell", "Joss Marner")
NOTES = ("(moving left)", "(moving right)", "(forward)", "(back)")
TURNS = {1: "1/8", 2: "1/4", 4: "1/2", 6: "3/4", 8: "full"}

# Figures of the shipped books: beats, whether the other foot is free afterwards, whether a line may turn them.
CLOGGING = {
    "Basic": (2, True, False),
    "Triple": (4, True, False),
    "Fancy Double": (4, False, False),
    "Rocking Chair": (4, False, True),
    "Push-off": (4, True, True),
    "Cowboy": (8, False, False),
    "Clog-over Vine": (8, True, False),
    "Charleston": (4, False, False),
    "Walk Four": (4, False, False),
    "Joey": (4, True, False),
    "Triple Brush": (4, True, False),
    "Triple Kick": (4, True, False),
    "Samantha": (8, False, True),
    "Slur Vine": (4, True, False),
    "Triple Loop": (4, False, True),
}
LINE = {
    "Vine": (4, True, True),
    "Shuffle": (2, True, True),
    "Jazz Box": (4, False, True),
    "Rock Step": (2, False, False),
    "Rocking Chair": (4, False, False),
    "Step Touch": (2, True, False),
    "Toe Strut": (2, True, False),
    "Kick Ball Change": (2, False, False),
    "Coaster Step": (2, True, False),
    "Mambo": (2, True, False),
}


def side(eighths: int) -> str:
    """Return the side that a turn goes to, in words."""
    return "right" if eighths > 0 else "left"


class Part:
    """A part being written: its rows, and what they come to."""

    def __init__(self, random: Random, figures: dict[str, tuple[int, bool, bool]], beats: int) -> None:
        self.rows: list[str] = []
        self.flips, self.turn, self.beats = False, 0, beats
        left = beats
        while left:
            left -= self._row(random, figures, left)

    def _row(self, random: Random, figures: dict[str, tuple[int, bool, bool]], left: int) -> int:
        """Add a row or a block, and return its beats."""
        name = random.choice([one for one, (beats, _, _) in figures.items() if beats <= left])
        beats, flips, turns = figures[name]
        turn = random.choice((-4, -2, 2, 4)) if turns and random.random() < 0.5 else 0
        times = random.choice([one for one in (1, 1, 1, 2, 2, 4) if one * beats <= left])
        said = f"{name}, turn {TURNS[abs(turn)]} {side(turn)}" if turn else name
        block = times == 2 and 4 * beats <= left and random.random() < 0.4
        if block:
            inner = random.choice([one for one, (long, _, _) in figures.items() if long == beats])
            self.rows += ["2 times:", f"  {said}", f"  {inner}"]
            self.turn += 2 * turn
            return 4 * beats  # twice a figure and another: the foot is where it was
        note = f" {random.choice(NOTES)}" if random.random() < 0.15 else ""
        self.rows.append((said if times == 1 else said.replace(name, f"{name} x{times}", 1)) + note)
        self.flips ^= flips and times % 2 == 1
        self.turn += turn * times
        return beats * times

    def contract(self) -> str:
        """Return what the part claims."""
        pieces = [f"{self.beats} beats"]
        if abs(self.turn) in TURNS:
            pieces.append(f"{TURNS[abs(self.turn)]} turn {side(self.turn)}")
        return ", ".join((*pieces, f"left foot to {LEADS[self.flips]} foot"))


def clogging(random: Random, title: str) -> list[str]:
    """Return a clogging routine."""
    lines = [f"routine: {title}", "book: clogging", "level: intermediate, club scheme", "lead: left"]
    lines += [f"tempo: {random.randrange(100, 140, 2)}", "wait: 16 beats", f"author: {random.choice(AUTHORS)}"]
    dance, facing = ["dance:"], 0
    for name in random.sample(NAMES, random.choice((4, 5))):
        part = Part(random, CLOGGING, random.choice((16, 32, 32)))
        lines += ["", f"part {name}: {part.contract()}", *(f"  {row}" for row in part.rows)]
        lines += [f"  expect {LEADS[part.flips]} foot"] if random.random() < 0.4 else []
        dance.append(f"  {name}")
        if part.flips:
            dance.append(f"  {name}, opposite foot")
        facing += part.turn * (1 + part.flips)
    dance.append(f"  expect facing {('front', 'right wall', 'back', 'left wall')[facing % 8 // 2]}, left foot")
    return [*lines, "", *dance]


def line_dance(random: Random, title: str) -> list[str]:
    """Return a line dance of 64 counts, each eight of them under a heading."""
    lines = [f"routine: {title}", "book: line", "level: beginner, club scheme", "lead: right"]
    lines += [f"tempo: {random.randrange(100, 140, 2)}", "wait: 32 counts"]
    body, foot, turn, restart = [], 1, 0, False
    for number in range(8):
        restart |= number == 2 and foot == 1
        eight = Part(random, LINE, 8)
        head = f", {LEADS[foot]} foot" if random.random() < 0.5 else ""
        body += [f"  counts {8 * number + 1}-{8 * number + 8}{head}:", *(f"    {row}" for row in eight.rows)]
        foot, turn = foot ^ eight.flips, turn + eight.turn
    if foot != 1:
        body += ["  counts 65-68:", "    Vine"]
    walls = 8 // gcd(turn, 8)
    lines += [f"walls: {walls}", "", f"part Main: {68 if foot != 1 else 64} counts", *body, "", "dance:", "  Main x2"]
    return [
        *lines,
        "  Main, first 16 counts" if restart else "  Main",
        "  Rocking Chair",
        "  Main until the music ends",
    ]


def spoilt(random: Random, lines: list[str]) -> list[str]:
    """Return a routine with one mistake: a row danced once more."""
    row = random.choice(
        [n for n, line in enumerate(lines) if line.startswith("  ") and line.strip() in CLOGGING] or [-1]
    )
    return [*lines[:row], lines[row], *lines[row:]] if row >= 0 else lines


def sheet(seed: int, number: int) -> str:
    """Return sheet `number` of the catalogue with this seed: 40 to 80 lines; one in sixteen has a mistake."""
    random = Random(f"{seed}/{number}")
    title = f"{FIRSTS[number % 10]} {SECONDS[number // 10 % 10]} {number}"
    while True:
        lines = clogging(random, title) if random.random() < 0.7 else line_dance(random, title)
        if 40 <= len(lines) <= 78:
            break
    return "\n".join(spoilt(random, lines) if number % 16 == 15 else lines) + "\n"


def write(folder: Path, many: int, seed: int = 1) -> list[Path]:
    """Write the sheets of a catalogue to a folder and return their paths."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for number in range(many):
        paths.append(folder / f"sheet_{number:05}.routine")
        paths[-1].write_text(sheet(seed, number), "utf-8")
    return paths


def as_yaml(text: str) -> str:
    """Return a sheet as a list in YAML: a mapping a line with figure, count, turn and foot."""
    out = []
    for line in filter(None, map(str.strip, text.splitlines())):
        head, _, rest = line.partition(", turn ")
        name, _, times = head.partition(" x")
        foot = "left" if "left foot" in line else "right" if "right foot" in line else "free"
        fields = {"figure": name, "count": times if times.isdigit() else "1", "turn": rest or "none", "foot": foot}
        out.append("- " + "\n  ".join(f"{key}: {_scalar(value)}" for key, value in fields.items()))
    return "\n".join(out) + "\n"


def _scalar(value: str) -> str:
    return f'"{value}"' if ":" in value or "|" in value else value


def long_sheet(lines: int) -> str:
    """Return a sheet of about so many lines: parts of sixteen rows, and a dance of them all."""
    many = max(1, lines // 20)
    random = Random(lines)
    parts, dance = [], []
    for number in range(many):
        part = Part(random, CLOGGING, 32)
        while len(part.rows) < 17:
            more = Part(random, CLOGGING, 16)
            part.rows += more.rows
            part.flips, part.turn, part.beats = part.flips ^ more.flips, part.turn + more.turn, part.beats + more.beats
        parts += [f"part P{number}: {part.contract()}", *(f"  {row}" for row in part.rows)]
        dance += [f"  P{number}"] + ([f"  P{number}, opposite foot"] if part.flips else [])
    return "\n".join(("routine: Long Rope", *parts, "dance:", *dance)) + "\n"


def repeated(times: int) -> str:
    """Return a sheet whose rows are danced so many times."""
    return (
        f"routine: Long Rope\n\npart Pull: left foot to left foot\n  {times} times:\n    Triple\n    Push-off\n"
        f"  Rocking Chair x{times}\n\ndance:\n  Pull x{times}\n  expect facing front, left foot\n"
    )
