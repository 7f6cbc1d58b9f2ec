"""Every test runs as on a terminal of the usual width, whatever the caller's has."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def usual_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("COLUMNS", "LINES", "NO_COLOR", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)
