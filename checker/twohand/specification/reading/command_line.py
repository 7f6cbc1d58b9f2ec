"""Statements of the spec language that are on the command line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from twohand.specification.problems import Problems
from twohand.specification.reading.statements import StatementTable
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.parse import parse_specification
from twohand.text.source_text import COMMAND_LINE, SourceText

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


def stated_parts(
    name: str, lines: Iterable[str], limits: Limits, problems: Problems
) -> StatementTable:
    """Statements of the spec language, of which each is in a line of its own. InputError for
    what is no statement; ``problems`` gets those that say nothing here."""
    statements = "".join(f"{line.rstrip().rstrip(';')};\n" for line in lines)
    text = f"SPEC {name}\n{statements}END_SPEC\n"
    tree = parse_specification(SourceText(COMMAND_LINE, text))
    for statement in tree.statements:
        if not isinstance(statement, limits.allowed):
            problems.error(limits.code, limits.message, statement.span, limits.way)
    return StatementTable(tree, problems)
