"""Methods, actions and properties of the checked block that other units call between its scans."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

import pytest
from twohand.program import Program
from twohand.program.types import Value
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.typed_programs import run_of, seen

PRESS = """FUNCTION_BLOCK Press
VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR
VAR force : BOOL; count, reads : INT; t : TON; END_VAR
METHOD SetIt force := TRUE; END_METHOD
METHOD PRIVATE Own force := TRUE; END_METHOD
METHOD ThroughAnother Own(); END_METHOD
METHOD Plain VAR force : BOOL; END_VAR force := TRUE; END_METHOD
METHOD Wait t(IN := TRUE); END_METHOD
METHOD Value : INT Value := count; END_METHOD
PROPERTY Mode : INT
GET reads := reads + 1; Mode := count; END_GET
SET count := Mode; END_SET
END_PROPERTY
ACTION Act count := 3; END_ACTION
q := a OR force;
END_FUNCTION_BLOCK
"""


def loaded(*texts: str, block: str = "Press") -> Program:
    """The program of the block, among files of a folder."""
    sources = [SourceText(f"{n}.st", text) for n, text in enumerate(texts)]
    return load_program(sources, block, searched=sources)


def changed(tested: Program) -> set[str]:
    return {variable.name for variable in tested.inputs} - {"a"}


def main(body: str, kind: str = "Press") -> str:
    return f"PROGRAM Main VAR p : {kind}; n : INT; END_VAR {body} END_PROGRAM\n"


@pytest.mark.parametrize(
    ("body", "names"),
    [
        ("p();", set()),
        ("p(); p.SetIt();", {"force"}),
        ("p.ThroughAnother();", {"force"}),
        ("p.Plain();", set()),
        ("n := p.Value();", set()),
        ("p.Mode := 3;", {"count", "reads"}),
        ("n := p.Mode;", {"count", "reads"}),
        ("p.Act();", {"count"}),
        ("IF n = 2 THEN p.Act(); p.SetIt(); END_IF", {"count", "force"}),
        ("p.SetIt(;", {"force"}),
    ],
)
def test_what_a_called_member_writes_counts_as_written_by_others(
    body: str, names: set[str]
) -> None:
    tested = loaded(PRESS, main(body))
    assert changed(tested) == names
    said = " ".join(note.what for note in tested.left_out)
    assert all(f"what other units do to '{name}'" in said for name in names)


@pytest.mark.parametrize(
    ("declared", "body", "names"),
    [
        ("", "p(); p.force := TRUE;", {"force"}),
        ("", "p(); s := 'p.force := TRUE;';", set()),
        ("", "p(); (* p.force := TRUE; *)", set()),
        ("", "p(); IF p.force AND p.count = 2 THEN n := p.count; END_IF", set()),
        ("other : Valve;", "other.force := TRUE; other.count := p.count;", set()),
        ("many : ARRAY [0..3] OF Press;", "many[n].count := 2; p.reads[many[n].count] := 3;",
         {"count", "reads"}),
        ("many : ARRAY [0..3] OF Press;", "many[many[n].reads].count := 2;", {"count"}),
        ("x : POINTER TO Press;", "x := ADR(p); x^.force := TRUE;", {"force"}),
        ("x : REFERENCE TO Press;", "x REF= p; x.count := 4;", {"count"}),
        ("x : POINTER TO BOOL;", "x := ADR(p.force); x^ := TRUE;", {"force"}),
        ("x : POINTER TO BOOL;", "x := ADR(other.force);", set()),
        ("x : REF_TO INT;", "x := REF(p.count);", {"count"}),
        ("better : Better;", "better.force S= TRUE;", {"force"}),
        ("", "f(x => p.count); f(y := p.force);", {"count"}),
        ("", "FOR p.reads := 1 TO 3 DO n := n + 1; END_FOR", {"reads"}),
        ("", "unknown.force := TRUE;", {"force"}),
        ("", "station.press.force R= TRUE;", {"force"}),
        ("", "station.valve.force := TRUE;", set()),
        ("", "p.count.3 := TRUE;", {"count"}),
    ],
)  # fmt: skip
def test_what_other_units_write_of_an_instance_counts_as_written_by_others(
    declared: str, body: str, names: set[str]
) -> None:
    beside = (
        "FUNCTION_BLOCK Valve VAR_INPUT force : BOOL; count : INT; END_VAR END_FUNCTION_BLOCK\n"
        "FUNCTION_BLOCK Better EXTENDS Press END_FUNCTION_BLOCK\n"
        "FUNCTION_BLOCK Station VAR press : Press; valve : Valve; END_VAR END_FUNCTION_BLOCK\n"
    )
    station = "other : Valve; station : Station; s : STRING;"
    text = main(body).replace("n : INT;", f"n : INT; {station} {declared}")
    tested = loaded(PRESS, beside, text)
    assert changed(tested) == names
    said = " ".join(note.what for note in tested.left_out)
    assert all(f"what other units do to '{name}'" in said for name in names)


@pytest.mark.parametrize(
    "body",
    [
        "p.t.PT := T#0ms;",
        "x := ADR(p.t);",
        "Copy(ADR(p));",
        "Copy(ADR(station));",
        "bytes := ADR(p);",
        "Copy(REF(many[n]));",
    ],
)
def test_what_is_not_seen_through_an_address_is_refused(body: str) -> None:
    kinds = "bytes : POINTER TO BYTE; station : Station; many : ARRAY [0..2] OF Press;"
    text = main(body).replace("n : INT;", f"n : INT; {kinds}")
    text += "FUNCTION_BLOCK Station VAR p : Press; END_VAR END_FUNCTION_BLOCK"
    with pytest.raises(InputError) as caught:
        loaded(PRESS, text)
    assert [problem.code for problem in caught.value.diagnostics] == ["shared-instance"]


def test_the_address_of_another_block_s_instance_is_refused_no_more_than_before() -> None:
    other = "FUNCTION_BLOCK Valve VAR_INPUT force : BOOL; END_VAR END_FUNCTION_BLOCK\n"
    assert changed(loaded(PRESS, other, main("Copy(ADR(p));", "Valve"))) == set()


def test_a_timer_that_a_called_member_runs_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        loaded(PRESS, main("p.Wait();"))
    assert caught.value.diagnostics[0].code == "shared-instance"


def test_members_that_no_one_calls_are_named_as_left_out() -> None:
    (note,) = loaded(PRESS).left_out
    assert note.what == (
        "calls of 'SetIt', 'ThroughAnother', 'Wait' and 2 more by anything but the block"
    )


def test_a_call_of_another_block_s_member_of_that_name_changes_nothing() -> None:
    other = "FUNCTION_BLOCK Other METHOD SetIt ; END_METHOD END_FUNCTION_BLOCK\n"
    assert changed(loaded(PRESS, other, main("p.SetIt();", "Other"))) == set()
    heir = "FUNCTION_BLOCK Heir EXTENDS Press END_FUNCTION_BLOCK\n"
    assert changed(loaded(PRESS, heir, main("p.SetIt();", "Heir"))) == {"force"}
    assert changed(loaded(PRESS, main("list[n].SetIt();"))) == {"force"}


def test_a_global_variable_that_a_called_member_writes_is_written_by_others() -> None:
    block = """VAR_GLOBAL g : BOOL; END_VAR
