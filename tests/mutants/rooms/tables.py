"""Tests that many changes share."""

from __future__ import annotations

_TABLE = "agreement/expected_runs/test_blocks_against_the_standard.py"
EXECUTOR_TABLE = f"{_TABLE}::test_the_executor_does_what_the_standard_says"
SYSTEM_TABLE = f"{_TABLE}::test_the_transition_system_does_what_the_standard_says"
_FORMULAS = "agreement/expected_runs/test_formulas_against_the_table.py"
EVALUATOR_TABLE = (
    f"{_FORMULAS}::test_the_evaluator_gives_a_formula_its_published_value",
    f"{_FORMULAS}::test_the_evaluator_refutes_a_property_in_the_published_scan",
)
MONITOR_TABLE = (
    f"{_FORMULAS}::test_the_monitor_gives_a_formula_its_published_value",
    f"{_FORMULAS}::test_the_monitor_refutes_a_property_in_the_published_scan",
)
