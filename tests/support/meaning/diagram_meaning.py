"""Ladders and function-block diagrams evaluated directly, element by element, as IEC 61131-3 Ed. 2,
4.1 to 4.3, says; nothing of the checker's way to structured text is used.

Where the standard leaves the order of elements open, one is drawn by lot: a diagram that the
checker accepts must mean the same in all of them.
"""

from __future__ import annotations

import random
import xml.etree.ElementTree as ElementTree
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import networkx
from twohand.program.types import Value

_SPACE = "{www.iec.ch/public/TC65SC65BWG7TF10}"
_KIND = "{http://www.w3.org/2001/XMLSchema-instance}type"

Xml = ElementTree.Element


@dataclass
class Instance:
    """A block's pins, and what it remembers besides."""

    pins: dict[str, Any]
    before: bool = False
    since: int | None = None


PINS: dict[str, dict[str, Any]] = {
    "TON": {"IN": False, "PT": 0, "Q": False, "ET": 0},
    "R_TRIG": {"CLK": False, "Q": False},
    "F_TRIG": {"CLK": False, "Q": False},
    "SR": {"S1": False, "R": False, "Q1": False},
    "RS": {"S": False, "R1": False, "Q1": False},
    "CTU": {"CU": False, "R": False, "PV": 0, "Q": False, "CV": 0},
    "Mix": {"a": False, "b": False, "q": False},
    "Share": {"a": False, "q": False},
}
SHARE = (
    '<FunctionBlock name="Share"><Parameters><InputVars>'
    '<Variable name="a"><Type><TypeName>BOOL</TypeName></Type></Variable></InputVars><OutputVars>'
    '<Variable name="q"><Type><TypeName>BOOL</TypeName></Type></Variable></OutputVars>'
    '</Parameters><ExternalVars><Variable name="g"><Type><TypeName>BOOL</TypeName></Type>'
    '</Variable></ExternalVars><MainBody><BodyContent xsi:type="ST"><ST>q := a XOR g; g := a;</ST>'
    "</BodyContent></MainBody></FunctionBlock>"
)
"""A block of the user that reads and writes a global variable."""
ACTION = (
    '<Action name="Turn"><MainBody><BodyContent xsi:type="ST"><ST>u := NOT u;</ST></BodyContent>'
    "</MainBody></Action>"
)
"""What the unit itself runs under a name of its own."""
MIX = (
    '<FunctionBlock name="Mix"><Parameters><InputVars>'
    '<Variable name="a"><Type><TypeName>BOOL</TypeName></Type></Variable>'
    '<Variable name="b"><Type><TypeName>BOOL</TypeName></Type></Variable></InputVars>'
    '<InoutVars><Variable name="x"><Type><TypeName>BOOL</TypeName></Type></Variable></InoutVars>'
    '<OutputVars><Variable name="q"><Type><TypeName>BOOL</TypeName></Type></Variable></OutputVars>'
    '</Parameters><MainBody><BodyContent xsi:type="ST"><ST>q := a XOR x; x := b;</ST>'
    "</BodyContent></MainBody></FunctionBlock>"
)
"""A block of the user with an in-out parameter."""


@dataclass
class Element:
    """A graphical element, with the marks of the outputs at its inputs and of its own outputs."""

    xml: Xml
    kind: str
    inputs: dict[str, list[str]] = field(default_factory=dict)
    outputs: dict[str, str] = field(default_factory=dict)
    edge_before: dict[str, bool] = field(default_factory=dict)

    def said(self, name: str, pin: str = "") -> str:
        owner = self.xml
        if pin:
            owner = next(p for p in self.xml.iter() if p.get("parameterName") == pin)
        return owner.get(name, "")


