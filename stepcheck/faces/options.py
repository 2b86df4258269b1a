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
