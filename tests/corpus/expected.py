"""What must come out for the sheets of the demo catalogue, as written beside them."""

import tomllib
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
SPECS = ROOT / "specs"


def sheets(folder: str) -> list[Path]:
    """Return the sheets of a folder of the catalogue, in order."""
    return sorted((SPECS / folder).glob("*.routine"))


def expectation(sheet: Path) -> dict[str, Any]:
    """Return what stands beside a faulty sheet."""
    return tomllib.loads(sheet.with_name(f"{sheet.stem}.expect.toml").read_text(encoding="utf-8"))


def mended(text: str, edits: list[dict[str, Any]]) -> str:
    """Return a sheet with the edits of a teacher made: a line put in place of another, after another, or taken out.

    Raises:
        ValueError: the line that is to be changed reads otherwise.
    """
    lines = text.split("\n")
    for edit in sorted(edits, key=lambda one: one.get("line", one.get("after")), reverse=True):
        if "after" in edit:
            lines.insert(edit["after"], edit["text"])
            continue
        if lines[edit["line"] - 1] != edit["was"]:
            raise ValueError(f"line {edit['line']} reads {lines[edit['line'] - 1]!r}, not {edit['was']!r}")
        lines[edit["line"] - 1 : edit["line"]] = [edit["text"]] if "text" in edit else []
    return "\n".join(lines)
