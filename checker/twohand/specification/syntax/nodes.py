"""The statements of the spec language as they are written, before their names are resolved.

Their formulas are those of ``formulas`` beside this module. Every node carries the span of its
whole text; nodes compare by identity.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeAlias

from twohand.specification.syntax.formulas import BoundNode, FormulaNode, PropertyNode, Time, Whole
from twohand.syntax.tree import Identifier, Name
from twohand.text.source_text import SourceText, Span

# --- statements -------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class FileName:
    text: str
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class SourceStatement:
    files: tuple[FileName, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class BlockStatement:
    name: Identifier
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class ScanStatement:
    """A fixed period has ``shortest`` only."""

    shortest: Time
    longest: Time | None
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class UnitStatement:
    unit: Time
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class ReadingStatement:
    name: Identifier
    value: bool
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class IntegersStatement:
    """``INTEGERS WRAP``, the only choice there is to state."""

    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class LoopsStatement:
    bound: Whole
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class HandStatement:
    """One contact or more."""

    name: Identifier
    contacts: tuple[FormulaNode, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class StationStatement:
    """``condition``: when the station is in use (None: always)."""

    name: Identifier
    hands: tuple[Identifier, ...]
    span: Span = field(repr=False)
    condition: FormulaNode | None = None


@dataclass(frozen=True, eq=False)
class OutputStatement:
    names: tuple[Name, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class HazardStatement:
    condition: FormulaNode
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Binding:
    """``input := expression``."""

    input: Name
    value: FormulaNode
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class PlantStatement:
    name: Identifier
    block: Identifier
    files: tuple[FileName, ...]
    bindings: tuple[Binding, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class FeedbackStatement:
    bindings: tuple[Binding, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class RequireStatement:
    """``type`` is I, II or III; at most one of ``window`` and ``true_lag`` is expected."""

    type: Identifier
    window: Time | None
    true_lag: Time | None
    release: Whole | None
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class RequireWordStatement:
    """``REQUIRE label : word (parameter := expression, ...)``: any requirement of the catalogue but
    TWO_HAND."""

    label: Identifier | None
    word: Identifier
    bindings: tuple[Binding, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class AvailableStatement:
    bound: BoundNode
    lag: Time | None
    condition: FormulaNode | None
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class AssumeStatement:
    formula: FormulaNode
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class PropertyStatement:
    name: Identifier
    property: PropertyNode
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class ReachableStatement:
    name: Identifier | None
    formula: FormulaNode
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class ExpectStatement:
    """``verdict`` is PROVED, VIOLATED, VACUOUS or UNDECIDED."""

    verdict: Identifier
    names: tuple[Identifier, ...]
    span: Span = field(repr=False)


# --- surroundings: supply, contacts, stopping ---------------------------------------------------


@dataclass(frozen=True, eq=False)
class PowerStatement:
    """``POWER CYCLES``: the supply of the controller can go and come back at any scan."""

    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class BounceStatement:
    """How long a contact may disagree with its hand after the hand moved."""

    time: Time
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class SupplyStatement:
    """The inputs that one supply feeds."""

    name: Identifier
    inputs: tuple[Name, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class ArrangementStatement:
    """A, B or C: what the hardware arrangement of type III is asked for under faults."""

    letter: Identifier
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class NoticeStatement:
    """The condition by which the logic shows that it noticed a fault."""

    condition: FormulaNode
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class StopStatement:
    """``STOPPED_BY``: conditions that stop the output besides a release."""

    conditions: tuple[FormulaNode, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class StoppingStatement:
    """What the stop takes outside the logic; ``logic_included`` says that ``machine`` was measured
    from the hand's release on, with the logic in the loop."""

    input_filter: Time | None
    output_device: Time | None
    machine: Time | None
    logic_included: bool
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class ClutchStatement:
    """A full-revolution clutch: its engaging points and the time of one revolution."""

    points: Whole
    revolution: Time
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class EncroachmentStatement:
    """``ENCROACHMENT PREVENTED``: hands cannot reach past the actuators while they are on."""

    span: Span = field(repr=False)


StatementNode: TypeAlias = (
    SourceStatement
    | BlockStatement
    | ScanStatement
    | UnitStatement
    | ReadingStatement
    | IntegersStatement
    | LoopsStatement
    | HandStatement
    | StationStatement
    | OutputStatement
    | HazardStatement
    | PlantStatement
    | FeedbackStatement
    | RequireStatement
    | AvailableStatement
    | AssumeStatement
    | PropertyStatement
    | ReachableStatement
    | ExpectStatement
    | RequireWordStatement
    | PowerStatement
    | BounceStatement
    | SupplyStatement
    | ArrangementStatement
    | NoticeStatement
    | StopStatement
    | StoppingStatement
    | ClutchStatement
    | EncroachmentStatement
)


@dataclass(frozen=True, eq=False)
class SpecificationTree:
    """``times`` are all duration literals in it, for the choice of the unit."""

    name: Identifier
    statements: tuple[StatementNode, ...]
    source: SourceText
    times: tuple[Time, ...]
    span: Span = field(repr=False)
