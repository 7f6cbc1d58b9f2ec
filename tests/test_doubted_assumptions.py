"""Where assumptions may contradict each other nothing is proved, in no kind of report."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from fault_samples import PAIR_SPEC, analysis

from checker.engine.contract import Unknown
from checker.evidence.assumptions import CheckAssumptions
from checker.evidence.check import Options, open_pool
from checker.evidence.fault_check import check_faults
from checker.evidence.fault_table import Standing

OPTIONS = Options(seconds=20.0, processes=1)


@pytest.mark.skipif(sys.platform != "linux", reason="a spawned worker does not see the change")
@pytest.mark.long
def test_no_requirement_is_proved_under_a_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(CheckAssumptions, "__call__", lambda _: Unknown("too hard"))
    asked = analysis(tmp_path, PAIR_SPEC, "ASSUME guardShut OR prev(guardShut);")
    with open_pool(OPTIONS) as pool:
        table = check_faults(asked, OPTIONS, lambda *_: None, pool, combine=False)
    standings = {cell.standing for row in table.rows for cell in row.cells}
    assert Standing.PROVED not in standings
    assert Standing.UNDECIDED in standings
