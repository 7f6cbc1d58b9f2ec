"""The changes, one module for each part of the code that decides."""

from __future__ import annotations

from tests.mutants.rooms import (
    analyses,
    changes,
    drafts,
    exit_codes,
    faults,
    formats,
    gate,
    lessons,
    other_units,
    pages,
    probe,
    reading,
    reals,
    records,
    scenarios,
    sheets,
)
from tests.mutants.rooms.engine import proof, search
from tests.mutants.rooms.evidence import branches, cache, checks, proofs, runs
from tests.mutants.rooms.scan import arithmetic, blocks, clock, concrete, statements, terms
from tests.mutants.rooms.specification import (
    evaluators,
    monitors,
    others_and_modes,
    rules,
    surroundings,
    two_hand,
)

ROOMS = (
    blocks,
    statements,
    terms,
    concrete,
    arithmetic,
    clock,
    monitors,
    evaluators,
    rules,
    two_hand,
    surroundings,
    others_and_modes,
    search,
    proof,
    proofs,
    runs,
    checks,
    branches,
    cache,
    analyses,
    changes,
    drafts,
    exit_codes,
    faults,
    formats,
    gate,
    lessons,
    other_units,
    pages,
    probe,
    reading,
    reals,
    records,
    scenarios,
    sheets,
)
MUTANTS = tuple(mutant for room in ROOMS for mutant in room.MUTANTS)
