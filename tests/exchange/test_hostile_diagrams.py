"""Diagrams that say something else than they seem to say: what a platform could take otherwise is
refused at its place."""

from __future__ import annotations

import pytest
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.diagram_builder import Network, booleans, declared, file, unit
from tests.support.samples.diagram_samples import (
    BOOLEANS,
    RESULTS,
    loaded,
    rung_with,
    statements,
    table,
    told,
    xml_of,
)
from tests.support.samples.exchange_samples import (
    block,
    body,
    load,
    problems,
    text_of,
    variable,
    variables,
)

FLIP = {"go": "BOOL", "done": "BOOL", "n": "BOOL"}
GLOBALS = (
    '<Instances><Configuration name="C"><GlobalVars><Variable name="g"><Type><TypeName>BOOL'
    "</TypeName></Type></Variable></GlobalVars></Configuration></Instances></Project>"
)


def flip(statements_of_it: str = "n := NOT n; done := go;", more: str = "") -> str:
    """A block of the user's with an input, an output and an in-out parameter."""
    parameters = (
        declared("InputVars", {"go": "BOOL"})
        + declared("OutputVars", {"done": "BOOL"})
        + declared("InoutVars", {"n": "BOOL"})
    )
    return block(f"<Parameters>{parameters}</Parameters>{more}{body(statements_of_it)}", "Flip")


def with_flip(network: Network, other: str = "", more: str = "") -> str:
    """A diagram with instances ``f`` and ``h`` of that block."""
    others = {"f": "Flip", "h": "Flip"}
    found = file(other or flip(), unit([network], BOOLEANS, RESULTS, others, more=more))
    return found.replace("</Project>", GLOBALS)


def in_out_pin(kind: str, pin: str) -> str:
    network = Network("FBD")
    network.sink(network.block(kind, {}, [""], "", {pin: network.source("a")})[0], "x")
    return xml_of(network)


# --- pins -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["MOVE", "NOT", "Mine"])
def test_a_function_has_no_in_out_pins(kind: str) -> None:
    code, place = told(in_out_pin(kind, "IN"))
    assert code == "unsupported-exchange-content"
    assert "InOutVariable" in place


@pytest.mark.parametrize("operand", ["x", "TRUE"])
def test_an_in_out_parameter_is_no_input_pin(operand: str) -> None:
    """Else nothing would know that the call writes the variable."""
    network = Network("FBD")
    inputs = {"go": network.source("a"), "n": network.source(operand)}
    network.sink(network.block("Flip", inputs, ["done"], "f")[0], "y")
    assert told(with_flip(network)) == ("in-out-needs-variable", operand)


def test_an_in_out_parameter_is_no_wire() -> None:
    network = Network("FBD")
    start = network.source("x", evaluationOrder=1)
    network.sink(network.source("b"), "x", evaluationOrder=2)
    inputs = {"go": network.source("a"), "n": start}
    (end,) = network.block("Flip", inputs, ["done"], "f", evaluationOrder=3)
    network.sink(end, "y")
    assert told(with_flip(network))[0] == "in-out-needs-variable"


def test_an_in_out_parameter_in_parentheses_is_an_expression() -> None:
    text = (
        "FUNCTION_BLOCK F VAR_IN_OUT n : BOOL; END_VAR n := NOT n; END_FUNCTION_BLOCK "
        "FUNCTION_BLOCK B VAR f : F; x : BOOL; END_VAR f(n := x); END_FUNCTION_BLOCK"
    )
    assert load_program([SourceText("a.st", text)], "B").name == "B"
    assert told_of("B", text.replace(":= x", ":= (x)")) == ["in-out-needs-variable"]
    assert told_of("B", text.replace("n := x", "((x))")) == ["in-out-needs-variable"]


def told_of(name: str, text: str) -> list[str]:
    return [problem.code for problem in problems(text, name)]


def test_the_order_of_a_call_and_of_what_it_is_passed_is_open() -> None:
    network = Network("FBD")
    network.block("Flip", {"go": network.source("a")}, [], "f", {"n": network.source("x")})
    network.block("Flip", {"go": network.source("b")}, [], "h", {"n": network.source("x")})
    assert told(with_flip(network))[0] == "open-evaluation-order"


def test_an_instance_in_an_array_is_not_called() -> None:
    """Its index could change between the call and what reads its output."""
    array = (
        '<DataTypeDecl name="Many"><UserDefinedTypeSpec xsi:type="ArrayTypeSpec"><DimensionSpec '
        'dimensionNumber="1"><IndexRange lower="0" upper="3"/></DimensionSpec><BaseType><TypeName>'
        "SR</TypeName></BaseType></UserDefinedTypeSpec></DataTypeDecl>"
    )
    network = Network("FBD")
    (end,) = network.block("Many", {"S1": network.source("a")}, ["Q1"], "m[k]", evaluationOrder=1)
    network.sink(network.source("1"), "k", evaluationOrder=2)
    network.sink(end, "x", evaluationOrder=3)
    others = {"m": "Many", "k": "INT"}
    xml = file(array, unit([network], BOOLEANS, RESULTS, others))
    assert told(xml) == ("unsupported-exchange-content", "m[k]")


