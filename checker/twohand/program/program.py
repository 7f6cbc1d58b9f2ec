"""The typed program: every name resolved, every type known, block instances flattened.

A function block's body is written out once for each of its instances, with that instance's
variables in place of its own, so that the two rooms that give a program its meaning (the executor
and the transition system) need no scopes. All nodes compare by identity and carry a span.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TypeAlias

from twohand.program.expressions import *  # noqa: F403 - one name for all nodes
from twohand.program.expressions import Dimension, Expression, Literal, Role, Variable
from twohand.program.types import Enumeration
from twohand.text.source_text import SourceText, Span

# --- statements -------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Assign:
    target: Variable
    value: Expression
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class AssignElement:
    """Assigns to one of ``targets`` (row-major, of one type): ``value`` is evaluated, then the
    indices, left to right; an index outside of its dimension is a finding at ``place``."""

    dimensions: tuple[Dimension, ...]
    targets: tuple[Variable, ...]
    value: Expression
    place: Span = field(repr=False)
    span: Span = field(repr=False)


Store: TypeAlias = Assign | AssignElement


@dataclass(frozen=True, eq=False)
class If:
    branches: tuple[tuple[Expression, tuple[Statement, ...]], ...]
    otherwise: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Case:
    """The first arm that has a range (low, high, both inclusive) with the selector runs."""

    selector: Expression
    arms: tuple[tuple[tuple[tuple[int, int], ...], tuple[Statement, ...]], ...]
    otherwise: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class For:
    """``last`` is evaluated once; ``step`` is a non-zero constant; tested before each iteration.

    After a normal end the variable is one step past the last value used, or that value itself
    (a reading, ``twohand.scan.clocking``); after no iteration it is ``first``. A value outside the
    variable's range is an overflow finding.
    """

    variable: Variable
    first: Expression
    last: Expression
    step: int
    body: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class While:
    condition: Expression
    body: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Repeat:
    body: tuple[Statement, ...]
    until: Expression
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Exit:
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Continue:
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Return:
    """Leaves the routine that it stands in."""

    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Evaluate:
    """A function called as a statement; its value is dropped."""

    expression: Expression
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Routine:
    """A body with the variables that get their initial value at each of its calls."""

    initialise: tuple[Variable, ...]
    body: tuple[Statement, ...]


@dataclass(frozen=True, eq=False)
class CallBlock:
    """A call of a user's block instance: arguments are evaluated left to right, then assigned to
    the instance's inputs, then ``routine`` runs, then ``outputs`` (from ``=>``) are assigned.
    An in-out parameter does not appear: its uses in the routine are the caller's variable."""

    name: str
    arguments: tuple[tuple[Variable, Expression], ...]
    routine: Routine
    outputs: tuple[Store, ...]
    span: Span = field(repr=False)


class StandardBlock(Enum):
    TON = "TON"  # IN, PT -> Q, ET
    TOF = "TOF"
    TP = "TP"
    R_TRIG = "R_TRIG"  # CLK -> Q
    F_TRIG = "F_TRIG"
    SR = "SR"  # S1, R -> Q1
    RS = "RS"  # S, R1 -> Q1
    CTU = "CTU"  # CU, R, PV -> Q, CV
    CTD = "CTD"  # CD, LD, PV -> Q, CV
    CTUD = "CTUD"  # CU, CD, R, LD, PV -> QU, QD, CV


@dataclass(frozen=True, eq=False)
class StandardInstance:
    """An instance of a standard block.

    ``pins`` maps each pin's name (upper case) to its variable; pins keep their value between
    scans and can be read and (inputs) assigned without a call. What a block remembers besides its
    pins (last IN, age ...) belongs to the rooms that give it meaning.
    """

    name: str
    block: StandardBlock
    pins: Mapping[str, Variable]
    span: Span = field(repr=False)
    retain: bool = False
    surroundings: bool = False
    """Part of the surroundings, not of the user's program: its edge call contributes no time,
    whatever the platform does."""


@dataclass(frozen=True, eq=False)
class CallStandard:
    """Arguments are evaluated left to right, then assigned to pins; then the block runs; then
    ``outputs`` are assigned."""

    instance: StandardInstance
    arguments: tuple[tuple[Variable, Expression], ...]
    outputs: tuple[Store, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Restart:
    """The program forgets what it does not retain (IEC 61131-3 Ed. 2, 2.4.2, warm restart): the
    variables get their initial values, and the instances (and their pins, which are among
    ``variables``) are as before their first call."""

    variables: tuple[Variable, ...]
    instances: tuple[StandardInstance, ...]
    span: Span = field(repr=False)


Statement: TypeAlias = (
    Assign
    | AssignElement
    | If
    | Case
    | For
    | While
    | Repeat
    | Exit
    | Continue
    | Return
    | Evaluate
    | CallBlock
    | CallStandard
    | Restart
)


@dataclass(frozen=True, eq=False)
class LeftOut:
    """Something that the program says and the model does not have, in words for the report;
    ``variable`` is the name of a variable that is missing altogether."""

    what: str
    span: Span = field(repr=False)
    variable: str | None = None


@dataclass(frozen=True, eq=False)
class Task:
    """A task of a configuration; ``interval`` is in nanoseconds, None for one that an event
    starts; ``programs`` are those of its programs that have the block in them."""

    name: str
    interval: int | None
    programs: tuple[str, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Program:
    """The block to check, ready to be given a meaning.

    ``inputs`` are read anew at each scan (VAR_INPUT and VAR_IN_OUT of the top block, of a plant
    those that nothing drives). ``variables`` are all variables, inputs, pins and function
    variables included, in order of declaration. ``routine`` is one scan's work.
    """

    name: str
    inputs: tuple[Variable, ...]
    outputs: tuple[Variable, ...]
    variables: tuple[Variable, ...]
    instances: tuple[StandardInstance, ...]
    routine: Routine
    constants: Mapping[str, Literal] = field(default_factory=dict)
    enumerations: Mapping[str, Enumeration] = field(default_factory=dict)
    sources: tuple[SourceText, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    tasks: tuple[Task, ...] = ()
    """The tasks in which the block runs; all of the configuration where it names no block."""
    changed_inputs: frozenset[Variable] = frozenset()
    """Inputs that the block writes too: variables shared with others."""
    aliases: Mapping[str, str] = field(default_factory=dict)
    """Further names of variables, with small letters, and the name that each stands for."""
    addresses: Mapping[str, str] = field(default_factory=dict)
    """The direct addresses of the variables that have one, by their names."""

    @property
    def sampled(self) -> tuple[Variable, ...]:
        """The inputs whose value in a scan is what was sampled. An in-out variable is read anew as
        well, but its value is what the body leaves in it."""
        changed = self.changed_inputs
        return tuple(v for v in self.inputs if v.role is not Role.IN_OUT and v not in changed)

    def variable(self, name: str) -> Variable | None:
        """The variable of this path, in any letter case."""
        wanted = self.aliases.get(name.casefold(), name).casefold()
        return next((v for v in self.variables if v.name.casefold() == wanted), None)
