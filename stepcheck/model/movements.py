"""Movements: the sounds and actions that figures are made of."""

from enum import Enum

from attrs import frozen


class Actor(Enum):
    """Who makes a movement."""

    FREE = "free foot"
    SUPPORT = "supporting foot"
    BOTH = "both feet"
    NOBODY = "nobody"

    __hash__ = object.__hash__


@frozen
class Sense:
    """One published meaning of a movement's name.

    Attributes:
        label: what it is called; empty where there is only one.
        actor: who makes the movement.
        lands: whether the acting foot, or both, ends with the weight.
        sources: where it is published.
    """

    label: str
    actor: Actor
    lands: bool
    sources: tuple[str, ...] = ()


@frozen
class Movement:
    """One sound or action.

    **Invariant:** at least one sense.

    Attributes:
        name: its name.
        forms: its abbreviations.
        senses: its meanings.
        usual: the index of the one that holds where nothing settles it.
        upbeat: whether it is placed on the half before a beat; others are on beats.
        placed: whether it takes a place in the count.
    """

    name: str
    forms: tuple[str, ...]
    senses: tuple[Sense, ...]
    usual: int = 0
    upbeat: bool = False
    placed: bool = True
