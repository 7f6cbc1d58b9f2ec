"""What a declared name can be: of an elementary type, a structure, an array, a block, or of a
type whose values are not modelled."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import prod
from typing import NamedTuple, TypeAlias

from twohand.program import StandardBlock
from twohand.program.types import BitString, Boolean, Duration, Enumeration, Integer, Type, Value
from twohand.program.walks import nodes_below
from twohand.syntax import tree
from twohand.typecheck.reals.numbers import RealNumber


@dataclass(frozen=True, eq=False)
class Member:
    """A member of a structure, with the initial value that its declaration gives."""

    name: str
    kind: Kind
    initial: Initial


@dataclass(frozen=True, eq=False)
class Structure:
    """``members`` by name in upper case. Two structures are the same only if declared once."""

    name: str
    members: Mapping[str, Member] = field(repr=False)


@dataclass(frozen=True)
class Array:
    """One to three dimensions; elements are in row-major order (the last index runs fastest)."""

    bounds: tuple[tuple[int, int], ...]
    element: Kind

    @property
    def name(self) -> str:
        shown = ", ".join(f"{low}..{high}" for low, high in self.bounds)
        return f"ARRAY [{shown}] OF {kind_name(self.element)}"

    @property
    def sizes(self) -> tuple[int, ...]:
        return tuple(high - low + 1 for low, high in self.bounds)

    @property
    def count(self) -> int:
        return prod(self.sizes)

    def indices(self) -> list[str]:
        """Every index as it is written, in row-major order: ``1,0``."""
        shown = [""]
        for low, high in self.bounds:
            shown = [f"{s},{i}" if s else str(i) for s in shown for i in range(low, high + 1)]
        return shown


@dataclass(frozen=True)
class UnmodelledType:
    """REAL, STRING, DATE and their like: the checker knows nothing of such values."""

    name: str


Kind: TypeAlias = Type | Structure | Array | UnmodelledType | StandardBlock | tree.Unit

Initial: TypeAlias = (
    "Value | RealNumber | Mapping[str, Initial] | tuple[Initial, ...] | tuple[tree.PinValue, ...]"
    " | None"
)
"""Of an elementary type its value, of a structure its members' by name in upper case, of an array
its elements', of a block its pin values, of REAL and LREAL the number where it is one, of any
other unmodelled type None; None too where platforms differ in it."""


class KnownType(NamedTuple):
    """A kind with the initial value of its variables."""

    type: Kind
    initial: Initial


def is_elementary(kind: object) -> bool:
    """Whether the typed program has variables of this kind."""
    return isinstance(kind, Boolean | Integer | BitString | Duration | Enumeration)


def kind_name(kind: Kind) -> str:
    """The kind's name as a user writes it."""
    if isinstance(kind, StandardBlock):
        return kind.value
    return kind.name.text if isinstance(kind, tree.Unit) else kind.name


def types_in(root: object) -> Iterator[str]:
    """The names, in upper case, of the types in declarations."""
    nodes = nodes_below(root)
    return (node.name.key for node in nodes if isinstance(node, tree.NamedType))


def without_indices(path: str) -> str:
    """A path with its indices left open: ``axes[].speed``."""
    return re.sub(r"\[[^\]]*\]", "[]", path)