class Diagram:
    """The block ``B`` of a file, between scans of 100 ms."""

    def __init__(self, xml: str, names: Mapping[str, str], lot: random.Random, takes: bool) -> None:
        root = ElementTree.fromstring(xml)
        units = root.iter(f"{_SPACE}FunctionBlock")
        unit = next(each for each in units if each.get("name") == "B")
        body = next(unit.iter(f"{_SPACE}BodyContent"))
        networks = sorted(body, key=lambda each: int(each.get("evaluationOrder", "0")))
        self.networks = [[_element(each) for each in network] for network in networks]
        self.values: dict[str, Value] = {}
        self.instances = {n: Instance(dict(PINS[k])) for n, k in names.items() if k in PINS}
        for name, kind in names.items():
            if kind not in PINS:
                self.values[name] = False if kind == "BOOL" else 0
        self.types = dict(names)
        self.lot = lot
        self.takes = takes
        self.now = 0

    def scan(self, inputs: Mapping[str, Value]) -> dict[str, Value]:
        """All variables and all outputs of instances at the end of a scan."""
        self.values.update(inputs)
        for network in self.networks:
            if self._network(network):
                break
        self.now += 100
        pins = {
            f"{name}.{pin}": value
            for name, instance in self.instances.items()
            for pin, value in instance.pins.items()
        }
        return {**self.values, **pins}

    # --- one network ----------------------------------------------------------------------------

    def _network(self, elements: list[Element]) -> bool:
        """Whether a RETURN takes effect when all of it is evaluated."""
        carried: dict[str, Any] = {}
        leave = False
        for element in self._order(elements):
            if element.kind == "Return":
                leave = leave or bool(self._left(element, "", carried))
            else:
                self._evaluate(element, carried)
        return leave

    def _order(self, elements: list[Element]) -> list[Element]:
        """An order in which no element comes before its inputs, nor out of its number; a source
        is right before the first element that it goes to, a block's sink right behind it."""
        owner = {mark: number for number, e in enumerate(elements) for mark in e.outputs.values()}
        graph = networkx.DiGraph()
        graph.add_nodes_from(range(len(elements)))
        for number, element in enumerate(elements):
            for marks in element.inputs.values():
                graph.add_edges_from((owner[mark], number) for mark in marks)
        numbered = sorted(
            (n for n, e in enumerate(elements) if e.said("evaluationOrder")),
            key=lambda n: int(elements[n].said("evaluationOrder")),
        )
        graph.add_edges_from(pairwise(numbered))
        sources = {n for n, e in enumerate(elements) if e.kind == "DataSource"} - set(numbered)
        sinks = {n for n in graph if self._is_sink_of_block(elements, graph, n)} - set(numbered)
        for number, element in enumerate(elements):
            if element.kind == "Return":
                others = [n for n, e in enumerate(elements) if e.kind != "Return"]
                graph.add_edges_from((other, number) for other in others)
        cores = graph.subgraph(set(graph) - sources - sinks)
        order: list[int] = []
        for core in self._drawn(cores):
            first = [n for n in graph.predecessors(core) if n in sources and n not in order]
            last = [n for n in graph.successors(core) if n in sinks]
            self.lot.shuffle(last)
            order.extend((*first, core, *last))
        return [elements[number] for number in order]

    @staticmethod
    def _is_sink_of_block(elements: list[Element], graph: networkx.DiGraph, number: int) -> bool:
        before = list(graph.predecessors(number))
        kinds = {elements[each].kind for each in before}
        return elements[number].kind == "DataSink" and len(before) == 1 and kinds == {"Block"}

    def _drawn(self, graph: networkx.DiGraph) -> list[int]:
        """A topological order by lot."""
        waiting = {node: graph.in_degree(node) for node in graph}
        order: list[int] = []
        while waiting:
            chosen = self.lot.choice(sorted(n for n, count in waiting.items() if not count))
            order.append(chosen)
            del waiting[chosen]
            for following in graph.successors(chosen):
                waiting[following] -= 1
        return order

    # --- values ---------------------------------------------------------------------------------

    def _left(self, element: Element, pin: str, carried: dict[str, Any]) -> Any:
        """What comes to an input; several connections are a vertical link."""
        found = [carried[mark] for mark in element.inputs[pin]]
        value = found[0] if len(found) == 1 else any(found)
        if pin and element.said("negated", pin) == "true":
            value = not value
        edge = element.said("edge", pin) if pin else ""
        if edge in ("rising", "falling"):
            value = self._edge(element, pin, edge, bool(value))
        return value

    @staticmethod
    def _edge(element: Element, place: str, edge: str, value: bool) -> bool:
        before = element.edge_before.get(place, False)
        element.edge_before[place] = value
        return value and not before if edge == "rising" else before and not value

    def _read(self, operand: str) -> Any:
        if operand in ("TRUE", "FALSE"):
            return operand == "TRUE"
        if operand.startswith("T#"):
            return int(operand[2:-2])
        if operand.isdigit():
            return int(operand)
        owner, dot, pin = operand.partition(".")
        return self.instances[owner].pins[pin] if dot else self.values[operand]

    # --- elements -------------------------------------------------------------------------------

    def _evaluate(self, element: Element, carried: dict[str, Any]) -> None:
        mark = element.outputs.get("", "")
        match element.kind:
            case "LeftPowerRail":
                carried[mark] = True
            case "DataSource":
                carried[mark] = self._read(element.said("identifier"))
            case "DataSink":
                value = self._left(element, "", carried)
                if value is not None:
                    self.values[element.said("identifier")] = value
            case "Contact":
                left = bool(self._left(element, "", carried))
                carried[mark] = self._closed(element) and left
            case "Coil":
                left = bool(self._left(element, "", carried))
                carried[mark] = left
                self._write(element, left)
            case "Block" if element.said("instanceName"):
                self._call(element, carried)
            case "Block" if element.said("typeName") == "Turn":
                self.values["u"] = not self.values["u"]
            case "Block":
                self._function(element, carried)

    def _closed(self, contact: Element) -> bool:
        value = bool(self._read(contact.said("operand")))
        edge = contact.said("edge")
        if edge in ("rising", "falling"):
            return self._edge(contact, "", edge, value)
        return value != (contact.said("negated") == "true")

    def _write(self, coil: Element, left: bool) -> None:
        name, latch, edge = coil.said("operand"), coil.said("latch"), coil.said("edge")
        if latch in ("set", "reset"):
            if left:
                self.values[name] = latch == "set"
        elif edge in ("rising", "falling"):
            self.values[name] = self._edge(coil, "", edge, left)
        else:
            self.values[name] = left != (coil.said("negated") == "true")

    def _function(self, element: Element, carried: dict[str, Any]) -> None:
        """Where a function does not run, it gives None, which leaves variables as they are."""
        pins = {name: self._left(element, name, carried) for name in element.inputs}
        runs = bool(pins.pop("EN", True))
        value = _value(element.said("typeName"), list(pins.values())) if runs else None
        for name, mark in element.outputs.items():
            carried[mark] = runs if name == "ENO" else value
            if name != "ENO" and runs and name and element.said("negated", name) == "true":
                carried[mark] = not value

    # --- instances ------------------------------------------------------------------------------

    def _call(self, element: Element, carried: dict[str, Any]) -> None:
        name, kind = element.said("instanceName"), element.said("typeName")
        instance = self.instances[name]
        references = _references(element)
        given = {
            pin: self._left(element, pin, carried)
            for pin in element.inputs
            if pin not in references and element.inputs[pin]
        }
        runs = bool(given.pop("EN", True))
        if runs or self.takes:
            instance.pins.update(given)
        if runs:
            self._run(kind, instance, element, references)
        for pin, mark in element.outputs.items():
            carried[mark] = runs if pin == "ENO" else instance.pins[pin]
            if element.said("negated", pin) == "true":
                carried[mark] = not carried[mark]

    def _run(
        self, kind: str, instance: Instance, element: Element, references: Mapping[str, str]
    ) -> None:
        pins = instance.pins
        match kind:
            case "R_TRIG":
                pins["Q"] = pins["CLK"] and not instance.before
                instance.before = bool(pins["CLK"])
            case "F_TRIG":
                pins["Q"] = instance.before and not pins["CLK"]
                instance.before = bool(pins["CLK"])
            case "SR":
                pins["Q1"] = pins["S1"] or (not pins["R"] and pins["Q1"])
            case "RS":
                pins["Q1"] = not pins["R1"] and (pins["S"] or pins["Q1"])
            case "CTU":
                if pins["R"]:
                    pins["CV"] = 0
                elif pins["CU"] and not instance.before:
                    pins["CV"] += 1
                instance.before = bool(pins["CU"])
                pins["Q"] = pins["CV"] >= pins["PV"]
            case "TON":
                self._timer(instance)
            case "Mix":
                variable = self._variable_behind(element, "x")
                pins["q"] = pins["a"] != self.values[variable]
                self.values[variable] = pins["b"]
            case "Share":
                pins["q"] = pins["a"] != self.values["g"]
                self.values["g"] = pins["a"]

    def _timer(self, instance: Instance) -> None:
        pins = instance.pins
        if not pins["IN"]:
            instance.since, pins["ET"], pins["Q"] = None, 0, False
            return
        if instance.since is None:
            instance.since = self.now
            pins["ET"], pins["Q"] = 0, False
            return
        pins["ET"] = min(self.now - instance.since, pins["PT"])
        pins["Q"] = self.now - instance.since >= pins["PT"]

    def _variable_behind(self, element: Element, pin: str) -> str:
        (mark,) = element.inputs[pin]
        return next(
            each.said("identifier")
            for network in self.networks
            if element in network
            for each in network
            if mark in each.outputs.values()
        )