def test_a_bit_that_changes_is_kept_as_a_bit() -> None:
    network = Network("FBD")
    start = network.source("w.3", evaluationOrder=1)
    network.sink(network.source("a"), "w.3", evaluationOrder=2)
    network.sink(start, "x", evaluationOrder=3)
    assert table(xml_of(network, others={"w": "WORD"}), "x", a="10110") == "01011"


@pytest.mark.parametrize("enabled", [True, False])
def test_a_function_that_may_fail_is_not_passed_over(enabled: bool) -> None:
    """ENO is FALSE on some platforms where a division fails (IEC 61131-3 Ed. 2, 2.5.1.2)."""
    network = Network("FBD")
    inputs = {"IN1": network.source("k"), "IN2": network.source("m")}
    if enabled:
        inputs["EN"] = network.source("a")
    network.sink(network.block("DIV", inputs, ["ENO"])[0], "x")
    code, place = told(xml_of(network, others={"k": "INT", "m": "INT"}))
    assert code == "unsupported-enable"
    assert 'typeName="DIV"' in place


# --- what a call may touch ------------------------------------------------------------------------


def with_member(xml: str, kind: str = "Action") -> str:
    result = "<ResultType><TypeName>BOOL</TypeName></ResultType>" if kind == "Method" else ""
    does = "x := NOT x; Act := x;" if kind == "Method" else "x := NOT x;"
    member = f'<{kind} name="Act">{result}{body(does)}</{kind}>'
    head, end, tail = xml.rpartition("</FunctionBlock>")
    return f"{head}{member}{end}{tail}"


@pytest.mark.parametrize("kind", ["Action", "Method"])
def test_an_action_changes_the_variables_of_its_unit(kind: str) -> None:
    network = Network("FBD")
    start = network.source("x", evaluationOrder=1)
    value = network.block("Act", {}, [""] if kind == "Method" else [], evaluationOrder=2)
    for end in value:
        network.sink(end, "z")
    network.sink(start, "y", evaluationOrder=3)
    xml = with_member(xml_of(network), kind)
    assert table(xml, "y", a="000") == "010"
    assert table(xml, "x", a="000") == "101"


@pytest.mark.parametrize("name", ["MOVE", "ABS", "BOOL_TO_INT"])
def test_a_method_is_not_called_like_a_function_of_the_standard(name: str) -> None:
    network = Network("FBD")
    network.sink(network.block(name, {"IN": network.source("a")}, [""])[0], "z")
    code, place = told(with_member(xml_of(network), "Method").replace("Act", name))
    assert code == "malformed-exchange-content"
    assert f'typeName="{name}"' in place


def test_an_instance_is_not_called_by_its_name_as_a_function() -> None:
    network = Network("FBD")
    start = network.source("s.Q1", evaluationOrder=1)
    network.block("s", {"S1": network.source("a")}, [], evaluationOrder=2)
    network.sink(start, "x", evaluationOrder=3)
    code, place = told(xml_of(network, others={"s": "SR"}))
    assert code == "malformed-exchange-content"
    assert 'typeName="s"' in place


def test_the_order_of_an_action_and_of_what_it_changes_is_open() -> None:
    network = Network("FBD")
    network.block("Act", {}, [])
    network.sink(network.source("x"), "y")
    code, place = told(with_member(xml_of(network)))
    assert code == "open-evaluation-order"
    assert 'typeName="Act"' in place


G = declared("ExternalVars", {"g": "BOOL"})


def calls(read: str, pins: int = 1) -> Network:
    """One or two calls without connection to each other, and a variable that is read."""
    network = Network("FBD")
    for name, passed in (("f", "x"), ("h", "y"))[:pins]:
        network.block("Flip", {"go": network.source("a")}, [], name, {"n": network.source(passed)})
    network.sink(network.source(read), "z")
    return network


@pytest.mark.parametrize(
    ("inside", "confined"),
    [
        ("n := NOT n; done := go;", True),
        ("n := MAX(IN1 := 1, IN2 := 2) > 1; done := BOOL#1;", True),
        ("n := g; done := go;", False),
        ("g := go; done := 'g' = 'g';", False),
        ("done := %IX0.1;", False),
        ("done := Other(g := go);", False),
        ("done := MAX > 1;", False),
        ("IF (g) THEN done := go; END_IF;", False),
        ("done := go; (* g *)", True),
    ],
)
def test_blocks_that_may_share_a_global_variable_need_an_order(inside: str, confined: bool) -> None:
    for network in (calls("g"), calls("b", 2)):
        text = text_of(with_flip(network, flip(inside), G))
        assert ("f(n := x" in text) == confined


