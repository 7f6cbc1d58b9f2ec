"""Each element of ladders and diagrams by its table (IEC 61131-3 Ed. 2, 4.2, 4.3)."""

from __future__ import annotations

import pytest

from tests.support.meaning.diagram_builder import Network
from tests.support.samples.diagram_samples import statements, table, xml_of
from tests.support.samples.exchange_samples import marked, problems

INPUTS = {"a": "0011001101", "b": "0101110101"}


@pytest.mark.parametrize(
    ("attributes", "wanted"),
    [
        ({}, "0001000101"),
        ({"negated": "true"}, "0100110000"),
        ({"edge": "rising"}, "0000000001"),
        ({"edge": "falling"}, "0000100000"),
        ({"edge": "none"}, "0001000101"),
    ],
    ids=["open", "closed", "rising", "falling", "none"],
)
def test_a_contact_lets_power_flow_where_its_operand_and_the_left_link_say(
    attributes: dict[str, str], wanted: str
) -> None:
    rung = Network("LD")
    left = rung.contact(rung.rail(), "b")
    rung.coil(rung.contact(left, "a", **attributes), "x")
    assert table(xml_of(rung), "x", **INPUTS) == wanted


def test_a_rising_edge_counts_in_the_first_evaluation_and_a_falling_one_is_a_reading() -> None:
    rung = Network("LD")
    rung.coil(rung.contact(rung.rail(), "a", edge="rising"), "x")
    assert table(xml_of(rung), "x", a="110") == "100"
    rung = Network("LD")
    rung.coil(rung.contact(rung.rail(), "a", edge="falling"), "x")
    assert table(xml_of(rung), "x", a="0110") == "0001"


def test_an_edge_without_power_is_used_up() -> None:
    rung = Network("LD")
    left = rung.contact(rung.rail(), "b")
    rung.coil(rung.contact(left, "a", edge="rising"), "x")
    assert table(xml_of(rung), "x", a="0110", b="0010") == "0000"


@pytest.mark.parametrize(
    ("attributes", "wanted"),
    [
        ({}, "0011001101"),
        ({"negated": "true"}, "1100110010"),
        ({"latch": "set"}, "0011111111"),
        ({"latch": "reset"}, "0000000000"),
        ({"edge": "rising"}, "0010001001"),
        ({"edge": "falling"}, "0000100010"),
    ],
    ids=["plain", "negated", "set", "reset", "rising", "falling"],
)
def test_a_coil_writes_what_the_left_link_is(attributes: dict[str, str], wanted: str) -> None:
    rung = Network("LD")
    rung.coil(rung.contact(rung.rail(), "a"), "x", **attributes)
    assert table(xml_of(rung), "x", **INPUTS) == wanted


def test_set_and_reset_coils_leave_the_variable_where_no_power_flows() -> None:
    first, second = Network("LD"), Network("LD")
    first.coil(first.contact(first.rail(), "a"), "x", latch="set")
    second.coil(second.contact(second.rail(), "b"), "x", latch="reset")
    assert table(xml_of(first, second), "x", a="0100110", b="0001011") == "0110100"


def test_a_coil_passes_its_left_link_on_whatever_it_writes() -> None:
    for attributes in ({"negated": "true"}, {"latch": "reset"}, {"edge": "rising"}):
        rung = Network("LD")
        passed = rung.coil(rung.contact(rung.rail(), "a"), "x", **attributes)
        rung.coil(passed, "y")
        assert table(xml_of(rung), "y", a="01101") == "01101"


def test_a_vertical_link_is_on_where_one_of_those_to_its_left_is() -> None:
    rung = Network("LD")
    rail = rung.rail()
    rung.coil([rung.contact(rail, "a"), rung.contact(rail, "b")], "x")
    assert table(xml_of(rung), "x", a="0011", b="0101") == "0111"


def test_a_link_to_the_rail_is_always_on() -> None:
    rung = Network("LD")
    rail = rung.rail()
    rung.coil([rail, rung.contact(rail, "a")], "x")
    rung.right_rail([rail])
    assert table(xml_of(rung), "x", a="01") == "11"


def test_rungs_follow_each_other_as_they_are_numbered_or_stand() -> None:
    def rung(read: str, written: str, order: int | None) -> Network:
        made = Network("LD", order)
        made.coil(made.contact(made.rail(), read), written)
        return made

    plain = xml_of(rung("a", "y", None), rung("y", "x", None))
    turned = xml_of(rung("a", "y", 7), rung("y", "x", 2))
    assert table(plain, "x", a="0110") == "0110"
    assert table(turned, "x", a="0110") == "0011"


