"""What somebody may have meant whose first word is no command."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from pathlib import Path

from twohand.files.suffixes import MARKUP, SPECIFICATION, STRUCTURED_TEXT


def hint(name: str, commands: Iterable[str]) -> str:
    """The command that a file of this name wants, or the one that is called nearly so."""
    if name.lower().endswith((*STRUCTURED_TEXT, MARKUP)):
        return f"to inspect a block: twohand inspect {name}"
    if name.lower().endswith(SPECIFICATION) or Path(name).exists():
        return f"to check a spec: twohand check {name}"
    near = get_close_matches(name.lower(), list(commands), 1, 0.5)
    return f"did you mean '{near[0]}'?" if near else "see 'twohand --help'"
