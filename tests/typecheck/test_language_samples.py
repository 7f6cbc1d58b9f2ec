"""The language as it is met: files of their own, each read or refused by name at its line.

A row of ROWS is a feature that files of structured text have; each is in some sample.
"""

from __future__ import annotations

import contextlib
import re
from random import Random
from typing import NamedTuple

import pytest
from twohand.exchange.file import structured_text_of
from twohand.files.reading import read_source
from twohand.program import Program
from twohand.program.types import Boolean, Integer
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.concrete.execute import Machine
from twohand.scan.symbolic.encode import encode
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.places import LANGUAGE

ROWS = """
sections; VAR_IN_OUT; VAR_TEMP; VAR_GLOBAL, VAR_EXTERNAL; CONSTANT, RETAIN, PERSISTENT
FUNCTION_BLOCK, PROGRAM, FUNCTION; body without declarations
IF, ELSIF, CASE; FOR, RETURN, EXIT, CONTINUE
BOOL, integers, TIME; REAL, LREAL; STRING; BYTE to LWORD
T# literals; other typed literals; based literals
TON, TOF, TP; R_TRIG, F_TRIG; SR, RS; CTU, CTD, CTUD
named arguments; call without arguments; input set by member; output argument; reads Q, ET
END_IF without semicolon; initial values; lists of names; two letter cases
block comments; line comments; C comments; tool metadata; nested comments; text outside comments
pragmas; attributes; conditional compilation
METHOD; PROPERTY; EXTENDS; THIS, SUPER; INTERFACE; access words; ACTION
AT %I, %Q, %M; arrays; indexed arrays; structures; enumerations; qualified values; global lists
long paths; bit access; pointers; references; ADR; dereference
XOR; MOD; AND_THEN, OR_ELSE; S=, R=; REF=; conversions; SEL, LIMIT, MIN, MAX; shifts
EN, ENO; R_EDGE, F_EDGE; CONFIGURATION, RESOURCE, TASK; quoted names; # names
graphical body; instruction list; sequential function chart; jumps; recursion
frames; attribute lists; no end word; text between comments; types of libraries
names of the standard; other letters; call without parentheses
NAMESPACE; CLASS; byte order mark; 8-bit text; CRLF; exchange files
"""


def _rows() -> list[str]:
    return [row.strip() for line in ROWS.strip().splitlines() for row in line.split(";")]


class Sample(NamedTuple):
    """``refused``: code and line of the first error; None where the file is read."""

    file: str
    rows: str
    refused: tuple[str, int] | None = None
    block: str | None = None


