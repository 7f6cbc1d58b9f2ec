"""The elements of a drawing in the older schema, each as one or several of IEC 61131-10."""

from __future__ import annotations

from collections.abc import Callable

from twohand.exchange.older.connections import (
    Drawn,
    Outputs,
    ending,
    incoming,
    local_of,
    negated,
    negation,
    outgoing,
    output_pins,
    pin_name,
    references,
    write_from,
)
from twohand.exchange.older.elements import (
    all_parts,
    check_added,
    is_given,
    made,
    needed_attribute,
    renamed,
    text_of,
)
from twohand.exchange.rules import flag, malformed, unsupported, whole_number
from twohand.files.xml_element import XmlElement
from twohand.text.source_text import Span

_MEMORY = ("edge", "storage")
_CHARTS = "selectionDivergence selectionConvergence simultaneousDivergence simultaneousConvergence"
_OF_CHARTS = {"step", "macroStep", "jumpStep", "transition", "actionBlock", *_CHARTS.split()}
_VALUES = ("OUT1",)
_COMMON = ("localId", "executionOrderId", "height", "width", "globalId", "name")


def drawn(element: XmlElement, outputs: Outputs) -> list[Drawn]:
    """What an element of a drawing says; nothing for a comment or a right power rail."""
    if element.name in ("documentation", "comment"):
        return []
    if element.name == "addData":
        check_added(element)
        return []
    if element.name == "vendorElement":
        return _vendor(element)
    reader = _READERS.get(element.name)
    if element.namespace != outputs.content.namespace or reader is None:
        code = "unsupported-jump" if element.name in ("jump", "label") else ""
        code = "unsupported-chart" if element.name in _OF_CHARTS else code
        message = f"the checker does not read <{element.name}> in <{outputs.content.name}>"
        raise unsupported(message, element.span, "write it in another way", code)
    found = reader(element, outputs)
    return [] if found is None else [found]


def _vendor(element: XmlElement) -> list[Drawn]:
    """A mark of the tool, such as a network's title, if nothing is connected to it."""
    for each in element.below():
        if each.name.startswith("connection") or each.name in ("inputVariables", "outputVariables"):
            message = "the checker does not read an element of the tool with connections"
            raise unsupported(message, element.span, "export it as a block")
    check_added(element)
    return []


def _shape(element: XmlElement) -> tuple[list[XmlElement], float | None]:
    """Where an element is drawn, as an element, and its height."""
    found = element.first("position")
    if found is None:
        return [], None
    given, places = renamed(found, x="x", y="y")
    try:
        height = float(given["y"])
    except (KeyError, ValueError):
        return [], None
    return [made("RelPosition", found, (), given, places=places)], height


def _order(element: XmlElement) -> tuple[dict[str, str], dict[str, Span]]:
    """The place in the order of evaluation; 0 says nothing."""
    if not element.attributes.get("executionOrderId", "").strip():
        return {}, {}
    piece = needed_attribute(element, "executionOrderId")
    if whole_number(piece, "place in an order") == 0:
        return {}, {}
    return {"evaluationOrder": piece.text}, {"evaluationOrder": piece.place}


def _refuse_memory(element: XmlElement, *names: str) -> None:
    for name in names:
        if is_given(element, name):
            message = f'the checker does not read {name}="..." of <{element.name}>'
            raise unsupported(message, element.place_of(name), "use a contact, a coil or a block")


# --- ladders ------------------------------------------------------------------------------------


def _left_rail(element: XmlElement, outputs: Outputs) -> None:
    for point in all_parts(element, "position", "connectionPointOut", attributes=_COMMON):
        if point.name == "connectionPointOut":
            all_parts(point, "relPosition", attributes=("formalParameter",))
    mark = local_of(element)
    rail = made("LdObject", element, [outgoing(element, mark)], kind="LeftPowerRail")
    outputs.rails.append(Drawn(element, rail, (mark,)))


def _right_rail(element: XmlElement, outputs: Outputs) -> None:
    for point in all_parts(element, "position", "connectionPointIn", attributes=_COMMON):
        if point.name == "connectionPointIn":
            references(point, outputs)


