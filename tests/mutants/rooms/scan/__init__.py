"""One scan, as terms and executed."""
