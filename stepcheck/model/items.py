"""What stands in one item of a program: its checks, and the bodies inside it."""

from typing import TypeAlias

from stepcheck.model.dance import Body, Check, Choice, Forever, Item, Lap, Last, Pass, Repeat, Timed, Together

Block: TypeAlias = Repeat | Timed | Pass | Lap | Forever | Last
"""An item that holds one body."""


def checks(item: Item) -> tuple[Check, ...]:
    """Return the checks that an item is: one, those judged together, or none."""
    if isinstance(item, Together):
        return item.checks
    return (item,) if isinstance(item, Check) else ()


def inside(item: Item) -> tuple[Body, ...]:
    """Return the bodies in an item: the options of a variation, what a block or pass is made of, or none."""
    if isinstance(item, Choice):
        return item.options
    return (item.body,) if isinstance(item, Block) else ()
