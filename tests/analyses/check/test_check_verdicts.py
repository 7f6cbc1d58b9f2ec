"""From a specification to its report: each kind of verdict, with its evidence."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.analyses.check.exit_code import report_code
from twohand.engine.system.contract import Unknown
from twohand.engine.workers.pool import Pool, StartMethod
from twohand.evidence.checks.input_existence import CheckAssumptions
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.report.exit_code import ExitCode
from twohand.specification.logic import evaluate
from twohand.text.diagnostic import InputError

from tests.support.samples.check_samples import (
    TWO_HANDS,
    TYPE_THREE,
    UNDECIDABLE_SOON,
    logic,
    outcomes,
    specification,
    type_three,
)

OPTIONS = Options(effort=30.0, processes=2)
METHODS: list[StartMethod] = ["fork", "spawn"] if sys.platform == "linux" else ["spawn"]
NO_WINDOW = TYPE_THREE.replace("window(IN := left OR right", "window(IN := left AND right")


def verdict(report: Report, identifier: str) -> Verdict:
    return next(v for v in report.verdicts if v.requirement.identifier == identifier)


@pytest.mark.long
@pytest.mark.parametrize("method", METHODS)
def test_every_verdict_is_the_same_with_every_start_method(
    tmp_path: Path, method: StartMethod
) -> None:
    statements = f"{TWO_HANDS} REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#100ms;"
    spec = specification(tmp_path, NO_WINDOW, statements)
    report = check(spec, Options(effort=30.0, processes=2, start_method=method))
    assert outcomes(report) == {
        "both_hands": "PROVED",
        "release_both": "PROVED",
        "power_up": "PROVED",
        "start_window": "VIOLATED",
        "window_missed": "VIOLATED",
    }


def test_a_correct_block_is_proved_with_certificates_and_witnesses(tmp_path: Path) -> None:
    report = check(type_three(tmp_path), OPTIONS)
    assert set(outcomes(report).values()) == {"PROVED"}
    assert report.never_on == ()
    assert report.findings == ()
    for each in report.verdicts:
        assert each.certificate is not None
        assert each.witness is not None
        trigger = each.requirement.property.trigger
        assert trigger is not None
        clocking = report.specification.clocking
        assert evaluate.holds(trigger, each.witness.records, clocking)[-1]


@pytest.mark.long
def test_a_violation_writes_values_and_times_as_its_table_does(tmp_path: Path) -> None:
    late = "t(IN := TRUE, PT := T#30s); IF t.Q THEN w := 16#FF; e := t.ET; END_IF;"
    block = logic(late, "a : BOOL;", "t : TON; w : WORD; e : TIME;")
    spec = specification(tmp_path, block, "PROPERTY low : w = 0 AND e = T#0s;", "T#3s")
    (low,) = check(spec, OPTIONS).verdicts
    assert "w becomes 16#FF" in low.seen
    assert "e becomes 30 s" in low.seen
    assert " ms" not in low.seen


@pytest.mark.long
@pytest.mark.parametrize(("scan", "widest"), [("T#10ms", 90), ("T#7ms", 98), ("T#5ms..T#20ms", 99)])
def test_the_widest_lag_is_reached_and_proved(tmp_path: Path, scan: str, widest: int) -> None:
    """'NOT window.Q' with PT = 100 ms accepts lags below 100 ms: whole scans of 10 and 7 ms, or
    any whole number of milliseconds (counted by hand)."""
    spec = type_three(tmp_path, scan=scan)
    (lag,) = check(spec, OPTIONS).lags
    assert (lag.reached, lag.bound) == (widest, widest)
    assert lag.true_bound == widest + spec.clocking.longest


@pytest.mark.long
def test_a_lag_that_only_a_finding_makes_possible_does_not_count(tmp_path: Path) -> None:
    """After the division by zero 'n' may be anything, and any start could follow."""
    block = TYPE_THREE.replace("armed : BOOL;", "armed : BOOL; n, m : INT := 1;").replace(
        "END_FUNCTION_BLOCK",
        "n := 10 / m; IF window.Q THEN m := 0; END_IF;"
        "IF n > 10 AND left AND right THEN stroke := TRUE; END_IF; END_FUNCTION_BLOCK",
    )
    statements = f"{TWO_HANDS} REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#100ms;"
    report = check(specification(tmp_path, block, statements), OPTIONS)
    (lag,) = report.lags
    assert (lag.reached, lag.bound) == (90, 90)
    assert len(report.findings) == 1


@pytest.mark.long
def test_a_lag_beyond_the_window_has_a_run_and_no_bound(tmp_path: Path) -> None:
    statements = f"{TWO_HANDS} REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#100ms;"
    (lag,) = check(specification(tmp_path, NO_WINDOW, statements), OPTIONS).lags
    assert lag.bound is None
    assert lag.true_bound is None
    assert lag.reached is not None
    assert lag.reached > 100


@pytest.mark.long
@pytest.mark.skipif(sys.platform != "linux", reason="the stub reaches a worker by fork only")
def test_a_lag_is_no_bound_where_the_proof_stays_open(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a search happened to see says nothing of wider lags, sampled or true."""
    monkeypatch.setattr("twohand.analyses.check.lag_query.decided", lambda *_: Unknown("no more"))
    options = replace(OPTIONS, processes=1, start_method="fork")
    (lag,) = check(type_three(tmp_path), options).lags
    assert lag.reached is not None
    assert (lag.bound, lag.true_bound) == (None, None)


