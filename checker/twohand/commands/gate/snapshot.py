"""The working folder as the index of git has it: for a command that asks what is about to be
committed, and nothing else."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import chdir, contextmanager
from dataclasses import dataclass
from pathlib import Path

from twohand.files.confinement import confined_to
from twohand.gate.revisions import Repository
from twohand.text.diagnostic import wrong


@dataclass(frozen=True)
class WorkingFiles:
    """Which files are looked at: those of the folder ``root``, in place of those of ``top``."""

    top: Path
    root: Path

    def inside(self, path: str) -> str:
        """A path of the command line, as it is in ``root`` from its working folder on."""
        if not Path(path).is_absolute():
            return path
        try:
            inside = Path(path).resolve().relative_to(self.top)
        except ValueError:
            way = "name files of the repository of the working folder"
            message = "this lies outside of the repository whose index is looked at"
            raise wrong("no-repository", message, None, way, path=path) from None
        return os.path.relpath(self.root / inside)

    def outside(self, path: Path) -> Path:
        """Where something is written that the project file wants in ``root``."""
        real = Path(os.path.normpath(path))
        return self.top / real.relative_to(self.root) if real.is_relative_to(self.root) else path


@contextmanager
def staged_files() -> Iterator[WorkingFiles]:
    """Within, the working folder is that of the index, and nothing else is read. InputError where
    git cannot give it."""
    here = Path().resolve()
    repository = Repository.around(here)
    with repository.files(None) as root:
        folder = root / here.relative_to(repository.top)
        if not folder.is_dir():
            message = "nothing of this folder is in the index"
            way = "call this where files are staged: git status"
            raise wrong("no-repository", message, None, way, path=str(here))
        with chdir(folder), confined_to(root):
            yield WorkingFiles(repository.top, root)
