"""The gallery of example blocks that comes with the checker."""

from __future__ import annotations

from pathlib import Path

from twohand.text.resources import specs_folder


def gallery_folder() -> Path:
    """Where the gallery lies; FileNotFoundError where the installation is broken."""
    return specs_folder() / "gallery"


def gallery_specs() -> list[Path]:
    """Every spec of the gallery, sorted; FileNotFoundError where there is none."""
    specs = sorted(gallery_folder().glob("*.spec"))
    if not specs:
        raise FileNotFoundError("the gallery of the installation is missing")
    return specs


def opening(spec: Path) -> str:
    """What a gallery spec is: the first line of its top comment, without the comment's marks."""
    first = spec.read_text(encoding="utf-8-sig").lstrip().partition("\n")[0].strip()
    if not first.startswith("(*"):
        return ""
    text = first.removeprefix("(*").removesuffix("*)").strip()
    label, colon, rest = text.partition(":")
    return rest.strip() if colon and label.casefold() == "what it is" else text
