"""The command line; the only place that prints or exits."""

from __future__ import annotations


def main() -> None:
    """Entry point of ``twohand``."""
