"""The marks of a cue: how often, how long, on which foot, with which turn; and whether a reading accounts for them."""

import itertools
import re
from collections import Counter
from collections.abc import Sequence
from typing import Protocol

from attrs import evolve

from stepcheck.books.book import Book
from stepcheck.model.dance import EIGHTHS, key
from stepcheck.steps.codes import TURN, forms_beats
from stepcheck.steps.outline import Assumptions, Block, Definition, Item, Line, Remark, beats_of, lines_of
from stepcheck.steps.phrases import events
from stepcheck.steps.steps import NUMBER, NUMBERS, Facing, Turn, number
from stepcheck.steps.vocabulary import Piece, Vocabulary, pieces, plain, tight

TIMES = {"a": 1, "an": 1, "one": 1, "another": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "eight": 8}
_TIMES = re.compile(rf"(?i)^\W*\(?(?:(\d{{1,2}})\s*x?|({'|'.join(TIMES)}))\)?\s+(?:more\s+)?(?=[^\W\d])")
_TIMES_BEHIND = re.compile(r"(?i)[\s(]+(?:x\s?(\d)|(\d)\s?x)\)?\s*$")
_AGAIN = re.compile(
    rf"(?i)^\W*(?:(?:now|then|and|all)\s+)*(?:(?:repeat|do|dance)\b(?:\s+(?:it|this|that|these|all|of|the|above|everything|whole|"
    rf"lot|thing|part|two|three|four|steps?|same))*\s*)?(?:(?P<times>\d|{'|'.join(TIMES)})\s+(?P<more>more\s+)?times(?P<also>\s+more)?"
    rf"|(?P<twice>twice)|(?P<again>again|over|once more))?\b"
)
EACH_WALL = re.compile(
    r"(?i)\W*(?:so\b.*?|once |one |now |to |on |facing |at )*(?:each|every|all)(?: of the)?(?: (?:four|4))? walls?\W*"
)
"""`once to each wall`: what a turn comes to that is danced as often as there are walls."""
_SIDE = {"l": "L", "r": "R", "left": "L", "right": "R", "lf": "L", "rf": "R"}
_ON_FEET = re.compile(
    r"(?i)(?:\W|\b(?:now|then|and|first|next|on|with|the|foot|feet|ft|footed|lead|leads|start(?:s|ing)?|begin(?:s|ning)?|"
    r"leading|times?|both|each|every|all|always|[lr]f?|left|right)\b)*"
)


def feet_said(text: str, times: int = 1) -> str:
    """Return the feet that words name and nothing else: `L, then R`, `both beginning on the left` of so many times."""
    words = re.findall(r"[a-z]+", text.casefold())
    sides = "".join(_SIDE[word] for word in words if word in _SIDE)
    if not sides or not _ON_FEET.fullmatch(text):
        return ""
    return sides * times if len(sides) == 1 and {"both", "each", "every", "all", "always"} & {*words} else sides


_SAME = re.compile(
    r"(?i)^\W*(?:(?:and|then|the)\s+)*(?:same\b.*\b(?:again|once more)|repeat (?:all (?:of )?)?(?:that|this|it))\b"
)


_LOT = r"(?:all|above|everything|(?:do )?(?:all|that|it)|the (?:whole )?(?:lot|thing))"


def times_again(text: str) -> int:
    """Return how often what was before is danced in all: `Do this 4 times`, `Repeat all to the front`; else 0."""
    said = re.sub(r"^\W*\(\d{1,2}\)", "", plain(text))
    found = _AGAIN.match(said)
    bare = re.match(r"(?i)\W*repeat\b(?!\s+(?:[A-Z]\b|part|last|first|counts?|beats?|\d))", said)
    if re.search(r"(?i)\b(?:other|opposite|left|right|[lr]f?)\b", said):
        return 0
    if _SAME.search(said):
        return 2
    if all_of := re.fullmatch(rf"(?i)\W*(?:{_LOT}\s*)?x\s?(\d)(?:\s+{_LOT})?\W*", said):
        return int(all_of[1])
    if few := re.fullmatch(rf"(?i)\W*{NUMBER} of (?:them|these|those)\W*", said):
        return number(few[1])
    if not found or not (
        bare or found["times"] or found["twice"] or (found["again"] and re.search(r"(?i)\b(?:do|dance)\b", found[0]))
    ):
        return 0
    if found["times"]:
        times = int(found["times"]) if found["times"].isdecimal() else TIMES[found["times"].casefold()]
        return times + bool(found["more"] or found["also"])
    return 2


