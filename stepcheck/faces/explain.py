"""The command `explain`: what a code says, and the schemas of what programs read."""

import json

import click

from stepcheck.faces.offers import CODE
from stepcheck.faces.streams import write
from stepcheck.formats import reference
from stepcheck.formats.reference import SCHEMAS
from stepcheck.model.findings import CODES

SCHEMA = "stepcheck-codes-1"


@click.command("explain", short_help="Explain a code such as SR501.")
@click.argument("codes", nargs=-1, metavar="[CODE…]", type=CODE)
@click.option("--schema", "form", type=click.Choice(tuple(SCHEMAS)), help="Print the JSON Schema of a format instead.")
@click.option(
    "--format", "layout", type=click.Choice(["text", "json"]), default="text", show_default=True, help="What to print."
)
def explain(codes: tuple[str, ...], form: str | None, layout: str) -> int:
    """Explain codes: what was found, the ways out, and a sheet with it, mended. Without CODE all codes are listed."""
    if form is not None:
        if codes:
            raise click.UsageError("a schema belongs to a format, not to a code")
        write(reference.schema(form))
        return 0
    pages = [reference.explain(code) for code in codes] or [reference.page(code) for code in CODES.values()]
    if layout == "json":
        values = [{"code": one.code, "name": one.name, "sections": dict(one.sections)} for one in pages]
        write(json.dumps({"schema": SCHEMA, "codes": values}, ensure_ascii=False, indent=2) + "\n")
    elif codes:
        write("\n".join(map(str, pages)))
    else:
        write("".join(f"{one.code} {one.name}\n" for one in pages))
    return 0
