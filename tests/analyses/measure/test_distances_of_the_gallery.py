"""The distances of the gallery's machines: a stopping time, and a clutch."""

from __future__ import annotations

import json
from typing import Any

import pytest
from twohand.commands import main as cli

from tests.support.places import GALLERY, from_here


def distances(name: str, capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    cli.run(["measure", from_here(GALLERY / f"{name}.spec"), "--processes", "1", "--json", "-"])
    (measured,) = json.loads(capsys.readouterr().out)["specs"]
    found: dict[str, Any] = measured["distances"]
    return found


@pytest.mark.long
def test_a_stop_takes_the_device_the_logic_and_the_machine(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """T = 3 + 40 + 15 + 120 ms; 1600 x 0.178 + 250 = 534.8 mm; 63 x 0.178 = 11.214 in
    (arithmetic)."""
    found = distances("lid_press_distance", capsys)
    assert (found["seconds"], found["missing"]) == (0.178, "")
    result, older, control = found["by_stopping_time"]
    assert (older["millimetres"], older["calculated"]) == (534.8, "2674/5")
    assert (result["beside"], older["beside"]) == ("", "the older edition's")
    assert result["millimetres"] > older["millimetres"]
    assert control["inches"] == 11.214


@pytest.mark.long
def test_a_trip_takes_its_clutch_alone(capsys: pytest.CaptureFixture[str]) -> None:
    """(1/2 + 1/14) x 0.5 s = 2/7 s; 63 x 2/7 = 18 in (29 CFR 1910.217(c)(3)(viii)(c);
    arithmetic)."""
    found = distances("trip_distance", capsys)
    assert (found["seconds"], found["by_stopping_time"]) == (None, [])
    assert found["missing"]
    assert found["by_clutch"]["inches"] == 18
    assert found["by_clutch"]["calculation"] == "63 in/s x 2/7 s"
