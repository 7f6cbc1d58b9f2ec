"""Expressions as terms, and the terms that fold."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants
from tests.mutants.rooms.tables import SYSTEM_TABLE

ROOM = "scan/symbolic terms"
ARITHMETIC = ("scan/symbolic/test_encode_arithmetic.py",)
LANGUAGE = (
    "scan/meaning/test_values_in_both_rooms.py",
    *ARITHMETIC,
    "scan/meaning/test_language_meaning.py",
    SYSTEM_TABLE,
)
DATA = ("scan/meaning/test_values_in_both_rooms.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "scan/symbolic/expressions.py",
        LANGUAGE,
        Change(
            "OR_ELSE goes on where it is decided",
            "goes_on = left if conjunction else negation(left)",
            "goes_on = left",
        ),
        Change(
            "a division by zero is not found",
            "operation.span, equal(right, 0))",
            "operation.span, False)",
        ),
        Change(
            "no quotient by a constant leaves its type",
            "return isinstance(divisor, int) and divisor >= 0",
            "return isinstance(divisor, int)",
        ),
        Change(
            "bit strings are compared as signed numbers",
            "return compare_bits(bits_of(left), bits_of(right))",
            "return left >= right",
        ),
        Change(
            "at most is at least",
            "            return _not_less(right, left, kind)",
            "            return _not_less(left, right, kind)",
        ),
        Change(
            "less is less or equal",
            "            return negation(_not_less(left, right, kind))",
            "            return _not_less(right, left, kind)",
        ),
        Change("SEL takes the other value", "operands[2], operands[1]", "operands[1], operands[2]"),
        Change(
            "MUX allows an index beyond its last",
            "at_least(index, len(values))",
            "at_least(index, len(values) + 1)",
        ),
        Change(
            "LIMIT prefers its least",
            "return _least(_greatest(value, lowest, kind), highest, kind)",
            "return _greatest(_least(value, highest, kind), lowest, kind)",
        ),
        Change(
            "an index below its limits is not found",
            "outside = either(below(index, dimension.lowest), at_least(index, end))",
            "outside = at_least(index, end)",
            DATA,
        ),
        Change(
            "the first index runs fastest",
            "[both(outer, inner) for outer in conditions for inner in here]",
            "[both(outer, inner) for inner in here for outer in conditions]",
            DATA,
        ),
        Change(
            "every element is written",
            "scan.assign(target, choose(condition, value, kept, scan.sort(target)), condition)",
            "scan.assign(target, value, condition)",
            DATA,
        ),
        Change(
            "ABS never overflows",
            "return in_range(scan, magnitude(number_of(operands[0])), kind, apply.span)",
            "return magnitude(number_of(operands[0]))",
        ),
        Change(
            "a negation never overflows",
            "return in_range(scan, difference(0, value), operation.type, operation.span)",
            "return difference(0, value)",
        ),
        Change(
            "a negative shift is not found",
            "apply.span, below(count, 0))",
            "apply.span, False)",
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/terms.py",
        LANGUAGE,
        Change(
            "a sum is compared on the wrong side",
            "return at_least(inner, bound - shift)",
            "return at_least(inner, bound + shift)",
        ),
        Change(
            "a difference is compared one off",
            "minuend - bound + 1)",
            "minuend - bound)",
        ),
        Change(
            "a multiple is compared with its bound rounded down",
            "-(-bound // scaled[0])",
            "bound // scaled[0]",
        ),
        Change(
            "a constant is at least one more than it is",
            "negation(_pushed(right, _leaf_at_least, left + 1))",
            "negation(_pushed(right, _leaf_at_least, left))",
        ),
        Change(
            "a sum equals on the wrong side",
            "return equal(inner, constant - shift)",
            "return equal(inner, constant + shift)",
        ),
        Change(
            "a multiple equals what it does not divide",
            "return False if remainder else equal(scaled[1], quotient)",
            "return equal(scaled[1], quotient)",
        ),
        Change(
            "a negated condition chooses the wrong branch",
            "condition, chosen, otherwise = boolean(parts_of(condition)[0]), otherwise, chosen",
            "condition = boolean(parts_of(condition)[0])",
        ),
        Change(
            "a choice of FALSE forgets its condition",
            "if chosen else both(negation(condition), other)",
            "if chosen else other",
        ),
        Change(
            "a condition is taken for its opposite within its own branch",
            "return branch == 1",
            "return branch == 2",
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/integers.py",
        LANGUAGE,
        Change(
            "the least value beyond a type is in it",
            "at_least(value, kind.highest + 1))",
            "at_least(value, kind.highest + 2))",
        ),
        Change(
            "nothing falls below its type",
            "outside = either(below(value, kind.lowest),",
            "outside = either(False,",
        ),
        Change(
            "a subrange wraps around",
            "if scan.readings.integers_wrap and not isinstance(kind, Subrange):",
            "if scan.readings.integers_wrap:",
            DATA,
        ),
        Change(
            "units pass for milliseconds",
            "milliseconds = truncated_quotient(number_of(value), scan.clocking.units_per_millisecond)",
            "milliseconds = value",
        ),
        Change(
            "milliseconds pass for units",
            "units = times(scan.clocking.units_per_millisecond, number_of(value))",
            "units = number_of(value)",
        ),
        Change(
            "a bit string of its own size is a positive number",
            "return wrapped(number, target.lowest, target.bits)",
            "return number",
        ),
        Change(
            "one number beyond its type does not wrap",
            "below(term, lowest + size))",
            "below(term, lowest + size + 1))",
        ),
        Change(
            "a quotient has the sign of its dividend",
            "negative = differs(below(left, 0), below(right, 0))",
            "negative = below(left, 0)",
        ),
        Change(
            "a remainder is never negative",
            "return choose(below(left, 0), times(-1, remainder), remainder, z3.IntSort())",
            "return remainder",
        ),
        Change(
            "constants of a sum are not added up",
            "return total(inner, known + shift)",
            "return total(inner, shift)",
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/bits.py",
        LANGUAGE,
        Change(
            "a wider bit string has its sign in front",
            "return z3.ZeroExt(target - source, value)",
            "return z3.SignExt(target - source, value)",
        ),
        Change(
            "a shift by the whole width changes nothing",
            "outside = either(at_least(distance, bits),",
            "outside = either(at_least(distance, bits + 1),",
        ),
        Change(
            "a rotation by more than the width is a shift",
            "count % bits if rotates else max(count, 0)",
            "max(count, 0)",
        ),
        Change(
            "zeros do not come in from the left",
            "return z3.ZeroExt(count, z3.Extract(bits - 1, count, value))",
            "return z3.SignExt(count, z3.Extract(bits - 1, count, value))",
        ),
        Change(
            "a constant keeps what is shifted out",
            "return (value << count) & mask",
            "return value << count",
        ),
    ),
)
