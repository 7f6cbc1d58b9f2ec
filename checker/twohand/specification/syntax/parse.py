"""The spec language to its syntax tree."""

from __future__ import annotations

from functools import cache

from lark import Lark

from twohand.specification.syntax.build_statements import StatementBuilder
from twohand.specification.syntax.messages import unknown_statement
from twohand.specification.syntax.nodes import SpecificationTree
from twohand.specification.syntax.statement_reader import Language, read_texts
from twohand.specification.syntax.words import END, START, STATEMENTS, TERMINALS
from twohand.syntax.lexing.keywords import EXPRESSION_KEYWORDS
from twohand.syntax.parsing.parse import build_parser
from twohand.text.diagnostic import wrong
from twohand.text.resources import grammar_text
from twohand.text.source_text import SourceText

PROGRAM_HELP = (
    "this is a program; check a spec that names it (SPEC Name SOURCE 'file.st'; ...), or inspect "
    "it without one: twohand inspect {path}"
)


@cache
def _parser() -> Lark:
    words = {word: word for word in EXPRESSION_KEYWORDS}
    return build_parser(grammar_text("specification"), "specification_statement", words)


_SPECIFICATIONS = Language(
    start=START,
    end=END,
    noun="spec",
    missing="missing-spec",
    begins="a spec begins with SPEC and its name",
    statements=STATEMENTS,
    terminals=TERMINALS,
    parser=_parser,
    builder=StatementBuilder,
    unknown=unknown_statement,
    other_starts=frozenset(("FUNCTION_BLOCK", "FUNCTION", "PROGRAM", "TYPE")),
    other=PROGRAM_HELP,
)


def parse_specification(source: SourceText) -> SpecificationTree:
    """The syntax tree of a file with one spec; InputError with every syntax error in it, and
    where there are several specs."""
    trees = parse_specifications(source)
    if len(trees) > 1:
        span = trees[1].name.span
        message, way = "the file has more than one spec", "put each into a file of its own"
        raise wrong("several-specs", message, span, way)
    return trees[0]


def parse_specifications(source: SourceText) -> tuple[SpecificationTree, ...]:
    """The syntax trees of a file's specs, at least one; InputError with every syntax error."""
    return tuple(
        SpecificationTree(each.name, each.statements, source, each.times, each.span)
        for each in read_texts(source, _SPECIFICATIONS)
    )
