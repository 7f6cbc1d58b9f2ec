"""``twohand schema``: the JSON Schemas of the documents."""

from __future__ import annotations

import json

import click

from twohand.commands.shared.options import display_options
from twohand.commands.shared.session import say
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode
from twohand.text.suggestions import nearest


@click.command()
@click.argument("name", required=False)
@display_options
def schema(terminal: Terminal, name: str | None) -> int:
    """Print the JSON Schema of the documents of a kind; without NAME, list the kinds.

    The dialect is draft 2020-12. NAME is the 'format' of a document without 'twohand-'.
    """
    from twohand.gate.documents import KINDS  # loads all analyses
    from twohand.record.document import document_schema

    if name is None:
        width = max(map(len, KINDS))
        lines = [f"{kind:{width}}  twohand {each.command} --json" for kind, each in KINDS.items()]
        say(lines, terminal)
        return ExitCode.ALL_PROVED
    wanted = name.casefold().removeprefix("twohand-")
    if wanted not in KINDS:
        by = {each.command: kind for kind, each in KINDS.items()}
        close = nearest(wanted, [*KINDS, *by])
        meant = f"did you mean '{by.get(close, close)}'? " if close else ""
        message = f"there is no document '{wanted}'; {meant}there is {', '.join(KINDS)}"
        raise click.BadParameter(message, param_hint="'[NAME]'")
    # Escaped, so that every console shows the same.
    say(json.dumps(document_schema(KINDS[wanted]), indent=2), terminal)
    return ExitCode.ALL_PROVED
