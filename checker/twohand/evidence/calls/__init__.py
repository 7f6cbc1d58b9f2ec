"""Calls of timers, edge blocks and counters that a scan leaves out, and the same made in it."""
