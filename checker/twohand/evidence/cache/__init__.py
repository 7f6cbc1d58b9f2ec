"""Answers of other runs and other machines; none is believed before it was checked again."""
