"""Names for a program beside a block: none of them is one that the block's text uses."""

from __future__ import annotations

import re
from collections.abc import Iterable

_WORD = re.compile(r"\w+")


class UnusedNames:
    """Gives each wanted name, or one like it that is neither in a text nor given already."""

    def __init__(self, text: str) -> None:
        self._taken = {word.casefold() for word in _WORD.findall(text)}

    def one(self, wanted: str) -> str:
        """An identifier has no second '_' behind a first one in the standard's grammar."""
        name, number = wanted.replace("__", "_"), 1
        while name.casefold() in self._taken:
            number += 1
            name = f"{wanted}{number}".replace("__", "_")
        self._taken.add(name.casefold())
        return name

    def of(self, wanted: Iterable[str]) -> dict[str, str]:
        return {each: self.one(each) for each in wanted}
