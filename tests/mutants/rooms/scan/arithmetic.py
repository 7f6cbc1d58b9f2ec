"""Arithmetic on values, the clocking and the readings."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants
from tests.mutants.rooms.tables import EXECUTOR_TABLE

ROOM = "scan arithmetic"
VALUES = (
    "scan/concrete/test_execute_arithmetic.py",
    "scan/meaning/test_language_meaning.py",
    EXECUTOR_TABLE,
)
SUBRANGE = "a_value_outside_of_a_subrange_is_a_finding_even_where_integers_wrap"

MUTANTS = (
    *mutants(
        ROOM,
        "scan/arithmetic.py",
        VALUES,
        Change(
            "a quotient is never negative",
            "return magnitude if (dividend < 0) == (divisor < 0) else -magnitude",
            "return magnitude",
        ),
        Change(
            "a quotient is rounded down",
            "magnitude = abs(dividend) // abs(divisor)",
            "return dividend // divisor\n    magnitude = 0",
        ),
        Change(
            "nothing exceeds its type",
            "if self.unbounded or kind.lowest <= value <= kind.highest:",
            "if self.unbounded or kind.lowest <= value:",
        ),
        Change(
            "nothing falls below its type",
            "if self.unbounded or kind.lowest <= value <= kind.highest:",
            "if self.unbounded or value <= kind.highest:",
        ),
        Change(
            "a subrange wraps around",
            "if not self.integers_wrap or isinstance(kind, Subrange):",
            "if not self.integers_wrap:",
            (f"scan/meaning/test_data_meaning.py::test_{SUBRANGE}",),
        ),
        Change(
            "what wraps begins at zero",
            "return (value - kind.lowest) % (1 << kind.bits) + kind.lowest",
            "return value % (1 << kind.bits)",
        ),
        Change("a remainder has the divisor's sign", "left - right * quotient", "left % right"),
        Change(
            "LIMIT prefers its least",
            "min(max(value, lowest), highest)",
            "max(min(value, highest), lowest)",
        ),
        Change(
            "SEL takes the other value",
            "if_true if selector else if_false",
            "if_false if selector else if_true",
        ),
        Change(
            "MUX counts a negative index from the end",
            "if not 0 <= selector < len(choices):",
            "if not selector < len(choices):",
        ),
        Change(
            "a bit string of its own size is a positive number",
            "return value - (1 << target.bits) if value > target.highest else int(value)",
            "return int(value)",
        ),
        Change(
            "a narrower bit string keeps all bits",
            "return int(value) & target.highest",
            "return int(value)",
        ),
        Change(
            "milliseconds pass for units",
            "self.fit(value * self.clocking.units_per_millisecond, target, span)",
            "self.fit(value, target, span)",
        ),
        Change(
            "NOT has a sign", "return lambda bits: bits ^ kind.highest", "return lambda bits: ~bits"
        ),
        Change(
            "what is shifted out stays",
            "return 0 if count >= kind.bits else (bits << count) & kind.highest",
            "return bits << count",
        ),
        Change("ROR turns left", "            count = -count", "            count = +count"),
        Change(
            "a power that wraps overflows",
            "if self.integers_wrap and not self.unbounded:",
            "if self.unbounded:",
        ),
        Change(
            "a power of many bits is in its type",
            "return self.fit(base**exponent, kind, span)",
            "return base**exponent",
        ),
        Change(
            "the sum of several is checked at its end only",
            "result = self.fit(_binary(operation, result, value), operation.type, operation.span)",
            "result = _binary(operation, result, value)",
        ),
        Change(
            "units pass for milliseconds",
            "return self.fit(truncated_quotient(value, per_millisecond), target, span)",
            "return self.fit(value, target, span)",
        ),
    ),
    *mutants(
        ROOM,
        "scan/clocking.py",
        ("scan/concrete/test_execute_machine.py",),
        Change(
            "a part of a unit is left out", "        if remainder:", "        if remainder < 0:"
        ),
        Change(
            "one choice stands for every reading",
            "product((False, True), repeat=len(names))",
            "product((True,), repeat=len(names))",
            ("scan/concrete/test_execute_machine.py",),
        ),
    ),
)
