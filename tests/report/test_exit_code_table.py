"""What every command answers to the shell, for every combination of what it can find.

The README and each command's help, in their words: 1 where something is violated, vacuous, never
on, or a finding can happen; 3 where something is undecided (a requirement, a finding, whether an
output can be on, whether a trigger can happen, whether the assumptions leave an input); 0 where
everything is proved; the first that applies. So each part of a report has an answer of its own
here, and a whole report the weightiest of its parts'.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from twohand.analyses.check.exit_code import expected_code, report_code
from twohand.analyses.compare.check import ComparisonReport, Stops
from twohand.analyses.compare.text import comparison_code
from twohand.analyses.faults.cases import FaultAnalysis
from twohand.analyses.faults.exit_code import fault_code, traced_code
from twohand.analyses.faults.table import Cell, FaultRow, FaultTable, Standing
from twohand.analyses.inspect.answers import PointAnswer
from twohand.analyses.inspect.check import FoundPoint, Inspection
from twohand.analyses.inspect.points import InspectionKind, Point, Status, Weight
from twohand.analyses.inspect.subject import SourceUnit
from twohand.analyses.inspect.text import inspection_code
from twohand.analyses.inspect.units import UnitAnswer, UnitOutcome, units_code
from twohand.analyses.measure.figures import Figure, figures_of
from twohand.analyses.measure.results import Decision, FigureResult, Measurement, MeasureReport
from twohand.analyses.measure.text import measure_code
from twohand.evidence.verdict import FindingVerdict, Outcome, Report, Vacuity, Verdict
from twohand.report.exit_code import ExitCode, worst
from twohand.scan.finding import Finding, FindingKind
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Expectation
from twohand.text.diagnostic import Diagnostic, Severity

from tests.support.samples.fault_samples import PAIR_SPEC, analysis
from tests.support.samples.report_samples import REQUIRE, STROKE_LINE, report, requirement

PASS, WRONG, UNUSABLE, OPEN = 0, 1, 2, 3


def weightiest(*answers: int) -> int:
    return next(each for each in (WRONG, OPEN, PASS) if each in answers)


def verdict(outcome: Outcome, reason: str = "", expected: str = "PROVED") -> Verdict:
    return Verdict(requirement(expected=Expectation(expected)), outcome, reason=reason)


VERDICTS = (
    (verdict(Outcome.PROVED), PASS),
    (verdict(Outcome.PROVED, "whether it can happen was not decided"), OPEN),
    (verdict(Outcome.UNDECIDED, "the time limit"), OPEN),
    (verdict(Outcome.UNDECIDED, expected="UNDECIDED"), OPEN),
    (verdict(Outcome.VIOLATED), WRONG),
    (verdict(Outcome.VIOLATED, expected="VIOLATED"), WRONG),
    (verdict(Outcome.VACUOUS), WRONG),
    (replace(verdict(Outcome.VACUOUS), vacuity=Vacuity.ANY_BLOCK), WRONG),
    (verdict(Outcome.VACUOUS, expected="VACUOUS"), WRONG),
)
OVERFLOW = Finding(FindingKind.OVERFLOW, STROKE_LINE)
NOTHING = (Outcome.VACUOUS, Vacuity.NEVER_HAPPENS)
FINDINGS: tuple[tuple[tuple[FindingVerdict, ...], int], ...] = (
    ((), PASS),
    ((FindingVerdict(OVERFLOW, Outcome.UNDECIDED),), OPEN),
    ((FindingVerdict(OVERFLOW, Outcome.VIOLATED),), WRONG),
    (
        (FindingVerdict(OVERFLOW, Outcome.UNDECIDED), FindingVerdict(OVERFLOW, Outcome.VIOLATED)),
        WRONG,
    ),
)


def warning(code: str) -> Diagnostic:
    return Diagnostic(code, "so", REQUIRE, severity=Severity.WARNING)


OUTPUTS: tuple[tuple[dict[str, object], int], ...] = (
    ({}, PASS),
    ({"warnings": (warning("reading-decides"),)}, PASS),
    ({"warnings": (warning("hands-undecided"),)}, OPEN),
    ({"warnings": (warning("output-undecided"),)}, OPEN),
    ({"never_on": ("stroke",)}, WRONG),
)
DOUBTS = (("", PASS), ("whether the assumptions always leave a possible input is open", OPEN))


def checked(
    *verdicts: Verdict,
    findings: tuple[FindingVerdict, ...] = (),
    doubt: str = "",
    **output: object,
) -> Report:
    return report(*verdicts, findings=findings, doubt=doubt, **output)


# --- check --------------------------------------------------------------------------------------


def test_a_check_answers_by_the_weightiest_of_all_that_it_found() -> None:
    proved, _ = VERDICTS[0]
    for (one, first), (other, second) in product(VERDICTS, repeat=2):
        for (findings, third), (output, fourth), (doubt, fifth) in product(
            FINDINGS, OUTPUTS, DOUBTS
        ):
            found = checked(proved, one, other, findings=findings, doubt=doubt, **output)
            told = [each.outcome for each in found.verdicts]
            expected = weightiest(first, second, third, fourth, fifth)
            assert report_code(found) == expected, (told, findings, output, doubt)


def test_held_against_expect_what_it_names_passes_and_all_else_counts_as_ever() -> None:
    kinds = [verdict for verdict, _ in VERDICTS]
    for one, wish, (findings, third), (output, fourth), (doubt, fifth) in product(
        kinds, Expectation, FINDINGS, OUTPUTS, DOUBTS
    ):
        asked = replace(one.requirement, expected=wish, stated=True)
        found = checked(replace(one, requirement=asked), findings=findings, doubt=doubt, **output)
        open_one = one.outcome is Outcome.UNDECIDED or (
            one.outcome is Outcome.PROVED and one.reason
        )
        own = OPEN if open_one else PASS
        if one.outcome is not Outcome.UNDECIDED and one.outcome.value != wish.value:
            own = WRONG
        told = (one.outcome, wish, findings, output, doubt)
        assert expected_code(found) == weightiest(own, third, fourth, fifth), told


def test_a_check_of_nothing_is_no_success() -> None:
    assert report_code(checked()) == UNUSABLE
    assert expected_code(checked()) == UNUSABLE
    assert worst([]) == UNUSABLE


def test_of_several_specs_the_weightiest_answer_counts() -> None:
    order = (130, 4, 2, 1, 3, 0)
    for codes in product(order, repeat=3):
        assert worst(map(ExitCode, codes)) == next(code for code in order if code in codes)


# --- faults -------------------------------------------------------------------------------------

TYPE_III = PAIR_SPEC.replace("TYPE II;", "TYPE III, WINDOW T#490ms;")
ASKED = "both_hands"
LETTERS = {"A": "ARRANGEMENT A;", "B": "ARRANGEMENT B;", "C": "ARRANGEMENT C;", "": ""}

STANDINGS = (
    (Standing.PROVED, PASS),
    (Standing.VIOLATED, WRONG),
    (Standing.UNDECIDED, OPEN),
    (Standing.LOST_ALLOWED, PASS),
    (Standing.NOT_AVAILABLE, PASS),
)


@pytest.fixture(scope="module")
def analysed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, FaultAnalysis]:
    folder = tmp_path_factory.mktemp("faults")
    return {letter: analysis(folder, TYPE_III, words) for letter, words in LETTERS.items()}


def row(
    of: FaultAnalysis,
    standing: Standing = Standing.PROVED,
    findings: tuple[FindingVerdict, ...] = (),
    noticed: Outcome | None = Outcome.PROVED,
    faults: int = 1,
) -> FaultRow:
    asked = of.sound.requirements[0]
    seen = None if noticed is None else Verdict(asked, noticed)
    cells = (Cell(asked, Standing.PROVED), Cell(asked, standing))
    return FaultRow(of.faults[:faults], of.sound, cells, noticed=seen, findings=findings)


def sound(of: FaultAnalysis, *verdicts: Verdict, **more: object) -> Report:
    return checked(*verdicts, specification=of.sound, **more)  # type: ignore[arg-type]


@pytest.mark.long
def test_a_fault_table_answers_by_the_weightiest_of_its_words(
    analysed: dict[str, FaultAnalysis],
) -> None:
    """Second faults count where they are asked for: type III C, category 4 (ISO 13849-1, 6)."""
    for letter, of in analysed.items():
        proved = sound(of, verdict(Outcome.PROVED))
        second: list[tuple[tuple[FaultRow, ...], int, bool]]
        second = [((), PASS, False), ((), PASS, True)]
        for (standing, first), (findings, other) in product(STANDINGS, FINDINGS):
            pair = row(of, standing, findings, None, faults=2)
            second.append(((pair,), weightiest(first, other), True))
        for (standing, first), (findings, other), noticed, (pairs, third, asked) in product(
            STANDINGS, FINDINGS, (*Outcome, None), second
        ):
            single = row(of, standing, findings, noticed)
            table = FaultTable(of, proved, (row(of), single), pairs, asked)
            left = OPEN if noticed is not Outcome.PROVED and not asked else PASS
            beside = weightiest(third, left) if letter == "C" else PASS
            expected = weightiest(first, other, beside)
            assert fault_code(table) == expected, (letter, single, pairs, asked)


@pytest.mark.long
def test_a_fault_table_answers_for_the_block_without_a_fault_as_well(
    analysed: dict[str, FaultAnalysis],
) -> None:
    """What is vacuous without a fault may say something under one, and is no objection; what
    every block does never says anything."""
    of = analysed["B"]
    rows = [
        (row(of, standing, findings), weightiest(first, other))
        for (standing, first), (findings, other) in product(STANDINGS, FINDINGS)
    ]
    for (one, first), (findings, second), (output, third), (doubt, fourth), (
        under,
        fifth,
    ) in product(VERDICTS, FINDINGS, OUTPUTS, DOUBTS, rows):
        first = PASS if (one.outcome, one.vacuity) == NOTHING else first
        without = sound(of, one, findings=findings, doubt=doubt, **output)
        expected = weightiest(first, second, third, fourth, fifth)
        table = FaultTable(of, without, (under,))
        assert fault_code(table) == expected, (one.outcome, findings, output, doubt, under)


def test_one_question_under_a_fault_answers_for_itself(
    analysed: dict[str, FaultAnalysis],
) -> None:
    """A may lose the function, B may lose it to two faults, C to none; losing only that the output
    goes on is no failure (ISO 13851:2019 with EN 574:1996, Table 1, secondary source)."""
    lost = {("A", 1): PASS, ("A", 2): PASS, ("B", 1): WRONG, ("B", 2): PASS}
    lost |= {("C", 1): WRONG, ("C", 2): WRONG}
    for (letter, faults), violated in lost.items():
        of = analysed[letter]
        chosen = [each.identifier for each in of.faults if each.identifier.startswith("left")]
        specification = of.with_one_question("+".join(chosen[:: len(chosen) - 1][:faults]), ASKED)
        (asked,) = specification.requirements
        answers = {
            Outcome.PROVED: PASS,
            Outcome.VACUOUS: PASS,
            Outcome.UNDECIDED: OPEN,
            Outcome.VIOLATED: violated,
        }
        for (outcome, first), (findings, second), (doubt, third) in product(
            answers.items(), FINDINGS, DOUBTS
        ):
            found = checked(Verdict(asked, outcome), findings=findings, doubt=doubt)
            found = replace(found, specification=specification)
            expected = weightiest(first, second, third)
            assert traced_code(found, of.kept) == expected, (letter, faults, outcome, findings)


# --- measure, inspect, compare ------------------------------------------------------------------


@pytest.fixture(scope="module")
def figures(tmp_path_factory: pytest.TempPathFactory) -> tuple[Figure, ...]:
    folder = tmp_path_factory.mktemp("figures")
    (folder / "press.st").write_text(
        "FUNCTION_BLOCK Press VAR_INPUT l, r, stop : BOOL; END_VAR VAR_OUTPUT go : BOOL; END_VAR "
        "go := l AND r AND NOT stop; END_FUNCTION_BLOCK",
        encoding="utf-8",
    )
    path = folder / "press.spec"
    path.write_text(
        "SPEC Press SOURCE 'press.st'; SCAN T#10ms; HAND l = l; HAND r = r; OUTPUT go; "
        "REQUIRE TWO_HAND LOGIC TYPE I; STOPPED_BY stop; END_SPEC",
        encoding="utf-8",
    )
    return tuple(figures_of(load_specification(path)))


def test_a_measuring_answers_by_stops_without_limit_findings_and_what_is_open(
    figures: tuple[Figure, ...],
) -> None:
    """A stop must have a limit; a lag or an on-time may have none."""
    seen = set()
    for figure, decision in product(figures, Decision):
        must_end = figure.identifier.startswith(("reaction", "stop"))
        seen.add(must_end)
        first = {
            Decision.EXACT: PASS,
            Decision.NEVER: PASS,
            Decision.UNDECIDED: OPEN,
            Decision.NO_LIMIT: WRONG if must_end else PASS,
        }[decision]
        results = tuple(
            FigureResult(each, Measurement(decision if each is figure else Decision.EXACT))
            for each in figures
        )
        for (findings, second), (doubt, third) in product(FINDINGS, DOUBTS):
            warnings = (warning("assumptions-undecided"),) if doubt else ()
            found = MeasureReport(report().specification, results, findings, warnings)
            expected = weightiest(first, second, third)
            assert measure_code(found) == expected, (figure.identifier, decision, findings)
    assert seen == {False, True}
    assert measure_code(MeasureReport(report().specification, ())) == UNUSABLE


def test_an_inspection_answers_by_faults_and_what_is_open() -> None:
    weights = {Weight.FAULT: WRONG, Weight.OPEN: OPEN, Weight.NOTE: PASS, Weight.HARMLESS: PASS}
    assert set(weights) == set(Weight)
    points = {
        weight: FoundPoint(
            Point(InspectionKind.UNUSED, weight, "so", REQUIRE),
            PointAnswer(Status.NEVER),
            report().specification,
        )
        for weight in weights
    }
    subject: object = None
    for size in range(3):
        for chosen, (doubt, last) in product(product(weights, repeat=size), DOUBTS):
            found = tuple(points[weight] for weight in chosen)
            told = ["needless-assumption", *(["assumptions-undecided"] if doubt else [])]
            warnings = tuple(map(warning, told))
            inspection = Inspection(subject, found, tuple(InspectionKind), warnings=warnings)  # type: ignore[arg-type]
            expected = weightiest(PASS, last, *(weights[weight] for weight in chosen))
            assert inspection_code(inspection) == expected, (chosen, doubt)


def test_a_folder_answers_by_its_units_and_a_refused_one_is_open_unless_it_was_named() -> None:
    def inspected(weight: Weight | None) -> Inspection:
        point = Point(InspectionKind.UNUSED, weight or Weight.NOTE, "so", REQUIRE)
        found = FoundPoint(point, PointAnswer(Status.NEVER), report().specification)
        return Inspection(None, (found,), tuple(InspectionKind))  # type: ignore[arg-type]

    unit = SourceUnit("Press", "FUNCTION_BLOCK", "press.st")
    rows = [
        (UnitOutcome(unit, inspected(None)), PASS),
        (UnitOutcome(unit, inspected(Weight.OPEN)), OPEN),
        (UnitOutcome(unit, inspected(Weight.FAULT)), WRONG),
        (UnitOutcome(unit, None, (warning("unsupported-pointer"),)), OPEN),
        (UnitOutcome(unit), PASS),
    ]
    assert {each.answer for each, _ in rows} == set(UnitAnswer)
    for size in range(4):
        for chosen in product(rows, repeat=size):
            outcomes = [outcome for outcome, _ in chosen]
            codes = [code for _, code in chosen]
            usable = any(each.inspection for each in outcomes)
            expected = weightiest(*codes) if usable else UNUSABLE
            assert units_code(outcomes) == expected, [each.answer for each in outcomes]
            named = [replace(each, named=True) for each in outcomes]
            refused = any(each.answer is UnitAnswer.REFUSED for each in outcomes)
            assert units_code(named) == (UNUSABLE if refused else expected)


def test_a_comparison_answers_by_differences_and_what_is_open() -> None:
    """An output that never changes is the same in both; so is a finding that both have."""
    same = (Outcome.PROVED, Outcome.VACUOUS)
    answers = dict.fromkeys(same, PASS)
    answers |= {Outcome.UNDECIDED: OPEN, Outcome.VIOLATED: WRONG}
    stops: list[tuple[Stops | None, int]] = [(None, PASS)]
    stops += [
        (Stops(outcome), answers[outcome]) for outcome in Outcome if outcome is not Outcome.VACUOUS
    ]
    for (one, first), (other, second), (stop, third) in product(
        answers.items(), answers.items(), stops
    ):
        both_have = () if stop is None else FINDINGS[2][0]
        found = report(verdict(one, "unsure"), verdict(other), findings=both_have)
        compared = ComparisonReport(None, found, stop)  # type: ignore[arg-type]
        expected = weightiest(first, second, third)
        assert comparison_code(compared) == expected, (one, other, stop)
    assert comparison_code(ComparisonReport(None, report())) == UNUSABLE  # type: ignore[arg-type]