_FILLER = re.compile(
    r"(?i)^\W*(?<![(\[])(?:(?:then|now|and|do(?!\s+(?:it|this|that|these|all|the|everything)\b)|next|first|"
    r"dance|finish with|finish|start with|followed by|just)\s+)+(?=\w)"
)


def bare_cue(text: str) -> str:
    """Return a cue without the words that only lead to it: `then do`."""
    return _FILLER.sub("", text)


_CUE_LASTS = re.compile(r"\s*\((?:=\s*)?(\d{1,2})(?:\s*(?:beats?|counts?|b\b\.?))?\)\s*\.?$")


def times_of(text: str) -> tuple[int, str]:
    """Return how many times a cue says, `2 Triples`, and the rest; 1 where it says none."""
    stated = _TIMES.match(text)
    if not stated and (behind := _TIMES_BEHIND.search(text)):
        return int(behind[1] or behind[2]), text[: behind.start()]
    if not stated:
        return 1, text
    return int(stated[1]) if stated[1] else TIMES[stated[2].casefold()], text[stated.end() :]


def lasting_cue(text: str) -> tuple[int, str]:
    """Return the beats that stand behind a cue in brackets, `(8)`, and the rest; 0 where none do."""
    found = _CUE_LASTS.search(text)
    return (int(found[1]), text[: found.start()]) if found else (0, text)


def split_foot(name: str) -> tuple[str, str]:
    """Return a figure's name without the foot behind it, and the foot, or both of `Vine L & R`, `Push Off (left)`."""
    both = re.search(r"(?i)[\s(]+(left|L)\s*(?:&|and|\+|,)\s*(?:right|R)\)?\s*$", name)
    both = both or re.search(r"(?i)[\s(]+(right|R)\s*(?:&|and|\+|,)\s*(?:left|L)\)?\s*$", name)
    if both:
        return name[: both.start()].strip(" ("), "LR" if both[1][0].upper() == "L" else "RL"
    found = re.search(r"(?i)[\s(]+(?:(?:to|on) (?:the )?)?(left|right|L|R)\)?\s*$", name)
    return (name[: found.start()].strip(" ("), found[1][0].upper()) if found else (name.strip(), "")


def nameable(text: str) -> bool:
    """Say whether the words before a row are a name, with a foot perhaps."""
    return bool(re.fullmatch(r"[A-Za-z][\w' -]*(?:\s*\(?(?:left|right|L|R)\)?)?", text)) and len(text.split()) < 5


def names_figure(text: str, vocabulary: Vocabulary) -> bool:
    """Say whether words may name a figure: one that is known, or words that do not all say where, or how far."""
    kinds = {kind for kind, *_ in pieces(plain(text), vocabulary)}
    return (
        "figure" in kinds
        or bool(text[:1].isupper() and kinds & {"word", "verb", "part"})
        or bool("codes" in kinds and re.match(r"[A-Z][a-z]", text))
    )


def turn_text(turn: Turn, at: int = 0) -> str:
    """Return a turn as a mark."""
    whole, rest = divmod(turn.eighths, EIGHTHS)
    part = next(f"{rest * n // EIGHTHS}/{n}" for n in (1, 2, 4, 8) if not rest * n % EIGHTHS) if rest else ""
    size = "full" if not part and whole == 1 else " ".join(filter(None, (str(whole or ""), part)))
    side = f" {turn.side}" if turn.side else ""
    return f"turn {size}{side}" + (f" @{at}" if at else "")


