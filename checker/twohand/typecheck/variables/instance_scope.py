"""One instance of a unit: its variables under their full paths, and what its names mean."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum, auto
from typing import Protocol, TypeAlias

from twohand.program import (
    LeftOut,
    Literal,
    Role,
    Routine,
    StandardBlock,
    StandardInstance,
    Statement,
    Variable,
)
from twohand.program.standard_blocks import STANDARD_BLOCKS
from twohand.program.types import BOOL, Enumeration, Value
from twohand.program.walks import DEEPEST_PROGRAM, depth_of
from twohand.syntax import tree
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.source_text import Span
from twohand.typecheck.reals.numbers import RealOperand
from twohand.typecheck.units.globals import GlobalVariable
from twohand.typecheck.units.inheritance import NO_BASES, Lineage
from twohand.typecheck.units.kinds import Array, Kind, Structure, UnmodelledType
from twohand.typecheck.units.outside_writes import OutsideWrites
from twohand.typecheck.units.unit_table import UnitTable
from twohand.typecheck.variables.addresses import Place

MOST_VARIABLES = 20_000
MOST_BODIES = 5_000
"""Instances, and bodies written out; what people write has a hundred."""


@dataclass(frozen=True, eq=False)
class VariableEntity:
    """``role`` is that of the frame's own section: an in-out parameter is IN_OUT there, whatever
    the variable that it means is to its own block."""

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
    frame: InstanceScope


@dataclass(frozen=True, eq=False)
class StructureEntity:
    """``members`` by name in upper case."""

    kind: Structure
    members: Mapping[str, Entity]


@dataclass(frozen=True, eq=False)
class ArrayEntity:
    """``elements`` in row-major order."""

    kind: Array
    elements: tuple[Entity, ...]


@dataclass(frozen=True, eq=False)
class UnmodelledEntity:
    """A variable of a type whose values are not modelled; ``real`` is what one of REAL or LREAL can
    be compared as all the same."""

    name: str
    kind: UnmodelledType
    role: Role
    real: RealOperand | None = None


@dataclass(frozen=True, eq=False)
class ErrorEntity:
    """Declared, but wrongly; its declaration is reported, its uses are not."""


Entity: TypeAlias = (
    VariableEntity
    | ConstantEntity
    | StandardEntity
    | BlockEntity
    | StructureEntity
    | ArrayEntity
    | UnmodelledEntity
    | ErrorEntity
)


@dataclass(frozen=True, eq=False)
class InOut:
    """An in-out parameter: ``kind`` is what the caller's variable must be, exactly."""

    name: tree.Identifier
    kind: Kind


class CodeKind(Enum):
    """What statements of a block are: that decides which of its variables they see."""

    BODY = auto()
    BODY_FROM_METHOD = auto()
    ACTION = auto()
    ACTION_FROM_OUTSIDE = auto()
    METHOD = auto()
    GET = auto()
    SET = auto()


@dataclass(eq=False)
class InstanceScope:
    """``prefix`` begins the names of its variables (``press.``).

    A method, action or inherited body has a frame of its own, whose ``outer`` is the instance
    that it belongs to; ``level`` is where in the line of bases its text is, and ``codes`` has
    an instance's frames of that sort."""

    unit: tree.Unit
    prefix: str
    retain: bool = False
    outer: InstanceScope | None = None
    level: int = 0
    kind: CodeKind = CodeKind.BODY
    lineage: Lineage = NO_BASES
    codes: dict[tuple[CodeKind, int, str], InstanceScope] = field(default_factory=dict)
    edges: dict[str, tuple[Variable, StandardInstance]] = field(default_factory=dict)
    """The edge-qualified inputs, by name in upper case, with their hidden triggers."""
    copies: dict[str, tuple[Variable, Variable]] = field(default_factory=dict)
    """The inputs that the block assigns, by name in upper case, with what is there in the body."""
    entities: dict[str, Entity] = field(default_factory=dict)
    inputs: dict[str, Entity] = field(default_factory=dict)
    outputs: dict[str, Entity] = field(default_factory=dict)
    in_outs: dict[str, InOut] = field(default_factory=dict)
    temporaries: list[Variable] = field(default_factory=list)
    enumerations: list[Enumeration] = field(default_factory=list)
    routines: dict[tuple[object, ...], Routine] = field(default_factory=dict)
    named: dict[Routine, frozenset[Variable]] = field(default_factory=dict)
    """Of each of its routines what that, and what it calls, names but as in-out parameters."""
    result: Variable | None = None
    """What a call of a function is read from: of a structure or array its first part, of a result
    without model a variable that is never written."""

    @property
    def instance(self) -> InstanceScope:
        """The instance whose variables its statements see."""
        return self.outer or self

    def spelling(self, entities: Mapping[str, object]) -> list[str]:
        """The names of these, as they are written."""
        written = {name.upper(): name for name in self.names()}
        return [written.get(key, key) for key in entities]

    def names(self) -> list[str]:
        """Every name that its declarations give, as they are written."""
        return [name.text for name in self.unit.declared()]


