"""JUnit XML, read back by junitparser (https://pypi.org/project/junitparser/)."""

from __future__ import annotations

from dataclasses import replace

import pytest
from junitparser import Error, Failure, JUnitXml, Skipped, TestCase
from twohand.analyses.check.record import CheckedSpec, checked_spec
from twohand.formats.items import spec_items
from twohand.formats.junit import junit_text
from twohand.record.message import FilePlace, Message
from twohand.specification.model.specification import Expectation
from twohand.text.diagnostic import Severity

from tests.support.samples.report_samples import proved, report, undecided, violated

EXPECTED = checked_spec(report(violated(Expectation.VIOLATED)))
HOSTILE = "<b>&\"'\x00\x1b\u202e]]>"
BROKEN = Message(
    "missing-word", "END_SPEC is missing", Severity.ERROR, "add it", FilePlace("b.spec", 3, 1)
)


def cases(text: str) -> list[TestCase]:
    return [case for suite in JUnitXml.fromstring(text.encode()) for case in suite]


def kinds(text: str) -> list[list[type]]:
    return [[type(each) for each in case.result] for case in cases(text)]


def test_a_failure_fails_what_is_open_is_an_error_and_a_proof_passes() -> None:
    checked = checked_spec(report(proved(), violated(), undecided()))
    text = junit_text([spec_items(checked)], [])
    assert kinds(text) == [[], [Failure], [Error]]
    (suite,) = JUnitXml.fromstring(text.encode())
    assert (suite.name, suite.tests, suite.failures, suite.errors) == ("Press", 3, 1, 1)
    assert [case.classname for case in cases(text)] == ["press.spec"] * 3
    assert [case.name for case in cases(text)][1] == "Press/start_window"


def test_what_fails_says_where_to_look_first() -> None:
    (case,) = cases(junit_text([spec_items(checked_spec(report(violated())))], []))
    assert case.result[0].message.startswith("VIOLATED: at 510 ms the output started")
    assert case.result[0].text.startswith("press.st:6:1: VIOLATED: ")


@pytest.mark.parametrize(("as_expected", "kind"), [(False, Failure), (True, Skipped)])
def test_an_expected_violation_is_never_a_pass(as_expected: bool, kind: type) -> None:
    assert kinds(junit_text([spec_items(EXPECTED)], [], as_expected)) == [[kind]]


def test_a_file_that_cannot_be_used_is_an_error() -> None:
    text = junit_text([spec_items(checked_spec(report(proved())))], [BROKEN])
    assert kinds(text) == [[], [Error]]
    case = cases(text)[1]
    assert (case.classname, case.name) == ("b.spec", "missing-word")
    assert case.result[0].text == "b.spec:3:1: END_SPEC is missing\nadd it"


def test_hostile_names_stay_text() -> None:
    checked = checked_spec(report(violated(seen=HOSTILE)))
    named = replace(checked, spec=replace(checked.spec, name=HOSTILE, path=HOSTILE))
    text = junit_text([spec_items(named)], [Message(HOSTILE, HOSTILE, Severity.ERROR)])
    assert not set(text) & {"\x00", "\x1b", "\u202e"}
    shown = HOSTILE.replace("\x00", "?").replace("\x1b", "?").replace("\u202e", "?")
    (suite, unusable) = JUnitXml.fromstring(text.encode())
    assert suite.name == shown
    assert next(iter(unusable)).name == shown


def test_the_same_answer_gives_the_same_text() -> None:
    def again() -> CheckedSpec:
        return checked_spec(report(proved(), violated()))

    first, second = (junit_text([spec_items(again())], [BROKEN]) for _ in range(2))
    assert first == second
