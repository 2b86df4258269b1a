"""What stands in one item of a program: its checks, and the bodies inside it."""

from stepcheck.model.dance import Block, Body, Check, Choice, Item, Together


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
