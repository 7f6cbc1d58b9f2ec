"""Libraries of blocks as text, loaded or refused."""

from __future__ import annotations

import pytest
from twohand.program import Program
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program


def load(*texts: str, block: str | None = None, prefix: str = "") -> Program:
    sources = [SourceText(f"{number}.st", text) for number, text in enumerate(texts)]
    return load_program(sources, block, prefix)


def problems(*texts: str, block: str | None = None) -> tuple[Diagnostic, ...]:
    with pytest.raises(InputError) as caught:
        load(*texts, block=block)
    return caught.value.diagnostics


def block(declarations: str, body: str = "") -> str:
    return f"FUNCTION_BLOCK B\n{declarations}\n{body}\nEND_FUNCTION_BLOCK"


def names(program: Program) -> list[str]:
    return [variable.name for variable in program.variables]


INNER = """FUNCTION_BLOCK Inner
VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT ok : BOOL; END_VAR VAR_IN_OUT n : INT; END_VAR
VAR t : TON; END_VAR VAR_TEMP once : INT := 4; END_VAR VAR CONSTANT STEP1 : INT := 2; END_VAR
t(IN := go, PT := T#1s); n := n + STEP1; ok := t.Q; once := once + 1;
END_FUNCTION_BLOCK
"""
OUTER = """FUNCTION_BLOCK Outer
VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR
VAR first, second : Inner; count, other : INT; END_VAR
first(go := a, n := count, ok => q); second(go := a, n := other); first(n := other);
END_FUNCTION_BLOCK
"""
