"""A spec as plain data: what is asked, of which block, in which scan time."""

from __future__ import annotations

from dataclasses import dataclass

from twohand.program import Read
from twohand.program.walks import nodes_below
from twohand.record.message import FilePlace, Message, message_of, messages_of, place_in_file
from twohand.record.run import Choices, Signal, choices_of, signals_of
from twohand.record.sources import HashedFile, read_files
from twohand.specification.logic.property_text import property_text
from twohand.specification.model.specification import (
    Aim,
    Expectation,
    Hand,
    Requirement,
    Specification,
)


@dataclass(frozen=True)
class AskedRequirement:
    """``name`` is unique in its spec; ``sentence`` says what is asked, without a final full stop;
    ``source`` is the standard and clause it comes from, or ''. ``aim``: it must hold in every run,
    or some run must reach it. ``expected`` is what EXPECT states; it changes no exit code.
    ``leaves_out`` says what is not asked, or is ''; ``formula`` is what is really asked, with all
    that the spec says of it. ``identifier`` is made of the names of spec and requirement."""

    name: str
    sentence: str
    source: str
    aim: Aim
    expected: Expectation
    place: FilePlace
    leaves_out: str
    formula: str
    identifier: str


@dataclass(frozen=True)
class AcceptedWarning:
    """A ``warning`` that the spec accepts for this ``reason``."""

    warning: Message
    reason: str


@dataclass(frozen=True)
class LoadedSpec:
    """``path`` of the spec file and ``program_paths`` of what it reads, as they were given.

    Scan times are in nanoseconds. ``signals`` are the variables of the block and of what the spec
    puts around it; ``assumptions`` are as written. ``open_readings`` names what the standard
    leaves open and the spec does not state: every choice is checked; ``stated_readings`` has what
    is fixed of it (whether integers wrap around always is). ``wide`` are those of the ``warnings``
    that fail a check; ``accepted`` are warnings of that kind that do not. ``sources`` are the spec
    and every file that was read for it, with their hashes. ``hand_inputs`` are the variables that
    each hand is read from, and where contacts may fail or bounce those of its contacts.
    ``observed_readings`` has by names of stated readings what somebody observed them by.
    """

    name: str
    path: str
    block: str
    program_paths: tuple[str, ...]
    shortest_scan: int
    longest_scan: int
    hands: tuple[str, ...]
    outputs: tuple[str, ...]
    signals: tuple[Signal, ...]
    assumptions: tuple[str, ...]
    open_readings: tuple[str, ...]
    requirements: tuple[AskedRequirement, ...]
    warnings: tuple[Message, ...]
    wide: tuple[Message, ...]
    accepted: tuple[AcceptedWarning, ...]
    stated_readings: Choices
    sources: tuple[HashedFile, ...]
    hand_inputs: tuple[tuple[str, tuple[str, ...]], ...]
    observed_readings: tuple[tuple[str, str], ...]


def asked_requirement(requirement: Requirement, specification: Specification) -> AskedRequirement:
    return AskedRequirement(
        requirement.identifier,
        requirement.sentence,
        requirement.authority,
        requirement.aim,
        requirement.expected,
        place_in_file(requirement.span),
        requirement.leaves_out,
        property_text(requirement.property, specification.clocking),
        f"{specification.name}/{requirement.identifier}",
    )


def loaded_spec(specification: Specification) -> LoadedSpec:
    clocking = specification.clocking
    return LoadedSpec(
        specification.name,
        specification.source.path,
        specification.program.name,
        tuple(source.path for source in specification.program.sources),
        clocking.nanoseconds(clocking.shortest),
        clocking.nanoseconds(clocking.longest),
        tuple(hand.name for hand in specification.hands),
        tuple(variable.name for variable in specification.outputs),
        signals_of(specification),
        tuple(each.span.text for each in specification.assumptions),
        specification.readings.open,
        tuple(asked_requirement(each, specification) for each in specification.requirements),
        messages_of(specification.warnings),
        messages_of(specification.wide),
        tuple(
            AcceptedWarning(message_of(each.warning), each.reason)
            for each in specification.accepted
        ),
        choices_of(specification.readings.stated),
        read_files(specification),
        tuple((hand.name, _read(hand, specification)) for hand in specification.hands),
        specification.observed_readings,
    )


def _read(hand: Hand, specification: Specification) -> tuple[str, ...]:
    names = [node.variable.name for node in nodes_below(hand.pressed) if isinstance(node, Read)]
    lines = specification.lines
    if lines is not None:
        names += [each.input.name for each in lines.contacts if each.hand == hand.name]
    return tuple(dict.fromkeys(names))
