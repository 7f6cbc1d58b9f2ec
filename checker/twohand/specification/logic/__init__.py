"""Formulas twice over: monitors (z3 terms) and a direct evaluator on finite runs."""
