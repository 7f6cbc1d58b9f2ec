"""Transition system and bad term to an answer."""
