"""Ctrl-C: noted as it comes, for what is just running may turn the exception into another one, or
swallow it (a class that is being made, a call of the solver, the end of an object)."""

from __future__ import annotations

import signal
import sys
from types import FrameType


class Interrupt:
    """Whether the process was asked to end; called by the signal."""

    def __init__(self) -> None:
        self.came = False

    def __call__(self, _: int, __: FrameType | None) -> None:
        self.came = True
        raise KeyboardInterrupt

    def listen(self) -> None:
        """From now on, where the interrupt is not ignored (as behind a shell's ``&``). What Python
        cannot raise (in the end of an object) is not shown once it came."""
        if signal.getsignal(signal.SIGINT) not in (signal.SIG_IGN, signal.SIG_DFL, None):
            signal.signal(signal.SIGINT, self)
        sys.unraisablehook = self._unraised

    def _unraised(self, unraised: sys.UnraisableHookArgs) -> None:
        if not self.came:
            sys.__unraisablehook__(unraised)


INTERRUPT = Interrupt()
"""Of this process."""
