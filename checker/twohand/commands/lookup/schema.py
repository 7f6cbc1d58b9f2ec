"""``twohand schema``: the JSON Schemas of the documents."""

from __future__ import annotations

import json
from functools import partial

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
    from twohand.gate.documents import IN_PARTS, KINDS  # loads all analyses
    from twohand.record.document import document_schema
    from twohand.record.parts.part import ENDING, part_schema

    schemas = {kind: partial(document_schema, each) for kind, each in KINDS.items()}
    schemas |= {kind + ENDING: partial(part_schema, each) for kind, each in IN_PARTS.items()}
    if name is None:
        shown = {kind: f"{each.command} --json" for kind, each in KINDS.items()}
        shown |= {k + ENDING: f"{e.command} --part K/N --json" for k, e in IN_PARTS.items()}
        width = max(map(len, shown))
        say([f"{kind:{width}}  twohand {words}" for kind, words in shown.items()], terminal)
        return ExitCode.ALL_PROVED
    wanted = name.casefold().removeprefix("twohand-")
    if wanted not in schemas:
        by = {each.command: kind for kind, each in KINDS.items()}
        close = nearest(wanted, [*schemas, *by])
        meant = f"did you mean '{by.get(close, close)}'? " if close else ""
        message = f"there is no document '{wanted}'; {meant}there is {', '.join(schemas)}"
        raise click.BadParameter(message, param_hint="'[NAME]'")
    # Escaped, so that every console shows the same.
    say(json.dumps(schemas[wanted](), indent=2), terminal)
    return ExitCode.ALL_PROVED
