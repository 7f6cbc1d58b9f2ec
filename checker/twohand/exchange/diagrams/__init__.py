"""Ladder and function-block diagrams as structured text (IEC 61131-3, 8.2 and 8.3)."""
