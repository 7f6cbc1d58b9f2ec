"""Types, variables and initial values of an exchange file, as pieces of structured text.

Element and attribute names of IEC 61131-10 are from memory.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence

from twohand.exchange.rules import (
    Piece,
    attribute,
    check_attributes,
    checked_name,
    checked_value,
    malformed,
    name_of,
    needed,
    none_in,
    only,
    parts,
    said,
    unit_name,
    unsupported,
    whole_number,
)
from twohand.files.xml_element import XmlElement

_STRING = re.compile(r"(W?STRING)\s*(?:\[\s*\d+\s*\]|\(\s*\d+\s*\))", re.IGNORECASE)
_ADDRESS = re.compile(r"%[IQM](?:[XBWDL]?\d+(?:\.\d+)*|[XBWDL]?\*)", re.IGNORECASE)
_EDGES = {"rising": " R_EDGE", "falling": " F_EDGE", "none": ""}

Pieces = Iterator[Piece]


def data_type(element: XmlElement) -> Pieces:
    """A DataTypeDecl as a TYPE section."""
    list(parts(element, "UserDefinedTypeSpec", attributes=("name",)))
    name, specification = unit_name(element), needed(element, "UserDefinedTypeSpec")
    yield from said(element.span, "TYPE ", name, " : ")
    initial = only(specification, "InitialValue")
    if initial is not None and specification.kind == "StructTypeSpec":
        message = "the checker does not read initial values of a whole structure's type"
        raise unsupported(message, initial.span, "give each member its initial value")
    yield from _specification(specification, with_initial=True)
    yield from said(element.span, _initial(specification), ";\nEND_TYPE\n")


def variable(element: XmlElement, edges: bool = False) -> Pieces:
    """One declaration; ``edges``: it may ask for an edge, as inputs may."""
    known = ("name", "orderWithinParamSet", "edgeDetection")
    list(parts(element, "Type", "InitialValue", "Address", attributes=known))
    kind = needed(element, "Type")
    yield from said(element.span, "    ", name_of(element), _address(element))
    yield from said(kind.span, " : ", type_in(kind))
    yield from said(element.span, _edge(element, edges), _initial(element), ";\n")


def _address(element: XmlElement) -> Pieces:
    address = only(element, "Address")
    if address is None:
        return
    none_in(address, ("address",))
    piece = attribute(address, "address")
    if not _ADDRESS.fullmatch(piece.text):
        raise malformed(f"'{piece.text}' is no address", piece.place, "write for instance %IX0.0")
    yield from said(address.span, " AT ", piece)


def _edge(element: XmlElement, edges: bool) -> Pieces:
    if "edgeDetection" not in element.attributes:
        return
    asked = attribute(element, "edgeDetection")
    word = _EDGES.get(asked.text.strip().lower())
    if word is None or (word and not edges):
        message = f"the checker does not read the edge '{asked.text}' of this variable"
        way = "an input's edge is rising or falling; no other variable has one"
        raise unsupported(message, asked.place, way)
    yield Piece(word, asked.place)


# --- types ------------------------------------------------------------------------------------


def type_in(element: XmlElement) -> Pieces:
    """The type that a Type, BaseType or ResultType names or spells out."""
    list(parts(element, "TypeName", "InstantlyDefinedType"))
    named, spelt = only(element, "TypeName"), only(element, "InstantlyDefinedType")
    if (named is None) == (spelt is None):
        message = f"<{element.name}> has either a <TypeName> or an <InstantlyDefinedType>"
        raise malformed(message, element.span, "write <TypeName>BOOL</TypeName> for instance")
    if named is not None:
        yield type_name(named)
    elif spelt is not None:
        yield from _specification(spelt)


def type_name(element: XmlElement) -> Piece:
    """The name of a type, which is one identifier."""
    text = element.text.strip()
    for child in element.children:
        raise malformed(
            "<TypeName> has an element in it", child.span, "write the name of a type only"
        )
    check_attributes(element, ())
    string = _STRING.fullmatch(text)
    if string is not None:
        return Piece(string[1], element.text_place)
    if re.fullmatch(r"[^\W\d]\w*(?:\s*\.\s*[^\W\d]\w*)+", text):
        message = f"the checker does not read namespaces ({text})"
        way = "put the type outside of any namespace"
        raise unsupported(message, element.text_place, way, "unsupported-namespace")
    return checked_name(Piece(text, element.text_place))


def _specification(element: XmlElement, with_initial: bool = False) -> Pieces:
    """A type that is spelt out; its initial value is left to the caller, who may allow one."""
    form = _FORMS.get(element.kind)
    if form is None:
        message = f"the checker does not read types of the kind '{element.kind}'"
        way = "use an array, a structure, an enumeration, a subrange or the name of a type"
        raise unsupported(message, element.span, way)
    yield from form(element, ("InitialValue",) if with_initial else ())


def _array(element: XmlElement, more: Sequence[str]) -> Pieces:
    list(parts(element, "BaseType", "DimensionSpec", *more))
    dimensions: dict[int, XmlElement] = {}
    for dimension in element.all("DimensionSpec"):
        list(parts(dimension, "IndexRange", attributes=("dimensionNumber",)))
        number = attribute(dimension, "dimensionNumber")
        key = whole_number(number, "number of a dimension")
        if key in dimensions:
            raise malformed(f"dimension {key} occurs twice", number.place, "number them from 1")
        dimensions[key] = needed(dimension, "IndexRange")
    if not dimensions:
        raise malformed("this array has no dimension", element.span, "write a <DimensionSpec>")
    yield Piece("ARRAY [", element.span)
    for position, key in enumerate(sorted(dimensions)):
        if position:
            yield Piece(", ", dimensions[key].span)
        yield from _range(dimensions[key])
    yield Piece("] OF ", element.span)
    yield from type_in(needed(element, "BaseType"))


def _range(element: XmlElement) -> Pieces:
    none_in(element, ("lower", "upper"))
    lower, upper = (checked_value(attribute(element, end)) for end in ("lower", "upper"))
    yield from said(element.span, lower, " .. ", upper)


def _structure(element: XmlElement, more: Sequence[str]) -> Pieces:
    yield Piece("STRUCT\n", element.span)
    for member in parts(element, "Member", *more):
        if member.name != "Member":
            continue
        list(parts(member, "Type", "InitialValue", attributes=("name",)))
        name, kind = name_of(member), needed(member, "Type")
        yield from said(member.span, "    ", name, " : ", type_in(kind), _initial(member), ";\n")
    yield Piece("END_STRUCT", element.span)


def _enumeration(element: XmlElement, more: Sequence[str]) -> Pieces:
    yield from _enumerators(element, list(parts(element, "Enumerator", *more)), False)


def _numbered_enumeration(element: XmlElement, more: Sequence[str]) -> Pieces:
    children = list(parts(element, "BaseType", "Enumerator", *more))
    base = only(element, "BaseType")
    if base is not None:
        yield from said(base.span, _plain_base(base), " ")
    yield from _enumerators(element, children, True)


def _enumerators(element: XmlElement, children: Sequence[XmlElement], numbered: bool) -> Pieces:
    enumerators = [child for child in children if child.name == "Enumerator"]
    if not enumerators:
        raise malformed(
            "this enumeration has no value", element.span, 'write <Enumerator name="..."/>'
        )
    yield Piece("(", element.span)
    for position, child in enumerate(enumerators):
        none_in(child, ("name", "value") if numbered else ("name",))
        yield from said(child.span, ", " if position else "", name_of(child))
        if numbered and "value" in child.attributes:
            yield from said(child.span, " := ", checked_value(attribute(child, "value")))
    yield Piece(")", element.span)


def _plain_base(element: XmlElement) -> Piece:
    list(parts(element, "TypeName"))
    return type_name(needed(element, "TypeName"))


def _subrange(element: XmlElement, more: Sequence[str]) -> Pieces:
    list(parts(element, "Range", "BaseType", *more))
    base = _plain_base(needed(element, "BaseType"))
    yield from said(element.span, base, " (", _range(needed(element, "Range")), ")")


def _derived(element: XmlElement, more: Sequence[str]) -> Pieces:
    list(parts(element, "BaseType", *more))
    yield from type_in(needed(element, "BaseType"))


_FORMS: dict[str, Callable[[XmlElement, Sequence[str]], Pieces]] = {
    "ArrayTypeSpec": _array,
    "StructTypeSpec": _structure,
    "EnumTypeSpec": _enumeration,
    "EnumTypeWithNamedValueSpec": _numbered_enumeration,
    "SubrangeTypeSpec": _subrange,
    "DirectlyDerivedTypeSpec": _derived,
}


# --- initial values ---------------------------------------------------------------------------


def _initial(owner: XmlElement) -> Pieces:
    element = only(owner, "InitialValue")
    if element is not None:
        yield from said(element.span, " := ", _value_in(element))


def _value_in(element: XmlElement, *attributes: str) -> Pieces:
    """The value in an InitialValue, or in a Value of an array or a structure."""
    kinds = ("SimpleValue", "ArrayValue", "StructValue")
    found = list(parts(element, *kinds, attributes=attributes))
    if len(found) != 1:
        message = f"<{element.name}> has exactly one value"
        raise malformed(message, element.span, 'write <SimpleValue value="..."/> for instance')
    (value,) = found
    if value.name == "SimpleValue":
        none_in(value, ("value",))
        yield checked_value(attribute(value, "value"))
    elif value.name == "ArrayValue":
        yield from _array_value(value)
    else:
        yield from _structure_value(value)


def _array_value(element: XmlElement) -> Pieces:
    for position, value in enumerate(_values(element)):
        yield Piece(", " if position else "[", value.span)
        repetition = value.attributes.get("repetitionValue")
        if repetition is None:
            yield from _value_in(value)
            continue
        piece = attribute(value, "repetitionValue")
        whole_number(piece, "number of repetitions")
        yield Piece(piece.text.strip(), piece.place)
        yield from said(value.span, "(", _value_in(value, "repetitionValue"), ")")
    yield Piece("]", element.span)


def _structure_value(element: XmlElement) -> Pieces:
    for position, value in enumerate(_values(element)):
        begin, name = ", " if position else "(", name_of(value, "member")
        yield from said(value.span, begin, name, " := ", _value_in(value, "member"))
    yield Piece(")", element.span)


def _values(element: XmlElement) -> list[XmlElement]:
    found = list(parts(element, "Value"))
    if not found:
        raise malformed(f"<{element.name}> has no value", element.span, "write a <Value> in it")
    return found
