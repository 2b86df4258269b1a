"""The mistakes of tests/quality/mistakes, and the fixes that two readers chose for them without knowing the program's answer."""

import re
from pathlib import Path
from typing import NamedTuple

from attrs import evolve

from stepcheck.language.parser import parse
from stepcheck.language.stretches import falls
from stepcheck.language.syntax import LabelHead, Line, Option, Row, TimesHead, TurnMark
from stepcheck.model.source import Source

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "tests" / "quality" / "mistakes"
READERS = ("first", "second")


class Mistake(NamedTuple):
    """A sheet with a mistake: its name, where it stands, and what is wrong."""

    name: str
    path: Path
    says: str

    @property
    def group(self) -> str:
        """The group of the table that it belongs to."""
        return {"slip": "second", "third": "third"}.get(self.name.split("_")[0], "first")

    @property
    def text(self) -> str:
        """The sheet."""
        return self.path.read_text(encoding="utf-8")


def mistakes() -> list[Mistake]:
    """Return the mistakes in the order of the table."""
    rows = [line.split(" | ", 2) for line in _lines(FOLDER / "mistakes.txt")]
    return [Mistake(name, ROOT / path, says) for name, path, says in rows]


def choices(reader: str) -> dict[str, list[list[str]]]:
    """Return the choices of one reader by mistake: each a list of changed lines, as mistakes.txt describes them."""
    made: dict[str, list[list[str]]] = {}
    name = ""
    for line in _lines(FOLDER / f"{reader}.txt"):
        if re.match(r"\d+(: |\+: |-$)", line):
            made[name][-1].append(line)
        elif line == "or":
            made[name].append([])
        else:
            name = line
            made[name] = [[]]
    return made


def chosen(text: str, choice: list[str]) -> str:
    """Return a sheet with the lines of a choice.

    Raises:
        ValueError: a line of the choice is none, or names a line that is not there.
    """
    lines: list[list[str]] = [[line] for line in text.split("\n")]
    for change in choice:
        number, kind, new = re.fullmatch(r"(\d+)(: |\+: |-)(.*)", change).groups()  # type: ignore[union-attr]
        old = text.split("\n")[int(number) - 1]
        new = old[: len(old) - len(old.lstrip())] + new.strip()
        lines[int(number) - 1] = {": ": [new], "+: ": [*lines[int(number) - 1], new], "-": []}[kind]
    return "\n".join(line for group in lines for line in group)


def meaning(text: str) -> tuple[object, ...]:
    """Return what the lines of a sheet say: comments and layout are nothing, and `on 2nd, 4th` of four times is
    `on every 2nd`."""
    found: list[object] = []

    def walk(lines: tuple[Line, ...], times: int | None) -> None:
        for line in lines:
            node = line.node
            if isinstance(node, LabelHead):
                inner = line.body[0] if line.body else None
                if inner is not None and isinstance(inner.node, Row):  # `verse:` over `Main` is `verse: Main`
                    walk((evolve(inner, node=evolve(inner.node, section=node.name)), *line.body[1:]), times)
                    continue
            if isinstance(node, Row):
                node = evolve(node, options=tuple(_spread(option, times) for option in node.options))
            found.append(node)
            walk(line.body, node.times if isinstance(node, TimesHead) else times)

    walk(parse(Source("x", text))[0].lines, None)
    return tuple(node for node in found if node is not None)


def _spread(option: Option, times: int | None) -> Option:
    """Return an alternative whose turns name each time that they fall on, and whose marks stand in one order."""
    most = option.times if option.times not in (None, 1) else times
    marks = [
        evolve(mark, times=falls(mark.times, most)) if isinstance(mark, TurnMark) and mark.times and most else mark
        for mark in option.marks
    ]
    return evolve(option, marks=tuple(sorted(marks, key=repr)))


def _lines(path: Path) -> list[str]:
    return [line.strip() for line in path.read_text(encoding="utf-8").split("\n") if line.strip() and line[0] != "#"]
