"""Random specs with variables that others write between scans, with what a scan begins with, with
what is asked in one mode only, and with what lasts: those of ``specs`` with more statements."""

from __future__ import annotations

import re
from dataclasses import replace
from random import Random

from tests.support.randomness.specs import SpecText, drawn_spec

OUTSIDE = ("armed", "lamp", "stroke", "armed, lamp")
ASSUMED = (
    "NOT at_scan_start({0}) OR prev(at_scan_start({0})) OR left",
    "rose(at_scan_start({0})) -> NOT right",
    "at_scan_start({0}) OR FIRST_SCAN",
    "left OR NOT at_scan_start({0})",
)
CONDITIONS = ("armed", "NOT right", "lamp", "rose(left)", "prev(stroke)", "at_scan_start(armed)")
PROPERTIES = (
    "rose(stroke) -> at_scan_start(armed)",
    "at_scan_start(stroke) AND NOT stroke -> NOT left OR NOT right",
    "at_scan_start(armed) = prev(armed) OR FIRST_SCAN",
    "NOT prev(at_scan_start(lamp)) -> lamp FOR 1 SCANS",
    "rose(stroke) -> stroke FOR T#2ms",
    "rose(left) -> NOT lamp FOR 2 SCANS",
    "fell(stroke) -> NOT stroke FOR T#3ms",
    "at_scan_start(n) < 3",
    "stroke -> NOT once(rose(at_scan_start(armed)), T#2ms)",
)


def drawn_with_outside(seed: int) -> SpecText:
    """One spec. A mode is asked for by a WHEN behind REQUIRE."""
    random = Random(f"outside {seed}")
    text = drawn_spec(seed)
    outside = random.choice(OUTSIDE)
    statements = [f"OUTSIDE {outside};"] if random.random() < 0.75 else []
    first = outside.partition(",")[0]
    if statements and random.random() < 0.35:
        statements.append(f"ASSUME {random.choice(ASSUMED).format(first)};")
    for number, formula in enumerate(random.sample(PROPERTIES, 3)):
        statements.append(f"PROPERTY o{number} : {formula};")
    spec = text.spec.replace("\nEND_SPEC", "\n    " + "\n    ".join(statements) + "\nEND_SPEC")
    if random.random() < 0.6:
        condition = random.choice(CONDITIONS)
        spec = re.sub(r"(REQUIRE TWO_HAND[^;]*);", rf"\1 WHEN {condition};", spec)
    if random.random() < 0.6:
        condition = random.choice(CONDITIONS)
        spec = re.sub(r"(REQUIRE (?:stop|manual_reset)[^;]*);", rf"\1 WHEN {condition};", spec)
    return replace(text, spec=spec)
