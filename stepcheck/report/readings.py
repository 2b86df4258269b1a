"""The readings of a sheet's open words: which of them change a verdict, to which mistakes, and what settles them.

Everything is computed from one walk with the words left open.  The assignments of readings are the bits of an integer
(`footwork.Words`), so the failures of a claim are one integer.
"""

from collections.abc import Iterator
from functools import reduce
from itertools import combinations
from operator import and_, or_

from attrs import evolve, field, frozen

from stepcheck.books.footwork import Words, danced
from stepcheck.language.syntax import HeaderField, Sheet
from stepcheck.model import words as said
from stepcheck.model.claims import Claim
from stepcheck.model.dance import Program, Word
from stepcheck.model.outcome import Replay, Verdict
from stepcheck.model.work import WorkSpent
from stepcheck.report.notes import open_words
from stepcheck.report.sentences import sentence
from stepcheck.report.values import Hang, Leaning, Visit
from stepcheck.report.wording import Scene
from stepcheck.walk.effects import Algebra
from stepcheck.walk.walk import Survey, survey, trace

MOST_TRIED = 20_000  # cells of assignments are looked at for the shortest clarification
MOST_VISITS = 40


@frozen
class View:
    """A program with its words left open, and how its claims stand under each assignment.

    `changed` has for each claim the assignments that give it another verdict than the usual readings do.
    """

    program: Program
    survey: Survey
    changed: dict[str, int]
    departs: tuple[int, ...] = field(repr=False)

    @property
    def words(self) -> Words:
        """The words and their assignments."""
        return self.survey.words

    def fails(self, claim: str) -> int:
        """Return the assignments under which a claim is not proved."""
        return self.survey.refuted.get(claim, 0) | self.survey.waiting.get(claim, 0)

    def never(self, claim: str) -> bool:
        """Say whether a claim holds under no reading."""
        return self.fails(claim) == self.words.every


def opened_up(
    program: Program, words: tuple[Word, ...], *, budget: int | None = None, algebra: Algebra | None = None
) -> View | None:
    """Return a program with `words` left open and surveyed; None if that is more than the budget allows."""
    opened = program if program.words else evolve(program, words=words)
    found = survey(opened, budget=budget, algebra=algebra)
    if found is None:
        return None
    every = found.words.every
    changed = {}
    for claim in opened.claims:
        bits = 0
        for who in (found.refuted.get(claim.id, 0), found.waiting.get(claim.id, 0)):
            bits |= every & ~who if who & 1 else who
        if bits:
            changed[claim.id] = bits
    departs = tuple(every & ~found.words.where(number, 0) for number in range(len(opened.words)))
    return View(opened, found, changed, departs)


def hangs_of(view: View) -> tuple[Hang, ...]:
    """Return the smallest sets of words that change a verdict when they are not read as usual."""
    union = reduce(or_, view.changed.values(), 0)
    return tuple(_hang(view, chosen, bits) for chosen, bits in _smallest(view, union))


def _smallest(view: View, wanted: int) -> Iterator[tuple[tuple[int, ...], int]]:
    """Yield the smallest sets of words with `wanted` assignments that depart in just these, and those assignments."""
    every = view.words.every
    found: list[set[int]] = []
    for size in range(1, len(view.departs) + 1):
        if not wanted:
            return
        for chosen in combinations(range(len(view.departs)), size):
            if any(smaller <= set(chosen) for smaller in found):
                continue
            bits = wanted
            for number, departs in enumerate(view.departs):
                bits &= departs if number in chosen else every & ~departs
                if not bits:
                    break
            else:
                found.append(set(chosen))
                yield chosen, bits
        for smaller in found:
            wanted &= ~reduce(and_, (view.departs[number] for number in smaller), every)


