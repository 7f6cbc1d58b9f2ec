"""Drafts: what is marked, and that nothing is asked while a mark is left."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "drafts"
MARKS = ("specification/test_draft_marks.py",)
COMMAND = ("analyses/draft/test_draft_command.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "specification/reading/draft_marks.py",
        MARKS,
        Change("a guess is asked", "elif statement.guessed is not None:", "elif False:"),
        Change(
            "what is missing is passed over",
            "        if isinstance(statement, spec.MissingStatement):",
            "        if False:",
        ),
        Change("marks are found and not told", "    if marks:", "    if False:"),
    ),
    *mutants(
        ROOM,
        "specification/load.py",
        MARKS,
        Change("a spec with marks is resolved", "    refuse_draft_marks(tree)\n", ""),
    ),
    *mutants(
        ROOM,
        "specification/syntax/build_statements.py",
        MARKS,
        Change(
            "the mark of a guess is lost",
            "return statement if mark is None else replace(statement, guessed=mark)",
            "return statement",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/draft/lines.py",
        COMMAND,
        Change(
            "one hand is no guess",
            'yield Line(f"HAND {right} = {_contacts(hands.right)}", guessed=True)',
            'yield Line(f"HAND {right} = {_contacts(hands.right)}")',
        ),
        Change(
            "the output is no guess",
            'yield Line(f"OUTPUT {names}", guess.reasons, guessed=True)',
            'yield Line(f"OUTPUT {names}", guess.reasons)',
        ),
    ),
    *mutants(
        ROOM,
        "commands/checking/draft.py",
        COMMAND,
        Change(
            "a file that is there is not noticed before the work",
            "os.path.lexists(to)",
            "False",
            equivalent="what is there is refused as the file is made, which takes new ones alone",
        ),
    ),
    *mutants(
        ROOM,
        "files/writing.py",
        ("files/test_writing.py",),
        Change(
            "a new file takes the place of one that is there",
            'stream = path.open("x", encoding="utf-8")',
            'stream = path.open("w", encoding="utf-8")',
        ),
    ),
)
