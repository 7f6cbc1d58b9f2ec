"""OUTSIDE, and the values with which a scan begins that the spec asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twohand.program import Program, Role, Variable
from twohand.program.walks import nodes_below
from twohand.specification.problems import REMOVE_ONE, Problems
from twohand.specification.reading.statements import StatementTable
from twohand.specification.resolving.names import SpecificationScope, unknown
from twohand.specification.surroundings.scan_start import ScanStart, scan_start
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.formulas import AT_SCAN_START
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import Span


def resolve_scan_start(parts: StatementTable, block: Program, problems: Problems) -> ScanStart:
    """What others write between scans, and what is to be known of the beginning of each."""
    outside = resolve_outside(parts.all(spec.OutsideStatement), block, problems)
    return scan_start(outside, dict(_asked(parts, block)))


def resolve_outside(
    statements: Sequence[spec.OutsideStatement], block: Program, problems: Problems
) -> dict[Variable, Span]:
    """The variables that OUTSIDE names, with their places; a wrong one is a problem."""
    found: dict[Variable, Span] = {}
    for name in (name for statement in statements for name in statement.names):
        with problems.collected():
            variable = _outside(name, block)
            message = f"'{name.text}' is written from outside already"
            problems.is_new(found, variable, name.span, message, REMOVE_ONE)
    return found


def _outside(name: tree.Name, block: Program) -> Variable:
    variable = SpecificationScope(block).variable(name)
    pins = {pin for instance in block.instances for pin in instance.pins.values()}
    if variable is None:
        own = [v.name for v in block.variables if v not in pins and v not in block.inputs]
        raise unknown(name, own, "variable")
    if variable in block.inputs:
        message = f"'{name.text}' has any value at the beginning of each scan as it is"
        raise wrong("not-outside", message, name.span, "remove it here")
    if variable.keeps_clock:
        message = f"'{name.text}' keeps a reading of the clock, and what others write is none"
        raise wrong("clock-reading", message, name.span, "remove it here")
    if variable in pins or variable.role is Role.TEMPORARY:
        message = f"'{name.text}' is not memory that somebody else could write between scans"
        way = "name a variable that keeps its value from scan to scan"
        raise wrong("not-outside", message, name.span, way)
    return variable


def _asked(parts: StatementTable, block: Program) -> Iterator[tuple[Variable, Span]]:
    """The variables of the block, inputs as sampled apart, below the word for such values. What is
    wrong with a name is said where its formula is resolved."""
    scope, sampled = SpecificationScope(block), set(block.sampled)
    pins = {pin for instance in block.instances for pin in instance.pins.values()}
    calls = (node for node in nodes_below(parts.tree.statements) if _is_asked(node))
    for node in nodes_below(tuple(calls)):
        if isinstance(node, tree.Name | tree.AccessPath):
            variable = _variable(node, scope)
            kept = variable is not None and variable.role is not Role.TEMPORARY
            if variable is not None and kept and variable not in sampled | pins:
                yield variable, node.span


def _is_asked(node: object) -> bool:
    return isinstance(node, tree.Call) and node.name.text.upper() == AT_SCAN_START


def _variable(node: tree.Name | tree.AccessPath, scope: SpecificationScope) -> Variable | None:
    """The variable, also that of which a bit is named; None where there is none."""
    try:
        found = scope.variable(node)
        if found is None and isinstance(node, tree.AccessPath):
            *before, last = node.selectors
            if isinstance(last, tree.Bit):
                shorter = tree.AccessPath(node.name, tuple(before), node.span) if before else None
                found = scope.variable(node.name if shorter is None else shorter)
        return found
    except InputError:
        return None
