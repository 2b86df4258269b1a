"""The command's process, and Ctrl-C from its first moment to its last."""

import signal
import subprocess
import sys
import time

import pytest

HARD = """
import sys
sys.argv = ["stepcheck"]
from stepcheck.faces import cli, start
def stuck():
    print("begun", flush=True)
    {stuck}
cli.stepcheck.main = lambda **rest: stuck()
sys.exit(start.main())
"""
ASLEEP = "import ctypes; ctypes.PyDLL(None).sleep(60)"  # outside Python, and deaf
# Factors of a product of two large primes, which takes z3 for ever.
SOLVING = """
    from stepcheck.proof.solving import satisfiable
    text = "(declare-const a (_ BitVec 128))(declare-const b (_ BitVec 128))"
    text += "(assert (and (bvugt a (_ bv1 128)) (bvult a b) (bvult b (_ bv18446744073709551616 128))))"
    text += f"(assert (= (bvmul a b) (_ bv{(2 ** 61 - 1) * (2 ** 62 - 57)} 128)))"
    satisfiable(text, budget=4_000_000_000)
    raise AssertionError("solved")
"""


def started(*words: str) -> subprocess.Popen[bytes]:
    """Start a process of Python with these words."""
    command = [sys.executable, *words]
    return subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, bufsize=0)


def stopped(child: subprocess.Popen[bytes]) -> tuple[int, str, float]:
    """Send Ctrl-C; return the status, what was said to stderr, and the seconds that it took."""
    began = time.monotonic()
    child.send_signal(signal.SIGINT)
    _, said = child.communicate(timeout=60)
    return child.returncode, said.decode(), time.monotonic() - began


@pytest.mark.parametrize("stuck", [ASLEEP, SOLVING], ids=["outside", "z3"])
def test_ctrl_c_ends_a_process_that_is_deaf(stuck: str) -> None:
    """Inside the solver, and inside what never comes back to Python, it ends within a second, without a traceback."""
    child = started("-c", HARD.replace("{stuck}", stuck))
    assert child.stdout is not None and b"begun\n" == child.stdout.readline()
    time.sleep(0.5)
    status, said, took = stopped(child)

    assert (130, "stepcheck: stopped") == (status, said.strip())
    assert took < 5  # loose, as machines are busy; the patience is less than a second


def test_what_the_command_stands_on_is_loaded_without_a_look_for_circles() -> None:
    """While the process starts Python's collector, which would find nothing, looks through what is loaded once at most."""
    code = (
        "import gc; from stepcheck.faces import start; before = gc.get_stats();"
        "from stepcheck.faces import cli, check; from stepcheck.proof import decide; import z3;"
        "print(*(now['collections'] - then['collections'] for then, now in zip(before, gc.get_stats())))"
    )
    found, _ = started("-c", code).communicate(timeout=60)
    assert sum(map(int, found.split())) <= 1


MOMENTS = (0.0, 0.02, 0.05, 0.1, 0.15, 0.2, 0.3)  # seconds, from the first import of ours to where sheets are checked


@pytest.mark.parametrize("seconds", MOMENTS)
def test_ctrl_c_is_heard_from_the_first_import(seconds: float) -> None:
    """Whenever it comes after our first module is there, nobody sees a traceback."""
    code = (
        "import sys, stepcheck.faces.start as start; print('begun', flush=True);"
        "sys.argv = ['stepcheck', 'check', '-']; sys.exit(start.main())"
    )
    child = started("-c", code)
    assert child.stdout is not None and b"begun\n" == child.stdout.readline()
    time.sleep(0.02 + seconds)
    status, said, _ = stopped(child)

    assert 130 == status
    assert "stepcheck: stopped" in said and "Traceback" not in said


def test_the_command_of_the_package_begins_here() -> None:
    """The script that is installed calls this module, so the tests speak of what people start."""
    from importlib.metadata import entry_points

    (script,) = entry_points(group="console_scripts", name="stepcheck")
    assert "stepcheck.faces.start:main" == script.value
