"""The connections of a drawing in the older schema: which output each comes from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from twohand.exchange.older.elements import all_parts, made, needed_attribute, text_of
from twohand.exchange.rules import malformed, whole_number
from twohand.files.xml_element import XmlElement

_POINT = ("relPosition", "connection", "expression")
_NAMES = (
    "leftPowerRail rightPowerRail contact coil inVariable outVariable inOutVariable connector"
    " continuation return block"
)
CONNECTED = tuple(_NAMES.split())
"""The elements that connections may join."""


@dataclass(eq=False)
class Drawn:
    """``marks`` are those of its outputs, ``uses`` those of the outputs that it is connected to;
    ``label`` joins connectors and continuations; ``height`` is its place from the top."""

    source: XmlElement
    element: XmlElement
    marks: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    label: str = ""
    numbered: bool = False
    height: float | None = None


@dataclass(eq=False)
class Outputs:
    """What connections may name: elements by localId. ``hidden`` are elements that stand for
    negations and expressions at pins; ``rails`` the left power rails."""

    content: XmlElement
    rails: list[Drawn] = field(default_factory=list)
    hidden: list[Drawn] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._elements: dict[str, XmlElement] = {}
        for each in self.content.children:
            if each.name in CONNECTED:
                number = local_of(each)
                if number in self._elements:
                    raise malformed(f"two elements have the localId {number}", each.span,
                                    "give each a number of its own")  # fmt: skip
                self._elements[number] = each
        self._count = 0
        self.without_rail = self.content.name == "LD" and not any(self.content.all("leftPowerRail"))

    def new_mark(self) -> str:
        self._count += 1
        return f"hidden{self._count}"

    def hide(self, drawn: Drawn) -> None:
        self.hidden.append(drawn)

    def mark(self, connection: XmlElement) -> str:
        """The mark of the output that a connection comes from."""
        all_parts(connection, "position", attributes=("refLocalId", "formalParameter"))
        number = local_of(connection, "refLocalId")
        source = self._elements.get(number)
        if source is None or source.name != "block":
            return number
        pins = [pin_name(each) for each in output_pins(source)]
        asked = connection.attributes.get("formalParameter", "").strip()
        if not asked and len(pins) == 1:
            asked = pins[0]
        elif asked.upper() not in [pin.upper() for pin in pins]:
            message = f"the block has no output '{asked}'"
            place = connection.place_of("formalParameter")
            raise malformed(message, place, f"it has {', '.join(pins) or 'none'}")
        return f"{number}.{asked.upper()}"

    def rail(self) -> str:
        """A left power rail where the file leaves it out."""
        if not self.rails:
            mark = self.new_mark()
            rail = made(
                "LdObject", self.content, [outgoing(self.content, mark)], kind="LeftPowerRail"
            )
            self.rails.append(Drawn(self.content, rail, (mark,)))
        return self.rails[0].marks[0]


def local_of(element: XmlElement, name: str = "localId") -> str:
    """The number of an element, however it is written."""
    return str(whole_number(needed_attribute(element, name), "number of an element"))


def output_pins(block: XmlElement) -> list[XmlElement]:
    return [
        pin
        for group in block.all("outputVariables", "inOutVariables")
        for pin in group.all("variable")
    ]


def pin_name(pin: XmlElement) -> str:
    return pin.attributes.get("formalParameter", "").strip()


def outgoing(element: XmlElement, mark: str) -> XmlElement:
    return made("ConnectionPointOut", element, (), {"connectionPointOutId": mark})


def references(point: XmlElement, outputs: Outputs) -> list[str]:
    """The marks of what ends at a point; of an expression there, that of a data source."""
    children = all_parts(point, *_POINT, attributes=("formalParameter",))
    marks = [outputs.mark(each) for each in children if each.name == "connection"]
    for each in children:
        if each.name == "expression":
            marks.append(_hidden_source(each, outputs))
    return marks


def ending(children: Sequence[XmlElement], outputs: Outputs) -> list[str]:
    """The marks of what ends at an element."""
    ends = (each for each in children if each.name == "connectionPointIn")
    return [mark for end in ends for mark in references(end, outputs)]


def _hidden_source(expression: XmlElement, outputs: Outputs) -> str:
    text, place = text_of(expression)
    mark = outputs.new_mark()
    source = made(
        "FbdObject", expression, [outgoing(expression, mark)], {"identifier": text}, "DataSource",
        {"identifier": place},
    )  # fmt: skip
    outputs.hide(Drawn(expression, source, (mark,)))
    return mark


def incoming(source: XmlElement, marks: Sequence[str]) -> XmlElement:
    connections = [
        made("Connection", source, (), {"refConnectionPointOutId": mark}) for mark in marks
    ]
    return made("ConnectionPointIn", source, connections)


def negation(source: XmlElement, marks: Sequence[str], outputs: Outputs) -> str:
    """The mark of a NOT between an element and what is connected to it."""
    mark = outputs.new_mark()
    outputs.hide(negated(source, marks, mark))
    return mark


def negated(source: XmlElement, marks: Sequence[str], mark: str) -> Drawn:
    given = made("InputVariable", source, [incoming(source, marks)], {"parameterName": "IN"})
    result = made("OutputVariable", source, [outgoing(source, mark)])
    sections = [
        made("InputVariables", source, [given]),
        made("OutputVariables", source, [result]),
    ]
    block = made("FbdObject", source, sections, {"typeName": "NOT"}, "Block")
    return Drawn(source, block, (mark,), tuple(marks))


def write_from(point: XmlElement, mark: str, outputs: Outputs) -> None:
    """A variable that is written at an output: a data sink."""
    for each in all_parts(point, "relPosition", "expression", attributes=("formalParameter",)):
        if each.name == "expression":
            text, place = text_of(each)
            sink = made(
                "FbdObject", each, [incoming(each, [mark])], {"identifier": text}, "DataSink",
                {"identifier": place},
            )  # fmt: skip
            outputs.hide(Drawn(each, sink, (), (mark,)))
