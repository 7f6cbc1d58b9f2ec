"""What is said of a requirement that may be violated in another way as well."""

from __future__ import annotations

from twohand.evidence.verdict import AnotherKind, Verdict
from twohand.specification.logic.formula import Response
from twohand.specification.phrases import listing


def another_sentence(verdict: Verdict, another: AnotherKind) -> str:
    """In what another run differs; or that there is none, or that this is open."""
    words = listing(another.words)
    late = isinstance(verdict.requirement.property, Response)
    scan = "in the scan that asks" if late else "in the scan that is wrong"
    if another.run is not None:
        return f"another run violates it otherwise: {scan}, {words}"
    always = f"in every run that violates it, {scan} for the first time, {words} (proved)"
    if not another.reason:
        return f"no other kind of violation: {always}"
    known = f"; {always}" if words else ""
    return f"whether another kind of run violates it was not decided ({another.reason}){known}"
