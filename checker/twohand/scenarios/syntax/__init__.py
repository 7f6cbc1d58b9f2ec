"""The text of a scenario as a tree."""
