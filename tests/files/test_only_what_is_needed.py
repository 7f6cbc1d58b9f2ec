"""What stops a check: what the block needs, and nothing else; the rest is told."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterable
from dataclasses import replace
from random import Random

import pytest
from twohand.program import Program
from twohand.text.diagnostic import Diagnostic, InputError, Severity
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.randomness.blocks import block_text

HEAD = "FUNCTION_BLOCK Press VAR_INPUT a, b : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
PLAIN = f"{HEAD}q := a AND b;\nEND_FUNCTION_BLOCK\n"
POINTERS = "VAR x : BOOL; p : POINTER TO BOOL; END_VAR p := ADR(x); p^ := TRUE;"
CONDITIONAL = "{IF defined(X)}\nx := TRUE;\n{END_IF}\n"


def read(
    *texts: str, block: str = "Press", folder: bool = False
) -> tuple[Program, list[Diagnostic]]:
    notes: list[Diagnostic] = []
    sources = [SourceText(f"f{number}.st", text) for number, text in enumerate(texts)]
    searched = sources if folder else ()
    return load_program(sources, "Press", notes=notes, searched=searched), notes


def meaning(program: Program) -> str:
    return repr(replace(program, sources=(), read=(), left_out=()))


def refused(*texts: str, folder: bool = False) -> str:
    with pytest.raises(InputError) as caught:
        read(*texts, folder=folder)
    return caught.value.diagnostics[0].code


BESIDE = [
    "FUNCTION_BLOCK Other VAR x : BOOL END_VAR x := ; END_FUNCTION_BLOCK",
    f"FUNCTION_BLOCK Other VAR x : BOOL; END_VAR {CONDITIONAL} END_FUNCTION_BLOCK",
    f"FUNCTION_BLOCK Other {POINTERS} END_FUNCTION_BLOCK",
    "FUNCTION_BLOCK Other VAR x : Nothing; END_VAR x(in := TRUE); END_FUNCTION_BLOCK",
    "FUNCTION_BLOCK Other EXTENDS Nothing END_FUNCTION_BLOCK",
    "TYPE T : STRUCT a : Nothing; p : POINTER TO BOOL; END_STRUCT END_TYPE",
    "TYPE T : STRUCT a : Nothing; END_STRUCT END_TYPE",
    "TYPE T : T; END_TYPE",
    "TYPE U : UNION a : INT; b : BOOL; END_UNION END_TYPE",
    "VAR_GLOBAL g : Nothing; END_VAR",
    "VAR_GLOBAL g : POINTER TO BOOL; END_VAR",
    "CLASS C METHOD M : BOOL END_METHOD END_CLASS",
    "INTERFACE I METHOD M : BOOL VAR_INPUT p : POINTER TO BOOL; END_VAR END_METHOD END_INTERFACE",
    "FUNCTION F : INT VAR_IN_OUT x : ARRAY [*] OF INT; END_VAR F := 1; END_FUNCTION",
    "PROGRAM Main VAR p : Press; k : Nothing; END_VAR p(a := k.x); END_PROGRAM",
    "PROGRAM Main VAR p : Press; k : POINTER TO Press; END_VAR k := ADR(p); END_PROGRAM",
]


@pytest.mark.parametrize("beside", BESIDE)
@pytest.mark.parametrize("folder", [False, True])
def test_what_the_block_does_not_need_stops_nothing(beside: str, folder: bool) -> None:
    program, notes = read(PLAIN, beside, folder=folder)
    assert meaning(program) == meaning(read(PLAIN)[0])
    alone, told = read(f"{PLAIN}{beside}\n")
    assert meaning(alone) == meaning(program)
    assert all(note.severity is Severity.NOTE for note in (*notes, *told))


def test_what_cannot_be_read_of_a_named_file_is_told_with_its_place() -> None:
    _, (note,) = read(f"{PLAIN}{BESIDE[0]}\n")
    assert note.message == (
        "'Other' cannot be read (a semicolon is missing); nothing that is checked needs it"
    )
    _, (note,) = read(f"{PLAIN}{BESIDE[7]}\n")
    assert "declared by itself; nothing that is checked needs it" in note.message


# --- parts of the block itself ------------------------------------------------------------------

MEMBERS = [
    f"METHOD M : BOOL {POINTERS} END_METHOD\n",
    "METHOD PUBLIC M : BOOL VAR y : INT END_VAR y := ; END_METHOD\n",
    f"METHOD M : BOOL\n{CONDITIONAL}END_METHOD\n",
    "PROPERTY M : BOOL GET M := r^; END_GET END_PROPERTY\n",
    "PROPERTY M : POINTER TO BOOL GET M := ADR(q); END_GET END_PROPERTY\n",
    "ACTION M x := ADR(q); END_ACTION\n",
    "METHOD M : BOOL JMP here; END_METHOD\n",
    "METHOD M : REFERENCE TO BOOL M REF= q; END_METHOD\n",
]
DECLARATIONS = [
    "VAR M : POINTER TO BOOL; END_VAR\n",
    "VAR k : INT; M, N : POINTER TO ARRAY [0..3] OF BOOL := 0; END_VAR\n",
    "VAR M : REFERENCE TO BOOL; k : STRING := 'a;b'; END_VAR\n",
    "VAR k : STRING := 'a;b'; M : REF_TO BOOL; END_VAR\n",
    "VAR_TEMP M : POINTER TO BOOL := ADR(q); END_VAR\n",
]


@pytest.mark.parametrize("member", MEMBERS)
@pytest.mark.parametrize("ahead", [False, True])
def test_a_member_that_cannot_be_read_and_that_nothing_names_is_told(
    member: str, ahead: bool
) -> None:
    body = "q := a AND b;\n"
    text = f"{HEAD}{member if ahead else body}{body if ahead else member}END_FUNCTION_BLOCK\n"
    program, (note, *_) = read(text)
    assert meaning(program) == meaning(read(PLAIN)[0])
    assert (note.code, note.severity) == ("unread-unit", Severity.NOTE)
    assert note.message.startswith("'M' cannot be read (")
    called = "calls of 'M' by anything but the block"
    assert (called in [each.what for each in program.left_out]) is ("q" in member)


@pytest.mark.parametrize("declaration", DECLARATIONS)
def test_a_pointer_that_nothing_names_is_told(declaration: str) -> None:
    program, (note, *_) = read(f"{HEAD}{declaration}q := a AND b;\nEND_FUNCTION_BLOCK\n")
    assert {v.name for v in program.variables} - {"k"} == {"a", "b", "q"}
    assert note.message.startswith("'M'")


@pytest.mark.parametrize("member", MEMBERS[:6])
@pytest.mark.parametrize("use", ["M();", "q := M;", "THIS^.M();", "M := TRUE;", "other.M();"])
def test_one_that_is_named_stops_the_check(member: str, use: str) -> None:
    other = "FUNCTION_BLOCK Other END_FUNCTION_BLOCK\n"
    declared = "VAR other : Other; END_VAR\n"
    assert refused(f"{other}{HEAD}{declared}{use}\n{member}END_FUNCTION_BLOCK\n")


@pytest.mark.parametrize("declaration", DECLARATIONS)
def test_a_pointer_that_is_used_stops_the_check(declaration: str) -> None:
    use = "M := 0;\nq := a;\n"
    code = refused(f"{HEAD}{declaration}{use}END_FUNCTION_BLOCK\n")
    assert code in ("unsupported-pointer", "unsupported-reference")


def test_one_that_a_base_calls_stops_the_check() -> None:
    base = "FUNCTION_BLOCK Base VAR_OUTPUT q : BOOL; END_VAR METHOD M q := TRUE; END_METHOD M();\n"
    heir = f"END_FUNCTION_BLOCK FUNCTION_BLOCK Press EXTENDS Base {MEMBERS[0]} SUPER^();"
    assert refused(f"{base}{heir} END_FUNCTION_BLOCK") == "unsupported-pointer"


@pytest.mark.parametrize("name", ["FB_Init", "FB_reinit", "FB_Exit"])
def test_one_that_the_platform_calls_stops_the_check(name: str) -> None:
    member = MEMBERS[0].replace("METHOD M", f"METHOD {name}")
    assert refused(f"{HEAD}{member}END_FUNCTION_BLOCK") == "unsupported-pointer"


def test_what_one_names_is_written_by_others_where_others_call_it() -> None:
    press = f"""{HEAD}VAR x, y : BOOL; END_VAR
