"""Forms that are read although IEC 61131-3 (third edition, from memory) does not have them."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable

from twohand.program.standard_blocks import BLOCKS_BY_NAME, BLOCKS_OUTSIDE
from twohand.program.walks import nodes_below
from twohand.syntax import tree
from twohand.syntax.parsing.literals import SHORT_PREFIXES
from twohand.text.diagnostic import Diagnostic, Severity
from twohand.text.source_map import TranslatedText
from twohand.text.source_text import SourceText, Span

_SHORT = re.compile(rf"(?:{'|'.join(SHORT_PREFIXES)})#", re.IGNORECASE)


def forms_outside(
    files: Iterable[tree.SourceFile], blanked: Iterable[tuple[str, Span]] = ()
) -> list[Diagnostic]:
    """A note that names each such form with its first place; none where all is standard.
    ``blanked`` are those that are in no tree."""
    first: dict[str, Span] = {}
    for form, span in blanked:
        first.setdefault(form, span)
    for node in nodes_below(tuple(files)):
        found = _form(node)
        if found is not None:
            first.setdefault(*found)
    if not first:
        return []
    (_, span), *others = first.items()
    message = f"outside of IEC 61131-3, and read as is common practice: {', '.join(first)}"
    way = "hold it against the manual of your platform, or write it in the standard's words"
    related = tuple((place, form) for form, place in others)
    return [Diagnostic("outside-standard", message, span, way, related, Severity.NOTE)]


def units_without_end(files: Iterable[tree.SourceFile]) -> list[Diagnostic]:
    """A warning of each unit that goes to the end of its file."""
    return [
        Diagnostic(
            "unit-without-end",
            f"'{unit.name.text}' has no END_{unit.kind.value}, and is read to the end of its file",
            unit.name.span,
            f"see that nothing is cut off, and write END_{unit.kind.value} at the end",
            severity=Severity.WARNING,
        )
        for file in files
        for unit in file.units
        if not unit.ended
    ]


def deviations(sources: Iterable[SourceText]) -> list[Diagnostic]:
    """A note for each exchange file that is not what its schema asks for, with how often."""
    notes = []
    for source in dict.fromkeys(sources):
        if not isinstance(source, TranslatedText) or not source.deviations:
            continue
        counts = Counter(form for form, _ in source.deviations)
        first = dict(reversed(source.deviations))
        (_, span), *others = ((form, first[form]) for form in counts)
        said = "; ".join(f"{form} ({count})" for form, count in counts.items())
        message = f"not as the schema of the file asks for, and read as it is meant: {said}"
        related = tuple((place, form) for form, place in others)
        way = "see that each is meant so"
        notes.append(Diagnostic("exchange-deviation", message, span, way, related, Severity.NOTE))
    return notes


def _form(node: object) -> tuple[str, Span] | None:
    """The form that a node has, and where; None for one of the standard."""
    match node:
        case tree.SetAssign(reset=reset):
            return ("R=" if reset else "S="), node.span
        case tree.Binary(short_circuit=True):
            return node.operator_span.text.upper(), node.operator_span
        case tree.Bit() if "%" not in node.span.text:
            return "bits without %X", node.span
        case tree.Section(keyword=("VAR_INST" | "VAR_STAT") as word):
            return word, node.span
        case tree.StructureType(base=base) if base is not None:
            return "EXTENDS of a structure", node.span
        case tree.Unconnected(output=output):
            return ("=> without a variable" if output else ":= without a value"), node.span
        case tree.CallStatement(bare=True):
            return "a call without parentheses", node.span
        case tree.NamedType(library=library) if library:
            return "a library's name before a type", node.span
        case tree.NamedType() if node.name.key in BLOCKS_OUTSIDE:
            return node.name.key, node.span
        case tree.Section(keyword="VAR_INPUT") if any(q.key == "CONSTANT" for q in node.qualifiers):
            return "VAR_INPUT CONSTANT", node.span
        case tree.Literal() if _SHORT.match(node.span.text):
            return f"{node.span.text.partition('#')[0].upper()}#", node.span
        case tree.Identifier() if not node.text.isascii():
            return "names with other letters than A to Z", node.span
        case tree.Unit() if node.name.key in BLOCKS_BY_NAME:
            return f"a unit named like the standard's {node.name.key}", node.name.span
        case tree.Call() if node.name.text.upper() == "TIME":
            return "TIME()", node.span
        case tree.Action():
            return "ACTION", node.name.span
        case tree.Property():
            return "PROPERTY", node.name.span
    return None
