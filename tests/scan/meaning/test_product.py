"""Two programs run as one, each as it runs alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from random import Random
from typing import TypeVar, get_args

import pytest
from twohand.program import (
    Dimension,
    Expression,
    Program,
    Routine,
    StandardInstance,
    Statement,
    Uncomputed,
    Variable,
)
from twohand.program.product import match_inputs, match_shown, product_program
from twohand.program.renaming import renamed
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.concrete.execute import Machine, run
from twohand.scan.finding import FindingKind
from twohand.scan.symbolic.encode import encode
from twohand.text.source_text import SourceText, Span
from twohand.typecheck.resolve import load_program

from tests.support.meaning.powered_blocks import with_power_cycles
from tests.support.meaning.side_by_side import Pair, random_program
from tests.support.meaning.typed_programs import MILLISECONDS, PLAIN
from tests.support.randomness.inputs import random_inputs

Named = TypeVar("Named", Variable, StandardInstance)
CLOCKING = Clocking(1_000_000, 5, 20)


def block(declarations: str, body: str, name: str = "Main", before: str = "") -> Program:
    text = f"{before}\nFUNCTION_BLOCK {name}\n{declarations}\n{body}\nEND_FUNCTION_BLOCK\n"
    return load_program([SourceText(f"{name}.st", text)], name)


def everything(root: object) -> Iterator[object]:
    """All objects below ``root``, through every field, mapping and tuple."""
    seen: set[int] = set()
    waiting = [root]
    while waiting:
        node = waiting.pop()
        if id(node) in seen or isinstance(node, Span | SourceText | str | int):
            continue
        seen.add(id(node))
        yield node
        if isinstance(node, tuple | frozenset):
            waiting.extend(node)
        elif isinstance(node, Mapping):
            waiting.extend(node.keys())
            waiting.extend(node.values())
        elif is_dataclass(node):
            waiting.extend(getattr(node, each.name) for each in fields(node))


@cache
def random_programs(first: int, count: int) -> tuple[Program, ...]:
    """Blocks with every kind of statement, some of them with power cycles."""
    found = []
    for seed in range(first, first + count):
        program = random_program(seed, retained=seed % 3 == 0, measured=seed % 3 == 1)
        if program is not None:
            found.append(with_power_cycles(program) if seed % 3 == 0 else program)
    return tuple(found)


def named(program: Program, kind: type[Named]) -> set[Named]:
    return {each for each in everything(program) if isinstance(each, kind)}


def check_apart(old: set[Named], new: set[Named]) -> None:
    assert not old & new
    assert all(each.name.startswith("copy.") for each in new)


def check_renamed(program: Program, random: Random) -> None:
    copy = renamed(program, "copy.").program
    check_apart(named(program, Variable), named(copy, Variable))
    check_apart(named(program, StandardInstance), named(copy, StandardInstance))
    kinds = {type(each) for each in everything(program)}
    assert kinds == {type(each) for each in everything(copy)}
    assert len(list(everything(program.routine))) == len(list(everything(copy.routine)))
    readings = random.choice(Readings().choices())
    old, new = (Machine(each, CLOCKING, readings, 4) for each in (program, copy))
    for _ in range(12):
        inputs, elapsed = random_inputs(random, program), random.randint(5, 20)
        record = old.scan(inputs, elapsed)
        other = new.scan({f"copy.{n}": v for n, v in inputs.items()}, elapsed)
        assert other.values == {f"copy.{n}": v for n, v in record.values.items()}
        assert other.writers == {f"copy.{n}": span for n, span in record.writers.items()}
        assert other.finding == record.finding
        if record.finding is not None:
            break


def check_together(one: Program, two: Program, random: Random) -> int:
    """Scans in which each had the values that it has alone."""
    both = product_program(one, two)
    sampled = {each: whole for whole, *pair in both.shared for each in pair}
    readings = random.choice(Readings().choices())
    alone = [Machine(each, CLOCKING, readings, 4) for each in (one, two)]
    machine_of_both = Machine(both.program, CLOCKING, readings, 4)
    for scan in range(12):
        inputs, elapsed = random_inputs(random, both.program), random.randint(5, 20)
        record = machine_of_both.scan(inputs, elapsed)
        found = None
        for copy, machine in zip((both.first, both.second), alone, strict=True):
            wholes = {v: sampled.get(v, copy.variables[v]) for v in machine.program.inputs}
            own = {v.name: inputs[whole.name] for v, whole in wholes.items()}
            other = machine.scan(own, elapsed)
            found = found or other.finding
            if found is None and record.finding is None:
                names = {old.name: new.name for old, new in copy.variables.items()}
                assert {n: record.values[names[n]] for n in names} == other.values
        assert record.finding == found
        if found is not None:
            return scan
    return 12


KINDS = {*get_args(Statement), *get_args(Expression), Routine, Dimension} - {Uncomputed}
"""All that a program has once it is read."""


@pytest.mark.long
def test_a_renamed_program_has_nothing_of_the_old_one_and_runs_as_it_does() -> None:
    for number, program in enumerate(random_programs(0, 12)):
        check_renamed(program, Random(number))


@pytest.mark.long
def test_what_is_renamed_has_every_kind_of_node() -> None:
    seen = {type(each) for program in random_programs(0, 12) for each in everything(program)}
    assert seen >= KINDS


@pytest.mark.long
def test_each_program_runs_as_it_runs_alone() -> None:
    """Other blocks of one library, and a block beside itself: on every value of both."""
    random = Random(2)
    programs = random_programs(0, 12)
    pairs = zip(programs, [*programs[1:], programs[-1]], strict=True)
    assert sum(check_together(*pair, random) for pair in pairs) > 20


@pytest.mark.long
@pytest.mark.parametrize("first", [1000, 1040])
def test_many_programs_run_as_they_run_alone(first: int) -> None:
    random = Random(first)
    programs = random_programs(first, 40)
    for one, two in zip(programs, [*programs[1:], programs[-1]], strict=True):
        check_renamed(one, random)
        check_together(one, two, random)
        check_together(one, one, random)


def test_what_a_program_does_not_list_is_not_lost() -> None:
    program = block("VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR", "q := a;")
    with pytest.raises(KeyError):
        renamed(Program("Main", (), (), (), (), program.routine), "copy.")


@pytest.mark.long
def test_the_transition_system_of_two_programs_runs_as_they_do() -> None:
    programs = random_programs(0, 12)
    scans = 0
    for one, two in zip(programs[3:6], programs[6:9], strict=True):
        pair = Pair(encode(product_program(one, two).program, CLOCKING, Readings(), 4))
        scans += sum(pair.run(Random(seed)) for seed in range(6))
    assert scans > 3 * 6


def test_names_are_matched_in_any_letter_case() -> None:
    one = block("VAR_INPUT Start : BOOL; END_VAR VAR_OUTPUT Go : BOOL; END_VAR", "Go := Start;")
    two = block("VAR_INPUT START : BOOL; END_VAR VAR_OUTPUT go : BOOL; END_VAR", "go := START;")
    both = product_program(one, two)
    assert [v.name for v in both.program.inputs] == ["Start"]
    assert [v.name for v in both.program.outputs] == ["first.Go", "second.go"]
    (pair,) = match_shown(one, two).pairs
    assert [v.name for v in pair] == ["Go", "go"]


def test_an_input_of_both_has_its_further_names() -> None:
    text = "FUNCTION_BLOCK Main VAR_OUTPUT q : BOOL; END_VAR q := {}; END_FUNCTION_BLOCK"
    globals = SourceText("Io.st", "VAR_GLOBAL start : BOOL; END_VAR")
    one, two = (
        load_program([globals, SourceText("main.st", text.format(name))], "Main")
        for name in ("start", "Io.start")
    )
    both = product_program(one, two).program
    (shared,) = both.inputs
    assert shared.name == "start"
    assert both.variable("Io.start") is both.variable("first.Io.start") is shared


def test_an_in_out_is_sampled_anew_for_both() -> None:
    """The second program does not see what the first one left in it."""
    one = block("VAR_IN_OUT n : INT; END_VAR", "n := n + 1;")
    two = block("VAR_IN_OUT n : INT; END_VAR", "n := n + 2;")
    both = product_program(one, two)
    records = run(both.program, MILLISECONDS, PLAIN, 4, [({"n": 5}, 1), ({"n": 8}, 1)])
    names = ("n", "first.n", "second.n")
    assert [[r.values[name] for name in names] for r in records] == [[5, 6, 7], [8, 9, 10]]
    (pair,) = match_shown(one, two).pairs
    assert [v.name for v in pair] == ["n", "n"]


def test_an_input_that_one_program_writes_is_the_other_ones_all_the_same() -> None:
    one = block("VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR", "q := NOT a;")
    two = block("VAR_IN_OUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR", "a := NOT a; q := a;")
    both = product_program(one, two)
    (record,) = run(both.program, MILLISECONDS, PLAIN, 4, [({"a": False}, 1)])
    assert (record.values["a"], record.values["second.a"]) == (False, True)
    assert record.values["first.q"] is record.values["second.q"] is True


def test_inputs_of_different_types_stay_apart() -> None:
    output = "VAR_OUTPUT q : BOOL; END_VAR"
    one = block(f"VAR_INPUT n, a : INT; b : BOOL; END_VAR {output}", "q := n > 0;")
    two = block(f"VAR_INPUT n : DINT; a : INT; c : BOOL; END_VAR {output}", "q := n > 0;")
    found = match_inputs(one, two)
    assert [[v.name for v in pair] for pair in found.pairs] == [["a", "a"]]
    assert [[v.name for v in pair] for pair in found.unlike] == [["n", "n"]]
    assert [v.name for v in found.only_first] == ["b"]
    assert [v.name for v in found.only_second] == ["c"]
    names = [v.name for v in product_program(one, two).program.inputs]
    assert names == ["a", "first.n", "first.b", "second.n", "second.c"]


def test_an_input_can_be_kept_apart() -> None:
    one = block("VAR_INPUT a, b : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR", "q := a AND b;")
    both = product_program(one, one, ("one.", "two."), separate=["A"]).program
    assert [v.name for v in both.inputs] == ["b", "one.a", "two.a"]


def test_names_of_the_program_do_not_clash() -> None:
    before = "TYPE Pair : STRUCT q : BOOL; END_STRUCT END_TYPE"
    sections = "VAR_INPUT First : Pair; END_VAR VAR_OUTPUT q : BOOL; END_VAR"
    one = block(sections, "q := First.q;", before=before)
    both = product_program(one, one)
    assert both.prefixes == ("first_.", "second_.")
    names = [v.name for v in both.program.variables]
    assert names == ["First.q", "first_.q", "second_.q"]


def test_return_leaves_its_own_program_only() -> None:
    one = block("VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR", "RETURN; q := a;")
    two = block("VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR", "q := a;")
    (record,) = run(product_program(one, two).program, MILLISECONDS, PLAIN, 4, [({"a": True}, 1)])
    assert (record.values["first.q"], record.values["second.q"]) == (False, True)


def test_a_finding_of_either_program_ends_the_scan() -> None:
    good = block("VAR_INPUT n : INT; END_VAR VAR_OUTPUT q : INT; END_VAR", "q := n;")
    bad = block("VAR_INPUT n : INT; END_VAR VAR_OUTPUT q : INT; END_VAR", "q := 7 / n;")
    for both in (product_program(good, bad), product_program(bad, good)):
        (record,) = run(both.program, MILLISECONDS, PLAIN, 4, [({"n": 0}, 1)])
        assert record.finding is not None
        assert record.finding.kind is FindingKind.DIVISION_BY_ZERO


def test_global_variables_are_each_programs_own() -> None:
    """A list of global variables is named like its file."""
    text = """
VAR_GLOBAL total : INT; limit : INT; END_VAR
FUNCTION_BLOCK Main
VAR_EXTERNAL total, limit : INT; END_VAR
total := total + limit;
END_FUNCTION_BLOCK
"""
    one, two = (load_program([SourceText(f"{name}.st", text)]) for name in ("old", "new"))
    (pair,) = match_shown(one, two).pairs
    assert [v.name for v in pair] == ["old.total", "new.total"]
    both = product_program(one, two).program
    assert [v.name for v in both.inputs] == ["old.limit"]
    assert both.variable("new.limit") is both.inputs[0]
    records = run(both, MILLISECONDS, PLAIN, 4, [({"old.limit": 2}, 1)] * 2)
    assert [r.values["first.old.total"] for r in records] == [2, 4]
    assert [r.values["second.new.total"] for r in records] == [2, 4]
