"""Which room may import which: one table.  Change it when the design changes, on purpose."""

import ast
import subprocess
import sys
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

import stepcheck

PACKAGE = Path(__file__).parents[2] / "stepcheck"

# The rooms in the order in which values pass through them: a room may import those above it.
ORDER = (
    "model",
    "language",
    "books",
    "music",
    "program",
    "walk",
    "proof",
    "certify",
    "report",
    "breaks",
    "search",
    "fixes",
    "catalogue",
    "floor",
    "formats",
    "steps",
    "pages",
    "cues",
    "routines",
    "drafts",
    "faces",
    "strategies",
)
# Rooms that may import less than that.
FEWER: dict[str, tuple[str, ...]] = {
    "music": ("model", "language"),
    "walk": ("model", "books"),
    "proof": ("model",),
    "breaks": ("model", "language", "books", "music", "program", "walk", "report"),
    "search": ("model", "language", "books", "music", "program", "walk", "breaks"),
    "steps": ("model", "language", "books"),
    "pages": ("books", "steps"),
    "cues": ("model", "language", "books", "steps", "pages"),
    "routines": ("model", "language", "books", "steps", "pages", "cues"),
    "drafts": ("model", "language", "books", "steps", "pages", "routines"),
    "strategies": ("model", "books", "program", "report"),
    "certify": (),
}
ROOMS = {room: FEWER.get(room, ORDER[:number]) for number, room in enumerate(ORDER)}

# The modules that import what is heavy or special; everything else comes from the standard library or from attrs.
SPECIAL: dict[str, tuple[str, ...]] = {
    "click": (
        "faces.books",
        "faces.catalogue",
        "faces.check",
        "faces.cli",
        "faces.options",
        "faces.sheets",
        "faces.suggest",
    ),
    "distributed": ("catalogue.run",),
    "lsprotocol": ("faces.editor",),
    "music21": ("music.bars",),
    "networkx": ("catalogue.graph", "catalogue.relations"),
    "pathspec": ("catalogue.discovery",),
    "pygls": ("faces.editor",),
    "pytest": ("faces.pytest_plugin",),
    "rich": ("faces.check",),
    "z3": ("proof.solving",),
}

LONGEST = 400
"""How many lines a module may have."""
FULL = 12
"""How many modules a room may have."""


@cache
def modules() -> dict[str, Path]:
    """Return the modules of all rooms, as `room.module`, with their files."""
    return {
        f"{path.parent.name}.{path.stem}": path for path in sorted(PACKAGE.glob("*/*.py")) if path.stem != "__init__"
    }


@cache
def imports(path: Path) -> tuple[frozenset[str], frozenset[str]]:
    """Return the full names of what a file imports, at its top or inside a function: all, and without what only type
    checkers see.

    What is imported from a package is a module of it, as in `from stepcheck.model import words`.
    """
    run: set[str] = set()
    typed: set[str] = set()
    left: list[tuple[ast.AST, set[str]]] = [(ast.parse(path.read_text(encoding="utf-8")), run)]
    while left:
        node, found = left.pop()
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.module and not node.level, f"{path.name} has a relative import"
            package = node.module == "stepcheck" or node.module.removeprefix("stepcheck.") in ROOMS
            found.update(f"{node.module}.{alias.name}" for alias in node.names if package)
            found.update({node.module} - {node.module for _ in node.names if package})
        elif not isinstance(node, ast.expr):
            seen = isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
            left += ((inner, typed if seen else found) for inner in ast.iter_child_nodes(node))
    return frozenset(run | typed), frozenset(run)


def imported(path: Path, typing: bool = True) -> frozenset[str]:
    """Return the full names of what a file imports; `typing` adds imports for type checkers."""
    return imports(path)[not typing]


def ours(name: str, typing: bool = True) -> set[str]:
    """Return the modules of stepcheck that the module `name` imports, as `room.module`."""
    return {
        full.removeprefix("stepcheck.") for full in imported(modules()[name], typing) if full.startswith("stepcheck.")
    }


