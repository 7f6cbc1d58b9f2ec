"""What a waiver is bound to: the block as it is meant, and what is asked of it.

Comments, places and what is elsewhere in the files change nothing here; a statement, an initial
value, a time, a reading or an assumption does.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from hashlib import sha256
from typing import Any

from twohand.specification.model.specification import Requirement, Specification
from twohand.text.source_text import SourceText, Span

DIGITS = 32
"""Hexadecimal digits of a hash: nobody finds another block for it."""


def bound_content(specification: Specification, asked: Requirement | None, item: str) -> str:
    """The hash of a block with what surrounds it, the readings and assumptions, and of what is
    asked of it: a requirement, or what is always asked of a place (``item`` names it)."""
    program = specification.program
    return content_hash(
        (
            program.name,
            program.inputs,
            program.outputs,
            program.variables,
            program.instances,
            program.routine,
            program.constants,
            program.enumerations,
            tuple(sorted(each.name for each in program.changed_inputs)),
            program.addresses,
            specification.clocking,
            specification.readings,
            specification.loop_bound,
            specification.assumptions,
            specification.power,
            specification.outputs,
            None if asked is None else (asked.property, asked.aim),
            item,
        )
    )


_APART = ("source", "program", "warnings", "wide", "accepted")
"""Fields of a spec that are hashed otherwise."""


def whole_content(specification: Specification) -> str:
    """The hash of all that a spec says of its block, and of what warns of it."""
    said = [getattr(specification, e.name) for e in fields(specification) if e.name not in _APART]
    codes = [each.code for each in specification.warnings]
    reasons = [each.reason for each in specification.accepted]
    block = bound_content(specification, None, "")
    return content_hash((block, *said, tuple(codes), tuple(reasons)))


def content_hash(whole: object) -> str:
    """Of data made of dataclasses, tuples, mappings and simple values, in their order. What is
    there several times, as variables are, is the same thing each time. TypeError for anything
    else: nothing is passed over but places in texts."""
    hashed = sha256(usedforsecurity=False)
    seen: dict[int, int] = {}
    kept: list[object] = []  # as long as they are there, their ids are their own
    waiting: list[object] = [whole]
    while waiting:
        value = waiting.pop()
        if isinstance(value, Span | SourceText):
            continue
        if is_dataclass(value) and not isinstance(value, type):
            number = seen.setdefault(id(value), len(seen))
            if number < len(kept):
                hashed.update(f"&{number};".encode())
                continue
            kept.append(value)
        hashed.update(_head(value).encode("utf-8", "surrogatepass"))
        waiting.extend(reversed(_inside(value)))
    return hashed.hexdigest()[:DIGITS]


def _head(value: object) -> str:
    """What a value is, and how much is in it; nothing else reads so."""
    name = type(value).__name__
    if isinstance(value, Enum):
        return f"{name}.{value.name};"
    if value is None or isinstance(value, bool | int | float):
        return f"{name} {value!r};"
    if isinstance(value, str):
        return f"str {len(value)} {value};"
    return f"{name} {len(_inside(value))};"


def _inside(value: Any) -> list[object]:
    if isinstance(value, Enum | str | bool | int | float) or value is None:
        return []
    if isinstance(value, tuple):
        return list(value)
    if isinstance(value, Mapping):
        return [part for key in sorted(value) for part in (key, value[key])]
    if is_dataclass(value):
        return [getattr(value, each.name) for each in fields(value)]
    raise TypeError(f"{type(value).__name__} has no content that can be compared")
