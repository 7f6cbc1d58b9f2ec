"""The name that was probably meant."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def nearest(wanted: str, names: Iterable[str]) -> str | None:
    """The name most like ``wanted`` in any letter case, if one is near."""
    spelling = {name.upper(): name for name in names}
    close = difflib.get_close_matches(wanted.upper(), spelling, n=1, cutoff=0.6)
    return spelling[close[0]] if close else None
