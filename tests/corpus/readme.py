"""The blocks of the README: sheets to write, commands to run, Python to try."""

import re
from collections.abc import Iterator
from pathlib import Path

from attrs import frozen

from tests.corpus.expected import ROOT

README = ROOT / "README.md"


@frozen
class Block:
    """A fenced block: the word after the fence, the rest of that line, the text, and the line where it begins."""

    kind: str
    name: str
    text: str
    line: int


def blocks(text: str) -> Iterator[Block]:
    """Yield the fenced blocks of a Markdown text, in order."""
    for match in re.finditer(r"^```(\w+) ?(.*)\n((?:.*\n)*?)```$", text, re.MULTILINE):
        yield Block(match[1], match[2], match[3], text.count("\n", 0, match.start()) + 1)


def of_kind(kind: str) -> list[Block]:
    """Return the README's blocks of one kind."""
    return [block for block in blocks(README.read_text(encoding="utf-8")) if block.kind == kind]


def write_sheets(folder: Path) -> None:
    """Write the README's sheets, and the descriptions that have a name, to a folder."""
    for block in (*of_kind("routine"), *(one for one in of_kind("text") if one.name)):
        (folder / block.name).write_text(block.text, encoding="utf-8")


def commands(block: Block) -> list[tuple[str, str]]:
    """Return the commands of a console block, each with what it prints."""
    found = re.findall(r"^\$ (.*)\n((?:(?!\$ ).*\n)*)", block.text, re.MULTILINE)
    return [(command, output) for command, output in found]
