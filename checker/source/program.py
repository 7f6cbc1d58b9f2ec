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

from checker.source.text import SourceText, Span
from checker.source.types import BOOL, Enumeration, Type, Value


class Role(Enum):
    """The declaration section of a variable in the block that declares it."""

    INPUT = "VAR_INPUT"
    OUTPUT = "VAR_OUTPUT"
    IN_OUT = "VAR_IN_OUT"
    LOCAL = "VAR"
    TEMPORARY = "VAR_TEMP"


@dataclass(frozen=True, eq=False)
class Variable:
    """One flattened elementary variable; ``name`` is its path (``press.window.ET``), unique."""

    name: str
    type: Type
    role: Role
    initial: Value
    span: Span = field(repr=False)
    retain: bool = False


# --- expressions ------------------------------------------------------------------------------


class Operator(Enum):
    """Operators; both operands of a binary one have the same type, except those noted."""

    NOT = "NOT"  # BOOL or bit string
    NEGATE = "-"  # integer or duration
    AND = "AND"  # BOOL or bit string; every operand is evaluated
    OR = "OR"
    XOR = "XOR"
    ADD = "+"  # integers or durations
    SUBTRACT = "minus"
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
    outputs: tuple[Assign, ...]
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


Expression: TypeAlias = Literal | Read | Operation | Apply | Convert | CallFunction | ShortCircuit


# --- statements -------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Assign:
    target: Variable
    value: Expression
    span: Span = field(repr=False)


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
    (a reading, ``checker.scan.timing``); after no iteration it is ``first``. A value outside the
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
    outputs: tuple[Assign, ...]
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
    outputs: tuple[Assign, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Restart:
    """The supply came back: the variables get their initial values, and the instances (and their
    pins, which are among ``variables``) are as before their first call."""

    variables: tuple[Variable, ...]
    instances: tuple[StandardInstance, ...]
    span: Span = field(repr=False)


Statement: TypeAlias = (
    Assign
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

    @property
    def sampled(self) -> tuple[Variable, ...]:
        """The inputs whose value in a scan is what was sampled. An in-out variable is read anew as
        well, but its value is what the body leaves in it."""
        return tuple(v for v in self.inputs if v.role is not Role.IN_OUT)

    def variable(self, name: str) -> Variable | None:
        """The variable of this path, in any letter case."""
        wanted = name.casefold()
        return next((v for v in self.variables if v.name.casefold() == wanted), None)


def is_boolean(expression: Expression) -> bool:
    return expression.type == BOOL
