"""Files as a repository has them at a revision, or in its index; git is called as a program."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from twohand.text.diagnostic import InputError, wrong

SECONDS = 300
"""After which git is taken to hang."""
_LONGEST = 200


@dataclass(frozen=True)
class Repository:
    """``top`` is the folder of its working tree."""

    top: Path

    @classmethod
    def around(cls, folder: Path) -> Repository:
        """The one that the folder lies in; InputError where there is none, or no git."""
        done = _git(folder, "rev-parse", "--show-toplevel")
        top = done.stdout.rstrip("\n")
        if done.returncode or not top:
            way = "call this inside of a repository whose files are checked out"
            raise _failed("no-repository", "this is no working tree of git", done, folder, way)
        return cls(Path(top).resolve())

    def commit(self, revision: str) -> str:
        """The commit that a revision names; InputError where there is none."""
        done = _git(self.top, "rev-parse", "--verify", "--quiet", "--end-of-options",
                    f"{revision}^{{commit}}")  # fmt: skip
        if done.returncode:
            raise wrong(
                "unknown-revision",
                f"git knows no revision '{revision}'",
                None,
                self._fetching(f"fetch it, for instance: git fetch origin {revision}"),
                path=str(self.top),
            )
        return done.stdout.strip()

    def merge_base(self, revision: str) -> str:
        """The commit from which this one and the revision went apart; InputError where the history
        does not have it."""
        commit = self.commit(revision)
        done = _git(self.top, "merge-base", commit, "HEAD")
        if done.returncode:
            raise wrong(
                "no-merge-base",
                f"git finds no commit that '{revision}' and HEAD have in common",
                None,
                self._fetching("name a revision of the same history"),
                path=str(self.top),
            )
        return done.stdout.split()[0]

    def _fetching(self, otherwise: str) -> str:
        done = _git(self.top, "rev-parse", "--is-shallow-repository")
        if done.stdout.strip() == "true":
            return (
                "this clone has only a part of the history; fetch the rest: git fetch --unshallow"
            )
        return otherwise

    @contextmanager
    def files(self, commit: str | None, only: str = "") -> Iterator[Path]:
        """A folder with the files of a commit (None: of the index), as git would check them out;
        it is removed at the end. What the working tree has is not looked at. ``only``: this file,
        or those below this folder."""
        with TemporaryDirectory(prefix="twohand-") as made:
            folder = Path(made).resolve()
            index = {"GIT_INDEX_FILE": str(folder / "index")}
            tree = commit or self._ran("write-tree").strip()
            self._ran("-c", "core.sparseCheckout=false", "read-tree", tree, others=index)
            (folder / "files").mkdir()
            prefix = f"--prefix={(folder / 'files').as_posix()}/"
            named = (":(top,literal)" + only,) if only else ()
            listed = self._ran("ls-files", "-z", "--", *named, others=index)
            self._ran("checkout-index", "-z", "--stdin", prefix, others=index, given=listed)
            yield folder / "files"

    def _ran(
        self, *arguments: str, others: Mapping[str, str] | None = None, given: str = ""
    ) -> str:
        done = _git(self.top, *arguments, others=others, given=given)
        if done.returncode:
            way = "see what git says of it, and try again"
            command = next(each for each in arguments if "." not in each and each != "-c")
            raise _failed("git-failed", f"'git {command}' failed", done, self.top, way)
        return done.stdout


def _failed(
    code: str, message: str, done: subprocess.CompletedProcess[str], folder: Path, way: str
) -> InputError:
    said = " ".join(done.stderr.split())[:_LONGEST]
    return wrong(code, f"{message}: {said}" if said else message, None, way, path=str(folder))


def _git(
    folder: Path, *arguments: str, others: Mapping[str, str] | None = None, given: str = ""
) -> subprocess.CompletedProcess[str]:
    """What git answers; InputError where it is not there, or does not come to an end."""
    try:
        return subprocess.run(
            ["git", *arguments],
            cwd=folder,
            env={**os.environ, "LC_ALL": "C", "GIT_OPTIONAL_LOCKS": "0", **(others or {})},
            input=given,
            capture_output=True,
            encoding="utf-8",
            errors="surrogateescape",
            timeout=SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        message = f"git came to no end in {SECONDS} seconds"
        way = "see whether it asks for something: git status"
        raise wrong("git-failed", message, None, way, path=str(folder)) from None
    except OSError as error:
        message = f"git cannot be called: {error.strerror}"
        way = "install git, and see that it is on the PATH"
        raise wrong("no-git", message, None, way, path=str(folder)) from None


def split_revision(path: str) -> tuple[str, str] | None:
    """``REV:FILE`` taken apart; None for a path that is there as it is, or names no revision (a
    drive's letter is none)."""
    revision, colon, file = path.partition(":")
    if not colon or len(revision) < 2 or not file or os.path.lexists(path):
        return None
    return revision, file


@contextmanager
def file_at_revision(revision: str, file: str) -> Iterator[Path]:
    """A file, or a folder, as it was at a revision, in the repository of the working folder. It
    begins in the top folder, with './' in the working folder, as git has it. InputError where it
    is not there."""
    repository = Repository.around(Path())
    commit = repository.commit(revision)
    top = repository.top
    path = os.path.normpath(Path().resolve() / file if file.startswith("./") else top / file)
    shown = f"{revision}:{file}"
    if Path(path) == top or not Path(path).is_relative_to(top):
        way = "name a file of the repository, from its top folder on"
        raise wrong("missing-file", "this is no file of the repository", None, way, path=shown)
    inside = Path(path).relative_to(top)
    with repository.files(commit, inside.as_posix()) as folder:
        if not (folder / inside).exists():
            way = f"see which files it has: git ls-tree -r --name-only {revision}"
            message = "the revision has no such file"
            raise wrong("missing-file", message, None, way, path=shown)
        yield folder / inside
