"""What ``twohand play`` answers to the shell."""

from __future__ import annotations

from twohand.report.exit_code import ExitCode
from twohand.scenarios.play import PlayedScenario


def play_code(played: PlayedScenario) -> ExitCode:
    """A run that says nothing is no pass, and neither is one beside which others were left out."""
    if played.failures:
        return ExitCode.VIOLATED
    if not played.all_played or not played.judged:
        return ExitCode.UNDECIDED
    return ExitCode.ALL_PROVED
