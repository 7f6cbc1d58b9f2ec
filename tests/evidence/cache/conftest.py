"""Questions that are asked once for all modules of the folder."""

from __future__ import annotations

import pytest

from tests.evidence.cache.asking import Asked, asked_once


@pytest.fixture(scope="session")
def once(tmp_path_factory: pytest.TempPathFactory) -> Asked:
    return asked_once(tmp_path_factory.mktemp("asked"))