METHOD M VAR p : POINTER TO BOOL; END_VAR p := ADR(x); p^ := y; END_METHOD
q := a AND x;
END_FUNCTION_BLOCK
"""
    main = "PROGRAM Main VAR p : Press; END_VAR p.{}(); END_PROGRAM"
    called, alone = read(press, main.format("M"))[0], read(press, main.format("N"))[0]
    assert {v.name for v in called.inputs} == {"a", "b", "x", "y"}
    assert {v.name for v in alone.inputs} == {"a", "b"}
    assert "calls of 'M' by anything but the block" in [each.what for each in alone.left_out]


def test_a_choice_among_texts_that_goes_beyond_a_member_stops_the_check() -> None:
    text = f"{HEAD}METHOD M\n{{IF defined(X)}}\nEND_METHOD\nMETHOD N\n{{END_IF}}\nEND_METHOD\n"
    assert refused(f"{text}q := a;\nEND_FUNCTION_BLOCK") == "unsupported-conditional-compilation"


@pytest.mark.parametrize("member", MEMBERS)
def test_where_a_member_is_must_be_right(member: str) -> None:
    body = "q := a AND b;\n"
    assert refused(f"{HEAD}{body}{member}{body}END_FUNCTION_BLOCK")
    assert refused(f"{HEAD}{body}IF a THEN\n{member}{body}END_IF\nEND_FUNCTION_BLOCK")
    if not member.startswith("ACTION"):
        assert refused(f"{HEAD}{body}END_FUNCTION_BLOCK\n{member}")
    assert refused(f"{HEAD}{member}{body}METHOD M END_METHOD\nEND_FUNCTION_BLOCK")


def test_a_pointer_among_the_parameters_stops_the_check() -> None:
    text = f"{HEAD}VAR_INPUT p : POINTER TO BOOL; END_VAR q := a;\nEND_FUNCTION_BLOCK"
    assert refused(text) == "unsupported-pointer"


UNKNOWN = [
    "Nothing",
    "Library.Nothing",
    "ARRAY [0..2] OF Nothing",
    "STRUCT a : Nothing; END_STRUCT",
]


@pytest.mark.parametrize("kind", [*UNKNOWN, "I"])
def test_a_variable_of_an_unknown_type_that_nothing_names_is_left_out(kind: str) -> None:
    interface = "INTERFACE I END_INTERFACE\n"
    text = f"{interface}{HEAD}VAR k : INT; v : {kind}; END_VAR\nq := a AND b;\nEND_FUNCTION_BLOCK\n"
    program, _ = read(text)
    assert [v.name for v in program.variables] == ["a", "b", "q", "k"]
    assert program.left_out[0].what.startswith("'v', which nothing names (")


@pytest.mark.parametrize(
    "use",
    ["v(x := a);", "q := v.x;", "v := 0;", "k := v;", "M();", "other(x := v);", "THIS^.v := 1;"],
)
def test_a_variable_of_an_unknown_type_that_is_named_stops_the_check(use: str) -> None:
    other = "FUNCTION_BLOCK Other VAR_IN_OUT x : BOOL; END_VAR x := TRUE; END_FUNCTION_BLOCK\n"
    head = f"{other}{HEAD}VAR k : INT; other : Other; v : Nothing; END_VAR\n"
    member = "METHOD M v.x := 1; END_METHOD\n"
    text = f"{head}{member if use == 'M();' else ''}{use}\nEND_FUNCTION_BLOCK\n"
    assert refused(text) == "unknown-type"


def test_one_of_an_inner_block_that_its_caller_names_stops_the_check() -> None:
    inner = "FUNCTION_BLOCK Inner VAR v : Nothing; END_VAR VAR_OUTPUT q : BOOL; END_VAR q := TRUE; "
    press = (
        f"END_FUNCTION_BLOCK\n{HEAD}VAR i : Inner; END_VAR i(); q := {{}};\nEND_FUNCTION_BLOCK\n"
    )
    assert read(inner + press.format("i.q"))
    for use in ("i.v", "i.v.x"):
        assert refused(inner + press.format(use))


@pytest.mark.parametrize("section", ["VAR_INPUT", "VAR_OUTPUT", "VAR_IN_OUT", "VAR_STAT"])
def test_a_parameter_of_an_unknown_type_stops_the_check(section: str) -> None:
    text = f"{HEAD}{section} v : Nothing; END_VAR\nq := a;\nEND_FUNCTION_BLOCK\n"
    assert refused(text) == "unknown-type"


# --- what would be taken for something else -----------------------------------------------------


@pytest.mark.parametrize("folder", [False, True])
def test_a_broken_block_named_like_a_standard_one_stops_the_check(folder: bool) -> None:
    press = f"{HEAD}VAR t : TON; END_VAR t(IN := a); q := t.Q;\nEND_FUNCTION_BLOCK\n"
    own = "FUNCTION_BLOCK TON VAR_INPUT IN : BOOL; END_VAR Q := ; END_FUNCTION_BLOCK\n"
    assert refused(press, own, folder=folder) == "missing-expression"


@pytest.mark.parametrize("folder", [False, True])
def test_broken_global_variables_that_are_named_stop_the_check(folder: bool) -> None:
    press = f"{HEAD}VAR_EXTERNAL g : BOOL; END_VAR q := g; g := FALSE;\nEND_FUNCTION_BLOCK\n"
    lists = "VAR_GLOBAL g : BOOL := TRUE; h : BOOL := ; END_VAR\n"
    assert refused(press, lists, folder=folder) == "missing-expression"


@pytest.mark.parametrize("folder", [False, True])
def test_two_blocks_of_the_name_asked_for_stop_the_check(folder: bool) -> None:
    assert refused(PLAIN, PLAIN, folder=folder) == "duplicate-name"
    broken = PLAIN.replace("q := a", "q := := a")
    assert refused(PLAIN, broken, folder=folder) == "missing-expression"


@pytest.mark.parametrize("folder", [False, True])
@pytest.mark.parametrize(
    ("beside", "several"),
    [
        ("TYPE S : STRUCT c : Press; END_STRUCT END_TYPE", True),
        ("VAR_GLOBAL c : Press; END_VAR", True),
        (f"PROGRAM P VAR c : Press; END_VAR {POINTERS} END_PROGRAM", True),
        ("PROGRAM P VAR c : Press; END_VAR c(); END_PROGRAM", False),
        ("TYPE S : STRUCT c : BOOL; END_STRUCT END_TYPE", False),
    ],
)
def test_instances_in_what_is_not_read_change_global_variables(
    beside: str, several: bool, folder: bool
) -> None:
    press = f"VAR_GLOBAL g : BOOL; END_VAR\n{HEAD}q := g; g := a;\nEND_FUNCTION_BLOCK\n"
    program, _ = read(press, beside, folder=folder)
    assert ("g" in {v.name for v in program.changed_inputs}) is several


# --- random blocks ------------------------------------------------------------------------------


def dressed(random: Random, text: str) -> str:
    """The text with members and declarations that cannot be read and that nothing names."""
    *units, rest = text.split("END_FUNCTION_BLOCK")
    pieces: list[str] = []
    for number, unit in enumerate(units):
        for each in range(random.randint(0, 2)):
            name = f"unread{number}_{each}"
            unit += "\n" + re.sub(r"\bM\b", name, random.choice(MEMBERS))
        at = unit.find("\nVAR_INPUT")
        if at >= 0 and random.random() < 0.6:
            unit = f"{unit[:at]}\nVAR free{number} : POINTER TO BOOL; END_VAR{unit[at:]}"
        pieces.append(unit)
    return "END_FUNCTION_BLOCK".join([*pieces, rest])


def told_in(seeds: Iterable[int]) -> int:
    """How often something was told of random blocks, which mean the same without it."""
    told = 0
    for seed in seeds:
        text = block_text(seed)
        notes: list[Diagnostic] = []
        with contextlib.suppress(InputError):  # some blocks are wrong
            plain = load_program([SourceText("b.st", text)], "Main")
            more = SourceText("b.st", dressed(Random(seed), text))
            assert meaning(load_program([more], "Main", notes=notes)) == meaning(plain)
        told += sum(note.code == "unread-unit" for note in notes)
    return told


@pytest.mark.long
def test_random_blocks_mean_the_same_with_parts_that_cannot_be_read() -> None:
    assert told_in(range(2)) > 4


@pytest.mark.long
def test_more_random_blocks_mean_the_same_with_parts_that_cannot_be_read() -> None:
    assert told_in(range(2, 24)) > 60
