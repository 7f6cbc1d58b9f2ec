"""Every test runs as on a terminal of the usual width, whatever the caller's has; the whole suite
on every processor, tests that are named in one process."""

from __future__ import annotations

import gc
import os
from math import inf
from pathlib import Path

import pytest

from tests.support.gallery_reports import GalleryReports


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    if config.args_source is not pytest.Config.ArgsSource.TESTPATHS:
        return 0  # a few tests are done before other workers have begun
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def pytest_collection_finish() -> None:
    gc.freeze()  # thousands of tests and their modules are no garbage, here and in forked workers


@pytest.fixture(autouse=True)
def usual_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("COLUMNS", "LINES", "NO_COLOR", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr("twohand.commands.shared.session.LONG_SILENCE", inf)  # on a busy machine


@pytest.fixture
def inside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder, entered: the names of its files in a report are as long everywhere."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture(scope="session")
def gallery_report(tmp_path_factory: pytest.TempPathFactory) -> GalleryReports:
    """The report of a spec of the gallery, by its name."""
    base = tmp_path_factory.getbasetemp()
    folder = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "gallery-reports"
    folder.mkdir(exist_ok=True)
    return GalleryReports(folder)