def _contact_or_coil(element: XmlElement, outputs: Outputs) -> Drawn:
    contact = element.name == "contact"
    words = ("negated", "edge", "storage")
    points = ("connectionPointIn", "connectionPointOut")
    children = all_parts(element, "position", *points, "variable", attributes=(*_COMMON, *words))
    if contact:
        _refuse_memory(element, "storage")
    marks = ending(children, outputs)
    if not marks and contact and outputs.without_rail:
        marks = [outputs.rail()]
    variables = [each for each in children if each.name == "variable"]
    if len(variables) != 1:
        raise malformed(f"a <{element.name}> has one <variable>", element.span, "write it")
    text, place = text_of(variables[0])
    given, places = renamed(element, negated="negated", edge="edge", latch="storage")
    order, ordered = _order(element)
    shape, height = _shape(element)
    local = local_of(element)
    if contact:
        given.pop("latch", None)
    made_of = made(
        "LdObject", element, [*shape, incoming(element, marks), outgoing(element, local)],
        {**given, **order, "operand": text}, "Contact" if contact else "Coil",
        {**places, **ordered, "operand": place},
    )  # fmt: skip
    return Drawn(element, made_of, (local,), tuple(marks), "", bool(order), height)


# --- diagrams -----------------------------------------------------------------------------------


def _source(element: XmlElement, outputs: Outputs) -> Drawn:
    children = all_parts(
        element, "position", "connectionPointOut", "expression",
        attributes=(*_COMMON, "negated", *_MEMORY),
    )  # fmt: skip
    for each in children:
        if each.name == "connectionPointOut":
            all_parts(each, "relPosition", attributes=("formalParameter",))
    _refuse_memory(element, *_MEMORY)
    text, place = text_of(_expression(element))
    shape, height = _shape(element)
    order, ordered = _order(element)
    local = local_of(element)
    mark = outputs.new_mark() if flag(element, "negated") else local
    made_of = made(
        "FbdObject", element, [*shape, outgoing(element, mark)], {"identifier": text, **order},
        "DataSource", {"identifier": place, **ordered},
    )  # fmt: skip
    found = Drawn(element, made_of, (mark,), (), "", bool(order), height)
    if mark == local:
        return found
    outputs.hide(found)
    return negated(element, [mark], local)


def _expression(element: XmlElement) -> XmlElement:
    found = list(element.all("expression"))
    if len(found) != 1:
        raise malformed(f"a <{element.name}> has one <expression>", element.span, "write it")
    return found[0]


def _sink(element: XmlElement, outputs: Outputs) -> Drawn:
    children = all_parts(
        element, "position", "connectionPointIn", "expression",
        attributes=(*_COMMON, "negated", *_MEMORY),
    )  # fmt: skip
    _refuse_memory(element, "edge")
    marks = ending(children, outputs)
    text, place = text_of(_expression(element))
    if marks and flag(element, "negated"):
        marks = [negation(element, marks, outputs)]
    shape, height = _shape(element)
    order, ordered = _order(element)
    latch = element.attributes.get("storage", "none").strip()
    stored = is_given(element, "storage")
    name = "operand" if stored else "identifier"
    given = {name: text, **order}
    if stored:
        given["latch"] = latch
    made_of = made(
        "LdObject" if stored and outputs.content.name == "LD" else "FbdObject", element,
        [*shape, incoming(element, marks)], given,
        "Coil" if stored else "DataSink", {name: place, **ordered},
    )  # fmt: skip
    return Drawn(element, made_of, (), tuple(marks), "", bool(order), height)


def _connector(element: XmlElement, outputs: Outputs) -> Drawn:
    begins = element.name == "continuation"
    point = "connectionPointOut" if begins else "connectionPointIn"
    children = all_parts(element, "position", point, attributes=_COMMON)
    shape, height = _shape(element)
    label = needed_attribute(element, "name")
    marks = [] if begins else ending(children, outputs)
    local = local_of(element)
    end = outgoing(element, local) if begins else incoming(element, marks)
    kind = "Continuation" if begins else "Connector"
    made_of = made(
        "CommonObject", element, [*shape, end], {"label": label.text}, kind, {"label": label.place}
    )
    own = (local,) if begins else ()
    return Drawn(element, made_of, own, tuple(marks), label.text.upper(), False, height)


