"""The run shown for a violation begins at rest where one does, and every change of it matters."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.evidence.limits import Options
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.trace import Scan, Trace, definite
from twohand.evidence.verdict import Counterexample, Outcome
from twohand.specification.model.specification import Specification

from tests.support.gallery_reports import GALLERY, GalleryReports
from tests.support.samples.check_samples import logic, specification


def trace_shown(run: Counterexample, specification: Specification) -> Trace:
    names = [variable.name for variable in specification.program.inputs]
    scans = tuple(
        Scan({name: record.values[name] for name in names}, record.elapsed)
        for record in run.records
    )
    return Trace(scans, definite(specification.readings, run.readings), run.readings)


def without_one_change(trace: Trace, names: list[str]) -> Iterator[tuple[str, int, Trace]]:
    """Each change of an input away: the value before it goes on until the input changes again."""
    for name in names:
        values = [scan.inputs[name] for scan in trace.scans]
        for before, now in pairwise(range(len(values))):
            if values[before] == values[now]:
                continue
            end = next(
                (k for k in range(now, len(values)) if values[k] != values[now]), len(values)
            )
            scans = [
                replace(scan, inputs={**scan.inputs, name: values[before]})
                if now <= position < end
                else scan
                for position, scan in enumerate(trace.scans)
            ]
            yield name, now, replace(trace, scans=tuple(scans))


TWO_WAYS = """
IF later THEN
    IF left AND NOT right THEN n := MIN(n + 1, 9); END_IF;
    q := n > 3 AND right;
ELSE
    q := left AND right;
END_IF;
later := TRUE;
"""


@pytest.mark.long
def test_a_run_from_rest_is_looked_for_where_another_was_found(tmp_path: Path) -> None:
    block = logic(TWO_WAYS, "left, right : BOOL;", "later : BOOL; n : INT;")
    statements = "HAND left = left; HAND right = right; OUTPUT q; PROPERTY p : NOT q;"
    report = check(specification(tmp_path, block, statements), Options(processes=1))
    run = report.verdicts[0].counterexample
    assert run is not None
    assert not run.records[0].values["left"]
    assert not run.records[0].values["right"]
    assert [record.values["q"] for record in run.records] == [False] * 5 + [True]


@pytest.mark.long
@pytest.mark.parametrize("name", GALLERY)
def test_no_change_of_an_input_can_be_taken_away(name: str, gallery_report: GalleryReports) -> None:
    report = gallery_report(name)
    specification = report.specification
    supply = None if specification.power is None else specification.power.name
    inputs = [v.name for v in specification.program.inputs if v.name != supply]
    replayer = Replayer(specification)
    for verdict in report.verdicts:
        if verdict.outcome is not Outcome.VIOLATED or verdict.counterexample is None:
            continue
        trace = trace_shown(verdict.counterexample, specification)
        asked = verdict.requirement.property
        assert replayer.refuted_at(asked, replayer.records(trace)) == len(trace.scans) - 1
        for changed, scan, tried in without_one_change(trace, inputs):
            records = replayer.records(tried)
            violated = replayer.refuted_at(asked, records) == len(trace.scans) - 1
            assert not (violated and replayer.allowed(records)), (
                verdict.requirement,
                changed,
                scan,
            )
