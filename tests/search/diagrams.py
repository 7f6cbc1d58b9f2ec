"""One random ladder or function-block diagram: what is read of it runs as its elements do."""

from __future__ import annotations

import random

from twohand.exchange.file import structured_text_of
from twohand.program.types import Value
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.diagram_meaning import Diagram
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
