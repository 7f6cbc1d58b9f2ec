"""Each requirement of a spec: PROVED, VIOLATED or UNDECIDED, with its evidence."""