@pytest.mark.long
def test_a_violation_ends_where_the_requirement_is_refuted(tmp_path: Path) -> None:
    spec = type_three(tmp_path, window=50)
    report = check(spec, OPTIONS)
    found = verdict(report, "start_window")
    assert found.outcome is Outcome.VIOLATED
    run = found.counterexample
    assert run is not None
    refuted = evaluate.refuted_at(found.requirement.property, run.records, spec.clocking)
    assert refuted == len(run.records) - 1
    assert set(run.causes) >= {"stroke"}
    assert "stroke := TRUE" in run.causes["stroke"].text
    assert found.seen.startswith("start_window: at ")
    assert "stroke becomes TRUE" in found.seen
    assert found.seen.endswith("asked: " + found.requirement.sentence)


@pytest.mark.long
def test_inputs_that_do_not_matter_stay_at_rest_in_a_run(tmp_path: Path) -> None:
    block = logic("q := a;", "a, b, c, d : BOOL; n : INT;")
    spec = specification(tmp_path, block, "PROPERTY off : a AND rose(a) -> NOT q;")
    run = verdict(check(spec, OPTIONS), "off").counterexample
    assert run is not None
    assert len(run.records) == 2
    for record in run.records:
        assert [record.values[name] for name in ("b", "c", "d", "n")] == [False] * 3 + [0]


def test_what_can_never_happen_makes_a_requirement_vacuous(tmp_path: Path) -> None:
    spec = specification(tmp_path, logic("q := a AND NOT a;"), "PROPERTY p : q -> b;")
    found = verdict(check(spec, OPTIONS), "p")
    assert found.outcome is Outcome.VACUOUS
    assert found.certificate is not None


def test_an_output_that_is_never_on_is_named(tmp_path: Path) -> None:
    block = """
FUNCTION_BLOCK Outputs
VAR_INPUT a : BOOL; END_VAR
VAR_OUTPUT dead, live : BOOL; END_VAR
live := a; dead := FALSE;
IF a AND NOT live THEN dead := TRUE; END_IF;
END_FUNCTION_BLOCK
"""
    spec = specification(tmp_path, block, "OUTPUT dead, live; PROPERTY p : live -> a;")
    assert check(spec, OPTIONS).never_on == ("dead",)