def test_a_return_ends_the_block_behind_its_rung() -> None:
    first, second = Network("LD"), Network("LD")
    rail = first.rail()
    first.coil(first.contact(rail, "a", evaluationOrder=1), "x", evaluationOrder=2)
    first.leave(first.contact(rail, "b", evaluationOrder=3), evaluationOrder=4)
    second.coil(second.contact(second.rail(), "a"), "y")
    xml = xml_of(first, second)
    assert table(xml, "x", a="0101", b="0011") == "0101"
    assert table(xml, "y", a="0101", b="0011") == "0111"


def test_a_return_that_may_skip_a_coil_is_refused() -> None:
    rung = Network("LD")
    rail = rung.rail()
    rung.leave(rung.contact(rail, "b"))
    rung.coil(rung.contact(rail, "a"), "x")
    (problem,) = problems(xml_of(rung), "B")
    assert problem.code == "open-evaluation-order"
    assert "whether this RETURN skips the coil 'x'" in problem.message
    assert 'xsi:type="Return"' in marked(problem)


# --- what a connection carries --------------------------------------------------------------------


def test_a_link_carries_what_the_contact_read_although_a_coil_changes_it() -> None:
    rung = Network("LD")
    read = rung.contact(rung.rail(), "x")
    rung.coil(read, "x", negated="true")
    rung.coil(rung.contact(read, "a"), "y")
    xml = xml_of(rung)
    assert table(xml, "x", a="11111") == "10101"
    assert table(xml, "y", a="11111") == "01010"
    assert statements(xml).splitlines()[0] == "rung1_wire1 := x;"


def test_a_link_through_a_coil_carries_what_came_to_the_coil() -> None:
    rung = Network("LD")
    passed = rung.coil(rung.contact(rung.rail(), "x"), "x", negated="true")
    rung.coil(passed, "y")
    assert table(xml_of(rung), "y", a="0000") == "0101"


def test_an_instance_that_is_called_again_leaves_its_first_output_on_the_link() -> None:
    network = Network("FBD")
    (first,) = network.block("SR", {"S1": network.source("a")}, ["Q1"], "s")
    (second,) = network.block("SR", {"R": first}, ["Q1"], "s")
    network.sink(network.block("AND", {"IN1": first, "IN2": (second, 'negated="true"')})[0], "x")
    xml = xml_of(network, others={"s": "SR"})
    assert "network1_wire1 := s.Q1;" in statements(xml)
    assert table(xml, "s.Q1", a="0101") == "0101"


def test_numbers_are_kept_as_their_variables_are_declared() -> None:
    network = Network("FBD")
    number, one = network.source("n", evaluationOrder=1), network.source("1")
    (more,) = network.block("ADD", {"IN1": number, "IN2": one})
    network.sink(more, "n")
    network.sink(number, "m")
    xml = xml_of(network, others={"n": "INT", "m": "INT"})
    assert table(xml, "n", a="000") == "123"
    assert table(xml, "m", a="000") == "012"


# --- functions and blocks -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "wanted"),
    [("AND", "0001"), ("OR", "0111"), ("XOR", "0110"), ("EQ", "1001"), ("NE", "0110")],
)
def test_functions_of_two_bits(kind: str, wanted: str) -> None:
    network = Network("FBD")
    network.sink(
        network.block(kind, {"IN1": network.source("a"), "IN2": network.source("b")})[0], "x"
    )
    assert table(xml_of(network), "x", a="0011", b="0101") == wanted


@pytest.mark.parametrize(
    ("kind", "inputs", "wanted"),
    [
        ("ADD", {"IN1": "n", "IN2": "2", "IN3": "1"}, 8),
        ("SUB", {"IN1": "n", "IN2": "2"}, 3),
        ("MUL", {"IN1": "n", "IN2": "2"}, 10),
        ("DIV", {"IN1": "n", "IN2": "2"}, 2),
        ("MOD", {"IN1": "n", "IN2": "2"}, 1),
        ("MOVE", {"IN": "n"}, 5),
        ("ABS", {"IN": "-3"}, 3),
        ("MIN", {"IN1": "n", "IN2": "2"}, 2),
        ("MAX", {"IN1": "n", "IN2": "2"}, 5),
        ("LIMIT", {"MN": "0", "IN": "n", "MX": "4"}, 4),
        ("MUX", {"K": "1", "IN0": "n", "IN1": "2"}, 2),
        ("INT_TO_DINT", {"IN": "n"}, 5),
    ],
)
def test_functions_of_numbers(kind: str, inputs: dict[str, str], wanted: int) -> None:
    network = Network("FBD")
    network.sink(network.source("5"), "n")
    following = Network("FBD")
    ends = {pin: following.source(operand) for pin, operand in inputs.items()}
    target = "d" if kind == "INT_TO_DINT" else "m"
    following.sink(following.block(kind, ends)[0], target)
    xml = xml_of(network, following, others={"n": "INT", "m": "INT", "d": "DINT"})
    assert table(xml, target, a="0") == str(wanted)


