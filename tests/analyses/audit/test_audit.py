"""What an audit says: who notices which change, and what is not noticed."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.audit.changes.change import ChangeKind
from twohand.analyses.audit.changes.subject import load_changeable_specs
from twohand.analyses.audit.check import audit
from twohand.analyses.audit.exit_code import audit_code
from twohand.analyses.audit.results import Audit, HowDifferent, Noticing
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome
from twohand.report.exit_code import ExitCode
from twohand.text.diagnostic import InputError

from tests.search.audits import OPEN, compared

OPTIONS = Options(processes=1)
BLOCK = """FUNCTION_BLOCK B
VAR_INPUT a, b : BOOL; END_VAR
VAR_OUTPUT q, lamp : BOOL; END_VAR
VAR t : TON; END_VAR
t(IN := a, PT := T#2ms);
q := t.Q AND b;
lamp := a AND a;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC S
    SOURCE 'b.st';
    SCAN T#1ms;
    OUTPUT q;
{requirements}
END_SPEC
"""
ONLY_A = "    PROPERTY only_a : q -> a;"
ONLY_B = "    PROPERTY only_b : q -> b;"
STARTS = "    REACHABLE starts : q;"


def audited(
    folder: Path, pool: Pool, *requirements: str, block: str = BLOCK, most: int | None = None
) -> Audit:
    (folder / "b.st").write_text(block, encoding="utf-8")
    text = SPEC.format(requirements="\n".join(requirements))
    (folder / "b.spec").write_text(text, encoding="utf-8")
    (subject,) = load_changeable_specs(folder / "b.spec")
    return audit(subject, OPTIONS, lambda *_: None, pool, most)


@pytest.mark.long
def test_an_audit_of_a_small_block_is_what_enumeration_says(tmp_path: Path, pool: Pool) -> None:
    found = audited(tmp_path, pool, ONLY_A, ONLY_B, STARTS)
    counts = compared(found)
    assert counts["noticed"] >= 6
    assert counts["not noticed"] >= 6
    assert counts["the same"] >= 4
    assert counts[OPEN] == 0
    words = {row.change.words: row for row in found.rows}
    dropped = words["'b' is dropped from 't.Q AND b'"]
    assert [each.identifier for each in dropped.noticed_by] == ["only_b"]
    never = words["'t.Q AND b' becomes 'FALSE'"]
    assert [each.identifier for each in never.noticed_by] == ["only_a", "only_b", "starts"]
    assert {cell.outcome for cell in never.cells} == {Outcome.VACUOUS}
    twice = [r for r in found.rows if r.change.words == "'a' is dropped from 'a AND a'"]
    assert [row.standing for row in twice] == [Noticing.SAME]
    worst = [row.difference.severity for row in found.unnoticed if row.difference]
    assert worst == sorted(worst, key=list(HowDifferent).index)
    assert worst[0] is HowDifferent.LETS_ON
    assert worst[-1] is HowDifferent.OTHER
    assert audit_code(found) is ExitCode.VIOLATED
    assert [each.identifier for each in found.needless] == ["starts"]


@pytest.mark.long
def test_with_a_requirement_less_fewer_changes_are_noticed(tmp_path: Path, pool: Pool) -> None:
    block = BLOCK.replace("t.Q AND b", "a AND b").replace("t(IN := a, PT := T#2ms);", "")
    whole = audited(tmp_path, pool, ONLY_A, ONLY_B, STARTS, block=block).share
    less = audited(tmp_path, pool, ONLY_A, STARTS, block=block).share
    assert whole is not None
    assert less is not None
    assert less[0] < whole[0]


@pytest.mark.long
def test_a_finding_that_only_a_change_has_counts_for_no_requirement(
    tmp_path: Path, pool: Pool
) -> None:
    block = """FUNCTION_BLOCK B
VAR_INPUT a : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
VAR n : SINT; END_VAR
IF n < 100 THEN n := n + 1; END_IF;
q := a;
END_FUNCTION_BLOCK
"""
    found = audited(tmp_path, pool, "    PROPERTY follows : q = a;", block=block)
    endless = next(
        row
        for row in found.rows
        if row.change.kind is ChangeKind.CONSTANT and row.change.words == "'n < 100' becomes 'TRUE'"
    )
    assert endless.standing is Noticing.FINDING
    assert endless not in found.counted


def test_what_is_violated_without_a_change_notices_none(tmp_path: Path, pool: Pool) -> None:
    block = BLOCK.replace("t.Q AND b", "b").replace("t(IN := a, PT := T#2ms);", "")
    found = audited(tmp_path, pool, "    PROPERTY never : NOT q;", ONLY_B, block=block, most=3)
    assert found.left == len(found.subject.changes) - 3
    assert [each.identifier for each in found.unable] == ["never"]
    assert {len(row.cells) for row in found.rows} == {1}
    with pytest.raises(InputError) as caught:
        audited(tmp_path, pool, "    PROPERTY never : NOT q;", block=block)
    assert caught.value.diagnostics[0].code == "nothing-proved"


def test_an_audit_without_an_open_change_and_without_any_is_told_apart(
    tmp_path: Path, pool: Pool
) -> None:
    block = """FUNCTION_BLOCK B
VAR_INPUT a : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
q := a;
END_FUNCTION_BLOCK
"""
    found = audited(tmp_path, pool, "    PROPERTY follows : q = a;", block=block)
    assert found.share == (1, 1)
    assert audit_code(found) is ExitCode.ALL_PROVED
    nothing = Audit(found.subject, found.block, (), 0, 0)
    assert nothing.share is None
    assert audit_code(nothing) is ExitCode.UNUSABLE
