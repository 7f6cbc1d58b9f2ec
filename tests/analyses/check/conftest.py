"""Reports that several tests look at."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import open_pool

from tests.support.gallery_reports import GalleryReports
from tests.support.small_checks import OPTIONS


@pytest.fixture(scope="session")
def gallery_report(tmp_path_factory: pytest.TempPathFactory) -> GalleryReports:
    """The report of a spec of the gallery, by its name."""
    base = tmp_path_factory.getbasetemp()
    folder = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "gallery-reports"
    folder.mkdir(exist_ok=True)
    return GalleryReports(folder)


@pytest.fixture(scope="module")
def pool() -> Iterator[Pool]:
    """One worker for all tests of a module."""
    with open_pool(OPTIONS) as opened:
        yield opened
