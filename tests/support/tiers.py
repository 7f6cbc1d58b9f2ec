"""Rows of a test of which some take more than the quick suite, or more than CI, allows."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import pytest


def rows(
    values: Iterable[Any],
    is_long: Callable[[Any], bool],
    is_nightly: Callable[[Any], bool] = lambda _: False,
) -> list[Any]:
    """The values for ``parametrize``; those of which ``is_long`` says so are long tests, and those
    of which ``is_nightly`` says so are run by night."""
    return [
        nightly(v) if is_nightly(v) else pytest.param(v, marks=_long(is_long(v))) for v in values
    ]


def nightly(*values: Any) -> Any:
    """A row that is run by night only: it repeats with more seeds, or at full size, what another
    row holds."""
    return pytest.param(*values, marks=pytest.mark.nightly)


def _long(is_long: bool) -> list[pytest.MarkDecorator]:
    return [pytest.mark.long] if is_long else []