def _return(element: XmlElement, outputs: Outputs) -> Drawn:
    children = all_parts(element, "position", "connectionPointIn", attributes=(*_COMMON, "negated"))
    marks = ending(children, outputs)
    if marks and flag(element, "negated"):
        marks = [negation(element, marks, outputs)]
    shape, height = _shape(element)
    order, ordered = _order(element)
    made_of = made(
        "CommonObject", element, [*shape, incoming(element, marks)], order, "Return", ordered
    )
    return Drawn(element, made_of, (), tuple(marks), "", bool(order), height)


def _block(element: XmlElement, outputs: Outputs) -> Drawn:
    sections = ("inputVariables", "inOutVariables", "outputVariables")
    known = (*_COMMON, "typeName", "instanceName")
    children = all_parts(element, "position", *sections, attributes=known)
    local = local_of(element)
    inside, height = _shape(element)
    uses: list[str] = []
    for section in children:
        if section.name == "position":
            continue
        pins = [
            _pin(section.name, pin, local, uses, outputs) for pin in all_parts(section, "variable")
        ]
        inside.append(made(section.name[0].upper() + section.name[1:], section, pins))
    given, places = renamed(element, typeName="typeName", instanceName="instanceName")
    if not given.get("instanceName"):
        given.pop("instanceName", None)
    order, ordered = _order(element)
    made_of = made("FbdObject", element, inside, {**given, **order}, "Block", {**places, **ordered})
    marks = tuple(f"{local}.{pin_name(pin).upper()}" for pin in output_pins(element))
    return Drawn(element, made_of, marks, tuple(uses), "", bool(order), height)


def _pin(
    section: str, pin: XmlElement, local: str, uses: list[str], outputs: Outputs
) -> XmlElement:
    """A pin of a block; ``uses`` gets what is connected to it."""
    points = {
        "inputVariables": ("connectionPointIn",),
        "inOutVariables": ("connectionPointIn", "connectionPointOut"),
        "outputVariables": ("connectionPointOut",),
    }[section]
    known = ("formalParameter", "negated", "edge", "storage", "hidden")
    children = all_parts(pin, *points, attributes=known)
    _refuse_memory(pin, "storage", *(() if section == "inputVariables" else ("edge",)))
    if section == "inOutVariables" and flag(pin, "negated"):
        raise unsupported("a negated in-out parameter is not read", pin.span, "remove it")
    inside: list[XmlElement] = []
    for point in children:
        if point.name == "connectionPointIn":
            marks = references(point, outputs)
            uses.extend(marks)
            inside += [incoming(point, marks)] if marks else []
        else:
            mark = f"{local}.{pin_name(pin).upper()}"
            inside.append(outgoing(point, mark))
            write_from(point, mark, outputs)
    words = {"parameterName": "formalParameter"}
    if section != "inOutVariables":
        words["negated"] = "negated"
    if section == "inputVariables":
        words["edge"] = "edge"
    given, places = renamed(pin, **words)
    if section == "outputVariables" and given.get("parameterName", "").upper() in _VALUES:
        del given["parameterName"]  # what gives the value of a function
    if not given.get("edge", "none"):
        del given["edge"]
    name = section[0].upper() + section[1:-1]
    return made(name, pin, inside, given, places=places)


def _in_out(element: XmlElement, outputs: Outputs) -> Drawn:
    message = "the checker does not read <inOutVariable>: it reads and writes a variable at once"
    way = "use an <inVariable> and an <outVariable>"
    raise unsupported(message, element.span, way)


_READERS: dict[str, Callable[[XmlElement, Outputs], Drawn | None]] = {
    "leftPowerRail": _left_rail,
    "rightPowerRail": _right_rail,
    "contact": _contact_or_coil,
    "coil": _contact_or_coil,
    "inVariable": _source,
    "outVariable": _sink,
    "inOutVariable": _in_out,
    "connector": _connector,
    "continuation": _connector,
    "return": _return,
    "block": _block,
}
