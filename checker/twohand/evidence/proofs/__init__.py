"""Proofs: asked of the engine, rechecked from scratch, and written as text."""