def _hang(view: View, chosen: tuple[int, ...], bits: int) -> Hang:
    words = view.words
    readings: list[tuple[int, ...]] = []
    for number in _numbers(bits):
        kinds = words.kinds(number)
        first, *rest = [words.classes[word][kinds[word]] for word in chosen]
        readings += [(first[0], *(kind[0] for kind in rest))] if rest else [(reading,) for reading in first]
    labels = tuple(
        tuple(words.words[word].labels[reading] for word, reading in zip(chosen, one, strict=True))
        for one in sorted(readings)
    )
    claims = tuple(claim for claim, changed in view.changed.items() if changed & bits)
    return Hang(tuple(words.words[word].key for word in chosen), labels, claims)


def _numbers(bits: int) -> Iterator[int]:
    """Yield the assignments in a set, in order."""
    while bits:
        low = bits & -bits
        yield low.bit_length() - 1
        bits ^= low


def idle(view: View) -> tuple[str, ...]:
    """Return the open words that change no verdict, whatever the others are read as."""
    words = enumerate(view.words.words)
    return tuple(w.key for n, w in words if not any(_sensitive(view, n, bits) for bits in view.changed.values()))


def _sensitive(view: View, word: int, bits: int) -> int:
    """Return the assignments for which another reading of `word` leads into `bits` or out of it."""
    words = view.words
    unit = words.number(tuple(int(number == word) for number in range(len(words.classes))))
    out = 0
    places = [words.where(word, kind) & words.every for kind in range(len(words.classes[word]))]
    for kind, place in enumerate(places):
        for other, there in enumerate(places):
            move = unit * (other - kind)
            possible, moved = _moved(place, move) & there, _moved(bits & place, move)
            out |= (moved ^ bits) & possible
    return out


def _moved(bits: int, by: int) -> int:
    return bits << by if by >= 0 else bits >> -by


# -- the shortest clarification --------------------------------------------------------------------------------------


class _Search:
    """The search for the fewest words to settle so that none of the assignments `bad` is left."""

    def __init__(self, view: View, bad: int) -> None:
        self.view, self.bad, self.tried = view, bad, 0
        self.sensitive = tuple(
            _sensitive(view, word, bad) & ~bad if len(kinds) > 1 else 0 for word, kinds in enumerate(view.words.classes)
        )

    def shortest(self) -> tuple[dict[int, int], bool] | None:
        """Return the class to settle each chosen word to, and whether nothing shorter is possible."""
        words, good = self.view.words, self.view.words.every & ~self.bad
        layers = words.layers(self.sensitive)
        near = words.layers(self.view.departs)
        for limit in range(len(self.sensitive) + 1):
            reach = reduce(or_, layers[: limit + 1], 0)
            for layer in near:
                for number in _numbers(layer & reach & good):
                    found = self._around(number, limit)
                    if found is not None:
                        return found, True
                    if self.tried > MOST_TRIED:
                        return self._plain(good), False
        return None

    def _around(self, number: int, limit: int) -> dict[int, int] | None:
        kinds = self.view.words.kinds(number)
        forced = {word: kinds[word] for word, bits in enumerate(self.sensitive) if bits >> number & 1}
        return self._more(kinds, forced, limit) if len(forced) <= limit else None

    def _more(self, kinds: tuple[int, ...], fixed: dict[int, int], limit: int) -> dict[int, int] | None:
        """Return `fixed` with more words settled, so that nothing bad is left."""
        self.tried += 1
        left = reduce(and_, (self.view.words.where(word, kind) for word, kind in fixed.items()), self.bad)
        if not left:
            return fixed
        if len(fixed) >= limit or self.tried > MOST_TRIED:
            return None
        stray = self.view.words.kinds(next(_numbers(left)))
        for word, (kind, other) in enumerate(zip(kinds, stray, strict=True)):
            if kind != other:
                found = self._more(kinds, {**fixed, word: kind}, limit)
                if found is not None:
                    return found
        return None

    def _plain(self, good: int) -> dict[int, int]:
        """Return a clarification of which no line can be left out, though another may be shorter."""
        words = self.view.words
        near = next(some for layer in words.layers(self.view.departs) if (some := layer & good))
        kinds = words.kinds(next(_numbers(near)))
        fixed = dict(enumerate(kinds))
        for word in range(len(kinds)):
            others = (words.where(other, kind) for other, kind in fixed.items() if other != word)
            if not reduce(and_, others, self.bad & words.every):
                del fixed[word]
        return fixed


