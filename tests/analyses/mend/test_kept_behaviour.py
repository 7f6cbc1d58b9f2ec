"""What a changed block is proved to keep, for as long as a run of the block has broken nothing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from twohand.analyses.mend.kept_behaviour import KeptBehaviour, KeptShowing
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome
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
    PROPERTY only_a : q -> a;
    REACHABLE starts : q;
END_SPEC
"""
BROKEN_BEFORE = "lamp := m; q := {q}; m := m OR q AND NOT a;"


def loaded(folder: Path, body: str, spec: str = SPEC) -> Specification:
    (folder / "b.st").write_text(BLOCK.format(body=body), encoding="utf-8")
    (folder / "b.spec").write_text(spec, encoding="utf-8")
    return load_specification(folder / "b.spec")


def kept(
    folder: Path, body: str, changed: str, pool: Pool, spec: str = SPEC, options: Options = OPTIONS
) -> KeptShowing:
    block = loaded(folder, body, spec)
    return KeptBehaviour(block, options, pool).judged(loaded(folder, changed, spec))


@pytest.mark.parametrize(
    ("body", "changed"),
    [
        ("q := a OR b;", "q := a;"),
        (BROKEN_BEFORE.format(q="a OR b"), BROKEN_BEFORE.format(q="a")),
    ],
)
def test_what_shows_the_same_until_something_is_broken_is_kept(
    body: str, changed: str, tmp_path: Path, pool: Pool
) -> None:
    found = kept(tmp_path, body, changed, pool)
    assert found.outcome is Outcome.PROVED
    assert found.difference is None


def test_what_only_keeps_an_output_off_is_kept_with_a_run_that_shows_it(
    tmp_path: Path, pool: Pool
) -> None:
    found = kept(tmp_path, "q := a OR b;", "q := a AND b;", pool)
    assert found.outcome is Outcome.PROVED
    assert found.difference is not None
    assert found.difference.names == ("q",)
    last = found.difference.run.records[-1].values
    assert (last["block.q"], last["changed.q"]) == (True, False)
    assert last["a"] is True  # the block breaks nothing


def test_what_lets_an_output_on_is_not_kept(tmp_path: Path, pool: Pool) -> None:
    found = kept(tmp_path, "q := a AND b OR b;", "q := a;", pool)
    assert found.outcome is Outcome.VIOLATED
    assert found.lets_on is not None
    last = found.lets_on.scans[-1].inputs
    assert (last["a"], last["b"]) == (True, False)


def test_what_another_value_shows_is_not_kept_where_the_spec_names_no_output(
    tmp_path: Path, pool: Pool
) -> None:
    spec = SPEC.replace("    OUTPUT q;\n", "")
    found = kept(tmp_path, "q := a OR b;", "q := a AND b;", pool, spec)
    assert found.outcome is Outcome.VIOLATED
    assert found.lets_on is None


def test_what_was_not_decided_is_not_kept(tmp_path: Path, pool: Pool) -> None:
    body = "IF a AND n < 90 THEN n := n + 1; END_IF; q := (a OR b) AND n <= 90;"
    found = kept(tmp_path, body, "q := a;", pool, options=replace(OPTIONS, effort=0.0))
    assert found.outcome is Outcome.UNDECIDED


def test_what_has_not_all_that_is_shown_is_not_kept(tmp_path: Path, pool: Pool) -> None:
    block = loaded(tmp_path, "q := a OR b;")
    (tmp_path / "b.st").write_text(
        BLOCK.replace("lamp", "light").format(body="q := a;"), encoding="utf-8"
    )
    other = load_specification(tmp_path / "b.spec")
    assert KeptBehaviour(block, OPTIONS, pool).judged(other).outcome is Outcome.UNDECIDED
