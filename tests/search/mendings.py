"""What changed blocks keep for as long as the block has broken nothing, held against stepping both
side by side through every state."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from random import Random

from twohand.analyses.audit.changes.subject import load_changeable_specs
from twohand.analyses.mend.kept_behaviour import KeptBehaviour, KeptShowing
from twohand.engine.workers.pool import Pool
from twohand.evidence.verdict import Outcome
from twohand.program.product import shown
from twohand.specification.model.specification import Aim, Specification

from tests.search.verdicts import OPTIONS
from tests.support.enumeration.enumerate_states import TooManyStatesError
from tests.support.enumeration.two_blocks import Sides, Stepped, stepped

_MOST_STATES = 3000
_CHANGES = 4
_ATOMS = ("a", "b", "NOT a", "NOT b", "m", "NOT m", "q", "t.Q", "NOT t.Q")
_ASKED = (
    "q -> a",
    "q -> a AND b",
    "rose(q) -> rose(a)",
    "q -> NOT prev(lamp)",
    "lamp -> NOT q",
    "q AND prev(q) -> b",
)


def block_text(random: Random) -> str:
    """Inputs and a memory, joined at random."""

    def value() -> str:
        parts = [random.choice(_ATOMS) for _ in range(random.randint(1, 3))]
        return f" {random.choice(('AND', 'OR'))} ".join(parts)

    statements = [f"q := {value()};", f"lamp := {value()};", f"m := {value()};"]
    random.shuffle(statements)
    return "\n".join(
        [
            "FUNCTION_BLOCK B",
            "VAR_INPUT a, b : BOOL; END_VAR",
            "VAR_OUTPUT q, lamp : BOOL; END_VAR",
            "VAR m : BOOL; t : TON; END_VAR",
            f"t(IN := {value()}, PT := T#2ms);",
            *statements,
            "END_FUNCTION_BLOCK\n",
        ]
    )


def spec_text(random: Random) -> str:
    asked = random.sample(_ASKED, random.randint(1, 2))
    output = ["    OUTPUT q;"] if random.random() < 0.8 else []
    assumed = ["    ASSUME a OR NOT b;"] if random.random() < 0.3 else []
    named = [f"    PROPERTY p{number} : {text};" for number, text in enumerate(asked)]
    head = ["SPEC S", "    SOURCE 'b.st';", "    SCAN T#1ms;", *assumed, *output]
    return "\n".join([*head, *named, "    REACHABLE starts : q;", "END_SPEC\n"])


def _agrees(judged: KeptShowing, found: Stepped, block: Specification) -> None:
    assert judged.outcome is not Outcome.UNDECIDED
    proved = found.same or (bool(block.outputs) and not found.lets_on)
    assert (judged.outcome is Outcome.PROVED) == proved
    assert (judged.difference is not None) == (proved and not found.same)
    assert (judged.lets_on is not None) == (not proved and bool(block.outputs))


def kept_compared(seeds: Iterable[int], folder: Path, pool: Pool) -> Counter[str]:
    """How often what is kept came out in which way; AssertionError where stepping disagrees."""
    counts: Counter[str] = Counter()
    for seed in seeds:
        random, here = Random(f"kept {seed}"), folder / str(seed)
        here.mkdir(parents=True)
        (here / "b.st").write_text(block_text(random), encoding="utf-8")
        (here / "b.spec").write_text(spec_text(random), encoding="utf-8")
        (subject,) = load_changeable_specs(here / "b.spec")
        block = subject.specification
        names = [v.name for v in dict.fromkeys([*shown(block.program), *block.outputs])]
        asked = [each.property for each in block.requirements if each.aim is Aim.HOLDS]
        kept = KeptBehaviour(block, OPTIONS, pool)
        for change in random.sample(subject.changes, min(_CHANGES, len(subject.changes))):
            changed = subject.changed([change])
            if changed is None:
                continue
            judged = kept.judged(changed)
            try:
                found = stepped(Sides(block, changed, names, asked), _MOST_STATES)
            except TooManyStatesError:
                counts["without a second opinion"] += 1
                continue
            _agrees(judged, found, block)
            fewer = judged.difference is not None
            counts["off where on" if fewer else judged.outcome.value] += 1
    return counts
