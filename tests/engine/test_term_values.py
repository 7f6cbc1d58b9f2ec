"""The concrete evaluator against z3's own simplifier on random terms."""

from __future__ import annotations

from random import Random

import pytest
import z3
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.engine.system.compiled_terms import compiled
from twohand.engine.system.terms import literal_value, value_term

FLAGS = z3.Bools("p q")
NUMBERS = z3.Ints("m n")
WORDS = z3.BitVecs("v w", 8)
SYMBOLS = [*FLAGS, *NUMBERS, *WORDS]


def flag(random: Random, depth: int) -> z3.BoolRef:
    if depth == 0:
        return random.choice([*FLAGS, z3.BoolVal(random.random() < 0.5)])
    a, b = flag(random, depth - 1), flag(random, depth - 1)
    m, n = number(random, depth - 1), number(random, depth - 1)
    v, w = word(random, depth - 1), word(random, depth - 1)
    return random.choice(
        [
            z3.And(a, b), z3.Or(a, b), z3.Not(a), z3.Xor(a, b), z3.Implies(a, b), a == b,
            z3.If(a, b, flag(random, depth - 1)), m <= n, m < n, m >= n, m > n, m == n, m != n,
            z3.ULE(v, w), z3.ULT(v, w), z3.UGE(v, w), z3.UGT(v, w), v <= w, v < w, v > w, v >= w,
            v == w, z3.Distinct(m, n), z3.And(), z3.Or(),
        ]
    )  # fmt: skip


def number(random: Random, depth: int) -> z3.ArithRef:
    if depth == 0:
        return random.choice([*NUMBERS, z3.IntVal(random.randint(-9, 9))])
    m, n = number(random, depth - 1), number(random, depth - 1)
    divisor = z3.IntVal(random.choice([-7, -3, 2, 5]))
    return random.choice(
        [
            m + n, m - n, -m, m * n, m / divisor, m % divisor, m + n + m,
            z3.If(flag(random, depth - 1), m, n), z3.BV2Int(word(random, depth - 1)),
        ]
    )  # fmt: skip


def word(random: Random, depth: int) -> z3.BitVecRef:
    if depth == 0:
        return random.choice([*WORDS, z3.BitVecVal(random.randrange(256), 8)])
    v, w = word(random, depth - 1), word(random, depth - 1)
    low, high = z3.Extract(3, 0, v), z3.Extract(7, 4, w)
    return random.choice(
        [
            v + w, v - w, v * w, v & w, v | w, v ^ w, ~v, -v, z3.Concat(low, high), v << w,
            z3.LShR(v, w), v >> w, z3.ZeroExt(4, low), z3.SignExt(4, high), z3.UDiv(v, w),
            z3.If(flag(random, depth - 1), v, w), z3.Int2BV(number(random, depth - 1), 8),
            z3.RotateLeft(v, 3), z3.URem(v, w),
        ]
    )  # fmt: skip


@pytest.mark.long
@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.integers(0, 10**9))
def test_a_term_has_the_value_that_the_solver_gives_it(seed: int) -> None:
    random = Random(seed)
    terms = [flag(random, 3), number(random, 3), word(random, 3)]
    values = [
        *(random.random() < 0.5 for _ in FLAGS),
        *(random.randint(-20, 20) for _ in NUMBERS),
        *(random.randrange(256) for _ in WORDS),
    ]
    pairs = [(s, value_term(v, s)) for s, v in zip(SYMBOLS, values, strict=True)]
    expected = [literal_value(z3.simplify(z3.substitute(term, *pairs))) for term in terms]
    assert list(compiled(SYMBOLS, terms)(values)) == expected
