"""Rows of footwork in a line, `DS(L) BR/SL DS RS   L R L RL   &1 & 2 &3 &4`: their codes, feet and beats."""

import itertools
import re
from collections.abc import Mapping
from functools import lru_cache

from attrs import evolve, field, frozen

from stepcheck.books.book import Book
from stepcheck.cues.codes import Row, beats_of_row, feet_of, forms_beats, in_name, paired
from stepcheck.steps.steps import SIDE, Turn
from stepcheck.steps.vocabulary import code, eighths
from stepcheck.steps.words import FOOT, SIDED, SIZE, SPOKEN_FEET, words_of

_PLACES = frozenset(words_of("places of a row"))
_WORDS = words_of("words of a row")
"""Words of a row for the codes of the book."""
_SMALL = frozenset(words_of("small codes"))  # inside a row
_WORD, _CAPITAL, _NAME = re.compile(r"[A-Za-z]+"), re.compile("[A-Z]"), re.compile(r"\s?[A-Za-z]{3}")
_BEGINS, _COUNTED = re.compile(r"(?<![\w'-])[A-Za-z]"), re.compile(r"\d\s*x?\s*$")
_SPELLED = re.compile(r"[A-Z][a-z]|[a-z]{3}")
_SECOND = re.compile(r"(?:\b[LR]\s*(?:&|\+|/|,|and|then)\s*[LR]|(?P<only>[A-Za-z]{3} R))$")
_INNER = re.compile(r" ?\(([A-Za-z, ]{1,14})\)")
_FOOTED = re.compile(r"([LR]+)(?:[,\s]\s*(\w+))?")
"""The foot of a code, and its place in the same bracket: `DS(R,xif)`."""
_BETWEEN = re.compile(r"[\s,|+/-]*(?:\.\.+\s*)?")
_FEET = re.compile(
    r"(?:\s*[=:]|\s+-{1,2}(?=\s))?[\s,;|(]*((?:(?:\([LR]\))?[LR]{1,2}(?:\s*[-/]\s*[LR]{1,2})?[\s,]+)+(?:then\s+)?"
    r"[LR]{1,2}(?:-[LR])?)\b\)?"
)
_BEATS = re.compile(r"[\s\[(|]*([&ea\d][&ea\d \t]*)[\])]?(?![\w/])")
_ENDS = re.compile(
    r"(?i:hold|pause) ?\d|(?:[LR]{1,2}(?:\s*[-/]\s*[LR]{1,2})?[\s,]+){1,16}[LR]{1,2}(?![\w/(-])|R(?=\W*$|\s*(?:&|"
    r"and\b)\s*L\b)"
)
"""What begins like codes and is feet, `DS RS RS   R LR LR`, or stillness of several beats."""
_SPIN = re.compile(rf"(?i),?\s+turn(?:ing|s)?\s+({SIZE})\s+(?:to the )?({SIDED})\b")
_LED = re.compile(rf"(?i:\s+\({FOOT}\)|(?<=RS)\s+\(?[LR]\)?)$")
"""A foot apart behind a row no other step of which has one: that on which the row begins."""
_STILL = re.compile(r"(?i)\((hold|pause|rest|clap)\)")
_UNDER = re.compile(r"\s*(?:&|\band\b)\s+(?=(?:slide|drag|lift)\b)")
_STRONG = ("DS", "RS")


