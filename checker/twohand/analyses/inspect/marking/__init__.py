"""Instrumentation: variables that note what happens in a program and decide nothing."""
