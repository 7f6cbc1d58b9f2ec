"""Recordings: lines of time, name and value."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.scenarios.play import play
from twohand.scenarios.recording import load_recording
from twohand.text.diagnostic import InputError

from tests.scenarios.samples import written

GOOD = (
    "time,name,value\n5000,n,2\n5010.25,a,1\n5008,a,0\n5001,left,0\n5030,a,FALSE\n5030,mode,Run\n"
)
DATES = 'Time, Name, Value\n2026-05-01T08:00:00Z,n,2\n2026-05-01T10:00:00.010+02:00,"a",TRUE\n'
FAULTY = [
    ("time\n", "begins with the line", "time"),
    ("0,a,TRUE\n", "begins with the line", "0,a,TRUE"),
    ("time,name,value\n0,a\n", "2 fields", "0,a"),
    ("time;name;value\n0;a;1\n", "begins with the line", "time;name;value"),
    ("time,name,value\n0,a,TRUE,more\n", "4 fields", "0,a,TRUE,more"),
    ("time,name,value\nsoon,a,TRUE\n", "is no time", "soon"),
    ("time,name,value\nnan,a,TRUE\n", "is no time", "nan"),
    ("time,name,value\n0,a,TRUE\n2026-05-01,a,TRUE\n", "another kind", "2026-05-01"),
    ("time,name,value\n0,q,TRUE\n", "no input", "q"),
    ("time,name,value\n0,aa,TRUE\n", "unknown", "aa"),
    ("time,name,value\n0,a,2\n", "", "2"),
    ("time,name,value\n0,a,TRUE; n := 3\n", "", "TRUE; n := 3"),
    ("time,name,value\n0,a,\n", "", ""),
    ("time,name,value\n0,n,T#5ms\n", "", "T#5ms"),
    ("time,name,value\n0,n,40000\n", "", "40000"),
    ("time,name,value\n0,a := TRUE; b,TRUE\n", "", "a := TRUE; b"),
    ("time,name,value\n0,a,TRUE\n99999999999,a,FALSE\n", "more than", "99999999999"),
    ("time,name,value\n0,\"a,TRUE\n", "2 fields", "0,\"a,TRUE"),
]  # fmt: skip


def load(folder: Path, text: str) -> object:
    (folder / "r.csv").write_text(text, encoding="utf-8")
    return load_recording(folder / "r.csv", folder / "shown.spec")


def test_lines_are_changes_from_the_earliest_time_on(tmp_path: Path) -> None:
    scenario = load(written(tmp_path), GOOD)
    records = play(scenario).first.execution.records  # type: ignore[arg-type]
    assert [each.values["a"] for each in records] == [False, False, True, False]
    assert [each.values["mode"] for each in records] == [0, 0, 0, 1]
    assert {each.values["n"] for each in records} == {2}
    assert records[-1].time == 30


def test_dates_with_offsets_are_one_time(tmp_path: Path) -> None:
    scenario = load(written(tmp_path), DATES)
    records = play(scenario).first.execution.records  # type: ignore[arg-type]
    assert [(each.time, each.values["a"]) for each in records] == [(0, False), (10, True)]


@pytest.mark.parametrize(("text", "message", "place"), FAULTY, ids=range(len(FAULTY)))
def test_a_faulty_line_is_told_at_its_place(
    text: str, message: str, place: str, tmp_path: Path
) -> None:
    with pytest.raises(InputError) as raised:
        load(written(tmp_path), text)
    first = raised.value.diagnostics[0]
    assert message in first.message
    assert first.span is not None
    assert first.span.source.path.endswith("r.csv")
    assert first.span.text == place
    assert first.help
