"""What is said of a changed block that no requirement notices: the same, or how it differs."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from twohand.analyses.audit.changes.change import BlockChange, ChangeKind
from twohand.analyses.audit.difference import Beside
from twohand.analyses.audit.results import AuditRow, HowDifferent, Noticing
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification

OPTIONS = Options(processes=1, effort=20)
BLOCK = """FUNCTION_BLOCK B
VAR_INPUT a, b : BOOL; END_VAR
VAR_OUTPUT q, lamp : BOOL; END_VAR
VAR m : BOOL; n : SINT; END_VAR
{body}
END_FUNCTION_BLOCK
"""
SPEC = """SPEC S
    SOURCE 'b.st';
    SCAN T#1ms;
    OUTPUT q;
    {asked}
END_SPEC
"""
ANY = "PROPERTY any : q -> a OR b;"
LETS_ON, KEEPS_OFF, OTHER = HowDifferent
STOPS = "IF a THEN n := 4 / n; END_IF;"


def loaded(folder: Path, text: str, asked: str = ANY) -> Specification:
    (folder / "b.st").write_text(text, encoding="utf-8")
    (folder / "b.spec").write_text(SPEC.format(asked=asked), encoding="utf-8")
    return load_specification(folder / "b.spec")


def judged(
    block: Specification,
    changed: Specification,
    pool: Pool,
    standing: Noticing = Noticing.UNNOTICED,
    options: Options = OPTIONS,
) -> AuditRow:
    change = BlockChange(ChangeKind.NEGATED, block.outputs[0].span, "", ())
    desk = Dispatcher(pool, options.effort, options.seconds)
    beside = Beside(block, desk, options, lambda *_: None)
    (row,) = beside.judged([(AuditRow(change, (), standing), changed)])
    return row


@pytest.mark.parametrize(
    ("body", "changed", "asked"),
    [
        ("q := a AND b;", "q := b AND a;", ANY),
        ("m := a; q := b;", "m := NOT a; q := b;", ANY),
        ("q := a;", "q := a OR b;", f"ASSUME NOT b; {ANY}"),
        (f"{STOPS} q := a AND b;", f"{STOPS} q := b AND a;", ANY),
    ],
)
def test_what_differs_in_nothing_that_can_be_seen_is_the_same(
    body: str, changed: str, asked: str, tmp_path: Path, pool: Pool
) -> None:
    texts = (BLOCK.format(body=each) for each in (body, changed))
    block, other = (loaded(tmp_path, text, asked) for text in texts)
    assert judged(block, other, pool).standing is Noticing.SAME
    assert judged(block, other, pool, Noticing.OPEN).standing is Noticing.SAME


@pytest.mark.parametrize(
    ("body", "changed", "asked", "severity", "names"),
    [
        ("q := a AND b;", "q := a;", ANY, LETS_ON, ("q",)),
        ("q := a AND b;", "q := FALSE;", ANY, KEEPS_OFF, ("q",)),
        ("q := a;", "q := b;", ANY, LETS_ON, ("q",)),
        ("q := a; lamp := b;", "q := b; lamp := a;", f"OUTPUT lamp; {ANY}", LETS_ON, None),
        ("q := a;", "q := a; lamp := q;", ANY, OTHER, ("lamp",)),
        ("m := a;", "m := NOT a;", "PROPERTY read : m OR NOT m;", OTHER, ("m",)),
        (
            "m := b; q := a;",
            "m := NOT b; q := a;",
            "PROPERTY r : prev(m) -> m OR a;",
            OTHER,
            ("m",),
        ),
        ("q := a AND b;", f"{STOPS} q := b;", ANY, LETS_ON, None),
    ],
)
def test_what_differs_is_shown_by_a_run_that_ends_with_the_worst_difference(
    body: str,
    changed: str,
    asked: str,
    severity: HowDifferent,
    names: tuple[str, ...] | None,
    tmp_path: Path,
    pool: Pool,
) -> None:
    texts = (BLOCK.format(body=each) for each in (body, changed))
    block, other = (loaded(tmp_path, text, asked) for text in texts)
    row = judged(block, other, pool)
    assert row.standing is Noticing.UNNOTICED
    difference = row.difference
    assert difference is not None
    assert difference.severity is severity
    assert difference.names == names or (names is None and len(difference.names) == 1)
    last = difference.run.records[-1].values
    for name in difference.names:
        before, after = last[f"block.{name}"], last[f"changed.{name}"]
        assert before != after
        assert severity is OTHER or after is (severity is LETS_ON)
    assert judged(block, other, pool, Noticing.OPEN).standing is Noticing.OPEN


@pytest.mark.parametrize("turned", [False, True])
def test_what_is_the_same_up_to_a_finding_in_one_of_the_two_is_told_apart(
    turned: bool, tmp_path: Path, pool: Pool
) -> None:
    texts = [BLOCK.format(body=each) for each in ("q := a;", f"q := a; {STOPS}")]
    block, other = (loaded(tmp_path, text) for text in (reversed(texts) if turned else texts))
    assert judged(block, other, pool).standing is Noticing.FINDING
    assert judged(block, other, pool, Noticing.OPEN).standing is Noticing.OPEN


@pytest.mark.parametrize(
    ("body", "changed"),
    [
        ("IF a AND n < 90 THEN n := n + 1; END_IF; q := a AND n <= 90;", "q := a;"),
        ("q := a AND m; m := a OR m;", "q := m AND a; m := m OR a;"),  # without any finding
    ],
)
def test_what_was_not_decided_is_not_the_same(
    body: str, changed: str, tmp_path: Path, pool: Pool
) -> None:
    texts = (BLOCK.format(body=each) for each in (body, changed))
    block, other = (loaded(tmp_path, text) for text in texts)
    row = judged(block, other, pool, options=replace(OPTIONS, effort=0.0))
    assert row.standing is Noticing.UNSURE
    assert row.reason


@pytest.mark.parametrize(
    ("old", "new"), [("lamp", "light"), ("q, lamp : BOOL", "q : BOOL; lamp : INT")]
)
def test_what_has_not_all_that_is_compared_is_not_the_same(
    old: str, new: str, tmp_path: Path, pool: Pool
) -> None:
    text = BLOCK.format(body="q := a;")
    block, other = loaded(tmp_path, text), loaded(tmp_path, text.replace(old, new))
    row = judged(block, other, pool)
    assert row.standing is Noticing.UNSURE
    assert row.reason
