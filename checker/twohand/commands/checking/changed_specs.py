"""What the commands that change the block of a spec have in common: each spec of a file, told as it
comes, then the cautions and the total."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Generic, TypeVar

from twohand.commands.shared.session import Session, say
from twohand.report.cautions import below_heading
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.phrases import wall_time

if TYPE_CHECKING:
    from twohand.analyses.audit.changes.subject import ChangeableSpec

Found = TypeVar("Found")


@dataclass(frozen=True)
class Telling(Generic[Found]):
    """How a command asks a spec, and what it says of what came out."""

    ask: Callable[[ChangeableSpec], Found]
    lines: Callable[[Found, Terminal, bool], list[str]]
    cautions: Callable[[Sequence[Found]], list[str]]
    total: Callable[[Sequence[Found]], str]
    code: Callable[[Found], ExitCode]


def ask_each(
    session: Session, shown: str, details: bool, telling: Callable[[], Telling[Found]]
) -> int:
    """The exit code. What came out is told even where the last specs of the file come to no end;
    ``telling`` loads what it needs once the file is read."""
    session.guard(lambda: _told(session, Path(shown), details, telling), shown)
    return worst(session.codes)


def _told(
    session: Session, path: Path, details: bool, telling: Callable[[], Telling[Found]]
) -> ExitCode:
    terminal, found = session.terminal, list[Found]()
    session.progress("reading")
    from twohand.analyses.audit.changes.subject import load_changeable_specs  # loads the parser

    try:
        subjects = load_changeable_specs(path, str(path))
        told = telling()
        for subject in subjects:
            found.append(told.ask(subject))
            session.progress.clear()
            say([*told.lines(found[-1], terminal, details), ""], terminal)
    finally:
        session.progress.clear()
    say([*below_heading(told.cautions(found), terminal), ""], terminal)
    total = f"{told.total(found)}, {wall_time(time.monotonic() - session.began)}"
    say(terminal.wrap(total, 0, 2), terminal)
    return worst(told.code(each) for each in found)
