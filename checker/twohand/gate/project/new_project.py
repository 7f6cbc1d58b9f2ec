"""A project file for a repository that has none."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path

from twohand.files.suffixes import SPECIFICATION
from twohand.gate.project.project_file import WAIVERS, is_passed_over

_TEXT = """\
# What every change of this repository is asked: twohand review
# Paths begin in the folder of this file; see 'twohand manual gate'.

# Spec files, and folders: every spec below them, also those to come.
specs = {specs}

# What of it is not asked: specs that are meant to fail, as in a folder of examples.
exclude = []

# Work for each requirement, counted, never timed.
effort = 60

# Nothing outside of this folder is read, whatever a spec names.
confined = "."

# Of which specs the block is inspected as well, and for which a fault table is asked.
inspections = []
faults = []

# What somebody answers for although it is not proved: twohand waive
waivers = {waivers}

# A figure of 'twohand measure', and what it may be:
# [[figures]]
# spec = "press.spec"
# figure = "Press/reaction/left"
# at_most = "T#200ms"

# [outputs]
# json = "review.json"
# junit = "review.xml"
# sarif = "review.sarif"
"""


def spec_files_below(folder: Path) -> Iterator[Path]:
    """Every spec file below a folder, sorted; hidden folders and installed environments are passed
    over. OSError where a folder cannot be listed."""
    for place, folders, names in os.walk(folder, onerror=_refuse):
        folders[:] = sorted(each for each in folders if not is_passed_over(Path(place, each)))
        yield from (Path(place, name) for name in sorted(names) if name.endswith(SPECIFICATION))


def _refuse(error: OSError) -> None:
    raise error


def project_text(folder: Path, specs: list[Path]) -> str:
    """The project file for these specs of a folder: the folders below it that have some, or the
    folder itself where a spec lies in it."""
    inside = [spec.relative_to(folder).parts for spec in specs]
    whole = any(len(parts) == 1 for parts in inside)
    names = ["."] if whole else sorted({parts[0] for parts in inside})
    return _TEXT.format(specs=_array(names), waivers=quoted(WAIVERS))


def _array(names: list[str]) -> str:
    return f"[{', '.join(map(quoted, names))}]"


def quoted(text: str) -> str:
    """As TOML has it: of the escapes of JSON it knows all but those of surrogate halves, which no
    file of UTF-8 can have."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
