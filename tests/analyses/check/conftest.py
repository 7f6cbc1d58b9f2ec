"""Reports that several tests look at."""

from __future__ import annotations

import os

import pytest

from tests.support.gallery_reports import GalleryReports


@pytest.fixture(scope="session")
def gallery_report(tmp_path_factory: pytest.TempPathFactory) -> GalleryReports:
    """The report of a spec of the gallery, by its name."""
    base = tmp_path_factory.getbasetemp()
    folder = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "gallery-reports"
    folder.mkdir(exist_ok=True)
    return GalleryReports(folder)
