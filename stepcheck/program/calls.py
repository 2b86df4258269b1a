"""Which parts of a sheet call which others, those that contain themselves, and which passes of a part differ."""

from collections.abc import Iterator, Mapping

from stepcheck.language.syntax import Line, PartHead, Row
from stepcheck.model.dance import key
from stepcheck.program.repeats import Pattern, nearest, pattern


class Calls:
    """The calls of parts in the lines of one sheet, and the pattern of each part's passes.

    `parts` are the headings of its parts by key.
    """

    def __init__(self, parts: Mapping[str, Line]) -> None:
        self._parts = parts
        self._known: dict[int, tuple[tuple[Line, ...], dict[str, None]]] = {}
        self._patterns: dict[str, Pattern] = {}
        self._inside: dict[str, Mapping[str, Pattern]] = {}

    def _direct(self, lines: tuple[Line, ...]) -> dict[str, None]:
        """Return the parts that lines call themselves, in order; the same lines are gone through once."""
        known = self._known.get(id(lines))
        if known is not None:
            return known[1]
        out: dict[str, None] = {}
        self._known[id(lines)] = lines, out
        for line in lines:
            if isinstance(line.node, Row):
                out.update((key(option.name), None) for option in line.node.options if key(option.name) in self._parts)
            out.update(self._direct(line.body))
        return out

    def all(self, lines: tuple[Line, ...]) -> dict[str, None]:
        """Return the parts that lines call, and those that these call, in order."""
        out: dict[str, None] = {}
        pending = list(self._direct(lines))
        while pending:
            part = pending.pop(0)
            if part not in out:
                out[part] = None
                pending += self._direct(self._parts[part].body)
        return out

    def circles(self) -> Iterator[tuple[str, ...]]:
        """Yield the ways from part to part that come round: the last part is on the way already."""
        finished: set[str] = set()
        for start in self._parts:
            path: dict[str, Iterator[str]] = {start: iter(self._direct(self._parts[start].body))}
            while path:
                part, calls = next(reversed(path.items()))
                onward = next(calls, None)
                if onward in path:
                    yield *path, onward
                if onward is None or onward in path:
                    path.pop(part)
                    finished.add(part)
                elif onward not in finished:
                    path[onward] = iter(self._direct(self._parts[onward].body))

    def of(self, part: str) -> Pattern:
        """Return the pattern of a part's passes."""
        if part not in self._patterns:
            head = self._parts[part]
            pieces = head.node.pieces if isinstance(head.node, PartHead) else ()
            named = (getattr(piece, "time", None) for piece in pieces)
            self._patterns[part] = pattern(nearest(head.body), (time for time in named if time is not None))
        return self._patterns[part]

    def told(self, lines: tuple[Line, ...]) -> Mapping[str, Pattern]:
        """Return the parts called by `lines`, or by parts that they call, whose passes differ, each with its
        pattern."""
        return self._told(tuple(self.all(lines)))

    def inside(self, part: str) -> Mapping[str, Pattern]:
        """Return the parts called in a part whose passes differ, each with its pattern."""
        if part not in self._inside:
            self._inside[part] = self.told(self._parts[part].body)
        return self._inside[part]

    def with_inside(self, part: str) -> Mapping[str, Pattern]:
        """Return the same of a part and of the parts called in it."""
        return {**self._told((part,)), **self.inside(part)}

    def _told(self, parts: tuple[str, ...]) -> Mapping[str, Pattern]:
        return {part: self.of(part) for part in parts if not self.of(part).plain}
