"""Two versions that compare one REAL input with other constants have its values in common."""

from __future__ import annotations

import pytest
from twohand.analyses.compare.check import compare
from twohand.analyses.compare.options import ComparisonOptions
from twohand.analyses.compare.question import resolve_comparison
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.program import Program
from twohand.program.types import RealClasses
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

OPTIONS = Options(effort=30.0, processes=1)
SHORT = ComparisonOptions(scan="T#10ms")


def version(body: str, kind: str = "REAL") -> Program:
    text = (
        f"FUNCTION_BLOCK Press VAR_INPUT level : {kind}; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
        f"{body}\nEND_FUNCTION_BLOCK"
    )
    return load_program([SourceText("a.st", text)])


def told(first: str, second: str, pool: Pool) -> tuple[str, str]:
    """The outcome, and what the last scan of its run shows of the input."""
    comparison = resolve_comparison(version(first), version(second), SHORT)
    (verdict,) = compare(comparison, OPTIONS, pool=pool).report.verdicts
    level = comparison.both.program.variable("level")
    if verdict.counterexample is None or level is None:
        return verdict.outcome.value, ""
    assert isinstance(level.type, RealClasses)
    value = verdict.counterexample.records[-1].values["level"]
    return verdict.outcome.value, level.type.value_name(int(value))


@pytest.mark.parametrize(
    ("first", "second", "outcome", "shown"),
    [
        ("q := level > 4.5;", "q := 4.5 < level;", "PROVED", ""),
        ("q := level > 4.5;", "q := level > 4.75;", "VIOLATED", "between 4.5 and 4.75|4.75"),
        ("q := level >= 4.5;", "q := level > 4.5;", "VIOLATED", "4.5"),
        ("q := level >= 4.5;", "q := NOT (level < 4.5);", "VIOLATED", "not a number"),
        ("q := level >= 0.1;", "q := NOT (level < 0.1) AND level <> 2.0;", "VIOLATED", ""),
        ("q := level > 4.5 AND level > 3.0;", "q := level > 4.5;", "PROVED", ""),
    ],
)
def test_two_versions_see_the_same_values(
    first: str, second: str, outcome: str, shown: str, pool: Pool
) -> None:
    found = told(first, second, pool)
    assert found[0] == outcome
    assert not shown or found[1] in shown.split("|")


def test_a_version_that_compares_nothing_with_the_input_has_it_all_the_same(pool: Pool) -> None:
    assert told("q := level > 4.5;", "q := FALSE;", pool)[0] == "VIOLATED"
    assert told("q := level > 4.5 AND level < 4.5;", "q := FALSE;", pool)[0] == "VACUOUS"


@pytest.mark.parametrize(
    ("first", "second", "code"),
    [
        ("q := level > 0.1;", "q := level > 0.100000001;", "real-constants-alike"),
        ("q := level > 0.1;", "q := level >= 0.1;", "real-constant-rounded"),
        ("q := level > 0.1;", "q := level > REAL#0.1;", "real-constants-alike"),
    ],
)
def test_constants_that_platforms_may_not_tell_apart_are_refused_in_two_versions_too(
    first: str, second: str, code: str
) -> None:
    with pytest.raises(InputError) as caught:
        resolve_comparison(version(first), version(second), SHORT)
    assert [problem.code for problem in caught.value.diagnostics] == [code]


def test_an_input_of_another_type_is_told() -> None:
    with pytest.raises(InputError) as caught:
        resolve_comparison(
            version("q := level > 1.0;"), version("q := level > 1.0;", "LREAL"), SHORT
        )
    assert [problem.code for problem in caught.value.diagnostics] == ["unlike-types"]
