"""Plants that fit: blocks of the sources that turn an output into an input that answers it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twohand.analyses.draft.guessing.names import hints, share_a_word
from twohand.analyses.draft.roles import Purpose, Roles
from twohand.program import Program, Variable
from twohand.program.types import Boolean
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

_MOST_BLOCKS = 50
"""Further blocks are not looked at: a folder may have thousands."""
_MOST_INPUTS = 3


def plants_that_fit(
    sources: Sequence[SourceText],
    searched: Sequence[SourceText],
    others: Sequence[str],
    roles: Roles,
) -> Iterator[str]:
    """A sentence for each input that may answer an output, with the block that could be its plant.
    A plant leaves out runs, so that none is drafted as a statement."""
    answering = [each.signals[0].name for each in roles.of(Purpose.STROKE_END)]
    if roles.outputs is None or not answering:
        return
    output = roles.outputs.signals[0].name
    for block in others[:_MOST_BLOCKS]:
        try:
            plant = load_program(sources, block, searched=searched)
        except InputError:
            continue
        inputs = [v for v in plant.inputs if isinstance(v.type, Boolean)]
        if not 1 <= len(inputs) <= _MOST_INPUTS or len(inputs) < len(plant.inputs):
            continue
        for name in answering:
            shown = _shows(plant, name)
            if shown is not None:
                yield (
                    f"{name} may answer {output}; if it does, state a plant, for instance "
                    f"PLANT machine : {plant.name} ({inputs[0].name} := {output}); FEEDBACK {name} "
                    f":= machine.{shown.name}; (without one it has any value at any time)"
                )


def _shows(plant: Program, name: str) -> Variable | None:
    """The output of a plant that an input of this name may be."""
    shown = [v for v in plant.outputs if isinstance(v.type, Boolean)]
    named = [v for v in shown if share_a_word(v.name, name)]
    ends = [v for v in shown if hints(v.name, Purpose.STROKE_END.value)]
    return next(iter(named), None) or (ends[0] if len(ends) == 1 else None)
