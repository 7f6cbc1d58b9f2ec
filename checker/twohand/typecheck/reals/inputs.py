"""The inputs of REAL and LREAL that are compared with constants get their classes."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace

from twohand.program import CompareReal, Operator, Program, Read, Variable
from twohand.program.renaming import renamed
from twohand.program.types import RealClasses
from twohand.program.walks import nodes_below
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.typecheck.reals.classes import alike, classes_of, may_be_no_value
from twohand.typecheck.reals.numbers import FORMATS

_SIDES = {
    Operator.LESS: ">=",
    Operator.GREATER_EQUAL: ">=",
    Operator.GREATER: "<=",
    Operator.LESS_EQUAL: "<=",
}
"""On which side of a comparison the constant itself is; = and <> tell it from both."""

Compared = Mapping[Variable, list[CompareReal]]
"""The comparisons of each input, in the order of the text."""


def with_real_inputs(program: Program, declared: Collection[Variable]) -> Program:
    """The program, in which the ``declared`` are inputs where anything is compared with them, and
    are not there else. InputError (``real-constants-alike``, ``real-constant-rounded``) for
    constants whose classes platforms do not share."""
    if not declared:
        return program
    compared = _compared(program)
    problems = [*_problems(compared)]
    if problems:
        raise InputError(problems)
    there = [variable for variable in declared if variable in compared]
    names = {variable.name for variable in there}
    gone = set(declared) - set(there)
    whole = replace(
        program,
        inputs=(*program.inputs, *there),
        variables=tuple(v for v in program.variables if v not in gone),
        left_out=tuple(note for note in program.left_out if note.variable not in names),
    )
    return _retyped(whole, {v: replace(v, type=_classes(v, compared[v])) for v in there})


def _classes(variable: Variable, comparisons: Collection[CompareReal]) -> RealClasses:
    return classes_of(variable.type.name, {each.constant for each in comparisons})


def with_common_classes(first: Program, second: Program) -> tuple[Program, Program]:
    """Two programs whose inputs of one name and type have the same classes, those that the
    comparisons of both need. InputError as in ``with_real_inputs``."""
    compared = (_compared(first), _compared(second))
    others = {variable.name.casefold(): variable for variable in compared[1]}
    settled: list[dict[Variable, Variable]] = [{}, {}]
    problems: list[Diagnostic] = []
    for variable, comparisons in compared[0].items():
        other = others.get(variable.name.casefold())
        if other is None or other.type.name != variable.type.name:
            continue
        both = [*comparisons, *compared[1][other]]
        problems += _problems({other: both})
        if not problems:
            kind = _classes(variable, both)
            settled[0][variable] = replace(variable, type=kind)
            settled[1][other] = replace(other, type=kind)
    if problems:
        raise InputError(problems)
    return _retyped(first, settled[0]), _retyped(second, settled[1])


def _retyped(program: Program, settled: Mapping[Variable, Variable]) -> Program:
    return renamed(program, "", {v: settled.get(v, v) for v in program.variables}).program


def _compared(program: Program) -> dict[Variable, list[CompareReal]]:
    found: dict[Variable, list[CompareReal]] = {}
    for node in nodes_below(program.routine):
        if isinstance(node, CompareReal):
            assert isinstance(node.operand, Read)
            found.setdefault(node.operand.variable, []).append(node)
    return found


def _problems(compared: Compared) -> Iterator[Diagnostic]:
    for variable, comparisons in compared.items():
        first = {each.constant: each for each in reversed(comparisons)}
        bits = FORMATS[variable.type.name]
        found = alike(first, bits)
        if found is not None:
            yield _alike(variable, *(each for each in first.values() if each.constant in found))
            continue
        for constant in first:
            with_it = [each for each in comparisons if each.constant == constant]
            sides = {_SIDES.get(each.operator) for each in with_it}
            if may_be_no_value(constant, bits) and (len(sides) > 1 or None in sides):
                yield _rounded(variable, max(with_it, key=lambda each: each.span.start))


def _alike(variable: Variable, one: CompareReal, other: CompareReal) -> Diagnostic:
    first, second = sorted((one, other), key=lambda each: each.span.start)
    message = (
        f"'{variable.name}' is compared with {first.constant.text} and with "
        f"{second.constant.text}, which platforms may not tell apart when they round them"
    )
    way = "compare with one of them only, or with numbers that are further apart"
    related = ((first.span, f"compared with {first.constant.text}"),)
    return Diagnostic("real-constants-alike", message, second.span, way, related)


def _rounded(variable: Variable, comparison: CompareReal) -> Diagnostic:
    text = comparison.constant.text
    message = (
        f"no REAL is {text}, and whether '{variable.name}' can ever be equal to it hangs on how a "
        "platform rounds it"
    )
    way = (
        f"give it a type: REAL#{text}; or compare with it by < and >= only, or by > and <= only, "
        "everywhere"
    )
    return Diagnostic("real-constant-rounded", message, comparison.span, way)
