"""Values read from a solver's model."""

from __future__ import annotations

from collections.abc import Sequence

import z3

from checker.source.types import Value


class Reader:
    """Reads the values of the same symbols from many models."""

    def __init__(self, symbols: Sequence[z3.ExprRef], context: z3.Context) -> None:
        self._reference = context.ref()
        self._symbols = tuple(symbols)
        self._declarations = tuple(symbol.decl().as_func_decl() for symbol in symbols)
        self._boolean = tuple(bool(z3.is_bool(symbol)) for symbol in symbols)

    def __call__(self, model: z3.ModelRef) -> tuple[Value, ...]:
        """In the order of the symbols; a symbol that does not matter is FALSE or 0."""
        reference, handle = self._reference, model.model
        values: list[Value] = []
        for declaration, boolean in zip(self._declarations, self._boolean, strict=True):
            term = z3.Z3_model_get_const_interp(reference, handle, declaration)
            if boolean:
                truth = term and z3.Z3_get_bool_value(reference, term)
                values.append(truth == z3.Z3_L_TRUE)
            else:
                values.append(int(z3.Z3_get_numeral_string(reference, term)) if term else 0)
        return tuple(values)
