"""Systems and terms come back from their text as they were."""

from __future__ import annotations

import pytest
import z3
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.serialisation import dump, dump_terms, load, load_terms
from twohand.scan.symbolic.encode import encode
from twohand.scan.transition_system import StateVariable, TransitionSystem
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

BLOCK = """
FUNCTION_BLOCK Press
VAR_INPUT left, right : BOOL; level : INT; mask : WORD; END_VAR
VAR_OUTPUT enable : BOOL; END_VAR
VAR window : TON; store : BOOL; sum : INT; bits : WORD; rest : TIME; END_VAR
window(IN := left XOR right, PT := T#500ms);
rest := T#-20ms - window.ET;
store := left AND NOT window.Q;
sum := sum + level / 3 MOD 7 - 12;
bits := SHL(ROL(mask, 3) XOR bits, 2) OR INT_TO_WORD(sum);
enable := store AND right AND sum > -5 AND rest < T#-30ms;
END_FUNCTION_BLOCK
"""


def press() -> TransitionSystem:
    program = load_program([SourceText("press.st", BLOCK)])
    return encode(program, Clocking(1_000_000, 5, 20), Readings()).system


def test_a_system_comes_back_term_by_term() -> None:
    system = press()
    system = system.extended(constraints=(z3.Bool("left"),))
    terms = [condition for _, condition in system.findings]
    back, others = load(dump(system, terms, with_signals=True))
    assert len(others) == len(terms) == 3
    assert all(one.eq(other) for one, other in zip(terms, others, strict=True))
    for one, other in zip(system.states, back.states, strict=True):
        assert (one.name, one.kind) == (other.name, other.kind)
        assert one.symbol.eq(other.symbol)
        assert one.update.eq(other.update)
        assert one.initial is None or one.initial.eq(other.initial)
        assert (one.initial is None) == (other.initial is None)
    for group in ("inputs", "ranges", "constraints", "initial_constraints"):
        pairs = zip(getattr(system, group), getattr(back, group), strict=True)
        assert all(one.eq(other) for one, other in pairs)
    assert back.signals.keys() == system.signals.keys()
    assert all(term.eq(back.signals[name]) for name, term in system.signals.items())
    assert (back.shortest, back.longest, back.tick) == (5, 20, 1)
    assert back.elapsed.eq(system.elapsed)
    assert back.scans.eq(system.scans)


def test_signals_stay_behind_unless_asked_for() -> None:
    back, terms = load(dump(press(), []))
    assert back.signals == {}
    assert terms == ()


@pytest.mark.parametrize(
    "name",
    ["press.window#age", 'say "so"', "it's", "a|b", "a\\b", "true", "and", "store", "ü", "s!0"],
)
def test_a_name_survives(name: str) -> None:
    system = TransitionSystem((), (z3.Int(name),), z3.Int("#elapsed"), z3.Int("#scans"), 1, 1, 1)
    term = z3.Int(name) >= -3
    (back,) = load_terms(dump_terms([term]), system)
    assert back.eq(term)


def test_terms_over_other_names_are_refused() -> None:
    with pytest.raises(ValueError, match="'stranger' is no symbol of the system"):
        load_terms(dump_terms([z3.Bool("stranger")]), press())


def test_no_terms_are_no_terms() -> None:
    assert load_terms(dump_terms([]), press()) == ()


def test_what_terms_share_is_written_once() -> None:
    number = shared = z3.Int("x")
    for step in range(300):
        shared = z3.If(shared > step, shared + 1, shared - step)
    state = StateVariable("x", number, z3.IntVal(0), shared)
    system = TransitionSystem((state,), (), z3.Int("#elapsed"), z3.Int("#scans"), 1, 1, 1)
    text = dump(system, [shared >= 5, shared >= 6])
    assert len(text) < 60_000
    assert load(text)[0].states[0].update.eq(shared)


def test_the_text_of_a_system_does_not_depend_on_what_was_made_before() -> None:
    """An answer is the same whatever else its process was asked: what is made before takes numbers
    in the main context, or leaves gaps that are filled in another order."""
    kept, texts = [], set()
    for round_ in range(4):
        texts.add(dump(press(), []))
        kept.append(z3.And(z3.Bool(f"x{round_}"), z3.Int("rest") + 40 > z3.Int(f"y{round_}")))
    assert len(texts) == 1
