"""What the commands that change the block of a spec have in common: each spec of a file, told as it
comes, then the cautions and the total."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Generic, Protocol, TypeVar

from twohand.commands.shared.document import Targets, have_place, limits_of, write_answer
from twohand.commands.shared.session import Session, say
from twohand.record.document import DocumentKind, spent_on
from twohand.record.judged import Judged
from twohand.report.cautions import below_heading
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.phrases import wall_time

if TYPE_CHECKING:
    from twohand.analyses.audit.changes.subject import ChangeableSpec


class OfSpec(Protocol):
    """What came out of one spec of a file, in ``seconds``."""

    @property
    def subject(self) -> ChangeableSpec: ...

    @property
    def seconds(self) -> float: ...


Found = TypeVar("Found", bound=OfSpec)


@dataclass(frozen=True)
class Telling(Generic[Found]):
    """How a command asks a spec, and what it says of what came out; ``result`` is that as plain
    data, and ``kind`` its document, of which the ``wishes`` are options."""

    ask: Callable[[ChangeableSpec], Found]
    lines: Callable[[Found, Terminal, bool], list[str]]
    cautions: Callable[[Sequence[Found]], list[str]]
    total: Callable[[Sequence[Found]], str]
    code: Callable[[Found], ExitCode]
    result: Callable[[Sequence[Found]], Judged]
    kind: DocumentKind
    wishes: dict[str, Any]


def ask_each(
    session: Session,
    shown: str,
    details: bool,
    targets: Targets,
    telling: Callable[[], Telling[Found]],
) -> int:
    """The exit code. What came out is told even where the last specs of the file come to no end;
    ``telling`` loads what it needs once the file is read."""
    found: list[Found] = []
    if have_place(targets, session):
        session.subject = Path(shown)
        session.guard(
            lambda: _told(session, Path(shown), details, targets, telling, found),
            shown,
        )
        if targets.wanted:
            session.guard(lambda: _written(session, found, targets, telling()), targets.wanted)
    return worst(session.codes)


def _told(
    session: Session,
    path: Path,
    details: bool,
    targets: Targets,
    telling: Callable[[], Telling[Found]],
    found: list[Found],
) -> ExitCode:
    """``found`` gets what came out."""
    terminal = session.terminal
    session.progress("reading")
    from twohand.analyses.audit.changes.subject import load_changeable_specs  # loads the parser

    try:
        subjects = load_changeable_specs(path, str(path))
        told = telling()
        for subject in subjects:
            found.append(told.ask(subject))
            session.progress.clear()
            if not targets.quiet:
                say([*told.lines(found[-1], terminal, details), ""], terminal)
    finally:
        session.progress.clear()
    if not targets.quiet:
        say([*below_heading(told.cautions(found), terminal), ""], terminal)
        total = f"{told.total(found)}, {wall_time(time.monotonic() - session.began)}"
        say(terminal.wrap(total, 0, 2), terminal)
    return worst(told.code(each) for each in found)


def _written(
    session: Session, found: Sequence[Found], targets: Targets, told: Telling[Found]
) -> ExitCode:
    sides = ((each.subject.specification, each.seconds) for each in found)
    spent = spent_on((spec.source.path, spec.name, seconds) for spec, seconds in sides)
    options = told.kind.options(**limits_of(session), **told.wishes)
    return write_answer(told.kind, options, told.result(found), spent, targets, session)
