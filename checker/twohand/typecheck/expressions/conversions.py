"""Written conversions: ``INT_TO_DINT(x)``, ``TO_DINT(x)`` (IEC 61131-3 Ed. 3, 6.6.2.5)."""

from __future__ import annotations

from twohand.program import Convert
from twohand.program.types import (
    ELEMENTARY,
    BitString,
    Boolean,
    Duration,
    Enumeration,
    Integer,
    Type,
)
from twohand.syntax import tree
from twohand.syntax.lexing.keywords import REFUSED, UNMODELLED
from twohand.text.diagnostic import wrong
from twohand.typecheck.expressions.folding import fold
from twohand.typecheck.expressions.operators import made_of, uncomputed, without_model
from twohand.typecheck.expressions.widening import NotModelled, Result, Untyped, fit
from twohand.typecheck.reals.formulas import joined
from twohand.typecheck.reals.numbers import FORMATS


def is_conversion(name: str) -> bool:
    """Whether a name in upper case is that of a conversion, be it one that is not read."""
    source, separator, target = name.rpartition("TO_")
    if not separator or (source and not source.endswith("_")):
        return False
    return _is_type(target)


def is_standard_conversion(name: str) -> bool:
    """Whether a name in upper case is that of a conversion between two types of the standard, or
    from any type to one: no unit may have such a name."""
    source = name.rpartition("TO_")[0].removesuffix("_")
    return is_conversion(name) and (not source or _is_type(source))


def _is_type(name: str) -> bool:
    return name in ELEMENTARY or name in UNMODELLED or name in REFUSED


def resolve_conversion(node: tree.Call, operand: Result) -> Result:
    """The conversion of an operand; InputError where it is not of the named type, or where what
    the conversion does is not the same everywhere."""
    name = node.name.text
    source_name, _, target_name = name.upper().rpartition("TO_")
    source_name = source_name.rstrip("_")
    for word in (source_name, target_name):
        if word in REFUSED:
            refused = REFUSED[word]
            what = refused.what.format(word=word)
            message = f"the checker does not read {what}"
            raise wrong(refused.code, message, node.name.span, refused.way)
    if target_name in UNMODELLED:
        return without_model((operand,), node.span, target_name, made_by=name.upper())
    if isinstance(operand, NotModelled):
        target = ELEMENTARY[target_name]
        if operand.type_name in FORMATS and isinstance(target, Integer | BitString):
            made = joined(name.upper(), [made_of(operand)])
            return uncomputed(target, (operand,), made, node.span)
        return without_model((operand,), node.span)
    if source_name in UNMODELLED:
        return without_model((operand,), node.span, source_name)
    source = _source_type(node, source_name, operand)
    value = fit(operand, source)
    target = ELEMENTARY[target_name]
    if value.type == target:
        return value
    way = _why_not(value.type, target)
    if way is not None:
        message = f"{value.type.name} is not converted to {target.name}"
        raise wrong("unsupported-conversion", message, node.span, way)
    return fold(Convert(value, target, node.span))


def _source_type(node: tree.Call, name: str, operand: Result) -> Type | None:
    """The type before ``_TO_``; None for ``TO_DINT`` and for an enumeration named there."""
    if not name:
        return None
    if name in ELEMENTARY:
        return ELEMENTARY[name]
    if (
        not isinstance(operand, Untyped | NotModelled)
        and isinstance(operand.type, Enumeration)
        and operand.type.name.upper() == name
    ):
        return operand.type
    way = f"write TO_{node.name.text.upper().rpartition('TO_')[2]}(...)"
    raise wrong("unknown-type", f"unknown type '{name}' in '{node.name.text}'", node.name.span, way)


def _why_not(source: Type, target: Type) -> str | None:
    """The way round a conversion that the checker does not do; None for those that it does."""
    if isinstance(target, Boolean):
        if isinstance(source, Integer | BitString):
            return "platforms differ here; write the comparison, for instance x <> 0"
        return "write the comparison"
    if isinstance(target, Duration) and isinstance(source, Boolean | BitString | Enumeration):
        return "convert it to UDINT first"
    if isinstance(source, Duration) and isinstance(target, BitString):
        return f"convert it to UDINT first: UDINT_TO_{target.name}({source.name}_TO_UDINT(...))"
    if isinstance(source, Enumeration) and not isinstance(target, Integer):
        return "convert it to INT first: TO_INT(...)"
    return None
