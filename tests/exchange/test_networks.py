"""How ladders and function-block diagrams are read as text, and what is refused, by code and
place."""

from __future__ import annotations

import random

import pytest
from twohand.exchange.file import structured_text_of
from twohand.program.types import Value
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.diagram_builder import Network, booleans, file, unit
from tests.support.meaning.typed_programs import run_of, seen
from tests.support.places import EXCHANGE_FILES
from tests.support.samples.diagram_samples import loaded, rung_with, statements, told, xml_of
from tests.support.samples.exchange_samples import marked, problems

LADDER = """\
window(IN := leftPalm OR rightPalm, PT := T#500ms);
both := leftPalm AND rightPalm;
rung3_edge1(CLK := both);
rose := rung3_edge1.Q;
run(S1 := rose AND armed.Q1 AND NOT window.Q, R := NOT both);
stroke := run.Q1;
armed(S1 := NOT leftPalm AND NOT rightPalm, R := rose OR window.Q);
"""
DIAGRAM = """\
window(IN := leftPalm OR rightPalm, PT := T#500ms);
both := leftPalm AND rightPalm;
edge(CLK := leftPalm AND rightPalm);
rose := edge.Q;
run(S1 := rose AND armed.Q1 AND NOT window.Q, R := NOT both);
stroke := run.Q1;
armed(S1 := NOT (leftPalm OR rightPalm), R := rose OR window.Q);
"""


@pytest.mark.parametrize(
    ("name", "wanted"), [("two_hand_ladder", LADDER), ("two_hand_diagram", DIAGRAM)]
)
def test_a_diagram_is_read_as_these_statements(name: str, wanted: str) -> None:
    xml = (EXCHANGE_FILES / f"{name}.xml").read_text(encoding="utf-8")
    assert statements(xml) == wanted.strip()


# --- operands ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "operand",
    [
        "a; x := b", "a (* c *)", "a OR b", "NOT a", "f(a)", "a // c", "THIS^.a", "1 2",
        "a END_VAR VAR z", "a.", "(a)", "list[f(a)]", "IF", "a := b", "SUPER^.a", "[a]", "a, b",
    ],
)  # fmt: skip
def test_an_operand_is_a_variable_or_a_literal_and_nothing_more(operand: str) -> None:
    rung = Network("LD")
    rung.coil(rung.contact(rung.rail(), operand), "x")
    code, place = told(xml_of(rung))
    assert code == "malformed-exchange-content"
    assert place == operand
    assert told(xml_of(rung_to(operand)))[0] == "malformed-exchange-content"


def rung_to(target: str) -> Network:
    rung = Network("LD")
    rung.coil(rung.contact(rung.rail(), "a"), target)
    return rung


@pytest.mark.parametrize("target", ["TRUE", "5", "T#5ms", "Mode#Run"])
def test_only_a_variable_is_written(target: str) -> None:
    assert told(xml_of(rung_to(target))) == ("malformed-exchange-content", target)


def test_an_unknown_name_is_told_at_its_attribute() -> None:
    assert told(xml_of(rung_to("nobody"))) == ("unknown-name", "nobody")
    rung = Network("LD")
    rung.coil(rung.contact(rung.rail(), "nobody"), "x")
    assert told(xml_of(rung)) == ("unknown-name", "nobody")


def test_operands_may_have_indices_members_and_addresses() -> None:
    network = Network("FBD")
    network.sink(network.source("list[n]"), "word.3")
    assert statements(xml_of(network)) == "word.3 := list[n];"


def test_a_contact_of_another_type_than_bool_is_refused() -> None:
    words = {"v": "WORD", "w": "WORD"}
    rung = Network("LD")
    rung.coil(rung.contact(rung.contact(rung.rail(), "v"), "w"), "w")
    assert problems(xml_of(rung, others=words), "B")
    rung = Network("LD")
    rung.coil(rung.contact(rung.rail(), "v"), "w")
    assert problems(xml_of(rung, others=words), "B")


# --- connections ----------------------------------------------------------------------------------


def replaced(network: Network, old: str, new: str) -> str:
    """The file with a part of it written otherwise."""
    xml = xml_of(network)
    assert old in xml
    return xml.replace(old, new)


