"""A network as statements, element by element in the order of evaluation.

The elements mean what IEC 61131-3 Ed. 2 says. Contacts (Table 61): the right link is ON where the
left one is and the operand is (is not, rises, falls); an edge is sensed from one evaluation of the
contact to the next, whatever the left link, by a hidden R_TRIG or F_TRIG. Coils (Table 62): the
operand becomes the left link, its inverse, or its edge; SET and RESET coils write while the left
link is ON only; the right link is the left one (4.2.5). RETURN takes effect when the whole network
is evaluated (4.1.3). A block's input without connection keeps its value (2.5.2.2). What is not
enabled does not run (2.5.1.2); what a function gives then is left to the platform, so that it may
only go to variables, which stay as they are (common practice).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from twohand.exchange.diagrams.effects import UnitVariables
from twohand.exchange.diagrams.graph import ElementKind, Input, Node, Output
from twohand.exchange.diagrams.order import ElementGroup
from twohand.exchange.diagrams.values import (
    Value,
    any_of,
    both,
    negated,
    of_operand,
    of_variable,
    true,
)
from twohand.exchange.diagrams.wires import STANDARD_PINS, Wires
from twohand.exchange.rules import Piece, unsupported
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import Span

TRIGGERS = {"rising": "R_TRIG", "falling": "F_TRIG"}
_LARGEST = 500
"""Operands in an expression that cannot be kept in a variable."""


@dataclass(eq=False)
class Hidden:
    """Names of hidden variables; ``taken`` are those in upper case that are used already."""

    taken: set[str]
    declarations: list[Piece] = field(default_factory=list)

    def declare(self, name: str, kind: str, place: Span) -> str:
        """A new variable called ``name`` and a number."""
        number = 1
        while f"{name}{number}".upper() in self.taken:
            number += 1
        self.taken.add(f"{name}{number}".upper())
        self.declarations.append(Piece(f"    {name}{number} : {kind};\n", place))
        return f"{name}{number}"


class Statements:
    """The statements of one network; ``title`` begins the names of its hidden variables."""

    def __init__(
        self, groups: Sequence[ElementGroup], known: UnitVariables, hidden: Hidden, title: str
    ) -> None:
        self.wires = Wires(groups, known)
        self.known = known
        self.hidden = hidden
        self.title = title
        self.pieces: list[Piece] = []
        self.values: dict[Output, Value] = {}
        self.written: set[Node] = set()
        """Data sinks that the element before them has written already."""
        self._returns: list[tuple[Value, Span]] = []

    def add(self, place: Span, *parts: str | Piece | Value) -> None:
        """One statement, in which texts come from ``place``."""
        for part in parts:
            if isinstance(part, Value):
                self.pieces.extend(part.pieces)
            else:
                self.pieces.append(part if isinstance(part, Piece) else Piece(part, place))
        self.pieces.append(Piece("\n", place))

    def translate(
        self, others: dict[ElementKind, Callable[[Statements, Node], None]]
    ) -> list[Piece]:
        """All statements; ``others`` says how functions and blocks are translated."""
        own: dict[ElementKind, Callable[[Statements, Node], None]] = {
            ElementKind.LEFT_RAIL: Statements._rail,
            ElementKind.RIGHT_RAIL: Statements._nothing,
            ElementKind.SOURCE: Statements._source,
            ElementKind.CONTACT: Statements._contact,
            ElementKind.COIL: Statements._coil,
            ElementKind.SINK: Statements._sink,
            ElementKind.RETURN: Statements._return,
        }
        for node in self.wires.order:
            (own | others)[node.kind](self, node)
        for value, place in self._returns:
            if value.always:
                self.add(place, "RETURN;")
            else:
                self.add(place, "IF ", value, " THEN RETURN; END_IF;")
        return self.pieces

    # --- values ---------------------------------------------------------------------------------

    def value_at(self, place: Input) -> Value:
        """What comes to an input, with its edge or NOT. Where several connections end, each of
        them has to carry BOOL."""
        values = [self.values[source] for source in place.sources]
        if len(values) > 1 and any((value.type or "").upper() != "BOOL" for value in values):
            message = "a connection without power flow ends at a vertical link"
            raise unsupported(message, place.place, "join values by a function, for instance OR")
        value = any_of(values, place.place)
        if place.negated:
            return negated(value, place.place)
        return self.edge(place.edge, value, place.place) if place.edge else value

    def edge(self, edge: str, value: Value, place: Span) -> Value:
        """The edge of a value, sensed here and now."""
        name = self.hidden.declare(f"{self.title}_edge", TRIGGERS[edge], place)
        self.add(place, name, "(CLK := ", value, ");")
        return of_variable(f"{name}.Q", place, "BOOL")

    def keep(self, output: Output, value: Value, first: int | None = None) -> None:
        """The value of an output from now on. ``first`` is the number of the first element that
        could change what is in it: the one behind the output's own, if it is not given."""
        if output.negated:
            value = negated(value, output.place)
        following = self.wires.number[output.node] + 1 if first is None else first
        if self.wires.wants_boolean(output) or self.wires.joins_others(output):
            value = _as_boolean(value)
        if not output.consumers or not self.wires.needs_wire(value, output, following):
            self.values[output] = value
        elif value.type is not None:
            self.values[output] = self.wire(value, value.type, output.place)
        elif value.size > _LARGEST or self.wires.must_be_kept(value, output, following):
            raise without_type(output.node)
        else:
            self.values[output] = value

    def wire(self, value: Value, kind: str, place: Span) -> Value:
        """A hidden variable that has the value from here on."""
        name = self.hidden.declare(f"{self.title}_wire", kind, place)
        self.add(place, name, " := ", value, ";")
        return of_variable(name, place, kind)

    # --- elements -------------------------------------------------------------------------------

    def _nothing(self, node: Node) -> None:
        """The right rail does nothing."""

    def _rail(self, node: Node) -> None:
        for output in node.outputs:
            self.values[output] = true(node.place)

    def _source(self, node: Node) -> None:
        assert node.operand is not None
        way = node.operand.whole
        kind = self.known.type_of(way)
        if kind is None and len(way) == 2:
            kind = self._pin_of_instance(way[0], way[1])
        for output in node.outputs:
            if not all(place.in_out for _, place in output.consumers):
                self.keep(output, of_operand(node.operand, kind))

    def _pin_of_instance(self, instance: str, name: str) -> str | None:
        block = self.known.type_of((instance,))
        return None if block is None else STANDARD_PINS.get((block.upper(), name))

    def _contact(self, node: Node) -> None:
        assert node.operand is not None
        left = self.value_at(node.inputs[0])
        own = of_operand(node.operand, self.known.type_of(node.operand.whole))
        if node.edge:
            own = self.edge(node.edge, own, node.place)
        elif node.negated:
            own = negated(own, node.place)
        value = both(left, own, node.place)
        for output in node.outputs:
            self.keep(output, _as_boolean(value))

    def _coil(self, node: Node) -> None:
        assert node.operand is not None
        target, place = node.operand.piece, node.place
        left = _as_boolean(self.value_at(node.inputs[0]))
        for output in node.outputs:
            self.keep(output, left, self.wires.number[node])
            left = self.values[output]
        boolean = (self.known.type_of(node.operand.whole) or "").upper() == "BOOL"
        if node.latch:
            written = "TRUE" if node.latch == "set" else "FALSE"
            write: list[str | Piece | Value] = [target, f" := {written};"]
            if not left.always:
                write = ["IF ", left, " THEN ", *write, " END_IF;"]
            self.add(place, *write)
            return
        if node.edge:
            left = self.edge(node.edge, left, place)
        elif not (boolean or left.sure):
            left = self.wire(left, "BOOL", place)
        self.add(place, target, " := ", negated(left, place) if node.negated else left, ";")

    def _sink(self, node: Node) -> None:
        assert node.operand is not None
        if node in self.written:
            return
        value = self.value_at(node.inputs[0])
        self.add(node.place, node.operand.piece, " := ", value, ";")

    def _return(self, node: Node) -> None:
        self._returns.append((self.value_at(node.inputs[0]), node.place))


def _as_boolean(value: Value) -> Value:
    """The same as a value of type BOOL."""
    return value if value.type is not None else Value(
        value.pieces, value.level, value.reads, value.size, "BOOL", value.sure, value.may_fail
    )  # fmt: skip


def without_type(node: Node) -> InputError:
    """The error for a value that has to be kept, but is of unknown type."""
    message = (
        f"what {node.title} gives has to be kept until it is used, and its type is not known here"
    )
    way = "write it to a variable, and go on from that variable in the next network"
    return wrong("wire-without-type", message, node.place, way)
