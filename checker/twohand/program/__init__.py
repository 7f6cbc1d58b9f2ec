"""The typed program: every name resolved, every type known, block instances flattened.

A function block's body is written out once for each of its instances, with that instance's
variables in place of its own, so that the two rooms that give a program its meaning (the executor
and the transition system) need no scopes. All nodes compare by identity and carry a span.
"""

from twohand.program.nodes import (
    Apply, Assign, AssignElement, CallBlock, CallFunction, CallStandard, Case, CompareReal,
    Continue, Convert, Dimension, Element, Evaluate, Exit, Expression, For, If, Literal, Operation,
    Operator, PlatformChoice, Read, Repeat, Restart, Return, Routine, ShortCircuit,
    StandardFunction, Statement, Store, Uncomputed, While,
)  # fmt: skip
from twohand.program.program import (
    LeftOut, Program, Task,
)  # fmt: skip
from twohand.program.variables import (
    CLOCK, Role, StandardBlock, StandardInstance, Variable,
)  # fmt: skip

__all__ = [
    "CLOCK", "Apply", "Assign", "AssignElement", "CallBlock", "CallFunction", "CallStandard",
    "Case", "CompareReal", "Continue", "Convert", "Dimension", "Element", "Evaluate", "Exit",
    "Expression", "For", "If", "LeftOut", "Literal", "Operation", "Operator", "PlatformChoice",
    "Program", "Read", "Repeat", "Restart", "Return", "Role", "Routine", "ShortCircuit",
    "StandardBlock", "StandardFunction", "StandardInstance", "Statement", "Store", "Task",
    "Uncomputed", "Variable", "While",
]  # fmt: skip
