"""Pieces of exchange files, and what is wrong with files made of them."""

from __future__ import annotations

import pytest
from twohand.exchange.file import structured_text_of
from twohand.program import Program
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

BOOL = "<Type><TypeName>BOOL</TypeName></Type>"


def load(xml: str, block: str | None = None, notes: list[Diagnostic] | None = None) -> Program:
    return load_program([structured_text_of(SourceText("a.xml", xml))], block, "", notes)


def text_of(xml: str) -> str:
    return structured_text_of(SourceText("a.xml", xml)).text


def block(inside: str, name: str = "B") -> str:
    return f'<FunctionBlock name="{name}">{inside}</FunctionBlock>'


def body(statements: str, kind: str = "ST") -> str:
    return (
        f'<MainBody><BodyContent xsi:type="{kind}"><ST>{statements}</ST></BodyContent></MainBody>'
    )


def variables(*declared: str, section: str = "Vars") -> str:
    return f"<{section}>{''.join(declared)}</{section}>"


def variable(name: str, kind: str = BOOL, more: str = "") -> str:
    return f'<Variable name="{name}">{kind}{more}</Variable>'


def value(text: str) -> str:
    return f'<InitialValue><SimpleValue value="{text}"/></InitialValue>'


def problems(xml: str, name: str | None = None) -> list[Diagnostic]:
    with pytest.raises(InputError) as caught:
        load(xml, name)
    return list(caught.value.diagnostics)


def marked(problem: Diagnostic) -> str:
    """The characters of the file that a problem marks."""
    span = problem.span
    assert span is not None
    assert span.source.path == "a.xml"
    return span.source.text[span.start : span.end]