@pytest.mark.long
def test_an_output_of_which_nothing_is_known_is_warned_of(tmp_path: Path) -> None:
    spec = specification(tmp_path, UNDECIDABLE_SOON, "OUTPUT q; PROPERTY p : q -> n = 18106;")
    report = check(spec, Options(effort=2.0, processes=2))
    assert report.never_on == ()
    (warning,) = report.warnings
    assert warning.code == "output-undecided"
    assert "'q' can turn on" in warning.message
    assert report_code(report) is ExitCode.UNDECIDED


def test_reachable_is_shown_by_a_run_or_proved_impossible(tmp_path: Path) -> None:
    block = logic("IF a AND b THEN q := TRUE; END_IF;")
    spec = specification(
        tmp_path, block, "REACHABLE on : q AND NOT a; REACHABLE off_again : fell(q);"
    )
    report = check(spec, OPTIONS)
    on, off_again = verdict(report, "on"), verdict(report, "off_again")
    assert on.outcome is Outcome.PROVED
    assert on.witness is not None
    assert on.witness.records[-1].values["q"] is True
    assert off_again.outcome is Outcome.VACUOUS
    assert off_again.certificate is not None


def test_assumptions_hold_in_every_run(tmp_path: Path) -> None:
    spec = specification(
        tmp_path,
        logic("q := a AND NOT b;", "a, b, c : BOOL;"),
        "ASSUME NOT a OR c; ASSUME NOT (c AND b); PROPERTY p : NOT q;",
    )
    run = verdict(check(spec, OPTIONS), "p").counterexample
    assert run is not None
    for record in run.records:
        values = record.values
        assert values["c"] or not values["a"]
        assert not (values["c"] and values["b"])


@pytest.mark.long
@pytest.mark.parametrize(
    ("assumptions", "place", "message", "others"),
    [
        (
            "ASSUME a; ASSUME b; ASSUME NOT a;",
            "ASSUME NOT a",
            "these 2 assumptions together leave no possible input in the first scan",
            ["ASSUME a"],
        ),
        (
            "ASSUME NOT prev(a) OR NOT a; ASSUME a OR prev(b);",
            "ASSUME a OR",
            "these 2 assumptions together leave no possible input after 2 scans that they allow",
            ["ASSUME NOT prev(a) OR NOT a"],
        ),
        (
            "ASSUME b; ASSUME n > prev(n) OR FIRST_SCAN; ASSUME a OR b;",
            "ASSUME n >",
            "this assumption leaves no possible input after 1 scan that it allows",
            [],
        ),
        (
            "ASSUME b; ASSUME a AND NOT a;",
            "ASSUME a AND",
            "this assumption leaves no possible input in the first scan",
            [],
        ),
    ],
)
def test_assumptions_that_leave_no_input_are_an_error(
    tmp_path: Path, assumptions: str, place: str, message: str, others: list[str]
) -> None:
    """'prev' is the current value in the first scan. The second pair demands b there; then a
    without b; after that neither a nor NOT a will do. The third runs out of numbers at once if the
    first one is the greatest. Only those that contradict each other are named."""
    block = logic("q := a;", "a, b : BOOL; n : SINT;")
    spec = specification(tmp_path, block, f"{assumptions} PROPERTY p : q -> a;")
    with pytest.raises(InputError) as caught:
        check(spec, OPTIONS)
    (diagnostic,) = caught.value.diagnostics
    assert diagnostic.code == "contradictory-assumptions"
    assert diagnostic.message == message
    assert diagnostic.span is not None
    assert diagnostic.span.text.startswith(place)
    assert [span.text for span, _ in diagnostic.related] == others


@pytest.mark.long
def test_an_undecided_requirement_says_how_far_it_was_looked(tmp_path: Path) -> None:
    spec = specification(tmp_path, UNDECIDABLE_SOON, "PROPERTY p : NOT q;")
    report = check(spec, Options(effort=2.0, processes=2))
    found = verdict(report, "p")
    assert found.outcome is Outcome.UNDECIDED
    assert found.scans > 3
    assert found.reason
    assert found.certificate is None


