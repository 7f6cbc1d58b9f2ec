"""Which properties only ask that the output goes on, judged by where it stands in them."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.specification.catalogue.liveness import asks_for_output

from tests.support.samples.specification_samples import load


@pytest.mark.parametrize(
    ("formula", "asks"),
    [
        ("left AND right -> enable", True),
        ("left -> enable OR stop WITHIN 2 SCANS", True),
        ("NOT guardShut OR enable", True),
        ("NOT (left AND NOT enable)", True),
        ("enable -> enable", False),  # both ways
        ("enable -> left", False),
        ("NOT guardShut -> NOT enable", False),
        ("left -> NOT enable UNTIL right", False),
        ("left -> rose(enable)", False),  # an edge wants it off before
        ("left -> enable = stop", False),  # a comparison can go either way
        ("left -> enable XOR stop", False),
        ("left -> lamp", False),  # not an OUTPUT of the spec
        ("left -> prev(enable)", True),
        ("left -> once(enable)", True),
        ("left -> (enable SINCE right)", True),
        ("left -> enable BEFORE stop", False),
    ],
)
def test_a_property_asks_for_the_output_where_only_an_output_that_is_off_breaks_it(
    tmp_path: Path, formula: str, asks: bool
) -> None:
    spec = load(tmp_path, f"PROPERTY p : {formula};")
    (found,) = (r for r in spec.requirements if r.identifier == "p")
    assert asks_for_output(found.property, spec.outputs) is asks


def test_available_asks_for_the_output_and_prohibitions_do_not(tmp_path: Path) -> None:
    spec = load(tmp_path, "AVAILABLE WITHIN 0 SCANS WHEN guardShut;")
    asking = {r.identifier for r in spec.requirements if asks_for_output(r.property, spec.outputs)}
    assert asking == {"available"}
