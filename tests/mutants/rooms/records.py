"""What the record says of identity: places by content, and hashes of what was read."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "evidence"
CONTENT = ("record/test_content.py",)
DOCUMENTS = ("commands/test_check_document.py",)
HASHES = ("record/test_sources.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "record/content.py",
        CONTENT,
        Change(
            "the conditions around a statement mean nothing",
            "words = (*found.around, ",
            "words = (",
        ),
        Change(
            "the words of the place itself mean nothing",
            '" ".join(found.words), " ".join(own))',
            '" ".join(found.words))',
        ),
        Change(
            "equal statements are not numbered",
            "number = found.number * len(equal) + equal.index(first)",
            "number = equal.index(first)",
        ),
        Change(
            "equal words of a statement are not numbered",
            "number = found.number * len(equal) + equal.index(first)",
            "number = found.number",
        ),
        Change(
            "statements under other conditions are numbered together",
            'key = (unit, *around, "", *words)',
            'key = (unit, "", *words)',
        ),
        Change(
            "letter case is another place",
            "else word.casefold()",
            "else word",
        ),
        Change(
            "a branch is no condition",
            '" ".join(filter(None, (self.head, self.branch)))',
            "self.head",
        ),
        Change(
            "comments are words",
            "text = plain_text(source, [])",
            "text = source.text",
        ),
        Change(
            "equal lines are one place",
            "sum(",
            "0 * sum(",
        ),
        Change(
            "equal identifiers of a list stay equal",
            "if seen[each] == 1 else",
            "if seen[each] else",
        ),
        Change(
            "a place of an exchange file is told by its line",
            "whole = span if span.origin is None else span.origin",
            "whole = span",
        ),
    ),
    *mutants(
        ROOM,
        "files/reading.py",
        HASHES,
        Change(
            "a file that is read is not noted",
            "noted.append((shown or str(path), _sha256(data)))",
            "noted.clear()",
            DOCUMENTS,
        ),
        Change(
            "the hash is that of the text",
            "hashlib.sha256(data, ",
            'hashlib.sha256(data.replace(b"\\r", b""), ',
        ),
    ),
    *mutants(
        ROOM,
        "record/sources.py",
        HASHES,
        Change(
            "what was only searched has no hash",
            "*specification.program.read",
            "*specification.program.sources",
        ),
        Change(
            "the spec has no hash",
            "(specification.source, *",
            "(*(), *",
        ),
    ),
    *mutants(
        ROOM,
        "record/plain.py",
        DOCUMENTS,
        Change(
            "paths are as they were given",
            "return Path(os.path.relpath(path)).as_posix()",
            "return Path(path).as_posix()",
        ),
        Change(
            "what checked a proof has its version",
            'found["checker"] = checker_name(value)',
            'found["checker"] = value.checker',
        ),
        Change(
            "a schema lets anything in",
            '"additionalProperties": False,',
            '"additionalProperties": True,',
        ),
        Change(
            "a schema asks for nothing",
            '"required": list(properties),',
            '"required": [],',
        ),
    ),
    *mutants(
        ROOM,
        "record/document.py",
        DOCUMENTS,
        Change(
            "the exit code is that of the answer",
            '"exit_code": int(whole.exit_code),',
            '"exit_code": int(whole.answer.exit_code),',
        ),
    ),
    *mutants(
        ROOM,
        "analyses/check/record.py",
        ("record/test_cause.py",),
        Change(
            "the cause is any statement that wrote an output",
            "if name in spoken)",
            "if name)",
        ),
        Change(
            "a call that is the cause is not named",
            "call = verdict.left_out or verdict.late",
            "call = None",
        ),
    ),
)
