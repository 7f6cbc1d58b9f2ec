"""Questions in bits, answered by a checker of circuits that is nobody's here: property-directed
proof and bounded search of the command ``berkeley-abc``.

What it must answer is known otherwise: of random systems by counting their states one by one, of
the textbook systems with a fixed scan from the textbooks, of programs that count scans by
arithmetic.
"""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import z3
from twohand.analyses.export.bit_level.bounds import NotInBits
from twohand.analyses.export.bit_level.text import aiger_text
from twohand.engine.system.contract import Proved
from twohand.scan.transition_system import TransitionSystem

from tests.outside.third_solver import questions
from tests.support.meaning.and_inverter_graph import binary
from tests.support.randomness.systems import random_model

COMMAND = "berkeley-abc"
MODELS = 400
SECONDS = 120


def systems(folder: Path) -> Iterator[tuple[str, TransitionSystem, z3.BoolRef, bool]]:
    """What is asked of which system with a fixed scan, and whether a scan of it can be bad."""
    for seed in range(MODELS):
        model = random_model(seed)
        if not model.fixed and not model.presets:
            system, bad = model.terms()
            fixed = replace(system, shortest=1, longest=1)
            yield f"model {seed}", fixed, bad, model.can_be_bad(elapsed=1)
    for title, question in questions(folder):
        if question.system.shortest == question.system.longest:
            proved = isinstance(question.decide(SECONDS), Proved)
            yield title, question.system, question.bad, not proved


def answer_of(command: str, text: str, folder: Path) -> str:
    """'proved', 'violated', or what the engine prints beside."""
    file = folder / "question.aig"
    file.write_bytes(binary(text))
    done = subprocess.run(
        [command, "-c", f"read_aiger {file}; fold; pdr -T {SECONDS}"],
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    printed = done.stdout + done.stderr
    if "Property proved" in printed:
        return "proved"
    return "violated" if "was asserted in frame" in printed else printed.strip()


def compared(command: str) -> tuple[int, list[str]]:
    """How many questions were answered, and which not as they must be."""
    asked, wrong = 0, []
    with TemporaryDirectory() as name:
        folder = Path(name)
        for title, system, bad, possible in systems(folder):
            try:
                text = aiger_text(system, bad, title)
            except NotInBits:
                continue
            asked += 1
            said = answer_of(command, text, folder)
            if said != ("violated" if possible else "proved"):
                wrong.append(f"{title}: {said}")
    return asked, wrong
