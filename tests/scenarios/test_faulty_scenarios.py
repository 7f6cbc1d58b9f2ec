"""Mistakes in scenarios: their place, the user's line, a way out; damaged ones never crash."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from twohand.commands import main as cli
from twohand.scenarios.reading import load_scenarios
from twohand.text.diagnostic import InputError

from tests.scenarios.samples import written

BEGIN, END = "SCENARIO seen FOR 'shown.spec';\n", "\nEND_SCENARIO\n"
FAULTY = [
    ("missing-scenario", "«AT» T#20ms a := TRUE;", "write SCENARIO Name"),
    ("missing-scenario", "«SPEC» S SCAN T#10ms; END_SPEC", "twohand check"),
    ("missing-name", "«SCENARIO» FOR 'shown.spec'; END_SCENARIO", "write SCENARIO Name"),
    ("missing-end", "«SCENARIO» seen FOR 'shown.spec'; UNTIL T#1s;", "END_SCENARIO"),
    ("missing-for", "SCENARIO «seen» UNTIL T#1s; END_SCENARIO", "FOR 'press.spec'"),
    ("missing-file", "SCENARIO seen FOR «'show.spec'»; UNTIL T#1s; END_SCENARIO", "shown.spec"),
    ("unknown-name", "SCENARIO seen FOR 'shown.spec' SPEC «Showm»;\nEND_SCENARIO", "Shown"),
    ("repeated-name", f"{BEGIN}UNTIL T#1s;{END}SCENARIO «seen» FOR 'shown.spec'; UNTIL T#1s;{END}",
     "another name"),
    ("missing-semicolon", f"{BEGIN}AT T#20ms a := «TRUE»\nUNTIL T#1s;{END}", "';'"),
    ("unknown-statement", f"{BEGIN}«EXPECT» q;\nUNTIL T#1s;{END}", "AT T#600ms EXPECT"),
    ("unknown-statement", f"{BEGIN}«INITIALY» a := TRUE;\nUNTIL T#1s;{END}", "INITIALLY"),
    ("unexpected-text", f"{BEGIN}AT «20ms» a := TRUE;{END}", "T#20ms"),
    ("wrong-sign", f"{BEGIN}AT T#20ms a «=» TRUE;{END}", "write ':='"),
    ("unknown-name", f"{BEGIN}AT T#20ms «lef» := TRUE;{END}", "left"),
    ("not-an-input", f"{BEGIN}AT T#20ms «q» := TRUE;{END}", "EXPECT"),
    ("type-mismatch", f"{BEGIN}AT T#20ms n := «TRUE»;{END}", "INT"),
    ("value-out-of-range", f"{BEGIN}AT T#20ms n := «40000»;{END}", ""),
    ("not-constant", f"{BEGIN}AT T#20ms n := «n + 1»;{END}", "literals"),
    ("unknown-name", f"{BEGIN}AT T#20ms EXPECT «stroke»;{END}", "there is"),
    ("type-mismatch", f"{BEGIN}AT T#20ms EXPECT «n»;{END}", "compare"),
    ("unknown-name", f"{BEGIN}READING «preset_lached» TRUE;\nUNTIL T#1s;{END}", "preset_latched"),
    ("not-in-spec", f"{BEGIN}«AT T#20ms POWER OFF»;{END}", "POWER CYCLES"),
    ("not-in-spec", f"{BEGIN}«AT T#20ms CLOCK T#5s»;{END}", "leave it out"),
    ("time-before-power-up", f"{BEGIN}AT «T#-20ms» EXPECT q;{END}", "T#0s"),
    ("time-after-end", f"{BEGIN}UNTIL T#20ms; AT T#40ms «a := TRUE»;{END}", "longer"),
    ("time-after-end", f"{BEGIN}SCAN 3 * T#10ms; «AT T#40ms EXPECT q»;{END}", "longer"),
    ("time-after-end", f"{BEGIN}UNTIL T#40ms; «AT T#20ms EXPECT q WITHIN T#30ms»;{END}", "longer"),
    ("not-a-scan-time", f"{BEGIN}SCAN T#10ms, «T#20ms»;{END}", "the spec's SCAN"),
    ("not-a-scan-time", f"{BEGIN}«BEFORE T#10ms»; UNTIL T#1s;{END}", "leave it out"),
    ("repeated-statement", f"{BEGIN}SCAN T#10ms; «UNTIL T#1s»;{END}", "remove"),
    ("repeated-statement", f"{BEGIN}SCAN T#10ms; «SCAN T#10ms»;{END}", "remove"),
    ("repeated-statement", f"{BEGIN}«FOR 'shown.spec'»; UNTIL T#1s;{END}", "remove"),
    ("empty-bound", f"{BEGIN}AT T#40ms«..T#20ms» EXPECT q;{END}", "earlier"),
    ("negative-time", f"{BEGIN}AT T#40ms EXPECT q WITHIN «T#-5ms»;{END}", "sign"),
    ("scenario-too-long", f"{BEGIN.replace('seen', '«seen»')}UNTIL T#9d;{END}", "earlier"),
    ("scenario-too-long", f"{BEGIN}SCAN «200000 * T#10ms»;{END}", "fewer"),
    ("scenario-too-long", f"{BEGIN.replace('seen', '«seen»')}AT T#-9d a := TRUE;{END}", "earlier"),
    ("nothing-to-play", f"{BEGIN.replace('seen', '«seen»')}INITIALLY a := TRUE;{END}", "UNTIL"),
]  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return written(tmp_path)


NAMES = [f"{code}-{number}" for number, (code, _, _) in enumerate(FAULTY)]


@pytest.mark.parametrize(("code", "text", "way"), FAULTY, ids=NAMES)
def test_a_mistake_is_told_at_its_place_with_a_way_out(
    code: str, text: str, way: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "a.scenario").write_text(text.replace("«", "").replace("»", ""), encoding="utf-8")
    assert cli.run(["play", "--ascii", "a.scenario"]) == 2
    err = capsys.readouterr().err
    before = text[: text.index("«")]
    line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
    first, source, marks = err.splitlines()[:3]
    assert first.startswith(f"a.scenario:{line}:{column}: error: "), err
    assert first.endswith(f"[{code}]"), err
    assert "Traceback" not in err
    assert way in " ".join(err.split())
    begin, end = marks.split("|", 1)[1].index("^"), marks.split("|", 1)[1].rindex("^") + 1
    assert source.split("|", 1)[1][begin:end] == text[len(before) + 1 : text.index("»")]


def test_a_spec_of_several_has_to_be_named(folder: Path) -> None:
    spec = (folder / "shown.spec").read_text(encoding="utf-8")
    two = spec + spec.replace("SPEC Shown\n", "SPEC Other\n", 1)
    (folder / "shown.spec").write_text(two, encoding="utf-8")
    (folder / "a.scenario").write_text(f"{BEGIN}UNTIL T#1s;{END}", encoding="utf-8")
    with pytest.raises(InputError, match="2 specs"):
        load_scenarios(Path("a.scenario"))
    named = BEGIN.replace("spec'", "spec' SPEC other")
    (folder / "a.scenario").write_text(f"{named}UNTIL T#1s;{END}", encoding="utf-8")
    (scenario,) = load_scenarios(Path("a.scenario"))
    assert scenario.specification.name == "Other"


def test_the_spec_fixes_a_reading_otherwise(tmp_path: Path) -> None:
    folder = written(tmp_path, "READING preset_latched FALSE;")
    (folder / "a.scenario").write_text(
        f"{BEGIN}READING preset_latched TRUE; UNTIL T#1s;{END}", encoding="utf-8"
    )
    with pytest.raises(InputError, match="preset_latched FALSE"):
        load_scenarios(folder / "a.scenario")


WHOLE = f"""{BEGIN}READING preset_latched TRUE;
INITIALLY n := -3, mode := Run;
AT T#-20ms left := TRUE, w := 16#FF;
AT T#20ms t := T#20ms; AT T#40ms EXPECT once(q, T#20ms) -> prev(a);
AT T#20ms..T#40ms EXPECT NOT q; ALWAYS EXPECT n < 5;
SCAN T#10ms, 12 * T#10ms; BEFORE 3 * T#10ms;{END}"""
BITS = (
    ";",
    "'",
    "T#",
    "AT",
    "EXPECT",
    "..",
    ":=",
    "(",
    "END_SCENARIO",
    "SCAN",
    "9" * 30,
    "\0",
    "é",
)


def damaged(seed: int, text: str = WHOLE) -> str:
    """Some signs left out, doubled, swapped or put in."""
    random = Random(seed)
    for _ in range(random.randint(1, 4)):
        place = random.randrange(len(text))
        upto = min(len(text), place + random.randint(1, 12))
        new = random.choice(("", text[place:upto] * 2, random.choice(BITS), text[upto:place]))
        text = text[:place] + new + text[upto:]
    return text


@pytest.mark.parametrize("start", [0, pytest.param(20, marks=pytest.mark.long)])
def test_a_damaged_scenario_is_played_or_refused_at_a_place(start: int, tmp_path: Path) -> None:
    folder = written(tmp_path)
    for seed in range(start, start + 20):
        check_damaged_scenario(seed, folder)


def check_damaged_scenario(seed: int, folder: Path) -> None:
    path = folder / "a.scenario"
    path.write_text(damaged(seed), encoding="utf-8")
    try:
        load_scenarios(path)
    except InputError as error:
        for each in error.diagnostics:
            assert each.message, each
            assert each.span is not None or each.path, each
