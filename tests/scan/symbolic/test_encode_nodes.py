"""Nodes built without z3's own functions are the terms that those would have built."""

import pytest
import z3
from twohand.scan.symbolic import nodes
from twohand.scan.symbolic.terms import at_least, choose, equal

p, q, r = z3.Bools("p q r")
x, y = z3.Ints("x y")
word = z3.BitVec("word", 8)

PAIRS = [
    (nodes.negated(p), z3.Not(p)),
    (nodes.conjunction((p, q)), z3.And(p, q)),
    (nodes.conjunction([p, q, r]), z3.And(p, q, r)),
    (nodes.disjunction((p, q)), z3.Or(p, q)),
    (nodes.unlike(p, q), z3.Xor(p, q)),
    (nodes.conditional(p, x, nodes.number(3)), z3.If(p, x, 3)),
    (nodes.conditional(p, nodes.number(3), x), z3.If(p, 3, x)),
    (nodes.conditional(p, nodes.bits(7, 8), word), z3.If(p, z3.BitVecVal(7, 8), word)),
    (nodes.conditional(p, q, r), z3.If(p, q, r)),
    (nodes.equality(x, nodes.number(-2)), x == -2),
    (nodes.equality(word, nodes.bits(9, 8)), word == 9),
    (nodes.not_less(x, y), x >= y),
    (nodes.added(x, nodes.number(4)), x + 4),
    (nodes.subtracted(x, y), x - y),
    (nodes.multiplied(nodes.number(2), x), 2 * x),
    (nodes.conditional(p, nodes.number(2), nodes.number(3)), z3.If(p, z3.IntVal(2), 3)),
    (nodes.number(-3), z3.IntVal(-3)),
    (nodes.bits(-1, 8), z3.BitVecVal(-1, 8)),
    (nodes.truth(True), z3.BoolVal(True)),
    (nodes.truth(False), z3.BoolVal(False)),
    (nodes.symbol("p", z3.BoolSort()), p),
    (nodes.symbol("x", z3.IntSort()), x),
    (nodes.symbol("word", z3.BitVecSort(8)), word),
]


def class_of_z3(term: z3.ExprRef) -> type:
    """The class that z3 itself would have given it."""
    return next(each for each in type(term).__mro__ if each.__module__ == z3.ExprRef.__module__)


@pytest.mark.parametrize(("built", "expected"), PAIRS, ids=lambda term: str(term))
def test_a_node_is_the_term_that_z3_builds(built: z3.ExprRef, expected: z3.ExprRef) -> None:
    assert built.eq(expected)
    assert type(expected) is class_of_z3(built)


@pytest.mark.parametrize(("built", "expected"), PAIRS, ids=lambda term: str(term))
def test_a_node_carries_what_z3_says_of_it(built: z3.ExprRef, expected: z3.ExprRef) -> None:
    assert expected.decl().kind() == nodes.operator_of(built) == nodes.operator_of(expected)
    assert [part.get_id() for part in expected.children()] == [
        part.get_id() for part in nodes.parts_of(built)
    ]


@pytest.mark.long
def test_a_cut_term_is_true_wherever_the_term_is() -> None:
    deep = x
    for step in range(50):
        deep = choose(equal(y, step), 1, deep + step, z3.IntSort())
    term = z3.And(deep >= 5, p, x > 3)
    cut = nodes.cut(term, 10)
    assert len(_nodes(cut)) < len(_nodes(term)) / 2
    tried = 0
    for number in range(60):
        values = ((x, nodes.number(number)), (y, nodes.number(number - 5)), (p, z3.BoolVal(True)))
        if z3.is_true(z3.simplify(z3.substitute(term, *values))):
            solver = z3.Solver()
            solver.add(z3.substitute(cut, *values))
            assert solver.check() == z3.sat
            tried += 1
    assert tried > 10


def test_a_cut_term_keeps_what_is_near() -> None:
    solver = z3.Solver()
    solver.add(nodes.cut(z3.And(x >= 5, x < 5, y * y * y + 2 * y == 7), 6))
    assert solver.check() == z3.unsat


@pytest.mark.long
def test_values_that_grow_branch_by_branch_share_their_tests() -> None:
    """Without that each comparison would be written out anew for every branch before it."""
    value: z3.ArithRef | int = x
    tests = []
    for step in range(200):
        value = choose(equal(y, step), step % 7, value, z3.IntSort())
        tests.append(at_least(value, 3))
    assert len(set().union(*(_nodes(term) for term in tests))) < 6 * 200


def _nodes(term: z3.ExprRef) -> dict[int, z3.ExprRef]:
    found: dict[int, z3.ExprRef] = {}
    waiting = [term]
    while waiting:
        node = waiting.pop()
        if node.get_id() not in found:
            found[node.get_id()] = node
            waiting.extend(node.children())
    return found
