"""A whole report: verdicts, findings, lags and warnings, its total and its exit code."""

from __future__ import annotations

from dataclasses import replace

import pytest
from twohand.analyses.check.exit_code import report_code
from twohand.analyses.check.gallery_text import counts, showcase_lines, table_row, unexpected
from twohand.evidence.verdict import FindingVerdict, LagMeasure, Outcome, Report
from twohand.report.cautions import (
    caution_lines,
)
from twohand.report.concise import concise_lines
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode, worst
from twohand.report.summary import lag_sentence, report_lines, specification_lines, total_line
from twohand.scan.clocking import Readings
from twohand.specification.model.specification import Expectation
from twohand.text.diagnostic import Diagnostic, Severity

from tests.support.samples.report_samples import (
    GUARD,
    NORMAL,
    OVERFLOW,
    STROKE_LINE,
    WIDE,
    late_start,
    proved,
    reachable,
    report,
    specification,
    undecided,
    violated,
)

POWER = replace(GUARD, name="power.on")


def test_a_report_has_dead_outputs_findings_lags_and_warnings() -> None:
    found = FindingVerdict(OVERFLOW, Outcome.VIOLATED, late_start())
    warning = Diagnostic(
        "unused", "armed is never read", path="press.st", severity=Severity.WARNING
    )
    whole = report(
        proved(),
        findings=(found,),
        findings_excluded=1,
        never_on=("stroke",),
        lags=(LagMeasure("station", 490, 490, 500),),
        warnings=(warning,),
    )
    text = "\n".join(report_lines(whole, WIDE))
    assert "  NEVER ON     output stroke can never turn on" in text
    assert "  FINDING      overflow can happen at press.st:6" in text
    assert (
        "EXCLUDED no overflow, division by zero, index or loop beyond its bound, duration "
        "below zero, or read before assignment at 1 place" in " ".join(text.split())
    )
    assert "press.st: warning: armed is never read [unused]" in text
    assert "press.st:6:34: overflow: can happen" in text
    assert "▲ here" in text
    assert "  LAG          widest lag that starts: 490 ms as sampled" in text


@pytest.mark.parametrize(
    ("measure", "sentence"),
    [
        (
            LagMeasure("s", 490, 490, 500),
            "widest lag that starts: 490 ms as sampled (replayed), true lags below 500 ms; "
            "proved that no wider one starts",
        ),
        (
            LagMeasure("s", 480, 490, 500),
            "a lag of 480 ms as sampled (replayed) starts; proved that none above 490 ms does, "
            "true lags below 500 ms",
        ),
        (
            LagMeasure("s", 480, None, None),
            "a lag of 480 ms as sampled (replayed) starts; no bound is proved, "
            "a wider one may start",
        ),
        (LagMeasure("s", None, None, None), "no start was seen, and no bound is proved"),
        (
            LagMeasure("s", None, 490, 500),
            "no start was seen; none has a lag above 490 ms (proved)",
        ),
    ],
)
def test_a_lag_says_what_is_replayed_and_what_is_proved(measure: LagMeasure, sentence: str) -> None:
    assert lag_sentence(measure, report()) == sentence


def test_a_brief_report_has_verdict_lines_only() -> None:
    lines = report_lines(report(proved(), violated()), NORMAL, brief=True)
    assert lines == [
        "Press  press.spec",
        "  block Press of press.st; scan 10 ms; time in units of 1 ms; hands left and",
        "  right; output stroke",
        "  PROVED       the output is on only while both hands are on (both_hands)",
        "  VIOLATED     the output starts only if both hands came on within 490 ms",
        "               (start_window); NOT as expected (expected PROVED)",
    ]


def test_details_have_the_clauses_of_the_invariant() -> None:
    text = "\n".join(report_lines(report(proved()), WIDE, details=True))
    assert "                 NOT armed OR age(window) <= 490 ms" in text
    assert "age(window)" not in "\n".join(report_lines(report(proved()), WIDE))


def test_a_report_that_asked_nothing_says_so() -> None:
    assert "  nothing to check: the spec states no requirement" in report_lines(report(), WIDE)


def test_the_heading_says_where_power_cycles() -> None:
    whole = Report(specification(power=POWER), ())
    assert (
        specification_lines(whole.specification, WIDE)[-1].split("; ")[-1].strip() == "power cycles"
    )
    assert "power" not in " ".join(specification_lines(report().specification, WIDE))


def test_concise_lines_have_place_verdict_and_message() -> None:
    found = FindingVerdict(OVERFLOW, Outcome.UNDECIDED)
    whole = report(
        proved(),
        violated(Expectation.VIOLATED),
        undecided(),
        findings=(found,),
        never_on=("stroke",),
    )
    assert concise_lines(whole, WIDE) == [
        "press.spec:4:3: proved: the output is on only while both hands are on (both_hands)",
        "press.spec:4:3: violated: at 510 ms the output started, 500 ms after the first hand; "
        "at most 490 ms is asked (start_window); as expected",
        "press.spec:4:3: undecided: after a missed window nothing starts; stopped by: the time "
        "limit of 60 s for one requirement (window_missed); NOT as expected (expected PROVED)",
        "press.st:6:34: undecided: overflow is not excluded",
        "press.st:3:12: never-on: output stroke can never turn on",
    ]


