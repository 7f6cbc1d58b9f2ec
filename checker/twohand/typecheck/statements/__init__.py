"""Statements: calls, assignments, loops."""
