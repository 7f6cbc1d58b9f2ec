"""The text that a program of trials tries: the block and what it calls, as it is in its files."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass

from twohand.analyses.sheet.bench.applied import applied_inputs
from twohand.files.index import Segment
from twohand.files.project import Project
from twohand.program import Role, Variable
from twohand.program.types import BOOL
from twohand.specification.model.specification import Specification
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_map import TranslatedText
from twohand.text.source_text import Span
from twohand.text.split_units import joined_halves

CODE = "no-program"
_OUTSIDE = frozenset({"VAR_GLOBAL", "CONFIGURATION"})
_ALONE = (
    "try this one by hand: 'twohand sheet' without --program; a program has its own copy of the "
    "block, which must touch nothing else"
)
_PLAIN = "use the names of the block in a form that every controller takes: letters, digits, '_'"


@dataclass(frozen=True)
class CopiedBlock:
    """``name`` is the block's; ``text`` what is copied, character for character."""

    name: str
    text: str

    @property
    def sha256(self) -> str:
        """Of the text in UTF-8, its lines ended by LF."""
        return hashlib.sha256(self.text.encode("utf-8")).hexdigest()


def copied_block(specification: Specification) -> CopiedBlock:
    """The copy; ``refusals`` of the spec are none."""
    parts = [
        segment.file.source.text[segment.start : segment.end].strip()
        for segment in _needed(specification)
    ]
    return CopiedBlock(specification.program.name, "\n\n".join(parts) + "\n")


def refusals(specification: Specification) -> Iterator[Diagnostic]:
    """Everything for which no copy can run beside others, or as it is."""
    program = specification.program
    for source in program.sources:
        if isinstance(source, TranslatedText):
            message = "this file is no text, and a program would try its translation"
            way = "save the block as structured text, and name that file in a spec of its own"
            yield Diagnostic(CODE, message, Span(source.original, 0, 0), way)
            return
    for segment in _needed(specification):
        place = _place(segment)
        if segment.kind in _OUTSIDE:
            message = f"the block needs {segment.kind}, which lies outside of it"
            yield Diagnostic(CODE, message, place, _ALONE)
        elif segment.kind == "PROGRAM":
            message = "a PROGRAM cannot be copied into another one"
            way = "put its statements into a FUNCTION_BLOCK, and name that in the spec"
            yield Diagnostic(CODE, message, place, way)
        elif segment.file.forms:
            words, place = next(iter(segment.file.forms.items()))
            message = f"{words} is no text that every controller takes"
            yield Diagnostic(CODE, message, place, _PLAIN)
    addressed = {name.casefold() for name in program.addresses}
    for variable in program.variables:
        if variable.surroundings:
            continue
        if variable.name.casefold() in addressed:
            address = program.addresses[variable.name]
            message = f"'{variable.name}' lies at the address {address}"
            yield Diagnostic(CODE, message, variable.span, _ALONE)
        elif variable.role is Role.GLOBAL:
            message = f"'{variable.name}' is global: the copy would share it with others"
            yield Diagnostic(CODE, message, variable.span, _ALONE)
    for variable in (*applied_inputs(specification), *judged_outputs(specification)):
        if not variable.name.isidentifier():
            message = f"'{variable.name}' is a part of a variable, which a call cannot name"
            yield Diagnostic(CODE, message, variable.span, _ALONE)
    if not judged_outputs(specification):
        message = "the block has no output of type BOOL, so nothing would be judged"
        yield Diagnostic(CODE, message, Span(specification.source, 0, 0), _ALONE)


def judged_outputs(specification: Specification) -> tuple[Variable, ...]:
    """The outputs of type BOOL."""
    return tuple(v for v in specification.program.outputs if v.type == BOOL)


def _needed(specification: Specification) -> list[Segment]:
    program = specification.program
    project = Project(joined_halves(program.sources, ()), ())
    return project.needed(project.block(program.name))


def _place(segment: Segment) -> Span:
    """Its first word."""
    end = segment.begin
    return Span(segment.file.source, end - len(segment.kind), end)
