"""Where the grammars and the gallery lie, in a wheel and in a checkout; what is a folder."""

from __future__ import annotations

from pathlib import Path


def grammar_text(name: str) -> str:
    """The text of ``grammar/<name>.lark``; FileNotFoundError where the installation is broken."""
    return (_beside("grammar") / f"{name}.lark").read_text(encoding="utf-8")


def specs_folder() -> Path:
    """The folder of the requirement catalogue and the gallery of example blocks."""
    return _beside("specs")


def _beside(name: str) -> Path:
    """A data folder: inside the package (installed), or next to it (checkout)."""
    package = Path(__file__).resolve().parents[1]
    for candidate in (package / name, package.parents[1] / name):
        if candidate.is_dir():
            return candidate
    raise FileNotFoundError(f"the folder {name!r} of the installation is missing")


def is_folder(path: Path) -> bool:
    """FALSE as well where the system does not let that be seen: whoever reads it says why."""
    try:
        return path.is_dir()
    except OSError:
        return False
