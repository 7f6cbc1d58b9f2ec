"""When a requirement notices a change, when that is open, and what is not audited at all."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from twohand.analyses.audit import check as module
from twohand.analyses.audit.changes.subject import load_changeable_specs
from twohand.analyses.audit.check import audit
from twohand.analyses.audit.results import Audit, AuditRow, HowDifferent, Noticing
from twohand.analyses.check.check import check
from twohand.engine.workers.pool import Pool
from twohand.evidence.checks.assumptions import AssumptionCheck
from twohand.evidence.checks.requirement import RequirementCheck
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome, Verdict
from twohand.text.diagnostic import InputError

OPTIONS = Options(processes=1)
BLOCK = """FUNCTION_BLOCK B
VAR_INPUT a, b : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
q := a AND b;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC S
    SOURCE 'b.st';
    SCAN T#1ms;
    ASSUME NOT (a AND b AND prev(a AND b));
    OUTPUT q;
    PROPERTY first : q -> a;
    PROPERTY second : q -> b;
    PROPERTY third : a AND q AND NOT b -> q;
END_SPEC
"""
DROPPED = "'b' is dropped from 'a AND b'"
NEVER = "'a AND b' becomes 'FALSE'"


WITH_CONSTANT = BLOCK.replace("b : BOOL;", "b : BOOL; n : SINT;").replace(
    "VAR_OUTPUT", "VAR CONSTANT LIMIT : SINT := 5; END_VAR VAR_OUTPUT"
)
BELOW = SPEC.replace("NOT (a AND b AND prev(a AND b))", "n < LIMIT AND n > 3")


def audited(folder: Path, pool: Pool, *words: str, block: str = BLOCK, spec: str = SPEC) -> Audit:
    (folder / "b.st").write_text(block, encoding="utf-8")
    (folder / "b.spec").write_text(spec, encoding="utf-8")
    (subject,) = load_changeable_specs(folder / "b.spec")
    few = replace(subject)
    vars(few)["changes"] = [each for each in subject.changes if each.words in words]
    return audit(few, OPTIONS, lambda *_: None, pool)


def marks(row: AuditRow) -> dict[str, tuple[Outcome, bool]]:
    return {cell.requirement.identifier: (cell.outcome, cell.notices) for cell in row.cells}


def test_what_is_violated_or_says_nothing_any_more_notices_a_change(
    tmp_path: Path, pool: Pool
) -> None:
    never, dropped = audited(tmp_path, pool, DROPPED, NEVER).rows
    assert marks(dropped) == {
        "first": (Outcome.PROVED, False),
        "second": (Outcome.VIOLATED, True),
        "third": (Outcome.PROVED, False),
    }
    assert marks(never) == {
        "first": (Outcome.VACUOUS, True),
        "second": (Outcome.VACUOUS, True),
        "third": (Outcome.PROVED, False),  # it said nothing before
    }
    assert {dropped.standing, never.standing} == {Noticing.NOTICED}


def test_what_is_undecided_notices_nothing(
    tmp_path: Path, pool: Pool, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Unanswered(RequirementCheck):
        @property
        def verdict(self) -> Verdict:
            found = super().verdict
            if found.outcome is Outcome.VIOLATED:
                return replace(found, outcome=Outcome.UNDECIDED, reason="no answer")
            return found

    monkeypatch.setattr(module, "RequirementCheck", Unanswered)
    (row,) = audited(tmp_path, pool, DROPPED).rows
    assert marks(row)["second"] == (Outcome.UNDECIDED, False)
    assert row.standing is Noticing.OPEN
    assert row.reason == "no answer"


def test_where_the_assumptions_may_contradict_each_other_nothing_is_audited(
    tmp_path: Path, pool: Pool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        module, "check", lambda *asked: replace(check(*asked), doubt="that was not decided")
    )
    with pytest.raises(InputError) as caught:
        audited(tmp_path, pool, DROPPED)
    (diagnostic,) = caught.value.diagnostics
    assert diagnostic.code == "nothing-proved"
    assert diagnostic.message.startswith("that was not decided; ")


def test_a_change_with_which_the_assumptions_leave_no_input_is_none(
    tmp_path: Path, pool: Pool
) -> None:
    """Else whatever is asked would be proved of it."""
    found = audited(
        tmp_path, pool, "'5' becomes '2'", "'5' becomes '6'", block=WITH_CONSTANT, spec=BELOW
    )
    assert [row.change.words for row in found.rows] == ["'5' becomes '6'"]
    assert found.refused == 1


def test_what_rests_on_assumptions_that_may_contradict_each_other_is_open(
    tmp_path: Path, pool: Pool, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Doubted(AssumptionCheck):
        def begin(self) -> None:
            self.doubt = "no answer"

    monkeypatch.setattr(module, "AssumptionCheck", Doubted)
    (row,) = audited(tmp_path, pool, NEVER).rows
    assert marks(row) == dict.fromkeys(("first", "second", "third"), (Outcome.UNDECIDED, False))
    assert (row.standing, row.reason) == (Noticing.OPEN, "no answer")


def test_a_change_that_takes_the_clock_away_is_asked_like_any_other(
    tmp_path: Path, pool: Pool
) -> None:
    """Its runs have no reading of the clock, those of the block do."""
    clock = "IF NOT a THEN r := TIME(); ELSIF TIME() - r < T#2ms THEN q := FALSE; END_IF;"
    block = BLOCK.replace("q := a AND b;", f"q := a AND b;\n{clock}").replace(
        "VAR_OUTPUT", "VAR r : TIME; END_VAR VAR_OUTPUT"
    )
    spec = SPEC.replace("    ASSUME NOT (a AND b AND prev(a AND b));\n", "").replace(
        "END_SPEC", "    REACHABLE starts : q;\nEND_SPEC"
    )
    removed = "'IF NOT a THEN r := TIME(); ELSIF TIME() - r < T#2ms THEN ...' is removed"
    kept = "'FALSE' becomes 'TRUE'"
    found = audited(tmp_path, pool, removed, kept, block=block, spec=spec)
    rows = {row.change.words: row for row in found.rows}
    assert rows[kept].standing is Noticing.NOTICED
    assert rows[removed].standing is Noticing.UNNOTICED
    difference = rows[removed].difference
    assert difference is not None
    assert difference.severity is HowDifferent.LETS_ON
