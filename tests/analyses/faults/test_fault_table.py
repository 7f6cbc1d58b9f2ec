"""The table requirement x fault: what it says of one contact and of two, and of second faults.

Expected values: ISO 13849-1, clause 6 (from memory): a single-channel input may lose the function
by one fault (category 1), two channels keep it (category 3); ISO 13851:2019 with EN 574:1996,
Table 1 (secondary source) says which type asks for which.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.analyses.faults.check import check_faults
from twohand.analyses.faults.exit_code import fault_code
from twohand.analyses.faults.requirements import after_fault
from twohand.analyses.faults.table import FaultRow, FaultTable, Standing
from twohand.evidence.limits import Options, open_pool
from twohand.evidence.verdict import Outcome
from twohand.report.exit_code import ExitCode
from twohand.specification.model.fault import FaultKind

from tests.support.samples.fault_samples import (
    FED_SPEC,
    PAIR_SPEC,
    SINGLE_SPEC,
    WATCHED_SPEC,
    analysis,
)

OWN = "REQUIRE TWO_HAND LOGIC TYPE II;"


Tabled = Callable[..., FaultTable]


@pytest.fixture(scope="module")
def table_of(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Tabled]:
    """Checks a spec under faults; the workers serve all tests."""
    options = Options(processes=1)
    with open_pool(options) as pool:

        def tabled(text: str, more: str = "", combine: bool = True) -> FaultTable:
            analysed = analysis(tmp_path_factory.mktemp("spec"), text, more)
            return check_faults(analysed, options, lambda *_: None, pool, combine)

        yield tabled


def standings(row: FaultRow) -> dict[str, Standing]:
    return {cell.requirement.identifier: cell.standing for cell in row.cells}


@pytest.fixture(scope="module")
def pair(table_of: Tabled) -> FaultTable:
    more = "AVAILABLE WITHIN 0 SCANS WHEN guardShut;"
    return table_of(PAIR_SPEC, more)


@pytest.fixture(scope="module")
def single(table_of: Tabled) -> FaultTable:
    more = "AVAILABLE WITHIN 0 SCANS WHEN guardShut;"
    return table_of(SINGLE_SPEC, more)


@pytest.mark.long
def test_two_contacts_for_each_hand_keep_what_is_required_under_each_single_fault(
    pair: FaultTable,
) -> None:
    """Category 3: no single fault costs the function. Type II asks for it, so the code is 0."""
    assert len(pair.rows) == 19
    assert all(row.keeps for row in pair.rows)
    assert fault_code(pair) is ExitCode.ALL_PROVED
    for row in pair.rows:
        assert row.shows is not None
        assert row.shows.outcome is Outcome.PROVED


@pytest.mark.long
def test_one_contact_for_each_hand_loses_what_is_required_when_it_sticks_closed(
    single: FaultTable,
) -> None:
    """Category 1 at most: a closed contact hides that the hand is off, and so does the line of the
    other hand; an open one and a lost supply only read as a release."""
    lost = {
        row.identifier for row in single.rows if standings(row)["both_hands"] is Standing.VIOLATED
    }
    assert lost == {
        "leftNO-stuck-closed",
        "rightNO-stuck-closed",
        "leftNO-rightNO-short",
        "leftNO-go-output-short",
        "rightNO-go-output-short",
    }
    assert fault_code(single) is ExitCode.VIOLATED
    for row in single.rows:
        if row.identifier not in lost:
            assert row.keeps


def test_a_lost_requirement_has_a_replayed_run(single: FaultTable) -> None:
    row = next(row for row in single.rows if row.faults[0].kind is FaultKind.STUCK_CLOSED)
    cell = next(cell for cell in row.cells if cell.standing is Standing.VIOLATED)
    assert cell.verdict is not None
    run = cell.verdict.counterexample
    assert run is not None
    last = run.records[-1].values
    assert last["go"]
    assert not (last["hand.left"] and last["hand.right"])


def test_a_hand_that_is_no_longer_seen_costs_availability_and_nothing_else(
    single: FaultTable,
) -> None:
    row = next(row for row in single.rows if row.faults[0].kind is FaultKind.STUCK_OPEN)
    found = standings(row)
    assert found.pop("available") is Standing.NOT_AVAILABLE
    assert set(found.values()) == {Standing.PROVED}
    assert row.surely_noticed, "without that hand nothing starts any more"


@pytest.mark.long
def test_what_type_i_may_lose_is_said_to_be_allowed(table_of: Tabled) -> None:
    text = SINGLE_SPEC.replace("TYPE II;", "TYPE I;")
    table = table_of(text)
    found = {standings(row)["both_hands"] for row in table.rows}
    assert found == {Standing.PROVED, Standing.LOST_ALLOWED}
    assert fault_code(table) is ExitCode.ALL_PROVED
    assert not table.combined


@pytest.mark.long
def test_second_faults_that_together_hide_a_release_are_found_and_no_others(
    table_of: Tabled,
) -> None:
    """A release of the left hand is hidden where leftNO reads TRUE (stuck closed, or over the line
    of the other hand or of the output) and leftNC reads FALSE (stuck open); the same on the
    right."""
    text = PAIR_SPEC.replace(OWN, "PROPERTY both : go -> left AND right;")
    table = table_of(text)
    assert table.combined
    lost = {
        frozenset(fault.identifier for fault in row.faults)
        for row in table.pairs
        if standings(row)["both"] is Standing.VIOLATED
    }
    assert lost == {
        frozenset({"leftNO-stuck-closed", "leftNC-stuck-open"}),
        frozenset({"rightNO-stuck-closed", "rightNC-stuck-open"}),
        frozenset({"leftNO-go-output-short", "leftNC-stuck-open"}),
        frozenset({"rightNO-go-output-short", "rightNC-stuck-open"}),
        frozenset({"leftNO-rightNO-short", "leftNC-stuck-open"}),
        frozenset({"leftNO-rightNO-short", "rightNC-stuck-open"}),
    }
    undecided = [row for row in table.pairs if standings(row)["both"] is Standing.UNDECIDED]
    assert not undecided
    firsts = {row.faults[0].identifier for row in table.pairs}
    assert firsts == {row.identifier for row in table.rows if not row.surely_noticed}
    assert len(table.pairs) == sum(19 - 1 - len(same_contact(first)) for first in firsts)


def same_contact(identifier: str) -> list[str]:
    """The fault that cannot be beside this one."""
    return [identifier] if "stuck" in identifier else []


@pytest.mark.long
def test_a_fault_that_never_shows_is_not_noticed(table_of: Tabled) -> None:
    """Two closers of one hand always read the same, so that a short between them changes
    nothing; nor does it before the next start."""
    text = """
