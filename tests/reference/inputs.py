"""The files that the commands are run on, copied from the checkout into one folder."""

from __future__ import annotations

import importlib
import pkgutil
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

CHECKOUT = Path(__file__).resolve().parents[2]
SAMPLES = ("language", "exchange")
FAULTY = "faulty_inputs"


def write_inputs(folder: Path) -> None:
    """``gallery/``, ``language/``, ``exchange/`` and, one folder each, ``faulty/NNN-CODE/``."""
    gallery = next(CHECKOUT.glob("**/specs/gallery/"))
    shutil.copytree(gallery, folder / "gallery")
    for name in SAMPLES:
        shutil.copytree(_below_tests(name), folder / name, ignore=_no_samples)
    for number, case in enumerate(_faulty_cases()):
        place = folder / "faulty" / f"{number:03}-{case.code}"
        place.mkdir(parents=True)
        case.write(place)


def _below_tests(name: str) -> Path:
    """The folder of this name that holds samples, wherever the tests keep it."""
    found = [path for path in (CHECKOUT / "tests").glob(f"**/{name}/") if _samples(path)]
    if len(found) != 1:
        raise FileNotFoundError(f"{len(found)} folders of samples are named {name}: {found}")
    return found[0]


def _samples(folder: Path) -> bool:
    return any(folder.glob("*.st")) or (folder / "case.py").is_file()


def _no_samples(_: str, names: list[str]) -> set[str]:
    return {name for name in names if not name.endswith((".st", ".xml", ".spec"))}


def _faulty_cases() -> Iterator[Any]:
    """Each faulty input of each subject, in the order of the modules' names."""
    folder = _below_tests(FAULTY)
    sys.path.insert(0, str(folder.parent))
    case_type = importlib.import_module(f"{FAULTY}.case").Case
    seen: set[int] = set()
    for found in sorted(pkgutil.iter_modules([str(folder)]), key=lambda found: found.name):
        module = importlib.import_module(f"{FAULTY}.{found.name}")
        for value in vars(module).values():
            for case in value if isinstance(value, list | tuple) else ():
                if isinstance(case, case_type) and id(case) not in seen:
                    seen.add(id(case))
                    yield case
