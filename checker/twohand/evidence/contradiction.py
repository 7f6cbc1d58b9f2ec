"""What must never happen: the parts of the checker contradict each other."""

from __future__ import annotations


class InternalContradiction(Exception):  # noqa: N818 - it names what happened
    """A trace does not replay, or an invariant does not hold: no verdict can be trusted, and the
    run stops. The message says which requirement and what differed."""
