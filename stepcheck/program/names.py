"""What the names of a sheet stand for: its parts, its own figures, and those of the book."""

import re
from collections.abc import Iterator
from difflib import get_close_matches
from functools import lru_cache

from attrs import evolve

from stepcheck.books import book as books
from stepcheck.books.footwork import first_impossible
from stepcheck.books.placing import counted, last_beat, place
from stepcheck.language.syntax import FigureRow, FiguresHead, Length, Line, Option, PartHead, Row, Sheet
from stepcheck.model.dance import TICKS, Figure, Foot, Lengths, Movement, Version, Word, key
from stepcheck.model.findings import Diagnostic
from stepcheck.program.claims import LineFails, Registry, finding
from stepcheck.program.header import Facts, labels_of

MOST_COMPARED = 30_000
"""With how many names those that stand for nothing are compared, to find what may be meant; then nothing is suggested."""


class Names:
    """The names of one sheet.

    `parts` are the headings of its parts by key, `own` its own figures, `lengths` the claims about their lengths,
    `findings` what is wrong with them.  `words` collects the words with several readings that come up and that nothing
    settles.
    """

    def __init__(self, sheet: Sheet, facts: Facts, registry: Registry) -> None:
        self.sheet, self.facts, self.registry = sheet, facts, registry
        self.parts: dict[str, Line] = {}
        self.own: dict[str, Figure] = {}
        self.lengths: list[Lengths] = []
        self.findings: list[Diagnostic] = []
        self.words: dict[str, Word] = {}
        self._known: dict[str, str] = {}
        self._near = MOST_COMPARED
        self._ready: dict[tuple[Figure, int | None], Figure] = {}
        self._figures: dict[tuple[str, str | None], Figure] = {}
        self._lines: dict[str, Line] = {}
        self._called: dict[int, tuple[tuple[Line, ...], dict[str, None]]] = {}
        for line in sheet.lines:
            if isinstance(line.node, FiguresHead):
                for inner in line.body:
                    if isinstance(inner.node, FigureRow):
                        self._define(inner, inner.node)
            elif isinstance(line.node, PartHead) and self._free(line, line.node.name, line.node.at):
                self.parts[key(line.node.name)] = line
        self._no_circles()

    # -- definitions -------------------------------------------------------------------------------------------------

    def _say(self, code: str, line: Line, at: tuple[int, int], message: str, *hints: str) -> None:
        self.findings.append(finding(self.sheet, code, line, at, message, *hints))

    def _free(self, line: Line, name: str, at: tuple[int, int]) -> bool:
        """Say whether a name is not yet taken in this sheet, and take it."""
        taken = self._lines.get(key(name))
        if taken is not None:
            self._say(
                "name-taken-twice", line, at, f"{name} is already the name of what stands on line {taken.number}",
                "give one of them another name; parts and figures share their names",
            )  # fmt: skip
            return False
        self._lines[key(name)] = line
        return True

    def _define(self, line: Line, row: FigureRow) -> None:
        """Add a figure of the sheet's own."""
        book = self.facts.book
        assert book is not None
        if not self._free(line, row.name, row.at):
            return
        actions, problems = place(row.forms, book.movement, book.tradition)
        for problem in problems:
            self._say(problem.code, line, problem.at, problem.reason, *problem.hints)
        stated = row.length.ticks if row.length is not None else None
        if stated is not None and stated <= 0:
            self._say(
                "figure-without-beats",
                line,
                row.length.at if row.length else row.at,
                f"{row.name} lasts no time",
                "a figure lasts at least a beat",
            )
        turn = row.turn.eighths if row.turn is not None else 0
        if row.turn is not None and (turn is None or (turn and not row.turn.side)):
            self._say(
                "turn-needs-a-side",
                line,
                row.turn.at,
                "a figure's own turn has a size and a side",
                "write it like this: turn 1/2 left",
            )
            turn = 0
        size = (turn or 0) * (row.turn.side if row.turn is not None else 0)
        version = Version(
            "", actions, last_beat(actions) * TICKS if stated is None else stated, size, row.turn and row.turn.beat
        )
        lead = row.foot.foot if row.foot is not None and row.foot.foot is not None else Foot.LEFT
        figure = Figure(row.name, (version,), lead=lead, line=line.number)
        self.own[key(row.name)] = figure
        if problems:
            return
        fails = first_impossible(self._prepared(figure, None))
        if fails is not None:
            action, reason = fails
            at = self._form_at(row, actions.index(action))
            self._say(
                "impossible-movement", line, at, f"{row.name}, count {counted(action.tick)}: {action.movement.name} cannot be danced, {reason}",
                "write the foot that moves in brackets, such as S(R)", "or put the step or hop before it that changes the weight",
            )  # fmt: skip
        elif stated is not None and row.length is not None:
            self.lengths.append(Lengths(self.registry.at(line, row.length.at), figure, stated))

    def _form_at(self, row: FigureRow, index: int) -> tuple[int, int]:
        """Return the place of the form that movement number `index` of a row comes from."""
        assert self.facts.book is not None
        for number, form in enumerate(row.forms):
            if len(place(row.forms[: number + 1], self.facts.book.movement, self.facts.book.tradition)[0]) > index:
                return form.at
        return row.at

    def _no_circles(self) -> None:
        """Find parts that contain themselves, and take them out."""
        if not any(self._calls(head.body) for head in self.parts.values()):
            return
        finished: set[str] = set()
        for start in list(self.parts):
            stack: list[tuple[str, Iterator[str]]] = [(start, iter(self._calls(self.parts[start].body)))]
            path = {start: None}
            while stack:
                part, calls = stack[-1]
                onward = next(calls, None)
                if onward is None:
                    stack.pop()
                    path.pop(part, None)
                    finished.add(part)
                elif onward in path:
                    line = self.parts[part]
                    assert isinstance(line.node, PartHead)
                    way = " → ".join(str(self.parts[p].node.name) for p in (*path, onward))  # type: ignore[union-attr]
                    self._say(
                        "part-inside-itself",
                        line,
                        line.node.at,
                        f"{line.node.name} contains itself: {way}",
                        "take the inner call out",
                    )
                    stack.pop()
                    path.pop(part, None)
                    finished.add(part)
                elif onward not in finished:
                    stack.append((onward, iter(self._calls(self.parts[onward].body))))
                    path[onward] = None

    def _calls(self, lines: tuple[Line, ...]) -> dict[str, None]:
        """Return the parts that lines call themselves, in order; the same lines are gone through once."""
        known = self._called.get(id(lines))
        if known is not None:
            return known[1]
        out: dict[str, None] = {}
        self._called[id(lines)] = lines, out
        for line in lines:
            if isinstance(line.node, Row):
                out.update((key(option.name), None) for option in line.node.options if key(option.name) in self.parts)
            out.update(self._calls(line.body))
        return out

    def called(self, lines: tuple[Line, ...]) -> dict[str, None]:
        """Return the parts that lines call, and those that these call, in order."""
        out: dict[str, None] = {}
        pending = list(self._calls(lines))
        while pending:
            part = pending.pop(0)
            if part not in out:
                out[part] = None
                pending += self._calls(self.parts[part].body)
        return out

    # -- look-up -----------------------------------------------------------------------------------------------------

    def part(self, name: str) -> bool:
        """Say whether a name is that of a part."""
        return key(name) in self.parts

    def figure(self, line: Line, option: Option) -> Figure:
        """Return the figure that an option names, with the reading that the line, the header or the book settles.

        Raises:
            LineFails: the name stands for nothing, for several things, or its footwork is not published.
        """
        where = option.name, option.book
        made = self._figures.get(where)
        if made is None:
            made = self._figures[where] = self._figure(line, option)
        return made

    def _figure(self, line: Line, option: Option) -> Figure:
        found, words = self._found(line, option)
        chosen = books.reading(labels_of(found), words) if words else _by_length(found, option)
        if words and chosen is None:
            raise LineFails(
                "unknown-reading", line, option.at, f"{words!r} is no reading of {found.name}",
                *_meant(found.name, words), f"write one of: {'; '.join(labels_of(found))}",
            )  # fmt: skip
        made = self._prepared(found, chosen)
        fails = first_impossible(made) if found.book else None
        if fails is not None:
            action, reason = fails
            raise LineFails(
                "impossible-movement", line, option.at,
                f"{found.name}, count {counted(action.tick)}: {action.movement.name} cannot be danced, {reason}",
                f"compare it with what the book {found.book} has: stepcheck figures {found.name!r}",
                "or settle the words in it another way",
            )  # fmt: skip
        return made

    def _found(self, line: Line, option: Option) -> tuple[Figure, str]:
        """Return the figure whose name an option begins with, and the words behind the name."""
        assert self.facts.book is not None
        pieces = option.name.split()
        for end in range(len(pieces), 0, -1):
            name, rest = " ".join(pieces[:end]), " ".join(pieces[end:])
            if option.book is None and key(name) in self.own and not rest:
                return self.own[key(name)], ""
            figures = self.facts.book.find(name, option.book)
            if rest and not (figures and len(figures[0].versions) > 1):
                continue
            if len(figures) > 1 and len({_danced(figure) for figure in figures}) > 1:
                homes = " and ".join(dict.fromkeys(figure.book for figure in figures))
                raise LineFails(
                    "name-in-two-books", line, option.at, f"{name} stands in the books {homes}",
                    *(f"write {name} from {figure.book}" for figure in figures),
                )  # fmt: skip
            if figures:
                return figures[0], rest
        raise self._unknown(line, option)

    def _stands(self, name: str) -> bool:
        """Say whether a name is that of a part or figure."""
        assert self.facts.book is not None
        return self.part(name) or key(name) in self.own or bool(self.facts.book.find(name, None))

    def _ours(self) -> dict[str, str]:
        """Return the names of the sheet's own figures and parts, by key."""
        if len(self._known) != len(self.own) + len(self.parts):
            parts = (str(part.node.name) for part in self.parts.values())  # type: ignore[union-attr]
            self._known = {key(known): known for known in (*(figure.name for figure in self.own.values()), *parts)}
        return self._known

    def _unknown(self, line: Line, option: Option) -> LineFails:
        """Return the failure of a name that stands for nothing."""
        book, name = self.facts.book, option.name
        assert book is not None
        if book.known(name):
            return LineFails(
                "footwork-not-published", line, option.at, f"{name} is known by name, but its footwork is not published",
                f"define {name} in the sheet, under figures:, with the movements as your class dances them",
                "or leave its beats open with a blank (?)",
            )  # fmt: skip
        ours = self._ours()
        bare = [ours[one] for one in (key(name.partition(" ")[2]),) if one in ours and key(name.split()[0]) == "part"]
        near: list[str] = []
        if self._near > 0:
            self._near -= len(ours) + len(book.names())
            near = bare or [ours[one] for one in get_close_matches(key(name), ours, 2)] + list(book.nearest(name))
        known_as = next(filter(self._stands, _heads(name)), "")
        hints = list(_meant(known_as, name[len(known_as) + 1 :])) if known_as else []
        hints = hints or [f"did you mean {one}?" for one in dict.fromkeys(near)][:3]
        other = f" in the book {option.book}" if option.book else ""
        return LineFails(
            "unknown-name", line, option.at, f"there is no figure or part {_short(name)!r}{other}",
            *hints, f"or define it under figures:, like this: {book.example(_short(name))}",
        )  # fmt: skip

    # -- readings ----------------------------------------------------------------------------------------------------

    def _prepared(self, figure: Figure, version: int | None) -> Figure:
        """Return a figure with what is settled of it settled; note the words that are not."""
        made = self._ready.get((figure, version))
        if made is None:
            made = self._ready[figure, version] = self._settle(figure, version)
        return made

    def _settle(self, figure: Figure, version: int | None) -> Figure:
        name, versions, usual = figure.name, figure.versions, figure.usual
        chosen = version if version is not None else _chosen(self.facts.figures, name, labels_of(figure))
        if chosen is not None:
            versions, usual = (versions[chosen],), 0
        if len(versions) > 1:
            name = self._open(name, labels_of(figure), usual, figure.book)
        movements: dict[Movement, Movement] = {}
        for movement in _with_senses(versions) if chosen is not None else _ambiguous(figure):
            index = _chosen(self.facts.movements, movement.name, labels_of(movement))
            if index is None:
                word = self._open(movement.name, labels_of(movement), movement.usual, figure.book)
                movements[movement] = movement if word == movement.name else evolve(movement, name=word)
            else:
                movements[movement] = evolve(movement, senses=(movement.senses[index],), usual=0)
        if not movements and versions is figure.versions and name == figure.name:
            return figure
        if any(made is not movement for movement, made in movements.items()):
            versions = tuple(_with(one, movements) for one in versions)
        if versions is figure.versions and name == figure.name:
            return figure
        return evolve(figure, name=name, versions=versions, usual=usual)

    def _open(self, name: str, labels: tuple[str, ...], usual: int, book: str) -> str:
        """Note that nothing settles a word, and return what it is called: two books may have different ones of a name."""
        taken = self.words.setdefault(name, Word(name, labels, usual))
        if taken.labels == labels and taken.usual == usual:
            return name
        apart = f"{name} from {book}"
        self.words.setdefault(apart, Word(apart, labels, usual))
        return apart


