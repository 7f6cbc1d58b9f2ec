"""Frames, marks of names and descriptions change nothing: a random library that is dressed in them
is the same typed program as without; a dressed text that is damaged is read or refused."""

from __future__ import annotations

import re
from random import Random

import pytest
from twohand.program import Program
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.randomness.blocks import FLAGS, block_text
from tests.support.tiers import rows

HEAD = re.compile(r"^((?:FUNCTION_BLOCK|FUNCTION) )(\w+)((?: : \w+)?)$", re.MULTILINE)
STATEMENT = re.compile(r"(?<=;\n)([ ]*\w+ := [^;\n]*;\n)")
LOCAL = re.compile(rf"(?<![\w.#\"])({'|'.join(FLAGS)})(?![\w#(])(?!\s*=>)")
ABOUT = (
    "VERSION : 0.1\n",
    "TITLE = the operator's part\n",
    "AUTHOR : shop\n",
    "{ Access := 'x'; Shown := '1.0' }\nVERSION : 1.0\n",
)


def dressed(text: str, random: Random) -> str:
    """The text with what many files have around and in it."""
    before, main = text.split("FUNCTION_BLOCK Main\n")
    declared, body = re.split(
        r"(?<=END_VAR\n)(?![ ]*VAR)", f"FUNCTION_BLOCK Main\n{main}", maxsplit=1
    )
    body = LOCAL.sub(lambda found: random.choice(("", "#")) + found[1], body)
    if random.random() < 0.5:
        declared += "BEGIN\n"
    whole = HEAD.sub(lambda found: _head(found, random), before + declared) + body
    whole = STATEMENT.sub(lambda found: _region(found, random), whole)
    if random.random() < 0.5:
        whole = f"(*@KEY@:DESCRIPTION*)\nit's (* free\n(*@KEY@:END_DESCRIPTION*)\n{whole}"
    return whole + random.choice(("", "(*DBG:1 (* 2 *)\n", "(* the end *)"))


def _head(found: re.Match[str], random: Random) -> str:
    name = f'"{found[2]}"' if random.random() < 0.5 else found[2]
    return f"{found[1]}{name}{found[3]}\n" + random.choice((*ABOUT, "\n"))[:-1]


def _region(found: re.Match[str], random: Random) -> str:
    if random.random() < 0.7:
        return found[1]
    end = f"END_REGION{random.choice(('', ';'))}\n"
    return f"REGION the shop's part {random.randrange(9)}\n{found[1]}{end}"


def said(program: Program) -> str:
    """All of the program but for places."""
    return repr((
        program.inputs, program.outputs, program.variables, program.instances, program.routine,
        program.constants, program.enumerations,
    ))  # fmt: skip


def loaded(text: str) -> Program | InputError:
    try:
        return load_program([SourceText("dressed.st", text)], "Main")
    except InputError as error:
        return error


def _codes(answer: Program | InputError) -> list[str]:
    return [each.code for each in answer.diagnostics] if isinstance(answer, InputError) else []


@pytest.mark.parametrize("first", rows(range(0, 160, 5), lambda first: first >= 5))
def test_a_dressed_library_is_the_same_program(first: int) -> None:
    for seed in range(first, first + 5):
        text, random = block_text(seed), Random(f"dress {seed}")
        plain, other = loaded(text), loaded(dressed(text, random))
        if isinstance(plain, InputError) or isinstance(other, InputError):
            assert _codes(plain) == _codes(other), seed
        else:
            assert said(other) == said(plain), seed


@pytest.mark.parametrize("first", rows(range(0, 200, 5), lambda first: first >= 5))
def test_a_damaged_dressed_text_is_read_or_refused_with_a_place(first: int) -> None:
    for seed in range(first, first + 5):
        random = Random(f"damage {seed}")
        words = re.findall(r"\w+|\s+|:=|\(\*|\*\)|.", dressed(block_text(seed), random), re.DOTALL)
        place = random.randrange(len(words))
        words[place : place + random.randrange(3)] = [random.choice(words)] * random.randrange(2)
        answer = loaded("".join(words))
        if isinstance(answer, InputError):
            assert all(each.span or each.help for each in answer.diagnostics)


@pytest.mark.parametrize("line", ["region AND TRUE", "region OR (region)", "title = region"])
def test_a_line_within_a_statement_names_no_region_and_no_title(line: str) -> None:
    text = (
        "FUNCTION_BLOCK Main\nVAR_INPUT region, title : BOOL; END_VAR\n"
        "VAR_OUTPUT q : BOOL; END_VAR\n"
        f"q := TRUE AND\n{line}\nOR FALSE;\nEND_FUNCTION_BLOCK\n"
    )
    plain = text.replace(f"\n{line}\n", f" {line} ")
    answers = [loaded(text), loaded(plain)]
    assert [isinstance(answer, Program) for answer in answers] == [True, True]
    assert said(answers[0]) == said(answers[1])  # type: ignore[arg-type]
