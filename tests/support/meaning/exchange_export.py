"""Structured text written as an exchange file, from its syntax tree; the checker's way back is
not used."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from xml.sax.saxutils import escape, quoteattr

from twohand.program.standard_blocks import BLOCKS_BY_NAME
from twohand.syntax import tree
from twohand.syntax.lexing.plain_text import Forms, plain_text
from twohand.syntax.parsing.parse import parse_source
from twohand.text.source_text import SourceText, Span

NAMESPACE = "www.iec.ch/public/TC65SC65BWG7TF10"
INSTANCE = "http://www.w3.org/2001/XMLSchema-instance"

_SECTIONS = {
    "VAR_INPUT": "InputVars",
    "VAR_OUTPUT": "OutputVars",
    "VAR_IN_OUT": "InoutVars",
    "VAR_EXTERNAL": "ExternalVars",
    "VAR": "Vars",
    "VAR_TEMP": "TempVars",
    "VAR_GLOBAL": "GlobalVars",
}
_END = re.compile(r"\bEND_(?:FUNCTION_BLOCK|FUNCTION|PROGRAM)\s*\Z", re.IGNORECASE)
"""A unit's last word; one that is a whole file may have none."""
_PARAMETERS = ("VAR_INPUT", "VAR_OUTPUT", "VAR_IN_OUT")
_UNITS = {
    tree.UnitKind.FUNCTION_BLOCK: "FunctionBlock",
    tree.UnitKind.PROGRAM: "Program",
    tree.UnitKind.FUNCTION: "Function",
}


class NotWritten(Exception):  # noqa: N818 - no error: the sample is another's
    """The text has something for which an exchange file has no element that is read."""


def document(inside: str, instances: str = "") -> str:
    """An exchange file with these declarations."""
    found = f"<Instances>{instances}</Instances>" if instances else ""
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<Project xmlns="{NAMESPACE}" '
        f'xmlns:xsi="{INSTANCE}" schemaVersion="1.0">\n<FileHeader/>\n'
        f"<Types><GlobalNamespace>\n{inside}\n</GlobalNamespace></Types>{found}\n</Project>\n"
    )


def exported(text: str) -> str:
    """The same as XML; not of a text with forms outside of the standard, which only text has."""
    source = SourceText("exported.st", text)
    forms: Forms = {}
    plain_text(source, [], forms=forms)
    file = parse_source(source)
    if forms or file.interfaces or file.globals:
        raise NotWritten
    pieces = [*map(_type_declaration, file.types), *map(_unit, file.units)]
    instances = "".join(map(_configuration, file.configurations))
    return document("\n".join(pieces), instances)


def _configuration(node: tree.Configuration) -> str:
    sections = "".join(_section(section) for section in node.sections)
    tasks = "".join(
        f"<Task name={quoteattr(task.name.text)}"
        + "".join(f" {w.text.lower()}={quoteattr(v.span.text)}" for w, v in task.values)
        + "/>"
        for task in node.tasks
    )
    uses = "".join(
        f"<ProgramInstance name={quoteattr(use.name.text)} typeName={quoteattr(use.type.text)}"
        + (f" associatedTaskName={quoteattr(use.task.text)}" if use.task else "")
        + "/>"
        for use in node.programs
    )
    resource = f'<Resource name="r" resourceTypeName="any">{tasks}{uses}</Resource>'
    return f"<Configuration name={quoteattr(node.name.text)}>{sections}{resource}</Configuration>"


def _unit(unit: tree.Unit) -> str:
    takes_a_standard_name = unit.name.key in BLOCKS_BY_NAME  # only text may have such units
    if takes_a_standard_name or unit.members or unit.base or unit.interfaces or unit.modifiers:
        raise NotWritten
    element = _UNITS[unit.kind]
    parameters = [s for s in unit.sections if s.keyword in _PARAMETERS]
    others = [s for s in unit.sections if s.keyword not in _PARAMETERS]
    result = ""
    if unit.result is not None:
        result = f"<ResultType>{_type(unit.result)}</ResultType>"
    order = iter(range(1, 10_000))
    inside = "".join(_section(section, order) for section in parameters)
    rest = "".join(_section(section) for section in others)
    body = ""
    if unit.body:
        place = unit.body[0].span.through(unit.body[-1].span)
        whole = place.source.text[place.start : unit.span.end]
        statements = _END.sub("", whole)
        body = f'<MainBody><BodyContent xsi:type="ST"><ST>{escape(statements)}</ST></BodyContent>'
        body += "</MainBody>"
    inside = f"<Parameters>{inside}</Parameters>" if inside else ""
    return f"<{element} name={quoteattr(unit.name.text)}>{result}{inside}{rest}{body}</{element}>"


