"""Verdicts and evidence made readable: no solver here."""
