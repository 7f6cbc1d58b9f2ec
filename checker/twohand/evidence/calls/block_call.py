"""Where the block is called among what its spec puts around it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twohand.program import CallBlock, If, Statement
from twohand.specification.model.specification import Specification


def block_call(specification: Specification) -> tuple[CallBlock | None, tuple[str, ...]]:
    """The call of the block, which nobody wrote (None where nothing is around it), and how the
    names of what is around it begin."""
    program = specification.program
    calls = [call for call in _calls(program.routine.body) if _is_surrounding(call, specification)]
    if not calls or calls[-1].name != program.name:
        return None, ()
    return calls[-1], tuple(f"{call.name}." for call in calls[:-1])


def _is_surrounding(call: CallBlock, specification: Specification) -> bool:
    return call.span.source is specification.source


def _calls(body: Sequence[Statement]) -> Iterator[CallBlock]:
    for statement in body:
        if isinstance(statement, CallBlock):
            yield statement
        elif isinstance(statement, If):
            for _, inner in statement.branches:
                yield from _calls(inner)
