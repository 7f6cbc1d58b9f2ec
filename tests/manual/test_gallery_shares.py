"""The manual's counts of changes that the gallery's specs notice; ``python -m tests.search`` counts
rows anew."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.evidence.limits import Options, open_pool

from tests.manual import gallery_shares
from tests.manual.gallery_shares import Share, counted, store, stored
from tests.support.places import GALLERY

OPTIONS = Options(processes=1)


def test_each_row_is_of_a_spec_and_all_are_in_order() -> None:
    rows = stored()
    assert rows
    assert list(rows) == sorted(rows)
    assert rows.keys() <= {path.stem for path in GALLERY.glob("*.spec")}
    assert all(each.noticed + each.not_noticed + each.undecided for each in rows.values())


def test_a_row_is_put_where_its_name_belongs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = gallery_shares.PAGE
    text = page.read_text(encoding="utf-8")
    copy = tmp_path / "audit.md"
    copy.write_text(text, encoding="utf-8")
    monkeypatch.setattr(gallery_shares, "PAGE", copy)
    rows = stored()
    store(rows["lid_press_type1"])
    assert copy.read_text(encoding="utf-8") == text
    new = Share("aaa", 1, 2, 3, 4, 5)
    store(new)
    assert stored() == {"aaa": new, **rows}
    assert copy.read_text(encoding="utf-8").replace(new.line, "") == text


@pytest.mark.long
@pytest.mark.parametrize("name", ["lid_press_type1", "both_solenoids_mended"])
def test_a_row_of_the_manual_is_what_is_counted(name: str) -> None:
    with open_pool(OPTIONS) as pool:
        assert counted(name, OPTIONS, pool) == stored()[name]
