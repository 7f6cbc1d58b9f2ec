"""Random rungs and networks over few variables, so that they disturb each other often."""

from __future__ import annotations

import random
from dataclasses import dataclass

from tests.support.meaning.diagram_builder import Ends, Network, booleans, declared, file, unit
from tests.support.meaning.diagram_meaning import ACTION, MIX, SHARE

INPUTS = booleans("i j k")
OTHERS = {
    **booleans("u v w o p q"),
    "m": "INT", "n": "INT",
    "t": "TON", "r": "R_TRIG", "f": "F_TRIG", "s": "SR", "d": "RS", "c": "CTU", "x": "Mix",
    "y": "Share", "z": "Share",
}  # fmt: skip
GLOBALS = booleans("g")
NAMES = {**INPUTS, **OTHERS, **GLOBALS}
_READ = ("i", "j", "k", "u", "v", "w", "i", "j", "k", "t.Q", "s.Q1", "g")
_WRITTEN = ("u", "v", "w")
_OTHERS_WRITTEN = ("u", "v", "w", "o", "p", "q")
_BLOCKS = {
    "t": ("TON", "IN", ("PT", "T#200ms"), "Q"), "r": ("R_TRIG", "CLK", (), "Q"),
    "f": ("F_TRIG", "CLK", (), "Q"), "s": ("SR", "S1", ("R", ""), "Q1"),
    "d": ("RS", "S", ("R1", ""), "Q1"), "c": ("CTU", "CU", ("PV", "2"), "Q"),
}  # fmt: skip


@dataclass
class Draw:
    lot: random.Random

    def chance(self, share: float) -> bool:
        return self.lot.random() < share

    def some(self, ends: list[int]) -> Ends:
        """One or several of the ends, the later ones more often."""
        count = self.lot.choice((1, 1, 1, 2, 3))
        return sorted({self.lot.choice(ends[-6:]) for _ in range(count)})


def random_file(lot: random.Random, kind: str) -> str:
    draw = Draw(lot)
    make = _rung if kind == "LD" else _network
    bodies = [make(draw) for _ in range(lot.randint(1, 3))]
    if draw.chance(0.3):
        for number, each in enumerate(lot.sample(range(9), len(bodies))):
            bodies[number].order = each
    more = declared("ExternalVars", GLOBALS)
    block = unit(bodies, INPUTS, {}, OTHERS, more=more).replace("</Function", f"{ACTION}</Function")
    variables = f'<Configuration name="C">{declared("GlobalVars", GLOBALS)}</Configuration>'
    found = file(MIX, SHARE, block)
    return found.replace("</Project>", f"<Instances>{variables}</Instances></Project>")


# --- ladders ------------------------------------------------------------------------------------


def _rung(draw: Draw) -> Network:
    rung = Network("LD")
    live = [rung.rail()]
    unused: set[int] = set()
    for _ in range(draw.lot.randint(1, 7)):
        left = draw.some(live)
        unused.difference_update(left)
        number = _ladder_element(draw, rung, left)
        live.append(number)
        unused.add(number)
    last = rung.coil(sorted(unused), draw.lot.choice(_WRITTEN), **_coil(draw))
    if draw.chance(0.1):
        rung.leave(last if draw.chance(0.8) else draw.some(live))
    return rung


def _ladder_element(draw: Draw, rung: Network, left: Ends) -> int:
    form = draw.lot.random()
    if form < 0.15:
        return _disturbed(draw, rung, left)
    if form < 0.6:
        return rung.contact(left, draw.lot.choice(_READ), **_contact(draw))
    if form < 0.8:
        return rung.coil(left, draw.lot.choice(_WRITTEN), **_coil(draw))
    if form < 0.88:
        return _move(draw, rung, left)
    return _block(draw, rung, left)


def _disturbed(draw: Draw, rung: Network, left: Ends) -> int:
    """A contact whose variable a coil behind it changes, although its power flow goes on."""
    name = _OTHERS_WRITTEN[3 + rung.count % 3]
    number = rung.contact(left, name, **_contact(draw))
    rung.coil(number, name, **_coil(draw))
    return number


def _contact(draw: Draw) -> dict[str, str]:
    return draw.lot.choice(({}, {}, {"negated": "true"}, {"edge": "rising"}, {"edge": "falling"}))


def _coil(draw: Draw) -> dict[str, str]:
    return draw.lot.choice((
        {}, {}, {"negated": "true"}, {"latch": "set"}, {"latch": "reset"}, {"edge": "rising"},
        {"edge": "falling"},
    ))  # fmt: skip


def _move(draw: Draw, rung: Network, left: Ends) -> int:
    """A function whose EN is the power flow: it changes a number where it runs."""
    first = rung.source(draw.lot.choice(("m", "n", "2", "c.CV")))
    second = rung.source(draw.lot.choice(("m", "1")))
    kind = draw.lot.choice(("SUB", "MAX"))
    value, on = rung.block(kind, {"EN": left, "IN1": first, "IN2": second}, ("OUT", "ENO"))
    rung.sink(value, draw.lot.choice(("m", "n")))
    return on