UNITS = [
    Sample("sections.st", "sections; BOOL, integers, TIME"),
    Sample("in_out.st", "VAR_IN_OUT"),
    Sample("temporary.st", "VAR_TEMP"),
    Sample("constants_and_retained.st", "CONSTANT, RETAIN, PERSISTENT"),
    Sample("program_beside_block.st", "FUNCTION_BLOCK, PROGRAM, FUNCTION"),
    Sample("several_programs.st", "FUNCTION_BLOCK, PROGRAM, FUNCTION", ("several-blocks", 7)),
    Sample("several_programs.st", "FUNCTION_BLOCK, PROGRAM, FUNCTION", None, "Horn"),
    Sample("called_program.st", "FUNCTION_BLOCK, PROGRAM, FUNCTION"),
    Sample("body_alone.st", "body without declarations", ("declarations-elsewhere", 2)),
    Sample("branches.st", "IF, ELSIF, CASE"),
    Sample("loops.st", "FOR, RETURN, EXIT, CONTINUE"),
    Sample("standard_blocks.st", "TON, TOF, TP; R_TRIG, F_TRIG; SR, RS; CTU, CTD, CTUD"),
    Sample(
        "calls.st",
        "named arguments; call without arguments; input set by member; output argument; "
        "reads Q, ET; T# literals",
    ),
    Sample("end_words_without_semicolon.st", "END_IF without semicolon"),
    Sample("initial_values.st", "initial values; lists of names; T# literals; based literals"),
    Sample("letter_case.st", "two letter cases"),
    Sample(
        "comments.st", "block comments; line comments; C comments; tool metadata; nested comments"
    ),
    Sample("text_outside_comments.st", "text outside comments", ("outside-of-block", 2)),
    Sample("pragmas.st", "pragmas; attributes"),
    Sample(
        "conditional_compilation.st",
        "conditional compilation",
        ("unsupported-conditional-compilation", 4),
    ),
    Sample("acting_pragma.st", "attributes", ("unsupported-pragma", 4)),
    Sample("methods.st", "METHOD; access words; THIS, SUPER", None, "Cell"),
    Sample("initial_method.st", "METHOD", ("unsupported-initial-method", 3)),
    Sample("property.st", "PROPERTY"),
    Sample("members_of_elements.st", "METHOD; PROPERTY; indexed arrays"),
    Sample(
        "method_of_element_in_expression.st",
        "METHOD; indexed arrays",
        ("unsupported-element-call", 10),
    ),
    Sample("extends.st", "EXTENDS; THIS, SUPER; access words", None, "Valve"),
    Sample("interface.st", "INTERFACE; PROPERTY"),
    Sample("interface_variable.st", "INTERFACE", ("unsupported-interface-variable", 9)),
    Sample("actions.st", "ACTION"),
    Sample("action_alone.st", "ACTION", ("member-outside-of-block", 1)),
    Sample("pointer.st", "pointers", ("unsupported-pointer", 4)),
    Sample("dereference.st", "dereference", ("unsupported-pointer", 4)),
    Sample("address_of.st", "ADR", ("unsupported-address-of", 4)),
    Sample("reference.st", "references", ("unsupported-reference", 4)),
    Sample("reference_assignment.st", "REF=", ("unsupported-reference", 4)),
    Sample("logic_operators.st", "XOR; MOD; AND_THEN, OR_ELSE"),
    Sample("set_and_reset.st", "S=, R="),
    Sample("functions_of_the_standard.st", "conversions; SEL, LIMIT, MIN, MAX; shifts"),
    Sample("enable_pins.st", "EN, ENO"),
    Sample("enable_with_output.st", "EN, ENO", ("unsupported-enable", 6)),
    Sample("own_enable_pin.st", "EN, ENO"),
    Sample("edge_inputs.st", "R_EDGE, F_EDGE"),
    Sample("empty_places.st", "named arguments; output argument"),
    Sample("configuration.st", "CONFIGURATION, RESOURCE, TASK"),
    Sample("ladder.st", "graphical body", ("unsupported-graphical", 4)),
    Sample("drawing_as_xml.st", "exchange files", ("unsupported-exchange-format", 2)),
    Sample("exchange_file.xml", "exchange files; IF, ELSIF, CASE"),
    Sample("older_exchange_file.xml", "exchange files"),
    Sample("instruction_list.st", "instruction list", ("unsupported-instruction-list", 4)),
    Sample("chart.st", "sequential function chart", ("unsupported-chart", 3)),
    Sample("jump.st", "jumps", ("unsupported-jump", 4)),
    Sample("recursion.st", "recursion", ("recursion", 4)),
    Sample("recursive_method.st", "recursion; METHOD", ("recursion", 8)),
    Sample("namespace.st", "NAMESPACE", ("unsupported-namespace", 1)),
    Sample("class.st", "CLASS", ("unsupported-object", 1)),
    Sample("unknown_block.st", "FUNCTION_BLOCK, PROGRAM, FUNCTION", ("unknown-type", 4)),
    Sample("byte_order_mark.st", "byte order mark"),
    Sample("eight_bit_text.st", "8-bit text"),
    Sample("carriage_returns.st", "CRLF"),
]

AS_MET = [
    Sample(
        "quoted_names.st", "quoted names; # names; frames; attribute lists", None, "Press_Guard"
    ),
    Sample("hash_names.st", "# names; quoted names; frames"),
    Sample("hash_name_of_no_variable.st", "# names", ("unknown-name", 4)),
    Sample("quoted_name_of_a_local.st", "quoted names", ("unsupported-quoted-name", 4)),
    Sample("quoted_name_with_signs.st", "quoted names", ("unsupported-quoted-name", 2)),
    Sample("blank_and_underscore.st", "quoted names", ("names-not-told-apart", 2)),
    Sample("keyword_with_mark.st", "# names", ("keyword-as-name", 3)),
    Sample("data_blocks.st", "frames; quoted names", None, "Main"),
    Sample("data_block_with_values.st", "frames", ("unsupported-data-block", 8)),
    Sample("data_block_that_keeps.st", "frames", ("unsupported-data-block", 1)),
    Sample("region_without_end.st", "frames", ("missing-end", 3)),
    Sample("region_as_name.st", "frames"),
    Sample("no_end_word.st", "no end word"),
    Sample("no_end_word_in_a_statement.st", "no end word", ("missing-end", 4)),
    Sample("no_end_word_of_two.st", "no end word", ("missing-end", 7), "Horn"),
    Sample("description.st", "text between comments"),
    Sample("description_without_end.st", "text between comments", ("unterminated-comment", 1)),
    Sample("tail_with_statements.st", "text between comments", ("unterminated-comment", 4)),
    Sample("constant_input.st", "CONSTANT, RETAIN, PERSISTENT"),
    Sample("library_types.st", "types of libraries", None, "Guard"),
    Sample("library_type_unknown.st", "types of libraries", ("unknown-type", 4)),
    Sample("short_literals.st", "other typed literals"),
    Sample("other_timer_names.st", "TON, TOF, TP"),
    Sample("own_timer.st", "TON, TOF, TP", None, "Guard"),
    Sample("names_of_standard_blocks.st", "names of the standard"),
    Sample("other_letters.st", "other letters"),
    Sample("other_letters_in_two_cases.st", "other letters", ("names-not-told-apart", 4)),
    Sample("letters_that_become_others.st", "other letters", ("names-not-told-apart", 2)),
    Sample("actions_behind.st", "ACTION; call without parentheses", None, "Guard"),
    Sample("assigned_input.st", "input set by member", None, "Guard"),
    Sample("assigned_input_left_out.st", "input set by member", ("input-left-assigned", 13)),
    Sample("name_alone.st", "call without parentheses", ("not-a-statement", 5)),
]
"""Forms outside of the standard that files of real projects have."""

