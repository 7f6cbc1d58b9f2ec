"""Expressions: names, types, folding, conversions."""
