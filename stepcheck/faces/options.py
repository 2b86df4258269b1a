"""What the options of several commands take."""

import json
from typing import Any

import click


class Whole(click.ParamType):
    """A whole number from 1."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Return the number that was written."""
        try:
            number = int(value)
        except ValueError:
            number = 0
        if number < 1:
            self.fail(f"{str(value)!r} is no whole number from 1", param, ctx)
        return number


NUMBER = Whole()

FORCE = click.option(
    "--force", is_flag=True, help="Write over files that are there, though never over one that is read."
)
SMT2 = click.option(
    "--smt2",
    type=click.Path(file_okay=False),
    metavar="DIR",
    help="Write each proof into this folder as an SMT-LIB 2 script.",
)
FORM = click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True, help="What to print."
)
SHEET = click.argument("path", metavar="FILE", type=click.Path(allow_dash=True))
WRITTEN = click.option(
    "-o",
    "--output",
    type=click.Path(dir_okay=False),
    metavar="SHEET",
    help="Write the sheet to a file instead of stdout.",
)


def written_json(schema: str, **members: Any) -> str:
    """Return an answer as a document of a schema."""
    return json.dumps({"schema": schema, **members}, ensure_ascii=False, indent=2) + "\n"
