"""What the check of a proof makes of its checkers' answers, and of clauses that speak of inputs.

The checkers are stubs: each holds, fails, does not know, or breaks off, for each of the two
questions, and two of them are asked in every order.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pytest
import z3
from twohand.engine.system.contract import Unknown
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs import certificate
from twohand.evidence.proofs.certificate import CHECKERS, CheckerAnswer, obligations, recheck
from twohand.evidence.proofs.dispatcher import believed
from twohand.evidence.proofs.query import Certified
from twohand.scan.transition_system import StateVariable, TransitionSystem

SECONDS = 20.0


class CheckerError(Exception):
    """A checker that crashed."""


Reply = CheckerAnswer | CheckerError
HOLDS, FAILS, UNKNOWN, RAISES = (
    CheckerAnswer.HOLDS,
    CheckerAnswer.FAILS,
    CheckerAnswer.UNKNOWN,
    CheckerError(),
)
REPLIES: tuple[Reply, ...] = (HOLDS, FAILS, UNKNOWN, RAISES)
PAIRS = tuple((first, step) for first in REPLIES for step in REPLIES)
"""What one checker says of 'the first state is inside' and of 'no scan leaves it or is bad'."""


def latch(after: Callable[[z3.BoolRef], z3.BoolRef]) -> tuple[TransitionSystem, z3.BoolRef]:
    """One state, FALSE at first, with its value after a scan as a function of the input ``i``."""
    y, i = z3.Bool("y"), z3.Bool("i")
    state = StateVariable("y", y, z3.BoolVal(False), after(i))
    return TransitionSystem((state,), (i,), z3.Int("#elapsed"), z3.Int("#scans"), 1, 1, 1), y


def stub(replies: dict[str, Reply]) -> Callable[[str, int], CheckerAnswer]:
    def check(text: str, milliseconds: int) -> CheckerAnswer:
        reply = replies[text]
        if isinstance(reply, CheckerError):
            raise reply
        return reply

    return check


def meaning(pair: tuple[Reply, Reply]) -> Reply:
    """A checker accepts where both questions hold; else its first other answer is its own."""
    return next((reply for reply in pair if reply is not HOLDS), HOLDS)


def decisive(*replies: Reply) -> Reply:
    """The first answer that decides; only one that does not know is followed by the next."""
    return next((reply for reply in replies if reply is not UNKNOWN), UNKNOWN)


@pytest.mark.parametrize("first", PAIRS, ids=str)
def test_only_a_checker_that_knows_decides_and_nobody_overrules_it(
    first: tuple[Reply, Reply], monkeypatch: pytest.MonkeyPatch
) -> None:
    system, y = latch(lambda i: z3.BoolVal(False))
    clauses = [z3.Not(y)]
    texts = [text for _, text in obligations(system, y, clauses)]
    assert len({*texts}) == 2
    # The texts are the same each time, and take most of the time to write.
    fixed = tuple(zip(("first", "step"), texts, strict=True))
    monkeypatch.setattr(certificate, "obligations", lambda *_: fixed)
    for second in PAIRS:
        for name, pair in (("one", first), ("two", second)):
            replies = dict(zip(texts, pair, strict=True))
            monkeypatch.setitem(CHECKERS, name, (partial(str, name), stub(replies)))
        expected = decisive(meaning(first), meaning(second))
        if expected is RAISES:
            with pytest.raises(CheckerError):
                recheck(system, y, clauses, SECONDS, ["one", "two"])
            continue
        found = recheck(system, y, clauses, SECONDS, ["one", "two"])
        assert (found.accepted, found.certain) == (expected is HOLDS, expected is not UNKNOWN)
        assert found.checker == ("one" if meaning(first) is expected is not UNKNOWN else "two")
        certified = Certified("", 1, "a method", found)
        if expected is FAILS:
            with pytest.raises(InternalContradiction, match="a method"):
                believed("asked", certified)
        else:
            assert isinstance(believed("asked", certified), Certified | Unknown)
            assert (believed("asked", certified) is certified) == (expected is HOLDS)


def test_without_a_checker_nothing_is_accepted() -> None:
    system, y = latch(lambda i: z3.BoolVal(False))
    found = recheck(system, y, [z3.Not(y)], SECONDS, [])
    assert (found.accepted, found.certain) == (False, False)


@pytest.mark.parametrize("checker", ["cvc5", "z3"])
def test_a_clause_that_speaks_of_an_input_proves_nothing(checker: str) -> None:
    """``y`` is what the input was in the scan before, so that ``y AND NOT i`` comes about in the
    second scan. With the clause ``NOT y OR i`` no scan would leave the invariant, as the state
    after it would be held against the input before it."""
    system, y = latch(lambda i: i)
    (i,) = system.inputs
    bad = z3.And(y, z3.Not(i))
    clause = z3.Or(z3.Not(y), i)
    quantified = z3.ForAll([z3.Int("k")], z3.Or(clause, z3.Int("k") != z3.Int("k")))
    within = z3.Not(z3.And(y, z3.Not(clause)))
    for clauses in ([clause], [z3.BoolVal(True), clause], [within], [quantified]):
        found = recheck(system, bad, clauses, SECONDS, [checker])
        assert (found.accepted, found.certain) == (False, True)


UNSETTLED = """
(declare-fun x () Int) (declare-fun y () Int) (declare-fun z () Int)
(assert (= (+ (* x x x) (* y y y) (* z z z)) 42))
(assert (not (= x y z)))
"""
"""The solution has numbers of 17 digits."""


@pytest.mark.parametrize("checker", ["cvc5", "z3"])
def test_a_checker_that_runs_out_of_effort_does_not_know(checker: str) -> None:
    _, check = CHECKERS[checker]
    assert check(UNSETTLED, 0.1) is CheckerAnswer.UNKNOWN
    assert check("(declare-fun p () Bool) (assert p)", 5.0) is CheckerAnswer.FAILS
    assert check("(declare-fun p () Bool) (assert (and p (not p)))", 5.0) is CheckerAnswer.HOLDS


def test_a_text_that_the_second_solver_cannot_read_is_not_known_to_hold() -> None:
    _, check = CHECKERS["cvc5"]
    assert check("(assert (a_function_of_another_solver 1))", 5.0) is CheckerAnswer.UNKNOWN
