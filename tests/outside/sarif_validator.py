"""SARIF documents of the gallery are looked at by a validator that knows the schema of the OASIS
standard and its rules: the command ``Sarif.Multitool``."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

from twohand.commands.shared.gallery_files import gallery_folder
from twohand.evidence.limits import Options
from twohand.formats.items import spec_items
from twohand.formats.sarif import sarif_text
from twohand.report.exit_code import ExitCode
from twohand.specification.load import load_specification

COMMAND = "Sarif.Multitool"
SPECS = ("tied_down_ladder", "lot_counter", "lid_press_locks_out", "written_twice", "beam_press")
_NO_ADDRESS = "SARIF2005"
"""It wants the address of a page about the tool, and there is none."""


def documents() -> Iterator[tuple[str, str]]:
    from twohand.analyses.check.check import check
    from twohand.analyses.check.record import checked_spec

    checked = []
    for name in SPECS:
        spec = load_specification(gallery_folder() / f"{name}.spec", f"{name}.spec")
        checked.append(checked_spec(check(spec, Options())))
        yield name, sarif_text([spec_items(checked[-1])], [], checked[-1].exit_code)
    yield "all of them", sarif_text([*map(spec_items, checked)], [], ExitCode.VIOLATED)


def compared(command: str) -> tuple[int, list[str]]:
    wrong, looked_at = [], 0
    with TemporaryDirectory() as folder:
        for name, text in documents():
            looked_at += 1
            path = Path(folder) / "document.sarif"
            path.write_text(text, encoding="utf-8")
            line = [command, "validate", str(path)]
            said = subprocess.run(line, capture_output=True, text=True, check=False).stdout
            wrong += [
                f"{name}: {each}"
                for each in said.splitlines()
                if (" warning " in each or " error " in each) and _NO_ADDRESS not in each
            ]
            if "Analysis completed successfully" not in said:
                wrong.append(f"{name}: the validator came to no end")
    return looked_at, wrong
