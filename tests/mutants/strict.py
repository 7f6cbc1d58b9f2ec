"""A plugin of pytest for one run of named tests: only a failing assertion of a test is a failure.

The outcome goes to the file that ``OUTCOME_FILE`` names: ``failed`` for an assertion that does not
hold, ``broken`` for any other exception, ``passed`` for none.
"""

from __future__ import annotations

import inspect
import json
import os
from collections.abc import Generator
from pathlib import Path

import pytest
import twohand

OUTCOME_FILE = "TWOHAND_MUTANT_OUTCOME"
FAILED, BROKEN, PASSED = "failed", "broken", "passed"


def pytest_configure(config: pytest.Config) -> None:
    package = Path(twohand.__file__).resolve()
    if not package.is_relative_to(config.rootpath.resolve()):
        raise pytest.UsageError(f"{package} is not the changed package")
    config.pluginmanager.register(_Outcomes(Path(os.environ[OUTCOME_FILE])))


class _Outcomes:
    def __init__(self, file: Path) -> None:
        self._file = file
        self._seen: dict[str, str] = {}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_makereport(
        self, item: pytest.Item, call: pytest.CallInfo[None]
    ) -> Generator[None, pytest.TestReport, pytest.TestReport]:
        report = yield
        if report.failed:
            outcome = FAILED if call.when == "call" and _asserted(item, call) else BROKEN
            self._seen[report.nodeid] = outcome
            if outcome == FAILED and item.config.option.maxfail:
                item.session.shouldstop = "a test has noticed it"
        elif call.when == "call" and report.passed:
            self._seen[report.nodeid] = PASSED
        return report

    def pytest_sessionfinish(self) -> None:
        self._file.write_text(json.dumps(self._seen), encoding="utf-8")


def _asserted(item: pytest.Item, call: pytest.CallInfo[None]) -> bool:
    """An assertion in the tests' own files, or an exception that did not come as it should."""
    if call.excinfo is None:
        return False
    if call.excinfo.errisinstance(pytest.fail.Exception):
        return True
    place = Path(call.excinfo.traceback[-1].path)
    own = (item.config.rootpath / "tests", Path(inspect.getfile(pytest.Item)).parent)
    asserted = any(place.is_relative_to(folder) for folder in own)
    return call.excinfo.errisinstance(AssertionError) and asserted
