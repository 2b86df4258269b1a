"""The mistakes of tests/quality/mistakes, and the fixes that two readers chose for them without knowing the program's answer."""

import re
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "tests" / "quality" / "mistakes"
READERS = ("first", "second")


class Mistake(NamedTuple):
    """A sheet with a mistake: its name, where it stands, what is wrong, and whether it belongs to the first half."""

    name: str
    path: Path
    says: str
    early: bool

    @property
    def text(self) -> str:
        """The sheet."""
        return self.path.read_text(encoding="utf-8")


def mistakes() -> list[Mistake]:
    """Return the mistakes in the order of the table."""
    rows = [line.split(" | ", 2) for line in _lines(FOLDER / "mistakes.txt")]
    return [Mistake(name, ROOT / path, says, not name.startswith("slip_")) for name, path, says in rows]


def choices(reader: str) -> dict[str, list[list[str]]]:
    """Return the choices of one reader by mistake: each a list of changed lines, as mistakes.txt describes them."""
    made: dict[str, list[list[str]]] = {}
    path = FOLDER / f"{reader}.txt"
    for line in _lines(path) if path.exists() else ():
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


def _lines(path: Path) -> list[str]:
    return [line.strip() for line in path.read_text(encoding="utf-8").split("\n") if line.strip() and line[0] != "#"]
