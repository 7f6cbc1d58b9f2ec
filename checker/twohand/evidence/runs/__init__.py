"""Runs: replayed by the executor, shortened, explained."""
