"""Configurations of an exchange file: global variables, tasks, and the programs that they run.

Element and attribute names of IEC 61131-10 are from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from twohand.exchange.rules import (
    Piece,
    attribute,
    checked_name,
    checked_value,
    malformed,
    name_of,
    none_in,
    parts,
    said,
    unit_name,
    whole_number,
)
from twohand.exchange.units import variables
from twohand.files.xml_element import XmlElement

_SECONDS = re.compile(r"PT(?:(\d{1,4})M)?(?:(\d{1,6})(?:\.(\d{1,9}))?S)?")
_LITERAL = re.compile(r"(?:L?TIME|L?T)#[\w.]+", re.IGNORECASE)

Pieces = Iterator[Piece]


def configuration(element: XmlElement) -> Pieces:
    """A Configuration with its resources."""
    children = list(parts(element, "Resource", "GlobalVars", attributes=("name",)))
    yield from said(element.span, "CONFIGURATION ", unit_name(element), "\n")
    for section in element.all("GlobalVars"):
        yield from variables(section)
    for child in children:
        if child.name == "Resource":
            yield from _resource(child)
    yield Piece("END_CONFIGURATION\n", element.span)


def _resource(element: XmlElement) -> Pieces:
    kinds = ("GlobalVars", "Task", "ProgramInstance")
    list(parts(element, *kinds, attributes=("name", "resourceTypeName")))
    # Of which type it is says nothing to a proof.
    yield from said(element.span, "RESOURCE ", unit_name(element), " ON Controller\n")
    for section in element.all("GlobalVars"):
        yield from variables(section)
    for task in element.all("Task"):
        yield from _task(task)
    for instance in element.all("ProgramInstance"):
        yield from _program(instance)
    yield Piece("END_RESOURCE\n", element.span)


def _task(element: XmlElement) -> Pieces:
    none_in(element, ("name", "priority", "interval", "single"))
    yield from said(element.span, "TASK ", unit_name(element))
    words = []
    if "interval" in element.attributes:
        words.append(("INTERVAL := ", _interval(attribute(element, "interval"))))
    if "single" in element.attributes:
        words.append(("SINGLE := ", checked_value(attribute(element, "single"))))
    if "priority" in element.attributes:
        priority = attribute(element, "priority")
        whole_number(priority, "priority")
        words.append(("PRIORITY := ", Piece(priority.text.strip(), priority.place)))
    if not words:
        raise malformed("this task says nothing of when it runs", element.span,
                        'write interval="T#10ms" for instance')  # fmt: skip
    for position, (word, value) in enumerate(words):
        yield from said(value.place, f"{', ' if position else ' ('}{word}", value)
    yield Piece(");\n", element.span)


def _interval(piece: Piece) -> Piece:
    """A duration as a literal (``T#10ms``) or as XML Schema writes it (``PT0.01S``)."""
    text = piece.text.strip()
    if _LITERAL.fullmatch(text):
        return Piece(text, piece.place)
    found = _SECONDS.fullmatch(text)
    if found is None or text == "PT":
        raise malformed(f"'{piece.text}' is no duration", piece.place,
                        'write interval="T#10ms" or interval="PT0.01S"')  # fmt: skip
    minutes, seconds, fraction = (found[number] or "0" for number in (1, 2, 3))
    whole = int(minutes) * 60 + int(seconds)
    return Piece(f"T#{whole * 1_000_000_000 + int(fraction.ljust(9, '0'))}ns", piece.place)


def _program(element: XmlElement) -> Pieces:
    none_in(element, ("name", "typeName", "associatedTaskName"))
    yield from said(element.span, "PROGRAM ", unit_name(element))
    if "associatedTaskName" in element.attributes:
        task = checked_name(attribute(element, "associatedTaskName"))
        yield from said(element.span, " WITH ", task)
    yield from said(element.span, " : ", name_of(element, "typeName"), ";\n")
