"""Options that several commands share, and the `-o FILE` that a command with a text answer gets."""

import copy
import io
import json
import os
from collections.abc import Callable
from contextlib import redirect_stdout
from fractions import Fraction
from typing import Any

import click
from attrs import asdict

from stepcheck.faces import streams
from stepcheck.language import writer


class Whole(click.ParamType):
    """A whole number from 1."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Return the number."""
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
IN_PLACE = click.option(
    "--in-place", is_flag=True, help="Write into a file that has several names (hard links), which is else refused."
)
SMT2 = click.option(
    "--smt2",
    type=click.Path(file_okay=False),
    metavar="DIR",
    help="Write each proof into this folder as an SMT-LIB 2 script.",
)
CERTIFICATE = click.option(
    "--certificate",
    type=click.Path(file_okay=False),
    metavar="DIR",
    help="Write what `python -m stepcheck.certify` checks, a certificate of each sheet, into this folder.",
)
OUTPUT = click.option(
    "-o", "--output", type=click.Path(dir_okay=False), metavar="FILE", help="Write it to a file instead of stdout."
)


def answering(command: click.Command) -> click.Command:
    """Return a command with `-o FILE` added: its answer goes to the file, which is written only if there is an
    answer."""
    run = command.callback
    assert run is not None
    made = copy.copy(command)
    known = {param.name for param in command.params}
    own = [option for name, option in (("output", OUTPUT), ("force", FORCE)) if name not in known]
    made.params = [*command.params, *(_param(option) for option in own)]

    def callback(output: str | None, force: bool, **values: Any) -> Any:
        values |= {"force": force} if "force" in known else {}
        if output is None:
            return run(**values)
        writer.permit(output, writer.inodes(_files(values)), force=force)
        answer = io.BytesIO()
        with redirect_stdout(io.TextIOWrapper(answer, "utf-8", write_through=True)):
            status = run(**values)
            text = answer.getvalue().decode("utf-8")
        if text:
            with streams.destination(output, force=force) as put:
                put(text)
        return status

    made.callback = callback
    return made


def _param(option: Callable[[Any], Any]) -> click.Parameter:
    """Return the parameter that a decorator of click adds."""
    return click.command()(option(lambda: None)).params[0]


def _files(values: dict[str, Any]) -> list[str | int]:
    """Return the files among the values of options and arguments, stdin by its number."""
    texts = [text for value in values.values() for text in (value if isinstance(value, tuple) else (value,))]
    named = [writer.STDIN if text == "-" else text for text in texts if isinstance(text, str)]
    return [one for one in named if isinstance(one, int) or os.path.isfile(one)]


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
    """Return an answer as a JSON document that names its schema."""
    return json.dumps({"schema": schema, **members}, ensure_ascii=False, indent=2) + "\n"


def plain(value: Any) -> Any:
    """Return a value as JSON has it: fractions as numbers, without what is for programs only."""
    return asdict(
        value,
        filter=lambda field, _: field.repr is True,
        value_serializer=lambda _, __, inner: float(inner) if isinstance(inner, Fraction) else inner,
    )