@pytest.mark.parametrize(
    ("old", "new", "code", "place"),
    [
        ('<Connection refConnectionPointOutId="2"/>', "", "unconnected-element", "Coil"),
        ('refConnectionPointOutId="2"', 'refConnectionPointOutId="9"', "unconnected-element", "9"),
        ('connectionPointOutId="2"', 'connectionPointOutId="1"', "malformed-exchange-content", "1"),
        ('refConnectionPointOutId="2"', 'ref="2"', "unsupported-exchange-content", "2"),
        ('refConnectionPointOutId="2"', "", "malformed-exchange-content", "<Connection />"),
        ('refConnectionPointOutId="2"', 'refConnectionPointOutId="1"', "unused-element", "Contact"),
        ('"Contact"', '"CompareContact"', "unsupported-exchange-content", "CompareContact"),
        ('"Contact"', '"Jump"', "unsupported-jump", "Jump"),
        ('"Contact"', '"Cable"', "unsupported-exchange-content", "Cable"),
        ('xsi:type="Contact"', "", "unsupported-exchange-content", "LdObject"),
        ('operand="a"', "", "malformed-exchange-content", "Contact"),
        ('operand="a"', 'operand="a" colour="red"', "unsupported-exchange-content", "red"),
        ('operand="a"', 'operand="a" edge="both"', "malformed-exchange-content", "both"),
        ('operand="a"', 'operand="a" negated="yes"', "malformed-exchange-content", "yes"),
        ('operand="a"', 'operand="a" negated="true" edge="rising"',
         "unsupported-exchange-content", "rising"),
        ('operand="x"', 'operand="x" negated="true" latch="set"',
         "unsupported-exchange-content", "set"),
        ('operand="x"', 'operand="x" latch="reset" edge="falling"',
         "unsupported-exchange-content", "reset"),
        ("<RelPosition", "<Spark/><RelPosition", "unsupported-exchange-content", "<Spark/>"),
        ("</Rung>", "text</Rung>", "malformed-exchange-content", "text"),
        ("<Rung>", "<Rung><Bridge/>", "unsupported-exchange-content", "<Bridge/>"),
        ("</Rung>", "</Rung><Network/>", "unsupported-exchange-content", "<Network/>"),
    ],
)  # fmt: skip
def test_what_a_ladder_may_not_say_is_refused_at_its_place(
    old: str, new: str, code: str, place: str
) -> None:
    found, where = told(replaced(rung_with(), old, new))
    assert found == code
    assert place in where


def test_every_network_tells_its_own_problem() -> None:
    found = problems(xml_of(rung_to("1"), rung_with(), rung_to("2")), "B")
    assert [marked(problem) for problem in found] == ["1", "2"]


def test_a_ladder_has_no_place_in_a_function_block_diagram() -> None:
    network = Network("FBD")
    network.coil(network.contact(network.rail(), "a"), "x")
    assert told(xml_of(network))[0] == "unsupported-exchange-content"


def test_several_connections_end_at_one_place_of_a_ladder_only() -> None:
    network = Network("FBD")
    network.sink([network.source("a"), network.source("b")], "x")
    code, place = told(xml_of(network))
    assert code == "unsupported-exchange-content"
    assert "ConnectionPointIn" in place


def test_numbers_do_not_flow_through_a_vertical_link() -> None:
    rung = Network("LD")
    rung.sink([rung.source("n"), rung.source("m")], "n")
    xml = xml_of(rung, others={"n": "INT", "m": "INT"})
    assert told(xml)[0] == "unsupported-exchange-content"


@pytest.mark.parametrize("labels", [("one", "other"), ("", "one"), ("one", "one one")])
def test_a_continuation_needs_its_connector(labels: tuple[str, str]) -> None:
    rung = Network("LD")
    rung.connector(rung.contact(rung.rail(), "a"), labels[0])
    rung.coil(rung.continuation(labels[1]), "x")
    assert told(xml_of(rung))[0] in (
        "unconnected-element", "malformed-name", "malformed-exchange-content"
    )  # fmt: skip


def test_connectors_that_lead_to_each_other_are_a_loop() -> None:
    rung = Network("LD")
    rung.connector(rung.continuation("one"), "other")
    rung.connector(rung.continuation("other"), "one")
    rung.coil(rung.continuation("one"), "x")
    assert told(xml_of(rung))[0] == "implicit-feedback"


