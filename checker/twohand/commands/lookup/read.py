"""``twohand read``: the structured text as which a file is read."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.commands.shared.options import only_one, shared_options
from twohand.commands.shared.session import Session, say
from twohand.files.reading import read_source
from twohand.files.suffixes import SPECIFICATION
from twohand.report.drawing.diagnostics import diagnostic_lines
from twohand.report.exit_code import ExitCode, worst
from twohand.text.deceptive import invisible_signs
from twohand.text.diagnostic import InputError, wrong

if TYPE_CHECKING:
    from twohand.text.source_text import SourceText

EPILOG = """\b
For exchange files (XML of IEC 61131-10), whose ladders and function-block diagrams are translated:
this is what is checked, for a reviewer to hold against the drawing.

\b
Exit codes: 2 where something in the file cannot be read, else 0.
"""


@click.command(name="read", epilog=EPILOG)
@click.argument("file", nargs=-1, required=True, metavar="FILE", callback=only_one)
@shared_options
def read(session: Session, file: str) -> int:
    """Print the structured text as which FILE is read."""
    session.guard(lambda: _shown(session, Path(file)), file)
    return worst(session.codes)


def _shown(session: Session, path: Path) -> ExitCode:
    from twohand.exchange.file import structured_text_of  # loads the parser
    from twohand.syntax.parsing.parse import parse_source
    from twohand.text.source_map import TranslatedText
    from twohand.text.split_units import located_problems

    if path.suffix.lower() == SPECIFICATION:
        message = "this is a spec; what can be read so are source files"
        way = f"to check it, type: twohand check {path}"
        raise wrong("spec-for-source", message, None, way, path=str(path))
    source = structured_text_of(read_source(path, str(path)))
    lines = _readable(source).expandtabs(4).strip("\n").split("\n")
    say([session.terminal.shown(line) for line in lines], session.terminal)
    original = source.original if isinstance(source, TranslatedText) else source
    unseen = invisible_signs(original)
    if unseen is not None:
        say(diagnostic_lines(unseen, session.complaints), session.complaints, err=True)
    if isinstance(source, TranslatedText) and source.refusals:
        raise InputError([problem for each in source.refusals for problem in each.problems])
    try:
        parse_source(source)
    except InputError as error:
        raise InputError(located_problems(error.diagnostics)) from None
    return ExitCode.ALL_PROVED


def _readable(source: SourceText) -> str:
    """The text with a comment in place of each part of which only the names are known."""
    from twohand.text.source_map import TranslatedText

    text = source.text
    refusals = source.refusals if isinstance(source, TranslatedText) else ()
    for refusal in sorted(refusals, key=lambda each: each.start, reverse=True):
        what = " ".join(text[refusal.start : refusal.end].split()[:2])
        text = f"{text[: refusal.start]}(* {what}: not read *)\n{text[refusal.end :]}"
    return text
