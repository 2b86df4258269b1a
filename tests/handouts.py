"""Handouts: an invented dance as a teacher types it, in a layout drawn by chance, and the landings that it means.

The words are common practice of teachers; what each movement means (`MOVES`) is from memory of the trade, written down
here and nowhere taken from the program. A landing is the foot that comes down on a count, bearing the weight or not.
"""

from random import Random

from attrs import frozen

from stepcheck.model.claims import Check
from stepcheck.model.dance import (
    EIGHTHS,
    TICKS,
    Body,
    Forever,
    Lap,
    Last,
    Lined,
    Pass,
    Program,
    Repeat,
    Rest,
    Step,
    Timed,
    Together,
)
from stepcheck.model.movements import Actor

SECTION = 8
"""The counts of a section."""

Landing = tuple[int, int, bool]
"""The tick from the start, the foot (0 left, 1 right), and whether it takes the weight."""
Row = tuple[int, int, tuple[tuple[str, int], ...]]
"""The first and the last count of a row in its section, and its movements with the foot that begins each."""


@frozen
class Move:
    """A movement of line dance: its counts, the feet that come down, and the ways to type it.

    `feet` has a letter a count or, with `&`, a letter each half count: F the foot that begins, O the other, a capital
    for a step that takes the weight, `.` for none. `turn` is in eighths, towards the foot that begins.
    """

    counts: int
    feet: str
    ways: tuple[str, ...]
    turn: int = 0

    def landings(self, foot: int, tick: int) -> list[Landing]:
        """Return what comes down when the movement begins with a foot at a tick."""
        each = TICKS // 2 if "&" in self.feet else TICKS
        letters = [letter for letter in self.feet if letter not in "& "]
        return [
            (tick + each * at, foot if letter in "Ff" else 1 - foot, letter.isupper())
            for at, letter in enumerate(letters)
            if letter != "."
        ]

    def free(self, foot: int) -> int:
        """Return the foot that is free afterwards, of that which begins."""
        weight = [letter for letter in self.feet if letter in "FO"]
        return foot if not weight else 1 - foot if weight[-1] == "F" else foot


MOVES = {
    "side": Move(1, "F", ("step {R} to side", "{R} to side", "side {R}", "step {R} to the side")),
    "forward": Move(1, "F", ("step {R} forward", "step fwd on {R}", "{R} forward", "walk forward {R}")),
    "back": Move(1, "F", ("step {R} back", "{R} back", "step back on {R}", "walk back {R}")),
    "together": Move(1, "F", ("step {R} beside {O}", "step {R} next to {O}", "close {R} to {O}")),
    "cross": Move(1, "F", ("cross {R} over {O}", "step {R} across {O}", "cross {R} in front of {O}")),
    "behind": Move(1, "F", ("step {R} behind {O}", "cross {R} behind {O}", "{R} behind")),
    "touch": Move(1, "f", ("touch {R} beside {O}", "touch {R} next to {O}", "tap {R} beside {O}", "touch {R}")),
    "point": Move(1, "f", ("point {R} to side", "point {R} toe to side", "{R} point to the side")),
    "kick": Move(1, "f", ("kick {R} forward", "kick {R}", "{R} kick fwd", "low kick {R}")),
    "heel": Move(1, "f", ("touch {R} heel forward", "{R} heel fwd", "tap {R} heel in front")),
    "scuff": Move(1, "f", ("scuff {R}", "{R} scuff", "scuff {R} heel")),
    "hitch": Move(1, "f", ("hitch {R}", "hitch {R} knee", "{R} hitch")),
    "hold": Move(1, ".", ("hold", "HOLD", "pause")),
    "clap": Move(1, ".", ("clap", "clap hands")),
    "rock_forward": Move(
        2, "FO", ("rock {R} forward, recover {O}", "rock fwd on {R}, recover on {O}", "rock {R} forward, recover")
    ),
    "rock_back": Move(2, "FO", ("rock {R} back, recover {O}", "rock back {R}, recover onto {O}")),
    "rock_side": Move(2, "FO", ("rock {R} to side, recover {O}", "side rock {R}, recover {O}")),
    "shuffle": Move(
        2, "F&OF.", ("shuffle forward {R}, {O}, {R}", "{R} shuffle forward", "shuffle fwd ({R}, {O}, {R})")
    ),
    "chasse": Move(2, "F&OF.", ("chasse {R}, {O}, {R}", "side shuffle {R}, {O}, {R}", "chasse to {R}")),
    "coaster": Move(2, "F&OF.", ("{R} coaster step", "coaster step {R}, {O}, {R}", "coaster {R}")),
    "sailor": Move(2, "F&OF.", ("{R} sailor step", "sailor step {R}, {O}, {R}", "{R} sailor")),
    "kick_ball_change": Move(2, "f&FO.", ("{R} kick ball change", "kick ball change {R}", "{R} kick-ball-change")),
    "pivot_half": Move(
        2,
        "FO",
        ("step {R} forward, pivot 1/2 {O}", "step fwd {R}, pivot ½ turn {O}", "step {R} forward, 1/2 pivot {O}"),
        -4,
    ),
    "pivot_quarter": Move(2, "FO", ("step {R} forward, pivot 1/4 {O}", "step fwd on {R}, pivot ¼ {O}"), -2),
    "vine": Move(4, "FOFo", ("vine {R}, touch {O}", "grapevine {R} with a touch", "grapevine {R}, touch {O}")),
    "jazz_box": Move(4, "FOFO", ("{R} jazz box", "jazz box {R}", "jazz box starting {R}")),
    "rocking_chair": Move(4, "FOFO", ("{R} rocking chair", "rocking chair {R}", "rocking chair on {R}")),
}

