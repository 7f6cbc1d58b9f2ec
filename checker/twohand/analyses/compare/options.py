"""What may be chosen for a comparison, as the command line has it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

USUAL_SCAN = "T#5ms..T#20ms"
"""The scan time where neither the user nor the tasks state one."""
NO_SCAN_STATED = "no --scan, and "
"""How it begins to be said that this is the usual one."""


@dataclass(frozen=True)
class ComparisonOptions:
    """Texts as the spec language has them: the scan time (None: that of the tasks), assumptions,
    and further statements about the platform. ``common`` leaves out what only one of the two
    has; ``power`` lets the controller's supply go and come back."""

    scan: str | None = None
    assume: tuple[str, ...] = ()
    platform: tuple[str, ...] = ()
    common: bool = False
    power: bool = False


@dataclass(frozen=True)
class Version:
    """A source file, or a folder with them, as the user wrote it; ``block`` None is the only one
    that can be meant. ``shown`` is how it is shown, where that is otherwise."""

    path: str
    block: str | None = None
    shown: str = ""

    def show(self, file: Path) -> str:
        """The path to show of the file, or of one in the folder."""
        if not self.shown or file == Path(self.path):
            return self.shown or str(file)
        return f"{self.shown}/{file.relative_to(self.path).as_posix()}"