# --- functions and blocks ---------------------------------------------------------------------


def block_told(
    kind: str,
    inputs: dict[str, str],
    outputs: list[str],
    instance: str = "",
    declared: str = "",
    target: str = "x",
    more: str = "",
) -> tuple[str, str]:
    """What is wrong with one block, whose inputs are data sources."""
    network = Network("FBD")
    ends = {pin: (network.source(operand), more) for pin, operand in inputs.items()}
    for end in network.block(kind, ends, outputs, instance):
        network.sink(end, target)
    return told(xml_of(network, others={instance: declared} if declared else {}))


@pytest.mark.parametrize(
    ("found", "code", "place"),
    [
        (block_told("TOF", {"IN": "a"}, ["Q"], "t", "TON"), "type-mismatch", "TOF"),
        (block_told("TON", {"IN": "a"}, ["Q"], "t"), "unsupported-exchange-content", "t"),
        (block_told("TON", {"IN": "a"}, ["Q"], "s.t"), "unsupported-exchange-content", "s.t"),
        (block_told("TON", {"IN": "a"}, [""], "t", "TON"), "malformed-exchange-content", "Output"),
        (block_told("TON", {"IN": "a"}, ["Z"], "t", "TON"), "unknown-member", "Z"),
        (block_told("TON", {"JN": "a"}, ["Q"], "t", "TON"), "unknown-argument", "JN"),
        (block_told("TON", {"IN": "a"}, ["Q"]), "block-type-called", "TON"),
        (block_told("Nothing", {"IN": "a"}, [""]), "unknown-function", "Nothing"),
        (block_told("AND", {"IN1": "a"}, [""]), "argument-count", "AND"),
        (block_told("NOT", {"IN1": "a"}, [""]), "malformed-exchange-content", "NOT"),
        (block_told("AND", {"IN1": "a", "IN2": "b"}, ["Q"]), "unsupported-exchange-content", "Q"),
        (block_told("IF", {"IN1": "a"}, [""]), "keyword-as-name", "IF"),
        (block_told("a;b", {"IN1": "a"}, [""]), "malformed-name", "a;b"),
        (block_told("GT", {"EN": "b", "IN1": "1", "IN2": "2"}, ["Q"]),
         "unsupported-exchange-content", "Q"),
        (block_told("Mine", {"EN": "b", "IN1": "1"}, [""]), "unsupported-enable", "EN"),
        (block_told("SR", {"EN": "b", "S1": "a"}, ["Q1"], "s", "SR", more='edge="rising"'),
         "unsupported-enable", "S1"),
    ],
    ids=range(16),
)  # fmt: skip
def test_what_a_block_may_not_say_is_refused_at_its_place(
    found: tuple[str, str], code: str, place: str
) -> None:
    assert found[0] == code
    assert place in found[1]


def test_an_enable_pin_without_connection_is_refused() -> None:
    for kind, instance in (("ADD", ""), ("CTU", "t")):
        network = Network("FBD")
        network.block(kind, {"EN": []}, [], instance)
        code, place = told(xml_of(network, others={"t": "CTU"}))
        assert code == "unconnected-element"
        assert 'parameterName="EN"' in place


def test_what_a_function_gives_that_may_not_run_goes_to_variables_only() -> None:
    rung = Network("LD")
    inputs = {
        "EN": rung.contact(rung.rail(), "a"),
        "IN1": rung.source("n"),
        "IN2": rung.source("1"),
    }
    (value,) = rung.block("ADD", inputs, ["OUT"])
    (value,) = rung.block("MOVE", {"IN": value}, ["OUT"])
    rung.sink(value, "n")
    code, place = told(xml_of(rung, others={"n": "INT"}))
    assert code == "unsupported-enable"
    assert 'typeName="ADD"' in place


def test_a_function_that_is_always_enabled_is_an_expression() -> None:
    rung = Network("LD")
    inputs = {"EN": rung.rail(), "IN1": rung.source("n"), "IN2": rung.source("1")}
    value, on = rung.block("ADD", inputs, ["OUT", "ENO"])
    (value,) = rung.block("MUL", {"EN": on, "IN1": value, "IN2": rung.source("2")}, ["OUT"])
    rung.sink(value, "n")
    assert statements(xml_of(rung, others={"n": "INT"})) == "n := (n + 1) * 2;"


