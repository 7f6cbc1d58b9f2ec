"""What a fault table comes to: the exit code, the sentences, and which pairs are asked.

ISO 13849-1, clause 6 (from memory): category 4 wants a single fault noticed at or before the next
demand; where that is not possible, no accumulation of unnoticed faults may cost the function.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from twohand.analyses.faults.cases import FaultAnalysis
from twohand.analyses.faults.check import pairs_to_ask
from twohand.analyses.faults.exit_code import fault_code
from twohand.analyses.faults.record import faults_result
from twohand.analyses.faults.table import Cell, FaultRow, FaultTable, Standing
from twohand.analyses.faults.text import conclusion, fault_lines
from twohand.analyses.faults.words import asked_sentence
from twohand.evidence.verdict import FindingVerdict, Outcome, Verdict
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode
from twohand.scan.finding import Finding, FindingKind
from twohand.specification.model.fault import Fault, FaultKind

from tests.support.samples.fault_samples import PAIR_SPEC, analysis
from tests.support.samples.report_samples import report

TYPE_III = PAIR_SPEC.replace("TYPE II;", "TYPE III, WINDOW T#490ms;")
LETTERS = {"A": "ARRANGEMENT A;", "B": "ARRANGEMENT B;", "C": "ARRANGEMENT C;", "": ""}
OPEN = Fault(FaultKind.STUCK_OPEN, ("leftNO",))
CLOSED = Fault(FaultKind.STUCK_CLOSED, ("leftNO",))
LOST = Fault(FaultKind.SUPPLY_LOST, ("supply",))


def analysed(folder: Path, letter: str) -> FaultAnalysis:
    return analysis(folder, TYPE_III, LETTERS[letter])


def row(
    of: FaultAnalysis,
    *faults: Fault,
    standing: Standing = Standing.PROVED,
    noticed: Outcome | None = Outcome.PROVED,
) -> FaultRow:
    requirement = of.sound.requirements[0]
    found = None if noticed is None else Verdict(requirement, noticed)
    cells = (Cell(requirement, standing, Verdict(requirement, Outcome.PROVED)),)
    return FaultRow(faults, of.sound, cells, found, found, found)


def table(of: FaultAnalysis, *rows: FaultRow, pairs: tuple[FaultRow, ...] = ()) -> FaultTable:
    sound = replace(
        report(),
        specification=of.sound,
        verdicts=tuple(Verdict(r, Outcome.PROVED) for r in of.sound.requirements),
    )
    return FaultTable(of, sound, rows, pairs, bool(pairs))


@pytest.mark.parametrize(
    ("standing", "code"),
    [
        (Standing.PROVED, ExitCode.ALL_PROVED),
        (Standing.VIOLATED, ExitCode.VIOLATED),
        (Standing.UNDECIDED, ExitCode.UNDECIDED),
        (Standing.LOST_ALLOWED, ExitCode.ALL_PROVED),
        (Standing.NOT_AVAILABLE, ExitCode.ALL_PROVED),
    ],
)
def test_the_code_of_single_faults(tmp_path: Path, standing: Standing, code: ExitCode) -> None:
    of = analysed(tmp_path, "B")
    assert fault_code(table(of, row(of, OPEN), row(of, LOST, standing=standing))) is code


@pytest.mark.parametrize(
    ("letter", "code"),
    [("A", ExitCode.ALL_PROVED), ("B", ExitCode.ALL_PROVED), ("C", ExitCode.VIOLATED)],
)
def test_second_faults_count_where_the_letter_asks_for_them(
    tmp_path: Path, letter: str, code: ExitCode
) -> None:
    of = analysed(tmp_path, letter)
    single = row(of, OPEN, noticed=Outcome.VIOLATED)
    pair = row(of, OPEN, LOST, standing=Standing.VIOLATED, noticed=None)
    assert fault_code(table(of, single, pairs=(pair,))) is code


def test_a_fault_that_stays_unnoticed_is_tolerated_where_no_second_one_costs_anything(
    tmp_path: Path,
) -> None:
    of = analysed(tmp_path, "C")
    single = row(of, OPEN, noticed=Outcome.VIOLATED)
    assert fault_code(table(of, single, pairs=(row(of, OPEN, LOST),))) is ExitCode.ALL_PROVED


def test_second_faults_that_are_asked_for_and_left_out_leave_it_undecided(tmp_path: Path) -> None:
    of = analysed(tmp_path, "C")
    left = table(of, row(of, OPEN, noticed=Outcome.VIOLATED))
    assert fault_code(left) is ExitCode.UNDECIDED
    assert "Second faults were left out" in "\n".join(fault_lines(left, Terminal()))
    assert fault_code(table(of, row(of, OPEN))) is ExitCode.ALL_PROVED, "all are noticed"


def test_what_speaks_of_nothing_without_a_fault_is_no_objection(tmp_path: Path) -> None:
    of = analysed(tmp_path, "B")
    found = table(of, row(of, OPEN))
    first, *others = found.sound.verdicts
    for outcome, code in (
        (Outcome.VACUOUS, ExitCode.ALL_PROVED),
        (Outcome.VIOLATED, ExitCode.VIOLATED),
        (Outcome.UNDECIDED, ExitCode.UNDECIDED),
    ):
        verdicts = (replace(first, outcome=outcome), *others)
        assert fault_code(replace(found, sound=replace(found.sound, verdicts=verdicts))) is code


def test_pairs_are_asked_of_what_keeps_all_and_may_stay_unnoticed(tmp_path: Path) -> None:
    of = analysed(tmp_path, "C")
    noticed = row(of, LOST)
    sleeping = row(of, OPEN, noticed=Outcome.VIOLATED)
    open_question = row(of, CLOSED, noticed=Outcome.UNDECIDED)
    assert list(pairs_to_ask([noticed, sleeping, open_question])) == [
        (OPEN, LOST),
        (CLOSED, LOST),
    ], "a contact does not stick both ways"
    unable = replace(sleeping.cells[0], standing=Standing.WITHOUT_FAULT, asks_for_output=True)
    broken = replace(sleeping, cells=(*sleeping.cells, unable))
    assert list(pairs_to_ask([noticed, broken])) == [(OPEN, LOST)], "availability is another thing"
    costly = row(of, CLOSED, standing=Standing.VIOLATED, noticed=Outcome.VIOLATED)
    assert list(pairs_to_ask([noticed, sleeping, costly])) == [(OPEN, LOST)]


@pytest.mark.parametrize(
    ("letter", "words"),
    [
        ("A", "Asked of type III A: a fault may cost the function (as category 1)."),
        ("B", "Asked of type III B: no single fault may cost the function (as category 3)."),
        ("C", "or else no second fault may cost it (as category 4)."),
        ("", "the arrangement (A, B or C) decides what is asked; the spec states none"),
    ],
)
def test_the_report_says_what_is_asked(tmp_path: Path, letter: str, words: str) -> None:
    of = analysed(tmp_path, letter)
    assert words in asked_sentence(table(of, row(of, OPEN)))
    text = " ".join(" ".join(fault_lines(table(of, row(of, OPEN)), Terminal())).split())
    assert "EN 574:1996, Table 1 (secondary source)" in text
    assert "ISO 13849-1, clause 6 (from memory)" in text


def test_the_report_names_what_a_second_fault_costs(tmp_path: Path) -> None:
    of = analysed(tmp_path, "C")
    pair = row(of, OPEN, LOST, standing=Standing.VIOLATED, noticed=None)
    shown = table(of, row(of, OPEN, noticed=Outcome.VIOLATED), pairs=(pair,))
    text = " ".join(" ".join(fault_lines(shown, Terminal())).split())
    assert "1 pair, of which 1 cost something" in text
    assert "leftNO stuck open, then supply lost: both_hands" in text
    assert "1 may stay unnoticed before the next start" in conclusion(shown)


def shown_text(table_: FaultTable) -> str:
    return " ".join(" ".join(fault_lines(table_, Terminal())).split())


def test_control_reliability_is_answered_of_all_faults(tmp_path: Path) -> None:
    """29 CFR 1910.217(b)(13) (from a secondary source): no failure prevents the stop, and it does
    prevent a successive stroke and is detectable."""
    of = analysed(tmp_path, "B")
    lost = row(of, CLOSED, standing=Standing.VIOLATED, noticed=Outcome.VIOLATED)
    open_one = row(of, OPEN, standing=Standing.UNDECIDED, noticed=Outcome.UNDECIDED)
    text = shown_text(table(of, lost, open_one, row(of, LOST)))
    named = "1 of 3: leftNO stuck closed; undecided: leftNO stuck open"
    assert f"a fault prevents the stop (both_hands): {named}" in text
    assert f"a fault allows a further stroke: {named}" in text
    assert f"a fault may stay undetected until the next start: {named}. Arrangement B also" in text
    sound = shown_text(table(of, row(of, OPEN), row(of, LOST)))
    assert "a fault prevents the stop (both_hands): none of 2" in sound
    assert "a fault allows a further stroke: none of 2" in sound
    assert "reasonably practicable" not in sound, "all are noticed"


@pytest.mark.parametrize("standing", [Standing.LOST_ALLOWED, Standing.WITHOUT_FAULT])
def test_a_stop_that_is_lost_is_lost_whether_that_is_allowed_or_not(
    tmp_path: Path, standing: Standing
) -> None:
    text = shown_text(
        table(analysed(tmp_path, "A"), row(analysed(tmp_path, "A"), OPEN, standing=standing))
    )
    assert "a fault prevents the stop (both_hands): 1 of 1: leftNO stuck open" in text


def test_only_what_asks_that_an_output_goes_off_is_a_stop(tmp_path: Path) -> None:
    of = analysed(tmp_path, "B")
    assert [each.identifier for each in of.sound.requirements if each.stops] == ["both_hands"]


def test_a_narrow_terminal_gets_the_table_in_blocks_that_fit(tmp_path: Path) -> None:
    of = analysed(tmp_path, "B")
    lines = fault_lines(table(of, row(of, OPEN), row(of, LOST)), Terminal(width=40, lines=False))
    paths = str(tmp_path)  # may be longer than any terminal is wide
    assert max(len(line) for line in lines if paths not in line) <= 40


def test_an_output_that_is_never_on_and_findings_without_a_fault_are_named(tmp_path: Path) -> None:
    of = analysed(tmp_path, "B")
    asked = table(of, row(of, OPEN))
    finding = Finding(FindingKind.OVERFLOW, of.sound.requirements[0].span)
    found = (FindingVerdict(finding, Outcome.VIOLATED),)
    shown = replace(asked, sound=replace(asked.sound, never_on=("go",), findings=found))
    text = " ".join(" ".join(fault_lines(shown, Terminal())).split())
    assert "NEVER ON output go can never turn on" in text
    assert "FINDING overflow can happen" in text
    (written,) = faults_result([shown]).specs
    assert [each.output for each in written.without_fault.never_on] == ["go"]
    assert len(written.without_fault.findings) == 1
