"""A git repository to try things in, with no settings of whoever runs the tests."""

from __future__ import annotations

import os
import subprocess
from dataclasses import dataclass
from pathlib import Path

SETTINGS = {
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_SYSTEM": os.devnull,
    "GIT_AUTHOR_NAME": "a",
    "GIT_AUTHOR_EMAIL": "a@example.org",
    "GIT_COMMITTER_NAME": "a",
    "GIT_COMMITTER_EMAIL": "a@example.org",
}


@dataclass(frozen=True)
class TriedRepository:
    top: Path

    def git(self, *arguments: str) -> str:
        done = subprocess.run(
            ["git", *arguments],
            cwd=self.top,
            env={**os.environ, **SETTINGS},
            capture_output=True,
            encoding="utf-8",
            check=True,
        )
        return done.stdout.strip()

    def write(self, name: str, text: str) -> Path:
        path = self.top / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        return path

    def commit(self, **files: str) -> str:
        """All that is there, with these files; '__' in a name is a dot."""
        for name, text in files.items():
            self.write(name.replace("__", "."), text)
        self.git("add", "--all")
        self.git("commit", "--quiet", "--allow-empty", "--message", "x")
        return self.git("rev-parse", "HEAD")


def begun(top: Path) -> TriedRepository:
    top.mkdir(parents=True, exist_ok=True)
    found = TriedRepository(top)
    found.git("init", "--quiet", "--initial-branch", "main")
    return found
