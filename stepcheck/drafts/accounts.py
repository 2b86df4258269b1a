"""Whether a reading accounts for every word of its line: what could change feet, turns, times, lengths or figures."""

import re
from collections import Counter
from collections.abc import Sequence

from stepcheck.drafts.cues import Cues
from stepcheck.drafts.outline import Block, Item, Line, beats_of, lines_of
from stepcheck.drafts.steps import NUMBERS
from stepcheck.drafts.vocabulary import Piece, pieces, plain
from stepcheck.model.dance import key

_OTHERWISE = frozenset(
    "except but instead without minus omit skip leave drop only unless or optional reverse reversed mirror mirrored "
    "opposite other switch swap change changing half-time double-time halfway ditto".split()
)
"""Words with which something else is danced than the figures that are named."""
_AGAIN = frozenset("again repeat repeated same twice once times".split())
_NTH = frozenset("first last second third fourth final 1st 2nd 3rd 4th".split())
_PLACE = re.compile(r"(?i)\bon (?:the|its) (?!(?:left|right|[lr]f?|other|opposite)\b)[^,;.()]*?(?=\s+and\b|[,;.()]|$)")
"""On which of its movements a figure turns, or does anything else."""
_TOWARD = re.compile(r"\b(?:to|on|moving|travel\w*|traveling|going|go|move) (?:the |your )?(left|right|l|r)\b")


def unaccounted(text: str, items: Sequence[Item], cues: Cues, coded: bool = False) -> str:
    """Return the first word of a line that its reading doesn't use though it could change it, "" if there is none.

    `coded` says that the words stand beside a row of codes, which is read whole.
    """
    lines = [line for item in items for line in lines_of(item)]
    several = any(line.times > 1 and line.turn for line in lines)
    said = ", ".join(
        each if several and re.search(r"turn|\d/\d", each) else _PLACE.sub(" ", each) for each in plain(text).split(",")
    )
    said = re.sub(r"\"[^\"]*\"", " ", said) if coded else said
    found = [piece for piece in pieces(said, cues.vocabulary) if piece[0] not in ("sep", "noise", "talk")]
    left = _turns(found, lines, cues) or _sides(found, lines, cues) or _numbers(found, lines, items, cues)
    return left or _changed(found, lines, items) or ("" if coded else _moved(found, lines))


def _turns(found: list[Piece], lines: list[Line], cues: Cues) -> str:
    """Every turn that is said is made, to its side; a turn without a size needs one that has it."""
    made = [(line.turn, line.times) for line in lines if line.turn]
    noted = " ".join(note for line in lines for note in line.note)
    built = any(line.name and key(line.name) in cues.defined for line in lines)
    for kind, value, _, said in found:
        size, _, side = value.partition(" ")
        if kind == "turned" and not any(
            int(size) in (turn.eighths, turn.eighths * times, turn.eighths / times) and side in ("", turn.side[:1].upper())
            for turn, times in made
        ):
            if not built and not ("full" in said and "full" in noted):
                return said
        if kind == "turn" and re.match(r"(?i)turn|spin|rotat|trn", said) and not made and not built:
            return said
    return ""


def _sides(found: list[Piece], lines: list[Line], cues: Cues) -> str:
    """A foot or a side that is said is that of a line, of a movement, a turn, or of a direction that is noted."""
    said = [(side, piece[3]) for piece in found if piece[0] in ("foot", "feet") for side in piece[1]]
    made = {side for line in lines for side in line.foot + "".join(move.foot for move in line.moves)}
    made |= {line.turn.side[:1].upper() for line in lines if line.turn}
    notes = " ".join(note for line in lines for note in line.note).casefold()
    made |= {side[0].upper() for side in _TOWARD.findall(notes)}
    if any(key(line.name) in cues.defined for line in lines if line.name) and any(p[0] == "codes" for p in found):
        return ""  # those of its footwork
    alternate = len({side for side, _ in said}) > 1 and made
    return "" if alternate else next((word for side, word in said if side not in made), "")


def _moved(found: list[Piece], lines: list[Line]) -> str:
    """Every figure that is said is danced, and there are no fewer movements than are said."""
    names = {key(line.name) for line in lines if line.name}
    rows = sum(len(line.moves) for line in lines)
    moving = [piece for piece in found if piece[0] in ("verb", "codes", "part")]
    size = sum(len(piece[1].split()) or 1 for piece in moving)
    left = moving[-1:] if rows and not names and size > rows else []
    left = [p for p in found if p[0] == "figure" and key(p[1]) not in names and not rows] or left
    return left[0][3] if left else ""


def _numbers(found: list[Piece], lines: list[Line], items: Sequence[Item], cues: Cues) -> str:
    """Every number is how often, how long, or how many."""
    lengths = [beats_of(item) or cues.lasts(item) for item in items]
    known = {sum(lengths[at:end]) for at in range(len(lengths)) for end in range(at + 1, len(lengths) + 1)}
    known |= {1, len(lines), len(items)} | {line.times for line in lines} | {cues.beats(line) for line in lines}
    known |= {cues.beats(line) // line.times for line in lines}
    known |= {int(item.head.split()[0]) for item in items if isinstance(item, Block) and item.head.endswith(" times")}
    for moves in [[move.code for move in line.moves] for line in lines]:
        kinds = Counter(moves)
        known |= {*kinds.values()} | {len(moves) // (len(moves) - kinds["HOLD"] or 1)}
    for name in {(line.name, line.moves) for line in lines}:
        known.add(sum(line.times for line in lines if (line.name, line.moves) == name))
    for before, (kind, value, _, said) in zip([("", ""), *(piece[:2] for piece in found)], found, strict=False):
        size = int(value) if kind in ("number", "twice") else NUMBERS.get(said.casefold(), 0) if kind == "word" else 0
        if size and size not in known and before[0] != "dir":
            return said
    return ""


def _changed(found: list[Piece], lines: list[Line], items: Sequence[Item]) -> str:
    """No word asks for another dance than is read; one that says how often, or which time, has its mark."""
    often = any(line.times > 1 or len(line.moves) > 1 for line in lines) or len({(line.name, line.moves) for line in lines}) < len(lines)
    often = often or any(isinstance(item, Block) and item.head.endswith("times") for item in items)
    placed = all(line.on or line.at or not line.turn or line.times == 1 for line in lines)
    led = any(line.foot for line in lines)
    still = any(move.code == "HOLD" for line in lines for move in line.moves)
    for _, value, _, said in found:
        low = said.casefold()
        if (
            (low in _OTHERWISE and not (led and low in ("opposite", "other", "mirrored")))
            or (low in _AGAIN and not often)
            or (low in _NTH and not placed)
            or (low in ("each", "both", "every") and not (often or len(lines) > 1))
            or (value == "slowly" and not (still or any(line.stated or line.measured for line in lines)))
        ):
            return said
    return ""
