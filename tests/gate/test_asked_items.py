"""What else a project asks of a spec becomes items that say what its exit code says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from twohand.analyses.check.record import checked_spec
from twohand.analyses.faults.record import FaultAnswer, SpecUnderFaults, UnderFault
from twohand.analyses.faults.table import Standing
from twohand.analyses.inspect.points import InspectionKind, Weight
from twohand.analyses.inspect.record import InspectedBlock, InspectedPoint
from twohand.analyses.measure.figures import FigureKind
from twohand.analyses.measure.record import MeasuredFigure, MeasuredSpec, SafetyDistances
from twohand.analyses.measure.results import Decision
from twohand.evidence.verdict import Outcome
from twohand.formats.items import Item, ItemOutcome
from twohand.gate.asked_items import fault_items, inspection_items, kept, limit_items
from twohand.gate.identifiers import spec_of
from twohand.gate.project.project_file import FigureLimit, NamedPath
from twohand.program.durations import Nanoseconds
from twohand.record.finding import FindingResult
from twohand.record.message import FilePlace
from twohand.report.exit_code import ExitCode
from twohand.scan.finding import FindingKind
from twohand.specification.model.fault import Kept

from tests.support.places import ROOT
from tests.support.samples.report_samples import REQUIRE, proved, report

HOLDS, FAILS, OPEN = ItemOutcome.HOLDS, ItemOutcome.FAILS, ItemOutcome.OPEN
PLACE = FilePlace("press.st", 3, 1)
CHECKED = checked_spec(report(proved()))
FINDING = FindingResult(FindingKind.OVERFLOW, PLACE, Outcome.VIOLATED, "", None, "Press/overflow/x")


def outcomes(items: Sequence[Item]) -> list[ItemOutcome]:
    return [each.outcome for each in items]


# --- faults -------------------------------------------------------------------------------------


def fault(standing: Standing, name: str = "left-stuck", **changes: object) -> UnderFault:
    answer = FaultAnswer(
        "both_hands", standing, False, "", "", None, None, "", f"Press/{name}/both_hands"
    )
    whole = UnderFault(name, name, (), (answer,), None, None, Outcome.PROVED, (), ())
    return replace(whole, **changes)  # type: ignore[arg-type]


def table(code: ExitCode, *single: UnderFault, **changes: object) -> SpecUnderFaults:
    whole = SpecUnderFaults(code, CHECKED, Kept.KEPT, single, (), False, (), (), "II", "", "", "")
    return replace(whole, **changes)  # type: ignore[arg-type]


P, V, U = ExitCode.ALL_PROVED, ExitCode.VIOLATED, ExitCode.UNDECIDED
TWICE = Kept.KEPT_AND_NOTICED
TABLES = [
    (table(P, fault(Standing.PROVED)), [HOLDS]),
    (table(P, fault(Standing.LOST_ALLOWED)), [HOLDS]),
    (table(P, fault(Standing.NOT_AVAILABLE)), [HOLDS]),
    (table(V, fault(Standing.VIOLATED)), [FAILS]),
    (table(U, fault(Standing.UNDECIDED)), [OPEN]),
    (table(V, fault(Standing.PROVED)), [HOLDS, FAILS]),
    (table(U, fault(Standing.PROVED)), [HOLDS, OPEN]),
    (table(V, fault(Standing.UNDECIDED)), [OPEN, FAILS]),
    (
        table(V, fault(Standing.PROVED, ending=(fault(Standing.VIOLATED, "left-for-a-time"),))),
        [HOLDS, FAILS],
    ),
    (table(V, fault(Standing.PROVED, findings=(FINDING,))), [HOLDS, FAILS]),
    (
        table(V, fault(Standing.PROVED), pairs=(fault(Standing.VIOLATED, "two"),), kept=TWICE,
              pairs_asked=True),
        [HOLDS, FAILS],
    ),
    (
        table(P, fault(Standing.PROVED), pairs=(fault(Standing.VIOLATED, "two"),)),
        [HOLDS],
    ),
    (table(U, fault(Standing.PROVED, noticed=Outcome.VIOLATED), kept=TWICE), [HOLDS, OPEN]),
    (table(P), [HOLDS]),
]  # fmt: skip


@pytest.mark.parametrize(("found", "wanted"), TABLES)
def test_a_fault_table_is_said_by_its_items(
    found: SpecUnderFaults, wanted: list[ItemOutcome]
) -> None:
    items = fault_items(found)
    assert outcomes(items) == wanted
    assert {spec_of(each.identifier) for each in items} == {"Press"}
    assert len({each.identifier for each in items}) == len(items)


def test_a_fault_that_ends_has_items_of_its_own() -> None:
    ending = fault(Standing.VIOLATED, "left-for-a-time")
    items = fault_items(table(V, fault(Standing.PROVED, ending=(ending,))))
    failing = [each.identifier for each in items if each.outcome is FAILS]
    assert failing == ["faults:Press/left-for-a-time/both_hands"]


# --- inspections --------------------------------------------------------------------------------


def block(code: ExitCode, *weights: Weight) -> InspectedBlock:
    points = tuple(
        InspectedPoint(
            InspectionKind.UNUSED, each, "it is so", "", PLACE, (), None, None, "", "", f"B/u/{i}"
        )
        for i, each in enumerate(weights)
    )
    return InspectedBlock(code, "B", "press.st", 1, 1, "", (), points, None, (), (), ())


@pytest.mark.parametrize(
    ("found", "wanted"),
    [
        (block(P, Weight.NOTE, Weight.HARMLESS), [HOLDS, HOLDS]),
        (block(V, Weight.FAULT, Weight.NOTE), [FAILS, HOLDS]),
        (block(U, Weight.OPEN), [OPEN]),
        (block(V), [FAILS]),
        (block(U, Weight.NOTE), [HOLDS, OPEN]),
        (block(P), [HOLDS]),
    ],
)
def test_an_inspection_is_said_by_its_items(
    found: InspectedBlock, wanted: list[ItemOutcome]
) -> None:
    items = inspection_items(found, "Press")
    assert outcomes(items) == wanted
    assert {spec_of(each.identifier) for each in items} == {"Press"}


# --- figures ------------------------------------------------------------------------------------

FIGURE = MeasuredFigure(
    kind=FigureKind.REACTION, of="left", decision=Decision.EXACT, least=False, reached=80,
    bound=80, true_bound=100, scans=None, other_reading=None, repeatable_scan=None, run=None,
    certificate=None, reason="", place=PLACE, formula="", events=(), asked="", title="reaction",
    identifier="Press/reaction/left",
)  # fmt: skip
LEAST = replace(FIGURE, least=True, reached=80, bound=80, true_bound=60)
UNKNOWN = replace(FIGURE, decision=Decision.UNDECIDED, bound=None, true_bound=None)


@pytest.mark.parametrize(
    ("figure", "most", "least", "wanted"),
    [
        (FIGURE, 100, None, HOLDS),  # the bound itself is never attained
        (FIGURE, 99, None, OPEN),
        (FIGURE, 80, None, OPEN),
        (FIGURE, 79, None, FAILS),
        (FIGURE, None, 50, OPEN),  # the greatest time says nothing of the least one
        (LEAST, None, 60, HOLDS),
        (LEAST, None, 61, OPEN),
        (LEAST, None, 80, OPEN),
        (LEAST, None, 81, FAILS),
        (LEAST, 500, None, OPEN),
        (UNKNOWN, 1_000, None, OPEN),
        (UNKNOWN, 70, None, FAILS),
        (replace(UNKNOWN, reached=None), 70, None, OPEN),
        (replace(FIGURE, decision=Decision.NO_LIMIT), 1_000, None, FAILS),
        (replace(FIGURE, decision=Decision.NEVER, true_bound=None), 1_000, None, FAILS),
    ],
)
def test_a_limit_is_kept_only_where_that_is_proved_of_the_true_time(
    figure: MeasuredFigure, most: int | None, least: int | None, wanted: ItemOutcome
) -> None:
    outcome, _ = kept(
        figure,
        None if most is None else Nanoseconds(most),
        None if least is None else Nanoseconds(least),
    )
    assert outcome is wanted


@pytest.mark.parametrize(("findings", "wanted"), [((), HOLDS), ((FINDING,), OPEN)])
def test_a_figure_holds_only_until_a_finding_happens(
    findings: tuple[FindingResult, ...], wanted: ItemOutcome
) -> None:
    distances = SafetyDistances(None, (), (), "", None, ())
    measured = MeasuredSpec(P, CHECKED.spec, (FIGURE,), findings, (), distances)
    spec = NamedPath(ROOT / "press.spec", REQUIRE)
    limit = FigureLimit(spec, FIGURE.identifier, Nanoseconds(100), None, REQUIRE)
    (item,) = limit_items(measured, [limit])
    assert item.outcome is wanted
    assert item.identifier == "measure:Press/reaction/left/at-most-100ns"