def _block(draw: Draw, rung: Network, left: Ends) -> int:
    if draw.chance(0.15):
        return _mixed(draw, rung, left)
    if draw.chance(0.1):
        return rung.block("Share", {"a": left}, ["q"], draw.lot.choice("yz"))[0]
    name = draw.lot.choice(list(_BLOCKS))
    kind, pin, further, output = _BLOCKS[name]
    inputs: dict[str, Ends | tuple[Ends, str]] = {pin: left}
    if draw.chance(0.3):
        start = rung.source(draw.lot.choice(("i", "u")))
        inputs = {"EN": left, pin: start}
    elif draw.chance(0.3):
        inputs[pin] = (left, draw.lot.choice(('negated="true"', 'edge="rising"')))
    if further and (further[1] or draw.chance(0.7)):
        inputs[further[0]] = rung.source(further[1] or draw.lot.choice(("j", "v", "k")))
    outputs = ["ENO" if draw.chance(0.2) else output]
    return rung.block(kind, inputs, outputs, name)[0]


def _mixed(draw: Draw, rung: Network, left: Ends) -> int:
    variable = rung.source(draw.lot.choice(_WRITTEN))
    inputs: dict[str, Ends | tuple[Ends, str]] = {"a": left, "b": rung.source("i")}
    return rung.block("Mix", inputs, ["q"], "x", {"x": variable})[0]


# --- function-block diagrams --------------------------------------------------------------------


def _network(draw: Draw) -> Network:
    network = Network("FBD")
    names = draw.lot.sample(_READ, draw.lot.randint(1, 3))
    bits = [network.source(name) for name in names]
    numbers = [network.source(draw.lot.choice(("m", "n", "7"))), network.source("1")]
    used: set[int] = set()
    blocks = draw.lot.sample(list(_BLOCKS), 3)
    numbered = draw.chance(0.4)
    for place in range(draw.lot.randint(1, 7)):
        more = {"evaluationOrder": place} if numbered else {}
        _function(draw, network, (bits, numbers), used, more, blocks)
    for ends, targets in ((bits, _OTHERS_WRITTEN), (numbers, ("m", "n"))):
        left = [end for end in ends if end not in used or draw.chance(0.1)]
        kept = [name for name in targets if name not in names or draw.chance(0.5)]
        for end, target in zip(left, draw.lot.sample(kept, len(kept)), strict=False):
            network.sink(end, target)
            used.add(end)
        for end in left:
            if end not in used:
                one, two = (end, end) if ends is bits else (end, numbers[1])
                network.sink(network.block("EQ", {"IN1": one, "IN2": two}, ["OUT"])[0], "q")
    if draw.chance(0.1):
        network.leave(draw.lot.choice(bits))
    return network


def _function(
    draw: Draw,
    network: Network,
    ends: tuple[list[int], list[int]],
    used: set[int],
    more: dict[str, int],
    blocks: list[str],
) -> None:
    bits, numbers = ends
    if more and draw.chance(0.25):
        _user(draw, network, ends, used, more)
        return
    one, two = draw.lot.choice(bits), draw.lot.choice(bits)
    form = draw.lot.random()
    if form < 0.5:
        kind = draw.lot.choice(("AND", "OR", "XOR", "NOT"))
        inputs: dict[str, Ends | tuple[Ends, str]] = {"IN": one}
        if kind != "NOT":
            inputs = {"IN1": (one, draw.lot.choice(("", 'negated="true"'))), "IN2": two}
        name = draw.lot.choice(("OUT", "NOT OUT", ""))
        bits.extend(network.block(kind, inputs, [name], **more))
    elif form < 0.7:
        first, second = draw.lot.choice(numbers), draw.lot.choice(numbers)
        used.update((first, second))
        kind = draw.lot.choice(("SUB", "MAX", "GT", "EQ", "SEL"))
        if kind == "SEL":
            used.add(one)
            inputs = {"G": one, "IN0": first, "IN1": second}
        else:
            inputs = {"IN1": first, "IN2": second}
        (bits if kind in ("GT", "EQ") else numbers).extend(
            network.block(kind, inputs, ["OUT"], **more)
        )
        return
    elif blocks:
        one = _instance(draw, network, bits, more, blocks.pop())
    else:
        return
    used.update((one, two) if form < 0.5 and kind != "NOT" else (one,))


def _user(
    draw: Draw,
    network: Network,
    ends: tuple[list[int], list[int]],
    used: set[int],
    more: dict[str, int],
) -> None:
    """A call of which only its number says when it runs."""
    if draw.chance(0.5):
        network.block("Turn", {}, [], **more)
        return
    left = draw.lot.choice(ends[0])
    used.add(left)
    ends[0].extend(network.block("Share", {"a": left}, ["q"], draw.lot.choice("yz"), **more))


def _instance(
    draw: Draw, network: Network, bits: list[int], more: dict[str, int], name: str
) -> int:
    """The end that it is connected to."""
    left = draw.lot.choice(bits)
    kind, pin, further, output = _BLOCKS[name]
    inputs: dict[str, Ends | tuple[Ends, str]] = {
        pin: (left, draw.lot.choice(("", "", 'edge="falling"', 'negated="true"')))
    }
    if further and further[1]:
        inputs[further[0]] = network.source(further[1])
    bits.extend(network.block(kind, inputs, [output], name, **more))
    return left
