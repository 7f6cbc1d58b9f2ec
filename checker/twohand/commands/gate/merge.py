"""``twohand merge``: the documents of all parts of an answer, as the one of the whole."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.commands.shared.document import OUTPUT, Targets, have_place, write_document
from twohand.commands.shared.options import options_to_play, stated
from twohand.commands.shared.session import Session, say
from twohand.files.reading import read_data
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.phrases import count
from twohand.text.diagnostic import InputError

if TYPE_CHECKING:
    from twohand.record.parts.merging import ReadPart
    from twohand.record.plain import Data

LARGEST = 1_000_000_000
"""Bytes of a document."""
EPILOG = """\b
Examples:
  twohand review --part 1/2 --json 1.json     (on one machine)
  twohand review --part 2/2 --json 2.json     (on another one)
  twohand merge 1.json 2.json --json review.json

\b
Exit codes: that of the command whose parts they are; 2 where a document is none of a part, is of
another version, other settings or other files, or where a part is missing or there twice.
"""


@click.command(epilog=EPILOG)
@click.argument("files", nargs=-1, required=True, metavar="FILE...", callback=stated)
@click.option("--json", metavar="FILE", help="Write the whole as JSON ('-': on the output, alone).")
@options_to_play
def merge(session: Session, files: tuple[str, ...], json: str | None) -> int:
    """Put the documents of all parts of an answer together (--part), with its exit code.

    FILEs are what 'check', 'faults' or 'review' wrote with --part and --json. The document is that
    of one run for all, but for what 'made' says. What the documents say is taken at its word.
    """
    if not have_place(Targets(json, None), session):
        return worst(session.codes)
    try:
        parts = [_read(each) for each in files]
        whole = _whole(parts)
    except InputError as error:
        session.complain(error.diagnostics)
        return worst(session.codes)
    code = ExitCode(whole["exit_code"])
    session.codes.append(code)
    if json is not None:
        target = json
        session.guard(lambda: write_document(whole, target, session.terminal), target)
    if json != OUTPUT:
        say(_lines(whole, parts, session), session.terminal)
    return worst(session.codes)


def _read(file: str) -> ReadPart:
    from twohand.gate.documents import IN_PARTS
    from twohand.record.parts.merging import read_part

    data = read_data(Path(file), LARGEST)
    return read_part(data.decode("utf-8-sig", "replace"), file, IN_PARTS)


def _whole(parts: Sequence[ReadPart]) -> Data:
    from twohand.record.parts.merging import merged

    now = datetime.now(UTC).isoformat(timespec="seconds")
    return merged(parts, lambda made: {**made, "written": now})


def _lines(whole: Data, parts: Sequence[ReadPart], session: Session) -> list[str]:
    """A line for each spec that does not pass and for each problem, and the last line."""
    terminal = session.terminal
    lines = []
    for each in whole["specs"]:
        checked = each.get("checked") or each.get("without_fault") or each
        if each["exit_code"]:
            spec = checked["spec"]
            lines.append(f"{spec['name']}  {spec['path']}: exit code {each['exit_code']}")
    for each in whole["problems"]:
        place = each["place"]
        line = f":{place['line']}:{place['column']}" if place and place["line"] else ""
        where = f"{place['path']}{line}: " if place else ""
        lines.append(f"{where}{each['text']} [{each['code']}]")
    answered = f"{count(len(whole['specs']), 'spec')} in {count(len(parts), 'part')}"
    lines.append(f"{answered}: exit code {whole['exit_code']}")
    return [part for line in lines for part in terminal.wrap(terminal.shown(line), 0, 2)]
