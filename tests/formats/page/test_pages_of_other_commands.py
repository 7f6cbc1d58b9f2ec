"""Fault tables, figures, inspections and comparisons: the same page, the same rule of signing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import twohand
from twohand.analyses.compare.record import CompareResult
from twohand.analyses.documents import (
    COMPARISON,
    FAULT_TABLE,
    INSPECTION,
    MEASUREMENT,
    Compared,
    CompareOptions,
    FaultOptions,
    InspectionOptions,
)
from twohand.analyses.faults.record import FaultsResult
from twohand.analyses.faults.table import Standing
from twohand.analyses.inspect.points import InspectionKind, Weight
from twohand.analyses.inspect.record import InspectResult
from twohand.analyses.measure.record import MeasureResult
from twohand.analyses.measure.results import Decision
from twohand.evidence.verdict import Outcome
from twohand.formats.page.command import command_text
from twohand.formats.page.page import page_text
from twohand.formats.page.signature import reasons_against
from twohand.record.document import DocumentKind, EffortLimits, WholeAnswer
from twohand.record.judged import Judged
from twohand.record.message import Message
from twohand.report.exit_code import ExitCode
from twohand.specification.model.fault import Kept
from twohand.text.diagnostic import Severity

from tests.formats.page.pages import MADE, answers, below, read, text_of

BLOCK = """FUNCTION_BLOCK Lid
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR armed : BOOL; END_VAR
armed := armed OR NOT (left OR right);
stroke := left AND right AND armed;
IF stroke THEN armed := TRUE; END_IF;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Lid
    SOURCE 'lid.st';
    SCAN T#10ms;
    HAND l = left;
    HAND r = right;
    OUTPUT stroke;
    ASSUME NOT (left AND NOT left);
    STOPPING MACHINE T#100ms;
    REQUIRE TWO_HAND LOGIC TYPE I;
