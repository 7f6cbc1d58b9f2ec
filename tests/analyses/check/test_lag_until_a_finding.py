"""A lag that only a run with a finding shows is asked for again, in the scans before any."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import cast

import pytest
from twohand.analyses.check.lag import LagCheck
from twohand.analyses.check.lag_query import Measured, MeasureLag
from twohand.engine.system.contract import Step, Violated
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.program.durations import Ticks

from tests.support.samples.check_samples import TWO_HANDS, TYPE_THREE, specification

BOTH = {"left": True, "right": True}
DIVIDES = TYPE_THREE.replace(
    "END_FUNCTION_BLOCK", "n := 10 / SEL(stroke, 1, zero);\nEND_FUNCTION_BLOCK"
).replace("armed : BOOL;", "armed : BOOL; n, zero : INT;")
"""Each start is a division by zero."""


class Workers:
    """Answer the first question with a run, and keep all of them."""

    def __init__(self, run: Violated) -> None:
        self.run = run
        self.jobs: list[MeasureLag] = []

    def submit(self, job: MeasureLag, then: Callable[[object], None]) -> None:
        self.jobs.append(job)
        if len(self.jobs) == 1:
            then(Measured(widest=Ticks(0), run=self.run))


def asked(folder: Path, block: str) -> tuple[Workers, CheckContext, LagCheck]:
    statements = f"{TWO_HANDS} REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#100ms;"
    spec = specification(folder, block, statements)
    run = Violated((Step({}, Ticks(1)), Step(BOTH, Ticks(1))), {}, "a search")
    workers = Workers(run)
    case = CheckContext(spec, cast(Dispatcher, workers), 20.0)
    lag = LagCheck(0, case)
    lag.begin()
    return workers, case, lag


def test_a_start_that_ends_in_a_finding_shows_no_lag(tmp_path: Path) -> None:
    try:
        workers, case, lag = asked(tmp_path, DIVIDES)
    except InternalContradiction as error:
        pytest.fail(f"a run that a finding cuts short was read as a start: {error}")
    assert [job.problem for job in workers.jobs] == [case.problem(0), case.until_then(0)]
    assert [finding.span.text for finding in case.seen_findings] == ["10 / SEL(stroke, 1, zero)"]
    assert lag.measure.reached is None


def test_a_start_without_a_finding_shows_its_lag(tmp_path: Path) -> None:
    workers, _, lag = asked(tmp_path, TYPE_THREE)
    assert len(workers.jobs) == 1
    assert lag.measure.reached == 0
