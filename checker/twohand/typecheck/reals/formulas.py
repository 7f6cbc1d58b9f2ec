"""How values are made of inputs and constants, as texts: equal texts are equal values in a scan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from twohand.program import Expression, Literal, Read, Variable
from twohand.typecheck.reals.numbers import RealInput, RealNumber, RealOperand


@dataclass(frozen=True, eq=False)
class Formula:
    """``leaves`` are the variables with a model that it reads: it says nothing where one of them
    may change within a scan. ``constant`` says that it reads no variable at all."""

    text: str
    leaves: tuple[Variable, ...] = ()
    constant: bool = False


def formula_of_real(operand: RealOperand | None) -> Formula | None:
    """That of an input or a number; None for anything else."""
    match operand:
        case RealInput(variable=variable):
            return Formula(f"{variable.type.name} {variable.name.casefold()}")
        case RealNumber(form=form, text=text):
            return Formula(f"{form.strip()} {text}".strip(), constant=True)
    return None


def formula_of_modelled(expression: Expression) -> Formula | None:
    """That of a variable or a literal that has a model; None for what is computed."""
    match expression:
        case Literal(value=value, type=kind):
            return Formula(f"{kind.name}#{value}", constant=True)
        case Read(variable=variable):
            text = f"{variable.type.name} {variable.name.casefold()}"
            return Formula(text, (variable,))
    return None


def joined(sign: str, parts: Sequence[Formula | None]) -> Formula | None:
    """What an operator or a function makes of them; None where one of them is not known."""
    known = [part for part in parts if part is not None]
    if len(known) < len(parts):
        return None
    text = f"{sign}({', '.join(part.text for part in known)})"
    leaves = tuple(dict.fromkeys(leaf for part in known for leaf in part.leaves))
    return Formula(text, leaves, all(part.constant for part in known))