def _danced(figure: Figure) -> object:
    """Return what two figures share that are danced alike in all readings from either foot; itself, if there is no such."""
    actions = [action for version in figure.versions for action in version.actions]
    ways = {
        (version.length, tuple((a.movement.senses[0].actor, a.movement.senses[0].lands, a.tick) for a in version.actions))
        for version in figure.versions
    }
    turned = any(version.turn for version in figure.versions)
    open_ = len(ways) > 1 or any(action.foot is not None or len(action.movement.senses) > 1 for action in actions)
    return figure if turned or open_ else next(iter(ways))


def _short(name: str) -> str:
    """Return a name, cut if it is too long for a sentence."""
    return name if len(name) <= 60 else f"{name[:59]}…"


def _heads(name: str) -> tuple[str, ...]:
    """Return what a name of several words begins with, the longest first."""
    pieces = name.split(" ")
    return tuple(" ".join(pieces[:end]) for end in range(len(pieces) - 1, 0, -1))


def _meant(name: str, words: str) -> tuple[str, ...]:
    """Return how to write what is often put behind a name as it is spoken: a foot, how often, or another figure."""
    joined = re.match(r"(?:([/+&]|and|then)|or)\s+(?=\S)", words, re.IGNORECASE)
    if joined:
        other = words[joined.end() :]
        row, choice = f"write one figure a line: {other} on the next one", f"write `{name} | {other}` if each dancer chooses"
        return (row if joined[1] else choice,)
    said = re.sub(r"\b(?:to|the|on|with|foot|lead|leads|times?)\b", " ", words.casefold()).split()
    feet = {"r": "right", "right": "right", "l": "left", "left": "left"}
    number = re.fullmatch(r"(?:x|\*)?\s*(\d+)\s*(?:x|\*)?", "".join(said))
    if len(said) == 1 and said[0] in feet:
        return (f"write `{name}, {feet[said[0]]} foot` if that foot leads it",)
    if number or said in (["twice"], ["once"]):
        return (f"write `{name} x{number[1] if number else {'once': 1, 'twice': 2}[said[0]]}`",)
    return ()


