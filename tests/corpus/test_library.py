"""The page of the library does what it says, and has every name of the face."""

import doctest
import inspect
import re
from collections.abc import Callable, Iterator
from typing import Any

import attrs
import click
import pytest

import stepcheck as sc
from stepcheck.faces import cli
from tests.corpus import fields
from tests.corpus.expected import ROOT
from tests.corpus.readme import blocks

PAGE = ROOT / "specs" / "library.md"
TEXT = PAGE.read_text(encoding="utf-8")
PUBLIC = {name: getattr(sc, name) for name in sc.__all__}
VALUES = fields.values()


def test_the_examples_give_what_the_page_shows() -> None:
    """The Python examples, tried in order as one session, give what stands under them."""
    text = "\n".join(block.text for block in blocks(TEXT) if block.kind == "pycon")
    example = doctest.DocTestParser().get_doctest(text, {}, "library", str(PAGE), 0)
    failures: list[str] = []
    result = doctest.DocTestRunner().run(example, out=failures.append)

    assert result.attempted > 10
    assert [] == failures


def test_every_name_stands_on_the_page() -> None:
    """What can be had from `stepcheck` is on the page, and what is on the page in a table can be had."""
    named = {word.rstrip("s") for word in re.findall(r"`([A-Za-z_]+)`", TEXT)} | set(
        re.findall(r"`([A-Za-z_]+)`", TEXT)
    )

    assert [] == [name for name in PUBLIC if name not in named and name != "StepcheckError"]
    tables = TEXT.partition(fields.HEADING)[0]
    rows = [line.split("|")[1] for line in tables.splitlines() if line.startswith("| `") and "--" not in line]
    assert [] == [name for row in rows for name in re.findall(r"`([A-Za-z_]+)`", row) if not hasattr(sc, name)]


@pytest.mark.parametrize("name", sorted(VALUES))
def test_every_field_is_documented(name: str) -> None:
    """Each field of a public value has a line of its own under `Attributes:`, in order."""
    said = inspect.getdoc(VALUES[name]) or ""
    told = re.findall(r"^    (\w+): .", said.partition("Attributes:\n")[2], re.MULTILINE)

    assert [field.name.lstrip("_") for field in attrs.fields(VALUES[name])] == told


def test_the_page_lists_the_fields_as_they_are_documented() -> None:
    """Every field of every public value stands on the page with its meaning and unit; `python -m tests.corpus.fields`
    writes them."""
    assert fields.written(TEXT) == TEXT
    assert all(len(text.split()) > 1 for value in VALUES.values() for text in fields.told(value).values())


def test_every_argument_is_documented() -> None:
    """Each argument of a public function is told of under `Args:`, there or where it is referred to."""
    untold = []
    for name, function in PUBLIC.items():
        if inspect.isfunction(function):
            said = inspect.getdoc(function) or ""
            arguments = [one for one in inspect.signature(function).parameters if one != "algebra"]
            told = set(re.findall(r"^    (\w+): ", said, re.MULTILINE))
            if (
                len(arguments) > 1
                and not told >= set(arguments)
                and not re.search("rguments (as )?for|; as `load`", said)
            ):
                untold.append(name)

    assert [] == untold


def met(value: Any) -> Iterator[type]:
    """Yield the classes of stepcheck that a signature or the fields of a class name."""
    hints = inspect.signature(value).parameters.values() if inspect.isfunction(value) else ()
    said = [str(one.annotation) for one in hints]
    said += [str(inspect.signature(value).return_annotation)] if inspect.isfunction(value) else []
    said += [str(field.type) for field in attrs.fields(value)] if inspect.isclass(value) and attrs.has(value) else []
    for module, name in re.findall(r"stepcheck\.(\w+\.\w+)\.(\w+)", " ".join(said)):
        found = getattr(__import__(f"stepcheck.{module}", fromlist=["x"]), name, None)
        if inspect.isclass(found):
            yield found


INSIDE = {"Algebra", "Program", "Shelf", "Sheet", "Times", "TurnMark"}
"""Types of fields and arguments that are for engines: how a sheet is parsed and danced.  Kinds of `Edit` go by that
name."""


def test_every_type_that_is_met_is_exported() -> None:
    """What a public function takes or gives, and what a field of that holds, can be named from `stepcheck`."""
    left, seen = list(PUBLIC.values()), set()
    while left:
        for found in met(left.pop()):
            if (
                found not in seen
                and found.__name__ not in INSIDE
                and found.__module__.rpartition(".")[2] not in ("syntax", "edits")
            ):
                seen.add(found)
                left.append(found)

    assert len(seen) > 30
    assert [] == sorted(found.__name__ for found in seen if found not in PUBLIC.values())


WORDS: dict[str, tuple[tuple[Callable[..., Any], ...], set[str]]] = {
    "check": ((sc.check_catalogue, sc.check_file), {"paths", "cached", "cache_file", "scheduler", "allow_undecided"}),
    "break": ((sc.find_breaks, sc.break_after, sc.find_endings), {"path", "after", "ending"}),
    "fill": ((sc.fill, sc.load), {"path", "apply", "in_place"}),
    "fit": ((sc.fit,), {"path", "apply", "in_place", "smt2", "force"}),
    "repair": ((sc.repair, sc.load), {"path", "apply", "in_place", "smt2", "certificate", "force"}),
}
"""The functions behind a command, and its options that are about files or its own process."""
PRINTED = {"form", "output", "force", "colour", "verbose"}


@pytest.mark.parametrize("command", WORDS)
def test_options_have_the_words_of_the_library(command: str) -> None:
    """Each option is called as the argument is, in its long form; what only the command has is listed."""
    functions, own = WORDS[command]
    arguments = {name for function in functions for name in inspect.signature(function).parameters}
    found = cli.stepcheck.get_command(click.Context(cli.stepcheck), command)
    assert found is not None
    for option in found.params:
        if option.name in own | PRINTED:
            continue
        assert option.name in arguments, option.name
        assert f"--{option.name.replace('_', '-')}" in option.opts, option.name
