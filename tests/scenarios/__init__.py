"""Scenarios: what a scan sees, what fails, what is told of mistakes."""
