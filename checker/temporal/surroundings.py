"""What stands between the hands and the program: nothing, or wiring with faults in it.

Without faults a spec's hands are what their first contacts read, and further contacts are assumed
to agree. Wired, the hands are physical: free inputs from which every contact gets its value.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from checker.source import specification_tree as spec
from checker.source.program import Program, Variable
from checker.temporal.contacts import Lines, contacts_of, lines_of
from checker.temporal.fault_statements import read_supplies
from checker.temporal.faults import Fault
from checker.temporal.formula import Named
from checker.temporal.library import Library
from checker.temporal.parts import Parts
from checker.temporal.problems import Problems
from checker.temporal.requirement import AssumedFaults, Hand, Supply
from checker.temporal.roles import HandReader
from checker.temporal.scope import SpecificationScope
from checker.temporal.wiring import wire


@dataclass(frozen=True)
class Wanted:
    """Physical hands, with these faults (at most two); ``in_order``: the second does not begin
    before the first."""

    faults: tuple[Fault, ...] = ()
    in_order: bool = False


@dataclass(frozen=True, eq=False)
class Surroundings:
    """``program`` is the whole. ``outer`` is the same with every input of the block among its
    inputs, wired or not: what is told from outside. ``scope`` has the spec's names, ``assumed``
    those in assumptions, which speak of the world without faults. ``agreements`` are assumptions
    that contacts of one hand agree. ``lines`` and
    ``assumed_faults`` are those of the spec."""

    program: Program
    outer: Program
    hands: tuple[Hand, ...]
    scope: SpecificationScope
    assumed: SpecificationScope
    supplies: tuple[Supply, ...]
    agreements: tuple[Named, ...] = ()
    lines: Lines | None = None
    assumed_faults: AssumedFaults | None = None


def surround(
    parts: Parts, library: Library, program: Program, wanted: Wanted | None, problems: Problems
) -> Surroundings:
    """``program`` is the library's, unwired; ``wanted`` None: contacts are read directly."""
    scope = SpecificationScope(program)
    reader = HandReader(program, scope, problems)
    before = len(problems.errors)
    hands = tuple(reader.hands(parts.all(spec.HandStatement)))
    inputs = () if library.block is None else library.block.sampled
    supplies = read_supplies(parts, inputs, problems)
    direct = Surroundings(
        program, program, hands, scope, scope, supplies, tuple(reader.assumptions)
    )
    if wanted is None or len(problems.errors) > before:
        return direct
    with problems.collected():
        return _wired(parts, library, direct, reader, wanted, problems)
    return direct


def _wired(
    parts: Parts,
    library: Library,
    direct: Surroundings,
    reader: HandReader,
    wanted: Wanted,
    problems: Problems,
) -> Surroundings:
    bare, block = direct.program, library.block
    if block is None:
        raise ValueError("a program is missing without a problem")
    before = len(problems.errors)
    contacts = contacts_of(direct.hands, reader.contacts, problems)
    if len(problems.errors) > before:
        return direct
    lines = lines_of(contacts, block.sampled, library.driven, direct.supplies, parts.tree.name.span)
    wired = wire(lines, direct.hands, wanted.faults, bare, wanted.in_order)
    whole = library.wired(wired.wiring)
    return replace(
        direct,
        program=whole,
        outer=replace(whole, inputs=_with(whole, bare)),
        hands=wired.hands,
        scope=wired.scope(whole, bare.variables),
        assumed=wired.healthy_scope(whole, bare.variables),
        agreements=(),
        lines=lines,
        assumed_faults=wired.assumed_faults,
    )


def _with(whole: Program, bare: Program) -> tuple[Variable, ...]:
    return tuple(dict.fromkeys([*bare.inputs, *whole.inputs]))