@frozen
class Footwork:
    """A row: the codes of each of its places, with its note; the feet and the beats beside or below it, and where it
    stands in its text; `own` says that only some of its codes have feet, `spins` behind how many of its places it
    turns, and how."""

    codes: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]
    feet: tuple[str, ...] = ()
    beats: tuple[str, ...] = ()
    spins: tuple[tuple[int, Turn], ...] = ()
    own: bool = False
    start: int = field(default=0, eq=False)
    end: int = field(default=0, eq=False)

    @property
    def row(self) -> Row:
        """The codes with what stands under them."""
        return Row(self.codes, self.notes, self.feet, self.beats)

    def spin(self, book: Book) -> tuple[Turn, int] | None:
        """Return the turn inside the row and its beat, None if it has none, or several."""
        if len(self.spins) != 1:
            return None
        last, turn = self.spins[0]
        return turn, max(1, forms_beats(" ".join(each for group in self.codes[:last] for each in group), book))

    def once(self, times: int, least: int = 3) -> "Footwork":
        """Return one time of a row that is written for each, and has `least` codes: `2 Basics  DS RS DS RS`."""
        size = len(self.codes) // max(1, times)
        if times < 2 or not size or times * size < least or self.codes != self.codes[:size] * times:
            return self
        return evolve(self, codes=self.codes[:size], notes=self.notes[:size], feet=self.feet[:size], beats=(), spins=())

    def lasts(self, book: Book) -> int:
        """Return how many beats the row lasts: those written under it, else as its codes are danced, 0 if unknown."""
        first, last = self.row.span
        return last - first + 1 if last else forms_beats(" ".join(each for group in self.codes for each in group), book)


@frozen
class _Atom:
    codes: tuple[str, ...]
    feet: tuple[str, ...]
    note: str
    end: int
    weak: bool
    spin: Turn | None = None
    spaced: bool = False


