"""Where the files that the tests read are: the checkout, the gallery, and the samples."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TESTS = ROOT / "tests"
PACKAGE = ROOT / "checker" / "twohand"
GALLERY = ROOT / "specs" / "gallery"
LANGUAGE = TESTS / "typecheck" / "language"
EXCHANGE_FILES = TESTS / "exchange" / "files"
