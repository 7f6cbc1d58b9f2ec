"""``twohand cache``: the answers that are kept between runs."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.commands.gate.asking import WAY
from twohand.commands.shared.options import (
    cache_option,
    display_options,
    only_one,
    shared_options,
)
from twohand.commands.shared.session import Session, say
from twohand.gate.project.answer_caches import AnswerCaches
from twohand.report.drawing.diagnostics import diagnostic_lines
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.phrases import count
from twohand.text.diagnostic import Diagnostic

if TYPE_CHECKING:
    from twohand.evidence.cache.answers import AnswerCache
    from twohand.evidence.cache.folder import CacheFolder
    from twohand.evidence.cache.question import Plain


@click.group("cache")
def cache() -> None:
    """Show how large the kept answers are, clear them, or say why a spec is asked anew.

    They lie in the folder .twohand of a project, or where --cache says. Nothing in it is trusted.
    """


@cache.command("size")
@cache_option
@display_options
def size(terminal: Terminal, cache: Path | None) -> int:
    """Show how many answers are kept, and how large they are."""
    folder = _folder(terminal, cache)
    if folder is None:
        return ExitCode.UNUSABLE
    text = f"{count(len(folder.entries()), 'answer')}, {folder.bytes() / 1e3:,.0f} kB"
    say(terminal.shown(f"{text} in {_shown(folder)}"), terminal)
    return ExitCode.ALL_PROVED


@cache.command("clear")
@cache_option
@display_options
def clear(terminal: Terminal, cache: Path | None) -> int:
    """Remove all kept answers, and nothing else."""
    folder = _folder(terminal, cache)
    if folder is None:
        return ExitCode.UNUSABLE
    there, left = folder.clear()
    say(terminal.shown(f"{count(there - left, 'file')} removed in {_shown(folder)}"), terminal)
    if left:
        message = f"{count(left, 'file')} cannot be removed"
        way = "see that the folder may be written"
        _complain(Diagnostic("not-written", message, path=_shown(folder), help=way), terminal)
        return ExitCode.UNUSABLE
    return ExitCode.ALL_PROVED


@cache.command("why", epilog="The exit code says nothing of the verdicts.")
@click.argument("spec", nargs=-1, required=True, metavar="SPEC", callback=only_one)
@shared_options
def why(session: Session, spec: str) -> int:
    """Check SPEC, and say which answers were kept, and why others were not."""
    path = Path(spec)
    session.subject = path
    session.guard(lambda: _explained(session, path, spec), spec)
    return worst(session.codes)


def _explained(session: Session, path: Path, spec: str) -> ExitCode:
    answers = session.caches.of(path)
    if answers is None:
        session.complain([_no_cache(spec)])
        return ExitCode.UNUSABLE
    from twohand.evidence.cache.reasons import kept_questions

    before = kept_questions(answers.folder)
    for _ in session.check(path, spec):
        pass
    lines = [f"{spec}, with the answers in {_shown(answers.folder)}", *_uses(answers, before)]
    wrapped = [line for each in lines for line in session.terminal.wrap(each, 0, 4)]
    say(wrapped, session.terminal)
    return ExitCode.ALL_PROVED


def _uses(answers: AnswerCache, before: list[Plain]) -> Iterator[str]:
    from twohand.evidence.cache.answers import Use
    from twohand.evidence.cache.reasons import why_missed

    for use in (Use.HELD, Use.DROPPED, Use.NOT_KEPT):
        if answers.uses[use]:
            yield f"  {answers.uses[use]} {use.value}"
    for reason, number in Counter(why_missed(e, before) for e in answers.missed).items():
        yield f"  {number} asked anew: {reason}"


def _folder(terminal: Terminal, cache: Path | None) -> CacheFolder | None:
    """The one that is meant; complains where there is no project."""
    place = AnswerCaches(cache).place(Path())
    if place is None:
        _complain(_no_cache("."), terminal)
        return None
    from twohand.evidence.cache.folder import CacheFolder

    return CacheFolder(place[0])


def _no_cache(shown: str) -> Diagnostic:
    message = "there is no project file here or above, and no --cache: no answers are kept"
    return Diagnostic("no-project-file", message, path=shown, help=WAY)


def _complain(diagnostic: Diagnostic, terminal: Terminal) -> None:
    say([*diagnostic_lines(diagnostic, terminal), ""], terminal, err=True)


def _shown(folder: CacheFolder) -> str:
    return os.path.relpath(folder.root)
