"""What holds whatever the block does says nothing of the block, and is not counted as proved."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any

import pytest
from twohand.analyses.check.check import check
from twohand.analyses.check.exit_code import report_code
from twohand.engine.portfolio import decide
from twohand.engine.system.contract import Proved, Violated
from twohand.evidence.limits import Options
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.verdict import Vacuity
from twohand.report.exit_code import ExitCode
from twohand.scan.clocking import Readings
from twohand.scan.scan_record import ScanRecord
from twohand.scan.symbolic.encode import encode, encode_any
from twohand.specification.logic.evaluate import refuted_at
from twohand.specification.logic.monitor import Monitors

from tests.support.randomness.formulas import CLOCKINGS, OLDER, PROGRAM, FormulaSource, random_trace
from tests.support.samples.check_samples import logic, outcomes, specification
from tests.support.tiers import nightly

OPTIONS = Options(effort=20.0, processes=1)
BLOCK = logic(
    "t(IN := a, PT := T#50ms); q := t.Q AND b; n := 3;", more="t : TON; n : INT; s : INT(0..3);"
)
SAYING_NOTHING = """
    PROPERTY implied : q -> TRUE;
    PROPERTY either : q OR NOT q;
    PROPERTY answered : q -> a OR NOT a WITHIN T#10ms;
    PROPERTY longer : held(q, T#50ms) -> once(q, 3 SCANS);
    PROPERTY forever : q -> q UNTIL NOT q;
    PROPERTY typed : s <= 3;
    PROPERTY inputs : NOT (a AND NOT b);
    PROPERTY by_inputs : rose(b) -> NOT a;
"""
SAYING_SOMETHING = """
    PROPERTY started : q -> b;
    PROPERTY constant : n >= 0 AND s = 0;
    PROPERTY pins : t.ET <= T#50ms OR NOT q;
    PROPERTY wider : q -> t.Q OR NOT t.IN;
"""


@pytest.mark.long
@pytest.mark.parametrize("scan", ["T#10ms", "T#5ms..T#20ms"])
def test_what_every_block_does_is_no_proof_of_this_one(tmp_path: Path, scan: str) -> None:
    """What follows from the assumptions alone is among it; what is asked of a variable that the
    block happens never to write is not."""
    assumed = "ASSUME NOT a OR b; ASSUME NOT a OR prev(b);"
    statements = f"{assumed}{SAYING_NOTHING}{SAYING_SOMETHING}"
    report = check(specification(tmp_path, BLOCK, statements, scan), OPTIONS)
    nothing = {v.requirement.identifier for v in report.verdicts if v.vacuity is Vacuity.ANY_BLOCK}
    assert nothing == {
        *("implied", "either", "answered", "longer", "forever", "typed", "inputs", "by_inputs")
    }
    found = outcomes(report)
    assert {found[name] for name in nothing} == {"VACUOUS"}
    assert {found[name] for name in set(found) - nothing} == {"PROVED"}
    assert all(verdict.certificate is not None for verdict in report.verdicts)
    assert report_code(report) is ExitCode.VIOLATED


@pytest.mark.long
def test_what_can_never_happen_is_said_rather_than_that_every_block_does_it(tmp_path: Path) -> None:
    statements = "ASSUME NOT (a AND b); PROPERTY p : a AND b -> q;"
    (verdict,) = check(specification(tmp_path, BLOCK, statements), OPTIONS).verdicts
    assert verdict.outcome.value == "VACUOUS"
    assert verdict.vacuity is Vacuity.NEVER_HAPPENS


@pytest.mark.long
def test_where_it_is_not_decided_nothing_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("twohand.evidence.checks.any_block._EFFORT", 0.0)
    statements = "PROPERTY p : q -> once(q, T#100ms) AND a;"
    (verdict,) = check(specification(tmp_path, BLOCK, statements), OPTIONS).verdicts
    assert verdict.outcome.value == "PROVED"


@pytest.mark.long
def test_a_known_run_that_breaks_an_assumption_when_it_goes_on_refutes_nothing(
    tmp_path: Path,
) -> None:
    """The known run to 'a' ends there; 'a' in the next scan is what the assumption excludes."""
    assumed = "ASSUME NOT (a AND prev(a)) OR FIRST_SCAN;"
    statements = f"{assumed} PROPERTY p : a AND NOT FIRST_SCAN -> NOT prev(a);"
    (verdict,) = check(specification(tmp_path, BLOCK, statements), OPTIONS).verdicts
    assert verdict.vacuity is Vacuity.ANY_BLOCK


@pytest.mark.long
def test_what_a_known_run_refutes_with_other_values_is_not_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    names: list[str] = []
    decide = Dispatcher.decide

    def noted(self: Dispatcher, name: str, *rest: Any, **options: Any) -> None:
        names.append(name)
        decide(self, name, *rest, **options)

    monkeypatch.setattr(Dispatcher, "decide", noted)
    statements = """HAND left = a; HAND right = b; OUTPUT q; REQUIRE TWO_HAND LOGIC TYPE I;
        PROPERTY mute : NOT a -> NOT q; PROPERTY any : q -> TRUE;"""
    report = check(specification(tmp_path, logic("q := a AND b;"), statements), OPTIONS)
    assert outcomes(report) == {"both_hands": "PROVED", "mute": "PROVED", "any": "VACUOUS"}
    assert [name for name in names if name.endswith("of any block")] == ["any of any block"]


def by_any_values(seed: int) -> bool:
    """Whether a random property is proved of whatever has the variables. A run that refutes it
    does so by the evaluator; what is proved is refuted by no run at random."""
    random, clocking = Random(seed), CLOCKINGS[seed % len(CLOCKINGS)]
    asked = FormulaSource(random).property(random.randint(1, 2))
    monitors = Monitors(encode_any(PROGRAM, clocking, Readings()))
    term = monitors.bad(asked)
    answer = decide(monitors.system, term, 20.0)
    if isinstance(answer, Violated):
        records, time = [], 0
        for number, step in enumerate(answer.steps):
            elapsed = step.elapsed * monitors.system.tick
            time += elapsed if number else 0
            values = {variable.name: variable.initial for variable in PROGRAM.variables}
            sampled = {**values, **step.inputs}
            records.append(ScanRecord(time, elapsed, sampled, older=OLDER))
        assert refuted_at(asked, records, clocking) == len(records) - 1
        return False
    assert isinstance(answer, Proved)
    for _ in range(30):
        trace = random_trace(random, clocking, random.randint(1, 8))
        assert refuted_at(asked, trace, clocking) is None
    return True


@pytest.mark.parametrize("many", [12, pytest.param(100, marks=pytest.mark.long), nightly(300)])
def test_random_properties_hold_of_any_block_or_have_a_run_that_refutes_them(many: int) -> None:
    held = sum(by_any_values(seed) for seed in range(many))
    assert many > held >= many // 20


def test_any_block_has_the_times_and_types_of_the_one_that_is_checked(tmp_path: Path) -> None:
    spec = specification(tmp_path, BLOCK, "PROPERTY p : q;", "T#5ms..T#20ms")
    own = encode(spec.program, spec.clocking, spec.readings).system
    free = encode_any(spec.program, spec.clocking, spec.readings).system
    assert (free.shortest, free.longest, free.tick) == (own.shortest, own.longest, own.tick)
    assert (free.states, free.findings, free.constraints) == ((), (), ())
    assert {symbol.decl().name() for symbol in free.inputs} == set(own.signals)
    assert {"s >= 0", "s <= 3"} <= {str(term) for term in free.ranges}
