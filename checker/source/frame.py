"""One instance of a unit: its variables under their full paths, and what its names stand for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from checker.source import tree
from checker.source.depth import DEEPEST_PROGRAM, depth_of
from checker.source.diagnostic import Diagnostic, InputError
from checker.source.library import Library
from checker.source.program import (
    Literal,
    Role,
    Routine,
    StandardBlock,
    StandardInstance,
    Statement,
    Variable,
)
from checker.source.text import Span
from checker.source.types import Enumeration, Type

MOST_VARIABLES = 20_000
MOST_BODIES = 5_000
"""Instances, and bodies written out; what people write has a hundred."""


@dataclass(frozen=True, eq=False)
class VariableEntity:
    """``role`` is that of the frame's own section: an in-out parameter is IN_OUT there, whatever
    the variable that it stands for is to its own block."""

    variable: Variable
    role: Role


@dataclass(frozen=True, eq=False)
class ConstantEntity:
    literal: Literal


@dataclass(frozen=True, eq=False)
class StandardEntity:
    instance: StandardInstance


@dataclass(frozen=True, eq=False)
class BlockEntity:
    name: str
    frame: Frame


@dataclass(frozen=True, eq=False)
class Broken:
    """Declared, but wrongly; its declaration is reported, its uses are not."""


Entity: TypeAlias = VariableEntity | ConstantEntity | StandardEntity | BlockEntity | Broken


@dataclass(frozen=True, eq=False)
class InOut:
    """An in-out parameter: ``kind`` is what the caller's variable must be, exactly."""

    name: tree.Identifier
    kind: Type | StandardBlock | tree.Unit


@dataclass(eq=False)
class Frame:
    """``prefix`` stands before the names of its variables (``press.``)."""

    unit: tree.Unit
    prefix: str
    retain: bool = False
    entities: dict[str, Entity] = field(default_factory=dict)
    inputs: dict[str, Variable] = field(default_factory=dict)
    outputs: dict[str, Variable] = field(default_factory=dict)
    in_outs: dict[str, InOut] = field(default_factory=dict)
    temporaries: list[Variable] = field(default_factory=list)
    enumerations: list[Enumeration] = field(default_factory=list)
    routines: dict[tuple[int, ...], Routine] = field(default_factory=dict)
    result: Variable | None = None

    def names(self) -> list[str]:
        """Every name that its declarations give, as they are written."""
        return [
            name.text
            for section in self.unit.sections
            for declaration in section.declarations
            for name in declaration.names
        ]


@dataclass(eq=False)
class Assembly:
    """The program as it is put together: what all frames share."""

    library: Library
    prefix: str = ""
    problems: list[Diagnostic] = field(default_factory=list)
    variables: list[Variable] = field(default_factory=list)
    instances: list[StandardInstance] = field(default_factory=list)
    constants: dict[str, Literal] = field(default_factory=dict)
    functions: dict[str, Frame] = field(default_factory=dict)
    declaring: list[tree.Unit] = field(default_factory=list)
    resolving: list[Frame] = field(default_factory=list)
    bodies_made: int = 0
    depths: dict[int, int] = field(default_factory=dict)
    top_names: set[str] = field(default_factory=set)
    bodies: Callable[[Frame, Mapping[str, Entity]], tuple[Statement, ...]] | None = None
    """Resolves the body of a frame; set by ``resolve``, since calls and statements need each
    other."""

    def add_variable(self, variable: Variable) -> Variable:
        """InputError (``program-too-large``) beyond ``MOST_VARIABLES``."""
        if len(self.variables) >= MOST_VARIABLES:
            raise _too_large(f"{MOST_VARIABLES} variables", variable.span)
        self.variables.append(variable)
        return variable

    def add_body(self, span: Span) -> None:
        """Count an instance or a body; InputError (``program-too-large``) beyond the most."""
        if self.bodies_made >= MOST_BODIES or len(self.variables) >= MOST_VARIABLES:
            raise _too_large(f"{MOST_BODIES} instances or calls to write out", span)
        self.bodies_made += 1

    def note(self, error: InputError) -> None:
        """Keep what is wrong and go on."""
        self.problems.extend(error.diagnostics)

    def check_depth(self, routine: Routine, place: Span) -> None:
        """InputError (``nested-too-deep``) for a routine that nests beyond the bound."""
        depth = depth_of(routine, self.depths)
        if depth > DEEPEST_PROGRAM:
            raise InputError(
                Diagnostic(
                    "nested-too-deep",
                    f"this is nested {depth} levels deep with all that it calls",
                    place,
                    f"split it up with further variables; {DEEPEST_PROGRAM} levels are read",
                )
            )
        self.depths[id(routine)] = depth


def _too_large(what: str, span: Span) -> InputError:
    return InputError(
        Diagnostic(
            "program-too-large",
            f"the block and its instances have more than {what}",
            span,
            "check a smaller part of it",
        )
    )


def entity_key(entity: Entity) -> int:
    """Equal for entities that are the same variable or instance."""
    match entity:
        case VariableEntity(variable=variable):
            return id(variable)
        case StandardEntity(instance=instance):
            return id(instance)
        case BlockEntity(frame=frame):
            return id(frame)
    return id(entity)


def kind_of(entity: Entity) -> Type | StandardBlock | tree.Unit | None:
    """What an entity is, to compare with what an in-out parameter asks for."""
    match entity:
        case VariableEntity(variable=variable):
            return variable.type
        case StandardEntity(instance=instance):
            return instance.block
        case BlockEntity(frame=frame):
            return frame.unit
    return None


def kind_name(kind: Type | StandardBlock | tree.Unit) -> str:
    """The kind's name as a user writes it."""
    if isinstance(kind, StandardBlock):
        return kind.value
    return kind.name.text if isinstance(kind, tree.Unit) else kind.name
