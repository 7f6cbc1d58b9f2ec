"""The expressions and statements of the typed program."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import TypeAlias

from twohand.program.types import BOOL, RealConstant, Type, Value
from twohand.program.variables import StandardInstance, Variable
from twohand.text.source_text import Span


class Operator(Enum):
    """Operators; both operands of a binary one have the same type, except those noted."""

    NOT = "NOT"  # BOOL or bit string
    NEGATE = "-"  # integer or duration
    AND = "AND"  # BOOL or bit string; every operand is evaluated
    OR = "OR"
    XOR = "XOR"
    ADD = "+"  # integers or durations
    SUBTRACT = "minus"  # as +; readings of the clock, of which it gives the duration between
    MULTIPLY = "*"  # integers, or duration * integer (in this order)
    DIVIDE = "/"  # integers, or duration / integer; truncates toward zero
    MODULO = "MOD"  # integers; sign of the dividend
    POWER = "**"  # integers; the exponent is a non-negative literal
    EQUAL = "="
    UNEQUAL = "<>"
    LESS = "<"  # integers, bit strings (unsigned), durations
    LESS_EQUAL = "<="
    GREATER = ">"
    GREATER_EQUAL = ">="


class StandardFunction(Enum):
    ABS = "ABS"  # 1 operand
    MIN = "MIN"  # 2 or more operands of one type
    MAX = "MAX"
    LIMIT = "LIMIT"  # lowest, in, highest: MIN(MAX(in, lowest), highest)
    SEL = "SEL"  # BOOL, value if FALSE, value if TRUE
    MUX = "MUX"  # integer K from 0, then the values; K outside them is a finding
    SHL = "SHL"  # bit string, integer count >= 0 (a negative one is a finding)
    SHR = "SHR"
    ROL = "ROL"
    ROR = "ROR"


@dataclass(frozen=True, eq=False)
class Literal:
    value: Value
    type: Type
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Read:
    variable: Variable
    span: Span = field(repr=False)

    @property
    def type(self) -> Type:
        return self.variable.type


@dataclass(frozen=True, eq=False)
class Operation:
    """``type`` is BOOL for comparisons, else the type of the first operand."""

    operator: Operator
    operands: tuple[Expression, ...]
    type: Type
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Apply:
    """A standard function; ``type`` is the type of its value operands."""

    function: StandardFunction
    operands: tuple[Expression, ...]
    type: Type
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Dimension:
    """One variable index: ``count`` values from ``lowest`` on."""

    index: Expression
    lowest: int
    count: int


@dataclass(frozen=True, eq=False)
class Element:
    """One of ``values`` (in row-major order of the dimensions); the indices are evaluated left to
    right, then the values; an index outside of its dimension is a finding at ``span``."""

    dimensions: tuple[Dimension, ...]
    values: tuple[Expression, ...]
    type: Type
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Convert:
    """A conversion, implicit or written (``INT_TO_DINT``).

    integer to integer: same value, overflow finding where it does not fit. BOOL to number or bit
    string: 0 or 1. Integer to bit string: two's complement, low bits. Bit string to bit string:
    low bits, zeros above. Bit string to integer: a target of the same width takes the bits as its
    own representation (two's complement if signed), else the unsigned value, overflow finding
    where it does not fit. Enumeration to integer: its value. Duration to integer: whole
    milliseconds, truncated toward zero, overflow finding. Integer to duration: that many
    milliseconds. TIME to LTIME and back: same value.
    """

    operand: Expression
    type: Type
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class CallFunction:
    """A call of a user's function: arguments are evaluated left to right, then bound, then
    ``routine`` runs, then ``outputs`` are assigned; the value is that of ``result``.

    The function's variables exist once (no recursion), all are initialised at each call by the
    routine's ``initialise``.
    """

    name: str
    arguments: tuple[tuple[Variable, Expression], ...]
    routine: Routine
    outputs: tuple[Store, ...]
    result: Variable
    span: Span = field(repr=False)

    @property
    def type(self) -> Type:
        return self.result.type


@dataclass(frozen=True, eq=False)
class ShortCircuit:
    """AND_THEN or OR_ELSE of Booleans (``operator``: AND or OR) whose right operand can be a
    finding or change something: it is evaluated only where the left one does not decide."""

    operator: Operator
    left: Expression
    right: Expression
    span: Span = field(repr=False)

    @property
    def type(self) -> Type:
        return BOOL


@dataclass(frozen=True, eq=False)
class CompareReal:
    """``operand operator constant``; the operand's type is ``RealClasses`` that have the constant.
    With not-a-number every comparison is FALSE but for <> (IEEE 754-2019, 5.11, from memory)."""

    operator: Operator
    operand: Expression
    constant: RealConstant
    span: Span = field(repr=False)

    @property
    def type(self) -> Type:
        return BOOL


@dataclass(frozen=True, eq=False)
class Uncomputed:
    """A value made of REALs that nobody computes: while a program is read only, then an input that
    may have any value (``twohand.typecheck.reals.uncomputed``). ``parts`` are evaluated first.
    ``formula`` says how it is made, with the ``leaves`` among its operands that are modelled; it is
    empty where some operand may be another one wherever it is read."""

    type: Type
    parts: tuple[Expression, ...]
    formula: str
    leaves: tuple[Variable, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class PlatformChoice:
    """Whether the platform reads an open point so: ``reading`` is a field of
    ``twohand.scan.clocking.Readings``."""

    reading: str
    span: Span = field(repr=False)

    @property
    def type(self) -> Type:
        return BOOL


Expression: TypeAlias = (
    Literal
    | Read
    | Operation
    | Apply
    | Element
    | Convert
    | CallFunction
    | ShortCircuit
    | CompareReal
    | PlatformChoice
    | Uncomputed
)


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
    """Leaves the routine that it is in."""

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