@pytest.mark.skipif("fork" not in METHODS, reason="a spawned worker does not see the change")
def test_nothing_is_proved_where_the_assumptions_may_contradict_each_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(CheckAssumptions, "__call__", lambda _: Unknown("too hard"))
    statements = (
        "OUTPUT q; ASSUME a OR b; PROPERTY p : q -> a; PROPERTY w : NOT q; REACHABLE r : q;"
    )
    report = check(specification(tmp_path, logic("q := a;"), statements), OPTIONS)
    assert outcomes(report) == {"p": "UNDECIDED", "w": "VIOLATED", "r": "PROVED"}
    assert "too hard" in verdict(report, "p").reason
    assert [warning.code for warning in report.warnings] == ["assumptions-undecided"]


def test_the_reading_that_decides_is_named(tmp_path: Path) -> None:
    """F_TRIG on a first call with CLK FALSE gives an edge or none (IEC 61131-3, table 44)."""
    block = logic("edge(CLK := a); q := edge.Q;", more="edge : F_TRIG;")
    spec = specification(tmp_path, block, "PROPERTY p : q -> fell(a);")
    run = verdict(check(spec, OPTIONS), "p").counterexample
    assert run is not None
    assert run.readings == {"falling_edge_at_first_call": True}
    assert run.reading_decides


@pytest.mark.long
def test_readings_without_effect_on_a_run_are_not_named(tmp_path: Path) -> None:
    block = logic("t(IN := a, PT := T#50ms); q := b;", more="t : TON;")
    spec = specification(tmp_path, block, "PROPERTY p : NOT q;")
    run = verdict(check(spec, OPTIONS), "p").counterexample
    assert run is not None
    assert run.readings == {}
    assert not run.reading_decides


@pytest.mark.long
def test_checks_can_share_a_pool(tmp_path: Path) -> None:
    told: list[tuple[str, int, int]] = []
    with Pool(1) as pool:
        for number in range(2):
            spec = type_three(tmp_path / str(number))
            report = check(spec, OPTIONS, lambda *news: told.append(news), pool)
            assert set(outcomes(report).values()) == {"PROVED"}
    assert [done for _, done, _ in told] == [1, 2, 3, 4, 5] * 2


@pytest.mark.long
@pytest.mark.parametrize("wrap", ["", "INTEGERS WRAP;"])
def test_arithmetic_in_formulas_is_mathematical_however_the_block_s_is(
    tmp_path: Path, wrap: str
) -> None:
    """INT ends at 32767; a formula goes on, the least of INT has its magnitude and its quotient.
    What mathematics alone proves says nothing of the block."""
    block = logic("q := a; m := n;", "a : BOOL; n : INT; u : UINT;", "m : INT;")
    statements = f"""{wrap}
    PROPERTY grows : n + 1 > n;
    PROPERTY small : n + 1 <= 32767;
    PROPERTY magnitude : ABS(n) >= 0;
    PROPERTY opposite : -n <= 32767;
    PROPERTY quotient : n / -1 = -n;
    PROPERTY product : n * n >= 0 OR q;
    PROPERTY below : u - 1 < 0 -> u = 0;
    PROPERTY before : prev(n + 1) <= 32767;
    REACHABLE largest : m * 2 > 32767;
    """
    found = outcomes(check(specification(tmp_path, block, statements), OPTIONS))
    assert found == {
        "grows": "VACUOUS",
        "small": "VIOLATED",
        "magnitude": "VACUOUS",
        "opposite": "VIOLATED",
        "quotient": "VACUOUS",
        "product": "VACUOUS",
        "below": "VACUOUS",
        "before": "VIOLATED",
        "largest": "PROVED",
    }