def test_comparisons_bind_as_they_are_drawn() -> None:
    network = Network("FBD")
    a, b, c = (network.source(name) for name in "abc")
    (either,) = network.block("OR", {"IN1": a, "IN2": b})
    (same,) = network.block("EQ", {"IN1": either, "IN2": c})
    (negated,) = network.block("NOT", {"IN": same})
    network.sink(negated, "x")
    xml = xml_of(network)
    assert statements(xml) == "x := NOT ((a OR b) = c);"
    assert table(xml, "x", a="0011", b="0101", c="1111") == "1000"


def test_pins_are_negated_and_sense_edges() -> None:
    network = Network("FBD")
    a, b = network.source("a"), network.source("b")
    inputs = {"S1": (a, 'edge="rising"'), "R": (b, 'negated="true"')}
    network.sink(network.block("SR", inputs, ["NOT Q1"], "s")[0], "x")
    xml = xml_of(network, others={"s": "SR"})
    assert table(xml, "x", a="01110", b="11001") == "10111"


def test_a_block_in_a_ladder_hands_the_power_on() -> None:
    rung = Network("LD")
    time = rung.source("T#200ms")
    pressed = rung.contact(rung.rail(), "a")
    (done,) = rung.block("TON", {"IN": pressed, "PT": time}, ["Q"], "t")
    rung.coil(rung.contact(done, "b", negated="true"), "x")
    xml = xml_of(rung, others={"t": "TON"})
    assert statements(xml) == "t(IN := a, PT := T#200ms);\nx := t.Q AND NOT b;"
    assert table(xml, "x", a="0111110", b="0000100") == "0001010"


def test_a_block_that_is_not_enabled_keeps_its_outputs() -> None:
    rung = Network("LD")
    enable = rung.contact(rung.rail(), "b")
    (on,) = rung.block("SR", {"EN": enable, "S1": rung.source("a")}, ["ENO"], "s")
    rung.coil(on, "y")
    following = Network("LD")
    following.coil(following.contact(following.rail(), "s.Q1"), "x")
    xml = xml_of(rung, following, others={"s": "SR"})
    assert table(xml, "x", a="0110", b="0011") == "0011"
    assert table(xml, "y", a="0110", b="0011") == "0011"


def test_a_function_that_is_not_enabled_leaves_the_variable_behind_it() -> None:
    rung = Network("LD")
    enable = rung.contact(rung.rail(), "a")
    inputs = {"EN": enable, "IN1": rung.source("n"), "IN2": rung.source("1")}
    value, on = rung.block("ADD", inputs, ["OUT", "ENO"])
    rung.sink(value, "n")
    inputs = {"EN": on, "IN1": rung.source("n"), "IN2": rung.source("n")}
    rung.sink(rung.block("ADD", inputs, ["OUT"])[0], "m")
    xml = xml_of(rung, others={"n": "INT", "m": "INT"})
    assert table(xml, "n", a="10110") == "11233"
    assert table(xml, "m", a="10110") == "22466"


def test_an_input_without_connection_keeps_its_value() -> None:
    """IEC 61131-3 Ed. 2, 2.5.2.2."""
    first = Network("FBD")
    first.block("SR", {"S1": first.source("a"), "R": first.source("b")}, [], "s")
    following = Network("FBD")
    following.sink(following.block("SR", {"S1": following.source("c")}, ["Q1"], "s")[0], "x")
    xml = xml_of(first, following, others={"s": "SR"})
    assert table(xml, "x", a="1000", b="0010", c="0000") == "1100"


def test_the_power_comes_on_at_a_continuation() -> None:
    rung = Network("LD")
    rail = rung.rail()
    rung.connector([rung.contact(rail, "a"), rung.contact(rail, "b")], "over")
    rung.coil(rung.contact(rung.continuation("OVER"), "c"), "x")
    xml = xml_of(rung)
    assert statements(xml) == "x := (a OR b) AND c;"
