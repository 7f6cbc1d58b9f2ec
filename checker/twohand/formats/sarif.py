"""SARIF 2.1.0 (OASIS Standard, 27 March 2020): what fails and what is open, for code review."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TypeAlias
from urllib.parse import quote

from twohand import __version__
from twohand.formats.items import Item, ItemOutcome, SpecItems, harmless
from twohand.record.message import FilePlace, Message
from twohand.record.plain import relative_path
from twohand.record.run import Run, step_text
from twohand.report.exit_code import ExitCode

Data: TypeAlias = dict[str, object]
_SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
MOST_RESULTS = 5000
"""What code forges show of one file (common practice)."""
MOST_STEPS = 1000
"""Steps of one run."""
_FINGERPRINT = "item/v1"
_BYTES = "surrogateescape"
"""How a byte of a path is kept that is none of UTF-8."""


def sarif_text(
    specs: Sequence[SpecItems],
    problems: Sequence[Message],
    code: ExitCode,
    as_expected: bool = False,
) -> str:
    """The document: one run of the tool. ``as_expected``: what EXPECT names is left out."""
    items = [
        item
        for spec in specs
        for item in spec.items
        if item.outcome is not ItemOutcome.HOLDS and not (as_expected and item.meant)
    ]
    shown = items[:MOST_RESULTS]
    rules = list(dict.fromkeys(item.rule for item in shown))
    run: Data = {
        "tool": {
            "driver": {
                "name": "twohand",
                "version": __version__,
                "rules": [_rule(each) for each in rules],
            }
        },
        "columnKind": "unicodeCodePoints",
        "invocations": [_invocation(problems, code, len(items) - len(shown))],
        "artifacts": _artifacts(specs),
        "results": [_result(each, rules.index(each.rule)) for each in shown],
    }
    document: Data = {"$schema": _SCHEMA, "version": "2.1.0", "runs": [run]}
    return json.dumps(document, indent=2) + "\n"


def _rule(name: str) -> Data:
    return {"id": name, "shortDescription": {"text": f"asked of two-hand logic: {name}"}}


def _invocation(problems: Sequence[Message], code: ExitCode, left_out: int) -> Data:
    notes = [_problem(each) for each in problems]
    if left_out:
        text = f"{left_out} more results are left out: code forges show no more than {MOST_RESULTS}"
        notes.append({"level": "warning", "message": {"text": text}})
    usable = code in (ExitCode.ALL_PROVED, ExitCode.VIOLATED, ExitCode.UNDECIDED)
    found: Data = {"executionSuccessful": usable, "exitCode": int(code)}
    return found | {"toolExecutionNotifications": notes} if notes else found


def _problem(said: Message) -> Data:
    note: Data = {
        "level": "error",
        "message": {"text": harmless(f"{said.text}; {said.help}" if said.help else said.text)},
        "descriptor": {"id": said.code},
    }
    return note if said.place is None else note | {"locations": [_location(said.place)]}


def _artifacts(specs: Iterable[SpecItems]) -> list[Data]:
    files = dict.fromkeys(each for spec in specs for each in spec.sources)
    return [{"location": _address(each.path), "hashes": {"sha-256": each.sha256}} for each in files]


def _result(item: Item, rule: int) -> Data:
    """What is open is a warning, for readers pass over whatever is no failure."""
    found: Data = {
        "ruleId": item.rule,
        "ruleIndex": rule,
        "level": "error" if item.outcome is ItemOutcome.FAILS else "warning",
        "message": {"text": harmless(item.text)},
        "locations": [_location(item.place)],
        "partialFingerprints": {_FINGERPRINT: harmless(item.identifier)},
    }
    if item.asked != item.place:
        asked = _location(item.asked) | {"message": {"text": "asked here"}}
        found["relatedLocations"] = [asked]
    if item.waived:
        said = {"kind": "external", "status": "accepted", "justification": harmless(item.waived)}
        found["suppressions"] = [said]
    if item.run is not None:
        found["codeFlows"] = [_code_flow(item.run, item.place)]
    return found


def _code_flow(run: Run, place: FilePlace) -> Data:
    """The scans in which something changes; of very many the last ones, which end in the fault."""
    steps = [(number, step) for number, step in enumerate(run.steps, 1) if step.changes]
    shown = steps[-MOST_STEPS:]
    cut = len(steps) - len(shown)
    text = "the run" + (f"; its first {cut} changes are left out" if cut else "")
    locations = [
        {
            "location": _location(place) | {"message": {"text": harmless(step_text(number, step))}},
            "executionOrder": number,
        }
        for number, step in shown
    ]
    return {"message": {"text": text}, "threadFlows": [{"locations": locations}]}


def _location(place: FilePlace) -> Data:
    region: Data = {"startLine": max(1, place.line), "startColumn": max(1, place.column)}
    return {"physicalLocation": {"artifactLocation": _address(place.path), "region": region}}


def _address(path: str) -> Data:
    """From the working folder on, with '/', where a way leads there."""
    relative = relative_path(path)
    absolute = Path(relative).is_absolute()
    return {"uri": Path(relative).as_uri() if absolute else quote(relative, errors=_BYTES)}
