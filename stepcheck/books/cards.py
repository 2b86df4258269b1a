"""A figure of a book written out: its count table, what it does from either lead, its readings and their sources."""

from collections.abc import Iterator, Sequence
from typing import Any

from attrs import evolve, frozen

from stepcheck.books.footwork import Impossible, dance, is_still
from stepcheck.books.outline import FROM_MEMORY
from stepcheck.books.placing import counted
from stepcheck.model import words
from stepcheck.model.dance import Action, Actor, Figure, Foot, Movement, Sense, Version, Weight
from stepcheck.model.source import require


@frozen
class Pace:
    """One movement of the count table: when, which, by which foot, and where the weight is afterwards."""

    count: str
    movement: str
    foot: str
    weight: str


@frozen
class End:
    """What comes of a figure: danced from this start, this foot is free then, after this signed turn in eighths."""

    start: str
    free: str
    turn: int


@frozen
class Meaning:
    """One reading of a figure; `ticks` long.  `fails` says at which count and why it cannot be danced, if it cannot."""

    label: str
    usual: bool
    ticks: int
    paces: tuple[Pace, ...]
    ends: tuple[End, ...]
    sources: tuple[str, ...]
    memory: bool
    fails: str = ""


@frozen
class Card:
    """A figure written out; `words` are the movements in it that have several readings, with each label and sources."""

    name: str
    book: str
    also: tuple[str, ...]
    lead: str
    levels: tuple[tuple[str, str], ...]
    usual_turns: tuple[int, ...]
    one_lead: bool
    meanings: tuple[Meaning, ...]
    words: tuple[tuple[str, tuple[tuple[str, bool, tuple[str, ...]], ...]], ...]

    @property
    def ticks(self) -> int:
        """How long it lasts as usually read."""
        return next(meaning.ticks for meaning in self.meanings if meaning.usual)


def card(figure: Figure) -> Card:
    """Return a figure written out; its movements are read as usual."""
    require(figure, Figure, "a figure, as `find` of a book gives it")
    movements: dict[str, Movement] = {}
    for version in figure.versions:
        for action in version.actions:
            if len(action.movement.senses) > 1:
                movements.setdefault(action.movement.name, action.movement)
    return Card(
        figure.name,
        figure.book,
        figure.names,
        words.foot(figure.lead),
        tuple((level.name, level.scheme) for level in figure.levels),
        figure.usual_turns,
        figure.one_lead,
        tuple(_meaning(figure, version, number == figure.usual) for number, version in enumerate(figure.versions)),
        tuple(
            (name, tuple((sense.label, number == movement.usual, sense.sources) for number, sense in enumerate(movement.senses)))
            for name, movement in movements.items()
        ),
    )


def _meaning(figure: Figure, version: Version, usual: bool) -> Meaning:
    paces = []
    weight = Weight(figure.lead.other)
    fails = ""
    for number, action in enumerate(version.actions):
        sense = action.movement.senses[action.movement.usual]
        after = dance(evolve(version, actions=version.actions[: number + 1]), figure.lead, False, {})
        if isinstance(after, Impossible):
            fails = f"count {counted(action.tick)}: {action.movement.name} cannot be danced, {after.reason}"
            break
        foot = _foot(action, sense, weight, figure.lead)
        paces.append(Pace(counted(action.tick), action.movement.name, foot, after.name.lower()))
        weight = after
    ends = () if fails else tuple(_ends(figure, version))
    memory = version.memory or not version.sources
    return Meaning(version.label, usual, version.length, tuple(paces), ends, version.sources, memory, fails)


def _foot(action: Action, sense: Sense, weight: Weight, lead: Foot) -> str:
    """Return which foot makes a movement from `weight`."""
    match sense.actor:
        case Actor.NOBODY:
            return "–"
        case Actor.BOTH:
            return "both"
        case Actor.FREE:
            free = lead if weight is Weight.BOTH else Foot(1 - weight)
        case Actor.SUPPORT:
            free = lead if weight is Weight.BOTH else Foot(weight)
    return words.foot(free if action.foot is None else action.foot)


def _ends(figure: Figure, version: Version) -> Iterator[End]:
    """Yield what comes of a version from either foot, and from both feet where that is something else."""
    for lead in Foot:
        swap = lead is not figure.lead
        end = dance(version, lead, swap, {})
        assert not isinstance(end, Impossible)
        yield End(f"{words.foot(lead)} foot", words.free(end), -version.turn if swap else version.turn)
    if is_still(version, {}):
        yield End("both feet", "none", version.turn)


