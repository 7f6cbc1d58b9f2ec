"""The text of a spec as a tree."""