def behind(name: str) -> set[str]:
    """Return a module with everything of stepcheck that it comes to import."""
    found, left = {name}, [name]
    while left:
        new = ours(left.pop(), typing=False) - found
        found |= new
        left += new
    return found


def test_a_room_imports_what_the_table_allows() -> None:
    """Every import of another room is in the table, and names a module of that room which is not private."""
    wrong = [
        f"{name} imports {other}"
        for name in modules()
        for other in sorted(ours(name))
        if other not in modules()
        or (
            (room := other.split(".")[0]) != name.split(".")[0]
            and (room not in ROOMS[name.split(".")[0]] or other.split(".")[1].startswith("_"))
        )
    ]

    assert [] == wrong


def test_the_table_names_every_room_after_those_that_it_imports() -> None:
    """The rows are the folders of the package, and no row names a room below it: rooms go one way, in no circle."""
    assert sorted(ROOMS) == sorted(path.parent.name for path in PACKAGE.glob("*/__init__.py"))
    assert ["__init__"] == [path.stem for path in PACKAGE.glob("*.py")]
    order = list(ROOMS)
    for room, others in ROOMS.items():
        assert set(others) <= set(order[: order.index(room)])


def test_modules_import_in_no_circle() -> None:
    """No module imports itself by way of others, inside a room either."""
    done: set[str] = set()

    def visit(name: str, path: tuple[str, ...]) -> None:
        assert name not in path, " imports ".join((*path, name))
        if name not in done:
            for other in sorted(ours(name, typing=False)):
                visit(other, (*path, name))
            done.add(name)

    for name in modules():
        visit(name, ())


def test_a_room_says_what_it_is_for_and_imports_nothing() -> None:
    """The `__init__` of a room is one sentence, but for `strategies`, which other tools import as it is."""
    for room in set(ROOMS) - {"strategies"}:
        tree = ast.parse((PACKAGE / room / "__init__.py").read_text(encoding="utf-8"))
        said = ast.get_docstring(tree)

        assert len(tree.body) == 1
        assert said and said.endswith(".") and "\n" not in said


def test_only_some_may_import_what_is_heavy() -> None:
    """z3 belongs to `proof`, networkx to `catalogue`, and so on."""
    found: dict[str, list[str]] = {}
    for name, path in modules().items():
        for other in sorted({full.split(".")[0] for full in imported(path, typing=False)}):
            if other not in sys.stdlib_module_names and other not in ("stepcheck", "attrs"):
                found.setdefault(other, []).append(name)

    assert SPECIAL == {other: tuple(names) for other, names in sorted(found.items())}
    assert {"proof"} == {name.split(".")[0] for name in SPECIAL["z3"]}


def test_the_judge_imports_no_engine() -> None:
    """What certifies shares nothing with what it certifies but the values."""
    own = {"report.certify", "report.judge", "report.replays"}
    for name in own:
        assert all(other in own or other.startswith("model.") for other in ours(name))


def test_the_engines_share_only_values() -> None:
    """Nothing that the first engine is made of is imported by what the second is made of, nor the other way round."""
    first, second = behind("walk.walk"), behind("proof.decide")

    assert first & second
    assert all(name.startswith("model.") for name in first & second)
    assert "proof" not in ROOMS["walk"] and "walk" not in ROOMS["proof"]


def test_no_module_has_the_name_of_a_public_function() -> None:
    """With every module imported, no public name is a module: `stepcheck.check` stays a function."""
    code = (
        "import importlib, pkgutil, types, stepcheck\n"
        "for found in pkgutil.walk_packages(stepcheck.__path__, 'stepcheck.'):\n"
        "    importlib.import_module(found.name)\n"
        "print(*[name for name in stepcheck.__all__ if isinstance(getattr(stepcheck, name), types.ModuleType)])"
    )
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert "" == found.stdout.strip()
    assert not set(ROOMS) & set(stepcheck.__all__)


def test_importing_stepcheck_loads_nothing_heavy() -> None:
    """`import stepcheck` loads none of z3, networkx, lark, click, rich, cattrs."""
    code = "import sys, stepcheck; print(*sorted({'z3', 'networkx', 'lark', 'click', 'rich', 'cattrs'} & set(sys.modules)))"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert "" == found.stdout.strip()


