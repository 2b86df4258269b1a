"""Who may import whom: one literal table.  Change it when the design changes, on purpose."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "stepcheck"

# The modules of stepcheck that each module imports, at its top or inside a function.
ALLOWED: dict[str, tuple[str, ...]] = {
    "__init__": ("release",),
    "advice": ("certify", "measures", "model", "outcome", "scene", "words"),
    "alike": ("books", "diagnostics", "model", "moves", "outline", "placing", "source"),
    "alterations": ("edits", "model", "parser", "printer", "source", "stretches", "syntax", "words"),
    "answers": ("blanks", "breaks", "cautions", "fills", "formats", "model", "repertoire", "request", "words"),
    "arrivals": ("branches", "effects", "fronts", "model", "moves", "outcome"),
    "bitwords": ("deeds", "offers", "slots"),
    "blanks": ("model", "printer", "repertoire", "source", "syntax"),
    "books": ("diagnostics", "entries", "model", "outline", "placing", "source"),
    "bookshelf": (
        "alike", "books", "cards", "diagnostics", "formats", "impacts", "model", "outcome", "report", "source",
        "streams", "words",
    ),  # fmt: skip
    "branches": ("effects", "outcome"),
    "breaks": ("books", "model", "repertoire", "request", "rows", "source", "states", "why"),
    "bundles": ("dancers",),
    "cache": ("evidence", "release", "report", "source"),
    "callers": ("edits", "model", "slots", "stretches", "syntax"),
    "cards": ("model", "moves", "outline", "placing", "source", "words"),
    "catalogue": ("cache", "discovery", "evidence", "pipeline", "report", "source", "statuses", "workers"),
    "catalogue_commands": ("commands", "discovery", "graph", "questions", "settings", "statuses", "streams", "words"),
    "cautions": (),
    "certify": ("judge", "model", "outcome"),
    "cheapest": (
        "alterations", "callers", "dancers", "deeds", "edits", "elaborate", "levels", "material", "model",
        "offers", "parser", "placing", "protected", "restated", "shapes", "slots", "source", "waivers", "work",
    ),  # fmt: skip
    "cli": ("crash", "source", "statuses", "streams"),
    "cluster": ("source",),
    "commands": (
        "catalogue", "cluster", "crash", "discovery", "editor", "interruption", "layouts", "options",
        "progress", "renderers", "report", "settings", "source", "statuses", "streams", "words", "workers",
    ),  # fmt: skip
    "completion": ("books", "desk", "facts", "model", "syntax", "words"),
    "conflicts": (
        "alterations", "cheapest", "deeds", "edits", "effects", "elaborate", "material", "model", "outcome",
        "parser", "protected", "slots", "source", "stretches", "waivers", "walk", "words", "work",
    ),  # fmt: skip
    "contracts": ("counting", "cutting", "model", "registry", "syntax"),
    "costs": ("source",),
    "counting": ("model", "syntax"),
    "crash": ("source",),
    "cutting": ("model",),
    "dancers": ("contracts", "deeds", "model"),
    "dances": ("model", "outcome", "question", "solver"),
    "deeds": ("model", "moves"),
    "desk": (
        "books", "cards", "elaborate", "model", "naming", "pipeline", "registry", "report", "source", "syntax",
        "tracks", "words",
    ),  # fmt: skip
    "diagnostics": ("source",),
    "discovery": ("source",),
    "editor": ("completion", "desk", "diagnostics", "layouts", "patches", "remedies", "report", "source"),
    "echoes": ("diagnostics", "effects", "model", "outcome", "walk", "words"),
    "edits": ("model", "syntax"),
    "effects": ("model",),
    "elaborate": ("books", "diagnostics", "facts", "model", "naming", "reader", "registry", "staging", "syntax"),
    "encode": ("footwork", "ledger", "model", "question", "survey", "terms", "unrolled"),
    "endings": (
        "arrivals", "breaks", "cutting", "elaborate", "material", "model", "printer", "request", "source",
        "states", "syntax", "why", "words",
    ),  # fmt: skip
    "entries": ("model", "outline", "syntax"),
    "evidence": (
        "books", "certify", "elaborate", "facts", "formats", "model", "outcome", "parser", "pipeline", "reader",
        "report", "source",
    ),  # fmt: skip
    "explain": ("advice", "certify", "diagnostics", "model", "outcome", "scene", "source", "words"),
    "facts": ("books", "diagnostics", "model", "source", "syntax"),
    "fills": (
        "blanks", "diagnostics", "elaborate", "material", "outcome", "pipeline", "puzzle", "report", "settling",
        "source", "states", "trials", "unfilled", "walk", "words",
    ),  # fmt: skip
    "fixes": ("cautions", "conflicts", "edits", "formats", "outcome", "repairs", "syntax", "words"),
    "floorplan": ("elaborate", "model", "page", "pipeline", "source", "syntax", "tracks", "words"),
    "floors": ("dancers", "nodes", "recurring"),
    "footwork": ("model", "terms"),
    "formats": ("diagnostics", "leanings", "outcome", "report", "source"),
    "fronts": ("branches", "effects", "judging", "model", "moves", "outcome"),
    "gaps": ("blanks", "elaborate", "material", "model", "repertoire", "request", "rows", "stand_ins", "trials"),
    "grammar": ("syntax",),
    "graph": ("model", "repertoire", "states", "words"),
    "groups": ("bundles", "dancers", "deeds", "nodes", "offers"),
    "handouts": (
        "discovery", "elaborate", "formats", "model", "pipeline", "report", "statuses", "streams", "syntax",
        "tracks", "words",
    ),  # fmt: skip
    "impacts": ("books", "diagnostics", "discovery", "effects", "model", "outcome", "pipeline", "report", "source"),
    "interruption": (),
    "judge": ("model", "outcome"),
    "judging": ("effects", "model"),
    "junit": ("diagnostics", "outcome", "report", "words"),
    "laying": ("contracts", "counting", "facts", "model", "naming", "registry", "syntax"),
    "layouts": ("diagnostics", "parser", "printer", "source", "words"),
    "leanings": (),
    "ledger": ("model", "question", "survey", "terms"),
    "levels": (
        "bundles", "dancers", "floors", "groups", "model", "needs", "nodes", "offers", "recurring", "restated",
        "rounds", "shorts", "sights", "slots", "work",
    ),  # fmt: skip
    "likeness": ("model", "moves"),
    "lines": ("diagnostics", "formats", "report", "words"),
    "markup": ("words",),
    "material": ("books", "breaks", "elaborate", "model", "moves", "naming", "registry", "repertoire", "states"),
    "measures": ("model", "source", "syntax"),
    "mending": (
        "costs", "discovery", "fixes", "layouts", "options", "pipeline", "repairs", "source", "streams",
        "words",
    ),  # fmt: skip
    "mistakes": ("grammar", "measures", "spoken", "syntax"),
    "model": (),
    "moves": ("effects", "model"),
    "naming": ("books", "diagnostics", "facts", "model", "moves", "placing", "registry", "syntax"),
    "needs": ("dancers", "deeds", "model", "nodes", "offers"),
    "nodes": ("contracts", "laying", "model", "syntax"),
    "notes": (
        "diagnostics", "leanings", "model", "moves", "outcome", "placing", "readings", "source", "syntax",
        "words",
    ),  # fmt: skip
    "offers": (
        "alterations", "books", "cutting", "deeds", "edits", "facts", "model", "naming", "nodes", "printer",
        "registry", "slots", "source", "syntax", "waivers", "wishes",
    ),  # fmt: skip
    "options": (),
    "outcome": ("model",),
    "outline": ("source",),
    "page": ("cautions", "diagnostics", "markup", "outcome", "report", "words"),
    "parser": ("diagnostics", "grammar", "measures", "mistakes", "phrases", "reader", "source", "syntax"),
    "patches": ("diagnostics", "source"),
    "phrases": ("grammar", "measures", "model", "syntax"),
    "pipeline": (
        "books", "certify", "diagnostics", "echoes", "effects", "elaborate", "explain", "leanings", "model",
        "moves", "notes", "outcome", "parser", "prove", "reader", "readings", "release", "report", "scene",
        "solver", "source", "walk",
    ),  # fmt: skip
    "placing": ("model", "syntax", "words"),
    "printer": ("model", "syntax"),
    "progress": (),
    "protected": ("model", "moves", "nodes", "source", "stretches", "syntax"),
    "prove": ("dances", "encode", "model", "outcome", "question", "settle", "solver", "survey"),
    "puzzle": ("blanks", "elaborate", "gaps", "material", "model", "runs", "stand_ins", "syntax", "trials"),
    "pytest_plugin": ("outcome", "pipeline", "report"),
    "question": ("model",),
    "questions": (
        "breaks", "discovery", "effects", "elaborate", "fronts", "likeness", "model", "moves", "pipeline",
        "source", "states", "walk",
    ),  # fmt: skip
    "ranking": ("cheapest", "edits", "elaborate", "material", "model", "parser", "stretches", "syntax"),
    "reader": ("diagnostics", "source"),
    "readings": ("certify", "effects", "leanings", "model", "moves", "syntax", "trail", "walk", "words"),
    "recurring": ("dancers", "model", "nodes", "slots"),
    "registry": ("diagnostics", "model", "syntax"),
    "release": (),
    "remedies": ("diagnostics", "elaborate", "outcome", "patches", "pipeline", "reader", "repairs", "report", "source"),
    "renderers": ("floorplan", "formats", "junit", "lines", "page", "remedies", "report", "sarif"),
    "repairs": (
        "alterations", "blanks", "cheapest", "conflicts", "costs", "deeds", "edits", "effects", "elaborate",
        "fills", "material", "outcome", "pipeline", "protected", "ranking", "report", "shortest", "slots",
        "solver", "source", "spelling", "states", "walk", "words", "work",
    ),  # fmt: skip
    "repertoire": ("model", "moves", "printer", "syntax"),
    "report": ("diagnostics", "leanings", "model", "outcome", "source", "statuses", "words"),
    "request": ("model", "repertoire", "rows", "states"),
    "restated": ("contracts", "dancers", "edits", "model", "slots", "stretches", "syntax"),
    "rounds": ("bundles", "dancers", "deeds", "model", "nodes", "recurring", "shorts"),
    "rows": ("model", "repertoire", "runs", "totals"),
    "runs": ("model", "repertoire", "totals"),
    "sarif": ("diagnostics", "outcome", "patches", "report", "source"),
    "scene": ("model", "source", "syntax", "words"),
    "scripting": ("bitwords",),
    "searches": (
        "answers", "breaks", "discovery", "endings", "fills", "layouts", "model", "options", "pipeline",
        "source", "streams", "words",
    ),  # fmt: skip
    "settings": ("source",),
    "settle": ("encode", "model", "question", "solver", "terms"),
    "settling": ("arrivals", "blanks", "model", "printer", "puzzle", "syntax", "trials", "words"),
    "shapes": ("cutting", "deeds", "edits", "elaborate", "facts", "model", "offers", "placing", "printer", "stretches", "syntax"),
    "shortest": ("bitwords", "levels", "model", "nodes", "scripting"),
    "shorts": ("cutting", "model", "nodes", "offers", "registry", "slots"),
    "sights": ("dancers", "deeds", "model", "nodes", "slots"),
    "slots": (
        "contracts", "counting", "diagnostics", "elaborate", "facts", "laying", "model", "naming", "nodes",
        "registry", "staging", "syntax", "waivers",
    ),  # fmt: skip
    "solver": ("source",),
    "source": (),
    "spelling": ("alterations", "diagnostics", "edits", "elaborate", "model", "parser", "source", "syntax"),
    "spoken": ("measures",),
    "staging": (
        "counting", "cutting", "diagnostics", "facts", "laying", "model", "naming", "registry", "stretches",
        "syntax",
    ),  # fmt: skip
    "stand_ins": ("model",),
    "states": ("model", "source", "words"),
    "statuses": ("outcome",),
    "streams": ("source",),
    "stretches": ("syntax",),
    "survey": ("model",),
    "syntax": ("model", "source"),
    "terms": (),
    "totals": (),
    "tracks": ("model", "moves"),
    "trail": ("model", "moves", "outcome", "ways"),
    "trials": (
        "arrivals", "blanks", "diagnostics", "elaborate", "model", "outcome", "parser", "source", "stand_ins",
        "walk",
    ),  # fmt: skip
    "unfilled": ("blanks", "gaps", "model", "puzzle", "request", "stand_ins", "states", "trials", "why", "words"),
    "unrolled": ("footwork", "ledger", "model", "question", "survey", "terms"),
    "waivers": ("model",),
    "walk": ("branches", "effects", "fronts", "model", "moves", "outcome", "trail"),
    "ways": ("model", "outcome"),
    "why": ("model", "request", "states", "words"),
    "wishes": ("deeds", "model"),
    "words": ("model",),
    "work": (),
    "workers": ("effects", "evidence", "interruption", "pipeline", "report", "source"),
}

# Who may import what is heavy or special; everything else comes from the standard library or from attrs.
SPECIAL: dict[str, tuple[str, ...]] = {
    "click": ("bookshelf", "catalogue_commands", "cli", "commands", "handouts", "mending", "options", "searches"),
    "distributed": ("cluster",),
    "lark": ("grammar",),
    "lsprotocol": ("editor",),
    "networkx": ("graph",),
    "pathspec": ("discovery", "settings"),
    "pygls": ("editor",),
    "pytest": ("pytest_plugin",),
    "rich": ("progress",),
    "z3": ("solver",),
}


def modules() -> dict[str, Path]:
    """Return the modules of the package with their files."""
    found = {path.stem: path for path in PACKAGE.glob("*.py")}
    return found | {path.parent.name: path for path in PACKAGE.glob("*/__init__.py")}


def imported(path: Path) -> set[str]:
    """Return the full names of what a file imports, but for what only type checkers see."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    unseen: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING":
            unseen.update(id(inner) for inner in ast.walk(node))
    found: set[str] = set()
    for node in ast.walk(tree):
        if id(node) in unseen:
            continue
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module == "stepcheck":
            found.update(f"stepcheck.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
    return found


@pytest.mark.parametrize("name", sorted(modules()))
def test_a_module_imports_what_the_table_allows(name: str) -> None:
    """The table is what the code does, no more and no less."""
    ours = {other.split(".")[1] for other in imported(modules()[name]) if other.startswith("stepcheck.")}

    assert set(ALLOWED[name]) == (ours & set(modules())) - {name}


def test_the_table_names_every_module_and_no_other() -> None:
    """A module that comes or goes changes the table."""
    assert sorted(modules()) == sorted(ALLOWED)


def test_data_flows_one_way() -> None:
    """No module imports itself by way of others."""
    done: set[str] = set()

    def visit(name: str, path: tuple[str, ...]) -> None:
        assert name not in path, " imports ".join((*path, name))
        if name not in done:
            for other in ALLOWED[name]:
                visit(other, (*path, name))
            done.add(name)

    for name in ALLOWED:
        visit(name, ())


def test_only_some_may_import_what_is_heavy() -> None:
    """z3 belongs to the solver, networkx to the graph, and so on."""
    found: dict[str, list[str]] = {}
    for name, path in sorted(modules().items()):
        for other in sorted({full.split(".")[0] for full in imported(path)}):
            if other not in sys.stdlib_module_names and other not in ("stepcheck", "attrs"):
                found.setdefault(other, []).append(name)

    assert SPECIAL == {other: tuple(names) for other, names in sorted(found.items())}


def test_the_judge_imports_no_engine() -> None:
    """What certifies shares nothing with what it certifies but the values."""
    for name in ("certify", "judge"):
        assert set(ALLOWED[name]) <= {"judge", "model", "outcome"}


def test_the_engines_share_only_values() -> None:
    """Nothing that the first engine is made of is imported by what the second is made of, nor the other way round."""

    def behind(name: str) -> set[str]:
        found = {name}
        for other in ALLOWED[name]:
            found |= behind(other)
        return found

    assert {"diagnostics", "model", "outcome", "source"} >= behind("walk") & behind("prove")


def test_importing_stepcheck_loads_nothing_heavy() -> None:
    """`import stepcheck` loads none of z3, networkx, lark, click, rich, cattrs."""
    code = "import sys, stepcheck; print(*sorted({'z3', 'networkx', 'lark', 'click', 'rich', 'cattrs'} & set(sys.modules)))"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert "" == found.stdout.strip()


def test_modules_are_small() -> None:
    """A module is one noun: at most 400 lines."""
    assert [] == [name for name, path in modules().items() if len(path.read_text(encoding="utf-8").splitlines()) > 400]
