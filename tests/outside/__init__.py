"""Comparisons that need more than the tests' own packages; ``python -m tests.outside``."""
