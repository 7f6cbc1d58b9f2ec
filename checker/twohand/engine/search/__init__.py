"""Runs to a bad state: search by events, bounded search, pumping."""
