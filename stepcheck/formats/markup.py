"""HTML elements as text, every word of a sheet escaped on the way."""

from html import escape
from typing import TypeAlias

from attrs import frozen

from stepcheck.model.words import visible


@frozen
class Markup:
    """A piece of HTML that is safe to stand in a page as it is."""

    text: str


Child: TypeAlias = Markup | str | None

_EMPTY = ("meta", "input", "br", "path", "circle", "rect")


def tag(name: str, /, *children: Child, **attributes: str | int | None) -> Markup:
    """Return an element.

    Args:
        name: of the element.
        children: what stands in it; plain text is escaped, None left out.
        attributes: by name, `class_` for `class` and `_` for `-`; one whose value is None is left out.
    """
    told = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(visible(str(value)))}"'
        for key, value in attributes.items()
        if value is not None
    )
    if name in _EMPTY:
        return Markup(f"<{name}{told}>" if name in ("meta", "input", "br") else f"<{name}{told}/>")
    return Markup(f"<{name}{told}>{joined(*children).text}</{name}>")


def joined(*children: Child) -> Markup:
    """Return pieces one after another."""
    return Markup("".join(_inner(child) for child in children if child is not None))


def _inner(child: Markup | str) -> str:
    return child.text if isinstance(child, Markup) else escape(visible(child), quote=False)
