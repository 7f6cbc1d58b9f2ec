"""Whether assumptions always leave an input: the scan in which they do not, and who is to blame."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.engine.system.contract import Unknown
from twohand.evidence.checks import input_existence
from twohand.evidence.checks.input_existence import CheckAssumptions, Stuck
from twohand.evidence.encoding import Encoding
from twohand.evidence.proofs.query import Certified

from tests.support.samples.check_samples import logic, specification

BLOCK = logic("q := a;", inputs="a, b : BOOL; n : SINT;")


def checked(folder: Path, *assumptions: str) -> Certified | Stuck | Unknown:
    assumed = " ".join(f"ASSUME {each};" for each in assumptions)
    spec = specification(folder, BLOCK, f"{assumed} PROPERTY p : q = a;")
    return CheckAssumptions(Encoding(spec).problem(), 20.0)()


@pytest.mark.parametrize(
    ("assumptions", "stuck"),
    [
        (("a", "NOT a"), Stuck(0, (0, 1))),
        (("a", "b", "NOT a"), Stuck(0, (0, 2))),
        (("NOT prev(a)",), Stuck(2, (0,))),
        (("b", "NOT prev(a)"), Stuck(2, (1,))),
        (("NOT prev(prev(a)) OR FIRST_SCAN",), Stuck(1, (0,))),
        (("n > 127",), Stuck(0, (0,))),
        (("n > prev(n) OR FIRST_SCAN",), Stuck(1, (0,))),
    ],
)
def test_a_contradiction_is_told_with_its_scans_and_its_assumptions(
    tmp_path: Path, assumptions: tuple[str, ...], stuck: Stuck
) -> None:
    """In the first scan ``prev`` is the value of that scan itself."""
    assert checked(tmp_path, *assumptions) == stuck


@pytest.mark.parametrize(
    "assumptions",
    [
        ("a",),
        ("NOT a", "NOT prev(a)"),
        ("a = prev(b) OR FIRST_SCAN",),
        ("n >= prev(n)",),
        ("n > 126",),
        ("NOT (a AND b)", "a OR b", "NOT (a AND prev(a)) OR FIRST_SCAN"),
    ],
)
def test_assumptions_that_every_past_can_go_on_with_are_proved_to_be_so(
    tmp_path: Path, assumptions: tuple[str, ...]
) -> None:
    found = checked(tmp_path, *assumptions)
    assert isinstance(found, Certified)
    assert found.recheck.accepted


def test_what_is_not_decided_stays_open(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(input_existence, "decided", lambda *_: Unknown("asleep"))
    assert checked(tmp_path, "a = prev(b) OR FIRST_SCAN") == Unknown("asleep")