def _section(section: tree.Section, order: Iterator[int] | None = None) -> str:
    element = _SECTIONS.get(section.keyword)
    words = [word.key.replace("_", "").lower() for word in section.qualifiers]
    if element is None or not {*words} <= {"constant", "retain", "nonretain", "persistent"}:
        raise NotWritten
    flags = "".join(f' {word}="true"' for word in words)
    inside = "".join(_variables(each, order) for each in section.declarations)
    return f"<{element}{flags}>{inside}</{element}>"


def _variables(node: tree.Declaration, order: Iterator[int] | None) -> str:
    edges = {"R_EDGE": "rising", "F_EDGE": "falling"}
    edge = f' edgeDetection="{edges[node.edge.key]}"' if node.edge else ""
    address = f"<Address address={quoteattr(node.address.text)}/>" if node.address else ""
    initial = _initial(node.initial, node.pins)
    return "".join(
        f"<Variable name={quoteattr(name.text)}{edge}"
        + (f' orderWithinParamSet="{next(order)}"' if order is not None else "")
        + f"><Type>{_type(node.type)}</Type>{initial}{address}</Variable>"
        for name in node.names
    )


# --- types --------------------------------------------------------------------------------------


def _type_declaration(node: tree.TypeDeclaration) -> str:
    kind, inside = _specification(node.type)
    initial = _initial(node.initial, ())
    return (
        f"<DataTypeDecl name={quoteattr(node.name.text)}><UserDefinedTypeSpec "
        f'xsi:type="{kind}">{inside}{initial}</UserDefinedTypeSpec></DataTypeDecl>'
    )


def _type(node: tree.TypeNode) -> str:
    match node:
        case tree.NamedType():
            return f"<TypeName>{node.name.text}</TypeName>"
        case tree.StringType():
            return f"<TypeName> {node.span.text} </TypeName>"
    kind, inside = _specification(node)
    return f'<InstantlyDefinedType xsi:type="{kind}">{inside}</InstantlyDefinedType>'


def _specification(node: tree.TypeNode) -> tuple[str, str]:
    match node:
        case tree.ArrayType(bounds=bounds, element=element):
            dimensions = "".join(
                f'<DimensionSpec dimensionNumber="{number}"><IndexRange '
                f"lower={_text(each.low.span)} upper={_text(each.high.span)}/></DimensionSpec>"
                for number, each in reversed(list(enumerate(bounds, 1)))
            )
            return "ArrayTypeSpec", f"{dimensions}<BaseType>{_type(element)}</BaseType>"
        case tree.StructureType(members=members, base=None):
            return "StructTypeSpec", "".join(map(_members, members))
        case tree.EnumerationType(items=items, base=base):
            inside = "".join(
                f"<Enumerator name={quoteattr(item.name.text)}"
                + (f" value={_text(item.value.span)}/>" if item.value else "/>")
                for item in items
            )
            if base is None and all(item.value is None for item in items):
                return "EnumTypeSpec", inside
            under = "" if base is None else f"<BaseType>{_type(base)}</BaseType>"
            return "EnumTypeWithNamedValueSpec", f"{under}{inside}"
        case tree.SubrangeType(base=base, low=low, high=high):
            limits = f"<Range lower={_text(low.span)} upper={_text(high.span)}/>"
            return "SubrangeTypeSpec", f"{limits}<BaseType>{_type(base)}</BaseType>"
        case tree.NamedType() | tree.StringType():
            return "DirectlyDerivedTypeSpec", f"<BaseType>{_type(node)}</BaseType>"
    raise NotWritten


def _members(node: tree.Declaration) -> str:
    if node.address:
        raise NotWritten
    initial = _initial(node.initial, node.pins)
    return "".join(
        f"<Member name={quoteattr(name.text)}><Type>{_type(node.type)}</Type>{initial}</Member>"
        for name in node.names
    )


# --- values -------------------------------------------------------------------------------------


def _text(span: Span) -> str:
    return quoteattr(span.text)


def _initial(node: tree.InitialNode | None, pins: Iterable[tree.PinValue]) -> str:
    if pins:
        return f"<InitialValue>{_pins(pins)}</InitialValue>"
    return "" if node is None else f"<InitialValue>{_value(node)}</InitialValue>"


def _value(node: tree.ArrayValue) -> str:
    match node:
        case tree.ArrayValues(values=values):
            return f"<ArrayValue>{''.join(map(_element, values))}</ArrayValue>"
        case tree.PinValues(values=values):
            return _pins(values)
        case tree.Repeated():
            raise NotWritten
    return f"<SimpleValue value={_text(node.span)}/>"


def _element(node: tree.ArrayValue) -> str:
    if isinstance(node, tree.Repeated):
        if len(node.values) != 1:
            raise NotWritten
        count = _text(node.count.span)
        return f"<Value repetitionValue={count}>{_value(node.values[0])}</Value>"
    return f"<Value>{_value(node)}</Value>"


def _pins(values: Iterable[tree.PinValue]) -> str:
    inside = "".join(
        f"<Value member={quoteattr(pin.name.text)}>{_value(pin.value)}</Value>" for pin in values
    )
    return f"<StructValue>{inside}</StructValue>"