@dataclass(frozen=True, eq=False)
class Shared:
    """A variable that may be changed from outside of the block: a global one, or one of the
    output or memory area at ``address``; ``key`` is its declared name in upper case. One that is
    its ``own`` is so only where some other unit writes it."""

    variable: Variable
    key: str
    address: str | None = None
    own: bool = False


@dataclass(frozen=True, eq=False)
class SharedInstance:
    """A global instance of a block; ``key`` is the name of the global variable that has it."""

    path: str
    key: str
    span: Span


class Others(Protocol):
    """What the files have beside the units that the block needs."""

    def naming(self, names: set[str]) -> tuple[Sequence[tree.Unit], set[str]]:
        """The further units in which one of some names or addresses occurs, and which of these
        are in units that cannot be read."""

    def writing(self, lineage: Sequence[str], own: Collection[str]) -> OutsideWrites:
        """What is written of the block from outside."""


@dataclass(eq=False)
class ProgramBuilder(ABC):
    """The program as it is put together: what all frames share. Names, statements and declarations
    need each other; ``resolve`` has all three.

    ``top`` is the unit that is checked."""

    library: UnitTable
    top: tree.Unit
    prefix: str
    others: Others
    problems: list[Diagnostic] = field(default_factory=list)
    warnings: list[Diagnostic] = field(default_factory=list)
    variables: list[Variable] = field(default_factory=list)
    instances: list[StandardInstance] = field(default_factory=list)
    constants: dict[str, Literal] = field(default_factory=dict)
    functions: dict[str, InstanceScope] = field(default_factory=dict)
    declaring: list[tree.Unit] = field(default_factory=list)
    resolving: list[InstanceScope] = field(default_factory=list)
    naming: list[set[Variable]] = field(default_factory=lambda: [set()])
    """For the program, and for each of the frames that are resolved, what its statements name."""
    bodies_made: int = 0
    depths: dict[Routine, int] = field(default_factory=dict)
    top_names: set[str] = field(init=False)
    names: set[str] = field(default_factory=set)
    left_out: dict[str, LeftOut] = field(default_factory=dict)
    statics: dict[tree.Identifier, Entity] = field(default_factory=dict)
    """The entities of VAR_STAT, by the names that declare them."""
    globals: dict[tree.Identifier, Entity] = field(default_factory=dict)
    """What the declarations of global variables gave that were needed."""
    declaring_globals: set[tree.Identifier] = field(default_factory=set)
    externals: dict[str, Entity] = field(default_factory=dict)
    """VAR_EXTERNAL that no file declares, by name in upper case."""
    aliases: dict[str, str] = field(default_factory=dict)
    places: list[Place] = field(default_factory=list)
    located: dict[str, Entity] = field(default_factory=dict)
    """What is at each address."""
    located_inputs: list[Variable] = field(default_factory=list)
    shared: list[Shared] = field(default_factory=list)
    shared_instances: list[SharedInstance] = field(default_factory=list)
    units: set[tree.Unit] = field(default_factory=set)
    """Every unit that a frame was made of."""
    programs: dict[str, BlockEntity] = field(default_factory=dict)
    """The instances of PROGRAMs that others name, by name in upper case."""
    real_constants: dict[str, str] = field(default_factory=dict)
    """What constants of REAL and LREAL are called in words, by their names."""
    real_inputs: list[Variable] = field(default_factory=list)
    """Inputs of REAL and LREAL, whether anything is compared with them or not."""
    reads_clock: bool = False
    """Whether some body calls ``TIME()``."""

    def __post_init__(self) -> None:
        self.top_names = {name.key for name in self.top.declared()}

    @abstractmethod
    def body(self, frame: InstanceScope, in_outs: Mapping[str, Entity]) -> tuple[Statement, ...]:
        """The statements of a frame."""

    @abstractmethod
    def global_entity(self, found: GlobalVariable) -> Entity:
        """What a global variable is, declared at its first use."""

    @abstractmethod
    def program_instance(self, name: tree.Identifier) -> BlockEntity | None:
        """The one instance of the PROGRAM of this name; None where there is none."""

    def add_variable(self, variable: Variable) -> Variable:
        """InputError (``program-too-large``) beyond ``MOST_VARIABLES``."""
        if len(self.variables) >= MOST_VARIABLES:
            raise _too_large(f"{MOST_VARIABLES} variables", variable.span)
        if variable.name.casefold() in self.names:
            message = f"two variables would be called '{variable.name}'"
            raise wrong("ambiguous-name", message, variable.span, "rename one of them")
        self.names.add(variable.name.casefold())
        self.variables.append(variable)
        return variable

    def add_standard(
        self, path: str, block: StandardBlock, span: Span, retain: bool, values: Mapping[str, Value]
    ) -> StandardInstance:
        """An instance of a standard block with its pins; ``values`` are those with which pins
        begin otherwise than with FALSE or 0."""
        pins = {}
        for pin in STANDARD_BLOCKS[block]:
            value = values.get(pin.name, False if pin.type == BOOL else 0)
            variable = Variable(f"{path}.{pin.name}", pin.type, pin.role, value, span, retain)
            pins[pin.name] = self.add_variable(variable)
        self.instances.append(StandardInstance(path, block, pins, span, retain))
        return self.instances[-1]

    def global_path(self, name: str, list_name: str) -> str:
        """What a global variable is called: its own name, else with its list's before it."""
        path = f"{self.prefix}{name}"
        if name.upper() in self.top_names or path.casefold() in self.names:
            return f"{self.prefix}{list_name}.{name}"
        return path

    def leave_out(self, what: str, span: Span, variable: str | None = None) -> None:
        """Note something that the program says and the model does not have."""
        self.left_out.setdefault(what.casefold(), LeftOut(what, span, variable))

    def add_body(self, span: Span) -> None:
        """Count an instance or a body; InputError (``program-too-large``) beyond the most."""
        if self.bodies_made >= MOST_BODIES or len(self.variables) >= MOST_VARIABLES:
            raise _too_large(f"{MOST_BODIES} instances or calls to write out", span)
        self.bodies_made += 1

    def check_depth(self, routine: Routine, place: Span) -> None:
        """InputError (``nested-too-deep``) for a routine that nests beyond the bound."""
        depth = depth_of(routine, self.depths)
        if depth > DEEPEST_PROGRAM:
            message = f"this is nested {depth} levels deep with all that it calls"
            way = f"split it up with further variables; {DEEPEST_PROGRAM} levels are read"
            raise wrong("nested-too-deep", message, place, way)
        self.depths[routine] = depth


