"""Which parts of a sheet call which others, and those that contain themselves."""

from collections.abc import Iterator, Mapping

from stepcheck.language.syntax import Line, Row
from stepcheck.model.dance import key


class Calls:
    """The calls of parts in the lines of one sheet; `parts` are the headings of its parts by key."""

    def __init__(self, parts: Mapping[str, Line]) -> None:
        self._parts = parts
        self._known: dict[int, tuple[tuple[Line, ...], dict[str, None]]] = {}

    def inside(self, lines: tuple[Line, ...]) -> dict[str, None]:
        """Return the parts that lines call themselves, in order; the same lines are gone through once."""
        known = self._known.get(id(lines))
        if known is not None:
            return known[1]
        out: dict[str, None] = {}
        self._known[id(lines)] = lines, out
        for line in lines:
            if isinstance(line.node, Row):
                out.update((key(option.name), None) for option in line.node.options if key(option.name) in self._parts)
            out.update(self.inside(line.body))
        return out

    def all(self, lines: tuple[Line, ...]) -> dict[str, None]:
        """Return the parts that lines call, and those that these call, in order."""
        out: dict[str, None] = {}
        pending = list(self.inside(lines))
        while pending:
            part = pending.pop(0)
            if part not in out:
                out[part] = None
                pending += self.inside(self._parts[part].body)
        return out

    def circles(self) -> Iterator[tuple[str, ...]]:
        """Yield the ways from part to part that come round: the last part is on the way already."""
        finished: set[str] = set()
        for start in self._parts:
            path: dict[str, Iterator[str]] = {start: iter(self.inside(self._parts[start].body))}
            while path:
                part, calls = next(reversed(path.items()))
                onward = next(calls, None)
                if onward in path:
                    yield *path, onward
                if onward is None or onward in path:
                    path.pop(part)
                    finished.add(part)
                elif onward not in finished:
                    path[onward] = iter(self.inside(self._parts[onward].body))
