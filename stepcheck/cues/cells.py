"""The cells of tables: in which column each stands, and the line of cues that a row says."""

import itertools
import re

from stepcheck.cues.codes import CELL, feet_apart, feet_of, is_beats, joined_apart
from stepcheck.cues.footwork import found_in, said_in_codes
from stepcheck.cues.repeats import again
from stepcheck.cues.titles import head
from stepcheck.cues.tokens import spelled
from stepcheck.steps.vocabulary import Vocabulary, pieces, plain
from stepcheck.steps.words import SIDED, UNITS, words_of

_COLUMNS = words_of("columns of clogging")
"""What the heads of columns say that these hold."""
_COUNTED = ("beats", "counts", "number", "measures")
SAME = re.compile(r"(?i)^\W*(?:(?:same|ditto)\b(?!\s+as)|[\"-]+(?=$))\W*(.*)$")
"""A cell that is the one above it once more, and words behind that."""
_WALL = re.compile(r"^(?:(?:12|3|6|9)\s*-\s*)*(12|3|6|9)$")
"""The wall that a row ends facing, `6`, the last of those it comes by, `9-6-3-12`."""


class Table:
    """A table while its rows are read: `kinds` are what its columns hold, `wide` where these begin if spaces set them
    apart, `front` the head of a part that stands before their heads, `part` the part last said in it, `last` what the
    row before says; `across` says that a line has stood across its columns since."""

    def __init__(self) -> None:
        self.kinds, self.wide = list[str](), list[int]()
        self.front, self.part, self.across = "", "", False
        self.last: dict[str, str] = {}

    def cells(self, raw: str) -> list[str]:
        """Return the cells of a line, one if it has no columns."""
        self.wide = columns(raw) or self.wide
        found = cells_of(raw, self.wide) or [cell.strip() for cell in re.split(r"\t|\s*\|\s*", raw.strip("|"))]
        return [joined_apart(cell) for cell in found]

    def begins(self, cells: list[str]) -> bool:
        """Take the heads of the columns; return whether cells are these."""
        found = kinds(cells)
        self.front = cells[0] if found and not found[0] and head(cells[0], 0) else ""
        found = ["step" if self.front and not at else kind for at, kind in enumerate(found)]
        self.kinds, self.last = found or self.kinds, {} if found else self.last
        return bool(found)

    def holds(self, cells: list[str], gap: bool) -> bool:
        """Say whether cells are a row of the table; `gap` says that an empty line stands before.

        Behind a line across the columns, such as the head of a part, a row fills three columns or has codes.
        """
        ordered = re.fullmatch(r"(?i)\W*(?:order|sequence|seq)\W*", cells[0])
        filled = sum(map(bool, cells))
        coded = found_in(dict(zip(self.kinds, cells, strict=False)).get("row", ""), {})
        again = filled > 2 or bool(coded) or not self.across
        row = bool(self.kinds) and len(cells) > 1 and not ordered and not (gap and filled < len(self.kinds) - 1)
        row = row and not (self.kinds[0] in _COUNTED and head(f"{cells[0]}:", 0))  # of a part
        self.across = not (row and again) and (self.across or len(cells) < 2)
        if ordered:
            self.kinds, self.wide = [], []
        return row and again

    def said(self, cells: list[str]) -> tuple[dict[str, str], bool]:
        """Return what the cells of a row say by their columns, and whether they go on with those of the row before."""
        said: dict[str, str] = {}
        for kind, cell in zip(self.kinds, cells, strict=False):
            kind = kind or "note" * (not cell.isdecimal())  # no column is lost but that of the line's number
            if kind == "wall":
                kind, cell = "note", _WALL.sub(r"\1:00", cell)
            said[kind] = f"{said.get(kind, '')}   {cell}".strip()
        above, more = self.last.get("row", ""), _goes_on(self.last, said)
        if more:
            said = {
                kind: " ".join(filter(None, (self.last.get(kind), said.get(kind)))) for kind in {**self.last, **said}
            }
        again = re.match(r"(?i)repeat|rpt|again|same", said.get("step", ""))
        if (same := SAME.match(said.get("row", ""))) and above:
            said["row"] = "" if again or (same[1] and said.get("step")) else above
            said["note"] = f"{same[1]}   {said.get('note', '')}".strip()
        self.last = said
        return said, more

    def heads(self, said: dict[str, str]) -> str:
        """Return the part that a row says and the rows before it don't, "" if none; of one that is danced again with
        the words of the row, which says no more."""
        new = said.get("part", self.part) not in (self.part, "", '"')
        self.part = (
            re.sub(r"^([A-H]\d?)\s+([A-Za-z]+)(\s*\(\d+\))?$", r"Part \1\3 (\2)", said["part"]) if new else self.part
        )
        if new and re.search(r"(?i)\bagain\b|^(?:repeat|rpt)\b", said["part"]):
            self.part = ", ".join(filter(None, (self.part, said.get("step"))))
            said.clear()
        return self.part * new


