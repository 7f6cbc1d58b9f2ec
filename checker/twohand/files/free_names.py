"""Names for files that are made of other names."""

from __future__ import annotations

import re

_OTHER = re.compile(r"[^A-Za-z0-9_-]")


class FreeNames:
    """Gives each name once, in letters, digits, '_' and '-' only, whatever letter case counts."""

    def __init__(self) -> None:
        self._taken: set[str] = set()

    def free(self, name: str) -> str:
        """The name, numbered where it was given before."""
        plain = free = _OTHER.sub("_", name)
        number = 1
        while free.casefold() in self._taken:
            number += 1
            free = f"{plain}_{number}"
        self._taken.add(free.casefold())
        return free
