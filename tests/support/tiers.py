"""Rows of a test of which some take more than the quick suite allows."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import pytest


def rows(values: Iterable[Any], is_long: Callable[[Any], bool]) -> list[Any]:
    """The values for ``parametrize``; those of which ``is_long`` says so are long tests."""
    return [
        pytest.param(value, marks=[pytest.mark.long] if is_long(value) else []) for value in values
    ]