def _value(kind: str, pins: list[Any]) -> Any:
    match kind:
        case "AND":
            return all(pins)
        case "OR":
            return any(pins)
        case "XOR":
            return sum(pins) % 2 == 1
        case "NOT":
            return not pins[0]
        case "ADD":
            return sum(pins)
        case "SUB":
            return pins[0] - pins[1]
        case "GT":
            return pins[0] > pins[1]
        case "EQ":
            return pins[0] == pins[1]
        case "SEL":
            return pins[2] if pins[0] else pins[1]
        case "MOVE":
            return pins[0]
        case "MAX":
            return max(pins)
    raise AssertionError(kind)


def _references(element: Element) -> dict[str, str]:
    return {pin.get("parameterName", ""): "" for pin in element.xml.iter(f"{_SPACE}InOutVariable")}


def _element(xml: Xml) -> Element:
    element = Element(xml, xml.get(_KIND, ""))
    pins = [each for each in xml.iter() if each.tag.endswith("Variable")] or [xml]
    for pin in pins:
        name = pin.get("parameterName", "")
        for point in pin.findall(f"{_SPACE}ConnectionPointIn"):
            marks = [each.get("refConnectionPointOutId", "") for each in point]
            element.inputs[name] = marks
        for point in pin.findall(f"{_SPACE}ConnectionPointOut"):
            element.outputs[name] = point.get("connectionPointOutId", "")
    return element
