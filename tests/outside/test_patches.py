"""Unified diffs are what GNU patch and git say they are: both apply every one that is printed."""

import os
import subprocess
from pathlib import Path
from random import Random

import pytest

from stepcheck.language import files, parser
from stepcheck.language.alterations import EditError, applied
from stepcheck.language.edits import ChangeTimes, ChangeTurn, DeleteLine, Edit, InsertLine, ReplaceFigure
from stepcheck.language.patch import difference, restored
from stepcheck.language.stretches import every_line
from stepcheck.language.syntax import Row
from stepcheck.program.routine import lay_out
from tests.corpus.expected import sheets

STYLES = ("lf", "crlf", "bom", "bare", "mixed", "all")
SHEETS = [*sheets("faulty"), *sheets("routines")]
EACH = 25
"""How many random fixes at a time; with all styles and 40 seeds a thousand."""


def styled(text: str, style: str) -> bytes:
    """Return the bytes of a sheet with other line ends, a byte-order mark, or no line end behind the last line."""
    if style in ("bare", "all"):
        text = text.rstrip("\n")
    if style in ("crlf", "all"):
        text = text.replace("\n", "\r\n")
    if style == "mixed":
        first, _, rest = text.partition("\n")
        text = f"{first}\r\n{rest}"
    return (("\ufeff" if style in ("bom", "all") else "") + text).encode()


def apply(folder: Path, files_: dict[str, tuple[bytes, str, bytes]]) -> None:
    """Hold diffs to what both tools make of the files: each name with its bytes, the diff, and the bytes afterwards."""
    for number, tool in enumerate((["patch", "--binary", "-s", "-p0"], ["git", "apply", "-p0", "--whitespace=nowarn"])):
        here = folder / str(number)
        here.mkdir()
        for name, (data, _, _) in files_.items():
            (here / name).write_bytes(data)
        diffs = "".join(diff for _, diff, _ in files_.values())
        env = {**os.environ, "GIT_CEILING_DIRECTORIES": str(folder)}
        done = subprocess.run(tool, input=diffs.encode(), cwd=here, capture_output=True, env=env)
        assert 0 == done.returncode, (tool, done.stderr, done.stdout, diffs)
        for name, (_, diff, after) in files_.items():
            assert after == (here / name).read_bytes(), (tool, done.stderr, done.stdout, diff)
        assert sorted(files_) == sorted(path.name for path in here.iterdir())


def altered(random: Random, text: str) -> str:
    """Return a sheet after one to three random edits, the last lines among them."""
    sheet = parser.parse(files.take(text)[0])[0]
    lines = [line for line in every_line(sheet.lines) if isinstance(line.node, Row)]
    while True:
        edits: list[Edit] = []
        for line in random.sample(lines, min(len(lines), random.randint(1, 3))):
            edits.append(
                random.choice(
                    (
                        ReplaceFigure(line.number, "Rocking Chair"),
                        ChangeTimes(line.number, random.randint(1, 4)),
                        ChangeTurn(line.number, random.choice((-2, 2, 4))),
                        DeleteLine(line.number),
                        InsertLine(line.number, "Rock Step"),
                        InsertLine(lines[-1].number, "Rock Step x2"),
                    )
                )
            )
        try:
            made = applied(sheet, edits)
        except EditError:
            continue
        if made != sheet.source.text:
            return made


@pytest.mark.parametrize("seed", range(40))
def test_every_diff_applies_with_both_tools(seed: int, tmp_path: Path) -> None:
    """Whatever the line ends of a file, a fix as a diff makes of it what writing the fix into it makes."""
    random, made = Random(seed), dict[str, tuple[bytes, str, bytes]]()
    for number in range(EACH):
        path, style = random.choice(SHEETS), STYLES[number % len(STYLES)]
        data = styled(path.read_text(encoding="utf-8"), style)
        name = random.choice((f"x{number}.routine", f"a sheet {number}.routine"))
        source, _ = files.decode(data, name)
        after = altered(random, source.text)
        made[name] = data, difference(source, after), restored(source, after).encode()
    apply(tmp_path, made)


@pytest.mark.parametrize("style", STYLES)
def test_what_the_formatter_would_change_applies_as_well(style: str, tmp_path: Path) -> None:
    """A diff of the layout is one like any other, and a sheet that only has other line ends needs none."""
    text = "routine:  X\nbook: clogging\npart A:\n    Triple   # a note\ndance:\n  A\n"
    data = styled(text, style)
    laid = lay_out("x.routine", data)
    assert laid.after is not None and laid.changed
    apply(tmp_path, {"x.routine": (data, laid.diff(), restored(laid.source, laid.after).encode())})
    again = lay_out("x.routine", restored(laid.source, laid.after).encode())
    assert not again.changed
