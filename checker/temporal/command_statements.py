"""Statements of the spec language that stand on the command line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from checker.source import specification_tree as spec
from checker.source.specification_parse import parse_specification
from checker.source.text import COMMAND_LINE, SourceText
from checker.temporal.parts import Parts
from checker.temporal.problems import Problems

PLATFORM = (
    spec.ScanStatement,
    spec.ReadingStatement,
    spec.IntegersStatement,
    spec.LoopsStatement,
    spec.UnitStatement,
)
"""What a command line may state wherever it has ``--platform``."""


@dataclass(frozen=True)
class Limits:
    """The statements that a command line may have, and what is said of any other."""

    allowed: tuple[type, ...]
    code: str
    message: str
    way: str


def stated_parts(name: str, lines: Iterable[str], limits: Limits, problems: Problems) -> Parts:
    """Statements of the spec language, of which each stands in a line of its own. InputError for
    what is no statement; ``problems`` gets those that say nothing here."""
    statements = "".join(f"{line.rstrip().rstrip(';')};\n" for line in lines)
    text = f"SPEC {name}\n{statements}END_SPEC\n"
    tree = parse_specification(SourceText(COMMAND_LINE, text))
    for statement in tree.statements:
        if not isinstance(statement, limits.allowed):
            problems.error(limits.code, limits.message, statement.span, limits.way)
    return Parts(tree, problems)
