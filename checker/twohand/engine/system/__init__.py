"""The transition system as the engine uses it: cone of influence, clocks, predicates, runs."""
