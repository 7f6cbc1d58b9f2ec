"""An exchange file of IEC 61131-10 written in the older schema (TC6 2.0 and 2.01), from its XML;
the checker's way back is not used. The names of the older schema are from files as they are."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from xml.sax.saxutils import escape, quoteattr

from tests.support.meaning.exchange_export import INSTANCE, NAMESPACE

OLDER = "http://www.plcopen.org/xml/tc6_0201"
_KIND = f"{{{INSTANCE}}}type"
_POUS = {"FunctionBlock": "functionBlock", "Program": "program", "Function": "function"}
_SECTIONS = {
    "InputVars": "inputVars", "OutputVars": "outputVars", "InoutVars": "inOutVars",
    "Vars": "localVars", "TempVars": "tempVars", "ExternalVars": "externalVars",
    "GlobalVars": "globalVars",
}  # fmt: skip
_NAMES = (
    "BOOL BYTE WORD DWORD LWORD SINT INT DINT LINT USINT UINT UDINT ULINT REAL LREAL TIME DATE DT"
)
_ELEMENTARY = _NAMES.split()
NETWORK_HEIGHT = 1_000


class NotInOlder(Exception):  # noqa: N818 - no error: the sample is another's
    """The file has something that the older schema does not say."""


def older(xml: str, namespace: str = OLDER) -> str:
    """The same file in the older schema."""
    root = ET.fromstring(xml)
    space = _only(_only(root, "Types"), "GlobalNamespace")
    types = [_data_type(each) for each in _all(space, "DataTypeDecl")]
    pous = [_pou(each) for each in space if _name(each) in _POUS]
    instances = root.find(f"{{{NAMESPACE}}}Instances")
    configurations = [] if instances is None else [_configuration(each) for each in instances]
    return (
        f'<?xml version="1.0" encoding="utf-8"?>\n<project xmlns="{namespace}" '
        'xmlns:xhtml="http://www.w3.org/1999/xhtml">\n'
        '<fileHeader companyName="" productName="by hand"/>\n'
        '<contentHeader name="ours"><coordinateInfo><fbd><scaling x="1" y="1"/></fbd>'
        '<ld><scaling x="1" y="1"/></ld></coordinateInfo></contentHeader>\n'
        f"<types><dataTypes>{''.join(types)}</dataTypes>\n<pous>{''.join(pous)}</pous></types>\n"
        f"<instances><configurations>{''.join(configurations)}</configurations></instances>\n"
        "</project>\n"
    )


def _name(element: ET.Element) -> str:
    return element.tag.rpartition("}")[2]


def _all(element: ET.Element, *names: str) -> list[ET.Element]:
    return [each for each in element if _name(each) in names]


def _only(element: ET.Element, name: str) -> ET.Element:
    (found,) = _all(element, name)
    return found


def _tag(element: str, inside: str = "", /, **attributes: object) -> str:
    stated = {key: str(value) for key, value in attributes.items() if value not in ("", None)}
    given = "".join(f" {key}={quoteattr(value)}" for key, value in stated.items())
    return f"<{element}{given}>{inside}</{element}>" if inside else f"<{element}{given}/>"


# --- declarations -------------------------------------------------------------------------------


def _data_type(element: ET.Element) -> str:
    specification = _only(element, "UserDefinedTypeSpec")
    if specification.get(_KIND, "").endswith("DirectlyDerivedTypeSpec"):
        inside = _type_inside(_only(specification, "BaseType"))
    else:
        inside = _specification(specification)
    initial = "".join(_initial(each) for each in _all(specification, "InitialValue"))
    return _tag("dataType", _tag("baseType", inside) + initial, name=element.get("name"))


def _type_inside(element: ET.Element) -> str:
    named = _all(element, "TypeName")
    if not named:
        return _specification(_only(element, "InstantlyDefinedType"))
    text = (named[0].text or "").strip()
    string = re.fullmatch(r"(W?STRING)\W*(\d*)\W*", text, re.IGNORECASE)
    if string is not None:
        return _tag(string[1].lower(), length=string[2])
    return _tag(text.upper()) if text.upper() in _ELEMENTARY else _tag("derived", name=text)


def _specification(element: ET.Element) -> str:
    kind = element.get(_KIND, "").rpartition(":")[2]
    base = "".join(_tag("baseType", _type_inside(each)) for each in _all(element, "BaseType"))
    if kind == "ArrayTypeSpec":
        dimensions = sorted(
            _all(element, "DimensionSpec"), key=lambda each: int(each.get("dimensionNumber", "0"))
        )
        ranges = [_only(each, "IndexRange").attrib for each in dimensions]
        return _tag("array", "".join(_tag("dimension", **each) for each in ranges) + base)
    if kind == "StructTypeSpec":
        return _tag("struct", "".join(map(_variable, _all(element, "Member"))))
    if kind in ("EnumTypeSpec", "EnumTypeWithNamedValueSpec"):
        values = "".join(
            _tag("value", name=each.get("name"), value=each.get("value", ""))
            for each in _all(element, "Enumerator")
        )
        return _tag("enum", _tag("values", values) + base)
    if kind == "SubrangeTypeSpec":
        return _tag("subrangeSigned", _tag("range", **_only(element, "Range").attrib) + base)
    raise NotInOlder


def _variable(element: ET.Element) -> str:
    if element.get("edgeDetection", "none") != "none":
        raise NotInOlder
    address = [each.get("address", "") for each in _all(element, "Address")]
    inside = _tag("type", _type_inside(_only(element, "Type")))
    inside += "".join(_initial(each) for each in _all(element, "InitialValue"))
    return _tag("variable", inside, name=element.get("name"), address="".join(address))


def _initial(element: ET.Element) -> str:
    return _tag("initialValue", _value(element))


def _value(element: ET.Element) -> str:
    (value,) = element
    if _name(value) == "SimpleValue":
        return _tag("simpleValue", value=value.get("value"))
    inside = "".join(
        _tag("value", _value(each), **each.attrib)  # type: ignore[arg-type]
        for each in value
    )
    return _tag("arrayValue" if _name(value) == "ArrayValue" else "structValue", inside)


def _section(element: ET.Element) -> str:
    given = {key: value for key, value in element.attrib.items() if key != "accessSpecifier"}
    inside = "".join(map(_variable, _ordered(element)))
    return _tag(_SECTIONS[_name(element)], inside, **given)  # type: ignore[arg-type]


def _ordered(element: ET.Element) -> list[ET.Element]:
    variables = _all(element, "Variable")
    if any("orderWithinParamSet" in each.attrib for each in variables):
        variables.sort(key=lambda each: int(each.get("orderWithinParamSet", "0")))
    return variables


def _pou(element: ET.Element) -> str:
    if _all(element, "Method"):
        raise NotInOlder
    parameters = [section for each in _all(element, "Parameters") for section in each]
    results = [each for each in (*element, *parameters) if _name(each) == "ResultType"]
    inside = "".join(_tag("returnType", _result(each)) for each in results)
    sections = [*parameters, *element]
    inside += "".join(_section(each) for each in sections if _name(each) in _SECTIONS)
    actions = "".join(
        _tag("action", _bodies(each), name=each.get("name")) for each in _all(element, "Action")
    )
    inside = _tag("interface", inside) + (_tag("actions", actions) if actions else "")
    kind = _POUS[_name(element)]
    return _tag("pou", inside + _bodies(element), name=element.get("name"), pouType=kind) + "\n"


def _result(element: ET.Element) -> str:
    inner = _all(element, "Type")
    return _type_inside(inner[0] if inner else element)


def _bodies(element: ET.Element) -> str:
    return "".join(_body(each) for each in _all(element, "MainBody", "Body"))


def _body(element: ET.Element) -> str:
    content = _only(element, "BodyContent")
    kind = content.get(_KIND, "")
    if kind == "ST":
        text = escape(_only(content, "ST").text or "")
        return _tag("body", _tag("ST", f"<xhtml:p>{text}</xhtml:p>"))
    return _tag("body", f"<{kind}>{''.join(_Drawing(content).elements())}</{kind}>")


def _configuration(element: ET.Element) -> str:
    inside = ""
    for child in element:
        inside += _section(child) if _name(child) == "GlobalVars" else _resource(child)
    return _tag("configuration", inside, name=element.get("name"))


def _resource(element: ET.Element) -> str:
    programs = [each.attrib for each in _all(element, "ProgramInstance")]

    def uses(task: str | None) -> str:
        found = (each for each in programs if each.get("associatedTaskName") == task)
        return "".join(_tag("pouInstance", name=e["name"], typeName=e["typeName"]) for e in found)

    inside = "".join(_section(each) for each in _all(element, "GlobalVars"))
    for task in _all(element, "Task"):
        inside += _tag("task", uses(task.get("name")), **task.attrib)  # type: ignore[arg-type]
    return _tag("resource", inside + uses(None), name=element.get("name"))


# --- drawings -----------------------------------------------------------------------------------


class _Drawing:
    """All networks of a body below one another, with one row of numbers."""

    def __init__(self, content: ET.Element) -> None:
        self._networks = list(content)
        if any("evaluationOrder" in each.attrib for each in self._networks):
            self._networks.sort(key=lambda each: int(each.get("evaluationOrder", "0")))
        self._local = 0
        self._order = 0
        self._outputs: dict[str, str] = {}

    def elements(self) -> Iterator[str]:
        numbered = [any("evaluationOrder" in each.attrib for each in n) for n in self._networks]
        if any(numbered) and len(numbered) > 1:
            raise NotInOlder  # the numbers of one network say nothing beside another
        for number, network in enumerate(self._networks):
            self._outputs = {}
            locals_of = []
            for element in network:
                self._local += 1
                locals_of.append(self._local)
                self._note(element, self._local)
            for local, element in zip(locals_of, network, strict=True):
                yield self._element(element, local, number * NETWORK_HEIGHT)

    def _note(self, element: ET.Element, local: int) -> None:
        """What a connection says that comes from each output of an element."""
        for point in element:
            if _name(point) == "ConnectionPointOut":
                mark = point.get("connectionPointOutId", "")
                self._outputs[mark] = f'refLocalId="{local}"'
            for pin in _all(point, "OutputVariable", "InOutVariable"):
                for end in _all(pin, "ConnectionPointOut"):
                    name = quoteattr(pin.get("parameterName", ""))
                    mark = end.get("connectionPointOutId", "")
                    self._outputs[mark] = f'refLocalId="{local}" formalParameter={name}'

    def _end(self, element: ET.Element) -> str:
        return "".join(map(self._point, _all(element, "ConnectionPointIn")))

    def _point(self, point: ET.Element) -> str:
        connections = "".join(
            f"<connection {self._outputs[each.get('refConnectionPointOutId', '')]}>"
            '<position x="1" y="2"/></connection>'
            for each in _all(point, "Connection")
        )
        return _tag("connectionPointIn", connections)

    def _element(self, element: ET.Element, local: int, height: int) -> str:
        kind = element.get(_KIND, "")
        place = _only(element, "RelPosition").attrib
        inside = _tag("position", x=place["x"], y=height + int(place["y"]))
        more: dict[str, object] = {"localId": local, "height": 10, "width": 20}
        if "evaluationOrder" in element.attrib:
            more["executionOrderId"] = int(element.attrib["evaluationOrder"]) + 1
        given = element.attrib
        if kind in ("LeftPowerRail", "RightPowerRail"):
            points = '<connectionPointOut formalParameter="none"/>' if kind[0] == "L" else ""
            name = kind[0].lower() + kind[1:]
            return _tag(name, inside + points + self._end(element), **more)
        if kind in ("Contact", "Coil"):
            more.update({"negated": given.get("negated", "false"), "edge": given.get("edge", "")})
            more["storage"] = given.get("latch", "")
            inside += self._end(element) + "<connectionPointOut/>"
            inside += f"<variable>{escape(given['operand'])}</variable>"
            return _tag(kind.lower(), inside, **more)
        if kind in ("DataSource", "DataSink"):
            inside += self._end(element) or "<connectionPointOut/>"
            inside += f"<expression>{escape(given['identifier'])}</expression>"
            name = "inVariable" if kind == "DataSource" else "outVariable"
            return _tag(name, inside, **more, negated="false")
        if kind == "Return":
            return _tag("return", inside + self._end(element), **more)
        if kind in ("Connector", "Continuation"):
            inside += self._end(element) or "<connectionPointOut/>"
            return _tag(kind.lower(), inside, name=given["label"], **more)
        if kind == "Block":
            return self._block(element, inside, more)
        raise NotInOlder

    def _block(self, element: ET.Element, inside: str, more: dict[str, object]) -> str:
        for section in ("InputVariables", "InOutVariables", "OutputVariables"):
            pins = ""
            for pin in (pin for each in _all(element, section) for pin in each):
                points = self._end(pin) + "".join(
                    "<connectionPointOut/>" for _ in _all(pin, "ConnectionPointOut")
                )
                words = {k: v for k, v in pin.attrib.items() if k in ("negated", "edge")}
                name = quoteattr(pin.get("parameterName", ""))
                said = "".join(f" {k}={quoteattr(v)}" for k, v in words.items())
                pins += f"<variable formalParameter={name}{said}>{points}</variable>"
            inside += (
                f"<{section[0].lower()}{section[1:]}>{pins}</{section[0].lower()}{section[1:]}>"
            )
        instance = element.get("instanceName", "")
        return _tag(
            "block", inside, **more, typeName=element.get("typeName"), instanceName=instance
        )