SHEET = "routine: Towpath\\nbook: clogging\\npart A: 8 beats\\n  Triple x2\\n  expect right foot\\ndance:\\n  A\\n"


@pytest.mark.parametrize(
    "code",
    [
        "import stepcheck.report.judge, stepcheck.report.certify",
        f"import stepcheck; stepcheck.check(stepcheck.loads('{SHEET}'), engine='walk').verdict",
        "from stepcheck.faces.cli import main; main(['check', '--engine', 'walk', 'a.routine'])",
        "from stepcheck.faces.cli import main; main(['check', '--cache-file', 'kept.sqlite', 'a.routine', 'b.routine'])",
        "import stepcheck; assert 2 == stepcheck.check_catalogue(['a.routine', 'b.routine'], cache='kept.sqlite').remembered",
    ],
    ids=["the judge", "check by the walk", "--engine walk", "an unchanged run", "check_catalogue unchanged"],
)
def test_z3_and_networkx_wait_until_they_are_needed(code: str, tmp_path: Path) -> None:
    """The judge, the first engine, and a run that finds every answer kept load neither solver nor graphs."""
    (tmp_path / "a.routine").write_text(SHEET.replace("\\n", "\n"))
    (tmp_path / "b.routine").write_text(SHEET.replace("\\n", "\n").replace("expect right", "expect left"))
    # By the same installation: what another one has kept is not taken over.
    first = "import stepcheck; stepcheck.check_catalogue(['a.routine', 'b.routine'], cache='kept.sqlite')"
    if "kept" in code:
        subprocess.run([sys.executable, "-c", first], check=True, cwd=tmp_path)
    after = "import sys; print(file=sys.stderr); print(*sorted({'z3', 'networkx'} & set(sys.modules)), file=sys.stderr)"
    words = [sys.executable, "-c", f"{code}\n{after}"]
    found = subprocess.run(words, capture_output=True, text=True, check=True, cwd=tmp_path)

    assert "" == found.stderr.splitlines()[-1]


def test_a_sheet_without_a_mistake_loads_nothing_that_only_a_mistake_asks_for(tmp_path: Path) -> None:
    """A proved sheet is answered without the judge, and without what tells of mistakes."""
    (tmp_path / "a.routine").write_text(SHEET.replace("\\n", "\n").replace("expect right", "expect left"))
    spared = {"bearing", "certificates", "certify", "judge", "arrivals", "replays"}
    code = (
        "import sys; from stepcheck.faces.cli import main; assert 0 == main(['check', 'a.routine'])\n"
        "print(*sorted(name.rpartition('.')[2] for name in sys.modules if name.startswith('stepcheck.')), file=sys.stderr)"
    )
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=tmp_path)
    loaded = set(found.stderr.splitlines()[-1].split())

    assert "pipeline" in loaded and not spared & loaded


def test_modules_are_small() -> None:
    """A module is one noun, of no more than `LONGEST` lines."""
    lines = {name: len(path.read_text(encoding="utf-8").splitlines()) for name, path in modules().items()}

    assert {name: length for name, length in lines.items() if length > LONGEST} == {}


def test_rooms_are_small() -> None:
    """A room is no heap: it has no more than `FULL` modules."""
    held = Counter(name.partition(".")[0] for name in modules())

    assert {room: size for room, size in held.items() if size > FULL} == {}


def test_the_top_level_holds_what_it_should_and_no_more() -> None:
    """A note that somebody left there, or a module outside the package, is seen; what git leaves out may lie there."""
    top = PACKAGE.parent
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=top, capture_output=True, text=True)
    if listed.returncode:
        pytest.skip("the files are no checkout of git")
    held = {name.partition("/")[0] for name in listed.stdout.split("\0") if name and not name.startswith(".")}
    assert {"README.md", "DEVELOPERS.md", "pyproject.toml", "specs", "stepcheck", "tests"} == held
