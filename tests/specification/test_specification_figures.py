"""What a spec says for the figures of ``measure``: stop conditions, stopping times, clutch."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest
from twohand.specification.model.specification import Clutch, Stopping

from tests.support.samples.specification_samples import errors_of, load, spec_text


def test_stopping_times_are_read_part_by_part(tmp_path: Path) -> None:
    more = "STOPPING OUTPUT T#15ms, INPUT T#2.5ms, MACHINE T#120ms;"
    assert Stopping(2_500_000, 15_000_000, 120_000_000) == load(tmp_path, more).stopping


def test_a_stopping_time_measured_with_the_logic_says_so(tmp_path: Path) -> None:
    stopping = load(tmp_path, "STOPPING MACHINE T#200ms, LOGIC INCLUDED;").stopping
    assert Stopping(machine=200_000_000, logic_included=True) == stopping


def test_the_clutch_and_the_barred_encroachment_are_read(tmp_path: Path) -> None:
    found = load(
        tmp_path, "CLUTCH POINTS 14, REVOLUTION T#0.5s; ENCROACHMENT PREVENTED SHOWN BY ' V ';"
    )
    assert Clutch(14, 500_000_000) == found.clutch
    assert found.encroachment_shown_by == "V"


def test_an_edition_is_chosen_by_its_year(tmp_path: Path) -> None:
    assert [load(tmp_path, more).edition for more in ("", "EDITION 2010;", "EDITION 2024;")] == [
        None,
        2010,
        2024,
    ]


def test_stop_conditions_are_those_that_are_written(tmp_path: Path) -> None:
    found = load(tmp_path, "STOPPED_BY stop, NOT guardShut; STOPPED_BY once(stop, T#20ms);")
    assert [each.text for each in found.stops] == ["stop", "NOT guardShut", "once(stop, T#20ms)"]


def test_a_spec_says_nothing_of_stopping_unless_it_is_stated(tmp_path: Path) -> None:
    found = load(tmp_path, "")
    assert (
        found.stops,
        found.stopping,
        found.clutch,
        found.encroachment_shown_by,
        found.edition,
        found.hazard,
    ) == ((), None, None, None, None, None)


def test_a_fine_stopping_time_does_not_refine_the_unit(tmp_path: Path) -> None:
    more = "STOPPING MACHINE T#120.25ms; CLUTCH POINTS 3, REVOLUTION T#0.0001s;"
    assert load(tmp_path, "").clocking == load(tmp_path, more).clocking


class Fault(NamedTuple):
    """The place is in « »."""

    code: str
    more: str
    help: str


FAULTS = [
    Fault("missing-evidence", "«ENCROACHMENT PREVENTED»;", "SHOWN BY 'who"),
    Fault("missing-evidence", "ENCROACHMENT PREVENTED SHOWN BY «' '»;", "or leave it out"),
    Fault("unknown-edition", "EDITION «2002»;", "write EDITION 2024;"),
    Fault("repeated-statement", "EDITION 2010; «EDITION 2024»;", "remove one"),
    Fault("time-not-positive", "STOPPING MACHINE «T#0ms»;", "greatest stopping time"),
    Fault("negative-time", "STOPPING INPUT «T#-3ms», MACHINE T#1ms;", "without its sign"),
    Fault("missing-machine-time", "«STOPPING LOGIC INCLUDED»;", "MACHINE T#120ms"),
    Fault("time-not-positive", "CLUTCH POINTS 1, REVOLUTION «T#0s»;", "60 strokes a minute"),
    Fault("too-few-points", "CLUTCH POINTS «0», REVOLUTION T#1s;", "CLUTCH POINTS 14"),
    Fault("repeated-stop", "STOPPED_BY stop, guardShut, «STOP»;", "remove one"),
    Fault("repeated-statement", "CLUTCH POINTS 1, REVOLUTION T#1s; «CLUTCH POINTS 2, "
          "REVOLUTION T#1s»;", "remove one"),
    Fault("unknown-name", "STOPPED_BY «guardShur»;", "guardShut"),
]  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault.code}: {fault.more}")
def test_what_is_wrong_is_told_at_its_place(tmp_path: Path, fault: Fault) -> None:
    before, place, _ = fault.more.replace("«", "|").replace("»", "|").split("|")
    more = fault.more.replace("«", "").replace("»", "")
    (error,) = errors_of(tmp_path, spec_text(more))
    assert fault.code == error.code
    assert fault.help in error.help
    assert error.span is not None
    assert place == error.span.text
    text = error.span.source.text
    assert text.index(more) + len(before) == error.span.start
