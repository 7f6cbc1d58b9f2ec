"""Types, variables and initial values of the older schema."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from twohand.exchange.older.elements import all_parts, made, needed_attribute, renamed, with_text
from twohand.exchange.rules import malformed, unsupported
from twohand.files.xml_element import XmlElement
from twohand.program.types import ELEMENTARY
from twohand.syntax.lexing.keywords import UNMODELLED

SECTIONS = {
    "inputVars": "InputVars",
    "outputVars": "OutputVars",
    "inOutVars": "InoutVars",
    "localVars": "Vars",
    "tempVars": "TempVars",
    "externalVars": "ExternalVars",
    "globalVars": "GlobalVars",
}
_QUALIFIERS = ("constant", "retain", "nonretain", "persistent")
_STRINGS = ("string", "wstring")
_PLAIN = {**dict.fromkeys(ELEMENTARY), **dict.fromkeys(UNMODELLED)}


def section(element: XmlElement) -> XmlElement:
    """inputVars, localVars and so on."""
    known = (*_QUALIFIERS, "nonpersistent", "name")
    children = all_parts(element, "variable", attributes=known)
    attributes, places = renamed(element, **{word: word for word in _QUALIFIERS})
    variables = [variable(child) for child in children]
    return made(SECTIONS[element.name], element, variables, attributes, places=places)


def variable(element: XmlElement) -> XmlElement:
    children = all_parts(
        element, "type", "initialValue", attributes=("name", "address", "globalId")
    )
    attributes, places = renamed(element, name="name")
    inside = list(_typed(children))
    if element.attributes.get("address", "").strip():
        given, where = renamed(element, address="address")
        inside.append(made("Address", element, attributes=given, places=where))
    return made("Variable", element, inside, attributes, places=places)


def _typed(children: list[XmlElement]) -> Iterator[XmlElement]:
    """The type and the initial value of something."""
    for child in children:
        if child.name == "type":
            yield type_in(child, "Type")
        elif child.name == "initialValue":
            yield made("InitialValue", child, [value(child)])


# --- types ------------------------------------------------------------------------------------


def type_in(element: XmlElement, name: str) -> XmlElement:
    """What a type, baseType or returnType says, as an element of this name."""
    kind = _the_kind(element)
    if _is_named(kind):
        return made(name, element, [_type_name(kind)])
    return made(name, element, [_specification(kind, "InstantlyDefinedType")])


def _the_kind(element: XmlElement) -> XmlElement:
    names = (*_PLAIN, *_STRINGS, *_FORMS, "derived", "pointer")
    found = all_parts(element, *names)
    if len(found) != 1:
        raise malformed(f"<{element.name}> has exactly one type", element.span,
                        "write for instance <BOOL/> in it")  # fmt: skip
    return found[0]


def _is_named(kind: XmlElement) -> bool:
    return kind.name == "derived" or kind.name in _STRINGS or kind.name in _PLAIN


def _type_name(kind: XmlElement) -> XmlElement:
    if kind.name == "derived":
        all_parts(kind, attributes=("name",))
        text, place = needed_attribute(kind, "name")
        return with_text("TypeName", kind, text, place)
    all_parts(kind, attributes=("length",))
    return with_text("TypeName", kind, kind.name.upper(), kind.span)


def _specification(kind: XmlElement, name: str) -> XmlElement:
    if kind.name not in _FORMS:
        message = f"the checker does not read pointers (<{kind.name}>)"
        raise unsupported(message, kind.span, "use the variable itself", "unsupported-pointer")
    title, form = _FORMS[kind.name]
    return made(name, kind, list(form(kind)), kind=title)


def _array(element: XmlElement) -> Iterator[XmlElement]:
    children = all_parts(element, "dimension", "baseType")
    number = 0
    for child in children:
        if child.name == "baseType":
            yield type_in(child, "BaseType")
            continue
        number += 1
        all_parts(child, attributes=("lower", "upper"))
        yield made("DimensionSpec", child, [_range(child)], {"dimensionNumber": str(number)})


def _range(element: XmlElement) -> XmlElement:
    given, places = renamed(element, lower="lower", upper="upper")
    return made("IndexRange", element, (), given, places=places)


def _structure(element: XmlElement) -> Iterator[XmlElement]:
    for child in all_parts(element, "variable"):
        inside = all_parts(child, "type", "initialValue", attributes=("name", "globalId"))
        attributes, places = renamed(child, name="name")
        yield made("Member", child, list(_typed(inside)), attributes, places=places)


def _enumeration(element: XmlElement) -> Iterator[XmlElement]:
    for child in all_parts(element, "values", "baseType"):
        if child.name == "baseType":
            yield type_in(child, "BaseType")
            continue
        for each in all_parts(child, "value"):
            all_parts(each, attributes=("name", "value"))
            attributes, places = renamed(each, name="name", value="value")
            if not attributes.get("value"):
                attributes.pop("value", None)
            yield made("Enumerator", each, (), attributes, places=places)


def _subrange(element: XmlElement) -> Iterator[XmlElement]:
    for child in all_parts(element, "range", "baseType"):
        if child.name == "baseType":
            yield type_in(child, "BaseType")
        else:
            all_parts(child, attributes=("lower", "upper"))
            given, places = renamed(child, lower="lower", upper="upper")
            yield made("Range", child, (), given, places=places)


_FORMS: dict[str, tuple[str, Callable[[XmlElement], Iterator[XmlElement]]]] = {
    "array": ("ArrayTypeSpec", _array),
    "struct": ("StructTypeSpec", _structure),
    "enum": ("EnumTypeWithNamedValueSpec", _enumeration),
    "subrangeSigned": ("SubrangeTypeSpec", _subrange),
    "subrangeUnsigned": ("SubrangeTypeSpec", _subrange),
}


def data_type(element: XmlElement) -> XmlElement:
    """A dataType as a DataTypeDecl."""
    children = all_parts(element, "baseType", "initialValue", attributes=("name", "globalId"))
    bases = [child for child in children if child.name == "baseType"]
    if len(bases) != 1:
        raise malformed("a <dataType> has one <baseType>", element.span, "write one")
    kind = _the_kind(bases[0])
    if _is_named(kind):
        inside = [made("BaseType", kind, [_type_name(kind)])]
        specification = made("UserDefinedTypeSpec", kind, inside, kind="DirectlyDerivedTypeSpec")
    else:
        specification = _specification(kind, "UserDefinedTypeSpec")
    for child in children:
        if child.name == "initialValue":
            specification.children.append(made("InitialValue", child, [value(child)]))
    attributes, places = renamed(element, name="name")
    return made("DataTypeDecl", element, [specification], attributes, places=places)


# --- initial values ---------------------------------------------------------------------------


def value(element: XmlElement) -> XmlElement:
    """The one value in an initialValue or a value."""
    known = ("repetitionValue", "member") if element.name == "value" else ()
    found = all_parts(element, "simpleValue", "arrayValue", "structValue", attributes=known)
    if len(found) != 1:
        raise malformed(f"<{element.name}> has exactly one value", element.span,
                        'write <simpleValue value="..."/> for instance')  # fmt: skip
    (kind,) = found
    if kind.name == "simpleValue":
        all_parts(kind, attributes=("value",))
        attributes, places = renamed(kind, value="value")
        return made("SimpleValue", kind, (), attributes, places=places)
    name = "repetitionValue" if kind.name == "arrayValue" else "member"
    values = []
    for each in all_parts(kind, "value"):
        attributes, places = renamed(each, **{name: name})
        if set(each.attributes) - {name}:
            value(each)  # reports what does not belong there
            raise malformed(f"<value> in <{kind.name}> has {name} only", each.span, "remove others")
        values.append(made("Value", each, [value(each)], attributes, places=places))
    return made("ArrayValue" if kind.name == "arrayValue" else "StructValue", kind, values)