def test_a_block_that_another_file_declares_may_share_a_global_variable() -> None:
    found = file(unit([calls("b", 2)], BOOLEANS, RESULTS, {"f": "Flip", "h": "Flip"}))
    assert told(found)[0] == "open-evaluation-order"
    numbered = found
    for number in (1, 2):
        numbered = numbered.replace(
            'typeName="Flip" ', f'evaluationOrder="{number}" typeName = "Flip" ', 1
        )
    assert "f(n := x, go := (a));\nh(n := y" in statements(numbered)


def test_a_function_with_the_name_of_a_conversion_is_not_declared() -> None:
    """A diagram takes it for the one of the standard, which changes nothing."""
    text = "FUNCTION {} : INT VAR_INPUT a : BOOL; END_VAR g := a; END_FUNCTION"
    for name in ("BOOL_TO_INT", "TO_INT"):
        assert told_of(name, text.format(name))[0] == "reserved-name"


# --- what the file itself says --------------------------------------------------------------------


@pytest.mark.parametrize("prefix", ["urn:v", "www.iec.ch/public/TC65SC65BWG7TF10"])
def test_an_attribute_of_another_namespace_is_not_passed_over(prefix: str) -> None:
    """A negation would be lost."""
    xml = xml_of(rung_with()).replace(
        'operand="a"', f'operand="a" xmlns:v="{prefix}" v:negated="true"'
    )
    assert told(xml) == ("unsupported-exchange-content", "true")


def test_attributes_of_xml_itself_are_passed_over() -> None:
    xml = xml_of(rung_with()).replace(
        "<Project ", '<Project xml:lang="en" xsi:schemaLocation="a b" '
    )
    assert statements(xml) == "x := a;"
    assert told(xml.replace('operand="a"', 'operand="a" xsi:nil="true"')) == (
        "unsupported-exchange-content", "true",
    )  # fmt: skip


def test_connection_points_are_numbers_however_they_are_written() -> None:
    xml = xml_of(rung_with())
    assert statements(xml.replace('refConnectionPointOutId="2"', 'refConnectionPointOutId="02"'))
    assert told(xml.replace('connectionPointOutId="2"', 'connectionPointOutId="01"')) == (
        "malformed-exchange-content", "01",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("rows", "numbered", "read"),
    [("1 2", False, True), ("0 0", False, True), ("2 1", False, False), ("nan 1", False, False),
     ("2 1", True, True), ("two 1", False, True)],
)  # fmt: skip
def test_rungs_are_drawn_as_they_stand_or_numbered(rows: str, numbered: bool, read: bool) -> None:
    rungs = [rung_with(), rung_with()]
    for number, row in enumerate(rows.split()):
        rungs[number].order = number if numbered else None
        rungs[number].elements.append(f'<RelPosition x="0" y="{row}"/>')
    xml = xml_of(*rungs)
    if read:
        assert statements(xml) == "x := a;\nx := a;"
    else:
        assert told(xml)[0] == "open-evaluation-order"


@pytest.mark.parametrize(
    ("numbers", "numbered", "read"),
    [((1, 2), False, True), ((2, 1), False, False), ((1, 1), False, True), ((2, 1), True, True)],
)
def test_elements_numbered_across_networks_need_numbered_networks(
    numbers: tuple[int, int], numbered: bool, read: bool
) -> None:
    networks = []
    for row, number in enumerate(numbers):
        network = Network("FBD", row if numbered else None)
        network.sink(network.source("a"), "xy"[row], evaluationOrder=number)
        networks.append(network)
    xml = xml_of(*networks)
    if read:
        assert statements(xml) == "x := a;\ny := a;"
    else:
        assert told(xml)[0] == "open-evaluation-order"


@pytest.mark.long
def test_units_that_are_nested_deep_are_told_or_read() -> None:
    inside = "".join(
        block(variables(variable("u", f"<Type><TypeName>U{n + 1}</TypeName></Type>")), f"U{n}")
        for n in range(400)
    )
    network = calls("b", 0)
    for name in ("u", "v"):
        network.block("U0", {}, [], name)
    instances = {"u": "U0", "v": "U0"}
    xml = file(inside, block("", "U400"), unit([network], BOOLEANS, RESULTS, instances))
    assert told(xml)[0] == "open-evaluation-order"


def test_a_unit_that_gives_something_has_a_body() -> None:
    xml = file(unit([rung_with()], booleans("a"), booleans("x")))
    start, end = xml.index("<MainBody>"), xml.index("</MainBody>") + len("</MainBody>")
    (problem,) = problems(xml[:start] + xml[end:], "B")
    assert problem.code == "malformed-exchange-content"
    empty = f"{xml[:start]}{body('')}{xml[end:]}"
    assert load(empty, "B").name == "B"
    assert loaded(file(block(variables(variable("x"))))).name == "B"
