"""z3's calls without what is never needed: the same terms, the same errors."""

from __future__ import annotations

import subprocess
import sys

import pytest
import z3
from twohand.scan import light_calls

LIGHTENED = light_calls._lightened

TERMS = """
import z3
x, y, b, c = z3.Int("x"), z3.Int("y"), z3.Bool("b"), z3.Bool("c")
v, w = z3.BitVec("v", 8), z3.BitVec("w", 8)
r, f = z3.Real("r"), z3.Function("f", z3.IntSort(), z3.IntSort())
a = z3.Array("a", z3.IntSort(), z3.IntSort())
made = [x + 1 >= y * 2, z3.And(b, z3.Or(c, x != 3), z3.Not(b)), z3.If(b, x, y - x) < 4]
made += [z3.Xor(b, c)]
made += [v + w == 7, z3.Extract(3, 0, v) == 2, r / 2 > r, f(x) == f(y), z3.Implies(b, x == 5)]
made += [z3.ForAll([x], f(x) >= x), z3.Store(a, 1, x)[y] == 2, z3.Distinct(x, y, z3.IntVal(7))]
made += [z3.substitute(made[0], (x, y)), z3.simplify(x + 0 == x), z3.BoolVal(True)]
lines, waiting, seen = [], list(made), set()
while waiting:
    term = waiting.pop()
    if term.get_id() not in seen:
        seen.add(term.get_id())
        lines.append(f"{type(term).__mro__} {term.get_id()} {term.hash()} {term.sort()} {term}")
        waiting += [part for part in term.children() if z3.is_expr(part)]
solver = z3.Solver()
solver.add(made[:9])
print(lines, solver.check(), solver.model() if solver.check() == z3.sat else "")
numbers = [(z3.Int(f"n{each}") + each).get_id() for each in range(9)]  # of what is let go at once
held = [z3.Int(f"m{each}") + each for each in range(9)]
print(numbers, [term.get_id() for term in held], z3.Int("x", z3.Context()).get_id())
print([term.eq(made[0]) for term in made], made[1].decl().name(), made[1].decl().kind())
"""


def printed(first: str) -> str:
    """What the terms are in a process of their own, after ``first``."""
    done = subprocess.run(
        [sys.executable, "-c", first + TERMS], check=True, capture_output=True, text=True
    )
    return done.stdout


def test_terms_and_their_numbers_are_those_of_z3() -> None:
    ours, theirs = printed("import twohand.scan.sorts\n"), printed("")
    assert "sat" in theirs
    assert ours == theirs


def test_every_call_that_we_name_is_one_of_this_z3_and_is_replaced() -> None:
    named = {*light_calls._LOOKS, *light_calls._MAKES}
    assert named <= LIGHTENED.keys()
    for name in named:
        assert getattr(z3, name) is not LIGHTENED[name], name
        assert getattr(z3.z3, name) is getattr(z3.z3core, name), name


def test_a_call_that_fails_raises_as_in_z3() -> None:
    number, reference = z3.IntVal(3), z3.main_ctx().ref()
    parts = (z3.Ast * 2)(number.ast, z3.BoolVal(True).ast)
    for own in (z3.Z3_mk_and, LIGHTENED["Z3_mk_and"]):
        with pytest.raises(z3.Z3Exception, match=r"(?i)sort"):
            own(reference, 2, parts)
    for own in (z3.Z3_get_app_arg, LIGHTENED["Z3_get_app_arg"]):
        with pytest.raises(z3.Z3Exception, match=r"(?i)index|argument"):
            own(reference, number.ast, 5)
