"""Where the files that the tests read are: the checkout, the gallery, and the samples."""

from __future__ import annotations

import os
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TESTS = ROOT / "tests"
PACKAGE = ROOT / "checker" / "twohand"
GALLERY = ROOT / "specs" / "gallery"
LANGUAGE = TESTS / "typecheck" / "language"
EXCHANGE_FILES = TESTS / "exchange" / "files"


def from_here(path: Path) -> str:
    """The name of a file as it is written in the folder that is entered."""
    return os.path.relpath(path)
