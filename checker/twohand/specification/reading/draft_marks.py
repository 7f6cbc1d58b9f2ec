"""The marks of a draft: while one is left, nothing is asked of a spec."""

from __future__ import annotations

from collections.abc import Iterator

from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.nodes import SpecificationTree
from twohand.text.diagnostic import Diagnostic, InputError


def refuse_draft_marks(tree: SpecificationTree) -> None:
    """InputError with every line that is a guess or says what is missing: an answer about roles
    that nobody has confirmed would be one about another machine."""
    marks = list(_marks(tree))
    if marks:
        raise InputError(marks)


def _marks(tree: SpecificationTree) -> Iterator[Diagnostic]:
    for statement in tree.statements:
        if isinstance(statement, spec.MissingStatement):
            message = f"this is still to be filled in: {statement.what.text}"
            way = "write it, and remove the line with MISSING"
            yield Diagnostic("draft-mark", message, statement.span, way)
        elif statement.guessed is not None:
            message = "this line is a guess that nobody has confirmed"
            way = "hold it against the machine, correct it where it is wrong, and remove GUESSED"
            place = statement.span.through(statement.guessed)
            yield Diagnostic("draft-mark", message, place, way)
