"""Audits of specs."""