FEET = (("R", "L"), ("right", "left"), ("RF", "LF"), ("Right", "Left"))
TITLES = ("{title}", "{title}\nby {author}", "{title}\nChoreographed by {author}", "{title} by {author}", '"{title}"')
FACTS = (
    "{counts} counts, {walls} walls, {level}",
    "{counts} count, {walls} wall, {level} line dance",
    "Counts: {counts}\nWalls: {walls}\nLevel: {level}",
    "{counts}c {walls}w {level}",
    "Level: {level}   Counts: {counts}   Walls: {walls}",
)
MUSIC = (
    "Music: {song} by {artist}",
    "Music: {song} - {artist} ({bpm} bpm)",
    'Music: "{song}" by {artist}, {bpm} BPM',
    "Song: {song}\nArtist: {artist}",
)
INTROS = ("Intro: {intro} counts", "{intro} count intro", "Start after {intro} counts", "Wait {intro} counts")
HEADS = (
    "S{n}: {name}",
    "Section {n}",
    "SECTION {n} - {name}",
    "[{first}-{last}] {name}",
    "{first}-{last}",
    "Section {n} (counts {first}-{last})",
    "SECTION {n}: {name} ({first}-{last})",
)
ROWS = ("{counts}  {steps}", "{counts}\t{steps}", "{counts}: {steps}", "- {counts} {steps}", "{steps} ({counts})")
COUNTS = (("-", "&", "-"), (",", "&", ","), (" - ", " & ", " - "), ("-", "&", "-"), (", ", "&", ", "))
JOINS = ("{a}, {b}", "{a}; {b}", "{a}, then {b}", "{a} and {b}", "{a} / {b}")
FACINGS = (" ({clock}:00)", " [{clock}:00]", " ({clock} o'clock)", " (facing {clock}:00)", "")
ENDS = ("Start again", "REPEAT", "Begin again and enjoy!", "")


@frozen
class Handout:
    """A step description, and what it means.

    Attributes:
        text: the description.
        landings: what comes down, in order.
        walls: for each tick at which a turn ends the direction faced then, in eighths of a turn clockwise from the front.
    """

    text: str
    landings: tuple[Landing, ...]
    walls: dict[int, int]


def _rows(rng: Random, free: int) -> tuple[list[Row], int]:
    """Draw the rows of a section that begins with a foot free, and return them with the foot free at the end."""
    rows: list[Row] = []
    at = 1
    while at <= SECTION:
        size = rng.choice((1, 2, 2, 4) if at % 4 == 1 else (1, 2))
        row: list[tuple[str, int]] = []
        for counts, bears in ((1, True), (1, False)) if size == 1 else ((size, False),):
            names = [name for name, move in MOVES.items() if move.counts == counts]
            name = rng.choice([name for name in names if MOVES[name].feet == "F"] if bears else names)
            row.append((name, free))
            free = MOVES[name].free(free)
        rows.append((at, at + max(size, 2) - 1, tuple(row)))
        at += max(size, 2)
    return rows, free


def _spelled(first: int, last: int, halves: bool, signs: tuple[str, str, str]) -> str:
    """Return the counts of a row as they are typed: from one to another, or each with its sign between."""
    two, half, four = signs
    if last - first == 1:
        return f"{first}{half if halves else two}{last}"
    return f"{first}{four}{last}" if "-" in four else four.join(str(count) for count in range(first, last + 1))


