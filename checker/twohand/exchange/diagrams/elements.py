"""Graphical elements of a network, read from an exchange file.

Element and attribute names of IEC 61131-10 are from memory. Positions, sizes and comments carry no
logic; anything else of unknown meaning is refused.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from twohand.exchange.diagrams.graph import ElementKind, Input, Node, Output
from twohand.exchange.diagrams.operands import operand, variable
from twohand.exchange.rules import (
    Piece,
    attribute,
    check_no_text,
    flag,
    malformed,
    name_of,
    only,
    parts,
    unsupported,
    whole_number,
)
from twohand.files.xml_element import XmlElement
from twohand.text.diagnostic import InputError

OBJECTS = ("LdObject", "FbdObject", "CommonObject")
_SHAPE = ("RelPosition", "Size")
_ORDER = "evaluationOrder"
_POINTS = ("ConnectionPointIn", "ConnectionPointOut")
_EDGES = ("none", "rising", "falling")
_LATCHES = ("none", "set", "reset")
_TITLES = {
    "Jump": ("unsupported-jump", "jumps", "use RETURN, or contacts before the coils to be skipped"),
    "CompareContact": ("", "contacts that compare", "use a block GT, GE, EQ, LE, LT or NE"),
}


def read_objects(network: XmlElement, allowed: Sequence[str]) -> list[Node]:
    """The elements of a rung or network; ``allowed`` are the names of elements in it."""
    nodes: list[Node] = []
    for child in parts(network, *allowed, "Comment", *_SHAPE, attributes=(_ORDER, "label", "name")):
        if child.name in OBJECTS:
            node = _object(child, len(nodes))
            if node is not None:
                nodes.append(node)
    if any(len(node.position) < 3 for node in nodes):
        for node in nodes:
            node.position = node.position[-1:]
    return nodes


def _object(element: XmlElement, count: int) -> Node | None:
    read = _READERS.get(element.kind)
    if element.kind == "Comment":
        return None
    if read is None:
        code, what, way = _TITLES.get(
            element.kind, ("", f"elements of the kind '{element.kind}'", "write it in another way")
        )
        raise unsupported(f"the checker does not read {what}", element.span, way, code)
    check_no_text(element)
    node = read(element)
    node.position = (*position_of(element), count)
    if _ORDER in element.attributes:
        node.number = whole_number(attribute(element, _ORDER), "place in an order")
    return node


def position_of(element: XmlElement) -> tuple[float, ...]:
    """From top to bottom, then from left to right; nothing where it is not given."""
    found = only(element, "RelPosition")
    try:
        return () if found is None else (
            float(found.attributes["y"]), float(found.attributes["x"])
        )  # fmt: skip
    except (KeyError, ValueError):
        return ()


def _points(
    element: XmlElement,
    *others: str,
    attributes: Sequence[str] = (),
    left: int = 1,
    right: bool = True,
) -> tuple[list[Input], list[tuple[Piece, Piece | None]]]:
    """The ends of an element: ``left`` of them (-1: any number) take connections, and where
    ``right`` any number begin them."""
    known = (*_SHAPE, *(_POINTS[:1] if left else ()), *(_POINTS[1:] if right else ()), *others)
    list(parts(replace(element, kind=""), *known, attributes=(_ORDER, *attributes)))
    inputs = [_input(point, Piece("", point.span)) for point in element.all(_POINTS[0])]
    if left == 1 and not inputs:
        inputs = [Input(Piece("", element.span), element.span)]
    if left == 1 and len(inputs) > 1:
        raise malformed("this element has more than one end on the left", inputs[1].place,
                        "connect all to one <ConnectionPointIn>")  # fmt: skip
    outputs = [(Piece("", point.span), _mark(point)) for point in element.all(_POINTS[1])]
    return inputs, outputs


def _node(
    element: XmlElement,
    kind: ElementKind,
    ends: tuple[list[Input], list[tuple[Piece, Piece | None]]],
) -> Node:
    node = Node(element, kind, None, (), inputs=ends[0])
    node.outputs = [Output(name, name.place, node, mark=mark) for name, mark in ends[1]]
    return node


def _input(point: XmlElement, name: Piece) -> Input:
    list(parts(point, "RelPosition", "Connection"))
    references = []
    for connection in point.all("Connection"):
        list(parts(connection, "RelPosition", attributes=("refConnectionPointOutId",)))
        references.append(attribute(connection, "refConnectionPointOutId"))
    return Input(name, point.span, references=references)


def _mark(point: XmlElement) -> Piece | None:
    list(parts(point, "RelPosition", attributes=("connectionPointOutId",)))
    return attribute(point, "connectionPointOutId")


def _choice(element: XmlElement, name: str, values: Sequence[str]) -> str:
    """An attribute that is one of some words; '' for the first of them, and where it is missing."""
    value = element.attributes.get(name, values[0]).strip()
    if value not in values:
        raise malformed(f"'{value}' is none of {', '.join(values)}", element.place_of(name),
                        "write one of these")  # fmt: skip
    return "" if value == values[0] else value


_PLAIN = {
    "LeftPowerRail": (ElementKind.LEFT_RAIL, 0, True, ""),
    "RightPowerRail": (ElementKind.RIGHT_RAIL, -1, False, ""),
    "Return": (ElementKind.RETURN, 1, False, ""),
    "DataSource": (ElementKind.SOURCE, 0, True, "identifier"),
    "DataSink": (ElementKind.SINK, 1, False, "identifier"),
    "Connector": (ElementKind.CONNECTOR, 1, False, "label"),
    "Continuation": (ElementKind.CONTINUATION, 0, True, "label"),
}
"""What has ends on the left and the right (see ``_points``), and at most one attribute."""


def _plain(element: XmlElement) -> Node:
    kind, left, right, name = _PLAIN[element.kind]
    ends = _points(element, attributes=(name,) if name else (), left=left, right=right)
    node = _node(element, kind, ends)
    if name == "label":
        node.type_name = name_of(element, name)
    elif name:
        read = operand if kind is ElementKind.SOURCE else variable
        node.operand = read(attribute(element, name))
    return node


# --- ladders ------------------------------------------------------------------------------------


def _contact(element: XmlElement) -> Node:
    ends = _points(element, attributes=("operand", "negated", "edge"))
    node = _node(element, ElementKind.CONTACT, ends)
    node.operand = operand(attribute(element, "operand"))
    node.negated, node.edge = flag(element, "negated"), _choice(element, "edge", _EDGES)
    if node.negated and node.edge:
        raise _combined(element, "negated", "edge")
    return node


def _coil(element: XmlElement) -> Node:
    ends = _points(element, attributes=("operand", "negated", "edge", "latch"))
    node = _node(element, ElementKind.COIL, ends)
    node.operand = variable(attribute(element, "operand"))
    node.negated, node.edge = flag(element, "negated"), _choice(element, "edge", _EDGES)
    node.latch = _choice(element, "latch", _LATCHES)
    given = [
        name
        for name, said in (("negated", node.negated), ("edge", node.edge), ("latch", node.latch))
        if said
    ]
    if len(given) > 1:
        raise _combined(element, *given[:2])
    return node


def _combined(element: XmlElement, one: str, other: str) -> InputError:
    message = f'the standard does not say what {one}="..." and {other}="..." mean together'
    way = "use two elements in series, or a variable between them"
    return unsupported(message, element.place_of(other), way)


# --- function-block diagrams --------------------------------------------------------------------


def _block(element: XmlElement) -> Node:
    sections = ("InOutVariables", "InputVariables", "OutputVariables")
    _points(element, *sections, attributes=("typeName", "instanceName"), left=0, right=False)
    instance = "instanceName" in element.attributes
    node = Node(element, ElementKind.BLOCK if instance else ElementKind.FUNCTION, None, ())
    node.type_name = _type_name(element)
    if instance:
        node.operand = variable(attribute(element, "instanceName"))
    for section in (only(element, name) for name in sections):
        if section is None:
            continue
        for pin in parts(section, section.name[:-1]):
            _pin(node, pin)
    given: set[str] = set()
    for name in [pin.name for pin in node.inputs]:
        if name.text.upper() in given:
            raise malformed(f"the pin '{name.text}' occurs here twice", name.place,
                            "leave one of them")  # fmt: skip
        given.add(name.text.upper())
    return node


def _type_name(element: XmlElement) -> Piece:
    """The type of a block, or a function, whose name may be a word of the language (AND)."""
    text, place = attribute(element, "typeName")
    if text.strip().upper() in ("AND", "OR", "XOR", "NOT", "MOD"):
        return Piece(text.strip().upper(), place)
    return name_of(element, "typeName")


def _pin(node: Node, pin: XmlElement) -> None:
    """An input, an output or an in-out parameter of a block."""
    if pin.name == "OutputVariable":
        _output_pin(node, pin)
        return
    in_out = pin.name == "InOutVariable"
    list(parts(pin, *_SHAPE, *_POINTS[: 2 if in_out else 1],
               attributes=("parameterName", *(() if in_out else ("negated", "edge")))))  # fmt: skip
    name = name_of(pin, "parameterName")
    point = only(pin, _POINTS[0])
    place = Input(name, pin.span) if point is None else _input(point, name)
    place.place, place.in_out = pin.span, in_out
    place.negated, place.edge = flag(pin, "negated"), _choice(pin, "edge", _EDGES)
    if place.negated and place.edge:
        raise _combined(pin, "negated", "edge")
    node.inputs.append(place)
    for right in pin.all(_POINTS[1]):
        nameless = Piece("", right.span)
        node.outputs.append(Output(nameless, right.span, node, mark=_mark(right), in_out=True))


def _output_pin(node: Node, pin: XmlElement) -> None:
    """The value of a function may have no name."""
    list(parts(pin, *_SHAPE, _POINTS[1], attributes=("parameterName", "negated")))
    name = Piece("", pin.span)
    if pin.attributes.get("parameterName", "").strip():
        name = name_of(pin, "parameterName")
    for point in pin.all(_POINTS[1]):
        node.outputs.append(Output(name, pin.span, node, flag(pin, "negated"), _mark(point)))


_READERS: dict[str, Callable[[XmlElement], Node]] = {
    **dict.fromkeys(_PLAIN, _plain),
    "Contact": _contact,
    "Coil": _coil,
    "Block": _block,
}
