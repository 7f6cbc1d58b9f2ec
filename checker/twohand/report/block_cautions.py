"""What the reports of commands share that need no spec: their cautions, and what to try next."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.report.cautions import REACTION, STEADY_POWER, caution_texts
from twohand.specification.model.specification import Specification

NEXT_STEPS = (
    "try more time (--seconds), more memory (--memory), the readings of your platform "
    "(--platform 'READING ...') or one fixed --scan"
)


def cautions_without_spec(
    own: Sequence[str], specifications: Sequence[Specification], power: str
) -> list[str]:
    """The report's ``own`` sentences, then what is said of every check; ``power`` says by what the
    supply can be let go instead of by POWER CYCLES in the spec."""
    others = {STEADY_POWER: STEADY_POWER.replace("POWER CYCLES in the spec", power)}
    usual = caution_texts(specifications)
    return [*own, *(others.get(text, text) for text in usual if text != REACTION)]