def line_dance(rng: Random) -> Handout:
    """Return a line dance of four sections of eight counts that begins each time with the right foot."""
    sections: list[list[Row]] = []
    free = 0
    while free != 1:
        sections, free = [], 1
        for _ in range(4):
            rows, free = _rows(rng, free)
            sections.append(rows)
    names = FEET[rng.randrange(len(FEET))]
    head, row, join, facing = (rng.choice(each) for each in (HEADS, ROWS, JOINS, FACINGS))
    signs = rng.choice(COUNTS)
    running = "{first}" in head and rng.random() < 0.5
    ways = {name: rng.choice(move.ways) for name, move in MOVES.items()}
    lines, landings, walls = [], list[Landing](), dict[int, int]()
    wall = 0
    for number, rows in enumerate(sections):
        title = ", ".join(f"{name.replace('_', ' ').upper()}" for *_, moves in rows[:2] for name, _ in moves)
        first = SECTION * number + 1
        lines += ["", head.format(n=number + 1, first=first, last=first + SECTION - 1, name=title)]
        for start, end, moves in rows:
            said, before, tick = [], wall, (first + start - 2) * TICKS
            for name, foot in moves:
                landings += MOVES[name].landings(foot, tick)
                tick += MOVES[name].counts * TICKS
                wall = (wall + MOVES[name].turn * (1 if foot else -1)) % EIGHTHS
                said.append(ways[name].format(R=names[1 - foot], O=names[foot]))
            text = said[0] if len(said) == 1 else join.format(a=said[0], b=said[1])
            halves = any("&" in MOVES[name].feet for name, _ in moves)
            offset = first - 1 if running else 0
            counts = _spelled(start + offset, end + offset, halves, signs)
            turned = ""
            if wall != before:
                walls[tick], turned = wall, facing.format(clock=wall * 3 // 2 or 12)
            lines.append(row.format(counts=counts, steps=text + turned))
    facts = {"title": "Alder Swing", "author": "Nell Osier", "song": "Low Water", "artist": "The Tallow Boys"}
    numbers = {"bpm": 112, "intro": 16, "counts": 32, "walls": {0: 1, 4: 2}.get(wall, 4), "level": "beginner"}
    header = [rng.choice(each).format(**facts, **numbers) for each in (TITLES, FACTS, MUSIC, INTROS)]
    return Handout("\n".join((*header, *lines, "", rng.choice(ENDS))), tuple(landings), walls)


FIGURES = {"Basic": (2, "DS RS"), "Triple": (4, "DS DS DS RS"), "Fancy Double": (4, "DS DS RS RS")}
"""Figures of clogging with their beats and codes (`books/clogging.book` names the sources)."""
STEPS = {"DS": 1, "RS": 2}
"""How often each code puts the weight onto the other foot."""
KINDS = {
    "plain": ("{fig}", "1 {fig}", "{fig} x1"),
    "spelled": ("{fig} ({codes})", "{fig}: {codes}", "{fig} - {codes}", "{fig}\n{codes}"),
    "foot": ("{fig} ({foot} foot)", "{fig}, {foot} foot", "{fig} ({foot})"),
    "moving": ("{fig} (moving {side})", "{fig}, moving {side}", "{fig} moving to the {side}"),
    "turned": ("{fig} (turn 1/4 {side})", "{fig}, turn ¼ {side}", "{fig} - 1/4 {side}"),
    "times": ("{n} {fig}s", "({n}) {fig}", "{fig} x{n}", "{n} x {fig}"),
    "beats": ("{n} {fig}s ({beats} beats)", "{n} {fig} ({beats})", "({n}) {fig} - {beats} beats"),
    "each": (
        "{n} {fig}s (turn 1/4 {side} on each)",
        "{n} {fig}, 1/4 {side} each",
        "({n}) {fig}, turn ¼ {side} on each",
    ),
    "both": ("{fig}, {other}", "{fig} and {other}", "1 {fig}, 1 {other}"),
}
"""What a line of a cue sheet may say, and the ways to type it."""
CUE_HEADS = (
    "Part {letter}",
    "PART {letter} ({beats} beats)",
    "Part {letter}:",
    "{letter}.",
    "Part {letter} - {beats} beats",
)
ORDERS = ("Sequence: A B A C B", "Sequence: A-B-A-C-B", "Order: A, B, A, C, B", "SEQUENCE A B A C B")
WAITS = ("Wait {wait} beats", "Intro: {wait} beats", "Wait {wait}", "Wait {wait} beats, left foot lead")
LEVELS = ("Level: {level}", "{level}", "({level})")


def _cue(rng: Random, kind: str, free: int, room: int) -> tuple[dict[str, object], int, list[str], int] | None:
    """Draw a line of a kind: its words, its beats, its lines in a sheet, and the foot that is free behind it; None if
    it needs more beats than there are."""
    fig, other = rng.sample(sorted(FIGURES), 2)
    # `(4) Triple` may be four Triples or the four beats of one, so there are never as many times as beats
    times = rng.choice((3, 4) if fig == "Basic" else (2, 3)) if kind in ("times", "beats", "each") else 1
    beats = FIGURES[fig][0] * times + (FIGURES[other][0] if kind == "both" else 0)
    side, foot = rng.choice(("left", "right")), ("left", "right")[free]
    words = {"fig": fig, "other": other, "n": times, "beats": beats, "side": side, "foot": foot}
    turn = f", turn 1/4 {side}" if kind in ("turned", "each") else ""
    lines = [f"{fig}{f' x{times}' if times > 1 else ''}{turn}", *([other] if kind == "both" else [])]
    codes = " ".join([FIGURES[fig][1]] * times + [FIGURES[other][1]] * (kind == "both"))
    changes = sum(STEPS[code] for code in codes.split())
    return (words | {"codes": FIGURES[fig][1]}, beats, lines, free ^ changes % 2) if beats <= room else None


def _part(rng: Random, size: int) -> list[tuple[str, dict[str, object], list[str]]]:
    """Draw the lines of a part of so many beats that begins and ends with the left foot free."""
    while True:
        drawn: list[tuple[str, dict[str, object], list[str]]] = []
        free = beats = 0
        while beats < size:
            kind = rng.choice(sorted(KINDS))
            made = _cue(rng, kind, free, size - beats)
            if made is None:
                continue
            words, more, lines, free = made
            beats += more
            drawn.append((kind, words, lines))
        if not free:
            return drawn


def clogging(rng: Random) -> tuple[str, str]:
    """Return a cue sheet of three parts, each begun with the left foot, and the sheet that it means."""
    ways = {kind: rng.choice(each) for kind, each in KINDS.items()}
    head = rng.choice(CUE_HEADS)
    cues, sheet = list[str](), ["routine: Alder Reel", "book: clogging", "lead: left", "wait: 16 beats"]
    for letter in "ABC":
        size = rng.choice((16, 32))
        cues += ["", head.format(letter=letter, beats=size)]
        sheet += ["", f"part {letter}:"]
        for kind, words, lines in _part(rng, size):
            cues.append(ways[kind].format(**words))
            sheet += [f"  {line}" for line in lines]
    facts = {"title": "Alder Reel", "author": "Nell Osier", "song": "Low Water", "artist": "The Tallow Boys"}
    numbers = {"bpm": 120, "level": "beginner", "wait": 16}
    header = [rng.choice(each).format(**facts, **numbers) for each in (TITLES, LEVELS, MUSIC, WAITS)]
    dance = ["", "dance:", *(f"  {letter}" for letter in "ABACB")]
    return "\n".join((*header, *cues, "", rng.choice(ORDERS))), "\n".join((*sheet, *dance, ""))


class Unread(Exception):
    """A sheet has a blank, or a thing that a handout has no word for."""


def landed(program: Program) -> tuple[tuple[Landing, ...], dict[int, int]]:
    """Dance a program once and return what comes down, and for each tick at which the facing changes the new one.

    Only what `line_dance` and `clogging` write is known: steps, rests, repeats and parts, each figure in its usual way.

    Raises:
        Unread: the program has a blank or holds something else.
    """
    landings, walls = list[Landing](), dict[int, int]()
    weight, wall, tick = int(program.lead.other), program.facing, 0

    def dance(body: Body) -> None:
        nonlocal weight, wall, tick
        for item in body:
            match item:
                case Step(figure=figure):
                    version = figure.versions[figure.usual]
                    mirrored = bool(figure.book) and 1 - weight != figure.lead
                    for action in version.actions:
                        sense = action.movement.senses[action.movement.usual]
                        foot = None if action.foot is None else int(action.foot) ^ mirrored
                        if foot is None and sense.actor in (Actor.FREE, Actor.SUPPORT):
                            foot = weight if sense.actor is Actor.SUPPORT else 1 - weight
                        if sense.lands and foot is not None and foot != weight:
                            weight = foot
                            landings.append((tick + action.tick - TICKS, foot, True))
                        elif foot is not None and sense.actor is Actor.FREE:
                            landings.append((tick + action.tick - TICKS, foot, False))
                    tick += version.length
                    turn = item.turn if item.turn is not None else -version.turn if mirrored else version.turn
                    wall = (wall + turn) % EIGHTHS
                    if turn % EIGHTHS:
                        walls[tick] = wall
                case Rest():
                    tick += item.ticks
                case Repeat(times=int(times)):
                    for _ in range(times):
                        dance(item.body)
                case Forever():
                    dance(item.body)
                case Timed() | Pass() | Lap() | Lined():
                    dance(item.body)
                case Check() | Together() | Last():
                    pass
                case _:
                    raise Unread(type(item).__name__)

    dance(program.dance)
    return tuple(landings), walls
