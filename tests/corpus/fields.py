"""The fields of the public values, as specs/library.md lists them: taken from their docstrings.

`python -m tests.corpus.fields` writes them into the page anew.
"""

import inspect
import re

import attrs

import stepcheck as sc
from stepcheck.language import edits as kinds_of_edit
from tests.corpus.expected import ROOT

PAGE = ROOT / "specs" / "library.md"
HEADING = "## Fields\n"
INTRODUCTION = (
    "Values are frozen; what stands here is read as an attribute. Units are those above where a field says no other.\n"
)
EDITS = """**`Edit`** is one of these; each names by its number, from 1, the `line` in the sheet as it was, and by `option`, from 0,
which alternative of it.  Turns are in signed eighths, left negative, `ticks` in twelfths of a beat.
""".replace("  ", " ")


def values() -> dict[str, type]:
    """Return the public values with fields, by name."""
    public = {name: getattr(sc, name) for name in sc.__all__}
    found = {name: value for name, value in public.items() if inspect.isclass(value) and attrs.has(value)}
    return {name: value for name, value in found.items() if value is not sc.Edit}


def kinds() -> tuple[type[sc.Edit], ...]:
    """Return the kinds of `Edit` in the order of their module."""
    classes = [value for value in vars(kinds_of_edit).values() if inspect.isclass(value) and issubclass(value, sc.Edit)]
    return tuple(kind for kind in classes if kind is not sc.Edit)


def told(value: type) -> dict[str, str]:
    """Return what the docstring of a value says of each field, and of each property with a docstring."""
    listed = (inspect.getdoc(value) or "").partition("Attributes:\n")[2]
    found = re.findall(r"^    (\w+): ((?:.+\n?)(?:        .+\n?)*)", listed, re.MULTILINE)
    said = {name: " ".join(text.split()).removesuffix(".") for name, text in found}
    for name, made in vars(value).items():
        if isinstance(made, property) and not name.startswith("_"):
            text = " ".join((inspect.getdoc(made) or "").partition("\n\n")[0].split()).removesuffix(".")
            said[name] = text[:1].lower() + text[1:] if text.split()[0].istitle() else text
    return said


def edits() -> str:
    """Return the table of the kinds of `Edit`."""
    rows = []
    for kind in kinds():
        said = " ".join((inspect.getdoc(kind) or "").partition("\n\n")[0].split()).removesuffix(".")
        names = ", ".join(f"`{field.name}`" for field in attrs.fields(kind) if field.name != "line")
        rows.append(f"| `{kind.kind}` | {said[:1].lower()}{said[1:]} | {names} |\n")
    return f"{EDITS}\n| `kind` | does | fields beside `line` |\n|---|---|---|\n{''.join(rows)}"


def section() -> str:
    """Return the section of the page."""
    out = [HEADING, INTRODUCTION]
    for name, value in values().items():
        rows = (f"| `{field}` | {text.replace('|', chr(92) + '|')} |\n" for field, text in told(value).items())
        out.append(f"**`{name}`**\n\n| field | is |\n|---|---|\n{''.join(rows)}")
    return "\n".join([*out, edits()])


def written(page: str) -> str:
    """Return the page with the section as it should be."""
    before, _, rest = page.partition(HEADING)
    return before + section() + "\n## " + rest.partition("\n## ")[2]


if __name__ == "__main__":
    PAGE.write_text(written(PAGE.read_text("utf-8")), "utf-8")
