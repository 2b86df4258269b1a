"""Where the command begins and ends: Ctrl-C is heard from here on, whatever is being loaded, asked or cleared away."""

import os
import signal
import sys
from types import FrameType

STOPPED = 130  # as in `model.statuses`, which is not loaded yet where this is wanted


def _at_once(number: int, frame: FrameType | None) -> None:
    """End a process that has written nothing yet."""
    os.write(2, b"stepcheck: stopped\n")
    os._exit(STOPPED)


def main() -> int:
    """Run the command for the words of this process and return its exit status."""
    ours = signal.getsignal(signal.SIGINT) is signal.default_int_handler  # else somebody has it ignored, as `nohup` does
    if ours:
        signal.signal(signal.SIGINT, _at_once)
    from stepcheck.catalogue.interruption import Watch
    from stepcheck.faces import cli

    with Watch(ours):
        status = cli.main()
    if ours:  # the answers are written; what is left is clearing away
        signal.signal(signal.SIGINT, signal.SIG_DFL)
    return status


if __name__ == "__main__":
    sys.exit(main())
