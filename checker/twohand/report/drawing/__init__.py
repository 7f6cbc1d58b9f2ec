"""Diagrams, tables, source lines and numbers as text."""
