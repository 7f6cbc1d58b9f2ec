"""Literals: IEC 61131-3:2003, 2.2 (tables 1, 2, 7) and annex B.1.2."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.program.types import BYTE, DINT, INT, LTIME, SINT, TIME, ULINT, WORD
from twohand.syntax.parsing.literals import duration, number_literal, typed_literal
from twohand.syntax.tree import EnumerationValue, Literal, UnmodelledLiteral
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText, Span

MILLISECOND = 1_000_000


def span(text: str) -> Span:
    return Span(SourceText("literal.st", text), 0, len(text))


def typed(text: str) -> Literal:
    literal = typed_literal(text, span(text))
    assert isinstance(literal, Literal)
    return literal


def rejected(text: str) -> str:
    with pytest.raises(InputError) as caught:
        number_literal(text, span(text)) if text[0].isdigit() else typed_literal(text, span(text))
    return caught.value.diagnostics[0].code


# Values: IEC 61131-3:2003, table 7 and annex B.1.2.3.1.
@pytest.mark.parametrize(
    ("text", "milliseconds"),
    [
        ("T#14ms", 14),
        ("T#-14ms", -14),
        ("T#14.7s", 14_700),
        ("T#14.7m", 882_000),
        ("T#14.7h", 52_920_000),
        ("t#14.7d", 1_270_080_000),
        ("T#25h15m", 90_900_000),
        ("t#25h_15m", 90_900_000),
        ("t#5d_14h_12m_18s_3.5ms", 483_138_003.5),
        ("TIME#14ms", 14),
        ("time#5m", 300_000),
        ("T#5ms", 5),
        ("T#-250ms", -250),
        ("T#500MS", 500),
        ("T#1d5m", 86_700_000),  # skipping a unit is from Ed. 3 (from memory)
        ("T#0s", 0),
        ("T#1_000ms", 1000),
        ("T#90s", 90_000),  # the first unit may overflow
        ("T#1h90000ms", 3_690_000),
    ],
)
def test_a_duration_has_its_exact_value(text: str, milliseconds: float) -> None:
    assert typed(text).value == int(milliseconds * MILLISECOND)
    assert typed(text).type == TIME


def test_a_long_duration_goes_down_to_a_nanosecond() -> None:
    assert typed("LTIME#1us5ns").value == 1005
    assert typed("LT#0.001us").type == LTIME
    assert typed("LT#0.001us").value == 1


@pytest.mark.parametrize(
    "text",
    [
        "T#1.5h30m",  # only the last unit may have a decimal point: table 7
        "T#1h75m",  # only the first unit may overflow (from memory)
        "T#",
        "T#5",
        "T#ms",
        "T#5x",
        "T#5ms3s",  # coarse to fine
        "T#5s5s",
        "T#5s_",
        "T#_5s",
        "T#5s__3ms",
        "T#1e3ms",
        "T#0.1ns",  # finer than the nanosecond
        "T#.5s",
        "T#5.s",
        "T#--5s",
        "TIME#",
    ],
)
def test_a_malformed_duration_is_rejected(text: str) -> None:
    assert rejected(text) == "malformed-duration"


# Tables 1 and 2 of IEC 61131-3:2003: based numbers, underscores, typed literals.
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12", 12), ("0", 0), ("123_456", 123_456), ("2#1111_1111", 255), ("8#377", 255),
        ("16#FF", 255), ("16#ff", 255), ("2#1110_0000", 224), ("16#E0", 224), ("007", 7),
    ],
)  # fmt: skip
def test_a_number_may_have_a_base_and_underscores(text: str, value: int) -> None:
    literal = number_literal(text, span(text))
    assert (literal.value, literal.type) == (value, None)


@pytest.mark.parametrize(
    ("text", "value", "kind"),
    [
        ("INT#5", 5, INT), ("int#-5", -5, INT), ("DINT#+7", 7, DINT), ("SINT#-128", -128, SINT),
        ("WORD#16#FFFF", 65_535, WORD), ("BYTE#2#1010_1010", 170, BYTE),
        ("ULINT#18446744073709551615", 2**64 - 1, ULINT),
    ],
)  # fmt: skip
def test_a_typed_literal_has_its_type(text: str, value: int, kind: object) -> None:
    assert (typed(text).value, typed(text).type) == (value, kind)


@pytest.mark.parametrize(
    ("text", "value"), [("BOOL#1", True), ("BOOL#0", False), ("bool#True", True)]
)
def test_a_boolean_may_be_written_as_a_typed_literal(text: str, value: bool) -> None:
    assert typed(text).value is value


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("SINT#128", "value-out-of-range"),
        ("UINT#-1", "value-out-of-range"),
        ("WORD#16#1_0000", "value-out-of-range"),
        ("BOOL#2", "value-out-of-range"),
        ("INT#", "malformed-number"),
        ("INT#abc", "malformed-number"),
        ("2#102", "malformed-number"),
        ("3#12", "malformed-number"),
        ("1__0", "malformed-number"),
        ("1_", "malformed-number"),
        ("12ab", "malformed-number"),
        ("16#", "malformed-number"),
        ("9" * 65, "malformed-number"),
        ("16#" + "F" * 14_300, "malformed-number"),
        ("WORD#2#" + "1" * 14_300, "malformed-number"),
        ("T#106752d", "value-out-of-range"),
        ("T#1" + "0" * 20 + "d", "value-out-of-range"),
        ("Mode#1", "malformed-literal"),
        ("Mode#", "malformed-literal"),
    ],
)
def test_a_malformed_literal_is_rejected_by_its_code(text: str, code: str) -> None:
    assert rejected(text) == code


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("REAL#1.0", "REAL"),
        ("LREAL#-2.5E-3", "LREAL"),
        ("STRING#'x'", "STRING"),
        ("D#2026-01-01", "DATE"),
        ("TOD#10:30:00.5", "TOD"),
        ("DT#2026-01-01-12:00:00", "DT"),
    ],
)
def test_a_literal_without_model_keeps_its_type_alone(text: str, kind: str) -> None:
    literal = typed_literal(text, span(text))
    assert isinstance(literal, UnmodelledLiteral)
    assert literal.type_name == kind


def test_another_prefix_names_an_enumeration() -> None:
    value = typed_literal("Mode#Run", span("Mode#Run"))
    assert isinstance(value, EnumerationValue)
    assert (value.type_name.text, value.value.text) == ("Mode", "Run")
    assert value.value.span.column == 6


@given(
    hours=st.integers(0, 1000), minutes=st.integers(0, 59), seconds=st.integers(0, 59),
    milliseconds=st.integers(0, 999), nanoseconds=st.integers(0, 999_999),
)  # fmt: skip
@settings(deadline=None, derandomize=True)
def test_units_of_a_duration_add_up(
    hours: int, minutes: int, seconds: int, milliseconds: int, nanoseconds: int
) -> None:
    fine = f"{nanoseconds // 1000}us{nanoseconds % 1000}ns"
    text = f"{hours}h{minutes}m_{seconds}S{milliseconds}ms{fine}"
    total = ((hours * 60 + minutes) * 60 + seconds) * 1000 + milliseconds
    assert duration(text, span(text)) == total * MILLISECOND + nanoseconds


@pytest.mark.long
@given(st.text(alphabet="0123456789dhmsun._-+xT#", max_size=12))
@settings(deadline=None, derandomize=True, max_examples=300)
def test_any_text_behind_a_prefix_is_a_literal_or_an_input_error(text: str) -> None:
    for whole in (f"T#{text}", f"INT#{text}", f"1{text}"):
        read = number_literal if whole[0] == "1" else typed_literal
        with contextlib.suppress(InputError):
            read(whole, span(whole))
