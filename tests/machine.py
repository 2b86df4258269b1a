"""How much slower the machine is at this moment than the one on which the promised seconds were measured."""

from time import process_time

from stepcheck.report.pipeline import check_text

HEAD = "routine: Wide Weir\nbook: clogging\nlead: left\n\n"
LINES, SECONDS = 20_000, 0.6  # of a clean sheet, on the machine of the promises


def clean(lines: int) -> str:
    """Return a sheet of so many lines in which nothing is wrong."""
    body = "".join("  Triple\n" for _ in range(max(1, lines - 8)))
    return f"{HEAD}part A: {4 * max(1, lines - 8)} beats\n{body}\ndance:\n  A\n"


def slowness() -> float:
    """Return how many times slower the machine is now, at least 1, by the check of a large clean sheet."""
    began = process_time()
    check_text(clean(LINES), engine="both")
    return max(1.0, (process_time() - began) / SECONDS)


def in_time(took: float, promised: float) -> bool:
    """Say whether the processor's seconds that something took are no more than those promised, by this machine."""
    return took <= promised or took / slowness() <= promised
