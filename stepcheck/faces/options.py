"""What the options of several commands take."""

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
IN_PLACE = click.option(
    "--in-place", is_flag=True, help="Write into a file that has several names (hard links), which is else refused."
)
SMT2 = click.option(
    "--smt2",
    type=click.Path(file_okay=False),
    metavar="DIR",
    help="Write each proof into this folder as an SMT-LIB 2 script.",
)
