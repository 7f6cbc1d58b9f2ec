"""The day by which waivers end."""

from __future__ import annotations

from datetime import UTC, date, datetime


def today() -> date:
    """In UTC: everywhere the same one."""
    return datetime.now(UTC).date()
