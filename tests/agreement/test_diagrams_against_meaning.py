"""Random ladders and function-block diagrams: what the checker reads runs as they do when they are
evaluated element by element, in any order that the standard allows."""

from __future__ import annotations

import random
from collections import Counter

import pytest
from twohand.exchange.file import structured_text_of
from twohand.program.types import Value
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.diagram_meaning import PINS, Diagram
from tests.support.meaning.typed_programs import run_of
from tests.support.randomness.diagrams import INPUTS, NAMES, random_file

SCANS = 8
ORDERS = 2


def compared(seed: int, kind: str) -> str:
    """'same', or the code by which the diagram is refused. AssertionError where both differ."""
    lot = random.Random(seed)
    xml = random_file(lot, kind)
    source = structured_text_of(SourceText("a.xml", xml))
    takes = lot.random() < 0.5
    try:
        program = load_program([source], "B")
    except InputError as error:
        return error.diagnostics[0].code
    rows: list[dict[str, Value]] = [
        {name: lot.random() < 0.5 for name in INPUTS} for _ in range(SCANS)
    ]
    still: dict[str, Value] = {
        each.name: False for each in program.inputs
    }  # a global one only read
    records = run_of(program, [{**still, **row} for row in rows], disabled_call_takes_inputs=takes)
    for _ in range(ORDERS):
        diagram = Diagram(xml, NAMES, lot, takes)
        for number, (row, record) in enumerate(zip(rows, records, strict=True)):
            if record.finding is not None:
                break
            wanted = {k: v for k, v in diagram.scan(row).items() if k != "g" or k in record.values}
            found = {name: record.values[name] for name in wanted}
            assert found == wanted, (seed, kind, number, source.text)
    return "same"


def outcomes(seeds: range, kind: str) -> Counter[str]:
    return Counter(compared(seed, kind) for seed in seeds)


@pytest.mark.parametrize("kind", ["LD", "FBD"])
def test_random_diagrams_mean_what_the_standard_says(kind: str) -> None:
    found = outcomes(range(40), kind)
    assert set(found) <= {"same", "open-evaluation-order", "wire-without-type"}
    assert found["same"] >= 12


@pytest.mark.long
@pytest.mark.parametrize("kind", ["LD", "FBD"])
@pytest.mark.parametrize("part", range(2))
def test_many_random_diagrams_mean_what_the_standard_says(kind: str, part: int) -> None:
    found = outcomes(range(1000 + 600 * part, 1600 + 600 * part), kind)
    assert set(found) <= {"same", "open-evaluation-order", "wire-without-type"}
    assert found["same"] >= 120


def test_the_names_of_the_samples_are_those_of_blocks_that_both_sides_know() -> None:
    assert set(NAMES.values()) <= {"BOOL", "INT", *PINS}
