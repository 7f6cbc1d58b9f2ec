"""An assumption that no requirement needs is warned of; one that a proof rests on is not."""

from __future__ import annotations

from pathlib import Path

import pytest
import z3
from twohand.analyses.check.check import check
from twohand.analyses.check.unused_assumptions import (
    CheckWithout,
    NeedlessAssumptions,
    Proof,
    Refused,
)
from twohand.engine.workers.pool import Pool
from twohand.evidence.context import CheckContext
from twohand.evidence.limits import Options
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.verdict import Outcome, Report
from twohand.scan import serialisation as exchange

from tests.support.samples.check_samples import (
    TWO_HANDS,
    TYPE_THREE,
    UNDECIDABLE_SOON,
    logic,
    specification,
)

OPTIONS = Options(effort=20.0, processes=2)


def warned(report: Report) -> list[str]:
    """The assumptions that are warned of, as written."""
    found = [w for w in report.warnings if w.code == "needless-assumption"]
    return [w.span.text.removeprefix("ASSUME ") for w in found if w.span is not None]


def outcomes(report: Report) -> list[str]:
    return [verdict.outcome.value for verdict in report.verdicts]


@pytest.mark.long
@pytest.mark.parametrize(
    ("body", "statements", "needless"),
    [
        # The second assumption alone excludes the violation.
        ("q := a AND b;", "ASSUME c; ASSUME NOT (a AND b); PROPERTY p : NOT q;", ["c"]),
        ("q := a AND c;", "ASSUME a OR b; PROPERTY p : q -> a;", ["a OR b"]),
        # Either would do: one is kept, the later one is named.
        ("q := a AND b;", "ASSUME NOT a; ASSUME NOT (a AND b); PROPERTY p : NOT q;",
         ["NOT (a AND b)"]),
        # A violation stays one without the assumption, and so does a run that reaches something.
        ("q := a;", "ASSUME NOT b; PROPERTY p : NOT q; REACHABLE r : q;", ["NOT b"]),
        # What is unreachable or vacuous by an assumption needs it.
        ("q := a AND b;", "ASSUME NOT b; REACHABLE r : q;", []),
        ("q := a AND b;", "ASSUME NOT b; PROPERTY p : q -> c;", []),
        # An output that is never on, and a finding that is excluded, count as well.
        ("q := a AND b;", "OUTPUT q; ASSUME NOT b; PROPERTY p : NOT c OR c;", []),
        ("IF c THEN n := 10 / n; END_IF; IF a AND b THEN n := 0; END_IF; q := a;",
         "ASSUME NOT b; PROPERTY p : q -> a;", ["NOT b"]),
        ("IF a AND b THEN n := 5 / n; END_IF; q := a;",
         "ASSUME NOT b; PROPERTY p : q -> a;", []),
        # The past of an assumption is kept where the assumption is left out.
        ("q := a;", "ASSUME NOT (a AND prev(a)) OR FIRST_SCAN; PROPERTY p : q -> a;",
         ["NOT (a AND prev(a)) OR FIRST_SCAN"]),
        ("q := a;", "ASSUME NOT (a AND prev(a)); PROPERTY p : NOT (q AND prev(q));", []),
    ],
)  # fmt: skip
def test_exactly_the_assumptions_that_change_no_verdict_are_named(
    tmp_path: Path, body: str, statements: str, needless: list[str]
) -> None:
    block = logic(body, "a, b, c : BOOL;", "n : INT;")
    assert warned(check(specification(tmp_path, block, statements), OPTIONS)) == needless


@pytest.mark.long
def test_without_the_assumptions_that_are_named_every_verdict_is_the_same(tmp_path: Path) -> None:
    """Of three that overlap, those that are named can go together."""
    assumed = ["NOT a OR NOT b", "NOT (a AND b AND c)", "NOT a OR NOT b OR c"]
    asked = "PROPERTY p : NOT (q AND c); PROPERTY w : NOT q; REACHABLE r : q AND NOT c;"
    block = logic("q := a AND b OR a AND c;", "a, b, c : BOOL;")
    statements = " ".join(f"ASSUME {each};" for each in assumed)
    report = check(specification(tmp_path / "all", block, f"{statements} {asked}"), OPTIONS)
    kept = [each for each in assumed if each not in warned(report)]
    statements = " ".join(f"ASSUME {each};" for each in kept)
    fewer = check(specification(tmp_path / "few", block, f"{statements} {asked}"), OPTIONS)
    assert outcomes(fewer) == outcomes(report)
    assert warned(report)
    assert warned(fewer) == []


@pytest.mark.long
def test_that_contacts_of_one_hand_agree_is_never_warned_of(tmp_path: Path) -> None:
    hands = "HAND left = left, NOT leftOpen; HAND right = right; OUTPUT stroke;"
    block = TYPE_THREE.replace("left, right :", "left, leftOpen, right :")
    statements = f"{hands} ASSUME left OR NOT left; REQUIRE TWO_HAND LOGIC TYPE I;"
    report = check(specification(tmp_path, block, statements), OPTIONS)
    assert len(report.specification.assumptions) == 2
    assert warned(report) == ["left OR NOT left"]


@pytest.mark.long
def test_a_lag_that_an_assumption_narrows_needs_it(tmp_path: Path) -> None:
    """The logic keeps its window of 100 ms by itself; that no lag at all starts is assumed: hands
    come on together, and are let go as they like."""
    statements = (
        f"{TWO_HANDS} ASSUME rose(left) = rose(right);"
        "REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#100ms;"
    )
    report = check(specification(tmp_path, TYPE_THREE, statements), OPTIONS)
    (lag,) = report.lags
    assert (lag.reached, lag.bound) == (0, 0)
    assert warned(report) == []


@pytest.mark.long
def test_nothing_is_said_where_a_requirement_is_undecided(tmp_path: Path) -> None:
    spec = specification(tmp_path, UNDECIDABLE_SOON, "ASSUME a OR b; PROPERTY p : NOT q;")
    report = check(spec, Options(effort=2.0, processes=2))
    assert report.verdicts[0].outcome is Outcome.UNDECIDED
    assert warned(report) == []


@pytest.mark.long
def test_a_proof_that_does_not_carry_over_is_looked_for_anew(tmp_path: Path) -> None:
    """The invariant given here speaks of the assumption, which the requirement does not need."""
    spec = specification(tmp_path, logic("q := a; m := b;", more="m : BOOL;"),
                         "ASSUME NOT b; PROPERTY p : q -> a;")  # fmt: skip
    with Pool(1) as pool:
        case = CheckContext(spec, Dispatcher(pool, 20.0), 20.0)
        number = case.questions.bad(spec.requirements[0].property)
        proof = Proof(case.problem(number), number, _never(case, "m"))
        assert CheckWithout((proof,), ())() == Refused(())
        assert CheckWithout((proof,), (0,))() == Refused((0,))
        needless = NeedlessAssumptions(case, [proof])
        needless.begin()
        case.desk.serve()
    assert [w.code for w in needless.warnings] == ["needless-assumption"]


def _never(case: CheckContext, name: str) -> str:
    """The clause 'this variable is FALSE' as text."""
    (symbol,) = (s.symbol for s in case.questions.system.states if s.name == name)
    return exchange.dump_terms([z3.Not(symbol)])
