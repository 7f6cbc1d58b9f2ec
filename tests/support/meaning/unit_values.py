"""The values of variables scan by scan, in both rooms, and what is refused."""

from __future__ import annotations

import pytest
from twohand.program.types import Value
from twohand.text.diagnostic import InputError

from tests.support.meaning.both_rooms import both_rooms
from tests.support.meaning.typed_programs import program


def values(
    declarations: str, body: str, names: str, before: str = "", scans: int = 1, **inputs: str
) -> list[list[Value] | str]:
    """The names' values in each scan; ``inputs`` are Boolean, ``"0110"``."""
    given = "".join(f"{name} : BOOL; " for name in inputs)
    tested = program(f"VAR_INPUT {given} END_VAR {declarations}", body, before)
    rows = [
        {name: text[scan] == "1" for name, text in inputs.items()}
        for scan in range(max([scans, *map(len, inputs.values())]))
    ]
    return both_rooms(tested, rows, names.split())


def refused(declarations: str, body: str, before: str = "") -> list[str]:
    with pytest.raises(InputError) as caught:
        program(declarations, body, before)
    return [problem.code for problem in caught.value.diagnostics]
