"""The requirements of two-hand controls as formulas, and their pages."""
