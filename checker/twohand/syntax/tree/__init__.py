"""The syntax tree of structured text, before names and types are resolved.

Every node carries the span of its whole text. Parentheses leave no node. Names keep the user's
spelling; compare them with ``Identifier.key``. Nodes compare by identity.
"""

from twohand.syntax.tree.declarations import (
    Address, ArrayType, ArrayValue, ArrayValues, Bounds, Declaration, EnumerationItem,
    EnumerationType, InitialNode, NamedType, PinValue, PinValues, Repeated, Section,
    StringType, StructureType, SubrangeType, TypeDeclaration, TypeNode,
)  # fmt: skip
from twohand.syntax.tree.expressions import (
    AccessPath, Argument, Binary, Bit, Call, EnumerationValue, Expression, Identifier, Index,
    Literal, Name, PathCall, Selector, Unary, Unconnected, UnmodelledLiteral,
)  # fmt: skip
from twohand.syntax.tree.statements import (
    Arm, Assign, Branch, CallStatement, Case, Continue, Empty, Exit, For, If, Label, Repeat,
    Return, SetAssign, Statement, While,
)  # fmt: skip
from twohand.syntax.tree.units import (
    Action, Configuration, Interface, Member, Method, ProgramUse, Property, SourceFile, Task,
    Unit, UnitKind, UnreadMember,
)  # fmt: skip

__all__ = [
    "AccessPath", "Action", "Address", "Argument", "Arm", "ArrayType", "ArrayValue",
    "ArrayValues", "Assign", "Binary", "Bit", "Bounds", "Branch", "Call", "CallStatement",
    "Case", "Configuration", "Continue", "Declaration", "Empty", "EnumerationItem",
    "EnumerationType", "EnumerationValue", "Exit", "Expression", "For", "Identifier", "If",
    "Index", "InitialNode", "Interface", "Label", "Literal", "Member", "Method", "Name",
    "NamedType", "PathCall", "PinValue", "PinValues", "ProgramUse", "Property", "Repeat",
    "Repeated", "Return", "Section", "Selector", "SetAssign", "SourceFile", "Statement",
    "StringType", "StructureType", "SubrangeType", "Task", "TypeDeclaration", "TypeNode",
    "Unary",
    "Unconnected", "Unit", "UnitKind", "UnmodelledLiteral", "UnreadMember", "While",
]  # fmt: skip
