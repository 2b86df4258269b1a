"""The wheel installed alone, in an environment of its own.

What must be in a wheel and in its source distribution is named in the packaging guide of the PyPA: "license-files" and
classifiers in "pyproject.toml specification".
"""

import email
import json
import os
import re
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import jsonschema
import pytest

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the wheel and the source distribution, made as `build` has them made, but in this environment."""
    pytest.importorskip("hatchling")
    out = tmp_path_factory.mktemp("dist")
    code = "from hatchling import build; import sys; build.build_wheel(sys.argv[1]); build.build_sdist(sys.argv[1])"
    subprocess.run([sys.executable, "-c", code, str(out)], cwd=ROOT, capture_output=True, check=True)
    return out


@pytest.fixture(scope="module")
def wheel(built: Path) -> Path:
    """The wheel, unpacked as an installer does."""
    (file,) = built.glob("*.whl")
    with zipfile.ZipFile(file) as packed:
        packed.extractall(built / "site")
    return built / "site"


def run(wheel: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run the command of the wheel from a folder that is not the project's."""
    code = "import sys; from stepcheck.faces.start import main; sys.exit(main())"
    path = os.pathsep.join([str(wheel), *(entry for entry in sys.path if entry.endswith("site-packages"))])
    command = [sys.executable, "-S", "-c", code, *words]
    return subprocess.run(
        command, cwd=wheel.parent, env={"PYTHONPATH": path}, capture_output=True, text=True, timeout=120, check=False
    )


def test_codes_are_explained(wheel: Path) -> None:
    """The pages of the codes come with the package."""
    done = run(wheel, "explain", "SR501")

    assert (0, "") == (done.returncode, done.stderr)
    assert done.stdout.startswith("SR501 foot-not-free")


def test_answers_keep_to_the_schema_that_came_along(wheel: Path) -> None:
    """The schemas of both kinds of JSON come with the package, and what is printed keeps to them."""
    sheet = str(ROOT / "specs" / "faulty" / "wrong_oar.routine")
    for form in ("json", "jsonl"):
        schema = json.loads(run(wheel, "explain", "--schema", form).stdout)
        done = run(wheel, "check", "--engine", "walk", "--format", form, sheet)
        assert 1 == done.returncode
        jsonschema.validate(json.loads(done.stdout), schema)


def test_the_licence_is_in_both(built: Path, wheel: Path) -> None:
    """The text of the licence is named in the metadata, and stands in wheel and source."""
    (metadata,) = wheel.glob("*.dist-info/METADATA")
    said = email.message_from_string(metadata.read_text("utf-8"))
    assert ("MIT", ["stepcheck/LICENSE"]) == (said["License-Expression"], said.get_all("License-File"))
    text = (ROOT / "stepcheck" / "LICENSE").read_bytes()
    assert text == (metadata.parent / "licenses" / "stepcheck" / "LICENSE").read_bytes()
    (file,) = built.glob("*.tar.gz")
    with tarfile.open(file) as packed:
        (inside,) = (member for member in packed.getmembers() if member.name.endswith("/stepcheck/LICENSE"))
        read = packed.extractfile(inside)
        assert read is not None and text == read.read()


def test_the_classifiers_are_the_versions_that_are_run() -> None:
    """`.ci/run` tries the wheel on each version of Python that is named, and on no other."""
    named = [found[1] for one in PROJECT["classifiers"] if (found := re.fullmatch(r".*:: (3\.\d+)", one))]
    loop = re.search(r"^for version in (.*); do$", (ROOT / ".ci" / "run").read_text("utf-8"), re.MULTILINE)

    assert loop is not None and named == loop[1].split()
    assert f">={named[0]}" == PROJECT["requires-python"]
