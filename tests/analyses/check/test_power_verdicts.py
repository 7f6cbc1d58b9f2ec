"""Whole checks with power cycles: what is proved, what is found, and the run that shows it."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.commands.shared.gallery_files import gallery_folder
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.evidence.runs.known_runs import usual_runs
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.simplify import simplified
from twohand.evidence.runs.trace import Scan, Trace, definite
from twohand.evidence.verdict import Outcome, Report
from twohand.scan.scan_record import ScanRecord
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification

from tests.support.gallery_reports import GalleryReports, gallery_specification

OPTIONS = Options(effort=60.0, processes=1)


def cycled(folder: Path, name: str) -> Specification:
    """A spec of the gallery with POWER CYCLES put in."""
    for file in gallery_folder().glob(f"{name}.*"):
        shutil.copy(file, folder / file.name)
    path = folder / f"{name}.spec"
    text = path.read_text(encoding="utf-8")
    assert "POWER CYCLES" not in text
    path.write_text(text.replace("OUTPUT", "POWER CYCLES;\n    OUTPUT", 1), encoding="utf-8")
    return load_specification(path)


def outcomes(report: Report) -> set[Outcome]:
    return {verdict.outcome for verdict in report.verdicts}


@pytest.mark.long
def test_logic_of_type_three_is_proved_with_power_cycles(tmp_path: Path, pool: Pool) -> None:
    report = check(cycled(tmp_path, "lid_press_type3"), OPTIONS, pool=pool)
    assert len(report.verdicts) == 7
    assert outcomes(report) == {Outcome.PROVED}
    assert report.never_on == ()
    assert all(verdict.certificate is not None for verdict in report.verdicts)


@pytest.mark.long
def test_an_edge_seen_at_the_first_call_is_found_where_power_returns(
    tmp_path: Path, pool: Pool
) -> None:
    (tmp_path / "edges.st").write_text(
        "FUNCTION_BLOCK Edges VAR_INPUT left, right : BOOL; END_VAR "
        "VAR_OUTPUT on : BOOL; END_VAR VAR both : R_TRIG; first : BOOL := TRUE; END_VAR "
        "VAR RETAIN started : BOOL; END_VAR "
        "both(CLK := left AND right); IF both.Q AND (started OR NOT first) THEN on := TRUE; END_IF "
        "IF NOT (left AND right) THEN on := FALSE; END_IF "
        "first := FALSE; started := TRUE; END_FUNCTION_BLOCK"
    )
    text = (
        "SPEC Edges SOURCE 'edges.st'; SCAN T#10ms; OUTPUT on; {} "
        "PROPERTY first_scan : left AND FIRST_SCAN -> NOT on; "
        "PROPERTY dark : on -> prev(on) OR rose(left) OR rose(right); END_SPEC"
    )
    path = tmp_path / "edges.spec"
    path.write_text(text.format(""))
    assert outcomes(check(load_specification(path), OPTIONS, pool=pool)) == {Outcome.PROVED}
    path.write_text(text.format("POWER CYCLES;"))
    first, dark = check(load_specification(path), OPTIONS, pool=pool).verdicts
    assert (first.outcome, dark.outcome) == (Outcome.PROVED, Outcome.VIOLATED)
    assert dark.counterexample is not None
    values = [record.values for record in dark.counterexample.records]
    assert values[-1]["power.on"]
    assert not values[-2]["power.on"]


def test_a_run_is_shown_with_power_wherever_it_can_be(gallery_report: GalleryReports) -> None:
    report = gallery_report("retained_run_bit")
    runs = [v.counterexample for v in report.verdicts if v.counterexample is not None]
    assert len(runs) == 3
    for run in runs:
        power = "".join("1" if record.values["power.on"] else "0" for record in run.records)
        assert power.strip("1").strip("0") == ""
        assert power.startswith("1")
        assert "0" in power


def test_a_loss_of_power_that_does_not_matter_is_not_shown() -> None:
    specification = gallery_specification("retained_run_bit")
    rows = zip("0100110011", "0011111111", strict=True)
    scans = tuple(
        Scan(
            {"power.on": power == "1", "leftPalm": hands == "1", "rightPalm": hands == "1"},
            20,
        )
        for power, hands in rows
    )
    trace = Trace(scans, definite(specification.readings, {}), {})
    replayer = Replayer(specification)

    def loses_power_once(records: Sequence[ScanRecord]) -> bool:
        powered = [bool(record.values["power.on"]) for record in records]
        return not all(powered) and powered[-1]

    found = simplified(trace, replayer, loses_power_once)
    assert [scan.inputs["power.on"] for scan in found.scans].count(False) == 1
    found = simplified(trace, replayer, lambda records: bool(records))
    assert all(scan.inputs["power.on"] for scan in found.scans)


def test_what_hands_usually_do_is_done_under_power(tmp_path: Path) -> None:
    runs = list(usual_runs(cycled(tmp_path, "lid_press_type3")))
    assert runs
    assert all(scan.inputs["power.on"] is True for run in runs for scan in run.scans)