DATA = [
    Sample("structures.st", "structures; long paths"),
    Sample("arrays.st", "arrays; indexed arrays"),
    Sample("index_outside.st", "indexed arrays", ("index-out-of-range", 4)),
    Sample("four_dimensions.st", "arrays", ("unsupported-array", 2)),
    Sample("open_array.st", "arrays", ("unsupported-array", 2)),
    Sample("instances_in_arrays.st", "indexed arrays; input set by member; output argument"),
    Sample("enumerations.st", "enumerations; qualified values"),
    Sample("enumeration_beyond_its_base.st", "enumerations", ("value-out-of-range", 2)),
    Sample("subranges.st", "BOOL, integers, TIME"),
    Sample("outside_of_subrange.st", "BOOL, integers, TIME", ("value-out-of-range", 3)),
    Sample("aliases.st", "arrays; initial values"),
    Sample("global_lists.st", "VAR_GLOBAL, VAR_EXTERNAL; global lists"),
    Sample("unknown_global.st", "global lists", ("unknown-name", 4)),
    Sample("external_elsewhere.st", "VAR_GLOBAL, VAR_EXTERNAL"),
    Sample(
        "external_constant_elsewhere.st",
        "VAR_GLOBAL, VAR_EXTERNAL",
        ("constant-without-value", 2),
    ),
    Sample("located.st", "AT %I, %Q, %M; bit access"),
    Sample("overlapping_addresses.st", "AT %I, %Q, %M", ("overlapping-addresses", 4)),
    Sample("direct_address_in_body.st", "AT %I, %Q, %M"),
    Sample("address_left_open.st", "AT %I, %Q, %M", ("malformed-address", 3)),
    Sample("bits.st", "bit access; BYTE to LWORD"),
    Sample("byte_of_word.st", "bit access", ("unsupported-bit-access", 4)),
    Sample("reals_aside.st", "REAL, LREAL; conversions"),
    Sample("real_inputs.st", "REAL, LREAL"),
    Sample("real_constants_alike.st", "REAL, LREAL", ("real-constants-alike", 5)),
    Sample("real_decides.st", "REAL, LREAL", ("unsupported-real", 4)),
    Sample("strings_aside.st", "STRING"),
    Sample("string_decides.st", "STRING", ("unsupported-string", 4)),
    Sample("typed_literals.st", "other typed literals; based literals; BYTE to LWORD"),
    Sample("long_paths.st", "long paths; structures; indexed arrays"),
    Sample("union.st", "structures", ("unsupported-union", 2)),
]
"""Types and variables."""

SAMPLES = UNITS + AS_MET + DATA


def load(sample: Sample) -> Program:
    """What a sample says; InputError with what is wrong."""
    source = structured_text_of(read_source(LANGUAGE / sample.file, sample.file))
    return load_program([source], sample.block)


@pytest.mark.parametrize("sample", [s for s in SAMPLES if s.refused is None], ids=str)
def test_a_sample_is_read_and_means_something_in_both_rooms(sample: Sample) -> None:
    program = load(sample)
    clocking = Clocking(1_000_000, 10, 10)
    assert encode(program, clocking, Readings()).system.signals
    readings = Readings().choices()[-1]
    machine = Machine(program, clocking, readings)
    random = Random(1)
    for _ in range(5):
        row = {
            variable.name: random.randrange(0, 2)
            for variable in program.inputs
            if isinstance(variable.type, Boolean | Integer)
        }
        if machine.scan(row, 10).finding is not None:
            break


@pytest.mark.parametrize("sample", [s for s in SAMPLES if s.refused is not None], ids=str)
def test_a_sample_is_refused_by_name_at_its_line(sample: Sample) -> None:
    with pytest.raises(InputError) as caught:
        load(sample)
    problem = caught.value.diagnostics[0]
    assert problem.span is not None
    assert (problem.code, problem.span.line) == sample.refused
    assert problem.help


def test_a_mutated_sample_is_read_or_refused() -> None:
    texts = [read_source(path, path.name).text for path in sorted(LANGUAGE.iterdir())]
    random = Random(7)
    for _ in range(150):
        words = re.findall(r"\w+|\s+|:=|=>|.", random.choice(texts), re.DOTALL)
        place = random.randrange(len(words))
        words[place : place + random.randrange(2)] = [random.choice(words)] * random.randrange(2)
        with contextlib.suppress(InputError):
            load_program([SourceText("mutated.st", "".join(words))])


def test_the_samples_cover_every_row() -> None:
    covered = {row.strip() for sample in SAMPLES for row in sample.rows.split(";")}
    assert covered <= set(_rows())
    assert covered == set(_rows())


def test_every_file_is_a_sample_and_there_are_forty() -> None:
    files = {path.name for path in LANGUAGE.iterdir()}
    assert files == {sample.file for sample in SAMPLES}
    assert len(files) >= 40
