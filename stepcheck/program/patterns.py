"""The pattern of differing passes of each part of a sheet."""

from collections.abc import Mapping

from stepcheck.language.syntax import Line, PartHead
from stepcheck.program.names import Names
from stepcheck.program.repeats import Pattern, nearest, pattern


class Patterns:
    """The patterns of the parts of one sheet, found once."""

    def __init__(self, names: Names) -> None:
        self.names = names
        self._known: dict[str, Pattern] = {}
        self._inside: dict[str, Mapping[str, Pattern]] = {}

    def of(self, part: str) -> Pattern:
        """Return the pattern of a part's passes."""
        if part not in self._known:
            head = self.names.parts[part]
            node = head.node
            assert isinstance(node, PartHead)
            named = (getattr(piece, "time", None) for piece in node.pieces)
            self._known[part] = pattern(nearest(head.body), (time for time in named if time is not None))
        return self._known[part]

    def told(self, lines: tuple[Line, ...]) -> Mapping[str, Pattern]:
        """Return the parts called by `lines`, or by parts that they call, whose passes differ, each with its
        pattern."""
        return self._told(tuple(self.names.called(lines)))

    def inside(self, part: str) -> Mapping[str, Pattern]:
        """Return the parts called in a part whose passes differ, each with its pattern."""
        if part not in self._inside:
            self._inside[part] = self.told(self.names.parts[part].body)
        return self._inside[part]

    def with_inside(self, part: str) -> Mapping[str, Pattern]:
        """Return the same of a part and of the parts called in it."""
        return {**self._told((part,)), **self.inside(part)}

    def _told(self, parts: tuple[str, ...]) -> Mapping[str, Pattern]:
        return {part: self.of(part) for part in parts if not self.of(part).plain}
