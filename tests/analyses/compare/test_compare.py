"""Two versions of a block are told the same or different, and why."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from twohand.analyses.compare.check import ComparisonReport, compare
from twohand.analyses.compare.options import ComparisonOptions
from twohand.analyses.compare.question import Comparison, resolve_comparison
from twohand.analyses.compare.text import comparison_code, comparison_lines, named_verdicts
from twohand.commands import main as cli
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome
from twohand.program import Program
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode
from twohand.scan.finding import FindingKind
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.places import GALLERY, from_here
from tests.support.schemas import schema

OPTIONS = Options(effort=30.0, processes=1)
SHORT = ComparisonOptions(scan="T#10ms")


def version(declarations: str, body: str, file: str = "a.st", before: str = "") -> Program:
    text = f"{before}\nFUNCTION_BLOCK Press\n{declarations}\n{body}\nEND_FUNCTION_BLOCK\n"
    return load_program([SourceText(file, text)], "Press")


def flags(body: str, file: str = "a.st", more: str = "") -> Program:
    return version(
        f"VAR_INPUT a, b : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR {more}", body, file
    )


def numbers(body: str) -> Program:
    return version("VAR_INPUT n : INT; END_VAR VAR_OUTPUT q : INT; END_VAR", body)


def gallery(file: str, first: str, second: str, options: ComparisonOptions = SHORT) -> Comparison:
    path = GALLERY / f"{file}.st"
    source = SourceText(path.name, path.read_text(encoding="utf-8"))
    return resolve_comparison(
        load_program([source], first), load_program([source], second), options
    )


def outcomes(found: ComparisonReport) -> dict[str, str]:
    return {name: verdict.outcome.value for name, verdict in named_verdicts(found)}


def compared(
    first: Program, second: Program, pool: Pool, options: ComparisonOptions = SHORT
) -> ComparisonReport:
    return compare(resolve_comparison(first, second, options), OPTIONS, pool=pool)


def codes(first: Program, second: Program, options: ComparisonOptions = SHORT) -> list[str]:
    with pytest.raises(InputError) as caught:
        resolve_comparison(first, second, options)
    return [problem.code for problem in caught.value.diagnostics]


# --- what is the same, and what is not --------------------------------------------------------


def test_one_logic_written_twice_is_the_same(pool: Pool) -> None:
    first = flags("q := a AND NOT b;")
    second = flags("IF b THEN q := FALSE; ELSE q := a; END_IF")
    found = compared(first, second, pool)
    assert outcomes(found) == {"q": "PROVED"}
    assert found.report.verdicts[0].certificate is not None
    assert comparison_code(found) is ExitCode.ALL_PROVED


def test_the_run_ends_where_the_two_first_differ(pool: Pool) -> None:
    first = flags("t(IN := a, PT := T#30ms); q := t.Q;", more="VAR t : TON; END_VAR")
    second = flags("t(IN := a, PT := T#40ms); q := t.Q;", more="VAR t : TON; END_VAR")
    found = compared(first, second, pool)
    (verdict,) = found.report.verdicts
    assert verdict.outcome is Outcome.VIOLATED
    assert verdict.counterexample is not None
    values = [(r.values["first.q"], r.values["second.q"]) for r in verdict.counterexample.records]
    assert values[-1] == (True, False)
    assert all(one == two for one, two in values[:-1])
    assert comparison_code(found) is ExitCode.VIOLATED


def test_the_same_reading_holds_for_both(pool: Pool) -> None:
    """Each of the two hangs on the reading, their being the same does not."""
    body = "e(CLK := a); q := e.Q;"
    first, second = (flags(body, more="VAR e : F_TRIG; END_VAR") for _ in range(2))
    assert outcomes(compared(first, second, pool)) == {"q": "PROVED"}


@pytest.mark.long
def test_a_difference_that_hangs_on_a_reading_says_so(pool: Pool) -> None:
    first = flags("e(CLK := a); q := e.Q;", more="VAR e : F_TRIG; END_VAR")
    second = flags("q := NOT a AND was; was := a;", more="VAR was : BOOL; END_VAR")
    found = compared(first, second, pool)
    text = "\n".join(comparison_lines(found, Terminal(width=200)))
    assert "only where F_TRIG fires when its first call finds CLK FALSE" in text
    fixed = ComparisonOptions(scan="T#10ms", platform=("READING falling_edge_at_first_call FALSE",))
    assert outcomes(compared(first, second, pool, fixed)) == {"q": "PROVED"}


def test_what_is_assumed_holds_for_both(pool: Pool) -> None:
    first, second = flags("q := a;"), flags("q := a AND NOT b;")
    assert outcomes(compared(first, second, pool)) == {"q": "VIOLATED"}
    options = ComparisonOptions(scan="T#10ms", assume=("NOT (a AND b);",))
    assert outcomes(compared(first, second, pool, options)) == {"q": "PROVED"}


def test_what_never_changes_is_warned_of(pool: Pool) -> None:
    found = compared(flags("q := a AND NOT a;"), flags("q := FALSE;"), pool)
    assert outcomes(found) == {"q": "VACUOUS"}
    assert comparison_code(found) is ExitCode.ALL_PROVED
    text = "\n".join(comparison_lines(found, Terminal(width=200)))
    assert "'q' never changes in either version" in text


def test_in_outs_and_written_globals_are_compared(pool: Pool) -> None:
    before = "VAR_GLOBAL total : INT; END_VAR"
    sections = "VAR_IN_OUT n : INT; END_VAR VAR_EXTERNAL total : INT; END_VAR"
    first = version(sections, "n := n MOD 3; total := 2;", "old.st", before)
    second = version(sections, "n := n MOD 3; total := 3;", "new.st", before)
    found = compared(first, second, pool)
    assert outcomes(found) == {"n": "PROVED", "old.total": "VIOLATED"}


@pytest.mark.long
def test_power_cycles_tell_what_is_retained(pool: Pool) -> None:
    names = ("retained_run_bit", "RetainedRunBit", "RunBitForgotten")
    steady = compare(gallery(*names), OPTIONS, pool=pool)
    assert set(outcomes(steady).values()) == {"PROVED"}
    cycles = compare(gallery(*names, ComparisonOptions("T#10ms", power=True)), OPTIONS, pool=pool)
    assert set(outcomes(cycles).values()) == {"VIOLATED"}


# --- findings ---------------------------------------------------------------------------------


def test_a_finding_of_one_alone_is_a_difference(pool: Pool) -> None:
    careful = numbers("IF n <> 0 THEN q := 100 / n; END_IF")
    found = compared(numbers("q := 100 / n;"), careful, pool)
    assert found.stops is not None
    assert found.stops.kinds == (FindingKind.DIVISION_BY_ZERO, None)
    assert comparison_code(found) is ExitCode.VIOLATED
    turned = compared(careful, numbers("q := 100 / n;"), pool)
    assert turned.stops is not None
    assert turned.stops.kinds == (None, FindingKind.DIVISION_BY_ZERO)


@pytest.mark.long
def test_a_finding_of_both_in_the_same_scans_is_none(pool: Pool) -> None:
    found = compared(numbers("q := 100 / n;"), numbers("q := 50 / n * 2;"), pool)
    assert found.stops is not None
    assert found.stops.outcome is Outcome.PROVED
    text = "\n".join(comparison_lines(found, Terminal(width=200)))
    assert "findings come in both in the same scans" in text
    same = compared(numbers("q := 100 / n;"), numbers("q := 100 / n;"), pool)
    assert comparison_code(same) is ExitCode.ALL_PROVED


@pytest.mark.long
def test_findings_of_two_kinds_are_a_difference(pool: Pool) -> None:
    overflow = numbers("IF n = 0 THEN q := 32767; q := q + 1; END_IF")
    found = compared(overflow, numbers("IF n = 0 THEN q := 1 / n; END_IF"), pool)
    assert found.stops is not None
    assert found.stops.outcome is Outcome.VIOLATED
    assert found.stops.kinds == (FindingKind.OVERFLOW, FindingKind.DIVISION_BY_ZERO)


# --- what has no counterpart ------------------------------------------------------------------


def test_what_only_one_version_has_is_named() -> None:
    first = version("VAR_INPUT a, b : BOOL; END_VAR VAR_OUTPUT q, r : BOOL; END_VAR", "q := a;")
    second = version(
        "VAR_INPUT a, c : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR", "q := a;", "b.st"
    )
    assert codes(first, second) == ["unmatched-input", "unmatched-input", "unmatched-output"]
    assert codes(numbers("q := n;"), flags("q := a;")).count("unlike-types") == 1
    nothing = version("VAR_INPUT a : BOOL; END_VAR", ";")
    assert codes(nothing, nothing) == ["nothing-to-compare"]


def test_what_the_other_version_has_instead_is_named() -> None:
    before = (
        "VAR_GLOBAL g : INT; END_VAR FUNCTION_BLOCK Other VAR_EXTERNAL g : INT; END_VAR g := 1;"
    )
    before += " END_FUNCTION_BLOCK"
    sections = "VAR_OUTPUT q : BOOL; END_VAR VAR_EXTERNAL g : INT; END_VAR"
    first = version(sections, "q := g > 1; g := g MOD 5;", "old.st", before)
    second = version(sections, "q := g > 1;", "new.st", before)
    with pytest.raises(InputError) as caught:
        resolve_comparison(first, second, SHORT)
    (problem,) = caught.value.diagnostics
    assert problem.message == (
        "'old.g' is a written global variable of 'Press' (old.st), and 'Press' (new.st) has it as "
        "an input"
    )


def test_common_leaves_out_what_only_one_has(pool: Pool) -> None:
    """Inputs of one alone are free, so that what hangs on them differs."""
    first = version(
        "VAR_INPUT a, b : BOOL; END_VAR VAR_OUTPUT q, r : BOOL; END_VAR", "q := a; r := b;"
    )
    second = version(
        "VAR_INPUT a : BOOL; b : INT; END_VAR VAR_OUTPUT q, r, s : BOOL; END_VAR",
        "q := a; r := b > 0;",
    )
    options = ComparisonOptions(scan="T#10ms", common=True)
    found = compared(first, second, pool, options)
    assert outcomes(found) == {"q": "PROVED", "r": "VIOLATED"}
    text = "\n".join(comparison_lines(found, Terminal(width=200)))
    assert "free for one of the two alone: b (of two types)" in text
    assert "not compared: second.s" in text


def test_what_has_no_model_is_told(pool: Pool) -> None:
    sections = "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; speed : REAL; END_VAR"
    first = version(sections, "q := a; speed := 1.5;")
    found = compared(first, first, pool)
    text = "\n".join(comparison_lines(found, Terminal(width=200)))
    assert "not compared, as the model does not have it: speed" in text


def test_statements_of_a_spec_are_refused() -> None:
    block = flags("q := a;")
    assert codes(block, block, ComparisonOptions(scan="T#10ms; HAND l = a")) == [
        "not-in-a-comparison"
    ]
    assert codes(block, block, ComparisonOptions(assume=("q",))) == ["unknown-name"]
    assert codes(block, block, ComparisonOptions(assume=("first.q",))) == ["not-an-input"]


def test_the_scan_time_is_that_of_the_tasks_of_both() -> None:
    task = "CONFIGURATION C RESOURCE R ON Cpu TASK t(INTERVAL := {}); PROGRAM p WITH t : Main;"
    texts = [
        f"PROGRAM Main VAR_OUTPUT q : BOOL; END_VAR q := NOT q; END_PROGRAM\n"
        f"{task.format(interval)} END_RESOURCE END_CONFIGURATION"
        for interval in ("T#10ms", "T#10ms", "T#2500us")
    ]
    first, second, third = (load_program([SourceText("a.st", text)], "Main") for text in texts)
    both = resolve_comparison(first, second, ComparisonOptions())
    assert (both.specification.clocking.shortest, both.specification.clocking.longest) == (10, 10)
    assert both.scan_origin == "the INTERVAL of the tasks of both"
    fine = resolve_comparison(third, third, ComparisonOptions()).specification.clocking
    assert fine.nanoseconds(fine.shortest) == 2_500_000
    other = resolve_comparison(first, third, ComparisonOptions()).specification.clocking
    assert (other.shortest, other.longest) == (5, 20)


# --- the command ------------------------------------------------------------------------------


@pytest.mark.long
def test_the_command_says_which_is_which_and_where_they_differ(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    block = (
        "FUNCTION_BLOCK Press\nVAR_INPUT a, b : BOOL; END_VAR\nVAR_OUTPUT q, r : BOOL; END_VAR\n"
    )
    Path("old.st").write_text(f"{block}q := a AND b;\nr := a;\nEND_FUNCTION_BLOCK\n")
    Path("new.st").write_text(f"{block}q := a OR b;\nr := a;\nEND_FUNCTION_BLOCK\n")
    command = ["compare", "old.st", "new.st", "--scan", "T#10ms", "--json", "out.json", "--ascii"]
    command.append("--details")
    assert cli.run(command) == ExitCode.VIOLATED
    text = capsys.readouterr().out
    assert "first   block Press of old.st" in text
    assert "second  block Press of new.st" in text
    assert re.search(r"SAME +r in every scan", text)
    assert re.search(r"DIFFERS +q", text)
    assert "new.st:4:1: this set second.q TRUE" in text
    assert "says nothing about whether either is right" in text
    assert "2 outputs compared: 1 DIFFERS, 1 SAME" in text
    document = json.loads(Path("out.json").read_text())
    assert list(schema("comparison").iter_errors(document)) == []
    assert [each["path"] for each in document["sources"]] == ["old.st", "new.st"]
    first, second = document["compared"]["outputs"]
    assert (first["name"], first["identifier"], first["outcome"]) == ("q", "Press/q", "VIOLATED")
    assert (first["first"], first["second"]) == (False, True)
    assert second["certificate"]["checker"] == "cvc5"
    assert (first["same_run_as"], second["same_run_as"]) == ("", "")
    for each, formula in ((first, "first.q = second.q"), (second, "first.r = second.r")):
        assert each["formula"] == formula
        assert f"asked: {formula}" in text


def test_outputs_that_differ_in_one_run_are_drawn_once(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    block = "FUNCTION_BLOCK Press\nVAR_INPUT a : BOOL; END_VAR\nVAR_OUTPUT q, r : BOOL; END_VAR\n"
    Path("old.st").write_text(f"{block}q := TRUE; r := TRUE;\nEND_FUNCTION_BLOCK\n")
    Path("new.st").write_text(f"{block}q := FALSE; r := FALSE;\nEND_FUNCTION_BLOCK\n")
    command = ["compare", "old.st", "new.st", "--json", "out.json", "--ascii"]
    assert cli.run(command) == ExitCode.VIOLATED
    text = capsys.readouterr().out
    assert text.count("^ differs") == 1
    assert "the same run as for q" in text.split("r: DIFFERS")[1]
    first, second = json.loads(Path("out.json").read_text())["compared"]["outputs"]
    assert (first["same_run_as"], second["same_run_as"]) == ("", "q")
    assert first["run"]["steps"] == second["run"]["steps"]


@pytest.mark.long
def test_the_command_tells_what_it_cannot_use(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    both = inside / "both.st"
    block = "FUNCTION_BLOCK {}\nVAR_OUTPUT q : BOOL; END_VAR\nq := TRUE;\nEND_FUNCTION_BLOCK\n"
    both.write_text(block.format("One") + block.format("Two"))
    assert cli.run(["compare", from_here(both), from_here(both)]) == ExitCode.UNUSABLE
    assert "name it with --block, or one for each with --blocks" in capsys.readouterr().err
    assert cli.run(["compare", from_here(both), from_here(inside / "no.st")]) == ExitCode.UNUSABLE
    assert "[missing-file]" in capsys.readouterr().err
    names = ["--block", "One", "--blocks", "One", "Two"]
    assert cli.run(["compare", from_here(both), from_here(both), *names]) == ExitCode.UNUSABLE
    assert cli.run(["compare", from_here(inside), from_here(both), "--blocks", "One", "Two"]) == 0


def test_one_name_at_two_addresses_is_no_match() -> None:
    def at(first: str, second: str) -> Program:
        declared = f"VAR a AT %IX0.0 : BOOL; p AT {first} : BOOL; q AT {second} : BOOL; END_VAR"
        text = f"PROGRAM P {declared} p := a; q := NOT a; END_PROGRAM"
        return load_program([SourceText("a.st", text)])

    here, there = at("%QX0.0", "%QX0.1"), at("%QX0.1", "%QX0.0")
    assert codes(here, there) == ["unlike-addresses", "unlike-addresses"]
    assert len(resolve_comparison(here, here, SHORT).pairs) == 2
