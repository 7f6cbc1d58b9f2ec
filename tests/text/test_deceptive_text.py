"""Signs that nobody sees and names that look alike are warned of where they are."""

from __future__ import annotations

import unicodedata
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.text.deceptive import (
    invisible_signs,
    look_alike_files,
    look_alikes,
    strange_letter,
)
from twohand.text.source_text import SourceText, Span

OVERRIDE, ZERO_WIDTH = "\u202e", "\u200b"
BLOCK = "FUNCTION_BLOCK B\nVAR_INPUT a : BOOL; END_VAR\nVAR_OUTPUT q : BOOL; END_VAR\nq := a;{}\nEND_FUNCTION_BLOCK\n"  # noqa: E501
SPEC = "SPEC S\n  SOURCE 'b.st';{}\n  SCAN T#10ms;\n  PROPERTY p : q -> a;\nEND_SPEC\n"


def names(*written: str) -> list[tuple[str, Span]]:
    source = SourceText("b.st", "\n".join(written))
    starts = (source.text.index(name) for name in written)
    return [(name, Span(source, at, at + 1)) for name, at in zip(written, starts, strict=True)]


def test_every_sign_that_unicode_calls_a_format_is_invisible() -> None:
    formats = [chr(n) for n in range(0x110000) if unicodedata.category(chr(n)) == "Cf"]
    assert len(formats) > 150
    assert [sign for sign in formats if invisible_signs(SourceText("b.st", sign)) is None] == []


@pytest.mark.parametrize("text", ["plain", "Rüstplatz 手 é", "tab\tand\nline", "\U0001f7e2"])
def test_signs_that_are_seen_are_not_warned_of(text: str) -> None:
    assert invisible_signs(SourceText("b.st", text)) is None


def test_invisible_signs_are_counted_and_the_first_are_shown() -> None:
    found = invisible_signs(SourceText("b.st", f"a\n(*{ZERO_WIDTH}{OVERRIDE} *)"))
    assert found is not None
    assert found.message == "2 invisible signs, the first of them: U+200B (zero width space)"
    assert found.span is not None
    assert (found.span.line, found.span.column) == (2, 3)
    assert [words for _, words in found.related] == ["U+202E (right-to-left override)"]


@pytest.mark.parametrize(
    ("one", "other"),
    [("stop0", "stopO"), ("armed1", "armedl"), ("armedI", "armed1"), ("alarm", "alarrn")],
)
def test_names_that_look_alike_are_told_where_both_are(one: str, other: str) -> None:
    (told,) = look_alikes(names(one, "between", other))
    assert told.message == f"'{one}' and '{other}' look alike, and are two names"
    assert told.span is not None
    assert (told.span.line, told.related[0][0].line) == (3, 1)


@pytest.mark.parametrize(
    "written",
    [
        ("stop0", "stop1"),
        ("armed", "Armed"),
        ("first.t1", "second.tl"),
        ("list[0].x", "list[1].x"),
        ("stop0.Q", "stop0.ET"),
    ],
)
def test_names_of_two_scopes_and_one_name_twice_do_not_look_alike(written: tuple[str, ...]) -> None:
    assert look_alikes(names(*written)) == []


def test_instances_that_look_alike_are_told_once() -> None:
    assert len(look_alikes(names("t1.Q", "tl.Q", "t1.ET", "tl.ET"))) == 1


def test_of_three_names_that_look_alike_two_are_told() -> None:
    assert len(look_alikes(names("al", "a1", "aI", "a1"))) == 2


def test_a_name_that_looks_like_a_word_of_the_language_is_told_without_its_place() -> None:
    source = SourceText("press.st", "T0N; TON; CTU;")
    names = [("T0N", Span(source, 0, 3)), ("CTU", Span(source, 10, 13))]
    (told,) = look_alikes(names, words=("TON", "T0N2", "CTU"))
    assert told.message == "'TON' and 'T0N' look alike, and are two names"
    assert (told.span, told.related) == (names[0][1], ())


def test_between_known_names_nothing_is_looked_for() -> None:
    known = names("a1", "al")
    assert look_alikes(names("al", "a1", "b"), known) == []
    (told,) = look_alikes(names("aI"), known)
    assert told.message == "'a1' and 'aI' look alike, and are two names"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("b1.st", "bl.st"),
        ("palm.st", "p\u0430lm.st"),
        ("palm.st", "\uff30\uff41lm.st".replace("\uff30", "p")),
        ("plant1/rod.st", "plantl/rod.st"),
        ("plant/rod1.st", "plant\\rodl.st"),
    ],
)
def test_files_that_look_alike_are_told_once(one: str, other: str) -> None:
    (told,) = look_alike_files(names(one, other))
    assert (told.code, len(told.related)) == ("look-alike-names", 1)


@pytest.mark.parametrize(
    "written",
    [("b1.st", "b2.st"), ("old/b1.st", "new/bl.st"), ("./b.st", "b.st"), ("lib/a.st", "lib/b.st")],
)
def test_files_of_two_folders_do_not_look_alike(written: tuple[str, ...]) -> None:
    assert look_alike_files(names(*written)) == []


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("p\u0430lm", "'\u0430' is U+0430 (cyrillic small letter a), which looks like 'a'"),
        (
            "\uff30alm",
            "'\uff30' is U+FF30 (fullwidth latin capital letter p), which looks like 'P'",
        ),
        ("x\u00b2", "'\u00b2' is U+00B2 (superscript two)"),
        (
            "\u212b",
            "'\u212b' is U+212B (angstrom sign), which is '\u00c5' in composed form",
        ),
        ("\u0441\u043e\u0440", ""),
        ("gr\u00fcn", ""),
        ("\u624b", ""),
        ("palm", ""),
    ],
)
def test_a_letter_that_looks_like_another_is_named(name: str, told: str) -> None:
    assert strange_letter(name) == told


@pytest.mark.long
@pytest.mark.parametrize(
    ("in_block", "in_spec", "place"), [(OVERRIDE, "", "b.st:4:11"), ("", OVERRIDE, "s.spec:2:20")]
)
def test_reports_warn_of_them_and_do_not_obey_them(
    in_block: str,
    in_spec: str,
    place: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    comment = " (*{}*)"
    block = BLOCK.format(comment.format(in_block) if in_block else "")
    Path("b.st").write_text(block, encoding="utf-8")
    spec = SPEC.format(comment.format(in_spec) if in_spec else "")
    Path("s.spec").write_text(spec, encoding="utf-8")
    assert cli.run(["check", "s.spec"]) == 0
    shown = capsys.readouterr().out
    assert f"{place}: warning: an invisible sign: U+202E" in shown
    assert OVERRIDE not in shown
    assert cli.run(["read", "b.st"]) == 0
    read = capsys.readouterr()
    assert ("[invisible-sign]" in read.err) is bool(in_block)
    assert OVERRIDE not in read.out + read.err
