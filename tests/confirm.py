"""cvc5 asked what z3 was asked, of random sheets and of fixes: `python -m tests.confirm --sheets 2000 --seed 7`.

cvc5 (https://cvc5.github.io) shares no code with z3.  A script is satisfiable exactly where a claim is refuted; the
question of a fix, whether anything cheaper mends the sheet, is not satisfiable.
"""

import argparse
import sys
import time
from collections import Counter
from pathlib import Path
from random import Random

import cvc5

import stepcheck as sc
from stepcheck.model.dance import Program
from stepcheck.model.outcome import Verdict
from stepcheck.proof.decide import decide, script
from stepcheck.strategies.pieces import TASTES
from stepcheck.strategies.random_sheets import random_sheet
from stepcheck.strategies.sound import sound_sheet
from tests.corpus.expected import sheets

EVERY = (*dict.fromkeys(TASTES), "groups", "travel")
CHEAP = 5  # what the changes of a fix may cost, so that a sheet takes seconds at most

LIMIT = 300_000  # of cvc5's own steps for a question; one random sheet in twenty needs more
OPEN = "unknown (RESOURCEOUT)"  # how cvc5 says so


def answers(text: str, one: bool = False, limit: int = 0) -> list[str]:
    """Return what cvc5 says to each question of a script; `one` says that there is only one, `limit` how many steps it
    may take, 0 for any."""
    solver = cvc5.Solver()
    solver.setOption("bitblast", "eager" if one else "lazy")
    solver.setOption("incremental", "false" if one else "true")
    solver.setOption("strict-parsing", "true")
    solver.setOption("rlimit-per", str(limit))
    parser = cvc5.InputParser(solver)
    parser.setStringInput(cvc5.InputLanguage.SMT_LIB_2_6, text, "script")
    found, symbols = [], parser.getSymbolManager()
    while not (command := parser.nextCommand()).isNull():
        said = command.invoke(solver, symbols).strip()
        if said:
            found.append(said)
    return found


def proof(text: str) -> str:
    """Return the proof object of a script without an answer that satisfies it, in cvc5's own format (CPC).

    cvc5 checks each step as it is made, by its own checker: what can be had in Python.  A step that it takes on trust
    is an error.
    """
    solver = cvc5.Solver()
    for option in ("produce-proofs", "check-proofs"):
        solver.setOption(option, "true")
    solver.setOption("proof-check", "eager")
    solver.setOption("proof-granularity", "dsl-rewrite")
    solver.setOption("incremental", "false")
    parser = cvc5.InputParser(solver)
    parser.setStringInput(cvc5.InputLanguage.SMT_LIB_2_6, text, "script")
    said = ""
    while not said and not (command := parser.nextCommand()).isNull():
        said = command.invoke(solver, parser.getSymbolManager()).strip()
    if said != "unsat":
        raise ValueError(f"cvc5 says {said}")
    told = solver.proofToString(solver.getProof()[0])
    made = told.decode() if isinstance(told, bytes) else str(told)
    if ":rule trust" in made or ":rule hole" in made or ":rule" not in made:
        raise ValueError("cvc5 takes a step on trust")
    return made


def prove(folder: Path) -> None:
    """Write for each shipped routine its certificate, and the proof object of cvc5 beside it."""
    folder.mkdir(exist_ok=True)
    for path in sheets("routines"):
        routine = sc.load(path)
        (folder / f"{path.stem}.certificate.json").write_text(sc.certificate(routine), encoding="utf-8")
        began, made = time.monotonic(), proof(sc.script(routine))
        (folder / f"{path.stem}.cpc").write_text(made, encoding="utf-8")
        print(f"{path.stem}: {made.count(':rule')} steps, {time.monotonic() - began:.1f} s", flush=True)


def verdict(program: Program) -> tuple[str, str]:
    """Return what cvc5 is to say of the script of a program, or why that is not known, and what it says."""
    outcomes = decide(program)
    if any(one.verdict is Verdict.UNDECIDED for one in outcomes):
        return "undecided", ""
    wrong = any(one.verdict is Verdict.REFUTED for one in outcomes)
    return "sat" if wrong else "unsat", " ".join(answers(script(program), limit=LIMIT))


def drawn(seed: int) -> sc.Routine:
    """Return a random sheet of every construct, where almost always something is refuted, or each fourth time a sound
    one."""
    text = sound_sheet(Random(seed).choice) if seed % 4 == 0 else random_sheet(seed, False, EVERY[seed % len(EVERY)])
    return sc.loads(text)


def slipped(seed: int) -> sc.Routine:
    """Return a shipped routine without one of its figures, or with one twice: random sheets have too many mistakes for
    a fix."""
    pick, texts = Random(seed), [path.read_text(encoding="utf-8") for path in sheets("routines")]
    lines = pick.choice(texts).split("\n")
    at = pick.choice([number for number, line in enumerate(lines) if line.startswith("  ") and not line.endswith(":")])
    lines[at : at + 1] = [lines[at]] * pick.choice((0, 2))
    return sc.loads("\n".join(lines), path=str(sheets("routines")[0]))


def fixes(routine: sc.Routine) -> list[tuple[str, str]]:
    """Return what z3 and cvc5 say to the question of each fix of a routine whether anything cheaper mends it."""
    found = sc.repair(routine, limit=1, most_cost=CHEAP).fixes
    asked = [fix.evidence for fix in found if fix.evidence.script and fix.evidence.solver]
    return [(one.solver, " ".join(answers(one.script, True, 20 * LIMIT))) for one in asked]


def main(arguments: list[str] | None = None) -> int:
    """Ask cvc5 of so many sheets; print what was confirmed, and every sheet of which it says otherwise."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sheets", type=int, default=100)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--seconds", type=float, default=float("inf"), help="stop after so long, with what there is")
    parser.add_argument(
        "--fixes", action="store_true", help="ask also of a shipped sheet with a slip, for each, what its fixes ask"
    )
    parser.add_argument("--proofs", type=Path, help="a folder for the proof objects of the shipped routines instead")
    chosen = parser.parse_args(arguments)
    if chosen.proofs:
        prove(chosen.proofs)
        return 0
    counted: Counter[str] = Counter()
    began = time.monotonic()
    for seed in range(chosen.seed, chosen.seed + chosen.sheets):
        if time.monotonic() - began > chosen.seconds:
            break
        routine = drawn(seed)
        counted["sheets"] += 1
        if routine.program is None:
            counted["ill-formed"] += 1
            continue
        asked = [("script", *verdict(routine.program))]
        if chosen.fixes:
            asked += [("fix", *pair) for pair in fixes(slipped(seed))]
        for what, right, said in asked:
            agreed = said in (right, "", OPEN) or right == OPEN  # z3 has said nothing that cvc5 could contradict
            counted["otherwise" if not agreed else f"{what} left open" if said == OPEN else f"{what} {right}"] += 1
            if not agreed:
                print(f"seed {seed}: {what}: z3 says {right}, cvc5 {said}", flush=True)
    print(f"{dict(counted)} in {time.monotonic() - began:.0f} s")
    return bool(counted["otherwise"])


if __name__ == "__main__":
    sys.exit(main())
