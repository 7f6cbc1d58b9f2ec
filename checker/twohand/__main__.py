"""Entry point of ``twohand`` and of ``python -m twohand``."""

from __future__ import annotations

import os
import signal
from types import FrameType


def main() -> None:
    """Run the process's own command line; an interrupt ends it quietly while it is loaded."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, _end)
    try:
        from twohand.commands.main import main as run  # nothing is open yet: it may end anywhere
    except MemoryError:
        os.write(2, b"error: the system gives no more memory [system-limit]\n")
        os._exit(2)
    run()


def _end(_: int, __: FrameType | None) -> None:
    os._exit(130)


if __name__ == "__main__":
    main()
