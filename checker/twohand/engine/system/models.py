"""Values read from a solver's model."""

from __future__ import annotations

from collections.abc import Sequence

import z3

from twohand.engine.system.terms import literal_value
from twohand.program.types import Value


class Reader:
    """Reads the values of the same symbols from many models; a literal has its own value."""

    def __init__(self, symbols: Sequence[z3.ExprRef], context: z3.Context) -> None:
        self._reference = context.ref()
        self._symbols = tuple(symbols)
        self._readings = tuple(
            (symbol.decl().as_func_decl(), z3.is_bool(symbol), literal_value(symbol))
            for symbol in symbols
        )

    def __call__(self, model: z3.ModelRef) -> tuple[Value, ...]:
        """In the order of the symbols; a symbol that does not matter is FALSE or 0."""
        reference, handle = self._reference, model.model
        values: list[Value] = []
        for declaration, boolean, literal in self._readings:
            if literal is not None:
                values.append(literal)
                continue
            term = z3.Z3_model_get_const_interp(reference, handle, declaration)
            if boolean:
                truth = term and z3.Z3_get_bool_value(reference, term)
                values.append(truth == z3.Z3_L_TRUE)
            else:
                values.append(int(z3.Z3_get_numeral_string(reference, term)) if term else 0)
        return tuple(values)
