"""Run the cases and keep their answers: one file a case, ``FOLDER/GROUP/CASE.txt``."""

from __future__ import annotations

import shutil
import time
from concurrent.futures import ThreadPoolExecutor
from fnmatch import fnmatchcase
from pathlib import Path

from tests.reference.cases import Case, all_cases
from tests.reference.inputs import write_inputs
from tests.reference.normal import stored
from tests.reference.running import Answer, run_alone, run_together

INPUTS = "inputs"
SUFFIX = ".txt"


def store(
    folder: Path, python: Path, inputs: Path | None, only: tuple[str, ...], processes: int
) -> None:
    """Answers of earlier runs that are not asked again stay as they are."""
    began = time.monotonic()
    python = python.absolute()
    given = folder.absolute() / INPUTS
    if inputs is not None:
        shutil.rmtree(given, ignore_errors=True)
        shutil.copytree(inputs / INPUTS, given)
    elif not given.is_dir():
        write_inputs(given)
    cases = _asked(python, given, only)
    with ThreadPoolExecutor(processes) as pool:
        quick = pool.submit(run_together, python, [case for case in cases if case.quick], given)
        alone = [case for case in cases if not case.quick]

        def one(case: Case) -> None:
            began = time.monotonic()
            _keep(folder, case, run_alone(python, case, given))
            print(f"{time.monotonic() - began:7.1f} s  {case.name}", flush=True)

        list(pool.map(one, alone))
        for case, answer in zip((c for c in cases if c.quick), quick.result(), strict=True):
            _keep(folder, case, answer)
    print(f"{len(cases)} cases in {time.monotonic() - began:.0f} s")


def _asked(python: Path, inputs: Path, only: tuple[str, ...]) -> list[Case]:
    def printed(arguments: list[str]) -> str:
        case = Case("", "gallery", tuple(arguments), quick=False)
        return run_alone(python, case, inputs).output

    cases = all_cases(inputs, printed)
    return [case for case in cases if not only or any(fnmatchcase(case.name, o) for o in only)]


def _keep(folder: Path, case: Case, answer: Answer) -> None:
    parts = [("output", answer.output), ("errors", answer.errors)]
    parts += [(f"document {name}", text) for name, text in sorted(answer.documents.items())]
    lines = [f"$ twohand {' '.join(map(repr, case.arguments))}", f"exit code {answer.code}"]
    for title, text in parts:
        if text:
            lines += [f"--- {title}", stored(text)]
    file = folder / f"{case.name}{SUFFIX}"
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text("\n".join(lines), encoding="utf-8", newline="\n")
