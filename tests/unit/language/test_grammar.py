"""The table of the grammar: up to date, and the same on every run."""

import json
import os
import re
import sys
from subprocess import run

from hypothesis import given
from hypothesis import strategies as st

from stepcheck.language import grammar
from stepcheck.language.phrases import Phrases
from tests.grammar import HOME, TEXT, build_table

SHIPPED = json.loads((HOME / "language.json").read_text(encoding="utf-8"))


def test_the_table_that_ships_is_that_of_the_grammar():
    """`language.json` is what lark makes of `language.lark`; `python -m tests.grammar` brings it up to
    date."""
    assert json.loads(json.dumps(build_table(TEXT))) == SHIPPED


def test_the_table_does_not_depend_on_the_run():
    """The table is the same bytes under another hash seed."""
    code = "import json; from tests.grammar import TEXT, build_table; print(json.dumps(build_table(TEXT)))"
    tables = {
        run(
            [sys.executable, "-c", code],
            capture_output=True,
            check=True,
            cwd=HOME.parents[1],
            env={**os.environ, "PYTHONHASHSEED": s},
        ).stdout
        for s in ("1", "2")
    }
    assert 1 == len(tables)


@given(st.sampled_from(sorted(SHIPPED["begins"])), st.data())
def test_what_a_terminal_matches_begins_with_one_of_its_characters(terminal: str, data: st.DataObject) -> None:
    """No match of a terminal, in whatever case, begins with a character for which the machine would not try it."""
    pattern = re.compile(SHIPPED["terminals"][terminal], re.IGNORECASE)
    found = pattern.search(data.draw(st.from_regex(pattern)))
    assert found and found[0][0] in SHIPPED["begins"][terminal]


def test_a_letter_that_counts_as_another_begins_a_terminal_as_that_one_does() -> None:
    """Without regard to case the long s is an s, also where a word begins with it."""
    read = grammar.load(Phrases()).parse
    assert "same wall" == read("expect \u017fame wall", "steps").states[0].said


def test_every_rule_has_its_meaning():
    """No rule of the grammar is without a method, and no method without a rule."""
    rules = {call for name, _, call, _ in SHIPPED["rules"] if not name.startswith("_") and not call.startswith("_")}
    methods = {name for name in vars(Phrases) if not name.startswith("_")}
    assert methods == rules - {"times"}


def test_a_machine_says_what_could_have_come():
    """Where a line leaves the grammar, only the words that could really follow are named."""
    try:
        grammar.load(Phrases()).parse("hold 4 baets", "steps")
    except grammar.Stuck as stuck:
        assert (7, {"UNIT", "FRACTION", grammar.END}) == (stuck.at, set(stuck.wanted))
    else:
        raise AssertionError("the line was taken")
