"""Clauses of an invariant as sentences, where they are simple enough."""

from __future__ import annotations

import re
from dataclasses import dataclass

_LITERAL = re.compile(r"(not )?([^\W\d][\w.]*(?:\[[\d,]+\])?)")
MOST_LITERALS = 3


@dataclass(frozen=True)
class ClauseText:
    """``sentence`` is '' where the clause speaks of more than a few names."""

    text: str
    sentence: str


def clause_of(text: str) -> ClauseText:
    """A clause, whose literals are joined by ' or '; a name alone is that of a BOOL."""
    found = [_LITERAL.fullmatch(part) for part in text.split(" or ")]
    literals = [(each[2], not each[1]) for each in found if each is not None]
    if len(literals) < len(found) or len(literals) > MOST_LITERALS:
        return ClauseText(text, "")
    concluded = ([each for each in literals if each[1]] or literals)[-1]
    premises = [_state(name, not value) for name, value in literals if (name, value) != concluded]
    if not premises:
        return ClauseText(text, f"always {_state(*concluded)}")
    return ClauseText(text, f"while {' and '.join(premises)}, {_state(*concluded)}")


def _state(name: str, value: bool) -> str:
    return f"{name} is {str(value).upper()}"
