"""Structured text (IEC 61131-3) as a tree."""
