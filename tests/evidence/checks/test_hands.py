"""Each two hands of a spec can differ, or the spec is refused: else they are one hand."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.analyses.check.exit_code import report_code
from twohand.engine.system.contract import Unknown
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.limits import Options
from twohand.evidence.proofs.query import Query, QueryResult
from twohand.report.exit_code import ExitCode
from twohand.text.diagnostic import Diagnostic, InputError

from tests.support.samples.check_samples import logic, specification

OPTIONS = Options(
    effort=20.0, processes=1, start_method="fork" if sys.platform == "linux" else None
)
BOTH = logic("q := a AND b;")
ROLES = "HAND left = a; HAND right = b; OUTPUT q; REQUIRE TWO_HAND LOGIC TYPE I;"


def refused(folder: Path, statements: str, block: str = BOTH) -> Diagnostic:
    with pytest.raises(InputError) as caught:
        check(specification(folder, block, statements), OPTIONS)
    (diagnostic,) = caught.value.diagnostics
    return diagnostic


@pytest.mark.parametrize("other", ["a", "NOT NOT a", "NOT a", "b, a"])
def test_an_input_is_a_contact_of_one_hand_only(tmp_path: Path, other: str) -> None:
    diagnostic = refused(tmp_path, f"HAND left = a; HAND right = {other}; PROPERTY p : q -> b;")
    assert diagnostic.code == "shared-contact"
    assert diagnostic.span is not None
    assert diagnostic.span.text.endswith("a")
    assert [span.text for span, _ in diagnostic.related] == ["a"]


@pytest.mark.parametrize(
    ("assumed", "message"),
    [
        ("ASSUME a = b;", "'left' can never be on while 'right' is off"),
        ("ASSUME a -> b;", "'left' can never be on while 'right' is off"),
        ("ASSUME b -> a;", "'right' can never be on while 'left' is off"),
        ("ASSUME prev(b) -> a; ASSUME b -> prev(b);", "'right' can never be on"),
        ("ASSUME a;", "'right' can never be on while 'left' is off"),
    ],
)
def test_hands_that_the_assumptions_tie_together_are_refused(
    tmp_path: Path, assumed: str, message: str
) -> None:
    diagnostic = refused(tmp_path, f"{ROLES} {assumed}")
    assert diagnostic.code == "hands-not-apart"
    assert diagnostic.message.startswith(message)


@pytest.mark.long
@pytest.mark.parametrize(
    "assumed",
    [
        "",
        "ASSUME a OR b;",
        "ASSUME prev(a) -> a;",
        "ASSUME prev(b) OR a = b;",
    ],
)
def test_hands_that_can_differ_some_day_are_two(tmp_path: Path, assumed: str) -> None:
    report = check(specification(tmp_path, BOTH, f"{ROLES} {assumed}"), OPTIONS)
    assert not {each.code for each in report.warnings} & {"hands-undecided"}


@pytest.mark.long
def test_hands_can_differ_in_a_scan_that_a_finding_cuts_short(tmp_path: Path) -> None:
    """Every scan divides by 0; the inputs are those that people gave."""
    block = logic("n := 1 / z; q := a AND b;", more="n, z : INT;")
    try:
        report = check(specification(tmp_path, block, ROLES), OPTIONS)
    except InternalContradiction as error:
        pytest.fail(f"the run that shows it is not believed: {error}")
    assert report.findings


@pytest.mark.long
@pytest.mark.skipif(sys.platform != "linux", reason="a spawned worker does not see the change")
def test_where_it_is_open_whether_hands_can_differ_nothing_passes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ask = Query.__call__

    def asked(query: Query) -> QueryResult:
        found = ask(query)
        return found if query.index == 0 else QueryResult(Unknown("asleep"))

    monkeypatch.setattr(Query, "__call__", asked)
    text = f"{ROLES.replace('OUTPUT q; ', '')} ASSUME a = b;".replace(
        "REQUIRE TWO_HAND LOGIC TYPE I;", "PROPERTY both : q -> a;"
    )
    report = check(specification(tmp_path, BOTH, text), OPTIONS)
    codes = [each.code for each in report.warnings]
    assert codes.count("hands-undecided") == 2
    assert report_code(report) is ExitCode.UNDECIDED