# -- as text and as plain values -------------------------------------------------------------------------------------


def line(one: Card) -> tuple[str, str, str, str]:
    """Return a figure as a row of a list: name, length, what comes of it, level."""
    usual = next(meaning for meaning in one.meanings if meaning.usual)
    readings = f"{len(one.meanings)} readings" if len(one.meanings) > 1 else ""
    marks = [readings, "from memory" if usual.memory and not usual.sources else "", f"{one.lead} lead only" if one.one_lead else ""]
    level = ", ".join(f"{name} in {scheme}" for name, scheme in one.levels)
    return one.name, words.length(usual.ticks), _brief(usual), "; ".join(filter(None, [level, *marks]))


def _brief(meaning: Meaning) -> str:
    """Return what comes of a meaning, said from the foot that leads."""
    if meaning.fails:
        return "cannot be danced"
    first = meaning.ends[0]
    foot = {"left": "same foot free", "right": "other foot free", "none": "both feet"}[first.free]
    turns = sorted({words.size(end.turn) for end in meaning.ends if end.turn})
    return ", ".join([foot, *turns])


def told(one: Card) -> Iterator[str]:
    """Yield a figure's card line by line."""
    yield f"{one.name} (book {one.book})"
    if one.also:
        yield f"   also: {', '.join(one.also)}"
    for name, scheme in one.levels:
        yield f"   level: {name} in {scheme}"
    if one.usual_turns:
        yield f"   usual turns: {', '.join(words.turn(turn) for turn in one.usual_turns)} (from the {one.lead} foot)"
    if one.one_lead:
        yield f"   by custom from the {one.lead} foot only"
    for meaning in one.meanings:
        yield from _told(one, meaning)
    for word, readings in one.words:
        yield f"   {word} is read as"
        for label, usual, sources in readings:
            yield f"      {label}{' (usual)' if usual else ''}: {', '.join(sources) or FROM_MEMORY}"


def _told(one: Card, meaning: Meaning) -> Iterator[str]:
    lasts = {words.length(meaning.ticks), words.length(meaning.ticks, "counts")}
    title = meaning.label + (" (usual)" if meaning.label and meaning.usual else "")
    pieces = [title, "" if meaning.label in lasts else words.length(meaning.ticks), f"written for the {one.lead} lead"]
    yield f"   {', '.join(filter(None, pieces))}"
    cells = [("count", "movement", "foot", "weight on"), *((p.count, p.movement, p.foot, p.weight) for p in meaning.paces)]
    yield from (f"      {row}" for row in columns(cells))
    if meaning.fails:
        yield f"      {meaning.fails}"
    for end in meaning.ends:
        then = "on both feet" if end.free == "none" else f"{end.free} foot free"
        start = end.start if end.start == "both feet" else f"the {end.start}"
        yield f"      from {start}: {then}{f', {words.turn(end.turn)}' if end.turn else ''}"
    if meaning.ends and meaning.ends[-1].start != "both feet":
        yield "      from both feet: as with the foot that is chosen to lead"
    kept = [*meaning.sources, *([FROM_MEMORY] if meaning.memory else [])]
    yield from (f"      from: {source}" if source != FROM_MEMORY else f"      {source}" for source in kept)


def columns(cells: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """Yield rows of cells with the columns lined up."""
    widths = [max(len(row[number]) for row in cells) for number in range(len(cells[0]))] if cells else []
    for row in cells:
        yield "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()


def value(one: Card) -> dict[str, Any]:
    """Return a card as plain values; lengths in ticks of 1/12 beat, turns in eighths."""
    return {
        "name": one.name,
        "book": one.book,
        "also": list(one.also),
        "lead": one.lead,
        "levels": [{"level": name, "scheme": scheme} for name, scheme in one.levels],
        "usual_turns": list(one.usual_turns),
        "one_lead": one.one_lead,
        "meanings": [
            {
                "label": meaning.label,
                "usual": meaning.usual,
                "ticks": meaning.ticks,
                "paces": [
                    {"count": p.count, "movement": p.movement, "foot": p.foot, "weight": p.weight} for p in meaning.paces
                ],
                "ends": [{"start": end.start, "free": end.free, "turn": end.turn} for end in meaning.ends],
                "sources": list(meaning.sources),
                "memory": meaning.memory,
                "fails": meaning.fails,
            }
            for meaning in one.meanings
        ],
        "words": [
            {
                "word": word,
                "readings": [
                    {"label": label, "usual": usual, "sources": list(sources)} for label, usual, sources in readings
                ],
            }
            for word, readings in one.words
        ],
    }