def test_the_total_counts_outcomes_and_what_was_not_expected() -> None:
    whole = report(proved(), violated(), never_on=("stroke",))
    assert total_line([whole], 1, 1.2) == (
        "1 spec, 2 requirements: 1 PROVED, 1 VIOLATED, 1 output never on, 1 NOT as expected, "
        "1 input that cannot be used, 1.20 s"
    )


POSSIBLE = FindingVerdict(OVERFLOW, Outcome.VIOLATED, late_start())


@pytest.mark.parametrize(
    ("whole", "code"),
    [
        (report(proved()), ExitCode.ALL_PROVED),
        (report(proved(), violated()), ExitCode.VIOLATED),
        (report(proved(), violated(Expectation.VIOLATED)), ExitCode.VIOLATED),
        (report(undecided(), violated()), ExitCode.VIOLATED),
        (report(undecided(), proved()), ExitCode.UNDECIDED),
        (report(replace(proved(), outcome=Outcome.VACUOUS)), ExitCode.VIOLATED),
        (report(reachable(Outcome.VACUOUS)), ExitCode.VIOLATED),
        (report(reachable(Outcome.PROVED)), ExitCode.ALL_PROVED),
        (report(proved(), never_on=("stroke",)), ExitCode.VIOLATED),
        (report(proved(), findings=(POSSIBLE,)), ExitCode.VIOLATED),
        (
            report(proved(), findings=(replace(POSSIBLE, outcome=Outcome.UNDECIDED),)),
            ExitCode.UNDECIDED,
        ),
        (report(), ExitCode.UNUSABLE),
    ],
)
def test_a_report_has_the_code_of_its_worst_part(whole: Report, code: ExitCode) -> None:
    assert report_code(whole) is code


def test_exit_codes_have_their_order_of_weight() -> None:
    order = [130, 4, 2, 1, 3, 0]
    for place_in_order, code in enumerate(order):
        lighter = [ExitCode(other) for other in order[place_in_order:]]
        assert worst(reversed(lighter)) == code
    assert worst([]) == 2


def test_a_gallery_row_says_what_came_out_and_whether_it_was_expected() -> None:
    good = report(proved(), violated(Expectation.VIOLATED), seconds=0.85)
    assert table_row("late_press", good, "a window that never closes", WIDE) == [
        "late_press                          2  1 PROVED, 1 VIOLATED            yes        0.85 s",
        "    a window that never closes",
    ]
    bad = table_row("late_press", report(violated()), "", WIDE)
    assert "NO" in bad[0]
    assert bad[1] == "    not as expected: start_window"


def test_a_finding_is_a_surprise_in_a_spec_that_expects_only_proofs() -> None:
    assert unexpected(report(proved(), findings=(POSSIBLE,))) == ["overflow"]
    assert unexpected(report(proved(), never_on=("stroke",))) == ["stroke never on"]
    expected = violated(Expectation.VIOLATED)
    assert unexpected(report(expected, findings=(POSSIBLE,), never_on=("stroke",))) == []


def test_the_counts_of_a_row_leave_nothing_out() -> None:
    whole = report(proved(), undecided(), findings=(POSSIBLE,), never_on=("stroke",))
    assert counts(whole) == "1 PROVED, 1 UNDECIDED, 1 finding, never on"


def test_the_showcase_is_one_proof_with_clauses_and_one_counterexample() -> None:
    reports = [report(proved(), violated()), report(violated(Expectation.VIOLATED), violated())]
    text = "\n".join(showcase_lines(reports, WIDE))
    assert text.count("one proof in full") == text.count("one counterexample in full") == 1
    assert "NOT armed OR age(window) <= 490 ms" in text
    assert "▲ wrong" in text
    assert showcase_lines([report(undecided())], WIDE) == []


def test_every_line_of_a_report_fits_a_narrow_terminal() -> None:
    whole = report(proved(), violated(), undecided(), lags=(LagMeasure("s", 490, 490, 500),))
    narrow = Terminal(40, lines=False, encoding="ascii")
    lines = report_lines(whole, narrow) + caution_lines([whole.specification], narrow)
    pictures = [line for line in lines if not line.startswith("  6 |")]
    assert max(len(line) for line in pictures) <= 40
    assert "\n".join(lines).isascii()


def test_a_report_without_colour_has_no_escape_sequences() -> None:
    whole = report(proved(), violated(), undecided())
    assert "\x1b" not in "\n".join(report_lines(whole, WIDE))
    assert "\x1b" in "\n".join(report_lines(whole, replace(WIDE, color=True)))


def test_every_open_reading_has_words() -> None:
    from twohand.report.drawing.readings import WORDS

    assert {name for name, _ in WORDS} == set(Readings().open)
    assert len(WORDS) == 2 * len(Readings().open)


def test_the_samples_point_at_the_statement_that_acted() -> None:
    assert STROKE_LINE.line == 6
