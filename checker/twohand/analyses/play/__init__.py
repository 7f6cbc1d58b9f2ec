"""Scenarios played: what is said of them, and their document."""
