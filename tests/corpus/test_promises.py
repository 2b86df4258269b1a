"""The page of promises: each promise has its test, and the README speaks of the page."""

import ast
import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "specs" / "promises.md").read_text(encoding="utf-8")


def test_every_promise_is_guarded_by_a_test_that_is_there() -> None:
    """Each row of the table of promises names a test; the file has it, and it has a docstring."""
    rows = [row for row in PAGE.partition("## What is promised")[2].partition("\n## ")[0].splitlines() if "|" in row][
        2:
    ]
    assert len(rows) > 20
    for row in rows:
        found = re.fullmatch(r"\| (.+) \| `([\w/]+\.py)::(test_\w+)` \|", row)
        assert found, row
        tree = ast.parse((ROOT / found[2]).read_text(encoding="utf-8"))
        tests = {node.name: node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
        assert found[3] in tests, row
        assert ast.get_docstring(tests[found[3]])


def test_the_readme_leads_to_the_promises() -> None:
    """The README names the page, and the page has its sections."""
    assert "specs/promises.md" in (ROOT / "README.md").read_text(encoding="utf-8")
    sections = ["What is promised", "What is assumed", "What is not promised", "Figures"]
    assert sections == re.findall(r"^## (.+)$", PAGE, re.M)
