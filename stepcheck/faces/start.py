"""The start and the end of the command's process: from here on Ctrl-C is handled, whatever is being loaded, run or
cleared away.

Importing this module has effects, so that only the installed script imports it.
"""

import gc
import os
import signal
import sys
from types import FrameType

# What is loaded from here on stays: looking through it sixty times is a twentieth of the start.
gc.set_threshold(200_000)
STOPPED = 130  # as in `model.statuses`, which is not loaded yet where this is wanted


def _stopped() -> None:
    os.write(2, b"stepcheck: stopped\n")


def _at_once(number: int, frame: FrameType | None) -> None:
    """End a process that has written nothing yet."""
    _stopped()
    os._exit(STOPPED)


OURS = signal.getsignal(signal.SIGINT) is signal.default_int_handler  # else somebody has it ignored, as `nohup` does
if OURS:
    signal.signal(signal.SIGINT, _at_once)


def main() -> int:
    """Run the command for the words of this process and return its exit status."""
    from stepcheck.catalogue.interruption import Watch
    from stepcheck.faces import cli

    try:
        with Watch(OURS):
            status = cli.main()
    except KeyboardInterrupt:  # before the command, or after it
        _stopped()
        status = STOPPED
    if OURS:  # the answers are written; what is left is clearing away
        signal.signal(signal.SIGINT, signal.SIG_DFL)
    return status


if __name__ == "__main__":
    sys.exit(main())