def test_a_function_of_the_user_is_called_once() -> None:
    network = Network("FBD")
    (value,) = network.block("Mine", {"IN1": network.source("a")}, ["Mine"])
    network.sink(value, "x")
    network.sink(network.block("NOT", {"IN": value})[0], "y")
    text = statements(xml_of(network))
    assert text.splitlines() == [
        "network1_wire1 := Mine(IN1 := (a));",
        "x := network1_wire1;",
        "y := NOT network1_wire1;",
    ]
    for target in ("n", "s.part"):
        network = Network("FBD")
        (value,) = network.block("Mine", {"IN1": network.source("a")}, [""])
        network.sink(value, target)
        assert statements(xml_of(network, others={"n": "INT"})) == f"{target} := Mine(IN1 := (a));"


def test_an_in_out_parameter_is_passed_and_not_read() -> None:
    network = Network("FBD")
    a, x = network.source("a"), network.source("x")
    (q,) = network.block("Mix", {"a": a}, ["q"], "mix", {"x": x})
    network.sink(q, "y")
    xml = xml_of(network, others={"mix": "Mix"})
    assert statements(xml) == "mix(x := x, a := (a));\ny := mix.q;"
    network = Network("FBD")
    (negated,) = network.block("NOT", {"IN": network.source("x")})
    network.sink(network.block("Mix", {}, ["q"], "mix", {"x": negated})[0], "y")
    assert told(xml_of(network, others={"mix": "Mix"}))[0] == "unsupported-exchange-content"


# --- hidden variables -------------------------------------------------------------------------


def test_hidden_variables_have_names_of_their_own() -> None:
    taken = {"Rung1_Edge1": "BOOL", "rung1_edge2": "BOOL"}
    text = statements(xml_of(rung_with(edge="rising"), others=taken))
    assert text.splitlines()[0] == "rung1_edge3(CLK := a);"


def test_an_edge_in_a_function_is_refused_at_its_contact() -> None:
    xml = file(unit([rung_with(edge="rising")], booleans("a"), booleans("x")))
    inside = xml.replace("FunctionBlock", "Function").replace(
        "<Parameters>", "<ResultType><TypeName>BOOL</TypeName></ResultType><Parameters>"
    )
    caller = unit([call_of_b()], booleans("i"), booleans("o"), name="C")
    both = inside.replace("</GlobalNamespace>", f"{caller}</GlobalNamespace>")
    (first, *_) = problems(both, "C")
    assert "Contact" in marked(first)


def call_of_b() -> Network:
    network = Network("FBD")
    network.sink(network.block("B", {"a": network.source("i")}, [""])[0], "o")
    return network


def test_long_rungs_are_read() -> None:
    rung = Network("LD")
    end = rung.rail()
    for _ in range(400):
        end = rung.contact(end, "a")
    rung.coil(end, "x")
    assert loaded(xml_of(rung)).inputs


def test_wide_rungs_are_read() -> None:
    rung = Network("LD")
    ends = [rung.rail()]
    for _ in range(12):
        ends = [rung.contact(ends, "a"), rung.contact(ends, "b")]
    rung.coil(ends, "x")
    text = statements(xml_of(rung))
    assert len(text) < 5_000
    assert loaded(xml_of(rung)).inputs


def test_the_three_forms_of_one_control_do_the_same() -> None:
    sources = [
        SourceText(path.name, path.read_text(encoding="utf-8"))
        for path in sorted(EXCHANGE_FILES.glob("two_hand_*"))
    ]
    programs = [load_program([structured_text_of(source)], "TwoHand") for source in sources]
    assert len(programs) == 3
    lot = random.Random(1)
    rows: list[dict[str, Value]] = []
    for _ in range(60):
        hands = {name: lot.random() < 0.6 for name in ("leftPalm", "rightPalm")}
        rows.extend([dict(hands)] * lot.choice((1, 2, 7)))
    strokes = [seen(run_of(each, rows), "stroke") for each in programs]
    assert strokes[0] == strokes[1] == strokes[2]
    assert True in strokes[0]
