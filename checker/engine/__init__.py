"""Transition system and bad term to an answer: search, proof, fallback."""
