"""The spec language's syntax: forms, letter case, comments, contextual words, robustness."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from twohand.program import Operator
from twohand.specification.syntax import formulas as formula_tree
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.parse import parse_specification, parse_specifications
from twohand.syntax import tree
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText

from tests.support.samples.specification_samples import spec_text


def parse(text: str) -> spec.SpecificationTree:
    return parse_specification(SourceText("sample.spec", text))


def statement(text: str) -> spec.StatementNode:
    (only,) = parse(f"SPEC S {text} END_SPEC").statements
    return only


def formula(text: str) -> formula_tree.FormulaNode:
    asked = statement(f"ASSUME {text};")
    assert isinstance(asked, spec.AssumeStatement)
    return asked.formula


def prop(text: str) -> formula_tree.PropertyNode:
    asked = statement(f"PROPERTY p : {text};")
    assert isinstance(asked, spec.PropertyStatement)
    return asked.property


def shape(node: object) -> str:
    """A formula fully bracketed."""
    match node:
        case formula_tree.Plain(tree.Name() as name):
            return name.text
        case formula_tree.Plain(expression):
            return expression.span.text
        case formula_tree.Implication(left, right):
            return f"({shape(left)} -> {shape(right)})"
        case formula_tree.Connected(operator, operands):
            return f"{operator.name}({', '.join(map(shape, operands))})"
        case formula_tree.Temporal(word, operands):
            return f"{word.value}({', '.join(map(shape, operands))})"
        case formula_tree.FirstScanNode():
            return "FIRST_SCAN"
    raise AssertionError(node)


def test_words_and_names_are_read_in_any_letter_case() -> None:
    text = spec_text("Property p : Once(LEFT) and First_Scan; Expect violated P;")
    assert len(parse(text.lower()).statements) == len(parse(text.upper()).statements) == 8


def test_comments_stand_anywhere() -> None:
    read = parse("SPEC (* a (* nested *) one *) S // end of line\n LOOPS /* here */ 5; END_SPEC;")
    assert [type(s) for s in read.statements] == [spec.LoopsStatement]


def test_words_of_the_language_can_be_names_where_they_are_no_words() -> None:
    assert shape(formula("within AND window AND scan")) == "within AND window AND scan"
    assert shape(formula("once(lag) AND within")) == "AND(ONCE(lag), within)"
    node = prop("until UNTIL before")
    assert (shape(node.first), shape(node.second)) == ("until", "before")


def test_implication_binds_least_and_to_the_right() -> None:
    assert shape(formula("a -> b OR c -> d")) == "(a -> (b OR c -> d))"
    assert shape(formula("(a -> b) -> c")) == "((a -> b) -> c)"


def test_infix_since_binds_more_than_implication_and_less_than_or() -> None:
    assert shape(formula("a OR b SINCE c AND d -> e")) == "(SINCE(a OR b, c AND d) -> e)"
    assert shape(formula("a SINCE b SINCE c")) == "SINCE(SINCE(a, b), c)"
    assert shape(formula("since(a, b)")) == "SINCE(a, b)"


def test_what_has_no_temporal_word_stays_one_expression() -> None:
    node = formula("a AND (b OR x > 5) AND rose(c = d)")
    assert isinstance(node, formula_tree.Connected)
    assert [isinstance(operand, formula_tree.Plain) for operand in node.operands] == [True, False]


def test_prev_of_an_expression_stays_within_its_expression() -> None:
    node = formula("x > prev(x, 2) + 1")
    assert isinstance(node, formula_tree.Plain)
    assert shape(formula("prev(rose(a), 3)")) == "PREV(ROSE(a))"


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("T#5ms", None, 5_000_000),
        ("T#0ms..T#5ms", 0, 5_000_000),
        ("T#5ms..", 5_000_000, None),
        ("3 SCANS", None, 3),
        ("0..3 scans", 0, 3),
        ("3..SCANS", 3, None),
    ],
)
def test_bounds(text: str, low: int | None, high: int | None) -> None:
    node = formula(f"once(a, {text})")
    assert isinstance(node, formula_tree.Temporal)
    assert node.bound is not None
    ends = [
        end.nanoseconds if isinstance(end, formula_tree.Time) else end and end.value
        for end in (node.bound.low, node.bound.high)
    ]
    assert ends == [low, high]


@pytest.mark.parametrize(
    ("text", "form", "trigger", "first", "second"),
    [
        ("a", "ALWAYS", None, "a", None),
        ("ALWAYS a", "ALWAYS", None, "a", None),
        ("always a -> b", "ALWAYS", "a", "b", None),
        ("a -> b -> c", "ALWAYS", "a", "(b -> c)", None),
        ("NEVER a AND b", "NEVER", None, "a AND b", None),
        ("a -> b WITHIN T#5ms", "WITHIN", "a", "b", None),
        ("b WITHIN 2 SCANS", "WITHIN", None, "b", None),
        ("a -> b UNTIL c", "UNTIL", "a", "b", "c"),
        ("(a -> b) UNTIL c", "UNTIL", None, "(a -> b)", "c"),
        ("b UNTIL c", "UNTIL", None, "b", "c"),
        ("a -> b BEFORE c", "BEFORE", "a", "b", "c"),
        ("a -> b -> c BEFORE d", "BEFORE", "AND(a, b)", "c", "d"),
    ],
)
def test_forms_of_properties(
    text: str, form: str, trigger: str | None, first: str, second: str | None
) -> None:
    node = prop(text)
    parts = [part and shape(part) for part in (node.trigger, node.first, node.second)]
    assert [node.form.value, *parts] == [form, trigger, first, second]


def test_every_duration_is_noted_for_the_unit() -> None:
    read = parse(spec_text("PROPERTY p : once(a, T#1.5ms) AND t > T#3us; UNIT T#1us;"))
    assert {time.nanoseconds for time in read.times} >= {1_500_000, 3_000, 1_000, 20_000_000}


def test_a_plant_without_files_or_bindings_can_be_stated() -> None:
    plant = statement("PLANT rod : Cylinder;")
    assert isinstance(plant, spec.PlantStatement)
    assert (plant.files, plant.bindings) == ((), ())


def test_connectives_of_formulas_keep_their_operator() -> None:
    for sign, operator in [("AND", Operator.AND), ("xor", Operator.XOR), ("=", Operator.EQUAL)]:
        node = formula(f"rose(a) {sign} b")
        assert isinstance(node, formula_tree.Connected)
        assert node.operator is operator


def test_a_file_can_have_several_specs() -> None:
    text = "SPEC A LOOPS 1; END_SPEC SPEC B LOOPS 2; END_SPEC"
    trees = parse_specifications(SourceText("two.spec", text))
    assert [each.name.text for each in trees] == ["A", "B"]
    with pytest.raises(InputError, match="more than one spec"):
        parse(text)


def read_or_refuse(text: str) -> None:
    with suppress(InputError):
        parse_specifications(SourceText("any.spec", text))


PIECES = (
    *(
        "SPEC",
        "S",
        "END_SPEC",
        ";",
        ":",
        ",",
        "(",
        ")",
        "=",
        ":=",
        "->",
        "..",
        "T#5ms",
        "5",
    ),
    *(
        "a",
        "left",
        "prev",
        "once",
        "since",
        "rose",
        "SCANS",
        "WITHIN",
        "UNTIL",
        "BEFORE",
    ),
    *(
        "ALWAYS",
        "NEVER",
        "FIRST_SCAN",
        "NOT",
        "-",
        "AND",
        "OR",
        "XOR",
        "=",
        ">",
        "+",
        "HAND",
    ),
    *(
        "SCAN",
        "PROPERTY",
        "ASSUME",
        "REQUIRE",
        "TWO_HAND",
        "LOGIC",
        "TYPE",
        "III",
        "WINDOW",
    ),
    *(
        "PLANT",
        "IN",
        "'f.st'",
        "FEEDBACK",
        "EXPECT",
        "REACHABLE",
        "EVENTUALLY",
        "OUTPUT",
    ),
)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.lists(st.sampled_from(PIECES), max_size=40))
def test_any_row_of_words_is_read_or_refused(pieces: list[str]) -> None:
    read_or_refuse("SPEC S " + " ".join(pieces) + " END_SPEC")


@pytest.mark.long
@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.text(max_size=60))
@example("")
@example("SPEC")
@example("SPEC S ; prev")
@example("SPEC S ASSUME prev(); END_SPEC")
@example("SPEC S ASSUME AND(rose(a), 5 SCANS); END_SPEC")
def test_any_text_is_read_or_refused(text: str) -> None:
    read_or_refuse(text)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.data())
def test_a_damaged_spec_is_read_or_refused(data: st.DataObject) -> None:
    text = spec_text(
        "PROPERTY p : fell(left) -> NOT enable WITHIN T#20ms; REACHABLE since(a, b, 2 SCANS);"
        "PLANT rod : Cylinder IN 'c.st' (a := b); AVAILABLE WITHIN 1 SCANS WHEN x AND prev(y) = 3;"
    )
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(text)))
        until = min(len(text), at + data.draw(st.integers(0, 12)))
        text = text[:at] + data.draw(st.text(max_size=3)) + text[until:]
    read_or_refuse(text)