def _goes_on(before: dict[str, str], said: dict[str, str]) -> bool:
    """Say whether a row goes on with the codes or the notes of the one before it: it names no step, and just one of
    both has the beats."""
    own = any(said.get(kind) for kind in ("step", "part", "number", "counts", "measures"))
    beats = bool(before.get("beats")) + bool(said.get("beats"))
    coded = bool(said.get("row")) and not SAME.match(said["row"]) and bool(before.get("row"))
    noted = not said.get("row") and not said.get("beats") and bool(said.get("note"))
    return bool(before.get("step")) and not own and ((coded and beats == 1) or noted)


def kinds(cells: list[str]) -> list[str]:
    """Return what the columns of a table hold by their heads, "" for one that no word names; none if these are no
    heads."""
    named = [_kind(cell) for cell in cells]
    if len(cells) < 3 or sum(map(bool, named)) < 3:
        return []
    return ["row" if kind == "step" in named[:at] else kind for at, kind in enumerate(named)]


def columns(text: str) -> list[int]:
    """Return where the columns of a table that is set with spaces begin, if a line is their heads, the first perhaps
    that of a part: `A  (32)    feet   beats`."""
    found = [*re.finditer(r"\S+(?: \S+)*", text)]
    front = [*itertools.takewhile(lambda each: not _kind(each[0]), found)]
    heads = found[len(front) :]
    if "\t" in text or len(heads) < 3 or not all(_kind(each[0]) for each in heads):
        return []
    headed = not front or head(text[: front[-1].end()], 0)
    return [each.start() for each in (*front[:1], *heads)] if headed else []


def _kind(head: str) -> str:
    """Return what a column holds by its head, "" if no word names that."""
    return _COLUMNS.get(head.casefold().strip(" .:#"), "")


def cells_of(text: str, columns: list[int]) -> list[str]:
    """Return what stands under the heads of columns.

    Where a word stands across two columns, the pieces that wide spaces set apart are the cells: one for each column,
    or each of the column in which it begins; none if there are fewer than three, or two of them begin in one column.
    """
    if not columns:
        return []
    if not any(text[at - 1 : at].strip() for at in columns[1:]):
        return [plain(text[at:end]).strip() for at, end in itertools.pairwise([*columns, len(text)])]
    found = [*re.finditer(r"\S+(?: \S+)*", text)]
    if len(found) == len(columns):
        return [plain(each[0]) for each in found]
    spots = [sum(at <= each.start() + 1 for at in columns) for each in found]
    said = dict(zip(spots, (plain(each[0]) for each in found), strict=True))
    return [said.get(at, "") for at, _ in enumerate(columns, 1)] if len(said) == len(found) > 2 else []


