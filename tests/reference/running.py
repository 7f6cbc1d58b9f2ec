"""Run the ``twohand`` installed beside a given Python, on a copy of the inputs."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from tests.reference.cases import Case

MANY = Path(__file__).parent / "many_in_one.py"
LIMIT = 3_600
"""Seconds for one process; nothing should ever come near."""
CALLERS_OWN = ("COLUMNS", "LINES", "NO_COLOR", "FORCE_COLOR", "PYTHONPATH")


@dataclass(frozen=True)
class Answer:
    """``documents``: the files that were written, by name."""

    code: int
    output: str
    errors: str
    documents: dict[str, str]


def run_alone(python: Path, case: Case, inputs: Path) -> Answer:
    """A process of its own in a folder of its own, as a user runs it."""
    script = python.parent / ("twohand.exe" if sys.platform == "win32" else "twohand")
    with tempfile.TemporaryDirectory() as home:
        folder = Path(home, "work")
        shutil.copytree(inputs / case.folder, folder)
        before = _files(folder)
        done = _run([str(script), *case.arguments], folder)
        documents = {
            name: (folder / name).read_text(encoding="utf-8") for name in _files(folder) - before
        }
        output, errors = _placed(done.stdout, home), _placed(done.stderr, home)
        return Answer(done.returncode, output, errors, documents)


def run_together(python: Path, cases: list[Case], inputs: Path) -> list[Answer]:
    """One process for all."""
    with tempfile.TemporaryDirectory() as home:
        place = Path(home, "work")
        shutil.copytree(inputs, place)
        asked = json.dumps([[str(place / case.folder), case.arguments] for case in cases])
        done = _run([str(python), str(MANY)], place, asked)
        if done.returncode:
            raise RuntimeError(done.stderr)
        return [
            Answer(code, _placed(output, home), _placed(errors, home), {})
            for code, output, errors in json.loads(done.stdout)
        ]


def _files(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def _placed(text: str, home: str) -> str:
    """The temporary folder has another name each time."""
    return text.replace(str(Path(home).resolve()), "HOME").replace(home, "HOME")


def _run(
    command: list[str], folder: Path, asked: str | None = None
) -> subprocess.CompletedProcess[str]:
    environment = {name: text for name, text in os.environ.items() if name not in CALLERS_OWN}
    return subprocess.run(
        command,
        cwd=folder,
        env=environment | {"PYTHONUTF8": "1"},
        input=asked,
        stdin=subprocess.DEVNULL if asked is None else None,
        capture_output=True,
        encoding="utf-8",
        timeout=LIMIT,
        check=False,
    )
