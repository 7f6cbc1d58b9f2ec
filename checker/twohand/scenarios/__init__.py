"""Scenarios: what hands do to a block, when, and what is to be seen; played without a solver."""
