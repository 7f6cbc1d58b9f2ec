"""Ladders and function-block diagrams of the older schema, as rungs and networks.

There the elements of a whole body are in one list, and a connection names the element that it
comes from. A network is what is connected but for the power rails (IEC 61131-3 Ed. 2, 4.1.3);
networks are evaluated from top to bottom. Where the elements are numbered, or are in another order
in the file than in the drawing, all of them are one network: an order that is open and matters is
refused there.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from twohand.exchange.older.connections import Drawn, Outputs
from twohand.exchange.older.drawn_elements import drawn
from twohand.exchange.older.elements import made
from twohand.files.xml_element import XmlElement


def drawing(content: XmlElement) -> list[XmlElement]:
    """The rungs of an LD, or the networks of an FBD; InputError for what is not read."""
    outputs = Outputs(content)
    elements = [each for child in content.children for each in drawn(child, outputs)]
    elements += outputs.hidden
    title = "Rung" if content.name == "LD" else "Network"
    groups = _connected(elements)
    if any(each.numbered for each in elements) or not _in_drawn_order(groups):
        groups = [elements] if elements else []
    return [_network(title, content, group, outputs) for group in groups]


def _network(
    title: str, content: XmlElement, group: Sequence[Drawn], outputs: Outputs
) -> XmlElement:
    used = {mark for each in group for mark in each.uses}
    rails = [rail.element for rail in outputs.rails if used & set(rail.marks)]
    return made(title, content, [*rails, *(each.element for each in group)])


def _connected(elements: Sequence[Drawn]) -> list[list[Drawn]]:
    """The elements that are connected, in the order of the file."""
    owner = {mark: number for number, each in enumerate(elements) for mark in each.marks}
    label = {each.label: number for number, each in enumerate(elements) if each.label}
    group = list(range(len(elements)))

    def first(number: int) -> int:
        while group[number] != number:
            number = group[number] = group[group[number]]
        return number

    for number, each in enumerate(elements):
        others = [owner[mark] for mark in each.uses if mark in owner]
        others += [label[each.label]] if each.label else []
        for other in others:
            one, two = sorted((first(number), first(other)))
            group[two] = one
    groups: dict[int, list[Drawn]] = {}
    for number, each in enumerate(elements):
        groups.setdefault(first(number), []).append(each)
    return list(groups.values())


def _in_drawn_order(groups: Sequence[Sequence[Drawn]]) -> bool:
    """Whether the networks are drawn one below the other, in the order of the file."""
    heights = [[each.height for each in group if each.height is not None] for group in groups]
    placed = [(min(each), max(each)) for each in heights if each]
    return len(placed) == len(groups) and all(
        above[1] < below[0] for above, below in pairwise(placed)
    )
