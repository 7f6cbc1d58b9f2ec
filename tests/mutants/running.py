"""Copies of the checkout in which a change is made and its tests are run."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from tests.mutants.mutant import Mutant
from tests.mutants.strict import BROKEN, FAILED, OUTCOME_FILE, PASSED
from tests.support.places import ROOT

COPIED = ("checker", "tests", "grammar", "specs")
FILES = ("pyproject.toml", "README.md", "DEVELOPERS.md")
MOST_SECONDS = 600.0
"""Far more than any of the named tests takes: what hangs is no answer."""


class Found(Enum):
    FOUND = "found"
    """A test that passes unchanged has an assertion that fails."""
    SURVIVED = "survived"
    BROKEN = "no test fails by an assertion, some by another exception"
    HANGS = "no answer in time"
    NOT_RUN = "its tests did not run"


@dataclass(frozen=True)
class Result:
    mutant: Mutant
    found: Found
    by: str
    seconds: float


class Copy:
    """A checkout of its own, whose package is compiled once and changed file by file."""

    def __init__(self, folder: Path) -> None:
        self.root = folder
        ignored = shutil.ignore_patterns("__pycache__", "*.egg-info")
        for name in COPIED:
            shutil.copytree(ROOT / name, folder / name, ignore=ignored)
        for name in FILES:
            shutil.copy(ROOT / name, folder / name)
        # Compiled by content: a change of equal length in the same second is seen all the same.
        compiled = ("-m", "compileall", "-q", "--invalidation-mode", "checked-hash", "checker")
        subprocess.run((sys.executable, *compiled), cwd=folder, check=True)

    def outcomes(self, tests: Sequence[str], to_the_end: bool = False) -> dict[str, str] | None:
        """How each of the tests ended, up to the first failure (or ``to_the_end``), by pytest's
        identifiers; {} where pytest itself failed, None where the time was over."""
        file = self.root / "outcomes.json"
        file.unlink(missing_ok=True)
        paths = {"PYTHONPATH": str(self.root / "checker"), OUTCOME_FILE: str(file)}
        written = {} if to_the_end else {"PYTHONDONTWRITEBYTECODE": "1"}
        named = [f"tests/{test}" for test in dict.fromkeys(tests)]
        options = ["-q", "-n", "0", "-p", "tests.mutants.strict", "-p", "no:cacheprovider"]
        options += ["-m", "not nightly"]  # what CI runs
        options += ["-p", "no:hypothesispytest"]  # half of a short run's time, for its reports
        if not to_the_end:
            options.append("--maxfail=1000000")
        command = [sys.executable, "-m", "pytest", *options, *named]
        environment = {**os.environ, **paths, **written}
        with (self.root / "output.txt").open("wb") as output:
            process = subprocess.Popen(
                command, cwd=self.root, env=environment, stdout=output, stderr=subprocess.STDOUT
            )
            try:
                process.wait(None if to_the_end else MOST_SECONDS)
            except subprocess.TimeoutExpired:
                process.kill()  # its workers end with their parent
                process.wait()
                return None
        if not file.exists():
            return {}
        outcomes: dict[str, str] = json.loads(file.read_text(encoding="utf-8"))
        return outcomes

    @property
    def output(self) -> str:
        """The end of what the last run printed."""
        text = (self.root / "output.txt").read_text(encoding="utf-8", errors="replace")
        return text[-3000:]

    def tried(self, mutant: Mutant) -> Result:
        path = self.root / "checker" / "twohand" / mutant.file
        before = path.read_text(encoding="utf-8")
        began = time.monotonic()
        path.write_text(mutant.applied(before), encoding="utf-8")
        try:
            outcomes = self.outcomes(mutant.tests)
        finally:
            path.write_text(before, encoding="utf-8")
        found, by = judged(outcomes)
        return Result(mutant, found, by, time.monotonic() - began)


def judged(outcomes: dict[str, str] | None) -> tuple[Found, str]:
    if outcomes is None:
        return Found.HANGS, ""
    for wanted, found in ((FAILED, Found.FOUND), (BROKEN, Found.BROKEN), (PASSED, Found.SURVIVED)):
        for test, outcome in outcomes.items():
            if outcome == wanted:
                return found, "" if found is Found.SURVIVED else test
    return Found.NOT_RUN, ""
