"""Random ladders and diagrams say the same through both schemas, and damaged ones of the older
schema are read, or refused in their file."""

from __future__ import annotations

import random
import re
from collections import Counter

import pytest
from twohand.program.types import Value
from twohand.text.diagnostic import InputError

from tests.search.damaged_diagrams import refused
from tests.support.meaning.older_export import NotInOlder, older
from tests.support.meaning.typed_programs import run_of
from tests.support.randomness.diagrams import INPUTS, random_file
from tests.support.samples.exchange_samples import load
from tests.support.tiers import rows

SCANS = 8
ELEMENT = re.compile(r"<(inVariable|contact|coil|block|connection|variable|interface)\b.*?</\1>")
VALUE = re.compile(r'"[^"<>]*"')
_ELEMENTS = (
    "connectionPointIn connectionPointOut expression variable localVars inVariable outVariable"
    " contact coil block body FBD LD ST action pou interface type derived"
)
NAMES = _ELEMENTS.split()
_VALUES = (
    "|1|2|true|rising|a|u|n|EN|ENO|IN1|Q|TON|SR|AND|Mix|t|set|T#5ms|-1|s.Q1|i[1]|%IX0.0|B|a;b|(* a"
)
WORDS = _VALUES.split("|")


def compared(seed: int, kind: str) -> str:
    """'same', or why there is nothing to compare. AssertionError where both differ."""
    lot = random.Random(seed)
    xml = random_file(lot, kind)
    try:
        first, second = load(xml, "B"), load(older(xml), "B")
    except NotInOlder:
        return "not in the older schema"
    except InputError as error:
        return error.diagnostics[0].code
    inputs: list[dict[str, Value]] = [
        {name: lot.random() < 0.5 for name in INPUTS} for _ in range(SCANS)
    ]
    still: dict[str, Value] = {each.name: False for each in first.inputs}
    records = [run_of(each, [{**still, **row} for row in inputs]) for each in (first, second)]
    shared = {v.name for v in first.variables} & {v.name for v in second.variables}
    for one, other in zip(*records, strict=True):
        assert (one.finding is None) == (other.finding is None), (seed, kind)
        if one.finding is not None:
            break
        seen = [{name: found.values[name] for name in shared} for found in (one, other)]
        hidden = re.compile(r"(?:rung|network)\d+_")
        plain = [{k: v for k, v in found.items() if not hidden.match(k)} for found in seen]
        assert plain[0] == plain[1], (seed, kind)
    return "same"


@pytest.mark.long
@pytest.mark.parametrize("kind", ["LD", "FBD"])
@pytest.mark.parametrize("first", rows(range(0, 200, 50), lambda first: first >= 50))
def test_a_random_diagram_runs_the_same_through_both_schemas(kind: str, first: int) -> None:
    found = Counter(compared(seed, kind) for seed in range(first, first + 50))
    allowed = {"same", "open-evaluation-order", "wire-without-type", "unused-element"}
    allowed.add("not in the older schema")
    assert set(found) <= allowed
    assert found["same"] >= 1


def damaged_older(seed: int) -> str:
    """A random diagram of the older schema with something changed, lost or doubled."""
    lot = random.Random(seed)
    while True:
        try:
            xml = older(random_file(lot, lot.choice(("LD", "FBD"))))
        except NotInOlder:
            continue
        for _ in range(lot.randint(1, 3)):
            xml = (_without if lot.random() < 0.4 else _changed)(xml, lot)
        return xml


def _without(xml: str, lot: random.Random) -> str:
    """One element less, or one twice."""
    found = lot.choice(list(ELEMENT.finditer(xml)))
    again = found.group() * 2 if lot.random() < 0.3 else ""
    return xml[: found.start()] + again + xml[found.end() :]


def _changed(xml: str, lot: random.Random) -> str:
    """Another value of an attribute, or another name of an element."""
    if lot.random() < 0.2:
        return re.sub(rf"\b{lot.choice(NAMES)}\b", lot.choice(NAMES), xml)
    values = list(VALUE.finditer(xml, xml.index("<types>")))
    old = lot.choice(values)
    new = lot.choice(values).group() if lot.random() < 0.5 else f'"{lot.choice(WORDS)}"'
    return xml[: old.start()] + new + xml[old.end() :]


@pytest.mark.long
@pytest.mark.parametrize("first", rows(range(0, 400, 50), lambda first: first >= 50))
def test_a_damaged_file_is_read_or_refused_in_its_file(first: int) -> None:
    for seed in range(first, first + 50):
        refused(damaged_older(seed))
