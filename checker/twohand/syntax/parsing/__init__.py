"""Tokens to the tree."""