def told_in(said: dict[str, str]) -> str:
    """Return a row of a table as a line of cues."""
    step = " ".join(filter(None, (re.sub(r"^-$", "", said.get("number", "")), said.get("step", ""))))
    if not said.get("step") and not said.get("row"):
        return ""
    if not (feet_said := said.get("feet", "")).isalpha():  # else `LRLR` may be of each time
        said = said | {"feet": feet_apart(feet_said)}
    row = re.sub(r"^\W*(?i:same|ditto|(?:same )?as (?:above|before))?\W*$", "", said.get("row", ""))
    beats = _beats(said.get("beats", ""))
    if (often := _OFTEN.fullmatch(step)) and beats and int(often[2]) != beats:
        step = f"{often[2]} {often[1]}"  # `Rocking Chair (4)`, 16 beats
    times = int((re.match(r"\d+", step) or ["1"])[0])
    row = re.sub(rf"(?i)[\s,]+(?:x ?{times}|{times} ?x|{times} times)$", "", row)
    row = re.sub(r"[\s,]+(?![^()]*\))", " ", row)
    if coded := said_in_codes(spelled(step), row):
        step, row = "", coded  # `Stomp, clap`
    foot = re.sub(r"(?i)[\s,]+(?:x ?\d|\d ?x)$", "", said.get("feet", ""))
    given = _each_time(row, foot, times)
    if given:
        step, foot = f"{step} ({','.join(given)})", ""
    bars = re.match(r"\d+", said.get("measures", "") or "")
    lead = said.get("lead", "")
    step += f" ({lead} foot)" if re.fullmatch(rf"(?i){SIDED}", lead) else ""
    notes = [*said.get("note", "").split("   "), *([lead] if not step.endswith(f"({lead} foot)") else [])]
    side, *told = (re.sub(r"\W|then|and", "", each) for each in (said.get("feet", ""), *notes))
    notes = [note for note, each in zip(notes, told, strict=True) if len(side) < 2 or each != side]  # said twice
    for at, each in enumerate(notes if times > 1 else ()):  # `L R L RL` | `L, then R`
        begins = [side[0].upper() for side in re.findall(rf"(?i)\b{SIDED}\b", each)] if _SIDES.fullmatch(each) else []
        if len(begins) == times and not given and foot[:1] in ("", begins[0]):
            step, foot, notes[at] = f"{step} ({','.join(begins)})", "", ""
        elif len(begins) == times:
            notes[at] = ", ".join(f"to the {side}" for side in begins)
    note = "   ".join(re.sub(rf"(?i)^(?={SIDED}$)", "to the ", each) for each in filter(None, notes))
    pieces = (step, row, foot if row else f"({foot})" * bool(foot), said.get("counts", ""), note)
    text = "   ".join(filter(None, pieces))
    return f"{text} [{beats}]" if beats else f"{text} [{bars[0]} measures]" if bars else text


_SIDES = re.compile(
    rf"(?i){SIDED}(?:\W+(?:(?:and|then)\W+)*{SIDED})+"
    r"(?:\W+(?:w/|with|on)?\W*(?:the )?opp(?:osite)?\.? (?:ft|feet|foot\w*))?"
)
"""The foot that begins each of several times."""
_OFTEN = re.compile(r"([A-Za-z][A-Za-z' -]*?)\s*\((\d{1,2})\)")
"""A figure, and how often it is danced."""


