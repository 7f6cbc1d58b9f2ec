"""The standard function blocks with their pins, and the names of the standard functions.

IEC 61131-3 Ed. 2 Tables 34 to 37, Ed. 3 Tables 43 to 46.
"""

from __future__ import annotations

from typing import NamedTuple

from twohand.program.types import BOOL, INT, TIME, Type
from twohand.program.variables import Role, StandardBlock


class Pin(NamedTuple):
    name: str
    role: Role
    type: Type


def _pins(inputs: dict[str, Type], outputs: dict[str, Type]) -> tuple[Pin, ...]:
    return (
        *(Pin(name, Role.INPUT, kind) for name, kind in inputs.items()),
        *(Pin(name, Role.OUTPUT, kind) for name, kind in outputs.items()),
    )


_TIMER = _pins({"IN": BOOL, "PT": TIME}, {"Q": BOOL, "ET": TIME})
_EDGE = _pins({"CLK": BOOL}, {"Q": BOOL})

STANDARD_BLOCKS: dict[StandardBlock, tuple[Pin, ...]] = {
    StandardBlock.TON: _TIMER,
    StandardBlock.TOF: _TIMER,
    StandardBlock.TP: _TIMER,
    StandardBlock.R_TRIG: _EDGE,
    StandardBlock.F_TRIG: _EDGE,
    StandardBlock.SR: _pins({"S1": BOOL, "R": BOOL}, {"Q1": BOOL}),
    StandardBlock.RS: _pins({"S": BOOL, "R1": BOOL}, {"Q1": BOOL}),
    StandardBlock.CTU: _pins({"CU": BOOL, "R": BOOL, "PV": INT}, {"Q": BOOL, "CV": INT}),
    StandardBlock.CTD: _pins({"CD": BOOL, "LD": BOOL, "PV": INT}, {"Q": BOOL, "CV": INT}),
    StandardBlock.CTUD: _pins(
        {"CU": BOOL, "CD": BOOL, "R": BOOL, "LD": BOOL, "PV": INT},
        {"QU": BOOL, "QD": BOOL, "CV": INT},
    ),
}

BLOCKS_BY_NAME: dict[str, StandardBlock] = {block.value: block for block in StandardBlock}

BLOCKS_OUTSIDE: dict[str, StandardBlock] = {
    f"{name}_{pin}": BLOCKS_BY_NAME[name]
    for names, pin in (("TON TOF TP", "TIME"), ("CTU CTD CTUD", "INT"))
    for name in names.split()
}
"""Other names of the standard blocks, where no file declares a unit of that name (``TON_TIME``)."""

_FUNCTIONS = (
    "ABS MIN MAX LIMIT SEL MUX SHL SHR ROL ROR MOVE "
    "ADD SUB MUL DIV MOD GT GE EQ LE LT NE AND OR XOR NOT"
)
FUNCTION_NAMES: tuple[str, ...] = tuple(_FUNCTIONS.split())
"""Without the conversions (``INT_TO_DINT``, ``TO_DINT``)."""

_OF_REALS = "SQRT LN LOG EXP SIN COS TAN ASIN ACOS ATAN ATAN2 EXPT TRUNC"
_OF_STRINGS = "LEN LEFT RIGHT MID CONCAT INSERT DELETE REPLACE FIND"

FUNCTIONS_WITHOUT_MODEL: dict[str, str] = {
    **dict.fromkeys(_OF_REALS.split(), "REAL"),
    **dict.fromkeys(_OF_STRINGS.split(), "STRING"),
}
"""Functions of types whose values are not modelled, with that type."""
