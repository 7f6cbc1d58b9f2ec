"""Frames of texts that mark names: data types without a colon, blocks that an operating system
calls, and data blocks, which are global variables. Every offset stays what it was."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

_NAME = r"[^\W\d]\w*"
_TYPE = re.compile(rf"\bTYPE\s+{_NAME}( )\s*STRUCT\b", re.IGNORECASE)
_ORGANIZATION = re.compile(r"\b(END_)?ORGANIZATION_BLOCK\b", re.IGNORECASE)
_DATA = re.compile(
    rf"\b(?P<begin>DATA_BLOCK)\s+{_NAME}(?P<colon> )\s*(?P<memory>NON_RETAIN\b|RETAIN\b)?\s*"
    rf"(?:(?!STRUCT\b|VAR\b)(?P<type>{_NAME})(?P<semicolon>\s)|STRUCT\b(?P<members>.*?)\bEND_STRUCT\s*;)"
    r"\s*(?P<start>BEGIN\b)?(?P<values>.*?)\b(?P<end>END_DATA_BLOCK)\b",
    re.IGNORECASE | re.DOTALL,
)


class Change(NamedTuple):
    """Other text in the place of ``start`` to ``end``, of the same length; ``form`` names what is
    outside of the standard, ``refused`` what is not read."""

    start: int
    end: int
    text: str
    form: str = ""
    refused: str = ""


def changes(text: str) -> Iterator[Change]:
    """What has to be written in other words; comments and marks of names are blanked already."""
    upper = text.upper()
    for found in _TYPE.finditer(text) if "STRUCT" in upper else ():
        yield Change(*found.span(1), ":", "TYPE without a colon")
    for found in _ORGANIZATION.finditer(text) if "ORGANIZATION" in upper else ():
        word = f"{found[1] or ''}PROGRAM"
        yield Change(*found.span(), word.ljust(len(found[0])), "ORGANIZATION_BLOCK")
    for found in _DATA.finditer(text) if "DATA_BLOCK" in upper else ():
        yield from _data_block(found)


def _data_block(found: re.Match[str]) -> Iterator[Change]:
    """A data block as a VAR_GLOBAL section of one variable."""
    if (found["memory"] or "").upper() != "NON_RETAIN":
        yield Change(
            *found.span("begin"), found["begin"], refused="data blocks that may keep values"
        )
        return
    values = found["values"]
    if values.strip():
        start = found.start("values")
        blank = re.sub(r"[^\n]", " ", values)
        yield Change(
            start, start + len(values), blank, refused="the initial values of a data block"
        )
    yield Change(*found.span("memory"), " " * len(found["memory"]))
    yield Change(*found.span("begin"), "VAR_GLOBAL", "DATA_BLOCK")
    yield Change(*found.span("colon"), ":")
    if found["type"] is not None and found["semicolon"] == " ":
        yield Change(*found.span("semicolon"), ";")
    if found["start"] is not None:
        yield Change(*found.span("start"), " " * len("BEGIN"))
    yield Change(*found.span("end"), "END_VAR".ljust(len("END_DATA_BLOCK")))
