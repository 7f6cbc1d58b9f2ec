"""Which faulty blocks of the gallery two small changes mend, and that the search finds them.

All of them are tried by ``python -m tests.search``.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from twohand.engine.workers.pool import Pool

from tests.search.gallery_mendings import mended
from tests.support.gallery_mended import BEYOND_TWO, WITHIN_TWO
from tests.support.places import GALLERY

_VIOLATED = re.compile(r"\bEXPECT\s+VIOLATED\b")


def test_each_faulty_spec_of_the_gallery_is_within_two_changes_or_has_a_reason() -> None:
    faulty = {
        path.stem
        for path in GALLERY.glob("*.spec")
        if _VIOLATED.search(path.read_text(encoding="utf-8"))
    }
    assert not WITHIN_TWO.keys() & BEYOND_TWO.keys()
    assert WITHIN_TWO.keys() | BEYOND_TWO.keys() == faulty
    assert all(BEYOND_TWO.values())
    assert all(near.found != bool(near.why) for near in WITHIN_TWO.values())
    assert 3 * sum(near.found for near in WITHIN_TWO.values()) >= 2 * len(WITHIN_TWO)


@pytest.mark.long
@pytest.mark.parametrize("name", ["armed_by_one_release", "retained_run_bit"])
def test_a_mended_gallery_block_is_confirmed_by_a_check_of_its_text(
    name: str, tmp_path: Path, pool: Pool
) -> None:
    mended(name, tmp_path, pool)