SPEC Pair
    SOURCE 'pair.st';
    SCAN T#10ms;
    HAND left = leftNO, rightNO;
    HAND right = NOT leftNC, NOT rightNC;
    OUTPUT go;
    PROPERTY both : go -> left AND right;
END_SPEC
"""
    table = table_of(text, combine=False)
    row = next(row for row in table.rows if row.identifier == "leftNO-rightNO-short")
    assert row.shows is not None
    assert row.stays_off is not None
    assert row.shows.outcome is Outcome.VACUOUS
    assert row.stays_off.outcome is Outcome.PROVED, "nothing follows what never happens"
    assert not row.surely_noticed


@pytest.mark.long
def test_what_is_broken_without_a_fault_is_not_blamed_on_one(table_of: Tabled) -> None:
    table = table_of(SINGLE_SPEC, "PROPERTY never_on : NOT go;", combine=False)
    assert {standings(row)["never_on"] for row in table.rows} == {Standing.WITHOUT_FAULT}
    assert fault_code(table) is ExitCode.VIOLATED


@pytest.mark.long
def test_an_alarm_that_stays_notices_stuck_feedback(table_of: Tabled) -> None:
    """rodHome has to be the opposite of the output one scan before; NOTICE alarm says so."""
    table = table_of(FED_SPEC, "NOTICE alarm;", combine=False)
    rows = {row.identifier: row for row in table.rows}
    assert rows["rodHome-stuck-true"].surely_noticed
    assert rows["rodHome-stuck-false"].surely_noticed
    assert not rows["left-stuck-closed"].surely_noticed


@pytest.mark.long
def test_reachability_is_no_column(table_of: Tabled) -> None:
    table = table_of(SINGLE_SPEC, "REACHABLE can_go : go;", combine=False)
    assert "can_go" not in {requirement.identifier for requirement in table.requirements}


def test_a_fault_shows_only_to_a_controller_that_has_its_supply(tmp_path: Path) -> None:
    """The short between two hands shows where one hand is on alone; what is on without the supply
    nobody reads, so a later start with both at once is no start after the fault has shown."""
    analysed = analysis(tmp_path, WATCHED_SPEC, "POWER CYCLES;")
    (short,) = (f for f in analysed.faults if f.identifier == "leftNO-rightNO-short")
    under = analysed.under(short)
    stays_off = after_fault(under).stays_off
    assert stays_off is not None
    report = check(replace(under, requirements=(stays_off,), lags=()), Options(processes=1))
    assert report.verdicts[0].outcome is Outcome.PROVED
