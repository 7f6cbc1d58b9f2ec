"""A folder of specs for the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.support.answered_specs import ANSWERS


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Spec files named after what checking them gives; the fixture ``run`` answers for them."""
    for name in ANSWERS:
        (tmp_path / f"{name}.spec").write_text("SPEC", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path
