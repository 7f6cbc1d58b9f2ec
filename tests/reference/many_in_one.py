"""Run many command lines in one process: of the ``twohand`` installed beside this Python.

Standard input: a JSON list of [folder, [argument ...]]. Standard output: a JSON list of
[exit code, standard output, standard error]. Imports nothing of the tests: any version is run.
"""

from __future__ import annotations

import json
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib.metadata import entry_points
from pathlib import Path
from typing import BinaryIO


@contextmanager
def written_to(descriptor: int, file: BinaryIO) -> Iterator[None]:
    kept = os.dup(descriptor)
    os.dup2(file.fileno(), descriptor)
    try:
        yield
    finally:
        os.dup2(kept, descriptor)
        os.close(kept)


def run(main: Callable[[], object], folder: str, arguments: list[str]) -> tuple[int, str, str]:
    os.chdir(folder)
    sys.argv = ["twohand", *arguments]
    code = 0
    with tempfile.TemporaryFile() as output, tempfile.TemporaryFile() as errors:
        with written_to(1, output), written_to(2, errors):
            try:
                main()
            except SystemExit as ended:
                code = ended.code if isinstance(ended.code, int) else 1
            sys.stdout.flush()
            sys.stderr.flush()
        return code, content(output), content(errors)


def content(file: BinaryIO) -> str:
    file.seek(0)
    return file.read().decode("utf-8").replace(os.linesep, "\n")


def main() -> None:
    (found,) = entry_points(group="console_scripts", name="twohand")
    command = found.load()
    home = Path.cwd()
    asked = json.loads(sys.stdin.buffer.read().decode("utf-8"))
    answers = [run(command, folder, arguments) for folder, arguments in asked]
    os.chdir(home)
    sys.stdout.write(json.dumps(answers))


if __name__ == "__main__":
    main()
