"""One run tells every syntax error of a file, each cause once."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.syntax.parsing.parse import parse_source
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText

Fault = tuple[str, str]
"""A line with its faulty place between « and », and the code of what is wrong there."""

PLACES: list[tuple[str, list[Fault]]] = [
    ("TYPE Mode : (Idle, Run := 3, Stop); END_TYPE", [
        ("TYPE Mode : (Idle, Run := 3« »Stop); END_TYPE", "missing-comma"),
        ("TYPE Mode : (Idle, Run := 3, Stop)« »END_TYPE", "missing-semicolon"),
    ]),
    ("FUNCTION_BLOCK Station", [("«FUNCTION_BLOCK»", "missing-name")]),
    ("VAR_INPUT left, right : BOOL;", [
        ("VAR_INPUT left, «right» BOOL;", "missing-type"),
        ("VAR_INPUT left, right : BOOL; «1:» INT;", ""),
    ]),
    ("    stop : BOOL := FALSE;", [
        ("    stop : BOOL «=» FALSE;", "equals-for-assignment"),
        ("    «stop»;", "missing-type"),
        ("    «until» : BOOL;", "keyword-as-name"),
    ]),
    ("END_VAR", [("«END_VA»", "")]),
    ("VAR window : TON; count, part : INT; mode : Mode; END_VAR", [
        ("VAR window : TON; count, part : INT« »mode : Mode; END_VAR", "missing-semicolon"),
    ]),
    ("count := count + 1;", [
        ("count «=» count + 1;", "equals-for-assignment"),
        ("count «:» = count + 1;", "split-assignment"),
        ("count := count + «;»", "missing-expression"),
        ("count := (count + 1«;»", ""),
        ("count := count + 1«)»;", "unmatched-parenthesis"),
        ("count «+=» 1;", "foreign-operator"),
        ("count := «12ab»;", "malformed-number"),
        ("«5» := count;", "not-a-statement"),
        ("count := 'abc;", "unterminated-string"),
    ]),
    ("window(IN := left AND right, PT := T#500ms);", [
        ("window(IN := left AND right« »PT := T#500ms);", "missing-comma"),
        ("window(IN := left «&&» right, PT := T#500ms);", "foreign-operator"),
        ("window(IN := left AND right, PT := «T#5x»);", "malformed-duration"),
    ]),
    ("IF window.Q AND NOT stop THEN", [
        ("IF window.Q AND NOT stop« »", "missing-keyword"),
        ("IF window.Q AND «!»stop THEN", "foreign-operator"),
        ("IF «THEN»", "missing-expression"),
        ("IF (window.Q AND NOT stop «THEN»", ""),
    ]),
    ("    part := 1;", [
        ("    part := 1;\n«END_WHILE»;", ""),
        ("    part «==» 1;", "foreign-operator"),
        ("    part := 1 «§» 2;", "unknown-character"),
        ("    part := «pаrt»;", "malformed-name"),
        ("    part«,» := 1;", ""),
    ]),
    ("ELSIF left THEN", [
        ("«ELSEIF» left THEN", "misspelt-keyword"),
        ("ELSIF left« »", "missing-keyword"),
    ]),
    ("    CASE mode OF", [("    CASE mode« »", "missing-keyword")]),
    ("        Mode.Idle: part := 2;", [
        ("        Mode.Idle: part «=» 2;", "equals-for-assignment"),
        ("        Mode.Idle: part := «»;", ""),
    ]),
    ("        Mode.Run: FOR part := 1 TO 3 DO count := part; END_FOR", [
        ("        Mode.Run: FOR part «=» 1 TO 3 DO count := 1; END_FOR", "equals-for-assignment"),
        ("        Mode.Run: FOR part := 1 TO 3« »count := part; END_FOR", "missing-keyword"),
        ("        Mode.Run: FOR part := 1 TO 3 DO count := part; «END_WHILE»", "wrong-end"),
    ]),
    ("    END_CASE;", [("    «ENDCASE»;", "misspelt-keyword")]),
    ("END_IF;", [("«ENDIF»;", "misspelt-keyword"), ("«END_CASE»;", "wrong-end")]),
    ("END_FUNCTION_BLOCK", []),
    ("FUNCTION Half : INT", []),
    ("VAR_INPUT whole : INT; END_VAR", [("VAR_INPUT «whole» INT; END_VAR", "missing-type")]),
    ("Half := whole / 2;", [
        ("Half := whole / 2; «END_IF»", "stray-end"),
        ("Half := whole «/» / 2;", ""),
        ("«ELSE» Half := whole / 2;", "stray-else"),
    ]),
    ("END_FUNCTION", []),
]  # fmt: skip
"""Lines of a file, each with faulty forms of it (those without a code are left out)."""

FAULTS = [[fault for fault in faults if fault[1]] for _, faults in PLACES]


def mutated(choices: Sequence[int | None]) -> tuple[str, list[tuple[str, int, int]]]:
    """The file with the chosen fault of each line, and what has to be said of it."""
    lines: list[str] = []
    expected: list[tuple[str, int, int]] = []
    for (good, _), faults, choice in zip(PLACES, FAULTS, choices, strict=True):
        line = good
        if choice is not None and choice < len(faults):
            line, code = faults[choice]
            before = line.split("«")[0] if "«" in line else line.split("'")[0]
            expected.append((code, len(lines) + 1, len(before) + 1))
        lines.append(line.replace("«", "").replace("»", ""))
    return "\n".join(lines) + "\n", expected


def told(text: str) -> list[tuple[str, int, int]]:
    try:
        parse_source(SourceText("press.st", text))
    except InputError as error:
        return [
            (problem.code, problem.span.line, problem.span.column)
            for problem in error.diagnostics
            if problem.span is not None
        ]
    return []


@pytest.mark.parametrize(
    ("place", "number"),
    [(place, n) for place, faults in enumerate(FAULTS) for n in range(len(faults))],
)
def test_one_fault_is_one_message(place: int, number: int) -> None:
    choices = [number if n == place else None for n in range(len(PLACES))]
    text, expected = mutated(choices)
    assert told(text) == expected


def test_a_file_without_fault_has_no_message() -> None:
    assert told(mutated([None] * len(PLACES))[0]) == []


def test_a_wrong_end_that_would_close_what_is_around_it_is_one_message() -> None:
    """The rest of the unit tells: each statement has its end there."""
    text, _ = mutated([None] * len(PLACES))
    assert told(text.replace("END_CASE", "END_IF")) == [("wrong-end", 15, 5)]


@pytest.mark.long
@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.tuples(*(st.none() | st.integers(0, max(0, len(faults) - 1)) for faults in FAULTS)))
def test_a_file_with_many_faults_has_exactly_their_messages(
    choices: tuple[int | None, ...],
) -> None:
    text, expected = mutated(choices)
    assert told(text) == expected