def _each_time(row: str, cell: str, times: int) -> list[str]:
    """Return the foot that begins each of several times of a row, as a cell has them, `L, R`, or all feet of several,
    `L RL  R LR`; none where it has those of one."""
    found, feet = found_in(row, {}), feet_of(cell.replace(",", " "))
    size = len(found[0].codes) if len(found) == 1 else 0
    if times < 2 or not feet or not size:
        return []
    if "," not in cell and len(feet) > size and not len(feet) % size:
        first = [each[0] for each in feet[::size]]
        return first * (times // len(first)) * (not times % len(first))
    letters = re.findall("[LR]", cell) if re.fullmatch(r"[LR](?:[\s,/&]*[LR])+", cell) else []
    apart = "," not in cell and len(feet) == size
    return letters if len(letters) == times and not apart else []


def _beats(cell: str) -> int:
    """Return how many beats a cell says, 0 if none: `4`, `4+4`, or from one beat to another one, `9-16`."""
    found = re.search(r"(\d+)(?:\s*-\s*(\d+)|((?:\s*\+\s*\d+)*))", cell)
    if not found:
        return 0
    if found[2]:
        return max(0, int(found[2]) - int(found[1]) + 1)
    return sum(map(int, re.findall(r"\d+", found[0])))


_SPANNED = re.compile(rf"(?i)(?:{UNITS}\s*)?(\d{{1,2}})\s*-\s*(\d{{1,2}})(?:\s*{UNITS})?")


def spans(cells: list[str]) -> list[tuple[int, int]]:
    """Return on which beats the cells of columns stand, (0, 0) for others, if heads say it: `Set | Beats 1-4 | Beats
    5-8`."""
    found = [_SPANNED.fullmatch(cell) for cell in cells]
    wordy = re.search("[A-Za-z]", cells[0]) and not found[0]
    headed = wordy and sum(map(bool, found)) > 1
    return [(int(each[1]), int(each[2])) if each else (0, 0) for each in found] if headed else []


_FOOT = re.compile(rf"(?i)\s*({SIDED})(?:\s+(?:ft|foot))?\s*:?\s+(?=[A-Za-z])")
_NAME = re.compile(r"\W*[A-Za-z][A-Za-z'-]*(?: [A-Za-z'-]+){0,3}\s*(?:\(\d+\))?\W*")
_WORD = re.compile(r"\S+")


def on_two_lines(texts: list[str]) -> list[str]:
    """Return lines with a row that stands on a line for each foot, under its beats, as one of codes over its feet and
    beats, behind the name that stands over it; it is left as it is unless just one foot moves in each column."""
    out = [*texts]
    for at, (beats, *feet) in enumerate(zip(texts, texts[1:], texts[2:], strict=False)):
        beats = CELL.sub(lambda label: " " * len(label[0]), beats.replace("|", " "))
        if not is_beats(beats) or not (row := _dealt_out(beats, [line.replace("|", " ") for line in feet])):
            continue
        named = at and out[at - 1].strip() and _NAME.fullmatch(out[at - 1])
        codes = f"{out[at - 1].rstrip()}   {row[0]}" if named else row[0]
        out[at - bool(named) : at + 3] = [codes, row[1], " ".join(beats.split()), *[""] * bool(named)]
    return out


def _dealt_out(beats: str, lines: list[str]) -> tuple[str, str] | None:
    """Return the codes and the feet of the lines of both feet, each word under the beat of its column, None if these
    are no such lines.

    A dash stands for the other half of a beat: `Rk-` comes before `-S` of the other foot.
    """
    starts = [found.start() for found in _WORD.finditer(beats)]
    labels = [found for line in lines if (found := _FOOT.match(line))]
    cells: dict[int, list[tuple[str, str]]] = {}
    for label in labels:
        for found in _WORD.finditer(label.string, label.end()):
            column = sum(start <= found.start() + 1 for start in starts)
            cells.setdefault(column, []).append((label[1][0].upper(), found[0]))
    if {label[1][0].upper() for label in labels} != {"L", "R"} or {*cells} != {*range(1, len(starts) + 1)}:
        return None
    codes, feet = list[str](), list[str]()
    for (foot, code), *places in itertools.chain.from_iterable(_halves(cells[column]) for column in sorted(cells)):
        if any(side != foot for side, _ in places) or len(places) > 1:
            return None
        if not re.fullmatch(r"[A-Za-z]+(?:\(\w+\))?", code := code.strip("-")):
            return None
        code = re.sub(r"^[A-Za-z]+", lambda word: word[0].upper(), code) + "".join(f"({word})" for _, word in places)
        if code == "S" and codes and codes[-1] in ("R", "RK") and feet[-1] != foot:
            codes[-1], feet[-1] = "RS", feet[-1] + foot
        else:
            codes, feet = [*codes, code], [*feet, foot]
    return " ".join(codes), " ".join(feet)


def _halves(cell: list[tuple[str, str]]) -> list[list[tuple[str, str]]]:
    """Return the feet of a column one behind the other, where a dash before the last one says so; else as they are."""
    late = [each for each in cell if each[1].startswith("-")]
    early = [each for each in cell if each not in late]
    return [early, late] if len(early) == len(late) == 1 else [cell]


_APART = re.compile(
    r"(?i)([a-z][\w' -]*?)\s{2,}(?:repeat(?:ed)?|rpt|same(?! foot)|ditto|again|(?=same foot))\b[,:]?\s*(.*)"
)
_MORE_TIMES = re.compile(r"(?i)\s+(?:\d|two|three|four) more times\b")
_FOOTED = frozenset(["figure", "foot", "feet", "number", "sep", "noise"])
"""What a line may hold that tells just figures and their feet."""


def fronted(text: str, vocabulary: Vocabulary) -> str:
    """Return a line in whose columns a figure stands before the word that asks for it again, `Joey   repeat on R`, or
    figures before how often they are, `Joey + Triple 3 more times`, with that word in front; one that tells figures and
    feet behind `all on the other foot` without these words."""
    more = _MORE_TIMES.search(text)
    joined = text[: more.start()] if more else ""
    if re.fullmatch(r"[A-Za-z][A-Za-z' +&-]*", joined) and re.search(r"(?i)\s(?:\+|&|and)\s", joined):
        figures = {value for kind, value, *_ in pieces(joined, vocabulary) if kind == "figure"}
        if len(figures) > 1:
            return f"Repeat {text}"
    words, _, told = (each.strip() for each in text.partition("   "))
    repeated = again(words, vocabulary) if told else None
    kinds = [kind for kind, *_ in pieces(told, vocabulary)] if repeated and repeated.feet == "other" else []
    if repeated and not repeated.changed and kinds.count("figure") > 1 and {*kinds} <= _FOOTED:
        return told
    found = _APART.fullmatch(text)
    figure = found is not None and any(kind == "figure" for kind, *_ in pieces(found[1], vocabulary))
    return f"Repeat {found[1]}, {found[2]}" if found and figure else text
