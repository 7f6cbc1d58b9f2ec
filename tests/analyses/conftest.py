"""What several tests of the analyses ask with."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import open_pool

from tests.support.small_checks import OPTIONS


@pytest.fixture(scope="module")
def pool() -> Iterator[Pool]:
    """One worker for all tests of a module."""
    with open_pool(OPTIONS) as opened:
        yield opened
