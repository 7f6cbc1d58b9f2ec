"""What is wrong with an input, as data; the text for people is formed in ``report``."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from enum import Enum

from twohand.text.source_text import Span


class Severity(Enum):
    """How much a diagnostic weighs; the values are the words of reports."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True)
class Diagnostic:
    """One cause, one message.

    ``code`` is stable and made of plain words (``unknown-name``); ``message`` is read alone, lower
    case, without a final full stop, and says what is wrong; ``help`` says what would be right.
    ``path`` is given where there is no span (a missing file).
    """

    code: str
    message: str
    span: Span | None = None
    help: str = ""
    related: tuple[tuple[Span, str], ...] = ()
    severity: Severity = Severity.ERROR
    path: str = ""


class InputError(Exception):
    """The user's input cannot be used; ``diagnostics`` has everything that is wrong with it."""

    def __init__(self, diagnostics: Diagnostic | Iterable[Diagnostic]) -> None:
        if isinstance(diagnostics, Diagnostic):
            diagnostics = (diagnostics,)
        self.diagnostics: tuple[Diagnostic, ...] = tuple(diagnostics)
        super().__init__(*self.diagnostics)

    def __str__(self) -> str:
        """Each message behind its place; reports show diagnostics in full."""
        return "; ".join(_placed(diagnostic) for diagnostic in self.diagnostics)

    def __reduce__(self) -> tuple[type[InputError], tuple[tuple[Diagnostic, ...]]]:
        """To be pickled: an exception would be made again of its text."""
        return InputError, (self.diagnostics,)


def wrong(
    code: str,
    message: str,
    span: Span | None,
    help_text: str = "",
    related: tuple[tuple[Span, str], ...] = (),
    path: str = "",
) -> InputError:
    """The error of one cause, to be raised; the parts are those of Diagnostic."""
    return InputError(Diagnostic(code, message, span, help_text, related, path=path))


@contextmanager
def collected(problems: list[Diagnostic]) -> Iterator[None]:
    """An InputError within ends the block, and what is wrong goes to ``problems``."""
    try:
        yield
    except InputError as error:
        problems.extend(error.diagnostics)


class AlreadyReported(InputError):  # noqa: N818 - a state, no error of its own
    """What is used was declared wrongly, which is reported at the declaration: nothing to add."""

    def __init__(self) -> None:
        super().__init__(())


def _placed(diagnostic: Diagnostic) -> str:
    span = diagnostic.span
    where = f"{span.source.path}:{span.line}:{span.column}" if span else diagnostic.path
    return f"{where}: {diagnostic.message}" if where else diagnostic.message


def position_in_file(diagnostic: Diagnostic) -> tuple[str, int]:
    """To sort by: the file and the place in it."""
    span = diagnostic.span
    return (span.source.path, span.start) if span else (diagnostic.path, 0)
