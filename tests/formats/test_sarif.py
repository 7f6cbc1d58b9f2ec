"""SARIF 2.1.0, by what its text asks (OASIS Standard; clauses beside the checks, from memory).

``python -m tests.outside`` has the documents of the gallery looked at by a validator.
"""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from twohand.analyses.check.record import checked_spec
from twohand.formats import sarif
from twohand.formats.items import spec_items
from twohand.formats.sarif import MOST_STEPS, sarif_text
from twohand.record.message import FilePlace, Message
from twohand.record.run import RunStep
from twohand.report.exit_code import ExitCode
from twohand.specification.model.specification import Expectation
from twohand.text.diagnostic import Severity

from tests.support.samples.report_samples import proved, report, undecided, violated

MIXED = checked_spec(report(proved(), violated(), undecided()))
BROKEN = Message(
    "missing-word", "END_SPEC is missing", Severity.ERROR, "add it", FilePlace("b.spec", 3, 1)
)


def run_of(*specs: Any, problems: Any = (), code: ExitCode = ExitCode.VIOLATED, **more: Any) -> Any:
    document = json.loads(sarif_text([*map(spec_items, specs)], problems, code, **more))
    assert document["version"] == "2.1.0"  # 3.13.2
    (run,) = document["runs"]
    return run


def test_what_fails_is_an_error_what_is_open_a_warning_and_a_proof_is_not_there() -> None:
    run = run_of(MIXED)
    found = [(each["ruleId"], each["level"]) for each in run["results"]]
    assert found == [("start_window", "error"), ("window_missed", "warning")]
    rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    assert [rules[each["ruleIndex"]] for each in run["results"]] == [name for name, _ in found]


def test_a_result_is_at_its_cause_and_names_where_it_is_asked() -> None:
    failed, still_open = run_of(MIXED)["results"]
    where = failed["locations"][0]["physicalLocation"]
    assert where["artifactLocation"]["uri"] == "press.st"
    assert where["region"] == {"startLine": 6, "startColumn": 1}
    (asked,) = failed["relatedLocations"]
    assert asked["physicalLocation"]["artifactLocation"]["uri"] == "press.spec"
    assert still_open["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == "press.spec"
    assert "relatedLocations" not in still_open


def test_the_run_is_a_code_flow_of_its_changes() -> None:
    failed = run_of(MIXED)["results"][0]
    steps = failed["codeFlows"][0]["threadFlows"][0]["locations"]
    orders = [step["executionOrder"] for step in steps]
    assert orders == sorted(orders)
    last = steps[-1]["location"]["message"]["text"]
    assert last == "scan 52, 510 ms: right := TRUE, stroke := TRUE, window.ET := 500000000"


def test_of_a_very_long_run_the_end_is_there_and_it_is_said() -> None:
    (result,) = checked_spec(report(violated())).requirements
    assert result.run is not None
    steps = tuple(RunStep(n * 10, (("right", n % 2 == 0),)) for n in range(MOST_STEPS + 5))
    long = replace(result, run=replace(result.run, steps=steps))
    (flow,) = run_of(replace(MIXED, requirements=(long,)))["results"][0]["codeFlows"]
    locations = flow["threadFlows"][0]["locations"]
    assert len(locations) == MOST_STEPS
    assert locations[-1]["executionOrder"] == MOST_STEPS + 5
    assert flow["message"]["text"] == "the run; its first 5 changes are left out"


def test_of_very_many_results_some_are_left_out_and_it_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sarif, "MOST_RESULTS", 1)
    run = run_of(MIXED)
    assert len(run["results"]) == 1
    (note,) = run["invocations"][0]["toolExecutionNotifications"]
    assert note["message"]["text"].startswith("1 more results are left out")


def test_what_is_expected_is_left_out_where_that_is_asked_for() -> None:
    expected = checked_spec(report(violated(Expectation.VIOLATED)))
    assert len(run_of(expected)["results"]) == 1
    assert run_of(expected, as_expected=True)["results"] == []


@pytest.mark.parametrize(
    ("code", "successful"),
    [(ExitCode.ALL_PROVED, True), (ExitCode.VIOLATED, True), (ExitCode.UNDECIDED, True),
     (ExitCode.UNUSABLE, False), (ExitCode.INTERNAL, False), (ExitCode.INTERRUPTED, False)],
)  # fmt: skip
def test_a_run_of_the_tool_succeeds_where_it_came_to_answers(
    code: ExitCode, successful: bool
) -> None:
    (invocation,) = run_of(MIXED, problems=[BROKEN], code=code)["invocations"]
    assert (invocation["executionSuccessful"], invocation["exitCode"]) == (successful, code)
    (note,) = invocation["toolExecutionNotifications"]
    assert note["level"] == "error"
    assert note["descriptor"] == {"id": "missing-word"}
    region = note["locations"][0]["physicalLocation"]["region"]
    assert region == {"startLine": 3, "startColumn": 1}


@pytest.mark.parametrize("name", ["a b#1?.st", "ä%41.st", "x\u202e<script>.st", "c:d.st"])
def test_a_path_is_a_uri_that_gives_the_name_back(name: str, inside: Path) -> None:
    """RFC 3986: a relative reference of unreserved and escaped characters; its first part has no
    colon (4.2)."""
    for given in (name, f"below/{name}", str(inside / "below" / name)):
        uri = sarif._address(given)["uri"]
        assert isinstance(uri, str)
        assert re.fullmatch(r"(\./)?(?:[A-Za-z0-9_.~/-]|%[0-9A-F]{2})+", uri)
        assert Path(unquote(uri)) == Path(given if given == name else f"below/{name}")


def test_fingerprints_stay_as_lines_are_inserted() -> None:
    """3.27.17: what makes a result the same in another version."""
    failed = run_of(MIXED)["results"][0]
    assert failed["partialFingerprints"] == {"item/v1": "Press/start_window"}


def test_hostile_words_are_text() -> None:
    text = sarif_text(
        [spec_items(checked_spec(report(violated(seen="<script>\x1b\u202e"))))],
        [],
        ExitCode.VIOLATED,
    )
    message = json.loads(text)["runs"][0]["results"][0]["message"]["text"]
    assert message.startswith("VIOLATED: <script>??")
