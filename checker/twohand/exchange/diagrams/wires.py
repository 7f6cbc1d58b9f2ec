"""How long a value is carried by the connections of a network, and what may change it meanwhile.

A value may occur as an expression where it is used only if no variable in it is written between
its evaluation and that use; otherwise it is kept in a hidden variable, a wire.
"""

from __future__ import annotations

from collections.abc import Sequence

from twohand.exchange.diagrams.effects import UnitVariables, changed_by
from twohand.exchange.diagrams.functions import OF_BITS, is_pure
from twohand.exchange.diagrams.graph import ElementKind, Input, Node, Output
from twohand.exchange.diagrams.operands import Way
from twohand.exchange.diagrams.order import ElementGroup, touched_by
from twohand.exchange.diagrams.values import Value
from twohand.program.standard_blocks import BLOCKS_BY_NAME, STANDARD_BLOCKS

STANDARD_PINS = {
    (block.value, pin.name): pin.type.name
    for block, pins in STANDARD_BLOCKS.items()
    for pin in pins
}
"""The types of the pins of standard blocks."""

_LARGE = 24
_LARGE_OFTEN = 4
"""Operands in an expression that is used once, and more than once."""


class Wires:
    """The elements of a network in the order of their evaluation, by number."""

    def __init__(self, groups: Sequence[ElementGroup], known: UnitVariables) -> None:
        self.known = known
        self.order = [node for group in groups for node in group.all]
        self.number = {node: number for number, node in enumerate(self.order)}
        self.guarded: set[Node] = set()
        """Functions that run only where their EN is TRUE."""
        self._constant: set[Output] = set()
        for node in self.order:
            self._find_constants(node)
        self._touching = [
            (number, touched)
            for number, touched in enumerate(touched_by(node, known) for node in self.order)
            if touched.changes
        ]
        self._until: dict[Output, int] = {}
        self._uses: dict[Output, int] = {}
        self._boolean: dict[Output, bool] = {}
        for node in reversed(self.order):
            for output in node.outputs:
                ends = output.consumers
                last = [self._used_until(*each) for each in ends]
                self._until[output] = max(last, default=self.number[node])
                self._uses[output] = sum(self._used_at(each) for each, _ in ends)
                self._boolean[output] = all(self._takes_boolean(*each) for each in ends)

    # --- what is always ON ----------------------------------------------------------------------

    def _find_constants(self, node: Node) -> None:
        passing = node.kind is ElementKind.COIL and self._always(node.inputs[0])
        if node.kind is ElementKind.LEFT_RAIL or passing:
            self._constant.update(node.outputs)
        elif is_pure(node):
            enable = pin(node, "EN")
            if enable is not None and enable.sources and not self._always(enable):
                self.guarded.add(node)
            else:
                self._constant.update(o for o in node.outputs if o.name.text.upper() == "ENO")

    def _always(self, place: Input) -> bool:
        """Whether power always flows to an input."""
        plain = not place.negated and not place.edge
        return plain and any(
            source in self._constant and not source.negated for source in place.sources
        )

    # --- how long -------------------------------------------------------------------------------

    def _used_until(self, node: Node, place: Input) -> int:
        """The number of the last element whose evaluation needs what comes to an input."""
        here = self.number[node]
        passes = node.kind in (ElementKind.CONTACT, ElementKind.COIL) or (
            is_pure(node) and not place.edge and (node not in self.guarded or _is(place, "EN"))
        )
        if not passes:
            return here
        return max((self._until[output] for output in node.outputs), default=here)

    def changed(self, value: Value, output: Output, first: int) -> Way | None:
        """A variable of the value that an element from number ``first`` on may write before the
        last use of the output."""
        last = self._until[output]
        for number, touched in self._touching:
            if first <= number < last:
                way = changed_by(value.reads, touched, self.known)
                if way is not None:
                    return way
        return None

    def needs_wire(self, value: Value, output: Output, first: int) -> bool:
        """Whether the value has to be kept in a variable, if it can be."""
        often = self._uses[output] > 1
        large = value.size > (_LARGE_OFTEN if often else _LARGE)
        return large or self.must_be_kept(value, output, first)

    def must_be_kept(self, value: Value, output: Output, first: int) -> bool:
        """Whether the expression in the place of the value would say something else."""
        boolean = (value.type or "").upper() == "BOOL"
        if boolean and not value.sure and not self.wants_boolean(output):
            return True
        if value.may_fail and any(node in self.guarded for node, _ in output.consumers):
            return True
        return self.changed(value, output, first) is not None

    def _used_at(self, node: Node) -> int:
        """How often an element needs what comes to it; a coil passes it on, too."""
        passed = (
            sum(self._uses[each] for each in node.outputs) if node.kind is ElementKind.COIL else 0
        )
        return 1 + passed

    # --- types ----------------------------------------------------------------------------------

    def wants_boolean(self, output: Output) -> bool:
        """Whether every place that an output goes to takes BOOL only."""
        return self._boolean[output]

    @staticmethod
    def joins_others(output: Output) -> bool:
        """Whether an output goes to a vertical link."""
        return any(len(place.sources) > 1 for _, place in output.consumers)

    def _takes_boolean(self, node: Node, place: Input) -> bool:
        match node.kind:
            case ElementKind.CONTACT | ElementKind.RETURN | ElementKind.RIGHT_RAIL:
                return True
            case ElementKind.COIL:
                own = bool(node.latch or node.edge) or self._is_boolean(node)
                return own and all(map(self.wants_boolean, node.outputs))
            case ElementKind.SINK:
                return self._is_boolean(node)
            case ElementKind.BLOCK:
                return bool(place.edge) or pin_type(node, place.name.text) == "BOOL"
            case ElementKind.FUNCTION if node in self.guarded and _is(place, "EN"):
                return True
            case ElementKind.FUNCTION if node.type_key in OF_BITS:
                return bool(node.outputs) and all(map(self.wants_boolean, node.outputs))
            case _:
                return bool(place.edge)

    def _is_boolean(self, node: Node) -> bool:
        kind = self.known.type_of(node.operand.whole) if node.operand is not None else None
        return (kind or "").upper() == "BOOL"


def pin(node: Node, name: str) -> Input | None:
    return next((each for each in node.inputs if _is(each, name)), None)


def _is(place: Input, name: str) -> bool:
    return place.name.text.upper() == name


def pin_type(node: Node, name: str) -> str | None:
    """The type of a pin of a standard block."""
    if node.type_key in BLOCKS_BY_NAME and name.upper() in ("EN", "ENO"):
        return "BOOL"
    return STANDARD_PINS.get((node.type_key, name.upper()))
