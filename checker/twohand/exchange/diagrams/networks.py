"""Ladder diagrams and function-block diagrams as structured text.

Element and attribute names of IEC 61131-10 are from memory: a body of the kind LD has rungs, one
of the kind FBD networks. They are evaluated in the order of their evaluationOrder, else as they
are in the file, from top to bottom (IEC 61131-3 Ed. 2, 4.1.3).
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from twohand.exchange.diagrams.blocks import function, instance
from twohand.exchange.diagrams.effects import UnitVariables
from twohand.exchange.diagrams.elements import OBJECTS, position_of, read_objects
from twohand.exchange.diagrams.functions import is_pure
from twohand.exchange.diagrams.graph import ElementKind, Node, connect
from twohand.exchange.diagrams.order import evaluation_order
from twohand.exchange.diagrams.statements import Hidden, Statements
from twohand.exchange.rules import Piece, in_order, parts
from twohand.files.xml_element import XmlElement
from twohand.text.diagnostic import Diagnostic, InputError, collected, wrong

NETWORKS = {"LD": ("Rung", OBJECTS), "FBD": ("Network", OBJECTS[1:])}
"""The kinds of bodies that are read: their networks, and what may occur in one."""

_ORDER = "evaluationOrder"


@dataclass(frozen=True)
class Translation:
    """Pieces of one further VAR section (hidden instances and wires), and of the statements."""

    declarations: tuple[Piece, ...]
    statements: tuple[Piece, ...]


def translate_networks(
    body: XmlElement, names: Collection[str], known: UnitVariables | None = None
) -> Translation:
    """The statements of a BodyContent of the kind LD or FBD.

    ``names`` are those in upper case that hidden variables may not have; ``known`` are the unit's
    variables: without it, none can be called or relied upon. InputError with everything that is
    wrong or not read, one for each network."""
    network_name, allowed = NETWORKS[body.kind]
    known = known or UnitVariables()
    hidden = Hidden(set(names))
    statements: list[Piece] = []
    problems: list[Diagnostic] = []
    networks = in_order(list(parts(body, network_name)), _ORDER, network_name)
    _refuse_turned(networks)
    for number, network in enumerate(networks, start=1):
        title = f"{network_name.lower()}{number}"
        with collected(problems):
            statements.extend(_network(network, allowed, known, hidden, title))
    if problems:
        raise InputError(problems)
    return Translation(tuple(hidden.declarations), tuple(statements))


def _refuse_turned(networks: Sequence[XmlElement]) -> None:
    """InputError where networks without numbers are drawn in another order than in the file, or
    where their elements are numbered in one row, which says something else."""
    if any(_ORDER in each.attributes for each in networks):
        return
    drawn = [(each, position_of(each)[:1]) for each in networks]
    for (_, above), (network, below) in pairwise((e, p) for e, p in drawn if p):
        if not above <= below:
            raise _turned(network, "is drawn above the one that comes before it in the file")
    numbers = {each: row for each in networks if (row := _numbers(each))}
    every = [number for row in numbers.values() for number in row]
    if len(set(every)) < len(every):
        return  # each network has numbers of its own
    for (_, before), (network, behind) in pairwise(numbers.items()):
        if max(before) > min(behind):
            raise _turned(network, "has elements with smaller numbers than one before it")


def _numbers(network: XmlElement) -> list[int]:
    texts = (each.attributes.get(_ORDER, "").strip() for each in network.children)
    return [int(text) for text in texts if re.fullmatch(r"[0-9]{1,9}", text)]


def _turned(network: XmlElement, how: str) -> InputError:
    message = f"this {network.name} {how}, so that it is left open which is evaluated first"
    way = f'number the networks, too: {_ORDER}="1" and so on'
    return wrong("open-evaluation-order", message, network.span, way)


def _network(
    network: XmlElement, allowed: tuple[str, ...], known: UnitVariables, hidden: Hidden, title: str
) -> list[Piece]:
    nodes = connect(read_objects(network, allowed), ladder=network.name == "Rung")
    groups = evaluation_order(nodes, known)
    _refuse_unused(nodes)
    statements = Statements(groups, known, hidden, title)
    return statements.translate({ElementKind.FUNCTION: function, ElementKind.BLOCK: instance})


def _refuse_unused(nodes: Iterable[Node]) -> None:
    """InputError for elements whose value goes nowhere: something is missing behind them."""
    everything = list(nodes)
    waiting = [node for node in everything if _acts(node)]
    reaching = set(waiting)
    while waiting:
        for node in waiting.pop().before():
            if node not in reaching:
                reaching.add(node)
                waiting.append(node)
    unused = [
        Diagnostic(
            "unused-element",
            f"{node.title} leads to no coil, block or variable",
            node.place,
            "connect what follows it, or remove it",
        )
        for node in everything
        if node not in reaching and node.kind not in (ElementKind.LEFT_RAIL, ElementKind.RIGHT_RAIL)
    ]
    if unused:
        raise InputError(unused)


def _acts(node: Node) -> bool:
    return node.kind in (
        ElementKind.COIL,
        ElementKind.SINK,
        ElementKind.BLOCK,
        ElementKind.RETURN,
    ) or (node.kind is ElementKind.FUNCTION and not is_pure(node))