_SHARED = re.compile(
    r"(?i)\b(?:over (?:both|all|the)|in all|in total|altogether|all together|total)\b(?: (?:two|four|of them))?"
)
"""A turn that figures share."""
AGAIN = re.compile(r"(?i)\(?\bx\s?(\d)\b\)?|\(?\b(\d)\s?(?:x|times)\b\)?|\(?\b(twice)\b\)?")
_ON = re.compile(r"(?i)\bon (?:the )?(\d(?:st|nd|rd|th)|first|second|third|fourth|last)\b(?! (?!turn)\w)")
_TIME_OF = {"first": "1st", "second": "2nd", "third": "3rd", "fourth": "4th"}
_EIGHTHS = {"1/8": 1, "1/4": 2, "1/2": 4, "3/4": 6, "quarter": 2, "half": 4, "full": 8}


def marked(line: Line, text: str, vocabulary: Vocabulary, book: Book, assumed: Assumptions) -> Line:
    """Return a line with what stands behind it: its foot, times, a turn, a facing, and for the rest a note.

    A turn to a side that is not said, or of each of several or of them all, makes it a blank.
    """
    text = tight(plain(text))
    if not text:
        return line
    footless = not line.foot and not any(move.foot for move in line.moves)
    if footless and (line.name or line.moves) and (side := re.match(r"\(?\b(L|R)\b\)?(?:\s+|$)", text)):
        text = text[side.end() :]
        line = footed_once(line, side[1])
    for piece in re.finditer(r"[^,;()>]+", text) if footless and (line.name or line.moves) else ():
        if feet := feet_said(piece[0]):
            line = footed_once(line, feet[0])
            text = f"{text[: piece.start()]} {text[piece.end() :]}"
            break
    if (again := AGAIN.search(text)) and line.times == 1:
        line = evolve(line, times=int(again[1] or again[2] or 2))
        text = text.replace(again[0], " ")
    if (times := _ON.search(text)) and line.times > 1:
        line = evolve(line, on=_TIME_OF.get(times[1].casefold(), times[1].casefold()))
        text = text.replace(times[0], " each ")
    note = tight(re.sub(r"[()\"]", " ", text))
    walls = re.findall(r"[(\[]\s*(front|back)\s*(?:[)\]]|$)", text.casefold()) if TURN.search(text) else []
    walls += [event.wall for event in events(note, vocabulary) if isinstance(event, Facing)]
    line = evolve(line, facing=walls[-1] if walls else line.facing)
    if (found := TURN.search(text)) and line.turn is None:
        eighths = _EIGHTHS[found[1].casefold()]
        note = note.replace(found[0], " ")
        toward = re.search(r"to the (left|right)", " ".join((*line.note, note)))
        to = {"l": "left", "r": "right"}.get((found[2] or "")[:1].casefold(), toward[1].casefold() if toward else "")
        line = evolve(line, at=_turning(line, text, book))
        line = turned(line, Turn(eighths, to), text, assumed)
        note = f"{note} full turn" if line.turn and line.turn.eighths != eighths else note
        if line.blank:
            return line
    note = _SHARED.sub(" ", note) if line.turn and line.times > 1 else note
    said = r"\bon each(?: of them)?\b|\beach\b|\bagain\b(?=\s*$)"
    if line.facing:
        said += (
            r"|\b(?:to )?fac(?:e|ing) (?:the )?(?:front|back)\b|"
            r",?\s*\b(?:back\s+)?to (?:face )?(?:the )?(?:front|back)\b|(?:^|(?<=\s))(?:front|back)\s*$"
        )
    note = tight(re.sub(said, " ", note, flags=re.IGNORECASE)).strip(" ,.;-&")
    return evolve(line, note=(*line.note, note) if note else line.note)


def only_turns(text: str) -> bool:
    """Say whether a cue says nothing but a turn, and whose it is: `full turn left over both`, `1/4 R on each`."""
    bare = _SHARED.sub(" ", TURN.sub(" ", plain(text), count=1))
    return bare != plain(text) and not re.search(
        r"(?i)[a-z\d]", re.sub(r"(?i)\b(?:on|each|of|them|a|turn\w*)\b", " ", bare)
    )