def _too_large(what: str, span: Span) -> InputError:
    message = f"the block and its instances have more than {what}"
    return wrong("program-too-large", message, span, "check a smaller part of it")


def entity_key(entity: Entity) -> object:
    """Equal for entities that are the same variable or instance."""
    match entity:
        case VariableEntity(variable=variable):
            return variable
        case StandardEntity(instance=instance):
            return instance
        case BlockEntity(frame=frame):
            return frame
    return entity


def kind_of(entity: Entity) -> Kind | None:
    """What an entity is, to compare with what an in-out parameter asks for."""
    match entity:
        case VariableEntity(variable=variable):
            return variable.type
        case ConstantEntity(literal=literal):
            return literal.type
        case StandardEntity(instance=instance):
            return instance.block
        case BlockEntity(frame=frame):
            return frame.unit
        case StructureEntity() | ArrayEntity() | UnmodelledEntity():
            return entity.kind
    return None


def parts_of_entity(entity: Entity) -> Iterator[Entity]:
    """The elementary parts of a structure or an array, in the order of declaration; any other
    entity itself."""
    match entity:
        case StructureEntity(members=members):
            for member in members.values():
                yield from parts_of_entity(member)
        case ArrayEntity(elements=elements):
            for element in elements:
                yield from parts_of_entity(element)
        case _:
            yield entity


def variables_of(entity: Entity) -> list[Variable]:
    """The variables that an entity is made of; none of instances in it."""
    parts = parts_of_entity(entity)
    return [part.variable for part in parts if isinstance(part, VariableEntity)]


def instances_in(entity: Entity) -> Iterator[str]:
    """The paths of the instances of blocks in an entity, itself included."""
    for part in parts_of_entity(entity):
        if isinstance(part, StandardEntity):
            yield part.instance.name
        elif isinstance(part, BlockEntity):
            yield part.name
