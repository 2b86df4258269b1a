"""The names of a sheet and their referents: its parts, its own figures, and the figures of its book."""

from functools import cached_property

from attrs import evolve

from stepcheck.books import book as books
from stepcheck.books.footwork import Impossible, cuts, deeds, first_impossible, stuck
from stepcheck.books.placing import Problem, counted, last_beat, place
from stepcheck.language.patch import MEANT, Rewrite
from stepcheck.language.syntax import At, FigureRow, FiguresHead, FootMark, Form, Length, Line, Option, PartHead, Sheet
from stepcheck.model.dance import TICKS, Action, Figure, Foot, Lengths, Version, Word, key
from stepcheck.model.findings import Diagnostic
from stepcheck.model.movements import Movement
from stepcheck.program.claims import LineFails, Registry, finding
from stepcheck.program.failures import beyond, each, meant, other_lead, sided, unknown
from stepcheck.program.formatter import row_figure
from stepcheck.program.header import Facts, labels_of, settled_as
from stepcheck.program.repeats import Calls

MOST_COMPARED = 30_000
"""With how many names those that stand for nothing are compared, to find what may be meant; then nothing is
suggested."""


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
        self.uneven: dict[str, None] = {}  # figures whose readings last unequally long
        self._near = MOST_COMPARED
        self._ready: dict[tuple[Figure, int | None], Figure] = {}
        self._figures: dict[tuple[object, ...], Figure] = {}
        self._lines: dict[str, Line] = {}
        for line in sheet.lines:
            if isinstance(line.node, FiguresHead):
                for inner in line.body:
                    if isinstance(inner.node, FigureRow):
                        self._define(inner, inner.node)
            elif isinstance(line.node, PartHead) and self._free(line, line.node.name, line.node.at):
                self.parts[key(line.node.name)] = line
        self.calls = Calls(self.parts)
        self.called = self.calls.all
        for way in self.calls.circles():
            heads = [head for part in way if isinstance(head := self.parts[part].node, PartHead)]
            said = f"{heads[-2].name} contains itself: {' → '.join(head.name for head in heads)}"
            self._say("part-inside-itself", self.parts[way[-2]], heads[-2].at, said, "take the inner call out")

    # -- definitions -------------------------------------------------------------------------------------------------

    def _say(self, code: str, line: Line, at: tuple[int, int], message: str, *hints: str | Rewrite) -> None:
        self.findings.append(finding(self.sheet, code, line, at, message, *hints))

    def _free(self, line: Line, name: str, at: tuple[int, int]) -> bool:
        """Say whether a name is not yet taken in this sheet, and take it."""
        taken = self._lines.setdefault(key(name), line)
        if taken is not line:
            said = f"{name} is already the name of what stands on line {taken.number}"
            hint = "give one of them another name; parts and figures share their names"
            self._say("name-taken-twice", line, at, said, hint)
        return taken is line

    def _define(self, line: Line, row: FigureRow) -> None:
        if not self._free(line, row.name, row.at):
            return
        actions, problems = self._placed(row.forms)
        self._problems(line, problems)
        turn, beat = 0, None
        if row.turn is not None:
            turn, beat = (row.turn.eighths or 0) * row.turn.side, row.turn.beat
            if row.turn.eighths is None or (row.turn.eighths and not row.turn.side):
                hints = sided(row.turn) if row.turn.eighths else ()
                self._say("turn-needs-a-side", line, row.turn.at, "a figure's own turn has a size and a side", *hints)
        ticks = last_beat(actions) * TICKS if row.length is None else row.length.ticks
        travel = None if row.travel is None else (row.travel.right, row.travel.forward)
        version = Version("", actions, ticks, turn, beat, travel=travel)
        lead = row.foot.foot if row.foot is not None and row.foot.foot is not None else Foot.LEFT
        figure = self.own[key(row.name)] = Figure(row.name, (version,), lead=lead, line=line.number)
        if problems:
            return
        if row.turn is not None and (late := beyond(row.name, version, row.turn)):
            self._say("turn-beyond-the-end", line, row.turn.at, late[0], *late[1])
        fails = first_impossible(self._prepared(figure, None))
        if fails is not None:
            other = evolve(figure, lead=figure.lead.other)
            led = other_lead(row, other.lead, danced=first_impossible(self._prepared(other, None)) is None)
            self._say(*_impossible(line, self._form_at(row, actions.index(fails.action)), row.name, fails), *led)
        elif row.length is not None:
            self.lengths.append(Lengths(self.registry.at(line, row.length.at), figure, ticks))

    def _placed(self, forms: tuple[Form, ...]) -> tuple[tuple[Action, ...], tuple[Problem, ...]]:
        return place(forms, self.facts.book.movement, self.facts.book.tradition)

    def _problems(self, line: Line, problems: tuple[Problem, ...]) -> None:
        """Report the problems of a row of movements, one finding for the same mistake in many places."""
        alike: dict[str, list[Problem]] = {}
        for problem in problems:
            alike.setdefault(problem.reason, []).append(problem)
        for first, *others in alike.values():
            hints = []
            for number, hint in enumerate(first.hints):
                also = [one.hints[number] for one in others if len(one.hints) > number]
                places = tuple(one.at for one in also if isinstance(one, Rewrite) and one.at is not None)
                hints.append(evolve(hint, also=places) if isinstance(hint, Rewrite) else hint)
            again = f", here {len(others) + 1} times" if others else ""
            self._say(first.code, line, first.at, first.reason + again, *hints)

    def _form_at(self, row: FigureRow, index: int) -> tuple[int, int]:
        """Return the place of the form that movement number `index` of a row comes from."""
        for number, form in enumerate(row.forms):
            if len(self._placed(row.forms[: number + 1])[0]) > index:
                return form.at
        return row.at

    # -- look-up -----------------------------------------------------------------------------------------------------

    def part(self, name: str) -> bool:
        """Say whether a name is that of a part."""
        return key(name) in self.parts

    def figure(self, line: Line, option: Option) -> Figure:
        """Return the figure that an option names, with the reading that the line, the header or the book settles.

        Raises:
            LineFails: the name stands for nothing, for several things, or its footwork is not published.
        """
        lengths = tuple((mark.ticks, option.times) for mark in option.marks if isinstance(mark, Length))
        where = (line.number, option.at) if option.forms else (option.name, option.book, *lengths)
        made = self._figures.get(where)
        if made is None:
            made = self._figures[where] = (self._row if option.forms else self._figure)(line, option)
        return made

    def _row(self, line: Line, option: Option) -> Figure:
        if self._placed(option.forms)[1]:
            raise self._unknown(line, option)
        made = self._prepared(row_figure(option, self.facts.book, line.number), None)
        if fails := first_impossible(made):
            marked = any(isinstance(mark, FootMark) for mark in option.marks)
            fails = (None if marked else stuck(made.versions[made.usual])) or fails
            hint = "write the foot that moves in brackets, such as S(R), and the foot that leads behind a comma"
            raise LineFails(*_impossible(line, option.at, made.name, fails), hint)
        return made

    def _figure(self, line: Line, option: Option) -> Figure:
        found, words = self._found(line, option)
        chosen = books.reading(labels_of(found), words) if words else _by_length(found, option)
        if words and chosen is None:
            alike = self.facts.book.nearest(option.name, likeness=0.85)
            hints = meant(found, words, option) or tuple(Rewrite(one, option.at, MEANT) for one in alike)
            hints = hints or each(labels_of(found), (option.at[1] - len(words), option.at[1]))
            raise LineFails("unknown-reading", line, option.at, f"{words!r} is no reading of {found.name}", *hints)
        made = self._prepared(found, chosen)
        if found.book and (fails := first_impossible(made)):
            raise LineFails(
                *_impossible(line, option.at, found.name, fails),
                f"compare it with what the book {found.book} has: stepcheck figures {found.name!r}",
                "or settle the words in it another way",
            )
        return made

    def _found(self, line: Line, option: Option) -> tuple[Figure, str]:
        """Return the figure whose name an option begins with, and the words behind the name."""
        pieces = option.name.split()
        for end in range(len(pieces), 0, -1):
            name, rest = " ".join(pieces[:end]), " ".join(pieces[end:])
            if option.book is None and key(name) in self.own and not rest:
                return self.own[key(name)], ""
            figures = self.facts.book.find(name, option.book)
            if rest and not (figures and len(figures[0].versions) > 1):
                continue
            if len(figures) > 1 and len({_danced(figure) for figure in figures}) > 1:
                said = f"{name} stands in the books {' and '.join(dict.fromkeys(figure.book for figure in figures))}"
                ways = (Rewrite(f"{name} from {figure.book}", option.at) for figure in figures)
                raise LineFails("name-in-two-books", line, option.at, said, *ways)
            if figures:
                return figures[0], rest
        raise self._unknown(line, option)

    @cached_property
    def _ours(self) -> dict[str, tuple[str, Line, At]]:
        """The names of the sheet's own figures and parts by key, each with the line and the place where it is
        defined."""
        return {
            name: (head.node.name, head, head.node.at)
            for name, head in self._lines.items()
            if isinstance(head.node, PartHead | FigureRow)
        }

    def _unknown(self, line: Line, option: Option) -> LineFails:
        compared = self._near > 0
        self._near -= len(self._ours) + len(self.facts.book.names()) if compared else 0
        sections = tuple(section.name for _, section in self.sheet.music)
        return unknown(line, option, self.facts.book, self._ours, sections, compared=compared)

    # -- readings ----------------------------------------------------------------------------------------------------

    def _prepared(self, figure: Figure, version: int | None) -> Figure:
        """Return a figure with its settled words settled; record the open words."""
        made = self._ready.get((figure, version))
        if made is None:
            made = self._ready[figure, version] = self._settle(figure, version)
        return made

    def _settle(self, figure: Figure, version: int | None) -> Figure:
        name, versions, usual = figure.name, figure.versions, figure.usual
        chosen = version if version is not None else settled_as(self.facts.figures, name, labels_of(figure))
        if chosen is not None:
            versions, usual = (versions[chosen],), 0
        if len({one.length for one in versions}) > 1:
            self.uneven[figure.name] = None
        if len(versions) > 1:
            name = self._open(name, labels_of(figure), usual, figure.book)
        movements: dict[Movement, Movement] = {}
        for movement in _ambiguous(versions):
            index = settled_as(self.facts.movements, movement.name, labels_of(movement))
            if index is None:
                word = self._open(movement.name, labels_of(movement), movement.usual, figure.book)
                movements[movement] = movement if word == movement.name else evolve(movement, name=word)
            else:
                movements[movement] = evolve(movement, senses=(movement.senses[index],), usual=0)
        if any(made is not movement for movement, made in movements.items()):
            versions = tuple(_with(one, movements) for one in versions)
        if versions is figure.versions and name == figure.name:
            return figure
        return evolve(figure, name=name, versions=versions, usual=usual)

    def _open(self, name: str, labels: tuple[str, ...], usual: int, book: str) -> str:
        """Record an open word, and return its name here: two books may have different ones of a name."""
        taken = self.words.setdefault(name, Word(name, labels, usual))
        if taken.labels == labels and taken.usual == usual:
            return name
        apart = f"{name} from {book}"
        self.words.setdefault(apart, Word(apart, labels, usual))
        return apart


