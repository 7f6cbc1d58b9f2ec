"""Units, types and configurations of the older schema, as elements of IEC 61131-10."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from twohand.exchange.older.declarations import SECTIONS, data_type, section, type_in
from twohand.exchange.older.deviations import NO_INTERVAL
from twohand.exchange.older.drawings import drawing
from twohand.exchange.older.elements import all_parts, check_added, made, needed_attribute, renamed
from twohand.exchange.rules import check_attributes, malformed, unsupported
from twohand.files.xml_element import Characters, XmlElement
from twohand.text.diagnostic import InputError

_KINDS = {"functionBlock": "FunctionBlock", "program": "Program", "function": "Function"}
_PARAMETERS = ("inputVars", "outputVars", "inOutVars")
_BODIES = ("ST", "LD", "FBD", "SFC", "IL")
_PARAGRAPHS = ("p", "pre", "div", "br", "html", "body", "xhtml")
_INLINE = ("span", "b", "i", "font", "tt")


class Declared(NamedTuple):
    """An element of IEC 61131-10; with an error it has the names of the older one in it only."""

    element: XmlElement
    error: InputError | None


def project(root: XmlElement) -> tuple[list[Declared], list[Declared]]:
    """The types and units of a project, and its configurations. InputError for what is outside of
    them and could carry logic."""
    added = [child for child in root.children if child.name == "addData"]
    rest = [child for child in root.children if child.name != "addData"]
    whole = XmlElement(
        root.name, root.namespace, root.kind, root.attributes, rest, root.characters, root.span
    )
    children = all_parts(
        whole, "fileHeader", "contentHeader", "types", "instances", attributes=("schemaVersion",)
    )  # the headers carry no logic
    units: list[Declared] = []
    configurations: list[Declared] = []
    for child in children:
        if child.name == "types":
            units += _types(child)
        elif child.name == "instances":
            configurations += _instances(child)
    for each in added:
        units += _added_units(each)
    return units, configurations


def _types(element: XmlElement) -> Iterator[Declared]:
    for group in all_parts(element, "dataTypes", "pous"):
        if group.name == "dataTypes":
            for child in all_parts(group, "dataType"):
                yield _converted(child, "DataTypeDecl", data_type)
        else:
            for child in all_parts(group, "pou"):
                yield _unit(child)


def _unit(element: XmlElement) -> Declared:
    kind = _KINDS.get(element.attributes.get("pouType", "").strip())
    if kind is None:
        message = (
            f"the checker does not read units of the kind '{element.attributes.get('pouType', '')}'"
        )
        way = "a pouType is function, functionBlock or program"
        raise unsupported(message, element.span, way)
    return _converted(element, kind, pou)


def _added_units(element: XmlElement) -> Iterator[Declared]:
    """Whole units among the added data of a project; InputError for other logic there."""
    for data in element.children:
        others: list[XmlElement] = []
        for child in data.children:
            if child.name == "pou":
                yield _unit(child)
            elif child.name == "dataType":
                yield _converted(child, "DataTypeDecl", data_type)
            else:
                others.append(child)
        rest = XmlElement("data", data.namespace, "", data.attributes, others, [], data.span)
        check_added(XmlElement("addData", element.namespace, "", {}, [rest], [], element.span))


def _converted(
    element: XmlElement, name: str, form: Callable[[XmlElement], XmlElement]
) -> Declared:
    try:
        return Declared(form(element), None)
    except InputError as error:
        attributes, places = renamed(element, name="name")
        types = [_named_type(each) for each in element.below() if each.name == "derived"]
        stand_in = made(name, element, [*types, *element.children], attributes, places=places)
        return Declared(stand_in, error)


def _named_type(element: XmlElement) -> XmlElement:
    named = made("TypeName", element)
    named.characters.append(Characters(element.attributes.get("name", ""), element.span))
    return named


# --- units --------------------------------------------------------------------------------------


def pou(element: XmlElement) -> XmlElement:
    """A pou as FunctionBlock, Program or Function."""
    methods = list(_methods(element))
    children = all_parts(
        _without_methods(element), "interface", "actions", "transitions", "body",
        attributes=("name", "pouType"),
    )  # fmt: skip
    inside: list[XmlElement] = []
    bodies: list[XmlElement] = []
    for child in children:
        if child.name == "interface":
            inside += _interface(child)
        elif child.name == "actions":
            inside += [_action(each) for each in all_parts(child, "action")]
        elif child.name == "transitions":
            _refuse_transitions(child)
        else:
            bodies.append(child)
    if len(bodies) > 1:
        raise unsupported("the checker reads units with one body", bodies[1].span,
                          "join the bodies in one")  # fmt: skip
    inside += [_body(each, "MainBody") for each in bodies]
    attributes, places = renamed(element, name="name")
    kind = _KINDS[element.attributes["pouType"].strip()]
    return made(kind, element, [*inside, *methods], attributes, places=places)


def _refuse_transitions(element: XmlElement) -> None:
    for child in element.children:
        message = "the checker does not read sequential function charts (a transition)"
        way = "use CASE over an enumeration"
        raise unsupported(message, child.span, way, "unsupported-chart")


def _interface(element: XmlElement) -> list[XmlElement]:
    """The sections, of which those of parameters are in one element."""
    inside: list[XmlElement] = []
    parameters: list[XmlElement] = []
    for child in all_parts(element, *SECTIONS, "returnType"):
        if child.name == "returnType":
            inside.append(type_in(child, "ResultType"))
        elif child.name in _PARAMETERS:
            parameters.append(section(child))
        else:
            inside.append(section(child))
    return [made("Parameters", element, parameters), *inside] if parameters else inside


def _action(element: XmlElement) -> XmlElement:
    bodies = all_parts(element, "body", attributes=("name",))
    attributes, places = renamed(element, name="name")
    inside = [_body(each, "MainBody") for each in bodies]
    return made("Action", element, inside, attributes, places=places)


def _methods(element: XmlElement) -> Iterator[XmlElement]:
    """Methods that are kept among added data."""
    for child in _added_methods(element):
        parts = all_parts(child, "interface", "body", attributes=("name", "ObjectId"))
        inside: list[XmlElement] = []
        for part in parts:
            inside += _interface(part) if part.name == "interface" else [_body(part, "MainBody")]
        attributes, places = renamed(child, name="name")
        yield made("Method", child, inside, attributes, places=places)


def _added_methods(element: XmlElement) -> Iterator[XmlElement]:
    for added in element.all("addData"):
        for data in added.children:
            yield from (each for each in data.children if each.name in ("Method", "method"))


def _without_methods(element: XmlElement) -> XmlElement:
    """The unit without the methods that were read of its added data."""
    methods = set(_added_methods(element))
    children = []
    for child in element.children:
        if child.name != "addData":
            children.append(child)
            continue
        datas = [
            XmlElement(
                data.name, data.namespace, data.kind, data.attributes,
                [each for each in data.children if each not in methods], data.characters, data.span,
            )
            for data in child.children
        ]  # fmt: skip
        children.append(
            XmlElement(child.name, child.namespace, "", {}, datas, child.characters, child.span)
        )
    return XmlElement(
        element.name, element.namespace, element.kind, element.attributes, children,
        element.characters, element.span,
    )  # fmt: skip


# --- bodies -------------------------------------------------------------------------------------


def _body(element: XmlElement, name: str) -> XmlElement:
    children = all_parts(element, *_BODIES, attributes=("WorksheetName",))
    if len(children) != 1:
        raise malformed("a <body> has one content", element.span, "write <ST> for instance")
    (content,) = children
    if content.name == "ST":
        inside = [_text(content)]
    elif content.name in ("LD", "FBD"):
        inside = drawing(content)
    else:
        inside = []
    return made(name, element, [made("BodyContent", content, inside, kind=content.name)])


def _text(element: XmlElement) -> XmlElement:
    """Structured text in paragraphs, as one text."""
    check_attributes(element, ())
    text = made("ST", element)
    text.characters.extend(_lines(element))
    return text


def _lines(element: XmlElement) -> Iterator[Characters]:
    """The text of an element and of those in it, in the order of the file."""
    inside: list[Characters | XmlElement] = [*element.characters, *element.children]
    for each in sorted(inside, key=lambda part: part.span.start):
        if isinstance(each, Characters):
            yield each
            continue
        name = each.name.lower()
        if name not in (*_PARAGRAPHS, *_INLINE):
            message = f"<{each.name}> does not belong in structured text"
            raise unsupported(message, each.span, "remove it")
        end = [Characters("\n", each.span)] if name in _PARAGRAPHS else []
        yield from (*end, *_lines(each), *end)


# --- configurations -----------------------------------------------------------------------------


def _instances(element: XmlElement) -> Iterator[Declared]:
    for group in all_parts(element, "configurations"):
        for child in all_parts(group, "configuration"):
            yield _converted(child, "Configuration", _configuration)


def _configuration(element: XmlElement) -> XmlElement:
    inside: list[XmlElement] = []
    for child in all_parts(element, "resource", "globalVars", attributes=("name",)):
        inside.append(section(child) if child.name == "globalVars" else _resource(child))
    attributes, places = renamed(element, name="name")
    return made("Configuration", element, inside, attributes, places=places)


def _resource(element: XmlElement) -> XmlElement:
    inside: list[XmlElement] = []
    for child in all_parts(element, "task", "globalVars", "pouInstance", attributes=("name",)):
        if child.name == "globalVars":
            inside.append(section(child))
        elif child.name == "pouInstance":
            inside.append(_program(child, None))
        else:
            inside += _task(child)
    attributes, places = renamed(element, name="name")
    return made("Resource", element, inside, attributes, places=places)


def _task(element: XmlElement) -> list[XmlElement]:
    """A task and the programs that it runs; an interval of zero says nothing of when."""
    words = ("name", "interval", "priority", "single")
    programs = all_parts(element, "pouInstance", attributes=words)
    attributes, places = renamed(element, **{word: word for word in words})
    if attributes.get("interval") in NO_INTERVAL:
        del attributes["interval"]
    name = needed_attribute(element, "name")
    if not attributes.keys() - {"name"}:
        return [_program(each, None) for each in programs]
    task = made("Task", element, (), attributes, places=places)
    return [task, *(_program(each, name.text) for each in programs)]


def _program(element: XmlElement, task: str | None) -> XmlElement:
    all_parts(element, attributes=("name", "typeName", "globalId"))
    attributes, places = renamed(element, name="name", typeName="typeName")
    if task is not None:
        attributes["associatedTaskName"] = task
    return made("ProgramInstance", element, (), attributes, places=places)
