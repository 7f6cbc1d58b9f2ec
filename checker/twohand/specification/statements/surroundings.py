"""What is between the hands and the program: nothing, or wiring with faults in it.

Without faults a spec's hands are what their first contacts read, and further contacts are assumed
to agree. Wired, the hands are physical: free inputs from which every contact gets its value.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from twohand.program import Program, Role, Variable
from twohand.program.durations import Units
from twohand.program.types import BOOL
from twohand.scan.clocking import Clocking
from twohand.specification.logic.formula import Named
from twohand.specification.model.contact import contacts_of, lines_of
from twohand.specification.model.control import Tolerance
from twohand.specification.model.fault import Fault
from twohand.specification.model.specification import AssumedFaults, Hand, Lines, Supply
from twohand.specification.problems import Problems
from twohand.specification.reading.statements import StatementTable
from twohand.specification.resolving.names import SpecificationScope
from twohand.specification.statements.faults import read_supplies
from twohand.specification.statements.roles import HandReader
from twohand.specification.statements.tolerances import Tolerances
from twohand.specification.surroundings.bounce import Bounce
from twohand.specification.surroundings.composition import Composition
from twohand.specification.surroundings.wiring import HandWires, Wired
from twohand.specification.syntax import nodes as spec


@dataclass(frozen=True)
class Wanted:
    """Physical hands, with these faults (at most two); ``in_order``: the second does not begin
    before the first."""

    faults: tuple[Fault, ...] = ()
    in_order: bool = False


@dataclass(frozen=True, eq=False)
class Surroundings:
    """``program`` is the whole. ``outer`` is the same with every input of the block among its
    inputs, wired or not: what comes from outside. ``scope`` has the spec's names, ``assumed``
    those in assumptions, which speak of the world without faults. ``agreements`` are assumptions
    that contacts of one hand agree. ``lines`` and
    ``assumed_faults`` are those of the spec, ``bounce`` says how contacts bounce."""

    program: Program
    outer: Program
    hands: tuple[Hand, ...]
    scope: SpecificationScope
    assumed: SpecificationScope
    supplies: tuple[Supply, ...]
    agreements: tuple[Named, ...] = ()
    lines: Lines | None = None
    assumed_faults: AssumedFaults | None = None
    bounce: Tolerance | None = None


def surround(
    parts: StatementTable,
    composed: Composition,
    clocking: Clocking,
    wanted: Wanted | None,
    problems: Problems,
) -> Surroundings:
    """``wanted`` None: contacts are read directly, unless they bounce."""
    program = composed.program
    scope = SpecificationScope(program)
    reader = HandReader(program, scope, problems)
    before = len(problems.errors)
    hands = tuple(reader.hands(parts.all(spec.HandStatement)))
    supplies = read_supplies(parts, composed.block.sampled, problems)
    direct = Surroundings(
        program, program, hands, scope, scope, supplies, tuple(reader.assumptions)
    )
    bounce = _bounce(parts, clocking, problems)
    wanted = wanted or (None if bounce is None else Wanted())
    if wanted is None or len(problems.errors) > before:
        return direct
    with problems.collected():
        contacts = contacts_of(hands, reader.contacts, problems)
        if len(problems.errors) == before:
            span = parts.tree.name.span
            lines = lines_of(contacts, composed.block.sampled, composed.driven, supplies, span)
            lines = replace(lines, outputs=_wires(parts, scope, composed.block))
            wires = HandWires(lines, hands, wanted.faults, program, wanted.in_order, bounce)
            return _wired(direct, composed, lines, wires.wired(), bounce)
    return direct


def _wires(
    parts: StatementTable, scope: SpecificationScope, block: Program
) -> tuple[Variable, ...]:
    """What the block drives of the outputs that the spec names; wrong names are told elsewhere."""
    names = [name for each in parts.all(spec.OutputStatement) for name in each.names]
    found = {scope.variable(name) for name in names}
    own = [v for v in block.variables if v in found and v not in block.sampled]
    return tuple(v for v in own if v.type == BOOL and v.role is not Role.TEMPORARY)


def _bounce(parts: StatementTable, clocking: Clocking, problems: Problems) -> Bounce | None:
    statement = parts.only(spec.BounceStatement)
    if statement is None:
        return None
    time = statement.time
    if time.nanoseconds <= 0:
        message = "contacts that bounce do so for longer than 0"
        problems.error("bounce-not-positive", message, time.span, "write BOUNCE T#10ms;")
        return None
    bounce = Bounce(time.nanoseconds, clocking.unit, time.span)
    Tolerances(clocking, problems).bounce(Units(bounce.time // bounce.unit), time.span)
    return bounce


def _wired(
    direct: Surroundings, composed: Composition, lines: Lines, wired: Wired, bounce: Bounce | None
) -> Surroundings:
    """The same with physical hands."""
    bare, whole = direct.program, composed.wired(wired.wiring)
    tolerance = None
    if bounce is not None and wired.undisturbed is not None:
        units = Units(bounce.time // bounce.unit)
        tolerance = Tolerance(units, wired.settling, wired.undisturbed)
    return replace(
        direct,
        program=whole,
        outer=replace(whole, inputs=tuple(dict.fromkeys([*bare.inputs, *whole.inputs]))),
        hands=wired.hands,
        scope=wired.scope(whole, bare.variables),
        assumed=wired.healthy_scope(whole, bare.variables),
        agreements=(),
        lines=lines,
        assumed_faults=wired.assumed_faults,
        bounce=tolerance,
    )
