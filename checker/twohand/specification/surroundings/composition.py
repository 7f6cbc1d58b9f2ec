"""A block and its surroundings as one program.

In each scan first the hands move the contacts, then every plant runs, in the order of the spec,
then what is wrong with the feedback changes it, then others write what is theirs, then the block
(both, where POWER CYCLES is stated, while it has its supply). A plant's bound
inputs get their expressions from the block's variables as the scan before left them (before the
first scan: their initial values); of the block's own inputs those that nothing drives are
already sampled anew. The block's driven inputs get theirs from the plants as they are now. What
nothing drives, of block and plants, is an input of the whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from twohand.program import (
    Assign,
    CallBlock,
    Program,
    Routine,
    StandardInstance,
    Statement,
    Variable,
)
from twohand.specification.surroundings.power import PowerCycles, guarded
from twohand.specification.surroundings.scan_start import NO_SCAN_START, ScanStart
from twohand.text.source_text import Span


@dataclass(frozen=True, eq=False)
class Plant:
    """``program`` was loaded with the prefix ``name.``; ``bindings`` assign its bound inputs."""

    name: str
    program: Program
    bindings: tuple[Assign, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Wiring:
    """What is between the hands (and plants) and the block's inputs.

    ``inputs`` are free: hands, onsets of faults, what a bouncing contact shows. ``variables`` are
    all of its variables, inputs and pins included. ``contacts`` run before the plants, as contacts
    are sampled before them; ``statements`` run after the plants and feedback, before the block.
    Together they assign the block's inputs in ``driven``.
    """

    inputs: tuple[Variable, ...] = ()
    variables: tuple[Variable, ...] = ()
    instances: tuple[StandardInstance, ...] = ()
    statements: tuple[Statement, ...] = ()
    driven: frozenset[Variable] = frozenset()
    contacts: tuple[Statement, ...] = ()


NO_WIRING = Wiring()


@dataclass(frozen=True, eq=False)
class Composition:
    """A block with what its spec puts around it; ``span`` is the place of the block's call, which
    nobody wrote."""

    block: Program
    span: Span = field(repr=False)
    plants: Sequence[Plant] = ()
    feedback: Sequence[Assign] = ()
    power: PowerCycles | None = None
    start: ScanStart = NO_SCAN_START

    @cached_property
    def program(self) -> Program:
        """The whole with its contacts read directly."""
        around = self.plants or self.feedback or self.power or self.start.statements
        return self.wired() if around else self.block

    @property
    def driven(self) -> tuple[Variable, ...]:
        """The block's inputs that plants drive."""
        return tuple(assign.target for assign in self.feedback)

    def wired(self, wiring: Wiring = NO_WIRING) -> Program:
        """The whole with wiring between hands and contacts."""
        body: list[Statement] = [*wiring.contacts]
        for plant in self.plants:
            body += plant.bindings
            body.append(CallBlock(plant.name, (), plant.program.routine, (), plant.span))
        body += self.feedback
        body += wiring.statements
        call = CallBlock(self.block.name, (), self.block.routine, (), self.span)
        run = (*self.start.statements, call)
        body += run if self.power is None else guarded(self.block, run, self.power)
        driven = {*self.driven, *wiring.driven}
        driven |= {assign.target for plant in self.plants for assign in plant.bindings}
        parts = [self.block, *(plant.program for plant in self.plants)]
        inputs = [v for part in parts for v in part.inputs if v not in driven]
        supply = () if self.power is None else self.power.variables
        return Program(
            name=self.block.name,
            inputs=(*dict.fromkeys(inputs), *self.start.inputs, *wiring.inputs, *supply[:1]),
            outputs=tuple(v for part in parts for v in part.outputs),
            variables=(
                *dict.fromkeys(v for part in parts for v in part.variables),
                *self.start.variables,
                *wiring.variables,
                *supply,
            ),
            instances=(*(i for part in parts for i in part.instances), *wiring.instances),
            routine=Routine((), tuple(body)),
            constants={k: v for part in reversed(parts) for k, v in part.constants.items()},
            enumerations={k: v for part in reversed(parts) for k, v in part.enumerations.items()},
            sources=tuple(dict.fromkeys(s for part in parts for s in part.sources)),
            read=tuple(dict.fromkeys(s for part in parts for s in part.read)),
            left_out=(*(n for part in parts for n in part.left_out), *self.start.left_out),
            tasks=self.block.tasks,
            changed_inputs=frozenset(v for part in parts for v in part.changed_inputs),
            aliases={k: v for part in reversed(parts) for k, v in part.aliases.items()},
        )
