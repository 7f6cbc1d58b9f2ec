"""Single bits of bit strings and integers, read and written.

IEC 61131-3 Ed. 3, 6.5.1.5 (from memory): ``x.3`` and ``x.%X3``; bit 0 is the least significant.
An integer's bits are those of its two's complement.
"""

from __future__ import annotations

from twohand.program import (
    Apply,
    Convert,
    Expression,
    Literal,
    Operation,
    Operator,
    StandardFunction,
)
from twohand.program.types import BOOL, BYTE, DWORD, LWORD, WORD, BitString, Integer, Subrange
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.folding import fold

_BY_WIDTH = {kind.bits: kind for kind in (BYTE, WORD, DWORD, LWORD)}


def check_bit(whole: Expression, bit: tree.Bit, span: Span) -> Expression:
    """The value of one bit; InputError where there is no such bit."""
    bits, kind = _as_bits(whole, bit, span)
    mask = Literal(1 << bit.number, kind, span)
    both = fold(Operation(Operator.AND, (bits, mask), kind, span))
    return fold(Operation(Operator.UNEQUAL, (both, Literal(0, kind, span)), BOOL, span))


def with_bit(whole: Expression, bit: tree.Bit, value: Expression, span: Span) -> Expression:
    """The whole with one bit replaced; the new bit's value is evaluated first."""
    bits, kind = _as_bits(whole, bit, span)
    if isinstance(whole.type, Subrange):
        message = "a bit of a variable of a subrange is not written"
        raise wrong("unsupported-bit-access", message, span, "assign the whole number")
    mask = 1 << bit.number
    cleared = Operation(Operator.AND, (bits, Literal(kind.highest ^ mask, kind, span)), kind, span)
    filled = Operation(Operator.OR, (bits, Literal(mask, kind, span)), kind, span)
    result: Expression = Apply(StandardFunction.SEL, (value, cleared, filled), kind, span)
    return result if whole.type == kind else Convert(result, whole.type, span)


def _as_bits(whole: Expression, bit: tree.Bit, span: Span) -> tuple[Expression, BitString]:
    if bit.size != "X":
        message = (
            "the checker does not read parts of a bit string other than single bits "
            f"(.%{bit.size}{bit.number})"
        )
        way = "use SHR and a conversion, for instance WORD_TO_BYTE(SHR(w, 8))"
        raise wrong("unsupported-bit-access", message, bit.span, way)
    kind = whole.type
    if isinstance(kind, Subrange):
        whole, kind = Convert(whole, kind.base, span), kind.base
    if not isinstance(kind, BitString | Integer):
        message = f"{kind.name} has no bits"
        raise wrong("no-members", message, bit.span, "only bit strings and integers have bits")
    if bit.number >= kind.bits:
        message = f"{kind.name} has no bit {bit.number}"
        raise wrong("index-out-of-range", message, bit.span, f"its bits are 0 to {kind.bits - 1}")
    if isinstance(kind, BitString):
        return whole, kind
    width = _BY_WIDTH[kind.bits]
    return fold(Convert(whole, width, span)), width
