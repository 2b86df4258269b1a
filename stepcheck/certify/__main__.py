"""The command: `python -m stepcheck.certify FILE…` accepts each certificate, or says which step of it is wrong.

A certificate states a program, the states of the dancers at each point of it, a verdict on each claim, and a dance for
each that is refuted; `specs/certificates.md` has the format, and says what has to be believed.
"""

import sys

from stepcheck.certify.form import VERDICTS, Refused
from stepcheck.certify.verdicts import verified


def main(paths: list[str]) -> int:
    """Check files, one sentence each; return 0 if all are accepted, 1 if one is refused, 2 if one can't be read."""
    statuses = [0] if paths else [2]
    for path in paths:
        try:
            with open(path, encoding="utf-8", newline="") as file:
                claims = verified(file.read())["claims"]
            said = [claim["verdict"] for claim in claims]
            counts = ", ".join(f"{said.count(one)} {one}" for one in VERDICTS if one in said)
            print(f"{path}: accepted: {counts or 'no claim'}")
        except (Refused, RecursionError) as error:
            statuses.append(1)
            print(f"{path}: refused: {error}")
        except (OSError, UnicodeError) as error:
            statuses.append(2)
            print(f"{path}: cannot be read: {error}", file=sys.stderr)
    return max(statuses)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
