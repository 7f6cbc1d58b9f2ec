"""One scan as z3 terms: the transition system of a program."""
