"""What random changed blocks keep, held against stepping both side by side."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.evidence.limits import open_pool

from tests.search.mendings import OPTIONS, kept_compared


@pytest.mark.long
def test_what_random_changes_keep_is_what_stepping_shows(tmp_path: Path) -> None:
    with open_pool(OPTIONS) as pool:
        counts = kept_compared(range(8), tmp_path, pool)
    assert counts["PROVED"] >= 5
    assert counts["off where on"] >= 5
    assert counts["VIOLATED"] >= 5
    assert counts["without a second opinion"] == 0
