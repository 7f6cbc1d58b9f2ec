"""One module for each group of statements of a spec."""
