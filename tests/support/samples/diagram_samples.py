"""Blocks of one ladder or function-block diagram, their runs, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Mapping

from twohand.exchange.file import structured_text_of
from twohand.program import Program
from twohand.program.types import Value
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.diagram_builder import Network, booleans, file, unit
from tests.support.meaning.typed_programs import run_of
from tests.support.samples.exchange_samples import marked, problems

BOOLEANS = booleans("a b c")
RESULTS = booleans("x y z")


def xml_of(*networks: Network, others: Mapping[str, str] | None = None, more: str = "") -> str:
    """A block with inputs ``a b c``, outputs ``x y z``, and other variables."""
    return file(unit(networks, BOOLEANS, RESULTS, others, more=more))


def loaded(xml: str) -> Program:
    return load_program([structured_text_of(SourceText("a.xml", xml))], "B")


def statements(xml: str) -> str:
    """The statements as which a diagram is read, without empty lines at their ends."""
    text = structured_text_of(SourceText("a.xml", xml)).text
    body = text[text.rindex("END_VAR") + len("END_VAR") : text.rindex("END_FUNCTION_BLOCK")]
    return body.strip()


def table(xml: str, name: str, **columns: str) -> str:
    """What a variable is at the end of each scan, ``0110``, for inputs like that; TRUE and FALSE
    are 1 and 0."""
    length = len(next(iter(columns.values())))
    rows: list[dict[str, Value]] = [
        {key: text[number] == "1" for key, text in columns.items()} for number in range(length)
    ]
    records = run_of(loaded(xml), rows)
    return "".join(str(int(record.values[name])) for record in records)


def told(xml: str) -> tuple[str, str]:
    """The code of the first problem, and what it marks in the file, on one line."""
    first: Diagnostic = problems(xml, "B")[0]
    return first.code, " ".join(marked(first).split())


def rung_with(**attributes: str) -> Network:
    """A contact of ``a`` and a coil of ``x``."""
    rung = Network("LD")
    rung.coil(rung.contact(rung.rail(), "a", **attributes), "x")
    return rung
