"""The pages of the codes and the schemas of JSON, as they come with the package."""

import json
import re
from pathlib import Path
from typing import Any

from attrs import frozen

from stepcheck.model.findings import CODES, Code
from stepcheck.model.source import StepcheckError

SCHEMAS = ("json", "jsonl")
FENCED = re.compile(r"```[^\n]*\n(.*?)```", re.DOTALL)


class NoSuchPage(StepcheckError, LookupError):
    """A code, or a format, about which there is no page."""


@frozen
class Page:
    """What is to be known about a code.

    Attributes:
        code: its id, such as `SR501`.
        name: its name, such as `foot-not-free`.
        sections: pairs of a heading and what stands under it, in Markdown, in order.
        markdown: the page as a whole.
    """

    code: str
    name: str
    sections: tuple[tuple[str, str], ...]
    markdown: str

    def __str__(self) -> str:
        """The page as plain text, sheets indented."""
        blocks = [f"{self.code} {self.name}"]
        for heading, body in self.sections:
            blocks.append(f"{heading}\n{_plain(body)}")
        return "\n\n".join(blocks) + "\n"


def explain(code: str) -> Page:
    """Return the page of a code.

    Args:
        code: its id or its name, in any spelling: `SR501`, `sr501`, `foot-not-free`.

    Raises:
        NoSuchPage: there is no such code.
    """
    wanted = code.strip().casefold()
    for one in CODES.values():
        if wanted in (one.id.casefold(), one.id[2:], one.name):
            return page(one)
    from difflib import get_close_matches

    names = {word.casefold(): word for one in CODES.values() for word in (one.id, one.name)}
    near = get_close_matches(wanted, names, 2)
    advice = (
        f"did you mean {' or '.join(names[one] for one in near)}?" if near else "`stepcheck explain` lists them all"
    )
    raise NoSuchPage(f"there is no code {code!r}; {advice}")


def page(code: Code) -> Page:
    """Return the page of a code."""
    text = file(code).read_text("utf-8")
    _, *pieces = re.split(r"^## ", text, flags=re.MULTILINE)
    halves = (piece.partition("\n") for piece in pieces)
    return Page(code.id, code.name, tuple((head, body.strip()) for head, _, body in halves), text)


def file(code: Code) -> Path:
    """Return the file of a code's page."""
    return _home("codes") / f"{code.id}-{code.name}.md"


def schema(form: str) -> str:
    """Return the JSON Schema of a format of `check`.

    Args:
        form: "json", or "jsonl" for that of a line.

    Raises:
        NoSuchPage: there is no schema for it.
    """
    if form not in SCHEMAS:
        raise NoSuchPage(f"there is no schema of {form!r}; there are those of {' and '.join(SCHEMAS)}")
    whole = _home("report.schema.json").read_text("utf-8")
    return whole if form == "json" else json.dumps(_of_a_line(json.loads(whole)), ensure_ascii=False, indent=2) + "\n"


def _of_a_line(whole: dict[str, Any]) -> dict[str, Any]:
    """Return the schema of a line: a sheet of the document, or what could not be checked, each with `schema`."""
    name, error = whole["properties"]["schema"], whole["properties"]["errors"]["items"]
    sheet = whole["$defs"]["sheet"]
    lines = {
        "sheet": {
            **sheet,
            "properties": {"schema": name, **sheet["properties"]},
            "required": ["schema", *sheet["required"]],
        },
        "failure": {
            "type": "object",
            "properties": {"schema": name, "error": error},
            "required": ["schema", "error"],
            "additionalProperties": False,
        },
    }
    return {
        "$schema": whole["$schema"],
        "title": "A line of what stepcheck answers about sheets",
        "description": "A line of the output of `stepcheck check --format jsonl`.",
        "oneOf": [{"$ref": f"#/$defs/{one}"} for one in lines],
        "$defs": {**whole["$defs"], **lines},
    }


def _home(name: str) -> Path:
    """Return where something is: in the package once it is installed, in `specs` beside it where it is worked on."""
    inside = Path(__file__).parent / name
    return inside if inside.exists() else Path(__file__).parents[2] / "specs" / name


def _plain(body: str) -> str:
    """Return Markdown as it is read in a terminal: what is fenced is indented, the rest is text as it stands."""
    return FENCED.sub(
        lambda found: "".join(f"    {line}".rstrip() + "\n" for line in found[1].splitlines()), body
    ).rstrip()