END_SPEC
"""
OPTIONS = EffortLimits(60.0, 600.0, None)
COMPARE = CompareOptions(60.0, 600.0, None, None, "T#10ms", (), (), False, False)
FAULTS = FaultOptions(60.0, 600.0, None, (), False)
LOOKED_FOR = InspectionOptions(60.0, 600.0, None, None, "T#10ms", (), (), (*InspectionKind,))
SAID = Message("never-set", "said", Severity.WARNING)


def whole(kind: DocumentKind, options: EffortLimits, answer: Judged) -> WholeAnswer:
    return WholeAnswer(kind, options, (), answer, answer.exit_code, (), MADE)


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    folder = tmp_path_factory.mktemp("lid")
    (folder / "lid.st").write_text(BLOCK, encoding="utf-8")
    (folder / "lid.spec").write_text(SPEC, encoding="utf-8")
    dead = BLOCK.replace("IF stroke THEN", "IF stroke AND NOT left THEN")
    (folder / "dead.st").write_text(dead, encoding="utf-8")
    other = BLOCK.replace("AND armed;", "AND (armed OR left);")
    (folder / "other.st").write_text(other, encoding="utf-8")
    with pytest.MonkeyPatch.context() as monkeypatch:
        monkeypatch.chdir(folder)
        yield folder


@pytest.fixture(scope="module")
def faults(files: Path) -> FaultsResult:
    return twohand.faults("lid.spec", processes=1)


@pytest.fixture(scope="module")
def measured(files: Path) -> MeasureResult:
    return twohand.measure("lid.spec", processes=1)


@pytest.fixture(scope="module")
def inspected(files: Path) -> InspectResult:
    return twohand.inspect("dead.st", scan="T#10ms", processes=1)


@pytest.fixture(scope="module")
def differing(files: Path) -> CompareResult:
    return twohand.compare("lid.st", "other.st", scan="T#10ms", processes=1)


@pytest.fixture(scope="module")
def same(files: Path) -> CompareResult:
    return twohand.compare("lid.st", "lid.st", scan="T#10ms", processes=1)


@pytest.mark.long
def test_a_page_of_faults_has_every_word_of_the_table(faults: FaultsResult) -> None:
    (under,) = faults.specs
    found = read(page_text(whole(FAULT_TABLE, FAULTS, faults)))
    tables = {text_of(next(below(each, "caption"))): each for each in below(found, "table")}
    rows = [[text_of(cell) for cell in row] for row in below(tables["Each single fault"], "tr")]
    assert rows[0] == ["Fault", "both_hands", "off after", "noticed"]
    assert rows[1][:2] == ["no fault", "PROVED"]
    titles = [row[0] for row in rows]
    for row in under.single:
        words = {Standing.PROVED: "proved", Standing.LOST_ALLOWED: "allowed"}
        shown = rows[titles.index(row.title)]
        assert shown[1:2] == [words[each.standing] for each in row.answers]
    text = text_of(found)
    assert under.asked in text
    lost = [
        each for row in under.single for each in row.answers if each.run and not each.same_run_as
    ]
    assert lost
    for each in lost:
        assert each.seen in text
    assert "--trace left-stuck-closed both_hands" in text
    assert "faults of contacts, feedback and supply" not in text.partition("Clause")[0]


def test_what_faults_cost_keeps_a_page_from_being_signed(faults: FaultsResult) -> None:
    assert reasons_against(whole(FAULT_TABLE, FAULTS, faults)) == ()
    (under,) = faults.specs

    def reasons(code: ExitCode = ExitCode.ALL_PROVED, **changes: object) -> str:
        answer = replace(faults, specs=(replace(under, **changes),), exit_code=code)
        return "; ".join(reasons_against(whole(FAULT_TABLE, FAULTS, answer)))

    row, *others = under.single
    (answer,) = row.answers
    for standing, said in ((Standing.VIOLATED, "lost"), (Standing.UNDECIDED, "open")):
        changed = replace(row, answers=(replace(answer, standing=standing),))
        expected = f"{said} under a fault: both_hands ({row.name})"
        assert expected in reasons(single=(changed, *others))
        assert expected in reasons(single=(replace(row, ending=(changed,)), *others))
        assert expected in reasons(pairs=(changed,))
    assert "left out without a reason: left-stuck-open" in reasons(excluded=("left-stuck-open",))
    assert "nothing is stated" in reasons(kept=Kept.NOT_STATED)
    unasked = reasons(kept=Kept.KEPT_AND_NOTICED, pairs_asked=False)
    assert "second faults were not asked" in unasked
    assert reasons(code=ExitCode.UNDECIDED)


@pytest.mark.long
def test_a_page_of_figures_has_each_with_its_value_and_the_distances(
    measured: MeasureResult,
) -> None:
    (spec,) = measured.specs
    text = text_of(read(page_text(whole(MEASUREMENT, OPTIONS, measured))))
    assert spec.figures
    for figure in spec.figures:
        assert figure.title in text
        assert figure.decision.value.upper() in text
    assert "0 scans, 0 ms as sampled; truly below 20 ms, not attained" in text
    distances = spec.distances.by_stopping_time
    assert distances
    for distance in distances:
        assert f"{distance.millimetres:g} mm" in text
        assert distance.rule in text
    for caution in spec.distances.cautions:
        assert caution in text


def test_an_open_figure_keeps_a_page_from_being_signed(measured: MeasureResult) -> None:
    assert reasons_against(whole(MEASUREMENT, OPTIONS, measured)) == ()
    (spec,) = measured.specs

    def reasons(decision: Decision, kind: str) -> tuple[str, ...]:
        figures = tuple(
            replace(each, decision=decision) if each.kind.value == kind else each
            for each in spec.figures
        )
        answer = replace(measured, specs=(replace(spec, figures=figures),))
        return reasons_against(whole(MEASUREMENT, OPTIONS, answer))

    assert reasons(Decision.NO_LIMIT, "on-time") == ()
    assert reasons(Decision.UNDECIDED, "on-time") == ("Lid: undecided: on-time",)
    assert reasons(Decision.NO_LIMIT, "reaction") == (
        "Lid: no limit: reaction l",
        "Lid: no limit: reaction r",
    )


def test_a_page_of_an_inspection_has_each_point_and_what_is_clean(
    inspected: InspectResult,
) -> None:
    (block,) = inspected.blocks
    found = read(page_text(whole(INSPECTION, LOOKED_FOR, inspected)))
    text = text_of(found)
    assert block.points
    for point in block.points:
        assert point.sentence in text
        assert point.weight.value.upper() in answers(found)
    for sentence in block.clean:
        assert sentence in text


def test_what_is_wrong_or_guessed_keeps_an_inspection_from_being_signed(
    inspected: InspectResult,
) -> None:
    (block,) = inspected.blocks
    clean = replace(block, points=())
    answer = replace(inspected, blocks=(clean,), exit_code=ExitCode.ALL_PROVED)

    def reasons(**changes: object) -> tuple[str, ...]:
        blocks = (replace(clean, **changes),)
        return reasons_against(whole(INSPECTION, LOOKED_FOR, replace(answer, blocks=blocks)))

    assert reasons() == ()
    for weight, count in ((Weight.FAULT, 1), (Weight.OPEN, 1), (Weight.NOTE, 0)):
        points = tuple(replace(each, weight=weight) for each in block.points[:1])
        assert len(reasons(points=points)) == count
    assert reasons(scan_origin="no --scan, and no task with an INTERVAL") == (
        "Lid: guessed: the scan time (no --scan, and no task with an INTERVAL)",
    )
    unread = replace(answer, unread=(SAID,))
    assert reasons_against(whole(INSPECTION, LOOKED_FOR, unread)) == ("not read: said",)


def test_a_page_of_a_comparison_shows_the_first_difference(differing: CompareResult) -> None:
    compared = Compared(differing.exit_code, differing)
    found = read(page_text(whole(COMPARISON, COMPARE, compared)))
    assert set(answers(found)) == {"DIFFERS"}
    (drawing,) = below(found, "svg")
    assert "Differs at" in text_of(next(below(drawing, "desc")))
    assert "twohand compare lid.st other.st --scan T#10ms --effort 60" in text_of(found).replace(
        '"', ""
    )


@pytest.mark.long
def test_what_differs_or_is_left_out_keeps_a_comparison_from_being_signed(
    same: CompareResult, differing: CompareResult
) -> None:
    def reasons(found: CompareResult | None, code: ExitCode = ExitCode.ALL_PROVED) -> str:
        return "; ".join(reasons_against(whole(COMPARISON, COMPARE, Compared(code, found))))

    (output,) = same.outputs
    assert reasons(same) == ""
    assert reasons(differing) == "differs: stroke"
    assert reasons(None) == "nothing was compared"
    assert "undecided: stroke" in reasons(
        replace(same, outputs=(replace(output, outcome=Outcome.UNDECIDED),))
    )
    assert "undecided" in reasons(replace(same, outputs=(replace(output, reason="cut"),)))
    assert "no scan completes" in reasons(replace(same, outputs=(replace(output, no_scan=True),)))
    assert "without a reason: n" in reasons(replace(same, unlike=("n",)))
    alone = replace(same.first, inputs_alone=("i",))
    assert "without a reason: i" in reasons(replace(same, first=alone))
    assert "open: doubted" in reasons(replace(same, doubt="doubted"))
    assert "guessed" in reasons(replace(same, scan_origin="no --scan, and no task"))


def test_a_page_without_an_answer_says_why() -> None:
    broken = Message("no-such-file", "there is no such file", Severity.ERROR)
    nothing = replace(
        whole(COMPARISON, COMPARE, Compared(ExitCode.UNUSABLE, None)), problems=(broken,)
    )
    text = text_of(read(page_text(nothing)))
    assert "NOT COMPLETE" in text
    assert "there is no such file" in text


def test_the_command_of_a_page_names_what_others_write() -> None:
    options = replace(LOOKED_FOR, free=("hatch", "door"))
    assert "--free hatch,door" in command_text("inspect", ("press.st",), options)
    assert "--free" not in command_text("inspect", ("press.st",), LOOKED_FOR)
