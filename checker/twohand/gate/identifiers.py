"""How the identifiers of what a project asks begin; nothing is loaded for it."""

from __future__ import annotations

FAULTS, INSPECT, MEASURE = "faults:", "inspect:", "measure:"
"""Of items that are none of a check."""


def spec_of(identifier: str) -> str:
    """The name of the spec that an item, or a figure, is of."""
    for each in (FAULTS, INSPECT, MEASURE):
        identifier = identifier.removeprefix(each)
    return identifier.partition("/")[0]
