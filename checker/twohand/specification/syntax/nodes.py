"""The statements of the spec language as they are written, before their names are resolved.

Their formulas are those of ``formulas`` beside this module. Every node carries the span of its
whole text; nodes compare by identity.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from twohand.specification.syntax.formulas import BoundNode, FormulaNode, PropertyNode, Time, Whole
from twohand.syntax.tree import Identifier, Name
from twohand.text.source_text import SourceText, Span


@dataclass(frozen=True, eq=False, kw_only=True)
class StatementNode:
    """Any statement; ``guessed`` is the place of the mark of a draft's guess, where it has one."""

    span: Span = field(repr=False)
    guessed: Span | None = field(default=None, repr=False)


@dataclass(frozen=True, eq=False)
class FileName:
    text: str
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class SourceStatement(StatementNode):
    files: tuple[FileName, ...]


@dataclass(frozen=True, eq=False)
class BlockStatement(StatementNode):
    name: Identifier


@dataclass(frozen=True, eq=False)
class ScanStatement(StatementNode):
    """A fixed period has ``shortest`` only."""

    shortest: Time
    longest: Time | None


@dataclass(frozen=True, eq=False)
class UnitStatement(StatementNode):
    unit: Time


@dataclass(frozen=True, eq=False)
class ReadingStatement(StatementNode):
    """``shown_by`` has by what and whom it was observed."""

    name: Identifier
    value: bool
    shown_by: Text | None


@dataclass(frozen=True, eq=False)
class IntegersStatement(StatementNode):
    """``INTEGERS WRAP``, the only choice there is to state."""


@dataclass(frozen=True, eq=False)
class LoopsStatement(StatementNode):
    bound: Whole


@dataclass(frozen=True, eq=False)
class HandStatement(StatementNode):
    """One contact or more."""

    name: Identifier
    contacts: tuple[FormulaNode, ...]


@dataclass(frozen=True, eq=False)
class StationStatement(StatementNode):
    """``condition``: when the station is in use (None: always)."""

    name: Identifier
    hands: tuple[Identifier, ...]
    condition: FormulaNode | None


@dataclass(frozen=True, eq=False)
class OutputStatement(StatementNode):
    names: tuple[Name, ...]


@dataclass(frozen=True, eq=False)
class HazardStatement(StatementNode):
    condition: FormulaNode


@dataclass(frozen=True, eq=False)
class Binding:
    """``input := expression``."""

    input: Name
    value: FormulaNode
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class PlantStatement(StatementNode):
    name: Identifier
    block: Identifier
    files: tuple[FileName, ...]
    bindings: tuple[Binding, ...]


@dataclass(frozen=True, eq=False)
class FeedbackStatement(StatementNode):
    bindings: tuple[Binding, ...]


@dataclass(frozen=True, eq=False)
class RequireStatement(StatementNode):
    """``type`` is I, II or III; at most one of ``window`` and ``true_lag`` is expected."""

    type: Identifier
    window: Time | None
    true_lag: Time | None
    release: Whole | None
    condition: FormulaNode | None


@dataclass(frozen=True, eq=False)
class RequireWordStatement(StatementNode):
    """``REQUIRE label : word (parameter := expression, ...) WHEN condition``: any requirement of
    the catalogue but TWO_HAND."""

    label: Identifier | None
    word: Identifier
    bindings: tuple[Binding, ...]
    condition: FormulaNode | None


@dataclass(frozen=True, eq=False)
class AvailableStatement(StatementNode):
    bound: BoundNode
    lag: Time | None
    condition: FormulaNode | None


@dataclass(frozen=True, eq=False)
class AssumeStatement(StatementNode):
    formula: FormulaNode


@dataclass(frozen=True, eq=False)
class PropertyStatement(StatementNode):
    name: Identifier
    property: PropertyNode


@dataclass(frozen=True, eq=False)
class ReachableStatement(StatementNode):
    name: Identifier | None
    formula: FormulaNode


@dataclass(frozen=True, eq=False)
class ExpectStatement(StatementNode):
    """``verdict`` is PROVED, VIOLATED, VACUOUS or UNDECIDED."""

    verdict: Identifier
    names: tuple[Identifier, ...]


@dataclass(frozen=True, eq=False)
class Text:
    """What is between quotes."""

    text: str
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class AcceptStatement(StatementNode):
    """``code`` is that of a warning, which does not fail the check for this ``reason``."""

    code: Text
    reason: Text


@dataclass(frozen=True, eq=False)
class MissingStatement(StatementNode):
    """What a draft could not guess and somebody has to fill in."""

    what: Text


# --- surroundings: supply, contacts, stopping ---------------------------------------------------


@dataclass(frozen=True, eq=False)
class PowerStatement(StatementNode):
    """``POWER CYCLES``: the supply of the controller can go and come back at any scan."""


@dataclass(frozen=True, eq=False)
class OutsideStatement(StatementNode):
    """Variables of the block that somebody else writes between scans."""

    names: tuple[Name, ...]


@dataclass(frozen=True, eq=False)
class BounceStatement(StatementNode):
    """How long a contact may disagree with its hand after the hand moved."""

    time: Time


@dataclass(frozen=True, eq=False)
class SupplyStatement(StatementNode):
    """The inputs that one supply feeds."""

    name: Identifier
    inputs: tuple[Name, ...]


@dataclass(frozen=True, eq=False)
class ArrangementStatement(StatementNode):
    """A, B or C: what the hardware arrangement of type III is asked for under faults."""

    letter: Identifier


@dataclass(frozen=True, eq=False)
class NoticeStatement(StatementNode):
    """The condition by which the logic shows that it noticed a fault."""

    condition: FormulaNode


@dataclass(frozen=True, eq=False)
class StopStatement(StatementNode):
    """``STOPPED_BY``: conditions that stop the output besides a release."""

    conditions: tuple[FormulaNode, ...]


@dataclass(frozen=True, eq=False)
class StoppingStatement(StatementNode):
    """What the stop takes outside the logic; ``logic_included`` says that ``machine`` was measured
    from the hand's release on, with the logic in the loop."""

    input_filter: Time | None
    output_device: Time | None
    machine: Time | None
    logic_included: bool


@dataclass(frozen=True, eq=False)
class ClutchStatement(StatementNode):
    """A full-revolution clutch: its engaging points and the time of one revolution."""

    points: Whole
    revolution: Time


@dataclass(frozen=True, eq=False)
class EncroachmentStatement(StatementNode):
    """``ENCROACHMENT PREVENTED SHOWN BY ...``: hands cannot reach past the actuators while they
    are on; ``shown_by`` has who showed it."""

    shown_by: Text | None


@dataclass(frozen=True, eq=False)
class EditionStatement(StatementNode):
    """The year of the edition of ISO 13855 whose distance is the result."""

    year: Whole


@dataclass(frozen=True, eq=False)
class SpecificationTree:
    """``times`` are all duration literals in it, for the choice of the unit."""

    name: Identifier
    statements: tuple[StatementNode, ...]
    source: SourceText
    times: tuple[Time, ...]
    span: Span = field(repr=False)