def clarify(view: View) -> Leaning:
    """Return the fewest header lines under which every claim holds, however the other words are read, as `settle`.

    Claims that hold under no reading are left aside: no reading mends them.  Of several the one nearest to the usual
    readings comes first, then the one that settles earlier words.
    """
    bad = reduce(or_, (view.fails(claim.id) for claim in view.program.claims if not view.never(claim.id)), 0)
    if not bad:
        return Leaning()
    found = _Search(view, bad).shortest() if bad != view.words.every else None
    if found is None:
        return Leaning(helps=False)
    fixed, shortest = found
    words = ((view.words.words[word], view.words.classes[word][kind][0]) for word, kind in sorted(fixed.items()))
    settle = tuple((word.key, word.labels[reading]) for word, reading in words)
    return Leaning(settle=settle, shortest=shortest)


def settled(sheet: Sheet, lines: tuple[tuple[str, str], ...]) -> str:
    """Return the text of a sheet with `lines` added to its header."""
    last = max((line.number for line in sheet.lines if isinstance(line.node, HeaderField)), default=0)
    added = (f"{word}: {label}" for word, label in lines)
    return "\n".join([*sheet.source.lines[:last], *added, *sheet.source.lines[last:]])


# -- dancers from elsewhere ------------------------------------------------------------------------------------------


def visits(view: View, scene: Scene, found: tuple[Hang, ...]) -> tuple[Visit, ...]:
    """Return, for each way to read words otherwise that breaks a claim, what goes wrong first."""
    keys = [word.key for word in view.words.words]
    out = []
    for hang in found:
        numbers = [keys.index(word) for word in hang.words]
        for labels in hang.readings:
            kinds = [0] * len(keys)
            for word, label in zip(numbers, labels, strict=True):
                reading = view.words.words[word].labels.index(label)
                kinds[word] = next(k for k, same in enumerate(view.words.classes[word]) if reading in same)
            made = _visit(view, scene, hang, labels, view.words.number(tuple(kinds)))
            if made is not None:
                out.append(made)
            if len(out) == MOST_VISITS:
                return tuple(out)
    return tuple(out)


def _visit(view: View, scene: Scene, hang: Hang, labels: tuple[str, ...], number: int) -> Visit | None:
    """Return the first claim that fails for a dancer with the readings of assignment `number`, if one does."""
    from stepcheck.report.certify import confirm

    broken = frozenset(claim for claim, who in view.survey.refuted.items() if who >> number & 1)
    usual = frozenset(claim for claim, who in view.survey.refuted.items() if who & 1)
    best: tuple[int, int, Claim, tuple[Replay, ...]] | None = None
    for order, claim in enumerate(view.program.claims):
        if claim.id in broken - usual:
            traces = trace(view.program, claim.id, broken, broken, readings=view.words.readings(number))
            if not traces:
                continue
            try:
                replays = confirm(view.program, claim, traces, broken | view.survey.waiting.keys())
            except WorkSpent:
                continue
            if best is None or (replays[0].tick, order) < best[:2]:
                best = replays[0].tick, order, claim, replays
    if best is None:
        return None
    _, _, claim, replays = best
    apart = {figure.name for _, figure in danced(view.program) if not open_words(figure).isdisjoint(hang.words)}
    row = next((row for row in replays[0].rows if row.label in apart), replays[0].rows[-1] if replays[0].rows else None)
    line, beat, figure = (row.line, said.beat(row.tick), row.label) if row else (claim.line, "1", "")
    wrong = sentence(scene, claim, Verdict.REFUTED, replays)
    return Visit(hang.words, labels, line, beat, figure, claim.id, claim.line, wrong)


def lean(view: View, scene: Scene) -> Leaning:
    """Return the whole dependence of a sheet on readings."""
    found, unmoved = hangs_of(view), idle(view)
    matter = tuple(word.key for word in view.words.words if word.key not in unmoved)
    return evolve(clarify(view), hangs=found, matter=matter, idle=unmoved, visits=visits(view, scene, found))
