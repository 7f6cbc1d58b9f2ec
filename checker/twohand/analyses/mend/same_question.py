"""Whether a changed block is asked the same: a constant of the block may be part of the question.

A change that only moves such a constant would make a requirement true by asking for less, or by
assuming more.
"""

from __future__ import annotations

from twohand.analyses.audit.comparison import over
from twohand.specification.model.specification import Specification


def asks_the_same(block: Specification, changed: Specification) -> bool:
    """Whether requirements and assumptions of both are the same formulas over the same names."""
    return _asked(changed, block) == _asked(block, block)


def _asked(specification: Specification, named_like: Specification) -> list[str]:
    """Everything that is asked and assumed, in the variables of ``named_like``: those of a changed
    block may begin with another value. Places make no difference."""
    known = {variable.name: variable for variable in named_like.program.variables}
    names = {v: known.get(v.name, v) for v in specification.program.variables}
    asked = [(each.identifier, each.aim, each.property) for each in specification.requirements]
    assumed = [each.formula for each in specification.assumptions]
    return [repr(over(each, names)) for each in (*asked, *assumed)]
