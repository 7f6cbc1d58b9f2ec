"""ASSUME: what the environment is taken to do, said of inputs, their past and the first scan."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.program import Program, Read
from twohand.program.walks import nodes_below
from twohand.specification.logic.formula import Bound, Formula, History, Named
from twohand.specification.problems import Problems
from twohand.specification.resolving.formula_builder import FormulaResolver
from twohand.specification.syntax.formulas import start_name
from twohand.specification.syntax.nodes import AssumeStatement
from twohand.text.source_text import Span

_OF_PROGRAM = "state it as a PROPERTY if the program must see to it"


def resolve_assumptions(
    statements: Sequence[AssumeStatement],
    builder: FormulaResolver,
    program: Program,
    problems: Problems,
) -> tuple[Named, ...]:
    """The assumptions; one over anything that the program decides, or over time, is a problem.

    An assumption over outputs would forbid the program to be wrong; one over time would need a
    clock, and the time of a scan is not the environment's to choose.
    """
    found = []
    for statement in statements:
        with problems.collected():
            formula = builder.formula(statement.formula)
            _check_inputs(formula, program, problems)
            _check_untimed(formula, statement.formula.span, problems)
            found.append(Named(formula, statement.span))
    return tuple(found)


def _check_inputs(formula: Formula, program: Program, problems: Problems) -> None:
    nodes = list(nodes_below(formula))
    allowed = set(program.sampled)
    allowed |= {node.variable for node in nodes if isinstance(node, History)}
    for node in nodes:
        if isinstance(node, Read) and node.variable not in allowed:
            start, way = start_name(node.variable.name), _OF_PROGRAM
            if any(v.name == start for v in allowed):
                way = f"what others write is there when a scan begins: write {start}"
            problems.error(
                "not-an-input",
                f"'{node.variable.name}' is no input that is read from outside; "
                "only those can be assumed about",
                node.span,
                way,
            )


def _check_untimed(formula: Formula, span: Span, problems: Problems) -> None:
    if any(isinstance(node, Bound) for node in nodes_below(formula)):
        message = "an assumption cannot measure time or count scans"
        way = "use prev, rose, fell, once, held and since without a bound"
        problems.error("timed-assumption", message, span, way)
