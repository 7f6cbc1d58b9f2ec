"""Sheets of what to try by hand."""
