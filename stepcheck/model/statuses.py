"""The exit statuses of the command: what each says, and which verdict gives it."""

from collections.abc import Iterable

from stepcheck.model.outcome import Verdict

PROVED, WRONG, FAILED, UNDECIDED, STOPPED = 0, 1, 2, 3, 130

# `specs/verdicts.md` has the same table.
STATUSES = (
    (PROVED, "everything is proved"),
    (WRONG, "something is refuted, vacuous or ill-formed"),
    (FAILED, "stepcheck could not run: a wrong option, no such file, nothing matched, an internal error"),
    (UNDECIDED, "nothing is refuted, but something is undecided"),
    (STOPPED, "stopped by Ctrl-C; what was done by then is printed"),
)
STATUS = {
    Verdict.PROVED: PROVED,
    Verdict.UNDECIDED: UNDECIDED,
    Verdict.VACUOUS: WRONG,
    Verdict.REFUTED: WRONG,
    Verdict.ILL_FORMED: WRONG,
}
RANKED = (PROVED, UNDECIDED, WRONG, FAILED)  # the worst last


def exit_status(statuses: Iterable[int]) -> int:
    """Return the worst of exit statuses: 2 could not run, then 1, then 3, then 0."""
    return max(statuses, key=RANKED.index, default=PROVED)
