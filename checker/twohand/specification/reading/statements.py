"""The statements of a spec by kind, each as often as it may occur."""

from __future__ import annotations

from typing import TypeVar

from twohand.specification.problems import Problems
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.nodes import SpecificationTree, StatementNode

Kind = TypeVar("Kind", bound=StatementNode)

ONCE_ONLY: dict[type[StatementNode], str] = {
    spec.BlockStatement: "BLOCK",
    spec.ScanStatement: "SCAN",
    spec.UnitStatement: "UNIT",
    spec.IntegersStatement: "INTEGERS",
    spec.LoopsStatement: "LOOPS",
    spec.HazardStatement: "HAZARD",
    spec.RequireStatement: "REQUIRE",
    spec.AvailableStatement: "AVAILABLE",
    spec.PowerStatement: "POWER",
    spec.BounceStatement: "BOUNCE",
    spec.ArrangementStatement: "ARRANGEMENT",
    spec.NoticeStatement: "NOTICE",
    spec.StoppingStatement: "STOPPING",
    spec.ClutchStatement: "CLUTCH",
    spec.EncroachmentStatement: "ENCROACHMENT",
    spec.EditionStatement: "EDITION",
}


class StatementTable:
    """``tree``'s statements; a second one of a kind that occurs once is a problem."""

    def __init__(self, tree: SpecificationTree, problems: Problems) -> None:
        self.tree = tree
        for kind, word in ONCE_ONLY.items():
            first, *others = [*self.all(kind), None]
            for other in others:
                if first is not None and other is not None:
                    message = f"{word} occurs a second time"
                    problems.repeated("repeated-statement", message, other.span, first.span)

    def all(self, kind: type[Kind]) -> list[Kind]:
        return [statement for statement in self.tree.statements if isinstance(statement, kind)]

    def only(self, kind: type[Kind]) -> Kind | None:
        """The (first) statement of this kind."""
        return next(iter(self.all(kind)), None)