@lru_cache(maxsize=1 << 12)
def _ambiguous(figure: Figure) -> tuple[Movement, ...]:
    """Return the movements of a figure that can be read in several ways; sheet after sheet dances the same figures."""
    return _with_senses(figure.versions)


def _with_senses(versions: tuple[Version, ...]) -> tuple[Movement, ...]:
    return tuple(dict.fromkeys(a.movement for one in versions for a in one.actions if len(a.movement.senses) > 1))


def _by_length(figure: Figure, option: Option) -> int | None:
    """Return the reading that is called by its length, if the line states that length: `Slide, 3 counts`."""
    stated = next((mark for mark in option.marks if isinstance(mark, Length)), None)
    if stated is None or option.times is None or len(figure.versions) < 2:
        return None
    number, rest = divmod(stated.ticks, TICKS * option.times)
    labels = (f"{number} {unit}" for unit in ("counts", "count", "beats", "beat"))
    return None if rest else next((labels_of(figure).index(label) for label in labels if label in labels_of(figure)), None)


def _chosen(settled: tuple[tuple[str, str], ...], name: str, labels: tuple[str, ...]) -> int | None:
    """Return which of the readings `labels` of a word is settled, the first that it has; None if none is."""
    return next((labels.index(label) for word, label in settled if word == name and label in labels), None)


def _with(version: Version, movements: dict[Movement, Movement]) -> Version:
    """Return a version with other movements in the place of some."""
    return evolve(
        version, actions=tuple(evolve(a, movement=movements.get(a.movement, a.movement)) for a in version.actions)
    )
