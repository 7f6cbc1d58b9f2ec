"""In which order the elements of a diagram are evaluated, and where that is open."""

from __future__ import annotations

import pytest

from tests.support.meaning.diagram_builder import Network
from tests.support.samples.diagram_samples import rung_with, statements, told, xml_of
from tests.support.samples.exchange_samples import marked, problems


def test_a_loop_of_connections_is_refused_with_all_its_elements() -> None:
    network = Network("FBD")
    first = network.count + 2
    (later,) = network.block("OR", {"IN1": first, "IN2": first})
    (again,) = network.block("AND", {"IN1": later, "IN2": later})
    assert again == first
    network.sink(again, "x")
    (problem,) = problems(xml_of(network), "B")
    assert problem.code == "implicit-feedback"
    assert 'typeName="OR"' in marked(problem)
    assert ['typeName="AND"' in span.text for span, _ in problem.related] == [True]


def test_an_open_order_is_refused_where_it_matters() -> None:
    rung = Network("LD")
    rail = rung.rail()
    rung.coil(rung.contact(rail, "a"), "x")
    rung.coil(rung.contact(rail, "x"), "y")
    (problem,) = problems(xml_of(rung), "B")
    assert problem.code == "open-evaluation-order"
    assert 'xsi:type="Coil" operand="x"' in marked(problem)
    assert ['xsi:type="Contact" operand="x"' in s.text for s, _ in problem.related] == [True]
    assert "the coil 'x' or the contact 'x'" in problem.message


def test_numbers_settle_the_order() -> None:
    def rung(first: int, second: int) -> Network:
        made = Network("LD")
        rail = made.rail()
        made.coil(made.contact(rail, "a"), "x", evaluationOrder=first)
        made.coil(made.contact(rail, "x", evaluationOrder=second), "y")
        return made

    assert statements(xml_of(rung(1, 2))) == "x := a;\ny := x;"
    assert statements(xml_of(rung(2, 1))) == "rung1_wire1 := x;\nx := a;\ny := rung1_wire1;"


def test_two_coils_of_one_variable_need_an_order() -> None:
    rung = Network("LD")
    rail = rung.rail()
    rung.coil(rung.contact(rail, "a"), "x", latch="set")
    rung.coil(rung.contact(rail, "b"), "x", latch="reset")
    assert told(xml_of(rung))[0] == "open-evaluation-order"


def test_parts_of_one_structure_do_not_disturb_each_other() -> None:
    network = Network("FBD")
    network.sink(network.source("s.a"), "s.b")
    network.sink(network.source("s.c"), "s.d")
    assert statements(xml_of(network, others={"s": "S"})) == "s.b := s.a;\ns.d := s.c;"


def test_whatever_an_index_chooses_may_be_disturbed() -> None:
    network = Network("FBD")
    network.sink(network.source("a"), "list[1]")
    network.sink(network.source("list[n]"), "x")
    assert told(xml_of(network, others={"n": "INT", "list": "Bits"}))[0] == "open-evaluation-order"


def test_numbers_that_contradict_the_connections_are_refused() -> None:
    network = Network("FBD")
    a = network.source("a")
    (first,) = network.block("NOT", {"IN": a}, evaluationOrder=2)
    (second,) = network.block("NOT", {"IN": first}, evaluationOrder=1)
    network.sink(second, "x")
    code, place = told(xml_of(network))
    assert code == "unsupported-exchange-content"
    assert 'evaluationOrder="1"' in place


def test_a_return_comes_last_in_its_network() -> None:
    rung = Network("LD")
    rail = rung.rail()
    rung.leave(rung.contact(rail, "a"), evaluationOrder=1)
    rung.coil(rung.contact(rail, "b"), "x", evaluationOrder=2)
    code, place = told(xml_of(rung))
    assert code == "unsupported-exchange-content"
    assert "Return" in place


@pytest.mark.parametrize("orders", [(1, 1), (1, None), (None, 2)])
def test_rungs_are_numbered_in_one_row_or_not_at_all(orders: tuple[int | None, int | None]) -> None:
    rungs = [rung_with(), rung_with()]
    for rung, order in zip(rungs, orders, strict=True):
        rung.order = order
    assert told(xml_of(*rungs))[0] == "malformed-exchange-content"


def test_a_variable_with_an_address_is_no_other_bit() -> None:
    def body(written: str, read: str) -> str:
        rung = Network("LD")
        rail = rung.rail()
        rung.coil(rung.contact(rail, "a"), written)
        rung.coil(rung.contact(rail, read), "x")
        return xml_of(rung)

    assert statements(body("%QX0.1", "%QX0.2"))
    assert statements(body("%Q0.1", "%IX0.1"))
    for one, other in (("%QX0.1", "%Q0.1"), ("%QX0.1", "%QB0"), ("%QX0.1", "somebody")):
        assert told(body(one, other))[0] == "open-evaluation-order"


def test_an_in_out_parameter_may_be_any_other_variable_from_outside() -> None:
    def body(written: str, read: str) -> str:
        rung = Network("LD")
        rail = rung.rail()
        rung.coil(rung.contact(rail, "a"), written)
        rung.coil(rung.contact(rail, read), "x")
        more = '<ExternalVars><Variable name="g"><Type><TypeName>BOOL</TypeName></Type></Variable>'
        xml = xml_of(rung, more=f"{more}</ExternalVars>")
        passed = '<InoutVars><Variable name="p"><Type><TypeName>BOOL</TypeName></Type></Variable>'
        return xml.replace("</Parameters>", f"{passed}</InoutVars></Parameters>", 1)

    assert told(body("p", "g"))[0] == "open-evaluation-order"
    assert told(body("g", "p"))[0] == "open-evaluation-order"
    assert statements(body("p", "b"))
    assert statements(body("y", "p"))
