"""Diagnostics name the place and mark it in the user's own line, whatever stands in it."""

from __future__ import annotations

from twohand.report.drawing.diagnostics import diagnostic_lines, one_line
from twohand.report.drawing.terminal import Terminal, text_width
from twohand.text.diagnostic import Diagnostic, Severity
from twohand.text.source_text import COMMAND_LINE, SourceText, Span

WIDE = Terminal(80, encoding="utf-8")
ASCII = Terminal(80, lines=False, encoding="ascii")


def mark(text: str, word: str) -> Span:
    source = SourceText("a.st", text)
    return Span(source, text.index(word), text.index(word) + len(word))


def shown(diagnostic: Diagnostic, terminal: Terminal = WIDE) -> str:
    return "\n".join(diagnostic_lines(diagnostic, terminal))


def test_a_diagnostic_has_its_message_line_marks_help_and_related_places() -> None:
    text = "x : BOOL;\ny := levt AND x;\n"
    found = Diagnostic(
        "unknown-name",
        "there is no variable 'levt'",
        mark(text, "levt"),
        "did you mean 'left'?",
        ((mark(text, "x"), "declared here"),),
    )
    assert shown(found) == "\n".join(
        [
            "a.st:2:6: error: there is no variable 'levt' [unknown-name]",
            "  2 │ y := levt AND x;",
            "    │      ^^^^",
            "  help: did you mean 'left'?",
            "  a.st:1:1: declared here",
            "    1 │ x : BOOL;",
            "      │ ^",
        ]
    )


def test_a_diagnostic_without_a_span_names_its_file() -> None:
    found = Diagnostic("missing-file", "there is no such file", path=r"C:\specs\a.spec")
    assert one_line(found) == r"C:\specs\a.spec: error: there is no such file [missing-file]"
    assert shown(found) == one_line(found)


def test_a_warning_says_that_it_is_one() -> None:
    found = Diagnostic("unused", "x is not used", path="a.st", severity=Severity.WARNING)
    assert shown(found) == "a.st: warning: x is not used [unused]"


def test_marks_stand_below_their_characters_after_tabs_and_wide_characters() -> None:
    found = Diagnostic("c", "m", mark("\t(* 手 *) levt;", "levt"))
    line, marks = diagnostic_lines(found, WIDE)[1:]
    before = line[: line.index("levt")]
    assert text_width(before) == marks.index("^")
    assert marks.count("^") == 4


def test_marks_fit_where_the_console_cannot_show_the_characters() -> None:
    found = Diagnostic("c", "m", mark("(* é手 *) levt;", "levt"))
    line, marks = diagnostic_lines(found, ASCII)[1:]
    assert line == "  1 | (* ??? *) levt;"
    assert line.index("levt") == marks.index("^")


def test_a_span_over_several_lines_is_marked_to_the_end_of_its_first() -> None:
    found = Diagnostic("c", "m", mark("IF a THEN\n  b := c;\nEND_IF", "a THEN\n  b := c;"))
    assert shown(found).splitlines()[1:] == ["  1 │ IF a THEN", "    │    ^^^^^^"]


def test_a_span_at_the_end_of_the_text_has_a_mark() -> None:
    source = SourceText("a.st", "x := 1")
    found = Diagnostic("c", "m", Span(source, 6, 6))
    assert shown(found).splitlines()[1:] == ["  1 │ x := 1", "    │       ^"]


def test_a_long_line_is_shown_around_its_mark() -> None:
    text = "x := " + "a OR " * 100 + "levt" + " OR a" * 100
    line, marks = diagnostic_lines(Diagnostic("c", "m", mark(text, "levt")), WIDE)[1:]
    assert len(line) <= 80
    assert line.index("levt") == marks.index("^")
    assert marks.count("^") == 4


def test_control_characters_of_a_source_do_not_reach_the_console() -> None:
    found = Diagnostic("c", "m\x1b[2J", mark("(* \x1b[31m \u202e *) levt", "levt"))
    assert "\x1b" not in shown(found)
    assert "\u202e" not in shown(found)


def test_an_option_has_no_lines_and_columns() -> None:
    text = "SPEC S\nLOOPS 0;\nEND_SPEC\n"
    span = Span(SourceText(COMMAND_LINE, text), 13, 14)
    assert shown(Diagnostic("c", "m", span)).splitlines() == [
        "command line: error: m [c]",
        "   │ LOOPS 0;",
        "   │       ^",
    ]
