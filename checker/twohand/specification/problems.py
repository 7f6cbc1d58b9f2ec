"""Collecting what is wrong, so that one run reports it all."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TypeVar

from twohand.text.diagnostic import Diagnostic, InputError, Severity, collected
from twohand.text.source_text import Span

Key = TypeVar("Key")
REMOVE_ONE = "remove one of them"


class Problems:
    """Errors and warnings in the order in which they were found."""

    def __init__(self) -> None:
        self.errors: list[Diagnostic] = []
        self.warnings: list[Diagnostic] = []

    @contextmanager
    def collected(self) -> Iterator[None]:
        """An InputError within ends the block and is kept for later."""
        with collected(self.errors):
            yield

    def error(self, code: str, message: str, span: Span, help_text: str = "") -> None:
        self.errors.append(Diagnostic(code, message, span, help_text))

    def repeated(
        self, code: str, message: str, span: Span, first: Span, help_text: str = REMOVE_ONE
    ) -> None:
        """An error about a second one, which shows the first as well."""
        shown = ((first, "first here"),)
        self.errors.append(Diagnostic(code, message, span, help_text, shown))

    def is_new(
        self,
        seen: dict[Key, Span],
        key: Key,
        span: Span,
        message: str,
        help_text: str = "choose another name",
        code: str = "repeated-name",
    ) -> bool:
        """Whether ``seen`` does not have the key yet, and gets it; an error where it has."""
        if key in seen:
            self.repeated(code, message, span, seen[key], help_text)
            return False
        seen[key] = span
        return True

    def warn(self, code: str, message: str, span: Span, help_text: str = "") -> None:
        self.warnings.append(Diagnostic(code, message, span, help_text, severity=Severity.WARNING))

    def raise_if_any(self) -> None:
        """InputError with every error so far, each place and cause once."""
        unique = {(d.code, d.message, d.path, _place(d.span)): d for d in self.errors}
        if unique:
            raise InputError(unique.values())


def _place(span: Span | None) -> tuple[str, int, int] | None:
    return None if span is None else (span.source.path, span.start, span.end)
