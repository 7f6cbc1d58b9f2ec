"""The statements of a scenario as they are written, before their names are resolved."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeVar

from twohand.specification.syntax.formulas import FormulaNode, Time, Whole
from twohand.specification.syntax.nodes import Binding, FileName, StatementNode
from twohand.syntax.tree import Identifier, Name
from twohand.text.source_text import SourceText, Span

Kind = TypeVar("Kind", bound=StatementNode)


@dataclass(frozen=True, eq=False)
class ForStatement(StatementNode):
    """``FOR 'press.spec' SPEC Press``: of which spec; ``name`` is None where the file has one."""

    file: FileName
    name: Identifier | None


@dataclass(frozen=True, eq=False)
class RealBinding:
    """``input := 3.5``, or ``input := 'below 3'`` as runs show it."""

    input: Name
    text: str
    value_span: Span = field(repr=False)
    span: Span = field(repr=False)


Setting = Binding | RealBinding


@dataclass(frozen=True, eq=False)
class InitiallyStatement(StatementNode):
    """Values from before the first scan on."""

    bindings: tuple[Setting, ...]


@dataclass(frozen=True, eq=False)
class ChangeStatement(StatementNode):
    """``AT time name := value, ...``."""

    time: Time
    bindings: tuple[Setting, ...]


@dataclass(frozen=True, eq=False)
class SupplyChange(StatementNode):
    """``AT time POWER ON`` or ``OFF``."""

    time: Time
    on: bool


@dataclass(frozen=True, eq=False)
class ClockStatement(StatementNode):
    """``AT time CLOCK time``: what ``TIME()`` shows where it begins."""

    time: Time
    shown: Time


@dataclass(frozen=True, eq=False)
class UntilTime:
    """The end of a stretch of time; None: that of the run."""

    time: Time | None
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class ExpectedStatement(StatementNode):
    """``AT time..time EXPECT formula WITHIN time``; without ``begin`` it is ``ALWAYS``."""

    begin: Time | None
    until: UntilTime | None
    formula: FormulaNode
    within: Time | None


@dataclass(frozen=True, eq=False)
class ScanCount:
    """So many scans, each with this time since the one before it; ``count`` None: one."""

    count: Whole | None
    time: Time
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class ScanTimesStatement(StatementNode):
    """The elapsed time of every scan of the run, in order."""

    counts: tuple[ScanCount, ...]


@dataclass(frozen=True, eq=False)
class TimesBeforeStatement(StatementNode):
    """The same of the samples before the first scan."""

    counts: tuple[ScanCount, ...]


@dataclass(frozen=True, eq=False)
class EndStatement(StatementNode):
    """``UNTIL time``: the run ends with the first scan that is not earlier."""

    time: Time


@dataclass(frozen=True, eq=False)
class ScenarioTree:
    name: Identifier
    statements: tuple[StatementNode, ...]
    source: SourceText
    times: tuple[Time, ...]
    span: Span = field(repr=False)

    def all(self, kind: type[Kind]) -> list[Kind]:
        return [statement for statement in self.statements if isinstance(statement, kind)]
