"""Where the answers about a spec are kept: in the folder of its project, or where the user says."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from twohand.evidence.cache.folder import MEGABYTES, NAME, CacheFolder
from twohand.files.reading import noting
from twohand.text.diagnostic import InputError

if TYPE_CHECKING:
    from twohand.evidence.cache.answers import AnswerCache


@dataclass
class AnswerCaches:
    """``folder`` is where all answers are kept (None: each in its project, where there is one);
    ``off``: none are kept, and none are looked for."""

    folder: Path | None = None
    off: bool = False
    moved: Callable[[Path], Path] = lambda path: path
    """Where the folder of a project really is, which is looked at in a copy."""
    _of_root: dict[Path, AnswerCache] = field(default_factory=dict)
    _of_folder: dict[Path, tuple[Path, float] | None] = field(default_factory=dict)

    def of(self, path: Path) -> AnswerCache | None:
        """The one for the specs of a file, or of a folder; None: nothing is kept."""
        place = self.place(path)
        if place is None:
            return None
        from twohand.evidence.cache.answers import AnswerCache  # has to do with solvers

        root, megabytes = place
        if root not in self._of_root:
            self._of_root[root] = AnswerCache(CacheFolder(root), megabytes)
        return self._of_root[root]

    def place(self, path: Path) -> tuple[Path, float] | None:
        """The folder of the answers, and how many megabytes it may have."""
        if self.off:
            return None
        if self.folder is not None:
            return self.folder, MEGABYTES
        folder = path.resolve() if path.is_dir() else path.resolve().parent
        if folder not in self._of_folder:
            self._of_folder[folder] = self._in_project(folder)
        return self._of_folder[folder]

    def _in_project(self, folder: Path) -> tuple[Path, float] | None:
        """What cannot be used as a project file is complained of by those who need it. A document
        names what it was made of: the project file is no part of that."""
        from twohand.gate.project.project_file import find_project_file, is_passed_over

        with noting([]):
            try:
                project = find_project_file(folder)
            except InputError:
                return None
        if project is None:
            return None
        around = (folder, *folder.parents)
        if any(is_passed_over(each) for each in around[: around.index(project.folder)]):
            return None
        return self.moved(project.folder) / NAME, project.cache_megabytes

    def told(self) -> list[str]:
        """What has to be said of them, since it was asked last."""
        return [line for cache in self._of_root.values() for line in cache.told()]

    def close(self) -> None:
        for cache in self._of_root.values():
            cache.close()
