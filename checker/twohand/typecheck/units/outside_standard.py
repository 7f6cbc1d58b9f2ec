"""Forms that are read although IEC 61131-3 (third edition, from memory) does not have them."""

from __future__ import annotations

from collections.abc import Iterable

from twohand.program.walks import nodes_below
from twohand.syntax import tree
from twohand.text.diagnostic import Diagnostic, Severity
from twohand.text.source_text import Span


def forms_outside(files: Iterable[tree.SourceFile]) -> list[Diagnostic]:
    """A note that names each such form with its first place; none where all is standard."""
    first: dict[str, Span] = {}
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
        case tree.Action():
            return "ACTION", node.name.span
        case tree.Property():
            return "PROPERTY", node.name.span
    return None
