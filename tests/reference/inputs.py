"""The files that the commands are run on, copied from the checkout into one folder."""

from __future__ import annotations

import importlib
import pkgutil
import shutil
from collections.abc import Iterator
from pathlib import Path

from tests.commands import faulty_inputs
from tests.commands.faulty_inputs.case import Case
from tests.support.places import EXCHANGE_FILES, GALLERY, LANGUAGE


def write_inputs(folder: Path) -> None:
    """``gallery/``, ``language/``, ``exchange/`` and, one folder each, ``faulty/NNN-CODE/``."""
    shutil.copytree(GALLERY, folder / "gallery")
    shutil.copytree(LANGUAGE, folder / "language")
    shutil.copytree(EXCHANGE_FILES, folder / "exchange")
    for number, case in enumerate(_faulty_inputs()):
        place = folder / "faulty" / f"{number:03}-{case.code}"
        place.mkdir(parents=True)
        case.write(place)


def _faulty_inputs() -> Iterator[Case]:
    """Each faulty input of each subject, in the order of the modules' names."""
    for module in sorted(found.name for found in pkgutil.iter_modules(faulty_inputs.__path__)):
        subject = importlib.import_module(f"{faulty_inputs.__name__}.{module}")
        for value in vars(subject).values():
            yield from (case for case in _listed(value) if isinstance(case, Case))


def _listed(value: object) -> list[object]:
    return list(value) if isinstance(value, list | tuple) else []
