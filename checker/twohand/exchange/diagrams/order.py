"""The order in which the elements of a network are evaluated (IEC 61131-3 Ed. 2, 4.1.3).

No element is evaluated before all of its inputs are. Of what this leaves open, the numbers that
elements may have decide; a data source is read as the first element that it goes to is evaluated,
and a data sink of a block is written right behind the block, as the operands at a block's pins
are. Where that leaves open which of two elements comes first, they are evaluated from top to
bottom and left to right; but where one of them writes a variable that the diagram names at the
other, too, the order is refused, for platforms differ in it (by rows or by columns). So it is
where it is open what a RETURN skips.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from twohand.exchange.diagrams.effects import Touched, UnitVariables
from twohand.exchange.diagrams.functions import is_pure
from twohand.exchange.diagrams.graph import ElementKind, Node, feedback
from twohand.exchange.diagrams.operands import Way
from twohand.exchange.rules import malformed, unsupported
from twohand.program.standard_blocks import BLOCKS_BY_NAME
from twohand.text.diagnostic import InputError, wrong


@dataclass(eq=False)
class ElementGroup:
    """An element with the data sources that it is the first to use, and its data sinks."""

    core: Node
    sources: list[Node]
    sinks: list[Node]

    @property
    def all(self) -> list[Node]:
        return [*self.sources, self.core, *self.sinks]


def evaluation_order(nodes: Sequence[Node], known: UnitVariables) -> list[ElementGroup]:
    """The elements in the order of their evaluation; RETURN is the last. InputError for loops, for
    numbers that contradict the connections, and for an order that is open and matters."""
    _refuse_loops(nodes)
    cores = [node for node in nodes if not _source_of_others(node) and not _sink_of_block(node)]
    sinks = {core: [n for n in dict.fromkeys(core.behind()) if _sink_of_block(n)] for core in cores}
    before = _constraints(cores)
    _refuse_open_return(cores, before, known)
    _put_returns_last(cores, before)
    order = _sorted(cores, before)
    taken: set[Node] = set()
    groups: list[ElementGroup] = []
    for core in order:
        first = [
            node
            for node in dict.fromkeys(core.before())
            if _source_of_others(node) and node not in taken
        ]
        taken.update(first)
        groups.append(ElementGroup(core, first, sinks[core]))
    _refuse_open_order(groups, before, known)
    return groups


def _source_of_others(node: Node) -> bool:
    return node.kind is ElementKind.SOURCE and node.number is None


def _sink_of_block(node: Node) -> bool:
    if node.kind is not ElementKind.SINK or node.number is not None:
        return False
    producers = set(node.before())
    return len(producers) == 1 and producers.pop().kind in (ElementKind.BLOCK, ElementKind.FUNCTION)


def _constraints(cores: Sequence[Node]) -> dict[Node, set[Node]]:
    """What has to be evaluated right before each element: what is connected to its inputs, and the
    one with the number before its own."""
    before = {
        core: {node for node in core.before() if not _source_of_others(node)} for core in cores
    }
    numbered = sorted((n for n in cores if n.number is not None), key=lambda n: n.number or 0)
    for one, other in pairwise(numbered):
        if one.number == other.number:
            raise malformed(f"two elements have the place {one.number}", other.place,
                            "number the elements of a network in one row")  # fmt: skip
        before[other].add(one)
    return before


def _put_returns_last(cores: Sequence[Node], before: dict[Node, set[Node]]) -> None:
    for core in cores:
        if core.kind is ElementKind.RETURN:
            before[core].update(n for n in cores if n.kind is not ElementKind.RETURN)


def _sorted(cores: Sequence[Node], before: dict[Node, set[Node]]) -> list[Node]:
    waiting = {core: len(before[core]) for core in cores}
    behind: dict[Node, list[Node]] = {core: [] for core in cores}
    for core in cores:
        for each in before[core]:
            behind[each].append(core)
    ready = [(core.position, index) for index, core in enumerate(cores) if not waiting[core]]
    place = {core: index for index, core in enumerate(cores)}
    heapq.heapify(ready)
    order: list[Node] = []
    while ready:
        _, index = heapq.heappop(ready)
        order.append(cores[index])
        for each in behind[cores[index]]:
            waiting[each] -= 1
            if not waiting[each]:
                heapq.heappush(ready, (each.position, place[each]))
    if len(order) < len(cores):
        _contradiction([core for core in cores if waiting[core] and core.number is not None])
    return order


def _contradiction(nodes: Sequence[Node]) -> None:
    """The connections have no loop: so the numbers contradict them, or RETURN comes too early."""
    first = min(nodes, key=lambda node: node.number or 0)
    raise unsupported(
        f"{first.title} has the place {first.number} in the order of evaluation, but an element "
        "that has to be evaluated before it comes later",
        first.place,
        "let the numbers follow the connections; RETURN comes last in its network",
    )


def _refuse_loops(nodes: Sequence[Node]) -> None:
    """InputError for a loop of connections, with every element in it."""
    state: dict[Node, int] = {}
    for start in nodes:
        if start in state:
            continue
        path = [start]
        branches = [iter(dict.fromkeys(start.behind()))]
        state[start] = 1
        while path:
            following = next(branches[-1], None)
            if following is None:
                state[path.pop()] = 2
                branches.pop()
            elif state.get(following) == 1:
                raise feedback(path[path.index(following) :])
            elif following not in state:
                state[following] = 1
                path.append(following)
                branches.append(iter(dict.fromkeys(following.behind())))


# --- what is left open --------------------------------------------------------------------------


def touched_by(node: Node, known: UnitVariables) -> Touched:
    """What the evaluation of an element reads and writes."""
    found = node.operand
    if found is None:
        calls = node.kind is ElementKind.FUNCTION and not is_pure(node)
        inside = calls and node.type_key in known.members
        return Touched(foreign=calls and not known.confined(node.type_key), inside=inside)
    own = frozenset([found.way]) if found.way else frozenset()
    if node.kind in (ElementKind.CONTACT, ElementKind.SOURCE):
        return Touched(reads=own | found.indices)
    if node.kind in (ElementKind.COIL, ElementKind.SINK):
        return Touched(reads=found.indices, writes=own)
    passed = {
        source.node.operand.way
        for each in node.inputs
        if each.in_out
        for source in each.sources
        if source.node.operand is not None and source.node.operand.way
    }
    foreign = node.type_key not in BLOCKS_BY_NAME and not known.confined(node.type_key)
    return Touched(own | found.indices, own | passed, foreign)


@dataclass(frozen=True, eq=False)
class _Entry:
    """``places``: the groups with which a data source is read, or the one of the element."""

    node: Node
    touched: Touched
    places: frozenset[int]


def _refuse_open_order(
    groups: Sequence[ElementGroup], before: dict[Node, set[Node]], known: UnitVariables
) -> None:
    """InputError for two elements whose order is open although it decides a value."""
    earlier = _all_before(groups, before)
    entries = _entries(groups, known)
    users: dict[str, list[tuple[_Entry, Way]]] = {}
    for entry in entries:
        for way in (*entry.touched.reads, *entry.touched.writes):
            users.setdefault(known.group_of(way), []).append((entry, way))
    for entry in entries:
        for written in entry.touched.writes:
            for other, way in users[known.group_of(written)]:
                different = other is not entry and known.same(written, way)
                if different and not _ordered(entry, other, earlier):
                    raise _open(entry.node, other.node)
    for entry in entries:
        if entry.touched.foreign or entry.touched.inside:
            for other in entries:
                met = other is not entry and entry.touched.meets(other.touched, known)
                if met and not _ordered(entry, other, earlier):
                    raise _open_call(entry, other.node)


def _refuse_open_return(
    cores: Sequence[Node], before: dict[Node, set[Node]], known: UnitVariables
) -> None:
    """InputError for an element of which it is open whether a RETURN skips it: platforms leave at
    once, or when the network is evaluated."""
    for leaving in cores:
        if leaving.kind is not ElementKind.RETURN:
            continue
        surely = {leaving}
        waiting = [leaving]
        while waiting:
            for node in before[waiting.pop()] - surely:
                surely.add(node)
                waiting.append(node)
        for node in cores:
            later = None not in (node.number, leaving.number)  # a contradiction, reported as one
            if node not in surely and not later and _remembers(node, known):
                message = (
                    f"it is left open whether this RETURN skips {node.title}, which is in "
                    "the same network"
                )
                way = "put the RETURN into a network of its own, or give both an evaluationOrder"
                here = ((node.place, f"{node.title} is here"),)
                raise wrong("open-evaluation-order", message, leaving.place, way, here)


def _remembers(node: Node, known: UnitVariables) -> bool:
    """Whether it makes a difference later that the element was evaluated."""
    edges = bool(node.edge) or any(each.edge for each in node.inputs)
    return edges or touched_by(node, known).changes


def _entries(groups: Sequence[ElementGroup], known: UnitVariables) -> list[_Entry]:
    place = {group.core: number for number, group in enumerate(groups)}
    entries: list[_Entry] = []
    for group in groups:
        for node in group.all:
            places = frozenset([place[group.core]])
            if _source_of_others(node):
                places = frozenset(place[each] for each in node.behind())
            entries.append(_Entry(node, touched_by(node, known), places))
    return entries


def _ordered(one: _Entry, other: _Entry, earlier: Sequence[int]) -> bool:
    """Whether it is certain which of the two comes first. Within a group it is, but for its
    sinks; a data source of several groups comes before or after the other with all of them."""
    if (
        one.node.kind is ElementKind.SINK
        and other.node.kind is ElementKind.SINK
        and one.places == other.places
    ):
        return False
    if len(other.places) > 1:
        one, other = other, one
    (place,) = other.places
    first = all(each == place or earlier[place] >> each & 1 for each in one.places)
    last = all(each == place or earlier[each] >> place & 1 for each in one.places)
    if len(one.places) > 1:
        last = last and place not in one.places
    return first or last


def _all_before(groups: Sequence[ElementGroup], before: dict[Node, set[Node]]) -> list[int]:
    """For each group the set of groups that come before it whatever the platform does, as bits."""
    place = {group.core: number for number, group in enumerate(groups)}
    earlier: list[int] = []
    for group in groups:
        bits = 0
        for each in before[group.core]:
            bits |= earlier[place[each]] | (1 << place[each])
        earlier.append(bits)
    return earlier


def _open(one: Node, other: Node) -> InputError:
    assert one.operand is not None
    return _unsettled(
        one, other, f"what the diagram does with '{one.operand.piece.text}' depends on it"
    )


def _open_call(one: _Entry, other: Node) -> InputError:
    whose = "the variables of this unit" if one.touched.inside else "global variables"
    return _unsettled(one.node, other, f"{one.node.title} may read and write {whose}")


def _unsettled(one: Node, other: Node, why: str) -> InputError:
    both = f"{one.title} or {other.title}"
    if one.title == other.title:
        both = f"{one.title} here or there"
    message = f"it is left open whether {both} comes first, and {why}"
    way = "put them into two rungs or networks, or give both an evaluationOrder"
    return wrong(
        "open-evaluation-order", message, one.place, way, ((other.place, f"{other.title} is here"),)
    )
