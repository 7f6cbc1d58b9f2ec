"""``--another``: a second run of another kind, or the proof that all are of the first one's."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from pathlib import Path
from random import Random

import pytest
from twohand.analyses.check.record import checked_spec
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.evidence.runs.trace import definite
from twohand.evidence.verdict import AnotherKind, Outcome, Report
from twohand.program import Program
from twohand.program.durations import Units
from twohand.report.concise import concise_lines
from twohand.report.drawing.terminal import Terminal
from twohand.report.summary import report_lines
from twohand.scan.concrete import execute
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic import evaluate
from twohand.specification.model.specification import Specification

from tests.support import small_checks
from tests.support.tiers import rows

OPTIONS = replace(small_checks.OPTIONS, another=True)
HEAD = """FUNCTION_BLOCK Lids
VAR_INPUT left, right, foot : BOOL; END_VAR
VAR_OUTPUT ram : BOOL; END_VAR
VAR kept : BOOL; wait : TON; END_VAR
"""
TWO_PLACES = """ram := FALSE;
IF left AND foot THEN ram := TRUE; END_IF;
IF right AND foot THEN
    ram := TRUE;
END_IF;
"""
BOTH = "PROPERTY both : ram -> left AND right;"
LEFT = "HAND left = left; HAND right = right;"


def report_of(
    folder: Path, pool: Pool, body: str, asked: str, options: Options = OPTIONS
) -> Report:
    source = f"{HEAD}{body}\nEND_FUNCTION_BLOCK\n"
    return small_checks.report_of(
        folder, pool, source, f"SCAN T#10ms; OUTPUT ram; {asked}", options
    )


def another_of(folder: Path, pool: Pool, body: str, asked: str) -> AnotherKind:
    (verdict,) = report_of(folder, pool, body, asked).verdicts
    assert verdict.outcome is Outcome.VIOLATED
    assert verdict.another is not None
    return verdict.another


def test_another_place_that_writes_the_output_is_another_kind(tmp_path: Path, pool: Pool) -> None:
    report = report_of(tmp_path, pool, TWO_PLACES, BOTH)
    (verdict,) = report.verdicts
    first, another = verdict.counterexample, verdict.another
    assert first is not None
    assert another is not None
    assert another.run is not None
    lines = {run.records[-1].writers["ram"].line for run in (first, another.run)}
    assert lines == {6, 8}
    assert "ram is set at" in another.words[0]


def test_without_another_place_other_values_are_another_kind(tmp_path: Path, pool: Pool) -> None:
    found = another_of(tmp_path, pool, "ram := left AND kept OR foot; kept := left;", BOTH)
    assert found.run is not None
    assert found.words
    assert "ram is set" not in " ".join(found.words)


def test_what_every_violation_has_in_common_is_proved(tmp_path: Path, pool: Pool) -> None:
    asked = "PROPERTY guarded : ram -> left;"
    found = another_of(tmp_path, pool, "ram := left OR kept; kept := left AND foot;", asked)
    assert (found.run, found.reason) == (None, "")
    assert found.words == ("it is not the first scan", "ram is TRUE", "left becomes FALSE")


@pytest.mark.parametrize(
    ("body", "asked", "word"),
    [
        ("ram := foot;", "PROPERTY soon : left OR right -> ram WITHIN T#30ms;", "left"),
        ("ram := foot;", "PROPERTY upto : left -> NOT ram UNTIL right;", "ram"),
        ("ram := foot;", "PROPERTY first : left -> right BEFORE ram;", "right"),
    ],
)
def test_every_form_of_a_property_can_be_violated_otherwise(
    tmp_path: Path, pool: Pool, body: str, asked: str, word: str
) -> None:
    found = another_of(tmp_path, pool, body, asked)
    assert found.run is not None
    assert word in " ".join(found.words)


def test_a_run_that_begins_at_rest_is_followed_by_one_that_does(tmp_path: Path, pool: Pool) -> None:
    body = "ram := left AND NOT kept OR right AND foot; kept := kept OR left;"
    found = another_of(tmp_path, pool, body, f"{LEFT} {BOTH}")
    assert found.run is not None
    first = found.run.records[0].values
    assert (first["left"], first["right"]) == (False, False)


@pytest.mark.long
def test_what_comes_after_a_violation_is_no_other_kind(tmp_path: Path, pool: Pool) -> None:
    """The output stays on: 'left' is FALSE in later scans as well, but becomes so in the first."""
    asked = "PROPERTY goes_off : ram AND prev(ram) -> left;"
    found = another_of(tmp_path, pool, "ram := ram OR left AND right;", asked)
    assert (found.run, found.reason) == (None, "")
    assert found.words == ("it is not the first scan", "ram is TRUE", "left becomes FALSE")


def test_nothing_is_asked_where_a_finding_can_happen(tmp_path: Path, pool: Pool) -> None:
    head = "VAR n : SINT; END_VAR\n"
    report = report_of(tmp_path, pool, f"{head}n := n + 1; {TWO_PLACES}", BOTH)
    assert report.findings
    assert report.verdicts[0].another is None


def test_nothing_is_asked_unless_it_is_wished(tmp_path: Path, pool: Pool) -> None:
    options = small_checks.OPTIONS
    (verdict,) = report_of(tmp_path, pool, TWO_PLACES, BOTH, options).verdicts
    assert (verdict.outcome, verdict.another) == (Outcome.VIOLATED, None)


def test_reports_and_answers_show_the_other_run(tmp_path: Path, pool: Pool) -> None:
    report = report_of(tmp_path, pool, TWO_PLACES, BOTH)
    shown = " ".join(" ".join(report_lines(report, Terminal(100))).split())
    assert "both: another run violates it otherwise: in the scan that is wrong, ram is set" in shown
    (line,) = [each for each in concise_lines(report, Terminal(100)) if ": another: " in each]
    assert "another run violates it otherwise" in line
    (found,) = checked_spec(report).requirements
    assert found.another is not None
    assert found.another.run is not None
    assert found.another.words
    assert found.another.seen.startswith("both: at")


# --- against enumeration --------------------------------------------------------------------------

SCANS = 4
NAMES = ("left", "right", "foot")


def _random_body(lot: Random) -> str:
    def condition() -> str:
        parts = lot.sample(["left", "right", "foot", "kept", "ram"], 2)
        joined = lot.choice((" AND ", " OR ", " AND NOT "))
        return joined.join(parts)

    lines = [f"ram := {condition()};"]
    lines += [f"IF {condition()} THEN ram := TRUE; END_IF;" for _ in range(lot.choice((0, 1, 2)))]
    lines.append(f"kept := {condition()};")
    return "\n".join(lines)


def _all_runs(program: Program, specification: Specification) -> Iterator[list[ScanRecord]]:
    inputs = [dict(zip(NAMES, values, strict=True)) for values in product((False, True), repeat=3)]
    ten = Units(specification.clocking.shortest)
    for steps in product(inputs, repeat=SCANS):
        run = [(each, ten) for each in steps]
        readings = definite(specification.readings, {})
        yield execute.run(program, specification.clocking, readings, 100, run)


def _ways(records: list[ScanRecord], last: int) -> tuple[object, ...]:
    """The place that wrote the output, and the values; from the executed run alone."""
    now = records[last].values
    before = records[max(last - 1, 0)].values
    values = tuple((now[name], before[name]) for name in ("left", "right", "ram"))
    return records[last].writers["ram"].line, (last == 0, values)


@pytest.mark.parametrize("seed", rows(range(16), lambda seed: seed > 0))
def test_kinds_agree_with_all_runs(seed: int, tmp_path: Path, pool: Pool) -> None:
    """A second kind is shown where some run is wrong otherwise, and none where all runs agree."""
    body = _random_body(Random(seed))
    report = report_of(tmp_path, pool, body, BOTH)
    (verdict,) = report.verdicts
    spec, run = report.specification, verdict.counterexample
    asked = verdict.requirement.property
    ways = set()
    for records in _all_runs(spec.program, spec):
        last = evaluate.refuted_at(asked, records, spec.clocking)
        if last is not None:
            ways.add(_ways(records, last))
    assert bool(ways) == (verdict.outcome is Outcome.VIOLATED)
    if run is None:
        return
    another = verdict.another
    assert another is not None
    first = _ways(list(run.records), len(run.records) - 1)
    assert first in ways
    if another.run is None:
        assert not another.reason
        assert ways == {first}
    else:
        other = _ways(list(another.run.records), len(another.run.records) - 1)
        places = {place for place, _ in ways}
        assert other in ways
        assert other != first
        assert (other[0] != first[0]) == (len(places) > 1)