def _code(word: str, legend: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    low = word.casefold()
    if low in legend:
        return legend[low]
    if low == "st" and not word.isupper():
        return ()  # a step or a stomp
    if low in _WORDS:
        return (_WORDS[low],)
    if word.isupper() or low in _SMALL:
        return code(word.upper(), "clogging") if low != "l" else ()
    return ()


def said_in_codes(text: str, row: str) -> str:
    """Return a row in codes if words stand just for these, or for those of each of its like pieces, `Stomp, clap`; ""
    if they say anything else."""
    words = [(_code(word, {}) or _code(word.removesuffix("s"), {}) or ("",))[0] for word in _WORD.findall(text)]
    found = found_in(row, {})
    said = [each for group in found[0].codes for each in group] if len(found) == 1 and not any(found[0].notes) else []
    alike = bool(words) and not text[0].isdecimal() and said == words * (len(said) // len(words))
    return " ".join(said) * alike


_HEELED = re.compile(r"(?i)toe[- ]heel\b(?:\(([a-z]+)\))?")
_GLUED = re.compile(r"([A-Z]{1,3})(xif|xib|xf|xb|ots|os)")
_HUNG = re.compile(r"-(xif|xib|xf|xb|ots|os)\b")
_PLACED = re.compile(r"(?:xif|xib|xf|xb|ots|os|if|ib|[fb])\b")
_JOINED = re.compile(r"(?:\s?/|/\s?)(?=[A-Za-z])|-(?=[A-Za-z])")
_BESIDE = re.compile(r" ?(?:\(([LR])\)|([LR]|left|right)(?![\w'(])(?!\s*[-/,]?\s*(?:[LR]{1,2}|S|foot|feet|ft)\b))")
_THERE = tuple(
    re.compile(rf"\s({ahead}(?:[a-z]+|(?!CROSS|DOWN)[A-Z]{{3,}}))\b")
    for ahead in ("(?i:in |to |out |out to |cross |cross in )?(?i:the )?", "")
)
"""Where a foot goes, in words behind its code: `out to the side`, `out`."""


def _atom(text: str, at: int, legend: Mapping[str, tuple[str, ...]]) -> _Atom | None:
    """Return the code that begins at a place, with those that hang on it, their feet and places."""
    if still := _STILL.match(text, at):  # `STO STO (hold)`
        return _Atom((_WORDS.get(still[1].casefold(), "HOLD"),), ("",), "", still.end(), True)
    made = _Atom((), (), "", at, True)
    while each := _single(text, made.end, legend):
        made = _Atom(
            made.codes + each.codes, (*made.feet, *each.feet), made.note or each.note, each.end, made.weak and each.weak
        )
        joined = _JOINED.match(text, each.end)
        apart = joined and joined[0] == "-" and each.codes[0] in _STRONG
        if joined and not apart and (ahead := _WORD.match(text, joined.end())) and _code(ahead[0], legend):
            made = evolve(made, end=joined.end())
        elif not each.spaced or not _CAPITAL.match(text, each.end):
            return made
    return made if made.codes and not _WORD.match(text, made.end) else None


def _single(text: str, at: int, legend: Mapping[str, tuple[str, ...]]) -> _Atom | None:
    """Return the one code that begins at a place, with its foot and place; it is `spaced` if these stand behind it."""
    if heeled := _HEELED.match(text, at):
        place = heeled[1] if heeled[1] in _PLACES else ""
        return _Atom(("TW", "HD"), ("",), place, heeled.end() if place else heeled.start() + 8, False)
    found = _WORD.match(text, at)
    glued = _GLUED.fullmatch(found[0]) if found else None
    word, placed = (glued[1], glued[2]) if glued else (found[0] if found else "", "")
    codes = _code(word, legend)
    if not found or not codes:
        return None
    weak = not (word.isupper() and len(word) > 1) and word.casefold() not in ("ds", "rs")
    end, foot, raised = found.end(), "", codes
    while inner := _INNER.match(text, end):
        said, footed = inner[1].casefold().strip(), _FOOTED.fullmatch(inner[1])
        if said in SPOKEN_FEET or (footed and footed[2] in (None, *_PLACES)):
            foot, placed = SPOKEN_FEET.get(said) or re.split(r"[,\s]", inner[1])[0], (footed and footed[2]) or placed
        elif codes == ("BR",) and said == "up":
            raised = ("BR", "UP")
        elif codes == ("BR",) and said == "sl":
            raised = ("BR", "SL")
        elif {*said.split()} <= {*_PLACES, "to", "the"}:
            placed = said
        else:
            break
        end = inner.end()
    if not placed and (hung := _HUNG.match(text, end)):
        placed, end = hung[1], hung.end()
    if end != found.end() and (behind := _PLACED.match(text, end)):
        placed, end = behind[0], behind.end()
    return _Atom(raised, (foot,), placed, end, weak, spaced=end != found.end())


def _run(text: str, at: int, legend: Mapping[str, tuple[str, ...]]) -> tuple[list[_Atom], list[int]]:
    """Return the codes in a row from a place on, and where each begins."""
    atoms: list[_Atom] = []
    starts: list[int] = []
    while (not atoms or not _ENDS.match(text, at)) and (found := _atom(text, at, legend)):
        made = _spun(text, _beside(text, found), legend)
        atoms.append(made)
        starts.append(at)
        gap = _UNDER.match(text, made.end) or _BETWEEN.match(text, made.end)
        at = gap.end() if gap else made.end
        if at == made.end:
            break
    return atoms, starts


def _beside(text: str, made: _Atom) -> _Atom:
    """Return a code with the foot and the place that are said in words behind it: `Stomp left`, `kick in front`."""
    foot = _BESIDE.match(text, made.end)
    if foot and len(made.feet) == 1 and not any(made.feet):
        made = evolve(made, feet=(SPOKEN_FEET[(foot[1] or foot[2]).casefold()],), end=foot.end())
    found = ((each, {*each[1].casefold().split()}) for pattern in _THERE if (each := pattern.match(text, made.end)))
    place = next((each for each, said in found if said & _PLACES and said <= {*_PLACES, "to", "the"}), None)
    if place and not (place[1] in _SMALL and len(place[1]) < 2):
        more = ("UP",) if place[1] == "up" and made.codes[-1] in ("BR", "DT", "K") else ()
        made = evolve(made, codes=made.codes + more, note=made.note if more else place[1].casefold(), end=place.end())
    return evolve(made, codes=("TT",)) if made.codes == ("T",) and made.note else made


def _spun(text: str, made: _Atom, legend: Mapping[str, tuple[str, ...]]) -> _Atom:
    """Return a code with the turn behind it, if the row goes on behind that."""
    ahead = _SPIN.match(text, made.end)
    follows = _BETWEEN.match(text, ahead.end()) if ahead else None
    if not ahead or not follows or not _atom(text, follows.end(), legend):
        return made
    return evolve(made, end=ahead.end(), spin=Turn(eighths(ahead[1]), SIDE[ahead[2][0].upper()]))


def _whole(atoms: list[_Atom]) -> bool:
    said = [each for atom in atoms for each in atom.codes]
    rocks = any(pair == ("R", "S") for pair in itertools.pairwise(said)) and not all(atom.weak for atom in atoms)
    plain = sum(not atom.weak for atom in atoms)
    strong = rocks or any(each in _STRONG for each in said) or plain > 1 or (plain and len({*said}) > 2)
    strong = strong or (plain == 1 and said[-1] in ("CLAP", "HOLD"))
    strong = strong or any(any(atom.feet) and not atom.weak for atom in atoms) or (len(said) > 2 and {*said} == {"STO"})
    return len(said) > 1 and strong and said != ["BK", "UP"]  # where a figure goes


_TOES = re.compile(r"T[ -]+H[ ,]+T[ -]+H(?![\w'(])")
_STOMPS = re.compile(r"(?i)\bst(?=\.?\s+DS\s+DS\s+RS\b)|(?<=st )st\b|\bst(?= st\b)")
"""`St` where it can be no step: before a double step of the other foot, or in a row of its like."""


def found_in(text: str, legend: Mapping[str, tuple[str, ...]]) -> list[Footwork]:
    """Return the rows of codes of a text, in order."""
    return [*_found_in(text, tuple(legend.items()))]


@lru_cache(maxsize=1 << 10)  # the same line is asked for rows from many sides
def _found_in(text: str, said: tuple[tuple[str, tuple[str, ...]], ...]) -> tuple[Footwork, ...]:
    legend = {"st": ("STO",), **dict(said)} if _STOMPS.search(text) else dict(said)
    out: list[Footwork] = []
    at = 0
    while spot := _BEGINS.search(text, at):
        atoms, starts = _bounded(text, *_run(text, spot.start(), legend))
        if atoms and not (_whole(atoms) or _TOES.match(text, starts[0])):
            at = max(_likely(atoms, starts), spot.end())
        elif not atoms or _several(text, atoms, starts):
            at = (_WORD.match(text, spot.start()) or spot).end()
        else:
            out.append(_row(text, atoms, starts))
            at = out[-1].end
    return tuple(out)


_WRITTEN = re.compile(r"[\s/,-]{1,3}[A-Za-z]*[a-z][A-Z]\w*| (?![LR]+ |DS|RS|AND |THEN )[A-Z]{2,} (?:DS|RS)(?![\w'-])")
_CUT = re.compile(
    r"(?<![\w'-])(?:DS|RS)(?:\([^()]*\))? (?:[A-Z]{1,4}(?:\([^()]*\))? )*(?![LR]+ |DS|RS|AND |THEN )([A-Z]{2,})"
    r"(?:\([^()]*\))? $"
)
_BROKEN = re.compile(r"[\s/,-]*(?:(?!(?:and|then|or|x)\b)(?:[A-Z]{2,}|[a-z]{1,4})(?:\([^()]*\))?[\s/,-]+){1,3}")


def is_broken(text: str, legend: Mapping[str, tuple[str, ...]], timed: bool = False) -> bool:
    """Say whether codes that no book has stand between those of a row, `DS HOP(L)/LIFT(R) TCH HOP`, or stops that may
    be rests, `S . S . S S S`; between all codes of a row whose beats are stated, `timed`, they are none."""
    found = found_in(text, legend)
    apart = {*re.findall(r"(?<=\w)\.+(?=\w)", text)}
    if len(apart) > 1 and all(_code(word, legend) for word in re.split(r"\.+", text.strip(" .!"))):
        return True  # `stomp....stomp..stomp`: when each is danced
    for joined in re.findall(r"(?<![\w-])[A-Za-z]{1,3}(?:-[A-Za-z]{1,3})+(?![\w-])", text):
        codes = [bool(_code(word, legend)) for word in joined.split("-")]
        if sum(codes) > 1 and not all(codes) and not re.fullmatch("[LR-]+", joined):
            return True  # `DBL-BA-H`
    words = re.sub(r"\([^()]*\)", "", text).split()
    coded = ["." if word == "." else "code" if _code(word.strip(",;"), legend) else "" for word in words]
    said = " ".join(coded).strip(" .")
    if "code . code" in said and not (timed and "code code" not in said):
        return True
    gaps = (text[one.end : other.start] for one, other in itertools.pairwise(found))
    cuts = [_CUT.search(text[: row.start]) for row in found]
    behind = any(_WRITTEN.match(text, row.end) for row in found)
    return any(map(_BROKEN.fullmatch, gaps)) or behind or any(cut and not _code(cut[1], legend) for cut in cuts)


def _several(text: str, atoms: list[_Atom], starts: list[int]) -> bool:
    """Say whether the first of several codes is danced several times by itself: `2 RS, Stomp`."""
    before = text[max(0, starts[0] - 8) : starts[0]]
    return len(atoms) > 1 and "," in text[atoms[0].end : starts[1]] and _COUNTED.search(before) is not None


def _likely(atoms: list[_Atom], starts: list[int]) -> int:
    """Return from where on a row may begin, if codes in a row are none: no end of them is one, but stomps alone."""
    stomps = [*itertools.takewhile(lambda atom: {*atom.codes} == {"STO"}, reversed(atoms))]
    return starts[-len(stomps)] if stomps and len(stomps) < len(atoms) else atoms[-1].end


def _bounded(text: str, atoms: list[_Atom], starts: list[int]) -> tuple[list[_Atom], list[int]]:
    """Return codes in a row without the words of a name in front of them or behind them, `DS BR UP   Brush Up`, that
    stand apart by more than the codes do."""
    said = _SECOND.search(text, max(0, starts[0] - 12), starts[0] + 1) if starts else None
    if said and (not said["only"] or text.startswith(",", starts[0] + 1)):
        atoms, starts = atoms[1:], starts[1:]  # a foot of the figure in front of them
    gaps = [len(text[atom.end : start].expandtabs()) for atom, start in zip(atoms, starts[1:], strict=False)]
    behind = [*itertools.accumulate(reversed(gaps), max, initial=1)][::-1]  # the widest from each code on
    codes = [each.codes for each in atoms]
    for first, atom in enumerate(atoms[:-1], 1):
        dotted = ".." in text[atom.end : starts[first]] and len(text[starts[first - 1] : atom.end]) > 3
        again = atom.codes in codes[first:]
        if not (atom.weak or dotted or in_name(text[: starts[first]], again)):  # `TRIPLE BRUSH.... DS DS DS BR UP`
            break
        wide = gaps[first - 1] > behind[first]
        named = wide or re.search(r"[(:]", text[atom.end : starts[first]])
        if (wide and codes[:first] == codes[first:]) or (named and _whole(atoms[first:])):
            atoms, starts, gaps = atoms[first:], starts[first:], gaps[first:]
            break
    before = [*itertools.accumulate(gaps, max, initial=1)]
    for last in range(len(atoms) - 1, 0, -1):
        here = text[starts[last] :]
        foot = re.match(r"R(?![\w(])", here) is not None  # `DS DS DS RS    R`
        gap = text[atoms[last - 1].end : starts[last]]
        spelled = not atoms[0].weak and gap.isspace() and _SPELLED.match(here)
        if not atoms[last].weak or not (foot or spelled or _NAME.match(text, atoms[-1].end)):
            break
        if gaps[last - 1] > before[last - 1] or re.match(r"R\s+(?:foot|ft|lead|side|diag|corner)", here):
            return atoms[:last], starts[:last]
    return atoms, starts


def _row(text: str, atoms: list[_Atom], starts: list[int]) -> Footwork:
    """Return codes as a row, with the feet and the beats that stand beside them."""
    end = atoms[-1].end
    feet: tuple[str, ...] = ()
    if any(any(each.feet) for each in atoms):
        feet = tuple("-".join(filter(None, each.feet)) for each in atoms)
    if led := _LED.search(text[starts[-1] : end]) if any(feet) and not any(feet[:-1]) else None:
        end, feet = starts[-1] + led.start(), ()
    feet = _leading(text, atoms, starts, feet)
    own = any(feet) and not all(feet)
    if cells := _FEET.match(text, end):
        under = feet_of(re.sub(r"\bthen\b|,", " ", cells[1]))
        groups = tuple(atom.codes for atom in atoms)
        if len(paired(groups, under)) == len(atoms) or not re.match(
            r"\s*[,;(=:-]|[^;]*(?:,|then)", text[end : cells.end()]
        ):
            feet, end = under, cells.end()  # else `, L then R` is how often it is danced
    beats: tuple[str, ...] = ()
    if (cells := _BEATS.match(text, end)) and "&" in cells[1] and len(beats_of_row(cells[1])) > 1:
        beats, end = beats_of_row(cells[1]), cells.end()
    codes, notes, feet = _rocked(atoms, feet)
    spins = tuple((len(_rocked(atoms[: at + 1], ())[0]), atom.spin) for at, atom in enumerate(atoms) if atom.spin)
    return Footwork(codes, notes, feet, beats, spins, own, starts[0], end)


def _leading(text: str, atoms: list[_Atom], starts: list[int], feet: tuple[str, ...]) -> tuple[str, ...]:
    """Return the feet of codes; one that stands apart behind several without others, before a comma, begins these: `DS
    DS DS RS (L), STO (R)`."""
    out = [*feet]
    commas = [at for at, (one, to) in enumerate(zip(atoms, starts[1:], strict=False), 1) if "," in text[one.end : to]]
    for a, b in itertools.pairwise([0, *commas, len(atoms)] if any(feet) else []):
        if b - a > 1 and not any(out[a : b - 1]) and re.search(r"\s\([LR]\)$", text[starts[b - 1] : atoms[b - 1].end]):
            out[a], out[b - 1] = out[b - 1], ""
    return tuple(out)


def _rocked(
    atoms: list[_Atom], feet: tuple[str, ...]
) -> tuple[tuple[tuple[str, ...], ...], tuple[str, ...], tuple[str, ...]]:
    """Return codes, notes and feet with `R S` as one rock step."""
    codes: list[tuple[str, ...]] = []
    notes: list[str] = []
    sides: list[str] = []
    own = len(feet) == len(atoms)
    for at, each in enumerate(atoms):
        if codes and codes[-1] == ("R",) and each.codes == ("S",):
            codes[-1], notes[-1] = ("RS",), ", ".join(filter(None, (notes[-1], each.note)))
            sides[-1] += feet[at] if own else ""
            continue
        pair = each.codes == ("R", "S")
        codes.append(("RS",) if pair else each.codes)
        notes.append(each.note)
        sides.append(feet[at].replace("-", "" if pair else "-") if own else "")
    return tuple(codes), tuple(notes), tuple(sides) if own and any(sides) else feet


def joined_rows(made: list[Footwork]) -> Footwork | None:
    """Return rows that stand in one piece as one."""
    if len(made) < 2:
        return made[0] if made else None
    feet = tuple(cell for row in made for cell in row.feet)
    codes = tuple(group for row in made for group in row.codes)
    before = [0, *itertools.accumulate(len(row.codes) for row in made)]
    spins = tuple((at + place, turn) for at, row in zip(before, made, strict=False) for place, turn in row.spins)
    notes = tuple(each for row in made for each in row.notes)
    return Footwork(
        codes, notes, feet if len(feet) == len(codes) else (), spins=spins, own=all(row.own for row in made)
    )