FUNCTION_BLOCK Press VAR_OUTPUT q : BOOL; END_VAR
METHOD Set g := TRUE; END_METHOD
q := g; g := FALSE;
END_FUNCTION_BLOCK
"""
    assert changed(loaded(block, main("p();"))) == set()
    assert changed(loaded(block, main("p.Set(); p();"))) == {"g"}


def test_a_global_variable_that_a_function_writes_for_others_too_is_written_by_others() -> None:
    block = """VAR_GLOBAL g : BOOL; END_VAR
FUNCTION Put : BOOL g := NOT g; END_FUNCTION
FUNCTION_BLOCK Press VAR_OUTPUT q : BOOL; END_VAR q := Put(); q := g; END_FUNCTION_BLOCK
"""
    assert changed(loaded(block, main("p();"))) == set()
    assert changed(loaded(block, main("p(); Put();"))) == {"g"}


def test_a_variable_that_all_instances_share_is_changed_by_a_second_one() -> None:
    block = """FUNCTION_BLOCK Press VAR_STAT s : INT; END_VAR VAR_OUTPUT q : BOOL; END_VAR
q := s = 2; s := 1;
END_FUNCTION_BLOCK
"""
    assert changed(loaded(block, main("p();"))) == set()
    assert changed(loaded(block, main("p();").replace(": Press", ": Press; r : Press"))) == {"s"}


NAMES = ("x", "y", "z")


def drawn(random: Random) -> str:
    """A block with methods, and a program that calls some of them behind the block."""

    def statements() -> str:
        def drawn_one() -> str:
            target = random.choice((*NAMES, "q"))
            one, other = random.choice((*NAMES, "a")), random.choice(NAMES)
            return f"{target} := {one} {random.choice(('AND', 'OR', 'XOR'))} NOT {other};"

        return " ".join(drawn_one() for _ in range(random.randint(1, 3)))

    methods = "".join(
        f"METHOD M{n} {statements()} {f'M{n - 1}();' if n and random.random() < 0.4 else ''} "
        "END_METHOD\n"
        for n in range(4)
    )
    own = f"M{random.randrange(4)}();" if random.random() < 0.5 else ""
    called = random.sample(range(4), random.randint(0, 3))
    calls = " ".join(f"IF c{n} THEN p.M{n}(); END_IF" for n in called)
    return f"""FUNCTION_BLOCK Press
VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR x, y, z : BOOL; END_VAR
{methods}{statements()} {own} {statements()}
END_FUNCTION_BLOCK
PROGRAM Main
VAR_INPUT a, c0, c1, c2, c3 : BOOL; END_VAR VAR_OUTPUT seen : BOOL; END_VAR
VAR p : Press; END_VAR
p(a := a); seen := p.q; {calls}
END_PROGRAM
"""


@pytest.mark.long
def test_every_run_among_calls_from_outside_is_a_run_of_the_block_alone() -> None:
    """The calls themselves are executed, and the block alone with what they have left."""
    shared = 0
    for seed in range(40):
        random = Random(f"calls {seed}")
        text = drawn(random)
        whole, alone = loaded(text, block="Main"), loaded(text)
        given = [{v.name: random.random() < 0.5 for v in whole.inputs} for _ in range(8)]
        records = run_of(whole, given)
        between = changed(alone)
        shared += len(between)
        before: list[Mapping[str, Value]] = [dict.fromkeys(("p.x", "p.y", "p.z", "p.q"), False)]
        before += [record.values for record in records[:-1]]
        own = [
            {"a": inputs["a"], **{name: values[f"p.{name}"] for name in between}}
            for inputs, values in zip(given, before, strict=True)
        ]
        assert seen(run_of(alone, own), "q") == seen(records, "seen"), text
    assert shared > 40
