"""Files that are no text, no spec, too large, too deep or of odd lines."""

from __future__ import annotations

from tests.commands.faulty_inputs.case import (
    GOOD_BODY,
    SOURCE,
    SPEC,
    Case,
    in_body,
    in_spec,
    source_text,
    spec_text,
    whole_spec,
)

DEEP = 10_000
LONG = 90_000
NAMED = "SOURCE «'press.st'»;"


def bad_source(code: str, source: str | bytes, help_text: str) -> Case:
    """The spec is where such a file is named."""
    return Case(code, help_text, {SPEC: spec_text(NAMED, "SOURCE"), SOURCE: source})


NO_TEXT = [
    Case("empty-file", "write its text", {SPEC: ""}),
    Case("empty-file", "write its text", {SPEC: " \n\t\n"}),
    Case("binary-file", "save it as UTF-8 text", {SPEC: bytes(range(128)) * 9}),
    Case("binary-file", "save it as UTF-8 text", {SPEC: spec_text().encode("utf-16")}),
    Case("file-too-large", "alone", {SPEC: " " * 10_000_001}),
    bad_source("empty-file", "", "write its text"),
    bad_source("binary-file", b"\x7fELF\0\0", "save it as UTF-8 text"),
    bad_source("file-too-large", f"(* {'x' * 10_000_000} *)", "the files of the block alone"),
    bad_source("no-block", "(* nothing *)", "FUNCTION_BLOCK"),
    whole_spec("missing-spec", "(* nothing *«)»\n", "SPEC Name"),
    Case(
        "malformed-name",
        "U+00B2",
        {SPEC: spec_text("OUTPUT «gr\xb2n»;", "OUTPUT").encode("latin-1"), SOURCE: source_text()},
    ),
    Case(
        "unknown-character",
        "remove it",
        {SPEC: spec_text("ASSUME stop «\x81» stop;").encode("latin-1"), SOURCE: source_text()},
    ),
    Case("missing-spec", "SPEC Name SOURCE", {SPEC: f"«TYPE» {source_text()[5:]}"}),
    Case(
        "outside-of-block",
        "no specs",
        {
            SPEC: spec_text("SOURCE 'other.spec';", "SOURCE"),
            "other.spec": f"«SPEC»{spec_text()[4:]}",
        },
    ),
]

MARKS = [
    case
    for mark, code, help_text in (
        ("'", "unterminated-string", "close it with '"),
        ('"', "unterminated-string", 'close it with "'),
        ("(*", "unterminated-comment", "close it with *)"),
        ("/*", "unterminated-comment", "close it with */"),
        ("*)", "stray-comment-end", "open the comment"),
        ("*/", "stray-comment-end", "open the comment"),
        ("{", "unterminated-pragma", "close it with }"),
        ("}", "unknown-character", "remove it"),
    )
    for case in (
        in_body(code, f"{GOOD_BODY} «{mark}»", help_text),
        in_spec(code, f"«{mark}»", help_text),
    )
]

SIZE = [
    in_body("nested-too-deep", f"enable := {'NOT ' * 64}«N»OT {'NOT ' * DEEP}stop;", "split it"),
    in_body("nested-too-deep", f"enable := {'NOT(' * 64}«N»OT({'NOT(' * 99}stop{')' * 164};",
            "split it"),
    in_body("nested-too-deep", f"{'IF stop THEN ' * 64}«I»F stop THEN {'IF stop THEN ' * 999}"
            f"enable := stop; {'END_IF; ' * 1064}", "split it"),
    in_body("unterminated-comment", f"«(*» {'(*' * DEEP} {'*)' * DEEP}", "as comments nest"),
    in_body("missing-parenthesis", f"enable := {'(' * DEEP}stop{')' * (DEEP - 1)}«;»", "write )"),
    in_spec("nested-too-deep", f"PROPERTY p : {'NOT ' * 64}«N»OT {'NOT ' * DEEP}stop;",
            "split it"),
    in_spec("nested-too-deep", f"PROPERTY p : {'once(' * 64}«o»nce({'once(' * 999}stop"
            f"{')' * 1064};", "split it"),
    in_body("equals-for-assignment", f"(* {'x' * LONG} *) enable «=» stop;", "write :="),
    in_body("unknown-name", f"«{'x' * LONG}» := stop;", "declare 'xxx"),
    in_body("malformed-number", f"strokes := «{'9' * LONG}»;", "20 digits"),
    in_body("malformed-duration", f"pause := «T#{'9' * DEEP}s»;", "T#500ms"),
    in_spec("unknown-statement", f"(* {'x' * LONG} *) «HNAD» third = stop;", "mean 'HAND'?"),
    in_spec("unknown-name", f"OUTPUT «{'x' * LONG}»;", "there is 'enable'", "OUTPUT"),
    in_spec("malformed-number", f"LOOPS «{'9' * LONG}»;", "20 digits"),
    in_body("line-too-long", f"\n«(»* {'x' * 1_000_000} *)", "break it"),
    in_spec("line-too-long", f"\n«(»* {'x' * 1_000_000} *)", "break it"),
]  # fmt: skip
