"""Proofs for all time: IC3 over clock predicates, equivalent states, constrained Horn clauses."""
