"""What a verdict rests on stands beside it."""

from __future__ import annotations

from dataclasses import replace

from twohand.analyses.check.gallery_text import table_row
from twohand.evidence.verdict import FindingVerdict, Outcome, Verdict
from twohand.report.summary import report_lines, total_line
from twohand.report.verdict_line import verdict_lines
from twohand.specification.model.specification import Expectation

from tests.support.samples.report_samples import (
    CERTIFICATE,
    NORMAL,
    OVERFLOW,
    WIDE,
    late_start,
    proved,
    reachable,
    report,
    specification,
    undecided,
    violated,
)


def lines_of(verdict: Verdict, **changes: object) -> list[str]:
    return verdict_lines(verdict, report(verdict, **changes), NORMAL)


def text_of(verdict: Verdict, **changes: object) -> str:
    return " ".join(" ".join(lines_of(verdict, **changes)).split())


def test_a_proof_that_needs_no_invariant_has_no_heading_for_one() -> None:
    needless = replace(CERTIFICATE, clauses=())
    for certificate, headed in ((CERTIFICATE, True), (needless, False)):
        found = report(proved(certificate=certificate))
        shown = "\n".join(report_lines(found, WIDE, details=True))
        assert ("invariant, in every scan:" in shown) is headed


def test_a_proof_names_its_method_and_who_accepted_it() -> None:
    assert lines_of(proved()) == [
        "  PROVED       the output is on only while both hands are on (both_hands)",
        "               for all time: invariant of 2 clauses found by clauses over clock",
        "               predicates, accepted by cvc5 1.4.2 (0.15 s)",
    ]


def test_a_violation_that_was_not_expected_says_what_was() -> None:
    assert lines_of(violated()) == [
        "  VIOLATED     the output starts only if both hands came on within 490 ms",
        "               (start_window); NOT as expected (expected PROVED)",
        "               at 510 ms the output started, 500 ms after the first hand; at",
        "               most 490 ms is asked (0.02 s)",
    ]


def test_a_violation_of_which_no_expect_speaks_says_nothing_of_what_was_expected() -> None:
    verdict = violated()
    silent = replace(verdict, requirement=replace(verdict.requirement, stated=False))
    assert "expected" not in text_of(silent)
    assert "NOT as expected" not in total_line([report(silent)], 0, 1.0)
    assert "NOT as expected" in total_line([report(verdict)], 0, 1.0)


def test_what_is_reached_or_not_is_counted_by_its_own_word() -> None:
    found = report(*(reachable(each) for each in (Outcome.PROVED, Outcome.VACUOUS)), proved())
    assert "1 PROVED, 1 REACHABLE, 1 UNREACHABLE, " in total_line([found], 0, 1.0)
    (row, *_) = table_row("block", found, "", WIDE)
    assert "1 PROVED, 1 REACHABLE" in row


def test_an_expected_violation_says_so() -> None:
    assert "(start_window); as expected" in text_of(violated(Expectation.VIOLATED))


def test_a_proof_that_was_not_expected_says_so() -> None:
    verdict = proved()
    asked = replace(verdict.requirement, expected=Expectation.VIOLATED)
    text = text_of(replace(verdict, requirement=asked))
    assert "NOT as expected (expected VIOLATED)" in text


def test_an_undecided_verdict_says_how_far_what_stopped_it_and_what_to_try() -> None:
    assert lines_of(undecided())[2:] == [
        "               no violation in any run of up to 7 events nor in the first 40",
        "               scans (400 ms), and no proof",
        "               stopped by: the time limit of 60 s for one requirement",
        "               try more effort (--effort), more memory (--memory) or the",
        "               readings of your platform (READING in the spec)",
    ]


def test_an_undecided_verdict_without_any_depth_says_that() -> None:
    verdict = replace(undecided(), events=0, scans=0)
    assert "no violation found, no depth completed" in text_of(verdict)


def test_a_scan_range_bounds_the_time_that_was_searched() -> None:
    text = text_of(undecided(), specification=specification(5, 20))
    assert "the first 40 scans (200 ms to 800 ms)" in text
    assert "one fixed SCAN time" in text


def test_a_vacuous_verdict_says_that_it_says_nothing() -> None:
    text = text_of(replace(proved(), outcome=Outcome.VACUOUS))
    assert "VACUOUS" in text
    assert "says nothing: what it speaks of can never happen" in text


def test_a_reachable_requirement_has_words_of_its_own() -> None:
    assert text_of(reachable(Outcome.PROVED)) == (
        "REACHABLE the output can turn on (can_run) a replayed run reaches it in 52 scans"
    )
    assert "UNREACHABLE the output can turn on" in text_of(reachable(Outcome.VACUOUS))


def test_a_proof_beside_a_possible_finding_holds_only_until_then() -> None:
    found = FindingVerdict(OVERFLOW, Outcome.VIOLATED, late_start())
    text = text_of(proved(), findings=(found,))
    assert "only until one of the findings below happens" in text
    assert "only until" not in text_of(proved())


def test_the_reading_that_decides_stands_at_the_verdict() -> None:
    run = replace(late_start(), readings={"preset_latched": False}, reading_decides=True)
    text = text_of(violated(counterexample=run))
    assert "only where a timer reads PT at every call; proved under another reading" in text
