"""What every answer has: whether it passes, by the rule of the command line."""

from __future__ import annotations

from dataclasses import dataclass

from twohand.report.exit_code import ExitCode


@dataclass(frozen=True)
class Judged:
    """An answer that passes or does not. ``exit_code`` is what the command answers to the shell
    for the same question. As a condition an answer is whether it passes, so that
    ``assert twohand.check(path)`` says what it seems to say."""

    exit_code: ExitCode

    @property
    def passes(self) -> bool:
        """Everything that counts was decided, and in favour: exit code 0."""
        return self.exit_code is ExitCode.ALL_PROVED

    def __bool__(self) -> bool:
        return self.passes
