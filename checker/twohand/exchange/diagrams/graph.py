"""The elements of a network and the connections between them.

IEC 61131-3 Ed. 2, 4.1.1: a connection carries the state of its left end to its right end. Several
connections that end at one place of a ladder are a vertical link: it is ON where one of them is
(4.2.2).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import Enum

from twohand.exchange.diagrams.operands import Operand
from twohand.exchange.rules import Piece, malformed, unsupported
from twohand.files.xml_element import XmlElement
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import Span

_MOST_CONNECTORS = 64
"""Continuations behind one another; what is drawn has two or three."""


class ElementKind(Enum):
    LEFT_RAIL = "left power rail"
    RIGHT_RAIL = "right power rail"
    CONTACT = "contact"
    COIL = "coil"
    FUNCTION = "function"
    BLOCK = "block"
    SOURCE = "data source"
    SINK = "data sink"
    RETURN = "return"
    CONNECTOR = "connector"
    CONTINUATION = "continuation"


@dataclass(eq=False)
class Input:
    """A place where connections end. ``edge``: '', rising or falling. ``references`` are the marks
    of the outputs that it names, ``sources`` those outputs."""

    name: Piece
    place: Span
    negated: bool = False
    edge: str = ""
    in_out: bool = False
    references: Sequence[Piece] = ()
    sources: list[Output] = field(default_factory=list)


@dataclass(eq=False)
class Output:
    """A place where connections begin; ``consumers``: the inputs at their other ends."""

    name: Piece
    place: Span
    node: Node = field(repr=False)
    negated: bool = False
    mark: Piece | None = None
    in_out: bool = False
    consumers: list[tuple[Node, Input]] = field(default_factory=list, repr=False)


@dataclass(eq=False)
class Node:
    """An element. ``operand`` is what a contact or source reads, a coil or sink writes, or the
    instance of a block; ``type_name`` is that of a block or function, the label of a connector.
    ``number`` is its place in the order of evaluation, if it has one; ``position``: where it comes
    among those of which the order is open."""

    element: XmlElement
    kind: ElementKind
    number: int | None
    position: tuple[float, ...]
    operand: Operand | None = None
    type_name: Piece | None = None
    negated: bool = False
    edge: str = ""
    latch: str = ""
    inputs: list[Input] = field(default_factory=list)
    outputs: list[Output] = field(default_factory=list)

    @property
    def place(self) -> Span:
        return self.element.span

    @property
    def type_key(self) -> str:
        """The type of a block or the name of a function, in upper case."""
        return self.type_name.text.upper() if self.type_name is not None else ""

    @property
    def title(self) -> str:
        """How a message calls it."""
        if self.operand is not None:
            return f"the {self.kind.value} '{self.operand.piece.text}'"
        if self.type_name is not None:
            return f"the {self.kind.value} '{self.type_name.text}'"
        return f"the {self.kind.value}"

    def before(self) -> Iterator[Node]:
        """The elements that its inputs come from."""
        return (source.node for each in self.inputs for source in each.sources)

    def behind(self) -> Iterator[Node]:
        """The elements that its outputs go to."""
        return (node for output in self.outputs for node, _ in output.consumers)


def connect(nodes: Sequence[Node], ladder: bool) -> list[Node]:
    """The elements with their connections made, without connectors and continuations. InputError
    for marks that no output or several have, and for ends without connection."""
    marks = _marks(nodes)
    for node in nodes:
        for place in node.inputs:
            _resolve(node, place, marks, ladder)
    _join_connectors(nodes)
    kept = [n for n in nodes if n.kind not in (ElementKind.CONNECTOR, ElementKind.CONTINUATION)]
    for node in kept:
        for place in node.inputs:
            for source in place.sources:
                source.consumers.append((node, place))
    return kept


def _marks(nodes: Sequence[Node]) -> dict[str, Output]:
    marks: dict[str, Output] = {}
    for node in nodes:
        for output in node.outputs:
            if output.mark is None:
                continue
            key = _key(output.mark)
            if key in marks:
                message = f"two outputs have the connection point {output.mark.text.strip()}"
                way = "give each output of a network a number of its own"
                raise malformed(message, output.mark.place, way)
            marks[key] = output
    return marks


def _key(mark: Piece) -> str:
    """What marks an output: a number, however it is written."""
    text = mark.text.strip()
    return text.lstrip("0") or "0" if text.isascii() and text.isdigit() else text


def _resolve(node: Node, place: Input, marks: dict[str, Output], ladder: bool) -> None:
    for reference in place.references:
        source = marks.get(_key(reference))
        if source is None:
            message = f"no output of this network has the connection point '{reference.text}'"
            way = "connect it to an output of the same network, or go by a variable"
            raise wrong("unconnected-element", message, reference.place, way)
        if source.in_out:
            message = "a connection that goes on from an in-out parameter is not read"
            way = "begin it at a data source of that variable"
            raise unsupported(message, reference.place, way)
        if source in place.sources:
            raise malformed("this connection occurs here twice", reference.place, "remove one")
        place.sources.append(source)
    if len(place.sources) > 1 and not ladder:
        message = "several connections end at one input of a function-block diagram"
        raise unsupported(message, place.place, "join them by a function, for instance OR")
    free = node.kind in (ElementKind.FUNCTION, ElementKind.BLOCK, ElementKind.RIGHT_RAIL)
    enable = place.name.text.upper() == "EN"
    if not place.sources and (enable or not free):
        end = "EN" if enable else "the left"
        message = f"nothing is connected to {end} of {node.title}"
        way = "connect it, or remove it"
        raise wrong("unconnected-element", message, place.place if enable else node.place, way)


def _join_connectors(nodes: Sequence[Node]) -> None:
    """A continuation is what ends at the connector of its label (Ed. 2, 4.1.1)."""
    ends: dict[str, Node] = {}
    for node in nodes:
        if node.kind is ElementKind.CONNECTOR and node.type_name is not None:
            key = node.type_name.text.upper()
            if key in ends:
                raise malformed(f"two connectors have the label '{node.type_name.text}'",
                                node.type_name.place, "give each a label of its own")  # fmt: skip
            ends[key] = node
    for node in nodes:
        for place in node.inputs:
            place.sources = list(dict.fromkeys(_ends(place.sources, ends, ())))


def _ends(
    sources: Sequence[Output], ends: dict[str, Node], passed: tuple[Node, ...]
) -> Iterator[Output]:
    for source in sources:
        node = source.node
        if node.kind is not ElementKind.CONTINUATION or node.type_name is None:
            yield source
            continue
        connector = ends.get(node.type_name.text.upper())
        if connector is None:
            message = f"this network has no connector '{node.type_name.text}'"
            way = "put the connector into the same network, or go by a variable"
            raise wrong("unconnected-element", message, node.type_name.place, way)
        if node in passed or len(passed) >= _MOST_CONNECTORS:
            raise feedback([*passed, node])
        yield from _ends(connector.inputs[0].sources, ends, (*passed, node))


def feedback(nodes: Sequence[Node]) -> InputError:
    """The error for a loop: where its evaluation begins is left to the platform (Ed. 2, 4.3.2)."""
    message = (
        f"these connections lead from {nodes[0].title} back to it, and platforms differ in "
        "where the evaluation begins"
    )
    way = "let the value go back by a variable: its value is then that of the scan before"
    others = tuple((node.place, f"{node.title} is in the loop") for node in nodes[1:])
    return wrong("implicit-feedback", message, nodes[0].place, way, others)
