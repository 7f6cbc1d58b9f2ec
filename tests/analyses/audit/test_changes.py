"""Which small changes of a block there are, as text, and in which order."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.audit.changes.change import BlockChange, ChangeKind
from twohand.analyses.audit.changes.listing import evenly
from twohand.analyses.audit.changes.subject import ChangeableSpec, load_changeable_specs

from tests.support.places import GALLERY

SPEC = """SPEC S
    SOURCE 'b.st';
    SCAN T#10ms;
    OUTPUT q;
    PROPERTY p : q -> a;
END_SPEC
"""
HEAD = """FUNCTION_BLOCK B
VAR_INPUT a, b : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
VAR t : TON; e : R_TRIG; n : INT; m : BOOL := TRUE; END_VAR
"""


def subject(body: str, folder: Path, more: str = "") -> ChangeableSpec:
    (folder / "b.st").write_text(f"{HEAD}{body}\nEND_FUNCTION_BLOCK\n{more}", encoding="utf-8")
    (folder / "b.spec").write_text(SPEC, encoding="utf-8")
    (only,) = load_changeable_specs(folder / "b.spec")
    return only


def results(found: ChangeableSpec, kind: ChangeKind) -> list[str]:
    """The changed bodies, in one line each."""
    bodies = []
    for change in found.changes:
        if change.kind is kind:
            ((_, text),) = found.file_texts([change])
            lines = text.text.split("END_VAR\n")[-1].split("\nEND_FUNCTION_BLOCK")[0]
            bodies.append(" ".join(lines.split()))
    return bodies


@pytest.mark.parametrize(
    ("kind", "body", "changed"),
    [
        (
            ChangeKind.NEGATED,
            "q := (a OR b) AND NOT m;",
            [
                "q := (NOT a OR b) AND NOT m;",
                "q := NOT ((a OR b) AND NOT m);",
                "q := (a OR NOT b) AND NOT m;",
                "q := (a OR b) AND m;",
            ],
        ),
        (
            ChangeKind.DROPPED,
            "q := a AND (b OR m) AND NOT n.0;",
            [
                "q := (b OR m) AND NOT n.0;",
                "q := a AND (m) AND NOT n.0;",
                "q := a AND NOT n.0;",
                "q := a AND (b) AND NOT n.0;",
                "q := a AND (b OR m);",
            ],
        ),
        (
            ChangeKind.CONSTANT,
            "IF (a OR b) THEN q := TRUE; END_IF;",
            ["IF (TRUE) THEN q := TRUE; END_IF;", "IF (FALSE) THEN q := TRUE; END_IF;"],
        ),
        (ChangeKind.OPERATOR, "q := a AND b;", ["q := a OR b;"]),
        (
            ChangeKind.VALUE,
            "t(IN := a, PT := T#30ms); n := 3; m := TRUE;",
            [
                "t(IN := a, PT := T#40ms); n := 3; m := TRUE;",
                "t(IN := a, PT := T#20ms); n := 3; m := TRUE;",
                "t(IN := a, PT := T#15ms); n := 3; m := TRUE;",
                "t(IN := a, PT := T#60ms); n := 3; m := TRUE;",
                "t(IN := a, PT := T#30ms); n := 4; m := TRUE;",
                "t(IN := a, PT := T#30ms); n := 2; m := TRUE;",
                "t(IN := a, PT := T#30ms); n := 1; m := TRUE;",
                "t(IN := a, PT := T#30ms); n := 6; m := TRUE;",
                "t(IN := a, PT := T#30ms); n := 3; m := FALSE;",
            ],
        ),
        (
            ChangeKind.TIMER_INPUT,
            "t(IN := a, PT := T#30ms);",
            [
                "t(IN := b, PT := T#30ms);",
                "t(IN := a OR b, PT := T#30ms);",
                "t(IN := a AND b, PT := T#30ms);",
                "t(IN := q, PT := T#30ms);",
                "t(IN := m, PT := T#30ms);",
            ],
        ),
        (
            ChangeKind.EDGE,
            "q := a;",
            ["rising_a(CLK := a); q := rising_a.Q;"],
        ),
        (
            ChangeKind.LEVEL,
            "e(CLK := a AND b); q := m AND e.Q;",
            ["e(CLK := a AND b); q := m AND (a AND b);"],
        ),
        (
            ChangeKind.REMOVED,
            "q := a; IF b THEN m := a; END_IF;",
            ["IF b THEN m := a; END_IF;", "q := a; ;", "q := a; IF b THEN ; END_IF;"],
        ),
        (
            ChangeKind.MOVED,
            "m := a; t(IN := m, PT := T#30ms); q := t.Q;",
            [
                "t(IN := m, PT := T#30ms); m := a; q := t.Q;",
                "m := a; q := t.Q; t(IN := m, PT := T#30ms);",
            ],
        ),
        (
            ChangeKind.ELSE_DROPPED,
            "IF a THEN q := b; ELSE (* ELSE *) q := FALSE; m := a; END_IF;",
            ["IF a THEN q := b; END_IF;"],
        ),
        (
            ChangeKind.LABEL,
            "CASE n OF 1: q := a; 4: q := b; END_CASE;",
            [
                "CASE n OF 4: q := a; 1: q := b; END_CASE;",
                "CASE n OF 2: q := a; 4: q := b; END_CASE;",
                "CASE n OF 0: q := a; 4: q := b; END_CASE;",
                "CASE n OF 1: q := a; 5: q := b; END_CASE;",
                "CASE n OF 1: q := a; 3: q := b; END_CASE;",
            ],
        ),
    ],
)
def test_a_change_is_the_text_that_a_user_would_write(
    kind: ChangeKind, body: str, changed: list[str], tmp_path: Path
) -> None:
    found = results(subject(body, tmp_path), kind)
    assert changed == list(dict.fromkeys(found))


def test_declarations_change_as_well(tmp_path: Path) -> None:
    found = subject("q := a;", tmp_path)
    words = [c.words for c in found.changes if c.kind in (ChangeKind.INITIAL, ChangeKind.RETAIN)]
    assert words == [
        "'VAR_OUTPUT' becomes 'VAR_OUTPUT RETAIN'",
        "'q' begins TRUE",
        "'VAR' becomes 'VAR RETAIN'",
        "'TRUE' becomes 'FALSE'",
    ]
    assert all(found.changed([change]) for change in found.changes)


def test_changes_come_by_place_and_each_text_comes_once(tmp_path: Path) -> None:
    found = subject("IF a AND b THEN q := m; ELSE q := FALSE; END_IF;", tmp_path)
    places = [change.span.start for change in found.changes]
    assert places == sorted(places)
    texts = [found.file_texts([change])[0][1].text for change in found.changes]
    assert len(texts) == len(set(texts))


def test_what_is_no_program_is_no_change(tmp_path: Path) -> None:
    found = subject("n := n + 1; q := n > 3;", tmp_path)
    refused = [change.words for change in found.changes if found.changed([change]) is None]
    assert refused == [
        "'n + 1' becomes 'NOT (n + 1)'",
        "'n + 1' becomes 'TRUE'",
        "'n + 1' becomes 'FALSE'",
    ]


def test_only_the_block_and_what_it_calls_are_changed(tmp_path: Path) -> None:
    other = (
        "FUNCTION_BLOCK C\nVAR_INPUT a : BOOL; END_VAR\nVAR_OUTPUT q : BOOL; END_VAR\nq := {};\n"
    )
    more = other.format("NOT a") + "END_FUNCTION_BLOCK\n" + other.replace("K C", "K D").format("a")
    source = "q := c.q; c(a := a);"
    (tmp_path / "b.spec").write_text(SPEC.replace("'b.st';", "'b.st'; BLOCK B;"), encoding="utf-8")
    text = f"{HEAD}VAR c : C; END_VAR\n{source}\nEND_FUNCTION_BLOCK\n{more}END_FUNCTION_BLOCK\n"
    (tmp_path / "b.st").write_text(text, encoding="utf-8")
    (found,) = load_changeable_specs(tmp_path / "b.spec")
    assert [scope.unit.name.text for scope in found.scopes] == ["B", "C"]


def test_what_a_plant_calls_as_well_is_not_changed() -> None:
    (found,) = load_changeable_specs(GALLERY / "relay_off_delay.spec")
    files = {change.span.source.path for change in found.changes}
    assert {Path(each).name for each in files} == {"relay_off_delay.st"}


def test_of_fewer_changes_those_at_even_distances_are_taken(tmp_path: Path) -> None:
    every: list[BlockChange] = subject("q := a AND b OR m;", tmp_path).changes
    assert evenly(every, None) == evenly(every, 1000) == every
    assert evenly(every, 3) == [every[0], every[len(every) // 3], every[2 * len(every) // 3]]


@pytest.mark.parametrize("most", [6, pytest.param(None, marks=pytest.mark.long)])
def test_a_drawing_is_changed_as_the_text_that_it_is_read_as(most: int | None) -> None:
    (found,) = load_changeable_specs(GALLERY / "palm_press_diagram.spec")
    assert all(change.translated for change in found.changes)
    changed = [found.changed([change]) for change in evenly(found.changes, most)]
    assert all(changed)
    spans = {each.span.source.path for c in changed if c for each in c.program.variables}
    assert {Path(path).suffix for path in spans} == {".xml"}


def test_a_change_in_which_a_real_has_other_values_is_not_asked(tmp_path: Path) -> None:
    """A run of the block would be another one of the changed block."""
    body = "VAR_INPUT level : REAL; END_VAR q := a AND level > 1.0 OR b AND level < 0.5;"
    found = subject(body, tmp_path)
    kept = [c for c in found.changes if found.changed([c]) is not None]
    gone = [c for c in found.changes if found.changed([c]) is None]
    assert kept
    assert gone
    for change in kept:
        ((_, text),) = found.file_texts([change])
        assert "level > 1.0" in text.text
        assert "level < 0.5" in text.text