def footed_once(line: Line, foot: str) -> Line:
    """Return a figure, or a row, that a foot begins."""
    if line.name:
        return evolve(line, foot=foot)
    return evolve(line, moves=(*(evolve(move, foot=foot) for move in line.moves[:1]), *line.moves[1:]))


def footed(line: Line, feet: Sequence[str]) -> list[Line]:
    """Return a figure on the feet that are said, one for each time or the first; a blank where they are others."""
    feet = [each[:1] for each in feet]
    if len(feet) == line.times > 1 and len({*feet}) == 1:
        return [evolve(line, foot=feet[0], times=1)] * line.times
    alternate = all(one != other for one, other in itertools.pairwise(feet))
    if len(feet) == 2 and alternate and line.times == 1:
        return [evolve(line, foot=side) for side in feet]
    fits = alternate and len(feet) in (1, line.times)
    return [evolve(line, foot=feet[0]) if fits else Line(blank=True, remark=f"{line.name} {' '.join(feet)}")]


def turned(line: Line, turn: Turn, text: str, assumed: Assumptions) -> Line:
    """Return a line with its turn: each time's, or its share of a full turn that is said of several; a blank where it
    may be each one's or that of them all, or where its side isn't said."""
    if _SHARED.search(text) and line.times > 1 and not turn.eighths % line.times:
        return evolve(line, turn=Turn(turn.eighths // line.times, turn.side))
    alone = line.times == 1 or line.on or re.search(r"(?i)\beach\b|\bon (?:the|every) (?!spot)", text)
    if not alone and turn.eighths == EIGHTHS and line.times in (2, 4, 8):
        assumed.add(f"a full turn over {line.times} {line.name}s is shared among them")
        return evolve(line, turn=Turn(EIGHTHS // line.times, turn.side))
    if not alone or (not turn.side and turn.eighths not in (4, 8)):
        return Line(blank=True, remark=tight(f"{line.name} {text}"))
    return evolve(line, turn=turn)


def _turning(line: Line, text: str, book: Book) -> int:
    """Return the beat on which a turn is said to be made, where it is one: `on the brush`."""
    found = re.search(r"\bon the (\w+)", text)
    wanted = {"brush": "BR", "kick": "K", "stomp": "STO"}.get(found[1].casefold(), "") if found else ""
    forms = [move.code for move in line.moves]
    if not wanted or forms.count(wanted) != 1:
        return line.at
    return forms_beats(" ".join(forms[: forms.index(wanted) + 1]), book)


class Reads(Protocol):
    """What reads cues: its words, the figures that the source spells out, and how many beats lines last."""

    vocabulary: Vocabulary
    defined: dict[str, Definition]

    def beats(self, line: Line) -> int:
        """Return the beats of a line."""

    def lasts(self, item: Item) -> int:
        """Return the beats of a line, or of the lines of a block."""


_OTHERWISE = re.compile(
    "except|but|instead|without|minus|omit|skip|leave|drop|only|unless|or|optional|reversed?|mirror(?:ed)?|opposite|other|"
    "switch|swap|chang(?:e|ing)|half-time|double-time|halfway|ditto"
).fullmatch
"""Words with which something else is danced than the figures that are named."""
_REPEATS = re.compile("again|repeat(?:ed)?|same|twice|once|times").fullmatch
_NTH = re.compile("first|last|second|third|fourth|final|1st|2nd|3rd|4th").fullmatch
_PLACE = re.compile(r"(?i)\bon (?:the|its) (?!(?:left|right|[lr]f?|other|opposite)\b)[^,;.()]*?(?=\s+and\b|[,;.()]|$)")
"""On which of its movements a figure turns, or does anything else."""
_TOWARD = re.compile(r"\b(?:to|moving|travel\w*|traveling|going|go|move) (?:the |your )?(left|right|l|r)\b")


def unaccounted(text: str, items: Sequence[Item], cues: Reads, coded: bool = False) -> str:
    """Return the first word of a line that its reading doesn't use though it could change it, "" if there is none.

    `coded` says that the words stand beside a row of codes, which is read whole.
    """
    lines = [line for item in items for line in lines_of(item)]
    several = any(line.times > 1 and line.turn for line in lines)
    said = ", ".join(
        each if several and re.search(r"turn|\d/\d", each) else _PLACE.sub(" ", each) for each in plain(text).split(",")
    )
    said = re.sub(r"(?i)\bno turns?\b" + r"|\"[^\"]*\"" * coded, " ", said)
    found = [piece for piece in pieces(said, cues.vocabulary) if piece[0] not in ("sep", "noise", "talk")]
    for beside in [item.text for item in items if isinstance(item, Remark) and not EACH_WALL.fullmatch(item.text)]:
        kinds = {kind for kind, *_ in pieces(plain(beside), cues.vocabulary)}
        if kinds & {"verb", "codes", "part", "figure", "foot", "number", "turned"}:
            return beside
    moving = [piece for piece in found if piece[0] in ("verb", "codes", "part")]
    often = [piece for piece in found if piece[0] == "twice"]
    if (
        often
        and not coded
        and len(moving) > 1
        and not any(isinstance(i, Block) for i in items)
        and any(i.moves for i in lines)
    ):
        return often[0][3]  # how often which of them?
    left = _turns(found, lines, cues) or _sides(found, lines, cues) or _numbers(found, lines, items, cues)
    return left or _changed(found, lines, items) or ("" if coded else _moved(found, lines))


def _turns(found: list[Piece], lines: list[Line], cues: Reads) -> str:
    """Every turn that is said is made, to its side; a turn without a size needs one that has it."""
    made = [(line.turn, line.times) for line in lines if line.turn]
    if len(made) < len(lines) and {times for _, times in made} == {1} and any(p[3].casefold() == "each" for p in found):
        return "each"
    noted = " ".join(note for line in lines for note in line.note)
    spelled = [cues.defined[key(line.name)] for line in lines if line.name and key(line.name) in cues.defined]
    built = any("turn" in each.facts + each.note for each in spelled)
    for kind, value, _, said in found:
        size, _, side = value.partition(" ")
        fits = kind == "turned" and any(
            int(size) in (turn.eighths, turn.eighths * times, turn.eighths / times)
            and side in ("", turn.side[:1].upper())
            for turn, times in made
        )
        if kind == "turned" and not (fits or built or ("full" in said and "full" in noted)):
            return said
        if kind == "turn" and re.match(r"(?i)turn|spin|rotat|trn", said) and not made and not built:
            return said
    return ""


def _sides(found: list[Piece], lines: list[Line], cues: Reads) -> str:
    """A foot or a side that is said is that of a line, of a movement, a turn, or of a direction that is noted."""
    said = [(side, piece[3]) for piece in found if piece[0] in ("foot", "feet") for side in piece[1]]
    made = {side for line in lines for side in line.foot + "".join(move.foot for move in line.moves)}
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


def _numbers(found: list[Piece], lines: list[Line], items: Sequence[Item], cues: Reads) -> str:
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
    often = any(line.times > 1 or len(line.moves) > 1 for line in lines) or len(
        {(line.name, line.moves) for line in lines}
    ) < len(lines)
    often = often or any(isinstance(item, Block) and item.head.endswith("times") for item in items)
    placed = all(line.on or line.at or not line.turn or line.times == 1 for line in lines)
    led = any(line.foot for line in lines)
    still = any(move.code == "HOLD" for line in lines for move in line.moves)
    for _, value, _, said in found:
        low = said.casefold()
        if (
            (_OTHERWISE(low) and not (led and low in ("opposite", "other", "mirrored")))
            or (_REPEATS(low) and not often)
            or (_NTH(low) and not placed)
            or (low in ("each", "both", "every") and not (often or len(lines) > 1))
            or (value == "slowly" and not (still or any(line.stated or line.measured for line in lines)))
        ):
            return said
    return ""
