"""Searches and proofs."""
