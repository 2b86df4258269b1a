"""The lines of a sheet by the parts that they belong to and have danced, and the changes that matter to a part."""

from collections.abc import Iterator

from stepcheck.fixes.slots import Outline
from stepcheck.language.edits import (
    ChangeBlock,
    ChangeCut,
    ChangeSwap,
    ChangeTimes,
    CutPass,
    DeleteLine,
    Edit,
    InsertLine,
    ReplacePart,
)
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import DanceHead, FirstMark, Line, OnlyHead, PartHead, Row, SwapMark
from stepcheck.model.dance import Pass, key


class Callers:
    """The lines of one sheet by the parts that they belong to and that they have danced."""

    def __init__(self, sketch: Outline) -> None:
        self.layout, self.names = sketch.layout, sketch.layout.names
        self.lines: dict[int, Line] = {}
        self.home: dict[int, str] = {}
        self.sure: dict[str, set[int]] = {}
        self.marked: set[str] = set()
        self._known: dict[str, dict[int, tuple[Edit, frozenset[int] | None]]] = {}
        for head in sketch.routine.sheet.lines:
            for line in every_line((head,)):
                self.lines[line.number] = line
                if isinstance(head.node, PartHead):
                    self.home[line.number] = key(head.node.name)
                elif isinstance(head.node, DanceHead):
                    self.home[line.number] = ""
                if isinstance(line.node, Row) and any(
                    isinstance(m, FirstMark | SwapMark) for o in line.node.options for m in o.marks
                ):
                    self.marked.update(self.names.called((line,)))
            if isinstance(head.node, DanceHead):
                for line in _sure(head.body):
                    for part in self.names.called((line,)):
                        self.sure.setdefault(part, set()).add(line.number)

    def touched(self, part: Pass, edits: tuple[Edit, ...]) -> bool:
        """Say whether edits may change the effect of a part from some state, or take it out of the dance.

        Args:
            part: a part that the dance surely comes to, not cut.
            edits: changes to the shape.
        """
        name = key(part.part)
        sure = self.sure.get(name, set())
        for edit in edits:
            gone = self._gone(name, edit)
            if gone is None:
                return True
            if gone:
                sure = sure - gone
        return not sure

    def matters(self, part: Pass, edit: Edit) -> bool:
        """Say whether an edit, alone or with others, may change the effect of a part, or take it out of the dance."""
        name = key(part.part)
        gone, sure = self._gone(name, edit), self.sure.get(name, set())
        return gone is None or not sure or not sure.isdisjoint(gone)

    def _gone(self, name: str, edit: Edit) -> frozenset[int] | None:
        """Return the lines that dance a part, or do so through another, no more after an edit; None if it may change
        the part."""
        # Very many sets of the same edits are asked about, and to hash an edit takes longer than all the rest.
        known = self._known.setdefault(name, {}).get(id(edit))
        if known is None:
            known = self._known[name][id(edit)] = edit, self._found(name, edit)
        return known[1]

    def _found(self, name: str, edit: Edit) -> frozenset[int] | None:
        inner = {name, *self.names.called(self.names.parts[name].body)}
        home = self.home.get(edit.line)
        if home is None or home in inner or not all(self.layout.patterns.of(one).plain for one in inner):
            return None
        # A part that is danced no more is checked by itself, and its mirror image is checked as it is: it fails as it
        # did.
        mirrored = isinstance(edit, ChangeSwap) and edit.swap == "mirrored"
        if not inner & self.marked and (isinstance(edit, DeleteLine | ReplacePart) or mirrored):
            return frozenset()
        if home:
            return frozenset(self.sure.get(name, set())) if self._calls(edit, name) else frozenset()
        if isinstance(edit, DeleteLine | ChangeCut | CutPass | ChangeSwap):
            return frozenset(line.number for line in every_line((self.lines[edit.line],)))
        return frozenset() if isinstance(edit, InsertLine | ChangeTimes | ChangeBlock) else None

    def within(self, part: Pass, edit: Edit) -> bool:
        """Say whether an edit stands in a part, or in one that it has danced, or in the header."""
        name, home = key(part.part), self.home.get(edit.line)
        return home is None or home in {name, *self.names.called(self.names.parts[name].body)}

    def _calls(self, edit: Edit, name: str) -> bool:
        """Say whether a line of another part, or one under it, has a part danced."""
        return name in self.names.called((self.lines[edit.line],))


def _sure(lines: tuple[Line, ...]) -> Iterator[Line]:
    """Yield the rows that are danced whatever time it is."""
    for line in lines:
        if isinstance(line.node, Row):
            yield line
        elif not isinstance(line.node, OnlyHead):
            yield from _sure(line.body)
