"""Structured text to syntax tree."""

from __future__ import annotations

from checker.source import tree
from checker.source.text import SourceText


def parse_source(source: SourceText) -> tree.SourceFile:
    """The syntax tree of a file; InputError with the first syntax error, or every bad literal."""
    raise NotImplementedError
