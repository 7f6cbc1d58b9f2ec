"""``python -m tests.outside`` fails where its tool is missing or says anything unexpected."""

from __future__ import annotations

import sys
from itertools import islice
from pathlib import Path

import pytest

from tests.outside import third_solver
from tests.outside.__main__ import Tool, holds


@pytest.mark.parametrize(
    ("count", "wrong", "passes"), [(3, [], True), (3, ["a: sat"], False), (0, [], False)]
)
def test_only_a_comparison_of_something_without_a_difference_passes(
    count: int, wrong: list[str], passes: bool
) -> None:
    tool = Tool(Path(sys.executable).name, "", "proofs", lambda _: (count, wrong))
    assert holds("sample", tool) is passes


def test_a_tool_that_is_missing_is_no_pass(capsys: pytest.CaptureFixture[str]) -> None:
    tool = Tool("a-command-that-nobody-has", "a package", "proofs", lambda _: (1, []))
    assert not holds("sample", tool)
    assert "--without sample" in capsys.readouterr().out


@pytest.mark.parametrize("said", ["unsat", "sat", "unknown", ""])
def test_a_solver_that_always_says_the_same_is_noticed(
    said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    few = third_solver.questions
    monkeypatch.setattr(third_solver, "questions", lambda folder: islice(few(folder), 2))
    monkeypatch.setattr(third_solver, "answer_of", lambda *_: said)
    proofs, wrong = third_solver.compared("")
    assert proofs == 2
    assert len(wrong) >= 2
