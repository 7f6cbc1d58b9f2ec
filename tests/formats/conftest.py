"""Answers that several formats are made of."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from twohand.analyses.check.record import CheckedSpec, checked_spec

from tests.support.gallery_reports import GalleryReports


@pytest.fixture
def gallery_answer(gallery_report: GalleryReports) -> Callable[[str], CheckedSpec]:
    """What came out of a spec of the gallery, by its name."""
    return lambda name: checked_spec(gallery_report(name))