def _impossible(line: Line, at: At, name: str, fails: Impossible) -> tuple[str, Line, At, str]:
    """Return the failure of a figure with a movement that cannot be danced: its code, line, place and message."""
    where = f"{name}, count {counted(fails.action.tick)}"
    said = f"{where}: {fails.action.movement.name} cannot be danced, {fails.reason}"
    return "impossible-movement", line, at, said


def _danced(figure: Figure) -> object:
    """Return a key that two figures share where they are danced alike in all readings from either foot; the figure
    itself where it has none."""
    ways = {(deeds(one), cuts(one)) for one in figure.versions}
    if len(ways) > 1 or _ambiguous(figure.versions):
        return figure
    one = figure.versions[0]
    hangs = one.turn or any(one.travel or ()) or any(action.foot is not None for action in one.actions)
    return figure.lead if hangs else None, *ways


def _ambiguous(versions: tuple[Version, ...]) -> tuple[Movement, ...]:
    return tuple(dict.fromkeys(a.movement for one in versions for a in one.actions if len(a.movement.senses) > 1))


def _by_length(figure: Figure, option: Option) -> int | None:
    """Return the reading that is called by its length, if the line states that length: `Slide, 3 counts`."""
    stated = next((mark for mark in option.marks if isinstance(mark, Length)), None)
    if stated is None or option.times is None or len(figure.versions) < 2:
        return None
    number, rest = divmod(stated.ticks, TICKS * option.times)
    labels, own = (f"{number} {unit}" for unit in ("counts", "count", "beats", "beat")), labels_of(figure)
    return None if rest else next((own.index(label) for label in labels if label in own), None)


def _with(version: Version, movements: dict[Movement, Movement]) -> Version:
    actions = tuple(evolve(a, movement=movements.get(a.movement, a.movement)) for a in version.actions)
    return evolve(version, actions=actions)
