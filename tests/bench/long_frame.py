"""The frame of the benchmark's long blocks.

Each is a function block ``Line`` with inputs ``a``, ``b`` (BOOL) and ``n`` (INT) and output ``q``.
"""

from __future__ import annotations

from collections.abc import Sequence

LINES = 2_000


def block(declarations: Sequence[str], body: Sequence[str], before: str = "") -> str:
    return "\n".join(
        [
            before + "FUNCTION_BLOCK Line",
            "VAR_INPUT a, b : BOOL; n : INT; END_VAR",
            "VAR_OUTPUT q : BOOL; END_VAR",
            "VAR",
            *(f"    {line}" for line in declarations),
            "END_VAR",
            *body,
            "END_FUNCTION_BLOCK",
            "",
        ]
    )
