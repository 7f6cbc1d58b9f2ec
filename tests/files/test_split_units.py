"""A block whose declarations and statements stand in two files."""

from __future__ import annotations

import pytest
from twohand.program import Program
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.typed_programs import run_of, seen

OTHER = "FUNCTION_BLOCK Other\nVAR_INPUT a : BOOL; END_VAR\nEND_FUNCTION_BLOCK\n"
HEAD = (
    "(* kept apart *)\nFUNCTION_BLOCK Release\nVAR_INPUT left, right : BOOL; END_VAR\n"
    "VAR_OUTPUT go : BOOL; END_VAR\n"
)
BODY = "// statements\ngo := left AND right;\nIF NOT left THEN\n    go := FALSE;\nEND_IF\n"


def load(*texts: str, block: str | None = None) -> Program:
    names = ("a.st", "b.st", "c.st", "d.st")
    return load_program([SourceText(n, t) for n, t in zip(names, texts, strict=False)], block)


def problems(*texts: str) -> list[Diagnostic]:
    with pytest.raises(InputError) as caught:
        load(*texts, block="Release")
    return list(caught.value.diagnostics)


def places(*texts: str) -> list[tuple[str, str, int]]:
    return [(p.code, p.span.source.path, p.span.line) for p in problems(*texts) if p.span]


@pytest.mark.parametrize("before", ["", OTHER])
def test_the_statements_of_the_next_file_belong_to_a_block_that_is_not_ended(before: str) -> None:
    program = load(before + HEAD, BODY, OTHER.replace("Other", "Third"), block="Release")
    assert [type(statement).__name__ for statement in program.routine.body] == ["Assign", "If"]
    assign = program.routine.body[0]
    assert (assign.span.source.path, assign.span.line) == ("b.st", 2)


def test_what_is_wrong_is_told_in_the_file_where_it_stands() -> None:
    assert places(HEAD, BODY.replace("left AND", "lef AND")) == [("unknown-name", "b.st", 2)]
    assert places(HEAD, BODY.replace("END_IF", "")) == [("missing-end", "b.st", 4)]
    assert places(HEAD.replace("BOOL; END", "BOOOL; END"), BODY)[0] == ("unknown-type", "a.st", 3)
    assert places(HEAD.replace("END_VAR\n", "", 1), BODY)[0][:2] == ("missing-end", "a.st")


def test_a_program_and_its_actions_may_stand_apart_too() -> None:
    head = HEAD.replace("FUNCTION_BLOCK", "PROGRAM")
    program = load(head, f"Rest();\n{BODY}ACTION Rest:\n go := FALSE;\nEND_ACTION\n")
    assert len(program.routine.body) == 3


ENDED = f"{HEAD}Rest(); Test;\nEND_FUNCTION_BLOCK\n"
REST = "(* kept apart *) ACTION Rest:\n go := left;\nEND_ACTION\n"
TEST = "ACTION Test\n go := go AND right;\nEND_ACTION\n"


def test_actions_in_files_of_their_own_belong_to_the_block_right_before_them() -> None:
    program = load(ENDED, REST, TEST, OTHER, block="Release")
    assert [source.path for source in program.read] == ["a.st", "b.st", "c.st", "d.st"]
    rows = [{"left": left, "right": right} for left in (0, 1) for right in (0, 1)]
    assert seen(run_of(program, rows), "go") == [False, False, False, True]


def test_what_is_wrong_in_an_action_is_told_in_its_file() -> None:
    assert places(ENDED, REST, TEST.replace("right", "rigth")) == [("unknown-name", "c.st", 2)]
    assert places(ENDED, REST.replace("left", "lef"), TEST) == [("unknown-name", "b.st", 2)]


def test_actions_behind_several_blocks_belong_to_none() -> None:
    assert places(ENDED + OTHER, REST, TEST)[0][:2] == ("member-outside-of-block", "b.st")
    assert places(OTHER + ENDED, REST, TEST)[0][:2] == ("member-outside-of-block", "b.st")


def test_one_half_alone_is_refused_and_the_other_asked_for() -> None:
    (alone,) = problems(BODY)
    assert alone.code == "declarations-elsewhere"
    assert "right before" in alone.help
    assert [problem.code for problem in problems(HEAD)] == ["missing-end"]
    assert [problem.code for problem in problems(BODY, HEAD)] == ["declarations-elsewhere"]


def test_files_found_in_a_folder_are_not_joined() -> None:
    files = [SourceText("a.st", HEAD), SourceText("b.st", BODY)]
    with pytest.raises(InputError) as caught:
        load_program(files, "Release", searched=files)
    assert "missing-end" in [problem.code for problem in caught.value.diagnostics]
